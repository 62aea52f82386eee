/*
 * slabs.c - which links pierce too many slabs, told without measuring them.
 *
 * SPDX-License-Identifier: MIT
 */
#include "coverage_priv.h"

#define NEAR_OUTLINE_M 1e-3

/* Most slabs are rectangles along the axes: those are their box. */
static bool is_box(const hr_region *region)
{
    if (region->ring_count != 1 || region->rings[0].count != 4) {
        return false;
    }
    const hr_point *p = region->rings[0].points;
    return (p[0].x == p[1].x && p[1].y == p[2].y && p[2].x == p[3].x && p[3].y == p[0].y) ||
           (p[0].y == p[1].y && p[1].x == p[2].x && p[2].y == p[3].y && p[3].x == p[0].x);
}

static bool is_well_inside(const hr_region *region, hr_point at)
{
    const hr_box box = region->box;
    if (!(at.x > box.x0 + NEAR_OUTLINE_M && at.x < box.x1 - NEAR_OUTLINE_M && at.y > box.y0 + NEAR_OUTLINE_M &&
          at.y < box.y1 - NEAR_OUTLINE_M)) {
        return false;
    }
    return is_box(region) ||
           (hr_geometry_inside(region, at, 0.0) && hr_geometry_to_outline(region, at, NULL) > NEAR_OUTLINE_M);
}

/* Well inside the slab that this storey stands on: there the link's own count cannot differ. */
static bool is_pierced(const hr_plan *plan, hr_point at)
{
    bool slab = plan->slab_count == 0;
    for (size_t i = 0; !slab && i < plan->slab_count; i++) {
        slab = is_well_inside(&plan->slabs[i].region, at);
    }
    for (size_t i = 0; slab && i < plan->void_count; i++) {
        const hr_region *region = &plan->voids[i].region;
        slab =
            !hr_geometry_box_holds(region->box, at, NEAR_OUTLINE_M) || !hr_geometry_inside(region, at, NEAR_OUTLINE_M);
    }
    return slab;
}

bool coverage_is_beyond_slabs(const hr_building *building, const hr_end *a, const hr_end *b, long max_slabs)
{
    const hr_end *low = a->z_m <= b->z_m ? a : b, *high = low == a ? b : a;
    long slabs = 0;
    for (size_t s = hr_building_storey_at(building, low->z_m) + 1; s < building->storey_count && slabs <= max_slabs;
         s++) {
        const double floor_m = building->storeys[s].elevation_m;
        if (!(floor_m < high->z_m)) {
            break;
        }
        const double along = (floor_m - low->z_m) / (high->z_m - low->z_m);
        slabs += is_pierced(building->storeys[s].plan, hr_geometry_at((hr_segment){low->at, high->at}, along));
    }
    return slabs > max_slabs;
}
