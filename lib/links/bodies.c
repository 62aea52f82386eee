/*
 * bodies.c - solids (filled wall bodies) and metal: one loss per passage, and
 * a passage that a slab's plane cuts counts once in all.
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

static const hr_body *bodies_of(const hr_plan *plan, hr_item_kind kind, size_t *count)
{
    *count = kind == HR_ITEM_SOLID ? plan->solid_count : plan->metal_count;
    return kind == HR_ITEM_SOLID ? plan->solids : plan->metals;
}

/* True when the edge through which the passage leaves at `exit` is so near to
 * the end at `end` that the end hangs on it: nothing is passed there. */
static bool leaves_where_it_hangs(const hr_body *body, hr_point end, hr_point exit)
{
    double nearest = (double)INFINITY;
    for (size_t r = 0; r < body->region.ring_count; r++) {
        const hr_ring *ring = &body->region.rings[r];
        for (size_t i = 0; i < ring->count; i++) {
            const hr_segment edge = {ring->points[i], ring->points[(i + 1) % ring->count]};
            if (hr_geometry_to_segment(exit, edge, NULL) <= LINK_CLOSED_M) {
                nearest = fmin(nearest, hr_geometry_to_segment(end, edge, NULL));
            }
        }
    }
    return nearest <= LINK_END_M;
}

static bool hangs_on_body(const link_ray *ray, const hr_body *body, hr_span stretch)
{
    const bool starts = stretch.from <= 0.0, ends = stretch.to >= 1.0;
    if (starts == ends) {
        return false; /* passes through, or lies inside as a whole */
    }
    const hr_point inner = starts ? ray->line.a : ray->line.b;
    const hr_point exit = hr_geometry_at(ray->line, starts ? stretch.to : stretch.from);
    return leaves_where_it_hangs(body, inner, exit);
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
        const double loss_db = ray->links->loss_db[HR_USE_OPENING][opening->material];
        const bool inside =
            height_m >= opening->low_m - LINK_CLOSED_M && height_m <= opening->high_m + LINK_CLOSED_M;
        if (inside && (found->item.kind == HR_ITEM_SOLID || loss_db < found->item.loss_db)) {
            found->item.kind = HR_ITEM_OPENING;
            found->item.index = index;
            found->item.material = opening->material;
            found->item.loss_db = found->item.table_db = loss_db;
            found->item.along = along;
        }
    }
}

/* The stretch cut to the part and to the body's height range; false: nothing left. */
static bool clip(const link_ray *ray, const link_part *part, const hr_body *body, hr_span *stretch)
{
    double from = fmax(stretch->from, part->from), to = fmin(stretch->to, part->to);
    if (from > to) {
        return false;
    }
    const double rise = ray->z1_m - ray->z0_m;
    const double low = body->low_m - LINK_CLOSED_M, high = body->high_m + LINK_CLOSED_M;
    if (rise <= 0.0) {
        const double height_m = link_height_m(ray, part, 0.0);
        if (height_m < low || height_m > high) {
            return false;
        }
    } else {
        from = fmax(from, (low + part->floor_m - ray->z0_m) / rise);
        to = fmin(to, (high + part->floor_m - ray->z0_m) / rise);
    }
    *stretch = (hr_span){from, to};
    return from <= to;
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

static hr_status passages_of(const link_ray *ray, const hr_region *region, double min_length_m, size_t *count)
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

/* One closed body on one storey. Metal: the whole shape is one passage. */
static hr_status cross_region(const link_ray *ray, const link_part *part, const hr_item *item, const hr_body *body,
                              pending *below, pending *above)
{
    if (ray_box_apart(ray, body)) {
        return HR_OK;
    }
    size_t count = 0;
    hr_status status = passages_of(ray, &body->region, LINK_PASSAGE_M, &count);
    bool counted = false;
    for (size_t i = 0; status == HR_OK && i < count; i++) {
        passage found = {.item = *item, .stretch = ray->work->spans[i]};
        if (hangs_on_body(ray, body, found.stretch) || !clip(ray, part, body, &found.stretch)) {
            continue;
        }
        found.item.along = 0.5 * (found.stretch.from + found.stretch.to);
        if (item->kind == HR_ITEM_SOLID) {
            open_solid(ray, part, &found);
        } else if (counted) {
            continue;
        }
        counted = true;
        status = take_passage(ray, part, found, below, above);
    }
    return status;
}

/* Metal drawn as a line: crossed or not, inside its heights. */
static hr_status cross_lines(const link_ray *ray, const link_part *part, const hr_item *item, const hr_body *body)
{
    for (size_t i = 0; i < body->line_count; i++) {
        double along = 0.0;
        if (!hr_geometry_cross(ray->line, body->lines[i], &along, NULL) || !link_part_holds(part, along)) {
            continue;
        }
        const bool hangs =
            (part->storey == ray->storey0 && hr_geometry_to_segment(ray->line.a, body->lines[i], NULL) <= LINK_END_M) ||
            (part->storey == ray->storey1 && hr_geometry_to_segment(ray->line.b, body->lines[i], NULL) <= LINK_END_M);
        const double height_m = link_height_m(ray, part, along);
        if (!hangs && height_m >= body->low_m - LINK_CLOSED_M && height_m <= body->high_m + LINK_CLOSED_M) {
            hr_item crossing = *item;
            crossing.along = along;
            return link_add_item(ray, &crossing);
        }
    }
    return HR_OK;
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

static hr_status cross_kind(const link_ray *ray, hr_item_kind kind, hr_material_use use)
{
    pending below = {.count = 0};
    hr_status status = HR_OK;
    for (uint32_t storey = ray->storey0; status == HR_OK && storey <= ray->storey1; storey++) {
        const link_part part = link_part_of(ray, storey);
        pending above = {.count = 0};
        size_t count = 0;
        const hr_body *bodies = bodies_of(part.plan->plan, kind, &count);
        for (size_t i = 0; status == HR_OK && i < count; i++) {
            const double loss_db = ray->links->loss_db[use][bodies[i].material];
            const hr_item item = {.kind = kind,
                                  .storey = storey,
                                  .index = (uint32_t)i,
                                  .material = bodies[i].material,
                                  .loss_db = loss_db,
                                  .table_db = loss_db};
            status = bodies[i].region.ring_count > 0 ? cross_region(ray, &part, &item, &bodies[i], &below, &above)
                                                     : cross_lines(ray, &part, &item, &bodies[i]);
        }
        if (status == HR_OK) {
            status = close_pending(ray, &below);
        }
        below = above;
    }
    return status;
}

hr_status link_cross_bodies(const link_ray *ray)
{
    const hr_status status = cross_kind(ray, HR_ITEM_SOLID, HR_USE_WALL);
    return status != HR_OK ? status : cross_kind(ray, HR_ITEM_METAL, HR_USE_METAL);
}
