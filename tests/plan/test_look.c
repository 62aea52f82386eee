/*
 * test_look.c - what a drawing is made of, and the guesses at what it means.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_tests.h"

#include <stdio.h>
#include <string.h>

static hr_plan_survey *look_at(const char *body, const char *layer)
{
    hr_text text = {0};
    hr_text_addf(&text,
                 "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:inkscape=\"http://www.inkscape.org/namespaces/inkscape\" "
                 "width=\"100mm\" viewBox=\"0 0 200 100\">%s</svg>",
                 body);
    assert_false(text.failed);
    hr_svg_drawing *drawing = NULL;
    assert_int_equal(hr_svg_read("look.svg", text.bytes, text.len, NULL, &drawing, NULL), HR_OK);
    hr_plan_survey *survey = NULL;
    assert_int_equal(hr_plan_look(drawing, layer, materials_of_tests(), &survey, NULL), HR_OK);
    hr_svg_free(drawing); /* the survey stands by itself */
    hr_text_free(&text);
    return survey;
}

static const hr_plan_seen *row(const hr_plan_survey *s, hr_map_select select, const char *name)
{
    for (size_t i = 0; i < s->seen_count; i++) {
        const hr_plan_seen *seen = &s->seen[i];
        char colour[8];
        (void)snprintf(colour, sizeof colour, "#%02x%02x%02x", seen->stroke.r, seen->stroke.g, seen->stroke.b);
        if (seen->select == select && strcmp(select == HR_MAP_STROKE ? colour : seen->name, name) == 0) {
            return seen;
        }
    }
    fail_msg("no row for %s", name);
    return NULL;
}

static void counts_and_lengths(void **unused)
{
    (void)unused;
    hr_plan_survey *s = look_at("<g id=\"outer\" class=\"a b\"><g id=\"outer\"><path d=\"M0 0H100V50\" stroke=\"#f00\"/></g>"
                                "<rect width=\"10\" height=\"5\" stroke=\"rgb(255,0,0)\" class=\"b\"/></g>"
                                "<rect width=\"300\" height=\"5\"/>"
                                "<g display=\"none\"><path d=\"M0 0H1000\" stroke=\"#00f\"/></g>"
                                "<rect width=\"9\" height=\"9\" fill=\"none\"/>",
                                NULL);
    assert_int_equal(s->shapes, 3); /* neither the hidden nor the invisible one */
    assert_int_equal(s->strokeless, 1);
    check_near(s->width, 300.0, 1e-9);
    check_near(s->height, 50.0, 1e-9);
    check_near(s->unit_mm, 0.5, 1e-12);
    check_near(s->length, 790.0, 1e-9);
    const hr_plan_seen *outer = row(s, HR_MAP_LAYER, "outer");
    assert_int_equal(outer->shapes, 2); /* a group in a group of the same name counts once */
    assert_int_equal(outer->closed, 1);
    check_near(outer->length, 180.0, 1e-9);
    check_near(outer->long_length, 170.0, 1e-9); /* from a fortieth of 300 on */
    check_near(row(s, HR_MAP_CLASS, "b")->length, 180.0, 1e-9);
    const hr_plan_seen *red = row(s, HR_MAP_STROKE, "#ff0000");
    assert_int_equal(red->shapes, 2);
    check_near(red->length, 180.0, 1e-9);
    hr_plan_survey_free(s);
}

/* Names of layers as CAD offices and other languages have them. */
static void words_of_layers(void **unused)
{
    (void)unused;
    static const struct {
        const char *name, *target;
    } cases[] = {{"A-WALL-EXTR", "walls: brick-200"},     {"A-WALL-PRTN", "walls: framed-double"},
                 {"Wall", "walls: block-hollow"},         {"WALL-CONCRETE", "walls: concrete-150"},
                 {"wall brick-100", "walls: brick-100"},  {"Wand_Beton", "walls: concrete-150"},
                 {"Innenwände", "walls: framed-double"},   {"MURS EXTERIEURS", "walls: brick-200"},
                 {"interiorWalls", "walls: framed-double"}, {"A-DOOR", "doors: timber-door"},
                 {"Fire doors", "doors: fire-door"},      {"TÜREN", "doors: timber-door"},
                 {"A-GLAZ", "windows: glass"},            {"fenêtres", "windows: glass"},
                 {"Zimmer", "rooms"},                     {"S-COLS", "walls: concrete-200"},
                 {"couloir", "corridors"},                {"Elevators", "metal: lift"},
                 {"walls: concrete", "walls: concrete-150"},
                 /* drawn for people */
                 {"A-WALL-PATT", NULL},                   {"A-DOOR-IDEN", NULL},
                 {"Room labels", NULL},                   {"bathroom fittings", NULL},
                 {"outdoor", NULL},                       {"furniture", NULL},
                 {"0", NULL},                             {"Ebene 1", NULL}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        hr_text body = {0};
        hr_text_addf(&body, "<g inkscape:label=\"%s\" fill=\"none\" stroke=\"#000\"><path d=\"M0 0H100\"/><path d=\"M0 9H80\"/></g>",
                     cases[i].name);
        hr_plan_survey *s = look_at(body.bytes, NULL);
        const char *target = row(s, HR_MAP_LAYER, cases[i].name)->target;
        if ((target == NULL) != (cases[i].target == NULL) || (target != NULL && strcmp(target, cases[i].target) != 0)) {
            fail_msg("%s gave %s", cases[i].name, target != NULL ? target : "nothing");
        }
        assert_true(row(s, HR_MAP_LAYER, cases[i].name)->chosen == (target != NULL));
        hr_plan_survey_free(s);
        hr_text_free(&body);
    }
}

/* Nothing speaks for itself: the colour with most of the long lines, not the one with most lines. */
static void longest_lines_are_walls(void **unused)
{
    (void)unused;
    hr_text body = {0};
    for (int i = 0; i < 300; i++) {
        hr_text_addf(&body, "<path d=\"M%d 20v2\" stroke=\"#888\"/>", i % 100);
    }
    hr_text_add(&body, "<path d=\"M0 0H100V60H0Z\" stroke=\"#123456\"/><path d=\"M0 90H40\" stroke=\"#0a0\"/>");
    hr_plan_survey *s = look_at(body.bytes, NULL);
    assert_string_equal(row(s, HR_MAP_STROKE, "#123456")->target, "walls: block-hollow");
    assert_true(row(s, HR_MAP_STROKE, "#123456")->chosen);
    assert_false(row(s, HR_MAP_STROKE, "#888888")->chosen);
    assert_string_equal(row(s, HR_MAP_STROKE, "#00aa00")->target, "scale: 10 m");
    assert_false(row(s, HR_MAP_STROKE, "#00aa00")->chosen);
    hr_plan_survey_free(s);
    hr_text_free(&body);
}

static void outlines_round_texts_are_rooms(void **unused)
{
    (void)unused;
    const char *body = "<g stroke=\"#000\" fill=\"none\"><rect width=\"90\" height=\"30\"/><rect width=\"20\" height=\"20\"/>"
                       "<rect x=\"20\" width=\"20\" height=\"20\"/><path d=\"M40 0H60V20H40V0\"/></g>"
                       "<text x=\"5\" y=\"10\" font-size=\"4\">1</text><text x=\"25\" y=\"10\" font-size=\"4\">2</text>"
                       "<text x=\"45\" y=\"10\" font-size=\"4\">3</text>";
    hr_plan_survey *s = look_at(body, NULL);
    const hr_plan_seen *black = row(s, HR_MAP_STROKE, "#000000");
    assert_int_equal(black->closed, 4);
    assert_int_equal(black->labelled, 3); /* the smallest shape round each text */
    assert_string_equal(black->target, "rooms");
    assert_true(s->rooms_are_walls);
    hr_plan_survey_free(s);
}

static void own_words_need_no_guess(void **unused)
{
    (void)unused;
    hr_plan_survey *s = look_at(LAYER("walls: brick-200", LINE("M0 0H100"))
                                    LAYER("areas", "<rect width=\"9\" height=\"9\" stroke=\"#f00\"><title>Riser 1</title></rect>"
                                                   "<rect width=\"9\" height=\"9\" stroke=\"#f00\"><title>Riser 1</title></rect>")
                                        LAYER("scale: 5 m", LINE("M0 50H50")),
                                NULL);
    assert_string_equal(row(s, HR_MAP_LAYER, "walls: brick-200")->says, "walls: brick-200");
    assert_string_equal(s->scale, "scale: 5 m");
    for (size_t i = 0; i < s->seen_count; i++) {
        assert_false(s->seen[i].chosen);
    }
    assert_true(row(s, HR_MAP_LAYER, "Riser 1")->inside);
    hr_plan_survey_free(s);
}

static void one_layer_only(void **unused)
{
    (void)unused;
    const char *body = LAYER("Level 1", LINE("M0 0H100")) LAYER("Level 2", LINE("M0 0H10"));
    hr_plan_survey *s = look_at(body, "Level 2");
    assert_true(s->layer_found);
    check_near(s->length, 10.0, 1e-9);
    hr_plan_survey_free(s);
    s = look_at(body, "Level 3");
    assert_false(s->layer_found);
    check_near(s->length, 110.0, 1e-9);
    hr_plan_survey_free(s);
}

/* Ids that an editor numbers are one layer, and a map line means them all. */
static void numbered_ids(void **unused)
{
    (void)unused;
    const char *body = "<g id=\"LINE\"><path d=\"M0 0H10\" stroke=\"#000\"/></g><g id=\"LINE_1_\"><path d=\"M0 5H10\" stroke=\"#000\"/></g>"
                       "<g id=\"ARC_7_\"><path d=\"M0 9H4\" stroke=\"#000\"/></g>";
    hr_plan_survey *s = look_at(body, NULL);
    assert_int_equal(row(s, HR_MAP_LAYER, "LINE")->shapes, 2);
    hr_plan_survey_free(s);
    const hr_plan_map map = {.select = HR_MAP_LAYER, .text = "LINE", .target = "walls: brick-200"};
    const hr_plan_options options = {.metres_per_unit = 1.0, .maps = &map, .map_count = 1};
    made m = make(body, &options);
    assert_int_equal(m.status, HR_OK);
    check_near(m.plan->wall_length_m, 20.0, 1e-9);
    unmake(&m);
}

/* Lines among mapped rooms are walls as they are drawn: no wall runs along a chord that nobody drew. */
static void open_lines_among_rooms(void **unused)
{
    (void)unused;
    const hr_plan_map map = {.select = HR_MAP_STROKE, .stroke = {true, 0, 0, 0}, .target = "rooms"};
    const hr_plan_options options = {.metres_per_unit = 1.0, .maps = &map, .map_count = 1, .rooms_are_walls = "brick-200",
                                     .lenient = true};
    made m = make("<path d=\"M0 0H4V4H0Z\" fill=\"none\" stroke=\"#000\"><title>1</title></path>"
                  "<path d=\"M10 0V3H13\" fill=\"none\" stroke=\"#000\"/><path d=\"M20 0H25\" stroke=\"#000\"/>",
                  &options);
    assert_int_equal(m.status, HR_OK);
    check_near(m.plan->wall_length_m, 16.0 + 6.0 + 5.0, 1e-9);
    assert_int_equal(walls_at(m.plan, 11.5, 1.5, NULL), 0);
    assert_int_equal(m.plan->ignored_count, 0);
    unmake(&m);
}

static void what_is_left_is_kept(void **unused)
{
    (void)unused;
    hr_plan_options options = {.metres_per_unit = 0.5};
    const char *body = LAYER("walls: brick-200", LINE("M0 0H10")) LAYER("furniture", LINE("M2 2H6V4Z"));
    made m = make(body, &options);
    assert_int_equal(m.plan->left_count, 0);
    unmake(&m);
    options.keep_left = true;
    m = make(body, &options);
    assert_int_equal(m.plan->left_count, 1);
    assert_int_equal(m.plan->left[0].count, 3);
    assert_true(m.plan->left[0].closed);
    check_near(m.plan->left[0].points[1].x, 3.0, 1e-9);
    unmake(&m);
}

const struct CMUnitTest look_tests[] = {
    cmocka_unit_test(counts_and_lengths),  cmocka_unit_test(words_of_layers),
    cmocka_unit_test(longest_lines_are_walls), cmocka_unit_test(outlines_round_texts_are_rooms),
    cmocka_unit_test(own_words_need_no_guess), cmocka_unit_test(one_layer_only),
    cmocka_unit_test(numbered_ids),        cmocka_unit_test(open_lines_among_rooms),
    cmocka_unit_test(what_is_left_is_kept)};
const size_t look_test_count = sizeof look_tests / sizeof look_tests[0];
