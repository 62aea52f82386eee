/*
 * page_words.c - strings of the page's embedded data: each once, and written
 * so that neither an HTML parser nor a script engine ends early in them.
 *
 * SPDX-License-Identifier: MIT
 */
#include "page_priv.h"

#include <string.h>

static size_t hash(const char *text)
{
    uint32_t value = 2166136261U; /* FNV-1a */
    for (; *text != '\0'; text++) {
        value = (value ^ (unsigned char)*text) * 16777619U;
    }
    return value;
}

static size_t slot_of(const page_words *words, const char *text)
{
    size_t slot = hash(text) & (words->slot_count - 1);
    while (words->slots[slot] != 0 && strcmp(words->items[words->slots[slot] - 1], text) != 0) {
        slot = (slot + 1) & (words->slot_count - 1);
    }
    return slot;
}

/* Twice the slots once half of them are taken. */
static bool grow(page_words *words)
{
    if (words->slots != NULL && 2 * (words->count + 1) < words->slot_count) {
        return true;
    }
    const size_t wanted = words->slots == NULL ? 1024 : 2 * words->slot_count;
    uint32_t *slots = hr_alloc_zero(wanted, sizeof *slots);
    if (slots == NULL) {
        return false;
    }
    hr_free(words->slots);
    words->slots = slots;
    words->slot_count = wanted;
    for (size_t i = 0; i < words->count; i++) {
        slots[slot_of(words, words->items[i])] = (uint32_t)i + 1;
    }
    return true;
}

uint32_t page_word(page_words *words, const char *text)
{
    if (words->arena == NULL) {
        words->arena = hr_arena_new();
    }
    if (words->arena == NULL || !grow(words) || !HR_RESERVE(words->items, words->cap, words->count + 1)) {
        return UINT32_MAX;
    }
    const size_t slot = slot_of(words, text);
    if (words->slots[slot] == 0) {
        const char *kept = hr_arena_strdup(words->arena, text);
        if (kept == NULL) {
            return UINT32_MAX;
        }
        words->items[words->count++] = kept;
        words->slots[slot] = (uint32_t)words->count;
    }
    return words->slots[slot] - 1;
}

void page_words_free(page_words *words)
{
    hr_free(words->items);
    hr_free(words->slots);
    hr_arena_free(words->arena);
}

/* U+2028 and U+2029, which older script engines take for line ends. */
static bool is_line_separator(const unsigned char *at)
{
    return at[0] == 0xE2 && at[1] == 0x80 && (at[2] == 0xA8 || at[2] == 0xA9);
}

void page_json_text(hr_text *out, const char *text)
{
    hr_text_add(out, "\"");
    for (const unsigned char *at = (const unsigned char *)text; *at != '\0'; at++) {
        if (*at == '"' || *at == '\\') {
            hr_text_addf(out, "\\%c", *at);
        } else if (*at < 0x20 || *at == 0x7F || *at == '<' || *at == '>' || *at == '&') {
            hr_text_addf(out, "\\u%04x", *at);
        } else if (is_line_separator(at)) {
            hr_text_add(out, at[2] == 0xA8 ? "\\u2028" : "\\u2029");
            at += 2;
        } else {
            hr_text_add_n(out, (const char *)at, 1);
        }
    }
    hr_text_add(out, "\"");
}

void page_json_level(hr_text *out, double value)
{
    char number[HR_FIXED_MAX];
    hr_text_add(out, isfinite(value) ? hr_short(value, 4, number) : "null");
}
