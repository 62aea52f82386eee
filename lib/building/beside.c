/*
 * beside.c - notes for gateways that hardly stand where they are said to: two
 * on one point, or one far outside everything drawn on its storey.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

#include <math.h>

#include "hr_units.h"

/* Two antennas this near to each other in space are one place; assumed. */
#define SAME_PLACE_M 0.1
/* A gateway may hang on a facade or in a yard, but hardly beyond; assumed. */
#define FAR_OUTSIDE_M 10.0

static double outside_m(hr_box box, hr_point p)
{
    const double x = fmax(fmax(box.x0 - p.x, p.x - box.x1), 0.0), y = fmax(fmax(box.y0 - p.y, p.y - box.y1), 0.0);
    return hypot(x, y);
}

void building_note_gateway(const hr_building *b, hr_notes *notes, const char *file, int line,
                           const hr_gateway *gateways, size_t index)
{
    const hr_gateway *gateway = &gateways[index];
    const hr_storey *storey = &b->storeys[gateway->storey];
    for (size_t i = 0; i < index; i++) {
        if (hypot(hr_geometry_distance(gateway->at, gateways[i].at), gateway->z_m - gateways[i].z_m) <= SAME_PLACE_M) {
            hr_note(notes, file, line,
                    "gateway %s stands where %s stands: that adds capacity, no reach; was another place meant?",
                    gateway->id, gateways[i].id);
            break;
        }
    }
    const double outside = outside_m(storey->plan->box, gateway->at);
    if (outside > FAR_OUTSIDE_M) {
        char text[HR_FIXED_MAX];
        hr_note(notes, file, line,
                "gateway %s stands %s %s outside everything drawn on storey %s: x and y are taken from the drawing's "
                "origin, in %s",
                gateway->id, hr_short(hr_round(hr_units_from_metres(outside, b->length_unit), 1), 1, text),
                hr_units_length_name(b->length_unit), storey->name, hr_units_length_name(b->length_unit));
    }
}
