/*
 * sheet.c - what goes into an offer, counted from the gateways placed on
 * nominal values; prices only where a list gives them.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_priv.h"

#include <math.h>

#define LINES_MAX 64

typedef struct sheet {
    estimate_run *run;
    size_t gateways;       /* of one building */
    size_t fresh;          /* of them not there already */
    const uint32_t *sites; /* of them */
    double times;          /* buildings */
} sheet;

static size_t started(double quantity)
{
    return (size_t)ceil(quantity - 1e-9);
}

/* A spare of something has a price of its own, or that of the thing. */
static double price_of(const hr_prices *prices, const char *item)
{
    const double own = hr_prices_of(prices, item);
    return isnan(own) && hr_caseeq_n(item, "spare-", 6) ? hr_prices_of(prices, item + 6) : own;
}

static hr_status add_line(sheet *s, const char *item, const char *words, double quantity, const char *unit, const char *note)
{
    estimate_run *run = s->run;
    hr_estimate *out = run->out;
    if (item == NULL || words == NULL || note == NULL) {
        return hr_fail_memory(run->err);
    }
    if (out->line_count == LINES_MAX) {
        return hr_fail(run->err, HR_ERR_LIMIT, NULL, 0, "a quote sheet has at most %d lines", LINES_MAX);
    }
    hr_quote_line *line = &out->lines[out->line_count++];
    *line = (hr_quote_line){.item = item,
                            .words = words,
                            .quantity = quantity,
                            .unit = unit,
                            .note = note,
                            .unit_price = price_of(run->options->prices, item)};
    line->total = hr_round(line->quantity * line->unit_price, 2);
    if (run->options->prices != NULL && isfinite(line->total)) {
        out->total = hr_round(out->total + line->total, 2);
    } else if (run->options->prices != NULL && !(quantity == 0.0)) {
        out->unpriced++;
    }
    return HR_OK;
}

/* ---- gateways and network ---- */

typedef struct network {
    double cable_m;
    size_t closets, slabs;
    bool drawn;
} network;

static network count_network(const sheet *s)
{
    const estimate_run *run = s->run;
    network n = {.drawn = true};
    for (size_t i = 0; i < s->gateways; i++) {
        const hr_study_site *site = &run->sites[s->sites[i]];
        if (site->existing) {
            continue;
        }
        if (isnan(site->cable_m)) {
            n.drawn = false;
            continue;
        }
        n.cable_m += site->cable_m;
        n.slabs += site->storey > site->closet_storey ? site->storey - site->closet_storey
                                                      : site->closet_storey - site->storey;
        bool met = false;
        for (size_t k = 0; k < i && !met; k++) {
            const hr_study_site *other = &run->sites[s->sites[k]];
            met = !other->existing && other->closet_storey == site->closet_storey && other->closet == site->closet;
        }
        n.closets += !met;
    }
    n.cable_m *= 1.0 + (run->drawn[ESTIMATE_NETWORK] ? run->keys->detour_spread / 2.0 : 0.0);
    return n;
}

static hr_status add_gateways(sheet *s)
{
    estimate_run *run = s->run;
    const hr_estimate *out = run->out;
    const double gateways = s->times * (double)s->fresh;
    const double spare = run->keys->spare_gateways > 0.0 ? fmax(1.0, (double)started(gateways * run->keys->spare_gateways)) : 0.0;
    char share[HR_FIXED_MAX];
    const char *how = "no count tried holds often enough: the 90 % figure";
    if (out->quote > 0) {
        char confidence[HR_FIXED_MAX];
        how = estimate_words(run, "serves %s %% of the rooms in at least %s %% of the draws",
                             hr_short(100.0 * out->served_share, 1, share), hr_short(100.0 * out->confidence, 1, confidence));
    }
    if (s->fresh < s->gateways) {
        how = estimate_words(run, "%s; beside %zu that are there", how != NULL ? how : "", s->gateways - s->fresh);
    }
    hr_status status = add_line(s, "gateway", "gateways", gateways, "pcs", how);
    if (status == HR_OK) {
        status = add_line(s, "spare-gateway", "spare gateways", spare, "pcs",
                          estimate_words(run, "%s %%, at least one", hr_short(100.0 * run->keys->spare_gateways, 1, share)));
    }
    return status;
}

static hr_status add_network(sheet *s)
{
    estimate_run *run = s->run;
    const network n = count_network(s);
    const double gateways = s->times * (double)s->fresh, unknown = (double)NAN;
    const hr_length_unit unit = run->building->length_unit;
    char number[HR_FIXED_MAX];
    const char *none = "no network connection is drawn";
    hr_status status = add_line(s, "poe-port", "PoE ports", gateways, "pcs", "one for each gateway");
    if (status == HR_OK) {
        status = add_line(s, "ups", "UPS", n.drawn ? s->times * (double)n.closets : unknown, "pcs",
                          n.drawn ? "one for each closet that feeds gateways" : none);
    }
    if (status == HR_OK) {
        status = add_line(s, "network-drop", "network drops", gateways, "pcs", "one for each gateway");
    }
    if (status == HR_OK) {
        const char *how = estimate_words(run, "along the corridors with risers, drop and slack, and %s %% for detours",
                                         hr_short(run->drawn[ESTIMATE_NETWORK] ? 50.0 * run->keys->detour_spread : 0.0, 1, number));
        const double length = hr_units_from_metres(s->times * n.cable_m, unit);
        status = add_line(s, unit == HR_METRES ? "cable-metre" : "cable-foot", "network cable",
                          n.drawn ? (double)started(length) : unknown, hr_units_length_name(unit), n.drawn ? how : none);
    }
    if (status == HR_OK) {
        status = add_line(s, "firestop", "penetrations to firestop",
                          n.drawn ? s->times * (double)(s->fresh + n.slabs) : unknown, "pcs",
                          n.drawn ? "each drop out of its closet, and each slab between" : none);
    }
    return status;
}

/* ---- devices ---- */

static size_t devices_of(const hr_building *b, size_t kind)
{
    size_t count = 0;
    for (size_t i = 0; i < b->device_count; i++) {
        count += b->devices[i].kind == kind;
    }
    return count;
}

/* Of all buildings: what is ordered is what was said, not what rounding to as many on every storey makes of it.
 * In such a building every room has the same devices. */
static size_t to_order(const sheet *s, size_t kind)
{
    const hr_estimate *out = s->run->out;
    return devices_of(s->run->building, kind) * out->buildings * out->rooms_said / out->rooms;
}

static hr_status add_devices(sheet *s)
{
    estimate_run *run = s->run;
    const hr_building *b = run->building;
    char share[HR_FIXED_MAX];
    hr_status status = HR_OK;
    for (size_t k = 0; status == HR_OK && k < b->kind_count; k++) {
        const double count = (double)to_order(s, k);
        const double spare = run->keys->spare_devices > 0.0 && count > 0.0
                                 ? fmax(1.0, (double)started(count * run->keys->spare_devices))
                                 : 0.0;
        const char *power = b->kinds[k].power == HR_POWER_BATTERY ? "battery" : "mains";
        status = add_line(s, estimate_words(run, "device-%s", b->kinds[k].name),
                          estimate_words(run, "devices, kind %s", b->kinds[k].name), count, "pcs",
                          estimate_words(run, "%ld in a room, %s", b->kinds[k].per_room, power));
        if (status == HR_OK) {
            status = add_line(s, estimate_words(run, "spare-device-%s", b->kinds[k].name),
                              estimate_words(run, "spare devices, kind %s", b->kinds[k].name), spare, "pcs",
                              estimate_words(run, "%s %%, at least one", hr_short(100.0 * run->keys->spare_devices, 1, share)));
        }
    }
    return status;
}

/* The first set and one after every battery_months that ends before the years do. */
static size_t sets_in(long years, long months)
{
    const long all = 12 * years;
    return months > 0 && all > months ? (size_t)((all + months - 1) / months) : 1;
}

static hr_status add_batteries(sheet *s)
{
    estimate_run *run = s->run;
    const hr_building *b = run->building;
    size_t devices = 0;
    for (size_t k = 0; k < b->kind_count; k++) {
        devices += b->kinds[k].power == HR_POWER_BATTERY ? to_order(s, k) : 0;
    }
    const size_t sets = sets_in(run->keys->service_years, run->keys->battery_months);
    return add_line(s, "battery-set", "battery sets", (double)(devices * sets), "pcs",
                    estimate_words(run, "first set and %zu change%s in %ld years, one every %ld months (common practice)",
                                   sets - 1, sets == 2 ? "" : "s", run->keys->service_years, run->keys->battery_months));
}

/* ---- visits ---- */

static hr_status add_visits(sheet *s)
{
    estimate_run *run = s->run;
    const hr_estimate *out = run->out;
    const hr_estimate_keys *keys = run->keys;
    double failing = 0.0;
    for (size_t i = 0; i < out->holds_count; i++) {
        failing = out->holds[i].gateways == s->gateways * out->buildings ? out->holds[i].expected_failing_rooms : failing;
    }
    char number[HR_FIXED_MAX];
    /* under half a room is no reason to send somebody */
    const double revisits = failing >= 0.5 ? (double)started(failing / (double)keys->rooms_per_revisit) : 0.0;
    hr_status status = add_line(s, "survey-visit", "survey visits", s->times * (double)keys->survey_visits, "visits",
                                estimate_words(run, "%ld for each building, before ordering (assumed)", keys->survey_visits));
    if (status == HR_OK) {
        status = add_line(s, "commissioning-visit", "commissioning visits",
                          (double)started((double)out->rooms_said / (double)keys->rooms_per_visit), "visits",
                          estimate_words(run, "%ld rooms in a visit (assumed)", keys->rooms_per_visit));
    }
    if (status == HR_OK) {
        status = add_line(s, "revisit", "revisit allowance",
                          revisits, "visits",
                          estimate_words(run, "%s rooms expected to fail, %ld put right in a visit (assumed)",
                                         hr_fixed(failing, 1, number), keys->rooms_per_revisit));
    }
    return status;
}

hr_status estimate_write_sheet(estimate_run *run, const estimate_sets *sets)
{
    hr_estimate *out = run->out;
    sheet s = {.run = run, .times = (double)out->buildings};
    const size_t wanted = (out->quote > 0 ? out->quote : out->p90) / out->buildings, last = sets->low + sets->count - 1;
    s.gateways = wanted < sets->low ? sets->low : wanted > last ? last : wanted;
    s.sites = sets->sites[s.gateways - sets->low];
    for (size_t i = 0; i < s.gateways; i++) {
        s.fresh += !run->sites[s.sites[i]].existing;
    }
    out->lines = hr_alloc(LINES_MAX, sizeof *out->lines);
    if (out->lines == NULL) {
        return hr_fail_memory(run->err);
    }
    if (run->options->prices != NULL) {
        out->currency = hr_arena_strdup(out->arena, hr_prices_currency(run->options->prices));
        if (out->currency == NULL) {
            return hr_fail_memory(run->err);
        }
    }
    static hr_status (*const parts[])(sheet *) = {add_gateways, add_devices, add_network, add_batteries, add_visits};
    hr_status status = HR_OK;
    for (size_t i = 0; status == HR_OK && i < sizeof parts / sizeof parts[0]; i++) {
        status = parts[i](&s);
    }
    return status;
}
