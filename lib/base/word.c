/*
 * word.c - names without case, edit distance, the set of names, notes.
 *
 * SPDX-License-Identifier: MIT
 */
#include "base_priv.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* The longest word whose edits are counted: HR_MAX_NAME_BYTES, with room. */
#define WORD_MAX 300
#define NOTE_MAX 600

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

int hr_casecmp(const char *a, const char *b)
{
    for (;; a++, b++) {
        const unsigned char left = (unsigned char)lower(*a), right = (unsigned char)lower(*b);
        if (left != right) {
            return left < right ? -1 : 1;
        }
        if (left == 0) {
            return 0;
        }
    }
}

bool hr_caseeq_n(const char *a, const char *b, size_t len)
{
    for (size_t i = 0; i < len; i++) {
        if (lower(a[i]) != lower(b[i])) {
            return false;
        }
        if (a[i] == '\0') {
            return true;
        }
    }
    return true;
}

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* Optimal string alignment distance; anything above cap reads as cap + 1, and a
 * word longer than WORD_MAX is far from every other. */
size_t hr_edit_distance(const char *a, const char *b, size_t cap)
{
    cap = least(cap, WORD_MAX);
    const size_t la = strlen(a), lb = strlen(b);
    if (la > WORD_MAX || lb > WORD_MAX) {
        return hr_casecmp(a, b) == 0 ? 0 : cap + 1;
    }
    if ((la > lb ? la - lb : lb - la) > cap) {
        return cap + 1;
    }
    size_t rows[3][WORD_MAX + 1];
    for (size_t j = 0; j <= lb; j++) {
        rows[0][j] = j;
    }
    for (size_t i = 1; i <= la; i++) {
        size_t *now = rows[i % 3], *before = rows[(i + 2) % 3], *two_before = rows[(i + 1) % 3];
        now[0] = i;
        for (size_t j = 1; j <= lb; j++) {
            const size_t change = lower(a[i - 1]) != lower(b[j - 1]);
            now[j] = least(least(before[j] + 1, now[j - 1] + 1), before[j - 1] + change);
            if (i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) && lower(a[i - 2]) == lower(b[j - 1])) {
                now[j] = least(now[j], two_before[j - 2] + 1);
            }
        }
    }
    return least(rows[la % 3][lb], cap + 1);
}

const char *hr_nearest(const char *word, const char *const *candidates, size_t count, size_t max_edits)
{
    const char *best = NULL;
    size_t best_edits = least(max_edits, WORD_MAX) + 1;
    for (size_t i = 0; i < count; i++) {
        if (candidates[i] == NULL) {
            continue;
        }
        const size_t edits = hr_edit_distance(word, candidates[i], max_edits);
        if (edits < best_edits) {
            best = candidates[i];
            best_edits = edits;
        }
    }
    return best;
}

/* ---- set of names ---- */

typedef struct name_slot {
    char *name; /* NULL: free */
    size_t value;
} name_slot;

struct hr_names {
    name_slot *slots;
    size_t count, cap; /* cap is a power of two */
};

/* FNV-1a, 64 bits (Fowler, Noll, Vo), over lower-case bytes. */
static size_t hash_of(const char *name)
{
    uint64_t hash = UINT64_C(14695981039346656037);
    for (; *name != '\0'; name++) {
        hash = (hash ^ (unsigned char)lower(*name)) * UINT64_C(1099511628211);
    }
    return (size_t)(hash ^ (hash >> 32));
}

hr_names *hr_names_new(void)
{
    return hr_alloc_zero(1, sizeof(hr_names));
}

void hr_names_free(hr_names *names)
{
    if (names == NULL) {
        return;
    }
    for (size_t i = 0; i < names->cap; i++) {
        hr_free(names->slots[i].name);
    }
    hr_free(names->slots);
    hr_free(names);
}

static name_slot *slot_of(name_slot *slots, size_t cap, const char *name)
{
    size_t at = hash_of(name) & (cap - 1);
    while (slots[at].name != NULL && hr_casecmp(slots[at].name, name) != 0) {
        at = (at + 1) & (cap - 1);
    }
    return &slots[at];
}

static bool grow_names(hr_names *names)
{
    const size_t cap = names->cap == 0 ? 64 : names->cap * 2;
    name_slot *slots = hr_alloc_zero(cap, sizeof *slots);
    if (slots == NULL) {
        return false;
    }
    for (size_t i = 0; i < names->cap; i++) {
        if (names->slots[i].name != NULL) {
            *slot_of(slots, cap, names->slots[i].name) = names->slots[i];
        }
    }
    hr_free(names->slots);
    names->slots = slots;
    names->cap = cap;
    return true;
}

bool hr_names_add(hr_names *names, const char *name, size_t value)
{
    if ((names->count + 1) * 2 > names->cap && !grow_names(names)) {
        return false;
    }
    name_slot *slot = slot_of(names->slots, names->cap, name);
    if (slot->name != NULL) {
        return true;
    }
    slot->name = hr_strdup(name);
    if (slot->name == NULL) {
        return false;
    }
    slot->value = value;
    names->count++;
    return true;
}

size_t hr_names_find(const hr_names *names, const char *name)
{
    if (names->cap == 0) {
        return SIZE_MAX;
    }
    const name_slot *slot = slot_of(names->slots, names->cap, name);
    return slot->name != NULL ? slot->value : SIZE_MAX;
}

/* ---- notes ---- */

struct hr_notes {
    char **texts;
    size_t count, cap;
    hr_names *seen;
    bool failed;
};

hr_notes *hr_notes_new(void)
{
    hr_notes *notes = hr_alloc_zero(1, sizeof *notes);
    if (notes != NULL) {
        notes->seen = hr_names_new();
        if (notes->seen == NULL) {
            hr_free(notes);
            return NULL;
        }
    }
    return notes;
}

void hr_notes_free(hr_notes *notes)
{
    if (notes == NULL) {
        return;
    }
    for (size_t i = 0; i < notes->count; i++) {
        hr_free(notes->texts[i]);
    }
    hr_free(notes->texts);
    hr_names_free(notes->seen);
    hr_free(notes);
}

/* The set of names finds a text in one look, but knows no case: a text that
 * differs from an earlier one in case alone is looked for one by one. */
static bool is_known(const hr_notes *notes, const char *text)
{
    const size_t found = hr_names_find(notes->seen, text);
    for (size_t i = found; i < notes->count; i++) {
        if (strcmp(notes->texts[i], text) == 0) {
            return true;
        }
    }
    return false;
}

static void keep_note(hr_notes *notes, const char *text)
{
    if (is_known(notes, text)) {
        return;
    }
    char *copy = hr_strdup(text);
    if (copy == NULL || !HR_RESERVE(notes->texts, notes->cap, notes->count + 1) ||
        !hr_names_add(notes->seen, text, notes->count)) {
        hr_free(copy);
        notes->failed = true;
        return;
    }
    notes->texts[notes->count++] = copy;
}

void hr_note(hr_notes *notes, const char *file, int line, const char *fmt, ...)
{
    if (notes == NULL) {
        return;
    }
    char text[NOTE_MAX];
    int used = 0;
    if (file != NULL && line > 0) {
        used = snprintf(text, sizeof text, "%s:%d: ", file, line);
    } else if (file != NULL) {
        used = snprintf(text, sizeof text, "%s: ", file);
    }
    if (used < 0 || (size_t)used >= sizeof text) {
        used = 0;
    }
    va_list args;
    va_start(args, fmt);
    (void)vsnprintf(text + used, sizeof text - (size_t)used, fmt, args);
    va_end(args);
    base_tidy(text);
    keep_note(notes, text);
}

size_t hr_notes_count(const hr_notes *notes)
{
    return notes == NULL ? 0 : notes->count;
}

const char *hr_notes_text(const hr_notes *notes, size_t index)
{
    return index < hr_notes_count(notes) ? notes->texts[index] : NULL;
}

void hr_notes_fail(hr_notes *notes)
{
    if (notes != NULL) {
        notes->failed = true;
    }
}

bool hr_notes_failed(const hr_notes *notes)
{
    return notes != NULL && notes->failed;
}
