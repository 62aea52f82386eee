/*
 * area.c - how much of a storey's floor is covered: the mean reliability over
 * a grid, not a share of points that pass.
 *
 * SPDX-License-Identifier: MIT
 */
#include "hr_coverage.h"

#include <math.h>

#define POINTS_MAX 1e6
#define STEP_MIN_M 0.05

typedef struct grid {
    const hr_building *building;
    const hr_links *links;
    const hr_site *sites;
    size_t site_count;
    hr_end device;
    hr_link_work work;
} grid;

/* Reliability of the best direct link from here. */
static hr_status best_from(grid *g, hr_point at, double *reliability, hr_error *err)
{
    double best = 0.0;
    hr_status status = HR_OK;
    g->device.at = at;
    for (size_t s = 0; status == HR_OK && s < g->site_count; s++) {
        const hr_end site = hr_links_gateway_end(g->building, g->sites[s].at, g->sites[s].z_m);
        hr_link link;
        status = hr_links_measure(g->links, &g->work, &g->device, &site, &link, err);
        if (status == HR_OK) {
            best = fmax(best, link.reliability);
        }
    }
    *reliability = best;
    return status;
}

static hr_status walk(grid *g, const hr_plan *plan, double step_m, hr_coverage_area *area, hr_error *err)
{
    const size_t columns = (size_t)ceil((plan->box.x1 - plan->box.x0) / step_m);
    const size_t rows = (size_t)ceil((plan->box.y1 - plan->box.y0) / step_m);
    double sum = 0.0;
    size_t points = 0;
    hr_status status = HR_OK;
    for (size_t row = 0; status == HR_OK && row < rows; row++) {
        for (size_t column = 0; status == HR_OK && column < columns; column++) {
            const hr_point at = {plan->box.x0 + step_m * ((double)column + 0.5),
                                 plan->box.y0 + step_m * ((double)row + 0.5)};
            double reliability = 0.0;
            if (hr_plan_space_at(plan, at) == HR_PLAN_NONE) {
                continue;
            }
            status = best_from(g, at, &reliability, err);
            sum += reliability;
            points++;
        }
    }
    if (status == HR_OK) {
        *area = (hr_coverage_area){.share = points > 0 ? sum / (double)points : 0.0, .points = points};
    }
    return status;
}

hr_status hr_coverage_of_storey(const hr_building *building, const hr_links *links, uint32_t storey, uint32_t kind,
                                const hr_site *sites, size_t site_count, double step_m, hr_coverage_area *area,
                                hr_error *err)
{
    if (storey >= building->storey_count || kind >= building->kind_count || !(step_m >= STEP_MIN_M) || isinf(step_m)) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "no such storey or kind, or a grid finer than 0.05 m");
    }
    const hr_storey *s = &building->storeys[storey];
    const hr_plan *plan = s->plan;
    const double cells = (plan->box.x1 - plan->box.x0) / step_m * ((plan->box.y1 - plan->box.y0) / step_m);
    if (cells > POINTS_MAX) {
        return hr_fail(err, HR_ERR_LIMIT, NULL, 0,
                       "the grid has more than a million points; a wider step was expected");
    }
    const hr_terminal *radio = &building->kinds[kind].radio;
    grid g = {.building = building,
              .links = links,
              .sites = sites,
              .site_count = site_count,
              .device = {.z_m = s->elevation_m + radio->mount_height_m, .radio = radio}};
    const hr_status status = walk(&g, plan, step_m, area, err);
    hr_links_work_free(&g.work);
    return status;
}
