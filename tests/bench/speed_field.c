/*
 * speed_field.c - what the walls of one storey take off on the way from one
 * gateway to each place of its floor, a point each 0.25 m, beside GEOS asked for
 * the walls towards each of the same points. A second row, without an aim, has us
 * work out whole link margins there, with doors' heights, joints, metal and
 * budget, beside the same crossings by GEOS.
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
/* So many fields in one go: one of ours is over before the clock has ticked often. */
#define REPEATS 20

typedef struct field_work {
    hr_building *building;
    hr_links *links;
    hr_site site;
#ifdef HAVE_GEOS
    hr_grid grid;
    uint8_t *wanted; /* where a link margin is asked for */
    double *sums_db;
    GEOSSTRtree *tree;
    hr_segment *walls;
    double *wall_db;
    size_t wall_count;
    hr_segment ray;
    double loss_db;
#endif
} field_work;

#ifdef HAVE_GEOS
static double whole_margins(void *user)
{
    const field_work *w = user;
    hr_coverage_field *field = NULL;
    hr_error err = {.status = HR_OK};
    double count = 0.0;
    if (hr_coverage_field_new(w->building, w->links, STOREY, 0, &w->site, 1, STEP_M, &field, &err) != HR_OK) {
        speed_fail(err.text);
    }
    for (size_t i = 0; i < field->grid.columns * field->grid.rows; i++) {
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

/* Of all wanted places: their losses, in w->sums_db. */
static double each_by_tree(field_work *w)
{
    double count = 0.0;
    for (size_t i = 0; i < w->grid.columns * w->grid.rows; i++) {
        if (w->wanted[i] != 0) {
            w->ray =
                (hr_segment){w->site.at, hr_geometry_grid_place(&w->grid, i % w->grid.columns, i / w->grid.columns)};
            w->sums_db[i] = loss_by_tree(w);
            count += 1.0;
        }
    }
    return count;
}

static double count_by_tree(void *user)
{
    return each_by_tree(user);
}

static double sum_of(const field_work *w)
{
    double sum = 0.0;
    for (size_t i = 0; i < w->grid.columns * w->grid.rows; i++) {
        sum += w->sums_db[i];
    }
    return sum;
}

static double by_tree(void *user)
{
    field_work *w = user;
    for (int i = 0; i < REPEATS; i++) {
        (void)each_by_tree(w);
    }
    return sum_of(w);
}

static double at_once(void *user)
{
    field_work *w = user;
    hr_error err = {.status = HR_OK};
    for (int i = 0; i < REPEATS; i++) {
        if (hr_geometry_grid_sums(w->walls, w->wall_db, w->wall_count, w->site.at, &w->grid, w->wanted, w->sums_db,
                                  &err) != HR_OK) {
            speed_fail(err.text);
        }
    }
    return sum_of(w);
}

/* The places where a margin is asked for. */
static void lay_grid(field_work *w)
{
    hr_coverage_field *field = NULL;
    hr_error err = {.status = HR_OK};
    if (hr_coverage_field_new(w->building, w->links, STOREY, 0, &w->site, 1, STEP_M, &field, &err) != HR_OK) {
        speed_fail(err.text);
    }
    w->grid = field->grid;
    const size_t places = field->grid.columns * field->grid.rows;
    w->wanted = hr_alloc(places, sizeof *w->wanted);
    w->sums_db = hr_alloc_zero(places, sizeof *w->sums_db);
    if (w->wanted == NULL || w->sums_db == NULL) {
        speed_fail("no memory");
    }
    for (size_t i = 0; i < places; i++) {
        w->wanted[i] = (uint8_t)(isnan(field->margin_db[i]) ? 0 : 1);
    }
    hr_coverage_field_free(field);
}

static void measure(field_work *w)
{
    const hr_plan *plan = w->building->storeys[STOREY].plan;
    initGEOS(NULL, NULL);
    lay_grid(w);
    w->tree = GEOSSTRtree_create(10);
    w->wall_count = plan->wall_count;
    w->walls = hr_alloc(plan->wall_count, sizeof *w->walls);
    w->wall_db = hr_alloc(plan->wall_count, sizeof *w->wall_db);
    if (w->walls == NULL || w->wall_db == NULL) {
        speed_fail("no memory");
    }
    for (size_t i = 0; i < plan->wall_count; i++) {
        const hr_wall *wall = &plan->walls[i];
        w->walls[i] = wall->line;
        w->wall_db[i] = hr_materials_loss_db(w->building->materials, wall->material, HR_USE_WALL, NULL);
        GEOSSTRtree_insert(w->tree, speed_geos_line(wall->line), &plan->walls[i]);
    }
    speed_row("field", "GEOS STRtree", TARGET, 1e-12, at_once, by_tree, w);
    speed_row("field-margin", "GEOS STRtree", 0.0, 0.0, whole_margins, count_by_tree, w);
    GEOSSTRtree_destroy(w->tree);
    hr_free(w->walls);
    hr_free(w->wall_db);
    hr_free(w->wanted);
    hr_free(w->sums_db);
}
#else
static void measure(field_work *w)
{
    (void)w;
    speed_missing("field", "libgeos-dev", TARGET);
    speed_missing("field-margin", "libgeos-dev", 0.0);
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
