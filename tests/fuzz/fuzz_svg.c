/*
 * fuzz_svg.c - whole drawings: read, flattened twice, and what comes out is
 * consistent.
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

static void check_nodes(const hr_svg_drawing *d)
{
    must(d->node_count >= 1 && d->nodes[0].parent == SIZE_MAX);
    for (size_t i = 0; i < d->node_count; i++) {
        const hr_svg_node *node = &d->nodes[i];
        must(i == 0 || node->parent < i);
        must(node->line >= 1 && node->element != NULL);
        must(node->path_count == 0 || node->kind == HR_SVG_SHAPE);
        must(node->first_path + node->path_count <= d->path_count);
        (void)hr_svg_shown(d, i, SIZE_MAX);
    }
}

static void check_points(const hr_svg_drawing *d)
{
    size_t points = 0;
    for (size_t i = 0; i < d->path_count; i++) {
        must(d->paths[i].first == points && d->paths[i].count >= 1);
        points += d->paths[i].count;
    }
    must(points == d->point_count);
    for (size_t i = 0; i < d->point_count; i++) {
        must(fabs(d->points[i].x) <= HR_MAX_COORDINATE && fabs(d->points[i].y) <= HR_MAX_COORDINATE);
    }
    for (size_t i = 0; i < d->label_count; i++) {
        const hr_svg_label *label = &d->labels[i];
        must(label->node < d->node_count && d->nodes[label->node].kind == HR_SVG_TEXT);
        must(label->text[0] != '\0' && strlen(label->text) <= HR_MAX_NAME_BYTES);
        must(fabs(label->centre.x) <= HR_MAX_COORDINATE && fabs(label->centre.y) <= HR_MAX_COORDINATE);
        must(label->size >= 0.0 && isfinite(label->size) != 0);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size > 200000) {
        return 0;
    }
    hr_notes *notes = hr_notes_new();
    hr_svg_drawing *drawing = NULL;
    hr_error error = {0};
    const hr_status status = hr_svg_read("fuzz.svg", (const char *)data, size, notes, &drawing, &error);
    if (status == HR_OK) {
        check_nodes(drawing);
        if (hr_svg_flatten(drawing, 1.0, &error) == HR_OK) {
            check_points(drawing);
            (void)hr_svg_flatten(drawing, 10.0, &error);
            check_nodes(drawing);
            check_points(drawing);
        }
        hr_svg_free(drawing);
    } else {
        must(status != HR_ERR_MEMORY); /* nothing here is that large */
        must(drawing == NULL && error.text[0] != '\0' && error.status == status);
    }
    hr_notes_free(notes);
    return 0;
}
