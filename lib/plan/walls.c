/*
 * walls.c - strokes of walls layers, cut into straight pieces.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <math.h>

hr_status plan_add_wall(plan_reader *r, const hr_wall *wall)
{
    hr_plan *plan = r->plan;
    if (plan->wall_count >= HR_MAX_WALLS) {
        return hr_fail(r->err, HR_ERR_LIMIT, r->file, wall->source_line,
                       "plan has more than %zu straight pieces of wall: is a hatch drawn as walls?", HR_MAX_WALLS);
    }
    if (!HR_RESERVE(r->walls, r->wall_cap, plan->wall_count + 1)) {
        return hr_fail_memory(r->err);
    }
    r->walls[plan->wall_count++] = *wall;
    return HR_OK;
}

/* The pieces of the path in r->scratch, with the closing one. */
static hr_status add_pieces(plan_reader *r, size_t shape, uint32_t material)
{
    const plan_points *s = &r->scratch;
    const size_t pieces = s->count < 2 ? 0 : s->closed && s->count > 2 ? s->count : s->count - 1;
    for (size_t i = 0; i < pieces; i++) {
        const hr_wall wall = {.line = {s->at[i], s->at[(i + 1) % s->count]},
                              .material = material,
                              .shape = (uint32_t)shape,
                              .source_line = plan_svg_node(r, shape)->line};
        if (hr_geometry_length(wall.line) >= PLAN_CRUMB_M) {
            const hr_status status = plan_add_wall(r, &wall);
            if (status != HR_OK) {
                return status;
            }
        }
    }
    return HR_OK;
}

static hr_status add_shape(plan_reader *r, size_t shape, size_t *filled, int *filled_line)
{
    const hr_svg_node *node = plan_svg_node(r, shape);
    bool closed = false;
    for (size_t p = 0; p < node->path_count; p++) {
        hr_status status = plan_take_path(r, &r->drawing->paths[node->first_path + p]);
        if (status == HR_OK) {
            status = add_pieces(r, shape, plan_shape_meaning(r, shape)->material);
        }
        if (status != HR_OK) {
            return status;
        }
        closed = closed || r->drawing->paths[node->first_path + p].closed;
    }
    if (closed && node->fill.set && !node->stroke.set) {
        *filled_line = *filled == 0 ? node->line : *filled_line;
        (*filled)++;
    }
    return HR_OK;
}

hr_status plan_read_walls(plan_reader *r)
{
    size_t filled = 0;
    int filled_line = 0;
    for (size_t i = 0; i < r->shape_count; i++) {
        if (plan_shape_meaning(r, i)->kind == HR_PLAN_WALLS) {
            const hr_status status = add_shape(r, i, &filled, &filled_line);
            if (status != HR_OK) {
                return status;
            }
        }
    }
    if (filled > 0) {
        hr_note(r->notes, r->file, filled_line,
                "%zu closed shapes in walls have a fill and no stroke: their outlines were read as walls; "
                "filled wall bodies belong in `solids: MATERIAL`",
                filled);
    }
    return HR_OK;
}

/* The open path in r->scratch goes round a room: by a slip only, or by its fill. A plan drawn
 * by others holds plain lines among its rooms, and no wall runs where nothing is drawn. */
static bool is_outline(const plan_reader *r, size_t shape)
{
    const plan_points *s = &r->scratch;
    return !plan_is_mapped(r, shape) || !plan_svg_node(r, shape)->stroke.set ||
           (s->count > 2 && hr_geometry_distance(s->at[0], s->at[s->count - 1]) < PLAN_CLOSE_M);
}

hr_status plan_rooms_as_walls(plan_reader *r)
{
    const char *name = r->options->rooms_are_walls;
    const size_t material = name != NULL ? hr_materials_find(r->materials, name) : SIZE_MAX;
    if (material == SIZE_MAX) {
        return hr_fail(r->err, HR_ERR_INPUT, r->options->property_file, 0, "rooms_are_walls: %s is no known material",
                       name != NULL ? name : "nothing");
    }
    for (size_t i = 0; i < r->shape_count; i++) {
        const hr_svg_node *node = plan_svg_node(r, i);
        for (size_t p = 0; p < node->path_count && plan_shape_meaning(r, i)->kind == HR_PLAN_ROOMS; p++) {
            hr_status status = plan_take_path(r, &r->drawing->paths[node->first_path + p]);
            if (status == HR_OK) {
                r->scratch.closed = r->scratch.closed || is_outline(r, i);
                status = add_pieces(r, i, (uint32_t)material);
            }
            if (status != HR_OK) {
                return status;
            }
        }
    }
    return HR_OK;
}

hr_status plan_index_walls(plan_reader *r, hr_index **index)
{
    const size_t count = r->plan->wall_count;
    hr_segment *lines = hr_alloc(count, sizeof *lines);
    if (lines == NULL) {
        return hr_fail_memory(r->err);
    }
    for (size_t i = 0; i < count; i++) {
        lines[i] = r->walls[i].line;
    }
    const hr_status status = hr_geometry_index_new(lines, count, index, r->err);
    hr_free(lines);
    return status;
}

bool plan_common_stretch(hr_segment s, hr_segment t, double within_m, double min_m, hr_span *on_s)
{
    const double length = hr_geometry_length(s);
    if (!(length > 0.0) || !(hr_geometry_length(t) > 0.0)) {
        return false;
    }
    const double dx = (s.b.x - s.a.x) / length, dy = (s.b.y - s.a.y) / length;
    const double a = (t.a.x - s.a.x) * dx + (t.a.y - s.a.y) * dy;
    const double b = (t.b.x - s.a.x) * dx + (t.b.y - s.a.y) * dy;
    const double from = fmax(0.0, fmin(a, b)), to = fmin(length, fmax(a, b));
    if (!(to - from > min_m)) {
        return false;
    }
    /* both ends of the stretch near the other line; it is straight, so all between is */
    const hr_point p = {s.a.x + from * dx, s.a.y + from * dy}, q = {s.a.x + to * dx, s.a.y + to * dy};
    if (hr_geometry_to_segment(p, t, NULL) > within_m || hr_geometry_to_segment(q, t, NULL) > within_m) {
        return false;
    }
    *on_s = (hr_span){from / length, to / length};
    return true;
}

bool plan_heavier(const plan_reader *r, uint32_t wall_a, uint32_t wall_b)
{
    const hr_wall *a = &r->walls[wall_a], *b = &r->walls[wall_b];
    const int64_t loss_a = hr_micro(hr_materials_weight_db(r->materials, a->material, HR_USE_WALL));
    const int64_t loss_b = hr_micro(hr_materials_weight_db(r->materials, b->material, HR_USE_WALL));
    return loss_a != loss_b ? loss_a > loss_b : wall_a < wall_b;
}
