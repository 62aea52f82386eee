/*
 * hr_calibration.h - terms of a level model fitted to readings: robust to
 * outliers, with readings not heard, priors, bounds and intervals.
 *
 * level = sum over a reading's hits of share x term. Knows nothing of radio.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_CALIBRATION_H
#define HR_CALIBRATION_H

#include "hr_base.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Something to be fitted. */
typedef struct hr_calibration_term {
    double prior, spread;  /* mean and standard deviation before any reading; spread INFINITY: none */
    double low, high;      /* closed bounds; -INFINITY, INFINITY: none */
    bool saturates;        /* a wall: the first three of a reading's largest count i^p - (i-1)^p */
} hr_calibration_term;

/* A term in a reading; losses have a negative share. */
typedef struct hr_calibration_hit {
    uint32_t term;
    double share;
} hr_calibration_hit;

typedef struct hr_calibration_reading {
    double level_db; /* as measured, less what is not fitted; not heard: the threshold, less the same */
    bool heard;
    const hr_calibration_hit *hits; /* walls one by one, so that saturation can sort them */
    size_t hit_count;
} hr_calibration_reading;

typedef struct hr_calibration_options {
    double confidence;       /* of the intervals, in (0, 1); two-sided */
    double sigma_db;         /* expected standard deviation, above 0 */
    double sigma_spread;     /* of its natural logarithm; INFINITY: nothing is expected */
    double outlier_share;    /* of gross errors expected, 0 to below 0.5; 0: plain fit */
    double outlier_sigma_db; /* standard deviation of gross errors */
    double wall_saturation;  /* p in (0, 1); 0: off */
} hr_calibration_options;

/* Confidence 0.9; sigma 5.8 dB (Seidel & Rappaport 1992, 914 MHz) with a log
 * spread of 0.4, one gross error of 20 dB in fifty: assumed. Where there are
 * more, terms and their intervals hold (a tenth is tested) and sigma comes out
 * too large, which is the careful side. */
HR_API hr_calibration_options hr_calibration_defaults(void);

typedef struct hr_calibration_estimate {
    double value, low, high; /* low and high: posterior where a prior was given */
    double spread;           /* posterior standard deviation */
    size_t count;            /* readings that hold the term */
    bool identifiable;       /* the readings alone tell it, better than its prior does */
} hr_calibration_estimate;

typedef struct hr_calibration {
    hr_calibration_estimate *terms; /* beside the terms */
    size_t term_count;
    double sigma_db, sigma_low_db, sigma_high_db;
    double *outlier;   /* per reading, probability of a gross error; >= 0.5 is listed as one */
    double *fitted_db; /* per reading, level by the fit */
    size_t reading_count, heard_count, outlier_count;
    size_t rank;       /* of the readings' design, without priors */
    double condition;
} hr_calibration;

/*
 * Fits the terms. Errors: HR_ERR_ARGUMENT for values outside their domain,
 * HR_ERR_INPUT without a reading, HR_ERR_MEMORY.
 */
HR_API hr_status hr_calibration_fit(const hr_calibration_term *terms, size_t term_count,
                                    const hr_calibration_reading *readings, size_t reading_count,
                                    const hr_calibration_options *options, hr_calibration **calibration,
                                    hr_error *err);
HR_API void hr_calibration_free(hr_calibration *calibration);

#ifdef __cplusplus
}
#endif
#endif
