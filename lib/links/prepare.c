/*
 * prepare.c - a building made ready for measuring: indices of its plans, what
 * its materials lose.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_priv.h"

#include <math.h>

#include "hr_units.h"

const char *const link_case_names[LINK_CASES] = {"facing", "side", "away", "enclosed"};

/* A computed loss without a stated spread: 30 % of it, as for stated losses; assumed. */
static const double default_spread_share = 0.3;

/* ---- plans ---- */

static void free_plan(link_plan *prepared)
{
    hr_geometry_index_free(prepared->walls);
    hr_geometry_index_free(prepared->free_openings);
    hr_free(prepared->free_ids);
    hr_free(prepared->solid_openings);
    hr_free(prepared->first_on_wall);
    hr_free(prepared->space_is_simple);
}

void link_free_plans(hr_links *links)
{
    if (links->plans == NULL) {
        return;
    }
    for (size_t i = 0; i < links->building->plan_count; i++) {
        free_plan(&links->plans[i]);
    }
    hr_free(links->plans);
    links->plans = NULL;
}

static hr_status index_walls(link_plan *prepared, hr_error *err)
{
    const hr_plan *plan = prepared->plan;
    hr_segment *lines = hr_alloc(plan->wall_count, sizeof *lines);
    if (lines == NULL) {
        return hr_fail_memory(err);
    }
    for (size_t i = 0; i < plan->wall_count; i++) {
        lines[i] = plan->walls[i].line;
    }
    const hr_status status = hr_geometry_index_new(lines, plan->wall_count, &prepared->walls, err);
    hr_free(lines);
    return status;
}

/* Where each wall's openings begin in on_walls, which is sorted by wall. */
static hr_status index_on_walls(link_plan *prepared, hr_error *err)
{
    const hr_plan *plan = prepared->plan;
    prepared->first_on_wall = hr_alloc_zero(plan->wall_count + 1, sizeof *prepared->first_on_wall);
    if (prepared->first_on_wall == NULL) {
        return hr_fail_memory(err);
    }
    for (size_t i = 0; i < plan->on_wall_count; i++) {
        prepared->first_on_wall[plan->on_walls[i].wall + 1]++;
    }
    for (size_t i = 0; i < plan->wall_count; i++) {
        prepared->first_on_wall[i + 1] += prepared->first_on_wall[i];
    }
    return HR_OK;
}

static hr_status index_openings(link_plan *prepared, hr_error *err)
{
    const hr_plan *plan = prepared->plan;
    prepared->free_ids = hr_alloc(plan->opening_count, sizeof *prepared->free_ids);
    prepared->solid_openings = hr_alloc(plan->opening_count, sizeof *prepared->solid_openings);
    hr_segment *lines = hr_alloc(plan->opening_count, sizeof *lines);
    hr_status status = HR_OK;
    if (prepared->free_ids == NULL || prepared->solid_openings == NULL || lines == NULL) {
        status = hr_fail_memory(err);
    }
    for (size_t i = 0; status == HR_OK && i < plan->opening_count; i++) {
        const hr_opening *opening = &plan->openings[i];
        if (opening->on_solid) {
            prepared->solid_openings[prepared->solid_opening_count++] = (uint32_t)i;
        } else if (!opening->on_wall && !opening->fills_gap) {
            lines[prepared->free_count] = opening->line;
            prepared->free_ids[prepared->free_count++] = (uint32_t)i;
        }
    }
    if (status == HR_OK) {
        status = hr_geometry_index_new(lines, prepared->free_count, &prepared->free_openings, err);
    }
    hr_free(lines);
    return status;
}

hr_status link_prepare_plans(hr_links *links, hr_error *err)
{
    const hr_building *building = links->building;
    links->plans = hr_alloc_zero(building->plan_count, sizeof *links->plans);
    hr_status status = links->plans == NULL ? hr_fail_memory(err) : HR_OK;
    for (size_t i = 0; status == HR_OK && i < building->plan_count; i++) {
        link_plan *prepared = &links->plans[i];
        prepared->plan = building->plans[i];
        status = index_walls(prepared, err);
        if (status == HR_OK) {
            status = index_on_walls(prepared, err);
        }
        if (status == HR_OK) {
            status = index_openings(prepared, err);
        }
        if (status == HR_OK) {
            status = link_find_simple_spaces(prepared, err);
        }
    }
    return status;
}

/* ---- materials ---- */

/* An own stack has no loss in place: the slab's at normal incidence stands for it. */
static hr_status stack_loss(const hr_building *building, const hr_material *material, double *loss_db, hr_error *err)
{
    hr_layer layers[HR_LAYERS_MAX];
    size_t count = 0;
    const double freq_mhz = building->radio.frequency_mhz;
    const hr_status status = hr_materials_layers_parse(material->layers, freq_mhz, layers, &count, err);
    if (status == HR_OK) {
        *loss_db = hr_propagation_stack(layers, count, freq_mhz, 0.0, HR_TE).through_db;
        if (material->framed) {
            *loss_db = hr_propagation_framed_db(*loss_db);
        }
    }
    return status;
}

static hr_status prepare_material(hr_links *links, size_t index, hr_error *err)
{
    const hr_materials *materials = links->building->materials;
    const hr_material *material = hr_materials_get(materials, index);
    for (size_t use = 0; use < LINK_USES; use++) {
        double loss_db = hr_materials_loss_db(materials, index, (hr_material_use)use, NULL);
        double spread_db = hr_materials_spread_db(materials, index, (hr_material_use)use);
        if (isnan(loss_db) && material->layers != NULL) {
            const hr_status status = stack_loss(links->building, material, &loss_db, err);
            if (status != HR_OK) {
                return status;
            }
        }
        links->loss_db[use][index] = loss_db;
        links->spread_db[use][index] = isnan(spread_db) ? default_spread_share * loss_db : spread_db;
    }
    return HR_OK;
}

hr_status link_prepare_materials(hr_links *links, hr_error *err)
{
    const size_t count = hr_materials_count(links->building->materials);
    for (size_t use = 0; use < LINK_USES; use++) {
        links->loss_db[use] = hr_alloc(count, sizeof *links->loss_db[use]);
        links->spread_db[use] = hr_alloc(count, sizeof *links->spread_db[use]);
        if (links->loss_db[use] == NULL || links->spread_db[use] == NULL) {
            return hr_fail_memory(err);
        }
    }
    links->wavelength_m = hr_units_wavelength_m(links->building->radio.frequency_mhz);
    for (size_t i = 0; i < LINK_CASES; i++) {
        if (!hr_materials_enclosure(link_case_names[i], &links->case_db[i], NULL)) {
            return hr_fail_memory(err); /* the rows are ours and tested: only memory can fail */
        }
    }
    hr_status status = HR_OK;
    for (size_t i = 0; status == HR_OK && i < count; i++) {
        status = prepare_material(links, i, err);
    }
    return status;
}

void link_free_materials(hr_links *links)
{
    for (size_t use = 0; use < LINK_USES; use++) {
        hr_free(links->loss_db[use]);
        hr_free(links->spread_db[use]);
    }
}
