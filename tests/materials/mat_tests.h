/*
 * mat_tests.h - the parts of one program; include after check.h.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef MAT_TESTS_H
#define MAT_TESTS_H

extern const struct CMUnitTest layer_tests[];
extern const size_t layer_test_count;

#endif
