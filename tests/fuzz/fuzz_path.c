/*
 * fuzz_path.c - path data and point lists: whatever the bytes, no crash, and
 * everything stored is finite, within the coordinate limit and consistent.
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

static void check_curves(const svg_curves *curves)
{
    static const size_t numbers[] = {2, 2, 6, 10, 0};
    size_t args = 0;
    for (size_t i = 0; i < curves->op_count; i++) {
        must(curves->ops[i] <= SVG_OP_CLOSE);
        must(i > 0 || curves->ops[i] == SVG_OP_MOVE);
        args += numbers[curves->ops[i]];
    }
    must(args == curves->arg_count);
    for (size_t i = 0; i < curves->arg_count; i++) {
        must(isfinite(curves->args[i]) != 0);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size < 1 || size > 100000) {
        return 0;
    }
    char *text = hr_strndup((const char *)data + 1, size - 1);
    if (text == NULL) {
        return 0;
    }
    svg_curves curves = {0};
    svg_pen pen = {.curves = &curves, .matrix = {1.5, 0.25, -0.5, 2.0, 3.0, -4.0}};
    const svg_path_result result = data[0] % 4 == 0   ? svg_points_parse(text, false, &pen)
                                   : data[0] % 4 == 1 ? svg_points_parse(text, true, &pen)
                                                      : svg_path_parse(text, &pen);
    must(result.stopped_at <= strlen(text));
    must(result.segments <= strlen(text));
    must(curves.pieces <= strlen(text) + 1);
    check_curves(&curves);
    hr_free(curves.ops);
    hr_free(curves.args);
    hr_free(text);
    return 0;
}
