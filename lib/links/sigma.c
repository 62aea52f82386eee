/*
 * sigma.c - the standard deviation of one link. With `count_spreads` what the
 * materials on its way vary from building to building is added.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_priv.h"

#include <math.h>

/* Share of a material's spread that all its walls have in common; assumed. */
static const double common_share = 0.5;

#define FACTORS_AT_ONCE 64

hr_material_use link_item_use(hr_item_kind kind)
{
    switch (kind) {
    case HR_ITEM_OPENING:
        return HR_USE_OPENING;
    case HR_ITEM_METAL:
        return HR_USE_METAL;
    case HR_ITEM_FLOOR:
        return HR_USE_FLOOR;
    case HR_ITEM_WALL:
    case HR_ITEM_SOLID:
    case HR_ITEM_BEND:
        break;
    }
    return HR_USE_WALL;
}

/* What of the material's spread this item brings in: all of it where its loss
 * counts in full, the same share as of its loss where less of that counts. */
static double item_spread_db(const hr_links *links, const hr_item *item, double factor)
{
    if (item->kind == HR_ITEM_BEND || !(item->loss_db > 0.0) || !(item->table_db > 0.0)) {
        return 0.0;
    }
    const double share = fmin(item->loss_db / item->table_db, 1.0);
    return links->spread_db[link_item_use(item->kind)][item->material] * share * factor;
}

static bool same_material(const hr_item *a, const hr_item *b)
{
    return a->material == b->material && link_item_use(a->kind) == link_item_use(b->kind);
}

/* sum over materials of rho (n s)^2 + sum over walls of (1 - rho) s^2. */
static double materials_variance(const hr_links *links, const hr_item *items, size_t count)
{
    double factors[FACTORS_AT_ONCE];
    const bool saturated = count <= FACTORS_AT_ONCE;
    if (saturated) {
        (void)link_saturation_db(links, items, count, factors);
    }
    double variance = 0.0;
    for (size_t i = 0; i < count; i++) {
        if (items[i].kind == HR_ITEM_BEND) {
            continue;
        }
        const double own = item_spread_db(links, &items[i], saturated ? factors[i] : 1.0);
        variance += (1.0 - common_share) * own * own;
        bool first = true;
        for (size_t k = 0; k < i && first; k++) {
            first = items[k].kind == HR_ITEM_BEND || !same_material(&items[k], &items[i]);
        }
        double together = 0.0;
        for (size_t k = i; first && k < count; k++) {
            if (items[k].kind != HR_ITEM_BEND && same_material(&items[k], &items[i])) {
                together += item_spread_db(links, &items[k], saturated ? factors[k] : 1.0);
            }
        }
        variance += common_share * together * together;
    }
    return variance;
}

double link_sigma_db(const hr_links *links, const hr_item *items, size_t count)
{
    const hr_radio *radio = &links->building->radio;
    const bool site = radio->model == HR_MODEL_SITE_GENERAL;
    const double shadowing_db = site ? links->site.sigma_db : radio->shadowing_db; /* the row has its own */
    double variance = shadowing_db * shadowing_db + radio->time_variation_db * radio->time_variation_db;
    if (radio->count_spreads && !site) {
        variance += materials_variance(links, items, count);
    }
    return sqrt(variance);
}
