/*
 * test_slab.c - plane layers against the Recommendation's closed form and
 * transfer matrices, and what must hold for any stack.
 *
 * SPDX-License-Identifier: MIT
 */
#include <complex.h>

#include "check.h"
#include "hr_propagation.h"
#include "prop_tests.h"

static hr_layer layer_of(const char *name, double freq_mhz, double thickness_m)
{
    hr_layer layer = {.thickness_m = thickness_m};
    if (!hr_materials_permittivity(name, 3, freq_mhz, &layer.material)) {
        fail_msg("no permittivity of %s", name);
    }
    return layer;
}

static double complex eta_of(const hr_layer *layer, double freq_mhz)
{
    const hr_complex eta = hr_propagation_permittivity(&layer->material, freq_mhz);
    return eta.re + (double complex)I * eta.im;
}

/* ---- references -------------------------------------------------------------- */

/* ITU-R P.2040-3, eq. (43b): one slab. */
static double closed_form_db(const hr_layer *layer, double freq_mhz, double angle_rad, hr_polarisation polarisation)
{
    const double complex eta = eta_of(layer, freq_mhz);
    const double complex s = csqrt(eta - sin(angle_rad) * sin(angle_rad));
    const double c = cos(angle_rad);
    const double complex r = polarisation == HR_TE ? (c - s) / (c + s) : (eta * c - s) / (eta * c + s);
    const double complex q = 2.0 * TEST_PI * layer->thickness_m * s / (299.792458 / freq_mhz);
    const double complex j = (double complex)I;
    return -20.0 * log10(cabs((1.0 - r * r) * cexp(-j * q) / (1.0 - r * r * cexp(-2.0 * j * q))));
}

/* Transfer matrices (ITU-R P.2040-3, Attachment 1): what goes through, and what comes back. */
static hr_slab_answer matrices_db(const hr_layer *layers, size_t count, double freq_mhz, double angle_rad,
                                  hr_polarisation polarisation)
{
    const double complex j = (double complex)I;
    const double c = cos(angle_rad);
    double complex m11 = 1.0;
    double complex m12 = 0.0;
    double complex m21 = 0.0;
    double complex m22 = 1.0;
    for (size_t i = 0; i < count; i++) {
        const double complex eta = eta_of(&layers[i], freq_mhz);
        const double complex s = csqrt(eta - sin(angle_rad) * sin(angle_rad));
        const double complex q = 2.0 * TEST_PI * layers[i].thickness_m * s / (299.792458 / freq_mhz);
        /* wave impedance of the layer against free space's */
        const double complex z = polarisation == HR_TE ? 1.0 / s : s / eta;
        const double complex a = ccos(q);
        const double complex b = j * z * csin(q);
        const double complex cc = j * csin(q) / z;
        const double complex n11 = m11 * a + m12 * cc;
        const double complex n12 = m11 * b + m12 * a;
        const double complex n21 = m21 * a + m22 * cc;
        const double complex n22 = m21 * b + m22 * a;
        m11 = n11;
        m12 = n12;
        m21 = n21;
        m22 = n22;
    }
    const double z0 = polarisation == HR_TE ? 1.0 / c : c;
    const double complex sum = m11 + m12 / z0 + m21 * z0 + m22;
    const double complex difference = m11 + m12 / z0 - m21 * z0 - m22;
    return (hr_slab_answer){-20.0 * log10(cabs(2.0 / sum)), -20.0 * log10(cabs(difference / sum))};
}

static void one_slab_is_the_closed_form(void **state)
{
    (void)state;
    const char *const names[] = {"concrete", "brick", "plasterboard", "wood", "glass", "marble", "plywood"};
    const double freqs[] = {868.0, 915.0, 2450.0, 5200.0};
    for (size_t n = 0; n < 7; n++) {
        for (size_t f = 0; f < 4; f++) {
            for (double deg = 0.0; deg <= 80.0; deg += 7.3) {
                const hr_layer layer = layer_of(names[n], freqs[f], 0.0873);
                const double rad = deg * TEST_PI / 180.0;
                for (int p = 0; p < 2; p++) {
                    check_near(hr_propagation_stack(&layer, 1, freqs[f], rad, (hr_polarisation)p).through_db,
                               closed_form_db(&layer, freqs[f], rad, (hr_polarisation)p), 1e-9);
                }
            }
        }
    }
}

static void stacks_are_the_transfer_matrices(void **state)
{
    (void)state;
    const char *const texts[] = {
        "plasterboard 12.5, air 75, plasterboard 12.5", "brick 100, air 50, concrete 150, plasterboard 13",
        "glass 4, air 16, glass 6, air 12.7, glass 4", "marble 8, plasterboard 12.5, air 75, plywood 18, wood 22.3"};
    const double freqs[] = {433.9, 868.3, 2450.0, 5200.0};
    for (size_t t = 0; t < 4; t++) {
        for (size_t f = 0; f < 4; f++) {
            hr_layer layers[HR_LAYERS_MAX];
            size_t count = 0;
            assert_int_equal(hr_materials_layers_parse(texts[t], freqs[f], layers, &count, NULL), HR_OK);
            for (double deg = 0.0; deg <= 80.0; deg += 4.9) {
                const double rad = deg * TEST_PI / 180.0;
                for (int p = 0; p < 2; p++) {
                    const hr_slab_answer mine = hr_propagation_stack(layers, count, freqs[f], rad, (hr_polarisation)p);
                    const hr_slab_answer other = matrices_db(layers, count, freqs[f], rad, (hr_polarisation)p);
                    check_near(mine.through_db, other.through_db, 1e-8);
                    check_near(mine.reflected_db, other.reflected_db, 1e-6);
                }
            }
        }
    }
}

/* ---- what holds for any stack --------------------------------------------------- */

static void power_is_kept_without_losses(void **state)
{
    (void)state;
    hr_layer layers[3] = {layer_of("concrete", 2450.0, 0.061), layer_of("air", 2450.0, 0.033),
                          layer_of("glass", 2450.0, 0.0127)};
    layers[0].material.c = 0.0;
    layers[2].material.c = 0.0;
    for (double deg = 0.0; deg <= 80.0; deg += 1.7) {
        for (int p = 0; p < 2; p++) {
            const hr_slab_answer answer =
                hr_propagation_stack(layers, 3, 2450.0, deg * TEST_PI / 180.0, (hr_polarisation)p);
            check_near(pow(10.0, -answer.through_db / 10.0) + pow(10.0, -answer.reflected_db / 10.0), 1.0, 1e-12);
        }
    }
}

static void direction_and_splitting_change_nothing(void **state)
{
    (void)state;
    const hr_layer there[] = {layer_of("brick", 915.0, 0.1), layer_of("air", 915.0, 0.05),
                              layer_of("concrete", 915.0, 0.15)};
    const hr_layer back[] = {there[2], there[1], there[0]};
    const hr_layer split[] = {layer_of("brick", 915.0, 0.037), layer_of("brick", 915.0, 0.063), there[1], there[2]};
    for (double deg = 0.0; deg <= 80.0; deg += 9.1) {
        const double rad = deg * TEST_PI / 180.0;
        const double db = hr_propagation_stack(there, 3, 915.0, rad, HR_TM).through_db;
        check_near(hr_propagation_stack(back, 3, 915.0, rad, HR_TM).through_db, db, 1e-9);
        check_near(hr_propagation_stack(split, 4, 915.0, rad, HR_TM).through_db, db, 1e-9);
        check_near(hr_propagation_stack(there, 3, 915.0, -rad, HR_TM).through_db, db, 0.0);
    }
    check_near(hr_propagation_stack(NULL, 0, 915.0, 0.3, HR_TE).through_db, 0.0, 0.0);
}

static void metal_does_not_overflow(void **state)
{
    (void)state;
    hr_layer layers[HR_LAYERS_MAX];
    for (size_t i = 0; i < HR_LAYERS_MAX; i++) {
        layers[i] = layer_of("metal", 868.0, 5.0);
    }
    const size_t counts[] = {1, 2, HR_LAYERS_MAX};
    const double freqs[] = {300.0, 868.0, 2450.0, 6000.0};
    for (size_t c = 0; c < 3; c++) {
        for (size_t f = 0; f < 4; f++) {
            for (int p = 0; p < 2; p++) {
                const hr_slab_answer answer =
                    hr_propagation_stack(layers, counts[c], freqs[f], 1.1, (hr_polarisation)p);
                check_near(answer.through_db, HR_LOSS_MAX_DB, 0.0);
                check_near(answer.reflected_db, 0.0, 0.01);
            }
        }
    }
    /* skin depth 5.40 um at 868 MHz, 3.22 um at 2.45 GHz; 1 mm 1608 and 2701 dB */
    const hr_complex low = hr_propagation_permittivity(&layers[0].material, 868.0);
    const hr_complex high = hr_propagation_permittivity(&layers[0].material, 2450.0);
    check_near(1e-3 * hr_propagation_bulk_db_per_m(low, 868.0), 1608.0, 0.5);
    check_near(1e-3 * hr_propagation_bulk_db_per_m(high, 2450.0), 2701.0, 0.5);
    /* a film lets something through, finitely much */
    const hr_layer film = layer_of("metal", 868.0, 1e-6);
    const double film_db = hr_propagation_stack(&film, 1, 868.0, 0.0, HR_TE).through_db;
    assert_true(film_db > 60.0 && film_db < 75.0);
    /* thin enough for the shunt formula 20 log10(1 + Z0 sigma d / 2) */
    const hr_layer thin = layer_of("metal", 868.0, 1e-8);
    check_near(hr_propagation_stack(&thin, 1, 868.0, 0.0, HR_TE).through_db,
               20.0 * log10(1.0 + 376.730313668 * 1e7 * 1e-8 / 2.0), 0.01);
}

static void steep_angles_are_clamped(void **state)
{
    (void)state;
    const hr_layer layer = layer_of("concrete", 2450.0, 0.2);
    const double at_80 = hr_propagation_stack(&layer, 1, 2450.0, 80.0 * TEST_PI / 180.0, HR_TE).through_db;
    check_near(hr_propagation_stack(&layer, 1, 2450.0, 89.9 * TEST_PI / 180.0, HR_TE).through_db, at_80, 0.0);
    check_near(hr_propagation_stack(&layer, 1, 2450.0, (double)INFINITY, HR_TE).through_db, at_80, 0.0);
    assert_true(isnan(hr_propagation_stack(&layer, 1, 2450.0, (double)NAN, HR_TE).through_db));
    assert_true(isnan(hr_propagation_stack(&layer, 1, 0.0, 0.0, HR_TE).through_db));
    const hr_complex eta = hr_propagation_permittivity(&layer.material, 2450.0);
    check_near(hr_propagation_reflection_db(eta, 1.5, HR_TM),
               hr_propagation_reflection_db(eta, 80.0 * TEST_PI / 180.0, HR_TM), 0.0);
}

/* ---- the mix of polarisations ------------------------------------------------------ */

static void mix_is_by_power(void **state)
{
    (void)state;
    check_near(hr_propagation_te_tm_mix_db(12.0, 5.0, 1.0), 12.0, 1e-12);
    check_near(hr_propagation_te_tm_mix_db(12.0, 5.0, 0.0), 5.0, 1e-12);
    check_near(hr_propagation_te_tm_mix_db(10.0, 20.0, 0.5), -10.0 * log10(0.055), 1e-12);
    assert_true(isnan(hr_propagation_te_tm_mix_db(10.0, 20.0, 1.01)));
    assert_true(isnan(hr_propagation_te_tm_mix_db(10.0, 20.0, (double)NAN)));
}

static void upright_antennas_give_te_on_level_rays(void **state)
{
    (void)state;
    check_near(hr_propagation_te_share(1.0, 0.0, 1.0, 0.0, 0.0), 1.0, 0.0);   /* normal */
    check_near(hr_propagation_te_share(1.0, 0.0, 3.0, 2.0, 0.0), 1.0, 1e-12); /* level */
    check_near(hr_propagation_te_share(0.6, 0.8, -1.0, 5.0, 0.0), 1.0, 1e-12);
    check_near(hr_propagation_te_share(1.0, 0.0, 1.0, 0.0, 2.0), 0.0, 1e-12); /* up, in the normal's plane */
    check_near(hr_propagation_te_share(1.0, 0.0, 0.0, 0.0, 1.0), 0.5, 0.0);
    assert_true(isnan(hr_propagation_te_share(1.0, 0.0, 0.0, 0.0, 0.0)));
    assert_true(isnan(hr_propagation_te_share(1.0, 0.0, (double)NAN, 0.0, 0.0)));
}

/* The share across the plane of incidence and the share in it add up to all. */
static void shares_add_up(void **state)
{
    (void)state;
    for (int i = 1; i < 400; i++) {
        const double azimuth = 0.0157 * i;
        const double rise = 1.4 * sin(0.37 * i);
        const double r[3] = {cos(azimuth) * cos(rise), sin(azimuth) * cos(rise), sin(rise)};
        const double n[3] = {0.8, -0.6, 0.0};
        const double te[3] = {n[1] * r[2], -n[0] * r[2], n[0] * r[1] - n[1] * r[0]};
        const double tm[3] = {te[1] * r[2] - te[2] * r[1], te[2] * r[0] - te[0] * r[2], te[0] * r[1] - te[1] * r[0]};
        const double length2 = te[0] * te[0] + te[1] * te[1] + te[2] * te[2];
        /* z made perpendicular to r has z-components only in te and tm */
        const double level2 = r[0] * r[0] + r[1] * r[1];
        const double in_plane = tm[2] * tm[2] / (length2 * level2);
        const double share = hr_propagation_te_share(n[0], n[1], r[0], r[1], r[2]);
        check_near(share + in_plane, 1.0, 1e-9);
        check_near(hr_propagation_te_share(n[0], n[1], -r[0], -r[1], -r[2]), share, 1e-12);
        check_near(hr_propagation_te_share(-n[0], -n[1], 7.0 * r[0], 7.0 * r[1], 7.0 * r[2]), share, 1e-12);
    }
}

/* ---- curves ---------------------------------------------------------------------------- */

static void check_curve(const char *name, const hr_layer *layers, size_t count, double freq_mhz, bool framed)
{
    hr_slab_curve curve;
    hr_propagation_slab_curve(layers, count, freq_mhz, framed, &curve);
    for (double deg = 0.0; deg <= 85.0; deg += 0.23) {
        const double rad = deg * TEST_PI / 180.0;
        for (int p = 0; p < 2; p++) {
            double exact = hr_propagation_stack(layers, count, freq_mhz, rad, (hr_polarisation)p).through_db;
            exact = framed ? hr_propagation_framed_db(exact) : exact;
            const double read = hr_propagation_slab_curve_db(&curve, rad, p == 0 ? 1.0 : 0.0);
            if (!check_is_near(read, exact, 0.02)) {
                fail_msg("%s at %g MHz, %g degrees: %g for %g dB", name, freq_mhz, deg, read, exact);
            }
            assert_true(!framed || read >= HR_FRAMED_LOSS_DB - 1e-9);
        }
    }
}

/* Every built-in stack, at every usual frequency. */
static void curves_follow_the_stacks(void **state)
{
    (void)state;
    const double freqs[] = {433.0, 868.0, 915.0, 2450.0, 5200.0};
    hr_material_rows *rows = NULL;
    assert_int_equal(hr_materials_rows_new(&rows, NULL), HR_OK);
    for (size_t i = 0; i < hr_materials_rows_count(rows); i++) {
        const hr_material_row *row = hr_materials_rows_get(rows, i);
        for (size_t f = 0; row->layers != NULL && f < 5; f++) {
            hr_layer layers[HR_LAYERS_MAX];
            size_t count = 0;
            hr_error err = {0};
            if (hr_materials_layers_parse(row->layers, freqs[f], layers, &count, &err) != HR_OK) {
                fail_msg("%s: %s", row->name, err.text);
            }
            check_curve(row->name, layers, count, freqs[f], row->framed);
        }
    }
    hr_materials_rows_free(rows);
}

/* Assumed figures and limits that the model states as such. */
static void stated_limits_hold(void **state)
{
    (void)state;
    check_near(hr_propagation_framed_db(0.63), 2.0, 0.0);
    check_near(hr_propagation_framed_db(3.1), 3.1, 0.0);
    check_near(HR_SLAB_ANGLE_MAX_DEG, 80.0, 0.0);
    check_near(HR_LOSS_MAX_DB, 200.0, 0.0);
}

static void extrapolation_is_told(void **state)
{
    (void)state;
    hr_slab_curve curve;
    hr_layer layers[2] = {layer_of("wood", 868.0, 0.04), layer_of("concrete", 868.0, 0.1)};
    hr_propagation_slab_curve(layers, 1, 868.0, false, &curve);
    assert_false(curve.extrapolated);
    hr_propagation_slab_curve(layers, 2, 868.0, false, &curve);
    assert_true(curve.extrapolated);
    layers[1] = layer_of("concrete", 2450.0, 0.1);
    hr_propagation_slab_curve(layers, 2, 2450.0, false, &curve);
    assert_false(curve.extrapolated);
    assert_true(isnan(hr_propagation_slab_curve_db(&curve, (double)NAN, 1.0)));
}

const struct CMUnitTest slab_tests[] = {
    cmocka_unit_test(one_slab_is_the_closed_form),
    cmocka_unit_test(stacks_are_the_transfer_matrices),
    cmocka_unit_test(power_is_kept_without_losses),
    cmocka_unit_test(direction_and_splitting_change_nothing),
    cmocka_unit_test(metal_does_not_overflow),
    cmocka_unit_test(steep_angles_are_clamped),
    cmocka_unit_test(mix_is_by_power),
    cmocka_unit_test(upright_antennas_give_te_on_level_rays),
    cmocka_unit_test(shares_add_up),
    cmocka_unit_test(curves_follow_the_stacks),
    cmocka_unit_test(stated_limits_hold),
    cmocka_unit_test(extrapolation_is_told),
};
const size_t slab_test_count = sizeof slab_tests / sizeof slab_tests[0];
