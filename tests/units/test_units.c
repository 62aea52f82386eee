/*
 * test_units.c - dB, mW, wavelengths, feet, SVG lengths.
 *
 * SPDX-License-Identifier: MIT
 */
#include "check.h"
#include "hr_units.h"

static void powers_and_levels(void **state)
{
    (void)state;
    check_near(hr_units_dbm_from_mw(1.0), 0.0, 0.0);
    check_near(hr_units_dbm_from_mw(1000.0), 30.0, 1e-12); /* 47 CFR 15.247(b)(3): 1 W is 30 dBm */
    check_near(hr_units_dbm_from_mw(0.5), -3.0,
               0.05); /* IEEE 802.15.4-2006: a transmitter gives at least -3 dBm, 0.5 mW */
    check_near(hr_units_mw_from_dbm(20.0), 100.0, 1e-11); /* EN 300 328: 20 dBm is 100 mW (from memory) */
    check_near(hr_units_mw_from_dbm(-106.58), 2.198e-11, 0.001e-11);
    check_near(hr_units_ratio_from_db(3.0), 1.99526231, 1e-8);
    check_near(hr_units_db_from_ratio(1.6409), 2.1508, 5e-5); /* gain of a half-wave dipole */
    for (double db = -150.0; db <= 60.0; db += 0.7) {
        check_near(hr_units_dbm_from_mw(hr_units_mw_from_dbm(db)), db, 1e-11);
        check_near(hr_units_db_from_ratio(hr_units_ratio_from_db(db)), db, 1e-11);
    }
    assert_true(isinf(hr_units_dbm_from_mw(0.0)) && hr_units_dbm_from_mw(0.0) < 0.0);
    assert_true(isnan(hr_units_mw_from_dbm((double)NAN)));
    assert_true(isnan(hr_units_dbm_from_mw((double)NAN)));
    assert_true(isnan(hr_units_ratio_from_db((double)NAN)));
    assert_true(isnan(hr_units_db_from_ratio((double)NAN)));
}

static void radiated_power_over_a_dipole(void **state)
{
    (void)state;
    /* 868.0-868.6 MHz: 25 mW ERP; 869.4-869.65 MHz: 500 mW ERP. Sub-bands of EN 300 220-2
     * (from memory); over an isotropic radiator that is 16.13 and 29.14 dBm EIRP. */
    check_near(hr_units_dbm_from_mw(25.0) + HR_DIPOLE_GAIN_DBI, 16.13, 0.005);
    check_near(hr_units_dbm_from_mw(500.0) + HR_DIPOLE_GAIN_DBI, 29.14, 0.005);
    check_near(hr_units_db_from_ratio(1.6409), HR_DIPOLE_GAIN_DBI, 0.005);
}

static void losses_in_parallel(void **state)
{
    (void)state;
    check_near(hr_units_parallel_loss_db(10.0, 10.0), 10.0 - 3.0103, 5e-5); /* twice the power */
    check_near(hr_units_parallel_loss_db(6.0, 20.0), -10.0 * log10(pow(10.0, -0.6) + pow(10.0, -2.0)), 1e-12);
    check_near(hr_units_parallel_loss_db(20.0, 6.0), hr_units_parallel_loss_db(6.0, 20.0), 0.0);
    check_near(hr_units_parallel_loss_db(5000.0, 5000.0), 5000.0 - 3.0103, 5e-5); /* no underflow */
    check_near(hr_units_parallel_loss_db(12.5, 9000.0), 12.5, 0.0);
    check_near(hr_units_parallel_loss_db(12.5, (double)INFINITY), 12.5, 0.0); /* the other way is shut */
    assert_true(isinf(hr_units_parallel_loss_db((double)INFINITY, (double)INFINITY)));
    assert_true(isnan(hr_units_parallel_loss_db((double)NAN, 3.0)));
    assert_true(isnan(hr_units_parallel_loss_db(3.0, (double)NAN)));
    assert_true(isnan(hr_units_parallel_loss_db((double)NAN, (double)INFINITY)));
}

static void wavelengths(void **state)
{
    (void)state;
    check_near(hr_units_wavelength_m(299.792458), 1.0, 1e-15); /* SI: c = 299 792 458 m/s, exact */
    check_near(hr_units_wavelength_m(915.0), 0.327642, 5e-7);
    check_near(hr_units_wavelength_m(868.3), 0.345264, 5e-7);
    check_near(hr_units_wavelength_m(2400.0), 0.125, 1e-4); /* the usual 12.5 cm */
    assert_true(isnan(hr_units_wavelength_m((double)NAN)));
}

static void thermal_noise(void **state)
{
    (void)state;
    /* ITU-R P.372, 2: 10 log kT0 is -204 dBW/Hz, that is -174 dBm/Hz, rounded (from memory) */
    check_near(hr_units_thermal_noise_dbm(1.0, 290.0), -174.0, 0.5);
    /* by the SI's exact k = 1.380649e-23 J/K */
    check_near(hr_units_thermal_noise_dbm(1.0, 290.0), -173.975, 5e-4);
    check_near(hr_units_thermal_noise_dbm(300e3, 290.0), -119.20, 0.005);
    check_near(hr_units_thermal_noise_dbm(600e3, 290.0), -116.19, 0.005);
    check_near(hr_units_thermal_noise_dbm(2e6, 290.0), -110.96, 0.005);
    check_near(hr_units_thermal_noise_dbm(5e6, 290.0), -106.99, 0.005);
    assert_true(isnan(hr_units_thermal_noise_dbm((double)NAN, 290.0)));
    assert_true(isnan(hr_units_thermal_noise_dbm(1.0, (double)NAN)));
}

static void metres_and_feet(void **state)
{
    (void)state;
    hr_length_unit unit = HR_METRES;
    assert_true(hr_units_length_unit("ft", &unit));
    assert_int_equal(unit, HR_FEET);
    assert_true(hr_units_length_unit("m", &unit));
    assert_int_equal(unit, HR_METRES);
    assert_true(hr_units_length_unit("FT", &unit));
    assert_int_equal(unit, HR_FEET);
    assert_false(hr_units_length_unit("cm", &unit));
    assert_false(hr_units_length_unit("", &unit));
    assert_false(hr_units_length_unit("m ", &unit));
    assert_int_equal(unit, HR_FEET);
    assert_string_equal(hr_units_length_name(HR_FEET), "ft");
    assert_string_equal(hr_units_length_name(HR_METRES), "m");
    /* NIST SP 811, appendix B: 1 ft = 0.3048 m, exactly */
    check_near(hr_units_to_metres(1.0, HR_FEET), 0.3048, 0.0);
    check_near(hr_units_to_metres(100.0, HR_FEET), 30.48, 1e-14);
    check_near(hr_units_from_metres(0.3048, HR_FEET), 1.0, 0.0);
    check_near(hr_units_from_metres(1.0, HR_FEET), 3.280840, 5e-7); /* NIST SP 811, appendix B: 1 m = 3.280 840 ft */
    check_near(hr_units_to_metres(2.385, HR_METRES), 2.385, 0.0);
    check_near(hr_units_from_metres(2.385, HR_METRES), 2.385, 0.0);
    assert_true(isnan(hr_units_to_metres((double)NAN, HR_FEET)));
    /* what was given in millimetres comes back to the same millimetre */
    for (int mm = 0; mm < 30000; mm += 7) {
        char buf[HR_FIXED_MAX];
        const double feet = hr_units_from_metres(mm / 1000.0, HR_FEET);
        double back = 0.0;
        assert_true(hr_number_parse(hr_fixed(feet, 4, buf), &back));
        check_near(hr_units_to_metres(back, HR_FEET), mm / 1000.0, 0.0004);
    }
}

typedef struct length_case {
    const char *text;
    double value;
    hr_svg_unit unit;
} length_case;

static const length_case lengths[] = {
    {"12.5mm", 12.5, HR_SVG_MM},     {"210MM", 210.0, HR_SVG_MM}, {" 3cm ", 3.0, HR_SVG_CM},
    {"-2in", -2.0, HR_SVG_IN},       {"10", 10.0, HR_SVG_NUMBER}, {"10.", 10.0, HR_SVG_NUMBER},
    {".5px", 0.5, HR_SVG_PX},        {"12pt", 12.0, HR_SVG_PT},   {"6pc", 6.0, HR_SVG_PC},
    {"40q", 40.0, HR_SVG_Q},         {"40Q", 40.0, HR_SVG_Q},     {"1em", 1.0, HR_SVG_EM},
    {"1e1em", 10.0, HR_SVG_EM},      {"2ex", 2.0, HR_SVG_EX},     {"1E2", 100.0, HR_SVG_NUMBER},
    {"100%", 100.0, HR_SVG_PERCENT}, {"\t7px\n", 7.0, HR_SVG_PX},
};

static void svg_lengths(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof lengths / sizeof lengths[0]; i++) {
        double value = 99.0;
        hr_svg_unit unit = HR_SVG_PERCENT;
        if (!hr_units_svg_length(lengths[i].text, &value, &unit)) {
            fail_msg("'%s' is a length", lengths[i].text);
        }
        check_near(value, lengths[i].value, 0.0);
        assert_int_equal(unit, lengths[i].unit);
    }
    static const char *const no_lengths[] = {"",      " ",     "mm",    "12 mm", "12mmm", "12m",   "12mm 3",
                                             "1,5mm", "nanmm", "1e999", "12km",  "5% ;",  "0x5px", "auto"};
    for (size_t i = 0; i < sizeof no_lengths / sizeof no_lengths[0]; i++) {
        double value = 99.0;
        hr_svg_unit unit = HR_SVG_Q;
        if (hr_units_svg_length(no_lengths[i], &value, &unit)) {
            fail_msg("'%s' is no length", no_lengths[i]);
        }
        check_near(value, 99.0, 0.0);
        assert_int_equal(unit, HR_SVG_Q);
    }
}

static void svg_units_in_pixels(void **state)
{
    (void)state;
    /* CSS 2.1, 4.3.2: 1in = 2.54cm = 96px, 1pt = 1/72in, 1pc = 12pt; CSS Values and Units 3, 5.2: 1Q = 1/40cm */
    check_near(hr_units_svg_px(HR_SVG_IN), 96.0, 0.0);
    check_near(2.54 * hr_units_svg_px(HR_SVG_CM), 96.0, 1e-13);
    check_near(10.0 * hr_units_svg_px(HR_SVG_MM), hr_units_svg_px(HR_SVG_CM), 1e-13);
    check_near(72.0 * hr_units_svg_px(HR_SVG_PT), 96.0, 1e-13);
    check_near(hr_units_svg_px(HR_SVG_PC), 12.0 * hr_units_svg_px(HR_SVG_PT), 1e-13);
    check_near(40.0 * hr_units_svg_px(HR_SVG_Q), hr_units_svg_px(HR_SVG_CM), 1e-13);
    check_near(hr_units_svg_px(HR_SVG_PX), 1.0, 0.0);
    check_near(hr_units_svg_px(HR_SVG_NUMBER), 1.0, 0.0);
    /* depend on what surrounds them */
    check_near(hr_units_svg_px(HR_SVG_EM), 0.0, 0.0);
    check_near(hr_units_svg_px(HR_SVG_EX), 0.0, 0.0);
    check_near(hr_units_svg_px(HR_SVG_PERCENT), 0.0, 0.0);
    check_near(hr_units_svg_px((hr_svg_unit)99), 0.0, 0.0);
}

static void units_of_a_page(void **state)
{
    (void)state;
    static const hr_svg_unit page[] = {HR_SVG_MM, HR_SVG_CM, HR_SVG_Q, HR_SVG_IN, HR_SVG_PT, HR_SVG_PC};
    static const hr_svg_unit other[] = {HR_SVG_NUMBER, HR_SVG_PX, HR_SVG_EM, HR_SVG_EX, HR_SVG_PERCENT};
    for (size_t i = 0; i < sizeof page / sizeof page[0]; i++) {
        assert_true(hr_units_svg_is_physical(page[i]));
    }
    for (size_t i = 0; i < sizeof other / sizeof other[0]; i++) {
        assert_false(hr_units_svg_is_physical(other[i]));
    }
    assert_false(hr_units_svg_is_physical((hr_svg_unit)99));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(powers_and_levels),  cmocka_unit_test(radiated_power_over_a_dipole),
        cmocka_unit_test(losses_in_parallel), cmocka_unit_test(wavelengths),
        cmocka_unit_test(thermal_noise),      cmocka_unit_test(metres_and_feet),
        cmocka_unit_test(svg_lengths),        cmocka_unit_test(svg_units_in_pixels),
        cmocka_unit_test(units_of_a_page),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
