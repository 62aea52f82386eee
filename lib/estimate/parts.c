/*
 * parts.c - every wall, opening, solid and slab of the building as one number.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_priv.h"

static size_t parts_of(const hr_plan *plan)
{
    return plan->wall_count + plan->opening_count + plan->solid_count + 1;
}

hr_status estimate_list_parts(estimate_run *run)
{
    const hr_building *b = run->building;
    run->part_base = hr_alloc(b->storey_count + 1, sizeof *run->part_base);
    if (run->part_base == NULL) {
        return hr_fail_memory(run->err);
    }
    run->part_count = 0;
    for (size_t s = 0; s < b->storey_count; s++) {
        run->part_base[s] = run->part_count;
        run->part_count += parts_of(b->storeys[s].plan);
    }
    run->part_base[b->storey_count] = run->part_count;
    run->parts = hr_alloc_zero(run->part_count, sizeof *run->parts);
    return run->parts == NULL ? hr_fail_memory(run->err) : HR_OK;
}

/* HR_PLAN_NONE: metal and bends, which are not drawn (edges decide what they cost). */
uint32_t estimate_part_of(const estimate_run *run, const hr_item *item)
{
    const hr_plan *plan = run->building->storeys[item->storey].plan;
    size_t offset = run->part_base[item->storey];
    switch (item->kind) {
    case HR_ITEM_WALL:
        return (uint32_t)(offset + item->index);
    case HR_ITEM_OPENING:
        return (uint32_t)(offset + plan->wall_count + item->index);
    case HR_ITEM_SOLID:
        return (uint32_t)(offset + plan->wall_count + plan->opening_count + item->index);
    case HR_ITEM_FLOOR:
        return (uint32_t)(offset + parts_of(plan) - 1);
    case HR_ITEM_METAL:
    case HR_ITEM_BEND:
        break;
    }
    return HR_PLAN_NONE;
}
