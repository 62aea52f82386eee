/*
 * spots.c - gateway spots along both walls of corridors.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define OFF_EDGE_M 0.1
#define WALL_BEHIND_M 0.35
#define SPACING_MIN_M 0.05
#define SPACING_MAX_M 1000.0
#define CLEARANCE_MAX_M 100.0
/* Candidates times points of one corridor. */
#define TESTS_MAX 3e8

typedef struct spot_work {
    const hr_plan *plan;
    double spacing_m, clearance_m;
    hr_index *walls, *doors;
    uint32_t *door_ids; /* opening of each line of `doors` */
    size_t door_count;
    uint32_t *first_on_wall; /* wall_count + 1 places in on_walls */
    plan_boxes *corridors, *keep_outs, *solids;
    plan_ids inside;
    uint32_t *ids;
    size_t id_cap;
    hr_point *spots;
    size_t count, cap;
    hr_error *err;
} spot_work;

static hr_status query(spot_work *w, const hr_index *index, hr_segment near, double within, size_t *count)
{
    *count = hr_geometry_index_query(index, near, within, w->ids, w->id_cap);
    if (*count > w->id_cap) {
        if (!HR_RESERVE(w->ids, w->id_cap, *count)) {
            *count = 0;
            return hr_fail_memory(w->err);
        }
        *count = hr_geometry_index_query(index, near, within, w->ids, w->id_cap);
    }
    return HR_OK;
}

static hr_status index_walls(spot_work *w)
{
    const hr_plan *plan = w->plan;
    hr_segment *lines = hr_alloc(plan->wall_count, sizeof *lines);
    w->first_on_wall = hr_alloc(plan->wall_count + 1, sizeof *w->first_on_wall);
    if (lines == NULL || w->first_on_wall == NULL) {
        hr_free(lines);
        return hr_fail_memory(w->err);
    }
    size_t at = 0;
    for (size_t i = 0; i < plan->wall_count; i++) {
        lines[i] = plan->walls[i].line;
        w->first_on_wall[i] = (uint32_t)at;
        while (at < plan->on_wall_count && plan->on_walls[at].wall == i) {
            at++;
        }
    }
    w->first_on_wall[plan->wall_count] = (uint32_t)at;
    const hr_status status = hr_geometry_index_new(lines, plan->wall_count, &w->walls, w->err);
    hr_free(lines);
    return status;
}

static hr_status index_doors(spot_work *w)
{
    const hr_plan *plan = w->plan;
    hr_segment *lines = hr_alloc(plan->opening_count, sizeof *lines);
    w->door_ids = hr_alloc(plan->opening_count, sizeof *w->door_ids);
    if (lines == NULL || w->door_ids == NULL) {
        hr_free(lines);
        return hr_fail_memory(w->err);
    }
    for (size_t i = 0; i < plan->opening_count; i++) {
        if (plan->openings[i].is_door) {
            lines[w->door_count] = plan->openings[i].line;
            w->door_ids[w->door_count++] = (uint32_t)i;
        }
    }
    const hr_status status = hr_geometry_index_new(lines, w->door_count, &w->doors, w->err);
    hr_free(lines);
    return status;
}

static plan_boxes *boxes_of_bodies(const hr_body *bodies, size_t count, double reach_m)
{
    plan_boxes *boxes = plan_boxes_new(count);
    for (size_t i = 0; boxes != NULL && i < count; i++) {
        const hr_box box = bodies[i].region.box;
        plan_boxes_add(boxes, (hr_box){box.x0 - reach_m, box.y0 - reach_m, box.x1 + reach_m, box.y1 + reach_m},
                       (uint32_t)i);
    }
    return boxes;
}

static hr_status make_boxes(spot_work *w)
{
    const hr_plan *plan = w->plan;
    w->keep_outs = boxes_of_bodies(plan->keep_outs, plan->keep_out_count, 0.0);
    w->solids = boxes_of_bodies(plan->solids, plan->solid_count, WALL_BEHIND_M);
    w->corridors = plan_boxes_new(plan->space_count);
    if (w->keep_outs == NULL || w->solids == NULL || w->corridors == NULL) {
        return hr_fail_memory(w->err);
    }
    for (size_t i = 0; i < plan->space_count; i++) {
        if (plan->spaces[i].kind == HR_SPACE_CORRIDOR) {
            plan_boxes_add(w->corridors, plan->spaces[i].region.box, (uint32_t)i);
        }
    }
    const bool grown = plan_boxes_grow(w->keep_outs) && plan_boxes_grow(w->solids) && plan_boxes_grow(w->corridors);
    return grown ? HR_OK : hr_fail_memory(w->err);
}

/* ---- what speaks against a place ---- */

/* Along the wall where the door lies in it, else straight. */
static double door_distance(hr_segment edge, hr_point foot, hr_segment door)
{
    const double length = hr_geometry_length(door);
    const double straight = hr_geometry_to_segment(foot, door, NULL);
    if (!(length > 0.0) || hr_geometry_angle(edge, door) > PLAN_EDGE_PARALLEL_RAD) {
        return straight;
    }
    const double dx = (door.b.x - door.a.x) / length, dy = (door.b.y - door.a.y) / length;
    const double t = (foot.x - door.a.x) * dx + (foot.y - door.a.y) * dy;
    const double aside = fabs((foot.x - door.a.x) * dy - (foot.y - door.a.y) * dx);
    return aside > WALL_BEHIND_M ? straight : fmax(0.0, fmax(-t, t - length));
}

static hr_status near_door(spot_work *w, hr_segment edge, hr_point foot, bool *near)
{
    size_t count = 0;
    const hr_segment here = {foot, foot};
    const hr_status status = query(w, w->doors, here, w->clearance_m + WALL_BEHIND_M, &count);
    *near = false;
    for (size_t i = 0; i < count && !*near; i++) {
        const hr_segment door = w->plan->openings[w->door_ids[w->ids[i]]].line;
        *near = door_distance(edge, foot, door) < w->clearance_m - PLAN_CRUMB_M;
    }
    return status;
}

static bool opened_at(const spot_work *w, uint32_t wall, double fraction)
{
    for (size_t i = w->first_on_wall[wall]; i < w->first_on_wall[wall + 1]; i++) {
        const hr_span span = w->plan->on_walls[i].span;
        if (fraction >= span.from && fraction <= span.to) {
            return true;
        }
    }
    return false;
}

/* foot lies within reach of the solids that `behind` may pass through. */
static hr_status solid_behind(spot_work *w, hr_segment behind, hr_point foot, bool *stands)
{
    if (!plan_boxes_at(w->solids, foot, &w->inside)) {
        return hr_fail_memory(w->err);
    }
    for (size_t i = 0; i < w->inside.count && !*stands; i++) {
        hr_span span;
        *stands =
            hr_geometry_passages(&w->plan->solids[w->inside.at[i]].region, behind, 0.0, PLAN_CRUMB_M, &span, 1) > 0;
    }
    return HR_OK;
}

/* A wall or a solid stands behind the edge, and not a window in it. */
static hr_status wall_behind(spot_work *w, hr_point spot, hr_point foot, bool *stands)
{
    const double reach = 1.0 + WALL_BEHIND_M / OFF_EDGE_M;
    const hr_segment behind = {spot, {spot.x + (foot.x - spot.x) * reach, spot.y + (foot.y - spot.y) * reach}};
    size_t count = 0;
    const hr_status status = query(w, w->walls, behind, 0.0, &count);
    *stands = false;
    for (size_t i = 0; i < count && !*stands; i++) {
        double on_wall = 0.0;
        *stands = hr_geometry_cross(behind, w->plan->walls[w->ids[i]].line, NULL, &on_wall) &&
                  !opened_at(w, w->ids[i], on_wall);
    }
    return status == HR_OK && !*stands ? solid_behind(w, behind, foot, stands) : status;
}

static hr_status kept_out(spot_work *w, hr_point p, bool *out)
{
    *out = false;
    if (!plan_boxes_at(w->keep_outs, p, &w->inside)) {
        return hr_fail_memory(w->err);
    }
    for (size_t i = 0; i < w->inside.count && !*out; i++) {
        *out = hr_geometry_inside(&w->plan->keep_outs[w->inside.at[i]].region, p, 0.0);
    }
    return HR_OK;
}

/* The edge runs inside another corridor: people walk through there. */
static hr_status in_other_corridor(spot_work *w, size_t corridor, hr_point spot, hr_point foot, bool *inside)
{
    const hr_point beyond = {2.0 * foot.x - spot.x, 2.0 * foot.y - spot.y};
    *inside = false;
    if (!plan_boxes_at(w->corridors, beyond, &w->inside)) {
        return hr_fail_memory(w->err);
    }
    for (size_t i = 0; i < w->inside.count && !*inside; i++) {
        const uint32_t other = w->inside.at[i];
        *inside = other != corridor && hr_geometry_inside(&w->plan->spaces[other].region, beyond, 0.0);
    }
    return HR_OK;
}

static hr_status try_spot(spot_work *w, size_t corridor, hr_segment run, hr_point foot)
{
    const hr_region *region = &w->plan->spaces[corridor].region;
    hr_point spot;
    if (!plan_step_inside(region, run, foot, OFF_EDGE_M, &spot)) {
        return HR_OK;
    }
    bool out = false, stands = false, near = false;
    hr_status status = kept_out(w, spot, &out);
    if (status == HR_OK && !out) {
        status = in_other_corridor(w, corridor, spot, foot, &out);
    }
    if (status == HR_OK && !out) {
        status = wall_behind(w, spot, foot, &stands);
    }
    if (status == HR_OK && stands) {
        status = near_door(w, run, foot, &near);
    }
    if (status != HR_OK || !stands || near) {
        return status;
    }
    if (w->count >= HR_MAX_SPOTS) {
        return hr_fail(w->err, HR_ERR_LIMIT, w->plan->file, 0,
                       "more than %zu gateway spots would be generated: a larger spot_spacing was expected",
                       HR_MAX_SPOTS);
    }
    if (!HR_RESERVE(w->spots, w->cap, w->count + 1)) {
        return hr_fail_memory(w->err);
    }
    w->spots[w->count++] = plan_rounded(spot);
    return HR_OK;
}

static hr_status walk_run(spot_work *w, size_t corridor, hr_segment run)
{
    const double length_m = hr_geometry_length(run);
    hr_status status = HR_OK;
    for (size_t k = 0; status == HR_OK; k++) {
        const double at_m = ((double)k + 0.5) * w->spacing_m;
        if (!(at_m < length_m)) {
            break;
        }
        if (k > HR_MAX_SEGMENTS) {
            return hr_fail(w->err, HR_ERR_LIMIT, w->plan->file, 0, "spot_spacing is too small for this corridor");
        }
        status = try_spot(w, corridor, run, hr_geometry_at(run, at_m / length_m));
    }
    return status;
}

/* Each straight run of the ring once, beginning at a corner; a gentle bend is
 * cut where it has turned by half a degree. */
static hr_status walk_ring(spot_work *w, size_t corridor, const hr_ring *ring)
{
    size_t first = 0;
    (void)plan_run(ring, 0, &first, NULL);
    hr_status status = HR_OK;
    for (size_t done = 0, edges; done < ring->count && status == HR_OK; done += edges) {
        const hr_segment run = plan_run_on(ring, (first + done) % ring->count, ring->count - done, &edges);
        status = walk_run(w, corridor, run);
    }
    return status;
}

static int compare_points(const void *left, const void *right)
{
    const hr_point *a = left, *b = right;
    if (a->y != b->y) {
        return a->y < b->y ? -1 : 1;
    }
    return a->x < b->x ? -1 : a->x > b->x;
}

static void sort_spots(spot_work *w)
{
    if (w->count == 0) {
        return;
    }
    qsort(w->spots, w->count, sizeof *w->spots, compare_points);
    size_t kept = 1;
    for (size_t i = 1; i < w->count; i++) {
        if (compare_points(&w->spots[kept - 1], &w->spots[i]) != 0) {
            w->spots[kept++] = w->spots[i];
        }
    }
    w->count = kept;
}

/* Each candidate is held against the whole outline: an outline of very many
 * points along very many metres is refused, not tried. */
static hr_status check_work(const spot_work *w, const hr_space *space)
{
    double length_m = 0.0, points = 0.0;
    for (size_t k = 0; k < space->region.ring_count; k++) {
        const hr_ring *ring = &space->region.rings[k];
        points += (double)ring->count;
        for (size_t i = 0; i < ring->count; i++) {
            length_m += hr_geometry_length(plan_edge(ring, i));
        }
    }
    if (length_m / w->spacing_m * points > TESTS_MAX) {
        return hr_fail(
            w->err, HR_ERR_LIMIT, w->plan->file, space->source_line,
            "this corridor's outline has too many points to look for gateway spots along it: simplify it, or "
            "draw the spots");
    }
    return HR_OK;
}

static hr_status walk_corridors(spot_work *w)
{
    hr_status status = HR_OK;
    for (size_t i = 0; i < w->plan->space_count && status == HR_OK; i++) {
        const hr_space *space = &w->plan->spaces[i];
        if (space->kind != HR_SPACE_CORRIDOR) {
            continue;
        }
        status = check_work(w, space);
        for (size_t k = 0; k < space->region.ring_count && status == HR_OK; k++) {
            status = walk_ring(w, i, &space->region.rings[k]);
        }
    }
    return status;
}

hr_status hr_plan_generate_spots(const hr_plan *plan, double spacing_m, double door_clearance_m, hr_point **spots,
                                 size_t *count, hr_error *err)
{
    if (plan == NULL || spots == NULL || count == NULL || !(spacing_m >= SPACING_MIN_M && spacing_m <= SPACING_MAX_M) ||
        !(door_clearance_m >= 0.0 && door_clearance_m <= CLEARANCE_MAX_M)) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0,
                       "a spot spacing of 0.05 to 1000 m and a door clearance of 0 to 100 m were expected");
    }
    spot_work w = {.plan = plan, .spacing_m = spacing_m, .clearance_m = door_clearance_m, .err = err};
    hr_status status = index_walls(&w);
    if (status == HR_OK) {
        status = index_doors(&w);
    }
    if (status == HR_OK) {
        status = make_boxes(&w);
    }
    if (status == HR_OK) {
        status = walk_corridors(&w);
    }
    plan_boxes_free(w.corridors);
    plan_boxes_free(w.keep_outs);
    plan_boxes_free(w.solids);
    hr_free(w.inside.at);
    hr_geometry_index_free(w.walls);
    hr_geometry_index_free(w.doors);
    hr_free(w.door_ids);
    hr_free(w.first_on_wall);
    hr_free(w.ids);
    if (status != HR_OK) {
        hr_free(w.spots);
        return status;
    }
    sort_spots(&w);
    *spots = w.spots != NULL ? w.spots : hr_alloc(1, sizeof *w.spots);
    if (*spots == NULL) {
        return hr_fail_memory(err);
    }
    *count = w.count;
    return HR_OK;
}
