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
        hr_arena_free(siting->arena);
        hr_free(siting);
    }
}

static hr_siting *siting_new(const hr_building *building)
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

hr_status siting_run_start(const hr_building *building, bool with_spots, hr_notes *notes, siting_run *run, hr_error *err)
{
    *run = (siting_run){.building = building, .notes = notes, .err = err, .siting = siting_new(building)};
    hr_status status = run->siting == NULL ? hr_fail_memory(err) : hr_links_new(building, &run->links, err);
    if (status == HR_OK) {
        status = siting_gather(building, with_spots, &run->sites, err);
    }
    if (status == HR_OK) {
        status = siting_joining_devices(building, &run->devices, &run->device_count, err);
    }
    if (status == HR_OK) {
        status = siting_net_new(building, run->links, &run->sites, run->devices, run->device_count, &run->net, err);
    }
    return status;
}

hr_status siting_run_end(siting_run *run, hr_status status, hr_siting **siting)
{
    siting_net_free(&run->net);
    hr_free(run->devices);
    hr_free(run->sites.items);
    hr_links_free(run->links);
    if (status == HR_OK) {
        *siting = run->siting;
    } else {
        hr_siting_free(run->siting);
    }
    *run = (siting_run){0};
    return status;
}

hr_status hr_siting_rooms(const hr_building *building, const hr_siting_options *options, hr_notes *notes,
                          hr_siting **siting, hr_error *err)
{
    (void)options;
    if (building->gateway_count == 0) {
        return hr_fail(err, HR_ERR_INPUT, building->file, 0,
                       "no gateways: mark them on a plan (layer `gateways`) or give a list with --gateways");
    }
    siting_run run;
    hr_status status = siting_run_start(building, false, notes, &run, err);
    uint32_t *all = NULL;
    if (status == HR_OK) {
        all = hr_alloc(run.sites.count, sizeof *all);
        status = all == NULL ? hr_fail_memory(err) : HR_OK;
    }
    for (size_t i = 0; status == HR_OK && i < run.sites.count; i++) {
        all[i] = (uint32_t)i;
    }
    if (status == HR_OK) {
        status = siting_assess(&run, all, run.sites.count);
    }
    hr_free(all);
    return siting_run_end(&run, status, siting);
}
