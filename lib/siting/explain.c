/*
 * explain.c - words for the devices that chosen spots leave out: the rule that
 * does it, and what would relax it.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include <stdio.h>

static hr_status measure_site(const siting_run *run, hr_link_work *work, uint32_t device, const siting_site *site,
                              hr_link *link)
{
    const hr_end end = hr_links_device_end(run->building, device);
    const hr_end far_end = hr_links_gateway_end(run->building, site->site.at, site->site.z_m);
    return hr_links_measure(run->links, work, &end, &far_end, link, run->err);
}

/* A spot that could serve it and that a rule of the site leaves out. */
static hr_status explain_left_out(const siting_run *run, hr_device_row *row, hr_link_work *work)
{
    static const char *const rules[] = {"", "the keep-out of the plan", "metal_clearance", "cable_limit with strict = yes",
                                        "--never"};
    static const char *const relaxes[] = {"", "draw it smaller", "lower it, or draw spots farther from metal",
                                          "raise cable_limit, or draw a network connection nearer", "take that back"};
    for (size_t i = 0; i < run->sites.out_count; i++) {
        const siting_site *site = &run->sites.out[i];
        hr_link link;
        const hr_status status = measure_site(run, work, row->device, site, &link);
        if (status != HR_OK) {
            return status;
        }
        if (siting_judge(&run->building->radio, &link) == SITING_SERVES) {
            char words[HR_REASON_MAX];
            (void)snprintf(words, sizeof words, "%s leaves out %s, which could serve it: %s", rules[site->left_out],
                           site->spot->id, relaxes[site->left_out]);
            siting_add_words(row, words);
            return HR_OK;
        }
    }
    return HR_OK;
}

/* For a device that no spot serves, the words name the spot that comes nearest to it. */
static hr_status explain_short_row(const siting_run *run, hr_device_row *row, hr_link_work *work)
{
    hr_link best = {0};
    size_t best_site = SIZE_MAX;
    for (size_t s = 0; s < run->sites.count; s++) {
        hr_link link;
        const hr_status status = measure_site(run, work, row->device, &run->sites.items[s], &link);
        if (status != HR_OK) {
            return status;
        }
        if (best_site == SIZE_MAX || hr_micro(link.spare_db) > hr_micro(best.spare_db)) {
            best = link;
            best_site = s;
        }
    }
    if (best_site != SIZE_MAX) {
        siting_explain(run->building, &best, siting_site_id(&run->sites.items[best_site]), true, row->reason);
    }
    if (run->building->radio.max_hops > 1) {
        siting_add_hops_words(run->building, row);
    }
    return explain_left_out(run, row, work);
}

/* What capacity leaves out has its words already. */
static void explain_uncovered(const siting_run *run, hr_device_row *row)
{
    char words[HR_REASON_MAX];
    if (run->siting->at_most > 0) {
        (void)snprintf(words, sizeof words,
                       "--at-most %lu leaves it out: raise it; serving all that can be served takes at least %llu gateways",
                       (unsigned long)run->siting->at_most, (unsigned long long)run->siting->lower_bound);
        siting_add_words(row, words);
    }
}

hr_status siting_explain_answer(siting_run *run, const hr_placement_result *result)
{
    hr_status status = HR_OK;
    for (size_t i = 0; status == HR_OK && i < result->short_count; i++) {
        hr_device_row *row = &run->siting->devices[run->devices[result->short_rows[i]]];
        if (!row->served) {
            status = explain_short_row(run, row, &run->work);
        }
    }
    for (size_t i = 0; status == HR_OK && i < result->uncovered_count; i++) {
        hr_device_row *row = &run->siting->devices[run->devices[result->uncovered[i]]];
        if (!row->served) {
            explain_uncovered(run, row);
        }
    }
    return status;
}
