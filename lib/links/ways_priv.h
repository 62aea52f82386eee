/* ways_priv.h - the model routes: where ways bend, legs between bends.
 * SPDX-License-Identifier: MIT */
#ifndef WAYS_PRIV_H
#define WAYS_PRIV_H

#include "links_priv.h"

/* Bends are taken at this height above the floor, inside a door's heights; assumed:
 * between a wall control and a gateway over the door heads. */
#define WAYS_BEND_HEIGHT_M 1.5
/* Bends that are looked at on one storey; more are left out, and it is said. */
#define WAYS_BENDS_MAX 400

/* A place where a way may turn. */
typedef struct link_bend {
    hr_point at;
    double height_m;    /* above the floor */
    hr_bend_kind kind;
    uint32_t opening;   /* door: index in the plan */
    double through_db;  /* door: what its leaf costs */
} link_bend;

/* A straight piece of a way. */
typedef struct link_leg {
    double length_m;                /* in space */
    double loss_db;                 /* walls, floors, metal and rooms */
    double wall_db, floor_db, metal_db, room_m;
    double longest_m;               /* stretch in one corridor */
    double first_m, last_m;         /* stretch in a corridor that begins at its start, that ends at its end */
    uint32_t first, last;           /* which corridor (space of the plan), HR_PLAN_NONE */
    unsigned walls, beyond;
} link_leg;

/* The bends of storeys that are alike, and all legs between them. */
typedef struct link_ways {
    link_bend *bends;
    size_t count, left_out;
    uint32_t storey;       /* they were measured on: the lowest of those alike */
    double floor_m;        /* of that storey */
    link_leg *legs[2];     /* [even]: p < q at q (q - 1) / 2 + p, from p to q */
    double *loss_db[2];    /* [even]: of the same, p * count + q, for the search to run through */
} link_ways;

/* bends.c */
hr_status link_find_bends(const hr_links *links, uint32_t storey, link_ways *ways, hr_error *err);

/* legs.c */
/* Straight from one end to another: its first and last as the caller names the ends. */
hr_status link_measure_leg(const hr_links *links, hr_link_work *work, const hr_end *from, const hr_end *to, bool even,
                           link_leg *leg, hr_error *err);
/* The same for a ray in hand; items of the ray come after the `keep` first. */
hr_status link_leg_of_ray(const link_ray *ray, size_t keep, link_leg *leg);
link_leg link_leg_back(const link_leg *leg);
/* Longest stretch in one corridor along a chain of legs. */
double link_corridor_m(const link_leg *const *legs, size_t count);

/* ways.c */
hr_end link_bend_end(const link_ways *ways, size_t bend, double floor_m);
/* The leg between two bends, from p to q. */
link_leg link_mid_leg(const link_ways *ways, bool even, size_t p, size_t q);

#endif
