/*
 * join.c - every device its gateway and its next hop.
 *
 * SPDX-License-Identifier: MIT
 */
#include "mesh_priv.h"

#include <string.h>

void hr_mesh_attach(hr_mesh_build *b, uint32_t device, uint32_t gateway, uint32_t via, int64_t own_spare)
{
    hr_mesh_joined *j = &b->joined[device];
    j->gateway = gateway;
    j->via = via;
    j->own_spare = j->spare = own_spare;
    j->hops = 1;
    if (via != HR_MESH_NONE) {
        hr_mesh_joined *parent = &b->joined[via];
        parent->children++;
        j->hops = parent->hops + 1;
        j->spare = parent->spare < own_spare ? parent->spare : own_spare;
    }
    b->room[gateway] -= hr_mesh_load(b, device);
}

void hr_mesh_detach(hr_mesh_build *b, uint32_t device)
{
    hr_mesh_joined *j = &b->joined[device];
    b->room[j->gateway] += hr_mesh_load(b, device);
    if (j->via != HR_MESH_NONE) {
        b->joined[j->via].children--;
    }
    j->hops = 0;
}

static void start_over(hr_mesh_build *b)
{
    for (size_t d = 0; d < b->net->devices; d++) {
        b->joined[d] = (hr_mesh_joined){.gateway = HR_MESH_NONE, .via = HR_MESH_NONE};
        b->refused[d] = 0;
    }
    for (size_t i = 0; i < b->count; i++) {
        const uint32_t g = b->chosen[i], given = b->rules->capacity ? b->rules->capacity[g] : 0;
        b->room[g] = given ? given : INT64_MAX;
    }
}

/* Where a device was left out because its next hops stand too far out, those
 * on its shortest way must stand far enough in. True when something changed. */
static bool lower_levels(hr_mesh_build *b)
{
    bool changed = false;
    for (uint32_t d = 0; d < b->net->devices; d++) {
        if (b->joined[d].hops != 0 || b->refused[d] || b->preferred[d] == HR_MESH_NONE) {
            continue;
        }
        uint32_t allowed = b->net->max_hops;
        for (uint32_t at = b->before[d]; at != HR_MESH_NONE; at = b->before[at]) {
            allowed--;
            if (b->level[at] > allowed) {
                b->level[at] = allowed;
                changed = true;
            }
        }
    }
    return changed;
}

static bool join_all(hr_mesh_build *b)
{
    hr_mesh_fewest_hops(b->net, b->chosen, b->count, b->hops, b->before, b->queue);
    for (size_t d = 0; d < b->net->devices; d++) {
        b->level[d] = b->net->max_hops;
    }
    if (!hr_mesh_prefer(b)) {
        return false;
    }
    do {
        start_over(b);
        if (!hr_mesh_grow(b)) {
            return false;
        }
    } while (lower_levels(b));
    return hr_mesh_make_room(b);
}

static void finish(const hr_mesh_build *b, hr_mesh_joined *joined)
{
    for (size_t d = 0; d < b->net->devices; d++) {
        hr_mesh_joined j = b->joined[d];
        if (j.hops == 0) {
            j = (hr_mesh_joined){
                .gateway = HR_MESH_NONE, .via = HR_MESH_NONE, .spare = INT64_MIN, .own_spare = INT64_MIN};
            j.state = b->preferred[d] == HR_MESH_NONE ? HR_MESH_OUT_OF_REACH : HR_MESH_NO_ROOM;
        }
        joined[d] = j;
    }
}

hr_status hr_mesh_join(const hr_mesh_net *net, const uint32_t *chosen, size_t count, const hr_mesh_rules *rules,
                       hr_mesh_joined *joined, hr_error *err)
{
    static const hr_mesh_rules no_rules = {0};
    const hr_status status = hr_mesh_check_chosen(net, chosen, count, err);
    if (status != HR_OK) {
        return status;
    }
    const size_t n = net->devices;
    hr_mesh_build b = {.net = net, .chosen = chosen, .count = count, .rules = rules ? rules : &no_rules};
    b.joined = hr_alloc(n, sizeof *b.joined);
    b.level = hr_alloc(n, sizeof *b.level);
    b.preferred = hr_alloc(n, sizeof *b.preferred);
    b.hops = hr_alloc(n, sizeof *b.hops);
    b.before = hr_alloc(n, sizeof *b.before);
    b.queue = hr_alloc(n, sizeof *b.queue);
    b.refused = hr_alloc(n, 1);
    b.room = hr_alloc(net->gateways, sizeof *b.room);
    const bool ok =
        b.joined && b.level && b.preferred && b.hops && b.before && b.queue && b.refused && b.room && join_all(&b);
    if (ok) {
        finish(&b, joined);
    }
    hr_free(b.joined);
    hr_free(b.level);
    hr_free(b.preferred);
    hr_free(b.hops);
    hr_free(b.before);
    hr_free(b.queue);
    hr_free(b.refused);
    hr_free(b.room);
    return ok ? HR_OK : hr_fail_memory(err);
}
