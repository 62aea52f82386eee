/*
 * number.c - numbers in and out, the same in every locale.
 *
 * SPDX-License-Identifier: MIT
 */
#include "hr_base.h"

#include <inttypes.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The point halfway between two doubles has at most 768 significant digits:
 * beyond them it only matters whether anything but zeros follows. */
#define DIGITS_MAX 800
/* Exponents are clamped here: far beyond the range of a double either way. */
#define EXPONENT_MAX 1000000000
#define MAGNITUDE_MAX 1e15

/* digits (no point, no leading zeros) times 10^exponent */
typedef struct decimal {
    bool negative;
    size_t count;
    int64_t exponent;
    char digits[DIGITS_MAX + 1];
} decimal;

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static size_t digits_from(const char *text, size_t len, size_t at)
{
    while (at < len && is_digit(text[at])) {
        at++;
    }
    return at;
}

/* End of the digits and the point of a number, 0: no number. Source: SVG 1.1, 4.2. */
static size_t mantissa_end(const char *text, size_t len)
{
    const size_t whole = len > 0 && (text[0] == '+' || text[0] == '-') ? 1 : 0;
    size_t end = digits_from(text, len, whole);
    size_t digits = end - whole;
    if (end < len && text[end] == '.') {
        const size_t fraction = end + 1;
        end = digits_from(text, len, fraction);
        digits += end - fraction;
    }
    return digits == 0 ? 0 : end;
}

/* Reads the exponent at text[at], if there is one ("1em" has none), and returns its end. */
static size_t take_exponent(const char *text, size_t len, size_t at, int64_t *exponent)
{
    *exponent = 0;
    if (at >= len || (text[at] != 'e' && text[at] != 'E')) {
        return at;
    }
    size_t start = at + 1;
    const bool negative = start < len && text[start] == '-';
    if (start < len && (text[start] == '+' || text[start] == '-')) {
        start++;
    }
    const size_t end = digits_from(text, len, start);
    if (end == start) {
        return at;
    }
    for (size_t i = start; i < end && *exponent < EXPONENT_MAX; i++) {
        *exponent = *exponent * 10 + (text[i] - '0');
    }
    if (negative) {
        *exponent = -*exponent;
    }
    return end;
}

static void take_digits(const char *text, size_t end, decimal *d)
{
    bool fraction = false, more = false;
    for (size_t i = 0; i < end; i++) {
        const char c = text[i];
        d->negative = d->negative || c == '-';
        fraction = fraction || c == '.';
        if (!is_digit(c)) {
            continue;
        }
        if (d->count == DIGITS_MAX) {
            more = more || c != '0';
            d->exponent += !fraction;
            continue;
        }
        if (d->count > 0 || c != '0') {
            d->digits[d->count++] = c;
        }
        d->exponent -= fraction;
    }
    if (more) { /* stands for all the digits that were left out */
        d->digits[d->count++] = '1';
        d->exponent--;
    }
}

/* Both operands are exact doubles then, so that the one operation is correctly
 * rounded. Source: W. D. Clinger, "How to read floating point numbers
 * accurately", PLDI 1990. */
static bool convert_small(const decimal *d, double *value)
{
    if (d->count > 15 || d->exponent < -22 || d->exponent > 22) {
        return false;
    }
    double digits = 0.0, power = 1.0;
    for (size_t i = 0; i < d->count; i++) {
        digits = digits * 10.0 + (d->digits[i] - '0');
    }
    for (int64_t i = d->exponent < 0 ? -d->exponent : d->exponent; i > 0; i--) {
        power *= 10.0;
    }
    *value = d->exponent < 0 ? digits / power : digits * power;
    return true;
}

/* strtod follows the process's locale, so the thread's own is set aside for the
 * call. "C" exists everywhere and newlocale returns it without allocating. */
static bool convert_any(const decimal *d, double *value)
{
    char text[DIGITS_MAX + 32];
    (void)snprintf(text, sizeof text, "%.*se%" PRId64, (int)d->count, d->digits, d->exponent);
    const locale_t c_locale = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    if (c_locale == (locale_t)0) {
        return false;
    }
    const locale_t before = uselocale(c_locale);
    *value = strtod(text, NULL);
    (void)uselocale(before);
    freelocale(c_locale);
    return isfinite(*value);
}

size_t hr_number_scan(const char *text, size_t len, double *value)
{
    const size_t mantissa = mantissa_end(text, len);
    if (mantissa == 0) {
        return 0;
    }
    int64_t exponent;
    const size_t end = take_exponent(text, len, mantissa, &exponent);
    decimal d;
    d.negative = false;
    d.count = 0;
    d.exponent = 0;
    take_digits(text, mantissa, &d);
    d.exponent += exponent;
    double size = 0.0;
    if (d.count > 0 && !convert_small(&d, &size) && !convert_any(&d, &size)) {
        return 0;
    }
    *value = d.negative ? -size : size;
    return end;
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\r' || c == '\n';
}

bool hr_number_parse(const char *text, double *value)
{
    while (is_blank(*text)) {
        text++;
    }
    size_t len = strlen(text);
    while (len > 0 && is_blank(text[len - 1])) {
        len--;
    }
    double found;
    if (len == 0 || hr_number_scan(text, len, &found) != len) {
        return false;
    }
    *value = found;
    return true;
}

bool hr_integer_parse(const char *text, long low, long high, long *value)
{
    double found;
    if (!hr_number_parse(text, &found) || strpbrk(text, ".eE") != NULL) {
        return false;
    }
    /* whole numbers up to 9e15 are exact in a double; nothing here counts further */
    if (!(found >= (double)low && found <= (double)high) || fabs(found) > 9e15) {
        return false;
    }
    *value = (long)found;
    return true;
}

static double power_of_ten(int exponent)
{
    double power = 1.0;
    for (int i = 0; i < exponent; i++) {
        power *= 10.0;
    }
    return power;
}

/*
 * size * scale as a whole number, half upwards, decided on the exact product:
 * 1.005 * 100 is a little less than 100.5 although some products round to a
 * half that is none. size >= 0, product below 2^53.
 */
static double round_product(double size, double scale)
{
    const double product = size * scale;
    const double lost = fma(size, scale, -product); /* exact: what the rounding took away */
    const double below = floor(product);
    return (product - below) - 0.5 + lost >= 0.0 ? below + 1.0 : below;
}

char *hr_fixed(double value, int decimals, char buf[HR_FIXED_MAX])
{
    if (!isfinite(value)) {
        memcpy(buf, "-", 2);
        return buf;
    }
    decimals = decimals < 0 ? 0 : decimals > 9 ? 9 : decimals;
    const double size = fmin(fabs(value), MAGNITUDE_MAX), scale = power_of_ten(decimals);
    double whole = floor(size);
    double fraction = round_product(size - whole, scale);
    if (fraction >= scale) {
        whole += 1.0;
        fraction = 0.0;
    }
    /* integers only: what printf writes for a double follows the locale */
    const char *sign = value < 0.0 && (whole > 0.0 || fraction > 0.0) ? "-" : "";
    if (decimals == 0) {
        (void)snprintf(buf, HR_FIXED_MAX, "%s%" PRIu64, sign, (uint64_t)whole);
    } else {
        (void)snprintf(buf, HR_FIXED_MAX, "%s%" PRIu64 ".%0*" PRIu64, sign, (uint64_t)whole, decimals,
                       (uint64_t)fraction);
    }
    return buf;
}

char *hr_short(double value, int max_decimals, char buf[HR_FIXED_MAX])
{
    (void)hr_fixed(value, max_decimals, buf);
    if (strchr(buf, '.') != NULL) {
        size_t len = strlen(buf);
        while (buf[len - 1] == '0') {
            len--;
        }
        if (buf[len - 1] == '.') {
            len--;
        }
        buf[len] = '\0';
    }
    return buf;
}

double hr_round(double value, int decimals)
{
    const double scale = power_of_ten(decimals > 12 ? 12 : decimals);
    if (!isfinite(value) || fabs(value) > 9e15 / scale) {
        return value; /* no decimals left to round away */
    }
    /* + 0.0 makes -0 into 0 */
    return copysign(round_product(fabs(value), scale) / scale, value) + 0.0;
}

int64_t hr_micro(double db)
{
    if (isnan(db)) {
        return INT64_MIN;
    }
    const double micro = round(db * 1e6);
    return micro > 9e15 ? INT64_C(9000000000000000) : micro < -9e15 ? -INT64_C(9000000000000000) : (int64_t)micro;
}
