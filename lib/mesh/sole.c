/*
 * sole.c - relays without which others are cut off. When a relay fails, only the
 * devices behind it in a tree of shortest ways can be worse off, and all others
 * keep their hops: so only those behind it are worked out anew.
 *
 * SPDX-License-Identifier: MIT
 */
#include "mesh_priv.h"

#include <string.h>

typedef struct search {
    const hr_mesh_net *net;
    uint32_t *hops, *before, *queue; /* per device: the tree of shortest ways           */
    size_t *child_start;             /* per device: those behind it directly            */
    uint32_t *child;
    uint32_t *behind; /* devices behind the relay at hand                */
    uint32_t *detour; /* per device: its hops without that relay; 0: none */
    uint8_t *is_behind;
    hr_mesh_sole *found;
    size_t found_count, found_cap;
} search;

static void list_children(search *s, size_t reached)
{
    const size_t n = s->net->devices;
    memset(s->child_start, 0, (n + 2) * sizeof *s->child_start);
    for (size_t i = 0; i < reached; i++) {
        const uint32_t parent = s->before[s->queue[i]];
        if (parent != HR_MESH_NONE) {
            s->child_start[parent + 2]++;
        }
    }
    for (size_t d = 2; d <= n; d++) {
        s->child_start[d] += s->child_start[d - 1];
    }
    for (size_t i = 0; i < reached; i++) {
        const uint32_t parent = s->before[s->queue[i]];
        if (parent != HR_MESH_NONE) {
            s->child[s->child_start[parent + 1]++] = s->queue[i];
        }
    }
}

static size_t list_behind(search *s, uint32_t relay)
{
    size_t count = 0;
    for (size_t e = s->child_start[relay]; e < s->child_start[relay + 1]; e++) {
        s->behind[count++] = s->child[e];
    }
    for (size_t i = 0; i < count; i++) {
        const uint32_t d = s->behind[i];
        s->is_behind[d] = 1;
        for (size_t e = s->child_start[d]; e < s->child_start[d + 1]; e++) {
            s->behind[count++] = s->child[e];
        }
    }
    return count;
}

/* The best way in from outside: those behind have no gateway of their own, or
 * they would not stand behind anybody. */
static void enter(search *s, uint32_t device, uint32_t relay)
{
    const hr_mesh_net *net = s->net;
    s->detour[device] = 0;
    for (size_t e = net->link_start[device]; e < net->link_start[device + 1]; e++) {
        const uint32_t p = net->link_peer[e];
        if (net->link_spare[e] >= 0 && p != relay && !s->is_behind[p] && hr_mesh_relay(net, p) && s->hops[p] > 0 &&
            s->hops[p] < net->max_hops && (s->detour[device] == 0 || s->hops[p] + 1 < s->detour[device])) {
            s->detour[device] = s->hops[p] + 1;
        }
    }
}

static void pass_on(search *s, uint32_t device)
{
    const hr_mesh_net *net = s->net;
    const uint32_t hops = s->detour[device] + 1;
    for (size_t e = net->link_start[device]; e < net->link_start[device + 1]; e++) {
        const uint32_t p = net->link_peer[e];
        if (net->link_spare[e] >= 0 && s->is_behind[p] && (s->detour[p] == 0 || s->detour[p] > hops)) {
            s->detour[p] = hops;
        }
    }
}

static uint32_t count_cut_off(search *s, uint32_t relay)
{
    const size_t count = list_behind(s, relay);
    for (size_t i = 0; i < count; i++) {
        enter(s, s->behind[i], relay);
    }
    for (uint32_t h = 2; h < s->net->max_hops; h++) {
        bool any = false;
        for (size_t i = 0; i < count; i++) {
            const uint32_t d = s->behind[i];
            if (s->detour[d] == h && hr_mesh_relay(s->net, d)) {
                pass_on(s, d);
            }
            any = any || s->detour[d] >= h;
        }
        if (!any) {
            break;
        }
    }
    uint32_t cut_off = 0;
    for (size_t i = 0; i < count; i++) {
        cut_off += s->detour[s->behind[i]] == 0;
        s->is_behind[s->behind[i]] = 0;
    }
    return cut_off;
}

static bool find_sole(search *s, const uint32_t *chosen, size_t count)
{
    list_children(s, hr_mesh_fewest_hops(s->net, chosen, count, s->hops, s->before, s->queue));
    for (uint32_t d = 0; d < s->net->devices; d++) {
        const uint32_t cut_off = s->child_start[d + 1] > s->child_start[d] ? count_cut_off(s, d) : 0;
        if (cut_off > 0) {
            if (!HR_RESERVE(s->found, s->found_cap, s->found_count + 1)) {
                return false;
            }
            s->found[s->found_count++] = (hr_mesh_sole){d, cut_off};
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
    const size_t n = net->devices;
    search s = {.net = net};
    s.hops = hr_alloc(n, sizeof *s.hops);
    s.before = hr_alloc(n, sizeof *s.before);
    s.queue = hr_alloc(n, sizeof *s.queue);
    s.child_start = hr_alloc(n + 2, sizeof *s.child_start);
    s.child = hr_alloc(n, sizeof *s.child);
    s.behind = hr_alloc(n, sizeof *s.behind);
    s.detour = hr_alloc(n, sizeof *s.detour);
    s.is_behind = hr_alloc_zero(n, 1);
    const bool ok = s.hops && s.before && s.queue && s.child_start && s.child && s.behind && s.detour && s.is_behind &&
                    find_sole(&s, chosen, count);
    hr_free(s.hops);
    hr_free(s.before);
    hr_free(s.queue);
    hr_free(s.child_start);
    hr_free(s.child);
    hr_free(s.behind);
    hr_free(s.detour);
    hr_free(s.is_behind);
    if (!ok) {
        hr_free(s.found);
        return hr_fail_memory(err);
    }
    *list = s.found;
    *list_count = s.found_count;
    return HR_OK;
}
