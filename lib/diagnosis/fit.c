/*
 * fit.c - readings turned into terms: one offset, the exponent, every material
 * crossed, one slab, gateways that read more or less than the others.
 *
 * SPDX-License-Identifier: MIT
 */
#include "fit_priv.h"

#include <math.h>

/* What is expected before any reading; assumed. Materials and slabs have the spreads of their table. */
#define OFFSET_SPREAD_DB 6.0
#define EXPONENT_SPREAD 0.5
#define EXPONENT_LOW 1.0
#define EXPONENT_HIGH 6.0
#define GATEWAY_SPREAD_DB 2.0
#define OFFSET_MAX_DB 100.0
#define LOSS_MAX_DB 200.0
#define SPREAD_MIN_DB 0.5
/* Places apart that a gateway is read from before it gets a term of its own: as many as readings before walls are
 * blamed; assumed. */
#define GATEWAY_PLACES 5

enum { TERM_OFFSET = 0, TERM_EXPONENT, TERM_FLOOR, TERM_FIRST };

#define NO_TERM UINT32_MAX

typedef struct fitter {
    const hr_readings *readings;
    const hr_links *links;
    const hr_building *b;
    hr_calibration_term *terms;
    size_t term_count;
    uint32_t *of_material, *of_gateway; /* term, or NO_TERM */
    hr_calibration_reading *rows; /* beside the readings */
    uint32_t *link_of;            /* reading -> link: what was fitted */
    size_t link_count;
    hr_calibration_hit *hits; /* of all rows, one after another */
    size_t hit_count, hit_cap;
    size_t *first_hit;
    bool has_floor;
    double before_square;
    hr_fit *out;
    hr_error *err;
} fitter;

void hr_fit_free(hr_fit *fit)
{
    if (fit != NULL) {
        hr_arena_free(fit->arena);
        hr_free(fit);
    }
}

static bool add_hit(fitter *f, uint32_t term, double share)
{
    if (!HR_RESERVE(f->hits, f->hit_cap, f->hit_count + 1)) {
        return false;
    }
    f->hits[f->hit_count++] = (hr_calibration_hit){term, share};
    return true;
}

static hr_material_use use_of(hr_item_kind kind)
{
    return kind == HR_ITEM_OPENING ? HR_USE_OPENING : HR_USE_WALL;
}

static uint32_t new_term(fitter *f, double prior, double spread, bool saturates)
{
    f->terms[f->term_count] = (hr_calibration_term){prior, fmax(spread, SPREAD_MIN_DB), 0.0, LOSS_MAX_DB, saturates};
    return (uint32_t)f->term_count++;
}

static bool add_item(fitter *f, const hr_item *item)
{
    if (!(item->loss_db > 0.0) || item->kind == HR_ITEM_METAL) {
        return true; /* metal keeps its loss: what goes round it is not one figure */
    }
    const double share = -item->loss_db / item->table_db;
    if (item->kind == HR_ITEM_FLOOR) {
        if (!f->has_floor) {
            f->has_floor = true;
            f->terms[TERM_FLOOR].prior = item->table_db;
            f->terms[TERM_FLOOR].spread =
                fmax(hr_materials_spread_db(f->b->materials, item->material, HR_USE_FLOOR), SPREAD_MIN_DB);
        }
        return add_hit(f, TERM_FLOOR, share);
    }
    if (f->of_material[item->material] == NO_TERM) {
        f->of_material[item->material] = new_term(
            f, item->table_db, hr_materials_spread_db(f->b->materials, item->material, use_of(item->kind)), true);
    }
    return add_hit(f, f->of_material[item->material], share);
}

static bool add_gateway(fitter *f, uint32_t gateway)
{
    return gateway == HR_READINGS_NONE || f->of_gateway[gateway] == NO_TERM ||
           add_hit(f, f->of_gateway[gateway], 1.0);
}

/* One reading: its level less what is not fitted, and what it crosses. */
static hr_status add_row(fitter *f, hr_link_work *work, size_t index)
{
    const hr_reading *r = &f->readings->items[index];
    hr_link link;
    double predicted_dbm = 0.0;
    const hr_status status = hr_readings_predict(f->readings, f->links, work, index, &link, &predicted_dbm, f->err);
    if (status != HR_OK) {
        return status;
    }
    const double at_1_m_db = hr_links_spread_loss_db(f->links, 1.0);
    const double fixed_dbm =
        predicted_dbm + link.spread_loss_db - at_1_m_db + link.wall_loss_db + link.floor_loss_db;
    f->first_hit[index] = f->hit_count;
    bool good = add_hit(f, TERM_OFFSET, 1.0) &&
                add_hit(f, TERM_EXPONENT, -10.0 * log10(fmax(link.distance_m, 1.0))) &&
                add_gateway(f, r->from.gateway) && add_gateway(f, r->to.gateway);
    for (size_t i = 0; good && i < work->item_count; i++) {
        good = add_item(f, &work->items[i]);
    }
    f->rows[index] = (hr_calibration_reading){.level_db = (r->heard ? r->rssi_dbm : r->threshold_dbm) - fixed_dbm,
                                              .heard = r->heard,
                                              .hit_count = f->hit_count - f->first_hit[index]};
    if (r->heard) {
        f->before_square += (r->rssi_dbm - predicted_dbm) * (r->rssi_dbm - predicted_dbm);
    }
    return good ? HR_OK : hr_fail_memory(f->err);
}

/* Gateways read from places enough, when there are two or more of them to compare. */
static void gateway_terms(fitter *f, const size_t *places)
{
    size_t enough = 0;
    for (size_t g = 0; g < f->b->gateway_count; g++) {
        enough += places[g] >= GATEWAY_PLACES;
    }
    for (size_t g = 0; enough >= 2 && g < f->b->gateway_count; g++) {
        if (places[g] >= GATEWAY_PLACES) {
            f->of_gateway[g] = (uint32_t)f->term_count;
            f->terms[f->term_count++] =
                (hr_calibration_term){0.0, GATEWAY_SPREAD_DB, -OFFSET_MAX_DB, OFFSET_MAX_DB, false};
        }
    }
}

static hr_status prepare(fitter *f)
{
    const size_t materials = hr_materials_count(f->b->materials), gateways = f->b->gateway_count;
    hr_arena *arena = f->out->arena = hr_arena_new();
    if (arena == NULL) {
        return hr_fail_memory(f->err);
    }
    const size_t n = f->readings->count;
    f->terms = hr_arena_alloc(arena, TERM_FIRST + materials + gateways, sizeof *f->terms);
    f->of_material = hr_arena_alloc(arena, materials + 1, sizeof *f->of_material);
    f->of_gateway = hr_arena_alloc(arena, gateways + 1, sizeof *f->of_gateway);
    f->rows = hr_arena_alloc(arena, n + 1, sizeof *f->rows);
    f->first_hit = hr_arena_alloc(arena, n + 1, sizeof *f->first_hit);
    f->link_of = hr_arena_alloc(arena, n + 1, sizeof *f->link_of);
    size_t *places = hr_arena_alloc(arena, gateways + 1, sizeof *places);
    if (f->terms == NULL || f->of_material == NULL || f->of_gateway == NULL || f->rows == NULL ||
        f->first_hit == NULL || f->link_of == NULL || places == NULL) {
        return hr_fail_memory(f->err);
    }
    for (size_t i = 0; i < materials; i++) {
        f->of_material[i] = NO_TERM;
    }
    for (size_t i = 0; i < gateways; i++) {
        f->of_gateway[i] = NO_TERM;
    }
    f->terms[TERM_OFFSET] = (hr_calibration_term){0.0, OFFSET_SPREAD_DB, -OFFSET_MAX_DB, OFFSET_MAX_DB, false};
    f->terms[TERM_EXPONENT] =
        (hr_calibration_term){f->b->radio.exponent, EXPONENT_SPREAD, EXPONENT_LOW, EXPONENT_HIGH, false};
    f->terms[TERM_FLOOR] = (hr_calibration_term){0.0, SPREAD_MIN_DB, 0.0, LOSS_MAX_DB, false};
    f->term_count = TERM_FIRST;
    const hr_status status = fit_count_places(f->readings, GATEWAY_PLACES, places, f->err);
    if (status == HR_OK) {
        gateway_terms(f, places);
    }
    return status;
}

static void take_items(fitter *f, const hr_calibration *c, const uint32_t *of, size_t count, bool gateways,
                       hr_fit_item *items, size_t *kept)
{
    for (size_t i = 0; i < count; i++) {
        if (of[i] == NO_TERM) {
            continue;
        }
        const hr_calibration_term *term = &f->terms[of[i]];
        items[(*kept)++] =
            (hr_fit_item){.index = (uint32_t)i,
                          .name = gateways ? f->b->gateways[i].id : hr_materials_get(f->b->materials, i)->name,
                          .prior = term->prior,
                          .prior_spread = term->spread,
                          .estimate = c->terms[of[i]]};
    }
}

static void take_outliers(fitter *f, const hr_calibration *c)
{
    double square = 0.0;
    for (size_t i = 0; i < f->readings->count; i++) {
        const uint32_t link = f->link_of[i];
        const double left = f->rows[i].level_db - c->fitted_db[link];
        square += f->rows[i].heard ? left * left : 0.0;
        if (c->outlier[link] >= 0.5) {
            f->out->outliers[f->out->outlier_count++] = (hr_fit_outlier){(uint32_t)i, left, c->outlier[link]};
        }
    }
    const double heard = (double)f->readings->heard;
    f->out->rmse_db = heard > 0.0 ? sqrt(square / heard) : (double)NAN;
    f->out->rmse_before_db = heard > 0.0 ? sqrt(f->before_square / heard) : (double)NAN;
}

static hr_status take_result(fitter *f, const hr_calibration *c, const hr_calibration_options *o)
{
    hr_fit *out = f->out;
    const size_t materials = hr_materials_count(f->b->materials), gateways = f->b->gateway_count;
    out->materials = hr_arena_alloc(out->arena, materials + 1, sizeof *out->materials);
    out->gateways = hr_arena_alloc(out->arena, gateways + 1, sizeof *out->gateways);
    out->outliers = hr_arena_alloc(out->arena, f->readings->count + 1, sizeof *out->outliers);
    if (out->materials == NULL || out->gateways == NULL || out->outliers == NULL) {
        return hr_fail_memory(f->err);
    }
    out->confidence = o->confidence;
    out->links = f->link_count;
    out->offset = c->terms[TERM_OFFSET];
    out->exponent = c->terms[TERM_EXPONENT];
    out->floor = c->terms[TERM_FLOOR];
    out->has_floor = f->has_floor;
    out->offset_prior_spread_db = OFFSET_SPREAD_DB;
    out->exponent_prior = f->b->radio.exponent;
    out->exponent_prior_spread = EXPONENT_SPREAD;
    out->floor_prior_db = f->terms[TERM_FLOOR].prior;
    out->floor_prior_spread_db = f->terms[TERM_FLOOR].spread;
    out->sigma_db = c->sigma_db;
    out->rank = c->rank;
    out->terms = f->term_count - !f->has_floor;
    out->condition = c->condition;
    take_items(f, c, f->of_material, materials, false, out->materials, &out->material_count);
    take_items(f, c, f->of_gateway, gateways, true, out->gateways, &out->gateway_count);
    take_outliers(f, c);
    return HR_OK;
}

static hr_status run(fitter *f)
{
    hr_link_work work = {0};
    hr_status status = prepare(f);
    for (size_t i = 0; status == HR_OK && i < f->readings->count; i++) {
        status = add_row(f, &work, i);
    }
    hr_links_work_free(&work);
    if (status != HR_OK) {
        return status;
    }
    for (size_t i = 0; i < f->readings->count; i++) { /* the hits have stopped moving */
        f->rows[i].hits = f->hits + f->first_hit[i];
    }
    hr_calibration_options options = hr_calibration_defaults();
    options.sigma_db = f->b->radio.shadowing_db;
    options.wall_saturation = f->b->radio.wall_saturation;
    hr_calibration *c = NULL;
    hr_calibration_reading *merged = hr_alloc(f->readings->count, sizeof *merged);
    status = merged == NULL ? hr_fail_memory(f->err) : hr_readings_links(f->readings, f->link_of, &f->link_count, f->err);
    if (status == HR_OK) {
        status = fit_merge(f->rows, f->readings->count, f->link_of, f->link_count, merged, f->err);
    }
    if (status == HR_OK) {
        status = hr_calibration_fit(f->terms, f->term_count, merged, f->link_count, &options, &c, f->err);
    }
    hr_free(merged);
    if (status == HR_OK) {
        status = take_result(f, c, &options);
    }
    hr_calibration_free(c);
    return status;
}

hr_status hr_diagnosis_fit(const hr_readings *readings, const hr_links *links, hr_fit **fit, hr_error *err)
{
    const hr_building *b = readings->building;
    if (b->radio.model != HR_MODEL_MULTI_WALL) {
        return hr_fail(err, HR_ERR_UNAVAILABLE, b->file, 0,
                       "model = %s: a fit is available for multi-wall; --set radio.model=multi-wall was expected",
                       hr_building_model_name((hr_model)b->radio.model));
    }
    if (readings->count == 0) {
        return hr_fail(err, HR_ERR_INPUT, readings->file, 0, "no row could be used: at least one reading was expected");
    }
    fitter f = {.readings = readings, .links = links, .b = b, .err = err};
    f.out = hr_alloc_zero(1, sizeof *f.out);
    if (f.out == NULL) {
        return hr_fail_memory(err);
    }
    f.out->readings = readings;
    const hr_status status = run(&f);
    hr_free(f.hits);
    if (status != HR_OK) {
        hr_fit_free(f.out);
        return status;
    }
    *fit = f.out;
    return HR_OK;
}
