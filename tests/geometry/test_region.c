/*
 * test_region.c - closed shapes: inside, outline, area, innermost place, passages.
 *
 * SPDX-License-Identifier: MIT
 */
#include "geometry_tests.h"

#include <stdlib.h>

#define TURN 6.283185307179586
#define POINTS_MAX 64
#define RINGS_MAX 4

/* A region with room for its points. */
typedef struct shape {
    hr_point points[RINGS_MAX][POINTS_MAX];
    hr_ring rings[RINGS_MAX];
    hr_region region;
} shape;

static void add_ring(shape *s, const hr_point *points, size_t count)
{
    const size_t ring = s->region.ring_count;
    assert_true(ring < RINGS_MAX && count <= POINTS_MAX);
    memcpy(s->points[ring], points, count * sizeof *points);
    s->rings[ring] = (hr_ring){s->points[ring], count};
    s->region.rings = s->rings;
    s->region.ring_count++;
    s->region.box = hr_geometry_region_box(s->rings, s->region.ring_count);
}

/* Corners in the order of growing angle, or turned round. */
static void add_rectangle(shape *s, double x0, double y0, double x1, double y1, bool turned_round)
{
    const hr_point onward[4] = {{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}};
    const hr_point back[4] = {{x0, y1}, {x1, y1}, {x1, y0}, {x0, y0}};
    add_ring(s, turned_round ? back : onward, 4);
}

/* Sum of the angles under which p sees the edges: another way than the library's. */
static bool inside_by_angles(const hr_region *region, hr_point p)
{
    long winding = 0, odd = 0;
    for (size_t r = 0; r < region->ring_count; r++) {
        const hr_ring *ring = &region->rings[r];
        double sum = 0.0;
        for (size_t i = 0; i < ring->count; i++) {
            const hr_point a = ring->points[i], b = ring->points[(i + 1) % ring->count];
            const double ax = a.x - p.x, ay = a.y - p.y, bx = b.x - p.x, by = b.y - p.y;
            sum += atan2(ax * by - ay * bx, ax * bx + ay * by);
        }
        const long turns = lround(sum / TURN);
        winding += turns;
        odd += labs(turns) % 2;
    }
    return region->even_odd ? odd % 2 != 0 : winding != 0;
}

/* Points anywhere (crossing itself), on a small whole grid (many coincidences) or a star. */
static void random_shape(uint64_t *state, shape *s)
{
    *s = (shape){.region = {.even_odd = random_bits(state) % 2 == 0}};
    const size_t rings = 1 + (size_t)(random_bits(state) % 3);
    for (size_t r = 0; r < rings; r++) {
        hr_point points[POINTS_MAX];
        const size_t count = 3 + (size_t)(random_bits(state) % 10);
        const uint64_t kind = random_bits(state) % 3;
        for (size_t i = 0; i < count; i++) {
            if (kind == 0) {
                points[i] = (hr_point){(double)random_whole(state, 0, 6), (double)random_whole(state, 0, 6)};
            } else if (kind == 1) {
                points[i] = (hr_point){random_in(state, 0, 6), random_in(state, 0, 6)};
            } else {
                const double angle = TURN * (double)i / (double)count, far = random_in(state, 0.5, 3.0);
                points[i] = (hr_point){3.0 + far * cos(angle), 3.0 + far * sin(angle)};
            }
        }
        add_ring(s, points, count);
    }
}

static void inside_matches_the_angle_sum(void **unused)
{
    (void)unused;
    uint64_t state = 11;
    size_t in = 0, out = 0;
    for (size_t round = 0; round < 20000; round++) {
        shape s;
        random_shape(&state, &s);
        const hr_point p = {random_in(&state, -0.5, 6.5), random_in(&state, -0.5, 6.5)};
        const double distance = hr_geometry_to_outline(&s.region, p, NULL);
        if (distance < 1e-6) {
            continue;
        }
        const bool expected = inside_by_angles(&s.region, p);
        assert_int_equal(hr_geometry_inside(&s.region, p, 0.0), expected);
        assert_true(hr_geometry_inside(&s.region, p, distance * 1.0001));
        assert_int_equal(hr_geometry_inside(&s.region, p, distance * 0.9999), expected);
        in += expected ? 1 : 0;
        out += expected ? 0 : 1;
    }
    assert_true(in > 3000 && out > 3000);
}

static void outline_is_inside(void **unused)
{
    (void)unused;
    shape s = {0};
    add_rectangle(&s, 1, 1, 5, 3, false);
    const hr_point on[] = {{1, 1}, {5, 3}, {3, 1}, {3, 3}, {1, 2}, {5, 2}};
    for (size_t i = 0; i < sizeof on / sizeof on[0]; i++) {
        assert_true(hr_geometry_inside(&s.region, on[i], 0.0));
    }
    assert_false(hr_geometry_inside(&s.region, (hr_point){5.01, 2}, 0.0));
    assert_false(hr_geometry_inside(&s.region, (hr_point){6, 1}, 0.0)); /* in line with an edge, beyond it */
    assert_true(hr_geometry_inside(&s.region, (hr_point){5.01, 2}, 0.011));
    hr_point nearest = {0, 0};
    check_near(hr_geometry_to_outline(&s.region, (hr_point){4.5, 2.25}, &nearest), 0.5, 1e-15);
    check_near(nearest.x, 5.0, 1e-15);
    check_near(nearest.y, 2.25, 1e-15);
    shape empty = {.region = {.box = hr_geometry_region_box(NULL, 0)}};
    assert_false(hr_geometry_inside(&empty.region, on[0], 1e9));
    check_near(hr_geometry_area(&empty.region), 0.0, 0.0);
}

/* Two squares, the inner one as given. */
static double nested_area(bool even_odd, bool inner_turned)
{
    shape s = {.region = {.even_odd = even_odd}};
    add_rectangle(&s, 0, 0, 10, 10, false);
    add_rectangle(&s, 2, 2, 6, 5, inner_turned);
    return hr_geometry_area(&s.region);
}

static void areas_by_hand(void **unused)
{
    (void)unused;
    check_near(nested_area(false, true), 88.0, 1e-12);
    check_near(nested_area(false, false), 100.0, 1e-12);
    check_near(nested_area(true, true), 88.0, 1e-12);
    check_near(nested_area(true, false), 88.0, 1e-12);
    shape s = {.region = {.even_odd = true}};
    add_rectangle(&s, 1e6, 1e6, 1e6 + 10, 1e6 + 10, true); /* far from the origin: nothing is lost */
    add_rectangle(&s, 1e6 + 1, 1e6 + 1, 1e6 + 9, 1e6 + 9, true);
    add_rectangle(&s, 1e6 + 2, 1e6 + 2, 1e6 + 3, 1e6 + 4, true);
    check_near(hr_geometry_area(&s.region), 100.0 - 64.0 + 2.0, 1e-9);
    s.region.even_odd = false;
    check_near(hr_geometry_area(&s.region), 100.0, 1e-9);
}

static void areas_of_touching_rings(void **unused)
{
    (void)unused;
    for (int even_odd = 0; even_odd < 2; even_odd++) {
        shape beside = {.region = {.even_odd = even_odd != 0}};
        add_rectangle(&beside, 0, 0, 2, 2, false);
        add_rectangle(&beside, 2, 0, 5, 2, true);
        check_near(hr_geometry_area(&beside.region), 10.0, 1e-12);
        shape twice = {.region = {.even_odd = even_odd != 0}};
        add_rectangle(&twice, 0, 0, 3, 2, false);
        add_rectangle(&twice, 0, 0, 3, 2, false);
        check_near(hr_geometry_area(&twice.region), even_odd ? 0.0 : 6.0, 1e-12);
        shape hole_at_edge = {.region = {.even_odd = even_odd != 0}};
        add_rectangle(&hole_at_edge, 0, 0, 6, 4, false);
        add_rectangle(&hole_at_edge, 0, 1, 2, 3, true);
        check_near(hr_geometry_area(&hole_at_edge.region), 20.0, 1e-12);
    }
}

/* Regular polygon with `count` corners: n/2 r^2 sin(2 pi / n). */
static void area_of_a_polygon(void **unused)
{
    (void)unused;
    for (size_t count = 3; count <= POINTS_MAX; count++) {
        hr_point points[POINTS_MAX];
        for (size_t i = 0; i < count; i++) {
            const double angle = 0.3 + TURN * (double)i / (double)count;
            points[i] = (hr_point){7.0 + 2.5 * cos(angle), -3.0 + 2.5 * sin(angle)};
        }
        shape s = {0};
        add_ring(&s, points, count);
        check_near(hr_geometry_area(&s.region), 0.5 * (double)count * 6.25 * sin(TURN / (double)count), 1e-12);
    }
}

static void innermost_by_hand(void **unused)
{
    (void)unused;
    double radius = 0.0;
    shape square = {0};
    add_rectangle(&square, 2, 3, 8, 9, false);
    hr_point at = hr_geometry_innermost(&square.region, &radius);
    check_near(at.x, 5.0, 1e-3);
    check_near(at.y, 6.0, 1e-3);
    check_near(radius, 3.0, 1e-3);
    /* a corridor: all of the middle line is equally far, the middle of it is meant */
    shape corridor = {0};
    add_rectangle(&corridor, 0, 0, 60, 1.8, false);
    at = hr_geometry_innermost(&corridor.region, &radius);
    check_near(at.x, 30.0, 1e-3);
    check_near(at.y, 0.9, 1e-3);
    check_near(radius, 0.9, 1e-3);
    /* an L with legs 2 m wide: on the inner corner's diagonal, (r-2)^2 * 2 = r^2, r = 4 - sqrt 8 */
    const hr_point l[6] = {{0, 0}, {8, 0}, {8, 2}, {2, 2}, {2, 8}, {0, 8}};
    shape bent = {0};
    add_ring(&bent, l, 6);
    at = hr_geometry_innermost(&bent.region, &radius);
    check_near(radius, 4.0 - sqrt(8.0), 1e-3);
    check_near(at.x, 4.0 - sqrt(8.0), 2e-3);
    check_near(at.y, 4.0 - sqrt(8.0), 2e-3);
    /* a 3-4-5 triangle has the inscribed radius 1 */
    const hr_point t[3] = {{0, 0}, {4, 0}, {0, 3}};
    shape triangle = {0};
    add_ring(&triangle, t, 3);
    at = hr_geometry_innermost(&triangle.region, &radius);
    check_near(radius, 1.0, 1e-3);
    check_near(at.x, 1.0, 3e-3);
    check_near(at.y, 1.0, 3e-3);
}

static void innermost_minds_holes(void **unused)
{
    (void)unused;
    shape s = {.region = {.even_odd = true}};
    add_rectangle(&s, 0, 0, 10, 6, false);
    add_rectangle(&s, 1, 1, 5, 5, false); /* leaves 5 x 6 on the right */
    double radius = 0.0;
    const hr_point at = hr_geometry_innermost(&s.region, &radius);
    check_near(radius, 2.5, 1e-3);
    check_near(at.x, 7.5, 2e-3);
    assert_true(at.y > 2.49 && at.y < 3.51);
}

static void innermost_without_area(void **unused)
{
    (void)unused;
    double radius = -1.0;
    const hr_point flat[3] = {{0, 0}, {4, 2}, {2, 1}};
    shape s = {0};
    add_ring(&s, flat, 3);
    hr_point at = hr_geometry_innermost(&s.region, &radius);
    check_near(at.x, 2.0, 0.0);
    check_near(at.y, 1.0, 0.0);
    check_near(radius, 0.0, 0.0);
    const hr_point same[2] = {{7, 8}, {7, 8}};
    shape point = {0};
    add_ring(&point, same, 2);
    at = hr_geometry_innermost(&point.region, &radius);
    assert_true(at.x == 7 && at.y == 8 && radius == 0.0);
    shape empty = {.region = {.box = hr_geometry_region_box(NULL, 0)}};
    at = hr_geometry_innermost(&empty.region, NULL);
    assert_true(at.x == 0 && at.y == 0);
}

/* No place of a fine grid is better by more than 1 mm, and the radius is real. */
static void innermost_beats_a_grid(void **unused)
{
    (void)unused;
    uint64_t state = 12;
    for (size_t round = 0; round < 150; round++) {
        shape s;
        random_shape(&state, &s);
        double radius = 0.0;
        const hr_point at = hr_geometry_innermost(&s.region, &radius);
        if (radius > 0.0) {
            assert_true(inside_by_angles(&s.region, at));
            check_near(hr_geometry_to_outline(&s.region, at, NULL), radius, 1e-12);
        }
        for (int k = 0; k < 61 * 61; k++) {
            const hr_point p = {k % 61 / 10.0 + 0.017, k / 61 / 10.0 + 0.013};
            const double distance = hr_geometry_to_outline(&s.region, p, NULL);
            assert_true(distance <= radius + 1e-3 || !inside_by_angles(&s.region, p));
        }
    }
}

/* The place mirrors and turns with the shape (a room with a bathroom corner). */
static void innermost_moves_with_the_shape(void **unused)
{
    (void)unused;
    const hr_point room[6] = {{0, 0}, {7.2, 0}, {7.2, 3.6}, {2.1, 3.6}, {2.1, 1.9}, {0, 1.9}};
    shape s = {0}, mirrored = {0}, turned_shape = {0};
    hr_point m[6], t[6];
    for (size_t i = 0; i < 6; i++) {
        m[i] = (hr_point){20.0 - room[i].x, room[i].y};
        t[i] = (hr_point){0.8 * room[i].x - 0.6 * room[i].y, 0.6 * room[i].x + 0.8 * room[i].y};
    }
    add_ring(&s, room, 6);
    add_ring(&mirrored, m, 6);
    add_ring(&turned_shape, t, 6);
    double radius = 0.0, radius_m = 0.0, radius_t = 0.0;
    const hr_point at = hr_geometry_innermost(&s.region, &radius);
    const hr_point at_m = hr_geometry_innermost(&mirrored.region, &radius_m);
    const hr_point at_t = hr_geometry_innermost(&turned_shape.region, &radius_t);
    check_near(radius, 1.8, 1e-3);
    check_near(radius_m, radius, 1e-4);
    check_near(radius_t, radius, 1e-3);
    check_near(at_m.x, 20.0 - at.x, 5e-3);
    check_near(at_m.y, at.y, 5e-3);
    check_near(at_t.x, 0.8 * at.x - 0.6 * at.y, 0.01);
    check_near(at_t.y, 0.6 * at.x + 0.8 * at.y, 0.01);
}

static size_t passages(const shape *s, hr_segment ray, double join, double min_length, hr_span *spans, size_t cap)
{
    return hr_geometry_passages(&s->region, ray, join, min_length, spans, cap);
}

static void passages_by_hand(void **unused)
{
    (void)unused;
    hr_span on[4] = {{0, 0}};
    shape s = {.region = {.even_odd = true}};
    add_rectangle(&s, 2, 0, 8, 4, false);
    add_rectangle(&s, 4, 1, 5, 3, false);
    /* through both walls of the frame */
    assert_int_equal(passages(&s, segment_of(0, 2, 10, 2), 0.0, 0.01, on, 4), 2);
    check_near(on[0].from, 0.2, 1e-12);
    check_near(on[0].to, 0.4, 1e-12);
    check_near(on[1].from, 0.5, 1e-12);
    check_near(on[1].to, 0.8, 1e-12);
    /* joined over the hole; the count is whole where the room is short */
    assert_int_equal(passages(&s, segment_of(0, 2, 10, 2), 1.01, 0.01, on, 4), 1);
    check_near(on[0].to, 0.8, 1e-12);
    on[1] = (hr_span){-1, -1};
    assert_int_equal(passages(&s, segment_of(0, 2, 10, 2), 0.0, 0.01, on, 1), 2);
    assert_true(on[1].from == -1);
    assert_int_equal(passages(&s, segment_of(0, 2, 10, 2), 0.0, 2.5, on, 4), 1);
    check_near(on[0].from, 0.5, 1e-12);
    /* starting inside, ending inside, all inside, none */
    assert_int_equal(passages(&s, segment_of(3, 3.5, 3, 13.5), 0.0, 0.01, on, 4), 1);
    check_near(on[0].from, 0.0, 0.0);
    check_near(on[0].to, 0.05, 1e-12);
    assert_int_equal(passages(&s, segment_of(3, 0.5, 7, 0.5), 0.0, 0.01, on, 4), 1);
    assert_true(on[0].from == 0.0 && on[0].to == 1.0);
    assert_int_equal(passages(&s, segment_of(0, 5, 10, 5), 0.0, 0.01, on, 4), 0);
    assert_int_equal(passages(&s, segment_of(3, 3, 3, 3), 0.0, 0.0, on, 4), 0);
}

static void passages_along_edges_and_through_corners(void **unused)
{
    (void)unused;
    hr_span on[4] = {{0, 0}};
    shape s = {0};
    add_rectangle(&s, 2, 2, 6, 6, false);
    /* along either edge alike: the outline belongs to the shape */
    for (int edge = 0; edge < 2; edge++) {
        const double y = edge == 0 ? 2.0 : 6.0;
        assert_int_equal(passages(&s, segment_of(0, y, 10, y), 0.0, 0.01, on, 4), 1);
        check_near(on[0].from, 0.2, 1e-9);
        check_near(on[0].to, 0.6, 1e-9);
    }
    /* through two corners; touching one from outside; from corner to corner */
    assert_int_equal(passages(&s, segment_of(0, 0, 8, 8), 0.0, 0.01, on, 4), 1);
    check_near(on[0].from, 0.25, 1e-12);
    check_near(on[0].to, 0.75, 1e-12);
    assert_int_equal(passages(&s, segment_of(0, 4, 4, 0), 0.0, 0.0, on, 4), 0);
    assert_int_equal(passages(&s, segment_of(2, 2, 6, 6), 0.0, 0.01, on, 4), 1);
    assert_true(on[0].from == 0.0 && on[0].to == 1.0);
    /* over an inner corner of a U: in, out, in */
    const hr_point u[8] = {{0, 0}, {9, 0}, {9, 5}, {6, 5}, {6, 2}, {3, 2}, {3, 5}, {0, 5}};
    shape bay = {0};
    add_ring(&bay, u, 8);
    assert_int_equal(passages(&bay, segment_of(-1, 5, 11, 5), 0.0, 0.01, on, 4), 2); /* along both tops */
    assert_int_equal(passages(&bay, segment_of(-1, 2, 11, 2), 0.0, 0.01, on, 4), 1); /* along the inner bottom */
    assert_int_equal(passages(&bay, segment_of(-1, 3, 11, 3), 0.0, 0.01, on, 4), 2);
}

static bool in_spans(const hr_span *spans, size_t count, double at, double slack, bool *near_end)
{
    bool in = false;
    *near_end = false;
    for (size_t i = 0; i < count; i++) {
        in = in || (at > spans[i].from && at < spans[i].to);
        *near_end = *near_end || fabs(at - spans[i].from) < slack || fabs(at - spans[i].to) < slack;
    }
    return in;
}

static void check_by_sampling(const shape *s, hr_segment ray)
{
    hr_span spans[POINTS_MAX];
    const size_t count = passages(s, ray, 0.0, 0.0, spans, POINTS_MAX);
    assert_true(count <= POINTS_MAX);
    for (size_t i = 0; i < count; i++) {
        assert_true(spans[i].from < spans[i].to && spans[i].from >= 0.0 && spans[i].to <= 1.0);
        assert_true(i == 0 || spans[i].from > spans[i - 1].to);
    }
    for (int k = 0; k < 200; k++) {
        const double at = (k + 0.5) / 200.0;
        const hr_point p = hr_geometry_at(ray, at);
        bool near_end = false;
        const bool in = in_spans(spans, count, at, 1e-7, &near_end);
        const bool on_outline = hr_geometry_to_outline(&s->region, p, NULL) < 1e-6;
        if (!near_end) {
            assert_int_equal(in, on_outline ? in : inside_by_angles(&s->region, p));
        }
    }
}

static void passages_match_sampling(void **unused)
{
    (void)unused;
    uint64_t state = 13;
    for (size_t round = 0; round < 3000; round++) {
        shape s;
        random_shape(&state, &s);
        hr_segment ray = segment_of(random_in(&state, -1, 7), random_in(&state, -1, 7), random_in(&state, -1, 7),
                                    random_in(&state, -1, 7));
        if (round % 3 == 0) { /* on the grid: through corners and along edges */
            ray = segment_of((double)random_whole(&state, -1, 7), (double)random_whole(&state, -1, 7),
                             (double)random_whole(&state, -1, 7), (double)random_whole(&state, -1, 7));
        }
        if (hr_geometry_length(ray) > 0.0) {
            check_by_sampling(&s, ray);
        }
    }
}

/* More crossings than one batch of the search holds. */
static void passages_through_a_long_comb(void **unused)
{
    (void)unused;
    enum { TEETH = 500 };
    static hr_point points[4 * TEETH + 2];
    size_t count = 0;
    for (int tooth = 0; tooth < TEETH; tooth++) {
        points[count++] = (hr_point){tooth, 0};
        points[count++] = (hr_point){tooth, 2};
        points[count++] = (hr_point){tooth + 0.5, 2};
        points[count++] = (hr_point){tooth + 0.5, 0};
    }
    points[count++] = (hr_point){TEETH, -1};
    points[count++] = (hr_point){0, -1};
    const hr_ring ring = {points, count};
    const hr_region region = {.rings = &ring, .ring_count = 1, .box = hr_geometry_region_box(&ring, 1)};
    static hr_span spans[TEETH + 1];
    assert_int_equal(hr_geometry_passages(&region, segment_of(-1, 1, TEETH + 1, 1), 0.0, 0.01, spans, TEETH + 1),
                     TEETH);
    for (int tooth = 0; tooth < TEETH; tooth++) {
        check_near(spans[tooth].from, (tooth + 1.0) / (TEETH + 2), 1e-12);
        check_near(spans[tooth].to, (tooth + 1.5) / (TEETH + 2), 1e-12);
    }
    assert_int_equal(hr_geometry_passages(&region, segment_of(-1, 1, TEETH + 1, 1), 0.0, 0.01, NULL, 0), TEETH);
}

const struct CMUnitTest region_tests[] = {
    cmocka_unit_test(inside_matches_the_angle_sum),
    cmocka_unit_test(outline_is_inside),
    cmocka_unit_test(areas_by_hand),
    cmocka_unit_test(areas_of_touching_rings),
    cmocka_unit_test(area_of_a_polygon),
    cmocka_unit_test(innermost_by_hand),
    cmocka_unit_test(innermost_minds_holes),
    cmocka_unit_test(innermost_without_area),
    cmocka_unit_test(innermost_beats_a_grid),
    cmocka_unit_test(innermost_moves_with_the_shape),
    cmocka_unit_test(passages_by_hand),
    cmocka_unit_test(passages_along_edges_and_through_corners),
    cmocka_unit_test(passages_match_sampling),
    cmocka_unit_test(passages_through_a_long_comb),
};
const size_t region_test_count = sizeof region_tests / sizeof region_tests[0];
