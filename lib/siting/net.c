/*
 * net.c - links that hold, as numbers for the mesh: sites to devices by the
 * rules of a gateway link, devices to devices where hops are allowed.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include <math.h>

void siting_net_free(siting_net *net)
{
    hr_coverage_free(net->coverage);
    hr_free(net->relays);
    hr_free(net->entry_start);
    hr_free(net->entry_device);
    hr_free(net->entry_spare);
    hr_free(net->link_start);
    hr_free(net->link_peer);
    hr_free(net->link_spare);
    *net = (siting_net){0};
}

static bool entry_holds(const hr_building *building, const hr_coverage *coverage, size_t cell)
{
    return coverage->spare[cell] != HR_COVERAGE_FAR && coverage->spare[cell] >= 0 &&
           (long)coverage->slabs[cell] <= building->radio.max_slabs;
}

static hr_status make_entries(const hr_building *building, siting_net *n, hr_error *err)
{
    const hr_coverage *coverage = n->coverage;
    size_t count = 0;
    for (size_t cell = 0; cell < coverage->sites * coverage->devices; cell++) {
        count += entry_holds(building, coverage, cell);
    }
    n->entry_start = hr_alloc_zero(coverage->sites + 1, sizeof *n->entry_start);
    n->entry_device = hr_alloc(count, sizeof *n->entry_device);
    n->entry_spare = hr_alloc(count, sizeof *n->entry_spare);
    if (n->entry_start == NULL || n->entry_device == NULL || n->entry_spare == NULL) {
        return hr_fail_memory(err);
    }
    size_t used = 0;
    for (size_t s = 0; s < coverage->sites; s++) {
        n->entry_start[s] = used;
        for (size_t d = 0; d < coverage->devices; d++) {
            const size_t cell = s * coverage->devices + d;
            if (entry_holds(building, coverage, cell)) {
                n->entry_device[used] = (uint32_t)d;
                n->entry_spare[used++] = coverage->spare[cell];
            }
        }
    }
    n->entry_start[coverage->sites] = used;
    return HR_OK;
}

/* ---- links between devices ---- */

typedef struct device_link {
    uint32_t a, b; /* a < b */
    int64_t spare;
} device_link;

typedef struct link_list {
    device_link *items;
    size_t count, cap;
} link_list;

/* What a link could have to spare with nothing in the way; walls only take from it. */
static double best_case_db(const hr_building *building, const hr_links *links, const hr_end *a, const hr_end *b)
{
    const double dist_m = hypot(hr_geometry_distance(a->at, b->at), a->z_m - b->z_m);
    const double loss_db = hr_links_spread_loss_db(links, dist_m);
    const double gain_db = a->radio->antenna_gain_dbi + b->radio->antenna_gain_dbi - loss_db - building->radio.noise_rise_db;
    const double there = a->radio->tx_power_dbm + gain_db - b->radio->sensitivity_dbm;
    const double back = b->radio->tx_power_dbm + gain_db - a->radio->sensitivity_dbm;
    return fmin(there, back) - hr_links_required_margin_db(links);
}

static hr_status measure_devices(const hr_building *building, const hr_links *links, const uint32_t *devices, size_t count,
                                 const uint8_t *relays, link_list *list, hr_error *err)
{
    hr_link_work work = {0};
    hr_status status = HR_OK;
    for (size_t a = 0; status == HR_OK && a < count; a++) {
        const hr_end end_a = hr_links_device_end(building, devices[a]);
        for (size_t b = a + 1; status == HR_OK && b < count; b++) {
            const hr_end end_b = hr_links_device_end(building, devices[b]);
            hr_link link;
            if ((!relays[a] && !relays[b]) || best_case_db(building, links, &end_a, &end_b) < 0.0) {
                continue;
            }
            status = hr_links_measure(links, &work, &end_a, &end_b, &link, err);
            if (status != HR_OK || link.spare_db < 0.0) {
                continue;
            }
            if (!HR_RESERVE(list->items, list->cap, list->count + 1)) {
                status = hr_fail_memory(err);
            } else {
                list->items[list->count++] = (device_link){(uint32_t)a, (uint32_t)b, hr_micro(link.spare_db)};
            }
        }
    }
    hr_links_work_free(&work);
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

static hr_status make_links(const hr_building *building, const hr_links *links, const uint32_t *devices, size_t count,
                            siting_net *n, hr_error *err)
{
    n->relays = hr_alloc_zero(count, sizeof *n->relays);
    if (n->relays == NULL) {
        return hr_fail_memory(err);
    }
    for (size_t d = 0; d < count; d++) {
        n->relays[d] = building->kinds[building->devices[devices[d]].kind].relays;
    }
    if (building->radio.max_hops <= 1) {
        return HR_OK;
    }
    link_list list = {0};
    hr_status status = measure_devices(building, links, devices, count, n->relays, &list, err);
    if (status == HR_OK) {
        status = list_at_both_ends(&list, count, n, err);
    }
    hr_free(list.items);
    return status;
}

hr_status siting_net_new(const hr_building *building, const hr_links *links, const siting_sites *sites,
                         const uint32_t *devices, size_t device_count, siting_net *net, hr_error *err)
{
    siting_net made = {0};
    hr_site *places = hr_alloc(sites->count, sizeof *places);
    hr_status status = places == NULL ? hr_fail_memory(err) : HR_OK;
    for (size_t s = 0; status == HR_OK && s < sites->count; s++) {
        places[s] = sites->items[s].site;
    }
    if (status == HR_OK) {
        status = hr_coverage_new(building, links, places, sites->count, devices, device_count,
                                 building->radio.range_limit_m, NULL, NULL, &made.coverage, err);
    }
    if (status == HR_OK) {
        status = make_entries(building, &made, err);
    }
    if (status == HR_OK) {
        status = make_links(building, links, devices, device_count, &made, err);
    }
    hr_free(places);
    if (status != HR_OK) {
        siting_net_free(&made);
        return status;
    }
    made.mesh = (hr_mesh_net){.devices = device_count,
                              .gateways = sites->count,
                              .max_hops = (uint32_t)building->radio.max_hops,
                              .relays = made.relays,
                              .entry_start = made.entry_start,
                              .entry_device = made.entry_device,
                              .entry_spare = made.entry_spare,
                              .link_start = made.link_start,
                              .link_peer = made.link_peer,
                              .link_spare = made.link_spare};
    *net = made;
    return HR_OK;
}
