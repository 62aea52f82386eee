/*
 * run.c - counts the solver's work. Work is counted in matrix entries, never in
 * seconds, so that the same input gives the same answer on every machine; the
 * clock is a safety stop that says so when it bites.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_priv.h"

#include <time.h>

/* How often clock and progress are looked at: about ten times a second. */
#define LOOK_EVERY ((uint64_t)50000000)

static uint64_t now_ns(void)
{
    struct timespec t;
    if (clock_gettime(CLOCK_MONOTONIC, &t) != 0) {
        return 0;
    }
    return (uint64_t)t.tv_sec * 1000000000U + (uint64_t)t.tv_nsec;
}

void hr_placement_run_start(hr_placement_run *run, const hr_placement_options *options)
{
    *run = (hr_placement_run){.options = options, .stage = "cover", .best = UINT32_MAX, .show_times = 1};
    uint64_t effort = options->effort ? options->effort : HR_PLACEMENT_DEFAULT_EFFORT;
    if (effort > UINT64_MAX / (4 * HR_PLACEMENT_ENTRIES_PER_STEP)) {
        effort = UINT64_MAX / (4 * HR_PLACEMENT_ENTRIES_PER_STEP);
    }
    run->total = effort * HR_PLACEMENT_ENTRIES_PER_STEP;
    run->stop = run->total;
    run->next_look = LOOK_EVERY;
    if (options->seconds > 0 && options->seconds < 1e9) {
        run->deadline_ns = now_ns() + (uint64_t)(options->seconds * 1e9);
        run->next_look = 0;
    }
}

uint64_t hr_placement_run_left(const hr_placement_run *run)
{
    return run->entries < run->total ? run->total - run->entries : 0;
}

static uint32_t shown(const hr_placement_run *run, uint64_t weight)
{
    const uint64_t w = (weight + run->show_add) * run->show_times;
    return w < UINT32_MAX ? (uint32_t)w : UINT32_MAX;
}

void hr_placement_run_shows(hr_placement_run *run, uint64_t best, uint64_t bound)
{
    if (run->show_times > 0) {
        run->best = shown(run, best);
        run->bound = shown(run, bound);
    }
}

void hr_placement_run_stage(hr_placement_run *run, const char *stage, uint64_t entries)
{
    const uint64_t left = hr_placement_run_left(run);
    run->stage = stage;
    run->stop = run->entries + (entries < left ? entries : left);
}

bool hr_placement_run_dead(const hr_placement_run *run)
{
    return run->no_memory || run->interrupted || run->clock_stopped;
}

static void look(hr_placement_run *run)
{
    /* with a deadline the looks are closer, a tenth of a second is too coarse for short ones */
    run->next_look = run->entries + (run->deadline_ns ? LOOK_EVERY / 50 : LOOK_EVERY);
    if (run->deadline_ns && now_ns() >= run->deadline_ns) {
        run->clock_stopped = true;
    }
    const hr_placement_options *o = run->options;
    if (o->progress && !o->progress(o->user, run->stage, run->entries / HR_PLACEMENT_ENTRIES_PER_STEP,
                                    run->total / HR_PLACEMENT_ENTRIES_PER_STEP, run->best, run->bound)) {
        run->interrupted = true;
    }
}

bool hr_placement_run_go(hr_placement_run *run, uint64_t entries)
{
    run->entries += entries;
    if (run->entries >= run->next_look) {
        look(run);
    }
    return run->entries < run->stop && !hr_placement_run_dead(run);
}

uint64_t hr_placement_random(uint64_t *state)
{
    uint64_t z = (*state += 0x9e3779b97f4a7c15U);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9U;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebU;
    return z ^ (z >> 31);
}
