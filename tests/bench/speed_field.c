/*
 * speed_field.c - the link margins of one gateway over one storey, a point
 * each 0.25 m, beside GEOS asked for the walls towards each of the same points:
 * crossings and their losses only, without doors' heights, metal or budget. A second
 * row has our index do no more than that either.
 *
 * SPDX-License-Identifier: MIT
 */
#include "speed.h"

#include <math.h>
#include <stdint.h>

#ifdef HAVE_GEOS
#include "speed_geos.h"
#endif

#include "hr_coverage.h"

#define STEP_M 0.25
#define STOREY 1u
#define TARGET 30.0
#define MET_MAX 4096

typedef struct field_work {
    hr_building *building;
    hr_links *links;
    hr_site site;
    hr_coverage_field *points; /* where the margins are asked for */
#ifdef HAVE_GEOS
    GEOSSTRtree *tree;
    hr_index *index;
    double *wall_db; /* per wall */
    hr_segment ray;
    double loss_db;
#endif
} field_work;

#ifdef HAVE_GEOS
/* Both sides come to the number of points they had an answer for. */
static double ours(void *user)
{
    const field_work *w = user;
    hr_coverage_field *field = NULL;
    hr_error err = {.status = HR_OK};
    double count = 0.0;
    if (hr_coverage_field_new(w->building, w->links, STOREY, 0, &w->site, 1, STEP_M, &field, &err) != HR_OK) {
        speed_fail(err.text);
    }
    for (size_t i = 0; i < field->columns * field->rows; i++) {
        count += isnan(field->margin_db[i]) ? 0.0 : 1.0;
    }
    hr_coverage_field_free(field);
    return count;
}

static void near_ray(void *item, void *user)
{
    field_work *w = user;
    const hr_wall *wall = item;
    if (hr_geometry_cross(w->ray, wall->line, NULL, NULL)) {
        w->loss_db += w->wall_db[wall - w->building->storeys[STOREY].plan->walls];
    }
}

static double loss_by_tree(field_work *w)
{
    w->loss_db = 0.0;
    GEOSGeometry *line = speed_geos_line(w->ray);
    GEOSSTRtree_query(w->tree, line, near_ray, w);
    GEOSGeom_destroy(line);
    return w->loss_db;
}

static double loss_by_index(field_work *w)
{
    uint32_t ids[MET_MAX];
    const size_t count = hr_geometry_index_crossed(w->index, w->ray, ids, MET_MAX);
    double loss_db = 0.0;
    for (size_t i = 0; i < count; i++) {
        loss_db += w->wall_db[ids[i]];
    }
    return loss_db;
}

/* Of all points that the field has an answer for: their number, or the sum of their losses. */
static double each_point(field_work *w, double (*loss)(field_work *w), bool counted)
{
    const hr_coverage_field *f = w->points;
    double sum = 0.0;
    for (size_t i = 0; i < f->columns * f->rows; i++) {
        if (!isnan(f->margin_db[i])) {
            w->ray = (hr_segment){
                w->site.at,
                {f->first.x + f->step_m * (double)(i % f->columns), f->first.y + f->step_m * (double)(i / f->columns)}};
            const double loss_db = loss(w);
            sum += counted ? (double)(loss_db >= 0.0) : loss_db;
        }
    }
    return sum;
}

static double by_tree_counted(void *user)
{
    return each_point(user, loss_by_tree, true);
}

static double by_tree(void *user)
{
    return each_point(user, loss_by_tree, false);
}

static double by_index(void *user)
{
    return each_point(user, loss_by_index, false);
}

static void measure(field_work *w)
{
    hr_error err = {.status = HR_OK};
    const hr_plan *plan = w->building->storeys[STOREY].plan;
    initGEOS(NULL, NULL);
    w->tree = GEOSSTRtree_create(10);
    hr_segment *lines = hr_alloc(plan->wall_count, sizeof *lines);
    w->wall_db = hr_alloc(plan->wall_count, sizeof *w->wall_db);
    if (lines == NULL || w->wall_db == NULL) {
        speed_fail("no memory");
    }
    for (size_t i = 0; i < plan->wall_count; i++) {
        const hr_wall *wall = &plan->walls[i];
        lines[i] = wall->line;
        w->wall_db[i] = hr_materials_loss_db(w->building->materials, wall->material, HR_USE_WALL, NULL);
        GEOSSTRtree_insert(w->tree, speed_geos_line(wall->line), &plan->walls[i]);
    }
    if (hr_geometry_index_new(lines, plan->wall_count, &w->index, &err) != HR_OK) {
        speed_fail(err.text);
    }
    hr_free(lines);
    if (hr_coverage_field_new(w->building, w->links, STOREY, 0, &w->site, 1, STEP_M, &w->points, &err) != HR_OK) {
        speed_fail(err.text);
    }
    speed_row("field", "GEOS STRtree", TARGET, 0.0, ours, by_tree_counted, w);
    speed_row("field-crossings", "GEOS STRtree", 1.0, 1e-9, by_index, by_tree, w);
    hr_coverage_field_free(w->points);
    GEOSSTRtree_destroy(w->tree);
    hr_geometry_index_free(w->index);
    hr_free(w->wall_db);
}
#else
static void measure(field_work *w)
{
    (void)w;
    speed_missing("field", "libgeos-dev", TARGET);
    speed_missing("field-crossings", "libgeos-dev", 1.0);
}
#endif

void speed_field(const char *property)
{
    field_work w = {0};
    hr_error err = {.status = HR_OK};
    if (hr_building_read(property, NULL, NULL, &w.building, &err) != HR_OK ||
        hr_links_new(w.building, &w.links, &err) != HR_OK) {
        speed_fail(err.text);
    }
    const hr_building *b = w.building;
    if (b->storey_count <= STOREY) {
        speed_fail("a property of two storeys or more was expected");
    }
    for (size_t i = 0; i < b->spot_count; i++) {
        if (b->spots[i].storey == STOREY) {
            w.site = (hr_site){b->spots[i].at, b->spots[i].z_m, STOREY};
        }
    }
    measure(&w);
    hr_links_free(w.links);
    hr_building_free(w.building);
}
