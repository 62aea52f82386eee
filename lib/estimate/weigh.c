/*
 * weigh.c - what the links of a draw have to spare, and which rooms that
 * serves.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_priv.h"

#include <math.h>

/* Margin of a link under the draw in force. */
static double margin_db(const estimate_run *run, const estimate_pair *pair)
{
    const estimate_draw *d = &run->draw;
    double changed_db = 0.0;
    for (uint32_t i = 0; i < pair->term_count; i++) {
        const estimate_term *term = &run->terms[pair->term + i];
        changed_db += (double)term->factor * d->part_db[term->part];
    }
    double log_m = pair->log_m;
    if (d->size != 1.0) {
        const double dist_m = hypot(d->size * pair->flat_m, pair->up_m);
        log_m = log10(fmax(dist_m, 1.0));
        changed_db += hr_links_spread_loss_db(run->links, dist_m) - pair->spread_db;
    }
    return pair->fixed_db - changed_db - 10.0 * d->exponent * log_m;
}

static bool materials_drawn(const estimate_run *run)
{
    return run->drawn[ESTIMATE_WALLS] || run->drawn[ESTIMATE_SLAB];
}

static double required_db(const estimate_run *run, const estimate_pair *pair)
{
    return run->draw.nominal || !materials_drawn(run) ? pair->required_db : run->required_db;
}

static int64_t spare_of(const estimate_run *run, const estimate_pair *pair)
{
    return run->draw.nominal ? pair->nominal : hr_micro(margin_db(run, pair) - required_db(run, pair));
}

static bool within_rules(const estimate_run *run, const estimate_pair *pair)
{
    const double flat_m = run->draw.size != 1.0 ? run->draw.size * pair->flat_m : pair->flat_m;
    return (long)pair->slabs <= run->draw.max_slabs && hypot(flat_m, pair->up_m) <= run->building->radio.range_limit_m;
}

hr_status estimate_weigh(estimate_run *run)
{
    const estimate_draw *d = &run->draw;
    for (size_t i = 0; i < run->site_count * run->row_count; i++) {
        run->spare[i] = INT64_MIN;
    }
    for (size_t i = 0; i < run->direct.count; i++) {
        const estimate_pair *pair = &run->direct.items[i];
        if (pair->variant == d->variant[pair->b] && within_rules(run, pair)) {
            run->spare[pair->a * run->row_count + pair->b] = spare_of(run, pair);
        }
    }
    for (size_t i = 0; i < 2 * run->mesh.count; i++) {
        run->link_spare[i] = spare_of(run, &run->mesh.items[run->link_pair[i]]);
    }
    for (size_t i = 0; i < run->joined.count; i++) {
        run->joined_db[i] = (double)spare_of(run, &run->joined.items[i]) * 1e-6;
    }
    const hr_study_links links = {.spare = run->spare,
                                  .link_start = run->link_start,
                                  .link_peer = run->link_peer,
                                  .link_spare = run->link_spare};
    return hr_siting_study_set(run->study, &links, d->blocked, run->err);
}

size_t estimate_unreached(const estimate_run *run)
{
    size_t unreached = 0;
    for (size_t r = 0; r < run->row_count; r++) {
        unreached += !hr_siting_study_reaches(run->study, r);
    }
    return unreached;
}

/* ---- given sites ---- */

/* A gateway whose spot turns out unusable goes to the nearest that is. */
static void move_blocked(estimate_run *run, const uint32_t *chosen, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        run->moved[i] = chosen[i];
    }
    for (size_t i = 0; i < count; i++) {
        const hr_study_site *from = &run->sites[run->moved[i]];
        int64_t nearest = INT64_MAX;
        for (uint32_t s = 0; run->draw.blocked[chosen[i]] && s < run->site_count; s++) {
            const hr_study_site *to = &run->sites[s];
            const int64_t far = hr_micro(hypot(hr_geometry_distance(from->at, to->at), from->z_m - to->z_m));
            if (!run->draw.blocked[s] && far < nearest && !estimate_has_site(run->moved, count, s)) {
                nearest = far;
                run->moved[i] = s;
            }
        }
    }
    estimate_sort_sites(run->moved, count);
}

static double reliability(const estimate_run *run, double spare_db, double required)
{
    const double margin = spare_db + required;
    return run->sigma_db > 0.0 ? hr_stats_normal_below(margin / run->sigma_db) : (margin >= 0.0 ? 1.0 : 0.0);
}

/* Outward by hops: a device's share is its own link's times that of what it hangs on. */
static void judge_rows(estimate_run *run)
{
    for (uint32_t hops = 1; hops <= (uint32_t)run->building->radio.max_hops; hops++) {
        bool any = false;
        for (size_t r = 0; r < run->row_count; r++) {
            const hr_study_joined *j = &run->join[r];
            if (j->site == HR_SITING_NONE || j->hops != hops) {
                continue;
            }
            any = true;
            const double own = reliability(run, (double)j->own_spare * 1e-6, run->required_db);
            run->device_share[run->rows[r]] =
                j->via == HR_SITING_NONE ? own : own * run->device_share[run->rows[j->via]];
        }
        if (!any) {
            break;
        }
    }
}

static void judge_joined(estimate_run *run)
{
    for (size_t pass = 0; pass < run->building->kind_count; pass++) {
        for (size_t i = 0; i < run->joined.count; i++) {
            const estimate_pair *pair = &run->joined.items[i];
            const double up = pair->b != HR_SITING_NONE ? run->device_share[pair->b] : -1.0;
            const bool served = up >= 0.0 && run->joined_db[i] >= 0.0;
            run->device_share[pair->a] =
                served ? up * reliability(run, run->joined_db[i], required_db(run, pair)) : -1.0;
        }
    }
}

hr_status estimate_judge(estimate_run *run, const uint32_t *chosen, size_t count, double *served, double *failing)
{
    const hr_building *b = run->building;
    move_blocked(run, chosen, count);
    const hr_status status = hr_siting_study_join(run->study, run->moved, count, run->join, run->err);
    if (status != HR_OK) {
        return status;
    }
    for (size_t i = 0; i < b->device_count; i++) {
        run->device_share[i] = -1.0;
    }
    judge_rows(run);
    judge_joined(run);
    for (size_t r = 0; r < b->room_count; r++) {
        run->room_share[r] = 2.0;
    }
    for (size_t i = 0; i < b->device_count; i++) {
        double *room = &run->room_share[b->devices[i].room];
        *room = fmin(*room, run->device_share[i]);
    }
    size_t rooms = 0, good = 0;
    *failing = 0.0;
    for (size_t r = 0; r < b->room_count; r++) {
        const double share = run->room_share[r];
        rooms += share <= 1.0;
        good += share >= 0.0 && share <= 1.0;
        *failing += share > 1.0 ? 0.0 : share >= 0.0 ? 1.0 - share : 1.0;
    }
    *served = rooms > 0 ? (double)good / (double)rooms : 1.0;
    return HR_OK;
}
