/*
 * flatten.c - exact curves into straight pieces within a tolerance.
 *
 * The number of pieces of a curve is known before any is made, so absurd
 * input meets the cap and not the clock. Cubic curves: Wang's bound, a chord
 * over 1/n of the parameter deviates by at most max|second difference| * 6 /
 * (8 n^2) (Wang, 1984; Sederberg, Computer Aided Geometric Design, 10.6). Arcs:
 * sagitta of the unit circle times the longer axis.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <math.h>
#include <string.h>

#define PI 3.141592653589793
/* A round column stays round: a full turn has at least this many pieces. */
#define PIECES_PER_TURN_MIN 16.0
/* A last point this near to the first one (beside the coordinates) is the first one. */
#define SAME_POINT 1e-12

typedef struct flat {
    hr_point *points;
    size_t point_count, point_cap;
    hr_svg_path *paths;
    size_t path_count, path_cap;
    size_t pieces;
    double tolerance;
    hr_status status; /* MEMORY or LIMIT */
} flat;

static bool is_within(hr_point p)
{
    return fabs(p.x) <= HR_MAX_COORDINATE && fabs(p.y) <= HR_MAX_COORDINATE;
}

static bool add_point(flat *out, hr_point p)
{
    if (out->status != HR_OK) {
        return false;
    }
    if (!is_within(p)) {
        out->status = HR_ERR_INPUT; /* told as a coordinate over the limit */
        return false;
    }
    if (!HR_RESERVE(out->points, out->point_cap, out->point_count + 1)) {
        out->status = HR_ERR_MEMORY;
        return false;
    }
    hr_svg_path *path = &out->paths[out->path_count - 1];
    if (path->count > 0) {
        const hr_point before = out->points[out->point_count - 1];
        if (before.x == p.x && before.y == p.y) {
            return true; /* a piece of no length says nothing */
        }
    }
    out->points[out->point_count++] = p;
    path->count++;
    return true;
}

static void add_path(flat *out, hr_point start)
{
    if (out->status != HR_OK) {
        return;
    }
    if (!HR_RESERVE(out->paths, out->path_cap, out->path_count + 1)) {
        out->status = HR_ERR_MEMORY;
        return;
    }
    out->paths[out->path_count++] = (hr_svg_path){.first = out->point_count};
    (void)add_point(out, start);
}

/* Takes n pieces (not yet rounded up) off the budget; 0 when it is used up. */
static size_t budget(flat *out, double n)
{
    const double whole = ceil(fmax(n, 1.0));
    if (!(whole <= (double)(HR_MAX_SEGMENTS - out->pieces))) {
        out->status = out->status == HR_OK ? HR_ERR_LIMIT : out->status;
        return 0;
    }
    out->pieces += (size_t)whole;
    return (size_t)whole;
}

static double bend(hr_point a, hr_point b, hr_point c)
{
    return hypot(a.x - 2.0 * b.x + c.x, a.y - 2.0 * b.y + c.y);
}

static void flat_cubic(flat *out, hr_point from, const double *args)
{
    const hr_point c1 = {args[0], args[1]}, c2 = {args[2], args[3]}, to = {args[4], args[5]};
    const double most = fmax(bend(from, c1, c2), bend(c1, c2, to));
    const size_t n = budget(out, sqrt(0.75 * most / out->tolerance));
    for (size_t i = 1; i < n; i++) {
        const double t = (double)i / (double)n, s = 1.0 - t;
        const double w0 = s * s * s, w1 = 3.0 * s * s * t, w2 = 3.0 * s * t * t, w3 = t * t * t;
        const hr_point p = {w0 * from.x + w1 * c1.x + w2 * c2.x + w3 * to.x,
                            w0 * from.y + w1 * c1.y + w2 * c2.y + w3 * to.y};
        if (!add_point(out, p)) {
            return;
        }
    }
    if (n > 0) {
        (void)add_point(out, to);
    }
}

static void flat_arc(flat *out, const double *args)
{
    const double ux = args[2], uy = args[3], vx = args[4], vy = args[5], start = args[6], turn = args[7];
    /* longer axis of the ellipse: largest singular value of (u v) */
    const double half = 0.5 * (ux * ux + uy * uy + vx * vx + vy * vy);
    const double across = hypot(0.5 * (ux * ux + uy * uy - vx * vx - vy * vy), ux * vx + uy * vy);
    const double longest = sqrt(half + across);
    /* sagitta of a step: longest (1 - cos(step / 2)) = 2 longest sin^2(step / 4) */
    double step = 2.0 * PI / PIECES_PER_TURN_MIN;
    if (out->tolerance < longest) {
        step = fmin(step, 4.0 * asin(sqrt(0.5 * out->tolerance / longest)));
    }
    double pieces = ceil(fabs(turn) / step - 1e-9);
    if (fabs(turn) >= 2.0 * PI) {
        pieces = 4.0 * ceil(0.25 * pieces); /* a whole ellipse keeps its outermost points */
    }
    const size_t n = budget(out, pieces);
    for (size_t i = 1; i < n; i++) {
        const double t = start + turn * ((double)i / (double)n);
        const double cosine = cos(t), sine = sin(t);
        if (!add_point(out, (hr_point){args[0] + ux * cosine + vx * sine, args[1] + uy * cosine + vy * sine})) {
            return;
        }
    }
    if (n > 0) {
        (void)add_point(out, (hr_point){args[8], args[9]});
    }
}

static void flat_close(flat *out)
{
    if (budget(out, 1.0) == 0 || out->path_count == 0) {
        return;
    }
    hr_svg_path *path = &out->paths[out->path_count - 1];
    path->closed = true;
    while (path->count > 1) {
        const hr_point first = out->points[path->first], last = out->points[path->first + path->count - 1];
        const double near = SAME_POINT * (1.0 + fabs(first.x) + fabs(first.y));
        if (!(fabs(first.x - last.x) <= near && fabs(first.y - last.y) <= near)) {
            break;
        }
        path->count--;
        out->point_count--;
    }
}

static void flat_shape(flat *out, const svg_curves *curves, const svg_shape *shape)
{
    const double *args = curves->args + shape->first_arg;
    hr_point at = {0.0, 0.0};
    for (size_t i = shape->first_op; i < shape->op_end && out->status == HR_OK; i++) {
        size_t used = 2;
        switch (curves->ops[i]) {
        case SVG_OP_MOVE:
            add_path(out, (hr_point){args[0], args[1]});
            break;
        case SVG_OP_LINE:
            if (budget(out, 1.0) > 0) {
                (void)add_point(out, (hr_point){args[0], args[1]});
            }
            break;
        case SVG_OP_CUBIC:
            flat_cubic(out, at, args);
            used = 6;
            break;
        case SVG_OP_ARC:
            flat_arc(out, args);
            used = 10;
            break;
        default: /* SVG_OP_CLOSE */
            flat_close(out);
            used = 0;
            break;
        }
        if (used > 0) {
            at = (hr_point){args[used - 2], args[used - 1]};
            args += used;
        }
    }
}

static hr_status told(const hr_svg_drawing *drawing, size_t node, hr_status status, hr_error *err)
{
    const int line = drawing->nodes[node].line;
    if (status == HR_ERR_MEMORY) {
        return hr_fail_memory(err);
    }
    if (status == HR_ERR_INPUT) {
        return hr_fail(err, HR_ERR_LIMIT, drawing->file, line, "<%s> reaches beyond %d user units from the origin",
                       drawing->nodes[node].element, (int)HR_MAX_COORDINATE);
    }
    return hr_fail(err, HR_ERR_LIMIT, drawing->file, line, "more than %zu straight pieces", HR_MAX_SEGMENTS);
}

hr_status hr_svg_flatten(hr_svg_drawing *drawing, double tolerance, hr_error *err)
{
    if (drawing == NULL || !(tolerance > 0.0) || !isfinite(tolerance)) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "hr_svg_flatten: a drawing and a tolerance above 0 are needed");
    }
    const struct hr_svg_private *priv = drawing->priv;
    size_t *firsts = hr_alloc(priv->shape_count + 1, sizeof *firsts);
    flat out = {.tolerance = tolerance};
    if (firsts == NULL) {
        return hr_fail_memory(err);
    }
    for (size_t i = 0; i < priv->shape_count; i++) {
        firsts[i] = out.path_count;
        flat_shape(&out, &priv->curves, &priv->shapes[i]);
        if (out.status != HR_OK) {
            const hr_status status = told(drawing, priv->shapes[i].node, out.status, err);
            hr_free(firsts);
            hr_free(out.points);
            hr_free(out.paths);
            return status;
        }
    }
    firsts[priv->shape_count] = out.path_count;
    for (size_t i = 0; i < priv->shape_count; i++) {
        hr_svg_node *node = &drawing->nodes[priv->shapes[i].node];
        node->first_path = firsts[i];
        node->path_count = firsts[i + 1] - firsts[i];
    }
    hr_free(firsts);
    hr_free(drawing->points);
    hr_free(drawing->paths);
    drawing->points = out.points;
    drawing->point_count = out.point_count;
    drawing->paths = out.paths;
    drawing->path_count = out.path_count;
    return HR_OK;
}
