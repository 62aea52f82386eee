/*
 * hr_base.h - what every other part of hallreach stands on: status and error
 * text, memory, growing arrays, numbers, text, CSV, bytes in, whole files out.
 *
 * No other header of the library is included here and no foreign library is
 * used. Nothing in this file depends on the locale.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_BASE_H
#define HR_BASE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

/* Marks a symbol that the shared library exports; everything else is hidden. */
#if defined(__GNUC__)
#define HR_API __attribute__((visibility("default")))
#define HR_PRINTF(fmt_arg, first_arg) __attribute__((format(printf, fmt_arg, first_arg)))
#else
#define HR_API
#define HR_PRINTF(fmt_arg, first_arg)
#endif

/* Version of the library, "0.1.0". */
HR_API const char *hr_version(void);

/* ---- status and error text ------------------------------------------- */

/* Outcome of every function that can fail. Append only: the numbers are ABI. */
typedef enum hr_status {
    HR_OK = 0,
    HR_ERR_ARGUMENT,    /* a caller broke a documented domain                  */
    HR_ERR_USAGE,       /* wrong command line                                  */
    HR_ERR_INPUT,       /* an input is missing, unreadable or invalid          */
    HR_ERR_UNAVAILABLE, /* a defined feature that this version does not have   */
    HR_ERR_LIMIT,       /* an input exceeds a limit of hr_limits.h             */
    HR_ERR_OUTPUT,      /* an output could not be written                      */
    HR_ERR_MEMORY,      /* memory ran out                                      */
    HR_ERR_INTERRUPTED  /* the user asked to stop                              */
} hr_status;

#define HR_ERROR_TEXT_MAX 400
#define HR_ERROR_FILE_MAX 256

/*
 * Caller-owned description of a failure. Functions that take an hr_error
 * accept NULL. It is written only on failure; out-parameters only on success.
 */
typedef struct hr_error {
    hr_status status;
    char file[HR_ERROR_FILE_MAX]; /* "" when no file is concerned             */
    int line;                     /* 1-based; 0 when unknown                  */
    char text[HR_ERROR_TEXT_MAX]; /* what is wrong, what was expected         */
} hr_error;

/* Short lower-case name of a status ("input", "memory" ...), never NULL. */
HR_API const char *hr_status_name(hr_status status);

/* Exit status of the command for a status, as documented: 0, 2, 3, 4 or 130. */
HR_API int hr_status_exit(hr_status status);

/*
 * Fills *err (if not NULL) and returns status, so that a failing function can
 * end with `return hr_fail(err, ...)`. file may be NULL. Only integers and
 * strings may be formatted (%s %d %zu %c ...): a %f would follow the locale;
 * pass numbers through hr_fixed().
 */
HR_API hr_status hr_fail(hr_error *err, hr_status status, const char *file, int line, const char *fmt,
                         ...) HR_PRINTF(5, 6);

/* hr_fail for HR_ERR_MEMORY with its usual text. In sight of callers, so that a compiler or analyser knows that it
 * never returns HR_OK. */
static inline hr_status hr_fail_memory(hr_error *err)
{
    (void)hr_fail(err, HR_ERR_MEMORY, NULL, 0, "memory ran out");
    return HR_ERR_MEMORY;
}

/* Writes "file:line: text" (parts that are unknown left out) into out. */
HR_API void hr_error_format(const hr_error *err, char *out, size_t out_size);

/* ---- memory ------------------------------------------------------------ */

/* malloc/calloc/realloc with checked sizes; NULL when memory runs out or the
 * size overflows. A size of zero gives a valid pointer. Free with hr_free. */
HR_API void *hr_alloc(size_t count, size_t size);
HR_API void *hr_alloc_zero(size_t count, size_t size);
HR_API void *hr_resize(void *block, size_t count, size_t size);
HR_API void hr_free(void *block); /* NULL is fine */
HR_API char *hr_strdup(const char *text);
HR_API char *hr_strndup(const char *text, size_t len);

/* Makes room for at least `need` elements in a growing array. *items may be
 * NULL with *cap 0. Returns false, leaving both untouched, when memory runs
 * out. Use through HR_RESERVE so that the element size is right. */
HR_API bool hr_reserve(void **items, size_t *cap, size_t need, size_t elem_size);
#define HR_RESERVE(items, cap, need) hr_reserve((void **)(void *)&(items), &(cap), (need), sizeof *(items))

/* An arena: many small blocks, freed together. Blocks are 16-byte aligned. */
typedef struct hr_arena hr_arena;
HR_API hr_arena *hr_arena_new(void);       /* NULL when memory runs out */
HR_API void hr_arena_free(hr_arena *arena); /* NULL is fine */
HR_API void *hr_arena_alloc(hr_arena *arena, size_t count, size_t size); /* not zeroed; NULL when out */
HR_API char *hr_arena_strndup(hr_arena *arena, const char *text, size_t len);
HR_API char *hr_arena_strdup(hr_arena *arena, const char *text);

/* ---- numbers ----------------------------------------------------------- */

/*
 * Reads one number at the start of text[0..len): [+-]digits[.digits][e[+-]digits]
 * with at least one digit, a trailing "." allowed (SVG 1.1 number grammar).
 * "nan", "inf" and hexadecimal are not numbers. Correctly rounded, independent
 * of the locale. Returns the bytes used, 0 when there is no number or when the
 * value is not finite (1e999); *value is then untouched.
 */
HR_API size_t hr_number_scan(const char *text, size_t len, double *value);

/* The whole of text (surrounding blanks allowed) as one number. */
HR_API bool hr_number_parse(const char *text, double *value);

/* The whole of text as a whole number within [low, high]. */
HR_API bool hr_integer_parse(const char *text, long low, long high, long *value);

/* Longest text hr_fixed can write, with its closing zero. */
#define HR_FIXED_MAX 48

/*
 * value with a fixed number of decimals (0..9), "." as separator, never "-0.0".
 * Rounds half away from zero on the decimal value of the double. Not finite:
 * "-" (unknown). Magnitudes above 1e15 are clamped. Writes into buf, returns buf.
 */
HR_API char *hr_fixed(double value, int decimals, char buf[HR_FIXED_MAX]);

/* As hr_fixed with trailing zeros (and a bare point) removed: 30.48, 2, 0.5. */
HR_API char *hr_short(double value, int max_decimals, char buf[HR_FIXED_MAX]);

/* value rounded to a multiple of 10^-decimals (0..12), -0 made +0. */
HR_API double hr_round(double value, int decimals);

/* A level in whole micro-decibels: how levels are compared, sorted and tied.
 * Clamped to +-9e15; NaN gives INT64_MIN. */
HR_API int64_t hr_micro(double db);

/* ---- text -------------------------------------------------------------- */

/* A growing byte string, always closed by a zero once something was added. A
 * failed addition sets `failed` and later additions do nothing, so that a
 * writer checks once at its end. Initialise with {0}. */
typedef struct hr_text {
    char *bytes;
    size_t len, cap;
    bool failed;
} hr_text;

HR_API void hr_text_free(hr_text *text);
HR_API void hr_text_add(hr_text *text, const char *s);
HR_API void hr_text_add_n(hr_text *text, const char *s, size_t len);
HR_API void hr_text_addf(hr_text *text, const char *fmt, ...) HR_PRINTF(2, 3); /* no %f %g %e */
HR_API void hr_text_fixed(hr_text *text, double value, int decimals);
HR_API void hr_text_pad(hr_text *text, size_t count); /* blanks */
/* s with & < > " ' replaced by entities and control characters by U+FFFD. */
HR_API void hr_text_xml(hr_text *text, const char *s);
/* One CSV cell by RFC 4180: quoted when it holds , " CR LF or blanks at an end.
 * A text cell that a spreadsheet would take for a formula (= + - @ first, or
 * after apostrophes) gets a leading apostrophe, which hr_csv_parse takes off again, and so does one with a
 * tab or a carriage return first, where it stays; numbers go through hr_text_fixed and stay as they are. */
HR_API void hr_text_csv(hr_text *text, const char *s);
/* Shown width of UTF-8 text in columns (counts code points). */
HR_API size_t hr_text_width(const char *s);

/* Case-insensitive (ASCII) comparison, as strcmp. */
HR_API int hr_casecmp(const char *a, const char *b);
HR_API bool hr_caseeq_n(const char *a, const char *b, size_t len);

/* The candidate nearest to word by edit distance (insert, delete, replace,
 * swap of neighbours; case-insensitive), NULL when none is within max_edits.
 * Ties: the earliest. NULL candidates are skipped. */
HR_API const char *hr_nearest(const char *word, const char *const *candidates, size_t count, size_t max_edits);
HR_API size_t hr_edit_distance(const char *a, const char *b, size_t cap);

/* ---- names ------------------------------------------------------------- */

/* A set of names, compared without case, each with a number of the caller's. */
typedef struct hr_names hr_names;
HR_API hr_names *hr_names_new(void);
HR_API void hr_names_free(hr_names *names);
/* False when memory ran out. An existing name keeps its first value. The text is copied. */
HR_API bool hr_names_add(hr_names *names, const char *name, size_t value);
/* The value of name, or SIZE_MAX. */
HR_API size_t hr_names_find(const hr_names *names, const char *name);

/* ---- notes: warnings collected on the way ------------------------------ */

/* Warnings in the order they arose, equal texts once. Passed as NULL where
 * nobody listens. */
typedef struct hr_notes hr_notes;
HR_API hr_notes *hr_notes_new(void);
HR_API void hr_notes_free(hr_notes *notes);
/* Adds "file:line: text" (file NULL: just the text). Out of memory is
 * remembered, see hr_notes_failed. */
HR_API void hr_note(hr_notes *notes, const char *file, int line, const char *fmt, ...) HR_PRINTF(4, 5);
HR_API size_t hr_notes_count(const hr_notes *notes);
HR_API const char *hr_notes_text(const hr_notes *notes, size_t index);
HR_API bool hr_notes_failed(const hr_notes *notes);
/* Marks them as failed: memory ran out before a note could be worded. */
HR_API void hr_notes_fail(hr_notes *notes);

/* ---- bytes in, whole files out ----------------------------------------- */

/* Reads a whole file ("-": standard input) of at most max_bytes. *bytes gets a
 * zero after its end and is freed with hr_free. Errors: HR_ERR_INPUT with the
 * system's reason, HR_ERR_LIMIT naming the cap, HR_ERR_MEMORY. */
HR_API hr_status hr_file_read(const char *path, size_t max_bytes, char **bytes, size_t *len, hr_error *err);

/* Writes a whole file or nothing: a temporary beside the target, fsync, rename.
 * An existing file is untouched on failure; a symbolic link is followed. "-" and
 * devices or pipes are written straight. */
HR_API hr_status hr_file_write(const char *path, const char *bytes, size_t len, hr_error *err);

/* Removes temporaries still open; async-signal-safe, for an interrupt handler. */
HR_API void hr_file_abandon(void);

/* path taken relative to the folder of base_file unless absolute; FOLDER/../ is
 * taken out where FOLDER is a folder and no link. NULL: out of memory. */
HR_API char *hr_path_beside(const char *base_file, const char *path);

/* ---- CSV in ------------------------------------------------------------ */

/* A CSV table by RFC 4180: header row, `#` comment lines and rows without
 * anything in them skipped, quotes, CRLF or LF, an optional UTF-8 byte order
 * mark. A header without commas parts its cells by semicolons, or else tabs;
 * so does a first line `sep=;`. */
typedef struct hr_csv hr_csv;

/* Reads a table from bytes. file is used in messages only. A row with more or
 * fewer cells than the header is HR_ERR_INPUT with its line, as are stray
 * quotes, invalid UTF-8, zero bytes and a column named twice. A column without
 * a name is never found. */
HR_API hr_status hr_csv_parse(const char *file, const char *bytes, size_t len, hr_csv **csv, hr_error *err);
HR_API void hr_csv_free(hr_csv *csv);
HR_API size_t hr_csv_rows(const hr_csv *csv);    /* without the header */
HR_API size_t hr_csv_columns(const hr_csv *csv);
HR_API const char *hr_csv_column_name(const hr_csv *csv, size_t column);
HR_API size_t hr_csv_column(const hr_csv *csv, const char *name); /* no case; SIZE_MAX: none */
/* Trimmed, without the apostrophe that hr_text_csv puts before a formula; "" when empty, and outside the table: a column that is not there (SIZE_MAX) reads as empty. */
HR_API const char *hr_csv_cell(const hr_csv *csv, size_t row, size_t column);
/* The whole of a cell's text as one number (see hr_number_parse). In a list parted
 * by semicolons or tabs one comma may stand for the decimal point. */
HR_API bool hr_csv_number(const hr_csv *csv, const char *cell, double *value);
HR_API int hr_csv_line(const hr_csv *csv, size_t row); /* 1-based line where the row starts */
/* Value of a leading comment line "# key = value", NULL when there is none. */
HR_API const char *hr_csv_comment(const hr_csv *csv, const char *key);
HR_API const char *hr_csv_file(const hr_csv *csv);

#ifdef __cplusplus
}
#endif
#endif
