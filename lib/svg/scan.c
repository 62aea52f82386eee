/*
 * scan.c - numbers, lengths and separators of SVG attributes.
 *
 * Source: SVG 1.1 Second Edition, 4.2 (numbers, lengths) and 8.3.9 (path
 * grammar); the white space of path data is 09 0A 0C 0D 20 (SVG 2, 9.3.9).
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <string.h>

/* Longest length that is looked at: a number of any sensible kind and a unit. */
#define LENGTH_TEXT_MAX 80

svg_scan svg_scan_text(const char *text)
{
    return (svg_scan){.text = text, .len = strlen(text), .at = 0};
}

bool svg_is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f';
}

bool svg_scan_done(const svg_scan *scan)
{
    return scan->at >= scan->len;
}

void svg_scan_blanks(svg_scan *scan)
{
    while (scan->at < scan->len && svg_is_blank(scan->text[scan->at])) {
        scan->at++;
    }
}

bool svg_scan_comma(svg_scan *scan)
{
    svg_scan_blanks(scan);
    if (scan->at < scan->len && scan->text[scan->at] == ',') {
        scan->at++;
        svg_scan_blanks(scan);
        return true;
    }
    return false;
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* What hr_number_scan refused: a number too large for a double, the words that
 * some programs write for it, or no number at all? */
static svg_outcome refused(const char *text, size_t len)
{
    size_t at = 0;
    if (at < len && (text[at] == '+' || text[at] == '-')) {
        at++;
    }
    const size_t left = len - at;
    if (left >= 1 && is_digit(text[at])) {
        return SVG_NOT_FINITE;
    }
    if (left >= 2 && text[at] == '.' && is_digit(text[at + 1])) {
        return SVG_NOT_FINITE;
    }
    if (left >= 3 && (hr_caseeq_n(text + at, "nan", 3) || hr_caseeq_n(text + at, "inf", 3))) {
        return SVG_NOT_FINITE;
    }
    return SVG_BAD;
}

svg_outcome svg_scan_number(svg_scan *scan, double *value)
{
    const char *text = scan->text + scan->at;
    const size_t left = scan->len - scan->at;
    const size_t used = hr_number_scan(text, left, value);
    if (used == 0) {
        return refused(text, left);
    }
    scan->at += used;
    return SVG_READ;
}

svg_outcome svg_scan_numbers(const char *text, double *values, size_t count)
{
    svg_scan scan = svg_scan_text(text);
    svg_scan_blanks(&scan);
    for (size_t i = 0; i < count; i++) {
        if (i > 0) {
            (void)svg_scan_comma(&scan);
        }
        const svg_outcome outcome = svg_scan_number(&scan, &values[i]);
        if (outcome != SVG_READ) {
            return outcome;
        }
    }
    svg_scan_blanks(&scan);
    return svg_scan_done(&scan) ? SVG_READ : SVG_BAD;
}

svg_outcome svg_scan_length(const char *text, size_t len, double *value, hr_svg_unit *unit)
{
    while (len > 0 && svg_is_blank(text[0])) {
        text++;
        len--;
    }
    while (len > 0 && svg_is_blank(text[len - 1])) {
        len--;
    }
    double number;
    if (len == 0) {
        return SVG_BAD;
    }
    if (hr_number_scan(text, len, &number) == 0) {
        return refused(text, len);
    }
    char copy[LENGTH_TEXT_MAX];
    if (len >= sizeof copy) {
        return SVG_BAD;
    }
    memcpy(copy, text, len);
    copy[len] = '\0';
    return hr_units_svg_length(copy, value, unit) ? SVG_READ : SVG_BAD;
}
