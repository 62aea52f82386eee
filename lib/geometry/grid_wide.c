/*
 * grid_wide.c - walls against the places of a grid, for processors with AVX2.
 *
 * SPDX-License-Identifier: MIT
 */
#include "grid_priv.h"

#if defined(__x86_64__) || defined(__i386__)
#include "look_wide.h"

static ALWAYS_INLINE LOOK_TARGET void look_clear(double sums[GRID_SIDE])
{
    _mm256_storeu_pd(sums, _mm256_setzero_pd());
    _mm256_storeu_pd(sums + GRID_SIDE / 2, _mm256_setzero_pd());
}

static ALWAYS_INLINE LOOK_TARGET void add_where(double *sums, __m128 above, __m256d weight)
{
    const __m256d where = _mm256_castsi256_pd(_mm256_cvtepi32_epi64(_mm_castps_si128(above)));
    _mm256_storeu_pd(sums, _mm256_add_pd(_mm256_loadu_pd(sums), _mm256_and_pd(where, weight)));
}

static ALWAYS_INLINE LOOK_TARGET void look_add(double sums[GRID_SIDE], const float met[GRID_SIDE], double weight)
{
    const __m256 above = _mm256_cmp_ps(_mm256_loadu_ps(met), _mm256_setzero_ps(), _CMP_GT_OQ);
    const __m256d all = _mm256_set1_pd(weight);
    add_where(sums, _mm256_castps256_ps128(above), all);
    add_where(sums + GRID_SIDE / 2, _mm256_extractf128_ps(above, 1), all);
}

#include "grid_look.h"

LOOK_TARGET void geometry_grid_parts_wide(const grid_wall *walls, const uint32_t *list, size_t count,
                                          const grid_parts *parts, uint8_t *masks)
{
    look_at_parts(walls, list, count, parts, masks);
}

LOOK_TARGET void geometry_grid_tile_wide(const grid_wall *walls, const double *weights, const uint32_t *list,
                                         size_t count, grid_tile *tile)
{
    look_at_tile(walls, weights, list, count, tile);
}

#else

void geometry_grid_parts_wide(const grid_wall *walls, const uint32_t *list, size_t count, const grid_parts *parts,
                              uint8_t *masks)
{
    geometry_grid_parts_plain(walls, list, count, parts, masks);
}

void geometry_grid_tile_wide(const grid_wall *walls, const double *weights, const uint32_t *list, size_t count,
                             grid_tile *tile)
{
    geometry_grid_tile_plain(walls, weights, list, count, tile);
}

#endif
