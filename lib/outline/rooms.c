/*
 * rooms.c - a guest room: bath core by the corridor, entry beside it, bed and
 * window behind. Drawn from the side where the bath is: q runs from that party
 * wall's centre line, t from the corridor wall's.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_priv.h"

#include <string.h>

#define WINDOW 2400L
#define RISER_HALF 150L
#define RISER_FROM 1000L
#define RISER_TO 1800L
#define BATH_DOOR_FROM 800L
#define BATH_DOOR_TO 1500L

typedef struct room {
    outline_drawing *d;
    const outline_strip *strip;
    const outline_cell *cell;
    long width, near, far; /* insets of the floor from the party walls */
    long bath_q, bath_t;   /* faces of the bath's walls towards the room; 0 without a bath */
    long back;             /* inner face of the outer wall */
} room;

/* Party walls are thinner than outer walls. */
long outline_inset(const outline_strip *strip, long s)
{
    return s == 0 || s == strip->length ? OUTLINE_HALF_OUTER : OUTLINE_HALF_PARTY;
}

static long along(const room *r, long q)
{
    return r->cell->flipped ? r->cell->to - q : r->cell->from + q;
}

static outline_point at(const room *r, long q, long t)
{
    return outline_at(r->strip, along(r, q), t);
}

static outline_rect box(const room *r, long q0, long t0, long q1, long t1)
{
    return outline_rect_at(r->strip, along(r, q0), t0, along(r, q1), t1);
}

static outline_point across(const room *r, long sign)
{
    const long way = r->cell->flipped ? -sign : sign;
    return (outline_point){r->strip->u.x * way, r->strip->u.y * way};
}

static void label(const room *r, char *words)
{
    hr_text text = {0};
    hr_text_addf(&text, "%0*ld", (int)r->d->label_width, r->cell->number);
    r->d->failed = r->d->failed || text.failed;
    (void)memcpy(words, text.failed ? "0" : text.bytes, text.failed ? 2 : text.len + 1);
    hr_text_free(&text);
}

static void draw_floor(const room *r)
{
    char words[24];
    label(r, words);
    const long h = r->d->z->half_corridor;
    const outline_point points[6] = {
        at(r, r->bath_q, h),     at(r, r->width - r->far, h), at(r, r->width - r->far, r->back),
        at(r, r->near, r->back), at(r, r->near, r->bath_t),   at(r, r->bath_q, r->bath_t)};
    const bool bath = r->bath_t > 0;
    const outline_point plain[4] = {at(r, r->near, h), points[1], points[2], points[3]};
    outline_closed(&r->d->layers[OUTLINE_L_ROOMS], bath ? points : plain, bath ? 6 : 4, words);
    const long deep = bath ? r->bath_t + (r->back - r->bath_t) / 2 : r->back - 600;
    outline_label(&r->d->layers[OUTLINE_L_ROOM_TEXT], at(r, r->width - 900, deep), 360,
                  "font-weight=\"bold\" fill=\"#1f3a5f\" text-anchor=\"middle\"", words);
}

static void draw_bath(const room *r)
{
    outline_drawing *d = r->d;
    const long q = r->bath_q - OUTLINE_HALF_TILE, t = r->bath_t - OUTLINE_HALF_TILE; /* wall centre lines */
    const long h = d->z->half_corridor, inner_q = q - OUTLINE_HALF_TILE, inner_t = t - OUTLINE_HALF_TILE;
    outline_box(&d->layers[OUTLINE_L_AREAS], box(r, r->near, h, inner_q, inner_t), "bath");
    outline_wall(d, at(r, q, 0), at(r, q, t), OUTLINE_TILE);
    outline_wall(d, at(r, 0, t), at(r, q, t), OUTLINE_TILE);
    outline_door(d, OUTLINE_L_BATH_DOORS, at(r, q, BATH_DOOR_TO), at(r, q, BATH_DOOR_FROM), across(r, -1));
    hr_text *people = &d->layers[OUTLINE_L_FURNITURE];
    outline_box(people, box(r, r->near, inner_t - 750, inner_q, inner_t), NULL);
    outline_box(people, box(r, r->near + 80, inner_t - 670, inner_q - 80, inner_t - 80), NULL);
    outline_box(people, box(r, r->near, h + 850, r->near + 180, h + 1250), NULL);
    outline_box(people, box(r, r->near + 180, h + 880, r->near + 620, h + 1220), NULL);
    outline_box(people, box(r, r->near + 250, h, inner_q - 350, h + 520), NULL);
    if (r->cell->paired) {
        outline_wall(d, at(r, 0, 0), at(r, 0, t), OUTLINE_BATH_CORE);
        outline_break(d, at(r, 0, RISER_FROM), at(r, 0, RISER_TO));
        if (r->cell->flipped) { /* once for the two rooms of a pair */
            outline_box(&d->layers[OUTLINE_L_RISER], box(r, -RISER_HALF, RISER_FROM, RISER_HALF, RISER_TO), NULL);
        }
    }
}

static void draw_furniture(const room *r)
{
    hr_text *people = &r->d->layers[OUTLINE_L_FURNITURE];
    const long from = (r->bath_t > 0 ? r->bath_t : r->d->z->half_corridor + 1500) + 250, left = r->back - 900 - from;
    const long bed = left > 1800 ? 1800 : left > 900 ? left : 900;
    const long head = r->near + 30;
    outline_box(people, box(r, head, from, head + 2000, from + bed), NULL);
    outline_line(people, at(r, head + 500, from), at(r, head + 500, from + bed));
    outline_box(people, box(r, head + 60, from + 80, head + 400, from + bed / 2 - 50), NULL);
    outline_box(people, box(r, head + 60, from + bed / 2 + 50, head + 400, from + bed - 80), NULL);
    const long desk = r->width - r->far - 30;
    if (r->width - r->near - r->far >= 2600) {
        outline_box(people, box(r, desk - 450, from, desk, from + (left < 2200 ? left : 2200)), NULL);
    }
    outline_box(people, box(r, r->width / 2 - 650, r->back - 180, r->width / 2 + 650, r->back - 30), NULL);
}

static void draw_openings(const room *r)
{
    outline_drawing *d = r->d;
    const long hinge = r->width - r->far - OUTLINE_JAMB, across_mm = d->z->across;
    outline_door(d, OUTLINE_L_ENTRY_DOORS, at(r, hinge, 0), at(r, hinge - OUTLINE_DOOR, 0), r->strip->v);
    const long most = r->width - r->near - r->far - 600, window = most < WINDOW ? most : WINDOW;
    const long from = (r->width - window) / 2;
    outline_window(d, at(r, from, across_mm), at(r, from + window, across_mm));
}

void outline_draw_room(outline_drawing *d, const outline_strip *strip, const outline_cell *cell)
{
    const outline_sizes *z = d->z;
    room r = {.d = d, .strip = strip, .cell = cell, .width = cell->to - cell->from};
    r.near = outline_inset(strip, cell->flipped ? cell->to : cell->from);
    r.far = outline_inset(strip, cell->flipped ? cell->from : cell->to);
    r.back = z->across - OUTLINE_HALF_OUTER;
    if (z->bath_w > 0) {
        r.bath_q = r.near + z->bath_w + 2 * OUTLINE_HALF_TILE;
        r.bath_t = z->half_corridor + z->bath_d + 2 * OUTLINE_HALF_TILE;
        draw_bath(&r);
    }
    draw_floor(&r);
    draw_furniture(&r);
    draw_openings(&r);
    outline_wall(d, outline_at(strip, cell->from, 0), outline_at(strip, cell->from, z->across), OUTLINE_PARTY);
    outline_wall(d, outline_at(strip, cell->to, 0), outline_at(strip, cell->to, z->across), OUTLINE_PARTY);
}
