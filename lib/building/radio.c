/*
 * radio.c - the sections that stand once: [property], [radio], [gateway],
 * [drawing], [fitted], [estimate]; and the property's own materials.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

#include <math.h>
#include <string.h>

/* Stands in for a frequency not given when a property is only read. */
#define STAND_IN_MHZ 915.0

static hr_status read_property(building_reader *r)
{
    const size_t section = building_section_of(r, BUILDING_PROPERTY);
    if (section == BUILDING_NONE) {
        return hr_fail(r->err, HR_ERR_INPUT, r->file, 0,
                       "no [property] section: [property] with name and length_unit was expected");
    }
    const hr_status status = building_fill(r, BUILDING_PROPERTY, section, &r->property);
    if (status == HR_OK) {
        r->b->name = r->property.name;
        r->b->length_unit = (hr_length_unit)r->property.length_unit;
    }
    return status;
}

static hr_status read_radio(building_reader *r)
{
    hr_radio *radio = &r->b->radio;
    const hr_status status = building_fill(r, BUILDING_RADIO, building_section_of(r, BUILDING_RADIO), radio);
    if (status != HR_OK) {
        return status;
    }
    if (isnan(radio->frequency_mhz)) { /* lenient only */
        radio->frequency_mhz = STAND_IN_MHZ;
        r->b->frequency_assumed = true;
        hr_note(r->notes, r->file, 0, "no frequency_mhz in [radio]; losses are shown at 915 MHz");
    }
    if (radio->count_spreads && building_entry_of(r, building_section_of(r, BUILDING_RADIO), "shadowing_db") == NULL) {
        radio->shadowing_db = BUILDING_SHADOWING_BESIDE_SPREADS_DB;
    }
    if (isnan(radio->noise_rise_db)) {
        radio->noise_rise_db = building_noise_rise_db(radio->frequency_mhz);
    }
    return HR_OK;
}

static hr_status read_material(building_reader *r, size_t section)
{
    const building_section *s = &r->sections[section];
    building_material_keys keys = {0};
    hr_status status = building_fill(r, BUILDING_MATERIAL, section, &keys);
    if (status != HR_OK) {
        return status;
    }
    const char *file = s->line > 0 ? r->file : "--set";
    if (isnan(keys.loss_db) && keys.layers == NULL) {
        return hr_fail(r->err, HR_ERR_INPUT, file, s->line,
                       "[%s] has no loss_db; loss_db = dB or layers = MATERIAL MM, ... was expected", s->title);
    }
    hr_error inner = {0};
    status = keys.layers == NULL
                 ? hr_materials_add(r->b->materials, s->name, keys.loss_db, keys.spread_db, &inner)
                 : hr_materials_add_layers(r->b->materials, s->name, keys.layers, keys.spread_db, &inner);
    if (status == HR_OK && keys.layers != NULL && !isnan(keys.loss_db)) {
        hr_materials_set_loss(r->b->materials, s->name, keys.loss_db);
    }
    if (status != HR_OK && status != HR_ERR_MEMORY) {
        return hr_fail(r->err, HR_ERR_INPUT, file, s->line, "[%s]: %s", s->title, inner.text);
    }
    return status == HR_OK ? HR_OK : hr_fail_memory(r->err);
}

static hr_status read_materials(building_reader *r)
{
    hr_status status = hr_materials_new(r->b->radio.frequency_mhz, &r->b->materials, r->err);
    for (size_t i = 0; i < r->section_count && status == HR_OK; i++) {
        if (r->sections[i].target == BUILDING_MATERIAL) {
            status = read_material(r, i);
        }
    }
    return status;
}

/* More than any budget; keeps sums of costs within whole thousandths. */
#define SPOT_COST_MAX 1e6

/* "LABEL COST"; the label may hold blanks, the cost is the last word. */
static hr_status parse_spot_cost(building_reader *r, const building_entry *entry, hr_spot_cost *cost)
{
    const char *blank = strrchr(entry->value, ' ');
    const char *tab = strrchr(entry->value, '\t');
    const char *last = blank == NULL || (tab != NULL && tab > blank) ? tab : blank;
    size_t len = last == NULL ? 0 : (size_t)(last - entry->value);
    while (len > 0 && (entry->value[len - 1] == ' ' || entry->value[len - 1] == '\t')) {
        len--;
    }
    if (len == 0 || len >= sizeof cost->label || !hr_number_parse(last, &cost->cost) ||
        !(cost->cost >= 0.0 && cost->cost <= SPOT_COST_MAX)) {
        return building_fail_entry(r, entry, "LABEL COST was expected, as in: closet 0.5; costs from 0 to 1000000");
    }
    memcpy(cost->label, entry->value, len);
    cost->label[len] = '\0';
    return HR_OK;
}

static hr_status read_spot_costs(building_reader *r)
{
    hr_gateway_kind *kind = &r->b->gateway_kind;
    const size_t section = building_section_of(r, BUILDING_GATEWAY);
    const building_entry *first = building_entry_of(r, section, "spot_cost");
    size_t found = 0;
    for (const building_entry *e = first; e != NULL; e = building_entry_next(r, e)) {
        found++;
    }
    kind->spot_costs = hr_arena_alloc(r->arena, found + 1, sizeof *kind->spot_costs);
    if (kind->spot_costs == NULL) {
        return hr_fail_memory(r->err);
    }
    for (const building_entry *e = first; e != NULL; e = building_entry_next(r, e)) {
        hr_spot_cost *cost = &kind->spot_costs[kind->spot_cost_count];
        const hr_status status = parse_spot_cost(r, e, cost);
        if (status != HR_OK) {
            return status;
        }
        for (size_t i = 0; i < kind->spot_cost_count; i++) {
            if (hr_casecmp(kind->spot_costs[i].label, cost->label) == 0) {
                return building_fail_entry(r, e, "this label has a cost already");
            }
        }
        kind->spot_cost_count++;
    }
    return HR_OK;
}

hr_status building_read_site(building_reader *r)
{
    hr_building *b = r->b;
    hr_status status = read_property(r);
    if (status == HR_OK) {
        status = read_radio(r);
    }
    if (status == HR_OK) {
        status = building_fill(r, BUILDING_GATEWAY, building_section_of(r, BUILDING_GATEWAY), &b->gateway_kind);
    }
    if (status == HR_OK) {
        status = read_spot_costs(r);
    }
    if (status == HR_OK) {
        status = building_fill(r, BUILDING_DRAWING, building_section_of(r, BUILDING_DRAWING), &r->drawing);
    }
    if (status == HR_OK) {
        status = building_fill(r, BUILDING_FITTED, building_section_of(r, BUILDING_FITTED), &b->fitted);
    }
    if (status == HR_OK) {
        status = building_fill(r, BUILDING_ESTIMATE, building_section_of(r, BUILDING_ESTIMATE), &b->estimate);
    }
    if (status == HR_OK) {
        status = read_materials(r);
    }
    return status == HR_OK ? building_read_fitted(r) : status;
}
