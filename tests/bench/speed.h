/*
 * speed.h - parts of the speed program: each row does the same work by us and
 * by a peer, in pairs within one run.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef SPEED_H
#define SPEED_H

#include <stdbool.h>
#include <stddef.h>

#include "hr_geometry.h"

/* Seconds of processor time of this process. */
double speed_now_s(void);
void speed_fail(const char *text); /* says it and exits */

/* One side of a row: does the work once; a check sum that both sides must agree on comes back. */
typedef double (*speed_work)(void *user);

/* Measures pairs, prints the row; ratio = peer's time / ours, the median of the pairs. The sums may differ by
 * `slack` of themselves. */
void speed_row(const char *row, const char *peer, double target, double slack, speed_work ours, speed_work theirs,
               void *user);
/* A row whose peer is not installed. */
void speed_missing(const char *row, const char *package, double target);

/* A made hotel storey of exactly `count` segments: rooms on both sides of corridors, with door gaps and showers. */
typedef struct speed_storey {
    hr_segment *lines;
    double *loss_db;
    size_t count;
    double width_m, depth_m;
} speed_storey;
void speed_storey_make(size_t count, speed_storey *storey);

/* Random numbers for the pairs, the same in every run. */
double speed_random(void);

void speed_crossings(void);               /* three rows */
void speed_matrix(const char *property);  /* matrix */
void speed_field(const char *property);   /* field */
void speed_read(void);                    /* read */

#endif
