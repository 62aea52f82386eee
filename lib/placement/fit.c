/*
 * fit.c - covers whose columns can serve only so much. The cover's own bound and
 * what the capacities add up to bound the weight from below; the answer is
 * sought by opening and closing columns, the rows being handed on along
 * augmenting paths each time.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_priv.h"

#include <stdlib.h>
#include <string.h>

/* Columns tried at each move; more would look closer and move less. */
#define TRIED 12
/* Moves for which a column that came or went stays as it is: at most this, and half of those open. */
#define TENURE 6

typedef struct fit {
    hr_placement_run *run;
    const hr_placement_base *base;
    const hr_placement_model *m; /* base->whole                          */
    hr_placement_assign a, kept; /* kept: the state before a trial       */
    uint8_t *open, *must, *best; /* per column of m                      */
    uint32_t *covered;           /* per row: open columns                */
    uint32_t *pick;              /* per column: candidates of a move     */
    uint64_t *moved;             /* per column: when it last came or went */
    uint64_t now, random, weight, best_weight;
    uint32_t missing, lacking; /* rows not served; covers short of the needs */
} fit;

/* ---- bound ---------------------------------------------------------------------------- */

typedef struct offer {
    uint64_t weight, serves;
    uint32_t column;
} offer;

/* More served per weight first; ties by index. */
static int compare_offers(const void *a, const void *b)
{
    const offer *x = a, *y = b;
    const uint64_t left = x->serves * y->weight, right = y->serves * x->weight;
    return left != right ? (left > right ? -1 : 1) : (x->column > y->column) - (x->column < y->column);
}

/* The least weight whose capacities add up to all loads, a last column taken in part. */
static bool capacity_bound(const fit *f, uint64_t *bound)
{
    offer *offers = hr_alloc((size_t)f->m->columns + 1, sizeof *offers);
    if (!offers) {
        return false;
    }
    uint64_t left = 0, weight = 0;
    for (uint32_t r = 0; r < f->m->rows; r++) {
        left += (uint64_t)f->a.load[r];
    }
    for (uint32_t c = 0; c < f->m->columns; c++) {
        uint64_t all = 0;
        for (uint32_t e = f->m->column_start[c]; e < f->m->column_start[c + 1]; e++) {
            all += (uint64_t)f->a.load[f->m->column_row[e]];
        }
        const uint64_t limit = (uint64_t)f->a.limit[c];
        offers[c] = (offer){f->m->weight[c], limit < all ? limit : all, c};
    }
    for (uint32_t c = 0; c < f->m->columns; c++) { /* what must be there serves first */
        if (f->must[c]) {
            weight += offers[c].weight;
            left -= offers[c].serves < left ? offers[c].serves : left;
            offers[c].serves = 0;
        }
    }
    qsort(offers, f->m->columns, sizeof *offers, compare_offers);
    for (uint32_t i = 0; i < f->m->columns && left > 0 && offers[i].serves > 0; i++) {
        if (offers[i].serves < left) {
            weight += offers[i].weight;
            left -= offers[i].serves;
        } else {
            weight += (left * offers[i].weight + offers[i].serves - 1) / offers[i].serves;
            left = 0;
        }
    }
    hr_free(offers);
    *bound = weight;
    return true;
}

/* ---- moves ------------------------------------------------------------------------------ */

static uint32_t wanting(const fit *f)
{
    return f->missing + f->lacking;
}

static void serve_rest(fit *f)
{
    for (uint32_t i = 0; i < f->m->rows && f->missing > 0; i++) {
        const uint32_t r = f->a.order[i];
        if (f->a.server[r] == HR_PLACEMENT_NONE && hr_placement_assign_place(&f->a, f->open, r)) {
            f->missing--;
        }
    }
    f->a.work += f->m->rows;
}

static void open_column(fit *f, uint32_t c)
{
    f->open[c] = 1;
    f->weight += f->m->weight[c];
    f->a.room[c] = f->a.limit[c];
    for (uint32_t e = f->m->column_start[c]; e < f->m->column_start[c + 1]; e++) {
        const uint32_t r = f->m->column_row[e];
        f->lacking -= f->covered[r]++ < f->m->need[r];
    }
    serve_rest(f);
}

static void close_column(fit *f, uint32_t c)
{
    f->open[c] = 0;
    f->weight -= f->m->weight[c];
    for (uint32_t e = f->m->column_start[c]; e < f->m->column_start[c + 1]; e++) {
        const uint32_t r = f->m->column_row[e];
        f->lacking += --f->covered[r] < f->m->need[r];
        if (f->a.server[r] == c) {
            f->a.server[r] = HR_PLACEMENT_NONE;
            f->missing++;
        }
    }
    serve_rest(f);
}

static void copy_state(const fit *f, hr_placement_assign *to, const hr_placement_assign *from)
{
    memcpy(to->server, from->server, f->m->rows * sizeof *to->server);
    memcpy(to->room, from->room, f->m->columns * sizeof *to->room);
}

/* What would be wanting after opening or closing a column; nothing stays changed. */
static uint32_t try_column(fit *f, uint32_t c)
{
    const uint32_t missing = f->missing;
    copy_state(f, &f->kept, &f->a);
    if (f->open[c]) {
        close_column(f, c);
    } else {
        open_column(f, c);
    }
    const uint32_t result = wanting(f);
    /* back again, the covers by hand and the service as kept */
    const bool open = f->open[c] != 0;
    f->open[c] = !open;
    f->weight = open ? f->weight - f->m->weight[c] : f->weight + f->m->weight[c];
    for (uint32_t e = f->m->column_start[c]; e < f->m->column_start[c + 1]; e++) {
        const uint32_t r = f->m->column_row[e];
        if (open) {
            f->lacking += --f->covered[r] < f->m->need[r];
        } else {
            f->lacking -= f->covered[r]++ < f->m->need[r];
        }
    }
    copy_state(f, &f->a, &f->kept);
    f->missing = missing;
    f->a.work += f->m->rows + f->m->columns;
    return result;
}

/* Of the candidates in pick, a few drawn at random: the one after which least is
 * wanting per weight gained or lost; ties: unmoved longest. */
static uint32_t best_of(fit *f, uint32_t count, uint32_t most)
{
    uint32_t best = HR_PLACEMENT_NONE, best_left = 0;
    for (uint32_t tried = 0; tried < most && count > 0; tried++) {
        const uint32_t at = (uint32_t)(hr_placement_random(&f->random) % count), c = f->pick[at];
        f->pick[at] = f->pick[--count];
        const uint32_t left = try_column(f, c);
        bool better = best == HR_PLACEMENT_NONE;
        if (!better && left != best_left) {
            better = left < best_left;
        } else if (!better) {
            const uint32_t w = f->m->weight[c], v = f->m->weight[best];
            better = w != v ? (f->open[c] ? w > v : w < v) : f->moved[c] < f->moved[best];
        }
        if (better) {
            best = c;
            best_left = left;
        }
    }
    return best;
}

static bool is_fresh(const fit *f, uint32_t c, uint64_t tenure)
{
    return f->moved[c] > 0 && f->now - f->moved[c] < tenure;
}

static uint32_t list_closable(fit *f, bool all)
{
    uint32_t count = 0, open = 0;
    for (uint32_t c = 0; c < f->m->columns; c++) {
        open += f->open[c];
    }
    const uint64_t tenure = all ? 0 : open / 2 < TENURE ? open / 2 : TENURE;
    for (uint32_t c = 0; c < f->m->columns; c++) {
        if (f->open[c] && !f->must[c] && !is_fresh(f, c, tenure)) {
            f->pick[count++] = c;
        }
    }
    return count;
}

/* Closed columns of a row that still fit under a weight. */
static uint32_t list_openable(fit *f, uint32_t row, uint64_t below, bool all)
{
    uint32_t count = 0;
    for (uint32_t e = f->m->row_start[row]; e < f->m->row_start[row + 1]; e++) {
        const uint32_t c = f->m->row_column[e];
        if (!f->open[c] && f->weight + f->m->weight[c] < below && !is_fresh(f, c, all ? 0 : TENURE)) {
            f->pick[count++] = c;
        }
    }
    return count;
}

/* A row that is not served or short of columns, drawn at random; NONE: none. */
static uint32_t wanting_row(fit *f)
{
    uint32_t seen = 0, row = HR_PLACEMENT_NONE;
    for (uint32_t r = 0; r < f->m->rows; r++) {
        if (f->a.server[r] == HR_PLACEMENT_NONE || f->covered[r] < f->m->need[r]) {
            row = hr_placement_random(&f->random) % ++seen == 0 ? r : row;
        }
    }
    return row;
}

static void flip(fit *f, uint32_t c)
{
    if (f->open[c]) {
        close_column(f, c);
    } else {
        open_column(f, c);
    }
    f->moved[c] = ++f->now;
}

/* The column whose opening helps most: of a wanting row, else of any row, for
 * others may have to be handed on. NONE: no single one helps, and then (served
 * rows being submodular in the columns) none together do. */
static uint32_t best_opening(fit *f)
{
    const uint32_t row = wanting_row(f);
    uint32_t best = best_of(f, list_openable(f, row, UINT64_MAX, true), TRIED);
    if (best != HR_PLACEMENT_NONE && try_column(f, best) < wanting(f)) {
        return best;
    }
    uint32_t count = 0;
    for (uint32_t c = 0; c < f->m->columns; c++) {
        if (!f->open[c]) {
            f->pick[count++] = c;
        }
    }
    best = best_of(f, count, count);
    return best != HR_PLACEMENT_NONE && try_column(f, best) < wanting(f) ? best : HR_PLACEMENT_NONE;
}

/* Opens columns until nothing is wanting or nothing helps, then closes what is not needed. */
static void complete(fit *f)
{
    while (wanting(f) > 0 && hr_placement_run_go(f->run, 2 * f->a.work + 50)) {
        f->a.work = 0;
        const uint32_t best = best_opening(f);
        if (best == HR_PLACEMENT_NONE) {
            break;
        }
        flip(f, best);
    }
    for (uint32_t c = f->m->columns; c-- > 0;) {
        if (f->open[c] && !f->must[c] && try_column(f, c) <= wanting(f)) {
            flip(f, c);
        }
    }
}

static void keep_best(fit *f)
{
    if (wanting(f) == 0 && f->weight < f->best_weight) {
        f->best_weight = f->weight;
        memcpy(f->best, f->open, f->m->columns);
    }
}

static void swap_search(fit *f, uint64_t lower)
{
    bool go = true;
    while (go && f->best_weight > lower) {
        while (wanting(f) == 0) {
            keep_best(f);
            const uint32_t c = best_of(f, list_closable(f, true), TRIED);
            if (c == HR_PLACEMENT_NONE) {
                return;
            }
            flip(f, c);
        }
        const uint32_t gone = best_of(f, list_closable(f, false), TRIED);
        if (gone != HR_PLACEMENT_NONE) {
            flip(f, gone);
        }
        for (uint32_t row = wanting_row(f); row != HR_PLACEMENT_NONE; row = wanting_row(f)) {
            const uint32_t come = best_of(f, list_openable(f, row, f->best_weight, false), TRIED);
            if (come == HR_PLACEMENT_NONE) {
                break;
            }
            flip(f, come);
        }
        f->now++; /* so that nothing stays fresh for ever */
        go = hr_placement_run_go(f->run, 2 * f->a.work + 50);
        f->a.work = 0;
    }
}

/* ---- the stage ------------------------------------------------------------------------------ */

static bool fit_start(fit *f, const hr_placement_answer *answer)
{
    const hr_placement_model *m = f->m;
    if (!hr_placement_assign_start(&f->a, f->base) || !hr_placement_assign_start(&f->kept, f->base)) {
        return false;
    }
    f->open = hr_alloc_zero((size_t)m->columns * 3 + 1, 1);
    f->covered = hr_alloc_zero((size_t)m->rows + m->columns + 1, sizeof *f->covered);
    f->moved = hr_alloc_zero((size_t)m->columns + 1, sizeof *f->moved);
    if (!f->open || !f->covered || !f->moved) {
        return false;
    }
    f->must = f->open + m->columns;
    f->best = f->must + m->columns;
    f->pick = f->covered + m->rows;
    for (uint32_t c = 0; c < m->columns; c++) {
        f->must[c] = f->base->must[m->column_id[c]];
        f->open[c] = answer->chosen[m->column_id[c]];
        f->weight += f->open[c] ? m->weight[c] : 0;
        for (uint32_t e = m->column_start[c]; f->open[c] && e < m->column_start[c + 1]; e++) {
            f->covered[m->column_row[e]]++;
        }
    }
    for (uint32_t r = 0; r < m->rows; r++) {
        f->lacking += f->covered[r] < m->need[r] ? m->need[r] - f->covered[r] : 0;
    }
    f->missing = hr_placement_assign_rows(&f->a, f->open);
    f->best_weight = UINT64_MAX;
    f->random = f->run->options->seed + 1;
    return true;
}

/* Must columns without a row to meet are not in the model but weigh. */
static uint64_t weight_outside(const fit *f)
{
    uint64_t weight = f->base->must_weight;
    for (uint32_t c = 0; c < f->m->columns; c++) {
        weight -= f->must[c] ? f->m->weight[c] : 0;
    }
    return weight;
}

static bool fit_run(fit *f, hr_placement_answer *answer)
{
    uint64_t bound = 0;
    if (!capacity_bound(f, &bound)) {
        return false;
    }
    const uint64_t outside = weight_outside(f);
    answer->lower = bound + outside > answer->lower ? bound + outside : answer->lower;
    hr_placement_run_stage(f->run, "capacity", hr_placement_run_left(f->run) / 2);
    if (wanting(f) > 0) {
        complete(f);
        keep_best(f);
        if (wanting(f) == 0 && !f->run->options->greedy_only) {
            swap_search(f, answer->lower - outside);
        }
        /* not everybody can be served: what serves most stands */
        const uint8_t *final = f->best_weight < UINT64_MAX ? f->best : f->open;
        for (uint32_t c = 0; c < f->m->columns; c++) {
            answer->chosen[f->m->column_id[c]] = final[c];
        }
    }
    return true;
}

bool hr_placement_fit(hr_placement_run *run, hr_placement_answer *answer)
{
    fit f = {.run = run, .base = answer->base, .m = answer->base->whole};
    const bool ok = fit_start(&f, answer) && fit_run(&f, answer);
    hr_placement_assign_end(&f.a);
    hr_placement_assign_end(&f.kept);
    hr_free(f.open);
    hr_free(f.covered);
    hr_free(f.moved);
    run->no_memory |= !ok;
    return ok;
}
