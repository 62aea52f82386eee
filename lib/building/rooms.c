/*
 * rooms.c - every room of every storey, called by its label or as room_name
 * says.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

#include <string.h>

#define PAD_MAX 9

static bool is_whole(const char *text)
{
    return text[0] != '\0' && text[strspn(text, "0123456789")] == '\0';
}

/* One {...} of a template; false: no such. */
static bool add_field(hr_text *out, const char *field, size_t len, const char *storey, const char *label)
{
    if (len == 6 && memcmp(field, "storey", 6) == 0) {
        hr_text_add(out, storey);
        return true;
    }
    if (len < 4 || memcmp(field, "name", 4) != 0) {
        return false;
    }
    if (len == 4) {
        hr_text_add(out, label);
        return true;
    }
    const bool padding = len == 7 && field[4] == ':' && field[5] == '0' && field[6] >= '1' && field[6] <= '0' + PAD_MAX;
    if (padding && is_whole(label)) {
        for (size_t have = strlen(label); have < (size_t)(field[6] - '0'); have++) {
            hr_text_add(out, "0");
        }
    }
    hr_text_add(out, padding ? label : "");
    return padding;
}

/* {storey}, {name}, {name:02}; false: a brace that is none of these. */
static bool fill_template(hr_text *out, const char *pattern, const char *storey, const char *label)
{
    for (const char *at = pattern; *at != '\0';) {
        const size_t plain = strcspn(at, "{}");
        hr_text_add_n(out, at, plain);
        at += plain;
        if (*at == '\0') {
            break;
        }
        const char *close = *at == '{' ? strchr(at, '}') : NULL;
        if (close == NULL || !add_field(out, at + 1, (size_t)(close - at - 1), storey, label)) {
            return false;
        }
        at = close + 1;
    }
    return true;
}

static hr_status name_room(building_reader *r, const building_storey_section *s, const hr_storey *storey,
                           const hr_space *space, hr_room *room)
{
    const char *label = space->name == NULL ? "" : space->name;
    hr_text name = {0};
    hr_text_add(&name, "");
    if (s->keys.room_name != NULL) {
        if (!fill_template(&name, s->keys.room_name, storey->name, label)) {
            hr_text_free(&name);
            return building_fail_entry(r, building_entry_of(r, s->section, "room_name"),
                                       "{storey}, {name} or {name:02} was expected between braces");
        }
    } else {
        hr_text_addf(&name, "%s%s", storey->repeated ? storey->name : "", label);
    }
    const size_t len = name.len;
    room->name = building_keep(r, &name);
    if (room->name == NULL) {
        return hr_fail_memory(r->err);
    }
    if (len > HR_MAX_NAME_BYTES) {
        return hr_fail(r->err, HR_ERR_LIMIT, storey->plan->file, space->source_line,
                       "a room's name is longer than the limit of %zu bytes", HR_MAX_NAME_BYTES);
    }
    if (len == 0) {
        return hr_fail(r->err, HR_ERR_INPUT, storey->plan->file, space->source_line, "a room of storey %s has no name",
                       storey->name);
    }
    return HR_OK;
}

/* Names are unique in a property; both places are told. */
static hr_status register_room(building_reader *r, size_t index)
{
    hr_building *b = r->b;
    const hr_room *room = &b->rooms[index];
    const size_t before = hr_names_find(b->priv->room_names, room->name);
    if (before == SIZE_MAX) {
        return hr_names_add(b->priv->room_names, room->name, index) ? HR_OK : hr_fail_memory(r->err);
    }
    const hr_storey *here = &b->storeys[room->storey];
    const hr_storey *there = &b->storeys[b->rooms[before].storey];
    return hr_fail(r->err, HR_ERR_INPUT, here->plan->file, here->plan->spaces[room->space].source_line,
                   "room %s of storey %s is called like the room of storey %s at %s:%d; names are unique in a property "
                   "(room_name can put the storey before the label)",
                   room->name, here->name, there->name, there->plan->file,
                   there->plan->spaces[b->rooms[before].space].source_line);
}

static hr_status name_storey(building_reader *r, const building_storey_section *s, size_t index)
{
    hr_building *b = r->b;
    const hr_storey *storey = &b->storeys[index];
    for (size_t i = 0; i < storey->plan->space_count; i++) {
        const hr_space *space = &storey->plan->spaces[i];
        if (space->kind != HR_SPACE_ROOM) {
            continue;
        }
        hr_room *room = &b->rooms[b->room_count];
        *room = (hr_room){.storey = (uint32_t)index, .space = (uint32_t)i};
        hr_status status = name_room(r, s, storey, space, room);
        if (status == HR_OK) {
            status = register_room(r, b->room_count);
        }
        if (status != HR_OK) {
            return status;
        }
        b->room_count++;
    }
    return HR_OK;
}

hr_status building_name_rooms(building_reader *r)
{
    hr_building *b = r->b;
    size_t count = 0;
    for (size_t i = 0; i < b->storey_count; i++) {
        const hr_plan *plan = b->storeys[i].plan;
        for (size_t k = 0; k < plan->space_count; k++) {
            count += plan->spaces[k].kind == HR_SPACE_ROOM;
        }
    }
    if (count > HR_MAX_ROOMS) {
        return hr_fail(r->err, HR_ERR_LIMIT, r->file, 0, "more rooms than the limit of %zu", HR_MAX_ROOMS);
    }
    if (count == 0 && !r->options.lenient) {
        return hr_fail(r->err, HR_ERR_INPUT, b->plans[0]->file, 0,
                       "plan has no rooms: closed shapes in a group named `rooms` were expected");
    }
    b->rooms = hr_alloc_zero(count, sizeof *b->rooms);
    hr_status status = b->rooms == NULL ? hr_fail_memory(r->err) : HR_OK;
    for (size_t i = 0; i < r->storey_section_count && status == HR_OK; i++) {
        const building_storey_section *s = &r->storey_sections[i];
        for (size_t k = s->first; k < s->first + s->count && status == HR_OK; k++) {
            status = name_storey(r, s, k);
        }
    }
    return status;
}
