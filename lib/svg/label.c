/*
 * label.c - glyphs into labels. One text element may hold a hundred room
 * numbers (a PDF taken apart puts a whole floor into one), so a label ends
 * where the next glyph stands far from where it would follow on.
 *
 * Widths are estimates, good enough for the centre of a short label: no font
 * is opened.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <math.h>
#include <string.h>

/* All in font sizes. */
#define JUMP_GLYPHS 2.0   /* from glyph to glyph: more is another label              */
#define JUMP_BACK 0.5     /* going back this far is another label                    */
#define JUMP_LINE 0.5     /* another baseline                                        */
#define GAP_ELEMENT 0.5   /* an element with its own place, beside its expected one, */
#define GAP_PER_GLYPH 0.1 /* plus this per glyph whose width was only estimated,     */
#define GAP_ELEMENT_MAX 1.5
#define GAP_BLANK 0.25    /* a gap between such elements that is a blank             */
#define LINE_MAX_STEP 1.6 /* baseline to baseline within one paragraph               */
#define HALF_HEIGHT 0.35  /* middle of digits and capitals above the baseline        */

/* Advance in font sizes: averages of common sans-serif faces. */
static double advance(const char *bytes)
{
    const unsigned char c = (unsigned char)bytes[0];
    if (c >= 0xe3) {
        return 1.0; /* East Asian characters are square */
    }
    if (c >= 0x80) {
        return 0.58;
    }
    if (c >= '0' && c <= '9') {
        return 0.6;
    }
    if (strchr("iljtfrI.,:;'|!()[]- ", c) != NULL) {
        return 0.33;
    }
    if (strchr("mwMW@%", c) != NULL) {
        return 0.9;
    }
    return c >= 'A' && c <= 'Z' ? 0.68 : 0.56;
}

static void begin(svg_label_builder *label, const svg_glyph *glyph)
{
    label->begun = true;
    label->too_long = false;
    label->text.len = 0;
    label->from = HUGE_VAL;
    label->to = -HUGE_VAL;
    label->top = HUGE_VAL;
    label->bottom = -HUGE_VAL;
    label->font_size = glyph->style->font_size;
    label->baseline = glyph->style->baseline;
    label->line = glyph->line;
}

static void begin_chunk(svg_label_builder *label, const svg_glyph *glyph)
{
    label->chunk_from = HUGE_VAL;
    label->chunk_to = -HUGE_VAL;
    label->chunk_glyphs = 0;
    label->anchor = glyph->style->anchor;
}

/* text-anchor moves a chunk by none, half or all of its length. */
static void end_chunk(svg_label_builder *label)
{
    if (label->chunk_to > label->chunk_from) {
        const double shift = -0.5 * label->anchor * (label->chunk_to - label->chunk_from);
        label->from = fmin(label->from, label->chunk_from + shift);
        label->to = fmax(label->to, label->chunk_to + shift);
    }
    label->chunk_from = HUGE_VAL;
    label->chunk_to = -HUGE_VAL;
}

/* How far an element with a place of its own may be off to still follow on. */
static double element_gap(const svg_label_builder *label)
{
    return fmin(GAP_ELEMENT + GAP_PER_GLYPH * (double)label->chunk_glyphs, GAP_ELEMENT_MAX);
}

static bool ends_before(const svg_label_builder *label, const svg_glyph *glyph, double x, double y)
{
    const double size = label->font_size;
    if (fabs(y - label->pen_y) > JUMP_LINE * size || x - label->glyph_x > JUMP_GLYPHS * size ||
        x < label->glyph_x - JUMP_BACK * size) {
        return true;
    }
    return glyph->first && glyph->has_x && x - label->pen_x > element_gap(label) * size;
}

static bool add_bytes(svg_label_builder *label, const char *bytes, size_t len)
{
    if (label->text.len + len > HR_MAX_NAME_BYTES) {
        label->too_long = true;
        return true;
    }
    hr_text_add_n(&label->text, bytes, len);
    return !label->text.failed;
}

hr_status svg_label_glyph(svg_reader *reader, const svg_frame *frame, svg_label_builder *label, const svg_glyph *glyph)
{
    const double x = (glyph->has_x ? glyph->x : label->pen_x) + glyph->dx;
    const double y = (glyph->has_y ? glyph->y : label->pen_y) + glyph->dy;
    const double size = glyph->style->font_size;
    const bool blank = glyph->len == 1 && glyph->bytes[0] == ' ';
    if (label->begun && ends_before(label, glyph, x, y) && svg_label_end(reader, frame, label) != HR_OK) {
        return reader->status;
    }
    if (!label->begun) {
        begin(label, glyph);
        begin_chunk(label, glyph);
    } else if (glyph->has_x || glyph->has_y) {
        const bool gap = glyph->first && x - label->pen_x > GAP_BLANK * size;
        if (gap && !add_bytes(label, " ", 1)) {
            return svg_fail_memory(reader);
        }
        end_chunk(label);
        begin_chunk(label, glyph);
    }
    const double width = size * advance(glyph->bytes);
    if (!blank) {
        label->chunk_from = fmin(label->chunk_from, x);
        label->chunk_to = fmax(label->chunk_to, x + width);
        label->top = fmin(label->top, y);
        label->bottom = fmax(label->bottom, y);
    }
    label->chunk_glyphs++;
    label->glyph_x = x;
    label->pen_x = x + width;
    label->pen_y = y;
    return add_bytes(label, glyph->bytes, glyph->len) ? HR_OK : svg_fail_memory(reader);
}

/* Whether the label is the next line of the one before it: one line step below
 * and aligned left, centred or right. */
static bool follows(const svg_label_builder *label)
{
    const double size = label->before_size, step = label->top - label->before_y;
    const double near = JUMP_LINE * size;
    return step > near && step <= LINE_MAX_STEP * fmax(size, label->font_size) &&
           (fabs(label->from - label->before_from) <= near || fabs(label->to - label->before_to) <= near ||
            fabs(label->from + label->to - label->before_from - label->before_to) <= 2.0 * near);
}

static hr_status put_label(svg_reader *reader, const svg_frame *frame, svg_label_builder *label, const char *text)
{
    static const double middles[] = {HALF_HEIGHT, 0.0, -HALF_HEIGHT};
    hr_svg_drawing *drawing = reader->drawing;
    const double y = 0.5 * (label->top + label->bottom) - middles[label->baseline] * label->font_size;
    const hr_point centre = svg_matrix_point(frame->matrix, 0.5 * (label->from + label->to), y);
    if (!(fabs(centre.x) <= HR_MAX_COORDINATE && fabs(centre.y) <= HR_MAX_COORDINATE)) {
        return svg_fail(reader, HR_ERR_LIMIT, label->line, "<text> stands beyond %d user units from the origin",
                        (int)HR_MAX_COORDINATE);
    }
    if (!HR_RESERVE(drawing->labels, drawing->priv->label_cap, drawing->label_count + 1)) {
        return svg_fail_memory(reader);
    }
    drawing->labels[drawing->label_count++] = (hr_svg_label){.node = frame->node,
                                                             .text = text,
                                                             .centre = centre,
                                                             .size = label->font_size * svg_matrix_scale(frame->matrix),
                                                             .line = label->line,
                                                             .follows = follows(label)};
    label->before_from = label->from;
    label->before_to = label->to;
    label->before_y = label->bottom;
    label->before_size = label->font_size;
    return HR_OK;
}

hr_status svg_label_end(svg_reader *reader, const svg_frame *frame, svg_label_builder *label)
{
    if (!label->begun) {
        return HR_OK;
    }
    end_chunk(label);
    label->begun = false;
    if (!(label->to > label->from)) {
        return HR_OK; /* blanks only, or letters of no size */
    }
    if (label->too_long) {
        svg_note(reader, SVG_NOTE_TEXT, label->line, "a text of more than %zu bytes is no name: left out",
                 HR_MAX_NAME_BYTES);
        return HR_OK;
    }
    const char *text = svg_fold(reader->doc.arena, label->text.bytes, label->text.len);
    if (text == NULL) {
        return svg_fail_memory(reader);
    }
    return text[0] != '\0' ? put_label(reader, frame, label, text) : HR_OK;
}
