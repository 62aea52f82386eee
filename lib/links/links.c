/*
 * links.c - a building made ready for measuring, and the straight line
 * between two ends taken storey by storey.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_priv.h"

#include <math.h>

#include "hr_propagation.h"

static void free_plan(link_plan *prepared)
{
    hr_geometry_index_free(prepared->walls);
    hr_geometry_index_free(prepared->free_openings);
    hr_free(prepared->free_ids);
    hr_free(prepared->solid_openings);
    hr_free(prepared->first_on_wall);
}

void hr_links_free(hr_links *links)
{
    if (links == NULL) {
        return;
    }
    if (links->plans != NULL) {
        for (size_t i = 0; i < links->building->plan_count; i++) {
            free_plan(&links->plans[i]);
        }
    }
    hr_free(links->plans);
    for (size_t use = 0; use < 4; use++) {
        hr_free(links->loss_db[use]);
    }
    hr_free(links);
}

void hr_links_work_free(hr_link_work *work)
{
    if (work == NULL) {
        return;
    }
    hr_free(work->items);
    hr_free(work->hits);
    hr_free(work->ids);
    hr_free(work->spans);
    *work = (hr_link_work){0};
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

static hr_status prepare_losses(hr_links *links, hr_error *err)
{
    const hr_materials *materials = links->building->materials;
    const size_t count = hr_materials_count(materials);
    for (size_t use = 0; use < 4; use++) {
        links->loss_db[use] = hr_alloc(count, sizeof *links->loss_db[use]);
        if (links->loss_db[use] == NULL) {
            return hr_fail_memory(err);
        }
        for (size_t i = 0; i < count; i++) {
            links->loss_db[use][i] = hr_materials_loss_db(materials, i, (hr_material_use)use, NULL);
        }
    }
    return HR_OK;
}

hr_status hr_links_new(const hr_building *building, hr_links **links_out, hr_error *err)
{
    hr_links *links = hr_alloc_zero(1, sizeof *links);
    if (links == NULL) {
        return hr_fail_memory(err);
    }
    links->building = building;
    links->plans = hr_alloc_zero(building->plan_count, sizeof *links->plans);
    hr_status status = links->plans == NULL ? hr_fail_memory(err) : prepare_losses(links, err);
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
    }
    if (status != HR_OK) {
        hr_links_free(links);
        return status;
    }
    links->sigma_db = hypot(building->radio.shadowing_db, building->radio.time_variation_db);
    links->required_db = hr_links_required_for(&building->radio, links->sigma_db);
    *links_out = links;
    return HR_OK;
}

hr_end hr_links_device_end(const hr_building *building, uint32_t device)
{
    const hr_device *d = &building->devices[device];
    const hr_device_kind *kind = &building->kinds[d->kind];
    return (hr_end){.at = d->at, .z_m = d->z_m, .radio = &kind->radio, .enclosure = kind->enclosure};
}

hr_end hr_links_gateway_end(const hr_building *building, hr_point at, double z_m)
{
    return (hr_end){.at = at, .z_m = z_m, .radio = &building->gateway_kind.radio, .enclosure = HR_ENCLOSURE_NONE};
}

/* The storey that z belongs to; a point on a slab's plane to the upper one. */
static uint32_t storey_at(const hr_building *building, double z_m)
{
    uint32_t storey = 0;
    while (storey + 1 < building->storey_count && building->storeys[storey + 1].elevation_m <= z_m) {
        storey++;
    }
    return storey;
}

/* Lower end first, then left, then further up in the drawing: sums then run
 * in the same order whichever end asked. */
static bool in_order(const hr_end *a, const hr_end *b)
{
    if (a->z_m != b->z_m) {
        return a->z_m < b->z_m;
    }
    if (a->at.x != b->at.x) {
        return a->at.x < b->at.x;
    }
    return a->at.y <= b->at.y;
}

static double plane_along(const link_ray *ray, uint32_t storey)
{
    const double plane = ray->links->building->storeys[storey].elevation_m;
    return (plane - ray->z0_m) / (ray->z1_m - ray->z0_m); /* storeys differ, so z differs */
}

link_part link_part_of(const link_ray *ray, uint32_t storey)
{
    const hr_building *building = ray->links->building;
    link_part part = {.storey = storey,
                      .plan = &ray->links->plans[building->storeys[storey].plan_index],
                      .from = 0.0,
                      .to = 1.0,
                      .floor_m = building->storeys[storey].elevation_m};
    if (storey > ray->storey0) {
        part.from = plane_along(ray, storey);
    }
    if (storey < ray->storey1) {
        part.to = plane_along(ray, storey + 1);
        part.open_end = true;
    }
    return part;
}

bool link_part_holds(const link_part *part, double along)
{
    return along >= part->from && (part->open_end ? along < part->to : along <= part->to);
}

double link_height_m(const link_ray *ray, const link_part *part, double along)
{
    return ray->z0_m + (ray->z1_m - ray->z0_m) * along - part->floor_m;
}

hr_status link_add_item(const link_ray *ray, const hr_item *item)
{
    hr_link_work *work = ray->work;
    if (!HR_RESERVE(work->items, work->item_cap, work->item_count + 1)) {
        return hr_fail_memory(ray->err);
    }
    work->items[work->item_count] = *item;
    work->items[work->item_count].at = hr_geometry_at(ray->line, item->along);
    work->item_count++;
    return HR_OK;
}

double hr_links_spread_loss_db(const hr_links *links, double dist_m)
{
    const hr_radio *radio = &links->building->radio;
    return hr_propagation_log_distance_db(radio->frequency_mhz, radio->exponent, dist_m);
}

static void sum_items(const hr_link_work *work, hr_link *link)
{
    for (size_t i = 0; i < work->item_count; i++) {
        const hr_item *item = &work->items[i];
        switch (item->kind) {
        case HR_ITEM_WALL:
        case HR_ITEM_OPENING:
        case HR_ITEM_SOLID:
            link->wall_loss_db += item->loss_db;
            link->walls += item->loss_db > 0.0;
            break;
        case HR_ITEM_METAL:
            link->metal_loss_db += item->loss_db;
            break;
        case HR_ITEM_FLOOR:
            link->floor_loss_db += item->loss_db;
            link->slabs++;
            break;
        }
    }
}

hr_status hr_links_cross(const hr_links *links, hr_link_work *work, const hr_end *a, const hr_end *b, hr_link *link,
                         hr_error *err)
{
    const hr_building *building = links->building;
    const hr_end *low = in_order(a, b) ? a : b;
    const hr_end *high = low == a ? b : a;
    link_ray ray = {.links = links,
                    .work = work,
                    .line = {low->at, high->at},
                    .z0_m = low->z_m,
                    .z1_m = high->z_m,
                    .storey0 = storey_at(building, low->z_m),
                    .storey1 = storey_at(building, high->z_m),
                    .err = err};
    ray.length_m = hr_geometry_length(ray.line);
    work->item_count = 0;
    hr_status status = HR_OK;
    if (ray.length_m >= LINK_PLAN_MIN_M) {
        for (uint32_t storey = ray.storey0; status == HR_OK && storey <= ray.storey1; storey++) {
            const link_part part = link_part_of(&ray, storey);
            status = link_cross_walls(&ray, &part);
        }
        if (status == HR_OK) {
            status = link_cross_bodies(&ray);
        }
    }
    if (status == HR_OK) {
        status = link_cross_floors(&ray);
    }
    if (status != HR_OK) {
        return status;
    }
    hr_link found = {.distance_m = hypot(ray.length_m, ray.z1_m - ray.z0_m)};
    found.spread_loss_db = hr_links_spread_loss_db(links, found.distance_m);
    sum_items(work, &found);
    found.path_loss_db = found.spread_loss_db + found.wall_loss_db + found.floor_loss_db + found.metal_loss_db;
    *link = found;
    return HR_OK;
}
