/* readings_tests.h - the small building that the files of this program share.
 * SPDX-License-Identifier: MIT */
#ifndef READINGS_TESTS_H
#define READINGS_TESTS_H

#include "check.h"
#include "hr_diagnosis.h"
#include "hr_readings.h"

typedef struct made {
    hr_building *b;
    hr_links *links;
    hr_notes *notes;
} made;

/* Rooms 101 to 105 and 201 to 205, gateways GWA and GWB at the ends of both storeys; more: text for the property file. */
made make(const char *more);
void drop(made *m);
/* The list read, which must be possible. */
hr_readings *list(made *m, const char *text);

/* accept.c */
void links_that_judge(void **state);
void verdicts_by_level(void **state);
void what_was_joined(void **state);
void hops_that_judge(void **state);

/* flat.c */
void flat_from_its_drawing(void **state);

#endif
