/*
 * corners.c - closes what pairing leaves open: a wall that moved to its centre
 * line no longer meets the walls that met its faces.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <math.h>

/* Walls that meet at a flatter angle than this do not make a corner. */
#define CORNER_RAD 0.5235987755982988
/* Centre lines in one line, cut by a wall that joins them from the side. */
#define IN_LINE_RAD 0.03490658503988659
#define IN_LINE_M 0.05
/* An end lies on a face within this. */
#define FACE_M 0.01

/* How far beyond its end at `from` -> `end` a wall must go to meet a centre line
 * whose face it stops at; below 0: it does not stop there. */
static double reach_to(hr_point from, hr_point end, hr_segment other, double thick_m)
{
    const double length = hr_geometry_distance(from, end);
    const double other_length = hr_geometry_length(other);
    const double ux = (end.x - from.x) / length, uy = (end.y - from.y) / length;
    const double vx = (other.b.x - other.a.x) / other_length, vy = (other.b.y - other.a.y) / other_length;
    const double cross = ux * vy - uy * vx;
    if (fabs(cross) <= sin(CORNER_RAD)) {
        return -1.0;
    }
    const double dx = other.a.x - end.x, dy = other.a.y - end.y;
    const double along = (dx * vy - dy * vx) / cross;
    const double on_other = (dx * uy - dy * ux) / cross;
    const double most = 0.5 * thick_m + FACE_M;
    const bool meets =
        along > 0.0 && along * fabs(cross) <= most && on_other >= -2.0 * most && on_other <= other_length + 2.0 * most;
    return meets ? along : -1.0;
}

/* How far to the middle of the gap to a centre line that goes on in the same line; below 0: none does. */
static double reach_on(hr_point from, hr_point end, hr_segment other, double most)
{
    const hr_segment line = {from, end};
    const double a = hr_geometry_distance(end, other.a), b = hr_geometry_distance(end, other.b);
    const hr_point near = a <= b ? other.a : other.b;
    const double length = hr_geometry_length(line);
    const double along = ((near.x - end.x) * (end.x - from.x) + (near.y - end.y) * (end.y - from.y)) / length;
    const double aside = fabs((near.x - end.x) * (end.y - from.y) - (near.y - end.y) * (end.x - from.x)) / length;
    const bool goes_on =
        hr_geometry_angle(line, other) <= IN_LINE_RAD && along > 0.0 && along <= most && aside <= IN_LINE_M;
    return goes_on ? 0.5 * along : -1.0;
}

/* The extension of one end of a wall. */
static hr_status extend(plan_reader *r, const hr_index *index, uint32_t wall, bool at_b, const double *thick_m,
                        double distance_m, double *by)
{
    const hr_segment line = r->walls[wall].line;
    const hr_point from = at_b ? line.a : line.b, end = at_b ? line.b : line.a;
    const hr_status status = plan_query(r, index, (hr_segment){end, end}, distance_m);
    *by = 0.0;
    double best = HUGE_VAL;
    for (size_t i = 0; i < r->ids.count && status == HR_OK; i++) {
        const uint32_t other = r->ids.at[i];
        if (other == wall || !(thick_m[other] > 0.0)) {
            continue;
        }
        const hr_segment across = r->walls[other].line;
        if (hr_geometry_to_segment(end, across, NULL) <= PLAN_CRUMB_M) {
            return HR_OK; /* it meets a wall as it is */
        }
        const double to = reach_to(from, end, across, thick_m[other]);
        best = to >= 0.0 && to < best ? to : best;
        const double on = thick_m[wall] > 0.0 ? reach_on(from, end, across, distance_m) : -1.0;
        best = on >= 0.0 && on < best ? on : best;
    }
    *by = isfinite(best) ? best : 0.0;
    return status;
}

hr_status plan_close_corners(plan_reader *r, const double *thick_m, double distance_m)
{
    const size_t count = r->plan->wall_count;
    hr_index *index = NULL;
    double *by = hr_alloc_zero(count, 2 * sizeof *by);
    hr_status status = by == NULL ? hr_fail_memory(r->err) : plan_index_walls(r, &index);
    for (size_t i = 0; i < 2 * count && status == HR_OK; i++) {
        status = extend(r, index, (uint32_t)(i / 2), i % 2 == 1, thick_m, distance_m, &by[i]);
    }
    for (size_t i = 0; i < count && status == HR_OK; i++) {
        const hr_segment line = r->walls[i].line;
        const double length = hr_geometry_length(line);
        const double ux = (line.b.x - line.a.x) / length, uy = (line.b.y - line.a.y) / length;
        r->walls[i].line = (hr_segment){{line.a.x - ux * by[2 * i], line.a.y - uy * by[2 * i]},
                                        {line.b.x + ux * by[2 * i + 1], line.b.y + uy * by[2 * i + 1]}};
    }
    hr_geometry_index_free(index);
    hr_free(by);
    return status;
}
