/*
 * cross.c - figures from elsewhere beside the answer.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_priv.h"
#include "hr_propagation.h"

#include <math.h>

static const double pi = 3.14159265358979323846;

static double area_of(const hr_building *b)
{
    double area_m2 = 0.0;
    for (size_t s = 0; s < b->storey_count; s++) {
        const hr_plan *plan = b->storeys[s].plan;
        for (size_t i = 0; i < plan->space_count; i++) {
            area_m2 += plan->spaces[i].area_m2;
        }
    }
    return area_m2;
}

/* The same plan and spots with ITU-R P.1238's N form in place of walls. */
static hr_status place_by_p1238(estimate_run *run)
{
    hr_building *b = run->building;
    hr_estimate *out = run->out;
    const hr_radio before = b->radio;
    b->radio.model = HR_MODEL_SITE_GENERAL;
    if (before.model != HR_MODEL_SITE_GENERAL) {
        b->radio.environment[0] = '\0'; /* the row that goes with the frequency */
    }
    const hr_siting_options options = {.effort = ESTIMATE_SIDE_EFFORT,
                                       .progress = run->options->progress,
                                       .user = run->options->user};
    hr_siting *siting = NULL;
    const hr_status status = hr_siting_place(b, &options, NULL, &siting, run->err);
    if (status == HR_OK) {
        out->p1238 = siting->gateway_count;
        out->p1238_unreached = siting->device_count - siting->served_devices;
        const char *row = b->radio.environment[0] != '\0' ? b->radio.environment
                                                          : hr_propagation_site_default(b->radio.frequency_mhz);
        out->p1238_row = hr_arena_strdup(out->arena, row);
    }
    hr_siting_free(siting);
    b->radio = before;
    return status;
}

hr_status estimate_cross_check(estimate_run *run)
{
    hr_estimate *out = run->out;
    const double range_m = run->building->radio.range_limit_m;
    out->area_m2 = area_of(run->building) * (double)out->buildings;
    out->range_limit_m = range_m;
    out->thumb = isfinite(range_m) ? (size_t)ceil(out->area_m2 / (pi * range_m * range_m) - 1e-9) : 0;
    return place_by_p1238(run);
}
