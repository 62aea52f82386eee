/*
 * test_number.c - numbers in and out of text.
 *
 * Oracles: decimal expansions worked out by exact integer arithmetic, and the
 * C library's strtod and printf under the C locale, which round correctly.
 *
 * SPDX-License-Identifier: MIT
 */
#include <float.h>
#include <limits.h>
#include <locale.h>
#include <stdlib.h>

#include "base_tests.h"

typedef struct scan_case {
    const char *text;
    size_t used; /* 0: no number */
    double value;
} scan_case;

static const scan_case scan_cases[] = {
    {"0", 1, 0.0},
    {"12", 2, 12.0},
    {"-12", 3, -12.0},
    {"+12", 3, 12.0},
    {".5", 2, 0.5},
    {"-.5", 3, -0.5},
    {"50.", 3, 50.0},
    {"1e3", 3, 1000.0},
    {"1E+3", 4, 1000.0},
    {"25e-2", 5, 0.25},
    {"50.e1", 5, 500.0},
    {"007.50", 6, 7.5},
    /* SVG 1.1, 8.3.9: numbers may abut in path data */
    {".5.5", 2, 0.5},
    {"10-20", 2, 10.0},
    {"0-2", 1, 0.0},
    {"1.2.3", 3, 1.2},
    /* an exponent needs digits */
    {"1em", 1, 1.0},
    {"1e", 1, 1.0},
    {"1e+", 1, 1.0},
    {"1ex", 1, 1.0},
    {"12mm", 2, 12.0},
    /* no hexadecimal, no decimal comma, no blank in front */
    {"0x10", 1, 0.0},
    {"0x1p4", 1, 0.0},
    {"3,75", 1, 3.0},
    {" 1", 0, 0.0},
    {"", 0, 0.0},
    {".", 0, 0.0},
    {"+", 0, 0.0},
    {"-", 0, 0.0},
    {"+.", 0, 0.0},
    {"--1", 0, 0.0},
    {"+-1", 0, 0.0},
    {"e5", 0, 0.0},
    {".e5", 0, 0.0},
    {"x", 0, 0.0},
    {"nan", 0, 0.0},
    {"NaN", 0, 0.0},
    {"inf", 0, 0.0},
    {"-inf", 0, 0.0},
    {"Infinity", 0, 0.0},
    /* not finite */
    {"1e999", 0, 0.0},
    {"-1e999", 0, 0.0},
    {"1e99999999999999999999999", 0, 0.0},
    {"1.7976931348623159e308", 0, 0.0},
    /* too small is zero, as near as a double comes */
    {"1e-999", 6, 0.0},
    {"1e-99999999999999999999999", 26, 0.0},
    {"0e999", 5, 0.0},
};

void numbers_follow_the_grammar(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof scan_cases / sizeof scan_cases[0]; i++) {
        const scan_case *c = &scan_cases[i];
        double value = 77.0;
        const size_t used = hr_number_scan(c->text, strlen(c->text), &value);
        if (used != c->used) {
            fail_msg("'%s': %zu bytes used, expected %zu", c->text, used, c->used);
        }
        check_near(value, used > 0 ? c->value : 77.0, 0.0); /* untouched without a number */
    }
}

void numbers_stop_at_the_given_length(void **state)
{
    (void)state;
    const char text[] = {'1', '2', '3', '.', '5', 'e', '1'}; /* no zero at the end */
    const double expected[] = {1, 12, 123, 123, 123.5, 123.5, 1235};
    const size_t used[] = {1, 2, 3, 4, 5, 5, 7};
    for (size_t len = 1; len <= sizeof text; len++) {
        double value = -1;
        assert_int_equal(hr_number_scan(text, len, &value), used[len - 1]);
        check_near(value, expected[len - 1], 0.0);
    }
}

static double scanned(const char *text)
{
    double value = (double)NAN;
    assert_int_equal(hr_number_scan(text, strlen(text), &value), strlen(text));
    return value;
}

/* The bits, so that -0 and 0 differ. */
static uint64_t bits_of(double value)
{
    uint64_t bits;
    memcpy(&bits, &value, sizeof bits);
    return bits;
}

#define HALFWAY "1.00000000000000011102230246251565404236316680908203125" /* 1 + 2^-53 */

void numbers_round_correctly(void **state)
{
    (void)state;
    check_near(scanned("9007199254740993"), 9007199254740992.0, 0.0); /* 2^53 + 1: the even neighbour */
    check_near(scanned("9007199254740995"), 9007199254740996.0, 0.0);
    check_near(scanned("9007199254740993.00000000000000000001"), 9007199254740994.0, 0.0);
    check_near(scanned(HALFWAY), 1.0, 0.0);
    check_near(scanned(HALFWAY "0000000001"), 0x1.0000000000001p0, 0.0);
    check_near(scanned("1.7976931348623157e308"), DBL_MAX, 0.0);
    check_near(scanned("1.7976931348623158e308"), DBL_MAX, 0.0);
    check_near(scanned("2.2250738585072014e-308"), DBL_MIN, 0.0);
    check_near(scanned("2.2250738585072011e-308"), 0x0.fffffffffffffp-1022, 0.0);
    check_near(scanned("4.9406564584124654e-324"), 0x1p-1074, 0.0);
    check_near(scanned("2.4703282292062327e-324"), 0.0, 0.0);       /* just below half the least double */
    check_near(scanned("2.4703282292062328e-324"), 0x1p-1074, 0.0); /* just above */
    assert_true(bits_of(scanned("-0")) == bits_of(-0.0));
    assert_true(bits_of(scanned("0.1")) == bits_of(0.1));
    assert_true(bits_of(scanned("123456789012345e22")) == bits_of(123456789012345e22));
    assert_true(bits_of(scanned("123456789012345e-22")) == bits_of(123456789012345e-22));
}

static char *repeated(const char *head, char c, size_t count, const char *tail)
{
    hr_text text = {0};
    hr_text_add(&text, head);
    for (size_t i = 0; i < count; i++) {
        hr_text_add_n(&text, &c, 1);
    }
    hr_text_add(&text, tail);
    assert_false(text.failed);
    return text.bytes;
}

void long_numbers_are_read_whole(void **state)
{
    (void)state;
    static const struct {
        const char *head;
        size_t zeros;
        const char *tail;
        double expected;
    } cases[] = {
        {HALFWAY, 3000, "1", 0x1.0000000000001p0}, /* the last digit of 3056 decides */
        {HALFWAY, 3000, "", 1.0},
        {"1", 400, "e-400", 1.0},
        {"0.", 5000, "25e5001", 2.5},
        {"000", 5000, "42", 42.0},
        {"1", 2000, "e-1999", 10.0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char *text = repeated(cases[i].head, '0', cases[i].zeros, cases[i].tail);
        check_near(scanned(text), cases[i].expected, 0.0);
        hr_free(text);
    }
    char *huge = repeated("1", '0', 400, ""); /* 1e400 */
    double value = 5.0;
    assert_int_equal(hr_number_scan(huge, strlen(huge), &value), 0);
    check_near(value, 5.0, 0.0);
    hr_free(huge);
}

/* Any finite double; a fixed sequence (Marsaglia, "Xorshift RNGs", J. Stat. Softw. 8(14), 2003). */
static double next_double(uint64_t *seed)
{
    double value;
    do {
        *seed ^= *seed << 13;
        *seed ^= *seed >> 7;
        *seed ^= *seed << 17;
        memcpy(&value, seed, sizeof value);
    } while (!isfinite(value));
    return value;
}

/* A double of everyday size with some hard decimals. */
static double everyday(uint64_t *seed)
{
    const double any = next_double(seed);
    int exponent;
    const double fraction = frexp(any, &exponent);
    return ldexp(fraction, (int)(*seed % 50) - 8);
}

void every_double_reads_back(void **state)
{
    (void)state;
    uint64_t seed = UINT64_C(88172645463325252);
    for (int i = 0; i < 50000; i++) {
        const double value = i % 2 == 0 ? next_double(&seed) : everyday(&seed);
        char text[64];
        (void)snprintf(text, sizeof text, "%.*g", 1 + i % 19, value);
        if (bits_of(scanned(text)) != bits_of(strtod(text, NULL))) {
            fail_msg("%s reads as %a, strtod says %a", text, scanned(text), strtod(text, NULL));
        }
        (void)snprintf(text, sizeof text, "%.17g", value);
        assert_true(bits_of(scanned(text)) == bits_of(value));
    }
}

void whole_texts_are_numbers(void **state)
{
    (void)state;
    double value = 1.0;
    assert_true(hr_number_parse(" \t-2.5e1\r\n", &value));
    check_near(value, -25.0, 0.0);
    static const char *const no_numbers[] = {"", "  ", "1 2", "1,5", "12m", "nan", "inf", "0x10", "1e999", "--1"};
    for (size_t i = 0; i < sizeof no_numbers / sizeof no_numbers[0]; i++) {
        assert_false(hr_number_parse(no_numbers[i], &value));
    }
    check_near(value, -25.0, 0.0);
}

void whole_numbers_have_bounds(void **state)
{
    (void)state;
    long value = 9;
    assert_true(hr_integer_parse(" 42 ", 1, 100, &value));
    assert_int_equal(value, 42);
    assert_true(hr_integer_parse("-7", -7, 7, &value));
    assert_int_equal(value, -7);
    assert_true(hr_integer_parse("+7", -7, 7, &value));
    assert_int_equal(value, 7);
#if LONG_MAX > 9000000000000000
    assert_true(hr_integer_parse("9000000000000000", 0, LONG_MAX, &value));
    assert_int_equal(value, 9000000000000000);
#else
    assert_false(hr_integer_parse("9000000000000000", 0, LONG_MAX, &value));
#endif
    value = 9;
    static const char *const refused[] = {"0", "101", "4.0", "4.", "1e1", "", "x", "4x", "4 2", "99999999999999999999"};
    for (size_t i = 0; i < sizeof refused / sizeof refused[0]; i++) {
        assert_false(hr_integer_parse(refused[i], 1, 100, &value));
    }
    /* beyond what a double holds exactly it is refused, not rounded */
    assert_false(hr_integer_parse("9007199254740993", 0, LONG_MAX, &value));
    assert_false(hr_integer_parse("9223372036854775807", 0, LONG_MAX, &value));
    assert_int_equal(value, 9);
}

typedef struct fixed_case {
    double value;
    int decimals;
    const char *fixed, *shortest;
} fixed_case;

/* Exact values of the doubles behind the decimals: 1.005 is 1.00499999999999989..., 2.675 is
 * 2.67499999999999982..., 1.115 is 1.11499999999999991..., 1.00485 is 1.00485000000000002..., 0.045 is
 * 0.04499999999999999833... */
static const fixed_case fixed_cases[] = {
    {0.0, 0, "0", "0"},
    {0.0, 3, "0.000", "0"},
    {-0.0, 1, "0.0", "0"},
    {-0.04, 1, "0.0", "0"},
    {-0.05, 1, "-0.1", "-0.1"}, /* 0.05 is a little more than 0.05 */
    {30.48, 2, "30.48", "30.48"},
    {30.48, 4, "30.4800", "30.48"},
    {2.0, 2, "2.00", "2"},
    {100.0, 0, "100", "100"},
    {0.5, 3, "0.500", "0.5"},
    /* exact ties: away from zero */
    {0.5, 0, "1", "1"},
    {1.5, 0, "2", "2"},
    {2.5, 0, "3", "3"},
    {-0.5, 0, "-1", "-1"},
    {-2.5, 0, "-3", "-3"},
    {0.125, 2, "0.13", "0.13"},
    {0.375, 2, "0.38", "0.38"},
    {-0.125, 2, "-0.13", "-0.13"},
    {5000000.0009765625, 9, "5000000.000976563", "5000000.000976563"},
    {4398046511104.0009765625, 9, "4398046511104.000976563", "4398046511104.000976563"},
    /* no ties */
    {1.005, 2, "1.00", "1"},
    {2.675, 2, "2.67", "2.67"},
    {1.115, 2, "1.11", "1.11"},
    {1.00485, 4, "1.0049", "1.0049"},
    {0.045, 2, "0.04", "0.04"},
    {0.49999999999999994, 0, "0", "0"},
    {4503599627370497.5, 0, "1000000000000000", "1000000000000000"},
    /* carries */
    {0.99999, 2, "1.00", "1"},
    {-9.999, 2, "-10.00", "-10"},
    {999.9999999996, 9, "1000.000000000", "1000"},
    /* clamped */
    {1e15, 0, "1000000000000000", "1000000000000000"},
    {-1e300, 2, "-1000000000000000.00", "-1000000000000000"},
    {1e300, 9, "1000000000000000.000000000", "1000000000000000"},
    {1.25, -3, "1", "1"},
    {1.5, 20, "1.500000000", "1.5"},
    {1e-300, 9, "0.000000000", "0"},
    {5e-324, 9, "0.000000000", "0"},
};

void fixed_rounds_half_away(void **state)
{
    (void)state;
    char buf[HR_FIXED_MAX];
    for (size_t i = 0; i < sizeof fixed_cases / sizeof fixed_cases[0]; i++) {
        const fixed_case *c = &fixed_cases[i];
        assert_string_equal(hr_fixed(c->value, c->decimals, buf), c->fixed);
        assert_string_equal(hr_short(c->value, c->decimals, buf), c->shortest);
    }
    assert_string_equal(hr_fixed((double)NAN, 2, buf), "-");
    assert_string_equal(hr_fixed((double)INFINITY, 2, buf), "-");
    assert_string_equal(hr_short(-(double)INFINITY, 2, buf), "-");
}

/* A value lies halfway between two numbers of so many decimals exactly when it
 * is an odd multiple of 2^-(decimals + 1): 10^decimals / 2 times it is then a
 * whole number and a half. */
static bool is_tie(double value, int decimals)
{
    return fmod(ldexp(fabs(value), decimals + 1), 2.0) == 1.0;
}

void fixed_agrees_with_printf(void **state)
{
    (void)state;
    uint64_t seed = UINT64_C(1442695040888963407);
    char buf[HR_FIXED_MAX], expected[HR_FIXED_MAX];
    for (int i = 0; i < 100000; i++) {
        const double value = everyday(&seed);
        const int decimals = i % 10;
        (void)snprintf(expected, sizeof expected, "%.*f", decimals, value);
        if (is_tie(value, decimals)) {
            continue;
        }
        const char *plain = strspn(expected, "-0.") == strlen(expected) && expected[0] == '-' ? expected + 1 : expected;
        assert_string_equal(hr_fixed(value, decimals, buf), plain);
    }
}

void round_is_the_nearest_decimal(void **state)
{
    (void)state;
    check_near(hr_round(1.005, 2), 1.0, 0.0);
    check_near(hr_round(2.5, 0), 3.0, 0.0);
    check_near(hr_round(-2.5, 0), -3.0, 0.0);
    check_near(hr_round(12.34565, 4), 12.3456, 0.0); /* 12.34564999999999912... */
    check_near(hr_round(1.00485, 4), 1.0049, 0.0);   /* 1.00485000000000002... */
    check_near(hr_round(1e300, 4), 1e300, 0.0);
    assert_true(bits_of(hr_round(-0.00001, 4)) == bits_of(0.0));
    assert_true(bits_of(hr_round(-0.0, 4)) == bits_of(0.0));
    assert_true(isnan(hr_round((double)NAN, 2)));
    assert_true(isinf(hr_round((double)INFINITY, 2)));
    uint64_t seed = 12345;
    char buf[HR_FIXED_MAX];
    for (int i = 0; i < 20000; i++) {
        const double value = everyday(&seed) / 1e6;
        const int decimals = i % 10;
        assert_true(bits_of(hr_round(value, decimals)) == bits_of(strtod(hr_fixed(value, decimals, buf), NULL)));
    }
}

void levels_are_whole_micro_decibels(void **state)
{
    (void)state;
    assert_true(hr_micro(-87.1234567) == -87123457);
    assert_true(hr_micro(0.0) == 0 && hr_micro(-0.0) == 0);
    assert_true(hr_micro(0.1 + 0.2) == hr_micro(0.3)); /* the reason for it */
    assert_true(hr_micro((double)INFINITY) == INT64_C(9000000000000000));
    assert_true(hr_micro(-1e300) == -INT64_C(9000000000000000));
    assert_true(hr_micro((double)NAN) == INT64_MIN);
}

void numbers_do_not_follow_the_locale(void **state)
{
    (void)state;
    const char *wanted = getenv("HR_COMMA_LOCALE");
    if (setlocale(LC_ALL, wanted != NULL ? wanted : "de_DE.UTF-8") == NULL ||
        strcmp(localeconv()->decimal_point, ",") != 0) {
        (void)setlocale(LC_ALL, "C");
        print_message("# skipped: no locale with a decimal comma here (HR_COMMA_LOCALE names one)\n");
        return; /* not skip(): cmocka reports that as "not ok" in TAP */
    }
    char buf[HR_FIXED_MAX], told[HR_FIXED_MAX];
    (void)snprintf(told, sizeof told, "%.2f", 3.75);
    const locale_t before = uselocale((locale_t)0);
    double value = 0.0, long_value = 0.0, comma = 0.0;
    const size_t used = hr_number_scan("3.75", 4, &value);
    const size_t long_used = hr_number_scan("3.750000000000000000000000000", 29, &long_value);
    const size_t comma_used = hr_number_scan("3,75", 4, &comma);
    (void)hr_fixed(-3.75, 2, buf);
    hr_error err;
    char *bytes;
    size_t len;
    (void)hr_file_read("/nowhere/at/all", 10, &bytes, &len, &err);
    const bool same_locale = before == uselocale((locale_t)0);
    (void)setlocale(LC_ALL, "C");
    assert_string_equal(told, "3,75"); /* the locale does bite */
    assert_int_equal(used, 4);
    check_near(value, 3.75, 0.0);
    assert_int_equal(long_used, 29);
    check_near(long_value, 3.75, 0.0);
    assert_int_equal(comma_used, 1);
    check_near(comma, 3.0, 0.0);
    assert_string_equal(buf, "-3.75");
    assert_string_equal(err.text, "cannot be opened: No such file or directory");
    assert_true(same_locale);
}
