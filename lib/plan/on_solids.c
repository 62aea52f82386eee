/*
 * on_solids.c - openings drawn through filled wall bodies.
 *
 * SPDX-License-Identifier: MIT
 */
#include "opening_priv.h"

static hr_status box_solids(opening_work *w)
{
    plan_reader *r = w->r;
    w->solid_boxes = plan_boxes_new(r->plan->solid_count);
    if (w->solid_boxes == NULL) {
        return hr_fail_memory(r->err);
    }
    for (size_t i = 0; i < r->plan->solid_count; i++) {
        const hr_box box = r->plan->solids[i].region.box;
        plan_boxes_add(
            w->solid_boxes,
            (hr_box){box.x0 - PLAN_CRUMB_M, box.y0 - PLAN_CRUMB_M, box.x1 + PLAN_CRUMB_M, box.y1 + PLAN_CRUMB_M},
            (uint32_t)i);
    }
    return plan_boxes_grow(w->solid_boxes) ? HR_OK : hr_fail_memory(r->err);
}

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
    if (w->edge_lines == NULL) {
        return hr_fail_memory(r->err);
    }
    for (size_t i = 0; i < r->plan->solid_count; i++) {
        const hr_region *region = &r->plan->solids[i].region;
        for (size_t k = 0; k < region->ring_count; k++) {
            for (size_t e = 0; e < region->rings[k].count; e++) {
                w->edge_lines[w->edge_count++] = plan_edge(&region->rings[k], e);
            }
        }
    }
    const hr_status status = box_solids(w);
    return status == HR_OK ? hr_geometry_index_new(w->edge_lines, w->edge_count, &w->edges, r->err) : status;
}

/* A swing's last crumbs and a leaf's edge lie inside the body too: short pieces
 * of a drawing of many pieces open nothing there. */
static hr_status inside_solid(opening_work *w, hr_segment piece, bool *inside)
{
    plan_reader *r = w->r;
    *inside = false;
    if (w->piece_count > 1 && hr_geometry_length(piece) <= 2.0 * PLAN_OPENING_REACH_M) {
        return HR_OK;
    }
    if (!plan_boxes_at(w->solid_boxes, piece.a, &r->ids)) {
        return hr_fail_memory(r->err);
    }
    for (size_t i = 0; i < r->ids.count && !*inside; i++) {
        const hr_region *region = &r->plan->solids[r->ids.at[i]].region;
        *inside =
            hr_geometry_inside(region, piece.a, PLAN_CRUMB_M) && hr_geometry_inside(region, piece.b, PLAN_CRUMB_M);
    }
    return HR_OK;
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
    return status == HR_OK && !*found ? inside_solid(w, piece, found) : status;
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
