/*
 * holds.c - gateways placed on nominal values, for each count.
 *
 * With fewer than it takes: the sites that serve most. With more: the sites
 * that leave every link the most margin on top, in steps of half a decibel,
 * and what is left over where it helps most at the next step.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_priv.h"

#include <stdlib.h>
#include <string.h>

#define STEP ((int64_t)500000) /* micro-dB */
#define STEPS_MAX 60
#define FILL_STEPS 40
/* Counts looked at beside the nominal one. */
#define BELOW 2

void estimate_free_sets(estimate_sets *sets)
{
    for (size_t i = 0; i < sets->count; i++) {
        hr_free(sets->sites[i]);
    }
    hr_free(sets->shares);
    *sets = (estimate_sets){0};
}

/* Nominal links with `less` taken off every spare of the way to a gateway. */
static hr_status set_nominal(estimate_run *run, int64_t less)
{
    estimate_nominal_draw(run);
    hr_status status = estimate_weigh(run);
    if (status != HR_OK || less == 0) {
        return status;
    }
    for (size_t i = 0; i < run->site_count * run->row_count; i++) {
        run->spare[i] = run->spare[i] == INT64_MIN ? INT64_MIN : run->spare[i] - less;
    }
    const hr_study_links links = {.spare = run->spare,
                                  .link_start = run->link_start,
                                  .link_peer = run->link_peer,
                                  .link_spare = run->link_spare};
    return hr_siting_study_set(run->study, &links, NULL, run->err);
}

/* The site that serves most rows which no chosen one serves with `less` taken off; none helps: site_count. */
static uint32_t best_addition(const estimate_run *run, const uint32_t *chosen, size_t count, int64_t less, uint8_t *served)
{
    memset(served, 0, run->row_count);
    for (size_t i = 0; i < count; i++) {
        for (size_t r = 0; r < run->row_count; r++) {
            served[r] |= run->spare[chosen[i] * run->row_count + r] >= less;
        }
    }
    uint32_t best = (uint32_t)run->site_count;
    size_t most = 0;
    for (uint32_t s = 0; s < run->site_count; s++) {
        size_t gain = 0;
        for (size_t r = 0; r < run->row_count; r++) {
            gain += !served[r] && run->spare[s * run->row_count + r] >= less;
        }
        if (gain > most) {
            most = gain;
            best = s;
        }
    }
    return best;
}

static int compare_sites(const void *left, const void *right)
{
    const uint32_t *a = left, *b = right;
    return (*a > *b) - (*a < *b);
}

/* Brings a set up to `want` sites; false in *full where nothing helps any more. */
static hr_status fill_up(estimate_run *run, uint32_t *sites, size_t *count, size_t want, int64_t less)
{
    uint8_t *served = hr_alloc(run->row_count, 1);
    if (served == NULL) {
        return hr_fail_memory(run->err);
    }
    const int64_t last = less + FILL_STEPS * STEP;
    while (*count < want && less <= last) {
        const uint32_t added = best_addition(run, sites, *count, less, served);
        if (added == run->site_count) {
            less += STEP;
        } else {
            sites[(*count)++] = added;
        }
    }
    for (uint32_t s = 0; *count < want && s < run->site_count; s++) { /* no help, but asked for */
        bool taken = false;
        for (size_t i = 0; i < *count; i++) {
            taken = taken || sites[i] == s;
        }
        if (!taken) {
            sites[(*count)++] = s;
        }
    }
    hr_free(served);
    if (*count > 1) {
        qsort(sites, *count, sizeof *sites, compare_sites);
    }
    return HR_OK;
}

/* Sets with more than it takes: sites placed with more and more margin asked for. */
static hr_status make_larger(estimate_run *run, estimate_sets *sets)
{
    const size_t nominal = run->out->nominal, last = sets->low + sets->count - 1;
    int64_t *steps = hr_alloc_zero(sets->count, sizeof *steps);
    hr_status status = steps == NULL ? hr_fail_memory(run->err) : HR_OK;
    for (int i = 1; status == HR_OK && i <= STEPS_MAX; i++) {
        size_t count = 0;
        if (!estimate_progress(run, "placing on nominal values", (uint64_t)i, STEPS_MAX)) {
            status = estimate_interrupted(run->err);
            break;
        }
        status = set_nominal(run, i * STEP);
        if (status == HR_OK) {
            status = hr_siting_study_place(run->study, 0, ESTIMATE_DRAW_EFFORT, run->chosen, &count, NULL, run->err);
        }
        if (status != HR_OK || count > last || estimate_unreached(run) > run->out->unreached_nominal) {
            break; /* devices that only a thin link reaches: no more margin to be had for all */
        }
        if (count >= nominal && count >= sets->low) {
            memcpy(sets->sites[count - sets->low], run->chosen, count * sizeof *run->chosen);
            steps[count - sets->low] = i * STEP;
        }
    }
    if (status == HR_OK) {
        status = set_nominal(run, 0);
    }
    for (size_t k = nominal + 1; status == HR_OK && k <= last; k++) {
        const size_t at = k - sets->low;
        if (steps[at] > steps[at - 1]) {
            continue;
        }
        size_t count = k - 1;
        memcpy(sets->sites[at], sets->sites[at - 1], count * sizeof *run->chosen);
        steps[at] = steps[at - 1];
        status = fill_up(run, sets->sites[at], &count, k, steps[at] + STEP);
    }
    hr_free(steps);
    return status;
}

hr_status estimate_make_sets(estimate_run *run, estimate_sets *sets)
{
    const size_t nominal = run->out->nominal;
    size_t last = 2 * nominal + 6;
    last = last > run->site_count ? run->site_count : last;
    size_t existing = 0;
    for (size_t s = 0; s < run->site_count; s++) {
        existing += run->sites[s].existing;
    }
    sets->low = nominal > BELOW + 1 ? nominal - BELOW : 1;
    sets->low = sets->low < existing ? existing : sets->low;
    size_t wanted = last + 1 - sets->low;
    wanted = wanted > ESTIMATE_SETS_MAX ? ESTIMATE_SETS_MAX : wanted;
    for (size_t i = 0; i < wanted; i++) {
        sets->sites[i] = hr_alloc(sets->low + i, sizeof *sets->sites[i]);
        if (sets->sites[i] == NULL) {
            return hr_fail_memory(run->err);
        }
        sets->count++;
    }
    memcpy(sets->sites[nominal - sets->low], run->chosen, nominal * sizeof *run->chosen);
    hr_status status = set_nominal(run, 0);
    for (size_t k = sets->low; status == HR_OK && k < nominal; k++) {
        size_t count = 0;
        status = hr_siting_study_place(run->study, (uint32_t)k, ESTIMATE_SIDE_EFFORT, run->chosen, &count, NULL, run->err);
        if (status == HR_OK) {
            memcpy(sets->sites[k - sets->low], run->chosen, count * sizeof *run->chosen);
            status = fill_up(run, sets->sites[k - sets->low], &count, k, 0);
        }
    }
    if (status == HR_OK) {
        status = make_larger(run, sets);
    }
    sets->shares = hr_alloc(run->out->draws, (sets->count + 1) * sizeof *sets->shares);
    return status == HR_OK && sets->shares == NULL ? hr_fail_memory(run->err) : status;
}
