/*
 * bodies.c - closed shapes: solids, metal, slabs, voids, keep-outs; and metal
 * drawn as a line.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <math.h>
#include <string.h>

/* A ring with less area than this is a stray click. */
#define AREA_MIN_M2 1e-6

/* Closes an open outline where its gap is small. */
static hr_status close_ring(plan_reader *r, size_t shape, const char *what)
{
    plan_points *s = &r->scratch;
    if (s->closed || s->count < 2) {
        return HR_OK;
    }
    const double gap = hr_geometry_distance(s->at[0], s->at[s->count - 1]);
    char text[PLAN_LENGTH_MAX];
    const int line = plan_svg_node(r, shape)->line;
    if (gap >= PLAN_CLOSE_M && plan_is_mapped(r, shape)) {
        /* a plan drawn by others holds lines too; what is filled is closed by its fill */
        s->closed = plan_svg_node(r, shape)->fill.set;
        s->count = s->closed ? s->count : 0;
        return HR_OK;
    }
    if (gap >= PLAN_CLOSE_M) {
        return hr_fail(r->err, HR_ERR_INPUT, r->file, line, "%s outline is open by %s: a closed shape was expected",
                       what, plan_length(r, gap, 2, text));
    }
    if (gap >= PLAN_CRUMB_M) {
        hr_note(r->notes, r->file, line, "%s outline is open by %s: closed", what, plan_length(r, gap, 3, text));
    } else {
        s->count--;
    }
    s->closed = true;
    return HR_OK;
}

hr_status plan_take_region(plan_reader *r, size_t shape, const char *what, hr_region *region)
{
    const hr_svg_node *node = plan_svg_node(r, shape);
    hr_ring *rings = hr_arena_alloc(r->arena, node->path_count, sizeof *rings);
    if (rings == NULL) {
        return hr_fail_memory(r->err);
    }
    size_t count = 0;
    for (size_t p = 0; p < node->path_count; p++) {
        hr_status status = plan_take_path(r, &r->drawing->paths[node->first_path + p]);
        if (status == HR_OK) {
            status = close_ring(r, shape, what);
        }
        if (status != HR_OK) {
            return status;
        }
        const plan_points *s = &r->scratch;
        if (s->count < 3) {
            continue;
        }
        hr_point *points = hr_arena_alloc(r->arena, s->count, sizeof *points);
        if (points == NULL) {
            return hr_fail_memory(r->err);
        }
        memcpy(points, s->at, s->count * sizeof *points);
        rings[count++] = (hr_ring){points, s->count};
    }
    *region = (hr_region){.rings = rings, .ring_count = count, .even_odd = node->fill_even_odd};
    region->box = hr_geometry_region_box(rings, count);
    if (count > 0 && !(hr_geometry_area(region) > AREA_MIN_M2)) {
        region->ring_count = 0;
    }
    return HR_OK;
}

/* Metal drawn as a line: all pieces of all its open paths. */
static hr_status take_lines(plan_reader *r, size_t shape, hr_body *body)
{
    const hr_svg_node *node = plan_svg_node(r, shape);
    size_t most = 0;
    for (size_t p = 0; p < node->path_count; p++) {
        most += r->drawing->paths[node->first_path + p].count;
    }
    body->lines = hr_arena_alloc(r->arena, most, sizeof *body->lines);
    if (body->lines == NULL) {
        return hr_fail_memory(r->err);
    }
    for (size_t p = 0; p < node->path_count; p++) {
        const hr_status status = plan_take_path(r, &r->drawing->paths[node->first_path + p]);
        if (status != HR_OK) {
            return status;
        }
        const plan_points *s = &r->scratch;
        for (size_t i = 1; i < s->count; i++) {
            body->lines[body->line_count++] = (hr_segment){s->at[i - 1], s->at[i]};
        }
    }
    return HR_OK;
}

/* Whether any path of the shape stands open by more than a slip. */
static bool is_open(const plan_reader *r, size_t shape)
{
    const hr_svg_node *node = plan_svg_node(r, shape);
    for (size_t p = 0; p < node->path_count; p++) {
        const hr_svg_path *path = &r->drawing->paths[node->first_path + p];
        const hr_point *points = r->drawing->points + path->first;
        if (!path->closed && path->count > 0 &&
            (path->count < 4 || hr_geometry_distance(points[0], points[path->count - 1]) * r->scale >= PLAN_CLOSE_M)) {
            return true;
        }
    }
    return false;
}

static hr_status take_body(plan_reader *r, size_t shape, hr_body *body, bool *empty)
{
    const plan_meaning *m = plan_shape_meaning(r, shape);
    *body = (hr_body){.material = m->material,
                      .low_m = m->low_m,
                      .high_m = m->high_m,
                      .shape = (uint32_t)shape,
                      .source_line = plan_svg_node(r, shape)->line,
                      .name = m->kind == HR_PLAN_METAL ? m->value : NULL};
    if (m->kind == HR_PLAN_METAL && is_open(r, shape)) {
        const hr_status status = take_lines(r, shape, body);
        *empty = body->line_count == 0;
        return status;
    }
    const hr_status status = plan_take_region(r, shape, hr_plan_kind_name(m->kind), &body->region);
    *empty = status == HR_OK && body->region.ring_count == 0;
    return status;
}

typedef struct body_list {
    hr_plan_kind kind;
    hr_body **at;
    size_t *count;
} body_list;

static hr_status read_kind(plan_reader *r, const body_list *list)
{
    size_t count = 0;
    for (size_t i = 0; i < r->shape_count; i++) {
        count += plan_shape_meaning(r, i)->kind == list->kind;
    }
    hr_body *bodies = hr_arena_alloc(r->arena, count, sizeof *bodies);
    if (bodies == NULL) {
        return hr_fail_memory(r->err);
    }
    size_t used = 0;
    for (size_t i = 0; i < r->shape_count; i++) {
        if (plan_shape_meaning(r, i)->kind != list->kind) {
            continue;
        }
        bool empty = false;
        hr_status status = take_body(r, i, &bodies[used], &empty);
        if (status == HR_OK && empty) {
            status = plan_leave_shape(r, i, "closed shape without area");
        } else if (status == HR_OK) {
            used++;
        }
        if (status != HR_OK) {
            return status;
        }
    }
    *list->at = bodies;
    *list->count = used;
    return HR_OK;
}

hr_status plan_read_bodies(plan_reader *r)
{
    hr_plan *p = r->plan;
    const body_list lists[] = {{HR_PLAN_SOLIDS, &p->solids, &p->solid_count},
                               {HR_PLAN_METAL, &p->metals, &p->metal_count},
                               {HR_PLAN_SLAB, &p->slabs, &p->slab_count},
                               {HR_PLAN_VOID, &p->voids, &p->void_count},
                               {HR_PLAN_KEEP_OUT, &p->keep_outs, &p->keep_out_count}};
    hr_status status = HR_OK;
    for (size_t i = 0; i < sizeof lists / sizeof lists[0] && status == HR_OK; i++) {
        status = read_kind(r, &lists[i]);
    }
    return status;
}
