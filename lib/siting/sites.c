/*
 * sites.c - where gateways are and where they could go.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include <math.h>

static bool in_keep_out(const hr_plan *plan, hr_point at)
{
    for (size_t i = 0; i < plan->keep_out_count; i++) {
        if (hr_geometry_inside(&plan->keep_outs[i].region, at, 0.0)) {
            return true;
        }
    }
    return false;
}

static double distance_to_body(const hr_body *body, hr_point at)
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

/* Common practice: a gateway's antenna hangs away from large metal. */
static bool near_metal(const hr_building *building, const hr_spot *spot)
{
    const hr_plan *plan = building->storeys[spot->storey].plan;
    const double clearance_m = building->gateway_kind.metal_clearance_m;
    for (size_t i = 0; i < plan->metal_count; i++) {
        const hr_body *metal = &plan->metals[i];
        const double above_m = fmax(fmax(metal->low_m - spot->mount_height_m, spot->mount_height_m - metal->high_m), 0.0);
        if (above_m < clearance_m && hypot(distance_to_body(metal, spot->at), above_m) < clearance_m) {
            return true;
        }
    }
    return false;
}

static hr_status add_site(siting_sites *sites, siting_site site, hr_error *err)
{
    if (!HR_RESERVE(sites->items, sites->cap, sites->count + 1)) {
        return hr_fail_memory(err);
    }
    sites->items[sites->count++] = site;
    return HR_OK;
}

hr_status siting_gather(const hr_building *building, bool with_spots, siting_sites *sites, hr_error *err)
{
    hr_status status = HR_OK;
    for (size_t i = 0; status == HR_OK && i < building->gateway_count; i++) {
        const hr_gateway *gateway = &building->gateways[i];
        const hr_site site = {gateway->at, gateway->z_m, gateway->storey};
        status = add_site(sites, (siting_site){.site = site, .gateway = gateway}, err);
    }
    for (size_t i = 0; status == HR_OK && with_spots && i < building->spot_count; i++) {
        const hr_spot *spot = &building->spots[i];
        if (in_keep_out(building->storeys[spot->storey].plan, spot->at)) {
            sites->in_keep_out++;
        } else if (near_metal(building, spot)) {
            sites->near_metal++;
        } else {
            const hr_site site = {spot->at, spot->z_m, spot->storey};
            status = add_site(sites, (siting_site){.site = site, .spot = spot}, err);
        }
    }
    return status;
}

hr_status siting_joining_devices(const hr_building *building, uint32_t **devices, size_t *count, hr_error *err)
{
    uint32_t *found = hr_alloc(building->device_count, sizeof *found);
    if (found == NULL) {
        return hr_fail_memory(err);
    }
    size_t n = 0;
    for (size_t i = 0; i < building->device_count; i++) {
        if (building->kinds[building->devices[i].kind].joins == HR_JOINS_GATEWAY) {
            found[n++] = (uint32_t)i;
        }
    }
    *devices = found;
    *count = n;
    return HR_OK;
}
