/*
 * spaces.c - rooms, areas and corridors, and the doors and windows on them.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <math.h>

/* A room whose largest circle is narrower than this is told. */
#define NARROW_ROOM_M 0.4

static bool space_kind_of(hr_plan_kind kind, hr_space_kind *space)
{
    *space = kind == HR_PLAN_ROOMS ? HR_SPACE_ROOM : kind == HR_PLAN_AREAS ? HR_SPACE_AREA : HR_SPACE_CORRIDOR;
    return kind == HR_PLAN_ROOMS || kind == HR_PLAN_AREAS || kind == HR_PLAN_CORRIDORS;
}

static void note_size(const plan_reader *r, const hr_space *s, double radius_m)
{
    char text[PLAN_LENGTH_MAX];
    const double across = fmax(s->region.box.x1 - s->region.box.x0, s->region.box.y1 - s->region.box.y0);
    if (across > PLAN_HUGE_M) {
        hr_note(r->notes, r->file, s->source_line, "this room is %s across: is the scale right?",
                plan_length(r, across, 0, text));
    } else if (2.0 * radius_m < NARROW_ROOM_M) {
        hr_note(r->notes, r->file, s->source_line, "this room is only %s across: is the scale right?",
                plan_length(r, 2.0 * radius_m, 2, text));
    }
}

static hr_status add_space(plan_reader *r, size_t shape, hr_space_kind kind)
{
    hr_space s = {.kind = kind,
                  .entry_door = HR_PLAN_NONE,
                  .main_window = HR_PLAN_NONE,
                  .source_line = plan_svg_node(r, shape)->line};
    static const char *const what[] = {"room", "area", "corridor"};
    hr_status status = plan_take_region(r, shape, what[kind], &s.region);
    if (status == HR_OK && s.region.ring_count == 0 && kind == HR_SPACE_ROOM && plan_is_mapped(r, shape) &&
        r->options->rooms_are_walls != NULL) {
        return HR_OK; /* a line among the rooms: it is a wall */
    }
    if (status == HR_OK && s.region.ring_count == 0) {
        if (kind == HR_SPACE_ROOM && !plan_is_mapped(r, shape)) {
            hr_note(r->notes, r->file, s.source_line, "a room without area was left aside");
        }
        return plan_leave_shape(r, shape, "closed shape without area");
    }
    if (status == HR_OK) {
        status = plan_own_name(r, (uint32_t)shape, &s.name);
    }
    if (status != HR_OK) {
        return status;
    }
    if (!HR_RESERVE(r->spaces, r->space_cap, r->plan->space_count + 1) ||
        !HR_RESERVE(r->space_shapes, r->space_shape_cap, r->plan->space_count + 1)) {
        return hr_fail_memory(r->err);
    }
    double radius_m = 0.0;
    s.area_m2 = hr_geometry_area(&s.region);
    s.innermost = plan_rounded(hr_geometry_innermost(&s.region, &radius_m));
    if (kind == HR_SPACE_ROOM) {
        note_size(r, &s, radius_m);
        if (++r->plan->room_count > HR_MAX_ROOMS) {
            return hr_fail(r->err, HR_ERR_LIMIT, r->file, s.source_line, "plan has more than %zu rooms", HR_MAX_ROOMS);
        }
    }
    r->space_shapes[r->plan->space_count] = (uint32_t)shape;
    r->spaces[r->plan->space_count++] = s;
    return HR_OK;
}

static hr_status box_rooms(plan_reader *r)
{
    r->room_boxes = plan_boxes_new(r->plan->room_count);
    if (r->room_boxes == NULL) {
        return hr_fail_memory(r->err);
    }
    for (size_t i = 0; i < r->plan->space_count; i++) {
        if (r->spaces[i].kind == HR_SPACE_ROOM) {
            plan_boxes_add(r->room_boxes, r->spaces[i].region.box, (uint32_t)i);
        }
    }
    return plan_boxes_grow(r->room_boxes) ? HR_OK : hr_fail_memory(r->err);
}

hr_status plan_room_at(plan_reader *r, hr_point p, uint32_t *room)
{
    if (!plan_boxes_at(r->room_boxes, p, &r->ids)) {
        return hr_fail_memory(r->err);
    }
    uint32_t best = HR_PLAN_NONE;
    for (size_t i = 0; i < r->ids.count; i++) {
        const uint32_t at = r->ids.at[i];
        if (r->spaces[at].kind != HR_SPACE_ROOM) {
            continue; /* it was found to be none */
        }
        const double area_m2 = r->spaces[at].area_m2;
        const double best_m2 = best != HR_PLAN_NONE ? r->spaces[best].area_m2 : 0.0;
        const bool smaller = best == HR_PLAN_NONE || area_m2 < best_m2 || (area_m2 <= best_m2 && at < best);
        if (smaller && hr_geometry_inside(&r->spaces[at].region, p, 0.0)) {
            best = at;
        }
    }
    *room = best;
    return HR_OK;
}

hr_status plan_read_spaces(plan_reader *r)
{
    hr_status status = HR_OK;
    for (size_t i = 0; i < r->shape_count && status == HR_OK; i++) {
        hr_space_kind kind;
        if (space_kind_of(plan_shape_meaning(r, i)->kind, &kind)) {
            status = add_space(r, i, kind);
        }
    }
    return status == HR_OK ? box_rooms(r) : status;
}

/* ---- doors and windows of rooms ---- */

typedef struct edge_index {
    hr_index *index;
    hr_segment *lines;
    uint32_t *space;
    size_t count;
} edge_index;

static hr_status index_edges(plan_reader *r, edge_index *e)
{
    size_t count = 0;
    for (size_t i = 0; i < r->plan->space_count; i++) {
        for (size_t k = 0; k < r->spaces[i].region.ring_count; k++) {
            count += r->spaces[i].region.rings[k].count;
        }
    }
    e->lines = hr_alloc(count, sizeof *e->lines);
    e->space = hr_alloc(count, sizeof *e->space);
    if (e->lines == NULL || e->space == NULL) {
        return hr_fail_memory(r->err);
    }
    for (size_t i = 0; i < r->plan->space_count; i++) {
        const hr_region *region = &r->spaces[i].region;
        for (size_t k = 0; k < region->ring_count; k++) {
            for (size_t p = 0; p < region->rings[k].count; p++) {
                e->lines[e->count] = plan_edge(&region->rings[k], p);
                e->space[e->count++] = (uint32_t)i;
            }
        }
    }
    return hr_geometry_index_new(e->lines, e->count, &e->index, r->err);
}

/* Longer by more than a millimetre; equal lengths: the one that comes first stays. */
static bool longer(const plan_reader *r, uint32_t opening, uint32_t than)
{
    return than == HR_PLAN_NONE ||
           hr_geometry_length(r->openings[opening].line) > hr_geometry_length(r->openings[than].line) + PLAN_CRUMB_M;
}

/* The spaces beside which the opening lies, each once and ascending, in r->ids
 * (which the query filled with edges). */
static void spaces_beside(plan_reader *r, const edge_index *e, hr_segment line)
{
    size_t count = 0;
    uint32_t last = HR_PLAN_NONE;
    for (size_t i = 0; i < r->ids.count; i++) {
        const uint32_t space = e->space[r->ids.at[i]];
        if (space != last && plan_beside_outline(&r->spaces[space].region, line, PLAN_EDGE_REACH_M)) {
            r->ids.at[count++] = space;
        }
        last = space;
    }
    r->ids.count = count;
}

/* Gives the opening to the rooms it lies on. on_corridor[i] tells whether room
 * i's door so far leads to a corridor. */
static hr_status give_opening(plan_reader *r, const edge_index *e, uint32_t opening, bool *on_corridor)
{
    const hr_opening *o = &r->openings[opening];
    const hr_status status = plan_query(r, e->index, o->line, PLAN_EDGE_REACH_M);
    if (status != HR_OK) {
        return status;
    }
    spaces_beside(r, e, o->line);
    bool corridor = false;
    for (size_t i = 0; i < r->ids.count; i++) {
        corridor = corridor || r->spaces[r->ids.at[i]].kind == HR_SPACE_CORRIDOR;
    }
    for (size_t i = 0; i < r->ids.count; i++) {
        const uint32_t at = r->ids.at[i];
        hr_space *room = &r->spaces[at];
        if (room->kind != HR_SPACE_ROOM) {
            continue;
        }
        if (!o->is_door) {
            room->main_window = longer(r, opening, room->main_window) ? opening : room->main_window;
        } else if ((corridor && !on_corridor[at]) ||
                   (corridor == on_corridor[at] && longer(r, opening, room->entry_door))) {
            room->entry_door = opening;
            on_corridor[at] = corridor;
        }
    }
    return HR_OK;
}

hr_status plan_find_doors(plan_reader *r)
{
    if (r->plan->space_count == 0 || r->plan->opening_count == 0) {
        return HR_OK;
    }
    edge_index e = {0};
    bool *on_corridor = hr_alloc_zero(r->plan->space_count, sizeof *on_corridor);
    hr_status status = on_corridor == NULL ? hr_fail_memory(r->err) : index_edges(r, &e);
    for (size_t i = 0; i < r->plan->opening_count && status == HR_OK; i++) {
        status = give_opening(r, &e, (uint32_t)i, on_corridor);
    }
    hr_geometry_index_free(e.index);
    hr_free(e.lines);
    hr_free(e.space);
    hr_free(on_corridor);
    return status;
}
