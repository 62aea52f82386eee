/*
 * legs.c - straight pieces of ways: what they cross, how far they run in
 * corridors and rooms.
 *
 * SPDX-License-Identifier: MIT
 */
#include "ways_priv.h"

#include <math.h>

/* ---- corridors and rooms ---- */

/* Corridor stretches that begin or end with the leg go on in the next one. */
static void take_corridor(link_leg *leg, uint32_t space, double from_m, double to_m, double length_m)
{
    const double stretch_m = to_m - from_m;
    leg->longest_m = fmax(leg->longest_m, stretch_m);
    if (from_m <= LINK_END_M && stretch_m > leg->first_m) {
        leg->first = space;
        leg->first_m = stretch_m;
    }
    if (to_m >= length_m - LINK_END_M && stretch_m > leg->last_m) {
        leg->last = space;
        leg->last_m = stretch_m;
    }
}

/* All four corners of the box lie on one side of the ray's line. */
static bool passes_by(const link_ray *ray, hr_box box)
{
    const double dx = ray->line.b.x - ray->line.a.x, dy = ray->line.b.y - ray->line.a.y;
    const double centre = dx * (0.5 * (box.y0 + box.y1) - ray->line.a.y) - dy * (0.5 * (box.x0 + box.x1) - ray->line.a.x);
    const double reach = 0.5 * (fabs(dx) * (box.y1 - box.y0) + fabs(dy) * (box.x1 - box.x0));
    return fabs(centre) > reach * (1.0 + 1e-9) + 1e-9; /* a margin: the exact test follows */
}

static hr_status stretches_on(const link_ray *ray, const link_part *part, link_leg *leg)
{
    const hr_plan *plan = part->plan->plan;
    const hr_point a = hr_geometry_at(ray->line, part->from), b = hr_geometry_at(ray->line, part->to);
    const hr_box box = {fmin(a.x, b.x), fmin(a.y, b.y), fmax(a.x, b.x), fmax(a.y, b.y)};
    for (uint32_t s = 0; s < plan->space_count; s++) {
        const hr_space *space = &plan->spaces[s];
        const hr_box other = space->region.box;
        if (space->kind == HR_SPACE_AREA || box.x0 > other.x1 || box.x1 < other.x0 || box.y0 > other.y1 ||
            box.y1 < other.y0 || passes_by(ray, other)) {
            continue;
        }
        size_t count = 0;
        const hr_status status = link_space_stretches(ray, part->plan, s, &count);
        if (status != HR_OK) {
            return status;
        }
        for (size_t i = 0; i < count; i++) {
            const hr_span span = ray->work->spans[i];
            const double from = fmax(span.from, part->from), to = fmin(span.to, part->to);
            if (from >= to) {
                continue;
            }
            if (space->kind == HR_SPACE_ROOM) {
                leg->room_m += (to - from) * ray->space_m;
            } else {
                take_corridor(leg, s, from * ray->space_m, to * ray->space_m, ray->space_m);
            }
        }
    }
    return HR_OK;
}

double link_corridor_m(const link_leg *const *legs, size_t count)
{
    double longest_m = 0.0, running_m = 0.0;
    uint32_t running = HR_PLAN_NONE;
    for (size_t i = 0; i < count; i++) {
        const link_leg *leg = legs[i];
        longest_m = fmax(longest_m, leg->longest_m);
        const bool goes_on = running != HR_PLAN_NONE && leg->first == running;
        const double joined_m = goes_on ? running_m + leg->first_m : leg->first_m;
        longest_m = fmax(longest_m, joined_m);
        const bool whole = leg->first != HR_PLAN_NONE && leg->first == leg->last && leg->first_m >= leg->length_m - LINK_END_M;
        running = leg->last;
        running_m = whole ? joined_m : leg->last_m;
    }
    return longest_m;
}

/* ---- legs ---- */

hr_status link_leg_of_ray(const link_ray *ray, size_t keep, link_leg *leg)
{
    link_leg found = {.length_m = ray->space_m, .first = HR_PLAN_NONE, .last = HR_PLAN_NONE};
    hr_status status = link_cross_ray(ray, keep);
    for (uint32_t storey = ray->storey0; status == HR_OK && storey <= ray->storey1; storey++) {
        if (ray->length_m >= LINK_PLAN_MIN_M) {
            const link_part part = link_part_of(ray, storey);
            status = stretches_on(ray, &part, &found);
        }
    }
    if (status != HR_OK) {
        return status;
    }
    hr_link sums = {.walls = 0};
    if (ray->work->item_count > keep) { /* items may still be NULL when nothing was ever met */
        link_sum_items(ray->work->items + keep, ray->work->item_count - keep, &sums);
    }
    found.wall_db = sums.wall_loss_db;
    found.floor_db = sums.floor_loss_db;
    found.metal_db = sums.metal_loss_db;
    found.walls = sums.walls;
    found.beyond = sums.beyond;
    found.loss_db = found.wall_db + found.floor_db + found.metal_db + HR_ROOM_LOSS_DB_PER_M * found.room_m;
    *leg = found;
    return HR_OK;
}

link_leg link_leg_back(const link_leg *leg)
{
    link_leg back = *leg;
    back.first = leg->last;
    back.first_m = leg->last_m;
    back.last = leg->first;
    back.last_m = leg->first_m;
    return back;
}

hr_status link_measure_leg(const hr_links *links, hr_link_work *work, const hr_end *from, const hr_end *to, bool even,
                           link_leg *leg, hr_error *err)
{
    const bool forward = link_in_order(from, to);
    link_ray ray = link_ray_of(links, work, forward ? from : to, forward ? to : from, err);
    ray.even = even;
    link_leg found;
    const hr_status status = link_leg_of_ray(&ray, 0, &found);
    if (status == HR_OK) {
        *leg = forward ? found : link_leg_back(&found);
    }
    return status;
}
