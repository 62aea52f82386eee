/*
 * estimate.c - the draws, and what comes of them.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_priv.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Shadowing holds material error; without it 5.8 dB becomes 4.0 dB. */
#define WITHOUT_MATERIALS (4.0 / 5.8)

bool estimate_progress(const estimate_run *run, const char *stage, uint64_t done, uint64_t total)
{
    return run->options->progress == NULL || run->options->progress(run->options->user, stage, done, total);
}

hr_status estimate_interrupted(hr_error *err)
{
    return hr_fail(err, HR_ERR_INTERRUPTED, NULL, 0, "interrupted while estimating");
}

const char *estimate_words(estimate_run *run, const char *fmt, ...)
{
    char text[400];
    va_list args;
    va_start(args, fmt);
    (void)vsnprintf(text, sizeof text, fmt, args);
    va_end(args);
    return hr_arena_strdup(run->out->arena, text);
}

void hr_estimate_free(hr_estimate *estimate)
{
    if (estimate != NULL) {
        hr_free(estimate->counts);
        hr_free(estimate->holds);
        hr_free(estimate->drivers);
        hr_free(estimate->lines);
        hr_free(estimate->defaults);
        hr_arena_free(estimate->arena);
        hr_free(estimate);
    }
}

/* ---- start ---- */

/* What is not known here, and is not said to have no spread. */
static void find_unknowns(estimate_run *run)
{
    const hr_estimate_keys *keys = run->keys;
    const hr_building *b = run->building;
    const bool site = b->radio.model == HR_MODEL_SITE_GENERAL; /* walls and slabs are in its row */
    bool any_default = false;
    for (size_t i = 0; i < b->device_count; i++) {
        any_default = any_default || !b->devices[i].drawn;
    }
    run->drawn[ESTIMATE_WALLS] = keys->wall_spread > 0.0 && !site;
    run->drawn[ESTIMATE_SLAB] =
        keys->slab_spread > 0.0 && !site && b->storey_count > 1 && !isfinite(b->fitted.floor_loss_db);
    run->drawn[ESTIMATE_EXPONENT] = keys->exponent_spread > 0.0 && !isfinite(b->fitted.exponent);
    run->drawn[ESTIMATE_PLACES] = keys->place_spread_m > 0.0 && any_default;
    run->drawn[ESTIMATE_NETWORK] = keys->spot_loss > 0.0 || keys->detour_spread > 0.0;
    run->drawn[ESTIMATE_SIZE] =
        keys->size_spread > 0.0 && run->options->numbers != NULL && !run->options->numbers->said_size;
    for (size_t u = 0; u < ESTIMATE_UNKNOWNS; u++) {
        run->any_drawn = run->any_drawn || run->drawn[u];
    }
}

static void find_sigma(estimate_run *run)
{
    const hr_radio *radio = &run->building->radio;
    run->sigma_db = hr_links_sigma_db(run->links);
    if (radio->model != HR_MODEL_SITE_GENERAL && (run->drawn[ESTIMATE_WALLS] || run->drawn[ESTIMATE_SLAB])) {
        /* a fit's figure is what is left beside the materials it found */
        const bool own = isfinite(run->building->fitted.shadowing_db) || !run->drawn[ESTIMATE_WALLS] || radio->count_spreads;
        const double shadowing_db = radio->shadowing_db * (own ? 1.0 : WITHOUT_MATERIALS);
        run->sigma_db = sqrt(shadowing_db * shadowing_db + radio->time_variation_db * radio->time_variation_db);
    }
    run->required_db =
        fmax(hr_stats_normal_quantile(radio->target_reliability) * run->sigma_db, radio->minimum_margin_db);
}

static void find_roles(estimate_run *run)
{
    run->party = run->corridor = HR_PLAN_NONE;
    const hr_estimate_numbers *numbers = run->options->numbers;
    if (numbers == NULL || numbers->said_walls) {
        return;
    }
    const estimate_class *nominal = &estimate_classes[estimate_class_nominal(numbers->year)];
    run->party = (uint32_t)hr_materials_find(run->building->materials, nominal->party);
    run->corridor = (uint32_t)hr_materials_find(run->building->materials, nominal->corridor);
}

static bool allocate(estimate_run *run)
{
    const hr_building *b = run->building;
    const size_t cells = run->site_count * run->row_count;
    run->spare = hr_alloc(cells, sizeof *run->spare);
    run->sites = hr_alloc(run->site_count, sizeof *run->sites);
    run->chosen = hr_alloc(run->site_count, sizeof *run->chosen);
    run->moved = hr_alloc(run->site_count, sizeof *run->moved);
    run->join = hr_alloc(run->row_count, sizeof *run->join);
    run->device_share = hr_alloc(b->device_count, sizeof *run->device_share);
    run->room_share = hr_alloc(b->room_count, sizeof *run->room_share);
    run->draw.variant = hr_alloc_zero(run->row_count, 1);
    run->draw.blocked = hr_alloc_zero(run->site_count, 1);
    run->draw.part_db = hr_alloc_zero(run->part_count, sizeof *run->draw.part_db);
    run->material_count = hr_materials_count(b->materials);
    run->z = hr_alloc_zero(run->material_count, 4 * sizeof *run->z);
    return run->spare != NULL && run->sites != NULL && run->chosen != NULL && run->moved != NULL &&
           run->join != NULL && run->device_share != NULL && run->room_share != NULL && run->draw.variant != NULL &&
           run->draw.blocked != NULL && run->draw.part_db != NULL && run->z != NULL;
}

static hr_status start(estimate_run *run)
{
    hr_status status = hr_siting_study_new(run->building, NULL, run->notes, &run->study, run->err);
    if (status != HR_OK) {
        return status;
    }
    run->links = hr_siting_study_links_of(run->study);
    run->rows = hr_siting_study_rows(run->study, &run->row_count);
    run->site_count = hr_siting_study_site_count(run->study);
    find_unknowns(run);
    find_sigma(run);
    find_roles(run);
    status = estimate_list_parts(run);
    if (status == HR_OK && !allocate(run)) {
        status = hr_fail_memory(run->err);
    }
    for (size_t s = 0; status == HR_OK && s < run->site_count; s++) {
        run->sites[s] = hr_siting_study_site(run->study, s);
    }
    if (status == HR_OK) {
        status = estimate_find_pairs(run);
    }
    if (status == HR_OK) {
        run->joined_db = hr_alloc_zero(run->joined.count, sizeof *run->joined_db);
        status = run->joined_db == NULL ? hr_fail_memory(run->err) : HR_OK;
    }
    return status;
}

static void finish(estimate_run *run)
{
    hr_siting_study_free(run->study);
    hr_free(run->parts);
    hr_free(run->part_base);
    hr_free(run->terms);
    hr_free(run->direct.items);
    hr_free(run->mesh.items);
    hr_free(run->joined.items);
    hr_free(run->link_start);
    hr_free(run->link_peer);
    hr_free(run->link_pair);
    hr_free(run->places);
    hr_free(run->sites);
    hr_free(run->spare);
    hr_free(run->link_spare);
    hr_free(run->joined_db);
    hr_free(run->join);
    hr_free(run->room_share);
    hr_free(run->device_share);
    hr_free(run->z);
    hr_free(run->moved);
    hr_free(run->chosen);
    hr_free(run->draw.part_db);
    hr_free(run->draw.variant);
    hr_free(run->draw.blocked);
}

/* ---- draws ---- */

/* One draw: its count, and how each set of gateways fares in it. */
static hr_status run_draw(estimate_run *run, size_t number, estimate_sets *sets, double *scalars, size_t *unreached)
{
    hr_estimate *out = run->out;
    hr_status status = estimate_make_draw(run, number, ~0U);
    for (unsigned u = 0; status == HR_OK && u < ESTIMATE_UNKNOWNS; u++) {
        scalars[number * ESTIMATE_UNKNOWNS + u] = estimate_scalar(run, (estimate_unknown)u);
    }
    if (status == HR_OK) {
        status = estimate_weigh(run);
    }
    if (status == HR_OK && !run->draw.nominal) {
        status = hr_siting_study_place(run->study, 0, ESTIMATE_DRAW_EFFORT, run->chosen, &out->counts[number], NULL,
                                       run->err);
        *unreached += estimate_unreached(run) > 0;
    } else if (status == HR_OK) {
        out->counts[number] = out->nominal; /* nothing is drawn: as `place` counts, with all of its effort */
        *unreached += out->unreached_nominal > 0;
    }
    for (size_t k = 0; status == HR_OK && k < sets->count; k++) {
        double failing;
        status = estimate_judge(run, sets->sites[k], sets->low + k, &sets->shares[number * sets->count + k], &failing);
        sets->failing[k] += failing;
    }
    return status;
}

static hr_status run_draws(estimate_run *run, estimate_sets *sets, double *scalars)
{
    hr_estimate *out = run->out;
    size_t unreached = 0;
    for (size_t i = 0; i < out->draws; i++) {
        const hr_status status = run_draw(run, i, sets, scalars, &unreached);
        if (status != HR_OK) {
            return status;
        }
        if (!estimate_progress(run, "drawing buildings", i + 1, out->draws)) {
            return estimate_interrupted(run->err);
        }
    }
    out->unreached_share = (double)unreached / (double)out->draws;
    return HR_OK;
}

/* The smallest count that occurred and is not below GSL's quantile. */
static size_t quantile(const double *sorted, size_t count, double p)
{
    const double value = hr_stats_quantile_sorted(sorted, count, p);
    size_t i = 0;
    while (i + 1 < count && sorted[i] < value - 1e-9) {
        i++;
    }
    return (size_t)sorted[i];
}

static int compare_numbers(const void *left, const void *right)
{
    const double *a = left, *b = right;
    return (*a > *b) - (*a < *b);
}

static hr_status take_quantiles(estimate_run *run)
{
    hr_estimate *out = run->out;
    double *sorted = hr_alloc(out->draws, sizeof *sorted), sum = 0.0, squares = 0.0;
    if (sorted == NULL) {
        return hr_fail_memory(run->err);
    }
    for (size_t i = 0; i < out->draws; i++) {
        sorted[i] = (double)out->counts[i];
        sum += sorted[i];
    }
    const double n = (double)out->draws;
    out->mean = sum / n;
    for (size_t i = 0; i < out->draws; i++) {
        squares += (sorted[i] - out->mean) * (sorted[i] - out->mean);
    }
    out->mean_error = out->draws > 1 ? sqrt(squares / (n - 1.0) / n) : (run->any_drawn ? (double)NAN : 0.0);
    qsort(sorted, out->draws, sizeof *sorted, compare_numbers);
    out->p10 = quantile(sorted, out->draws, 0.1);
    out->p50 = quantile(sorted, out->draws, 0.5);
    out->p90 = quantile(sorted, out->draws, 0.9);
    hr_free(sorted);
    return HR_OK;
}

/* Room for the last bit of a share of rooms. */
#define SHARE_SLACK 1e-9

static hr_status take_holds(estimate_run *run, const estimate_sets *sets)
{
    hr_estimate *out = run->out;
    out->holds = hr_alloc(sets->count, sizeof *out->holds);
    if (out->holds == NULL) {
        return hr_fail_memory(run->err);
    }
    const double n = (double)out->draws;
    for (size_t k = 0; k < sets->count; k++) {
        size_t good = 0;
        for (size_t i = 0; i < out->draws; i++) {
            good += sets->shares[i * sets->count + k] >= out->served_share - SHARE_SLACK;
        }
        const double share = (double)good / n;
        out->holds[k] = (hr_estimate_holds){.gateways = sets->low + k,
                                            .share = share,
                                            .error = sqrt(share * (1.0 - share) / n),
                                            .expected_failing_rooms = sets->failing[k] / n};
        if (out->quote == 0 && share >= out->confidence - SHARE_SLACK) {
            out->quote = sets->low + k;
        }
    }
    out->holds_count = sets->count;
    return HR_OK;
}

static hr_status count_nominal(estimate_run *run)
{
    hr_estimate *out = run->out;
    estimate_nominal_draw(run);
    hr_status status = estimate_weigh(run);
    out->unreached_nominal = status == HR_OK ? estimate_unreached(run) : 0;
    if (status == HR_OK) {
        status = hr_siting_study_place(run->study, 0, 0, run->chosen, &out->nominal, &out->nominal_proved, run->err);
    }
    if (status == HR_OK && out->nominal == 0) {
        status = hr_fail(run->err, HR_ERR_INPUT, run->building->file, 0,
                         "no spot reaches any device: `hallreach place` says of each why");
    }
    return status;
}

static hr_status run_all(estimate_run *run, estimate_sets *sets)
{
    hr_estimate *out = run->out;
    double *scalars = hr_alloc(out->draws, ESTIMATE_UNKNOWNS * sizeof *scalars);
    out->counts = hr_alloc_zero(out->draws, sizeof *out->counts);
    hr_status status = scalars == NULL || out->counts == NULL ? hr_fail_memory(run->err) : count_nominal(run);
    if (status == HR_OK) {
        status = estimate_make_sets(run, sets);
    }
    if (status == HR_OK) {
        status = run_draws(run, sets, scalars);
    }
    if (status == HR_OK) {
        status = take_quantiles(run);
    }
    if (status == HR_OK) {
        status = take_holds(run, sets);
    }
    if (status == HR_OK && !run->options->brief) {
        status = estimate_find_drivers(run, scalars);
    }
    if (status == HR_OK && !run->options->brief) {
        status = estimate_count_slabs(run);
    }
    hr_free(scalars);
    return status;
}

/* Several buildings are alike: what holds for one holds for each. */
static void times_buildings(hr_estimate *out)
{
    const size_t n = out->buildings;
    size_t *const figures[] = {&out->p10, &out->p50, &out->p90, &out->nominal, &out->quote, &out->p1238, &out->rooms,
                               &out->devices};
    for (size_t i = 0; i < sizeof figures / sizeof figures[0]; i++) {
        *figures[i] *= n;
    }
    for (size_t i = 0; i < out->draws; i++) {
        out->counts[i] *= n;
    }
    for (size_t i = 0; i < out->holds_count; i++) {
        out->holds[i].gateways *= n;
        out->holds[i].expected_failing_rooms *= (double)n;
    }
    for (size_t i = 0; i < out->driver_count; i++) {
        out->drivers[i].low *= n;
        out->drivers[i].high *= n;
        for (size_t k = 0; k < out->drivers[i].case_count; k++) {
            out->drivers[i].cases[k].gateways *= n;
        }
    }
    for (size_t i = 0; i < out->slab_count; i++) {
        out->slabs[i].gateways *= n;
        out->slabs[i].unreached *= n;
    }
    out->mean *= (double)n;
    out->mean_error *= (double)n;
    out->p1238_unreached *= n;
    out->unreached_nominal *= n;
}

static hr_estimate *new_answer(const hr_building *b, const hr_estimate_options *options)
{
    hr_estimate *out = hr_alloc_zero(1, sizeof *out);
    if (out == NULL) {
        return NULL;
    }
    out->arena = hr_arena_new();
    out->name = out->arena != NULL ? hr_arena_strdup(out->arena, b->name) : NULL;
    if (out->name == NULL) {
        hr_estimate_free(out);
        return NULL;
    }
    out->from_numbers = options->numbers != NULL;
    out->rooms = b->room_count;
    out->devices = b->device_count;
    out->buildings = options->numbers != NULL ? (size_t)options->numbers->buildings : 1;
    out->rooms_said = options->numbers != NULL && options->numbers->rooms > 0 ? (size_t)options->numbers->rooms
                                                                              : out->rooms * out->buildings;
    out->draws = (size_t)b->estimate.draws;
    out->seed = (uint64_t)b->estimate.seed;
    out->confidence = b->estimate.confidence;
    out->served_share = b->estimate.served_share;
    return out;
}

hr_status hr_estimate_make(hr_building *building, const hr_estimate_options *options, hr_notes *notes,
                           hr_estimate **estimate, hr_error *err)
{
    static const hr_estimate_options defaults = {0};
    estimate_run run = {.building = building,
                        .options = options != NULL ? options : &defaults,
                        .keys = &building->estimate,
                        .notes = notes,
                        .err = err};
    estimate_sets sets = {0};
    run.out = new_answer(building, run.options);
    hr_status status = run.out == NULL ? hr_fail_memory(err) : start(&run);
    if (status == HR_OK) {
        status = run_all(&run, &sets);
    }
    if (status == HR_OK && !run.options->brief) {
        status = estimate_cross_check(&run);
    }
    if (status == HR_OK) {
        times_buildings(run.out);
        status = estimate_write_sheet(&run, &sets);
    }
    if (status == HR_OK) {
        status = estimate_list_defaults(&run);
    }
    estimate_free_sets(&sets);
    finish(&run);
    if (status != HR_OK) {
        hr_estimate_free(run.out);
        return status;
    }
    *estimate = run.out;
    return HR_OK;
}
