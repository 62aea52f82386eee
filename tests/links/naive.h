/*
 * naive.h - a second reading of the multi-wall model: plain loops over what
 * was drawn, no index, no shared code with the library's crossing engine.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef NAIVE_H
#define NAIVE_H

#include <stdbool.h>
#include <stddef.h>

#ifndef NAIVE_MAX /* what a storey holds; a bench asks for more */
#define NAIVE_MAX 64
#endif
#define NAIVE_STOREYS 12

/* A straight piece as drawn. */
typedef struct naive_line {
    double ax, ay, bx, by;
    double loss;      /* dB */
    double low, high; /* openings: heights above the storey's floor */
} naive_line;

/* An axis-parallel filled body. */
typedef struct naive_box {
    double x0, y0, x1, y1, loss;
    double low, high; /* metal only */
} naive_box;

typedef struct naive_storey {
    double floor; /* of the storey, metres */
    double slab_loss;
    naive_line walls[NAIVE_MAX], openings[NAIVE_MAX];
    size_t wall_count, opening_count;
    naive_box solids[NAIVE_MAX], metals[NAIVE_MAX], voids[NAIVE_MAX];
    size_t solid_count, metal_count, void_count;
} naive_storey;

typedef struct naive_building {
    double freq_mhz, exponent;
    naive_storey storeys[NAIVE_STOREYS];
    size_t storey_count;
} naive_building;

/* Path loss in dB between two points (z absolute). */
double naive_path_loss(const naive_building *building, double ax, double ay, double az, double bx, double by,
                       double bz);

#endif
