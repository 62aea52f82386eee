/*
 * scale.c - metres per drawing unit, and where (0,0) lies.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <math.h>

/* Scale lines and other figures may differ by this much. */
#define SCALE_LINES_AGREE 0.001
#define SCALE_FIGURES_AGREE 0.01
#define ORIGINS_AGREE_M 0.001
#define SCALE_MIN 1e-9
#define SCALE_MAX 1e6

/* Whether the node is a mark to look at in this pass: first those inside the
 * layer that was asked for, then those outside that are drawn. */
static bool looked_at(const plan_reader *r, size_t at, bool inside, hr_plan_kind kind)
{
    const plan_node *n = &r->nodes[at];
    const hr_svg_node *node = &r->drawing->nodes[at];
    if (node->kind != HR_SVG_SHAPE || node->invisible || n->meaning == HR_PLAN_NONE ||
        r->meanings[n->meaning].kind != kind) {
        return false;
    }
    const bool in_layer = (n->flags & PLAN_IN_LAYER) != 0;
    return inside ? in_layer && (n->flags & PLAN_HIDDEN) == 0 : !in_layer && (n->flags & PLAN_HIDDEN_ALL) == 0;
}

/* Drawing units between the ends of a scale line. */
static hr_status line_length(plan_reader *r, size_t at, double *length)
{
    const hr_svg_node *node = &r->drawing->nodes[at];
    const char *name = r->meanings[r->nodes[at].meaning].written;
    const hr_svg_path *path = node->path_count == 1 ? &r->drawing->paths[node->first_path] : NULL;
    if (path != NULL && path->count == 1) {
        return hr_fail(r->err, HR_ERR_INPUT, r->file, node->line, "\"%s\" has no length", name);
    }
    if (path == NULL || path->count != 2) {
        return hr_fail(r->err, HR_ERR_INPUT, r->file, node->line,
                       "\"%s\" must be one straight line between two points, this %s is not", name, node->element);
    }
    if (!node->similar) {
        return hr_fail(r->err, HR_ERR_INPUT, r->file, node->line,
                       "\"%s\" is drawn under a transform that stretches or skews it: its length says nothing", name);
    }
    *length = hr_geometry_distance(r->drawing->points[path->first], r->drawing->points[path->first + 1]);
    if (!(*length > 0.0)) {
        return hr_fail(r->err, HR_ERR_INPUT, r->file, node->line, "\"%s\" has no length", name);
    }
    return HR_OK;
}

static hr_status from_lines(plan_reader *r, bool inside, double *scale)
{
    size_t first = SIZE_MAX;
    for (size_t i = 0; i < r->drawing->node_count; i++) {
        if (!looked_at(r, i, inside, HR_PLAN_SCALE)) {
            continue;
        }
        const plan_meaning *m = &r->meanings[r->nodes[i].meaning];
        double length = 0.0;
        const hr_status status = line_length(r, i, &length);
        if (status != HR_OK) {
            return status;
        }
        const double found = m->length_m / length;
        if (first == SIZE_MAX) {
            first = i;
            *scale = found;
        } else if (fabs(found - *scale) > SCALE_LINES_AGREE * *scale) {
            char one[HR_FIXED_MAX], two[HR_FIXED_MAX];
            return hr_fail(
                r->err, HR_ERR_INPUT, r->file, r->drawing->nodes[i].line,
                "this scale line says %s m to a drawing unit, the one on line %d says %s: one line is enough",
                hr_short(found, 9, one), r->drawing->nodes[first].line, hr_short(*scale, 9, two));
        }
    }
    return HR_OK;
}

/* The scale was found on coarsely flattened shapes: now that they are fine, a
 * bow between two points shows. */
hr_status plan_check_scale(plan_reader *r)
{
    for (size_t i = 0; i < r->drawing->node_count; i++) {
        const bool used = looked_at(r, i, true, HR_PLAN_SCALE) ||
                          (r->layer != SIZE_MAX && !r->scale_inside && looked_at(r, i, false, HR_PLAN_SCALE));
        double length = 0.0;
        const hr_status status = used ? line_length(r, i, &length) : HR_OK;
        if (status != HR_OK) {
            return status;
        }
    }
    return HR_OK;
}

/* Metres per unit from the page's physical size and its viewBox; 0: unknown. */
static double from_page(const plan_reader *r)
{
    const hr_svg_drawing *d = r->drawing;
    if (!(r->options->drawn_at > 0.0) || !(d->view_w > 0.0) || !(d->view_h > 0.0)) {
        return 0.0;
    }
    const double across = d->width_mm > 0.0 ? d->width_mm / d->view_w : 0.0;
    const double down = d->height_mm > 0.0 ? d->height_mm / d->view_h : 0.0;
    if (across > 0.0 && down > 0.0 && fabs(across - down) > SCALE_FIGURES_AGREE * across) {
        hr_note(r->notes, r->file, 0,
                "width and height do not have the proportions of the viewBox: the smaller scale counts");
    }
    const double mm = across > 0.0 && down > 0.0 ? fmin(across, down) : fmax(across, down);
    return mm / 1000.0 * r->options->drawn_at;
}

static void compare(plan_reader *r, double line, double other, const char *what)
{
    if (line > 0.0 && other > 0.0 && fabs(other - line) > SCALE_FIGURES_AGREE * line) {
        char one[HR_FIXED_MAX], two[HR_FIXED_MAX];
        hr_note(r->notes, r->file, 0, "the scale line says %s m to a drawing unit, %s says %s: the scale line counts",
                hr_short(line, 9, one), what, hr_short(other, 9, two));
    }
}

static hr_status no_scale(plan_reader *r)
{
    static const char *const advice = "draw one line of known length and name it `scale: 10 m`, or set metres_per_unit "
                                      "in [drawing], or drawn_at = 1:100 "
                                      "where width and height are in mm with a viewBox";
    if (!r->options->lenient) {
        return hr_fail(r->err, HR_ERR_INPUT, r->file, 0, "drawing has no scale: %s", advice);
    }
    hr_note(r->notes, r->file, 0, "drawing has no scale, lengths are in drawing units: %s", advice);
    r->scale = 1.0;
    return HR_OK;
}

hr_status plan_find_scale(plan_reader *r)
{
    double line = 0.0;
    hr_status status = from_lines(r, true, &line);
    r->scale_inside = line > 0.0;
    if (status == HR_OK && !(line > 0.0) && r->layer != SIZE_MAX) {
        status = from_lines(r, false, &line);
    }
    if (status != HR_OK) {
        return status;
    }
    const double given = r->options->metres_per_unit, page = from_page(r);
    compare(r, line, given, "metres_per_unit");
    compare(r, line, page, "drawn_at");
    if (!(line > 0.0) && given > 0.0 && page > 0.0 && fabs(given - page) > SCALE_FIGURES_AGREE * given) {
        hr_note(r->notes, r->file, 0, "metres_per_unit and drawn_at differ: metres_per_unit counts");
    }
    const double scale = line > 0.0 ? line : given > 0.0 ? given : page;
    if (!(scale > 0.0)) {
        return no_scale(r);
    }
    if (!(scale >= SCALE_MIN && scale <= SCALE_MAX)) {
        char text[HR_FIXED_MAX];
        return hr_fail(r->err, HR_ERR_INPUT, r->file, 0, "%s m to a drawing unit is no scale of a building",
                       hr_short(scale, 9, text));
    }
    r->scale = scale;
    r->plan->metres_per_unit = scale;
    r->plan->scale_from = line > 0.0 ? "scale line" : given > 0.0 ? "metres_per_unit" : "drawn_at";
    return HR_OK;
}

/* Centres of the marks, one per node that is named origin. */
static hr_status find_marks(plan_reader *r, bool inside, hr_point *origin, bool *found)
{
    size_t first = SIZE_MAX;
    for (size_t i = 0; i < r->drawing->node_count;) {
        if (!looked_at(r, i, inside, HR_PLAN_ORIGIN)) {
            i++;
            continue;
        }
        const size_t begin = i;
        const uint32_t from = r->nodes[i].from;
        hr_box box = plan_node_box(r, i);
        for (i++; i < r->drawing->node_count && r->nodes[i].from == from; i++) {
            if (looked_at(r, i, inside, HR_PLAN_ORIGIN)) {
                plan_box_add(&box, plan_node_box(r, i));
            }
        }
        if (box.x0 > box.x1) {
            continue; /* nothing drawn */
        }
        const hr_point centre = {0.5 * (box.x0 + box.x1), 0.5 * (box.y0 + box.y1)};
        if (first != SIZE_MAX && hr_geometry_distance(centre, *origin) * r->scale > ORIGINS_AGREE_M) {
            return hr_fail(r->err, HR_ERR_INPUT, r->file, r->drawing->nodes[begin].line,
                           "a second mark named origin, the first is on line %d: one point is the origin",
                           r->drawing->nodes[first].line);
        }
        if (first == SIZE_MAX) {
            first = begin;
            *origin = centre;
        }
    }
    *found = first != SIZE_MAX;
    return HR_OK;
}

hr_status plan_find_origin(plan_reader *r)
{
    hr_point origin = {0.0, 0.0};
    bool found = false;
    hr_status status = find_marks(r, true, &origin, &found);
    if (status == HR_OK && !found && r->layer != SIZE_MAX) {
        status = find_marks(r, false, &origin, &found);
    }
    if (status == HR_OK) {
        r->origin = found ? origin : (hr_point){0.0, 0.0};
        r->plan->origin_units = r->origin;
        r->plan->has_origin = found;
    }
    return status;
}
