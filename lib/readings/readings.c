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
#define LEVEL_HIGH_DBM 10.0

const char *const reading_column_names[READING_COLUMNS] = {
    "from", "to", "rssi_dbm", "threshold_dbm", "gateway", "room", "storey", "x", "y", "mount_height", "kind",
    "joined", "loss_percent"};

/* What hr_report_compare_csv writes beside them. */
static const char *const own_columns[] = {"predicted_dbm", "difference_db"};

typedef struct list_reader {
    const hr_building *b;
    const char *file;
    reading_rows rows;
    size_t header_len;
    hr_text work;   /* the header, then one row */
    bool own;       /* a list of our own, read back */
    bool point_said;
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

static hr_status check_unit(const list_reader *l, const hr_csv *csv)
{
    const char *written = hr_csv_comment(csv, "length_unit");
    if (written == NULL) {
        if (l->columns[READING_X] != SIZE_MAX || l->columns[READING_MOUNT] != SIZE_MAX) {
            hr_note(l->notes, l->file, 0, "no # length_unit line: lengths are taken in %s, as the property's",
                    hr_units_length_name(l->b->length_unit));
        }
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

static hr_status refuse_header(const list_reader *l, const hr_csv *csv)
{
    hr_text found = {0};
    hr_text_add(&found, "");
    for (size_t c = 0; c < hr_csv_columns(csv) && found.len < 120; c++) {
        hr_text_addf(&found, "%s%s", c > 0 ? ", " : "", hr_csv_column_name(csv, c));
    }
    const hr_status status =
        found.failed ? hr_fail_memory(l->err)
                     : hr_fail(l->err, HR_ERR_INPUT, l->file, l->rows.line,
                               "the columns from, to and rssi_dbm (or gateway, room and rssi_dbm) were expected, here "
                               "are: %s",
                               found.bytes);
    hr_text_free(&found);
    return status;
}

/* Columns that are there and not ours, with a word. */
static void say_unused(const list_reader *l, const hr_csv *csv)
{
    for (size_t c = 0; c < hr_csv_columns(csv); c++) {
        const char *name = hr_csv_column_name(csv, c);
        bool known = false;
        for (int i = 0; i < READING_COLUMNS; i++) {
            known = known || l->columns[i] == c;
        }
        for (size_t i = 0; l->own && i < sizeof own_columns / sizeof own_columns[0]; i++) {
            known = known || hr_casecmp(own_columns[i], name) == 0;
        }
        if (name[0] == '\0') {
            hr_note(l->notes, l->file, 0, "column %zu has no name and is not used", c + 1);
        } else if (!known) {
            /* a short word is near to anything */
            const char *nearest = strlen(name) < 4 ? NULL : hr_nearest(name, reading_column_names, READING_COLUMNS, 2);
            hr_note(l->notes, l->file, 0, "column %s is not used%s%s%s", name, nearest == NULL ? "" : ", did you mean ",
                    nearest == NULL ? "" : nearest, nearest == NULL ? "" : "?");
        }
    }
}

static bool is_letter_or_digit(char c)
{
    return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
}

/* "RSSI (dBm)" is rssi_dbm: letters and digits count. */
static bool is_same_name(const char *a, const char *b)
{
    for (;;) {
        while (*a != '\0' && !is_letter_or_digit(*a)) {
            a++;
        }
        while (*b != '\0' && !is_letter_or_digit(*b)) {
            b++;
        }
        if (*a == '\0' || *b == '\0') {
            return *a == *b;
        }
        if (!hr_caseeq_n(a++, b++, 1)) {
            return false;
        }
    }
}

/* The column of that very name, else the first that differs in blanks and signs only. */
static size_t find_column(const hr_csv *csv, const char *name)
{
    size_t found = hr_csv_column(csv, name);
    for (size_t c = 0; found == SIZE_MAX && c < hr_csv_columns(csv); c++) {
        found = is_same_name(hr_csv_column_name(csv, c), name) ? c : SIZE_MAX;
    }
    return found;
}

static hr_status find_columns(list_reader *l, const hr_csv *csv)
{
    l->own = true;
    for (size_t i = 0; i < sizeof own_columns / sizeof own_columns[0]; i++) {
        l->own = l->own && hr_csv_column(csv, own_columns[i]) != SIZE_MAX;
    }
    for (int i = 0; i < READING_COLUMNS; i++) {
        l->columns[i] = find_column(csv, reading_column_names[i]);
    }
    const bool has_from = l->columns[READING_FROM] != SIZE_MAX, has_to = l->columns[READING_TO] != SIZE_MAX;
    const bool has_point = l->columns[READING_X] != SIZE_MAX && l->columns[READING_Y] != SIZE_MAX;
    const bool ends = has_from || has_to ? (has_from && has_to) || has_point
                                         : l->columns[READING_GATEWAY] != SIZE_MAX &&
                                               (l->columns[READING_ROOM] != SIZE_MAX || has_point);
    say_unused(l, csv);
    return ends && l->columns[READING_RSSI] != SIZE_MAX ? HR_OK : refuse_header(l, csv);
}

static bool is_separator_line(const char *text, size_t len)
{
    return len == 5 && hr_caseeq_n(text, "sep=", 4);
}

/* Comments and the header; l->work keeps the header for each row. */
static hr_status read_head(list_reader *l)
{
    const char *text = NULL;
    size_t len = 0, mark = 0;
    bool found = false;
    while (!found && reading_next_row(&l->rows, &text, &len)) {
        mark = l->rows.line == 1 && len >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
        text += mark;
        len -= mark;
        if (l->rows.line == 1 && is_separator_line(text, len)) {
            hr_text_add_n(&l->work, text, len);
            hr_text_add(&l->work, "\n");
            continue;
        }
        const bool comment = len > 0 && (text[0] == '#' || (len > 1 && text[0] == '"' && text[1] == '#'));
        found = !comment && !reading_row_is_blank(text, len);
    }
    if (!found) {
        return hr_fail(l->err, HR_ERR_INPUT, l->file, 0, "an empty list: a header from,to,rssi_dbm was expected");
    }
    hr_csv *csv = NULL;
    hr_status status = hr_csv_parse(l->file, l->rows.bytes, l->rows.at, &csv, l->err);
    if (status == HR_OK) {
        status = find_columns(l, csv);
    }
    if (status == HR_OK) {
        status = check_unit(l, csv);
    }
    hr_csv_free(csv);
    hr_text_add_n(&l->work, text, len);
    hr_text_add(&l->work, "\n");
    l->header_len = l->work.len;
    return status == HR_OK && l->work.failed ? hr_fail_memory(l->err) : status;
}

/* A cell kept for reports stays on one line and says nothing to a terminal; NULL: out of memory. */
static const char *keep_line(list_reader *l, const char *text)
{
    char *kept = hr_arena_strdup(l->out->arena, text);
    for (char *at = kept; at != NULL && *at != '\0'; at++) {
        *at = (unsigned char)*at < ' ' || *at == 0x7F ? ' ' : *at;
    }
    return kept;
}

static hr_status leave_out(list_reader *l, const char *why)
{
    hr_readings *out = l->out;
    const char *kept = keep_line(l, why);
    if (kept == NULL || !HR_RESERVE(out->faults, l->fault_cap, out->fault_count + 1)) {
        return hr_fail_memory(l->err);
    }
    out->faults[out->fault_count++] = (hr_reading_fault){l->rows.line, kept};
    hr_note(l->notes, l->file, l->rows.line, "row left out: %s", kept);
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
    if (!hr_csv_number(row->csv, cell, &value)) {
        hr_text_addf(&row->why, "%s = %s: a level in dBm%s was expected", reading_column_names[column], cell,
                     column == READING_RSSI ? ", or nothing for not heard," : "");
        return false;
    }
    if (!(value >= LEVEL_LOW_DBM && value <= LEVEL_HIGH_DBM)) {
        hr_text_addf(&row->why, "%s = %s: a level from %d to %d dBm was expected%s", reading_column_names[column], cell,
                     (int)LEVEL_LOW_DBM, (int)LEVEL_HIGH_DBM, value > 0.0 ? ", is the minus sign missing?" : "");
        return false;
    }
    *level = value;
    return true;
}

/* Packets lost, in percent; spreadsheets write the sign along with the number. */
static bool take_loss(reading_row *row, double *percent)
{
    const char *cell = row->cells[READING_LOSS];
    const size_t len = strlen(cell);
    *percent = (double)NAN;
    if (len == 0) {
        return true;
    }
    char number[HR_FIXED_MAX] = "";
    if (len < sizeof number) {
        memcpy(number, cell, len - (cell[len - 1] == '%'));
    }
    double value = 0.0;
    if (!hr_csv_number(row->csv, number, &value) || !(value >= 0.0 && value <= 100.0)) {
        hr_text_addf(&row->why, "loss_percent = %s: packets lost, from 0 to 100 percent, were expected", cell);
        return false;
    }
    *percent = value;
    return true;
}

static bool take_joined(reading_row *row, hr_reading *reading)
{
    const hr_building *b = row->building;
    const char *cell = row->cells[READING_JOINED];
    if (strlen(cell) > HR_MAX_NAME_BYTES) {
        hr_text_addf(&row->why, "joined is longer than the limit of %zu bytes", HR_MAX_NAME_BYTES);
        return false;
    }
    reading->joined_device = hr_building_device(b, cell); /* its "none" is ours */
    reading->joined_gateway = hr_building_gateway(b, cell);
    if (reading->joined_gateway != HR_READINGS_NONE) {
        return true;
    }
    /* a status display may show the network's id instead, where only one gateway has it */
    for (size_t i = 0; i < b->gateway_count; i++) {
        if (b->gateways[i].network_id != NULL && hr_casecmp(b->gateways[i].network_id, cell) == 0) {
            if (reading->joined_gateway != HR_READINGS_NONE) {
                reading->joined_gateway = HR_READINGS_NONE;
                return true;
            }
            reading->joined_gateway = (uint32_t)i;
        }
    }
    return true;
}

/* A digit or a sign lost on the way into the list, "-7" for -70: nothing brings that over the distance. */
static bool is_possible(reading_row *row, const hr_reading *reading)
{
    const double free_dbm = hr_readings_free_space_dbm(row->building, &reading->from.end, &reading->to.end);
    if (!(reading->rssi_dbm > free_dbm + HR_READINGS_LOUDER_DB)) {
        return true;
    }
    char number[HR_FIXED_MAX];
    hr_text_addf(&row->why, "rssi_dbm = %s: free space over that distance leaves %s dBm, and this is over %d dB more: is a "
                            "digit missing?",
                 row->cells[READING_RSSI], hr_fixed(free_dbm, 1, number), (int)HR_READINGS_LOUDER_DB);
    return false;
}

static bool take_reading(reading_row *row, hr_reading *reading)
{
    reading->rssi_dbm = (double)NAN;
    if (!reading_ends(row, reading) || !take_level(row, READING_RSSI, &reading->rssi_dbm) ||
        !take_loss(row, &reading->loss_percent) || !take_joined(row, reading)) {
        return false;
    }
    reading->heard = !isnan(reading->rssi_dbm);
    reading->threshold_dbm = reading->to.end.radio->sensitivity_dbm;
    return take_level(row, READING_THRESHOLD, &reading->threshold_dbm) && is_possible(row, reading);
}

static hr_status add_reading(list_reader *l, const hr_csv *csv)
{
    reading_row row = {.building = l->b, .csv = csv, .notes = l->notes, .file = l->file, .line = l->rows.line};
    for (int i = 0; i < READING_COLUMNS; i++) {
        row.cells[i] = hr_csv_cell(csv, 0, l->columns[i]);
    }
    hr_reading reading = {.line = l->rows.line};
    hr_status status = HR_OK;
    if (!take_reading(&row, &reading)) {
        status = row.why.failed ? hr_fail_memory(l->err) : leave_out(l, row.why.bytes);
    } else {
        const char *joined = row.cells[READING_JOINED];
        reading.joined = joined[0] == '\0' ? NULL : keep_line(l, joined);
        if ((joined[0] != '\0' && reading.joined == NULL) || !HR_RESERVE(l->out->items, l->cap, l->out->count + 1)) {
            status = hr_fail_memory(l->err);
        } else {
            l->out->items[l->out->count++] = reading;
            l->out->heard += reading.heard;
        }
    }
    if (row.point_unused && !l->own && !l->point_said) {
        l->point_said = true;
        hr_note(l->notes, l->file, l->rows.line, "from and to are both named: x and y are not used in such rows");
    }
    hr_text_free(&row.why);
    return status;
}

/* A comment that a spreadsheet put in quotes: nothing else stands in its row. */
static bool is_remark(const hr_csv *csv)
{
    bool alone = hr_csv_cell(csv, 0, 0)[0] == '#';
    for (size_t c = 1; alone && c < hr_csv_columns(csv); c++) {
        alone = hr_csv_cell(csv, 0, c)[0] == '\0';
    }
    return alone;
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
    status = hr_csv_rows(csv) == 1 && !is_remark(csv) ? add_reading(l, csv) : HR_OK;
    hr_csv_free(csv);
    return status;
}

static hr_status read_rows(list_reader *l)
{
    const char *text = NULL;
    size_t len = 0;
    hr_status status = read_head(l);
    while (status == HR_OK && reading_next_row(&l->rows, &text, &len)) {
        if (reading_row_is_blank(text, len) || text[0] == '#') {
            continue;
        }
        if (l->out->count + l->out->fault_count >= HR_READINGS_MAX) {
            return hr_fail(l->err, HR_ERR_LIMIT, l->file, l->rows.line, "more readings than the limit of %d", HR_READINGS_MAX);
        }
        status = read_row(l, text, len);
    }
    return status;
}

hr_status hr_readings_parse(const hr_building *building, const char *file, const char *bytes, size_t len,
                            hr_notes *notes, hr_readings **readings, hr_error *err)
{
    list_reader l = {.b = building, .file = file, .rows = {.bytes = bytes, .len = len}, .notes = notes, .err = err};
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
