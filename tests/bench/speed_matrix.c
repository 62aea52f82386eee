/*
 * speed_matrix.c - the loss matrix of a property, all spots by all devices,
 * beside the naive double loop that the tests of links compare with. The naive
 * one takes so long that each side does a sample of the pairs; the full matrix
 * is as many times the work on both.
 *
 * SPDX-License-Identifier: MIT
 */
#include "speed.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "hr_links.h"
#include "naive.h"

/* The naive reading knows neither slab outlines nor shafts that go through
 * several storeys, so over the whole property its sum is a little off; where
 * neither is in the way the tests of links hold the two equal. */
#define NAIVE_SLACK 0.03

/* Every so-many-th pair, on both sides. */
#define SAMPLE 997u

typedef struct matrix {
    hr_building *building;
    hr_links *links;
    hr_link_work work;
    naive_building *naive;
} matrix;

static void naive_bodies(const hr_building *b, const hr_body *bodies, size_t count, hr_material_use use, naive_box *out,
                         size_t *out_count)
{
    for (size_t i = 0; i < count; i++) {
        const hr_body *body = &bodies[i];
        const hr_box box = body->region.box;
        const double area = body->region.ring_count > 0 ? hr_geometry_area(&body->region) : 0.0;
        if (fabs(area - (box.x1 - box.x0) * (box.y1 - box.y0)) > 1e-6) {
            speed_fail("a body that is no rectangle: the naive reading has none");
        }
        const double loss_db =
            body->material == HR_PLAN_NONE ? 0.0 : hr_materials_loss_db(b->materials, body->material, use, NULL);
        out[(*out_count)++] =
            (naive_box){box.x0, box.y0, box.x1, box.y1, loss_db, fmax(body->low_m, 0.0), body->high_m};
    }
}

static void naive_lines(const hr_building *b, const hr_plan *plan, naive_storey *s)
{
    for (size_t i = 0; i < plan->wall_count; i++) {
        const hr_wall *w = &plan->walls[i];
        if (!w->is_gap) {
            s->walls[s->wall_count++] =
                (naive_line){w->line.a.x, w->line.a.y, w->line.b.x, w->line.b.y,
                             hr_materials_loss_db(b->materials, w->material, HR_USE_WALL, NULL), 0.0, 0.0};
        }
    }
    for (size_t i = 0; i < plan->opening_count; i++) {
        const hr_opening *o = &plan->openings[i];
        s->openings[s->opening_count++] =
            (naive_line){o->line.a.x, o->line.a.y, o->line.b.x, o->line.b.y,
                         hr_materials_loss_db(b->materials, o->material, HR_USE_OPENING, NULL), o->low_m, o->high_m};
    }
}

static naive_building *naive_of(const hr_building *b)
{
    naive_building *naive = calloc(1, sizeof *naive);
    if (naive == NULL || b->storey_count > NAIVE_STOREYS) {
        speed_fail("too large for the naive reading");
    }
    naive->freq_mhz = b->radio.frequency_mhz;
    naive->exponent = b->radio.exponent;
    naive->storey_count = b->storey_count;
    for (size_t i = 0; i < b->storey_count; i++) {
        naive_storey *s = &naive->storeys[i];
        const hr_plan *plan = b->storeys[i].plan;
        if (plan->wall_count + plan->opening_count > NAIVE_MAX) {
            speed_fail("too many walls for the naive reading");
        }
        s->floor = b->storeys[i].elevation_m;
        s->slab_loss = i == 0 ? 0.0 : hr_materials_loss_db(b->materials, b->storeys[i].slab_material, HR_USE_FLOOR, NULL);
        naive_lines(b, plan, s);
        naive_bodies(b, plan->solids, plan->solid_count, HR_USE_WALL, s->solids, &s->solid_count);
        naive_bodies(b, plan->metals, plan->metal_count, HR_USE_METAL, s->metals, &s->metal_count);
        naive_bodies(b, plan->voids, plan->void_count, HR_USE_WALL, s->voids, &s->void_count);
        for (size_t m = 0; m < s->metal_count; m++) {
            if (!isfinite(s->metals[m].high)) {
                s->metals[m].high = b->storeys[i].floor_to_floor_m;
            }
        }
    }
    return naive;
}

static double ours(void *user)
{
    matrix *m = user;
    const hr_building *b = m->building;
    double sum = 0.0;
    for (size_t i = 0; i < b->spot_count * b->device_count; i += SAMPLE) {
        const hr_spot *spot = &b->spots[i / b->device_count];
        const hr_end device = hr_links_device_end(b, (uint32_t)(i % b->device_count));
        const hr_end gateway = hr_links_gateway_end(b, spot->at, spot->z_m);
        hr_link link;
        hr_error err = {.status = HR_OK};
        if (hr_links_cross(m->links, &m->work, &device, &gateway, &link, &err) != HR_OK) {
            speed_fail(err.text);
        }
        sum += link.path_loss_db;
    }
    return sum;
}

static double naive_loop(void *user)
{
    const matrix *m = user;
    const hr_building *b = m->building;
    double sum = 0.0;
    for (size_t i = 0; i < b->spot_count * b->device_count; i += SAMPLE) {
        const hr_spot *spot = &b->spots[i / b->device_count];
        const hr_device *device = &b->devices[i % b->device_count];
        sum += naive_path_loss(m->naive, device->at.x, device->at.y, device->z_m, spot->at.x, spot->at.y, spot->z_m);
    }
    return sum;
}

void speed_matrix(const char *property)
{
    matrix m = {0};
    hr_error err = {.status = HR_OK};
    if (hr_building_read(property, NULL, NULL, &m.building, &err) != HR_OK ||
        hr_links_new(m.building, &m.links, &err) != HR_OK) {
        speed_fail(err.text);
    }
    m.naive = naive_of(m.building);
    speed_row("matrix", "naive double loop of the tests", 8.0, NAIVE_SLACK, ours, naive_loop, &m);
    free(m.naive);
    hr_links_work_free(&m.work);
    hr_links_free(m.links);
    hr_building_free(m.building);
}
