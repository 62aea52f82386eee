/*
 * passages.c - the stretches of a ray that run inside a closed shape.
 *
 * Every place where the ray may change sides is collected (edges met, corners
 * touched, both ends of a stretch along an edge), and each interval between
 * two neighbouring places is asked at its middle. So nothing hangs on how a
 * crossing at a corner is counted. A stretch along the outline is inside, as
 * hr_geometry_inside has it.
 *
 * SPDX-License-Identifier: MIT
 */
#include "geometry_priv.h"

#include <math.h>
#include <string.h>

/* Closer than this (metres) counts as on the outline, and places closer than
 * this on the ray are one place. */
#define ON_OUTLINE_M 1e-9

/* An edge whose direction differs from the ray's by a larger sine cannot run
 * along it for more than a few micrometres. */
#define ALONG_SINE 1e-3

/* Places are taken in batches in order, so that no memory is needed. */
#define BATCH 128

typedef struct batch {
    double places[BATCH]; /* ascending fractions */
    size_t count;
    double after; /* only places beyond this are taken */
    bool more;    /* places were left for the next batch */
} batch;

/* What is known of the passages up to a place. */
typedef struct walk {
    hr_segment ray;
    double length, join, min_length;
    hr_span open; /* the stretch being built; from > to: none */
    hr_span *spans;
    size_t cap, count;
} walk;

static void add_place(batch *b, double place)
{
    if (!(place > b->after)) {
        return;
    }
    size_t at = b->count;
    while (at > 0 && b->places[at - 1] > place) {
        at--;
    }
    if (at > 0 && b->places[at - 1] >= place) {
        return;
    }
    if (b->count == BATCH) {
        b->more = true;
        if (at == BATCH) {
            return;
        }
        b->count--; /* the farthest waits */
    }
    memmove(&b->places[at + 1], &b->places[at], (b->count - at) * sizeof b->places[0]);
    b->places[at] = place;
    b->count++;
}

static bool nearly_parallel(hr_segment s, hr_segment t)
{
    const double sx = s.b.x - s.a.x, sy = s.b.y - s.a.y, tx = t.b.x - t.a.x, ty = t.b.y - t.a.y;
    const double across = sx * ty - sy * tx;
    return across * across <= ALONG_SINE * ALONG_SINE * (sx * sx + sy * sy) * (tx * tx + ty * ty);
}

static void collect(const hr_region *region, const walk *w, double tolerance, batch *b)
{
    const hr_point ends[2] = {w->ray.a, w->ray.b};
    const hr_box box = hr_geometry_box(ends, 2);
    b->count = 0;
    b->more = false;
    for (size_t r = 0; r < region->ring_count; r++) {
        for (size_t i = 0; i < region->rings[r].count; i++) {
            const hr_segment edge = geometry_ring_edge(&region->rings[r], i);
            const hr_point corners[2] = {edge.a, edge.b};
            double along = 0.0;
            hr_span stretch;
            if (!hr_geometry_boxes_touch(box, hr_geometry_box(corners, 2), tolerance)) {
                continue;
            }
            if (hr_geometry_cross(w->ray, edge, &along, NULL)) {
                add_place(b, along);
            }
            if (nearly_parallel(w->ray, edge) && hr_geometry_along(w->ray, edge, tolerance, 0.0, &stretch)) {
                add_place(b, stretch.from);
                add_place(b, stretch.to);
            }
        }
    }
}

static void close_stretch(walk *w)
{
    if (w->open.from < w->open.to && (w->open.to - w->open.from) * w->length > w->min_length) {
        if (w->count < w->cap) {
            w->spans[w->count] = w->open;
        }
        w->count++;
    }
    w->open = (hr_span){1.0, 0.0};
}

static void add_stretch(walk *w, double from, double to)
{
    const bool is_open = w->open.from <= w->open.to;
    if (is_open && (from <= w->open.to || (from - w->open.to) * w->length < w->join)) {
        w->open.to = to;
        return;
    }
    if (is_open) {
        close_stretch(w);
    }
    w->open = (hr_span){from, to};
}

/* Asks the intervals from *from through the places of the batch; an interval
 * shorter than the tolerance is left to the next. */
static void walk_batch(const hr_region *region, walk *w, const batch *b, double tolerance, double *from)
{
    for (size_t i = 0; i < b->count; i++) {
        const double to = b->places[i];
        if ((to - *from) * w->length <= tolerance && to < 1.0) {
            continue;
        }
        if (hr_geometry_inside(region, hr_geometry_at(w->ray, 0.5 * (*from + to)), tolerance)) {
            add_stretch(w, *from, to);
        }
        *from = to;
    }
}

size_t hr_geometry_passages(const hr_region *region, hr_segment ray, double join, double min_length, hr_span *spans,
                            size_t cap)
{
    const hr_box box = region->box;
    const double reach = fmax(fmax(fabs(box.x0), fabs(box.x1)), fmax(fabs(box.y0), fabs(box.y1)));
    const double tolerance = ON_OUTLINE_M + 1e-15 * (reach < 1e12 ? reach : 0.0);
    walk w = {.ray = ray,
              .length = hr_geometry_length(ray),
              .join = fmax(join, tolerance),
              .min_length = fmax(min_length, 4.0 * tolerance),
              .open = {1.0, 0.0},
              .spans = spans,
              .cap = cap};
    if (!(w.length > 0.0)) {
        return 0;
    }
    batch b = {.after = 0.0};
    double from = 0.0;
    do {
        collect(region, &w, tolerance, &b);
        if (!b.more) {
            add_place(&b, 1.0);
        }
        walk_batch(region, &w, &b, tolerance, &from);
        b.after = b.places[b.count - 1];
    } while (b.more);
    close_stretch(&w);
    return w.count;
}
