/*
 * room.c - room made where relays or gateways are full: a device without
 * children moves to another next hop, which may have to move one on in turn
 * (breadth first over next hops, each looked at once, so the shortest chain).
 *
 * SPDX-License-Identifier: MIT
 */
#include "mesh_priv.h"

#include <string.h>

/* A next hop on the search: gateways first, then devices. */
typedef struct seat {
    uint32_t mover;    /* the device that would sit here */
    uint32_t from;     /* the seat it leaves; NONE: it is the new one */
    int64_t own_spare; /* of the mover's link to this seat */
    bool seen;
} seat;

typedef struct shuffle {
    hr_mesh_build *b;
    size_t *hear_start; /* per device: chosen gateways that reach it directly */
    uint32_t *hear_gateway;
    int64_t *hear_spare;
    seat *seats;
    uint32_t *queue;
    size_t queued;
} shuffle;

static uint32_t seat_of_device(const shuffle *s, uint32_t device)
{
    return (uint32_t)s->b->net->gateways + device;
}
static uint32_t seat_via(const shuffle *s, uint32_t at)
{
    return at < s->b->net->gateways ? HR_MESH_NONE : at - (uint32_t)s->b->net->gateways;
}
static uint32_t seat_gateway(const shuffle *s, uint32_t at)
{
    const uint32_t via = seat_via(s, at);
    return via == HR_MESH_NONE ? at : s->b->joined[via].gateway;
}

/* Does the device move, or carry a mover, on the chain that ends at a seat? It cannot do both. */
static bool is_on_chain(const shuffle *s, uint32_t at, uint32_t device)
{
    while (at != HR_MESH_NONE) {
        if (s->seats[at].mover == device || seat_via(s, at) == device) {
            return true;
        }
        at = s->seats[at].from;
    }
    return false;
}

static void offer_seat(shuffle *s, uint32_t at, uint32_t mover, uint32_t from, int64_t own_spare)
{
    const uint32_t via = seat_via(s, at);
    if (s->seats[at].seen || (via != HR_MESH_NONE && (via == mover || is_on_chain(s, from, via)))) {
        return;
    }
    s->seats[at] = (seat){mover, from, own_spare, true};
    s->queue[s->queued++] = at;
}

/* Everything a device could hang on, outside the network of not_gateway (NONE: anywhere). */
static void offer_seats(shuffle *s, uint32_t mover, uint32_t from, uint32_t not_gateway)
{
    const hr_mesh_net *net = s->b->net;
    for (size_t e = s->hear_start[mover]; e < s->hear_start[mover + 1]; e++) {
        if (s->hear_gateway[e] != not_gateway) {
            offer_seat(s, s->hear_gateway[e], mover, from, s->hear_spare[e]);
        }
    }
    if (!net->link_start) {
        return;
    }
    for (size_t e = net->link_start[mover]; e < net->link_start[mover + 1]; e++) {
        const uint32_t p = net->link_peer[e];
        const hr_mesh_joined *parent = &s->b->joined[p];
        if (net->link_spare[e] >= 0 && hr_mesh_relay(net, p) && parent->hops > 0 && parent->hops < net->max_hops &&
            parent->gateway != not_gateway) {
            offer_seat(s, seat_of_device(s, p), mover, from, net->link_spare[e]);
        }
    }
}

/* What is full at a seat for its mover. Leaving the seat for another of the
 * same network changes nothing for the gateway, and is not counted. */
static bool gateway_full(const shuffle *s, uint32_t at)
{
    const seat *here = &s->seats[at];
    const uint32_t g = seat_gateway(s, at);
    const bool same = here->from != HR_MESH_NONE && seat_gateway(s, here->from) == g;
    return !same && s->b->room[g] < hr_mesh_load(s->b, here->mover);
}

/* Who could leave so that the mover of this seat can sit down. */
static void offer_moves(shuffle *s, uint32_t at, bool no_capacity)
{
    hr_mesh_build *b = s->b;
    const uint32_t via = seat_via(s, at), g = seat_gateway(s, at);
    const int64_t lacking = hr_mesh_load(b, s->seats[at].mover) - b->room[g];
    const bool no_seat = hr_mesh_children_full(b, via);
    for (uint32_t d = 0; d < b->net->devices; d++) {
        const hr_mesh_joined *j = &b->joined[d];
        if (j->hops == 0 || j->gateway != g || j->children > 0 || (no_seat && j->via != via) ||
            (no_capacity && hr_mesh_load(b, d) < lacking) || is_on_chain(s, at, d)) {
            continue;
        }
        offer_seats(s, d, at, no_capacity ? g : HR_MESH_NONE);
    }
}

/* With mixed loads a gateway met twice on a chain could still be overrun. */
static bool chain_fits(shuffle *s, uint32_t end)
{
    hr_mesh_build *b = s->b;
    bool fits = true;
    for (int64_t sign = 1; sign >= -1; sign -= 2) { /* tried, then taken back */
        for (uint32_t at = end; at != HR_MESH_NONE; at = s->seats[at].from) {
            const int64_t load = sign * hr_mesh_load(b, s->seats[at].mover);
            b->room[seat_gateway(s, at)] -= load;
            if (s->seats[at].from != HR_MESH_NONE) {
                b->room[seat_gateway(s, s->seats[at].from)] += load;
            }
        }
        for (uint32_t at = end; sign > 0 && at != HR_MESH_NONE; at = s->seats[at].from) {
            fits = fits && b->room[seat_gateway(s, at)] >= 0;
        }
    }
    return fits;
}

/* The chain is carried out from its far end, so that each seat is free when taken. */
static void carry_out(shuffle *s, uint32_t at)
{
    while (at != HR_MESH_NONE) {
        const seat here = s->seats[at];
        if (here.from != HR_MESH_NONE) {
            hr_mesh_detach(s->b, here.mover);
        }
        hr_mesh_attach(s->b, here.mover, seat_gateway(s, at), seat_via(s, at), here.own_spare);
        at = here.from;
    }
}

static bool seat_device(shuffle *s, uint32_t device)
{
    s->queued = 0;
    offer_seats(s, device, HR_MESH_NONE, HR_MESH_NONE);
    bool seated = false;
    for (size_t head = 0; head < s->queued && !seated; head++) {
        const uint32_t at = s->queue[head];
        const bool no_capacity = gateway_full(s, at);
        if (!no_capacity && !hr_mesh_children_full(s->b, seat_via(s, at))) {
            seated = chain_fits(s, at);
            if (seated) {
                carry_out(s, at);
            }
        } else {
            offer_moves(s, at, no_capacity);
        }
    }
    for (size_t i = 0; i < s->queued; i++) {
        s->seats[s->queue[i]].seen = false;
    }
    return seated;
}

/* Counts, then lists which chosen gateways each device hears. */
static bool list_heard(shuffle *s)
{
    const hr_mesh_build *b = s->b;
    const hr_mesh_net *net = b->net;
    size_t total = 0;
    s->hear_start = hr_alloc_zero(net->devices + 2, sizeof *s->hear_start);
    for (size_t i = 0; s->hear_start && i < b->count; i++) {
        for (size_t e = net->entry_start[b->chosen[i]]; e < net->entry_start[b->chosen[i] + 1]; e++) {
            if (net->entry_spare[e] >= 0) {
                s->hear_start[net->entry_device[e] + 2]++;
                total++;
            }
        }
    }
    s->hear_gateway = hr_alloc(total, sizeof *s->hear_gateway);
    s->hear_spare = hr_alloc(total, sizeof *s->hear_spare);
    if (!s->hear_start || !s->hear_gateway || !s->hear_spare) {
        return false;
    }
    for (size_t d = 2; d <= net->devices; d++) {
        s->hear_start[d] += s->hear_start[d - 1];
    }
    for (size_t i = 0; i < b->count; i++) {
        for (size_t e = net->entry_start[b->chosen[i]]; e < net->entry_start[b->chosen[i] + 1]; e++) {
            if (net->entry_spare[e] >= 0) {
                const size_t place = s->hear_start[net->entry_device[e] + 1]++;
                s->hear_gateway[place] = b->chosen[i];
                s->hear_spare[place] = net->entry_spare[e];
            }
        }
    }
    return true;
}

bool hr_mesh_make_room(hr_mesh_build *b)
{
    const size_t seats = b->net->gateways + b->net->devices;
    shuffle s = {.b = b};
    s.seats = hr_alloc_zero(seats, sizeof *s.seats);
    s.queue = hr_alloc(seats, sizeof *s.queue);
    const bool ok = s.seats && s.queue && list_heard(&s);
    for (bool again = ok; again;) {
        again = false;
        for (uint32_t d = 0; d < b->net->devices; d++) {
            if (b->joined[d].hops == 0 && b->preferred[d] != HR_MESH_NONE && seat_device(&s, d)) {
                again = true; /* it may carry others now */
            }
        }
    }
    hr_free(s.seats);
    hr_free(s.queue);
    hr_free(s.hear_start);
    hr_free(s.hear_gateway);
    hr_free(s.hear_spare);
    return ok;
}
