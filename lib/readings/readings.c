/*
 * readings.c - a list of measured levels, row by row: a row that cannot be
 * used is said with its line and leaves the others standing. Each row is
 * therefore taken by itself, under the list's own header.
 *
 * SPDX-License-Identifier: MIT
 */
#include "readings_priv.h"

#include <math.h>
#include <string.h>

#include "hr_limits.h"

/* Receivers show nothing outside this; a larger figure is a slip of the hand. */
#define LEVEL_LOW_DBM (-200.0)
#define LEVEL_HIGH_DBM 50.0

const char *const reading_column_names[READING_COLUMNS] = {
    "from", "to", "rssi_dbm", "threshold_dbm", "gateway", "room", "storey", "x", "y", "mount_height", "kind"};

typedef struct list_reader {
    const hr_building *b;
    const char *file;
    const char *bytes;
    size_t len, at; /* at: where the next line begins */
    int line;       /* of the line last taken */
    size_t header_len;
    hr_text work;   /* the header, then one row */
    size_t columns[READING_COLUMNS];
    hr_readings *out;
    size_t cap, fault_cap;
    hr_notes *notes;
    hr_error *err;
} list_reader;

void hr_readings_free(hr_readings *readings)
{
    if (readings != NULL) {
        hr_free(readings->items);
        hr_free(readings->faults);
        hr_arena_free(readings->arena);
        hr_free(readings);
    }
}

/* The next line without its end; false at the end of the list. */
static bool next_line(list_reader *l, const char **text, size_t *len)
{
    if (l->at >= l->len) {
        return false;
    }
    const char *begin = l->bytes + l->at;
    const char *end = memchr(begin, '\n', l->len - l->at);
    *len = end == NULL ? l->len - l->at : (size_t)(end - begin);
    l->at += *len + (end != NULL);
    l->line++;
    *len -= *len > 0 && begin[*len - 1] == '\r';
    *text = begin;
    return true;
}

static bool is_blank(const char *text, size_t len)
{
    for (size_t i = 0; i < len; i++) {
        if (text[i] != ' ' && text[i] != '\t' && text[i] != ',') {
            return false;
        }
    }
    return true;
}

static hr_status check_unit(const list_reader *l, const hr_csv *csv)
{
    const char *written = hr_csv_comment(csv, "length_unit");
    if (written == NULL) {
        return HR_OK;
    }
    char word[16] = {0};
    const size_t len = strcspn(written, " \t\r,;");
    memcpy(word, written, len < sizeof word - 1 ? len : sizeof word - 1);
    hr_length_unit unit = HR_METRES;
    if (!hr_units_length_unit(word, &unit)) {
        return hr_fail(l->err, HR_ERR_INPUT, l->file, 0, "# length_unit = %s: m or ft was expected", word);
    }
    if (unit != l->b->length_unit) {
        return hr_fail(l->err, HR_ERR_INPUT, l->file, 0,
                       "# length_unit = %s in this list, length_unit = %s in %s; one unit was expected", word,
                       hr_units_length_name(l->b->length_unit), l->b->file);
    }
    return HR_OK;
}

static hr_status find_columns(list_reader *l, const hr_csv *csv)
{
    for (int i = 0; i < READING_COLUMNS; i++) {
        l->columns[i] = hr_csv_column(csv, reading_column_names[i]);
    }
    const bool has_from = l->columns[READING_FROM] != SIZE_MAX, has_to = l->columns[READING_TO] != SIZE_MAX;
    const bool has_point = l->columns[READING_X] != SIZE_MAX && l->columns[READING_Y] != SIZE_MAX;
    const bool ends = has_from || has_to ? (has_from && has_to) || has_point
                                         : l->columns[READING_GATEWAY] != SIZE_MAX &&
                                               (l->columns[READING_ROOM] != SIZE_MAX || has_point);
    if (!ends || l->columns[READING_RSSI] == SIZE_MAX) {
        return hr_fail(l->err, HR_ERR_INPUT, l->file, l->line,
                       "the columns from, to and rssi_dbm (or gateway, room and rssi_dbm) were expected");
    }
    for (size_t c = 0; c < hr_csv_columns(csv); c++) {
        const char *name = hr_csv_column_name(csv, c);
        bool known = false;
        for (int i = 0; i < READING_COLUMNS; i++) {
            known = known || l->columns[i] == c;
        }
        if (!known) {
            /* a short word is near to anything */
            const char *nearest = strlen(name) < 4 ? NULL : hr_nearest(name, reading_column_names, READING_COLUMNS, 2);
            hr_note(l->notes, l->file, 0, "column %s is not used%s%s%s", name, nearest == NULL ? "" : ", did you mean ",
                    nearest == NULL ? "" : nearest, nearest == NULL ? "" : "?");
        }
    }
    return HR_OK;
}

/* Comments and the header; l->work keeps the header for each row. */
static hr_status read_head(list_reader *l)
{
    const char *text = NULL;
    size_t len = 0;
    bool found = false;
    while (!found && next_line(l, &text, &len)) {
        const size_t mark = l->line == 1 && len >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
        found = !is_blank(text + mark, len - mark) && text[mark] != '#';
    }
    if (!found) {
        return hr_fail(l->err, HR_ERR_INPUT, l->file, 0, "an empty list: a header from,to,rssi_dbm was expected");
    }
    hr_csv *csv = NULL;
    hr_status status = hr_csv_parse(l->file, l->bytes, l->at, &csv, l->err);
    if (status == HR_OK) {
        status = check_unit(l, csv);
    }
    if (status == HR_OK) {
        status = find_columns(l, csv);
    }
    hr_csv_free(csv);
    const size_t mark = l->line == 1 && len >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
    hr_text_add_n(&l->work, text + mark, len - mark);
    hr_text_add(&l->work, "\n");
    l->header_len = l->work.len;
    return status == HR_OK && l->work.failed ? hr_fail_memory(l->err) : status;
}

static hr_status leave_out(list_reader *l, const char *why)
{
    hr_readings *out = l->out;
    const char *kept = hr_arena_strdup(out->arena, why);
    if (kept == NULL || !HR_RESERVE(out->faults, l->fault_cap, out->fault_count + 1)) {
        return hr_fail_memory(l->err);
    }
    out->faults[out->fault_count++] = (hr_reading_fault){l->line, kept};
    hr_note(l->notes, l->file, l->line, "row left out: %s", kept);
    return HR_OK;
}

/* A level, or false with row->why; an empty cell leaves *level as it is. */
static bool take_level(reading_row *row, int column, double *level)
{
    const char *cell = row->cells[column];
    if (cell[0] == '\0') {
        return true;
    }
    double value = 0.0;
    if (!hr_number_parse(cell, &value)) {
        hr_text_addf(&row->why, "%s = %s: a level in dBm%s was expected", reading_column_names[column], cell,
                     column == READING_RSSI ? ", or nothing for not heard," : "");
        return false;
    }
    if (!(value >= LEVEL_LOW_DBM && value <= LEVEL_HIGH_DBM)) {
        hr_text_addf(&row->why, "%s = %s: a level from %d to %d dBm was expected", reading_column_names[column], cell,
                     (int)LEVEL_LOW_DBM, (int)LEVEL_HIGH_DBM);
        return false;
    }
    *level = value;
    return true;
}

static bool take_reading(reading_row *row, hr_reading *reading)
{
    reading->rssi_dbm = (double)NAN;
    if (!reading_ends(row, reading) || !take_level(row, READING_RSSI, &reading->rssi_dbm)) {
        return false;
    }
    reading->heard = !isnan(reading->rssi_dbm);
    reading->threshold_dbm = reading->to.end.radio->sensitivity_dbm;
    return take_level(row, READING_THRESHOLD, &reading->threshold_dbm);
}

static hr_status add_reading(list_reader *l, const hr_csv *csv)
{
    reading_row row = {.building = l->b};
    for (int i = 0; i < READING_COLUMNS; i++) {
        const char *cell = hr_csv_cell(csv, 0, l->columns[i]);
        /* writers put an apostrophe before what a spreadsheet would take for a formula */
        row.cells[i] = cell[0] == '\'' && cell[1] != '\0' && strchr("=+-@", cell[1]) != NULL ? cell + 1 : cell;
    }
    hr_reading reading = {.line = l->line};
    hr_status status = HR_OK;
    if (!take_reading(&row, &reading)) {
        status = row.why.failed ? hr_fail_memory(l->err) : leave_out(l, row.why.bytes);
    } else if (!HR_RESERVE(l->out->items, l->cap, l->out->count + 1)) {
        status = hr_fail_memory(l->err);
    } else {
        l->out->items[l->out->count++] = reading;
        l->out->heard += reading.heard;
    }
    hr_text_free(&row.why);
    return status;
}

static hr_status read_row(list_reader *l, const char *text, size_t len)
{
    l->work.len = l->header_len;
    hr_text_add_n(&l->work, text, len);
    hr_text_add(&l->work, "\n");
    if (l->work.failed) {
        return hr_fail_memory(l->err);
    }
    hr_csv *csv = NULL;
    hr_error inner = {0};
    hr_status status = hr_csv_parse(l->file, l->work.bytes, l->work.len, &csv, &inner);
    if (status == HR_ERR_MEMORY) {
        return hr_fail_memory(l->err);
    }
    if (status != HR_OK) {
        return leave_out(l, inner.text);
    }
    status = hr_csv_rows(csv) == 1 ? add_reading(l, csv) : HR_OK;
    hr_csv_free(csv);
    return status;
}

static hr_status read_rows(list_reader *l)
{
    const char *text = NULL;
    size_t len = 0;
    hr_status status = read_head(l);
    while (status == HR_OK && next_line(l, &text, &len)) {
        if (is_blank(text, len) || text[0] == '#') {
            continue;
        }
        if (l->out->count + l->out->fault_count >= HR_READINGS_MAX) {
            return hr_fail(l->err, HR_ERR_LIMIT, l->file, l->line, "more readings than the limit of %d", HR_READINGS_MAX);
        }
        status = read_row(l, text, len);
    }
    return status;
}

hr_status hr_readings_parse(const hr_building *building, const char *file, const char *bytes, size_t len,
                            hr_notes *notes, hr_readings **readings, hr_error *err)
{
    list_reader l = {.b = building, .file = file, .bytes = bytes, .len = len, .notes = notes, .err = err};
    l.out = hr_alloc_zero(1, sizeof *l.out);
    if (l.out == NULL) {
        return hr_fail_memory(err);
    }
    l.out->building = building;
    l.out->arena = hr_arena_new();
    l.out->file = l.out->arena == NULL ? NULL : hr_arena_strdup(l.out->arena, file);
    hr_status status = l.out->file == NULL ? hr_fail_memory(err) : read_rows(&l);
    if (status == HR_OK && hr_notes_failed(notes)) {
        status = hr_fail_memory(err);
    }
    hr_text_free(&l.work);
    if (status != HR_OK) {
        hr_readings_free(l.out);
        return status;
    }
    *readings = l.out;
    return HR_OK;
}

hr_status hr_readings_read(const hr_building *building, const char *path, hr_notes *notes, hr_readings **readings,
                           hr_error *err)
{
    char *bytes = NULL;
    size_t len = 0;
    hr_status status = hr_file_read(path, HR_MAX_FILE_BYTES, &bytes, &len, err);
    if (status == HR_OK) {
        status = hr_readings_parse(building, path, bytes, len, notes, readings, err);
    }
    hr_free(bytes);
    return status;
}
