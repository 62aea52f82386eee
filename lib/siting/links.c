/*
 * links.c - the links between devices that hold, where hops are allowed.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include <math.h>

typedef struct device_link {
    uint32_t a, b; /* a < b */
    int64_t spare;
} device_link;

typedef struct link_list {
    device_link *items;
    size_t count, cap;
} link_list;

/*
 * What a link could have to spare with nothing but the slabs in the way. Walls
 * only take from it, so that what falls short here need not be measured: most
 * pairs of a tall building.
 */
typedef struct best_case {
    const hr_building *building;
    const hr_links *links;
    double *slab_db; /* storeys x storeys: least loss of the slabs between; 0 where one may have a hole */
} best_case;

/* A slab with an outline or a void may be passed by. */
static bool is_closed(const hr_plan *plan)
{
    return plan->slab_count == 0 && plan->void_count == 0;
}

/* Measured once per pair of storeys on a link that stands on no wall: straight up. */
static hr_status measure_slabs(best_case *best, hr_error *err)
{
    const hr_building *b = best->building;
    hr_link_work work = {0};
    hr_status status = HR_OK;
    best->slab_db = hr_alloc_zero(b->storey_count, b->storey_count * sizeof *best->slab_db);
    if (best->slab_db == NULL) {
        return hr_fail_memory(err);
    }
    for (size_t low = 0; status == HR_OK && low < b->storey_count; low++) {
        bool closed = true;
        for (size_t high = low + 1; status == HR_OK && closed && high < b->storey_count; high++) {
            closed = is_closed(b->storeys[high].plan);
            const hr_end from = {.z_m = b->storeys[low].elevation_m + 0.1, .radio = &b->gateway_kind.radio};
            const hr_end to = {.z_m = b->storeys[high].elevation_m + 0.1, .radio = &b->gateway_kind.radio};
            hr_link link;
            status = closed ? hr_links_cross(best->links, &work, &from, &to, &link, err) : HR_OK;
            if (status == HR_OK && closed) {
                best->slab_db[low * b->storey_count + high] = best->slab_db[high * b->storey_count + low] =
                    link.floor_loss_db;
            }
        }
    }
    hr_links_work_free(&work);
    return status;
}

static double best_spare_db(const best_case *best, uint32_t device_a, uint32_t device_b, const hr_end *a, const hr_end *b)
{
    const hr_building *building = best->building;
    const double dist_m = hypot(hr_geometry_distance(a->at, b->at), a->z_m - b->z_m);
    const size_t pair = building->devices[device_a].storey * building->storey_count + building->devices[device_b].storey;
    const double loss_db = hr_links_spread_loss_db(best->links, dist_m) + best->slab_db[pair];
    const double gain_db = a->radio->antenna_gain_dbi + b->radio->antenna_gain_dbi - loss_db - building->radio.noise_rise_db;
    const double there = a->radio->tx_power_dbm + gain_db - b->radio->sensitivity_dbm;
    const double back = b->radio->tx_power_dbm + gain_db - a->radio->sensitivity_dbm;
    return fmin(there, back) - hr_links_required_margin_db(best->links);
}

/* Room for the last bit of two ways to add the same losses. */
#define SLACK_DB 1e-6

static hr_status measure_from(const siting_run *run, const best_case *best, const uint8_t *relays, const hr_end *ends,
                              size_t a, hr_link_work *work, link_list *list)
{
    for (size_t b = a + 1; b < run->device_count; b++) {
        if ((!relays[a] && !relays[b]) ||
            best_spare_db(best, run->devices[a], run->devices[b], &ends[a], &ends[b]) < -SLACK_DB) {
            continue;
        }
        hr_link link;
        const hr_status status = hr_links_measure(run->links, work, &ends[a], &ends[b], &link, run->err);
        if (status != HR_OK) {
            return status;
        }
        if (link.spare_db < 0.0) {
            continue;
        }
        if (!HR_RESERVE(list->items, list->cap, list->count + 1)) {
            return hr_fail_memory(run->err);
        }
        list->items[list->count++] = (device_link){(uint32_t)a, (uint32_t)b, hr_micro(link.spare_db)};
    }
    return HR_OK;
}

static hr_status measure_devices(const siting_run *run, const uint8_t *relays, link_list *list)
{
    hr_link_work work = {0};
    best_case best = {.building = run->building, .links = run->links};
    hr_end *ends = hr_alloc(run->device_count, sizeof *ends);
    hr_status status = ends == NULL ? hr_fail_memory(run->err) : measure_slabs(&best, run->err);
    for (size_t d = 0; status == HR_OK && d < run->device_count; d++) {
        ends[d] = hr_links_device_end(run->building, run->devices[d]);
    }
    for (size_t a = 0; status == HR_OK && a < run->device_count; a++) {
        status = measure_from(run, &best, relays, ends, a, &work, list);
        if (status == HR_OK && run->options->progress != NULL &&
            !run->options->progress(run->options->user, "measuring links between devices", a + 1, run->device_count)) {
            status = hr_fail(run->err, HR_ERR_INTERRUPTED, NULL, 0, "interrupted while measuring links");
        }
    }
    hr_links_work_free(&work);
    hr_free(best.slab_db);
    hr_free(ends);
    return status;
}

/* Every link at both its ends, peers ascending: b's lower peers come in the order of a. */
static hr_status list_at_both_ends(const link_list *list, size_t devices, siting_net *n, hr_error *err)
{
    n->link_start = hr_alloc_zero(devices + 1, sizeof *n->link_start);
    n->link_peer = hr_alloc(list->count, 2 * sizeof *n->link_peer);
    n->link_spare = hr_alloc(list->count, 2 * sizeof *n->link_spare);
    size_t *next = hr_alloc(devices + 1, sizeof *next);
    if (n->link_start == NULL || n->link_peer == NULL || n->link_spare == NULL || next == NULL) {
        hr_free(next);
        return hr_fail_memory(err);
    }
    for (size_t i = 0; i < list->count; i++) {
        n->link_start[list->items[i].a + 1]++;
        n->link_start[list->items[i].b + 1]++;
    }
    for (size_t d = 0; d < devices; d++) {
        n->link_start[d + 1] += n->link_start[d];
        next[d] = n->link_start[d];
    }
    for (int lower = 1; lower >= 0; lower--) {
        for (size_t i = 0; i < list->count; i++) {
            const device_link *link = &list->items[i];
            const uint32_t at = lower ? link->b : link->a, peer = lower ? link->a : link->b;
            n->link_peer[next[at]] = peer;
            n->link_spare[next[at]++] = link->spare;
        }
    }
    hr_free(next);
    return HR_OK;
}

hr_status siting_net_links(const siting_run *run, siting_net *n)
{
    const hr_building *building = run->building;
    n->relays = hr_alloc_zero(run->device_count, sizeof *n->relays);
    if (n->relays == NULL) {
        return hr_fail_memory(run->err);
    }
    for (size_t d = 0; d < run->device_count; d++) {
        n->relays[d] = building->kinds[building->devices[run->devices[d]].kind].relays;
    }
    if (building->radio.max_hops <= 1) {
        return HR_OK;
    }
    link_list list = {0};
    hr_status status = measure_devices(run, n->relays, &list);
    if (status == HR_OK) {
        status = list_at_both_ends(&list, run->device_count, n, run->err);
    }
    hr_free(list.items);
    return status;
}
