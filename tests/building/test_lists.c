/*
 * test_lists.c - gateways from a list.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_test.h"

#define COLUMNS "id,storey,x,y,mount_height\n"

static hr_status list(reading *r, const char *text)
{
    return hr_building_parse_gateways(r->b, "list.csv", text, strlen(text), r->notes, &r->err);
}

static void test_reads_a_list(void **state)
{
    (void)state;
    reading r = reads(HEAD "[storey 1-2]\nplan = spots.svg\nfloor_to_floor = 4\n");
    assert_int_equal(r.b->gateway_count, 4);
    assert_int_equal(list(&r, "# length_unit = m\n# by hand\nnetwork_id,y,x,storey,id,mount_height,spot\n"
                              "N-1,6.1,2.5,2,GW1,2.6,riser-A@2\n,6,3,1,GW2,2.1,\n"),
                     HR_OK);
    assert_int_equal(r.b->gateway_count, 2); /* in place of the marked ones */
    const hr_gateway *g = r.b->gateways;
    assert_string_equal(g[0].id, "GW1");
    assert_string_equal(g[0].network_id, "N-1");
    assert_string_equal(g[0].spot, "riser-A@2");
    assert_int_equal(g[0].storey, 1);
    check_near(g[0].at.x, 2.5, 0.0);
    check_near(g[0].at.y, 6.1, 0.0);
    check_near(g[0].mount_height_m, 2.6, 0.0);
    check_near(g[0].z_m, 6.6, 1e-12);
    assert_true(g[0].existing);
    assert_null(g[1].network_id);
    assert_null(g[1].spot);
    done(&r);
}

static void expect_refused(const char *text, int line, const char *words)
{
    reading r = reads(HEAD "[storey 1]\nplan = spots.svg\n");
    const hr_status status = list(&r, text);
    if (status != HR_ERR_INPUT || strcmp(r.err.file, "list.csv") != 0 || r.err.line != line ||
        strstr(r.err.text, words) == NULL) {
        fail_msg("%s\ngave %s, %s:%d: %s\nexpected line %d, words: %s", text, hr_status_name(status), r.err.file,
                 r.err.line, r.err.text, line, words);
    }
    assert_int_equal(r.b->gateway_count, 2); /* the marked ones stay */
    done(&r);
}

static void test_refusals(void **state)
{
    (void)state;
    expect_refused("# length_unit = ft\n" COLUMNS "A,1,1,1,2\n", 0,
                   "length_unit = ft in this list, length_unit = m in");
    expect_refused("# length_unit = yard\n" COLUMNS "A,1,1,1,2\n", 0, "m or ft was expected");
    expect_refused("id,storey,x,mount_height\nA,1,1,2\n", 0, "no column y");
    expect_refused("storey,x,y,mount_height\n1,1,1,2\n", 0, "no column id");
    expect_refused(COLUMNS "A,1,1,1\n", 2, "");
    expect_refused(COLUMNS "A,1,1,1,2\nB,11,1,1,2\n", 3, "storey = 11: no such storey in");
    expect_refused(COLUMNS "A,1,1,1,2\n\nB,1,2,1,2\na,1,3,1,2\n", 5, "id a stands twice, first in line 2");
    expect_refused(COLUMNS ",1,1,1,2\n", 2, "a name for the gateway");
    expect_refused(COLUMNS "A,1,x,1,2\n", 2, "x = x: a number was expected");
    expect_refused(COLUMNS "A,1,1,nan,2\n", 2, "y = nan: a number was expected");
    expect_refused(COLUMNS "A,1,1,,2\n", 2, "a number was expected");
    expect_refused(COLUMNS "A,1,1,1,\n", 2, "mount_height = : a number was expected");
    expect_refused(COLUMNS "A,1,1000001,1,2\n", 2, "out of range");
    expect_refused(COLUMNS "A,1,1e999,1,2\n", 2, "a number was expected");
    expect_refused(COLUMNS "A,1,1,1,-0.1\n", 2, "out of range");
    expect_refused("", 0, "");
}

static void test_nearest_storey(void **state)
{
    (void)state;
    reading r = reads(HEAD "[storey ground]\nplan = two.svg\n");
    assert_int_equal(list(&r, COLUMNS "A,grond,1,1,2\n"), HR_ERR_INPUT);
    assert_non_null(strstr(r.err.text, "did you mean ground?"));
    assert_int_equal(list(&r, COLUMNS "A,GROUND,1,1,2\n"), HR_OK);
    done(&r);
}

static void test_limits(void **state)
{
    (void)state;
    reading r = reads(HEAD STOREY);
    hr_text text = {0};
    hr_text_add(&text, COLUMNS);
    for (size_t i = 0; i < HR_MAX_GATEWAYS; i++) {
        hr_text_addf(&text, "G%zu,1,1,1,2\n", i);
    }
    assert_int_equal(list(&r, text.bytes), HR_OK);
    assert_int_equal(r.b->gateway_count, HR_MAX_GATEWAYS);
    hr_text_add(&text, "G,1,1,1,2\n");
    assert_int_equal(list(&r, text.bytes), HR_ERR_LIMIT);
    hr_text_free(&text);
    hr_text_add(&text, COLUMNS);
    for (int i = 0; i < 257; i++) {
        hr_text_add(&text, "a");
    }
    hr_text_add(&text, ",1,1,1,2\n");
    assert_int_equal(list(&r, text.bytes), HR_ERR_LIMIT);
    assert_int_equal(r.err.line, 2);
    hr_text_free(&text);
    done(&r);
}

static void test_notes(void **state)
{
    (void)state;
    reading r = reads(HEAD "[storey 1]\nplan = spots.svg\n");
    assert_int_equal(list(&r, "id,storey,x,y,mount_height,network,colour\nGW 1,1,7.8,6.8,3.5,,red\n'@x,1,1,1,2,,\n"),
                     HR_OK);
    expect_note(&r, "list.csv: column colour is not used");
    expect_note(&r, "list.csv: column network is not used");
    expect_note(&r, "list.csv:2: GW 1 is written GW-1");
    expect_note(&r, "list.csv:2: gateway above its ceiling");
    expect_note(&r, "list.csv:2: gateway GW-1 stands in a keep-out");
    assert_string_equal(r.b->gateways[1].id, "@x"); /* a spreadsheet guard is taken off */
    done(&r);
}

static void test_feet_come_back_whole(void **state)
{
    (void)state;
    reading r = reads("[property]\nname = T\nlength_unit = ft\n[radio]\nfrequency_mhz = 915\n" STOREY);
    /* 1.234 m is 4.0485564 ft: written with seven decimals it reads back as 1.234 m, bit for bit */
    assert_int_equal(list(&r, "# length_unit = ft\n" COLUMNS "A,1,4.0485564,10,7\n"), HR_OK);
    check_near(r.b->gateways[0].at.x, 1.234, 0.0);
    check_near(r.b->gateways[0].at.y, 3.048, 0.0);
    check_near(r.b->gateways[0].mount_height_m, 2.1336, 1e-12);
    done(&r);
}

static void test_empty_list(void **state)
{
    (void)state;
    reading r = reads(HEAD "[storey 1]\nplan = spots.svg\n");
    assert_int_equal(list(&r, COLUMNS), HR_OK);
    assert_int_equal(r.b->gateway_count, 0);
    done(&r);
}

static void test_from_a_file(void **state)
{
    (void)state;
    reading r = reads(HEAD STOREY);
    test_write("gateways.csv", COLUMNS "A,1,1,1,2\n");
    char path[512];
    (void)snprintf(path, sizeof path, "%sgateways.csv", test_folder());
    assert_int_equal(hr_building_read_gateways(r.b, path, r.notes, &r.err), HR_OK);
    assert_int_equal(r.b->gateway_count, 1);
    assert_int_equal(hr_building_read_gateways(r.b, "/nonexistent.csv", r.notes, &r.err), HR_ERR_INPUT);
    done(&r);
}

const struct CMUnitTest list_tests[] = {
    cmocka_unit_test(test_reads_a_list), cmocka_unit_test(test_refusals),   cmocka_unit_test(test_nearest_storey),
    cmocka_unit_test(test_limits),       cmocka_unit_test(test_notes),      cmocka_unit_test(test_feet_come_back_whole),
    cmocka_unit_test(test_empty_list),   cmocka_unit_test(test_from_a_file)};
const size_t list_test_count = COUNT_OF(list_tests);
