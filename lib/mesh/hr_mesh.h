/*
 * hr_mesh.h - hops and relays. Numbers in, numbers out: knows neither radio nor
 * geometry.
 *
 * A net is devices, gateways (or spots where one could stand) and the spare of
 * the links between them in micro-dB (hr_micro): a link holds when its spare is
 * >= 0. A way runs from a gateway over devices that relay to a device; its
 * spare is the smallest on it, its hops the number of its links. With max_hops
 * 1 every way is one direct link and no link between devices is looked at, so
 * that a caller needs one code path only.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_MESH_H
#define HR_MESH_H

#include "hr_base.h"

#ifdef __cplusplus
extern "C" {
#endif

#define HR_MESH_NONE UINT32_MAX

/* Among gateways whose way has at most this much less spare (micro-dB) than the best, the closest is joined.
 * Common practice. */
#define HR_MESH_NEAR_BEST ((int64_t)3000000)

/*
 * The net. Arrays are the caller's and not kept. Lists may hold links that do
 * not hold (spare < 0); those are passed over. What is not a pair of the list
 * is no link at all.
 */
typedef struct hr_mesh_net {
    size_t devices, gateways;
    uint32_t max_hops;            /* links between gateway and device, >= 1                   */
    const uint8_t *relays;        /* per device: carries others; NULL: none does              */
    const size_t *entry_start;    /* gateways + 1 offsets into the two lists below            */
    const uint32_t *entry_device; /* devices a gateway may reach directly, ascending, no repeats */
    const int64_t *entry_spare;   /* beside entry_device, micro-dB                            */
    const size_t *link_start;     /* devices + 1 offsets; NULL: no links between devices      */
    const uint32_t *link_peer;    /* the other device, ascending, no repeats, not itself      */
    const int64_t *link_spare;    /* beside link_peer, micro-dB; every link is listed at both its ends with one spare */
} hr_mesh_net;

/* HR_ERR_ARGUMENT when the net is not as described above (a link listed at one
 * end only, or with two spares, too). Every function below asks for a net that
 * passes; they do not check again. */
HR_API hr_status hr_mesh_check(const hr_mesh_net *net, hr_error *err);

/* ---- who can be reached --------------------------------------------------- */

/*
 * The reach sets of all gateways, laid out as hr_placement_problem wants its
 * columns: the set of gateway g is device[start[g]] .. device[start[g + 1] - 1].
 */
typedef struct hr_mesh_reach {
    size_t *start;
    uint32_t *device; /* ascending                                                   */
    int64_t *spare;   /* widest way of at most max_hops links: its smallest spare    */
    uint8_t *direct;  /* 1: the gateway's own link to the device holds               */
    uint32_t *hops;   /* fewest links of any way                                     */
} hr_mesh_reach;

/*
 * reach(g): devices with a way of at most max_hops links from g through
 * relays. Each set is by itself: no other gateway, no limit on children.
 * HR_ERR_MEMORY, or HR_ERR_LIMIT when the sets hold 2^32 devices or more.
 */
HR_API hr_status hr_mesh_reach_all(const hr_mesh_net *net, hr_mesh_reach *reach, hr_error *err);
HR_API void hr_mesh_reach_free(hr_mesh_reach *reach);

/* ---- who joins whom --------------------------------------------------------- */

typedef struct hr_mesh_rules {
    uint32_t max_children;    /* devices whose next hop is one and the same relay; 0: no limit */
    const uint32_t *capacity; /* per gateway of the net: sum of loads it may carry; NULL or 0: no limit */
    const uint32_t *load;     /* per device; NULL: 1 each                                      */
    /* Distance between a gateway and a device in metres (finite), for the choice
     * among gateways about equally good. NULL: all count as equally far. */
    double (*distance_m)(void *user, uint32_t gateway, uint32_t device);
    void *user;
} hr_mesh_rules;

/* Why a device has no gateway. */
typedef enum hr_mesh_state {
    HR_MESH_JOINED = 0,
    HR_MESH_OUT_OF_REACH, /* in no reach set of the chosen gateways           */
    HR_MESH_NO_ROOM       /* in reach, but relays or gateways there are full  */
} hr_mesh_state;

typedef struct hr_mesh_joined {
    uint32_t gateway;  /* index in the net, or HR_MESH_NONE                                  */
    uint32_t via;      /* next hop towards it: a device, or HR_MESH_NONE: the gateway itself */
    uint32_t hops;     /* links on the way; 0: not joined                                    */
    uint32_t children; /* devices whose next hop this one is                                 */
    int64_t spare;     /* smallest on the way, micro-dB; INT64_MIN: not joined               */
    int64_t own_spare; /* of the link to the next hop; INT64_MIN: not joined                 */
    hr_mesh_state state;
} hr_mesh_joined;

/*
 * Gives every device its gateway and its next hop.
 *
 * The gateway: the one whose widest way (within max_hops, as in the reach sets)
 * has most spare; among those within HR_MESH_NEAR_BEST of it the closest; then
 * the wider way, then the lower index. The way: the widest, ties by fewer hops,
 * then the next hop of lower index (the gateway itself before any device).
 *
 * A device has one next hop, so ways share their tails: a device stays in the
 * network of its next hop and one hop further out. Where widest ways would push
 * a device beyond max_hops, the devices on its shortest way take shorter ways
 * instead; every device of a reach set is joined unless children or capacities
 * forbid it. Where a full relay or gateway is in the way, devices on it that
 * have another choice give room (exact for direct links with loads of 1, a good
 * attempt otherwise). A device whose preferred gateway cannot be had within its
 * own network joins another one.
 *
 * chosen: count gateways of the net, ascending, no repeats. joined: net->devices
 * entries, written on success only. HR_ERR_ARGUMENT, HR_ERR_MEMORY.
 */
HR_API hr_status hr_mesh_join(const hr_mesh_net *net, const uint32_t *chosen, size_t count, const hr_mesh_rules *rules,
                              hr_mesh_joined *joined, hr_error *err);

/* ---- what hangs on one device ----------------------------------------------- */

typedef struct hr_mesh_sole {
    uint32_t device;  /* the relay                                              */
    uint32_t cut_off; /* other devices left without any way when it fails       */
} hr_mesh_sole;

/*
 * Sole relays: devices whose failure leaves others, which had one, without a
 * way of at most max_hops links to any chosen gateway. Only what the radio
 * allows counts (the reach sets), not present next hops or limits: the others
 * would find new ways. Ascending by device. *list is freed with hr_free; NULL
 * and 0 when there are none. HR_ERR_ARGUMENT, HR_ERR_MEMORY.
 */
HR_API hr_status hr_mesh_sole_relays(const hr_mesh_net *net, const uint32_t *chosen, size_t count, hr_mesh_sole **list,
                                     size_t *list_count, hr_error *err);

#ifdef __cplusplus
}
#endif
#endif
