/*
 * merge.c - walls drawn twice stand once.
 *
 * Where two walls coincide over a stretch the one with the larger loss keeps
 * it (the earlier one where losses are equal) and the other is cut there. The
 * order of strength is total, so the strongest wall of a bundle always stays.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A common stretch shorter than this, and than half of either wall, is a corner or a joint. */
#define STRETCH_MIN_M 0.01

typedef struct cut {
    uint32_t wall;
    hr_span span; /* of the wall, given up */
} cut;

typedef struct cuts {
    cut *at;
    size_t count, cap;
} cuts;

/* ---- exact copies go first, so that a drawing pasted on itself costs nothing ---- */

typedef struct keyed {
    double x0, y0, x1, y1;
    uint32_t wall;
} keyed;

static int compare_keyed(const void *left, const void *right)
{
    const keyed *a = left, *b = right;
    const double da[] = {a->x0, a->y0, a->x1, a->y1}, db[] = {b->x0, b->y0, b->x1, b->y1};
    for (size_t i = 0; i < 4; i++) {
        if (da[i] != db[i]) {
            return da[i] < db[i] ? -1 : 1;
        }
    }
    return a->wall < b->wall ? -1 : a->wall > b->wall;
}

static bool same_ends(const keyed *a, const keyed *b)
{
    return a->x0 <= b->x0 && a->x0 >= b->x0 && a->y0 <= b->y0 && a->y0 >= b->y0 && a->x1 <= b->x1 && a->x1 >= b->x1 &&
           a->y1 <= b->y1 && a->y1 >= b->y1;
}

static bool before(hr_point a, hr_point b)
{
    return a.x < b.x || (a.x <= b.x && a.y < b.y);
}

/* Of each bundle of exact copies only the strongest stays. */
static hr_status drop_copies(plan_reader *r)
{
    const size_t count = r->plan->wall_count;
    keyed *keys = hr_alloc(count, sizeof *keys);
    bool *gone = hr_alloc_zero(count, sizeof *gone);
    if (keys == NULL || gone == NULL) {
        hr_free(keys);
        hr_free(gone);
        return hr_fail_memory(r->err);
    }
    for (size_t i = 0; i < count; i++) {
        const hr_segment s = r->walls[i].line;
        const bool turn = before(s.b, s.a);
        const hr_point a = turn ? s.b : s.a, b = turn ? s.a : s.b;
        keys[i] = (keyed){a.x, a.y, b.x, b.y, (uint32_t)i};
    }
    qsort(keys, count, sizeof *keys, compare_keyed);
    for (size_t i = 0, next; i < count; i = next) {
        uint32_t best = keys[i].wall;
        for (next = i + 1; next < count && same_ends(&keys[i], &keys[next]); next++) {
            best = plan_heavier(r, keys[next].wall, best) ? keys[next].wall : best;
        }
        for (size_t k = i; k < next; k++) {
            gone[keys[k].wall] = keys[k].wall != best;
        }
    }
    size_t kept = 0;
    for (size_t i = 0; i < count; i++) {
        if (!gone[i]) {
            r->walls[kept++] = r->walls[i];
        }
    }
    r->plan->merged_walls += count - kept;
    r->plan->wall_count = kept;
    hr_free(keys);
    hr_free(gone);
    return HR_OK;
}

/* ---- stretches ---- */

static hr_status add_cut(plan_reader *r, cuts *list, uint32_t wall, hr_span span)
{
    if (!HR_RESERVE(list->at, list->cap, list->count + 1)) {
        return hr_fail_memory(r->err);
    }
    list->at[list->count++] = (cut){wall, span};
    return HR_OK;
}

hr_status plan_count_pairs(plan_reader *r, size_t *pairs, uint32_t wall)
{
    const size_t most = PLAN_PAIRS_MAX + PLAN_PAIRS_PER_WALL * r->plan->wall_count;
    *pairs += r->ids.count;
    if (*pairs <= most) {
        return HR_OK;
    }
    return hr_fail(
        r->err, HR_ERR_LIMIT, r->file, r->walls[wall].source_line,
        "walls lie over each other or side by side too often (more than %zu pairs): is a hatch drawn as walls?", most);
}

/* The stretches of wall i that stronger walls take over. */
static hr_status find_cuts(plan_reader *r, const hr_index *index, uint32_t i, cuts *list, size_t *pairs)
{
    const hr_segment line = r->walls[i].line;
    hr_status status = plan_query(r, index, line, PLAN_COINCIDENT_M);
    status = status == HR_OK ? plan_count_pairs(r, pairs, i) : status;
    for (size_t k = 0; k < r->ids.count && status == HR_OK; k++) {
        const uint32_t other = r->ids.at[k];
        const hr_segment across = r->walls[other].line;
        const double half = 0.5 * fmin(hr_geometry_length(line), hr_geometry_length(across));
        hr_span span;
        if (other != i && plan_heavier(r, other, i) &&
            plan_common_stretch(line, across, PLAN_COINCIDENT_M, fmin(STRETCH_MIN_M, half), &span)) {
            status = add_cut(r, list, i, span);
        }
    }
    return status;
}

static int compare_cuts(const void *left, const void *right)
{
    const cut *a = left, *b = right;
    if (a->wall != b->wall) {
        return a->wall < b->wall ? -1 : 1;
    }
    if (a->span.from != b->span.from) {
        return a->span.from < b->span.from ? -1 : 1;
    }
    return a->span.to < b->span.to ? -1 : a->span.to > b->span.to;
}

static hr_status keep_rest(plan_reader *r, const hr_wall *wall, double from, double to)
{
    hr_wall rest = *wall;
    rest.line.a = from > 0.0 ? hr_geometry_at(wall->line, from) : wall->line.a;
    rest.line.b = to < 1.0 ? hr_geometry_at(wall->line, to) : wall->line.b;
    if (!(to > from) || hr_geometry_length(rest.line) < PLAN_CRUMB_M) {
        return HR_OK;
    }
    return plan_add_wall(r, &rest);
}

/* Writes all walls anew, each without its cuts. */
static hr_status apply_cuts(plan_reader *r, cuts *list)
{
    qsort(list->at, list->count, sizeof *list->at, compare_cuts);
    hr_wall *old = r->walls;
    const size_t count = r->plan->wall_count;
    r->walls = NULL;
    r->wall_cap = 0;
    r->plan->wall_count = 0;
    hr_status status = HR_OK;
    size_t c = 0;
    for (size_t i = 0; i < count && status == HR_OK; i++) {
        double from = 0.0;
        for (; c < list->count && list->at[c].wall == i && status == HR_OK; c++) {
            const hr_span span = list->at[c].span;
            if (span.from > from) {
                status = keep_rest(r, &old[i], from, span.from);
            }
            r->plan->merged_walls += span.to > from;
            from = span.to > from ? span.to : from;
        }
        if (status == HR_OK) {
            status = keep_rest(r, &old[i], from, 1.0);
        }
    }
    hr_free(old);
    return status;
}

hr_status plan_merge_walls(plan_reader *r)
{
    hr_geometry_index_free(r->merged_index);
    r->merged_index = NULL;
    hr_status status = drop_copies(r);
    if (status != HR_OK || r->plan->wall_count < 2) {
        return status;
    }
    hr_index *index = NULL;
    status = plan_index_walls(r, &index);
    cuts list = {0};
    size_t pairs = 0;
    for (size_t i = 0; i < r->plan->wall_count && status == HR_OK; i++) {
        status = find_cuts(r, index, (uint32_t)i, &list, &pairs);
    }
    if (status == HR_OK && list.count == 0) {
        r->merged_index = index; /* still true */
    } else {
        hr_geometry_index_free(index);
    }
    if (status == HR_OK && list.count > 0) {
        status = apply_cuts(r, &list);
    }
    hr_free(list.at);
    return status;
}
