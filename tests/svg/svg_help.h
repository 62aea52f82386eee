/*
 * svg_help.h - what the tests of the drawing reader share.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef SVG_HELP_H
#define SVG_HELP_H

#include "check.h"
#include "hr_geometry.h"
#include "svg_priv.h"

#define SVG_OPEN "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" "

/* A drawing read for a test, with its notes. */
typedef struct reading {
    hr_status status;
    hr_error error;
    hr_notes *notes;
    hr_svg_drawing *drawing; /* NULL on failure */
} reading;

reading read_bytes(const char *bytes, size_t len);
reading read_text(const char *text);
/* Reads and flattens; fails the test when either does not work. */
reading read_flat(const char *text, double tolerance);
void reading_free(reading *r);

/* Index of the first node with this id; fails the test when there is none. */
size_t node_of(const hr_svg_drawing *drawing, const char *id);
const hr_svg_node *node_at(const hr_svg_drawing *drawing, const char *id);
/* Length and box of the flat paths of the node and of all nodes below it. */
double length_below(const hr_svg_drawing *drawing, size_t node);
hr_box box_below(const hr_svg_drawing *drawing, size_t node);
void check_box(hr_box box, double x, double y, double width, double height, double tolerance);
/* Whether a note holds the text. */
bool has_note(const reading *r, const char *text);
bool paint_is(hr_svg_paint paint, int r, int g, int b);
/* The label with this text; fails the test when there is none. */
const hr_svg_label *label_of(const hr_svg_drawing *drawing, const char *text);

typedef struct test_group {
    const struct CMUnitTest *tests;
    size_t count;
} test_group;

test_group path_tests(void);
test_group place_tests(void);
test_group style_tests(void);
test_group text_tests(void);
test_group refusal_tests(void);

#endif
