/*
 * budget.c - at most so many columns, as many rows met as possible, and how many
 * could be met at all: for any 0 <= u_i <= 1 / need_i
 *   UB(u) = sum_i (1 - need_i u_i) + the K largest sums of u over a column.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_priv.h"

#include <stdlib.h>
#include <string.h>

#define BOUND_ROUNDS 800
#define SEEDS 3

/* ---- the bound --------------------------------------------------------------------- */

typedef struct upper {
    const hr_placement_model *m;
    uint32_t room;
    double *u, *best_u, *mean; /* per row; mean: averaged slope     */
    double *sum, *order;       /* per column                        */
    int64_t *u_int, *sum_int;
} upper;

/* The k-th largest of n values (k from 1), which get shuffled: quickselect. */
static double kth_largest(double *v, size_t n, size_t k)
{
    size_t low = 0, high = n - 1;
    const size_t want = k - 1;
    while (low < high) {
        const double pivot = v[low + (high - low) / 2];
        size_t i = low, j = high;
        for (;;) {
            while (v[i] > pivot) {
                i++;
            }
            while (v[j] < pivot) {
                j--;
            }
            if (i >= j) {
                break;
            }
            const double t = v[i];
            v[i++] = v[j];
            v[j--] = t;
        }
        if (want <= j) {
            high = j;
        } else {
            low = j + 1;
        }
    }
    return v[want];
}

/* UB(u) and its slope (per row), in floating point: for the search only. */
static double evaluate(upper *x, double *slope)
{
    const hr_placement_model *m = x->m;
    double total = 0;
    for (uint32_t r = 0; r < m->rows; r++) {
        total += 1 - m->need[r] * x->u[r];
        slope[r] = -(double)m->need[r];
    }
    for (uint32_t c = 0; c < m->columns; c++) {
        x->sum[c] = 0;
        for (uint32_t e = m->column_start[c]; e < m->column_start[c + 1]; e++) {
            x->sum[c] += x->u[m->column_row[e]];
        }
        x->order[c] = x->sum[c];
    }
    const uint32_t room = x->room < m->columns ? x->room : m->columns;
    const double least = room > 0 ? kth_largest(x->order, m->columns, room) : 0;
    uint32_t left = room;
    /* those above the k-th first, then of its equals as many as there is room for */
    for (int equal = 0; equal <= 1; equal++) {
        for (uint32_t c = 0; c < m->columns && left > 0; c++) {
            const bool take = equal ? !(x->sum[c] > least) && !(x->sum[c] < least) : x->sum[c] > least;
            for (uint32_t e = m->column_start[c]; take && e < m->column_start[c + 1]; e++) {
                slope[m->column_row[e]] += 1;
            }
            total += take ? x->sum[c] : 0;
            left -= take;
        }
    }
    return total;
}

/* The same in whole numbers, rounded so that what is claimed holds. */
static uint64_t exact_upper(upper *x)
{
    const hr_placement_model *m = x->m;
    int64_t total = 0;
    for (uint32_t r = 0; r < m->rows; r++) {
        x->u_int[r] = (int64_t)(x->best_u[r] * (double)HR_PLACEMENT_SCALE);
        const int64_t rest = HR_PLACEMENT_SCALE - (int64_t)m->need[r] * x->u_int[r];
        total += rest > 0 ? rest : 0;
    }
    for (uint32_t c = 0; c < m->columns; c++) {
        int64_t sum = 0;
        for (uint32_t e = m->column_start[c]; e < m->column_start[c + 1]; e++) {
            sum += x->u_int[m->column_row[e]];
        }
        x->order[c] = (double)sum; /* below 2^53: exact */
    }
    const uint32_t room = x->room < m->columns ? x->room : m->columns;
    if (room > 0) {
        kth_largest(x->order, m->columns, room);
    }
    for (uint32_t k = 0; k < room; k++) {
        total += (int64_t)x->order[k];
    }
    return (uint64_t)(total / HR_PLACEMENT_SCALE);
}

/* Steps down the averaged slope, shorter after a run of failures. */
static void descend(upper *x, hr_placement_run *run, double *slope, uint32_t known)
{
    const hr_placement_model *m = x->m;
    double best = evaluate(x, slope), step = 0.5;
    memcpy(x->best_u, x->u, m->rows * sizeof(double));
    memcpy(x->mean, slope, m->rows * sizeof(double));
    for (uint32_t i = 0, failed = 0; i < BOUND_ROUNDS && best >= known + 1.0; i++) {
        double norm = 0;
        for (uint32_t r = 0; r < m->rows; r++) {
            norm += x->mean[r] * x->mean[r];
        }
        if (!(norm > 1e-12) || !hr_placement_run_go(run, m->entries + 4 * (uint64_t)m->columns)) {
            break;
        }
        const double length = step * (best - known) / norm;
        for (uint32_t r = 0; r < m->rows; r++) {
            const double moved = x->best_u[r] - length * x->mean[r], top = 1.0 / m->need[r];
            x->u[r] = moved < 0 ? 0 : moved > top ? top : moved;
        }
        const double reached = evaluate(x, slope);
        for (uint32_t r = 0; r < m->rows; r++) {
            x->mean[r] += 0.1 * (slope[r] - x->mean[r]);
        }
        if (reached < best) {
            best = reached;
            memcpy(x->best_u, x->u, m->rows * sizeof(double));
            step = step < 2 ? step * 1.1 : step;
            failed = 0;
        } else if (++failed >= 15) {
            step *= 0.66;
            failed = 0;
        }
    }
}

/* No `room` columns meet more rows than *most says. known: rows met by an answer at hand. */
static bool bound_covered(hr_placement_run *run, const hr_placement_model *m, uint32_t room, uint32_t known,
                          uint64_t *most)
{
    upper x = {.m = m, .room = room};
    x.u = hr_alloc((size_t)m->rows * 4 + (size_t)m->columns * 2 + 1, sizeof(double));
    x.u_int = hr_alloc((size_t)m->rows + 1, sizeof *x.u_int);
    const bool ok = x.u && x.u_int;
    if (ok) {
        x.best_u = x.u + m->rows;
        x.mean = x.best_u + m->rows;
        double *slope = x.mean + m->rows;
        x.sum = slope + m->rows;
        x.order = x.sum + m->columns;
        for (uint32_t r = 0; r < m->rows; r++) {
            x.u[r] = 0.5 / m->need[r];
        }
        descend(&x, run, slope, known);
        *most = exact_upper(&x);
        *most = *most < m->rows ? *most : m->rows;
    }
    hr_free(x.u);
    hr_free(x.u_int);
    return ok;
}

/* ---- the answer ----------------------------------------------------------------------- */

bool hr_placement_count_served(const hr_placement_base *base, const uint8_t *chosen, uint32_t *served)
{
    hr_placement_assign a = {0};
    uint32_t *covered = hr_alloc_zero((size_t)base->whole->rows + 1, sizeof *covered);
    uint8_t *local = hr_alloc((size_t)base->whole->columns + 1, 1);
    const bool limited = base->problem->capacity != NULL;
    const bool ok = covered && local && (!limited || hr_placement_assign_start(&a, base));
    if (ok) {
        const hr_placement_model *m = base->whole;
        *served = 0;
        for (uint32_t c = 0; c < m->columns; c++) {
            local[c] = chosen[m->column_id[c]];
            for (uint32_t e = m->column_start[c]; local[c] && e < m->column_start[c + 1]; e++) {
                covered[m->column_row[e]]++;
            }
        }
        if (limited) {
            hr_placement_assign_rows(&a, local);
        }
        for (uint32_t r = 0; r < m->rows; r++) {
            *served += covered[r] >= m->need[r] && (!limited || a.server[r] != HR_PLACEMENT_NONE);
        }
    }
    hr_placement_assign_end(&a);
    hr_free(covered);
    hr_free(local);
    return ok;
}

/* Takes the local answer over when it serves more rows than the one at hand. */
static bool take_better(hr_placement_answer *answer, const uint8_t *local, uint8_t *trial, uint32_t *served)
{
    const hr_placement_base *base = answer->base;
    uint32_t now = 0;
    memcpy(trial, base->must, base->problem->columns);
    for (uint32_t c = 0; c < base->model->columns; c++) {
        trial[base->model->column_id[c]] |= local[c];
    }
    if (!hr_placement_count_served(base, trial, &now)) {
        return false;
    }
    if (*served == HR_PLACEMENT_NONE || now > *served) {
        *served = now;
        memcpy(answer->chosen, trial, base->problem->columns);
    }
    return true;
}

static bool search_all(hr_placement_run *run, hr_placement_answer *answer, uint32_t room, uint8_t *local,
                       uint8_t *trial, uint32_t *unmet, uint32_t *served)
{
    const hr_placement_model *m = answer->base->model;
    const uint64_t each = hr_placement_run_left(run) / 10;
    memset(local, 0, m->columns);
    for (uint64_t seed = 1; seed <= SEEDS; seed++) {
        /* the first from nothing, which is greedy to begin with; later ones from the best so far */
        hr_placement_run_stage(run, "budget", each);
        if (!hr_placement_budget_search(run, m, seed + run->options->seed * 0x9e3779b97f4a7c15U, room, local, unmet) ||
            !take_better(answer, local, trial, served)) {
            return false;
        }
    }
    return true;
}

static int compare_loads(const void *a, const void *b)
{
    const uint64_t x = *(const uint64_t *)a, y = *(const uint64_t *)b;
    return (x > y) - (x < y);
}

/* How many rows, the lightest first, the largest capacities could serve at all. */
static bool bound_served(const hr_placement_base *base, uint32_t at_most, uint32_t *bound)
{
    const hr_placement_model *m = base->whole;
    uint64_t *sizes = hr_alloc((size_t)m->columns + m->rows + 1, sizeof *sizes), room = 0;
    if (!sizes) {
        return false;
    }
    uint64_t *loads = sizes + m->columns;
    for (uint32_t c = 0; c < m->columns; c++) {
        const uint32_t given = base->problem->capacity[m->column_id[c]];
        sizes[c] = given ? given : (uint64_t)UINT32_MAX * m->rows;
    }
    for (uint32_t r = 0; r < m->rows; r++) {
        loads[r] = base->problem->load ? base->problem->load[m->row_id[r]] : 1;
    }
    qsort(sizes, m->columns, sizeof *sizes, compare_loads);
    qsort(loads, m->rows, sizeof *loads, compare_loads);
    for (uint32_t k = 0; k < at_most && k < m->columns; k++) {
        room += sizes[m->columns - 1 - k] < UINT64_MAX / 2 - room ? sizes[m->columns - 1 - k] : 0;
    }
    *bound = 0;
    while (*bound < m->rows && loads[*bound] <= room) {
        room -= loads[(*bound)++];
    }
    hr_free(sizes);
    return true;
}

bool hr_placement_budget(hr_placement_run *run, hr_placement_answer *answer, uint32_t at_most)
{
    const hr_placement_base *base = answer->base;
    const hr_placement_model *m = base->model;
    const uint32_t room = at_most - (uint32_t)base->must_count, by_must = base->whole->rows - m->rows;
    uint8_t *local = hr_alloc((size_t)m->columns + 1, 1), *trial = hr_alloc(base->problem->columns + 1, 1);
    uint32_t unmet = m->rows, served = HR_PLACEMENT_NONE;
    bool ok = local && trial && search_all(run, answer, room, local, trial, &unmet, &served);
    uint64_t most = m->rows;
    hr_placement_run_stage(run, "bound", UINT64_MAX);
    ok = ok && (m->rows == 0 || bound_covered(run, m, room, m->rows - unmet, &most));
    uint32_t bound = base->whole->rows;
    ok = ok && (!base->problem->capacity || bound_served(base, at_most, &bound));
    answer->covered_bound = by_must + (uint32_t)most < bound ? by_must + (uint32_t)most : bound;
    hr_free(local);
    hr_free(trial);
    run->no_memory |= !ok;
    return ok;
}
