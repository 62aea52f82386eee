/*
 * outline.c - from a request to plans and a property file.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_priv.h"

#include <math.h>
#include <string.h>

#define BATH_W 2000L
#define BATH_W_MIN 1200L
#define BATH_D 2350L
#define BATH_D_SHORT 2150L
#define SHORT_ROOM 5800L
/* Between bath and party wall: door leaf, both jambs and a place for the room control. */
#define ENTRY_MIN 1200L
#define CLOSET_MIN 1500L

static long millimetres(const hr_outline_request *request, const char *option)
{
    return lround(hr_units_to_metres(outline_length(request, option), request->length_unit) * 1000.0);
}

/* What a storey gets when nothing is said: assumed. */
static void count_services(const hr_outline_request *q, outline_sizes *z)
{
    const bool flat = q->storeys == 1;
    const long all = q->rooms_per_storey * q->storeys;
    z->lifts = q->lifts != HR_OUTLINE_AUTO ? q->lifts : flat ? 0 : all <= 60 ? 1 : 2;
    /* no leg is to end without stairs; a corridor round a court has no end */
    const bool legs = q->shape == HR_OUTLINE_L || q->shape == HR_OUTLINE_U || q->shape == HR_OUTLINE_T;
    z->stairs = q->stairs != HR_OUTLINE_AUTO ? q->stairs : flat ? 0 : legs ? 3 : 2;
    z->closets = q->closets != HR_OUTLINE_AUTO ? q->closets : q->rooms_per_storey > 60 ? 2 : 1;
    const long fit = (z->across - OUTLINE_HALF_OUTER) / OUTLINE_LIFT;
    z->lift_rows = z->lifts < fit ? z->lifts : fit;
    z->closet_in_core = z->lifts > 0 && z->closets > 0 &&
                        z->across - z->lift_rows * OUTLINE_LIFT - OUTLINE_HALF_OUTER - OUTLINE_HALF_PARTY >= CLOSET_MIN;
}

static hr_status size_baths(const hr_outline_request *q, outline_sizes *z, hr_error *err)
{
    const long walls = OUTLINE_HALF_OUTER + 2 * OUTLINE_HALF_TILE + OUTLINE_HALF_OUTER;
    if (!q->baths) {
        return HR_OK;
    }
    const long left = z->bay - walls - ENTRY_MIN;
    if (left < BATH_W_MIN) {
        char least[HR_FIXED_MAX];
        const double least_m = (double)(walls + ENTRY_MIN + BATH_W_MIN) / 1000.0;
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0,
                       "bay: a bath and the way past it take %s %s at least; a wider bay or baths = no was expected",
                       hr_short(hr_units_from_metres(least_m, q->length_unit), 2, least),
                       hr_units_length_name(q->length_unit));
    }
    z->bath_w = left < BATH_W ? left : BATH_W;
    z->bath_d = z->depth < SHORT_ROOM ? BATH_D_SHORT : BATH_D;
    return HR_OK;
}

hr_status outline_derive(const hr_outline_request *request, outline_sizes *z, hr_error *err)
{
    hr_status status = outline_check(request, err);
    if (status != HR_OK) {
        return status;
    }
    *z = (outline_sizes){.request = request, .shape = request->shape, .exterior = request->exterior_corridors};
    z->bay = millimetres(request, "bay");
    z->depth = millimetres(request, "depth");
    z->corridor = millimetres(request, "corridor");
    z->half_corridor = z->exterior ? OUTLINE_HALF_OUTER : OUTLINE_HALF_CORRIDOR;
    z->across = z->depth + z->half_corridor + OUTLINE_HALF_OUTER;
    z->between = z->corridor + 2 * z->half_corridor;
    count_services(request, z);
    if (z->lifts > 2 * z->lift_rows) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "lifts: %ld fit in a core of this depth, %ld were asked for",
                       2 * z->lift_rows, z->lifts);
    }
    return size_baths(request, z, err);
}

/* The stem stands in the property file and there `#` would name a layer. */
static hr_status check_stem(const char *stem, hr_error *err)
{
    const size_t len = strlen(stem);
    bool fine = len > 0 && len <= 100 && stem[0] != ' ' && stem[len - 1] != ' ';
    for (size_t i = 0; i < len && fine; i++) {
        fine = (unsigned char)stem[i] >= 0x20 && strchr("#;\"/\\%", stem[i]) == NULL;
    }
    return fine
               ? HR_OK
               : hr_fail(err, HR_ERR_ARGUMENT, NULL, 0,
                         "output: a file name of up to 100 bytes without # ; %% and quotes was expected, not %s", stem);
}

static void free_drawing(outline_drawing *d)
{
    for (size_t i = 0; i < OUTLINE_LAYERS; i++) {
        hr_text_free(&d->layers[i]);
    }
    hr_free(d->walls);
    hr_free(d->breaks);
    hr_free(d->merged);
}

static void draw_cells(outline_drawing *d)
{
    for (size_t i = 0; i < d->layout->strip_count; i++) {
        const outline_strip *strip = &d->layout->strips[i];
        for (size_t k = 0; k < strip->cell_count; k++) {
            if (strip->cells[k].kind == OUTLINE_ROOM) {
                outline_draw_room(d, strip, &strip->cells[k]);
            } else {
                outline_draw_service(d, strip, &strip->cells[k]);
            }
        }
    }
}

static hr_status draw_plan(const outline_layout *layout, bool lowest, const char *stem, const char *name,
                           hr_outline_plan *plan, hr_error *err)
{
    const hr_outline_request *q = layout->z->request;
    outline_drawing d = {.z = layout->z, .layout = layout, .lowest = lowest};
    d.label_width = outline_last_number(layout) > 99 ? 3 : 1;
    hr_text words = {0}, file = {0};
    outline_storey_words(q, lowest, " to ", &words);
    hr_text_addf(&file, "%s-", stem);
    outline_storey_words(q, lowest, "-", &file);
    hr_text_add(&file, ".svg");
    draw_cells(&d);
    outline_sheet(&d, name, words.failed ? "" : words.bytes, &plan->svg);
    plan->file = file.failed ? NULL : hr_strdup(file.bytes);
    const bool failed = d.failed || words.failed || plan->file == NULL || plan->svg.failed;
    free_drawing(&d);
    hr_text_free(&words);
    hr_text_free(&file);
    return failed ? hr_fail_memory(err) : HR_OK;
}

static hr_status make(const outline_layout *layout, const char *stem, hr_outline *outline, hr_error *err)
{
    const hr_outline_request *q = layout->z->request;
    const char *name = q->name[0] != '\0' ? q->name : stem;
    const size_t plans = q->storeys > 1 ? 2 : 1;
    for (size_t i = 0; i < plans; i++) {
        const hr_status status = draw_plan(layout, i == 0, stem, name, &outline->plans[i], err);
        outline->plan_count = i + 1;
        if (status != HR_OK) {
            return status;
        }
    }
    outline->rooms = (size_t)(q->rooms_per_storey * q->storeys);
    outline_property(layout->z, outline, name, &outline->property);
    return outline->property.failed ? hr_fail_memory(err) : HR_OK;
}

hr_status hr_outline_make(const hr_outline_request *request, const char *stem, hr_outline **outline, hr_error *err)
{
    outline_sizes z;
    hr_status status = outline_derive(request, &z, err);
    if (status == HR_OK) {
        status = check_stem(stem, err);
    }
    if (status != HR_OK) {
        return status;
    }
    outline_layout *layout = hr_alloc_zero(1, sizeof *layout);
    hr_outline *made = hr_alloc_zero(1, sizeof *made);
    status = layout == NULL || made == NULL ? hr_fail_memory(err) : outline_search(&z, layout, err);
    if (status == HR_OK) {
        status = outline_cut(&z, layout) ? make(layout, stem, made, err) : hr_fail_memory(err);
    }
    outline_free_cells(layout);
    hr_free(layout);
    if (status != HR_OK) {
        hr_outline_free(made);
        return status;
    }
    *outline = made;
    return HR_OK;
}

void hr_outline_free(hr_outline *outline)
{
    if (outline == NULL) {
        return;
    }
    for (size_t i = 0; i < outline->plan_count; i++) {
        hr_free(outline->plans[i].file);
        hr_text_free(&outline->plans[i].svg);
    }
    hr_text_free(&outline->property);
    hr_free(outline);
}
