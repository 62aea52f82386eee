/*
 * base_priv.h - shared inside lib/base only.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef BASE_PRIV_H
#define BASE_PRIV_H

#include "hr_base.h"

/* Bytes of the UTF-8 character at s, 0 when s[0..left) does not start with a
 * valid one. Overlong forms, surrogates and values above U+10FFFF are invalid.
 * left >= 1. Source: RFC 3629, section 4. */
size_t base_utf8_length(const char *s, size_t left);

/* Makes a message one line of valid UTF-8, in place: names from a drawing or a
 * list may bring line ends and escape sequences for the terminal along, and a
 * text cut at the end of its buffer may end inside a character. */
void base_tidy(char *text);

/* A cell that a spreadsheet would take for a formula, apostrophes before it or
 * not: writers put one more in front, the reader takes one off. */
bool base_is_formula(const char *cell);

/* What may stand round a cell without belonging to it. */
static inline bool base_is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r';
}

/* ---- csv_kind.c ---- */

/* Why the bytes are no text of ours at all, in words; NULL: they may be. */
const char *base_csv_no_text(const char *bytes, size_t len);
/* What parts the cells: , ; or a tab, by a first line "sep=;" or else by the
 * header. Returns the bytes of that first line, 0 where there is none. */
size_t base_csv_separator(const char *bytes, size_t len, char *separator);
/* A line like "# key = value", in quotes or not. */
bool base_csv_is_comment(const char *bytes, size_t len);
/* Nothing but blanks up to the line's end, or the last byte. */
bool base_csv_is_blank(const char *line, size_t len);

#endif
