/*
 * gateways.c - chosen sites into gateways with ids, in the order of a walk:
 * storey by storey, then as one reads a drawing.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include <stdio.h>
#include <stdlib.h>

static const char *site_id(const siting_site *site)
{
    return site->gateway != NULL ? site->gateway->id : site->spot->id;
}

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
    const int by_id = hr_casecmp(site_id(p->site), site_id(q->site));
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

static bool fill_gateway(const siting_run *run, const placed *chosen, size_t count, size_t i, unsigned *number)
{
    const siting_site *site = chosen[i].site;
    hr_sited_gateway *gateway = &run->siting->gateways[i];
    *gateway = (hr_sited_gateway){.at = site->site.at, .z_m = site->site.z_m, .storey = site->site.storey};
    if (site->gateway != NULL) {
        gateway->id = site->gateway->id;
        gateway->spot = site->gateway->spot;
        gateway->network_id = site->gateway->network_id;
        gateway->mount_height_m = site->gateway->mount_height_m;
        gateway->existing = site->gateway->existing;
    } else {
        gateway->id = next_id(run->siting, chosen, count, number);
        gateway->spot = site->spot->id;
        gateway->mount_height_m = site->spot->mount_height_m;
    }
    if (gateway->network_id == NULL) {
        const char *given = run->building->gateway_kind.network_id;
        gateway->network_id = given[0] != '\0' ? given : number_text(run->siting, i + 1);
    }
    return gateway->id != NULL && gateway->network_id != NULL;
}

hr_status siting_set_gateways(siting_run *run, const uint32_t *chosen, size_t count, uint32_t *gateway_of_site)
{
    placed *order = hr_alloc(count, sizeof *order);
    run->siting->gateways = hr_alloc(count, sizeof *run->siting->gateways);
    if (order == NULL || run->siting->gateways == NULL) {
        hr_free(order);
        return hr_fail_memory(run->err);
    }
    for (size_t i = 0; i < count; i++) {
        order[i] = (placed){&run->sites.items[chosen[i]], chosen[i]};
    }
    if (count > 1) {
        qsort(order, count, sizeof *order, compare_placed);
    }
    unsigned number = 0;
    bool filled = true;
    for (size_t i = 0; filled && i < count; i++) {
        filled = fill_gateway(run, order, count, i, &number);
        gateway_of_site[order[i].index] = (uint32_t)i;
    }
    hr_free(order);
    run->siting->gateway_count = count;
    return filled ? HR_OK : hr_fail_memory(run->err);
}
