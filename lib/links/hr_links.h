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
} hr_end;

typedef enum hr_item_kind {
    HR_ITEM_WALL = 0,
    HR_ITEM_OPENING,
    HR_ITEM_SOLID,
    HR_ITEM_METAL,
    HR_ITEM_FLOOR
} hr_item_kind;

/* One thing a link crosses, in order from the end that is lower (then further
 * left, then further up in the drawing). */
typedef struct hr_item {
    hr_item_kind kind;
    uint32_t storey;   /* floor: the storey that stands on the slab */
    uint32_t index;    /* wall, opening, solid or metal of the storey's plan */
    uint32_t material;
    double loss_db;    /* as counted: a member of a joint that another outweighs has 0, a floor its factor */
    double table_db;   /* as the table has it */
    double along;      /* place on the link, 0..1 from the canonical end */
    hr_point at;
} hr_item;

/* Scratch for one caller at a time. Initialise with {0}. */
typedef struct hr_link_work {
    hr_item *items; /* of the last link measured */
    size_t item_count, item_cap;
    struct hr_hit *hits;
    size_t hit_cap;
    uint32_t *ids;
    size_t id_cap;
    hr_span *spans;
    size_t span_cap;
} hr_link_work;

HR_API void hr_links_work_free(hr_link_work *work);

typedef enum hr_direction { HR_DOWN = 0, HR_UP } hr_direction;

/* A link and its budget in the weaker direction. */
typedef struct hr_link {
    double distance_m;       /* straight, 3-D */
    double path_loss_db;     /* distance + walls + floors + metal */
    double spread_loss_db;   /* the distance term alone */
    double wall_loss_db;     /* walls, openings and solids */
    double floor_loss_db, metal_loss_db;
    unsigned walls, slabs;   /* counted groups; slabs pierced */
    hr_direction direction;  /* down: from the gateway or parent */
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
 * Everything the line a-b crosses goes to work->items; *path_loss_db (may be
 * NULL) gets the path loss of the property's model.
 * Symmetric: swapping a and b changes nothing.
 */
HR_API hr_status hr_links_cross(const hr_links *links, hr_link_work *work, const hr_end *a, const hr_end *b,
                                hr_link *link, hr_error *err);

/* hr_links_cross and the budget: `child` is the device, `parent` the gateway
 * or the device it hangs on. */
HR_API hr_status hr_links_measure(const hr_links *links, hr_link_work *work, const hr_end *child, const hr_end *parent,
                                  hr_link *link, hr_error *err);

/* The distance term alone, as in hr_link.spread_loss_db. */
HR_API double hr_links_spread_loss_db(const hr_links *links, double dist_m);

/* Standard deviation and required margin where they do not depend on the link
 * (count_spreads off). */
HR_API double hr_links_sigma_db(const hr_links *links);
HR_API double hr_links_required_margin_db(const hr_links *links);

#ifdef __cplusplus
}
#endif
#endif
