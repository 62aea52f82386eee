/*
 * building_test.h - shared by the files of this test program: small
 * properties read from text, with plans in a folder of their own.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef BUILDING_TEST_H
#define BUILDING_TEST_H

#include "check.h"

#include "hr_building.h"
#include "hr_limits.h"

/* What a reading gave. Freed with done(). */
typedef struct reading {
    hr_status status;
    hr_building *b;
    hr_notes *notes;
    hr_error err;
} reading;

/* The folder of the plans, with a slash; made once, removed at the end. */
const char *test_folder(void);
/* Writes a file into the folder. */
void test_write(const char *name, const char *text);
void test_remove_folder(void);

/* Reads a property from text that stands in the folder as "test.ini". */
reading read_text(const char *text);
reading read_with(const char *text, const hr_building_options *options);
void done(reading *r);

/* A property that reads: HEAD, then what the test adds, then a storey on the plan of two rooms. */
#define HEAD "[property]\nname = Test\nlength_unit = m\n[radio]\nfrequency_mhz = 915\n"
#define STOREY "[storey 1]\nplan = two.svg\n"

/* Reads text, expects this status, this line and these words in the message. */
void refuse(const char *text, hr_status status, int line, const char *words);
/* Reads text and gives it back read; fails with the message otherwise. */
reading reads(const char *text);
bool has_note(const reading *r, const char *words);
void expect_note(const reading *r, const char *words);
void expect_no_note(const reading *r, const char *words);

/* The tests of each file. */
extern const struct CMUnitTest ini_tests[], key_tests[], section_tests[], storey_tests[], room_tests[], device_tests[],
    spot_tests[], list_tests[], rule_tests[], setting_tests[], drawing_tests[], other_tests[];
extern const size_t ini_test_count, key_test_count, section_test_count, storey_test_count, room_test_count,
    device_test_count, spot_test_count, list_test_count, rule_test_count, setting_test_count, drawing_test_count,
    other_test_count;
#define COUNT_OF(list) (sizeof(list) / sizeof((list)[0]))

#endif
