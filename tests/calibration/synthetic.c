/*
 * synthetic.c - buildings drawn from the spreads that the fit expects: its
 * intervals have to hold as often as they say, gross errors or not.
 *
 * SPDX-License-Identifier: MIT
 */
#include "calibration_tests.h"

#define TERMS 5
#define SETS 500

static const hr_calibration_term terms[TERMS] = {{0.0, 6.0, -100.0, 100.0, false},  /* offset */
                                                 {2.0, 0.5, 1.0, 6.0, false},       /* exponent */
                                                 {3.5, 1.5, 0.0, 200.0, false},     /* light wall */
                                                 {10.0, 3.0, 0.0, 200.0, false},    /* heavy wall */
                                                 {18.0, 5.0, 0.0, 200.0, false}};   /* floor */

static void draw_truth(hr_random *random, double *truth, double *sigma)
{
    for (size_t j = 0; j < TERMS; j++) {
        do {
            truth[j] = terms[j].prior + hr_stats_random_normal(random, terms[j].spread);
        } while (truth[j] < terms[j].low || truth[j] > terms[j].high);
    }
    *sigma = 5.8 * exp(hr_stats_random_normal(random, 0.4));
}

/* A tenth of the readings is wrong by 15 to 40 dB, either way: not the shape that the fit expects. */
static void draw_reading(hr_random *random, const double *truth, double sigma, made_readings *made)
{
    const double row[TERMS] = {1.0, -10.0 * log10(1.0 + 30.0 * hr_stats_random_uniform(random)),
                               -(double)hr_stats_random_below(random, 5), -(double)hr_stats_random_below(random, 3),
                               hr_stats_random_below(random, 3) == 0 ? -1.0 : 0.0};
    double level = hr_stats_random_normal(random, sigma);
    for (size_t j = 0; j < TERMS; j++) {
        level += row[j] * truth[j];
    }
    if (hr_stats_random_uniform(random) < 0.1) {
        const double gross = 15.0 + 25.0 * hr_stats_random_uniform(random);
        level += hr_stats_random_below(random, 2) == 0 ? gross : -gross;
    }
    /* everything below the threshold is not heard */
    const double threshold = -75.0;
    add_reading(made, row, level < threshold ? threshold : level, level >= threshold);
}

void intervals_cover(void **state)
{
    (void)state;
    static const size_t counts[] = {10, 30, 100};
    for (size_t c = 0; c < 3; c++) {
        size_t held[TERMS] = {0};
        double log_ratio = 0.0;
        for (uint64_t set = 0; set < SETS; set++) {
            hr_random *random = hr_stats_random_new(815 + c, set);
            double truth[TERMS], sigma = 0.0;
            made_readings made = make_readings(counts[c], TERMS);
            draw_truth(random, truth, &sigma);
            while (made.count < counts[c]) {
                draw_reading(random, truth, sigma, &made);
            }
            hr_calibration *fit = fit_of(terms, &made, NULL);
            for (size_t j = 0; j < TERMS; j++) {
                held[j] += truth[j] >= fit->terms[j].low && truth[j] <= fit->terms[j].high;
            }
            log_ratio += log(fit->sigma_db / sigma) / SETS;
            hr_calibration_free(fit);
            free_readings(&made);
            hr_stats_random_free(random);
        }
        for (size_t j = 0; j < TERMS; j++) {
            print_message("# %zu readings, term %zu: %.1f %%\n", counts[c], j, 100.0 * (double)held[j] / SETS);
        }
        for (size_t j = 0; j < TERMS; j++) {
            check_near((double)held[j] / SETS, 0.90, 0.04);
        }
        /* more gross errors than expected: sigma errs to the careful side */
        print_message("# %zu readings, sigma over truth: %.2f\n", counts[c], exp(log_ratio));
        assert_true(log_ratio > 0.0 && log_ratio < log(1.5));
    }
}
