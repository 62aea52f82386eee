/*
 * test_scale.c - metres per unit and the shared point.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_tests.h"

static const hr_plan_options nothing = {.property_file = NULL};

static made scaled(const char *body, double metres_per_unit, double drawn_at)
{
    const hr_plan_options options = {.metres_per_unit = metres_per_unit, .drawn_at = drawn_at};
    return make(body, &options);
}

static void is_scale(const char *body, double expected, const char *from)
{
    made m = make(body, &nothing);
    if (m.status != HR_OK) {
        fail_msg("%s", m.err.text);
    }
    check_near(m.plan->metres_per_unit, expected, 1e-12 * expected);
    assert_string_equal(m.plan->scale_from, from);
    unmake(&m);
}

#define WALL LAYER("walls: brick-200", LINE("M100 0H600"))

static void a_scale_line(void **unused)
{
    (void)unused;
    is_scale(WALL LAYER("scale: 10 m", LINE("M0 0H1000")), 0.01, "scale line");
    is_scale(WALL "<line inkscape:label='Scale: 10m' x1='0' y1='0' x2='300' y2='400' stroke='red'/>", 0.02,
             "scale line");
    is_scale(WALL LAYER("scale: 30 ft", LINE("M0 0V-914.4")), 0.01, "scale line");
    is_scale(WALL "<g id='scale_x3A__10_m'>" LINE("M0 0H1000") "</g>", 0.01, "scale line");
    is_scale("<g transform='rotate(30) scale(2)'>" LAYER("scale: 10 m", LINE("M0 0H500")) "</g>" WALL, 0.01,
             "scale line");
    /* a mirrored drawing keeps angles */
    is_scale("<g transform='scale(1 -1)'>" LAYER("scale: 10 m", LINE("M0 0H1000")) "</g>" WALL, 0.01, "scale line");
    /* anywhere in the tree, seen or not, in a group that is left aside */
    is_scale(LAYER("ignore", LAYER("scale: 10 m", LINE("M0 0H1000"))) WALL, 0.01, "scale line");
    made m = make(WALL LAYER("scale: 10 m", LINE("M0 0H1000")), &nothing);
    check_near(m.plan->walls[0].line.a.x, 1.0, 1e-12);
    check_near(m.plan->walls[0].line.b.x, 6.0, 1e-12);
    check_near(m.plan->wall_length_m, 5.0, 1e-12);
    unmake(&m);
}

static void wrong_scale_lines(void **unused)
{
    (void)unused;
    refused(WALL "<g transform='scale(2 1)'>" LAYER("scale: 10 m", LINE("M0 0H1000")) "</g>", &nothing, 3, "stretch");
    refused(WALL LAYER("scale: 10 m", LINE("M0 0H1000V10")), &nothing, 3, "straight");
    refused(WALL LAYER("scale: 10 m", "<rect width='5' height='5'/>"), &nothing, 3, "straight");
    refused(WALL LAYER("scale: 10 m", LINE("M0 0C0 100 100 100 100 0")), &nothing, 3, "straight");
    refused(WALL LAYER("scale: 10 m", LINE("M5 5H5")), &nothing, 3, "scale: 10 m");
    refused(WALL LAYER("scale: 10", LINE("M0 0H1000")), &nothing, 3, "scale: 10 m");
    refused(WALL LAYER("scale", LINE("M0 0H1000")), &nothing, 3, "scale: 10 m");
    refused(WALL LAYER("scale: -3 m", LINE("M0 0H1000")), &nothing, 3, "scale: 10 m");
    refused(WALL LAYER("scale: 3 furlong", LINE("M0 0H1000")), &nothing, 3, "scale: 10 m");
}

static void two_scale_lines(void **unused)
{
    (void)unused;
    is_scale(WALL LAYER("scale: 10 m", LINE("M0 0H1000") LINE("M0 9V1009.5")), 0.01, "scale line");
    refused(WALL LAYER("scale: 10 m", LINE("M0 0H1000")) LAYER("scale: 5 m", LINE("M0 0H502")), &nothing, 4, "scale");
}

static void the_property_file_gives_the_scale(void **unused)
{
    (void)unused;
    made m = scaled(WALL, 0.02, 0.0);
    check_near(m.plan->metres_per_unit, 0.02, 0.0);
    assert_string_equal(m.plan->scale_from, "metres_per_unit");
    check_near(m.plan->wall_length_m, 10.0, 1e-9);
    unmake(&m);
    /* the line wins, with a word above 1 % */
    m = scaled(WALL LAYER("scale: 10 m", LINE("M0 0H1000")), 0.0102, 0.0);
    check_near(m.plan->metres_per_unit, 0.01, 1e-14);
    assert_int_equal(hr_notes_count(m.notes), 1);
    unmake(&m);
    m = scaled(WALL LAYER("scale: 10 m", LINE("M0 0H1000")), 0.01005, 0.0);
    check_near(m.plan->metres_per_unit, 0.01, 1e-14);
    assert_int_equal(hr_notes_count(m.notes), 0);
    unmake(&m);
}

static void the_page_gives_the_scale(void **unused)
{
    (void)unused;
    const hr_plan_options options = {.drawn_at = 100.0};
#define PAGE(size)                                                                                                     \
    "<svg xmlns='http://www.w3.org/2000/svg' " size                                                                    \
    "><g id='walls: brick-200'><path d='M0 0H500' stroke='red'/></g></svg>"
    static const char page[] = PAGE("width='100mm' height='50mm' viewBox='0 0 1000 500'");
    made m = make_bytes(page, sizeof page - 1, &options);
    assert_int_equal(m.status, HR_OK);
    check_near(m.plan->metres_per_unit, 0.01, 1e-14); /* 0.1 m of paper x 100 / 1000 units */
    assert_string_equal(m.plan->scale_from, "drawn_at");
    check_near(m.plan->wall_length_m, 5.0, 1e-9);
    unmake(&m);
    static const char inches[] = PAGE("width='10in' height='5in' viewBox='0 0 254 127'");
    m = make_bytes(inches, sizeof inches - 1, &options);
    assert_int_equal(m.status, HR_OK);
    check_near(m.plan->metres_per_unit, 0.1, 1e-13);
    unmake(&m);
    /* pixels are no paper, and paper without a viewBox has no units */
    static const char pixels[] = PAGE("width='1000px' height='500px' viewBox='0 0 1000 500'");
    m = make_bytes(pixels, sizeof pixels - 1, &options);
    assert_int_equal(m.status, HR_ERR_INPUT);
    unmake(&m);
#undef PAGE
}

static void no_scale(void **unused)
{
    (void)unused;
    refused(WALL, &nothing, 0, "scale");
    const hr_plan_options lenient = {.lenient = true};
    made m = make(WALL, &lenient);
    assert_int_equal(m.status, HR_OK);
    check_near(m.plan->metres_per_unit, 0.0, 0.0);
    assert_true(has_note(&m, "scale"));
    check_near(m.plan->wall_length_m, 500.0, 1e-9);
    unmake(&m);
}

static void an_origin(void **unused)
{
    (void)unused;
    made m = make_quiet(WALLS("M10 20H14") LAYER("origin", LINE("M9 19L11 21") LINE("M9 21L11 19")));
    assert_true(m.plan->has_origin);
    check_near(m.plan->origin_units.x, 10.0, 1e-12);
    check_near(m.plan->origin_units.y, 20.0, 1e-12);
    check_near(m.plan->walls[0].line.a.x, 0.0, 1e-12);
    check_near(m.plan->walls[0].line.b.x, 4.0, 1e-12);
    check_near(m.plan->walls[0].line.b.y, 0.0, 1e-12);
    unmake(&m);
    m = make_quiet("<circle id='origin' cx='2' cy='3' r='1' fill='red'/>" WALLS("M10 20H14"));
    check_near(m.plan->walls[0].line.a.x, 8.0, 1e-3);
    check_near(m.plan->walls[0].line.a.y, 17.0, 1e-3);
    unmake(&m);
    m = make_quiet(WALLS("M10 20H14"));
    assert_false(m.plan->has_origin);
    check_near(m.plan->walls[0].line.a.x, 10.0, 0.0);
    unmake(&m);
}

const struct CMUnitTest scale_tests[] = {
    cmocka_unit_test(a_scale_line),
    cmocka_unit_test(wrong_scale_lines),
    cmocka_unit_test(two_scale_lines),
    cmocka_unit_test(the_property_file_gives_the_scale),
    cmocka_unit_test(the_page_gives_the_scale),
    cmocka_unit_test(no_scale),
    cmocka_unit_test(an_origin),
};
const size_t scale_test_count = sizeof scale_tests / sizeof scale_tests[0];
