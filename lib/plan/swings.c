/*
 * swings.c - doors drawn as leaf and swing, the way drafting programs do, with
 * no line in the wall itself or with all three drawn one by one.
 *
 * SPDX-License-Identifier: MIT
 */
#include "opening_priv.h"

#include <math.h>

/* Radius of a swing: the width of a leaf. */
#define LEAF_MIN_M 0.4
#define LEAF_MAX_M 2.5
/* A curve has at least so many straight pieces. */
#define SWING_PIECES 4
/* Points of a swing lie this near to its circle, as a share of the radius. */
#define ROUND_SHARE 0.03
/* A leaf opens by 60 to 120 degrees: the chord, in radii. */
#define CHORD_MIN 1.0
#define CHORD_MAX 1.74
/* No piece of the rest of a door is longer than so many of its widths. */
#define REST_WIDTHS 2.0

/* The centre of the circle through three points; false: on one line. */
static bool centre_of(hr_point a, hr_point b, hr_point c, hr_point *centre)
{
    const double bx = b.x - a.x, by = b.y - a.y, cx = c.x - a.x, cy = c.y - a.y;
    const double twice = 2.0 * (bx * cy - by * cx), b2 = bx * bx + by * by, c2 = cx * cx + cy * cy;
    if (!(fabs(twice) > 1e-9)) {
        return false;
    }
    *centre = (hr_point){a.x + (cy * b2 - by * c2) / twice, a.y + (bx * c2 - cx * b2) / twice};
    return true;
}

/* Pieces [from, to) hang together and lie on a circle of a leaf's radius. */
static bool is_swing(const hr_segment *pieces, size_t from, size_t to, hr_segment lines[2])
{
    hr_point centre;
    if (to < from + SWING_PIECES ||
        !centre_of(pieces[from].a, pieces[from + (to - from) / 2].a, pieces[to - 1].b, &centre)) {
        return false;
    }
    const double radius = hr_geometry_distance(centre, pieces[from].a);
    const double chord = hr_geometry_distance(pieces[from].a, pieces[to - 1].b);
    if (!(radius >= LEAF_MIN_M && radius <= LEAF_MAX_M && chord >= CHORD_MIN * radius && chord <= CHORD_MAX * radius)) {
        return false;
    }
    for (size_t i = from; i < to; i++) {
        if (fabs(hr_geometry_distance(centre, pieces[i].b) - radius) > ROUND_SHARE * radius ||
            (i > from && hr_geometry_distance(pieces[i].a, pieces[i - 1].b) > PLAN_CRUMB_M)) {
            return false;
        }
    }
    lines[0] = (hr_segment){centre, pieces[from].a};
    lines[1] = (hr_segment){centre, pieces[to - 1].b};
    return true;
}

bool opening_swing(const opening_work *w, hr_segment lines[2])
{
    /* the leaf may be the first or the last piece of the same line, a chord the last */
    static const size_t trims[][2] = {{0, 0}, {1, 0}, {0, 1}, {1, 1}};
    for (size_t i = 0; i < sizeof trims / sizeof trims[0]; i++) {
        if (w->piece_count > trims[i][0] + trims[i][1] &&
            is_swing(w->pieces, trims[i][0], w->piece_count - trims[i][1], lines)) {
            return true;
        }
    }
    return false;
}

static hr_status index_placed(opening_work *w)
{
    const plan_reader *r = w->r;
    const size_t count = r->plan->opening_count;
    hr_segment *lines = hr_alloc(count, sizeof *lines);
    if (lines == NULL) {
        return hr_fail_memory(r->err);
    }
    for (size_t i = 0; i < count; i++) {
        lines[i] = r->openings[i].line;
    }
    const hr_status status = hr_geometry_index_new(lines, count, &w->placed, r->err);
    hr_free(lines);
    return status;
}

static bool ends_at(hr_segment line, hr_point p)
{
    return hr_geometry_distance(line.a, p) <= PLAN_OPENING_REACH_M ||
           hr_geometry_distance(line.b, p) <= PLAN_OPENING_REACH_M;
}

hr_status opening_is_rest(opening_work *w, bool *rest)
{
    plan_reader *r = w->r;
    *rest = false;
    hr_status status = w->placed == NULL ? index_placed(w) : HR_OK;
    const hr_point ends[2] = {w->pieces[0].a, w->pieces[w->piece_count - 1].b};
    const bool is_door = plan_shape_meaning(r, w->piece_shape[0])->kind == HR_PLAN_DOORS;
    double longest_m = 0.0;
    for (size_t i = 0; i < w->piece_count; i++) {
        longest_m = fmax(longest_m, hr_geometry_length(w->pieces[i]));
    }
    for (size_t k = 0; k < 2 && status == HR_OK && !*rest; k++) {
        status = plan_query(r, w->placed, (hr_segment){ends[k], ends[k]}, PLAN_OPENING_REACH_M);
        for (size_t i = 0; i < r->ids.count && status == HR_OK && !*rest; i++) {
            const hr_opening *o = &r->openings[r->ids.at[i]];
            *rest = o->is_door == is_door && longest_m <= REST_WIDTHS * hr_geometry_length(o->line) &&
                    ends_at(o->line, ends[k]);
        }
    }
    return status;
}
