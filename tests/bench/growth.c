/*
 * growth.c - what a taller building costs: reading, the matrix of all spots by
 * all devices and one gateway's field on each storey, 15 storeys beside 60; and
 * the memory of placing one of 30.
 *
 *   growth FIFTEEN.ini THIRTY.ini SIXTY.ini
 *
 * Rows as speed.c writes them. growth: four times the shorter one's time by the
 * taller one's; 1 is linear, the target leaves 15 %. memory: 200 MB by the peak.
 *
 * SPDX-License-Identifier: MIT
 */
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include "speed.h"

#include "hr_coverage.h"
#include "hr_siting.h"

#define ROUNDS 5
#define FIELD_STEP_M 2.0
#define LINEAR_TARGET (1.0 / 1.15)
#define MEMORY_MB 200.0

static void measure_matrix(const hr_building *b, const hr_links *links, hr_error *err)
{
    hr_site *sites = hr_alloc(b->spot_count, sizeof *sites);
    uint32_t *devices = hr_alloc(b->device_count, sizeof *devices);
    hr_coverage *coverage = NULL;
    if (sites == NULL || devices == NULL) {
        speed_fail("no memory");
    }
    for (size_t i = 0; i < b->spot_count; i++) {
        sites[i] = (hr_site){b->spots[i].at, b->spots[i].z_m, b->spots[i].storey};
    }
    for (size_t i = 0; i < b->device_count; i++) {
        devices[i] = (uint32_t)i;
    }
    if (hr_coverage_new(b, links, sites, b->spot_count, devices, b->device_count,
                        (hr_coverage_limits){b->radio.range_limit_m, b->radio.max_slabs}, NULL, NULL, &coverage,
                        err) != HR_OK) {
        speed_fail(err->text);
    }
    hr_coverage_free(coverage);
    hr_free(devices);
    hr_free(sites);
}

static void measure_fields(const hr_building *b, const hr_links *links, hr_error *err)
{
    uint32_t done = UINT32_MAX;
    for (size_t i = 0; i < b->spot_count; i++) { /* the first spot of each storey */
        if (b->spots[i].storey == done) {
            continue;
        }
        done = b->spots[i].storey;
        const hr_site site = {b->spots[i].at, b->spots[i].z_m, done};
        hr_coverage_field *field = NULL;
        if (hr_coverage_field_new(b, links, done, 0, &site, 1, FIELD_STEP_M, &field, err) != HR_OK) {
            speed_fail(err->text);
        }
        hr_coverage_field_free(field);
    }
}

static double once_s(const char *file)
{
    hr_building *building = NULL;
    hr_links *links = NULL;
    hr_error err = {.status = HR_OK};
    double took[4] = {speed_now_s()};
    if (hr_building_read(file, NULL, NULL, &building, &err) != HR_OK || hr_links_new(building, &links, &err) != HR_OK) {
        speed_fail(err.text);
    }
    took[1] = speed_now_s();
    measure_matrix(building, links, &err);
    took[2] = speed_now_s();
    measure_fields(building, links, &err);
    took[3] = speed_now_s();
    (void)fprintf(stderr, "growth: %zu storeys, %zu spots, %zu devices: read %.1f ms, matrix %.1f ms, fields %.1f ms\n",
                  building->storey_count, building->spot_count, building->device_count, 1e3 * (took[1] - took[0]),
                  1e3 * (took[2] - took[1]), 1e3 * (took[3] - took[2]));
    hr_links_free(links);
    hr_building_free(building);
    return took[3] - took[0];
}

static double least_s(const char *file)
{
    double least = once_s(file);
    for (int i = 1; i < ROUNDS; i++) {
        const double took = once_s(file);
        least = took < least ? took : least;
    }
    return least;
}

static void place(const char *file)
{
    hr_building *building = NULL;
    hr_siting *siting = NULL;
    hr_error err = {.status = HR_OK};
    if (hr_building_read(file, NULL, NULL, &building, &err) != HR_OK ||
        hr_siting_place(building, NULL, NULL, &siting, &err) != HR_OK) {
        speed_fail(err.text);
    }
    hr_siting_free(siting);
    hr_building_free(building);
}

/* In a process of its own, whose peak is nobody else's. */
static double peak_mb(const char *file)
{
    struct rusage used;
    int status = 0;
    (void)fflush(NULL);
    const pid_t child = fork();
    if (child == 0) {
        place(file);
        _exit(0);
    }
    if (child < 0 || waitpid(child, &status, 0) != child || status != 0 || getrusage(RUSAGE_CHILDREN, &used) != 0) {
        speed_fail("placing failed");
    }
    return (double)used.ru_maxrss / 1024.0;
}

int main(int argc, char **argv)
{
    if (argc != 4) {
        speed_fail("growth FIFTEEN.ini THIRTY.ini SIXTY.ini");
    }
    const double mb = peak_mb(argv[2]);
    const double linear = 4.0 * least_s(argv[1]) / least_s(argv[3]);
    (void)printf("memory,200 MB,%.2f,1,%d\n", MEMORY_MB / mb, mb <= MEMORY_MB);
    (void)printf("growth,linear,%.2f,%.2f,%d\n", linear, LINEAR_TARGET, linear >= LINEAR_TARGET);
    (void)fprintf(stderr, "growth: 30 storeys placed in %.0f MB; 60 storeys take %.2f times as long as four times 15\n",
                  mb, 1.0 / linear);
    return 0;
}
