/*
 * index_wide.c - the walk through the index for processors with AVX2.
 *
 * SPDX-License-Identifier: MIT
 */
#include "geometry_priv.h"

#if defined(__x86_64__) || defined(__i386__)
#include "look_wide.h"

static ALWAYS_INLINE LOOK_TARGET __m256i load(const uint32_t *from)
{
    return _mm256_loadu_si256((const __m256i *)(const void *)from);
}

static ALWAYS_INLINE LOOK_TARGET void store(uint32_t *to, __m256i v)
{
    _mm256_storeu_si256((__m256i *)(void *)to, v);
}

static ALWAYS_INLINE LOOK_TARGET __m256i lanes_of(const hr_index *index, unsigned mask)
{
    return _mm256_cvtepu8_epi32(_mm_loadl_epi64((const __m128i *)(const void *)&index->lanes[mask]));
}

static ALWAYS_INLINE LOOK_TARGET size_t look_put_lanes(const hr_index *index, uint32_t *out, uint32_t base,
                                                       unsigned mask)
{
    store(out, _mm256_add_epi32(_mm256_set1_epi32((int)base), lanes_of(index, mask)));
    return (size_t)__builtin_popcount(mask);
}

static ALWAYS_INLINE LOOK_TARGET size_t look_put_ids(const hr_index *index, uint32_t *out, const uint32_t *from,
                                                     unsigned mask)
{
    store(out, _mm256_permutevar8x32_epi32(load(from), lanes_of(index, mask)));
    return (size_t)__builtin_popcount(mask);
}

/* ---- a few ids in order, by a sorting network (K. E. Batcher, Sorting networks and their applications, 1968) ---- */

/* Compares each lane with that of `other`; the lanes of `high` keep the larger. */
#define EXCHANGE(v, other, high) _mm256_blend_epi32(_mm256_min_epi32(v, other), _mm256_max_epi32(v, other), high)

#define SWAP_1 0xb1 /* lanes 1 0 3 2 of each half */
#define SWAP_2 0x4e /* lanes 2 3 0 1 */
#define TURN_4 0x1b /* lanes 3 2 1 0 */

static ALWAYS_INLINE LOOK_TARGET __m256i turned(__m256i v)
{
    return _mm256_permutevar8x32_epi32(v, _mm256_setr_epi32(7, 6, 5, 4, 3, 2, 1, 0));
}

/* Halves that rise and fall, or the other way round, into order. */
static ALWAYS_INLINE LOOK_TARGET __m256i settle_halves(__m256i v)
{
    v = EXCHANGE(v, _mm256_shuffle_epi32(v, SWAP_2), 0xcc);
    return EXCHANGE(v, _mm256_shuffle_epi32(v, SWAP_1), 0xaa);
}

static ALWAYS_INLINE LOOK_TARGET __m256i settle(__m256i v)
{
    return settle_halves(EXCHANGE(v, _mm256_permute2x128_si256(v, v, 1), 0xf0));
}

static ALWAYS_INLINE LOOK_TARGET __m256i sorted(__m256i v)
{
    v = EXCHANGE(v, _mm256_shuffle_epi32(v, SWAP_1), 0xaa);
    v = EXCHANGE(v, _mm256_shuffle_epi32(v, TURN_4), 0xcc);
    v = EXCHANGE(v, _mm256_shuffle_epi32(v, SWAP_1), 0xaa);
    return settle_halves(EXCHANGE(v, turned(v), 0xf0));
}

typedef struct sixteen {
    __m256i low, high;
} sixteen;

static ALWAYS_INLINE LOOK_TARGET sixteen sixteen_sorted(const uint32_t *few)
{
    const __m256i a = sorted(load(few)), b = turned(sorted(load(few + 8)));
    return (sixteen){settle(_mm256_min_epi32(a, b)), settle(_mm256_max_epi32(a, b))};
}

/* Sixteen that rise and fall, in order to `ids`. */
static ALWAYS_INLINE LOOK_TARGET void put_settled(uint32_t *ids, __m256i a, __m256i b)
{
    store(ids, settle(_mm256_min_epi32(a, b)));
    store(ids + 8, settle(_mm256_max_epi32(a, b)));
}

static ALWAYS_INLINE LOOK_TARGET void look_sort(index_answer *a, uint32_t *ids)
{
    const __m256i none = _mm256_set1_epi32(INT32_MAX);
    uint32_t *few = a->held;
    store(few + a->held_count, none);
    if (a->held_count <= 8) {
        store(ids, sorted(load(few)));
        return;
    }
    if (a->held_count <= 16) {
        const sixteen s = sixteen_sorted(few);
        store(ids, s.low);
        store(ids + 8, s.high);
        return;
    }
    store(few + a->held_count + 8, none);
    const sixteen s = sixteen_sorted(few), t = sixteen_sorted(few + 16);
    const __m256i low = turned(t.high), high = turned(t.low);
    put_settled(ids, _mm256_min_epi32(s.low, low), _mm256_min_epi32(s.high, high));
    put_settled(ids + 16, _mm256_max_epi32(s.low, low), _mm256_max_epi32(s.high, high));
}

#include "index_look.h"

LOOK_TARGET void geometry_index_look_wide(const hr_index *index, const index_probe *p, index_answer *a)
{
    look_everywhere(index, p, a);
}

#else

void geometry_index_look_wide(const hr_index *index, const index_probe *p, index_answer *a)
{
    geometry_index_look_plain(index, p, a);
}

#endif
