/*
 * hr_svg.h - one drawing read into named, styled, flat shapes. Knows SVG and
 * nothing of walls or rooms. The only user of libxml2.
 *
 * Source: Scalable Vector Graphics (SVG) 1.1 Second Edition and SVG 2, W3C.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_SVG_H
#define HR_SVG_H

#include "hr_base.h"
#include "hr_geometry.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum hr_svg_kind {
    HR_SVG_GROUP, /* svg, g, a, switch, use, symbol instance */
    HR_SVG_SHAPE, /* line polyline polygon rect circle ellipse path */
    HR_SVG_TEXT,  /* text; its labels are in hr_svg_drawing.labels */
    HR_SVG_IMAGE  /* image: a picture inside the drawing, never read */
} hr_svg_kind;

typedef struct hr_svg_paint {
    bool set;    /* false: none */
    uint8_t r, g, b;
} hr_svg_paint;

/* One outline or open line of a shape, after flattening. No point equals the
 * one before it; a shape without extent (a dot) has count 1. */
typedef struct hr_svg_path {
    size_t first, count; /* points[first .. first+count) of the drawing */
    bool closed;         /* the last point joins the first (not repeated) */
} hr_svg_path;

/* An element in document order; parents come before children. `use` puts a
 * copy of what it references below its own node. Elements inside defs,
 * pattern, marker, clipPath, mask, font, metadata are not here. */
typedef struct hr_svg_node {
    hr_svg_kind kind;
    size_t parent;       /* index of the parent; SIZE_MAX for the root */
    int line;            /* 1-based line of the element in the file    */
    const char *element; /* local name: "g", "path" ...                */
    /* Name candidates in the order they count; NULL where absent. */
    const char *label;     /* inkscape:label as written                   */
    const char *title;     /* a direct child <title>, trimmed, blanks folded */
    const char *data_name; /* data-name                                   */
    const char *id;        /* as written, not decoded                     */
    const char *classes;   /* the class attribute, blanks between tokens  */
    bool is_layer;         /* inkscape:groupmode="layer"                  */
    bool display_none;     /* this element itself has display:none        */
    bool invisible;        /* computed visibility: hidden or collapse     */
    hr_svg_paint stroke, fill; /* computed; a gradient or pattern is 80 80 80 (hex) */
    bool fill_even_odd;
    double stroke_width;   /* computed, in root user units                */
    bool similar;          /* the shape's transform keeps angles          */
    double unit_scale;     /* root units per own unit (sqrt |det|)        */
    bool broken;           /* path or point data ended in an error; what stands before it was kept */
    size_t first_path, path_count; /* filled by hr_svg_flatten; SHAPE only */
} hr_svg_node;

/* One label: a run of text that stands by itself. */
typedef struct hr_svg_label {
    size_t node;      /* its text node */
    const char *text; /* trimmed, blanks folded */
    hr_point centre;  /* estimated centre, root user units */
    double size;      /* font size in root user units */
    int line;
    bool follows; /* the next line of the label before it: same text element, one line below, aligned */
} hr_svg_label;

typedef struct hr_svg_drawing {
    const char *file;
    hr_svg_node *nodes;
    size_t node_count;
    hr_svg_label *labels;
    size_t label_count;
    /* Flat shapes in the root's user space (inside its viewBox, y down). */
    hr_point *points;
    size_t point_count;
    hr_svg_path *paths;
    size_t path_count;
    /* The page: 0 where not given. Physical sizes in millimetres are known only when
     * width and height carry mm, cm, Q, in, pt or pc (px and none do not count). */
    double width_mm, height_mm;
    double view_x, view_y, view_w, view_h; /* viewBox; view_w 0: none */
    double page_w, page_h;                 /* width and height in px; 0: not given or in percent */
    size_t image_count;
    struct hr_svg_private *priv;
} hr_svg_drawing;

/*
 * Reads a drawing from bytes in memory. Nothing else is ever opened: external
 * entities that are referred to are refused (HR_ERR_INPUT), an external subset
 * is not loaded (noted, unless it is the W3C's own DTD of SVG, which nearly
 * every exporter names and which declares nothing that is needed). Caps: hr_limits.h (HR_ERR_LIMIT names the cap). A truncated or
 * ill-formed file is HR_ERR_INPUT with file and line. Odd but readable things
 * (bad transform, broken path data, unsupported units, clip paths, @import)
 * are noted with their line, at most eight of a kind one by one, then their
 * number. Curves are kept exact until hr_svg_flatten.
 * nan, inf and overflowing numbers (1e999) in any coordinate, and data the XML
 * parser refuses, are errors: never a smaller plan.
 */
HR_API hr_status hr_svg_read(const char *file, const char *bytes, size_t len, hr_notes *notes,
                             hr_svg_drawing **drawing, hr_error *err);

/*
 * Fills points and paths of every shape with straight pieces that stay within
 * `tolerance` (> 0, root user units) of the true curve. May be called again
 * with another tolerance. HR_ERR_LIMIT over HR_MAX_SEGMENTS.
 */
HR_API hr_status hr_svg_flatten(hr_svg_drawing *drawing, double tolerance, hr_error *err);

HR_API void hr_svg_free(hr_svg_drawing *drawing); /* NULL is fine */

/* True when the node and all its ancestors up to (not including) `top` are
 * drawn: no display:none among them and the node not invisible. top SIZE_MAX:
 * up to the root. */
HR_API bool hr_svg_shown(const hr_svg_drawing *drawing, size_t node, size_t top);

/* A colour as CSS writes it (#rgb, #rrggbb, rgb(), hsl(), percentages, names,
 * light-dark(): its first). False when it is not a colour; "none", "transparent"
 * and an alpha of 0 give set = false, true. */
HR_API bool hr_svg_colour(const char *text, hr_svg_paint *paint);

#ifdef __cplusplus
}
#endif
#endif
