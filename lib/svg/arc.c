/*
 * arc.c - elliptical arcs from endpoints to centre and axis vectors.
 *
 * Source: SVG 1.1 Second Edition, F.6.2 (out-of-range parameters), F.6.5
 * (conversion from endpoint to centre), F.6.6 (correction of radii). The
 * formulas are used in the frame where the ellipse is the unit circle about
 * the middle of the chord: with p the half chord there, |p| is sqrt(lambda),
 * the centre lies sqrt(1 - |p|^2) off the middle and the smaller turn is
 * 2 asin |p|. That form neither overflows nor cancels for radii like 1e300.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <math.h>

#define PI 3.141592653589793
/* Turns smaller than this are stored as one cubic: its error, 2e-5 r turn^6
 * (Goldapp, 1991), is then below 2e-17 r, while centre plus radius would
 * lose digits as the radius grows. */
#define SMALL_TURN 0.01

/* The unit-circle frame of one arc. */
typedef struct arc_frame {
    hr_point middle; /* of the chord                       */
    hr_point ux, uy; /* axis vectors: radius times direction */
    hr_point p;      /* half chord, |p| <= 1                */
    double length;   /* |p|                                 */
} arc_frame;

static hr_point in_user(const arc_frame *frame, double x, double y)
{
    return (hr_point){frame->middle.x + frame->ux.x * x + frame->uy.x * y,
                      frame->middle.y + frame->ux.y * x + frame->uy.y * y};
}

/* Linear part only: an axis vector under the pen's matrix. */
static hr_point turned(const svg_matrix *m, hr_point v)
{
    return (hr_point){m->a * v.x + m->c * v.y, m->b * v.x + m->d * v.y};
}

static arc_frame frame_of(hr_point from, hr_point to, double rx, double ry, double angle_deg)
{
    const double phi = fmod(angle_deg, 360.0) * (PI / 180.0);
    const double cosine = cos(phi), sine = sin(phi);
    const double half_x = 0.5 * (from.x - to.x), half_y = 0.5 * (from.y - to.y);
    const double x = cosine * half_x + sine * half_y, y = cosine * half_y - sine * half_x; /* F.6.5.1 */
    if (!(hypot(x / rx, y / ry) <= 1.0)) {
        /* F.6.6.3 in a form that stays finite when x / rx does not */
        const double fit_x = hypot(x, y * (rx / ry)), fit_y = hypot(x * (ry / rx), y);
        if (!(fit_x > 0.0 && fit_y > 0.0)) {
            return (arc_frame){.length = 0.0};
        }
        rx = fit_x;
        ry = fit_y;
    }
    arc_frame frame = {.middle = {0.5 * from.x + 0.5 * to.x, 0.5 * from.y + 0.5 * to.y},
                       .ux = {rx * cosine, rx * sine},
                       .uy = {-ry * sine, ry * cosine},
                       .p = {x / rx, y / ry}};
    frame.length = hypot(frame.p.x, frame.p.y);
    if (frame.length > 1.0) { /* one rounding above 1 */
        frame.p.x /= frame.length;
        frame.p.y /= frame.length;
        frame.length = 1.0;
    }
    return frame;
}

static void small_arc(svg_pen *pen, const arc_frame *frame, hr_point centre, double turn, hr_point to)
{
    const double handle = 4.0 / 3.0 * tan(0.25 * turn);
    const hr_point p = frame->p;
    const double from_x = p.x - centre.x, from_y = p.y - centre.y;
    const double to_x = -p.x - centre.x, to_y = -p.y - centre.y;
    svg_pen_cubic(pen, in_user(frame, p.x - handle * from_y, p.y + handle * from_x),
                  in_user(frame, -p.x + handle * to_y, -p.y - handle * to_x), to);
}

static void put_arc(svg_pen *pen, const double args[8], hr_point to)
{
    const hr_point end = svg_matrix_point(pen->matrix, to.x, to.y);
    double all[10];
    bool fine = fabs(end.x) <= HR_MAX_COORDINATE && fabs(end.y) <= HR_MAX_COORDINATE;
    for (int i = 0; i < 8; i++) {
        all[i] = args[i];
        fine = fine && isfinite(args[i]);
    }
    all[8] = end.x;
    all[9] = end.y;
    if (!fine) {
        pen->fault = SVG_FAULT_COORDINATE;
    } else if (svg_pen_put(pen, SVG_OP_ARC, all, 10)) {
        pen->at = to;
    }
}

static void large_arc(svg_pen *pen, const arc_frame *frame, hr_point centre, double turn, hr_point to)
{
    const hr_point middle = in_user(frame, centre.x, centre.y);
    const hr_point c = svg_matrix_point(pen->matrix, middle.x, middle.y);
    const hr_point u = turned(&pen->matrix, frame->ux), v = turned(&pen->matrix, frame->uy);
    const double start = atan2(frame->p.y - centre.y, frame->p.x - centre.x);
    put_arc(pen, (const double[8]){c.x, c.y, u.x, u.y, v.x, v.y, start, turn}, to);
}

void svg_pen_arc(svg_pen *pen, double rx, double ry, double angle_deg, bool large, bool sweep, hr_point to)
{
    const hr_point from = pen->at;
    if (from.x == to.x && from.y == to.y) {
        return; /* F.6.2: the segment is left out */
    }
    rx = fabs(rx);
    ry = fabs(ry);
    if (!(rx > 0.0 && ry > 0.0)) {
        svg_pen_line(pen, to.x, to.y); /* F.6.2 */
        return;
    }
    const arc_frame frame = frame_of(from, to, rx, ry, angle_deg);
    const bool finite = isfinite(frame.p.x) && isfinite(frame.p.y) && isfinite(frame.ux.x) && isfinite(frame.ux.y) &&
                        isfinite(frame.uy.x) && isfinite(frame.uy.y);
    if (!finite || !(frame.length > 0.0)) {
        svg_pen_line(pen, to.x, to.y); /* radii so large or so far apart that no ellipse can be told from it */
        return;
    }
    if (!svg_pen_begin(pen)) {
        return;
    }
    /* F.6.5.2: the root is positive when the flags differ */
    const double off = sqrt((1.0 - frame.length) * (1.0 + frame.length)) * (large != sweep ? 1.0 : -1.0);
    const hr_point centre = {off * frame.p.y / frame.length, -off * frame.p.x / frame.length};
    const double smaller = 2.0 * asin(frame.length);
    const double turn = (large ? 2.0 * PI - smaller : smaller) * (sweep ? 1.0 : -1.0);
    if (fabs(turn) < SMALL_TURN) {
        small_arc(pen, &frame, centre, turn, to);
    } else {
        large_arc(pen, &frame, centre, turn, to);
    }
}

void svg_pen_ellipse(svg_pen *pen, hr_point centre, double rx, double ry)
{
    const hr_point start = {centre.x + rx, centre.y};
    svg_pen_move(pen, start.x, start.y);
    if (!svg_pen_begin(pen)) {
        return;
    }
    const hr_point c = svg_matrix_point(pen->matrix, centre.x, centre.y);
    const hr_point u = turned(&pen->matrix, (hr_point){rx, 0.0}), v = turned(&pen->matrix, (hr_point){0.0, ry});
    put_arc(pen, (const double[8]){c.x, c.y, u.x, u.y, v.x, v.y, 0.0, 2.0 * PI}, start);
    svg_pen_close(pen);
}
