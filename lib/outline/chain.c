/*
 * chain.c - walls of one kind written as paths; where just two of them meet
 * at a corner the path goes round it, so that the corner is drawn closed.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_priv.h"

typedef struct chain {
    const outline_stretch **parts;
    bool *used;
    size_t count;
    hr_text *text;
} chain;

static outline_point end_of(const outline_stretch *s, bool last)
{
    const long along = last ? s->to : s->from;
    return s->vertical ? (outline_point){s->at, along} : (outline_point){along, s->at};
}

static bool same(outline_point a, outline_point b)
{
    return a.x == b.x && a.y == b.y;
}

/* The only other part that ends at p, across; c->count when there is none or more than one. */
static size_t partner(const chain *c, size_t self, outline_point p)
{
    size_t found = c->count;
    for (size_t i = 0; i < c->count; i++) {
        if (i == self || (!same(end_of(c->parts[i], false), p) && !same(end_of(c->parts[i], true), p))) {
            continue;
        }
        if (found < c->count) {
            return c->count;
        }
        found = i;
    }
    return found < c->count && c->parts[found]->vertical != c->parts[self]->vertical ? found : c->count;
}

/* Follows the chain from part `at`, leaving it at p; returns where it ends. With text, writes. */
static size_t follow(chain *c, size_t at, outline_point *p, hr_text *text)
{
    const size_t start = at;
    for (;;) {
        const size_t next = partner(c, at, *p);
        if (next == c->count || next == start || c->used[next]) {
            return at;
        }
        const outline_point a = end_of(c->parts[next], false);
        *p = same(a, *p) ? end_of(c->parts[next], true) : a;
        at = next;
        if (text != NULL) {
            c->used[next] = true;
            hr_text_add(text, c->parts[next]->vertical ? "V" : "H");
            outline_cm(text, c->parts[next]->vertical ? p->y : p->x);
        }
    }
}

static void write_chain(chain *c, size_t seed)
{
    /* back to the chain's start first, then write it forwards */
    outline_point p = end_of(c->parts[seed], false);
    const size_t first = follow(c, seed, &p, NULL);
    const outline_point begin = p;
    const outline_point a = end_of(c->parts[first], false), b = end_of(c->parts[first], true);
    outline_point end = same(a, begin) ? b : a;
    c->used[first] = true;
    hr_text_add(c->text, "    <path d=\"M");
    outline_xy(c->text, begin);
    hr_text_add(c->text, c->parts[first]->vertical ? "V" : "H");
    outline_cm(c->text, c->parts[first]->vertical ? end.y : end.x);
    const size_t last = follow(c, first, &end, c->text);
    hr_text_add(c->text, last != first && same(end, begin) ? "Z\"/>\n" : "\"/>\n");
}

bool outline_write_walls(const outline_drawing *d, int kind, hr_text *text)
{
    chain c = {.text = text};
    c.parts = hr_alloc(d->merged_count, sizeof *c.parts);
    c.used = hr_alloc_zero(d->merged_count, sizeof *c.used);
    const bool fine = c.parts != NULL && c.used != NULL;
    for (size_t i = 0; fine && i < d->merged_count; i++) {
        if (d->merged[i].kind == kind) {
            c.parts[c.count++] = &d->merged[i];
        }
    }
    for (size_t i = 0; fine && i < c.count; i++) {
        if (!c.used[i]) {
            write_chain(&c, i);
        }
    }
    hr_free(c.parts);
    hr_free(c.used);
    return fine;
}
