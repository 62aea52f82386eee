/*
 * index_query.c - asks the index which segments a ray comes near to.
 *
 * SPDX-License-Identifier: MIT
 */
#include "geometry_priv.h"

#include <float.h>
#include <math.h>
#include <string.h>

/* Half of the tolerance that the header grants: the other half is for the
 * roundings of the measurement itself. */
#define GRANTED_M 5e-10

/* Sets of up to so many segments sort longer answers as a set of bits. */
#define BITS_MAX 65536u
#define WORD_BITS 64u

/* ---- the answer ------------------------------------------------------------ */

static void sift_down(uint32_t *heap, size_t count, size_t at)
{
    for (size_t child = 2 * at + 1; child < count; child = 2 * at + 1) {
        child += child + 1 < count && heap[child + 1] > heap[child] ? 1 : 0;
        if (heap[at] >= heap[child]) {
            return;
        }
        const uint32_t kept = heap[at];
        heap[at] = heap[child];
        heap[child] = kept;
        at = child;
    }
}

static void make_heap(uint32_t *ids, size_t count)
{
    for (size_t at = count / 2; at-- > 0;) {
        sift_down(ids, count, at);
    }
}

/* A full list is a heap with its largest id on top, which gives way. */
static void add_to_full(index_answer *a, uint32_t id)
{
    if (a->cap > 0) {
        if (a->count == a->cap) {
            make_heap(a->ids, a->cap);
        }
        if (id < a->ids[0]) {
            a->ids[0] = id;
            sift_down(a->ids, a->cap, 0);
        }
    }
}

void geometry_index_spill(index_answer *a)
{
    for (size_t i = 0; i < a->held_count; i++) {
        if (a->count < a->cap) {
            a->ids[a->count] = a->held[i];
        } else {
            add_to_full(a, a->held[i]);
        }
        a->count++;
    }
    a->held_count = 0;
}

static void sort_by_bits(uint32_t *ids, size_t count, size_t id_count)
{
    uint64_t bits[BITS_MAX / WORD_BITS];
    const size_t words = (id_count + WORD_BITS - 1) / WORD_BITS;
    memset(bits, 0, words * sizeof bits[0]);
    for (size_t i = 0; i < count; i++) {
        bits[ids[i] / WORD_BITS] |= UINT64_C(1) << (ids[i] % WORD_BITS);
    }
    size_t next = 0;
    for (size_t w = 0; w < words; w++) {
        for (uint64_t word = bits[w]; word != 0; word &= word - 1) {
            ids[next++] = (uint32_t)(w * WORD_BITS) + (uint32_t)__builtin_ctzll(word);
        }
    }
}

static void sort_by_heap(uint32_t *ids, size_t count)
{
    make_heap(ids, count);
    for (size_t left = count; left-- > 1;) {
        const uint32_t largest = ids[0];
        ids[0] = ids[left];
        ids[left] = largest;
        sift_down(ids, left, 0);
    }
}

/* An answer too long, or with too little room, to be put in order at once. */
static __attribute__((noinline)) void put_in_order(index_answer *a, size_t id_count)
{
    geometry_index_spill(a);
    const size_t written = a->count < a->cap ? a->count : a->cap;
    if (written > INDEX_FEW && id_count <= BITS_MAX) {
        sort_by_bits(a->ids, written, id_count);
    } else {
        sort_by_heap(a->ids, written);
    }
}

/* ---- what single precision cannot tell --------------------------------------- */

static bool same_place(hr_point a, hr_point b)
{
    return a.x == b.x && a.y == b.y;
}

/* Walls mostly meet in a corner that both have. */
static bool is_near(const index_probe *p, hr_segment segment)
{
    const hr_segment ray = p->ray;
    if (p->within_m >= 0.0 && (same_place(ray.a, segment.a) || same_place(ray.a, segment.b) ||
                               same_place(ray.b, segment.a) || same_place(ray.b, segment.b))) {
        return true;
    }
    return p->within_m < 0.0 ? hr_geometry_cross(p->ray, segment, NULL, NULL)
                             : hr_geometry_segments_gap(p->ray, segment) <= p->within_m + GRANTED_M;
}

void geometry_index_settle(const hr_index *index, const index_probe *p, const uint32_t *blocks, const uint8_t *doubtful,
                           size_t count, index_answer *a)
{
    for (size_t i = 0; i < count; i++) {
        for (unsigned left = doubtful[i]; left != 0; left &= left - 1) {
            const uint32_t id = index->ids[(size_t)blocks[i] * INDEX_WIDTH + (unsigned)__builtin_ctz(left)];
            if (is_near(p, index->segments[id])) {
                a->held[a->held_count++] = id;
            }
        }
    }
}

/* Each segment by itself: sets and rays of no earthly size. */
static void look_at_all(const hr_index *index, const index_probe *p, index_answer *a)
{
    for (size_t id = 0; id < index->count; id++) {
        if (is_near(p, index->segments[id])) {
            a->held[a->held_count++] = (uint32_t)id;
            if (a->held_count > INDEX_LIST) {
                geometry_index_spill(a);
            }
        }
    }
}

/* ---- the question ---------------------------------------------------------- */

/* A ray that goes far beyond the set is cut to where it could matter: no place
 * of interest is farther than `reach` from the centre (the origin here). *slop
 * is how far the cut ends may be off the ray. False when it stays clear of all. */
static bool cut_far_ray(hr_segment *ray, double reach, double *slop)
{
    const hr_point start = ray->a, end = ray->b;
    const double dx = end.x - start.x, dy = end.y - start.y, length = sqrt(dx * dx + dy * dy);
    if (!(length > 0.0)) {
        return false; /* a point, and a far one */
    }
    const double ux = dx / length, uy = dy / length;
    const double off = ux * start.y - uy * start.x;
    *slop = 1e-14 * (fabs(start.x) + fabs(start.y) + length);
    const double limit = reach + *slop;
    const double from = larger(ux * start.x + uy * start.y, -limit), to = fmin(ux * end.x + uy * end.y, limit);
    if (fabs(off) > limit || from > limit || to < -limit) {
        return false;
    }
    ray->a = (hr_point){ux * from - uy * off, uy * from + ux * off};
    ray->b = (hr_point){ux * to - uy * off, uy * to + ux * off};
    return true;
}

/* `error`: what single precision is good to, metres. */
static inline void fill_probe(hr_segment ray, double within, double error, index_probe *p)
{
    const double half_x = 0.5 * (ray.b.x - ray.a.x), half_y = 0.5 * (ray.b.y - ray.a.y);
    const double x = 0.5 * (ray.a.x + ray.b.x), y = 0.5 * (ray.a.y + ray.b.y);
    const double width = fabs(half_x), height = fabs(half_y), size = width + height;
    const double sure_more = error * size + 1e-30, near_more = within * size + sure_more;
    p->half_x = (float)half_x;
    p->half_y = (float)half_y;
    p->lean = (float)(half_x * y - half_y * x);
    p->s_within = (float)(near_more + sure_more);
    p->x = (float)x;
    p->y = (float)y;
    p->reach_x = (float)(width + within + 2.0 * error);
    p->reach_y = (float)(height + within + 2.0 * error);
    p->near_by_size = (float)(within + error);
    p->near_more = (float)near_more;
    p->sure_by_size = (float)error;
    p->sure_more = (float)sure_more;
}

/* False when the ray stays clear of the whole set. */
static inline bool aim(const hr_index *index, hr_segment ray, double within, index_probe *p)
{
    hr_segment from_centre = {{ray.a.x - index->centre.x, ray.a.y - index->centre.y},
                              {ray.b.x - index->centre.x, ray.b.y - index->centre.y}};
    const double reach = index->reach + within;
    double slop = 1e-30; /* nothing smaller is told apart in single precision */
    double far = larger(larger(fabs(from_centre.a.x), fabs(from_centre.a.y)),
                        larger(fabs(from_centre.b.x), fabs(from_centre.b.y)));
    if (far > 4.0 * reach) {
        if (!cut_far_ray(&from_centre, 1.5 * reach, &slop)) {
            return false;
        }
        far = 2.2 * reach + slop;
    }
    fill_probe(from_centre, within, INDEX_ERROR * larger(far, reach) + slop, p);
    return true;
}

static inline size_t find(const hr_index *index, hr_segment ray, double within, bool crossed_only, uint32_t *ids,
                          size_t cap)
{
    index_probe p;
    index_answer a;
    p.ray = ray;
    p.within_m = crossed_only ? -1.0 : within;
    a.ids = ids;
    a.cap = cap;
    a.count = a.held_count = 0;
    const double all = fabs(ray.a.x) + fabs(ray.a.y) + fabs(ray.b.x) + fabs(ray.b.y);
    if (index->count == 0 || !(within >= 0.0) || !(all <= DBL_MAX)) {
        return 0;
    }
    if (!(all + within + index->span <= GEOMETRY_SINGLE_MAX_M)) {
        look_at_all(index, &p, &a);
    } else if (!aim(index, ray, within, &p)) {
        return 0;
    } else if (index->wide) {
        geometry_index_look_wide(index, &p, &a);
    } else {
        geometry_index_look_plain(index, &p, &a);
    }
    if (a.held_count > 0 || a.count > INDEX_FEW) {
        put_in_order(&a, index->count);
    }
    return a.count;
}

size_t hr_geometry_index_query(const hr_index *index, hr_segment ray, double within, uint32_t *ids, size_t cap)
{
    return find(index, ray, within, false, ids, cap);
}

size_t hr_geometry_index_crossed(const hr_index *index, hr_segment ray, uint32_t *ids, size_t cap)
{
    return find(index, ray, 0.0, true, ids, cap);
}
