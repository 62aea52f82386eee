/*
 * colour.c - colours as CSS writes them.
 *
 * Source: CSS Color Module Level 4, 4-6 (hexadecimal, rgb(), hsl(), named
 * colours); light-dark() of CSS Color 5: its first colour, for a light page.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <math.h>
#include <string.h>

#define COLOUR_NAME_MAX 24

typedef struct named_colour {
    const char *name;
    uint32_t rgb;
} named_colour;

/* Sorted by name. */
/* clang-format off */
static const named_colour named[] = {
    {"aliceblue", 0xf0f8ff}, {"antiquewhite", 0xfaebd7}, {"aqua", 0x00ffff}, {"aquamarine", 0x7fffd4},
    {"azure", 0xf0ffff}, {"beige", 0xf5f5dc}, {"bisque", 0xffe4c4}, {"black", 0x000000},
    {"blanchedalmond", 0xffebcd}, {"blue", 0x0000ff}, {"blueviolet", 0x8a2be2}, {"brown", 0xa52a2a},
    {"burlywood", 0xdeb887}, {"cadetblue", 0x5f9ea0}, {"chartreuse", 0x7fff00}, {"chocolate", 0xd2691e},
    {"coral", 0xff7f50}, {"cornflowerblue", 0x6495ed}, {"cornsilk", 0xfff8dc}, {"crimson", 0xdc143c},
    {"cyan", 0x00ffff}, {"darkblue", 0x00008b}, {"darkcyan", 0x008b8b}, {"darkgoldenrod", 0xb8860b},
    {"darkgray", 0xa9a9a9}, {"darkgreen", 0x006400}, {"darkgrey", 0xa9a9a9}, {"darkkhaki", 0xbdb76b},
    {"darkmagenta", 0x8b008b}, {"darkolivegreen", 0x556b2f}, {"darkorange", 0xff8c00}, {"darkorchid", 0x9932cc},
    {"darkred", 0x8b0000}, {"darksalmon", 0xe9967a}, {"darkseagreen", 0x8fbc8f}, {"darkslateblue", 0x483d8b},
    {"darkslategray", 0x2f4f4f}, {"darkslategrey", 0x2f4f4f}, {"darkturquoise", 0x00ced1}, {"darkviolet", 0x9400d3},
    {"deeppink", 0xff1493}, {"deepskyblue", 0x00bfff}, {"dimgray", 0x696969}, {"dimgrey", 0x696969},
    {"dodgerblue", 0x1e90ff}, {"firebrick", 0xb22222}, {"floralwhite", 0xfffaf0}, {"forestgreen", 0x228b22},
    {"fuchsia", 0xff00ff}, {"gainsboro", 0xdcdcdc}, {"ghostwhite", 0xf8f8ff}, {"gold", 0xffd700},
    {"goldenrod", 0xdaa520}, {"gray", 0x808080}, {"green", 0x008000}, {"greenyellow", 0xadff2f},
    {"grey", 0x808080}, {"honeydew", 0xf0fff0}, {"hotpink", 0xff69b4}, {"indianred", 0xcd5c5c},
    {"indigo", 0x4b0082}, {"ivory", 0xfffff0}, {"khaki", 0xf0e68c}, {"lavender", 0xe6e6fa},
    {"lavenderblush", 0xfff0f5}, {"lawngreen", 0x7cfc00}, {"lemonchiffon", 0xfffacd}, {"lightblue", 0xadd8e6},
    {"lightcoral", 0xf08080}, {"lightcyan", 0xe0ffff}, {"lightgoldenrodyellow", 0xfafad2}, {"lightgray", 0xd3d3d3},
    {"lightgreen", 0x90ee90}, {"lightgrey", 0xd3d3d3}, {"lightpink", 0xffb6c1}, {"lightsalmon", 0xffa07a},
    {"lightseagreen", 0x20b2aa}, {"lightskyblue", 0x87cefa}, {"lightslategray", 0x778899},
    {"lightslategrey", 0x778899}, {"lightsteelblue", 0xb0c4de}, {"lightyellow", 0xffffe0}, {"lime", 0x00ff00},
    {"limegreen", 0x32cd32}, {"linen", 0xfaf0e6}, {"magenta", 0xff00ff}, {"maroon", 0x800000},
    {"mediumaquamarine", 0x66cdaa}, {"mediumblue", 0x0000cd}, {"mediumorchid", 0xba55d3}, {"mediumpurple", 0x9370db},
    {"mediumseagreen", 0x3cb371}, {"mediumslateblue", 0x7b68ee}, {"mediumspringgreen", 0x00fa9a},
    {"mediumturquoise", 0x48d1cc}, {"mediumvioletred", 0xc71585}, {"midnightblue", 0x191970}, {"mintcream", 0xf5fffa},
    {"mistyrose", 0xffe4e1}, {"moccasin", 0xffe4b5}, {"navajowhite", 0xffdead}, {"navy", 0x000080},
    {"oldlace", 0xfdf5e6}, {"olive", 0x808000}, {"olivedrab", 0x6b8e23}, {"orange", 0xffa500},
    {"orangered", 0xff4500}, {"orchid", 0xda70d6}, {"palegoldenrod", 0xeee8aa}, {"palegreen", 0x98fb98},
    {"paleturquoise", 0xafeeee}, {"palevioletred", 0xdb7093}, {"papayawhip", 0xffefd5}, {"peachpuff", 0xffdab9},
    {"peru", 0xcd853f}, {"pink", 0xffc0cb}, {"plum", 0xdda0dd}, {"powderblue", 0xb0e0e6}, {"purple", 0x800080},
    {"rebeccapurple", 0x663399}, {"red", 0xff0000}, {"rosybrown", 0xbc8f8f}, {"royalblue", 0x4169e1},
    {"saddlebrown", 0x8b4513}, {"salmon", 0xfa8072}, {"sandybrown", 0xf4a460}, {"seagreen", 0x2e8b57},
    {"seashell", 0xfff5ee}, {"sienna", 0xa0522d}, {"silver", 0xc0c0c0}, {"skyblue", 0x87ceeb},
    {"slateblue", 0x6a5acd}, {"slategray", 0x708090}, {"slategrey", 0x708090}, {"snow", 0xfffafa},
    {"springgreen", 0x00ff7f}, {"steelblue", 0x4682b4}, {"tan", 0xd2b48c}, {"teal", 0x008080}, {"thistle", 0xd8bfd8},
    {"tomato", 0xff6347}, {"turquoise", 0x40e0d0}, {"violet", 0xee82ee}, {"wheat", 0xf5deb3}, {"white", 0xffffff},
    {"whitesmoke", 0xf5f5f5}, {"yellow", 0xffff00}, {"yellowgreen", 0x9acd32},
};
/* clang-format on */

static hr_svg_paint paint_of(uint32_t rgb)
{
    return (hr_svg_paint){true, (uint8_t)(rgb >> 16 & 0xffu), (uint8_t)(rgb >> 8 & 0xffu), (uint8_t)(rgb & 0xffu)};
}

static bool by_name(const char *text, size_t len, hr_svg_paint *paint)
{
    char name[COLOUR_NAME_MAX];
    if (len >= sizeof name) {
        return false;
    }
    memcpy(name, text, len);
    name[len] = '\0';
    if (hr_casecmp(name, "none") == 0 || hr_casecmp(name, "transparent") == 0) {
        *paint = (hr_svg_paint){false, 0, 0, 0};
        return true;
    }
    size_t low = 0, high = sizeof named / sizeof *named;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        const int order = hr_casecmp(name, named[middle].name);
        if (order == 0) {
            *paint = paint_of(named[middle].rgb);
            return true;
        }
        if (order < 0) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    return false;
}

int svg_hex_digit(char c)
{
    if (c >= '0' && c <= '9') {
        return c - '0';
    }
    if (c >= 'a' && c <= 'f') {
        return c - 'a' + 10;
    }
    return c >= 'A' && c <= 'F' ? c - 'A' + 10 : -1;
}

/* #rgb #rgba #rrggbb #rrggbbaa, without the '#' */
static bool by_hex(const char *text, size_t len, hr_svg_paint *paint)
{
    uint8_t parts[4] = {0, 0, 0, 255};
    const size_t width = len == 3 || len == 4 ? 1 : 2;
    if (len != 3 && len != 4 && len != 6 && len != 8) {
        return false;
    }
    for (size_t i = 0; i * width < len; i++) {
        const int high = svg_hex_digit(text[i * width]), low = svg_hex_digit(text[i * width + width - 1]);
        if (high < 0 || low < 0) {
            return false;
        }
        parts[i] = (uint8_t)(16 * high + low);
    }
    *paint = (hr_svg_paint){parts[3] > 0, parts[0], parts[1], parts[2]};
    return true;
}

static uint8_t channel(double part)
{
    return (uint8_t)(255.0 * (part > 0.0 ? part < 1.0 ? part : 1.0 : 0.0) + 0.5);
}

/* CSS Color 4, 7.1: hue in degrees, saturation and lightness 0..1. */
static hr_svg_paint of_hsl(double hue, double saturation, double lightness)
{
    double parts[3];
    hue = fmod(hue, 360.0);
    const double shifts[3] = {0.0, 8.0, 4.0};
    for (int i = 0; i < 3; i++) {
        const double k = fmod(shifts[i] + (hue < 0.0 ? hue + 360.0 : hue) / 30.0, 12.0);
        const double swing = saturation * fmin(lightness, 1.0 - lightness);
        parts[i] = lightness - swing * fmax(-1.0, fmin(fmin(k - 3.0, 9.0 - k), 1.0));
    }
    return (hr_svg_paint){true, channel(parts[0]), channel(parts[1]), channel(parts[2])};
}

/* The three or four numbers of rgb(), rgba(), hsl(), hsla(); percentages as 0..1. */
static bool function_numbers(svg_scan *scan, double values[4], bool percent[4], size_t *count)
{
    svg_scan_blanks(scan);
    for (*count = 0; *count < 4;) {
        if (svg_scan_number(scan, &values[*count]) != SVG_READ) {
            return false;
        }
        percent[*count] = !svg_scan_done(scan) && scan->text[scan->at] == '%';
        scan->at += percent[*count];
        if (scan->len - scan->at >= 3 && memcmp(scan->text + scan->at, "deg", 3) == 0) {
            scan->at += 3;
        }
        ++*count;
        if (!svg_scan_comma(scan) && !svg_scan_done(scan) && scan->text[scan->at] == '/') {
            scan->at++;
            svg_scan_blanks(scan);
        }
        if (!svg_scan_done(scan) && scan->text[scan->at] == ')') {
            scan->at++;
            return *count >= 3 && svg_scan_done(scan);
        }
    }
    return false;
}

static bool by_function(const char *text, size_t len, hr_svg_paint *paint)
{
    const bool rgb = hr_caseeq_n(text, "rgb", 3);
    if (!rgb && !hr_caseeq_n(text, "hsl", 3)) {
        return false;
    }
    svg_scan scan = {text, len, 3};
    scan.at += scan.at < len && (text[scan.at] == 'a' || text[scan.at] == 'A');
    if (scan.at >= len || text[scan.at] != '(') {
        return false;
    }
    scan.at++;
    double values[4];
    bool percent[4];
    size_t count;
    if (!function_numbers(&scan, values, percent, &count)) {
        return false;
    }
    if (rgb) {
        uint8_t parts[3];
        for (int i = 0; i < 3; i++) {
            parts[i] = channel(values[i] / (percent[i] ? 100.0 : 255.0));
        }
        *paint = (hr_svg_paint){true, parts[0], parts[1], parts[2]};
    } else {
        *paint = of_hsl(values[0], fmax(0.0, fmin(values[1] / 100.0, 1.0)), fmax(0.0, fmin(values[2] / 100.0, 1.0)));
    }
    paint->set = count < 4 || values[3] > 0.0;
    return true;
}

/* light-dark(A, B): the length of A, 0 when it is something else. */
static size_t first_of_light_dark(const char *text, size_t len, size_t *start)
{
    static const char word[] = "light-dark(";
    *start = sizeof word - 1;
    if (len <= *start || !hr_caseeq_n(text, word, *start)) {
        return 0;
    }
    size_t depth = 0;
    for (size_t i = *start; i < len; i++) {
        if (text[i] == '(') {
            depth++;
        } else if (text[i] == ')' && depth > 0) {
            depth--;
        } else if (text[i] == ',' && depth == 0) {
            return i - *start;
        }
    }
    return 0;
}

bool hr_svg_colour(const char *text, hr_svg_paint *paint)
{
    size_t len = strlen(text);
    for (int round = 0; round < 2; round++) { /* twice: light-dark() holds a colour */
        while (len > 0 && svg_is_blank(text[0])) {
            text++;
            len--;
        }
        while (len > 0 && svg_is_blank(text[len - 1])) {
            len--;
        }
        size_t start;
        const size_t inner = first_of_light_dark(text, len, &start);
        if (inner == 0) {
            break;
        }
        text += start;
        len = inner;
    }
    if (len == 0) {
        return false;
    }
    if (text[0] == '#') {
        return by_hex(text + 1, len - 1, paint);
    }
    return by_function(text, len, paint) || by_name(text, len, paint);
}
