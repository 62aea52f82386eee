/*
 * segment.c - points, segments and boxes.
 *
 * sqrt of a sum of squares stands where hypot could: it is correctly rounded
 * in its parts and so the same with every C library.
 *
 * SPDX-License-Identifier: MIT
 */
#include "geometry_priv.h"

#include <math.h>
#include <stdlib.h>

static double clamp_unit(double value)
{
    return value > 0.0 ? (value < 1.0 ? value : 1.0) : 0.0;
}

bool geometry_point_before(hr_point a, hr_point b)
{
    return a.x < b.x || (a.x <= b.x && a.y < b.y);
}

double hr_geometry_distance(hr_point a, hr_point b)
{
    const double dx = b.x - a.x, dy = b.y - a.y;
    return sqrt(dx * dx + dy * dy);
}

double hr_geometry_length(hr_segment s)
{
    return hr_geometry_distance(s.a, s.b);
}

static int compare_spans(const void *left, const void *right)
{
    const hr_span *a = left, *b = right;
    if (a->from != b->from) {
        return a->from < b->from ? -1 : 1;
    }
    return (a->to > b->to) - (a->to < b->to);
}

void hr_geometry_sort_spans(hr_span *spans, size_t count)
{
    if (count > 1) {
        qsort(spans, count, sizeof *spans, compare_spans);
    }
}

hr_point hr_geometry_at(hr_segment s, double fraction)
{
    const double dx = s.b.x - s.a.x, dy = s.b.y - s.a.y;
    /* from the nearer end: both ends are met exactly */
    if (fraction <= 0.5) {
        return (hr_point){s.a.x + fraction * dx, s.a.y + fraction * dy};
    }
    const double rest = 1.0 - fraction;
    return (hr_point){s.b.x - rest * dx, s.b.y - rest * dy};
}

hr_box hr_geometry_box(const hr_point *points, size_t count)
{
    hr_box box = {HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL};
    for (size_t i = 0; i < count; i++) {
        box.x0 = points[i].x < box.x0 ? points[i].x : box.x0;
        box.y0 = points[i].y < box.y0 ? points[i].y : box.y0;
        box.x1 = points[i].x > box.x1 ? points[i].x : box.x1;
        box.y1 = points[i].y > box.y1 ? points[i].y : box.y1;
    }
    return box;
}

bool hr_geometry_boxes_touch(hr_box a, hr_box b, double within)
{
    return a.x0 <= b.x1 + within && b.x0 <= a.x1 + within && a.y0 <= b.y1 + within && b.y0 <= a.y1 + within &&
           a.x0 <= a.x1 && b.x0 <= b.x1;
}

double hr_geometry_to_segment(hr_point p, hr_segment s, double *fraction)
{
    const bool turned = geometry_point_before(s.b, s.a);
    const hr_point a = turned ? s.b : s.a, b = turned ? s.a : s.b;
    const double dx = b.x - a.x, dy = b.y - a.y, px = p.x - a.x, py = p.y - a.y;
    const double squared = dx * dx + dy * dy;
    const double along = squared > 0.0 ? clamp_unit((px * dx + py * dy) / squared) : 0.0;
    if (fraction != NULL) {
        *fraction = turned && squared > 0.0 ? 1.0 - along : along;
    }
    if (along <= 0.0) {
        return hr_geometry_distance(p, a);
    }
    if (along >= 1.0) {
        return hr_geometry_distance(p, b);
    }
    return fabs(dx * py - dy * px) / sqrt(squared);
}

double hr_geometry_segments_gap(hr_segment s, hr_segment t)
{
    if (hr_geometry_cross(s, t, NULL, NULL)) {
        return 0.0;
    }
    double gap = hr_geometry_to_segment(s.a, t, NULL);
    gap = fmin(gap, hr_geometry_to_segment(s.b, t, NULL));
    gap = fmin(gap, hr_geometry_to_segment(t.a, s, NULL));
    return fmin(gap, hr_geometry_to_segment(t.b, s, NULL));
}

double hr_geometry_angle(hr_segment s, hr_segment t)
{
    const double sx = s.b.x - s.a.x, sy = s.b.y - s.a.y, tx = t.b.x - t.a.x, ty = t.b.y - t.a.y;
    const double across = fabs(sx * ty - sy * tx), along = fabs(sx * tx + sy * ty);
    return across > 0.0 ? atan2(across, along) : 0.0;
}

bool geometry_on_segment(hr_point p, hr_segment s)
{
    return p.x >= fmin(s.a.x, s.b.x) && p.x <= fmax(s.a.x, s.b.x) && p.y >= fmin(s.a.y, s.b.y) &&
           p.y <= fmax(s.a.y, s.b.y) && geometry_orient(s.a, s.b, p) == 0.0;
}

/* Twice the areas between a line and two points. */
typedef struct sides {
    double first, second;
} sides;

/* *good: not only the signs but the values are. */
static inline sides rough_sides(hr_segment line, hr_point first, hr_point second, bool *good)
{
    double first_size = 0.0, second_size = 0.0;
    const sides s = {geometry_orient_rough(line.a, line.b, first, &first_size),
                     geometry_orient_rough(line.a, line.b, second, &second_size)};
    *good = fabs(s.first) > ORIENT_CANCELLED * first_size && fabs(s.second) > ORIENT_CANCELLED * second_size;
    return s;
}

static sides exact_sides(hr_segment line, hr_point first, hr_point second)
{
    return (sides){geometry_orient_exact(line.a, line.b, first), geometry_orient_exact(line.a, line.b, second)};
}

/* True when both are on one side of the line, or both on it. */
static inline bool same_side(sides s)
{
    return (s.first > 0.0 && s.second > 0.0) || (s.first < 0.0 && s.second < 0.0) ||
           (s.first == 0.0 && s.second == 0.0);
}

/* How far from the first point towards the second the line cuts. */
static inline double cut_fraction(sides s)
{
    const double whole = fabs(s.first) + fabs(s.second);
    return whole > 0.0 ? fabs(s.first) / whole : 0.5; /* 0: products that underflow */
}

/* Where rounding might have a say. */
static __attribute__((noinline)) bool cross_exactly(hr_segment ray, hr_segment wall, double *along_ray,
                                                    double *along_wall)
{
    /* signs first, by the filter: mostly that is enough to say no */
    const sides ray_signs = {geometry_orient(wall.a, wall.b, ray.a), geometry_orient(wall.a, wall.b, ray.b)};
    if (same_side(ray_signs)) {
        return false;
    }
    const sides wall_signs = {geometry_orient(ray.a, ray.b, wall.a), geometry_orient(ray.a, ray.b, wall.b)};
    if (same_side(wall_signs)) {
        return false;
    }
    if (along_ray != NULL) {
        *along_ray = cut_fraction(exact_sides(wall, ray.a, ray.b));
    }
    if (along_wall != NULL) {
        *along_wall = cut_fraction(exact_sides(ray, wall.a, wall.b));
    }
    return true;
}

bool hr_geometry_cross(hr_segment ray, hr_segment wall, double *along_ray, double *along_wall)
{
    /* Parallel segments have equal areas on both sides of this test and never
     * pass it; nor does a segment without length. */
    bool ray_good = false, wall_good = false;
    const sides ray_ends = rough_sides(wall, ray.a, ray.b, &ray_good);
    if (ray_good && same_side(ray_ends)) {
        return false;
    }
    const sides wall_ends = rough_sides(ray, wall.a, wall.b, &wall_good);
    if (wall_good && same_side(wall_ends)) {
        return false;
    }
    if (!ray_good || !wall_good) {
        return cross_exactly(ray, wall, along_ray, along_wall);
    }
    if (along_ray != NULL) {
        *along_ray = cut_fraction(ray_ends);
    }
    if (along_wall != NULL) {
        *along_wall = cut_fraction(wall_ends);
    }
    return true;
}

/* Cuts *span to where first + t (second - first) lies within [low, high]. */
static bool clip(hr_span *span, double first, double second, double low, double high)
{
    const double slope = second - first;
    if (!(fabs(slope) > 0.0)) {
        return first >= low && first <= high;
    }
    double from = (low - first) / slope, to = (high - first) / slope;
    if (from > to) {
        const double kept = from;
        from = to;
        to = kept;
    }
    span->from = from > span->from ? from : span->from;
    span->to = to < span->to ? to : span->to;
    return span->from <= span->to;
}

bool hr_geometry_along(hr_segment ray, hr_segment wall, double tolerance, double min_length, hr_span *on_ray)
{
    const bool turned = geometry_point_before(ray.b, ray.a);
    const hr_point p = turned ? ray.b : ray.a, q = turned ? ray.a : ray.b;
    const bool wall_turned = geometry_point_before(wall.b, wall.a);
    const hr_point a = wall_turned ? wall.b : wall.a, b = wall_turned ? wall.a : wall.b;
    const double ray_length = hr_geometry_distance(p, q), length = hr_geometry_distance(a, b);
    if (!(ray_length > 0.0) || !(length > 0.0)) {
        return false;
    }
    const double ux = (b.x - a.x) / length, uy = (b.y - a.y) / length;
    const double off_p = ux * (p.y - a.y) - uy * (p.x - a.x), off_q = ux * (q.y - a.y) - uy * (q.x - a.x);
    const double on_p = ux * (p.x - a.x) + uy * (p.y - a.y), on_q = ux * (q.x - a.x) + uy * (q.y - a.y);
    hr_span span = {0.0, 1.0};
    if (!clip(&span, off_p, off_q, -tolerance, tolerance) || !clip(&span, on_p, on_q, 0.0, length) ||
        (span.to - span.from) * ray_length < min_length) {
        return false;
    }
    if (on_ray != NULL) {
        *on_ray = turned ? (hr_span){1.0 - span.to, 1.0 - span.from} : span;
    }
    return true;
}
