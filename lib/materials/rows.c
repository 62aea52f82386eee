/*
 * rows.c - the built-in rows and their sources, as the tables have them.
 *
 * SPDX-License-Identifier: MIT
 */
#include <math.h>
#include <string.h>

#include "hr_materials.h"
#include "materials_priv.h"

struct hr_material_rows {
    hr_csv *in_place, *slabs, *source_csv; /* own the text of the rows */
    hr_material_row *rows;
    size_t count;
    hr_source *sources;
    size_t source_count;
};

static const char *const use_names[] = {"wall", "opening", "floor", "metal"};

const char *hr_materials_use_name(hr_material_use use)
{
    return (unsigned)use < sizeof use_names / sizeof use_names[0] ? use_names[use] : "unknown";
}

hr_status hr_materials_column(const hr_csv *csv, const char *name, size_t *column, hr_error *err)
{
    const size_t found = hr_csv_column(csv, name);
    if (found == SIZE_MAX) {
        return hr_fail(err, HR_ERR_INPUT, hr_csv_file(csv), 0, "there is no column '%s'", name);
    }
    *column = found;
    return HR_OK;
}

hr_status hr_materials_number(const hr_csv *csv, size_t row, size_t column, double low, double high, bool may_be_empty,
                              double *value, hr_error *err)
{
    const char *cell = hr_csv_cell(csv, row, column);
    if (cell[0] == '\0' && may_be_empty) {
        *value = (double)NAN;
        return HR_OK;
    }
    double number = (double)NAN;
    if (!hr_number_parse(cell, &number) || !(number >= low && number <= high)) {
        char low_text[HR_FIXED_MAX];
        char high_text[HR_FIXED_MAX];
        return hr_fail(err, HR_ERR_INPUT, hr_csv_file(csv), hr_csv_line(csv, row),
                       "%s is '%s', expected a number from %s to %s", hr_csv_column_name(csv, column), cell,
                       hr_short(low, 3, low_text), hr_short(high, 3, high_text));
    }
    *value = number;
    return HR_OK;
}

/* ---- in place ---------------------------------------------------------- */

enum { C_NAME = 0, C_USE, C_FAMILY, C_FREQ, C_LOSS, C_SPREAD, C_LOW, C_HIGH, C_AT, C_SOURCE, C_NOTE, C_COUNT };

static const char *const in_place_columns[C_COUNT] = {
    "name",          "use",    "family", "freq_mhz", "loss_db", "spread_db", "published_low_db", "published_high_db",
    "published_mhz", "source", "note"};

static hr_status read_columns(const hr_csv *csv, const char *const *names, size_t count, size_t *columns, hr_error *err)
{
    for (size_t i = 0; i < count; i++) {
        const hr_status status = hr_materials_column(csv, names[i], &columns[i], err);
        if (status != HR_OK) {
            return status;
        }
    }
    return HR_OK;
}

static hr_status read_numbers(const hr_csv *csv, size_t row, const size_t *columns, hr_material_row *out, hr_error *err)
{
    const struct {
        int column;
        double low, high;
        bool may_be_empty;
        double *value;
    } numbers[] = {
        {C_FREQ, HR_FREQ_MIN_MHZ, HR_FREQ_MAX_MHZ, false, &out->freq_mhz},
        {C_LOSS, 0.0, 200.0, false, &out->loss_db},
        {C_SPREAD, 0.0, 200.0, false, &out->spread_db},
        {C_LOW, 0.0, 200.0, true, &out->published_low_db},
        {C_HIGH, 0.0, 200.0, true, &out->published_high_db},
        {C_AT, HR_FREQ_MIN_MHZ, HR_FREQ_MAX_MHZ, true, &out->published_mhz},
    };
    for (size_t i = 0; i < sizeof numbers / sizeof numbers[0]; i++) {
        const hr_status status = hr_materials_number(csv, row, columns[numbers[i].column], numbers[i].low,
                                                     numbers[i].high, numbers[i].may_be_empty, numbers[i].value, err);
        if (status != HR_OK) {
            return status;
        }
    }
    return HR_OK;
}

static hr_status read_in_place_row(const hr_csv *csv, size_t row, const size_t *columns, hr_material_row *out,
                                   hr_error *err)
{
    const char *use = hr_csv_cell(csv, row, columns[C_USE]);
    size_t u = 0;
    while (u < sizeof use_names / sizeof use_names[0] && strcmp(use_names[u], use) != 0) {
        u++;
    }
    if (u == sizeof use_names / sizeof use_names[0]) {
        return hr_fail(err, HR_ERR_INPUT, hr_csv_file(csv), hr_csv_line(csv, row),
                       "unknown use '%s', expected wall, opening, floor or metal", use);
    }
    out->name = hr_csv_cell(csv, row, columns[C_NAME]);
    out->use = (hr_material_use)u;
    out->family = hr_csv_cell(csv, row, columns[C_FAMILY]);
    out->source = hr_csv_cell(csv, row, columns[C_SOURCE]);
    out->note = hr_csv_cell(csv, row, columns[C_NOTE]);
    out->line = hr_csv_line(csv, row);
    return read_numbers(csv, row, columns, out, err);
}

static hr_status read_in_place(hr_material_rows *rows, hr_error *err)
{
    size_t columns[C_COUNT];
    hr_status status = read_columns(rows->in_place, in_place_columns, C_COUNT, columns, err);
    const size_t count = hr_csv_rows(rows->in_place);
    for (size_t i = 0; status == HR_OK && i < count; i++) {
        status = read_in_place_row(rows->in_place, i, columns, &rows->rows[rows->count], err);
        rows->count++;
    }
    return status;
}

/* ---- slab stacks -------------------------------------------------------- */

enum { S_NAME = 0, S_FRAMED, S_LAYERS, S_SOURCE, S_NOTE, S_COUNT };

static const char *const slab_columns[S_COUNT] = {"name", "framed", "layers", "source", "note"};

/* A stack stands for what its name is in place: a wall, else an opening. */
static hr_material_use stack_use(const hr_material_rows *rows, size_t in_place_count, const char *name)
{
    for (size_t i = 0; i < in_place_count; i++) {
        if (hr_casecmp(rows->rows[i].name, name) == 0 && rows->rows[i].use != HR_USE_FLOOR) {
            return rows->rows[i].use;
        }
    }
    return HR_USE_WALL;
}

static hr_status read_slabs(hr_material_rows *rows, hr_error *err)
{
    size_t columns[S_COUNT];
    const hr_status status = read_columns(rows->slabs, slab_columns, S_COUNT, columns, err);
    if (status != HR_OK) {
        return status;
    }
    const size_t in_place_count = rows->count;
    for (size_t i = 0; i < hr_csv_rows(rows->slabs); i++) {
        const char *name = hr_csv_cell(rows->slabs, i, columns[S_NAME]);
        rows->rows[rows->count++] = (hr_material_row){
            .name = name,
            .use = stack_use(rows, in_place_count, name),
            .family = "slab",
            .freq_mhz = (double)NAN,
            .loss_db = (double)NAN,
            .spread_db = (double)NAN,
            .published_low_db = (double)NAN,
            .published_high_db = (double)NAN,
            .published_mhz = (double)NAN,
            .source = hr_csv_cell(rows->slabs, i, columns[S_SOURCE]),
            .note = hr_csv_cell(rows->slabs, i, columns[S_NOTE]),
            .layers = hr_csv_cell(rows->slabs, i, columns[S_LAYERS]),
            .framed = strcmp(hr_csv_cell(rows->slabs, i, columns[S_FRAMED]), "yes") == 0,
            .line = hr_csv_line(rows->slabs, i),
        };
    }
    return HR_OK;
}

/* ---- sources ------------------------------------------------------------ */

enum { R_ID = 0, R_KIND, R_CITATION, R_TRUST, R_NOTE, R_COUNT };

static const char *const source_columns[R_COUNT] = {"id", "kind", "citation", "trust", "note"};

static hr_status read_sources(hr_material_rows *rows, hr_error *err)
{
    size_t columns[R_COUNT];
    const hr_status status = read_columns(rows->source_csv, source_columns, R_COUNT, columns, err);
    if (status != HR_OK) {
        return status;
    }
    for (size_t i = 0; i < hr_csv_rows(rows->source_csv); i++) {
        rows->sources[rows->source_count++] = (hr_source){
            .id = hr_csv_cell(rows->source_csv, i, columns[R_ID]),
            .kind = hr_csv_cell(rows->source_csv, i, columns[R_KIND]),
            .citation = hr_csv_cell(rows->source_csv, i, columns[R_CITATION]),
            .trust = hr_csv_cell(rows->source_csv, i, columns[R_TRUST]),
            .note = hr_csv_cell(rows->source_csv, i, columns[R_NOTE]),
        };
    }
    return HR_OK;
}

/* ---- all ---------------------------------------------------------------- */

static hr_status open_tables(hr_material_rows *rows, hr_error *err)
{
    hr_status status = hr_tables_csv("materials.csv", &rows->in_place, err);
    if (status == HR_OK) {
        status = hr_tables_csv("slabs.csv", &rows->slabs, err);
    }
    if (status == HR_OK) {
        status = hr_tables_csv("sources.csv", &rows->source_csv, err);
    }
    if (status != HR_OK) {
        return status;
    }
    const size_t row_cap = hr_csv_rows(rows->in_place) + hr_csv_rows(rows->slabs);
    rows->rows = hr_alloc_zero(row_cap, sizeof *rows->rows);
    rows->sources = hr_alloc_zero(hr_csv_rows(rows->source_csv), sizeof *rows->sources);
    return rows->rows != NULL && rows->sources != NULL ? HR_OK : hr_fail_memory(err);
}

hr_status hr_materials_rows_new(hr_material_rows **rows, hr_error *err)
{
    hr_material_rows *made = hr_alloc_zero(1, sizeof *made);
    if (made == NULL) {
        return hr_fail_memory(err);
    }
    hr_status status = open_tables(made, err);
    if (status == HR_OK) {
        status = read_in_place(made, err);
    }
    if (status == HR_OK) {
        status = read_slabs(made, err);
    }
    if (status == HR_OK) {
        status = read_sources(made, err);
    }
    if (status != HR_OK) {
        hr_materials_rows_free(made);
        return status;
    }
    *rows = made;
    return HR_OK;
}

void hr_materials_rows_free(hr_material_rows *rows)
{
    if (rows == NULL) {
        return;
    }
    hr_free(rows->rows);
    hr_free(rows->sources);
    hr_csv_free(rows->in_place);
    hr_csv_free(rows->slabs);
    hr_csv_free(rows->source_csv);
    hr_free(rows);
}

size_t hr_materials_rows_count(const hr_material_rows *rows)
{
    return rows->count;
}

const hr_material_row *hr_materials_rows_get(const hr_material_rows *rows, size_t index)
{
    return index < rows->count ? &rows->rows[index] : NULL;
}

size_t hr_materials_source_count(const hr_material_rows *rows)
{
    return rows->source_count;
}

const hr_source *hr_materials_source_get(const hr_material_rows *rows, size_t index)
{
    return index < rows->source_count ? &rows->sources[index] : NULL;
}

const hr_source *hr_materials_source_find(const hr_material_rows *rows, const char *id)
{
    for (size_t i = 0; i < rows->source_count; i++) {
        if (strcmp(rows->sources[i].id, id) == 0) {
            return &rows->sources[i];
        }
    }
    return NULL;
}
