/*
 * materials.c - the materials of one property: built-in rows at its frequency
 * and what its file adds.
 *
 * SPDX-License-Identifier: MIT
 */
#include <math.h>
#include <string.h>

#include "hr_materials.h"
#include "materials_priv.h"

#define USES 4

/* A material without a stated spread: 30 % of its loss, assumed. */
static const double default_spread_share = 0.3;
static const double max_loss_db = 200.0;

struct hr_materials {
    double freq_mhz;
    hr_material *items;
    size_t count, cap;
    hr_names *names;
    hr_arena *arena;
};

void hr_materials_free(hr_materials *materials)
{
    if (materials == NULL) {
        return;
    }
    hr_free(materials->items);
    hr_names_free(materials->names);
    hr_arena_free(materials->arena);
    hr_free(materials);
}

/* Index of a name, made with no rows when it is new; SIZE_MAX: out of memory. */
static size_t item_named(hr_materials *materials, const char *name)
{
    const size_t found = hr_names_find(materials->names, name);
    if (found != SIZE_MAX) {
        return found;
    }
    char *copy = hr_arena_strdup(materials->arena, name);
    if (copy == NULL || !HR_RESERVE(materials->items, materials->cap, materials->count + 1) ||
        !hr_names_add(materials->names, name, materials->count)) {
        return SIZE_MAX;
    }
    hr_material *item = &materials->items[materials->count];
    *item = (hr_material){.name = copy, .single_pass_db = (double)NAN};
    for (int use = 0; use < USES; use++) {
        item->loss_db[use] = (double)NAN;
        item->spread_db[use] = (double)NAN;
    }
    return materials->count++;
}

/* ---- built-in rows at a frequency --------------------------------------- */

static bool same_material(const hr_material_row *a, const hr_material_row *b)
{
    return a->use == b->use && hr_casecmp(a->name, b->name) == 0;
}

/* The rows next below (or at) and next above freq_mhz among those of `row`'s
 * material and use; NULL where there is none on that side. */
static void find_anchors(const hr_material_rows *rows, const hr_material_row *row, double freq_mhz,
                         const hr_material_row **below, const hr_material_row **above)
{
    *below = NULL;
    *above = NULL;
    for (size_t i = 0; i < hr_materials_rows_count(rows); i++) {
        const hr_material_row *other = hr_materials_rows_get(rows, i);
        if (!same_material(row, other) || other->layers != NULL) {
            continue;
        }
        if (other->freq_mhz <= freq_mhz && (*below == NULL || other->freq_mhz > (*below)->freq_mhz)) {
            *below = other;
        }
        if (other->freq_mhz > freq_mhz && (*above == NULL || other->freq_mhz < (*above)->freq_mhz)) {
            *above = other;
        }
    }
}

static const char *note_text(hr_arena *arena, const hr_material_rows *rows, const hr_material_row *row, bool *failed)
{
    const hr_source *source = hr_materials_source_find(rows, row->source);
    const bool recalled = source != NULL && strcmp(source->trust, "memory") == 0;
    if (row->note[0] == '\0' && !recalled) {
        return NULL;
    }
    hr_text text = {0};
    hr_text_add(&text, row->note);
    if (recalled) {
        hr_text_add(&text, row->note[0] != '\0' ? " (from memory)" : "from memory");
    }
    char *copy = text.failed ? NULL : hr_arena_strdup(arena, text.bytes);
    hr_text_free(&text);
    *failed = *failed || copy == NULL;
    return copy;
}

static bool set_use(hr_materials *materials, const hr_material_rows *rows, const hr_material_row *row, size_t index)
{
    hr_material *item = &materials->items[index];
    const hr_material_row *below = NULL;
    const hr_material_row *above = NULL;
    find_anchors(rows, row, materials->freq_mhz, &below, &above);
    const hr_material_row *low = below != NULL ? below : above;
    const hr_material_row *high = above != NULL ? above : below;
    double part = 0.0;
    if (low != high) {
        part = (log10(materials->freq_mhz) - log10(low->freq_mhz)) / (log10(high->freq_mhz) - log10(low->freq_mhz));
    }
    const hr_material_row *nearest = part > 0.5 ? high : low;
    bool failed = false;
    item->loss_db[row->use] = low->loss_db + part * (high->loss_db - low->loss_db);
    item->spread_db[row->use] = low->spread_db + part * (high->spread_db - low->spread_db);
    item->source[row->use] = hr_arena_strdup(materials->arena, nearest->source);
    item->note[row->use] = note_text(materials->arena, rows, nearest, &failed);
    return item->source[row->use] != NULL && !failed;
}

static bool set_stack(hr_materials *materials, const hr_material_row *row, size_t index)
{
    hr_material *item = &materials->items[index];
    item->framed = row->framed;
    item->layers = hr_arena_strdup(materials->arena, row->layers);
    return item->layers != NULL;
}

static bool add_rows(hr_materials *materials, const hr_material_rows *rows)
{
    for (size_t i = 0; i < hr_materials_rows_count(rows); i++) {
        const hr_material_row *row = hr_materials_rows_get(rows, i);
        const size_t index = item_named(materials, row->name);
        if (index == SIZE_MAX) {
            return false;
        }
        const bool stack = row->layers != NULL;
        if (stack ? !set_stack(materials, row, index)
                  : materials->items[index].source[row->use] == NULL && !set_use(materials, rows, row, index)) {
            return false;
        }
    }
    return true;
}

hr_status hr_materials_new(double freq_mhz, hr_materials **materials, hr_error *err)
{
    if (!(freq_mhz >= HR_FREQ_MIN_MHZ && freq_mhz <= HR_FREQ_MAX_MHZ)) {
        char text[HR_FIXED_MAX];
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "frequency is %s MHz, expected %d to %d",
                       hr_short(freq_mhz, 3, text), (int)HR_FREQ_MIN_MHZ, (int)HR_FREQ_MAX_MHZ);
    }
    hr_material_rows *rows = NULL;
    const hr_status status = hr_materials_rows_new(&rows, err);
    if (status != HR_OK) {
        return status;
    }
    hr_materials *made = hr_alloc_zero(1, sizeof *made);
    bool good = made != NULL;
    if (good) {
        made->freq_mhz = freq_mhz;
        made->names = hr_names_new();
        made->arena = hr_arena_new();
        good = made->names != NULL && made->arena != NULL && add_rows(made, rows);
    }
    hr_materials_rows_free(rows);
    if (!good) {
        hr_materials_free(made);
        return hr_fail_memory(err);
    }
    *materials = made;
    return HR_OK;
}

/* ---- a property's own --------------------------------------------------- */

static hr_status check_own(const char *name, double loss_db, double spread_db, hr_error *err)
{
    char text[HR_FIXED_MAX];
    if (name == NULL || name[0] == '\0') {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "a material needs a name");
    }
    if (!(loss_db >= 0.0 && loss_db <= max_loss_db)) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "loss_db of material '%s' is %s, expected 0 to 200 dB", name,
                       hr_short(loss_db, 3, text));
    }
    if (!isnan(spread_db) && !(spread_db >= 0.0 && spread_db <= max_loss_db)) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "spread_db of material '%s' is %s, expected 0 to 200 dB", name,
                       hr_short(spread_db, 3, text));
    }
    return HR_OK;
}

/* A stated loss is used as it stands, in every model: no stack, no frame. */
static void set_own(hr_material *item, double loss_db, double spread_db)
{
    for (int use = 0; use < USES; use++) {
        item->loss_db[use] = loss_db;
        item->spread_db[use] = isnan(spread_db) ? default_spread_share * loss_db : spread_db;
        item->source[use] = "property file";
        item->note[use] = NULL;
    }
    item->own = true;
    item->framed = false;
    item->layers = NULL;
    item->single_pass_db = (double)NAN;
}

hr_status hr_materials_add(hr_materials *materials, const char *name, double loss_db, double spread_db, hr_error *err)
{
    const hr_status status = check_own(name, loss_db, spread_db, err);
    if (status != HR_OK) {
        return status;
    }
    const size_t index = item_named(materials, name);
    if (index == SIZE_MAX) {
        return hr_fail_memory(err);
    }
    set_own(&materials->items[index], loss_db, spread_db);
    return HR_OK;
}

hr_status hr_materials_add_layers(hr_materials *materials, const char *name, const char *layers, double spread_db,
                                  hr_error *err)
{
    hr_layer parsed[HR_LAYERS_MAX];
    size_t count = 0;
    hr_status status = check_own(name, 0.0, spread_db, err);
    if (status == HR_OK) {
        status = hr_materials_layers_parse(layers, materials->freq_mhz, parsed, &count, err);
    }
    if (status != HR_OK) {
        return status;
    }
    char *copy = hr_arena_strdup(materials->arena, layers);
    const size_t index = copy != NULL ? item_named(materials, name) : SIZE_MAX;
    if (index == SIZE_MAX) {
        return hr_fail_memory(err);
    }
    set_own(&materials->items[index], (double)NAN, spread_db);
    materials->items[index].layers = copy;
    materials->items[index].single_pass_db = hr_materials_single_pass_db(parsed, count, materials->freq_mhz);
    return HR_OK;
}

void hr_materials_set_loss(hr_materials *materials, const char *name, double loss_db)
{
    const size_t index = hr_materials_find(materials, name);
    if (index == SIZE_MAX) {
        return;
    }
    hr_material *item = &materials->items[index];
    for (int use = 0; use < USES; use++) {
        item->loss_db[use] = loss_db;
        item->spread_db[use] = isnan(item->spread_db[use]) ? default_spread_share * loss_db : item->spread_db[use];
    }
}

double hr_materials_weight_db(const hr_materials *materials, size_t index, hr_material_use use)
{
    const double loss_db = hr_materials_loss_db(materials, index, use, NULL);
    return isnan(loss_db) && index < materials->count ? materials->items[index].single_pass_db : loss_db;
}

/* ---- looking up --------------------------------------------------------- */

size_t hr_materials_count(const hr_materials *materials)
{
    return materials->count;
}

const hr_material *hr_materials_get(const hr_materials *materials, size_t index)
{
    return index < materials->count ? &materials->items[index] : NULL;
}

size_t hr_materials_find(const hr_materials *materials, const char *name)
{
    return name != NULL ? hr_names_find(materials->names, name) : SIZE_MAX;
}

const char *hr_materials_nearest(const hr_materials *materials, const char *name)
{
    const char **candidates = hr_alloc(materials->count, sizeof *candidates);
    if (candidates == NULL) {
        return NULL; /* only a suggestion is lost */
    }
    for (size_t i = 0; i < materials->count; i++) {
        candidates[i] = materials->items[i].name;
    }
    const char *nearest = hr_nearest(name, candidates, materials->count, 3);
    hr_free(candidates);
    return nearest;
}

/* The use whose row stands for `use`: itself, else wall, else the first there is. */
static int row_for(const hr_material *item, hr_material_use use)
{
    if (item->source[use] != NULL) {
        return (int)use;
    }
    for (int other = 0; other < USES; other++) {
        if (item->source[other] != NULL) {
            return other;
        }
    }
    return (int)use;
}

double hr_materials_loss_db(const hr_materials *materials, size_t index, hr_material_use use, bool *substituted)
{
    const hr_material *item = hr_materials_get(materials, index);
    if (item == NULL || (unsigned)use >= USES) {
        return (double)NAN;
    }
    const int row = row_for(item, use);
    if (substituted != NULL) {
        *substituted = row != (int)use;
    }
    return item->loss_db[row];
}

double hr_materials_spread_db(const hr_materials *materials, size_t index, hr_material_use use)
{
    const hr_material *item = hr_materials_get(materials, index);
    if (item == NULL || (unsigned)use >= USES) {
        return (double)NAN;
    }
    return item->spread_db[row_for(item, use)];
}

void hr_materials_set_fitted(hr_materials *materials, size_t index, hr_material_use use, double loss_db)
{
    if (index >= materials->count || (unsigned)use >= USES) {
        return;
    }
    hr_material *item = &materials->items[index];
    if (item->source[row_for(item, use)] == NULL) {
        return; /* a stack only: it has no figure in place */
    }
    for (int other = 0; other < USES; other++) {
        const bool fits = other == (int)use || (use == HR_USE_WALL && other == HR_USE_OPENING);
        if (fits) {
            item->spread_db[other] = hr_materials_spread_db(materials, index, (hr_material_use)other);
        }
    }
    for (int other = 0; other < USES; other++) {
        if (other == (int)use || (use == HR_USE_WALL && other == HR_USE_OPENING)) {
            item->loss_db[other] = loss_db;
            item->source[other] = "fitted";
            item->note[other] = NULL;
        }
    }
}
