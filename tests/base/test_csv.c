/*
 * test_csv.c - CSV tables in. Rules: RFC 4180, section 2; RFC 3629 for UTF-8.
 *
 * SPDX-License-Identifier: MIT
 */
#include "base_tests.h"
#include "hr_limits.h"

static hr_csv *parsed_n(const char *bytes, size_t len)
{
    hr_csv *csv = NULL;
    hr_error err = {0};
    if (hr_csv_parse("list.csv", bytes, len, &csv, &err) != HR_OK) {
        fail_msg("line %d: %s", err.line, err.text);
    }
    return csv;
}

static hr_csv *parsed(const char *text)
{
    return parsed_n(text, strlen(text));
}

void a_plain_table_is_read(void **state)
{
    (void)state;
    hr_csv *csv = parsed("# length_unit = m\n#version=0.1.0  \n\nid, storey ,x\nG1,1,2.5\n\n# a remark\nG2,,-3\n");
    assert_int_equal(hr_csv_rows(csv), 2);
    assert_int_equal(hr_csv_columns(csv), 3);
    assert_string_equal(hr_csv_file(csv), "list.csv");
    assert_string_equal(hr_csv_column_name(csv, 1), "storey");
    assert_int_equal(hr_csv_column(csv, "STOREY"), 1);
    assert_true(hr_csv_column(csv, "y") == SIZE_MAX);
    assert_string_equal(hr_csv_cell(csv, 0, 0), "G1");
    assert_string_equal(hr_csv_cell(csv, 0, 2), "2.5");
    assert_string_equal(hr_csv_cell(csv, 1, 1), "");
    assert_string_equal(hr_csv_cell(csv, 1, 2), "-3");
    assert_int_equal(hr_csv_line(csv, 0), 5);
    assert_int_equal(hr_csv_line(csv, 1), 8);
    /* outside the table: empty, as in a column that is not there */
    assert_string_equal(hr_csv_cell(csv, 2, 0), "");
    assert_string_equal(hr_csv_cell(csv, 0, SIZE_MAX), "");
    assert_string_equal(hr_csv_column_name(csv, 3), "");
    assert_int_equal(hr_csv_line(csv, 2), 0);
    hr_csv_free(csv);
    hr_csv_free(NULL);
}

void comments_before_the_header_hold_values(void **state)
{
    (void)state;
    hr_csv *csv = parsed("# Length_Unit  =  ft \t\r\n#plain words\n#empty=\n# length = 9\na\n#late=1\n1\n");
    assert_string_equal(hr_csv_comment(csv, "length_unit"), "ft");
    assert_string_equal(hr_csv_comment(csv, "length"), "9"); /* not the start of another key */
    assert_string_equal(hr_csv_comment(csv, "empty"), "");
    assert_null(hr_csv_comment(csv, "plain words"));
    assert_null(hr_csv_comment(csv, "late")); /* not a leading one */
    assert_null(hr_csv_comment(csv, "no"));
    hr_csv_free(csv);
}

void line_ends_and_byte_order_mark(void **state)
{
    (void)state;
    hr_csv *csv = parsed("\xEF\xBB\xBF# k = v\r\nroom,note\r\n\r\n214,\"two\r\nlines\"\r\n215,last");
    assert_string_equal(hr_csv_comment(csv, "k"), "v");
    assert_int_equal(hr_csv_column(csv, "room"), 0);
    assert_int_equal(hr_csv_rows(csv), 2);
    assert_string_equal(hr_csv_cell(csv, 0, 1), "two\r\nlines");
    assert_int_equal(hr_csv_line(csv, 0), 4);
    assert_string_equal(hr_csv_cell(csv, 1, 1), "last");
    assert_int_equal(hr_csv_line(csv, 1), 6); /* the quoted line end counts */
    hr_csv_free(csv);
}

void quotes_hold_anything(void **state)
{
    (void)state;
    hr_csv *csv = parsed("a,b,c,d\n\"x,y\",\"say \"\"ah\"\"\",\"\", \"# no comment\" \n\"#1\",2,3,4\n");
    assert_int_equal(hr_csv_rows(csv), 2);
    assert_string_equal(hr_csv_cell(csv, 0, 0), "x,y");
    assert_string_equal(hr_csv_cell(csv, 0, 1), "say \"ah\"");
    assert_string_equal(hr_csv_cell(csv, 0, 2), "");
    assert_string_equal(hr_csv_cell(csv, 0, 3), "# no comment");
    assert_string_equal(hr_csv_cell(csv, 1, 0), "#1");
    hr_csv_free(csv);
}

void other_scripts_are_read(void **state)
{
    (void)state;
    hr_csv *csv = parsed("r\xC3\xA9gion,n\xE2\x82\xAC\nZ\xC3\xBCrich,\xF0\x9F\x8F\xA8\n");
    assert_string_equal(hr_csv_column_name(csv, 0), "r\xC3\xA9gion");
    assert_string_equal(hr_csv_cell(csv, 0, 0), "Z\xC3\xBCrich");
    assert_string_equal(hr_csv_cell(csv, 0, 1), "\xF0\x9F\x8F\xA8");
    hr_csv_free(csv);
}

void a_header_alone_is_a_table(void **state)
{
    (void)state;
    hr_csv *csv = parsed("from,to");
    assert_int_equal(hr_csv_rows(csv), 0);
    assert_int_equal(hr_csv_columns(csv), 2);
    hr_csv_free(csv);
}

/* What spreadsheets write where the comma is the decimal mark, and what they add. */
void lists_of_spreadsheets(void **state)
{
    (void)state;
    static const char *const lists[] = {
        "\xEF\xBB\xBF\"# unit = m, about\";;\r\n;;\r\nid;x;\r\nG 1;-61,5;\r\n;;\r\n\"a;b\";1.5;\r\n",
        "# unit = m, about\nid\tx\t\nG 1\t-61,5\t\n\t\t\n\"a;b\"\t 1.5\t\n",
        "sep=;\n# unit = m, about\nid;x;\nG 1;-61,5;\n\"a;b\";1.5;x\n",
        "# unit = m, about\nid,x,\nG 1,\"-61,5\",\n,,\na;b,1.5,\n",
    };
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++) {
        hr_csv *csv = parsed(lists[i]);
        double value = 0.0;
        assert_int_equal(hr_csv_rows(csv), 2);
        assert_int_equal(hr_csv_columns(csv), 3);
        assert_string_equal(hr_csv_cell(csv, 0, 0), "G 1");
        assert_string_equal(hr_csv_cell(csv, 1, 0), "a;b");
        assert_int_equal(strncmp(hr_csv_comment(csv, "unit"), "m, about", 8), 0);
        /* a comma parts cells, or stands for the point, never both */
        assert_int_equal(hr_csv_number(csv, hr_csv_cell(csv, 0, 1), &value), i < 3);
        if (i < 3) {
            check_near(value, -61.5, 0.0);
        }
        assert_true(hr_csv_number(csv, hr_csv_cell(csv, 1, 1), &value));
        check_near(value, 1.5, 0.0);
        assert_false(hr_csv_number(csv, "1,2,3", &value));
        assert_false(hr_csv_number(csv, "1,234.5", &value));
        assert_false(hr_csv_number(csv, "", &value));
        hr_csv_free(csv);
    }
}

/* What hr_text_csv puts before a formula does not stay. */
void protected_cells_come_back(void **state)
{
    (void)state;
    static const char *const cells[] = {"-3", "@2", "=A1", "+x", "'-3", "''=", "'", "'x", "x'-", "-", "-1,5", "- \"a\""};
    for (size_t i = 0; i < sizeof cells / sizeof cells[0]; i++) {
        hr_text text = {0};
        hr_text_add(&text, "id,b\n");
        hr_text_csv(&text, cells[i]);
        assert_null(strchr("=+-@", text.bytes[5]));
        hr_text_add(&text, ",2\n");
        hr_csv *csv = parsed(text.bytes);
        assert_string_equal(hr_csv_cell(csv, 0, 0), cells[i]);
        hr_csv_free(csv);
        hr_text_free(&text);
    }
}

typedef struct bad_case {
    const char *bytes;
    size_t len; /* 0: strlen */
    int line;
    const char *says;
} bad_case;

static const bad_case bad_cases[] = {
    {"", 0, 0, "is empty, a header row was expected"},
    {"# only = this\n\n", 0, 0, "is empty, a header row was expected"},
    {"a,b\n1,2\n3\n", 0, 3, "1 cells in this row, the header has 2"},
    {"a,b\n1,2,3\n", 0, 2, "3 cells in this row, the header has 2"},
    {"a,b\n1,2,\n", 0, 2, "3 cells in this row, the header has 2"},
    {"a,b\n\"1\n1\",2\n3\n", 0, 4, "1 cells in this row, the header has 2"},
    {"a,b,A\n", 0, 1, "column \"A\" is named twice"},
    {"a;b\n1,2\n", 0, 2, "1 cells in this row, the header has 2"},
    {"sep=;\na,b\n1;2\n", 0, 3, "2 cells in this row, the header has 1"},
    {"a\tb\n\"1\"x\t2\n", 0, 2, "text follows a closing quote, the end of the cell was expected"},
    {"PK\003\004xl", 0, 1, "a spreadsheet's own file, save it as CSV (UTF-8, parted by commas)"},
    {"a,b\n1,x\"y\"\n", 0, 2, "a quote stands inside an unquoted cell, the whole cell was expected in quotes"},
    {"a,b\n\"1\"x,2\n", 0, 2, "text follows a closing quote, a comma was expected"},
    {"a,b\n\n\"1,2\n3,4\n", 0, 3, "a quote opens here and is never closed"},
    {"a,b\r1,2\r", 0, 1, "a carriage return stands alone, line ends of LF or CRLF were expected"},
    {"a,b\n1\0,2\n", 9, 2, "a zero byte stands here, text was expected"},
    {"a,b\nZ\xFCrich,2\n", 0, 2, "not UTF-8 text, save the list as UTF-8"},
    {"a,b\n1,\xC3\n", 0, 2, "not UTF-8 text, save the list as UTF-8"},
    {"a,b\n1,\xC0\xAF\n", 0, 2, "not UTF-8 text, save the list as UTF-8"},
    {"a,b\n1,\xED\xA0\x80\n", 0, 2, "not UTF-8 text, save the list as UTF-8"},
    {"a,b\n1,\xF4\x90\x80\x80\n", 0, 2, "not UTF-8 text, save the list as UTF-8"},
    {"a,b\n1,\xE2\x82", 0, 2, "not UTF-8 text, save the list as UTF-8"},
    {"\xFF\xFE"
     "a\0,\0b\0",
     8, 1, "UTF-16 text, save the list as UTF-8"},
};

void bad_tables_are_refused_with_their_line(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof bad_cases / sizeof bad_cases[0]; i++) {
        const bad_case *c = &bad_cases[i];
        hr_csv *csv = NULL;
        hr_error err = {0};
        const size_t len = c->len > 0 ? c->len : strlen(c->bytes);
        assert_int_equal(hr_csv_parse("list.csv", c->bytes, len, &csv, &err), HR_ERR_INPUT);
        assert_null(csv);
        assert_int_equal(err.status, HR_ERR_INPUT);
        assert_string_equal(err.file, "list.csv");
        assert_string_equal(err.text, c->says);
        assert_int_equal(err.line, c->line);
        assert_int_equal(hr_csv_parse("list.csv", c->bytes, len, &csv, NULL), HR_ERR_INPUT);
    }
}

void too_many_rows_are_refused(void **state)
{
    (void)state;
    const size_t rows = HR_MAX_LIST_ROWS + 1;
    char *bytes = hr_alloc(rows + 1, 2);
    assert_non_null(bytes);
    for (size_t i = 0; i <= rows; i++) {
        memcpy(bytes + 2 * i, i == 0 ? "a\n" : "1\n", 2);
    }
    hr_csv *csv = parsed_n(bytes, 2 * rows);
    assert_int_equal(hr_csv_rows(csv), HR_MAX_LIST_ROWS);
    hr_csv_free(csv);
    csv = NULL;
    hr_error err;
    assert_int_equal(hr_csv_parse("list.csv", bytes, 2 * rows + 2, &csv, &err), HR_ERR_LIMIT);
    assert_null(csv);
    assert_string_equal(err.text, "more rows than the limit of 1000000");
    assert_int_equal(err.line, 1000002);
    hr_free(bytes);
}

void many_columns_take_no_long_time(void **state)
{
    (void)state;
    hr_text text = {0};
    for (int i = 0; i < 100000; i++) {
        hr_text_addf(&text, "%sc%d", i == 0 ? "" : ",", i);
    }
    hr_csv *csv = parsed_n(text.bytes, text.len);
    assert_int_equal(hr_csv_columns(csv), 100000);
    hr_csv_free(csv);
    hr_text_free(&text);
}

void what_is_written_reads_back(void **state)
{
    (void)state;
    static const char *const cells[] = {"214",           "Suite, west", "the \"old\" wing", "two\nlines", "#1", "",
                                        "Z\xC3\xBCrich", "'tis"};
    const size_t count = sizeof cells / sizeof cells[0];
    hr_text text = {0};
    hr_text_add(&text, "a,b,c,d,e,f,g,h\n");
    for (size_t first = 0; first < count; first++) { /* each once at the row's start */
        for (size_t i = 0; i < count; i++) {
            hr_text_add(&text, i == 0 ? "" : ",");
            hr_text_csv(&text, cells[(first + i) % count]);
        }
        hr_text_add(&text, "\n");
    }
    hr_csv *csv = parsed_n(text.bytes, text.len);
    assert_int_equal(hr_csv_rows(csv), count);
    for (size_t row = 0; row < count; row++) {
        for (size_t i = 0; i < count; i++) {
            assert_string_equal(hr_csv_cell(csv, row, i), cells[(row + i) % count]);
        }
    }
    hr_csv_free(csv);
    hr_text_free(&text);
}
