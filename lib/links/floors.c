/*
 * floors.c - slabs that are really pierced. Several floors cost less than
 * their sum: the increments of COST 231's floor term, largest loss first, so
 * that equal slabs give COST exactly.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_priv.h"

#include <stdlib.h>

#include "hr_propagation.h"

/* A slab without an outline is everywhere except in its voids. */
static bool has_slab_at(const hr_plan *plan, hr_point at)
{
    bool slab = plan->slab_count == 0;
    for (size_t i = 0; !slab && i < plan->slab_count; i++) {
        slab = hr_geometry_inside(&plan->slabs[i].region, at, 0.0);
    }
    for (size_t i = 0; slab && i < plan->void_count; i++) {
        slab = !hr_geometry_inside(&plan->voids[i].region, at, 0.0);
    }
    return slab;
}

static int compare_floors(const void *left, const void *right)
{
    const hr_item *a = left, *b = right;
    if (a->table_db != b->table_db) {
        return a->table_db > b->table_db ? -1 : 1;
    }
    return (a->storey > b->storey) - (a->storey < b->storey);
}

hr_status link_cross_floors(const link_ray *ray)
{
    const hr_building *building = ray->links->building;
    const size_t first = ray->work->item_count;
    for (uint32_t storey = ray->storey0 + 1; storey <= ray->storey1; storey++) {
        const hr_storey *above = &building->storeys[storey];
        const double along = (above->elevation_m - ray->z0_m) / (ray->z1_m - ray->z0_m);
        if (!has_slab_at(above->plan, hr_geometry_at(ray->line, along))) {
            continue;
        }
        const double loss_db = ray->links->loss_db[HR_USE_FLOOR][above->slab_material];
        const hr_item item = {.kind = HR_ITEM_FLOOR,
                              .storey = storey,
                              .index = storey,
                              .material = above->slab_material,
                              .table_db = loss_db,
                              .along = along};
        const hr_status status = link_add_item(ray, &item);
        if (status != HR_OK) {
            return status;
        }
    }
    const size_t count = ray->work->item_count - first;
    if (count == 0) {
        return HR_OK;
    }
    hr_item *floors = ray->work->items + first;
    qsort(floors, count, sizeof *floors, compare_floors);
    for (size_t i = 0; i < count; i++) {
        floors[i].loss_db = floors[i].table_db * hr_propagation_floor_factor((unsigned)(i + 1));
    }
    return HR_OK;
}
