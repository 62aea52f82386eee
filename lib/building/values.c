/*
 * values.c - text to values by the key table: types, ranges, words beside
 * numbers, what this version does not have yet.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

#include <math.h>
#include <string.h>

#define CHOICES_MAX 8

/* Where noise_rise_db's default bends: 3 dB up to 1 GHz, 10 dB from 2.4 GHz. Assumed. */
#define NOISE_LOW_MHZ 1000.0
#define NOISE_LOW_DB 3.0
#define NOISE_HIGH_MHZ 2400.0
#define NOISE_HIGH_DB 10.0

double building_noise_rise_db(double freq_mhz)
{
    if (freq_mhz <= NOISE_LOW_MHZ) {
        return NOISE_LOW_DB;
    }
    if (freq_mhz >= NOISE_HIGH_MHZ) {
        return NOISE_HIGH_DB;
    }
    const double share = log10(freq_mhz / NOISE_LOW_MHZ) / log10(NOISE_HIGH_MHZ / NOISE_LOW_MHZ);
    /* to 0.1 dB, so that what is printed is what is in force */
    return hr_round(NOISE_LOW_DB + share * (NOISE_HIGH_DB - NOISE_LOW_DB), 1);
}

/* Place of text among "a|b|c", -1: not there. */
static int choice_of(const char *choices, const char *text)
{
    const size_t len = strlen(text);
    int place = 0;
    for (const char *at = choices; *at != '\0'; place++) {
        const size_t width = strcspn(at, "|");
        if (width == len && hr_caseeq_n(at, text, len)) {
            return place;
        }
        at += width + (at[width] == '|');
    }
    return -1;
}

/* Words beside numbers: no limit, or switched off. */
static bool word_value(const building_key_row *row, const char *text, double *number)
{
    if (choice_of(row->key.choices, text) < 0) {
        return false;
    }
    *number = hr_casecmp(text, "none") == 0 ? (double)INFINITY : 0.0;
    return true;
}

static bool within(const hr_key *key, double value)
{
    /* a range end written in feet may miss by its last digit */
    const double slack = key->type == HR_KEY_LENGTH ? 1e-9 : 0.0;
    return value >= key->low - slack && value <= key->high + slack;
}

bool building_value_of(const building_key_row *row, const char *text, hr_length_unit unit, building_value *value)
{
    building_value v = {.number = 0.0, .text = text};
    bool good = true;
    switch (row->key.type) {
    case HR_KEY_TEXT:
        good = row->text_size == 0 || strlen(text) < row->text_size;
        break;
    case HR_KEY_NUMBER:
    case HR_KEY_LENGTH:
        if (!word_value(row, text, &v.number)) {
            good = hr_number_parse(text, &v.number);
            v.number = row->key.type == HR_KEY_LENGTH ? hr_units_to_metres(v.number, unit) : v.number;
            good = good && within(&row->key, v.number);
        }
        break;
    case HR_KEY_INTEGER:
        good = hr_integer_parse(text, (long)row->key.low, (long)row->key.high, &v.integer);
        break;
    case HR_KEY_CHOICE:
        v.choice = choice_of(row->key.choices, text);
        good = v.choice >= 0;
        break;
    case HR_KEY_YES_NO:
        v.choice = choice_of("no|yes", text);
        v.yes = v.choice == 1;
        good = v.choice >= 0;
        break;
    }
    if (good) {
        *value = v;
    }
    return good;
}

static void add_short(hr_text *out, double value)
{
    char buf[HR_FIXED_MAX];
    hr_text_add(out, hr_short(value, 9, buf));
}

/* "a, b or c" from "a|b|c" */
static void add_choices(hr_text *out, const char *choices)
{
    for (const char *at = choices; *at != '\0';) {
        const size_t width = strcspn(at, "|");
        const bool last = at[width] == '\0';
        if (at != choices) {
            hr_text_add(out, last ? " or " : ", ");
        }
        hr_text_add_n(out, at, width);
        at += width + !last;
    }
}

void building_expected(const building_key_row *row, hr_length_unit unit, hr_text *out)
{
    char buf[HR_FIXED_MAX];
    const hr_key *key = &row->key;
    switch (key->type) {
    case HR_KEY_TEXT:
        hr_text_addf(out, "text of at most %zu bytes", row->text_size == 0 ? (size_t)199 : row->text_size - 1);
        break;
    case HR_KEY_NUMBER:
        hr_text_add(out, "a number from ");
        add_short(out, key->low);
        hr_text_add(out, " to ");
        add_short(out, key->high);
        hr_text_addf(out, "%s%s", key->unit[0] == '\0' ? "" : " ", key->unit);
        break;
    case HR_KEY_LENGTH:
        hr_text_addf(out, "a length from %s", hr_short(hr_units_from_metres(key->low, unit), 3, buf));
        hr_text_addf(out, " to %s", hr_short(hr_units_from_metres(key->high, unit), 3, buf));
        hr_text_addf(out, " %s", hr_units_length_name(unit));
        break;
    case HR_KEY_INTEGER:
        hr_text_addf(out, "a whole number from %ld to %ld", (long)key->low, (long)key->high);
        break;
    case HR_KEY_CHOICE:
    case HR_KEY_YES_NO:
        add_choices(out, key->choices);
        return;
    }
    if (key->choices[0] != '\0') {
        hr_text_add(out, " or ");
        add_choices(out, key->choices);
    }
}

static hr_status fail_text(const building_reader *r, const building_entry *entry, hr_text *text)
{
    const hr_status status = text->failed ? hr_fail_memory(r->err) : building_fail_entry(r, entry, text->bytes);
    hr_text_free(text);
    return status;
}

static hr_status bad_value(const building_reader *r, const building_entry *entry)
{
    hr_text text = {0};
    building_expected(entry->row, (hr_length_unit)r->property.length_unit, &text);
    hr_text_add(&text, " was expected");
    if (entry->row->key.type == HR_KEY_CHOICE) {
        char *words = hr_strdup(entry->row->key.choices);
        const char *list[CHOICES_MAX];
        size_t count = 0;
        for (char *at = words; at != NULL && count < CHOICES_MAX;) {
            list[count++] = at;
            at = strchr(at, '|');
            if (at != NULL) {
                *at++ = '\0';
            }
        }
        const char *nearest = hr_nearest(entry->value, list, count, 2);
        if (nearest != NULL) {
            hr_text_addf(&text, ", did you mean %s?", nearest);
        }
        hr_free(words);
    }
    return fail_text(r, entry, &text);
}

/* Puts a value where the table says. Numbers not given and without a default are NaN, texts NULL. */
static void store(const building_key_row *row, const building_value *value, void *out)
{
    char *at = (char *)out + row->key.offset;
    switch (row->key.type) {
    case HR_KEY_TEXT:
        if (row->text_size == 0) {
            *(const char **)(void *)at = value->text;
        } else {
            const char *text = value->text == NULL ? "" : value->text;
            memcpy(at, text, strlen(text) + 1);
        }
        break;
    case HR_KEY_NUMBER:
    case HR_KEY_LENGTH:
        *(double *)(void *)at = value->number;
        break;
    case HR_KEY_INTEGER:
        *(long *)(void *)at = value->integer;
        break;
    case HR_KEY_CHOICE:
        *(int *)(void *)at = value->choice;
        break;
    case HR_KEY_YES_NO:
        *(bool *)(void *)at = value->yes;
        break;
    }
}

static hr_status missing(const building_reader *r, const building_key_row *row, size_t section)
{
    const char *title = section == BUILDING_NONE ? row->key.section : r->sections[section].title;
    const int line = section == BUILDING_NONE ? 0 : r->sections[section].line;
    return hr_fail(r->err, HR_ERR_INPUT, r->file, line, "[%s] has no %s; %s", title, row->key.key, row->needed_for);
}

static hr_status fill_one(building_reader *r, const building_key_row *row, const building_entry *entry, size_t section,
                          void *out)
{
    building_value value = {.number = (double)NAN};
    if (entry != NULL) {
        if (!building_value_of(row, entry->value, (hr_length_unit)r->property.length_unit, &value)) {
            return bad_value(r, entry);
        }
    } else if (row->key.fallback == NULL) {
        /* the implied kind wall, as it is or touched by --set */
        const bool stands_in =
            row->target == BUILDING_DEVICE && (section == BUILDING_NONE || r->sections[section].line == 0);
        const bool lenient = row->target == BUILDING_RADIO && r->options.lenient;
        if (!stands_in && !lenient) {
            return missing(r, row, section);
        }
    } else if (row->key.fallback[0] != '\0') {
        /* a default that is words, not a value, is filled in by the section's own code */
        (void)building_value_of(row, row->key.fallback, HR_METRES, &value);
    }
    store(row, &value, out);
    return HR_OK;
}

hr_status building_fill(building_reader *r, building_target target, size_t section, void *out)
{
    const building_key_row *rows = NULL;
    const size_t count = building_rows(&rows);
    for (size_t i = 0; i < count; i++) {
        if (rows[i].target != target || rows[i].key.offset == SIZE_MAX) {
            continue; /* of another section, or kept by the section's own code */
        }
        const building_entry *entry = building_entry_of(r, section, rows[i].key.key);
        const hr_status status = fill_one(r, &rows[i], entry, section, out);
        if (status != HR_OK) {
            return status;
        }
    }
    return HR_OK;
}

bool building_clean_id(const char *text, hr_text *out)
{
    bool changed = false;
    for (const char *at = text; *at != '\0'; at++) {
        const unsigned char c = (unsigned char)*at;
        const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
                           c == '@' || c == '.' || c == '-';
        if (plain) {
            hr_text_add_n(out, at, 1);
        } else if ((c & 0xC0) != 0x80) { /* one for a whole character */
            hr_text_add(out, "-");
            changed = true;
        }
    }
    return changed;
}
