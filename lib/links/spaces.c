/*
 * spaces.c - the stretches of a ray inside rooms and corridors. A ray that
 * comes near no corner of a simple outline is cut at its edges as it goes; any
 * other is left to the geometry module, which decides such cases exactly.
 *
 * SPDX-License-Identifier: MIT
 */
#include "ways_priv.h"

#include <math.h>
#include <stdlib.h>

#define CORNERS_MAX 32
/* A corner this near to the ray's line, or an edge met this near to an end, is not for the quick way. */
#define NEAR_M 1e-6

/* One ring that does not meet itself. */
static bool is_simple(const hr_region *region)
{
    if (region->ring_count != 1 || region->rings[0].count < 3 || region->rings[0].count > CORNERS_MAX) {
        return false;
    }
    const hr_ring *ring = &region->rings[0];
    const size_t n = ring->count;
    for (size_t i = 0; i < n; i++) {
        const hr_segment edge = {ring->points[i], ring->points[(i + 1) % n]};
        if (!(hr_geometry_length(edge) > NEAR_M)) {
            return false;
        }
        for (size_t k = i + 2; k < n; k++) {
            const hr_segment other = {ring->points[k], ring->points[(k + 1) % n]};
            if ((k + 1) % n != i && hr_geometry_segments_gap(edge, other) <= NEAR_M) {
                return false;
            }
        }
    }
    return true;
}

hr_status link_find_simple_spaces(link_plan *prepared, hr_error *err)
{
    const hr_plan *plan = prepared->plan;
    prepared->space_is_simple = hr_alloc(plan->space_count, sizeof *prepared->space_is_simple);
    for (size_t i = 0; prepared->space_is_simple != NULL && i < plan->space_count; i++) {
        prepared->space_is_simple[i] = is_simple(&plan->spaces[i].region);
    }
    return prepared->space_is_simple == NULL ? hr_fail_memory(err) : HR_OK;
}

static void insert(double *places, size_t count, double place)
{
    while (count > 0 && places[count - 1] > place) {
        places[count] = places[count - 1];
        count--;
    }
    places[count] = place;
}

/* Where the ray's line meets the ring beyond the ray's start, ascending; false: too close to call. */
static bool cut_ring(const link_ray *ray, const hr_ring *ring, double places[CORNERS_MAX], size_t *count)
{
    const hr_point a = ray->line.a;
    const double ux = (ray->line.b.x - a.x) / ray->length_m, uy = (ray->line.b.y - a.y) / ray->length_m;
    hr_point p = ring->points[ring->count - 1];
    double before_left = (p.y - a.y) * ux - (p.x - a.x) * uy, before_along = (p.x - a.x) * ux + (p.y - a.y) * uy;
    *count = 0;
    for (size_t i = 0; i < ring->count; i++) {
        p = ring->points[i];
        const double left = (p.y - a.y) * ux - (p.x - a.x) * uy, along = (p.x - a.x) * ux + (p.y - a.y) * uy;
        if (fabs(left) <= NEAR_M) {
            return false;
        }
        if ((left > 0.0) != (before_left > 0.0)) {
            const double at = before_along + (along - before_along) * (before_left / (before_left - left));
            if (fabs(at) <= NEAR_M || fabs(at - ray->length_m) <= NEAR_M) {
                return false;
            }
            if (at > 0.0) {
                insert(places, (*count)++, at);
            }
        }
        before_left = left;
        before_along = along;
    }
    return true;
}

hr_status link_space_stretches(const link_ray *ray, const link_plan *prepared, uint32_t space, size_t *count)
{
    const hr_region *region = &prepared->plan->spaces[space].region;
    double places[CORNERS_MAX + 1];
    size_t met = 0;
    if (!prepared->space_is_simple[space] || !cut_ring(ray, &region->rings[0], places, &met)) {
        return link_passages(ray, region, 0.0, count);
    }
    hr_link_work *work = ray->work;
    if (!HR_RESERVE(work->spans, work->span_cap, CORNERS_MAX)) {
        return hr_fail_memory(ray->err);
    }
    *count = 0;
    bool inside = met % 2 == 1;
    double from = 0.0;
    for (size_t i = 0; i <= met && from < 1.0; i++) {
        const double to = i < met ? fmin(places[i] / ray->length_m, 1.0) : 1.0;
        if (inside && to > from) {
            work->spans[(*count)++] = (hr_span){from, to};
        }
        inside = !inside;
        from = to;
    }
    return HR_OK;
}
