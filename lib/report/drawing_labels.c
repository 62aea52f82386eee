/*
 * drawing_labels.c - where the texts of a result stand: in their rooms, off the
 * signs and off each other.
 *
 * SPDX-License-Identifier: MIT
 */
#include "drawing_priv.h"

#include <string.h>

/* Letters of usual fonts are narrower than this share of their size, digits and capitals among them. */
#define LETTER_SHARE 0.63
#define ROOM_MM 2.5
#define READABLE_MM 1.7
#define NAME_MM 2.0
#define GATEWAY_NAME_MM 2.8
#define AWAY_NAME_MM 2.2
#define RELAY_NAME_MM 1.8
#define RING_MM 1.2
#define RINGS 16
#define DIRECTIONS 12

double drawing_text_mm(const char *text, double size_mm)
{
    return LETTER_SHARE * size_mm * (double)hr_text_width(text);
}

void drawing_shorten(const char *text, size_t letters, hr_text *out)
{
    if (hr_text_width(text) <= letters || letters == 0) {
        hr_text_add(out, text);
        return;
    }
    size_t len = 0;
    for (size_t kept = 0; text[len] != '\0'; len++) {
        kept += ((unsigned char)text[len] & 0xC0u) != 0x80u;
        if (kept == letters) {
            break;
        }
    }
    while (len > 0 && text[len - 1] == ' ') {
        len--;
    }
    hr_text_add_n(out, text, len);
    hr_text_add(out, "\u2026");
}

bool drawing_take(drawing *d, hr_box box)
{
    if (!HR_RESERVE(d->taken.items, d->taken.cap, d->taken.count + 1)) {
        return false;
    }
    d->taken.items[d->taken.count++] = box;
    return true;
}

bool drawing_is_free(const drawing *d, hr_box box)
{
    for (size_t i = 0; i < d->taken.count; i++) {
        const hr_box *other = &d->taken.items[i];
        if (box.x0 < other->x1 && box.x1 > other->x0 && box.y0 < other->y1 && box.y1 > other->y0) {
            return false;
        }
    }
    return true;
}

static hr_box around(double x, double y, double half_x, double half_y)
{
    return (hr_box){x - half_x, y - half_y, x + half_x, y + half_y};
}

static bool take_sign(drawing *d, hr_point at, double half_mm)
{
    const double half = half_mm * d->mm;
    return drawing_take(d, around(at.x * DRAWING_UNITS_PER_M, at.y * DRAWING_UNITS_PER_M, half, half));
}

static bool take_signs(drawing *d)
{
    bool ok = true;
    for (size_t i = 0; i < d->building->device_count && ok; i++) {
        if (d->building->devices[i].storey == d->storey) {
            ok = take_sign(d, d->building->devices[i].at, 1.15 * DRAWING_DEVICE_MM);
        }
    }
    for (size_t i = 0; i < d->siting->gateway_count && ok; i++) {
        if (d->siting->gateways[i].storey == d->storey) {
            ok = take_sign(d, d->siting->gateways[i].at, 1.1 * DRAWING_GATEWAY_MM);
        }
    }
    for (size_t i = 0; i < d->away_count && ok; i++) {
        ok = take_sign(d, d->aways[i].at, 1.1 * DRAWING_GATEWAY_MM);
    }
    for (size_t i = 0; i < d->plan->network_count && ok; i++) {
        ok = take_sign(d, d->plan->networks[i].at, 1.4);
    }
    return ok;
}

/* All of the box over this space and none of a smaller one in it. */
static bool is_over(const drawing *d, hr_box box, size_t space)
{
    for (int row = 0; row <= 2; row++) {
        for (int column = 0; column <= 4; column++) {
            const hr_point at = {(box.x0 + (box.x1 - box.x0) * column / 4.0) / DRAWING_UNITS_PER_M,
                                 (box.y0 + (box.y1 - box.y0) * row / 2.0) / DRAWING_UNITS_PER_M};
            if (hr_plan_space_at(d->plan, at) != space) {
                return false;
            }
        }
    }
    return true;
}

/* Unit vectors of a clock's face, the shorter way round a label first: right, left, down, up ... */
static const double clock_face[DIRECTIONS][2] = {{0.0, 1.0},       {0.0, -1.0},      {1.0, 0.0},        {-1.0, 0.0},
                                                 {0.5, 0.8660254}, {-0.5, 0.8660254}, {0.5, -0.8660254}, {-0.5, -0.8660254},
                                                 {0.8660254, 0.5}, {-0.8660254, 0.5}, {0.8660254, -0.5}, {-0.8660254, -0.5}};

/* The free place for a box nearest to x,y, ring by ring; false: none. */
static bool find_place(const drawing *d, size_t space, double half_x, double half_y, double *x, double *y)
{
    for (size_t ring = 0; ring < RINGS; ring++) {
        for (size_t k = 0; k < (ring == 0 ? 1 : DIRECTIONS); k++) {
            const double out = RING_MM * (double)ring * d->mm;
            const double at_x = *x + out * clock_face[k][0], at_y = *y + out * clock_face[k][1];
            const hr_box box = around(at_x, at_y, half_x, half_y);
            if (drawing_is_free(d, box) && is_over(d, box, space)) {
                *x = at_x;
                *y = at_y;
                return true;
            }
        }
    }
    return false;
}

/* A label of `lines` lines in its space, as large as fits. */
static bool place_in_space(drawing *d, size_t space, double wide_letters, double most_mm, double least_mm, double lines)
{
    const hr_point middle = d->plan->spaces[space].innermost;
    drawing_label *label = &d->space_labels[space];
    for (double size = most_mm; size >= least_mm; size *= 0.85) {
        label->x = middle.x * DRAWING_UNITS_PER_M;
        label->y = middle.y * DRAWING_UNITS_PER_M;
        const double half_x = 0.5 * (LETTER_SHARE * wide_letters + 0.3) * size * d->mm;
        const double half_y = 0.5 * (1.15 * lines + 0.1) * size * d->mm;
        if (find_place(d, space, half_x, half_y, &label->x, &label->y)) {
            label->size_mm = size;
            return drawing_take(d, around(label->x, label->y, half_x, half_y));
        }
    }
    return true;
}

/* A name longer than its figure is cut before both become too small to read; the shape's title has all of it. */
static bool place_name(drawing *d, size_t space, size_t name, size_t figure)
{
    drawing_label *label = &d->space_labels[space];
    size_t letters = name;
    bool ok = true;
    while (ok && letters > figure && label->size_mm <= 0.0) {
        ok = place_in_space(d, space, (double)letters, ROOM_MM, READABLE_MM, 2.0);
        if (label->size_mm <= 0.0) {
            letters -= 1 + letters / 8;
        }
    }
    if (ok && label->size_mm <= 0.0) {
        letters = name < figure ? name : figure;
        ok = place_in_space(d, space, (double)figure, ROOM_MM, 0.9, 2.0);
    }
    label->letters = letters < name ? letters : 0;
    return ok;
}

static bool place_rooms(drawing *d)
{
    for (size_t i = 0; i < d->plan->space_count; i++) {
        const hr_room_row *row = d->room_rows[i];
        if (row == NULL) {
            continue;
        }
        const size_t name = hr_text_width(drawing_room_name(d, row->room));
        const size_t figure = row->served && row->device_row != HR_SITING_NONE ? 7 : 10;
        if (!place_name(d, i, name, figure)) {
            return false;
        }
        if (d->space_labels[i].size_mm <= 0.0) { /* a figure is never left out */
            d->space_labels[i].size_mm = 0.9;
            d->space_labels[i].x = d->plan->spaces[i].innermost.x * DRAWING_UNITS_PER_M;
            d->space_labels[i].y = d->plan->spaces[i].innermost.y * DRAWING_UNITS_PER_M;
        }
    }
    return true;
}

static bool place_areas(drawing *d)
{
    const char **names = drawing_space_names(d);
    bool ok = names != NULL;
    for (size_t i = 0; i < d->plan->space_count && ok; i++) {
        if (d->plan->spaces[i].kind != HR_SPACE_ROOM && names[i] != NULL) {
            ok = place_in_space(d, i, (double)hr_text_width(names[i]), NAME_MM, 0.9, 1.0);
        }
    }
    hr_free(names);
    return ok;
}

/* Beside a sign: the first of the places round it that is free, else the right one. */
static bool place_beside(drawing *d, hr_point at, const char *text, double size_mm, drawing_label *label)
{
    static const double sides[][2] = {{1, 0}, {-1, 0}, {0, -1}, {0, 1}, {1, -1}, {1, 1}, {-1, -1}, {-1, 1}};
    const double half_x = 0.5 * (drawing_text_mm(text, size_mm) + 0.4) * d->mm, half_y = 0.6 * size_mm * d->mm;
    const double sign = 1.15 * DRAWING_GATEWAY_MM * d->mm;
    hr_box chosen = {0};
    for (size_t far = 0; far < 4; far++) {
        for (size_t i = 0; i < sizeof sides / sizeof sides[0]; i++) {
            const double away = sign + 2.0 * (double)far * d->mm;
            const hr_box box = around(at.x * DRAWING_UNITS_PER_M + sides[i][0] * (away + half_x),
                                      at.y * DRAWING_UNITS_PER_M + sides[i][1] * (away + half_y), half_x, half_y);
            const bool inside = box.x0 > d->left && box.x1 < d->left + d->width;
            if ((far == 0 && i == 0) || (inside && drawing_is_free(d, box))) {
                chosen = box;
            }
            if (inside && drawing_is_free(d, box)) {
                far = 4;
                break;
            }
        }
    }
    *label = (drawing_label){.x = 0.5 * (chosen.x0 + chosen.x1), .y = 0.5 * (chosen.y0 + chosen.y1), .size_mm = size_mm};
    return drawing_take(d, chosen);
}

static bool place_gateways(drawing *d)
{
    bool ok = true;
    for (size_t i = 0; i < d->siting->gateway_count && ok; i++) {
        const hr_sited_gateway *g = &d->siting->gateways[i];
        if (g->storey == d->storey) {
            ok = place_beside(d, g->at, g->id, GATEWAY_NAME_MM, &d->gateway_labels[i]);
        }
    }
    for (size_t i = 0; i < d->away_count && ok; i++) {
        hr_text words = {0};
        drawing_away_words(d, &d->aways[i], &words);
        ok = !words.failed && place_beside(d, d->aways[i].at, words.bytes,
                                           d->aways[i].gateway != HR_SITING_NONE ? AWAY_NAME_MM : RELAY_NAME_MM,
                                           &d->aways[i].label);
        hr_text_free(&words);
    }
    return ok;
}

hr_status drawing_place_labels(drawing *d, hr_error *err)
{
    d->space_labels = hr_alloc_zero(d->plan->space_count, sizeof *d->space_labels);
    d->gateway_labels = hr_alloc_zero(d->siting->gateway_count, sizeof *d->gateway_labels);
    const bool ok = d->space_labels != NULL && d->gateway_labels != NULL && take_signs(d) && place_rooms(d) &&
                    place_gateways(d) && place_areas(d);
    return ok ? HR_OK : hr_fail_memory(err);
}

/* ---- sentences ---- */

size_t drawing_wrap(drawing *d, bool draw, double x, double y, double line_mm, double size_mm, const char *colour,
                    const char *text, double width)
{
    const double letters = floor(width / (LETTER_SHARE * 0.95 * size_mm * d->mm));
    const size_t fit = letters >= 20.0 ? (size_t)letters : 20;
    size_t lines = 0;
    while (*text != '\0') {
        size_t len = strlen(text), cut = 0, used = 0;
        for (size_t i = 0; i < len && used <= fit; i++) {
            used += ((unsigned char)text[i] & 0xC0u) != 0x80u;
            cut = text[i] == ' ' && i > 0 ? i : cut;
        }
        cut = used <= fit || cut == 0 ? len : cut;
        if (draw) {
            char *line = hr_strndup(text, cut);
            d->out->failed = d->out->failed || line == NULL;
            drawing_text(d, x, y + (double)lines * line_mm * d->mm, size_mm, "start", colour, line != NULL ? line : "");
            hr_free(line);
        }
        lines++;
        text += cut;
        text += strspn(text, " ");
    }
    return lines;
}
