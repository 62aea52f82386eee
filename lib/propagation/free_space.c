/*
 * free_space.c - spreading with distance and the floor increments.
 *
 * SPDX-License-Identifier: MIT
 */
#include <math.h>

#include "hr_propagation.h"

/* 20 log10(4 pi / c) with f in MHz and d in m; ITU-R P.525 prints 32.4 for
 * f in MHz and d in km, which is this figure rounded. */
static const double free_space_constant_db = -27.5522;

/* COST 231 Final Report, eq. 4.7.2. */
static const double cost231_floor_b = 0.46;

double hr_propagation_free_space_db(double freq_mhz, double dist_m)
{
    if (!(freq_mhz > 0.0 && dist_m > 0.0)) {
        return (double)NAN;
    }
    return 20.0 * log10(freq_mhz) + 20.0 * log10(dist_m) + free_space_constant_db;
}

double hr_propagation_log_distance_db(double freq_mhz, double exponent, double dist_m)
{
    if (!(dist_m >= 0.0)) {
        return (double)NAN;
    }
    const double metre_db = hr_propagation_free_space_db(freq_mhz, 1.0);
    /* Below the reference distance the model knows nothing: it stays level. */
    return dist_m > 1.0 ? metre_db + 10.0 * exponent * log10(dist_m) : metre_db + 0.0 * exponent;
}

static double floors_weight(unsigned floors)
{
    if (floors == 0) {
        return 0.0;
    }
    const double k = (double)floors;
    return pow(k, (k + 2.0) / (k + 1.0) - cost231_floor_b);
}

double hr_propagation_floor_factor(unsigned k)
{
    return k == 0 ? 0.0 : floors_weight(k) - floors_weight(k - 1);
}

double hr_propagation_one_slope_db(double metre_db, double exponent, double dist_m)
{
    if (!(dist_m >= 0.0)) {
        return (double)NAN;
    }
    return metre_db + (dist_m > 1.0 ? 10.0 * exponent * log10(dist_m) : 0.0 * exponent);
}

double hr_propagation_saturation_factor(unsigned i, double p)
{
    if (!(p > 0.0 && p <= 1.0) || i == 0) {
        return (double)NAN;
    }
    if (!hr_propagation_in_range(HR_RANGE_SATURATION_WALLS, (double)i)) {
        return 1.0;
    }
    return pow((double)i, p) - (i > 1 ? pow((double)(i - 1), p) : 0.0);
}

double hr_propagation_corridor_gain_db(double corridor_m)
{
    if (!(corridor_m >= 0.0)) {
        return (double)NAN;
    }
    return corridor_m > 1.0 ? HR_CORRIDOR_GAIN_DB_PER_DECADE * log10(corridor_m) : 0.0;
}
