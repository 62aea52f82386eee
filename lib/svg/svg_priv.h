/*
 * svg_priv.h - what the files of the svg module share. The way of a drawing:
 * bytes -> guard -> libxml2 events -> compact tree (svg_document) -> walk with
 * matrix and style -> nodes, labels and exact curves -> flat points on demand.
 *
 * No libxml2 type appears here: only xml_read.c and xml_entities.c know it.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef SVG_PRIV_H
#define SVG_PRIV_H

#include "hr_limits.h"
#include "hr_svg.h"
#include "hr_units.h"

#define SVG_NONE UINT32_MAX

/* ---- scan.c: numbers and separators -------------------------------------- */

/* How reading a piece of text ended. NOT_FINITE covers nan, inf and overflow:
 * such a number is never read as a smaller drawing, it is an error. */
typedef enum svg_outcome { SVG_READ = 0, SVG_BAD, SVG_NOT_FINITE } svg_outcome;

typedef struct svg_scan {
    const char *text;
    size_t len, at;
} svg_scan;

svg_scan svg_scan_text(const char *text);
bool svg_is_blank(char c); /* 09 0A 0C 0D 20, the white space of SVG and CSS */
bool svg_scan_done(const svg_scan *scan);
void svg_scan_blanks(svg_scan *scan);
/* Skips white space with at most one comma; true when there was a comma. */
bool svg_scan_comma(svg_scan *scan);
svg_outcome svg_scan_number(svg_scan *scan, double *value);
/* Exactly count numbers with separators and nothing else. */
svg_outcome svg_scan_numbers(const char *text, double *values, size_t count);
/* text[0..len) as a length; surrounding blanks allowed. */
svg_outcome svg_scan_length(const char *text, size_t len, double *value, hr_svg_unit *unit);

/* ---- matrix.c: affine maps, the transform attribute, viewBox -------------- */

/* x' = a x + c y + e, y' = b x + d y + f */
typedef struct svg_matrix {
    double a, b, c, d, e, f;
} svg_matrix;

extern const svg_matrix svg_matrix_unit;
svg_matrix svg_matrix_product(svg_matrix outer, svg_matrix inner);
svg_matrix svg_matrix_shift(svg_matrix outer, double x, double y);
hr_point svg_matrix_point(svg_matrix m, double x, double y);
bool svg_matrix_is_finite(svg_matrix m);
bool svg_matrix_is_singular(svg_matrix m);
bool svg_matrix_is_similar(svg_matrix m); /* keeps angles; a mirror image counts */
double svg_matrix_scale(svg_matrix m);    /* sqrt |det| */
svg_outcome svg_transform_parse(const char *text, svg_matrix *matrix);

/* preserveAspectRatio: place 0, 1, 2 = min, mid, max. */
typedef struct svg_aspect {
    bool none, slice;
    int place_x, place_y;
} svg_aspect;

bool svg_aspect_parse(const char *text, svg_aspect *aspect);
/* Maps the box (x y w h, both sides > 0) to the viewport (0 0 width height). */
svg_matrix svg_viewbox_matrix(const double box[4], double width, double height, svg_aspect aspect);

/* ---- curves.c, arc.c: exact curves in root user units --------------------- */

enum { SVG_OP_MOVE = 0, SVG_OP_LINE, SVG_OP_CUBIC, SVG_OP_ARC, SVG_OP_CLOSE };

/* Operations and their numbers: MOVE, LINE x y; CUBIC x1 y1 x2 y2 x y; ARC
 * centre, two axis vectors, start and turn (radians), end: a point at t is
 * centre + u cos t + v sin t, which every affine map keeps. CLOSE none. */
typedef struct svg_curves {
    uint8_t *ops;
    size_t op_count, op_cap;
    double *args;
    size_t arg_count, arg_cap;
    size_t pieces; /* operations that draw */
} svg_curves;

typedef enum svg_fault { SVG_NO_FAULT = 0, SVG_FAULT_MEMORY, SVG_FAULT_COORDINATE, SVG_FAULT_PIECES } svg_fault;

/* Draws through a matrix into the curve store. After a fault nothing more is drawn. */
typedef struct svg_pen {
    svg_curves *curves;
    svg_matrix matrix;
    hr_point at, start; /* in own user units */
    bool begun;         /* the subpath's MOVE is stored */
    svg_fault fault;
} svg_pen;

void svg_pen_move(svg_pen *pen, double x, double y);
void svg_pen_line(svg_pen *pen, double x, double y);
void svg_pen_cubic(svg_pen *pen, hr_point c1, hr_point c2, hr_point to);
void svg_pen_quadratic(svg_pen *pen, hr_point control, hr_point to);
/* Elliptical arc by endpoints, SVG 1.1 F.6. Radii as written, angle in degrees. */
void svg_pen_arc(svg_pen *pen, double rx, double ry, double angle_deg, bool large, bool sweep, hr_point to);
/* A whole ellipse, closed. Radii > 0. */
void svg_pen_ellipse(svg_pen *pen, hr_point centre, double rx, double ry);
void svg_pen_close(svg_pen *pen);
bool svg_pen_put(svg_pen *pen, uint8_t op, const double *args, size_t count); /* for arc.c */
bool svg_pen_begin(svg_pen *pen);                                             /* for arc.c */

/* ---- path.c: path data and point lists ------------------------------------ */

typedef struct svg_path_result {
    svg_outcome outcome;
    size_t stopped_at; /* offset of what could not be read */
    size_t segments;   /* complete segments kept           */
} svg_path_result;

svg_path_result svg_path_parse(const char *text, svg_pen *pen);
svg_path_result svg_points_parse(const char *text, bool closed, svg_pen *pen);

/* ---- names.c: elements and attributes ------------------------------------- */

typedef enum svg_tag {
    SVG_TAG_RUN = 0, /* a run of characters, not an element */
    SVG_TAG_SVG, SVG_TAG_G, SVG_TAG_A, SVG_TAG_SWITCH, SVG_TAG_SYMBOL, SVG_TAG_USE,
    SVG_TAG_LINE, SVG_TAG_POLYLINE, SVG_TAG_POLYGON, SVG_TAG_RECT, SVG_TAG_CIRCLE, SVG_TAG_ELLIPSE, SVG_TAG_PATH,
    SVG_TAG_TEXT, SVG_TAG_TSPAN, SVG_TAG_TEXTPATH, SVG_TAG_IMAGE,
    SVG_TAG_DEFS,    /* defs, pattern, marker, clipPath, mask: kept for references, never walked */
    SVG_TAG_TITLE, SVG_TAG_STYLE,
    SVG_TAG_QUIET,   /* known, says nothing about a plan: skipped with all inside */
    SVG_TAG_FLOW,    /* flowRoot, foreignObject: text that a plan may miss        */
    SVG_TAG_UNKNOWN
} svg_tag;

/* The first SVG_PROPERTY_COUNT are presentation attributes: same numbers as svg_property. */
typedef enum svg_attribute {
    SVG_ATTR_DISPLAY = 0, SVG_ATTR_VISIBILITY, SVG_ATTR_COLOR, SVG_ATTR_STROKE, SVG_ATTR_FILL, SVG_ATTR_FILL_RULE,
    SVG_ATTR_STROKE_WIDTH, SVG_ATTR_VECTOR_EFFECT, SVG_ATTR_FONT_SIZE, SVG_ATTR_TEXT_ANCHOR, SVG_ATTR_BASELINE,
    SVG_ATTR_CLIP, SVG_ATTR_MASK,
    SVG_ATTR_ID, SVG_ATTR_CLASS, SVG_ATTR_STYLE, SVG_ATTR_TRANSFORM, SVG_ATTR_D, SVG_ATTR_POINTS,
    SVG_ATTR_X, SVG_ATTR_Y, SVG_ATTR_X1, SVG_ATTR_Y1, SVG_ATTR_X2, SVG_ATTR_Y2, SVG_ATTR_CX, SVG_ATTR_CY, SVG_ATTR_R,
    SVG_ATTR_RX, SVG_ATTR_RY, SVG_ATTR_WIDTH, SVG_ATTR_HEIGHT, SVG_ATTR_DX, SVG_ATTR_DY,
    SVG_ATTR_VIEWBOX, SVG_ATTR_ASPECT, SVG_ATTR_HREF, SVG_ATTR_XLINK_HREF, SVG_ATTR_LABEL, SVG_ATTR_GROUPMODE,
    SVG_ATTR_DATA_NAME, SVG_ATTR_EXTENSIONS, SVG_ATTR_LANGUAGE, SVG_ATTR_SPACE,
    SVG_ATTR_NONE
} svg_attribute;

typedef enum svg_space_name { SVG_NS_NONE = 0, SVG_NS_SVG, SVG_NS_XLINK, SVG_NS_INKSCAPE, SVG_NS_XML, SVG_NS_OTHER } svg_space_name;

/* uri NULL with a prefix (never declared): known by the prefix people use. */
svg_space_name svg_namespace(const char *uri, const char *prefix);
/* *text: the static spelling of an element that is known, else "" */
svg_tag svg_tag_of(const char *local, const char **text);
svg_attribute svg_attribute_of(const char *local, svg_space_name space);
bool svg_tag_is_shape(svg_tag tag);

/* ---- document.c: the compact tree ------------------------------------------ */

typedef struct svg_attr {
    svg_attribute name;
    const char *value;
} svg_attr;

typedef struct svg_element {
    const char *text; /* SVG_TAG_RUN: the characters; else the trimmed direct child title or NULL */
    const char *name; /* local name, static */
    uint32_t parent, first_child, next; /* SVG_NONE at the ends */
    uint32_t first_attr;
    int line;
    uint16_t attr_count;
    uint8_t tag;
    bool open; /* being walked: a reference to it would not end */
} svg_element;

typedef struct svg_id {
    const char *id;
    uint32_t element;
} svg_id;

typedef struct svg_document {
    hr_arena *arena; /* strings; handed over to the drawing */
    svg_element *elements;
    size_t element_count, element_cap;
    svg_attr *attrs;
    size_t attr_count, attr_cap;
    svg_id *ids; /* sorted, first of equal ones first */
    size_t id_count, id_cap;
} svg_document;

const char *svg_attr_get(const svg_document *doc, uint32_t element, svg_attribute name); /* NULL: absent */
bool svg_document_sort_ids(svg_document *doc); /* false: no memory */
uint32_t svg_document_find(const svg_document *doc, const char *id);
void svg_document_free(svg_document *doc);
/* A copy with blanks at the ends removed and runs of blanks inside made one space; NULL: no memory. */
char *svg_fold(hr_arena *arena, const char *text, size_t len);

/* ---- colour.c, declare.c, css.c, css_match.c, style.c ----------------------- */

int svg_hex_digit(char c); /* -1: it is none */

typedef enum svg_property {
    SVG_P_DISPLAY = 0, SVG_P_VISIBILITY, SVG_P_COLOR, SVG_P_STROKE, SVG_P_FILL, SVG_P_FILL_RULE, SVG_P_STROKE_WIDTH,
    SVG_P_VECTOR_EFFECT, SVG_P_FONT_SIZE, SVG_P_TEXT_ANCHOR, SVG_P_BASELINE, SVG_P_CLIP, SVG_P_MASK,
    SVG_PROPERTY_COUNT,
    SVG_P_MOVES,  /* transform, d ... set in CSS: not read, and said */
    SVG_P_IGNORED /* everything that does not change a plan */
} svg_property;

typedef enum svg_value { SVG_VALUE_SET = 0, SVG_VALUE_INHERIT, SVG_VALUE_INITIAL, SVG_VALUE_CURRENT } svg_value;

enum { SVG_ANCHOR_START = 0, SVG_ANCHOR_MIDDLE, SVG_ANCHOR_END };
enum { SVG_BASELINE_ALPHABETIC = 0, SVG_BASELINE_MIDDLE, SVG_BASELINE_TOP };

/* One checked declaration. number/unit for lengths, word for keywords, paint for colours. */
typedef struct svg_declaration {
    svg_property property;
    svg_value value;
    bool important;
    bool is_server; /* paint was url(...): set, colour unknown */
    hr_svg_paint paint;
    int word;
    double number;
    hr_svg_unit unit;
} svg_declaration;

/* The property's value from text; false when it is not valid (then it does not count). */
bool svg_declaration_parse(svg_property property, const char *text, size_t len, svg_declaration *out);
svg_property svg_property_of(const char *name, size_t len);

/* Name and value of one `name: value` in a block. */
typedef struct svg_css_pair {
    const char *name, *value;
    size_t name_len, value_len;
    bool important;
} svg_css_pair;
bool svg_css_next_pair(const char **at, const char *end, svg_css_pair *pair);
/* Copy of CSS text with comments made blank; NULL: no memory. Free with hr_free. */
char *svg_css_without_comments(const char *text, size_t len);
/* Declarations of a block, appended; false: no memory. *moves set when one would move shapes. */
typedef struct svg_declarations {
    svg_declaration *items;
    size_t count, cap;
} svg_declarations;
bool svg_css_block(const char *text, size_t len, svg_declarations *out, bool *moves);

typedef struct svg_compound {
    const char *type, *id;            /* NULL: any */
    uint32_t first_class, class_count; /* in sheet.classes */
    bool child; /* joined to the compound before it by '>' (else by a blank) */
} svg_compound;

typedef struct svg_selector {
    uint32_t first, count; /* compounds, rightmost last */
    uint32_t weight;       /* specificity: ids, classes, types as 10 bits each */
    uint32_t order;
    uint32_t first_declaration, declaration_count;
    const char *key; /* id, class or type of the last compound; "" for any */
    uint8_t key_kind; /* 0 any, 1 type, 2 class, 3 id */
} svg_selector;

typedef struct svg_sheet {
    svg_selector *selectors;
    size_t selector_count, selector_cap;
    svg_compound *compounds;
    size_t compound_count, compound_cap;
    const char **classes;
    size_t class_count, class_cap;
    svg_declarations declarations;
    size_t rules, bytes;
} svg_sheet;

struct svg_reader;
hr_status svg_sheet_add(struct svg_reader *reader, const char *text, size_t len, int line);
void svg_sheet_sort(svg_sheet *sheet); /* by key, once all sheets are in */
void svg_sheet_free(svg_sheet *sheet);

/* What wins for one element: rank 0 means nothing said. */
typedef struct svg_cascade {
    const svg_declaration *best[SVG_PROPERTY_COUNT];
    uint64_t rank[SVG_PROPERTY_COUNT];
} svg_cascade;
void svg_cascade_offer(svg_cascade *cascade, const svg_declaration *declaration, uint64_t rank);
hr_status svg_sheet_match(struct svg_reader *reader, uint32_t element, svg_cascade *cascade);

typedef struct svg_style {
    hr_svg_paint color, stroke, fill;
    bool even_odd, invisible, preserve_space;
    bool display_none, fixed_stroke; /* own, not inherited */
    double stroke_width, font_size;  /* own user units */
    int anchor, baseline;
} svg_style;

/* The box that percentages refer to; 0: unknown. */
typedef struct svg_viewport {
    double width, height;
} svg_viewport;

svg_style svg_style_initial(void);
/* Computes an element's style from its parent's. */
hr_status svg_style_compute(struct svg_reader *reader, uint32_t element, const svg_style *parent,
                            const svg_viewport *viewport, svg_style *style);

/* ---- reader.c: one reading, notes and errors --------------------------------- */

typedef enum svg_note_kind {
    SVG_NOTE_XML = 0, SVG_NOTE_CSS, SVG_NOTE_TRANSFORM, SVG_NOTE_PATH, SVG_NOTE_LENGTH, SVG_NOTE_PERCENT,
    SVG_NOTE_REFERENCE, SVG_NOTE_SINGULAR, SVG_NOTE_VIEWBOX, SVG_NOTE_FLOW, SVG_NOTE_UNKNOWN, SVG_NOTE_CLIP,
    SVG_NOTE_MOVES, SVG_NOTE_SWITCH, SVG_NOTE_TEXT, SVG_NOTE_KIND_COUNT
} svg_note_kind;

/* The exact curves of one shape. */
typedef struct svg_shape {
    size_t node;
    size_t first_op, op_end, first_arg;
} svg_shape;

struct hr_svg_private {
    hr_arena *arena; /* every string of the drawing */
    svg_curves curves;
    svg_shape *shapes;
    size_t shape_count, shape_cap;
    size_t node_cap, label_cap;
};

typedef struct svg_reader {
    const char *file;
    hr_notes *notes;
    hr_error *err;
    hr_status status; /* first failure */
    svg_document doc;
    svg_sheet sheet;
    svg_declarations scratch; /* of one style attribute */
    hr_svg_drawing *drawing;
    size_t note_counts[SVG_NOTE_KIND_COUNT];
    size_t references; /* `use` followed so far             */
    size_t use_depth;
    size_t expanded;   /* bytes of attributes and text read */
    size_t steps;      /* elements looked at                */
    size_t css_tests;
} svg_reader;

/* Records the first failure and returns it. */
hr_status svg_fail(svg_reader *reader, hr_status status, int line, const char *fmt, ...) HR_PRINTF(4, 5);
hr_status svg_fail_memory(svg_reader *reader);
/* A note; after a number of one kind only a count follows at the end. */
void svg_note(svg_reader *reader, svg_note_kind kind, int line, const char *fmt, ...) HR_PRINTF(4, 5);
void svg_notes_close(svg_reader *reader);
/* A short printable piece of text for messages. */
#define SVG_EXCERPT 28
const char *svg_excerpt(const char *text, char out[SVG_EXCERPT]);
/* Counts work that references multiply; HR_ERR_LIMIT over HR_MAX_EXPANDED_BYTES. */
hr_status svg_count_bytes(svg_reader *reader, size_t bytes, int line);
hr_status svg_count_step(svg_reader *reader, int line);

/* ---- the stages ------------------------------------------------------------ */

/* guard.c: refuses what must not reach the XML parser. */
hr_status svg_guard(svg_reader *reader, const char *bytes, size_t len);
/* xml_read.c: bytes -> reader->doc and reader->sheet. */
hr_status svg_xml_read(svg_reader *reader, const char *bytes, size_t len);

typedef struct svg_frame {
    uint32_t element, next_child;
    uint32_t target; /* a `use`: what it stands for, SVG_NONE when done or other */
    bool single;     /* a switch: one child only */
    bool is_use;
    size_t node;
    svg_matrix matrix;
    svg_viewport viewport;
    svg_style style;
} svg_frame;

/* walk.c: reader->doc -> reader->drawing. */
hr_status svg_walk(svg_reader *reader);
hr_status svg_add_node(svg_reader *reader, uint32_t element, hr_svg_kind kind, const svg_frame *frame, size_t parent);
/* use.c: what a `use` stands for (SVG_NONE with a note when it leads nowhere). */
hr_status svg_use_target(svg_reader *reader, uint32_t element, uint32_t *target);
/* viewport.c: the root's page and view; moves a nested svg or symbol into place. */
hr_status svg_root_view(svg_reader *reader, svg_frame *root);
hr_status svg_enter_view(svg_reader *reader, svg_frame *frame, const svg_frame *outer, bool *empty);
/* shapes.c */
hr_status svg_shape_draw(svg_reader *reader, const svg_frame *frame, bool *broken);
/* A length attribute in own user units; *value keeps its default when absent or malformed.
 * axis: 'x' and 'y' take the viewport's width and height for percent, 'r' its diagonal / sqrt 2. */
hr_status svg_length(svg_reader *reader, const svg_frame *frame, svg_attribute name, char axis, double *value);
double svg_to_user(double value, hr_svg_unit unit, char axis, const svg_viewport *viewport, double font_size);
/* text.c: labels of a text element whose frame is given. */
hr_status svg_text_labels(svg_reader *reader, const svg_frame *frame);

/* label.c: one label being put together from glyphs. All in own user units. */
typedef struct svg_glyph {
    const char *bytes; /* one character, UTF-8 */
    size_t len;
    bool has_x, has_y; /* placed absolutely: a new chunk for text-anchor */
    bool first;        /* first of an element with its own x or y        */
    double x, y;       /* absolute where given                           */
    double dx, dy;
    const svg_style *style;
    int line;
} svg_glyph;

typedef struct svg_label_builder {
    hr_text text;
    bool begun, too_long;
    double pen_x, pen_y;           /* where the next glyph would stand       */
    double glyph_x;                /* of the last glyph                      */
    double chunk_from, chunk_to;   /* ink of the chunk, from > to: none      */
    size_t chunk_glyphs;
    double from, to, top, bottom;  /* of the label; top, bottom of baselines */
    double font_size;
    int anchor, baseline, line;
    /* the label before it in the same text: how far it reached, its baseline and size (0: none) */
    double before_from, before_to, before_y, before_size;
} svg_label_builder;

hr_status svg_label_glyph(svg_reader *reader, const svg_frame *frame, svg_label_builder *label, const svg_glyph *glyph);
hr_status svg_label_end(svg_reader *reader, const svg_frame *frame, svg_label_builder *label);

#endif
