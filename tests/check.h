/*
 * check.h - what every test program includes: cmocka with its needs, and
 * checks on doubles that fail on NaN and do not round to float.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef CHECK_H
#define CHECK_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include <cmocka.h>

/* A sanitizer makes a case take several times as long. It looks for faults of memory, which the first of many cases of one
 * kind show as well as the last: these then are fewer. */
#if defined(__SANITIZE_ADDRESS__)
#define CHECK_IS_SLOW 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define CHECK_IS_SLOW 1
#endif
#endif
#ifndef CHECK_IS_SLOW
#define CHECK_IS_SLOW 0
#endif

static inline int check_is_near(double value, double expected, double tolerance)
{
    /* accept form: NaN anywhere fails */
    return value >= expected - tolerance && value <= expected + tolerance;
}

#define check_near(value, expected, tolerance)                                                                         \
    do {                                                                                                               \
        const double check_v = (value), check_e = (expected), check_t = (tolerance);                                   \
        if (!check_is_near(check_v, check_e, check_t)) {                                                               \
            fail_msg("%s = %.12g, expected %.12g within %.3g", #value, check_v, check_e, check_t);                     \
        }                                                                                                              \
    } while (0)

#endif
