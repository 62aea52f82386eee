/*
 * limits.c - the radio limits table: what a rule lets a transmitter radiate.
 *
 * SPDX-License-Identifier: MIT
 */
#include <float.h>
#include <math.h>
#include <string.h>

#include "hr_materials.h"
#include "materials_priv.h"

/* The names of radio-limits.csv, so that a name can be suggested without
 * holding the table; the tests compare both. */
static const char *const rule_names[] = {"47CFR15.247",    "47CFR15.247-hop50", "47CFR15.247-hop25", "47CFR15.249",
                                         "EN300220-868.0", "EN300220-868.7",    "EN300220-869.4",    "EN300328"};
#define RULE_NAMES (sizeof rule_names / sizeof rule_names[0])

static hr_status number_of(const hr_csv *csv, size_t row, const char *column_name, bool may_be_empty, double *value)
{
    size_t column = 0;
    const hr_status status = hr_materials_column(csv, column_name, &column, NULL);
    return status == HR_OK ? hr_materials_number(csv, row, column, -200.0, DBL_MAX, may_be_empty, value, NULL) : status;
}

static const char *text_of(const hr_csv *csv, size_t row, const char *column_name)
{
    size_t column = 0;
    return hr_materials_column(csv, column_name, &column, NULL) == HR_OK ? hr_csv_cell(csv, row, column) : "";
}

static void copy_text(char *out, size_t out_size, const char *text)
{
    const size_t len = strlen(text) < out_size - 1 ? strlen(text) : out_size - 1;
    memcpy(out, text, len);
    out[len] = '\0';
}

static bool read_rule(const hr_csv *csv, size_t row, hr_radio_rule *rule)
{
    *rule = (hr_radio_rule){0};
    if (number_of(csv, row, "low_mhz", false, &rule->low_mhz) != HR_OK ||
        number_of(csv, row, "high_mhz", false, &rule->high_mhz) != HR_OK ||
        number_of(csv, row, "limit_dbm", false, &rule->stated_limit_dbm) != HR_OK ||
        number_of(csv, row, "conducted_dbm", true, &rule->conducted_limit_dbm) != HR_OK ||
        number_of(csv, row, "free_gain_dbi", true, &rule->free_gain_dbi) != HR_OK ||
        number_of(csv, row, "duty_percent", true, &rule->duty_percent) != HR_OK) {
        return false;
    }
    rule->stated_as_erp = strcmp(text_of(csv, row, "limit_as"), "erp") == 0;
    rule->eirp_limit_dbm = rule->stated_limit_dbm + (rule->stated_as_erp ? HR_DIPOLE_GAIN_DBI : 0.0);
    copy_text(rule->name, sizeof rule->name, text_of(csv, row, "name"));
    copy_text(rule->source, sizeof rule->source, text_of(csv, row, "source"));
    return true;
}

bool hr_materials_rule_find(const char *name, double freq_mhz, hr_radio_rule *rule, bool *name_known)
{
    bool known = false;
    bool found = false;
    hr_csv *csv = NULL;
    if (name != NULL && hr_tables_csv("radio-limits.csv", &csv, NULL) == HR_OK) {
        for (size_t row = 0; row < hr_csv_rows(csv) && !found; row++) {
            hr_radio_rule read;
            if (hr_casecmp(text_of(csv, row, "name"), name) != 0 || !read_rule(csv, row, &read)) {
                continue;
            }
            known = true;
            if (freq_mhz >= read.low_mhz && freq_mhz <= read.high_mhz) {
                *rule = read;
                found = true;
            }
        }
        hr_csv_free(csv);
    }
    if (name_known != NULL) {
        *name_known = known;
    }
    return found;
}

const char *hr_materials_rule_nearest(const char *name)
{
    return hr_nearest(name, rule_names, RULE_NAMES, 4);
}

const char *hr_materials_rule_name(size_t index)
{
    return index < RULE_NAMES ? rule_names[index] : NULL;
}

double hr_materials_rule_power_dbm(const hr_radio_rule *rule, double gain_dbi)
{
    double power_dbm = rule->eirp_limit_dbm - gain_dbi;
    if (!isnan(rule->conducted_limit_dbm)) {
        double conducted_dbm = rule->conducted_limit_dbm;
        if (!isnan(rule->free_gain_dbi) && gain_dbi > rule->free_gain_dbi) {
            conducted_dbm -= gain_dbi - rule->free_gain_dbi;
        }
        power_dbm = power_dbm < conducted_dbm ? power_dbm : conducted_dbm;
    }
    return power_dbm;
}
