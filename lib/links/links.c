/*
 * links.c - the straight line between two ends taken storey by storey.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_priv.h"

#include <math.h>

void hr_links_free(hr_links *links)
{
    if (links == NULL) {
        return;
    }
    link_free_plans(links);
    link_free_metal(links);
    link_free_curves(links);
    link_free_ways(links);
    link_free_materials(links);
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
    link_free_scratch(work->scratch);
    *work = (hr_link_work){0};
}

hr_status hr_links_new(const hr_building *building, hr_links **links_out, hr_error *err)
{
    hr_links *links = hr_alloc_zero(1, sizeof *links);
    if (links == NULL) {
        return hr_fail_memory(err);
    }
    links->building = building;
    static hr_status (*const steps[])(hr_links *, hr_error *) = {link_prepare_site,  link_prepare_materials,
                                                                 link_prepare_plans, link_prepare_metal,
                                                                 link_prepare_curves, link_prepare_ways};
    hr_status status = HR_OK;
    for (size_t i = 0; status == HR_OK && i < sizeof steps / sizeof steps[0]; i++) {
        status = steps[i](links, err);
    }
    if (status != HR_OK) {
        hr_links_free(links);
        return status;
    }
    links->sigma_db = link_sigma_db(links, NULL, 0);
    links->required_db = hr_links_required_for(&building->radio, links->sigma_db);
    *links_out = links;
    return HR_OK;
}

hr_end hr_links_device_end(const hr_building *building, uint32_t device)
{
    const hr_device *d = &building->devices[device];
    const hr_device_kind *kind = &building->kinds[d->kind];
    return (hr_end){.at = d->at, .z_m = d->z_m, .radio = &kind->radio, .enclosure = kind->enclosure, .faces = d->faces};
}

hr_end hr_links_gateway_end(const hr_building *building, hr_point at, double z_m)
{
    return (hr_end){.at = at, .z_m = z_m, .radio = &building->gateway_kind.radio, .enclosure = HR_ENCLOSURE_NONE};
}

/* Lower end first, then left, then further up in the drawing: sums then run
 * in the same order whichever end asked. */
bool link_in_order(const hr_end *a, const hr_end *b)
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
    switch (radio->model) {
    case HR_MODEL_ROUTES:
        /* a corridor all the way, and a second way as strong */
        return hr_propagation_log_distance_db(radio->frequency_mhz, 2.0, dist_m) -
               hr_propagation_corridor_gain_db(dist_m) - 10.0 * log10(2.0);
    case HR_MODEL_SITE_GENERAL:
        return link_site_spread_db(links, dist_m);
    default:
        return hr_propagation_log_distance_db(radio->frequency_mhz, radio->exponent, dist_m);
    }
}

void link_sum_items(const hr_item *items, size_t count, hr_link *link)
{
    for (size_t i = 0; i < count; i++) {
        const hr_item *item = &items[i];
        switch (item->kind) {
        case HR_ITEM_WALL:
        case HR_ITEM_OPENING:
        case HR_ITEM_SOLID:
            link->wall_loss_db += item->loss_db;
            link->walls += item->loss_db > 0.0;
            if (item->loss_db > 0.0 && !hr_propagation_in_range(HR_RANGE_SLAB_ANGLE_DEG, item->angle_deg)) {
                link->beyond |= 1U << HR_RANGE_SLAB_ANGLE_DEG;
            }
            break;
        case HR_ITEM_METAL:
            link->metal_loss_db += item->loss_db;
            break;
        case HR_ITEM_FLOOR:
            link->floor_loss_db += item->loss_db;
            link->slabs++;
            break;
        case HR_ITEM_BEND:
            link->bend_loss_db += item->loss_db;
            break;
        }
    }
}

hr_status link_cross_ray(const link_ray *ray, size_t keep)
{
    hr_status status = HR_OK;
    ray->work->item_count = keep;
    if (ray->length_m >= LINK_PLAN_MIN_M) {
        for (uint32_t storey = ray->storey0; status == HR_OK && storey <= ray->storey1; storey++) {
            const link_part part = link_part_of(ray, storey);
            status = link_cross_walls(ray, &part);
        }
        if (status == HR_OK) {
            status = link_cross_solids(ray);
        }
        if (status == HR_OK) {
            status = link_cross_metal(ray);
        }
    }
    return status == HR_OK ? link_cross_floors(ray) : status;
}

/* An antenna that stands more upright than not sends upright waves. */
static bool is_upright_dipole(const hr_end *end)
{
    return end->radio->pattern == HR_PATTERN_DIPOLE && end->radio->tilt_deg < 45.0;
}

link_ray link_ray_of(const hr_links *links, hr_link_work *work, const hr_end *low, const hr_end *high, hr_error *err)
{
    link_ray ray = {.links = links,
                    .work = work,
                    .line = {low->at, high->at},
                    .z0_m = low->z_m,
                    .z1_m = high->z_m,
                    .storey0 = hr_building_storey_at(links->building, low->z_m),
                    .storey1 = hr_building_storey_at(links->building, high->z_m),
                    .slabs = links->building->radio.model == HR_MODEL_ROUTES,
                    .err = err};
    ray.length_m = hr_geometry_length(ray.line);
    ray.space_m = hypot(ray.length_m, ray.z1_m - ray.z0_m);
    if (low->radio != NULL && high->radio != NULL) {
        ray.even = !is_upright_dipole(low) && !is_upright_dipole(high);
    }
    if (ray.space_m > 0.0) {
        ray.way[0] = (high->at.x - low->at.x) / ray.space_m;
        ray.way[1] = (high->at.y - low->at.y) / ray.space_m;
        ray.way[2] = (high->z_m - low->z_m) / ray.space_m;
    }
    return ray;
}

void link_note_limits(const hr_links *links, hr_link *link)
{
    const double freq_mhz = links->building->radio.frequency_mhz;
    if (!hr_propagation_in_range(HR_RANGE_LOG_DISTANCE_M, link->distance_m)) {
        link->beyond |= 1U << HR_RANGE_LOG_DISTANCE_M;
    }
    if (link->slabs > 0 && !hr_propagation_in_range(HR_RANGE_COST231_MHZ, freq_mhz)) {
        link->beyond |= 1U << HR_RANGE_COST231_MHZ;
    }
    if (!hr_propagation_in_range(HR_RANGE_COST231_FLOORS, link->slabs)) {
        link->beyond |= 1U << HR_RANGE_COST231_FLOORS;
    }
    if (link->saturation_db > 0.0 && !hr_propagation_in_range(HR_RANGE_SATURATION_WALLS, link->walls)) {
        link->beyond |= 1U << HR_RANGE_SATURATION_WALLS;
    }
}

static hr_status cross_multi_wall(const link_ray *ray, hr_link *link)
{
    const hr_links *links = ray->links;
    const hr_status status = link_cross_ray(ray, 0);
    if (status != HR_OK) {
        return status;
    }
    const hr_link_work *work = ray->work;
    link->spread_loss_db = hr_links_spread_loss_db(links, link->distance_m);
    link_sum_items(work->items, work->item_count, link);
    link->saturation_db = link_saturation_db(links, work->items, work->item_count, NULL);
    link->wall_loss_db -= link->saturation_db;
    link->path_loss_db = link->spread_loss_db + link->wall_loss_db + link->floor_loss_db + link->metal_loss_db;
    link_note_limits(links, link);
    return HR_OK;
}

hr_status link_cross(const hr_links *links, hr_link_work *work, const hr_end *a, const hr_end *b, bool carrying,
                     hr_link *link, hr_error *err)
{
    const hr_end *low = link_in_order(a, b) ? a : b;
    const hr_end *high = low == a ? b : a;
    const link_ray ray = link_ray_of(links, work, low, high, err);
    hr_link found = {.distance_m = ray.space_m, .unfolded_m = ray.space_m};
    hr_status status;
    switch (links->building->radio.model) {
    case HR_MODEL_ROUTES:
        status = link_cross_routes(&ray, carrying, &found);
        break;
    case HR_MODEL_SITE_GENERAL:
        status = link_cross_site(&ray, &found);
        break;
    default:
        status = cross_multi_wall(&ray, &found);
        break;
    }
    if (status != HR_OK) {
        return status;
    }
    if (found.bends == 2 && low != a) {
        const hr_point first = found.bend_at[0];
        found.bend_at[0] = found.bend_at[1];
        found.bend_at[1] = first;
    }
    *link = found;
    return HR_OK;
}

hr_status hr_links_cross(const hr_links *links, hr_link_work *work, const hr_end *a, const hr_end *b, hr_link *link,
                         hr_error *err)
{
    return link_cross(links, work, a, b, false, link, err);
}
