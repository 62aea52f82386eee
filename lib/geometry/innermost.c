/*
 * innermost.c - the centre of the largest inscribed circle.
 *
 * Branch and bound over squares. The distance to the outline changes by at
 * most a metre per metre, which bounds it over a square from its centre. That
 * bound alone crawls along corridors, where all of the middle line is equally
 * far from both sides; so a square is also bounded by the mean distance to two
 * opposite edges nearby. The distance to an edge is a convex function, so the mean is
 * largest at a corner of the square.
 *
 * Where the middle is a line and not a point, a slope of half a millimetre over
 * the whole shape prefers the place nearest to the centroid: the answer then
 * moves, turns and mirrors with the shape.
 *
 * SPDX-License-Identifier: MIT
 */
#include "geometry_priv.h"

#include <math.h>

#define PREFERENCE_M 5e-4
#define SQRT2 1.4142135623730951

/* Edges looked at for opposite pairs. */
#define NEAREST 8

/* A square is split at most DEPTH times. Work counts distances to edges and is
 * bounded, for each precision alone. */
#define DEPTH 44
#define STACK (3 * DEPTH + 8)
#define WORK_MAX 1e7
#define EVALUATIONS_MAX 20000.0

/* Coarse first, so that a fine search begins near the best. */
#define COARSEST 0.05 /* of the box */
#define FINER 16.0
#define FINEST_M 1e-6
/* Steps of the slide along a flat middle line: each leaves two thirds. */
#define SLIDE_STEPS 40

typedef struct cell {
    double x, y, half;
    double bound; /* no point of the square has a larger value */
    int depth;
} cell;

typedef struct search {
    const hr_region *region;
    hr_point preferred;
    double slope; /* of the preference, per metre */
    double edges, work;
    hr_point best;
    double best_value, best_radius;
} search;

/* An edge seen from a square's centre. */
typedef struct sight {
    hr_segment edge;
    double distance;
    hr_point to; /* unit vector towards the nearest point; zero on the edge */
} sight;

static void keep_nearest(sight *nearest, size_t *count, hr_segment edge, double distance)
{
    size_t at = *count < NEAREST ? (*count)++ : NEAREST;
    if (at == NEAREST) {
        if (distance >= nearest[NEAREST - 1].distance) {
            return;
        }
        at--;
    }
    for (; at > 0 && nearest[at - 1].distance > distance; at--) {
        nearest[at] = nearest[at - 1];
    }
    nearest[at] = (sight){.edge = edge, .distance = distance};
}

/* Distance from p to the outline, negative outside, and the edges nearest to p. */
static double signed_distance(const hr_region *region, hr_point p, sight *nearest, size_t *count)
{
    int winding = 0;
    bool odd = false;
    *count = 0;
    for (size_t r = 0; r < region->ring_count; r++) {
        const hr_ring *ring = &region->rings[r];
        bool ring_odd = false, on = false;
        winding += geometry_ring_winding(ring, p, &ring_odd, &on);
        odd = odd != ring_odd;
        for (size_t i = 0; i < ring->count; i++) {
            const hr_segment edge = geometry_ring_edge(ring, i);
            keep_nearest(nearest, count, edge, hr_geometry_to_segment(p, edge, NULL));
        }
    }
    const double best = *count > 0 ? nearest[0].distance : 0.0;
    return (region->even_odd ? odd : winding != 0) ? best : -best;
}

static void look_towards(sight *s, hr_point p)
{
    double fraction = 0.0;
    s->distance = hr_geometry_to_segment(p, s->edge, &fraction);
    const hr_point at = hr_geometry_at(s->edge, fraction);
    const double scale = s->distance > 0.0 ? 1.0 / s->distance : 0.0;
    s->to = (hr_point){(at.x - p.x) * scale, (at.y - p.y) * scale};
}

/* What pair_bound will be near to. */
static double pair_estimate(const cell *c, const sight *one, const sight *two)
{
    const double x = one->to.x + two->to.x, y = one->to.y + two->to.y;
    return 0.5 * (one->distance + two->distance + SQRT2 * c->half * sqrt(x * x + y * y));
}

/* Largest mean distance to both edges in the square: at one of its corners. */
static double pair_bound(const cell *c, hr_segment one, hr_segment two)
{
    double bound = 0.0;
    for (int corner = 0; corner < 4; corner++) {
        const hr_point at = {corner & 1 ? c->x + c->half : c->x - c->half,
                             corner & 2 ? c->y + c->half : c->y - c->half};
        bound = fmax(bound, hr_geometry_to_segment(at, one, NULL) + hr_geometry_to_segment(at, two, NULL));
    }
    return 0.5 * bound;
}

/* The bound of the most promising pair among the nearest edges. */
static double opposite_bound(const cell *c, sight *nearest, size_t count)
{
    const hr_point centre = {c->x, c->y};
    if (count < 2) {
        return HUGE_VAL;
    }
    /* beyond this an edge's mean with the nearest is no better than the plain bound */
    const double farthest = nearest[0].distance + 2.0 * SQRT2 * c->half;
    double best = HUGE_VAL;
    size_t one = 0, two = 0;
    for (size_t i = 0; i < count && nearest[i].distance <= farthest; i++) {
        look_towards(&nearest[i], centre);
        for (size_t k = 0; k < i; k++) {
            const double estimate = pair_estimate(c, &nearest[i], &nearest[k]);
            if (estimate < best) {
                best = estimate;
                one = i;
                two = k;
            }
        }
    }
    return one != two ? pair_bound(c, nearest[one].edge, nearest[two].edge) : HUGE_VAL;
}

/* Tries the square's centre as an answer and bounds the square; returns the
 * centre's value. */
static double try_cell(search *s, cell *c)
{
    const hr_point centre = {c->x, c->y};
    sight nearest[NEAREST];
    size_t count = 0;
    const double distance = signed_distance(s->region, centre, nearest, &count);
    const double aside = hr_geometry_distance(centre, s->preferred);
    const double value = distance - s->slope * aside;
    s->work += s->edges;
    if (value > s->best_value ||
        (value >= s->best_value && (c->y < s->best.y || (c->y <= s->best.y && c->x < s->best.x)))) {
        s->best_value = value;
        s->best_radius = distance;
        s->best = centre;
    }
    const double off = s->slope * fmax(0.0, aside - SQRT2 * c->half);
    c->bound = distance + SQRT2 * c->half - off;
    if (c->bound > s->best_value) {
        c->bound = fmin(c->bound, opposite_bound(c, nearest, count) - off);
    }
    return value;
}

/* Least promising first; the last is looked at next. */
static bool later(const cell *a, const cell *b)
{
    if (a->bound != b->bound) {
        return a->bound < b->bound;
    }
    return a->y > b->y || (a->y >= b->y && a->x > b->x);
}

static void split(search *s, const cell *parent, cell children[4])
{
    for (int k = 0; k < 4; k++) {
        const double half = 0.5 * parent->half;
        cell child = {.x = k & 1 ? parent->x + half : parent->x - half,
                      .y = k & 2 ? parent->y + half : parent->y - half,
                      .half = half,
                      .depth = parent->depth + 1};
        (void)try_cell(s, &child);
        int at = k;
        for (; at > 0 && later(&child, &children[at - 1]); at--) {
            children[at] = children[at - 1];
        }
        children[at] = child;
    }
}

static void run(search *s, cell root, double precision)
{
    const double work_max = fmin(WORK_MAX, EVALUATIONS_MAX * s->edges);
    s->work = 0.0;
    cell stack[STACK];
    size_t count = 0;
    stack[count++] = root;
    while (count > 0 && s->work < work_max) {
        const cell next = stack[--count];
        if (next.bound <= s->best_value + precision || next.depth >= DEPTH) {
            continue;
        }
        cell children[4];
        split(s, &next, children);
        for (int k = 0; k < 4; k++) {
            if (children[k].bound > s->best_value + precision) {
                stack[count++] = children[k];
            }
        }
    }
}

static double try_point(search *s, hr_point p)
{
    cell c = {.x = p.x, .y = p.y};
    return try_cell(s, &c);
}

/* Where two parallel edges make the middle flat the search stops anywhere near
 * the preferred place: from there on straight along the edge. */
static void slide(search *s)
{
    sight nearest[NEAREST];
    size_t count = 0;
    const hr_point from = s->best;
    (void)signed_distance(s->region, from, nearest, &count);
    const hr_segment edge = count > 0 ? nearest[0].edge : (hr_segment){from, from};
    const double length = hr_geometry_length(edge);
    if (!(length > 0.0)) {
        return;
    }
    const double ux = (edge.b.x - edge.a.x) / length, uy = (edge.b.y - edge.a.y) / length;
    const double way = ux * (s->preferred.x - from.x) + uy * (s->preferred.y - from.y);
    double low = 0.0, high = way;
    for (int step = 0; step < SLIDE_STEPS; step++) {
        const double one = low + (high - low) / 3.0, two = high - (high - low) / 3.0;
        const double near = try_point(s, (hr_point){from.x + one * ux, from.y + one * uy});
        const double far = try_point(s, (hr_point){from.x + two * ux, from.y + two * uy});
        if (near >= far) {
            high = two;
        } else {
            low = one;
        }
    }
    (void)try_point(s, (hr_point){from.x + way * ux, from.y + way * uy});
}

static double outline_length(const hr_region *region)
{
    double length = 0.0;
    for (size_t r = 0; r < region->ring_count; r++) {
        for (size_t i = 0; i < region->rings[r].count; i++) {
            length += hr_geometry_length(geometry_ring_edge(&region->rings[r], i));
        }
    }
    return length;
}

/* Centroid of the filled area; `fallback` when there is no area. */
static hr_point centroid(const hr_region *region, hr_point fallback)
{
    double area = 0.0, x = 0.0, y = 0.0;
    for (size_t r = 0; r < region->ring_count; r++) {
        hr_point sum = {0.0, 0.0};
        const double ring_area = geometry_ring_moments(&region->rings[r], fallback, &sum);
        const double weight = geometry_ring_weight(region, r) * (ring_area < 0.0 ? -1.0 : 1.0);
        area += weight * ring_area;
        x += weight * sum.x;
        y += weight * sum.y;
    }
    const double reach = region->box.x1 - region->box.x0 + region->box.y1 - region->box.y0;
    if (!(area > 1e-12 * reach * reach)) {
        return fallback;
    }
    return (hr_point){fallback.x + x / area, fallback.y + y / area};
}

/* The whole search; false when the shape has no inside. */
static bool find_innermost(search *s, hr_point middle, double size)
{
    s->preferred = centroid(s->region, middle);
    s->best_value = -HUGE_VAL;
    for (size_t r = 0; r < s->region->ring_count; r++) {
        s->edges += (double)s->region->rings[r].count;
    }
    const double outline = outline_length(s->region);
    s->slope = outline > 0.0 ? PREFERENCE_M / outline : 0.0;
    (void)try_point(s, s->preferred);
    cell root = {.x = middle.x, .y = middle.y, .half = 0.5 * size};
    (void)try_cell(s, &root);
    const double finest = FINEST_M + 1e-14 * (size + fabs(middle.x) + fabs(middle.y));
    double precision = COARSEST * size;
    while (precision > finest) {
        run(s, root, precision);
        precision /= FINER;
    }
    run(s, root, finest);
    slide(s);
    return s->best_radius > 0.0;
}

hr_point hr_geometry_innermost(const hr_region *region, double *radius)
{
    const hr_box box = region->box;
    hr_point found = {0.0, 0.0};
    double found_radius = 0.0;
    if (box.x0 <= box.x1 && box.y0 <= box.y1) {
        const double width = box.x1 - box.x0, height = box.y1 - box.y0;
        search s = {.region = region};
        found = (hr_point){box.x0 + 0.5 * width, box.y0 + 0.5 * height};
        if (find_innermost(&s, found, fmax(width, height))) {
            found = s.best;
            found_radius = s.best_radius;
        }
    }
    if (radius != NULL) {
        *radius = found_radius;
    }
    return found;
}
