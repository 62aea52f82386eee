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
/* Relative error allowed to the single precision work; at most twenty roundings of
 * 2^-24 really happen. */
#define INDEX_ERROR 0x1p-19

/* Eight segments by middle and half of their way from a to b; lean is twice the
 * area between half and middle, size |half_x| + |half_y|. */
typedef struct index_block {
    float x[INDEX_WIDTH], y[INDEX_WIDTH], half_x[INDEX_WIDTH], half_y[INDEX_WIDTH];
    float lean[INDEX_WIDTH], size[INDEX_WIDTH];
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
    double reach;        /* largest coordinate from the centre */
    double span;         /* the same from the origin, at most */
    uint64_t lanes[256]; /* the set bits of each byte from the lowest up, one in each byte */
    bool wide;           /* the processor has the wider registers */
    void *memory;        /* blocks and groups, before alignment */
};

/* The ray as single precision sees it, by middle and half of its way. */
typedef struct index_probe {
    float half_x, half_y, lean;   /* s = half_x y - half_y x - lean: 0 on the ray's line */
    float s_within;               /* |s| beyond this: surely apart */
    float x, y, reach_x, reach_y; /* the ray's box, widened */
    /* Apart by more than near, or less than -sure, whatever the roundings; see index_look.h. */
    float near_by_size, near_more, sure_by_size, sure_more;
    hr_segment ray;
    double within_m; /* below 0: only what the ray crosses */
} index_probe;

/* Coordinates beyond this would leave the range of single precision. */
#define GEOMETRY_SINGLE_MAX_M 1e12

/* Of two numbers; the library's fmax is a call. */
static inline double larger(double a, double b)
{
    return a > b ? a : b;
}

/* Whether the processor has the wider registers. */
static inline bool geometry_has_wide(void)
{
#if defined(__x86_64__) || defined(__i386__)
    return __builtin_cpu_supports("avx2") != 0;
#else
    return false;
#endif
}

/* A list of blocks at most: the children of eight nodes. */
#define INDEX_LIST (8u * INDEX_WIDTH)
/* Whole blocks of ids are put down at once, so that lists end with room for one. */
#define INDEX_ROOM INDEX_WIDTH
/* So many ids are sorted at once. */
#define INDEX_FEW 32u

/* Where the ids go: first all into `held`, in any order. */
typedef struct index_answer {
    uint32_t held[2 * INDEX_LIST * INDEX_WIDTH + INDEX_ROOM];
    size_t held_count;
    uint32_t *ids; /* the smallest ones that there is room for */
    size_t cap, count;
} index_answer;

/* Moves what is held into the ids. */
void geometry_index_spill(index_answer *a);
/* Adds of each block the segments of the doubtful lanes that double precision finds near. */
void geometry_index_settle(const hr_index *index, const index_probe *p, const uint32_t *blocks, const uint8_t *doubtful,
                           size_t count, index_answer *a);
/* Puts into a->held and, where all fits, in order into a->ids what the ray comes near to; two builds of one. */
void geometry_index_look_plain(const hr_index *index, const index_probe *p, index_answer *a);
void geometry_index_look_wide(const hr_index *index, const index_probe *p, index_answer *a);

/* +1, 0 or -1: by how much a ring's enclosed area adds to the filled area. */
int geometry_ring_weight(const hr_region *region, size_t ring);

#endif
