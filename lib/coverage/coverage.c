/*
 * coverage.c - the matrix of direct links.
 *
 * SPDX-License-Identifier: MIT
 */
#include "coverage_priv.h"

#include <math.h>
#include <string.h>

void hr_coverage_free(hr_coverage *coverage)
{
    if (coverage != NULL) {
        hr_free(coverage->spare);
        hr_free(coverage->slabs);
        hr_free(coverage);
    }
}

static hr_coverage *make_empty(size_t sites, size_t devices)
{
    hr_coverage *coverage = hr_alloc_zero(1, sizeof *coverage);
    if (coverage == NULL || (devices != 0 && sites > SIZE_MAX / devices)) {
        hr_free(coverage);
        return NULL;
    }
    const size_t cells = sites * devices;
    coverage->sites = sites;
    coverage->devices = devices;
    coverage->spare = hr_alloc(cells, sizeof *coverage->spare);
    coverage->slabs = hr_alloc(cells, sizeof *coverage->slabs);
    if (coverage->spare == NULL || coverage->slabs == NULL) {
        hr_coverage_free(coverage);
        return NULL;
    }
    return coverage;
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

static hr_status measure_cell(matrix *m, const hr_end *device, const hr_end *site, size_t cell, hr_error *err)
{
    hr_coverage *coverage = m->coverage;
    if (is_out_of_reach(device, site, m->limits.reach_m) ||
        coverage_is_beyond_slabs(m->building, device, site, m->limits.max_slabs)) {
        coverage->spare[cell] = HR_COVERAGE_FAR;
        return HR_OK;
    }
    hr_link link;
    const hr_status status = hr_links_measure(m->links, &m->work, device, site, &link, err);
    if (status == HR_OK) {
        coverage->spare[cell] = hr_micro(link.spare_db);
        coverage->slabs[cell] = (uint8_t)(link.slabs < 255 ? link.slabs : 255);
    }
    return status;
}

static hr_status prepare(matrix *m, const uint32_t *devices, size_t device_count, hr_error *err)
{
    m->ends = hr_alloc(device_count, sizeof *m->ends);
    m->groups = hr_alloc(device_count / GROUP + 1, sizeof *m->groups);
    if (m->coverage == NULL || m->ends == NULL || m->groups == NULL) {
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

static hr_status measure_site(matrix *m, const hr_end *site, size_t first_cell, hr_error *err)
{
    const size_t count = m->coverage->devices;
    hr_status status = HR_OK;
    memset(&m->coverage->slabs[first_cell], 0, count);
    for (size_t first = 0; first < count && status == HR_OK; first += GROUP) {
        const heights *group = &m->groups[first / GROUP];
        const bool far = fmax(group->low_m - site->z_m, site->z_m - group->high_m) > m->limits.reach_m;
        for (size_t d = first; d < count && d - first < GROUP && status == HR_OK; d++) {
            if (far) {
                m->coverage->spare[first_cell + d] = HR_COVERAGE_FAR;
            } else {
                status = measure_cell(m, &m->ends[d], site, first_cell + d, err);
            }
        }
    }
    return status;
}

hr_status hr_coverage_new(const hr_building *building, const hr_links *links, const hr_site *sites, size_t site_count,
                          const uint32_t *devices, size_t device_count, hr_coverage_limits limits,
                          hr_coverage_progress progress, void *user, hr_coverage **coverage, hr_error *err)
{
    matrix m = {
        .building = building, .links = links, .limits = limits, .coverage = make_empty(site_count, device_count)};
    hr_status status = prepare(&m, devices, device_count, err);
    for (size_t s = 0; status == HR_OK && s < site_count; s++) {
        const hr_end site = hr_links_gateway_end(building, sites[s].at, sites[s].z_m);
        status = measure_site(&m, &site, s * device_count, err);
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
    *coverage = m.coverage;
    return HR_OK;
}
