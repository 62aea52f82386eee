/*
 * drawing_priv.h - a storey as a drawing: the page, its layers, and what all
 * layers draw with. Plan metres become centimetres; sizes of signs and letters
 * are millimetres on paper.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef DRAWING_PRIV_H
#define DRAWING_PRIV_H

#include "report_priv.h"

/* Drawing units in a metre: one unit is a centimetre. */
#define DRAWING_UNITS_PER_M 100.0

/* How lines of one material look. Colours differ in greyscale too. */
typedef struct drawing_style {
    const char *colour;
    double width_mm;
    const char *dash; /* in paper millimetres, two numbers or four; NULL: whole lines */
} drawing_style;

typedef struct drawing {
    const hr_building *building;
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
} drawing;

/* ---- drawing.c ---- */

/* A layer is a group with a name that the reader of plans knows. id tells the kinds of
 * layers apart; label is escaped here; style holds attributes and may be "". */
void drawing_open(drawing *d, const char *id, const char *label, const char *style);
void drawing_close(drawing *d);

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
const drawing_style *drawing_wall_style(size_t rank);
const drawing_style *drawing_opening_style(bool door, size_t rank);
/* The rank of a material among those of the property's doors or windows. */
size_t drawing_opening_rank(const drawing *d, bool door, uint32_t material);
void drawing_put_style(drawing *d, const drawing_style *style); /* stroke attributes */

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
typedef enum drawing_sign { SIGN_DEVICE, SIGN_SPOT, SIGN_GATEWAY, SIGN_NETWORK } drawing_sign;
void drawing_put_sign(drawing *d, drawing_sign sign, size_t kind, double x, double y, const char *title);

/* Lines that a legend needs; width of the legend in drawing units. */
size_t drawing_legend_rows(const drawing *d, double width);

/* Fills of floors, by hr_space_kind. */
extern const char *const drawing_floor_fill[3];

#endif
