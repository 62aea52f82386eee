/*
 * routes.c - the model routes: the straight ray and the best way round with
 * one or two bends, added in power.
 *
 * L = FSPL(1 m) + 20 log10 D - g log10(d_corridor) + rooms + walls + bends +
 * floors + metal for each of them. A bend costs min(J(v), 15 dB), v from its
 * height over the straight line between its neighbours (ITU-R P.526).
 *
 * SPDX-License-Identifier: MIT
 */
#include "scratch_priv.h"

#include <math.h>

/* A way round this much weaker than the straight ray adds less than 0.05 dB and is not looked for. */
#define WORTH_DB 20.0
/* J(0): what a bend costs at least. */
#define BEND_LEAST_DB 6.03
/* Ways that bend on the storey of an end are looked for between storeys this far apart. */
#define STOREYS_APART_MAX 1U

/* A way from the low end to the high end. Losses are those over the free-space loss at 1 m. */
typedef struct way {
    double loss_db;
    size_t bends;
    size_t bend[HR_LINK_BENDS_MAX];
    const link_ways *ways;
    uint32_t storey;
    double bend_db[HR_LINK_BENDS_MAX];
    link_leg leg[HR_LINK_BENDS_MAX + 1];
    double length_m, corridor_m;
} way;

typedef struct place {
    double x, y, z;
} place;

static place place_of(const hr_end *end)
{
    return (place){end->at.x, end->at.y, end->z_m};
}

/* The straight line's height under the bend, and J of it; past an end the cap. */
static double bend_db(double freq_mhz, place before, place at, place after)
{
    const double lx = after.x - before.x, ly = after.y - before.y, lz = after.z - before.z;
    const double px = at.x - before.x, py = at.y - before.y, pz = at.z - before.z;
    const double length = sqrt(lx * lx + ly * ly + lz * lz);
    if (!(length > 0.0)) {
        return hr_propagation_bend_db((double)INFINITY);
    }
    const double along = (px * lx + py * ly + pz * lz) / length;
    const double height = sqrt(fmax(px * px + py * py + pz * pz - along * along, 0.0));
    if (!(along > 0.0 && along < length)) {
        return hr_propagation_bend_db((double)INFINITY);
    }
    return hr_propagation_bend_db(hr_propagation_fresnel_v(freq_mhz, height, along, length - along));
}

/* 20 log10 D less what the corridor gives back. */
static double spread_db(double length_m, double corridor_m)
{
    return 20.0 * log10(fmax(length_m, 1.0)) - hr_propagation_corridor_gain_db(corridor_m);
}

/* ---- the search ---- */

typedef struct search {
    const link_ray *ray;
    const link_ways *ways;
    uint32_t storey;
    double floor_m, freq_mhz;
    hr_end low, high;
    link_fan from_low, from_high;
    double least_db; /* spread of the shortest way with a corridor all along */
} search;

static place bend_place(const search *s, size_t bend)
{
    const hr_end end = link_bend_end(s->ways, bend, s->floor_m);
    return place_of(&end);
}

/* Keeps a way that is better than the best so far. */
static void try_way(const search *s, const size_t *bends, size_t count, const link_leg *legs, way *best)
{
    const link_leg *chain[HR_LINK_BENDS_MAX + 1];
    double loss_db = 0.0, length_m = 0.0;
    for (size_t i = 0; i <= count; i++) {
        chain[i] = &legs[i];
        loss_db += legs[i].loss_db;
        length_m += legs[i].length_m;
    }
    place points[HR_LINK_BENDS_MAX + 2];
    points[0] = place_of(&s->low);
    points[count + 1] = place_of(&s->high);
    for (size_t i = 0; i < count; i++) {
        points[i + 1] = bend_place(s, bends[i]);
    }
    double turns_db[HR_LINK_BENDS_MAX] = {0.0, 0.0};
    for (size_t i = 0; i < count; i++) {
        turns_db[i] = bend_db(s->freq_mhz, points[i], points[i + 1], points[i + 2]);
        loss_db += turns_db[i] + s->ways->bends[bends[i]].through_db;
    }
    const double corridor_m = link_corridor_m(chain, count + 1);
    loss_db += spread_db(length_m, corridor_m);
    if (!(loss_db < best->loss_db)) {
        return;
    }
    *best = (way){.loss_db = loss_db,
                  .bends = count,
                  .ways = s->ways,
                  .storey = s->storey,
                  .length_m = length_m,
                  .corridor_m = corridor_m};
    for (size_t i = 0; i < count; i++) {
        best->bend[i] = bends[i];
        best->bend_db[i] = turns_db[i];
    }
    for (size_t i = 0; i <= count; i++) {
        best->leg[i] = legs[i];
    }
}

/* Ways that turn at p first. The sums are bounds: a bend costs BEND_LEAST_DB at least. */
static void try_two_bends(const search *s, size_t p, way *best)
{
    const link_ways *ways = s->ways;
    const double so_far_db = s->least_db + s->from_low.loss_db[p] + ways->bends[p].through_db + 2.0 * BEND_LEAST_DB;
    if (so_far_db + s->from_high.least_db >= best->loss_db) {
        return;
    }
    const double *mid_db = ways->loss_db[s->ray->even] + p * ways->count;
    const double *high_db = s->from_high.loss_db;
    for (size_t q = 0; q < ways->count; q++) {
        if (so_far_db + high_db[q] + mid_db[q] >= best->loss_db || q == p ||
            so_far_db + high_db[q] + mid_db[q] + ways->bends[q].through_db >= best->loss_db) {
            continue;
        }
        const size_t bends[2] = {p, q};
        const link_leg legs[3] = {s->from_low.legs[p], link_mid_leg(ways, s->ray->even, p, q),
                                  link_leg_back(&s->from_high.legs[q])};
        try_way(s, bends, 2, legs, best);
    }
}

static void find_way(const search *s, way *best)
{
    for (size_t p = 0; p < s->ways->count; p++) {
        const double least_db = s->least_db + s->from_low.loss_db[p] + s->from_high.loss_db[p] +
                                s->ways->bends[p].through_db + BEND_LEAST_DB;
        if (least_db < best->loss_db) {
            const link_leg legs[2] = {s->from_low.legs[p], link_leg_back(&s->from_high.legs[p])};
            try_way(s, &p, 1, legs, best);
        }
    }
    for (size_t p = 0; p < s->ways->count; p++) {
        try_two_bends(s, p, best);
    }
}

/* The bends of a storey and the legs to them. */
static hr_status prepare_search(const link_ray *ray, uint32_t storey, search *s)
{
    const hr_links *links = ray->links;
    *s = (search){.ray = ray,
                  .ways = &links->ways[links->ways_of_storey[storey]],
                  .storey = storey,
                  .floor_m = links->building->storeys[storey].elevation_m,
                  .freq_mhz = links->building->radio.frequency_mhz,
                  .low = {.at = ray->line.a, .z_m = ray->z0_m},
                  .high = {.at = ray->line.b, .z_m = ray->z1_m}};
    s->least_db = spread_db(ray->space_m, ray->space_m);
    if (s->ways->count == 0) {
        return HR_OK;
    }
    const hr_status status = link_end_legs(links, ray->work, &s->low, storey, ray->even, &s->from_low, ray->err);
    return status != HR_OK ? status
                           : link_end_legs(links, ray->work, &s->high, storey, ray->even, &s->from_high, ray->err);
}

/* Searches on the storey of each end, none where ways round are not looked for. */
static hr_status prepare_searches(const link_ray *ray, search searches[2], size_t *count)
{
    *count = 0;
    if (ray->length_m < LINK_PLAN_MIN_M || ray->storey1 - ray->storey0 > STOREYS_APART_MAX) {
        return HR_OK;
    }
    hr_status status = prepare_search(ray, ray->storey0, &searches[(*count)++]);
    if (status == HR_OK && ray->storey1 != ray->storey0) {
        status = prepare_search(ray, ray->storey1, &searches[(*count)++]);
    }
    return status;
}

/* ---- adding up ---- */

/* A way round whose detour is less than half a wavelength is the straight ray
 * itself (it stays inside its first Fresnel zone): the stronger counts, and the
 * other only in proportion. */
static double together_db(const hr_links *links, double straight_db, double round_db, double detour_m)
{
    if (isinf(round_db)) {
        return straight_db;
    }
    const double strong_db = fmin(straight_db, round_db), weak_db = fmax(straight_db, round_db);
    const double share = fmin(fmax(detour_m / (0.5 * links->wavelength_m), 0.0), 1.0);
    return strong_db - 10.0 * log10(1.0 + share * pow(10.0, (strong_db - weak_db) / 10.0));
}

static void fill_terms(const hr_links *links, const way *carrying, hr_link *link)
{
    const double freq_mhz = links->building->radio.frequency_mhz;
    link->unfolded_m = carrying->length_m;
    link->corridor_m = carrying->corridor_m;
    link->spread_loss_db = hr_propagation_log_distance_db(freq_mhz, 2.0, carrying->length_m);
    link->corridor_gain_db = hr_propagation_corridor_gain_db(carrying->corridor_m);
    for (size_t i = 0; i <= carrying->bends; i++) {
        link->wall_loss_db += carrying->leg[i].wall_db;
        link->floor_loss_db += carrying->leg[i].floor_db;
        link->metal_loss_db += carrying->leg[i].metal_db;
        link->room_m += carrying->leg[i].room_m;
        link->walls += carrying->leg[i].walls;
        link->beyond |= carrying->leg[i].beyond;
    }
    for (size_t i = 0; i < carrying->bends; i++) {
        const link_bend *bend = &carrying->ways->bends[carrying->bend[i]];
        link->bend_loss_db += carrying->bend_db[i];
        link->wall_loss_db += bend->through_db;
        link->walls += bend->through_db > 0.0;
        link->bend_at[i] = bend->at;
    }
    link->bends = (unsigned)carrying->bends;
    link->bend_storey = carrying->storey;
    link->room_loss_db = HR_ROOM_LOSS_DB_PER_M * link->room_m;
}

/* Items of a leg in the order of the way, whichever end it was measured from. */
static hr_status add_leg_items(const link_ray *ray, const hr_end *from, const hr_end *to)
{
    hr_link_work *work = ray->work;
    const bool forward = link_in_order(from, to);
    link_ray leg = link_ray_of(ray->links, work, forward ? from : to, forward ? to : from, ray->err);
    leg.even = ray->even;
    const size_t first = work->item_count;
    const hr_status status = link_cross_ray(&leg, first);
    for (size_t i = first, k = work->item_count; status == HR_OK && !forward && i + 1 < k; i++, k--) {
        const hr_item swap = work->items[i];
        work->items[i] = work->items[k - 1];
        work->items[k - 1] = swap;
    }
    return status;
}

static hr_status add_bend_items(const link_ray *ray, const way *w, size_t i)
{
    const link_bend *bend = &w->ways->bends[w->bend[i]];
    hr_item item = {.kind = HR_ITEM_BEND,
                    .storey = w->storey,
                    .index = (uint32_t)bend->kind,
                    .material = HR_PLAN_NONE,
                    .loss_db = w->bend_db[i],
                    .table_db = w->bend_db[i]};
    hr_status status = link_add_item(ray, &item);
    if (status == HR_OK && bend->opening != HR_PLAN_NONE) {
        ray->work->items[ray->work->item_count - 1].at = bend->at;
        item.kind = HR_ITEM_OPENING;
        item.index = bend->opening;
        item.material = ray->links->building->storeys[w->storey].plan->openings[bend->opening].material;
        item.loss_db = item.table_db = bend->through_db;
        status = link_add_item(ray, &item);
    }
    if (status == HR_OK) {
        ray->work->items[ray->work->item_count - 1].at = bend->at;
    }
    return status;
}

/* What the way round crosses, in order from the low end. */
static hr_status list_way(const link_ray *ray, const way *w)
{
    const double floor_m = ray->links->building->storeys[w->storey].elevation_m;
    hr_end from = {.at = ray->line.a, .z_m = ray->z0_m};
    hr_status status = HR_OK;
    ray->work->item_count = 0;
    for (size_t i = 0; status == HR_OK && i <= w->bends; i++) {
        const hr_end high = {.at = ray->line.b, .z_m = ray->z1_m};
        const hr_end to = i < w->bends ? link_bend_end(w->ways, w->bend[i], floor_m) : high;
        status = add_leg_items(ray, &from, &to);
        if (status == HR_OK && i < w->bends) {
            status = add_bend_items(ray, w, i);
        }
        from = to;
    }
    return status;
}

static bool uses_extrapolated(const hr_links *links, const hr_link_work *work)
{
    for (size_t i = 0; i < work->item_count; i++) {
        const hr_item *item = &work->items[i];
        const bool wall = item->kind == HR_ITEM_WALL || item->kind == HR_ITEM_OPENING || item->kind == HR_ITEM_SOLID;
        if (wall && item->loss_db > 0.0 && links->curves[item->material] != NULL &&
            links->curves[item->material]->extrapolated) {
            return true;
        }
    }
    return false;
}

static hr_status straight_way(const link_ray *ray, way *straight, unsigned *slabs)
{
    const hr_status status = link_leg_of_ray(ray, 0, &straight->leg[0]);
    if (status != HR_OK) {
        return status;
    }
    straight->length_m = ray->space_m;
    straight->corridor_m = straight->leg[0].longest_m;
    straight->loss_db = straight->leg[0].loss_db + spread_db(straight->length_m, straight->corridor_m);
    *slabs = 0;
    for (size_t i = 0; i < ray->work->item_count; i++) {
        *slabs += ray->work->items[i].kind == HR_ITEM_FLOOR;
    }
    return HR_OK;
}

/* The sum of both, told by the one that carries the link. */
static void fill_link(const link_ray *ray, const way *straight, const way *best, hr_link *link)
{
    const hr_links *links = ray->links;
    const bool found = best->bends > 0;
    const way *strong = found && best->loss_db < straight->loss_db ? best : straight;
    const double one_metre_db = hr_propagation_free_space_db(links->building->radio.frequency_mhz, 1.0);
    const double both_db = together_db(links, straight->loss_db, found ? best->loss_db : (double)INFINITY,
                                       best->length_m - straight->length_m);
    fill_terms(links, strong, link);
    link->combined_db = strong->loss_db - both_db;
    link->path_loss_db = one_metre_db + both_db;
}

hr_status link_cross_routes(const link_ray *ray, bool carrying, hr_link *link)
{
    way straight = {.bends = 0}, best = {.bends = 0};
    search searches[2];
    size_t count = 0;
    unsigned slabs = 0;
    hr_status status = link_trim_scratch(ray->links, ray->work, ray->err);
    if (status == HR_OK) {
        status = prepare_searches(ray, searches, &count); /* measures legs: before the straight ray's items */
    }
    if (status == HR_OK) {
        status = straight_way(ray, &straight, &slabs);
    }
    if (status != HR_OK) {
        return status;
    }
    best.loss_db = straight.loss_db + WORTH_DB;
    for (size_t i = 0; i < count; i++) {
        find_way(&searches[i], &best);
    }
    fill_link(ray, &straight, &best, link);
    if (carrying && link->bends > 0) {
        status = list_way(ray, &best);
    }
    link->slabs = slabs;
    link_note_limits(ray->links, link);
    link->extrapolated = uses_extrapolated(ray->links, ray->work);
    return status;
}
