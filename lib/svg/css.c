/*
 * css.c - style sheets: rules with selectors by type, class, id, compounds of
 * them, and the two combinators people write (blank and '>'). Everything else
 * is left out with a note.
 *
 * Source: CSS Syntax Level 3; Selectors Level 3, 5-9.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <stdlib.h>
#include <string.h>

#define COMPOUNDS_MAX 8
#define IDENT_MAX 256

typedef struct css_state {
    svg_reader *reader;
    const char *start, *at, *end;
    int line; /* of start */
} css_state;

/* Counts on from the last place asked for, so that many notes stay linear. */
static int line_of(css_state *state, const char *at)
{
    for (; state->start < at; state->start++) {
        state->line += *state->start == '\n';
    }
    return state->line;
}

/* ---- selectors ------------------------------------------------------------------ */

static bool ident_char(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '_' ||
           (unsigned char)c >= 0x80;
}

static size_t put_utf8(uint32_t code, char *out)
{
    if (code < 0x80) {
        out[0] = (char)code;
        return 1;
    }
    const size_t len = code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
    static const unsigned char leads[] = {0, 0, 0xc0, 0xe0, 0xf0};
    for (size_t i = len - 1; i > 0; i--) {
        out[i] = (char)(0x80u | (code & 0x3fu));
        code >>= 6;
    }
    out[0] = (char)(leads[len] | code);
    return len;
}

/* An escape after its backslash: up to six hexadecimal digits and a blank, or one character. */
static size_t escape(const char **at, const char *end, char *out)
{
    uint32_t code = 0;
    int digits = 0;
    while (*at < end && digits < 6 && svg_hex_digit(**at) >= 0) {
        code = code * 16 + (uint32_t)svg_hex_digit(**at);
        digits++;
        ++*at;
    }
    if (digits == 0) {
        out[0] = **at;
        ++*at;
        return 1;
    }
    if (*at < end && svg_is_blank(**at)) {
        ++*at;
    }
    const bool valid = code > 0 && code <= 0x10ffff && !(code >= 0xd800 && code <= 0xdfff);
    return put_utf8(valid ? code : 0xfffd, out);
}

/* Reads an identifier into the drawing's arena; NULL: none or too long (*memory false) or no memory. */
static const char *identifier(css_state *state, const char **at, const char *end, bool *memory)
{
    char name[IDENT_MAX + 8];
    size_t len = 0;
    while (*at < end && len < IDENT_MAX) {
        if (ident_char(**at)) {
            name[len++] = **at;
            ++*at;
        } else if (**at == '\\' && *at + 1 < end) {
            ++*at;
            len += escape(at, end, name + len);
        } else {
            break;
        }
    }
    if (len == 0 || len >= IDENT_MAX) {
        return NULL;
    }
    const char *copy = hr_arena_strndup(state->reader->doc.arena, name, len);
    *memory = copy == NULL;
    return copy;
}

/* One compound such as g.wall#x; false with *memory when memory ran out, else: not supported. */
static bool read_compound(css_state *state, const char **at, const char *end, svg_compound *compound, bool *memory)
{
    svg_sheet *sheet = &state->reader->sheet;
    *compound = (svg_compound){.first_class = (uint32_t)sheet->class_count};
    const char *begin = *at;
    if (*at < end && **at == '*') {
        ++*at;
    } else if (*at < end && (ident_char(**at) || **at == '\\')) {
        compound->type = identifier(state, at, end, memory);
        if (compound->type == NULL) {
            return false;
        }
    }
    while (*at < end && (**at == '.' || **at == '#')) {
        const char kind = **at;
        ++*at;
        const char *name = identifier(state, at, end, memory);
        if (name == NULL || (kind == '#' && compound->id != NULL)) {
            return false;
        }
        if (kind == '#') {
            compound->id = name;
            continue;
        }
        if (!HR_RESERVE(sheet->classes, sheet->class_cap, sheet->class_count + 1)) {
            *memory = true;
            return false;
        }
        sheet->classes[sheet->class_count++] = name;
        compound->class_count++;
    }
    return *at > begin;
}

static void skip_blanks(const char **at, const char *end)
{
    while (*at < end && svg_is_blank(**at)) {
        ++*at;
    }
}

/* The compounds of one selector; 0: not supported or no memory. */
static size_t read_compounds(css_state *state, const char *at, const char *end, svg_compound *compounds, bool *memory)
{
    size_t count = 0;
    bool child = false;
    skip_blanks(&at, end);
    while (at < end) {
        if (count == COMPOUNDS_MAX || !read_compound(state, &at, end, &compounds[count], memory)) {
            return 0;
        }
        compounds[count++].child = child;
        const char *gap = at;
        skip_blanks(&at, end);
        child = at < end && *at == '>';
        if (child) {
            at++;
            skip_blanks(&at, end);
            if (at == end) {
                return 0;
            }
        } else if (at < end && at == gap) {
            return 0; /* something glued on that is not known here: [x], :hover, + ... */
        }
    }
    return count;
}

static uint32_t weight_of(const svg_compound *compounds, size_t count)
{
    uint32_t ids = 0, classes = 0, types = 0;
    for (size_t i = 0; i < count; i++) {
        ids += compounds[i].id != NULL;
        classes += compounds[i].class_count;
        types += compounds[i].type != NULL;
    }
    classes = classes > 1023 ? 1023 : classes;
    return ids << 20 | classes << 10 | types;
}

static void set_key(const svg_sheet *sheet, svg_selector *selector, const svg_compound *last)
{
    selector->key = "";
    selector->key_kind = 0;
    if (last->id != NULL) {
        selector->key = last->id;
        selector->key_kind = 3;
    } else if (last->class_count > 0) {
        selector->key = sheet->classes[last->first_class];
        selector->key_kind = 2;
    } else if (last->type != NULL) {
        selector->key = last->type;
        selector->key_kind = 1;
    }
}

static bool add_selector(svg_sheet *sheet, const svg_compound *compounds, size_t count, size_t first_declaration)
{
    if (!HR_RESERVE(sheet->selectors, sheet->selector_cap, sheet->selector_count + 1) ||
        !HR_RESERVE(sheet->compounds, sheet->compound_cap, sheet->compound_count + count)) {
        return false;
    }
    svg_selector *selector = &sheet->selectors[sheet->selector_count];
    *selector = (svg_selector){.first = (uint32_t)sheet->compound_count,
                               .count = (uint32_t)count,
                               .weight = weight_of(compounds, count),
                               .order = (uint32_t)sheet->selector_count,
                               .first_declaration = (uint32_t)first_declaration,
                               .declaration_count = (uint32_t)(sheet->declarations.count - first_declaration)};
    set_key(sheet, selector, &compounds[count - 1]);
    memcpy(sheet->compounds + sheet->compound_count, compounds, count * sizeof *compounds);
    sheet->compound_count += count;
    sheet->selector_count++;
    return true;
}

/* All selectors of a rule whose declarations are in already. */
static hr_status add_selectors(css_state *state, const char *at, const char *end, size_t first_declaration)
{
    svg_reader *reader = state->reader;
    while (at <= end) {
        const char *comma = memchr(at, ',', (size_t)(end - at));
        const char *stop = comma != NULL ? comma : end;
        svg_compound compounds[COMPOUNDS_MAX];
        bool memory = false;
        if (++reader->sheet.rules > HR_MAX_CSS_RULES) {
            return svg_fail(reader, HR_ERR_LIMIT, line_of(state, at), "more than %zu style rules", HR_MAX_CSS_RULES);
        }
        const size_t count = read_compounds(state, at, stop, compounds, &memory);
        if (memory || (count > 0 && !add_selector(&reader->sheet, compounds, count, first_declaration))) {
            return svg_fail_memory(reader);
        }
        if (count == 0) {
            char text[SVG_EXCERPT];
            skip_blanks(&at, stop);
            svg_note(reader, SVG_NOTE_CSS, line_of(state, at),
                     "style rule for \"%s\" left out: only type, .class, #id, "
                     "blank and > are read",
                     svg_excerpt(at, text));
        }
        at = stop + 1;
    }
    return HR_OK;
}

/* ---- rules ------------------------------------------------------------------------ */

/* From at to the first of `stops` outside quotes and brackets; end when there is none. */
static const char *find(const char *at, const char *end, const char *stops)
{
    char quote = '\0';
    for (; at < end; at++) {
        if (*at == '\\' && at + 1 < end) {
            at++;
        } else if (quote != '\0') {
            quote = *at == quote || *at == '\n' ? '\0' : quote;
        } else if (*at == '"' || *at == '\'') {
            quote = *at;
        } else if (*at != '\0' && strchr(stops, *at) != NULL) {
            return at;
        }
    }
    return end;
}

/* The '}' that closes the block whose '{' stands before at. */
static const char *block_end(const char *at, const char *end)
{
    size_t depth = 0;
    while ((at = find(at, end, "{}")) < end) {
        if (*at == '{') {
            depth++;
        } else if (depth-- == 0) {
            return at;
        }
        at++;
    }
    return end;
}

/* An @-rule: skipped with its block. Those that could change what is drawn are said. */
static void at_rule(css_state *state)
{
    static const char *const silent[] = {"@charset", "@font-face", "@namespace", "@keyframes", "@page"};
    bool said = true;
    for (size_t i = 0; i < sizeof silent / sizeof *silent; i++) {
        said = said && !hr_caseeq_n(state->at, silent[i], strlen(silent[i]));
    }
    if (said) {
        char text[SVG_EXCERPT];
        svg_note(state->reader, SVG_NOTE_CSS, line_of(state, state->at), "style sheet part \"%s\" is not read",
                 svg_excerpt(state->at, text));
    }
    const char *stop = find(state->at, state->end, ";{");
    if (stop < state->end && *stop == '{') {
        stop = block_end(stop + 1, state->end);
    }
    state->at = stop < state->end ? stop + 1 : state->end;
}

static hr_status rule(css_state *state)
{
    svg_reader *reader = state->reader;
    const char *selectors = state->at, *open = find(selectors, state->end, "{");
    if (open == state->end) {
        state->at = state->end;
        return HR_OK;
    }
    const char *close = block_end(open + 1, state->end);
    state->at = close < state->end ? close + 1 : state->end;
    const size_t first = reader->sheet.declarations.count;
    bool moves = false;
    if (!svg_css_block(open + 1, (size_t)(close - open - 1), &reader->sheet.declarations, &moves)) {
        return svg_fail_memory(reader);
    }
    if (moves) {
        svg_note(reader, SVG_NOTE_MOVES, line_of(state, selectors),
                 "a transform set in CSS is not read: positions may be wrong; use the transform attribute");
    }
    return add_selectors(state, selectors, open, first);
}

hr_status svg_sheet_add(svg_reader *reader, const char *text, size_t len, int line)
{
    reader->sheet.bytes += len;
    if (reader->sheet.bytes > HR_MAX_CSS_BYTES) {
        return svg_fail(reader, HR_ERR_LIMIT, line, "more than %zu bytes of style sheets", HR_MAX_CSS_BYTES);
    }
    char *copy = svg_css_without_comments(text, len);
    if (copy == NULL) {
        return svg_fail_memory(reader);
    }
    css_state state = {.reader = reader, .start = copy, .at = copy, .end = copy + len, .line = line};
    hr_status status = HR_OK;
    while (status == HR_OK) {
        skip_blanks(&state.at, state.end);
        if (state.at == state.end) {
            break;
        }
        const size_t left = (size_t)(state.end - state.at);
        if (left >= 4 && memcmp(state.at, "<!--", 4) == 0) {
            state.at += 4;
        } else if (left >= 3 && memcmp(state.at, "-->", 3) == 0) {
            state.at += 3;
        } else if (*state.at == '@') {
            at_rule(&state);
        } else {
            status = rule(&state);
        }
    }
    hr_free(copy);
    return status;
}

/* ---- order and end ------------------------------------------------------------------ */

static int by_key(const void *left, const void *right)
{
    const svg_selector *a = left, *b = right;
    if (a->key_kind != b->key_kind) {
        return a->key_kind < b->key_kind ? -1 : 1;
    }
    const int order = strcmp(a->key, b->key);
    return order != 0 ? order : (a->order > b->order) - (a->order < b->order);
}

void svg_sheet_sort(svg_sheet *sheet)
{
    if (sheet->selector_count > 1) {
        qsort(sheet->selectors, sheet->selector_count, sizeof *sheet->selectors, by_key);
    }
}

void svg_sheet_free(svg_sheet *sheet)
{
    hr_free(sheet->selectors);
    hr_free(sheet->compounds);
    hr_free((void *)sheet->classes);
    hr_free(sheet->declarations.items);
    *sheet = (svg_sheet){0};
}
