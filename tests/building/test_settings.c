/*
 * test_settings.c - the list of settings in force.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_test.h"

static const hr_setting *setting(const reading *r, const char *section, const char *key)
{
    for (size_t i = 0; i < hr_building_setting_count(r->b); i++) {
        const hr_setting *s = hr_building_setting(r->b, i);
        if (strcmp(s->section, section) == 0 && strcmp(s->key, key) == 0) {
            return s;
        }
    }
    return NULL;
}

static void expect_setting(const reading *r, const char *section, const char *key, const char *value, const char *unit,
                           bool is_default)
{
    const hr_setting *s = setting(r, section, key);
    if (s == NULL) {
        fail_msg("[%s] %s is not listed", section, key);
    }
    assert_string_equal(s->value, value);
    assert_string_equal(s->unit, unit);
    assert_int_equal(s->is_default, is_default);
    assert_true(s->reason != NULL && (!is_default || s->reason[0] != '\0'));
}

static void test_defaults_and_values(void **state)
{
    (void)state;
    reading r = reads(HEAD "exponent = 2.4\n" STOREY);
    expect_setting(&r, "property", "length_unit", "m", "", false);
    expect_setting(&r, "radio", "frequency_mhz", "915", "MHz", false);
    expect_setting(&r, "radio", "exponent", "2.4", "", false);
    expect_setting(&r, "radio", "minimum_margin_db", "10", "dB", true);
    expect_setting(&r, "radio", "noise_rise_db", "3", "dB", true);
    expect_setting(&r, "radio", "range_limit", "30.48", "m", true);
    expect_setting(&r, "gateway", "mount_height", "2.1", "m", true);
    expect_setting(&r, "device wall", "power", "battery", "", true);
    expect_setting(&r, "device wall", "relays", "no", "", true);
    expect_setting(&r, "device wall", "mount_height", "1.2", "m", true);
    expect_setting(&r, "storey 1", "slab", "concrete-200", "", true);
    expect_setting(&r, "storey 1", "plan", "two.svg", "", false);
    expect_setting(&r, "drawing", "wall_pairing", "off", "m", true);
    assert_null(setting(&r, "radio", "rule")); /* not in force */
    assert_null(setting(&r, "estimate", "seed"));
    assert_null(setting(&r, "fitted", "exponent"));
    expect_setting(&r, "gateway", "cable_limit", "90", "m", true);
    assert_null(hr_building_setting(r.b, hr_building_setting_count(r.b)));
    assert_string_equal(setting(&r, "radio", "minimum_margin_db")->reason, "assumed");
    assert_string_equal(setting(&r, "radio", "exponent")->reason, "property file");
    done(&r);
}

static void test_each_setting_once(void **state)
{
    (void)state;
    reading r = reads(HEAD "[device unit]\npower = mains\nrelays = no\nmount_height = 0.4\n" STOREY);
    for (size_t i = 0; i < hr_building_setting_count(r.b); i++) {
        const hr_setting *s = hr_building_setting(r.b, i);
        assert_ptr_equal(setting(&r, s->section, s->key), s);
        assert_non_null(s->value);
    }
    assert_null(setting(&r, "device wall", "power"));
    expect_setting(&r, "device unit", "mount_height", "0.4", "m", false);
    done(&r);
}

static void test_lengths_in_feet(void **state)
{
    (void)state;
    reading r = reads(
        "[property]\nname = T\nlength_unit = ft\n[radio]\nfrequency_mhz = 2450\n[gateway]\nmount_height = 8\n" STOREY);
    expect_setting(&r, "radio", "range_limit", "100", "ft", true);
    expect_setting(&r, "gateway", "mount_height", "8", "ft", false);
    expect_setting(&r, "device wall", "mount_height", "3.937", "ft", true);
    expect_setting(&r, "radio", "noise_rise_db", "10", "dB", true);
    done(&r);
}

static void test_sets_are_named(void **state)
{
    (void)state;
    const char *const sets[] = {"radio.exponent=2.7", "device wall.mount_height=1.4"};
    const hr_building_options options = {.sets = sets, .set_count = 2};
    reading r = read_with(HEAD STOREY, &options);
    assert_int_equal(r.status, HR_OK);
    assert_string_equal(setting(&r, "radio", "exponent")->reason, "--set");
    expect_setting(&r, "device wall", "mount_height", "1.4", "m", false);
    expect_setting(&r, "device wall", "power", "battery", "", true);
    expect_setting(&r, "device wall", "sensitivity_dbm", "-100", "dBm", true);
    done(&r);
}

const struct CMUnitTest setting_tests[] = {
    cmocka_unit_test(test_defaults_and_values), cmocka_unit_test(test_each_setting_once),
    cmocka_unit_test(test_lengths_in_feet), cmocka_unit_test(test_sets_are_named)};
const size_t setting_test_count = COUNT_OF(setting_tests);
