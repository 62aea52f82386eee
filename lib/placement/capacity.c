/*
 * capacity.c - who is served by which chosen column when columns can serve only
 * so much: augmenting paths. With loads of one it is exact (a maximum
 * assignment); with mixed loads, a packing problem, it is a good attempt.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_priv.h"

#include <string.h>

/* Heavy rows first: they are the hard ones to place. Shell sort, ties by index. */
static void sort_rows(hr_placement_assign *a)
{
    static const uint32_t gaps[] = {88573, 29524, 9841, 3280, 1093, 364, 121, 40, 13, 4, 1};
    for (size_t g = 0; g < sizeof gaps / sizeof gaps[0]; g++) {
        for (uint32_t i = gaps[g]; i < a->model->rows; i++) {
            const uint32_t row = a->order[i];
            uint32_t j = i;
            while (j >= gaps[g]) {
                const uint32_t other = a->order[j - gaps[g]];
                if (a->load[other] > a->load[row] || (a->load[other] == a->load[row] && other < row)) {
                    break;
                }
                a->order[j] = other;
                j -= gaps[g];
            }
            a->order[j] = row;
        }
    }
}

bool hr_placement_assign_start(hr_placement_assign *a, const hr_placement_base *base)
{
    const hr_placement_model *m = base->whole;
    *a = (hr_placement_assign){.model = m};
    a->load = hr_alloc((size_t)m->rows + 1, sizeof *a->load);
    a->limit = hr_alloc((size_t)m->columns + 1, sizeof *a->limit);
    a->room = hr_alloc((size_t)m->columns + 1, sizeof *a->room);
    a->server = hr_alloc((size_t)m->rows + 1, sizeof *a->server);
    a->order = hr_alloc((size_t)m->rows + 1, sizeof *a->order);
    a->from = hr_alloc((size_t)m->columns + 1, sizeof *a->from);
    a->moved = hr_alloc((size_t)m->columns + 1, sizeof *a->moved);
    a->queue = hr_alloc((size_t)m->columns + 1, sizeof *a->queue);
    if (!a->load || !a->limit || !a->room || !a->server || !a->order || !a->from || !a->moved || !a->queue) {
        hr_placement_assign_end(a);
        return false;
    }
    const hr_placement_problem *p = base->problem;
    for (uint32_t r = 0; r < m->rows; r++) {
        a->load[r] = p->load ? p->load[m->row_id[r]] : 1;
        a->order[r] = r;
    }
    for (uint32_t c = 0; c < m->columns; c++) {
        const uint32_t given = p->capacity ? p->capacity[m->column_id[c]] : 0;
        a->limit[c] = given ? given : INT64_MAX;
    }
    sort_rows(a);
    return true;
}

void hr_placement_assign_end(hr_placement_assign *a)
{
    hr_free(a->load);
    hr_free(a->limit);
    hr_free(a->room);
    hr_free(a->server);
    hr_free(a->order);
    hr_free(a->from);
    hr_free(a->moved);
    hr_free(a->queue);
    *a = (hr_placement_assign){0};
}

static void put(hr_placement_assign *a, uint32_t row, uint32_t column)
{
    a->server[row] = column;
    a->room[column] -= a->load[row];
}

/* Follows the path back from a column with room: each row on it moves one on. */
static void shift(hr_placement_assign *a, uint32_t row, uint32_t column)
{
    while (a->from[column] != HR_PLACEMENT_NONE) {
        const uint32_t before = a->from[column], moved = a->moved[column];
        a->room[before] += a->load[moved];
        put(a, moved, column);
        column = before;
    }
    put(a, row, column);
}

/* Queues the chosen columns of a row that were not seen yet. */
static void enqueue(hr_placement_assign *a, const uint8_t *chosen, uint32_t row, uint32_t from)
{
    for (uint32_t e = a->model->row_start[row]; e < a->model->row_start[row + 1]; e++) {
        const uint32_t c = a->model->row_column[e];
        if (chosen[c] && a->moved[c] == HR_PLACEMENT_NONE) {
            a->moved[c] = row;
            a->from[c] = from;
            a->queue[a->queued++] = c;
        }
    }
}

/* Breadth first over columns: who would have to make room for the row. */
bool hr_placement_assign_place(hr_placement_assign *a, const uint8_t *chosen, uint32_t row)
{
    const hr_placement_model *m = a->model;
    a->queued = 0;
    enqueue(a, chosen, row, HR_PLACEMENT_NONE);
    bool placed = false;
    for (uint32_t head = 0; head < a->queued && !placed; head++) {
        const uint32_t c = a->queue[head];
        const int64_t load = a->load[a->moved[c]];
        placed = a->room[c] >= load;
        if (placed) {
            shift(a, row, c);
            break;
        }
        for (uint32_t e = m->column_start[c]; e < m->column_start[c + 1]; e++) {
            const uint32_t q = m->column_row[e];
            if (a->server[q] == c && a->room[c] + a->load[q] >= load) {
                enqueue(a, chosen, q, c);
            }
        }
        a->work += m->column_start[c + 1] - m->column_start[c];
    }
    for (uint32_t i = 0; i < a->queued; i++) {
        a->moved[a->queue[i]] = HR_PLACEMENT_NONE;
    }
    return placed;
}

uint32_t hr_placement_assign_rows(hr_placement_assign *a, const uint8_t *chosen)
{
    const hr_placement_model *m = a->model;
    memset(a->moved, 0xff, ((size_t)m->columns + 1) * sizeof *a->moved);
    memset(a->server, 0xff, ((size_t)m->rows + 1) * sizeof *a->server);
    memcpy(a->room, a->limit, (size_t)m->columns * sizeof *a->room);
    uint32_t missing = 0;
    for (uint32_t i = 0; i < m->rows; i++) {
        missing += !hr_placement_assign_place(a, chosen, a->order[i]);
    }
    return missing;
}
