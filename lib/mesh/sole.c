/*
 * sole.c - relays without which others are cut off, found by removal.
 *
 * SPDX-License-Identifier: MIT
 */
#include "mesh_priv.h"

/* Only a relay in the middle of somebody's shortest way can be the sole one. */
static void mark_carriers(size_t reached, const uint32_t *queue, const uint32_t *before, uint8_t *carries)
{
    for (size_t i = 0; i < reached; i++) {
        if (before[queue[i]] != HR_MESH_NONE) {
            carries[before[queue[i]]] = 1;
        }
    }
}

typedef struct search {
    uint32_t *hops, *before, *queue;
    uint8_t *carries;
    hr_mesh_sole *found;
    size_t found_count, found_cap;
} search;

static bool find_sole(search *s, const hr_mesh_net *net, const uint32_t *chosen, size_t count)
{
    const size_t reached = hr_mesh_fewest_hops(net, chosen, count, HR_MESH_NONE, s->hops, s->before, s->queue);
    mark_carriers(reached, s->queue, s->before, s->carries);
    for (uint32_t d = 0; d < net->devices; d++) {
        if (!s->carries[d]) {
            continue;
        }
        const size_t left = hr_mesh_fewest_hops(net, chosen, count, d, s->hops, s->before, s->queue);
        if (left + 1 < reached) {
            if (!HR_RESERVE(s->found, s->found_cap, s->found_count + 1)) {
                return false;
            }
            s->found[s->found_count++] = (hr_mesh_sole){d, (uint32_t)(reached - left - 1)};
        }
    }
    return true;
}

hr_status hr_mesh_sole_relays(const hr_mesh_net *net, const uint32_t *chosen, size_t count, hr_mesh_sole **list,
                              size_t *list_count, hr_error *err)
{
    const hr_status status = hr_mesh_check_chosen(net, chosen, count, err);
    if (status != HR_OK) {
        return status;
    }
    search s = {.hops = hr_alloc(net->devices, sizeof *s.hops),
                .before = hr_alloc(net->devices, sizeof *s.before),
                .queue = hr_alloc(net->devices, sizeof *s.queue),
                .carries = hr_alloc_zero(net->devices, 1)};
    const bool ok = s.hops && s.before && s.queue && s.carries && find_sole(&s, net, chosen, count);
    hr_free(s.hops);
    hr_free(s.before);
    hr_free(s.queue);
    hr_free(s.carries);
    if (!ok) {
        hr_free(s.found);
        return hr_fail_memory(err);
    }
    *list = s.found;
    *list_count = s.found_count;
    return HR_OK;
}
