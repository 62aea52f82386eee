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

static const char *const kind_names[HR_PLAN_KIND_COUNT] = {
    "walls", "solids",  "doors", "windows",  "rooms",   "areas",    "corridors", "metal",  "slab",
    "void",  "devices", "spots", "gateways", "network", "keep-out", "scale",     "origin", "ignore"};

const char *hr_plan_kind_name(hr_plan_kind kind)
{
    return (size_t)kind < HR_PLAN_KIND_COUNT ? kind_names[kind] : "";
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f' || c == '\v';
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}

bool plan_fold(const char *text, size_t len, char *out, size_t out_size)
{
    size_t used = 0;
    bool gap = false;
    for (size_t i = 0; i < len; i++) {
        const char c = text[i];
        if (is_blank(c) || (unsigned char)c < 0x20) {
            gap = used > 0;
            continue;
        }
        if (used + 2 + gap > out_size) {
            return false;
        }
        if (gap) {
            out[used++] = ' ';
            gap = false;
        }
        out[used++] = c;
    }
    out[used] = '\0';
    return true;
}

/* _xHH_ or _xHHHH_ at text: the character and the bytes it takes; 0: none. */
static size_t escaped(const char *text, uint32_t *code)
{
    if (text[0] != '_' || (text[1] != 'x' && text[1] != 'X')) {
        return 0;
    }
    size_t i = 2;
    *code = 0;
    for (; i < 8; i++) {
        const char c = text[i];
        const char low = c >= 'A' && c <= 'F' ? (char)(c - 'A' + 'a') : c;
        if (is_digit(low)) {
            *code = *code * 16 + (uint32_t)(low - '0');
        } else if (low >= 'a' && low <= 'f') {
            *code = *code * 16 + (uint32_t)(low - 'a' + 10);
        } else {
            break;
        }
    }
    const bool surrogate = *code >= 0xD800 && *code < 0xE000;
    return i > 3 && text[i] == '_' && *code > 0 && *code < 0x110000 && !surrogate ? i + 1 : 0;
}

static size_t put_utf8(uint32_t code, char out[4])
{
    if (code < 0x80) {
        out[0] = (char)code;
        return 1;
    }
    if (code < 0x800) {
        out[0] = (char)(0xC0 | (code >> 6));
        out[1] = (char)(0x80 | (code & 0x3F));
        return 2;
    }
    if (code < 0x10000) {
        out[0] = (char)(0xE0 | (code >> 12));
        out[1] = (char)(0x80 | ((code >> 6) & 0x3F));
        out[2] = (char)(0x80 | (code & 0x3F));
        return 3;
    }
    out[0] = (char)(0xF0 | (code >> 18));
    out[1] = (char)(0x80 | ((code >> 12) & 0x3F));
    out[2] = (char)(0x80 | ((code >> 6) & 0x3F));
    out[3] = (char)(0x80 | (code & 0x3F));
    return 4;
}

bool plan_decode_id(const char *id, char *out, size_t out_size)
{
    char plain[PLAN_WORD_MAX];
    size_t used = 0;
    for (size_t i = 0; id[i] != '\0';) {
        if (used + 5 > sizeof plain) {
            return false;
        }
        uint32_t code = 0;
        const size_t taken = escaped(id + i, &code);
        if (taken > 0) {
            used += put_utf8(code, plain + used);
            i += taken;
        } else {
            plain[used++] = id[i] == '_' ? ' ' : id[i];
            i++;
        }
    }
    return plan_fold(plain, used, out, out_size);
}

bool plan_strip_suffix(char *word)
{
    size_t end = strlen(word);
    while (end > 0 && (word[end - 1] == '_' || word[end - 1] == ' ')) {
        end--;
    }
    size_t digits = end;
    while (digits > 0 && is_digit(word[digits - 1])) {
        digits--;
    }
    if (digits == end || digits < 2 || strchr("-_ ", word[digits - 1]) == NULL) {
        return false;
    }
    size_t cut = digits - 1;
    while (cut > 0 && is_blank(word[cut - 1])) {
        cut--;
    }
    if (cut == 0 || word[cut - 1] == ':') {
        return false; /* the number is the value, not a suffix */
    }
    word[cut] = '\0';
    return true;
}

bool plan_is_automatic(const char *id)
{
    size_t i = 0;
    while (is_letter(id[i])) {
        i++;
    }
    if (i == 0) {
        return false;
    }
    if (id[i] == '_' || id[i] == '-') {
        i++;
    }
    if (!is_digit(id[i])) {
        return false;
    }
    while (is_digit(id[i]) || ((id[i] == '-' || id[i] == '_' || id[i] == '.') && is_digit(id[i + 1]))) {
        i++;
    }
    if (id[i] == '_') {
        i++; /* XMLID_12_ */
    }
    return id[i] == '\0';
}

/* Case, blanks, hyphens and underscores do not matter in a kind's name. */
static bool same_word(const char *text, size_t len, const char *word)
{
    size_t i = 0;
    for (;;) {
        while (i < len && (is_blank(text[i]) || text[i] == '-' || text[i] == '_')) {
            i++;
        }
        if (*word == '-') {
            word++;
        }
        if (i == len || *word == '\0') {
            return i == len && *word == '\0';
        }
        if (!hr_caseeq_n(text + i, word, 1)) {
            return false;
        }
        i++;
        word++;
    }
}

hr_plan_kind plan_kind_of(const char *word, size_t len)
{
    for (int kind = 0; kind < HR_PLAN_KIND_COUNT; kind++) {
        if (same_word(word, len, kind_names[kind])) {
            return (hr_plan_kind)kind;
        }
    }
    return HR_PLAN_KIND_COUNT;
}

const char *plan_nearest_kind(const char *name)
{
    const size_t whole = strlen(name);
    if (whole == 0 || whole >= PLAN_WORD_MAX) {
        return NULL;
    }
    const char *best = hr_nearest(name, kind_names, HR_PLAN_KIND_COUNT, whole < 6 ? 1 : 2);
    for (size_t i = 0; best == NULL && i < whole;) {
        size_t len = 0;
        while (is_letter(name[i + len])) {
            len++;
        }
        if (len >= 4) {
            char word[PLAN_WORD_MAX];
            memcpy(word, name + i, len);
            word[len] = '\0';
            best = hr_nearest(word, kind_names, HR_PLAN_KIND_COUNT, 1);
        }
        i += len > 0 ? len : 1;
    }
    return best;
}

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
        (void)hr_fail(why, HR_ERR_INPUT, NULL, 0, "\"%s\": %s is no known material; did you mean %s?", m->written, value,
                      nearest);
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
        (void)hr_fail(why, HR_ERR_INPUT, NULL, 0, "\"%s\" names no kind of device; devices: KIND was expected", m->written);
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
        (void)hr_fail(why, HR_ERR_INPUT, NULL, 0, "\"%s\": %s is no kind of device; did you mean %s?", m->written, value,
                      nearest);
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
    const char *nearest = hr_nearest(word, kind_names, HR_PLAN_KIND_COUNT, 2);
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
