/*
 * style.c - an element's computed style: presentation attributes below style
 * sheet rules below the style attribute, `!important` above all.
 *
 * Source: SVG 1.1, 6.4 (specificity of presentation attributes) and the
 * property definitions of chapters 10 and 11; CSS Cascading Level 4.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <math.h>
#include <string.h>

/* What a gradient or pattern counts as: neither black nor white, so that no
 * wall is taken or missed by a colour that was never written. */
static const hr_svg_paint server_paint = {true, 128, 128, 128};

/* The attributes of the properties have the properties' numbers. */
_Static_assert((int)SVG_ATTR_DISPLAY == (int)SVG_P_DISPLAY && (int)SVG_ATTR_MASK == (int)SVG_P_MASK &&
                   (int)SVG_ATTR_ID == (int)SVG_PROPERTY_COUNT,
               "presentation attributes and properties differ");

svg_style svg_style_initial(void)
{
    return (svg_style){.color = {true, 0, 0, 0},
                       .stroke = {false, 0, 0, 0},
                       .fill = {true, 0, 0, 0},
                       .stroke_width = 1.0,
                       .font_size = 16.0,
                       .anchor = SVG_ANCHOR_START,
                       .baseline = SVG_BASELINE_ALPHABETIC};
}

/* A length in user units; em and ex by the font size. axis as in svg_length. */
double svg_to_user(double value, hr_svg_unit unit, char axis, const svg_viewport *viewport, double font_size)
{
    switch (unit) {
    case HR_SVG_EM:
        return value * font_size;
    case HR_SVG_EX:
        return value * font_size * 0.5; /* SVG 1.1 leaves the x-height open; half is common practice */
    case HR_SVG_PERCENT: {
        const double base = axis == 'x'   ? viewport->width
                            : axis == 'y' ? viewport->height
                                          : hypot(viewport->width, viewport->height) / sqrt(2.0);
        return value / 100.0 * base;
    }
    case HR_SVG_NUMBER:
    case HR_SVG_PX:
    case HR_SVG_PT:
    case HR_SVG_PC:
    case HR_SVG_MM:
    case HR_SVG_CM:
    case HR_SVG_IN:
    case HR_SVG_Q:
        break;
    }
    return value * hr_units_svg_px(unit);
}

static hr_svg_paint paint_from(const svg_declaration *d, hr_svg_paint inherited, hr_svg_paint initial,
                               hr_svg_paint current)
{
    switch (d->value) {
    case SVG_VALUE_INHERIT:
        return inherited;
    case SVG_VALUE_INITIAL:
        return initial;
    case SVG_VALUE_CURRENT:
        return current;
    case SVG_VALUE_SET:
        break;
    }
    return d->is_server ? server_paint : d->paint;
}

/* CSS Fonts: em and percent of a font size are the parent's. */
static double font_size_from(const svg_declaration *d, double inherited, double initial)
{
    if (d->value != SVG_VALUE_SET) {
        return d->value == SVG_VALUE_INHERIT ? inherited : initial;
    }
    if (d->unit == HR_SVG_PERCENT) {
        return d->number / 100.0 * inherited;
    }
    const svg_viewport none = {0.0, 0.0};
    return svg_to_user(d->number, d->unit, 'r', &none, inherited);
}

static int word_from(const svg_declaration *d, int inherited, int initial)
{
    return d->value == SVG_VALUE_SET ? d->word : d->value == SVG_VALUE_INHERIT ? inherited : initial;
}

/* Takes over what won. Font size and colour come first: others refer to them. */
static void apply(const svg_cascade *cascade, const svg_style *parent, const svg_viewport *viewport, svg_style *style)
{
    const svg_style initial = svg_style_initial();
    const svg_declaration *const *best = cascade->best;
    if (best[SVG_P_FONT_SIZE] != NULL) {
        style->font_size = font_size_from(best[SVG_P_FONT_SIZE], parent->font_size, initial.font_size);
    }
    if (best[SVG_P_COLOR] != NULL) {
        style->color = paint_from(best[SVG_P_COLOR], parent->color, initial.color, parent->color);
    }
    if (best[SVG_P_STROKE] != NULL) {
        style->stroke = paint_from(best[SVG_P_STROKE], parent->stroke, initial.stroke, style->color);
    }
    if (best[SVG_P_FILL] != NULL) {
        style->fill = paint_from(best[SVG_P_FILL], parent->fill, initial.fill, style->color);
    }
    if (best[SVG_P_STROKE_WIDTH] != NULL) {
        const svg_declaration *d = best[SVG_P_STROKE_WIDTH];
        style->stroke_width = d->value == SVG_VALUE_SET
                                  ? svg_to_user(d->number, d->unit, 'r', viewport, style->font_size)
                              : d->value == SVG_VALUE_INHERIT ? parent->stroke_width
                                                              : initial.stroke_width;
    }
    if (best[SVG_P_FILL_RULE] != NULL) {
        style->even_odd = word_from(best[SVG_P_FILL_RULE], parent->even_odd, 0) != 0;
    }
    if (best[SVG_P_VISIBILITY] != NULL) {
        style->invisible = word_from(best[SVG_P_VISIBILITY], parent->invisible, 0) != 0;
    }
    if (best[SVG_P_TEXT_ANCHOR] != NULL) {
        style->anchor = word_from(best[SVG_P_TEXT_ANCHOR], parent->anchor, initial.anchor);
    }
    if (best[SVG_P_BASELINE] != NULL) {
        style->baseline = word_from(best[SVG_P_BASELINE], parent->baseline, initial.baseline);
    }
    if (best[SVG_P_DISPLAY] != NULL) {
        style->display_none = word_from(best[SVG_P_DISPLAY], parent->display_none, 0) != 0;
    }
    if (best[SVG_P_VECTOR_EFFECT] != NULL) {
        style->fixed_stroke = word_from(best[SVG_P_VECTOR_EFFECT], parent->fixed_stroke, 0) != 0;
    }
}

/* The style attribute's declarations into reader->scratch. */
static hr_status own_style(svg_reader *reader, uint32_t element, const char *text)
{
    const int line = reader->doc.elements[element].line;
    const size_t len = strlen(text);
    bool moves = false, fine;
    const hr_status status = svg_count_bytes(reader, len, line);
    if (status != HR_OK) {
        return status;
    }
    if (strstr(text, "/*") != NULL) {
        char *copy = svg_css_without_comments(text, len);
        fine = copy != NULL && svg_css_block(copy, len, &reader->scratch, &moves);
        hr_free(copy);
    } else {
        fine = svg_css_block(text, len, &reader->scratch, &moves);
    }
    if (!fine) {
        return svg_fail_memory(reader);
    }
    if (moves) {
        svg_note(reader, SVG_NOTE_MOVES, line,
                 "a transform set in CSS is not read: positions may be wrong; use the transform attribute");
    }
    return HR_OK;
}

static void note_clips(svg_reader *reader, const svg_cascade *cascade, int line)
{
    for (int property = SVG_P_CLIP; property <= SVG_P_MASK; property++) {
        const svg_declaration *d = cascade->best[property];
        if (d != NULL && d->value == SVG_VALUE_SET && d->word != 0) {
            svg_note(reader, SVG_NOTE_CLIP, line, "%s is not applied: what it hides is read too",
                     property == SVG_P_CLIP ? "clip-path" : "mask");
        }
    }
}

hr_status svg_style_compute(svg_reader *reader, uint32_t element, const svg_style *parent, const svg_viewport *viewport,
                            svg_style *style)
{
    const svg_document *doc = &reader->doc;
    const svg_element *e = &doc->elements[element];
    svg_cascade cascade = {0};
    svg_declaration attributes[SVG_PROPERTY_COUNT];
    const char *own = NULL;
    *style = *parent;
    style->display_none = style->fixed_stroke = false;
    for (size_t i = 0; i < e->attr_count; i++) {
        const svg_attr *attr = &doc->attrs[e->first_attr + i];
        if ((int)attr->name < (int)SVG_PROPERTY_COUNT) {
            const svg_property property = (svg_property)(int)attr->name;
            if (svg_declaration_parse(property, attr->value, strlen(attr->value), &attributes[property])) {
                svg_cascade_offer(&cascade, &attributes[property], 1);
            }
        } else if (attr->name == SVG_ATTR_STYLE) {
            own = attr->value;
        } else if (attr->name == SVG_ATTR_SPACE) {
            style->preserve_space = strcmp(attr->value, "preserve") == 0;
        }
    }
    const hr_status status = svg_sheet_match(reader, element, &cascade);
    if (status != HR_OK) {
        return status;
    }
    reader->scratch.count = 0;
    if (own != NULL && own_style(reader, element, own) != HR_OK) {
        return reader->status;
    }
    for (size_t i = 0; i < reader->scratch.count; i++) {
        svg_cascade_offer(&cascade, &reader->scratch.items[i], UINT64_C(1) << 61);
    }
    apply(&cascade, parent, viewport, style);
    note_clips(reader, &cascade, e->line);
    return HR_OK;
}
