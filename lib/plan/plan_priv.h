/*
 * plan_priv.h - shared by the files of this module only.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef PLAN_PRIV_H
#define PLAN_PRIV_H

#include "hr_limits.h"
#include "hr_plan.h"

/* A wall, door or outline edge shorter than this is a crumb of flattening. */
#define PLAN_CRUMB_M 0.001
/* Walls this near over a common stretch are one wall drawn twice. */
#define PLAN_COINCIDENT_M 0.001
/* An opening lies on a wall when parallel within 5 degrees with both ends this near. */
#define PLAN_OPENING_REACH_M 0.15
#define PLAN_PARALLEL_RAD 0.08726646259971647
/* An outline open by less than this is closed, with a note. */
#define PLAN_CLOSE_M 0.1
/* A door or window belongs to a room whose outline is this near. */
#define PLAN_EDGE_REACH_M 0.3
/* ... and whose edge runs its way within 15 degrees. */
#define PLAN_EDGE_PARALLEL_RAD 0.2617993877991494
/* Pairs of neighbouring walls that are looked at: this many, and this many a
 * wall. A drawing with more is a hatch, not walls. */
#define PLAN_PAIRS_MAX ((size_t)1000000)
#define PLAN_PAIRS_PER_WALL ((size_t)20)
/* A room or storey wider than this has a wrong scale. */
#define PLAN_HUGE_M 3000.0
/* Why a shape without a name of ours is left aside. */
#define PLAN_NO_KNOWN_NAME "no known name"
/* Longest name that is looked at for a kind. */
#define PLAN_WORD_MAX 320

/* What a name says. */
typedef struct plan_meaning {
    hr_plan_kind kind;
    const char *value;    /* text after the colon without heights, NULL: none */
    const char *written;  /* the whole name as written, for messages */
    uint32_t material;    /* HR_PLAN_NONE: none */
    double low_m, high_m; /* -INFINITY, INFINITY: no heights given */
    double length_m;      /* scale */
    bool unknown_metal;   /* a metal whose name is no row: taken as sheet-metal */
    int line;             /* of the element, or of the map line */
} plan_meaning;

typedef enum plan_found {
    PLAN_NOTHING = 0, /* no kind's name                                           */
    PLAN_FOUND,
    PLAN_WEAK, /* a kind with a value that is taken for want of a better one */
    PLAN_NEAR, /* a misspelt kind with a colon                             */
    PLAN_BAD,  /* a kind with an unknown material, no length ...           */
    PLAN_WRONG /* bad heights: taking digits off the end would hide it     */
} plan_found;

#define PLAN_IN_LAYER 1u   /* inside the layer that was asked for       */
#define PLAN_HIDDEN 2u     /* not drawn, seen from that layer           */
#define PLAN_HIDDEN_ALL 4u /* not drawn, seen from the root            */
#define PLAN_OWN 8u        /* the node itself says what it is           */

/* What is known of each node of the drawing. */
typedef struct plan_node {
    uint32_t meaning; /* index into meanings, HR_PLAN_NONE */
    uint32_t from;    /* node whose name says so, HR_PLAN_NONE */
    uint32_t unit;    /* topmost `use` below it: its shapes are one thing; HR_PLAN_NONE */
    uint32_t flags;
} plan_node;

/* A drawn shape that is used. */
typedef struct plan_shape {
    uint32_t node;
    uint32_t meaning;
    uint32_t unit; /* node that stands for the thing: the shape's own or a `use` */
} plan_shape;

/* Points of one outline or line, crumbs left out. */
typedef struct plan_points {
    hr_point *at;
    size_t count, cap;
    bool closed;
} plan_points;

typedef struct plan_ids {
    uint32_t *at;
    size_t count, cap;
} plan_ids;

/* A row of what was left aside, while it grows. */
typedef struct plan_ledger {
    hr_ignored *rows;
    size_t count, cap;
    hr_names *keys;
} plan_ledger;

/* Everything while a plan is being read. Lists grow on the heap and move into
 * the plan's arena at the end. */
typedef struct plan_reader {
    hr_svg_drawing *drawing;
    const hr_plan_options *options;
    const hr_materials *materials;
    hr_notes *notes;
    hr_error *err;
    hr_plan *plan;
    hr_arena *arena;
    const char *file;

    plan_node *nodes;
    plan_meaning *meanings;
    size_t meaning_count, meaning_cap;
    uint32_t *map_meanings; /* per map */
    size_t *map_hits;       /* per map */
    size_t layer;           /* node of the layer that was asked for, SIZE_MAX */
    plan_shape *shapes;
    size_t shape_count, shape_cap;
    double scale;      /* metres per unit in force; 1 where unknown */
    bool scale_inside; /* a scale line stands inside the layer that was asked for */
    hr_point origin;
    plan_points scratch;
    plan_ids ids;

    hr_wall *walls;
    size_t wall_cap;
    hr_index *merged_index; /* of the walls as merging left them, for the next to ask; NULL: none */
    hr_opening *openings;
    size_t opening_cap;
    hr_opening_on_wall *on_walls;
    size_t on_wall_cap;
    hr_space *spaces;
    size_t space_cap;
    uint32_t *space_shapes; /* per space: its shape */
    size_t space_shape_cap;
    struct plan_boxes *room_boxes;
    plan_ledger ledger;
    hr_left *left;
    size_t left_count, left_cap;
} plan_reader;

/* ---- words.c, spelling.c: what a text says ---- */

/* Reads `KIND` or `KIND: VALUE`. On PLAN_FOUND and PLAN_WEAK *meaning is filled
 * (value and written point into the arena); on PLAN_NEAR and PLAN_BAD *why says
 * what is wrong. PLAN_NOTHING also when memory ran out, with why->status set. */
plan_found plan_read_word(plan_reader *r, const char *text, plan_meaning *meaning, hr_error *why);
/* The kind a word names without its value, HR_PLAN_KIND_COUNT when none. */
hr_plan_kind plan_kind_of(const char *word, size_t len);
/* The kind within two edits of a word, NULL. */
const char *plan_misspelt_kind(const char *word);
/* The known kind nearest to any word of a name, NULL. */
const char *plan_nearest_kind(const char *name);
/* Blanks folded, ends trimmed; bytes that did not fit: false. */
bool plan_fold(const char *text, size_t len, char *out, size_t out_size);
/* An id decoded: _x3A_ is a colon, _ a blank. */
bool plan_decode_id(const char *id, char *out, size_t out_size);
/* Takes one editor's numeric suffix off (-2, _1_, " 2"); false: there is none. */
bool plan_strip_suffix(char *word);
/* An id of letters and digits that an editor gives by itself. */
bool plan_is_automatic(const char *id);

/* ---- meanings.c: which node means what ---- */

hr_status plan_resolve(plan_reader *r);
/* What a node's own names say; why->status HR_ERR_MEMORY when memory ran out. */
plan_found plan_name_of(plan_reader *r, const hr_svg_node *node, plan_meaning *meaning, hr_error *why);

/* ---- maps.c: what `map` lines select ---- */

const char *plan_title_of(const hr_svg_node *node); /* the root's own title names no layer: NULL */
const char *plan_label_of(const hr_svg_node *node); /* NULL for the names an editor gives by itself */
/* Whether `map = layer "wanted"` means this node. */
bool plan_is_called(const hr_svg_node *node, const char *wanted);
bool plan_map_hits(const hr_plan_map *map, const hr_svg_node *node);
/* The name a thing has of its own, else its wrapper group's: in *name (arena) or
 * NULL. Too long: HR_ERR_LIMIT. */
hr_status plan_own_name(plan_reader *r, uint32_t shape, const char **name);
/* The topmost name above a node that nothing recognised, "" when unnamed. */
const char *plan_outer_name(const plan_reader *r, size_t node);
bool plan_has_own_name(const plan_reader *r, size_t node);

/* ---- scale.c ---- */

hr_status plan_find_scale(plan_reader *r);
hr_status plan_check_scale(plan_reader *r);
hr_status plan_find_origin(plan_reader *r);

/* ---- gather.c: the shapes that are used, their points in metres ---- */

hr_status plan_gather(plan_reader *r);
/* Points of a path into r->scratch, in metres from the origin. */
hr_status plan_take_path(plan_reader *r, const hr_svg_path *path);
/* Centre of the bounding box of all shapes of the unit that starts at `shape`;
 * *next is the first shape of the next unit. False: nothing is drawn. */
bool plan_unit_centre(const plan_reader *r, size_t shape, hr_point *centre, size_t *next);
hr_box plan_node_box(const plan_reader *r, size_t node);
void plan_box_add(hr_box *box, hr_box other);
double plan_drawn_length_m(const plan_reader *r, size_t node);
hr_status plan_query(plan_reader *r, const hr_index *index, hr_segment near, double within);

static inline const hr_svg_node *plan_svg_node(const plan_reader *r, size_t shape)
{
    return &r->drawing->nodes[r->shapes[shape].node];
}

static inline const plan_meaning *plan_shape_meaning(const plan_reader *r, size_t shape)
{
    return &r->meanings[r->shapes[shape].meaning];
}

/* Whether the shape is used because of a `map` line: those meanings come first. */
static inline bool plan_is_mapped(const plan_reader *r, size_t shape)
{
    return r->shapes[shape].meaning < r->options->map_count;
}

/* ---- ledger.c: what was left aside ---- */

hr_status plan_leave(plan_reader *r, const char *name, const char *reason, const char *nearest, size_t count,
                     double length_m, int line);
/* The shape is left aside under its outer name. */
hr_status plan_leave_shape(plan_reader *r, size_t shape, const char *reason);
/* Keeps a node's lines for drawings, where that was asked for. */
hr_status plan_keep_left(plan_reader *r, size_t node);

/* ---- walls.c, merge.c, pairing.c, corners.c, partners.c ---- */

hr_status plan_read_walls(plan_reader *r);
hr_status plan_add_wall(plan_reader *r, const hr_wall *wall);
hr_status plan_index_walls(plan_reader *r, hr_index **index);
/* Coincident stretches stand once, with the larger loss. */
hr_status plan_merge_walls(plan_reader *r);
/* Two parallel walls of one material within distance_m, both drawn as `kind`
 * (walls, or rooms whose outlines are walls), become one centre line where they
 * face each other; outlines pair with those of other rooms only. */
hr_status plan_pair_walls(plan_reader *r, hr_plan_kind kind, double distance_m);
/* Ends of walls that stop at the face of a wall that moved to its centre line
 * are drawn on to it. thick_m: per wall, the distance of its two faces, 0 where
 * it did not move. */
hr_status plan_close_corners(plan_reader *r, const double *thick_m, double distance_m);
/* Outlines of rooms as walls. */
hr_status plan_rooms_as_walls(plan_reader *r);
/* Counts pairs looked at; HR_ERR_LIMIT when they are too many for walls. */
hr_status plan_count_pairs(plan_reader *r, size_t *pairs, uint32_t wall);
/* Tells when more than `share` of the wall length runs beside another wall. */
hr_status plan_note_double_walls(plan_reader *r, double share);
bool plan_heavier(const plan_reader *r, uint32_t wall_a, uint32_t wall_b);

/* Where the stretch common to s and t lies on s: their overlap seen along s.
 * False when it is not longer than min_m or its ends are farther than within_m from t. */
bool plan_common_stretch(hr_segment s, hr_segment t, double within_m, double min_m, hr_span *on_s);

/* ---- bodies.c ---- */

hr_status plan_read_bodies(plan_reader *r);
/* The shape's closed paths as a region in the arena; HR_ERR_INPUT when one stands
 * open. what names the thing in messages. ring_count 0: it has no area. */
hr_status plan_take_region(plan_reader *r, size_t shape, const char *what, hr_region *region);

/* ---- openings.c ---- */

hr_status plan_read_openings(plan_reader *r);

/* ---- spaces.c, labels.c ---- */

hr_status plan_read_spaces(plan_reader *r);
/* The smallest room at p, as hr_plan_room_at, through r->room_boxes. */
hr_status plan_room_at(plan_reader *r, hr_point p, uint32_t *room);
hr_status plan_name_rooms(plan_reader *r);
hr_status plan_find_doors(plan_reader *r);

/* ---- marks.c ---- */

hr_status plan_read_marks(plan_reader *r);

/* ---- look_words.c: what a foreign name may mean ---- */

/* A target for a map line by the words of a layer's or class's name; false: they say
 * nothing. closed: most shapes are closed ones. *about (may be NULL): the kind. */
bool plan_guess_by_words(const hr_materials *materials, const char *name, bool closed, char *target, size_t target_size,
                         hr_plan_kind *about);

/* ---- look_choose.c: which guesses make a [drawing] section ---- */

hr_status plan_choose(hr_plan_survey *survey, const hr_materials *materials, hr_error *err);

/* ---- boxes.c: which of many boxes hold a point ---- */

typedef struct plan_boxes plan_boxes;
/* Room for `count` boxes; NULL when memory runs out. Add, then grow, then ask. */
plan_boxes *plan_boxes_new(size_t count);
void plan_boxes_add(plan_boxes *boxes, hr_box box, uint32_t id);
bool plan_boxes_grow(plan_boxes *boxes); /* false: out of memory */
void plan_boxes_free(plan_boxes *boxes); /* NULL is fine */
/* Ids of the boxes that hold p, each once, in no particular order. False: out of memory. */
bool plan_boxes_at(const plan_boxes *boxes, hr_point p, plan_ids *ids);

/* ---- edges.c: outline edges of spaces and what lies beside them ---- */

/* An outline's edge, with the straight run it belongs to. */
typedef struct plan_side {
    const hr_ring *ring;
    size_t edge;
    hr_segment run;
} plan_side;

hr_segment plan_edge(const hr_ring *ring, size_t i);
/* The straight run that the edge belongs to: collinear neighbours joined. first
 * and count (may be NULL) say which edges. */
hr_segment plan_run(const hr_ring *ring, size_t edge, size_t *first, size_t *count);
/* The same from `edge` onwards only, of at most `most` edges; *count how many. */
hr_segment plan_run_on(const hr_ring *ring, size_t edge, size_t most, size_t *count);
/* The edge nearest to the line's middle among those that run its way; false: none within reach. */
bool plan_edge_beside(const hr_region *region, hr_segment line, double reach, plan_side *side);
/* The whole line lies within reach of the outline and runs along an edge of it. */
bool plan_beside_outline(const hr_region *region, hr_segment line, double reach);
/* The point `step` metres off `at` (a point of the edge) on the region's inside; false: outside there. */
bool plan_step_inside(const hr_region *region, hr_segment edge, hr_point at, double step, hr_point *inside);
/* To a millimetre, so that a list reads back to the same numbers. */
hr_point plan_rounded(hr_point p);

#endif
