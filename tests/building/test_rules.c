/*
 * test_rules.c - powers held against the radio limits table.
 * Figures: 47 CFR 15.247 (b)(3), (b)(4): 1 W conducted, less what the antenna
 * gains over 6 dBi; EN 300 220-2 annex B: 25 mW ERP at 868.0-868.6 MHz.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_test.h"

static reading at(const char *mhz, const char *rule, const char *rest)
{
    char text[1024];
    (void)snprintf(text, sizeof text,
                   "[property]\nname = T\nlength_unit = m\n[radio]\nfrequency_mhz = %s\nrule = %s\n%s\n" STOREY, mhz,
                   rule, rest);
    return read_text(text);
}

static void test_within_limits(void **state)
{
    (void)state;
    reading r = at("915", "47CFR15.247", "[gateway]\ntx_power_dbm = 30\nantenna_gain_dbi = 6");
    assert_int_equal(r.status, HR_OK);
    assert_string_equal(r.b->radio.rule, "47CFR15.247");
    expect_no_note(&r, "radio limit");
    done(&r);
    r = at("868.3", "EN300220-868.0", "[gateway]\ntx_power_dbm = 13.9\nantenna_gain_dbi = 2.15");
    assert_int_equal(r.status, HR_OK);
    expect_no_note(&r, "radio limit");
    done(&r);
}

static void test_radiated_power(void **state)
{
    (void)state;
    reading r = at("915", "47CFR15.247", "[gateway]\ntx_power_dbm = 30\nantenna_gain_dbi = 6.5");
    assert_int_equal(r.status, HR_OK);
    expect_note(&r, "test.ini:7: radio limit exceeded: [gateway] radiates 36.5 dBm EIRP, 47CFR15.247 allows 36 dBm");
    done(&r);
    /* 14 dBm into 2.15 dBi is 14 dBm ERP: over 25 mW = 13.979 dBm */
    r = at("868.3", "EN300220-868.0", "[gateway]\ntx_power_dbm = 14.5\nantenna_gain_dbi = 2.15");
    expect_note(&r, "[gateway] radiates 14.5 dBm ERP, EN300220-868.0 allows 13.98 dBm");
    done(&r);
}

static void test_conducted_power(void **state)
{
    (void)state;
    reading r = at("915", "47CFR15.247", "[gateway]\ntx_power_dbm = 31\nantenna_gain_dbi = 2");
    expect_note(&r, "[gateway] has 31 dBm at the antenna port, 47CFR15.247 allows 30 dBm with this antenna");
    done(&r);
}

static void test_devices_are_checked(void **state)
{
    (void)state;
    reading r = at("915", "47CFR15.249",
                   "[device wall]\ntx_power_dbm = -5\npower = mains\nrelays = no\n"
                   "[device unit]\ntx_power_dbm = 10\npower = mains\nrelays = no");
    assert_int_equal(r.status, HR_OK);
    expect_note(&r, "[gateway] radiates 14 dBm EIRP");
    expect_note(&r, "test.ini:11: radio limit exceeded: [device unit] radiates 10 dBm EIRP");
    expect_no_note(&r, "[device wall]");
    done(&r);
    r = at("915", "47CFR15.249", ""); /* the implied kind has a power too */
    expect_note(&r, "[device wall] radiates 10 dBm EIRP");
    done(&r);
}

static void test_unknown_rule(void **state)
{
    (void)state;
    reading r = at("915", "47CFR15.274", "");
    assert_int_equal(r.status, HR_ERR_INPUT);
    assert_int_equal(r.err.line, 6);
    assert_non_null(strstr(r.err.text, "no such row in the radio limits table, did you mean 47CFR15.247?"));
    done(&r);
    r = at("915", "anything goes", "");
    assert_int_equal(r.status, HR_ERR_INPUT);
    assert_non_null(strstr(r.err.text, "known are 47CFR15.247,"));
    done(&r);
}

static void test_no_band(void **state)
{
    (void)state;
    reading r = at("868.3", "47CFR15.247", "");
    assert_int_equal(r.status, HR_ERR_INPUT);
    assert_int_equal(r.err.line, 6);
    assert_non_null(strstr(r.err.text, "rule = 47CFR15.247: this rule has no band at 868.3 MHz"));
    done(&r);
    /* read without a frequency: nothing to hold the rule against */
    const hr_building_options lenient = {.lenient = true};
    r = read_with("[property]\nname = T\nlength_unit = m\n[radio]\nrule = EN300328\n" STOREY, &lenient);
    assert_int_equal(r.status, HR_OK);
    done(&r);
}

const struct CMUnitTest rule_tests[] = {
    cmocka_unit_test(test_within_limits),   cmocka_unit_test(test_radiated_power),
    cmocka_unit_test(test_conducted_power), cmocka_unit_test(test_devices_are_checked),
    cmocka_unit_test(test_unknown_rule),    cmocka_unit_test(test_no_band)};
const size_t rule_test_count = COUNT_OF(rule_tests);
