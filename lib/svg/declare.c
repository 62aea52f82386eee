/*
 * declare.c - declarations: `name: value` pairs of style attributes and style
 * sheets, and the values of the properties that matter here. What is not valid
 * does not count, as CSS has it, so that the next source of the cascade holds.
 *
 * Source: CSS Syntax Level 3, 5.4 (declarations); SVG 1.1, 6.1 (properties).
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <string.h>

#define VALUE_TEXT_MAX 256

static const struct {
    const char *name;
    svg_property property;
} properties[] = {
    {"display", SVG_P_DISPLAY},
    {"visibility", SVG_P_VISIBILITY},
    {"color", SVG_P_COLOR},
    {"stroke", SVG_P_STROKE},
    {"fill", SVG_P_FILL},
    {"fill-rule", SVG_P_FILL_RULE},
    {"stroke-width", SVG_P_STROKE_WIDTH},
    {"vector-effect", SVG_P_VECTOR_EFFECT},
    {"font-size", SVG_P_FONT_SIZE},
    {"font", SVG_P_FONT_SIZE},
    {"text-anchor", SVG_P_TEXT_ANCHOR},
    {"dominant-baseline", SVG_P_BASELINE},
    {"clip-path", SVG_P_CLIP},
    {"mask", SVG_P_MASK},
    {"transform", SVG_P_MOVES},
    {"translate", SVG_P_MOVES},
    {"rotate", SVG_P_MOVES},
    {"scale", SVG_P_MOVES},
    {"d", SVG_P_MOVES},
};

svg_property svg_property_of(const char *name, size_t len)
{
    for (size_t i = 0; i < sizeof properties / sizeof *properties; i++) {
        if (strlen(properties[i].name) == len && hr_caseeq_n(name, properties[i].name, len)) {
            return properties[i].property;
        }
    }
    return SVG_P_IGNORED;
}

typedef struct keyword {
    const char *name;
    int word;
} keyword;

static bool word_of(const char *value, const keyword *words, size_t count, int *word)
{
    for (size_t i = 0; i < count; i++) {
        if (hr_casecmp(value, words[i].name) == 0) {
            *word = words[i].word;
            return true;
        }
    }
    return false;
}

/* Absolute and relative font sizes: CSS 2.1, 15.7, on the usual 16 px and factor 1.2. */
static bool font_keyword(const char *value, svg_declaration *out)
{
    static const struct {
        const char *name;
        double size;
        hr_svg_unit unit;
    } sizes[] = {
        {"xx-small", 9.0, HR_SVG_PX},  {"x-small", 10.0, HR_SVG_PX}, {"small", 13.0, HR_SVG_PX},
        {"medium", 16.0, HR_SVG_PX},   {"large", 18.0, HR_SVG_PX},   {"x-large", 24.0, HR_SVG_PX},
        {"xx-large", 32.0, HR_SVG_PX}, {"larger", 1.2, HR_SVG_EM},   {"smaller", 1.0 / 1.2, HR_SVG_EM},
    };
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        if (hr_casecmp(value, sizes[i].name) == 0) {
            out->number = sizes[i].size;
            out->unit = sizes[i].unit;
            return true;
        }
    }
    return false;
}

static bool size_of(const char *value, svg_declaration *out)
{
    return svg_scan_length(value, strlen(value), &out->number, &out->unit) == SVG_READ && out->number >= 0.0;
}

/* The size within the `font` shorthand: the first length that has a unit, before any '/'. */
static bool font_shorthand(const char *value, svg_declaration *out)
{
    for (const char *at = value; *at != '\0';) {
        size_t len = strcspn(at, " \t\r\n\f/");
        char token[VALUE_TEXT_MAX];
        if (len > 0) {
            memcpy(token, at, len);
            token[len] = '\0';
            if (size_of(token, out) && out->unit != HR_SVG_NUMBER) {
                return true;
            }
            if (font_keyword(token, out)) {
                return true;
            }
        }
        at += len;
        at += strspn(at, " \t\r\n\f/");
    }
    return false;
}

/* none, a colour, currentColor, or url(...) with or without a fallback colour. */
static bool paint_value(const char *value, svg_declaration *out)
{
    if (hr_casecmp(value, "currentcolor") == 0) {
        out->value = SVG_VALUE_CURRENT;
        return true;
    }
    if (hr_caseeq_n(value, "url(", 4)) {
        const char *rest = strchr(value, ')');
        rest = rest != NULL ? rest + 1 + strspn(rest + 1, " \t\r\n\f") : "";
        out->is_server = !hr_svg_colour(rest, &out->paint);
        return true;
    }
    if (hr_caseeq_n(value, "context-", 8)) {
        out->is_server = true;
        return true;
    }
    return hr_svg_colour(value, &out->paint);
}

static bool value_of(svg_property property, const char *value, svg_declaration *out)
{
    static const keyword visibilities[] = {{"visible", 0}, {"hidden", 1}, {"collapse", 1}};
    static const keyword rules[] = {{"nonzero", 0}, {"evenodd", 1}};
    static const keyword anchors[] = {
        {"start", SVG_ANCHOR_START}, {"middle", SVG_ANCHOR_MIDDLE}, {"end", SVG_ANCHOR_END}};
    static const keyword baselines[] = {{"auto", SVG_BASELINE_ALPHABETIC},
                                        {"alphabetic", SVG_BASELINE_ALPHABETIC},
                                        {"middle", SVG_BASELINE_MIDDLE},
                                        {"central", SVG_BASELINE_MIDDLE},
                                        {"hanging", SVG_BASELINE_TOP},
                                        {"text-before-edge", SVG_BASELINE_TOP},
                                        {"text-top", SVG_BASELINE_TOP},
                                        {"mathematical", SVG_BASELINE_MIDDLE},
                                        {"ideographic", SVG_BASELINE_ALPHABETIC},
                                        {"text-after-edge", SVG_BASELINE_ALPHABETIC}};
    switch (property) {
    case SVG_P_DISPLAY:
        out->word = hr_casecmp(value, "none") == 0;
        return value[0] >= 'A'; /* any keyword: all but none are drawn */
    case SVG_P_VISIBILITY:
        return word_of(value, visibilities, 3, &out->word);
    case SVG_P_COLOR:
    case SVG_P_STROKE:
    case SVG_P_FILL:
        return paint_value(value, out);
    case SVG_P_FILL_RULE:
        return word_of(value, rules, 2, &out->word);
    case SVG_P_STROKE_WIDTH:
        return size_of(value, out);
    case SVG_P_VECTOR_EFFECT:
        out->word = hr_casecmp(value, "non-scaling-stroke") == 0;
        return value[0] >= 'A';
    case SVG_P_FONT_SIZE:
        return size_of(value, out) || font_keyword(value, out);
    case SVG_P_TEXT_ANCHOR:
        return word_of(value, anchors, 3, &out->word);
    case SVG_P_BASELINE:
        return word_of(value, baselines, sizeof baselines / sizeof *baselines, &out->word);
    case SVG_P_CLIP:
    case SVG_P_MASK:
    case SVG_P_MOVES:
        out->word = hr_casecmp(value, "none") != 0;
        return true;
    case SVG_PROPERTY_COUNT:
    case SVG_P_IGNORED:
        break;
    }
    return false;
}

bool svg_declaration_parse(svg_property property, const char *text, size_t len, svg_declaration *out)
{
    while (len > 0 && svg_is_blank(text[0])) {
        text++;
        len--;
    }
    while (len > 0 && svg_is_blank(text[len - 1])) {
        len--;
    }
    char value[VALUE_TEXT_MAX];
    if (len == 0 || len >= sizeof value) {
        return false;
    }
    memcpy(value, text, len);
    value[len] = '\0';
    svg_declaration found = {.property = property};
    if (hr_casecmp(value, "inherit") == 0) {
        found.value = SVG_VALUE_INHERIT;
    } else if (hr_casecmp(value, "initial") == 0) {
        found.value = SVG_VALUE_INITIAL;
    } else if (!value_of(property, value, &found)) {
        return false;
    }
    *out = found;
    return true;
}

/* ---- blocks ------------------------------------------------------------------- */

/* End of a declaration: the next ';' outside quotes and brackets. */
static const char *declaration_end(const char *at, const char *end)
{
    size_t depth = 0;
    char quote = '\0';
    for (; at < end; at++) {
        if (*at == '\\' && at + 1 < end) {
            at++;
        } else if (quote != '\0') {
            quote = *at == quote ? '\0' : quote;
        } else if (*at == '"' || *at == '\'') {
            quote = *at;
        } else if (*at == '(' || *at == '[' || *at == '{') {
            depth++;
        } else if ((*at == ')' || *at == ']' || *at == '}') && depth > 0) {
            depth--;
        } else if (*at == ';' && depth == 0) {
            break;
        }
    }
    return at;
}

static void trim(const char **text, size_t *len)
{
    while (*len > 0 && svg_is_blank((*text)[0])) {
        ++*text;
        --*len;
    }
    while (*len > 0 && svg_is_blank((*text)[*len - 1])) {
        --*len;
    }
}

/* Takes "! important" off the end of a value. */
static bool take_important(const char *value, size_t *len)
{
    static const char word[] = "important";
    const size_t word_len = sizeof word - 1;
    if (*len <= word_len || !hr_caseeq_n(value + *len - word_len, word, word_len)) {
        return false;
    }
    size_t left = *len - word_len;
    while (left > 0 && svg_is_blank(value[left - 1])) {
        left--;
    }
    if (left == 0 || value[left - 1] != '!') {
        return false;
    }
    *len = left - 1;
    while (*len > 0 && svg_is_blank(value[*len - 1])) {
        --*len;
    }
    return true;
}

bool svg_css_next_pair(const char **at, const char *end, svg_css_pair *pair)
{
    while (*at < end) {
        const char *start = *at, *stop = declaration_end(start, end);
        *at = stop < end ? stop + 1 : end;
        const char *colon = memchr(start, ':', (size_t)(stop - start));
        if (colon == NULL) {
            continue;
        }
        *pair = (svg_css_pair){.name = start,
                               .value = colon + 1,
                               .name_len = (size_t)(colon - start),
                               .value_len = (size_t)(stop - colon - 1)};
        trim(&pair->name, &pair->name_len);
        trim(&pair->value, &pair->value_len);
        pair->important = take_important(pair->value, &pair->value_len);
        if (pair->name_len > 0) {
            return true;
        }
    }
    return false;
}

char *svg_css_without_comments(const char *text, size_t len)
{
    char *copy = hr_strndup(text, len);
    if (copy == NULL) {
        return NULL;
    }
    char quote = '\0';
    for (size_t i = 0; i < len; i++) {
        if (quote != '\0') {
            quote = copy[i] == quote || copy[i] == '\n' ? '\0' : quote;
        } else if (copy[i] == '"' || copy[i] == '\'') {
            quote = copy[i];
        } else if (copy[i] == '/' && i + 1 < len && copy[i + 1] == '*') {
            const char *close = i + 2 < len ? strstr(copy + i + 2, "*/") : NULL;
            const size_t stop = close != NULL ? (size_t)(close - copy) + 2 : len;
            for (; i < stop; i++) {
                copy[i] = copy[i] == '\n' ? '\n' : ' '; /* lines stay countable */
            }
            i--;
        }
    }
    return copy;
}

bool svg_css_block(const char *text, size_t len, svg_declarations *out, bool *moves)
{
    const char *at = text, *end = text + len;
    svg_css_pair pair;
    while (svg_css_next_pair(&at, end, &pair)) {
        const svg_property property = svg_property_of(pair.name, pair.name_len);
        svg_declaration found;
        bool valid = property != SVG_P_IGNORED;
        if (valid && property == SVG_P_FONT_SIZE && pair.name_len == 4) {
            char value[VALUE_TEXT_MAX];
            found = (svg_declaration){.property = property};
            valid = pair.value_len > 0 && pair.value_len < sizeof value;
            if (valid) {
                memcpy(value, pair.value, pair.value_len);
                value[pair.value_len] = '\0';
                valid = font_shorthand(value, &found);
            }
        } else if (valid) {
            valid = svg_declaration_parse(property, pair.value, pair.value_len, &found);
        }
        if (!valid) {
            continue;
        }
        if (property == SVG_P_MOVES) {
            *moves = *moves || found.word != 0;
            continue;
        }
        if (!HR_RESERVE(out->items, out->cap, out->count + 1)) {
            return false;
        }
        found.important = pair.important;
        out->items[out->count++] = found;
    }
    return true;
}
