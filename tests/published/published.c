/*
 * published.c - reads tables of published figures strictly and checks them.
 *
 * SPDX-License-Identifier: MIT
 */
#include "published.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const pub_adapter *const adapter_lists[] = {pub_basic, pub_models, pub_physics};

pub_compute pub_find(const char *function)
{
    for (size_t list = 0; list < sizeof adapter_lists / sizeof adapter_lists[0]; list++) {
        for (const pub_adapter *a = adapter_lists[list]; a->function != NULL; a++) {
            if (strcmp(a->function, function) == 0) {
                return a->compute;
            }
        }
    }
    return NULL;
}

static const char *cell(const hr_csv *csv, size_t row, const char *column)
{
    const size_t c = hr_csv_column(csv, column);
    return c == SIZE_MAX ? "" : hr_csv_cell(csv, row, c);
}

const char *pub_word(const pub_row *row, const char *column)
{
    const char *text = cell(row->csv, row->row, column);
    if (text[0] == '\0' && row->trouble[0] == '\0') {
        snprintf(row->trouble, PUB_TEXT, "input '%s' is missing", column);
    }
    return text;
}

double pub_in(const pub_row *row, const char *column)
{
    const char *text = pub_word(row, column);
    double value = (double)NAN;
    if (text[0] != '\0' && !hr_number_parse(text, &value) && row->trouble[0] == '\0') {
        snprintf(row->trouble, PUB_TEXT, "input '%s' is '%s', expected a number", column, text);
    }
    return value;
}

double pub_half_digit(const char *number)
{
    int decimals = 0;
    bool after_point = false;
    const char *p = number;
    for (; *p != '\0' && *p != 'e' && *p != 'E'; p++) {
        if (*p == '.') {
            after_point = true;
        } else if (after_point && *p >= '0' && *p <= '9') {
            decimals++;
        }
    }
    const long exponent = *p != '\0' ? strtol(p + 1, NULL, 10) : 0;
    return 0.5 * pow(10.0, (double)(exponent - decimals));
}

/* ---- loading ------------------------------------------------------------ */

static bool bad_row(const hr_csv *csv, size_t row, const char *what, char message[PUB_TEXT])
{
    snprintf(message, PUB_TEXT, "%s:%d: %s: %s", hr_csv_file(csv), hr_csv_line(csv, row), cell(csv, row, "id"), what);
    return false;
}

static bool load_row(const hr_csv *csv, size_t i, const hr_material_rows *sources, pub_row *row, char message[PUB_TEXT])
{
    row->csv = csv;
    row->row = i;
    row->id = cell(csv, i, "id");
    row->function = cell(csv, i, "function");
    row->source = cell(csv, i, "source");
    const char *note = cell(csv, i, "note");
    const char *expected = cell(csv, i, "expected");
    if (row->id[0] == '\0') {
        return bad_row(csv, i, "no id", message);
    }
    if (pub_find(row->function) == NULL) {
        return bad_row(csv, i, "unknown function", message);
    }
    if (!hr_number_parse(expected, &row->expected)) {
        return bad_row(csv, i, "expected is not a number", message);
    }
    if (!hr_number_parse(cell(csv, i, "tolerance"), &row->tolerance) || !(row->tolerance > 0.0)) {
        return bad_row(csv, i, "tolerance is not a positive number", message);
    }
    if (row->tolerance > pub_half_digit(expected) * (1.0 + 1e-9) && strstr(note, "tolerance:") == NULL) {
        return bad_row(csv, i, "tolerance above half the last printed digit without 'tolerance: why'", message);
    }
    const hr_source *source = hr_materials_source_find(sources, row->source);
    if (source == NULL) {
        return bad_row(csv, i, "source is not in reference/sources.csv", message);
    }
    if (strcmp(source->trust, "memory") == 0 && strstr(note, "from memory") == NULL) {
        return bad_row(csv, i, "a recalled figure is not marked 'from memory'", message);
    }
    return true;
}

static bool load_rows(pub_table *table, const hr_material_rows *sources, char message[PUB_TEXT])
{
    const char *const columns[] = {"id", "function", "expected", "tolerance", "source", "note"};
    for (size_t i = 0; i < sizeof columns / sizeof columns[0]; i++) {
        if (hr_csv_column(table->csv, columns[i]) == SIZE_MAX) {
            snprintf(message, PUB_TEXT, "%s: no column '%s'", hr_csv_file(table->csv), columns[i]);
            return false;
        }
    }
    long stated = -1;
    const char *comment = hr_csv_comment(table->csv, "rows");
    table->count = hr_csv_rows(table->csv);
    if (comment == NULL || !hr_integer_parse(comment, 1, 100000, &stated) || (size_t)stated != table->count) {
        snprintf(message, PUB_TEXT, "%s: has %zu rows, its comment says '%s'", hr_csv_file(table->csv), table->count,
                 comment != NULL ? comment : "nothing");
        return false;
    }
    table->rows = hr_alloc_zero(table->count, sizeof *table->rows);
    if (table->rows == NULL) {
        snprintf(message, PUB_TEXT, "out of memory");
        return false;
    }
    for (size_t i = 0; i < table->count; i++) {
        table->rows[i].trouble = table->trouble;
        if (!load_row(table->csv, i, sources, &table->rows[i], message)) {
            return false;
        }
        for (size_t j = 0; j < i; j++) {
            if (strcmp(table->rows[j].id, table->rows[i].id) == 0) {
                return bad_row(table->csv, i, "this id was there before", message);
            }
        }
    }
    return true;
}

bool pub_load(const char *file, const char *bytes, size_t len, const hr_material_rows *sources, pub_table *table,
              char message[PUB_TEXT])
{
    *table = (pub_table){0};
    hr_error err = {0};
    if (hr_csv_parse(file, bytes, len, &table->csv, &err) != HR_OK) {
        hr_error_format(&err, message, PUB_TEXT);
        return false;
    }
    if (!load_rows(table, sources, message)) {
        pub_free(table);
        return false;
    }
    return true;
}

void pub_free(pub_table *table)
{
    hr_free(table->rows);
    hr_csv_free(table->csv);
    *table = (pub_table){0};
}

/* ---- checking ----------------------------------------------------------- */

bool pub_check(const pub_row *row, double nudge, char message[PUB_TEXT])
{
    row->trouble[0] = '\0';
    const double value = pub_find(row->function)(row);
    if (row->trouble[0] != '\0') {
        snprintf(message, PUB_TEXT, "%s: %.300s", row->id, row->trouble);
        return false;
    }
    const double expected = row->expected + nudge;
    /* the slack is for the rounding of the difference itself */
    const double slack = 1e-12 * fabs(expected);
    if (!(value >= expected - row->tolerance - slack && value <= expected + row->tolerance + slack)) {
        snprintf(message, PUB_TEXT, "%s: %s gives %.9g, published %.9g within %.3g (%s)", row->id, row->function, value,
                 expected, row->tolerance, row->source);
        return false;
    }
    return true;
}
