/*
 * calibration.c - the fit: solutions along a row of sigmas, weighted by how
 * well each explains the readings.
 *
 * Sigma falls from large to small on the way to its best value: with a large
 * one every reading belongs, and gross errors separate as it shrinks, so that
 * the answer does not hang on where the search began.
 *
 * SPDX-License-Identifier: MIT
 */
#include "calibration_priv.h"

#include <math.h>
#include <string.h>

#define COARSE 16       /* sigmas tried first */
#define COARSE_TOP 32.0 /* dB */
#define COARSE_LOW 0.25
#define NARROWINGS 5
#define FINE 9       /* sigmas mixed in the answer ... */
#define FINE_STEP 0.65 /* ... this many standard deviations apart */
#define HALVINGS 60

hr_calibration_options hr_calibration_defaults(void)
{
    return (hr_calibration_options){.confidence = 0.9,
                                    .sigma_db = 5.8,
                                    .sigma_spread = 0.4,
                                    .outlier_share = 0.02,
                                    .outlier_sigma_db = 20.0};
}

void hr_calibration_free(hr_calibration *calibration)
{
    if (calibration != NULL) {
        hr_free(calibration->terms);
        hr_free(calibration->outlier);
        hr_free(calibration->fitted_db);
        hr_free(calibration);
    }
}

/* One solution of the row, as kept for the mixture. */
typedef struct fine_point {
    double weight, sigma;
    double *value, *centre, *spread; /* per term */
} fine_point;

static hr_status check(const hr_calibration_term *terms, size_t p, const hr_calibration_reading *readings, size_t n,
                       const hr_calibration_options *o, hr_error *err)
{
    if (p == 0 || !(o->confidence > 0.0 && o->confidence < 1.0) || !(o->sigma_db > 0.0) || !(o->sigma_spread > 0.0) ||
        !(o->outlier_share >= 0.0 && o->outlier_share < 0.5) || !(o->outlier_sigma_db >= 0.0) ||
        !(o->wall_saturation >= 0.0 && o->wall_saturation <= 1.0)) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "an option of the fit lies outside its range");
    }
    for (size_t j = 0; j < p; j++) {
        if (!isfinite(terms[j].prior) || !(terms[j].spread > 0.0) || !(terms[j].low <= terms[j].high)) {
            return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "term %zu of the fit has no proper prior or bounds", j);
        }
    }
    for (size_t i = 0; i < n; i++) {
        bool good = isfinite(readings[i].level_db);
        for (size_t k = 0; good && k < readings[i].hit_count; k++) {
            good = readings[i].hits[k].term < p && isfinite(readings[i].hits[k].share);
        }
        if (!good) {
            return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "reading %zu of the fit is not finite or names no term", i);
        }
    }
    return n > 0 ? HR_OK : hr_fail(err, HR_ERR_INPUT, NULL, 0, "no readings: at least one was expected");
}

static bool start(calibration_work *w, double **block)
{
    const size_t p = w->p, n = w->n;
    for (size_t i = 0; i < n; i++) {
        w->order_cap = w->readings[i].hit_count > w->order_cap ? w->readings[i].hit_count : w->order_cap;
    }
    double *at = *block = hr_alloc_zero(n * p + 3 * p * p + 4 * p, sizeof *at);
    w->fixed = hr_alloc_zero(p, sizeof *w->fixed);
    w->order = hr_alloc(w->order_cap, sizeof *w->order);
    if (at == NULL || w->fixed == NULL || w->order == NULL) {
        return false;
    }
    w->design = at;
    w->hessian = w->design + n * p;
    w->factor = w->hessian + p * p;
    w->covariance = w->factor + p * p;
    w->beta = w->covariance + p * p;
    w->centre = w->beta + p;
    w->gradient = w->centre + p;
    w->step = w->gradient + p;
    for (size_t j = 0; j < p; j++) {
        w->beta[j] = fmin(fmax(w->terms[j].prior, w->terms[j].low), w->terms[j].high);
    }
    calibration_build(w);
    return true;
}

static double solve_at(calibration_work *w, double log_sigma)
{
    w->sigma = exp(log_sigma);
    return calibration_solve(w);
}

/* Best log sigma and the standard deviation of its posterior. */
static void find_sigma(calibration_work *w, double *best_beta, double *best_log, double *spread)
{
    const double low = log(COARSE_LOW), high = log(COARSE_TOP), width = (high - low) / (COARSE - 1);
    double best = -(double)INFINITY, centre = high;
    for (int i = COARSE - 1; i >= 0; i--) {
        const double evidence = solve_at(w, low + width * i);
        if (evidence > best) {
            best = evidence;
            centre = low + width * i;
            memcpy(best_beta, w->beta, w->p * sizeof *best_beta);
        }
    }
    double half = width;
    for (int round = 0; round < NARROWINGS; round++) {
        memcpy(w->beta, best_beta, w->p * sizeof *best_beta);
        const double above = solve_at(w, centre + half);
        const double middle = solve_at(w, centre);
        memcpy(best_beta, w->beta, w->p * sizeof *best_beta);
        const double below = solve_at(w, centre - half);
        const double bend = (2.0 * middle - above - below) / (half * half);
        if (!(bend > 0.0)) {
            centre += above > below ? half : -half;
        } else {
            centre += fmin(fmax(0.5 * (above - below) / half / bend, -2.0 * half), 2.0 * half);
            half = fmin(fmax(1.0 / sqrt(bend), 1e-3), 2.0 * width);
        }
        centre = fmin(fmax(centre, low), high);
    }
    memcpy(w->beta, best_beta, w->p * sizeof *best_beta);
    *best_log = centre;
    *spread = half;
}

/* Probability below x of a normal value cut to the term's bounds. */
static double cut_below(const hr_calibration_term *term, double centre, double spread, double x)
{
    const double low = hr_stats_normal_below((term->low - centre) / spread);
    const double high = hr_stats_normal_below((term->high - centre) / spread);
    if (!(high - low > 1e-12)) {
        return x >= centre ? 1.0 : 0.0;
    }
    return fmin(fmax((hr_stats_normal_below((x - centre) / spread) - low) / (high - low), 0.0), 1.0);
}

static double mixture_quantile(const hr_calibration_term *term, const fine_point *points, size_t j, double share)
{
    double low = (double)INFINITY, high = -(double)INFINITY;
    for (int k = 0; k < FINE; k++) {
        low = fmin(low, points[k].centre[j] - 12.0 * points[k].spread[j]);
        high = fmax(high, points[k].centre[j] + 12.0 * points[k].spread[j]);
    }
    low = fmax(low, fmin(term->low, high));
    high = fmin(fmax(high, low), fmax(term->high, low));
    for (int i = 0; i < HALVINGS; i++) {
        const double middle = 0.5 * (low + high);
        double below = 0.0;
        for (int k = 0; k < FINE; k++) {
            below += points[k].weight * cut_below(term, points[k].centre[j], points[k].spread[j], middle);
        }
        if (below < share) {
            low = middle;
        } else {
            high = middle;
        }
    }
    return 0.5 * (low + high);
}

static void mix_terms(const calibration_work *w, const fine_point *points, hr_calibration *fit)
{
    const double tail = 0.5 * (1.0 - w->options->confidence);
    for (size_t j = 0; j < w->p; j++) {
        hr_calibration_estimate *term = &fit->terms[j];
        double square = 0.0;
        for (int k = 0; k < FINE; k++) {
            term->value += points[k].weight * points[k].value[j];
        }
        /* the weights add up to one but for rounding, which may not carry a mean over its bound */
        term->value = fmin(fmax(term->value, w->terms[j].low), w->terms[j].high);
        for (int k = 0; k < FINE; k++) {
            const double off = points[k].value[j] - term->value;
            square += points[k].weight * (points[k].spread[j] * points[k].spread[j] + off * off);
        }
        term->spread = sqrt(square);
        term->low = fmin(mixture_quantile(&w->terms[j], points, j, tail), term->value);
        term->high = fmax(mixture_quantile(&w->terms[j], points, j, 1.0 - tail), term->value);
    }
}

/* Solutions around the best sigma, weighted. */
static void fill_points(calibration_work *w, double centre, double spread, fine_point *points, double *outlier)
{
    double evidence[FINE], top = -(double)INFINITY, total = 0.0;
    for (int k = 0; k < FINE; k++) {
        /* whole steps either side of the middle one: NOLINTNEXTLINE(bugprone-integer-division) */
        evidence[k] = solve_at(w, centre + spread * FINE_STEP * (FINE / 2 - k));
        top = fmax(top, evidence[k]);
        points[k].sigma = w->sigma;
        for (size_t j = 0; j < w->p; j++) {
            points[k].value[j] = w->beta[j];
            points[k].centre[j] = w->centre[j];
            points[k].spread[j] = sqrt(w->covariance[j * w->p + j]);
        }
    }
    for (int k = 0; k < FINE; k++) {
        points[k].weight = exp(evidence[k] - top);
        total += points[k].weight;
    }
    for (int k = 0; k < FINE; k++) {
        points[k].weight /= total;
        w->sigma = points[k].sigma;
        w->tau = hypot(w->sigma, w->options->outlier_sigma_db);
        memcpy(w->beta, points[k].value, w->p * sizeof *w->beta);
        calibration_build(w);
        for (size_t i = 0; i < w->n; i++) {
            outlier[i] += points[k].weight * calibration_look_at(w, &w->readings[i], calibration_level(w, i)).outlier;
        }
    }
}

static void finish(calibration_work *w, const fine_point *points, double log_sigma, double spread, hr_calibration *fit)
{
    mix_terms(w, points, fit);
    double mean = 0.0;
    for (int k = 0; k < FINE; k++) {
        mean += points[k].weight * log(points[k].sigma);
    }
    (void)log_sigma;
    const double z = hr_stats_normal_quantile(0.5 + 0.5 * w->options->confidence);
    fit->sigma_db = exp(mean);
    fit->sigma_low_db = exp(mean - z * spread);
    fit->sigma_high_db = exp(mean + z * spread);
    w->sigma = fit->sigma_db;
    w->tau = hypot(w->sigma, w->options->outlier_sigma_db);
    for (size_t j = 0; j < w->p; j++) {
        w->beta[j] = fit->terms[j].value;
    }
    calibration_build(w);
    for (size_t i = 0; i < w->n; i++) {
        fit->fitted_db[i] = calibration_level(w, i);
        fit->heard_count += w->readings[i].heard;
        fit->outlier_count += fit->outlier[i] >= 0.5;
        for (size_t j = 0; j < w->p; j++) {
            fit->terms[j].count += fabs(w->design[i * w->p + j]) > 0.0;
        }
    }
}

static hr_status run(calibration_work *w, hr_calibration *fit, hr_error *err)
{
    fine_point points[FINE];
    double *kept = hr_alloc_zero((3 * FINE + 1) * w->p, sizeof *kept);
    if (kept == NULL) {
        return hr_fail_memory(err);
    }
    for (int k = 0; k < FINE; k++) {
        double *at = kept + (size_t)(3 * k + 1) * w->p;
        points[k] = (fine_point){.value = at, .centre = at + w->p, .spread = at + 2 * w->p};
    }
    double log_sigma = 0.0, spread = 0.0;
    find_sigma(w, kept, &log_sigma, &spread);
    fill_points(w, log_sigma, spread, points, fit->outlier);
    finish(w, points, log_sigma, spread, fit);
    hr_free(kept);
    return calibration_identify(w, fit, err);
}

static hr_calibration *new_fit(size_t p, size_t n)
{
    hr_calibration *fit = hr_alloc_zero(1, sizeof *fit);
    if (fit == NULL) {
        return NULL;
    }
    fit->terms = hr_alloc_zero(p, sizeof *fit->terms);
    fit->outlier = hr_alloc_zero(n, sizeof *fit->outlier);
    fit->fitted_db = hr_alloc_zero(n, sizeof *fit->fitted_db);
    fit->term_count = p;
    fit->reading_count = n;
    if (fit->terms == NULL || fit->outlier == NULL || fit->fitted_db == NULL) {
        hr_calibration_free(fit);
        return NULL;
    }
    return fit;
}

hr_status hr_calibration_fit(const hr_calibration_term *terms, size_t term_count,
                             const hr_calibration_reading *readings, size_t reading_count,
                             const hr_calibration_options *options, hr_calibration **calibration, hr_error *err)
{
    const hr_calibration_options usual = hr_calibration_defaults();
    calibration_work w = {.terms = terms,
                          .readings = readings,
                          .options = options == NULL ? &usual : options,
                          .p = term_count,
                          .n = reading_count};
    hr_status status = check(terms, term_count, readings, reading_count, w.options, err);
    if (status != HR_OK) {
        return status;
    }
    double *block = NULL;
    hr_calibration *fit = new_fit(term_count, reading_count);
    status = start(&w, &block) && fit != NULL ? run(&w, fit, err) : hr_fail_memory(err);
    hr_free(block);
    hr_free(w.fixed);
    hr_free(w.order);
    if (status != HR_OK) {
        hr_calibration_free(fit);
        return status;
    }
    *calibration = fit;
    return HR_OK;
}
