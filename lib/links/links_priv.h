/* links_priv.h - shared by the files of this module only.
 * SPDX-License-Identifier: MIT */
#ifndef LINKS_PRIV_H
#define LINKS_PRIV_H

#include "hr_links.h"
#include "hr_propagation.h"

/* An end closer to a wall than this does not cross it: devices hang on walls. */
#define LINK_END_M 0.01
/* Hits of one joint lie within this along the ray. */
#define LINK_JOINT_M 0.01
/* Walls of one joint touch within this. */
#define LINK_TOUCH_M 0.001
/* Heights and stretches are closed intervals, give or take this. */
#define LINK_CLOSED_M 1e-6
/* A ray that runs inside a wall: within 1 mm over more than 0.1 m. */
#define LINK_ALONG_M 0.001
#define LINK_ALONG_MIN_M 0.1
/* A passage through a body counts when it is longer than this. */
#define LINK_PASSAGE_M 0.01
/* An opening opens a body whose passage is this near to where the ray crosses the opening. */
#define LINK_OPENING_REACH_M 0.15
/* A link shorter than this in plan crosses floors only. */
#define LINK_PLAN_MIN_M 0.001

#define LINK_USES 4

/* Rows of the case table. */
enum { LINK_CASE_FACING = 0, LINK_CASE_SIDE, LINK_CASE_AWAY, LINK_CASE_ENCLOSED, LINK_CASES };
extern const char *const link_case_names[LINK_CASES];

/* One plan made ready: indices and the openings of each wall. */
typedef struct link_plan {
    const hr_plan *plan;
    hr_index *walls;          /* ids are wall indices                         */
    hr_index *free_openings;  /* ids index free_ids                           */
    uint32_t *free_ids;       /* openings that stand on nothing               */
    size_t free_count;
    uint32_t *solid_openings; /* openings that lie on a solid                 */
    size_t solid_opening_count;
    uint8_t *space_is_simple; /* per space of the plan: one ring of few corners that does not meet itself */
    size_t *first_on_wall;    /* wall_count + 1 offsets into plan->on_walls   */
} link_plan;

typedef struct link_metal link_metal; /* metal_priv.h */

struct hr_links {
    const hr_building *building;
    link_plan *plans;
    double *loss_db[LINK_USES];   /* in place, per hr_material_use, per material */
    double *spread_db[LINK_USES];
    link_metal *metals;           /* of the whole building */
    size_t metal_count;
    size_t *metal_start;          /* of each storey's list in metal_ids, storey_count + 1 */
    uint32_t *metal_ids;          /* into metals, ascending: all that stand on the storey or go through it */
    hr_slab_curve **curves;       /* routes: per material; NULL: its loss in place, at any angle */
    hr_site_row site;             /* site-general                                                */
    struct link_ways *ways;       /* routes: where ways bend, see ways_priv.h                     */
    size_t way_count;
    uint32_t *ways_of_storey;
    uint64_t stamp;               /* of what legs depend on, so that scratch tells links apart    */
    double case_db[LINK_CASES];
    double wavelength_m;
    double sigma_db, required_db; /* of a link that crosses nothing */
};

/* The link in canonical direction (upwards), and the part of it on one storey. */
typedef struct link_ray {
    const hr_links *links;
    hr_link_work *work;
    hr_segment line;     /* in plan, from the canonical end */
    double length_m;     /* in plan */
    double space_m;      /* in space */
    double z0_m, z1_m;   /* z0 <= z1 */
    uint32_t storey0, storey1;
    bool slabs;          /* walls by the slab family at real incidence */
    bool even;           /* no end is an upright dipole: half the power in TE */
    double way[3];       /* unit vector */
    hr_error *err;
} link_ray;

typedef struct link_part {
    uint32_t storey;
    const link_plan *plan;
    double from, to;     /* fractions of the ray */
    bool open_end;       /* `to` belongs to the next storey */
    double floor_m;
} link_part;

/* What the ray meets on the way, before joints are settled. */
struct hr_hit {
    double along;      /* fraction where the hit stands */
    double along_end;  /* end of the stretch when the wall runs along the ray, else = along */
    hr_segment line;   /* the wall's line, for joints */
    hr_item item;
};

/* prepare.c */
hr_status link_prepare_plans(hr_links *links, hr_error *err);
void link_free_plans(hr_links *links);
hr_status link_prepare_materials(hr_links *links, hr_error *err);
void link_free_materials(hr_links *links);

/* metal_list.c, after the materials */
hr_status link_prepare_metal(hr_links *links, hr_error *err);
void link_free_metal(hr_links *links);

/* site.c */
hr_status link_prepare_site(hr_links *links, hr_error *err);
double link_site_spread_db(const hr_links *links, double dist_m);
hr_status link_cross_site(const link_ray *ray, hr_link *link);

/* slabs.c: curves of the materials that walls, solids and openings are of */
hr_status link_prepare_curves(hr_links *links, hr_error *err);
void link_free_curves(hr_links *links);
/* Loss of a wall along `line`, by the ray's family; *angle_deg as in hr_item. */
double link_wall_db(const link_ray *ray, hr_material_use use, uint32_t material, hr_segment line, double *angle_deg);
/* The same for the face of a solid where a stretch enters (or, when it holds the first end, leaves). */
double link_solid_db(const link_ray *ray, const hr_body *body, hr_span stretch, double *angle_deg);

/* spaces.c */
hr_status link_find_simple_spaces(link_plan *prepared, hr_error *err);
/* Stretches of the ray in plan inside a room or corridor, in work->spans. */
hr_status link_space_stretches(const link_ray *ray, const link_plan *prepared, uint32_t space, size_t *count);

/* ways.c */
hr_status link_prepare_ways(hr_links *links, hr_error *err);
void link_free_ways(hr_links *links);

/* routes.c */
hr_status link_cross_routes(const link_ray *ray, bool carrying, hr_link *link);
void link_free_scratch(struct link_scratch *scratch);

/* links.c */
/* The ray from low to high; in canonical order already. */
link_ray link_ray_of(const hr_links *links, hr_link_work *work, const hr_end *low, const hr_end *high, hr_error *err);
/* Walls, solids, metal and floors; `keep` items stay before them. */
hr_status link_cross_ray(const link_ray *ray, size_t keep);
/* Bits of `beyond` for the distance, the slabs and saturation. */
void link_note_limits(const hr_links *links, hr_link *link);
void link_sum_items(const hr_item *items, size_t count, hr_link *link);
bool link_in_order(const hr_end *a, const hr_end *b);
bool link_part_holds(const link_part *part, double along);
double link_height_m(const link_ray *ray, const link_part *part, double along);
link_part link_part_of(const link_ray *ray, uint32_t storey);
hr_status link_add_item(const link_ray *ray, const hr_item *item);
/* hr_links_cross; items: those of the way that carries the link, not of the straight ray. */
hr_status link_cross(const hr_links *links, hr_link_work *work, const hr_end *a, const hr_end *b, bool carrying,
                     hr_link *link, hr_error *err);

/* Adds hits of the storey's walls and free openings to the items. */
hr_status link_cross_walls(const link_ray *ray, const link_part *part);
/* All storeys: solids, passages that go on through a slab counted once. */
hr_status link_cross_solids(const link_ray *ray);
/* bodies.c: stretches of the ray in plan inside a region, in work->spans. */
hr_status link_passages(const link_ray *ray, const hr_region *region, double min_length_m, size_t *count);
/* bodies.c: a stretch that holds one end which hangs on the face it leaves by: nothing is passed. */
bool link_hangs_on_region(const link_ray *ray, const hr_region *region, hr_span stretch);
/* Metal on the way or near it: what passes it and what goes round its edges. */
hr_status link_cross_metal(const link_ray *ray);
/* Slabs pierced, with COST 231's decreasing factors. */
hr_status link_cross_floors(const link_ray *ray);

/* saturation.c: factor of each item under wall_saturation (1 for all that is no
 * wall); what it takes off in all. factors may be NULL. */
double link_saturation_db(const hr_links *links, const hr_item *items, size_t count, double *factors);

/* budget.c */
/* max(z * sigma, minimum margin). */
double hr_links_required_for(const hr_radio *radio, double sigma_db);
/* Standard deviation of a link that crosses these items. */
double link_sigma_db(const hr_links *links, const hr_item *items, size_t count);
/* Measures the link and fills its budget in one direction, an hr_direction or the weaker. */
#define LINK_WEAKER (-1)
hr_status link_measure(const hr_links *links, hr_link_work *work, const hr_end *child, const hr_end *parent,
                       int direction, bool carrying, hr_link *link, hr_error *err);

/* notes.c: ", exponent 2", after the distance. */
void link_distance_note(const hr_links *links, hr_text *note);

/* ends.c: gain towards the other end, loss of its case and of metal near by. */
void link_end_terms(const hr_links *links, const hr_end *end, const hr_end *other, hr_end_terms *terms);

/* The use whose row an item was counted by. */
hr_material_use link_item_use(hr_item_kind kind);

/* fitted.c: added to the received level, the same in both directions */
double link_fitted_offset_db(const hr_links *links, const hr_end *a, const hr_end *b);

#endif
