/*
 * marks.c - drawn points: devices, spots, gateways, network connections.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <math.h>
#include <string.h>

typedef struct mark_list {
    hr_plan_kind kind;
    size_t max;
    hr_mark **at;
    size_t *count;
} mark_list;

static hr_status place_device(plan_reader *r, hr_mark *mark)
{
    const hr_status status = plan_room_at(r, mark->at, &mark->room);
    if (status != HR_OK || mark->room != HR_PLAN_NONE) {
        return status;
    }
    char x[HR_FIXED_MAX], y[PLAN_LENGTH_MAX];
    const double x_shown = hr_units_from_metres(mark->at.x, r->options->length_unit);
    if (!r->options->lenient) {
        return hr_fail(r->err, HR_ERR_INPUT, r->file, mark->source_line,
                       "device %s at %s, %s lies in no room: a place inside a room was expected", mark->value,
                       hr_fixed(x_shown, 2, x), plan_length(r, mark->at.y, 2, y));
    }
    hr_note(r->notes, r->file, mark->source_line, "device %s at %s, %s lies in no room", mark->value,
            hr_fixed(x_shown, 2, x), plan_length(r, mark->at.y, 2, y));
    return HR_OK;
}

/* "unit facing left", "facing 90": where a case opens. */
static bool faces_by_name(plan_reader *r, const hr_mark *mark, hr_point *faces)
{
    static const struct {
        const char *word;
        hr_point way;
    } words[] = {{"right", {1, 0}}, {"left", {-1, 0}}, {"down", {0, 1}}, {"up", {0, -1}}};
    static const char facing[] = "facing";
    bool said = false;
    for (const char *at = mark->name; at != NULL && *at != '\0'; at++) {
        if (!hr_caseeq_n(at, facing, sizeof facing - 1)) {
            continue;
        }
        const char *rest = at + sizeof facing - 1;
        said = true;
        rest += strspn(rest, " :=-");
        double degrees = 0.0;
        for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
            if (hr_caseeq_n(rest, words[i].word, strlen(words[i].word))) {
                *faces = words[i].way;
                return true;
            }
        }
        if (hr_number_scan(rest, strlen(rest), &degrees) > 0) {
            const double angle = degrees * 3.14159265358979323846 / 180.0;
            *faces = (hr_point){cos(angle), sin(angle)};
            return true;
        }
    }
    if (said) {
        hr_note(r->notes, r->file, mark->source_line,
                "device %s: facing left, right, up, down or degrees clockwise from right was expected", mark->name);
    }
    return false;
}

/* A device drawn as one straight line is an arrow: its case opens along it. */
static hr_status faces_by_arrow(plan_reader *r, size_t shape, hr_point *faces)
{
    const hr_svg_node *node = plan_svg_node(r, shape);
    if (node->path_count != 1 || r->drawing->paths[node->first_path].closed) {
        return HR_OK;
    }
    const hr_status status = plan_take_path(r, &r->drawing->paths[node->first_path]);
    if (status != HR_OK || r->scratch.count != 2) {
        return status;
    }
    const hr_segment line = {r->scratch.at[0], r->scratch.at[1]};
    const double length_m = hr_geometry_length(line);
    if (length_m > 0.0) {
        *faces = (hr_point){(line.b.x - line.a.x) / length_m, (line.b.y - line.a.y) / length_m};
    }
    return HR_OK;
}

static hr_status take_mark(plan_reader *r, size_t shape, hr_mark *mark, size_t *next, bool *empty)
{
    const plan_meaning *m = plan_shape_meaning(r, shape);
    hr_point centre;
    *empty = !plan_unit_centre(r, shape, &centre, next);
    if (*empty) {
        return plan_leave_shape(r, shape, "has no points");
    }
    const bool value = m->kind == HR_PLAN_DEVICES || m->kind == HR_PLAN_SPOTS;
    *mark = (hr_mark){.at = plan_rounded(centre),
                      .value = value ? m->value : NULL,
                      .room = HR_PLAN_NONE,
                      .source_line = plan_svg_node(r, shape)->line};
    hr_status status = plan_own_name(r, (uint32_t)shape, &mark->name);
    if (status == HR_OK && m->kind == HR_PLAN_DEVICES) {
        status = place_device(r, mark);
        if (status == HR_OK && !faces_by_name(r, mark, &mark->faces)) {
            status = faces_by_arrow(r, shape, &mark->faces);
        }
    }
    return status;
}

static hr_status read_list(plan_reader *r, const mark_list *list)
{
    size_t most = 0;
    for (size_t i = 0; i < r->shape_count; i++) {
        most += plan_shape_meaning(r, i)->kind == list->kind;
    }
    hr_mark *marks = hr_arena_alloc(r->arena, most, sizeof *marks);
    if (marks == NULL) {
        return hr_fail_memory(r->err);
    }
    size_t count = 0;
    for (size_t i = 0, next; i < r->shape_count; i = next) {
        next = i + 1;
        if (plan_shape_meaning(r, i)->kind != list->kind) {
            continue;
        }
        bool empty = false;
        const hr_status status = take_mark(r, i, &marks[count], &next, &empty);
        if (status != HR_OK) {
            return status;
        }
        count += !empty;
        if (count > list->max) {
            return hr_fail(r->err, HR_ERR_LIMIT, r->file, marks[count - 1].source_line, "plan has more than %zu %s",
                           list->max, hr_plan_kind_name(list->kind));
        }
    }
    *list->at = marks;
    *list->count = count;
    return HR_OK;
}

hr_status plan_read_marks(plan_reader *r)
{
    hr_plan *p = r->plan;
    const mark_list lists[] = {{HR_PLAN_DEVICES, HR_MAX_DEVICES, &p->devices, &p->device_count},
                               {HR_PLAN_SPOTS, HR_MAX_SPOTS, &p->spots, &p->spot_count},
                               {HR_PLAN_GATEWAYS, HR_MAX_GATEWAYS, &p->gateways, &p->gateway_count},
                               {HR_PLAN_NETWORK, HR_MAX_SPOTS, &p->networks, &p->network_count}};
    hr_status status = HR_OK;
    for (size_t i = 0; i < sizeof lists / sizeof lists[0] && status == HR_OK; i++) {
        status = read_list(r, &lists[i]);
    }
    return status;
}
