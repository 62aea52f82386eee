/*
 * openings.c - doors and windows: on walls, in the gaps between walls, on
 * solids, or standing by themselves.
 *
 * SPDX-License-Identifier: MIT
 */
#include "opening_priv.h"

#include <math.h>
#include <stdlib.h>

/* A door or window narrower than this is told: probably its leaf's edge. */
#define NARROW_M 0.3

static hr_status add_opening(opening_work *w, size_t piece, place where)
{
    plan_reader *r = w->r;
    const size_t shape = w->piece_shape[piece];
    const plan_meaning *m = plan_shape_meaning(r, shape);
    if (!HR_RESERVE(r->openings, r->opening_cap, r->plan->opening_count + 1)) {
        return hr_fail_memory(r->err);
    }
    r->openings[r->plan->opening_count++] = (hr_opening){.line = w->pieces[piece],
                                                         .low_m = m->low_m,
                                                         .high_m = m->high_m,
                                                         .material = m->material,
                                                         .shape = (uint32_t)shape,
                                                         .source_line = plan_svg_node(r, shape)->line,
                                                         .is_door = m->kind == HR_PLAN_DOORS,
                                                         .fills_gap = where == IN_GAP,
                                                         .on_wall = where == ON_WALL || where == IN_GAP,
                                                         .on_solid = where == ON_SOLID};
    return HR_OK;
}

/* Puts one piece where it lies; *where STANDS_FREE or BETWEEN_BODIES: nothing was added. */
static hr_status place_piece(opening_work *w, size_t piece, place *where)
{
    plan_reader *r = w->r;
    const uint32_t next = (uint32_t)r->plan->opening_count;
    const hr_segment line = w->pieces[piece];
    bool on_wall = false, in_gap = false, on_solid = false, between = false;
    hr_status status = opening_try_walls(w, line, next, &on_wall);
    if (status == HR_OK) {
        status = opening_try_solids(w, line, &on_solid);
    }
    if (status == HR_OK && !on_wall && !on_solid) {
        status = opening_try_gap(w, line, w->piece_shape[piece], next, &in_gap);
    }
    if (status == HR_OK && !on_wall && !in_gap && !on_solid) {
        status = opening_stands_between(w, line, &between);
    }
    if (status != HR_OK) {
        return status;
    }
    *where = on_wall ? ON_WALL : in_gap ? IN_GAP : on_solid ? ON_SOLID : between ? BETWEEN_BODIES : STANDS_FREE;
    if (*where > BETWEEN_BODIES) {
        status = add_opening(w, piece, *where);
        if (status == HR_OK && on_wall && on_solid) {
            r->openings[next].on_solid = true;
        }
    }
    return status;
}

/* The rest of a drawn thing is one thing, however many pieces its curves have. */
static hr_status leave_pieces(opening_work *w, size_t count, double length_m, size_t shape)
{
    plan_reader *r = w->r;
    const plan_meaning *m = plan_shape_meaning(r, shape);
    if (count == 0) {
        return HR_OK;
    }
    return plan_leave(r, m->written,
                      m->kind == HR_PLAN_DOORS ? "rest of a door drawn beside its wall (leaf, swing)"
                                               : "rest of a window drawn beside its wall",
                      NULL, 1, length_m, plan_svg_node(r, shape)->line);
}

/* A thing that lies on nothing counts by its longest piece. */
static hr_status stand_free(opening_work *w, const place *where)
{
    plan_reader *r = w->r;
    size_t best = 0;
    for (size_t i = 1; i < w->piece_count; i++) {
        const double longer = hr_geometry_length(w->pieces[i]) - hr_geometry_length(w->pieces[best]);
        if (where[i] > where[best] || (where[i] == where[best] && longer > PLAN_CRUMB_M)) {
            best = i;
        }
    }
    const size_t shape = w->piece_shape[best];
    if (where[best] == STANDS_FREE) {
        hr_note(r->notes, r->file, plan_svg_node(r, shape)->line,
                "\"%s\": this %s lies on no wall, in no gap between walls and on no solid; it counts by itself",
                plan_shape_meaning(r, shape)->written, plan_svg_node(r, shape)->element);
    }
    double rest_m = 0.0;
    for (size_t i = 0; i < w->piece_count; i++) {
        rest_m += i != best ? hr_geometry_length(w->pieces[i]) : 0.0;
    }
    const hr_status status = add_opening(w, best, where[best]);
    return status == HR_OK ? leave_pieces(w, w->piece_count - 1, rest_m, shape) : status;
}

static void note_narrow(const plan_reader *r, size_t first)
{
    double widest = 0.0;
    for (size_t i = first; i < r->plan->opening_count; i++) {
        widest = fmax(widest, hr_geometry_length(r->openings[i].line));
    }
    if (first < r->plan->opening_count && widest < NARROW_M) {
        char text[HR_FIXED_MAX];
        hr_note(r->notes, r->file, r->openings[first].source_line,
                "this %s opens only %s m of its wall: draw it along the wall, not as its open leaf",
                r->openings[first].is_door ? "door" : "window", hr_fixed(widest, 2, text));
    }
}

static hr_status place_unit(opening_work *w)
{
    plan_reader *r = w->r;
    if (w->piece_count == 0) {
        return HR_OK;
    }
    place *where = hr_alloc_zero(w->piece_count, sizeof *where);
    if (where == NULL) {
        return hr_fail_memory(r->err);
    }
    const size_t first = r->plan->opening_count;
    hr_status status = HR_OK;
    size_t left = 0;
    double left_m = 0.0;
    for (size_t i = 0; i < w->piece_count && status == HR_OK; i++) {
        status = place_piece(w, i, &where[i]);
        if (where[i] <= BETWEEN_BODIES) {
            left++;
            left_m += hr_geometry_length(w->pieces[i]);
        }
    }
    if (status == HR_OK && left == w->piece_count) {
        status = stand_free(w, where);
    } else if (status == HR_OK) {
        note_narrow(r, first);
        status = leave_pieces(w, left, left_m, w->piece_shape[0]);
    }
    hr_free(where);
    return status;
}

/* Adds the straight pieces of a shape to the unit at hand. */
static hr_status collect(opening_work *w, size_t shape)
{
    plan_reader *r = w->r;
    const hr_svg_node *node = plan_svg_node(r, shape);
    for (size_t p = 0; p < node->path_count; p++) {
        const hr_status status = plan_take_path(r, &r->drawing->paths[node->first_path + p]);
        if (status != HR_OK) {
            return status;
        }
        const plan_points *s = &r->scratch;
        const size_t pieces = s->count < 2 ? 0 : s->closed && s->count > 2 ? s->count : s->count - 1;
        if (!HR_RESERVE(w->pieces, w->piece_cap, w->piece_count + pieces) ||
            !HR_RESERVE(w->piece_shape, w->piece_shape_cap, w->piece_count + pieces)) {
            return hr_fail_memory(r->err);
        }
        for (size_t i = 0; i < pieces; i++) {
            w->pieces[w->piece_count] = (hr_segment){s->at[i], s->at[(i + 1) % s->count]};
            w->piece_shape[w->piece_count++] = shape;
        }
    }
    return HR_OK;
}

static int compare_on_walls(const void *left, const void *right)
{
    const hr_opening_on_wall *a = left, *b = right;
    if (a->wall != b->wall) {
        return a->wall < b->wall ? -1 : 1;
    }
    if (a->span.from != b->span.from) {
        return a->span.from < b->span.from ? -1 : 1;
    }
    return a->opening < b->opening ? -1 : a->opening > b->opening;
}

static hr_status place_all(opening_work *w)
{
    plan_reader *r = w->r;
    hr_status status = HR_OK;
    for (size_t i = 0, next; i < r->shape_count && status == HR_OK; i = next) {
        const plan_shape *first = &r->shapes[i];
        const hr_plan_kind kind = plan_shape_meaning(r, i)->kind;
        next = i + 1;
        if (kind != HR_PLAN_DOORS && kind != HR_PLAN_WINDOWS) {
            continue;
        }
        w->piece_count = 0;
        status = collect(w, i);
        for (; next < r->shape_count && r->shapes[next].unit == first->unit &&
               r->shapes[next].meaning == first->meaning && status == HR_OK;
             next++) {
            status = collect(w, next);
        }
        if (status == HR_OK) {
            status = place_unit(w);
        }
    }
    return status;
}

static bool any_opening(const plan_reader *r)
{
    for (size_t i = 0; i < r->shape_count; i++) {
        const hr_plan_kind kind = plan_shape_meaning(r, i)->kind;
        if (kind == HR_PLAN_DOORS || kind == HR_PLAN_WINDOWS) {
            return true;
        }
    }
    return false;
}

hr_status plan_read_openings(plan_reader *r)
{
    if (!any_opening(r)) {
        return HR_OK;
    }
    opening_work w = {.r = r, .wall_count = r->plan->wall_count};
    hr_status status = w.wall_count > 0 ? plan_index_walls(r, &w.walls) : HR_OK;
    if (status == HR_OK) {
        status = opening_index_solids(&w);
    }
    if (status == HR_OK) {
        status = place_all(&w);
    }
    if (status == HR_OK && r->plan->on_wall_count > 0) {
        qsort(r->on_walls, r->plan->on_wall_count, sizeof *r->on_walls, compare_on_walls);
    }
    hr_geometry_index_free(w.walls);
    hr_geometry_index_free(w.edges);
    hr_free(w.edge_lines);
    plan_boxes_free(w.solid_boxes);
    hr_free(w.cover);
    hr_free(w.pieces);
    hr_free(w.piece_shape);
    return status;
}
