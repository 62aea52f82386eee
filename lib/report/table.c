/*
 * table.c - text tables and small shared writers.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

#include <string.h>

void report_table_start(report_table *table, const char *const *heads, size_t columns)
{
    *table = (report_table){.columns = columns};
    for (size_t i = 0; i < columns; i++) {
        table->right[i] = heads[i][0] == '>';
        report_table_cell(table, heads[i] + (table->right[i] ? 1 : 0));
    }
}

void report_table_cell(report_table *table, const char *text)
{
    hr_text_add_n(&table->cells, text == NULL ? "-" : text, text == NULL ? 2 : strlen(text) + 1);
    table->count++;
}

void report_table_fixed(report_table *table, double value, int decimals)
{
    char buf[HR_FIXED_MAX];
    report_table_cell(table, hr_fixed(value, decimals, buf));
}

void report_table_count(report_table *table, size_t value)
{
    hr_text text = {0};
    hr_text_addf(&text, "%zu", value);
    report_table_cell(table, report_words(&table->cells, &text));
    hr_text_free(&text);
}

static void write_row(const report_table *table, const char **at, const size_t *widths, hr_text *out)
{
    hr_text_add(out, "  ");
    for (size_t c = 0; c < table->columns; c++) {
        const size_t width = hr_text_width(*at), fill = widths[c] - width;
        if (table->right[c]) {
            hr_text_pad(out, fill);
        }
        hr_text_add(out, *at);
        if (c + 1 < table->columns) {
            hr_text_pad(out, table->right[c] ? 2 : fill + 2);
        }
        *at += strlen(*at) + 1;
    }
    while (out->len > 0 && out->bytes[out->len - 1] == ' ') {
        out->len--; /* no blanks at a line's end */
    }
    hr_text_add(out, "\n");
}

void report_table_end(report_table *table, hr_text *out)
{
    if (table->cells.failed) {
        out->failed = true;
    } else {
        size_t widths[TABLE_COLUMNS_MAX] = {0};
        const char *at = table->cells.bytes;
        for (size_t i = 0; i < table->count; i++) {
            const size_t width = hr_text_width(at);
            if (width > widths[i % table->columns]) {
                widths[i % table->columns] = width;
            }
            at += strlen(at) + 1;
        }
        at = table->cells.bytes;
        for (size_t row = 0; row < table->count / table->columns; row++) {
            write_row(table, &at, widths, out);
        }
    }
    hr_text_free(&table->cells);
}

double report_length(const hr_building *building, double length_m)
{
    return hr_units_from_metres(length_m, building->length_unit);
}

double report_area(const hr_building *building, double area_m2)
{
    return report_length(building, report_length(building, area_m2));
}

const char *report_unit(const hr_building *building)
{
    return hr_units_length_name(building->length_unit);
}

void report_list_head(const hr_building *building, hr_text *out)
{
    hr_text_addf(out, "# length_unit = %s\n# hallreach = %s\n", report_unit(building), hr_version());
}

void report_level_cell(double value_db, hr_text *out)
{
    char buf[HR_FIXED_MAX];
    hr_text_add(out, ",");
    if (isfinite(value_db)) {
        hr_text_add(out, hr_short(hr_round(value_db, 4), 4, buf));
    }
}

hr_status report_done(const hr_text *out, hr_error *err)
{
    return out->failed ? hr_fail_memory(err) : HR_OK;
}

const char *report_words(hr_text *into, const hr_text *words)
{
    into->failed = into->failed || words->failed;
    return words->failed || words->bytes == NULL ? "" : words->bytes;
}

double report_rounded_spare(const hr_siting *siting, size_t device_row)
{
    double least = REPORT_UNKNOWN;
    for (size_t at = device_row, steps = 0; at != HR_SITING_NONE && steps <= siting->device_count; steps++) {
        const hr_device_row *row = &siting->devices[at];
        if (!row->has_link) {
            return REPORT_UNKNOWN;
        }
        const double spare = hr_round(row->link.link_margin_db, 4) - hr_round(row->link.required_margin_db, 4);
        least = spare < least || isnan(least) ? spare : least;
        at = row->via;
    }
    return least;
}
