/*
 * test_names.c - what a name says a shape is.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_tests.h"

/* The material of the one wall. */
static void is_one_wall_of(const char *body, const char *material)
{
    made m = make_good(body);
    if (m.plan->wall_count != 1) {
        fail_msg("%zu walls in %s", m.plan->wall_count, body);
    }
    assert_int_equal(m.plan->walls[0].material, material_called(material));
    unmake(&m);
}

static void is_no_wall(const char *body)
{
    made m = make_good(body);
    if (m.plan->wall_count != 0) {
        fail_msg("a wall in %s", body);
    }
    unmake(&m);
}

#define BRICK_LINE LINE("M0 0H5")

static void every_place_for_a_name(void **unused)
{
    (void)unused;
    is_one_wall_of("<g inkscape:label='walls: brick-200'>" BRICK_LINE "</g>", "brick-200");
    is_one_wall_of("<g><title>walls: brick-200</title>" BRICK_LINE "</g>", "brick-200");
    is_one_wall_of("<g data-name='walls: brick-200'>" BRICK_LINE "</g>", "brick-200");
    is_one_wall_of("<g id='walls: brick-200'>" BRICK_LINE "</g>", "brick-200");
    is_one_wall_of("<g id='walls_x3A__brick-200'>" BRICK_LINE "</g>", "brick-200");
    is_one_wall_of("<g id='walls_x3A_brick_x2D_200'>" BRICK_LINE "</g>", "brick-200");
    is_one_wall_of("<g id='walls_x003A__x20_brick-200'>" BRICK_LINE "</g>", "brick-200");
    is_one_wall_of("<g class='thick walls:brick-200 x'>" BRICK_LINE "</g>", "brick-200");
    is_one_wall_of("<line x1='0' y1='0' x2='5' y2='0' stroke='red' inkscape:label='walls: brick-200'/>", "brick-200");
}

static void the_first_recognised_name_counts(void **unused)
{
    (void)unused;
    is_one_wall_of("<g inkscape:label='walls: brick-200'><title>walls: plasterboard</title>" BRICK_LINE "</g>",
                   "brick-200");
    is_one_wall_of("<g inkscape:label='Level 1'><title>walls: plasterboard</title>" BRICK_LINE "</g>", "plasterboard");
    is_one_wall_of("<g data-name='walls: brick-200' id='walls: plasterboard'>" BRICK_LINE "</g>", "brick-200");
    is_one_wall_of("<g id='walls: brick-200' class='walls:plasterboard'>" BRICK_LINE "</g>", "brick-200");
    /* an automatic label */
    is_one_wall_of("<g inkscape:label='#walls: brick-200' id='walls: plasterboard'>" BRICK_LINE "</g>", "plasterboard");
}

static void case_and_blanks_do_not_matter(void **unused)
{
    (void)unused;
    is_one_wall_of("<g inkscape:label='  WALLS  :Brick-200 '>" BRICK_LINE "</g>", "brick-200");
    is_one_wall_of("<g id='Walls:BRICK-200'>" BRICK_LINE "</g>", "brick-200");
    made m = make_quiet(LAYER("Keep-Out", LINE("M0 0H1V1Z")) LAYER("KEEP-OUT ", LINE("M4 0H5V1Z")));
    assert_int_equal(m.plan->keep_out_count, 2);
    unmake(&m);
}

static void an_editors_suffix_comes_off_last(void **unused)
{
    (void)unused;
    is_one_wall_of("<g id='walls_x3A__brick-200-2'>" BRICK_LINE "</g>", "brick-200");
    is_one_wall_of("<g id='walls_x3A__brick-200-2-3'>" BRICK_LINE "</g>", "brick-200");
    is_one_wall_of("<g id='walls_x3A__brick-200_1_'>" BRICK_LINE "</g>", "brick-200");
    /* brick-100 and brick-200 are names with digits of their own */
    is_one_wall_of("<g id='walls_x3A__brick-100'>" BRICK_LINE "</g>", "brick-100");
    /* an exact name further down beats a suffix further up */
    is_one_wall_of("<g inkscape:label='rooms-2' id='walls: plasterboard'>" BRICK_LINE "</g>", "plasterboard");
    made m = make_quiet("<g id='keep-out-2'>" LINE("M0 0H1V1Z") "</g><g id='ignore_3_'>" LINE("M0 0H1V1Z") "</g>");
    assert_int_equal(m.plan->keep_out_count, 1);
    unmake(&m);
}

static void names_hold_for_what_is_inside(void **unused)
{
    (void)unused;
    made m = make_quiet(
        LAYER("walls: brick-200",
              "<g><g inkscape:label='left side'>" LINE("M0 0H5") "</g></g>" LAYER("walls: plasterboard", LINE("M0 1H5"))
                  LINE("M0 2H5") LAYER("ignore", LINE("M0 3H5") LAYER("walls: glass", LINE("M0 4H5")))));
    uint32_t material = 0;
    assert_int_equal(m.plan->wall_count, 4);
    assert_int_equal(walls_at(m.plan, 2, 0, &material), 1);
    assert_int_equal(material, material_called("brick-200"));
    assert_int_equal(walls_at(m.plan, 2, 1, &material), 1);
    assert_int_equal(material, material_called("plasterboard"));
    assert_int_equal(walls_at(m.plan, 2, 2, &material), 1);
    assert_int_equal(material, material_called("brick-200"));
    assert_int_equal(walls_at(m.plan, 2, 3, NULL), 0);
    assert_int_equal(walls_at(m.plan, 2, 4, &material), 1); /* overridden again */
    assert_int_equal(material, material_called("glass"));
    unmake(&m);
}

static void misspelt_kinds(void **unused)
{
    (void)unused;
    refused("\n<g inkscape:label='wals: brick-200'>" BRICK_LINE "</g>", NULL, 3, "walls");
    refused("<g inkscape:label='window: glass'>" BRICK_LINE "</g>", NULL, 2, "windows");
    refused("<g id='dors_x3A_timber-door'>" BRICK_LINE "</g>", NULL, 2, "doors");
    /* without a colon it is another drawer's layer */
    made m = make_good(LAYER("wals", BRICK_LINE));
    assert_int_equal(m.plan->wall_count, 0);
    const hr_ignored *row = ignored_row(m.plan, "wals");
    assert_non_null(row);
    assert_string_equal(row->nearest, "walls");
    unmake(&m);
    /* a colon after a word of its own is nothing of ours */
    is_no_wall(LAYER("chairs: oak", BRICK_LINE));
    /* what is drawn right beats the misspelt name beside it */
    is_one_wall_of("<g inkscape:label='walls: brick-200' id='wals_x3A_x'>" BRICK_LINE "</g>", "brick-200");
}

static void unknown_materials(void **unused)
{
    (void)unused;
    refused("\n\n<g inkscape:label='walls: brik-200'>" BRICK_LINE "</g>", NULL, 4, "brick-200");
    refused(LAYER("doors: timberdoor 0-2.1", BRICK_LINE), NULL, 2, "timber-door");
    refused(LAYER("solids: qqqqqqqqqqqq", BRICK_LINE), NULL, 2, "qqqqqqqqqqqq");
    refused(LAYER("walls", BRICK_LINE), NULL, 2, "material");
    refused(LAYER("solids:", BRICK_LINE), NULL, 2, "material");
}

static void openings_without_a_material(void **unused)
{
    (void)unused;
    made m =
        make_quiet(WALLS("M0 0H20") LAYER("doors", LINE("M1 0H2")) LAYER("windows", LINE("M3 0H4"))
                       LAYER("doors: fire-door 0-2.1", LINE("M5 0H6"))
                           LAYER("windows:glass 0.4 - 2.4 m", LINE("M7 0H8")) LAYER("doors: 0-3", LINE("M9 0H10")));
    assert_int_equal(m.plan->opening_count, 5);
    const struct {
        const char *material;
        double low_m, high_m;
        bool is_door;
    } expected[5] = {{"timber-door", 0.0, 2.05, true},
                     {"glass", 0.9, 2.1, false},
                     {"fire-door", 0.0, 2.1, true},
                     {"glass", 0.4, 2.4, false},
                     {"timber-door", 0.0, 3.0, true}};
    for (size_t i = 0; i < 5; i++) {
        const hr_opening *o = &m.plan->openings[i];
        assert_int_equal(o->material, material_called(expected[i].material));
        check_near(o->low_m, expected[i].low_m, 1e-12);
        check_near(o->high_m, expected[i].high_m, 1e-12);
        assert_int_equal(o->is_door, expected[i].is_door);
    }
    unmake(&m);
    refused(LAYER("doors: timber-door 2.1-0", BRICK_LINE), NULL, 2, "2.1-0");
}

static void metal_names(void **unused)
{
    (void)unused;
    made m = make_good(LAYER("metal: duct 2.2-2.6", LINE("M0 0H1V1H0Z")) LAYER("metal: lift", LINE("M3 0H5V2H3Z")));
    assert_int_equal(m.plan->metal_count, 2);
    assert_int_equal(m.plan->metals[0].material, material_called("duct"));
    check_near(m.plan->metals[0].low_m, 2.2, 1e-12);
    check_near(m.plan->metals[0].high_m, 2.6, 1e-12);
    assert_int_equal(m.plan->metals[1].material, material_called("lift"));
    assert_true(isinf(m.plan->metals[1].low_m) && m.plan->metals[1].low_m < 0.0);
    assert_true(isinf(m.plan->metals[1].high_m) && m.plan->metals[1].high_m > 0.0);
    assert_int_equal(hr_notes_count(m.notes), 0);
    unmake(&m);
    m = make_good(LAYER("metal", LINE("M0 0H1V1H0Z")));
    assert_int_equal(m.plan->metals[0].material, material_called("sheet-metal"));
    assert_true(has_note(&m, "sheet-metal"));
    unmake(&m);
    m = make_good(LAYER("metal: wardrobe 0-2.2", LINE("M0 0H1V1H0Z")));
    assert_int_equal(m.plan->metals[0].material, material_called("sheet-metal"));
    assert_string_equal(m.plan->metals[0].name, "wardrobe");
    check_near(m.plan->metals[0].high_m, 2.2, 1e-12);
    assert_true(has_note(&m, "wardrobe"));
    unmake(&m);
}

static void closed_and_open_metal(void **unused)
{
    (void)unused;
    made m = make_good(LAYER("metal: duct", LINE("M0 0H1V1H0Z") LINE("M5 0H7V2")));
    assert_int_equal(m.plan->metal_count, 2);
    assert_int_equal(m.plan->metals[0].region.ring_count, 1);
    assert_int_equal(m.plan->metals[0].line_count, 0);
    assert_int_equal(m.plan->metals[1].region.ring_count, 0);
    assert_int_equal(m.plan->metals[1].line_count, 2);
    check_near(hr_geometry_length(m.plan->metals[1].lines[0]), 2.0, 1e-12);
    unmake(&m);
}

static void slabs_and_voids(void **unused)
{
    (void)unused;
    made m =
        make_quiet(LAYER("slab", LINE("M0 0H10V10H0Z") LINE("M20 0H30V10H20Z")) LAYER("void", LINE("M1 1H2V2H1Z")));
    assert_int_equal(m.plan->slab_count, 2);
    assert_int_equal(m.plan->void_count, 1);
    check_near(hr_geometry_area(&m.plan->slabs[0].region), 100.0, 1e-9);
    assert_true(m.plan->voids[0].material == HR_PLAN_NONE);
    unmake(&m);
    refused(LAYER("slab", LINE("M0 0H10V10H0")), NULL, 2, "open");
    refused(LAYER("solids: brick-200", LINE("M0 0H10V10H5")), NULL, 2, "open");
}

static void what_is_not_drawn_does_not_count(void **unused)
{
    (void)unused;
    is_no_wall("<g inkscape:label='walls: brick-200' style='display:none'>" BRICK_LINE "</g>");
    is_no_wall("<g style='display:none'>" LAYER("walls: brick-200", BRICK_LINE) "</g>");
    is_no_wall(LAYER("walls: brick-200", "<path d='M0 0H5' stroke='red' visibility='hidden'/>"));
    is_no_wall(LAYER("walls: brick-200", "<path d='M0 0H5' stroke='none' fill='none'/>"));
    /* a filled shape without a stroke is drawn: its outline counts */
    made m = make_good(LAYER("walls: brick-200", "<path d='M0 0H5V4H0Z'/>"));
    assert_int_equal(m.plan->wall_count, 4);
    unmake(&m);
    /* but a layer of ours that is switched off is told */
    m = make_good("<g inkscape:label='walls: brick-200' style='display:none'>" BRICK_LINE "</g>");
    assert_non_null(ignored_row(m.plan, "walls: brick-200"));
    check_near(ignored_row(m.plan, "walls: brick-200")->length_m, 5.0, 1e-9);
    unmake(&m);
    /* a misspelt name in a hidden layer stops nobody */
    is_no_wall("<g style='display:none'>" LAYER("wals: brick-200", BRICK_LINE) "</g>");
}

static void kinds_have_names(void **unused)
{
    (void)unused;
    assert_string_equal(hr_plan_kind_name(HR_PLAN_WALLS), "walls");
    assert_string_equal(hr_plan_kind_name(HR_PLAN_KEEP_OUT), "keep-out");
    assert_string_equal(hr_plan_kind_name(HR_PLAN_IGNORE), "ignore");
}

const struct CMUnitTest names_tests[] = {
    cmocka_unit_test(every_place_for_a_name),
    cmocka_unit_test(the_first_recognised_name_counts),
    cmocka_unit_test(case_and_blanks_do_not_matter),
    cmocka_unit_test(an_editors_suffix_comes_off_last),
    cmocka_unit_test(names_hold_for_what_is_inside),
    cmocka_unit_test(misspelt_kinds),
    cmocka_unit_test(unknown_materials),
    cmocka_unit_test(openings_without_a_material),
    cmocka_unit_test(metal_names),
    cmocka_unit_test(closed_and_open_metal),
    cmocka_unit_test(slabs_and_voids),
    cmocka_unit_test(what_is_not_drawn_does_not_count),
    cmocka_unit_test(kinds_have_names),
};
const size_t names_test_count = sizeof names_tests / sizeof names_tests[0];
