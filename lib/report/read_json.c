/*
 * read_json.c - what was understood of a property, as JSON.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

static json_t *storeys(report_json *json, const hr_building *b)
{
    json_t *list = json_array();
    for (size_t i = 0; i < b->storey_count; i++) {
        const hr_storey *s = &b->storeys[i];
        json_t *row = json_object();
        report_put(json, row, "storey", report_string(json, s->name));
        report_put(json, row, "plan", report_string(json, s->plan->file));
        report_put(json, row, "elevation_m", report_level(s->elevation_m));
        report_put(json, row, "floor_to_floor_m", report_level(s->floor_to_floor_m));
        report_put(json, row, "slab", i == 0 ? json_null() : report_string(json, report_material_name(b, s->slab_material)));
        report_put(json, row, "slab_assumed", json_boolean(i > 0 && s->slab_assumed));
        report_put(json, row, "rooms", report_count(s->plan->room_count));
        report_append(json, list, row);
    }
    return list;
}

static json_t *materials(report_json *json, const hr_building *b, const hr_plan *plan)
{
    json_t *list = json_array();
    size_t count = 0;
    report_material_total *totals = report_material_totals(b, plan, &count);
    json->failed = json->failed || totals == NULL;
    for (size_t i = 0; totals != NULL && i < count; i++) {
        json_t *row = json_object();
        report_put(json, row, "material", report_string(json, report_material_name(b, totals[i].material)));
        report_put(json, row, "walls", report_count(totals[i].walls));
        report_put(json, row, "wall_length_m", report_level(totals[i].wall_m));
        report_put(json, row, "doors", report_count(totals[i].doors));
        report_put(json, row, "windows", report_count(totals[i].windows));
        report_put(json, row, "solids", report_count(totals[i].solids));
        report_put(json, row, "metal", report_count(totals[i].metals));
        report_append(json, list, row);
    }
    hr_free(totals);
    return list;
}

static json_t *ignored(report_json *json, const hr_plan *plan)
{
    json_t *list = json_array();
    for (size_t i = 0; i < plan->ignored_count; i++) {
        json_t *row = json_object();
        report_put(json, row, "name", report_string(json, plan->ignored[i].name));
        report_put(json, row, "count", report_count(plan->ignored[i].count));
        report_put(json, row, "length_m", report_level(plan->ignored[i].length_m));
        report_put(json, row, "reason", report_string(json, plan->ignored[i].reason));
        report_put(json, row, "nearest", report_string(json, plan->ignored[i].nearest));
        report_put(json, row, "line", json_integer(plan->ignored[i].first_line));
        report_append(json, list, row);
    }
    return list;
}

static json_t *plans(report_json *json, const hr_building *b)
{
    json_t *list = json_array();
    for (size_t i = 0; i < b->plan_count; i++) {
        const hr_plan *plan = b->plans[i];
        json_t *row = json_object();
        report_put(json, row, "file", report_string(json, plan->file));
        report_put(json, row, "layer", report_string(json, plan->layer));
        report_put(json, row, "metres_per_unit",
                   plan->metres_per_unit > 0.0 ? json_real(hr_round(plan->metres_per_unit, 9)) : json_null());
        report_put(json, row, "scale_from", report_string(json, plan->scale_from));
        report_put(json, row, "width_m", report_level(plan->box.x1 - plan->box.x0));
        report_put(json, row, "depth_m", report_level(plan->box.y1 - plan->box.y0));
        report_put(json, row, "materials", materials(json, b, plan));
        report_put(json, row, "ignored", ignored(json, plan));
        report_append(json, list, row);
    }
    return list;
}

static json_t *rooms(report_json *json, const hr_building *b)
{
    json_t *list = json_array();
    for (size_t i = 0; i < b->room_count; i++) {
        const hr_storey *storey = &b->storeys[b->rooms[i].storey];
        const hr_space *space = &storey->plan->spaces[b->rooms[i].space];
        json_t *row = json_object();
        report_put(json, row, "room", report_string(json, b->rooms[i].name));
        report_put(json, row, "storey", report_string(json, storey->name));
        report_put(json, row, "area_m2", report_level(space->area_m2));
        report_put(json, row, "x_m", report_level(space->innermost.x));
        report_put(json, row, "y_m", report_level(space->innermost.y));
        report_append(json, list, row);
    }
    return list;
}

static json_t *devices(report_json *json, const hr_building *b)
{
    json_t *list = json_array();
    for (size_t i = 0; i < b->device_count; i++) {
        const hr_device *d = &b->devices[i];
        json_t *row = json_object();
        report_put(json, row, "device", report_string(json, d->name));
        report_put(json, row, "room", report_string(json, b->rooms[d->room].name));
        report_put(json, row, "storey", report_string(json, b->storeys[d->storey].name));
        report_put(json, row, "x_m", report_level(d->at.x));
        report_put(json, row, "y_m", report_level(d->at.y));
        report_put(json, row, "mount_height_m", report_level(d->mount_height_m));
        report_put(json, row, "drawn", json_boolean(d->drawn));
        report_append(json, list, row);
    }
    return list;
}

static json_t *spots(report_json *json, const hr_building *b)
{
    json_t *list = json_array();
    for (size_t i = 0; i < b->spot_count; i++) {
        json_t *row = json_object();
        report_put(json, row, "spot", report_string(json, b->spots[i].id));
        report_put(json, row, "storey", report_string(json, b->storeys[b->spots[i].storey].name));
        report_put(json, row, "x_m", report_level(b->spots[i].at.x));
        report_put(json, row, "y_m", report_level(b->spots[i].at.y));
        report_put(json, row, "drawn", json_boolean(!b->spots[i].generated));
        report_append(json, list, row);
    }
    return list;
}

static json_t *settings(report_json *json, const hr_building *b)
{
    json_t *list = json_array();
    for (size_t i = 0; i < hr_building_setting_count(b); i++) {
        const hr_setting *s = hr_building_setting(b, i);
        json_t *row = json_object();
        report_put(json, row, "section", report_string(json, s->section));
        report_put(json, row, "key", report_string(json, s->key));
        report_put(json, row, "value", report_string(json, s->value));
        report_put(json, row, "unit", report_string(json, s->unit));
        report_put(json, row, "default", json_boolean(s->is_default));
        report_put(json, row, "reason", report_string(json, s->reason));
        report_append(json, list, row);
    }
    return list;
}

static json_t *stops(report_json *json, const hr_building *b)
{
    json_t *list = json_array();
    char text[512];
    for (size_t i = 0; hr_report_stop(b, i, text, sizeof text) != NULL; i++) {
        report_append(json, list, report_string(json, text));
    }
    return list;
}

hr_status hr_report_read_json(const hr_building *building, const hr_notes *notes, hr_text *out, hr_error *err)
{
    report_json json = {false};
    json_t *top = json_object();
    report_put(&json, top, "command", report_string(&json, "read"));
    report_put(&json, top, "version", report_string(&json, hr_version()));
    report_put(&json, top, "property", report_string(&json, building->name));
    report_put(&json, top, "frequency_mhz",
               report_level(building->frequency_assumed ? REPORT_UNKNOWN : building->radio.frequency_mhz));
    report_put(&json, top, "storeys", storeys(&json, building));
    report_put(&json, top, "plans", plans(&json, building));
    report_put(&json, top, "rooms", rooms(&json, building));
    report_put(&json, top, "devices", devices(&json, building));
    report_put(&json, top, "spots", spots(&json, building));
    report_put(&json, top, "settings", settings(&json, building));
    report_put(&json, top, "stops_placement", stops(&json, building));
    report_put_tail(&json, top, building, notes);
    return report_json_end(&json, top, out, err);
}
