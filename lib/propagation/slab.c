/*
 * slab.c - how plane layers answer a plane wave.
 *
 * The stack is walked from the far side: at each interface the Fresnel
 * coefficient r and the answer (R, T) of all that lies beyond give
 *   R = (r + R' e) / (1 + r R' e),  T = (1 + r) T' sqrt(e) / (1 + r R' e),
 * with e the two-way phase of the layer beyond. Only decaying exponentials
 * occur, so metal underflows to "nothing comes back" instead of overflowing
 * as the transfer matrices of the Recommendation do; what is lost on the way
 * is carried in dB.
 *
 * SPDX-License-Identifier: MIT
 */
#include <complex.h>
#include <math.h>

#include "hr_propagation.h"
#include "hr_units.h"

static const double pi = 3.14159265358979323846;

/* 1 / (2 pi eps0) for f in GHz; ITU-R P.2040 prints it as 17.98. */
static const double conductivity_factor = 17.97510;

static const double nepers_to_db = 8.685889638065035; /* 20 log10 e */

static double complex complex_from(double re, double im)
{
    return re + (double complex)I * im;
}

static double complex complex_of(hr_complex z)
{
    return complex_from(z.re, z.im);
}

double hr_propagation_conductivity_s_m(const hr_permittivity *material, double freq_mhz)
{
    return freq_mhz > 0.0 ? material->c * pow(freq_mhz * 1e-3, material->d) : (double)NAN;
}

hr_complex hr_propagation_permittivity(const hr_permittivity *material, double freq_mhz)
{
    if (!(freq_mhz > 0.0)) {
        return (hr_complex){(double)NAN, (double)NAN};
    }
    const double freq_ghz = freq_mhz * 1e-3;
    return (hr_complex){
        material->a * pow(freq_ghz, material->b),
        -conductivity_factor * hr_propagation_conductivity_s_m(material, freq_mhz) / freq_ghz,
    };
}

double hr_propagation_bulk_db_per_m(hr_complex eta, double freq_mhz)
{
    const double wave_number = 2.0 * pi / hr_units_wavelength_m(freq_mhz);
    return nepers_to_db * wave_number * fabs(cimag(csqrt(complex_of(eta))));
}

static double clamp_sine(double angle_rad)
{
    const double steepest = HR_SLAB_ANGLE_MAX_DEG * pi / 180.0;
    const double angle = fabs(angle_rad);
    return sin(angle > steepest ? steepest : angle);
}

static double clamp_db(double loss_db)
{
    if (isnan(loss_db)) {
        return loss_db;
    }
    return fmin(fmax(loss_db, 0.0), HR_LOSS_MAX_DB);
}

/* What a medium is to the wave: eta, and S = sqrt(eta - sin^2 theta). */
typedef struct medium {
    double complex eta, s;
} medium;

static medium medium_of(double complex eta, double sine)
{
    return (medium){eta, csqrt(eta - sine * sine)};
}

/* Fresnel coefficient from a into b; TM as the magnetic field has it. */
static double complex interface_of(const medium *a, const medium *b, hr_polarisation polarisation)
{
    if (polarisation == HR_TE) {
        return (a->s - b->s) / (a->s + b->s);
    }
    return (b->eta * a->s - a->eta * b->s) / (b->eta * a->s + a->eta * b->s);
}

double hr_propagation_reflection_db(hr_complex eta, double angle_rad, hr_polarisation polarisation)
{
    const double sine = clamp_sine(angle_rad);
    const medium air = medium_of(1.0, sine);
    const medium beyond = medium_of(complex_of(eta), sine);
    return clamp_db(-20.0 * log10(cabs(interface_of(&air, &beyond, polarisation))));
}

/* Through the interface in front of layer `beyond`, whose far side answers *r. */
static void step_back(double complex coefficient, double complex phase, double complex *r, double *through_db)
{
    /* phase = q, e^(-jq) decays: Im q <= 0 */
    const double complex there_and_back = cexp(complex_from(2.0 * cimag(phase), -2.0 * creal(phase))) * *r;
    const double complex echo = 1.0 + coefficient * there_and_back;
    *through_db -= 20.0 * log10(cabs((1.0 + coefficient) / echo)) + nepers_to_db * cimag(phase);
    *r = (coefficient + there_and_back) / echo;
}

hr_slab_answer hr_propagation_stack(const hr_layer *layers, size_t count, double freq_mhz, double angle_rad,
                                    hr_polarisation polarisation)
{
    if (!(freq_mhz > 0.0) || isnan(angle_rad)) {
        return (hr_slab_answer){(double)NAN, (double)NAN};
    }
    const double sine = clamp_sine(angle_rad);
    const double wave_number = 2.0 * pi / hr_units_wavelength_m(freq_mhz);
    const medium air = medium_of(1.0, sine);
    medium beyond = air;
    double beyond_m = 0.0; /* the air behind the stack has no far side */
    double complex r = 0.0;
    double through_db = 0.0;
    for (size_t i = count + 1; i-- > 0;) {
        medium here = air;
        if (i > 0) {
            here = medium_of(complex_of(hr_propagation_permittivity(&layers[i - 1].material, freq_mhz)), sine);
        }
        step_back(interface_of(&here, &beyond, polarisation), wave_number * beyond_m * beyond.s, &r, &through_db);
        beyond = here;
        beyond_m = i > 0 ? layers[i - 1].thickness_m : 0.0;
    }
    return (hr_slab_answer){clamp_db(through_db), clamp_db(-20.0 * log10(cabs(r)))};
}

double hr_propagation_te_tm_mix_db(double te_db, double tm_db, double te_share)
{
    if (!(te_share >= 0.0 && te_share <= 1.0)) {
        return (double)NAN;
    }
    return -10.0 * log10(te_share * pow(10.0, -te_db / 10.0) + (1.0 - te_share) * pow(10.0, -tm_db / 10.0));
}

double hr_propagation_te_share(double nx, double ny, double rx, double ry, double rz)
{
    /* TE stands along n x r; the antenna's field along z - (z.r) r. */
    const double te_x = ny * rz;
    const double te_y = -nx * rz;
    const double te_z = nx * ry - ny * rx;
    const double te_length = sqrt(te_x * te_x + te_y * te_y + te_z * te_z);
    const double ray_length = sqrt(rx * rx + ry * ry + rz * rz);
    const double level = sqrt(rx * rx + ry * ry); /* of the ray */
    if (!(ray_length > 0.0) || isnan(te_length)) {
        return (double)NAN;
    }
    if (te_length < 1e-12 * ray_length) {
        return 1.0; /* normal incidence */
    }
    if (level < 1e-12 * ray_length) {
        return 0.5; /* straight up along a wall: no direction is preferred */
    }
    const double x = rx / ray_length;
    const double y = ry / ray_length;
    const double z = rz / ray_length;
    const double across = level / ray_length; /* length of z - (z.r) r */
    const double cosine = (-z * x * te_x - z * y * te_y + (1.0 - z * z) * te_z) / (across * te_length);
    const double share = cosine * cosine;
    return share < 1.0 ? share : 1.0;
}

/* ---- curves --------------------------------------------------------------- */

double hr_propagation_framed_db(double slab_db)
{
    return slab_db < HR_FRAMED_LOSS_DB ? HR_FRAMED_LOSS_DB : slab_db;
}

static const double curve_step_deg = HR_SLAB_ANGLE_MAX_DEG / (HR_SLAB_CURVE_POINTS - 1);

void hr_propagation_slab_curve(const hr_layer *layers, size_t count, double freq_mhz, bool framed, hr_slab_curve *curve)
{
    curve->framed = framed;
    curve->extrapolated = false;
    for (size_t i = 0; i < count; i++) {
        curve->extrapolated = curve->extrapolated || layers[i].material.extrapolated;
    }
    for (int i = 0; i < HR_SLAB_CURVE_POINTS; i++) {
        const double angle_rad = (double)i * curve_step_deg * pi / 180.0;
        curve->te_db[i] = hr_propagation_stack(layers, count, freq_mhz, angle_rad, HR_TE).through_db;
        curve->tm_db[i] = hr_propagation_stack(layers, count, freq_mhz, angle_rad, HR_TM).through_db;
    }
}

/* Cubic through four neighbouring points (Catmull-Rom), part in 0..1 between the
 * middle two: thin walls ring so sharply with angle that straight lines are
 * off by tenths of a dB. */
static double between_points(const double *points, int below, double part)
{
    const int last = HR_SLAB_CURVE_POINTS - 1;
    const double p1 = points[below];
    const double p2 = points[below + 1];
    /* even about the normal; carried on as a parabola at the steep end */
    const double p0 = below > 0 ? points[below - 1] : points[1];
    const double p3 =
        below + 2 <= last ? points[below + 2] : 3.0 * points[last] - 3.0 * points[last - 1] + points[last - 2];
    const double slope1 = 0.5 * (p2 - p0);
    const double slope2 = 0.5 * (p3 - p1);
    const double bend = p2 - p1;
    const double cubic = slope1 + slope2 - 2.0 * bend;
    const double square = 3.0 * bend - 2.0 * slope1 - slope2;
    return fmax(((cubic * part + square) * part + slope1) * part + p1, 0.0);
}

double hr_propagation_slab_curve_db(const hr_slab_curve *curve, double angle_rad, double te_share)
{
    const double angle_deg = fabs(angle_rad) * 180.0 / pi;
    if (isnan(angle_deg)) {
        return angle_deg;
    }
    const double place = fmin(angle_deg, HR_SLAB_ANGLE_MAX_DEG) / curve_step_deg;
    int below = (int)place;
    below = below > HR_SLAB_CURVE_POINTS - 2 ? HR_SLAB_CURVE_POINTS - 2 : below;
    const double part = place - (double)below;
    const double mixed_db = hr_propagation_te_tm_mix_db(between_points(curve->te_db, below, part),
                                                        between_points(curve->tm_db, below, part), te_share);
    return curve->framed ? hr_propagation_framed_db(mixed_db) : mixed_db;
}
