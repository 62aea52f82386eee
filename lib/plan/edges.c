/*
 * edges.c - outline edges of spaces, and what lies beside them.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <math.h>

/* Edges within half a degree of each other run straight on. */
#define STRAIGHT_RAD 0.008726646259971648

hr_segment plan_edge(const hr_ring *ring, size_t i)
{
    return (hr_segment){ring->points[i], ring->points[i + 1 < ring->count ? i + 1 : 0]};
}

hr_segment plan_run(const hr_ring *ring, size_t edge, size_t *first, size_t *count)
{
    const hr_segment seed = plan_edge(ring, edge);
    size_t from = edge, edges = 1;
    while (edges < ring->count) {
        const size_t before = from > 0 ? from - 1 : ring->count - 1;
        if (hr_geometry_angle(seed, plan_edge(ring, before)) > STRAIGHT_RAD) {
            break;
        }
        from = before;
        edges++;
    }
    size_t to = edge;
    while (edges < ring->count) {
        const size_t after = to + 1 < ring->count ? to + 1 : 0;
        if (hr_geometry_angle(seed, plan_edge(ring, after)) > STRAIGHT_RAD) {
            break;
        }
        to = after;
        edges++;
    }
    if (first != NULL) {
        *first = from;
    }
    if (count != NULL) {
        *count = edges;
    }
    return (hr_segment){ring->points[from], plan_edge(ring, to).b};
}

hr_segment plan_run_on(const hr_ring *ring, size_t edge, size_t most, size_t *count)
{
    const hr_segment seed = plan_edge(ring, edge);
    hr_segment last = seed;
    *count = 1;
    while (*count < most) {
        const hr_segment next = plan_edge(ring, (edge + *count) % ring->count);
        if (hr_geometry_angle(seed, next) > STRAIGHT_RAD) {
            break;
        }
        last = next;
        ++*count;
    }
    return (hr_segment){seed.a, last.b};
}

bool plan_edge_beside(const hr_region *region, hr_segment line, double reach, plan_side *side)
{
    const hr_point middle = hr_geometry_at(line, 0.5);
    double best = HUGE_VAL;
    for (size_t k = 0; k < region->ring_count; k++) {
        for (size_t i = 0; i < region->rings[k].count; i++) {
            const hr_segment edge = plan_edge(&region->rings[k], i);
            const double distance = hr_geometry_to_segment(middle, edge, NULL);
            if (distance <= reach && distance < best && hr_geometry_angle(line, edge) <= PLAN_EDGE_PARALLEL_RAD) {
                best = distance;
                *side = (plan_side){.ring = &region->rings[k], .edge = i};
            }
        }
    }
    if (best > reach) {
        return false;
    }
    side->run = plan_run(side->ring, side->edge, NULL, NULL);
    return true;
}

bool plan_beside_outline(const hr_region *region, hr_segment line, double reach)
{
    const hr_point ends[2] = {line.a, line.b};
    plan_side side;
    return hr_geometry_boxes_touch(region->box, hr_geometry_box(ends, 2), reach) &&
           hr_geometry_to_outline(region, line.a, NULL) <= reach &&
           hr_geometry_to_outline(region, line.b, NULL) <= reach && plan_edge_beside(region, line, reach, &side);
}

bool plan_step_inside(const hr_region *region, hr_segment edge, hr_point at, double step, hr_point *inside)
{
    const double length = hr_geometry_length(edge);
    if (!(length > 0.0)) {
        return false;
    }
    const double nx = -(edge.b.y - edge.a.y) / length, ny = (edge.b.x - edge.a.x) / length;
    for (int sign = 1; sign >= -1; sign -= 2) {
        const hr_point close = {at.x + sign * PLAN_CRUMB_M * nx, at.y + sign * PLAN_CRUMB_M * ny};
        const hr_point p = {at.x + sign * step * nx, at.y + sign * step * ny};
        if (hr_geometry_inside(region, close, 0.0) && hr_geometry_inside(region, p, 0.0)) {
            *inside = p;
            return true;
        }
    }
    return false;
}

hr_point plan_rounded(hr_point p)
{
    return (hr_point){hr_round(p.x, 3), hr_round(p.y, 3)};
}
