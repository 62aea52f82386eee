/*
 * test_cross.c - where two segments meet: by hand, and against exact whole-number arithmetic.
 *
 * SPDX-License-Identifier: MIT
 */
#include "geometry_tests.h"

/* Room for products of whole numbers of 42 bits, exactly. */
#ifdef __SIZEOF_INT128__
__extension__ typedef __int128 wide;
#else
__extension__ typedef __float128 wide;
#endif

typedef struct whole {
    int64_t x, y;
} whole;

/* One unit of the whole-number grid in metres; exact in a double. */
#define GRID 0x1p-20

static hr_point point_of(whole p)
{
    return (hr_point){(double)p.x * GRID, (double)p.y * GRID};
}

static wide exact_side(whole a, whole b, whole c)
{
    return (wide)(b.x - a.x) * (c.y - a.y) - (wide)(b.y - a.y) * (c.x - a.x);
}

static int sign_of(wide value)
{
    return (value > 0) - (value < 0);
}

/* The definition, in exact arithmetic; *along = first / (first - second). */
static bool exact_cross(const whole ray[2], const whole wall[2], double *along)
{
    const wide first = exact_side(wall[0], wall[1], ray[0]), second = exact_side(wall[0], wall[1], ray[1]);
    const wide third = exact_side(ray[0], ray[1], wall[0]), fourth = exact_side(ray[0], ray[1], wall[1]);
    const bool parallel = first == second;
    *along = parallel ? 0.0 : (double)((long double)first / (long double)(first - second));
    return !parallel && sign_of(first) * sign_of(second) <= 0 && sign_of(third) * sign_of(fourth) <= 0;
}

static void check_against_exact(const whole ray[2], const whole wall[2])
{
    const hr_segment r = {point_of(ray[0]), point_of(ray[1])}, w = {point_of(wall[0]), point_of(wall[1])};
    double expected = 0.0, expected_on = 0.0, along = -1.0, on = -1.0, back = -1.0, on_back = -1.0;
    const bool meets = exact_cross(ray, wall, &expected);
    assert_int_equal(hr_geometry_cross(r, w, &along, &on), meets);
    assert_int_equal(hr_geometry_cross(turned(r), turned(w), &back, &on_back), meets);
    assert_int_equal(hr_geometry_cross(w, r, NULL, NULL), meets);
    if (!meets) {
        check_near(along, -1.0, 0.0);
        check_near(on, -1.0, 0.0);
        return;
    }
    assert_true(exact_cross(wall, ray, &expected_on));
    assert_true(along >= 0.0 && along <= 1.0 && on >= 0.0 && on <= 1.0);
    check_near(along, expected, 1e-10);
    check_near(on, expected_on, 1e-10);
    check_near(along + back, 1.0, 1e-12);
    check_near(on + on_back, 1.0, 1e-12);
}

static whole random_point(uint64_t *state, int64_t size)
{
    const int64_t x = random_whole(state, -size, size);
    return (whole){x, random_whole(state, -size, size)};
}

static void random_segments_match_exact_arithmetic(void **unused)
{
    (void)unused;
    uint64_t state = 1;
    const int64_t sizes[] = {2, 4, 20, 1000, INT64_C(1) << 20, INT64_C(1) << 30, INT64_C(1) << 45};
    for (size_t round = 0; round < 140000; round++) {
        const int64_t size = sizes[round % (sizeof sizes / sizeof sizes[0])];
        const whole ray[2] = {random_point(&state, size), random_point(&state, size)};
        const whole wall[2] = {random_point(&state, size), random_point(&state, size)};
        check_against_exact(ray, wall);
    }
}

/* Points on a line or one grid unit beside it: what a plain determinant gets wrong. */
static void nearly_touching_segments_match_exact_arithmetic(void **unused)
{
    (void)unused;
    uint64_t state = 2;
    size_t meeting = 0, apart = 0;
    for (size_t round = 0; round < 100000; round++) {
        const whole step = random_point(&state, INT64_C(1) << (4 + round % 32));
        const whole from = random_point(&state, INT64_C(1) << (6 + round % 28));
        whole on_line[4];
        for (size_t i = 0; i < 4; i++) {
            const int64_t k = random_whole(&state, -40, 40);
            on_line[i] = (whole){from.x + k * step.x, from.y + k * step.y};
        }
        on_line[2].x += random_whole(&state, -1, 1);
        on_line[2].y += random_whole(&state, -1, 1);
        on_line[3] = round % 3 == 0 ? random_point(&state, INT64_C(1) << 30) : on_line[3];
        double along = 0.0;
        const bool meets = exact_cross(&on_line[0], &on_line[2], &along);
        meeting += meets ? 1 : 0;
        apart += meets ? 0 : 1;
        check_against_exact(&on_line[0], &on_line[2]);
    }
    assert_true(meeting > 5000 && apart > 5000); /* both kinds were really tried */
}

/* u, v with a v - b u = +-gcd(a, b): the lattice line next to the one along (a, b). */
static whole next_line(int64_t a, int64_t b)
{
    whole before = {1, 0}, now = {0, 1};
    while (b != 0) {
        const int64_t times = a / b, rest = a % b;
        const whole next = {before.x - times * now.x, before.y - times * now.y};
        before = now;
        now = next;
        a = b;
        b = rest;
    }
    return (whole){-before.y, before.x};
}

/* Long segments whose areas are a few grid units squared: plain doubles have no
 * digit of them right. */
static void slivers_match_exact_arithmetic(void **unused)
{
    (void)unused;
    uint64_t state = 8;
    size_t meeting = 0, apart = 0;
    for (size_t round = 0; round < 50000; round++) {
        const int64_t size = INT64_C(1) << (10 + round % 24);
        const whole step = {random_whole(&state, 1, size), random_whole(&state, 1, size)};
        const whole aside = next_line(step.x, step.y), from = random_point(&state, size);
        whole points[4];
        for (size_t i = 0; i < 4; i++) {
            const int64_t k = random_whole(&state, -9, 9), j = i < 2 ? 0 : random_whole(&state, -2, 2);
            points[i] = (whole){from.x + k * step.x + j * aside.x, from.y + k * step.y + j * aside.y};
        }
        double along = 0.0;
        const bool meets = exact_cross(&points[0], &points[2], &along);
        meeting += meets ? 1 : 0;
        apart += meets ? 0 : 1;
        check_against_exact(&points[0], &points[2]);
    }
    assert_true(meeting > 5000 && apart > 5000);
}

/* One end far away: even the differences of coordinates are rounded. */
static void far_ends_match_exact_arithmetic(void **unused)
{
    (void)unused;
    uint64_t state = 9;
    size_t meeting = 0, apart = 0;
    for (size_t round = 0; round < 50000; round++) {
        const whole step = random_point(&state, INT64_C(1) << 20);
        const int64_t far = INT64_C(1) << (30 + round % 10), near = random_whole(&state, -3, 3);
        const int64_t at = random_whole(&state, -3, 9);
        const whole ray[2] = {{near * step.x, near * step.y}, {far * step.x, far * step.y}};
        whole wall[2] = {{at * step.x, at * step.y}, random_point(&state, INT64_C(1) << 21)};
        if (round % 2 == 0) {
            wall[0].x += random_whole(&state, -1, 1);
            wall[0].y += random_whole(&state, -1, 1);
        }
        double along = 0.0;
        const bool meets = exact_cross(ray, wall, &along);
        meeting += meets ? 1 : 0;
        apart += meets ? 0 : 1;
        check_against_exact(ray, wall);
    }
    assert_true(meeting > 5000 && apart > 5000);
}

/* Fractions of segments that part by nanometres, against a wider type. */
static void fractions_of_slivers(void **unused)
{
    (void)unused;
    volatile long double one = 1.0L;
    if (one + 0x1p-60L == one) {
        print_message("# skipped: long double is no wider here\n");
        return;
    }
    uint64_t state = 10;
    size_t met = 0;
    for (size_t round = 0; round < 20000; round++) {
        const hr_segment ray = segment_of(random_in(&state, -30, 30), random_in(&state, -30, 30),
                                          random_in(&state, -30, 30), random_in(&state, -30, 30));
        const double off = random_in(&state, 1e-8, 1e-6);
        const hr_point a = hr_geometry_at(ray, random_unit(&state)), b = hr_geometry_at(ray, random_unit(&state));
        const hr_segment wall = {{a.x + off, a.y - off}, {b.x - off, b.y + 0.3 * off}};
        double along = 0.0;
        if (!hr_geometry_cross(ray, wall, &along, NULL)) {
            continue;
        }
        const long double ax = (long double)wall.a.x, ay = (long double)wall.a.y;
        const long double rise = (long double)wall.b.y - ay, run = (long double)wall.b.x - ax;
        const long double first = run * ((long double)ray.a.y - ay) - rise * ((long double)ray.a.x - ax);
        const long double second = run * ((long double)ray.b.y - ay) - rise * ((long double)ray.b.x - ax);
        check_near(along, (double)(first / (first - second)), 1e-9);
        met++;
    }
    assert_true(met > 5000);
}

static void plain_crossing(void **unused)
{
    (void)unused;
    double along = 0.0, on = 0.0;
    assert_true(hr_geometry_cross(segment_of(0, 0, 8, 0), segment_of(2, -1, 2, 3), &along, &on));
    check_near(along, 0.25, 1e-15);
    check_near(on, 0.25, 1e-15);
    assert_false(hr_geometry_cross(segment_of(0, 0, 8, 0), segment_of(2, 0.001, 2, 3), NULL, NULL));
    assert_false(hr_geometry_cross(segment_of(0, 0, 8, 0), segment_of(8.001, -1, 8.001, 1), NULL, NULL));
}

static void through_a_corner_meets_both_walls(void **unused)
{
    (void)unused;
    const hr_segment ray = segment_of(0, 0, 4, 4);
    const hr_segment walls[2] = {segment_of(2, 2, 2, 9), segment_of(2, 2, 9, 2)};
    for (size_t i = 0; i < 2; i++) {
        double along = 0.0, on = 1.0;
        assert_true(hr_geometry_cross(ray, walls[i], &along, &on));
        check_near(along, 0.5, 1e-15);
        check_near(on, 0.0, 0.0);
    }
}

static void touching_counts_at_every_end(void **unused)
{
    (void)unused;
    double along = 0.0;
    /* a T: the ray ends on the wall, the wall ends on the ray, both end in one point */
    assert_true(hr_geometry_cross(segment_of(0, 0, 3, 0), segment_of(3, -1, 3, 1), &along, NULL));
    check_near(along, 1.0, 0.0);
    assert_true(hr_geometry_cross(segment_of(0, 0, 3, 0), segment_of(1, 0, 1, 5), &along, NULL));
    check_near(along, 1.0 / 3.0, 1e-15);
    assert_true(hr_geometry_cross(segment_of(0, 0, 3, 0), segment_of(3, 0, 4, 7), &along, NULL));
    check_near(along, 1.0, 0.0);
}

static void parallel_and_pointlike_do_not_cross(void **unused)
{
    (void)unused;
    const hr_segment ray = segment_of(0, 0, 10, 5);
    assert_false(hr_geometry_cross(ray, ray, NULL, NULL));
    assert_false(hr_geometry_cross(ray, segment_of(2, 1, 4, 2), NULL, NULL));
    assert_false(hr_geometry_cross(ray, segment_of(10, 5, 20, 10), NULL, NULL));
    assert_false(hr_geometry_cross(ray, segment_of(0, 1, 10, 6), NULL, NULL));
    assert_false(hr_geometry_cross(ray, segment_of(4, 2, 4, 2), NULL, NULL));
    assert_false(hr_geometry_cross(segment_of(4, 2, 4, 2), segment_of(4, 0, 4, 4), NULL, NULL));
    assert_false(hr_geometry_cross(segment_of(1, 1, 1, 1), segment_of(1, 1, 1, 1), NULL, NULL));
}

/* Splitting a wall loses no crossing, wherever the rounded joint comes to lie. */
static void a_split_wall_is_still_met(void **unused)
{
    (void)unused;
    uint64_t state = 3;
    size_t met = 0, at_joint = 0;
    for (size_t round = 0; round < 40000; round++) {
        const hr_segment wall = segment_of(random_in(&state, -30, 30), random_in(&state, -30, 30),
                                           random_in(&state, -30, 30), random_in(&state, -30, 30));
        const hr_segment ray = segment_of(random_in(&state, -30, 30), random_in(&state, -30, 30),
                                          random_in(&state, -30, 30), random_in(&state, -30, 30));
        double along = 0.0, on = random_unit(&state);
        const bool whole_met = hr_geometry_cross(ray, wall, &along, &on);
        const hr_point joint = hr_geometry_at(wall, round % 2 == 0 ? on : random_unit(&state));
        double first = -1.0, second = -1.0;
        const bool first_met = hr_geometry_cross(ray, (hr_segment){wall.a, joint}, &first, NULL);
        const bool second_met = hr_geometry_cross(ray, (hr_segment){joint, wall.b}, &second, NULL);
        if (whole_met && along > 1e-9 && along < 1.0 - 1e-9) {
            assert_true(first_met || second_met);
            check_near(first_met ? first : second, along, 1e-9);
            met++;
        } else if (!whole_met && first_met && second_met) {
            fail_msg("both halves met, the whole not");
        }
        at_joint += first_met && second_met ? 1 : 0;
    }
    assert_true(met > 5000);
    /* a ray exactly through the joint meets both halves */
    const hr_segment left = segment_of(0, 5, 3, 5), right = segment_of(3, 5, 7, 5), ray = segment_of(1, 1, 5, 9);
    assert_true(hr_geometry_cross(ray, left, NULL, NULL) && hr_geometry_cross(ray, right, NULL, NULL));
    (void)at_joint;
}

/* A ray through the end that several walls share meets at least one of each
 * pair that lies on opposite sides of it: nothing slips between two walls. */
static void nothing_slips_through_a_shared_corner(void **unused)
{
    (void)unused;
    uint64_t state = 4;
    for (size_t round = 0; round < 40000; round++) {
        const hr_point corner = {random_in(&state, -50, 50), random_in(&state, -50, 50)};
        const hr_point from = {random_in(&state, -50, 50), random_in(&state, -50, 50)};
        const double beyond = random_in(&state, 1.01, 3.0);
        const hr_segment ray = {from, hr_geometry_at((hr_segment){from, corner}, beyond)};
        const double dx = ray.b.x - ray.a.x, dy = ray.b.y - ray.a.y;
        const double lean = random_in(&state, -0.9, 0.9);
        const hr_segment one = {corner, {corner.x - dy + lean * dx, corner.y + dx + lean * dy}};
        const hr_segment two = {corner, {corner.x + dy - lean * dx, corner.y - dx - lean * dy}};
        if (hr_geometry_length(ray) > 1e-3) {
            assert_true(hr_geometry_cross(ray, one, NULL, NULL) || hr_geometry_cross(ray, two, NULL, NULL));
        }
    }
}

static void huge_and_tiny_stay_finite(void **unused)
{
    (void)unused;
    double along = 0.0, on = 0.0;
    assert_true(hr_geometry_cross(segment_of(-1e9, -1e9, 1e9, 1e9), segment_of(-1e9, 1e9, 1e9, -1e9), &along, &on));
    check_near(along, 0.5, 1e-12);
    check_near(on, 0.5, 1e-12);
    const double t = 0x1p-1060; /* products underflow to nothing */
    if (hr_geometry_cross(segment_of(0, 0, t, t), segment_of(0, t, t, 0), &along, &on)) {
        assert_true(along >= 0.0 && along <= 1.0 && on >= 0.0 && on <= 1.0);
    }
}

const struct CMUnitTest cross_tests[] = {
    cmocka_unit_test(random_segments_match_exact_arithmetic),
    cmocka_unit_test(nearly_touching_segments_match_exact_arithmetic),
    cmocka_unit_test(slivers_match_exact_arithmetic),
    cmocka_unit_test(far_ends_match_exact_arithmetic),
    cmocka_unit_test(fractions_of_slivers),
    cmocka_unit_test(plain_crossing),
    cmocka_unit_test(through_a_corner_meets_both_walls),
    cmocka_unit_test(touching_counts_at_every_end),
    cmocka_unit_test(parallel_and_pointlike_do_not_cross),
    cmocka_unit_test(a_split_wall_is_still_met),
    cmocka_unit_test(nothing_slips_through_a_shared_corner),
    cmocka_unit_test(huge_and_tiny_stay_finite),
};
const size_t cross_test_count = sizeof cross_tests / sizeof cross_tests[0];
