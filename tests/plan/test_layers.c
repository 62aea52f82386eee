/*
 * test_layers.c - one layer of a drawing, and what was left aside.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_tests.h"

#define LEVEL(name, style, y)                                                                                          \
    "<g inkscape:groupmode='layer' inkscape:label='" name "' style='" style "'>" WALLS("M0 " y "H10")                  \
        ROOM("A" y, "M0 0H4V5H0Z") "</g>\n"

static made layer_of(const char *body, const char *layer)
{
    const hr_plan_options options = {.metres_per_unit = 1.0, .layer = layer};
    return make(body, &options);
}

static void one_layer_of_several(void **unused)
{
    (void)unused;
    static const char body[] =
        LEVEL("Level 1", "", "0") LEVEL("Level 2", "", "7") LEVEL("Level 3", "display:none", "9");
    made m = layer_of(body, "Level 2");
    assert_int_equal(m.status, HR_OK);
    assert_string_equal(m.plan->layer, "Level 2");
    assert_int_equal(m.plan->wall_count, 1);
    check_near(m.plan->walls[0].line.a.y, 7.0, 1e-12);
    assert_string_equal(m.plan->spaces[0].name, "A7");
    unmake(&m);
    m = layer_of(body, "level 1");
    assert_int_equal(m.status, HR_OK);
    check_near(m.plan->walls[0].line.a.y, 0.0, 1e-12);
    unmake(&m);
    /* hidden, and asked for */
    m = layer_of(body, "Level 3");
    assert_int_equal(m.status, HR_OK);
    assert_int_equal(m.plan->wall_count, 1);
    assert_string_equal(m.plan->spaces[0].name, "A9");
    unmake(&m);
    /* all of what is shown */
    m = layer_of(body, NULL);
    assert_int_equal(m.plan->wall_count, 2);
    assert_int_equal(m.plan->room_count, 2);
    unmake(&m);
}

static void hidden_things_in_a_hidden_layer(void **unused)
{
    (void)unused;
    static const char body[] = "<g inkscape:groupmode='layer' inkscape:label='L' style='display:none'>" WALLS(
        "M0 0H10") "<g style='display:none'>" WALLS("M0 2H10") "</g></g>";
    made m = layer_of(body, "L");
    assert_int_equal(m.status, HR_OK);
    assert_int_equal(m.plan->wall_count, 1);
    unmake(&m);
}

static void by_title_and_id(void **unused)
{
    (void)unused;
    made m =
        layer_of("<g id='first'>" WALLS("M0 0H10") "</g><g><title>Second</title>" WALLS("M0 2H20") "</g>", "FIRST");
    assert_int_equal(m.status, HR_OK);
    check_near(m.plan->wall_length_m, 10.0, 1e-12);
    unmake(&m);
    m = layer_of("<g id='first'>" WALLS("M0 0H10") "</g><g><title>Second</title>" WALLS("M0 2H20") "</g>", "second");
    assert_int_equal(m.status, HR_OK);
    check_near(m.plan->wall_length_m, 20.0, 1e-12);
    unmake(&m);
}

static void no_such_layer(void **unused)
{
    (void)unused;
    made m = layer_of(LEVEL("Level 1", "", "0") LEVEL("Level 2", "", "7"), "Level 4");
    assert_int_equal(m.status, HR_ERR_INPUT);
    assert_non_null(strstr(m.err.text, "Level 4"));
    assert_non_null(strstr(m.err.text, "Level 1"));
    assert_non_null(strstr(m.err.text, "Level 2"));
    unmake(&m);
}

static void scale_and_origin_outside_the_layer(void **unused)
{
    (void)unused;
    const hr_plan_options options = {.layer = "L"};
    made m = make(LAYER("scale: 10 m", LINE("M0 0H1000")) LAYER("origin", LINE("M90 90L110 110"))
                      LAYER("L", WALLS("M100 100H600")) LAYER("K", LAYER("walls: wrong", LINE("M0 0H5"))),
                  &options);
    assert_int_equal(m.status, HR_OK); /* what is wrong elsewhere is not read */
    check_near(m.plan->metres_per_unit, 0.01, 1e-14);
    check_near(m.plan->walls[0].line.a.x, 0.0, 1e-9);
    check_near(m.plan->walls[0].line.b.x, 5.0, 1e-9);
    unmake(&m);
    /* the layer's own scale comes first */
    m = make(LAYER("scale: 10 m", LINE("M0 0H1000"))
                 LAYER("L", LAYER("scale: 10 m", LINE("M0 0H500")) WALLS("M100 100H600")),
             &options);
    assert_int_equal(m.status, HR_OK);
    check_near(m.plan->metres_per_unit, 0.02, 1e-14);
    unmake(&m);
}

static void rows_of_what_was_left_aside(void **unused)
{
    (void)unused;
    made m = make_good(LAYER("A-WALLS", "<g inkscape:label='inner'>" LINE("M0 0H3") LINE("M0 1H4") "</g>") LAYER(
        "Furniture", LINE("M0 5H1V6H0Z")) LINE("M0 9H2") LAYER("ignore", LINE("M0 20H7")) WALLS("M0 8H9"));
    const hr_ignored *row = ignored_row(m.plan, "A-WALLS");
    assert_non_null(row); /* under its topmost name */
    assert_null(ignored_row(m.plan, "inner"));
    assert_int_equal(row->count, 2);
    check_near(row->length_m, 7.0, 1e-9);
    assert_int_equal(row->first_line, 2);
    assert_string_equal(row->nearest, "walls");
    row = ignored_row(m.plan, "Furniture");
    assert_non_null(row);
    check_near(row->length_m, 4.0, 1e-9);
    assert_null(row->nearest);
    row = ignored_row(m.plan, "");
    assert_non_null(row);
    check_near(row->length_m, 2.0, 1e-9);
    for (size_t i = 0; i < m.plan->ignored_count; i++) {
        assert_true(m.plan->ignored[i].reason != NULL && m.plan->ignored[i].reason[0] != '\0');
    }
    unmake(&m);
}

static void pictures_are_counted(void **unused)
{
    (void)unused;
    made m = make_good("<image x='0' y='0' width='10' height='10' xlink:href='scan.png'/>");
    assert_int_equal(m.plan->image_count, 1);
    unmake(&m);
}

const struct CMUnitTest layers_tests[] = {
    cmocka_unit_test(one_layer_of_several),
    cmocka_unit_test(hidden_things_in_a_hidden_layer),
    cmocka_unit_test(by_title_and_id),
    cmocka_unit_test(no_such_layer),
    cmocka_unit_test(scale_and_origin_outside_the_layer),
    cmocka_unit_test(rows_of_what_was_left_aside),
    cmocka_unit_test(pictures_are_counted),
};
const size_t layers_test_count = sizeof layers_tests / sizeof layers_tests[0];
