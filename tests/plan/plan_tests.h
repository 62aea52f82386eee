/*
 * plan_tests.h - shared by the files of this test program.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef PLAN_TESTS_H
#define PLAN_TESTS_H

#include "check.h"

#include "hr_plan.h"

/* A drawing read into a plan, or why not. */
typedef struct made {
    hr_svg_drawing *drawing;
    hr_notes *notes;
    hr_plan *plan;
    hr_status status;
    hr_error err;
} made;

/* Materials at 915 MHz, made once. */
const hr_materials *materials_of_tests(void);
uint32_t material_called(const char *name);

/* body inside a root element whose start fills line 1 (so that body begins in
 * line 2); options NULL: one unit is one metre. */
made make(const char *body, const hr_plan_options *options);
made make_bytes(const char *bytes, size_t len, const hr_plan_options *options);
/* As make, and it must succeed; without any note where quiet. */
made make_good(const char *body);
made make_quiet(const char *body);
void unmake(made *m);

/* It was refused as invalid in that line with this in its text. */
void refused(const char *body, const hr_plan_options *options, int line, const char *part);
bool has_note(const made *m, const char *part);
/* The row of what was left aside whose name is this; NULL: none. */
const hr_ignored *ignored_row(const hr_plan *plan, const char *name);
const hr_space *room_called(const hr_plan *plan, const char *name);
/* Walls that pass within a millimetre of p. */
size_t walls_at(const hr_plan *plan, double x, double y, uint32_t *material);

#define LAYER(name, content) "<g inkscape:label=\"" name "\">" content "</g>\n"
#define LINE(d) "<path d=\"" d "\" fill=\"none\" stroke=\"#000\"/>"
#define NAMED(title, d) "<path d=\"" d "\" stroke=\"#000\"><title>" title "</title></path>"
#define WALLS(d) LAYER("walls: plasterboard", LINE(d))
#define DOORS(d) LAYER("doors", LINE(d))
#define ROOM(name, d) LAYER("rooms", NAMED(name, d))

#define TEST_LIST(name)                                                                                                \
    extern const struct CMUnitTest name##_tests[];                                                                     \
    extern const size_t name##_test_count;
TEST_LIST(names)
TEST_LIST(maps)
TEST_LIST(scale)
TEST_LIST(walls)
TEST_LIST(openings)
TEST_LIST(pairing)
TEST_LIST(rooms)
TEST_LIST(marks)
TEST_LIST(places)
TEST_LIST(spots)
TEST_LIST(layers)
TEST_LIST(drawn)
TEST_LIST(look)

#endif
