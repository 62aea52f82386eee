/*
 * places.c - where devices could hang that nobody has drawn. Rooms of a hotel
 * are alike and one electrician hangs them all, so that a draw has one habit:
 * as planned, farther along the wall, farther into the room, or on the other
 * side of the door.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_priv.h"

#include <math.h>

/* A place keeps this far from what bounds the room. */
#define OFF_WALL_M 0.05

static const hr_plan *plan_of(const hr_building *b, const hr_device *device)
{
    return b->storeys[b->rooms[device->room].storey].plan;
}

/* In the room, and in sight of the usual place: not in its bath. */
static bool fits(const hr_plan *plan, const hr_space *space, hr_point from, hr_point to)
{
    const hr_segment way = {from, to};
    if (!hr_geometry_inside(&space->region, to, 0.0) || hr_geometry_to_outline(&space->region, to, NULL) < OFF_WALL_M) {
        return false;
    }
    for (size_t i = 0; i < plan->wall_count; i++) {
        if (hr_geometry_segments_gap(way, plan->walls[i].line) < OFF_WALL_M / 2.0) {
            return false;
        }
    }
    return true;
}

static hr_point unit(hr_point v)
{
    const double length = hypot(v.x, v.y);
    return length > 0.0 ? (hr_point){v.x / length, v.y / length} : (hr_point){0.0, 0.0};
}

/* Habit 1 to 3 for one device; its usual place where that does not fit the room. */
static hr_point place_of(const estimate_run *run, const hr_device *device, size_t habit)
{
    const hr_plan *plan = plan_of(run->building, device);
    const hr_space *space = &plan->spaces[run->building->rooms[device->room].space];
    const double spread_m = run->keys->place_spread_m;
    const hr_point at = device->at;
    hr_point along = {0.0, 0.0};
    double over_m = 0.0; /* to the middle of the door, along its wall */
    if (space->entry_door != HR_PLAN_NONE) {
        const hr_segment door = plan->openings[space->entry_door].line;
        along = unit((hr_point){door.b.x - door.a.x, door.b.y - door.a.y});
        const hr_point middle = hr_geometry_at(door, 0.5);
        over_m = (at.x - middle.x) * along.x + (at.y - middle.y) * along.y;
        along = over_m < 0.0 ? (hr_point){-along.x, -along.y} : along; /* away from the door */
        over_m = fabs(over_m);
    }
    hr_point in = {space->innermost.x - at.x, space->innermost.y - at.y};
    const double part = in.x * along.x + in.y * along.y;
    in = unit((hr_point){in.x - part * along.x, in.y - part * along.y});
    const hr_point tried[] = {at,
                              {at.x + spread_m * along.x, at.y + spread_m * along.y},
                              {at.x + spread_m * in.x, at.y + spread_m * in.y},
                              {at.x - 2.0 * over_m * along.x, at.y - 2.0 * over_m * along.y}};
    return fits(plan, space, at, tried[habit]) ? tried[habit] : at;
}

hr_status estimate_choose_places(estimate_run *run)
{
    run->places = hr_alloc(run->row_count, ESTIMATE_PLACES_TRIED * sizeof *run->places);
    if (run->places == NULL) {
        return hr_fail_memory(run->err);
    }
    for (size_t r = 0; r < run->row_count; r++) {
        const hr_device *device = &run->building->devices[run->rows[r]];
        for (size_t v = 0; v < ESTIMATE_PLACES_TRIED; v++) {
            const bool fixed = v == 0 || device->drawn || !run->drawn[ESTIMATE_PLACES];
            run->places[r * ESTIMATE_PLACES_TRIED + v] = fixed ? device->at : place_of(run, device, v);
        }
    }
    return HR_OK;
}
