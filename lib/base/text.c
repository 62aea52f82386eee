/*
 * text.c - the growing byte string and what writers put into it.
 *
 * SPDX-License-Identifier: MIT
 */
#include "base_priv.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

void hr_text_free(hr_text *text)
{
    hr_free(text->bytes);
    *text = (hr_text){0};
}

void hr_text_add_n(hr_text *text, const char *s, size_t len)
{
    if (text->failed) {
        return;
    }
    if (len > SIZE_MAX / 2 - text->len || !HR_RESERVE(text->bytes, text->cap, text->len + len + 1)) {
        text->failed = true;
        return;
    }
    if (len > 0) {
        memcpy(text->bytes + text->len, s, len);
    }
    text->len += len;
    text->bytes[text->len] = '\0';
}

void hr_text_add(hr_text *text, const char *s)
{
    hr_text_add_n(text, s, strlen(s));
}

void hr_text_addf(hr_text *text, const char *fmt, ...)
{
    char small[256];
    va_list args;
    va_start(args, fmt);
    const int needed = vsnprintf(small, sizeof small, fmt, args);
    va_end(args);
    if (needed < 0) {
        text->failed = true;
        return;
    }
    if ((size_t)needed < sizeof small) {
        hr_text_add_n(text, small, (size_t)needed);
        return;
    }
    if (text->failed || !HR_RESERVE(text->bytes, text->cap, text->len + (size_t)needed + 1)) {
        text->failed = true;
        return;
    }
    va_start(args, fmt);
    (void)vsnprintf(text->bytes + text->len, (size_t)needed + 1, fmt, args);
    va_end(args);
    text->len += (size_t)needed;
}

void hr_text_fixed(hr_text *text, double value, int decimals)
{
    char buf[HR_FIXED_MAX];
    hr_text_add(text, hr_fixed(value, decimals, buf));
}

void hr_text_pad(hr_text *text, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        hr_text_add_n(text, " ", 1);
    }
}

/* The entity for a character, NULL when it stands as it is. */
static const char *xml_entity(char c)
{
    switch (c) {
    case '&':
        return "&amp;";
    case '<':
        return "&lt;";
    case '>':
        return "&gt;";
    case '"':
        return "&quot;";
    case '\'':
        return "&#39;";
    default:
        return NULL;
    }
}

/* Control characters but tab and line ends, U+FFFE and U+FFFF are no XML 1.0 characters. */
static bool is_xml_char(const char *s, size_t len)
{
    if (len == 1) {
        const unsigned char c = (unsigned char)*s;
        return (c >= 0x20 && c != 0x7F) || c == '\t' || c == '\n' || c == '\r';
    }
    return len > 1 && memcmp(s, "\xEF\xBF\xBE", 3) != 0 && memcmp(s, "\xEF\xBF\xBF", 3) != 0;
}

void hr_text_xml(hr_text *text, const char *s)
{
    size_t left = strlen(s);
    while (left > 0) {
        const size_t found = base_utf8_length(s, left);
        const size_t len = found == 0 ? 1 : found;
        const char *entity = xml_entity(*s);
        if (entity != NULL) {
            hr_text_add(text, entity);
        } else if (is_xml_char(s, found)) {
            hr_text_add_n(text, s, len);
        } else {
            hr_text_add(text, "\xEF\xBF\xBD");
        }
        s += len;
        left -= len;
    }
}

bool base_is_formula(const char *cell)
{
    cell += strspn(cell, "'");
    return *cell != '\0' && strchr("=+-@", *cell) != NULL;
}

void hr_text_csv(hr_text *text, const char *s)
{
    const size_t len = strlen(s);
    const bool formula = base_is_formula(s) || s[0] == '\t' || s[0] == '\r';
    /* "#" first in a row would read as a comment */
    const bool quoted =
        strpbrk(s, ",\"\r\n") != NULL || (len > 0 && (s[0] == '#' || base_is_blank(s[0]) || base_is_blank(s[len - 1])));
    if (quoted) {
        hr_text_add(text, "\"");
    }
    if (formula) {
        hr_text_add(text, "'");
    }
    for (; *s != '\0'; s++) {
        if (*s == '"') {
            hr_text_add(text, "\"");
        }
        hr_text_add_n(text, s, 1);
    }
    if (quoted) {
        hr_text_add(text, "\"");
    }
}

size_t hr_text_width(const char *s)
{
    size_t width = 0;
    for (; *s != '\0'; s++) {
        width += ((unsigned char)*s & 0xC0) != 0x80;
    }
    return width;
}

/* ---- UTF-8 ---- */

/* The length that a first byte promises and the range of the byte after it; 0: no first byte. */
static size_t utf8_lead(unsigned char c, unsigned char *low, unsigned char *high)
{
    *low = 0x80;
    *high = 0xBF;
    if (c >= 0xC2 && c <= 0xDF) {
        return 2;
    }
    if (c >= 0xE0 && c <= 0xEF) {
        *low = c == 0xE0 ? 0xA0 : 0x80;
        *high = c == 0xED ? 0x9F : 0xBF;
        return 3;
    }
    if (c >= 0xF0 && c <= 0xF4) {
        *low = c == 0xF0 ? 0x90 : 0x80;
        *high = c == 0xF4 ? 0x8F : 0xBF;
        return 4;
    }
    return 0;
}

size_t base_utf8_length(const char *s, size_t left)
{
    const unsigned char first = (unsigned char)s[0];
    if (first < 0x80) {
        return 1;
    }
    unsigned char low, high;
    const size_t len = utf8_lead(first, &low, &high);
    if (len == 0 || left < len || (unsigned char)s[1] < low || (unsigned char)s[1] > high) {
        return 0;
    }
    for (size_t i = 2; i < len; i++) {
        if (((unsigned char)s[i] & 0xC0) != 0x80) {
            return 0;
        }
    }
    return len;
}

void base_tidy(char *text)
{
    for (size_t left = strlen(text), len; left > 0; left -= len, text += len) {
        len = base_utf8_length(text, left);
        const unsigned char first = (unsigned char)*text;
        if (len == 0) {
            *text = '?';
            len = 1;
        } else if (first < 0x20 || first == 0x7F) {
            *text = ' ';
        }
    }
}
