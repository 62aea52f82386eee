/*
 * test_drawing.c - how plans are found and read: files, layers, map lines,
 * scale.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_test.h"

static void test_plan_files(void **state)
{
    (void)state;
    refuse(HEAD "[storey 1]\nplan = absent.svg\n", HR_ERR_INPUT, 0, "(the plan of [storey 1], ");
    refuse(HEAD "[storey 1]\nplan = -\n", HR_ERR_INPUT, 7, "the name of a drawing");
    refuse(HEAD "[storey 1]\nplan = #x\n", HR_ERR_INPUT, 7, "the name of a drawing");
    refuse(HEAD "[storey 1]\nplan = two.svg#\n", HR_ERR_INPUT, 7, "the name of a layer");
    test_write("text.svg", "this is no drawing");
    reading r = read_text(HEAD "[storey 1]\nplan = text.svg\n");
    assert_int_equal(r.status, HR_ERR_INPUT);
    assert_non_null(strstr(r.err.file, "text.svg"));
    done(&r);
}

static void test_plan_is_beside_the_file(void **state)
{
    (void)state;
    char text[512];
    (void)snprintf(text, sizeof text, HEAD "[storey 1]\nplan = %stwo.svg\n", test_folder()); /* absolute works too */
    reading r = reads(text);
    assert_non_null(strstr(r.b->plans[0]->file, "/two.svg"));
    done(&r);
}

static void test_layers(void **state)
{
    (void)state;
    reading r = reads(HEAD "[storey 1]\nplan = layers.svg#Level 1\n[storey 2]\nplan = layers.svg#Level 2\n");
    assert_int_equal(r.b->plan_count, 2);
    assert_int_equal(r.b->room_count, 4);
    assert_string_equal(r.b->rooms[0].name, "101");
    assert_string_equal(r.b->rooms[2].name, "201");
    assert_int_equal(r.b->rooms[2].storey, 1);
    done(&r);
}

static void test_one_plan_read_once(void **state)
{
    (void)state;
    const char *const name = "room_name = {storey}{name}\n";
    char text[1024];
    (void)snprintf(text, sizeof text,
                   HEAD "[storey 1]\nplan = two.svg\n%s[storey 2]\nplan = lobby.svg\n[storey 3]\nplan = two.svg\n%s"
                        "[storey 4]\nplan = two.svg\n%smetres_per_unit = 0.01\n",
                   name, name, name);
    reading r = reads(text);
    assert_int_equal(r.b->plan_count, 3); /* storey 4 reads it in its own way */
    assert_int_equal(r.b->storeys[2].plan_index, 0);
    assert_ptr_equal(r.b->storeys[2].plan, r.b->plans[0]);
    assert_int_equal(r.b->storeys[3].plan_index, 2);
    done(&r);
}

static void test_no_walls_no_rooms(void **state)
{
    (void)state;
    reading r = read_text(HEAD "[storey 1]\nplan = bare.svg\n");
    assert_int_equal(r.status, HR_ERR_INPUT);
    assert_non_null(strstr(r.err.file, "bare.svg"));
    assert_non_null(strstr(r.err.text, "plan has no walls"));
    done(&r);
    r = read_text(HEAD "[storey 1]\nplan = lobby.svg\n");
    assert_int_equal(r.status, HR_ERR_INPUT);
    assert_non_null(strstr(r.err.file, "lobby.svg"));
    assert_non_null(strstr(r.err.text, "plan has no rooms"));
    done(&r);
    const hr_building_options lenient = {.lenient = true};
    r = read_with(HEAD "[storey 1]\nplan = bare.svg\n[storey 2]\nplan = lobby.svg\n", &lenient);
    assert_int_equal(r.status, HR_OK);
    assert_int_equal(r.b->room_count, 2);
    done(&r);
    r = read_with(HEAD "[storey 2]\nplan = lobby.svg\n", &lenient);
    assert_int_equal(r.status, HR_OK);
    assert_int_equal(r.b->room_count, 0);
    assert_int_equal(r.b->device_count, 0);
    done(&r);
}

static void test_scale(void **state)
{
    (void)state;
    reading r = read_text(HEAD "[storey 1]\nplan = unscaled.svg\n");
    assert_int_equal(r.status, HR_ERR_INPUT);
    assert_non_null(strstr(r.err.file, "unscaled.svg"));
    done(&r);
    r = reads(HEAD "[drawing]\nmetres_per_unit = 0.02\n[storey 1]\nplan = unscaled.svg\n");
    check_near(r.b->plans[0]->metres_per_unit, 0.02, 0.0);
    done(&r);
    /* a storey's own key comes before [drawing]'s */
    r = reads(HEAD "[drawing]\nmetres_per_unit = 0.02\n[storey 1]\nplan = unscaled.svg\nmetres_per_unit = 0.01\n");
    check_near(r.b->plans[0]->metres_per_unit, 0.01, 0.0);
    done(&r);
    const hr_building_options lenient = {.lenient = true};
    r = read_with("[property]\nname = T\nlength_unit = m\n[storey 1]\nplan = unscaled.svg\n", &lenient);
    assert_int_equal(r.status, HR_OK);
    done(&r);
}

static void test_drawn_at(void **state)
{
    (void)state;
    test_write("page.svg", "<svg xmlns='http://www.w3.org/2000/svg' width='200mm' height='200mm' viewBox='0 0 200 200'>"
                           "<g data-name='walls: brick-100'><path d='M0 0H80V70H0Z'/></g>"
                           "<g data-name='rooms'><rect width='80' height='70'><title>1</title></rect></g></svg>");
    reading r = reads(HEAD "[drawing]\ndrawn_at = 1:100\n[storey 1]\nplan = page.svg\n");
    check_near(r.b->plans[0]->metres_per_unit, 0.1, 1e-12); /* 1 mm on paper is 100 mm */
    done(&r);
    static const char *const bad[] = {"100", "1:0", "2:100", "1:x", ":100", "1:", "1:1e9", "1:100 or so"};
    for (size_t i = 0; i < COUNT_OF(bad); i++) {
        char text[512];
        (void)snprintf(text, sizeof text, HEAD "[drawing]\ndrawn_at = %s\n[storey 1]\nplan = page.svg\n", bad[i]);
        refuse(text, HR_ERR_INPUT, 7, "a scale like 1:100");
    }
}

static void test_map_lines(void **state)
{
    (void)state;
    reading r = reads(HEAD "[drawing]\nmap = layer \"A-WALL\" -> walls: brick-100\nmap = stroke #ff0000 -> ignore\n"
                           "[storey 1]\nplan = foreign.svg\n");
    assert_true(r.b->plans[0]->wall_count > 0);
    assert_string_equal(hr_materials_get(r.b->materials, r.b->plans[0]->walls[0].material)->name, "brick-100");
    done(&r);
    /* maps of a storey's own stand instead of [drawing]'s */
    r = reads(HEAD "[drawing]\nmap = layer \"A-WALL\" -> walls: brick-100\n[storey 1]\nplan = foreign.svg\n"
                   "map=layer\"A-WALL\"->walls: plasterboard\n");
    assert_string_equal(hr_materials_get(r.b->materials, r.b->plans[0]->walls[0].material)->name, "plasterboard");
    done(&r);
}

static void test_bad_map_lines(void **state)
{
    (void)state;
    static const struct {
        const char *map, *words;
    } bad[] = {{"color \"x\" -> walls: brick-100", "layer \"NAME\", class \"NAME\" or stroke"},
               {"layers \"x\" -> walls: brick-100", "layer \"NAME\""},
               {"layer x -> walls: brick-100", "double quotes"},
               {"layer \"x -> walls: brick-100", "double quotes"},
               {"layer \"\" -> walls: brick-100", "double quotes"},
               {"layer \"a ; b\" -> walls: brick-100", "start a comment"},
               {"stroke red-ish -> walls: brick-100", "a colour"},
               {"stroke none -> walls: brick-100", "a colour"},
               {"stroke #ff000 -> walls: brick-100", "a colour"},
               {"stroke", "layer \"NAME\""},
               {"layer \"x\" walls: brick-100", "-> KIND: VALUE"},
               {"layer \"x\" ->", "-> KIND: VALUE"},
               {"layer \"x\"", "-> KIND: VALUE"}};
    for (size_t i = 0; i < COUNT_OF(bad); i++) {
        char text[512];
        (void)snprintf(text, sizeof text, HEAD "[drawing]\nmap = %s\n" STOREY, bad[i].map);
        refuse(text, HR_ERR_INPUT, 7, bad[i].words);
        (void)snprintf(text, sizeof text, HEAD STOREY "map = %s\n", bad[i].map);
        refuse(text, HR_ERR_INPUT, 8, bad[i].words);
    }
}

static void test_rooms_are_walls(void **state)
{
    (void)state;
    refuse(HEAD "[drawing]\nrooms_are_walls = brick-10\n" STOREY, HR_ERR_INPUT, 7, "did you mean brick-100?");
    refuse(HEAD "[drawing]\nrooms_are_walls = xyzzyxyzzy\n" STOREY, HR_ERR_INPUT, 7, "or off was expected");
    reading r = reads(HEAD "[drawing]\nrooms_are_walls = off\nwall_pairing = off\n" STOREY);
    done(&r);
}

/* Faces of a wall 0.2 m apart stand as one line in the middle; off, each counts. */
static void test_wall_pairing(void **state)
{
    (void)state;
    test_write("faces.svg", "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 100 100'>"
                            "<g data-name='walls: brick-200' fill='none' stroke='#000'>"
                            "<path d='M10 10H90'/><path d='M10 12H90'/></g></svg>");
    const hr_building_options lenient = {.lenient = true};
    reading r = read_with(HEAD "[storey 1]\nplan = faces.svg\n[drawing]\nmetres_per_unit = 0.1\n", &lenient);
    assert_int_equal(r.status, HR_OK);
    assert_int_equal(r.b->plans[0]->wall_count, 2);
    done(&r);
    r = read_with(HEAD "[storey 1]\nplan = faces.svg\n[drawing]\nmetres_per_unit = 0.1\nwall_pairing = 0.3\n", &lenient);
    assert_int_equal(r.status, HR_OK);
    assert_int_equal(r.b->plans[0]->wall_count, 1);
    check_near(r.b->plans[0]->walls[0].line.a.y, 1.1, 1e-6);
    check_near(r.b->plans[0]->wall_length_m, 8.0, 1e-6);
    done(&r);
    refuse(HEAD "[drawing]\nwall_pairing = 3\n" STOREY, HR_ERR_INPUT, 7, "wall_pairing");
    /* a storey's own key wins */
    r = read_with(HEAD "[storey 1]\nplan = faces.svg\nwall_pairing = off\n[drawing]\nmetres_per_unit = 0.1\n"
                       "wall_pairing = 0.3\n",
                  &lenient);
    assert_int_equal(r.status, HR_OK);
    assert_int_equal(r.b->plans[0]->wall_count, 2);
    done(&r);
}

static void test_rooms_as_walls(void **state)
{
    (void)state;
    test_write("outlines.svg", "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 100 100'>"
                               "<g data-name='rooms' fill='none' stroke='#000'><rect x='0' y='0' width='40' height='50'>"
                               "<title>1</title></rect><rect x='40' y='0' width='40' height='50'><title>2</title></rect>"
                               "</g></svg>");
    reading r = reads(HEAD "[storey 1]\nplan = outlines.svg\n[drawing]\nmetres_per_unit = 0.1\n"
                           "rooms_are_walls = brick-200\n");
    /* 8 x 5 m and the party wall once */
    check_near(r.b->plans[0]->wall_length_m, 31.0, 1e-6);
    done(&r);
}

const struct CMUnitTest drawing_tests[] = {cmocka_unit_test(test_plan_files),
                                           cmocka_unit_test(test_plan_is_beside_the_file),
                                           cmocka_unit_test(test_layers),
                                           cmocka_unit_test(test_one_plan_read_once),
                                           cmocka_unit_test(test_no_walls_no_rooms),
                                           cmocka_unit_test(test_scale),
                                           cmocka_unit_test(test_drawn_at),
                                           cmocka_unit_test(test_map_lines),
                                           cmocka_unit_test(test_bad_map_lines),
                                           cmocka_unit_test(test_rooms_are_walls),
                                           cmocka_unit_test(test_wall_pairing),
                                           cmocka_unit_test(test_rooms_as_walls)};
const size_t drawing_test_count = COUNT_OF(drawing_tests);
