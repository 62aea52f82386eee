/*
 * estimate_tests.h - shared by the files of this program.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef ESTIMATE_TESTS_H
#define ESTIMATE_TESTS_H

#include "../property.h"

#include "hr_estimate.h"
#include "hr_siting.h"

/* Everything taken as known. */
#define NO_SPREADS                                                                                                     \
    "estimate.wall_spread=0", "estimate.slab_spread=0", "estimate.exponent_spread=0", "estimate.place_spread=0",      \
        "estimate.detour_spread=0", "estimate.spot_loss=0", "estimate.size_spread=0"

/* The answer for a building, or the test's end. */
hr_estimate *estimate_of(hr_building *building, const hr_estimate_options *options);
/* Numbers from "option value" pairs, closed by NULL. */
hr_estimate_numbers numbers_of(const char *const *pairs);
hr_building *building_of(const hr_estimate_numbers *numbers, const char *const *sets, size_t set_count);

/* test_analytic.c */
void test_corridor(void **state);
void test_discs(void **state);
/* test_numbers.c */
void test_rooms_shared_out(void **state);
void test_ordered_as_said(void **state);
void test_kinds(void **state);
void test_numbers_refused(void **state);
void test_contradictions(void **state);
void test_walls(void **state);
void test_ten_sizes(void **state);
/* test_prices.c */
void test_prices_refused(void **state);
void test_read(void **state);
void test_sheet(void **state);
void test_totals(void **state);
/* test_portfolio.c */
void test_twenty(void **state);

#endif
