/*
 * totals.c - what a plan holds, by material, and what stops placement.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

#include <stdio.h>

const char *report_material_name(const hr_building *building, uint32_t material)
{
    return hr_materials_get(building->materials, material)->name;
}

static void count_bodies(report_material_total *totals, const hr_body *bodies, size_t count, bool metal)
{
    for (size_t i = 0; i < count; i++) {
        if (metal) {
            totals[bodies[i].material].metals++;
        } else {
            totals[bodies[i].material].solids++;
        }
    }
}

static bool is_empty(const report_material_total *total)
{
    return total->walls + total->doors + total->windows + total->solids + total->metals == 0;
}

report_material_total *report_material_totals(const hr_building *building, const hr_plan *plan, size_t *count)
{
    const size_t materials = hr_materials_count(building->materials);
    report_material_total *totals = hr_alloc_zero(materials, sizeof *totals);
    if (totals == NULL) {
        return NULL;
    }
    for (size_t i = 0; i < materials; i++) {
        totals[i].material = (uint32_t)i;
    }
    for (size_t i = 0; i < plan->wall_count; i++) {
        if (!plan->walls[i].is_gap) {
            totals[plan->walls[i].material].walls++;
            totals[plan->walls[i].material].wall_m += hr_geometry_length(plan->walls[i].line);
        }
    }
    for (size_t i = 0; i < plan->opening_count; i++) {
        if (plan->openings[i].is_door) {
            totals[plan->openings[i].material].doors++;
        } else {
            totals[plan->openings[i].material].windows++;
        }
    }
    count_bodies(totals, plan->solids, plan->solid_count, false);
    count_bodies(totals, plan->metals, plan->metal_count, true);
    size_t kept = 0;
    for (size_t i = 0; i < materials; i++) {
        if (!is_empty(&totals[i])) {
            totals[kept++] = totals[i];
        }
    }
    *count = kept;
    return totals;
}

static size_t count_walls(const hr_building *building)
{
    size_t walls = 0;
    for (size_t i = 0; i < building->plan_count; i++) {
        walls += building->plans[i]->wall_count + building->plans[i]->solid_count;
    }
    return walls;
}

/* The check numbered `which`; false when it is passed. */
static bool stop_text(const hr_building *building, size_t which, char *buf, size_t size)
{
    switch (which) {
    case 0:
        (void)snprintf(buf, size, "frequency_mhz is not set in [radio]");
        return !(building->radio.frequency_mhz > 0.0) || building->frequency_assumed;
    case 1:
        (void)snprintf(buf, size, "no rooms: draw closed shapes in a layer `rooms`");
        return building->room_count == 0;
    case 2:
        (void)snprintf(buf, size, "no walls: draw lines in layers `walls: MATERIAL`, or map layers in [drawing]");
        return count_walls(building) == 0;
    case 3:
        (void)snprintf(buf, size, "no place for a gateway: draw `spots`, or `corridors` with walls beside them");
        return building->spot_count == 0 && building->gateway_count == 0;
    default:
        for (size_t i = 0; i < building->plan_count; i++) {
            if (!(building->plans[i]->metres_per_unit > 0.0)) {
                (void)snprintf(buf, size, "%s has no scale: draw one line of known length in a layer `scale: 10 m`",
                               building->plans[i]->file);
                return true;
            }
        }
        return false;
    }
}

const char *hr_report_stop(const hr_building *building, size_t index, char *buf, size_t buf_size)
{
    for (size_t which = 0; which < 5; which++) {
        if (stop_text(building, which, buf, buf_size) && index-- == 0) {
            return buf;
        }
    }
    return NULL;
}
