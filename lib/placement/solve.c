/*
 * solve.c - the order of the stages, and the result in the caller's terms.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_priv.h"

#include <string.h>

/* Percent of the effort: the full cover; with a budget, whether there is one within it. */
#define COVER_SHARE 75
#define DECIDE_SHARE 15

/* ---- the result ----------------------------------------------------------- */

void hr_placement_result_free(hr_placement_result *result)
{
    if (!result) {
        return;
    }
    hr_free(result->chosen);
    hr_free(result->short_rows);
    hr_free(result->uncovered);
    hr_free(result->assigned);
    hr_free(result->multipliers);
    *result = (hr_placement_result){0};
}

static bool list_chosen(const hr_placement_answer *answer, hr_placement_result *result)
{
    const hr_placement_problem *p = answer->base->problem;
    result->chosen = hr_alloc(p->columns + 1, sizeof *result->chosen);
    for (uint32_t c = 0; result->chosen && c < p->columns; c++) {
        if (answer->chosen[c]) {
            result->chosen[result->chosen_count++] = c;
            result->weight += hr_placement_weight(p, c);
        }
    }
    return result->chosen != NULL;
}

/* Rows nobody can serve as asked. */
static bool list_short(const hr_placement_base *base, hr_placement_result *result)
{
    const hr_placement_problem *p = base->problem;
    result->short_rows = hr_alloc(p->rows + 1, sizeof *result->short_rows);
    for (uint32_t r = 0; result->short_rows && r < p->rows; r++) {
        if (base->need[r] < (p->need ? p->need[r] : 1)) {
            result->short_rows[result->short_count++] = r;
        }
    }
    return result->short_rows != NULL;
}

static bool list_uncovered(const hr_placement_base *base, const hr_placement_assign *assign,
                           hr_placement_result *result)
{
    const hr_placement_model *m = base->whole;
    uint32_t *covered = hr_alloc_zero(base->problem->rows + 1, sizeof *covered);
    result->uncovered = hr_alloc((size_t)m->rows + 1, sizeof *result->uncovered);
    const bool ok = covered && result->uncovered;
    for (size_t i = 0; ok && i < result->chosen_count; i++) {
        const size_t c = result->chosen[i];
        for (size_t e = base->problem->column_start[c]; e < base->problem->column_start[c + 1]; e++) {
            covered[base->problem->column_row[e]]++;
        }
    }
    for (uint32_t r = 0; ok && r < m->rows; r++) {
        if (covered[m->row_id[r]] < m->need[r] || (assign && assign->server[r] == HR_PLACEMENT_NONE)) {
            result->uncovered[result->uncovered_count++] = m->row_id[r];
        }
    }
    hr_free(covered);
    return ok;
}

static bool list_assigned(const hr_placement_base *base, hr_placement_assign *assign, const uint8_t *chosen,
                          hr_placement_result *result)
{
    const hr_placement_model *m = base->whole;
    uint8_t *local = hr_alloc((size_t)m->columns + 1, 1);
    result->assigned = hr_alloc(base->problem->rows + 1, sizeof *result->assigned);
    if (!local || !result->assigned) {
        hr_free(local);
        return false;
    }
    for (uint32_t c = 0; c < m->columns; c++) {
        local[c] = chosen[m->column_id[c]];
    }
    hr_placement_assign_rows(assign, local);
    memset(result->assigned, 0xff, base->problem->rows * sizeof *result->assigned);
    for (uint32_t r = 0; r < m->rows; r++) {
        if (assign->server[r] != HR_PLACEMENT_NONE) {
            result->assigned[m->row_id[r]] = m->column_id[assign->server[r]];
        }
    }
    hr_free(local);
    return true;
}

/* The multipliers, if in whole numbers they prove the bound by themselves. */
static bool certify(const hr_placement_answer *answer, hr_placement_result *result)
{
    const hr_placement_base *base = answer->base;
    const hr_placement_model *m = base->model;
    int64_t *all = hr_alloc_zero(base->problem->rows + 1, sizeof *all);
    int64_t *own = hr_alloc((size_t)m->rows + 1, sizeof *own);
    if (!all || !own) {
        hr_free(all);
        hr_free(own);
        return false;
    }
    hr_placement_bound_exact(m, answer->u, own, NULL);
    for (uint32_t r = 0; r < m->rows; r++) {
        all[m->row_id[r]] = own[r];
    }
    hr_free(own);
    if (hr_placement_check_bound(base->problem, all) == result->lower_bound) {
        result->multipliers = all;
    } else {
        hr_free(all);
    }
    return true;
}

static bool fill(const hr_placement_answer *answer, const hr_placement_run *run, hr_placement_result *result)
{
    const hr_placement_base *base = answer->base;
    hr_placement_assign assign = {0};
    const bool limited = base->problem->capacity != NULL;
    bool ok = !limited || hr_placement_assign_start(&assign, base);
    result->lower_bound = answer->lower * base->divisor;
    ok = ok && list_chosen(answer, result) && list_short(base, result) && certify(answer, result);
    ok = ok && (!limited || list_assigned(base, &assign, answer->chosen, result));
    ok = ok && list_uncovered(base, limited ? &assign : NULL, result);
    hr_placement_assign_end(&assign);
    const size_t covered = base->whole->rows - result->uncovered_count;
    result->covered_bound = answer->covered_bound;
    result->proved = run->options->at_most ? covered == result->covered_bound
                                           : result->uncovered_count == 0 && result->weight == result->lower_bound;
    result->clock_stopped = run->clock_stopped;
    result->steps = run->entries / HR_PLACEMENT_ENTRIES_PER_STEP;
    return ok;
}

/* ---- the stages ----------------------------------------------------------- */

static bool run_cover(hr_placement_run *run, const hr_placement_answer *answer, hr_placement_cover_job *job)
{
    const uint32_t at_most = run->options->at_most;
    const size_t must = answer->base->must_count;
    if (run->options->greedy_only) {
        return hr_placement_cover_quick(run, job);
    }
    if (at_most > 0 && hr_placement_all_alike(answer->base->problem)) {
        /* is a full cover within the budget at all? Only then the least one is sought */
        job->decide = true;
        job->want = at_most - must;
        job->effort = run->total / 100 * DECIDE_SHARE;
        if (!hr_placement_cover(run, job)) {
            return false;
        }
        if (job->upper > job->want) {
            return true;
        }
        job->decide = false;
    }
    job->effort = run->total / 100 * COVER_SHARE;
    return hr_placement_cover(run, job);
}

/* A full cover of least weight, capacities apart. */
static bool cover_stage(hr_placement_run *run, hr_placement_answer *answer)
{
    const hr_placement_base *base = answer->base;
    const hr_placement_model *m = base->model;
    hr_placement_cover_job job = {.model = m, .u = answer->u};
    job.chosen = hr_alloc((size_t)m->columns + 1, 1);
    if (!job.chosen) {
        run->no_memory = true;
        return false;
    }
    run->show_add = base->must_weight;
    run->show_times = base->divisor;
    const bool ok = run_cover(run, answer, &job);
    if (ok) {
        memcpy(answer->chosen, base->must, base->problem->columns);
        for (uint32_t c = 0; c < m->columns; c++) {
            answer->chosen[m->column_id[c]] |= job.chosen[c];
        }
        answer->lower = base->must_weight + job.lower;
    }
    hr_free(job.chosen);
    return ok;
}

/* Does the budget bite? Then what it allows is found, and how much it could allow. */
static bool budget_stage(hr_placement_run *run, hr_placement_answer *answer)
{
    const hr_placement_problem *p = answer->base->problem;
    const uint32_t at_most = run->options->at_most;
    size_t count = 0;
    for (size_t c = 0; c < p->columns; c++) {
        count += answer->chosen[c];
    }
    if (at_most == 0 || count <= at_most) {
        return true;
    }
    if (!hr_placement_budget(run, answer, at_most)) {
        return false;
    }
    if (hr_placement_all_alike(p) && answer->lower > at_most && answer->covered_bound == answer->base->whole->rows) {
        answer->covered_bound--; /* all of them would take more */
    }
    return true;
}

/* The shares leave something for every stage; what one does not use the next ones have. */
static bool run_stages(hr_placement_run *run, hr_placement_answer *answer)
{
    if (!cover_stage(run, answer)) {
        return false;
    }
    answer->covered_bound = answer->base->whole->rows;
    if (answer->base->problem->capacity && !hr_placement_fit(run, answer)) {
        return false;
    }
    if (!budget_stage(run, answer)) {
        return false;
    }
    uint32_t served = 0;
    if (!hr_placement_count_served(answer->base, answer->chosen, &served)) {
        return false;
    }
    /* where weights differ no more weight may still be more columns: then only swaps keep the budget */
    const bool full = served == answer->base->whole->rows &&
                      (run->options->at_most == 0 || hr_placement_all_alike(answer->base->problem));
    return run->options->greedy_only || hr_placement_improve(run, answer, full);
}

static hr_status check_options(const hr_placement_base *base, const hr_placement_options *options, hr_error *err)
{
    if (options->at_most && base->must_count > options->at_most) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "%zu columns must be chosen but at most %lu may be",
                       base->must_count, (unsigned long)options->at_most);
    }
    return HR_OK;
}

static hr_status solve_base(const hr_placement_base *base, const hr_placement_options *options,
                            hr_placement_result *result, hr_error *err)
{
    const hr_status status = check_options(base, options, err);
    if (status != HR_OK) {
        return status;
    }
    hr_placement_run run;
    hr_placement_run_start(&run, options);
    hr_placement_answer answer = {.base = base};
    answer.chosen = hr_alloc_zero(base->problem->columns + 1, 1);
    answer.u = hr_alloc_zero((size_t)base->model->rows + 1, sizeof *answer.u);
    hr_placement_result made = {0};
    bool ok = answer.chosen && answer.u && run_stages(&run, &answer);
    ok = ok && !run.interrupted && fill(&answer, &run, &made);
    hr_free(answer.chosen);
    hr_free(answer.u);
    if (ok) {
        *result = made;
        return HR_OK;
    }
    hr_placement_result_free(&made);
    return run.interrupted ? hr_fail(err, HR_ERR_INTERRUPTED, NULL, 0, "the search for gateways was interrupted")
                           : hr_fail_memory(err);
}

hr_status hr_placement_solve(const hr_placement_problem *problem, const hr_placement_options *options,
                             hr_placement_result *result, hr_error *err)
{
    static const hr_placement_options defaults = {0};
    if (!problem || !result) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "a placement needs a problem and a result");
    }
    hr_status status = hr_placement_check(problem, err);
    hr_placement_base base;
    if (status == HR_OK) {
        status = hr_placement_base_make(problem, &base, err);
    }
    if (status == HR_OK) {
        status = solve_base(&base, options ? options : &defaults, result, err);
        hr_placement_base_free(&base);
    }
    return status;
}
