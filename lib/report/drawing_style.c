/*
 * drawing_style.c - how materials look: dark and wide is heavy, light and
 * broken is light, so that a grey print still tells them apart.
 *
 * SPDX-License-Identifier: MIT
 */
#include "drawing_priv.h"

#include <stdlib.h>
#include <string.h>

/* Lightness (CIE L*) about 7, 24, 38, 52, 45, 50, 66, 62, 68, 67: beside the lightness the dashes differ. */
static const drawing_style wall_styles[] = {
    {"#141414", 0.9, NULL},          {"#6b1d2a", 0.8, NULL},      {"#1f5aa6", 0.75, NULL},
    {"#2e8b57", 0.7, "2.4,0.7"},     {"#7a6a1e", 0.65, "1.4,0.6"}, {"#8a63c9", 0.6, "2.4,0.5,0.5,0.5"},
    {"#4fb0a5", 0.6, NULL},          {"#c98292", 0.55, "2.4,0.7"}, {"#9aa8b8", 0.55, "1.4,0.6"},
    {"#b3a44a", 0.5, "0.7,0.5"},     {"#8fb37a", 0.5, NULL},      {"#b39bd9", 0.5, "2.4,0.5,0.5,0.5"}};
static const drawing_style door_styles[] = {
    {"#e8741a", 1.3, NULL}, {"#e8741a", 1.3, "0.9,0.3"}, {"#e8741a", 0.8, NULL}, {"#e8741a", 0.8, "0.9,0.3"}};
static const drawing_style window_styles[] = {
    {"#7fcbe8", 1.3, NULL}, {"#7fcbe8", 1.3, "0.9,0.3"}, {"#7fcbe8", 0.8, NULL}, {"#7fcbe8", 0.8, "0.9,0.3"}};

/* Beside rooms filled by spare, colour is taken: walls are grey, with the same widths and dashes. */
static const drawing_style quiet_walls[] = {
    {"#141414", 0.9, NULL},          {"#3a3a3a", 0.8, NULL},      {"#5c5c5c", 0.75, NULL},
    {"#444444", 0.7, "2.4,0.7"},     {"#666666", 0.65, "1.4,0.6"}, {"#4f4f4f", 0.5, "2.4,0.5,0.5,0.5"},
    {"#7d7d7d", 0.5, NULL},          {"#7d7d7d", 0.45, "2.4,0.7"}, {"#8c8c8c", 0.45, "1.4,0.6"},
    {"#767676", 0.4, "0.7,0.5"},     {"#a0a0a0", 0.4, NULL},      {"#8c8c8c", 0.4, "2.4,0.5,0.5,0.5"}};
static const drawing_style quiet_doors[] = {
    {"#a3702c", 0.8, NULL}, {"#a3702c", 0.8, "0.9,0.3"}, {"#a3702c", 0.5, NULL}, {"#a3702c", 0.5, "0.9,0.3"}};
static const drawing_style quiet_windows[] = {
    {"#8fb6c9", 0.8, NULL}, {"#8fb6c9", 0.8, "0.9,0.3"}, {"#8fb6c9", 0.5, NULL}, {"#8fb6c9", 0.5, "0.9,0.3"}};

#define COUNT(list) (sizeof(list) / sizeof((list)[0]))

const drawing_style *drawing_wall_style(const drawing *d, size_t rank)
{
    return d->siting != NULL ? &quiet_walls[rank % COUNT(quiet_walls)] : &wall_styles[rank % COUNT(wall_styles)];
}

const drawing_style *drawing_opening_style(const drawing *d, bool door, size_t rank)
{
    if (d->siting != NULL) {
        return door ? &quiet_doors[rank % COUNT(quiet_doors)] : &quiet_windows[rank % COUNT(quiet_windows)];
    }
    return door ? &door_styles[rank % COUNT(door_styles)] : &window_styles[rank % COUNT(window_styles)];
}

typedef struct ranked {
    int64_t loss; /* whole micro-decibels, so that ties are ties */
    uint32_t material;
} ranked;

static int compare_ranked(const void *left, const void *right)
{
    const ranked *a = left, *b = right;
    if (a->loss != b->loss) {
        return a->loss > b->loss ? -1 : 1;
    }
    return a->material < b->material ? -1 : a->material > b->material;
}

/* Over the whole property, so that a material looks the same on every storey. */
hr_status drawing_rank_materials(drawing *d, hr_error *err)
{
    const hr_building *b = d->building;
    const size_t materials = hr_materials_count(b->materials);
    bool *used = hr_alloc_zero(materials + 1, sizeof *used);
    ranked *list = hr_alloc(materials + 1, sizeof *list);
    d->ranks = hr_alloc(materials + 1, sizeof *d->ranks);
    const bool enough = used != NULL && list != NULL && d->ranks != NULL;
    for (size_t p = 0; enough && p < b->plan_count; p++) {
        const hr_plan *plan = b->plans[p];
        for (size_t i = 0; i < plan->wall_count; i++) {
            used[plan->walls[i].material] = used[plan->walls[i].material] || !plan->walls[i].is_gap;
        }
        for (size_t i = 0; i < plan->solid_count; i++) {
            used[plan->solids[i].material] = true;
        }
    }
    for (size_t i = 0; enough && i < materials; i++) {
        if (used[i]) {
            list[d->rank_count++] =
                (ranked){.loss = hr_micro(hr_materials_loss_db(b->materials, i, HR_USE_WALL, NULL)), .material = (uint32_t)i};
        }
    }
    if (enough && d->rank_count > 0) {
        qsort(list, d->rank_count, sizeof *list, compare_ranked);
    }
    for (size_t i = 0; enough && i < d->rank_count; i++) {
        d->ranks[i] = list[i].material;
    }
    hr_free(used);
    hr_free(list);
    return enough ? HR_OK : hr_fail_memory(err);
}

size_t drawing_rank(const drawing *d, uint32_t material)
{
    size_t rank = 0;
    while (rank < d->rank_count && d->ranks[rank] != material) {
        rank++;
    }
    return rank;
}

static bool has_opening(const hr_building *b, bool door, uint32_t material)
{
    for (size_t p = 0; p < b->plan_count; p++) {
        for (size_t i = 0; i < b->plans[p]->opening_count; i++) {
            const hr_opening *opening = &b->plans[p]->openings[i];
            if (opening->is_door == door && opening->material == material) {
                return true;
            }
        }
    }
    return false;
}

size_t drawing_opening_rank(const drawing *d, bool door, uint32_t material)
{
    size_t rank = 0;
    for (uint32_t m = 0; m < material; m++) {
        rank += has_opening(d->building, door, m);
    }
    return rank;
}

void drawing_put_style(drawing *d, const drawing_style *style)
{
    hr_text_addf(d->out, " fill=\"none\" stroke=\"%s\"", style->colour);
    drawing_put_mm(d, "stroke-width", style->width_mm);
    if (style->dash == NULL) {
        return;
    }
    hr_text_add(d->out, " stroke-dasharray=\"");
    for (const char *at = style->dash;;) {
        double mm = 0.0;
        at += hr_number_scan(at, strlen(at), &mm);
        drawing_number(d, mm * d->mm);
        if (*at != ',') {
            break;
        }
        hr_text_add(d->out, ",");
        at++;
    }
    hr_text_add(d->out, "\"");
}
