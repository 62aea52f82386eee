/*
 * devices.c - the devices of every room: where the plan draws them, else at
 * the default place of their kind.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

#include <stdlib.h>
#include <string.h>

/* A sensor on a window or a door stands this far inside the room. Common practice made exact. */
#define SENSOR_INSIDE_M 0.05
#define LETTERS 26

/* A drawn device, sorted by the room and kind it belongs to. */
typedef struct drawn_device {
    uint32_t space, kind, mark;
} drawn_device;

/* What one plan gives to each storey that is built on it. */
typedef struct plan_devices {
    drawn_device *drawn;
    size_t drawn_count;
    hr_point *defaults; /* per space and kind */
    bool ready;
} plan_devices;

static int compare_drawn(const void *left, const void *right)
{
    const drawn_device *a = left, *b = right;
    if (a->space != b->space) {
        return a->space < b->space ? -1 : 1;
    }
    if (a->kind != b->kind) {
        return a->kind < b->kind ? -1 : 1;
    }
    return (a->mark > b->mark) - (a->mark < b->mark);
}

/* ---- default places ---- */

static bool starts_with(const char *name, const char *word)
{
    const size_t len = strlen(word);
    return strlen(name) >= len && hr_caseeq_n(name, word, len);
}

/* Beside the middle of an opening, on the room's side of it. */
static hr_point inside_opening(const hr_plan *plan, const hr_space *room, uint32_t opening)
{
    const hr_segment line = plan->openings[opening].line;
    const double length_m = hr_geometry_length(line);
    const hr_point middle = hr_geometry_at(line, 0.5);
    if (!(length_m > 0.0)) {
        return room->innermost;
    }
    const double nx = -(line.b.y - line.a.y) / length_m, ny = (line.b.x - line.a.x) / length_m;
    const double towards = (room->innermost.x - middle.x) * nx + (room->innermost.y - middle.y) * ny;
    const double step_m = towards >= 0.0 ? SENSOR_INSIDE_M : -SENSOR_INSIDE_M;
    const hr_point one = {middle.x + nx * step_m, middle.y + ny * step_m};
    const hr_point other = {middle.x - nx * step_m, middle.y - ny * step_m};
    /* in a room that turns a corner the innermost point may lie behind the opening */
    return hr_geometry_inside(&room->region, one, 0.0) || !hr_geometry_inside(&room->region, other, 0.0) ? one : other;
}

static hr_point default_place(const hr_plan *plan, const hr_space *room, const char *kind)
{
    if (starts_with(kind, "unit")) {
        return hr_plan_unit_place(plan, room);
    }
    if (starts_with(kind, "occupancy")) {
        return room->innermost;
    }
    if (starts_with(kind, "window") && room->main_window != HR_PLAN_NONE) {
        return inside_opening(plan, room, room->main_window);
    }
    if (starts_with(kind, "door") && room->entry_door != HR_PLAN_NONE) {
        return inside_opening(plan, room, room->entry_door);
    }
    return hr_plan_wall_control_place(plan, room);
}

/* ---- drawn devices ---- */

/*
 * The kind a mark is drawn as, HR_PLAN_NONE when the property has no such
 * kind. That was refused where the plan was read unless a property is only
 * read: its file need not have any [device ...] section.
 */
static uint32_t kind_of_mark(const building_reader *r, const hr_plan *plan, const hr_mark *mark)
{
    const hr_building *b = r->b;
    const char *names[HR_MAX_KINDS] = {NULL};
    const char *value = mark->value == NULL ? "" : mark->value;
    for (uint32_t i = 0; i < b->kind_count; i++) {
        names[i] = b->kinds[i].name;
        if (hr_casecmp(names[i], value) == 0) {
            return i;
        }
    }
    const char *nearest = hr_nearest(value, names, b->kind_count, 2);
    hr_note(r->notes, plan->file, 0, "devices of kind %s are left out: no [device %s] section in %s%s%s%s", value,
            value, r->file, nearest == NULL ? "" : ", did you mean ", nearest == NULL ? "" : nearest,
            nearest == NULL ? "" : "?");
    return HR_PLAN_NONE;
}

static hr_status sort_drawn(building_reader *r, const hr_plan *plan, plan_devices *devices)
{
    devices->drawn = hr_alloc(plan->device_count, sizeof *devices->drawn);
    if (devices->drawn == NULL) {
        return hr_fail_memory(r->err);
    }
    for (uint32_t i = 0; i < plan->device_count; i++) {
        const hr_mark *mark = &plan->devices[i];
        const uint32_t kind = kind_of_mark(r, plan, mark);
        if (kind == HR_PLAN_NONE) {
            continue;
        }
        if (mark->room >= plan->space_count || plan->spaces[mark->room].kind != HR_SPACE_ROOM) {
            if (r->options.lenient) {
                continue; /* noted where the plan was read */
            }
            return hr_fail(r->err, HR_ERR_INPUT, plan->file, mark->source_line,
                           "a device of kind %s stands outside every room", r->b->kinds[kind].name);
        }
        devices->drawn[devices->drawn_count++] = (drawn_device){mark->room, kind, i};
    }
    qsort(devices->drawn, devices->drawn_count, sizeof *devices->drawn, compare_drawn);
    return HR_OK;
}

static hr_status prepare(building_reader *r, const hr_plan *plan, plan_devices *devices)
{
    const hr_building *b = r->b;
    const hr_status status = sort_drawn(r, plan, devices);
    if (status != HR_OK) {
        return status;
    }
    devices->defaults = hr_alloc_zero(plan->space_count * b->kind_count, sizeof *devices->defaults);
    if (devices->defaults == NULL) {
        return hr_fail_memory(r->err);
    }
    for (size_t i = 0; i < plan->space_count; i++) {
        if (plan->spaces[i].kind != HR_SPACE_ROOM) {
            continue;
        }
        for (size_t k = 0; k < b->kind_count; k++) {
            devices->defaults[i * b->kind_count + k] = default_place(plan, &plan->spaces[i], b->kinds[k].name);
        }
    }
    devices->ready = true;
    return HR_OK;
}

/* ---- the list ---- */

static hr_status register_device(building_reader *r, hr_device *device, size_t letter, size_t index)
{
    hr_building *b = r->b;
    const char *kind = b->kinds[device->kind].name;
    hr_text name = {0};
    hr_text_addf(&name, "%s/%s", b->rooms[device->room].name, kind);
    if (letter > 0) {
        hr_text_addf(&name, "-%c", (char)('A' + (int)letter));
    }
    device->name = building_keep(r, &name);
    if (device->name == NULL) {
        return hr_fail_memory(r->err);
    }
    const size_t before = hr_names_find(b->priv->device_names, device->name);
    if (before != SIZE_MAX) {
        return hr_fail(r->err, HR_ERR_INPUT, r->file, 0,
                       "two devices are called %s: one of kind %s, one of kind %s; another name of a kind or room was "
                       "expected",
                       device->name, b->kinds[b->devices[before].kind].name, kind);
    }
    return hr_names_add(b->priv->device_names, device->name, index) ? HR_OK : hr_fail_memory(r->err);
}

/* The devices of one kind in one room. */
static hr_status add_devices(building_reader *r, uint32_t room, uint32_t kind, const plan_devices *from,
                             const drawn_device *drawn, size_t drawn_count, size_t *cap)
{
    hr_building *b = r->b;
    const hr_storey *storey = &b->storeys[b->rooms[room].storey];
    const hr_device_kind *k = &b->kinds[kind];
    const size_t count = drawn_count > 0 ? drawn_count : (size_t)k->per_room;
    if (drawn != NULL && count > LETTERS) { /* per_room cannot be more */
        return hr_fail(r->err, HR_ERR_LIMIT, storey->plan->file, storey->plan->devices[drawn[LETTERS].mark].source_line,
                       "more than %d devices of kind %s in room %s", LETTERS, k->name, b->rooms[room].name);
    }
    if (drawn_count == 0 && count > 1) {
        hr_note(r->notes, r->file, 0,
                "%s: the %zu devices of a room stand at one and the same default place where the plan draws none",
                k->name, count);
    }
    if (b->device_count + count > HR_MAX_DEVICES) {
        return hr_fail(r->err, HR_ERR_LIMIT, r->file, 0, "more devices than the limit of %zu", HR_MAX_DEVICES);
    }
    if (!HR_RESERVE(b->devices, *cap, b->device_count + count)) {
        return hr_fail_memory(r->err);
    }
    for (size_t i = 0; i < count; i++) {
        hr_device *device = &b->devices[b->device_count];
        *device = (hr_device){.room = room,
                              .kind = kind,
                              .storey = b->rooms[room].storey,
                              .at = drawn_count > 0 ? storey->plan->devices[drawn[i].mark].at
                                                    : from->defaults[b->rooms[room].space * b->kind_count + kind],
                              .mount_height_m = k->radio.mount_height_m,
                              .z_m = storey->elevation_m + k->radio.mount_height_m,
                              .drawn = drawn_count > 0,
                              .facing = -1};
        if (drawn_count > 0) {
            device->faces = storey->plan->devices[drawn[i].mark].faces;
        }
        const hr_status status = register_device(r, device, i, b->device_count);
        if (status != HR_OK) {
            return status;
        }
        b->device_count++;
    }
    return HR_OK;
}

/* Rooms of a storey follow the spaces of its plan, as the sorted marks do: one pass over both. */
static hr_status equip_storey(building_reader *r, uint32_t storey, uint32_t *room, const plan_devices *from,
                              size_t *cap)
{
    const hr_building *b = r->b;
    size_t at = 0;
    for (; *room < b->room_count && b->rooms[*room].storey == storey; (*room)++) {
        for (uint32_t kind = 0; kind < b->kind_count; kind++) {
            size_t count = 0;
            while (at + count < from->drawn_count && from->drawn[at + count].space == b->rooms[*room].space &&
                   from->drawn[at + count].kind == kind) {
                count++;
            }
            const drawn_device *drawn = count > 0 ? from->drawn + at : NULL;
            const hr_status status = add_devices(r, *room, kind, from, drawn, count, cap);
            if (status != HR_OK) {
                return status;
            }
            at += count;
        }
    }
    return HR_OK;
}

hr_status building_place_devices(building_reader *r)
{
    hr_building *b = r->b;
    plan_devices *plans = hr_alloc_zero(b->plan_count, sizeof *plans);
    if (plans == NULL) {
        return hr_fail_memory(r->err);
    }
    hr_status status = HR_OK;
    uint32_t room = 0;
    size_t cap = 0;
    for (uint32_t i = 0; i < b->storey_count && status == HR_OK; i++) {
        const uint32_t plan = b->storeys[i].plan_index;
        if (!plans[plan].ready) {
            status = prepare(r, b->plans[plan], &plans[plan]);
        }
        if (status == HR_OK) {
            status = equip_storey(r, i, &room, &plans[plan], &cap);
        }
    }
    for (size_t i = 0; i < b->plan_count; i++) {
        hr_free(plans[i].drawn);
        hr_free(plans[i].defaults);
    }
    hr_free(plans);
    if (status == HR_OK) {
        building_face_devices(b);
    }
    return status;
}
