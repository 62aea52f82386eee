/*
 * services.c - what is no guest room: stairs, the core with lifts and lobby,
 * network closets, linen rooms and stores.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_priv.h"

#define LANDING 1900L
#define TREAD 280L
#define CLOSET_DEEP 2400L
#define SHAFT_MIN 500L /* a rest behind the lifts narrower than this is all wall */

typedef struct service {
    outline_drawing *d;
    const outline_strip *strip;
    long from, to, front, back; /* front and back: faces of corridor and outer wall */
    bool dark;
} service;

static outline_point at(const service *c, long s, long t)
{
    return outline_at(c->strip, s, t);
}

static outline_rect box(const service *c, long s0, long t0, long s1, long t1)
{
    return outline_rect_at(c->strip, s0, t0, s1, t1);
}

static void side_walls(const service *c, outline_wall_kind kind)
{
    const long deep = c->d->z->across;
    outline_wall(c->d, at(c, c->from, 0), at(c, c->from, deep), kind);
    outline_wall(c->d, at(c, c->to, 0), at(c, c->to, deep), kind);
    /* the outer wall wins where there is one */
    outline_wall(c->d, at(c, c->from, deep), at(c, c->to, deep), kind);
}

static void words(const service *c, long s, long t, const char *text)
{
    outline_label(&c->d->layers[OUTLINE_L_AREA_TEXT], at(c, s, t), 170, "fill=\"#4b4b4b\" text-anchor=\"middle\"",
                  text);
}

static void corridor_door(const service *c, long s)
{
    outline_door(c->d, OUTLINE_L_FIRE_DOORS, at(c, s, 0), at(c, s + OUTLINE_DOOR, 0), c->strip->v);
}

/* A window in the outer wall with its middle at s; none where another strip stands behind. */
static void back_window(const service *c, long s, long width)
{
    if (!outline_is_dark(c->strip, s - width / 2, s + width / 2)) {
        outline_window(c->d, at(c, s - width / 2, c->d->z->across), at(c, s + width / 2, c->d->z->across));
    }
}

/* ---- stairs ---- */

static void draw_flights(const service *c, long left, long right)
{
    hr_text *lines = &c->d->layers[OUTLINE_L_STAIRS];
    const long middle = (left + right) / 2, first = c->front + LANDING, last = c->back - 1300;
    for (long t = first; t <= last; t += TREAD) {
        outline_line(lines, at(c, left, t), at(c, middle - 80, t));
        outline_line(lines, at(c, middle + 80, t), at(c, right, t));
    }
    outline_box(lines, box(c, middle - 80, first, middle + 80, last), NULL);
    outline_line(lines, at(c, (left + middle) / 2, first - 250), at(c, (left + middle) / 2, last + 500));
    outline_line(lines, at(c, (left + middle) / 2, last + 500), at(c, (right + middle) / 2, last + 500));
    outline_line(lines, at(c, (right + middle) / 2, last + 500), at(c, (right + middle) / 2, first - 100));
}

static void draw_stairs(const service *c)
{
    outline_drawing *d = c->d;
    const long left = c->from + outline_inset(c->strip, c->from), right = c->to - outline_inset(c->strip, c->to);
    side_walls(c, OUTLINE_CORE_WALL);
    outline_wall(d, at(c, c->from, 0), at(c, c->to, 0), OUTLINE_CORE_WALL);
    outline_box(&d->layers[OUTLINE_L_AREAS], box(c, left, c->front, right, c->back), "stairs");
    outline_box(&d->layers[OUTLINE_L_KEEP_OUT], box(c, left + 40, c->front + 40, right - 40, c->back - 40), NULL);
    if (!d->lowest) {
        outline_box(&d->layers[OUTLINE_L_VOID], box(c, left, c->front + LANDING, right, c->back), NULL);
    }
    draw_flights(c, left, right);
    corridor_door(c, c->from + 350);
    back_window(c, (c->from + c->to) / 2, 1200);
    words(c, (c->from + c->to) / 2, c->front + 1300, "Stairs");
}

/* ---- closets ---- */

static void draw_closet(const service *c, outline_rect floor, outline_rect cabinet)
{
    outline_drawing *d = c->d;
    hr_text name = {0};
    hr_text_addf(&name, "closet %zu", ++d->closets);
    d->failed = d->failed || name.failed;
    outline_box(&d->layers[OUTLINE_L_AREAS], floor, "network closet");
    outline_box(&d->layers[OUTLINE_L_CABINET], cabinet, NULL);
    const outline_point middle = {(floor.x0 + floor.x1) / 2, (floor.y0 + floor.y1) / 2};
    const outline_point mark[4] = {
        {middle.x - 130, middle.y}, {middle.x, middle.y - 130}, {middle.x + 130, middle.y}, {middle.x, middle.y + 130}};
    outline_closed(&d->layers[OUTLINE_L_NETWORK], mark, 4, name.failed ? NULL : name.bytes);
    outline_label(&d->layers[OUTLINE_L_AREA_TEXT], (outline_point){middle.x, middle.y + 300}, 130,
                  "fill=\"#1b7f3b\" text-anchor=\"middle\"", "Network");
    hr_text_free(&name);
}

/* ---- the core ---- */

/* One column of shafts and what is behind them; lobby: s of the wall towards it. */
static void draw_column(const service *c, long from, long to, long lobby, long lifts, bool with_closet)
{
    outline_drawing *d = c->d;
    const long inner0 = from + OUTLINE_HALF_PARTY, inner1 = to - OUTLINE_HALF_PARTY;
    const outline_point none = {0, 0};
    for (long i = 0; i < lifts; i++) {
        const long t0 = i * OUTLINE_LIFT, t1 = t0 + OUTLINE_LIFT;
        outline_wall(d, at(c, from, t0), at(c, to, t0), OUTLINE_LIFT_WALL);
        outline_wall(d, at(c, from, t1), at(c, to, t1), OUTLINE_LIFT_WALL);
        outline_wall(d, at(c, from, t0), at(c, from, t1), OUTLINE_LIFT_WALL);
        outline_wall(d, at(c, to, t0), at(c, to, t1), OUTLINE_LIFT_WALL);
        const outline_rect shaft = box(c, inner0 + 20, t0 + 140, inner1 - 20, t1 - 120);
        outline_box(&d->layers[OUTLINE_L_LIFT], shaft, NULL);
        if (!d->lowest) {
            outline_box(&d->layers[OUTLINE_L_VOID], shaft, NULL);
        }
        outline_line(&d->layers[OUTLINE_L_STAIRS], (outline_point){shaft.x0, shaft.y0},
                     (outline_point){shaft.x1, shaft.y1});
        outline_line(&d->layers[OUTLINE_L_STAIRS], (outline_point){shaft.x1, shaft.y0},
                     (outline_point){shaft.x0, shaft.y1});
        outline_door(d, OUTLINE_L_LIFT_DOORS, at(c, lobby, t0 + 600), at(c, lobby, t1 - 600), none);
    }
    const long behind = lifts * OUTLINE_LIFT, face = behind + OUTLINE_HALF_PARTY;
    outline_wall(d, at(c, lobby, behind), at(c, lobby, d->z->across), OUTLINE_CORE_WALL);
    if (with_closet) {
        const long open = lobby == to ? -1 : 1, leaf = c->back - 250;
        draw_closet(c, box(c, inner0, face, inner1, c->back), box(c, inner0 + 60, face + 60, inner0 + 860, face + 660));
        outline_door(d, OUTLINE_L_FIRE_DOORS, at(c, lobby, leaf), at(c, lobby, leaf - OUTLINE_DOOR),
                     (outline_point){c->strip->u.x * open, c->strip->u.y * open});
    } else if (c->back - face >= SHAFT_MIN) {
        outline_box(&d->layers[OUTLINE_L_AREAS], box(c, inner0, face, inner1, c->back), "shaft");
    }
}

static void draw_core(const service *c)
{
    outline_drawing *d = c->d;
    const outline_sizes *z = d->z;
    const bool two = z->lifts > z->lift_rows;
    const long left = c->from + OUTLINE_LIFT, right = two ? c->to - OUTLINE_LIFT : c->to;
    side_walls(c, OUTLINE_CORE_WALL);
    draw_column(c, c->from, left, left, z->lift_rows, z->closet_in_core);
    if (two) {
        draw_column(c, right, c->to, right, z->lifts - z->lift_rows, false);
    }
    /* the lobby is open to the corridor and counts as one with it */
    outline_break(d, at(c, left + OUTLINE_HALF_PARTY, 0), at(c, right - OUTLINE_HALF_PARTY, 0));
    if (d->lobby_count < sizeof d->lobbies / sizeof d->lobbies[0]) {
        d->lobbies[d->lobby_count++] =
            box(c, left + OUTLINE_HALF_PARTY, -z->half_corridor, right - OUTLINE_HALF_PARTY, c->back);
    }
    back_window(c, (left + right) / 2, 1400);
    words(c, (left + right) / 2, c->front + 900, "Lift lobby");
}

/* ---- stores ---- */

static void draw_shelves(const service *c, long s0, long t0, long s1, long t1)
{
    if (t1 - t0 >= 1000) {
        outline_box(&c->d->layers[OUTLINE_L_FURNITURE], box(c, s0, t0, s1, t1), NULL);
    }
}

static void draw_utilities(const service *c)
{
    outline_drawing *d = c->d;
    const long split = c->from + OUTLINE_CLOSET, left = c->from + OUTLINE_HALF_PARTY,
               right = c->to - OUTLINE_HALF_PARTY;
    const long half = OUTLINE_HALF_TILE;
    side_walls(c, OUTLINE_PARTY);
    outline_wall(d, at(c, split, 0), at(c, split, CLOSET_DEEP), OUTLINE_PARTITION);
    outline_wall(d, at(c, c->from, CLOSET_DEEP), at(c, split, CLOSET_DEEP), OUTLINE_PARTITION);
    draw_closet(c, box(c, left, c->front, split - half, CLOSET_DEEP - half),
                box(c, left + 60, CLOSET_DEEP - half - 660, left + 660, CLOSET_DEEP - half - 60));
    const outline_point linen[6] = {at(c, split + half, c->front),   at(c, right, c->front),
                                    at(c, right, c->back),           at(c, left, c->back),
                                    at(c, left, CLOSET_DEEP + half), at(c, split + half, CLOSET_DEEP + half)};
    outline_closed(&d->layers[OUTLINE_L_AREAS], linen, 6, "linen");
    corridor_door(c, c->from + 400);
    corridor_door(c, split + 350);
    draw_shelves(c, left, CLOSET_DEEP + 200, left + 450, c->back - 200);
    words(c, (c->from + c->to) / 2, (CLOSET_DEEP + c->back) / 2, "Linen");
}

static void draw_store(const service *c)
{
    outline_drawing *d = c->d;
    const long bay = d->z->bay, width = c->to - c->from, middle = (c->from + c->to) / 2;
    const long left = c->from + outline_inset(c->strip, c->from), right = c->to - outline_inset(c->strip, c->to);
    const bool large = width > bay + bay / 2;
    const char *name = !large ? "linen" : c->dark ? "stores" : "lounge";
    side_walls(c, OUTLINE_PARTY);
    outline_box(&d->layers[OUTLINE_L_AREAS], box(c, left, c->front, right, c->back), name);
    corridor_door(c, width < 2000 ? middle - OUTLINE_DOOR / 2 : c->from + 400);
    if (large && !c->dark) {
        const long windows = (width + bay / 2) / bay;
        for (long i = 0; i < windows; i++) {
            back_window(c, c->from + width * (2 * i + 1) / (2 * windows), 2000);
        }
    } else {
        draw_shelves(c, left, c->front + 1600, left + 400, c->back - 300);
        draw_shelves(c, right - 400, c->front + 1600, right, c->back - 300);
    }
    words(c, middle, (c->front + c->back) / 2, !large ? "Linen" : c->dark ? "Stores" : "Lounge");
}

void outline_draw_service(outline_drawing *d, const outline_strip *strip, const outline_cell *cell)
{
    service c = {.d = d, .strip = strip, .from = cell->from, .to = cell->to, .front = d->z->half_corridor};
    c.dark = outline_is_dark(strip, cell->from, cell->to);
    c.back = d->z->across - (c.dark ? OUTLINE_HALF_PARTY : OUTLINE_HALF_OUTER);
    if (c.dark && cell->to > strip->dark_from && cell->from < strip->dark_to) {
        c.back = d->z->across - OUTLINE_HALF_OUTER; /* partly an outer wall */
    }
    switch (cell->kind) {
    case OUTLINE_STAIRS:
        draw_stairs(&c);
        break;
    case OUTLINE_CORE:
        draw_core(&c);
        break;
    case OUTLINE_UTILITIES:
        draw_utilities(&c);
        break;
    case OUTLINE_STORE:
        draw_store(&c);
        break;
    case OUTLINE_ROOM:
        break;
    }
}
