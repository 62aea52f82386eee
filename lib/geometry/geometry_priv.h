/* geometry_priv.h - shared by the files of this module only.
 * SPDX-License-Identifier: MIT */
#ifndef GEOMETRY_PRIV_H
#define GEOMETRY_PRIV_H

#include "hr_geometry.h"

#include <math.h>

/* (3 + 16 e) e with e = 2^-53, "ccwerrboundA" of the source named in orient.c:
 * a determinant above this share of its two products has the right sign. */
#define ORIENT_FILTER 3.3306690738754716e-16

/* Below this share a determinant is computed exactly when its value matters and
 * not only its sign; above it is good to about 1e-11 of itself. */
#define ORIENT_CANCELLED 2e-5

/* Twice the signed area of a, b, c without a rounding but the last, as long as
 * no product underflows. Swapping two points negates it. */
double geometry_orient_exact(hr_point a, hr_point b, hr_point c);

/* The same in doubles; *size gets the size of its two products. */
static inline double geometry_orient_rough(hr_point a, hr_point b, hr_point c, double *size)
{
    const double left = (a.x - c.x) * (b.y - c.y), right = (a.y - c.y) * (b.x - c.x);
    *size = fabs(left) + fabs(right);
    return left - right;
}

/* The same with the exact sign (or zero); swapping a and b negates it bit by bit. */
static inline double geometry_orient(hr_point a, hr_point b, hr_point c)
{
    double size = 0.0;
    const double rough = geometry_orient_rough(a, b, c, &size);
    if (fabs(rough) > ORIENT_FILTER * size) {
        return rough;
    }
    /* walls along one axis: each product has a factor that is nothing */
    if ((a.x == c.x || b.y == c.y) && (a.y == c.y || b.x == c.x)) {
        return 0.0;
    }
    return geometry_orient_exact(a, b, c);
}

/* True when p lies exactly on the segment. */
bool geometry_on_segment(hr_point p, hr_segment s);

/* The point order that makes results independent of the direction of a segment. */
bool geometry_point_before(hr_point a, hr_point b);

/* The next edge of a ring: from point i to its successor. */
hr_segment geometry_ring_edge(const hr_ring *ring, size_t i);

/* Winding number and crossing parity of one ring round p (points on the
 * outline fall to one side or the other); *on_outline tells that p lies on it. */
int geometry_ring_winding(const hr_ring *ring, hr_point p, bool *odd, bool *on_outline);

/* Signed shoelace area of a ring about `origin`; *centre_sum gets the first
 * moments (area times centroid, from origin). */
double geometry_ring_moments(const hr_ring *ring, hr_point origin, hr_point *centre_sum);

/*
 * The index: segments in the order of a space-filling curve, eight to a block;
 * eight blocks to a box group, eight groups to a group of the next level and so
 * on until few are left. All in flat arrays of single precision round the
 * centre of the set. What single precision cannot tell is asked in double.
 */
#define INDEX_WIDTH 8u
/* 8^9 blocks hold more segments than there are ids. */
#define INDEX_LEVELS_MAX 10
/* A level of so few boxes is looked through from end to end. */
#define INDEX_TOP_NODES 64u
/* Relative error allowed to the single precision work; some ten roundings of
 * 2^-24 really happen. */
#define INDEX_ERROR 0x1p-19

/* Eight segments: their ends, and the lines that they lie on: rise x + run y +
 * rest is twice the area between the segment and x, y. */
typedef struct index_block {
    float ax[INDEX_WIDTH], ay[INDEX_WIDTH], bx[INDEX_WIDTH], by[INDEX_WIDTH];
    float rise[INDEX_WIDTH], run[INDEX_WIDTH], rest[INDEX_WIDTH];
    float size[INDEX_WIDTH]; /* |rise| + |run| */
} index_block;

/* Eight boxes by centre and half size. */
typedef struct index_group {
    float x[INDEX_WIDTH], y[INDEX_WIDTH], half_x[INDEX_WIDTH], half_y[INDEX_WIDTH];
} index_group;

typedef struct index_level {
    index_group *groups;
    size_t nodes; /* boxes in use; group i holds boxes 8 i to 8 i + 7 */
} index_level;

struct hr_index {
    hr_segment *segments; /* as given */
    size_t count;
    uint32_t *ids; /* by place in the blocks */
    index_block *blocks;
    size_t block_count;
    index_level levels[INDEX_LEVELS_MAX]; /* levels[0]: one box for each block */
    size_t level_count;
    hr_point centre;
    double reach; /* largest coordinate from the centre */
    bool wide;    /* the processor has the wider registers */
    void *memory; /* blocks and groups, before alignment */
};

/* +1, 0 or -1: by how much a ring's enclosed area adds to the filled area. */
int geometry_ring_weight(const hr_region *region, size_t ring);

#endif
