/*
 * test_cable.c - cable lengths reckoned by hand, and what stands beside a
 * gateway for whoever hangs it.
 *
 * SPDX-License-Identifier: MIT
 */
#include "support.h"

/* An L: a corridor 20 m to the right and then 10 m down, 2 m wide; the closet 1 m above its left end. */
#define L_PLAN(corridors)                                                                                              \
    PROPERTY_HEAD corridors                                                                                           \
    "<g inkscape:label=\"walls: brick-100\" stroke=\"#000\" fill=\"none\"><rect x=\"0\" y=\"0\" width=\"20\" height=\"12\"/></g>\n" \
    "<g inkscape:label=\"rooms\"><rect x=\"1\" y=\"3\" width=\"8\" height=\"8\"><title>1</title></rect></g>\n"         \
    "<g inkscape:label=\"network\"><circle cx=\"1\" cy=\"-1\" r=\"0.1\"><title>closet</title></circle></g>\n"          \
    "<g inkscape:label=\"gateways\"><circle cx=\"11\" cy=\"1\" r=\"0.1\"><title>A</title></circle>"                    \
    "<circle cx=\"19\" cy=\"10\" r=\"0.1\"><title>B</title></circle></g></svg>"
#define CORRIDORS                                                                                                      \
    "<g inkscape:label=\"corridors\"><path d=\"M0 0H20V12H18V2H0Z\"/></g>\n"

static hr_siting *l_building(const char *svg, const char *more, hr_building **building)
{
    char ini[600];
    (void)snprintf(ini, sizeof ini, INI("%s", ""), more);
    *building = property_made(ini, svg);
    return rooms_with(*building, NULL);
}

static const hr_sited_gateway *gateway(const hr_siting *s, const char *id)
{
    for (size_t g = 0; g < s->gateway_count; g++) {
        if (strcmp(s->gateways[g].id, id) == 0) {
            return &s->gateways[g];
        }
    }
    fail_msg("no gateway %s", id);
    return NULL;
}

static void test_along_corridors(void **state)
{
    (void)state;
    hr_building *b = NULL;
    hr_siting *s = l_building(L_PLAN(CORRIDORS), "", &b);
    /* 1 m down to the corridor's edge at (1,0), then straight to (11,1); 3 m drop, 3 m slack */
    check_near(gateway(s, "A")->cable_m, 1.0 + sqrt(101.0) + 6.0, 1e-9);
    /* round the inner corner at (18,2): from (1,0) over sqrt(17^2 + 2^2), then sqrt(1 + 8^2) */
    check_near(gateway(s, "B")->cable_m, 1.0 + sqrt(293.0) + sqrt(65.0) + 6.0, 1e-9);
    assert_string_equal(gateway(s, "A")->closet, "closet on storey 1");
    assert_false(gateway(s, "B")->cable_too_long);
    hr_siting_free(s);
    hr_building_free(b);
}

static void test_without_corridors(void **state)
{
    (void)state;
    hr_building *b = NULL;
    hr_siting *s = l_building(L_PLAN(""), "", &b);
    check_near(gateway(s, "A")->cable_m, 10.0 + 2.0 + 6.0, 1e-9);
    check_near(gateway(s, "B")->cable_m, 18.0 + 11.0 + 6.0, 1e-9);
    hr_siting_free(s);
    hr_building_free(b);
}

/* The network on the lowest storey only: two storeys up are a riser of 4.5 + 3 m. */
static void test_riser(void **state)
{
    (void)state;
    char folder[] = "/tmp/hallreach-test-XXXXXX", path[512];
    assert_non_null(mkdtemp(folder));
    property_write(folder, "low.svg", L_PLAN(CORRIDORS));
    hr_text high = {0};
    hr_text_add(&high, PROPERTY_HEAD CORRIDORS
                "<g inkscape:label=\"walls: brick-100\" stroke=\"#000\"><line x1=\"0\" y1=\"0\" x2=\"20\" y2=\"0\"/></g>\n"
                "<g inkscape:label=\"rooms\"><rect x=\"1\" y=\"3\" width=\"8\" height=\"8\"><title>1</title></rect></g>\n"
                "<g inkscape:label=\"gateways\"><circle cx=\"11\" cy=\"1\" r=\"0.1\"><title>C</title></circle></g></svg>");
    property_write(folder, "high.svg", high.bytes);
    property_write(folder, "property.ini",
                   "[property]\nname = L\nlength_unit = m\n[radio]\nfrequency_mhz = 868\n[gateway]\ncable_limit = 24\n"
                   "cable_drop = 2\ncable_slack = 1\n[storey 1]\nplan = low.svg\nfloor_to_floor = 4.5\n"
                   "[storey 2-3]\nplan = high.svg\n");
    (void)snprintf(path, sizeof path, "%s/property.ini", folder);
    hr_building *b = NULL;
    assert_int_equal(hr_building_read(path, NULL, NULL, &b, NULL), HR_OK);
    hr_notes *notes = hr_notes_new();
    hr_siting *s = NULL;
    assert_int_equal(hr_siting_rooms(b, NULL, notes, &s, NULL), HR_OK);
    check_near(gateway(s, "C@2")->cable_m, 4.5 + 1.0 + sqrt(101.0) + 3.0, 1e-9);
    check_near(gateway(s, "C@3")->cable_m, 7.5 + 1.0 + sqrt(101.0) + 3.0, 1e-9);
    assert_string_equal(gateway(s, "C@3")->closet, "closet on storey 1");
    assert_true(gateway(s, "B")->cable_too_long); /* 29.2 m */
    assert_false(gateway(s, "C@3")->cable_too_long); /* 21.5 m */
    bool said = false;
    for (size_t i = 0; i < hr_notes_count(notes); i++) {
        said = said || strstr(hr_notes_text(notes, i), "cable_limit: B needs") != NULL;
    }
    assert_true(said);
    hr_siting_free(s);
    hr_notes_free(notes);
    hr_building_free(b);
    hr_text_free(&high);
    property_remove(folder, "low.svg");
    property_remove(folder, "high.svg");
    property_remove(folder, "property.ini");
    (void)rmdir(folder);
}

static void test_two_walls_for_the_tape(void **state)
{
    (void)state;
    hr_building *b = NULL;
    hr_siting *s = l_building(L_PLAN(CORRIDORS), "", &b);
    const hr_sited_gateway *a = gateway(s, "A"), *far = gateway(s, "B");
    check_near(a->wall_m[0], 1.0, 1e-12); /* the wall along y = 0 */
    assert_string_equal(a->wall_side[0], "up");
    check_near(a->wall_m[1], 9.0, 1e-9); /* the wall at x = 20, nearer than the one at x = 0 */
    assert_string_equal(a->wall_side[1], "right");
    check_near(far->wall_m[0], 1.0, 1e-12);
    assert_string_equal(far->wall_side[0], "right");
    check_near(far->wall_m[1], 2.0, 1e-9);
    assert_string_equal(far->wall_side[1], "down");
    assert_string_equal(b->rooms[a->nearest_room].name, "1");
    hr_siting_free(s);
    hr_building_free(b);
}

const struct CMUnitTest cable_tests[] = {
    cmocka_unit_test(test_along_corridors),
    cmocka_unit_test(test_without_corridors),
    cmocka_unit_test(test_riser),
    cmocka_unit_test(test_two_walls_for_the_tape),
};
const size_t cable_test_count = sizeof cable_tests / sizeof cable_tests[0];
