/*
 * fuzz_cover.c - small covering problems drawn from bytes, solved and held
 * against every subset; malformed ones have to be refused, not to crash.
 *
 * SPDX-License-Identifier: MIT
 */
#include "hr_placement.h"

#include <stdlib.h>

#define MAX_ROWS 8
#define MAX_COLUMNS 10

typedef struct bytes {
    const uint8_t *at;
    size_t left;
} bytes;

static uint8_t next(bytes *b)
{
    if (b->left == 0) {
        return 0;
    }
    b->left--;
    return *b->at++;
}

typedef struct drawn {
    hr_placement_problem problem;
    size_t start[MAX_COLUMNS + 1];
    uint32_t row[MAX_COLUMNS * MAX_ROWS];
    int64_t quality[MAX_COLUMNS * MAX_ROWS];
    uint8_t direct[MAX_COLUMNS * MAX_ROWS];
    uint32_t need[MAX_ROWS], load[MAX_ROWS];
    uint32_t weight[MAX_COLUMNS], cost[MAX_COLUMNS], capacity[MAX_COLUMNS];
    uint8_t state[MAX_COLUMNS];
} drawn;

static void draw(bytes *b, drawn *d, uint8_t flags)
{
    const uint32_t rows = next(b) % (MAX_ROWS + 1), columns = next(b) % (MAX_COLUMNS + 1);
    size_t n = 0;
    d->start[0] = 0;
    for (uint32_t c = 0; c < columns; c++) {
        const uint8_t in = next(b), direct = next(b), more = next(b);
        for (uint32_t r = 0; r < rows; r++) {
            if (in >> r & 1) {
                d->row[n] = r;
                d->direct[n] = direct >> r & 1;
                d->quality[n++] = (int64_t)((more * 7U + r * 13U) % 31U);
            }
        }
        d->start[c + 1] = n;
        d->weight[c] = 1 + (flags & 1 ? more % 5U : 0);
        d->cost[c] = more % 3U;
        d->capacity[c] = more % 4U;
        d->state[c] = (uint8_t)(more % 8U < 6    ? HR_PLACEMENT_FREE
                                : more % 8U == 6 ? HR_PLACEMENT_MUST
                                                 : HR_PLACEMENT_NEVER);
    }
    for (uint32_t r = 0; r < rows; r++) {
        const uint8_t v = next(b);
        d->need[r] = v % 4U;
        d->load[r] = 1 + v / 64U;
    }
    d->problem =
        (hr_placement_problem){.rows = rows, .columns = columns, .column_start = d->start, .column_row = d->row};
    d->problem.weight = d->weight;
    d->problem.need = flags & 2 ? d->need : NULL;
    d->problem.state = flags & 4 ? d->state : NULL;
    d->problem.first = flags & 8 ? 2 : 0;
    d->problem.is_first = flags & 8 ? d->direct : NULL;
    d->problem.capacity = flags & 16 ? d->capacity : NULL;
    d->problem.load = flags & 32 ? d->load : NULL;
    d->problem.quality = flags & 64 ? d->quality : NULL;
    d->problem.cost = flags & 64 ? d->cost : NULL;
}

static void demand(bool holds)
{
    if (!holds) {
        abort();
    }
}

static uint32_t bits(uint32_t v)
{
    uint32_t n = 0;
    for (; v; v &= v - 1) {
        n++;
    }
    return n;
}

/* Columns that may be used, and the columns of each row among them. */
static uint32_t allowed(const hr_placement_problem *p, uint32_t *of_row, uint32_t *must)
{
    uint32_t open = 0;
    *must = 0;
    for (uint32_t c = 0; c < p->columns; c++) {
        uint32_t all = 0, direct = 0;
        for (size_t e = p->column_start[c]; e < p->column_start[c + 1]; e++) {
            all++;
            direct += !p->is_first || p->is_first[e];
        }
        const uint8_t state = p->state ? p->state[c] : HR_PLACEMENT_FREE;
        const bool kept = direct == all || direct >= p->first;
        *must |= state == HR_PLACEMENT_MUST ? 1U << c : 0;
        open |= state == HR_PLACEMENT_MUST || (state == HR_PLACEMENT_FREE && kept) ? 1U << c : 0;
        for (size_t e = p->column_start[c]; (open >> c & 1) && e < p->column_start[c + 1]; e++) {
            of_row[p->column_row[e]] |= 1U << c;
        }
    }
    return open;
}

/* The least weight of a set that gives every row what it can have. */
static uint64_t least(const hr_placement_problem *p)
{
    uint32_t of_row[MAX_ROWS] = {0}, must = 0;
    const uint32_t open = allowed(p, of_row, &must);
    uint64_t best = UINT64_MAX;
    for (uint32_t set = 0; set < 1U << p->columns; set++) {
        bool meets = (set & ~open) == 0 && (must & ~set) == 0;
        for (uint32_t r = 0; r < p->rows && meets; r++) {
            const uint32_t wanted = p->need ? p->need[r] : 1, there = bits(of_row[r]);
            meets = bits(of_row[r] & set) >= (wanted < there ? wanted : there);
        }
        uint64_t weight = 0;
        for (uint32_t c = 0; c < p->columns; c++) {
            weight += set >> c & 1 ? p->weight[c] : 0;
        }
        best = meets && weight < best ? weight : best;
    }
    return best;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    bytes b = {data, size};
    drawn d = {0};
    const uint8_t flags = next(&b), how = next(&b);
    draw(&b, &d, flags);
    if (how & 128 && d.start[d.problem.columns] > 0) { /* spoilt on purpose */
        d.row[how % d.start[d.problem.columns]] += how % 9U;
    }
    const hr_placement_options options = {
        .effort = 2000, .greedy_only = how & 1, .at_most = how & 2 ? 1 + how / 16U % 4U : 0, .seed = how};
    hr_placement_result r;
    const hr_status status = hr_placement_solve(&d.problem, &options, &r, NULL);
    if (status != HR_OK) {
        demand(status == HR_ERR_ARGUMENT);
        return 0;
    }
    const uint64_t best = least(&d.problem);
    demand(r.multipliers == NULL || hr_placement_check_bound(&d.problem, r.multipliers) == r.lower_bound);
    if (options.at_most) {
        demand(r.chosen_count <= options.at_most && d.problem.rows - r.uncovered_count <= d.problem.rows);
    } else if (!d.problem.capacity) {
        demand(r.uncovered_count == 0 && r.weight >= best && r.lower_bound <= best);
        demand(!r.proved || r.weight == best);
    } else {
        demand(r.uncovered_count > 0 || r.weight >= best);
    }
    hr_placement_result_free(&r);
    return 0;
}
