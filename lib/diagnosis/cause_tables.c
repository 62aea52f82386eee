/*
 * cause_tables.c - causes, checks and remedies from the tables linked in.
 *
 * SPDX-License-Identifier: MIT
 */
#include "causes_priv.h"

#include <math.h>
#include <string.h>

#include "hr_tables.h"

/* In the order of the enumerations. */
static const char *const cause_names[WHY_CAUSES] = {
    "not-powered",     "wrong-network", "gateway-full-or-down", "enclosed-antenna", "metal-close",
    "gateway-antenna", "heavier-wall",  "as-predicted",         "interference"};
static const char *const check_names[WHY_CHECKS] = {"look-at-control", "free-antenna",  "look-at-gateway",
                                                    "as-planned",      "count-packets", "either-side",
                                                    "carry-it-round"};
static const char *const remedy_names[WHY_REMEDIES] = {"free-antenna", "join-gateway", "move-control",
                                                       "relay-room",   "move-gateway", "add-gateway"};

const char *why_cause_name(why_cause cause)
{
    return cause_names[cause];
}

const char *why_check_name(why_check check)
{
    return check_names[check];
}

const char *why_remedy_name(why_remedy_kind kind)
{
    return remedy_names[kind];
}

/* One table's rows by their name column. */
typedef struct rows {
    hr_csv *csv;
    bool bad;
} rows;

static double number(rows *r, size_t row, const char *column)
{
    double value = 0.0;
    const char *cell = hr_csv_cell(r->csv, row, hr_csv_column(r->csv, column));
    if (cell[0] != '\0' && !hr_number_parse(cell, &value)) {
        r->bad = true;
    }
    return cell[0] == '\0' ? (double)NAN : value;
}

static double constant(rows *r, const char *key)
{
    double value = 0.0;
    const char *text = hr_csv_comment(r->csv, key);
    r->bad = r->bad || text == NULL || !hr_number_parse(text, &value);
    return value;
}

static size_t row_of(rows *r, const char *name)
{
    for (size_t i = 0; i < hr_csv_rows(r->csv); i++) {
        if (strcmp(hr_csv_cell(r->csv, i, 0), name) == 0) {
            return i;
        }
    }
    r->bad = true;
    return 0;
}

static void read_causes(rows *r, why_tables *t)
{
    for (int c = 0; c < WHY_CAUSES; c++) {
        const size_t row = row_of(r, cause_names[c]);
        t->causes[c] = (why_cause_row){.prior = number(r, row, "prior"),
                                       .shift_db = number(r, row, "shift_db"),
                                       .spread_db = number(r, row, "spread_db"),
                                       .mute = number(r, row, "mute"),
                                       .planned = number(r, row, "planned"),
                                       .other = number(r, row, "other"),
                                       .none = number(r, row, "none"),
                                       .loss_percent = number(r, row, "loss_percent")};
    }
    t->least_as_predicted = constant(r, "least_as_predicted");
    t->offset_spread_db = constant(r, "offset_spread_db");
    t->fitted_offset_spread_db = constant(r, "fitted_offset_spread_db");
    t->weak_planned = constant(r, "weak_planned");
    t->weak_other = constant(r, "weak_other");
    t->slip = constant(r, "slip");
    t->clear_loss_percent = constant(r, "clear_loss_percent");
    t->loss_spread = constant(r, "loss_spread");
    t->gross_share = constant(r, "gross_share");
    t->gross_spread_db = constant(r, "gross_spread_db");
}

static void read_checks(rows *r, why_tables *t)
{
    t->lost_minutes = constant(r, "lost_minutes");
    for (int k = 0; k < WHY_CHECKS; k++) {
        const size_t row = row_of(r, check_names[k]);
        const char *causes = hr_csv_cell(r->csv, row, hr_csv_column(r->csv, "causes"));
        t->checks[k].minutes = number(r, row, "minutes");
        while (*causes != '\0') {
            const size_t len = strcspn(causes, " ");
            bool known = false;
            for (int c = 0; c < WHY_CAUSES; c++) {
                if (strlen(cause_names[c]) == len && strncmp(cause_names[c], causes, len) == 0) {
                    t->checks[k].shows |= 1U << c;
                    known = true;
                }
            }
            r->bad = r->bad || !known;
            causes += len + strspn(causes + len, " ");
        }
    }
}

static void read_remedies(rows *r, why_tables *t)
{
    for (int k = 0; k < WHY_REMEDIES; k++) {
        t->remedy_minutes[k] = number(r, row_of(r, remedy_names[k]), "minutes");
    }
}

static hr_status read_table(const char *name, void (*take)(rows *, why_tables *), why_tables *t, hr_error *err)
{
    rows r = {0};
    const hr_status status = hr_tables_csv(name, &r.csv, err);
    if (status != HR_OK) {
        return status;
    }
    take(&r, t);
    hr_csv_free(r.csv);
    return r.bad ? hr_fail(err, HR_ERR_ARGUMENT, name, 0, "a row or a figure is missing") : HR_OK;
}

hr_status why_tables_read(why_tables *tables, hr_error *err)
{
    *tables = (why_tables){0};
    hr_status status = read_table("causes.csv", read_causes, tables, err);
    if (status == HR_OK) {
        status = read_table("checks.csv", read_checks, tables, err);
    }
    return status == HR_OK ? read_table("remedies.csv", read_remedies, tables, err) : status;
}
