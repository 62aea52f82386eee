/*
 * bound.c - lower bounds on a cover's weight. Any multipliers u >= 0 prove
 *   L(u) = sum need_i u_i + sum_j min(0, w_j - sum_{i in j} u_i)
 * (Beasley 1987; each need a sum of at most one per column). Good ones come
 * from the volume algorithm (Barahona, Anbil, Math. Programming 87, 2000); what
 * is claimed is always worked out again in whole numbers.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_priv.h"

#include <string.h>

/* ---- exact arithmetic ---------------------------------------------------- */

/* Sums kept apart: the positive one may stop short at the top (the bound is then
 * smaller, still true), the negative one may not. */
typedef struct exact_sum {
    int64_t plus, minus;
    bool lost;
} exact_sum;

static void add_need(exact_sum *s, uint32_t need, int64_t u)
{
    int64_t product = 0;
    if (__builtin_mul_overflow((int64_t)need, u, &product) || __builtin_add_overflow(s->plus, product, &s->plus)) {
        s->plus = INT64_MAX;
    }
}

static void add_negative(exact_sum *s, int64_t amount)
{
    if (__builtin_add_overflow(s->minus, amount, &s->minus)) {
        s->lost = true;
    }
}

static int64_t exact_total(const exact_sum *s)
{
    return s->lost ? 0 : s->plus + s->minus;
}

/* Multipliers beyond this could overflow a column's sum; cutting them is allowed, any u proves something. */
static int64_t multiplier_cap(size_t rows)
{
    const int64_t usual = (int64_t)1 << 40;
    const int64_t safe = ((int64_t)1 << 61) / (int64_t)(rows + 1);
    return safe < usual ? safe : usual;
}

static int64_t capped(int64_t u, int64_t cap)
{
    return u < 0 ? 0 : u > cap ? cap : u;
}

static uint64_t scaled_ceil(int64_t total)
{
    return total > 0 ? (uint64_t)((total - 1) / HR_PLACEMENT_SCALE) + 1 : 0;
}

uint64_t hr_placement_check_bound(const hr_placement_problem *problem, const int64_t *multipliers)
{
    uint8_t *open = hr_alloc(problem->columns + 1, 1);
    uint32_t *need = hr_alloc(problem->rows + 1, sizeof *need);
    exact_sum sum = {0, 0, !open || !need}; /* without memory nothing is proved */
    const uint32_t divisor = hr_placement_divisor(problem);
    if (!sum.lost) {
        const int64_t cap = multiplier_cap(problem->rows);
        hr_placement_open(problem, open, need);
        for (size_t r = 0; r < problem->rows; r++) {
            add_need(&sum, need[r], capped(multipliers[r], cap));
        }
        for (size_t c = 0; c < problem->columns; c++) {
            int64_t reduced = (int64_t)(hr_placement_weight(problem, c) / divisor) * HR_PLACEMENT_SCALE;
            for (size_t e = problem->column_start[c]; e < problem->column_start[c + 1]; e++) {
                reduced -= capped(multipliers[problem->column_row[e]], cap);
            }
            const bool must = problem->state && problem->state[c] == HR_PLACEMENT_MUST;
            if (must && reduced > 0) {
                add_need(&sum, 1, reduced);
            } else if (open[c] && reduced < 0) {
                add_negative(&sum, reduced);
            }
        }
    }
    hr_free(open);
    hr_free(need);
    return scaled_ceil(exact_total(&sum)) * divisor;
}

int64_t hr_placement_bound_exact(const hr_placement_model *model, const double *u, int64_t *u_int, int64_t *reduced)
{
    exact_sum sum = {0, 0, false};
    const int64_t cap = multiplier_cap(model->rows);
    for (uint32_t r = 0; r < model->rows; r++) {
        const double scaled = u[r] * (double)HR_PLACEMENT_SCALE;
        /* accept form: what is not a number becomes 0 */
        u_int[r] = scaled > 0 ? (scaled < (double)cap ? (int64_t)scaled : cap) : 0;
        add_need(&sum, model->need[r], u_int[r]);
    }
    for (uint32_t c = 0; c < model->columns; c++) {
        int64_t left = (int64_t)model->weight[c] * HR_PLACEMENT_SCALE;
        for (uint32_t e = model->column_start[c]; e < model->column_start[c + 1]; e++) {
            left -= u_int[model->column_row[e]];
        }
        if (reduced) {
            reduced[c] = left;
        }
        if (left < 0) {
            add_negative(&sum, left);
        }
    }
    return exact_total(&sum);
}

uint64_t hr_placement_bound_ceil(int64_t total)
{
    return scaled_ceil(total);
}

/* ---- the volume algorithm ------------------------------------------------- */

typedef struct volume {
    const hr_placement_model *model;
    double *trial, *shortfall, *mean_shortfall; /* per row                                */
    double *x_mean;                             /* per column: averaged Lagrangian answer */
    uint8_t *x;                                 /* per column: the answer of the trial    */
    double step, mix_max;
    uint32_t reds;
} volume;

/* L(u) with its answer x and what each row then lacks. */
static double evaluate(volume *v, const double *u)
{
    const hr_placement_model *m = v->model;
    double total = 0;
    for (uint32_t r = 0; r < m->rows; r++) {
        v->shortfall[r] = m->need[r];
        total += v->shortfall[r] * u[r];
    }
    for (uint32_t c = 0; c < m->columns; c++) {
        double left = m->weight[c];
        const uint32_t end = m->column_start[c + 1];
        for (uint32_t e = m->column_start[c]; e < end; e++) {
            left -= u[m->column_row[e]];
        }
        v->x[c] = left < 0;
        if (left < 0) {
            total += left;
            for (uint32_t e = m->column_start[c]; e < end; e++) {
                v->shortfall[m->column_row[e]] -= 1;
            }
        }
    }
    return total;
}

/* The share of the new answer that makes the averaged shortfall smallest, within limits. */
static double mixing(const volume *v)
{
    double up = 0, down = 0;
    for (uint32_t r = 0; r < v->model->rows; r++) {
        const double d = v->mean_shortfall[r] - v->shortfall[r];
        up += v->mean_shortfall[r] * d;
        down += d * d;
    }
    const double best = down > 0 ? up / down : v->mix_max;
    return best < v->mix_max / 10 ? v->mix_max / 10 : best > v->mix_max ? v->mix_max : best;
}

static void average(volume *v, double share)
{
    for (uint32_t r = 0; r < v->model->rows; r++) {
        v->mean_shortfall[r] += share * (v->shortfall[r] - v->mean_shortfall[r]);
    }
    for (uint32_t c = 0; c < v->model->columns; c++) {
        v->x_mean[c] += share * ((double)v->x[c] - v->x_mean[c]);
    }
}

/* One trial point along the averaged shortfall; false when there is nowhere to go. */
static bool make_trial(volume *v, const double *u, double value, double target)
{
    double norm = 0;
    for (uint32_t r = 0; r < v->model->rows; r++) {
        const double d = v->mean_shortfall[r];
        norm += u[r] > 0 || d > 0 ? d * d : 0;
    }
    if (!(norm > 1e-12)) {
        return false;
    }
    const double length = v->step * (target - value) / norm;
    for (uint32_t r = 0; r < v->model->rows; r++) {
        const double moved = u[r] + length * v->mean_shortfall[r];
        v->trial[r] = moved > 0 ? moved : 0;
    }
    return true;
}

/* Longer steps while things go well, shorter ones after a run of failures. */
static void adapt(volume *v, bool better)
{
    if (!better) {
        if (++v->reds >= 20) {
            v->step *= 0.66;
            v->reds = 0;
        }
        return;
    }
    v->reds = 0;
    double along = 0;
    for (uint32_t r = 0; r < v->model->rows; r++) {
        along += v->shortfall[r] * v->mean_shortfall[r];
    }
    if (along > 0 && v->step < 2) {
        v->step *= 1.1;
    }
}

static bool volume_start(volume *v, const hr_placement_model *model, double *x_mean)
{
    *v = (volume){.model = model, .x_mean = x_mean, .step = 0.1, .mix_max = 0.1};
    v->trial = hr_alloc((size_t)model->rows * 3 + 1, sizeof(double));
    v->x = hr_alloc((size_t)model->columns + 1, 1);
    if (!v->trial || !v->x) {
        hr_free(v->trial);
        hr_free(v->x);
        return false;
    }
    v->shortfall = v->trial + model->rows;
    v->mean_shortfall = v->shortfall + model->rows;
    return true;
}

double hr_placement_volume(hr_placement_run *run, const hr_placement_model *model, double target, double enough,
                           uint32_t iterations, double *u, double *x_mean)
{
    volume v;
    if (!volume_start(&v, model, x_mean)) {
        run->no_memory = true;
        return 0;
    }
    double value = evaluate(&v, u), checkpoint = value;
    memcpy(v.mean_shortfall, v.shortfall, model->rows * sizeof(double));
    for (uint32_t c = 0; c < model->columns; c++) {
        x_mean[c] = v.x[c];
    }
    for (uint32_t i = 1; i <= iterations && value <= enough; i++) {
        const double aim = target > value + 0.05 * value + 1e-3 ? value + 0.05 * value + 1e-3 : target;
        if (!make_trial(&v, u, value, aim) || !hr_placement_run_go(run, model->entries + 4 * (uint64_t)model->rows)) {
            break;
        }
        const double reached = evaluate(&v, v.trial);
        adapt(&v, reached > value);
        average(&v, mixing(&v));
        if (reached > value) {
            value = reached;
            memcpy(u, v.trial, model->rows * sizeof(double));
        }
        if (i % 100 == 0) {
            if (value - checkpoint < 0.01 * checkpoint && v.mix_max > 1e-4) {
                v.mix_max /= 2;
            }
            if (value - checkpoint < 1e-5 * checkpoint && i >= 400) {
                break;
            }
            checkpoint = value;
        }
    }
    hr_free(v.trial);
    hr_free(v.x);
    return value;
}

void hr_placement_multipliers_start(const hr_placement_model *model, double *u)
{
    for (uint32_t r = 0; r < model->rows; r++) {
        u[r] = 0;
        for (uint32_t e = model->row_start[r]; e < model->row_start[r + 1]; e++) {
            const uint32_t c = model->row_column[e];
            const double share = (double)model->weight[c] / (model->column_start[c + 1] - model->column_start[c]);
            u[r] = e == model->row_start[r] || share < u[r] ? share : u[r];
        }
    }
}

int64_t hr_placement_dual_fit(const hr_placement_model *model, double *price, int64_t *u_int)
{
    /* divided by f the prices never overcharge a column for f = the largest
     * overcharge; smaller f overcharges some, and may still prove more */
#define FACTORS 6
    static const double factors[FACTORS] = {1.0, 0.85, 0.7, 0.6, 0.5, 0.4};
    double over = 0;
    for (uint32_t c = 0; c < model->columns; c++) {
        double sum = 0;
        for (uint32_t e = model->column_start[c]; e < model->column_start[c + 1]; e++) {
            sum += price[model->column_row[e]];
        }
        over = sum > over * model->weight[c] ? sum / model->weight[c] : over;
    }
    int64_t best = -1;
    double best_scale = 0, last = 1;
    for (size_t i = 0; over > 0 && i <= FACTORS; i++) {
        const double scale = i < FACTORS ? 1 / (over * factors[i]) : best_scale;
        for (uint32_t r = 0; r < model->rows; r++) {
            price[r] *= scale / last;
        }
        last = scale;
        const int64_t total = hr_placement_bound_exact(model, price, u_int, NULL);
        if (total > best) {
            best = total;
            best_scale = scale;
        }
    }
    return best < 0 ? hr_placement_bound_exact(model, price, u_int, NULL) : best;
}
