/*
 * reduce.c - rows and columns that cannot matter are taken out:
 *   - a row with exactly as many columns as it needs takes them all;
 *   - a row is idle when another asks as much of a subset of its columns;
 *   - a column is idle when B others cover what it covers at no more weight, B
 *     the largest need among its rows: one alone is not enough in k-fold cover.
 * Each step is right for what is left at that moment, so the order does not matter.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_priv.h"

#include <string.h>

typedef struct reducer {
    hr_placement_run *run;
    const hr_placement_model *m;
    uint32_t *lack;                      /* per row, 0: gone                     */
    uint32_t *row_left, *column_left;    /* live columns of a row and vice versa */
    uint32_t *row_list, *row_fill;       /* working copies, dead entries swept   */
    uint32_t *column_list, *column_fill; /* out now and then                     */
    uint8_t *open;                       /* per column                           */
    uint32_t *taken, taken_count;
    bool impossible;
} reducer;

static bool reducer_start(reducer *x, hr_placement_run *run, const hr_placement_model *m)
{
    *x = (reducer){.run = run, .m = m};
    const size_t rows = m->rows, columns = m->columns, entries = m->entries;
    x->lack = hr_alloc(rows * 3 + columns * 3 + entries * 2 + 1, sizeof(uint32_t));
    x->open = hr_alloc(columns + 1, 1);
    if (!x->lack || !x->open) {
        hr_free(x->lack);
        hr_free(x->open);
        return false;
    }
    x->row_left = x->lack + rows;
    x->row_fill = x->row_left + rows;
    x->column_left = x->row_fill + rows;
    x->column_fill = x->column_left + columns;
    x->taken = x->column_fill + columns;
    x->row_list = x->taken + columns;
    x->column_list = x->row_list + entries;
    memcpy(x->lack, m->need, rows * sizeof(uint32_t));
    memcpy(x->row_list, m->row_column, entries * sizeof(uint32_t));
    memcpy(x->column_list, m->column_row, entries * sizeof(uint32_t));
    for (uint32_t r = 0; r < m->rows; r++) {
        x->row_left[r] = x->row_fill[r] = m->row_start[r + 1] - m->row_start[r];
    }
    for (uint32_t c = 0; c < m->columns; c++) {
        x->column_left[c] = x->column_fill[c] = m->column_start[c + 1] - m->column_start[c];
        x->open[c] = 1;
    }
    return true;
}

static void drop_row(reducer *x, uint32_t r)
{
    x->lack[r] = 0;
    for (uint32_t i = 0; i < x->row_fill[r]; i++) {
        x->column_left[x->row_list[x->m->row_start[r] + i]]--;
    }
}

static void drop_column(reducer *x, uint32_t c)
{
    x->open[c] = 0;
    for (uint32_t i = 0; i < x->column_fill[c]; i++) {
        x->row_left[x->column_list[x->m->column_start[c] + i]]--;
    }
}

static void take_column(reducer *x, uint32_t c)
{
    drop_column(x, c);
    x->taken[x->taken_count++] = c;
    for (uint32_t i = 0; i < x->column_fill[c]; i++) {
        const uint32_t r = x->column_list[x->m->column_start[c] + i];
        if (x->lack[r] > 0 && --x->lack[r] == 0) {
            drop_row(x, r);
        }
    }
}

/* Rows without a choice. True when something was taken. */
static bool take_forced(reducer *x)
{
    bool any = false;
    for (bool again = true; again && !x->impossible;) {
        again = false;
        for (uint32_t r = 0; r < x->m->rows && !x->impossible; r++) {
            if (x->lack[r] == 0 || x->row_left[r] > x->lack[r]) {
                continue;
            }
            x->impossible = x->row_left[r] < x->lack[r];
            for (uint32_t i = 0; !x->impossible && x->lack[r] > 0 && i < x->row_fill[r]; i++) {
                const uint32_t c = x->row_list[x->m->row_start[r] + i];
                if (x->open[c]) {
                    take_column(x, c);
                }
            }
            again = any = true;
        }
    }
    return any;
}

/* Sweeps dead entries out of the working lists. */
static void sweep(reducer *x)
{
    for (uint32_t r = 0; r < x->m->rows; r++) {
        uint32_t *list = x->row_list + x->m->row_start[r], n = 0;
        for (uint32_t i = 0; x->lack[r] > 0 && i < x->row_fill[r]; i++) {
            if (x->open[list[i]]) {
                list[n++] = list[i];
            }
        }
        x->row_fill[r] = n;
    }
    for (uint32_t c = 0; c < x->m->columns; c++) {
        uint32_t *list = x->column_list + x->m->column_start[c], n = 0;
        for (uint32_t i = 0; x->open[c] && i < x->column_fill[c]; i++) {
            if (x->lack[list[i]] > 0) {
                list[n++] = list[i];
            }
        }
        x->column_fill[c] = n;
    }
    x->run->entries += x->m->entries;
}

/* Is every live entry of a in b? Both ascending. *seen counts the work. */
static bool is_subset(const uint32_t *a, uint32_t na, const uint32_t *b, uint32_t nb, uint64_t *seen)
{
    uint32_t j = 0;
    for (uint32_t i = 0; i < na; i++) {
        while (j < nb && b[j] < a[i]) {
            j++;
        }
        if (j == nb || b[j] != a[i]) {
            *seen += i + j + 1;
            return false;
        }
        j++;
    }
    *seen += na + j;
    return true;
}

static bool drop_idle_rows(reducer *x)
{
    const hr_placement_model *m = x->m;
    bool any = false;
    for (uint32_t r = 0; r < m->rows; r++) {
        if (x->lack[r] == 0) {
            continue;
        }
        const uint32_t *own = x->row_list + m->row_start[r];
        uint32_t thin = own[0];
        for (uint32_t i = 1; i < x->row_fill[r]; i++) {
            thin = x->column_left[own[i]] < x->column_left[thin] ? own[i] : thin;
        }
        uint64_t seen = x->row_fill[r];
        /* rows are dropped while the list of the thin column is walked: the list itself stays as it is */
        for (uint32_t i = 0; i < x->column_fill[thin]; i++) {
            const uint32_t other = x->column_list[m->column_start[thin] + i];
            if (other != r && x->lack[other] > 0 && x->lack[other] <= x->lack[r] &&
                x->row_fill[other] >= x->row_fill[r] &&
                is_subset(own, x->row_fill[r], x->row_list + m->row_start[other], x->row_fill[other], &seen)) {
                drop_row(x, other);
                any = true;
            }
        }
        if (!hr_placement_run_go(x->run, seen)) {
            break;
        }
    }
    return any;
}

/* Counts up to `enough` open columns that do all that c does, at no more weight. */
static bool has_betters(reducer *x, uint32_t c, const uint32_t *own, uint32_t n, uint64_t *seen)
{
    const hr_placement_model *m = x->m;
    uint32_t rare = own[0], enough = 0, found = 0;
    for (uint32_t i = 0; i < n; i++) {
        rare = x->row_left[own[i]] < x->row_left[rare] ? own[i] : rare;
        enough = x->lack[own[i]] > enough ? x->lack[own[i]] : enough;
    }
    *seen += n;
    for (uint32_t i = 0; i < x->row_fill[rare] && found < enough; i++) {
        const uint32_t other = x->row_list[m->row_start[rare] + i];
        found += other != c && x->open[other] && m->weight[other] <= m->weight[c] && x->column_fill[other] >= n &&
                 is_subset(own, n, x->column_list + m->column_start[other], x->column_fill[other], seen);
    }
    return found >= enough;
}

/* From the highest index down, so that of equal columns the lowest stay. Rows
 * that died since the last sweep would only hide a dominance, never make one. */
static bool drop_idle_columns(reducer *x)
{
    const hr_placement_model *m = x->m;
    bool any = false;
    for (uint32_t c = m->columns; c-- > 0;) {
        if (!x->open[c]) {
            continue;
        }
        uint64_t seen = 1;
        if (x->column_left[c] == 0 ||
            has_betters(x, c, x->column_list + m->column_start[c], x->column_fill[c], &seen)) {
            drop_column(x, c);
            any = true;
        }
        if (!hr_placement_run_go(x->run, seen)) {
            break;
        }
    }
    return any;
}

static void apply_fixes(reducer *x, const uint8_t *fix)
{
    for (uint32_t c = 0; fix && c < x->m->columns; c++) {
        if (fix[c] == HR_PLACEMENT_FIX_TAKE) {
            take_column(x, c);
        } else if (fix[c] == HR_PLACEMENT_FIX_DROP) {
            drop_column(x, c);
        }
    }
}

bool hr_placement_reduce(hr_placement_run *run, const hr_placement_model *model, const uint8_t *fix, bool dominance,
                         hr_placement_reduced *out)
{
    reducer x;
    if (!reducer_start(&x, run, model)) {
        return false;
    }
    apply_fixes(&x, fix);
    take_forced(&x);
    for (bool again = dominance; again && !x.impossible;) {
        sweep(&x);
        again = drop_idle_rows(&x);
        if (again) {
            sweep(&x);
        }
        again = drop_idle_columns(&x) || again;
        again = take_forced(&x) || again;
        again = again && run->entries < run->stop && !hr_placement_run_dead(run);
    }
    *out = (hr_placement_reduced){.impossible = x.impossible, .taken_count = x.taken_count};
    out->taken = hr_alloc((size_t)x.taken_count + 1, sizeof *out->taken);
    out->model = hr_placement_model_cut(model, x.lack, x.open);
    run->entries += 3 * (uint64_t)model->entries;
    if (out->taken && x.taken_count > 0) {
        memcpy(out->taken, x.taken, x.taken_count * sizeof *out->taken);
    }
    hr_free(x.lack);
    hr_free(x.open);
    if (out->model && out->taken) {
        return true;
    }
    hr_placement_reduced_free(out);
    return false;
}

void hr_placement_reduced_free(hr_placement_reduced *reduced)
{
    hr_placement_model_free(reduced->model);
    hr_free(reduced->taken);
    *reduced = (hr_placement_reduced){0};
}
