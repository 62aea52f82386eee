/*
 * test_sections.c - unknown and repeated names, kinds and what they join,
 * own materials, --set.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_test.h"

static void test_unknown_sections(void **state)
{
    (void)state;
    refuse(HEAD "[gatway]\n" STOREY, HR_ERR_INPUT, 6, "unknown section [gatway], did you mean [gateway]?");
    refuse(HEAD "[xyzzy]\n" STOREY, HR_ERR_INPUT, 6, "known are property, radio");
    refuse(HEAD "[]\n" STOREY, HR_ERR_INPUT, 6, "unknown section");
    refuse(HEAD "[device]\n" STOREY, HR_ERR_INPUT, 6, "[device NAME] was expected");
    refuse(HEAD "[gateway one]\n" STOREY, HR_ERR_INPUT, 6, "[gateway] was expected");
}

static void test_unknown_keys(void **state)
{
    (void)state;
    refuse(HEAD "frequency_hz = 3\n" STOREY, HR_ERR_INPUT, 6, "did you mean frequency_mhz?");
    refuse(HEAD "mount_height = 3\n" STOREY, HR_ERR_INPUT, 6, "it belongs to [gateway]");
    refuse(HEAD "colour = red\n" STOREY, HR_ERR_INPUT, 6, "unknown key colour in [radio]");
    refuse(HEAD "[device wall]\npowr = mains\n" STOREY, HR_ERR_INPUT, 7, "did you mean power?");
}

static void test_given_twice(void **state)
{
    (void)state;
    refuse(HEAD "exponent = 2\nexponent = 3\n" STOREY, HR_ERR_INPUT, 7,
           "exponent stands twice in [radio], first in line 6");
    refuse(HEAD "exponent = 2\nEXPONENT = 2\n" STOREY, HR_ERR_INPUT, 7, "stands twice");
    refuse(HEAD "[gateway]\n[Gateway]\n" STOREY, HR_ERR_INPUT, 7, "section [gateway] stands twice, first in line 6");
    refuse(HEAD "[device wall]\n[device   WALL]\n" STOREY, HR_ERR_INPUT, 7, "stands twice, first in line 6");
    /* the same key in two sections is two keys */
    reading r = reads(HEAD "exponent = 2\n[gateway]\nmount_height = 2\n[device wall]\nmount_height = 1\npower = mains\n"
                           "relays = no\n" STOREY);
    done(&r);
}

static void test_only_written_kinds_exist(void **state)
{
    (void)state;
    reading r = reads(HEAD "[device sensor]\npower = battery\nrelays = no\n" STOREY);
    assert_int_equal(r.b->kind_count, 1);
    assert_string_equal(r.b->kinds[0].name, "sensor");
    assert_int_equal(r.b->device_count, 2);
    assert_string_equal(r.b->devices[0].name, "01/sensor");
    done(&r);
}

#define KIND(NAME, JOINS) "[device " NAME "]\npower = mains\nrelays = no\njoins = " JOINS "\n"

static void test_joins(void **state)
{
    (void)state;
    reading r = reads(HEAD KIND("unit", "wall") KIND("wall", "gateway") KIND("sensor", "unit") STOREY);
    assert_int_equal(r.b->kinds[0].joins, 1);
    assert_int_equal(r.b->kinds[1].joins, HR_JOINS_GATEWAY);
    assert_int_equal(r.b->kinds[2].joins, 0);
    done(&r);
    refuse(HEAD KIND("unit", "wal") KIND("wall", "gateway") STOREY, HR_ERR_INPUT, 9, "did you mean wall?");
    refuse(HEAD KIND("unit", "getaway") STOREY, HR_ERR_INPUT, 9, "did you mean gateway?");
    refuse(HEAD KIND("unit", "elsewhere") STOREY, HR_ERR_INPUT, 9, "no such kind of device; gateway or");
    refuse(HEAD KIND("unit", "unit") STOREY, HR_ERR_INPUT, 9, "cannot join itself");
    refuse(HEAD KIND("a", "b") KIND("b", "a") STOREY, HR_ERR_INPUT, 9, "circle");
    refuse(HEAD KIND("a", "b") KIND("b", "c") KIND("c", "b") STOREY, HR_ERR_INPUT, 9, "circle");
}

static void test_kind_names(void **state)
{
    (void)state;
    refuse(HEAD KIND("two words", "gateway") STOREY, HR_ERR_INPUT, 6, "letters, digits");
    refuse(HEAD KIND("gateway", "gateway") STOREY, HR_ERR_INPUT, 6, "cannot be called gateway");
    refuse(HEAD KIND("a/b", "gateway") STOREY, HR_ERR_INPUT, 6, "letters, digits");
}

static void test_too_many_kinds(void **state)
{
    (void)state;
    char text[4096] = HEAD;
    for (int i = 0; i < (int)HR_MAX_KINDS + 1; i++) {
        (void)snprintf(text + strlen(text), sizeof text - strlen(text), "[device k%d]\npower = mains\nrelays = no\n",
                       i);
    }
    refuse(text, HR_ERR_LIMIT, 6 + 3 * (int)HR_MAX_KINDS, "more [device ...] sections than the limit of 26");
}

static void test_relays_on_battery(void **state)
{
    (void)state;
    reading r = reads(HEAD "[device wall]\npower = battery\nrelays = yes\n" STOREY);
    expect_note(&r, "[device wall] relays on battery: confirm with the maker; battery life falls");
    done(&r);
    r = reads(HEAD "[device wall]\npower = battery\nrelays = no\n[device unit]\npower = mains\nrelays = yes\n" STOREY);
    expect_no_note(&r, "confirm with the maker");
    done(&r);
}

static void test_acceptance_levels(void **state)
{
    (void)state;
    refuse(HEAD "[device wall]\npower = mains\nrelays = no\naccept_pass_db = 5\n" STOREY, HR_ERR_INPUT, 6,
           "accept_pass_db is below accept_fail_db");
}

static void test_own_materials(void **state)
{
    (void)state;
    reading r =
        reads(HEAD "[material party-wall]\nloss_db = 6\nspread_db = 2\n[material brick-100]\nloss_db = 11\n" STOREY);
    const size_t own = hr_materials_find(r.b->materials, "party-wall");
    assert_true(own != SIZE_MAX);
    check_near(hr_materials_loss_db(r.b->materials, own, HR_USE_WALL, NULL), 6.0, 0.0);
    check_near(hr_materials_spread_db(r.b->materials, own, HR_USE_WALL), 2.0, 0.0);
    const size_t brick = hr_materials_find(r.b->materials, "brick-100");
    check_near(hr_materials_loss_db(r.b->materials, brick, HR_USE_WALL, NULL), 11.0, 0.0);
    check_near(hr_materials_spread_db(r.b->materials, brick, HR_USE_WALL), 3.3, 1e-12); /* 0.3 of the loss */
    done(&r);
    refuse(HEAD "[material x]\nspread_db = 2\n" STOREY, HR_ERR_INPUT, 6, "[material x] has no loss_db");
    refuse(HEAD "[material x]\nloss_db = -1\n" STOREY, HR_ERR_INPUT, 7, "0 to 200 dB");
}

static reading set_one(const char *text, const char *set)
{
    const char *const sets[] = {set};
    const hr_building_options options = {.sets = sets, .set_count = 1};
    return read_with(text, &options);
}

static void refuse_set(const char *set, hr_status status, const char *words)
{
    reading r = set_one(HEAD "[device unit]\npower = mains\nrelays = no\n[storey 2-8]\nplan = two.svg\n", set);
    if (r.status != status || strcmp(r.err.file, "--set") != 0 || r.err.line != 0 ||
        strstr(r.err.text, words) == NULL) {
        fail_msg("--set '%s' gave %s, %s: %s\nexpected words: %s", set, hr_status_name(r.status), r.err.file,
                 r.err.text, words);
    }
    done(&r);
}

static void test_sets_replace(void **state)
{
    (void)state;
    reading r = set_one(HEAD "exponent = 2\n" STOREY, "radio.exponent=2.5");
    assert_int_equal(r.status, HR_OK);
    check_near(r.b->radio.exponent, 2.5, 0.0);
    done(&r);
    /* also a value that the file has wrong */
    r = set_one(HEAD "exponent = two\n" STOREY, "radio.exponent = 2.5");
    assert_int_equal(r.status, HR_OK);
    done(&r);
    r = set_one(HEAD "[storey 2-8]\nplan = two.svg\n", "storey 2-8.floor_to_floor=3.4");
    assert_int_equal(r.status, HR_OK);
    check_near(r.b->storeys[6].elevation_m, 6 * 3.4, 1e-9);
    done(&r);
    r = set_one(HEAD "[device wall]\npower = mains\nrelays = no\n" STOREY, "device wall.mount_height=1.3");
    assert_int_equal(r.status, HR_OK);
    check_near(r.b->kinds[0].radio.mount_height_m, 1.3, 0.0);
    done(&r);
}

static void test_sets_make_sections(void **state)
{
    (void)state;
    reading r = set_one(HEAD STOREY, "gateway.mount_height=2.6");
    assert_int_equal(r.status, HR_OK);
    check_near(r.b->gateway_kind.radio.mount_height_m, 2.6, 0.0);
    done(&r);
    r = set_one(HEAD STOREY, "material brick-100.loss_db=12.5");
    assert_int_equal(r.status, HR_OK);
    check_near(hr_materials_loss_db(r.b->materials, hr_materials_find(r.b->materials, "brick-100"), HR_USE_WALL, NULL),
               12.5, 0.0);
    done(&r);
    /* the implied kind can be set without power and relays */
    r = set_one(HEAD STOREY, "device wall.mount_height=1.3");
    assert_int_equal(r.status, HR_OK);
    assert_true(r.b->kinds[0].implied);
    assert_int_equal(r.b->kinds[0].power, HR_POWER_BATTERY);
    check_near(r.b->kinds[0].radio.mount_height_m, 1.3, 0.0);
    done(&r);
    /* a name with a dot: the key stands after the last one */
    r = set_one(HEAD "[material b.1]\nloss_db = 3\n" STOREY, "material b.1.loss_db=4");
    assert_int_equal(r.status, HR_OK);
    done(&r);
}

static void test_sets_last_wins(void **state)
{
    (void)state;
    const char *const sets[] = {"radio.exponent=2.5", "radio.exponent=2.7"};
    const hr_building_options options = {.sets = sets, .set_count = 2};
    reading r = read_with(HEAD STOREY, &options);
    assert_int_equal(r.status, HR_OK);
    check_near(r.b->radio.exponent, 2.7, 0.0);
    done(&r);
}

static void test_sets_refused(void **state)
{
    (void)state;
    refuse_set("exponent=2", HR_ERR_INPUT, "section.key=value was expected");
    refuse_set("radio.exponent", HR_ERR_INPUT, "section.key=value was expected");
    refuse_set("", HR_ERR_INPUT, "section.key=value was expected");
    refuse_set("radio.exponent=", HR_ERR_INPUT, "has no value");
    refuse_set("radio.exponent=9", HR_ERR_INPUT, "a number from 1 to 6");
    refuse_set("radio.exponnet=2", HR_ERR_INPUT, "did you mean exponent?");
    refuse_set("rdio.exponent=2", HR_ERR_INPUT, "did you mean [radio]?");
    refuse_set("radio.max_hops=30", HR_ERR_INPUT, "a whole number from 1 to 20");
    refuse_set("storey 3.floor_to_floor=3", HR_ERR_INPUT, "there is [storey 2-8]");
    refuse_set("device wall.mount_height=1.3", HR_ERR_INPUT, "there is [device unit]");
    refuse_set("material x.spread_db=1", HR_ERR_INPUT, "has no loss_db");
    refuse_set("radio.rule=\xFF", HR_ERR_INPUT, "section.key=value was expected");
}

static void test_too_many_sections(void **state)
{
    (void)state;
    hr_text text = {0};
    hr_text_add(&text, HEAD);
    for (int i = 0; i < (int)HR_MAX_SECTIONS; i++) {
        hr_text_addf(&text, "[material m%d]\n", i);
    }
    refuse(text.bytes, HR_ERR_LIMIT, 5 + (int)HR_MAX_SECTIONS - 1, "more sections than the limit");
    hr_text_free(&text);
    hr_text_add(&text, HEAD "[drawing]\n");
    for (int i = 0; i < (int)HR_MAX_KEYS; i++) {
        hr_text_add(&text, "map = class \"a\" -> walls: brick-100\n");
    }
    refuse(text.bytes, HR_ERR_LIMIT, 6 + (int)HR_MAX_KEYS - 2, "more keys than the limit");
    hr_text_free(&text);
}

const struct CMUnitTest section_tests[] = {cmocka_unit_test(test_unknown_sections),
                                           cmocka_unit_test(test_unknown_keys),
                                           cmocka_unit_test(test_given_twice),
                                           cmocka_unit_test(test_only_written_kinds_exist),
                                           cmocka_unit_test(test_joins),
                                           cmocka_unit_test(test_kind_names),
                                           cmocka_unit_test(test_too_many_kinds),
                                           cmocka_unit_test(test_relays_on_battery),
                                           cmocka_unit_test(test_acceptance_levels),
                                           cmocka_unit_test(test_own_materials),
                                           cmocka_unit_test(test_sets_replace),
                                           cmocka_unit_test(test_sets_make_sections),
                                           cmocka_unit_test(test_sets_last_wins),
                                           cmocka_unit_test(test_sets_refused),
                                           cmocka_unit_test(test_too_many_sections)};
const size_t section_test_count = COUNT_OF(section_tests);
