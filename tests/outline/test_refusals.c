/*
 * test_refusals.c - what cannot be drawn is refused with the option's name;
 * the option table keeps its word.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_tests.h"

static void expect_refusal(const hr_outline_request *request, const char *stem, const char *option)
{
    hr_outline *outline = NULL;
    hr_error err = {.status = HR_OK};
    assert_int_equal(hr_outline_make(request, stem, &outline, &err), HR_ERR_ARGUMENT);
    assert_null(outline);
    const size_t len = strlen(option);
    if (strncmp(err.text, option, len) != 0 || err.text[len] != ':') {
        fail_msg("the refusal of %s says: %s", option, err.text);
    }
    assert_true(strlen(err.text) > len + 20);
}

static void values_outside_their_range(void **state)
{
    (void)state;
    static const struct {
        const char *option, *value;
    } cases[] = {{"bay", "2.3"},       {"bay", "9.1"},        {"depth", "4.4"},        {"depth", "12.1"},
                 {"corridor", "1.1"},  {"corridor", "4.1"},   {"floor-to-floor", "2"}, {"floor-to-floor", "6.5"},
                 {"frequency", "299"}, {"frequency", "6001"}, {"bay", "-3.8"},         {"depth", "1e300"}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        hr_outline_request request = ask("double-loaded", 20);
        assert_int_equal(hr_outline_set(&request, cases[i].option, cases[i].value, NULL), HR_OK);
        expect_refusal(&request, "hall", cases[i].option);
    }
    hr_outline_request request = ask("double-loaded", 0);
    expect_refusal(&request, "hall", "rooms-per-storey");
    request = ask("double-loaded", HR_OUTLINE_MAX_ROOMS + 1);
    expect_refusal(&request, "hall", "rooms-per-storey");
    request = ask("double-loaded", 20);
    request.storeys = 0;
    expect_refusal(&request, "hall", "storeys");
    /* 12 ft is a bay, 12 m is none */
    request = ask("double-loaded", 20);
    request.bay = 12.0;
    expect_refusal(&request, "hall", "bay");
    request.length_unit = HR_FEET;
    hr_outline *outline = NULL;
    assert_int_equal(hr_outline_make(&request, "hall", &outline, NULL), HR_OK);
    hr_outline_free(outline);
}

static void numbers_that_do_not_fit_together(void **state)
{
    (void)state;
    hr_outline_request request = ask("double-loaded", 20);
    request.bay = 2.5;
    expect_refusal(&request, "hall", "bay");
    request.baths = false;
    hr_outline *outline = NULL;
    assert_int_equal(hr_outline_make(&request, "hall", &outline, NULL), HR_OK);
    hr_outline_free(outline);
    request = ask("double-loaded", 20);
    request.depth = 4.5; /* one column holds two shafts */
    request.lifts = 6;
    expect_refusal(&request, "hall", "lifts");
    request = ask("courtyard", 12);
    expect_refusal(&request, "hall", "rooms-per-storey");
    request = ask("L", 2);
    expect_refusal(&request, "hall", "rooms-per-storey");
    request = ask("double-loaded", 20);
    expect_refusal(&request, "a#b", "output");
    expect_refusal(&request, "", "output");
    expect_refusal(&request, "a/b", "output");
}

/* The number a refusal names is the first that is drawn. */
static void the_least_number_of_rooms_is_true(void **state)
{
    (void)state;
    for (size_t shape = 2; shape < 6; shape++) {
        hr_outline_request request = ask(shape_words[shape], 1);
        request.storeys = 3;
        hr_outline *outline = NULL;
        hr_error err = {.status = HR_OK};
        assert_int_equal(hr_outline_make(&request, "hall", &outline, &err), HR_ERR_ARGUMENT);
        const char *takes = strstr(err.text, " takes ");
        assert_non_null(takes);
        double least;
        assert_true(hr_number_scan(takes + 7, strlen(takes + 7), &least) > 0);
        request.rooms_per_storey = (long)least - 1;
        expect_refusal(&request, "hall", "rooms-per-storey");
        request.rooms_per_storey = (long)least;
        assert_int_equal(hr_outline_make(&request, "hall", &outline, &err), HR_OK);
        hr_outline_free(outline);
    }
}

static void options_refuse_what_they_do_not_take(void **state)
{
    (void)state;
    static const char *const cases[][3] = {
        {"shape", "round", "double-loaded"},
        {"shape", "courtyrd", "did you mean courtyard?"},
        {"storeys", "2.5", "1 to 100"},
        {"storeys", "many", "1 to 100"},
        {"rooms-per-storey", "0", "1 to 240"},
        {"bay", "wide", "not a number"},
        {"bay", "nan", "not a number"},
        {"baths", "maybe", "no or yes"},
        {"party-wall", "Brick 100", "letters"},
        {"name", "a;b", "one line"},
        {"lifts", "-1", "0 to 6"},
        {"no-such", "1", "no such option"},
        {"length-unit", "cm", "m or ft"},
    };
    hr_outline_request request;
    hr_outline_defaults(&request);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        hr_error err = {.status = HR_OK};
        assert_int_equal(hr_outline_set(&request, cases[i][0], cases[i][1], &err), HR_ERR_ARGUMENT);
        if (strstr(err.text, cases[i][0]) != err.text || strstr(err.text, cases[i][2]) == NULL) {
            fail_msg("%s %s says: %s", cases[i][0], cases[i][1], err.text);
        }
    }
}

static void every_option_can_be_set_and_is_described(void **state)
{
    (void)state;
    static const char *const values[][2] = {{"rooms-per-storey", "12"},
                                            {"storeys", "3"},
                                            {"shape", "T"},
                                            {"length-unit", "ft"},
                                            {"bay", "13"},
                                            {"depth", "24"},
                                            {"corridor", "5.5"},
                                            {"floor-to-floor", "9.5"},
                                            {"baths", "no"},
                                            {"exterior-corridors", "yes"},
                                            {"lifts", "1"},
                                            {"stairs", "2"},
                                            {"closets", "2"},
                                            {"numbering", "odd-even"},
                                            {"first-number", "10"},
                                            {"first-storey", "2"},
                                            {"frequency", "868.3"},
                                            {"name", "Inn"},
                                            {"party-wall", "block-hollow"},
                                            {"corridor-wall", "block-hollow"},
                                            {"outer-wall", "brick-200"},
                                            {"core-wall", "concrete-300"},
                                            {"entry-door", "timber-door"},
                                            {"window", "glass"},
                                            {"slab", "plank-topping"}};
    hr_outline_request request;
    hr_outline_defaults(&request);
    assert_int_equal(hr_outline_option_count(), sizeof values / sizeof values[0]);
    assert_null(hr_outline_option_at(hr_outline_option_count()));
    for (size_t i = 0; i < hr_outline_option_count(); i++) {
        const hr_outline_option *option = hr_outline_option_at(i);
        assert_string_equal(option->name, values[i][0]);
        assert_true(strlen(option->help) > 10 && strlen(option->argument) > 0);
        const hr_outline_request before = request;
        assert_int_equal(hr_outline_set(&request, values[i][0], values[i][1], NULL), HR_OK);
        assert_true(memcmp(&before, &request, sizeof request) != 0);
    }
    hr_outline *outline = NULL;
    assert_int_equal(hr_outline_make(&request, "hall", &outline, NULL), HR_OK);
    assert_string_equal(outline->plans[0].file, "hall-2.svg");
    assert_string_equal(outline->plans[1].file, "hall-3-4.svg");
    hr_outline_free(outline);
    size_t materials = 0;
    const char *option = NULL;
    while (hr_outline_material(&request, materials, &option) != NULL) {
        materials++;
    }
    assert_int_equal(materials, 7);
}

/* The materials in force when nothing is said stand in the tables. */
static void default_materials_are_known(void **state)
{
    (void)state;
    hr_materials *materials = NULL;
    assert_int_equal(hr_materials_new(915.0, &materials, NULL), HR_OK);
    for (int open = 0; open < 2; open++) {
        hr_outline_request request = ask("double-loaded", 10);
        request.exterior_corridors = open == 1;
        const char *option = NULL, *name;
        for (size_t i = 0; (name = hr_outline_material(&request, i, &option)) != NULL; i++) {
            assert_true(hr_materials_find(materials, name) != SIZE_MAX);
        }
    }
    hr_materials_free(materials);
}

const struct CMUnitTest refusal_tests[] = {
    cmocka_unit_test(values_outside_their_range),
    cmocka_unit_test(numbers_that_do_not_fit_together),
    cmocka_unit_test(the_least_number_of_rooms_is_true),
    cmocka_unit_test(options_refuse_what_they_do_not_take),
    cmocka_unit_test(every_option_can_be_set_and_is_described),
    cmocka_unit_test(default_materials_are_known),
};
const size_t refusal_test_count = sizeof refusal_tests / sizeof refusal_tests[0];
