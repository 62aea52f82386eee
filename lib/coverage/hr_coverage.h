/*
 * hr_coverage.h - every site against every device: what a direct link would
 * have to spare; and link margins over a storey's floor.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_COVERAGE_H
#define HR_COVERAGE_H

#include "hr_base.h"
#include "hr_building.h"
#include "hr_links.h"

#ifdef __cplusplus
extern "C" {
#endif

/* A place where a gateway is or could be. */
typedef struct hr_site {
    hr_point at;
    double z_m;
    uint32_t storey;
} hr_site;

/* One direct link of a site. */
typedef struct hr_coverage_cell {
    int64_t spare;   /* micro-dB */
    uint32_t device; /* by its place in the list that was asked for */
    uint32_t slabs;  /* pierced */
} hr_coverage_cell;

/* Direct links, site by site: those of site s are cells[start[s]] to
 * cells[start[s + 1] - 1], by device, each device that was measured once. A tall
 * building has few in each site's reach, so nothing is kept of the others. */
typedef struct hr_coverage {
    size_t sites, devices;
    size_t *start; /* sites + 1 */
    hr_coverage_cell *cells;
} hr_coverage;

/* Called between sites; false stops with HR_ERR_INTERRUPTED. */
typedef bool (*hr_coverage_progress)(void *user, size_t done, size_t total);

/* Which pairs are measured. */
typedef struct hr_coverage_limits {
    double reach_m; /* no farther apart than that, straight, 3-D; INFINITY: no limit */
    long max_slabs; /* none for which it is plain that more slabs lie between; LONG_MAX: no limit.
                       What pierces more near a slab's edge is measured all the same */
} hr_coverage_limits;

/* Measures every site against the listed devices, within the limits. */
HR_API hr_status hr_coverage_new(const hr_building *building, const hr_links *links, const hr_site *sites,
                                 size_t site_count, const uint32_t *devices, size_t device_count,
                                 hr_coverage_limits limits, hr_coverage_progress progress, void *user,
                                 hr_coverage **coverage, hr_error *err);
HR_API void hr_coverage_free(hr_coverage *coverage);

/* Area of a storey that is covered. */
typedef struct hr_coverage_area {
    double share;  /* mean over the grid of the best link's reliability, 0..1 */
    size_t points; /* grid points in rooms, areas and corridors               */
} hr_coverage_area;

/*
 * Mean reliability over a storey's floor: at each point of a square grid of
 * step_m (0.05 and up) inside a room, area or corridor the best direct link of
 * a device of this kind, at its mount height and without a case, to any of the
 * sites; no site: 0. HR_ERR_ARGUMENT for a step or kind out of range,
 * HR_ERR_LIMIT above a million points.
 */
HR_API hr_status hr_coverage_of_storey(const hr_building *building, const hr_links *links, uint32_t storey,
                                       uint32_t kind, const hr_site *sites, size_t site_count, double step_m,
                                       hr_coverage_area *area, hr_error *err);

/*
 * The link margin a device would have to the gateway it would join directly: of
 * the sites within the property's range_limit and max_slabs the one with most
 * spare, among those within 3 dB the closest. *margin_db is NaN and *site
 * UINT32_MAX where none is in reach; site may be NULL. At a device that joins
 * its gateway directly this is the device's own margin, unless capacity sent it
 * elsewhere.
 */
HR_API hr_status hr_coverage_margin_at(const hr_building *building, const hr_links *links, hr_link_work *work,
                                       const hr_end *device, const hr_site *sites, size_t site_count, double *margin_db,
                                       uint32_t *site, hr_error *err);

/* Link margins over a storey: samples on a square grid, row by row. */
typedef struct hr_coverage_field {
    hr_grid grid;      /* metres */
    double *margin_db; /* NaN: off the floor, or no site in reach */
    uint8_t *on_floor; /* in a room, area or corridor */
} hr_coverage_field;

/*
 * hr_coverage_margin_at for a device of this kind at its mount height (a case
 * counts as opening sideways) over a storey's floor, and one step beyond it so
 * that lines through the samples reach the walls. step_m: 0.05 and up.
 * HR_ERR_ARGUMENT for a step, storey or kind out of range, HR_ERR_LIMIT above a
 * million samples.
 */
HR_API hr_status hr_coverage_field_new(const hr_building *building, const hr_links *links, uint32_t storey,
                                       uint32_t kind, const hr_site *sites, size_t site_count, double step_m,
                                       hr_coverage_field **field, hr_error *err);
HR_API void hr_coverage_field_free(hr_coverage_field *field); /* NULL is fine */

#ifdef __cplusplus
}
#endif
#endif
