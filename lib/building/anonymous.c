/*
 * anonymous.c - names that say something about a property, replaced by numbers
 * in the order of the files, so that an answer can be shared.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

#include <stdio.h>
#include <string.h>

#define NAME_MAX_BYTES 96

static bool put_name(hr_building *b, const char **name, const char *text)
{
    const char *kept = hr_arena_strdup(b->arena, text);
    *name = kept != NULL ? kept : *name;
    return kept != NULL;
}

static bool put_number(hr_building *b, const char **name, const char *letters, size_t number, int digits)
{
    char text[NAME_MAX_BYTES];
    (void)snprintf(text, sizeof text, "%s%0*zu", letters, digits, number);
    return put_name(b, name, text);
}

/* 214/wall-B becomes R014/wall-B: kinds keep their names. */
static bool name_device(hr_building *b, hr_device *device, const char *old_room)
{
    char text[NAME_MAX_BYTES + 80];
    const size_t len = strlen(old_room);
    const bool starts = strncmp(device->name, old_room, len) == 0 && device->name[len] == '/';
    const char *rest = starts ? device->name + len : strrchr(device->name, '/');
    (void)snprintf(text, sizeof text, "%s%s", b->rooms[device->room].name, rest != NULL ? rest : "");
    return put_name(b, &device->name, text);
}

static bool name_rooms(hr_building *b)
{
    const char **old = hr_alloc(b->room_count + 1, sizeof *old);
    bool good = old != NULL;
    const int digits = b->room_count > 9999 ? 5 : b->room_count > 999 ? 4 : 3;
    for (size_t i = 0; good && i < b->room_count; i++) {
        old[i] = b->rooms[i].name;
        good = put_number(b, &b->rooms[i].name, "R", i + 1, digits);
    }
    for (size_t i = 0; good && i < b->device_count; i++) {
        good = name_device(b, &b->devices[i], old[b->devices[i].room]);
    }
    hr_free(old);
    return good;
}

/* A gateway goes on naming its spot, and a fitted offset its gateway. */
static bool name_spots(hr_building *b)
{
    bool good = true;
    for (size_t i = 0; good && i < b->spot_count; i++) {
        const char *old = b->spots[i].id;
        good = put_number(b, &b->spots[i].id, "P", i + 1, 1);
        for (size_t k = 0; good && k < b->gateway_count; k++) {
            if (b->gateways[k].spot != NULL && hr_casecmp(b->gateways[k].spot, old) == 0) {
                b->gateways[k].spot = b->spots[i].id;
            }
        }
    }
    return good;
}

static bool name_gateways(hr_building *b)
{
    bool good = true;
    for (size_t i = 0; good && i < b->gateway_count; i++) {
        const char *old = b->gateways[i].id;
        good = put_number(b, &b->gateways[i].id, "GW", i + 1, 1);
        b->gateways[i].network_id = NULL;
        for (size_t k = 0; good && k < b->fitted.gateway_offset_count; k++) {
            hr_spot_cost *offset = &b->fitted.gateway_offsets[k];
            if (hr_casecmp(offset->label, old) == 0) {
                /* marked, so that a later gateway of that old name does not take it */
                (void)snprintf(offset->label, sizeof offset->label, "\n%s", b->gateways[i].id);
            }
        }
    }
    for (size_t k = 0; k < b->fitted.gateway_offset_count; k++) {
        char *label = b->fitted.gateway_offsets[k].label;
        if (label[0] == '\n') {
            memmove(label, label + 1, strlen(label));
        } else {
            label[0] = '\0'; /* of no gateway here */
        }
    }
    b->gateway_kind.network_id[0] = '\0';
    return good;
}

/* Labels of spots have costs by their words. */
static bool name_labels(hr_building *b)
{
    bool good = true;
    for (size_t i = 0; good && i < b->spot_count; i++) {
        const char *label = b->spots[i].label;
        size_t cost = 0;
        if (b->spots[i].generated || label == NULL || label[0] == '\0') {
            continue;
        }
        while (cost < b->gateway_kind.spot_cost_count && hr_casecmp(b->gateway_kind.spot_costs[cost].label, label) != 0) {
            cost++;
        }
        good = cost < b->gateway_kind.spot_cost_count ? put_number(b, &b->spots[i].label, "L", cost + 1, 1)
                                                      : put_name(b, &b->spots[i].label, "L0");
    }
    for (size_t i = 0; i < b->gateway_kind.spot_cost_count; i++) {
        hr_spot_cost *cost = &b->gateway_kind.spot_costs[i];
        if (strcmp(cost->label, "corridor") != 0) { /* what generated spots are called */
            (void)snprintf(cost->label, sizeof cost->label, "L%zu", i + 1);
        }
    }
    return good;
}

static bool name_in_plan(hr_building *b, hr_plan *plan)
{
    bool good = true;
    for (size_t i = 0; good && i < plan->space_count; i++) {
        if (plan->spaces[i].kind == HR_SPACE_ROOM) {
            good = put_number(b, &plan->spaces[i].name, "", i + 1, 1);
        } else {
            plan->spaces[i].name = NULL;
        }
    }
    for (size_t i = 0; good && i < plan->network_count; i++) {
        good = put_number(b, &plan->networks[i].name, "N", i + 1, 1);
    }
    for (size_t i = 0; i < plan->metal_count; i++) {
        plan->metals[i].name = NULL;
    }
    for (size_t i = 0; i < plan->device_count; i++) {
        plan->devices[i].name = NULL;
    }
    for (size_t i = 0; i < plan->spot_count; i++) {
        plan->spots[i].name = NULL;
    }
    for (size_t i = 0; i < plan->gateway_count; i++) {
        plan->gateways[i].name = NULL;
    }
    plan->ignored_count = 0; /* names of layers */
    plan->layer = NULL;
    return good && put_name(b, &plan->file, "plan");
}

hr_status hr_building_anonymise(hr_building *building, hr_error *err)
{
    bool good = put_name(building, &building->name, "Property") && put_name(building, &building->file, "property");
    for (size_t i = 0; i < building->storey_count; i++) {
        (void)snprintf(building->storeys[i].name, sizeof building->storeys[i].name, "%zu", i + 1);
    }
    good = good && name_rooms(building) && name_spots(building) && name_gateways(building) && name_labels(building);
    for (size_t i = 0; good && i < building->plan_count; i++) {
        good = name_in_plan(building, building->plans[i]);
    }
    return good ? HR_OK : hr_fail_memory(err);
}
