/* readings_priv.h - shared by the files of this module only.
 * SPDX-License-Identifier: MIT */
#ifndef READINGS_PRIV_H
#define READINGS_PRIV_H

#include "hr_readings.h"

enum {
    READING_FROM = 0,
    READING_TO,
    READING_RSSI,
    READING_THRESHOLD,
    READING_GATEWAY,
    READING_ROOM,
    READING_STOREY,
    READING_X,
    READING_Y,
    READING_MOUNT,
    READING_KIND,
    READING_JOINED,
    READING_LOSS,
    READING_COLUMNS
};

extern const char *const reading_column_names[READING_COLUMNS];

/* One row while it is read: its cells, and why it cannot be used. */
typedef struct reading_row {
    const hr_building *building;
    const hr_csv *csv; /* for its numbers */
    const char *cells[READING_COLUMNS]; /* "" where there is none */
    hr_text why;                        /* empty: all is well */
    hr_notes *notes;
    const char *file;
    int line;
    bool by_number;                     /* a name is being taken by its number */
    bool point_unused;                  /* both ends are named and a point stands beside them */
} reading_row;

/* ends.c: both ends of the row; false with row->why. */
bool reading_ends(reading_row *row, hr_reading *reading);

/* ---- rows.c ---- */

typedef struct reading_rows {
    const char *bytes;
    size_t len, at; /* at: where the next row begins */
    int line;       /* where the row last taken begins, from 1 */
    int next_line;  /* lines taken */
} reading_rows;

/* The next row without its line end; false at the end of the list. */
bool reading_next_row(reading_rows *rows, const char **text, size_t *len);
/* Nothing but separators and blanks. */
bool reading_row_is_blank(const char *text, size_t len);

#endif
