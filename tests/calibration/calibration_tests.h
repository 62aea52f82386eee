/* calibration_tests.h - shared by the files of this program.
 * SPDX-License-Identifier: MIT */
#ifndef CALIBRATION_TESTS_H
#define CALIBRATION_TESTS_H

#include "check.h"
#include "hr_calibration.h"
#include "hr_stats.h"

/* Readings built from rows of columns; each column is one hit. */
typedef struct made_readings {
    hr_calibration_reading *items;
    hr_calibration_hit *hits;
    size_t count, cap, columns;
} made_readings;

made_readings make_readings(size_t cap, size_t columns);
void add_reading(made_readings *made, const double *row, double level_db, bool heard);
void free_readings(made_readings *made);
hr_calibration *fit_of(const hr_calibration_term *terms, const made_readings *made, const hr_calibration_options *o);

/* A fit that nothing is expected of: no prior, no bounds, no gross errors. */
hr_calibration_term free_term(void);
hr_calibration_options plain(void);

void flat_fits(void **state);
void flat_predictions(void **state);
void office_not_heard(void **state);
void links_868(void **state);
void intervals_cover(void **state);

#endif
