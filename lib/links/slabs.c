/*
 * slabs.c - walls by the slab family (ITU-R P.2040) at the angle the ray
 * meets them, from curves computed once per material. Materials without a
 * stack are used as they stand, at any angle.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_priv.h"

#include <math.h>

static const double degrees_per_radian = 180.0 / 3.14159265358979323846;

/* Share of power across the plane of incidence for antennas of any polarisation. */
static const double even_te_share = 0.5;

static hr_status make_curve(hr_links *links, uint32_t material, hr_error *err)
{
    const hr_material *m = hr_materials_get(links->building->materials, material);
    if (m == NULL || m->layers == NULL || links->curves[material] != NULL) {
        return HR_OK;
    }
    hr_layer layers[HR_LAYERS_MAX];
    size_t count = 0;
    const double freq_mhz = links->building->radio.frequency_mhz;
    const hr_status status = hr_materials_layers_parse(m->layers, freq_mhz, layers, &count, err);
    if (status != HR_OK) {
        return status;
    }
    links->curves[material] = hr_alloc(1, sizeof **links->curves);
    if (links->curves[material] == NULL) {
        return hr_fail_memory(err);
    }
    hr_propagation_slab_curve(layers, count, freq_mhz, m->framed, links->curves[material]);
    return HR_OK;
}

hr_status link_prepare_curves(hr_links *links, hr_error *err)
{
    const hr_building *building = links->building;
    if (building->radio.model != HR_MODEL_ROUTES) {
        return HR_OK;
    }
    links->curves = hr_alloc_zero(hr_materials_count(building->materials), sizeof *links->curves);
    hr_status status = links->curves == NULL ? hr_fail_memory(err) : HR_OK;
    for (size_t p = 0; p < building->plan_count; p++) {
        const hr_plan *plan = building->plans[p];
        for (size_t i = 0; status == HR_OK && i < plan->wall_count; i++) {
            status = make_curve(links, plan->walls[i].material, err);
        }
        for (size_t i = 0; status == HR_OK && i < plan->solid_count; i++) {
            status = make_curve(links, plan->solids[i].material, err);
        }
        for (size_t i = 0; status == HR_OK && i < plan->opening_count; i++) {
            status = make_curve(links, plan->openings[i].material, err);
        }
    }
    return status;
}

void link_free_curves(hr_links *links)
{
    if (links->curves == NULL) {
        return;
    }
    for (size_t i = 0; i < hr_materials_count(links->building->materials); i++) {
        hr_free(links->curves[i]);
    }
    hr_free(links->curves);
}

double link_wall_db(const link_ray *ray, hr_material_use use, uint32_t material, hr_segment line, double *angle_deg)
{
    const hr_slab_curve *curve = ray->slabs ? ray->links->curves[material] : NULL;
    const double length_m = hr_geometry_length(line);
    *angle_deg = 0.0;
    if (curve == NULL || !(length_m > 0.0)) {
        return ray->links->loss_db[use][material];
    }
    const double nx = -(line.b.y - line.a.y) / length_m, ny = (line.b.x - line.a.x) / length_m;
    const double cosine = fmin(fabs(nx * ray->way[0] + ny * ray->way[1]), 1.0);
    const double angle_rad = acos(cosine);
    const double te_share =
        ray->even ? even_te_share : hr_propagation_te_share(nx, ny, ray->way[0], ray->way[1], ray->way[2]);
    *angle_deg = angle_rad * degrees_per_radian;
    return hr_propagation_slab_curve_db(curve, angle_rad, te_share);
}

double link_solid_db(const link_ray *ray, const hr_body *body, hr_span stretch, double *angle_deg)
{
    if (!ray->slabs || ray->links->curves[body->material] == NULL) {
        *angle_deg = 0.0;
        return ray->links->loss_db[HR_USE_WALL][body->material];
    }
    const hr_point face = hr_geometry_at(ray->line, stretch.from > 0.0 ? stretch.from : stretch.to);
    hr_segment nearest = {{0.0, 0.0}, {0.0, 0.0}};
    double least = (double)INFINITY;
    for (size_t r = 0; r < body->region.ring_count; r++) {
        const hr_ring *ring = &body->region.rings[r];
        for (size_t i = 0; i < ring->count; i++) {
            const hr_segment edge = {ring->points[i], ring->points[(i + 1) % ring->count]};
            const double gap = hr_geometry_to_segment(face, edge, NULL);
            if (gap < least) {
                least = gap;
                nearest = edge;
            }
        }
    }
    return link_wall_db(ray, HR_USE_WALL, body->material, nearest, angle_deg);
}
