/*
 * test_openings.c - doors and windows: on walls, in gaps, through solids, free.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_tests.h"

static const hr_opening *only(const made *m)
{
    if (m->plan->opening_count != 1) {
        fail_msg("%zu openings", m->plan->opening_count);
    }
    return &m->plan->openings[0];
}

static void on_a_wall(void **unused)
{
    (void)unused;
    made m = make_quiet(WALLS("M0 0H10") DOORS("M2 0H3"));
    assert_true(only(&m)->on_wall);
    assert_false(only(&m)->fills_gap);
    assert_false(only(&m)->on_solid);
    assert_int_equal(m.plan->on_wall_count, 1);
    check_near(m.plan->on_walls[0].span.from, 0.2, 1e-12);
    check_near(m.plan->on_walls[0].span.to, 0.3, 1e-12);
    assert_int_equal(m.plan->wall_count, 1);
    unmake(&m);
    /* drawn the other way, and past the wall's end */
    m = make_quiet(WALLS("M10 0H0") DOORS("M2 0H-.1"));
    assert_true(only(&m)->on_wall);
    check_near(m.plan->on_walls[0].span.from, 0.8, 1e-12);
    check_near(m.plan->on_walls[0].span.to, 1.0, 1e-12);
    unmake(&m);
}

static bool lies_on(const char *d)
{
    hr_text body = {0};
    hr_text_addf(&body, WALLS("M0 0H10") "<g inkscape:label='doors'><path stroke='red' d='%s'/></g>", d);
    made m = make_good(body.bytes);
    assert_int_equal(m.plan->opening_count, 1);
    const bool on_wall = m.plan->openings[0].on_wall;
    assert_int_equal(m.plan->on_wall_count, on_wall ? 1 : 0);
    unmake(&m);
    hr_text_free(&body);
    return on_wall;
}

static void reach_and_angle(void **unused)
{
    (void)unused;
    assert_true(lies_on("M2 .149H3"));
    assert_true(lies_on("M2 -.149H3"));
    assert_false(lies_on("M2 .151H3"));
    assert_true(lies_on("M2 0L3 .0864"));  /* 4.94 degrees */
    assert_false(lies_on("M2 0L3 .0887")); /* 5.07 */
    assert_true(lies_on("M2 .149L3 .149"));
    assert_false(lies_on("M2 .1L3 .18")); /* one end too far */
    assert_false(lies_on("M2 -.05V.05")); /* across */
}

static void both_leaves(void **unused)
{
    (void)unused;
    made m = make_good(WALLS("M0 0H10") WALLS("M10 .2H0") DOORS("M2 .1H3"));
    assert_int_equal(m.plan->on_wall_count, 2);
    assert_int_equal(m.plan->on_walls[0].wall, 0);
    assert_int_equal(m.plan->on_walls[1].wall, 1);
    check_near(m.plan->on_walls[0].span.from, 0.2, 1e-12);
    check_near(m.plan->on_walls[1].span.from, 0.7, 1e-12);
    unmake(&m);
}

static void in_a_gap(void **unused)
{
    (void)unused;
    /* brick-200 9 dB, plasterboard 2 dB: the gap is brick */
    made m = make_quiet(WALLS("M0 0H4") LAYER("walls: brick-200", LINE("M5 0H10")) DOORS("M4.05 .1H4.95"));
    assert_true(only(&m)->fills_gap);
    assert_int_equal(m.plan->wall_count, 3);
    const hr_wall *gap = &m.plan->walls[2];
    assert_true(gap->is_gap);
    assert_int_equal(gap->material, material_called("brick-200"));
    check_near(hr_geometry_length(gap->line), 1.0, 1e-12);
    check_near(fmin(gap->line.a.x, gap->line.b.x), 4.0, 1e-12);
    check_near(gap->line.a.y, 0.0, 1e-12);
    assert_int_equal(m.plan->on_wall_count, 1);
    assert_int_equal(m.plan->on_walls[0].wall, 2);
    check_near(m.plan->on_walls[0].span.from, 0.0, 0.0);
    check_near(m.plan->on_walls[0].span.to, 1.0, 0.0);
    check_near(m.plan->wall_length_m, 9.0, 1e-12);
    unmake(&m);
    /* a gap at a corner: from a wall's end to the end of one that runs across */
    m = make_quiet(WALLS("M0 0H4") WALLS("M5 0V5") DOORS("M4 0H5"));
    assert_true(only(&m)->fills_gap);
    unmake(&m);
    /* too far from the one end */
    m = make_good(WALLS("M0 0H4") WALLS("M5 0H10") DOORS("M4.2 0H5"));
    assert_false(only(&m)->fills_gap);
    assert_false(only(&m)->on_wall);
    assert_int_equal(m.plan->wall_count, 2);
    unmake(&m);
}

static void on_a_solid(void **unused)
{
    (void)unused;
#define BODY LAYER("solids: brick-200", "<rect width='10' height='.3'/>")
    made m = make_quiet(BODY DOORS("M2 .15H3"));
    assert_true(only(&m)->on_solid);
    assert_false(only(&m)->on_wall);
    assert_int_equal(m.plan->on_wall_count, 0);
    unmake(&m);
    m = make_quiet(BODY DOORS("M2 0H3"));
    assert_true(only(&m)->on_solid);
    unmake(&m);
    m = make_quiet(BODY DOORS("M2 -.1H3"));
    assert_true(only(&m)->on_solid);
    unmake(&m);
    m = make_good(BODY DOORS("M2 -.2H3"));
    assert_false(only(&m)->on_solid);
    unmake(&m);
    /* a wall in the same place: it opens both */
    m = make_quiet(BODY WALLS("M0 .15H10") DOORS("M2 .15H3"));
    assert_true(only(&m)->on_solid);
    assert_true(only(&m)->on_wall);
    unmake(&m);
#undef BODY
}

static void between_two_solids(void **unused)
{
    (void)unused;
    made m = make_good(LAYER("solids: brick-200", "<rect width='4' height='.3'/><rect x='5' width='4' height='.3'/>")
                           DOORS("M4 .15H5"));
    const hr_opening *door = only(&m);
    assert_false(door->on_wall);
    assert_false(door->fills_gap);
    check_near(hr_geometry_length(door->line), 1.0, 1e-12);
    assert_int_equal(m.plan->wall_count, 0);
    unmake(&m);
}

static void standing_free(void **unused)
{
    (void)unused;
    made m = make_good(WALLS("M0 0H10") "\n\n" DOORS("M2 5H3"));
    assert_false(only(&m)->on_wall || only(&m)->fills_gap || only(&m)->on_solid);
    assert_true(has_note(&m, "plan.svg:5"));
    unmake(&m);
}

static void leaf_and_swing_are_left_aside(void **unused)
{
    (void)unused;
    /* the opening in the wall's line, the leaf standing open, the swing between them */
    made m = make_quiet(WALLS("M0 0H10") DOORS("M2 0H3M3 0V-1A1 1 0 0 0 2 0"));
    check_near(hr_geometry_length(only(&m)->line), 1.0, 1e-9);
    assert_true(only(&m)->on_wall);
    size_t left = 0;
    double left_m = 0.0;
    for (size_t i = 0; i < m.plan->ignored_count; i++) {
        left += m.plan->ignored[i].count;
        left_m += m.plan->ignored[i].length_m;
    }
    assert_true(left > 0);
    check_near(left_m, 1.0 + 1.5708, 0.01);
    unmake(&m);
    /* the same in a gap, with the leaf first */
    m = make_quiet(WALLS("M0 0H2M3 0H10") DOORS("M3 0V-1A1 1 0 0 0 2 0M2 0H3"));
    assert_int_equal(m.plan->opening_count, 1);
    assert_true(only(&m)->fills_gap);
    unmake(&m);
    /* and in a filled body */
    m = make_quiet(LAYER("solids: brick-200", "<rect y='-.1' width='10' height='.2'/>")
                       DOORS("M2 0H3M3 0V-1A1 1 0 0 0 2 0"));
    assert_int_equal(m.plan->opening_count, 1);
    assert_true(only(&m)->on_solid);
    unmake(&m);
}

static void a_door_drawn_as_a_box(void **unused)
{
    (void)unused;
    made m = make_good(WALLS("M0 0H10") LAYER("doors", "<rect x='2' y='-.05' width='1' height='.1'/>"));
    assert_true(m.plan->opening_count >= 1);
    for (size_t i = 0; i < m.plan->on_wall_count; i++) {
        check_near(m.plan->on_walls[i].span.from, 0.2, 1e-9);
        check_near(m.plan->on_walls[i].span.to, 0.3, 1e-9);
    }
    assert_true(m.plan->on_wall_count >= 1);
    assert_int_equal(m.plan->opening_count, 1);
    unmake(&m);
    /* in a gap, on both faces of a wall drawn as two lines, in a wall's body; two doors in one shape are two */
    static const struct {
        const char *walls, *doors;
        size_t count;
    } cases[] = {
        {WALLS("M0 0H2M3 0H10"), "<rect x='2' y='-.05' width='1' height='.1'/>", 1},
        {WALLS("M0 0H10M0 .3H10"), "<rect x='2' y='0' width='1' height='.3'/>", 1},
        {LAYER("solids: brick-200", "<rect width='10' height='.2'/>"), "<rect x='2' width='1' height='.2'/>", 1},
        {WALLS("M0 0H10"), "<path d='M2 -.05H3V.05H2ZM5 -.05H6V.05H5Z'/>", 2},
        {WALLS("M0 0H10"), "<path d='M2 0H3M3 0H4'/>", 2},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        hr_text body = {0};
        hr_text_addf(&body, "%s<g inkscape:label='doors'>%s</g>", cases[i].walls, cases[i].doors);
        m = make_good(body.bytes);
        assert_int_equal(m.plan->opening_count, cases[i].count);
        for (size_t k = 0; k < m.plan->on_wall_count; k++) {
            assert_true(m.plan->on_walls[k].opening < cases[i].count);
        }
        unmake(&m);
        hr_text_free(&body);
    }
}

/* Leaf and swing alone, as drafting programs draw them: the swing's hinge and its end say where the door is. */
static void a_door_drawn_as_its_swing(void **unused)
{
    (void)unused;
    static const struct {
        const char *walls, *doors;
        size_t count;
        bool gap;
    } cases[] = {
        /* swing about 2,0 from 2,-1 to 3,0: in a gap, on a whole wall, with its leaf before, after and apart */
        {"M0 0H2M3 0H10", "<path d='M2 -1A1 1 0 0 1 3 0'/>", 1, true},
        {"M0 0H10", "<path d='M2 -1A1 1 0 0 1 3 0'/>", 1, false},
        {"M0 0H2M3 0H10", "<path d='M2 0V-1A1 1 0 0 1 3 0'/>", 1, true},
        {"M0 0H2M3 0H10", "<path d='M3 0A1 1 0 0 0 2 -1V0'/>", 1, true},
        {"M0 0H2M3 0H10", "<path d='M2 -1V0'/><path d='M2 -1A1 1 0 0 1 3 0'/>", 1, true},
        {"M0 0H2M3 0H10", "<path d='M2 -1A1 1 0 0 1 3 0Z'/>", 1, true}, /* closed by its chord */
        /* all three drawn one by one, in any order */
        {"M0 0H2M3 0H10", "<path d='M2 -1A1 1 0 0 1 3 0'/><path d='M2 -1V0'/><path d='M2 0H3'/>", 1, true},
        {"M0 0H2M3 0H10", "<path d='M2 0H3'/><path d='M2 -1V0'/><path d='M2 -1A1 1 0 0 1 3 0'/>", 1, true},
        /* turned by 30 degrees with its wall */
        {"M0 0L1.7321 1M2.5981 1.5L8.6603 5", "<path d='M2.2321 .134A1 1 0 0 1 2.5981 1.5'/>", 1, true},
        /* two doors side by side */
        {"M0 0H2M3 0H4M5 0H10",
         "<path d='M2 -1A1 1 0 0 1 3 0'/><path d='M4 -1A1 1 0 0 1 5 0'/><path d='M4 0V-1M2 0V-1'/>", 2, true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        hr_text body = {0};
        hr_text_addf(&body, WALLS("%s") "<g id='doors' fill='none' stroke='red'>%s</g>", cases[i].walls,
                     cases[i].doors);
        made m = make_quiet(body.bytes);
        if (m.plan->opening_count != cases[i].count) {
            fail_msg("%s: %zu openings", cases[i].doors, m.plan->opening_count);
        }
        const hr_opening *o = &m.plan->openings[0];
        assert_true(o->is_door && o->on_wall);
        assert_int_equal(o->fills_gap, cases[i].gap);
        check_near(hr_geometry_length(o->line), 1.0, 1e-3);
        unmake(&m);
        hr_text_free(&body);
    }
    /* a quarter of a circle far from any wall, and one much too large for a leaf, are told */
    made m = make_good(WALLS("M0 0H10") DOORS("M2 -5A1 1 0 0 1 3 -4"));
    assert_true(has_note(&m, "counts by itself"));
    unmake(&m);
    m = make_good(WALLS("M0 0H2M8 0H10") DOORS("M2 -6A6 6 0 0 1 8 0"));
    assert_true(has_note(&m, "counts by itself"));
    assert_false(only(&m)->fills_gap);
    unmake(&m);
}

static void two_shapes_do_not_mix(void **unused)
{
    (void)unused;
    made m = make_good(WALLS("M0 0H10") LAYER("doors", LINE("M2 0H3") LINE("M2 5H3")));
    assert_int_equal(m.plan->opening_count, 2);
    unmake(&m);
}

static void stretches_are_in_order(void **unused)
{
    (void)unused;
    made m =
        make_good(WALLS("M0 0H10") WALLS("M0 9H10") DOORS("M7 9H8") DOORS("M5 0H6") DOORS("M2 9H3") DOORS("M1 0H2"));
    assert_int_equal(m.plan->on_wall_count, 4);
    for (size_t i = 1; i < 4; i++) {
        const hr_opening_on_wall *a = &m.plan->on_walls[i - 1], *b = &m.plan->on_walls[i];
        assert_true(a->wall < b->wall || (a->wall == b->wall && a->span.from <= b->span.from));
    }
    unmake(&m);
}

/* A wall that is split where others meet it: the door opens what it lies on. */
static void over_a_joint(void **unused)
{
    (void)unused;
    made m = make_good(WALLS("M0 0H5H10") DOORS("M4.5 0H5.5"));
    assert_int_equal(m.plan->opening_count, 1);
    assert_int_equal(m.plan->wall_count, 2);
    /* no part of the door's width may be left to the wall */
    double open_m = 0.0;
    for (size_t i = 0; i < m.plan->on_wall_count; i++) {
        const hr_opening_on_wall *on = &m.plan->on_walls[i];
        open_m += (on->span.to - on->span.from) * hr_geometry_length(m.plan->walls[on->wall].line);
    }
    check_near(open_m, 1.0, 1e-9);
    unmake(&m);
}

const struct CMUnitTest openings_tests[] = {
    cmocka_unit_test(on_a_wall),
    cmocka_unit_test(reach_and_angle),
    cmocka_unit_test(both_leaves),
    cmocka_unit_test(in_a_gap),
    cmocka_unit_test(on_a_solid),
    cmocka_unit_test(between_two_solids),
    cmocka_unit_test(standing_free),
    cmocka_unit_test(leaf_and_swing_are_left_aside),
    cmocka_unit_test(a_door_drawn_as_a_box),
    cmocka_unit_test(a_door_drawn_as_its_swing),
    cmocka_unit_test(two_shapes_do_not_mix),
    cmocka_unit_test(stretches_are_in_order),
    cmocka_unit_test(over_a_joint),
};
const size_t openings_test_count = sizeof openings_tests / sizeof openings_tests[0];
