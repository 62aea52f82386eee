/*
 * speed_tools.c - what the programs of this folder share: the clock, pairs and
 * their row, the made storey.
 *
 * SPDX-License-Identifier: MIT
 */
#include "speed.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#define PAIRS 5

double speed_now_s(void)
{
    struct timespec t = {0};
    (void)clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

void speed_fail(const char *text)
{
    (void)fprintf(stderr, "speed: %s\n", text);
    exit(1);
}

static int compare_doubles(const void *left, const void *right)
{
    const double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

void speed_row(const char *row, const char *peer, double target, double slack, speed_work ours, speed_work theirs,
               void *user)
{
    double ratio[PAIRS], ours_s[PAIRS], theirs_s[PAIRS];
    for (int pair = -1; pair < PAIRS; pair++) { /* the first only warms up */
        const double start = speed_now_s();
        const double a = ours(user);
        const double middle = speed_now_s();
        const double b = theirs(user);
        const double end = speed_now_s();
        if (!(fabs(a - b) <= slack * fmax(fabs(a), fabs(b)))) {
            (void)fprintf(stderr, "speed: %s: ours gives %.9g, %s %.9g\n", row, a, peer, b);
            exit(1);
        }
        if (pair >= 0) {
            ours_s[pair] = middle - start;
            theirs_s[pair] = end - middle;
            ratio[pair] = theirs_s[pair] / ours_s[pair];
        }
    }
    qsort(ratio, PAIRS, sizeof ratio[0], compare_doubles);
    qsort(ours_s, PAIRS, sizeof ours_s[0], compare_doubles);
    qsort(theirs_s, PAIRS, sizeof theirs_s[0], compare_doubles);
    (void)printf("%s,%s,%.2f,%g,%d\n", row, peer, ratio[PAIRS / 2], target, ratio[PAIRS / 2] >= target);
    (void)fprintf(stderr, "%s: ours %.1f ms, %s %.1f ms, ratio %.2f (%.2f to %.2f)\n", row, 1e3 * ours_s[PAIRS / 2],
                  peer, 1e3 * theirs_s[PAIRS / 2], ratio[PAIRS / 2], ratio[0], ratio[PAIRS - 1]);
    (void)fflush(stdout);
}

void speed_missing(const char *row, const char *package, double target)
{
    (void)printf("%s,%s is not installed,,%g,0\n", row, package, target);
}

double speed_random(void)
{
    static unsigned long long state = 88172645463325252ULL;
    state ^= state << 13;
    state ^= state >> 7;
    state ^= state << 17;
    return (double)(state >> 11) * 0x1p-53;
}

static void add_line(speed_storey *s, double ax, double ay, double bx, double by)
{
    s->loss_db[s->count] = 3.0 + (double)(s->count % 7);
    s->lines[s->count++] = (hr_segment){{ax, ay}, {bx, by}};
    s->width_m = fmax(s->width_m, bx);
    s->depth_m = fmax(s->depth_m, by);
}

/* Walls of two rooms that face each other across a corridor. */
static void add_rooms(speed_storey *s, double x, double y)
{
    for (int side = 0; side < 2; side++) {
        const double front = side == 0 ? y + 6.0 : y + 8.0, back = side == 0 ? y : y + 14.0;
        const double inner = side == 0 ? front - 2.2 : front + 2.2;
        add_line(s, x, back, x + 4.0, back);
        add_line(s, x, front, x + 1.2, front);
        add_line(s, x + 2.1, front, x + 4.0, front);
        add_line(s, x, fmin(front, back), x, fmax(front, back));
        add_line(s, x + 2.4, fmin(front, inner), x + 2.4, fmax(front, inner));
        add_line(s, x + 2.4, inner, x + 4.0, inner);
    }
}

void speed_storey_make(size_t count, speed_storey *storey)
{
    const size_t wings = count < 1000 ? 2 : 8;
    *storey = (speed_storey){.lines = hr_alloc(count + 12, sizeof(hr_segment)),
                             .loss_db = hr_alloc(count + 12, sizeof(double))};
    if (storey->lines == NULL || storey->loss_db == NULL) {
        speed_fail("no memory");
    }
    for (size_t i = 0; storey->count < count; i++) {
        add_rooms(storey, 4.0 * (double)(i / wings), 25.0 * (double)(i % wings));
    }
    storey->count = count;
}
