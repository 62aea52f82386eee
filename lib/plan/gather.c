/*
 * gather.c - the shapes that are used, and their points in metres.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <math.h>

static hr_point to_metres(const plan_reader *r, hr_point p)
{
    return (hr_point){(p.x - r->origin.x) * r->scale, (p.y - r->origin.y) * r->scale};
}

double plan_drawn_length_m(const plan_reader *r, size_t node)
{
    const hr_svg_node *n = &r->drawing->nodes[node];
    double length = 0.0;
    for (size_t p = 0; p < n->path_count; p++) {
        const hr_svg_path *path = &r->drawing->paths[n->first_path + p];
        const hr_point *points = r->drawing->points + path->first;
        for (size_t i = 1; i < path->count; i++) {
            length += hr_geometry_distance(points[i - 1], points[i]);
        }
        if (path->closed && path->count > 2) {
            length += hr_geometry_distance(points[path->count - 1], points[0]);
        }
    }
    return length * r->scale;
}

void plan_box_add(hr_box *box, hr_box other)
{
    if (other.x0 > other.x1) {
        return;
    }
    const bool empty = box->x0 > box->x1;
    box->x0 = empty ? other.x0 : fmin(box->x0, other.x0);
    box->y0 = empty ? other.y0 : fmin(box->y0, other.y0);
    box->x1 = empty ? other.x1 : fmax(box->x1, other.x1);
    box->y1 = empty ? other.y1 : fmax(box->y1, other.y1);
}

hr_box plan_node_box(const plan_reader *r, size_t node)
{
    const hr_svg_node *n = &r->drawing->nodes[node];
    hr_box box = hr_geometry_box(NULL, 0);
    for (size_t p = 0; p < n->path_count; p++) {
        const hr_svg_path *path = &r->drawing->paths[n->first_path + p];
        plan_box_add(&box, hr_geometry_box(r->drawing->points + path->first, path->count));
    }
    return box;
}

bool plan_unit_centre(const plan_reader *r, size_t shape, hr_point *centre, size_t *next)
{
    const plan_shape *first = &r->shapes[shape];
    hr_box box = plan_node_box(r, first->node);
    size_t i = shape + 1;
    for (; i < r->shape_count && r->shapes[i].unit == first->unit && r->shapes[i].meaning == first->meaning; i++) {
        plan_box_add(&box, plan_node_box(r, r->shapes[i].node));
    }
    *next = i;
    *centre = to_metres(r, (hr_point){0.5 * (box.x0 + box.x1), 0.5 * (box.y0 + box.y1)});
    return box.x0 <= box.x1;
}

static hr_status put_point(plan_reader *r, hr_point p)
{
    plan_points *s = &r->scratch;
    if (!HR_RESERVE(s->at, s->cap, s->count + 1)) {
        return hr_fail_memory(r->err);
    }
    s->at[s->count++] = p;
    return HR_OK;
}

/* Points nearer to the last one kept than a crumb are left out, so that many
 * crumbs in a row are still one line; the last point of a line always stands. */
hr_status plan_take_path(plan_reader *r, const hr_svg_path *path)
{
    const hr_point *points = r->drawing->points + path->first;
    plan_points *s = &r->scratch;
    s->count = 0;
    s->closed = path->closed;
    for (size_t i = 0; i < path->count; i++) {
        const hr_point p = to_metres(r, points[i]);
        if (s->count == 0 || hr_geometry_distance(s->at[s->count - 1], p) >= PLAN_CRUMB_M) {
            const hr_status status = put_point(r, p);
            if (status != HR_OK) {
                return status;
            }
        } else if (i + 1 == path->count && s->count > 1 && !path->closed) {
            s->at[s->count - 1] = p;
        }
    }
    while (s->closed && s->count > 1 && hr_geometry_distance(s->at[s->count - 1], s->at[0]) < PLAN_CRUMB_M) {
        s->count--;
    }
    return HR_OK;
}

hr_status plan_query(plan_reader *r, const hr_index *index, hr_segment near, double within)
{
    plan_ids *ids = &r->ids;
    ids->count = hr_geometry_index_query(index, near, within, ids->at, ids->cap);
    if (ids->count > ids->cap) {
        if (!HR_RESERVE(ids->at, ids->cap, ids->count)) {
            ids->count = 0;
            return hr_fail_memory(r->err);
        }
        ids->count = hr_geometry_index_query(index, near, within, ids->at, ids->cap);
    }
    return HR_OK;
}

static hr_status add_shape(plan_reader *r, size_t at)
{
    if (!HR_RESERVE(r->shapes, r->shape_cap, r->shape_count + 1)) {
        return hr_fail_memory(r->err);
    }
    const plan_node *n = &r->nodes[at];
    const uint32_t unit = n->unit != HR_PLAN_NONE ? n->unit : (uint32_t)at;
    r->shapes[r->shape_count++] = (plan_shape){.node = (uint32_t)at, .meaning = n->meaning, .unit = unit};
    return HR_OK;
}

static hr_status leave_node(plan_reader *r, size_t at)
{
    const plan_node *n = &r->nodes[at];
    const hr_svg_node *node = &r->drawing->nodes[at];
    const char *name = plan_outer_name(r, at);
    const double length_m = plan_drawn_length_m(r, at);
    const hr_status status = plan_keep_left(r, at);
    if (status != HR_OK) {
        return status;
    }
    if (n->meaning != HR_PLAN_NONE) {
        return plan_leave(r, r->meanings[n->meaning].written, "marked ignore", NULL, 1, length_m, node->line);
    }
    return plan_leave(r, name, PLAN_NO_KNOWN_NAME, plan_nearest_kind(name), 1, length_m, node->line);
}

/* Editors leave invisible boxes behind; only a name makes one count. */
static bool is_invisible(const plan_reader *r, size_t at)
{
    const hr_svg_node *node = &r->drawing->nodes[at];
    return !node->stroke.set && !node->fill.set && (r->nodes[at].flags & PLAN_OWN) == 0 && !plan_has_own_name(r, at);
}

static hr_status gather_shape(plan_reader *r, size_t at)
{
    const plan_node *n = &r->nodes[at];
    if (n->meaning == HR_PLAN_NONE || r->meanings[n->meaning].kind == HR_PLAN_IGNORE) {
        return is_invisible(r, at) ? HR_OK : leave_node(r, at);
    }
    const hr_plan_kind kind = r->meanings[n->meaning].kind;
    if (kind == HR_PLAN_SCALE || kind == HR_PLAN_ORIGIN) {
        return HR_OK;
    }
    if (is_invisible(r, at)) {
        return plan_leave(r, plan_outer_name(r, at), "invisible: neither stroke nor fill", NULL, 1,
                          plan_drawn_length_m(r, at), r->drawing->nodes[at].line);
    }
    return add_shape(r, at);
}

/* A layer that was switched off by accident is walls that are not there. */
static hr_status leave_hidden(plan_reader *r, size_t at)
{
    const plan_node *n = &r->nodes[at];
    if (r->drawing->nodes[at].kind != HR_SVG_SHAPE || n->meaning == HR_PLAN_NONE) {
        return HR_OK;
    }
    const plan_meaning *m = &r->meanings[n->meaning];
    if (m->kind == HR_PLAN_IGNORE || m->kind == HR_PLAN_SCALE || m->kind == HR_PLAN_ORIGIN) {
        return HR_OK;
    }
    return plan_leave(r, m->written, "hidden in the drawing", NULL, 1, plan_drawn_length_m(r, at),
                      r->drawing->nodes[at].line);
}

hr_status plan_gather(plan_reader *r)
{
    hr_status status = HR_OK;
    for (size_t i = 0; i < r->drawing->node_count && status == HR_OK; i++) {
        const hr_svg_node *node = &r->drawing->nodes[i];
        const uint32_t flags = r->nodes[i].flags;
        if ((flags & PLAN_IN_LAYER) == 0) {
            continue;
        }
        if ((flags & PLAN_HIDDEN) != 0 || node->invisible) {
            status = leave_hidden(r, i);
        } else if (node->kind == HR_SVG_IMAGE) {
            r->plan->image_count++;
        } else if (node->kind == HR_SVG_SHAPE) {
            status = gather_shape(r, i);
        }
    }
    return status;
}
