/*
 * rows.c - a list cut into rows by what their quotes hold, so that one row
 * that cannot be read leaves the others standing.
 *
 * SPDX-License-Identifier: MIT
 */
#include "readings_priv.h"

#include <string.h>

/* A quoted cell may hold line ends; one that never closes is not to swallow the list. */
#define ROW_LINES_MAX 20

/* Over a quoted cell from its opening quote on; false when it does not close as cells do. */
static bool pass_quoted(const char **at, const char *end, int *lines)
{
    for ((*at)++; *at < end && *lines < ROW_LINES_MAX; (*at)++) {
        *lines += **at == '\n';
        if (**at != '"') {
            continue;
        }
        if (*at + 1 < end && (*at)[1] == '"') {
            (*at)++;
            continue;
        }
        const char *after = ++*at;
        while (after < end && *after == ' ') {
            after++;
        }
        return after == end || strchr(",;\t\r\n", *after) != NULL;
    }
    return false;
}

/* The end of the row that begins at `at`, before its line end; *lines: line ends in its cells. */
static const char *row_end(const char *at, const char *end, int *lines)
{
    bool start = true; /* of a cell */
    *lines = 0;
    while (at < end && *at != '\n') {
        if (*at == '"' && start) {
            if (!pass_quoted(&at, end, lines)) {
                return NULL;
            }
            start = false;
            continue;
        }
        start = strchr(",;\t", *at) != NULL || (start && *at == ' ');
        at++;
    }
    return at;
}

bool reading_next_row(reading_rows *rows, const char **text, size_t *len)
{
    if (rows->at >= rows->len) {
        return false;
    }
    const char *begin = rows->bytes + rows->at, *stop = rows->bytes + rows->len;
    int lines = 0;
    const char *end = row_end(begin, stop, &lines);
    if (end == NULL) { /* no such row: just the line */
        lines = 0;
        end = memchr(begin, '\n', (size_t)(stop - begin));
        end = end == NULL ? stop : end;
    }
    *len = (size_t)(end - begin);
    rows->at += *len + (end < stop);
    rows->line = rows->next_line + 1;
    rows->next_line += lines + 1;
    *len -= *len > 0 && begin[*len - 1] == '\r';
    *text = begin;
    return true;
}

bool reading_row_is_blank(const char *text, size_t len)
{
    for (size_t i = 0; i < len; i++) {
        if (strchr(" \t,;\"\r", text[i]) == NULL || text[i] == '\0') {
            return false;
        }
    }
    return true;
}
