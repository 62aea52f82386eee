/*
 * steps.c - causes in words with what speaks for them, and what to look at
 * first.
 *
 * The first look is the one of those that show a leading cause with which the
 * fault is likely to be found soonest.
 *
 * SPDX-License-Identifier: MIT
 */
#include "diagnosis_priv.h"

#include <math.h>

/* Causes lead, most probable first, until they hold this together. Assumed. */
#define LEADING_SHARE 0.8
/* Below this the most probable cause does not lead. Assumed. */
#define CLEAR_LEAD 0.5

const char *why_keep(why_run *run, hr_text *text)
{
    const char *kept =
        text->failed ? NULL : hr_arena_strdup(run->why->arena, text->bytes == NULL ? "" : text->bytes);
    hr_text_free(text);
    return kept;
}

/* ---- names of what a cause concerns ---- */

static const char *device_name(const why_run *run, uint32_t device)
{
    const hr_why *why = run->why;
    return run->building->devices[device != HR_SITING_NONE         ? device
                                  : why->control != HR_SITING_NONE ? why->control
                                                                   : why->links[0].device].name;
}

/* The device that a cause concerns, and the one it cannot be told from. */
static void add_devices(const why_run *run, why_cause cause, const char *between, hr_text *out)
{
    hr_text_add(out, device_name(run, run->concerned[cause]));
    if (run->also[cause] != HR_SITING_NONE) {
        hr_text_addf(out, " %s %s", between, device_name(run, run->also[cause]));
    }
}

static const char *gateway_name(const why_run *run)
{
    return run->why->planned == HR_SITING_NONE ? "the gateway" : run->why->siting->gateways[run->why->planned].id;
}

/* The control's next hop where it is no gateway; NULL. */
static const char *next_hop(const why_run *run)
{
    const uint32_t via = why_control_via(run);
    return via == HR_SITING_NONE ? NULL : run->building->devices[via].name;
}

/* What stands at the far end of the control's way: the gateway, and the next hop before it. */
static void add_far_end(const why_run *run, hr_text *out)
{
    const char *hop = next_hop(run);
    hr_text_addf(out, "%s%s%s", hop == NULL ? "" : hop, hop == NULL ? "" : ", its next hop, or ", gateway_name(run));
}

static void add_wall(const why_run *run, uint32_t wall, hr_text *out)
{
    if (wall >= run->wall_count) {
        hr_text_add(out, "a wall on the way");
        return;
    }
    const why_wall *w = &run->walls[wall];
    hr_text_addf(out, "the wall %s on storey %s at ", hr_materials_get(run->building->materials, w->material)->name,
                 run->building->storeys[w->storey].name);
    const hr_length_unit unit = run->building->length_unit;
    hr_text_fixed(out, hr_units_from_metres(w->at.x, unit), 2);
    hr_text_add(out, ", ");
    hr_text_fixed(out, hr_units_from_metres(w->at.y, unit), 2);
    hr_text_addf(out, " %s", hr_units_length_name(unit));
}

static void add_cause_words(const why_run *run, why_cause cause, hr_text *out)
{
    const char *device = device_name(run, run->concerned[cause]), *gateway = gateway_name(run);
    switch (cause) {
    case WHY_NOT_POWERED:
        add_devices(run, cause, "or", out);
        hr_text_add(out, " has no power");
        break;
    case WHY_WRONG_NETWORK:
        hr_text_addf(out, "%s has another network id than %s", device, gateway);
        break;
    case WHY_GATEWAY_DOWN:
        add_far_end(run, out);
        hr_text_add(out, " is full or down");
        break;
    case WHY_ENCLOSED:
        hr_text_add(out, "the antenna of ");
        add_devices(run, cause, "or", out);
        hr_text_add(out, " is enclosed or turned");
        break;
    case WHY_METAL:
        hr_text_add(out, "metal or a mirror close to ");
        add_devices(run, cause, "or", out);
        break;
    case WHY_GATEWAY_ANTENNA:
        hr_text_add(out, "the antenna of ");
        add_far_end(run, out);
        hr_text_add(out, " has fallen or come off");
        break;
    case WHY_WALL:
        add_wall(run, run->concerned[cause], out);
        hr_text_add(out, " is heavier than drawn");
        break;
    case WHY_AS_PREDICTED:
        hr_text_add(out, "distance and walls as predicted, no fault");
        break;
    case WHY_INTERFERENCE:
        hr_text_addf(out, "interference near %s", device);
        break;
    case WHY_CAUSES:
        break;
    }
}

/* ---- what speaks for or against ---- */

/* Levels beside their predictions, of some of the links. */
typedef struct beside {
    double sum_db;
    size_t heard, not_heard;
} beside;

static void add_beside(const beside *b, const char *whose, hr_text *out)
{
    char number[HR_FIXED_MAX];
    if (b->heard + b->not_heard == 0) {
        return;
    }
    hr_text_addf(out, "%s%s", out->len > 0 ? "; " : "", whose);
    if (b->heard > 0) {
        const double mean_db = hr_round(b->sum_db / (double)b->heard, 1);
        hr_text_addf(out, " %s dB %s the prediction (%zu heard", hr_fixed(fabs(mean_db), 1, number),
                     mean_db < 0.0 ? "below" : "above", b->heard);
        hr_text_addf(out, b->not_heard > 0 ? ", %zu not)" : ")", b->not_heard);
    } else {
        hr_text_addf(out, " not heard (%zu)", b->not_heard);
    }
}

static bool is_concerned(const why_run *run, why_cause cause, size_t i)
{
    const why_seen *seen = &run->seen[i];
    const uint32_t of = run->concerned[cause];
    switch (cause) {
    case WHY_GATEWAY_DOWN:
    case WHY_GATEWAY_ANTENNA:
        return seen->gateway != HR_SITING_NONE && seen->gateway == run->why->planned;
    case WHY_WALL:
        return of < run->wall_count && seen->walls[of] > 0.0;
    case WHY_NOT_POWERED:
    case WHY_WRONG_NETWORK:
    case WHY_ENCLOSED:
    case WHY_METAL:
        return of != HR_SITING_NONE && (seen->device[0] == of || seen->device[1] == of);
    case WHY_AS_PREDICTED:
    case WHY_INTERFERENCE:
    case WHY_CAUSES:
        break;
    }
    return run->why->levels[i].own;
}

static void add_joined(const why_run *run, hr_text *out)
{
    const char *before = out->len > 0 ? "; " : "";
    if (run->joined == WHY_JOINED_NONE) {
        hr_text_addf(out, "%sjoined to none", before);
    } else if (run->joined != WHY_JOINED_UNKNOWN) {
        hr_text_addf(out, "%sjoined to %s%s", before, run->why->siting->gateways[run->joined_gateway].id,
                     run->joined == WHY_JOINED_PLANNED ? " as planned" : ", which is not the planned one");
    }
}

static void add_evidence(const why_run *run, why_cause cause, hr_text *out)
{
    const hr_why *why = run->why;
    beside those = {0}, others = {0};
    for (size_t i = 0; i < why->level_count; i++) {
        beside *b = is_concerned(run, cause, i) ? &those : &others;
        b->heard += why->levels[i].heard;
        b->not_heard += !why->levels[i].heard;
        b->sum_db += why->levels[i].heard ? why->levels[i].level_dbm - why->levels[i].predicted_dbm : 0.0;
    }
    add_beside(&those, "its links", out);
    add_beside(&others, "others", out);
    if (cause == WHY_WRONG_NETWORK || cause == WHY_GATEWAY_DOWN || cause == WHY_NOT_POWERED) {
        add_joined(run, out);
    }
    if (cause == WHY_INTERFERENCE && !isnan(run->evidence->loss_percent)) {
        hr_text_addf(out, "%s", out->len > 0 ? "; " : "");
        hr_text_fixed(out, run->evidence->loss_percent, 1);
        hr_text_add(out, " % of packets lost");
    }
    if (cause == WHY_WALL && why->level_count < HR_WHY_LEVELS_FOR_WALLS) {
        hr_text_addf(out, "%sno wall is blamed before %d levels were read", out->len > 0 ? "; " : "",
                     HR_WHY_LEVELS_FOR_WALLS);
    }
    if (out->len == 0) {
        hr_text_add(out, "nothing was read; how often it is so (assumed)");
    }
}

hr_status why_say_causes(why_run *run)
{
    for (size_t i = 0; i < run->why->cause_count; i++) {
        hr_why_cause *cause = &run->why->causes[i];
        hr_text words = {0}, evidence = {0};
        add_cause_words(run, (why_cause)run->order[i], &words);
        add_evidence(run, (why_cause)run->order[i], &evidence);
        cause->words = why_keep(run, &words);
        cause->evidence = why_keep(run, &evidence);
        if (cause->words == NULL || cause->evidence == NULL) {
            return hr_fail_memory(run->err);
        }
    }
    return HR_OK;
}

/* ---- the first step ---- */

/* The causes that lead, as bits. */
static unsigned leading(const why_run *run)
{
    unsigned bits = 0;
    double held = 0.0;
    for (size_t i = 0; i < run->why->cause_count && held < LEADING_SHARE; i++) {
        bits |= 1U << run->order[i];
        held += run->why->causes[i].probability;
    }
    return bits;
}

/*
 * Minutes that a look takes and those lost to another round when it shows
 * nothing: the look with the fewest is the first.
 */
static why_check best_check(const why_run *run, double *shown)
{
    const unsigned lead = leading(run);
    why_check best = WHY_LOOK_CONTROL;
    double least = (double)INFINITY;
    for (int k = 0; k < WHY_CHECKS; k++) {
        const unsigned shows = run->tables.checks[k].shows;
        double sum = 0.0;
        for (int c = 0; c < WHY_CAUSES; c++) {
            sum += (shows & (1U << c)) != 0 ? why_probability(run, (why_cause)c) : 0.0;
        }
        const double minutes = run->tables.checks[k].minutes + (1.0 - sum) * run->tables.lost_minutes;
        if ((shows & lead) != 0 && minutes < least) {
            best = (why_check)k;
            least = minutes;
            *shown = sum;
        }
    }
    return best;
}

static void add_look_gateway(const why_run *run, hr_text *out)
{
    if (next_hop(run) != NULL) {
        hr_text_addf(out, "Look at %s, the next hop: status lamp lit, its antenna free and upright. ", next_hop(run));
    }
    hr_text_addf(out, "Look at %s: power and network lamps lit, fewer than %ld devices in its list, its antenna screwed "
                      "on and upright.",
                 gateway_name(run), run->building->gateway_kind.capacity);
}

/* One walk that tells antenna, metal, wall and distance apart. */
static void add_carry_round(const why_run *run, hr_text *out)
{
    hr_text_addf(out, "Carry %s, or a reader in its place, and read the level three times: where it hangs, held upright "
                      "half a metre clear of metal and glass, and beyond ",
                 device_name(run, HR_SITING_NONE));
    add_wall(run, run->concerned[WHY_WALL], out);
    hr_text_add(out, ". 6 dB more when held clear: antenna or metal. 6 dB more than the drawn wall explains only beyond it: "
                     "the wall. Neither: distance and walls as predicted, take the first remedy that serves.");
}

static void add_step_words(const why_run *run, why_check check, hr_text *out)
{
    const char *control = device_name(run, HR_SITING_NONE);
    const uint32_t planned = run->why->planned;
    switch (check) {
    case WHY_LOOK_CONTROL:
        hr_text_add(out, "Look at ");
        add_devices(run, WHY_NOT_POWERED, "and", out);
        hr_text_add(out, ": a dark status lamp means no power (batteries, breaker, supply).");
        if (planned != HR_SITING_NONE) {
            hr_text_addf(out, " Lit: compare %s network id, which must be %s as on %s.",
                         run->also[WHY_NOT_POWERED] == HR_SITING_NONE ? "its" : "the control's", run->why->siting->gateways[planned].network_id, gateway_name(run));
        }
        break;
    case WHY_FREE_ANTENNA:
        hr_text_add(out, "Free the antenna of ");
        add_devices(run, WHY_ENCLOSED, "first, then that of", out);
        hr_text_add(out, run->also[WHY_ENCLOSED] == HR_SITING_NONE ? " and turn it upright" : ", turn each upright");
        hr_text_add(out, ", hold it half a metre clear of metal and glass, and read the level again: 6 dB more say that it "
                         "was the antenna or the metal.");
        break;
    case WHY_LOOK_GATEWAY:
        add_look_gateway(run, out);
        break;
    case WHY_AS_PLANNED:
        hr_text_add(out, "Look for no fault: what was read is what the plan predicts. Take the first remedy that serves.");
        break;
    case WHY_COUNT_PACKETS:
        hr_text_addf(out, "Count a hundred packets from %s with other radio equipment nearby off, then on: losses that come "
                          "and go with it at an unchanged level are interference.",
                     control);
        break;
    case WHY_EITHER_SIDE:
        if (run->why->level_count < HR_WHY_LEVELS_FOR_WALLS) {
            hr_text_addf(out, "Read the levels of at least %d devices in and around the room before a wall is blamed.",
                         HR_WHY_LEVELS_FOR_WALLS);
            break;
        }
        hr_text_add(out, "Read a level close to ");
        add_wall(run, run->concerned[WHY_WALL], out);
        hr_text_add(out, ", on either side of it, doors shut: the difference is what it costs.");
        break;
    case WHY_CARRY_ROUND:
        add_carry_round(run, out);
        break;
    case WHY_CHECKS:
        break;
    }
}

hr_status why_choose_step(why_run *run)
{
    hr_text words = {0};
    double shown = 0.0;
    const why_check check = best_check(run, &shown);
    run->why->check = why_check_name(check);
    run->why->cannot_tell = shown < CLEAR_LEAD;
    if (run->why->cannot_tell) {
        hr_text_add(&words, "Cannot tell yet. ");
    }
    add_step_words(run, check, &words);
    run->why->first_step = why_keep(run, &words);
    return run->why->first_step == NULL ? hr_fail_memory(run->err) : HR_OK;
}
