/*
 * beside.c - what the person who hangs a gateway needs: the nearest room, two
 * walls for the tape measure, where the cable comes from and what feeds it.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include <math.h>

/* Walls at less than this are no second reference beside the first. */
#define ANGLE_MIN 0.5235987755982988 /* 30 degrees */

static uint32_t nearest_room(const hr_building *b, const hr_sited_gateway *g)
{
    const hr_plan *plan = b->storeys[g->storey].plan;
    uint32_t nearest = HR_SITING_NONE;
    double least_m = (double)INFINITY;
    for (uint32_t i = 0; i < b->room_count; i++) {
        if (b->rooms[i].storey != g->storey) {
            continue;
        }
        const hr_region *region = &plan->spaces[b->rooms[i].space].region;
        const double dist_m = hr_geometry_inside(region, g->at, 0.0) ? 0.0 : hr_geometry_to_outline(region, g->at, NULL);
        if (dist_m < least_m) {
            least_m = dist_m;
            nearest = i;
        }
    }
    return nearest;
}

/* Where `to` lies from `from`, in the drawing (y runs down). */
static const char *side_of(hr_point from, hr_point to)
{
    const double dx = to.x - from.x, dy = to.y - from.y;
    if (fabs(dx) >= fabs(dy)) {
        return dx < 0.0 ? "left" : "right";
    }
    return dy < 0.0 ? "up" : "down";
}

static const hr_wall *nearest_wall(const hr_plan *plan, hr_point at, hr_tape *out)
{
    const hr_wall *nearest = NULL;
    for (size_t i = 0; i < plan->wall_count; i++) {
        const hr_wall *wall = &plan->walls[i];
        double fraction;
        const double dist_m = hr_geometry_to_segment(at, wall->line, &fraction);
        if (!wall->is_gap && (nearest == NULL || dist_m < out->wall_m[0])) {
            nearest = wall;
            out->wall_m[0] = dist_m;
            out->wall_side[0] = side_of(at, hr_geometry_at(wall->line, fraction));
        }
    }
    return nearest;
}

/* The tape runs along the first wall to the first thing that stands across, on either hand. */
static void along_wall(const hr_plan *plan, const hr_wall *first, hr_point at, hr_tape *out)
{
    const double length_m = hr_geometry_length(first->line);
    const double reach_m = hypot(plan->box.x1 - plan->box.x0, plan->box.y1 - plan->box.y0) + 1.0;
    for (int hand = -1; length_m > 0.0 && hand <= 1; hand += 2) {
        const double scale = hand * reach_m / length_m;
        const hr_segment tape = {at, {at.x + (first->line.b.x - first->line.a.x) * scale,
                                      at.y + (first->line.b.y - first->line.a.y) * scale}};
        for (size_t i = 0; i < plan->wall_count; i++) {
            double along;
            if (plan->walls[i].is_gap || hr_geometry_angle(tape, plan->walls[i].line) < ANGLE_MIN ||
                !hr_geometry_cross(tape, plan->walls[i].line, &along, NULL)) {
                continue;
            }
            if (isnan(out->wall_m[1]) || along * reach_m < out->wall_m[1]) {
                out->wall_m[1] = along * reach_m;
                out->wall_side[1] = side_of(tape.a, tape.b);
            }
        }
    }
}

hr_tape hr_siting_tape(const hr_building *building, uint32_t storey, hr_point at)
{
    const hr_plan *plan = building->storeys[storey].plan;
    hr_tape out = {{(double)NAN, (double)NAN}, {NULL, NULL}};
    const hr_wall *first = nearest_wall(plan, at, &out);
    if (first != NULL) {
        along_wall(plan, first, at, &out);
    }
    return out;
}

static const char *closet_name(const siting_run *run, const siting_cable_run *cable)
{
    const hr_storey *storey = &run->building->storeys[cable->storey];
    const hr_mark *mark = &storey->plan->networks[cable->mark];
    hr_text text = {0};
    if (mark->name != NULL && mark->name[0] != '\0') {
        hr_text_add(&text, mark->name);
    } else {
        hr_text_addf(&text, "network %u", (unsigned)cable->mark + 1);
    }
    hr_text_addf(&text, " on storey %s", storey->name);
    const char *name = text.failed ? NULL : hr_arena_strdup(run->siting->arena, text.bytes);
    hr_text_free(&text);
    return name;
}

bool siting_find_beside(const siting_run *run, hr_sited_gateway *g)
{
    const siting_cable_run cable = siting_cable_to(run->cable, g->storey, g->at);
    g->nearest_room = nearest_room(run->building, g);
    const hr_tape tape = hr_siting_tape(run->building, g->storey, g->at);
    for (size_t i = 0; i < 2; i++) {
        g->wall_m[i] = tape.wall_m[i];
        g->wall_side[i] = tape.wall_side[i];
    }
    g->cable_m = cable.length_m;
    g->cable_too_long = siting_cable_too_long(run->building, &cable);
    g->closet = isnan(cable.length_m) ? NULL : closet_name(run, &cable);
    /* common practice: power comes with the data up to the limit of the cable; a battery bridges an outage */
    g->power = isnan(cable.length_m) || g->cable_too_long ? "mains with UPS" : "PoE, switch on UPS";
    return isnan(cable.length_m) || g->closet != NULL;
}
