/*
 * adapters_basic.c - spreading, floors, the link budget.
 *
 * SPDX-License-Identifier: MIT
 */
#include <math.h>

#include "hr_propagation.h"
#include "hr_stats.h"
#include "hr_units.h"
#include "published.h"

static double free_space(const pub_row *row)
{
    return hr_propagation_free_space_db(pub_in(row, "freq_mhz"), pub_in(row, "dist_m"));
}

/* Friis: received power in W. */
static double friis(const pub_row *row)
{
    const double freq_mhz = HR_SPEED_OF_LIGHT_M_S / pub_in(row, "wavelength_m") * 1e-6;
    const double loss_db = hr_propagation_free_space_db(freq_mhz, pub_in(row, "dist_m"));
    return hr_units_mw_from_dbm(hr_units_dbm_from_mw(1e3 * pub_in(row, "power_w")) - loss_db) * 1e-3;
}

static double log_distance(const pub_row *row)
{
    return hr_propagation_log_distance_db(pub_in(row, "freq_mhz"), pub_in(row, "exponent"), pub_in(row, "dist_m"));
}

static double floors_of(double floors, double floor_db)
{
    double sum_db = 0.0;
    for (unsigned k = 1; k <= (unsigned)floors; k++) {
        sum_db += floor_db * hr_propagation_floor_factor(k);
    }
    return sum_db;
}

static double cost231_floors(const pub_row *row)
{
    return floors_of(pub_in(row, "floors"), pub_in(row, "floor_db"));
}

static double cost231_multi_wall(const pub_row *row)
{
    return hr_propagation_log_distance_db(pub_in(row, "freq_mhz"), 2.0, pub_in(row, "dist_m")) +
           pub_in(row, "light_walls") * pub_in(row, "light_db") + pub_in(row, "heavy_walls") * pub_in(row, "heavy_db") +
           floors_of(pub_in(row, "floors"), pub_in(row, "floor_db"));
}

static double normal_quantile(const pub_row *row)
{
    return hr_stats_normal_quantile(pub_in(row, "probability"));
}

static double fade_margin(const pub_row *row)
{
    return pub_in(row, "sigma_db") * hr_stats_normal_quantile(pub_in(row, "probability"));
}

static double thermal_noise(const pub_row *row)
{
    return hr_units_thermal_noise_dbm(pub_in(row, "bandwidth_hz"), pub_in(row, "temperature_k"));
}

static double dbm_from_mw(const pub_row *row)
{
    return hr_units_dbm_from_mw(pub_in(row, "power_mw"));
}

static double wavelength(const pub_row *row)
{
    return hr_units_wavelength_m(pub_in(row, "freq_mhz"));
}

static double rule_eirp(const pub_row *row)
{
    hr_radio_rule rule;
    return hr_materials_rule_find(pub_word(row, "rule"), pub_in(row, "freq_mhz"), &rule, NULL) ? rule.eirp_limit_dbm
                                                                                               : (double)NAN;
}

static double rule_conducted(const pub_row *row)
{
    hr_radio_rule rule;
    return hr_materials_rule_find(pub_word(row, "rule"), pub_in(row, "freq_mhz"), &rule, NULL)
               ? hr_materials_rule_power_dbm(&rule, pub_in(row, "gain_dbi"))
               : (double)NAN;
}

static double rule_duty(const pub_row *row)
{
    hr_radio_rule rule;
    return hr_materials_rule_find(pub_word(row, "rule"), pub_in(row, "freq_mhz"), &rule, NULL) ? rule.duty_percent
                                                                                               : (double)NAN;
}

/* EIRP that gives a field strength at a distance in free space: E = sqrt(30 P) / d. */
static double rule_field(const pub_row *row)
{
    hr_radio_rule rule;
    if (!hr_materials_rule_find(pub_word(row, "rule"), pub_in(row, "freq_mhz"), &rule, NULL)) {
        return (double)NAN;
    }
    return 1e3 * sqrt(30.0 * 1e-3 * hr_units_mw_from_dbm(rule.eirp_limit_dbm)) / pub_in(row, "dist_m");
}

const pub_adapter pub_basic[] = {
    {"free_space", free_space},
    {"friis", friis},
    {"log_distance", log_distance},
    {"cost231_floors", cost231_floors},
    {"cost231_multi_wall", cost231_multi_wall},
    {"normal_quantile", normal_quantile},
    {"fade_margin", fade_margin},
    {"thermal_noise", thermal_noise},
    {"dbm_from_mw", dbm_from_mw},
    {"wavelength", wavelength},
    {"rule_eirp", rule_eirp},
    {"rule_conducted", rule_conducted},
    {"rule_duty", rule_duty},
    {"rule_field", rule_field},
    {NULL, NULL},
};
