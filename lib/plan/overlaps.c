/*
 * overlaps.c - rooms that lie over each other: their devices would stand twice
 * in one place, and the floor counts twice.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <math.h>
#include <stdlib.h>

/* Outlines drawn by hand may overlap by this share of the smaller room. */
#define SHARE_MIN 0.02
/* Overlaps told one by one. */
#define TOLD_MAX 10
/* Work over a whole plan: boxes compared, and edges looked at. */
#define WORK_MAX 2e7
/* ... of one pair */
#define PAIR_MAX 4e6
/* Stretches of one line inside a room. */
#define SPANS_MAX 64

typedef struct overlap_work {
    plan_reader *r;
    double *ys;
    size_t y_count, y_cap;
    uint32_t *order; /* rooms by their left edge */
    size_t count;
    double work;
    bool left_out; /* a pair was too much work */
    size_t found;
    double found_m2;
} overlap_work;

static bool add_y(overlap_work *w, double y)
{
    if (!HR_RESERVE(w->ys, w->y_cap, w->y_count + 1)) {
        return false;
    }
    w->ys[w->y_count++] = y;
    return true;
}

static int compare_doubles(const void *left, const void *right)
{
    const double a = *(const double *)left, b = *(const double *)right;
    return a < b ? -1 : a > b;
}

static size_t edges_of(const hr_region *region)
{
    size_t count = 0;
    for (size_t k = 0; k < region->ring_count; k++) {
        count += region->rings[k].count;
    }
    return count;
}

/* Heights at which the outline has corners, and at which it crosses the other one. */
static bool add_heights(overlap_work *w, const hr_region *region, const hr_region *other)
{
    for (size_t k = 0; k < region->ring_count; k++) {
        for (size_t i = 0; i < region->rings[k].count; i++) {
            const hr_segment edge = plan_edge(&region->rings[k], i);
            bool good = add_y(w, edge.a.y);
            for (size_t j = 0; other != NULL && j < other->ring_count; j++) {
                for (size_t n = 0; n < other->rings[j].count && good; n++) {
                    double at = 0.0;
                    if (hr_geometry_cross(edge, plan_edge(&other->rings[j], n), &at, NULL)) {
                        good = add_y(w, hr_geometry_at(edge, at).y);
                    }
                }
            }
            if (!good) {
                return false;
            }
        }
    }
    return true;
}

/* Length of the line inside both. */
static double common_length(const hr_region *a, const hr_region *b, hr_segment line)
{
    hr_span in_a[SPANS_MAX], in_b[SPANS_MAX];
    const size_t a_found = hr_geometry_passages(a, line, 0.0, 0.0, in_a, SPANS_MAX);
    const size_t b_found = hr_geometry_passages(b, line, 0.0, 0.0, in_b, SPANS_MAX);
    const size_t a_count = a_found < SPANS_MAX ? a_found : SPANS_MAX,
                 b_count = b_found < SPANS_MAX ? b_found : SPANS_MAX;
    double sum = 0.0;
    for (size_t i = 0; i < a_count; i++) {
        for (size_t k = 0; k < b_count; k++) {
            sum += fmax(0.0, fmin(in_a[i].to, in_b[k].to) - fmax(in_a[i].from, in_b[k].from));
        }
    }
    return sum * hr_geometry_length(line);
}

/* The area inside both: between two neighbouring heights nothing ends or
 * crosses, so the width changes evenly and the middle one stands for all. */
static hr_status common_area(overlap_work *w, const hr_region *a, const hr_region *b, double *area_m2)
{
    const double edges = (double)(edges_of(a) + edges_of(b)), crossings = (double)edges_of(a) * (double)edges_of(b);
    *area_m2 = 0.0;
    w->y_count = 0;
    w->work += crossings;
    if (crossings > PAIR_MAX) {
        w->left_out = true;
        return HR_OK;
    }
    if (!add_heights(w, a, b) || !add_heights(w, b, NULL)) {
        return hr_fail_memory(w->r->err);
    }
    qsort(w->ys, w->y_count, sizeof *w->ys, compare_doubles);
    w->work += (double)w->y_count * edges;
    if ((double)w->y_count * edges > PAIR_MAX) {
        w->left_out = true;
        return HR_OK;
    }
    const double left = fmax(a->box.x0, b->box.x0), right = fmin(a->box.x1, b->box.x1);
    for (size_t i = 0; i + 1 < w->y_count; i++) {
        const double middle = 0.5 * (w->ys[i] + w->ys[i + 1]), high = w->ys[i + 1] - w->ys[i];
        if (high > 0.0) {
            *area_m2 += high * common_length(a, b, (hr_segment){{left, middle}, {right, middle}});
        }
    }
    return HR_OK;
}

static hr_status look_at_pair(overlap_work *w, uint32_t one, uint32_t two)
{
    plan_reader *r = w->r;
    const hr_space *a = &r->spaces[one < two ? one : two], *b = &r->spaces[one < two ? two : one];
    double area_m2 = 0.0;
    const hr_status status = common_area(w, &a->region, &b->region, &area_m2);
    if (status != HR_OK || !(area_m2 > SHARE_MIN * fmin(a->area_m2, b->area_m2))) {
        return status;
    }
    w->found++;
    w->found_m2 += area_m2;
    if (w->found <= TOLD_MAX) {
        char text[HR_FIXED_MAX];
        hr_note(r->notes, r->file, b->source_line,
                "rooms %s (line %d) and %s overlap over %s m2: that floor counts twice",
                a->name != NULL ? a->name : "without a name", a->source_line,
                b->name != NULL ? b->name : "without a name", hr_fixed(area_m2, 1, text));
    }
    return HR_OK;
}

typedef struct left_edge {
    double x;
    uint32_t room;
} left_edge;

static int compare_lefts(const void *left, const void *right)
{
    const left_edge *a = left, *b = right;
    if (a->x != b->x) {
        return a->x < b->x ? -1 : 1;
    }
    return a->room < b->room ? -1 : a->room > b->room;
}

static hr_status sort_rooms(overlap_work *w)
{
    const plan_reader *r = w->r;
    left_edge *lefts = hr_alloc(r->plan->space_count, sizeof *lefts);
    w->order = hr_alloc(r->plan->space_count, sizeof *w->order);
    if (lefts == NULL || w->order == NULL) {
        hr_free(lefts);
        return hr_fail_memory(r->err);
    }
    for (size_t i = 0; i < r->plan->space_count; i++) {
        if (r->spaces[i].kind == HR_SPACE_ROOM) {
            lefts[w->count++] = (left_edge){r->spaces[i].region.box.x0, (uint32_t)i};
        }
    }
    qsort(lefts, w->count, sizeof *lefts, compare_lefts);
    for (size_t i = 0; i < w->count; i++) {
        w->order[i] = lefts[i].room;
    }
    hr_free(lefts);
    return HR_OK;
}

/* Every pair of rooms whose boxes share a place, while the work is bearable. */
static hr_status look_at_all(overlap_work *w)
{
    const plan_reader *r = w->r;
    for (size_t i = 0; i < w->count; i++) {
        const hr_box a = r->spaces[w->order[i]].region.box;
        for (size_t k = i + 1; k < w->count && w->work <= WORK_MAX; k++) {
            const hr_box b = r->spaces[w->order[k]].region.box;
            w->work += 1.0;
            if (b.x0 >= a.x1) {
                break;
            }
            if (b.y0 < a.y1 && a.y0 < b.y1) {
                const hr_status status = look_at_pair(w, w->order[i], w->order[k]);
                if (status != HR_OK) {
                    return status;
                }
            }
        }
    }
    return HR_OK;
}

hr_status plan_note_overlaps(plan_reader *r)
{
    overlap_work w = {.r = r};
    hr_status status = r->plan->room_count > 1 ? sort_rooms(&w) : HR_OK;
    if (status == HR_OK) {
        status = look_at_all(&w);
    }
    if (status == HR_OK && w.found > TOLD_MAX) {
        char text[HR_FIXED_MAX];
        hr_note(r->notes, r->file, 0, "%zu pairs of rooms overlap, %s m2 in all; %d of them were named", w.found,
                hr_fixed(w.found_m2, 1, text), TOLD_MAX);
    }
    if (status == HR_OK && (w.left_out || w.work > WORK_MAX)) {
        hr_note(r->notes, r->file, 0,
                "rooms have too many corners, or lie over each other too often, to look at every pair for overlaps");
    }
    hr_free(w.ys);
    hr_free(w.order);
    return status;
}
