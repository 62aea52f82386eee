/*
 * fuzz_csv.c - CSV tables in, out and in again.
 *
 * SPDX-License-Identifier: MIT
 */
#include <stdlib.h>
#include <string.h>

#include "fuzz.h"
#include "hr_base.h"

static const char *cell_of(const hr_csv *csv, size_t row, size_t column)
{
    return row == 0 ? hr_csv_column_name(csv, column) : hr_csv_cell(csv, row - 1, column);
}

static void check_table(const hr_csv *csv, size_t size)
{
    REQUIRE(hr_csv_columns(csv) >= 1);
    int line = 0;
    for (size_t row = 0; row <= hr_csv_rows(csv); row++) {
        for (size_t column = 0; column < hr_csv_columns(csv); column++) {
            const char *cell = cell_of(csv, row, column);
            const size_t len = strlen(cell);
            REQUIRE(len <= size);
            REQUIRE(len == 0 || (strchr(" \t", cell[0]) == NULL && strchr(" \t", cell[len - 1]) == NULL));
            REQUIRE(row > 0 || len == 0 || hr_csv_column(csv, cell) == column);
        }
        if (row > 0) {
            REQUIRE(hr_csv_line(csv, row - 1) > line);
            line = hr_csv_line(csv, row - 1);
        }
    }
    (void)hr_csv_comment(csv, "length_unit");
}

/* A blank line is no row, a header that starts like a comment is one: such
 * tables do not come back as they were. */
static bool comes_back(const hr_csv *csv)
{
    return hr_csv_columns(csv) > 1 && hr_csv_column_name(csv, 0)[0] != '#';
}

static void check_round_trip(const hr_csv *csv)
{
    hr_text text = {0};
    hr_text_add(&text, "# length_unit = m\n"); /* so that no byte order mark is taken off a cell */
    for (size_t row = 0; row <= hr_csv_rows(csv); row++) {
        for (size_t column = 0; column < hr_csv_columns(csv); column++) {
            hr_text_add(&text, column == 0 ? "" : ",");
            hr_text_csv(&text, cell_of(csv, row, column));
        }
        hr_text_add(&text, "\n");
    }
    REQUIRE(!text.failed);
    hr_csv *again = NULL;
    hr_error err = {0};
    const hr_status status = hr_csv_parse("again", text.bytes, text.len, &again, &err);
    if (status != HR_OK) {
        (void)fprintf(stderr, "line %d: %s\n", err.line, err.text);
        abort();
    }
    REQUIRE(hr_csv_rows(again) == hr_csv_rows(csv) && hr_csv_columns(again) == hr_csv_columns(csv));
    for (size_t row = 0; row <= hr_csv_rows(csv); row++) {
        for (size_t column = 0; column < hr_csv_columns(csv); column++) {
            REQUIRE(strcmp(cell_of(csv, row, column), cell_of(again, row, column)) == 0);
        }
    }
    REQUIRE(strcmp(hr_csv_comment(again, "length_unit"), "m") == 0);
    hr_csv_free(again);
    hr_text_free(&text);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size > 1 << 16) {
        return 0;
    }
    hr_csv *csv = NULL;
    hr_error err = {0};
    const hr_status status = hr_csv_parse("fuzz", (const char *)data, size, &csv, &err);
    if (status != HR_OK) {
        REQUIRE(csv == NULL && err.status == status && err.text[0] != '\0' && err.line >= 0);
        REQUIRE(status == HR_ERR_INPUT || status == HR_ERR_LIMIT || status == HR_ERR_MEMORY);
        return 0;
    }
    check_table(csv, size);
    if (comes_back(csv)) {
        check_round_trip(csv);
    }
    hr_csv_free(csv);
    return 0;
}
