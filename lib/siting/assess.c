/*
 * assess.c - given gateways: who joins whom, with what to spare.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

typedef struct assessment {
    siting_run *run;
    const uint32_t *chosen; /* sites, ascending */
    size_t count;
    uint32_t *gateway_of_site;
    hr_mesh_joined *joined; /* beside run->devices */
} assessment;

static double site_distance_m(const siting_run *run, uint32_t site, uint32_t row)
{
    const hr_site *s = &run->sites.items[site].site;
    const hr_device *d = &run->building->devices[run->devices[row]];
    return hypot(hr_geometry_distance(s->at, d->at), s->z_m - d->z_m);
}

/* Whole micrometres, so that ties do not hang on the last bit. */
static double distance_for_mesh(void *user, uint32_t site, uint32_t row)
{
    return (double)hr_micro(site_distance_m(user, site, row)) * 1e-6;
}

static hr_status measure_to_site(assessment *a, uint32_t device, uint32_t site, hr_link *link)
{
    const hr_site *s = &a->run->sites.items[site].site;
    const hr_end end = hr_links_device_end(a->run->building, device);
    const hr_end far_end = hr_links_gateway_end(a->run->building, s->at, s->z_m);
    return hr_links_measure(a->run->links, &a->run->work, &end, &far_end, link, a->run->err);
}

static uint32_t closest_site(const assessment *a, uint32_t row)
{
    uint32_t closest = a->chosen[0];
    int64_t least = hr_micro(site_distance_m(a->run, closest, row));
    for (size_t i = 1; i < a->count; i++) {
        const int64_t dist = hr_micro(site_distance_m(a->run, a->chosen[i], row));
        if (dist < least) {
            least = dist;
            closest = a->chosen[i];
        }
    }
    return closest;
}

static void take_link(hr_device_row *row, const hr_link *link)
{
    row->has_link = true;
    row->link = *link;
    row->spare_db = link->spare_db;
    row->reliability = link->reliability;
}

/* The device's own link, and what the way up to the gateway makes of it. */
static hr_status take_way(assessment *a, uint32_t row)
{
    const siting_run *run = a->run;
    const hr_mesh_joined *joined = &a->joined[row];
    hr_device_row *out = &run->siting->devices[run->devices[row]];
    hr_link link;
    hr_status status;
    if (joined->via == HR_MESH_NONE) {
        status = measure_to_site(a, out->device, joined->gateway, &link);
    } else {
        const hr_end end = hr_links_device_end(run->building, out->device);
        const hr_end far_end = hr_links_device_end(run->building, run->devices[joined->via]);
        status = hr_links_measure(run->links, &a->run->work, &end, &far_end, &link, run->err);
    }
    if (status != HR_OK) {
        return status;
    }
    take_link(out, &link);
    out->gateway = a->gateway_of_site[joined->gateway];
    out->hops = joined->hops;
    out->served = true;
    if (joined->via == HR_MESH_NONE) {
        out->within_range = link.distance_m <= run->building->radio.range_limit_m;
    } else {
        const hr_device_row *up = &run->siting->devices[run->devices[joined->via]];
        out->via = up->device;
        out->spare_db = fmin(out->spare_db, up->spare_db);
        out->reliability *= up->reliability;
    }
    const uint32_t closest = closest_site(a, row);
    out->closest = closest != joined->gateway ? a->gateway_of_site[closest] : HR_SITING_NONE;
    return HR_OK;
}

/* Not served: its best direct link, and why that does not do. */
static hr_status explain_row(assessment *a, uint32_t row)
{
    const siting_run *run = a->run;
    hr_device_row *out = &run->siting->devices[run->devices[row]];
    for (size_t i = 0; i < a->count; i++) {
        hr_link link;
        const hr_status status = measure_to_site(a, out->device, a->chosen[i], &link);
        if (status != HR_OK) {
            return status;
        }
        if (!out->has_link || hr_micro(link.spare_db) > hr_micro(out->link.spare_db)) {
            take_link(out, &link);
            out->gateway = a->gateway_of_site[a->chosen[i]];
        }
    }
    if (!out->has_link) {
        siting_add_words(out, "no gateway could be placed");
        return HR_OK;
    }
    out->hops = 1;
    out->within_range = out->link.distance_m <= run->building->radio.range_limit_m;
    siting_explain(run->building, &out->link, run->siting->gateways[out->gateway].id, false, out->reason);
    if (a->joined[row].state == HR_MESH_NO_ROOM) {
        char words[160];
        (void)snprintf(words, sizeof words, "in reach, but what is there is full: raise capacity%s%s, or add a gateway there",
                       run->building->radio.max_hops > 1 ? " or max_children" : "",
                       run->limits.air_cap > 0 ? ", lower messages_per_hour or airtime_ms" : "");
        siting_add_words(out, words);
    } else if (run->building->radio.max_hops > 1) {
        siting_add_hops_words(run->building, out);
    }
    return HR_OK;
}

static hr_status join_gateways(assessment *a)
{
    siting_run *run = a->run;
    uint32_t *capacity = hr_alloc(run->sites.count, sizeof *capacity);
    if (capacity == NULL) {
        return hr_fail_memory(run->err);
    }
    for (size_t s = 0; s < run->sites.count; s++) {
        capacity[s] = run->limits.capacity;
    }
    const hr_mesh_rules rules = {.max_children = (uint32_t)run->building->radio.max_children,
                                 .capacity = capacity,
                                 .load = run->limits.load,
                                 .distance_m = distance_for_mesh,
                                 .user = run};
    const hr_status status = hr_mesh_join(&run->net.mesh, a->chosen, a->count, &rules, a->joined, run->err);
    hr_free(capacity);
    run->without_room = 0;
    for (uint32_t row = 0; status == HR_OK && row < run->device_count; row++) {
        run->without_room += a->joined[row].state == HR_MESH_NO_ROOM;
    }
    return status;
}

/* How many of the chosen gateways each device is in the reach set of. */
static void count_in_reach(const assessment *a)
{
    const hr_mesh_reach *reach = &a->run->reach;
    for (size_t i = 0; i < a->count; i++) {
        for (size_t e = reach->start[a->chosen[i]]; e < reach->start[a->chosen[i] + 1]; e++) {
            a->run->siting->devices[a->run->devices[reach->device[e]]].in_reach++;
        }
    }
}

/*
 * strict: what hops to a gateway with too few first devices is not served by
 * it. The last to be settled, since each such device may have been a relay.
 */
static void apply_strict(const assessment *a)
{
    hr_siting *siting = a->run->siting;
    const hr_radio *radio = &a->run->building->radio;
    for (size_t g = 0; radio->strict && g < siting->gateway_count; g++) {
        size_t direct = 0;
        for (size_t i = 0; i < siting->device_count; i++) {
            const hr_device_row *row = &siting->devices[i];
            direct += row->served && row->gateway == g && row->via == HR_SITING_NONE;
        }
        for (size_t i = 0; (long)direct < radio->first_devices && i < siting->device_count; i++) {
            hr_device_row *row = &siting->devices[i];
            if (row->served && row->gateway == g && row->via != HR_SITING_NONE) {
                row->served = false;
                (void)snprintf(row->reason, sizeof row->reason,
                               "first_devices: %s has %zu direct devices, %ld are asked for and strict = yes: lower "
                               "first_devices, or add a gateway nearer",
                               siting->gateways[g].id, direct, radio->first_devices);
            }
        }
    }
}

static hr_status assess_joining(assessment *a)
{
    siting_run *run = a->run;
    hr_status status = join_gateways(a);
    for (uint32_t hops = 1; status == HR_OK && hops <= (uint32_t)run->building->radio.max_hops; hops++) {
        for (uint32_t row = 0; status == HR_OK && row < run->device_count; row++) {
            if (a->joined[row].hops == hops) {
                status = take_way(a, row);
            }
        }
    }
    for (uint32_t row = 0; status == HR_OK && row < run->device_count; row++) {
        if (a->joined[row].hops == 0 && !run->brief) {
            status = explain_row(a, row);
        }
    }
    count_in_reach(a);
    apply_strict(a);
    return status;
}

static void clear_rows(hr_siting *siting)
{
    for (size_t i = 0; i < siting->device_count; i++) {
        siting->devices[i] = (hr_device_row){.device = (uint32_t)i,
                                             .gateway = HR_SITING_NONE,
                                             .via = HR_SITING_NONE,
                                             .closest = HR_SITING_NONE,
                                             .within_range = -1};
    }
}

static int compare_sole(const void *left, const void *right)
{
    const hr_sole_relay *p = left, *q = right;
    if (p->cut_off != q->cut_off) {
        return p->cut_off > q->cut_off ? -1 : 1;
    }
    return (p->device > q->device) - (p->device < q->device);
}

static hr_status find_sole_relays(assessment *a)
{
    siting_run *run = a->run;
    hr_mesh_sole *list = NULL;
    size_t count = 0;
    hr_free(run->siting->sole_relays);
    run->siting->sole_relays = NULL;
    run->siting->sole_relay_count = 0;
    if (run->building->radio.max_hops <= 1 || run->brief) {
        return HR_OK;
    }
    const hr_status status = hr_mesh_sole_relays(&run->net.mesh, a->chosen, a->count, &list, &count, run->err);
    if (status != HR_OK || count == 0) {
        hr_free(list);
        return status;
    }
    run->siting->sole_relays = hr_alloc(count, sizeof *run->siting->sole_relays);
    if (run->siting->sole_relays == NULL) {
        hr_free(list);
        return hr_fail_memory(run->err);
    }
    for (size_t i = 0; i < count; i++) {
        run->siting->sole_relays[i] = (hr_sole_relay){run->devices[list[i].device], list[i].cut_off};
    }
    if (count > 1) {
        qsort(run->siting->sole_relays, count, sizeof *run->siting->sole_relays, compare_sole);
    }
    run->siting->sole_relay_count = count;
    hr_free(list);
    return HR_OK;
}

hr_status siting_assess(siting_run *run, const uint32_t *chosen, size_t count)
{
    assessment a = {.run = run, .chosen = chosen, .count = count};
    a.gateway_of_site = hr_alloc(run->sites.count, sizeof *a.gateway_of_site);
    a.joined = hr_alloc(run->device_count, sizeof *a.joined);
    hr_status status = a.gateway_of_site == NULL || a.joined == NULL ? hr_fail_memory(run->err) : HR_OK;
    if (status == HR_OK) {
        clear_rows(run->siting);
        status = siting_set_gateways(run, chosen, count, a.gateway_of_site);
    }
    if (status == HR_OK) {
        status = assess_joining(&a);
    }
    if (status == HR_OK) {
        status = siting_assess_joined(run, &run->work);
    }
    if (status == HR_OK) {
        status = find_sole_relays(&a);
    }
    if (status == HR_OK) {
        siting_judge_rooms(run);
        run->siting->required_margin_db =
            hr_links_margin_is_common(run->links) ? hr_links_required_margin_db(run->links) : (double)NAN;
        status = siting_check_rules(run);
    }
    hr_free(a.gateway_of_site);
    hr_free(a.joined);
    return status;
}

hr_status siting_assess_aside(siting_run *run, const uint32_t *chosen, size_t count, hr_siting **siting)
{
    hr_siting *const answer = run->siting;
    const siting_run before = *run;
    run->siting = siting_new(run->building);
    run->brief = true;
    hr_status status = run->siting == NULL ? hr_fail_memory(run->err) : siting_assess(run, chosen, count);
    if (status == HR_OK) {
        *siting = run->siting;
    } else {
        hr_siting_free(run->siting);
    }
    run->siting = answer;
    run->brief = before.brief;
    run->without_room = before.without_room;
    run->excess = before.excess;
    return status;
}

double siting_smallest_spare_db(const hr_siting *siting)
{
    double least_db = (double)NAN;
    for (size_t i = 0; i < siting->device_count; i++) {
        const hr_device_row *row = &siting->devices[i];
        if (row->served && !(row->spare_db >= least_db)) {
            least_db = row->spare_db;
        }
    }
    return least_db;
}
