/*
 * cautions.c - what every output says.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

static const struct {
    const char *text;
    bool mains_only; /* concerns properties with mains-fed devices */
    char letter;     /* by which a work sheet calls it; 0: it does not */
} cautions[] = {
    {"Prediction, not a survey: verify by measurement before drilling or ordering.", false, 0},
    {"Mains-fed units are locked out and proved dead by licensed people before anyone opens them.", true, 'M'},
    {"Do not drill fire-rated doors, frames or walls without listed methods and firestopping.", false, 'F'},
    {"Check for asbestos and lead before drilling old walls or ceilings.", false, 'O'},
    {"Above ceilings use plenum-rated cable and listed enclosures.", false, 'P'},
    {"Keep clear of sprinklers, detectors and exit signs.", false, 'K'},
    {"Ladders stand safely and exits stay open in occupied corridors.", false, 'L'},
    {"Use certified antennas and powers only.", false, 'A'},
    {"Local heating, cooling and frost protection must go on working when the radio does not; no fire, access or other "
     "life-safety function may depend on it.",
     false, 0},
    {"Room numbers and gateway places are the owner's private data.", false, 0},
    {"Local codes and licensed practice decide.", false, 0},
};

#define CAUTION_COUNT (sizeof cautions / sizeof cautions[0])

const char *hr_report_caution(void)
{
    return cautions[0].text;
}

const char *report_caution_by(char letter)
{
    for (size_t i = 0; i < CAUTION_COUNT; i++) {
        if (cautions[i].letter == letter) {
            return cautions[i].text;
        }
    }
    return NULL;
}

static bool has_mains(const hr_building *building)
{
    for (size_t i = 0; i < building->kind_count; i++) {
        if (building->kinds[i].power == HR_POWER_MAINS) {
            return true;
        }
    }
    return false;
}

const char *hr_report_caution_at(const hr_building *building, size_t index)
{
    for (size_t i = 0; i < CAUTION_COUNT; i++) {
        if (cautions[i].mains_only && building != NULL && !has_mains(building)) {
            continue;
        }
        if (index-- == 0) {
            return cautions[i].text;
        }
    }
    return NULL;
}
