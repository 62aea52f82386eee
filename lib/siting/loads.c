/*
 * loads.c - what a gateway may carry: radios, or messages in the air where
 * the rule has a duty cycle, whichever binds first.
 *
 * A message counts once for every hop it takes: as relayed it is in the air
 * again. That the gateway answers each with one as long is assumed.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include <math.h>

#define MS_PER_HOUR 3600000.0

/* Links up to a device that joins a gateway: 0 for one that does itself. */
static uint32_t depth_of(const hr_building *b, uint32_t kind)
{
    uint32_t depth = 0;
    for (int k = b->kinds[kind].joins; k != HR_JOINS_GATEWAY && depth <= b->kind_count; depth++) {
        k = b->kinds[k].joins;
    }
    return depth;
}

/*
 * Per row of the net the radios, or the messages of one round, that come with
 * it. A joined radio loads the gateway of the device it talks to. Which device
 * of the room that is, is settled later; the first that joins a gateway stands
 * for the room here.
 */
static hr_status count_loads(const siting_run *run, bool messages, uint32_t *load)
{
    const hr_building *b = run->building;
    uint32_t *first_of_room = hr_alloc(b->room_count, sizeof *first_of_room);
    if (first_of_room == NULL) {
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
        const uint32_t first = first_of_room[b->devices[d].room], depth = depth_of(b, b->devices[d].kind);
        if (depth > 0 && first != HR_SITING_NONE) {
            load[first] += messages ? depth + 1 : 1;
        }
    }
    hr_free(first_of_room);
    return HR_OK;
}

static hr_status find_air_cap(const siting_run *run, uint64_t *cap)
{
    const hr_building *b = run->building;
    const hr_radio *radio = &b->radio;
    *cap = 0;
    const bool hours = !isnan(radio->messages_per_hour), airtime = !isnan(radio->airtime_ms);
    if (!hours && !airtime) {
        return HR_OK;
    }
    hr_radio_rule rule = {.duty_percent = (double)NAN};
    if (hours != airtime || radio->rule[0] == '\0' ||
        !hr_materials_rule_find(radio->rule, radio->frequency_mhz, &rule, NULL) || isnan(rule.duty_percent)) {
        hr_note(run->notes, NULL, 0, "duty cycle not checked: %s",
                hours != airtime          ? "messages_per_hour and airtime_ms are needed both"
                : radio->rule[0] == '\0' ? "no `rule` is set"
                                          : "the rule has none");
        return HR_OK;
    }
    const double share_ms = radio->messages_per_hour * radio->airtime_ms;
    const double messages = share_ms > 0.0 ? floor(rule.duty_percent * 0.01 * MS_PER_HOUR / share_ms + 1e-9) : 0.0;
    if (share_ms > 0.0 && messages < 1.0) {
        char duty[HR_FIXED_MAX];
        return hr_fail(run->err, HR_ERR_INPUT, b->file, 0,
                       "messages_per_hour and airtime_ms of a single device exceed the duty cycle of %s, %s %%: lower them",
                       rule.name, hr_short(rule.duty_percent, 3, duty));
    }
    *cap = messages < 1e9 ? (uint64_t)messages : 0;
    return HR_OK;
}

static uint64_t sum_of(const uint32_t *load, size_t count)
{
    uint64_t sum = 0;
    for (size_t i = 0; i < count; i++) {
        sum += load[i];
    }
    return sum;
}

/* Whole rooms as units where all are alike: the solver and the mesh are exact for loads of 1. */
static void divide_out(siting_limits *limits, size_t count)
{
    uint32_t common = 0;
    for (size_t i = 0; i < count; i++) {
        uint32_t a = limits->load[i], b = common;
        while (b != 0) {
            const uint32_t rest = a % b;
            a = b;
            b = rest;
        }
        common = a;
    }
    for (size_t i = 0; common > 1 && i < count; i++) {
        limits->load[i] /= common;
    }
    if (common > 1 && limits->capacity >= common) {
        limits->capacity /= common;
    } else if (common > 1) {
        limits->capacity = 1; /* not even one fits: what is too much is said of the answer */
    }
}

hr_status siting_limits_new(const siting_run *run, siting_limits *limits)
{
    siting_limits made = {.capacity = (uint32_t)run->building->gateway_kind.capacity};
    hr_status status = find_air_cap(run, &made.air_cap);
    if (status != HR_OK) {
        return status;
    }
    made.load = hr_alloc(run->device_count, sizeof *made.load);
    uint32_t *messages = hr_alloc(run->device_count, sizeof *messages);
    status = made.load == NULL || messages == NULL ? hr_fail_memory(run->err) : count_loads(run, false, made.load);
    if (status == HR_OK) {
        status = count_loads(run, true, messages);
    }
    if (status == HR_OK && made.air_cap > 0 &&
        sum_of(messages, run->device_count) * made.capacity > sum_of(made.load, run->device_count) * made.air_cap) {
        uint32_t *const radios = made.load;
        made.load = messages;
        messages = radios;
        made.capacity = (uint32_t)made.air_cap;
    }
    hr_free(messages);
    if (status != HR_OK) {
        hr_free(made.load);
        return status;
    }
    divide_out(&made, run->device_count);
    *limits = made;
    return HR_OK;
}
