/*
 * test_walls.c - strokes into walls; what is drawn twice stands once.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_tests.h"

#include <stdlib.h>
#include <time.h>

static void each_straight_piece_is_a_wall(void **unused)
{
    (void)unused;
    made m = make_quiet(LAYER("walls: brick-200", LINE("M0 0H10V8")                                 /* 2 */
                              LINE("M20 0H30V8Z")                                                   /* 3 */
                              "<rect x='40' y='0' width='10' height='8' fill='none' stroke='red'/>" /* 4 */
                              "<polyline points='60,0 70,0 70,8' fill='none' stroke='red'/>"        /* 2 */
                              "<polygon points='80,0 90,0 90,8' fill='none' stroke='red'/>"         /* 3 */
                              "<line x1='100' y1='0' x2='110' y2='0' stroke='red'/>"                /* 1 */
                              LINE("M0 20H4H10M0 22H3M5 22H8")));                                   /* 2 + 1 + 1 */
    assert_int_equal(m.plan->wall_count, 19);
    assert_int_equal(m.plan->merged_walls, 0);
    double sum = 0.0;
    for (size_t i = 0; i < m.plan->wall_count; i++) {
        const hr_wall *wall = &m.plan->walls[i];
        assert_int_equal(wall->material, material_called("brick-200"));
        assert_false(wall->is_gap);
        sum += hr_geometry_length(wall->line);
    }
    check_near(m.plan->wall_length_m, sum, 1e-9);
    check_near(sum, 18 + (18 + sqrt(164.0)) + 36 + 18 + (18 + sqrt(164.0)) + 10 + 16, 1e-9);
    check_near(m.plan->box.x1, 110.0, 1e-9);
    check_near(m.plan->box.y1, 22.0, 1e-9);
    unmake(&m);
}

static void a_round_wall(void **unused)
{
    (void)unused;
    made m = make_quiet(LAYER("walls: brick-200", "<circle cx='5' cy='5' r='3' fill='none' stroke='red'/>"));
    check_near(m.plan->wall_length_m, 6.0 * 3.14159265358979, 0.02);
    assert_true(m.plan->wall_length_m < 6.0 * 3.14159265358979);
    for (size_t i = 0; i < m.plan->wall_count; i++) {
        check_near(hr_geometry_distance(m.plan->walls[i].line.a, (hr_point){5, 5}), 3.0, 0.0011);
        check_near(hr_geometry_distance(hr_geometry_at(m.plan->walls[i].line, 0.5), (hr_point){5, 5}), 3.0, 0.0011);
    }
    unmake(&m);
}

/* Wall length, the pieces merged away, and the material at some places. */
static void becomes(const char *body, double length_m, size_t count, bool merged)
{
    made m = make_good(body);
    check_near(m.plan->wall_length_m, length_m, 2e-3);
    if (m.plan->wall_count != count || (m.plan->merged_walls > 0) != merged) {
        fail_msg("%zu walls, %zu merged in %s", m.plan->wall_count, m.plan->merged_walls, body);
    }
    unmake(&m);
}

#define BRICK(d) LAYER("walls: brick-200", LINE(d))

static void one_wall_drawn_twice(void **unused)
{
    (void)unused;
    becomes(BRICK("M0 0H10") BRICK("M0 0H10"), 10, 1, true);
    becomes(BRICK("M0 0H10") BRICK("M10 0H0"), 10, 1, true);
    becomes(BRICK("M0 0L6 8") BRICK("M6 8L0 0") BRICK("M0 0L6 8"), 10, 1, true);
    becomes(BRICK("M0 0H10") BRICK("M0 .0009H10"), 10, 1, true);
    becomes(BRICK("M0 0H10") BRICK("M0 .002H10"), 20, 2, false);
    /* only near each other at one end */
    becomes(BRICK("M0 0H10") BRICK("M0 0L10 .1"), 20, 2, false);
    /* crossing, touching at a corner, one behind the other */
    becomes(BRICK("M0 0H10") BRICK("M5 -5V5"), 20, 2, false);
    becomes(BRICK("M0 0H10") BRICK("M10 0V5"), 15, 2, false);
    becomes(BRICK("M0 0H10") BRICK("M10 0H15"), 15, 2, false);
    becomes(BRICK("M0 0H10H15"), 15, 2, false);
    /* there and back */
    becomes(BRICK("M0 0H10H0"), 10, 1, true);
}

static void partly_one_over_the_other(void **unused)
{
    (void)unused;
    static const char body[] = BRICK("M0 0H10") BRICK("M5 0H15");
    made m = make_good(body);
    check_near(m.plan->wall_length_m, 15.0, 1e-9);
    assert_true(m.plan->merged_walls > 0);
    for (double x = 0.25; x < 15.0; x += 0.5) {
        assert_int_equal(walls_at(m.plan, x, 0.0, NULL), 1);
    }
    unmake(&m);
}

static void the_larger_loss_stays(void **unused)
{
    (void)unused;
    /* at 915 MHz plasterboard 2 dB, concrete-100 6 dB, brick-200 9 dB */
    made m = make_good(WALLS("M0 0H20") BRICK("M15 0H5") LAYER("walls: concrete-100", LINE("M8 0H25")));
    const struct {
        double x;
        const char *material;
    } expected[] = {{2, "plasterboard"}, {6, "brick-200"},     {9, "brick-200"},
                    {14.5, "brick-200"}, {17, "concrete-100"}, {22, "concrete-100"}};
    check_near(m.plan->wall_length_m, 25.0, 1e-9);
    for (size_t i = 0; i < sizeof expected / sizeof expected[0]; i++) {
        uint32_t material = 0;
        assert_int_equal(walls_at(m.plan, expected[i].x, 0.0, &material), 1);
        assert_int_equal(material, material_called(expected[i].material));
    }
    assert_true(m.plan->merged_walls >= 2);
    unmake(&m);
}

static void a_shared_outline_stands_once(void **unused)
{
    (void)unused;
    made m = make_good(LAYER("walls: brick-200", "<rect width='4' height='5' fill='none' stroke='red'/>"
                                                 "<rect x='4' width='4' height='5' fill='none' stroke='red'/>"
                                                 "<rect x='8' y='2' width='4' height='5' fill='none' stroke='red'/>"));
    check_near(m.plan->wall_length_m, 3 * 18 - 5 - 3, 1e-9);
    assert_int_equal(m.plan->merged_walls, 2);
    unmake(&m);
}

static uint64_t random_bits(uint64_t *state)
{
    *state += 0x9e3779b97f4a7c15u; /* splitmix64 */
    uint64_t z = *state;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
}

#define GRID 12

/* Strokes on the lines of a grid, cell by cell against the plan. */
static void random_overlaps_against_cells(void **unused)
{
    (void)unused;
    static const char *const names[3] = {"plasterboard", "concrete-100", "brick-200"}; /* 2, 6, 9 dB */
    uint64_t state = 20;
    for (int round = 0; round < 60; round++) {
        int cells[2][GRID][GRID] = {{{0}}}; /* upright, line, cell: 1 + heaviest */
        hr_text body = {0};
        const size_t strokes = 3 + (size_t)(random_bits(&state) % 25);
        for (size_t s = 0; s < strokes; s++) {
            const size_t upright = (size_t)(random_bits(&state) % 2), line = (size_t)(random_bits(&state) % 3);
            size_t from = (size_t)(random_bits(&state) % GRID), to = (size_t)(random_bits(&state) % GRID);
            const int material = (int)(random_bits(&state) % 3);
            to += to == from;
            hr_text_addf(&body, "<g inkscape:label='walls: %s'><path stroke='red' d='M", names[material]);
            if (upright == 1) {
                hr_text_addf(&body, "%zu %zuV%zu'/></g>", line, from, to);
            } else {
                hr_text_addf(&body, "%zu %zuH%zu'/></g>", from, line, to);
            }
            for (size_t c = from < to ? from : to; c < (from < to ? to : from); c++) {
                int *cell = &cells[upright][line][c];
                *cell = material + 1 > *cell ? material + 1 : *cell;
            }
        }
        made m = make_good(body.bytes);
        size_t covered = 0;
        for (size_t upright = 0; upright < 2; upright++) {
            for (size_t line = 0; line < GRID; line++) {
                for (size_t c = 0; c < GRID; c++) {
                    const double at = (double)c + 0.5, off = (double)line;
                    uint32_t material = 0;
                    const size_t found =
                        upright == 1 ? walls_at(m.plan, off, at, &material) : walls_at(m.plan, at, off, &material);
                    const int cell = cells[upright][line][c];
                    assert_int_equal(found, cell > 0 ? 1 : 0);
                    assert_true(cell == 0 || material == material_called(names[cell - 1]));
                    covered += cell > 0;
                }
            }
        }
        check_near(m.plan->wall_length_m, (double)covered, 1e-9);
        unmake(&m);
        hr_text_free(&body);
    }
}

static void the_order_of_drawing_does_not_matter(void **unused)
{
    (void)unused;
    made one = make_good(WALLS("M0 0H20") BRICK("M15 0H5") LAYER("walls: concrete-100", LINE("M8 0H25")));
    made other = make_good(LAYER("walls: concrete-100", LINE("M8 0H25")) BRICK("M15 0H5") WALLS("M0 0H20"));
    for (double x = 0.5; x < 25.0; x += 0.25) {
        uint32_t a = 0, b = 0;
        if (x == 5.0 || x == 8.0 || x == 15.0 || x == 20.0) {
            continue; /* joints */
        }
        assert_int_equal(walls_at(one.plan, x, 0, &a), walls_at(other.plan, x, 0, &b));
        assert_int_equal(a, b);
    }
    unmake(&one);
    unmake(&other);
}

static void solids_are_bodies(void **unused)
{
    (void)unused;
    made m = make_quiet(LAYER("solids: brick-200", "<path d='M0 0H10V10H0ZM1 1V9H9V1Z' fill-rule='evenodd'/>"));
    assert_int_equal(m.plan->wall_count, 0);
    assert_int_equal(m.plan->solid_count, 1);
    assert_int_equal(m.plan->solids[0].material, material_called("brick-200"));
    check_near(hr_geometry_area(&m.plan->solids[0].region), 100.0 - 64.0, 1e-9);
    assert_true(hr_geometry_inside(&m.plan->solids[0].region, (hr_point){0.5, 5}, 0.0));
    assert_false(hr_geometry_inside(&m.plan->solids[0].region, (hr_point){5, 5}, 0.0));
    unmake(&m);
}

static void rooms_as_walls(void **unused)
{
    (void)unused;
    const hr_plan_options options = {.metres_per_unit = 1.0, .rooms_are_walls = "brick-200"};
    static const char rooms[] = ROOM("1", "M0 0H4V5H0Z") ROOM("2", "M4 0H8V5H4Z");
    made m = make(rooms, &options);
    assert_int_equal(m.status, HR_OK);
    check_near(m.plan->wall_length_m, 2 * 18 - 5, 1e-9);
    assert_int_equal(m.plan->walls[0].material, material_called("brick-200"));
    assert_int_equal(m.plan->room_count, 2);
    unmake(&m);
    const hr_plan_options wrong = {.metres_per_unit = 1.0, .rooms_are_walls = "brik-200", .property_file = "some.ini"};
    m = make(rooms, &wrong);
    assert_int_equal(m.status, HR_ERR_INPUT);
    assert_non_null(strstr(m.err.text, "brik-200"));
    unmake(&m);
}

static void double_strokes_are_told(void **unused)
{
    (void)unused;
    made m = make_good(BRICK("M0 0H10") BRICK("M0 .2H10"));
    assert_true(has_note(&m, "half a metre"));
    unmake(&m);
    m = make_good(BRICK("M0 0H10") BRICK("M0 .6H10"));
    assert_false(has_note(&m, "half a metre"));
    unmake(&m);
    /* a small part of the whole is nothing to speak of: 2 x 1 of 12 m */
    m = make_good(BRICK("M0 0H1") BRICK("M0 .2H1") BRICK("M0 9H10"));
    assert_false(has_note(&m, "half a metre"));
    unmake(&m);
}

static void double_strokes_are_paired(void **unused)
{
    (void)unused;
    const hr_plan_options options = {.metres_per_unit = 1.0, .wall_pairing_m = 0.3};
    made m = make(BRICK("M0 0H10M0 .2H10"), &options);
    assert_int_equal(m.status, HR_OK);
    assert_int_equal(m.plan->wall_count, 1);
    check_near(m.plan->walls[0].line.a.y, 0.1, 1e-9);
    check_near(m.plan->walls[0].line.b.y, 0.1, 1e-9);
    check_near(m.plan->wall_length_m, 10.0, 1e-9);
    unmake(&m);
    m = make(BRICK("M0 0H10M0 .4H10"), &options);
    assert_int_equal(m.plan->wall_count, 2);
    unmake(&m);
    /* two materials are two walls; a stretch without a partner stays where it is */
    m = make(BRICK("M0 0H10") WALLS("M0 .2H10"), &options);
    assert_int_equal(m.plan->wall_count, 2);
    unmake(&m);
    m = make(BRICK("M0 0H10") BRICK("M0 .2H4"), &options);
    assert_int_equal(walls_at(m.plan, 2.0, 0.1, NULL), 1);
    assert_int_equal(walls_at(m.plan, 8.0, 0.0, NULL), 1);
    assert_int_equal(walls_at(m.plan, 2.0, 0.0, NULL), 0);
    check_near(m.plan->wall_length_m, 10.0, 0.5);
    unmake(&m);
    /* the outline of a room's walls, drawn by both faces: four centre lines that meet */
    m = make(BRICK("M0 0H10V8H0ZM.2 .2H9.8V7.8H.2Z"), &options);
    assert_int_equal(m.plan->wall_count, 4);
    check_near(m.plan->wall_length_m, 2 * (9.8 + 7.8), 1e-6);
    assert_int_equal(walls_at(m.plan, 0.1, 0.1, NULL), 2);
    unmake(&m);
}

static double seconds(void)
{
    return (double)clock() / CLOCKS_PER_SEC;
}

/* Outlines of 160 x 160 rooms: each wall twice; a door in each, a name, a corridor now and then. */
static void a_hundred_thousand_walls(void **unused)
{
    (void)unused;
    hr_text body = {0};
    hr_text_add(&body, "<g inkscape:label='walls: brick-200' fill='none' stroke='red'>\n");
    for (size_t i = 0; i < 25600; i++) {
        hr_text_addf(&body, "<path d='M%zu %zuh4v4h-4z'/>\n", i % 160 * 4, i / 160 * 4);
    }
    hr_text_add(&body, "</g><g inkscape:label='doors' stroke='red'>\n");
    for (size_t i = 0; i < 25600; i++) {
        hr_text_addf(&body, "<path d='M%zu %zuh1'/>\n", i % 160 * 4 + 1, i / 160 * 4);
    }
    hr_text_add(&body, "</g><g inkscape:label='rooms' stroke='red'>\n");
    for (size_t i = 0; i < 25600; i++) {
        const char *kind = i / 160 % 3 == 0 ? "inkscape:label='corridors'" : "";
        hr_text_addf(&body, "<path %s d='M%zu %zuh4v4h-4z'><title>R%zu</title></path>\n", kind, i % 160 * 4,
                     i / 160 * 4, i);
    }
    hr_text_add(&body, "</g>\n");
    const double start = seconds();
    made m = make_good(body.bytes);
    hr_point *spots = NULL;
    size_t spot_count = 0;
    assert_int_equal(hr_plan_generate_spots(m.plan, 2.0, 0.5, &spots, &spot_count, NULL), HR_OK);
    const double taken = seconds() - start;
    check_near(m.plan->wall_length_m, 2 * 161 * 160 * 4, 1e-6);
    assert_int_equal(m.plan->opening_count, 25600);
    assert_true(spot_count > 1000);
    if (taken > 40.0) { /* a few seconds; sanitizers and a loaded machine take their time */
        fail_msg("%d s for 102400 walls", (int)taken);
    }
    hr_free(spots);
    unmake(&m);
    hr_text_free(&body);
}

/* One wall drawn over and over: neither quadratic nor wrong. */
static void many_walls_in_one_line(void **unused)
{
    (void)unused;
    hr_text body = {0};
    hr_text_add(&body, "<g inkscape:label='walls: brick-200' fill='none' stroke='red'>\n");
    for (size_t i = 0; i < 4000; i++) {
        hr_text_addf(&body, "<path d='M%zu 0h3'/>\n", i * 2);
    }
    hr_text_add(&body, "</g>");
    const double start = seconds();
    made m = make_good(body.bytes);
    check_near(m.plan->wall_length_m, 2 * 3999 + 3, 1e-6);
    assert_true(seconds() - start < 20.0);
    unmake(&m);
    hr_text_free(&body);
}

const struct CMUnitTest walls_tests[] = {
    cmocka_unit_test(each_straight_piece_is_a_wall),
    cmocka_unit_test(a_round_wall),
    cmocka_unit_test(one_wall_drawn_twice),
    cmocka_unit_test(partly_one_over_the_other),
    cmocka_unit_test(the_larger_loss_stays),
    cmocka_unit_test(a_shared_outline_stands_once),
    cmocka_unit_test(random_overlaps_against_cells),
    cmocka_unit_test(the_order_of_drawing_does_not_matter),
    cmocka_unit_test(solids_are_bodies),
    cmocka_unit_test(rooms_as_walls),
    cmocka_unit_test(double_strokes_are_told),
    cmocka_unit_test(double_strokes_are_paired),
    cmocka_unit_test(a_hundred_thousand_walls),
    cmocka_unit_test(many_walls_in_one_line),
};
const size_t walls_test_count = sizeof walls_tests / sizeof walls_tests[0];
