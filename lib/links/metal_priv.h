/* metal_priv.h - metal bodies, between metal_list.c and metal.c.
 * SPDX-License-Identifier: MIT */
#ifndef METAL_PRIV_H
#define METAL_PRIV_H

#include "links_priv.h"

/* An upright metal body. */
struct link_metal {
    const hr_body *body;
    uint32_t storey, index; /* where it is drawn (the lowest storey) */
    uint32_t material;
    double through_db;      /* what it lets through at most: the table's loss */
    uint32_t storey0, storey1;
    double low_m, high_m;   /* absolute; infinite at the ground and the roof */
    bool has_heights, is_lift;
    bool on_slab;           /* no way under it for links of its own storeys */
    bool under_slab;        /* no way over it                               */
    bool convex;
    hr_point *hull;         /* of its outline, in one turning sense */
    size_t hull_count;
    hr_box box;
};

#endif
