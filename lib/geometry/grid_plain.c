/*
 * grid_plain.c - walls against the places of a grid, for any processor.
 *
 * SPDX-License-Identifier: MIT
 */
#include "grid_priv.h"
#include "look_plain.h"

static ALWAYS_INLINE void look_clear(double sums[GRID_SIDE])
{
    for (unsigned i = 0; i < GRID_SIDE; i++) {
        sums[i] = 0.0;
    }
}

static ALWAYS_INLINE void look_add(double sums[GRID_SIDE], const float met[GRID_SIDE], double weight)
{
    for (unsigned i = 0; i < GRID_SIDE; i++) {
        sums[i] += met[i] > 0.0f ? weight : 0.0;
    }
}

#include "grid_look.h"

void geometry_grid_parts_plain(const grid_wall *walls, const uint32_t *list, size_t count, const grid_parts *parts,
                               uint8_t *masks)
{
    look_at_parts(walls, list, count, parts, masks);
}

void geometry_grid_tile_plain(const grid_wall *walls, const double *weights, const uint32_t *list, size_t count,
                              grid_tile *tile)
{
    look_at_tile(walls, weights, list, count, tile);
}
