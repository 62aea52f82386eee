/*
 * bodies.c - solids (filled wall bodies): one loss per passage, and a passage
 * that a slab's plane cuts counts once in all.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_priv.h"

#include <math.h>

/* Passages that reach the slab plane above wait here for the next storey. */
#define PENDING_MAX 16

typedef struct passage {
    hr_item item;
    hr_span stretch; /* fractions of the ray */
} passage;

typedef struct pending {
    passage open[PENDING_MAX];
    size_t count;
} pending;

/* True when the edge through which the passage leaves at `exit` is so near to
 * the end at `end` that the end hangs on it: nothing is passed there. */
static bool leaves_where_it_hangs(const hr_region *region, hr_point end, hr_point exit)
{
    double nearest = (double)INFINITY;
    for (size_t r = 0; r < region->ring_count; r++) {
        const hr_ring *ring = &region->rings[r];
        for (size_t i = 0; i < ring->count; i++) {
            const hr_segment edge = {ring->points[i], ring->points[(i + 1) % ring->count]};
            if (hr_geometry_to_segment(exit, edge, NULL) <= LINK_CLOSED_M) {
                nearest = fmin(nearest, hr_geometry_to_segment(end, edge, NULL));
            }
        }
    }
    return nearest <= LINK_END_M;
}

bool link_hangs_on_region(const link_ray *ray, const hr_region *region, hr_span stretch)
{
    const bool starts = stretch.from <= 0.0, ends = stretch.to >= 1.0;
    if (starts == ends) {
        return false; /* passes through, or lies inside as a whole */
    }
    const hr_point inner = starts ? ray->line.a : ray->line.b;
    const hr_point exit = hr_geometry_at(ray->line, starts ? stretch.to : stretch.from);
    return leaves_where_it_hangs(region, inner, exit);
}

/* A door or window drawn through a solid stands for it where the ray crosses the opening. */
static void open_solid(const link_ray *ray, const link_part *part, passage *found)
{
    const link_plan *prepared = part->plan;
    const double reach = LINK_OPENING_REACH_M / ray->length_m;
    for (size_t i = 0; i < prepared->solid_opening_count; i++) {
        const uint32_t index = prepared->solid_openings[i];
        const hr_opening *opening = &prepared->plan->openings[index];
        double along = 0.0;
        if (!hr_geometry_cross(ray->line, opening->line, &along, NULL) || along < found->stretch.from - reach ||
            along > found->stretch.to + reach) {
            continue;
        }
        const double height_m = link_height_m(ray, part, along);
        double angle_deg = 0.0;
        const double loss_db = link_wall_db(ray, HR_USE_OPENING, opening->material, opening->line, &angle_deg);
        const bool inside =
            height_m >= opening->low_m - LINK_CLOSED_M && height_m <= opening->high_m + LINK_CLOSED_M;
        if (inside && (found->item.kind == HR_ITEM_SOLID || loss_db < found->item.loss_db)) {
            found->item.kind = HR_ITEM_OPENING;
            found->item.index = index;
            found->item.material = opening->material;
            found->item.loss_db = found->item.table_db = loss_db;
            found->item.angle_deg = angle_deg;
            found->item.along = along;
        }
    }
}

/* The stretch cut to the part; false: nothing left. */
static bool clip(const link_part *part, hr_span *stretch)
{
    stretch->from = fmax(stretch->from, part->from);
    stretch->to = fmin(stretch->to, part->to);
    return stretch->from <= stretch->to;
}

static hr_status close_passage(const link_ray *ray, const passage *found)
{
    if ((found->stretch.to - found->stretch.from) * ray->length_m <= LINK_PASSAGE_M) {
        return HR_OK;
    }
    return link_add_item(ray, &found->item);
}

/* Goes on from a passage that waits at the slab below, or starts anew. */
static hr_status take_passage(const link_ray *ray, const link_part *part, passage found, pending *below,
                              pending *above)
{
    if (part->storey > ray->storey0 && found.stretch.from <= part->from) {
        for (size_t i = 0; i < below->count; i++) {
            if (below->open[i].stretch.to < 0.0) {
                continue; /* already taken */
            }
            const passage lower = below->open[i];
            below->open[i].stretch.to = -1.0;
            found.stretch.from = lower.stretch.from;
            if (lower.item.loss_db > found.item.loss_db) {
                found.item = lower.item;
            }
            break;
        }
    }
    if (part->open_end && found.stretch.to >= part->to && above->count < PENDING_MAX) {
        above->open[above->count++] = found;
        return HR_OK;
    }
    return close_passage(ray, &found);
}

hr_status link_passages(const link_ray *ray, const hr_region *region, double min_length_m, size_t *count)
{
    hr_link_work *work = ray->work;
    size_t found = hr_geometry_passages(region, ray->line, 0.0, min_length_m, work->spans, work->span_cap);
    if (found > work->span_cap) {
        if (!HR_RESERVE(work->spans, work->span_cap, found)) {
            return hr_fail_memory(ray->err);
        }
        found = hr_geometry_passages(region, ray->line, 0.0, min_length_m, work->spans, work->span_cap);
    }
    *count = found;
    return HR_OK;
}

static bool ray_box_apart(const link_ray *ray, const hr_body *body)
{
    const hr_point ends[2] = {ray->line.a, ray->line.b};
    return !hr_geometry_boxes_touch(hr_geometry_box(ends, 2), body->region.box, 0.0);
}

/* One solid on one storey. */
static hr_status cross_solid(const link_ray *ray, const link_part *part, const hr_item *item, const hr_body *body,
                             pending *below, pending *above)
{
    if (ray_box_apart(ray, body)) {
        return HR_OK;
    }
    size_t count = 0;
    hr_status status = link_passages(ray, &body->region, LINK_PASSAGE_M, &count);
    for (size_t i = 0; status == HR_OK && i < count; i++) {
        passage found = {.item = *item, .stretch = ray->work->spans[i]};
        if (link_hangs_on_region(ray, &body->region, found.stretch) || !clip(part, &found.stretch)) {
            continue;
        }
        found.item.along = 0.5 * (found.stretch.from + found.stretch.to);
        found.item.loss_db = found.item.table_db =
            link_solid_db(ray, body, ray->work->spans[i], &found.item.angle_deg);
        open_solid(ray, part, &found);
        status = take_passage(ray, part, found, below, above);
    }
    return status;
}

static hr_status close_pending(const link_ray *ray, const pending *below)
{
    hr_status status = HR_OK;
    for (size_t i = 0; status == HR_OK && i < below->count; i++) {
        if (below->open[i].stretch.to >= 0.0) {
            status = close_passage(ray, &below->open[i]);
        }
    }
    return status;
}

hr_status link_cross_solids(const link_ray *ray)
{
    pending below = {.count = 0};
    hr_status status = HR_OK;
    for (uint32_t storey = ray->storey0; status == HR_OK && storey <= ray->storey1; storey++) {
        const link_part part = link_part_of(ray, storey);
        const hr_plan *plan = part.plan->plan;
        pending above = {.count = 0};
        for (size_t i = 0; status == HR_OK && i < plan->solid_count; i++) {
            const hr_item item = {.kind = HR_ITEM_SOLID,
                                  .storey = storey,
                                  .index = (uint32_t)i,
                                  .material = plan->solids[i].material};
            status = cross_solid(ray, &part, &item, &plan->solids[i], &below, &above);
        }
        if (status == HR_OK) {
            status = close_pending(ray, &below);
        }
        below = above;
    }
    return status;
}
