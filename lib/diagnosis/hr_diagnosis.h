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
#include "hr_siting.h"

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
    size_t links; /* different ones among the readings: each goes in once, as the median of its readings */
    double confidence;
    hr_calibration_estimate offset, exponent, floor; /* floor: of one slab; only with has_floor */
    bool has_floor;
    double offset_prior_spread_db, exponent_prior, exponent_prior_spread, floor_prior_db, floor_prior_spread_db;
    hr_fit_item *materials; /* those that a reading crosses, by index */
    size_t material_count;
    hr_fit_item *gateways;  /* those read from five places 6 m apart, where there are two or more */
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

/* ---- acceptance: the installed devices by their measured levels ---------- */

typedef enum hr_verdict { HR_VERDICT_NOT_READ = 0, HR_VERDICT_FAIL, HR_VERDICT_WEAK, HR_VERDICT_PASS } hr_verdict;
#define HR_VERDICT_COUNT 4

HR_API const char *hr_verdict_name(hr_verdict verdict); /* "not read", "fail", "weak", "pass" */

#define HR_REMARK_MAX 400

typedef struct hr_acceptance_row {
    uint32_t device;
    hr_verdict verdict;
    uint32_t reading;        /* the one that judges, HR_READINGS_NONE */
    size_t readings;         /* of the link that judges */
    double over_db;          /* level - sensitivity of the end it was measured at; NaN: not heard, or none */
    double loss_percent;     /* the most packets lost on that link; NaN: not given */
    const char *joined;      /* what it says it joined, a gateway's id or a device's name where it is one; NULL: not given */
    uint32_t planned_gateway; /* index into building->gateways, HR_READINGS_NONE: the prediction serves it not */
    uint32_t planned_via;    /* device it was to hang on, HR_READINGS_NONE: the gateway itself, or nobody */
    int as_planned;          /* 1 or 0: it joined the planned gateway, or next hop, or not; -1: not known */
    char remark[HR_REMARK_MAX]; /* in words; "" */
} hr_acceptance_row;

typedef struct hr_acceptance {
    const hr_readings *readings;
    hr_acceptance_row *rows; /* beside building->devices */
    size_t count;
    size_t verdicts[HR_VERDICT_COUNT];
    size_t elsewhere; /* joined something else than planned */
    size_t beside;    /* readings that judge nobody: of other links, between gateways, at points */
    hr_arena *arena;
} hr_acceptance;

/*
 * Judges every device by the readings of the link it uses: to the gateway it
 * joined or its next hop where that was given or planned, else the strongest.
 * The lowest reading of that link counts, in whichever direction it was taken:
 * pass from accept_pass_db above the sensitivity of the end it was measured
 * at, fail below accept_fail_db, weak between them or where more than
 * accept_loss_percent of the packets got lost. Joining what is no gateway of
 * the property fails. siting is hr_siting_rooms of the same building.
 */
HR_API hr_status hr_diagnosis_accept(const hr_readings *readings, const hr_siting *siting, hr_acceptance **acceptance,
                                     hr_error *err);
HR_API void hr_acceptance_free(hr_acceptance *acceptance);

#ifdef __cplusplus
}
#endif
#endif
