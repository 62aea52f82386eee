/*
 * causes.c - every cause weighed against what was read: prior of the table
 * times likelihood, over all levels at once.
 *
 * A cause may concern one of several things (which device's antenna, which
 * wall): its prior is shared out evenly among these stories.
 *
 * SPDX-License-Identifier: MIT
 */
#include "diagnosis_priv.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What the stories of one room are told with. */
typedef struct teller {
    why_run *run;
    why_level *levels; /* beside why->levels */
    why_story story;
    double log_weight[WHY_CAUSES]; /* prior x likelihood */
    double log_likelihood[WHY_CAUSES];
    double best[WHY_CAUSES], second[WHY_CAUSES];
    uint32_t second_of[WHY_CAUSES];
} teller;

/* Two devices are told apart where one's story is so many times likelier; and as likely below the other. Assumed. */
#define TOLD_APART 3.0
#define AS_LIKELY 1.1

static bool concerns_device(const why_seen *seen, uint32_t device)
{
    return seen->device[0] == device || seen->device[1] == device;
}

/* Whether a level is one of the control at that gateway; at its next hop where it has one. */
static bool is_at(const why_run *run, size_t i, uint32_t gateway)
{
    const uint32_t via = run->why->siting->devices[run->why->control].via;
    if (!concerns_device(&run->seen[i], run->why->control)) {
        return false;
    }
    return via == HR_SITING_NONE ? run->seen[i].gateway == gateway
                                 : strcmp(run->why->levels[i].to, run->building->devices[via].name) == 0;
}

/* What was read of the control's link to a gateway, over what is needed there. */
static void set_over(const why_run *run, uint32_t gateway, double predicted_db, why_over *over)
{
    double sum = 0.0;
    size_t heard = 0, not_heard = 0;
    for (size_t i = 0; i < run->why->level_count; i++) {
        if (is_at(run, i, gateway) && run->why->levels[i].heard) {
            sum += run->why->levels[i].level_dbm - run->seen[i].need_dbm;
            heard++;
        } else {
            not_heard += is_at(run, i, gateway);
        }
    }
    over->needed_db = predicted_db;
    over->sigma_db = run->planned_link.sigma_db;
    over->seen_db = heard > 0 ? sum / (double)heard : (double)NAN;
    over->not_seen = heard == 0 && not_heard > 0;
}

/* What is known of the planned link, and of the one in use. */
static void set_links(teller *t)
{
    const why_run *run = t->run;
    const hr_why *why = run->why;
    why_story *s = &t->story;
    if (!run->has_planned) {
        s->joined = WHY_JOINED_UNKNOWN;
        s->loss_percent = (double)NAN;
        return;
    }
    s->joined = run->joined;
    s->loss_percent = run->evidence->loss_percent;
    set_over(run, why->planned, run->planned_link.link_margin_db, &s->planned);
    s->used = s->planned;
    for (size_t g = 0; run->joined == WHY_JOINED_OTHER && g < why->gateway_count; g++) {
        if (why->gateways[g].gateway == run->joined_gateway) {
            set_over(run, run->joined_gateway, why->gateways[g].link_margin_db, &s->used);
        }
    }
}

/* Which links a story silences or takes from. `of` is a device, or a wall of run->walls. */
static void set_levels(teller *t, why_cause cause, uint32_t of)
{
    const why_run *run = t->run;
    const hr_why *why = run->why;
    for (size_t i = 0; i < why->level_count; i++) {
        const why_seen *seen = &run->seen[i];
        const hr_why_level *level = &why->levels[i];
        const bool device = concerns_device(seen, of);
        const bool gateway = seen->gateway != HR_SITING_NONE && seen->gateway == why->planned;
        const bool strange = device && seen->gateway != HR_SITING_NONE && seen->gateway != run->joined_gateway;
        t->levels[i] = (why_level){.heard = level->heard,
                                   .beside_db =
                                       (level->heard ? level->level_dbm : level->threshold_dbm) - level->predicted_dbm,
                                   .sigma_db = level->sigma_db};
        t->levels[i].muted = (cause == WHY_NOT_POWERED && device) || (cause == WHY_WRONG_NETWORK && strange) ||
                             (cause == WHY_GATEWAY_DOWN && gateway);
        if (cause == WHY_ENCLOSED || cause == WHY_METAL) {
            t->levels[i].share = device ? 1.0 : 0.0;
        } else if (cause == WHY_GATEWAY_ANTENNA) {
            t->levels[i].share = gateway ? 1.0 : 0.0;
        } else if (cause == WHY_WALL) {
            t->levels[i].share = seen->walls[of];
        }
    }
}

/* One story of a cause, with its share of the prior. */
static void tell(teller *t, why_cause cause, uint32_t of, size_t stories)
{
    why_run *run = t->run;
    const bool of_control = of == run->why->control;
    const bool of_device = cause == WHY_NOT_POWERED || cause == WHY_ENCLOSED || cause == WHY_METAL || cause == WHY_WRONG_NETWORK;
    set_levels(t, cause, of);
    t->story.row = &run->tables.causes[cause];
    t->story.joined_row = of_device && !of_control ? &run->tables.causes[WHY_AS_PREDICTED] : t->story.row;
    t->story.control_muted = !of_device || of_control;
    t->story.planned.share = of_device && !of_control ? 0.0 : 1.0;
    /* what is wrong with the planned gateway or on the way to it leaves another one's link alone */
    t->story.used.share = run->joined == WHY_JOINED_OTHER && !of_device ? 0.0 : t->story.planned.share;
    double shift_db;
    const double likelihood = why_judge(&run->tables, &t->story, &shift_db);
    const double log_share = -log((double)stories);
    const double value = likelihood + log_share;
    const double top = fmax(t->log_likelihood[cause], value);
    t->log_likelihood[cause] = isinf(top) ? top : top + log(exp(t->log_likelihood[cause] - top) + exp(value - top));
    if (value > t->best[cause]) {
        t->second[cause] = t->best[cause];
        t->second_of[cause] = run->concerned[cause];
        t->best[cause] = value;
        run->shift_db[cause] = shift_db;
        run->concerned[cause] = of;
    } else if (value > t->second[cause]) {
        t->second[cause] = value;
        t->second_of[cause] = of;
    }
}

static bool has_case(const why_run *run, uint32_t device)
{
    return run->building->kinds[run->building->devices[device].kind].enclosure != HR_ENCLOSURE_NONE;
}

/* A level between two devices of the room tells little of which of them ails: both are named, one in a case first. */
static void name_both(teller *t, why_cause cause)
{
    why_run *run = t->run;
    run->also[cause] = HR_SITING_NONE;
    if (!(t->second[cause] > t->best[cause] - log(TOLD_APART))) {
        return;
    }
    run->also[cause] = t->second_of[cause];
    if (cause == WHY_ENCLOSED && t->second[cause] > t->best[cause] - log(AS_LIKELY) && has_case(run, run->also[cause]) &&
        !has_case(run, run->concerned[cause])) {
        run->also[cause] = run->concerned[cause];
        run->concerned[cause] = t->second_of[cause];
    }
}

/* Devices of the room that a level speaks of; without any the control. */
static bool has_level(const why_run *run, uint32_t device)
{
    for (size_t i = 0; i < run->why->level_count; i++) {
        if (concerns_device(&run->seen[i], device)) {
            return true;
        }
    }
    return false;
}

static void tell_of_devices(teller *t, why_cause cause)
{
    const hr_why *why = t->run->why;
    size_t stories = 0;
    for (size_t pass = 0; pass < 2; pass++) {
        for (size_t i = 0; i < why->link_count; i++) {
            const uint32_t device = why->links[i].device;
            const bool alone = device == (why->control != HR_SITING_NONE ? why->control : why->links[0].device);
            if (!has_level(t->run, device) && !alone) {
                continue;
            }
            if (pass == 0) {
                stories++;
            } else {
                tell(t, cause, device, stories);
            }
        }
    }
}

static void tell_all(teller *t)
{
    const hr_why *why = t->run->why;
    tell_of_devices(t, WHY_NOT_POWERED);
    tell_of_devices(t, WHY_ENCLOSED);
    tell_of_devices(t, WHY_METAL);
    name_both(t, WHY_NOT_POWERED);
    name_both(t, WHY_ENCLOSED);
    name_both(t, WHY_METAL);
    tell(t, WHY_AS_PREDICTED, HR_SITING_NONE, 1);
    if (why->control != HR_SITING_NONE && t->run->has_planned) {
        tell(t, WHY_WRONG_NETWORK, why->control, 1);
        tell(t, WHY_GATEWAY_DOWN, HR_SITING_NONE, 1);
        tell(t, WHY_GATEWAY_ANTENNA, HR_SITING_NONE, 1);
        tell(t, WHY_INTERFERENCE, HR_SITING_NONE, 1);
    }
    for (uint32_t w = 0; w < t->run->wall_count; w++) {
        tell(t, WHY_WALL, w, t->run->wall_count);
    }
    /* before there are readings enough to see a wall by its neighbours too it gets no credit for a fit of its own */
    if (why->level_count < HR_WHY_LEVELS_FOR_WALLS) {
        t->log_likelihood[WHY_WALL] = fmin(t->log_likelihood[WHY_WALL], t->log_likelihood[WHY_ENCLOSED]);
    }
}

/* ---- probabilities ---- */

typedef struct ranked {
    int64_t billionths;
    int cause;
} ranked;

static int compare_ranked(const void *left, const void *right)
{
    const ranked *a = left, *b = right;
    if (a->billionths != b->billionths) {
        return a->billionths > b->billionths ? -1 : 1;
    }
    return (a->cause > b->cause) - (a->cause < b->cause);
}

/* Whole billionths that add up to exactly 1e9: what rounding leaves goes to the largest. */
static void rank(const teller *t, ranked *out)
{
    double top = -(double)INFINITY, total = 0.0;
    for (int c = 0; c < WHY_CAUSES; c++) {
        top = fmax(top, t->log_weight[c]);
    }
    for (int c = 0; c < WHY_CAUSES; c++) {
        total += exp(t->log_weight[c] - top);
    }
    int64_t left = 1000000000;
    for (int c = 0; c < WHY_CAUSES; c++) {
        out[c] = (ranked){llround(1e9 * exp(t->log_weight[c] - top) / total), c};
        left -= out[c].billionths;
    }
    qsort(out, WHY_CAUSES, sizeof *out, compare_ranked);
    out[0].billionths += left;
}

/*
 * How far the prediction itself explains a failing room: 1 where it leaves the
 * room out, less and less with what is to spare (twice the chance that the link
 * falls short of its margin). Never nothing: the prediction may be wrong.
 */
static double short_by_prediction(const why_run *run)
{
    double most = run->tables.least_chance;
    for (size_t i = 0; i < run->why->link_count; i++) {
        const hr_why_link *link = &run->why->links[i];
        const double sigma_db = fmax(link->budget.link.sigma_db, 1.0);
        const double chance = link->measured && link->served ? erfc(link->spare_db / (sigma_db * sqrt(2.0))) : 1.0;
        most = fmax(most, fmin(chance, 1.0));
    }
    return most;
}

/* A fault is why a room fails only if it would work without: by the prediction, unless its level was heard. */
static double works_without_fault(const why_run *run, const why_story *story)
{
    const bool heard = run->has_planned && isfinite(story->planned.seen_db);
    return heard || !run->has_planned ? 1.0 : fmax(run->planned_link.reliability, run->tables.least_chance);
}

hr_status why_weigh_causes(why_run *run)
{
    hr_why *why = run->why;
    teller t = {.run = run, .levels = hr_alloc(why->level_count + 1, sizeof *t.levels)};
    why->causes = hr_alloc_zero(WHY_CAUSES, sizeof *why->causes);
    if (t.levels == NULL || why->causes == NULL) {
        hr_free(t.levels);
        return hr_fail_memory(run->err);
    }
    t.story.levels = t.levels;
    t.story.count = why->level_count;
    t.story.offset_spread_db = isfinite(run->building->fitted.offset_db) ? run->tables.fitted_offset_spread_db
                                                                         : run->tables.offset_spread_db;
    for (int c = 0; c < WHY_CAUSES; c++) {
        t.log_likelihood[c] = t.best[c] = t.second[c] = -(double)INFINITY;
        run->also[c] = HR_SITING_NONE;
    }
    set_links(&t);
    tell_all(&t);
    for (int c = 0; c < WHY_CAUSES; c++) {
        const double prior = run->tables.causes[c].prior *
                             (c == WHY_AS_PREDICTED ? short_by_prediction(run) : works_without_fault(run, &t.story));
        t.log_weight[c] = log(prior) + t.log_likelihood[c];
    }
    ranked order[WHY_CAUSES];
    rank(&t, order);
    for (int c = 0; c < WHY_CAUSES; c++) {
        why->causes[c].cause = why_cause_name((why_cause)order[c].cause);
        why->causes[c].probability = (double)order[c].billionths * 1e-9;
        run->order[c] = order[c].cause;
    }
    why->cause_count = WHY_CAUSES;
    hr_free(t.levels);
    return HR_OK;
}

double why_probability(const why_run *run, why_cause cause)
{
    for (size_t i = 0; i < run->why->cause_count; i++) {
        if (run->order[i] == (int)cause) {
            return run->why->causes[i].probability;
        }
    }
    return 0.0;
}
