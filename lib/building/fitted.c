/*
 * fitted.c - [fitted]: what a fit found in this building, in place of the
 * radio keys and the tables. What --set says stands above it.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

#include <math.h>
#include <string.h>

typedef struct fitted_pair {
    const char *key, *expected;
    double low, high;
} fitted_pair;

static const fitted_pair material_pair = {"material", "NAME LOSS_DB was expected, as in: brick-100 7.5; losses from 0 to 200",
                                          0.0, 200.0};
static const fitted_pair gateway_pair = {"gateway_offset", "ID DB was expected, as in: GW1 -2.5; from -100 to 100", -100.0,
                                         100.0};

/* "NAME NUMBER"; the name may hold blanks, the number is the last word. */
static hr_status parse_pair(building_reader *r, const building_entry *entry, const fitted_pair *pair, hr_spot_cost *out)
{
    size_t last = strlen(entry->value);
    while (last > 0 && entry->value[last - 1] != ' ' && entry->value[last - 1] != '\t') {
        last--;
    }
    size_t len = last;
    while (len > 0 && (entry->value[len - 1] == ' ' || entry->value[len - 1] == '\t')) {
        len--;
    }
    if (len == 0 || len >= sizeof out->label || !hr_number_parse(entry->value + last, &out->cost) ||
        !(out->cost >= pair->low && out->cost <= pair->high)) {
        return building_fail_entry(r, entry, pair->expected);
    }
    memcpy(out->label, entry->value, len);
    out->label[len] = '\0';
    return HR_OK;
}

static hr_status read_pairs(building_reader *r, size_t section, const fitted_pair *pair, hr_spot_cost **list,
                            size_t *count)
{
    const building_entry *first = building_entry_of(r, section, pair->key);
    size_t found = 0;
    for (const building_entry *e = first; e != NULL; e = building_entry_next(r, e)) {
        found++;
    }
    hr_spot_cost *items = hr_arena_alloc(r->arena, found + 1, sizeof *items);
    if (items == NULL) {
        return hr_fail_memory(r->err);
    }
    size_t kept = 0;
    for (const building_entry *e = first; e != NULL; e = building_entry_next(r, e)) {
        const hr_status status = parse_pair(r, e, pair, &items[kept]);
        if (status != HR_OK) {
            return status;
        }
        for (size_t i = 0; i < kept; i++) {
            if (hr_casecmp(items[i].label, items[kept].label) == 0) {
                return building_fail_entry(r, e, "this name has a figure already");
            }
        }
        kept++;
    }
    *list = items;
    *count = kept;
    return HR_OK;
}

/* Whether --set gave a key: such an entry has no line. */
static bool set_by_hand(const building_reader *r, size_t section, const char *key)
{
    const building_entry *entry = building_entry_of(r, section, key);
    return entry != NULL && entry->line == 0;
}

static bool material_set_by_hand(const building_reader *r, const char *name)
{
    for (size_t i = 0; i < r->section_count; i++) {
        if (r->sections[i].target == BUILDING_MATERIAL && hr_casecmp(r->sections[i].name, name) == 0) {
            return set_by_hand(r, i, "loss_db");
        }
    }
    return false;
}

static hr_status fit_materials(building_reader *r, size_t section)
{
    const hr_fitted *fitted = &r->b->fitted;
    const building_entry *entry = building_entry_of(r, section, "material");
    for (size_t i = 0; i < fitted->material_count; i++, entry = building_entry_next(r, entry)) {
        const size_t index = hr_materials_find(r->b->materials, fitted->materials[i].label);
        if (index == SIZE_MAX) {
            const char *nearest = hr_materials_nearest(r->b->materials, fitted->materials[i].label);
            hr_text text = {0};
            hr_text_addf(&text, "unknown material%s%s%s", nearest == NULL ? "" : ", did you mean ",
                         nearest == NULL ? "" : nearest, nearest == NULL ? "" : "?");
            const hr_status failed = text.failed ? hr_fail_memory(r->err) : building_fail_entry(r, entry, text.bytes);
            hr_text_free(&text);
            return failed;
        }
        if (!material_set_by_hand(r, fitted->materials[i].label)) {
            hr_materials_set_fitted(r->b->materials, index, HR_USE_WALL, fitted->materials[i].cost);
        }
    }
    /* one figure for the building's slabs, whatever they are made of */
    for (size_t i = 0; isfinite(fitted->floor_loss_db) && i < hr_materials_count(r->b->materials); i++) {
        hr_materials_set_fitted(r->b->materials, i, HR_USE_FLOOR, fitted->floor_loss_db);
    }
    return HR_OK;
}

hr_status building_read_fitted(building_reader *r)
{
    hr_building *b = r->b;
    const size_t section = building_section_of(r, BUILDING_FITTED);
    const size_t radio = building_section_of(r, BUILDING_RADIO);
    hr_status status = read_pairs(r, section, &material_pair, &b->fitted.materials, &b->fitted.material_count);
    if (status == HR_OK) {
        status = read_pairs(r, section, &gateway_pair, &b->fitted.gateway_offsets, &b->fitted.gateway_offset_count);
    }
    if (status != HR_OK) {
        return status;
    }
    if (r->options.no_fitted) {
        b->fitted = (hr_fitted){.offset_db = (double)NAN,
                                .exponent = (double)NAN,
                                .shadowing_db = (double)NAN,
                                .floor_loss_db = (double)NAN};
        return HR_OK;
    }
    if (isfinite(b->fitted.exponent) && !set_by_hand(r, radio, "exponent")) {
        b->radio.exponent = b->fitted.exponent;
    }
    if (isfinite(b->fitted.shadowing_db) && !set_by_hand(r, radio, "shadowing_db")) {
        b->radio.shadowing_db = b->fitted.shadowing_db;
    }
    return fit_materials(r, section);
}
