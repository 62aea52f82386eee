/*
 * why_text.c - one room's links line by line, for people.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

/* Gateways shown: enough to choose from. */
#define GATEWAYS_SHOWN 5
/* With more levels than this those of the room alone are shown. */
#define LEVELS_SHOWN 12

static void add_fixed(hr_text *out, double value, int decimals)
{
    hr_text_fixed(out, value, decimals);
}

static void add_length(const hr_building *building, double length_m, hr_text *out)
{
    add_fixed(out, report_length(building, length_m), 2);
    hr_text_addf(out, " %s", report_unit(building));
}

static void add_budget(const hr_why_link *link, hr_text *out)
{
    static const char *const heads[] = {">dB", "line", "where, or why"};
    report_table table;
    report_table_start(&table, heads, 3);
    for (size_t i = 0; i < link->budget.count; i++) {
        const hr_budget_line *line = &link->budget.lines[i];
        report_table_fixed(&table, line->db, 1);
        report_table_cell(&table, line->item);
        report_table_cell(&table, line->note);
    }
    report_table_fixed(&table, link->budget.link_margin_db, 1);
    report_table_cell(&table, "link margin");
    report_table_cell(&table, "the sum of the lines");
    report_table_end(&table, out);
}

/* "required 12.6 dB, spare 3.1 dB, reliability 97.2 %" and the range limit. */
static void add_verdict(const hr_why *why, const hr_why_link *link, hr_text *out)
{
    const hr_building *b = why->building;
    hr_text_add(out, "  required ");
    add_fixed(out, link->required_margin_db, 1);
    hr_text_add(out, " dB, spare ");
    add_fixed(out, link->spare_db, 1);
    hr_text_add(out, " dB, reliability ");
    add_fixed(out, 100.0 * link->budget.link.reliability, 1);
    hr_text_add(out, " %\n");
    if (link->within_range >= 0 && isfinite(b->radio.range_limit_m)) {
        hr_text_add(out, link->within_range ? "  within the range limit: " : "  beyond the range limit: ");
        add_length(b, link->budget.link.distance_m, out);
        hr_text_add(out, " of ");
        add_length(b, b->radio.range_limit_m, out);
        hr_text_add(out, b->radio.range_limit_m == 30.48 ? " (100 ft, common practice)\n" : "\n");
    }
    if (link->reason[0] != '\0') {
        hr_text_addf(out, "  not served: %s\n", link->reason);
    }
}

static void add_link(const hr_why *why, const hr_why_link *link, hr_text *out)
{
    if (!link->measured) {
        hr_text_addf(out, "%s: no link: %s\n\n", link->from, link->reason);
        return;
    }
    const bool up = link->budget.link.direction == HR_UP;
    hr_text_addf(out, "%s to %s, the weaker way is %s: %s sends\n", link->from, link->to, up ? "up" : "down",
                 up ? link->from : link->to);
    add_budget(link, out);
    add_verdict(why, link, out);
    hr_text_add(out, "\n");
}

static const char *gateway_words(const hr_why *why, uint32_t gateway, uint32_t joined)
{
    if (gateway == why->best) {
        return gateway == why->closest ? "best, closest" : "best";
    }
    if (gateway == joined) {
        return gateway == why->closest ? "planned, closest" : "planned";
    }
    return gateway == why->closest ? "closest" : "";
}

static void add_gateways(const hr_why *why, hr_text *out)
{
    if (why->gateway_count == 0) {
        return;
    }
    static const char *const heads[] = {"gateway", ">distance", ">slabs", ">margin", ">spare", "serves", ""};
    hr_text_addf(out, "Gateways from %s; dB, %s. The one with the most to spare is best; among those within 3 dB, the closest.\n",
                 why->building->devices[why->control].name, report_unit(why->building));
    report_table table;
    report_table_start(&table, heads, 7);
    const uint32_t joined = why->siting->devices[why->control].gateway;
    for (size_t i = 0; i < why->gateway_count; i++) {
        const hr_why_gateway *g = &why->gateways[i];
        if (i >= GATEWAYS_SHOWN && g->gateway != why->closest && g->gateway != joined) {
            continue;
        }
        report_table_cell(&table, why->siting->gateways[g->gateway].id);
        report_table_fixed(&table, report_length(why->building, g->distance_m), 2);
        report_table_count(&table, g->slabs);
        report_table_fixed(&table, g->link_margin_db, 1);
        report_table_fixed(&table, g->spare_db, 1);
        report_table_cell(&table, g->serves ? "yes" : "no");
        report_table_cell(&table, gateway_words(why, g->gateway, joined));
    }
    report_table_end(&table, out);
    hr_text_add(out, "\n");
}

static void add_levels(const hr_why *why, hr_text *out)
{
    if (why->level_count == 0) {
        return;
    }
    static const char *const heads[] = {"from", "to", ">read dBm", ">predicted dBm", ">difference dB"};
    report_table table;
    hr_text_addf(out, "Levels read (%zu)%s\n", why->level_count, why->door_open ? ", the room's door open" : "");
    report_table_start(&table, heads, 5);
    for (size_t i = 0; i < why->level_count; i++) {
        const hr_why_level *level = &why->levels[i];
        if (!level->own && why->level_count > LEVELS_SHOWN) {
            continue;
        }
        report_table_cell(&table, level->from);
        report_table_cell(&table, level->to);
        if (level->heard) {
            report_table_fixed(&table, level->level_dbm, 1);
        } else {
            report_table_cell(&table, "not heard");
        }
        report_table_fixed(&table, level->predicted_dbm, 1);
        report_table_fixed(&table, level->heard ? level->level_dbm - level->predicted_dbm : REPORT_UNKNOWN, 1);
    }
    report_table_end(&table, out);
    hr_text_addf(out, "%s%s\n", why->as_read, why->as_read[0] != '\0' ? "\n" : "");
}

static void add_causes(const hr_why *why, hr_text *out)
{
    static const char *const heads[] = {">%", "cause", "evidence"};
    report_table table;
    add_levels(why, out);
    hr_text_addf(out, "Likely causes; priors and spreads are assumed\n");
    report_table_start(&table, heads, 3);
    for (size_t i = 0; i < why->cause_count; i++) {
        report_table_fixed(&table, 100.0 * why->causes[i].probability, 1);
        report_table_cell(&table, why->causes[i].words);
        report_table_cell(&table, why->causes[i].evidence);
    }
    report_table_end(&table, out);
    hr_text_addf(out, "First: %s\n\n", why->first_step);
}

static void add_remedies(const hr_why *why, hr_text *out)
{
    static const char *const heads[] = {">gain dB", ">spare after", ">minutes", "remedy"};
    report_table table;
    if (why->remedy_count == 0) {
        hr_text_add(out, "Remedies: none of those that were computed helps by a decibel or more.\n\n");
        return;
    }
    hr_text_add(out, "Remedies, most gain per minute of work first (minutes assumed); the smallest spare of the room's links\n");
    report_table_start(&table, heads, 4);
    for (size_t i = 0; i < why->remedy_count; i++) {
        report_table_fixed(&table, why->remedies[i].gain_db, 1);
        report_table_fixed(&table, why->remedies[i].spare_after_db, 1);
        report_table_fixed(&table, why->remedies[i].minutes, 0);
        report_table_cell(&table, why->remedies[i].words);
    }
    report_table_end(&table, out);
    hr_text_add(out, "\n");
}

hr_status hr_report_why_text(const hr_why *why, hr_text *out, hr_error *err)
{
    const hr_building *b = why->building;
    hr_text_addf(out, "%s, room %s: radio coverage, predicted by the %s model\n", b->name, b->rooms[why->room].name,
                 hr_building_model_name((hr_model)b->radio.model));
    hr_text_addf(out, "%s\n\n", why->served ? "Every device of the room is served by the prediction."
                                            : "Not every device of the room is served.");
    for (size_t i = 0; i < why->link_count; i++) {
        add_link(why, &why->links[i], out);
    }
    add_gateways(why, out);
    add_causes(why, out);
    add_remedies(why, out);
    hr_text_addf(out, "%s\n", hr_report_caution());
    hr_text_add(out, "Local codes and licensed practice decide; `hallreach --help` has the cautions in full.\n");
    return report_done(out, err);
}

hr_status hr_report_why_csv(const hr_why *why, hr_text *out, hr_error *err)
{
    char buf[HR_FIXED_MAX];
    hr_text_addf(out, "# hallreach = %s\nfrom,to,direction,item,db,note\n", hr_version());
    for (size_t i = 0; i < why->link_count; i++) {
        const hr_why_link *link = &why->links[i];
        for (size_t k = 0; k < link->budget.count; k++) {
            const hr_budget_line *line = &link->budget.lines[k];
            hr_text_csv(out, link->from);
            hr_text_add(out, ",");
            hr_text_csv(out, link->to);
            hr_text_addf(out, ",%s,", link->budget.link.direction == HR_UP ? "up" : "down");
            hr_text_csv(out, line->item);
            hr_text_addf(out, ",%s,", hr_short(line->db, 4, buf));
            hr_text_csv(out, line->note);
            hr_text_add(out, "\n");
        }
    }
    return report_done(out, err);
}
