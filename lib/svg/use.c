/*
 * use.c - what a `use` stands for. Only elements of the same drawing; a
 * reference to something that is being drawn already would not end.
 *
 * Source: SVG 1.1, 5.6; SVG 2, 5.6 (href before xlink:href).
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <string.h>

static bool can_stand(svg_tag tag)
{
    switch (tag) {
    case SVG_TAG_SVG:
    case SVG_TAG_G:
    case SVG_TAG_A:
    case SVG_TAG_SWITCH:
    case SVG_TAG_SYMBOL:
    case SVG_TAG_USE:
    case SVG_TAG_TEXT:
    case SVG_TAG_IMAGE:
        return true;
    case SVG_TAG_RUN:
    case SVG_TAG_LINE:
    case SVG_TAG_POLYLINE:
    case SVG_TAG_POLYGON:
    case SVG_TAG_RECT:
    case SVG_TAG_CIRCLE:
    case SVG_TAG_ELLIPSE:
    case SVG_TAG_PATH:
    case SVG_TAG_TSPAN:
    case SVG_TAG_TEXTPATH:
    case SVG_TAG_DEFS:
    case SVG_TAG_TITLE:
    case SVG_TAG_STYLE:
    case SVG_TAG_QUIET:
    case SVG_TAG_FLOW:
    case SVG_TAG_UNKNOWN:
        break;
    }
    return svg_tag_is_shape(tag);
}

/* The id after '#', or NULL with a note. */
static const char *reference(svg_reader *reader, uint32_t element)
{
    const int line = reader->doc.elements[element].line;
    const char *href = svg_attr_get(&reader->doc, element, SVG_ATTR_HREF);
    if (href == NULL) {
        href = svg_attr_get(&reader->doc, element, SVG_ATTR_XLINK_HREF);
    }
    char shown[SVG_EXCERPT];
    if (href == NULL) {
        svg_note(reader, SVG_NOTE_REFERENCE, line, "<use> without a reference: nothing is drawn");
        return NULL;
    }
    href += strspn(href, " \t\r\n\f");
    if (href[0] != '#') {
        svg_note(reader, SVG_NOTE_REFERENCE, line,
                 "<use> refers to \"%s\" outside the drawing: not opened, nothing is drawn", svg_excerpt(href, shown));
        return NULL;
    }
    return href + 1;
}

hr_status svg_use_target(svg_reader *reader, uint32_t element, uint32_t *target)
{
    const svg_document *doc = &reader->doc;
    const int line = doc->elements[element].line;
    *target = SVG_NONE;
    if (++reader->references > HR_MAX_REFERENCES) {
        return svg_fail(reader, HR_ERR_LIMIT, line, "more than %zu references by <use>", HR_MAX_REFERENCES);
    }
    const char *id = reference(reader, element);
    if (id == NULL) {
        return HR_OK;
    }
    const uint32_t found = svg_document_find(doc, id);
    char shown[SVG_EXCERPT];
    if (found == SVG_NONE || !can_stand((svg_tag)doc->elements[found].tag)) {
        svg_note(reader, SVG_NOTE_REFERENCE, line, "<use> refers to \"#%s\", which is %s: nothing is drawn",
                 svg_excerpt(id, shown), found == SVG_NONE ? "not in the drawing" : "nothing that can be drawn");
        return HR_OK;
    }
    if (doc->elements[found].open) {
        svg_note(reader, SVG_NOTE_REFERENCE, line, "<use> of \"#%s\" refers to itself: left out",
                 svg_excerpt(id, shown));
        return HR_OK;
    }
    if (reader->use_depth >= HR_MAX_USE_DEPTH) {
        return svg_fail(reader, HR_ERR_LIMIT, line, "<use> within <use> more than %d deep", HR_MAX_USE_DEPTH);
    }
    *target = found;
    return HR_OK;
}
