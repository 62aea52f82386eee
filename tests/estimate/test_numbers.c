/*
 * test_numbers.c - from numbers to a building, and the counts of ten sizes
 * against `place` on the outline of the same numbers.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_tests.h"

#define PAIRS(...) ((const char *const[]){__VA_ARGS__, NULL})

void test_rooms_shared_out(void **state)
{
    (void)state;
    const hr_estimate_numbers n = numbers_of(PAIRS("rooms", "180", "storeys", "6", "buildings", "2", "wings", "2"));
    hr_building *b = building_of(&n, NULL, 0);
    assert_int_equal(b->room_count, 90);
    assert_int_equal(b->storey_count, 6);
    const hr_estimate_options options = {.numbers = &n, .brief = true};
    b->estimate.draws = 4;
    hr_estimate *e = estimate_of(b, &options);
    assert_int_equal(e->rooms, 180);
    assert_int_equal(e->devices, 360);
    assert_int_equal(e->buildings, 2);
    assert_int_equal(e->p50 % 2, 0);
    assert_true(e->from_numbers);
    hr_estimate_free(e);
    hr_building_free(b);
}

void test_kinds(void **state)
{
    (void)state;
    const hr_estimate_numbers n = numbers_of(PAIRS("rooms-per-storey", "4", "kinds", "wall,unit=2,occupancy", "length-unit", "ft"));
    hr_building *b = building_of(&n, NULL, 0);
    assert_int_equal(b->kind_count, 3);
    assert_int_equal(b->device_count, 16);
    assert_string_equal(b->kinds[1].name, "unit");
    assert_int_equal(b->kinds[1].joins, 0);
    check_near(b->kinds[0].radio.mount_height_m, 1.2, 0.01);
    hr_building_free(b);
    const hr_estimate_numbers alone = numbers_of(PAIRS("rooms-per-storey", "4", "kinds", "unit"));
    b = building_of(&alone, NULL, 0);
    assert_int_equal(b->kinds[0].joins, HR_JOINS_GATEWAY);
    hr_building_free(b);
}

void test_numbers_refused(void **state)
{
    (void)state;
    static const char *const wrong[][2] = {
        {"rooms", "0"},       {"rooms", "many"},    {"wings", "5"},      {"buildings", "0"},        {"year", "1500"},
        {"walls", "straw"},   {"kinds", "wall,"},   {"kinds", "wall,wall"}, {"kinds", "wall=0"},     {"kinds", "door"},
        {"storeys", "0"},     {"bay", "wide"},      {"closets-per-storey", "9"}, {"nothing", "1"},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        hr_estimate_numbers n;
        hr_error err = {.status = HR_OK};
        hr_estimate_numbers_defaults(&n);
        if (hr_estimate_set(&n, wrong[i][0], wrong[i][1], &err) != HR_ERR_ARGUMENT || err.text[0] == '\0') {
            fail_msg("%s %s was taken", wrong[i][0], wrong[i][1]);
        }
    }
}

static void check_no_building(const char *const *pairs, const char *word)
{
    const hr_estimate_numbers n = numbers_of(pairs);
    hr_error err = {.status = HR_OK};
    hr_building *b = NULL;
    assert_int_equal(hr_estimate_building(&n, NULL, 0, NULL, &b, &err), HR_ERR_ARGUMENT);
    assert_null(b);
    if (strstr(err.text, word) == NULL) {
        fail_msg("%s: %s is not in it", err.text, word);
    }
}

void test_contradictions(void **state)
{
    (void)state;
    check_no_building(PAIRS("storeys", "6"), "rooms");
    check_no_building(PAIRS("rooms", "180", "storeys", "6", "rooms-per-storey", "20"), "30 on each");
    check_no_building(PAIRS("rooms", "900"), "--storeys");
    check_no_building(PAIRS("rooms", "60", "wings", "2", "shape", "U"), "--shape");
    check_no_building(PAIRS("rooms", "20", "party-wall", "brik-100"), "did you mean");
}

/* Walls that are said are not drawn; those that are not follow the year. */
void test_walls(void **state)
{
    (void)state;
    static const char *const sets[] = {"estimate.draws=10"};
    const hr_estimate_numbers said = numbers_of(PAIRS("rooms-per-storey", "10", "storeys", "2", "walls", "brick"));
    const hr_estimate_numbers open = numbers_of(PAIRS("rooms-per-storey", "10", "storeys", "2", "year", "1930"));
    hr_building *b = building_of(&said, sets, 1);
    hr_estimate *e = estimate_of(b, &(hr_estimate_options){.numbers = &said});
    bool drawn = false, named = false;
    for (size_t i = 0; i < e->default_count; i++) {
        drawn = drawn || strcmp(e->defaults[i].what, "walls") == 0;
    }
    assert_false(drawn);
    hr_estimate_free(e);
    hr_building_free(b);
    b = building_of(&open, sets, 1);
    e = estimate_of(b, &(hr_estimate_options){.numbers = &open});
    for (size_t i = 0; i < e->default_count; i++) {
        drawn = drawn || (strcmp(e->defaults[i].what, "walls") == 0 && strstr(e->defaults[i].value, "brick") != NULL);
    }
    assert_true(drawn);
    for (size_t i = 0; i < e->driver_count; i++) {
        named = named || (strcmp(e->drivers[i].unknown, "walls") == 0 && e->drivers[i].case_count == 5);
    }
    assert_true(named);
    hr_estimate_free(e);
    hr_building_free(b);
}

/*
 * Ten sizes: what `place` counts on the outline of the same numbers lies
 * between p10 - 1 and p90 + 1; where construction is said p90 is at most twice
 * p10.
 */
void test_ten_sizes(void **state)
{
    (void)state;
    static const char *const sizes[][4] = {
        {"12", "1", "framed", "timber-floor"},   {"20", "2", "block", "concrete-200"}, {"24", "3", "framed", "timber-screed"},
        {"16", "4", "brick", "concrete-150"},    {"30", "6", "block", "concrete-200"}, {"40", "3", "concrete", "concrete-200"},
        {"50", "5", "framed", "plank-topping"},  {"10", "12", "block", "plank-topping"}, {"70", "2", "concrete", "concrete-150"},
        {"36", "8", "framed", "concrete-200"},
    };
    static const char *const sets[] = {"estimate.draws=60"};
    for (size_t i = 0; i < (CHECK_IS_SLOW ? 3 : sizeof sizes / sizeof sizes[0]); i++) {
        const hr_estimate_numbers n = numbers_of(PAIRS("rooms-per-storey", sizes[i][0], "storeys", sizes[i][1], "walls",
                                                       sizes[i][2], "slab", sizes[i][3]));
        hr_building *b = building_of(&n, sets, 1);
        const hr_siting_options options = {0};
        hr_siting *s = NULL;
        hr_error err = {.status = HR_OK};
        assert_int_equal(hr_siting_place(b, &options, NULL, &s, &err), HR_OK);
        hr_estimate *e = estimate_of(b, &(hr_estimate_options){.numbers = &n, .brief = true});
        print_message("# %s rooms on %s storeys, %s: placed %zu, p10 %zu p50 %zu p90 %zu, quote %zu\n", sizes[i][0],
                      sizes[i][1], sizes[i][2], s->gateway_count, e->p10, e->p50, e->p90, e->quote);
        assert_true(s->gateway_count + 1 >= e->p10 && s->gateway_count <= e->p90 + 1);
        assert_true(e->p90 <= 2 * e->p10);
        assert_int_equal(e->nominal, s->gateway_count);
        hr_estimate_free(e);
        hr_siting_free(s);
        hr_building_free(b);
    }
}
