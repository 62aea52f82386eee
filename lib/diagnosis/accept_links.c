/*
 * accept_links.c - which readings speak of the link that an installed device
 * uses: to the gateway it joined, or to its next hop.
 *
 * SPDX-License-Identifier: MIT
 */
#include "accept_priv.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* A text cut at the end of its buffer may end inside a character. */
static void cut_whole(char *text)
{
    size_t len = strlen(text), at = len;
    while (at > 0 && ((unsigned char)text[at - 1] & 0xC0) == 0x80) {
        at--;
    }
    const unsigned char lead = at > 0 ? (unsigned char)text[at - 1] : 0;
    const size_t due = lead >= 0xF0 ? 4 : lead >= 0xE0 ? 3 : lead >= 0xC0 ? 2 : 1;
    if (at > 0 && len - at + 1 < due) {
        text[at - 1] = '\0';
    }
}

void accept_remark(hr_acceptance_row *row, const char *fmt, ...)
{
    size_t at = strlen(row->remark);
    if (at + 3 >= sizeof row->remark) {
        return;
    }
    if (at > 0) {
        memcpy(row->remark + at, "; ", 3);
        at += 2;
    }
    va_list args;
    va_start(args, fmt);
    (void)vsnprintf(row->remark + at, sizeof row->remark - at, fmt, args);
    va_end(args);
    cut_whole(row->remark);
}

/* Of two devices, the one whose own link this is: the other is its next hop, or one of the kind it joins. */
static uint32_t lower_of(const accept_work *w, uint32_t from, uint32_t to)
{
    const hr_acceptance_row *rows = w->out->rows;
    if (rows[from].planned_via == to || rows[to].planned_via == from) {
        return rows[from].planned_via == to ? from : to;
    }
    const hr_device *a = &w->b->devices[from], *b = &w->b->devices[to];
    if (a->room == b->room && w->b->kinds[b->kind].joins == (int)a->kind) {
        return to;
    }
    return from;
}

uint32_t accept_owner(const accept_work *w, size_t reading)
{
    const hr_reading *r = &w->readings->items[reading];
    const uint32_t from = r->from.device, to = r->to.device;
    if (from != HR_READINGS_NONE && to != HR_READINGS_NONE) {
        return lower_of(w, from, to);
    }
    return from != HR_READINGS_NONE ? from : to;
}

accept_partner accept_partner_of(const accept_work *w, size_t reading)
{
    const hr_reading *r = &w->readings->items[reading];
    const hr_reading_end *far = r->from.device == w->owner[reading] ? &r->to : &r->from;
    return (accept_partner){far->gateway, far->device}; /* a point is neither */
}

bool accept_same(accept_partner a, accept_partner b)
{
    return a.gateway == b.gateway && a.device == b.device && accept_is_known(a);
}

bool accept_is_known(accept_partner partner)
{
    return partner.gateway != ACCEPT_NONE || partner.device != ACCEPT_NONE;
}

/* The one gateway that the plan gave this network id, where none is written down. */
static uint32_t by_network(const accept_work *w, const char *network_id)
{
    uint32_t found = ACCEPT_NONE;
    for (size_t i = 0; i < w->siting->gateway_count; i++) {
        const hr_sited_gateway *g = &w->siting->gateways[i];
        if (g->network_id != NULL && hr_casecmp(g->network_id, network_id) == 0) {
            if (found != ACCEPT_NONE) {
                return ACCEPT_NONE;
            }
            /* the siting's may stand in another order */
            found = hr_building_gateway(w->b, g->id);
        }
    }
    return found;
}

/* A gateway by its id or network id, else a device, its next hop. */
static accept_partner joined_of(const accept_work *w, const hr_reading *r)
{
    if (r->joined_gateway != ACCEPT_NONE || r->joined_device != ACCEPT_NONE) {
        return (accept_partner){r->joined_gateway, r->joined_gateway == ACCEPT_NONE ? r->joined_device : ACCEPT_NONE};
    }
    return (accept_partner){by_network(w, r->joined), ACCEPT_NONE};
}

accept_partner accept_joined(const accept_work *w, hr_acceptance_row *row)
{
    const hr_reading *last = NULL, *before = NULL; /* before: the last one that said something else */
    for (size_t i = w->first[row->device]; i < w->first[row->device + 1]; i++) {
        const hr_reading *r = &w->readings->items[w->order[i]];
        if (r->joined == NULL) {
            continue;
        }
        const bool same = last != NULL && (accept_same(joined_of(w, last), joined_of(w, r)) || hr_casecmp(last->joined, r->joined) == 0);
        before = last != NULL && !same ? last : before;
        last = r;
    }
    if (before != NULL) {
        accept_remark(row, "joined %s in line %d, %s in line %d", before->joined, before->line, last->joined, last->line);
    }
    if (last == NULL) {
        return (accept_partner){ACCEPT_NONE, ACCEPT_NONE};
    }
    const accept_partner joined = joined_of(w, last);
    row->joined = joined.gateway != ACCEPT_NONE  ? w->b->gateways[joined.gateway].id
                  : joined.device != ACCEPT_NONE ? w->b->devices[joined.device].name
                                                 : last->joined;
    return joined;
}

static bool has_reading(const accept_work *w, uint32_t device, accept_partner partner)
{
    for (size_t i = w->first[device]; i < w->first[device + 1]; i++) {
        if (accept_same(accept_partner_of(w, w->order[i]), partner)) {
            return true;
        }
    }
    return false;
}

/* The strongest of a device's links, by its level over the sensitivity where it was taken; ties as they stand.
 * devices_only: next hops. What was never heard stands last. */
static accept_partner strongest(const accept_work *w, uint32_t device, bool devices_only)
{
    accept_partner best = {ACCEPT_NONE, ACCEPT_NONE};
    int64_t best_level = INT64_MIN;
    bool any = false;
    for (size_t i = w->first[device]; i < w->first[device + 1]; i++) {
        const hr_reading *r = &w->readings->items[w->order[i]];
        const accept_partner partner = accept_partner_of(w, w->order[i]);
        if (!accept_is_known(partner) || (devices_only && partner.device == ACCEPT_NONE)) {
            continue;
        }
        const int64_t level = r->heard ? hr_micro(r->rssi_dbm - r->to.end.radio->sensitivity_dbm) : INT64_MIN;
        if (!any || level > best_level) {
            any = true;
            best = partner;
            best_level = level;
        }
    }
    return best;
}

accept_partner accept_link(const accept_work *w, const hr_acceptance_row *row, accept_partner joined)
{
    const accept_partner none = {ACCEPT_NONE, ACCEPT_NONE}, hop = {ACCEPT_NONE, row->planned_via},
                         planned = {row->planned_gateway, ACCEPT_NONE};
    if (joined.device != ACCEPT_NONE) {
        return has_reading(w, row->device, joined) ? joined : none;
    }
    if (row->planned_via != ACCEPT_NONE && has_reading(w, row->device, hop)) {
        return hop;
    }
    if (joined.gateway != ACCEPT_NONE) {
        /* its level elsewhere says nothing of this link; it may hang on another hop than planned */
        return has_reading(w, row->device, joined) ? joined : strongest(w, row->device, true);
    }
    if (row->planned_via == ACCEPT_NONE && has_reading(w, row->device, planned)) {
        return planned;
    }
    return strongest(w, row->device, false);
}
