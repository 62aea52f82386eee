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
    READING_COLUMNS
};

extern const char *const reading_column_names[READING_COLUMNS];

/* One row while it is read: its cells, and why it cannot be used. */
typedef struct reading_row {
    const hr_building *building;
    const char *cells[READING_COLUMNS]; /* "" where there is none */
    hr_text why;                        /* empty: all is well */
} reading_row;

/* ends.c: both ends of the row; false with row->why. */
bool reading_ends(reading_row *row, hr_reading *reading);

#endif
