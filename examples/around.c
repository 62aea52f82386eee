/*
 * around.c - the walls of a storey as seen from one place: a map of what they
 * take off on the way to everywhere else, worked out anew fast enough to follow a
 * gateway that is being dragged over a plan.
 *
 *   cc around.c $(pkg-config --cflags --libs hallreach) -o around
 *   ./around tern-house.ini 1 12.5 8.0
 *
 * STOREY is its name, X and Y are metres on its plan. A digit stands for 5 dB:
 * 0 for less than 5 dB, 9 for 45 dB and more, a dot for what is off the floor.
 * Walls alone: no distance, doors, metal or slabs, for which there is
 * hr_coverage_field_new. Predicted, not surveyed.
 *
 * SPDX-License-Identifier: MIT
 */
#include <stdio.h>
#include <string.h>

#include <hr_building.h>
#include <hr_materials.h>

#define STEP_M 0.5
#define DB_A_DIGIT 5.0

static const hr_plan *plan_of(const hr_building *building, const char *storey)
{
    for (size_t i = 0; i < building->storey_count; i++) {
        if (strcmp(building->storeys[i].name, storey) == 0) {
            return building->storeys[i].plan;
        }
    }
    return NULL;
}

static void print_map(const hr_plan *plan, const hr_grid *grid, const double *loss_db)
{
    for (size_t row = 0; row < grid->rows; row++) {
        for (size_t column = 0; column < grid->columns; column++) {
            const double digit = loss_db[row * grid->columns + column] / DB_A_DIGIT;
            const bool on_floor = hr_plan_space_at(plan, hr_geometry_grid_place(grid, column, row)) != HR_PLAN_NONE;
            putchar(!on_floor ? '.' : digit < 9.0 ? '0' + (int)digit : '9');
        }
        putchar('\n');
    }
}

static hr_status show(const hr_building *building, const hr_plan *plan, hr_point from, hr_error *err)
{
    const hr_grid grid = {.first = {plan->box.x0 + 0.5 * STEP_M, plan->box.y0 + 0.5 * STEP_M},
                          .step = STEP_M,
                          .columns = (size_t)((plan->box.x1 - plan->box.x0) / STEP_M) + 1,
                          .rows = (size_t)((plan->box.y1 - plan->box.y0) / STEP_M) + 1};
    hr_segment *walls = hr_alloc(plan->wall_count, sizeof *walls);
    double *wall_db = hr_alloc(plan->wall_count, sizeof *wall_db);
    double *loss_db = hr_alloc(grid.columns * grid.rows, sizeof *loss_db);
    hr_status status = HR_OK;
    if (walls == NULL || wall_db == NULL || loss_db == NULL) {
        status = hr_fail_memory(err);
    }
    for (size_t i = 0; status == HR_OK && i < plan->wall_count; i++) {
        const double stated_db = hr_materials_loss_db(building->materials, plan->walls[i].material, HR_USE_WALL, NULL);
        walls[i] = plan->walls[i].line;
        wall_db[i] = stated_db > 0.0 ? stated_db : 0.0; /* NaN: layers without a stated loss, left out here */
    }
    if (status == HR_OK) { /* again for each place that the gateway is dragged to */
        status = hr_geometry_grid_sums(walls, wall_db, plan->wall_count, from, &grid, NULL, loss_db, err);
    }
    if (status == HR_OK) {
        print_map(plan, &grid, loss_db);
    }
    hr_free(walls);
    hr_free(wall_db);
    hr_free(loss_db);
    return status;
}

int main(int argc, char **argv)
{
    hr_point from;
    if (argc != 5 || !hr_number_parse(argv[3], &from.x) || !hr_number_parse(argv[4], &from.y)) {
        fprintf(stderr, "usage: around PROPERTY.ini STOREY X Y\n");
        return 2;
    }
    hr_error err = {.status = HR_OK};
    hr_building *building = NULL;
    hr_status status = hr_building_read(argv[1], NULL, NULL, &building, &err);
    const hr_plan *plan = status == HR_OK ? plan_of(building, argv[2]) : NULL;
    if (status == HR_OK && plan == NULL) {
        status = hr_fail(&err, HR_ERR_INPUT, argv[1], 0, "no storey %s", argv[2]);
    }
    if (status == HR_OK) {
        status = show(building, plan, from, &err);
    }
    if (status != HR_OK) {
        char text[HR_ERROR_FILE_MAX + HR_ERROR_TEXT_MAX + 32];
        hr_error_format(&err, text, sizeof text);
        fprintf(stderr, "around: %s\n", text);
    }
    hr_building_free(building);
    return hr_status_exit(status);
}
