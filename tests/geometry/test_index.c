/*
 * test_index.c - the index of crossings against a look at every segment.
 *
 * SPDX-License-Identifier: MIT
 */
#include "geometry_tests.h"

#include "geometry_priv.h"

#include <stdlib.h>

#define SLACK 1e-9

static hr_index *index_of(const hr_segment *segments, size_t count)
{
    hr_index *index = NULL;
    hr_error err;
    assert_int_equal(hr_geometry_index_new(segments, count, &index, &err), HR_OK);
    assert_non_null(index);
    assert_int_equal(hr_geometry_index_count(index), count);
    return index;
}

/* Ascending, none missing, none too many. */
static size_t check_query(const hr_index *index, const hr_segment *segments, size_t count, hr_segment ray,
                          double within, uint32_t *ids)
{
    const size_t found = hr_geometry_index_query(index, ray, within, ids, count);
    assert_true(found <= count);
    size_t next = 0;
    for (size_t i = 0; i < count; i++) {
        const bool in = next < found && ids[next] == i;
        next += in ? 1 : 0;
        const double gap = hr_geometry_segments_gap(ray, segments[i]);
        if (!in && (gap <= within || hr_geometry_cross(ray, segments[i], NULL, NULL))) {
            fail_msg("segment %zu of %zu is missing", i, count);
        }
        if (in && gap > within + SLACK) {
            fail_msg("segment %zu of %zu is too far away", i, count);
        }
    }
    assert_int_equal(next, found); /* so the ids ascend and each is there once */
    return found;
}

static void check_crossed(const hr_index *index, const hr_segment *segments, size_t count, hr_segment ray,
                          uint32_t *ids)
{
    const size_t found = hr_geometry_index_crossed(index, ray, ids, count);
    size_t next = 0;
    for (size_t i = 0; i < count; i++) {
        const bool in = next < found && ids[next] == i;
        next += in ? 1 : 0;
        assert_int_equal(in, hr_geometry_cross(ray, segments[i], NULL, NULL));
    }
    assert_int_equal(next, found);
}

/* Rooms along corridors, as in a storey: many joints, many parallels. */
static size_t storey(uint64_t *state, hr_segment *segments, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const double x = (double)(i / 4 % 40) * 3.6, y = (double)(i / 160) * 7.5;
        const hr_segment room[4] = {segment_of(x, y, x + 3.6, y), segment_of(x, y, x, y + 5.5),
                                    segment_of(x + 1.2, y + 5.5, x + 3.6, y + 5.5),
                                    segment_of(x + 1.6, y, x + 1.6, y + random_in(state, 1, 2))};
        segments[i] = room[i % 4];
    }
    return count;
}

static void scattered(uint64_t *state, hr_segment *segments, size_t count, double size)
{
    for (size_t i = 0; i < count; i++) {
        const hr_point a = {random_in(state, -size, size), random_in(state, -size, size)};
        const double reach = random_bits(state) % 8 == 0 ? size : size / 20;
        const hr_point b = {a.x + random_in(state, -reach, reach), a.y + random_in(state, -reach, reach)};
        segments[i] = (hr_segment){a, b};
        switch (random_bits(state) % 16) {
        case 0:
            segments[i].b = a; /* a point */
            break;
        case 1:
            segments[i].b.x = a.x;
            break;
        case 2:
            segments[i] = i > 0 ? segments[i - 1] : segments[i]; /* twice the same */
            break;
        case 3:
            segments[i].a = i > 0 ? segments[i - 1].b : a; /* a joint */
            break;
        default:
            break;
        }
    }
}

/* A ray of every kind: anywhere, from an end of a segment, along one, straight, a point. */
static hr_segment some_ray(uint64_t *state, const hr_segment *segments, size_t count, double size)
{
    hr_segment ray = segment_of(random_in(state, -size, size), random_in(state, -size, size),
                                random_in(state, -size, size), random_in(state, -size, size));
    const hr_segment one = count > 0 ? segments[random_bits(state) % count] : ray;
    switch (random_bits(state) % 8) {
    case 0:
        ray.a = one.a;
        break;
    case 1:
        ray.a = hr_geometry_at(one, -0.5);
        ray.b = hr_geometry_at(one, 1.5);
        break;
    case 2:
        ray.b.x = ray.a.x;
        break;
    case 3:
        ray.b.y = ray.a.y;
        break;
    case 4:
        ray.b = random_bits(state) % 2 == 0 ? ray.a : one.b;
        break;
    case 5: /* through an end, which it may only touch */
        ray.b = hr_geometry_at((hr_segment){ray.a, one.b}, 1.0 + random_unit(state));
        break;
    default:
        break;
    }
    return ray;
}

static void check_set(uint64_t *state, const hr_segment *segments, size_t count, double size, size_t rays)
{
    static const double withins[] = {0.0, 0.002, 0.5, 1e-7};
    hr_index *index = index_of(segments, count);
    const bool has_wide = index->wide;
    uint32_t *ids = malloc((count + 1) * sizeof *ids);
    assert_non_null(ids);
    for (size_t k = 0; k < rays; k++) {
        const hr_segment ray = some_ray(state, segments, count, size);
        const double within = withins[random_bits(state) % 4];
        const size_t found = check_query(index, segments, count, ray, within, ids);
        assert_int_equal(hr_geometry_index_query(index, turned(ray), within, NULL, 0), found);
        check_crossed(index, segments, count, ray, ids);
        index->wide = has_wide && !index->wide; /* the other build of the query, where there is one */
    }
    free(ids);
    hr_geometry_index_free(index);
}

static void every_size_matches_brute_force(void **unused)
{
    (void)unused;
    uint64_t state = 21;
    static hr_segment segments[5000];
    for (size_t count = 0; count <= 5000; count += count < 80 ? 1 : 1 + count / 3) {
        scattered(&state, segments, count, 40.0);
        check_set(&state, segments, count, 50.0, 60);
        (void)storey(&state, segments, count);
        check_set(&state, segments, count, 50.0, 60);
    }
    scattered(&state, segments, 5000, 40.0);
    check_set(&state, segments, 5000, 50.0, 200);
}

/* Far from the origin, tiny, and stretched sets. */
static void odd_scales_match_brute_force(void **unused)
{
    (void)unused;
    uint64_t state = 22;
    static hr_segment segments[600];
    const double sizes[] = {1e-3, 1.0, 1e4, 1e6};
    for (size_t k = 0; k < sizeof sizes / sizeof sizes[0]; k++) {
        scattered(&state, segments, 600, sizes[k]);
        check_set(&state, segments, 600, sizes[k], 300);
        for (size_t i = 0; i < 600; i++) { /* a thin strip */
            segments[i].a.y *= 1e-6;
            segments[i].b.y *= 1e-6;
        }
        check_set(&state, segments, 600, sizes[k], 300);
    }
    /* all in one place */
    for (size_t i = 0; i < 600; i++) {
        segments[i] = segment_of(3, 4, 3, 4);
    }
    check_set(&state, segments, 600, 5.0, 100);
}

/* Sizes that sort their order and their answers in other ways. */
static void large_sets_match_brute_force(void **unused)
{
    (void)unused;
    uint64_t state = 25;
    const size_t count = 70000;
    hr_segment *segments = malloc(count * sizeof *segments);
    assert_non_null(segments);
    scattered(&state, segments, count, 400.0);
    check_set(&state, segments, 9000, 400.0, 40);
    check_set(&state, segments, count, 400.0, 40);
    free(segments);
}

/* Rays from far outside, and coordinates beyond single precision. */
static void far_rays_match_brute_force(void **unused)
{
    (void)unused;
    uint64_t state = 26;
    static hr_segment segments[400];
    uint32_t ids[400];
    const double sizes[] = {20.0, 1e6, 1e15};
    for (size_t k = 0; k < 3; k++) {
        scattered(&state, segments, 400, sizes[k]);
        hr_index *index = index_of(segments, 400);
        size_t found = 0;
        for (size_t round = 0; round < 600; round++) {
            const hr_point aim = segments[random_bits(&state) % 400].a;
            const double far = sizes[k] * pow(10.0, random_in(&state, 0.0, 6.0));
            const double dx = random_in(&state, -far, far), dy = random_in(&state, -far, far);
            const double beyond = random_in(&state, -0.5, 1.0);
            const hr_segment ray = {{aim.x + dx, aim.y + dy}, {aim.x - beyond * dx, aim.y - beyond * dy}};
            check_crossed(index, segments, 400, ray, ids);
            found += hr_geometry_index_crossed(index, ray, NULL, 0);
            if (far < 1e7) { /* beyond, distances themselves are not good to the tolerance */
                (void)check_query(index, segments, 400, ray, 0.002, ids);
            }
        }
        assert_true(found > 2000);
        hr_geometry_index_free(index);
    }
}

static void grid_aligned_rays_touch_all_they_should(void **unused)
{
    (void)unused;
    uint64_t state = 23;
    static hr_segment segments[900];
    for (size_t i = 0; i < 900; i++) {
        segments[i] = segment_of((double)random_whole(&state, 0, 30), (double)random_whole(&state, 0, 30),
                                 (double)random_whole(&state, 0, 30), (double)random_whole(&state, 0, 30));
    }
    hr_index *index = index_of(segments, 900);
    uint32_t ids[900];
    for (size_t k = 0; k < 3000; k++) {
        const hr_segment ray = segment_of((double)random_whole(&state, 0, 30), (double)random_whole(&state, 0, 30),
                                          (double)random_whole(&state, 0, 30), (double)random_whole(&state, 0, 30));
        (void)check_query(index, segments, 900, ray, 0.0, ids);
    }
    hr_geometry_index_free(index);
}

static void a_short_list_gets_the_first_ids(void **unused)
{
    (void)unused;
    uint64_t state = 24;
    static hr_segment segments[3000];
    scattered(&state, segments, 3000, 40.0);
    const size_t counts[] = {5, 200, 3000};
    for (size_t k = 0; k < 3; k++) {
        hr_index *index = index_of(segments, counts[k]);
        uint32_t all[3000], few[50];
        const hr_segment ray = segment_of(-40, -30, 40, 35);
        const size_t found = hr_geometry_index_query(index, ray, 0.5, all, 3000);
        assert_true(k == 0 || found > (k == 1 ? 10u : 100u));
        for (size_t cap = 0; cap < 50; cap++) {
            few[cap] = 0xdeadbeefu;
            assert_int_equal(hr_geometry_index_query(index, ray, 0.5, few, cap), found);
            for (size_t i = 0; i < cap && i < found; i++) {
                assert_int_equal(few[i], all[i]);
            }
            assert_true(few[cap] == 0xdeadbeefu); /* nothing beyond the list */
        }
        hr_geometry_index_free(index);
    }
}

static void what_is_not_finite_is_refused(void **unused)
{
    (void)unused;
    hr_segment segments[2] = {segment_of(0, 0, 1, 1), segment_of(0, 0, 1, 1)};
    hr_index *index = NULL;
    hr_error err = {.status = HR_OK};
    const double bad[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
    for (size_t k = 0; k < 3; k++) {
        segments[1].b.y = bad[k];
        assert_int_equal(hr_geometry_index_new(segments, 2, &index, &err), HR_ERR_ARGUMENT);
        assert_int_equal(err.status, HR_ERR_ARGUMENT);
        assert_null(index);
    }
    segments[1].b.y = 0.0;
    hr_geometry_index_free(NULL);
    index = index_of(segments, 2);
    uint32_t ids[2];
    assert_int_equal(hr_geometry_index_query(index, segment_of(0, 0, (double)NAN, 1), 0.1, ids, 2), 0);
    assert_int_equal(hr_geometry_index_query(index, segment_of(0, 0, 1, 1), (double)NAN, ids, 2), 0);
    hr_geometry_index_free(index);
    index = index_of(NULL, 0);
    assert_int_equal(hr_geometry_index_query(index, segment_of(0, 0, 1, 1), 0.1, ids, 2), 0);
    hr_geometry_index_free(index);
}

const struct CMUnitTest index_tests[] = {
    cmocka_unit_test(every_size_matches_brute_force),
    cmocka_unit_test(odd_scales_match_brute_force),
    cmocka_unit_test(large_sets_match_brute_force),
    cmocka_unit_test(far_rays_match_brute_force),
    cmocka_unit_test(grid_aligned_rays_touch_all_they_should),
    cmocka_unit_test(a_short_list_gets_the_first_ids),
    cmocka_unit_test(what_is_not_finite_is_refused),
};
const size_t index_test_count = sizeof index_tests / sizeof index_tests[0];
