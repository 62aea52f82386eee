/*
 * budget.c - a budget of gateways used to the end. The solver's budget is one
 * of coverage: where capacity binds, few reach sets cover everybody and serve
 * but some. What is left of the budget goes where most are without a gateway.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include <stdlib.h>

typedef struct filling {
    const siting_run *run;
    const siting_question *question;
    uint8_t *taken;   /* per site */
    uint8_t *waiting; /* per row: in some reach set, served by nobody */
    size_t waiting_count;
} filling;

static uint32_t capacity_of(const filling *f)
{
    return f->question->capacity > 0 ? f->question->capacity : f->run->limits.capacity;
}

/* Rows that the site would take, in order, until it is full; `take` takes them. */
static size_t fill_site(filling *f, uint32_t site, bool take)
{
    const hr_mesh_reach *reach = f->question->reach;
    uint32_t room = capacity_of(f);
    size_t count = 0;
    for (size_t e = reach->start[site]; e < reach->start[site + 1]; e++) {
        const uint32_t row = reach->device[e], load = f->run->limits.load[row];
        if (f->waiting[row] && load <= room) {
            room -= load;
            count++;
            f->waiting[row] = !take;
        }
    }
    f->waiting_count -= take ? count : 0;
    return count;
}

static bool add_best_site(filling *f)
{
    uint32_t best = HR_SITING_NONE;
    size_t most = 0;
    for (uint32_t s = 0; s < f->run->sites.count; s++) {
        const size_t count = f->taken[s] ? 0 : fill_site(f, s, false);
        if (count > most) {
            most = count;
            best = s;
        }
    }
    if (best != HR_SITING_NONE) {
        f->taken[best] = 1;
        (void)fill_site(f, best, true);
    }
    return best != HR_SITING_NONE;
}

/* Who waits: in some reach set, assigned to nobody. Returns how many are in any. */
static size_t find_waiting(filling *f, const hr_placement_result *result)
{
    const hr_mesh_reach *reach = f->question->reach;
    size_t reached = 0;
    for (size_t e = 0; e < reach->start[f->run->sites.count]; e++) {
        f->waiting[reach->device[e]] = 1;
    }
    for (size_t row = 0; row < f->run->device_count; row++) {
        reached += f->waiting[row];
        f->waiting[row] = f->waiting[row] && result->assigned[row] == UINT32_MAX;
        f->waiting_count += f->waiting[row];
    }
    return reached;
}

static hr_status take_over(filling *f, size_t reached, hr_placement_result *result)
{
    uint32_t *chosen = hr_alloc(f->run->sites.count, sizeof *chosen);
    uint32_t *uncovered = hr_alloc(f->waiting_count, sizeof *uncovered);
    if (chosen == NULL || uncovered == NULL) {
        hr_free(chosen);
        hr_free(uncovered);
        return hr_fail_memory(f->run->err);
    }
    hr_free(result->chosen);
    hr_free(result->uncovered);
    result->chosen = chosen;
    result->uncovered = uncovered;
    result->chosen_count = result->uncovered_count = 0;
    for (uint32_t s = 0; s < f->run->sites.count; s++) {
        if (f->taken[s]) {
            chosen[result->chosen_count++] = s;
        }
    }
    for (uint32_t row = 0; row < f->run->device_count; row++) {
        if (f->waiting[row]) {
            uncovered[result->uncovered_count++] = row;
        }
    }
    result->proved = reached - f->waiting_count == result->covered_bound;
    return HR_OK;
}

hr_status siting_fill_budget(siting_run *run, const siting_question *question, hr_placement_result *result)
{
    if (result->assigned == NULL || result->uncovered_count == 0 || result->chosen_count >= question->at_most) {
        return HR_OK;
    }
    filling f = {.run = run, .question = question};
    f.taken = hr_alloc_zero(run->sites.count, 1);
    f.waiting = hr_alloc_zero(run->device_count, 1);
    hr_status status = f.taken == NULL || f.waiting == NULL ? hr_fail_memory(run->err) : HR_OK;
    if (status == HR_OK) {
        for (size_t i = 0; i < result->chosen_count; i++) {
            f.taken[result->chosen[i]] = 1;
        }
        const size_t reached = find_waiting(&f, result);
        size_t count = result->chosen_count;
        while (count < question->at_most && f.waiting_count > 0 && add_best_site(&f)) {
            count++;
        }
        status = count > result->chosen_count ? take_over(&f, reached, result) : HR_OK;
    }
    hr_free(f.taken);
    hr_free(f.waiting);
    return status;
}
