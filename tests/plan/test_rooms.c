/*
 * test_rooms.c - rooms, areas, corridors, and what a room is called.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_tests.h"

#include <stdlib.h>

#define BOX "M0 0H4V5H0Z"
#define TEXT(x, y, words) "<text x=\"" x "\" y=\"" y "\" font-size=\".3\">" words "</text>"

static void is_called(const char *body, const char *name)
{
    made m = make_good(body);
    assert_int_equal(m.plan->room_count, 1);
    const hr_space *room = NULL;
    for (size_t i = 0; i < m.plan->space_count; i++) {
        room = m.plan->spaces[i].kind == HR_SPACE_ROOM ? &m.plan->spaces[i] : room;
    }
    if (room == NULL || strcmp(room->name, name) != 0) {
        fail_msg("called %s, expected %s", room == NULL ? "nothing" : room->name, name);
    }
    unmake(&m);
}

static void its_own_name(void **unused)
{
    (void)unused;
    is_called(ROOM("214", BOX), "214");
    is_called(LAYER("rooms", "<path inkscape:label='Suite  A' d='" BOX "'/>"), "Suite A");
    is_called(LAYER("rooms", "<path id='Linen_x20_store' d='" BOX "'/>"), "Linen store");
    is_called(LAYER("rooms", "<path id='_x32_14' d='" BOX "'/>"), "214");
    is_called(LAYER("rooms", "<path inkscape:label='#path9' id='rect12' d='" BOX "'><title>7</title></path>"), "7");
    /* a name beats the text inside */
    is_called(LAYER("rooms", NAMED("214", BOX) TEXT("1", "2", "999")), "214");
}

static void the_text_inside(void **unused)
{
    (void)unused;
    is_called(LAYER("rooms", LINE(BOX) TEXT("1", "2", " 21 ")), "21");
    is_called(LAYER("rooms", LINE(BOX)) LAYER("captions", TEXT("1", "2", "21")), "21");
    is_called(LAYER("rooms", "<path id='rect123' d='" BOX "'/>" TEXT("1", "2", "21")), "21");
    is_called(LAYER("rooms", "<path id='path12-3' d='" BOX "'/>" TEXT("1", "2", "21")), "21");
    is_called(LAYER("rooms", "<path id='svg_3' d='" BOX "'/>" TEXT("1", "2", "21")), "21");
    is_called(LAYER("rooms", "<path id='g4' d='" BOX "'/>" TEXT("1", "2", "21")), "21");
    /* what is drawn for people only, hidden, or outside names nothing */
    is_called(LAYER("rooms", LINE(BOX) TEXT("1", "2", "21")) LAYER("ignore", TEXT("1", "3", "bed")), "21");
    is_called(LAYER("ignore", TEXT("1", "3", "bed")) LAYER("rooms", LINE(BOX)) TEXT("1", "2", "21"), "21");
    is_called(LAYER("captions", TEXT("9", "9", "far")) LAYER("rooms", LINE(BOX) TEXT("1", "2", "21")), "21");
    is_called("<g style='display:none'>" TEXT("1", "2", "no") "</g>" LAYER("rooms", LINE(BOX) TEXT("1", "4", "21")),
              "21");
    /* the rooms layer's own text comes first */
    is_called(LAYER("captions", TEXT("1", "2", "Bath")) LAYER("rooms", LINE(BOX) TEXT("1", "4", "21")), "21");
}

static void several_texts(void **unused)
{
    (void)unused;
    made m = make_good(LAYER("rooms", LINE(BOX) TEXT("1", "2", "21") TEXT("1", "4", "22")));
    assert_int_equal(hr_notes_count(m.notes), 1);
    assert_int_equal(m.plan->room_count, 1);
    assert_string_equal(m.plan->spaces[0].name, "21");
    unmake(&m);
}

static void the_smallest_shape_round_a_text(void **unused)
{
    (void)unused;
    made m = make_good(
        LAYER("rooms", LINE("M0 0H10V10H0Z") LINE("M1 1H4V4H1Z") TEXT("2", "2.5", "in") TEXT("7", "7", "out")));
    assert_int_equal(m.plan->room_count, 2);
    check_near(room_called(m.plan, "in")->area_m2, 9.0, 1e-9);
    check_near(room_called(m.plan, "out")->area_m2, 100.0, 1e-9);
    unmake(&m);
}

static void nameless_rooms(void **unused)
{
    (void)unused;
    refused("\n" LAYER("rooms", LINE(BOX)), NULL, 3, "name");
    refused(LAYER("rooms", "<path id='rect123' d='" BOX "'/>"), NULL, 2, "name");
    const hr_plan_options lenient = {.metres_per_unit = 1.0, .lenient = true};
    made m = make(LAYER("rooms", LINE(BOX) LINE("M9 0H12V3H9Z")), &lenient);
    assert_int_equal(m.status, HR_OK);
    assert_string_equal(m.plan->spaces[0].name, "?1");
    assert_string_equal(m.plan->spaces[1].name, "?2");
    assert_true(has_note(&m, "name"));
    unmake(&m);
}

static void one_name_twice(void **unused)
{
    (void)unused;
    refused(ROOM("21", BOX) ROOM("22", "M9 0H12V3H9Z") ROOM("21", "M20 0H25V3H20Z"), NULL, 4, "21");
    refused(ROOM("Suite A", BOX) ROOM("suite a", "M9 0H12V3H9Z"), NULL, 3, "2");
    /* areas and corridors have no row */
    made m = make_good(LAYER("areas", NAMED("Bath", BOX) NAMED("Bath", "M9 0H12V3H9Z"))
                           LAYER("corridors", LINE("M20 0H25V3H20Z")));
    assert_int_equal(m.plan->room_count, 0);
    assert_int_equal(m.plan->space_count, 3);
    assert_int_equal(m.plan->spaces[2].kind, HR_SPACE_CORRIDOR);
    unmake(&m);
}

static void long_names(void **unused)
{
    (void)unused;
    hr_text body = {0};
    hr_text_add(&body, "<g inkscape:label='rooms'><path d='" BOX "'><title>");
    for (size_t i = 0; i < HR_PLAN_KIND_COUNT * 20; i++) {
        hr_text_add(&body, "x");
    }
    hr_text_add(&body, "</title></path></g>");
    made m = make(body.bytes, NULL);
    assert_true(m.status == HR_ERR_LIMIT || m.status == HR_ERR_INPUT);
    unmake(&m);
    hr_text_free(&body);
}

static void open_outlines(void **unused)
{
    (void)unused;
    refused("\n" ROOM("21", "M0 0H4V5H0V.2"), NULL, 3, "0.2");
    made m = make_good(ROOM("21", "M0 0H4V5H0V.05"));
    assert_true(has_note(&m, "closed"));
    check_near(m.plan->spaces[0].area_m2, 20.0, 0.2);
    unmake(&m);
    m = make_quiet(ROOM("21", "M0 0H4V5H0V0"));
    check_near(m.plan->spaces[0].area_m2, 20.0, 1e-9);
    unmake(&m);
    refused(LAYER("corridors", LINE("M0 0H10")), NULL, 2, "corridor");
}

static void shapes_and_areas(void **unused)
{
    (void)unused;
    made m = make_good(LAYER("rooms", "<path d='M0 0H4V5H0ZM1 1H2V2H1Z' fill-rule='evenodd'><title>21</title></path>"
                                      "<circle cx='20' cy='0' r='2'><title>22</title></circle>"
                                      "<rect x='30' width='3' height='4'><title>23</title></rect>"));
    check_near(room_called(m.plan, "21")->area_m2, 19.0, 1e-9);
    check_near(room_called(m.plan, "22")->area_m2, 4 * 3.14159265, 0.02);
    check_near(room_called(m.plan, "23")->area_m2, 12.0, 1e-9);
    check_near(room_called(m.plan, "23")->innermost.x, 31.5, 0.002);
    assert_int_equal(hr_plan_room_at(m.plan, (hr_point){1.5, 1.5}), HR_PLAN_NONE);
    assert_true(&m.plan->spaces[hr_plan_room_at(m.plan, (hr_point){3, 3})] == room_called(m.plan, "21"));
    assert_int_equal(hr_plan_space_at(m.plan, (hr_point){99, 99}), HR_PLAN_NONE);
    unmake(&m);
}

static void suspicious_sizes(void **unused)
{
    (void)unused;
    made m = make_good(ROOM("21", "M0 0H.3V4H0Z"));
    assert_true(has_note(&m, "0.3"));
    unmake(&m);
    m = make_good(ROOM("21", "M0 0H3100V4H0Z"));
    assert_true(has_note(&m, "scale"));
    unmake(&m);
}

static void no_walls_and_no_rooms(void **unused)
{
    (void)unused;
    made m = make_good("");
    assert_int_equal(m.plan->wall_count, 0);
    assert_int_equal(m.plan->room_count, 0);
    assert_true(isfinite(m.plan->box.x0) && isfinite(m.plan->box.x1));
    hr_point *spots = NULL;
    size_t count = 1;
    assert_int_equal(hr_plan_generate_spots(m.plan, 2.0, 0.5, &spots, &count, NULL), HR_OK);
    assert_int_equal(count, 0);
    hr_free(spots);
    unmake(&m);
}

/* The floor of two rooms that lie over each other counts twice: told with both names and the area. */
static void rooms_that_overlap(void **unused)
{
    (void)unused;
    static const struct {
        const char *one, *two, *says;
    } cases[] = {
        {"M0 0H4V5H0Z", "M3 1H8V4H3Z", "rooms room 101 (line 3) and room 102 overlap over 3.0 m2"},
        {"M0 0H4V5H0Z", "M1 1H3V2H1Z", "overlap over 2.0 m2"},     /* one inside the other */
        {"M0 0H4V5H0Z", "M4 0H8V5H4Z", NULL},                      /* side by side */
        {"M0 0H4V5H0Z", "M3.98 0H8V5H3.98Z", NULL},                /* 0.1 of 20 m2: drawn by hand */
        {"M0 0L4 4L0 8Z", "M4 0L0 4L4 8Z", "overlap over 8.0 m2"}, /* the square between two triangles */
        {"M0 0H9V9H0ZM3 3H6V6H3Z", "M3 3H6V6H3Z", NULL},           /* in its hole */
        {"M0 0H2V1H1V4H2V5H0Z", "M1 1H4V4H1Z", NULL},              /* in its bay */
        {"M0 0H2V1H1V4H2V5H0Z", "M.5 1H4V4H.5Z", "overlap over 1.5 m2"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        hr_text body = {0};
        hr_text_addf(
            &body, "<g id='rooms' fill-rule='evenodd'>\n<path id='room 101' d='%s'/>\n<path id='room 102' d='%s'/></g>",
            cases[i].one, cases[i].two);
        made m = make_good(body.bytes);
        if (has_note(&m, "overlap") != (cases[i].says != NULL) ||
            (cases[i].says != NULL && !has_note(&m, cases[i].says))) {
            fail_msg("%s and %s: %s", cases[i].one, cases[i].two, cases[i].says != NULL ? cases[i].says : "no overlap");
        }
        unmake(&m);
        hr_text_free(&body);
    }
}

/* Ten pairs are named, the others counted. */
static void many_rooms_that_overlap(void **unused)
{
    (void)unused;
    hr_text body = {0};
    hr_text_add(&body, "<g id='rooms'>");
    for (int i = 0; i < 12; i++) {
        hr_text_addf(&body, "<path id='room %d' d='M%d 0h1.5v2h-1.5z'/>\n", i, i);
    }
    hr_text_add(&body, "</g>");
    made m = make_good(body.bytes);
    assert_true(has_note(&m, "11 pairs of rooms overlap, 11.0 m2 in all; 10 of them were named"));
    unmake(&m);
    hr_text_free(&body);
}

/* Lengths in messages are in the property's unit. */
static void lengths_in_feet(void **unused)
{
    (void)unused;
    const hr_plan_options options = {.metres_per_unit = 0.3048, .length_unit = HR_FEET, .lenient = true};
    made m = make("<g id='rooms'><path id='room 1' d='M0 0H9V9H0Z'/><path id='room 2' d='M20 0H21V9H20Z'/></g>"
                  "<g id='devices: wall'><circle cx='30' cy='5' r='.1'/></g><g id='sofas'><path d='M0 0H7'/></g>",
                  &options);
    assert_int_equal(m.status, HR_OK);
    assert_true(has_note(&m, "this room is only 1.00 ft across"));
    assert_true(has_note(&m, "device wall at 30.00, 5.00 ft lies in no room"));
    assert_true(has_note(&m, "1 shapes, 7.0 ft of lines, in \"sofas\""));
    unmake(&m);
}

const struct CMUnitTest rooms_tests[] = {
    cmocka_unit_test(rooms_that_overlap),
    cmocka_unit_test(many_rooms_that_overlap),
    cmocka_unit_test(lengths_in_feet),
    cmocka_unit_test(its_own_name),
    cmocka_unit_test(the_text_inside),
    cmocka_unit_test(several_texts),
    cmocka_unit_test(the_smallest_shape_round_a_text),
    cmocka_unit_test(nameless_rooms),
    cmocka_unit_test(one_name_twice),
    cmocka_unit_test(long_names),
    cmocka_unit_test(open_outlines),
    cmocka_unit_test(shapes_and_areas),
    cmocka_unit_test(suspicious_sizes),
    cmocka_unit_test(no_walls_and_no_rooms),
};
const size_t rooms_test_count = sizeof rooms_tests / sizeof rooms_tests[0];
