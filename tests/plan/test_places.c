/*
 * test_places.c - entry doors, main windows, and where devices hang by
 * default. All places were worked out by hand from the rule: 0.3 m from the
 * jamb on the side with the longer free wall, 0.1 m off the wall; 0.3 m inside
 * the middle of the longest window.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_tests.h"

/* A room of 4 m x 5 m south of a corridor; walls 0.2 m thick on y = 0, y = 5.2 and between. */
#define HALL LAYER("corridors", LINE("M-5 -2H20V-.1H-5Z"))
#define SHELL WALLS("M-5 0H20M-5 5.2H20M-.1 0V5.2M4.1 0V5.2")
#define PLACE ROOM("1", "M0 .1H4V5.1H0Z")
#define STOREY HALL SHELL PLACE

static void control_at(const char *doors, double x, double y)
{
    hr_text body = {0};
    hr_text_add(&body, STOREY);
    hr_text_add(&body, doors);
    made m = make_good(body.bytes);
    const hr_point p = hr_plan_wall_control_place(m.plan, room_called(m.plan, "1"));
    if (!check_is_near(p.x, x, 1e-9) || !check_is_near(p.y, y, 1e-9)) {
        fail_msg("%s: (%d, %d) mm", doors, (int)lround(1000 * p.x), (int)lround(1000 * p.y));
    }
    unmake(&m);
    hr_text_free(&body);
}

static void a_wall_control(void **unused)
{
    (void)unused;
    control_at(DOORS("M1 0H1.9"), 2.2, 0.2);    /* 1 m free on the left, 2.1 m on the right */
    control_at(DOORS("M1.9 0H1"), 2.2, 0.2);    /* drawn the other way */
    control_at(DOORS("M2.4 0H3.3"), 2.1, 0.2);  /* 2.4 m on the left, 0.7 m on the right */
    control_at(DOORS("M1.5 0H2.5"), 1.2, 0.2);  /* equal: the smaller x */
    control_at(DOORS("M1.5 .1H2.5"), 1.2, 0.2); /* drawn on the wall's face */
    /* the next opening bounds the free wall: 1 m on the left, 0.6 m on the right */
    control_at(DOORS("M1 0H1.9") LAYER("windows", LINE("M2.5 0H3.5")), 0.7, 0.2);
    /* a door to millimetres: 1.2345 -> 1.9345 + 0.3 */
    control_at(DOORS("M1.0341 0H1.9342"), 2.234, 0.2);
}

static void a_wall_control_on_an_upright_wall(void **unused)
{
    (void)unused;
    made m = make_good(LAYER("corridors", LINE("M-2 -5H-.1V20H-2Z")) WALLS("M0 -5V20") ROOM("1", "M.1 0H5V4H.1Z")
                           DOORS("M0 1.5V2.5"));
    const hr_point p = hr_plan_wall_control_place(m.plan, room_called(m.plan, "1"));
    check_near(p.x, 0.2, 1e-9);
    check_near(p.y, 1.2, 1e-9); /* equal in length and x: the smaller y */
    unmake(&m);
}

static void no_wall_beside_the_door(void **unused)
{
    (void)unused;
    /* a lobby of 1.1 m with 0.1 m on either side: somewhere inside, off the wall */
    made m = make_good(WALLS("M0 0H1.1") ROOM("1", "M0 .1H1.1V2H4V5H0Z") DOORS("M.1 0H1"));
    const hr_space *room = room_called(m.plan, "1");
    const hr_point p = hr_plan_wall_control_place(m.plan, room);
    assert_true(hr_geometry_inside(&room->region, p, 0.0));
    unmake(&m);
    m = make_good(PLACE);
    const hr_point inner = hr_plan_wall_control_place(m.plan, room_called(m.plan, "1"));
    check_near(inner.x, 2.0, 0.0015); /* no door: the innermost point has x = 2 and 2 m to three walls */
    assert_true(inner.y >= 2.098 && inner.y <= 3.102);
    unmake(&m);
}

static void a_unit_below_the_window(void **unused)
{
    (void)unused;
    made m = make_good(STOREY DOORS("M1 0H1.9")
                           LAYER("windows", LINE("M.2 5.2H.8") LINE("M1.5 5.2H2.7") LINE("M3 5.2H3.5")));
    const hr_space *room = room_called(m.plan, "1");
    assert_int_equal(room->main_window, 2); /* the door came first */
    const hr_point p = hr_plan_unit_place(m.plan, room);
    check_near(p.x, 2.1, 1e-9);
    check_near(p.y, 4.8, 1e-9);
    unmake(&m);
    /* equal lengths: the first drawn */
    m = make_good(STOREY LAYER("windows", LINE("M2.5 5.2H3.5") LINE("M.5 5.2H1.5")));
    assert_int_equal(room_called(m.plan, "1")->main_window, 0);
    unmake(&m);
}

static void a_unit_without_a_window(void **unused)
{
    (void)unused;
    /* the corner farthest from the corridor is (0, 6) */
    made m = make_good(HALL WALLS("M-5 0H20") ROOM("1", "M0 .1H4V5H3L0 6Z") DOORS("M1 0H1.9"));
    const hr_space *room = room_called(m.plan, "1");
    const hr_point inner = room->innermost, p = hr_plan_unit_place(m.plan, room);
    const double far_m = hr_geometry_distance(inner, (hr_point){0, 6});
    check_near(p.x, 0.3 * inner.x / far_m, 0.00051);
    check_near(p.y, 6 + 0.3 * (inner.y - 6) / far_m, 0.00051);
    unmake(&m);
    /* neither window nor door */
    m = make_good(PLACE);
    const hr_point q = hr_plan_unit_place(m.plan, room_called(m.plan, "1")), i = room_called(m.plan, "1")->innermost;
    check_near(q.x, i.x, 0.00051);
    check_near(q.y, i.y, 0.00051);
    unmake(&m);
}

static void the_outline_on_the_centre_line(void **unused)
{
    (void)unused;
    made m = make_good(LAYER("corridors", LINE("M-5 -2H20V0H-5Z")) WALLS("M-5 0H20M-5 5H20") ROOM("1", "M0 0H4V5H0Z")
                           DOORS("M1 0H1.9") LAYER("windows", LINE("M1 5H2")));
    const hr_space *room = room_called(m.plan, "1");
    const hr_point control = hr_plan_wall_control_place(m.plan, room), unit = hr_plan_unit_place(m.plan, room);
    check_near(control.x, 2.2, 1e-9);
    check_near(control.y, 0.1, 1e-9);
    check_near(unit.x, 1.5, 1e-9);
    check_near(unit.y, 4.7, 1e-9);
    unmake(&m);
}

/* The direction an outline is drawn in is of no account. */
static void an_outline_drawn_the_other_way(void **unused)
{
    (void)unused;
    made m = make_good(HALL SHELL ROOM("1", "M0 5.1H4V.1H0Z") DOORS("M1 0H1.9") LAYER("windows", LINE("M1 5.2H2")));
    const hr_space *room = room_called(m.plan, "1");
    const hr_point control = hr_plan_wall_control_place(m.plan, room), unit = hr_plan_unit_place(m.plan, room);
    check_near(control.x, 2.2, 1e-9);
    check_near(control.y, 0.2, 1e-9);
    check_near(unit.x, 1.5, 1e-9);
    check_near(unit.y, 4.8, 1e-9);
    unmake(&m);
}

static void entry_doors(void **unused)
{
    (void)unused;
    /* a connecting door of 1.2 m to the next room, one of 0.8 m to the corridor */
    made m = make_good(STOREY DOORS("M4.1 2V3.2") DOORS("M1 0H1.8"));
    assert_int_equal(room_called(m.plan, "1")->entry_door, 1);
    unmake(&m);
    /* two on the corridor: the longer, then the first */
    m = make_good(STOREY DOORS("M.5 0H1.3") DOORS("M2 0H2.9"));
    assert_int_equal(room_called(m.plan, "1")->entry_door, 1);
    unmake(&m);
    m = make_good(STOREY DOORS("M.5 0H1.4") DOORS("M2 0H2.9"));
    assert_int_equal(room_called(m.plan, "1")->entry_door, 0);
    unmake(&m);
    /* none on the corridor: the longer; windows are no doors; a door 0.4 m off is another's */
    m = make_good(STOREY LAYER("windows", LINE("M1 0H3")) DOORS("M4.1 2V2.8") DOORS("M-.1 2V2.9"));
    assert_int_equal(room_called(m.plan, "1")->entry_door, 2);
    assert_int_equal(room_called(m.plan, "1")->main_window, 0);
    unmake(&m);
    m = make_good(STOREY DOORS("M1 -.31H1.9"));
    assert_int_equal(room_called(m.plan, "1")->entry_door, HR_PLAN_NONE);
    unmake(&m);
    /* one that runs away from the wall is another's */
    m = make_good(STOREY DOORS("M1 0V-.9"));
    assert_int_equal(room_called(m.plan, "1")->entry_door, HR_PLAN_NONE);
    unmake(&m);
    /* areas and corridors have none */
    m = make_good(HALL SHELL LAYER("areas", LINE("M0 .1H4V5.1H0Z")) DOORS("M1 0H1.9"));
    for (size_t i = 0; i < m.plan->space_count; i++) {
        assert_int_equal(m.plan->spaces[i].entry_door, HR_PLAN_NONE);
    }
    unmake(&m);
}

/* A box from 2.2 to 2.6 m above the floor, and a line over all heights: distances by Pythagoras. */
static void distance_of_metal(void **unused)
{
    (void)unused;
    made m = make_good(STOREY LAYER("metal: duct 2.2-2.6", LINE("M1 1H2V3H1Z")) LAYER("metal: sheet", LINE("M3.5 1V3")));
    assert_int_equal(m.plan->metal_count, 2);
    const size_t box = m.plan->metals[0].region.ring_count > 0 ? 0 : 1;
    check_near(hr_plan_body_distance_m(&m.plan->metals[box], (hr_point){1.5, 2.0}), 0.0, 0.0);
    check_near(hr_plan_body_distance_m(&m.plan->metals[box], (hr_point){2.3, 3.4}), 0.5, 1e-12);
    check_near(hr_plan_body_distance_m(&m.plan->metals[1 - box], (hr_point){3.1, 2.0}), 0.4, 1e-12);
    /* 0.3 m beside and 0.4 m below the box */
    assert_true(hr_plan_near_metal(m.plan, (hr_point){0.7, 2.0}, 1.8, 0.501));
    assert_false(hr_plan_near_metal(m.plan, (hr_point){0.7, 2.0}, 1.8, 0.499));
    assert_true(hr_plan_near_metal(m.plan, (hr_point){3.1, 2.0}, 0.1, 0.401));
    unmake(&m);
}

const struct CMUnitTest places_tests[] = {
    cmocka_unit_test(a_wall_control),
    cmocka_unit_test(a_wall_control_on_an_upright_wall),
    cmocka_unit_test(no_wall_beside_the_door),
    cmocka_unit_test(a_unit_below_the_window),
    cmocka_unit_test(a_unit_without_a_window),
    cmocka_unit_test(the_outline_on_the_centre_line),
    cmocka_unit_test(an_outline_drawn_the_other_way),
    cmocka_unit_test(entry_doors),
    cmocka_unit_test(distance_of_metal),
};
const size_t places_test_count = sizeof places_tests / sizeof places_tests[0];
