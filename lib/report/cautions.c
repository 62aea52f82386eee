/*
 * cautions.c - what every output says.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

static const struct {
    const char *text;
    bool mains_only; /* concerns properties with mains-fed devices */
} cautions[] = {
    {"Prediction, not a survey: verify by measurement before drilling or ordering.", false},
    {"Mains-fed units are locked out and proved dead by licensed people before anyone opens them.", true},
    {"Do not drill fire-rated doors, frames or walls without listed methods and firestopping.", false},
    {"Check for asbestos and lead before drilling old walls or ceilings.", false},
    {"Above ceilings use plenum-rated cable and listed enclosures.", false},
    {"Keep clear of sprinklers, detectors and exit signs.", false},
    {"Ladders stand safely and exits stay open in occupied corridors.", false},
    {"Use certified antennas and powers only.", false},
    {"Local heating, cooling and frost protection must go on working when the radio does not; no fire, access or other "
     "life-safety function may depend on it.",
     false},
    {"Room numbers and gateway places are the owner's private data.", false},
    {"Local codes and licensed practice decide.", false},
};

#define CAUTION_COUNT (sizeof cautions / sizeof cautions[0])

const char *hr_report_caution(void)
{
    return cautions[0].text;
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
