/*
 * place.c - spots chosen, and held against what really joins what.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

/*
 * The solver knows reach sets and sums of loads. Who hangs on whom, and how
 * often a relayed message is in the air, is settled afterwards: where that
 * leaves somebody without room the question is put again with less capacity.
 */
const double siting_shares[SITING_SHARES] = {1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3};
/* The first search is the one that proves; the others only repair. */
#define REPAIR_EFFORT ((uint64_t)300000)

typedef struct attempt {
    hr_placement_result result;
    size_t faults; /* devices not served, and what gateways carry more than they may */
} attempt;

/* Short of gateways although enough spots reach it: first_devices is all that can forbid them. */
static hr_status short_by_first(const siting_run *run, const hr_placement_result *result, bool *found)
{
    const hr_mesh_reach *reach = &run->reach;
    uint32_t *reached = hr_alloc_zero(run->device_count, sizeof *reached);
    if (reached == NULL) {
        return hr_fail_memory(run->err);
    }
    for (size_t e = 0; e < reach->start[run->sites.count]; e++) {
        reached[reach->device[e]]++;
    }
    *found = false;
    for (size_t i = 0; i < result->short_count; i++) {
        *found = *found || (long)reached[result->short_rows[i]] >= run->building->radio.cover;
    }
    hr_free(reached);
    return HR_OK;
}

hr_status siting_solve_share(siting_run *run, double share, bool loose_first, hr_placement_result *result)
{
    const siting_question question = {
        .reach = &run->reach,
        .at_most = run->options->at_most,
        .capacity = run->limits.capacity > 1 ? (uint32_t)((double)run->limits.capacity * share) : 1,
        .effort = share < 1.0 ? REPAIR_EFFORT : 0,
        .loose_first = loose_first};
    hr_status status = siting_solve(run, &question, result);
    bool loosen = false;
    if (status == HR_OK && !loose_first && !run->building->radio.strict) {
        status = short_by_first(run, result, &loosen);
    }
    if (status == HR_OK && loosen) {
        hr_placement_result_free(result);
        return siting_solve_share(run, share, true, result);
    }
    return status;
}

static hr_status try_share(siting_run *run, double share, attempt *a)
{
    hr_status status = siting_solve_share(run, share, false, &a->result);
    if (status == HR_OK) {
        status = siting_assess(run, a->result.chosen, a->result.chosen_count);
        a->faults = run->siting->device_count - run->siting->served_devices + run->excess;
    }
    return status;
}

/* The first attempt that leaves nobody without room and nothing overloaded, else the one that comes nearest. */
static hr_status choose(siting_run *run, attempt *best, uint64_t *lower_bound)
{
    hr_status status = HR_OK;
    bool settled = false;
    run->brief = true;
    for (size_t t = 0; status == HR_OK && !settled && t < SITING_SHARES; t++) {
        attempt next = {0};
        status = try_share(run, siting_shares[t], &next);
        settled = run->without_room == 0 && run->excess == 0;
        if (t == 0) {
            *lower_bound = next.result.lower_bound;
        }
        const bool hopeless = next.result.uncovered_count > 0; /* not even on paper: less capacity cannot help */
        const bool better = t == 0 || settled || next.faults < best->faults;
        if (status == HR_OK && better) {
            hr_placement_result_free(&best->result);
            *best = next;
        } else {
            hr_placement_result_free(&next.result);
        }
        settled = settled || hopeless;
    }
    run->brief = false;
    return status;
}

static void take_proof(siting_run *run, const hr_placement_result *result, uint64_t lower_bound)
{
    hr_siting *siting = run->siting;
    siting->placed = true;
    siting->lower_bound = lower_bound;
    const bool bites = result->uncovered_count > 0 && result->chosen_count == run->options->at_most;
    siting->at_most = bites ? run->options->at_most : 0;
    /* what is proved of the reach sets holds for the answer where all of it found room */
    siting->most_proved = siting->at_most > 0 && result->proved && run->without_room <= result->uncovered_count;
    siting->without_room = siting->at_most == 0 ? run->without_room : 0;
    siting->proved_fewest = siting->at_most == 0 && siting->without_room == 0 && result->uncovered_count == 0 &&
                            result->chosen_count == lower_bound;
    siting->clock_stopped = result->clock_stopped;
    siting->spots_considered = run->sites.count;
}

static hr_status place_on(siting_run *run)
{
    attempt best = {0};
    uint64_t lower_bound = 0;
    hr_status status = choose(run, &best, &lower_bound);
    const hr_placement_result *result = &best.result;
    if (status == HR_OK) {
        status = siting_assess(run, result->chosen, result->chosen_count);
    }
    if (status == HR_OK) {
        take_proof(run, result, lower_bound);
        status = siting_explain_answer(run, result);
    }
    if (status == HR_OK && run->building->radio.cover > 1) {
        status = siting_check_backup(run, result->chosen, result->chosen_count);
    }
    if (status == HR_OK && run->options->reasons) {
        status = siting_give_reasons(run, result->chosen, result->chosen_count);
    }
    if (status == HR_OK && run->options->tables) {
        status = siting_count_table(run, result->chosen, result->chosen_count);
    }
    if (status == HR_OK && run->options->tables) {
        status = siting_slab_table(run);
    }
    hr_placement_result_free(&best.result);
    return status;
}

static size_t count_out(const siting_sites *sites, siting_left_out why)
{
    size_t count = 0;
    for (size_t i = 0; i < sites->out_count; i++) {
        count += sites->out[i].left_out == why;
    }
    return count;
}

static void note_left_out(const siting_run *run)
{
    const hr_gateway_kind *kind = &run->building->gateway_kind;
    const hr_length_unit unit = run->building->length_unit;
    const size_t keep_out = count_out(&run->sites, SITING_IN_KEEP_OUT), metal = count_out(&run->sites, SITING_NEAR_METAL);
    const size_t cable = count_out(&run->sites, SITING_CABLE_TOO_LONG);
    char number[HR_FIXED_MAX];
    if (keep_out + metal > 0) {
        hr_note(run->notes, NULL, 0, "%zu spots left out: %zu in a keep-out, %zu within metal_clearance (%s %s) of metal",
                keep_out + metal, keep_out, metal, hr_short(hr_units_from_metres(kind->metal_clearance_m, unit), 2, number),
                hr_units_length_name(unit));
    }
    if (cable > 0) {
        hr_note(run->notes, NULL, 0, "%zu spots left out: their cable is longer than cable_limit (%s %s) and strict = yes",
                cable, hr_short(hr_units_from_metres(kind->cable_limit_m, unit), 2, number), hr_units_length_name(unit));
    }
}

/* A cost for a label that no spot has is most likely misspelt. */
static void note_unused_costs(const siting_run *run)
{
    const hr_building *b = run->building;
    for (size_t i = 0; i < b->gateway_kind.spot_cost_count; i++) {
        size_t s = 0;
        while (s < b->spot_count && hr_casecmp(b->spots[s].label, b->gateway_kind.spot_costs[i].label) != 0) {
            s++;
        }
        if (s == b->spot_count) {
            hr_note(run->notes, b->file, 0, "spot_cost = %s: no spot has this label (generated spots have `corridor`)",
                    b->gateway_kind.spot_costs[i].label);
        }
    }
}

hr_status siting_check_sites(siting_run *run)
{
    const siting_sites *sites = &run->sites;
    size_t must = 0;
    note_left_out(run);
    note_unused_costs(run);
    for (size_t s = 0; s < sites->count; s++) {
        must += sites->items[s].must;
    }
    if (run->options->at_most > 0 && must > run->options->at_most) {
        return hr_fail(run->err, HR_ERR_INPUT, NULL, 0,
                       "--at-most %lu: %zu gateways are there already or asked for by --must; at least %zu was expected",
                       (unsigned long)run->options->at_most, must, must);
    }
    if (sites->count == 0) {
        return hr_fail(run->err, HR_ERR_INPUT, run->building->file, 0, "no place for a gateway: %s",
                       sites->out_count > 0
                           ? "every spot is left out by keep-out, metal_clearance, cable_limit or --never"
                           : "draw `spots`, or `corridors` with walls that spots can stand on");
    }
    return HR_OK;
}

hr_status hr_siting_place(const hr_building *building, const hr_siting_options *options, hr_notes *notes,
                          hr_siting **siting, hr_error *err)
{
    siting_run run;
    hr_status status = siting_run_start(building, options, true, notes, &run, err);
    if (status == HR_OK) {
        status = siting_check_sites(&run);
    }
    if (status == HR_OK) {
        status = siting_run_measure(&run);
    }
    if (status == HR_OK) {
        status = place_on(&run);
    }
    return siting_run_end(&run, status, siting);
}
