/*
 * cells.c - strips cut into rooms and services, rooms numbered.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_priv.h"

static long group_width(const outline_group *group)
{
    long width = 0;
    for (size_t i = 0; i < group->count; i++) {
        width += group->items[i].width;
    }
    return width;
}

/* index: where in the group; the group's count: at its end. */
static void insert(outline_group *group, size_t index, outline_cell_kind kind, long width)
{
    if (group->count == OUTLINE_GROUP_MAX) {
        return;
    }
    for (size_t i = group->count; i > index; i--) {
        group->items[i] = group->items[i - 1];
    }
    group->items[index] = (outline_service){kind, width};
    group->count++;
}

/* A dark end must be filled by services: a store takes what they leave. */
static void fill_dark(outline_group *group, long dark, bool at_front)
{
    const long left = dark - group_width(group);
    if (left <= 0) {
        return;
    }
    if (group->count > 0 && left < OUTLINE_STORE_MIN) {
        group->items[at_front ? 0 : group->count - 1].width += left;
    } else {
        insert(group, at_front ? 0 : group->count, OUTLINE_STORE, left);
    }
}

static void fill_ends(outline_strip *strip)
{
    fill_dark(&strip->groups[OUTLINE_START], strip->dark_from, false);
    fill_dark(&strip->groups[OUTLINE_END], strip->length - strip->dark_to, true);
}

static size_t service_count(const outline_strip *strip)
{
    size_t count = 0;
    for (size_t i = 0; i < OUTLINE_PLACES; i++) {
        count += strip->groups[i].count;
    }
    return count;
}

static long free_length(const outline_strip *strip)
{
    long left = strip->length;
    for (size_t i = 0; i < OUTLINE_PLACES; i++) {
        left -= group_width(&strip->groups[i]);
    }
    return left;
}

long outline_capacity(const outline_sizes *z, const outline_strip *strip)
{
    if (strip->length < 0 || strip->dark_from > strip->dark_to) {
        return -1;
    }
    outline_strip trial = *strip;
    fill_ends(&trial);
    const long left = free_length(&trial);
    if (left < 0) {
        return -1;
    }
    const long rooms = left / z->bay, rest = left % z->bay;
    /* a rest too narrow for a store widens a service; where there is none it costs a room */
    if (rest > 0 && rest < OUTLINE_STORE_MIN && service_count(&trial) == 0) {
        return rooms - 1;
    }
    return rooms;
}

/* The first service of a kind takes the rest; false: there is none. */
static bool widen(outline_group *groups, outline_cell_kind kind, long rest)
{
    for (size_t g = 0; g < OUTLINE_PLACES; g++) {
        for (size_t i = 0; i < groups[g].count; i++) {
            if (groups[g].items[i].kind == kind) {
                groups[g].items[i].width += rest;
                return true;
            }
        }
    }
    return false;
}

/* What the rooms leave becomes a store, or widens a service. */
static void fill_rest(outline_strip *strip, long rest)
{
    if (rest <= 0) {
        return;
    }
    outline_group *groups = strip->groups;
    if (rest >= OUTLINE_STORE_MIN && !widen(groups, OUTLINE_STORE, rest)) {
        if (groups[OUTLINE_MIDDLE].count > 0) {
            insert(&groups[OUTLINE_MIDDLE], groups[OUTLINE_MIDDLE].count, OUTLINE_STORE, rest);
        } else if (groups[OUTLINE_START].count > 0) {
            insert(&groups[OUTLINE_START], groups[OUTLINE_START].count, OUTLINE_STORE, rest);
        } else {
            insert(&groups[OUTLINE_END], 0, OUTLINE_STORE, rest);
        }
    }
    /* stores and linen rooms first, the lobby of the core last */
    static const outline_cell_kind order[] = {OUTLINE_STORE, OUTLINE_UTILITIES, OUTLINE_STAIRS, OUTLINE_CORE};
    for (size_t k = 0; rest < OUTLINE_STORE_MIN && k < sizeof order / sizeof order[0]; k++) {
        if (widen(groups, order[k], rest)) {
            return;
        }
    }
}

static bool add_cell(outline_strip *strip, outline_cell_kind kind, long *at, long width)
{
    if (!HR_RESERVE(strip->cells, strip->cell_cap, strip->cell_count + 1)) {
        return false;
    }
    strip->cells[strip->cell_count++] = (outline_cell){.kind = kind, .from = *at, .to = *at + width};
    *at += width;
    return true;
}

static bool add_group(outline_strip *strip, outline_place place, long *at)
{
    const outline_group *group = &strip->groups[place];
    for (size_t i = 0; i < group->count; i++) {
        if (!add_cell(strip, group->items[i].kind, at, group->items[i].width)) {
            return false;
        }
    }
    return true;
}

/* Rooms in a row go in pairs, baths back to back; an odd one out stands alone at the end. */
static bool add_rooms(outline_strip *strip, const outline_sizes *z, long count, long *at)
{
    for (long i = 0; i < count; i++) {
        if (!add_cell(strip, OUTLINE_ROOM, at, z->bay)) {
            return false;
        }
        outline_cell *cell = &strip->cells[strip->cell_count - 1];
        cell->flipped = i % 2 == 0;
        cell->paired = i % 2 == 1 || i + 1 < count;
    }
    return true;
}

static bool cut_strip(const outline_sizes *z, outline_strip *strip)
{
    fill_ends(strip);
    fill_rest(strip, free_length(strip) - strip->rooms * z->bay);
    long before = strip->rooms;
    if (strip->groups[OUTLINE_MIDDLE].count > 0) {
        before = strip->rooms / 2;
        before += before % 2 == 1 && before < strip->rooms ? 1 : 0; /* keeps pairs together */
    }
    long at = 0;
    return add_group(strip, OUTLINE_START, &at) && add_rooms(strip, z, before, &at) &&
           add_group(strip, OUTLINE_MIDDLE, &at) && add_rooms(strip, z, strip->rooms - before, &at) &&
           add_group(strip, OUTLINE_END, &at);
}

/* Numbers go round the corridor, or odd along one side and even, the other way round, along the other. */
static void number_rooms(outline_layout *l)
{
    const bool odd_even = l->z->request->numbering == HR_OUTLINE_ODD_EVEN;
    const long first = l->z->request->first_number;
    long next = first;
    for (size_t i = 0; i < l->strip_count; i++) {
        outline_strip *strip = &l->strips[i];
        for (size_t k = 0; k < strip->cell_count; k++) {
            if (strip->cells[k].kind == OUTLINE_ROOM && !(odd_even && strip->second_side)) {
                strip->cells[k].number = next;
                next += odd_even ? 2 : 1;
            }
        }
    }
    next = first + 1;
    for (size_t i = l->strip_count; odd_even && i-- > 0;) {
        outline_strip *strip = &l->strips[i];
        for (size_t k = strip->cell_count; strip->second_side && k-- > 0;) {
            if (strip->cells[k].kind == OUTLINE_ROOM) {
                strip->cells[k].number = next;
                next += 2;
            }
        }
    }
}

bool outline_cut(const outline_sizes *z, outline_layout *layout)
{
    for (size_t i = 0; i < layout->strip_count; i++) {
        if (!cut_strip(z, &layout->strips[i])) {
            return false;
        }
    }
    number_rooms(layout);
    return true;
}

void outline_free_cells(outline_layout *layout)
{
    for (size_t i = 0; layout != NULL && i < layout->strip_count; i++) {
        hr_free(layout->strips[i].cells);
    }
}

bool outline_is_dark(const outline_strip *strip, long from, long to)
{
    return from < strip->dark_from || to > strip->dark_to;
}

long outline_last_number(const outline_layout *layout)
{
    long last = 0;
    for (size_t i = 0; i < layout->strip_count; i++) {
        for (size_t k = 0; k < layout->strips[i].cell_count; k++) {
            const long number = layout->strips[i].cells[k].number;
            last = number > last ? number : last;
        }
    }
    return last;
}
