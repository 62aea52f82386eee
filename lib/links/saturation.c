/*
 * saturation.c - `wall_saturation`: what many walls lose less than the sum of
 * one by one. Measured for few walls (HR_RANGE_SATURATION_WALLS), no further.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_priv.h"

/* Walls whose factor differs from 1: the first three. */
#define SATURATED_WALLS 3

static bool is_wall(const hr_item *item)
{
    return (item->kind == HR_ITEM_WALL || item->kind == HR_ITEM_OPENING || item->kind == HR_ITEM_SOLID) &&
           item->loss_db > 0.0;
}

/* The heaviest wall not yet taken; ties go to the first met. */
static size_t heaviest(const hr_item *items, size_t count, const size_t *taken, size_t taken_count)
{
    size_t best = SIZE_MAX;
    for (size_t i = 0; i < count; i++) {
        bool used = !is_wall(&items[i]);
        for (size_t k = 0; k < taken_count; k++) {
            used = used || taken[k] == i;
        }
        if (!used && (best == SIZE_MAX || items[i].loss_db > items[best].loss_db)) {
            best = i;
        }
    }
    return best;
}

double link_saturation_db(const hr_links *links, const hr_item *items, size_t count, double *factors)
{
    const hr_radio *radio = &links->building->radio;
    for (size_t i = 0; factors != NULL && i < count; i++) {
        factors[i] = 1.0;
    }
    if (radio->model != HR_MODEL_MULTI_WALL || !(radio->wall_saturation > 0.0)) {
        return 0.0;
    }
    size_t taken[SATURATED_WALLS];
    double off_db = 0.0;
    for (unsigned i = 0; i < SATURATED_WALLS; i++) {
        taken[i] = heaviest(items, count, taken, i);
        if (taken[i] == SIZE_MAX) {
            break;
        }
        const double factor = hr_propagation_saturation_factor(i + 1, radio->wall_saturation);
        off_db += items[taken[i]].loss_db * (1.0 - factor);
        if (factors != NULL) {
            factors[taken[i]] = factor;
        }
    }
    return off_db;
}
