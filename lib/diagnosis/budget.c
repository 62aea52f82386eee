/*
 * budget.c - the links of one room line by line, and its control to each
 * gateway.
 *
 * SPDX-License-Identifier: MIT
 */
#include "diagnosis_priv.h"
#include "hr_mesh.h"

#include <math.h>
#include <stdlib.h>

bool why_serves(const hr_building *building, const hr_link *link)
{
    return link->distance_m <= building->radio.range_limit_m && (long)link->slabs <= building->radio.max_slabs &&
           link->spare_db >= 0.0;
}

uint32_t why_control_via(const why_run *run)
{
    const uint32_t control = run->why->control;
    return control == HR_SITING_NONE ? HR_SITING_NONE : run->why->siting->devices[control].via;
}

hr_end why_gateway_end(const why_run *run, uint32_t gateway)
{
    const hr_sited_gateway *g = &run->why->siting->gateways[gateway];
    return hr_links_gateway_end(run->building, g->at, g->z_m);
}

static hr_status measure_one(why_run *run, hr_why_link *out)
{
    const hr_building *b = run->building;
    const hr_device_row *row = &run->why->siting->devices[out->device];
    const hr_end child = hr_links_device_end(b, out->device), parent = hr_siting_far_end(b, run->why->siting, row);
    const hr_status status =
        hr_links_budget(run->links, &run->work, &child, &parent, row->link.direction, &out->budget, run->err);
    if (status == HR_OK) {
        out->measured = true;
        out->required_margin_db = hr_round(out->budget.link.required_margin_db, 4);
        out->spare_db = hr_round(out->budget.link_margin_db - out->required_margin_db, 4);
        out->within_range = out->via != HR_SITING_NONE
                                ? -1
                                : out->budget.link.distance_m <= b->radio.range_limit_m;
    }
    return status;
}

static size_t devices_of_room(const hr_building *building, uint32_t room, size_t *first)
{
    size_t count = 0;
    *first = 0;
    for (size_t i = 0; i < building->device_count; i++) {
        if (building->devices[i].room == room) {
            *first = count == 0 ? i : *first;
            count++; /* devices stand room by room */
        }
    }
    return count;
}

hr_status why_measure_links(why_run *run)
{
    hr_why *why = run->why;
    const hr_building *b = run->building;
    size_t first;
    const size_t count = devices_of_room(b, why->room, &first);
    if (count == 0) {
        return hr_fail(run->err, HR_ERR_INPUT, b->file, 0, "room %s holds no device, so that it has no link",
                       b->rooms[why->room].name);
    }
    why->links = hr_alloc_zero(count, sizeof *why->links);
    if (why->links == NULL) {
        return hr_fail_memory(run->err);
    }
    why->served = true;
    why->link_count = count;
    for (size_t i = 0; i < count; i++) {
        hr_why_link *out = &why->links[i];
        const uint32_t device = (uint32_t)(first + i);
        const hr_device_row *row = &why->siting->devices[device];
        *out = (hr_why_link){.device = device,
                             .gateway = row->gateway,
                             .via = row->via,
                             .from = b->devices[device].name,
                             .within_range = -1,
                             .required_margin_db = (double)NAN,
                             .spare_db = (double)NAN,
                             .served = row->served,
                             .reason = row->served ? "" : row->reason};
        why->served = why->served && row->served;
        if (why->control == HR_SITING_NONE && b->kinds[b->devices[device].kind].joins == HR_JOINS_GATEWAY) {
            why->control = device;
        }
        if (row->has_link) {
            out->to = hr_siting_far_name(b, why->siting, row);
            const hr_status status = measure_one(run, out);
            if (status != HR_OK) {
                return status;
            }
        }
    }
    return HR_OK;
}

/* ---- every gateway ---- */

static int compare_gateways(const void *left, const void *right)
{
    const hr_why_gateway *a = left, *b = right;
    const int64_t p = hr_micro(a->spare_db), q = hr_micro(b->spare_db);
    if (a->serves != b->serves) {
        return a->serves ? -1 : 1;
    }
    if (p != q) {
        return p > q ? -1 : 1;
    }
    return (a->gateway > b->gateway) - (a->gateway < b->gateway);
}

/* Gateways stand most to spare first, those that serve before the others. */
static void choose_gateways(hr_why *why)
{
    const hr_why_gateway *best = NULL, *closest = NULL;
    for (size_t i = 0; i < why->gateway_count; i++) {
        const hr_why_gateway *g = &why->gateways[i];
        if (closest == NULL || hr_micro(g->distance_m) < hr_micro(closest->distance_m)) {
            closest = g;
        }
        if (best == NULL ||
            (g->serves == best->serves &&
             hr_micro(why->gateways[0].spare_db - g->spare_db) <= HR_MESH_NEAR_BEST &&
             hr_micro(g->distance_m) < hr_micro(best->distance_m))) {
            best = g;
        }
    }
    why->closest = closest == NULL ? HR_SITING_NONE : closest->gateway;
    why->best = best == NULL ? HR_SITING_NONE : best->gateway;
}

hr_status why_measure_gateways(why_run *run)
{
    hr_why *why = run->why;
    const hr_building *b = run->building;
    if (why->control == HR_SITING_NONE) {
        return HR_OK;
    }
    why->gateways = hr_alloc(why->siting->gateway_count, sizeof *why->gateways);
    if (why->gateways == NULL) {
        return hr_fail_memory(run->err);
    }
    const hr_end child = hr_links_device_end(b, why->control);
    for (uint32_t g = 0; g < why->siting->gateway_count; g++) {
        const hr_end parent = why_gateway_end(run, g);
        hr_link link;
        const hr_status status = hr_links_measure(run->links, &run->work, &child, &parent, &link, run->err);
        if (status != HR_OK) {
            return status;
        }
        why->gateways[why->gateway_count++] = (hr_why_gateway){.gateway = g,
                                                               .distance_m = link.distance_m,
                                                               .slabs = link.slabs,
                                                               .link_margin_db = link.link_margin_db,
                                                               .spare_db = link.spare_db,
                                                               .serves = why_serves(b, &link)};
    }
    qsort(why->gateways, why->gateway_count, sizeof *why->gateways, compare_gateways);
    choose_gateways(why);
    why->planned = why->siting->devices[why->control].gateway;
    return HR_OK;
}
