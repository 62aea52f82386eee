/*
 * drivers.c - which unknown moves the count, and the count against slabs.
 *
 * Which matters most is told by the draws, where all move together: the
 * squared correlation of the count with the unknown's value, chance taken off. The table, each
 * unknown at what it may be with all else nominal, is there to be read.
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
    const double squared = xx > 0.0 && yy > 0.0 ? xy * xy / (xx * yy) : 0.0;
    /* chance alone gives one part in n - 1 */
    return n > 2.0 ? fmax(0.0, 1.0 - (1.0 - squared) * (n - 1.0) / (n - 2.0)) : 0.0;
}

/* The same for a choice of a few: what lies between the groups. */
static double between_groups(const estimate_run *run, const double *scalars, unsigned unknown)
{
    const hr_estimate *out = run->out;
    double sum[ESTIMATE_PLACES_TRIED] = {0.0}, members[ESTIMATE_PLACES_TRIED] = {0.0}, all = 0.0, between = 0.0, groups = 0.0;
    for (size_t i = 0; i < out->draws; i++) {
        const size_t group = (size_t)scalars[i * ESTIMATE_UNKNOWNS + unknown];
        const double y = (double)out->counts[i] - out->mean;
        sum[group] += y;
        members[group] += 1.0;
        all += y * y;
    }
    for (size_t g = 0; g < ESTIMATE_PLACES_TRIED; g++) {
        between += members[g] > 0.0 ? sum[g] * sum[g] / members[g] : 0.0;
        groups += members[g] > 0.0;
    }
    const double n = (double)out->draws, ratio = all > 0.0 ? between / all : 0.0;
    return n > groups ? fmax(0.0, 1.0 - (1.0 - ratio) * (n - 1.0) / (n - groups)) : 0.0;
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
        return "where are the wall controls to hang: by the door as usual, or farther into the room?";
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
    const int64_t share_a = hr_micro(a->share), share_b = hr_micro(b->share);
    const size_t swing_a = a->high - a->low, swing_b = b->high - b->low;
    if (share_a != share_b) {
        return share_a > share_b ? -1 : 1;
    }
    if (swing_a != swing_b) {
        return swing_a > swing_b ? -1 : 1;
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

static hr_status count_cases(estimate_run *run, estimate_unknown unknown, hr_estimate_driver *driver)
{
    const size_t count = estimate_case_count(run, unknown);
    for (size_t i = 0; i < count; i++) {
        hr_estimate_case *one = &driver->cases[i];
        hr_status status = estimate_case_draw(run, unknown, i, &one->word);
        if (status == HR_OK) {
            status = count_here(run, &one->gateways);
        }
        if (status != HR_OK) {
            return status;
        }
        driver->low = i == 0 || one->gateways < driver->low ? one->gateways : driver->low;
        driver->high = one->gateways > driver->high ? one->gateways : driver->high;
    }
    driver->case_count = count;
    return HR_OK;
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
        status = count_cases(run, (estimate_unknown)u, &driver);
        driver.share = u == ESTIMATE_PLACES ? between_groups(run, scalars, u) : correlation(run, scalars, u);
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
