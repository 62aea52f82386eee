/* diagnosis_priv.h - shared by the files of this module only.
 * SPDX-License-Identifier: MIT */
#ifndef DIAGNOSIS_PRIV_H
#define DIAGNOSIS_PRIV_H

#include "causes_priv.h"
#include "hr_diagnosis.h"

/* A wall on the planned way of the room's control. */
typedef struct why_wall {
    uint32_t storey, index, material;
    hr_point at;
} why_wall;

#define WHY_WALLS_MAX 12

/* What one observed level is about, beside hr_why.levels. */
typedef struct why_seen {
    uint32_t device[2];   /* of the room, at either end; HR_SITING_NONE */
    uint32_t gateway;     /* at either end; HR_SITING_NONE */
    double walls[WHY_WALLS_MAX]; /* how often it crosses each */
    double need_dbm;      /* sensitivity of where it was read, and the noise rise */
} why_seen;

/* What one diagnosis works with. */
typedef struct why_run {
    const hr_links *links;
    const hr_building *building;
    hr_link_work work;
    hr_why *why;
    const hr_why_evidence *evidence;
    why_tables tables;
    why_wall walls[WHY_WALLS_MAX];
    size_t wall_count;
    why_seen *seen;       /* beside why->levels */
    size_t level_cap, seen_cap;
    why_joined joined;
    uint32_t joined_gateway; /* HR_SITING_NONE */
    double shift_db[WHY_CAUSES]; /* expected now, of the likeliest story of each cause */
    int order[WHY_CAUSES]; /* causes, most probable first */
    uint32_t concerned[WHY_CAUSES]; /* device, wall or gateway of that story */
    uint32_t also[WHY_CAUSES];      /* a second device that the levels hardly tell from it; HR_SITING_NONE */
    hr_link planned_link;
    bool has_planned;
    hr_error *err;
} why_run;

/* ---- budget.c ---- */

/* The links of the room line by line, and its control to every gateway. */
hr_status why_measure_links(why_run *run);
hr_status why_measure_gateways(why_run *run);
/* What decides whether a direct link serves. */
bool why_serves(const hr_building *building, const hr_link *link);
hr_end why_gateway_end(const why_run *run, uint32_t gateway);
/* The device that the room's control hangs on; HR_SITING_NONE: a gateway, or there is no control. */
uint32_t why_control_via(const why_run *run);

/* ---- evidence.c ---- */

hr_status why_gather_evidence(why_run *run);

/* ---- as_read.c: what the levels say by themselves ---- */

hr_status why_say_levels(why_run *run);

/* ---- causes.c ---- */

hr_status why_weigh_causes(why_run *run);
double why_probability(const why_run *run, why_cause cause);
/* ---- steps.c: words for causes, and what to look at first ---- */
hr_status why_say_causes(why_run *run);
hr_status why_choose_step(why_run *run);
/* ---- rules.c: where common practice hangs no radio ---- */

/* At an outer wall, by a window, a vent or other metal. */
bool why_breaks_rule(const hr_building *building, uint32_t storey, hr_point at, double mount_height_m);

/* ---- remedies.c and remedy_gateways.c ---- */

/* What a remedy makes of the room: smallest spare of its links. */
typedef struct why_offer {
    bool found;
    double spare_db;
    bool serves;      /* range limit and slabs kept, nothing short */
    hr_text words;
} why_offer;

hr_status why_offer_remedies(why_run *run);
/* Smallest spare of the room's other links (those not of the control to its gateway); INFINITY: none. */
double why_others_spare_db(const why_run *run);
hr_status why_offer_move_gateway(why_run *run, double device_loss_db, why_offer *offer);
hr_status why_offer_add_gateway(why_run *run, double device_loss_db, why_offer *offer);
hr_status why_offer_relay(why_run *run, double device_loss_db, why_offer *offer);
void why_add_place(const why_run *run, uint32_t storey, hr_point at, hr_text *out);

/* The text's copy in the arena of the answer; frees the text. NULL when memory ran out. */
const char *why_keep(why_run *run, hr_text *text);

#endif
