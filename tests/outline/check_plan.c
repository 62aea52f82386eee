/*
 * check_plan.c - what must hold of every plan made from numbers, measured on
 * the plan as it reads back, not on what the maker meant.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_tests.h"

#include <stdlib.h>

#define CROSSINGS_MAX 4096

const char *const shape_words[6] = {"single-sided", "double-loaded", "L", "U", "T", "courtyard"};

hr_outline_request ask(const char *shape, long rooms)
{
    hr_outline_request request;
    hr_outline_defaults(&request);
    assert_int_equal(hr_outline_set(&request, "shape", shape, NULL), HR_OK);
    request.rooms_per_storey = rooms;
    return request;
}

hr_plan *read_plan(const hr_outline *outline, size_t plan, const hr_materials *materials)
{
    const hr_outline_plan *p = &outline->plans[plan];
    hr_error err = {.status = HR_OK};
    hr_notes *notes = hr_notes_new();
    hr_svg_drawing *drawing = NULL;
    hr_plan *read = NULL;
    const hr_plan_options options = {0};
    if (hr_svg_read(p->file, p->svg.bytes, p->svg.len, notes, &drawing, &err) != HR_OK ||
        hr_plan_from_drawing(drawing, &options, materials, notes, &read, &err) != HR_OK) {
        fail_msg("%s:%d: %s", err.file, err.line, err.text);
    }
    if (hr_notes_count(notes) > 0) {
        fail_msg("read back with a warning: %s", hr_notes_text(notes, 0));
    }
    hr_svg_free(drawing);
    hr_notes_free(notes);
    return read;
}

static int compare_doubles(const void *left, const void *right)
{
    const double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

/* Where the line y crosses a space; even-odd pairs, ascending. */
static size_t crossings(const hr_space *space, double y, double *xs, size_t count)
{
    const size_t first = count;
    for (size_t r = 0; r < space->region.ring_count; r++) {
        const hr_ring *ring = &space->region.rings[r];
        for (size_t i = 0; i < ring->count; i++) {
            const hr_point a = ring->points[i], b = ring->points[(i + 1) % ring->count];
            if ((a.y < y) != (b.y < y)) {
                assert_true(count < CROSSINGS_MAX);
                xs[count++] = a.x; /* all edges that cross are upright */
                check_near(b.x, a.x, 1e-9);
            }
        }
    }
    qsort(xs + first, count - first, sizeof *xs, compare_doubles);
    return count;
}

typedef struct interval {
    double from, to;
} interval;

static int compare_intervals(const void *left, const void *right)
{
    const interval *a = left, *b = right;
    return (a->from > b->from) - (a->from < b->from);
}

/* Length that is covered more than once, and the sum of all lengths, along y. */
static void measure_row(const hr_plan *plan, double y, double *shared, double *sum)
{
    static double xs[CROSSINGS_MAX];
    static interval spans[CROSSINGS_MAX];
    size_t count = 0, spans_count = 0;
    for (size_t i = 0; i < plan->space_count; i++) {
        if (plan->spaces[i].region.box.y0 < y && plan->spaces[i].region.box.y1 > y) {
            const size_t first = count;
            count = crossings(&plan->spaces[i], y, xs, count);
            for (size_t k = first; k + 1 < count; k += 2) {
                spans[spans_count++] = (interval){xs[k], xs[k + 1]};
            }
        }
    }
    qsort(spans, spans_count, sizeof *spans, compare_intervals);
    double reach = -1e9;
    *shared = *sum = 0.0;
    for (size_t i = 0; i < spans_count; i++) {
        *sum += spans[i].to - spans[i].from;
        *shared += fmax(0.0, fmin(reach, spans[i].to) - spans[i].from);
        reach = fmax(reach, spans[i].to);
    }
}

void measure_spaces(const hr_plan *plan, double *shared_m2, double *sum_m2)
{
    size_t count = 0, cap = 0;
    double *ys = NULL;
    for (size_t i = 0; i < plan->space_count; i++) {
        for (size_t r = 0; r < plan->spaces[i].region.ring_count; r++) {
            const hr_ring *ring = &plan->spaces[i].region.rings[r];
            for (size_t k = 0; k < ring->count; k++) {
                assert_true(HR_RESERVE(ys, cap, count + 1));
                ys[count++] = ring->points[k].y;
            }
        }
    }
    qsort(ys, count, sizeof *ys, compare_doubles);
    *shared_m2 = *sum_m2 = 0.0;
    for (size_t i = 1; i < count; i++) {
        if (ys[i] - ys[i - 1] > 1e-9) {
            double shared, sum;
            measure_row(plan, 0.5 * (ys[i] + ys[i - 1]), &shared, &sum);
            *shared_m2 += shared * (ys[i] - ys[i - 1]);
            *sum_m2 += sum * (ys[i] - ys[i - 1]);
        }
    }
    hr_free(ys);
}

/* ---- checks ---- */

static double to_corridor(const hr_plan *plan, hr_point p)
{
    double least = 1e9;
    for (size_t i = 0; i < plan->space_count; i++) {
        if (plan->spaces[i].kind == HR_SPACE_CORRIDOR) {
            const hr_region *region = &plan->spaces[i].region;
            least = fmin(least, hr_geometry_inside(region, p, 0.0) ? 0.0 : hr_geometry_to_outline(region, p, NULL));
        }
    }
    return least;
}

static void check_room(const hr_plan *plan, const hr_space *room, const char *what)
{
    if (room->entry_door == HR_PLAN_NONE || room->main_window == HR_PLAN_NONE) {
        fail_msg("%s: room %s has no %s", what, room->name, room->entry_door == HR_PLAN_NONE ? "door" : "window");
    }
    const hr_opening *door = &plan->openings[room->entry_door];
    const hr_point middle = hr_geometry_at(door->line, 0.5);
    /* half a wall between the door's line and either floor */
    if (!door->is_door || to_corridor(plan, middle) > 0.121 ||
        hr_geometry_to_outline(&room->region, middle, NULL) > 0.121) {
        fail_msg("%s: the door of room %s is not on a corridor", what, room->name);
    }
    check_near(hr_geometry_length(door->line), 0.9, 1e-6);
    const hr_point wall = hr_plan_wall_control_place(plan, room), unit = hr_plan_unit_place(plan, room);
    assert_true(hr_geometry_inside(&room->region, wall, 0.0));
    assert_true(hr_geometry_inside(&room->region, unit, 0.0));
    assert_true(hr_geometry_distance(wall, middle) < 1.2); /* by the door, not where all else fails */
    assert_true(hr_geometry_distance(wall, unit) > 2.0);
}

/* Rooms keep apart even with their baths and the walls round them: their boxes do. */
static void check_boxes(const hr_plan *plan, const char *what)
{
    for (size_t i = 0; i < plan->space_count; i++) {
        for (size_t k = i + 1; k < plan->space_count; k++) {
            const hr_space *a = &plan->spaces[i], *b = &plan->spaces[k];
            if (a->kind == HR_SPACE_ROOM && b->kind == HR_SPACE_ROOM &&
                hr_geometry_boxes_touch(a->region.box, b->region.box, 0.0)) {
                fail_msg("%s: rooms %s and %s overlap", what, a->name, b->name);
            }
        }
    }
}

static void check_numbers(const hr_plan *plan, const hr_outline_request *request)
{
    hr_names *names = hr_names_new();
    for (size_t i = 0; i < plan->space_count; i++) {
        if (plan->spaces[i].kind == HR_SPACE_ROOM) {
            long number;
            assert_true(hr_integer_parse(plan->spaces[i].name, 1, 999, &number));
            assert_true(hr_names_find(names, plan->spaces[i].name) == SIZE_MAX);
            assert_true(hr_names_add(names, plan->spaces[i].name, i));
            if (request->numbering == HR_OUTLINE_AROUND) {
                assert_in_range(number, request->first_number, request->first_number + request->rooms_per_storey - 1);
            }
        }
    }
    hr_names_free(names);
}

void check_plan(const hr_plan *plan, const hr_outline_request *request, const char *what)
{
    if (plan->room_count != (size_t)request->rooms_per_storey) {
        fail_msg("%s: %zu rooms, %ld were asked for", what, plan->room_count, request->rooms_per_storey);
    }
    check_near(plan->metres_per_unit, 0.01, 1e-12);
    assert_true(plan->has_origin);
    assert_int_equal(plan->merged_walls, 0); /* no wall is drawn twice */
    for (size_t i = 0; i < plan->opening_count; i++) {
        if (!plan->openings[i].fills_gap) {
            fail_msg("%s: an opening of line %d fills no gap", what, plan->openings[i].source_line);
        }
    }
    for (size_t i = 0; i < plan->space_count; i++) {
        if (plan->spaces[i].kind == HR_SPACE_ROOM) {
            check_room(plan, &plan->spaces[i], what);
        }
    }
    for (size_t i = 0; i < plan->network_count; i++) {
        const uint32_t space = hr_plan_space_at(plan, plan->networks[i].at);
        assert_true(space != HR_PLAN_NONE);
        assert_string_equal(plan->spaces[space].name, "network closet");
    }
    check_boxes(plan, what);
    check_numbers(plan, request);
    double shared_m2, sum_m2;
    measure_spaces(plan, &shared_m2, &sum_m2);
    if (!(shared_m2 < 1e-6)) {
        fail_msg("%s: %g square metres of floor are drawn twice", what, shared_m2);
    }
}
