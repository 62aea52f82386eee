/*
 * gateways.c - chosen sites into gateways with ids, in the order of a walk:
 * storey by storey, then as one reads a drawing.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include <stdio.h>
#include <stdlib.h>

typedef struct placed {
    const siting_site *site;
    uint32_t index; /* of run->sites */
} placed;

static int compare_placed(const void *left, const void *right)
{
    const placed *p = left, *q = right;
    const hr_site *a = &p->site->site, *b = &q->site->site;
    if (a->storey != b->storey) {
        return a->storey < b->storey ? -1 : 1;
    }
    if (a->at.y != b->at.y) {
        return a->at.y < b->at.y ? -1 : 1;
    }
    if (a->at.x != b->at.x) {
        return a->at.x < b->at.x ? -1 : 1;
    }
    const int by_id = hr_casecmp(siting_site_id(p->site), siting_site_id(q->site));
    return by_id != 0 ? by_id : (p->index > q->index) - (p->index < q->index);
}

static bool id_is_taken(const placed *chosen, size_t count, const char *id)
{
    for (size_t i = 0; i < count; i++) {
        if (chosen[i].site->gateway != NULL && hr_casecmp(chosen[i].site->gateway->id, id) == 0) {
            return true;
        }
    }
    return false;
}

/* GW1, GW2 ... passing over ids that gateways already there have. */
static const char *next_id(hr_siting *siting, const placed *chosen, size_t count, unsigned *number)
{
    char id[32];
    do {
        (*number)++;
        (void)snprintf(id, sizeof id, "GW%u", *number);
    } while (id_is_taken(chosen, count, id));
    return hr_arena_strdup(siting->arena, id);
}

static const char *number_text(hr_siting *siting, size_t number)
{
    char text[32];
    (void)snprintf(text, sizeof text, "%zu", number);
    return hr_arena_strdup(siting->arena, text);
}

static const hr_spot *spot_of(const hr_building *b, const siting_site *site)
{
    if (site->spot != NULL || site->gateway->spot == NULL) {
        return site->spot;
    }
    for (size_t i = 0; i < b->spot_count; i++) {
        if (hr_casecmp(b->spots[i].id, site->gateway->spot) == 0) {
            return &b->spots[i];
        }
    }
    return NULL;
}

static bool fill_gateway(const siting_run *run, const placed *order, size_t count, size_t i, unsigned *number,
                         hr_sited_gateway *gateway)
{
    const siting_site *site = order[i].site;
    const hr_spot *spot = spot_of(run->building, site);
    *gateway = (hr_sited_gateway){.at = site->site.at, .z_m = site->site.z_m, .storey = site->site.storey};
    gateway->label = spot == NULL ? NULL : spot->label;
    if (site->gateway != NULL) {
        gateway->id = site->gateway->id;
        gateway->spot = site->gateway->spot;
        gateway->network_id = site->gateway->network_id;
        gateway->mount_height_m = site->gateway->mount_height_m;
        gateway->existing = site->gateway->existing;
    } else {
        gateway->id = next_id(run->siting, order, count, number);
        gateway->spot = spot->id;
        gateway->mount_height_m = spot->mount_height_m;
        gateway->spot_cost = siting_spot_cost(run->building, spot);
    }
    if (gateway->network_id == NULL) {
        const char *given = run->building->gateway_kind.network_id;
        gateway->network_id = given[0] != '\0' ? given : number_text(run->siting, i + 1);
    }
    return gateway->id != NULL && gateway->network_id != NULL && (run->brief || siting_find_beside(run, gateway));
}

/* Chosen sites and those that are down, which keep their numbers. */
static placed *in_order(const siting_run *run, const uint32_t *chosen, size_t count, size_t *order_count)
{
    placed *order = hr_alloc(run->sites.count, sizeof *order);
    size_t used = 0, next = 0;
    for (uint32_t s = 0; order != NULL && s < run->sites.count; s++) {
        const bool is_chosen = next < count && chosen[next] == s;
        next += is_chosen;
        if (is_chosen || run->sites.items[s].down) {
            order[used++] = (placed){&run->sites.items[s], s};
        }
    }
    if (order != NULL && used > 1) {
        qsort(order, used, sizeof *order, compare_placed);
    }
    *order_count = used;
    return order;
}

hr_status siting_set_gateways(siting_run *run, const uint32_t *chosen, size_t count, uint32_t *gateway_of_site)
{
    size_t order_count;
    placed *order = in_order(run, chosen, count, &order_count);
    uint8_t *is_chosen = hr_alloc_zero(run->sites.count, 1);
    hr_free(run->siting->gateways);
    run->siting->gateway_count = 0;
    run->siting->gateways = hr_alloc(count, sizeof *run->siting->gateways);
    bool filled = order != NULL && is_chosen != NULL && run->siting->gateways != NULL;
    for (size_t i = 0; filled && i < count; i++) {
        is_chosen[chosen[i]] = 1;
    }
    unsigned number = 0;
    for (size_t i = 0; filled && i < order_count; i++) {
        hr_sited_gateway gateway;
        filled = fill_gateway(run, order, order_count, i, &number, &gateway);
        if (filled && is_chosen[order[i].index]) {
            gateway_of_site[order[i].index] = (uint32_t)run->siting->gateway_count;
            run->siting->gateways[run->siting->gateway_count++] = gateway;
        }
    }
    hr_free(order);
    hr_free(is_chosen);
    return filled ? HR_OK : hr_fail_memory(run->err);
}
