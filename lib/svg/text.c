/*
 * text.c - the characters of a text element in order, each with the place that
 * x, y, dx, dy of its tspans give it, white space folded.
 *
 * Source: SVG 1.1, 10.4-10.5 (text, tspan, lists of positions), 10.15 (white
 * space); CSS Text Level 3, 4.1 for line ends, which become blanks.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <math.h>
#include <string.h>

/* The rest of one list of lengths; NULL when used up. */
typedef struct list_cursor {
    const char *at;
} list_cursor;

enum { LIST_X = 0, LIST_Y, LIST_DX, LIST_DY, LIST_COUNT };

typedef struct text_level {
    uint32_t element, next_child;
    svg_style style;
    list_cursor lists[LIST_COUNT];
    bool fresh; /* none of its characters seen yet */
} text_level;

typedef struct text_state {
    svg_reader *reader;
    const svg_frame *frame;
    text_level *levels;
    size_t count, cap;
    svg_label_builder label;
    bool after_blank; /* a further blank folds into the last one */
} text_state;

static const struct {
    svg_attribute attribute;
    char axis;
} lists[LIST_COUNT] = {{SVG_ATTR_X, 'x'}, {SVG_ATTR_Y, 'y'}, {SVG_ATTR_DX, 'x'}, {SVG_ATTR_DY, 'y'}};

/* Takes the next length off a list. A malformed one ends the list with a note. */
static bool take(text_state *state, text_level *level, int list, double *value)
{
    list_cursor *cursor = &level->lists[list];
    if (cursor->at == NULL) {
        return false;
    }
    const char *text = cursor->at;
    text += strspn(text, " \t\r\n\f");
    if (*text == ',') {
        text += 1 + strspn(text + 1, " \t\r\n\f");
    }
    const size_t len = strcspn(text, ", \t\r\n\f");
    cursor->at = text + len;
    if (len == 0) {
        cursor->at = NULL;
        return false;
    }
    double number;
    hr_svg_unit unit;
    const svg_outcome outcome = svg_scan_length(text, len, &number, &unit);
    const int line = state->reader->doc.elements[level->element].line;
    char shown[SVG_EXCERPT];
    if (outcome == SVG_NOT_FINITE) {
        (void)svg_fail(state->reader, HR_ERR_INPUT, line, "a text position \"%s\" is not a finite number",
                       svg_excerpt(text, shown));
    } else if (outcome == SVG_BAD) {
        svg_note(state->reader, SVG_NOTE_LENGTH, line, "a text position \"%s\" is none: ignored from there on",
                 svg_excerpt(text, shown));
    }
    if (outcome != SVG_READ) {
        cursor->at = NULL;
        return false;
    }
    *value = svg_to_user(number, unit, lists[list].axis, &state->frame->viewport, level->style.font_size);
    return true;
}

/* Every level's lists move on with each character; the innermost value holds (SVG 1.1, 10.5). */
static void place(text_state *state, svg_glyph *glyph)
{
    double values[LIST_COUNT] = {0.0, 0.0, 0.0, 0.0};
    bool given[LIST_COUNT] = {false, false, false, false};
    bool first = false;
    for (size_t i = 0; i < state->count; i++) {
        text_level *level = &state->levels[i];
        for (int list = 0; list < LIST_COUNT; list++) {
            double value;
            if (take(state, level, list, &value)) {
                values[list] = value;
                given[list] = true;
                first = first || (level->fresh && list <= LIST_Y);
            }
        }
        level->fresh = false;
    }
    glyph->has_x = given[LIST_X];
    glyph->has_y = given[LIST_Y];
    glyph->first = first;
    glyph->x = values[LIST_X];
    glyph->y = values[LIST_Y];
    glyph->dx = values[LIST_DX];
    glyph->dy = values[LIST_DY];
}

static size_t character_length(const char *at)
{
    size_t len = 1;
    while (len < 4 && ((unsigned char)at[len] & 0xc0u) == 0x80u) {
        len++;
    }
    return len;
}

static hr_status characters(text_state *state, const char *text)
{
    svg_reader *reader = state->reader;
    text_level *level = &state->levels[state->count - 1];
    const int line = reader->doc.elements[level->element].line;
    if (svg_count_bytes(reader, strlen(text) * (1 + state->count / 8), line) != HR_OK) {
        return reader->status;
    }
    while (*text != '\0' && reader->status == HR_OK) {
        const size_t len = character_length(text);
        const bool no_break = len == 2 && memcmp(text, "\xc2\xa0", 2) == 0; /* stands, but is not seen */
        const bool blank = svg_is_blank(*text);
        const bool folded = blank && state->after_blank && !level->style.preserve_space;
        state->after_blank = blank;
        if (!folded) {
            svg_glyph glyph = {.bytes = text, .len = len, .style = &level->style, .line = line};
            if (blank || no_break) {
                glyph.bytes = " ";
                glyph.len = 1;
            }
            place(state, &glyph);
            if (reader->status == HR_OK && !level->style.invisible) {
                (void)svg_label_glyph(reader, state->frame, &state->label, &glyph);
            }
        }
        text += len;
    }
    return reader->status;
}

static hr_status enter(text_state *state, uint32_t element, const svg_style *style)
{
    if (!HR_RESERVE(state->levels, state->cap, state->count + 1)) {
        return svg_fail_memory(state->reader);
    }
    text_level *level = &state->levels[state->count++];
    *level = (text_level){.element = element,
                          .next_child = state->reader->doc.elements[element].first_child,
                          .style = *style,
                          .fresh = true};
    for (int list = 0; list < LIST_COUNT; list++) {
        level->lists[list].at = svg_attr_get(&state->reader->doc, element, lists[list].attribute);
    }
    return HR_OK;
}

static hr_status child(text_state *state, uint32_t element)
{
    svg_reader *reader = state->reader;
    const svg_element *e = &reader->doc.elements[element];
    if (svg_count_step(reader, e->line) != HR_OK) {
        return reader->status;
    }
    if (e->tag == SVG_TAG_RUN) {
        return characters(state, e->text);
    }
    if (e->tag == SVG_TAG_TEXTPATH) {
        svg_note(reader, SVG_NOTE_TEXT, e->line, "text along a path is not placed: left out");
        return HR_OK;
    }
    if (e->tag != SVG_TAG_TSPAN && e->tag != SVG_TAG_A) {
        return HR_OK;
    }
    svg_style style;
    const svg_style outer = state->levels[state->count - 1].style;
    if (svg_style_compute(reader, element, &outer, &state->frame->viewport, &style) != HR_OK) {
        return reader->status;
    }
    return style.display_none ? HR_OK : enter(state, element, &style);
}

static hr_status run(text_state *state)
{
    hr_status status = enter(state, state->frame->element, &state->frame->style);
    while (status == HR_OK && state->count > 0) {
        text_level *top = &state->levels[state->count - 1];
        const uint32_t next = top->next_child;
        if (next == SVG_NONE) {
            state->count--;
            continue;
        }
        top->next_child = state->reader->doc.elements[next].next;
        status = child(state, next);
    }
    return status == HR_OK ? svg_label_end(state->reader, state->frame, &state->label) : status;
}

hr_status svg_text_labels(svg_reader *reader, const svg_frame *frame)
{
    if (svg_matrix_is_singular(frame->matrix)) {
        return HR_OK;
    }
    text_state state = {.reader = reader, .frame = frame, .after_blank = true};
    const hr_status status = run(&state);
    hr_free(state.levels);
    hr_text_free(&state.label.text);
    return status;
}
