/*
 * test_layers.c - permittivity rows, slab stacks as written, cases, and that
 * every row of every table names where it comes from.
 *
 * SPDX-License-Identifier: MIT
 */
#include "check.h"
#include "hr_materials.h"
#include "mat_tests.h"

static void every_table_row_has_a_source(void **state)
{
    (void)state;
    hr_material_rows *rows = NULL;
    assert_int_equal(hr_materials_rows_new(&rows, NULL), HR_OK);
    size_t tables = 0;
    for (size_t t = 0; hr_tables_name(t) != NULL; t++) {
        hr_csv *csv = NULL;
        const char *dot = strrchr(hr_tables_name(t), '.');
        if (dot == NULL || strcmp(dot, ".csv") != 0) {
            continue;
        }
        assert_int_equal(hr_tables_csv(hr_tables_name(t), &csv, NULL), HR_OK);
        const size_t column = hr_csv_column(csv, "source");
        if (column == SIZE_MAX && strcmp(hr_tables_name(t), "sources.csv") != 0) {
            fail_msg("%s has no column 'source'", hr_tables_name(t));
        }
        for (size_t i = 0; column != SIZE_MAX && i < hr_csv_rows(csv); i++) {
            if (hr_materials_source_find(rows, hr_csv_cell(csv, i, column)) == NULL) {
                fail_msg("%s:%d: source '%s' is not in sources.csv", hr_tables_name(t), hr_csv_line(csv, i),
                         hr_csv_cell(csv, i, column));
            }
        }
        tables += column != SIZE_MAX;
        hr_csv_free(csv);
    }
    assert_true(tables >= 8);
    hr_materials_rows_free(rows);
}

static void permittivity_rows_are_found(void **state)
{
    (void)state;
    hr_permittivity row;
    assert_true(hr_materials_permittivity("Concrete", 3, 2450.0, &row));
    assert_string_equal(row.name, "concrete");
    assert_false(row.extrapolated);
    assert_true(hr_materials_permittivity("concrete", 3, 915.0, &row));
    assert_true(row.extrapolated);
    check_near(row.low_mhz, 1000.0, 1e-9);
    assert_true(hr_materials_permittivity("wood", 3, 868.0, &row));
    assert_false(row.extrapolated);
    assert_true(hr_materials_permittivity("glass", 3, 868.0, &row));
    assert_false(row.extrapolated);
    /* a second row for another band */
    assert_true(hr_materials_permittivity("glass", 3, 300e3, &row));
    check_near(row.a, 5.79, 1e-12);
    assert_false(row.extrapolated);
    /* between both: the first, extrapolated */
    assert_true(hr_materials_permittivity("glass", 3, 150e3, &row));
    check_near(row.a, 6.31, 1e-12);
    assert_true(row.extrapolated);
    assert_false(hr_materials_permittivity("floorboard", 3, 60e3, &row)); /* 50 GHz and up: not for here */
    assert_false(hr_materials_permittivity("concrete", 2, 915.0, &row));
    assert_false(hr_materials_permittivity(NULL, 3, 915.0, &row));
}

static void every_permittivity_row_reads(void **state)
{
    (void)state;
    hr_csv *csv = NULL;
    assert_int_equal(hr_tables_csv("permittivity.csv", &csv, NULL), HR_OK);
    for (size_t i = 0; i < hr_csv_rows(csv); i++) {
        const char *name = hr_csv_cell(csv, i, hr_csv_column(csv, "name"));
        double edition = 0.0;
        double low_ghz = 0.0;
        assert_true(hr_number_parse(hr_csv_cell(csv, i, hr_csv_column(csv, "edition")), &edition));
        assert_true(hr_number_parse(hr_csv_cell(csv, i, hr_csv_column(csv, "low_ghz")), &low_ghz));
        hr_permittivity row;
        assert_true(hr_materials_permittivity(name, (int)edition, 1e3 * low_ghz, &row));
        assert_false(row.extrapolated);
        assert_true(row.a >= 1.0 && row.c >= 0.0 && row.low_mhz < row.high_mhz);
        assert_true(!isnan(row.b + row.d));
        assert_string_equal(row.name, name); /* not cut off */
    }
    hr_csv_free(csv);
}

static void stacks_are_read(void **state)
{
    (void)state;
    hr_layer layers[HR_LAYERS_MAX];
    size_t count = 0;
    assert_int_equal(
        hr_materials_layers_parse("plasterboard 12.5, air 75, plasterboard 12.5", 2450.0, layers, &count, NULL), HR_OK);
    assert_int_equal(count, 3);
    assert_string_equal(layers[0].material.name, "plasterboard");
    assert_string_equal(layers[1].material.name, "air");
    check_near(layers[0].thickness_m, 0.0125, 1e-15);
    check_near(layers[1].thickness_m, 0.075, 1e-15);
    assert_int_equal(hr_materials_layers_parse("  Ceiling  Board 12 ,\tCONCRETE 2e2", 2450.0, layers, &count, NULL),
                     HR_OK);
    assert_int_equal(count, 2);
    assert_string_equal(layers[0].material.name, "ceiling-board");
    check_near(layers[1].thickness_m, 0.2, 1e-15);
}

static void broken_stacks_are_refused(void **state)
{
    (void)state;
    const struct {
        const char *text, *says;
    } broken[] = {
        {"", "expected a material and its thickness"},
        {" , ", "expected a material"},
        {"concrete", "'concrete' is not a layer"},
        {"concrete 200,", "is not a layer"},
        {"200", "is not a layer"},
        {"concrete x", "is not a layer"},
        {"concrete 200mm", "is not a layer"},
        {"concrete 0", "is not a layer"},
        {"concrete -5", "is not a layer"},
        {"concrete 5000.1", "up to 5000"},
        {"concrete nan", "is not a layer"},
        {"concrete 1e999", "is not a layer"},
        {"concret 200", "did you mean 'concrete'"},
        {"unobtainium 3", "no permittivity is tabled for 'unobtainium'"},
        {"floorboard 20", "floorboard"},
        {"air 1,air 1,air 1,air 1,air 1,air 1,air 1,air 1,air 1,air 1,air 1,air 1,air 1,air 1,air 1,air 1,air 1",
         "more than 16 layers"},
        {"an-endless-name-of-a-material-that-nobody-has-ever-heard-of-in-any-building-at-all 3", "is not a layer"},
    };
    for (size_t i = 0; i < sizeof broken / sizeof broken[0]; i++) {
        hr_layer layers[HR_LAYERS_MAX];
        size_t count = 77;
        hr_error err = {0};
        assert_int_equal(hr_materials_layers_parse(broken[i].text, 915.0, layers, &count, &err), HR_ERR_INPUT);
        assert_int_equal(count, 77);
        if (strstr(err.text, broken[i].says) == NULL) {
            fail_msg("'%s' says '%s'", broken[i].text, err.text);
        }
    }
    hr_layer layers[HR_LAYERS_MAX];
    size_t count = 0;
    assert_int_equal(hr_materials_layers_parse(NULL, 915.0, layers, &count, NULL), HR_ERR_ARGUMENT);
    assert_int_equal(hr_materials_layers_parse("air 1", (double)NAN, layers, &count, NULL), HR_ERR_ARGUMENT);
}

static void own_stacks_have_no_listed_loss(void **state)
{
    (void)state;
    hr_materials *materials = NULL;
    assert_int_equal(hr_materials_new(915.0, &materials, NULL), HR_OK);
    assert_int_equal(
        hr_materials_add_layers(materials, "party", "plasterboard 25, air 150, plasterboard 25", 2.0, NULL), HR_OK);
    const hr_material *item = hr_materials_get(materials, hr_materials_find(materials, "PARTY"));
    assert_non_null(item);
    assert_true(item->own);
    assert_string_equal(item->layers, "plasterboard 25, air 150, plasterboard 25");
    assert_true(isnan(item->loss_db[HR_USE_WALL]));
    check_near(item->spread_db[HR_USE_WALL], 2.0, 0.0);
    /* a listed loss takes its place, and the other way round */
    assert_int_equal(hr_materials_add(materials, "party", 6.0, (double)NAN, NULL), HR_OK);
    item = hr_materials_get(materials, hr_materials_find(materials, "party"));
    assert_null(item->layers);
    check_near(item->loss_db[HR_USE_FLOOR], 6.0, 0.0);
    assert_int_equal(hr_materials_add_layers(materials, "brick-100", "brick 110", (double)NAN, NULL), HR_OK);
    item = hr_materials_get(materials, hr_materials_find(materials, "brick-100"));
    assert_true(isnan(item->loss_db[HR_USE_WALL]) && isnan(item->spread_db[HR_USE_WALL]));

    hr_error err = {0};
    const size_t count = hr_materials_count(materials);
    assert_int_equal(hr_materials_add_layers(materials, "new", "steam 5", (double)NAN, &err), HR_ERR_INPUT);
    assert_int_equal(hr_materials_add_layers(materials, "new", "air 5", -1.0, &err), HR_ERR_ARGUMENT);
    assert_int_equal(hr_materials_add_layers(materials, "", "air 5", 1.0, &err), HR_ERR_ARGUMENT);
    assert_int_equal(hr_materials_count(materials), count);
    hr_materials_free(materials);
}

static void cases_lose_more_the_further_they_turn(void **state)
{
    (void)state;
    const char *const names[] = {"none", "facing", "side", "away", "enclosed"};
    double before_db = -1.0;
    for (size_t i = 0; i < 5; i++) {
        double loss_db = (double)NAN;
        double spread_db = (double)NAN;
        assert_true(hr_materials_enclosure(names[i], &loss_db, &spread_db));
        assert_true(loss_db > before_db && loss_db < 40.0);
        assert_true(spread_db >= 0.25 * loss_db);
        before_db = loss_db;
    }
    double loss_db = 5.0;
    /* assumed, all of them: who changes a row changes it here too */
    const double losses_db[] = {0.0, 3.0, 8.0, 14.0, 20.0};
    for (size_t i = 0; i < 5; i++) {
        assert_true(hr_materials_enclosure(names[i], &loss_db, NULL));
        check_near(loss_db, losses_db[i], 0.0);
    }
    assert_true(hr_materials_enclosure("NONE", &loss_db, NULL));
    check_near(loss_db, 0.0, 0.0);
    assert_false(hr_materials_enclosure("box", &loss_db, NULL));
    assert_false(hr_materials_enclosure(NULL, &loss_db, NULL));
}

/* Without echoes inside the slab, at normal incidence (ITU-R P.2040-3, evaluated by an independent script). */
static void single_pass_tells_stacks_apart(void **state)
{
    (void)state;
    const struct {
        const char *layers;
        double freq_mhz, loss_db;
    } rows[] = {{"concrete 100", 868, 4.41},  {"concrete 200", 868, 7.35}, {"concrete 300", 2450, 21.38},
                {"brick 200", 915, 4.87},     {"glass 6", 868, 1.79},      {"wood 40", 2450, 0.83},
                {"plasterboard 13", 915, 0.64}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        hr_materials *m = NULL;
        assert_int_equal(hr_materials_new(rows[i].freq_mhz, &m, NULL), HR_OK);
        assert_int_equal(hr_materials_add_layers(m, "own", rows[i].layers, (double)NAN, NULL), HR_OK);
        const size_t own = hr_materials_find(m, "own");
        assert_true(isnan(hr_materials_loss_db(m, own, HR_USE_WALL, NULL)));
        check_near(hr_materials_weight_db(m, own, HR_USE_WALL), rows[i].loss_db, 0.05); /* low-loss form, real indices */
        hr_materials_set_loss(m, "own", 7.5); /* a stated loss goes before */
        check_near(hr_materials_weight_db(m, own, HR_USE_WALL), 7.5, 0.0);
        hr_materials_free(m);
    }
    hr_materials *m = NULL;
    assert_int_equal(hr_materials_new(868.0, &m, NULL), HR_OK);
    assert_int_equal(hr_materials_add_layers(m, "own", "metal 1", (double)NAN, NULL), HR_OK);
    check_near(hr_materials_weight_db(m, hr_materials_find(m, "own"), HR_USE_WALL), 200.0, 0.0);
    assert_true(isnan(hr_materials_weight_db(m, SIZE_MAX, HR_USE_WALL)));
    hr_materials_free(m);
}

const struct CMUnitTest layer_tests[] = {
    cmocka_unit_test(every_table_row_has_a_source),
    cmocka_unit_test(permittivity_rows_are_found),
    cmocka_unit_test(every_permittivity_row_reads),
    cmocka_unit_test(stacks_are_read),
    cmocka_unit_test(broken_stacks_are_refused),
    cmocka_unit_test(own_stacks_have_no_listed_loss),
    cmocka_unit_test(single_pass_tells_stacks_apart),
    cmocka_unit_test(cases_lose_more_the_further_they_turn),
};
const size_t layer_test_count = sizeof layer_tests / sizeof layer_tests[0];
