/*
 * radio.c - the sections that stand once: [property], [radio], [gateway],
 * [drawing], [fitted], [estimate]; and the property's own materials.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

#include <math.h>

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
    if (isnan(keys.loss_db)) {
        return hr_fail(r->err, HR_ERR_INPUT, s->line > 0 ? r->file : "--set", s->line,
                       "[%s] has no loss_db; loss_db = dB was expected", s->title);
    }
    hr_error inner = {0};
    status = hr_materials_add(r->b->materials, s->name, keys.loss_db, keys.spread_db, &inner);
    if (status != HR_OK && status != HR_ERR_MEMORY) {
        return hr_fail(r->err, HR_ERR_INPUT, r->file, s->line, "[%s]: %s", s->title, inner.text);
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
        status = building_fill(r, BUILDING_DRAWING, building_section_of(r, BUILDING_DRAWING), &r->drawing);
    }
    if (status == HR_OK) {
        status = building_fill(r, BUILDING_FITTED, building_section_of(r, BUILDING_FITTED), &b->fitted);
    }
    if (status == HR_OK) {
        status = building_fill(r, BUILDING_ESTIMATE, building_section_of(r, BUILDING_ESTIMATE), &b->estimate);
    }
    return status == HR_OK ? read_materials(r) : status;
}
