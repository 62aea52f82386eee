/*
 * local_search.c - row weighting local search (Gao, Yao, Weise, Li, European J.
 * of Operational Research 246, 2015): rows that stay uncovered weigh more and
 * more, the column whose loss weighs least goes, one that covers a random
 * uncovered row comes. For k-fold cover a row counts as long as it is short.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_priv.h"

#include <string.h>

/* Beyond this a row's weight stands still, so that scores stay exact. */
#define ROW_WEIGHT_MAX ((uint32_t)1 << 24)
/* Under a budget only needs met in full count: the cover that completes one is worth this many others. */
#define BUDGET_LAST 4

typedef struct search {
    const hr_placement_model *m;
    uint8_t *in;
    uint32_t *covered, *row_weight; /* per row                                                   */
    int64_t *score;                 /* per column: weight of rows lost without it, or won with it */
    uint64_t *moved;                /* per column: when it last came or went                      */
    uint64_t *touched;              /* per row: when a column of it last came or went             */
    uint32_t *list, *place;         /* the columns in, and where each stands there                */
    uint32_t count;
    uint32_t *short_list, *short_place; /* the rows short, likewise                                   */
    uint32_t short_count;
    uint64_t weight, now, work, random;
    uint32_t tabu; /* came in the last move                                      */
    int64_t last;  /* what the last cover of a need counts, earlier ones 1       */
} search;

static bool search_start(search *s, const hr_placement_model *m, int64_t last)
{
    *s = (search){.m = m, .now = 1, .tabu = HR_PLACEMENT_NONE, .last = last};
    s->in = hr_alloc_zero((size_t)m->columns + 1, 1);
    s->covered = hr_alloc_zero((size_t)m->rows * 4 + (size_t)m->columns * 2 + 1, sizeof(uint32_t));
    s->score = hr_alloc_zero((size_t)m->columns + 1, sizeof *s->score);
    s->moved = hr_alloc_zero((size_t)m->columns + (size_t)m->rows + 1, sizeof *s->moved);
    if (!s->in || !s->covered || !s->score || !s->moved) {
        return false;
    }
    s->row_weight = s->covered + m->rows;
    s->short_list = s->row_weight + m->rows;
    s->short_place = s->short_list + m->rows;
    s->list = s->short_place + m->rows;
    s->place = s->list + m->columns;
    s->touched = s->moved + m->columns;
    for (uint32_t r = 0; r < m->rows; r++) {
        s->row_weight[r] = 1;
        s->short_list[r] = s->short_place[r] = r;
    }
    s->short_count = m->rows;
    for (uint32_t c = 0; c < m->columns; c++) {
        for (uint32_t e = m->column_start[c]; e < m->column_start[c + 1]; e++) {
            s->score[c] += m->need[m->column_row[e]] == 1 ? last : 1;
        }
    }
    return true;
}

static void search_end(search *s)
{
    hr_free(s->in);
    hr_free(s->covered);
    hr_free(s->score);
    hr_free(s->moved);
}

/* What one more column for a row would count, and what one of those it has counts. */
static int64_t worth_out(const search *s, uint32_t row, uint32_t covered)
{
    const uint32_t need = s->m->need[row];
    return covered >= need ? 0 : (covered + 1 == need ? s->last : 1) * (int64_t)s->row_weight[row];
}
static int64_t worth_in(const search *s, uint32_t row, uint32_t covered)
{
    return covered > s->m->need[row] ? 0 : (covered == s->m->need[row] ? s->last : 1) * (int64_t)s->row_weight[row];
}

/* A row's count goes from one value to the next: the scores of its columns
 * follow, but for the one that moves, whose score means the same in and out. */
static void shift_scores(search *s, uint32_t row, uint32_t from, uint32_t to, uint32_t except)
{
    const hr_placement_model *m = s->m;
    const int64_t out = worth_out(s, row, to) - worth_out(s, row, from),
                  in = worth_in(s, row, to) - worth_in(s, row, from);
    if (out == 0 && in == 0) {
        return;
    }
    const uint32_t end = m->row_start[row + 1];
    for (uint32_t e = m->row_start[row]; e < end; e++) {
        const uint32_t c = m->row_column[e];
        if (c != except) {
            s->score[c] += s->in[c] ? in : out;
        }
    }
    s->work += end - m->row_start[row];
}

static void add_column(search *s, uint32_t column)
{
    const hr_placement_model *m = s->m;
    s->now++;
    for (uint32_t e = m->column_start[column]; e < m->column_start[column + 1]; e++) {
        const uint32_t r = m->column_row[e], before = s->covered[r]++;
        s->touched[r] = s->now;
        if (before + 1 == m->need[r]) {
            const uint32_t last = s->short_list[--s->short_count];
            s->short_list[s->short_place[r]] = last;
            s->short_place[last] = s->short_place[r];
        }
        shift_scores(s, r, before, before + 1, column);
    }
    s->work += m->column_start[column + 1] - m->column_start[column];
    s->in[column] = 1;
    s->moved[column] = s->now;
    s->place[column] = s->count;
    s->list[s->count++] = column;
    s->weight += m->weight[column];
}

static void remove_column(search *s, uint32_t column)
{
    const hr_placement_model *m = s->m;
    s->now++;
    for (uint32_t e = m->column_start[column]; e < m->column_start[column + 1]; e++) {
        const uint32_t r = m->column_row[e], before = s->covered[r]--;
        s->touched[r] = s->now;
        if (before == m->need[r]) {
            s->short_place[r] = s->short_count;
            s->short_list[s->short_count++] = r;
        }
        shift_scores(s, r, before, before - 1, column);
    }
    s->work += m->column_start[column + 1] - m->column_start[column];
    s->in[column] = 0;
    s->moved[column] = s->now;
    const uint32_t last = s->list[--s->count];
    s->list[s->place[column]] = last;
    s->place[last] = s->place[column];
    s->weight -= m->weight[column];
}

/* The column in whose going loses least per weight; ties: the one that stands longest. */
static uint32_t least_loss(const search *s, uint32_t tabu)
{
    uint32_t best = HR_PLACEMENT_NONE;
    for (uint32_t i = 0; i < s->count; i++) {
        const uint32_t c = s->list[i];
        if (c == tabu) {
            continue;
        }
        if (best == HR_PLACEMENT_NONE) {
            best = c;
            continue;
        }
        const double a = (double)s->score[c] * s->m->weight[best], b = (double)s->score[best] * s->m->weight[c];
        if (a < b || (a <= b && s->moved[c] < s->moved[best])) {
            best = c;
        }
    }
    return best;
}

/* Something around a column changed since it left: bringing it back is no mere undoing. */
static bool may_come(const search *s, uint32_t column)
{
    for (uint32_t e = s->m->column_start[column]; e < s->m->column_start[column + 1]; e++) {
        if (s->touched[s->m->column_row[e]] > s->moved[column]) {
            return true;
        }
    }
    return s->moved[column] == 0;
}

/* The column out that wins most per weight for a row; ties: out longest. */
static uint32_t most_gain(search *s, uint32_t row)
{
    const hr_placement_model *m = s->m;
    uint32_t best = HR_PLACEMENT_NONE;
    for (uint32_t e = m->row_start[row]; e < m->row_start[row + 1]; e++) {
        const uint32_t c = m->row_column[e];
        if (s->in[c]) {
            continue;
        }
        if (best != HR_PLACEMENT_NONE) {
            const double a = (double)s->score[c] * m->weight[best], b = (double)s->score[best] * m->weight[c];
            if (a < b || (a <= b && s->moved[c] >= s->moved[best])) {
                continue;
            }
        }
        if (may_come(s, c)) {
            best = c;
        }
    }
    s->work += m->row_start[row + 1] - m->row_start[row];
    return best;
}

static void weigh_short_rows(search *s)
{
    const hr_placement_model *m = s->m;
    for (uint32_t i = 0; i < s->short_count; i++) {
        const uint32_t r = s->short_list[i];
        if (s->row_weight[r] >= ROW_WEIGHT_MAX) {
            continue;
        }
        s->row_weight[r]++;
        for (uint32_t e = m->row_start[r]; e < m->row_start[r + 1]; e++) {
            s->score[m->row_column[e]]++;
        }
        s->work += m->row_start[r + 1] - m->row_start[r];
    }
}

/* One move: a column goes, others come as far as the weight stays below the best. */
static void move(search *s, uint64_t best)
{
    const uint32_t gone = least_loss(s, s->tabu);
    if (gone != HR_PLACEMENT_NONE) {
        remove_column(s, gone);
    }
    s->work += s->count;
    s->tabu = HR_PLACEMENT_NONE;
    while (s->short_count > 0) {
        const uint32_t row = s->short_list[hr_placement_random(&s->random) % s->short_count];
        const uint32_t come = most_gain(s, row);
        if (come == HR_PLACEMENT_NONE || s->weight + s->m->weight[come] >= best) {
            break;
        }
        add_column(s, come);
        s->tabu = come;
    }
    weigh_short_rows(s);
}

bool hr_placement_local_search(hr_placement_run *run, const hr_placement_model *model, uint64_t seed, uint64_t enough,
                               uint8_t *chosen, uint64_t *weight)
{
    search s;
    if (!search_start(&s, model, 1)) {
        search_end(&s);
        run->no_memory = true;
        return false;
    }
    s.random = seed;
    for (uint32_t c = 0; c < model->columns; c++) {
        if (chosen[c]) {
            add_column(&s, c);
        }
    }
    bool go = true;
    while (go && *weight > enough) {
        while (s.short_count == 0 && s.count > 0) {
            if (s.weight < *weight) {
                *weight = s.weight;
                memcpy(chosen, s.in, model->columns);
            }
            remove_column(&s, least_loss(&s, HR_PLACEMENT_NONE));
        }
        move(&s, *weight);
        /* entries met at random cost about twice those read in order, and a move costs something by itself */
        go = hr_placement_run_go(run, 2 * s.work + 50);
        s.work = 0;
    }
    search_end(&s);
    return !run->no_memory;
}

/* ---- at most so many columns ------------------------------------------------------- */

/* The column out that wins most; ties: out longest. Those that left lately stay out. */
static uint32_t most_won(search *s, uint64_t tenure)
{
    const hr_placement_model *m = s->m;
    uint32_t best = HR_PLACEMENT_NONE;
    for (uint32_t c = 0; c < m->columns; c++) {
        if (!s->in[c] && s->score[c] > 0 && (s->moved[c] == 0 || s->now - s->moved[c] > tenure) &&
            (best == HR_PLACEMENT_NONE || s->score[c] > s->score[best] ||
             (s->score[c] == s->score[best] && s->moved[c] < s->moved[best]))) {
            best = c;
        }
    }
    s->work += m->columns;
    return best;
}

/* The column in that loses least, whatever it weighs; ties: in longest. */
static uint32_t least_lost(const search *s, uint64_t tenure)
{
    uint32_t best = HR_PLACEMENT_NONE;
    for (uint32_t i = 0; i < s->count; i++) {
        const uint32_t c = s->list[i];
        if (s->now - s->moved[c] > tenure && (best == HR_PLACEMENT_NONE || s->score[c] < s->score[best] ||
                                              (s->score[c] == s->score[best] && s->moved[c] < s->moved[best]))) {
            best = c;
        }
    }
    return best;
}

/* Tabu search by swaps; all rows weigh the same here, for not all will be met.
 * How long a column stays tabu goes by how many there are to choose from. */
static void swap_for_most(search *s, hr_placement_run *run, uint32_t room, uint8_t *chosen, uint32_t *unmet)
{
    const uint32_t out = s->m->columns > room ? s->m->columns - room : 0;
    const uint32_t stay_out = 1 + (out / 3 < 20 ? out / 3 : 20), stay_in = 1 + (room / 2 < 8 ? room / 2 : 8);
    for (bool go = true; go && *unmet > 0;) {
        while (s->count < room) {
            const uint32_t come = most_won(s, hr_placement_random(&s->random) % stay_out);
            if (come == HR_PLACEMENT_NONE) {
                break;
            }
            add_column(s, come);
        }
        if (s->short_count < *unmet) {
            *unmet = s->short_count;
            memcpy(chosen, s->in, s->m->columns);
        }
        const uint32_t gone = least_lost(s, hr_placement_random(&s->random) % stay_in);
        if (gone != HR_PLACEMENT_NONE) {
            remove_column(s, gone);
        }
        s->now++; /* so that no tabu lasts for ever */
        go = hr_placement_run_go(run, 2 * s->work + s->count + 50);
        s->work = 0;
    }
}

bool hr_placement_budget_search(hr_placement_run *run, const hr_placement_model *model, uint64_t seed, uint32_t room,
                                uint8_t *chosen, uint32_t *unmet)
{
    search s;
    if (!search_start(&s, model, BUDGET_LAST)) {
        search_end(&s);
        run->no_memory = true;
        return false;
    }
    s.random = seed;
    for (uint32_t c = 0; c < model->columns; c++) {
        if (chosen[c]) {
            add_column(&s, c);
        }
    }
    *unmet = s.short_count;
    if (room > 0) {
        swap_for_most(&s, run, room, chosen, unmet);
    }
    search_end(&s);
    return true;
}
