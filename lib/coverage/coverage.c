/*
 * coverage.c - the matrix of direct links.
 *
 * SPDX-License-Identifier: MIT
 */
#include "coverage_priv.h"

#include <math.h>

void hr_coverage_free(hr_coverage *coverage)
{
    if (coverage != NULL) {
        hr_free(coverage->start);
        hr_free(coverage->cells);
        hr_free(coverage);
    }
}

/* So many devices in a row, mostly of one storey, are told apart from a site by height at once. */
#define GROUP 64u

typedef struct heights {
    double low_m, high_m;
} heights;

typedef struct matrix {
    const hr_building *building;
    const hr_links *links;
    hr_link_work work;
    hr_coverage_limits limits;
    hr_end *ends;    /* of the devices */
    heights *groups; /* of GROUP devices each */
    hr_coverage *coverage;
    size_t cell_count, cell_cap;
} matrix;

/* Most cells of a tall building are: mostly told without a root. */
static bool is_out_of_reach(const hr_end *a, const hr_end *b, double reach_m)
{
    const double x = a->at.x - b->at.x, y = a->at.y - b->at.y, z = a->z_m - b->z_m;
    const double square = x * x + y * y + z * z, limit = reach_m * reach_m;
    if (square < (1.0 - 1e-12) * limit || square > (1.0 + 1e-12) * limit) {
        return square > limit;
    }
    return hypot(hr_geometry_distance(a->at, b->at), z) > reach_m;
}

static hr_status measure_cell(matrix *m, const hr_end *site, uint32_t device, hr_error *err)
{
    const hr_end *end = &m->ends[device];
    if (is_out_of_reach(end, site, m->limits.reach_m) ||
        coverage_is_beyond_slabs(m->building, end, site, m->limits.max_slabs)) {
        return HR_OK;
    }
    hr_link link;
    const hr_status status = hr_links_measure(m->links, &m->work, end, site, &link, err);
    if (status != HR_OK) {
        return status;
    }
    if (!HR_RESERVE(m->coverage->cells, m->cell_cap, m->cell_count + 1)) {
        return hr_fail_memory(err);
    }
    m->coverage->cells[m->cell_count++] =
        (hr_coverage_cell){.spare = hr_micro(link.spare_db), .device = device, .slabs = (uint32_t)link.slabs};
    return HR_OK;
}

static hr_status prepare(matrix *m, size_t site_count, const uint32_t *devices, size_t device_count, hr_error *err)
{
    m->coverage = hr_alloc_zero(1, sizeof *m->coverage);
    if (m->coverage == NULL) {
        return hr_fail_memory(err);
    }
    m->coverage->sites = site_count;
    m->coverage->devices = device_count;
    m->coverage->start = site_count < SIZE_MAX ? hr_alloc(site_count + 1, sizeof *m->coverage->start) : NULL;
    m->ends = hr_alloc(device_count, sizeof *m->ends);
    m->groups = hr_alloc(device_count / GROUP + 1, sizeof *m->groups);
    if (m->coverage->start == NULL || m->ends == NULL || m->groups == NULL) {
        return hr_fail_memory(err);
    }
    for (size_t d = 0; d < device_count; d++) {
        const hr_end end = hr_links_device_end(m->building, devices[d]);
        heights *group = &m->groups[d / GROUP];
        m->ends[d] = end;
        *group = d % GROUP == 0 ? (heights){end.z_m, end.z_m}
                                : (heights){fmin(group->low_m, end.z_m), fmax(group->high_m, end.z_m)};
    }
    return HR_OK;
}

static hr_status measure_site(matrix *m, const hr_end *site, hr_error *err)
{
    const size_t count = m->coverage->devices;
    hr_status status = HR_OK;
    for (size_t first = 0; first < count && status == HR_OK; first += GROUP) {
        const heights *group = &m->groups[first / GROUP];
        if (fmax(group->low_m - site->z_m, site->z_m - group->high_m) > m->limits.reach_m) {
            continue;
        }
        for (size_t d = first; d < count && d - first < GROUP && status == HR_OK; d++) {
            status = measure_cell(m, site, (uint32_t)d, err);
        }
    }
    return status;
}

hr_status hr_coverage_new(const hr_building *building, const hr_links *links, const hr_site *sites, size_t site_count,
                          const uint32_t *devices, size_t device_count, hr_coverage_limits limits,
                          hr_coverage_progress progress, void *user, hr_coverage **coverage, hr_error *err)
{
    matrix m = {.building = building, .links = links, .limits = limits};
    hr_status status = prepare(&m, site_count, devices, device_count, err);
    for (size_t s = 0; status == HR_OK && s < site_count; s++) {
        const hr_end site = hr_links_gateway_end(building, sites[s].at, sites[s].z_m);
        m.coverage->start[s] = m.cell_count;
        status = measure_site(&m, &site, err);
        if (status == HR_OK && progress != NULL && !progress(user, s + 1, site_count)) {
            status = hr_fail(err, HR_ERR_INTERRUPTED, NULL, 0, "interrupted while measuring links");
        }
    }
    hr_links_work_free(&m.work);
    hr_free(m.ends);
    hr_free(m.groups);
    if (status != HR_OK) {
        hr_coverage_free(m.coverage);
        return status;
    }
    m.coverage->start[site_count] = m.cell_count;
    *coverage = m.coverage;
    return HR_OK;
}
