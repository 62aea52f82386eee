/*
 * coverage.c - the matrix of direct links.
 *
 * SPDX-License-Identifier: MIT
 */
#include "hr_coverage.h"

#include <math.h>

void hr_coverage_free(hr_coverage *coverage)
{
    if (coverage != NULL) {
        hr_free(coverage->spare);
        hr_free(coverage->distance_m);
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
    coverage->distance_m = hr_alloc(cells, sizeof *coverage->distance_m);
    coverage->slabs = hr_alloc(cells, sizeof *coverage->slabs);
    if (coverage->spare == NULL || coverage->distance_m == NULL || coverage->slabs == NULL) {
        hr_coverage_free(coverage);
        return NULL;
    }
    return coverage;
}

static hr_status measure_cell(const hr_links *links, hr_link_work *work, const hr_end *device, const hr_end *site,
                              double reach_m, hr_coverage *coverage, size_t cell, hr_error *err)
{
    const double flat_m = hr_geometry_distance(device->at, site->at);
    const double dist_m = hypot(flat_m, device->z_m - site->z_m);
    coverage->distance_m[cell] = (float)dist_m;
    coverage->slabs[cell] = 0;
    if (dist_m > reach_m) {
        coverage->spare[cell] = HR_COVERAGE_FAR;
        return HR_OK;
    }
    hr_link link;
    const hr_status status = hr_links_measure(links, work, device, site, &link, err);
    if (status == HR_OK) {
        coverage->spare[cell] = hr_micro(link.spare_db);
        coverage->slabs[cell] = (uint8_t)(link.slabs < 255 ? link.slabs : 255);
    }
    return status;
}

hr_status hr_coverage_new(const hr_building *building, const hr_links *links, const hr_site *sites, size_t site_count,
                          const uint32_t *devices, size_t device_count, double reach_m,
                          hr_coverage_progress progress, void *user, hr_coverage **coverage_out, hr_error *err)
{
    hr_coverage *coverage = make_empty(site_count, device_count);
    hr_end *ends = hr_alloc(device_count, sizeof *ends);
    hr_status status = coverage == NULL || ends == NULL ? hr_fail_memory(err) : HR_OK;
    for (size_t d = 0; status == HR_OK && d < device_count; d++) {
        ends[d] = hr_links_device_end(building, devices[d]);
    }
    hr_link_work work = {0};
    for (size_t s = 0; status == HR_OK && s < site_count; s++) {
        const hr_end site = hr_links_gateway_end(building, sites[s].at, sites[s].z_m);
        for (size_t d = 0; status == HR_OK && d < device_count; d++) {
            status = measure_cell(links, &work, &ends[d], &site, reach_m, coverage, s * device_count + d, err);
        }
        if (status == HR_OK && progress != NULL && !progress(user, s + 1, site_count)) {
            status = hr_fail(err, HR_ERR_INTERRUPTED, NULL, 0, "interrupted while measuring links");
        }
    }
    hr_links_work_free(&work);
    hr_free(ends);
    if (status != HR_OK) {
        hr_coverage_free(coverage);
        return status;
    }
    *coverage_out = coverage;
    return HR_OK;
}
