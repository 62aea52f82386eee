/*
 * places.c - where devices hang when nobody drew them.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <math.h>

#define FROM_JAMB_M 0.3
#define OFF_WALL_M 0.1
#define FROM_WINDOW_M 0.3
#define FROM_CORNER_M 0.3
/* Where the usual place does not fit it slides nearer in these steps. */
#define SLIDE_M 0.05
/* Lengths closer than this are equal. */
#define EQUAL_M 0.001

/* A door on a straight run of the room's outline, in metres along the run. */
typedef struct door_side {
    const hr_space *room;
    hr_segment run;
    double length_m;
    double low_m, high_m;           /* the jambs */
    double low_free_m, high_free_m; /* wall beyond each jamb up to the corner or the next opening */
} door_side;

static double along_run(const door_side *d, hr_point p)
{
    return ((p.x - d->run.a.x) * (d->run.b.x - d->run.a.x) + (p.y - d->run.a.y) * (d->run.b.y - d->run.a.y)) /
           d->length_m;
}

static void interval(const door_side *d, hr_segment line, double *from_m, double *to_m)
{
    const double a = along_run(d, line.a), b = along_run(d, line.b);
    *from_m = fmin(fmax(fmin(a, b), 0.0), d->length_m);
    *to_m = fmin(fmax(fmax(a, b), 0.0), d->length_m);
}

/* Most openings of a storey are far away: the box is asked first. */
static bool lies_on(const door_side *d, hr_segment line)
{
    const hr_box *box = &d->room->region.box;
    const double x = 0.5 * (line.a.x + line.b.x), y = 0.5 * (line.a.y + line.b.y);
    return x >= box->x0 - PLAN_EDGE_REACH_M && x <= box->x1 + PLAN_EDGE_REACH_M && y >= box->y0 - PLAN_EDGE_REACH_M &&
           y <= box->y1 + PLAN_EDGE_REACH_M &&
           hr_geometry_to_segment(hr_geometry_at(line, 0.5), d->run, NULL) <= PLAN_EDGE_REACH_M &&
           hr_geometry_angle(line, d->run) <= PLAN_EDGE_PARALLEL_RAD;
}

/* Other openings on the run end the free wall; those that overlap the door widen it. */
static void limit_by_openings(const hr_plan *plan, door_side *d)
{
    const double low_m = d->low_m, high_m = d->high_m;
    for (size_t i = 0; i < plan->opening_count; i++) {
        double from_m, to_m;
        if (!lies_on(d, plan->openings[i].line)) {
            continue;
        }
        interval(d, plan->openings[i].line, &from_m, &to_m);
        if (from_m < high_m - EQUAL_M && to_m > low_m + EQUAL_M) {
            d->low_m = fmin(d->low_m, from_m);
            d->high_m = fmax(d->high_m, to_m);
        }
    }
    d->low_free_m = d->low_m;
    d->high_free_m = d->length_m - d->high_m;
    for (size_t i = 0; i < plan->opening_count; i++) {
        double from_m, to_m;
        if (!lies_on(d, plan->openings[i].line)) {
            continue;
        }
        interval(d, plan->openings[i].line, &from_m, &to_m);
        if (to_m <= d->low_m + EQUAL_M && to_m > 0.0) {
            d->low_free_m = fmin(d->low_free_m, fmax(d->low_m - to_m, 0.0));
        } else if (from_m >= d->high_m - EQUAL_M && from_m < d->length_m) {
            d->high_free_m = fmin(d->high_free_m, fmax(from_m - d->high_m, 0.0));
        }
    }
}

static bool find_door_side(const hr_plan *plan, const hr_space *room, door_side *d)
{
    if (room->entry_door == HR_PLAN_NONE) {
        return false;
    }
    const hr_segment door = plan->openings[room->entry_door].line;
    plan_side side;
    if (!plan_edge_beside(&room->region, door, PLAN_EDGE_REACH_M, &side)) {
        return false;
    }
    *d = (door_side){.room = room, .run = side.run, .length_m = hr_geometry_length(side.run)};
    if (!(d->length_m > 0.0)) {
        return false;
    }
    interval(d, door, &d->low_m, &d->high_m);
    limit_by_openings(plan, d);
    return true;
}

/* The place `offset_m` beyond a jamb, when it fits. */
static bool beyond_jamb(const door_side *d, bool high, double offset_m, hr_point *place)
{
    const double free_m = high ? d->high_free_m : d->low_free_m;
    if (offset_m > free_m + EQUAL_M) {
        return false;
    }
    const double at_m = high ? d->high_m + offset_m : d->low_m - offset_m;
    hr_point inside;
    if (!plan_step_inside(&d->room->region, d->run, hr_geometry_at(d->run, at_m / d->length_m), OFF_WALL_M, &inside)) {
        return false;
    }
    *place = plan_rounded(inside);
    return true;
}

static bool smaller(hr_point a, hr_point b)
{
    return a.x < b.x || (a.x <= b.x && a.y < b.y);
}

hr_point hr_plan_wall_control_place(const hr_plan *plan, const hr_space *room)
{
    door_side d;
    if (!find_door_side(plan, room, &d)) {
        return room->innermost;
    }
    for (double offset_m = FROM_JAMB_M; offset_m > 0.5 * SLIDE_M; offset_m -= SLIDE_M) {
        hr_point low, high;
        const bool low_fits = beyond_jamb(&d, false, offset_m, &low);
        const bool high_fits = beyond_jamb(&d, true, offset_m, &high);
        if (low_fits && high_fits) {
            const double more_m = d.low_free_m - d.high_free_m;
            if (fabs(more_m) <= EQUAL_M) {
                return smaller(low, high) ? low : high;
            }
            return more_m > 0.0 ? low : high;
        }
        if (low_fits || high_fits) {
            return low_fits ? low : high;
        }
    }
    return room->innermost;
}

/* 0.3 m inside the middle of the window, nearer where the room is shallow. */
static bool inside_window(const hr_plan *plan, const hr_space *room, hr_point *place)
{
    const hr_segment window = plan->openings[room->main_window].line;
    plan_side side;
    if (!plan_edge_beside(&room->region, window, PLAN_EDGE_REACH_M, &side)) {
        return false;
    }
    double fraction = 0.0;
    (void)hr_geometry_to_segment(hr_geometry_at(window, 0.5), side.run, &fraction);
    const hr_point foot = hr_geometry_at(side.run, fraction);
    for (double step_m = FROM_WINDOW_M; step_m > 0.5 * SLIDE_M; step_m -= SLIDE_M) {
        hr_point inside;
        if (plan_step_inside(&room->region, side.run, foot, step_m, &inside)) {
            *place = plan_rounded(inside);
            return true;
        }
    }
    return false;
}

/* The corridor that the room's door leads to; where there is none the door itself stands for it. */
static const hr_region *corridor_of(const hr_plan *plan, hr_point door)
{
    const hr_region *best = NULL;
    double nearest = HUGE_VAL;
    for (size_t i = 0; i < plan->space_count; i++) {
        const hr_space *space = &plan->spaces[i];
        if (space->kind != HR_SPACE_CORRIDOR) {
            continue;
        }
        const hr_box *box = &space->region.box;
        const double x = fmax(fmax(box->x0 - door.x, door.x - box->x1), 0.0);
        const double y = fmax(fmax(box->y0 - door.y, door.y - box->y1), 0.0);
        if (fmax(x, y) >= nearest) {
            continue; /* its box alone is farther away */
        }
        const double distance =
            hr_geometry_inside(&space->region, door, 0.0) ? 0.0 : hr_geometry_to_outline(&space->region, door, NULL);
        if (distance < nearest) {
            nearest = distance;
            best = &space->region;
        }
    }
    return best;
}

static hr_point far_corner(const hr_plan *plan, const hr_space *room)
{
    const hr_segment door = plan->openings[room->entry_door].line;
    const hr_point middle = hr_geometry_at(door, 0.5);
    const hr_region *corridor = corridor_of(plan, middle);
    hr_point best = room->innermost;
    double farthest = -1.0;
    for (size_t k = 0; k < room->region.ring_count; k++) {
        for (size_t i = 0; i < room->region.rings[k].count; i++) {
            const hr_point p = room->region.rings[k].points[i];
            const double distance =
                corridor != NULL ? hr_geometry_to_outline(corridor, p, NULL) : hr_geometry_distance(p, middle);
            const bool tie = fabs(distance - farthest) <= EQUAL_M;
            if ((!tie && distance > farthest) || (tie && smaller(p, best))) {
                farthest = distance;
                best = p;
            }
        }
    }
    return best;
}

hr_point hr_plan_unit_place(const hr_plan *plan, const hr_space *room)
{
    hr_point place;
    if (room->main_window != HR_PLAN_NONE && inside_window(plan, room, &place)) {
        return place;
    }
    if (room->entry_door == HR_PLAN_NONE) {
        return room->innermost;
    }
    const hr_point corner = far_corner(plan, room);
    const double distance = hr_geometry_distance(corner, room->innermost);
    if (!(distance > FROM_CORNER_M)) {
        return room->innermost;
    }
    const hr_segment inwards = {corner, room->innermost};
    place = plan_rounded(hr_geometry_at(inwards, FROM_CORNER_M / distance));
    return hr_geometry_inside(&room->region, place, 0.0) ? place : room->innermost;
}
