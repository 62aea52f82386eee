/*
 * lists.c - CSV lists: gateways, and rooms in the order of installation.
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

hr_status hr_report_gateways_csv(const hr_building *building, const hr_siting *siting, hr_text *out, hr_error *err)
{
    report_list_head(building, out);
    hr_text_add(out, "id,storey,x,y,mount_height,spot,network_id\n");
    for (size_t i = 0; i < siting->gateway_count; i++) {
        const hr_sited_gateway *g = &siting->gateways[i];
        hr_text_csv(out, g->id);
        hr_text_add(out, ",");
        hr_text_csv(out, building->storeys[g->storey].name);
        hr_text_add(out, ",");
        add_length(building, g->at.x, out);
        hr_text_add(out, ",");
        add_length(building, g->at.y, out);
        hr_text_add(out, ",");
        add_length(building, g->mount_height_m, out);
        hr_text_add(out, ",");
        hr_text_csv(out, g->spot == NULL ? "" : g->spot);
        hr_text_add(out, ",");
        hr_text_csv(out, g->network_id);
        hr_text_add(out, "\n");
    }
    return report_done(out, err);
}

/* A room comes up when its last device does: rooms nearer to a gateway by hops first. */
static unsigned room_hops(const hr_siting *siting, size_t room)
{
    const uint32_t row = siting->rooms[room].device_row;
    return row == HR_SITING_NONE || !siting->devices[row].served ? UINT32_MAX : siting->devices[row].hops;
}

typedef struct room_place {
    unsigned hops;
    uint32_t room;
} room_place;

static int compare_places(const void *left, const void *right)
{
    const room_place *a = left, *b = right;
    if (a->hops != b->hops) {
        return a->hops < b->hops ? -1 : 1;
    }
    return (a->room > b->room) - (a->room < b->room);
}

static void add_level(double value_db, hr_text *out)
{
    char buf[HR_FIXED_MAX];
    if (isfinite(value_db)) {
        hr_text_add(out, hr_short(hr_round(value_db, 4), 4, buf));
    }
}

static void add_room(const hr_building *building, const hr_siting *siting, uint32_t index, hr_text *out)
{
    const hr_room *room = &building->rooms[index];
    const uint32_t row = siting->rooms[index].device_row;
    const hr_device_row *worst = row == HR_SITING_NONE ? NULL : &siting->devices[row];
    hr_text_csv(out, room->name);
    hr_text_add(out, ",");
    hr_text_csv(out, building->storeys[room->storey].name);
    hr_text_add(out, ",");
    hr_text_csv(out, worst == NULL || worst->gateway == HR_SITING_NONE ? "" : siting->gateways[worst->gateway].id);
    hr_text_add(out, ",");
    hr_text_csv(out, worst == NULL ? "" : building->devices[worst->device].name);
    hr_text_add(out, ",");
    add_level(worst == NULL || !worst->has_link ? REPORT_UNKNOWN : worst->link.link_margin_db, out);
    hr_text_add(out, ",");
    add_level(worst == NULL ? REPORT_UNKNOWN : report_rounded_spare(siting, row), out);
    hr_text_add(out, ",");
    if (worst != NULL && worst->hops > 0) {
        hr_text_addf(out, "%u", worst->hops);
    }
    hr_text_addf(out, ",%s,", siting->rooms[index].served ? "yes" : "no");
    hr_text_csv(out, worst == NULL ? "no device in this room" : worst->reason);
    hr_text_add(out, ",\n");
}

hr_status hr_report_rooms_csv(const hr_building *building, const hr_siting *siting, hr_text *out, hr_error *err)
{
    room_place *order = hr_alloc(siting->room_count, sizeof *order);
    if (order == NULL) {
        return hr_fail_memory(err);
    }
    for (size_t i = 0; i < siting->room_count; i++) {
        order[i] = (room_place){room_hops(siting, i), (uint32_t)i};
    }
    if (siting->room_count > 0) {
        qsort(order, siting->room_count, sizeof *order, compare_places);
    }
    report_list_head(building, out);
    hr_text_add(out, "room,storey,gateway,worst_device,link_margin_db,spare_db,hops,served,reason,status\n");
    for (size_t i = 0; i < siting->room_count; i++) {
        add_room(building, siting, order[i].room, out);
    }
    hr_free(order);
    return report_done(out, err);
}
