/*
 * test_geometry.c - points, segments and boxes; and the program's main.
 *
 * SPDX-License-Identifier: MIT
 */
#include "geometry_tests.h"

#include <stdlib.h>

#define HALF_PI 1.5707963267948966
#define MAX_TESTS 64

static void points_and_lengths(void **unused)
{
    (void)unused;
    check_near(hr_geometry_distance((hr_point){1, 2}, (hr_point){4, 6}), 5.0, 0.0);
    check_near(hr_geometry_length(segment_of(-1, 0, 4, 12)), 13.0, 0.0);
    check_near(hr_geometry_length(segment_of(3, 3, 3, 3)), 0.0, 0.0);
    const hr_segment s = segment_of(0.1, 0.7, 12.3, -4.9);
    const hr_point first = hr_geometry_at(s, 0.0), last = hr_geometry_at(s, 1.0), part = hr_geometry_at(s, 0.25);
    assert_true(first.x == s.a.x && first.y == s.a.y && last.x == s.b.x && last.y == s.b.y);
    check_near(part.x, 3.15, 1e-15);
    check_near(part.y, -0.7, 1e-15);
}

static void boxes(void **unused)
{
    (void)unused;
    const hr_point points[3] = {{2, -1}, {-3, 4}, {0, 0}};
    const hr_box box = hr_geometry_box(points, 3);
    assert_true(box.x0 == -3 && box.y0 == -1 && box.x1 == 2 && box.y1 == 4);
    const hr_box none = hr_geometry_box(points, 0);
    assert_true(none.x0 > none.x1);
    assert_false(hr_geometry_boxes_touch(none, box, 1e9));
    assert_false(hr_geometry_boxes_touch(box, none, 1e9));
    const hr_box right = {2, 4, 9, 9}, apart = {2.5, 0, 3, 1};
    assert_true(hr_geometry_boxes_touch(box, right, 0.0)); /* a shared corner */
    assert_false(hr_geometry_boxes_touch(box, apart, 0.4));
    assert_true(hr_geometry_boxes_touch(box, apart, 0.5));
    assert_true(hr_geometry_boxes_touch(apart, box, 0.5));
}

static void distance_to_a_segment(void **unused)
{
    (void)unused;
    const hr_segment s = segment_of(1, 1, 5, 1);
    double at = -1.0;
    check_near(hr_geometry_to_segment((hr_point){2, 4}, s, &at), 3.0, 1e-15);
    check_near(at, 0.25, 1e-15);
    check_near(hr_geometry_to_segment((hr_point){8, 5}, s, &at), 5.0, 1e-15);
    check_near(at, 1.0, 0.0);
    check_near(hr_geometry_to_segment((hr_point){8, 5}, turned(s), &at), 5.0, 1e-15);
    check_near(at, 0.0, 0.0);
    check_near(hr_geometry_to_segment((hr_point){4, 5}, segment_of(1, 1, 1, 1), &at), 5.0, 1e-15);
    check_near(at, 0.0, 0.0);
}

static void distance_to_a_segment_is_the_least(void **unused)
{
    (void)unused;
    uint64_t state = 5;
    for (size_t round = 0; round < 2000; round++) {
        const hr_segment s = segment_of(random_in(&state, -9, 9), random_in(&state, -9, 9), random_in(&state, -9, 9),
                                        random_in(&state, -9, 9));
        const hr_point p = {random_in(&state, -9, 9), random_in(&state, -9, 9)};
        double at = 0.0, back = 0.0;
        const double distance = hr_geometry_to_segment(p, s, &at);
        assert_true(distance == hr_geometry_to_segment(p, turned(s), &back)); /* bit by bit */
        check_near(at + back, 1.0, 1e-12);
        check_near(hr_geometry_distance(p, hr_geometry_at(s, at)), distance, 1e-12);
        for (int k = 0; k <= 50; k++) {
            assert_true(hr_geometry_distance(p, hr_geometry_at(s, k / 50.0)) >= distance - 1e-12);
        }
    }
}

static void gaps_between_segments(void **unused)
{
    (void)unused;
    const hr_segment s = segment_of(0, 0, 4, 0);
    check_near(hr_geometry_segments_gap(s, segment_of(2, -1, 2, 1)), 0.0, 0.0);
    check_near(hr_geometry_segments_gap(s, segment_of(2, 3, 9, 3)), 3.0, 1e-15);
    check_near(hr_geometry_segments_gap(s, segment_of(7, 4, 9, 9)), 5.0, 1e-15);
    check_near(hr_geometry_segments_gap(s, segment_of(1, 0, 2, 0)), 0.0, 0.0);
    check_near(hr_geometry_segments_gap(s, segment_of(6, 0, 6, 0)), 2.0, 0.0);
    check_near(hr_geometry_segments_gap(segment_of(1, 1, 1, 1), segment_of(4, 5, 4, 5)), 5.0, 0.0);
    uint64_t state = 6;
    for (size_t round = 0; round < 1000; round++) {
        const hr_segment a = segment_of(random_in(&state, -5, 5), random_in(&state, -5, 5), random_in(&state, -5, 5),
                                        random_in(&state, -5, 5));
        const hr_segment b = segment_of(random_in(&state, -5, 5), random_in(&state, -5, 5), random_in(&state, -5, 5),
                                        random_in(&state, -5, 5));
        const double gap = hr_geometry_segments_gap(a, b);
        assert_true(gap == hr_geometry_segments_gap(turned(b), a));
        double least = 1e9;
        for (int k = 0; k <= 1000; k++) {
            const double d = hr_geometry_to_segment(hr_geometry_at(a, k / 1000.0), b, NULL);
            least = d < least ? d : least;
        }
        assert_true(gap <= least + 1e-12);
        check_near(gap, least, 0.51 * hr_geometry_length(a) / 1000.0 + 1e-12);
    }
}

static void angles(void **unused)
{
    (void)unused;
    const hr_segment east = segment_of(0, 0, 3, 0);
    check_near(hr_geometry_angle(east, segment_of(1, 1, 1, 9)), HALF_PI, 1e-15);
    check_near(hr_geometry_angle(east, segment_of(0, 0, -2, 2)), HALF_PI / 2, 1e-15);
    check_near(hr_geometry_angle(east, segment_of(5, 5, -5, 5)), 0.0, 0.0);
    check_near(hr_geometry_angle(east, segment_of(5, 5, 5, 5)), 0.0, 0.0);
    check_near(hr_geometry_angle(segment_of(0, 0, 1, 1e-9), east), 1e-9, 1e-15);
}

static void along_a_wall(void **unused)
{
    (void)unused;
    const hr_segment ray = segment_of(0, 0, 10, 0);
    hr_span on = {-1, -1};
    assert_true(hr_geometry_along(ray, segment_of(7, 0.0005, 2, -0.0005), 0.001, 0.1, &on));
    check_near(on.from, 0.2, 1e-7); /* seen from the slanting wall */
    check_near(on.to, 0.7, 1e-7);
    assert_true(hr_geometry_along(turned(ray), segment_of(2, 0, 7, 0), 0.001, 0.1, &on));
    check_near(on.from, 0.3, 1e-12);
    check_near(on.to, 0.8, 1e-12);
    assert_true(hr_geometry_along(ray, segment_of(-5, 0, 25, 0), 0.001, 0.1, &on));
    assert_true(on.from == 0.0 && on.to == 1.0);
    on = (hr_span){-1, -1};
    assert_false(hr_geometry_along(ray, segment_of(2, 0.0011, 7, 0.0011), 0.001, 0.1, &on));
    assert_false(hr_geometry_along(ray, segment_of(2, -3, 2, 3), 0.001, 0.1, &on));
    assert_false(hr_geometry_along(ray, segment_of(2, 0, 2.05, 0), 0.001, 0.1, &on));
    assert_false(hr_geometry_along(ray, segment_of(11, 0, 15, 0), 0.001, 0.1, &on));
    assert_false(hr_geometry_along(ray, segment_of(2, 0, 2, 0), 0.001, 0.0, &on));
    assert_false(hr_geometry_along(segment_of(2, 0, 2, 0), ray, 0.001, 0.0, &on));
    assert_true(on.from == -1 && on.to == -1); /* written only on success */
    /* a slanting wall leaves the ray after 1 mm: 0.001 / 0.002 of its length on either side */
    assert_true(hr_geometry_along(ray, segment_of(0, -0.01, 10, 0.01), 0.001, 0.1, &on));
    check_near(on.from, 0.45, 1e-6);
    check_near(on.to, 0.55, 1e-6);
}

/* Pieces of a wall cover the stretch of the whole, and no more. */
static void along_a_split_wall(void **unused)
{
    (void)unused;
    uint64_t state = 7;
    size_t tried = 0;
    for (size_t round = 0; round < 4000; round++) {
        const hr_segment ray = segment_of(random_in(&state, -9, 9), random_in(&state, -9, 9), random_in(&state, -9, 9),
                                          random_in(&state, -9, 9));
        const hr_point a = hr_geometry_at(ray, random_in(&state, -0.5, 0.4));
        const hr_point b = hr_geometry_at(ray, random_in(&state, 0.6, 1.5));
        const double shift = random_in(&state, -4e-4, 4e-4);
        const hr_segment wall = {{a.x + shift, a.y - shift}, {b.x - shift, b.y}};
        hr_span whole, first, second, back;
        if (!hr_geometry_along(ray, wall, 1e-3, 0.1, &whole)) {
            continue;
        }
        assert_true(hr_geometry_along(turned(ray), turned(wall), 1e-3, 0.1, &back));
        check_near(back.from, 1.0 - whole.to, 1e-12);
        check_near(back.to, 1.0 - whole.from, 1e-12);
        const hr_point joint = hr_geometry_at(ray, 0.5 * (whole.from + whole.to));
        double at = 0.0;
        (void)hr_geometry_to_segment(joint, wall, &at);
        const hr_point cut = hr_geometry_at(wall, at);
        assert_true(hr_geometry_along(ray, (hr_segment){wall.a, cut}, 1e-3, 0.0, &first));
        assert_true(hr_geometry_along(ray, (hr_segment){cut, wall.b}, 1e-3, 0.0, &second));
        check_near(first.from, whole.from, 1e-9);
        check_near(first.to, second.from, 1e-9);
        check_near(second.to, whole.to, 1e-9);
        tried++;
    }
    assert_true(tried > 3000);
}

static const struct CMUnitTest segment_tests[] = {
    cmocka_unit_test(points_and_lengths),    cmocka_unit_test(boxes),
    cmocka_unit_test(distance_to_a_segment), cmocka_unit_test(distance_to_a_segment_is_the_least),
    cmocka_unit_test(gaps_between_segments), cmocka_unit_test(angles),
    cmocka_unit_test(along_a_wall),          cmocka_unit_test(along_a_split_wall),
};

int main(void)
{
    struct CMUnitTest tests[MAX_TESTS];
    size_t count = 0;
    const struct {
        const struct CMUnitTest *tests;
        size_t count;
    } parts[] = {
        {segment_tests, sizeof segment_tests / sizeof segment_tests[0]},
        {cross_tests, cross_test_count},
        {region_tests, region_test_count},
        {index_tests, index_test_count},
        {grid_tests, grid_test_count},
    };
    for (size_t p = 0; p < sizeof parts / sizeof parts[0]; p++) {
        for (size_t i = 0; i < parts[p].count; i++) {
            if (count == MAX_TESTS) {
                abort();
            }
            tests[count++] = parts[p].tests[i];
        }
    }
    return _cmocka_run_group_tests("geometry", tests, count, NULL, NULL);
}
