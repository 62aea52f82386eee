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

/*
 * A joined radio loads the gateway of the device it talks to. Which device of
 * the room that is, is settled later; the first that joins a gateway stands
 * for the room here.
 */
hr_status siting_loads(const siting_run *run, uint32_t **load_out)
{
    const hr_building *b = run->building;
    uint32_t *load = hr_alloc(run->device_count, sizeof *load);
    uint32_t *first_of_room = hr_alloc(b->room_count, sizeof *first_of_room);
    if (load == NULL || first_of_room == NULL) {
        hr_free(load);
        hr_free(first_of_room);
        return hr_fail_memory(run->err);
    }
    for (size_t r = 0; r < b->room_count; r++) {
        first_of_room[r] = HR_SITING_NONE;
    }
    for (uint32_t row = 0; row < run->device_count; row++) {
        const uint32_t room = b->devices[run->devices[row]].room;
        load[row] = 1;
        first_of_room[room] = first_of_room[room] == HR_SITING_NONE ? row : first_of_room[room];
    }
    for (size_t d = 0; d < b->device_count; d++) {
        const uint32_t first = first_of_room[b->devices[d].room];
        if (b->kinds[b->devices[d].kind].joins != HR_JOINS_GATEWAY && first != HR_SITING_NONE) {
            load[first]++;
        }
    }
    hr_free(first_of_room);
    *load_out = load;
    return HR_OK;
}

/* Devices of one gateway that reach it over relays: where there are none, all of its devices are direct. */
static size_t hopping_devices(const siting_run *run, size_t gateway)
{
    size_t count = 0;
    for (size_t i = 0; i < run->siting->device_count; i++) {
        const hr_device_row *row = &run->siting->devices[i];
        const hr_device *device = &run->building->devices[row->device];
        count += row->served && row->gateway == gateway && row->via != HR_SITING_NONE &&
                 run->building->kinds[device->kind].joins == HR_JOINS_GATEWAY;
    }
    return count;
}

static void count_gateway_devices(siting_run *run)
{
    hr_siting *siting = run->siting;
    for (size_t i = 0; i < siting->device_count; i++) {
        const hr_device_row *row = &siting->devices[i];
        if (row->served) {
            siting->served_devices++;
            siting->gateways[row->gateway].devices++;
            siting->gateways[row->gateway].direct_devices += row->via == HR_SITING_NONE;
        }
    }
    for (size_t g = 0; g < siting->gateway_count; g++) {
        const hr_sited_gateway *gateway = &siting->gateways[g];
        const long wanted = run->building->radio.first_devices;
        if ((long)gateway->direct_devices < wanted && hopping_devices(run, g) > 0) {
            hr_note(run->notes, NULL, 0, "%s has %zu direct devices, first_devices asks for %ld", gateway->id,
                    gateway->direct_devices, wanted);
        }
        if (gateway->devices > (size_t)run->building->gateway_kind.capacity) {
            hr_note(run->notes, NULL, 0, "%s carries %zu radios, its capacity is %ld: add a gateway near it or raise capacity",
                    gateway->id, gateway->devices, run->building->gateway_kind.capacity);
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
    count_gateway_devices(run);
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
