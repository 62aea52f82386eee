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

/* What is known beside the plan. Initialise with {.quality = NAN, .loss_percent = NAN}. */
typedef struct hr_why_evidence {
    /* "DBM": the level of the room's control at the gateway it joined, else the planned one; "DEVICE=DBM": of a device
     * of the room at the far end of its own link */
    const char *const *rssi;
    size_t rssi_count;
    bool not_heard;          /* the control, at that gateway */
    const char *joined;      /* a gateway's id or "none"; NULL: not known */
    const char *door;        /* "open" or "shut" while levels were read; NULL: shut */
    double quality;          /* a figure of the control's own scale, in place of a level */
    const char *quality_map; /* "0=-100,5=-50": what its figures mean in dBm, straight lines between */
    double loss_percent;     /* packets lost on the control's link */
    const hr_readings *readings; /* levels of the room and its neighbours; NULL: none */
    const hr_siting *siting; /* of the same building's gateways, computed before; NULL: computed here */
    bool no_remedies;        /* causes only */
} hr_why_evidence;

/* An observed level. */
typedef struct hr_why_level {
    const char *from, *to;
    bool own;                /* one end is a device of the room */
    bool heard;
    double level_dbm;        /* NaN: not heard */
    double threshold_dbm, predicted_dbm, sigma_db;
} hr_why_level;

/* A possible cause; causes stand most probable first, and probabilities of 1e-9 add up to 1. */
typedef struct hr_why_cause {
    const char *cause;       /* "enclosed-antenna" */
    const char *words;       /* for people, with the names of what it concerns */
    double probability;
    const char *evidence;    /* what speaks for or against it */
} hr_why_cause;

typedef struct hr_why_remedy {
    const char *kind;        /* "join-gateway" */
    const char *words;
    double gain_db;          /* spare after - spare before; a served link may change with it */
    double spare_after_db;   /* smallest spare of the links it concerns, computed anew */
    double minutes;          /* effort, assumed */
} hr_why_remedy;

/* Before so many levels were read no wall is blamed. Common practice. */
#define HR_WHY_LEVELS_FOR_WALLS 5

typedef struct hr_why {
    const hr_building *building;
    uint32_t room;
    const hr_siting *siting; /* of the gateways as they are */
    hr_siting *own_siting;  /* the same where it was computed here */
    bool served;            /* every device of the room */
    hr_why_link *links;     /* beside the devices of the room */
    size_t link_count;
    uint32_t control;       /* the room's first device that joins a gateway; HR_SITING_NONE */
    hr_why_gateway *gateways; /* from the control, most to spare first; empty without a control */
    size_t gateway_count;
    uint32_t closest, best; /* gateways: straight distance, and by the rules of joining; HR_SITING_NONE */
    uint32_t planned;       /* gateway the control is meant for: the predicted one; HR_SITING_NONE */
    hr_why_level *levels;
    size_t level_count;
    const char *as_read;    /* what the room's links have to spare by the levels read, in words; "": nothing was heard */
    bool door_open;
    hr_why_cause *causes;
    size_t cause_count;
    const char *check;      /* what to look at first, by its name in the table of checks: "look-at-control" */
    const char *first_step; /* the same in words */
    bool cannot_tell;       /* it is there to find out more: no cause leads */
    hr_why_remedy *remedies; /* most gain per effort first */
    size_t remedy_count;
    hr_arena *arena;
} hr_why;

/* Index of a room by its name or by that of one of its devices. HR_ERR_USAGE with the nearest name. */
HR_API hr_status hr_diagnosis_room(const hr_building *building, const char *name, uint32_t *room, hr_error *err);

/*
 * Everything about one room of a building with gateways; evidence may be NULL.
 * HR_ERR_INPUT without gateways or for a room that holds no device, HR_ERR_USAGE
 * for evidence that cannot be understood.
 */
HR_API hr_status hr_diagnosis_why(const hr_links *links, const hr_building *building, uint32_t room,
                                  const hr_why_evidence *evidence, hr_notes *notes, hr_why **why, hr_error *err);
HR_API void hr_why_free(hr_why *why);

#ifdef __cplusplus
}
#endif
#endif
