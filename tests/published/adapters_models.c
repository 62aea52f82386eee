/*
 * adapters_models.c - models by the kind of building, and what others measured.
 *
 * SPDX-License-Identifier: MIT
 */
#include <math.h>
#include <string.h>

#include "hr_propagation.h"
#include "hr_stats.h"
#include "hr_tables.h"
#include "published.h"

/* A cell of a built-in table in the row that has the row's `key` cells. */
static double cell_of(const char *table, const pub_row *row, const char *const *keys, size_t key_count)
{
    hr_csv *csv = NULL;
    double value = (double)NAN;
    if (hr_tables_csv(table, &csv, NULL) != HR_OK) {
        return value;
    }
    const size_t column = hr_csv_column(csv, pub_word(row, "column"));
    for (size_t i = 0; column != SIZE_MAX && i < hr_csv_rows(csv); i++) {
        bool same = true;
        for (size_t k = 0; k < key_count; k++) {
            same = same && strcmp(hr_csv_cell(csv, i, hr_csv_column(csv, keys[k])), pub_word(row, keys[k])) == 0;
        }
        if (same && !hr_number_parse(hr_csv_cell(csv, i, column), &value)) {
            value = (double)NAN;
        }
    }
    hr_csv_free(csv);
    return value;
}

static double p1238_cell(const pub_row *row)
{
    const char *const keys[] = {"environment", "row_mhz"};
    return cell_of("p1238.csv", row, keys, 2);
}

static double abg_cell(const pub_row *row)
{
    const char *const keys[] = {"environment"};
    return cell_of("abg.csv", row, keys, 1);
}

static double p1238(const pub_row *row)
{
    return hr_propagation_p1238_db(pub_in(row, "freq_mhz"), pub_in(row, "n"), pub_in(row, "dist_m"),
                                   pub_in(row, "floors_db"));
}

static double site(const pub_row *row)
{
    hr_site_row found;
    const double freq_mhz = pub_in(row, "freq_mhz");
    if (!hr_propagation_site_find(pub_word(row, "environment"), freq_mhz, &found)) {
        return (double)NAN;
    }
    return hr_propagation_site_db(&found, freq_mhz, pub_in(row, "dist_m"), (unsigned)pub_in(row, "floors"));
}

static double abg(const pub_row *row)
{
    hr_site_row found;
    const double freq_mhz = pub_in(row, "freq_mhz");
    if (!hr_propagation_site_find(pub_word(row, "environment"), freq_mhz, &found) || !found.abg) {
        return (double)NAN;
    }
    return hr_propagation_abg_db(freq_mhz, found.alpha, found.beta, found.gamma, pub_in(row, "dist_m"));
}

/* Free space less what the corridor gives back, as an exponent. */
static double corridor_exponent(const pub_row *row)
{
    (void)row;
    const double gain_db = hr_propagation_corridor_gain_db(100.0) - hr_propagation_corridor_gain_db(10.0);
    return 2.0 - gain_db / 10.0;
}

static double inh_los(const pub_row *row)
{
    return hr_propagation_inh_los_db(pub_in(row, "freq_mhz"), hypot(pub_in(row, "level_m"), pub_in(row, "height_m")));
}

static double inh_nlos(const pub_row *row)
{
    return hr_propagation_inh_nlos_db(pub_in(row, "freq_mhz"), hypot(pub_in(row, "level_m"), pub_in(row, "height_m")));
}

static double tr38901_material(const pub_row *row)
{
    const char *const names[] = {"glass", "coated-glass", "concrete", "wood"};
    for (int i = 0; i < 4; i++) {
        if (strcmp(names[i], pub_word(row, "material")) == 0) {
            return hr_propagation_tr38901_material_db((hr_tr38901_material)i, pub_in(row, "freq_mhz"));
        }
    }
    return (double)NAN;
}

static double attenuation_factor(const pub_row *row)
{
    return hr_propagation_one_slope_db(pub_in(row, "metre_db"), pub_in(row, "exponent"), pub_in(row, "dist_m")) +
           pub_in(row, "more_db");
}

/* Share of places where -(loss) exceeds the threshold `more_db`. */
static double above_threshold(const pub_row *row)
{
    const double loss_db =
        hr_propagation_one_slope_db(pub_in(row, "metre_db"), pub_in(row, "exponent"), pub_in(row, "dist_m"));
    return hr_stats_normal_below((-loss_db - pub_in(row, "more_db")) / pub_in(row, "sigma_db"));
}

static double measured(const pub_row *row)
{
    hr_measured found;
    for (size_t i = 0; hr_propagation_measured(i, &found); i++) {
        if (strcmp(found.id, pub_word(row, "measured")) == 0) {
            const char *column = pub_word(row, "column");
            return strcmp(column, "value") == 0      ? found.value
                   : strcmp(column, "metre_db") == 0 ? found.metre_db
                   : strcmp(column, "sigma_db") == 0 ? found.sigma_db
                                                     : (double)NAN;
        }
    }
    return (double)NAN;
}

static double room_loss(const pub_row *row)
{
    (void)row;
    return HR_ROOM_LOSS_DB_PER_M;
}

static const hr_range *range_of(const pub_row *row)
{
    const struct {
        const char *name;
        hr_range_id id;
    } names[] = {{"cost231-frequency", HR_RANGE_COST231_MHZ},
                 {"cost231-floors", HR_RANGE_COST231_FLOORS},
                 {"p1238-distance", HR_RANGE_P1238_M},
                 {"p1238-floors", HR_RANGE_P1238_FLOORS},
                 {"inh-frequency", HR_RANGE_INH_MHZ},
                 {"inh-distance", HR_RANGE_INH_M}};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        if (strcmp(names[i].name, pub_word(row, "range")) == 0) {
            return hr_propagation_range(names[i].id);
        }
    }
    return NULL;
}

static double range_low(const pub_row *row)
{
    const hr_range *range = range_of(row);
    return range != NULL ? range->low : (double)NAN;
}

static double range_high(const pub_row *row)
{
    const hr_range *range = range_of(row);
    return range != NULL ? range->high : (double)NAN;
}

const pub_adapter pub_models[] = {
    {"p1238_cell", p1238_cell},
    {"abg_cell", abg_cell},
    {"p1238", p1238},
    {"site", site},
    {"abg", abg},
    {"corridor_exponent", corridor_exponent},
    {"inh_los", inh_los},
    {"inh_nlos", inh_nlos},
    {"tr38901_material", tr38901_material},
    {"attenuation_factor", attenuation_factor},
    {"above_threshold", above_threshold},
    {"measured", measured},
    {"room_loss", room_loss},
    {"range_low", range_low},
    {"range_high", range_high},
    {NULL, NULL},
};
