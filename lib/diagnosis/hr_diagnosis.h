/*
 * hr_diagnosis.h - a building's own readings put to use: its terms fitted.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_DIAGNOSIS_H
#define HR_DIAGNOSIS_H

#include "hr_base.h"
#include "hr_building.h"
#include "hr_calibration.h"
#include "hr_links.h"
#include "hr_readings.h"

#ifdef __cplusplus
extern "C" {
#endif

/* A term of one material or one gateway. */
typedef struct hr_fit_item {
    uint32_t index; /* material, or index into building->gateways */
    const char *name;
    double prior, prior_spread;
    hr_calibration_estimate estimate;
} hr_fit_item;

typedef struct hr_fit_outlier {
    uint32_t reading;
    double difference_db; /* measured - fitted; not heard: threshold - fitted */
    double probability;   /* of a gross error */
} hr_fit_outlier;

/* What a building's readings say. Intervals are posterior, of the stated confidence. */
typedef struct hr_fit {
    const hr_readings *readings;
    double confidence;
    hr_calibration_estimate offset, exponent, floor; /* floor: of one slab; only with has_floor */
    bool has_floor;
    double offset_prior_spread_db, exponent_prior, exponent_prior_spread, floor_prior_db, floor_prior_spread_db;
    hr_fit_item *materials; /* those that a reading crosses, by index */
    size_t material_count;
    hr_fit_item *gateways;  /* empty unless two or more have readings enough */
    size_t gateway_count;
    double sigma_db; /* its interval is not told: it hangs on how many gross errors there are */
    hr_fit_outlier *outliers; /* as they stand in the list */
    size_t outlier_count;
    size_t rank, terms;
    double condition;
    double rmse_db, rmse_before_db; /* of the readings heard, with and without the fit */
    hr_arena *arena;
} hr_fit;

/*
 * Fits offset, exponent, losses and sigma to readings of a building that was
 * read with no_fitted. HR_ERR_UNAVAILABLE for a model other than multi-wall,
 * HR_ERR_INPUT without a usable reading.
 */
HR_API hr_status hr_diagnosis_fit(const hr_readings *readings, const hr_links *links, hr_fit **fit, hr_error *err);
HR_API void hr_fit_free(hr_fit *fit);

#ifdef __cplusplus
}
#endif
#endif
