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

/*
 * Measured once per pair of storeys straight up. Of multi-wall only: in the
 * other models a link's floors are not simply added to its distance.
 */
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
        bool closed = b->radio.model == HR_MODEL_MULTI_WALL;
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
    const double fitted_db = isfinite(building->fitted.offset_db) ? building->fitted.offset_db : 0.0;
    const double gain_db =
        a->radio->antenna_gain_dbi + b->radio->antenna_gain_dbi + fitted_db - loss_db - building->radio.noise_rise_db;
    const double there = a->radio->tx_power_dbm + gain_db - b->radio->sensitivity_dbm;
    const double back = b->radio->tx_power_dbm + gain_db - a->radio->sensitivity_dbm;
    return fmin(there, back) - hr_links_required_margin_db(best->links);
}

/* Room for the last bit of two ways to add the same losses. */
#define SLACK_DB 1e-6

/* ---- storey by storey ---- */

/* Rows of the net stand storey by storey: each pair of storeys is one block. */
typedef struct blocks {
    const siting_run *run;
    const uint8_t *relays;
    best_case best;
    hr_end *ends;       /* beside the rows */
    size_t *first;      /* storeys + 1 */
    size_t *start, *end; /* storeys x storeys: the block's part of the list */
    bool plain;         /* every device hangs between its own floor and the next */
    hr_link_work work;
    link_list list;
} blocks;

static hr_status measure_block(blocks *k, uint32_t low, uint32_t high)
{
    const siting_run *run = k->run;
    for (size_t a = k->first[low]; a < k->first[low + 1]; a++) {
        for (size_t b = low == high ? a + 1 : k->first[high]; b < k->first[high + 1]; b++) {
            if ((!k->relays[a] && !k->relays[b]) ||
                best_spare_db(&k->best, run->devices[a], run->devices[b], &k->ends[a], &k->ends[b]) < -SLACK_DB) {
                continue;
            }
            hr_link link;
            const hr_status status = hr_links_measure(run->links, &k->work, &k->ends[a], &k->ends[b], &link, run->err);
            if (status != HR_OK) {
                return status;
            }
            if (link.spare_db < 0.0) {
                continue;
            }
            if (!HR_RESERVE(k->list.items, k->list.cap, k->list.count + 1)) {
                return hr_fail_memory(run->err);
            }
            k->list.items[k->list.count++] = (device_link){(uint32_t)a, (uint32_t)b, hr_micro(link.spare_db)};
        }
    }
    return HR_OK;
}

/* The same devices at the same places of the same plan. */
static bool same_devices(const blocks *k, uint32_t s, uint32_t t)
{
    const hr_building *b = k->run->building;
    if (b->storeys[s].plan_index != b->storeys[t].plan_index ||
        k->first[s + 1] - k->first[s] != k->first[t + 1] - k->first[t]) {
        return false;
    }
    for (size_t i = 0; i < k->first[s + 1] - k->first[s]; i++) {
        const hr_device *p = &b->devices[k->run->devices[k->first[s] + i]];
        const hr_device *q = &b->devices[k->run->devices[k->first[t] + i]];
        if (p->kind != q->kind || p->at.x != q->at.x || p->at.y != q->at.y || p->mount_height_m != q->mount_height_m) {
            return false;
        }
    }
    return true;
}

/* Elevations are sums of storey heights: equal ones may differ in their last bits. */
#define SAME_HEIGHT_M 1e-9

/*
 * Hotels repeat storeys: what lies between two of them is measured once. The
 * blocks are equal when plans, devices, slabs and heights between are.
 */
static bool same_block(const blocks *k, uint32_t low, uint32_t high, uint32_t low2, uint32_t high2)
{
    const hr_storey *storeys = k->run->building->storeys;
    for (uint32_t i = 0; i <= high - low; i++) {
        const hr_storey *p = &storeys[low + i], *q = &storeys[low2 + i];
        const double height = p->elevation_m - storeys[low].elevation_m, height2 = q->elevation_m - storeys[low2].elevation_m;
        if (p->plan_index != q->plan_index || fabs(height - height2) > SAME_HEIGHT_M ||
            (i > 0 && p->slab_material != q->slab_material)) {
            return false;
        }
    }
    return same_devices(k, low, low2) && same_devices(k, high, high2);
}

static hr_status copy_block(blocks *k, uint32_t low, uint32_t high, uint32_t low2, uint32_t high2)
{
    const size_t pair = low2 * k->run->building->storey_count + high2, count = k->end[pair] - k->start[pair];
    if (!HR_RESERVE(k->list.items, k->list.cap, k->list.count + count)) {
        return hr_fail_memory(k->run->err);
    }
    for (size_t i = k->start[pair]; i < k->end[pair]; i++) {
        const device_link *link = &k->list.items[i];
        k->list.items[k->list.count++] = (device_link){(uint32_t)(link->a - k->first[low2] + k->first[low]),
                                                       (uint32_t)(link->b - k->first[high2] + k->first[high]), link->spare};
    }
    return HR_OK;
}

static hr_status add_block(blocks *k, uint32_t low, uint32_t high)
{
    const size_t storeys = k->run->building->storey_count, pair = low * storeys + high;
    k->start[pair] = k->list.count;
    hr_status status = HR_OK;
    uint32_t like = 0; /* the lowest storey whose block of the same height is equal */
    while (like < low && !(k->plain && same_block(k, low, high, like, like + high - low))) {
        like++;
    }
    status = like < low ? copy_block(k, low, high, like, like + high - low) : measure_block(k, low, high);
    k->end[pair] = k->list.count;
    return status;
}

static hr_status start_blocks(blocks *k)
{
    const siting_run *run = k->run;
    const hr_building *b = run->building;
    k->ends = hr_alloc(run->device_count, sizeof *k->ends);
    k->first = hr_alloc_zero(b->storey_count + 1, sizeof *k->first);
    k->start = hr_alloc_zero(b->storey_count, b->storey_count * sizeof *k->start);
    k->end = hr_alloc_zero(b->storey_count, b->storey_count * sizeof *k->end);
    if (k->ends == NULL || k->first == NULL || k->start == NULL || k->end == NULL) {
        return hr_fail_memory(run->err);
    }
    k->plain = true;
    for (size_t d = 0; d < run->device_count; d++) {
        const hr_device *device = &b->devices[run->devices[d]];
        const uint32_t above = device->storey + 1;
        k->ends[d] = hr_links_device_end(b, run->devices[d]);
        k->first[above]++;
        k->plain = k->plain && device->z_m >= b->storeys[device->storey].elevation_m &&
                   (above == b->storey_count || device->z_m < b->storeys[above].elevation_m);
    }
    for (size_t s = 0; s < b->storey_count; s++) {
        k->first[s + 1] += k->first[s];
    }
    return measure_slabs(&k->best, run->err);
}

static hr_status measure_devices(const siting_run *run, const uint8_t *relays, link_list *list)
{
    const hr_siting_options *options = run->options;
    const uint32_t storeys = (uint32_t)run->building->storey_count;
    blocks k = {.run = run, .relays = relays, .best = {.building = run->building, .links = run->links}};
    hr_status status = start_blocks(&k);
    for (uint32_t low = 0; status == HR_OK && low < storeys; low++) {
        for (uint32_t high = low; status == HR_OK && high < storeys; high++) {
            status = add_block(&k, low, high);
        }
        if (status == HR_OK && options->progress != NULL &&
            !options->progress(options->user, "measuring links between devices", low + 1, storeys)) {
            status = hr_fail(run->err, HR_ERR_INTERRUPTED, NULL, 0, "interrupted while measuring links");
        }
    }
    hr_links_work_free(&k.work);
    hr_free(k.best.slab_db);
    hr_free(k.ends);
    hr_free(k.first);
    hr_free(k.start);
    hr_free(k.end);
    *list = k.list;
    return status;
}

/* Every link at both its ends, peers ascending: blocks come by the lower storey, then the higher. */
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
