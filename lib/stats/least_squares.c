/*
 * least_squares.c - linear least squares through GSL's singular values (one-sided Jacobi).
 *
 * Memory is ours: GSL's allocators end the process when there is none.
 *
 * SPDX-License-Identifier: MIT
 */
#include "hr_stats.h"

#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

/* Singular values below this share of the largest count as none: about the
 * last digits of a sum over a few thousand rows. */
#define RANK_SHARE 1e-13

static bool all_finite(const double *values, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(values[i])) {
            return false;
        }
    }
    return true;
}

/* Columns to length 1, so that a rank does not depend on units. */
static void scale_columns(double *a, size_t rows, size_t columns, double *scale)
{
    for (size_t c = 0; c < columns; c++) {
        double sum = 0.0;
        for (size_t r = 0; r < rows; r++) {
            sum += a[r * columns + c] * a[r * columns + c];
        }
        scale[c] = sum > 0.0 ? sqrt(sum) : 1.0;
        for (size_t r = 0; r < rows; r++) {
            a[r * columns + c] /= scale[c];
        }
    }
}

hr_status hr_stats_singular(const double *design, size_t rows, size_t columns, double *u, double *values, double *v,
                            double *scale, hr_error *err)
{
    if (columns == 0 || rows < columns || !all_finite(design, rows * columns)) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0,
                       "%zu rows of %zu columns: finite numbers and at least as many rows as columns were expected",
                       rows, columns);
    }
    memcpy(u, design, rows * columns * sizeof *u);
    scale_columns(u, rows, columns, scale);
    gsl_matrix_view a = gsl_matrix_view_array(u, rows, columns);
    gsl_matrix_view right = gsl_matrix_view_array(v, columns, columns);
    gsl_vector_view s = gsl_vector_view_array(values, columns);
    /* the others allocate inside and write through NULL when there is nothing */
    if (gsl_linalg_SV_decomp_jacobi(&a.matrix, &right.matrix, &s.vector) != GSL_SUCCESS) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "%zu rows of %zu columns have no singular values to be found", rows,
                       columns);
    }
    return HR_OK;
}

/* Coefficients and their covariance from the decomposition. */
static void solve(const double *u, const double *s, const double *v, const double *scale, const double *values,
                  size_t rows, size_t columns, double *coefficients, double *covariance, hr_least_squares *result)
{
    memset(coefficients, 0, columns * sizeof *coefficients);
    memset(covariance, 0, columns * columns * sizeof *covariance);
    result->rank = 0;
    for (size_t k = 0; k < columns; k++) {
        if (!(s[k] > RANK_SHARE * s[0])) {
            continue;
        }
        result->rank++;
        result->condition = s[0] / s[k];
        double along = 0.0;
        for (size_t r = 0; r < rows; r++) {
            along += u[r * columns + k] * values[r];
        }
        for (size_t c = 0; c < columns; c++) {
            const double direction = v[c * columns + k] / (s[k] * scale[c]);
            coefficients[c] += direction * along;
            for (size_t d = 0; d < columns; d++) {
                covariance[c * columns + d] += direction * v[d * columns + k] / (s[k] * scale[d]);
            }
        }
    }
}

hr_status hr_stats_least_squares(const double *design, const double *values, size_t rows, size_t columns,
                                 double *coefficients, double *covariance, hr_least_squares *result, hr_error *err)
{
    if (!all_finite(values, rows)) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "a value is not finite");
    }
    double *work = hr_alloc_zero(rows * columns + columns * (columns + 2), sizeof *work);
    if (work == NULL) {
        return hr_fail_memory(err);
    }
    double *u = work, *v = u + rows * columns, *s = v + columns * columns, *scale = s + columns;
    const hr_status status = hr_stats_singular(design, rows, columns, u, s, v, scale, err);
    if (status == HR_OK) {
        hr_least_squares found = {.condition = (double)INFINITY};
        solve(u, s, v, scale, values, rows, columns, coefficients, covariance, &found);
        for (size_t r = 0; r < rows; r++) {
            double left = values[r];
            for (size_t c = 0; c < columns; c++) {
                left -= design[r * columns + c] * coefficients[c];
            }
            found.sum_of_squares += left * left;
        }
        *result = found;
    }
    hr_free(work);
    return status;
}
