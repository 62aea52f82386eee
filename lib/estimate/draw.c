/*
 * draw.c - one building out of many that the same words could mean.
 *
 * Every unknown of every draw has a random stream of its own, so that more
 * draws, or one unknown less, leave the others as they were.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_priv.h"

#include <math.h>
#include <string.h>

/* Share of a material's spread that all its walls have in common, as in sigma; assumed. */
#define COMMON 0.5
/* A spread that no table gives, as a share of the loss; assumed. */
#define UNSTATED 0.3
#define SIZE_LIMIT_SIGMAS 3.0

static double clamp(double value, double low, double high)
{
    return value < low ? low : value > high ? high : value;
}

void estimate_nominal_draw(estimate_run *run)
{
    estimate_draw *d = &run->draw;
    d->nominal = true;
    d->max_slabs = run->building->radio.max_slabs;
    d->exponent = 0.0;
    d->size = d->detour = 1.0;
    d->wall_class = d->slab_class = -1;
    memset(d->variant, 0, run->row_count);
    memset(d->blocked, 0, run->site_count);
    for (size_t i = 0; i < run->part_count; i++) {
        d->part_db[i] = 0.0;
    }
}

/* ---- walls and slabs ---- */

static bool is_fitted(const hr_building *b, uint32_t material)
{
    const char *name = hr_materials_get(b->materials, material)->name;
    for (size_t i = 0; i < b->fitted.material_count; i++) {
        if (hr_casecmp(b->fitted.materials[i].label, name) == 0) {
            return true;
        }
    }
    return false;
}

static double spread_of(const hr_building *b, uint32_t material, hr_material_use use, double table_db)
{
    const double spread_db = hr_materials_spread_db(b->materials, material, use);
    return isnan(spread_db) ? UNSTATED * table_db : spread_db;
}

/* The material that a class puts in a wall's place. */
static uint32_t replaced(const estimate_run *run, const estimate_part *part, bool free_slab)
{
    const estimate_draw *d = &run->draw;
    const char *name = NULL;
    if (part->use == HR_USE_FLOOR) {
        name = d->slab_class >= 0 && free_slab ? estimate_slab_names[d->slab_class] : NULL;
    } else if (part->use == HR_USE_WALL && d->wall_class >= 0) {
        name = part->material == run->party      ? estimate_classes[d->wall_class].party
               : part->material == run->corridor ? estimate_classes[d->wall_class].corridor
                                                 : NULL;
    }
    const size_t found = name != NULL ? hr_materials_find(run->building->materials, name) : SIZE_MAX;
    return found != SIZE_MAX ? (uint32_t)found : part->material;
}

/* What a part loses more than on nominal values; own: its share beside what its material has in common. */
static double part_change(const estimate_run *run, const estimate_part *part, bool free_slab, double own)
{
    const hr_building *b = run->building;
    const hr_material_use use = (hr_material_use)part->use;
    const uint32_t material = replaced(run, part, free_slab);
    const double table_db =
        material == part->material ? part->table_db : hr_materials_loss_db(b->materials, material, use, NULL);
    const double times = use == HR_USE_FLOOR ? run->keys->slab_spread : run->keys->wall_spread;
    const double common = run->z[(size_t)use * run->material_count + material];
    const double spread_db = is_fitted(b, material) ? 0.0 : times * spread_of(b, material, use, table_db);
    const double loss_db = table_db + spread_db * (sqrt(COMMON) * common + sqrt(1.0 - COMMON) * own);
    return fmax(loss_db, 0.0) - part->table_db;
}

/* random NULL: no wall differs from others of its material. */
void estimate_fill_parts(estimate_run *run, bool slabs, hr_random *random)
{
    const hr_building *b = run->building;
    const bool all_free = run->options->numbers != NULL && !run->options->numbers->said_slab;
    for (size_t s = 0; s < b->storey_count; s++) {
        for (size_t i = run->part_base[s]; i < run->part_base[s + 1]; i++) {
            const double own = random != NULL ? hr_stats_random_normal(random, 1.0) : 0.0;
            const estimate_part *part = &run->parts[i];
            if (part->met && (part->use == HR_USE_FLOOR) == slabs) {
                run->draw.part_db[i] = part_change(run, part, all_free || b->storeys[s].slab_assumed, own);
            }
        }
    }
}

static int pick(const double *shares, int count, double value)
{
    double sum = 0.0;
    int last = 0;
    for (int i = 0; i < count; i++) {
        sum += shares[i];
        last = shares[i] > 0.0 ? i : last;
        if (value < sum && shares[i] > 0.0) {
            return i;
        }
    }
    return last;
}

long estimate_year_of(const estimate_run *run)
{
    return run->options->numbers != NULL ? run->options->numbers->year : 0;
}

bool estimate_free_walls(const estimate_run *run)
{
    return run->options->numbers != NULL && !run->options->numbers->said_walls;
}

/* Some slab's material is nobody's word. */
bool estimate_free_slabs(const estimate_run *run)
{
    const hr_building *b = run->building;
    bool any = run->options->numbers != NULL && !run->options->numbers->said_slab;
    for (size_t s = 1; s < b->storey_count; s++) {
        any = any || b->storeys[s].slab_assumed;
    }
    return any;
}

void estimate_fill_common(estimate_run *run, hr_random *random, double fixed)
{
    for (size_t i = 0; i < 4 * run->material_count; i++) {
        run->z[i] = random != NULL ? hr_stats_random_normal(random, 1.0) : fixed;
    }
}

static void draw_walls(estimate_run *run, hr_random *random)
{
    const double value = hr_stats_random_uniform(random);
    run->draw.wall_class =
        estimate_free_walls(run) ? pick(estimate_class_shares(estimate_year_of(run)), ESTIMATE_CLASSES, value) : -1;
    estimate_fill_common(run, random, 0.0);
    estimate_fill_parts(run, false, random);
}

static void draw_slabs(estimate_run *run, hr_random *random)
{
    const double value = hr_stats_random_uniform(random);
    run->draw.slab_class = estimate_free_slabs(run) ? pick(estimate_slab_shares, ESTIMATE_SLABS, value) : -1;
    estimate_fill_common(run, random, 0.0);
    estimate_fill_parts(run, true, random);
}

/* ---- places and network ---- */

void estimate_take_place(estimate_run *run, uint8_t variant)
{
    for (size_t r = 0; r < run->row_count; r++) {
        run->draw.variant[r] = run->building->devices[run->rows[r]].drawn ? 0 : variant;
    }
}

static void draw_places(estimate_run *run, hr_random *random)
{
    const bool as_planned = hr_stats_random_uniform(random) < ESTIMATE_AS_PLANNED;
    const size_t other = hr_stats_random_below(random, ESTIMATE_PLACES_TRIED - 1);
    estimate_take_place(run, as_planned ? 0 : (uint8_t)(other + 1));
}

/* A detour takes spots away whose cable is short enough only as the plan has it. */
static void draw_network(estimate_run *run, double detour, hr_random *random)
{
    run->draw.detour = detour;
    for (size_t s = 0; s < run->site_count; s++) {
        const double value = hr_stats_random_uniform(random);
        const double limit_m = run->building->gateway_kind.cable_limit_m, cable_m = run->sites[s].cable_m;
        const bool too_far = cable_m <= limit_m && cable_m * detour > limit_m;
        run->draw.blocked[s] = !run->sites[s].existing && (value < run->keys->spot_loss || too_far);
    }
}

/* ---- a draw ---- */

static void draw_one(estimate_run *run, estimate_unknown unknown, hr_random *random)
{
    const hr_estimate_keys *keys = run->keys;
    switch (unknown) {
    case ESTIMATE_WALLS:
        draw_walls(run, random);
        break;
    case ESTIMATE_SLAB:
        draw_slabs(run, random);
        break;
    case ESTIMATE_EXPONENT:
        run->draw.exponent = hr_stats_random_normal(random, keys->exponent_spread);
        break;
    case ESTIMATE_PLACES:
        draw_places(run, random);
        break;
    case ESTIMATE_NETWORK:
        draw_network(run, 1.0 + keys->detour_spread * hr_stats_random_uniform(random), random);
        break;
    case ESTIMATE_SIZE: {
        const double sigma = keys->size_spread, limit = SIZE_LIMIT_SIGMAS * sigma;
        run->draw.size = 1.0 + clamp(hr_stats_random_normal(random, sigma), -limit, limit);
        break;
    }
    case ESTIMATE_UNKNOWNS:
        break;
    }
}

hr_status estimate_make_draw(estimate_run *run, uint64_t number, unsigned only)
{
    estimate_nominal_draw(run);
    for (unsigned u = 0; u < ESTIMATE_UNKNOWNS; u++) {
        if (!run->drawn[u] || (only & (1U << u)) == 0) {
            continue;
        }
        hr_random *random = hr_stats_random_new(run->out->seed, (number + 1) * 16 + u);
        if (random == NULL) {
            return hr_fail_memory(run->err);
        }
        run->draw.nominal = false;
        draw_one(run, (estimate_unknown)u, random);
        hr_stats_random_free(random);
    }
    return HR_OK;
}

double estimate_exponent(const estimate_run *run)
{
    if (run->building->radio.model != HR_MODEL_SITE_GENERAL) {
        return run->building->radio.exponent;
    }
    /* a decade of its row */
    return (hr_links_spread_loss_db(run->links, 30.0) - hr_links_spread_loss_db(run->links, 3.0)) / 10.0;
}

/* ---- as one number ---- */

static double mean_change(const estimate_run *run, bool slabs)
{
    double sum = 0.0;
    size_t count = 0;
    for (size_t i = 0; i < run->part_count; i++) {
        if (run->parts[i].met && (run->parts[i].use == HR_USE_FLOOR) == slabs) {
            sum += run->draw.part_db[i];
            count++;
        }
    }
    return count > 0 ? sum / (double)count : 0.0;
}

double estimate_scalar(const estimate_run *run, estimate_unknown unknown)
{
    switch (unknown) {
    case ESTIMATE_WALLS:
    case ESTIMATE_SLAB:
        return mean_change(run, unknown == ESTIMATE_SLAB);
    case ESTIMATE_EXPONENT:
        return run->draw.exponent;
    case ESTIMATE_NETWORK: {
        size_t blocked = 0;
        for (size_t s = 0; s < run->site_count; s++) {
            blocked += run->draw.blocked[s];
        }
        return (double)blocked;
    }
    case ESTIMATE_SIZE:
        return run->draw.size;
    case ESTIMATE_PLACES: {
        uint8_t habit = 0;
        for (size_t r = 0; r < run->row_count; r++) {
            habit = run->draw.variant[r] > habit ? run->draw.variant[r] : habit;
        }
        return (double)habit;
    }
    case ESTIMATE_UNKNOWNS:
        break;
    }
    return (double)NAN;
}
