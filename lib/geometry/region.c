/*
 * region.c - closed shapes: inside, distance to the outline, area.
 *
 * SPDX-License-Identifier: MIT
 */
#include "geometry_priv.h"

#include <math.h>

hr_segment geometry_ring_edge(const hr_ring *ring, size_t i)
{
    return (hr_segment){ring->points[i], ring->points[i + 1 < ring->count ? i + 1 : 0]};
}

hr_box hr_geometry_region_box(const hr_ring *rings, size_t ring_count)
{
    hr_box box = hr_geometry_box(NULL, 0);
    for (size_t r = 0; r < ring_count; r++) {
        const hr_box one = hr_geometry_box(rings[r].points, rings[r].count);
        box.x0 = fmin(box.x0, one.x0);
        box.y0 = fmin(box.y0, one.y0);
        box.x1 = fmax(box.x1, one.x1);
        box.y1 = fmax(box.y1, one.y1);
    }
    return box;
}

int geometry_ring_winding(const hr_ring *ring, hr_point p, bool *odd, bool *on_outline)
{
    int winding = 0;
    bool parity = false, on = false;
    for (size_t i = 0; i < ring->count; i++) {
        const hr_segment edge = geometry_ring_edge(ring, i);
        const bool up = edge.a.y <= p.y && edge.b.y > p.y;
        const bool down = edge.b.y <= p.y && edge.a.y > p.y;
        if (up || down) {
            const double side = geometry_orient(edge.a, edge.b, p);
            on = on || side == 0.0;
            if (up ? side > 0.0 : side < 0.0) {
                winding += up ? 1 : -1;
                parity = !parity;
            }
        } else if (!on && (edge.a.y == p.y || edge.b.y == p.y)) {
            on = geometry_on_segment(p, edge);
        }
    }
    *odd = parity;
    *on_outline = on;
    return winding;
}

bool hr_geometry_inside(const hr_region *region, hr_point p, double edge)
{
    if (!hr_geometry_box_holds(region->box, p, edge > 0.0 ? edge : 0.0)) {
        return false;
    }
    int winding = 0;
    bool odd = false;
    for (size_t r = 0; r < region->ring_count; r++) {
        bool ring_odd = false, on = false;
        winding += geometry_ring_winding(&region->rings[r], p, &ring_odd, &on);
        odd = odd != ring_odd;
        if (on) {
            return true;
        }
    }
    if (region->even_odd ? odd : winding != 0) {
        return true;
    }
    return edge > 0.0 && hr_geometry_to_outline(region, p, NULL) <= edge;
}

double hr_geometry_to_outline(const hr_region *region, hr_point p, hr_point *nearest)
{
    double best = HUGE_VAL;
    for (size_t r = 0; r < region->ring_count; r++) {
        const hr_ring *ring = &region->rings[r];
        for (size_t i = 0; i < ring->count; i++) {
            const hr_segment edge = geometry_ring_edge(ring, i);
            double fraction = 0.0;
            const double distance = hr_geometry_to_segment(p, edge, &fraction);
            if (distance < best) {
                best = distance;
                if (nearest != NULL) {
                    *nearest = hr_geometry_at(edge, fraction);
                }
            }
        }
    }
    return best;
}

double geometry_ring_moments(const hr_ring *ring, hr_point origin, hr_point *centre_sum)
{
    double twice = 0.0, x = 0.0, y = 0.0;
    for (size_t i = 0; i < ring->count; i++) {
        const hr_segment edge = geometry_ring_edge(ring, i);
        const double ax = edge.a.x - origin.x, ay = edge.a.y - origin.y;
        const double bx = edge.b.x - origin.x, by = edge.b.y - origin.y;
        const double piece = ax * by - ay * bx;
        twice += piece;
        x += piece * (ax + bx);
        y += piece * (ay + by);
    }
    *centre_sum = (hr_point){x / 6.0, y / 6.0};
    return 0.5 * twice;
}

static int sign_of_ring(const hr_ring *ring)
{
    hr_point unused;
    const double area = ring->count > 0 ? geometry_ring_moments(ring, ring->points[0], &unused) : 0.0;
    return (area > 0.0) - (area < 0.0);
}

/* Winding of `outer` round the whole of `ring`, taken where the two do not
 * touch. Where they touch everywhere they are one outline drawn twice: then
 * the later one lies in the earlier one. */
static int winding_round(const hr_ring *outer, const hr_ring *ring, bool earlier, bool *odd)
{
    const hr_box large = hr_geometry_box(outer->points, outer->count);
    const hr_box small = hr_geometry_box(ring->points, ring->count);
    *odd = false;
    if (small.x0 < large.x0 || small.y0 < large.y0 || small.x1 > large.x1 || small.y1 > large.y1) {
        return 0;
    }
    for (size_t i = 0; i < 2 * ring->count; i++) {
        const hr_segment edge = geometry_ring_edge(ring, i % ring->count);
        bool on = false;
        const int winding = geometry_ring_winding(outer, hr_geometry_at(edge, i < ring->count ? 0.0 : 0.5), odd, &on);
        if (!on) {
            return winding;
        }
    }
    *odd = earlier;
    return earlier ? sign_of_ring(outer) : 0;
}

int geometry_ring_weight(const hr_region *region, size_t ring)
{
    int around = 0;
    bool odd = false;
    for (size_t other = 0; other < region->ring_count; other++) {
        bool ring_odd = false;
        if (other != ring && region->rings[other].count > 0) {
            around += winding_round(&region->rings[other], &region->rings[ring], other < ring, &ring_odd);
            odd = odd != ring_odd;
        }
    }
    if (region->even_odd) {
        return odd ? -1 : 1;
    }
    const int within = around + sign_of_ring(&region->rings[ring]);
    return (within != 0) - (around != 0);
}

/* Each ring adds or takes away what it encloses, by whether the space just
 * within it and just outside it is filled. */
double hr_geometry_area(const hr_region *region)
{
    double area = 0.0;
    for (size_t r = 0; r < region->ring_count; r++) {
        const hr_ring *ring = &region->rings[r];
        if (ring->count >= 3) {
            hr_point unused;
            area += geometry_ring_weight(region, r) * fabs(geometry_ring_moments(ring, ring->points[0], &unused));
        }
    }
    return area > 0.0 ? area : 0.0;
}
