/*
 * metal_list.c - the metal of a building as upright bodies in space.
 *
 * A body without heights runs from slab to slab; the same body drawn on
 * storeys one above the other is one. A lift shaft runs through all storeys.
 *
 * SPDX-License-Identifier: MIT
 */
#include "metal_priv.h"

#include <math.h>
#include <stdlib.h>

/* Outlines of one body on two storeys agree within this. */
#define SAME_OUTLINE_M 0.001
/* Corners of a hull that are kept; rounder bodies lose their flattest ones. */
#define HULL_MAX 24

/* ---- hulls ---- */

static double turn(hr_point a, hr_point b, hr_point c)
{
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

static int compare_points(const void *left, const void *right)
{
    const hr_point *a = left, *b = right;
    if (a->x != b->x) {
        return a->x < b->x ? -1 : 1;
    }
    return (a->y > b->y) - (a->y < b->y);
}

static size_t all_points(const hr_body *body, hr_point *out)
{
    size_t count = 0;
    for (size_t r = 0; r < body->region.ring_count; r++) {
        for (size_t i = 0; i < body->region.rings[r].count; i++) {
            if (out != NULL) {
                out[count] = body->region.rings[r].points[i];
            }
            count++;
        }
    }
    for (size_t i = 0; i < body->line_count; i++) {
        if (out != NULL) {
            out[count] = body->lines[i].a;
            out[count + 1] = body->lines[i].b;
        }
        count += 2;
    }
    return count;
}

/* Andrew's monotone chain: counter-clockwise in x right, y up. points are sorted. */
static size_t convex_hull(const hr_point *points, size_t count, hr_point *hull)
{
    size_t n = 0;
    for (size_t i = 0; i < count; i++) {
        while (n >= 2 && turn(hull[n - 2], hull[n - 1], points[i]) <= 0.0) {
            n--;
        }
        hull[n++] = points[i];
    }
    const size_t lower = n + 1;
    for (size_t i = count; i-- > 0;) {
        while (n >= lower && turn(hull[n - 2], hull[n - 1], points[i]) <= 0.0) {
            n--;
        }
        hull[n++] = points[i];
    }
    return n > 1 ? n - 1 : n; /* the last is the first again */
}

static size_t drop_flattest(hr_point *hull, size_t n)
{
    while (n > HULL_MAX) {
        size_t flattest = 0;
        double least = (double)INFINITY;
        for (size_t i = 0; i < n; i++) {
            const double area = fabs(turn(hull[(i + n - 1) % n], hull[i], hull[(i + 1) % n]));
            if (area < least) {
                least = area;
                flattest = i;
            }
        }
        for (size_t i = flattest; i + 1 < n; i++) {
            hull[i] = hull[i + 1];
        }
        n--;
    }
    return n;
}

static double hull_area(const hr_point *hull, size_t n)
{
    double twice = 0.0;
    for (size_t i = 1; i + 1 < n; i++) {
        twice += turn(hull[0], hull[i], hull[i + 1]);
    }
    return 0.5 * fabs(twice);
}

static hr_status make_hull(link_metal *metal, hr_error *err)
{
    const size_t count = all_points(metal->body, NULL);
    hr_point *points = hr_alloc(count, sizeof *points);
    hr_point *hull = hr_alloc(2 * count + 2, sizeof *hull);
    if (points == NULL || hull == NULL) {
        hr_free(points);
        hr_free(hull);
        return hr_fail_memory(err);
    }
    (void)all_points(metal->body, points);
    qsort(points, count, sizeof *points, compare_points);
    const size_t full = convex_hull(points, count, hull);
    const double area = hull_area(hull, full);
    const double own = metal->body->region.ring_count > 0 ? hr_geometry_area(&metal->body->region) : 0.0;
    metal->convex = area - own <= 1e-6 + 1e-3 * area;
    metal->box = hr_geometry_box(hull, full);
    metal->hull = hull;
    metal->hull_count = drop_flattest(hull, full);
    hr_free(points);
    return HR_OK;
}

/* ---- bodies through storeys ---- */

static bool same_outline(const link_metal *a, const link_metal *b)
{
    if (a->material != b->material || a->hull_count != b->hull_count) {
        return false;
    }
    for (size_t i = 0; i < a->hull_count; i++) {
        if (hr_geometry_distance(a->hull[i], b->hull[i]) > SAME_OUTLINE_M) {
            return false;
        }
    }
    return true;
}

static bool overlap(const link_metal *a, const link_metal *b)
{
    return hr_geometry_boxes_touch(a->box, b->box, 0.0);
}

/* Goes on from the same body on the storey below. */
static bool goes_on(hr_links *links, const link_metal *metal)
{
    for (size_t i = 0; i < links->metal_count; i++) {
        link_metal *below = &links->metals[i];
        if (!below->has_heights && below->storey1 + 1 == metal->storey0 && same_outline(below, metal)) {
            below->storey1 = metal->storey1;
            return true;
        }
    }
    return false;
}

static hr_status add_body(hr_links *links, uint32_t storey, uint32_t index, size_t *cap, hr_error *err)
{
    const hr_body *body = &links->building->storeys[storey].plan->metals[index];
    if (body->region.ring_count == 0 && body->line_count == 0) {
        return HR_OK;
    }
    const hr_material *material = hr_materials_get(links->building->materials, body->material);
    link_metal metal = {.body = body,
                        .storey = storey,
                        .index = index,
                        .material = body->material,
                        .through_db = links->loss_db[HR_USE_METAL][body->material],
                        .storey0 = storey,
                        .storey1 = storey,
                        .has_heights = !isinf(body->low_m) || !isinf(body->high_m)};
    metal.is_lift = !metal.has_heights && hr_caseeq_n(material->name, "lift", 4);
    hr_status status = make_hull(&metal, err);
    if (status != HR_OK) {
        return status;
    }
    if (!metal.has_heights && goes_on(links, &metal)) {
        hr_free(metal.hull);
        return HR_OK;
    }
    if (!HR_RESERVE(links->metals, *cap, links->metal_count + 1)) {
        hr_free(metal.hull);
        return hr_fail_memory(err);
    }
    links->metals[links->metal_count++] = metal;
    return HR_OK;
}

/* A lift drawn on some storeys only runs on, up and down, until another lift stands there. */
static void extend_lift(hr_links *links, link_metal *lift)
{
    uint32_t low = 0, high = (uint32_t)links->building->storey_count - 1;
    for (size_t i = 0; i < links->metal_count; i++) {
        const link_metal *other = &links->metals[i];
        if (other == lift || !other->is_lift || !overlap(other, lift)) {
            continue;
        }
        if (other->storey0 > lift->storey1 && other->storey0 - 1 < high) {
            high = other->storey0 - 1;
        }
        if (other->storey1 < lift->storey0 && other->storey1 + 1 > low) {
            low = other->storey1 + 1;
        }
    }
    lift->storey0 = low < lift->storey0 ? low : lift->storey0;
    lift->storey1 = high > lift->storey1 ? high : lift->storey1;
}

static void set_heights(const hr_building *building, link_metal *metal)
{
    const hr_storey *first = &building->storeys[metal->storey0];
    const bool top = metal->storey1 + 1 == building->storey_count;
    const double ceiling_m =
        top ? building->storeys[metal->storey1].elevation_m + building->storeys[metal->storey1].floor_to_floor_m
            : building->storeys[metal->storey1 + 1].elevation_m;
    metal->low_m = first->elevation_m;
    metal->high_m = ceiling_m;
    if (metal->has_heights) {
        metal->low_m = fmax(first->elevation_m + metal->body->low_m, metal->low_m);
        metal->high_m = fmin(first->elevation_m + metal->body->high_m, metal->high_m);
    }
    metal->on_slab = metal->low_m <= first->elevation_m + LINK_CLOSED_M;
    metal->under_slab = metal->high_m >= ceiling_m - LINK_CLOSED_M;
    if (metal->on_slab && metal->storey0 == 0) {
        metal->low_m = -(double)INFINITY; /* stands on the ground */
    }
    if (metal->under_slab && top) {
        metal->high_m = (double)INFINITY;
    }
}

/* What a link looks at: in a tall building little of all there is. */
static hr_status list_by_storey(hr_links *links, hr_error *err)
{
    const size_t storeys = links->building->storey_count;
    size_t count = 0;
    for (size_t i = 0; i < links->metal_count; i++) {
        count += (size_t)(links->metals[i].storey1 - links->metals[i].storey0) + 1;
    }
    links->metal_start = hr_alloc_zero(storeys + 1, sizeof *links->metal_start);
    links->metal_ids = hr_alloc(count, sizeof *links->metal_ids);
    if (links->metal_start == NULL || links->metal_ids == NULL) {
        return hr_fail_memory(err);
    }
    size_t used = 0;
    for (uint32_t storey = 0; storey < storeys; storey++) {
        links->metal_start[storey] = used;
        for (size_t i = 0; i < links->metal_count; i++) {
            if (links->metals[i].storey0 <= storey && links->metals[i].storey1 >= storey) {
                links->metal_ids[used++] = (uint32_t)i;
            }
        }
    }
    links->metal_start[storeys] = used;
    return HR_OK;
}

hr_status link_prepare_metal(hr_links *links, hr_error *err)
{
    const hr_building *building = links->building;
    size_t cap = 0;
    hr_status status = HR_OK;
    for (uint32_t storey = 0; status == HR_OK && storey < building->storey_count; storey++) {
        for (uint32_t i = 0; status == HR_OK && i < building->storeys[storey].plan->metal_count; i++) {
            status = add_body(links, storey, i, &cap, err);
        }
    }
    for (size_t i = 0; status == HR_OK && i < links->metal_count; i++) {
        if (links->metals[i].is_lift) {
            extend_lift(links, &links->metals[i]);
        }
    }
    for (size_t i = 0; status == HR_OK && i < links->metal_count; i++) {
        set_heights(building, &links->metals[i]);
    }
    return status == HR_OK ? list_by_storey(links, err) : status;
}

void link_free_metal(hr_links *links)
{
    for (size_t i = 0; i < links->metal_count; i++) {
        hr_free(links->metals[i].hull);
    }
    hr_free(links->metals);
    hr_free(links->metal_start);
    hr_free(links->metal_ids);
}
