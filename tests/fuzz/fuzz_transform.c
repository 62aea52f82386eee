/*
 * fuzz_transform.c - transform lists, preserveAspectRatio, lengths, colours:
 * the small grammars of attributes.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void must(bool holds)
{
    if (!holds) {
        abort();
    }
}

static void check_transform(const char *text)
{
    svg_matrix m = {7.0, 7.0, 7.0, 7.0, 7.0, 7.0};
    if (svg_transform_parse(text, &m) != SVG_READ) {
        must(m.a == 7.0 && m.b == 7.0 && m.c == 7.0 && m.d == 7.0 && m.e == 7.0 && m.f == 7.0);
        return;
    }
    if (svg_matrix_is_finite(m)) {
        must(svg_matrix_scale(m) >= 0.0);
        must(!svg_matrix_is_singular(svg_matrix_unit));
        (void)svg_matrix_is_similar(m);
        (void)svg_matrix_is_singular(m);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size > 20000) {
        return 0;
    }
    char *text = hr_strndup((const char *)data, size);
    if (text == NULL) {
        return 0;
    }
    check_transform(text);
    svg_aspect aspect = {false, false, 1, 1};
    if (svg_aspect_parse(text, &aspect)) {
        must(aspect.place_x >= 0 && aspect.place_x <= 2 && aspect.place_y >= 0 && aspect.place_y <= 2);
    }
    double value, box[4];
    hr_svg_unit unit;
    if (svg_scan_length(text, strlen(text), &value, &unit) == SVG_READ) {
        must(isfinite(value) && unit <= HR_SVG_PERCENT);
    }
    if (svg_scan_numbers(text, box, 4) == SVG_READ) {
        must(isfinite(box[0]) && isfinite(box[1]) && isfinite(box[2]) && isfinite(box[3]));
    }
    hr_svg_paint paint;
    (void)hr_svg_colour(text, &paint);
    hr_free(text);
    return 0;
}
