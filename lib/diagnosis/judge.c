/*
 * judge.c - how probable what was observed is under one cause.
 *
 * What all levels have in common beside the prediction (offset) and what the
 * cause takes from the links it concerns (shift) are not known: both are
 * summed over on a grid, weighted by how probable they are. Given both, each
 * level is normal about its prediction, now and then grossly wrong, and one
 * that was not heard lay below its threshold. A cause that may silence its
 * links is the weighted sum of doing so and not.
 *
 * SPDX-License-Identifier: MIT
 */
#include "causes_priv.h"

#include <math.h>

static const double root_two = 1.41421356237309504880, root_two_pi = 2.50662827463100050242;

/* Nodes each way, and how far they reach in spreads. */
#define OFFSET_NODES 17
#define SHIFT_NODES 25
#define REACH 3.2

static double below(double z)
{
    return 0.5 * erfc(-z / root_two);
}

static double density(double left, double sigma)
{
    const double z = left / sigma;
    return exp(-0.5 * z * z) / (sigma * root_two_pi);
}

static double logit(double p)
{
    return log(p / (1.0 - p));
}

static double level_likelihood(const why_tables *t, const why_level *level, double mean_db)
{
    const double left = level->beside_db - mean_db;
    const double gross = hypot(level->sigma_db, t->gross_spread_db);
    if (level->heard) {
        return (1.0 - t->gross_share) * density(left, level->sigma_db) + t->gross_share * density(left, gross);
    }
    return (1.0 - t->gross_share) * below(left / level->sigma_db) + t->gross_share * below(left / gross);
}

/* A link's level over what is needed: mean and spread given offset and shift. */
static double over_need(const why_over *s, double offset_db, double shift_db, double *sigma_db)
{
    if (isfinite(s->seen_db)) {
        *sigma_db = 0.0;
        return s->seen_db;
    }
    *sigma_db = s->sigma_db;
    return s->needed_db + offset_db - s->share * shift_db;
}

/* A level about the one needed joins now and then: over this spread. Assumed. */
#define JOIN_SOFT_DB 3.0

static double joined_likelihood(const why_tables *t, const why_story *s, double offset_db, double shift_db)
{
    if (s->joined == WHY_JOINED_UNKNOWN) {
        return 1.0;
    }
    double sigma_db;
    const double over_db = over_need(&s->planned, offset_db, shift_db, &sigma_db);
    const double good = s->planned.not_seen ? 0.0 : below(over_db / hypot(sigma_db, JOIN_SOFT_DB));
    const why_cause_row *row = s->joined_row;
    const double planned = good * row->planned + (1.0 - good) * t->weak_planned;
    const double other = good * row->other + (1.0 - good) * t->weak_other;
    const double chance = s->joined == WHY_JOINED_PLANNED ? planned
                          : s->joined == WHY_JOINED_OTHER ? other
                                                          : 1.0 - planned - other;
    return fmax(chance, t->slip);
}

/* Packets lost rise from the clear figure at this level over what is needed to one half at 0. Assumed. */
#define LOSS_CLEAR_DB 10.0

static double loss_likelihood(const why_tables *t, const why_story *s, double offset_db, double shift_db)
{
    if (isnan(s->loss_percent)) {
        return 1.0;
    }
    double sigma_db;
    const double over_db = s->used.not_seen ? 0.0 : over_need(&s->used, offset_db, shift_db, &sigma_db);
    const double clear = logit(t->clear_loss_percent / 100.0);
    double mean = fmin(fmax(clear * over_db / LOSS_CLEAR_DB, clear), -clear);
    if (isfinite(s->row->loss_percent)) {
        mean = fmax(mean, logit(s->row->loss_percent / 100.0));
    }
    const double seen = logit(fmin(fmax(s->loss_percent, 0.2), 99.8) / 100.0);
    return density(seen - mean, t->loss_spread);
}

/* Log likelihood of the levels that a shift does not concern (or of those that it does), given both. */
static double log_levels(const why_tables *t, const why_story *s, bool concerned, double offset_db, double shift_db)
{
    double sum = 0.0;
    for (size_t i = 0; i < s->count; i++) {
        if ((s->levels[i].share > 0.0) == concerned) {
            const double chance = level_likelihood(t, &s->levels[i], offset_db - s->levels[i].share * shift_db);
            sum += log(fmax(chance, 1e-300));
        }
    }
    return sum;
}

/* Log likelihood of everything but the levels without a shift. */
static double log_given(const why_tables *t, const why_story *s, double offset_db, double shift_db)
{
    const double sum = log_levels(t, s, true, offset_db, shift_db);
    return sum + log(joined_likelihood(t, s, offset_db, shift_db)) + log(loss_likelihood(t, s, offset_db, shift_db));
}

/* Silenced links are not heard for sure; one that was is a slip of the pen, as far off as gross errors are. */
static double log_muted_given(const why_tables *t, const why_story *s, double offset_db)
{
    double sum = 0.0;
    for (size_t i = 0; i < s->count; i++) {
        if (s->levels[i].muted) {
            const double gross_db = hypot(s->levels[i].sigma_db, t->gross_spread_db);
            const double slip = t->slip * density(s->levels[i].beside_db - offset_db, gross_db);
            sum += s->levels[i].heard ? log(fmax(slip, 1e-300)) : 0.0;
        } else {
            sum += log(fmax(level_likelihood(t, &s->levels[i], offset_db), 1e-300));
        }
    }
    if (!s->control_muted) {
        return sum + log(joined_likelihood(t, s, offset_db, 0.0)) + log(loss_likelihood(t, s, offset_db, 0.0));
    }
    const double chance = s->joined == WHY_JOINED_PLANNED ? s->row->planned
                          : s->joined == WHY_JOINED_OTHER ? s->row->other
                          : s->joined == WHY_JOINED_NONE  ? s->row->none
                                                          : 1.0;
    sum += log(fmax(chance, t->slip));
    /* packets that arrive contradict silence */
    return !isnan(s->loss_percent) && s->loss_percent < 99.0 ? sum + log(t->slip) : sum;
}

typedef struct node {
    double at, weight;
} node;

/* Even nodes over mean +- REACH spreads, above `least`; weights add up to 1. */
static size_t make_nodes(double mean, double spread, double least, size_t most, node *nodes)
{
    if (!(spread > 0.0)) {
        nodes[0] = (node){mean, 1.0};
        return 1;
    }
    const double low = fmax(mean - REACH * spread, least), high = mean + REACH * spread;
    double total = 0.0;
    for (size_t i = 0; i < most; i++) {
        nodes[i].at = low + (high - low) * (double)i / (double)(most - 1);
        nodes[i].weight = density(nodes[i].at - mean, spread) * (i == 0 || i + 1 == most ? 0.5 : 1.0);
        total += nodes[i].weight;
    }
    for (size_t i = 0; i < most; i++) {
        nodes[i].weight /= total;
    }
    return most;
}

/* A sum of exponentials whose largest is not known beforehand. */
typedef struct log_sum {
    double top, sum, moment;
} log_sum;

static void add_log(log_sum *s, double log_value, double weight, double at)
{
    if (log_value > s->top) {
        const double scale = isinf(s->top) ? 0.0 : exp(s->top - log_value);
        s->sum *= scale;
        s->moment *= scale;
        s->top = log_value;
    }
    const double part = weight * exp(log_value - s->top);
    s->sum += part;
    s->moment += part * at;
}

double why_judge(const why_tables *tables, const why_story *s, double *shift_db)
{
    node offsets[OFFSET_NODES], shifts[SHIFT_NODES];
    const size_t offset_count =
        make_nodes(0.0, s->offset_spread_db, -(double)INFINITY, OFFSET_NODES, offsets);
    const size_t shift_count = make_nodes(s->row->shift_db, s->row->spread_db, 0.0, SHIFT_NODES, shifts);
    log_sum total = {.top = -(double)INFINITY};
    const double mute = s->row->mute;
    for (size_t o = 0; o < offset_count; o++) {
        const double others = log_levels(tables, s, false, offsets[o].at, 0.0);
        for (size_t k = 0; k < shift_count && mute < 1.0; k++) {
            add_log(&total, others + log_given(tables, s, offsets[o].at, shifts[k].at),
                    (1.0 - mute) * offsets[o].weight * shifts[k].weight, shifts[k].at);
        }
        if (mute > 0.0) {
            add_log(&total, log_muted_given(tables, s, offsets[o].at), mute * offsets[o].weight, 0.0);
        }
    }
    if (shift_db != NULL) {
        *shift_db = total.moment / total.sum;
    }
    return total.top + log(total.sum);
}
