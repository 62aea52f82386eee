/*
 * svg_length.c - lengths as SVG and CSS write them.
 *
 * SPDX-License-Identifier: MIT
 */
#include "hr_units.h"

#include <string.h>

static const struct {
    const char *name;
    hr_svg_unit unit;
    double px; /* 0: depends on the context */
    bool physical;
} svg_units[] = {
    {"", HR_SVG_NUMBER, 1.0, false}, {"px", HR_SVG_PX, 1.0, false},        {"pt", HR_SVG_PT, 96.0 / 72.0, true},
    {"pc", HR_SVG_PC, 16.0, true},   {"mm", HR_SVG_MM, 96.0 / 25.4, true}, {"cm", HR_SVG_CM, 96.0 / 2.54, true},
    {"in", HR_SVG_IN, 96.0, true},   {"q", HR_SVG_Q, 96.0 / 101.6, true},  {"em", HR_SVG_EM, 0.0, false},
    {"ex", HR_SVG_EX, 0.0, false},   {"%", HR_SVG_PERCENT, 0.0, false},
};

#define SVG_UNIT_COUNT (sizeof svg_units / sizeof svg_units[0])

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r' || c == '\f';
}

bool hr_units_svg_length(const char *text, double *value, hr_svg_unit *unit)
{
    while (is_blank(*text)) {
        text++;
    }
    size_t len = strlen(text);
    while (len > 0 && is_blank(text[len - 1])) {
        len--;
    }
    /* "1em" is one em, not the start of an exponent: the scanner takes an e
     * only when digits follow */
    double number;
    const size_t used = hr_number_scan(text, len, &number);
    if (used == 0) {
        return false;
    }
    for (size_t i = 0; i < SVG_UNIT_COUNT; i++) {
        const size_t unit_len = strlen(svg_units[i].name);
        if (unit_len == len - used && hr_caseeq_n(text + used, svg_units[i].name, unit_len)) {
            *value = number;
            *unit = svg_units[i].unit;
            return true;
        }
    }
    return false;
}

double hr_units_svg_px(hr_svg_unit unit)
{
    for (size_t i = 0; i < SVG_UNIT_COUNT; i++) {
        if (svg_units[i].unit == unit) {
            return svg_units[i].px;
        }
    }
    return 0.0;
}

bool hr_units_svg_is_physical(hr_svg_unit unit)
{
    for (size_t i = 0; i < SVG_UNIT_COUNT; i++) {
        if (svg_units[i].unit == unit) {
            return svg_units[i].physical;
        }
    }
    return false;
}
