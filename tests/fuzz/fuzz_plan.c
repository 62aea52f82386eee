/*
 * fuzz_plan.c - whole plans from bytes: whatever reads as a drawing becomes a
 * valid plan or a clear error, the same both times.
 *
 * SPDX-License-Identifier: MIT
 */
#include <math.h>
#include <string.h>

#include "fuzz.h"
#include "hr_plan.h"

static bool is_point(hr_point p)
{
    return isfinite(p.x) && isfinite(p.y);
}

static bool is_line(hr_segment s)
{
    return is_point(s.a) && is_point(s.b);
}

static void check_region(const hr_region *region)
{
    REQUIRE(region->ring_count > 0);
    for (size_t k = 0; k < region->ring_count; k++) {
        REQUIRE(region->rings[k].count >= 3);
        for (size_t i = 0; i < region->rings[k].count; i++) {
            REQUIRE(is_point(region->rings[k].points[i]));
        }
    }
    REQUIRE(region->box.x0 <= region->box.x1 && region->box.y0 <= region->box.y1);
}

static void check_bodies(const hr_body *bodies, size_t count, bool material, size_t materials)
{
    for (size_t i = 0; i < count; i++) {
        REQUIRE(material ? bodies[i].material < materials : bodies[i].material == HR_PLAN_NONE);
        REQUIRE(bodies[i].low_m <= bodies[i].high_m);
        REQUIRE((bodies[i].region.ring_count > 0) != (bodies[i].line_count > 0));
        for (size_t k = 0; k < bodies[i].line_count; k++) {
            REQUIRE(is_line(bodies[i].lines[k]));
        }
        if (bodies[i].region.ring_count > 0) {
            check_region(&bodies[i].region);
        }
    }
}

static void check_walls(const hr_plan *plan, size_t materials)
{
    for (size_t i = 0; i < plan->wall_count; i++) {
        REQUIRE(is_line(plan->walls[i].line) && hr_geometry_length(plan->walls[i].line) > 0.0);
        REQUIRE(plan->walls[i].material < materials);
    }
    for (size_t i = 0; i < plan->opening_count; i++) {
        const hr_opening *o = &plan->openings[i];
        REQUIRE(is_line(o->line) && o->material < materials && o->low_m < o->high_m);
    }
    for (size_t i = 0; i < plan->on_wall_count; i++) {
        const hr_opening_on_wall *on = &plan->on_walls[i], *before = on - (i > 0);
        REQUIRE(on->wall < plan->wall_count && on->opening < plan->opening_count);
        REQUIRE(on->span.from >= 0.0 && on->span.from <= on->span.to && on->span.to <= 1.0);
        REQUIRE(before->wall < on->wall || (before->wall == on->wall && before->span.from <= on->span.from));
        REQUIRE(plan->openings[on->opening].on_wall || plan->openings[on->opening].fills_gap);
    }
    REQUIRE(isfinite(plan->wall_length_m) && plan->wall_length_m >= 0.0);
}

static void check_spaces(const hr_plan *plan)
{
    size_t rooms = 0;
    for (size_t i = 0; i < plan->space_count; i++) {
        const hr_space *space = &plan->spaces[i];
        check_region(&space->region);
        REQUIRE(is_point(space->innermost) && space->area_m2 > 0.0);
        REQUIRE(space->entry_door == HR_PLAN_NONE ||
                (space->entry_door < plan->opening_count && plan->openings[space->entry_door].is_door));
        REQUIRE(space->main_window == HR_PLAN_NONE ||
                (space->main_window < plan->opening_count && !plan->openings[space->main_window].is_door));
        if (space->kind == HR_SPACE_ROOM) {
            rooms++;
            REQUIRE(space->name != NULL && space->name[0] != '\0');
            REQUIRE(is_point(hr_plan_wall_control_place(plan, space)) && is_point(hr_plan_unit_place(plan, space)));
        } else {
            REQUIRE(space->entry_door == HR_PLAN_NONE && space->main_window == HR_PLAN_NONE);
        }
    }
    REQUIRE(rooms == plan->room_count);
}

static void check_marks(const hr_plan *plan, const hr_mark *marks, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        REQUIRE(is_point(marks[i].at));
        REQUIRE(marks[i].room == HR_PLAN_NONE ||
                (marks[i].room < plan->space_count && plan->spaces[marks[i].room].kind == HR_SPACE_ROOM));
    }
}

static void check_spots(const hr_plan *plan)
{
    hr_point *spots = NULL;
    size_t count = 0;
    hr_error err = {0};
    if (hr_plan_generate_spots(plan, 2.0, 0.5, &spots, &count, &err) != HR_OK) {
        REQUIRE(err.text[0] != '\0' && spots == NULL);
        return;
    }
    for (size_t i = 0; i < count; i++) {
        REQUIRE(is_point(spots[i]));
        REQUIRE(i == 0 || spots[i - 1].y < spots[i].y || (spots[i - 1].y == spots[i].y && spots[i - 1].x < spots[i].x));
    }
    hr_free(spots);
}

static void check_plan(const hr_plan *plan, const hr_materials *materials)
{
    const size_t count = hr_materials_count(materials);
    REQUIRE(plan->file != NULL && isfinite(plan->metres_per_unit) && is_point(plan->origin_units));
    REQUIRE(plan->box.x0 <= plan->box.x1 && plan->box.y0 <= plan->box.y1);
    check_walls(plan, count);
    check_bodies(plan->solids, plan->solid_count, true, count);
    check_bodies(plan->metals, plan->metal_count, true, count);
    check_bodies(plan->slabs, plan->slab_count, false, count);
    check_bodies(plan->voids, plan->void_count, false, count);
    check_bodies(plan->keep_outs, plan->keep_out_count, false, count);
    check_spaces(plan);
    check_marks(plan, plan->devices, plan->device_count);
    check_marks(plan, plan->spots, plan->spot_count);
    check_marks(plan, plan->gateways, plan->gateway_count);
    check_marks(plan, plan->networks, plan->network_count);
    for (size_t i = 0; i < plan->ignored_count; i++) {
        const hr_ignored *row = &plan->ignored[i];
        REQUIRE(row->name != NULL && row->reason != NULL && row->count > 0 && isfinite(row->length_m));
    }
    check_spots(plan);
}

/* The ways a property file may have a drawing read; the size picks one, so that blanks at the end change it. */
static hr_plan_options options_of(size_t size)
{
    static const hr_plan_map maps[2] = {
        {.select = HR_MAP_STROKE, .stroke = {true, 0, 0, 0}, .target = "walls: plasterboard"},
        {.select = HR_MAP_CLASS, .text = "a", .target = "doors"}};
    const size_t pick = size % 128;
    hr_plan_options o = {.lenient = (pick & 1) != 0};
    o.metres_per_unit = (pick & 2) != 0 ? 0.5 : 0.0;
    o.drawn_at = (pick & 4) != 0 ? 100.0 : 0.0;
    o.rooms_are_walls = (pick & 8) != 0 ? "brick-200" : NULL;
    o.wall_pairing_m = (pick & 16) != 0 ? 0.3 : 0.0;
    o.maps = maps;
    o.keep_left = (pick & 2) != 0;
    o.map_count = (pick & 32) != 0 ? 2 : 0;
    o.layer = (pick & 64) != 0 ? "L" : NULL;
    return o;
}

/* What a drawing is made of needs no plan: it works on whatever could be read at all. */
static void look_through(hr_svg_drawing *drawing, const char *layer, const hr_materials *materials)
{
    hr_plan_survey *survey = NULL;
    hr_error err = {0};
    const hr_status status = hr_plan_look(drawing, layer, materials, &survey, &err);
    REQUIRE(status == HR_OK || status == HR_ERR_LIMIT);
    for (size_t i = 0; survey != NULL && i < survey->seen_count; i++) {
        const hr_plan_seen *seen = &survey->seen[i];
        REQUIRE((seen->name == NULL) == (seen->select == HR_MAP_STROKE));
        REQUIRE(isfinite(seen->length) && seen->long_length <= seen->length && seen->closed <= seen->shapes);
        REQUIRE(!seen->chosen || seen->target != NULL);
    }
    hr_plan_survey_free(survey);
}

static hr_status read_plan(const uint8_t *data, size_t size, const hr_materials *materials, size_t *walls)
{
    hr_svg_drawing *drawing = NULL;
    hr_plan *plan = NULL;
    hr_error err = {0};
    hr_notes *notes = hr_notes_new();
    REQUIRE(notes != NULL);
    const hr_plan_options options = options_of(size);
    hr_status status = hr_svg_read("fuzz", (const char *)data, size, notes, &drawing, &err);
    if (status == HR_OK) {
        status = hr_plan_from_drawing(drawing, &options, materials, notes, &plan, &err);
        REQUIRE((status == HR_OK) == (plan != NULL));
    }
    REQUIRE(status == HR_OK || (err.status == status && err.text[0] != '\0'));
    REQUIRE(status != HR_ERR_ARGUMENT);
    if (drawing != NULL) {
        look_through(drawing, options.layer, materials);
    }
    if (plan != NULL) {
        check_plan(plan, materials);
        *walls = plan->wall_count;
    }
    hr_plan_free(plan);
    hr_svg_free(drawing);
    hr_notes_free(notes);
    return status;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static hr_materials *materials;
    if (materials == NULL) {
        REQUIRE(hr_materials_new(915.0, &materials, NULL) == HR_OK);
    }
    if (size > 1 << 16) {
        return 0;
    }
    size_t walls = 0, again = 0;
    const hr_status status = read_plan(data, size, materials, &walls);
    REQUIRE(read_plan(data, size, materials, &again) == status && again == walls);
    return 0;
}
