/* report_priv.h - shared by the files of this module only.
 * SPDX-License-Identifier: MIT */
#ifndef REPORT_PRIV_H
#define REPORT_PRIV_H

#include <jansson.h>
#include <math.h>

#include "hr_report.h"

/* ---- text tables: columns aligned by their widest cell ---- */

#define TABLE_COLUMNS_MAX 12

typedef struct report_table {
    hr_text cells;   /* zero-separated, row by row */
    size_t columns, count;
    bool right[TABLE_COLUMNS_MAX]; /* numbers stand right */
} report_table;

/* Heads whose first letter is '>' stand right (the sign is not shown). */
void report_table_start(report_table *table, const char *const *heads, size_t columns);
void report_table_cell(report_table *table, const char *text);
void report_table_fixed(report_table *table, double value, int decimals); /* not finite: "-" */
void report_table_count(report_table *table, size_t value);
/* Writes the table indented by two blanks and frees it. */
void report_table_end(report_table *table, hr_text *out);

/* ---- JSON: a failed call is remembered, checked once at the end ---- */

typedef struct report_json {
    bool failed;
} report_json;

void report_put(report_json *json, json_t *object, const char *key, json_t *value);
void report_append(report_json *json, json_t *array, json_t *value);
json_t *report_string(report_json *json, const char *text); /* NULL gives null */
json_t *report_level(double value);       /* dB, dBm, metres: 1e-4; not finite: null */
json_t *report_probability(double value); /* 1e-9 */
json_t *report_count(uint64_t value);
void report_put_tail(report_json *json, json_t *object, const hr_building *building, const hr_notes *notes);
/* Writes and releases the object. */
hr_status report_json_end(report_json *json, json_t *object, hr_text *out, hr_error *err);

/* ---- shared ---- */

/* A figure that is not there; written as "-" or null. */
#define REPORT_UNKNOWN ((double)NAN)

double report_length(const hr_building *building, double length_m);
const char *report_unit(const hr_building *building);
double report_area(const hr_building *building, double area_m2); /* in squares of that unit */
void report_list_head(const hr_building *building, hr_text *out);
/* A cell of a CSV list after another: dB to 1e-4, not finite: empty. */
void report_level_cell(double value_db, hr_text *out);
hr_status report_done(const hr_text *out, hr_error *err);
/* The words ("" where there are none) for use in `into`, which fails where they failed. */
const char *report_words(hr_text *into, const hr_text *words);
/* Levels as rounded to 1e-4, so that totals add up. */
double report_rounded_spare(const hr_siting *siting, size_t device_row);

/* The caution that a work sheet calls by this letter: M mains, F fire-rated drilling, O old walls, P plenum, K keep clear,
 * L ladders, A antennas. */
const char *report_caution_by(char letter);

/* ---- siting_more.c: sections of `place` and `rooms`; each writes nothing where it has nothing to say ---- */

void report_add_mounting(const hr_building *building, const hr_siting *siting, hr_text *out);
void report_add_mesh(const hr_building *building, const hr_siting *siting, hr_text *out);
void report_add_closest(const hr_building *building, const hr_siting *siting, hr_text *out);
void report_add_without(const hr_building *building, const hr_siting *siting, hr_text *out);
void report_add_reasons(const hr_siting *siting, hr_text *out);
void report_add_tables(const hr_building *building, const hr_siting *siting, hr_text *out);

/* siting_text.c: what is served, how good the answer is; a line each. */
void report_add_summary(const hr_building *building, const hr_siting *siting, hr_text *out);

/* siting_json_more.c: keys of our own beside those of siting_json.c. */
void report_put_gateway_more(report_json *json, json_t *row, const hr_building *building, const hr_sited_gateway *gateway);
void report_put_siting_more(report_json *json, json_t *top, const hr_building *building, const hr_siting *siting);

/* Wall metres of one material on one storey plan. */
typedef struct report_material_total {
    uint32_t material;
    double wall_m;
    size_t walls, doors, windows, solids, metals;
} report_material_total;

/* Totals of a plan by material, in table order; *count of them. hr_free it. */
report_material_total *report_material_totals(const hr_building *building, const hr_plan *plan, size_t *count);
const char *report_material_name(const hr_building *building, uint32_t material);

#endif
