/*
 * json.c - small builders over jansson.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

#include <math.h>

void report_put(report_json *json, json_t *object, const char *key, json_t *value)
{
    /* takes the value over in every case */
    json->failed = json_object_set_new(object, key, value) != 0 || json->failed;
}

void report_append(report_json *json, json_t *array, json_t *value)
{
    json->failed = json_array_append_new(array, value) != 0 || json->failed;
}

json_t *report_string(report_json *json, const char *text)
{
    if (text == NULL) {
        return json_null();
    }
    json_t *value = json_string(text);
    json->failed = json->failed || value == NULL;
    return value;
}

static json_t *rounded(double value, int decimals)
{
    return isfinite(value) ? json_real(hr_round(value, decimals)) : json_null();
}

json_t *report_level(double value)
{
    return rounded(value, 4);
}

json_t *report_probability(double value)
{
    return rounded(value, 9);
}

json_t *report_count(uint64_t value)
{
    return json_integer((json_int_t)value);
}

void report_put_tail(report_json *json, json_t *object, const hr_building *building, const hr_notes *notes)
{
    json_t *cautions = json_array(), *warnings = json_array();
    for (size_t i = 0; hr_report_caution_at(building, i) != NULL; i++) {
        report_append(json, cautions, report_string(json, hr_report_caution_at(building, i)));
    }
    for (size_t i = 0; i < hr_notes_count(notes); i++) {
        report_append(json, warnings, report_string(json, hr_notes_text(notes, i)));
    }
    report_put(json, object, "cautions", cautions);
    report_put(json, object, "warnings", warnings);
}

static int add_bytes(const char *bytes, size_t len, void *user)
{
    hr_text *out = user;
    hr_text_add_n(out, bytes, len);
    return out->failed ? -1 : 0;
}

hr_status report_json_end(report_json *json, json_t *object, hr_text *out, hr_error *err)
{
    if (object == NULL || json->failed ||
        json_dump_callback(object, add_bytes, out, JSON_INDENT(1) | JSON_REAL_PRECISION(15)) != 0) {
        out->failed = true;
    }
    hr_text_add(out, "\n");
    json_decref(object);
    return report_done(out, err);
}
