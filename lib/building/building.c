/*
 * building.c - a property file and its plans made into a building.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

#include <string.h>

const char *hr_building_model_name(hr_model model)
{
    switch (model) {
    case HR_MODEL_MULTI_WALL:
        return "multi-wall";
    case HR_MODEL_ROUTES:
        return "routes";
    case HR_MODEL_SITE_GENERAL:
        return "site-general";
    }
    return "unknown";
}

const char *building_keep(building_reader *r, hr_text *text)
{
    const char *kept = text->failed ? NULL : hr_arena_strndup(r->arena, text->bytes, text->len);
    hr_text_free(text);
    return kept;
}

static hr_building *new_building(const char *file)
{
    hr_building *b = hr_alloc_zero(1, sizeof *b);
    if (b == NULL) {
        return NULL;
    }
    b->priv = hr_alloc_zero(1, sizeof *b->priv);
    b->arena = hr_arena_new();
    if (b->priv != NULL && b->arena != NULL) {
        b->file = hr_arena_strdup(b->arena, file);
        b->priv->storey_names = hr_names_new();
        b->priv->room_names = hr_names_new();
        b->priv->device_names = hr_names_new();
        if (b->file != NULL && b->priv->storey_names != NULL && b->priv->room_names != NULL &&
            b->priv->device_names != NULL) {
            return b;
        }
    }
    hr_building_free(b);
    return NULL;
}

void hr_building_free(hr_building *building)
{
    if (building == NULL) {
        return;
    }
    for (size_t i = 0; i < building->plan_count; i++) {
        hr_plan_free(building->plans[i]);
    }
    hr_free(building->plans);
    hr_materials_free(building->materials);
    hr_free(building->kinds);
    hr_free(building->storeys);
    hr_free(building->rooms);
    hr_free(building->devices);
    hr_free(building->spots);
    hr_free(building->gateways);
    if (building->priv != NULL) {
        hr_names_free(building->priv->storey_names);
        hr_names_free(building->priv->room_names);
        hr_names_free(building->priv->device_names);
        hr_free(building->priv->settings);
        hr_free(building->priv);
    }
    hr_arena_free(building->arena);
    hr_free(building);
}

typedef hr_status (*reading_step)(building_reader *r);

/* Each step stands on the ones before it; NULL ends them. */
static const reading_step all_steps[] = {
    building_apply_sets,   building_read_site,       building_read_kinds,    building_check_rule,
    building_read_storeys, building_read_plans,      building_name_rooms,    building_place_devices,
    building_place_spots,  building_check_clearance, building_note_borrowed, building_list_settings,
    NULL};

static hr_status parse(const char *path, const char *bytes, size_t len, const hr_building_options *options,
                       const reading_step *steps, hr_notes *notes, hr_building **building, hr_error *err)
{
    static const hr_building_options defaults = {0};
    building_reader r = {.options = options != NULL ? *options : defaults,
                         .notes = notes,
                         .err = err,
                         .current = BUILDING_NONE};
    r.b = new_building(path);
    r.titles = hr_names_new();
    hr_status status = r.b == NULL || r.titles == NULL ? hr_fail_memory(err) : HR_OK;
    if (status == HR_OK) {
        r.file = r.b->file;
        r.arena = r.b->arena;
        status = building_read_ini(&r, bytes, len);
    }
    for (size_t i = 0; status == HR_OK && steps[i] != NULL; i++) {
        status = steps[i](&r);
    }
    if (status == HR_OK && hr_notes_failed(notes)) { /* a warning that is missing is a wrong answer */
        status = hr_fail_memory(err);
    }
    hr_names_free(r.titles);
    hr_free(r.entries);
    hr_free(r.sections);
    hr_free(r.storey_sections);
    if (status != HR_OK) {
        hr_building_free(r.b);
        return status;
    }
    *building = r.b;
    return HR_OK;
}

hr_status hr_building_parse(const char *path, const char *bytes, size_t len, const hr_building_options *options,
                            hr_notes *notes, hr_building **building, hr_error *err)
{
    return parse(path, bytes, len, options, all_steps, notes, building, err);
}

hr_status hr_building_read(const char *path, const hr_building_options *options, hr_notes *notes,
                           hr_building **building, hr_error *err)
{
    char *bytes = NULL;
    size_t len = 0;
    hr_status status = hr_file_read(path, HR_MAX_FILE_BYTES, &bytes, &len, err);
    if (status == HR_OK) {
        status = hr_building_parse(path, bytes, len, options, notes, building, err);
    }
    hr_free(bytes);
    return status;
}

/* ---- the drawings alone ---- */

/* Instead of reading plans: their names into the building's arena. */
static hr_status list_plan_files(building_reader *r)
{
    hr_building_plans *plans = hr_arena_alloc(r->arena, 1, sizeof *plans);
    hr_plan_file *files = hr_arena_alloc(r->arena, r->storey_section_count, sizeof *files);
    if (plans == NULL || files == NULL) {
        return hr_fail_memory(r->err);
    }
    *plans = (hr_building_plans){.files = files, .materials = r->b->materials, .owner = r->b};
    for (size_t i = 0; i < r->storey_section_count; i++) {
        const building_storey_section *s = &r->storey_sections[i];
        size_t same = 0;
        while (same < plans->count &&
               (strcmp(files[same].path, s->path) != 0 || (files[same].layer == NULL) != (s->layer == NULL) ||
                (s->layer != NULL && strcmp(files[same].layer, s->layer) != 0))) {
            same++;
        }
        if (same == plans->count) {
            files[plans->count].layer = s->layer != NULL ? hr_arena_strdup(r->arena, s->layer) : NULL;
            files[plans->count++].path = s->path;
            if (s->layer != NULL && files[same].layer == NULL) {
                return hr_fail_memory(r->err);
            }
        }
    }
    r->b->priv->plans = plans;
    return HR_OK;
}

hr_status hr_building_plan_files(const char *path, const hr_building_options *options, hr_notes *notes,
                                 hr_building_plans **plans, hr_error *err)
{
    static const reading_step steps[] = {building_apply_sets, building_read_site, building_read_storeys,
                                         list_plan_files, NULL};
    hr_building_options lenient = options != NULL ? *options : (hr_building_options){0};
    lenient.lenient = true;
    char *bytes = NULL;
    size_t len = 0;
    hr_building *b = NULL;
    hr_status status = hr_file_read(path, HR_MAX_FILE_BYTES, &bytes, &len, err);
    if (status == HR_OK) {
        status = parse(path, bytes, len, &lenient, steps, notes, &b, err);
    }
    hr_free(bytes);
    if (status == HR_OK) {
        *plans = b->priv->plans;
    }
    return status;
}

void hr_building_plans_free(hr_building_plans *plans)
{
    if (plans != NULL) {
        hr_building_free(plans->owner);
    }
}

static uint32_t find_name(const hr_names *names, const char *name)
{
    const size_t at = hr_names_find(names, name);
    return at == SIZE_MAX ? UINT32_MAX : (uint32_t)at;
}

uint32_t hr_building_storey(const hr_building *building, const char *name)
{
    return find_name(building->priv->storey_names, name);
}

uint32_t hr_building_room(const hr_building *building, const char *name)
{
    return find_name(building->priv->room_names, name);
}

uint32_t hr_building_device(const hr_building *building, const char *name)
{
    return find_name(building->priv->device_names, name);
}

uint32_t hr_building_gateway(const hr_building *building, const char *id)
{
    for (size_t i = 0; i < building->gateway_count; i++) {
        if (hr_casecmp(building->gateways[i].id, id) == 0) {
            return (uint32_t)i;
        }
    }
    return UINT32_MAX;
}

uint32_t hr_building_storey_at(const hr_building *building, double z_m)
{
    size_t storey = 0, above = building->storey_count; /* the floor of the first is under z or is the lowest */
    while (above - storey > 1) {
        const size_t middle = storey + (above - storey) / 2;
        if (building->storeys[middle].elevation_m <= z_m) {
            storey = middle;
        } else {
            above = middle;
        }
    }
    return (uint32_t)storey;
}
