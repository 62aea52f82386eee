/*
 * walls.c - walls of several cells on one line become one: the heaviest kind
 * wins, doors and windows are cut out, what is left over runs through.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_priv.h"

#include <stdlib.h>

static int compare(const void *left, const void *right)
{
    const outline_stretch *a = left, *b = right;
    if (a->vertical != b->vertical) {
        return a->vertical ? 1 : -1;
    }
    if (a->at != b->at) {
        return a->at < b->at ? -1 : 1;
    }
    if (a->from != b->from) {
        return a->from < b->from ? -1 : 1;
    }
    if (a->to != b->to) {
        return a->to < b->to ? -1 : 1;
    }
    return (a->kind > b->kind) - (a->kind < b->kind);
}

static bool same_line(const outline_stretch *a, const outline_stretch *b)
{
    return a->vertical == b->vertical && a->at == b->at;
}

static int compare_longs(const void *left, const void *right)
{
    const long a = *(const long *)left, b = *(const long *)right;
    return (a > b) - (a < b);
}

/* Kind in force from `from` to `to`, between which nothing begins or ends; -1: none, or cut out. */
static int kind_between(const outline_stretch *walls, size_t walls_on, const outline_stretch *breaks, size_t breaks_on,
                        long from, long to)
{
    for (size_t i = 0; i < breaks_on; i++) {
        if (breaks[i].from <= from && breaks[i].to >= to) {
            return -1;
        }
    }
    int kind = -1;
    for (size_t i = 0; i < walls_on; i++) {
        if (walls[i].from <= from && walls[i].to >= to && walls[i].kind > kind) {
            kind = walls[i].kind;
        }
    }
    return kind;
}

static void add_merged(outline_drawing *d, const outline_stretch *line, long from, long to, int kind)
{
    outline_stretch *last = d->merged_count > 0 ? &d->merged[d->merged_count - 1] : NULL;
    if (last != NULL && same_line(last, line) && last->to == from && last->kind == kind) {
        last->to = to;
        return;
    }
    if (!HR_RESERVE(d->merged, d->merged_cap, d->merged_count + 1)) {
        d->failed = true;
        return;
    }
    d->merged[d->merged_count++] =
        (outline_stretch){.vertical = line->vertical, .at = line->at, .from = from, .to = to, .kind = kind};
}

static void merge_line(outline_drawing *d, const outline_stretch *walls, size_t walls_on, const outline_stretch *breaks,
                       size_t breaks_on)
{
    const size_t most = 2 * (walls_on + breaks_on);
    long *cuts = hr_alloc(most, sizeof *cuts);
    if (cuts == NULL) {
        d->failed = true;
        return;
    }
    size_t count = 0;
    for (size_t i = 0; i < walls_on; i++) {
        cuts[count++] = walls[i].from;
        cuts[count++] = walls[i].to;
    }
    for (size_t i = 0; i < breaks_on; i++) {
        cuts[count++] = breaks[i].from;
        cuts[count++] = breaks[i].to;
    }
    qsort(cuts, count, sizeof *cuts, compare_longs);
    for (size_t i = 1; i < count && !d->failed; i++) {
        const int kind =
            cuts[i - 1] < cuts[i] ? kind_between(walls, walls_on, breaks, breaks_on, cuts[i - 1], cuts[i]) : -1;
        if (kind >= 0) {
            add_merged(d, &walls[0], cuts[i - 1], cuts[i], kind);
        }
    }
    hr_free(cuts);
}

void outline_merge_walls(outline_drawing *d)
{
    if (d->failed || d->wall_count == 0) {
        return;
    }
    qsort(d->walls, d->wall_count, sizeof *d->walls, compare);
    if (d->break_count > 0) {
        qsort(d->breaks, d->break_count, sizeof *d->breaks, compare);
    }
    size_t first_break = 0;
    for (size_t i = 0; i < d->wall_count;) {
        size_t walls_on = 1, breaks_on = 0;
        while (i + walls_on < d->wall_count && same_line(&d->walls[i], &d->walls[i + walls_on])) {
            walls_on++;
        }
        while (first_break < d->break_count && !same_line(&d->breaks[first_break], &d->walls[i]) &&
               compare(&d->breaks[first_break], &d->walls[i]) < 0) {
            first_break++;
        }
        while (first_break + breaks_on < d->break_count &&
               same_line(&d->breaks[first_break + breaks_on], &d->walls[i])) {
            breaks_on++;
        }
        merge_line(d, &d->walls[i], walls_on, breaks_on > 0 ? &d->breaks[first_break] : NULL, breaks_on);
        i += walls_on;
    }
}
