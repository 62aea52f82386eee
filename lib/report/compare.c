/*
 * compare.c - measured beside predicted: for people, as a list, as JSON.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

#define WORST 10

static const char *room_of(const hr_readings *readings, size_t index)
{
    const uint32_t room = hr_readings_room(readings, index);
    return room == HR_READINGS_NONE ? NULL : readings->building->rooms[room].name;
}

static const char *storey_of(const hr_readings *readings, size_t index)
{
    return readings->building->storeys[hr_readings_place(readings, index)->storey].name;
}

/* Whole 1e-4 steps, so that the three figures of a row agree. */
static double rounded_difference(const hr_comparison *c, size_t index)
{
    const hr_reading *r = &c->readings->items[index];
    return r->heard ? hr_round(hr_round(r->rssi_dbm, 4) - hr_round(c->items[index].predicted_dbm, 4), 4)
                    : REPORT_UNKNOWN;
}

static void add_summary(const hr_comparison *c, hr_text *out)
{
    const hr_readings *r = c->readings;
    hr_text_addf(out, "Readings      %zu used, %zu of them not heard; %zu %s left out\n", r->count,
                 r->count - r->heard, r->fault_count, r->fault_count == 1 ? "row" : "rows");
    if (c->count > 0) {
        hr_text_add(out, "Difference    measured - predicted: mean ");
        hr_text_fixed(out, c->bias_db, 1);
        hr_text_add(out, " dB, root mean square ");
        hr_text_fixed(out, c->rmse_db, 1);
        hr_text_add(out, " dB\n");
    }
    if (r->count > r->heard) {
        hr_text_addf(out, "Not heard     %zu, of them %zu that were predicted above their threshold\n",
                     r->count - r->heard, c->unheard_above);
    }
}

static void add_group(const hr_difference_group *g, hr_text *out)
{
    hr_text_addf(out, "  %s %s: ", g->kind, g->name);
    hr_text_fixed(out, g->mean_db, 1);
    hr_text_addf(out, " dB over %zu links, ", g->count);
    hr_text_fixed(out, g->others_mean_db, 1);
    hr_text_addf(out, " dB over the %zu others\n", g->others);
}

static void add_groups(const hr_comparison *c, hr_text *out)
{
    size_t told = 0;
    if (c->group_count == 0) {
        hr_text_add(out, "\nToo few links to tell whether the differences belong together.\n");
        return;
    }
    for (size_t i = 0; i < c->group_count; i++) {
        if (c->groups[i].stands_out) {
            hr_text_add(out, told++ == 0 ? "\nThe differences do not look random; they belong to\n" : "");
            add_group(&c->groups[i], out);
        }
    }
    if (told == 0) {
        hr_text_add(out, "\nThe differences look random: no material, storey or gateway stands out. Furthest out is\n");
        add_group(&c->groups[0], out);
    }
}

static void add_row(const hr_comparison *c, size_t index, report_table *table)
{
    const hr_reading *r = &c->readings->items[index];
    report_table_count(table, (size_t)r->line);
    report_table_cell(table, r->from.name);
    report_table_cell(table, r->to.name);
    report_table_cell(table, room_of(c->readings, index));
    report_table_cell(table, storey_of(c->readings, index));
    if (r->heard) {
        report_table_fixed(table, r->rssi_dbm, 1);
    } else {
        report_table_cell(table, "not heard");
    }
    report_table_fixed(table, c->items[index].predicted_dbm, 1);
    report_table_fixed(table, c->items[index].difference_db, 1);
}

static const char *const heads[] = {">line", "from", "to", "room", "storey", ">measured dBm", ">predicted dBm",
                                    ">difference dB"};

hr_status hr_report_compare_text(const hr_comparison *c, hr_text *out, hr_error *err)
{
    const hr_readings *r = c->readings;
    hr_text_addf(out, "Radio coverage, measured beside predicted: %s\n%s\n\n", r->building->name, hr_report_caution());
    add_summary(c, out);
    add_groups(c, out);
    const size_t worst = c->count < WORST ? c->count : WORST;
    if (worst > 0) {
        report_table table;
        hr_text_addf(out, "\nFurthest off (%zu)\n", worst);
        report_table_start(&table, heads, sizeof heads / sizeof heads[0]);
        for (size_t i = 0; i < worst; i++) {
            add_row(c, c->worst[i], &table);
        }
        report_table_end(&table, out);
    }
    if (r->count > 0) {
        report_table table;
        hr_text_add(out, "\nAll readings\n");
        report_table_start(&table, heads, sizeof heads / sizeof heads[0]);
        for (size_t i = 0; i < r->count; i++) {
            add_row(c, i, &table);
        }
        report_table_end(&table, out);
    }
    return report_done(out, err);
}

static void add_level(double value, hr_text *out)
{
    char buf[HR_FIXED_MAX];
    hr_text_add(out, isfinite(value) ? hr_short(hr_round(value, 4), 4, buf) : "");
    hr_text_add(out, ",");
}

/* Points come back as they were typed, in feet too. */
static void add_length(const hr_building *building, double length_m, hr_text *out)
{
    char buf[HR_FIXED_MAX];
    hr_text_add(out, hr_short(report_length(building, length_m), 7, buf));
    hr_text_add(out, ",");
}

static const char *kind_of(const hr_building *building, const hr_reading_end *end)
{
    return end->device != HR_READINGS_NONE ? building->kinds[building->devices[end->device].kind].name
           : end->point                    ? end->name
                                           : "gateway";
}

/* A list that `compare` reads back to the same figures. */
hr_status hr_report_compare_csv(const hr_comparison *c, hr_text *out, hr_error *err)
{
    const hr_readings *r = c->readings;
    report_list_head(r->building, out);
    hr_text_add(out, "from,to,room,storey,x,y,mount_height,kind,rssi_dbm,predicted_dbm,difference_db,threshold_dbm\n");
    for (size_t i = 0; i < r->count; i++) {
        const hr_reading *reading = &r->items[i];
        const hr_reading_end *place = hr_readings_place(r, i);
        char buf[HR_FIXED_MAX];
        const char *room = room_of(r, i);
        hr_text_csv(out, reading->from.point ? "" : reading->from.name);
        hr_text_add(out, ",");
        hr_text_csv(out, reading->to.point ? "" : reading->to.name);
        hr_text_add(out, ",");
        hr_text_csv(out, room == NULL ? "" : room);
        hr_text_add(out, ",");
        hr_text_csv(out, storey_of(r, i));
        hr_text_add(out, ",");
        add_length(r->building, place->end.at.x, out);
        add_length(r->building, place->end.at.y, out);
        add_length(r->building, place->end.z_m - r->building->storeys[place->storey].elevation_m, out);
        hr_text_csv(out, kind_of(r->building, place));
        hr_text_add(out, ",");
        add_level(reading->rssi_dbm, out);
        add_level(c->items[i].predicted_dbm, out);
        add_level(rounded_difference(c, i), out);
        hr_text_add(out, hr_short(hr_round(reading->threshold_dbm, 4), 4, buf));
        hr_text_add(out, "\n");
    }
    return report_done(out, err);
}

static json_t *reading_row(report_json *json, const hr_comparison *c, size_t i)
{
    const hr_reading *r = &c->readings->items[i];
    const hr_point at = hr_readings_place(c->readings, i)->end.at;
    json_t *row = json_object();
    report_put(json, row, "line", report_count((uint64_t)r->line));
    report_put(json, row, "from", report_string(json, r->from.point ? NULL : r->from.name));
    report_put(json, row, "to", report_string(json, r->to.point ? NULL : r->to.name));
    report_put(json, row, "room", report_string(json, room_of(c->readings, i)));
    report_put(json, row, "storey", report_string(json, storey_of(c->readings, i)));
    report_put(json, row, "x_m", report_level(at.x));
    report_put(json, row, "y_m", report_level(at.y));
    report_put(json, row, "measured_dbm", report_level(r->rssi_dbm));
    report_put(json, row, "predicted_dbm", report_level(c->items[i].predicted_dbm));
    report_put(json, row, "difference_db", report_level(rounded_difference(c, i)));
    report_put(json, row, "threshold_dbm", report_level(r->threshold_dbm));
    return row;
}

static json_t *groups(report_json *json, const hr_comparison *c)
{
    json_t *list = json_array();
    for (size_t i = 0; i < c->group_count; i++) {
        const hr_difference_group *g = &c->groups[i];
        json_t *row = json_object();
        report_put(json, row, "kind", report_string(json, g->kind));
        report_put(json, row, "name", report_string(json, g->name));
        report_put(json, row, "count", report_count(g->count));
        report_put(json, row, "mean_db", report_level(g->mean_db));
        report_put(json, row, "others_mean_db", report_level(g->others_mean_db));
        report_put(json, row, "stands_out", json_boolean(g->stands_out));
        report_append(json, list, row);
    }
    return list;
}

hr_status hr_report_compare_json(const hr_comparison *c, const hr_notes *notes, hr_text *out, hr_error *err)
{
    report_json json = {0};
    json_t *top = json_object(), *list = json_array();
    for (size_t i = 0; i < c->readings->count; i++) {
        report_append(&json, list, reading_row(&json, c, i));
    }
    report_put(&json, top, "command", report_string(&json, "compare"));
    report_put(&json, top, "version", report_string(&json, hr_version()));
    report_put(&json, top, "property", report_string(&json, c->readings->building->name));
    report_put(&json, top, "readings", list);
    report_put(&json, top, "rmse_db", report_level(c->rmse_db));
    report_put(&json, top, "bias_db", report_level(c->bias_db));
    report_put(&json, top, "count", report_count(c->count));
    report_put(&json, top, "not_heard", report_count(c->readings->count - c->readings->heard));
    report_put(&json, top, "left_out", report_count(c->readings->fault_count));
    report_put(&json, top, "groups", groups(&json, c));
    report_put_tail(&json, top, c->readings->building, notes);
    return report_json_end(&json, top, out, err);
}
