/*
 * siting.c - a run from start to end; the rooms of given gateways.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

void hr_siting_free(hr_siting *siting)
{
    if (siting != NULL) {
        hr_free(siting->gateways);
        hr_free(siting->devices);
        hr_free(siting->rooms);
        hr_free(siting->sole_relays);
        hr_free(siting->reasons);
        hr_free((void *)siting->without);
        hr_free(siting->failing);
        hr_free(siting->by_count);
        hr_free(siting->by_slabs);
        hr_arena_free(siting->arena);
        hr_free(siting);
    }
}

hr_siting *siting_new(const hr_building *building)
{
    hr_siting *siting = hr_alloc_zero(1, sizeof *siting);
    if (siting == NULL) {
        return NULL;
    }
    siting->device_count = building->device_count;
    siting->room_count = building->room_count;
    siting->devices = hr_alloc_zero(building->device_count, sizeof *siting->devices);
    siting->rooms = hr_alloc_zero(building->room_count, sizeof *siting->rooms);
    siting->arena = hr_arena_new();
    if (siting->devices == NULL || siting->rooms == NULL || siting->arena == NULL) {
        hr_siting_free(siting);
        return NULL;
    }
    return siting;
}

hr_status siting_run_start(const hr_building *building, const hr_siting_options *options, bool with_spots,
                           hr_notes *notes, siting_run *run, hr_error *err)
{
    static const hr_siting_options defaults = {0};
    *run = (siting_run){.building = building,
                        .options = options != NULL ? options : &defaults,
                        .notes = notes,
                        .err = err,
                        .siting = siting_new(building)};
    hr_status status = run->siting == NULL ? hr_fail_memory(err) : siting_cable_new(building, &run->cable, err);
    return status == HR_OK ? siting_gather(building, run->options, run->cable, with_spots, &run->sites, err) : status;
}

hr_status siting_run_measure(siting_run *run)
{
    hr_status status = hr_links_new(run->building, &run->links, run->err);
    if (status == HR_OK) {
        hr_links_notes(run->links, run->notes);
        status = siting_joining_devices(run->building, &run->devices, &run->device_count, run->err);
    }
    if (status == HR_OK) {
        status = siting_net_new(run, &run->net);
    }
    if (status == HR_OK) {
        status = hr_mesh_reach_all(&run->net.mesh, &run->reach, run->err);
    }
    return status == HR_OK ? siting_limits_new(run, &run->limits) : status;
}

hr_status siting_run_end(siting_run *run, hr_status status, hr_siting **siting)
{
    hr_mesh_reach_free(&run->reach);
    siting_net_free(&run->net);
    hr_free(run->limits.load);
    hr_free(run->devices);
    siting_sites_free(&run->sites);
    siting_cable_free(run->cable);
    hr_links_work_free(&run->work); /* holds what belongs to the links */
    hr_links_free(run->links);
    if (status == HR_OK && hr_notes_failed(run->notes)) { /* a warning that is missing is a wrong answer */
        status = hr_fail_memory(run->err);
    }
    if (status == HR_OK) {
        *siting = run->siting;
    } else {
        hr_siting_free(run->siting);
    }
    *run = (siting_run){0};
    return status;
}

/* ---- gateways that exist ---- */

/* What is served with all gateways and not without those that are down. */
static hr_status find_failing(siting_run *run, const uint32_t *all)
{
    hr_siting *siting = run->siting, *whole = NULL;
    siting->without = hr_alloc(run->sites.count, sizeof *siting->without);
    siting->failing = hr_alloc(siting->device_count, sizeof *siting->failing);
    if (siting->without == NULL || siting->failing == NULL) {
        return hr_fail_memory(run->err);
    }
    for (size_t s = 0; s < run->sites.count; s++) {
        if (run->sites.items[s].down) {
            siting->without[siting->without_count++] = run->sites.items[s].gateway->id;
        }
    }
    const hr_status status = siting_assess_aside(run, all, run->sites.count, &whole);
    for (uint32_t i = 0; status == HR_OK && i < siting->device_count; i++) {
        if (whole->devices[i].served && !siting->devices[i].served) {
            siting->failing[siting->failing_count++] = i;
        }
    }
    hr_siting_free(whole);
    return status;
}

static hr_status assess_existing(siting_run *run)
{
    uint32_t *all = hr_alloc(run->sites.count, sizeof *all), *up = hr_alloc(run->sites.count, sizeof *up);
    hr_status status = all == NULL || up == NULL ? hr_fail_memory(run->err) : HR_OK;
    size_t count = 0;
    for (uint32_t s = 0; status == HR_OK && s < run->sites.count; s++) {
        all[s] = s;
        if (!run->sites.items[s].down) {
            up[count++] = s;
        }
    }
    if (status == HR_OK) {
        status = siting_assess(run, up, count);
    }
    if (status == HR_OK && run->building->radio.cover > 1) {
        status = siting_check_backup(run, up, count);
    }
    if (status == HR_OK && run->options->reasons) {
        status = siting_give_reasons(run, up, count);
    }
    if (status == HR_OK && count < run->sites.count) {
        status = find_failing(run, all);
    }
    hr_free(all);
    hr_free(up);
    return status;
}

hr_status hr_siting_rooms(const hr_building *building, const hr_siting_options *options, hr_notes *notes,
                          hr_siting **siting, hr_error *err)
{
    if (building->gateway_count == 0) {
        return hr_fail(err, HR_ERR_INPUT, building->file, 0,
                       "no gateways: mark them on a plan (layer `gateways`) or give a list with --gateways");
    }
    siting_run run;
    hr_status status = siting_run_start(building, options, false, notes, &run, err);
    if (status == HR_OK) {
        status = siting_run_measure(&run);
    }
    if (status == HR_OK) {
        status = assess_existing(&run);
    }
    return siting_run_end(&run, status, siting);
}

hr_end hr_siting_far_end(const hr_building *building, const hr_siting *siting, const hr_device_row *row)
{
    if (row->via != HR_SITING_NONE) {
        return hr_links_device_end(building, row->via);
    }
    const hr_sited_gateway *g = &siting->gateways[row->gateway];
    return hr_links_gateway_end(building, g->at, g->z_m);
}

const char *hr_siting_far_name(const hr_building *building, const hr_siting *siting, const hr_device_row *row)
{
    if (row->via != HR_SITING_NONE) {
        return building->devices[row->via].name;
    }
    return row->gateway == HR_SITING_NONE ? NULL : siting->gateways[row->gateway].id;
}
