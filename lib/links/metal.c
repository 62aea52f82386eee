/*
 * metal.c - metal on the way of a link or near it. It lets through what its
 * table row says; round its edges left and right, and over or under it, goes
 * what a knife edge leaves (ITU-R P.526); the powers add up. The edges count
 * with their own sign, so that a ray that just clears one pays too; beside the
 * metal what goes through counts as far as the edge takes power away. So the loss
 * is continuous where the ray comes clear of it, whatever it lets through.
 *
 * Two edges in series (the corners of a thick body) are taken together by
 * hr_propagation_double_edge_db; of several corners the two that lose most
 * when taken together stand for that side.
 *
 * SPDX-License-Identifier: MIT
 */
#include "metal_priv.h"

#include "hr_limits.h"

#include <math.h>

/* ITU-R P.526: an edge this far clear costs nothing. */
#define CLEAR_V 0.78
/* Corners seen at once: of the hull, and two more where it is cut off at an end. */
#define CORNERS_MAX 32
/* Bodies are cut off half a wavelength before an end: an edge at the antenna
 * itself has no distance, and what lies behind it is not in the way. */
#define CUT_WAVES 0.5

/* A corner as the ray sees it, metres: along it in space, and to its left. */
typedef struct corner {
    double along, left;
} corner;

typedef struct view {
    const link_ray *ray;
    const link_metal *metal;
    double freq_mhz, wavelength_m, space_m, cut_m;
    corner corners[CORNERS_MAX];
    size_t count;
    bool in_line;    /* the hull meets the ray's line in plan */
    double from, to; /* where, metres along in space; else the nearest corner's place twice */
} view;

/* ---- edges ---- */

static double pair_db(const view *v, corner a, corner b, double sign)
{
    if (a.along > b.along) {
        const corner swap = a;
        a = b;
        b = swap;
    }
    const hr_edge_pair pair = {.d1_m = a.along,
                               .d2_m = b.along - a.along,
                               .d3_m = v->space_m - b.along,
                               .height1_m = sign * a.left,
                               .height2_m = sign * b.left};
    return hr_propagation_double_edge_db(v->freq_mhz, &pair);
}

static double corner_v(const view *v, corner c, double sign)
{
    return hr_propagation_fresnel_v(v->freq_mhz, sign * c.left, c.along, v->space_m - c.along);
}

/* v <= -0.78 without its root: h < 0 and 2 d h^2 >= 0.78^2 lambda d1 d2. */
static bool is_clear(const view *v, corner c, double sign)
{
    return sign * c.left < 0.0 &&
           2.0 * v->space_m * c.left * c.left >= CLEAR_V * CLEAR_V * v->wavelength_m * c.along * (v->space_m - c.along);
}

/* Every corner is clear on this side: nothing is lost. */
static bool side_is_clear(const view *v, const corner *corners, size_t count, double sign)
{
    for (size_t i = 0; i < count; i++) {
        if (!is_clear(v, corners[i], sign)) {
            return false;
        }
    }
    return true;
}

/* Loss of the way round one side: sign 1 left, -1 right. The worst single or double edge. */
static double side_db(const view *v, const corner *corners, size_t count, double sign)
{
    corner touching[CORNERS_MAX];
    size_t n = 0;
    double highest_v = -(double)INFINITY;
    for (size_t i = 0; i < count; i++) {
        if (!is_clear(v, corners[i], sign)) {
            highest_v = fmax(highest_v, corner_v(v, corners[i], sign));
            touching[n++] = corners[i];
        }
    }
    double worst_db = n > 0 ? hr_propagation_knife_edge_db(highest_v) : 0.0;
    for (size_t i = 0; i < n; i++) {
        for (size_t k = i + 1; k < n; k++) {
            worst_db = fmax(worst_db, pair_db(v, touching[i], touching[k], sign));
        }
    }
    return worst_db;
}

/* Over (sign 1) or under (-1) a horizontal face: its two edges where the ray passes the body. */
static double level_db(const view *v, double plane_m, double sign)
{
    const link_ray *ray = v->ray;
    const double slope = (ray->z1_m - ray->z0_m) / v->space_m;
    const double level = ray->length_m / v->space_m; /* heights are taken square to the ray */
    const corner edges[2] = {{v->from, (plane_m - (ray->z0_m + slope * v->from)) * level},
                             {v->to, (plane_m - (ray->z0_m + slope * v->to)) * level}};
    return side_db(v, edges, 2, sign);
}

/* ---- the body as the ray sees it ---- */

static corner seen(const view *v, hr_point p)
{
    const hr_segment line = v->ray->line;
    const double plan_m = v->ray->length_m;
    const double ux = (line.b.x - line.a.x) / plan_m, uy = (line.b.y - line.a.y) / plan_m;
    const double x = p.x - line.a.x, y = p.y - line.a.y;
    return (corner){(x * ux + y * uy) * (v->space_m / plan_m), y * ux - x * uy};
}

static corner between(corner a, corner b, double along)
{
    const double part = (along - a.along) / (b.along - a.along);
    return (corner){along, a.left + part * (b.left - a.left)};
}

/* Sutherland-Hodgman at one end: what lies on the far side of `at` (keep 1: above it, -1: below). */
static size_t cut_off(const corner *in, size_t count, double at, double keep, corner *out)
{
    size_t n = 0;
    for (size_t i = 0; i < count; i++) {
        const corner a = in[i], b = in[(i + 1) % count];
        const bool a_in = keep * (a.along - at) >= 0.0, b_in = keep * (b.along - at) >= 0.0;
        if (a_in && n < CORNERS_MAX) {
            out[n++] = a;
        }
        if (a_in != b_in && n < CORNERS_MAX) {
            out[n++] = between(a, b, at);
        }
    }
    return n;
}

/* Where the outline of the corners meets the ray's line. */
static void find_line(view *v)
{
    v->in_line = false;
    v->from = (double)INFINITY;
    v->to = -(double)INFINITY;
    size_t nearest = 0;
    for (size_t i = 0; i < v->count; i++) {
        const corner a = v->corners[i], b = v->corners[(i + 1) % v->count];
        if (fabs(a.left) < fabs(v->corners[nearest].left)) {
            nearest = i;
        }
        if ((a.left <= 0.0 && b.left >= 0.0) || (a.left >= 0.0 && b.left <= 0.0)) {
            const double part = a.left != b.left ? a.left / (a.left - b.left) : 0.0;
            const double along = a.along + part * (b.along - a.along);
            v->from = fmin(v->from, along);
            v->to = fmax(v->to, along);
            v->in_line = true;
        }
    }
    if (!v->in_line) {
        v->from = v->to = v->corners[nearest].along;
    }
}

/* False: nothing of the body lies between the ends. */
static bool look(view *v)
{
    corner all[CORNERS_MAX], cut[CORNERS_MAX];
    size_t count = v->metal->hull_count;
    for (size_t i = 0; i < count; i++) {
        all[i] = seen(v, v->metal->hull[i]);
    }
    count = cut_off(all, count, v->cut_m, 1.0, cut);
    v->count = cut_off(cut, count, v->space_m - v->cut_m, -1.0, v->corners);
    return v->count > 0;
}

/* ---- passing through ---- */

/* The stretch of the ray at the body's heights. */
static bool clip_heights(const link_ray *ray, const link_metal *metal, hr_span *stretch)
{
    const double rise = ray->z1_m - ray->z0_m;
    if (!(rise > 0.0)) {
        return ray->z0_m >= metal->low_m - LINK_CLOSED_M && ray->z0_m <= metal->high_m + LINK_CLOSED_M;
    }
    stretch->from = fmax(stretch->from, (metal->low_m - LINK_CLOSED_M - ray->z0_m) / rise);
    stretch->to = fmin(stretch->to, (metal->high_m + LINK_CLOSED_M - ray->z0_m) / rise);
    return stretch->from <= stretch->to;
}

typedef struct crossing {
    bool in_plan; /* the ray meets the metal itself in plan */
    bool through; /* and at its heights                     */
    bool hangs;   /* an end hangs on the face it looks away from: as if not there */
} crossing;

static hr_status cross_region(const link_ray *ray, const link_metal *metal, crossing *found)
{
    size_t count = 0;
    const hr_region *region = &metal->body->region;
    const hr_status status = link_passages(ray, region, 0.0, &count);
    for (size_t i = 0; status == HR_OK && i < count; i++) {
        hr_span stretch = ray->work->spans[i];
        if (link_hangs_on_region(ray, region, stretch)) {
            found->hangs = true;
            continue;
        }
        found->in_plan = true;
        found->through = found->through || (clip_heights(ray, metal, &stretch) &&
                                            (stretch.to - stretch.from) * ray->length_m > LINK_PASSAGE_M);
    }
    return status;
}

static void cross_lines(const link_ray *ray, const link_metal *metal, crossing *found)
{
    for (size_t i = 0; i < metal->body->line_count; i++) {
        const hr_segment line = metal->body->lines[i];
        double along = 0.0;
        if (!hr_geometry_cross(ray->line, line, &along, NULL)) {
            continue;
        }
        if (hr_geometry_to_segment(ray->line.a, line, NULL) <= LINK_END_M ||
            hr_geometry_to_segment(ray->line.b, line, NULL) <= LINK_END_M) {
            found->hangs = true;
            continue;
        }
        hr_span stretch = {along, along};
        found->in_plan = true;
        found->through = found->through || clip_heights(ray, metal, &stretch);
    }
}

/* ---- the loss ---- */

/* A bent shape that the ray passes without touching it: what lies left of the ray
 * and what lies right of it stand in its way each by itself. */
static double between_parts_db(const view *v)
{
    const hr_body *body = v->metal->body;
    double loss_db = 0.0;
    for (int part = -1; part <= 1; part += 2) {
        double nearest_db = 0.0;
        for (size_t r = 0; r < body->region.ring_count; r++) {
            for (size_t i = 0; i < body->region.rings[r].count; i++) {
                const corner c = seen(v, body->region.rings[r].points[i]);
                if (c.along > v->cut_m && c.along < v->space_m - v->cut_m && c.left * part > 0.0) {
                    nearest_db = fmax(nearest_db, side_db(v, &c, 1, -part));
                }
            }
        }
        for (size_t i = 0; i < 2 * body->line_count; i++) {
            const corner c = seen(v, i % 2 == 0 ? body->lines[i / 2].a : body->lines[i / 2].b);
            if (c.along > v->cut_m && c.along < v->space_m - v->cut_m && c.left * part > 0.0) {
                nearest_db = fmax(nearest_db, side_db(v, &c, 1, -part));
            }
        }
        loss_db += nearest_db;
    }
    return loss_db;
}

static double round_edges_db(const view *v, bool through)
{
    const link_ray *ray = v->ray;
    const link_metal *metal = v->metal;
    double edges_db[4];
    size_t count = 0;
    for (int side = -1; side <= 1; side += 2) {
        edges_db[count] = side_db(v, v->corners, v->count, side);
        if (!(edges_db[count++] > 0.0)) {
            return 0.0; /* clear of it: the fit of J reaches 0 a little before v = -0.78 */
        }
    }
    /* a face in a slab's plane is closed unless the link reaches beyond that slab */
    if (!isinf(metal->high_m) && (!metal->under_slab || ray->z1_m > metal->high_m)) {
        edges_db[count++] = level_db(v, metal->high_m, 1.0);
    }
    if (!isinf(metal->low_m) && (!metal->on_slab || ray->z0_m < metal->low_m)) {
        edges_db[count++] = level_db(v, metal->low_m, -1.0);
    }
    double lightest_db = edges_db[0];
    for (size_t i = 1; i < count; i++) {
        lightest_db = fmin(lightest_db, edges_db[i]);
    }
    const double share = through ? 1.0 : hr_propagation_through_share(lightest_db);
    return hr_propagation_metal_db(metal->through_db - 10.0 * log10(share), edges_db, count);
}

static hr_status cross_one(const link_ray *ray, const link_metal *metal)
{
    view v = {.ray = ray,
              .metal = metal,
              .freq_mhz = ray->links->building->radio.frequency_mhz,
              .wavelength_m = ray->links->wavelength_m,
              .space_m = ray->space_m,
              .cut_m = fmin(CUT_WAVES * ray->links->wavelength_m, 0.25 * ray->space_m)};
    if (!look(&v) || side_is_clear(&v, v.corners, v.count, 1.0) || side_is_clear(&v, v.corners, v.count, -1.0)) {
        return HR_OK;
    }
    find_line(&v);
    crossing found = {.hangs = false};
    if (metal->body->region.ring_count > 0) {
        const hr_status status = cross_region(ray, metal, &found);
        if (status != HR_OK) {
            return status;
        }
    } else {
        cross_lines(ray, metal, &found);
    }
    if (found.hangs && !found.in_plan) {
        return HR_OK;
    }
    const bool between_parts = v.in_line && !found.in_plan && !metal->convex;
    const double loss_db = between_parts ? between_parts_db(&v) : round_edges_db(&v, found.through);
    const hr_item item = {.kind = HR_ITEM_METAL,
                          .storey = metal->storey,
                          .index = metal->index,
                          .material = metal->material,
                          .loss_db = loss_db,
                          .table_db = metal->through_db,
                          .along = 0.5 * (v.from + v.to) / ray->space_m};
    return loss_db > 0.0 ? link_add_item(ray, &item) : HR_OK;
}

/* Of the lists of the ray's storeys the next body not yet taken, by its place among all; UINT32_MAX: none is left. */
static uint32_t next_metal(const link_ray *ray, size_t *cursors)
{
    const hr_links *links = ray->links;
    uint32_t next = UINT32_MAX;
    for (uint32_t s = ray->storey0; s <= ray->storey1; s++) {
        const size_t at = cursors[s - ray->storey0];
        if (at < links->metal_start[s + 1] && links->metal_ids[at] < next) {
            next = links->metal_ids[at];
        }
    }
    for (uint32_t s = ray->storey0; s <= ray->storey1; s++) {
        size_t *at = &cursors[s - ray->storey0];
        *at += *at < links->metal_start[s + 1] && links->metal_ids[*at] == next;
    }
    return next;
}

hr_status link_cross_metal(const link_ray *ray)
{
    /* No part of a body farther off in plan than what 0.78 of the parameter clears
     * at the widest, half way, is in the way: 0.78 sqrt(lambda d / 8). */
    const double reach_m = CLEAR_V * sqrt(0.125 * ray->links->wavelength_m * ray->space_m);
    const hr_point a = ray->line.a, b = ray->line.b;
    const hr_box near_by = {fmin(a.x, b.x) - reach_m, fmin(a.y, b.y) - reach_m, fmax(a.x, b.x) + reach_m,
                            fmax(a.y, b.y) + reach_m};
    size_t cursors[HR_MAX_STOREYS]; /* slabs part it from what stands on other storeys */
    for (uint32_t s = ray->storey0; s <= ray->storey1; s++) {
        cursors[s - ray->storey0] = ray->links->metal_start[s];
    }
    hr_status status = HR_OK;
    for (uint32_t i = next_metal(ray, cursors); i != UINT32_MAX && status == HR_OK; i = next_metal(ray, cursors)) {
        const link_metal *metal = &ray->links->metals[i];
        const bool apart = metal->box.x0 > near_by.x1 || metal->box.x1 < near_by.x0 || metal->box.y0 > near_by.y1 ||
                           metal->box.y1 < near_by.y0;
        if (!apart) {
            status = cross_one(ray, metal);
        }
    }
    return status;
}
