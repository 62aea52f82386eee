/*
 * path.c - path data and point lists.
 *
 * Source: SVG 1.1 Second Edition, 8.3 and 8.3.9 (grammar), 9.7.1 (points),
 * F.2 (error handling: everything up to the last complete segment is drawn).
 * "50." is a number (SVG 1.1); arc flags are one character 0 or 1; a nonzero
 * flag other than 1 is an error (grammar, W3C test paths-data-20-f).
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <string.h>

typedef struct path_state {
    svg_scan scan;
    svg_pen *pen;
    svg_path_result result;
    hr_point control; /* last control point, for S and T */
    char previous;    /* upper-case letter of the last segment */
} path_state;

static char upper(char c)
{
    return c >= 'a' && c <= 'z' ? (char)(c - 'a' + 'A') : c;
}

/* Numbers a segment takes, 0 for Z and for what is no command. */
static size_t numbers_of(char command)
{
    switch (upper(command)) {
    case 'M':
    case 'L':
    case 'T':
        return 2;
    case 'H':
    case 'V':
        return 1;
    case 'S':
    case 'Q':
        return 4;
    case 'C':
        return 6;
    case 'A':
        return 7;
    default:
        return 0;
    }
}

/* One set of arguments. scan->at is moved only past what was read whole. */
static bool read_set(path_state *state, char command, double values[7])
{
    svg_scan scan = state->scan;
    const size_t count = numbers_of(command);
    for (size_t i = 0; i < count; i++) {
        if (i > 0) {
            (void)svg_scan_comma(&scan);
        }
        svg_outcome outcome;
        if (upper(command) == 'A' && (i == 3 || i == 4)) {
            const char c = svg_scan_done(&scan) ? '\0' : scan.text[scan.at];
            outcome = c == '0' || c == '1' ? SVG_READ : SVG_BAD;
            values[i] = c == '1' ? 1.0 : 0.0;
            scan.at += outcome == SVG_READ;
        } else {
            outcome = svg_scan_number(&scan, &values[i]);
        }
        if (outcome != SVG_READ) {
            state->result.outcome = outcome;
            state->result.stopped_at = scan.at;
            return false;
        }
    }
    state->scan = scan;
    return true;
}

/* The reflected control point when the last segment was of the same family (8.3.6, 8.3.7). */
static hr_point reflected(const path_state *state, const char *family)
{
    const hr_point at = state->pen->at;
    if (state->previous != '\0' && strchr(family, state->previous) != NULL) {
        return (hr_point){2.0 * at.x - state->control.x, 2.0 * at.y - state->control.y};
    }
    return at;
}

static void draw_curve(path_state *state, char command, const hr_point p[3])
{
    svg_pen *pen = state->pen;
    switch (command) {
    case 'C':
        state->control = p[1];
        svg_pen_cubic(pen, p[0], p[1], p[2]);
        break;
    case 'S': {
        const hr_point c1 = reflected(state, "CS");
        state->control = p[0];
        svg_pen_cubic(pen, c1, p[0], p[1]);
        break;
    }
    case 'Q':
        state->control = p[0];
        svg_pen_quadratic(pen, p[0], p[1]);
        break;
    default: /* T */
        state->control = reflected(state, "QT");
        svg_pen_quadratic(pen, state->control, p[0]);
        break;
    }
}

static void draw_set(path_state *state, char letter, const double v[7])
{
    svg_pen *pen = state->pen;
    const char command = upper(letter);
    const hr_point base = letter == command ? (hr_point){0.0, 0.0} : pen->at;
    switch (command) {
    case 'M':
        svg_pen_move(pen, base.x + v[0], base.y + v[1]);
        break;
    case 'L':
        svg_pen_line(pen, base.x + v[0], base.y + v[1]);
        break;
    case 'H':
        svg_pen_line(pen, base.x + v[0], pen->at.y);
        break;
    case 'V':
        svg_pen_line(pen, pen->at.x, base.y + v[0]);
        break;
    case 'A':
        svg_pen_arc(pen, v[0], v[1], v[2], v[3] > 0.5, v[4] > 0.5, (hr_point){base.x + v[5], base.y + v[6]});
        break;
    default: {
        hr_point points[3];
        for (size_t i = 0; i < 3; i++) {
            const bool used = 2 * i < numbers_of(letter);
            points[i] = used ? (hr_point){base.x + v[2 * i], base.y + v[2 * i + 1]} : base;
        }
        draw_curve(state, command, points);
        break;
    }
    }
    state->previous = command;
    state->result.segments += command != 'M';
}

/* All sets of arguments of one command; false when the path ends in an error here. */
static bool draw_command(path_state *state, char letter)
{
    double values[7];
    svg_scan_blanks(&state->scan);
    for (char now = letter;;) {
        if (!read_set(state, now, values)) {
            return false;
        }
        draw_set(state, now, values);
        if (state->pen->fault != SVG_NO_FAULT) {
            return false;
        }
        const bool comma = svg_scan_comma(&state->scan);
        const bool more = !svg_scan_done(&state->scan);
        const char next = more ? state->scan.text[state->scan.at] : '\0';
        const bool letter_next = (next >= 'a' && next <= 'z') || (next >= 'A' && next <= 'Z');
        if (!comma && (!more || letter_next)) {
            return true;
        }
        if (!more) { /* a comma with nothing after it */
            state->result.outcome = SVG_BAD;
            state->result.stopped_at = state->scan.at;
            return false;
        }
        now = now == 'M' ? 'L' : now == 'm' ? 'l' : now; /* 8.3.2: further pairs are lines */
    }
}

svg_path_result svg_path_parse(const char *text, svg_pen *pen)
{
    path_state state = {.scan = svg_scan_text(text), .pen = pen, .previous = '\0'};
    svg_scan_blanks(&state.scan);
    if (strncmp(text + state.scan.at, "none", 4) == 0 && state.scan.at + 4 == state.scan.len) {
        return state.result;
    }
    while (!svg_scan_done(&state.scan)) {
        const char letter = state.scan.text[state.scan.at];
        const bool close = upper(letter) == 'Z';
        const bool first = state.previous == '\0';
        if ((!close && numbers_of(letter) == 0) || (first && upper(letter) != 'M')) {
            state.result.outcome = SVG_BAD;
            state.result.stopped_at = state.scan.at;
            /* a word like nan where a command should be is still a number that is none */
            double unused;
            if (svg_scan_number(&state.scan, &unused) == SVG_NOT_FINITE) {
                state.result.outcome = SVG_NOT_FINITE;
            }
            return state.result;
        }
        state.scan.at++;
        if (close) {
            svg_pen_close(pen);
            state.previous = 'Z';
            state.result.segments++;
        } else if (!draw_command(&state, letter)) {
            return state.result;
        }
        if (pen->fault != SVG_NO_FAULT) {
            return state.result;
        }
        svg_scan_blanks(&state.scan);
    }
    return state.result;
}

svg_path_result svg_points_parse(const char *text, bool closed, svg_pen *pen)
{
    svg_path_result result = {SVG_READ, 0, 0};
    svg_scan scan = svg_scan_text(text);
    svg_scan_blanks(&scan);
    size_t points = 0;
    while (!svg_scan_done(&scan) && pen->fault == SVG_NO_FAULT) {
        double pair[2];
        result.stopped_at = scan.at;
        result.outcome = svg_scan_number(&scan, &pair[0]);
        if (result.outcome == SVG_READ) {
            (void)svg_scan_comma(&scan);
            result.stopped_at = scan.at;
            result.outcome = svg_scan_number(&scan, &pair[1]);
        }
        if (result.outcome != SVG_READ) {
            break; /* 9.7.1: a last number without partner is an error; so is anything else */
        }
        if (points++ == 0) {
            svg_pen_move(pen, pair[0], pair[1]);
        } else {
            svg_pen_line(pen, pair[0], pair[1]);
            result.segments++;
        }
        if (svg_scan_comma(&scan) && svg_scan_done(&scan)) {
            result.outcome = SVG_BAD;
            result.stopped_at = scan.at;
        }
    }
    if (closed && points > 0) {
        svg_pen_close(pen);
    }
    return result;
}
