/*
 * spots.c - places where gateways may go: drawn ones, and generated ones on
 * plans that draw none; and the gateways that are marked as there already.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

#include <stdlib.h>
#include <string.h>

/* A spot with the place it was drawn at, until all are known. */
typedef struct found_spot {
    hr_spot spot;
    int line; /* 0: generated */
} found_spot;

typedef struct spot_list {
    found_spot *items;
    size_t count, cap;
    hr_names *ids;
} spot_list;

/* Numbers for marks without a name of their own, per word in front of the number. */
typedef struct mark_numbers {
    hr_names *words;
    size_t *used;
    size_t count, cap;
} mark_numbers;

static void free_numbers(mark_numbers *numbers)
{
    hr_names_free(numbers->words);
    hr_free(numbers->used);
}

/* The next number of word, 0: out of memory. */
static size_t next_number(mark_numbers *numbers, const char *word)
{
    if (numbers->words == NULL && (numbers->words = hr_names_new()) == NULL) {
        return 0;
    }
    const size_t at = hr_names_find(numbers->words, word);
    if (at != SIZE_MAX) {
        return ++numbers->used[at];
    }
    if (!HR_RESERVE(numbers->used, numbers->cap, numbers->count + 1) ||
        !hr_names_add(numbers->words, word, numbers->count)) {
        return 0;
    }
    numbers->used[numbers->count++] = 1;
    return 1;
}

hr_point building_round_point(hr_point p)
{
    return (hr_point){hr_round(p.x, 3), hr_round(p.y, 3)};
}

bool building_in_keep_out(const hr_plan *plan, hr_point p)
{
    for (size_t i = 0; i < plan->keep_out_count; i++) {
        if (hr_geometry_inside(&plan->keep_outs[i].region, p, 0.0)) {
            return true;
        }
    }
    return false;
}

/* Text made fit for lists; what was changed is said once per drawing. */
static void add_clean(building_reader *r, const hr_storey *storey, const char *text, hr_text *out)
{
    const size_t from = out->len;
    if (building_clean_id(text, out) && !out->failed) {
        hr_note(r->notes, storey->plan->file, 0, "%s is written %s: ids in lists hold letters, digits and _ @ . - only",
                text, out->bytes + from);
    }
}

/* The id of a mark: its own name, else `word` and a number. A name that another storey may repeat gets @STOREY. */
static const char *mark_id(building_reader *r, const hr_storey *storey, const hr_mark *mark, const char *word,
                           mark_numbers *numbers)
{
    hr_text id = {0};
    bool at_storey = storey->repeated;
    if (mark->name != NULL && mark->name[0] != '\0') {
        add_clean(r, storey, mark->name, &id);
    } else {
        const char *front = mark->value != NULL && mark->value[0] != '\0' ? mark->value : word;
        const size_t number = next_number(numbers, front);
        add_clean(r, storey, front, &id);
        hr_text_addf(&id, "%zu", number);
        id.failed = id.failed || number == 0;
        at_storey = r->b->storey_count > 1;
    }
    if (at_storey) {
        hr_text_add(&id, "@");
        (void)building_clean_id(storey->name, &id);
    }
    return building_keep(r, &id);
}

static hr_status check_id(building_reader *r, const char *id, const hr_storey *storey, int line)
{
    if (id == NULL) {
        return hr_fail_memory(r->err);
    }
    if (strlen(id) > HR_MAX_NAME_BYTES) {
        return hr_fail(r->err, HR_ERR_LIMIT, storey->plan->file, line, "a name is longer than the limit of %zu bytes",
                       HR_MAX_NAME_BYTES);
    }
    return HR_OK;
}

/* ---- spots ---- */

static hr_status add_spot(building_reader *r, spot_list *list, const hr_spot *spot, int line)
{
    const hr_storey *storey = &r->b->storeys[spot->storey];
    const hr_status status = check_id(r, spot->id, storey, line);
    if (status != HR_OK) {
        return status;
    }
    const size_t before = hr_names_find(list->ids, spot->id);
    if (before != SIZE_MAX) {
        const hr_storey *there = &r->b->storeys[list->items[before].spot.storey];
        return hr_fail(r->err, HR_ERR_INPUT, storey->plan->file, line,
                       "spot %s stands twice, on storey %s and on storey %s at %s:%d; names are unique in a property",
                       spot->id, storey->name, there->name, there->plan->file, list->items[before].line);
    }
    if (list->count == HR_MAX_SPOTS) {
        return hr_fail(r->err, HR_ERR_LIMIT, r->file, 0, "more spots than the limit of %zu", HR_MAX_SPOTS);
    }
    if (!HR_RESERVE(list->items, list->cap, list->count + 1) || !hr_names_add(list->ids, spot->id, list->count)) {
        return hr_fail_memory(r->err);
    }
    list->items[list->count++] = (found_spot){*spot, line};
    return HR_OK;
}

static hr_spot spot_at(const building_reader *r, uint32_t storey, hr_point at)
{
    const double mount_height_m = r->b->gateway_kind.radio.mount_height_m;
    return (hr_spot){.storey = storey,
                     .at = building_round_point(at),
                     .mount_height_m = mount_height_m,
                     .z_m = r->b->storeys[storey].elevation_m + mount_height_m};
}

static hr_status drawn_spots(building_reader *r, uint32_t storey, spot_list *list)
{
    const hr_storey *s = &r->b->storeys[storey];
    mark_numbers numbers = {0};
    hr_status status = HR_OK;
    for (size_t i = 0; i < s->plan->spot_count && status == HR_OK; i++) {
        const hr_mark *mark = &s->plan->spots[i];
        hr_spot spot = spot_at(r, storey, mark->at);
        spot.label = mark->value == NULL ? "" : mark->value;
        spot.id = mark_id(r, s, mark, "S", &numbers);
        if (spot.id != NULL && building_in_keep_out(s->plan, spot.at)) {
            hr_note(r->notes, s->plan->file, mark->source_line, "spot %s is left out: it stands in a keep-out",
                    spot.id);
            continue;
        }
        status = add_spot(r, list, &spot, mark->source_line);
    }
    free_numbers(&numbers);
    return status;
}

static hr_status generated_spots(building_reader *r, uint32_t storey, const hr_point *points, size_t count,
                                 spot_list *list)
{
    const hr_storey *s = &r->b->storeys[storey];
    hr_text tail = {0};
    (void)building_clean_id(s->name, &tail);
    hr_status status = tail.failed ? hr_fail_memory(r->err) : HR_OK;
    for (size_t i = 0; i < count && status == HR_OK; i++) {
        hr_spot spot = spot_at(r, storey, points[i]);
        if (building_in_keep_out(s->plan, spot.at)) {
            continue;
        }
        hr_text id = {0};
        hr_text_addf(&id, "S%zu@%s", i + 1, tail.bytes);
        spot.id = building_keep(r, &id);
        spot.label = "corridor";
        spot.generated = true;
        status = add_spot(r, list, &spot, 0);
    }
    hr_text_free(&tail);
    return status;
}

/* Generates each plan's spots once; storeys that share it follow one another in no fixed way. */
static hr_status generate(building_reader *r, uint32_t plan, spot_list *list)
{
    const hr_building *b = r->b;
    hr_point *points = NULL;
    size_t count = 0;
    hr_status status = hr_plan_generate_spots(b->plans[plan], b->gateway_kind.spot_spacing_m,
                                              b->gateway_kind.door_clearance_m, &points, &count, r->err);
    for (uint32_t i = 0; i < b->storey_count && status == HR_OK; i++) {
        if (b->storeys[i].plan_index == plan) {
            status = generated_spots(r, i, points, count, list);
        }
    }
    hr_free(points);
    return status;
}

static int compare_spots(const void *left, const void *right)
{
    const hr_spot *a = left, *b = right;
    if (a->storey != b->storey) {
        return a->storey < b->storey ? -1 : 1;
    }
    if (a->at.y < b->at.y || a->at.y > b->at.y) {
        return a->at.y < b->at.y ? -1 : 1;
    }
    if (a->at.x < b->at.x || a->at.x > b->at.x) {
        return a->at.x < b->at.x ? -1 : 1;
    }
    return strcmp(a->id, b->id);
}

static hr_status keep_spots(building_reader *r, const spot_list *list)
{
    hr_building *b = r->b;
    b->spots = hr_alloc(list->count, sizeof *b->spots);
    if (b->spots == NULL) {
        return hr_fail_memory(r->err);
    }
    for (size_t i = 0; i < list->count; i++) {
        b->spots[i] = list->items[i].spot;
    }
    b->spot_count = list->count;
    qsort(b->spots, b->spot_count, sizeof *b->spots, compare_spots);
    return HR_OK;
}

static hr_status all_spots(building_reader *r)
{
    const hr_building *b = r->b;
    spot_list list = {.ids = hr_names_new()};
    hr_status status = list.ids == NULL ? hr_fail_memory(r->err) : HR_OK;
    for (uint32_t i = 0; i < b->storey_count && status == HR_OK; i++) {
        status = drawn_spots(r, i, &list);
    }
    for (uint32_t i = 0; i < b->plan_count && status == HR_OK && !r->options.no_spots; i++) {
        if (b->plans[i]->spot_count == 0) {
            status = generate(r, i, &list);
        }
    }
    if (status == HR_OK) {
        status = keep_spots(r, &list);
    }
    hr_names_free(list.ids);
    hr_free(list.items);
    return status;
}

/* ---- gateways ---- */

static hr_status add_gateway(building_reader *r, uint32_t storey, const hr_mark *mark, const char *id, hr_names *ids,
                             size_t *cap)
{
    hr_building *b = r->b;
    const hr_storey *s = &b->storeys[storey];
    const hr_status status = check_id(r, id, s, mark->source_line);
    if (status != HR_OK) {
        return status;
    }
    const size_t before = hr_names_find(ids, id);
    if (before != SIZE_MAX) {
        return hr_fail(r->err, HR_ERR_INPUT, s->plan->file, mark->source_line,
                       "gateway %s stands twice, on storey %s and on storey %s; names are unique in a property", id,
                       s->name, b->storeys[b->gateways[before].storey].name);
    }
    if (b->gateway_count == HR_MAX_GATEWAYS) {
        return hr_fail(r->err, HR_ERR_LIMIT, r->file, 0, "more gateways than the limit of %zu", HR_MAX_GATEWAYS);
    }
    if (!HR_RESERVE(b->gateways, *cap, b->gateway_count + 1) || !hr_names_add(ids, id, b->gateway_count)) {
        return hr_fail_memory(r->err);
    }
    const double mount_height_m = b->gateway_kind.radio.mount_height_m;
    hr_gateway *gateway = &b->gateways[b->gateway_count++];
    *gateway = (hr_gateway){.id = id,
                            .storey = storey,
                            .at = building_round_point(mark->at),
                            .mount_height_m = mount_height_m,
                            .z_m = s->elevation_m + mount_height_m,
                            .existing = true};
    building_note_gateway(b, r->notes, s->plan->file, mark->source_line, b->gateways, b->gateway_count - 1);
    if (building_in_keep_out(s->plan, gateway->at)) {
        hr_note(r->notes, s->plan->file, mark->source_line, "gateway %s stands in a keep-out", id);
    }
    return HR_OK;
}

static hr_status marked_gateways(building_reader *r)
{
    const hr_building *b = r->b;
    hr_names *ids = hr_names_new();
    hr_status status = ids == NULL ? hr_fail_memory(r->err) : HR_OK;
    size_t cap = 0;
    for (uint32_t i = 0; i < b->storey_count && status == HR_OK; i++) {
        mark_numbers numbers = {0};
        const hr_plan *plan = b->storeys[i].plan;
        for (size_t k = 0; k < plan->gateway_count && status == HR_OK; k++) {
            const char *id = mark_id(r, &b->storeys[i], &plan->gateways[k], "GW", &numbers);
            status = add_gateway(r, i, &plan->gateways[k], id, ids, &cap);
        }
        free_numbers(&numbers);
    }
    hr_names_free(ids);
    return status;
}

hr_status building_place_spots(building_reader *r)
{
    const hr_status status = all_spots(r);
    return status == HR_OK ? marked_gateways(r) : status;
}
