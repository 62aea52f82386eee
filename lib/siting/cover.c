/*
 * cover.c - the cover problem made from reach sets and rules, for the solver.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include <math.h>

/* Costs to a thousandth. */
#define COST_UNIT 1000.0

typedef struct cover {
    hr_placement_problem problem;
    uint8_t *state;
    uint32_t *capacity, *need, *cost;
} cover;

static void free_cover(cover *c)
{
    hr_free(c->state);
    hr_free(c->capacity);
    hr_free(c->need);
    hr_free(c->cost);
}

/* Columns are the reach sets, so that hops are plain cover. */
static hr_status make_cover(const siting_run *run, const siting_question *question, cover *c)
{
    const size_t rows = run->device_count, columns = run->sites.count;
    c->state = hr_alloc_zero(columns, sizeof *c->state);
    c->capacity = hr_alloc(columns, sizeof *c->capacity);
    c->need = hr_alloc(rows, sizeof *c->need);
    c->cost = hr_alloc_zero(columns, sizeof *c->cost);
    if (c->state == NULL || c->capacity == NULL || c->need == NULL || c->cost == NULL) {
        return hr_fail_memory(run->err);
    }
    for (size_t s = 0; s < columns; s++) {
        const siting_site *site = &run->sites.items[s];
        c->state[s] = site->must || (question->keep != NULL && question->keep[s]) ? HR_PLACEMENT_MUST : HR_PLACEMENT_FREE;
        c->capacity[s] = question->capacity > 0 ? question->capacity : run->limits.capacity;
        c->cost[s] = site->gateway != NULL ? 0 : (uint32_t)llround(siting_spot_cost(run->building, site->spot) * COST_UNIT);
    }
    for (size_t d = 0; d < rows; d++) {
        c->need[d] = question->need > 0 ? question->need : (uint32_t)run->building->radio.cover;
    }
    c->problem = (hr_placement_problem){.rows = rows,
                                        .columns = columns,
                                        .column_start = question->reach->start,
                                        .column_row = question->reach->device,
                                        .quality = question->reach->spare,
                                        .need = c->need,
                                        .state = c->state,
                                        .cost = c->cost,
                                        .capacity = c->capacity,
                                        .load = run->limits.load,
                                        .is_first = question->reach->direct};
    c->problem.first = question->loose_first ? 0 : (uint32_t)run->building->radio.first_devices;
    return HR_OK;
}

static bool pass_on(void *user, const char *stage, uint64_t done, uint64_t total, uint32_t best, uint32_t bound)
{
    const hr_siting_options *options = user;
    (void)best;
    (void)bound;
    return options->progress == NULL || options->progress(options->user, stage, done, total);
}

hr_status siting_solve(siting_run *run, const siting_question *question, hr_placement_result *result)
{
    cover c = {0};
    hr_siting_options options = *run->options;
    const hr_placement_options search = {.effort = question->effort > 0 ? question->effort : options.effort,
                                         .seconds = options.seconds,
                                         .at_most = question->at_most,
                                         .progress = pass_on,
                                         .user = &options};
    hr_status status = make_cover(run, question, &c);
    if (status == HR_OK) {
        status = hr_placement_solve(&c.problem, &search, result, run->err);
    }
    free_cover(&c);
    if (status == HR_OK) {
        status = siting_fill_budget(run, question, result);
        if (status != HR_OK) {
            hr_placement_result_free(result);
        }
    }
    return status;
}
