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

void siting_add_hops_words(const hr_building *building, hr_device_row *row)
{
    char words[120];
    (void)snprintf(words, sizeof words, "no way over relays of at most %ld hops either: raise max_hops, or let more devices relay",
                   building->radio.max_hops);
    siting_add_words(row, words);
}

/* "4.2 dB to spare" or "4.2 dB short". */
static void spare_words(double spare_db, char *out, size_t size)
{
    char number[HR_FIXED_MAX];
    (void)snprintf(out, size, "%s dB %s", hr_fixed(fabs(spare_db), 1, number), spare_db >= 0.0 ? "to spare" : "short");
}

/* What stands against a rule: with the radio to spare it is the rule alone, and the rule can be relaxed. */
static void radio_words(double spare_db, const char *relax, char *out, size_t size)
{
    char spare[64];
    spare_words(spare_db, spare, sizeof spare);
    if (spare_db >= 0.0) {
        (void)snprintf(out, size, "the radio has %s: %s, or add a spot nearer", spare, relax);
    } else {
        (void)snprintf(out, size, "the radio is %s besides: add a spot nearer", spare);
    }
}

static void length_words(const hr_building *building, double length_m, char *out, size_t size)
{
    char number[HR_FIXED_MAX];
    (void)snprintf(out, size, "%s %s", hr_short(hr_units_from_metres(length_m, building->length_unit), 2, number),
                   hr_units_length_name(building->length_unit));
}

/* "3 walls or doors 21.0 dB, 1 slab 14.5 dB, metal 30.0 dB": what is there, and nothing else. */
static void lost_words(const hr_link *link, char *out, size_t size)
{
    char number[HR_FIXED_MAX];
    size_t used = 0;
    out[0] = '\0';
    const struct {
        double loss_db;
        unsigned count;
        const char *one, *many;
    } parts[] = {{link->wall_loss_db, link->walls, "wall or door", "walls or doors"},
                 {link->floor_loss_db, link->slabs, "slab", "slabs"},
                 {link->metal_loss_db, 0, "metal", "metal"}};
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        if (!(parts[i].loss_db > 0.0)) {
            continue;
        }
        char count[24] = "";
        if (parts[i].count > 0) {
            (void)snprintf(count, sizeof count, "%u ", parts[i].count);
        }
        const int put = snprintf(out + used, size - used, "%s%s%s %s dB", used > 0 ? ", " : "", count,
                                 parts[i].count == 1 ? parts[i].one : parts[i].many, hr_fixed(parts[i].loss_db, 1, number));
        used += put > 0 && (size_t)put < size - used ? (size_t)put : 0;
    }
}

static void explain_margin(const hr_link *link, const char *to, const char *prefix, const char *length,
                           char reason[HR_REASON_MAX])
{
    const double lost_db = link->wall_loss_db + link->floor_loss_db + link->metal_loss_db;
    char spare[64], parts[160];
    spare_words(link->spare_db, spare, sizeof spare);
    lost_words(link, parts, sizeof parts);
    if (lost_db + link->spare_db >= 0.0) {
        (void)snprintf(reason, HR_REASON_MAX, "%stoo much in the way to %s, %s off: %s; %s: add a spot nearer", prefix, to,
                       length, parts, spare);
    } else {
        char open[64], still[96] = " with nothing in the way";
        if (lost_db > 0.0) {
            spare_words(lost_db + link->spare_db, open, sizeof open);
            (void)snprintf(still, sizeof still, "; with nothing in the way still %s", open);
        }
        (void)snprintf(reason, HR_REASON_MAX, "%sno margin to %s: %s away, %s%s: add a spot nearer", prefix, to, length,
                       spare, still);
    }
}

void siting_explain(const hr_building *building, const hr_link *link, const char *to, bool any_spot,
                    char reason[HR_REASON_MAX])
{
    const char *prefix = any_spot ? "no spot can serve it; " : "";
    char radio[160], length[64], limit[64];
    length_words(building, link->distance_m, length, sizeof length);
    switch (siting_judge(&building->radio, link)) {
    case SITING_BEYOND_RANGE:
        radio_words(link->spare_db, "raise range_limit", radio, sizeof radio);
        length_words(building, building->radio.range_limit_m, limit, sizeof limit);
        (void)snprintf(reason, HR_REASON_MAX, "%sbeyond the range limit of %s: %s to %s; %s", prefix, limit, length, to,
                       radio);
        break;
    case SITING_TOO_MANY_SLABS:
        radio_words(link->spare_db, "raise max_slabs", radio, sizeof radio);
        (void)snprintf(reason, HR_REASON_MAX, "%s%u %s to %s, max_slabs is %ld; %s", prefix, link->slabs, link->slabs == 1 ? "slab" : "slabs", to,
                       building->radio.max_slabs, radio);
        break;
    case SITING_NO_MARGIN:
        explain_margin(link, to, prefix, length, reason);
        break;
    case SITING_SERVES:
        reason[0] = '\0';
        break;
    }
}
