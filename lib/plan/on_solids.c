/*
 * on_solids.c - openings drawn through filled wall bodies.
 *
 * SPDX-License-Identifier: MIT
 */
#include "opening_priv.h"

/* ---- solids ---- */

hr_status opening_index_solids(opening_work *w)
{
    plan_reader *r = w->r;
    size_t count = 0;
    for (size_t i = 0; i < r->plan->solid_count; i++) {
        for (size_t k = 0; k < r->plan->solids[i].region.ring_count; k++) {
            count += r->plan->solids[i].region.rings[k].count;
        }
    }
    if (count == 0) {
        return HR_OK;
    }
    w->edge_lines = hr_alloc(count, sizeof *w->edge_lines);
    w->edge_solid = hr_alloc(count, sizeof *w->edge_solid);
    if (w->edge_lines == NULL || w->edge_solid == NULL) {
        return hr_fail_memory(r->err);
    }
    for (size_t i = 0; i < r->plan->solid_count; i++) {
        const hr_region *region = &r->plan->solids[i].region;
        for (size_t k = 0; k < region->ring_count; k++) {
            for (size_t e = 0; e < region->rings[k].count; e++) {
                w->edge_lines[w->edge_count] = plan_edge(&region->rings[k], e);
                w->edge_solid[w->edge_count++] = (uint32_t)i;
            }
        }
    }
    return hr_geometry_index_new(w->edge_lines, w->edge_count, &w->edges, r->err);
}

static bool inside_solid(const plan_reader *r, hr_segment piece)
{
    for (size_t i = 0; i < r->plan->solid_count; i++) {
        const hr_region *region = &r->plan->solids[i].region;
        const hr_point ends[2] = {piece.a, piece.b};
        if (hr_geometry_boxes_touch(region->box, hr_geometry_box(ends, 2), PLAN_CRUMB_M) &&
            hr_geometry_inside(region, piece.a, PLAN_CRUMB_M) && hr_geometry_inside(region, piece.b, PLAN_CRUMB_M)) {
            return true;
        }
    }
    return false;
}

hr_status opening_try_solids(opening_work *w, hr_segment piece, bool *found)
{
    plan_reader *r = w->r;
    *found = false;
    if (w->edges == NULL) {
        return HR_OK;
    }
    const hr_status status = plan_query(r, w->edges, piece, PLAN_OPENING_REACH_M);
    for (size_t i = 0; i < r->ids.count && status == HR_OK && !*found; i++) {
        const hr_segment edge = w->edge_lines[r->ids.at[i]];
        *found = hr_geometry_angle(piece, edge) <= PLAN_PARALLEL_RAD && opening_reaches(piece, edge) &&
                 hr_geometry_length(edge) > OPENED_MIN_M;
    }
    *found = status == HR_OK && (*found || inside_solid(r, piece));
    return status;
}

/* Whether the point lies within reach of any wall or solid. */
static hr_status touches_body(opening_work *w, hr_point p, bool *touches)
{
    const hr_segment here = {p, p};
    *touches = false;
    hr_status status = w->walls != NULL ? plan_query(w->r, w->walls, here, PLAN_OPENING_REACH_M) : HR_OK;
    *touches = w->walls != NULL && w->r->ids.count > 0;
    if (status == HR_OK && !*touches && w->edges != NULL) {
        status = plan_query(w->r, w->edges, here, PLAN_OPENING_REACH_M);
        *touches = w->r->ids.count > 0;
    }
    return status;
}

/* A door between two wall bodies, or between a wall's end and another wall's side. */
hr_status opening_stands_between(opening_work *w, hr_segment piece, bool *between)
{
    bool a = false, b = false;
    hr_status status = touches_body(w, piece.a, &a);
    if (status == HR_OK) {
        status = touches_body(w, piece.b, &b);
    }
    *between = a && b && hr_geometry_length(piece) > 2.0 * PLAN_OPENING_REACH_M;
    return status;
}
