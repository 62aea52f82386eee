/*
 * drawing_priv.h - a storey as a drawing: the page, its layers, and what all
 * layers draw with. Plan metres become centimetres; sizes of signs and letters
 * are millimetres on paper.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef DRAWING_PRIV_H
#define DRAWING_PRIV_H

#include "hr_coverage.h"
#include "report_priv.h"

/* Drawing units in a metre: one unit is a centimetre. */
#define DRAWING_UNITS_PER_M 100.0

/* How lines of one material look. Colours differ in greyscale too. */
typedef struct drawing_style {
    const char *colour;
    double width_mm;
    const char *dash; /* in paper millimetres, two numbers or four; NULL: whole lines */
} drawing_style;

/* What stands at a place of the sheet, so that texts keep off it; drawing units. */
typedef struct drawing_taken {
    hr_box *items;
    size_t count, cap;
} drawing_taken;

/* Where a text of one or two lines stands. size 0: it does not fit and is left out. */
typedef struct drawing_label {
    double x, y;    /* its middle, drawing units */
    double size_mm; /* of the first line */
    size_t letters; /* of it that are written, the last for what is left out; 0: all */
} drawing_label;

/* A gateway or relay of another storey that something here hangs on. */
typedef struct drawing_away {
    uint32_t gateway, device; /* one of them, the other HR_SITING_NONE */
    hr_point at;
    drawing_label label;
} drawing_away;

typedef struct drawing {
    const hr_building *building;
    const hr_siting *siting; /* NULL: the storey as it was understood */
    hr_report_drawing_options options;
    uint32_t storey;
    const hr_plan *plan;
    hr_text *out;
    bool scaled;      /* the plan has a scale: lengths mean something */
    double paper;     /* 1:paper */
    double mm;        /* drawing units in a millimetre on paper */
    hr_box box;       /* of the plan, drawing units */
    double left, top, width, height; /* of the page, drawing units */
    double legend_top;
    size_t legend_rows;
    uint32_t *ranks;  /* materials of walls and solids in the property, heaviest first */
    size_t rank_count;
    double title_mm; /* height of the title block */
    const char *text_class; /* of the texts that follow, NULL: none */
    /* of a result only */
    const hr_room_row **room_rows; /* beside the plan's spaces, NULL: no room of the building */
    hr_text title;   /* paragraphs, one a line */
    hr_coverage_field *field; /* NULL: none */
    double required_db;       /* least required margin, what the field's lines start from */
    uint32_t field_kind;
    drawing_taken taken;
    drawing_label *space_labels;   /* beside the plan's spaces */
    drawing_label *gateway_labels; /* beside the siting's gateways */
    drawing_away *aways;
    size_t away_count, away_cap;
} drawing;

/* ---- drawing.c ---- */

/* A layer is a group with a name that the reader of plans knows. id tells the kinds of
 * layers apart; label is escaped here; style holds attributes and may be "". */
void drawing_open(drawing *d, const char *id, const char *label, const char *style);
/* The same up to its label, which the caller writes, escaped, and closes with a quote. */
void drawing_group(drawing *d, const char *id);
void drawing_close(drawing *d);
/* An id, and a reference to it in another attribute: ` id="..."`, ` fill="url(#...)"`. */
void drawing_put_id(drawing *d, const char *id);
void drawing_put_url(drawing *d, const char *attribute, const char *id);
/* Remembers that an addition to a text of its own failed. */
const char *drawing_words(drawing *d, const hr_text *text);

/* Attributes that many layers need: ` name="N"` with N paper millimetres in drawing units. */
void drawing_put_mm(drawing *d, const char *attribute, double mm);
void drawing_number(drawing *d, double units);
void drawing_at(drawing *d, hr_point metres); /* "x,y" */
void drawing_path(drawing *d, const hr_point *points, size_t count, bool closed); /* M ... Z without the element */
void drawing_region(drawing *d, const hr_region *region); /* ` fill-rule= d=` of a path */
/* A white band over the page's whole width. */
void drawing_blank(drawing *d, double top, double height);
/* A text element; anchor start, middle or end. */
void drawing_text(drawing *d, double x, double y, double size_mm, const char *anchor, const char *colour,
                  const char *text);

/* ---- drawing_style.c ---- */

hr_status drawing_rank_materials(drawing *d, hr_error *err);
/* The rank of a material among those of walls; rank_count when it is none. */
size_t drawing_rank(const drawing *d, uint32_t material);
const drawing_style *drawing_wall_style(const drawing *d, size_t rank);
const drawing_style *drawing_opening_style(const drawing *d, bool door, size_t rank);
/* The rank of a material among those of the property's doors or windows. */
size_t drawing_opening_rank(const drawing *d, bool door, uint32_t material);
void drawing_put_style(drawing *d, const drawing_style *style); /* stroke attributes */

/* ---- drawing_floor.c ---- */

typedef struct drawing_sized {
    double area_m2;
    size_t space;
} drawing_sized;

/* The plan's spaces, so that small ones can be drawn over large ones; hr_free it. NULL: the drawing has failed. */
drawing_sized *drawing_largest_first(drawing *d);

/* ---- layers, lowest first ---- */

void drawing_slab(drawing *d);
void drawing_floor(drawing *d);   /* rooms, areas, corridors */
void drawing_voids(drawing *d);
void drawing_left(drawing *d);    /* what was ignored, grey */
void drawing_keep_out(drawing *d);
void drawing_solids(drawing *d);
void drawing_walls(drawing *d);
void drawing_metal(drawing *d);
void drawing_openings(drawing *d);
void drawing_network(drawing *d);
void drawing_spots(drawing *d);
void drawing_devices(drawing *d);
void drawing_gateways(drawing *d);
void drawing_names(drawing *d);
void drawing_legend(drawing *d);  /* legend and scale bar */

/* Signs, centred at x,y in drawing units; the same in the plan and in the legend. */
typedef enum drawing_sign {
    SIGN_DEVICE,
    SIGN_SPOT,
    SIGN_GATEWAY,
    SIGN_NETWORK,
    SIGN_UNSERVED, /* a device that is not served */
    SIGN_AWAY,     /* a gateway of another storey */
    SIGN_RELAY     /* a device of another storey that one here hangs on: a ring round the place */
} drawing_sign;
/* name: NULL where it needs none; words: what else there is to say, NULL: nothing. */
void drawing_put_sign(drawing *d, drawing_sign sign, size_t kind, double x, double y, const char *name,
                      const char *words);
#define DRAWING_DEVICE_MM 0.9
#define DRAWING_GATEWAY_MM 2.0

/* Lines that a legend needs; width of the legend in drawing units. */
size_t drawing_legend_rows(const drawing *d, double width);
/* Height of the sentences below the legend, paper millimetres. */
double drawing_notes_mm(drawing *d, double width);

/* ---- drawing_result.c: rooms by spare ---- */

void drawing_result_floor(drawing *d);
void drawing_result_names(drawing *d);
void drawing_result_patterns(drawing *d); /* <defs> */
hr_status drawing_find_rows(drawing *d, hr_error *err);
/* Names as they are shown. */
const char *drawing_property_name(const drawing *d);
const char *drawing_room_name(const drawing *d, uint32_t room);
void drawing_device_name(const drawing *d, uint32_t device, hr_text *out);
/* Names by space as shown, NULL where a space has none; hr_free it. NULL: memory ran out. */
const char **drawing_space_names(drawing *d);
bool drawing_say_title(drawing *d); /* fills d->title */

/* ---- drawing_hops.c ---- */

hr_status drawing_find_aways(drawing *d, hr_error *err);
void drawing_away_words(drawing *d, const drawing_away *away, hr_text *out);
/* 0: to this storey, 1: to another, 2: within a room. */
void drawing_hop_style(drawing *d, int style);
void drawing_hops(drawing *d);
void drawing_result_devices(drawing *d);
void drawing_result_gateways(drawing *d);

/* ---- drawing_labels.c ---- */

/* At most so many letters of it, the last of them an ellipsis where some are left out; 0: all. */
void drawing_shorten(const char *text, size_t letters, hr_text *out);
/* Places all texts of a result. */
hr_status drawing_place_labels(drawing *d, hr_error *err);
double drawing_text_mm(const char *text, double size_mm); /* width, a little more than most letters need */
bool drawing_is_free(const drawing *d, hr_box box);
bool drawing_take(drawing *d, hr_box box); /* false: memory ran out */
/* Lines of a paragraph at this width; draws them from y down where d->out is to be drawn on. */
size_t drawing_wrap(drawing *d, bool draw, double x, double y, double line_mm, double size_mm, const char *colour,
                    const char *text, double width);

/* ---- drawing_field.c ---- */

hr_status drawing_measure_field(drawing *d, hr_error *err);
void drawing_grid(drawing *d);
void drawing_contours(drawing *d);
void drawing_clip(drawing *d); /* <clipPath> of the floor */
#define DRAWING_CONTOUR_COLOUR "#0f4c50"

/* Ink of texts, signs and lines of a result. */
#define DRAWING_INK "#141414"
#define DRAWING_GATEWAY_INK "#0b2545"

/* Fills of floors, by hr_space_kind. */
extern const char *const drawing_floor_fill[3];

#endif
