/*
 * study.c - one building asked again and again, each time with other links.
 *
 * The choice runs as in place.c: the solver knows reach sets and sums of loads,
 * who hangs on whom is settled afterwards, and where that leaves somebody
 * without room the question is put again with less capacity.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include <math.h>
#include <string.h>

struct hr_siting_study {
    siting_run run;
    hr_siting_options options;
    siting_cable_run *cables; /* beside the sites */
    uint32_t *hanging;        /* per row: radios that join over the room's first row */
    uint32_t *capacity;       /* beside the sites */
    uint8_t *reached;         /* per row */
    hr_mesh_joined *joined;   /* beside the rows */
};

void hr_siting_study_free(hr_siting_study *study)
{
    if (study == NULL) {
        return;
    }
    hr_siting_free(study->run.siting);
    study->run.siting = NULL;
    hr_siting *none = NULL;
    (void)siting_run_end(&study->run, HR_OK, &none);
    hr_free(study->cables);
    hr_free(study->hanging);
    hr_free(study->capacity);
    hr_free(study->reached);
    hr_free(study->joined);
    hr_free(study);
}

/* What never changes of the net. */
static hr_status prepare_net(siting_run *run)
{
    siting_net *net = &run->net;
    const size_t sites = run->sites.count, rows = run->device_count;
    net->relays = hr_alloc_zero(rows, sizeof *net->relays);
    if (net->relays == NULL) {
        return hr_fail_memory(run->err);
    }
    for (size_t d = 0; d < rows; d++) {
        net->relays[d] = run->building->kinds[run->building->devices[run->devices[d]].kind].relays;
    }
    net->mesh.devices = rows;
    net->mesh.gateways = sites;
    net->mesh.max_hops = (uint32_t)run->building->radio.max_hops;
    net->mesh.relays = net->relays;
    return HR_OK;
}

static hr_status prepare_rest(hr_siting_study *study)
{
    const siting_run *run = &study->run;
    const size_t sites = run->sites.count, rows = run->device_count;
    study->cables = hr_alloc(sites, sizeof *study->cables);
    study->capacity = hr_alloc(sites, sizeof *study->capacity);
    study->reached = hr_alloc_zero(rows, 1);
    study->hanging = hr_alloc_zero(rows, sizeof *study->hanging);
    study->joined = hr_alloc(rows, sizeof *study->joined);
    uint32_t *first = hr_alloc(run->building->room_count, sizeof *first);
    if (study->cables == NULL || study->capacity == NULL || study->hanging == NULL || study->joined == NULL ||
        study->reached == NULL || first == NULL) {
        hr_free(first);
        return hr_fail_memory(run->err);
    }
    for (size_t s = 0; s < sites; s++) {
        study->cables[s] = siting_cable_to(run->cable, run->sites.items[s].site.storey, run->sites.items[s].site.at);
        study->capacity[s] = run->limits.capacity;
    }
    for (size_t r = 0; r < run->building->room_count; r++) {
        first[r] = HR_SITING_NONE;
    }
    for (uint32_t d = 0; d < rows; d++) {
        const uint32_t room = run->building->devices[run->devices[d]].room;
        first[room] = first[room] == HR_SITING_NONE ? d : first[room];
    }
    for (size_t i = 0; i < run->building->device_count; i++) {
        const hr_device *device = &run->building->devices[i];
        if (run->building->kinds[device->kind].joins != HR_JOINS_GATEWAY && first[device->room] != HR_SITING_NONE) {
            study->hanging[first[device->room]]++;
        }
    }
    hr_free(first);
    return HR_OK;
}

hr_status hr_siting_study_new(const hr_building *building, const hr_siting_options *options, hr_notes *notes,
                              hr_siting_study **study, hr_error *err)
{
    hr_siting_study *made = hr_alloc_zero(1, sizeof *made);
    if (made == NULL) {
        return hr_fail_memory(err);
    }
    made->options = options != NULL ? *options : (hr_siting_options){0};
    siting_run *run = &made->run;
    hr_status status = siting_run_start(building, &made->options, true, notes, run, err);
    if (status == HR_OK) {
        status = siting_check_sites(run);
    }
    if (status == HR_OK) {
        status = hr_links_new(building, &run->links, err);
    }
    if (status == HR_OK) {
        hr_links_notes(run->links, notes);
        status = siting_joining_devices(building, &run->devices, &run->device_count, err);
    }
    if (status == HR_OK) {
        status = prepare_net(run);
    }
    if (status == HR_OK) {
        status = siting_limits_new(run, &run->limits);
    }
    if (status == HR_OK) {
        status = prepare_rest(made);
    }
    run->notes = NULL; /* what is said is said once */
    if (status != HR_OK) {
        hr_siting_study_free(made);
        return status;
    }
    *study = made;
    return HR_OK;
}

size_t hr_siting_study_site_count(const hr_siting_study *study)
{
    return study->run.sites.count;
}

hr_study_site hr_siting_study_site(const hr_siting_study *study, size_t site)
{
    const siting_site *s = &study->run.sites.items[site];
    const siting_cable_run *cable = &study->cables[site];
    return (hr_study_site){.at = s->site.at,
                           .z_m = s->site.z_m,
                           .storey = s->site.storey,
                           .existing = s->gateway != NULL,
                           .cable_m = cable->length_m,
                           .closet_storey = cable->storey,
                           .closet = cable->mark};
}

const uint32_t *hr_siting_study_rows(const hr_siting_study *study, size_t *count)
{
    *count = study->run.device_count;
    return study->run.devices;
}

const hr_links *hr_siting_study_links_of(const hr_siting_study *study)
{
    return study->run.links;
}

/* ---- one question ---- */

/* Links that hold, of the sites that are not blocked. */
static hr_status study_entries(siting_run *run, const hr_study_links *links, const uint8_t *blocked, hr_error *err)
{
    const size_t sites = run->sites.count, rows = run->device_count;
    siting_net *net = &run->net;
    size_t count = 0, used = 0;
    for (size_t cell = 0; cell < sites * rows; cell++) {
        count += links->spare[cell] >= 0;
    }
    const hr_status status = siting_net_make_entries(net, sites, count, err);
    for (size_t s = 0; status == HR_OK && s < sites; s++) {
        for (size_t d = 0; d < rows && (blocked == NULL || !blocked[s]); d++) {
            if (links->spare[s * rows + d] >= 0) {
                net->entry_device[used] = (uint32_t)d;
                net->entry_spare[used++] = links->spare[s * rows + d];
            }
        }
        net->entry_start[s + 1] = used;
    }
    return status;
}

hr_status hr_siting_study_set(hr_siting_study *study, const hr_study_links *links, const uint8_t *blocked,
                              hr_error *err)
{
    siting_run *run = &study->run;
    run->err = err;
    run->net.mesh.link_start = links->link_start;
    run->net.mesh.link_peer = links->link_peer;
    run->net.mesh.link_spare = links->link_spare;
    hr_mesh_reach_free(&run->reach);
    hr_status status = study_entries(run, links, blocked, err);
    if (status == HR_OK) {
        status = hr_mesh_reach_all(&run->net.mesh, &run->reach, err);
    }
    memset(study->reached, 0, run->device_count);
    for (size_t e = 0; status == HR_OK && e < run->reach.start[run->sites.count]; e++) {
        study->reached[run->reach.device[e]] = 1;
    }
    return status;
}

bool hr_siting_study_reaches(const hr_siting_study *study, size_t row)
{
    return study->reached[row] != 0;
}

static double site_distance(void *user, uint32_t site, uint32_t row)
{
    const siting_run *run = user;
    const hr_site *s = &run->sites.items[site].site;
    const hr_device *d = &run->building->devices[run->devices[row]];
    return (double)hr_micro(hypot(hr_geometry_distance(s->at, d->at), s->z_m - d->z_m)) * 1e-6;
}

/* Radios, and messages in the air, that gateways carry beyond what they may. */
static hr_status count_excess(hr_siting_study *study, size_t *excess)
{
    const siting_run *run = &study->run;
    size_t *radios = hr_alloc_zero(run->sites.count, 2 * sizeof *radios);
    if (radios == NULL) {
        return hr_fail_memory(run->err);
    }
    size_t *messages = radios + run->sites.count;
    for (size_t d = 0; d < run->device_count; d++) {
        const hr_mesh_joined *j = &study->joined[d];
        if (j->gateway != HR_MESH_NONE) {
            radios[j->gateway] += 1 + study->hanging[d];
            messages[j->gateway] += j->hops + study->hanging[d] * (j->hops + 1);
        }
    }
    *excess = 0;
    for (size_t s = 0; s < run->sites.count; s++) {
        const size_t capacity = (size_t)run->building->gateway_kind.capacity;
        *excess += radios[s] > capacity ? radios[s] - capacity : 0;
        *excess += run->limits.air_cap > 0 && messages[s] > run->limits.air_cap
                       ? messages[s] - (size_t)run->limits.air_cap
                       : 0;
    }
    hr_free(radios);
    return HR_OK;
}

/* Settles who joins whom with these sites; faults: rows left out, and the excess. */
static hr_status join(hr_siting_study *study, const uint32_t *chosen, size_t count, size_t *no_room, size_t *faults)
{
    siting_run *run = &study->run;
    const hr_mesh_rules rules = {.max_children = (uint32_t)run->building->radio.max_children,
                                 .capacity = study->capacity,
                                 .load = run->limits.load,
                                 .distance_m = site_distance,
                                 .user = run};
    size_t excess = 0;
    *no_room = *faults = 0;
    hr_status status = hr_mesh_join(&run->net.mesh, chosen, count, &rules, study->joined, run->err);
    if (status == HR_OK) {
        status = count_excess(study, &excess);
    }
    for (size_t d = 0; status == HR_OK && d < run->device_count; d++) {
        *no_room += study->joined[d].state == HR_MESH_NO_ROOM;
        *faults += study->joined[d].state != HR_MESH_JOINED;
    }
    *no_room += excess;
    *faults += excess;
    return status;
}

hr_status hr_siting_study_place(hr_siting_study *study, uint32_t at_most, uint64_t effort, uint32_t *chosen,
                                size_t *count, bool *proved, hr_error *err)
{
    siting_run *run = &study->run;
    hr_status status = HR_OK;
    run->err = err;
    study->options.at_most = at_most;
    study->options.effort = effort;
    size_t least_faults = SIZE_MAX;
    bool settled = false;
    for (size_t t = 0; status == HR_OK && !settled && t < SITING_SHARES; t++) {
        hr_placement_result result = {0};
        size_t no_room = 0, faults = 0;
        status = siting_solve_share(run, siting_shares[t], false, &result);
        if (status == HR_OK) {
            status = join(study, result.chosen, result.chosen_count, &no_room, &faults);
        }
        if (status == HR_OK) {
            settled = no_room == 0;
            if (t == 0 && proved != NULL) {
                *proved = settled && result.uncovered_count == 0 && result.chosen_count == result.lower_bound;
            }
            if (t == 0 || settled || faults < least_faults) {
                least_faults = faults;
                *count = result.chosen_count;
                for (size_t i = 0; i < result.chosen_count; i++) {
                    chosen[i] = result.chosen[i];
                }
            }
            settled = settled || result.uncovered_count > 0; /* not even on paper: less capacity cannot help */
        }
        hr_placement_result_free(&result);
    }
    return status;
}

hr_status hr_siting_study_join(hr_siting_study *study, const uint32_t *chosen, size_t count, hr_study_joined *joined,
                               hr_error *err)
{
    size_t no_room, faults;
    study->run.err = err;
    const hr_status status = join(study, chosen, count, &no_room, &faults);
    for (size_t d = 0; status == HR_OK && d < study->run.device_count; d++) {
        const hr_mesh_joined *j = &study->joined[d];
        joined[d] = (hr_study_joined){.site = j->gateway == HR_MESH_NONE ? HR_SITING_NONE : j->gateway,
                                      .via = j->via == HR_MESH_NONE ? HR_SITING_NONE : j->via,
                                      .hops = j->hops,
                                      .own_spare = j->own_spare};
    }
    return status;
}
