/*
 * published.h - published figures as rows of CSV, and how each is computed.
 *
 * A file has the comment `# rows = N` and the columns id, function, expected,
 * tolerance, source, note, and whatever inputs its functions take. The
 * tolerance is half the last printed digit of `expected`, unless the note says
 * `tolerance: why`. A source that was recalled is marked `from memory` in the
 * row's note.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef PUBLISHED_H
#define PUBLISHED_H

#include "hr_base.h"
#include "hr_materials.h"

typedef struct pub_row {
    const hr_csv *csv;
    size_t row;
    const char *id, *function, *source;
    double expected, tolerance;
    char *trouble; /* text of PUB_TEXT bytes: what an input lacked */
} pub_row;

#define PUB_TEXT 400

/* An input of the row: a number, or NaN with `trouble` set. */
double pub_in(const pub_row *row, const char *column);
/* An input that is a word, "" with `trouble` set. */
const char *pub_word(const pub_row *row, const char *column);

typedef double (*pub_compute)(const pub_row *row);

typedef struct pub_adapter {
    const char *function;
    pub_compute compute;
} pub_adapter;

/* Each adapters_*.c ends its list with a NULL name. */
extern const pub_adapter pub_basic[];
extern const pub_adapter pub_models[];
extern const pub_adapter pub_physics[];

pub_compute pub_find(const char *function);

typedef struct pub_table {
    hr_csv *csv;
    pub_row *rows;
    size_t count;
    char trouble[PUB_TEXT];
} pub_table;

/* Reads and checks a table; false with what is wrong in message. */
bool pub_load(const char *file, const char *bytes, size_t len, const hr_material_rows *sources, pub_table *table,
              char message[PUB_TEXT]);
void pub_free(pub_table *table);

/* Computes a row and compares; nudge is added to the expected figure. False
 * with a message that begins with the row's id. */
bool pub_check(const pub_row *row, double nudge, char message[PUB_TEXT]);

/* Half of the last digit that a printed number shows: "2.15" 0.005, "9e-10" 5e-11. */
double pub_half_digit(const char *number);

#endif
