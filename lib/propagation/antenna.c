/*
 * antenna.c - the dipole, and how much of an area a cell covers.
 *
 * SPDX-License-Identifier: MIT
 */
#include <math.h>

#include "hr_propagation.h"

static const double pi = 3.14159265358979323846;

double hr_propagation_dipole_db(double angle_rad, double floor_db)
{
    if (isnan(angle_rad) || isnan(floor_db)) {
        return (double)NAN;
    }
    const double sine = fabs(sin(angle_rad));
    const double field = fabs(cos(0.5 * pi * cos(angle_rad)));
    /* on the axis both vanish, the field faster */
    if (!(sine > 1e-9) || !(field > 0.0)) {
        return floor_db;
    }
    return fmax(20.0 * log10(field / sine), floor_db);
}

/* exp(x^2 - a^2) erfc(x) without the overflow of the first factor. */
static double scaled_erfc(double x, double a)
{
    if (x < 20.0) {
        return exp(x * x - a * a) * erfc(x);
    }
    const double inverse = 1.0 / (x * x);
    const double series = 1.0 - 0.5 * inverse + 0.75 * inverse * inverse - 1.875 * inverse * inverse * inverse;
    return exp(-a * a) * series / (x * sqrt(pi));
}

double hr_propagation_area_coverage(double edge_margin_db, double exponent, double sigma_db)
{
    if (!(exponent > 0.0 && sigma_db >= 0.0) || isnan(edge_margin_db)) {
        return (double)NAN;
    }
    const double slope_db = 10.0 * exponent; /* per decade */
    if (!(sigma_db > 1e-9)) {
        return edge_margin_db >= 0.0 ? 1.0 : pow(10.0, 2.0 * edge_margin_db / slope_db);
    }
    const double a = -edge_margin_db / (sigma_db * sqrt(2.0));
    const double b = slope_db * log10(exp(1.0)) / (sigma_db * sqrt(2.0));
    const double x = 1.0 / b - a; /* (1 - ab) / b */
    return fmin(0.5 * (erfc(a) + scaled_erfc(x, a)), 1.0);
}
