/*
 * test_outline.c - plans from numbers: every shape with every size, and the
 * defaults against published construction figures.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_tests.h"

#include <stdlib.h>

/* How thick a wall is drawn, by its material; the same as the sizes the floors keep clear of. */
static double thickness(const hr_materials *materials, uint32_t material)
{
    static const struct {
        const char *name;
        double thick_m;
    } walls[] = {{"concrete-150", 0.24}, {"corridor-wall", 0.14}, {"tile-wall", 0.10}, {"plasterboard", 0.10}};
    for (size_t i = 0; i < sizeof walls / sizeof walls[0]; i++) {
        if (strcmp(hr_materials_get(materials, material)->name, walls[i].name) == 0) {
            return walls[i].thick_m;
        }
    }
    return 0.20;
}

/* Slab = floors + walls: what is neither would be a hole in the plan. */
static void check_areas(const hr_plan *plan, const hr_materials *materials, const char *what)
{
    double shared_m2, floor_m2, wall_m2 = 0.0, slab_m2 = 0.0;
    measure_spaces(plan, &shared_m2, &floor_m2);
    for (size_t i = 0; i < plan->wall_count; i++) { /* gaps of doors and windows among them */
        wall_m2 += hr_geometry_length(plan->walls[i].line) * thickness(materials, plan->walls[i].material);
    }
    for (size_t i = 0; i < plan->slab_count; i++) {
        slab_m2 += hr_geometry_area(&plan->slabs[i].region);
    }
    for (size_t i = 0; i < plan->metal_count; i++) { /* lift shafts are neither floor nor wall */
        if (plan->metals[i].name != NULL && strcmp(plan->metals[i].name, "lift") == 0) {
            slab_m2 -= hr_geometry_area(&plan->metals[i].region);
        }
    }
    if (!(fabs(floor_m2 + wall_m2 - slab_m2) < 0.025 * slab_m2)) {
        fail_msg("%s: floors %g + walls %g, slab %g square metres", what, floor_m2, wall_m2, slab_m2);
    }
}

/* One size: alone or as six storeys, numbered either way, open or closed, in turn. */
static hr_outline_request vary(size_t shape, long rooms)
{
    hr_outline_request request = ask(shape_words[shape], rooms);
    request.storeys = rooms % 2 == 0 ? 6 : 1;
    request.numbering = rooms % 3 == 0 ? HR_OUTLINE_ODD_EVEN : HR_OUTLINE_AROUND;
    request.exterior_corridors = rooms % 5 == 0;
    request.baths = rooms % 7 != 0;
    request.first_number = rooms % 11 == 0 ? 51 : 1;
    request.closets = rooms % 13 == 0 ? 3 : HR_OUTLINE_AUTO;
    return request;
}

static void check_size(size_t shape, long rooms, const hr_materials *materials, long *least)
{
    const hr_outline_request request = vary(shape, rooms);
    hr_outline *outline = NULL;
    hr_error err = {.status = HR_OK};
    char what[64];
    (void)snprintf(what, sizeof what, "%s with %ld rooms", shape_words[shape], rooms);
    if (hr_outline_make(&request, "hall", &outline, &err) != HR_OK) {
        assert_int_equal(err.status, HR_ERR_ARGUMENT);
        assert_non_null(strstr(err.text, "rooms-per-storey: "));
        assert_non_null(strstr(err.text, shape_words[shape]));
        *least = rooms + 1;
        return;
    }
    const size_t last = outline->plan_count - 1;
    assert_int_equal(outline->plan_count, request.storeys > 1 ? 2 : 1);
    hr_plan *plan = read_plan(outline, last, materials);
    check_plan(plan, &request, what);
    if (!request.exterior_corridors) {
        check_areas(plan, materials, what);
    }
    assert_int_equal(plan->network_count, request.closets == HR_OUTLINE_AUTO ? (rooms > 60 ? 2 : 1) : request.closets);
    hr_plan_free(plan);
    hr_outline_free(outline);
}

static void every_size_of_every_shape(void **state)
{
    (void)state;
    /* fewer rooms than this do not make the shape: both sides of every leg are needed for it to be one */
    static const long most_refused[6] = {0, 0, 8, 20, 6, 40};
    hr_materials *materials = NULL;
    assert_int_equal(hr_materials_new(915.0, &materials, NULL), HR_OK);
    for (size_t shape = 0; shape < 6; shape++) {
        long least = 1;
        for (long rooms = 1; rooms <= 120; rooms += CHECK_IS_SLOW ? 3 : 1) {
            check_size(shape, rooms, materials, &least);
        }
        if (least - 1 > most_refused[shape]) {
            fail_msg("%s with %ld rooms is refused", shape_words[shape], least - 1);
        }
    }
    hr_materials_free(materials);
}

/* The lowest storey has the same rooms, doors to the open and no openings in a slab that is not there. */
static void the_lowest_storey_has_as_many_rooms(void **state)
{
    (void)state;
    hr_materials *materials = NULL;
    assert_int_equal(hr_materials_new(915.0, &materials, NULL), HR_OK);
    for (size_t shape = 0; shape < 6; shape++) {
        hr_outline_request request = ask(shape_words[shape], 48);
        request.storeys = 4;
        hr_outline *outline = NULL;
        assert_int_equal(hr_outline_make(&request, "hall", &outline, NULL), HR_OK);
        hr_plan *low = read_plan(outline, 0, materials), *high = read_plan(outline, 1, materials);
        check_plan(low, &request, "lowest");
        check_plan(high, &request, "typical");
        assert_int_equal(low->void_count, 0);
        assert_int_equal(high->void_count, 2 + (shape >= 2 && shape <= 4 ? 3 : 2)); /* lifts, stairs */
        size_t exits = 0;
        for (size_t i = 0; i < low->opening_count; i++) {
            exits += strcmp(hr_materials_get(materials, low->openings[i].material)->name, "glass-door") == 0;
        }
        assert_in_range(exits, 2, 4);
        hr_plan_free(low);
        hr_plan_free(high);
        hr_outline_free(outline);
    }
    hr_materials_free(materials);
}

/* Sizes of odd kinds: narrow and wide, shallow and deep, many lifts, no stairs. */
static void sizes_within_the_ranges_work(void **state)
{
    (void)state;
    static const char *const bays[] = {"2.75", "3.3", "4.2", "9"}, *const depths[] = {"4.5", "5.83", "8.7", "12"};
    hr_materials *materials = NULL;
    assert_int_equal(hr_materials_new(2440.0, &materials, NULL), HR_OK);
    for (size_t i = 0; i < 6 * 4 * 4; i++) {
        hr_outline_request request = ask(shape_words[i / 16], 57);
        request.storeys = 3;
        assert_int_equal(hr_outline_set(&request, "bay", bays[i % 4], NULL), HR_OK);
        assert_int_equal(hr_outline_set(&request, "depth", depths[i / 4 % 4], NULL), HR_OK);
        request.corridor = i % 3 == 0 ? 1.12 : i % 3 == 1 ? 2.0 : 4.0;
        request.lifts = (long)(i % 3);
        request.stairs = (long)(i % 7);
        request.closets = (long)(i % 5);
        hr_outline *outline = NULL;
        hr_error err = {.status = HR_OK};
        if (hr_outline_make(&request, "hall", &outline, &err) != HR_OK) {
            /* only a shape that 57 rooms of this size do not make */
            assert_non_null(strstr(err.text, "rooms-per-storey: the shape courtyard"));
            continue;
        }
        hr_plan *plan = read_plan(outline, 1, materials);
        char what[64];
        (void)snprintf(what, sizeof what, "%s, bay %s, depth %s", shape_words[i / 16], bays[i % 4], depths[i / 4 % 4]);
        check_plan(plan, &request, what);
        assert_int_equal(plan->network_count, request.closets);
        hr_plan_free(plan);
        hr_outline_free(outline);
    }
    hr_materials_free(materials);
}

static void check_published(hr_length_unit unit, const hr_materials *materials)
{
    hr_outline_request request = ask("double-loaded", 24);
    request.length_unit = unit;
    hr_outline *outline = NULL;
    assert_int_equal(hr_outline_make(&request, "hall", &outline, NULL), HR_OK);
    hr_plan *plan = read_plan(outline, 0, materials);
    for (size_t i = 0; i < plan->space_count; i++) {
        const hr_box box = plan->spaces[i].region.box;
        const double wide = box.x1 - box.x0, deep = box.y1 - box.y0;
        if (plan->spaces[i].kind == HR_SPACE_ROOM) {
            /* clear width 3.5 / 3.6 / 3.9 m and depth with lobby and bath 5.8 / 7.0 / 8.7 m, budget to high grade:
             * hotel planning handbook figures; bays of 12-13 ft between centre lines: from memory */
            assert_true(wide >= 3.5 && wide <= 3.9 && deep >= 5.8 && deep <= 8.7);
            assert_true(wide + 0.2 >= 3.65 && wide + 0.24 <= 3.97);
            assert_true(wide * deep >= 20.3 && wide * deep <= 33.9);
        } else if (plan->spaces[i].kind == HR_SPACE_AREA && strcmp(plan->spaces[i].name, "bath") == 0) {
            /* 2.15 x 1.9, 2.35 x 2.0, 2.65 x 2.2 m: the same handbook */
            assert_true(deep >= 2.15 && deep <= 2.65 && wide >= 1.9 && wide <= 2.2);
        }
    }
    /* entry door leaf 0.8 m at least, 0.9 m the optimum: the same handbook; check_plan holds 0.9 m */
    check_plan(plan, &request, "defaults");
    /* corridor "normally 6 ft", 2.0 m in a hotel brief, 44 in the code minimum */
    const double spot_y = 0.5 * (plan->box.y0 + plan->box.y1);
    for (size_t i = 0; i < plan->space_count; i++) {
        if (plan->spaces[i].kind == HR_SPACE_CORRIDOR) {
            const hr_segment up = {{plan->box.x0 + 1.0, spot_y - 5.0}, {plan->box.x0 + 1.0, spot_y + 5.0}};
            hr_span span;
            assert_int_equal(hr_geometry_passages(&plan->spaces[i].region, up, 0.0, 0.0, &span, 1), 1);
            const double clear = 10.0 * (span.to - span.from);
            check_near(clear, 1.83, 0.002);
            assert_true(clear >= 1.12 && clear <= 2.0);
        }
    }
    hr_plan_free(plan);
    hr_outline_free(outline);
}

static void defaults_are_within_published_figures(void **state)
{
    (void)state;
    hr_materials *materials = NULL;
    assert_int_equal(hr_materials_new(915.0, &materials, NULL), HR_OK);
    check_published(HR_METRES, materials);
    check_published(HR_FEET, materials);
    hr_materials_free(materials);
}

static void the_same_numbers_give_the_same_bytes(void **state)
{
    (void)state;
    for (size_t shape = 0; shape < 6; shape++) {
        hr_outline_request request = ask(shape_words[shape], 60);
        request.storeys = 2;
        hr_outline *one = NULL, *two = NULL;
        assert_int_equal(hr_outline_make(&request, "hall", &one, NULL), HR_OK);
        assert_int_equal(hr_outline_make(&request, "hall", &two, NULL), HR_OK);
        assert_string_equal(one->property.bytes, two->property.bytes);
        for (size_t i = 0; i < 2; i++) {
            assert_string_equal(one->plans[i].svg.bytes, two->plans[i].svg.bytes);
            assert_string_equal(one->plans[i].file, two->plans[i].file);
        }
        hr_outline_free(one);
        hr_outline_free(two);
    }
}

/* Odd numbers face even ones: 1 stands opposite 2 or nearly so, along the whole corridor. */
static void odd_faces_even(void **state)
{
    (void)state;
    hr_materials *materials = NULL;
    assert_int_equal(hr_materials_new(915.0, &materials, NULL), HR_OK);
    hr_outline_request request = ask("double-loaded", 40);
    request.numbering = HR_OUTLINE_ODD_EVEN;
    hr_outline *outline = NULL;
    assert_int_equal(hr_outline_make(&request, "hall", &outline, NULL), HR_OK);
    hr_plan *plan = read_plan(outline, 0, materials);
    double last[2] = {-1.0, -1.0};
    for (long number = 1; number <= 80; number++) {
        for (size_t i = 0; i < plan->space_count; i++) {
            long found = 0;
            if (plan->spaces[i].kind == HR_SPACE_ROOM && hr_integer_parse(plan->spaces[i].name, 1, 99, &found) &&
                found == number) {
                const hr_box box = plan->spaces[i].region.box;
                assert_true(box.x0 > last[number % 2]);
                last[number % 2] = box.x0;
                assert_int_equal(box.y0 < 1.0, number % 2); /* odd ones along the upper side */
            }
        }
    }
    hr_plan_free(plan);
    hr_outline_free(outline);
    hr_materials_free(materials);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_size_of_every_shape),
        cmocka_unit_test(the_lowest_storey_has_as_many_rooms),
        cmocka_unit_test(sizes_within_the_ranges_work),
        cmocka_unit_test(defaults_are_within_published_figures),
        cmocka_unit_test(the_same_numbers_give_the_same_bytes),
        cmocka_unit_test(odd_faces_even),
    };
    struct CMUnitTest all[64];
    size_t count = 0;
    for (size_t i = 0; i < sizeof tests / sizeof tests[0]; i++) {
        all[count++] = tests[i];
    }
    for (size_t i = 0; i < property_test_count; i++) {
        all[count++] = property_tests[i];
    }
    for (size_t i = 0; i < refusal_test_count; i++) {
        all[count++] = refusal_tests[i];
    }
    return _cmocka_run_group_tests("outline", all, count, NULL, NULL);
}
