/*
 * prop_tests.h - the parts of one program; include after check.h.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef PROP_TESTS_H
#define PROP_TESTS_H

extern const struct CMUnitTest basic_tests[];
extern const size_t basic_test_count;
extern const struct CMUnitTest diffraction_tests[];
extern const size_t diffraction_test_count;
extern const struct CMUnitTest site_tests[];
extern const size_t site_test_count;
extern const struct CMUnitTest slab_tests[];
extern const size_t slab_test_count;

#define TEST_PI 3.14159265358979323846

#endif
