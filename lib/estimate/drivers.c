/*
 * drivers.c - which unknown moves the count, and the count against slabs.
 *
 * Each unknown is put to its ends with all else nominal; that gives a table
 * that can be read. Which of two equal swings matters more is told by the
 * draws: the squared correlation of the count with the unknown's value.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_priv.h"

#include <math.h>
#include <stdlib.h>

static const char *const names[ESTIMATE_UNKNOWNS] = {"walls", "slabs", "exponent", "places", "network", "size"};

static double correlation(const estimate_run *run, const double *scalars, unsigned unknown)
{
    const hr_estimate *out = run->out;
    const double n = (double)out->draws;
    double mean_x = 0.0, xx = 0.0, yy = 0.0, xy = 0.0;
    for (size_t i = 0; i < out->draws; i++) {
        mean_x += scalars[i * ESTIMATE_UNKNOWNS + unknown] / n;
    }
    for (size_t i = 0; i < out->draws; i++) {
        const double x = scalars[i * ESTIMATE_UNKNOWNS + unknown] - mean_x, y = (double)out->counts[i] - out->mean;
        xx += x * x;
        yy += y * y;
        xy += x * y;
    }
    return xx > 0.0 && yy > 0.0 ? xy * xy / (xx * yy) : 0.0;
}

static const char *question_for(const estimate_run *run, unsigned unknown)
{
    const hr_estimate_numbers *numbers = run->options->numbers;
    switch ((estimate_unknown)unknown) {
    case ESTIMATE_WALLS:
        return numbers == NULL      ? "what are the walls between rooms really made of? Readings in two or three rooms would tell"
               : numbers->said_walls ? "is there a construction drawing of a party wall (layers, hollow or filled)?"
                                     : "what are the walls between rooms made of: framed, block, brick or concrete?";
    case ESTIMATE_SLAB:
        return "what are the floors made of: cast concrete, planks with a topping, deck on steel, or timber?";
    case ESTIMATE_NETWORK:
        return "on which storeys are network closets, and may cable be run along every corridor?";
    case ESTIMATE_SIZE:
        return "how wide is a room from wall to wall, and how deep?";
    case ESTIMATE_PLACES:
        return "where in the room will the wall controls hang?";
    case ESTIMATE_EXPONENT:
    case ESTIMATE_UNKNOWNS:
        break;
    }
    return NULL;
}

static hr_status count_here(estimate_run *run, size_t *count)
{
    hr_status status = estimate_weigh(run);
    if (status == HR_OK) {
        status = hr_siting_study_place(run->study, 0, ESTIMATE_SIDE_EFFORT, run->chosen, count, NULL, run->err);
    }
    return status;
}

static int compare_drivers(const void *left, const void *right)
{
    const hr_estimate_driver *a = left, *b = right;
    const size_t swing_a = a->high - a->low, swing_b = b->high - b->low;
    if (swing_a != swing_b) {
        return swing_a > swing_b ? -1 : 1;
    }
    const int64_t share_a = isnan(a->share) ? 0 : hr_micro(a->share), share_b = isnan(b->share) ? 0 : hr_micro(b->share);
    if (share_a != share_b) {
        return share_a > share_b ? -1 : 1;
    }
    size_t at_a = 0, at_b = 0;
    while (names[at_a] != a->unknown) {
        at_a++;
    }
    while (names[at_b] != b->unknown) {
        at_b++;
    }
    return (at_a > at_b) - (at_a < at_b);
}

hr_status estimate_find_drivers(estimate_run *run, const double *scalars)
{
    hr_estimate *out = run->out;
    out->drivers = hr_alloc(ESTIMATE_UNKNOWNS, sizeof *out->drivers);
    hr_status status = out->drivers == NULL ? hr_fail_memory(run->err) : HR_OK;
    for (unsigned u = 0; status == HR_OK && u < ESTIMATE_UNKNOWNS; u++) {
        if (!run->drawn[u]) {
            continue;
        }
        hr_estimate_driver driver = {.unknown = names[u], .question = question_for(run, u)};
        size_t count[2] = {0};
        const char *word[2] = {NULL, NULL};
        for (int end = 0; status == HR_OK && end < 2; end++) {
            status = estimate_extreme_draw(run, (estimate_unknown)u, end == 0 ? -1 : 1, &word[end]);
            if (status == HR_OK) {
                status = count_here(run, &count[end]);
            }
        }
        const int least = count[0] <= count[1] ? 0 : 1;
        driver.low = count[least];
        driver.low_word = word[least];
        driver.high = count[1 - least];
        driver.high_word = word[1 - least];
        driver.share = u == ESTIMATE_PLACES ? (double)NAN : correlation(run, scalars, u);
        out->drivers[out->driver_count++] = driver;
        if (!estimate_progress(run, "looking for what drives the count", u + 1, ESTIMATE_UNKNOWNS)) {
            return estimate_interrupted(run->err);
        }
    }
    if (status == HR_OK && out->driver_count > 1) {
        qsort(out->drivers, out->driver_count, sizeof *out->drivers, compare_drivers);
    }
    return status;
}

hr_status estimate_count_slabs(estimate_run *run)
{
    hr_estimate *out = run->out;
    const long in_force = run->building->radio.max_slabs;
    for (long slabs = 0; run->building->storey_count > 1 && slabs <= 3; slabs++) {
        const long limit = slabs < 3 ? slabs : in_force;
        if (slabs == 3 && in_force <= 2) {
            break;
        }
        estimate_nominal_draw(run);
        run->draw.max_slabs = limit;
        hr_estimate_slabs row = {.max_slabs = limit, .in_force = limit == in_force};
        const hr_status status = count_here(run, &row.gateways);
        if (status != HR_OK) {
            return status;
        }
        row.unreached = estimate_unreached(run);
        row.gateways = row.in_force ? out->nominal : row.gateways;
        out->slabs[out->slab_count++] = row;
    }
    return HR_OK;
}
