/* look_plain.h - eight lanes at a time on any processor; for the files that are built so.
 * SPDX-License-Identifier: MIT */
#ifndef LOOK_PLAIN_H
#define LOOK_PLAIN_H

#include "geometry_priv.h"

#if defined(__SSE__)
#include <xmmintrin.h>
#endif

#define ALWAYS_INLINE inline __attribute__((always_inline))
#define LOOK_TARGET

static ALWAYS_INLINE unsigned look_below_zero(const float v[INDEX_WIDTH])
{
#if defined(__SSE__)
    return (unsigned)_mm_movemask_ps(_mm_loadu_ps(v)) | (unsigned)_mm_movemask_ps(_mm_loadu_ps(v + 4)) << 4;
#else
    unsigned bits = 0;
    for (unsigned i = 0; i < INDEX_WIDTH; i++) {
        bits |= v[i] < 0.0f ? 1u << i : 0u;
    }
    return bits;
#endif
}

#endif
