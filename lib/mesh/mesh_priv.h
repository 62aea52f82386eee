/*
 * mesh_priv.h - what the files of the mesh module share.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef MESH_PRIV_H
#define MESH_PRIV_H

#include "hr_mesh.h"

/* The widest ways and fewest hops from one gateway; reused from gateway to gateway. */
typedef struct hr_mesh_walk {
    int64_t *width;    /* per device: -1 where not reached                     */
    uint32_t *hops;    /* fewest links; 0 where not reached                    */
    uint32_t *reached; /* the devices reached, in the order met                */
    size_t reached_count;
    uint32_t *front, *next; /* devices that got better in the last and this layer */
    int64_t *front_width;   /* what they had at the end of the last layer         */
    uint8_t *in_next;
} hr_mesh_walk;

bool hr_mesh_walk_start(hr_mesh_walk *walk, size_t devices);
void hr_mesh_walk_end(hr_mesh_walk *walk);
void hr_mesh_walk_from(hr_mesh_walk *walk, const hr_mesh_net *net, size_t gateway);

/* Fewest hops from any chosen gateway, with the way that has them. before is NONE
 * for direct ones. queue (one place per device) gets those reached, nearest
 * first. hops 0: not reached. Returns how many were reached. */
size_t hr_mesh_fewest_hops(const hr_mesh_net *net, const uint32_t *chosen, size_t count, uint32_t *hops,
                           uint32_t *before, uint32_t *queue);

hr_status hr_mesh_check_chosen(const hr_mesh_net *net, const uint32_t *chosen, size_t count, hr_error *err);

/* The networks while they are being built. */
typedef struct hr_mesh_build {
    const hr_mesh_net *net;
    const uint32_t *chosen;
    size_t count;
    const hr_mesh_rules *rules;
    hr_mesh_joined *joined;
    uint32_t *level;         /* per device: the most hops it may have, so that those behind it fit      */
    uint32_t *preferred;     /* per device: the gateway the rule names; NONE: out of reach              */
    uint32_t *hops, *before; /* per device: fewest hops and the way that has them                     */
    uint32_t *queue;         /* per device                                                              */
    uint8_t *refused;        /* per device: something full was in the way                               */
    int64_t *room;           /* per gateway of the net                                                  */
} hr_mesh_build;

static inline int64_t hr_mesh_load(const hr_mesh_build *b, uint32_t device)
{
    return b->rules->load ? b->rules->load[device] : 1;
}
static inline bool hr_mesh_relay(const hr_mesh_net *net, uint32_t device)
{
    return net->relays && net->relays[device];
}
static inline bool hr_mesh_children_full(const hr_mesh_build *b, uint32_t via)
{
    return via != HR_MESH_NONE && b->rules->max_children > 0 && b->joined[via].children >= b->rules->max_children;
}
/* Hangs a device on its next hop; takes it off again. */
void hr_mesh_attach(hr_mesh_build *b, uint32_t device, uint32_t gateway, uint32_t via, int64_t own_spare);
void hr_mesh_detach(hr_mesh_build *b, uint32_t device);

/* grow.c: the preferred gateways, and the networks grown widest first. False: no memory. */
bool hr_mesh_prefer(hr_mesh_build *b);
bool hr_mesh_grow(hr_mesh_build *b);
/* room.c: room made for those who found everything full. False: no memory. */
bool hr_mesh_make_room(hr_mesh_build *b);

#endif
