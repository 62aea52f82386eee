/*
 * fit.c - a fit as the section of a property file that puts it to use, and as JSON.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

#include <string.h>

/* Property files cut lines at 199 bytes; comments stay clear of it. */
#define LINE_MAX_BYTES 180

/* One comment line; what would make it too long, or end it, is dropped. */
static void comment(hr_text *out, hr_text *line)
{
    hr_text_add(line, "");
    if (line->failed) {
        out->failed = true;
        return;
    }
    size_t len = line->len < LINE_MAX_BYTES ? line->len : LINE_MAX_BYTES;
    while (len < line->len && len > 0 && ((unsigned char)line->bytes[len] & 0xC0) == 0x80) {
        len--; /* not within a character */
    }
    for (size_t i = 0; i < len; i++) {
        line->bytes[i] = (unsigned char)line->bytes[i] < ' ' ? ' ' : line->bytes[i];
    }
    hr_text_add(out, len > 0 ? "; " : ";");
    hr_text_add_n(out, line->bytes, len);
    hr_text_add(out, "\n");
    line->len = 0;
}

static void say(hr_text *out, const char *text)
{
    hr_text line = {0};
    hr_text_add(&line, text);
    comment(out, &line);
    hr_text_free(&line);
}

static void add_estimate(hr_text *out, const char *name, const hr_calibration_estimate *e, int decimals, double prior,
                         double prior_spread)
{
    hr_text line = {0};
    hr_text_add(&line, name);
    const size_t width = hr_text_width(name);
    hr_text_pad(&line, width < 28 ? 28 - width : 1);
    hr_text_fixed(&line, e->value, decimals);
    hr_text_add(&line, "  (");
    hr_text_fixed(&line, e->low, decimals);
    hr_text_add(&line, " to ");
    hr_text_fixed(&line, e->high, decimals);
    hr_text_add(&line, ")  expected ");
    hr_text_fixed(&line, prior, decimals);
    hr_text_add(&line, " +- ");
    hr_text_fixed(&line, prior_spread, decimals);
    hr_text_addf(&line, "  %zu link%s", e->count, e->count == 1 ? "" : "s");
    if (!e->identifiable) {
        hr_text_add(&line, "  NOT TOLD by these readings alone");
    }
    comment(out, &line);
    hr_text_free(&line);
}

static void add_terms(const hr_fit *fit, hr_text *out)
{
    hr_text name = {0};
    say(out, "");
    say(out, "Terms, with posterior intervals of 90 %; dB but for the exponent");
    add_estimate(out, "offset", &fit->offset, 2, 0.0, fit->offset_prior_spread_db);
    add_estimate(out, "exponent", &fit->exponent, 3, fit->exponent_prior, fit->exponent_prior_spread);
    if (fit->has_floor) {
        add_estimate(out, "one slab", &fit->floor, 2, fit->floor_prior_db, fit->floor_prior_spread_db);
    }
    for (size_t i = 0; i < fit->material_count; i++) {
        const hr_fit_item *item = &fit->materials[i];
        add_estimate(out, item->name, &item->estimate, 2, item->prior, item->prior_spread);
    }
    for (size_t i = 0; i < fit->gateway_count && !name.failed; i++) {
        const hr_fit_item *item = &fit->gateways[i];
        name.len = 0;
        hr_text_addf(&name, "gateway %s", item->name);
        add_estimate(out, name.failed ? "gateway" : name.bytes, &item->estimate, 2, item->prior, item->prior_spread);
    }
    out->failed = out->failed || name.failed;
    hr_text_free(&name);
    hr_text line = {0};
    hr_text_add(&line, "standard deviation          ");
    hr_text_fixed(&line, fit->sigma_db, 2);
    hr_text_add(&line, "  gross errors not taken out count in it");
    comment(out, &line);
    hr_text_free(&line);
}

static const char *room_name(const hr_fit *fit, size_t reading)
{
    const uint32_t room = hr_readings_room(fit->readings, reading);
    return room == HR_READINGS_NONE ? NULL : fit->readings->building->rooms[room].name;
}

static void add_outliers(const hr_fit *fit, hr_text *out)
{
    hr_text line = {0};
    say(out, "");
    hr_text_addf(&line, "Outliers: %zu", fit->outlier_count);
    comment(out, &line);
    for (size_t i = 0; i < fit->outlier_count; i++) {
        const hr_fit_outlier *o = &fit->outliers[i];
        const hr_reading *r = &fit->readings->items[o->reading];
        const char *room = room_name(fit, o->reading);
        hr_text_addf(&line, "line %d: %s to %s%s%s, ", r->line, r->from.name, r->to.name, room == NULL ? "" : ", room ",
                     room == NULL ? "" : room);
        hr_text_fixed(&line, o->difference_db, 1);
        hr_text_add(&line, r->heard ? " dB from the fit: read it again, look for what stands there"
                                    : " dB: not heard, though the fit is so far above its threshold");
        comment(out, &line);
    }
    hr_text_free(&line);
}

/* Outside what open measurements of such buildings gave, a fit asks for a second look. */
static void add_doubts(const hr_fit *fit, hr_text *out)
{
    if (fit->exponent.value < 1.0 + 1e-6 || fit->exponent.value > 4.5) {
        say(out, "Doubt: exponents within buildings measure 1.0 to 4.5.");
    }
    if (fit->sigma_db < 4.0 || fit->sigma_db > 9.0) {
        say(out, "Doubt: standard deviations within buildings measure 4 to 9 dB; few readings, or gross errors?");
    }
    if (fit->has_floor && fit->floor.identifiable && (fit->floor.value < 12.0 || fit->floor.value > 24.0)) {
        say(out, "Doubt: a first slab measures 12 to 24 dB.");
    }
    if (fit->rank < fit->terms) {
        say(out, "Too few readings, or too alike: of some terms only sums are told, the rest is what was expected.");
    }
}

static void add_head(const hr_fit *fit, hr_text *out)
{
    const hr_readings *r = fit->readings;
    hr_text line = {0};
    hr_text_addf(&line, "Radio coverage, fit of %s", r->building->name);
    comment(out, &line);
    hr_text_addf(&line, "hallreach %s; readings of %s", hr_version(), r->file);
    comment(out, &line);
    say(out, hr_report_caution());
    say(out, "");
    hr_text_addf(&line, "%zu %s of %zu %s used, %zu of them not heard; %zu %s left out", r->count,
                 r->count == 1 ? "reading" : "readings", fit->links, fit->links == 1 ? "link" : "links",
                 r->count - r->heard, r->fault_count, r->fault_count == 1 ? "row" : "rows");
    comment(out, &line);
    for (size_t i = 0; i < r->fault_count; i++) {
        hr_text_addf(&line, "line %d left out: %s", r->faults[i].line, r->faults[i].text);
        comment(out, &line);
    }
    if (r->heard > 0) {
        hr_text_add(&line, "Root mean square of measured - predicted: ");
        hr_text_fixed(&line, fit->rmse_before_db, 1);
        hr_text_add(&line, " dB before, ");
        hr_text_fixed(&line, fit->rmse_db, 1);
        hr_text_add(&line, " dB with this fit (of the same readings: flattering)");
        comment(out, &line);
    }
    hr_text_free(&line);
}

static void key(hr_text *out, const char *name, double value, int decimals)
{
    hr_text_addf(out, "%s = ", name);
    hr_text_fixed(out, value, decimals);
    hr_text_add(out, "\n");
}

static void add_section(const hr_fit *fit, hr_text *out)
{
    hr_text_add(out, "\n[fitted]\n");
    key(out, "offset_db", fit->offset.value, 2);
    key(out, "exponent", fit->exponent.value, 3);
    key(out, "shadowing_db", fmin(fmax(fit->sigma_db, 0.1), 30.0), 2);
    if (fit->has_floor) {
        key(out, "floor_loss_db", fit->floor.value, 2);
    }
    for (size_t i = 0; i < fit->material_count; i++) {
        hr_text_addf(out, "material = %s ", fit->materials[i].name);
        hr_text_fixed(out, fit->materials[i].estimate.value, 2);
        hr_text_add(out, "\n");
    }
    for (size_t i = 0; i < fit->gateway_count; i++) {
        hr_text_addf(out, "gateway_offset = %s ", fit->gateways[i].name);
        hr_text_fixed(out, fit->gateways[i].estimate.value, 2);
        hr_text_add(out, "\n");
    }
}

hr_status hr_report_fit_ini(const hr_fit *fit, hr_text *out, hr_error *err)
{
    add_head(fit, out);
    add_terms(fit, out);
    add_outliers(fit, out);
    add_doubts(fit, out);
    say(out, "");
    say(out, "Put this section at the end of the property file, in place of a [fitted] that stands there.");
    say(out, "Time variation is counted beside shadowing_db: single readings hold some of both, the sum is careful.");
    add_section(fit, out);
    return report_done(out, err);
}

/* ---- JSON ---- */

static json_t *estimate(report_json *json, const char *name_key, const char *name, const char *value_key,
                        const hr_calibration_estimate *e)
{
    json_t *row = json_object();
    if (name_key != NULL) {
        report_put(json, row, name_key, report_string(json, name));
    }
    report_put(json, row, value_key, report_level(e->value));
    report_put(json, row, "low", report_level(e->low));
    report_put(json, row, "high", report_level(e->high));
    report_put(json, row, "identifiable", json_boolean(e->identifiable));
    report_put(json, row, "links", report_count(e->count));
    return row;
}

static json_t *items(report_json *json, const char *name_key, const char *value_key, const hr_fit_item *list,
                     size_t count)
{
    json_t *rows = json_array();
    for (size_t i = 0; i < count; i++) {
        report_append(json, rows, estimate(json, name_key, list[i].name, value_key, &list[i].estimate));
    }
    return rows;
}

static json_t *outliers(report_json *json, const hr_fit *fit)
{
    json_t *rows = json_array();
    for (size_t i = 0; i < fit->outlier_count; i++) {
        const hr_fit_outlier *o = &fit->outliers[i];
        const hr_reading *r = &fit->readings->items[o->reading];
        json_t *row = json_object();
        report_put(json, row, "line", report_count((uint64_t)r->line));
        report_put(json, row, "from", report_string(json, r->from.name));
        report_put(json, row, "to", report_string(json, r->to.name));
        report_put(json, row, "room", report_string(json, room_name(fit, o->reading)));
        report_put(json, row, "measured_dbm", report_level(r->rssi_dbm));
        report_put(json, row, "difference_db", report_level(o->difference_db));
        report_put(json, row, "probability", report_probability(o->probability));
        report_append(json, rows, row);
    }
    return rows;
}

hr_status hr_report_fit_json(const hr_fit *fit, const hr_notes *notes, hr_text *out, hr_error *err)
{
    report_json json = {0};
    json_t *top = json_object();
    const hr_building *b = fit->readings->building;
    report_put(&json, top, "command", report_string(&json, "fit"));
    report_put(&json, top, "version", report_string(&json, hr_version()));
    report_put(&json, top, "property", report_string(&json, b->name));
    report_put(&json, top, "readings", report_count(fit->readings->count));
    report_put(&json, top, "links", report_count(fit->links));
    report_put(&json, top, "not_heard", report_count(fit->readings->count - fit->readings->heard));
    report_put(&json, top, "left_out", report_count(fit->readings->fault_count));
    report_put(&json, top, "confidence", report_probability(fit->confidence));
    report_put(&json, top, "offset", estimate(&json, NULL, NULL, "value", &fit->offset));
    report_put(&json, top, "exponent", estimate(&json, NULL, NULL, "value", &fit->exponent));
    report_put(&json, top, "floor", fit->has_floor ? estimate(&json, NULL, NULL, "loss_db", &fit->floor) : json_null());
    report_put(&json, top, "materials", items(&json, "material", "loss_db", fit->materials, fit->material_count));
    report_put(&json, top, "gateways", items(&json, "gateway", "offset_db", fit->gateways, fit->gateway_count));
    report_put(&json, top, "sigma_db", report_level(fit->sigma_db));
    report_put(&json, top, "rmse_db", report_level(fit->rmse_db));
    report_put(&json, top, "outliers", outliers(&json, fit));
    report_put_tail(&json, top, b, notes);
    return report_json_end(&json, top, out, err);
}
