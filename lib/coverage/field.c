/*
 * field.c - link margins over a storey: at each place the gateway that a device
 * there would join, by the rules that devices join by.
 *
 * SPDX-License-Identifier: MIT
 */
#include "coverage_priv.h"
#include "hr_mesh.h"

#include <math.h>
#include <stdlib.h>

#define SAMPLES_MAX 1e6
#define STEP_MIN_M 0.05
/* Room for the last bit of two ways to add the same losses. */
#define SLACK_DB 1e-6

/* A site in range of the place. */
typedef struct near_site {
    double distance_m, margin_db;
    int64_t spare; /* micro-dB; INT64_MIN: not joined by the rules, or no match for the best */
    uint32_t site;
} near_site;

typedef struct finder {
    const hr_building *building;
    const hr_links *links;
    const hr_site *sites;
    size_t site_count;
    hr_link_work *work;
    near_site *near;       /* site_count */
    double most_fitted_db; /* what a fit may add at most to a link with any gateway */
} finder;

/* Closest first; then the earlier, so that the order is one. */
static int compare_near(const void *left, const void *right)
{
    const near_site *a = left, *b = right;
    if (a->distance_m < b->distance_m || a->distance_m > b->distance_m) {
        return a->distance_m < b->distance_m ? -1 : 1;
    }
    return a->site < b->site ? -1 : a->site > b->site;
}

static size_t find_near(const finder *f, const hr_end *device)
{
    size_t count = 0;
    for (size_t s = 0; s < f->site_count; s++) {
        const double flat_m = hr_geometry_distance(device->at, f->sites[s].at);
        const double dist_m = hypot(flat_m, device->z_m - f->sites[s].z_m);
        if (dist_m <= f->building->radio.range_limit_m) {
            f->near[count++] =
                (near_site){.distance_m = (double)(float)dist_m, .spare = INT64_MIN, .site = (uint32_t)s};
        }
    }
    if (count > 1) {
        qsort(f->near, count, sizeof *f->near, compare_near);
    }
    return count;
}

static double most_fitted_db(const hr_building *b)
{
    double most = 0.0;
    for (size_t i = 0; i < b->fitted.gateway_offset_count; i++) {
        most = fmax(most, b->fitted.gateway_offsets[i].cost);
    }
    return most + (isfinite(b->fitted.offset_db) ? b->fitted.offset_db : 0.0);
}

static hr_status make_finder(const hr_building *building, const hr_links *links, hr_link_work *work,
                             const hr_site *sites, size_t site_count, finder *f, hr_error *err)
{
    *f = (finder){.building = building,
                  .links = links,
                  .sites = sites,
                  .site_count = site_count,
                  .work = work,
                  .near = hr_alloc(site_count, sizeof *f->near),
                  .most_fitted_db = most_fitted_db(building)};
    return f->near == NULL ? hr_fail_memory(err) : HR_OK;
}

/* The most spare that a link of this length can have, nothing being in the way. */
static double most_spare_db(const finder *f, const hr_terminal *device, double dist_m)
{
    const hr_building *b = f->building;
    const hr_terminal *gateway = &b->gateway_kind.radio;
    const double gain_db = device->antenna_gain_dbi + gateway->antenna_gain_dbi + f->most_fitted_db -
                           hr_links_spread_loss_db(f->links, dist_m) - b->radio.noise_rise_db;
    return fmin(device->tx_power_dbm - gateway->sensitivity_dbm, gateway->tx_power_dbm - device->sensitivity_dbm) +
           gain_db - hr_links_required_margin_db(f->links);
}

/* Measures what may be joined; the most spare, INT64_MIN: nothing is in reach. */
static hr_status measure_near(const finder *f, const hr_end *device, size_t count, int64_t *best, hr_error *err)
{
    hr_status status = HR_OK;
    *best = INT64_MIN;
    for (size_t i = 0; i < count && status == HR_OK; i++) {
        near_site *n = &f->near[i];
        if (*best != INT64_MIN &&
            hr_micro(most_spare_db(f, device->radio, n->distance_m) + SLACK_DB) < *best - HR_MESH_NEAR_BEST) {
            continue;
        }
        const hr_site *site = &f->sites[n->site];
        const hr_end gateway = hr_links_gateway_end(f->building, site->at, site->z_m);
        if (coverage_is_beyond_slabs(f->building, device, &gateway, f->building->radio.max_slabs)) {
            continue;
        }
        hr_link link;
        status = hr_links_measure(f->links, f->work, device, &gateway, &link, err);
        if (status == HR_OK && (long)link.slabs <= f->building->radio.max_slabs) {
            n->spare = hr_micro(link.spare_db);
            n->margin_db = link.link_margin_db;
            *best = n->spare > *best ? n->spare : *best;
        }
    }
    return status;
}

static hr_status find_joined(const finder *f, const hr_end *device, double *margin_db, uint32_t *site, hr_error *err)
{
    const size_t count = find_near(f, device);
    int64_t best;
    const hr_status status = measure_near(f, device, count, &best, err);
    if (status != HR_OK) {
        return status;
    }
    /* a link that does not hold is joined by nobody: of those the best is shown */
    const int64_t least = best >= HR_MESH_NEAR_BEST ? best - HR_MESH_NEAR_BEST : best >= 0 ? 0 : best;
    const near_site *joined = NULL;
    for (size_t i = 0; i < count; i++) {
        const near_site *n = &f->near[i];
        if (n->spare != INT64_MIN && n->spare >= least &&
            (joined == NULL || (n->distance_m <= joined->distance_m && n->spare > joined->spare))) {
            joined = n;
        }
    }
    *margin_db = joined != NULL ? joined->margin_db : (double)NAN;
    *site = joined != NULL ? joined->site : UINT32_MAX;
    return HR_OK;
}

hr_status hr_coverage_margin_at(const hr_building *building, const hr_links *links, hr_link_work *work,
                                const hr_end *device, const hr_site *sites, size_t site_count, double *margin_db,
                                uint32_t *site, hr_error *err)
{
    finder f;
    double margin;
    uint32_t joined;
    hr_status status = make_finder(building, links, work, sites, site_count, &f, err);
    if (status == HR_OK) {
        status = find_joined(&f, device, &margin, &joined, err);
    }
    if (status == HR_OK) {
        *margin_db = margin;
        if (site != NULL) {
            *site = joined;
        }
    }
    hr_free(f.near);
    return status;
}

/* ---- over a storey ---- */

void hr_coverage_field_free(hr_coverage_field *field)
{
    if (field != NULL) {
        hr_free(field->margin_db);
        hr_free(field->on_floor);
        hr_free(field);
    }
}

/* Sample next to this coordinate, counted from the first; within the grid. */
static size_t sample_at(double coordinate, double first, double step_m, size_t count)
{
    const double at = floor((coordinate - first) / step_m);
    return at > 0.0 ? (at < (double)count ? (size_t)at : count) : 0;
}

/* Each space over the samples in its box: the same as hr_plan_space_at at each sample. */
static void mark_floor(const hr_plan *plan, hr_coverage_field *field)
{
    const hr_grid *grid = &field->grid;
    for (size_t i = 0; i < plan->space_count; i++) {
        const hr_region *region = &plan->spaces[i].region;
        const size_t column0 = sample_at(region->box.x0, grid->first.x, grid->step, grid->columns);
        const size_t row0 = sample_at(region->box.y0, grid->first.y, grid->step, grid->rows);
        for (size_t row = row0; row < grid->rows && hr_geometry_grid_place(grid, 0, row).y <= region->box.y1; row++) {
            for (size_t column = column0; column < grid->columns; column++) {
                const hr_point place = hr_geometry_grid_place(grid, column, row);
                if (place.x > region->box.x1) {
                    break;
                }
                uint8_t *on_floor = &field->on_floor[row * grid->columns + column];
                *on_floor = *on_floor != 0 ||
                            (hr_geometry_box_holds(region->box, place, 0.0) && hr_geometry_inside(region, place, 0.0));
            }
        }
    }
}

/* The samples with a border of one step round the plan. */
static hr_status make_grid(const hr_plan *plan, double step_m, hr_coverage_field **field, hr_error *err)
{
    const double columns = fmax(0.0, ceil((plan->box.x1 - plan->box.x0) / step_m)) + 2.0;
    const double rows = fmax(0.0, ceil((plan->box.y1 - plan->box.y0) / step_m)) + 2.0;
    if (!(columns * rows <= SAMPLES_MAX)) {
        return hr_fail(err, HR_ERR_LIMIT, NULL, 0,
                       "the grid has more than a million points; a wider step was expected");
    }
    hr_coverage_field *made = hr_alloc_zero(1, sizeof *made);
    if (made == NULL) {
        return hr_fail_memory(err);
    }
    made->grid = (hr_grid){.first = {plan->box.x0 - 0.5 * step_m, plan->box.y0 - 0.5 * step_m},
                           .step = step_m,
                           .columns = (size_t)columns,
                           .rows = (size_t)rows};
    made->margin_db = hr_alloc(made->grid.columns * made->grid.rows, sizeof *made->margin_db);
    made->on_floor = hr_alloc_zero(made->grid.columns * made->grid.rows, sizeof *made->on_floor);
    if (made->margin_db == NULL || made->on_floor == NULL) {
        hr_coverage_field_free(made);
        return hr_fail_memory(err);
    }
    mark_floor(plan, made);
    *field = made;
    return HR_OK;
}

/* On the floor, or beside a sample that is. */
static bool is_wanted(const hr_coverage_field *field, size_t column, size_t row)
{
    for (size_t r = row > 0 ? row - 1 : 0; r <= row + 1 && r < field->grid.rows; r++) {
        for (size_t c = column > 0 ? column - 1 : 0; c <= column + 1 && c < field->grid.columns; c++) {
            if (field->on_floor[r * field->grid.columns + c]) {
                return true;
            }
        }
    }
    return false;
}

static hr_status fill(const finder *f, hr_end device, hr_coverage_field *field, hr_error *err)
{
    hr_status status = HR_OK;
    for (size_t row = 0; row < field->grid.rows; row++) {
        for (size_t column = 0; column < field->grid.columns && status == HR_OK; column++) {
            double *margin_db = &field->margin_db[row * field->grid.columns + column];
            uint32_t site;
            *margin_db = (double)NAN;
            device.at = hr_geometry_grid_place(&field->grid, column, row);
            if (is_wanted(field, column, row)) {
                status = find_joined(f, &device, margin_db, &site, err);
            }
        }
    }
    return status;
}

hr_status hr_coverage_field_new(const hr_building *building, const hr_links *links, uint32_t storey, uint32_t kind,
                                const hr_site *sites, size_t site_count, double step_m, hr_coverage_field **field,
                                hr_error *err)
{
    if (storey >= building->storey_count || kind >= building->kind_count || !(step_m >= STEP_MIN_M) || isinf(step_m)) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "no such storey or kind, or a grid finer than 0.05 m");
    }
    const hr_storey *s = &building->storeys[storey];
    const hr_device_kind *k = &building->kinds[kind];
    const hr_end device = {
        .z_m = s->elevation_m + k->radio.mount_height_m, .radio = &k->radio, .enclosure = k->enclosure};
    hr_link_work work = {0};
    finder f;
    hr_coverage_field *made = NULL;
    hr_status status = make_finder(building, links, &work, sites, site_count, &f, err);
    if (status == HR_OK) {
        status = make_grid(s->plan, step_m, &made, err);
    }
    if (status == HR_OK) {
        status = fill(&f, device, made, err);
    }
    hr_free(f.near);
    hr_links_work_free(&work);
    if (status != HR_OK) {
        hr_coverage_field_free(made);
        return status;
    }
    *field = made;
    return HR_OK;
}
