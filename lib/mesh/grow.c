/*
 * grow.c - networks grown from all gateways at once, the widest way first, as a
 * widest-path tree grows: a way never gets wider by being longer, so what is
 * taken from the top of the heap is final.
 *
 * SPDX-License-Identifier: MIT
 */
#include "mesh_priv.h"

#include <string.h>

/* ---- the preferred gateway ----------------------------------------------------- */

/* What is known of the gateway a device prefers so far. */
typedef struct taste {
    int64_t best;  /* widest way to any gateway */
    int64_t width; /* to the preferred one      */
    double dist_m; /* to the preferred one      */
} taste;

static void compare_gateway(hr_mesh_build *b, taste *t, uint32_t device, uint32_t gateway, int64_t width)
{
    if (width < t->best - HR_MESH_NEAR_BEST) {
        return;
    }
    const double dist_m = b->rules->distance_m ? b->rules->distance_m(b->rules->user, gateway, device) : 0;
    /* equally close: the wider way; ascending order keeps the lower index */
    if (b->preferred[device] == HR_MESH_NONE || dist_m < t->dist_m || (dist_m <= t->dist_m && width > t->width)) {
        b->preferred[device] = gateway;
        t->width = width;
        t->dist_m = dist_m;
    }
}

/* Two passes over the gateways, so that no table of gateways times devices is needed. */
static void choose_preferred(hr_mesh_build *b, hr_mesh_walk *walk, taste *tastes)
{
    for (size_t d = 0; d < b->net->devices; d++) {
        tastes[d].best = -1;
        b->preferred[d] = HR_MESH_NONE;
    }
    for (size_t i = 0; i < b->count; i++) {
        hr_mesh_walk_from(walk, b->net, b->chosen[i]);
        for (size_t k = 0; k < walk->reached_count; k++) {
            const uint32_t d = walk->reached[k];
            tastes[d].best = walk->width[d] > tastes[d].best ? walk->width[d] : tastes[d].best;
        }
    }
    for (size_t i = 0; i < b->count; i++) {
        hr_mesh_walk_from(walk, b->net, b->chosen[i]);
        for (size_t k = 0; k < walk->reached_count; k++) {
            const uint32_t d = walk->reached[k];
            compare_gateway(b, &tastes[d], d, b->chosen[i], walk->width[d]);
        }
    }
}

bool hr_mesh_prefer(hr_mesh_build *b)
{
    hr_mesh_walk walk;
    taste *tastes = hr_alloc_zero(b->net->devices, sizeof *tastes);
    const bool ok = hr_mesh_walk_start(&walk, b->net->devices) && tastes;
    if (ok) {
        choose_preferred(b, &walk, tastes);
    }
    hr_mesh_walk_end(&walk);
    hr_free(tastes);
    return ok;
}

/* ---- the heap of ways on offer --------------------------------------------------- */

typedef struct offer {
    int64_t width, own_spare;
    uint32_t device, gateway, via, hops;
} offer;

typedef struct heap {
    offer *item;
    size_t count, cap;
} heap;

/* Wider; fewer hops; lower device; the gateway itself before a device, then the lower next hop; lower gateway. */
static bool before(const offer *a, const offer *b)
{
    if (a->width != b->width) {
        return a->width > b->width;
    }
    if (a->hops != b->hops) {
        return a->hops < b->hops;
    }
    if (a->device != b->device) {
        return a->device < b->device;
    }
    if (a->via != b->via) {
        /* NONE + 1 wraps to 0: the gateway comes first */
        return a->via + 1U < b->via + 1U;
    }
    return a->gateway < b->gateway;
}

static bool push(heap *h, const offer *made)
{
    if (!HR_RESERVE(h->item, h->cap, h->count + 1)) {
        return false;
    }
    size_t at = h->count++;
    while (at > 0 && before(made, &h->item[(at - 1) / 2])) {
        h->item[at] = h->item[(at - 1) / 2];
        at = (at - 1) / 2;
    }
    h->item[at] = *made;
    return true;
}

static offer pop(heap *h)
{
    const offer top = h->item[0], moved = h->item[--h->count];
    size_t at = 0;
    for (size_t child = 1; child < h->count; child = 2 * at + 1) {
        if (child + 1 < h->count && before(&h->item[child + 1], &h->item[child])) {
            child++;
        }
        if (!before(&h->item[child], &moved)) {
            break;
        }
        h->item[at] = h->item[child];
        at = child;
    }
    h->item[at] = moved;
    return top;
}

/* ---- growing ------------------------------------------------------------------------ */

/* own: only into the network the device prefers. */
static bool offer_entries(hr_mesh_build *b, heap *h, uint32_t gateway, bool own)
{
    const hr_mesh_net *net = b->net;
    for (size_t e = net->entry_start[gateway]; e < net->entry_start[gateway + 1]; e++) {
        const uint32_t d = net->entry_device[e];
        const int64_t spare = net->entry_spare[e];
        if (spare >= 0 && b->joined[d].hops == 0 && (!own || b->preferred[d] == gateway)) {
            const offer o = {spare, spare, d, gateway, HR_MESH_NONE, 1};
            if (!push(h, &o)) {
                return false;
            }
        }
    }
    return true;
}

static bool offer_links(hr_mesh_build *b, heap *h, uint32_t from, bool own)
{
    const hr_mesh_net *net = b->net;
    const hr_mesh_joined *parent = &b->joined[from];
    if (!net->link_start || !hr_mesh_relay(net, from) || parent->hops >= net->max_hops) {
        return true;
    }
    for (size_t e = net->link_start[from]; e < net->link_start[from + 1]; e++) {
        const uint32_t d = net->link_peer[e];
        const int64_t spare = net->link_spare[e];
        if (spare < 0 || b->joined[d].hops != 0 || parent->hops + 1 > b->level[d] ||
            (own && b->preferred[d] != parent->gateway)) {
            continue;
        }
        const offer o = {
            spare < parent->spare ? spare : parent->spare, spare, d, parent->gateway, from, parent->hops + 1};
        if (!push(h, &o)) {
            return false;
        }
    }
    return true;
}

static bool take_offers(hr_mesh_build *b, heap *h, bool own)
{
    while (h->count > 0) {
        const offer o = pop(h);
        if (b->joined[o.device].hops != 0) {
            continue;
        }
        if (hr_mesh_children_full(b, o.via) || b->room[o.gateway] < hr_mesh_load(b, o.device)) {
            b->refused[o.device] = 1;
            continue;
        }
        hr_mesh_attach(b, o.device, o.gateway, o.via, o.own_spare);
        if (!offer_links(b, h, o.device, own)) {
            return false;
        }
    }
    return true;
}

bool hr_mesh_grow(hr_mesh_build *b)
{
    heap h = {0};
    bool ok = true;
    for (size_t i = 0; ok && i < b->count; i++) {
        ok = offer_entries(b, &h, b->chosen[i], true);
    }
    ok = ok && take_offers(b, &h, true);
    /* whom the preferred network cannot take: the widest way into any */
    for (size_t i = 0; ok && i < b->count; i++) {
        ok = offer_entries(b, &h, b->chosen[i], false);
    }
    for (uint32_t d = 0; ok && d < b->net->devices; d++) {
        if (b->joined[d].hops != 0) {
            ok = offer_links(b, &h, d, false);
        }
    }
    ok = ok && take_offers(b, &h, false);
    hr_free(h.item);
    return ok;
}
