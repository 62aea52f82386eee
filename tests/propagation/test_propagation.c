/*
 * test_propagation.c - properties of the formulas: domains, continuity, order.
 * Their values are held to published figures in tests/published.
 *
 * SPDX-License-Identifier: MIT
 */
#include "check.h"
#include "hr_propagation.h"
#include "prop_tests.h"

static void free_space_has_its_slopes(void **state)
{
    (void)state;
    const double at_17_m = hr_propagation_free_space_db(867.3, 17.3);
    check_near(hr_propagation_free_space_db(867.3, 173.0) - at_17_m, 20.0, 1e-9);
    check_near(hr_propagation_free_space_db(8673.0, 17.3) - at_17_m, 20.0, 1e-9);
    /* against the definition (4 pi d f / c)^2 */
    const double pi = 3.14159265358979323846;
    check_near(at_17_m, 20.0 * log10(4.0 * pi * 17.3 * 867.3e6 / 299792458.0), 1e-4);
}

static void free_space_refuses_what_has_no_meaning(void **state)
{
    (void)state;
    const double bad[] = {0.0, -1.0, (double)NAN};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        assert_true(isnan(hr_propagation_free_space_db(bad[i], 10.0)));
        assert_true(isnan(hr_propagation_free_space_db(915.0, bad[i])));
        assert_true(isnan(hr_propagation_log_distance_db(bad[i], 2.0, 10.0)));
    }
    assert_true(isnan(hr_propagation_log_distance_db(915.0, 2.0, -1e-9)));
    assert_true(isnan(hr_propagation_log_distance_db(915.0, 2.0, (double)NAN)));
    assert_true(isnan(hr_propagation_log_distance_db(915.0, (double)NAN, 0.5)));
    assert_true(isnan(hr_propagation_log_distance_db(915.0, (double)NAN, 5.0)));
}

static void log_distance_is_level_below_a_metre(void **state)
{
    (void)state;
    const double metre_db = hr_propagation_free_space_db(915.0, 1.0);
    check_near(hr_propagation_log_distance_db(915.0, 3.1, 0.0), metre_db, 0.0);
    check_near(hr_propagation_log_distance_db(915.0, 3.1, 0.999), metre_db, 0.0);
    check_near(hr_propagation_log_distance_db(915.0, 3.1, 1.0), metre_db, 0.0);
    check_near(hr_propagation_log_distance_db(915.0, 3.1, 1.0 + 1e-9), metre_db, 1e-7);
    check_near(hr_propagation_log_distance_db(915.0, 2.0, 23.7), hr_propagation_free_space_db(915.0, 23.7), 1e-9);
    double before = metre_db;
    for (double d = 1.01; d < 200.0; d *= 1.01) {
        const double now = hr_propagation_log_distance_db(915.0, 1.6, d);
        assert_true(now > before);
        before = now;
    }
}

static void floors_add_less_and_less(void **state)
{
    (void)state;
    check_near(hr_propagation_floor_factor(0), 0.0, 0.0);
    check_near(hr_propagation_floor_factor(1), 1.0, 0.0);
    double sum = 1.0;
    for (unsigned k = 2; k <= 200; k++) {
        const double factor = hr_propagation_floor_factor(k);
        assert_true(factor > 0.0 && factor < hr_propagation_floor_factor(k - 1));
        sum += factor;
    }
    /* the increments add up to the closed form */
    check_near(sum, pow(200.0, 202.0 / 201.0 - 0.46), 1e-9);
}

static void saturation_takes_three_walls(void **state)
{
    (void)state;
    check_near(hr_propagation_saturation_factor(1, 0.5), 1.0, 0.0);
    check_near(hr_propagation_saturation_factor(2, 0.5), sqrt(2.0) - 1.0, 1e-15);
    check_near(hr_propagation_saturation_factor(3, 0.5), sqrt(3.0) - sqrt(2.0), 1e-15);
    check_near(hr_propagation_saturation_factor(4, 0.5), 1.0, 0.0);
    for (unsigned i = 1; i <= 10; i++) {
        check_near(hr_propagation_saturation_factor(i, 1.0), 1.0, 1e-15);
    }
    assert_true(isnan(hr_propagation_saturation_factor(0, 0.5)));
    assert_true(isnan(hr_propagation_saturation_factor(1, 0.0)));
    assert_true(isnan(hr_propagation_saturation_factor(1, 1.01)));
    assert_true(isnan(hr_propagation_saturation_factor(1, (double)NAN)));
}

/* ---- antennas and areas ---------------------------------------------------- */

static void dipole_has_a_floor_and_a_null(void **state)
{
    (void)state;
    check_near(hr_propagation_dipole_db(0.0, HR_DIPOLE_FLOOR_DB), -10.0, 0.0);
    check_near(hr_propagation_dipole_db(TEST_PI, HR_DIPOLE_FLOOR_DB), -10.0, 0.0);
    check_near(hr_propagation_dipole_db(0.5 * TEST_PI, HR_DIPOLE_FLOOR_DB), 0.0, 1e-12);
    double before = hr_propagation_dipole_db(0.0, -60.0);
    for (double t = 0.001; t < 0.5 * TEST_PI; t += 0.001) {
        const double now = hr_propagation_dipole_db(t, -60.0);
        assert_true(now >= before && now <= 1e-12);
        check_near(hr_propagation_dipole_db(TEST_PI - t, -60.0), now, 1e-9);
        check_near(hr_propagation_dipole_db(-t, -60.0), now, 1e-9);
        before = now;
    }
    assert_true(isnan(hr_propagation_dipole_db((double)NAN, -10.0)));
    assert_true(isnan(hr_propagation_dipole_db(1.0, (double)NAN)));
}

/* Share of a disc by rings of equal area. */
static double area_by_rings(double margin_db, double exponent, double sigma_db)
{
    const int rings = 20000;
    double sum = 0.0;
    for (int i = 0; i < rings; i++) {
        const double share = ((double)i + 0.5) / rings; /* of the area inside */
        const double level_db = margin_db - 10.0 * exponent * 0.5 * log10(share);
        sum += 0.5 * erfc(-level_db / (sigma_db * sqrt(2.0))) / rings;
    }
    return sum;
}

static void area_equals_numeric_integration(void **state)
{
    (void)state;
    const double margins[] = {-25.0, -6.2, 0.0, 3.1, 5.4, 10.25, 30.0};
    const double exponents[] = {1.6, 2.8, 4.4};
    const double sigmas[] = {0.8, 3.0, 5.8, 8.0, 14.0, 60.0};
    for (size_t m = 0; m < 7; m++) {
        for (size_t n = 0; n < 3; n++) {
            for (size_t s = 0; s < 6; s++) {
                check_near(hr_propagation_area_coverage(margins[m], exponents[n], sigmas[s]),
                           area_by_rings(margins[m], exponents[n], sigmas[s]), 1e-4);
            }
        }
    }
}

static void area_keeps_its_head_at_the_ends(void **state)
{
    (void)state;
    check_near(hr_propagation_area_coverage(0.0, 3.0, 0.0), 1.0, 0.0);
    check_near(hr_propagation_area_coverage(-30.0, 3.0, 0.0), 0.01, 1e-12);
    check_near(hr_propagation_area_coverage(-30.0, 3.0, 0.01), 0.01, 1e-4);
    for (double sigma = 1e-6; sigma < 1e6; sigma *= 1.7) {
        for (double margin = -200.0; margin <= 200.0; margin += 12.5) {
            const double share = hr_propagation_area_coverage(margin, 2.3, sigma);
            assert_true(share >= 0.0 && share <= 1.0);
        }
    }
    assert_true(isnan(hr_propagation_area_coverage(0.0, 0.0, 8.0)));
    assert_true(isnan(hr_propagation_area_coverage(0.0, 3.0, -1.0)));
    assert_true(isnan(hr_propagation_area_coverage((double)NAN, 3.0, 8.0)));
}

/* ---- ranges ------------------------------------------------------------------ */

static void ranges_are_complete(void **state)
{
    (void)state;
    hr_material_rows *rows = NULL;
    assert_int_equal(hr_materials_rows_new(&rows, NULL), HR_OK);
    for (int id = 0; id < HR_RANGE_COUNT; id++) {
        const hr_range *range = hr_propagation_range((hr_range_id)id);
        assert_non_null(range);
        assert_non_null(range->formula);
        assert_non_null(range->beyond);
        assert_true(range->low < range->high);
        assert_non_null(hr_materials_source_find(rows, range->source));
        assert_true(hr_propagation_in_range((hr_range_id)id, range->low));
        assert_false(hr_propagation_in_range((hr_range_id)id, range->low - 1e-6));
        assert_true(hr_propagation_in_range((hr_range_id)id, range->high));
        if (!isinf(range->high)) {
            assert_false(hr_propagation_in_range((hr_range_id)id, range->high * (1.0 + 1e-9)));
        }
        assert_false(hr_propagation_in_range((hr_range_id)id, (double)NAN));
    }
    assert_null(hr_propagation_range(HR_RANGE_COUNT));
    assert_false(hr_propagation_in_range(HR_RANGE_COUNT, 1.0));
    hr_materials_rows_free(rows);
}

static void ranges_read_as_sentences(void **state)
{
    (void)state;
    char text[HR_RANGE_TEXT_MAX];
    assert_string_equal(hr_propagation_range_text(HR_RANGE_COST231_MHZ, 2450.0, text),
                        "COST 231 multi-wall: frequency 2450 MHz, given for 800 to 1900 MHz; "
                        "the floor increments are used at any frequency");
    assert_string_equal(hr_propagation_range_text(HR_RANGE_LOG_DISTANCE_M, 0.5, text),
                        "log-distance: distance 0.5 m, given from 1 m; below it the loss at 1 m is used");
    assert_string_equal(hr_propagation_range_text(HR_RANGE_COUNT, 0.5, text), "");
}

const struct CMUnitTest basic_tests[] = {
    cmocka_unit_test(free_space_has_its_slopes),
    cmocka_unit_test(free_space_refuses_what_has_no_meaning),
    cmocka_unit_test(log_distance_is_level_below_a_metre),
    cmocka_unit_test(floors_add_less_and_less),
    cmocka_unit_test(saturation_takes_three_walls),
    cmocka_unit_test(dipole_has_a_floor_and_a_null),
    cmocka_unit_test(area_equals_numeric_integration),
    cmocka_unit_test(area_keeps_its_head_at_the_ends),
    cmocka_unit_test(ranges_are_complete),
    cmocka_unit_test(ranges_read_as_sentences),
};
const size_t basic_test_count = sizeof basic_tests / sizeof basic_tests[0];

/* One group, so that the output has one plan. */
int main(void)
{
    const struct {
        const struct CMUnitTest *tests;
        size_t count;
    } parts[] = {{basic_tests, basic_test_count},
                 {diffraction_tests, diffraction_test_count},
                 {site_tests, site_test_count},
                 {slab_tests, slab_test_count}};
    struct CMUnitTest all[64];
    size_t count = 0;
    for (size_t p = 0; p < sizeof parts / sizeof parts[0]; p++) {
        for (size_t i = 0; i < parts[p].count && count < sizeof all / sizeof all[0]; i++) {
            all[count++] = parts[p].tests[i];
        }
    }
    return _cmocka_run_group_tests("propagation", all, count, NULL, NULL);
}
