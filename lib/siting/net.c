/*
 * net.c - links that hold, as numbers for the mesh: sites to devices by the
 * rules of a gateway link.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

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

hr_status siting_joining_devices(const hr_building *building, uint32_t **devices, size_t *count, hr_error *err)
{
    uint32_t *found = hr_alloc(building->device_count, sizeof *found);
    if (found == NULL) {
        return hr_fail_memory(err);
    }
    size_t n = 0;
    for (size_t i = 0; i < building->device_count; i++) {
        if (building->kinds[building->devices[i].kind].joins == HR_JOINS_GATEWAY) {
            found[n++] = (uint32_t)i;
        }
    }
    *devices = found;
    *count = n;
    return HR_OK;
}

hr_status siting_net_make_entries(siting_net *n, size_t sites, size_t count, hr_error *err)
{
    hr_free(n->entry_start);
    hr_free(n->entry_device);
    hr_free(n->entry_spare);
    n->entry_start = hr_alloc_zero(sites + 1, sizeof *n->entry_start);
    n->entry_device = hr_alloc(count, sizeof *n->entry_device);
    n->entry_spare = hr_alloc(count, sizeof *n->entry_spare);
    n->mesh.entry_start = n->entry_start;
    n->mesh.entry_device = n->entry_device;
    n->mesh.entry_spare = n->entry_spare;
    return n->entry_start == NULL || n->entry_device == NULL || n->entry_spare == NULL ? hr_fail_memory(err) : HR_OK;
}

static bool entry_holds(const hr_coverage_cell *cell, long max_slabs)
{
    return cell->spare >= 0 && (long)cell->slabs <= max_slabs;
}

hr_status siting_net_entries(siting_net *n, long max_slabs, hr_error *err)
{
    const hr_coverage *coverage = n->coverage;
    size_t count = 0, used = 0;
    for (size_t i = 0; i < coverage->start[coverage->sites]; i++) {
        count += entry_holds(&coverage->cells[i], max_slabs);
    }
    const hr_status status = siting_net_make_entries(n, coverage->sites, count, err);
    for (size_t s = 0; status == HR_OK && s < coverage->sites; s++) {
        for (size_t i = coverage->start[s]; i < coverage->start[s + 1]; i++) {
            const hr_coverage_cell *cell = &coverage->cells[i];
            if (entry_holds(cell, max_slabs)) {
                n->entry_device[used] = cell->device;
                n->entry_spare[used++] = cell->spare;
            }
        }
        n->entry_start[s + 1] = used;
    }
    return status;
}

static bool show_sites(void *user, size_t done, size_t total)
{
    const hr_siting_options *options = user;
    return options->progress == NULL || options->progress(options->user, "measuring links", done, total);
}

static hr_status measure_sites(const siting_run *run, siting_net *net)
{
    hr_site *places = hr_alloc(run->sites.count, sizeof *places);
    if (places == NULL) {
        return hr_fail_memory(run->err);
    }
    for (size_t s = 0; s < run->sites.count; s++) {
        places[s] = run->sites.items[s].site;
    }
    hr_siting_options options = *run->options;
    /* the table of other limits on slabs asks for more than the limit in force */
    const long in_force = run->building->radio.max_slabs, shown = SITING_SLABS_SHOWN - 1;
    const hr_coverage_limits limits = {.reach_m = run->building->radio.range_limit_m,
                                       .max_slabs = options.tables && shown > in_force ? shown : in_force};
    const hr_status status = hr_coverage_new(run->building, run->links, places, run->sites.count, run->devices,
                                             run->device_count, limits, show_sites, &options, &net->coverage, run->err);
    hr_free(places);
    return status;
}

hr_status siting_net_new(const siting_run *run, siting_net *net)
{
    const hr_building *building = run->building;
    siting_net made = {0};
    hr_status status = measure_sites(run, &made);
    if (status == HR_OK) {
        status = siting_net_entries(&made, building->radio.max_slabs, run->err);
    }
    if (status == HR_OK) {
        status = siting_net_links(run, &made);
    }
    if (status != HR_OK) {
        siting_net_free(&made);
        return status;
    }
    made.mesh.devices = run->device_count;
    made.mesh.gateways = run->sites.count;
    made.mesh.max_hops = (uint32_t)building->radio.max_hops;
    made.mesh.relays = made.relays;
    made.mesh.link_start = made.link_start;
    made.mesh.link_peer = made.link_peer;
    made.mesh.link_spare = made.link_spare;
    *net = made;
    return HR_OK;
}
