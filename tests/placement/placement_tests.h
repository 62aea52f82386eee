/*
 * placement_tests.h - the parts of the placement test program.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef PLACEMENT_TESTS_H
#define PLACEMENT_TESTS_H

#include "check.h"

#include "hr_placement.h"

/* A problem that owns its arrays; small enough for every subset to be looked at. */
#define SMALL_ROWS 16
#define SMALL_COLUMNS 13

typedef struct small_case {
    size_t start[SMALL_COLUMNS + 1];
    uint32_t row[SMALL_COLUMNS * SMALL_ROWS];
    int64_t quality[SMALL_COLUMNS * SMALL_ROWS];
    uint8_t direct[SMALL_COLUMNS * SMALL_ROWS];
    uint32_t need[SMALL_ROWS], load[SMALL_ROWS];
    uint32_t weight[SMALL_COLUMNS], cost[SMALL_COLUMNS], capacity[SMALL_COLUMNS];
    uint8_t state[SMALL_COLUMNS];
    hr_placement_problem problem;
} small_case;

static inline uint32_t test_draw(uint32_t *state, uint32_t below)
{
    *state = *state * 1664525U + 1013904223U;
    return (uint32_t)(((uint64_t)(*state >> 8) * below) >> 24);
}

/* Solves and checks what holds of every answer by loops of its own: the chosen
 * ascending and allowed, weight, short and uncovered rows, assignment, flags. */
void solve_checked(const hr_placement_problem *problem, const hr_placement_options *options,
                   hr_placement_result *result);

/* exhaustive.c */
void equals_exhaustive_search(void **state);
void equals_exhaustive_search_of_larger(void **state);
void greedy_keeps_its_guarantee(void **state);
void budget_bound_holds(void **state);
void capacities_are_kept(void **state);
void quality_is_near_the_best(void **state);
void order_does_not_matter(void **state);
/* orlib.c */
void or_library_optima(void **state);
void or_library_greedy(void **state);
void or_library_bounds_hold(void **state);
/* hotel_cases.c */
void points_on_all_lines(void **state);
void hotels_are_proved(void **state);
void same_storeys_are_solved_alike(void **state);
void hotel_capacity(void **state);
void hotel_budget(void **state);

#endif
