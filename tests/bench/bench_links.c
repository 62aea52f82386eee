/*
 * bench_links.c - what `routes` costs beside `multi-wall` on the same pairs:
 * the gateway spots and devices of a typical storey at most 30 times as much,
 * and all pairs of the whole property in range within 10 s.
 *
 * SPDX-License-Identifier: MIT
 */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "hr_links.h"

#define RATIO_MAX 30.0
#define WHOLE_MAX_S 10.0
#define TYPICAL_STOREY 2U

static double cpu_s(void)
{
    struct timespec t = {0};
    (void)clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static void fail(const char *text)
{
    (void)fprintf(stderr, "%s\n", text);
    exit(1);
}

/* Seconds for preparing and measuring all pairs of a storey, UINT32_MAX: of all storeys, in range. */
static double measure(const char *path, const char *model, uint32_t storey, size_t *pairs)
{
    hr_error err = {.status = HR_OK};
    hr_building *b = NULL;
    hr_links *links = NULL;
    hr_link_work work = {0};
    const hr_building_options options = {.sets = &model, .set_count = 1};
    if (hr_building_read(path, &options, NULL, &b, &err) != HR_OK) {
        fail(err.text);
    }
    const double start = cpu_s();
    if (hr_links_new(b, &links, &err) != HR_OK) {
        fail(err.text);
    }
    *pairs = 0;
    for (size_t s = 0; s < b->spot_count; s++) {
        const hr_end gateway = hr_links_gateway_end(b, b->spots[s].at, b->spots[s].z_m);
        for (uint32_t d = 0; d < b->device_count; d++) {
            const hr_end device = hr_links_device_end(b, d);
            const double dist_m = hypot(hr_geometry_distance(gateway.at, device.at), gateway.z_m - device.z_m);
            const bool wanted = storey == UINT32_MAX ? dist_m <= b->radio.range_limit_m
                                                     : b->spots[s].storey == storey && b->devices[d].storey == storey;
            hr_link link;
            if (wanted && hr_links_measure(links, &work, &device, &gateway, &link, &err) != HR_OK) {
                fail(err.text);
            }
            *pairs += wanted;
        }
    }
    const double taken = cpu_s() - start;
    hr_links_work_free(&work);
    hr_links_free(links);
    hr_building_free(b);
    return taken;
}

int main(int argc, char **argv)
{
    if (argc != 2) {
        fail("bench_links PROPERTY.ini");
    }
    size_t pairs = 0, all = 0;
    const double plain_s = measure(argv[1], "radio.model=multi-wall", TYPICAL_STOREY, &pairs);
    const double routes_s = measure(argv[1], "radio.model=routes", TYPICAL_STOREY, &pairs);
    const double whole_s = measure(argv[1], "radio.model=routes", UINT32_MAX, &all);
    const double ratio = routes_s / plain_s;
    (void)printf("a typical storey, %zu pairs: multi-wall %.1f ms, routes %.1f ms, ratio %.1f (at most %.0f)\n", pairs,
                 1e3 * plain_s, 1e3 * routes_s, ratio, RATIO_MAX);
    (void)printf("the whole property, %zu pairs: routes %.2f s (at most %.0f)\n", all, whole_s, WHOLE_MAX_S);
    return ratio <= RATIO_MAX && whole_s <= WHOLE_MAX_S ? 0 : 1;
}
