/*
 * hr_plan.h - one storey plan in metres: walls, openings, solids, metal,
 * rooms, devices, spots. Made from a drawing by the naming convention or by
 * the `map` lines of a [drawing] section.
 *
 * Axes as in the drawing: x right, y down, from the mark named `origin` if
 * there is one, else from (0,0) of the root's user space. All lengths in
 * metres; heights are above the storey's floor.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_PLAN_H
#define HR_PLAN_H

#include "hr_base.h"
#include "hr_geometry.h"
#include "hr_materials.h"
#include "hr_svg.h"
#include "hr_units.h"

#ifdef __cplusplus
extern "C" {
#endif

#define HR_PLAN_NONE UINT32_MAX

/* What a name says a shape is. */
typedef enum hr_plan_kind {
    HR_PLAN_WALLS = 0,
    HR_PLAN_SOLIDS,
    HR_PLAN_DOORS,
    HR_PLAN_WINDOWS,
    HR_PLAN_ROOMS,
    HR_PLAN_AREAS,
    HR_PLAN_CORRIDORS,
    HR_PLAN_METAL,
    HR_PLAN_SLAB,
    HR_PLAN_VOID,
    HR_PLAN_DEVICES,
    HR_PLAN_SPOTS,
    HR_PLAN_GATEWAYS,
    HR_PLAN_NETWORK,
    HR_PLAN_KEEP_OUT,
    HR_PLAN_SCALE,
    HR_PLAN_ORIGIN,
    HR_PLAN_IGNORE,
    HR_PLAN_KIND_COUNT
} hr_plan_kind;

HR_API const char *hr_plan_kind_name(hr_plan_kind kind); /* "walls" ... "keep-out" ... */

/* A wall: one straight piece of a stroke. */
typedef struct hr_wall {
    hr_segment line;
    uint32_t material;
    uint32_t shape; /* the drawn shape it came from (order in the drawing) */
    int source_line;
    bool is_gap;    /* no drawn wall: fills the gap that an opening spans */
} hr_wall;

/* A door or window: one straight stretch that lies on walls, fills a gap, or stands alone. */
typedef struct hr_opening {
    hr_segment line;
    double low_m, high_m;
    uint32_t material;
    uint32_t shape;
    int source_line;
    bool is_door;
    bool fills_gap; /* between the ends of two wall pieces */
    bool on_wall;   /* lies on at least one wall             */
    bool on_solid;  /* lies in or on the edge of a solid     */
} hr_opening;

/* Where an opening opens a wall: fractions along the wall, closed interval. */
typedef struct hr_opening_on_wall {
    uint32_t wall, opening;
    hr_span span;
} hr_opening_on_wall;

/* A filled body, a piece of metal, a slab outline ...: a closed region or (metal only) a line. */
typedef struct hr_body {
    hr_region region;   /* ring_count 0 for a line */
    hr_segment *lines;  /* metal drawn as a line: its straight pieces */
    size_t line_count;
    uint32_t material;  /* HR_PLAN_NONE for slab, void, keep-out */
    double low_m, high_m; /* -INFINITY, INFINITY where no heights were given */
    const char *name;   /* metal: the name written, else NULL */
    uint32_t shape;
    int source_line;
} hr_body;

typedef enum hr_space_kind { HR_SPACE_ROOM = 0, HR_SPACE_AREA, HR_SPACE_CORRIDOR } hr_space_kind;

/* A closed shape that counts as floor. */
typedef struct hr_space {
    hr_space_kind kind;
    hr_region region;
    const char *name; /* room label; areas and corridors: NULL or their name */
    hr_point innermost;
    double area_m2;
    uint32_t entry_door;   /* opening index, HR_PLAN_NONE: none; rooms only */
    uint32_t main_window;  /* longest window on its outline; HR_PLAN_NONE   */
    int source_line;
} hr_space;

/* A drawn point: device, spot, gateway, network connection. */
typedef struct hr_mark {
    hr_point at;
    const char *name;   /* own name, NULL when none    */
    const char *value;  /* device kind, spot label; NULL */
    uint32_t room;      /* device: the room it stands in, HR_PLAN_NONE */
    hr_point faces;     /* device: unit vector its case opens to, {0,0}: not drawn. Drawn as a line with
                         * two ends (from its first to its last), or said by `facing` in its own name:
                         * left, right, up, down, or degrees clockwise from right */
    int source_line;
} hr_mark;

/* What was not used: one row per distinct reason and name. */
typedef struct hr_ignored {
    const char *name;    /* layer or element name as written; "" unnamed */
    const char *reason;
    const char *nearest; /* nearest known word, NULL */
    size_t count;
    double length_m;
    int first_line;
} hr_ignored;

/* A line that was not used, for drawings. */
typedef struct hr_left {
    hr_point *points;
    size_t count;
    bool closed;
} hr_left;

typedef struct hr_plan {
    const char *file;      /* path as opened */
    const char *layer;     /* after '#', NULL */
    double metres_per_unit;
    const char *scale_from; /* "scale line", "metres_per_unit", "drawn_at" */
    hr_point origin_units;  /* where (0,0) of the plan lies in the drawing */
    bool has_origin;
    hr_box box;             /* of everything used, metres */

    hr_wall *walls;
    size_t wall_count;
    hr_opening *openings;
    size_t opening_count;
    hr_opening_on_wall *on_walls; /* sorted by wall, then from */
    size_t on_wall_count;
    hr_body *solids, *metals, *slabs, *voids, *keep_outs;
    size_t solid_count, metal_count, slab_count, void_count, keep_out_count;
    hr_space *spaces; /* rooms, areas and corridors in drawing order */
    size_t space_count;
    size_t room_count;
    hr_mark *devices, *spots, *gateways, *networks;
    size_t device_count, spot_count, gateway_count, network_count;
    hr_ignored *ignored;
    size_t ignored_count;
    hr_left *left; /* with keep_left only */
    size_t left_count;
    size_t merged_walls;     /* coincident stretches that were merged */
    size_t image_count;
    double wall_length_m;
    hr_arena *arena;
} hr_plan;

/* One `map =` line: a selector and what it stands for. */
typedef enum hr_map_select { HR_MAP_LAYER = 0, HR_MAP_CLASS, HR_MAP_STROKE } hr_map_select;

typedef struct hr_plan_map {
    hr_map_select select;
    const char *text;     /* layer or class name */
    hr_svg_paint stroke;  /* HR_MAP_STROKE, matched within 2/255 */
    const char *target;   /* "walls: concrete-200" */
    int line;             /* of the property file */
} hr_plan_map;

/* How a drawing is to be read. Initialise with {0} and set what is known. */
typedef struct hr_plan_options {
    const char *property_file; /* for messages about maps */
    const hr_plan_map *maps;
    size_t map_count;
    double metres_per_unit; /* 0: from the drawing */
    double drawn_at;        /* 100 for 1:100; 0: not given */
    double wall_pairing_m;  /* 0: off */
    const char *rooms_are_walls; /* material, NULL: off */
    const char *layer;      /* only what lies in this layer; NULL: all */
    bool keep_left;         /* keep the lines of what is not used */
    hr_length_unit length_unit; /* of lengths in messages */
    bool lenient;           /* `read`: missing scale is noted, not an error */
    const char *const *device_kinds; /* known kinds, for messages; may be NULL */
    size_t device_kind_count;
} hr_plan_options;

/*
 * Turns a drawing into a plan. materials gives the indices. Notes collect
 * what is odd; errors (HR_ERR_INPUT with file:line) are: no scale, unknown
 * material, a misspelt kind with a colon, an open room, one room name twice,
 * a room without a name, a scale line under a skewed transform ...
 * drawing is flattened here and may be freed afterwards.
 */
HR_API hr_status hr_plan_from_drawing(hr_svg_drawing *drawing, const hr_plan_options *options,
                                      const hr_materials *materials, hr_notes *notes, hr_plan **plan, hr_error *err);
HR_API void hr_plan_free(hr_plan *plan);

/* ---- a plan that nobody marked ------------------------------------------ */

/* A layer, a class or a stroke colour of a drawing, and what it may stand for.
 * Lengths in drawing units. */
typedef struct hr_plan_seen {
    hr_map_select select;
    const char *name;        /* as `map = layer` or `map = class` take it; strokes: NULL */
    hr_svg_paint stroke;     /* HR_MAP_STROKE */
    size_t shapes, closed;
    size_t labelled;         /* closed shapes with a text inside, none smaller round it */
    size_t texts;
    double length, long_length; /* long: in straight pieces over a fortieth of the drawing */
    const char *says;        /* what the name says in our own words, NULL: nothing   */
    bool inside;             /* all of it lies in what our own words speak for already */
    const char *target;      /* a guess at what it stands for, NULL: none            */
    const char *reason;      /* of the guess                                         */
    bool chosen;             /* belongs into the [drawing] section                   */
} hr_plan_seen;

/* What a drawing is made of. Everything hidden is left out. */
typedef struct hr_plan_survey {
    const char *file, *layer;
    bool layer_found;        /* true too where none was asked for */
    hr_plan_seen *seen;      /* layers, then classes, then strokes, each longest first */
    size_t seen_count;
    size_t shapes, strokeless, texts, images;
    double length, width, height; /* drawn extent */
    double unit_mm;          /* a drawing unit on paper, 0: not known */
    const char *scale;       /* name of the scale line, NULL: none */
    bool rooms_are_walls;    /* no wall was found, but outlines of rooms were */
    hr_arena *arena;
} hr_plan_survey;

/*
 * Looks through a drawing for what it is made of: its layers, classes and
 * stroke colours, and guesses at what they stand for (nothing is applied).
 * Needs neither marks nor a scale; flattens the drawing coarsely. layer may be
 * NULL; one that is not there gives the whole drawing. Errors: HR_ERR_MEMORY,
 * HR_ERR_LIMIT.
 */
HR_API hr_status hr_plan_look(hr_svg_drawing *drawing, const char *layer, const hr_materials *materials,
                              hr_plan_survey **survey, hr_error *err);
HR_API void hr_plan_survey_free(hr_plan_survey *survey); /* NULL is fine */

/* ---- default places ----------------------------------------------------- */

/*
 * Default place of a wall control: 0.3 m from the entry door's jamb on the
 * side with the longer free wall (tie: smaller x, then y), 0.1 m off the wall,
 * on the room's inside; without a door the innermost point. *facing (may be
 * NULL) gets the unit vector into the room.
 */
HR_API hr_point hr_plan_wall_control_place(const hr_plan *plan, const hr_space *room);

/*
 * Default place of a unit: 0.3 m inside the middle of the longest window; no
 * window: 0.3 m from the room's corner farthest from the corridor towards its
 * innermost point; no door either: the innermost point.
 */
HR_API hr_point hr_plan_unit_place(const hr_plan *plan, const hr_space *room);

/* The room (index into spaces) that holds p, smallest first; HR_PLAN_NONE. */
HR_API uint32_t hr_plan_room_at(const hr_plan *plan, hr_point p);
/* The space of any kind that holds p, smallest first; HR_PLAN_NONE. */
HR_API uint32_t hr_plan_space_at(const hr_plan *plan, hr_point p);

/* How far a point is from a body in plan: 0 inside it or on one of its lines; INFINITY: the body has neither. */
HR_API double hr_plan_body_distance_m(const hr_body *body, hr_point at);
/* Metal of the plan closer than clearance_m to a place at this height above its storey's floor. */
HR_API bool hr_plan_near_metal(const hr_plan *plan, hr_point at, double height_m, double clearance_m);

/*
 * Gateway spots on the walls of corridors: 0.1 m inside the corridor shape's
 * edge, every `spacing_m`, at least `door_clearance_m` from door frames, on
 * edges that have a wall behind them. Rounded to 1 mm. Written to *spots
 * (hr_free it).
 */
HR_API hr_status hr_plan_generate_spots(const hr_plan *plan, double spacing_m, double door_clearance_m,
                                        hr_point **spots, size_t *count, hr_error *err);

#ifdef __cplusplus
}
#endif
#endif
