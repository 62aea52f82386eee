/* siting_priv.h - shared by the files of this module only.
 * SPDX-License-Identifier: MIT */
#ifndef SITING_PRIV_H
#define SITING_PRIV_H

#include "hr_coverage.h"
#include "hr_mesh.h"
#include "hr_siting.h"

/* A place that may be chosen, or that has a gateway already. */
typedef struct siting_site {
    hr_site site;
    const hr_spot *spot;       /* NULL: an existing gateway off the spots */
    const hr_gateway *gateway; /* NULL: a free spot                       */
} siting_site;

typedef struct siting_sites {
    siting_site *items;
    size_t count, cap;
    size_t in_keep_out, near_metal; /* spots left out */
} siting_sites;

/* Existing gateways first, then (with_spots) every spot the rules of the site allow. */
hr_status siting_gather(const hr_building *building, bool with_spots, siting_sites *sites, hr_error *err);

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

hr_status siting_net_new(const hr_building *building, const hr_links *links, const siting_sites *sites,
                         const uint32_t *devices, size_t device_count, siting_net *net, hr_error *err);
void siting_net_free(siting_net *net);

/* Everything that a run works with. */
typedef struct siting_run {
    const hr_building *building;
    hr_links *links;
    siting_sites sites;
    uint32_t *devices; /* that join a gateway; rows of the net */
    size_t device_count;
    siting_net net;
    hr_siting *siting;
    hr_notes *notes;
    hr_error *err;
} siting_run;

hr_status siting_run_start(const hr_building *building, bool with_spots, hr_notes *notes, siting_run *run, hr_error *err);
/* Frees all but the answer, which is freed too unless status is HR_OK. */
hr_status siting_run_end(siting_run *run, hr_status status, hr_siting **siting);

/*
 * Settles gateways, rows, rooms and counts for the chosen sites (ascending
 * indices of run->sites).
 */
hr_status siting_assess(siting_run *run, const uint32_t *chosen, size_t count);

/* Chosen sites into gateways; gateway_of_site gets the index of each chosen one. */
hr_status siting_set_gateways(siting_run *run, const uint32_t *chosen, size_t count, uint32_t *gateway_of_site);

/* Devices that talk to another device of their room, once those are settled. */
hr_status siting_assess_joined(siting_run *run, hr_link_work *work);
/* Rooms, gateway counts and warnings from the device rows. */
void siting_judge_rooms(siting_run *run);

/* A radio's share of a gateway's capacity: itself and what joins its room's devices through it. */
hr_status siting_loads(const siting_run *run, uint32_t **load);

#endif
