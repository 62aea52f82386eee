/*
 * lies.c - which walls an opening lies on, and which gap it fills.
 *
 * SPDX-License-Identifier: MIT
 */
#include "opening_priv.h"

#include <math.h>

/* A door drawn over two pieces of one wall: they may stand this far apart. */
#define PIECES_APART_M 0.01
/* Wall ends looked at on each side of a gap. */
#define ENDS_MAX 12

static double along(hr_segment s, double length, hr_point p)
{
    return ((p.x - s.a.x) * (s.b.x - s.a.x) + (p.y - s.a.y) * (s.b.y - s.a.y)) / length;
}

/* Where the piece stands on the wall, as fractions of the wall. */
static hr_span projection(hr_segment piece, hr_segment wall)
{
    const double length = hr_geometry_length(wall);
    const double a = along(wall, length, piece.a) / length, b = along(wall, length, piece.b) / length;
    return (hr_span){fmin(fmax(fmin(a, b), 0.0), 1.0), fmin(fmax(fmax(a, b), 0.0), 1.0)};
}

static hr_status open_wall(plan_reader *r, uint32_t wall, uint32_t opening, hr_span span)
{
    hr_plan *plan = r->plan;
    if (!HR_RESERVE(r->on_walls, r->on_wall_cap, plan->on_wall_count + 1)) {
        return hr_fail_memory(r->err);
    }
    r->on_walls[plan->on_wall_count++] = (hr_opening_on_wall){wall, opening, span};
    return HR_OK;
}

/* ---- walls split under the opening ---- */

/* The stretch of the piece that a wall runs along, in metres of the piece. */
static bool runs_along(hr_segment piece, hr_segment wall, hr_span *on_piece)
{
    const double length = hr_geometry_length(piece);
    if (hr_geometry_angle(piece, wall) > PLAN_PARALLEL_RAD ||
        !plan_common_stretch(piece, wall, PLAN_OPENING_REACH_M, OPENED_MIN_M, on_piece)) {
        return false;
    }
    on_piece->from *= length;
    on_piece->to *= length;
    return true;
}

/* True when walls that touch each other run along the whole piece, give or
 * take the reach at its ends. */
static hr_status covered(opening_work *w, hr_segment piece, bool *whole)
{
    plan_reader *r = w->r;
    size_t count = 0;
    for (size_t i = 0; i < r->ids.count; i++) {
        hr_span span;
        if (!runs_along(piece, r->walls[r->ids.at[i]].line, &span)) {
            continue;
        }
        if (!HR_RESERVE(w->cover, w->cover_cap, count + 1)) {
            return hr_fail_memory(r->err);
        }
        w->cover[count++] = span;
    }
    *whole = false;
    if (count < 2) {
        return HR_OK; /* one wall that reaches both ends was found before */
    }
    hr_geometry_sort_spans(w->cover, count);
    double reached = w->cover[0].from <= PLAN_OPENING_REACH_M ? w->cover[0].to : -1.0;
    for (size_t i = 1; i < count && reached >= 0.0; i++) {
        if (w->cover[i].from > reached + PIECES_APART_M) {
            break;
        }
        reached = fmax(reached, w->cover[i].to);
    }
    *whole = reached >= hr_geometry_length(piece) - PLAN_OPENING_REACH_M;
    return HR_OK;
}

/* Opens every wall the piece lies on. */
hr_status opening_try_walls(opening_work *w, hr_segment piece, uint32_t opening, bool *found)
{
    plan_reader *r = w->r;
    *found = false;
    hr_status status = w->walls != NULL ? plan_query(r, w->walls, piece, PLAN_OPENING_REACH_M) : HR_OK;
    if (w->walls == NULL || status != HR_OK) {
        return status;
    }
    bool split = false;
    status = covered(w, piece, &split);
    for (size_t i = 0; i < r->ids.count && status == HR_OK; i++) {
        const uint32_t wall = r->ids.at[i];
        const hr_segment line = r->walls[wall].line;
        if (hr_geometry_angle(piece, line) > PLAN_PARALLEL_RAD) {
            continue;
        }
        hr_span unused;
        const bool lies = opening_reaches(piece, line) || (split && runs_along(piece, line, &unused));
        const hr_span span = projection(piece, line);
        if (lies && (span.to - span.from) * hr_geometry_length(line) > OPENED_MIN_M) {
            *found = true;
            status = open_wall(r, wall, opening, span);
        }
    }
    return status;
}

/* ---- gaps ---- */

typedef struct wall_end {
    uint32_t wall;
    hr_point at;
    double distance_m;
} wall_end;

static void keep_end(wall_end *ends, size_t *count, wall_end end)
{
    size_t at = *count;
    while (at > 0 && end.distance_m < ends[at - 1].distance_m) {
        at--;
    }
    if (at >= ENDS_MAX) {
        return;
    }
    *count = *count < ENDS_MAX ? *count + 1 : ENDS_MAX;
    for (size_t i = *count - 1; i > at; i--) {
        ends[i] = ends[i - 1];
    }
    ends[at] = end;
}

/* Wall ends within reach of p, nearest first. */
static hr_status ends_near(opening_work *w, hr_point p, wall_end *ends, size_t *count)
{
    plan_reader *r = w->r;
    *count = 0;
    const hr_status status = plan_query(r, w->walls, (hr_segment){p, p}, PLAN_OPENING_REACH_M);
    for (size_t i = 0; i < r->ids.count && status == HR_OK; i++) {
        const uint32_t wall = r->ids.at[i];
        const hr_segment line = r->walls[wall].line;
        const double a = hr_geometry_distance(p, line.a), b = hr_geometry_distance(p, line.b);
        const wall_end end = {wall, a <= b ? line.a : line.b, fmin(a, b)};
        if (end.distance_m <= PLAN_OPENING_REACH_M) {
            keep_end(ends, count, end);
        }
    }
    return status;
}

/* A wall that runs the opening's way is its jamb before one that stands across. */
static double end_cost(const plan_reader *r, hr_segment piece, const wall_end *end)
{
    const bool across = hr_geometry_angle(piece, r->walls[end->wall].line) > PLAN_PARALLEL_RAD;
    return end->distance_m + (across ? PLAN_OPENING_REACH_M : 0.0);
}

/* Both faces of a door drawn as a thin box fill one gap; the count when this one is new. */
static size_t same_gap(const plan_reader *r, size_t first, const hr_wall *gap)
{
    size_t at = r->plan->wall_count;
    while (at > first && r->walls[at - 1].shape == gap->shape) {
        const hr_segment line = r->walls[--at].line;
        const bool same = hr_geometry_distance(line.a, gap->line.a) + hr_geometry_distance(line.b, gap->line.b) <= 0.0;
        const bool turned =
            hr_geometry_distance(line.a, gap->line.b) + hr_geometry_distance(line.b, gap->line.a) <= 0.0;
        if (same || turned) {
            return at;
        }
    }
    return r->plan->wall_count;
}

hr_status opening_try_gap(opening_work *w, hr_segment piece, size_t shape, uint32_t opening, bool *found)
{
    plan_reader *r = w->r;
    wall_end from[ENDS_MAX], to[ENDS_MAX];
    size_t from_count = 0, to_count = 0;
    *found = false;
    if (w->walls == NULL || hr_geometry_length(piece) <= PLAN_OPENING_REACH_M) {
        return HR_OK; /* one wall's end would be near to both ends */
    }
    hr_status status = ends_near(w, piece.a, from, &from_count);
    if (status == HR_OK) {
        status = ends_near(w, piece.b, to, &to_count);
    }
    const wall_end *a = NULL, *b = NULL;
    double best = HUGE_VAL;
    for (size_t i = 0; i < from_count && status == HR_OK; i++) {
        for (size_t k = 0; k < to_count; k++) {
            const double cost = end_cost(r, piece, &from[i]) + end_cost(r, piece, &to[k]);
            if (from[i].wall != to[k].wall && cost < best) {
                best = cost;
                a = &from[i];
                b = &to[k];
            }
        }
    }
    if (a == NULL || hr_geometry_distance(a->at, b->at) <= OPENED_MIN_M) {
        return status;
    }
    const uint32_t heavier = plan_heavier(r, a->wall, b->wall) ? a->wall : b->wall;
    const hr_wall gap = {.line = {a->at, b->at},
                         .material = r->walls[heavier].material,
                         .shape = (uint32_t)shape,
                         .source_line = plan_svg_node(r, shape)->line,
                         .is_gap = true};
    size_t at = same_gap(r, w->wall_count, &gap);
    if (at == r->plan->wall_count) {
        status = plan_add_wall(r, &gap);
    }
    if (status == HR_OK) {
        *found = true;
        status = open_wall(r, (uint32_t)at, opening, (hr_span){0.0, 1.0});
    }
    return status;
}
