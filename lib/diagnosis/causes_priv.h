/* causes_priv.h - the comparison of causes; shared by the files of this module only.
 * SPDX-License-Identifier: MIT */
#ifndef CAUSES_PRIV_H
#define CAUSES_PRIV_H

#include "hr_base.h"
#include "hr_diagnosis.h"

/* ---- cause_tables.c ---- */

typedef enum why_cause {
    WHY_NOT_POWERED = 0,
    WHY_WRONG_NETWORK,
    WHY_GATEWAY_DOWN,
    WHY_ENCLOSED,
    WHY_METAL,
    WHY_GATEWAY_ANTENNA,
    WHY_WALL,
    WHY_AS_PREDICTED,
    WHY_INTERFERENCE,
    WHY_CAUSES
} why_cause;

typedef enum why_check {
    WHY_LOOK_CONTROL = 0,
    WHY_FREE_ANTENNA,
    WHY_LOOK_GATEWAY,
    WHY_AS_PLANNED,
    WHY_COUNT_PACKETS,
    WHY_EITHER_SIDE,
    WHY_CARRY_ROUND,
    WHY_CHECKS
} why_check;

typedef enum why_remedy_kind {
    WHY_REMEDY_FREE = 0,
    WHY_REMEDY_JOIN,
    WHY_REMEDY_MOVE_CONTROL,
    WHY_REMEDY_RELAY,
    WHY_REMEDY_MOVE_GATEWAY,
    WHY_REMEDY_ADD_GATEWAY,
    WHY_REMEDIES
} why_remedy_kind;

typedef struct why_cause_row {
    double prior, shift_db, spread_db, mute, planned, other, none;
    double loss_percent; /* NaN: as without a fault */
} why_cause_row;

typedef struct why_tables {
    why_cause_row causes[WHY_CAUSES];
    struct {
        double minutes;
        unsigned shows; /* bit 1 << why_cause */
    } checks[WHY_CHECKS];
    double remedy_minutes[WHY_REMEDIES];
    double lost_minutes; /* to another round, when a look shows nothing */
    double least_as_predicted, offset_spread_db, fitted_offset_spread_db;
    double weak_planned, weak_other, slip, clear_loss_percent, loss_spread, gross_share, gross_spread_db;
} why_tables;

hr_status why_tables_read(why_tables *tables, hr_error *err);
const char *why_cause_name(why_cause cause);
const char *why_check_name(why_check check);
const char *why_remedy_name(why_remedy_kind kind);

/* ---- judge.c: numbers in, likelihoods out ---- */

/* One observed level, as the comparison sees it. */
typedef struct why_level {
    bool heard;
    double beside_db; /* heard: level - prediction; not heard: threshold - prediction */
    double sigma_db;
    double share;     /* of the cause's shift that this link pays: 0, 1, ... */
    bool muted;       /* the cause may silence it */
} why_level;

typedef enum why_joined { WHY_JOINED_UNKNOWN = 0, WHY_JOINED_PLANNED, WHY_JOINED_OTHER, WHY_JOINED_NONE } why_joined;

/* The level of one link over what is needed. */
typedef struct why_over {
    double needed_db; /* as predicted: level - sensitivity - noise rise */
    double sigma_db;
    double share;     /* of the cause's shift */
    double seen_db;   /* as measured; NaN: not measured */
    bool not_seen;    /* measured as not heard */
} why_over;

/* One way that the observations could have come about. */
typedef struct why_story {
    const why_cause_row *row;
    const why_level *levels;
    size_t count;
    why_over planned, used; /* the planned link, for joining; the one in use, for packets lost */
    why_joined joined;
    const why_cause_row *joined_row; /* where the control is joined while its link is not silenced */
    bool control_muted;     /* silence is the control's */
    double loss_percent;    /* NaN: not known */
    double offset_spread_db;
} why_story;

/* Logarithm of the likelihood; *shift_db (may be NULL) gets the shift to be expected now. */
double why_judge(const why_tables *tables, const why_story *story, double *shift_db);

#endif
