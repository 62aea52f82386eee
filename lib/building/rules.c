/*
 * rules.c - [radio] rule: powers and antenna gains held against a row of the
 * radio limits table.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

/* Figures written with one decimal may exceed a limit by their last bit only. */
#define RULE_SLACK_DB 1e-9

static hr_status unknown_rule(const building_reader *r, const building_entry *entry)
{
    hr_text text = {0};
    hr_text_add(&text, "no such row in the radio limits table");
    const char *nearest = hr_materials_rule_nearest(entry->value);
    if (nearest != NULL) {
        hr_text_addf(&text, ", did you mean %s?", nearest);
    } else {
        hr_text_add(&text, "; known are");
        for (size_t i = 0; hr_materials_rule_name(i) != NULL; i++) {
            hr_text_addf(&text, "%s %s", i == 0 ? "" : ",", hr_materials_rule_name(i));
        }
    }
    const hr_status status = text.failed ? hr_fail_memory(r->err) : building_fail_entry(r, entry, text.bytes);
    hr_text_free(&text);
    return status;
}

/* The names are known without the table: one of them that is not found there means that memory ran out. */
static bool is_rule(const char *name)
{
    for (size_t i = 0; hr_materials_rule_name(i) != NULL; i++) {
        if (hr_casecmp(name, hr_materials_rule_name(i)) == 0) {
            return true;
        }
    }
    return false;
}

static void note_limit(const building_reader *r, const char *title, int line, const hr_radio_rule *rule,
                       const hr_terminal *radio)
{
    char found[HR_FIXED_MAX], limit[HR_FIXED_MAX];
    const double eirp_dbm = radio->tx_power_dbm + radio->antenna_gain_dbi;
    if (eirp_dbm > rule->eirp_limit_dbm + RULE_SLACK_DB) {
        /* a limit on ERP is held against ERP, so that both figures are the rule's own */
        const double off_db = rule->eirp_limit_dbm - rule->stated_limit_dbm;
        hr_note(r->notes, r->file, line, "radio limit exceeded: [%s] radiates %s dBm %s, %s allows %s dBm", title,
                hr_short(eirp_dbm - off_db, 2, found), rule->stated_as_erp ? "ERP" : "EIRP", rule->name,
                hr_short(rule->stated_limit_dbm, 2, limit));
        return;
    }
    const double allowed_dbm = hr_materials_rule_power_dbm(rule, radio->antenna_gain_dbi);
    if (radio->tx_power_dbm > allowed_dbm + RULE_SLACK_DB) {
        hr_note(r->notes, r->file, line,
                "radio limit exceeded: [%s] has %s dBm at the antenna port, %s allows %s dBm with this antenna", title,
                hr_short(radio->tx_power_dbm, 2, found), rule->name, hr_short(allowed_dbm, 2, limit));
    }
}

static int section_line(const building_reader *r, size_t section)
{
    return section == BUILDING_NONE ? 0 : r->sections[section].line;
}

hr_status building_check_rule(building_reader *r)
{
    const hr_building *b = r->b;
    const building_entry *entry = building_entry_of(r, building_section_of(r, BUILDING_RADIO), "rule");
    if (entry == NULL) {
        return HR_OK;
    }
    hr_radio_rule rule;
    bool known = false;
    const bool found = hr_materials_rule_find(entry->value, b->radio.frequency_mhz, &rule, &known);
    if (!known) {
        return is_rule(entry->value) ? hr_fail_memory(r->err) : unknown_rule(r, entry);
    }
    if (b->frequency_assumed) {
        return HR_OK; /* nothing to hold it against */
    }
    if (!found) {
        hr_text text = {0};
        char mhz[HR_FIXED_MAX];
        hr_text_addf(&text, "this rule has no band at %s MHz", hr_short(b->radio.frequency_mhz, 3, mhz));
        const hr_status status = text.failed ? hr_fail_memory(r->err) : building_fail_entry(r, entry, text.bytes);
        hr_text_free(&text);
        return status;
    }
    note_limit(r, "gateway", section_line(r, building_section_of(r, BUILDING_GATEWAY)), &rule, &b->gateway_kind.radio);
    size_t kind = 0;
    for (size_t i = 0; i < r->section_count; i++) {
        if (r->sections[i].target == BUILDING_DEVICE) {
            note_limit(r, r->sections[i].title, r->sections[i].line, &rule, &b->kinds[kind++].radio);
        }
    }
    if (kind == 0) {
        note_limit(r, "device wall", 0, &rule, &b->kinds[0].radio);
    }
    return HR_OK;
}
