/*
 * spelling.c - how names are spelt: kinds, blanks, ids as editors write them
 * and the suffixes they add.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <string.h>

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

const char *plan_misspelt_kind(const char *word)
{
    return hr_nearest(word, kind_names, HR_PLAN_KIND_COUNT, 2);
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
