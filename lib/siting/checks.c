/*
 * checks.c - the rules of the site held against what was settled: each rule
 * that is not kept is named, with whom it concerns and what would relax it.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include <stdio.h>

#define NAMES_SHOWN ((size_t)3)

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

/* Every device's message is in the air once for each hop. */
static uint64_t messages_of_gateway(const hr_siting *siting, size_t gateway)
{
    uint64_t messages = 0;
    for (size_t i = 0; i < siting->device_count; i++) {
        messages += siting->devices[i].served && siting->devices[i].gateway == gateway ? siting->devices[i].hops : 0;
    }
    return messages;
}

static void check_gateway(siting_run *run, size_t g)
{
    const hr_building *b = run->building;
    const hr_sited_gateway *gateway = &run->siting->gateways[g];
    hr_notes *notes = run->brief ? NULL : run->notes;
    if ((long)gateway->direct_devices < b->radio.first_devices && hopping_devices(run, g) > 0 && !b->radio.strict) {
        hr_note(notes, NULL, 0,
                "first_devices: %s has %zu direct devices, %ld are asked for: lower first_devices, or add a gateway nearer",
                gateway->id, gateway->direct_devices, b->radio.first_devices);
    }
    if (gateway->devices > (size_t)b->gateway_kind.capacity) {
        run->excess += gateway->devices - (size_t)b->gateway_kind.capacity;
        hr_note(notes, NULL, 0, "%s carries %zu radios, its capacity is %ld: add a gateway near it or raise capacity",
                gateway->id, gateway->devices, b->gateway_kind.capacity);
    }
    const uint64_t messages = messages_of_gateway(run->siting, g);
    if (run->limits.air_cap > 0 && messages > run->limits.air_cap) {
        run->excess += (size_t)(messages - run->limits.air_cap);
        hr_note(notes, NULL, 0,
                "%s has %llu messages in the air for each round of its devices, relayed ones included; the duty cycle of %s "
                "allows %llu: add a gateway near it, or lower messages_per_hour or airtime_ms",
                gateway->id, (unsigned long long)messages, b->radio.rule, (unsigned long long)run->limits.air_cap);
    }
}

static bool fits_length(const hr_building *b, double length_m, char out[HR_FIXED_MAX])
{
    return hr_short(hr_units_from_metres(length_m, b->length_unit), 1, out) != NULL;
}

static void check_cable(const siting_run *run, const hr_sited_gateway *gateway)
{
    char needs[HR_FIXED_MAX], limit[HR_FIXED_MAX];
    const hr_building *b = run->building;
    if (gateway->cable_too_long && fits_length(b, gateway->cable_m, needs) &&
        fits_length(b, b->gateway_kind.cable_limit_m, limit)) {
        hr_note(run->notes, NULL, 0,
                "cable_limit: %s needs %s %s of cable from %s, the limit is %s %s: draw a network connection nearer, raise "
                "cable_limit, or leave such spots out with strict = yes",
                gateway->id, needs, hr_units_length_name(b->length_unit), gateway->closet, limit,
                hr_units_length_name(b->length_unit));
    }
}

/* A relay sends its own messages, those of what hangs on it, and so on down. */
static hr_status check_relays(const siting_run *run)
{
    const hr_siting *siting = run->siting;
    uint64_t *sends = hr_alloc_zero(siting->device_count, sizeof *sends);
    if (sends == NULL) {
        return hr_fail_memory(run->err);
    }
    for (size_t i = 0; i < siting->device_count; i++) {
        size_t steps = 0;
        for (uint32_t at = (uint32_t)i; siting->devices[i].served && at != HR_SITING_NONE && steps <= siting->device_count;
             at = siting->devices[at].via, steps++) {
            sends[at]++;
        }
    }
    for (size_t i = 0; i < siting->device_count; i++) {
        if (sends[i] > run->limits.air_cap) {
            hr_note(run->notes, NULL, 0,
                    "%s relays for %llu devices; the duty cycle of %s allows a radio %llu messages in each round: lower "
                    "max_children, messages_per_hour or airtime_ms, or add a gateway near it",
                    run->building->devices[i].name, (unsigned long long)sends[i] - 1, run->building->radio.rule,
                    (unsigned long long)run->limits.air_cap);
        }
    }
    hr_free(sends);
    return HR_OK;
}

static void add_names(hr_text *names, size_t shown, const char *name)
{
    if (shown < NAMES_SHOWN) {
        hr_text_addf(names, "%s%s", shown > 0 ? ", " : "", name);
    } else if (shown == NAMES_SHOWN) {
        hr_text_add(names, " and others");
    }
}

static void check_cover(const siting_run *run)
{
    const hr_building *b = run->building;
    hr_text names = {0};
    size_t thin = 0;
    for (size_t i = 0; i < run->device_count; i++) {
        const hr_device_row *row = &run->siting->devices[run->devices[i]];
        if (row->served && (long)row->in_reach < b->radio.cover) {
            add_names(&names, thin++, b->devices[row->device].name);
        }
    }
    if (thin > 0 && !names.failed) {
        hr_note(run->notes, NULL, 0,
                "cover = %ld: %zu served devices are in reach of fewer gateways (%s): add spots or gateways near them, or "
                "lower cover",
                b->radio.cover, thin, names.bytes);
    }
    hr_text_free(&names);
}

hr_status siting_check_rules(siting_run *run)
{
    run->excess = 0;
    for (size_t g = 0; g < run->siting->gateway_count; g++) {
        check_gateway(run, g);
        if (!run->brief) {
            check_cable(run, &run->siting->gateways[g]);
        }
    }
    if (run->brief) {
        return HR_OK;
    }
    check_cover(run);
    return run->limits.air_cap > 0 ? check_relays(run) : HR_OK;
}
