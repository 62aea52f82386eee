/* calibration_priv.h - shared by the files of this module only.
 * SPDX-License-Identifier: MIT */
#ifndef CALIBRATION_PRIV_H
#define CALIBRATION_PRIV_H

#include "hr_calibration.h"
#include "hr_stats.h"

/* A term without a prior gets one this wide: far from telling anything, near
 * enough that collinear columns still have an answer. */
#define CALIBRATION_NO_PRIOR 1e4

/* The fit while it runs. Matrices are row-major. */
typedef struct calibration_work {
    const hr_calibration_term *terms;
    const hr_calibration_reading *readings;
    const hr_calibration_options *options;
    size_t p, n;
    double *design;    /* n x p at the present terms */
    double *beta;      /* p */
    double *centre;    /* p, of the normal shape of the posterior, bounds not applied */
    double *gradient;  /* p */
    double *hessian;   /* p x p: step weights, then observed information */
    double *factor;    /* p x p */
    double *step;      /* p */
    double *covariance;/* p x p */
    bool *fixed;       /* p: held at a bound */
    size_t *order;     /* walls of one reading */
    size_t order_cap;
    double sigma, tau; /* of this solution; of gross errors */
} calibration_work;

/* A solution at one sigma. */
typedef struct calibration_point {
    double log_sigma, log_evidence;
} calibration_point;

/* likelihood.c */

/* One reading: log-likelihood at level mu, its slope, its curvature (negative
 * second derivative; may be below 0) and a curvature that never is. */
typedef struct calibration_look {
    double log_likelihood, slope, curvature, step_curvature, outlier;
} calibration_look;

calibration_look calibration_look_at(const calibration_work *w, const hr_calibration_reading *reading, double mu);
double calibration_level(const calibration_work *w, size_t reading);
/* Rebuilds the design where saturation makes it depend on the terms. */
void calibration_build(calibration_work *w);
double calibration_prior_spread(const hr_calibration_term *term);

/* solve.c */

/* Most probable terms at w->sigma from w->beta on; the log evidence of sigma. */
double calibration_solve(calibration_work *w);
/* Lower triangle of a symmetric matrix; false when it is not positive definite. */
bool calibration_cholesky(const double *a, size_t p, double *l);

/* identify.c */
hr_status calibration_identify(const calibration_work *w, hr_calibration *fit, hr_error *err);

#endif
