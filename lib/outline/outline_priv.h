/*
 * outline_priv.h - shared by the files of this module only. All lengths are
 * whole millimetres; x runs right, y down, (0,0) is the north-west corner of
 * the outer walls' centre lines.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef OUTLINE_PRIV_H
#define OUTLINE_PRIV_H

#include "hr_outline.h"

/* Half thicknesses of walls, in keeping with how they are drawn. */
#define OUTLINE_HALF_OUTER 120L
#define OUTLINE_HALF_PARTY 100L
#define OUTLINE_HALF_CORRIDOR 70L
#define OUTLINE_HALF_TILE 50L
/* Entry door: leaf, and wall between it and the party wall's face. */
#define OUTLINE_DOOR 900L
#define OUTLINE_JAMB 130L
#define OUTLINE_STAIR 2800L /* between centre lines */
#define OUTLINE_LIFT 2300L  /* shaft, between centre lines */
#define OUTLINE_LOBBY 2300L
#define OUTLINE_UTILITY 3400L /* network closet and linen room beside it */
#define OUTLINE_CLOSET 1700L
#define OUTLINE_STORE_MIN 1400L
#define OUTLINE_COURT_MIN 6000L

typedef struct outline_point {
    long x, y;
} outline_point;

typedef struct outline_rect {
    long x0, y0, x1, y1;
} outline_rect;

/* The request in millimetres, with what is derived from it. */
typedef struct outline_sizes {
    const hr_outline_request *request;
    long bay, depth, corridor;
    long half_corridor;  /* half the corridor wall's thickness */
    long across;         /* corridor wall to outer wall, centre lines */
    long between;        /* corridor wall to corridor wall, centre lines */
    long bath_w, bath_d; /* 0: no baths */
    long lifts, stairs, closets;
    long lift_rows; /* shafts in one column of the core */
    bool closet_in_core;
    bool exterior;
    hr_outline_shape shape;
} outline_sizes;

typedef enum outline_cell_kind {
    OUTLINE_ROOM = 0,
    OUTLINE_STAIRS,
    OUTLINE_CORE,
    OUTLINE_UTILITIES,
    OUTLINE_STORE
} outline_cell_kind;

/* One stretch of a strip. */
typedef struct outline_cell {
    outline_cell_kind kind;
    long from, to; /* along the strip */
    bool flipped;  /* room: bath at `to` */
    bool paired;   /* room: bath back to back with its neighbour's */
    long number;   /* room */
} outline_cell;

/* Services at the start, in the middle and at the end of a strip. */
typedef enum outline_place { OUTLINE_START = 0, OUTLINE_MIDDLE, OUTLINE_END, OUTLINE_PLACES } outline_place;
#define OUTLINE_GROUP_MAX 24

typedef struct outline_service {
    outline_cell_kind kind;
    long width;
} outline_service;

typedef struct outline_group {
    outline_service items[OUTLINE_GROUP_MAX];
    size_t count;
} outline_group;

/* A row of cells along one side of a corridor: s runs along the corridor wall's
 * centre line, t away from the corridor. */
typedef struct outline_strip {
    outline_point at;   /* s = 0, t = 0 */
    outline_point u, v; /* unit vectors of s and t */
    long length;
    long dark_from, dark_to; /* s below and above which another strip stands behind */
    bool second_side;        /* even numbers */
    outline_group groups[OUTLINE_PLACES];
    long rooms;
    outline_cell *cells;
    size_t cell_count, cell_cap;
} outline_strip;

#define OUTLINE_STRIPS 8
#define OUTLINE_CORRIDORS 4
#define OUTLINE_ENDS 6

/* The storey: where strips and corridors lie. */
typedef struct outline_layout {
    const outline_sizes *z;
    outline_strip strips[OUTLINE_STRIPS];
    size_t strip_count;
    outline_rect corridors[OUTLINE_CORRIDORS]; /* between centre lines */
    outline_rect clear[OUTLINE_CORRIDORS];     /* between faces */
    size_t corridor_count;
    outline_point ends[OUTLINE_ENDS]; /* where corridors meet the outer wall */
    bool end_vertical[OUTLINE_ENDS];  /* that wall runs up and down */
    size_t end_count;
    long width, height;
} outline_layout;

/* ---- shapes.c ---- */

/* Lays the strips of a shape whose long side has `a` bays and whose legs have `b`. */
void outline_lay(const outline_sizes *z, long a, long b, outline_layout *layout);
const char *outline_shape_name(hr_outline_shape shape);

/* ---- search.c ---- */

/* Finds the smallest layout for the rooms asked for; strips get their room counts. */
hr_status outline_search(const outline_sizes *z, outline_layout *layout, hr_error *err);

/* ---- cells.c ---- */

/* Rooms that fit a strip; -1: not even its services fit. */
long outline_capacity(const outline_sizes *z, const outline_strip *strip);
/* Cuts the strips into cells and numbers the rooms. False: memory ran out. */
bool outline_cut(const outline_sizes *z, outline_layout *layout);
void outline_free_cells(outline_layout *layout);
bool outline_is_dark(const outline_strip *strip, long from, long to);

/* ---- rings.c ---- */

#define OUTLINE_RECTS 24
#define OUTLINE_RING_POINTS 512
#define OUTLINE_RINGS 16

typedef struct outline_rings {
    outline_point points[OUTLINE_RING_POINTS];
    size_t starts[OUTLINE_RINGS + 1]; /* ring i: starts[i] .. starts[i + 1] */
    size_t count;
} outline_rings;

/* Outline of the union of at most OUTLINE_RECTS rectangles, holes included. */
void outline_union(const outline_rect *rects, size_t count, outline_rings *rings);

/* ---- the drawing ---- */

/* Later ones win where two lie on the same stretch. */
typedef enum outline_wall_kind {
    OUTLINE_TILE = 0,
    OUTLINE_PARTITION,
    OUTLINE_PARTY,
    OUTLINE_BATH_CORE,
    OUTLINE_CORRIDOR_WALL,
    OUTLINE_CORE_WALL,
    OUTLINE_LIFT_WALL,
    OUTLINE_OUTER,
    OUTLINE_WALL_KINDS
} outline_wall_kind;

/* A straight stretch of wall, or of what breaks a wall. */
typedef struct outline_stretch {
    bool vertical;
    long at, from, to;
    int kind;
} outline_stretch;

typedef enum outline_layer {
    OUTLINE_L_SLAB = 0,
    OUTLINE_L_AREAS,
    OUTLINE_L_CORRIDORS,
    OUTLINE_L_AREA_TEXT,
    OUTLINE_L_ROOMS,
    OUTLINE_L_ROOM_TEXT,
    OUTLINE_L_FURNITURE,
    OUTLINE_L_STAIRS,
    OUTLINE_L_FRAMES,
    OUTLINE_L_VOID,
    OUTLINE_L_KEEP_OUT,
    OUTLINE_L_CABINET,
    OUTLINE_L_LIFT,
    OUTLINE_L_RISER,
    OUTLINE_L_WINDOWS,
    OUTLINE_L_ENTRY_DOORS,
    OUTLINE_L_FIRE_DOORS,
    OUTLINE_L_LIFT_DOORS,
    OUTLINE_L_EXIT_DOORS,
    OUTLINE_L_BATH_DOORS,
    OUTLINE_L_NETWORK,
    OUTLINE_LAYERS
} outline_layer;

/* One plan while it grows. `failed` once memory ran out. */
typedef struct outline_drawing {
    const outline_sizes *z;
    const outline_layout *layout;
    bool lowest;      /* the storey people enter by; no slab under it */
    long label_width; /* digits that room numbers are filled up to */
    hr_text layers[OUTLINE_LAYERS];
    outline_stretch *walls, *breaks, *merged;
    size_t wall_count, wall_cap, break_count, break_cap, merged_count, merged_cap;
    outline_rect lobbies[2];
    size_t lobby_count;
    size_t closets; /* network marks so far */
    bool failed;
} outline_drawing;

/* ---- drawing.c: strip coordinates and shapes ---- */

outline_point outline_at(const outline_strip *strip, long s, long t);
outline_rect outline_rect_at(const outline_strip *strip, long s0, long t0, long s1, long t1);
void outline_cm(hr_text *text, long mm);
void outline_xy(hr_text *text, outline_point p);
void outline_closed(hr_text *text, const outline_point *points, size_t count, const char *title);
void outline_box(hr_text *text, outline_rect rect, const char *title);
void outline_ring_path(hr_text *text, const outline_rings *rings, const char *title);
void outline_line(hr_text *text, outline_point a, outline_point b);
void outline_label(hr_text *text, outline_point at, long size_mm, const char *attributes, const char *words);
void outline_wall(outline_drawing *d, outline_point a, outline_point b, outline_wall_kind kind);
void outline_break(outline_drawing *d, outline_point a, outline_point b);
/* A door from hinge to jamb on a wall, its leaf open towards `open`. */
void outline_door(outline_drawing *d, outline_layer layer, outline_point hinge, outline_point jamb, outline_point open);
/* A window from a to b in a wall of the outer kind, with its frame. */
void outline_window(outline_drawing *d, outline_point a, outline_point b);

/* ---- rooms.c, services.c: what a cell looks like ---- */

void outline_draw_room(outline_drawing *d, const outline_strip *strip, const outline_cell *cell);
void outline_draw_service(outline_drawing *d, const outline_strip *strip, const outline_cell *cell);
long outline_inset(const outline_strip *strip, long s);

/* ---- walls.c, chain.c ---- */

/* Resolves what lies on one another, cuts the breaks out. */
void outline_merge_walls(outline_drawing *d);
/* Appends the walls of one kind as paths, corners joined. False: memory ran out. */
bool outline_write_walls(const outline_drawing *d, int kind, hr_text *text);

/* ---- sheet.c ---- */

/* The whole plan as SVG text; storey_words: "Storeys 2 to 6". */
void outline_sheet(outline_drawing *d, const char *property_name, const char *storey_words, hr_text *svg);

/* ---- options.c ---- */

hr_status outline_check(const hr_outline_request *request, hr_error *err);
hr_status outline_derive(const hr_outline_request *request, outline_sizes *z, hr_error *err);
double outline_length(const hr_outline_request *request, const char *option);
const char *outline_material_for(const hr_outline_request *request, const char *option);

/* ---- property.c ---- */

void outline_property(const outline_sizes *z, const hr_outline *outline, const char *name, hr_text *text);
void outline_storey_words(const hr_outline_request *request, bool lowest, const char *dash, hr_text *text);
long outline_last_number(const outline_layout *layout);

#endif
