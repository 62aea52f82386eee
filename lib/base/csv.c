/*
 * csv.c - CSV tables in. Source: RFC 4180; comment lines are our own addition.
 *
 * SPDX-License-Identifier: MIT
 */
#include "base_priv.h"

#include <string.h>

#include "hr_limits.h"

struct hr_csv {
    hr_arena *arena;
    char *file;
    char **cells; /* row by row; the header is row 0 */
    size_t cell_count, cell_cap, columns;
    int *lines;
    size_t line_count, line_cap;
    char **comments;
    size_t comment_count, comment_cap;
    char separator;
};

typedef struct reader {
    hr_csv *csv;
    const char *at, *end;
    int line;
    hr_text cell;
    hr_error *err;
} reader;

void hr_csv_free(hr_csv *csv)
{
    if (csv == NULL) {
        return;
    }
    hr_arena_free(csv->arena);
    hr_free(csv->cells);
    hr_free(csv->lines);
    hr_free(csv->comments);
    hr_free(csv);
}

static hr_status bad(const reader *r, const char *what)
{
    return hr_fail(r->err, HR_ERR_INPUT, r->csv->file, r->line, "%s", what);
}

static hr_status check_bytes(reader *r)
{
    const char *at = r->at;
    int line = 1;
    const char *no_text = base_csv_no_text(at, (size_t)(r->end - at));
    if (no_text != NULL) {
        return hr_fail(r->err, HR_ERR_INPUT, r->csv->file, line, "%s", no_text);
    }
    while (at < r->end) {
        if (*at == '\0') {
            return hr_fail(r->err, HR_ERR_INPUT, r->csv->file, line, "a zero byte stands here, text was expected");
        }
        line += *at == '\n';
        const size_t len = base_utf8_length(at, (size_t)(r->end - at));
        if (len == 0) {
            return hr_fail(r->err, HR_ERR_INPUT, r->csv->file, line, "not UTF-8 text, save the list as UTF-8");
        }
        at += len;
    }
    return HR_OK;
}

/* Blanks at both ends do not belong to a cell. */
static hr_status keep_cell(reader *r)
{
    hr_csv *csv = r->csv;
    const char *text = r->cell.bytes == NULL ? "" : r->cell.bytes;
    size_t from = 0, to = r->cell.len;
    while (from < to && base_is_blank(text[from])) {
        from++;
    }
    while (to > from && base_is_blank(text[to - 1])) {
        to--;
    }
    if (to > from && text[from] == '\'' && base_is_formula(text + from)) {
        from++; /* put there by a writer, see hr_text_csv */
    }
    char *copy = r->cell.failed ? NULL : hr_arena_strndup(csv->arena, text + from, to - from);
    if (copy == NULL || !HR_RESERVE(csv->cells, csv->cell_cap, csv->cell_count + 1)) {
        return hr_fail_memory(r->err);
    }
    csv->cells[csv->cell_count++] = copy;
    r->cell.len = 0;
    return HR_OK;
}

static bool at_line_end(const reader *r)
{
    return r->at == r->end || *r->at == '\n' || (*r->at == '\r' && (r->at + 1 == r->end || r->at[1] == '\n'));
}

static void pass_line_end(reader *r)
{
    if (r->at < r->end && *r->at == '\r') {
        r->at++;
    }
    if (r->at < r->end && *r->at == '\n') {
        r->at++;
    }
    r->line++;
}

/* Blanks about a quoted cell; a tab may be what parts the cells. */
static bool is_padding(const reader *r)
{
    return r->at < r->end && (*r->at == ' ' || *r->at == '\t') && *r->at != r->csv->separator;
}

static hr_status read_quoted(reader *r)
{
    const int opened = r->line;
    for (r->at++;; r->at++) {
        if (r->at == r->end) {
            r->line = opened;
            return bad(r, "a quote opens here and is never closed");
        }
        if (*r->at == '"') {
            if (r->at + 1 < r->end && r->at[1] == '"') {
                r->at++;
            } else {
                break;
            }
        }
        r->line += *r->at == '\n';
        hr_text_add_n(&r->cell, r->at, 1);
    }
    r->at++;
    while (is_padding(r)) {
        r->at++;
    }
    if (!at_line_end(r) && *r->at != r->csv->separator) {
        return bad(r, r->csv->separator == ',' ? "text follows a closing quote, a comma was expected"
                                               : "text follows a closing quote, the end of the cell was expected");
    }
    return HR_OK;
}

static hr_status read_plain(reader *r)
{
    while (!at_line_end(r) && *r->at != r->csv->separator) {
        if (*r->at == '"') {
            return bad(r, "a quote stands inside an unquoted cell, the whole cell was expected in quotes");
        }
        if (*r->at == '\r') {
            return bad(r, "a carriage return stands alone, line ends of LF or CRLF were expected");
        }
        hr_text_add_n(&r->cell, r->at, 1);
        r->at++;
    }
    return HR_OK;
}

/* A row of a spreadsheet that nothing was typed in. */
static bool is_empty_row(const hr_csv *csv, size_t cells)
{
    for (size_t i = csv->cell_count - cells; i < csv->cell_count; i++) {
        if (csv->cells[i][0] != '\0') {
            return false;
        }
    }
    return true;
}

/* One row of cells, up to and over its line end. */
static hr_status read_row(reader *r, size_t *cells)
{
    *cells = 0;
    for (;;) {
        const char *start = r->at;
        while (is_padding(r)) {
            r->at++;
        }
        const bool quoted = r->at < r->end && *r->at == '"';
        if (!quoted) {
            r->at = start;
        }
        hr_status status = quoted ? read_quoted(r) : read_plain(r);
        if (status == HR_OK) {
            status = keep_cell(r);
        }
        if (status != HR_OK) {
            return status;
        }
        (*cells)++;
        if (at_line_end(r)) {
            pass_line_end(r);
            return HR_OK;
        }
        r->at++; /* what parts the cells */
    }
}

/* Comments after the header say nothing about the table as a whole. */
static hr_status pass_comment(reader *r)
{
    hr_csv *csv = r->csv;
    const bool quoted = *r->at == '"'; /* a spreadsheet quotes what holds a comma */
    const char *start = r->at += quoted ? 2 : 1;
    while (!at_line_end(r)) {
        r->at++;
    }
    if (csv->line_count == 0) {
        size_t len = (size_t)(r->at - start);
        while (len > 0 && (start[len - 1] == ' ' || start[len - 1] == '\t')) {
            len--;
        }
        char *copy = hr_arena_strndup(csv->arena, start, len);
        if (copy == NULL || !HR_RESERVE(csv->comments, csv->comment_cap, csv->comment_count + 1)) {
            return hr_fail_memory(r->err);
        }
        csv->comments[csv->comment_count++] = copy;
    }
    pass_line_end(r);
    return HR_OK;
}

static hr_status check_header(reader *r, int line)
{
    const hr_csv *csv = r->csv;
    hr_names *seen = hr_names_new();
    hr_status status = seen == NULL ? hr_fail_memory(r->err) : HR_OK;
    for (size_t i = 0; status == HR_OK && i < csv->columns; i++) {
        const char *name = csv->cells[i];
        if (name[0] == '\0') {
            continue; /* spreadsheets write out columns that once held something */
        }
        if (hr_names_find(seen, name) != SIZE_MAX) {
            status = hr_fail(r->err, HR_ERR_INPUT, csv->file, line, "column \"%s\" is named twice", name);
        } else if (!hr_names_add(seen, name, i)) {
            status = hr_fail_memory(r->err);
        }
    }
    hr_names_free(seen);
    return status;
}

static hr_status take_row(reader *r)
{
    hr_csv *csv = r->csv;
    const int line = r->line;
    size_t cells = 0;
    hr_status status = read_row(r, &cells);
    if (status != HR_OK) {
        return status;
    }
    if (is_empty_row(csv, cells)) {
        csv->cell_count -= cells;
        return HR_OK;
    }
    if (csv->line_count == 0) {
        csv->columns = cells;
        status = check_header(r, line);
    } else if (cells != csv->columns) {
        status = hr_fail(r->err, HR_ERR_INPUT, csv->file, line, "%zu cells in this row, the header has %zu", cells,
                         csv->columns);
    } else if (csv->line_count > HR_MAX_LIST_ROWS) {
        status = hr_fail(r->err, HR_ERR_LIMIT, csv->file, line, "more rows than the limit of %zu", HR_MAX_LIST_ROWS);
    }
    if (status == HR_OK && !HR_RESERVE(csv->lines, csv->line_cap, csv->line_count + 1)) {
        status = hr_fail_memory(r->err);
    }
    if (status == HR_OK) {
        csv->lines[csv->line_count++] = line;
    }
    return status;
}

static hr_status read_table(reader *r)
{
    hr_status status = check_bytes(r);
    while (status == HR_OK && r->at < r->end) {
        /* a quoted one counts above the header only: below it may be a name */
        if (*r->at == '#' || (r->csv->line_count == 0 && base_csv_is_comment(r->at, (size_t)(r->end - r->at)))) {
            status = pass_comment(r);
        } else if (base_csv_is_blank(r->at, (size_t)(r->end - r->at))) {
            while (!at_line_end(r)) {
                r->at++;
            }
            pass_line_end(r);
        } else {
            status = take_row(r);
        }
    }
    if (status == HR_OK && r->csv->line_count == 0) {
        r->line = 0;
        status = bad(r, "is empty, a header row was expected");
    }
    return status;
}

hr_status hr_csv_parse(const char *file, const char *bytes, size_t len, hr_csv **csv_out, hr_error *err)
{
    hr_csv *csv = hr_alloc_zero(1, sizeof *csv);
    if (csv == NULL) {
        return hr_fail_memory(err);
    }
    csv->arena = hr_arena_new();
    csv->file = csv->arena == NULL ? NULL : hr_arena_strdup(csv->arena, file);
    if (csv->file == NULL) {
        hr_csv_free(csv);
        return hr_fail_memory(err);
    }
    if (len >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0) {
        bytes += 3;
        len -= 3;
    }
    const size_t first = base_csv_separator(bytes, len, &csv->separator);
    reader r = {.csv = csv, .at = bytes + first, .end = bytes + len, .line = first > 0 ? 2 : 1, .err = err};
    const hr_status status = read_table(&r);
    hr_text_free(&r.cell);
    if (status != HR_OK) {
        hr_csv_free(csv);
        return status;
    }
    *csv_out = csv;
    return HR_OK;
}

size_t hr_csv_rows(const hr_csv *csv)
{
    return csv->line_count - 1;
}

size_t hr_csv_columns(const hr_csv *csv)
{
    return csv->columns;
}

const char *hr_csv_column_name(const hr_csv *csv, size_t column)
{
    return column < csv->columns ? csv->cells[column] : "";
}

size_t hr_csv_column(const hr_csv *csv, const char *name)
{
    for (size_t i = 0; i < csv->columns; i++) {
        if (hr_casecmp(csv->cells[i], name) == 0) {
            return i;
        }
    }
    return SIZE_MAX;
}

const char *hr_csv_cell(const hr_csv *csv, size_t row, size_t column)
{
    /* SIZE_MAX from hr_csv_column reads as a column of empty cells */
    if (row >= hr_csv_rows(csv) || column >= csv->columns) {
        return "";
    }
    return csv->cells[(row + 1) * csv->columns + column];
}

bool hr_csv_number(const hr_csv *csv, const char *cell, double *value)
{
    const char *comma = strchr(cell, ',');
    const size_t len = strlen(cell);
    if (csv->separator == ',' || comma == NULL || len >= HR_FIXED_MAX || strchr(cell, '.') != NULL) {
        return hr_number_parse(cell, value);
    }
    char point[HR_FIXED_MAX];
    memcpy(point, cell, len + 1);
    point[comma - cell] = '.'; /* a second one leaves what is no number */
    return hr_number_parse(point, value);
}

int hr_csv_line(const hr_csv *csv, size_t row)
{
    return row < hr_csv_rows(csv) ? csv->lines[row + 1] : 0;
}

const char *hr_csv_file(const hr_csv *csv)
{
    return csv->file;
}

const char *hr_csv_comment(const hr_csv *csv, const char *key)
{
    const size_t len = strlen(key);
    for (size_t i = 0; i < csv->comment_count; i++) {
        const char *text = csv->comments[i] + strspn(csv->comments[i], " \t");
        if (!hr_caseeq_n(text, key, len)) {
            continue;
        }
        const char *after = text + len + strspn(text + len, " \t");
        if (*after == '=') {
            return after + 1 + strspn(after + 1, " \t");
        }
    }
    return NULL;
}
