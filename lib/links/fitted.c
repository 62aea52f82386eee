/*
 * fitted.c - what a fit adds to received levels: one offset for the building,
 * one for a gateway that reads more or less than the others.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_priv.h"

#include <math.h>

/* The gateway that stands where the end is; NULL: none does. */
static const hr_gateway *gateway_at(const hr_building *building, const hr_end *end)
{
    for (size_t i = 0; i < building->gateway_count; i++) {
        const hr_gateway *g = &building->gateways[i];
        if (fabs(g->at.x - end->at.x) < 1e-6 && fabs(g->at.y - end->at.y) < 1e-6 && fabs(g->z_m - end->z_m) < 1e-6) {
            return g;
        }
    }
    return NULL;
}

static double gateway_offset_db(const hr_building *building, const hr_end *end)
{
    const hr_fitted *fitted = &building->fitted;
    const hr_gateway *gateway = fitted->gateway_offset_count > 0 ? gateway_at(building, end) : NULL;
    for (size_t i = 0; gateway != NULL && i < fitted->gateway_offset_count; i++) {
        if (hr_casecmp(fitted->gateway_offsets[i].label, gateway->id) == 0) {
            return fitted->gateway_offsets[i].cost;
        }
    }
    return 0.0;
}

double link_fitted_offset_db(const hr_links *links, const hr_end *a, const hr_end *b)
{
    const hr_building *building = links->building;
    const double all = isfinite(building->fitted.offset_db) ? building->fitted.offset_db : 0.0;
    return all + gateway_offset_db(building, a) + gateway_offset_db(building, b);
}
