/*
 * index_query.c - asks the index which segments a ray comes near to.
 *
 * Eight boxes or segments are looked at in one step. Single precision says of
 * each segment "surely apart", "surely crossed" or "cannot tell"; the last are
 * few and are settled in double. So the answer does not hang on single
 * precision, nor on which of the two builds below the processor runs.
 *
 * SPDX-License-Identifier: MIT
 */
#include "geometry_priv.h"

#include <math.h>
#include <string.h>
#if defined(__SSE__)
#include <xmmintrin.h>
#endif

#define ALWAYS_INLINE inline __attribute__((always_inline))

/* Coordinates beyond this would leave the range of single precision. */
#define SINGLE_MAX_M 1e12

/* Half of the tolerance that the header grants: the other half is for the
 * roundings of the measurement itself. */
#define GRANTED_M 5e-10

/* Up to so many ids are sorted by counting for each how many are smaller. */
#define RANKED_MAX 32u
/* Sets of up to so many segments sort longer answers as a set of bits. */
#define BITS_MAX 65536u
#define WORD_BITS 64u

/* The ray as single precision sees it. */
typedef struct probe {
    float across_x, across_y, off; /* s = across . p - off: 0 on the ray's line */
    float s_within, s_error;       /* what surely is apart; what s is good to */
    float start_x, start_y;
    float line_within, line_error;      /* the same for the areas of a segment's line */
    float mid_x, mid_y, half_x, half_y; /* the ray's box, widened */
    hr_segment ray;
    double within_m; /* below 0: only what the ray crosses */
} probe;

/* Where the ids go: the smallest ones that there is room for. */
typedef struct answer {
    int32_t few[RANKED_MAX]; /* the first ones, as long as there are no more */
    uint32_t *ids;
    size_t cap, count;
} answer;

/* Of two numbers; the library's fmax is a call. */
static ALWAYS_INLINE double larger(double a, double b)
{
    return a > b ? a : b;
}

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
static void add_to_full(answer *a, uint32_t id)
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

static __attribute__((noinline)) void add_to_list(answer *a, uint32_t id)
{
    if (a->count == RANKED_MAX) {
        const size_t moved = RANKED_MAX < a->cap ? RANKED_MAX : a->cap;
        for (size_t i = 0; i < moved; i++) {
            a->ids[i] = (uint32_t)a->few[i];
        }
        for (size_t i = moved; i < RANKED_MAX; i++) {
            a->count = i;
            add_to_full(a, (uint32_t)a->few[i]);
        }
        a->count = RANKED_MAX;
    }
    if (a->count < a->cap) {
        a->ids[a->count] = id;
    } else {
        add_to_full(a, id);
    }
    a->count++;
}

static ALWAYS_INLINE void add(answer *a, uint32_t id)
{
    if (a->count < RANKED_MAX) {
        a->few[a->count++] = (int32_t)id;
    } else {
        add_to_list(a, id);
    }
}

/* Each of a few ids goes where the number of smaller ones says: there is no
 * branch that could be foreseen wrongly. lanes: what the ids are padded to. */
static ALWAYS_INLINE void put_by_rank(answer *a, size_t lanes)
{
    int32_t rank[RANKED_MAX];
    for (size_t i = a->count; i < lanes; i++) {
        a->few[i] = INT32_MAX;
    }
    for (size_t i = 0; i < lanes; i++) {
        rank[i] = a->few[0] < a->few[i] ? 1 : 0;
    }
    for (size_t k = 1; k < a->count; k++) {
        const int32_t id = a->few[k];
        for (size_t i = 0; i < lanes; i++) {
            rank[i] += id < a->few[i] ? 1 : 0;
        }
    }
    for (size_t i = 0; i < a->count; i++) {
        if ((size_t)rank[i] < a->cap) {
            a->ids[rank[i]] = (uint32_t)a->few[i];
        }
    }
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

static ALWAYS_INLINE void put_in_order(answer *a, size_t id_count)
{
    const size_t written = a->count < a->cap ? a->count : a->cap;
    if (a->count <= INDEX_WIDTH) {
        put_by_rank(a, INDEX_WIDTH);
    } else if (a->count <= 2 * INDEX_WIDTH) {
        put_by_rank(a, 2 * INDEX_WIDTH);
    } else if (a->count <= RANKED_MAX) {
        put_by_rank(a, RANKED_MAX);
    } else if (id_count <= BITS_MAX) {
        sort_by_bits(a->ids, written, id_count);
    } else {
        sort_by_heap(a->ids, written);
    }
}

/* ---- eight at a time: loops for the compiler to turn into vector code ------- */

/* One bit for each lane that is not 0. */
static ALWAYS_INLINE unsigned bits_of(const int32_t mask[INDEX_WIDTH])
{
#if defined(__SSE__)
    const float *lanes = (const float *)(const void *)mask;
    return (unsigned)_mm_movemask_ps(_mm_loadu_ps(lanes)) | (unsigned)_mm_movemask_ps(_mm_loadu_ps(lanes + 4)) << 4;
#else
    unsigned bits = 0;
    for (unsigned i = 0; i < INDEX_WIDTH; i++) {
        bits |= mask[i] != 0 ? 1u << i : 0u;
    }
    return bits;
#endif
}

/* Boxes of a group that the ray may come near to. */
static ALWAYS_INLINE unsigned near_boxes(const probe *p, const index_group *group)
{
    const float across_x = p->across_x, across_y = p->across_y, off = p->off, within = p->s_within;
    const float width = fabsf(across_x), height = fabsf(across_y);
    const float mid_x = p->mid_x, mid_y = p->mid_y, ray_half_x = p->half_x, ray_half_y = p->half_y;
    int32_t near[INDEX_WIDTH];
    for (unsigned i = 0; i < INDEX_WIDTH; i++) {
        const float side = fabsf(group->x[i] * across_x + group->y[i] * across_y - off);
        const float right = fabsf(group->x[i] - mid_x), low = fabsf(group->y[i] - mid_y);
        const float half_x = group->half_x[i], half_y = group->half_y[i];
        const int apart = (side > half_x * width + half_y * height + within) | (right > half_x + ray_half_x) |
                          (low > half_y + ray_half_y);
        near[i] = apart ? 0 : -1;
    }
    return bits_of(near);
}

/* Segments of a block that the ray may come near to; *sure are crossed.
 *
 * |a + b| - |a - b| is twice the smaller of |a| and |b|, with a minus when a and
 * b have different signs: it tells in one comparison whether two points are on
 * one side of a line, and by how much. The four areas between the ends of the
 * two segments need only three products, since the difference of the areas on
 * one line is that on the other. */
static ALWAYS_INLINE unsigned near_segments(const probe *p, const index_block *block, unsigned *sure)
{
    const float across_x = p->across_x, across_y = p->across_y, off = p->off;
    const float start_x = p->start_x, start_y = p->start_y;
    const float apart_at = 2.0f * p->s_within, sure_at = -2.0f * p->s_error;
    const float line_within = 2.0f * p->line_within, line_error = 2.0f * p->line_error;
    int32_t near[INDEX_WIDTH], crossed[INDEX_WIDTH];
    for (unsigned i = 0; i < INDEX_WIDTH; i++) {
        const float a = block->ax[i] * across_x + block->ay[i] * across_y - off;
        const float b = block->bx[i] * across_x + block->by[i] * across_y - off;
        const float start = block->rise[i] * start_x + block->run[i] * start_y + block->rest[i];
        const float change = a - b, slack = block->size[i] * line_within + line_error;
        const float beside_ray = fabsf(a + b) - fabsf(change);
        const float beside_line = fabsf(start + start + change) - fabsf(change);
        near[i] = ((beside_ray > apart_at) | (beside_line > slack)) ? 0 : -1;
        crossed[i] = ((beside_ray < sure_at) & (beside_line < -slack)) ? -1 : 0;
    }
    *sure = bits_of(crossed);
    return bits_of(near);
}

static bool same_place(hr_point a, hr_point b)
{
    return a.x == b.x && a.y == b.y;
}

/* What single precision cannot tell. Walls mostly meet in a corner that both have. */
static bool is_near(const probe *p, hr_segment segment)
{
    const hr_segment ray = p->ray;
    if (p->within_m >= 0.0 && (same_place(ray.a, segment.a) || same_place(ray.a, segment.b) ||
                               same_place(ray.b, segment.a) || same_place(ray.b, segment.b))) {
        return true;
    }
    return p->within_m < 0.0 ? hr_geometry_cross(p->ray, segment, NULL, NULL)
                             : hr_geometry_segments_gap(p->ray, segment) <= p->within_m + GRANTED_M;
}

/* Up to eight blocks. */
static ALWAYS_INLINE void look_at_blocks(const hr_index *index, const probe *p, const uint32_t *blocks, size_t count,
                                         answer *a)
{
    uint64_t near = 0, sure = 0;
    for (size_t i = 0; i < count; i++) {
        unsigned crossed = 0;
        const uint64_t found = near_segments(p, &index->blocks[blocks[i]], &crossed);
        near |= found << (8 * i);
        sure |= (uint64_t)crossed << (8 * i);
    }
    for (; near != 0; near &= near - 1) {
        const unsigned bit = (unsigned)__builtin_ctzll(near);
        const uint32_t id = index->ids[(size_t)blocks[bit / 8] * INDEX_WIDTH + bit % 8];
        if ((sure >> bit & 1u) != 0 || is_near(p, index->segments[id])) {
            add(a, id);
        }
    }
}

/* Children of up to eight nodes that the ray may come near to; how many. */
static ALWAYS_INLINE size_t near_children(const index_level *below, const probe *p, const uint32_t *nodes, size_t count,
                                          uint32_t *children)
{
    uint64_t near = 0;
    for (size_t i = 0; i < count; i++) {
        near |= (uint64_t)near_boxes(p, &below->groups[nodes[i]]) << (8 * i);
    }
    size_t found = 0;
    for (; near != 0; near &= near - 1) {
        const unsigned bit = (unsigned)__builtin_ctzll(near);
        children[found++] = nodes[bit / 8] * INDEX_WIDTH + bit % 8;
    }
    return found;
}

/* Nodes of one level, looked at eight at a time. */
typedef struct node_list {
    uint32_t nodes[8 * INDEX_WIDTH];
    size_t count, next;
} node_list;

/* From a list of nodes of levels[level] down. */
static ALWAYS_INLINE void look_down(const hr_index *index, const probe *p, node_list *lists, size_t top, answer *a)
{
    for (size_t level = top; level <= top;) {
        node_list *list = &lists[level];
        const size_t left = list->count - list->next, taken = left < INDEX_WIDTH ? left : INDEX_WIDTH;
        const uint32_t *nodes = &list->nodes[list->next];
        list->next += taken;
        if (taken == 0) {
            level++;
        } else if (level == 0) {
            look_at_blocks(index, p, nodes, taken, a);
        } else {
            level--;
            lists[level].count = near_children(&index->levels[level], p, nodes, taken, lists[level].nodes);
            lists[level].next = 0;
        }
    }
}

static const uint32_t first_nodes[INDEX_WIDTH] = {0, 1, 2, 3, 4, 5, 6, 7};

static ALWAYS_INLINE void look_everywhere(const hr_index *index, const probe *p, answer *a)
{
    node_list lists[INDEX_LEVELS_MAX];
    const size_t top = index->level_count - 1;
    const size_t groups = (index->levels[top].nodes + INDEX_WIDTH - 1) / INDEX_WIDTH;
    lists[top].count = near_children(&index->levels[top], p, first_nodes, groups, lists[top].nodes);
    lists[top].next = 0;
    if (top == 0) {
        for (size_t next = 0; next < lists[0].count; next += INDEX_WIDTH) {
            const size_t left = lists[0].count - next;
            look_at_blocks(index, p, &lists[0].nodes[next], left < INDEX_WIDTH ? left : INDEX_WIDTH, a);
        }
    } else {
        look_down(index, p, lists, top, a);
    }
    put_in_order(a, index->count);
}

static __attribute__((noinline)) void look_plain(const hr_index *index, const probe *p, answer *a)
{
    look_everywhere(index, p, a);
}

#if defined(__x86_64__) || defined(__i386__)
static __attribute__((noinline, target("avx2"))) void look_wide(const hr_index *index, const probe *p, answer *a)
{
    look_everywhere(index, p, a);
}
#else
#define look_wide look_plain
#endif

/* ---- the question ---------------------------------------------------------- */

/* A ray that goes far beyond the set is cut to where it could matter: no place
 * of interest is farther than `reach` from the centre (the origin here). *slop
 * is how far the cut ends may be off the ray. False when it stays clear of all. */
static bool cut_far_ray(hr_point *start, hr_point *end, double reach, double *slop)
{
    const double dx = end->x - start->x, dy = end->y - start->y, length = sqrt(dx * dx + dy * dy);
    if (!(length > 0.0)) {
        return false; /* a point, and a far one */
    }
    const double ux = dx / length, uy = dy / length;
    const double off = ux * start->y - uy * start->x;
    *slop = 1e-14 * (fabs(start->x) + fabs(start->y) + length);
    const double limit = reach + *slop;
    const double from = larger(ux * start->x + uy * start->y, -limit), to = fmin(ux * end->x + uy * end->y, limit);
    if (fabs(off) > limit || from > limit || to < -limit) {
        return false;
    }
    *start = (hr_point){ux * from - uy * off, uy * from + ux * off};
    *end = (hr_point){ux * to - uy * off, uy * to + ux * off};
    return true;
}

/* False when the ray stays clear of the whole set. */
static bool aim(const hr_index *index, hr_segment ray, double within, probe *p)
{
    hr_point start = {ray.a.x - index->centre.x, ray.a.y - index->centre.y};
    hr_point end = {ray.b.x - index->centre.x, ray.b.y - index->centre.y};
    const double reach = index->reach + within;
    double slop = 1e-30;
    double far = larger(larger(fabs(start.x), fabs(start.y)), larger(fabs(end.x), fabs(end.y)));
    if (far > 4.0 * reach) {
        if (!cut_far_ray(&start, &end, 1.5 * reach, &slop)) {
            return false;
        }
        far = 2.2 * reach + slop;
    }
    far = larger(far, reach);
    const double dx = end.x - start.x, dy = end.y - start.y, size = fabs(dx) + fabs(dy);
    const double error = INDEX_ERROR * far + slop, s_error = error * size + 1e-30;
    p->across_x = (float)-dy;
    p->across_y = (float)dx;
    p->off = (float)(dx * start.y - dy * start.x);
    p->s_within = (float)(within * size + 2.0 * s_error);
    p->s_error = (float)s_error;
    p->start_x = (float)start.x;
    p->start_y = (float)start.y;
    p->line_within = (float)(within + error);
    p->line_error = (float)(4.0 * s_error);
    p->mid_x = (float)(0.5 * (start.x + end.x));
    p->mid_y = (float)(0.5 * (start.y + end.y));
    p->half_x = (float)(0.5 * fabs(dx) + within + 2.0 * error);
    p->half_y = (float)(0.5 * fabs(dy) + within + 2.0 * error);
    return true;
}

/* Each segment by itself: sets and rays of no earthly size. */
static void look_at_all(const hr_index *index, const probe *p, answer *a)
{
    for (size_t id = 0; id < index->count; id++) {
        if (is_near(p, index->segments[id])) {
            add(a, (uint32_t)id);
        }
    }
    put_in_order(a, index->count);
}

static size_t find(const hr_index *index, hr_segment ray, double within, bool crossed_only, uint32_t *ids, size_t cap)
{
    probe p;
    /* a difference of what is not finite is not a number, nor is its sum */
    const double finite = (ray.a.x - ray.a.x) + (ray.a.y - ray.a.y) + (ray.b.x - ray.b.x) + (ray.b.y - ray.b.y);
    if (index->count == 0 || !(within + finite >= 0.0)) {
        return 0;
    }
    const double most = larger(larger(fabs(ray.a.x), fabs(ray.a.y)), larger(fabs(ray.b.x), fabs(ray.b.y)));
    const bool single = most + within + index->reach + fabs(index->centre.x) + fabs(index->centre.y) <= SINGLE_MAX_M;
    p.ray = ray;
    p.within_m = crossed_only ? -1.0 : within;
    if (single && !aim(index, ray, within, &p)) {
        return 0;
    }
    answer a;
    a.ids = ids;
    a.cap = cap;
    a.count = 0;
    if (!single) {
        look_at_all(index, &p, &a);
    } else if (index->wide) {
        look_wide(index, &p, &a);
    } else {
        look_plain(index, &p, &a);
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
