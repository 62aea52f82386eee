/*
 * test_grid.c - sums over a grid against asking hr_geometry_cross place by
 * place, to the last bit.
 *
 * SPDX-License-Identifier: MIT
 */
#include "geometry_tests.h"

#include "grid_priv.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#define LINES_MAX 600u
#define PLACES_MAX 40000u
#define UNTOUCHED 0.1234

/* ---- memory that runs out: put in by the linker (--wrap) -------------------- */

void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void __real_free(void *block);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void __wrap_free(void *block);

static bool counting;
static size_t asked, failing;
static long held;

static bool runs_out(void)
{
    const bool fails = counting && asked++ == failing;
    held += counting && !fails ? 1 : 0;
    return fails;
}

void *__wrap_malloc(size_t size)
{
    return runs_out() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t count, size_t size)
{
    return runs_out() ? NULL : __real_calloc(count, size);
}

void __wrap_free(void *block)
{
    held -= counting && block != NULL ? 1 : 0;
    __real_free(block);
}

/* ---- what is compared -------------------------------------------------------- */

typedef struct scene {
    hr_segment lines[LINES_MAX];
    double weights[LINES_MAX];
    size_t count;
    hr_grid grid;
    uint8_t wanted[PLACES_MAX];
    double sums[PLACES_MAX];
} scene;

static double asked_one_by_one(const scene *s, hr_point from, hr_point place)
{
    double sum = 0.0;
    for (size_t i = 0; i < s->count; i++) {
        if (hr_geometry_cross((hr_segment){from, place}, s->lines[i], NULL, NULL)) {
            sum += s->weights[i];
        }
    }
    return sum;
}

/* Returns how many crossings there were, of all places. */
static double check_from(scene *s, hr_point from, const uint8_t *wanted)
{
    double all = 0.0;
    assert_true(s->grid.columns * s->grid.rows <= PLACES_MAX);
    for (int wide = 0; wide <= (geometry_has_wide() ? 1 : 0); wide++) {
        for (size_t i = 0; i < s->grid.columns * s->grid.rows; i++) {
            s->sums[i] = UNTOUCHED;
        }
        hr_error err;
        assert_int_equal(
            geometry_grid_sums(wide != 0, s->lines, s->weights, s->count, from, &s->grid, wanted, s->sums, &err),
            HR_OK);
        for (size_t row = 0; row < s->grid.rows; row++) {
            for (size_t column = 0; column < s->grid.columns; column++) {
                const size_t i = row * s->grid.columns + column;
                const double expected = wanted != NULL && wanted[i] == 0
                                            ? UNTOUCHED
                                            : asked_one_by_one(s, from, hr_geometry_grid_place(&s->grid, column, row));
                if (memcmp(&expected, &s->sums[i], sizeof expected) != 0) {
                    fail_msg("wide %d, column %zu, row %zu: %.17g, expected %.17g", wide, column, row, s->sums[i],
                             expected);
                }
                all += wanted != NULL && wanted[i] == 0 ? 0.0 : expected;
            }
        }
    }
    return all;
}

/* Weights whose sums hang on their order. */
static void give_weights(scene *s, uint64_t *state)
{
    for (size_t i = 0; i < s->count; i++) {
        s->weights[i] = random_bits(state) % 5 == 0 ? -random_unit(state) : pow(10.0, random_in(state, -3.0, 3.0));
    }
}

/* Rooms on a raster of a fifth of a metre, so that rays run through corners and along walls. */
static void build_rooms(scene *s, size_t count)
{
    s->count = count;
    for (size_t i = 0; i < count; i++) {
        const double x = (double)(i / 4 % 12) * 3.6, y = (double)(i / 48) * 7.4;
        const hr_segment room[4] = {segment_of(x, y, x + 3.6, y), segment_of(x, y, x, y + 5.6),
                                    segment_of(x + 1.2, y + 5.6, x + 3.6, y + 5.6), segment_of(x + 2, y, x + 2, y + 2)};
        s->lines[i] = room[i % 4];
    }
}

static void scatter(scene *s, size_t count, double size, uint64_t *state)
{
    s->count = count;
    for (size_t i = 0; i < count; i++) {
        const hr_point a = {random_in(state, -size, size), random_in(state, -size, size)};
        const double reach = random_bits(state) % 8 == 0 ? size : size / 10;
        s->lines[i] = (hr_segment){a, {a.x + random_in(state, -reach, reach), a.y + random_in(state, -reach, reach)}};
        switch (random_bits(state) % 8) {
        case 0:
            s->lines[i].b = a; /* a point */
            break;
        case 1:
            s->lines[i].b.x = a.x;
            break;
        case 2:
            s->lines[i].a = i > 0 ? s->lines[i - 1].b : a; /* a joint */
            break;
        default:
            break;
        }
    }
}

/* Anywhere; on a segment's end, middle or extension; on a place of the grid. */
static hr_point some_origin(const scene *s, size_t kind, double size, uint64_t *state)
{
    const hr_segment one = s->count > 0 ? s->lines[random_bits(state) % s->count] : segment_of(0, 0, 1, 1);
    switch (kind % 6) {
    case 0:
        return one.a;
    case 1:
        return hr_geometry_at(one, 0.5);
    case 2:
        return hr_geometry_at(one, 1.5);
    case 3:
        return hr_geometry_grid_place(&s->grid, s->grid.columns / 2, s->grid.rows / 3);
    case 4: /* a hair off a segment */
        return (hr_point){one.b.x + 1e-13 * size, one.b.y - 1e-9 * size};
    default:
        return (hr_point){random_in(state, -size, size), random_in(state, -size, size)};
    }
}

static scene *shared_scene(void)
{
    static scene one;
    return &one;
}

static void rooms_are_as_asked_one_by_one(void **unused)
{
    (void)unused;
    uint64_t state = 31;
    scene *s = shared_scene();
    double all = 0.0;
    for (size_t kind = 0; kind < 24; kind++) {
        build_rooms(s, kind < 6 ? 200 : (size_t)(random_bits(&state) % 300));
        give_weights(s, &state);
        /* the raster of the rooms, and off it */
        s->grid = (hr_grid){{kind % 2 == 0 ? -1.0 : -0.93, -0.6}, kind % 3 == 0 ? 0.6 : 0.25, 1, 1};
        s->grid.columns = kind % 3 == 0 ? 81 : 150;
        s->grid.rows = 50;
        all += check_from(s, some_origin(s, kind, 20.0, &state), NULL);
    }
    assert_true(all > 1e4); /* there was something to cross */
}

static void any_size_of_grid_and_mask(void **unused)
{
    (void)unused;
    static const size_t sizes[][2] = {{0, 5},  {5, 0},  {1, 1},    {7, 8},   {8, 8},    {9, 8},     {8, 9},
                                      {33, 1}, {1, 33}, {17, 130}, {64, 64}, {65, 129}, {30000, 1}, {3, 9000}};
    uint64_t state = 32;
    scene *s = shared_scene();
    for (size_t k = 0; k < sizeof sizes / sizeof sizes[0]; k++) {
        for (size_t kind = 0; kind < 6; kind++) {
            scatter(s, kind == 5 ? 0 : 30, 10.0, &state);
            give_weights(s, &state);
            s->grid = (hr_grid){{-10.0, -9.0}, random_in(&state, 0.05, 0.5), sizes[k][0], sizes[k][1]};
            const uint64_t share = random_bits(&state) % 40;
            for (size_t i = 0; i < sizes[k][0] * sizes[k][1]; i++) {
                s->wanted[i] = random_bits(&state) % 40 >= share ? (uint8_t)(1 + random_bits(&state) % 255) : 0;
            }
            (void)check_from(s, some_origin(s, kind, 10.0, &state), s->wanted);
        }
    }
}

/* Far from zero, tiny, huge, and where products of doubles end. */
static void odd_scales(void **unused)
{
    (void)unused;
    static const double scales[] = {1e-3, 1e3, 1e6, 1e9, 1e12, 1e16, 1e23, 1e-9, 1e-31, 1e-60};
    uint64_t state = 33;
    scene *s = shared_scene();
    for (size_t k = 0; k < sizeof scales / sizeof scales[0]; k++) {
        for (size_t kind = 0; kind < 12; kind++) {
            const double scale = scales[k], away = kind < 6 ? 0.0 : 1e6 * scale;
            scatter(s, 60, scale, &state);
            give_weights(s, &state);
            for (size_t i = 0; i < s->count; i++) {
                s->lines[i].a.x += away;
                s->lines[i].b.x += away;
            }
            s->grid = (hr_grid){{away - scale, -scale}, scale / 20.0, 41, 41};
            hr_point from = some_origin(s, kind, scale, &state);
            from.x += kind == 11 ? away : 0.0;
            (void)check_from(s, from, NULL);
        }
    }
}

/* Nothing, next to nothing, a raster, and anything between. */
static double some_number(double scale, uint64_t *state)
{
    const double raster = (double)random_whole(state, -4, 4);
    switch (random_bits(state) % 10) {
    case 0:
        return random_bits(state) % 2 == 0 ? 0.0 : -0.0;
    case 1:
        return 5e-324 * raster;
    case 2:
        return scale * 1e-300 * random_unit(state);
    case 3:
        return scale * raster * (1.0 + 0x1p-52 * raster);
    case 4:
        return scale * 1e-9 * random_in(state, -1.0, 1.0);
    case 5:
        return scale * 1e6 * random_in(state, -1.0, 1.0);
    case 6:
        return scale * 0.125 * raster;
    default:
        return scale * random_in(state, -4.0, 4.0);
    }
}

/* Ends that share parts of their coordinates, by numbers whose products end below what a double can hold. */
static void numbers_of_every_kind(void **unused)
{
    (void)unused;
    uint64_t state = 36;
    scene *s = shared_scene();
    for (size_t round = 0; round < 1500; round++) {
        const double scale = pow(10.0, (double)random_whole(&state, -9, 14));
        s->count = (size_t)random_whole(&state, 1, 60);
        for (size_t i = 0; i < s->count; i++) {
            s->lines[i] = segment_of(some_number(scale, &state), some_number(scale, &state), some_number(scale, &state),
                                     some_number(scale, &state));
            if (i > 0 && random_bits(&state) % 4 == 0) {
                s->lines[i].a = s->lines[random_bits(&state) % i].b;
            }
        }
        give_weights(s, &state);
        s->grid = (hr_grid){{some_number(scale, &state), some_number(scale, &state)},
                            random_bits(&state) % 3 > 0 ? scale * 0.125 : scale * 1e-10,
                            (size_t)random_whole(&state, 1, 20),
                            (size_t)random_whole(&state, 1, 20)};
        hr_point from = {some_number(scale, &state), some_number(scale, &state)};
        if (round % 3 == 0) {
            from = some_origin(s, round / 3, scale, &state);
            from.x += random_bits(&state) % 2 == 0 ? 5e-324 : 0.0;
        }
        (void)check_from(s, from, NULL);
    }
}

/* The origin on a wall, and a place a hair off the wall's line: the half that settles doubt must still be there. */
static void origin_on_a_wall_and_a_place_beside_its_line(void **unused)
{
    (void)unused;
    scene *s = shared_scene();
    s->count = 1;
    s->lines[0] = segment_of(-1.7022862848663753, 5.2061319825522947, 1.7022862848663753, -5.2061319825522947);
    s->weights[0] = 7.5;
    s->grid = (hr_grid){{-2.74, -9.97}, 0.25, 61, 4};
    assert_true(check_from(s, (hr_point){0.0, 0.0}, NULL) > 0.0);
}

/* Long walls far beyond a small grid, and the other way round. */
static void unlike_sizes(void **unused)
{
    (void)unused;
    uint64_t state = 34;
    scene *s = shared_scene();
    for (size_t kind = 0; kind < 30; kind++) {
        const double walls = pow(10.0, random_in(&state, -4.0, 6.0)), grid = pow(10.0, random_in(&state, -4.0, 6.0));
        scatter(s, 80, walls, &state);
        give_weights(s, &state);
        s->grid = (hr_grid){{-grid, -grid}, grid / 16.0, 33, 33};
        (void)check_from(s, some_origin(s, kind, kind % 2 == 0 ? walls : grid, &state), NULL);
    }
}

/* Each allocation fails in turn: it is said, nothing stays behind, no sum is touched. */
static void memory_that_runs_out_is_said(void **unused)
{
    (void)unused;
    uint64_t state = 35;
    scene *s = shared_scene();
    scatter(s, 40, 10.0, &state);
    give_weights(s, &state);
    s->grid = (hr_grid){{-10.0, -10.0}, 0.1, 190, 190};
    hr_status status = HR_ERR_MEMORY;
    size_t failures = 0;
    while (status != HR_OK) {
        for (size_t i = 0; i < PLACES_MAX; i++) {
            s->sums[i] = UNTOUCHED;
        }
        hr_error err = {.status = HR_OK};
        asked = 0;
        failing = failures;
        held = 0;
        counting = true;
        status =
            hr_geometry_grid_sums(s->lines, s->weights, s->count, (hr_point){1.0, 2.0}, &s->grid, NULL, s->sums, &err);
        counting = false;
        assert_int_equal(held, 0);
        if (status != HR_OK) {
            assert_int_equal(status, HR_ERR_MEMORY);
            assert_int_equal(err.status, HR_ERR_MEMORY);
            for (size_t i = 0; i < PLACES_MAX; i++) {
                assert_true(s->sums[i] == UNTOUCHED);
            }
            failures++;
        }
    }
    assert_in_range(failures, 4, 20);
}

static void what_cannot_be_is_refused(void **unused)
{
    (void)unused;
    const hr_segment line = segment_of(0, 0, 1, 1), bad = segment_of(0, 0, 1, (double)NAN);
    const double weight = 1.0, no_weight = (double)INFINITY;
    const hr_grid grid = {{0, 0}, 1.0, 1, 1}, still = {{0, 0}, 0.0, 1, 1}, back = {{0, 0}, -1.0, 1, 1};
    const hr_grid nowhere = {{(double)NAN, 0}, 1.0, 1, 1}, endless = {{0, 0}, 1.0, SIZE_MAX / 2, 3};
    const hr_point here = {0.5, 0.0}, nan = {(double)NAN, 0.0};
    double sum = UNTOUCHED;
    hr_error err;
    assert_int_equal(hr_geometry_grid_sums(&bad, &weight, 1, here, &grid, NULL, &sum, &err), HR_ERR_ARGUMENT);
    assert_int_equal(hr_geometry_grid_sums(&line, &no_weight, 1, here, &grid, NULL, &sum, &err), HR_ERR_ARGUMENT);
    assert_int_equal(hr_geometry_grid_sums(&line, &weight, 1, nan, &grid, NULL, &sum, &err), HR_ERR_ARGUMENT);
    assert_int_equal(hr_geometry_grid_sums(&line, &weight, 1, here, &still, NULL, &sum, &err), HR_ERR_ARGUMENT);
    assert_int_equal(hr_geometry_grid_sums(&line, &weight, 1, here, &back, NULL, &sum, &err), HR_ERR_ARGUMENT);
    assert_int_equal(hr_geometry_grid_sums(&line, &weight, 1, here, &nowhere, NULL, &sum, &err), HR_ERR_ARGUMENT);
    assert_int_equal(hr_geometry_grid_sums(&line, &weight, 1, here, &endless, NULL, &sum, &err), HR_ERR_ARGUMENT);
    const hr_grid outer_space = {{0, 1e31}, 1.0, 1, 1};
    assert_int_equal(hr_geometry_grid_sums(&line, &weight, 1, here, &outer_space, NULL, &sum, &err), HR_ERR_ARGUMENT);
    assert_true(sum == UNTOUCHED);
    const hr_grid beyond = {{0.5, 2.0}, 1.0, 1, 1};
    assert_int_equal(hr_geometry_grid_sums(&line, &weight, 1, here, &beyond, NULL, &sum, NULL), HR_OK);
    assert_true(sum == 1.0);
}

const struct CMUnitTest grid_tests[] = {
    cmocka_unit_test(rooms_are_as_asked_one_by_one),
    cmocka_unit_test(any_size_of_grid_and_mask),
    cmocka_unit_test(origin_on_a_wall_and_a_place_beside_its_line),
    cmocka_unit_test(numbers_of_every_kind),
    cmocka_unit_test(odd_scales),
    cmocka_unit_test(unlike_sizes),
    cmocka_unit_test(memory_that_runs_out_is_said),
    cmocka_unit_test(what_cannot_be_is_refused),
};
const size_t grid_test_count = sizeof grid_tests / sizeof grid_tests[0];
