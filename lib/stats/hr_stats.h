/*
 * hr_stats.h - normal distribution, quantiles, random streams, least squares.
 * The only user of GSL. GSL's error handler is process-wide and not touched
 * here: arguments are checked before GSL sees them.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_STATS_H
#define HR_STATS_H

#include "hr_base.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Phi(z): probability that a standard normal value is below z. Total. */
HR_API double hr_stats_normal_below(double z);
/* z with Phi(z) = p; one-sided. p in (0, 1), else NaN. gsl_cdf_ugaussian_Pinv. */
HR_API double hr_stats_normal_quantile(double p);
/* Quantile of sorted values by linear interpolation (GSL's rule), p in [0, 1]; count 0 gives NaN. */
HR_API double hr_stats_quantile_sorted(const double *values, size_t count, double p);

/* A random stream of its own (GSL mt19937): the same seed and stream number
 * give the same values everywhere. */
typedef struct hr_random hr_random;
HR_API hr_random *hr_stats_random_new(uint64_t seed, uint64_t stream);
HR_API void hr_stats_random_free(hr_random *random);
HR_API double hr_stats_random_uniform(hr_random *random);              /* [0, 1) */
HR_API double hr_stats_random_normal(hr_random *random, double sigma); /* mean 0 */
HR_API size_t hr_stats_random_below(hr_random *random, size_t n);      /* 0 .. n-1, n >= 1 */

/* ---- least squares -------------------------------------------------------- */

typedef struct hr_least_squares {
    size_t rank;           /* of the columns scaled to length 1 */
    double condition;      /* largest over smallest counted singular value */
    double sum_of_squares; /* of what is left */
} hr_least_squares;

/*
 * Coefficients of least sum of squares of values - design * coefficients; design
 * is row-major, rows >= columns >= 1, all finite. covariance (columns^2) is that
 * for a variance of 1. Where columns are collinear (rank < columns) the
 * shortest answer is given: success alone says nothing, look at the rank.
 */
HR_API hr_status hr_stats_least_squares(const double *design, const double *values, size_t rows, size_t columns,
                                        double *coefficients, double *covariance, hr_least_squares *result,
                                        hr_error *err);

/* Singular values (falling), u (rows x columns) and v (columns^2) of the design
 * with its columns scaled to length 1; scale gets their lengths. */
HR_API hr_status hr_stats_singular(const double *design, size_t rows, size_t columns, double *u, double *values,
                                   double *v, double *scale, hr_error *err);

#ifdef __cplusplus
}
#endif
#endif
