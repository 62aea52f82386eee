/*
 * hotels.h - made-up hotels as covering problems, for tests and timing by hand.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HOTELS_H
#define HOTELS_H

#include "hr_placement.h"

typedef struct hotel_plan {
    uint32_t floors, rooms; /* rooms a floor, half of them on either side of the corridor */
    uint32_t need;          /* gateways per device */
    double spot_every_m;
    double budget_db; /* largest path loss that serves */
    double sigma_db;  /* shadowing, drawn for each link by itself */
    double floor_db;  /* loss of a slab */
    uint32_t seed;
} hotel_plan;

typedef struct hotel {
    hr_placement_problem problem;
    size_t *start;
    uint32_t *row;
    int64_t *quality;
    uint32_t *need;
} hotel;

/* Two devices a room (door, and a random place inside), spots along the corridor's
 * ceiling and two closets a floor. False: no memory. */
bool hotel_make(const hotel_plan *plan, hotel *made);
void hotel_free(hotel *made);

#endif
