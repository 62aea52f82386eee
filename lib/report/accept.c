/*
 * accept.c - the installed devices judged: a sheet to sign, a list, JSON.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

static const hr_reading *reading_of(const hr_acceptance *a, const hr_acceptance_row *row)
{
    return row->reading == HR_READINGS_NONE ? NULL : &a->readings->items[row->reading];
}

static const hr_device_kind *kind_of(const hr_building *b, const hr_acceptance_row *row)
{
    return &b->kinds[b->devices[row->device].kind];
}

static const char *planned_gateway(const hr_building *b, const hr_acceptance_row *row)
{
    return row->planned_gateway == HR_READINGS_NONE ? NULL : b->gateways[row->planned_gateway].id;
}

static const char *planned_hop(const hr_building *b, const hr_acceptance_row *row)
{
    return row->planned_via == HR_READINGS_NONE ? NULL : b->devices[row->planned_via].name;
}

static bool is_accepted(const hr_acceptance *a)
{
    return a->count > 0 && a->verdicts[HR_VERDICT_PASS] == a->count;
}

/* The other end of the link that judges. */
static const char *read_with(const hr_acceptance *a, const hr_acceptance_row *row)
{
    const hr_reading *r = reading_of(a, row);
    return r == NULL ? NULL : r->from.device == row->device ? r->to.name : r->from.name;
}

/* ---- text ---- */

static void add_limits(const hr_building *b, hr_text *out)
{
    char number[HR_FIXED_MAX];
    hr_text_add(out, "Limits        level over sensitivity; assumed where the property file does not say otherwise: confirm with "
                     "the maker\n");
    for (size_t i = 0; i < b->kind_count; i++) {
        const hr_device_kind *kind = &b->kinds[i];
        hr_text_addf(out, "              %s: pass from %s dB, ", kind->name, hr_short(kind->accept_pass_db, 2, number));
        hr_text_addf(out, "fail below %s dB, ", hr_short(kind->accept_fail_db, 2, number));
        hr_text_addf(out, "weak between or with more than %s %% of the packets lost\n",
                     hr_short(kind->accept_loss_percent, 2, number));
    }
}

static void add_summary(const hr_acceptance *a, hr_text *out)
{
    const hr_readings *r = a->readings;
    hr_text_addf(out, "Result        %s: %zu pass, %zu weak, %zu fail, %zu not read, of %zu devices\n",
                 is_accepted(a) ? "every device passes" : "NOT ACCEPTED",
                 a->verdicts[HR_VERDICT_PASS], a->verdicts[HR_VERDICT_WEAK], a->verdicts[HR_VERDICT_FAIL],
                 a->verdicts[HR_VERDICT_NOT_READ], a->count);
    if (a->elsewhere > 0) {
        hr_text_addf(out, "Joined        %zu joined something else than planned\n", a->elsewhere);
    }
    hr_text_addf(out, "Readings      %zu used, %zu of them of other links; %zu %s left out\n", r->count, a->beside,
                 r->fault_count, r->fault_count == 1 ? "row" : "rows");
}

static void add_remarks(const hr_acceptance *a, hr_text *out)
{
    const hr_building *b = a->readings->building;
    static const hr_verdict order[] = {HR_VERDICT_FAIL, HR_VERDICT_WEAK, HR_VERDICT_NOT_READ, HR_VERDICT_PASS};
    static const char *const heads[] = {"device", "storey", "verdict", ">over dB", "remark"};
    report_table table;
    size_t told = 0;
    for (size_t v = 0; v < HR_VERDICT_COUNT; v++) {
        for (size_t i = 0; i < a->count; i++) {
            const hr_acceptance_row *row = &a->rows[i];
            const bool plain = row->verdict == HR_VERDICT_PASS || row->verdict == HR_VERDICT_NOT_READ;
            if (row->verdict != order[v] || (plain && row->remark[0] == '\0')) {
                continue; /* nothing to add to the storey's table */
            }
            if (told++ == 0) {
                hr_text_add(out, "\nTo look at\n");
                report_table_start(&table, heads, sizeof heads / sizeof heads[0]);
            }
            report_table_cell(&table, b->devices[row->device].name);
            report_table_cell(&table, b->storeys[b->devices[row->device].storey].name);
            report_table_cell(&table, hr_verdict_name(row->verdict));
            report_table_fixed(&table, row->over_db, 1);
            report_table_cell(&table, row->remark);
        }
    }
    if (told > 0) {
        report_table_end(&table, out);
    }
}

static void add_left_out(const hr_readings *r, hr_text *out)
{
    for (size_t i = 0; i < r->fault_count; i++) {
        hr_text_addf(out, "%s  line %d: %s\n", i == 0 ? "\nRows left out\n" : "", r->faults[i].line, r->faults[i].text);
    }
}

static void add_device(const hr_acceptance *a, const hr_acceptance_row *row, report_table *table)
{
    const hr_building *b = a->readings->building;
    const hr_reading *r = reading_of(a, row);
    const char *hop = planned_hop(b, row);
    report_table_cell(table, b->devices[row->device].name);
    report_table_cell(table, planned_gateway(b, row));
    report_table_cell(table, hop != NULL ? hop : planned_gateway(b, row));
    report_table_cell(table, row->joined);
    report_table_cell(table, read_with(a, row));
    report_table_cell(table, r == NULL ? NULL : r->to.device == row->device ? "device" : "far end");
    report_table_fixed(table, r == NULL ? REPORT_UNKNOWN : r->rssi_dbm, 1);
    report_table_fixed(table, row->over_db, 1);
    report_table_fixed(table, row->loss_percent, 1);
    report_table_cell(table, row->verdict == HR_VERDICT_PASS ? "pass" : row->verdict == HR_VERDICT_WEAK ? "WEAK"
                             : row->verdict == HR_VERDICT_FAIL ? "FAIL" : "NOT READ");
    report_table_cell(table, "[ ]");
}

static void add_devices(const hr_acceptance *a, hr_text *out)
{
    const hr_building *b = a->readings->building;
    static const char *const heads[] = {"device",  "planned", "next hop", "joined", "link with", "read at",
                                        ">level dBm", ">over dB", ">loss %",  "verdict", "seen"};
    for (uint32_t s = 0; s < b->storey_count; s++) {
        report_table table;
        size_t told = 0;
        for (size_t i = 0; i < a->count; i++) {
            if (b->devices[a->rows[i].device].storey != s) {
                continue;
            }
            if (told++ == 0) {
                hr_text_addf(out, "\nStorey %s\n", b->storeys[s].name);
                report_table_start(&table, heads, sizeof heads / sizeof heads[0]);
            }
            add_device(a, &a->rows[i], &table);
        }
        if (told > 0) {
            report_table_end(&table, out);
        }
    }
}

static void add_signatures(hr_text *out)
{
    static const char *const who[] = {"Measured by", "Checked by", "For the owner"};
    hr_text_add(out, "\nInstrument    ______________________________  Firmware ______________\n"
                     "Doors shut while reading  [ ]   Rooms occupied  [ ]\n");
    for (size_t i = 0; i < sizeof who / sizeof who[0]; i++) {
        hr_text_addf(out, "\n%s", who[i]);
        hr_text_pad(out, 14 - hr_text_width(who[i]));
        hr_text_add(out, "______________________________  Signature ______________________  Date ______________\n");
    }
}

hr_status hr_report_accept_text(const hr_acceptance *a, hr_text *out, hr_error *err)
{
    const hr_building *b = a->readings->building;
    hr_text_addf(out, "%s: radio coverage, acceptance of the installed devices\nReadings of %s, hallreach %s\n\n", b->name,
                 a->readings->file, hr_version());
    add_summary(a, out);
    add_limits(b, out);
    add_remarks(a, out);
    add_left_out(a->readings, out);
    add_devices(a, out);
    hr_text_add(out, "\nA level is of its moment: people, doors and the year move it by some 5 dB (standard deviation of fixed "
                     "indoor links).\n\nCautions\n");
    for (size_t i = 0; hr_report_caution_at(b, i) != NULL; i++) {
        hr_text_addf(out, "  - %s\n", hr_report_caution_at(b, i));
    }
    add_signatures(out);
    return report_done(out, err);
}

/* ---- CSV ---- */

static void add_cell(const char *text, hr_text *out)
{
    hr_text_add(out, ",");
    hr_text_csv(out, text == NULL ? "" : text);
}

static void add_figure(double value, hr_text *out)
{
    char buf[HR_FIXED_MAX];
    hr_text_add(out, ",");
    hr_text_add(out, isfinite(value) ? hr_short(hr_round(value, 4), 4, buf) : "");
}

static const char *planned_word(const hr_acceptance_row *row)
{
    return row->as_planned < 0 ? "" : row->as_planned > 0 ? "yes" : "no";
}

hr_status hr_report_accept_csv(const hr_acceptance *a, hr_text *out, hr_error *err)
{
    const hr_building *b = a->readings->building;
    report_list_head(b, out);
    hr_text_add(out, "device,room,kind,storey,verdict,from,to,rssi_dbm,over_sensitivity_db,pass_db,fail_db,loss_percent,joined,"
                     "planned_gateway,planned_next_hop,as_planned,remark\n");
    for (size_t i = 0; i < a->count; i++) {
        const hr_acceptance_row *row = &a->rows[i];
        const hr_device *device = &b->devices[row->device];
        const hr_reading *r = reading_of(a, row);
        hr_text_csv(out, device->name);
        add_cell(b->rooms[device->room].name, out);
        add_cell(kind_of(b, row)->name, out);
        add_cell(b->storeys[device->storey].name, out);
        add_cell(hr_verdict_name(row->verdict), out);
        add_cell(r == NULL ? NULL : r->from.name, out);
        add_cell(r == NULL ? NULL : r->to.name, out);
        add_figure(r == NULL ? REPORT_UNKNOWN : r->rssi_dbm, out);
        add_figure(row->over_db, out);
        add_figure(kind_of(b, row)->accept_pass_db, out);
        add_figure(kind_of(b, row)->accept_fail_db, out);
        add_figure(row->loss_percent, out);
        add_cell(row->joined, out);
        add_cell(planned_gateway(b, row), out);
        add_cell(planned_hop(b, row), out);
        add_cell(planned_word(row), out);
        add_cell(row->remark, out);
        hr_text_add(out, "\n");
    }
    return report_done(out, err);
}

/* ---- JSON ---- */

static json_t *device_row(report_json *json, const hr_acceptance *a, const hr_acceptance_row *row)
{
    const hr_building *b = a->readings->building;
    const hr_device *device = &b->devices[row->device];
    const hr_device_kind *kind = kind_of(b, row);
    const hr_reading *r = reading_of(a, row);
    json_t *o = json_object();
    report_put(json, o, "device", report_string(json, device->name));
    report_put(json, o, "room", report_string(json, b->rooms[device->room].name));
    report_put(json, o, "kind", report_string(json, kind->name));
    report_put(json, o, "storey", report_string(json, b->storeys[device->storey].name));
    report_put(json, o, "verdict", report_string(json, hr_verdict_name(row->verdict)));
    report_put(json, o, "line", r == NULL ? json_null() : report_count((uint64_t)r->line));
    report_put(json, o, "from", report_string(json, r == NULL ? NULL : r->from.name));
    report_put(json, o, "to", report_string(json, r == NULL ? NULL : r->to.name));
    report_put(json, o, "measured_dbm", report_level(r == NULL ? REPORT_UNKNOWN : r->rssi_dbm));
    report_put(json, o, "over_sensitivity_db", report_level(row->over_db));
    report_put(json, o, "pass_db", report_level(kind->accept_pass_db));
    report_put(json, o, "fail_db", report_level(kind->accept_fail_db));
    report_put(json, o, "readings", report_count(row->readings));
    report_put(json, o, "loss_percent", report_level(row->loss_percent));
    report_put(json, o, "joined", report_string(json, row->joined));
    report_put(json, o, "planned_gateway", report_string(json, planned_gateway(b, row)));
    report_put(json, o, "planned_next_hop", report_string(json, planned_hop(b, row)));
    report_put(json, o, "as_planned", row->as_planned < 0 ? json_null() : json_boolean(row->as_planned > 0));
    report_put(json, o, "remark", report_string(json, row->remark[0] == '\0' ? NULL : row->remark));
    return o;
}

hr_status hr_report_accept_json(const hr_acceptance *a, const hr_notes *notes, hr_text *out, hr_error *err)
{
    report_json json = {0};
    json_t *top = json_object(), *list = json_array();
    for (size_t i = 0; i < a->count; i++) {
        report_append(&json, list, device_row(&json, a, &a->rows[i]));
    }
    report_put(&json, top, "command", report_string(&json, "accept"));
    report_put(&json, top, "version", report_string(&json, hr_version()));
    report_put(&json, top, "property", report_string(&json, a->readings->building->name));
    report_put(&json, top, "accepted", json_boolean(is_accepted(a)));
    report_put(&json, top, "devices", list);
    report_put(&json, top, "pass", report_count(a->verdicts[HR_VERDICT_PASS]));
    report_put(&json, top, "weak", report_count(a->verdicts[HR_VERDICT_WEAK]));
    report_put(&json, top, "fail", report_count(a->verdicts[HR_VERDICT_FAIL]));
    report_put(&json, top, "not_read", report_count(a->verdicts[HR_VERDICT_NOT_READ]));
    report_put(&json, top, "joined_elsewhere", report_count(a->elsewhere));
    report_put(&json, top, "readings", report_count(a->readings->count));
    report_put(&json, top, "left_out", report_count(a->readings->fault_count));
    report_put_tail(&json, top, a->readings->building, notes);
    return report_json_end(&json, top, out, err);
}
