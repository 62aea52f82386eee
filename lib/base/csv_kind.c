/*
 * csv_kind.c - what kind of list a spreadsheet wrote: cells parted by commas,
 * or, where the comma is the decimal mark, by semicolons or tabs; or no text
 * at all.
 *
 * SPDX-License-Identifier: MIT
 */
#include "base_priv.h"

#include <string.h>

static bool begins(const char *bytes, size_t len, const char *mark, size_t mark_len)
{
    return len >= mark_len && memcmp(bytes, mark, mark_len) == 0;
}

const char *base_csv_no_text(const char *bytes, size_t len)
{
    if (begins(bytes, len, "\xFF\xFE", 2) || begins(bytes, len, "\xFE\xFF", 2)) {
        return "UTF-16 text, save the list as UTF-8";
    }
    /* a zip archive, or an older compound document */
    if (begins(bytes, len, "PK\x03\x04", 4) || begins(bytes, len, "\xD0\xCF\x11\xE0", 4)) {
        return "a spreadsheet's own file, save it as CSV (UTF-8, parted by commas)";
    }
    return NULL;
}

/* The length of a first line like sep=; with its end, 0 when there is none. */
static size_t separator_line(const char *bytes, size_t len, char *separator)
{
    if (len < 5 || !hr_caseeq_n(bytes, "sep=", 4) || strchr(",;\t", bytes[4]) == NULL || bytes[4] == '\0') {
        return 0;
    }
    size_t at = 5;
    at += at < len && bytes[at] == '\r';
    if (at < len && bytes[at] != '\n') {
        return 0;
    }
    *separator = bytes[4];
    return at + (at < len);
}

/* Whether c stands in the line outside quotes. */
static bool line_holds(const char *line, size_t len, char c)
{
    bool quoted = false;
    for (size_t i = 0; i < len; i++) {
        quoted = quoted != (line[i] == '"');
        if (!quoted && line[i] == c) {
            return true;
        }
    }
    return false;
}

bool base_csv_is_blank(const char *line, size_t len)
{
    for (size_t i = 0; i < len && line[i] != '\n'; i++) {
        if (!base_is_blank(line[i])) {
            return false;
        }
    }
    return true;
}

bool base_csv_is_comment(const char *bytes, size_t len)
{
    return begins(bytes, len, "#", 1) || begins(bytes, len, "\"#", 2);
}

size_t base_csv_separator(const char *bytes, size_t len, char *separator)
{
    *separator = ',';
    const size_t first = separator_line(bytes, len, separator);
    for (size_t at = first; first == 0 && at < len;) {
        const char *end = memchr(bytes + at, '\n', len - at);
        const size_t line_len = end == NULL ? len - at : (size_t)(end - bytes) - at;
        const char *line = bytes + at;
        if (!base_csv_is_comment(line, line_len) && !base_csv_is_blank(line, line_len)) {
            /* the header: names hold no comma as a rule */
            *separator = line_holds(line, line_len, ',')    ? ','
                         : line_holds(line, line_len, ';')  ? ';'
                         : line_holds(line, line_len, '\t') ? '\t'
                                                            : ',';
            break;
        }
        at += line_len + 1;
    }
    return first;
}
