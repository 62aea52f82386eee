/*
 * hr_placement.h - set cover with a proof beside the answer. Numbers in,
 * numbers out: knows neither radio nor geometry.
 *
 * The question: choose columns (spots) so that every row (device) i lies in at
 * least need[i] chosen columns, at the least total weight; among those the
 * least secondary cost, then the largest smallest quality, then the largest
 * mean quality. Only the total weight carries a proof.
 *
 * A row is as good as the last column it needs: the need[i]-th best chosen one.
 * A row that has fewer columns than it needs is named as short and asks, in the
 * answer as in the bound, for what it has.
 *
 * The same problem and options give the same answer everywhere: work is counted
 * in steps, ties go to the lower index. Columns and rows in another order may
 * give another answer of the same worth: callers sort.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_PLACEMENT_H
#define HR_PLACEMENT_H

#include "hr_base.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What the caller says of a column. */
typedef enum hr_placement_state {
    HR_PLACEMENT_FREE = 0,
    HR_PLACEMENT_MUST, /* is in every answer */
    HR_PLACEMENT_NEVER /* is in none         */
} hr_placement_state;

/* The problem, column by column. Arrays are the caller's and not kept. */
typedef struct hr_placement_problem {
    size_t rows, columns;
    const size_t *column_start; /* columns + 1 offsets into column_row           */
    const uint32_t *column_row; /* rows of each column, ascending, no repeats    */
    const int64_t *quality;     /* beside column_row: how well (micro-dB); NULL: all equal */
    const uint32_t *need;       /* per row; NULL: 1 each; 0: row does not matter */
    const uint32_t *weight;     /* per column, 1 .. 2^20; NULL: 1 each           */
    const uint32_t *cost;       /* per column, secondary; NULL: 0 each           */
    const uint8_t *state;       /* per column, hr_placement_state; NULL: all free */
    const uint32_t *capacity;   /* sum of loads a column may serve; NULL or 0: no limit. Each row
                                   with a need is served by one of its chosen columns          */
    const uint32_t *load;       /* what a row takes of a capacity; NULL: 1 each  */
    uint32_t first;             /* a column is used only with at least that many rows of the `is_first`
                                   kind (or when all of its rows are, if it has fewer); must columns are
                                   used all the same; 0: no rule                               */
    const uint8_t *is_first;    /* beside column_row: row is a direct one of this column; NULL: all */
} hr_placement_problem;

typedef struct hr_placement_options {
    uint64_t effort;  /* steps of about a microsecond (a thousand matrix entries looked at); 0: 8 million */
    double seconds;   /* safety stop, 0: none; says so in clock_stopped when it bites */
    uint32_t at_most; /* budget: at most so many columns (must columns among them), meet the needs of as
                         many rows as possible; 0: no budget */
    bool greedy_only; /* no local search, no bound beyond the cheap one, no better one among equals */
    uint64_t seed;
    /* Called now and then (about ten times a second) with a step count, the weight
     * of the best answer so far (UINT32_MAX: none yet) and the bound; returning
     * false ends the search (HR_ERR_INTERRUPTED). NULL: none. */
    bool (*progress)(void *user, const char *stage, uint64_t done, uint64_t total, uint32_t best, uint32_t bound);
    void *user;
} hr_placement_options;

typedef struct hr_placement_result {
    uint32_t *chosen; /* columns, ascending */
    size_t chosen_count;
    uint64_t weight;      /* total weight of the chosen          */
    uint64_t lower_bound; /* no answer that meets all rows (capacities included) weighs less */
    bool proved;          /* weight == lower_bound and nothing uncovered; budget: no answer covers more */
    uint32_t *short_rows; /* rows whose need no answer can meet, ascending; asked for what they have */
    size_t short_count;
    uint32_t *uncovered; /* rows left short (of what they have) by the budget or by capacities, ascending */
    size_t uncovered_count;
    uint32_t covered_bound; /* budget: no answer covers more rows; rows with a need and a column are counted */
    uint32_t *assigned;   /* per row: the column that serves it within capacities, UINT32_MAX: none; only when capacity
                             was given */
    bool clock_stopped;   /* the safety stop ended the search    */
    uint64_t steps;       /* used                                */
    int64_t *multipliers; /* per row, scaled by 2^20: certificate of the bound, see hr_placement_check_bound;
                             NULL when the bound came from the search tree or from capacities */
} hr_placement_result;

/* HR_ERR_ARGUMENT for a malformed problem, HR_ERR_MEMORY, HR_ERR_INTERRUPTED. */
HR_API hr_status hr_placement_solve(const hr_placement_problem *problem, const hr_placement_options *options,
                                    hr_placement_result *result, hr_error *err);
HR_API void hr_placement_result_free(hr_placement_result *result);

/*
 * The bound that a vector of multipliers proves, in exact integers:
 *   sum need_i u_i + sum_j min(0, w_j - sum_{i in j} u_i),
 * must columns with their whole term, columns that may not be used left out,
 * needs cut to what a row has; rounded up to the next multiple of the weights'
 * greatest common divisor. Any multipliers prove something (negative ones count
 * as 0). For checkers. 0 when memory runs out.
 */
HR_API uint64_t hr_placement_check_bound(const hr_placement_problem *problem, const int64_t *multipliers);

/* The problem in CPLEX LP format, so that other solvers can check. */
HR_API void hr_placement_write_lp(const hr_placement_problem *problem, hr_text *out);

#ifdef __cplusplus
}
#endif
#endif
