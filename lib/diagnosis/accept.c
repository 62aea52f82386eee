/*
 * accept.c - the installed devices: each pass, weak, fail or not read, by its
 * level over sensitivity, what it joined and the packets lost.
 *
 * SPDX-License-Identifier: MIT
 */
#include "accept_priv.h"

#include <math.h>

const char *hr_verdict_name(hr_verdict verdict)
{
    switch (verdict) {
    case HR_VERDICT_FAIL:
        return "fail";
    case HR_VERDICT_WEAK:
        return "weak";
    case HR_VERDICT_PASS:
        return "pass";
    case HR_VERDICT_NOT_READ:
        break;
    }
    return "not read";
}

void hr_acceptance_free(hr_acceptance *acceptance)
{
    if (acceptance != NULL) {
        hr_arena_free(acceptance->arena);
        hr_free(acceptance);
    }
}

static hr_status prepare(accept_work *w, hr_error *err)
{
    hr_acceptance *out = w->out;
    const size_t n = w->readings->count, devices = w->b->device_count;
    out->arena = hr_arena_new();
    if (out->arena == NULL) {
        return hr_fail_memory(err);
    }
    out->rows = hr_arena_alloc(out->arena, devices + 1, sizeof *out->rows);
    w->owner = hr_arena_alloc(out->arena, n + 1, sizeof *w->owner);
    w->order = hr_arena_alloc(out->arena, n + 1, sizeof *w->order);
    w->judges = hr_arena_alloc(out->arena, n + 1, sizeof *w->judges);
    w->first = hr_arena_alloc(out->arena, devices + 2, sizeof *w->first);
    if (out->rows == NULL || w->owner == NULL || w->order == NULL || w->judges == NULL || w->first == NULL) {
        return hr_fail_memory(err);
    }
    out->count = devices;
    for (uint32_t i = 0; i < devices; i++) {
        const hr_device_row *planned = &w->siting->devices[i];
        const bool served = planned->served && planned->gateway != HR_SITING_NONE;
        out->rows[i] = (hr_acceptance_row){
            .device = i,
            .reading = HR_READINGS_NONE,
            .over_db = (double)NAN,
            .loss_percent = (double)NAN,
            .planned_gateway = served ? hr_building_gateway(w->b, w->siting->gateways[planned->gateway].id) : ACCEPT_NONE,
            .planned_via = served ? planned->via : ACCEPT_NONE,
            .as_planned = -1};
    }
    return HR_OK;
}

/* Readings in the order of the devices they speak of: counted, then put in place. */
static void sort_readings(accept_work *w)
{
    const size_t n = w->readings->count, devices = w->b->device_count;
    for (size_t d = 0; d <= devices + 1; d++) {
        w->first[d] = 0;
    }
    for (size_t i = 0; i < n; i++) {
        w->owner[i] = accept_owner(w, i);
        w->judges[i] = false;
        if (w->owner[i] != ACCEPT_NONE) {
            w->first[w->owner[i] + 2]++;
        }
    }
    for (size_t d = 1; d <= devices + 1; d++) {
        w->first[d] += w->first[d - 1];
    }
    for (size_t i = 0; i < n; i++) {
        if (w->owner[i] != ACCEPT_NONE) {
            w->order[w->first[w->owner[i] + 1]++] = (uint32_t)i;
        }
    }
}

static hr_verdict verdict_of(const hr_device_kind *kind, double over_db)
{
    const int64_t over = hr_micro(over_db);
    return over >= hr_micro(kind->accept_pass_db)  ? HR_VERDICT_PASS
           : over >= hr_micro(kind->accept_fail_db) ? HR_VERDICT_WEAK
                                                    : HR_VERDICT_FAIL;
}

/* Not heard: below the threshold. Does that say anything of the device? */
static hr_verdict verdict_unheard(const hr_device_kind *kind, const hr_reading *r, const char *joined_here,
                                  hr_acceptance_row *row)
{
    if (joined_here != NULL) {
        accept_remark(row, "joined %s, but line %d has no level", joined_here, r->line);
        return HR_VERDICT_NOT_READ;
    }
    if (hr_micro(r->threshold_dbm - r->to.end.radio->sensitivity_dbm) > hr_micro(kind->accept_fail_db)) {
        accept_remark(row, "not heard in line %d, but its threshold is too high to tell", r->line);
        return HR_VERDICT_NOT_READ;
    }
    accept_remark(row, "not heard in line %d", r->line);
    return HR_VERDICT_FAIL;
}

/* The loss of the way is the same in both directions, powers and sensitivities are not. */
static void look_back(const hr_device_kind *kind, const hr_reading *r, hr_acceptance_row *row)
{
    const hr_terminal *from = r->from.end.radio, *to = r->to.end.radio;
    const double back_db = r->rssi_dbm - from->tx_power_dbm + to->tx_power_dbm - from->sensitivity_dbm;
    if (verdict_of(kind, back_db) < verdict_of(kind, row->over_db)) {
        char number[HR_FIXED_MAX];
        accept_remark(row, "by the powers the other way comes to %s dB: read it at %s too", hr_fixed(back_db, 1, number),
                      r->from.name);
    }
}

/* Of a link's readings: the lowest heard, one not heard, and whether both ways were read. */
typedef struct link_look {
    const hr_reading *lowest, *unheard;
    uint32_t lowest_index, unheard_index;
    bool at_device, at_partner;
} link_look;

static link_look look_at(accept_work *w, accept_partner partner, hr_acceptance_row *row)
{
    link_look look = {0};
    double lowest_db = (double)INFINITY;
    for (size_t i = w->first[row->device]; i < w->first[row->device + 1]; i++) {
        const uint32_t index = w->order[i];
        const hr_reading *r = &w->readings->items[index];
        if (!accept_same(accept_partner_of(w, index), partner)) {
            continue;
        }
        w->judges[index] = true;
        row->readings++;
        row->loss_percent = isnan(row->loss_percent) ? r->loss_percent : fmax(row->loss_percent, r->loss_percent);
        const double over_db = r->rssi_dbm - r->to.end.radio->sensitivity_dbm;
        if (r->heard && over_db < lowest_db) {
            lowest_db = over_db;
            look.lowest = r;
            look.lowest_index = index;
        }
        if (r->heard) {
            look.at_device = look.at_device || r->to.device == row->device;
            look.at_partner = look.at_partner || r->to.device != row->device;
        } else if (look.unheard == NULL) {
            look.unheard = r;
            look.unheard_index = index;
        }
    }
    return look;
}

static void judge_link(accept_work *w, accept_partner partner, accept_partner joined, hr_acceptance_row *row)
{
    const hr_device_kind *kind = &w->b->kinds[w->b->devices[row->device].kind];
    const link_look look = look_at(w, partner, row);
    const bool joined_here = accept_same(partner, joined);
    if (look.lowest != NULL) {
        row->reading = look.lowest_index;
        row->over_db = look.lowest->rssi_dbm - look.lowest->to.end.radio->sensitivity_dbm;
        row->verdict = verdict_of(kind, row->over_db);
    }
    if (look.unheard != NULL) {
        const hr_verdict unheard = verdict_unheard(kind, look.unheard, joined_here ? row->joined : NULL, row);
        if (look.lowest == NULL || unheard == HR_VERDICT_FAIL) {
            row->verdict = unheard;
            row->reading = look.unheard_index;
            row->over_db = (double)NAN;
        }
    }
    if (isfinite(row->over_db) && !(look.at_device && look.at_partner)) {
        look_back(kind, look.lowest, row);
    }
    if (row->loss_percent > kind->accept_loss_percent) {
        char number[HR_FIXED_MAX];
        accept_remark(row, "%s %% of the packets lost", hr_short(row->loss_percent, 1, number));
        row->verdict = row->verdict == HR_VERDICT_PASS ? HR_VERDICT_WEAK : row->verdict;
    }
}

static const char *partner_name(const accept_work *w, accept_partner partner)
{
    return partner.gateway != ACCEPT_NONE ? w->b->gateways[partner.gateway].id : w->b->devices[partner.device].name;
}

static void say_partner(const accept_work *w, accept_partner partner, accept_partner joined, hr_acceptance_row *row)
{
    const bool by_hop = row->planned_via != ACCEPT_NONE;
    const bool planned = by_hop ? partner.device == row->planned_via
                                : partner.gateway == row->planned_gateway && partner.gateway != ACCEPT_NONE;
    const bool joined_here = accept_same(partner, joined);
    if (!planned && !joined_here) {
        accept_remark(row, "judged by its link to %s, which is not the planned one", partner_name(w, partner));
    }
}

/* 1, 0, or -1: not known. A next hop is compared with the planned hop, a gateway with the planned gateway. */
static int as_planned(accept_partner joined, const hr_acceptance_row *row)
{
    if (row->joined == NULL || (row->planned_gateway == ACCEPT_NONE && accept_is_known(joined))) {
        return -1;
    }
    return joined.device != ACCEPT_NONE ? joined.device == row->planned_via
                                        : joined.gateway != ACCEPT_NONE && joined.gateway == row->planned_gateway;
}

static void judge(accept_work *w, hr_acceptance_row *row)
{
    const accept_partner joined = accept_joined(w, row), partner = accept_link(w, row, joined);
    row->as_planned = as_planned(joined, row);
    w->out->elsewhere += row->as_planned == 0;
    if (accept_is_known(partner)) {
        say_partner(w, partner, joined, row);
        judge_link(w, partner, joined, row);
    } else if (row->joined != NULL) {
        accept_remark(row, "no level was read between it and %s", row->joined);
    }
    if (row->joined != NULL && !accept_is_known(joined)) {
        accept_remark(row, "joined %s, which is no gateway of this property: look at its network id", row->joined);
        row->verdict = HR_VERDICT_FAIL;
    } else if (row->as_planned == 0) {
        const bool by_hop = joined.device != ACCEPT_NONE && row->planned_via != ACCEPT_NONE;
        accept_remark(row, "joined %s, planned was %s", row->joined,
                      by_hop ? w->b->devices[row->planned_via].name : w->b->gateways[row->planned_gateway].id);
    }
    w->out->verdicts[row->verdict]++;
}

hr_status hr_diagnosis_accept(const hr_readings *readings, const hr_siting *siting, hr_acceptance **acceptance,
                              hr_error *err)
{
    if (siting->device_count != readings->building->device_count) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "the siting is of another building");
    }
    accept_work w = {.readings = readings, .b = readings->building, .siting = siting};
    w.out = hr_alloc_zero(1, sizeof *w.out);
    if (w.out == NULL) {
        return hr_fail_memory(err);
    }
    w.out->readings = readings;
    const hr_status status = prepare(&w, err);
    if (status != HR_OK) {
        hr_acceptance_free(w.out);
        return status;
    }
    sort_readings(&w);
    for (size_t i = 0; i < w.out->count; i++) {
        judge(&w, &w.out->rows[i]);
    }
    for (size_t i = 0; i < readings->count; i++) {
        w.out->beside += !w.judges[i];
    }
    *acceptance = w.out;
    return HR_OK;
}
