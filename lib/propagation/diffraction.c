/*
 * diffraction.c - edges, bends and metal bodies.
 *
 * SPDX-License-Identifier: MIT
 */
#include <math.h>

#include "hr_propagation.h"
#include "hr_units.h"

static const double pi = 3.14159265358979323846;

/* ITU-R P.526: below this the edge no longer touches the wave. */
static const double lit_v = -0.78;

/* Right-angle corners measure 10-15 dB; a bare edge would say over 30. */
static const double bend_cap_db = 15.0;

/* Griffin, Durgin et al. 2006: 10.4 dB on an aluminium slab; rounded. */
static const double on_metal_db = 10.0;

double hr_propagation_knife_edge_db(double v)
{
    if (isnan(v)) {
        return v;
    }
    if (v <= lit_v) {
        return 0.0;
    }
    const double x = v - 0.1;
    const double loss_db = 6.9 + 20.0 * log10(sqrt(x * x + 1.0) + x);
    /* the approximation crosses zero within 1e-3 of its limit */
    return loss_db > 0.0 ? loss_db : 0.0;
}

double hr_propagation_fresnel_v(double freq_mhz, double height_m, double d1_m, double d2_m)
{
    if (!(freq_mhz > 0.0 && d1_m > 0.0 && d2_m > 0.0)) {
        return (double)NAN;
    }
    return height_m * sqrt(2.0 * (d1_m + d2_m) / (hr_units_wavelength_m(freq_mhz) * d1_m * d2_m));
}

double hr_propagation_fresnel_radius_m(double freq_mhz, unsigned zone, double d1_m, double d2_m)
{
    if (!(freq_mhz > 0.0 && d1_m > 0.0 && d2_m > 0.0) || zone == 0) {
        return (double)NAN;
    }
    return sqrt((double)zone * hr_units_wavelength_m(freq_mhz) * d1_m * d2_m / (d1_m + d2_m));
}

/* Edges a wavelength apart or more, the first the main one (v1 >= v2). */
static double main_first_db(double freq_mhz, const hr_edge_pair *p, double v1, double v2)
{
    const double a = p->d1_m;
    const double b = p->d2_m;
    const double c = p->d3_m;
    const double over_line_m = p->height2_m - p->height1_m * c / (b + c);
    const double main_db = hr_propagation_knife_edge_db(v1);
    const double other_db = hr_propagation_knife_edge_db(hr_propagation_fresnel_v(freq_mhz, over_line_m, b, c));
    /* P.526: Tc = (12 - 20 log10(2 / (1 - alpha/pi))) (q/p)^(2p), p and q being v1 and v2. */
    const double alpha = atan(sqrt(b * (a + b + c) / (a * c)));
    const double full_db = 12.0 - 20.0 * log10(2.0 / (1.0 - alpha / pi));
    const double from_lit1 = v1 - lit_v;
    const double from_lit2 = v2 - lit_v;
    double share = from_lit1 > 0.0 ? 0.0 : 1.0;
    if (from_lit1 > 0.0 && from_lit2 > 0.0) {
        /* an exponent near 0 would make a step of it where both edges come clear */
        share = pow(from_lit2 / from_lit1, fmax(2.0 * from_lit1, 1.0));
    }
    const double correction_db = share * fmax(fmin(full_db, other_db), 0.0);
    return main_db + (1.0 - exp(-main_db / 6.0)) * (other_db - correction_db);
}

double hr_propagation_double_edge_db(double freq_mhz, const hr_edge_pair *pair)
{
    if (!(freq_mhz > 0.0 && pair->d1_m > 0.0 && pair->d2_m >= 0.0 && pair->d3_m > 0.0)) {
        return (double)NAN;
    }
    const double wavelength_m = hr_units_wavelength_m(freq_mhz);
    if (hypot(pair->d2_m, pair->height2_m - pair->height1_m) < wavelength_m) {
        return hr_propagation_knife_edge_db(
            hr_propagation_fresnel_v(freq_mhz, 0.5 * (pair->height1_m + pair->height2_m), pair->d1_m + 0.5 * pair->d2_m,
                                     pair->d3_m + 0.5 * pair->d2_m));
    }
    hr_edge_pair p = *pair;
    if (p.d2_m < wavelength_m) {
        p.d2_m = wavelength_m; /* one above the other: the distance along the line must not vanish */
    }
    const double v1 = hr_propagation_fresnel_v(freq_mhz, p.height1_m, p.d1_m, p.d2_m + p.d3_m);
    const double v2 = hr_propagation_fresnel_v(freq_mhz, p.height2_m, p.d1_m + p.d2_m, p.d3_m);
    if (v1 >= v2) {
        return main_first_db(freq_mhz, &p, v1, v2);
    }
    const hr_edge_pair back = {p.d3_m, p.d2_m, p.d1_m, p.height2_m, p.height1_m};
    return main_first_db(freq_mhz, &back, v2, v1);
}

double hr_propagation_metal_db(double through_db, const double *edges_db, size_t count)
{
    double power = pow(10.0, -through_db / 10.0);
    for (size_t i = 0; i < count; i++) {
        power += pow(10.0, -edges_db[i] / 10.0);
    }
    if (isnan(power)) {
        return power;
    }
    const double loss_db = -10.0 * log10(power);
    return fmin(fmax(loss_db, 0.0), HR_LOSS_MAX_DB);
}

double hr_propagation_through_share(double edge_db)
{
    const double taken = 1.0 - pow(10.0, -edge_db / 10.0);
    const double at_edge = 1.0 - pow(10.0, -hr_propagation_knife_edge_db(0.0) / 10.0);
    return isnan(edge_db) ? edge_db : fmin(fmax(taken / at_edge, 0.0), 1.0);
}

double hr_propagation_metal_clearance_db(double freq_mhz, double dist_m)
{
    if (!(freq_mhz > 0.0 && dist_m >= 0.0)) {
        return (double)NAN;
    }
    const double waves = dist_m / hr_units_wavelength_m(freq_mhz);
    if (waves >= 1.0) {
        return 0.0;
    }
    return waves <= 0.25 ? on_metal_db : on_metal_db * (1.0 - waves) / 0.75;
}

double hr_propagation_bend_db(double v)
{
    const double loss_db = hr_propagation_knife_edge_db(v);
    return loss_db > bend_cap_db ? bend_cap_db : loss_db;
}
