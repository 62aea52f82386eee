/*
 * portfolio.c - many estimates, one row each.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

static void add_totals(const hr_estimate *const *estimates, size_t count, hr_text *out)
{
    size_t rooms = 0, quoted = 0, gateways = 0;
    for (size_t i = 0; i < count; i++) {
        rooms += estimates[i]->rooms;
        quoted += estimates[i]->quote > 0;
        gateways += estimates[i]->quote;
    }
    hr_text_addf(out, "  %zu rooms; %zu gateways to quote in %zu of %zu properties\n\n", rooms, gateways, quoted, count);
}

static void write_text(const hr_estimate *const *estimates, const char *const *files, size_t count, hr_text *out)
{
    static const char *const heads[] = {"file", "property", ">rooms", ">devices", ">10 %", ">50 %", ">90 %", ">quote", ">holds in %"};
    report_table table;
    hr_text_addf(out, "Radio coverage, how many gateways: %zu properties\n", count);
    report_table_start(&table, heads, 9);
    for (size_t i = 0; i < count; i++) {
        const hr_estimate *e = estimates[i];
        double holds = REPORT_UNKNOWN;
        for (size_t k = 0; k < e->holds_count; k++) {
            holds = e->quote > 0 && e->holds[k].gateways == e->quote ? e->holds[k].share : holds;
        }
        report_table_cell(&table, files[i]);
        report_table_cell(&table, e->name);
        report_table_count(&table, e->rooms);
        report_table_count(&table, e->devices);
        report_table_count(&table, e->p10);
        report_table_count(&table, e->p50);
        report_table_count(&table, e->p90);
        if (e->quote > 0) {
            report_table_count(&table, e->quote);
        } else {
            report_table_cell(&table, "-");
        }
        report_table_fixed(&table, 100.0 * holds, 1);
    }
    report_table_end(&table, out);
    add_totals(estimates, count, out);
    hr_text_addf(out, "%s\n", hr_report_caution());
}

static void write_csv(const hr_estimate *const *estimates, const char *const *files, size_t count, hr_text *out)
{
    hr_text_addf(out, "# hallreach = %s\n# %s\nfile,property,rooms,devices,p10,p50,p90,quote\n", hr_version(),
                 hr_report_caution());
    for (size_t i = 0; i < count; i++) {
        const hr_estimate *e = estimates[i];
        hr_text_csv(out, files[i]);
        hr_text_add(out, ",");
        hr_text_csv(out, e->name);
        hr_text_addf(out, ",%zu,%zu,%zu,%zu,%zu,", e->rooms, e->devices, e->p10, e->p50, e->p90);
        if (e->quote > 0) {
            hr_text_addf(out, "%zu", e->quote);
        }
        hr_text_add(out, "\n");
    }
}

static hr_status write_json(const hr_estimate *const *estimates, const char *const *files, size_t count, hr_text *out,
                            hr_error *err)
{
    report_json json = {0};
    json_t *top = json_object(), *rows = json_array();
    for (size_t i = 0; i < count; i++) {
        const hr_estimate *e = estimates[i];
        json_t *row = json_object(), *gateways = json_object();
        report_put(&json, row, "file", report_string(&json, files[i]));
        report_put(&json, row, "property", report_string(&json, e->name));
        report_put(&json, row, "rooms", report_count(e->rooms));
        report_put(&json, row, "devices", report_count(e->devices));
        report_put(&json, gateways, "p10", report_count(e->p10));
        report_put(&json, gateways, "p50", report_count(e->p50));
        report_put(&json, gateways, "p90", report_count(e->p90));
        report_put(&json, row, "gateways", gateways);
        report_put(&json, row, "quote", e->quote > 0 ? report_count(e->quote) : json_null());
        report_append(&json, rows, row);
    }
    report_put(&json, top, "command", report_string(&json, "estimate"));
    report_put(&json, top, "version", report_string(&json, hr_version()));
    report_put(&json, top, "properties", rows);
    json_t *cautions = json_array();
    report_append(&json, cautions, report_string(&json, hr_report_caution()));
    report_put(&json, top, "cautions", cautions);
    return report_json_end(&json, top, out, err);
}

hr_status hr_report_portfolio(const hr_estimate *const *estimates, const char *const *files, size_t count,
                              hr_portfolio_form form, hr_text *out, hr_error *err)
{
    switch (form) {
    case HR_PORTFOLIO_CSV:
        write_csv(estimates, files, count, out);
        break;
    case HR_PORTFOLIO_JSON:
        return write_json(estimates, files, count, out, err);
    case HR_PORTFOLIO_TEXT:
        write_text(estimates, files, count, out);
        break;
    }
    return report_done(out, err);
}
