/*
 * plan.c - a drawing becomes a plan, and what stands where.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Curves stay this near to their true line at plan scale. */
#define FLAT_M 0.001
/* While the scale is unknown only straight lines and ends matter. */
#define FLAT_COARSE 1e6
#define FLAT_UNKNOWN 0.01
/* More of the wall length than this with a parallel partner nearby: double lines. */
#define DOUBLE_SHARE 0.3
/* Faces of one wall between two rooms drawn as clear floor. */
#define ROOM_FACES_M 0.3

const char *plan_length(const plan_reader *r, double length_m, int decimals, char text[PLAN_LENGTH_MAX])
{
    const hr_length_unit unit = r->options->length_unit;
    (void)hr_fixed(hr_units_from_metres(length_m, unit), decimals, text);
    const size_t len = strlen(text);
    (void)snprintf(text + len, PLAN_LENGTH_MAX - len, " %s", hr_units_length_name(unit));
    return text;
}

static void free_reader(plan_reader *r)
{
    hr_free(r->nodes);
    hr_free(r->meanings);
    hr_free(r->map_meanings);
    hr_free(r->map_hits);
    hr_free(r->shapes);
    hr_free(r->scratch.at);
    hr_free(r->ids.at);
    hr_free(r->walls);
    hr_geometry_index_free(r->merged_index);
    hr_free(r->openings);
    hr_free(r->on_walls);
    hr_free(r->spaces);
    hr_free(r->space_shapes);
    plan_boxes_free(r->room_boxes);
    hr_free(r->left);
    hr_free(r->ledger.rows);
    hr_names_free(r->ledger.keys);
}

static hr_status read_walls(plan_reader *r)
{
    const hr_plan_options *o = r->options;
    const bool pairing = o->wall_pairing_m > 0.0;
    hr_status status = plan_read_walls(r);
    if (status == HR_OK && o->rooms_are_walls != NULL) {
        status = plan_rooms_as_walls(r);
    }
    if (status == HR_OK) {
        status = plan_merge_walls(r);
    }
    if (status == HR_OK && pairing) {
        status = plan_pair_walls(r, HR_PLAN_WALLS, o->wall_pairing_m);
    }
    if (status == HR_OK && o->rooms_are_walls != NULL) {
        status = plan_pair_walls(r, HR_PLAN_ROOMS, pairing ? o->wall_pairing_m : ROOM_FACES_M);
    }
    if (status == HR_OK && (pairing || o->rooms_are_walls != NULL)) {
        status = plan_merge_walls(r);
    }
    return status == HR_OK && !pairing ? plan_note_double_walls(r, DOUBLE_SHARE) : status;
}

/* Moves a growing list into the plan's arena. */
static void *keep(plan_reader *r, const void *items, size_t count, size_t size)
{
    void *kept = hr_arena_alloc(r->arena, count, size);
    if (kept != NULL && count > 0) {
        memcpy(kept, items, count * size);
    }
    return kept;
}

static void add_point(hr_box *box, hr_point p)
{
    plan_box_add(box, (hr_box){p.x, p.y, p.x, p.y});
}

static void add_bodies(hr_box *box, const hr_body *bodies, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (bodies[i].region.ring_count > 0) {
            plan_box_add(box, bodies[i].region.box);
        }
        for (size_t k = 0; k < bodies[i].line_count; k++) {
            add_point(box, bodies[i].lines[k].a);
            add_point(box, bodies[i].lines[k].b);
        }
    }
}

static void add_marks(hr_box *box, const hr_mark *marks, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        add_point(box, marks[i].at);
    }
}

static void measure(hr_plan *p)
{
    p->box = hr_geometry_box(NULL, 0);
    for (size_t i = 0; i < p->wall_count; i++) {
        add_point(&p->box, p->walls[i].line.a);
        add_point(&p->box, p->walls[i].line.b);
        p->wall_length_m += p->walls[i].is_gap ? 0.0 : hr_geometry_length(p->walls[i].line);
    }
    for (size_t i = 0; i < p->opening_count; i++) {
        add_point(&p->box, p->openings[i].line.a);
        add_point(&p->box, p->openings[i].line.b);
    }
    for (size_t i = 0; i < p->space_count; i++) {
        plan_box_add(&p->box, p->spaces[i].region.box);
    }
    add_bodies(&p->box, p->solids, p->solid_count);
    add_bodies(&p->box, p->metals, p->metal_count);
    add_bodies(&p->box, p->slabs, p->slab_count);
    add_bodies(&p->box, p->voids, p->void_count);
    add_bodies(&p->box, p->keep_outs, p->keep_out_count);
    add_marks(&p->box, p->devices, p->device_count);
    add_marks(&p->box, p->spots, p->spot_count);
    add_marks(&p->box, p->gateways, p->gateway_count);
    add_marks(&p->box, p->networks, p->network_count);
    if (p->box.x0 > p->box.x1) {
        p->box = (hr_box){0.0, 0.0, 0.0, 0.0};
    }
}

/* What the reader misses is a wall that is not there: names that say nothing are said. */
static void note_unknown_names(const plan_reader *r)
{
    for (size_t i = 0; i < r->ledger.count; i++) {
        const hr_ignored *row = &r->ledger.rows[i];
        const bool named = row->name[0] != '\0';
        char length[PLAN_LENGTH_MAX];
        if (strcmp(row->reason, PLAN_NO_KNOWN_NAME) == 0) {
            hr_note(r->notes, r->file, row->first_line, "%zu shapes, %s of lines, %s%s%s are ignored: %s%s%s%s",
                    row->count, plan_length(r, row->length_m, 1, length), named ? "in \"" : "outside any named layer",
                    row->name, named ? "\"" : "", PLAN_NO_KNOWN_NAME, row->nearest != NULL ? " (nearest: " : "",
                    row->nearest != NULL ? row->nearest : "", row->nearest != NULL ? ")" : "");
        }
    }
}

static void note_huge_storey(const plan_reader *r)
{
    const hr_box *box = &r->plan->box;
    const double across_m = fmax(box->x1 - box->x0, box->y1 - box->y0);
    char text[PLAN_LENGTH_MAX];
    if (across_m > PLAN_HUGE_M) {
        hr_note(r->notes, r->file, 0, "this storey is %s across: is the scale right?",
                plan_length(r, across_m, 0, text));
    }
}

static hr_status finish(plan_reader *r)
{
    hr_plan *p = r->plan;
    p->walls = keep(r, r->walls, p->wall_count, sizeof *r->walls);
    p->spaces = keep(r, r->spaces, p->space_count, sizeof *r->spaces);
    p->openings = keep(r, r->openings, p->opening_count, sizeof *r->openings);
    p->on_walls = keep(r, r->on_walls, p->on_wall_count, sizeof *r->on_walls);
    p->left = keep(r, r->left, r->left_count, sizeof *r->left);
    p->left_count = r->left_count;
    p->ignored = keep(r, r->ledger.rows, r->ledger.count, sizeof *r->ledger.rows);
    p->ignored_count = r->ledger.count;
    if (p->walls == NULL || p->spaces == NULL || p->openings == NULL || p->on_walls == NULL || p->ignored == NULL ||
        p->left == NULL) {
        return hr_fail_memory(r->err);
    }
    measure(p);
    note_unknown_names(r);
    note_huge_storey(r);
    return HR_OK;
}

/* Names, scale and origin; the drawing is flat afterwards. */
static hr_status prepare(plan_reader *r)
{
    hr_status status = plan_resolve(r);
    if (status == HR_OK) {
        status = hr_svg_flatten(r->drawing, FLAT_COARSE, r->err);
    }
    if (status == HR_OK) {
        status = plan_find_scale(r);
    }
    if (status == HR_OK) {
        const bool known = r->plan->metres_per_unit > 0.0;
        status = hr_svg_flatten(r->drawing, known ? FLAT_M / r->scale : FLAT_UNKNOWN, r->err);
    }
    if (status == HR_OK) {
        status = plan_check_scale(r);
    }
    if (status == HR_OK) {
        status = plan_find_origin(r);
    }
    return status;
}

static hr_status read_all(plan_reader *r)
{
    static hr_status (*const steps[])(plan_reader *) = {prepare,
                                                        plan_gather,
                                                        read_walls,
                                                        plan_read_bodies,
                                                        plan_read_openings,
                                                        plan_read_spaces,
                                                        plan_name_rooms,
                                                        plan_note_overlaps,
                                                        plan_find_doors,
                                                        plan_read_marks,
                                                        finish};
    hr_status status = HR_OK;
    for (size_t i = 0; i < sizeof steps / sizeof steps[0] && status == HR_OK; i++) {
        status = steps[i](r);
    }
    return status;
}

static hr_status new_plan(plan_reader *r)
{
    r->arena = hr_arena_new();
    hr_plan *plan = r->arena != NULL ? hr_arena_alloc(r->arena, 1, sizeof *plan) : NULL;
    if (plan == NULL) {
        hr_arena_free(r->arena);
        return hr_fail_memory(r->err);
    }
    *plan = (hr_plan){.arena = r->arena};
    r->plan = plan;
    plan->file = hr_arena_strdup(r->arena, r->file);
    plan->layer = r->options->layer != NULL ? hr_arena_strdup(r->arena, r->options->layer) : NULL;
    if (plan->file == NULL || (r->options->layer != NULL && plan->layer == NULL)) {
        hr_arena_free(r->arena);
        return hr_fail_memory(r->err);
    }
    return HR_OK;
}

hr_status hr_plan_from_drawing(hr_svg_drawing *drawing, const hr_plan_options *options, const hr_materials *materials,
                               hr_notes *notes, hr_plan **plan, hr_error *err)
{
    if (drawing == NULL || options == NULL || materials == NULL || plan == NULL) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "a drawing, options, materials and a plan were expected");
    }
    plan_reader r = {.drawing = drawing,
                     .options = options,
                     .materials = materials,
                     .notes = notes,
                     .err = err,
                     .file = drawing->file != NULL ? drawing->file : "",
                     .layer = SIZE_MAX,
                     .scale = 1.0};
    hr_status status = new_plan(&r);
    if (status != HR_OK) {
        return status;
    }
    status = read_all(&r);
    if (status == HR_OK && notes != NULL && hr_notes_failed(notes)) {
        status = hr_fail_memory(err);
    }
    free_reader(&r);
    if (status != HR_OK) {
        hr_arena_free(r.arena);
        return status;
    }
    *plan = r.plan;
    return HR_OK;
}

void hr_plan_free(hr_plan *plan)
{
    if (plan != NULL) {
        hr_arena_free(plan->arena);
    }
}

static uint32_t smallest_at(const hr_plan *plan, hr_point p, bool rooms_only)
{
    uint32_t best = HR_PLAN_NONE;
    for (size_t i = 0; i < plan->space_count; i++) {
        const hr_space *space = &plan->spaces[i];
        const hr_box *box = &space->region.box;
        if ((rooms_only && space->kind != HR_SPACE_ROOM) || p.x < box->x0 || p.x > box->x1 || p.y < box->y0 ||
            p.y > box->y1) {
            continue;
        }
        if ((best == HR_PLAN_NONE || space->area_m2 < plan->spaces[best].area_m2) &&
            hr_geometry_inside(&space->region, p, 0.0)) {
            best = (uint32_t)i;
        }
    }
    return best;
}

uint32_t hr_plan_room_at(const hr_plan *plan, hr_point p)
{
    return smallest_at(plan, p, true);
}

uint32_t hr_plan_space_at(const hr_plan *plan, hr_point p)
{
    return smallest_at(plan, p, false);
}

double hr_plan_body_distance_m(const hr_body *body, hr_point at)
{
    double nearest = (double)INFINITY;
    if (body->region.ring_count > 0) {
        nearest = hr_geometry_inside(&body->region, at, 0.0) ? 0.0 : hr_geometry_to_outline(&body->region, at, NULL);
    }
    for (size_t i = 0; i < body->line_count; i++) {
        nearest = fmin(nearest, hr_geometry_to_segment(at, body->lines[i], NULL));
    }
    return nearest;
}

bool hr_plan_near_metal(const hr_plan *plan, hr_point at, double height_m, double clearance_m)
{
    for (size_t i = 0; i < plan->metal_count; i++) {
        const hr_body *metal = &plan->metals[i];
        const double above_m = fmax(fmax(metal->low_m - height_m, height_m - metal->high_m), 0.0);
        if (above_m < clearance_m && hypot(hr_plan_body_distance_m(metal, at), above_m) < clearance_m) {
            return true;
        }
    }
    return false;
}
