/*
 * test_calibration.c - fits against a handbook example and a reference data
 * set, and the ways a fit can go wrong.
 *
 * SPDX-License-Identifier: MIT
 */
#include "calibration_tests.h"

made_readings make_readings(size_t cap, size_t columns)
{
    made_readings made = {.cap = cap, .columns = columns};
    made.items = hr_alloc_zero(cap, sizeof *made.items);
    made.hits = hr_alloc_zero(cap * columns, sizeof *made.hits);
    assert_true(made.items != NULL && made.hits != NULL);
    return made;
}

void add_reading(made_readings *made, const double *row, double level_db, bool heard)
{
    assert_true(made->count < made->cap);
    hr_calibration_hit *hits = &made->hits[made->count * made->columns];
    for (size_t j = 0; j < made->columns; j++) {
        hits[j] = (hr_calibration_hit){(uint32_t)j, row[j]};
    }
    made->items[made->count++] =
        (hr_calibration_reading){.level_db = level_db, .heard = heard, .hits = hits, .hit_count = made->columns};
}

void free_readings(made_readings *made)
{
    hr_free(made->items);
    hr_free(made->hits);
}

hr_calibration *fit_of(const hr_calibration_term *terms, const made_readings *made, const hr_calibration_options *o)
{
    hr_calibration *fit = NULL;
    hr_error err = {0};
    const hr_status status = hr_calibration_fit(terms, made->columns, made->items, made->count, o, &fit, &err);
    if (status != HR_OK) {
        fail_msg("%s", err.text);
    }
    return fit;
}

hr_calibration_term free_term(void)
{
    return (hr_calibration_term){0.0, (double)INFINITY, -(double)INFINITY, (double)INFINITY, false};
}

hr_calibration_options plain(void)
{
    hr_calibration_options o = hr_calibration_defaults();
    o.sigma_spread = (double)INFINITY;
    o.outlier_share = 0.0;
    return o;
}

/* Rappaport, Wireless Communications, 2nd ed., example 4.9: levels at 100, 200,
 * 1000 and 3000 m, the first taken as it is; n 4.4 and sigma 6.17 dB printed.
 * By its own equations n = 4.4131 and, over all four readings, sigma = 6.157. */
static void handbook_exponent(void **state)
{
    (void)state;
    static const double dist_m[] = {100.0, 200.0, 1000.0, 3000.0}, level_dbm[] = {0.0, -20.0, -35.0, -70.0};
    double design[4], coefficient = 0.0, variance = 0.0;
    hr_least_squares result;
    made_readings made = make_readings(4, 1);
    for (size_t i = 0; i < 4; i++) {
        design[i] = -10.0 * log10(dist_m[i] / 100.0);
        add_reading(&made, &design[i], level_dbm[i], true);
    }
    assert_int_equal(hr_stats_least_squares(design, level_dbm, 4, 1, &coefficient, &variance, &result, NULL), HR_OK);
    check_near(coefficient, 4.4131, 5e-5);
    check_near(sqrt(result.sum_of_squares / 4.0), 6.157, 5e-4);
    const hr_calibration_term term = free_term();
    const hr_calibration_options o = plain();
    hr_calibration *fit = fit_of(&term, &made, &o);
    check_near(fit->terms[0].value, 4.4131, 1e-4);
    /* Student's t with 3 degrees of freedom: 2.353 at 95 % one-sided (handbook table, from memory) */
    const double half = 2.353 * sqrt(result.sum_of_squares / 3.0 * variance);
    check_near(fit->terms[0].high - fit->terms[0].low, 2.0 * half, 0.15 * 2.0 * half);
    hr_calibration_free(fit);
    free_readings(&made);
}

/* NIST StRD, Longley: 16 rows, 7 coefficients, nearly collinear. Data and
 * certified values from memory; that they agree to nine digits says that both
 * were remembered rightly. */
static void nist_longley(void **state)
{
    (void)state;
    static const double y[16] = {60323, 61122, 60171, 61187, 63221, 63639, 64989, 63761,
                                 66019, 67857, 68169, 66513, 68655, 69564, 69331, 70551};
    static const double x[6][16] = {
        {83.0, 88.5, 88.2, 89.5, 96.2, 98.1, 99.0, 100.0, 101.2, 104.6, 108.4, 110.8, 112.6, 114.2, 115.7, 116.9},
        {234289, 259426, 258054, 284599, 328975, 346999, 365385, 363112, 397469, 419180, 442769, 444546, 482704,
         502601, 518173, 554894},
        {2356, 2325, 3682, 3351, 2099, 1932, 1870, 3578, 2904, 2822, 2936, 4681, 3813, 3931, 4806, 4007},
        {1590, 1456, 1616, 1650, 3099, 3594, 3547, 3350, 3048, 2857, 2798, 2637, 2552, 2514, 2572, 2827},
        {107608, 108632, 109773, 110929, 112075, 113270, 115094, 116219, 117388, 118734, 120445, 121950, 123366,
         125368, 127852, 130081},
        {1947, 1948, 1949, 1950, 1951, 1952, 1953, 1954, 1955, 1956, 1957, 1958, 1959, 1960, 1961, 1962}};
    static const double certified[7] = {-3482258.63459582,     15.0618722713733,      -0.358191792925910e-01,
                                        -2.02022980381683,     -1.03322686717359,     -0.511041056535807e-01,
                                        1829.15146461355};
    double design[16 * 7], coefficients[7], covariance[49];
    for (size_t i = 0; i < 16; i++) {
        design[i * 7] = 1.0;
        for (size_t j = 0; j < 6; j++) {
            design[i * 7 + j + 1] = x[j][i];
        }
    }
    hr_least_squares result;
    assert_int_equal(hr_stats_least_squares(design, y, 16, 7, coefficients, covariance, &result, NULL), HR_OK);
    assert_int_equal(result.rank, 7);
    for (size_t j = 0; j < 7; j++) {
        check_near(coefficients[j] / certified[j], 1.0, 1e-7);
    }
    check_near(sqrt(result.sum_of_squares / 9.0), 304.854073561965, 1e-6);
    check_near(sqrt(result.sum_of_squares / 9.0 * covariance[0]), 890420.383607373, 1.0); /* of the intercept */
}

/* NIST StRD, Norris: a straight line through 36 rows, by the fit itself with nothing expected. Data and certified
 * values from memory; that the exact least squares agree to nine digits says that both were remembered rightly. */
static void nist_norris(void **state)
{
    (void)state;
    static const double y[36] = {0.1,   338.8, 118.1, 888.0, 9.2,   228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3,
                                 0.1,   778.1, 668.8, 339.3, 448.9, 10.8,  557.7, 228.3, 998.0, 888.8, 119.6, 0.3,
                                 0.6,   557.6, 339.3, 888.0, 998.5, 778.9, 10.2,  117.6, 228.9, 668.4, 449.2, 0.2};
    static const double x[36] = {0.2,   337.4, 118.2, 884.6, 10.1,  226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4,
                                 0.6,   775.5, 666.9, 338.0, 447.5, 11.6,  556.0, 228.1, 995.8, 887.6, 120.2, 0.3,
                                 0.3,   556.8, 339.1, 887.2, 999.0, 779.0, 11.1,  118.3, 229.2, 669.1, 448.9, 0.5};
    static const double certified[2] = {-0.262323073774029, 1.00211681802045};
    double design[72], coefficients[2], covariance[4];
    hr_least_squares result;
    made_readings made = make_readings(36, 2);
    for (size_t i = 0; i < 36; i++) {
        design[2 * i] = 1.0;
        design[2 * i + 1] = x[i];
        add_reading(&made, &design[2 * i], y[i], true);
    }
    assert_int_equal(hr_stats_least_squares(design, y, 36, 2, coefficients, covariance, &result, NULL), HR_OK);
    check_near(coefficients[0] / certified[0], 1.0, 1e-9);
    check_near(coefficients[1] / certified[1], 1.0, 1e-9);
    check_near(sqrt(result.sum_of_squares / 34.0), 0.884796396144373, 1e-9);
    const hr_calibration_term terms[2] = {free_term(), free_term()};
    const hr_calibration_options o = plain();
    hr_calibration *fit = fit_of(terms, &made, &o);
    check_near(fit->terms[0].value, certified[0], 1e-6);
    check_near(fit->terms[1].value, certified[1], 1e-9);
    check_near(fit->terms[0].spread, 0.232818234301152, 0.05 * 0.2328); /* standard errors, sigma not known beforehand */
    check_near(fit->terms[1].spread, 0.000429796848199937, 0.05 * 0.00043);
    hr_calibration_free(fit);
    free_readings(&made);
}

/* Two materials that always stand together: the sum is told, neither alone. */
static void collinear_is_said(void **state)
{
    (void)state;
    made_readings made = make_readings(40, 3);
    hr_random *random = hr_stats_random_new(5, 1);
    for (int i = 0; i < 40; i++) {
        const double walls = (double)(i % 4), row[3] = {1.0, -walls, -walls};
        add_reading(&made, row, -40.0 - 11.0 * walls + hr_stats_random_normal(random, 2.0), true);
    }
    hr_stats_random_free(random);
    const hr_calibration_term terms[3] = {{-40.0, 6.0, -100.0, 100.0, false},
                                          {3.0, 1.0, 0.0, 200.0, false},
                                          {9.0, 3.0, 0.0, 200.0, false}};
    hr_calibration *fit = fit_of(terms, &made, NULL);
    assert_int_equal(fit->rank, 2);
    assert_true(fit->terms[0].identifiable);
    assert_false(fit->terms[1].identifiable);
    assert_false(fit->terms[2].identifiable);
    check_near(fit->terms[1].value + fit->terms[2].value, 11.0, 0.6);
    hr_calibration_free(fit);
    /* two of four rows: a term with fewer than five readings is not told */
    made.count = 4;
    fit = fit_of(terms, &made, NULL);
    assert_false(fit->terms[0].identifiable);
    hr_calibration_free(fit);
    free_readings(&made);
}

/* Walls never gain: readings that say so leave the loss at 0. */
static void no_negative_loss(void **state)
{
    (void)state;
    made_readings made = make_readings(30, 2);
    for (int i = 0; i < 30; i++) {
        const double walls = (double)(i % 3), row[2] = {1.0, -walls};
        add_reading(&made, row, -50.0 + 4.0 * walls + (i % 2 == 0 ? 0.5 : -0.5), true);
    }
    const hr_calibration_term terms[2] = {{-50.0, 6.0, -100.0, 100.0, false}, {6.0, 3.0, 0.0, 200.0, false}};
    hr_calibration *fit = fit_of(terms, &made, NULL);
    check_near(fit->terms[1].value, 0.0, 1e-9);
    check_near(fit->terms[1].low, 0.0, 1e-9);
    assert_true(fit->terms[1].high > 0.0 && fit->terms[1].high < 3.0);
    hr_calibration_free(fit);
    free_readings(&made);
}

/* With wall_saturation p, three equal walls cost 3^p of one. */
static void saturation_is_undone(void **state)
{
    (void)state;
    hr_calibration_hit hits[40][6];
    hr_calibration_reading readings[40];
    for (size_t i = 0; i < 40; i++) {
        const size_t walls = i % 6;
        hits[i][0] = (hr_calibration_hit){0, 1.0};
        for (size_t k = 0; k < walls; k++) {
            hits[i][k + 1] = (hr_calibration_hit){1, -1.0};
        }
        const double counted = walls <= 3 ? sqrt((double)walls) : sqrt(3.0) + (double)walls - 3.0;
        readings[i] = (hr_calibration_reading){-45.0 - 8.0 * counted + (i % 2 == 0 ? 0.3 : -0.3), true, hits[i], walls + 1};
    }
    const hr_calibration_term terms[2] = {{-50.0, 6.0, -100.0, 100.0, false}, {5.0, 3.0, 0.0, 200.0, true}};
    hr_calibration_options o = hr_calibration_defaults();
    o.wall_saturation = 0.5;
    hr_calibration *fit = NULL;
    assert_int_equal(hr_calibration_fit(terms, 2, readings, 40, &o, &fit, NULL), HR_OK);
    check_near(fit->terms[1].value, 8.0, 0.15);
    check_near(fit->terms[0].value, -45.0, 0.3);
    hr_calibration_free(fit);
}

static void gross_errors_are_listed(void **state)
{
    (void)state;
    made_readings made = make_readings(30, 2);
    hr_random *random = hr_stats_random_new(6, 1);
    for (int i = 0; i < 30; i++) {
        const double row[2] = {1.0, -10.0 * log10(1.0 + i)};
        const double gross = i == 4 || i == 20 ? -35.0 : 0.0;
        add_reading(&made, row, -40.0 + 2.0 * row[1] + gross + hr_stats_random_normal(random, 3.0), true);
    }
    hr_stats_random_free(random);
    const hr_calibration_term terms[2] = {{-40.0, 6.0, -100.0, 100.0, false}, {2.0, 0.5, 1.0, 6.0, false}};
    hr_calibration *fit = fit_of(terms, &made, NULL);
    assert_int_equal(fit->outlier_count, 2);
    assert_true(fit->outlier[4] > 0.9 && fit->outlier[20] > 0.9);
    check_near(fit->terms[1].value, 2.0, 0.35);
    assert_true(fit->sigma_db < 4.5);
    hr_calibration_free(fit);
    free_readings(&made);
}

static void wrong_arguments(void **state)
{
    (void)state;
    made_readings made = make_readings(2, 1);
    const double row[1] = {1.0};
    add_reading(&made, row, -50.0, true);
    hr_calibration_term term = {-50.0, 6.0, -100.0, 100.0, false};
    hr_calibration *fit = NULL;
    hr_error err = {0};
    assert_int_equal(hr_calibration_fit(&term, 1, made.items, 0, NULL, &fit, &err), HR_ERR_INPUT);
    assert_int_equal(hr_calibration_fit(&term, 0, made.items, 1, NULL, &fit, &err), HR_ERR_ARGUMENT);
    made.items[0].level_db = (double)NAN;
    assert_int_equal(hr_calibration_fit(&term, 1, made.items, 1, NULL, &fit, &err), HR_ERR_ARGUMENT);
    made.items[0].level_db = -50.0;
    made.hits[0].term = 1;
    assert_int_equal(hr_calibration_fit(&term, 1, made.items, 1, NULL, &fit, &err), HR_ERR_ARGUMENT);
    made.hits[0].term = 0;
    term.spread = 0.0;
    assert_int_equal(hr_calibration_fit(&term, 1, made.items, 1, NULL, &fit, &err), HR_ERR_ARGUMENT);
    assert_null(fit);
    free_readings(&made);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(handbook_exponent),       cmocka_unit_test(nist_longley),
        cmocka_unit_test(nist_norris),
        cmocka_unit_test(collinear_is_said),       cmocka_unit_test(no_negative_loss),
        cmocka_unit_test(saturation_is_undone),    cmocka_unit_test(gross_errors_are_listed),
        cmocka_unit_test(wrong_arguments),         cmocka_unit_test(intervals_cover),
        cmocka_unit_test(flat_fits),               cmocka_unit_test(flat_predictions),
        cmocka_unit_test(office_not_heard),        cmocka_unit_test(links_868),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
