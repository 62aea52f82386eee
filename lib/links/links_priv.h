/* links_priv.h - shared by the files of this module only.
 * SPDX-License-Identifier: MIT */
#ifndef LINKS_PRIV_H
#define LINKS_PRIV_H

#include "hr_links.h"

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

/* One plan made ready: indices and the openings of each wall. */
typedef struct link_plan {
    const hr_plan *plan;
    hr_index *walls;          /* ids are wall indices                         */
    hr_index *free_openings;  /* ids index free_ids                           */
    uint32_t *free_ids;       /* openings that stand on nothing               */
    size_t free_count;
    uint32_t *solid_openings; /* openings that lie on a solid                 */
    size_t solid_opening_count;
    size_t *first_on_wall;    /* wall_count + 1 offsets into plan->on_walls   */
} link_plan;

struct hr_links {
    const hr_building *building;
    link_plan *plans;
    double *loss_db[4]; /* per hr_material_use, per material */
    double sigma_db, required_db;
};

/* The link in canonical direction (upwards), and the part of it on one storey. */
typedef struct link_ray {
    const hr_links *links;
    hr_link_work *work;
    hr_segment line;     /* in plan, from the canonical end */
    double length_m;     /* in plan */
    double z0_m, z1_m;   /* z0 <= z1 */
    uint32_t storey0, storey1;
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

bool link_part_holds(const link_part *part, double along);
double link_height_m(const link_ray *ray, const link_part *part, double along);

/* Adds hits of the storey's walls and free openings to the items. */
hr_status link_cross_walls(const link_ray *ray, const link_part *part);
/* All storeys: solids and metal, passages that go on through a slab counted once. */
hr_status link_cross_bodies(const link_ray *ray);
/* Slabs pierced, with COST 231's decreasing factors. */
hr_status link_cross_floors(const link_ray *ray);

/* max(z * sigma, minimum margin). */
double hr_links_required_for(const hr_radio *radio, double sigma_db);

link_part link_part_of(const link_ray *ray, uint32_t storey);
hr_status link_add_item(const link_ray *ray, const hr_item *item);

/* fitted.c: added to the received level, the same in both directions */
double link_fitted_offset_db(const hr_links *links, const hr_end *a, const hr_end *b);

#endif
