/*
 * siting_json_more.c - keys of `place` and `rooms` beside the gateways, rooms
 * and devices: mounting, sole relays, reasons, fewer gateways.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

void report_put_gateway_more(report_json *json, json_t *row, const hr_building *building, const hr_sited_gateway *g)
{
    const bool near = g->nearest_room != HR_SITING_NONE;
    report_put(json, row, "label", report_string(json, g->label));
    report_put(json, row, "spot_cost", report_level(g->spot_cost));
    report_put(json, row, "nearest_room", report_string(json, near ? building->rooms[g->nearest_room].name : NULL));
    report_put(json, row, "wall_a_m", report_level(g->wall_m[0]));
    report_put(json, row, "wall_a_side", report_string(json, g->wall_side[0]));
    report_put(json, row, "wall_b_m", report_level(g->wall_m[1]));
    report_put(json, row, "wall_b_side", report_string(json, g->wall_side[1]));
    report_put(json, row, "closet", report_string(json, g->closet));
    report_put(json, row, "cable_m", report_level(g->cable_m));
    report_put(json, row, "power", report_string(json, g->power));
}

static json_t *sole_relays(report_json *json, const hr_building *building, const hr_siting *siting)
{
    json_t *list = json_array();
    for (size_t i = 0; i < siting->sole_relay_count; i++) {
        json_t *row = json_object();
        report_put(json, row, "device", report_string(json, building->devices[siting->sole_relays[i].device].name));
        report_put(json, row, "cuts_off", report_count(siting->sole_relays[i].cut_off));
        report_append(json, list, row);
    }
    return list;
}

static json_t *reasons(report_json *json, const hr_siting *siting)
{
    json_t *list = json_array();
    for (size_t i = 0; i < siting->gateway_count; i++) {
        const hr_gateway_reason *reason = &siting->reasons[i];
        json_t *row = json_object();
        report_put(json, row, "gateway", report_string(json, siting->gateways[i].id));
        report_put(json, row, "only_it_reaches", report_count(reason->only_it));
        report_put(json, row, "devices_lost", report_count(reason->devices_lost));
        report_put(json, row, "rooms_lost", report_count(reason->rooms_lost));
        report_put(json, row, "smallest_spare_db", report_level(reason->smallest_spare_db));
        report_append(json, list, row);
    }
    return list;
}

static json_t *by_count(report_json *json, const hr_siting *siting)
{
    json_t *list = json_array();
    for (size_t i = 0; i < siting->by_count_count; i++) {
        const hr_count_row *known = &siting->by_count[i];
        json_t *row = json_object();
        report_put(json, row, "gateways", report_count(known->gateways));
        report_put(json, row, "devices_served", report_count(known->devices_served));
        report_put(json, row, "devices_covered", report_count(known->devices_covered));
        report_put(json, row, "smallest_spare_db", report_level(known->smallest_spare_db));
        report_put(json, row, "expected_failing_rooms", report_level(known->expected_failing_rooms));
        report_append(json, list, row);
    }
    return list;
}

static json_t *by_slabs(report_json *json, const hr_siting *siting)
{
    json_t *list = json_array();
    for (size_t i = 0; i < siting->by_slabs_count; i++) {
        const hr_slab_row *known = &siting->by_slabs[i];
        json_t *row = json_object();
        report_put(json, row, "max_slabs", report_count((uint64_t)known->max_slabs));
        report_put(json, row, "gateways", report_count(known->gateways));
        report_put(json, row, "lower_bound", report_count(known->lower_bound));
        report_put(json, row, "devices_left_out", report_count(known->unserved));
        report_append(json, list, row);
    }
    return list;
}

static void put_without(report_json *json, json_t *top, const hr_building *building, const hr_siting *siting)
{
    json_t *without = json_array(), *failing = json_array();
    for (size_t i = 0; i < siting->without_count; i++) {
        report_append(json, without, report_string(json, siting->without[i]));
    }
    for (size_t i = 0; i < siting->failing_count; i++) {
        report_append(json, failing, report_string(json, building->devices[siting->failing[i]].name));
    }
    report_put(json, top, "without", without);
    report_put(json, top, "failing_devices", failing);
}

void report_put_siting_more(report_json *json, json_t *top, const hr_building *building, const hr_siting *siting)
{
    report_put(json, top, "sole_relays", sole_relays(json, building, siting));
    if (siting->reasons != NULL) {
        report_put(json, top, "reasons", reasons(json, siting));
    }
    if (siting->without_count > 0) {
        put_without(json, top, building, siting);
    }
    if (siting->placed) {
        report_put(json, top, "by_count", by_count(json, siting));
        report_put(json, top, "by_slabs", by_slabs(json, siting));
    }
}
