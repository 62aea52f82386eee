/*
 * names.c - the elements, attributes and namespaces this module knows.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <stdlib.h>
#include <string.h>

typedef struct tag_row {
    const char *name;
    svg_tag tag;
} tag_row;

/* Sorted by name (strcmp): found by bisection. */
static const tag_row tags[] = {
    {"a", SVG_TAG_A},
    {"animate", SVG_TAG_QUIET},
    {"animateColor", SVG_TAG_QUIET},
    {"animateMotion", SVG_TAG_QUIET},
    {"animateTransform", SVG_TAG_QUIET},
    {"circle", SVG_TAG_CIRCLE},
    {"clipPath", SVG_TAG_DEFS},
    {"color-profile", SVG_TAG_QUIET},
    {"cursor", SVG_TAG_QUIET},
    {"defs", SVG_TAG_DEFS},
    {"desc", SVG_TAG_QUIET},
    {"discard", SVG_TAG_QUIET},
    {"ellipse", SVG_TAG_ELLIPSE},
    {"filter", SVG_TAG_QUIET},
    {"flowRoot", SVG_TAG_FLOW},
    {"font", SVG_TAG_QUIET},
    {"font-face", SVG_TAG_QUIET},
    {"foreignObject", SVG_TAG_FLOW},
    {"g", SVG_TAG_G},
    {"image", SVG_TAG_IMAGE},
    {"line", SVG_TAG_LINE},
    {"linearGradient", SVG_TAG_QUIET},
    {"marker", SVG_TAG_DEFS},
    {"mask", SVG_TAG_DEFS},
    {"meshgradient", SVG_TAG_QUIET},
    {"metadata", SVG_TAG_QUIET},
    {"path", SVG_TAG_PATH},
    {"pattern", SVG_TAG_DEFS},
    {"polygon", SVG_TAG_POLYGON},
    {"polyline", SVG_TAG_POLYLINE},
    {"radialGradient", SVG_TAG_QUIET},
    {"rect", SVG_TAG_RECT},
    {"script", SVG_TAG_QUIET},
    {"set", SVG_TAG_QUIET},
    {"solidcolor", SVG_TAG_QUIET},
    {"style", SVG_TAG_STYLE},
    {"svg", SVG_TAG_SVG},
    {"switch", SVG_TAG_SWITCH},
    {"symbol", SVG_TAG_SYMBOL},
    {"text", SVG_TAG_TEXT},
    {"textPath", SVG_TAG_TEXTPATH},
    {"title", SVG_TAG_TITLE},
    {"tspan", SVG_TAG_TSPAN},
    {"use", SVG_TAG_USE},
    {"view", SVG_TAG_QUIET},
};

typedef struct attribute_row {
    const char *name;
    svg_space_name space;
    svg_attribute attribute;
} attribute_row;

/* Sorted by name, then namespace. */
static const attribute_row attributes[] = {
    {"class", SVG_NS_NONE, SVG_ATTR_CLASS},
    {"clip-path", SVG_NS_NONE, SVG_ATTR_CLIP},
    {"color", SVG_NS_NONE, SVG_ATTR_COLOR},
    {"cx", SVG_NS_NONE, SVG_ATTR_CX},
    {"cy", SVG_NS_NONE, SVG_ATTR_CY},
    {"d", SVG_NS_NONE, SVG_ATTR_D},
    {"data-name", SVG_NS_NONE, SVG_ATTR_DATA_NAME},
    {"display", SVG_NS_NONE, SVG_ATTR_DISPLAY},
    {"dominant-baseline", SVG_NS_NONE, SVG_ATTR_BASELINE},
    {"dx", SVG_NS_NONE, SVG_ATTR_DX},
    {"dy", SVG_NS_NONE, SVG_ATTR_DY},
    {"fill", SVG_NS_NONE, SVG_ATTR_FILL},
    {"fill-rule", SVG_NS_NONE, SVG_ATTR_FILL_RULE},
    {"font-size", SVG_NS_NONE, SVG_ATTR_FONT_SIZE},
    {"groupmode", SVG_NS_INKSCAPE, SVG_ATTR_GROUPMODE},
    {"height", SVG_NS_NONE, SVG_ATTR_HEIGHT},
    {"href", SVG_NS_NONE, SVG_ATTR_HREF},
    {"href", SVG_NS_XLINK, SVG_ATTR_XLINK_HREF},
    {"id", SVG_NS_NONE, SVG_ATTR_ID},
    {"id", SVG_NS_XML, SVG_ATTR_ID},
    {"label", SVG_NS_INKSCAPE, SVG_ATTR_LABEL},
    {"mask", SVG_NS_NONE, SVG_ATTR_MASK},
    {"points", SVG_NS_NONE, SVG_ATTR_POINTS},
    {"preserveAspectRatio", SVG_NS_NONE, SVG_ATTR_ASPECT},
    {"r", SVG_NS_NONE, SVG_ATTR_R},
    {"requiredExtensions", SVG_NS_NONE, SVG_ATTR_EXTENSIONS},
    {"rx", SVG_NS_NONE, SVG_ATTR_RX},
    {"ry", SVG_NS_NONE, SVG_ATTR_RY},
    {"space", SVG_NS_XML, SVG_ATTR_SPACE},
    {"stroke", SVG_NS_NONE, SVG_ATTR_STROKE},
    {"stroke-width", SVG_NS_NONE, SVG_ATTR_STROKE_WIDTH},
    {"style", SVG_NS_NONE, SVG_ATTR_STYLE},
    {"systemLanguage", SVG_NS_NONE, SVG_ATTR_LANGUAGE},
    {"text-anchor", SVG_NS_NONE, SVG_ATTR_TEXT_ANCHOR},
    {"transform", SVG_NS_NONE, SVG_ATTR_TRANSFORM},
    {"vector-effect", SVG_NS_NONE, SVG_ATTR_VECTOR_EFFECT},
    {"viewBox", SVG_NS_NONE, SVG_ATTR_VIEWBOX},
    {"visibility", SVG_NS_NONE, SVG_ATTR_VISIBILITY},
    {"width", SVG_NS_NONE, SVG_ATTR_WIDTH},
    {"x", SVG_NS_NONE, SVG_ATTR_X},
    {"x1", SVG_NS_NONE, SVG_ATTR_X1},
    {"x2", SVG_NS_NONE, SVG_ATTR_X2},
    {"y", SVG_NS_NONE, SVG_ATTR_Y},
    {"y1", SVG_NS_NONE, SVG_ATTR_Y1},
    {"y2", SVG_NS_NONE, SVG_ATTR_Y2},
};

static const struct {
    const char *uri, *prefix;
    svg_space_name name;
} spaces[] = {
    {"http://www.w3.org/2000/svg", "svg", SVG_NS_SVG},
    {"http://www.w3.org/1999/xlink", "xlink", SVG_NS_XLINK},
    {"http://www.inkscape.org/namespaces/inkscape", "inkscape", SVG_NS_INKSCAPE},
    {"http://www.w3.org/XML/1998/namespace", "xml", SVG_NS_XML},
};

svg_space_name svg_namespace(const char *uri, const char *prefix)
{
    if (uri == NULL && prefix == NULL) {
        return SVG_NS_NONE;
    }
    for (size_t i = 0; i < sizeof spaces / sizeof *spaces; i++) {
        if (uri != NULL ? strcmp(uri, spaces[i].uri) == 0 : strcmp(prefix, spaces[i].prefix) == 0) {
            return spaces[i].name;
        }
    }
    return SVG_NS_OTHER;
}

/* strcmp, but most names of a large drawing are told apart by their first letter. */
static int compare_names(const char *a, const char *b)
{
    const int first = (int)(unsigned char)a[0] - (int)(unsigned char)b[0];
    return first != 0 ? first : strcmp(a, b);
}

static const tag_row *tag_find(const char *local)
{
    size_t low = 0, high = sizeof tags / sizeof *tags;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        const int order = compare_names(local, tags[middle].name);
        if (order == 0) {
            return &tags[middle];
        }
        if (order < 0) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    return NULL;
}

svg_tag svg_tag_of(const char *local, const char **text)
{
    const tag_row *row = tag_find(local);
    *text = row != NULL ? row->name : "";
    return row != NULL ? row->tag : SVG_TAG_UNKNOWN;
}

svg_attribute svg_attribute_of(const char *local, svg_space_name space)
{
    size_t low = 0, high = sizeof attributes / sizeof *attributes;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        const int by_name = compare_names(local, attributes[middle].name);
        const int order = by_name != 0 ? by_name : (int)space - (int)attributes[middle].space;
        if (order == 0) {
            return attributes[middle].attribute;
        }
        if (order < 0) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    return SVG_ATTR_NONE;
}

bool svg_tag_is_shape(svg_tag tag)
{
    return tag >= SVG_TAG_LINE && tag <= SVG_TAG_PATH;
}
