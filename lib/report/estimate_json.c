/*
 * estimate_json.c - how many gateways, as JSON.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

static json_t *holds_rows(report_json *json, const hr_estimate *e)
{
    json_t *rows = json_array();
    for (size_t i = 0; i < e->holds_count; i++) {
        json_t *row = json_object();
        report_put(json, row, "gateways", report_count(e->holds[i].gateways));
        report_put(json, row, "share", report_probability(e->holds[i].share));
        report_put(json, row, "error", report_probability(e->holds[i].error));
        report_put(json, row, "expected_failing_rooms", report_probability(e->holds[i].expected_failing_rooms));
        report_append(json, rows, row);
    }
    return rows;
}

static json_t *driver_rows(report_json *json, const hr_estimate *e)
{
    json_t *rows = json_array();
    for (size_t i = 0; i < e->driver_count; i++) {
        const hr_estimate_driver *d = &e->drivers[i];
        json_t *row = json_object();
        report_put(json, row, "unknown", report_string(json, d->unknown));
        report_put(json, row, "fewest", report_count(d->low));
        report_put(json, row, "most", report_count(d->high));
        json_t *cases = json_array();
        for (size_t k = 0; k < d->case_count; k++) {
            json_t *one = json_object();
            report_put(json, one, "with", report_string(json, d->cases[k].word));
            report_put(json, one, "gateways", report_count(d->cases[k].gateways));
            report_append(json, cases, one);
        }
        report_put(json, row, "cases", cases);
        report_put(json, row, "share", report_probability(d->share));
        report_put(json, row, "question", report_string(json, d->question));
        report_append(json, rows, row);
    }
    return rows;
}

static json_t *slab_rows(report_json *json, const hr_estimate *e)
{
    json_t *rows = json_array();
    for (size_t i = 0; i < e->slab_count; i++) {
        json_t *row = json_object();
        report_put(json, row, "max_slabs", json_integer(e->slabs[i].max_slabs));
        report_put(json, row, "gateways", report_count(e->slabs[i].gateways));
        report_put(json, row, "out_of_reach", report_count(e->slabs[i].unreached));
        report_put(json, row, "in_force", json_boolean(e->slabs[i].in_force));
        report_append(json, rows, row);
    }
    return rows;
}

static json_t *money(double value, int decimals)
{
    return isfinite(value) ? json_real(hr_round(value, decimals)) : json_null();
}

static json_t *sheet_rows(report_json *json, const hr_estimate *e)
{
    json_t *rows = json_array();
    for (size_t i = 0; i < e->line_count; i++) {
        const hr_quote_line *line = &e->lines[i];
        json_t *row = json_object();
        report_put(json, row, "item", report_string(json, line->item));
        report_put(json, row, "words", report_string(json, line->words));
        report_put(json, row, "quantity", isfinite(line->quantity) ? report_count((uint64_t)line->quantity) : json_null());
        report_put(json, row, "unit", report_string(json, line->unit));
        report_put(json, row, "unit_price", money(line->unit_price, 4));
        report_put(json, row, "total", money(line->total, 2));
        report_put(json, row, "note", report_string(json, line->note));
        report_append(json, rows, row);
    }
    return rows;
}

static json_t *cross_check(report_json *json, const hr_estimate *e)
{
    json_t *object = json_object();
    report_put(json, object, "area_m2", report_level(e->area_m2));
    report_put(json, object, "range_limit_m", report_level(e->range_limit_m));
    report_put(json, object, "rule_of_thumb", e->thumb > 0 ? report_count(e->thumb) : json_null());
    report_put(json, object, "p1238", report_count(e->p1238));
    report_put(json, object, "p1238_not_served", report_count(e->p1238_unreached));
    report_put(json, object, "p1238_row", report_string(json, e->p1238_row));
    return object;
}

static json_t *default_rows(report_json *json, const hr_estimate *e)
{
    json_t *rows = json_array();
    for (size_t i = 0; i < e->default_count; i++) {
        json_t *row = json_object();
        report_put(json, row, "what", report_string(json, e->defaults[i].what));
        report_put(json, row, "value", report_string(json, e->defaults[i].value));
        report_put(json, row, "why", report_string(json, e->defaults[i].why));
        report_append(json, rows, row);
    }
    return rows;
}

static void put_counts(report_json *json, json_t *top, const hr_estimate *e)
{
    json_t *gateways = json_object();
    report_put(json, gateways, "p10", report_count(e->p10));
    report_put(json, gateways, "p50", report_count(e->p50));
    report_put(json, gateways, "p90", report_count(e->p90));
    report_put(json, gateways, "mean", report_level(e->mean));
    report_put(json, gateways, "mean_error", report_level(e->mean_error));
    report_put(json, gateways, "nominal", report_count(e->nominal));
    report_put(json, gateways, "nominal_proved_fewest", json_boolean(e->nominal_proved));
    report_put(json, top, "gateways", gateways);
    report_put(json, top, "holds", holds_rows(json, e));
    report_put(json, top, "quote", e->quote > 0 ? report_count(e->quote) : json_null());
}

static json_t *estimate_object(report_json *json, const hr_building *building, const hr_estimate *e, const hr_notes *notes)
{
    json_t *top = json_object();
    report_put(json, top, "command", report_string(json, "estimate"));
    report_put(json, top, "version", report_string(json, hr_version()));
    report_put(json, top, "property", report_string(json, e->name));
    report_put(json, top, "budget_figure", json_boolean(e->from_numbers));
    report_put(json, top, "frequency_mhz", report_level(building->radio.frequency_mhz));
    report_put(json, top, "model", report_string(json, hr_building_model_name((hr_model)building->radio.model)));
    report_put(json, top, "rooms", report_count(e->rooms));
    report_put(json, top, "rooms_said", report_count(e->rooms_said));
    report_put(json, top, "devices", report_count(e->devices));
    report_put(json, top, "buildings", report_count(e->buildings));
    put_counts(json, top, e);
    report_put(json, top, "drivers", driver_rows(json, e));
    report_put(json, top, "by_slabs", slab_rows(json, e));
    report_put(json, top, "cross_check", e->p1238_row != NULL ? cross_check(json, e) : json_null());
    report_put(json, top, "currency", report_string(json, e->currency));
    report_put(json, top, "sheet", sheet_rows(json, e));
    report_put(json, top, "total", e->currency != NULL ? money(e->total, 2) : json_null());
    report_put(json, top, "lines_without_price", e->currency != NULL ? report_count(e->unpriced) : json_null());
    report_put(json, top, "defaults", default_rows(json, e));
    report_put(json, top, "draws", report_count(e->draws));
    report_put(json, top, "seed", report_count(e->seed));
    report_put(json, top, "confidence", report_probability(e->confidence));
    report_put(json, top, "served_share", report_probability(e->served_share));
    report_put(json, top, "out_of_reach_share", report_probability(e->unreached_share));
    report_put_tail(json, top, building, notes);
    return top;
}

hr_status hr_report_estimate_json(const hr_building *building, const hr_estimate *e, const hr_notes *notes, hr_text *out,
                                  hr_error *err)
{
    report_json json = {0};
    return report_json_end(&json, estimate_object(&json, building, e, notes), out, err);
}
