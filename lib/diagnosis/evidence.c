/*
 * evidence.c - what was read in the room and around it, each level beside its
 * prediction.
 *
 * SPDX-License-Identifier: MIT
 */
#include "diagnosis_priv.h"

#include <math.h>
#include <string.h>

#define LEVEL_LOW_DBM (-200.0)
#define LEVEL_HIGH_DBM 50.0

static hr_status fail_usage(why_run *run, const char *what, const char *word, const char *expected)
{
    return hr_fail(run->err, HR_ERR_USAGE, NULL, 0, "%s%s%s: %s", what, word[0] != '\0' ? " " : "", word, expected);
}

/* ---- walls of the planned way ---- */

static void keep_walls(why_run *run)
{
    for (size_t i = 0; i < run->work.item_count && run->wall_count < WHY_WALLS_MAX; i++) {
        const hr_item *item = &run->work.items[i];
        if (item->kind == HR_ITEM_WALL && item->loss_db > 0.0) {
            run->walls[run->wall_count++] = (why_wall){item->storey, item->index, item->material, item->at};
        }
    }
}

static hr_status measure_planned(why_run *run)
{
    if (run->why->control == HR_SITING_NONE || run->why->planned == HR_SITING_NONE) {
        return HR_OK;
    }
    const hr_siting *siting = run->why->siting;
    const hr_end child = hr_links_device_end(run->building, run->why->control);
    const hr_end parent = hr_siting_far_end(run->building, siting, &siting->devices[run->why->control]);
    hr_budget budget;
    const hr_status status = hr_links_budget(run->links, &run->work, &child, &parent, HR_UP, &budget, run->err);
    if (status == HR_OK) {
        run->planned_link = budget.link;
        run->has_planned = true;
        keep_walls(run);
        hr_links_budget_free(&budget);
    }
    return status;
}

/* ---- one level ---- */

/* What the room's own entry door takes from the link just measured. */
static double own_door_db(const why_run *run)
{
    const hr_room *room = &run->building->rooms[run->why->room];
    const uint32_t door = run->building->storeys[room->storey].plan->spaces[room->space].entry_door;
    double loss_db = 0.0;
    for (size_t i = 0; i < run->work.item_count; i++) {
        const hr_item *item = &run->work.items[i];
        if (item->kind == HR_ITEM_OPENING && item->storey == room->storey && item->index == door) {
            loss_db += item->loss_db;
        }
    }
    return loss_db;
}

static void count_walls(const why_run *run, why_seen *seen)
{
    for (size_t w = 0; w < run->wall_count; w++) {
        for (size_t i = 0; i < run->work.item_count; i++) {
            const hr_item *item = &run->work.items[i];
            seen->walls[w] += item->kind == HR_ITEM_WALL && item->storey == run->walls[w].storey &&
                              item->index == run->walls[w].index;
        }
    }
}

/* The level at `to`, as predicted; work->items holds what the link crosses. */
static hr_status predict(why_run *run, const hr_end *from, const hr_end *to, hr_link *link, double *predicted_dbm)
{
    hr_budget budget;
    const hr_status status = hr_links_budget(run->links, &run->work, from, to, HR_UP, &budget, run->err);
    if (status == HR_OK) {
        *link = budget.link;
        *predicted_dbm = budget.link.received_dbm;
        hr_links_budget_free(&budget);
    }
    return status;
}

static hr_status add_level(why_run *run, const hr_why_level *level, const why_seen *seen, const hr_end *from, const hr_end *to)
{
    hr_why *why = run->why;
    if (!HR_RESERVE(why->levels, run->level_cap, why->level_count + 1) ||
        !HR_RESERVE(run->seen, run->seen_cap, why->level_count + 1)) {
        return hr_fail_memory(run->err);
    }
    hr_why_level *out = &why->levels[why->level_count];
    why_seen *about = &run->seen[why->level_count];
    *out = *level;
    *about = *seen;
    hr_link link;
    const hr_status status = predict(run, from, to, &link, &out->predicted_dbm);
    if (status == HR_OK) {
        out->own = seen->device[0] != HR_SITING_NONE || seen->device[1] != HR_SITING_NONE;
        out->sigma_db = fmax(link.sigma_db, 1.0);
        out->predicted_dbm += why->door_open && out->own ? own_door_db(run) : 0.0;
        about->need_dbm = link.sensitivity_dbm + link.noise_rise_db;
        count_walls(run, about);
        why->level_count++;
    }
    return status;
}

/* ---- words of the command line ---- */

/* The control's next hop stands for the planned gateway: what ails either takes from that link. */
static uint32_t hop_gateway(const why_run *run, uint32_t one, uint32_t other)
{
    const uint32_t control = run->why->control, via = why_control_via(run);
    const bool hop = via != HR_SITING_NONE && ((one == control && other == via) || (one == via && other == control));
    return hop ? run->why->planned : HR_SITING_NONE;
}

static hr_status fail_louder(why_run *run, const hr_why_level *level, double free_dbm)
{
    char read[HR_FIXED_MAX], free_space[HR_FIXED_MAX];
    return hr_fail(run->err, HR_ERR_USAGE, NULL, 0,
                   "a level of %s dBm from %s at %s: free space over that distance leaves %s dBm, and this is over %d dB "
                   "more: is a sign or a digit missing?",
                   hr_short(level->level_dbm, 2, read), level->from, level->to, hr_fixed(free_dbm, 1, free_space),
                   (int)HR_READINGS_LOUDER_DB);
}

/* A level of one of the room's devices at the far end of its own link. */
static hr_status add_own(why_run *run, uint32_t device, bool heard, double level_dbm)
{
    const hr_building *b = run->building;
    const hr_device_row *row = &run->why->siting->devices[device];
    const hr_end from = hr_links_device_end(b, device);
    const bool control = device == run->why->control;
    const bool other = control && run->joined == WHY_JOINED_OTHER && heard;
    const bool direct = row->via == HR_SITING_NONE;
    const uint32_t predicted = row->has_link ? row->gateway : HR_SITING_NONE;
    const uint32_t gateway = other ? run->joined_gateway : !direct ? HR_SITING_NONE : control ? run->why->planned : predicted;
    if (gateway == HR_SITING_NONE && (!row->has_link || direct)) {
        return fail_usage(run, "--rssi", b->devices[device].name, "it has no link whose level could be read");
    }
    const bool at_gateway = gateway != HR_SITING_NONE;
    const hr_end to = at_gateway ? why_gateway_end(run, gateway) : hr_links_device_end(b, row->via);
    const hr_why_level level = {.from = b->devices[device].name,
                                .to = at_gateway ? run->why->siting->gateways[gateway].id : b->devices[row->via].name,
                                .heard = heard,
                                .level_dbm = level_dbm,
                                .threshold_dbm = to.radio->sensitivity_dbm};
    const double free_dbm = hr_readings_free_space_dbm(b, &from, &to);
    if (heard && level_dbm > free_dbm + HR_READINGS_LOUDER_DB) {
        return fail_louder(run, &level, free_dbm);
    }
    const bool inside = !at_gateway && b->devices[row->via].room == run->why->room;
    const why_seen seen = {.device = {device, inside ? row->via : HR_SITING_NONE},
                           .gateway = at_gateway ? gateway : hop_gateway(run, device, row->via)};
    return add_level(run, &level, &seen, &from, &to);
}

static bool parse_level(const char *text, double *level_dbm)
{
    return hr_number_parse(text, level_dbm) && *level_dbm >= LEVEL_LOW_DBM && *level_dbm <= LEVEL_HIGH_DBM;
}

static hr_status take_rssi(why_run *run, const char *word)
{
    const char *equals = strrchr(word, '=');
    uint32_t device = run->why->control;
    double level_dbm = 0.0;
    if (!parse_level(equals == NULL ? word : equals + 1, &level_dbm)) {
        return fail_usage(run, "--rssi", word, "DBM or DEVICE=DBM was expected, from -200 to 50 dBm");
    }
    if (equals != NULL) {
        char *name = hr_strndup(word, (size_t)(equals - word));
        if (name == NULL) {
            return hr_fail_memory(run->err);
        }
        device = hr_building_device(run->building, name);
        hr_free(name);
        if (device == UINT32_MAX || run->building->devices[device].room != run->why->room) {
            return fail_usage(run, "--rssi", word, "this is no device of the room; levels of others go into --readings");
        }
    }
    if (device == HR_SITING_NONE) {
        return fail_usage(run, "--rssi", word, "the room has no device that joins a gateway; write DEVICE=DBM");
    }
    if (run->evidence->not_heard && device == run->why->control) {
        return fail_usage(run, "--not-heard", "", "it excludes a level of the same device");
    }
    return add_own(run, device, true, level_dbm);
}

/* "0=-100,5=-50": points with rising figures, straight lines between. */
static hr_status take_quality(why_run *run)
{
    const char *map = run->evidence->quality_map, *expected = "FIGURE=DBM,FIGURE=DBM ... with rising figures was expected";
    const double quality = run->evidence->quality;
    double before = (double)NAN, before_dbm = (double)NAN, level_dbm = (double)NAN;
    for (const char *at = map; *at != '\0';) {
        double figure, figure_dbm;
        size_t used = hr_number_scan(at, strlen(at), &figure);
        if (used == 0 || at[used] != '=') {
            return fail_usage(run, "--quality-map", map, expected);
        }
        at += used + 1;
        used = hr_number_scan(at, strlen(at), &figure_dbm);
        if (used == 0 || (at[used] != ',' && at[used] != '\0') || figure <= before || figure_dbm < LEVEL_LOW_DBM ||
            figure_dbm > LEVEL_HIGH_DBM) {
            return fail_usage(run, "--quality-map", map, expected);
        }
        at += used + (at[used] == ',');
        if (quality == figure) {
            level_dbm = figure_dbm;
        } else if (quality > before && quality < figure) {
            level_dbm = before_dbm + (figure_dbm - before_dbm) * (quality - before) / (figure - before);
        }
        before = figure;
        before_dbm = figure_dbm;
    }
    if (isnan(level_dbm)) {
        return fail_usage(run, "--quality-map", map, "it does not reach the figure of --quality");
    }
    return run->why->control == HR_SITING_NONE || run->evidence->not_heard
               ? fail_usage(run, "--quality", "", "a control that is heard by a gateway was expected")
               : add_own(run, run->why->control, true, level_dbm);
}

static hr_status take_joined(why_run *run)
{
    const hr_siting *siting = run->why->siting;
    const char *word = run->evidence->joined;
    run->joined_gateway = HR_SITING_NONE;
    if (word == NULL) {
        return HR_OK;
    }
    if (hr_casecmp(word, "none") == 0) {
        run->joined = WHY_JOINED_NONE;
        return HR_OK;
    }
    for (uint32_t g = 0; g < siting->gateway_count; g++) {
        if (hr_casecmp(siting->gateways[g].id, word) == 0) {
            run->joined = g == run->why->planned ? WHY_JOINED_PLANNED : WHY_JOINED_OTHER;
            run->joined_gateway = g;
            return HR_OK;
        }
    }
    return fail_usage(run, "--joined", word, "a gateway's id or none was expected");
}

static hr_status take_door(why_run *run)
{
    const char *word = run->evidence->door;
    if (word != NULL && strcmp(word, "open") != 0 && strcmp(word, "shut") != 0) {
        return fail_usage(run, "--door", word, "open or shut was expected");
    }
    run->why->door_open = word != NULL && strcmp(word, "open") == 0;
    return HR_OK;
}

/* ---- the list ---- */

static uint32_t gateway_of(const why_run *run, const hr_reading_end *end)
{
    for (uint32_t g = 0; end->gateway != HR_READINGS_NONE && g < run->why->siting->gateway_count; g++) {
        if (strcmp(run->why->siting->gateways[g].id, end->name) == 0) {
            return g;
        }
    }
    return HR_SITING_NONE;
}

static uint32_t own_device(const why_run *run, const hr_reading_end *end)
{
    const bool own = end->device != HR_READINGS_NONE && run->building->devices[end->device].room == run->why->room;
    return own ? end->device : HR_SITING_NONE;
}

static hr_status take_readings(why_run *run)
{
    const hr_readings *readings = run->evidence->readings;
    hr_status status = HR_OK;
    for (size_t i = 0; status == HR_OK && readings != NULL && i < readings->count; i++) {
        const hr_reading *r = &readings->items[i];
        const hr_why_level level = {.from = r->from.name,
                                    .to = r->to.name,
                                    .heard = r->heard,
                                    .level_dbm = r->rssi_dbm,
                                    .threshold_dbm = r->threshold_dbm};
        const uint32_t to = gateway_of(run, &r->to);
        const uint32_t from = to != HR_SITING_NONE ? to : gateway_of(run, &r->from);
        const why_seen seen = {.device = {own_device(run, &r->from), own_device(run, &r->to)},
                               .gateway = from != HR_SITING_NONE ? from : hop_gateway(run, r->from.device, r->to.device)};
        status = add_level(run, &level, &seen, &r->from.end, &r->to.end);
    }
    return status;
}

hr_status why_gather_evidence(why_run *run)
{
    const hr_why_evidence *e = run->evidence;
    hr_status status = measure_planned(run);
    if (status == HR_OK) {
        status = take_joined(run);
    }
    if (status == HR_OK) {
        status = take_door(run);
    }
    for (size_t i = 0; status == HR_OK && i < e->rssi_count; i++) {
        status = take_rssi(run, e->rssi[i]);
    }
    if (status == HR_OK && isnan(e->quality) != (e->quality_map == NULL)) {
        status = fail_usage(run, "--quality", "", "it goes together with --quality-map");
    }
    if (status == HR_OK && !isnan(e->quality)) {
        status = take_quality(run);
    }
    if (status == HR_OK && e->not_heard) {
        status = run->why->control == HR_SITING_NONE
                     ? fail_usage(run, "--not-heard", "", "the room has no device that joins a gateway")
                     : add_own(run, run->why->control, false, (double)NAN);
    }
    return status == HR_OK ? take_readings(run) : status;
}
