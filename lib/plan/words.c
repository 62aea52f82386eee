/*
 * words.c - what a name says: KIND or KIND: VALUE, with materials and heights.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <math.h>
#include <string.h>

/* Heights of openings where none are written, metres above the floor. */
#define DOOR_LOW_M 0.0
#define DOOR_HIGH_M 2.05
#define WINDOW_LOW_M 0.9
#define WINDOW_HIGH_M 2.1
#define HEIGHT_MAX_M 100.0
#define SCALE_MAX_M 100000.0

/* "0-2.1", "0 - 2.1 m", "0-7 ft" filling all of text. */
static bool read_heights(const char *text, double *low_m, double *high_m)
{
    const size_t first = hr_number_scan(text, strlen(text), low_m);
    if (first == 0 || text[0] == '-' || text[0] == '+') {
        return false;
    }
    text += first;
    text += strspn(text, " ");
    if (*text == '-') {
        text++;
    } else if (strncmp(text, "\xE2\x80\x93", 3) == 0) { /* en dash */
        text += 3;
    } else {
        return false;
    }
    text += strspn(text, " ");
    const size_t second = hr_number_scan(text, strlen(text), high_m);
    if (second == 0 || text[0] == '-' || text[0] == '+') {
        return false;
    }
    text += second;
    text += strspn(text, " ");
    hr_length_unit unit = HR_METRES;
    if (*text != '\0' && !hr_units_length_unit(text, &unit)) {
        return false;
    }
    *low_m = hr_units_to_metres(*low_m, unit);
    *high_m = hr_units_to_metres(*high_m, unit);
    return true;
}

/* Takes heights off the end of value. */
static bool split_heights(char *value, double *low_m, double *high_m)
{
    const size_t len = strlen(value);
    for (size_t i = 0; i < len; i++) {
        if ((i == 0 || value[i - 1] == ' ') && read_heights(value + i, low_m, high_m)) {
            value[i] = '\0';
            while (i > 0 && value[i - 1] == ' ') {
                value[--i] = '\0';
            }
            return true;
        }
    }
    return false;
}

static plan_found bad_material(const plan_reader *r, const plan_meaning *m, const char *value, hr_error *why)
{
    const char *kind = hr_plan_kind_name(m->kind);
    const char *nearest = hr_materials_nearest(r->materials, value);
    if (nearest != NULL) {
        (void)hr_fail(why, HR_ERR_INPUT, NULL, 0, "\"%s\": %s is no known material; did you mean %s?", m->written,
                      value, nearest);
    } else {
        (void)hr_fail(why, HR_ERR_INPUT, NULL, 0,
                      "\"%s\": %s is no known material; %s: MATERIAL was expected, see `hallreach materials`",
                      m->written, value, kind);
    }
    return PLAN_BAD;
}

/* A material by name; an id cannot hold blanks, so that they stand for hyphens too. */
static size_t find_material(const plan_reader *r, const char *value)
{
    const size_t found = hr_materials_find(r->materials, value);
    if (found != SIZE_MAX || strchr(value, ' ') == NULL) {
        return found;
    }
    char joined[PLAN_WORD_MAX];
    size_t len = strlen(value);
    len = len < sizeof joined ? len : sizeof joined - 1;
    for (size_t i = 0; i < len; i++) {
        joined[i] = value[i] == ' ' ? '-' : value[i];
    }
    joined[len] = '\0';
    return hr_materials_find(r->materials, joined);
}

static plan_found material_of(const plan_reader *r, plan_meaning *m, const char *value, hr_error *why)
{
    const size_t found = find_material(r, value);
    if (found == SIZE_MAX) {
        return bad_material(r, m, value, why);
    }
    m->material = (uint32_t)found;
    return PLAN_FOUND;
}

static plan_found read_wall(const plan_reader *r, plan_meaning *m, const char *value, hr_error *why)
{
    if (*value == '\0') {
        (void)hr_fail(why, HR_ERR_INPUT, NULL, 0, "\"%s\" names no material; %s: MATERIAL was expected", m->written,
                      hr_plan_kind_name(m->kind));
        return PLAN_BAD;
    }
    return material_of(r, m, value, why);
}

static plan_found take_heights(plan_meaning *m, char *value, hr_error *why)
{
    double low_m = 0.0, high_m = 0.0;
    if (!split_heights(value, &low_m, &high_m)) {
        return PLAN_FOUND;
    }
    if (!(low_m >= 0.0 && low_m < high_m && high_m <= HEIGHT_MAX_M)) {
        (void)hr_fail(why, HR_ERR_INPUT, NULL, 0,
                      "\"%s\": heights LOW-HIGH in metres above the floor were expected, LOW below HIGH", m->written);
        return PLAN_WRONG;
    }
    m->low_m = low_m;
    m->high_m = high_m;
    return PLAN_FOUND;
}

static plan_found read_opening(const plan_reader *r, plan_meaning *m, char *value, hr_error *why)
{
    const bool door = m->kind == HR_PLAN_DOORS;
    m->low_m = door ? DOOR_LOW_M : WINDOW_LOW_M;
    m->high_m = door ? DOOR_HIGH_M : WINDOW_HIGH_M;
    const plan_found found = take_heights(m, value, why);
    if (found != PLAN_FOUND) {
        return found;
    }
    const char *usual = door ? "timber-door" : "glass";
    return material_of(r, m, *value != '\0' ? value : usual, why);
}

static plan_found read_metal(const plan_reader *r, plan_meaning *m, char *value, hr_error *why)
{
    const plan_found found = take_heights(m, value, why);
    if (found != PLAN_FOUND) {
        return found;
    }
    size_t row = *value != '\0' ? find_material(r, value) : SIZE_MAX;
    m->unknown_metal = row == SIZE_MAX;
    if (row == SIZE_MAX) {
        row = hr_materials_find(r->materials, "sheet-metal");
    }
    if (row == SIZE_MAX) {
        return bad_material(r, m, "sheet-metal", why);
    }
    m->material = (uint32_t)row;
    return m->unknown_metal ? PLAN_WEAK : PLAN_FOUND;
}

static plan_found read_scale(plan_meaning *m, const char *value, hr_error *why)
{
    double length = 0.0;
    const size_t used = hr_number_scan(value, strlen(value), &length);
    const char *rest = value + used;
    rest += strspn(rest, " ");
    hr_length_unit unit = HR_METRES;
    const bool ok = used > 0 && hr_units_length_unit(rest, &unit);
    m->length_m = hr_units_to_metres(length, unit);
    if (!ok || !(m->length_m > 0.0 && m->length_m <= SCALE_MAX_M)) {
        (void)hr_fail(why, HR_ERR_INPUT, NULL, 0,
                      "\"%s\": the true length of the scale line was expected, as in scale: 10 m or scale: 30 ft",
                      m->written);
        return PLAN_BAD;
    }
    return PLAN_FOUND;
}

static plan_found read_device(const plan_reader *r, plan_meaning *m, const char *value, hr_error *why)
{
    const hr_plan_options *o = r->options;
    if (*value == '\0') {
        (void)hr_fail(why, HR_ERR_INPUT, NULL, 0, "\"%s\" names no kind of device; devices: KIND was expected",
                      m->written);
        return PLAN_BAD;
    }
    if (o->device_kinds == NULL) {
        return PLAN_FOUND;
    }
    for (size_t i = 0; i < o->device_kind_count; i++) {
        if (hr_casecmp(value, o->device_kinds[i]) == 0) {
            m->value = o->device_kinds[i];
            return PLAN_FOUND;
        }
    }
    const char *nearest = hr_nearest(value, o->device_kinds, o->device_kind_count, 3);
    if (nearest != NULL) {
        (void)hr_fail(why, HR_ERR_INPUT, NULL, 0, "\"%s\": %s is no kind of device; did you mean %s?", m->written,
                      value, nearest);
    } else {
        (void)hr_fail(why, HR_ERR_INPUT, NULL, 0, "\"%s\": the property file has no [device %s]", m->written, value);
    }
    return PLAN_BAD;
}

/* The value by the rules of its kind; heights are taken off it. */
static plan_found read_value(const plan_reader *r, plan_meaning *m, char *value, hr_error *why)
{
    switch (m->kind) {
    case HR_PLAN_WALLS:
    case HR_PLAN_SOLIDS:
        return read_wall(r, m, value, why);
    case HR_PLAN_DOORS:
    case HR_PLAN_WINDOWS:
        return read_opening(r, m, value, why);
    case HR_PLAN_METAL:
        return read_metal(r, m, value, why);
    case HR_PLAN_SCALE:
        return read_scale(m, value, why);
    case HR_PLAN_DEVICES:
        return read_device(r, m, value, why);
    case HR_PLAN_ROOMS:
    case HR_PLAN_AREAS:
    case HR_PLAN_CORRIDORS:
    case HR_PLAN_SLAB:
    case HR_PLAN_VOID:
    case HR_PLAN_SPOTS:
    case HR_PLAN_GATEWAYS:
    case HR_PLAN_NETWORK:
    case HR_PLAN_KEEP_OUT:
    case HR_PLAN_ORIGIN:
    case HR_PLAN_IGNORE:
    case HR_PLAN_KIND_COUNT:
        break;
    }
    return PLAN_FOUND;
}

/* A colon after a word within two edits of a kind. */
static plan_found look_misspelt(const char *text, size_t kind_len, hr_error *why)
{
    char word[PLAN_WORD_MAX];
    if (!plan_fold(text, kind_len, word, sizeof word)) {
        return PLAN_NOTHING;
    }
    const char *nearest = plan_misspelt_kind(word);
    if (nearest == NULL) {
        return PLAN_NOTHING;
    }
    (void)hr_fail(why, HR_ERR_INPUT, NULL, 0, "\"%s\": %s is not known; did you mean %s?", text, word, nearest);
    return PLAN_NEAR;
}

plan_found plan_read_word(plan_reader *r, const char *text, plan_meaning *meaning, hr_error *why)
{
    char word[PLAN_WORD_MAX];
    if (!plan_fold(text, strlen(text), word, sizeof word)) {
        return PLAN_NOTHING;
    }
    const char *colon = strchr(word, ':');
    const size_t kind_len = colon != NULL ? (size_t)(colon - word) : strlen(word);
    const hr_plan_kind kind = plan_kind_of(word, kind_len);
    if (kind == HR_PLAN_KIND_COUNT) {
        return colon != NULL ? look_misspelt(word, kind_len, why) : PLAN_NOTHING;
    }
    plan_meaning m = {.kind = kind, .written = word, .material = HR_PLAN_NONE, .low_m = -HUGE_VAL, .high_m = HUGE_VAL};
    char value[PLAN_WORD_MAX] = {0};
    if (colon != NULL && !plan_fold(colon + 1, strlen(colon + 1), value, sizeof value)) {
        return PLAN_NOTHING;
    }
    const plan_found found = read_value(r, &m, value, why);
    if (found != PLAN_FOUND && found != PLAN_WEAK) {
        return found;
    }
    const char *kept = m.value != NULL ? m.value : value;
    m.value = *kept != '\0' ? hr_arena_strdup(r->arena, kept) : NULL;
    m.written = hr_arena_strdup(r->arena, word);
    if (m.written == NULL || (*kept != '\0' && m.value == NULL)) {
        (void)hr_fail_memory(why);
        return PLAN_NOTHING;
    }
    *meaning = m;
    return found;
}
