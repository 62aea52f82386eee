/*
 * settings.c - every setting in force with its unit, and where it comes from.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

static hr_status add_setting(building_reader *r, const char *title, const building_key_row *row,
                             const building_entry *entry, const char *fallback)
{
    building_private *priv = r->b->priv;
    if (!HR_RESERVE(priv->settings, priv->setting_cap, priv->setting_count + 1)) {
        return hr_fail_memory(r->err);
    }
    const bool length = row->key.type == HR_KEY_LENGTH;
    priv->settings[priv->setting_count++] =
        (hr_setting){.section = title,
                     .key = row->key.key,
                     .value = entry != NULL ? entry->value : fallback,
                     .unit = length ? hr_units_length_name(r->b->length_unit) : row->key.unit,
                     .reason = entry == NULL     ? row->key.reason
                               : entry->line > 0 ? "property file"
                                                 : "--set",
                     .is_default = entry == NULL};
    return HR_OK;
}

/* A default as the property file would write it: lengths in its unit, noise_rise_db worked out. */
static const char *default_text(building_reader *r, const building_key_row *row)
{
    char buf[HR_FIXED_MAX];
    double value = 0.0;
    if (row->key.offset == offsetof(hr_radio, noise_rise_db) && row->target == BUILDING_RADIO) {
        return hr_arena_strdup(r->arena, hr_short(r->b->radio.noise_rise_db, 2, buf));
    }
    if (row->key.offset == offsetof(hr_radio, shadowing_db) && row->target == BUILDING_RADIO) {
        return hr_arena_strdup(r->arena, hr_short(r->b->radio.shadowing_db, 2, buf)); /* less with count_spreads */
    }
    if (row->key.type == HR_KEY_LENGTH && hr_number_parse(row->key.fallback, &value)) {
        return hr_arena_strdup(r->arena, hr_short(hr_units_from_metres(value, r->b->length_unit), 3, buf));
    }
    return row->key.fallback;
}

/* All keys of a section: what is written, and the defaults that stand in for the rest. */
static hr_status list_section(building_reader *r, building_target target, const char *title, size_t section)
{
    const building_key_row *rows = NULL;
    const size_t count = building_rows(&rows);
    for (size_t i = 0; i < count; i++) {
        if (rows[i].target != target) {
            continue;
        }
        const building_entry *entry = building_entry_of(r, section, rows[i].key.key);
        hr_status status = HR_OK;
        if (entry == NULL && rows[i].key.fallback != NULL && rows[i].key.fallback[0] != '\0') {
            const char *text = default_text(r, &rows[i]);
            status = text == NULL ? hr_fail_memory(r->err) : add_setting(r, title, &rows[i], NULL, text);
        }
        for (; entry != NULL && status == HR_OK; entry = building_entry_next(r, entry)) {
            status = add_setting(r, title, &rows[i], entry, NULL);
        }
        if (status != HR_OK) {
            return status;
        }
    }
    return HR_OK;
}

static hr_status list_named(building_reader *r, building_target target)
{
    for (size_t i = 0; i < r->section_count; i++) {
        if (r->sections[i].target == target) {
            const hr_status status = list_section(r, target, r->sections[i].title, i);
            if (status != HR_OK) {
                return status;
            }
        }
    }
    return HR_OK;
}

/* The implied kind has no section, but power and relays of its own. */
static hr_status list_implied(building_reader *r)
{
    static const char *const words[2][2] = {{"power", "battery"}, {"relays", "no"}};
    const size_t section = building_section_of(r, BUILDING_DEVICE);
    if (!r->b->kinds[0].implied) {
        return HR_OK;
    }
    hr_status status = HR_OK;
    for (int i = 0; i < 2 && status == HR_OK; i++) {
        if (building_entry_of(r, section, words[i][0]) == NULL) {
            status = add_setting(r, "device wall", building_row_find(BUILDING_DEVICE, words[i][0]), NULL, words[i][1]);
            if (status == HR_OK) {
                r->b->priv->settings[r->b->priv->setting_count - 1].reason = "no [device ...] section in the file";
            }
        }
    }
    if (status == HR_OK && section == BUILDING_NONE) {
        status = list_section(r, BUILDING_DEVICE, "device wall", BUILDING_NONE);
    }
    return status;
}

hr_status building_list_settings(building_reader *r)
{
    static const building_target order[] = {BUILDING_PROPERTY, BUILDING_RADIO,  BUILDING_GATEWAY,
                                            BUILDING_DEVICE,   BUILDING_STOREY, BUILDING_MATERIAL,
                                            BUILDING_DRAWING,  BUILDING_FITTED, BUILDING_ESTIMATE};
    hr_status status = HR_OK;
    for (size_t i = 0; i < sizeof order / sizeof order[0] && status == HR_OK; i++) {
        const size_t section = building_section_of(r, order[i]);
        /* [estimate] speaks to one command only: shown where it is written */
        if (building_target_named(order[i]) || (order[i] == BUILDING_ESTIMATE && section == BUILDING_NONE)) {
            status = order[i] == BUILDING_DEVICE ? list_implied(r) : HR_OK;
            status = status == HR_OK ? list_named(r, order[i]) : status;
        } else {
            status = list_section(r, order[i], building_target_word(order[i]), section);
        }
    }
    return status;
}

size_t hr_building_setting_count(const hr_building *building)
{
    return building->priv->setting_count;
}

const hr_setting *hr_building_setting(const hr_building *building, size_t index)
{
    return index < building->priv->setting_count ? &building->priv->settings[index] : NULL;
}
