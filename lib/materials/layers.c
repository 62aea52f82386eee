/*
 * layers.c - permittivity rows, slab stacks as written, cases.
 *
 * SPDX-License-Identifier: MIT
 */
#include <float.h>
#include <math.h>
#include <string.h>

#include "hr_materials.h"
#include "materials_priv.h"

static const double max_thickness_mm = 5000.0;

enum { P_NAME = 0, P_EDITION, P_A, P_B, P_C, P_D, P_LOW, P_HIGH, P_COUNT };

static const char *const columns[P_COUNT] = {"name", "edition", "a", "b", "c", "d", "low_ghz", "high_ghz"};

static double number_at(const hr_csv *csv, size_t row, int column)
{
    const size_t c = hr_csv_column(csv, columns[column]);
    double value = (double)NAN;
    if (c == SIZE_MAX || hr_materials_number(csv, row, c, -DBL_MAX, DBL_MAX, false, &value, NULL) != HR_OK) {
        return (double)NAN;
    }
    return value;
}

static bool row_is(const hr_csv *csv, size_t row, const char *name, int edition)
{
    const double found = number_at(csv, row, P_EDITION);
    return found > (double)edition - 0.5 && found < (double)edition + 0.5 &&
           hr_casecmp(hr_csv_cell(csv, row, hr_csv_column(csv, columns[P_NAME])), name) == 0;
}

static void read_row(const hr_csv *csv, size_t row, hr_permittivity *out)
{
    *out = (hr_permittivity){.a = number_at(csv, row, P_A),
                             .b = number_at(csv, row, P_B),
                             .c = number_at(csv, row, P_C),
                             .d = number_at(csv, row, P_D),
                             .low_mhz = 1e3 * number_at(csv, row, P_LOW),
                             .high_mhz = 1e3 * number_at(csv, row, P_HIGH)};
    const char *name = hr_csv_cell(csv, row, hr_csv_column(csv, columns[P_NAME]));
    const size_t len = strlen(name) < sizeof out->name - 1 ? strlen(name) : sizeof out->name - 1;
    memcpy(out->name, name, len);
}

/* The first row that holds the frequency, else the first of that name. */
static bool find_row(const hr_csv *csv, const char *name, int edition, double freq_mhz, hr_permittivity *out)
{
    bool found = false;
    for (size_t row = 0; row < hr_csv_rows(csv); row++) {
        if (!row_is(csv, row, name, edition)) {
            continue;
        }
        hr_permittivity read;
        read_row(csv, row, &read);
        read.extrapolated = !(freq_mhz >= read.low_mhz && freq_mhz <= read.high_mhz);
        if (!found || !read.extrapolated) {
            *out = read;
        }
        if (!read.extrapolated) {
            return true;
        }
        found = true;
    }
    return found;
}

bool hr_materials_permittivity(const char *name, int edition, double freq_mhz, hr_permittivity *row)
{
    hr_csv *csv = NULL;
    if (name == NULL || hr_tables_csv("permittivity.csv", &csv, NULL) != HR_OK) {
        return false;
    }
    const bool found = find_row(csv, name, edition, freq_mhz, row);
    hr_csv_free(csv);
    return found;
}

/* ---- stacks as written -------------------------------------------------- */

static bool is_blank(char c)
{
    return c == ' ' || c == '\t';
}

/* Splits "ceiling board 12.5" into "ceiling-board" and 12.5. */
static bool split_layer(const char *text, size_t len, char name[64], double *thickness_mm)
{
    size_t number_at_byte = len;
    while (number_at_byte > 0 && !is_blank(text[number_at_byte - 1])) {
        number_at_byte--;
    }
    size_t name_len = number_at_byte;
    while (name_len > 0 && is_blank(text[name_len - 1])) {
        name_len--;
    }
    if (name_len == 0 || name_len >= 64) {
        return false;
    }
    size_t used = 0;
    for (size_t i = 0; i < name_len; i++) {
        if (!is_blank(text[i])) {
            name[used++] = text[i];
        } else if (name[used - 1] != '-') {
            name[used++] = '-';
        }
    }
    name[used] = '\0';
    const size_t scanned = hr_number_scan(text + number_at_byte, len - number_at_byte, thickness_mm);
    return scanned > 0 && scanned == len - number_at_byte;
}

static hr_status unknown_layer(const hr_csv *csv, const char *name, hr_error *err)
{
    const char *names[64];
    size_t count = 0;
    const size_t column = hr_csv_column(csv, columns[P_NAME]);
    for (size_t row = 0; row < hr_csv_rows(csv) && count < 64; row++) {
        names[count++] = hr_csv_cell(csv, row, column);
    }
    const char *nearest = hr_nearest(name, names, count, 3);
    return hr_fail(err, HR_ERR_INPUT, NULL, 0, "layers: no permittivity is tabled for '%s'%s%s%s", name,
                   nearest != NULL ? "; did you mean '" : "", nearest != NULL ? nearest : "",
                   nearest != NULL ? "'?" : "");
}

static hr_status read_layer(const hr_csv *csv, const char *text, size_t len, double freq_mhz, hr_layer *layer,
                            hr_error *err)
{
    char name[64];
    double thickness_mm = 0.0;
    while (len > 0 && is_blank(text[0])) {
        text++;
        len--;
    }
    while (len > 0 && is_blank(text[len - 1])) {
        len--;
    }
    if (!split_layer(text, len, name, &thickness_mm) || !(thickness_mm > 0.0 && thickness_mm <= max_thickness_mm)) {
        return hr_fail(err, HR_ERR_INPUT, NULL, 0,
                       "layers: '%.*s' is not a layer, expected a material and its thickness in mm up to %d, as in "
                       "'plasterboard 12.5'",
                       (int)(len < 60 ? len : 60), text, (int)max_thickness_mm);
    }
    layer->thickness_m = thickness_mm * 1e-3;
    return find_row(csv, name, 3, freq_mhz, &layer->material) ? HR_OK : unknown_layer(csv, name, err);
}

static hr_status read_layers(const hr_csv *csv, const char *text, double freq_mhz, hr_layer *layers, size_t *count,
                             hr_error *err)
{
    size_t found = 0;
    for (const char *at = text; at != NULL;) {
        const char *comma = strchr(at, ',');
        const size_t len = comma != NULL ? (size_t)(comma - at) : strlen(at);
        if (found == HR_LAYERS_MAX) {
            return hr_fail(err, HR_ERR_INPUT, NULL, 0, "layers: more than %d layers", HR_LAYERS_MAX);
        }
        const hr_status status = read_layer(csv, at, len, freq_mhz, &layers[found], err);
        if (status != HR_OK) {
            return status;
        }
        found++;
        at = comma != NULL ? comma + 1 : NULL;
    }
    *count = found;
    return HR_OK;
}

hr_status hr_materials_layers_parse(const char *text, double freq_mhz, hr_layer *layers, size_t *count, hr_error *err)
{
    if (text == NULL || !(freq_mhz > 0.0)) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "layers: no text or no frequency");
    }
    hr_csv *csv = NULL;
    hr_status status = hr_tables_csv("permittivity.csv", &csv, err);
    if (status != HR_OK) {
        return status;
    }
    hr_layer read[HR_LAYERS_MAX];
    size_t read_count = 0;
    status = read_layers(csv, text, freq_mhz, read, &read_count, err);
    hr_csv_free(csv);
    if (status == HR_OK) {
        memcpy(layers, read, read_count * sizeof *read);
        *count = read_count;
    }
    return status;
}

/* Single pass at normal incidence: low-loss attenuation 1636 sigma / sqrt(eta') dB/m (ITU-R P.2040, from memory)
 * and the power that each interface lets through. */
double hr_materials_single_pass_db(const hr_layer *layers, size_t count, double freq_mhz)
{
    const double freq_ghz = freq_mhz * 1e-3;
    double loss_db = 0.0, before = 1.0;
    for (size_t i = 0; i <= count; i++) {
        const hr_permittivity *m = i < count ? &layers[i].material : NULL;
        const double index = m != NULL ? sqrt(m->a * pow(freq_ghz, m->b)) : 1.0;
        loss_db -= 10.0 * log10(4.0 * index * before / ((index + before) * (index + before)));
        if (m != NULL) {
            loss_db += 1636.0 * m->c * pow(freq_ghz, m->d) / index * layers[i].thickness_m;
        }
        before = index;
    }
    return fmin(loss_db, 200.0);
}

/* ---- cases -------------------------------------------------------------- */

bool hr_materials_enclosure(const char *name, double *loss_db, double *spread_db)
{
    hr_csv *csv = NULL;
    if (name == NULL || hr_tables_csv("enclosures.csv", &csv, NULL) != HR_OK) {
        return false;
    }
    const size_t names = hr_csv_column(csv, "name");
    const size_t losses = hr_csv_column(csv, "loss_db");
    const size_t spreads = hr_csv_column(csv, "spread_db");
    bool found = false;
    for (size_t row = 0; row < hr_csv_rows(csv) && !found; row++) {
        double loss = (double)NAN;
        double spread = (double)NAN;
        found = hr_casecmp(hr_csv_cell(csv, row, names), name) == 0 &&
                hr_materials_number(csv, row, losses, 0.0, 200.0, false, &loss, NULL) == HR_OK &&
                hr_materials_number(csv, row, spreads, 0.0, 200.0, false, &spread, NULL) == HR_OK;
        if (found) {
            *loss_db = loss;
            if (spread_db != NULL) {
                *spread_db = spread;
            }
        }
    }
    hr_csv_free(csv);
    return found;
}
