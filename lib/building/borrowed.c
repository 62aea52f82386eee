/*
 * borrowed.c - a word where a material is used as something it has no row
 * for, so that another use's loss stands in: a wall drawn with a floor's name
 * would else be taken at the floor's loss without anybody noticing.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

static const char *donor_name(const hr_material *material)
{
    for (size_t use = 0; use < 4; use++) {
        if (material->loss_db[use] >= 0.0) { /* NaN: no row; the wall's comes first */
            return hr_materials_use_name((hr_material_use)use);
        }
    }
    return "nothing";
}

static void check_use(const building_reader *r, const char *file, int line, uint32_t index, hr_material_use use)
{
    const hr_materials *materials = r->b->materials;
    bool borrowed = false;
    const double loss_db = hr_materials_loss_db(materials, index, use, &borrowed);
    if (borrowed) {
        const hr_material *material = hr_materials_get(materials, index);
        char number[HR_FIXED_MAX];
        hr_note(r->notes, file, line, "%s has no row as %s in the material table: its loss as %s, %s dB, is used",
                material->name, hr_materials_use_name(use), donor_name(material), hr_fixed(loss_db, 1, number));
    }
}

hr_status building_note_borrowed(building_reader *r)
{
    const hr_building *b = r->b;
    for (size_t p = 0; p < b->plan_count; p++) {
        const hr_plan *plan = b->plans[p];
        for (size_t i = 0; i < plan->wall_count; i++) {
            /* one note per material and line is enough; equal texts are kept once */
            if (!plan->walls[i].is_gap && (i == 0 || plan->walls[i].material != plan->walls[i - 1].material)) {
                check_use(r, plan->file, 0, plan->walls[i].material, HR_USE_WALL);
            }
        }
        for (size_t i = 0; i < plan->solid_count; i++) {
            check_use(r, plan->file, 0, plan->solids[i].material, HR_USE_WALL);
        }
        for (size_t i = 0; i < plan->opening_count; i++) {
            check_use(r, plan->file, 0, plan->openings[i].material, HR_USE_OPENING);
        }
    }
    for (size_t s = 1; s < b->storey_count; s++) {
        check_use(r, b->file, b->storeys[s].section_line, b->storeys[s].slab_material, HR_USE_FLOOR);
    }
    return HR_OK;
}
