/*
 * remedy_gateways.c - a gateway moved or added, another room as a relay.
 *
 * SPDX-License-Identifier: MIT
 */
#include "diagnosis_priv.h"

#include <math.h>
#include <stdlib.h>

/* Spots for a moved gateway that are tried on the whole building: the best for the room. */
#define MOVES_TRIED 6

/* A spot and what the room would have to spare with a gateway there. */
typedef struct ranked_spot {
    uint32_t spot;
    double spare_db; /* smallest of the room's links */
    double own_db;   /* of the control's alone, where another link binds */
} ranked_spot;

static int compare_spots(const void *left, const void *right)
{
    const ranked_spot *a = left, *b = right;
    const int64_t p = hr_micro(a->spare_db), q = hr_micro(b->spare_db);
    const int64_t own_p = hr_micro(a->own_db), own_q = hr_micro(b->own_db);
    if (p != q) {
        return p > q ? -1 : 1;
    }
    if (own_p != own_q) {
        return own_p > own_q ? -1 : 1;
    }
    return (a->spot > b->spot) - (a->spot < b->spot);
}

/* Spots that serve the control and keep the rules, best first. */
static hr_status rank_spots(why_run *run, double device_loss_db, ranked_spot **ranked, size_t *count)
{
    const hr_building *b = run->building;
    bool *allowed = hr_alloc(b->spot_count + 1, sizeof *allowed);
    ranked_spot *list = hr_alloc(b->spot_count + 1, sizeof *list);
    hr_status status = allowed == NULL || list == NULL ? hr_fail_memory(run->err)
                                                       : hr_siting_allowed_spots(b, allowed, run->err);
    const hr_end child = hr_links_device_end(b, run->why->control);
    const double others_db = why_others_spare_db(run);
    size_t used = 0;
    for (uint32_t s = 0; status == HR_OK && s < b->spot_count; s++) {
        const hr_spot *spot = &b->spots[s];
        hr_link link;
        if (!allowed[s] || fabs(spot->z_m - child.z_m) > b->radio.range_limit_m ||
            hr_geometry_distance(spot->at, child.at) > b->radio.range_limit_m ||
            why_breaks_rule(b, spot->storey, spot->at, spot->mount_height_m)) {
            continue;
        }
        const hr_end parent = hr_links_gateway_end(b, spot->at, spot->z_m);
        status = hr_links_measure(run->links, &run->work, &child, &parent, &link, run->err);
        if (status == HR_OK && why_serves(b, &link)) {
            list[used++] = (ranked_spot){s, fmin(link.spare_db - device_loss_db, others_db), link.spare_db};
        }
    }
    hr_free(allowed);
    if (status != HR_OK) {
        hr_free(list);
        return status;
    }
    if (used > 1) {
        qsort(list, used, sizeof *list, compare_spots);
    }
    *ranked = list;
    *count = used;
    return HR_OK;
}

/* The building with one gateway on another spot: does anybody lose by it? */
static hr_status try_move(why_run *run, size_t moved, const hr_spot *spot, bool *good)
{
    hr_building with = *run->building;
    hr_siting *siting = NULL;
    with.gateways = hr_alloc(with.gateway_count, sizeof *with.gateways);
    if (with.gateways == NULL) {
        return hr_fail_memory(run->err);
    }
    for (size_t g = 0; g < with.gateway_count; g++) {
        with.gateways[g] = run->building->gateways[g];
    }
    with.gateways[moved].at = spot->at;
    with.gateways[moved].z_m = spot->z_m;
    with.gateways[moved].mount_height_m = spot->mount_height_m;
    with.gateways[moved].storey = spot->storey;
    with.gateways[moved].spot = spot->id;
    const hr_status status = hr_siting_rooms(&with, NULL, NULL, &siting, run->err);
    *good = status == HR_OK;
    for (size_t i = 0; *good && i < siting->device_count; i++) {
        const bool of_room = run->building->devices[i].room == run->why->room;
        *good = siting->devices[i].served || !(of_room || run->why->siting->devices[i].served);
    }
    hr_siting_free(siting);
    hr_free(with.gateways);
    return status;
}

/* Whether a device that joins the moved gateway itself keeps a gateway: at its new spot, or another one. */
static hr_status keeps_one(why_run *run, uint32_t device, const hr_spot *spot, bool *kept)
{
    const hr_siting *siting = run->why->siting;
    const hr_end child = hr_links_device_end(run->building, device);
    hr_status status = HR_OK;
    *kept = false;
    for (uint32_t g = 0; status == HR_OK && !*kept && g <= siting->gateway_count; g++) {
        const bool moved = g == siting->gateway_count;
        if (!moved && g == run->why->planned) {
            continue;
        }
        const hr_end parent = moved ? hr_links_gateway_end(run->building, spot->at, spot->z_m) : why_gateway_end(run, g);
        const double dist_m = hypot(hr_geometry_distance(child.at, parent.at), child.z_m - parent.z_m);
        hr_link link;
        if (dist_m <= run->building->radio.range_limit_m) {
            status = hr_links_measure(run->links, &run->work, &child, &parent, &link, run->err);
            *kept = status == HR_OK && why_serves(run->building, &link);
        }
    }
    return status;
}

/* Most moves fail here, before the whole building is computed. Only without hops: a relay may save a device. */
static hr_status may_move(why_run *run, const hr_spot *spot, bool *may)
{
    const hr_siting *siting = run->why->siting;
    hr_status status = HR_OK;
    *may = true;
    for (uint32_t d = 0; status == HR_OK && *may && run->building->radio.max_hops <= 1 && d < siting->device_count; d++) {
        const hr_device_row *row = &siting->devices[d];
        if (row->served && row->via == HR_SITING_NONE && row->gateway == run->why->planned) {
            status = keeps_one(run, d, spot, may);
        }
    }
    return status;
}

static void add_spot(const why_run *run, const hr_spot *spot, hr_text *out)
{
    hr_text_addf(out, "spot %s, ", spot->id);
    why_add_place(run, spot->storey, spot->at, out);
}

hr_status why_offer_move_gateway(why_run *run, double device_loss_db, why_offer *offer)
{
    ranked_spot *ranked = NULL;
    size_t count = 0;
    if (run->why->planned == HR_SITING_NONE) {
        return HR_OK;
    }
    const char *id = run->why->siting->gateways[run->why->planned].id;
    const uint32_t moved = hr_building_gateway(run->building, id);
    hr_status status = moved == UINT32_MAX ? HR_OK : rank_spots(run, device_loss_db, &ranked, &count);
    for (size_t i = 0; status == HR_OK && i < count && i < MOVES_TRIED && !offer->found; i++) {
        const hr_spot *spot = &run->building->spots[ranked[i].spot];
        bool good = false;
        status = may_move(run, spot, &good);
        if (status == HR_OK && good) {
            status = try_move(run, moved, spot, &good);
        }
        if (status == HR_OK && good) {
            *offer = (why_offer){.found = true, .spare_db = ranked[i].spare_db, .serves = true};
            hr_text_addf(&offer->words, "move %s to ", id);
            add_spot(run, spot, &offer->words);
            hr_text_add(&offer->words, "; nobody else loses service");
        }
    }
    hr_free(ranked);
    return status;
}

hr_status why_offer_add_gateway(why_run *run, double device_loss_db, why_offer *offer)
{
    ranked_spot *ranked = NULL;
    size_t count = 0;
    const hr_status status = rank_spots(run, device_loss_db, &ranked, &count);
    if (status == HR_OK && count > 0) {
        *offer = (why_offer){.found = true, .spare_db = ranked[0].spare_db, .serves = true};
        hr_text_add(&offer->words, "add a gateway at ");
        add_spot(run, &run->building->spots[ranked[0].spot], &offer->words);
    }
    hr_free(ranked);
    return status;
}

/* ---- a relay ---- */

hr_status why_offer_relay(why_run *run, double device_loss_db, why_offer *offer)
{
    const hr_building *b = run->building;
    const hr_siting *siting = run->why->siting;
    const hr_end child = hr_links_device_end(b, run->why->control);
    const double others_db = why_others_spare_db(run);
    uint32_t relay = HR_SITING_NONE;
    hr_status status = HR_OK;
    for (uint32_t d = 0; status == HR_OK && d < b->device_count; d++) {
        const hr_device_kind *kind = &b->kinds[b->devices[d].kind];
        const hr_device_row *row = &siting->devices[d];
        if (!kind->relays || kind->joins != HR_JOINS_GATEWAY || !row->served || b->devices[d].room == run->why->room ||
            d == siting->devices[run->why->control].via) {
            continue;
        }
        const hr_end parent = hr_links_device_end(b, d);
        hr_link link;
        status = hr_links_measure(run->links, &run->work, &child, &parent, &link, run->err);
        const double spare_db = status == HR_OK ? fmin(fmin(link.spare_db - device_loss_db, row->spare_db), others_db) : 0.0;
        if (status == HR_OK && link.spare_db >= 0.0 && (!offer->found || hr_micro(spare_db) > hr_micro(offer->spare_db))) {
            offer->found = true;
            offer->serves = true;
            offer->spare_db = spare_db;
            relay = d;
        }
    }
    if (status == HR_OK && offer->found) {
        const long hops = (long)siting->devices[relay].hops + 1;
        hr_text_addf(&offer->words, "let %s in room %s relay for %s", b->devices[relay].name,
                     b->rooms[b->devices[relay].room].name, b->devices[run->why->control].name);
        if (hops > b->radio.max_hops) {
            hr_text_addf(&offer->words, " (needs max_hops = %ld)", hops);
        }
        if (b->kinds[b->devices[relay].kind].power == HR_POWER_BATTERY) {
            hr_text_add(&offer->words, "; confirm with the maker, battery life falls");
        }
    }
    return status;
}
