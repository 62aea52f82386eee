/*
 * clearance.c - warnings about antennas that hang where the model or the
 * building says otherwise: on a wall, above a ceiling.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

/* A wall, an opening or a solid's edge nearer than this to a link's end is not crossed there. */
#define ON_WALL_M 0.01

/* What stands on walls of one plan, counted. */
typedef struct on_walls {
    const char *what; /* "device" */
    const char *first;
    size_t count;
} on_walls;

static void look(const hr_index *index, hr_point at, const char *name, on_walls *found)
{
    const hr_segment point = {at, at};
    if (hr_geometry_index_query(index, point, ON_WALL_M, NULL, 0) > 0) {
        found->first = found->count == 0 ? name : found->first;
        found->count++;
    }
}

static void say(const building_reader *r, const hr_plan *plan, const on_walls *found)
{
    if (found->count == 1) {
        hr_note(r->notes, plan->file, 0, "%s %s stands on a wall (within 1 cm); that wall is not counted for it",
                found->what, found->first);
    } else if (found->count > 1) {
        hr_note(r->notes, plan->file, 0,
                "%zu %ss stand on a wall (within 1 cm), %s the first; that wall is not counted for them", found->count,
                found->what, found->first);
    }
}

static size_t count_lines(const hr_plan *plan)
{
    size_t count = plan->wall_count + plan->opening_count;
    for (size_t i = 0; i < plan->solid_count; i++) {
        for (size_t k = 0; k < plan->solids[i].region.ring_count; k++) {
            count += plan->solids[i].region.rings[k].count;
        }
    }
    return count;
}

static void take_lines(const hr_plan *plan, hr_segment *lines)
{
    size_t count = 0;
    for (size_t i = 0; i < plan->wall_count; i++) {
        lines[count++] = plan->walls[i].line;
    }
    for (size_t i = 0; i < plan->opening_count; i++) {
        lines[count++] = plan->openings[i].line;
    }
    for (size_t i = 0; i < plan->solid_count; i++) {
        for (size_t k = 0; k < plan->solids[i].region.ring_count; k++) {
            const hr_ring *ring = &plan->solids[i].region.rings[k];
            for (size_t p = 0; p < ring->count; p++) {
                lines[count++] = (hr_segment){ring->points[p], ring->points[(p + 1) % ring->count]};
            }
        }
    }
}

/* All that a link may cross in a plan; metal has a rule of its own. */
static hr_status index_lines(const building_reader *r, const hr_plan *plan, hr_index **index)
{
    const size_t count = count_lines(plan);
    hr_segment *lines = hr_alloc(count, sizeof *lines);
    if (lines == NULL) {
        return hr_fail_memory(r->err);
    }
    take_lines(plan, lines);
    const hr_status status = hr_geometry_index_new(lines, count, index, r->err);
    hr_free(lines);
    return status;
}

/* Storeys on one plan have the same things in the same places: the lowest speaks for all. */
static hr_status check_plan(const building_reader *r, uint32_t storey)
{
    const hr_building *b = r->b;
    const hr_plan *plan = b->storeys[storey].plan;
    hr_index *index = NULL;
    const hr_status status = index_lines(r, plan, &index);
    if (status != HR_OK) {
        return status;
    }
    on_walls devices = {.what = "device"}, spots = {.what = "spot"}, gateways = {.what = "gateway"};
    for (size_t i = 0; i < b->device_count; i++) {
        if (b->devices[i].storey == storey) {
            look(index, b->devices[i].at, b->devices[i].name, &devices);
        }
    }
    for (size_t i = 0; i < b->spot_count; i++) {
        if (b->spots[i].storey == storey) {
            look(index, b->spots[i].at, b->spots[i].id, &spots);
        }
    }
    for (size_t i = 0; i < b->gateway_count; i++) {
        if (b->gateways[i].storey == storey) {
            look(index, b->gateways[i].at, b->gateways[i].id, &gateways);
        }
    }
    hr_geometry_index_free(index);
    say(r, plan, &devices);
    say(r, plan, &spots);
    say(r, plan, &gateways);
    return HR_OK;
}

void building_note_ceiling(const hr_building *b, hr_notes *notes, const char *file, int line, const char *what,
                           double mount_height_m, double floor_to_floor_m)
{
    char height[HR_FIXED_MAX], ceiling[HR_FIXED_MAX];
    if (mount_height_m > floor_to_floor_m) {
        hr_note(notes, file, line, "%s above its ceiling: mount_height %s in a storey of %s %s floor to floor", what,
                hr_short(hr_units_from_metres(mount_height_m, b->length_unit), 3, height),
                hr_short(hr_units_from_metres(floor_to_floor_m, b->length_unit), 3, ceiling),
                hr_units_length_name(b->length_unit));
    }
}

/* Storeys of hotels and dormitories are 2.4 to 4 m high, halls on the ground up to 7. Assumed. */
#define STOREY_LOW_M 2.0
#define STOREY_HIGH_M 8.0

/* Feet written where metres are asked for, or the other way. */
static void check_height(const building_reader *r, const building_storey_section *s)
{
    const hr_length_unit unit = r->b->length_unit;
    const double high_m = s->keys.floor_to_floor_m;
    if (high_m < STOREY_LOW_M || high_m > STOREY_HIGH_M) {
        char height[HR_FIXED_MAX];
        hr_note(r->notes, r->file, r->sections[s->section].line,
                "floor_to_floor is %s %s, which is unusual: are the lengths of this file in %s?",
                hr_short(hr_units_from_metres(high_m, unit), 3, height), hr_units_length_name(unit),
                hr_units_length_name(unit));
    }
}

static void check_ceilings(const building_reader *r, const building_storey_section *s)
{
    const hr_building *b = r->b;
    const int line = r->sections[s->section].line;
    const double high_m = s->keys.floor_to_floor_m;
    check_height(r, s);
    building_note_ceiling(b, r->notes, r->file, line, "gateway", b->gateway_kind.radio.mount_height_m, high_m);
    for (size_t i = 0; i < b->kind_count; i++) {
        building_note_ceiling(b, r->notes, r->file, line, b->kinds[i].name, b->kinds[i].radio.mount_height_m, high_m);
    }
}

hr_status building_check_clearance(building_reader *r)
{
    const hr_building *b = r->b;
    for (size_t i = 0; i < r->storey_section_count; i++) {
        check_ceilings(r, &r->storey_sections[i]);
    }
    for (size_t plan = 0; plan < b->plan_count; plan++) {
        uint32_t storey = 0;
        while (b->storeys[storey].plan_index != plan) {
            storey++;
        }
        const hr_status status = check_plan(r, storey);
        if (status != HR_OK) {
            return status;
        }
    }
    return HR_OK;
}
