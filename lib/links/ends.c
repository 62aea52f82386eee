/*
 * ends.c - what an end adds to a link: its antenna's gain towards the other
 * end, the case it sits in, large metal close to it.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_priv.h"

#include <math.h>

static const double pi = 3.14159265358979323846;

/* A tilted antenna leans to an unknown side: the mean over this many. */
#define LEANS 16

/* ---- antenna ---- */

typedef struct direction {
    double x, y, z; /* unit vector; 0 when the ends coincide */
} direction;

static direction towards(const hr_end *from, const hr_end *to)
{
    const double x = to->at.x - from->at.x, y = to->at.y - from->at.y, z = to->z_m - from->z_m;
    const double length = sqrt(x * x + y * y + z * z);
    return length > 0.0 ? (direction){x / length, y / length, z / length} : (direction){0.0, 0.0, 0.0};
}

/*
 * A half-wave dipole about its axis. The plan does not say to which side a
 * tilted axis leans, so that the mean power over all sides counts; assumed.
 */
static double dipole_db(double tilt_deg, const direction *way)
{
    const double level = sqrt(way->x * way->x + way->y * way->y);
    if (!(tilt_deg > 0.0)) {
        return hr_propagation_dipole_db(atan2(level, way->z), HR_DIPOLE_FLOOR_DB);
    }
    const double tilt = tilt_deg * pi / 180.0;
    double power = 0.0;
    for (int i = 0; i < LEANS; i++) {
        const double lean = 2.0 * pi * ((double)i + 0.5) / LEANS;
        const double cosine = cos(tilt) * way->z + sin(tilt) * cos(lean) * level;
        const double angle = acos(fmin(fmax(cosine, -1.0), 1.0));
        power += pow(10.0, hr_propagation_dipole_db(angle, HR_DIPOLE_FLOOR_DB) / 10.0);
    }
    return 10.0 * log10(power / LEANS);
}

static double gain_dbi(const hr_end *end, const direction *way)
{
    const bool coincide = !(way->x * way->x + way->y * way->y + way->z * way->z > 0.0);
    if (end->radio->pattern != HR_PATTERN_DIPOLE || coincide) {
        return end->radio->antenna_gain_dbi;
    }
    return end->radio->antenna_gain_dbi + dipole_db(end->radio->tilt_deg, way);
}

/* ---- case ---- */

/* Row of the case table by the angle between its opening and the other end:
 * facing up to 60 degrees, side up to 120, away beyond. */
static int row_by_angle(const hr_end *end, const direction *way)
{
    const double cosine = end->faces.x * way->x + end->faces.y * way->y;
    if (!(end->faces.x != 0.0 || end->faces.y != 0.0)) {
        return LINK_CASE_SIDE; /* not known where it opens */
    }
    if (cosine >= 0.5) {
        return LINK_CASE_FACING;
    }
    return cosine >= -0.5 ? LINK_CASE_SIDE : LINK_CASE_AWAY;
}

static void add_case(const hr_links *links, const hr_end *end, const direction *way, hr_end_terms *terms)
{
    if (end->enclosure == HR_ENCLOSURE_NONE) {
        return;
    }
    static const int stated[] = {[HR_ENCLOSURE_ENCLOSED] = LINK_CASE_ENCLOSED,
                                 [HR_ENCLOSURE_FACING] = LINK_CASE_FACING,
                                 [HR_ENCLOSURE_SIDE] = LINK_CASE_SIDE,
                                 [HR_ENCLOSURE_AWAY] = LINK_CASE_AWAY};
    const int row = end->enclosure == HR_ENCLOSURE_CASE ? row_by_angle(end, way) : stated[end->enclosure];
    terms->case_db = links->case_db[row];
    terms->case_row = link_case_names[row];
}

/* ---- metal close by ---- */

static double plan_distance_m(const hr_body *body, hr_point at)
{
    double nearest = (double)INFINITY;
    if (body->region.ring_count > 0) {
        nearest = hr_geometry_inside(&body->region, at, 0.0) ? 0.0 : hr_geometry_to_outline(&body->region, at, NULL);
    }
    for (size_t i = 0; i < body->line_count; i++) {
        nearest = fmin(nearest, hr_geometry_to_segment(at, body->lines[i], NULL));
    }
    return nearest;
}

static hr_box body_box(const hr_body *body)
{
    if (body->region.ring_count > 0 || body->line_count == 0) {
        return body->region.box;
    }
    hr_box box = {body->lines[0].a.x, body->lines[0].a.y, body->lines[0].a.x, body->lines[0].a.y};
    for (size_t i = 0; i < body->line_count; i++) {
        const hr_point ends[2] = {body->lines[i].a, body->lines[i].b};
        const hr_box piece = hr_geometry_box(ends, 2);
        box = (hr_box){fmin(box.x0, piece.x0), fmin(box.y0, piece.y0), fmax(box.x1, piece.x1), fmax(box.y1, piece.y1)};
    }
    return box;
}

/* Distance to the body where it shows the antenna a face of a wavelength square or more, else INFINITY. */
static double large_metal_m(const hr_links *links, const hr_body *body, hr_point at, double height_m, double top_m)
{
    const double wave_m = links->wavelength_m;
    const hr_box box = body_box(body);
    const hr_point point[1] = {at};
    if (!hr_geometry_boxes_touch(hr_geometry_box(point, 1), box, wave_m)) {
        return (double)INFINITY;
    }
    const double low_m = fmax(body->low_m, 0.0), high_m = fmin(body->high_m, top_m);
    const double above_m = fmax(fmax(low_m - height_m, height_m - high_m), 0.0);
    const double wide = fmax(box.x1 - box.x0, box.y1 - box.y0), deep = fmin(box.x1 - box.x0, box.y1 - box.y0);
    const bool side = wide >= wave_m && high_m - low_m >= wave_m;
    const bool lid = deep >= wave_m && above_m > 0.0;
    return side || lid ? hypot(plan_distance_m(body, at), above_m) : (double)INFINITY;
}

static double clearance_db(const hr_links *links, const hr_end *end)
{
    const hr_building *building = links->building;
    const hr_storey *storey = &building->storeys[link_storey_at(building, end->z_m)];
    double nearest = (double)INFINITY;
    for (size_t i = 0; i < storey->plan->metal_count; i++) {
        nearest = fmin(nearest, large_metal_m(links, &storey->plan->metals[i], end->at,
                                              end->z_m - storey->elevation_m, storey->floor_to_floor_m));
    }
    return isinf(nearest) ? 0.0 : hr_propagation_metal_clearance_db(building->radio.frequency_mhz, nearest);
}

void link_end_terms(const hr_links *links, const hr_end *end, const hr_end *other, hr_end_terms *terms)
{
    const direction way = towards(end, other);
    *terms = (hr_end_terms){.gain_dbi = gain_dbi(end, &way), .clearance_db = clearance_db(links, end)};
    add_case(links, end, &way, terms);
}
