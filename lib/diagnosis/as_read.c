/*
 * as_read.c - what the levels that were read say by themselves, before any
 * cause is weighed: whether the room's links have to spare.
 *
 * SPDX-License-Identifier: MIT
 */
#include "diagnosis_priv.h"

#include <math.h>
#include <string.h>

/* The lowest level heard between two names beside its prediction, in either direction; NaN: none. */
static double lowest_beside_db(const hr_why *why, const char *from, const char *to)
{
    double lowest_db = (double)NAN;
    for (size_t i = 0; i < why->level_count; i++) {
        const hr_why_level *level = &why->levels[i];
        const bool there = strcmp(level->from, from) == 0 && strcmp(level->to, to) == 0;
        const bool back = strcmp(level->from, to) == 0 && strcmp(level->to, from) == 0;
        if (level->heard && (there || back)) {
            lowest_db = fmin(lowest_db, level->level_dbm - level->predicted_dbm); /* fmin passes over NaN */
        }
    }
    return lowest_db;
}

/* With so much to spare on every link it is not the level that fails: two spreads of time. Assumed. */
#define AMPLE_DB 10.0

/* Louder than predicted by more: read somewhere else, or the plan is not the building. Three spreads. Assumed. */
#define STRANGE_DB 20.0

static void add_link(const char *from, const char *to, double predicted_db, double beside_db, double *least_db, hr_text *out)
{
    char number[HR_FIXED_MAX];
    if (isnan(beside_db)) {
        return;
    }
    const double spare_db = hr_round(predicted_db + beside_db, 1);
    *least_db = fmin(*least_db, spare_db);
    hr_text_addf(out, "%s%s to %s %s %s dB %s", out->len > 0 ? "; " : "As read: ", from, to, spare_db < 0.0 ? "is" : "has",
                 hr_fixed(fabs(spare_db), 1, number), spare_db < 0.0 ? "short of the required margin" : "to spare");
    if (beside_db > STRANGE_DB) {
        hr_text_addf(out, ", %s dB more than predicted: check that this was read between these two",
                     hr_fixed(beside_db, 1, number));
    }
}

/* Several devices were listened for and none was heard: no one room's fault does that. */
static bool is_silent(const hr_why *why)
{
    bool several = false;
    for (size_t i = 0; i < why->level_count; i++) {
        if (why->levels[i].heard) {
            return false;
        }
        several = several || strcmp(why->levels[i].from, why->levels[0].from) != 0;
    }
    return several;
}

hr_status why_say_levels(why_run *run)
{
    hr_why *why = run->why;
    hr_text words = {0};
    double least_db = (double)INFINITY;
    bool control = false; /* its link to a gateway, or its next hop, was heard */
    for (size_t i = 0; i < why->link_count; i++) {
        const hr_why_link *link = &why->links[i];
        const double beside_db = link->measured ? lowest_beside_db(why, link->from, link->to) : (double)NAN;
        control = control || (link->device == why->control && !isnan(beside_db));
        add_link(link->from, link->to, link->spare_db, beside_db, &least_db, &words);
    }
    for (size_t i = 0; run->joined == WHY_JOINED_OTHER && i < why->gateway_count; i++) {
        const hr_why_gateway *g = &why->gateways[i];
        const char *from = run->building->devices[why->control].name, *id = why->siting->gateways[g->gateway].id;
        if (g->gateway == run->joined_gateway) {
            const double beside_db = lowest_beside_db(why, from, id);
            control = control || !isnan(beside_db);
            add_link(from, id, g->spare_db, beside_db, &least_db, &words);
        }
    }
    why->as_read = "";
    if (is_silent(why)) {
        hr_text_add(&words, "As read: nothing at all was heard, of several devices: check the instrument, and that the "
                            "gateways have power and network");
    }
    if (words.len == 0 && !words.failed) {
        return HR_OK;
    }
    hr_text_add(&words, ".");
    if (control && least_db >= AMPLE_DB) {
        hr_text_add(&words, " While it reads so much it is not the level that fails.");
    }
    why->as_read = why_keep(run, &words);
    return why->as_read == NULL ? hr_fail_memory(run->err) : HR_OK;
}
