/*
 * materials.c - the attenuation tables, each row with its source.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

#include <string.h>

#include "hr_propagation.h"

static bool has_loss(const hr_material *material, size_t use)
{
    return material->loss_db[use] >= 0.0; /* NaN: no row for that use */
}

/* What was recalled says so. */
static const char *trust_words(const hr_material_rows *rows, const char *id)
{
    const hr_source *source = hr_materials_source_find(rows, id);
    return source != NULL && strcmp(source->trust, "memory") == 0 ? " (from memory)" : "";
}

static void add_in_place(const hr_materials *materials, const hr_material_rows *rows, hr_text *out)
{
    static const char *const heads[] = {"material", "used as", ">loss dB", ">spread dB", "source", "stands near"};
    report_table table;
    report_table_start(&table, heads, 6);
    for (size_t i = 0; i < hr_materials_count(materials); i++) {
        const hr_material *material = hr_materials_get(materials, i);
        for (size_t use = 0; use < 4; use++) {
            if (!has_loss(material, use)) {
                continue;
            }
            report_table_cell(&table, material->name);
            report_table_cell(&table, hr_materials_use_name((hr_material_use)use));
            report_table_fixed(&table, material->loss_db[use], 1);
            report_table_fixed(&table, material->spread_db[use], 1);
            hr_text source = {0};
            hr_text_addf(&source, "%s%s", material->source[use], trust_words(rows, material->source[use]));
            report_table_cell(&table, report_words(&table.cells, &source));
            hr_text_free(&source);
            report_table_cell(&table, material->note[use] == NULL ? "" : material->note[use]);
        }
    }
    report_table_end(&table, out);
}

/* Loss of a stack at normal incidence; unknown when the layers do not parse. */
static double stack_loss_db(const char *text, double freq_mhz, bool *extrapolated, hr_text *out)
{
    hr_layer layers[HR_LAYERS_MAX];
    size_t count = 0;
    *extrapolated = false;
    const hr_status status = hr_materials_layers_parse(text, freq_mhz, layers, &count, NULL);
    if (status != HR_OK) {
        out->failed = out->failed || status == HR_ERR_MEMORY;
        return REPORT_UNKNOWN;
    }
    for (size_t i = 0; i < count; i++) {
        *extrapolated = *extrapolated || layers[i].material.extrapolated;
    }
    return hr_propagation_stack(layers, count, freq_mhz, 0.0, HR_TE).through_db;
}

static void add_slabs(const hr_material_rows *rows, double freq_mhz, hr_text *out)
{
    static const char *const heads[] = {"material", ">loss dB", "range", "layers, mm", "source"};
    report_table table;
    report_table_start(&table, heads, 5);
    for (size_t i = 0; i < hr_materials_rows_count(rows); i++) {
        const hr_material_row *row = hr_materials_rows_get(rows, i);
        if (row->layers == NULL) {
            continue;
        }
        bool extrapolated;
        report_table_cell(&table, row->name);
        report_table_fixed(&table, stack_loss_db(row->layers, freq_mhz, &extrapolated, out), 1);
        report_table_cell(&table, extrapolated ? "extrapolated" : "tabled");
        report_table_cell(&table, row->layers);
        report_table_cell(&table, row->source);
    }
    report_table_end(&table, out);
}

static void add_sources(const hr_material_rows *rows, hr_text *out)
{
    static const char *const heads[] = {"source", "kind", "read", "citation"};
    report_table table;
    report_table_start(&table, heads, 4);
    for (size_t i = 0; i < hr_materials_source_count(rows); i++) {
        const hr_source *source = hr_materials_source_get(rows, i);
        report_table_cell(&table, source->id);
        report_table_cell(&table, source->kind);
        report_table_cell(&table, strcmp(source->trust, "memory") == 0 ? "from memory" : source->trust);
        report_table_cell(&table, source->citation);
    }
    report_table_end(&table, out);
}

hr_status hr_report_materials_text(double freq_mhz, hr_text *out, hr_error *err)
{
    hr_materials *materials = NULL;
    hr_material_rows *rows = NULL;
    hr_status status = hr_materials_new(freq_mhz, &materials, err);
    if (status == HR_OK) {
        status = hr_materials_rows_new(&rows, err);
    }
    if (status == HR_OK) {
        char number[HR_FIXED_MAX];
        hr_text_addf(out, "hallreach materials: radio coverage, attenuation at %s MHz\n\n", hr_short(freq_mhz, 3, number));
        hr_text_add(out, "In place: through real constructions, used as it stands at any angle\n");
        add_in_place(materials, rows, out);
        hr_text_add(out, "\nSlabs: computed from permittivity (ITU-R P.2040), here at normal incidence\n");
        add_slabs(rows, freq_mhz, out);
        hr_text_add(out, "\nThe two families are never mixed in one model.\n\nSources\n");
        add_sources(rows, out);
        status = report_done(out, err);
    }
    hr_materials_rows_free(rows);
    hr_materials_free(materials);
    return status;
}

static void csv_row(const char *name, const char *use, const char *family, double loss_db, double spread_db,
                    const char *source, const char *note, hr_text *out)
{
    hr_text_csv(out, name);
    hr_text_addf(out, ",%s,%s", use, family);
    report_level_cell(loss_db, out);
    report_level_cell(spread_db, out);
    hr_text_add(out, ",");
    hr_text_csv(out, source);
    hr_text_add(out, ",");
    hr_text_csv(out, note == NULL ? "" : note);
    hr_text_add(out, "\n");
}

hr_status hr_report_materials_csv(double freq_mhz, hr_text *out, hr_error *err)
{
    hr_materials *materials = NULL;
    hr_material_rows *rows = NULL;
    hr_status status = hr_materials_new(freq_mhz, &materials, err);
    if (status == HR_OK) {
        status = hr_materials_rows_new(&rows, err);
    }
    if (status == HR_OK) {
        char number[HR_FIXED_MAX];
        hr_text_addf(out, "# frequency_mhz = %s\n# hallreach = %s\n", hr_short(freq_mhz, 3, number), hr_version());
        hr_text_add(out, "material,use,family,loss_db,spread_db,source,note\n");
    }
    for (size_t i = 0; status == HR_OK && i < hr_materials_count(materials); i++) {
        const hr_material *m = hr_materials_get(materials, i);
        for (size_t use = 0; use < 4; use++) {
            if (has_loss(m, use)) {
                csv_row(m->name, hr_materials_use_name((hr_material_use)use), "in-place", m->loss_db[use], m->spread_db[use],
                        m->source[use], m->note[use], out);
            }
        }
    }
    for (size_t i = 0; status == HR_OK && i < hr_materials_rows_count(rows); i++) {
        const hr_material_row *row = hr_materials_rows_get(rows, i);
        bool extrapolated;
        if (row->layers != NULL) {
            const double loss_db = stack_loss_db(row->layers, freq_mhz, &extrapolated, out);
            csv_row(row->name, hr_materials_use_name(row->use), "slab", loss_db, REPORT_UNKNOWN, row->source,
                    extrapolated ? "extrapolated" : "", out);
        }
    }
    hr_materials_rows_free(rows);
    hr_materials_free(materials);
    return status == HR_OK ? report_done(out, err) : status;
}
