/*
 * test_pairing.c - walls drawn as two lines, room outlines as walls, and layers
 * of others' plans taken through a map.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_tests.h"

static const hr_plan_options paired = {.metres_per_unit = 1.0, .wall_pairing_m = 0.3};

#define BRICK(d) LAYER("walls: brick-200", LINE(d))

static made make_paired(const char *body)
{
    const made m = make(body, &paired);
    if (m.status != HR_OK) {
        fail_msg("line %d: %s", m.err.line, m.err.text);
    }
    return m;
}

/* How many walls the stretch from a to b crosses. */
static size_t crossed(const hr_plan *plan, double ax, double ay, double bx, double by)
{
    size_t count = 0;
    for (size_t i = 0; i < plan->wall_count; i++) {
        count += hr_geometry_cross((hr_segment){{ax, ay}, {bx, by}}, plan->walls[i].line, NULL, NULL);
    }
    return count;
}

/* Two cells with a common wall, all walls 0.2 m thick and drawn by their faces. */
static void two_cells(void **unused)
{
    (void)unused;
    made m = make_paired(BRICK("M0 0H10V8H0Z") BRICK("M.2 .2H4.9V7.8H.2Z") BRICK("M5.1 .2H9.8V7.8H5.1Z"));
    /* centre lines: 9.8 x 7.8 m round and 7.8 m between */
    check_near(m.plan->wall_length_m, 2 * (9.8 + 7.8) + 7.8, 1e-6);
    for (double t = 0.05; t < 1.0; t += 0.1) {
        assert_int_equal(crossed(m.plan, -1, 8 * t, 0.5, 8 * t), 1);
        assert_int_equal(crossed(m.plan, 4.5, 8 * t, 5.5, 8 * t), 1);
        assert_int_equal(crossed(m.plan, 9.5, 8 * t, 11, 8 * t), 1);
    }
    /* nothing leaks at the corners and where the middle wall meets the outer ones */
    assert_int_equal(crossed(m.plan, -0.4, 0.61, 0.6, -0.39), 2);
    assert_int_equal(crossed(m.plan, -0.4, -0.41, 1, 0.99), 1); /* 1 cm beside the corner */
    assert_int_equal(crossed(m.plan, -0.41, -0.4, 0.99, 1), 1);
    assert_true(crossed(m.plan, 4.5, 0.21, 5.5, 0.205) >= 1);
    assert_true(crossed(m.plan, 4.5, 7.79, 5.5, 7.795) >= 1);
    assert_true(crossed(m.plan, 4.7, -0.5, 4.71, 0.3) == 1);
    assert_true(crossed(m.plan, 5.0001, -0.5, 5.0001, 0.05) == 0);
    unmake(&m);
}

/* A wall's body with closed ends, and a door in the gap between two such bodies. */
static void ends_are_no_walls(void **unused)
{
    (void)unused;
    made m = make_paired(BRICK("M0 0H4V.2H0Z") BRICK("M5 0H10V.2H5Z") DOORS("M4 .1H5"));
    assert_int_equal(m.plan->wall_count, 3);
    check_near(m.plan->wall_length_m, 9.0, 1e-6);
    assert_int_equal(m.plan->opening_count, 1);
    assert_true(m.plan->openings[0].fills_gap);
    check_near(m.plan->walls[2].line.a.y, 0.1, 1e-9);
    unmake(&m);
}

/* Each stretch finds its nearest partner, once. */
static void three_lines(void **unused)
{
    (void)unused;
    made m = make_paired(BRICK("M0 0H10M0 .1H10M0 .3H10"));
    assert_int_equal(m.plan->wall_count, 2);
    assert_int_equal(walls_at(m.plan, 5, 0.05, NULL), 1);
    assert_int_equal(walls_at(m.plan, 5, 0.3, NULL), 1);
    unmake(&m);
    /* half of the long stroke has a partner, the rest stays where it is */
    m = make_paired(BRICK("M0 0H10M0 .2H4"));
    assert_int_equal(walls_at(m.plan, 2, 0.1, NULL), 1);
    assert_int_equal(walls_at(m.plan, 7, 0.0, NULL), 1);
    assert_int_equal(walls_at(m.plan, 2, 0.0, NULL), 0);
    check_near(m.plan->wall_length_m, 10.0, 1e-6);
    unmake(&m);
}

static void what_is_not_paired(void **unused)
{
    (void)unused;
    /* another material, another direction, too far, one line after the other */
    made m = make_paired(BRICK("M0 0H10") LAYER("walls: plasterboard", LINE("M0 .2H10")));
    assert_int_equal(m.plan->wall_count, 2);
    check_near(m.plan->wall_length_m, 20.0, 1e-9);
    unmake(&m);
    m = make_paired(BRICK("M0 0H10M0 .1L10 1.1M0 5H4M4.1 5.1H8"));
    assert_int_equal(m.plan->wall_count, 4);
    unmake(&m);
    m = make_paired(BRICK("M0 0H10M0 .31H10"));
    assert_int_equal(m.plan->wall_count, 2);
    unmake(&m);
    m = make_paired(BRICK("M0 0H10M0 .29H10"));
    assert_int_equal(m.plan->wall_count, 1);
    unmake(&m);
}

/* Drawn twice over, the faces are still one wall. */
static void faces_drawn_twice(void **unused)
{
    (void)unused;
    made m = make_paired(BRICK("M0 0H10M0 .2H10") BRICK("M10 0H0M10 .2H0"));
    assert_int_equal(m.plan->wall_count, 1);
    assert_int_equal(m.plan->merged_walls, 2);
    assert_int_equal(walls_at(m.plan, 5, 0.1, NULL), 1);
    unmake(&m);
}

/* Turned by an angle that no coordinate likes, the same walls come out. */
static void pairing_turns_with_the_plan(void **unused)
{
    (void)unused;
    made straight = make_paired(BRICK("M0 0H10V8H0Z") BRICK("M.2 .2H9.8V7.8H.2Z"));
    made turned = make_paired("<g transform='rotate(33.3)'>" BRICK("M0 0H10V8H0Z") BRICK("M.2 .2H9.8V7.8H.2Z") "</g>");
    assert_int_equal(straight.plan->wall_count, turned.plan->wall_count);
    check_near(turned.plan->wall_length_m, straight.plan->wall_length_m, 1e-5);
    check_near(straight.plan->wall_length_m, 2 * (9.8 + 7.8), 1e-6);
    unmake(&straight);
    unmake(&turned);
}

/* Rooms drawn as clear floor: the wall between two of them is one wall. */
static void faces_of_rooms(void **unused)
{
    (void)unused;
    const hr_plan_options options = {.metres_per_unit = 1.0, .rooms_are_walls = "brick-200"};
    made m = make(ROOM("101", "M0 0H4V5H0Z") ROOM("102", "M4.15 0H8V5H4.15Z") ROOM("103", "M8 0H12V5H8Z")
                      ROOM("104", "M0 6.5H12V10H0Z"),
                  &options);
    assert_int_equal(m.status, HR_OK);
    assert_int_equal(crossed(m.plan, 3, 2.5, 5, 2.5), 1);
    assert_int_equal(walls_at(m.plan, 4.075, 2.5, NULL), 1);
    assert_int_equal(crossed(m.plan, 7, 2.5, 9, 2.5), 1);
    assert_int_equal(walls_at(m.plan, 8, 2.5, NULL), 1);
    /* a corridor 1.5 m wide is no wall */
    assert_int_equal(crossed(m.plan, 2, 4, 2, 7), 2);
    /* from the corridor into the gap between 101 and 102: the rooms stay closed */
    assert_true(crossed(m.plan, 4.05, 5.5, 3.9, 4.5) >= 1);
    assert_true(crossed(m.plan, 4.1, 5.5, 4.3, 4.5) >= 1);
    check_near(m.plan->spaces[0].area_m2, 20.0, 1e-9); /* rooms themselves do not move */
    unmake(&m);
    /* a niche of one room is no wall between two */
    m = make(ROOM("1", "M0 0H4V5H2.1V1H1.9V5H0Z"), &options);
    assert_int_equal(m.plan->wall_count, 8);
    unmake(&m);
}

/* ---- layers of others ---- */

static const hr_plan_map rooms_map = {.select = HR_MAP_LAYER, .text = "Floor", .target = "rooms", .line = 7};
static const hr_plan_options mapped = {
    .metres_per_unit = 1.0, .maps = &rooms_map, .map_count = 1, .property_file = "a.ini"};
static const hr_plan_options mapped_lenient = {
    .metres_per_unit = 1.0, .maps = &rooms_map, .map_count = 1, .property_file = "a.ini", .lenient = true};

#define BOX(x) "<path d='M" #x " 0h4v5h-4z' fill='#fff'/>\n"
#define TEXT(x, text) "<text x='" #x "' y='2' font-size='0.5'>" text "</text>\n"

static void a_mapped_layer_of_rooms(void **unused)
{
    (void)unused;
    made m = make(LAYER("Floor", BOX(0) BOX(10) BOX(20) BOX(30) BOX(40)) TEXT(1, "101") TEXT(11, "Stairs")
                      TEXT(21, "stairs") TEXT(31, "102"),
                  &mapped);
    assert_int_equal(m.status, HR_OK);
    assert_int_equal(m.plan->room_count, 2);
    assert_int_equal(m.plan->space_count, 5);
    assert_non_null(room_called(m.plan, "101"));
    assert_non_null(room_called(m.plan, "102"));
    assert_int_equal(m.plan->spaces[1].kind, HR_SPACE_AREA);
    assert_int_equal(m.plan->spaces[2].kind, HR_SPACE_AREA);
    assert_int_equal(m.plan->spaces[4].kind, HR_SPACE_AREA);
    assert_true(has_note(&m, "1 shapes of a mapped layer have no name"));
    assert_true(has_note(&m, "2 shapes of a mapped layer share a name"));
    unmake(&m);
    /* the same by our own names says where it is wrong */
    refused(LAYER("rooms", BOX(0)), NULL, 2, "no name");
    refused(LAYER("rooms", BOX(0) BOX(10)) TEXT(1, "Stairs") TEXT(11, "stairs"), NULL, 3, "line 2");
}

static void numbers_stay_unique(void **unused)
{
    (void)unused;
    static const char twice[] = LAYER("Floor", BOX(0) BOX(10)) TEXT(1, "101") TEXT(11, "101");
    refused(twice, &mapped, 3, "two rooms are called 101");
    made m = make(twice, &mapped_lenient);
    assert_int_equal(m.status, HR_OK);
    assert_string_equal(m.plan->spaces[1].name, "101-2");
    assert_true(has_note(&m, "two rooms are called 101"));
    unmake(&m);
}

static void lines_in_a_mapped_layer(void **unused)
{
    (void)unused;
    made m = make(LAYER("Floor", BOX(0) LINE("M0 2H4") LINE("M1 1H3V3") "<path d='M10 0h4v5h-4' fill='#fff'/>")
                      TEXT(1, "101") TEXT(11, "102"),
                  &mapped);
    assert_int_equal(m.status, HR_OK);
    assert_int_equal(m.plan->room_count, 2); /* what is filled is closed by its fill */
    check_near(room_called(m.plan, "102")->area_m2, 20.0, 1e-9);
    const hr_ignored *row = ignored_row(m.plan, "Floor");
    assert_non_null(row);
    assert_int_equal(row->count, 2);
    check_near(row->length_m, 8.0, 1e-9);
    unmake(&m);
    refused(LAYER("rooms", NAMED("1", "M0 0H4V5")), NULL, 2, "open by 6.40 m");
}

/* A label broken over two lines before its hyphen is one name. */
static void broken_labels(void **unused)
{
    (void)unused;
    made m = make_good(LAYER("rooms", BOX(0) BOX(10)) "<text font-size='0.5'><tspan x='1' y='2'>228</tspan>"
                                                      "<tspan x='1' y='2.6'>-1</tspan></text>\n"
                                                      "<text font-size='0.5'><tspan x='11' y='2'>228</tspan>"
                                                      "<tspan x='11' y='2.6'>-2</tspan></text>\n");
    assert_non_null(room_called(m.plan, "228-1"));
    assert_non_null(room_called(m.plan, "228-2"));
    unmake(&m);
}

const struct CMUnitTest pairing_tests[] = {
    cmocka_unit_test(two_cells),           cmocka_unit_test(ends_are_no_walls),
    cmocka_unit_test(three_lines),         cmocka_unit_test(what_is_not_paired),
    cmocka_unit_test(faces_drawn_twice),   cmocka_unit_test(pairing_turns_with_the_plan),
    cmocka_unit_test(faces_of_rooms),      cmocka_unit_test(a_mapped_layer_of_rooms),
    cmocka_unit_test(numbers_stay_unique), cmocka_unit_test(lines_in_a_mapped_layer),
    cmocka_unit_test(broken_labels),
};
const size_t pairing_test_count = sizeof pairing_tests / sizeof pairing_tests[0];
