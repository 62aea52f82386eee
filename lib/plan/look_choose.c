/*
 * look_choose.c - which guesses make a [drawing] section to start from. Words
 * in layer names count first, then those in classes; without any the colour
 * with most of the long straight lines stands for walls.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <string.h>

/* A section of more lines is no start. */
#define LINES_MAX 10
/* So many closed shapes with a text inside look like rooms ... */
#define ROOMS_MIN 3
/* ... when they are this share of the closed shapes. */
#define ROOMS_SHARE 0.4
/* Walls that names speak for are usually more than this share of the long lines. */
#define NAMED_SHARE 0.3
#define WALL_GUESS "walls: block-hollow"

typedef struct chooser {
    hr_plan_survey *s;
    const hr_materials *materials;
    size_t lines;
    bool walls, rooms;
    bool marked; /* the drawing names walls in our own words */
} chooser;

static bool is_walls(const char *text)
{
    return text != NULL && (strncmp(text, "walls", 5) == 0 || strncmp(text, "solids", 6) == 0);
}

static bool is_rooms(const char *text)
{
    return text != NULL && strncmp(text, "rooms", 5) == 0;
}

static bool mostly(size_t part, size_t of)
{
    return of > 0 && 2 * part > of;
}

static bool looks_like_rooms(const hr_plan_seen *seen)
{
    return seen->labelled >= ROOMS_MIN && (double)seen->labelled >= ROOMS_SHARE * (double)seen->closed &&
           mostly(seen->closed, seen->shapes);
}

static bool take(chooser *c, hr_plan_seen *seen)
{
    if (c->lines >= LINES_MAX) {
        return false;
    }
    seen->chosen = true;
    c->lines++;
    c->walls = c->walls || is_walls(seen->target);
    c->rooms = c->rooms || is_rooms(seen->target);
    return true;
}

static hr_status guess_by_words(chooser *c)
{
    char target[PLAN_WORD_MAX];
    for (size_t i = 0; i < c->s->seen_count; i++) {
        hr_plan_seen *seen = &c->s->seen[i];
        if (seen->says != NULL) {
            const hr_plan_kind kind = plan_kind_of(seen->says, strcspn(seen->says, ":"));
            c->marked = c->marked || kind == HR_PLAN_WALLS || kind == HR_PLAN_SOLIDS;
            c->walls = c->walls || c->marked;
            c->rooms = c->rooms || kind == HR_PLAN_ROOMS;
        } else if (seen->select != HR_MAP_STROKE && seen->shapes > 0 && !seen->inside &&
                   plan_guess_by_words(c->materials, seen->name, mostly(seen->closed, seen->shapes), target,
                                       sizeof target, NULL)) {
            seen->target = hr_arena_strdup(c->s->arena, target);
            seen->reason = "by its name";
            if (seen->target == NULL) {
                return HR_ERR_MEMORY;
            }
        }
    }
    return HR_OK;
}

/* Layers that a word speaks for; classes only where layers gave no walls. */
static void take_words(chooser *c, hr_map_select select)
{
    for (size_t i = 0; i < c->s->seen_count; i++) {
        hr_plan_seen *seen = &c->s->seen[i];
        if (seen->select == select && seen->target != NULL) {
            (void)take(c, seen);
        }
    }
}

/* Layers or classes whose closed shapes hold the texts. */
static void take_outlines(chooser *c, hr_map_select select)
{
    hr_plan_seen *best = NULL;
    for (size_t i = 0; i < c->s->seen_count; i++) {
        hr_plan_seen *seen = &c->s->seen[i];
        if (seen->select == select && seen->says == NULL && seen->target == NULL && !seen->inside && looks_like_rooms(seen) &&
            (best == NULL || seen->labelled > best->labelled ||
             (seen->labelled == best->labelled && seen->shapes < best->shapes))) {
            best = seen;
        }
    }
    if (best != NULL && !c->rooms) {
        best->target = "rooms";
        best->reason = "closed shapes with a text inside";
        (void)take(c, best);
    }
}

/* A single straight line of its own colour may well be a scale line. */
static bool may_be_scale(const hr_plan_seen *seen)
{
    return seen->shapes == 1 && seen->closed == 0 && seen->long_length >= seen->length;
}

static hr_plan_seen *longest_stroke(const chooser *c, bool rooms_too)
{
    hr_plan_seen *best = NULL;
    for (size_t i = 0; i < c->s->seen_count; i++) {
        hr_plan_seen *seen = &c->s->seen[i];
        if (seen->select == HR_MAP_STROKE && seen->shapes > 0 && !seen->inside &&
            (rooms_too || (!looks_like_rooms(seen) && !may_be_scale(seen))) &&
            (best == NULL || seen->long_length > best->long_length)) {
            best = seen;
        }
    }
    return best;
}

static void guess_spare(hr_plan_seen *seen)
{
    const bool line = may_be_scale(seen);
    seen->target = line ? "scale: 10 m" : WALL_GUESS;
    seen->reason = line ? "if this one line is 10 m long in truth" : "if these are walls too";
}

/* Nothing is called a wall: the colour with most of the long lines, or, where these are the rooms' outlines, another
 * one that has a good part of them. */
static void take_strokes(chooser *c)
{
    hr_plan_seen *best = longest_stroke(c, true), *other = longest_stroke(c, false);
    if (best == NULL) {
        return;
    }
    if (other != NULL && other->long_length >= NAMED_SHARE * best->long_length) {
        best = other;
    }
    if (c->rooms && looks_like_rooms(best)) { /* the rooms' own outlines */
        c->s->rooms_are_walls = true;
        c->walls = true;
        return;
    }
    const bool rooms = !c->rooms && looks_like_rooms(best);
    best->target = rooms ? "rooms" : WALL_GUESS;
    best->reason = rooms ? "closed shapes with a text inside" : "most of the long straight lines";
    c->s->rooms_are_walls = rooms;
    c->walls = true; /* or as good as walls */
    (void)take(c, best);
    for (size_t i = 0; i < c->s->seen_count; i++) {
        hr_plan_seen *seen = &c->s->seen[i];
        if (seen->select == HR_MAP_STROKE && seen != best && !seen->inside) {
            if (!looks_like_rooms(seen)) {
                guess_spare(seen);
            } else if (!rooms && !c->rooms) {
                seen->target = "rooms";
                seen->reason = "closed shapes with a text inside";
                (void)take(c, seen);
            }
        }
    }
}

/* Names speak for a small part of the long lines only: colours are offered too, not taken. */
static void offer_strokes(chooser *c)
{
    double named = 0.0, all = 0.0;
    for (size_t i = 0; i < c->s->seen_count; i++) {
        const hr_plan_seen *seen = &c->s->seen[i];
        named += seen->select != HR_MAP_STROKE && (is_walls(seen->target) || is_walls(seen->says)) ? seen->long_length : 0.0;
        all += seen->select == HR_MAP_STROKE ? seen->long_length : 0.0;
    }
    for (size_t i = 0; i < c->s->seen_count && named < NAMED_SHARE * all && !c->s->rooms_are_walls; i++) {
        hr_plan_seen *seen = &c->s->seen[i];
        if (seen->select == HR_MAP_STROKE && seen->target == NULL && !seen->inside && !c->marked &&
            !looks_like_rooms(seen)) {
            guess_spare(seen);
        }
    }
}

/* Bodies without strokes: the layer or class with most of them. */
static void take_filled(chooser *c)
{
    for (size_t i = 0; i < c->s->seen_count; i++) {
        hr_plan_seen *seen = &c->s->seen[i];
        if (seen->select != HR_MAP_STROKE && seen->says == NULL && seen->target == NULL && !seen->inside &&
            seen->shapes > 0) {
            seen->target = mostly(seen->closed, seen->shapes) ? "solids: block-hollow" : WALL_GUESS;
            seen->reason = "the longest there is";
            (void)take(c, seen);
            return;
        }
    }
}

hr_status plan_choose(hr_plan_survey *survey, const hr_materials *materials, hr_error *err)
{
    chooser c = {.s = survey, .materials = materials};
    if (guess_by_words(&c) != HR_OK) {
        return hr_fail_memory(err);
    }
    take_words(&c, HR_MAP_LAYER);
    if (!c.walls) {
        take_words(&c, HR_MAP_CLASS);
    }
    take_outlines(&c, HR_MAP_LAYER);
    if (!c.walls) {
        take_strokes(&c);
    } else {
        take_outlines(&c, HR_MAP_CLASS);
    }
    if (!c.walls) {
        take_filled(&c);
    }
    if (!c.walls && c.rooms) { /* nothing else is drawn */
        survey->rooms_are_walls = true;
    }
    offer_strokes(&c);
    return HR_OK;
}
