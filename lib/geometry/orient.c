/*
 * orient.c - on which side of a line a point lies, without error.
 *
 * A floating filter decides nearly always; what it cannot decide is summed
 * exactly as an expansion: J. R. Shewchuk, "Adaptive Precision Floating-Point
 * Arithmetic and Fast Robust Geometric Predicates", Discrete & Computational
 * Geometry 18 (1997), 305-363. No fused multiply-add is used or needed.
 *
 * SPDX-License-Identifier: MIT
 */
#include "geometry_priv.h"

#include <math.h>

/* 2^27 + 1: splits a double into two halves whose products are exact. */
#define SPLITTER 134217729.0

#define TERMS 12

static void two_product(double a, double b, double *high, double *low)
{
    const double product = a * b;
    const double a_big = SPLITTER * a, b_big = SPLITTER * b;
    const double a_high = a_big - (a_big - a), b_high = b_big - (b_big - b);
    const double a_low = a - a_high, b_low = b - b_high;
    *high = product;
    *low = a_low * b_low - (((product - a_high * b_high) - a_low * b_high) - a_high * b_low);
}

/* Adds one double to an expansion of `count` terms, smallest first. */
static void grow(double *terms, size_t count, double value)
{
    double sum = value;
    for (size_t i = 0; i < count; i++) {
        const double total = sum + terms[i];
        const double virtual_part = total - sum;
        terms[i] = (sum - (total - virtual_part)) + (terms[i] - virtual_part);
        sum = total;
    }
    terms[count] = sum;
}

/* ax by - ay bx + bx cy - by cx + cx ay - cy ax, exact but for the last rounding. */
static double orient_exact(hr_point a, hr_point b, hr_point c)
{
    const double left[6] = {a.x, -a.y, b.x, -b.y, c.x, -c.y};
    const double right[6] = {b.y, b.x, c.y, c.x, a.y, a.x};
    double terms[TERMS] = {0.0};
    size_t count = 0;
    for (size_t i = 0; i < 6; i++) {
        double high = 0.0, low = 0.0;
        two_product(left[i], right[i], &high, &low);
        grow(terms, count++, low);
        grow(terms, count++, high);
    }
    /* the terms do not overlap: the largest that is not zero has the sign of all */
    double sum = 0.0;
    for (size_t i = 0; i < TERMS; i++) {
        sum += terms[i];
    }
    return sum;
}

double geometry_orient_exact(hr_point a, hr_point b, hr_point c)
{
    /* in one order of the points, so that swapping two negates it exactly */
    double sign = 1.0;
    hr_point p[3] = {a, b, c};
    for (size_t pass = 0; pass < 3; pass++) {
        const size_t i = pass % 2;
        if (geometry_point_before(p[i + 1], p[i])) {
            const hr_point kept = p[i];
            p[i] = p[i + 1];
            p[i + 1] = kept;
            sign = -sign;
        }
    }
    return sign * orient_exact(p[0], p[1], p[2]) + 0.0;
}
