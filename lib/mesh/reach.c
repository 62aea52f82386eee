/*
 * reach.c - who can be reached, and how well: widest ways by layers of hops.
 *
 * SPDX-License-Identifier: MIT
 */
#include "mesh_priv.h"

#include <stdlib.h>
#include <string.h>

bool hr_mesh_walk_start(hr_mesh_walk *walk, size_t devices)
{
    *walk = (hr_mesh_walk){0};
    walk->width = hr_alloc(devices, sizeof *walk->width);
    walk->hops = hr_alloc_zero(devices, sizeof *walk->hops);
    walk->reached = hr_alloc(devices, sizeof *walk->reached);
    walk->front = hr_alloc(devices, sizeof *walk->front);
    walk->next = hr_alloc(devices, sizeof *walk->next);
    walk->front_width = hr_alloc(devices, sizeof *walk->front_width);
    walk->in_next = hr_alloc_zero(devices, 1);
    if (!walk->width || !walk->hops || !walk->reached || !walk->front || !walk->next || !walk->front_width ||
        !walk->in_next) {
        hr_mesh_walk_end(walk);
        return false;
    }
    for (size_t d = 0; d < devices; d++) {
        walk->width[d] = -1;
    }
    return true;
}

void hr_mesh_walk_end(hr_mesh_walk *walk)
{
    hr_free(walk->width);
    hr_free(walk->hops);
    hr_free(walk->reached);
    hr_free(walk->front);
    hr_free(walk->next);
    hr_free(walk->front_width);
    hr_free(walk->in_next);
    *walk = (hr_mesh_walk){0};
}

/* Notes a way of that width; keeps it if it is wider than what was known. */
static size_t improve(hr_mesh_walk *walk, uint32_t device, int64_t width, uint32_t hops, size_t next_count)
{
    if (width <= walk->width[device]) {
        return next_count;
    }
    if (walk->hops[device] == 0) {
        walk->hops[device] = hops;
        walk->reached[walk->reached_count++] = device;
    }
    walk->width[device] = width;
    if (!walk->in_next[device]) {
        walk->in_next[device] = 1;
        walk->next[next_count++] = device;
    }
    return next_count;
}

/* What got better becomes the front of the next layer, with its width frozen. */
static void advance(hr_mesh_walk *walk, size_t count)
{
    uint32_t *const swap = walk->front;
    walk->front = walk->next;
    walk->next = swap;
    for (size_t i = 0; i < count; i++) {
        walk->front_width[i] = walk->width[walk->front[i]];
        walk->in_next[walk->front[i]] = 0;
    }
}

void hr_mesh_walk_from(hr_mesh_walk *walk, const hr_mesh_net *net, size_t gateway)
{
    for (size_t i = 0; i < walk->reached_count; i++) {
        walk->width[walk->reached[i]] = -1;
        walk->hops[walk->reached[i]] = 0;
    }
    walk->reached_count = 0;
    size_t count = 0;
    for (size_t e = net->entry_start[gateway]; e < net->entry_start[gateway + 1]; e++) {
        if (net->entry_spare[e] >= 0) {
            count = improve(walk, net->entry_device[e], net->entry_spare[e], 1, count);
        }
    }
    advance(walk, count);
    for (uint32_t hops = 2; hops <= net->max_hops && count > 0 && net->link_start; hops++) {
        size_t next_count = 0;
        for (size_t i = 0; i < count; i++) {
            const uint32_t from = walk->front[i];
            if (!hr_mesh_relay(net, from)) {
                continue;
            }
            for (size_t e = net->link_start[from]; e < net->link_start[from + 1]; e++) {
                const int64_t spare = net->link_spare[e], width = walk->front_width[i];
                if (spare >= 0) {
                    next_count = improve(walk, net->link_peer[e], spare < width ? spare : width, hops, next_count);
                }
            }
        }
        advance(walk, next_count);
        count = next_count;
    }
}

/* ---- all reach sets --------------------------------------------------------- */

void hr_mesh_reach_free(hr_mesh_reach *reach)
{
    if (!reach) {
        return;
    }
    hr_free(reach->start);
    hr_free(reach->device);
    hr_free(reach->spare);
    hr_free(reach->direct);
    hr_free(reach->hops);
    *reach = (hr_mesh_reach){0};
}

static int compare_devices(const void *a, const void *b)
{
    const uint32_t x = *(const uint32_t *)a, y = *(const uint32_t *)b;
    return (x > y) - (x < y);
}

/* Four growing arrays of one length. */
typedef struct sets {
    hr_mesh_reach reach;
    size_t cap[4];
} sets;

static bool add_set(sets *s, const hr_mesh_net *net, size_t gateway, hr_mesh_walk *walk)
{
    hr_mesh_walk_from(walk, net, gateway);
    if (walk->reached_count > 0) {
        qsort(walk->reached, walk->reached_count, sizeof *walk->reached, compare_devices);
    }
    const size_t from = s->reach.start[gateway], to = from + walk->reached_count;
    if (!HR_RESERVE(s->reach.device, s->cap[0], to) || !HR_RESERVE(s->reach.spare, s->cap[1], to) ||
        !HR_RESERVE(s->reach.direct, s->cap[2], to) || !HR_RESERVE(s->reach.hops, s->cap[3], to)) {
        return false;
    }
    for (size_t i = 0; i < walk->reached_count; i++) {
        const uint32_t d = walk->reached[i];
        s->reach.device[from + i] = d;
        s->reach.spare[from + i] = walk->width[d];
        s->reach.hops[from + i] = walk->hops[d];
        s->reach.direct[from + i] = walk->hops[d] == 1;
    }
    s->reach.start[gateway + 1] = to;
    return true;
}

hr_status hr_mesh_reach_all(const hr_mesh_net *net, hr_mesh_reach *reach, hr_error *err)
{
    hr_mesh_walk walk;
    sets s = {.reach = {.start = hr_alloc_zero(net->gateways + 1, sizeof *s.reach.start)}};
    bool ok = hr_mesh_walk_start(&walk, net->devices) && s.reach.start;
    /* room for one, so that empty sets are arrays too */
    ok = ok && HR_RESERVE(s.reach.device, s.cap[0], 1) && HR_RESERVE(s.reach.spare, s.cap[1], 1) &&
         HR_RESERVE(s.reach.direct, s.cap[2], 1) && HR_RESERVE(s.reach.hops, s.cap[3], 1);
    bool too_many = false;
    for (size_t g = 0; ok && !too_many && g < net->gateways; g++) {
        ok = add_set(&s, net, g, &walk);
        too_many = ok && s.reach.start[g + 1] >= UINT32_MAX;
    }
    hr_mesh_walk_end(&walk);
    if (ok && !too_many) {
        *reach = s.reach;
        return HR_OK;
    }
    hr_mesh_reach_free(&s.reach);
    return too_many ? hr_fail(err, HR_ERR_LIMIT, NULL, 0, "the reach sets of %zu gateways hold 2^32 devices or more",
                              net->gateways)
                    : hr_fail_memory(err);
}

/* ---- fewest hops from any gateway -------------------------------------------- */

size_t hr_mesh_fewest_hops(const hr_mesh_net *net, const uint32_t *chosen, size_t count, uint32_t *hops,
                           uint32_t *before, uint32_t *queue)
{
    size_t tail = 0;
    memset(hops, 0, net->devices * sizeof *hops);
    for (size_t i = 0; i < count; i++) {
        for (size_t e = net->entry_start[chosen[i]]; e < net->entry_start[chosen[i] + 1]; e++) {
            const uint32_t d = net->entry_device[e];
            if (net->entry_spare[e] >= 0 && hops[d] == 0) {
                hops[d] = 1;
                before[d] = HR_MESH_NONE;
                queue[tail++] = d;
            }
        }
    }
    for (size_t head = 0; head < tail && net->link_start; head++) {
        const uint32_t d = queue[head];
        if (hops[d] >= net->max_hops || !hr_mesh_relay(net, d)) {
            continue;
        }
        for (size_t e = net->link_start[d]; e < net->link_start[d + 1]; e++) {
            const uint32_t peer = net->link_peer[e];
            if (net->link_spare[e] >= 0 && hops[peer] == 0) {
                hops[peer] = hops[d] + 1;
                before[peer] = d;
                queue[tail++] = peer;
            }
        }
    }
    return tail;
}
