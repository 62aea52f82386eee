/*
 * place.c - the cover problem made from links and rules, and its answer made
 * into gateways.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include "hr_placement.h"

/* One cover problem with what it points to beside the reach sets. */
typedef struct cover {
    hr_placement_problem problem;
    hr_mesh_reach reach;
    uint8_t *state;
    uint32_t *capacity, *load, *need;
} cover;

static void free_cover(cover *c)
{
    hr_mesh_reach_free(&c->reach);
    hr_free(c->state);
    hr_free(c->capacity);
    hr_free(c->load);
    hr_free(c->need);
}

/* Columns are the reach sets, so that hops are plain cover. */
static hr_status make_cover(siting_run *run, cover *c)
{
    const size_t rows = run->device_count, columns = run->sites.count;
    c->state = hr_alloc_zero(columns, sizeof *c->state);
    c->capacity = hr_alloc(columns, sizeof *c->capacity);
    c->need = hr_alloc(rows, sizeof *c->need);
    hr_status status = c->state == NULL || c->capacity == NULL || c->need == NULL ? hr_fail_memory(run->err)
                                                                                  : siting_loads(run, &c->load);
    if (status == HR_OK) {
        status = hr_mesh_reach_all(&run->net.mesh, &c->reach, run->err);
    }
    if (status != HR_OK) {
        return status;
    }
    for (size_t s = 0; s < columns; s++) {
        c->state[s] = run->sites.items[s].gateway != NULL ? HR_PLACEMENT_MUST : HR_PLACEMENT_FREE;
        c->capacity[s] = (uint32_t)run->building->gateway_kind.capacity;
    }
    for (size_t d = 0; d < rows; d++) {
        c->need[d] = (uint32_t)run->building->radio.cover;
    }
    c->problem = (hr_placement_problem){.rows = rows,
                                        .columns = columns,
                                        .column_start = c->reach.start,
                                        .column_row = c->reach.device,
                                        .quality = c->reach.spare,
                                        .need = c->need,
                                        .state = c->state,
                                        .capacity = c->capacity,
                                        .load = c->load,
                                        .first = (uint32_t)run->building->radio.first_devices,
                                        .is_first = c->reach.direct};
    return HR_OK;
}

static const char *site_name(const siting_site *site)
{
    return site->gateway != NULL ? site->gateway->id : site->spot->id;
}

/* For a device that no spot serves, the words name the spot that comes nearest to it. */
static hr_status explain_short_row(const siting_run *run, hr_device_row *row, hr_link_work *work)
{
    const hr_end end = hr_links_device_end(run->building, row->device);
    hr_link best = {0};
    size_t best_site = SIZE_MAX;
    for (size_t s = 0; s < run->sites.count; s++) {
        const hr_site *site = &run->sites.items[s].site;
        const hr_end far_end = hr_links_gateway_end(run->building, site->at, site->z_m);
        hr_link link;
        const hr_status status = hr_links_measure(run->links, work, &end, &far_end, &link, run->err);
        if (status != HR_OK) {
            return status;
        }
        if (best_site == SIZE_MAX || hr_micro(link.spare_db) > hr_micro(best.spare_db)) {
            best = link;
            best_site = s;
        }
    }
    if (best_site != SIZE_MAX) {
        siting_explain(run->building, &best, site_name(&run->sites.items[best_site]), true, row->reason);
    }
    return HR_OK;
}

static hr_status explain_short_rows(const siting_run *run, const hr_placement_result *result)
{
    hr_link_work work = {0};
    hr_status status = HR_OK;
    for (size_t i = 0; status == HR_OK && i < result->short_count; i++) {
        hr_device_row *row = &run->siting->devices[run->devices[result->short_rows[i]]];
        if (!row->served) {
            status = explain_short_row(run, row, &work);
        }
    }
    hr_links_work_free(&work);
    return status;
}

typedef struct reporter {
    const hr_siting_options *options;
} reporter;

static bool pass_on(void *user, const char *stage, uint64_t done, uint64_t total, uint32_t best, uint32_t bound)
{
    const reporter *r = user;
    (void)best;
    (void)bound;
    return r->options->progress(r->options->user, stage, done, total);
}

static hr_status place_on(siting_run *run, const hr_siting_options *options)
{
    cover c = {0};
    hr_placement_result result = {0};
    reporter r = {options};
    const hr_placement_options search = {.effort = options->effort,
                                         .seconds = options->seconds,
                                         .progress = options->progress != NULL ? pass_on : NULL,
                                         .user = &r};
    hr_status status = make_cover(run, &c);
    if (status == HR_OK) {
        status = hr_placement_solve(&c.problem, &search, &result, run->err);
    }
    if (status == HR_OK) {
        status = siting_assess(run, result.chosen, result.chosen_count);
    }
    if (status == HR_OK) {
        status = explain_short_rows(run, &result);
    }
    if (status == HR_OK) {
        run->siting->placed = true;
        run->siting->lower_bound = result.lower_bound;
        run->siting->proved_fewest = result.proved;
        run->siting->clock_stopped = result.clock_stopped;
        run->siting->spots_considered = run->sites.count;
    }
    hr_placement_result_free(&result);
    free_cover(&c);
    return status;
}

static hr_status check_sites(siting_run *run)
{
    const siting_sites *sites = &run->sites;
    const hr_building *building = run->building;
    if (sites->in_keep_out + sites->near_metal > 0) {
        char clearance[HR_FIXED_MAX];
        const double shown = hr_units_from_metres(building->gateway_kind.metal_clearance_m, building->length_unit);
        hr_note(run->notes, NULL, 0, "%zu spots left out: %zu in a keep-out, %zu within metal_clearance (%s %s) of metal",
                sites->in_keep_out + sites->near_metal, sites->in_keep_out, sites->near_metal,
                hr_short(shown, 2, clearance), hr_units_length_name(building->length_unit));
    }
    if (sites->count == 0) {
        return hr_fail(run->err, HR_ERR_INPUT, building->file, 0,
                       "no place for a gateway: draw `spots`, or `corridors` with walls that spots can stand on");
    }
    return HR_OK;
}

hr_status hr_siting_place(const hr_building *building, const hr_siting_options *options, hr_notes *notes,
                          hr_siting **siting, hr_error *err)
{
    static const hr_siting_options defaults = {0};
    siting_run run;
    hr_status status = siting_run_start(building, true, notes, &run, err);
    if (status == HR_OK) {
        status = check_sites(&run);
    }
    if (status == HR_OK) {
        status = place_on(&run, options != NULL ? options : &defaults);
    }
    return siting_run_end(&run, status, siting);
}
