/* grid_priv.h - shared by the files that sum over a grid.
 * SPDX-License-Identifier: MIT */
#ifndef GRID_PRIV_H
#define GRID_PRIV_H

#include "geometry_priv.h"

/* Places of a tile each way, and parts of a larger tile. */
#define GRID_SIDE INDEX_WIDTH

/*
 * A segment from a to b as seen from the origin, b to the left of a (y up), each
 * by its own size so that one error bound holds for all:
 *
 *   a / |a|, b / |b|, (b - a) / (|a| + |b|), cross(a, b) / (|a| + |b|)
 *
 * with |.| the sum of both parts. The line to p crosses where cross(a, p),
 * cross(p, b) and cross(p, b - a) - cross(a, b) are all 0 or more.
 */
typedef struct grid_wall {
    float ax, ay, bx, by, dx, dy, lean;
    uint32_t id; /* of the segment */
} grid_wall;

/* Set in an id: the origin lies on the segment, which is then one wall for each
 * side of it, and this is the second, which leaves what is in doubt to the first. */
#define GRID_OTHER_HALF 0x80000000u

/* Parts of a tile by their middles from the origin; all of one size. */
typedef struct grid_parts {
    float x[GRID_SIDE], y[GRID_SIDE], half_x, half_y;
    float error; /* what is nearer to 0 than this is not told from 0 */
} grid_parts;

/* Places of a tile from the origin, and their sums. */
typedef struct grid_tile {
    float x[GRID_SIDE], y[GRID_SIDE], error;
    size_t row0, row1; /* rows that are wanted */
    double sums[GRID_SIDE][GRID_SIDE];
    /* for what single precision cannot tell */
    const hr_grid *grid;
    const hr_segment *segments;
    hr_point from;
    size_t column, row; /* of the first place */
} grid_tile;

/* Of the lanes `doubtful` of a row those that the line crosses. */
unsigned geometry_grid_settle(const grid_tile *tile, const grid_wall *wall, size_t row, unsigned doubtful);

/* For each listed wall the parts that it may stand before, a bit each; two builds of one. */
void geometry_grid_parts_plain(const grid_wall *walls, const uint32_t *list, size_t count, const grid_parts *parts,
                               uint8_t *masks);
void geometry_grid_parts_wide(const grid_wall *walls, const uint32_t *list, size_t count, const grid_parts *parts,
                              uint8_t *masks);
/* Adds the listed walls' weights to the sums of a tile. */
void geometry_grid_tile_plain(const grid_wall *walls, const double *weights, const uint32_t *list, size_t count,
                              grid_tile *tile);
void geometry_grid_tile_wide(const grid_wall *walls, const double *weights, const uint32_t *list, size_t count,
                             grid_tile *tile);

/* hr_geometry_grid_sums by the one build or the other. */
hr_status geometry_grid_sums(bool wide, const hr_segment *segments, const double *weights, size_t count, hr_point from,
                             const hr_grid *grid, const uint8_t *wanted, double *sums, hr_error *err);

#endif
