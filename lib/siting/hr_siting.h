/*
 * hr_siting.h - from a building and its rules to gateways, who joins whom, and
 * the reasons where somebody joins nobody.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_SITING_H
#define HR_SITING_H

#include "hr_base.h"
#include "hr_building.h"
#include "hr_links.h"

#ifdef __cplusplus
extern "C" {
#endif

#define HR_SITING_NONE UINT32_MAX
#define HR_REASON_MAX 600

/* A gateway of the answer. */
typedef struct hr_sited_gateway {
    const char *id;
    const char *spot;       /* id of its spot, NULL for one that is on no spot */
    const char *network_id;
    uint32_t storey;
    hr_point at;
    double mount_height_m, z_m;
    bool existing;
    size_t devices;        /* radios it carries, hopping and joined ones too */
    size_t direct_devices; /* devices whose next hop it is                   */
    const char *label;     /* of its spot, NULL for one that is on no spot   */
    double spot_cost;      /* by its label; an existing gateway costs 0      */
    /* for whoever hangs it */
    uint32_t nearest_room;     /* index into building->rooms, HR_SITING_NONE: none on its storey */
    double wall_m[2];          /* to the centre lines of two walls at an angle; NaN: none */
    const char *wall_side[2];  /* where that wall is, in the drawing: "left", "right", "up", "down"; NULL: none */
    const char *closet;        /* nearest network connection, NULL: none is drawn */
    double cable_m;            /* from there: route, risers, drop and slack; NaN: none is drawn */
    bool cable_too_long;       /* beyond cable_limit */
    const char *power;         /* how it is fed, in words */
} hr_sited_gateway;

/* What one gateway is for: figures of the same building without it. */
typedef struct hr_gateway_reason {
    size_t only_it;             /* radios that no other gateway of the answer reaches */
    size_t devices_lost;        /* no longer served */
    size_t rooms_lost;
    double smallest_spare_db;   /* of those still served; NaN: none */
} hr_gateway_reason;

/* At most so many gateways, and what the best choice found serves. */
typedef struct hr_count_row {
    size_t gateways, devices_served;
    size_t devices_covered;   /* served and in reach of `cover` gateways */
    double smallest_spare_db; /* of those served; NaN: none */
    double expected_failing_rooms;
} hr_count_row;

/* What another max_slabs would need. */
typedef struct hr_slab_row {
    long max_slabs;
    size_t gateways;
    uint64_t lower_bound;
    bool proved_fewest, in_force;
    size_t unserved; /* devices that join a gateway and have no spot */
} hr_slab_row;

/* A device of the answer. */
typedef struct hr_device_row {
    uint32_t device;
    uint32_t gateway;    /* index into gateways, HR_SITING_NONE */
    uint32_t via;        /* device it hangs on, HR_SITING_NONE: the gateway itself */
    unsigned hops;       /* links up to the gateway; 0 when there is none */
    bool has_link;       /* link holds its own link to via (unserved: its best direct one) */
    hr_link link;
    double spare_db;     /* smallest on the way */
    double reliability;  /* product over the way */
    int within_range;    /* 1, 0, or -1 where it does not apply */
    uint32_t closest;    /* the closest gateway when it is not the joined one, else HR_SITING_NONE */
    uint32_t in_reach;   /* gateways it could join, directly or by hops; a joined device: its parent's */
    bool served;
    char reason[HR_REASON_MAX]; /* unserved: why, in words; else "" */
} hr_device_row;

/* A device that relays and whose failure would cut others off from every gateway. */
typedef struct hr_sole_relay {
    uint32_t device;
    uint32_t cut_off; /* how many others */
} hr_sole_relay;

/* A room's row is its worst device. */
typedef struct hr_room_row {
    uint32_t room;
    uint32_t device_row; /* index into devices; HR_SITING_NONE: the room holds no device */
    bool served;
} hr_room_row;

typedef struct hr_siting {
    hr_sited_gateway *gateways;
    size_t gateway_count;
    hr_device_row *devices; /* beside building->devices */
    size_t device_count;
    hr_room_row *rooms;     /* beside building->rooms */
    size_t room_count;
    double expected_failing_rooms;
    size_t served_devices;
    double required_margin_db; /* NaN when it differs by link */
    hr_sole_relay *sole_relays; /* most cut off first */
    size_t sole_relay_count;
    hr_gateway_reason *reasons; /* beside gateways; NULL unless asked for */
    /* of hr_siting_rooms with gateways that are down */
    const char **without; /* their ids */
    size_t without_count;
    uint32_t *failing; /* devices served with all gateways and not without these */
    size_t failing_count;
    /* of hr_siting_place only */
    bool placed;
    size_t spots_considered;
    size_t without_room; /* devices in reach that capacity or max_children leave out */
    uint64_t lower_bound;
    bool proved_fewest;
    bool clock_stopped;
    uint32_t at_most; /* the budget where it left devices out, else 0 */
    bool most_proved; /* no choice within the budget serves more */
    hr_count_row *by_count;
    size_t by_count_count;
    hr_slab_row *by_slabs;
    size_t by_slabs_count;
    hr_arena *arena;
} hr_siting;

typedef struct hr_siting_options {
    uint64_t effort;  /* search steps, 0: default */
    double seconds;   /* safety stop, 0: none */
    /* false stops with HR_ERR_INTERRUPTED */
    bool (*progress)(void *user, const char *stage, uint64_t done, uint64_t total);
    void *user;
    uint32_t at_most;          /* gateways, existing ones among them; 0: as many as are needed */
    const char *const *must;   /* ids of spots that are taken in any case */
    size_t must_count;
    const char *const *never;  /* ids of spots that are not taken */
    size_t never_count;
    const char *const *without; /* hr_siting_rooms: ids of gateways that are down */
    size_t without_count;
    bool reasons; /* fill hr_siting.reasons */
    bool tables;  /* hr_siting_place: fill by_count and by_slabs */
} hr_siting_options;

/* Chooses gateways among the building's spots, keeping those that exist. */
HR_API hr_status hr_siting_place(const hr_building *building, const hr_siting_options *options, hr_notes *notes,
                                 hr_siting **siting, hr_error *err);

/* The room-by-room figures for the building's own gateways (marked or listed). */
HR_API hr_status hr_siting_rooms(const hr_building *building, const hr_siting_options *options, hr_notes *notes,
                                 hr_siting **siting, hr_error *err);

/* Whether each of the building's spots may take another gateway: no keep-out, clear of metal, no gateway there yet,
 * with strict within cable_limit. `allowed` has room for spot_count. */
HR_API hr_status hr_siting_allowed_spots(const hr_building *building, bool *allowed, hr_error *err);

/* What a row's own link leads to: the device it hangs on, else its gateway (the row has one of them). */
HR_API hr_end hr_siting_far_end(const hr_building *building, const hr_siting *siting, const hr_device_row *row);
/* Its name; NULL where the row has neither. */
HR_API const char *hr_siting_far_name(const hr_building *building, const hr_siting *siting, const hr_device_row *row);

HR_API void hr_siting_free(hr_siting *siting);

/* ---- the same spots and devices under many sets of links -------------------- */

/*
 * Spots, rules, capacities and cables of a building made ready once; the
 * spares of the links are the caller's, who may ask as often as he likes with
 * others. With the spares that hr_links_measure gives, hr_siting_study_place
 * chooses what hr_siting_place does.
 */
typedef struct hr_siting_study hr_siting_study;

typedef struct hr_study_site {
    hr_point at;
    double z_m;
    uint32_t storey;
    bool existing;
    double cable_m;         /* route, risers, drop and slack; NaN: no connection is drawn */
    uint32_t closet_storey; /* of the nearest connection */
    uint32_t closet;        /* index of its mark in that storey's plan */
} hr_study_site;

/* Spare of every link in micro-dB (hr_micro). */
typedef struct hr_study_links {
    const int64_t *spare;      /* sites x rows; below 0: does not hold (range limit and max_slabs are the caller's) */
    const size_t *link_start;  /* between rows, as hr_mesh_net has them; NULL: none */
    const uint32_t *link_peer;
    const int64_t *link_spare;
} hr_study_links;

/* Where a row hangs. */
typedef struct hr_study_joined {
    uint32_t site; /* HR_SITING_NONE: not joined */
    uint32_t via;  /* row, HR_SITING_NONE: the gateway itself */
    uint32_t hops;
    int64_t own_spare; /* of the link to the next hop; INT64_MIN: not joined */
} hr_study_joined;

/* Keeps pointers to building and options (must, never; effort and at_most are given with each question). */
HR_API hr_status hr_siting_study_new(const hr_building *building, const hr_siting_options *options, hr_notes *notes,
                                     hr_siting_study **study, hr_error *err);
HR_API void hr_siting_study_free(hr_siting_study *study);
HR_API size_t hr_siting_study_site_count(const hr_siting_study *study);
HR_API hr_study_site hr_siting_study_site(const hr_siting_study *study, size_t site);
/* The devices that join a gateway, by row. */
HR_API const uint32_t *hr_siting_study_rows(const hr_siting_study *study, size_t *count);
HR_API const hr_links *hr_siting_study_links_of(const hr_siting_study *study);

/* Takes these links from now on (copied but for those between rows). blocked (per
 * site, NULL: none): sites that cannot be taken and reach nobody. */
HR_API hr_status hr_siting_study_set(hr_siting_study *study, const hr_study_links *links, const uint8_t *blocked,
                                     hr_error *err);
/* Whether any site reaches the row, directly or by hops. */
HR_API bool hr_siting_study_reaches(const hr_siting_study *study, size_t row);
/*
 * The fewest sites (at_most > 0: no more than that). chosen has room for every
 * site and gets them ascending. effort as in hr_siting_options. proved (NULL:
 * not asked): no fewer will do.
 */
HR_API hr_status hr_siting_study_place(hr_siting_study *study, uint32_t at_most, uint64_t effort, uint32_t *chosen,
                                       size_t *count, bool *proved, hr_error *err);
/* Who joins whom with these sites; joined has an entry for every row. */
HR_API hr_status hr_siting_study_join(hr_siting_study *study, const uint32_t *chosen, size_t count,
                                      hr_study_joined *joined, hr_error *err);

/* Where to hold a tape measure: from a place to the centre lines of two walls at an angle. */
typedef struct hr_tape {
    double wall_m[2];         /* NaN: none */
    const char *wall_side[2]; /* as hr_sited_gateway */
} hr_tape;

HR_API hr_tape hr_siting_tape(const hr_building *building, uint32_t storey, hr_point at);

#ifdef __cplusplus
}
#endif
#endif
