/*
 * rules.c - where common practice hangs no radio: outer walls, windows, supply
 * vents, metal ducts.
 *
 * SPDX-License-Identifier: MIT
 */
#include "diagnosis_priv.h"

#include <math.h>

/* A radio within this of a wall hangs on it. */
#define ON_WALL_M 0.35
/* Behind an inner wall there is a room, an area or a corridor within this. */
#define BEHIND_NEAR_M 0.3
#define BEHIND_FAR_M 0.8
/* Clear of windows and of metal, drawn vents and ducts among it; assumed. */
#define WINDOW_CLEAR_M 0.5
#define METAL_CLEAR_M 1.0

static hr_point beyond(hr_point from, hr_point to, double further_m)
{
    const double length_m = hr_geometry_distance(from, to);
    return (hr_point){to.x + (to.x - from.x) / length_m * further_m, to.y + (to.y - from.y) / length_m * further_m};
}

static bool at_outer_wall(const hr_plan *plan, hr_point at)
{
    for (size_t i = 0; i < plan->wall_count; i++) {
        double along = 0.0;
        const double dist_m = hr_geometry_to_segment(at, plan->walls[i].line, &along);
        if (dist_m > ON_WALL_M || dist_m < 0.005) {
            continue;
        }
        const hr_point foot = hr_geometry_at(plan->walls[i].line, along);
        if (hr_plan_space_at(plan, beyond(at, foot, BEHIND_NEAR_M)) == HR_PLAN_NONE &&
            hr_plan_space_at(plan, beyond(at, foot, BEHIND_FAR_M)) == HR_PLAN_NONE) {
            return true;
        }
    }
    return false;
}

static bool by_a_window(const hr_plan *plan, hr_point at)
{
    for (size_t i = 0; i < plan->opening_count; i++) {
        if (!plan->openings[i].is_door && hr_geometry_to_segment(at, plan->openings[i].line, NULL) < WINDOW_CLEAR_M) {
            return true;
        }
    }
    return false;
}

bool why_breaks_rule(const hr_building *building, uint32_t storey, hr_point at, double mount_height_m)
{
    const hr_plan *plan = building->storeys[storey].plan;
    return by_a_window(plan, at) || hr_plan_near_metal(plan, at, mount_height_m, METAL_CLEAR_M) || at_outer_wall(plan, at);
}
