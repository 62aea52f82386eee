/*
 * rooms.c - devices that talk to another device of their room; each room by
 * its worst device; what gateways carry.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include <stdio.h>

/* What a kind is called in a sentence. */
static const char *kind_words(const char *kind)
{
    return hr_casecmp(kind, "wall") == 0 ? "wall control" : kind;
}

/* Devices stand room by room: the first and one past the last of a device's room. */
static void room_range(const hr_building *b, uint32_t device, size_t *from, size_t *to)
{
    *from = *to = device;
    while (*from > 0 && b->devices[*from - 1].room == b->devices[device].room) {
        (*from)--;
    }
    while (*to < b->device_count && b->devices[*to].room == b->devices[device].room) {
        (*to)++;
    }
}

/* The device of its own room that it talks to: most to spare, then name. */
static hr_status best_parent(const siting_run *run, hr_link_work *work, uint32_t device, uint32_t *parent, hr_link *link)
{
    const hr_building *b = run->building;
    const hr_end end = hr_links_device_end(b, device);
    size_t from, to;
    room_range(b, device, &from, &to);
    *parent = HR_SITING_NONE;
    for (size_t i = from; i < to; i++) {
        if ((int)b->devices[i].kind != b->kinds[b->devices[device].kind].joins) {
            continue;
        }
        hr_link found;
        const hr_end far_end = hr_links_device_end(b, (uint32_t)i);
        const hr_status status = hr_links_measure(run->links, work, &end, &far_end, &found, run->err);
        if (status != HR_OK) {
            return status;
        }
        const int64_t spare = hr_micro(found.spare_db), best = *parent == HR_SITING_NONE ? 0 : hr_micro(link->spare_db);
        if (*parent == HR_SITING_NONE || spare > best ||
            (spare == best && hr_casecmp(b->devices[i].name, b->devices[*parent].name) < 0)) {
            *parent = (uint32_t)i;
            *link = found;
        }
    }
    return HR_OK;
}

static hr_status assess_one(const siting_run *run, hr_link_work *work, uint32_t device)
{
    const hr_building *b = run->building;
    hr_device_row *row = &run->siting->devices[device];
    uint32_t parent;
    hr_link link = {0};
    const hr_status status = best_parent(run, work, device, &parent, &link);
    if (status != HR_OK) {
        return status;
    }
    if (parent == HR_SITING_NONE) {
        const char *wanted = b->kinds[b->kinds[b->devices[device].kind].joins].name;
        (void)snprintf(row->reason, sizeof row->reason, "no %s in this room", kind_words(wanted));
        return HR_OK;
    }
    const hr_device_row *up = &run->siting->devices[parent];
    row->has_link = true;
    row->link = link;
    row->via = parent;
    row->gateway = up->gateway;
    row->hops = up->hops + 1;
    row->in_reach = link.spare_db >= 0.0 ? up->in_reach : 0;
    row->served = link.spare_db >= 0.0 && up->served;
    row->spare_db = up->has_link && up->spare_db < link.spare_db ? up->spare_db : link.spare_db;
    row->reliability = link.reliability * (up->has_link ? up->reliability : 0.0);
    if (link.spare_db < 0.0) {
        siting_explain(b, &link, b->devices[parent].name, false, row->reason);
    } else if (!up->served) {
        (void)snprintf(row->reason, sizeof row->reason, "%s, which it talks to, is not served", b->devices[parent].name);
    }
    return HR_OK;
}

/* Links up to a device that joins a gateway: 0 for one that does itself. */
static unsigned depth_of_kind(const hr_building *building, uint32_t kind)
{
    unsigned depth = 0;
    for (int k = building->kinds[kind].joins; k != HR_JOINS_GATEWAY && depth <= building->kind_count; depth++) {
        k = building->kinds[k].joins;
    }
    return depth;
}

hr_status siting_assess_joined(siting_run *run, hr_link_work *work)
{
    const hr_building *b = run->building;
    for (unsigned depth = 1; depth <= b->kind_count; depth++) {
        for (size_t i = 0; i < b->device_count; i++) {
            if (depth_of_kind(b, b->devices[i].kind) != depth) {
                continue;
            }
            const hr_status status = assess_one(run, work, (uint32_t)i);
            if (status != HR_OK) {
                return status;
            }
        }
    }
    return HR_OK;
}

static void count_gateway_devices(hr_siting *siting)
{
    siting->served_devices = 0;
    for (size_t i = 0; i < siting->device_count; i++) {
        const hr_device_row *row = &siting->devices[i];
        if (row->served) {
            siting->served_devices++;
            siting->gateways[row->gateway].devices++;
            siting->gateways[row->gateway].direct_devices += row->via == HR_SITING_NONE;
        }
    }
}

/* Worse: unserved before served, then less to spare. */
static bool is_worse(const hr_device_row *a, const hr_device_row *b)
{
    if (a->served != b->served) {
        return !a->served;
    }
    if (a->has_link != b->has_link) {
        return !a->has_link;
    }
    return hr_micro(a->spare_db) < hr_micro(b->spare_db);
}

void siting_judge_rooms(siting_run *run)
{
    hr_siting *siting = run->siting;
    count_gateway_devices(siting);
    siting->expected_failing_rooms = 0.0;
    for (size_t r = 0; r < siting->room_count; r++) {
        siting->rooms[r] = (hr_room_row){.room = (uint32_t)r, .device_row = HR_SITING_NONE, .served = true};
    }
    for (size_t i = 0; i < siting->device_count; i++) {
        hr_room_row *room = &siting->rooms[run->building->devices[i].room];
        if (room->device_row == HR_SITING_NONE || is_worse(&siting->devices[i], &siting->devices[room->device_row])) {
            room->device_row = (uint32_t)i;
            room->served = siting->devices[i].served;
        }
    }
    for (size_t r = 0; r < siting->room_count; r++) {
        const hr_room_row *room = &siting->rooms[r];
        if (room->device_row != HR_SITING_NONE) {
            siting->expected_failing_rooms += room->served ? 1.0 - siting->devices[room->device_row].reliability : 1.0;
        }
    }
}
