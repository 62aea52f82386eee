/*
 * ends.c - what an end adds to a link: its antenna's gain towards the other
 * end, the case it sits in, large metal close to it.
 *
 * SPDX-License-Identifier: MIT
 */
#include "metal_priv.h"

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

/* Distance to the body where it shows the antenna a face of a wavelength square or more, else INFINITY. */
static double large_metal_m(const hr_links *links, const link_metal *metal, hr_point at, double z_m)
{
    const double wave_m = links->wavelength_m;
    const hr_box box = metal->box;
    if (at.x < box.x0 - wave_m || at.x > box.x1 + wave_m || at.y < box.y0 - wave_m || at.y > box.y1 + wave_m) {
        return (double)INFINITY;
    }
    const double above_m = fmax(fmax(metal->low_m - z_m, z_m - metal->high_m), 0.0);
    const double wide = fmax(box.x1 - box.x0, box.y1 - box.y0), deep = fmin(box.x1 - box.x0, box.y1 - box.y0);
    const bool side = wide >= wave_m && metal->high_m - metal->low_m >= wave_m;
    const bool lid = deep >= wave_m && above_m > 0.0;
    return side || lid ? hypot(hr_plan_body_distance_m(metal->body, at), above_m) : (double)INFINITY;
}

static double clearance_db(const hr_links *links, const hr_end *end)
{
    const uint32_t storey = hr_building_storey_at(links->building, end->z_m);
    double nearest = (double)INFINITY;
    for (size_t i = links->metal_start[storey]; i < links->metal_start[storey + 1];
         i++) { /* slabs part it from others */
        nearest = fmin(nearest, large_metal_m(links, &links->metals[links->metal_ids[i]], end->at, end->z_m));
    }
    return isinf(nearest) ? 0.0 : hr_propagation_metal_clearance_db(links->building->radio.frequency_mhz, nearest);
}

void link_end_terms(const hr_links *links, const hr_end *end, const hr_end *other, hr_end_terms *terms)
{
    const direction way = towards(end, other);
    *terms = (hr_end_terms){.gain_dbi = gain_dbi(end, &way), .clearance_db = clearance_db(links, end)};
    add_case(links, end, &way, terms);
}
