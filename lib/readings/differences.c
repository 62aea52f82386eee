/*
 * differences.c - measured beside predicted: how large the differences are,
 * and whether they belong to a material, a storey or a gateway.
 *
 * SPDX-License-Identifier: MIT
 */
#include "readings_priv.h"

#include <math.h>
#include <stdlib.h>

/* A group stands out when chance would bring it less than once in a hundred
 * comparisons like this one, by Bonferroni's rule over its groups; assumed. */
#define CHANCE 0.01
/* Fewer links than this blame nobody: assumed. */
#define GROUP_MIN 5

void hr_comparison_free(hr_comparison *comparison)
{
    if (comparison != NULL) {
        hr_arena_free(comparison->arena);
        hr_free(comparison);
    }
}

typedef struct group_sums {
    double *count; /* links: each of a link's readings adds its share of one */
    double *sum;
    size_t groups;
} group_sums;

typedef struct comparer {
    hr_comparison *out;
    const hr_building *b;
    group_sums materials, storeys, gateways;
    double sum, square;   /* over the readings ... */
    double links, link_sum, link_square; /* ... and over the links */
    double *share;        /* per reading: one over the heard readings of its link */
    uint8_t *crossed; /* per material, of the present reading */
} comparer;

static bool sums_new(hr_arena *arena, size_t groups, group_sums *sums)
{
    sums->groups = groups;
    sums->count = hr_arena_alloc(arena, groups + 1, sizeof *sums->count);
    sums->sum = hr_arena_alloc(arena, groups + 1, sizeof *sums->sum);
    for (size_t i = 0; sums->count != NULL && sums->sum != NULL && i < groups; i++) {
        sums->count[i] = 0.0;
        sums->sum[i] = 0.0;
    }
    return sums->count != NULL && sums->sum != NULL;
}

static void add_to(group_sums *sums, size_t group, double share, double difference_db)
{
    if (group < sums->groups) {
        sums->count[group] += share;
        sums->sum[group] += share * difference_db;
    }
}

static void add_crossed(comparer *c, const hr_link_work *work, double share, double difference_db)
{
    for (size_t m = 0; m < c->materials.groups; m++) {
        c->crossed[m] = 0;
    }
    for (size_t i = 0; i < work->item_count; i++) {
        const hr_item *item = &work->items[i];
        if (item->loss_db > 0.0 && item->material < c->materials.groups && c->crossed[item->material] == 0) {
            c->crossed[item->material] = 1;
            add_to(&c->materials, item->material, share, difference_db);
        }
    }
}

static hr_status compare_one(comparer *c, const hr_links *links, hr_link_work *work, size_t index, hr_error *err)
{
    const hr_reading *r = &c->out->readings->items[index];
    hr_difference *item = &c->out->items[index];
    hr_link link;
    const hr_status status =
        hr_readings_predict(c->out->readings, links, work, index, &link, &item->predicted_dbm, err);
    if (status != HR_OK) {
        return status;
    }
    item->difference_db = (double)NAN;
    item->beyond_db = 0.0;
    if (!r->heard) {
        item->beyond_db = fmax(item->predicted_dbm - r->threshold_dbm, 0.0);
        c->out->unheard_above += item->beyond_db > 0.0;
        return HR_OK;
    }
    item->difference_db = r->rssi_dbm - item->predicted_dbm;
    c->out->worst[c->out->count++] = (uint32_t)index;
    c->sum += item->difference_db;
    c->square += item->difference_db * item->difference_db;
    const double share = c->share[index];
    c->links += share;
    c->link_sum += share * item->difference_db;
    c->link_square += share * item->difference_db * item->difference_db;
    add_crossed(c, work, share, item->difference_db);
    add_to(&c->storeys, hr_readings_place(c->out->readings, index)->storey, share, item->difference_db);
    add_to(&c->gateways, r->from.gateway, share, item->difference_db);
    add_to(&c->gateways, r->to.gateway, share, item->difference_db);
    return HR_OK;
}

/* Largest difference first, in whole micro-decibels; ties by their place in the list. */
static void sort_worst(hr_comparison *out)
{
    for (size_t gap = out->count / 2; gap > 0; gap /= 2) {
        for (size_t i = gap; i < out->count; i++) {
            const uint32_t moved = out->worst[i];
            const int64_t size = hr_micro(fabs(out->items[moved].difference_db));
            size_t at = i;
            while (at >= gap) {
                const uint32_t other = out->worst[at - gap];
                const int64_t other_size = hr_micro(fabs(out->items[other].difference_db));
                if (other_size > size || (other_size == size && other < moved)) {
                    break;
                }
                out->worst[at] = other;
                at -= gap;
            }
            out->worst[at] = moved;
        }
    }
}

/* Shares add up to whole links but for rounding. */
static size_t whole(double links)
{
    return (size_t)(links + 0.5);
}

static void add_groups(comparer *c, const group_sums *sums, const char *kind, const char *(*name)(const hr_building *, size_t))
{
    hr_comparison *out = c->out;
    const size_t links = whole(c->links);
    const double mean = c->link_sum / (double)links;
    const double variance = (c->link_square - c->link_sum * mean) / (double)(links - 1);
    for (size_t i = 0; i < sums->groups; i++) {
        const size_t count = whole(sums->count[i]), others = links > count ? links - count : 0;
        if (count < GROUP_MIN || others < GROUP_MIN) {
            continue;
        }
        hr_difference_group *g = &out->groups[out->group_count++];
        *g = (hr_difference_group){.kind = kind, .name = name(c->b, i), .count = count, .others = others};
        g->mean_db = sums->sum[i] / (double)count;
        g->others_mean_db = (c->link_sum - sums->sum[i]) / (double)others;
        const double spread = sqrt(variance * (1.0 / (double)count + 1.0 / (double)others));
        g->z = spread > 0.0 ? (g->mean_db - g->others_mean_db) / spread : 0.0;
    }
}

static const char *material_name(const hr_building *b, size_t index)
{
    return hr_materials_get(b->materials, index)->name;
}

static const char *storey_name(const hr_building *b, size_t index)
{
    return b->storeys[index].name;
}

static const char *gateway_name(const hr_building *b, size_t index)
{
    return b->gateways[index].id;
}

static void judge_groups(hr_comparison *out)
{
    for (size_t i = 0; i < out->group_count; i++) {
        hr_difference_group *g = &out->groups[i];
        g->stands_out = erfc(fabs(g->z) / sqrt(2.0)) * (double)out->group_count < CHANCE;
    }
    for (size_t i = 1; i < out->group_count; i++) { /* few: largest |z| first, ties as they came */
        const hr_difference_group moved = out->groups[i];
        size_t at = i;
        while (at > 0 && hr_micro(fabs(out->groups[at - 1].z)) < hr_micro(fabs(moved.z))) {
            out->groups[at] = out->groups[at - 1];
            at--;
        }
        out->groups[at] = moved;
    }
}

static hr_status take_shares(comparer *c, hr_error *err)
{
    const hr_readings *r = c->out->readings;
    size_t links = 0;
    uint32_t *link_of = hr_arena_alloc(c->out->arena, r->count + 1, sizeof *link_of);
    double *heard = hr_arena_alloc(c->out->arena, r->count + 1, sizeof *heard); /* no more links than readings */
    const hr_status status =
        link_of == NULL || heard == NULL ? hr_fail_memory(err) : hr_readings_links(r, link_of, &links, err);
    for (size_t k = 0; status == HR_OK && k < links; k++) {
        heard[k] = 0.0;
    }
    for (size_t i = 0; status == HR_OK && i < r->count; i++) {
        heard[link_of[i]] += r->items[i].heard ? 1.0 : 0.0;
    }
    for (size_t i = 0; status == HR_OK && i < r->count; i++) {
        c->share[i] = r->items[i].heard ? 1.0 / heard[link_of[i]] : 0.0;
    }
    return status;
}

static hr_status prepare(comparer *c, hr_error *err)
{
    hr_comparison *out = c->out;
    const size_t n = out->readings->count, materials = hr_materials_count(c->b->materials);
    out->arena = hr_arena_new();
    if (out->arena == NULL || !sums_new(out->arena, materials, &c->materials) ||
        !sums_new(out->arena, c->b->storey_count, &c->storeys) ||
        !sums_new(out->arena, c->b->gateway_count, &c->gateways)) {
        return hr_fail_memory(err);
    }
    const size_t groups = materials + c->b->storey_count + c->b->gateway_count;
    out->items = hr_arena_alloc(out->arena, n + 1, sizeof *out->items);
    out->worst = hr_arena_alloc(out->arena, n + 1, sizeof *out->worst);
    out->groups = hr_arena_alloc(out->arena, groups + 1, sizeof *out->groups);
    c->crossed = hr_arena_alloc(out->arena, materials + 1, sizeof *c->crossed);
    c->share = hr_arena_alloc(out->arena, n + 1, sizeof *c->share);
    const bool good = out->items != NULL && out->worst != NULL && out->groups != NULL && c->crossed != NULL && c->share != NULL;
    return good ? take_shares(c, err) : hr_fail_memory(err);
}

static void finish(comparer *c)
{
    hr_comparison *out = c->out;
    const double count = (double)out->count;
    out->rmse_db = out->count > 0 ? sqrt(c->square / count) : (double)NAN;
    out->bias_db = out->count > 0 ? c->sum / count : (double)NAN;
    sort_worst(out);
    if (whole(c->links) > 1) {
        add_groups(c, &c->materials, "material", material_name);
        add_groups(c, &c->storeys, "storey", storey_name);
        add_groups(c, &c->gateways, "gateway", gateway_name);
        judge_groups(out);
    }
}

hr_status hr_readings_compare(const hr_readings *readings, const hr_links *links, hr_comparison **comparison,
                              hr_error *err)
{
    hr_comparison *out = hr_alloc_zero(1, sizeof *out);
    if (out == NULL) {
        return hr_fail_memory(err);
    }
    out->readings = readings;
    comparer c = {.out = out, .b = readings->building};
    hr_link_work work = {0};
    hr_status status = prepare(&c, err);
    for (size_t i = 0; status == HR_OK && i < readings->count; i++) {
        status = compare_one(&c, links, &work, i, err);
    }
    hr_links_work_free(&work);
    if (status != HR_OK) {
        hr_comparison_free(out);
        return status;
    }
    finish(&c);
    *comparison = out;
    return HR_OK;
}
