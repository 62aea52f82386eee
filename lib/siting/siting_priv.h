/* siting_priv.h - shared by the files of this module only.
 * SPDX-License-Identifier: MIT */
#ifndef SITING_PRIV_H
#define SITING_PRIV_H

#include "hr_coverage.h"
#include "hr_mesh.h"
#include "hr_placement.h"
#include "hr_siting.h"

/* Limits on slabs in the table beside the answer: from 0 up, so many. */
#define SITING_SLABS_SHOWN 3

/* ---- cable.c: to the nearest network connection ---- */

typedef struct siting_cable siting_cable;

typedef struct siting_cable_run {
    double length_m;         /* NaN: no connection is drawn */
    uint32_t storey, mark;   /* of the connection */
} siting_cable_run;

hr_status siting_cable_new(const hr_building *building, siting_cable **cable, hr_error *err);
void siting_cable_free(siting_cable *cable);
siting_cable_run siting_cable_to(const siting_cable *cable, uint32_t storey, hr_point at);
/* Beyond cable_limit; false where no connection is drawn. */
bool siting_cable_too_long(const hr_building *building, const siting_cable_run *run);

/* ---- sites.c: where gateways are and could go ---- */

/* Why a spot was left out. */
typedef enum siting_left_out {
    SITING_KEPT = 0,
    SITING_IN_KEEP_OUT,
    SITING_NEAR_METAL,
    SITING_CABLE_TOO_LONG,
    SITING_NEVER
} siting_left_out;

/* A place that may be chosen, or that has a gateway already. */
typedef struct siting_site {
    hr_site site;
    const hr_spot *spot;       /* NULL: an existing gateway off the spots */
    const hr_gateway *gateway; /* NULL: a free spot                       */
    bool must;                 /* asked for                               */
    bool down;                 /* asked to be left out of what works      */
    siting_left_out left_out;  /* of siting_sites.out only                */
} siting_site;

typedef struct siting_sites {
    siting_site *items;
    size_t count, cap;
    siting_site *out; /* spots that a rule of the site leaves out */
    size_t out_count, out_cap;
} siting_sites;

/* Existing gateways first, then (with_spots) every spot the rules of the site allow. */
hr_status siting_gather(const hr_building *building, const hr_siting_options *options, const siting_cable *cable,
                        bool with_spots, siting_sites *sites, hr_error *err);
void siting_sites_free(siting_sites *sites);
const char *siting_site_id(const siting_site *site);
/* What the property says a spot costs. */
double siting_spot_cost(const hr_building *building, const hr_spot *spot);

/* ---- reasons.c ---- */

/* Why a direct link does not serve, or SITING_SERVES. */
typedef enum siting_verdict {
    SITING_SERVES = 0,
    SITING_BEYOND_RANGE,
    SITING_TOO_MANY_SLABS,
    SITING_NO_MARGIN
} siting_verdict;

siting_verdict siting_judge(const hr_radio *radio, const hr_link *link);

/* Words for an unserved device: `to` is the far end's id; lengths in the property's unit. */
void siting_explain(const hr_building *building, const hr_link *link, const char *to, bool any_spot,
                    char reason[HR_REASON_MAX]);
/* Appends "; words". */
void siting_add_words(hr_device_row *row, const char *words);
/* A mesh found no way to it. */
void siting_add_hops_words(const hr_building *building, hr_device_row *row);

/* ---- net.c ---- */

/* Devices that join a gateway, in order. *count may be 0. */
hr_status siting_joining_devices(const hr_building *building, uint32_t **devices, size_t *count, hr_error *err);

/* The links that hold, as numbers for the mesh. */
typedef struct siting_net {
    hr_mesh_net mesh;
    hr_coverage *coverage; /* sites x joining devices */
    uint8_t *relays;
    size_t *entry_start, *link_start;
    uint32_t *entry_device, *link_peer;
    int64_t *entry_spare, *link_spare;
} siting_net;

struct siting_run;
hr_status siting_net_new(const struct siting_run *run, siting_net *net);
void siting_net_free(siting_net *net);
/* The direct links again for another max_slabs. */
hr_status siting_net_entries(siting_net *net, long max_slabs, hr_error *err);
/* Room for so many direct links; the caller fills them in and says where each site's begin. */
hr_status siting_net_make_entries(siting_net *net, size_t sites, size_t count, hr_error *err);
/* links.c: the links between devices that hold. */
hr_status siting_net_links(const struct siting_run *run, siting_net *net);

/* ---- loads.c ---- */

/* What a gateway may carry, in the one unit that binds: radios, or messages in the air. */
typedef struct siting_limits {
    uint32_t *load;    /* per row of the net */
    uint32_t capacity;
    uint64_t air_cap;  /* messages (one per device and hop) that the duty cycle allows a radio; 0: not checked */
} siting_limits;

hr_status siting_limits_new(const struct siting_run *run, siting_limits *limits);

/* ---- a run ---- */

/* Everything that a run works with. */
typedef struct siting_run {
    const hr_building *building;
    const hr_siting_options *options;
    hr_links *links;
    siting_cable *cable;
    siting_sites sites;
    uint32_t *devices; /* that join a gateway; rows of the net */
    size_t device_count;
    siting_net net;
    hr_mesh_reach reach; /* of every site */
    siting_limits limits;
    hr_siting *siting;
    hr_notes *notes;
    hr_error *err;
    bool brief;           /* figures only: no words, no warnings, no sole relays */
    size_t without_room;  /* of the last assessment: devices in reach that found no room */
    size_t excess;        /* of the last assessment: what gateways carry more than they may */
    hr_link_work work;    /* of all assessments: what a link was found to meet is not looked for again */
} siting_run;

hr_status siting_run_start(const hr_building *building, const hr_siting_options *options, bool with_spots,
                           hr_notes *notes, siting_run *run, hr_error *err);
/* Links, reach sets and limits of the sites. */
hr_status siting_run_measure(siting_run *run);
/* Frees all but the answer, which is freed too unless status is HR_OK. */
hr_status siting_run_end(siting_run *run, hr_status status, hr_siting **siting);
hr_siting *siting_new(const hr_building *building);

/*
 * Settles gateways, rows, rooms and counts for the chosen sites (ascending
 * indices of run->sites). Replaces what an earlier call settled.
 */
hr_status siting_assess(siting_run *run, const uint32_t *chosen, size_t count);

/* The figures of other gateways, beside the answer: brief, and freed by the caller. */
hr_status siting_assess_aside(siting_run *run, const uint32_t *chosen, size_t count, hr_siting **siting);
/* Smallest spare of the devices served; NaN: none is. */
double siting_smallest_spare_db(const hr_siting *siting);

/* Chosen sites into gateways; gateway_of_site gets the index of each chosen one. */
hr_status siting_set_gateways(siting_run *run, const uint32_t *chosen, size_t count, uint32_t *gateway_of_site);

/* Nearest room, two walls, closet, cable and power of a gateway; false when memory runs out. */
bool siting_find_beside(const siting_run *run, hr_sited_gateway *gateway);

/* Devices that talk to another device of their room, once those are settled. */
hr_status siting_assess_joined(siting_run *run, hr_link_work *work);
/* Rooms, gateway counts and warnings from the device rows. */
void siting_judge_rooms(siting_run *run);
/* checks.c: first_devices, cover, capacity, air and cables of what was settled, in warnings. */
hr_status siting_check_rules(siting_run *run);

/* ---- cover.c: the cover problem and its answer ---- */

/* One question to the solver. */
typedef struct siting_question {
    const hr_mesh_reach *reach;
    uint32_t at_most;
    uint32_t capacity; /* 0: as the limits say */
    uint64_t effort;   /* 0: as the options say */
    uint32_t need;     /* gateways for each device; 0: as `cover` says */
    const uint8_t *keep; /* per site: taken in any case; NULL: as the rules of the site say */
    bool loose_first;  /* first_devices does not bind */
} siting_question;

/* budget.c: what capacity left of question->at_most, given to those without a gateway. */
hr_status siting_fill_budget(siting_run *run, const siting_question *question, hr_placement_result *result);
hr_status siting_solve(siting_run *run, const siting_question *question, hr_placement_result *result);

/* ---- place.c ---- */

/* Capacities tried in turn, as shares of what the property says. */
#define SITING_SHARES 8
extern const double siting_shares[SITING_SHARES];
/* Settles what a share of the capacity takes; first_devices gives way where it alone forbids what reaches. */
hr_status siting_solve_share(siting_run *run, double share, bool loose_first, hr_placement_result *result);
/* Whether there is any place at all; what the rules of the site leave out is noted. */
hr_status siting_check_sites(siting_run *run);

/* ---- tables.c: figures beside the answer ---- */

/* cover above 1: whether the others can really take over what one gateway carries; a warning where not. */
hr_status siting_check_backup(siting_run *run, const uint32_t *chosen, size_t count);
hr_status siting_give_reasons(siting_run *run, const uint32_t *chosen, size_t count);
hr_status siting_count_table(siting_run *run, const uint32_t *chosen, size_t count);
hr_status siting_slab_table(siting_run *run);
/* explain.c: words for what the answer leaves out. */
hr_status siting_explain_answer(siting_run *run, const hr_placement_result *result);

#endif
