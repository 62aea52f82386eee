/*
 * shapes.c - line, polyline, polygon, rect, circle, ellipse and path into exact
 * curves, with their lengths in every unit.
 *
 * Source: SVG 1.1, 8 and 9; SVG 2, 7.4 (auto radii) and 8.9 (units).
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <math.h>
#include <string.h>

hr_status svg_length(svg_reader *reader, const svg_frame *frame, svg_attribute name, char axis, double *value)
{
    const char *text = svg_attr_get(&reader->doc, frame->element, name);
    if (text == NULL || hr_casecmp(text, "auto") == 0) {
        return HR_OK;
    }
    const int line = reader->doc.elements[frame->element].line;
    const char *element = reader->doc.elements[frame->element].name;
    double number;
    hr_svg_unit unit;
    char shown[SVG_EXCERPT];
    const svg_outcome outcome = svg_scan_length(text, strlen(text), &number, &unit);
    if (outcome == SVG_NOT_FINITE) {
        return svg_fail(reader, HR_ERR_INPUT, line, "<%s> has a length \"%s\" that is not a finite number", element,
                        svg_excerpt(text, shown));
    }
    if (outcome == SVG_BAD) {
        svg_note(reader, SVG_NOTE_LENGTH, line, "<%s> has a length \"%s\" that is none: taken as not given", element,
                 svg_excerpt(text, shown));
        return HR_OK;
    }
    const bool unknown = unit == HR_SVG_PERCENT && ((axis != 'y' && !(frame->viewport.width > 0.0)) ||
                                                    (axis != 'x' && !(frame->viewport.height > 0.0)));
    if (unknown) {
        svg_note(reader, SVG_NOTE_PERCENT, line,
                 "<%s> has a length \"%s\" of a page whose size is not given: taken as 0", element,
                 svg_excerpt(text, shown));
    }
    const double user = svg_to_user(number, unit, axis, &frame->viewport, frame->style.font_size);
    if (!isfinite(user)) {
        return svg_fail(reader, HR_ERR_LIMIT, line, "<%s> has a length \"%s\" that is too large", element,
                        svg_excerpt(text, shown));
    }
    *value = user;
    return HR_OK;
}

/* Several lengths at once: names[i] on axes[i] into values[i]. */
static hr_status lengths(svg_reader *reader, const svg_frame *frame, size_t count, const svg_attribute *names,
                         const char *axes, double *values)
{
    for (size_t i = 0; i < count; i++) {
        if (svg_length(reader, frame, names[i], axes[i], &values[i]) != HR_OK) {
            return reader->status;
        }
    }
    return HR_OK;
}

static hr_status draw_line(svg_reader *reader, const svg_frame *frame, svg_pen *pen)
{
    static const svg_attribute names[] = {SVG_ATTR_X1, SVG_ATTR_Y1, SVG_ATTR_X2, SVG_ATTR_Y2};
    double v[4] = {0.0, 0.0, 0.0, 0.0};
    if (lengths(reader, frame, 4, names, "xyxy", v) == HR_OK) {
        svg_pen_move(pen, v[0], v[1]);
        svg_pen_line(pen, v[2], v[3]);
    }
    return reader->status;
}

/* Four sides and four quarter ellipses, SVG 1.1, 9.2. */
static void rounded(svg_pen *pen, const double v[4], double rx, double ry)
{
    const double x0 = v[0], y0 = v[1], x1 = v[0] + v[2], y1 = v[1] + v[3];
    svg_pen_move(pen, x0 + rx, y0);
    svg_pen_line(pen, x1 - rx, y0);
    svg_pen_arc(pen, rx, ry, 0.0, false, true, (hr_point){x1, y0 + ry});
    svg_pen_line(pen, x1, y1 - ry);
    svg_pen_arc(pen, rx, ry, 0.0, false, true, (hr_point){x1 - rx, y1});
    svg_pen_line(pen, x0 + rx, y1);
    svg_pen_arc(pen, rx, ry, 0.0, false, true, (hr_point){x0, y1 - ry});
    svg_pen_line(pen, x0, y0 + ry);
    svg_pen_arc(pen, rx, ry, 0.0, false, true, (hr_point){x0 + rx, y0});
    svg_pen_close(pen);
}

static hr_status draw_rect(svg_reader *reader, const svg_frame *frame, svg_pen *pen)
{
    static const svg_attribute names[] = {SVG_ATTR_X,      SVG_ATTR_Y,  SVG_ATTR_WIDTH,
                                          SVG_ATTR_HEIGHT, SVG_ATTR_RX, SVG_ATTR_RY};
    double v[6] = {0.0, 0.0, 0.0, 0.0, -1.0, -1.0}; /* a negative radius is not given */
    if (lengths(reader, frame, 6, names, "xyxyxy", v) != HR_OK || !(v[2] > 0.0 && v[3] > 0.0)) {
        return reader->status; /* no size: not drawn */
    }
    double rx = v[4] >= 0.0 ? v[4] : v[5], ry = v[5] >= 0.0 ? v[5] : v[4];
    rx = fmin(rx, 0.5 * v[2]);
    ry = fmin(ry, 0.5 * v[3]);
    if (rx > 0.0 && ry > 0.0) {
        rounded(pen, v, rx, ry);
        return HR_OK;
    }
    svg_pen_move(pen, v[0], v[1]);
    svg_pen_line(pen, v[0] + v[2], v[1]);
    svg_pen_line(pen, v[0] + v[2], v[1] + v[3]);
    svg_pen_line(pen, v[0], v[1] + v[3]);
    svg_pen_close(pen);
    return HR_OK;
}

static hr_status draw_ellipse(svg_reader *reader, const svg_frame *frame, svg_tag tag, svg_pen *pen)
{
    static const svg_attribute circle[] = {SVG_ATTR_CX, SVG_ATTR_CY, SVG_ATTR_R, SVG_ATTR_R};
    static const svg_attribute ellipse[] = {SVG_ATTR_CX, SVG_ATTR_CY, SVG_ATTR_RX, SVG_ATTR_RY};
    const bool round = tag == SVG_TAG_CIRCLE;
    double v[4] = {0.0, 0.0, -1.0, -1.0};
    if (lengths(reader, frame, 4, round ? circle : ellipse, round ? "xyrr" : "xyxy", v) != HR_OK) {
        return reader->status;
    }
    const double rx = v[2] >= 0.0 ? v[2] : v[3], ry = v[3] >= 0.0 ? v[3] : v[2]; /* auto: the other */
    if (rx > 0.0 && ry > 0.0) {
        svg_pen_ellipse(pen, (hr_point){v[0], v[1]}, rx, ry);
    }
    return HR_OK;
}

static hr_status draw_data(svg_reader *reader, const svg_frame *frame, svg_tag tag, svg_pen *pen, bool *broken)
{
    const bool path = tag == SVG_TAG_PATH;
    const char *text = svg_attr_get(&reader->doc, frame->element, path ? SVG_ATTR_D : SVG_ATTR_POINTS);
    const int line = reader->doc.elements[frame->element].line;
    if (text == NULL || svg_count_bytes(reader, strlen(text), line) != HR_OK) {
        return reader->status;
    }
    const svg_path_result result =
        path ? svg_path_parse(text, pen) : svg_points_parse(text, tag == SVG_TAG_POLYGON, pen);
    if (pen->fault != SVG_NO_FAULT || result.outcome == SVG_READ) {
        return HR_OK;
    }
    char shown[SVG_EXCERPT];
    const char *rest = text + result.stopped_at;
    const char *what = path ? "path data" : "points";
    if (result.outcome == SVG_NOT_FINITE) {
        return svg_fail(reader, HR_ERR_INPUT, line, "%s of <%s> hold a number that is not finite at \"%s\"", what,
                        reader->doc.elements[frame->element].name, svg_excerpt(rest, shown));
    }
    *broken = true;
    if (*rest == '\0') {
        svg_note(reader, SVG_NOTE_PATH, line, "%s end too early: the %zu segments before are kept", what,
                 result.segments);
    } else {
        svg_note(reader, SVG_NOTE_PATH, line,
                 "%s cannot be read from \"%s\" on (character %zu): the %zu segments before are kept", what,
                 svg_excerpt(rest, shown), result.stopped_at + 1, result.segments);
    }
    return HR_OK;
}

static hr_status pen_fault(svg_reader *reader, svg_fault fault, const svg_element *element)
{
    switch (fault) {
    case SVG_FAULT_COORDINATE:
        return svg_fail(reader, HR_ERR_LIMIT, element->line, "<%s> reaches beyond %d user units from the origin",
                        element->name, (int)HR_MAX_COORDINATE);
    case SVG_FAULT_PIECES:
        return svg_fail(reader, HR_ERR_LIMIT, element->line, "more than %zu segments", HR_MAX_SEGMENTS);
    case SVG_FAULT_MEMORY:
        return svg_fail_memory(reader);
    case SVG_NO_FAULT:
        break;
    }
    return HR_OK;
}

hr_status svg_shape_draw(svg_reader *reader, const svg_frame *frame, bool *broken)
{
    struct hr_svg_private *priv = reader->drawing->priv;
    const svg_element *element = &reader->doc.elements[frame->element];
    if (svg_matrix_is_singular(frame->matrix)) {
        svg_note(reader, SVG_NOTE_SINGULAR, element->line, "<%s> is flattened to nothing by a transform: left out",
                 element->name);
        return HR_OK;
    }
    svg_curves *curves = &priv->curves;
    svg_shape shape = {.node = frame->node, .first_op = curves->op_count, .first_arg = curves->arg_count};
    svg_pen pen = {.curves = curves, .matrix = frame->matrix};
    const svg_tag tag = (svg_tag)element->tag;
    hr_status status;
    if (tag == SVG_TAG_LINE) {
        status = draw_line(reader, frame, &pen);
    } else if (tag == SVG_TAG_RECT) {
        status = draw_rect(reader, frame, &pen);
    } else if (tag == SVG_TAG_CIRCLE || tag == SVG_TAG_ELLIPSE) {
        status = draw_ellipse(reader, frame, tag, &pen);
    } else {
        status = draw_data(reader, frame, tag, &pen, broken);
    }
    if (status != HR_OK || pen_fault(reader, pen.fault, element) != HR_OK) {
        return reader->status;
    }
    shape.op_end = curves->op_count;
    if (shape.op_end == shape.first_op) {
        return HR_OK;
    }
    if (!HR_RESERVE(priv->shapes, priv->shape_cap, priv->shape_count + 1)) {
        return svg_fail_memory(reader);
    }
    priv->shapes[priv->shape_count++] = shape;
    return HR_OK;
}
