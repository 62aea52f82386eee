/*
 * quality.c - among answers of equal weight the less costly, then the one whose
 * worst row is best, then the one whose rows are best on the whole. A row is as
 * good as the last of the columns it needs: the need-th best that is chosen.
 * None of this is proved; the weight never gets larger by it.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_priv.h"

#include <stdlib.h>
#include <string.h>

#define PROBES_SHARE 14 /* a threshold's share of the stage: one in so many */
#define RESTARTS 6
#define SHORTEST_STAGE ((uint64_t)400000 * HR_PLACEMENT_ENTRIES_PER_STEP)

/* ---- the cheapest and the best worst row: covers of a filtered model ------------------- */

/* The model without the must columns and without entries below a quality. */
static hr_placement_model *filtered(const hr_placement_better *x, int64_t least, uint64_t *must_price)
{
    const hr_placement_model *m = x->m;
    hr_placement_model *cut = hr_placement_model_new(m->rows, m->columns, m->entries);
    uint32_t *lack = hr_alloc((size_t)m->rows + 1, sizeof *lack);
    uint8_t *kept = hr_alloc((size_t)m->columns + 1, 1);
    hr_placement_model *out = NULL;
    if (cut && lack && kept) {
        uint32_t entries = 0;
        *must_price = 0;
        memcpy(lack, m->need, m->rows * sizeof *lack);
        for (uint32_t c = 0; c < m->columns; c++) {
            kept[c] = !x->must[c];
            *must_price += x->must[c] ? x->price[c] : 0;
            cut->weight[c] = x->price[c];
            cut->column_id[c] = c; /* of x->m, not of the caller */
            for (uint32_t e = m->column_start[c]; e < m->column_start[c + 1]; e++) {
                if (x->quality[e] >= least) {
                    const uint32_t r = m->column_row[e];
                    lack[r] -= x->must[c] && lack[r] > 0;
                    cut->column_row[entries++] = r;
                }
            }
            cut->column_start[c + 1] = entries;
        }
        cut->entries = entries;
        for (uint32_t r = 0; r < m->rows; r++) {
            cut->row_id[r] = r;
            cut->need[r] = m->need[r];
        }
        hr_placement_model_transpose(cut);
        out = hr_placement_model_cut(cut, lack, kept);
    }
    hr_placement_model_free(cut);
    hr_free(lack);
    hr_free(kept);
    return out;
}

static bool can_be_met(const hr_placement_model *m)
{
    for (uint32_t r = 0; r < m->rows; r++) {
        if (m->row_start[r + 1] - m->row_start[r] < m->need[r]) {
            return false;
        }
    }
    return true;
}

static void to_trial(hr_placement_better *x, const hr_placement_model *m, const uint8_t *local)
{
    memcpy(x->trial, x->must, x->m->columns);
    for (uint32_t c = 0; c < m->columns; c++) {
        x->trial[m->column_id[c]] |= local[c];
    }
}

/* An answer of at most the price `most` with no row below `least`: taken over when there is one. */
static bool probe(hr_placement_better *x, int64_t least, uint64_t most, uint64_t effort, bool *found)
{
    uint64_t must_price = 0;
    *found = false;
    hr_placement_model *m = filtered(x, least, &must_price);
    uint8_t *local = m ? hr_alloc((size_t)m->columns + 1, 1) : NULL;
    bool ok = local != NULL;
    if (ok && can_be_met(m) && must_price <= most) {
        hr_placement_cover_job job = {.model = m, .decide = true, .want = most - must_price, .effort = effort};
        job.chosen = local;
        ok = hr_placement_cover(x->run, &job);
        if (ok && job.upper <= job.want) {
            to_trial(x, m, local);
            *found = hr_placement_can_serve(x, x->trial);
        }
        if (*found) {
            memcpy(x->chosen, x->trial, x->m->columns);
            hr_placement_take_stock(x, false);
        }
    }
    hr_placement_model_free(m);
    hr_free(local);
    return ok;
}

static uint32_t cost_of(const hr_placement_better *x, uint32_t column)
{
    const hr_placement_problem *p = x->answer->base->problem;
    return p->cost ? p->cost[x->m->column_id[column]] : 0;
}

/* Weight and cost in one number: a unit of weight outweighs all costs at hand.
 * False when costs decide nothing, for all are the same. */
static bool set_prices(hr_placement_better *x)
{
    uint64_t sum = 0, most = 1;
    bool differ = false;
    for (uint32_t c = 0; c < x->m->columns; c++) {
        sum += x->chosen[c] ? cost_of(x, c) : 0;
        most = x->m->weight[c] > most ? x->m->weight[c] : most;
        differ = differ || cost_of(x, c) != cost_of(x, 0);
    }
    differ = differ || !hr_placement_all_alike(x->answer->base->problem);
    /* where numbers would grow too large, costs are compared more coarsely */
    uint64_t coarse = 1;
    while ((sum / coarse + 1) * (most + 1) >= UINT32_MAX) {
        coarse *= 2;
    }
    const uint64_t times = differ ? sum / coarse + 1 : 1;
    for (uint32_t c = 0; c < x->m->columns; c++) {
        uint64_t cost = differ ? cost_of(x, c) / coarse : 0;
        cost = cost < times ? cost : times; /* dearer than all at hand: never of use */
        x->price[c] = (uint32_t)(x->m->weight[c] * times + cost);
    }
    return differ;
}

/* Lower prices as long as they are found. */
static bool lower_price(hr_placement_better *x)
{
    bool found = true;
    for (int i = 0; found && i < 20 && x->total_price > 0; i++) {
        if (!probe(x, -HR_PLACEMENT_QUALITY_MAX, x->total_price - 1, x->effort / 6, &found)) {
            return false;
        }
    }
    return true;
}

static int compare_int64(const void *a, const void *b)
{
    const int64_t x = *(const int64_t *)a, y = *(const int64_t *)b;
    return (x > y) - (x < y);
}

/* Bisection over the qualities there are, from the worst row upwards. */
static bool raise_worst(hr_placement_better *x)
{
    int64_t *levels = hr_alloc((size_t)x->m->entries + 1, sizeof *levels);
    if (!levels) {
        return false;
    }
    size_t count = 0;
    for (uint32_t e = 0; e < x->m->entries; e++) {
        if (x->quality[e] > x->worst) {
            levels[count++] = x->quality[e];
        }
    }
    qsort(levels, count, sizeof *levels, compare_int64);
    size_t low = 0, high = count; /* levels below low are reached, from high on they are not */
    bool ok = true;
    while (ok && low < high && !hr_placement_run_dead(x->run)) {
        const size_t mid = low + (high - low) / 2;
        bool found = false;
        ok = probe(x, levels[mid], x->total_price, x->effort / PROBES_SHARE, &found);
        if (found) {
            while (low < high && levels[low] <= x->worst) {
                low++;
            }
        } else {
            high = mid;
            while (high > low && levels[high - 1] == levels[mid]) {
                high--;
            }
        }
    }
    hr_free(levels);
    return ok;
}

/* Other answers of the same price and worst row, each swapped up; the best stays. */
static bool restart(hr_placement_better *x)
{
    uint8_t *best = hr_alloc((size_t)x->m->columns + 1, 1);
    uint64_t must_price = 0;
    hr_placement_model *m = filtered(x, x->worst, &must_price);
    uint8_t *local = m ? hr_alloc((size_t)m->columns + 1, 1) : NULL;
    const bool ok = best && local;
    for (uint64_t seed = 1; ok && m->rows > 0 && seed <= RESTARTS && !hr_placement_run_dead(x->run); seed++) {
        const int64_t sum = x->sum, worst = x->worst;
        const uint64_t price = x->total_price;
        uint64_t weight = UINT64_MAX;
        memcpy(best, x->chosen, x->m->columns);
        memset(local, 1, m->columns);
        hr_placement_run_stage(x->run, "quality", x->effort / (4 * RESTARTS));
        if (!hr_placement_local_search(x->run, m, seed * 77 + x->run->options->seed, price - must_price, local,
                                       &weight)) {
            break;
        }
        hr_placement_run_stage(x->run, "quality", x->effort / RESTARTS);
        to_trial(x, m, local);
        if (weight > price - must_price || !hr_placement_can_serve(x, x->trial)) {
            continue;
        }
        memcpy(x->chosen, x->trial, x->m->columns);
        hr_placement_take_stock(x, false);
        hr_placement_swap_up(x);
        if (x->total_price > price ||
            (x->total_price == price && (x->worst < worst || (x->worst == worst && x->sum <= sum)))) {
            memcpy(x->chosen, best, x->m->columns);
            hr_placement_take_stock(x, false);
        }
    }
    hr_placement_model_free(m);
    hr_free(best);
    hr_free(local);
    return ok;
}

/* ---- the stage --------------------------------------------------------------------------- */

static bool improve_start(hr_placement_better *x)
{
    const hr_placement_base *base = x->answer->base;
    const hr_placement_model *m = x->m;
    x->limited = base->problem->capacity != NULL;
    x->quality = hr_alloc_zero((size_t)m->entries + 1, sizeof *x->quality);
    x->price = hr_alloc((size_t)m->columns + 1, sizeof *x->price);
    x->must = hr_alloc((size_t)m->columns * 3 + m->rows + 1, 1);
    x->top_start = hr_alloc((size_t)m->rows + 1, sizeof *x->top_start);
    if (!x->quality || !x->price || !x->must || !x->top_start ||
        (x->limited && !hr_placement_assign_start(&x->assign, base))) {
        return false;
    }
    x->chosen = x->must + m->columns;
    x->trial = x->chosen + m->columns;
    x->active = x->trial + m->columns;
    size_t tops = 0;
    for (uint32_t r = 0; r < m->rows; r++) {
        x->top_start[r] = tops;
        tops += m->need[r] + 1;
    }
    x->top_start[m->rows] = tops;
    x->top_quality = hr_alloc_zero(tops + 1, sizeof *x->top_quality);
    x->top_column = hr_alloc(tops + 1, sizeof *x->top_column);
    for (uint32_t c = 0; c < m->columns; c++) {
        const uint32_t id = m->column_id[c];
        x->must[c] = base->must[id];
        x->chosen[c] = x->answer->chosen[id];
        /* the caller's entries of rows that are in the model, in the same order */
        size_t from = base->problem->column_start[id];
        for (uint32_t e = m->column_start[c]; base->problem->quality && e < m->column_start[c + 1]; e++, from++) {
            while (base->problem->column_row[from] != m->row_id[m->column_row[e]]) {
                from++;
            }
            const int64_t q = base->problem->quality[from];
            x->quality[e] = q > HR_PLACEMENT_QUALITY_MAX    ? HR_PLACEMENT_QUALITY_MAX
                            : q < -HR_PLACEMENT_QUALITY_MAX ? -HR_PLACEMENT_QUALITY_MAX
                                                            : q;
        }
    }
    return x->top_quality && x->top_column;
}

static bool improve_run(hr_placement_better *x)
{
    const hr_placement_problem *p = x->answer->base->problem;
    const bool priced = set_prices(x);
    hr_placement_take_stock(x, true);
    /* about as long as the cover took, and long enough for small ones to be done well */
    const uint64_t left = hr_placement_run_left(x->run), fair = x->run->entries + SHORTEST_STAGE;
    x->effort = left < fair ? left : fair;
    x->run->show_times = 0; /* what the probes find is not for progress */
    if (x->full && p->cost && priced && !lower_price(x)) {
        return false;
    }
    if (x->full && p->quality && x->worst < INT64_MAX && !raise_worst(x)) {
        return false;
    }
    hr_placement_run_stage(x->run, "quality", x->effort / 4);
    hr_placement_swap_up(x);
    return !x->full || !p->quality || restart(x);
}

bool hr_placement_improve(hr_placement_run *run, hr_placement_answer *answer, bool full)
{
    const hr_placement_problem *p = answer->base->problem;
    hr_placement_better x = {.run = run, .answer = answer, .m = answer->base->whole, .full = full};
    if ((!p->cost && !p->quality) || x.m->rows == 0) {
        return true;
    }
    const bool ok = improve_start(&x) && improve_run(&x);
    for (uint32_t c = 0; ok && c < x.m->columns; c++) {
        answer->chosen[x.m->column_id[c]] = x.chosen[c];
    }
    hr_placement_assign_end(&x.assign);
    hr_free(x.quality);
    hr_free(x.price);
    hr_free(x.must);
    hr_free(x.top_start);
    hr_free(x.top_quality);
    hr_free(x.top_column);
    run->no_memory |= !ok && !run->interrupted;
    return ok;
}
