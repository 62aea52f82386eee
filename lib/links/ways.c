/*
 * ways.c - the bends of every storey and the legs between them, measured once.
 *
 * SPDX-License-Identifier: MIT
 */
#include "ways_priv.h"

#include <math.h>
#include <string.h>

#include "metal_priv.h"

void link_free_ways(hr_links *links)
{
    for (size_t i = 0; i < links->way_count; i++) {
        hr_free(links->ways[i].bends);
        hr_free(links->ways[i].legs[0]);
        hr_free(links->ways[i].legs[1]);
        hr_free(links->ways[i].loss_db[0]);
        hr_free(links->ways[i].loss_db[1]);
    }
    hr_free(links->ways);
    hr_free(links->ways_of_storey);
}

hr_end link_bend_end(const link_ways *ways, size_t bend, double floor_m)
{
    const link_bend *b = &ways->bends[bend];
    return (hr_end){.at = b->at, .z_m = floor_m + b->height_m};
}

static size_t pair_index(size_t p, size_t q)
{
    return q * (q - 1) / 2 + p;
}

link_leg link_mid_leg(const link_ways *ways, bool even, size_t p, size_t q)
{
    return p < q ? ways->legs[even][pair_index(p, q)] : link_leg_back(&ways->legs[even][pair_index(q, p)]);
}

static hr_status measure_legs(const hr_links *links, hr_link_work *work, link_ways *ways, bool even, hr_error *err)
{
    const size_t n = ways->count;
    ways->legs[even] = hr_alloc(n * (n + 1) / 2, sizeof *ways->legs[even]);
    ways->loss_db[even] = hr_alloc_zero(n * n, sizeof *ways->loss_db[even]);
    if (ways->legs[even] == NULL || ways->loss_db[even] == NULL) {
        return hr_fail_memory(err);
    }
    hr_status status = HR_OK;
    for (size_t q = 1; status == HR_OK && q < n; q++) {
        const hr_end to = link_bend_end(ways, q, ways->floor_m);
        for (size_t p = 0; status == HR_OK && p < q; p++) {
            const hr_end from = link_bend_end(ways, p, ways->floor_m);
            link_leg *leg = &ways->legs[even][pair_index(p, q)];
            if (even && !(ways->legs[0][pair_index(p, q)].wall_db > 0.0)) {
                *leg = ways->legs[0][pair_index(p, q)]; /* only walls tell polarisations apart */
            } else {
                status = link_measure_leg(links, work, &from, &to, even, leg, err);
            }
            if (status == HR_OK) {
                ways->loss_db[even][p * n + q] = ways->loss_db[even][q * n + p] = leg->loss_db;
            }
        }
    }
    return status;
}

/* Two storeys of one plan are alike when the metal that runs through them is the same. */
static bool alike(const hr_links *links, uint32_t a, uint32_t b)
{
    const hr_building *building = links->building;
    if (building->storeys[a].plan_index != building->storeys[b].plan_index ||
        fabs(building->storeys[a].floor_to_floor_m - building->storeys[b].floor_to_floor_m) > 0.0) {
        return false;
    }
    for (size_t i = 0; i < links->metal_count; i++) {
        const link_metal *metal = &links->metals[i];
        const bool at_a = metal->storey0 <= a && metal->storey1 >= a, at_b = metal->storey0 <= b && metal->storey1 >= b;
        if (!metal->has_heights && at_a != at_b) {
            return false;
        }
    }
    return true;
}

/* FNV-1a over what legs depend on. */
static void stamp_bytes(uint64_t *stamp, const void *bytes, size_t len)
{
    const unsigned char *at = bytes;
    for (size_t i = 0; i < len; i++) {
        *stamp = (*stamp ^ at[i]) * 1099511628211U;
    }
}

static void stamp_ways(hr_links *links)
{
    links->stamp = 14695981039346656037U;
    for (size_t w = 0; w < links->way_count; w++) {
        const link_ways *ways = &links->ways[w];
        for (size_t i = 0; i < ways->count; i++) {
            stamp_bytes(&links->stamp, &ways->bends[i].at, sizeof ways->bends[i].at);
            stamp_bytes(&links->stamp, &ways->bends[i].through_db, sizeof ways->bends[i].through_db);
        }
        for (size_t i = 0; ways->count > 0 && i < ways->count * (ways->count - 1) / 2; i++) {
            stamp_bytes(&links->stamp, &ways->legs[0][i].loss_db, sizeof ways->legs[0][i].loss_db);
        }
    }
}

static hr_status make_ways(hr_links *links, uint32_t storey, hr_link_work *work, hr_error *err)
{
    for (uint32_t before = 0; before < storey; before++) {
        if (alike(links, before, storey)) {
            links->ways_of_storey[storey] = links->ways_of_storey[before];
            return HR_OK;
        }
    }
    link_ways *ways = &links->ways[links->way_count];
    links->ways_of_storey[storey] = (uint32_t)links->way_count++;
    ways->storey = storey;
    ways->floor_m = links->building->storeys[storey].elevation_m;
    hr_status status = link_find_bends(links, storey, ways, err);
    for (int even = 0; status == HR_OK && even < 2; even++) {
        status = measure_legs(links, work, ways, even == 1, err);
    }
    return status;
}

hr_status link_prepare_ways(hr_links *links, hr_error *err)
{
    const hr_building *building = links->building;
    if (building->radio.model != HR_MODEL_ROUTES) {
        return HR_OK;
    }
    links->ways = hr_alloc_zero(building->storey_count, sizeof *links->ways);
    links->ways_of_storey = hr_alloc_zero(building->storey_count, sizeof *links->ways_of_storey);
    hr_status status = links->ways == NULL || links->ways_of_storey == NULL ? hr_fail_memory(err) : HR_OK;
    hr_link_work work = {0};
    for (uint32_t storey = 0; status == HR_OK && storey < building->storey_count; storey++) {
        status = make_ways(links, storey, &work, err);
    }
    hr_links_work_free(&work);
    if (status == HR_OK) {
        stamp_ways(links);
    }
    return status;
}
