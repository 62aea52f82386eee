/*
 * scratch.c - legs from an end to every bend of a storey, measured once per
 * end: a table over many links then costs a search per pair only.
 *
 * SPDX-License-Identifier: MIT
 */
#include "scratch_priv.h"

#include <math.h>
#include <string.h>

/* Legs kept at most: some 40 MB. */
#define LEGS_MAX 400000U
#define SLOTS_FIRST 256U
#define HEIGHT_STEPS 1e9

typedef struct end_key {
    double x, y, z;
    uint64_t storey_even; /* 2 * storey + even */
} end_key;

typedef struct end_legs {
    end_key key;
    link_leg *legs; /* NULL: a free slot */
    double *loss_db;
    double least_db;
} end_legs;

struct link_scratch {
    const hr_links *links;
    uint64_t stamp;
    end_legs *slots; /* open addressing; a power of two */
    size_t slot_count, used, legs;
};

static void empty(struct link_scratch *scratch)
{
    for (size_t i = 0; i < scratch->slot_count; i++) {
        hr_free(scratch->slots[i].legs);
        hr_free(scratch->slots[i].loss_db);
    }
    hr_free(scratch->slots);
    *scratch = (struct link_scratch){0};
}

void link_free_scratch(struct link_scratch *scratch)
{
    if (scratch != NULL) {
        empty(scratch);
        hr_free(scratch);
    }
}

hr_status link_trim_scratch(const hr_links *links, hr_link_work *work, hr_error *err)
{
    if (work->scratch == NULL) {
        work->scratch = hr_alloc_zero(1, sizeof *work->scratch);
        if (work->scratch == NULL) {
            return hr_fail_memory(err);
        }
    }
    struct link_scratch *scratch = work->scratch;
    if (scratch->links != links || scratch->stamp != links->stamp || scratch->legs > LEGS_MAX) {
        empty(scratch);
        scratch->links = links;
        scratch->stamp = links->stamp;
    }
    return HR_OK;
}

/* FNV-1a of the key's bytes: places only, no addresses. */
static size_t slot_of(const end_key *key, size_t slot_count)
{
    uint64_t hash = 14695981039346656037U;
    const unsigned char *at = (const unsigned char *)key;
    for (size_t i = 0; i < sizeof *key; i++) {
        hash = (hash ^ at[i]) * 1099511628211U;
    }
    return (size_t)(hash ^ (hash >> 29)) & (slot_count - 1);
}

/* The slot of a key, or the free one where it belongs. */
static end_legs *find_slot(end_legs *slots, size_t slot_count, const end_key *key)
{
    size_t at = slot_of(key, slot_count);
    /* no padding inside; a -0 is a place of its own, no wrong one: NOLINTNEXTLINE(bugprone-suspicious-memory-comparison) */
    while (slots[at].legs != NULL && memcmp(&slots[at].key, key, sizeof *key) != 0) {
        at = (at + 1) & (slot_count - 1);
    }
    return &slots[at];
}

static bool make_room(struct link_scratch *scratch)
{
    if (2 * (scratch->used + 1) <= scratch->slot_count) {
        return true;
    }
    const size_t wanted = scratch->slot_count == 0 ? SLOTS_FIRST : 2 * scratch->slot_count;
    end_legs *slots = hr_alloc_zero(wanted, sizeof *slots);
    if (slots == NULL) {
        return false;
    }
    for (size_t i = 0; i < scratch->slot_count; i++) {
        if (scratch->slots[i].legs != NULL) {
            *find_slot(slots, wanted, &scratch->slots[i].key) = scratch->slots[i];
        }
    }
    hr_free(scratch->slots);
    scratch->slots = slots;
    scratch->slot_count = wanted;
    return true;
}

static hr_status measure_all(const hr_links *links, hr_link_work *work, const hr_end *end, uint32_t storey, bool even,
                             end_legs *made, hr_error *err)
{
    const link_ways *ways = &links->ways[links->ways_of_storey[storey]];
    const double floor_m = links->building->storeys[storey].elevation_m;
    made->legs = hr_alloc(ways->count, sizeof *made->legs);
    made->loss_db = hr_alloc(ways->count, sizeof *made->loss_db);
    made->least_db = (double)INFINITY;
    hr_status status = made->legs == NULL || made->loss_db == NULL ? hr_fail_memory(err) : HR_OK;
    for (size_t i = 0; status == HR_OK && i < ways->count; i++) {
        const hr_end bend = link_bend_end(ways, i, floor_m);
        status = link_measure_leg(links, work, end, &bend, even, &made->legs[i], err);
        if (status == HR_OK) {
            made->loss_db[i] = made->legs[i].loss_db;
            made->least_db = fmin(made->least_db, made->loss_db[i]);
        }
    }
    return status;
}

/*
 * An end on the storey of its bends is taken to the lowest of the storeys alike:
 * hotels repeat them, and the same place is then measured once for all. Heights
 * go by whole nanometres, since elevations are sums that differ in their last bits.
 */
static void take_to_like_storey(const hr_links *links, hr_end *end, uint32_t *storey)
{
    const hr_storey *storeys = links->building->storeys;
    const link_ways *ways = &links->ways[links->ways_of_storey[*storey]];
    if (hr_building_storey_at(links->building, end->z_m) != *storey) {
        return;
    }
    const double height_m = round((end->z_m - storeys[*storey].elevation_m) * HEIGHT_STEPS) / HEIGHT_STEPS;
    const hr_end moved = {.at = end->at, .z_m = ways->floor_m + height_m};
    if (hr_building_storey_at(links->building, moved.z_m) == ways->storey) { /* else a step from the slab: as it stands */
        *end = moved;
        *storey = ways->storey;
    }
}

hr_status link_end_legs(const hr_links *links, hr_link_work *work, const hr_end *from, uint32_t storey, bool even,
                        link_fan *fan, hr_error *err)
{
    hr_end place = *from, *end = &place;
    take_to_like_storey(links, end, &storey);
    struct link_scratch *scratch = work->scratch;
    end_key key;
    memset(&key, 0, sizeof key);
    key.x = end->at.x + 0.0; /* -0 and 0 are one place */
    key.y = end->at.y + 0.0;
    key.z = end->z_m + 0.0;
    key.storey_even = 2U * (uint64_t)storey + (even ? 1U : 0U);
    if (!make_room(scratch)) {
        return hr_fail_memory(err);
    }
    end_legs *slot = find_slot(scratch->slots, scratch->slot_count, &key);
    if (slot->legs == NULL) {
        end_legs made = {.key = key};
        const hr_status status = measure_all(links, work, end, storey, even, &made, err);
        if (status != HR_OK) {
            hr_free(made.legs);
            hr_free(made.loss_db);
            return status;
        }
        *slot = made;
        scratch->used++;
        scratch->legs += links->ways[links->ways_of_storey[storey]].count;
    }
    *fan = (link_fan){.legs = slot->legs, .loss_db = slot->loss_db, .least_db = slot->least_db};
    return HR_OK;
}
