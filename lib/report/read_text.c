/*
 * read_text.c - what was understood of a property, for people and as CSV.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

#include <string.h>

static double floor_area_m2(const hr_plan *plan)
{
    double area = 0.0;
    for (size_t i = 0; i < plan->space_count; i++) {
        area += plan->spaces[i].area_m2;
    }
    return area;
}

static size_t spaces_of(const hr_plan *plan, hr_space_kind kind)
{
    size_t count = 0;
    for (size_t i = 0; i < plan->space_count; i++) {
        count += plan->spaces[i].kind == kind;
    }
    return count;
}

static size_t on_storey(const hr_building *building, size_t storey, bool spots)
{
    size_t count = 0;
    if (spots) {
        for (size_t i = 0; i < building->spot_count; i++) {
            count += building->spots[i].storey == storey;
        }
    } else {
        for (size_t i = 0; i < building->device_count; i++) {
            count += building->devices[i].storey == storey;
        }
    }
    return count;
}

static void add_storeys(const hr_building *b, hr_text *out)
{
    hr_text_addf(out, "Storeys (%zu), lowest first; lengths in %s, areas in %s2\n", b->storey_count, report_unit(b),
                 report_unit(b));
    static const char *const heads[] = {"storey",    ">floor at", ">height", "stands on", ">rooms", ">devices",
                                        ">corridors", ">areas",    ">spots",  ">floor area", "plan"};
    report_table table;
    report_table_start(&table, heads, 11);
    for (size_t i = 0; i < b->storey_count; i++) {
        const hr_storey *s = &b->storeys[i];
        report_table_cell(&table, s->name);
        report_table_fixed(&table, report_length(b, s->elevation_m), 2);
        report_table_fixed(&table, report_length(b, s->floor_to_floor_m), 2);
        hr_text slab = {0};
        hr_text_addf(&slab, "%s%s", i == 0 ? "ground" : report_material_name(b, s->slab_material),
                     i > 0 && s->slab_assumed ? " (assumed)" : "");
        report_table_cell(&table, report_words(&table.cells, &slab));
        hr_text_free(&slab);
        report_table_count(&table, spaces_of(s->plan, HR_SPACE_ROOM));
        report_table_count(&table, on_storey(b, i, false));
        report_table_count(&table, spaces_of(s->plan, HR_SPACE_CORRIDOR));
        report_table_count(&table, spaces_of(s->plan, HR_SPACE_AREA));
        report_table_count(&table, on_storey(b, i, true));
        report_table_fixed(&table, report_area(b, floor_area_m2(s->plan)), 1);
        report_table_cell(&table, s->plan->file);
    }
    report_table_end(&table, out);
    hr_text_add(out, "\n");
}

static void add_scale(const hr_building *b, const hr_plan *plan, hr_text *out)
{
    char number[HR_FIXED_MAX];
    hr_text_addf(out, "%s%s%s\n", plan->file, plan->layer != NULL ? "#" : "", plan->layer != NULL ? plan->layer : "");
    if (plan->metres_per_unit > 0.0) {
        hr_text_addf(out, "  scale: %s m to a drawing unit", hr_short(plan->metres_per_unit, 9, number));
        hr_text_addf(out, " (%s); drawn extent ", plan->scale_from);
        hr_text_fixed(out, report_length(b, plan->box.x1 - plan->box.x0), 2);
        hr_text_addf(out, " x %s %s\n", hr_fixed(report_length(b, plan->box.y1 - plan->box.y0), 2, number),
                     report_unit(b));
    } else {
        hr_text_add(out, "  scale: none found\n");
    }
    hr_text_addf(out, "  origin: %s\n", plan->has_origin ? "mark `origin`" : "(0,0) of the drawing, no mark `origin`");
    if (plan->slab_count == 0) {
        hr_text_add(out, "  slab: no outline drawn, taken to be everywhere except in a `void`\n");
    }
    if (plan->merged_walls > 0) {
        hr_text_addf(out, "  walls drawn twice and merged: %zu stretches\n", plan->merged_walls);
    }
    if (plan->image_count > 0) {
        hr_text_addf(out, "  pictures inside the drawing: %zu (a picture holds no walls)\n", plan->image_count);
    }
}

/* Where the loss comes from; what was recalled, and what is another use's, says so. */
static const char *source_words(const hr_material_rows *rows, const hr_material *material, hr_material_use use)
{
    if (material->source[use] == NULL) {
        return "borrowed from another use";
    }
    const hr_source *source = hr_materials_source_find(rows, material->source[use]);
    if (source == NULL || strcmp(source->trust, "memory") != 0) {
        return material->source[use];
    }
    return source->kind != NULL && strcmp(source->kind, "handbook") == 0 ? "handbook (from memory)" : "paper (from memory)";
}

static void add_materials(const hr_building *b, const hr_plan *plan, hr_text *out)
{
    size_t count = 0;
    report_material_total *totals = report_material_totals(b, plan, &count);
    if (totals == NULL) {
        out->failed = true;
        return;
    }
    hr_material_rows *rows = NULL;
    if (hr_materials_rows_new(&rows, NULL) != HR_OK) {
        hr_free(totals);
        out->failed = true;
        return;
    }
    static const char *const heads[] = {"material", ">walls", ">wall length", ">doors", ">windows", ">solids", ">metal",
                                        ">loss dB", "source"};
    report_table table;
    report_table_start(&table, heads, 9);
    for (size_t i = 0; i < count; i++) {
        const report_material_total *t = &totals[i];
        const hr_material_use use = t->metals > 0                  ? HR_USE_METAL
                                    : t->walls + t->solids > 0 ? HR_USE_WALL
                                                                   : HR_USE_OPENING;
        const hr_material *material = hr_materials_get(b->materials, t->material);
        report_table_cell(&table, material->name);
        report_table_count(&table, t->walls);
        report_table_fixed(&table, report_length(b, t->wall_m), 1);
        report_table_count(&table, t->doors);
        report_table_count(&table, t->windows);
        report_table_count(&table, t->solids);
        report_table_count(&table, t->metals);
        report_table_fixed(&table, hr_materials_loss_db(b->materials, t->material, use, NULL), 1);
        report_table_cell(&table, source_words(rows, material, use));
    }
    report_table_end(&table, out);
    hr_materials_rows_free(rows);
    hr_free(totals);
}

static void add_metal(const hr_building *b, const hr_plan *plan, hr_text *out)
{
    if (plan->metal_count == 0) {
        return;
    }
    hr_text_addf(out, "  metal, places in %s\n", report_unit(b));
    static const char *const heads[] = {"name", "table row", ">x", ">y", ">from", ">to", ">line"};
    report_table table;
    report_table_start(&table, heads, 7);
    for (size_t i = 0; i < plan->metal_count; i++) {
        const hr_body *metal = &plan->metals[i];
        const hr_point at = metal->region.ring_count > 0
                                ? (hr_point){0.5 * (metal->region.box.x0 + metal->region.box.x1),
                                             0.5 * (metal->region.box.y0 + metal->region.box.y1)}
                                : hr_geometry_at(metal->lines[0], 0.5);
        report_table_cell(&table, metal->name);
        report_table_cell(&table, report_material_name(b, metal->material));
        report_table_fixed(&table, report_length(b, at.x), 2);
        report_table_fixed(&table, report_length(b, at.y), 2);
        report_table_fixed(&table, report_length(b, metal->low_m), 2);
        report_table_fixed(&table, report_length(b, metal->high_m), 2);
        report_table_count(&table, (size_t)metal->source_line);
    }
    report_table_end(&table, out);
}

static void add_ignored(const hr_building *b, const hr_plan *plan, hr_text *out)
{
    if (plan->ignored_count == 0) {
        hr_text_add(out, "  nothing was ignored\n\n");
        return;
    }
    hr_text_addf(out, "  ignored, lengths in %s\n", report_unit(b));
    static const char *const heads[] = {"name", ">shapes", ">length", "why", "nearest word", ">first line"};
    report_table table;
    report_table_start(&table, heads, 6);
    for (size_t i = 0; i < plan->ignored_count; i++) {
        const hr_ignored *row = &plan->ignored[i];
        report_table_cell(&table, row->name[0] != '\0' ? row->name : "(no name)");
        report_table_count(&table, row->count);
        report_table_fixed(&table, report_length(b, row->length_m), 1);
        report_table_cell(&table, row->reason);
        report_table_cell(&table, row->nearest);
        report_table_count(&table, (size_t)row->first_line);
    }
    report_table_end(&table, out);
    hr_text_add(out, "\n");
}

static void add_settings(const hr_building *b, hr_text *out)
{
    hr_text_add(out, "Settings in force\n");
    static const char *const heads[] = {"section", "key", "value", "unit", "from"};
    report_table table;
    report_table_start(&table, heads, 5);
    for (size_t i = 0; i < hr_building_setting_count(b); i++) {
        const hr_setting *s = hr_building_setting(b, i);
        report_table_cell(&table, s->section);
        report_table_cell(&table, s->key);
        report_table_cell(&table, s->value);
        report_table_cell(&table, s->unit);
        hr_text from = {0};
        hr_text_addf(&from, "%s%s", s->is_default ? "default: " : "property file",
                     s->is_default && s->reason != NULL ? s->reason : "");
        report_table_cell(&table, report_words(&table.cells, &from));
        hr_text_free(&from);
    }
    report_table_end(&table, out);
    hr_text_add(out, "\n");
}

static void add_stops(const hr_building *b, hr_text *out)
{
    char stop[512];
    for (size_t i = 0; hr_report_stop(b, i, stop, sizeof stop) != NULL; i++) {
        hr_text_addf(out, "%s  %s\n", i == 0 ? "This stops placement:\n" : "", stop);
    }
}

hr_status hr_report_read_text(const hr_building *building, hr_text *out, hr_error *err)
{
    hr_text_addf(out, "%s: radio coverage, what was understood\n\n", building->name);
    add_storeys(building, out);
    for (size_t i = 0; i < building->plan_count; i++) {
        add_scale(building, building->plans[i], out);
        add_materials(building, building->plans[i], out);
        add_metal(building, building->plans[i], out);
        add_ignored(building, building->plans[i], out);
    }
    add_settings(building, out);
    add_stops(building, out);
    hr_text_addf(out, "%zu rooms, %zu devices, %zu spots, %zu gateways marked\n", building->room_count,
                 building->device_count, building->spot_count, building->gateway_count);
    if (building->radio.rule[0] == '\0') {
        hr_text_add(out, "Radio limit not checked: no `rule` is set.\n");
    }
    hr_text_addf(out, "%s\n", hr_report_caution());
    return report_done(out, err);
}

/* The rooms as they were understood, one a row. */
hr_status hr_report_read_csv(const hr_building *building, hr_text *out, hr_error *err)
{
    char number[HR_FIXED_MAX];
    report_list_head(building, out);
    hr_text_add(out, "room,storey,area_m2,x,y,devices\n");
    size_t device = 0;
    for (size_t i = 0; i < building->room_count; i++) {
        const hr_room *room = &building->rooms[i];
        const hr_storey *storey = &building->storeys[room->storey];
        const hr_space *space = &storey->plan->spaces[room->space];
        size_t devices = 0;
        for (; device < building->device_count && building->devices[device].room == i; device++) {
            devices++;
        }
        hr_text_csv(out, room->name);
        hr_text_add(out, ",");
        hr_text_csv(out, storey->name);
        hr_text_addf(out, ",%s", hr_fixed(space->area_m2, 2, number));
        hr_text_addf(out, ",%s", hr_fixed(report_length(building, space->innermost.x), 3, number));
        hr_text_addf(out, ",%s", hr_fixed(report_length(building, space->innermost.y), 3, number));
        hr_text_addf(out, ",%zu\n", devices);
    }
    return report_done(out, err);
}
