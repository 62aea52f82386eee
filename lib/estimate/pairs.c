/*
 * pairs.c - every link that could matter, found once: what it crosses, and
 * what that leaves on nominal values.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_priv.h"

#include <math.h>
#include <stdlib.h>

/* A link that lacks more than this on nominal values holds in no draw worth counting. */
#define HOPELESS_DB (-30.0)
/* Slabs looked across for the table of 0, 1 and 2. */
#define SLABS_LOOKED 2L
/* A building drawn smaller brings in links that are this much too long. */
#define SMALLEST_SIZE 0.85
#define TRIES 32
#define OFF_WALL_M 0.1
#define PLACE_STREAM 0x706c616365ULL

static const double two_pi = 6.28318530717958647692;

typedef struct finder {
    estimate_run *run;
    hr_link_work work;
} finder;

/* ---- places ---- */

static const hr_space *room_space(const hr_building *b, const hr_device *device)
{
    const hr_room *room = &b->rooms[device->room];
    return &b->storeys[room->storey].plan->spaces[room->space];
}

/* Another place within place_spread of the default one, inside the room; after many misses the default. */
static hr_point other_place(const estimate_run *run, const hr_device *device, hr_random *random)
{
    const hr_space *space = room_space(run->building, device);
    for (int i = 0; i < TRIES; i++) {
        const double far_m = run->keys->place_spread_m * sqrt(hr_stats_random_uniform(random));
        const double turn = two_pi * hr_stats_random_uniform(random);
        const hr_point at = {device->at.x + far_m * cos(turn), device->at.y + far_m * sin(turn)};
        if (hr_geometry_inside(&space->region, at, 0.0) &&
            hr_geometry_to_outline(&space->region, at, NULL) >= OFF_WALL_M) {
            return at;
        }
    }
    return device->at;
}

static hr_status choose_places(estimate_run *run)
{
    run->places = hr_alloc(run->row_count, ESTIMATE_PLACES_TRIED * sizeof *run->places);
    hr_random *random = hr_stats_random_new(run->out->seed, PLACE_STREAM);
    if (run->places == NULL || random == NULL) {
        hr_stats_random_free(random);
        return hr_fail_memory(run->err);
    }
    for (size_t r = 0; r < run->row_count; r++) {
        const hr_device *device = &run->building->devices[run->rows[r]];
        for (size_t v = 0; v < ESTIMATE_PLACES_TRIED; v++) {
            const bool fixed = v == 0 || device->drawn || !run->drawn[ESTIMATE_PLACES];
            run->places[r * ESTIMATE_PLACES_TRIED + v] = fixed ? device->at : other_place(run, device, random);
        }
    }
    hr_stats_random_free(random);
    return HR_OK;
}

/* ---- links ---- */

static hr_status add_terms(finder *f, const hr_link *link, estimate_pair *pair)
{
    estimate_run *run = f->run;
    const double walls_db = link->wall_loss_db + link->saturation_db;
    const double kept = walls_db > 0.0 ? link->wall_loss_db / walls_db : 1.0;
    pair->term = run->term_count;
    for (size_t i = 0; i < f->work.item_count; i++) {
        const hr_item *item = &f->work.items[i];
        const uint32_t part = estimate_part_of(run, item);
        if (part == HR_PLAN_NONE || !(item->loss_db > 0.0) || !(item->table_db > 0.0)) {
            continue;
        }
        if (!HR_RESERVE(run->terms, run->term_cap, run->term_count + 1)) {
            return hr_fail_memory(run->err);
        }
        const bool floor = item->kind == HR_ITEM_FLOOR;
        const double share = fmin(item->loss_db / item->table_db, 1.0);
        run->terms[run->term_count++] = (estimate_term){part, (float)(floor ? share : share * kept)};
        run->parts[part] =
            (estimate_part){.use = (uint8_t)(floor                                  ? HR_USE_FLOOR
                                             : item->kind == HR_ITEM_OPENING ? HR_USE_OPENING
                                                                             : HR_USE_WALL),
                            .met = true,
                            .material = item->material,
                            .table_db = item->table_db};
    }
    pair->term_count = (uint32_t)(run->term_count - pair->term);
    return HR_OK;
}

/* Measures a link and keeps it unless it is hopeless. */
static hr_status add_link(finder *f, estimate_pairs *list, const hr_end *child, const hr_end *parent, uint32_t a,
                          uint32_t b, uint8_t variant, bool keep)
{
    estimate_run *run = f->run;
    hr_link link;
    hr_status status = hr_links_measure_way(run->links, &f->work, child, parent, &link, run->err);
    if (status != HR_OK || (!keep && !(link.spare_db >= HOPELESS_DB))) {
        return status;
    }
    if (!HR_RESERVE(list->items, list->cap, list->count + 1)) {
        return hr_fail_memory(run->err);
    }
    estimate_pair *pair = &list->items[list->count++];
    *pair = (estimate_pair){.a = a,
                            .b = b,
                            .variant = variant,
                            .slabs = (uint8_t)(link.slabs < 255 ? link.slabs : 255),
                            .flat_m = hr_geometry_distance(child->at, parent->at),
                            .up_m = child->z_m - parent->z_m,
                            .fixed_db = link.link_margin_db,
                            .required_db = link.required_margin_db,
                            .nominal = hr_micro(link.spare_db)};
    pair->spread_db = hr_links_spread_loss_db(run->links, hypot(pair->flat_m, pair->up_m));
    pair->log_m = log10(fmax(hypot(pair->flat_m, pair->up_m), 1.0));
    return add_terms(f, &link, pair);
}

static hr_status find_direct(finder *f)
{
    estimate_run *run = f->run;
    const hr_building *b = run->building;
    const double longest_m = b->radio.range_limit_m / (run->drawn[ESTIMATE_SIZE] ? SMALLEST_SIZE : 1.0);
    const long slabs = b->radio.max_slabs > SLABS_LOOKED ? b->radio.max_slabs : SLABS_LOOKED;
    const uint8_t variants = run->drawn[ESTIMATE_PLACES] ? ESTIMATE_PLACES_TRIED : 1;
    for (uint32_t s = 0; s < run->site_count; s++) {
        const hr_end site = hr_links_gateway_end(b, run->sites[s].at, run->sites[s].z_m);
        for (uint32_t r = 0; r < run->row_count; r++) {
            const hr_device *device = &b->devices[run->rows[r]];
            hr_end end = hr_links_device_end(b, run->rows[r]);
            const long apart = labs((long)device->storey - (long)run->sites[s].storey);
            for (uint8_t v = 0; v < variants && apart <= slabs + 1; v++) {
                end.at = run->places[r * ESTIMATE_PLACES_TRIED + v];
                if ((v > 0 && device->drawn) ||
                    hypot(hr_geometry_distance(end.at, site.at), end.z_m - site.z_m) > longest_m) {
                    continue;
                }
                const hr_status status = add_link(f, &run->direct, &end, &site, s, r, v, false);
                if (status != HR_OK) {
                    return status;
                }
            }
        }
        if (!estimate_progress(run, "finding links", s + 1, run->site_count)) {
            return estimate_interrupted(run->err);
        }
    }
    return HR_OK;
}

static bool relays(const estimate_run *run, uint32_t row)
{
    return run->building->kinds[run->building->devices[run->rows[row]].kind].relays;
}

/* Between devices at their default places; a pair is listed once, lower row first. */
static hr_status find_mesh(finder *f)
{
    estimate_run *run = f->run;
    for (uint32_t a = 0; run->building->radio.max_hops > 1 && a < run->row_count; a++) {
        const hr_end end = hr_links_device_end(run->building, run->rows[a]);
        for (uint32_t b = a + 1; b < run->row_count; b++) {
            if (!relays(run, a) && !relays(run, b)) {
                continue;
            }
            const hr_end far_end = hr_links_device_end(run->building, run->rows[b]);
            const hr_status status = add_link(f, &run->mesh, &end, &far_end, a, b, 0, false);
            if (status != HR_OK) {
                return status;
            }
        }
        if (!estimate_progress(run, "finding links between devices", a + 1, run->row_count)) {
            return estimate_interrupted(run->err);
        }
    }
    return HR_OK;
}

/* Devices that talk to another of their room: to the one with most to spare, then by name. */
static hr_status find_joined(finder *f)
{
    estimate_run *run = f->run;
    const hr_building *b = run->building;
    hr_link_work work = {0};
    hr_status status = HR_OK;
    for (uint32_t d = 0; status == HR_OK && d < b->device_count; d++) {
        const int wanted = b->kinds[b->devices[d].kind].joins;
        const hr_end end = hr_links_device_end(b, d);
        uint32_t best = HR_SITING_NONE;
        int64_t most = 0;
        for (uint32_t p = 0; status == HR_OK && wanted != HR_JOINS_GATEWAY && p < b->device_count; p++) {
            if (b->devices[p].room != b->devices[d].room || (int)b->devices[p].kind != wanted) {
                continue;
            }
            const hr_end far_end = hr_links_device_end(b, p);
            hr_link link;
            status = hr_links_measure(run->links, &work, &end, &far_end, &link, run->err);
            const int64_t spare = status == HR_OK ? hr_micro(link.spare_db) : 0;
            if (best == HR_SITING_NONE || spare > most ||
                (spare == most && hr_casecmp(b->devices[p].name, b->devices[best].name) < 0)) {
                best = p;
                most = spare;
            }
        }
        if (status == HR_OK && wanted != HR_JOINS_GATEWAY) {
            const hr_end far_end = hr_links_device_end(b, best == HR_SITING_NONE ? d : best);
            status = add_link(f, &run->joined, &end, &far_end, d, best, 0, true);
        }
    }
    hr_links_work_free(&work);
    return status;
}

/* Every link between rows at both its ends, peers ascending. */
static hr_status list_at_both_ends(estimate_run *run)
{
    const estimate_pairs *mesh = &run->mesh;
    run->link_start = hr_alloc_zero(run->row_count + 2, sizeof *run->link_start);
    run->link_peer = hr_alloc(mesh->count, 2 * sizeof *run->link_peer);
    run->link_pair = hr_alloc(mesh->count, 2 * sizeof *run->link_pair);
    run->link_spare = hr_alloc(mesh->count, 2 * sizeof *run->link_spare);
    if (run->link_start == NULL || run->link_peer == NULL || run->link_pair == NULL || run->link_spare == NULL) {
        return hr_fail_memory(run->err);
    }
    size_t *next = run->link_start + 1; /* shifted by one while filling */
    for (size_t i = 0; i < mesh->count; i++) {
        next[mesh->items[i].a + 1]++;
        next[mesh->items[i].b + 1]++;
    }
    for (size_t r = 0; r < run->row_count; r++) {
        next[r + 1] += next[r];
    }
    /* pairs stand by a, then b: first those in which the row is the upper end, whose peers are lower */
    for (int upper = 1; upper >= 0; upper--) {
        for (size_t i = 0; i < mesh->count; i++) {
            const uint32_t at = upper ? mesh->items[i].b : mesh->items[i].a;
            const uint32_t peer = upper ? mesh->items[i].a : mesh->items[i].b;
            run->link_peer[next[at]] = peer;
            run->link_pair[next[at]++] = (uint32_t)i;
        }
    }
    return HR_OK;
}

hr_status estimate_find_pairs(estimate_run *run)
{
    finder f = {.run = run};
    hr_status status = choose_places(run);
    if (status == HR_OK) {
        status = find_direct(&f);
    }
    if (status == HR_OK) {
        status = find_mesh(&f);
    }
    if (status == HR_OK) {
        status = find_joined(&f);
    }
    if (status == HR_OK && run->building->radio.max_hops > 1) {
        status = list_at_both_ends(run);
    }
    hr_links_work_free(&f.work);
    return status;
}
