/*
 * solve.c - the most probable terms at one sigma, by weighted steps within the
 * bounds, and how well that sigma explains the readings (Laplace's method).
 *
 * SPDX-License-Identifier: MIT
 */
#include "calibration_priv.h"

#include <math.h>
#include <string.h>

#define STEPS_MAX 60
/* Saturation sorts walls by the present terms; after this many steps the order
 * is kept, so that two walls of one loss cannot make it swing for ever. */
#define REBUILDS 8
#define STILL 1e-9

bool calibration_cholesky(const double *a, size_t p, double *l)
{
    for (size_t i = 0; i < p; i++) {
        for (size_t j = 0; j <= i; j++) {
            double sum = a[i * p + j];
            for (size_t k = 0; k < j; k++) {
                sum -= l[i * p + k] * l[j * p + k];
            }
            if (i == j) {
                if (!(sum > 0.0)) {
                    return false;
                }
                l[i * p + i] = sqrt(sum);
            } else {
                l[i * p + j] = sum / l[j * p + j];
            }
        }
    }
    return true;
}

static void back_solve(const double *l, size_t p, double *x)
{
    for (size_t i = 0; i < p; i++) {
        for (size_t k = 0; k < i; k++) {
            x[i] -= l[i * p + k] * x[k];
        }
        x[i] /= l[i * p + i];
    }
    for (size_t i = p; i-- > 0;) {
        for (size_t k = i + 1; k < p; k++) {
            x[i] -= l[k * p + i] * x[k];
        }
        x[i] /= l[i * p + i];
    }
}

/* Log posterior, its gradient and curvature at w->beta. */
static double look_around(calibration_work *w, bool observed)
{
    const size_t p = w->p;
    double total = 0.0;
    memset(w->hessian, 0, p * p * sizeof *w->hessian);
    memset(w->gradient, 0, p * sizeof *w->gradient);
    for (size_t i = 0; i < w->n; i++) {
        const double *row = &w->design[i * p];
        const calibration_look look = calibration_look_at(w, &w->readings[i], calibration_level(w, i));
        const double weight = observed ? look.curvature : look.step_curvature;
        total += look.log_likelihood;
        for (size_t j = 0; j < p; j++) {
            w->gradient[j] += look.slope * row[j];
            for (size_t k = 0; k <= j; k++) {
                w->hessian[j * p + k] += weight * row[j] * row[k];
            }
        }
    }
    for (size_t j = 0; j < p; j++) {
        const double spread = calibration_prior_spread(&w->terms[j]);
        const double off = (w->beta[j] - w->terms[j].prior) / spread;
        total -= 0.5 * off * off;
        w->gradient[j] -= off / spread;
        w->hessian[j * p + j] += 1.0 / (spread * spread);
        for (size_t k = 0; k < j; k++) {
            w->hessian[k * p + j] = w->hessian[j * p + k];
        }
    }
    return total;
}

/* Step of the free terms; those held at a bound stay. */
static bool free_step(calibration_work *w)
{
    const size_t p = w->p;
    memcpy(w->covariance, w->hessian, p * p * sizeof *w->hessian);
    for (size_t j = 0; j < p; j++) {
        w->step[j] = w->fixed[j] ? 0.0 : w->gradient[j];
        for (size_t k = 0; k < p; k++) {
            if (k != j && (w->fixed[j] || w->fixed[k])) {
                w->covariance[j * p + k] = 0.0;
            }
        }
    }
    if (!calibration_cholesky(w->covariance, p, w->factor)) {
        return false;
    }
    back_solve(w->factor, p, w->step);
    return true;
}

/* One step within the bounds; its largest share of a term's prior spread. */
static double bounded_step(calibration_work *w)
{
    for (size_t j = 0; j < w->p; j++) {
        const hr_calibration_term *t = &w->terms[j];
        w->fixed[j] = (w->beta[j] <= t->low && w->gradient[j] < 0.0) || (w->beta[j] >= t->high && w->gradient[j] > 0.0);
    }
    for (size_t round = 0; round <= w->p; round++) {
        if (!free_step(w)) {
            return 0.0;
        }
        bool again = false;
        for (size_t j = 0; j < w->p; j++) {
            const hr_calibration_term *t = &w->terms[j];
            const double to = w->beta[j] + w->step[j];
            if (!w->fixed[j] && (to < t->low || to > t->high)) {
                w->beta[j] = to < t->low ? t->low : t->high;
                w->fixed[j] = true;
                again = true;
            }
        }
        if (!again) {
            break;
        }
        (void)look_around(w, false); /* terms moved to their bounds */
    }
    double largest = 0.0;
    for (size_t j = 0; j < w->p; j++) {
        w->beta[j] += w->fixed[j] ? 0.0 : w->step[j];
        largest = fmax(largest, fabs(w->step[j]));
    }
    return largest;
}

static void invert(calibration_work *w)
{
    for (size_t j = 0; j < w->p; j++) {
        memset(w->step, 0, w->p * sizeof *w->step);
        w->step[j] = 1.0;
        back_solve(w->factor, w->p, w->step);
        for (size_t k = 0; k < w->p; k++) {
            w->covariance[k * w->p + j] = w->step[k];
        }
    }
}

double calibration_solve(calibration_work *w)
{
    w->tau = hypot(w->sigma, w->options->outlier_sigma_db);
    for (size_t step = 0; step < STEPS_MAX; step++) {
        if (step < REBUILDS) {
            calibration_build(w);
        }
        (void)look_around(w, false);
        if (bounded_step(w) < STILL) {
            break;
        }
    }
    double total = look_around(w, true);
    if (!calibration_cholesky(w->hessian, w->p, w->factor)) {
        total = look_around(w, false); /* between two explanations: the weights' own curvature */
        (void)calibration_cholesky(w->hessian, w->p, w->factor);
    }
    memcpy(w->centre, w->gradient, w->p * sizeof *w->centre);
    back_solve(w->factor, w->p, w->centre);
    for (size_t j = 0; j < w->p; j++) {
        total -= log(w->factor[j * w->p + j]);
        w->centre[j] += w->beta[j];
    }
    invert(w);
    const hr_calibration_options *o = w->options;
    if (isfinite(o->sigma_spread)) {
        const double off = log(w->sigma / o->sigma_db) / o->sigma_spread;
        total -= 0.5 * off * off;
    }
    return total;
}
