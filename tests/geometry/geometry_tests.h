/*
 * geometry_tests.h - shared by the files of this test program.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef GEOMETRY_TESTS_H
#define GEOMETRY_TESTS_H

#include "check.h"

#include "hr_geometry.h"

/* splitmix64: the same numbers everywhere. */
static inline uint64_t random_bits(uint64_t *state)
{
    *state += 0x9e3779b97f4a7c15u;
    uint64_t z = *state;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

static inline double random_unit(uint64_t *state)
{
    return (double)(random_bits(state) >> 11) * 0x1p-53;
}

static inline double random_in(uint64_t *state, double low, double high)
{
    return low + (high - low) * random_unit(state);
}

/* A whole number in [low, high]. */
static inline int64_t random_whole(uint64_t *state, int64_t low, int64_t high)
{
    return low + (int64_t)(random_bits(state) % (uint64_t)(high - low + 1));
}

static inline hr_segment segment_of(double ax, double ay, double bx, double by)
{
    return (hr_segment){{ax, ay}, {bx, by}};
}

static inline hr_segment turned(hr_segment s)
{
    return (hr_segment){s.b, s.a};
}

extern const struct CMUnitTest cross_tests[];
extern const size_t cross_test_count;
extern const struct CMUnitTest region_tests[];
extern const size_t region_test_count;
extern const struct CMUnitTest index_tests[];
extern const size_t index_test_count;
extern const struct CMUnitTest grid_tests[];
extern const size_t grid_test_count;

#endif
