/*
 * hr_diagnosis.h - a building's own readings put to use: its terms fitted; one
 * room's links line by line, what probably ails it, what would help.
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

/* ---- one room ---------------------------------------------------------- */

/* A link of the room: a device to the gateway or the device it hangs on. */
typedef struct hr_why_link {
    uint32_t device;
    uint32_t gateway, via;  /* as hr_device_row: the far end is `via`, else the gateway */
    const char *from, *to;  /* names of the device and of its far end; to NULL: there is none */
    bool measured;          /* false: nothing to measure to, only `reason` holds */
    hr_budget budget;       /* in the weaker direction */
    double required_margin_db, spare_db; /* rounded to 1e-4; spare = margin - required of the rounded figures */
    int within_range;       /* 1, 0, or -1: the far end is no gateway */
    bool served;
    const char *reason;     /* not served: why; else "" */
} hr_why_link;

/* The room's control to one of the gateways. */
typedef struct hr_why_gateway {
    uint32_t gateway; /* index into siting->gateways, as all gateways here */
    double distance_m;
    unsigned slabs;
    double link_margin_db, spare_db;
    bool serves;      /* margin, range limit and slabs together */
} hr_why_gateway;

typedef struct hr_why {
    const hr_building *building;
    uint32_t room;
    hr_siting *siting;      /* of the gateways as they are */
    bool served;            /* every device of the room */
    hr_why_link *links;     /* beside the devices of the room */
    size_t link_count;
    uint32_t control;       /* the room's first device that joins a gateway; HR_SITING_NONE */
    hr_why_gateway *gateways; /* from the control, most to spare first; empty without a control */
    size_t gateway_count;
    uint32_t closest, best; /* gateways: straight distance, and by the rules of joining; HR_SITING_NONE */
    hr_arena *arena;
} hr_why;

/* Index of a room by its name or by that of one of its devices. HR_ERR_USAGE with the nearest name. */
HR_API hr_status hr_diagnosis_room(const hr_building *building, const char *name, uint32_t *room, hr_error *err);

/*
 * Everything about one room of a building with gateways. HR_ERR_INPUT without
 * gateways or for a room that holds no device.
 */
HR_API hr_status hr_diagnosis_why(const hr_links *links, const hr_building *building, uint32_t room, hr_notes *notes,
                                  hr_why **why, hr_error *err);
HR_API void hr_why_free(hr_why *why);

#ifdef __cplusplus
}
#endif
#endif
