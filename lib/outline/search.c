/*
 * search.c - how long each leg of a shape is for the rooms asked for: the
 * layout with the least left over, legs of much the same length.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_priv.h"

#include <limits.h>
#include <stdlib.h>

/* Bays that services may take beyond the rooms' share. */
#define EXTRA_BAYS 30L

static bool fits(const outline_sizes *z, const outline_layout *l)
{
    const long below = z->across + z->between;
    switch (z->shape) {
    case HR_OUTLINE_L:
    case HR_OUTLINE_T:
        return l->height - below - z->across >= z->bay;
    case HR_OUTLINE_U:
        return l->height - below - z->across >= z->bay && l->width - 2 * (below + z->across) >= OUTLINE_COURT_MIN;
    case HR_OUTLINE_COURTYARD:
        return l->width - 2 * (below + z->across) >= OUTLINE_COURT_MIN &&
               l->height - 2 * (below + z->across) >= OUTLINE_COURT_MIN;
    case HR_OUTLINE_SINGLE_SIDED:
    case HR_OUTLINE_DOUBLE_LOADED:
        break;
    }
    return true;
}

/* Rooms that a layout holds, counted into its strips; -1: it does not work. */
static long hold(const outline_sizes *z, outline_layout *l)
{
    if (!fits(z, l)) {
        return -1;
    }
    long rooms = 0;
    for (size_t i = 0; i < l->strip_count; i++) {
        l->strips[i].rooms = outline_capacity(z, &l->strips[i]);
        if (l->strips[i].rooms < 0) {
            return -1;
        }
        rooms += l->strips[i].rooms;
    }
    return rooms;
}

static bool is_straight(const outline_sizes *z)
{
    return z->shape == HR_OUTLINE_SINGLE_SIDED || z->shape == HR_OUTLINE_DOUBLE_LOADED;
}

/* A bay left over weighs as much as four bays' difference between the legs. */
static long cost_of(const outline_sizes *z, const outline_layout *l, long spare)
{
    return spare * 4 * z->bay + (is_straight(z) ? l->width / 16 : labs(l->width - l->height));
}

/* Bays too many become stores, turn and turn about, in strips that have services anyway first. */
static void take_out(outline_layout *l, long spare)
{
    for (int round = 0; spare > 0; round++) {
        bool taken = false;
        for (size_t i = l->strip_count; i-- > 0 && spare > 0;) {
            outline_strip *strip = &l->strips[i];
            bool served = round > 1 || strip->dark_from > 0;
            for (size_t g = 0; g < OUTLINE_PLACES; g++) {
                served = served || strip->groups[g].count > 0;
            }
            if (served && strip->rooms > 0) {
                strip->rooms--;
                spare--;
                taken = true;
            }
        }
        if (!taken && round > 1) {
            return;
        }
    }
}

static hr_status refuse(const outline_sizes *z, long least, hr_error *err)
{
    const long rooms = z->request->rooms_per_storey;
    if (least == LONG_MAX) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0,
                       "rooms-per-storey: %ld rooms with these lifts, stairs and closets find no place in the shape %s",
                       rooms, outline_shape_name(z->shape));
    }
    return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0,
                   "rooms-per-storey: the shape %s with these bays, lifts and stairs takes %ld rooms or more, %ld were "
                   "asked for; for so few, shape double-loaded or single-sided was expected",
                   outline_shape_name(z->shape), least, rooms);
}

hr_status outline_search(const outline_sizes *z, outline_layout *layout, hr_error *err)
{
    const long rooms = z->request->rooms_per_storey;
    long best = LONG_MAX, best_a = 0, best_b = 0, best_spare = 0, least = LONG_MAX;
    outline_layout *trial = hr_alloc(1, sizeof *trial);
    if (trial == NULL) {
        return hr_fail_memory(err);
    }
    for (long a = 1; a <= rooms + EXTRA_BAYS; a++) {
        const long last_b = is_straight(z) ? 0 : rooms + EXTRA_BAYS;
        for (long b = 0; b <= last_b; b++) {
            outline_lay(z, a, b, trial);
            const long held = hold(z, trial);
            const long spare = held - rooms;
            const long allowed = is_straight(z) ? EXTRA_BAYS : ((long)trial->strip_count + 1) / 2;
            if (held >= 0 && held - allowed < least) {
                least = held - allowed > 1 ? held - allowed : 1;
            }
            if (held >= 0 && spare > allowed) {
                break; /* longer legs hold more still */
            }
            if (spare >= 0 && cost_of(z, trial, spare) < best) {
                best = cost_of(z, trial, spare);
                best_a = a;
                best_b = b;
                best_spare = spare;
            }
        }
    }
    hr_free(trial);
    if (best == LONG_MAX) {
        return refuse(z, least, err);
    }
    outline_lay(z, best_a, best_b, layout);
    (void)hold(z, layout);
    take_out(layout, best_spare);
    return HR_OK;
}
