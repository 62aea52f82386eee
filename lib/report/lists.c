/*
 * lists.c - CSV lists: gateways, and everything in the order of installation.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

#include <stdlib.h>

/* Coordinates are whole millimetres; feet need more decimals to read back to the same ones. */
static void add_length(const hr_building *building, double length_m, hr_text *out)
{
    char buf[HR_FIXED_MAX];
    const int decimals = building->length_unit == HR_FEET ? 7 : 4;
    hr_text_add(out, hr_short(report_length(building, length_m), decimals, buf));
}

static void add_cell(const char *text, hr_text *out)
{
    hr_text_add(out, ",");
    hr_text_csv(out, text == NULL ? "" : text);
}

static void add_length_cell(const hr_building *building, double length_m, hr_text *out)
{
    hr_text_add(out, ",");
    if (isfinite(length_m)) {
        add_length(building, hr_round(length_m, 3), out);
    }
}

static void add_mounting(const hr_building *building, const hr_sited_gateway *g, hr_text *out)
{
    add_cell(g->nearest_room == HR_SITING_NONE ? NULL : building->rooms[g->nearest_room].name, out);
    for (int which = 0; which < 2; which++) {
        add_length_cell(building, g->wall_m[which], out);
        add_cell(g->wall_side[which], out);
    }
    add_cell(g->closet, out);
    add_length_cell(building, g->cable_m, out);
    add_cell(g->power, out);
}

/* The first seven columns are what a list of gateways is read back by. */
hr_status hr_report_gateways_csv(const hr_building *building, const hr_siting *siting, hr_text *out, hr_error *err)
{
    report_list_head(building, out);
    hr_text_add(out, "id,storey,x,y,mount_height,spot,network_id,nearest_room,wall_a,wall_a_side,wall_b,wall_b_side,closet,"
                     "cable,power,status\n");
    for (size_t i = 0; i < siting->gateway_count; i++) {
        const hr_sited_gateway *g = &siting->gateways[i];
        hr_text_csv(out, g->id);
        add_cell(building->storeys[g->storey].name, out);
        hr_text_add(out, ",");
        add_length(building, g->at.x, out);
        hr_text_add(out, ",");
        add_length(building, g->at.y, out);
        hr_text_add(out, ",");
        add_length(building, g->mount_height_m, out);
        add_cell(g->spot, out);
        add_cell(g->network_id, out);
        add_mounting(building, g, out);
        hr_text_add(out, ",\n");
    }
    return report_done(out, err);
}

/* ---- in the order of installation ---- */

typedef struct device_place {
    unsigned hops; /* UINT32_MAX: not served */
    uint32_t device;
} device_place;

/* Outward by hops: a device has fewer hops' devices before it, its next hop among them. */
static int compare_places(const void *left, const void *right)
{
    const device_place *a = left, *b = right;
    if (a->hops != b->hops) {
        return a->hops < b->hops ? -1 : 1;
    }
    return (a->device > b->device) - (a->device < b->device);
}

static void add_gateway_row(const hr_building *building, const hr_sited_gateway *g, hr_text *out)
{
    hr_text_add(out, "gateway");
    add_cell(g->id, out);
    add_cell(NULL, out);
    add_cell(building->storeys[g->storey].name, out);
    add_cell(g->id, out);
    add_cell(g->network_id, out);
    hr_text_add(out, ",,,,,,,\n");
}

static void add_device_row(const hr_building *building, const hr_siting *siting, uint32_t index, hr_text *out)
{
    const hr_device *device = &building->devices[index];
    const hr_device_row *row = &siting->devices[index];
    const hr_sited_gateway *g = row->gateway == HR_SITING_NONE ? NULL : &siting->gateways[row->gateway];
    hr_text_csv(out, building->kinds[device->kind].name);
    add_cell(device->name, out);
    add_cell(building->rooms[device->room].name, out);
    add_cell(building->storeys[device->storey].name, out);
    add_cell(g == NULL ? NULL : g->id, out);
    add_cell(g == NULL ? NULL : g->network_id, out);
    add_cell(hr_siting_far_name(building, siting, row), out);
    hr_text_add(out, ",");
    if (row->hops > 0) {
        hr_text_addf(out, "%u", row->hops);
    }
    report_level_cell(row->has_link ? row->link.link_margin_db : REPORT_UNKNOWN, out);
    report_level_cell(report_rounded_spare(siting, index), out);
    hr_text_addf(out, ",%s", row->served ? "yes" : "no");
    add_cell(row->reason, out);
    hr_text_add(out, ",\n");
}

hr_status hr_report_rooms_csv(const hr_building *building, const hr_siting *siting, hr_text *out, hr_error *err)
{
    device_place *order = hr_alloc(siting->device_count, sizeof *order);
    if (order == NULL) {
        return hr_fail_memory(err);
    }
    for (uint32_t i = 0; i < siting->device_count; i++) {
        const hr_device_row *row = &siting->devices[i];
        order[i] = (device_place){row->served ? row->hops : UINT32_MAX, i};
    }
    if (siting->device_count > 0) {
        qsort(order, siting->device_count, sizeof *order, compare_places);
    }
    report_list_head(building, out);
    hr_text_add(out, "kind,name,room,storey,gateway,network_id,via,hops,link_margin_db,spare_db,served,reason,status\n");
    for (size_t i = 0; i < siting->gateway_count; i++) {
        add_gateway_row(building, &siting->gateways[i], out);
    }
    for (size_t i = 0; i < siting->device_count; i++) {
        add_device_row(building, siting, order[i].device, out);
    }
    hr_free(order);
    return report_done(out, err);
}
