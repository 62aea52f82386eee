/*
 * test_spots.c - gateway spots on the walls of corridors.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_tests.h"

/* A corridor of 10 m x 2 m, faces at y = 0 and y = 2, open at its ends. */
#define HALL LAYER("corridors", LINE("M0 0H10V2H0Z"))
#define SIDES WALLS("M-5 -.1H15M-5 2.1H15")

static void has_spots(const char *body, double spacing_m, double clearance_m, const hr_point *expected, size_t count)
{
    made m = make_good(body);
    hr_point *spots = NULL;
    size_t found = 0;
    assert_int_equal(hr_plan_generate_spots(m.plan, spacing_m, clearance_m, &spots, &found, &m.err), HR_OK);
    bool same = found == count;
    for (size_t i = 0; same && i < count; i++) {
        same = check_is_near(spots[i].x, expected[i].x, 1e-9) && check_is_near(spots[i].y, expected[i].y, 1e-9);
    }
    if (!same) {
        hr_text text = {0};
        for (size_t i = 0; i < found; i++) {
            hr_text_add(&text, " (");
            hr_text_fixed(&text, spots[i].x, 4);
            hr_text_add(&text, ", ");
            hr_text_fixed(&text, spots[i].y, 4);
            hr_text_add(&text, ")");
        }
        fail_msg("%zu spots%s in %s", found, text.bytes != NULL ? text.bytes : "", body);
    }
    hr_free(spots);
    unmake(&m);
}

#define COUNT(list) (sizeof(list) / sizeof(list)[0])

static void both_walls_of_a_corridor(void **unused)
{
    (void)unused;
    /* every 2 m from 1 m on, 0.1 m off both walls, by y and x; none at the open ends */
    const hr_point expected[] = {{1, .1},  {3, .1},  {5, .1},  {7, .1},  {9, .1},
                                 {1, 1.9}, {3, 1.9}, {5, 1.9}, {7, 1.9}, {9, 1.9}};
    has_spots(HALL SIDES, 2.0, 0.5, expected, COUNT(expected));
    /* drawn the other way round */
    has_spots(LAYER("corridors", LINE("M0 2H10V0H0Z")) SIDES, 2.0, 0.5, expected, COUNT(expected));
}

static void a_wall_behind(void **unused)
{
    (void)unused;
    const hr_point one_side[] = {{1, .1}, {3, .1}, {5, .1}, {7, .1}, {9, .1}};
    has_spots(HALL WALLS("M-5 -.1H15"), 2.0, 0.5, one_side, COUNT(one_side));
    has_spots(HALL WALLS("M-5 -.34H15"), 2.0, 0.5, one_side, COUNT(one_side));
    has_spots(HALL WALLS("M-5 -.36H15"), 2.0, 0.5, NULL, 0);
    const hr_point half[] = {{1, .1}, {3, .1}};
    has_spots(HALL WALLS("M-5 -.1H4"), 2.0, 0.5, half, COUNT(half));
    /* a filled body is a wall too */
    has_spots(HALL LAYER("solids: brick-200", "<path d='M-5 -.3H4V0H-5Z'/>"), 2.0, 0.5, half, COUNT(half));
    /* no wall at all, no corridor */
    has_spots(HALL, 2.0, 0.5, NULL, 0);
    has_spots(SIDES, 2.0, 0.5, NULL, 0);
}

static void away_from_doors(void **unused)
{
    (void)unused;
    const hr_point expected[] = {{1, .1}, {3, .1}, {7, .1}, {9, .1}};
    has_spots(HALL WALLS("M-5 -.1H15") DOORS("M4.6 -.1H5.4"), 2.0, 0.5, expected, COUNT(expected));
    /* 3.1 + 0.5 is the spot's door; 5 stands 0.5 m from a frame at 4.5 */
    const hr_point frames[] = {{1, .1}, {5, .1}, {7, .1}, {9, .1}};
    has_spots(HALL WALLS("M-5 -.1H15") DOORS("M3.4 -.1H4.5"), 2.0, 0.499, frames, COUNT(frames));
    const hr_point wide[] = {{1, .1}, {9, .1}};
    has_spots(HALL WALLS("M-5 -.1H15") DOORS("M4.6 -.1H5.4"), 2.0, 1.7, wide, COUNT(wide));
    /* the door in the opposite wall is nobody's hindrance */
    const hr_point across[] = {{1, .1}, {3, .1}, {5, .1}, {7, .1}, {9, .1}};
    has_spots(HALL WALLS("M-5 -.1H15") DOORS("M4.6 2.1H5.4"), 2.0, 0.5, across, COUNT(across));
}

static void out_of_keep_outs(void **unused)
{
    (void)unused;
    const hr_point expected[] = {{1, .1}, {3, .1}, {9, .1}};
    has_spots(HALL WALLS("M-5 -.1H15") LAYER("keep-out", LINE("M4 -1H8V3H4Z")), 2.0, 0.5, expected, COUNT(expected));
}

static void points_on_a_straight_edge_do_not_count(void **unused)
{
    (void)unused;
    const hr_point expected[] = {{1, .1}, {3, .1}, {5, .1}, {7, .1}, {9, .1}};
    has_spots(LAYER("corridors", LINE("M3.3 0H4.1H7H10V2H0V0Z")) WALLS("M-5 -.1H15"), 2.0, 0.5, expected,
              COUNT(expected));
}

static void a_bent_corridor(void **unused)
{
    (void)unused;
    /* an L: 6 m to the right, 6 m down, 2 m wide; outer walls only */
    const hr_point expected[] = {{1, .1}, {3, .1}, {5, .1}, {5.9, 1}, {5.9, 3}, {5.9, 5}};
    has_spots(LAYER("corridors", LINE("M0 0H6V6H4V2H0Z")) WALLS("M-1 -.1H6.1V6"), 2.0, 0.5, expected, COUNT(expected));
}

static void to_the_millimetre_and_once(void **unused)
{
    (void)unused;
    const hr_point expected[] = {{1.667, .1}, {5, .1}, {8.333, .1}};
    has_spots(HALL WALLS("M-5 -.1H15"), 10.0 / 3.0, 0.5, expected, COUNT(expected));
    /* two corridor shapes over each other */
    has_spots(HALL HALL WALLS("M-5 -.1H15"), 10.0 / 3.0, 0.5, expected, COUNT(expected));
}

static void where_two_corridors_meet(void **unused)
{
    (void)unused;
    /* the edge at x = 10 lies inside the second corridor: nobody hangs a gateway in the air there */
    made m = make_good(HALL LAYER("corridors", LINE("M9 -4H12V6H9Z")) WALLS("M-5 -.1H8.9M-5 2.1H8.9M12.1 -5V7"));
    hr_point *spots = NULL;
    size_t count = 0;
    assert_int_equal(hr_plan_generate_spots(m.plan, 2.0, 0.5, &spots, &count, NULL), HR_OK);
    assert_true(count > 4);
    for (size_t i = 0; i < count; i++) {
        const bool upper = check_is_near(spots[i].y, 0.1, 1e-9) || check_is_near(spots[i].y, 1.9, 1e-9);
        const bool right = check_is_near(spots[i].x, 11.9, 1e-9);
        assert_true((upper && spots[i].x < 9.0) || right);
    }
    hr_free(spots);
    unmake(&m);
}

static void wrong_numbers(void **unused)
{
    (void)unused;
    made m = make_good(HALL SIDES);
    hr_point *spots = NULL;
    size_t count = 0;
    const double wrong[] = {0.0, -1.0, (double)NAN, (double)INFINITY};
    for (size_t i = 0; i < COUNT(wrong); i++) {
        const hr_status status = hr_plan_generate_spots(m.plan, wrong[i], 0.5, &spots, &count, &m.err);
        assert_int_equal(status, HR_ERR_ARGUMENT);
    }
    assert_null(spots);
    /* no end of spots is refused, not tried */
    assert_true(hr_plan_generate_spots(m.plan, 1e-9, 0.5, &spots, &count, &m.err) != HR_OK);
    assert_null(spots);
    unmake(&m);
}

const struct CMUnitTest spots_tests[] = {
    cmocka_unit_test(both_walls_of_a_corridor),
    cmocka_unit_test(a_wall_behind),
    cmocka_unit_test(away_from_doors),
    cmocka_unit_test(out_of_keep_outs),
    cmocka_unit_test(points_on_a_straight_edge_do_not_count),
    cmocka_unit_test(a_bent_corridor),
    cmocka_unit_test(to_the_millimetre_and_once),
    cmocka_unit_test(where_two_corridors_meet),
    cmocka_unit_test(wrong_numbers),
};
const size_t spots_test_count = sizeof spots_tests / sizeof spots_tests[0];
