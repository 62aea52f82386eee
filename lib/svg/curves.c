/*
 * curves.c - the pen: draws lines and curves through a matrix into the store
 * of exact curves. Moves are stored only when something is drawn after them.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <math.h>
#include <string.h>

static bool within(double v)
{
    return v >= -HR_MAX_COORDINATE && v <= HR_MAX_COORDINATE; /* accept form: NaN is out */
}

bool svg_pen_put(svg_pen *pen, uint8_t op, const double *args, size_t count)
{
    svg_curves *curves = pen->curves;
    if (op != SVG_OP_MOVE) {
        if (curves->pieces >= HR_MAX_SEGMENTS) {
            pen->fault = SVG_FAULT_PIECES;
            return false;
        }
        curves->pieces++;
    }
    if (!HR_RESERVE(curves->ops, curves->op_cap, curves->op_count + 1) ||
        !HR_RESERVE(curves->args, curves->arg_cap, curves->arg_count + count)) {
        pen->fault = SVG_FAULT_MEMORY;
        return false;
    }
    curves->ops[curves->op_count++] = op;
    if (count > 0) {
        memcpy(curves->args + curves->arg_count, args, count * sizeof *args);
        curves->arg_count += count;
    }
    return true;
}

/* Points of an operation, mapped and checked. */
static bool put_points(svg_pen *pen, uint8_t op, const hr_point *points, size_t count)
{
    double args[6];
    for (size_t i = 0; i < count; i++) {
        const hr_point p = svg_matrix_point(pen->matrix, points[i].x, points[i].y);
        if (!within(p.x) || !within(p.y)) {
            pen->fault = SVG_FAULT_COORDINATE;
            return false;
        }
        args[2 * i] = p.x;
        args[2 * i + 1] = p.y;
    }
    return svg_pen_put(pen, op, args, 2 * count);
}

void svg_pen_move(svg_pen *pen, double x, double y)
{
    pen->at = pen->start = (hr_point){x, y};
    pen->begun = false;
}

bool svg_pen_begin(svg_pen *pen)
{
    if (pen->fault != SVG_NO_FAULT) {
        return false;
    }
    if (!pen->begun) {
        pen->begun = put_points(pen, SVG_OP_MOVE, &pen->start, 1);
    }
    return pen->begun;
}

void svg_pen_line(svg_pen *pen, double x, double y)
{
    const hr_point to = {x, y};
    if (svg_pen_begin(pen) && put_points(pen, SVG_OP_LINE, &to, 1)) {
        pen->at = to;
    }
}

void svg_pen_cubic(svg_pen *pen, hr_point c1, hr_point c2, hr_point to)
{
    const hr_point points[3] = {c1, c2, to};
    if (svg_pen_begin(pen) && put_points(pen, SVG_OP_CUBIC, points, 3)) {
        pen->at = to;
    }
}

/* The same curve as a cubic: control points two thirds of the way to the old one. */
void svg_pen_quadratic(svg_pen *pen, hr_point control, hr_point to)
{
    const double part = 2.0 / 3.0;
    const hr_point c1 = {pen->at.x + part * (control.x - pen->at.x), pen->at.y + part * (control.y - pen->at.y)};
    const hr_point c2 = {to.x + part * (control.x - to.x), to.y + part * (control.y - to.y)};
    svg_pen_cubic(pen, c1, c2, to);
}

void svg_pen_close(svg_pen *pen)
{
    if (svg_pen_begin(pen) && svg_pen_put(pen, SVG_OP_CLOSE, NULL, 0)) {
        pen->at = pen->start;
        pen->begun = false; /* what follows without a move starts here again */
    }
}
