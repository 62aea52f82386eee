/*
 * test_text.c - the growing text and its escapes.
 *
 * SPDX-License-Identifier: MIT
 */
#include "base_tests.h"

void texts_grow(void **state)
{
    (void)state;
    hr_text text = {0};
    hr_text_add(&text, "");
    assert_string_equal(text.bytes, "");
    hr_text_add_n(&text, NULL, 0);
    hr_text_add(&text, "room");
    hr_text_pad(&text, 2);
    hr_text_add_n(&text, "214xyz", 3);
    hr_text_addf(&text, " %s:%d", "hops", 3);
    hr_text_add(&text, " ");
    hr_text_fixed(&text, -4.25, 1);
    assert_string_equal(text.bytes, "room  214 hops:3 -4.3");
    assert_int_equal(text.len, strlen(text.bytes));
    hr_text_free(&text);
    assert_null(text.bytes);
    assert_int_equal(text.len, 0);
}

void long_formats_are_written_whole(void **state)
{
    (void)state;
    char word[1001];
    for (size_t len = 250; len <= 1000; len += len < 260 ? 1 : 370) { /* both sides of the small buffer */
        memset(word, 'w', len);
        word[len] = '\0';
        hr_text text = {0};
        hr_text_add(&text, "<");
        hr_text_addf(&text, "%s>", word);
        assert_int_equal(text.len, len + 2);
        assert_int_equal(text.bytes[len], 'w');
        assert_string_equal(text.bytes + len + 1, ">");
        hr_text_free(&text);
    }
}

void a_failed_text_stays_failed(void **state)
{
    (void)state;
    hr_text text = {0};
    hr_text_add(&text, "whole");
    hr_text_add_n(&text, "", SIZE_MAX - 3); /* cannot be had */
    assert_true(text.failed);
    hr_text_add(&text, "more");
    hr_text_addf(&text, "%d", 5);
    hr_text_xml(&text, "<");
    hr_text_csv(&text, ",");
    assert_string_equal(text.bytes, "whole");
    hr_text_free(&text);
}

static void check_xml(const char *in, const char *expected)
{
    hr_text text = {0};
    hr_text_xml(&text, in);
    assert_string_equal(text.bytes == NULL ? "" : text.bytes, expected);
    hr_text_free(&text);
}

#define REPLACED "\xEF\xBF\xBD"

void xml_is_escaped(void **state)
{
    (void)state;
    check_xml("", "");
    check_xml("Bar & Grill <2\"> 'n'", "Bar &amp; Grill &lt;2&quot;&gt; &#39;n&#39;");
    check_xml("Z\xC3\xBCrich \xF0\x9F\x8F\xA8\t\n", "Z\xC3\xBCrich \xF0\x9F\x8F\xA8\t\n");
    check_xml("a\x01\x1B\x7F", "a" REPLACED REPLACED REPLACED);
    check_xml("\xEF\xBF\xBE", REPLACED);                                /* U+FFFE is no XML character */
    check_xml("a\xFF\xC3", "a" REPLACED REPLACED);                      /* not UTF-8 */
    check_xml("\xC0\xBC", REPLACED REPLACED);                           /* overlong "<" */
    check_xml("\xED\xA0\x80", REPLACED REPLACED REPLACED);              /* a surrogate */
    check_xml("\xF4\x90\x80\x80", REPLACED REPLACED REPLACED REPLACED); /* above U+10FFFF */
}

static void check_csv(const char *in, const char *expected)
{
    hr_text text = {0};
    hr_text_csv(&text, in);
    assert_string_equal(text.bytes == NULL ? "" : text.bytes, expected);
    hr_text_free(&text);
}

void csv_cells_are_quoted(void **state)
{
    (void)state;
    check_csv("", "");
    check_csv("214", "214");
    check_csv("Suite, west", "\"Suite, west\"");               /* RFC 4180, 2.6 */
    check_csv("the \"old\" wing", "\"the \"\"old\"\" wing\""); /* RFC 4180, 2.7 */
    check_csv("a\nb", "\"a\nb\"");
    check_csv("a\rb", "\"a\rb\"");
    check_csv(" x", "\" x\"");
    check_csv("x ", "\"x \"");
    check_csv("x y", "x y");
    check_csv("#1", "\"#1\""); /* not a comment line */
    /* what a spreadsheet would work out */
    check_csv("=1+1", "'=1+1");
    check_csv("+1", "'+1");
    check_csv("-1", "'-1");
    check_csv("@SUM(A1)", "'@SUM(A1)");
    check_csv("'-1", "''-1"); /* or the reader would take the name's own apostrophe off */
    check_csv("'x", "'x");
    check_csv("=A1,\"x\"", "\"'=A1,\"\"x\"\"\"");
}

void width_counts_code_points(void **state)
{
    (void)state;
    assert_int_equal(hr_text_width(""), 0);
    assert_int_equal(hr_text_width("214"), 3);
    assert_int_equal(hr_text_width("Z\xC3\xBCrich"), 6);
    assert_int_equal(hr_text_width("\xE2\x82\xAC\xF0\x9F\x8F\xA8"), 2);
}
