/*
 * test_site.c - models by the kind of building: which row serves, and limits.
 *
 * SPDX-License-Identifier: MIT
 */
#include "check.h"
#include "hr_propagation.h"
#include "prop_tests.h"

static hr_site_row site_at(const char *environment, double freq_mhz)
{
    hr_site_row site = {.n = (double)NAN};
    if (!hr_propagation_site_find(environment, freq_mhz, &site)) {
        fail_msg("no row for %s at %g MHz", environment, freq_mhz);
    }
    return site;
}

static void rows_serve_their_frequencies(void **state)
{
    (void)state;
    const struct {
        const char *environment;
        double freq_mhz, n, first_floor_db, sigma_db;
        bool extrapolated;
    } cases[] = {
        {"office", 868.0, 33.0, 9.0, 10.0, false},      {"Office", 915.0, 33.0, 9.0, 10.0, false},
        {"office", 1499.9, 33.0, 9.0, 10.0, true},      {"office", 1500.0, 30.0, 15.0, 10.0, true},
        {"office", 2450.0, 30.0, 14.0, 10.0, false},    {"office", 5200.0, 31.0, 16.0, 12.0, false},
        {"residential", 868.0, 28.0, 4.0, 8.0, true},   {"residential", 2450.0, 28.0, 10.0, 8.0, false},
        {"house", 2450.0, 28.0, 5.0, 8.0, false},       {"commercial", 2450.0, 22.0, 6.0, 10.0, true},
        {"residential", 6000.0, 30.0, 13.0, 8.0, true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        const hr_site_row site = site_at(cases[i].environment, cases[i].freq_mhz);
        assert_false(site.abg);
        check_near(site.n, cases[i].n, 0.0);
        check_near(site.floors_db[0], cases[i].first_floor_db, 0.0);
        check_near(site.sigma_db, cases[i].sigma_db, 0.0);
        assert_int_equal(site.extrapolated, cases[i].extrapolated);
    }
}

/* Every name has a row that can be used, from one end of the band to the other. */
static void every_name_has_usable_rows(void **state)
{
    (void)state;
    size_t names = 0;
    for (; hr_propagation_site_name(names) != NULL; names++) {
        for (double freq_mhz = 300.0; freq_mhz <= 6000.0; freq_mhz += 50.0) {
            const hr_site_row site = site_at(hr_propagation_site_name(names), freq_mhz);
            assert_string_equal(site.environment, hr_propagation_site_name(names));
            assert_true(site.sigma_db > 0.0 && site.sigma_db < 20.0);
            double before = -1.0;
            for (unsigned floors = 0; floors <= 8; floors++) {
                const double db = hr_propagation_site_db(&site, freq_mhz, 23.0, floors);
                assert_true(db > 20.0 && db < 250.0);
                assert_true(db > before || site.abg);
                before = db;
            }
        }
    }
    assert_int_equal(names, 10);
    hr_site_row site;
    assert_false(hr_propagation_site_find("castle", 915.0, &site));
    assert_false(hr_propagation_site_find(NULL, 915.0, &site));
}

/* P.1238 prints one number at 2.4 and 5.2 GHz: it is taken for each floor. */
static void one_number_counts_for_each_floor(void **state)
{
    (void)state;
    const char *const names[] = {"office", "residential", "house"};
    const double freqs[] = {2450.0, 5200.0};
    for (size_t n = 0; n < 3; n++) {
        for (size_t f = 0; f < 2; f++) {
            const hr_site_row site = site_at(names[n], freqs[f]);
            for (unsigned floors = 1; floors <= 6; floors++) {
                check_near(hr_propagation_site_floors_db(&site, floors), floors * site.floors_db[0], 1e-9);
            }
        }
    }
}

static void floors_go_on_by_the_last_step(void **state)
{
    (void)state;
    const hr_site_row office = site_at("office", 915.0);
    check_near(hr_propagation_site_floors_db(&office, 0), 0.0, 0.0);
    check_near(hr_propagation_site_floors_db(&office, 3), 24.0, 0.0);
    check_near(hr_propagation_site_floors_db(&office, 5), 34.0, 0.0);
    const hr_site_row corridor = site_at("corridor-los", 915.0);
    assert_true(corridor.slope_only);
    check_near(hr_propagation_site_floors_db(&corridor, 2), 0.0, 0.0);
    assert_false(site_at("office-nlos", 915.0).slope_only);
}

static void never_far_below_free_space(void **state)
{
    (void)state;
    const hr_site_row hall = site_at("corridor-los", 915.0);
    /* the row alone falls below free space far out */
    assert_true(hr_propagation_abg_db(915.0, hall.alpha, hall.beta, hall.gamma, 900.0) <
                hr_propagation_free_space_db(915.0, 900.0) - 5.0);
    check_near(hr_propagation_site_db(&hall, 915.0, 900.0, 0), hr_propagation_free_space_db(915.0, 900.0) - 5.0, 1e-9);
    for (size_t i = 0; hr_propagation_site_name(i) != NULL; i++) {
        const hr_site_row site = site_at(hr_propagation_site_name(i), 2450.0);
        double before = 0.0;
        for (double d = 0.0; d < 400.0; d += 0.37) {
            const double db = hr_propagation_site_db(&site, 2450.0, d, 0);
            assert_true(db >= hr_propagation_free_space_db(2450.0, fmax(d, 1.0)) - 5.0 - 1e-9);
            assert_true(db >= before);
            before = db;
        }
        assert_true(isnan(hr_propagation_site_db(&site, 2450.0, -1.0, 0)));
    }
}

/* Fed in MHz the formula would give about 100 dB at 1 m. */
static void abg_takes_megahertz_outside_and_gigahertz_inside(void **state)
{
    (void)state;
    check_near(hr_propagation_abg_db(2400.0, 1.46, 34.62, 2.03, 1.0), hr_propagation_free_space_db(2400.0, 1.0), 3.0);
    assert_true(isnan(hr_propagation_abg_db(2400.0, 1.46, 34.62, 2.03, 0.0)));
    assert_true(isnan(hr_propagation_abg_db(0.0, 1.46, 34.62, 2.03, 1.0)));
}

static void environment_follows_the_frequency(void **state)
{
    (void)state;
    assert_string_equal(hr_propagation_site_default(868.0), "office");
    assert_string_equal(hr_propagation_site_default(1499.0), "office");
    assert_string_equal(hr_propagation_site_default(1500.0), "residential");
    assert_string_equal(hr_propagation_site_default(2450.0), "residential");
}

static void other_formulas_have_domains(void **state)
{
    (void)state;
    assert_true(isnan(hr_propagation_p1238_db(0.0, 30.0, 10.0, 0.0)));
    assert_true(isnan(hr_propagation_p1238_db(900.0, 30.0, -1.0, 0.0)));
    check_near(hr_propagation_p1238_db(900.0, 30.0, 0.2, 0.0), hr_propagation_p1238_db(900.0, 30.0, 1.0, 0.0), 0.0);
    assert_true(isnan(hr_propagation_inh_los_db(900.0, 0.0)));
    assert_true(isnan(hr_propagation_inh_nlos_db((double)NAN, 5.0)));
    assert_true(isnan(hr_propagation_tr38901_material_db((hr_tr38901_material)9, 900.0)));
    assert_true(isnan(hr_propagation_tr38901_material_db(HR_TR_WOOD, 0.0)));
    assert_true(isnan(hr_propagation_one_slope_db(40.0, 2.0, -1.0)));
    check_near(hr_propagation_one_slope_db(40.0, 2.0, 0.3), 40.0, 0.0);
    check_near(hr_propagation_corridor_gain_db(0.4), 0.0, 0.0);
    check_near(hr_propagation_corridor_gain_db(10.0), 3.7, 1e-12);
    assert_true(isnan(hr_propagation_corridor_gain_db(-1.0)));
}

static void measured_rows_end(void **state)
{
    (void)state;
    hr_measured row;
    size_t count = 0;
    for (; hr_propagation_measured(count, &row); count++) {
        assert_true(row.id[0] != '\0' && row.place[0] != '\0' && row.source[0] != '\0');
        assert_true(row.value > 1.0 && row.value < (row.is_floors ? 50.0 : 6.0));
        assert_true(row.freq_mhz > 300.0);
    }
    assert_true(count > 20);
    assert_false(hr_propagation_measured(SIZE_MAX, &row));
}

const struct CMUnitTest site_tests[] = {
    cmocka_unit_test(rows_serve_their_frequencies),
    cmocka_unit_test(every_name_has_usable_rows),
    cmocka_unit_test(one_number_counts_for_each_floor),
    cmocka_unit_test(floors_go_on_by_the_last_step),
    cmocka_unit_test(never_far_below_free_space),
    cmocka_unit_test(abg_takes_megahertz_outside_and_gigahertz_inside),
    cmocka_unit_test(environment_follows_the_frequency),
    cmocka_unit_test(other_formulas_have_domains),
    cmocka_unit_test(measured_rows_end),
};
const size_t site_test_count = sizeof site_tests / sizeof site_tests[0];
