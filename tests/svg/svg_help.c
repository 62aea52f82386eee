/*
 * svg_help.c - see svg_help.h.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_help.h"

reading read_bytes(const char *bytes, size_t len)
{
    reading r = {.notes = hr_notes_new()};
    assert_non_null(r.notes);
    r.status = hr_svg_read("t.svg", bytes, len, r.notes, &r.drawing, &r.error);
    assert_int_equal(r.status == HR_OK, r.drawing != NULL);
    return r;
}

reading read_text(const char *text)
{
    return read_bytes(text, strlen(text));
}

reading read_flat(const char *text, double tolerance)
{
    reading r = read_text(text);
    if (r.status != HR_OK || hr_svg_flatten(r.drawing, tolerance, &r.error) != HR_OK) {
        fail_msg("line %d: %s\n%s", r.error.line, r.error.text, text);
    }
    return r;
}

void reading_free(reading *r)
{
    hr_svg_free(r->drawing);
    hr_notes_free(r->notes);
}

size_t node_of(const hr_svg_drawing *drawing, const char *id)
{
    for (size_t i = 0; i < drawing->node_count; i++) {
        if (drawing->nodes[i].id != NULL && strcmp(drawing->nodes[i].id, id) == 0) {
            return i;
        }
    }
    fail_msg("no node \"%s\"", id);
    return 0;
}

const hr_svg_node *node_at(const hr_svg_drawing *drawing, const char *id)
{
    return &drawing->nodes[node_of(drawing, id)];
}

static bool is_below(const hr_svg_drawing *drawing, size_t node, size_t top)
{
    while (node != SIZE_MAX && node != top) {
        node = drawing->nodes[node].parent;
    }
    return node == top;
}

double length_below(const hr_svg_drawing *drawing, size_t top)
{
    double sum = 0.0;
    for (size_t i = top; i < drawing->node_count; i++) {
        const hr_svg_node *node = &drawing->nodes[i];
        for (size_t k = node->first_path; is_below(drawing, i, top) && k < node->first_path + node->path_count; k++) {
            const hr_svg_path *path = &drawing->paths[k];
            for (size_t p = 1; p < path->count + path->closed; p++) {
                const hr_point a = drawing->points[path->first + p - 1];
                const hr_point b = drawing->points[path->first + p % path->count];
                sum += hypot(b.x - a.x, b.y - a.y);
            }
        }
    }
    return sum;
}

hr_box box_below(const hr_svg_drawing *drawing, size_t top)
{
    hr_box box = {HUGE_VAL, HUGE_VAL, -HUGE_VAL, -HUGE_VAL};
    for (size_t i = top; i < drawing->node_count; i++) {
        const hr_svg_node *node = &drawing->nodes[i];
        for (size_t k = node->first_path; is_below(drawing, i, top) && k < node->first_path + node->path_count; k++) {
            const hr_svg_path *path = &drawing->paths[k];
            for (size_t p = 0; p < path->count; p++) {
                const hr_point at = drawing->points[path->first + p];
                box.x0 = fmin(box.x0, at.x);
                box.y0 = fmin(box.y0, at.y);
                box.x1 = fmax(box.x1, at.x);
                box.y1 = fmax(box.y1, at.y);
            }
        }
    }
    return box;
}

void check_box(hr_box box, double x, double y, double width, double height, double tolerance)
{
    check_near(box.x0, x, tolerance);
    check_near(box.y0, y, tolerance);
    check_near(box.x1 - box.x0, width, tolerance);
    check_near(box.y1 - box.y0, height, tolerance);
}

bool has_note(const reading *r, const char *text)
{
    for (size_t i = 0; i < hr_notes_count(r->notes); i++) {
        if (strstr(hr_notes_text(r->notes, i), text) != NULL) {
            return true;
        }
    }
    return false;
}

bool paint_is(hr_svg_paint paint, int r, int g, int b)
{
    return paint.set && paint.r == r && paint.g == g && paint.b == b;
}

const hr_svg_label *label_of(const hr_svg_drawing *drawing, const char *text)
{
    for (size_t i = 0; i < drawing->label_count; i++) {
        if (strcmp(drawing->labels[i].text, text) == 0) {
            return &drawing->labels[i];
        }
    }
    fail_msg("no label \"%s\"", text);
    return NULL;
}
