/*
 * storeys.c - [storey ...] sections: the storeys each stands for, stacked in
 * the order of the file.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

#include <math.h>
#include <string.h>

#define OVERLAP_SLACK_M 0.001

static hr_status fail_section(const building_reader *r, const building_storey_section *s, const char *text)
{
    const building_section *section = &r->sections[s->section];
    return hr_fail(r->err, HR_ERR_INPUT, r->file, section->line, "[%s]: %s", section->title, text);
}

/* Adds one storey; its height is settled afterwards. */
static hr_status add_storey(building_reader *r, building_storey_section *s, const char *name, size_t len, size_t *cap)
{
    hr_building *b = r->b;
    const building_section *section = &r->sections[s->section];
    if (b->storey_count == HR_MAX_STOREYS) {
        return hr_fail(r->err, HR_ERR_LIMIT, r->file, section->line, "more storeys than the limit of %zu",
                       HR_MAX_STOREYS);
    }
    if (!HR_RESERVE(b->storeys, *cap, b->storey_count + 1)) {
        return hr_fail_memory(r->err);
    }
    hr_storey *storey = &b->storeys[b->storey_count];
    *storey = (hr_storey){.floor_to_floor_m = s->keys.floor_to_floor_m, .section_line = section->line};
    memcpy(storey->name, name, len); /* no name in a section is as long as the array */
    const size_t before = hr_names_find(b->priv->storey_names, storey->name);
    if (before != SIZE_MAX) {
        return hr_fail(r->err, HR_ERR_INPUT, r->file, section->line,
                       "storey %s stands twice, first in line %d; a name for each storey was expected", storey->name,
                       b->storeys[before].section_line);
    }
    if (!hr_names_add(b->priv->storey_names, storey->name, b->storey_count)) {
        return hr_fail_memory(r->err);
    }
    b->storey_count++;
    s->count++;
    return HR_OK;
}

/* "2-12": both ends; false for names like B-2. */
static bool parse_range(const char *text, size_t len, long *low, long *high, size_t *width)
{
    size_t dash = 0;
    while (dash < len && text[dash] >= '0' && text[dash] <= '9') {
        dash++;
    }
    if (dash == 0 || dash + 1 >= len || text[dash] != '-' || text[len - 1] < '0' || text[len - 1] > '9') {
        return false;
    }
    if (dash > 6 || len - dash - 1 > 6) {
        *low = 0; /* a range all the same: far over the limit, which says so */
        *high = 999999;
        *width = dash;
        return true;
    }
    char ends[2][8] = {{0}, {0}};
    memcpy(ends[0], text, dash);
    memcpy(ends[1], text + dash + 1, len - dash - 1);
    *width = dash;
    return hr_integer_parse(ends[0], 0, 999999, low) && ends[1][0] != ' ' && ends[1][0] != '-' && ends[1][0] != '+' &&
           hr_integer_parse(ends[1], 0, 999999, high);
}

/* "02-12" keeps its leading zero: 02, 03 ... */
static hr_status add_range(building_reader *r, building_storey_section *s, long low, long high, size_t width,
                           bool padded, size_t *cap)
{
    if (low > high) {
        return fail_section(r, s, "a range of storeys that runs downwards; the lower number comes first");
    }
    for (long number = low; number <= high; number++) {
        hr_text name = {0};
        hr_text_addf(&name, "%0*ld", padded ? (int)width : 1, number);
        const hr_status status = name.failed ? hr_fail_memory(r->err) : add_storey(r, s, name.bytes, name.len, cap);
        hr_text_free(&name);
        if (status != HR_OK) {
            return status;
        }
    }
    return HR_OK;
}

/* "2-12,14-20" or "ground": the storeys of a section. */
static hr_status expand(building_reader *r, building_storey_section *s, size_t *cap)
{
    s->first = r->b->storey_count;
    for (const char *at = r->sections[s->section].name;;) {
        size_t len = strcspn(at, ",");
        const bool last = at[len] == '\0';
        const char *next = at + len + 1;
        while (len > 0 && (*at == ' ' || *at == '\t')) {
            at++;
            len--;
        }
        while (len > 0 && (at[len - 1] == ' ' || at[len - 1] == '\t')) {
            len--;
        }
        if (len == 0) {
            return fail_section(r, s, "an empty name in the list of storeys");
        }
        long low = 0, high = 0;
        size_t width = 0;
        const hr_status status = parse_range(at, len, &low, &high, &width)
                                     ? add_range(r, s, low, high, width, at[0] == '0' && width > 1, cap)
                                     : add_storey(r, s, at, len, cap);
        if (status != HR_OK || last) {
            return status;
        }
        at = next;
    }
}

/* Heights: each storey on the one below unless its section says otherwise. */
static hr_status stack(building_reader *r, const building_storey_section *s)
{
    hr_building *b = r->b;
    for (size_t i = s->first; i < s->first + s->count; i++) {
        hr_storey *storey = &b->storeys[i];
        const hr_storey *below = i > 0 ? storey - 1 : NULL;
        storey->elevation_m = below == NULL ? 0.0 : below->elevation_m + below->floor_to_floor_m;
        storey->repeated = s->count > 1;
        if (i > s->first || isnan(s->keys.elevation_m)) {
            continue;
        }
        if (below != NULL && s->keys.elevation_m < storey->elevation_m - OVERLAP_SLACK_M) {
            char top[HR_FIXED_MAX], floor[HR_FIXED_MAX];
            return hr_fail(r->err, HR_ERR_INPUT, r->file, storey->section_line,
                           "storeys overlap: storey %s has its floor at %s %s, storey %s below it reaches up to %s; "
                           "storeys stand lowest first",
                           storey->name, hr_short(hr_units_from_metres(s->keys.elevation_m, b->length_unit), 3, floor),
                           hr_units_length_name(b->length_unit), below->name,
                           hr_short(hr_units_from_metres(storey->elevation_m, b->length_unit), 3, top));
        }
        storey->elevation_m = s->keys.elevation_m;
    }
    return HR_OK;
}

static hr_status find_slab(building_reader *r, const building_storey_section *s)
{
    hr_building *b = r->b;
    const size_t material = hr_materials_find(b->materials, s->keys.slab);
    const building_entry *entry = building_entry_of(r, s->section, "slab");
    if (material == SIZE_MAX) {
        return entry == NULL ? fail_section(r, s, "the default slab is not in the material table")
                             : building_fail_material(r, entry, "");
    }
    for (size_t i = s->first; i < s->first + s->count; i++) {
        b->storeys[i].slab_material = (uint32_t)material;
        b->storeys[i].slab_assumed = entry == NULL;
    }
    return HR_OK;
}

static hr_status read_section(building_reader *r, size_t section, size_t *cap)
{
    if (!HR_RESERVE(r->storey_sections, r->storey_section_cap, r->storey_section_count + 1)) {
        return hr_fail_memory(r->err);
    }
    building_storey_section *s = &r->storey_sections[r->storey_section_count++];
    *s = (building_storey_section){.section = section};
    hr_status status = building_fill(r, BUILDING_STOREY, section, &s->keys);
    if (status == HR_OK) {
        status = expand(r, s, cap);
    }
    if (status == HR_OK) {
        status = stack(r, s);
    }
    if (status == HR_OK) {
        status = find_slab(r, s);
    }
    return status == HR_OK ? building_storey_options(r, s) : status;
}

hr_status building_read_storeys(building_reader *r)
{
    size_t cap = 0;
    hr_status status = building_read_maps(r);
    for (size_t i = 0; i < r->section_count && status == HR_OK; i++) {
        if (r->sections[i].target == BUILDING_STOREY) {
            status = read_section(r, i, &cap);
        }
    }
    if (status == HR_OK && r->b->storey_count == 0) {
        status = hr_fail(r->err, HR_ERR_INPUT, r->file, 0,
                         "no [storey ...] section: [storey 1] with plan = FILE.svg was expected");
    }
    return status;
}
