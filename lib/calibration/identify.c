/*
 * identify.c - which terms the readings tell by themselves: rank, condition
 * and count. A solver reports success on collinear columns, so its answer is
 * no sign.
 *
 * SPDX-License-Identifier: MIT
 */
#include "calibration_priv.h"

#include <math.h>

/* A direction this much weaker than the strongest is not told apart: assumed. */
#define WEAK_SHARE 1e-3
/* Share of a term that may lie in such directions. */
#define HIDDEN_SHARE 1e-6
/* Fewer readings than this do not tell a term: assumed; walls are blamed from five on. */
#define COUNT_MIN 5

/* Rows by their weight at the fit; readings judged gross errors hardly count. */
static void weigh(const calibration_work *w, double *rows)
{
    for (size_t i = 0; i < w->n; i++) {
        const calibration_look look = calibration_look_at(w, &w->readings[i], calibration_level(w, i));
        const double root = sqrt(look.step_curvature);
        for (size_t j = 0; j < w->p; j++) {
            rows[i * w->p + j] = root * w->design[i * w->p + j];
        }
    }
}

static void judge(const calibration_work *w, const double *s, const double *v, const double *scale, hr_calibration *fit)
{
    const size_t p = w->p;
    fit->rank = 0;
    for (size_t k = 0; k < p; k++) {
        fit->rank += s[k] > WEAK_SHARE * s[0] && s[k] > 0.0;
    }
    fit->condition = s[p - 1] > 0.0 ? s[0] / s[p - 1] : (double)INFINITY;
    for (size_t j = 0; j < p; j++) {
        double hidden = 0.0, variance = 0.0;
        for (size_t k = 0; k < p; k++) {
            const double part = v[j * p + k];
            if (k < fit->rank) {
                variance += part * part / (s[k] * s[k] * scale[j] * scale[j]);
            } else {
                hidden += part * part;
            }
        }
        hr_calibration_estimate *term = &fit->terms[j];
        term->identifiable = hidden <= HIDDEN_SHARE && term->count >= COUNT_MIN &&
                             sqrt(variance) <= calibration_prior_spread(&w->terms[j]);
    }
}

hr_status calibration_identify(const calibration_work *w, hr_calibration *fit, hr_error *err)
{
    const size_t p = w->p, rows = w->n < p ? p : w->n; /* rows of zeros make up for readings that are too few */
    double *work = hr_alloc_zero(2 * rows * p + p * p + 2 * p, sizeof *work);
    if (work == NULL) {
        return hr_fail_memory(err);
    }
    double *u = work + rows * p, *v = u + rows * p, *s = v + p * p, *scale = s + p;
    weigh(w, work);
    const hr_status status = hr_stats_singular(work, rows, p, u, s, v, scale, err);
    if (status == HR_OK) {
        judge(w, s, v, scale, fit);
    }
    hr_free(work);
    return status;
}
