/*
 * sites.c - where gateways are and where they could go.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include <math.h>

void siting_sites_free(siting_sites *sites)
{
    hr_free(sites->items);
    hr_free(sites->out);
    *sites = (siting_sites){0};
}

const char *siting_site_id(const siting_site *site)
{
    return site->gateway != NULL ? site->gateway->id : site->spot->id;
}

double siting_spot_cost(const hr_building *building, const hr_spot *spot)
{
    const hr_gateway_kind *kind = &building->gateway_kind;
    for (size_t i = 0; i < kind->spot_cost_count; i++) {
        if (hr_casecmp(kind->spot_costs[i].label, spot->label) == 0) {
            return kind->spot_costs[i].cost;
        }
    }
    return 1.0;
}

static bool in_keep_out(const hr_plan *plan, hr_point at)
{
    for (size_t i = 0; i < plan->keep_out_count; i++) {
        if (hr_geometry_inside(&plan->keep_outs[i].region, at, 0.0)) {
            return true;
        }
    }
    return false;
}

/* Common practice: a gateway's antenna hangs away from large metal. */
static bool near_metal(const hr_building *building, const hr_spot *spot)
{
    return hr_plan_near_metal(building->storeys[spot->storey].plan, spot->at, spot->mount_height_m,
                              building->gateway_kind.metal_clearance_m);
}

static bool is_listed(const char *id, const char *const *ids, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (hr_casecmp(id, ids[i]) == 0) {
            return true;
        }
    }
    return false;
}

static siting_left_out judge_spot(const hr_building *building, const hr_siting_options *options,
                                  const siting_cable *cable, const hr_spot *spot)
{
    if (is_listed(spot->id, options->never, options->never_count)) {
        return SITING_NEVER;
    }
    if (in_keep_out(building->storeys[spot->storey].plan, spot->at)) {
        return SITING_IN_KEEP_OUT;
    }
    if (near_metal(building, spot)) {
        return SITING_NEAR_METAL;
    }
    if (building->radio.strict) {
        const siting_cable_run run = siting_cable_to(cable, spot->storey, spot->at);
        return siting_cable_too_long(building, &run) ? SITING_CABLE_TOO_LONG : SITING_KEPT;
    }
    return SITING_KEPT;
}

/* A spot that was asked for cannot be taken: which rule forbids it, and what would lift that. */
static hr_status fail_must(const hr_spot *spot, siting_left_out why, hr_error *err)
{
    static const char *const words[] = {
        "", "it stands in a keep-out of the plan", "it stands within metal_clearance of drawn metal; lower metal_clearance",
        "its cable is longer than cable_limit; raise cable_limit or set strict = no", "--never names it too"};
    return hr_fail(err, HR_ERR_INPUT, NULL, 0, "--must %s: %s", spot->id, words[why]);
}

static hr_status add_gateways(const hr_building *building, const hr_siting_options *options, siting_sites *sites,
                              hr_error *err)
{
    for (size_t i = 0; i < building->gateway_count; i++) {
        const hr_gateway *gateway = &building->gateways[i];
        if (!HR_RESERVE(sites->items, sites->cap, sites->count + 1)) {
            return hr_fail_memory(err);
        }
        sites->items[sites->count++] = (siting_site){.site = {gateway->at, gateway->z_m, gateway->storey},
                                                     .gateway = gateway,
                                                     .must = true,
                                                     .down = is_listed(gateway->id, options->without,
                                                                       options->without_count)};
    }
    return HR_OK;
}

/* A gateway that stands on a spot is that spot: a second one there would be no help. */
static bool holds_gateway(const hr_building *building, const hr_spot *spot)
{
    for (size_t i = 0; i < building->gateway_count; i++) {
        const char *on = building->gateways[i].spot;
        if (on != NULL && hr_casecmp(on, spot->id) == 0 && building->gateways[i].storey == spot->storey) {
            return true;
        }
    }
    return false;
}

static hr_status add_spot(const hr_building *building, const hr_siting_options *options, const siting_cable *cable,
                          const hr_spot *spot, siting_sites *sites, hr_error *err)
{
    const siting_site site = {.site = {spot->at, spot->z_m, spot->storey},
                              .spot = spot,
                              .must = is_listed(spot->id, options->must, options->must_count),
                              .left_out = judge_spot(building, options, cable, spot)};
    if (holds_gateway(building, spot)) {
        return HR_OK;
    }
    if (site.left_out != SITING_KEPT && site.must) {
        return fail_must(spot, site.left_out, err);
    }
    if (site.left_out != SITING_KEPT) {
        if (!HR_RESERVE(sites->out, sites->out_cap, sites->out_count + 1)) {
            return hr_fail_memory(err);
        }
        sites->out[sites->out_count++] = site;
        return HR_OK;
    }
    if (!HR_RESERVE(sites->items, sites->cap, sites->count + 1)) {
        return hr_fail_memory(err);
    }
    sites->items[sites->count++] = site;
    return HR_OK;
}

/* Ids of the command line must be ids of the property. */
static hr_status check_ids(const hr_building *b, const char *option, bool gateways, const char *const *ids, size_t count,
                           hr_error *err)
{
    const size_t known = gateways ? b->gateway_count : b->spot_count;
    for (size_t i = 0; i < count; i++) {
        size_t at = 0;
        while (at < known && hr_casecmp(gateways ? b->gateways[at].id : b->spots[at].id, ids[i]) != 0) {
            at++;
        }
        if (at < known) {
            continue;
        }
        const char **names = hr_alloc(known, sizeof *names);
        for (size_t k = 0; names != NULL && k < known; k++) {
            names[k] = gateways ? b->gateways[k].id : b->spots[k].id;
        }
        const char *nearest = names == NULL ? NULL : hr_nearest(ids[i], names, known, 3);
        const hr_status status =
            hr_fail(err, HR_ERR_USAGE, NULL, 0, "%s %s: no %s of this name%s%s%s", option, ids[i],
                    gateways ? "gateway" : "spot", nearest != NULL ? ", did you mean " : "",
                    nearest != NULL ? nearest : "; `hallreach read` lists the storeys' spots", nearest != NULL ? "?" : "");
        hr_free(names);
        return status;
    }
    return HR_OK;
}

hr_status siting_gather(const hr_building *building, const hr_siting_options *options, const siting_cable *cable,
                        bool with_spots, siting_sites *sites, hr_error *err)
{
    hr_status status = check_ids(building, "--without", true, options->without, options->without_count, err);
    if (status == HR_OK) {
        status = check_ids(building, "--must", false, options->must, options->must_count, err);
    }
    if (status == HR_OK) {
        status = check_ids(building, "--never", false, options->never, options->never_count, err);
    }
    if (status == HR_OK) {
        status = add_gateways(building, options, sites, err);
    }
    for (size_t i = 0; status == HR_OK && with_spots && i < building->spot_count; i++) {
        status = add_spot(building, options, cable, &building->spots[i], sites, err);
    }
    return status;
}

hr_status hr_siting_allowed_spots(const hr_building *building, bool *allowed, hr_error *err)
{
    static const hr_siting_options defaults = {0};
    siting_cable *cable = NULL;
    const hr_status status = siting_cable_new(building, &cable, err);
    for (size_t i = 0; status == HR_OK && i < building->spot_count; i++) {
        const hr_spot *spot = &building->spots[i];
        allowed[i] = !holds_gateway(building, spot) && judge_spot(building, &defaults, cable, spot) == SITING_KEPT;
    }
    siting_cable_free(cable);
    return status;
}
