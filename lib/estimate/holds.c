/*
 * holds.c - gateways placed on nominal values, for each count.
 *
 * With fewer than it takes: the sites that serve most. With what it takes: the
 * placement itself. With more: what a careful designer does with one more:
 * the sites that leave fewest devices with a thin margin, each device counted
 * by how likely its nominal spare outlasts a spread of 9 dB (assumed), added
 * one by one and exchanged while that helps.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_priv.h"

#include <stdlib.h>
#include <string.h>

/* Shadowing and time, 7.7 dB, and what walls and slabs on the way may be off, about 5 dB. */
#define DOUBT_DB 9.0
#define PASSES 3
/* Counts looked at beside the nominal one. */
#define BELOW 2

void estimate_free_sets(estimate_sets *sets)
{
    for (size_t i = 0; i < sets->count; i++) {
        hr_free(sets->sites[i]);
    }
    hr_free(sets->shares);
    *sets = (estimate_sets){0};
}

/* ---- how likely each device is served ---- */

typedef struct chances {
    size_t *start;  /* per site */
    uint32_t *row;
    double *miss;   /* beside row: that this link does not last */
    double *all;    /* per row: that no chosen site's does; of the set in hand */
    uint8_t *held;  /* per row: served on nominal values, scratch */
} chances;

static void free_chances(chances *c)
{
    hr_free(c->start);
    hr_free(c->row);
    hr_free(c->miss);
    hr_free(c->all);
    hr_free(c->held);
}

/* Of the nominal links in run->spare. */
static hr_status find_chances(const estimate_run *run, chances *c)
{
    size_t count = 0;
    for (size_t i = 0; i < run->site_count * run->row_count; i++) {
        count += run->spare[i] != INT64_MIN;
    }
    c->start = hr_alloc(run->site_count + 1, sizeof *c->start);
    c->row = hr_alloc(count, sizeof *c->row);
    c->miss = hr_alloc(count, sizeof *c->miss);
    c->all = hr_alloc(run->row_count, sizeof *c->all);
    c->held = hr_alloc(run->row_count, 1);
    if (c->start == NULL || c->row == NULL || c->miss == NULL || c->all == NULL || c->held == NULL) {
        return hr_fail_memory(run->err);
    }
    size_t used = 0;
    for (size_t s = 0; s < run->site_count; s++) {
        c->start[s] = used;
        for (size_t r = 0; r < run->row_count; r++) {
            const int64_t spare = run->spare[s * run->row_count + r];
            if (spare != INT64_MIN) {
                c->row[used] = (uint32_t)r;
                c->miss[used++] = hr_stats_normal_below(-(double)spare * 1e-6 / DOUBT_DB);
            }
        }
    }
    c->start[run->site_count] = used;
    return HR_OK;
}

/* What no site of the set serves, with site number `without` left out. */
static void find_misses(const estimate_run *run, chances *c, const uint32_t *sites, size_t count, size_t without)
{
    for (size_t r = 0; r < run->row_count; r++) {
        c->all[r] = 1.0;
    }
    for (size_t i = 0; i < count; i++) {
        for (size_t e = c->start[sites[i]]; i != without && e < c->start[sites[i] + 1]; e++) {
            c->all[c->row[e]] *= c->miss[e];
        }
    }
}

static int64_t gain_of(const chances *c, uint32_t site)
{
    double gain = 0.0;
    for (size_t e = c->start[site]; e < c->start[site + 1]; e++) {
        gain += c->all[c->row[e]] * (1.0 - c->miss[e]);
    }
    return hr_micro(gain);
}

bool estimate_has_site(const uint32_t *sites, size_t count, uint32_t site)
{
    for (size_t i = 0; i < count; i++) {
        if (sites[i] == site) {
            return true;
        }
    }
    return false;
}

/* Of the sites that are not in the set. */
static uint32_t best_site(const estimate_run *run, const chances *c, const uint32_t *sites, size_t count)
{
    uint32_t best = 0;
    int64_t most = -1;
    for (uint32_t s = 0; s < run->site_count; s++) {
        const int64_t gain = gain_of(c, s);
        if (gain > most && !estimate_has_site(sites, count, s)) {
            most = gain;
            best = s;
        }
    }
    return best;
}

static void exchange(const estimate_run *run, chances *c, uint32_t *sites, size_t count)
{
    bool changed = true;
    for (int pass = 0; changed && pass < PASSES; pass++) {
        changed = false;
        for (size_t i = 0; i < count; i++) {
            if (run->sites[sites[i]].existing) {
                continue;
            }
            find_misses(run, c, sites, count, i);
            const uint32_t best = best_site(run, c, sites, count);
            if (gain_of(c, best) > gain_of(c, sites[i])) {
                sites[i] = best;
                changed = true;
            }
        }
    }
}

static size_t held_by(const estimate_run *run, chances *c, const uint32_t *sites, size_t count)
{
    size_t held = 0;
    memset(c->held, 0, run->row_count);
    for (size_t i = 0; i < count; i++) {
        for (size_t r = 0; r < run->row_count; r++) {
            held += run->spare[sites[i] * run->row_count + r] >= 0 && !c->held[r];
            c->held[r] |= run->spare[sites[i] * run->row_count + r] >= 0;
        }
    }
    return held;
}

static int compare_sites(const void *left, const void *right)
{
    const uint32_t *a = left, *b = right;
    return (*a > *b) - (*a < *b);
}

void estimate_sort_sites(uint32_t *sites, size_t count)
{
    if (count > 1) {
        qsort(sites, count, sizeof *sites, compare_sites);
    }
}

/* One site more than the set before; exchanged only where that leaves out nobody who was served. */
static void grow(const estimate_run *run, chances *c, const uint32_t *before, size_t count, uint32_t *sites)
{
    memcpy(sites, before, count * sizeof *sites);
    find_misses(run, c, sites, count, SIZE_MAX);
    sites[count] = best_site(run, c, sites, count);
    const size_t held = held_by(run, c, sites, count + 1);
    const uint32_t added = sites[count];
    exchange(run, c, sites, count + 1);
    if (held_by(run, c, sites, count + 1) < held) {
        memcpy(sites, before, count * sizeof *sites);
        sites[count] = added;
    }
    estimate_sort_sites(sites, count + 1);
}

/* Brings a set up to `want` sites. */
static void fill_up(const estimate_run *run, chances *c, uint32_t *sites, size_t count, size_t want)
{
    for (; count < want; count++) {
        find_misses(run, c, sites, count, SIZE_MAX);
        sites[count] = best_site(run, c, sites, count);
    }
    estimate_sort_sites(sites, want);
}

static hr_status place_fewer(estimate_run *run, chances *c, uint32_t *sites, size_t want)
{
    size_t count = 0;
    const hr_status status = hr_siting_study_place(run->study, (uint32_t)want, ESTIMATE_SIDE_EFFORT, run->chosen, &count,
                                                   NULL, run->err);
    if (status == HR_OK) {
        memcpy(sites, run->chosen, count * sizeof *sites);
        fill_up(run, c, sites, count, want);
    }
    return status;
}

hr_status estimate_make_sets(estimate_run *run, estimate_sets *sets)
{
    const size_t nominal = run->out->nominal;
    size_t last = 2 * nominal + 6;
    last = last > run->site_count ? run->site_count : last;
    size_t existing = 0;
    for (size_t s = 0; s < run->site_count; s++) {
        existing += run->sites[s].existing;
    }
    sets->low = nominal > BELOW + 1 ? nominal - BELOW : 1;
    sets->low = sets->low < existing ? existing : sets->low;
    size_t wanted = last + 1 - sets->low;
    wanted = wanted > ESTIMATE_SETS_MAX ? ESTIMATE_SETS_MAX : wanted;
    for (size_t i = 0; i < wanted; i++) {
        sets->sites[i] = hr_alloc(sets->low + i, sizeof *sets->sites[i]);
        if (sets->sites[i] == NULL) {
            return hr_fail_memory(run->err);
        }
        sets->count++;
    }
    memcpy(sets->sites[nominal - sets->low], run->chosen, nominal * sizeof *run->chosen);
    chances c = {0};
    estimate_nominal_draw(run);
    hr_status status = estimate_weigh(run);
    if (status == HR_OK) {
        status = find_chances(run, &c);
    }
    for (size_t k = sets->low; status == HR_OK && k < nominal; k++) {
        status = place_fewer(run, &c, sets->sites[k - sets->low], k);
    }
    for (size_t i = nominal + 1 - sets->low; status == HR_OK && i < sets->count; i++) {
        grow(run, &c, sets->sites[i - 1], sets->low + i - 1, sets->sites[i]);
        if (!estimate_progress(run, "placing on nominal values", i + 1, sets->count)) {
            status = estimate_interrupted(run->err);
        }
    }
    free_chances(&c);
    sets->shares = hr_alloc(run->out->draws, (sets->count + 1) * sizeof *sets->shares);
    return status == HR_OK && sets->shares == NULL ? hr_fail_memory(run->err) : status;
}
