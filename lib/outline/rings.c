/*
 * rings.c - the outline of a few rectangles together: corridors, slab and
 * outer walls of every shape, courts and all, come from it.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_priv.h"

#include <string.h>

#define CUTS (2 * OUTLINE_RECTS)

typedef struct cell_grid {
    long xs[CUTS], ys[CUTS];
    size_t nx, ny;
    bool inside[CUTS + 1][CUTS + 1]; /* cell left of and above cut i, j; a rim of empty cells around */
    bool seen[CUTS + 1][CUTS + 1];   /* upper edge of that cell was walked */
} cell_grid;

static void add_cut(long *cuts, size_t *count, long value)
{
    size_t at = 0;
    while (at < *count && cuts[at] < value) {
        at++;
    }
    if (at < *count && cuts[at] == value) {
        return;
    }
    memmove(cuts + at + 1, cuts + at, (*count - at) * sizeof *cuts);
    cuts[at] = value;
    (*count)++;
}

static bool covered(const outline_rect *rects, size_t count, long x, long y)
{
    for (size_t i = 0; i < count; i++) {
        if (rects[i].x0 <= x && x < rects[i].x1 && rects[i].y0 <= y && y < rects[i].y1) {
            return true;
        }
    }
    return false;
}

static void add_point(outline_rings *rings, size_t *count, outline_point p)
{
    if (*count < OUTLINE_RING_POINTS) {
        rings->points[(*count)++] = p;
    }
}

/* Walks with the inside to the right, starting along the upper edge of cell i, j. */
static void walk(cell_grid *g, size_t i, size_t j, outline_rings *rings, size_t *count)
{
    /* the vertex is cut x, y; cells around it: [x][y] upper left ... [x + 1][y + 1] lower right */
    static const int step[4][2] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
    size_t x = i - 1, y = j - 1;
    int way = 0;
    for (;;) {
        if (way == 0) {
            if (g->seen[x + 1][y + 1]) {
                return;
            }
            g->seen[x + 1][y + 1] = true;
        }
        x = (size_t)((long)x + step[way][0]);
        y = (size_t)((long)y + step[way][1]);
        const bool quarter[4] = {g->inside[x + 1][y + 1], g->inside[x][y + 1], g->inside[x][y], g->inside[x + 1][y]};
        /* ahead on the right and on the left, seen along the way */
        const bool right = quarter[way], left = quarter[(way + 3) % 4];
        const int turned = !right ? (way + 1) % 4 : left ? (way + 3) % 4 : way;
        if (turned != way) {
            add_point(rings, count, (outline_point){g->xs[x], g->ys[y]});
            way = turned;
        }
    }
}

void outline_union(const outline_rect *rects, size_t count, outline_rings *rings)
{
    cell_grid g = {.nx = 0};
    for (size_t i = 0; i < count; i++) {
        add_cut(g.xs, &g.nx, rects[i].x0);
        add_cut(g.xs, &g.nx, rects[i].x1);
        add_cut(g.ys, &g.ny, rects[i].y0);
        add_cut(g.ys, &g.ny, rects[i].y1);
    }
    for (size_t i = 1; i < g.nx; i++) {
        for (size_t j = 1; j < g.ny; j++) {
            g.inside[i][j] = covered(rects, count, g.xs[i - 1], g.ys[j - 1]);
        }
    }
    size_t points = 0;
    rings->count = 0;
    rings->starts[0] = 0;
    for (size_t j = 1; j < g.ny; j++) {
        for (size_t i = 1; i < g.nx && rings->count < OUTLINE_RINGS; i++) {
            if (g.inside[i][j] && !g.inside[i][j - 1] && !g.seen[i][j]) {
                walk(&g, i, j, rings, &points);
                rings->starts[++rings->count] = points;
            }
        }
    }
}
