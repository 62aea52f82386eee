/*
 * base.c - the caller's problem checked and brought down to what is to be
 * decided: who may be chosen, what can be met, what the must columns leave.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_priv.h"

#include <string.h>

static hr_status check_sizes(const hr_placement_problem *p, hr_error *err)
{
    if (!p->column_start || (p->columns > 0 && p->column_start[p->columns] > 0 && !p->column_row)) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "the columns of the placement problem are missing");
    }
    if (p->rows >= UINT32_MAX / 2 || p->columns >= UINT32_MAX / 2 || p->column_start[0] != 0 ||
        p->column_start[p->columns] >= UINT32_MAX) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0,
                       "a placement problem of %zu rows and %zu columns is out of range (below 2^31 each, fewer than "
                       "2^32 entries)",
                       p->rows, p->columns);
    }
    for (size_t c = 0; c < p->columns; c++) {
        if (p->column_start[c] > p->column_start[c + 1]) {
            return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "column %zu of the placement problem ends before it starts",
                           c);
        }
    }
    return HR_OK;
}

static hr_status check_column(const hr_placement_problem *p, size_t c, hr_error *err)
{
    for (size_t e = p->column_start[c]; e < p->column_start[c + 1]; e++) {
        if (p->column_row[e] >= p->rows || (e > p->column_start[c] && p->column_row[e] <= p->column_row[e - 1])) {
            return hr_fail(
                err, HR_ERR_ARGUMENT, NULL, 0,
                "column %zu of the placement problem: its rows must be ascending, without repeats and below %zu", c,
                p->rows);
        }
    }
    const uint32_t weight = hr_placement_weight(p, c);
    if (weight < 1 || weight > HR_PLACEMENT_WEIGHT_MAX) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0,
                       "column %zu of the placement problem weighs %lu, expected 1 to %lu", c, (unsigned long)weight,
                       (unsigned long)HR_PLACEMENT_WEIGHT_MAX);
    }
    if (p->state && p->state[c] > HR_PLACEMENT_NEVER) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "column %zu of the placement problem has the unknown state %d", c,
                       (int)p->state[c]);
    }
    return HR_OK;
}

hr_status hr_placement_check(const hr_placement_problem *problem, hr_error *err)
{
    hr_status status = check_sizes(problem, err);
    for (size_t c = 0; status == HR_OK && c < problem->columns; c++) {
        status = check_column(problem, c, err);
    }
    return status;
}

uint32_t hr_placement_divisor(const hr_placement_problem *problem)
{
    uint32_t divisor = 0;
    for (size_t c = 0; c < problem->columns && divisor != 1; c++) {
        uint32_t a = hr_placement_weight(problem, c), b = divisor;
        while (b > 0) {
            const uint32_t rest = a % b;
            a = b;
            b = rest;
        }
        divisor = a;
    }
    return divisor ? divisor : 1;
}

bool hr_placement_all_alike(const hr_placement_problem *problem)
{
    for (size_t c = 1; problem->weight && c < problem->columns; c++) {
        if (problem->weight[c] != problem->weight[0]) {
            return false;
        }
    }
    return true;
}

/* The first rule: enough rows of the direct kind, or all of its own if fewer. */
static bool keeps_first_rule(const hr_placement_problem *p, size_t c)
{
    const size_t all = p->column_start[c + 1] - p->column_start[c];
    size_t direct = all;
    if (p->is_first) {
        direct = 0;
        for (size_t e = p->column_start[c]; e < p->column_start[c + 1]; e++) {
            direct += p->is_first[e] != 0;
        }
    }
    return direct >= (all < p->first ? all : p->first);
}

void hr_placement_open(const hr_placement_problem *problem, uint8_t *open, uint32_t *need)
{
    memset(need, 0, problem->rows * sizeof *need);
    for (size_t c = 0; c < problem->columns; c++) {
        const uint8_t state = problem->state ? problem->state[c] : HR_PLACEMENT_FREE;
        open[c] = state == HR_PLACEMENT_MUST || (state == HR_PLACEMENT_FREE && keeps_first_rule(problem, c));
        for (size_t e = problem->column_start[c]; open[c] && e < problem->column_start[c + 1]; e++) {
            need[problem->column_row[e]]++;
        }
    }
    for (size_t r = 0; r < problem->rows; r++) {
        const uint32_t wanted = problem->need ? problem->need[r] : 1;
        need[r] = wanted < need[r] ? wanted : need[r];
    }
}

/* The caller's columns as a model; row and column ids are the caller's own. */
static hr_placement_model *whole_model(const hr_placement_problem *p, const uint32_t *need, uint32_t divisor)
{
    hr_placement_model *m =
        hr_placement_model_new((uint32_t)p->rows, (uint32_t)p->columns, (uint32_t)p->column_start[p->columns]);
    if (!m) {
        return NULL;
    }
    for (uint32_t c = 0; c < m->columns; c++) {
        m->column_start[c + 1] = (uint32_t)p->column_start[c + 1];
        m->column_id[c] = c;
        m->weight[c] = hr_placement_weight(p, c) / divisor;
    }
    if (m->entries > 0) {
        memcpy(m->column_row, p->column_row, m->entries * sizeof(uint32_t));
    }
    for (uint32_t r = 0; r < m->rows; r++) {
        m->row_id[r] = r;
        m->need[r] = need[r];
    }
    hr_placement_model_transpose(m);
    return m;
}

/* Takes the must columns off the needs and off the columns to choose from. */
static bool make_model(hr_placement_base *base)
{
    const hr_placement_problem *p = base->problem;
    uint32_t *lack = hr_alloc(p->rows + 1, sizeof *lack);
    uint8_t *kept = hr_alloc(p->columns + 1, 1);
    hr_placement_model *all = whole_model(p, base->need, base->divisor);
    if (lack && kept && all) {
        base->whole = hr_placement_model_cut(all, base->need, base->open);
        memcpy(lack, base->need, p->rows * sizeof *lack);
        for (size_t c = 0; c < p->columns; c++) {
            base->must[c] = p->state && p->state[c] == HR_PLACEMENT_MUST;
            kept[c] = base->open[c] && !base->must[c];
            if (!base->must[c]) {
                continue;
            }
            base->must_count++;
            base->must_weight += hr_placement_weight(p, c) / base->divisor;
            for (size_t e = p->column_start[c]; e < p->column_start[c + 1]; e++) {
                lack[p->column_row[e]] -= lack[p->column_row[e]] > 0;
            }
        }
        base->model = hr_placement_model_cut(all, lack, kept);
    }
    hr_placement_model_free(all);
    hr_free(lack);
    hr_free(kept);
    return base->whole && base->model;
}

hr_status hr_placement_base_make(const hr_placement_problem *problem, hr_placement_base *base, hr_error *err)
{
    *base = (hr_placement_base){.problem = problem, .divisor = hr_placement_divisor(problem)};
    base->open = hr_alloc(problem->columns + 1, 1);
    base->must = hr_alloc_zero(problem->columns + 1, 1);
    base->need = hr_alloc(problem->rows + 1, sizeof *base->need);
    if (base->open && base->must && base->need) {
        hr_placement_open(problem, base->open, base->need);
        if (make_model(base)) {
            return HR_OK;
        }
    }
    hr_placement_base_free(base);
    return hr_fail_memory(err);
}

void hr_placement_base_free(hr_placement_base *base)
{
    hr_free(base->open);
    hr_free(base->must);
    hr_free(base->need);
    hr_placement_model_free(base->whole);
    hr_placement_model_free(base->model);
    *base = (hr_placement_base){0};
}
