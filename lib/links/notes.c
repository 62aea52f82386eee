/*
 * notes.c - what holds for every link of a property and has to be said once,
 * and what the distance line says of the model.
 *
 * SPDX-License-Identifier: MIT
 */
#include "ways_priv.h"

void link_distance_note(const hr_links *links, hr_text *note)
{
    const hr_radio *radio = &links->building->radio;
    const hr_site_row *site = &links->site;
    char number[HR_FIXED_MAX];
    if (radio->model == HR_MODEL_MULTI_WALL) {
        hr_text_addf(note, ", exponent %s", hr_short(radio->exponent, 2, number));
    } else if (radio->model == HR_MODEL_SITE_GENERAL) {
        hr_text_addf(note, ", %s row of ITU-R P.1238, ", site->environment);
        hr_text_addf(note, site->abg ? "alpha %s" : "N %s", hr_short(site->abg ? site->alpha : site->n, 2, number));
    }
}

/* Which row of site-general is used, and whether it is tabled for this frequency. */
static void note_site(const hr_links *links, hr_notes *notes)
{
    const hr_site_row *site = &links->site;
    char low[HR_FIXED_MAX], high[HR_FIXED_MAX], sigma[HR_FIXED_MAX];
    hr_note(notes, NULL, 0, "site-general: the row %s of ITU-R P.1238 (%s form), sigma %s dB%s", site->environment,
            site->abg ? "alpha-beta-gamma" : "N", hr_short(site->sigma_db, 2, sigma),
            site->slope_only ? "; its slope only, from the free-space loss at 1 m" : "");
    if (site->extrapolated) {
        hr_note(notes, NULL, 0, "site-general: extrapolated, the row %s is tabled for %s to %s MHz", site->environment,
                hr_short(site->low_mhz, 0, low), hr_short(site->high_mhz, 0, high));
    }
    if (site->abg && links->building->storey_count > 1) {
        hr_note(notes, NULL, 0, "site-general: the row %s has no floor loss; links between storeys read too well",
                site->environment);
    }
}

/* Slabs computed outside the frequencies their permittivity is tabled for. */
static void note_slabs(const hr_links *links, hr_notes *notes)
{
    const hr_materials *materials = links->building->materials;
    hr_text names = {0};
    for (size_t i = 0; i < hr_materials_count(materials); i++) {
        if (links->curves[i] != NULL && links->curves[i]->extrapolated) {
            hr_text_addf(&names, "%s%s", names.len > 0 ? ", " : "", hr_materials_get(materials, i)->name);
        }
    }
    if (names.len > 0) {
        char freq[HR_FIXED_MAX];
        hr_note(notes, NULL, 0, "routes: extrapolated, ITU-R P.2040-3 tables no permittivity at %s MHz for %s",
                hr_short(links->building->radio.frequency_mhz, 3, freq), names.bytes);
    }
    hr_text_free(&names);
}

/* How far ways round were looked for. */
static void note_ways(const hr_links *links, hr_notes *notes)
{
    size_t left_out = 0;
    for (size_t i = 0; i < links->way_count; i++) {
        left_out += links->ways[i].left_out;
    }
    if (left_out > 0) {
        hr_note(notes, NULL, 0, "routes: %zu places where a way could bend left out; %d on one storey are looked at",
                left_out, WAYS_BENDS_MAX);
    }
    if (links->building->storey_count > 2) {
        hr_note(notes, NULL, 0, "routes: between storeys more than one apart only the straight line counts");
    }
}

static void note_range(hr_notes *notes, hr_range_id id, double value)
{
    char text[HR_RANGE_TEXT_MAX];
    if (!hr_propagation_in_range(id, value)) {
        hr_note(notes, NULL, 0, "%s", hr_propagation_range_text(id, value, text));
    }
}

void hr_links_notes(const hr_links *links, hr_notes *notes)
{
    const hr_building *building = links->building;
    if (building->storey_count > 1 && building->radio.model != HR_MODEL_SITE_GENERAL) {
        note_range(notes, HR_RANGE_COST231_MHZ, building->radio.frequency_mhz);
    }
    if (building->radio.model == HR_MODEL_SITE_GENERAL) {
        note_site(links, notes);
    }
    if (links->curves != NULL) {
        note_slabs(links, notes);
        note_ways(links, notes);
    }
    if (building->radio.wall_saturation > 0.0) {
        const hr_range *range = hr_propagation_range(HR_RANGE_SATURATION_WALLS);
        char walls[HR_FIXED_MAX];
        if (building->radio.model == HR_MODEL_MULTI_WALL) {
            hr_note(notes, NULL, 0, "wall_saturation: measured for up to %s walls, %s", hr_short(range->high, 0, walls),
                    range->beyond);
        } else {
            hr_note(notes, NULL, 0, "wall_saturation acts in the model multi-wall only");
        }
    }
}
