/*
 * viewport.c - the root's page and view, nested svg and symbol in their place.
 *
 * Source: SVG 1.1, 7.2-7.9; SVG 2, 8.2. The root's own viewBox is not applied:
 * coordinates are those inside it.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <string.h>

#define MM_PER_PX (25.4 / 96.0)

typedef enum view_box { BOX_NONE = 0, BOX_FINE, BOX_EMPTY } view_box;

/* The viewBox attribute: absent, usable, or of zero size (nothing is drawn, 7.7). */
static hr_status read_box(svg_reader *reader, uint32_t element, double box[4], view_box *found)
{
    const char *text = svg_attr_get(&reader->doc, element, SVG_ATTR_VIEWBOX);
    const int line = reader->doc.elements[element].line;
    *found = BOX_NONE;
    if (text == NULL) {
        return HR_OK;
    }
    double values[4];
    char shown[SVG_EXCERPT];
    const svg_outcome outcome = svg_scan_numbers(text, values, 4);
    if (outcome == SVG_NOT_FINITE) {
        return svg_fail(reader, HR_ERR_INPUT, line, "viewBox \"%s\" holds a number that is not finite",
                        svg_excerpt(text, shown));
    }
    if (outcome == SVG_BAD || values[2] < 0.0 || values[3] < 0.0) {
        svg_note(reader, SVG_NOTE_VIEWBOX, line,
                 "viewBox \"%s\" is ignored: expected x y width height, no size below 0", svg_excerpt(text, shown));
        return HR_OK;
    }
    for (int i = 0; i < 4; i++) {
        box[i] = values[i];
    }
    *found = values[2] > 0.0 && values[3] > 0.0 ? BOX_FINE : BOX_EMPTY;
    return HR_OK;
}

static svg_aspect read_aspect(svg_reader *reader, uint32_t element)
{
    svg_aspect aspect = {false, false, 1, 1};
    const char *text = svg_attr_get(&reader->doc, element, SVG_ATTR_ASPECT);
    if (text != NULL && !svg_aspect_parse(text, &aspect)) {
        char shown[SVG_EXCERPT];
        svg_note(reader, SVG_NOTE_VIEWBOX, reader->doc.elements[element].line,
                 "preserveAspectRatio \"%s\" is ignored: xMidYMid meet holds", svg_excerpt(text, shown));
    }
    return aspect;
}

/* ---- root ----------------------------------------------------------------------- */

static hr_status page_side(svg_reader *reader, const svg_frame *root, svg_attribute name, double *px, double *mm)
{
    const char *text = svg_attr_get(&reader->doc, root->element, name);
    double value;
    hr_svg_unit unit;
    if (text == NULL || svg_scan_length(text, strlen(text), &value, &unit) != SVG_READ) {
        /* a malformed one is told by svg_length */
        double unused = 0.0;
        return svg_length(reader, root, name, 'x', &unused);
    }
    if (unit == HR_SVG_PERCENT || !(value > 0.0)) {
        return HR_OK;
    }
    *px = svg_to_user(value, unit, 'x', &root->viewport, root->style.font_size);
    if (hr_units_svg_is_physical(unit)) {
        *mm = *px * MM_PER_PX;
    }
    return HR_OK;
}

hr_status svg_root_view(svg_reader *reader, svg_frame *root)
{
    hr_svg_drawing *drawing = reader->drawing;
    double box[4] = {0.0, 0.0, 0.0, 0.0};
    view_box found;
    if (page_side(reader, root, SVG_ATTR_WIDTH, &drawing->page_w, &drawing->width_mm) != HR_OK ||
        page_side(reader, root, SVG_ATTR_HEIGHT, &drawing->page_h, &drawing->height_mm) != HR_OK ||
        read_box(reader, root->element, box, &found) != HR_OK) {
        return reader->status;
    }
    root->viewport = (svg_viewport){drawing->page_w, drawing->page_h};
    if (found == BOX_EMPTY) {
        svg_note(reader, SVG_NOTE_VIEWBOX, reader->doc.elements[root->element].line,
                 "the viewBox has no size, a browser would show nothing: ignored");
    } else if (found == BOX_FINE) {
        drawing->view_x = box[0];
        drawing->view_y = box[1];
        drawing->view_w = box[2];
        drawing->view_h = box[3];
        root->viewport = (svg_viewport){box[2], box[3]};
    }
    return HR_OK;
}

/* ---- nested ---------------------------------------------------------------------- */

/* Width or height: of the `use` that places it, else its own, else all of the outer viewport. */
static hr_status side(svg_reader *reader, const svg_frame *frame, const svg_frame *outer, svg_attribute name, char axis,
                      double *value)
{
    if (svg_length(reader, frame, name, axis, value) != HR_OK) {
        return reader->status;
    }
    return outer->is_use ? svg_length(reader, outer, name, axis, value) : HR_OK;
}

hr_status svg_enter_view(svg_reader *reader, svg_frame *frame, const svg_frame *outer, bool *empty)
{
    const uint32_t element = frame->element;
    const int line = reader->doc.elements[element].line;
    double box[4] = {0.0, 0.0, 0.0, 0.0}, x = 0.0, y = 0.0;
    view_box found;
    if (read_box(reader, element, box, &found) != HR_OK) {
        return reader->status;
    }
    /* an outer viewport of unknown size: one user unit stays one */
    double width = outer->viewport.width > 0.0 ? outer->viewport.width : box[2];
    double height = outer->viewport.height > 0.0 ? outer->viewport.height : box[3];
    if (side(reader, frame, outer, SVG_ATTR_WIDTH, 'x', &width) != HR_OK ||
        side(reader, frame, outer, SVG_ATTR_HEIGHT, 'y', &height) != HR_OK ||
        svg_length(reader, frame, SVG_ATTR_X, 'x', &x) != HR_OK ||
        svg_length(reader, frame, SVG_ATTR_Y, 'y', &y) != HR_OK) {
        return reader->status;
    }
    const bool sized = width > 0.0 && height > 0.0;
    *empty = found == BOX_EMPTY || (found == BOX_FINE && !sized) || width < 0.0 || height < 0.0;
    if (*empty) {
        svg_note(reader, SVG_NOTE_VIEWBOX, line, "<%s> of no size: what is inside is not drawn",
                 reader->doc.elements[element].name);
        return HR_OK;
    }
    frame->matrix = svg_matrix_shift(frame->matrix, x, y);
    frame->viewport = (svg_viewport){width, height};
    if (found == BOX_FINE) {
        const svg_matrix view = svg_viewbox_matrix(box, width, height, read_aspect(reader, element));
        frame->matrix = svg_matrix_product(frame->matrix, view);
        frame->viewport = (svg_viewport){box[2], box[3]};
    }
    return HR_OK;
}
