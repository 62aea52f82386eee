/*
 * hr_geometry.h - points, segments, closed regions and the index that finds
 * which segments a straight line meets. Plane geometry in metres (any unit
 * works); x right, y down. No radio and no plan in here.
 *
 * Every function is symmetric in the two ends of a segment unless it says so,
 * and gives finite results for finite input up to 1e9.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_GEOMETRY_H
#define HR_GEOMETRY_H

#include "hr_base.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct hr_point {
    double x, y;
} hr_point;

typedef struct hr_segment {
    hr_point a, b;
} hr_segment;

typedef struct hr_box {
    double x0, y0, x1, y1; /* x0 <= x1, y0 <= y1; empty: x0 > x1 */
} hr_box;

/* Closed interval along a segment or ray, as fractions of its length. */
typedef struct hr_span {
    double from, to;
} hr_span;

/* ---- points and segments ---------------------------------------------- */

HR_API double hr_geometry_distance(hr_point a, hr_point b);
HR_API double hr_geometry_length(hr_segment s);
HR_API hr_point hr_geometry_at(hr_segment s, double fraction);
HR_API hr_box hr_geometry_box(const hr_point *points, size_t count);
HR_API bool hr_geometry_boxes_touch(hr_box a, hr_box b, double within);
/* The same of a box and a point; without a call, since most places are off most shapes. */
static inline bool hr_geometry_box_holds(hr_box box, hr_point p, double within)
{
    return p.x <= box.x1 + within && box.x0 <= p.x + within && p.y <= box.y1 + within && box.y0 <= p.y + within &&
           box.x0 <= box.x1;
}

/* By their beginnings, those that begin together by their ends. */
HR_API void hr_geometry_sort_spans(hr_span *spans, size_t count);

/* Distance of p from the segment; *fraction (may be NULL) gets the nearest
 * point's place on it, 0..1. A zero-length segment is a point. */
HR_API double hr_geometry_to_segment(hr_point p, hr_segment s, double *fraction);

/* Distance between two segments (0 when they meet). */
HR_API double hr_geometry_segments_gap(hr_segment s, hr_segment t);

/* Smallest angle between the two directions, 0..pi/2. Zero length: 0. */
HR_API double hr_geometry_angle(hr_segment s, hr_segment t);

/*
 * Where `ray` and `wall` meet, by exact-sign orientation tests on the doubles
 * with the rule that a crossing is never lost at a shared corner: touching
 * counts. Parallel segments (also coincident ones) do not cross, nor does a
 * segment without length. On true, *along_ray and *along_wall (each may be NULL)
 * are fractions in 0..1. Swapping the ends of either never changes the answer.
 */
HR_API bool hr_geometry_cross(hr_segment ray, hr_segment wall, double *along_ray, double *along_wall);

/*
 * The stretch of `ray` that runs within `tolerance` of `wall` lengthwise (a wall
 * along the ray). False when that stretch is shorter than `min_length`. */
HR_API bool hr_geometry_along(hr_segment ray, hr_segment wall, double tolerance, double min_length, hr_span *on_ray);

/* ---- regions ----------------------------------------------------------- */

/* One closed outline; the last point joins the first (not repeated). */
typedef struct hr_ring {
    const hr_point *points;
    size_t count;
} hr_ring;

/* A closed shape of one or more rings, filled by its rule. Not owning. */
typedef struct hr_region {
    const hr_ring *rings;
    size_t ring_count;
    bool even_odd; /* else nonzero winding */
    hr_box box;    /* of all rings, see hr_geometry_region_box */
} hr_region;

HR_API hr_box hr_geometry_region_box(const hr_ring *rings, size_t ring_count);
/* p inside by the fill rule; points within `edge` of an outline count as inside. */
HR_API bool hr_geometry_inside(const hr_region *region, hr_point p, double edge);
/* Distance from p to the nearest outline; *nearest may be NULL. */
HR_API double hr_geometry_to_outline(const hr_region *region, hr_point p, hr_point *nearest);
/* Filled area by the fill rule for non-self-crossing rings (holes by rule). */
HR_API double hr_geometry_area(const hr_region *region);
/* Centre of the largest inscribed circle, its radius within 1 mm of the largest
 * (as far as bounded work allows: shapes of many thousand corners may miss it);
 * *radius may be NULL. Among places that are as good the one nearest to the
 * centroid, so that the place moves, turns and mirrors with the shape; then
 * smaller y, then x. Without an inside: the centre of the box, radius 0. */
HR_API hr_point hr_geometry_innermost(const hr_region *region, double *radius);

/*
 * The maximal stretches of `ray` inside the region by its fill rule, in order; a
 * stretch along the outline is inside, a corner only touched is not. Stretches
 * separated by less than `join` metres are one; those not longer than
 * `min_length` metres are left out. Writes at most cap spans and returns the
 * full count.
 */
HR_API size_t hr_geometry_passages(const hr_region *region, hr_segment ray, double join, double min_length,
                                   hr_span *spans, size_t cap);

/* ---- index of crossings ------------------------------------------------ */

/* A static index over segments: which of them a ray meets or comes near to. */
typedef struct hr_index hr_index;

/* Copies the segments. HR_ERR_MEMORY; HR_ERR_ARGUMENT for non-finite input. */
HR_API hr_status hr_geometry_index_new(const hr_segment *segments, size_t count, hr_index **index, hr_error *err);
HR_API void hr_geometry_index_free(hr_index *index);
HR_API size_t hr_geometry_index_count(const hr_index *index);

/*
 * Ids of all segments that come within `within` metres of `ray`, ascending,
 * each once: never one too few, none whose distance from the ray exceeds
 * `within` + 1e-9 (for lengths up to 1e6; beyond, double precision itself is
 * coarser). Writes the first cap ids at most and returns the full count. A ray
 * that is not finite or a `within` below 0 finds none. Thread-safe: the index
 * is read only.
 */
HR_API size_t hr_geometry_index_query(const hr_index *index, hr_segment ray, double within, uint32_t *ids, size_t cap);

/* Ids of exactly the segments that `ray` crosses by hr_geometry_cross, in the
 * same way; faster than asking each of the above. */
HR_API size_t hr_geometry_index_crossed(const hr_index *index, hr_segment ray, uint32_t *ids, size_t cap);

/* ---- what lies before each place of a grid ------------------------------ */

/* Places in rows and columns: first + step * (column, row). */
typedef struct hr_grid {
    hr_point first;
    double step; /* above 0 */
    size_t columns, rows;
} hr_grid;

static inline hr_point hr_geometry_grid_place(const hr_grid *grid, size_t column, size_t row)
{
    hr_point place;
    place.x = grid->first.x + grid->step * (double)column;
    place.y = grid->first.y + grid->step * (double)row;
    return place;
}

/*
 * For each place of the grid the sum of the weights of exactly the segments that
 * the straight line to it from `from` crosses by hr_geometry_cross, added in the
 * order of the segments: to the last bit what asking them one by one comes to,
 * at a small part of the cost, since lines to neighbouring places mostly cross
 * the same. With losses as weights: what the walls take off on the way to each
 * place of a floor, fast enough to follow a gateway that is being moved; without
 * what hr_links.h knows of openings, joints, heights and metal.
 *
 * wanted: a byte for each place, row by row; 0 leaves its sum as it was. NULL: all.
 * HR_ERR_MEMORY; HR_ERR_ARGUMENT for input that is not finite, a step of 0 or
 * below, a grid or `from` whose coordinates add up beyond 1e30, or too many places.
 */
HR_API hr_status hr_geometry_grid_sums(const hr_segment *segments, const double *weights, size_t count, hr_point from,
                                       const hr_grid *grid, const uint8_t *wanted, double *sums, hr_error *err);

#ifdef __cplusplus
}
#endif
#endif
