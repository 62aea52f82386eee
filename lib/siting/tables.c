/*
 * tables.c - figures beside the answer: what each gateway is for, what fewer
 * gateways would serve, what another max_slabs would need.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

/* Steps for all the searches of a table together; the answer's own search has its own. */
#define TABLE_EFFORT ((uint64_t)500000)
#define LEAST_EFFORT ((uint64_t)20000)

static size_t served_rooms(const hr_siting *siting)
{
    size_t served = 0;
    for (size_t r = 0; r < siting->room_count; r++) {
        served += siting->rooms[r].served;
    }
    return served;
}

/* ---- what each gateway is for ---- */

static bool is_site(const siting_site *site, const hr_sited_gateway *gateway)
{
    return site->gateway != NULL ? site->gateway->id == gateway->id : site->spot->id == gateway->spot;
}

/* The device of the room that joins a gateway for it. */
static uint32_t joining_parent(const siting_run *run, uint32_t device)
{
    const hr_building *b = run->building;
    uint32_t at = device;
    for (size_t steps = 0; steps < b->kind_count && b->kinds[b->devices[at].kind].joins != HR_JOINS_GATEWAY &&
                           run->siting->devices[at].via != HR_SITING_NONE;
         steps++) {
        at = run->siting->devices[at].via;
    }
    return at;
}

/* Radios in reach of this site and of no other gateway. */
static hr_status count_only_it(const siting_run *run, uint32_t site, size_t *count)
{
    uint8_t *reached = hr_alloc_zero(run->siting->device_count, 1);
    if (reached == NULL) {
        return hr_fail_memory(run->err);
    }
    for (size_t e = run->reach.start[site]; e < run->reach.start[site + 1]; e++) {
        reached[run->devices[run->reach.device[e]]] = 1;
    }
    *count = 0;
    for (uint32_t i = 0; i < run->siting->device_count; i++) {
        *count += run->siting->devices[i].in_reach == 1 && reached[joining_parent(run, i)];
    }
    hr_free(reached);
    return HR_OK;
}

static hr_status give_reason(siting_run *run, const uint32_t *chosen, size_t count, size_t left_out, uint32_t *rest,
                             hr_gateway_reason *reason)
{
    for (size_t i = 0; i + 1 < count; i++) {
        rest[i] = chosen[i < left_out ? i : i + 1];
    }
    hr_siting *without = NULL;
    hr_status status = siting_assess_aside(run, rest, count - 1, &without);
    if (status == HR_OK) {
        status = count_only_it(run, chosen[left_out], &reason->only_it);
    }
    if (status == HR_OK) {
        const size_t served = without->served_devices, rooms = served_rooms(without), all_rooms = served_rooms(run->siting);
        reason->devices_lost = run->siting->served_devices > served ? run->siting->served_devices - served : 0;
        reason->rooms_lost = all_rooms > rooms ? all_rooms - rooms : 0;
        reason->smallest_spare_db = siting_smallest_spare_db(without);
    }
    hr_siting_free(without);
    return status;
}

hr_status siting_check_backup(siting_run *run, const uint32_t *chosen, size_t count)
{
    uint32_t *rest = hr_alloc(count, sizeof *rest);
    hr_status status = rest == NULL ? hr_fail_memory(run->err) : HR_OK;
    size_t most = 0, worst = 0;
    for (size_t i = 0; status == HR_OK && i < count; i++) {
        hr_gateway_reason reason;
        status = give_reason(run, chosen, count, i, rest, &reason);
        /* who is in reach of no other gateway has a warning of its own */
        if (status == HR_OK && reason.devices_lost > reason.only_it + most) {
            most = reason.devices_lost - reason.only_it;
            worst = i;
        }
    }
    for (size_t g = 0; most > 0 && status == HR_OK && g < run->siting->gateway_count; g++) {
        if (is_site(&run->sites.items[chosen[worst]], &run->siting->gateways[g])) {
            hr_note(run->notes, NULL, 0,
                    "cover = %ld: without %s %zu devices find the other gateways in reach full: raise capacity or "
                    "max_children, or add gateways",
                    run->building->radio.cover, run->siting->gateways[g].id, most);
        }
    }
    hr_free(rest);
    return status;
}

hr_status siting_give_reasons(siting_run *run, const uint32_t *chosen, size_t count)
{
    hr_siting *siting = run->siting;
    uint32_t *rest = hr_alloc(count, sizeof *rest);
    siting->reasons = hr_alloc_zero(siting->gateway_count, sizeof *siting->reasons);
    hr_status status = rest == NULL || siting->reasons == NULL ? hr_fail_memory(run->err) : HR_OK;
    for (size_t i = 0; status == HR_OK && i < count; i++) {
        for (size_t g = 0; status == HR_OK && g < siting->gateway_count; g++) {
            if (is_site(&run->sites.items[chosen[i]], &siting->gateways[g])) {
                status = give_reason(run, chosen, count, i, rest, &siting->reasons[g]);
            }
        }
    }
    hr_free(rest);
    return status;
}

/* ---- fewer gateways ---- */

static void fill_count_row(const siting_run *run, const hr_siting *siting, size_t gateways, hr_count_row *row)
{
    *row = (hr_count_row){.gateways = gateways,
                          .devices_served = siting->served_devices,
                          .smallest_spare_db = siting_smallest_spare_db(siting),
                          .expected_failing_rooms = siting->expected_failing_rooms};
    for (size_t i = 0; i < siting->device_count; i++) {
        row->devices_covered += siting->devices[i].served && (long)siting->devices[i].in_reach >= run->building->radio.cover;
    }
}

static hr_status assess_count(siting_run *run, const hr_placement_result *result, size_t gateways, hr_count_row *row)
{
    hr_siting *aside = NULL;
    const hr_status status = siting_assess_aside(run, result->chosen, result->chosen_count, &aside);
    if (status == HR_OK) {
        fill_count_row(run, aside, gateways, row);
    }
    hr_siting_free(aside);
    return status;
}

/* One gateway each first; what then is left of the number goes into `cover`. */
static hr_status count_row(siting_run *run, uint32_t at_most, uint64_t effort, hr_count_row *row)
{
    siting_question question = {.reach = &run->reach, .at_most = at_most, .effort = effort, .need = 1};
    hr_placement_result single = {0}, result = {0};
    uint8_t *keep = hr_alloc_zero(run->sites.count, 1);
    hr_status status = keep == NULL ? hr_fail_memory(run->err) : siting_solve(run, &question, &single);
    const bool more = status == HR_OK && run->building->radio.cover > 1 && single.chosen_count < at_most;
    for (size_t i = 0; i < single.chosen_count; i++) {
        keep[single.chosen[i]] = 1;
    }
    if (more) {
        question.need = 0;
        question.keep = keep;
        status = siting_solve(run, &question, &result);
    }
    if (status == HR_OK) {
        status = assess_count(run, more ? &result : &single, at_most, row);
    }
    hr_placement_result_free(&single);
    hr_placement_result_free(&result);
    hr_free(keep);
    return status;
}

static uint64_t effort_each(const siting_run *run, size_t searches)
{
    const uint64_t all = run->options->effort > 0 && run->options->effort < TABLE_EFFORT ? run->options->effort : TABLE_EFFORT;
    const uint64_t each = all / searches;
    return each > LEAST_EFFORT ? each : LEAST_EFFORT;
}

hr_status siting_count_table(siting_run *run, const uint32_t *chosen, size_t count)
{
    hr_siting *siting = run->siting;
    size_t first = 0;
    for (size_t i = 0; i < count; i++) {
        first += run->sites.items[chosen[i]].must;
    }
    first = first == 0 ? 1 : first;
    if (count < first) {
        return HR_OK;
    }
    siting->by_count = hr_alloc(count - first + 1, sizeof *siting->by_count);
    if (siting->by_count == NULL) {
        return hr_fail_memory(run->err);
    }
    const uint64_t effort = effort_each(run, count - first + 1);
    for (size_t k = first; k < count; k++) {
        const hr_status status = count_row(run, (uint32_t)k, effort, &siting->by_count[siting->by_count_count]);
        if (status != HR_OK) {
            return status;
        }
        siting->by_count_count++;
    }
    fill_count_row(run, siting, count, &siting->by_count[siting->by_count_count++]);
    return HR_OK;
}

/* ---- other limits on slabs ---- */

static hr_status slab_row(siting_run *run, long max_slabs, hr_slab_row *row)
{
    hr_mesh_reach reach = {0};
    hr_placement_result result = {0};
    hr_status status = siting_net_entries(&run->net, max_slabs, run->err);
    if (status == HR_OK) {
        status = hr_mesh_reach_all(&run->net.mesh, &reach, run->err);
    }
    if (status == HR_OK) {
        const siting_question question = {.reach = &reach, .effort = effort_each(run, SITING_SLABS_SHOWN - 1)};
        status = siting_solve(run, &question, &result);
    }
    if (status == HR_OK) {
        size_t unserved = result.uncovered_count;
        for (size_t i = 0; i < result.short_count; i++) {
            size_t e = 0;
            while (e < reach.start[run->sites.count] && reach.device[e] != result.short_rows[i]) {
                e++;
            }
            unserved += e == reach.start[run->sites.count]; /* short of a second gateway is served all the same */
        }
        *row = (hr_slab_row){.max_slabs = max_slabs,
                             .gateways = result.chosen_count,
                             .lower_bound = result.lower_bound,
                             .proved_fewest = result.proved,
                             .in_force = max_slabs == run->building->radio.max_slabs,
                             .unserved = unserved};
    }
    hr_mesh_reach_free(&reach);
    hr_placement_result_free(&result);
    return status;
}

/* The limit in force has the answer itself, which was searched for with more effort. */
static void take_answer(const siting_run *run, hr_slab_row *row)
{
    size_t unserved = 0;
    for (size_t i = 0; i < run->device_count; i++) {
        unserved += !run->siting->devices[run->devices[i]].served;
    }
    *row = (hr_slab_row){.max_slabs = run->building->radio.max_slabs,
                         .gateways = run->siting->gateway_count,
                         .lower_bound = run->siting->lower_bound,
                         .proved_fewest = run->siting->proved_fewest,
                         .in_force = true,
                         .unserved = unserved};
}

/* The answer is settled before: what this leaves in the run is of no more use. */
hr_status siting_slab_table(siting_run *run)
{
    hr_siting *siting = run->siting;
    if (run->building->storey_count < 2) {
        return HR_OK;
    }
    siting->by_slabs = hr_alloc(SITING_SLABS_SHOWN, sizeof *siting->by_slabs);
    if (siting->by_slabs == NULL) {
        return hr_fail_memory(run->err);
    }
    for (long slabs = 0; slabs < SITING_SLABS_SHOWN; slabs++) {
        hr_slab_row *row = &siting->by_slabs[slabs];
        hr_status status = HR_OK;
        if (slabs == run->building->radio.max_slabs && siting->at_most == 0) {
            take_answer(run, row);
        } else {
            status = slab_row(run, slabs, row);
        }
        if (status != HR_OK) {
            return status;
        }
        siting->by_slabs_count++;
    }
    return HR_OK;
}
