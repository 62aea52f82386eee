/*
 * ranges.c - the one table of fixed validity limits.
 *
 * SPDX-License-Identifier: MIT
 */
#include <math.h>
#include <string.h>

#include "hr_propagation.h"

static const hr_range ranges[HR_RANGE_COUNT] = {
    [HR_RANGE_LOG_DISTANCE_M] = {"log-distance", "distance", "m", 1.0, (double)INFINITY, "rappaport-examples",
                                 "below it the loss at 1 m is used"},
    [HR_RANGE_COST231_MHZ] = {"COST 231 multi-wall", "frequency", "MHz", 800.0, 1900.0, "cost231",
                              "the floor increments are used at any frequency"},
    [HR_RANGE_COST231_FLOORS] = {"COST 231 multi-wall", "floors", "", 0.0, 5.0, "cost231-computed",
                                 "the increments go on falling"},
    [HR_RANGE_SATURATION_WALLS] = {"wall saturation", "walls", "", 1.0, 3.0, "kolakowski-2021",
                                   "further walls count in full"},
    [HR_RANGE_SLAB_ANGLE_DEG] = {"slab transmission", "angle from the normal", "degrees", 0.0, HR_SLAB_ANGLE_MAX_DEG,
                                 "assumed", "steeper rays are taken at the limit"},
    [HR_RANGE_P1238_M] = {"ITU-R P.1238 N form", "distance", "m", 1.0, (double)INFINITY, "p1238",
                          "below it the loss at 1 m is used"},
    [HR_RANGE_P1238_FLOORS] = {"ITU-R P.1238 N form", "floors", "", 0.0, 3.0, "p1238",
                               "the last step is added for each further floor; real losses saturate"},
    [HR_RANGE_INH_MHZ] = {"3GPP TR 38.901 indoor office", "frequency", "MHz", 500.0, 100000.0, "tr38901",
                          "the formula is used as it stands"},
    [HR_RANGE_INH_M] = {"3GPP TR 38.901 indoor office", "distance", "m", 1.0, 150.0, "tr38901",
                        "the formula is used as it stands"},
};

const hr_range *hr_propagation_range(hr_range_id id)
{
    return (unsigned)id < HR_RANGE_COUNT ? &ranges[id] : NULL;
}

bool hr_propagation_in_range(hr_range_id id, double value)
{
    const hr_range *range = hr_propagation_range(id);
    return range != NULL && value >= range->low && value <= range->high;
}

char *hr_propagation_range_text(hr_range_id id, double value, char buf[HR_RANGE_TEXT_MAX])
{
    buf[0] = '\0';
    const hr_range *range = hr_propagation_range(id);
    if (range == NULL) {
        return buf;
    }
    char number[HR_FIXED_MAX];
    const char *space = range->unit[0] != '\0' ? " " : "";
    hr_text text = {0};
    hr_text_addf(&text, "%s: %s %s%s%s, given ", range->formula, range->quantity, hr_short(value, 2, number), space,
                 range->unit);
    if (isinf(range->high)) {
        hr_text_addf(&text, "from %s", hr_short(range->low, 2, number));
    } else {
        hr_text_addf(&text, "for %s to ", hr_short(range->low, 2, number));
        hr_text_add(&text, hr_short(range->high, 2, number));
    }
    hr_text_addf(&text, "%s%s; %s", space, range->unit, range->beyond);
    if (!text.failed) {
        const size_t len = text.len < HR_RANGE_TEXT_MAX - 1 ? text.len : HR_RANGE_TEXT_MAX - 1;
        memcpy(buf, text.bytes, len);
        buf[len] = '\0';
    }
    hr_text_free(&text);
    return buf;
}
