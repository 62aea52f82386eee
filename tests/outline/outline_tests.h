/*
 * outline_tests.h - shared by the files of this test program.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef OUTLINE_TESTS_H
#define OUTLINE_TESTS_H

#include "check.h"

#include "hr_outline.h"
#include "hr_plan.h"

extern const char *const shape_words[6];

/* A request with the defaults, a shape and a room count. */
hr_outline_request ask(const char *shape, long rooms);
/* Reads one plan of an outline; fails the test when it does not read or a word is said about it. */
hr_plan *read_plan(const hr_outline *outline, size_t plan, const hr_materials *materials);
/* What must hold of every plan. */
void check_plan(const hr_plan *plan, const hr_outline_request *request, const char *what);
/* Area that two spaces share, and area of all spaces, in square metres. */
void measure_spaces(const hr_plan *plan, double *shared_m2, double *sum_m2);

extern const struct CMUnitTest property_tests[];
extern const size_t property_test_count;
extern const struct CMUnitTest refusal_tests[];
extern const size_t refusal_test_count;

#endif
