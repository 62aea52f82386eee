/*
 * links_tests.h - what the files of this test program share.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef LINKS_TESTS_H
#define LINKS_TESTS_H

#include "../property.h"

#include "hr_links.h"

/* A property from a drawing's groups and the lines of [radio] and after. */
typedef struct links_case {
    hr_building *building;
    hr_links *links;
    hr_link_work work;
} links_case;

links_case case_of(const char *radio_and_rest, const char *groups);
void case_done(links_case *c);
hr_link case_cross(links_case *c, hr_end a, hr_end b);
hr_link case_measure(links_case *c, hr_end child, hr_end parent);

/* An end with the radio of a plain device: 10 dBm, 0 dBi, -100 dBm. */
hr_end plain_end(double x, double y, double z);

extern const struct CMUnitTest budget_tests[], metal_tests[], models_tests[], routes_tests[], measured_tests[];
extern const size_t budget_test_count, metal_test_count, models_test_count, routes_test_count, measured_test_count;

#endif
