/*
 * test_ini.c - lines, sections and bytes of a property file.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_test.h"

static void test_reads_plain_file(void **state)
{
    (void)state;
    reading r = reads(HEAD STOREY);
    assert_string_equal(r.b->name, "Test");
    assert_int_equal(r.b->length_unit, HR_METRES);
    check_near(r.b->radio.frequency_mhz, 915.0, 0.0);
    assert_int_equal(r.b->storey_count, 1);
    assert_int_equal(hr_notes_count(r.notes), 0);
    done(&r);
}

static void test_accepts_bom_crlf(void **state)
{
    (void)state;
    reading r = reads("\xEF\xBB\xBF# a comment\r\n\r\n[property] ; heading\r\n   ; indented comment\r\n"
                      "name = Quill: lodge ; trailing\r\nlength_unit=m\r\n[ radio ]\r\nfrequency_mhz:868.5\r\n"
                      "[storey   ground]\r\nplan = two.svg"); /* no line end at the end */
    assert_string_equal(r.b->name, "Quill: lodge");
    check_near(r.b->radio.frequency_mhz, 868.5, 0.0);
    assert_string_equal(r.b->storeys[0].name, "ground");
    done(&r);
}

static void test_refuses_long_line(void **state)
{
    (void)state;
    char text[512];
    /* 199 bytes are read in full, one more is refused: nothing is cut off silently */
    const int fill = 199 - (int)strlen("name = ");
    (void)snprintf(text, sizeof text, "[property]\nname = %0*d\nlength_unit = m\n[radio]\nfrequency_mhz = 915\n" STOREY,
                   fill, 7);
    reading r = reads(text);
    assert_int_equal(strlen(r.b->name), fill);
    assert_int_equal(r.b->name[fill - 1], '7');
    done(&r);
    (void)snprintf(text, sizeof text, "[property]\nname = %0*d\nlength_unit = m\n", fill + 1, 7);
    refuse(text, HR_ERR_INPUT, 2, "more than 199 bytes");
}

static void test_refuses_long_section(void **state)
{
    (void)state;
    char text[512];
    (void)snprintf(text, sizeof text, HEAD "[material %040d]\nloss_db = 3\n" STOREY, 1);
    reading r = reads(text); /* 49 bytes */
    done(&r);
    (void)snprintf(text, sizeof text, HEAD "[material %041d]\nloss_db = 3\n" STOREY, 1);
    refuse(text, HR_ERR_INPUT, 6, "more than 49 bytes");
}

static void test_refuses_indented_lines(void **state)
{
    (void)state;
    refuse(HEAD " model = multi-wall\n", HR_ERR_INPUT, 6, "indented");
    refuse("[property]\nname = Test\n  and more\n", HR_ERR_INPUT, 3, "indented");
    refuse("[property]\n\t[radio]\n", HR_ERR_INPUT, 2, "indented");
}

static void test_refuses_bad_bytes(void **state)
{
    (void)state;
    refuse("[property]\nname = caf\xE9\n", HR_ERR_INPUT, 2, "UTF-8");
    refuse("[property]\n; \xC0\x80\n", HR_ERR_INPUT, 2, "UTF-8");          /* overlong */
    refuse("[property]\nname = \xED\xA0\x80\n", HR_ERR_INPUT, 2, "UTF-8"); /* surrogate */
    refuse("[property]\nname = \xF4\x90\x80\x80\n", HR_ERR_INPUT, 2, "UTF-8");
    refuse("[property]\nname = \xE2\x82\n", HR_ERR_INPUT, 2, "UTF-8"); /* cut off */
    refuse("[property]\nname = a\033[2Jb\n", HR_ERR_INPUT, 2, "control character");
    reading r = reads("[property]\nname = caf\xC3\xA9 \xE2\x82\xAC \xF0\x9F\x8F\xA8\nlength_unit = m\n[radio]\n"
                      "frequency_mhz = 915\n" STOREY);
    done(&r);
}

static void test_refuses_zero_byte(void **state)
{
    (void)state;
    static const char text[] = "[property]\nname = a\0b\n";
    hr_building *b = NULL;
    hr_error err = {0};
    assert_int_equal(hr_building_parse("x.ini", text, sizeof text - 1, NULL, NULL, &b, &err), HR_ERR_INPUT);
    assert_int_equal(err.line, 2);
    assert_string_equal(err.file, "x.ini");
    assert_non_null(strstr(err.text, "zero byte"));
    assert_null(b);
}

static void test_refuses_bad_headings(void **state)
{
    (void)state;
    refuse("[property\n", HR_ERR_INPUT, 1, "closing bracket");
    refuse("[property] name = x\n", HR_ERR_INPUT, 1, "new line");
    refuse("name = x\n[property]\n", HR_ERR_INPUT, 1, "before the first [section]");
    refuse("[property]\njust words\n", HR_ERR_INPUT, 2, "neither [section] nor key = value");
    refuse("[property]\nname = \n", HR_ERR_INPUT, 2, "no value");
    refuse("[property]\nname = ; nothing\n", HR_ERR_INPUT, 2, "no value");
    refuse("", HR_ERR_INPUT, 0, "no [property] section");
}

static void test_empty_sections_count(void **state)
{
    (void)state;
    /* an empty [device x] is a section that is there: power is required in it, at its own line */
    refuse(HEAD "[device wall]\n\n" STOREY, HR_ERR_INPUT, 6, "[device wall] has no power");
    refuse(HEAD "[storey 1]\n", HR_ERR_INPUT, 6, "[storey 1] has no plan");
    refuse(HEAD "[storey 1]", HR_ERR_INPUT, 6, "[storey 1] has no plan");
}

static void test_reports_missing_file(void **state)
{
    (void)state;
    hr_building *b = NULL;
    hr_error err = {0};
    assert_int_equal(hr_building_read("/nonexistent/x.ini", NULL, NULL, &b, &err), HR_ERR_INPUT);
    assert_non_null(strstr(err.file, "x.ini"));
    assert_null(b);
    /* errors need no taker */
    assert_int_equal(hr_building_read("/nonexistent/x.ini", NULL, NULL, &b, NULL), HR_ERR_INPUT);
    hr_building_free(NULL);
}

const struct CMUnitTest ini_tests[] = {
    cmocka_unit_test(test_reads_plain_file),       cmocka_unit_test(test_accepts_bom_crlf),
    cmocka_unit_test(test_refuses_long_line),      cmocka_unit_test(test_refuses_long_section),
    cmocka_unit_test(test_refuses_indented_lines), cmocka_unit_test(test_refuses_bad_bytes),
    cmocka_unit_test(test_refuses_zero_byte),      cmocka_unit_test(test_refuses_bad_headings),
    cmocka_unit_test(test_empty_sections_count),   cmocka_unit_test(test_reports_missing_file)};
const size_t ini_test_count = COUNT_OF(ini_tests);
