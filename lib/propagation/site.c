/*
 * site.c - models that know the kind of building instead of its walls, and
 * the tables they read.
 *
 * SPDX-License-Identifier: MIT
 */
#include <math.h>
#include <string.h>

#include "hr_propagation.h"
#include "hr_tables.h"

/* P.1238 rows may read below free space at short range; by no more than this. */
static const double below_free_space_db = 5.0;

static const double office_below_mhz = 1500.0;

/* ---- reading table cells --------------------------------------------------- */

static const char *text_cell(const hr_csv *csv, size_t row, const char *column)
{
    const size_t c = hr_csv_column(csv, column);
    return c == SIZE_MAX ? "" : hr_csv_cell(csv, row, c);
}

/* NaN when empty or missing; the tables are our own and tested. */
static double number_cell(const hr_csv *csv, size_t row, const char *column)
{
    double value = (double)NAN;
    return hr_number_parse(text_cell(csv, row, column), &value) ? value : (double)NAN;
}

static void copy_cell(char *out, size_t size, const hr_csv *csv, size_t row, const char *column)
{
    const char *text = text_cell(csv, row, column);
    const size_t len = strlen(text) < size - 1 ? strlen(text) : size - 1;
    memcpy(out, text, len);
    out[len] = '\0';
}

/* ---- rows of the site-general model ----------------------------------------- */

static void read_n_row(const hr_csv *csv, size_t row, hr_site_row *site)
{
    *site = (hr_site_row){
        .row_mhz = number_cell(csv, row, "row_mhz"),
        .n = number_cell(csv, row, "n"),
        .floors_db = {number_cell(csv, row, "floor1_db"), number_cell(csv, row, "floor2_db"),
                      number_cell(csv, row, "floor3_db")},
        .more_db = number_cell(csv, row, "more_db"),
        .alpha = (double)NAN,
        .beta = (double)NAN,
        .gamma = (double)NAN,
        .sigma_db = number_cell(csv, row, "sigma_db"),
        .low_mhz = number_cell(csv, row, "low_mhz"),
        .high_mhz = number_cell(csv, row, "high_mhz"),
        .low_m = hr_propagation_range(HR_RANGE_P1238_M)->low,
        .high_m = hr_propagation_range(HR_RANGE_P1238_M)->high,
    };
    copy_cell(site->environment, sizeof site->environment, csv, row, "environment");
    copy_cell(site->source, sizeof site->source, csv, row, "source");
}

static void read_abg_row(const hr_csv *csv, size_t row, hr_site_row *site)
{
    *site = (hr_site_row){
        .abg = true,
        .row_mhz = (double)NAN,
        .n = (double)NAN,
        .floors_db = {0.0, 0.0, 0.0},
        .alpha = number_cell(csv, row, "alpha"),
        .beta = number_cell(csv, row, "beta"),
        .gamma = number_cell(csv, row, "gamma"),
        .sigma_db = number_cell(csv, row, "sigma_db"),
        .low_mhz = 1e3 * number_cell(csv, row, "low_ghz"),
        .high_mhz = 1e3 * number_cell(csv, row, "high_ghz"),
        .low_m = number_cell(csv, row, "low_m"),
        .high_m = number_cell(csv, row, "high_m"),
        .slope_only = strcmp(text_cell(csv, row, "slope_only"), "yes") == 0,
    };
    copy_cell(site->environment, sizeof site->environment, csv, row, "environment");
    copy_cell(site->source, sizeof site->source, csv, row, "source");
}

static bool find_n_row(const hr_csv *csv, const char *environment, double freq_mhz, hr_site_row *site)
{
    bool found = false;
    for (size_t row = 0; row < hr_csv_rows(csv); row++) {
        /* rows ascend in frequency: the last that serves from below wins */
        if (hr_casecmp(text_cell(csv, row, "environment"), environment) == 0 &&
            freq_mhz >= number_cell(csv, row, "from_mhz")) {
            read_n_row(csv, row, site);
            found = true;
        }
    }
    return found;
}

static bool find_abg_row(const hr_csv *csv, const char *environment, hr_site_row *site)
{
    for (size_t row = 0; row < hr_csv_rows(csv); row++) {
        if (hr_casecmp(text_cell(csv, row, "environment"), environment) == 0) {
            read_abg_row(csv, row, site);
            return true;
        }
    }
    return false;
}

bool hr_propagation_site_find(const char *environment, double freq_mhz, hr_site_row *site)
{
    hr_csv *n_form = NULL;
    hr_csv *abg = NULL;
    bool found = false;
    hr_site_row row = {0};
    if (environment != NULL && hr_tables_csv("p1238.csv", &n_form, NULL) == HR_OK &&
        hr_tables_csv("abg.csv", &abg, NULL) == HR_OK) {
        found = find_n_row(n_form, environment, freq_mhz, &row) || find_abg_row(abg, environment, &row);
    }
    hr_csv_free(n_form);
    hr_csv_free(abg);
    if (found) {
        row.extrapolated = !(freq_mhz >= row.low_mhz && freq_mhz <= row.high_mhz);
        *site = row;
    }
    return found;
}

const char *hr_propagation_site_default(double freq_mhz)
{
    return freq_mhz < office_below_mhz ? "office" : "residential";
}

const char *hr_propagation_site_name(size_t index)
{
    static const char *const names[] = {"office",         "residential",    "house",        "commercial",
                                        "office-los",     "office-nlos",    "corridor-los", "corridor-nlos",
                                        "industrial-los", "industrial-nlos"};
    return index < sizeof names / sizeof names[0] ? names[index] : NULL;
}

double hr_propagation_site_floors_db(const hr_site_row *site, unsigned floors)
{
    if (site->abg || floors == 0) {
        return 0.0;
    }
    return floors <= 3 ? site->floors_db[floors - 1] : site->floors_db[2] + (double)(floors - 3) * site->more_db;
}

double hr_propagation_site_db(const hr_site_row *site, double freq_mhz, double dist_m, unsigned floors)
{
    if (!(dist_m >= 0.0)) {
        return (double)NAN;
    }
    const double range_m = dist_m > 1.0 ? dist_m : 1.0;
    const double loss_db =
        site->abg ? hr_propagation_abg_db(freq_mhz, site->alpha, site->beta, site->gamma, range_m)
                  : hr_propagation_p1238_db(freq_mhz, site->n, range_m, hr_propagation_site_floors_db(site, floors));
    const double least_db = hr_propagation_free_space_db(freq_mhz, range_m) - below_free_space_db;
    return loss_db < least_db ? least_db : loss_db;
}

/* ---- the formulas ------------------------------------------------------------ */

double hr_propagation_p1238_db(double freq_mhz, double n, double dist_m, double floors_db)
{
    if (!(freq_mhz > 0.0 && dist_m >= 0.0)) {
        return (double)NAN;
    }
    const double range_m = dist_m > 1.0 ? dist_m : 1.0;
    return 20.0 * log10(freq_mhz) + n * log10(range_m) + floors_db - 28.0;
}

double hr_propagation_abg_db(double freq_mhz, double alpha, double beta, double gamma, double dist_m)
{
    if (!(freq_mhz > 0.0 && dist_m > 0.0)) {
        return (double)NAN;
    }
    return 10.0 * alpha * log10(dist_m) + beta + 10.0 * gamma * log10(freq_mhz * 1e-3);
}

double hr_propagation_inh_los_db(double freq_mhz, double dist_m)
{
    if (!(freq_mhz > 0.0 && dist_m > 0.0)) {
        return (double)NAN;
    }
    return 32.4 + 17.3 * log10(dist_m) + 20.0 * log10(freq_mhz * 1e-3);
}

double hr_propagation_inh_nlos_db(double freq_mhz, double dist_m)
{
    const double los_db = hr_propagation_inh_los_db(freq_mhz, dist_m);
    if (isnan(los_db)) {
        return los_db;
    }
    const double nlos_db = 17.3 + 38.3 * log10(dist_m) + 24.9 * log10(freq_mhz * 1e-3);
    return nlos_db > los_db ? nlos_db : los_db;
}

double hr_propagation_tr38901_material_db(hr_tr38901_material material, double freq_mhz)
{
    static const struct {
        double fixed_db, per_ghz_db;
    } rows[] = {
        [HR_TR_GLASS] = {2.0, 0.2},
        [HR_TR_COATED_GLASS] = {23.0, 0.3},
        [HR_TR_CONCRETE] = {5.0, 4.0},
        [HR_TR_WOOD] = {4.85, 0.12},
    };
    if ((unsigned)material >= sizeof rows / sizeof rows[0] || !(freq_mhz > 0.0)) {
        return (double)NAN;
    }
    return rows[material].fixed_db + rows[material].per_ghz_db * freq_mhz * 1e-3;
}

/* ---- what others measured ----------------------------------------------------- */

bool hr_propagation_measured(size_t index, hr_measured *row)
{
    hr_csv *csv = NULL;
    if (hr_tables_csv("measured.csv", &csv, NULL) != HR_OK) {
        return false;
    }
    const bool found = index < hr_csv_rows(csv);
    if (found) {
        *row = (hr_measured){
            .is_floors = strcmp(text_cell(csv, index, "what"), "floors") == 0,
            .freq_mhz = number_cell(csv, index, "freq_mhz"),
            .floors = number_cell(csv, index, "floors"),
            .value = number_cell(csv, index, "value"),
            .metre_db = number_cell(csv, index, "metre_db"),
            .sigma_db = number_cell(csv, index, "sigma_db"),
        };
        copy_cell(row->id, sizeof row->id, csv, index, "id");
        copy_cell(row->place, sizeof row->place, csv, index, "place");
        copy_cell(row->source, sizeof row->source, csv, index, "source");
    }
    hr_csv_free(csv);
    return found;
}
