/*
 * swaps.c - what an answer is worth, and making it worth more by replacing one
 * column by another of no more price while every row stays met.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_priv.h"

#include <string.h>

/* ---- what an answer is worth ---------------------------------------------------------- */

/* Where a row stands in a column's entries. */
static uint32_t entry_of(const hr_placement_model *m, uint32_t column, uint32_t row)
{
    uint32_t low = m->column_start[column], high = m->column_start[column + 1];
    while (high - low > 1) {
        const uint32_t mid = low + (high - low) / 2;
        if (m->column_row[mid] <= row) {
            low = mid;
        } else {
            high = mid;
        }
    }
    return low;
}

/* The best chosen columns of a row, equal ones in column order. */
static void set_top(hr_placement_better *x, uint32_t row)
{
    const hr_placement_model *m = x->m;
    int64_t *q = x->top_quality + x->top_start[row];
    uint32_t *col = x->top_column + x->top_start[row];
    const uint32_t room = m->need[row] + 1;
    uint32_t count = 0;
    for (uint32_t e = m->row_start[row]; e < m->row_start[row + 1]; e++) {
        const uint32_t c = m->row_column[e];
        const int64_t own = x->chosen[c] ? x->quality[entry_of(m, c, row)] : 0;
        if (!x->chosen[c] || (count == room && q[room - 1] >= own)) {
            continue;
        }
        uint32_t at = count < room ? count++ : room - 1;
        for (; at > 0 && q[at - 1] < own; at--) {
            q[at] = q[at - 1];
            col[at] = col[at - 1];
        }
        q[at] = own;
        col[at] = c;
    }
    for (; count < room; count++) {
        col[count] = HR_PLACEMENT_NONE;
    }
}

static int64_t row_quality(const hr_placement_better *x, uint32_t row)
{
    return x->top_quality[x->top_start[row] + x->m->need[row] - 1];
}

/* All of the books for chosen. first: rows not met are given up from here on. */
void hr_placement_take_stock(hr_placement_better *x, bool first)
{
    x->worst = INT64_MAX;
    x->sum = 0;
    x->total_price = 0;
    for (uint32_t c = 0; c < x->m->columns; c++) {
        x->total_price += x->chosen[c] ? x->price[c] : 0;
    }
    for (uint32_t r = 0; r < x->m->rows; r++) {
        set_top(x, r);
        const bool met = x->top_column[x->top_start[r] + x->m->need[r] - 1] != HR_PLACEMENT_NONE;
        x->active[r] = first ? met : x->active[r];
        if (x->active[r] && met) {
            const int64_t q = row_quality(x, r);
            x->worst = q < x->worst ? q : x->worst;
            x->sum += q;
        }
    }
    x->run->entries += 4 * (uint64_t)x->m->entries;
}

bool hr_placement_can_serve(hr_placement_better *x, const uint8_t *chosen)
{
    if (!x->limited) {
        return true;
    }
    x->assign.work = 0;
    const uint32_t missing = hr_placement_assign_rows(&x->assign, chosen);
    x->run->entries += 2 * x->assign.work + x->m->entries;
    return missing == 0;
}

/* ---- the better whole: swaps ------------------------------------------------------------ */

/* A row's quality without column gone (NONE: all stay) and with one more of
 * quality come (less than -HR_PLACEMENT_QUALITY_MAX: none); INT64_MIN: not met. */
static int64_t quality_after(const hr_placement_better *x, uint32_t row, uint32_t gone, int64_t come)
{
    const int64_t *q = x->top_quality + x->top_start[row];
    const uint32_t *col = x->top_column + x->top_start[row];
    const uint32_t room = x->m->need[row] + 1;
    uint32_t left = x->m->need[row];
    for (uint32_t i = 0; i <= room; i++) {
        const bool none = i == room || col[i] == HR_PLACEMENT_NONE;
        if (come >= -HR_PLACEMENT_QUALITY_MAX && (none || q[i] <= come)) {
            if (--left == 0) {
                return come;
            }
            come = INT64_MIN;
        }
        if (none) {
            break;
        }
        if (col[i] != gone && --left == 0) {
            return q[i];
        }
    }
    return INT64_MIN;
}

/* What a swap adds to the sum; false when a row is lost or falls below the worst. */
static bool swap_gain(const hr_placement_better *x, uint32_t gone, uint32_t come, int64_t *gain)
{
    const hr_placement_model *m = x->m;
    uint32_t a = m->column_start[gone], b = m->column_start[come];
    const uint32_t a_end = m->column_start[gone + 1], b_end = m->column_start[come + 1];
    *gain = 0;
    while (a < a_end || b < b_end) {
        const uint32_t ra = a < a_end ? m->column_row[a] : UINT32_MAX, rb = b < b_end ? m->column_row[b] : UINT32_MAX;
        const uint32_t row = ra < rb ? ra : rb;
        const int64_t with = rb == row ? x->quality[b] : INT64_MIN;
        a += ra == row;
        b += rb == row;
        if (!x->active[row]) {
            continue;
        }
        const int64_t after = quality_after(x, row, ra == row ? gone : HR_PLACEMENT_NONE, with);
        if (after == INT64_MIN || after < x->worst) {
            return false;
        }
        *gain += after - row_quality(x, row);
    }
    return true;
}

static void do_swap(hr_placement_better *x, uint32_t gone, uint32_t come)
{
    x->chosen[gone] = 0;
    x->chosen[come] = 1;
    hr_placement_take_stock(x, false);
}

/* A row that only this column keeps met: whatever replaces it must have that row. */
static uint32_t critical_row(const hr_placement_better *x, uint32_t column)
{
    uint32_t best = HR_PLACEMENT_NONE, best_length = 0;
    for (uint32_t e = x->m->column_start[column]; e < x->m->column_start[column + 1]; e++) {
        const uint32_t r = x->m->column_row[e], length = x->m->row_start[r + 1] - x->m->row_start[r];
        if (x->active[r] && x->top_column[x->top_start[r] + x->m->need[r]] == HR_PLACEMENT_NONE &&
            (best == HR_PLACEMENT_NONE || length < best_length)) {
            best = r;
            best_length = length;
        }
    }
    return best;
}

/* The best replacement of one column; true when a swap was made. */
static bool improve_column(hr_placement_better *x, uint32_t gone)
{
    const hr_placement_model *m = x->m;
    const uint32_t row = critical_row(x, gone);
    const uint32_t first = row == HR_PLACEMENT_NONE ? 0 : m->row_start[row];
    const uint32_t last = row == HR_PLACEMENT_NONE ? m->columns : m->row_start[row + 1];
    uint32_t best = HR_PLACEMENT_NONE;
    int64_t best_gain = 0;
    uint64_t work = 0;
    for (uint32_t i = first; i < last; i++) {
        const uint32_t come = row == HR_PLACEMENT_NONE ? i : m->row_column[i];
        int64_t gain = 0;
        if (x->chosen[come] || x->price[come] > x->price[gone]) {
            continue;
        }
        work += 4 * (uint64_t)(m->column_start[come + 1] - m->column_start[come] + m->column_start[gone + 1] -
                               m->column_start[gone]);
        if (!swap_gain(x, gone, come, &gain)) {
            continue;
        }
        if (gain > best_gain ||
            (gain == best_gain && gain >= 0 && x->price[come] < x->price[gone] && best == HR_PLACEMENT_NONE)) {
            best = come;
            best_gain = gain;
        }
    }
    x->run->entries += work;
    if (best != HR_PLACEMENT_NONE && x->limited) {
        memcpy(x->trial, x->chosen, m->columns);
        x->trial[gone] = 0;
        x->trial[best] = 1;
        best = hr_placement_can_serve(x, x->trial) ? best : HR_PLACEMENT_NONE;
    }
    if (best == HR_PLACEMENT_NONE) {
        return false;
    }
    do_swap(x, gone, best);
    return true;
}

void hr_placement_swap_up(hr_placement_better *x)
{
    for (bool again = true; again;) {
        again = false;
        for (uint32_t c = 0; c < x->m->columns; c++) {
            if (x->chosen[c] && !x->must[c]) {
                again = improve_column(x, c) || again;
                if (!hr_placement_run_go(x->run, 50)) {
                    return;
                }
            }
        }
    }
}
