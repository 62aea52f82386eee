/*
 * test_diffraction.c - edges against the exact integrals, and what must not jump.
 *
 * SPDX-License-Identifier: MIT
 */
#include <complex.h>

#include "check.h"
#include "hr_propagation.h"
#include "prop_tests.h"

/* ---- one edge ------------------------------------------------------------- */

/* Exact loss over an edge: |(1+j)/2 integral from v to infinity of e^(-j pi t^2/2) dt|,
 * the path turned by 45 degrees so that the integrand decays (Abramowitz and
 * Stegun, ch. 7). */
static double exact_edge_db(double v)
{
    const double complex turn = cexp(-(double complex)I * TEST_PI / 4.0);
    const int steps = 4000;
    const double end = 8.0 + (v < 0.0 ? -2.0 * v : 0.0);
    const double h = end / steps;
    double complex sum = 0.0;
    for (int i = 0; i <= steps; i++) {
        const double complex t = v + turn * ((double)i * h);
        const double weight = i == 0 || i == steps ? 1.0 : (i % 2 == 1 ? 4.0 : 2.0);
        sum += weight * cexp(-(double complex)I * TEST_PI / 2.0 * t * t);
    }
    return -20.0 * log10(cabs(sum * turn * h / 3.0) / sqrt(2.0));
}

/* The exact figures, by an independent script; J(0) = 20 log10 2. */
static void exact_integral_is_right(void **state)
{
    (void)state;
    const double v[] = {-0.78, -0.5, 0.0, 0.5, 1.0, 1.5, 2.0, 2.4, 3.0, 5.0};
    const double db[] = {-0.011, 1.859, 6.021, 10.234, 13.864, 16.777, 19.091, 20.618, 22.522, 26.936};
    for (size_t i = 0; i < 10; i++) {
        check_near(exact_edge_db(v[i]), db[i], 0.0005);
    }
    check_near(exact_edge_db(0.0), 20.0 * log10(2.0), 1e-9);
}

static void knife_edge_is_near_the_exact_integral(void **state)
{
    (void)state;
    double worst_db = 0.0;
    for (double v = -0.77; v <= 10.0; v += 0.01) {
        worst_db = fmax(worst_db, fabs(hr_propagation_knife_edge_db(v) - exact_edge_db(v)));
    }
    assert_true(worst_db <= 0.13);
    assert_true(worst_db > 0.05); /* an approximation it is: the reference is not itself */
}

static void knife_edge_rises_without_a_jump(void **state)
{
    (void)state;
    check_near(hr_propagation_knife_edge_db(-0.78), 0.0, 0.0);
    check_near(hr_propagation_knife_edge_db(-0.78 + 1e-9), 0.0, 0.01);
    check_near(hr_propagation_knife_edge_db(-(double)INFINITY), 0.0, 0.0);
    assert_true(isnan(hr_propagation_knife_edge_db((double)NAN)));
    double before = 0.0;
    for (double v = -2.0; v < 100.0; v += 0.001) {
        const double now = hr_propagation_knife_edge_db(v);
        assert_true(now >= before && now - before < 0.02);
        before = now;
    }
}

static void parameter_has_a_domain(void **state)
{
    (void)state;
    const double v = hr_propagation_fresnel_v(915.0, 0.7, 3.1, 8.3);
    check_near(hr_propagation_fresnel_v(915.0, 0.7, 8.3, 3.1), v, 1e-12);
    check_near(hr_propagation_fresnel_v(915.0, -0.7, 8.3, 3.1), -v, 1e-12);
    /* v = sqrt 2 x height / first Fresnel radius */
    check_near(v, sqrt(2.0) * 0.7 / hr_propagation_fresnel_radius_m(915.0, 1, 3.1, 8.3), 1e-12);
    check_near(hr_propagation_fresnel_radius_m(915.0, 4, 3.1, 8.3),
               2.0 * hr_propagation_fresnel_radius_m(915.0, 1, 3.1, 8.3), 1e-12);
    assert_true(isnan(hr_propagation_fresnel_v(0.0, 0.7, 3.1, 8.3)));
    assert_true(isnan(hr_propagation_fresnel_v(915.0, 0.7, 0.0, 8.3)));
    assert_true(isnan(hr_propagation_fresnel_v(915.0, 0.7, 3.1, -1.0)));
    assert_true(isnan(hr_propagation_fresnel_radius_m(915.0, 0, 3.1, 8.3)));
    assert_true(isnan(hr_propagation_fresnel_radius_m(915.0, 1, (double)NAN, 8.3)));
}

/* ---- two edges -------------------------------------------------------------- */

/* Exact paraxial field behind two half-planes: the double integral over both
 * apertures, both paths turned by 45 degrees. */
static double exact_pair_db(double freq_mhz, const hr_edge_pair *p)
{
    const double wavelength = 299.792458 / freq_mhz;
    const double k = 2.0 * TEST_PI / wavelength;
    const double complex turn = cexp(-(double complex)I * TEST_PI / 4.0);
    const double a = 1.0 / p->d1_m + 1.0 / p->d2_m;
    const double b = -1.0 / p->d2_m;
    const double c = 1.0 / p->d2_m + 1.0 / p->d3_m;
    const double least = 0.5 * (a + c) - sqrt(0.25 * (a - c) * (a - c) + b * b);
    const double end = sqrt(60.0 / (k * least)) + 2.0 * (fabs(p->height1_m) + fabs(p->height2_m));
    const int steps = 400;
    const double h = end / steps;
    double complex sum = 0.0;
    for (int i = 0; i <= steps; i++) {
        const double complex y1 = p->height1_m + turn * ((double)i * h);
        const double w1 = i == 0 || i == steps ? 1.0 : (i % 2 == 1 ? 4.0 : 2.0);
        for (int j = 0; j <= steps; j++) {
            const double complex y2 = p->height2_m + turn * ((double)j * h);
            const double w2 = j == 0 || j == steps ? 1.0 : (j % 2 == 1 ? 4.0 : 2.0);
            sum += w1 * w2 * cexp(-(double complex)I * (k / 2.0) * (a * y1 * y1 + 2.0 * b * y1 * y2 + c * y2 * y2));
        }
    }
    const double scale = sqrt((p->d1_m + p->d2_m + p->d3_m) / (p->d1_m * p->d2_m * p->d3_m)) / wavelength;
    return -20.0 * log10(cabs(sum * turn * turn * h * h / 9.0) * scale);
}

static void two_edges_are_near_the_exact_integral(void **state)
{
    (void)state;
    const double freqs[] = {868.0, 2450.0};
    const double ways[][3] = {{4.0, 2.0, 6.0}, {1.5, 0.5, 12.0}, {9.0, 3.5, 5.0}};
    double worst_db = 0.0;
    double sum2 = 0.0;
    int count = 0;
    for (size_t f = 0; f < 2; f++) {
        for (size_t w = 0; w < 3; w++) {
            for (double h1 = -0.5; h1 <= 1.5; h1 += 0.5) {
                for (double h2 = h1 - 0.45; h2 <= h1 + 0.5; h2 += 0.3) {
                    const hr_edge_pair pair = {ways[w][0], ways[w][1], ways[w][2], h1, h2};
                    const double error_db =
                        hr_propagation_double_edge_db(freqs[f], &pair) - exact_pair_db(freqs[f], &pair);
                    worst_db = fmax(worst_db, fabs(error_db));
                    sum2 += error_db * error_db;
                    count++;
                }
            }
        }
    }
    print_message("# two edges against the exact integral: %.2f dB rms, worst %.2f dB of %d\n", sqrt(sum2 / count),
                  worst_db, count);
    assert_true(worst_db < 2.0);
    assert_true(worst_db > 0.1); /* a construction it is: the reference is not itself */
    assert_true(sqrt(sum2 / count) < 0.6);
}

static void two_edges_read_the_same_both_ways(void **state)
{
    (void)state;
    for (double h1 = -1.5; h1 <= 2.5; h1 += 0.13) {
        for (double h2 = -1.5; h2 <= 2.5; h2 += 0.17) {
            const hr_edge_pair there = {3.7, 2.2, 9.1, h1, h2};
            const hr_edge_pair back = {9.1, 2.2, 3.7, h2, h1};
            check_near(hr_propagation_double_edge_db(915.0, &there), hr_propagation_double_edge_db(915.0, &back), 1e-9);
        }
    }
}

/* Neither where the main edge changes nor where the line clears one of them. */
static void two_edges_do_not_jump(void **state)
{
    (void)state;
    const double freqs[] = {868.0, 2450.0};
    for (size_t f = 0; f < 2; f++) {
        for (double h1 = -1.0; h1 <= 2.0; h1 += 0.25) {
            double before = (double)NAN;
            for (double h2 = -2.0; h2 <= 3.0; h2 += 0.001) {
                const hr_edge_pair pair = {3.7, 2.2, 9.1, h1, h2};
                const double now = hr_propagation_double_edge_db(freqs[f], &pair);
                if (!isnan(before) && !(fabs(now - before) < 0.05)) {
                    fail_msg("%g MHz, heights %g and %g: from %g to %g dB", freqs[f], h1, h2, before, now);
                }
                before = now;
            }
        }
    }
}

/* By an independent script from the equations of P.526: the main edge, T and Tc each with their constants. */
static void two_edges_by_the_equations(void **state)
{
    (void)state;
    const hr_edge_pair uneven = {4.0, 2.0, 6.0, 0.5, 0.6}, even = {4.0, 2.0, 6.0, 1.0, 1.0};
    check_near(hr_propagation_double_edge_db(868.0, &uneven), 17.204838, 1e-6);
    check_near(hr_propagation_double_edge_db(868.0, &even), 23.481541, 1e-6);
}

static void two_edges_become_one(void **state)
{
    (void)state;
    /* the other is far below */
    const hr_edge_pair low = {3.0, 2.0, 5.0, 0.8, -50.0};
    check_near(hr_propagation_double_edge_db(915.0, &low),
               hr_propagation_knife_edge_db(hr_propagation_fresnel_v(915.0, 0.8, 3.0, 7.0)), 1e-9);
    /* both are clear */
    const hr_edge_pair clear = {3.0, 2.0, 5.0, -8.0, -8.0};
    check_near(hr_propagation_double_edge_db(915.0, &clear), 0.0, 0.0);
    /* nearer than a wavelength: one at their mean */
    const hr_edge_pair near_by = {3.0, 0.2, 5.0, 0.7, 0.9};
    check_near(hr_propagation_double_edge_db(915.0, &near_by),
               hr_propagation_knife_edge_db(hr_propagation_fresnel_v(915.0, 0.8, 3.1, 5.1)), 1e-12);
    const hr_edge_pair same = {3.0, 0.0, 5.0, 0.8, 0.8};
    check_near(hr_propagation_double_edge_db(915.0, &same),
               hr_propagation_knife_edge_db(hr_propagation_fresnel_v(915.0, 0.8, 3.0, 5.0)), 1e-12);
    /* one above the other */
    const hr_edge_pair above = {3.0, 0.0, 5.0, 0.2, 1.8};
    assert_true(hr_propagation_double_edge_db(915.0, &above) <
                3.0 + hr_propagation_knife_edge_db(hr_propagation_fresnel_v(915.0, 1.8, 3.0, 5.0)));
    const hr_edge_pair bad = {0.0, 1.0, 5.0, 0.8, 0.8};
    assert_true(isnan(hr_propagation_double_edge_db(915.0, &bad)));
}

/* ---- metal and bends ---------------------------------------------------------- */

static void metal_adds_ways_by_power(void **state)
{
    (void)state;
    const double edges[] = {18.0, 21.0, 33.0};
    const double sum = pow(10.0, -3.0) + pow(10.0, -1.8) + pow(10.0, -2.1) + pow(10.0, -3.3);
    check_near(hr_propagation_metal_db(30.0, edges, 3), -10.0 * log10(sum), 1e-9);
    check_near(hr_propagation_metal_db(30.0, NULL, 0), 30.0, 1e-9);
    const double lit[] = {0.0, 3.0};
    check_near(hr_propagation_metal_db(30.0, lit, 2), 0.0, 0.0); /* never a gain */
    check_near(hr_propagation_metal_db((double)INFINITY, NULL, 0), HR_LOSS_MAX_DB, 0.0);
    check_near(hr_propagation_metal_db((double)INFINITY, edges, 1), 18.0, 1e-9);
    const double bad[] = {(double)NAN};
    assert_true(isnan(hr_propagation_metal_db(30.0, bad, 1)));
    assert_true(isnan(hr_propagation_metal_db((double)NAN, NULL, 0)));
}

static void through_counts_by_what_the_edge_takes(void **state)
{
    (void)state;
    check_near(hr_propagation_through_share(0.0), 0.0, 0.0);
    check_near(hr_propagation_through_share(hr_propagation_knife_edge_db(0.0)), 1.0, 0.0);
    check_near(hr_propagation_through_share(20.0), 1.0, 0.0);
    check_near(hr_propagation_through_share(3.0), (1.0 - pow(10.0, -0.3)) / (1.0 - pow(10.0, -0.6032853)), 1e-6);
    /* metal that loses nothing costs nothing, however near the edge is */
    for (double v = -0.78; v <= 3.0; v += 0.01) {
        const double edge_db = hr_propagation_knife_edge_db(v);
        const double through_db = -10.0 * log10(hr_propagation_through_share(edge_db));
        check_near(hr_propagation_metal_db(through_db, &edge_db, 1), 0.0, 1e-12);
    }
    assert_true(isnan(hr_propagation_through_share((double)NAN)));
}

static void metal_near_an_antenna_costs(void **state)
{
    (void)state;
    const double wave_m = 299.792458 / 915.0;
    check_near(hr_propagation_metal_clearance_db(915.0, 0.0), 10.0, 0.0);
    check_near(hr_propagation_metal_clearance_db(915.0, 0.249 * wave_m), 10.0, 0.0);
    check_near(hr_propagation_metal_clearance_db(915.0, 0.2501 * wave_m), 10.0, 0.01);
    check_near(hr_propagation_metal_clearance_db(915.0, 0.28 * wave_m), 9.6, 1e-9);
    check_near(hr_propagation_metal_clearance_db(915.0, 0.625 * wave_m), 5.0, 1e-9);
    check_near(hr_propagation_metal_clearance_db(915.0, 0.97 * wave_m), 0.4, 1e-9);
    check_near(hr_propagation_metal_clearance_db(915.0, 0.9999 * wave_m), 0.0, 0.01);
    check_near(hr_propagation_metal_clearance_db(915.0, wave_m * (1.0 + 1e-12)), 0.0, 0.0);
    assert_true(isnan(hr_propagation_metal_clearance_db(915.0, -0.1)));
    assert_true(isnan(hr_propagation_metal_clearance_db(915.0, (double)NAN)));
}

static void bends_are_capped(void **state)
{
    (void)state;
    check_near(hr_propagation_bend_db(-3.0), 0.0, 0.0);
    check_near(hr_propagation_bend_db(0.4), hr_propagation_knife_edge_db(0.4), 0.0);
    check_near(hr_propagation_bend_db(8.0), 15.0, 0.0);
    check_near(hr_propagation_bend_db((double)INFINITY), 15.0, 0.0);
    assert_true(isnan(hr_propagation_bend_db((double)NAN)));
}

const struct CMUnitTest diffraction_tests[] = {
    cmocka_unit_test(exact_integral_is_right),
    cmocka_unit_test(knife_edge_is_near_the_exact_integral),
    cmocka_unit_test(knife_edge_rises_without_a_jump),
    cmocka_unit_test(parameter_has_a_domain),
    cmocka_unit_test(two_edges_are_near_the_exact_integral),
    cmocka_unit_test(two_edges_read_the_same_both_ways),
    cmocka_unit_test(two_edges_do_not_jump),
    cmocka_unit_test(two_edges_by_the_equations),
    cmocka_unit_test(two_edges_become_one),
    cmocka_unit_test(through_counts_by_what_the_edge_takes),
    cmocka_unit_test(metal_adds_ways_by_power),
    cmocka_unit_test(metal_near_an_antenna_costs),
    cmocka_unit_test(bends_are_capped),
};
const size_t diffraction_test_count = sizeof diffraction_tests / sizeof diffraction_tests[0];
