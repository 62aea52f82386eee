/*
 * reasons.c - what serves, and words for what does not.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

siting_verdict siting_judge(const hr_radio *radio, const hr_link *link)
{
    if (link->distance_m > radio->range_limit_m) {
        return SITING_BEYOND_RANGE;
    }
    if ((long)link->slabs > radio->max_slabs) {
        return SITING_TOO_MANY_SLABS;
    }
    return link->spare_db >= 0.0 ? SITING_SERVES : SITING_NO_MARGIN;
}

void siting_add_words(hr_device_row *row, const char *words)
{
    const size_t len = strlen(row->reason);
    (void)snprintf(row->reason + len, sizeof row->reason - len, "%s%s", len > 0 ? "; " : "", words);
}

/* "4.2 dB to spare" or "4.2 dB short". */
static void spare_words(double spare_db, char *out, size_t size)
{
    char number[HR_FIXED_MAX];
    (void)snprintf(out, size, "%s dB %s", hr_fixed(fabs(spare_db), 1, number), spare_db >= 0.0 ? "to spare" : "short");
}

static void length_words(const hr_building *building, double length_m, char *out, size_t size)
{
    char number[HR_FIXED_MAX];
    (void)snprintf(out, size, "%s %s", hr_short(hr_units_from_metres(length_m, building->length_unit), 2, number),
                   hr_units_length_name(building->length_unit));
}

static void explain_margin(const hr_link *link, const char *to, const char *prefix, const char *length,
                           char reason[HR_REASON_MAX])
{
    const double lost_db = link->wall_loss_db + link->floor_loss_db + link->metal_loss_db;
    char spare[64], lost[HR_FIXED_MAX];
    spare_words(link->spare_db, spare, sizeof spare);
    (void)hr_fixed(lost_db, 1, lost);
    if (lost_db + link->spare_db >= 0.0) {
        (void)snprintf(reason, HR_REASON_MAX,
                       "%stoo much in the way to %s: %u walls or doors, %u slabs and metal take %s dB over %s; %s", prefix,
                       to, link->walls, link->slabs, lost, length, spare);
    } else {
        (void)snprintf(reason, HR_REASON_MAX, "%sno margin to %s: %s away, %s even with nothing in the way", prefix, to,
                       length, spare);
    }
}

void siting_explain(const hr_building *building, const hr_link *link, const char *to, bool any_spot,
                    char reason[HR_REASON_MAX])
{
    const char *prefix = any_spot ? "no spot can serve it; " : "";
    char spare[64], length[64], limit[64];
    length_words(building, link->distance_m, length, sizeof length);
    switch (siting_judge(&building->radio, link)) {
    case SITING_BEYOND_RANGE:
        spare_words(link->spare_db, spare, sizeof spare);
        length_words(building, building->radio.range_limit_m, limit, sizeof limit);
        (void)snprintf(reason, HR_REASON_MAX, "%sbeyond the range limit of %s: %s to %s; the radio has %s: raise range_limit, or add a spot nearer",
                       prefix,
                       limit, length, to, spare);
        break;
    case SITING_TOO_MANY_SLABS:
        spare_words(link->spare_db, spare, sizeof spare);
        (void)snprintf(reason, HR_REASON_MAX, "%s%u slabs to %s, max_slabs is %ld; the radio has %s: raise max_slabs, or add a spot nearer",
                       prefix,
                       link->slabs, to, building->radio.max_slabs, spare);
        break;
    case SITING_NO_MARGIN:
        explain_margin(link, to, prefix, length, reason);
        break;
    case SITING_SERVES:
        reason[0] = '\0';
        break;
    }
}
