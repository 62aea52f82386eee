/*
 * hr_links.h - what the straight line between two antennas crosses, and the
 * link budget that follows from it.
 *
 * Path loss is the same in both directions to the last bit; powers and
 * sensitivities are not, so both directions are budgeted and the one with
 * less margin is reported.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_LINKS_H
#define HR_LINKS_H

#include "hr_base.h"
#include "hr_building.h"
#include "hr_geometry.h"

#ifdef __cplusplus
extern "C" {
#endif

/* One end of a link. */
typedef struct hr_end {
    hr_point at;
    double z_m;               /* absolute height, as hr_device.z_m */
    const hr_terminal *radio;
    int enclosure;            /* hr_enclosure */
    hr_point faces;           /* where a case opens, unit vector in plan; {0,0}: not known, counted as sideways */
} hr_end;

typedef enum hr_item_kind {
    HR_ITEM_WALL = 0,
    HR_ITEM_OPENING,
    HR_ITEM_SOLID,
    HR_ITEM_METAL,
    HR_ITEM_FLOOR,
    HR_ITEM_BEND /* routes: the way turns round a door, a corridor corner or a wall's end */
} hr_item_kind;

/* What a way bends round. */
typedef enum hr_bend_kind { HR_BEND_DOOR = 0, HR_BEND_CORNER, HR_BEND_WALL_END } hr_bend_kind;

/* One thing a link crosses, in order from the end that is lower (then further
 * left, then further up in the drawing). */
typedef struct hr_item {
    hr_item_kind kind;
    uint32_t storey;   /* floor: the storey that stands on the slab */
    uint32_t index;    /* wall, opening, solid or metal of the storey's plan; bend: hr_bend_kind */
    uint32_t material; /* bend: HR_PLAN_NONE */
    double loss_db;    /* as counted: a member of a joint that another outweighs has 0, a floor its factor,
                        * metal what its edges leave of it */
    double table_db;   /* as the table has it; routes: the slab at this angle */
    double along;      /* place on the link, 0..1 from the canonical end; of its leg where the way bends */
    double angle_deg;  /* routes, walls with a stack: between the ray and the wall's normal; else 0 */
    hr_point at;
} hr_item;

/* Scratch for one caller and one hr_links at a time. Initialise with {0}. */
typedef struct hr_link_work {
    hr_item *items; /* of the last link measured */
    size_t item_count, item_cap;
    struct hr_hit *hits;
    size_t hit_cap;
    uint32_t *ids;
    size_t id_cap;
    hr_span *spans;
    size_t span_cap;
    struct link_scratch *scratch; /* of this module: legs already measured */
} hr_link_work;

HR_API void hr_links_work_free(hr_link_work *work);

typedef enum hr_direction { HR_DOWN = 0, HR_UP } hr_direction;

/* What an end adds to a link beside its antenna's peak gain. */
typedef struct hr_end_terms {
    double gain_dbi;     /* towards the other end */
    double case_db;      /* loss of the case it sits in */
    const char *case_row; /* "facing", "side", "away", "enclosed"; NULL: no case */
    double clearance_db; /* loss of large metal within a wavelength */
} hr_end_terms;

#define HR_LINK_BENDS_MAX 2

/* A link and its budget in the weaker direction. */
typedef struct hr_link {
    double distance_m;       /* straight, 3-D */
    double path_loss_db;     /* of the property's model; without the ends' terms */
    double spread_loss_db;   /* the distance term alone */
    double wall_loss_db;     /* walls, openings and solids, saturation taken off */
    double floor_loss_db, metal_loss_db;
    double saturation_db;    /* what saturation took off the walls */
    double bend_loss_db;     /* routes: of the way that carries the link, as is all that follows */
    double corridor_gain_db; /* what the corridor gives back */
    double room_loss_db;
    double combined_db;      /* what the other way adds to it */
    double unfolded_m, corridor_m, room_m;
    unsigned bends;          /* 0: the straight ray carries the link */
    hr_point bend_at[HR_LINK_BENDS_MAX]; /* from the child, or from a of hr_links_cross */
    uint32_t bend_storey;
    unsigned walls, slabs;   /* counted groups; slabs pierced by the straight line */
    unsigned beyond;         /* bit 1 << hr_range_id for each validity limit passed */
    bool extrapolated;       /* the model's row or a slab on the way is outside its tabled range */
    hr_end_terms child, parent; /* hr_links_measure only */
    hr_direction direction;  /* down: from the gateway or parent */
    double fitted_offset_db; /* what a fit in this building adds to received levels; 0 without one */
    double received_dbm, sensitivity_dbm, noise_rise_db;
    double link_margin_db, required_margin_db, spare_db, sigma_db, reliability;
} hr_link;

typedef struct hr_links hr_links;

/* Prepares a building for measuring; keeps a pointer to it. */
HR_API hr_status hr_links_new(const hr_building *building, hr_links **links, hr_error *err);
HR_API void hr_links_free(hr_links *links);

HR_API hr_end hr_links_device_end(const hr_building *building, uint32_t device);
HR_API hr_end hr_links_gateway_end(const hr_building *building, hr_point at, double z_m);

/*
 * Everything the straight line a-b crosses goes to work->items, and *link gets
 * the path loss of the property's model; budget and ends' terms stay 0.
 * Symmetric: swapping a and b changes nothing (but the order of bend_at).
 */
HR_API hr_status hr_links_cross(const hr_links *links, hr_link_work *work, const hr_end *a, const hr_end *b,
                                hr_link *link, hr_error *err);

/* hr_links_cross and the budget: `child` is the device, `parent` the gateway
 * or the device it hangs on. */
HR_API hr_status hr_links_measure(const hr_links *links, hr_link_work *work, const hr_end *child, const hr_end *parent,
                                  hr_link *link, hr_error *err);

/* The same with work->items those of the way that carries the link, also under `routes`,
 * where the straight line may not: for whoever counts the losses again with other tables. */
HR_API hr_status hr_links_measure_way(const hr_links *links, hr_link_work *work, const hr_end *child,
                                      const hr_end *parent, hr_link *link, hr_error *err);

/*
 * The share of a disc's area that is covered when its edge has this margin:
 * site-general only, whose one exponent and spread the formula stands on.
 * NaN under another model. Source: hr_propagation_area_coverage.
 */
HR_API double hr_links_area_from_edge(const hr_links *links, double edge_margin_db);

/* The least path loss any link of this length can have: the distance term of
 * multi-wall; routes: with a corridor all the way and a second way as strong. */
HR_API double hr_links_spread_loss_db(const hr_links *links, double dist_m);

/* Standard deviation and required margin where they do not depend on the link;
 * with count_spreads the least of any link, which is that of one that crosses
 * nothing. */
HR_API double hr_links_sigma_db(const hr_links *links);
HR_API double hr_links_required_margin_db(const hr_links *links);
/* False: each link has its own (count_spreads). */
HR_API bool hr_links_margin_is_common(const hr_links *links);

/* ---- line by line ---------------------------------------------------------- */

/* One line of a budget: gains above 0, losses below. */
typedef struct hr_budget_line {
    const char *item; /* "wall: brick-100" */
    const char *note; /* where, or why; "" none */
    double db;        /* rounded to 1e-4 */
} hr_budget_line;

/* Both directions have the same losses; the lines are those of `direction`. */
typedef struct hr_budget {
    hr_budget_line *lines;
    size_t count;
    double link_margin_db; /* the sum of the lines, exactly */
    hr_link link;          /* unrounded, of this direction */
    hr_arena *arena;
} hr_budget;

/*
 * The budget of a link in one direction, in order: transmit power, antenna
 * gains, distance, everything crossed by the way that carries it, corrections,
 * ends, noise, sensitivity. work->items holds what that way crosses.
 */
HR_API hr_status hr_links_budget(const hr_links *links, hr_link_work *work, const hr_end *child, const hr_end *parent,
                                 hr_direction direction, hr_budget *budget, hr_error *err);
HR_API void hr_links_budget_free(hr_budget *budget);

/* What holds for every link of the property: the model's row, materials outside
 * their tabled frequencies, what was assumed. */
HR_API void hr_links_notes(const hr_links *links, hr_notes *notes);

#ifdef __cplusplus
}
#endif
#endif
