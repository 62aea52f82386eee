/* look_wide.h - eight lanes at a time with AVX2; for the files that are built so.
 * SPDX-License-Identifier: MIT */
#ifndef LOOK_WIDE_H
#define LOOK_WIDE_H

#include "geometry_priv.h"

#include <immintrin.h>

#define ALWAYS_INLINE inline __attribute__((always_inline))
#define LOOK_TARGET __attribute__((target("avx2,popcnt")))

static ALWAYS_INLINE LOOK_TARGET unsigned look_below_zero(const float v[INDEX_WIDTH])
{
    return (unsigned)_mm256_movemask_ps(_mm256_loadu_ps(v));
}

#endif
