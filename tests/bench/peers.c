/*
 * peers.c - one cover problem solved by us and written as LP, so that general
 * solvers can be run on the very same matrix (peers.sh).
 *
 *   peers property INI HOPS COVER OUT.lp
 *   peers hotel FLOORS ROOMS COVER BUDGET_DB SIGMA_DB OUT.lp
 *   peers random SEED OUT.lp
 *
 * Prints: our weight, our lower bound, 1 when proved, seconds.
 *
 * SPDX-License-Identifier: MIT
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "../placement/hotels.h"
#include "siting_priv.h"

#include "hr_placement.h"

static double seconds_now(void)
{
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static int fail(const char *text)
{
    (void)fprintf(stderr, "peers: %s\n", text);
    return 1;
}

static int solve_and_write(const hr_placement_problem *problem, const char *path)
{
    hr_text lp = {0};
    hr_placement_write_lp(problem, &lp);
    hr_error err = {.status = HR_OK};
    if (lp.failed || hr_file_write(path, lp.bytes, lp.len, &err) != HR_OK) {
        hr_text_free(&lp);
        return fail(err.text);
    }
    hr_text_free(&lp);
    const hr_placement_options options = {0};
    hr_placement_result result = {0};
    const double start = seconds_now();
    if (hr_placement_solve(problem, &options, &result, &err) != HR_OK) {
        return fail(err.text);
    }
    char seconds[HR_FIXED_MAX];
    (void)printf("%llu %llu %d %s\n", (unsigned long long)result.weight, (unsigned long long)result.lower_bound,
                 (int)result.proved, hr_fixed(seconds_now() - start, 3, seconds));
    hr_placement_result_free(&result);
    return 0;
}

/* Reach sets of a property's own spots; plain cover, without capacities. */
static int of_property(const char *ini, const char *hops, const char *cover, const char *path)
{
    char max_hops[64], need[64];
    (void)snprintf(max_hops, sizeof max_hops, "radio.max_hops=%s", hops);
    (void)snprintf(need, sizeof need, "radio.cover=%s", cover);
    const char *sets[] = {max_hops, need, "device wall.relays=yes"};
    const hr_building_options reading = {.sets = sets, .set_count = 3};
    hr_error err = {.status = HR_OK};
    hr_building *building = NULL;
    siting_run run = {0};
    hr_siting *siting = NULL;
    hr_status status = hr_building_read(ini, &reading, NULL, &building, &err);
    if (status == HR_OK) {
        status = siting_run_start(building, NULL, true, NULL, &run, &err);
    }
    if (status == HR_OK) {
        status = siting_run_measure(&run);
    }
    uint32_t *needs = status == HR_OK ? hr_alloc(run.device_count, sizeof *needs) : NULL;
    int failed = 1;
    if (needs != NULL) {
        for (size_t i = 0; i < run.device_count; i++) {
            needs[i] = (uint32_t)building->radio.cover;
        }
        const hr_placement_problem problem = {.rows = run.device_count,
                                              .columns = run.sites.count,
                                              .column_start = run.reach.start,
                                              .column_row = run.reach.device,
                                              .need = needs};
        failed = solve_and_write(&problem, path);
    } else {
        (void)fail(err.text);
    }
    hr_free(needs);
    if (building != NULL) {
        (void)siting_run_end(&run, HR_ERR_ARGUMENT, &siting);
    }
    hr_building_free(building);
    return failed;
}

static uint32_t number(const char *text)
{
    long value = 0;
    return hr_integer_parse(text, 0, 1000000, &value) ? (uint32_t)value : 0;
}

static int of_hotel(char **words)
{
    hotel_plan plan = {.floors = number(words[0]),
                       .rooms = number(words[1]),
                       .need = number(words[2]),
                       .spot_every_m = 2.0,
                       .budget_db = (double)number(words[3]),
                       .sigma_db = (double)number(words[4]),
                       .floor_db = 18.0,
                       .seed = 1};
    hotel made;
    if (!hotel_make(&plan, &made)) {
        return fail("memory ran out");
    }
    const int failed = solve_and_write(&made.problem, words[5]);
    hotel_free(&made);
    return failed;
}

/* Numerical Recipes' 32-bit congruential generator: the same cases everywhere. */
static uint32_t next(uint32_t *state)
{
    *state = *state * 1664525u + 1013904223u;
    return *state >> 8;
}

/* At most 24 rows and 30 columns, weights 1 to 9, needs 1 or 2 that can be met. */
static int of_random(uint32_t seed, const char *path)
{
    enum { ROWS = 24, COLUMNS = 30 };
    static size_t start[COLUMNS + 1];
    static uint32_t rows[ROWS * COLUMNS], need[ROWS], weight[COLUMNS];
    uint32_t state = seed * 2654435761u + 1u, reached[ROWS] = {0};
    size_t used = 0;
    for (size_t c = 0; c < COLUMNS; c++) {
        start[c] = used;
        weight[c] = 1 + next(&state) % 9;
        for (uint32_t r = 0; r < ROWS; r++) {
            if (next(&state) % 6 == 0) {
                rows[used++] = r;
                reached[r]++;
            }
        }
    }
    start[COLUMNS] = used;
    for (size_t r = 0; r < ROWS; r++) {
        const uint32_t wanted = 1 + next(&state) % 2;
        need[r] = wanted < reached[r] ? wanted : reached[r];
    }
    const hr_placement_problem problem = {
        .rows = ROWS, .columns = COLUMNS, .column_start = start, .column_row = rows, .need = need, .weight = weight};
    return solve_and_write(&problem, path);
}

int main(int argc, char **argv)
{
    if (argc == 6 && strcmp(argv[1], "property") == 0) {
        return of_property(argv[2], argv[3], argv[4], argv[5]);
    }
    if (argc == 8 && strcmp(argv[1], "hotel") == 0) {
        return of_hotel(argv + 2);
    }
    if (argc == 4 && strcmp(argv[1], "random") == 0) {
        return of_random(number(argv[2]), argv[3]);
    }
    return fail("property INI HOPS COVER OUT.lp | hotel FLOORS ROOMS COVER BUDGET_DB SIGMA_DB OUT.lp | random SEED OUT.lp");
}
