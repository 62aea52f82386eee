/*
 * fuzz_index.c - the index of crossings and the sums over a grid against a look
 * at every segment.
 *
 * Layout of the input: one byte each for the scale, `within` and the number of
 * rays; then the rays and the segments, eight bytes each (four whole numbers of
 * 16 bits). An incomplete last one is dropped.
 *
 * SPDX-License-Identifier: MIT
 */
#include "hr_geometry.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define LINES_MAX 3000u
#define RAYS_MAX 16u
#define TOLERANCE_M 1e-9
#define GRID_LINES_MAX 200u
#define GRID_COLUMNS 19u
#define GRID_ROWS 9u

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static double coordinate(const uint8_t *bytes, double scale)
{
    const unsigned raw = (unsigned)bytes[0] | (unsigned)bytes[1] << 8;
    return ((double)raw - 32768.0) * scale;
}

static hr_segment segment_at(const uint8_t *bytes, double scale)
{
    return (hr_segment){{coordinate(bytes, scale), coordinate(bytes + 2, scale)},
                        {coordinate(bytes + 4, scale), coordinate(bytes + 6, scale)}};
}

static void require(bool holds)
{
    if (!holds) {
        abort();
    }
}

static void check_crossing(hr_segment ray, hr_segment wall, bool crosses)
{
    const hr_segment back = {ray.b, ray.a}, wall_back = {wall.b, wall.a};
    double along = -1.0, on = -1.0;
    require(hr_geometry_cross(back, wall, NULL, NULL) == crosses);
    require(hr_geometry_cross(ray, wall_back, NULL, NULL) == crosses);
    require(hr_geometry_cross(wall, ray, &on, &along) == crosses);
    require(!crosses || (along >= 0.0 && along <= 1.0 && on >= 0.0 && on <= 1.0));
}

static void check_ray(const hr_index *index, const hr_segment *segments, size_t count, hr_segment ray, double within)
{
    uint32_t ids[LINES_MAX + 1];
    const size_t found = hr_geometry_index_query(index, ray, within, ids, count);
    require(found <= count);
    size_t next = 0;
    for (size_t i = 0; i < count; i++) {
        const bool listed = next < found && ids[next] == i;
        const bool crosses = hr_geometry_cross(ray, segments[i], NULL, NULL);
        const double gap = hr_geometry_segments_gap(ray, segments[i]);
        next += listed ? 1 : 0;
        require(listed || (gap > within && !crosses));
        require(!listed || gap <= within + TOLERANCE_M);
        check_crossing(ray, segments[i], crosses);
    }
    require(next == found);
    uint32_t few[3] = {0, 0, UINT32_MAX};
    require(hr_geometry_index_query(index, ray, within, few, 2) == found);
    require(few[2] == UINT32_MAX && (found < 1 || few[0] == ids[0]) && (found < 2 || few[1] == ids[1]));
}

static void check_crossed(const hr_index *index, const hr_segment *segments, size_t count, hr_segment ray)
{
    uint32_t ids[LINES_MAX + 1];
    const size_t found = hr_geometry_index_crossed(index, ray, ids, count);
    require(found <= count);
    size_t next = 0;
    for (size_t i = 0; i < count; i++) {
        const bool listed = next < found && ids[next] == i;
        next += listed ? 1 : 0;
        require(listed == hr_geometry_cross(ray, segments[i], NULL, NULL));
    }
    require(next == found);
}

/* From the ray's one end to a grid that begins at its other end. */
static void check_grid(const hr_segment *segments, size_t count, hr_segment ray, double step)
{
    const hr_grid grid = {ray.b, step, GRID_COLUMNS, GRID_ROWS};
    double weights[GRID_LINES_MAX], sums[GRID_COLUMNS * GRID_ROWS];
    uint8_t wanted[GRID_COLUMNS * GRID_ROWS];
    for (size_t i = 0; i < count; i++) {
        weights[i] = 0.1 + 1.7 * (double)i;
    }
    for (size_t i = 0; i < sizeof wanted; i++) {
        wanted[i] = i % 7 != 3;
        sums[i] = -1.0;
    }
    if (hr_geometry_grid_sums(segments, weights, count, ray.a, &grid, wanted, sums, NULL) != HR_OK) {
        return; /* out of memory */
    }
    for (size_t i = 0; i < sizeof wanted; i++) {
        double sum = wanted[i] != 0 ? 0.0 : -1.0;
        const hr_point place = hr_geometry_grid_place(&grid, i % GRID_COLUMNS, i / GRID_COLUMNS);
        for (size_t k = 0; k < count && wanted[i] != 0; k++) {
            sum += hr_geometry_cross((hr_segment){ray.a, place}, segments[k], NULL, NULL) ? weights[k] : 0.0;
        }
        require(memcmp(&sum, &sums[i], sizeof sum) == 0);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const double scales[] = {1.0 / 1024.0, 1.0, 1.0 / 3.0, 1e-6, 20.0, 1e3, 1e-3, 0.1};
    static const double withins[] = {0.0, 0.002, 1e-9, 0.5, 10.0, 1e-3, 1e5, 0.1};
    if (size < 3) {
        return 0;
    }
    const double scale = scales[data[0] % 8], within = withins[data[1] % 8];
    size_t lines = (size - 3) / 8;
    lines = lines < LINES_MAX ? lines : LINES_MAX;
    size_t rays = data[2] % RAYS_MAX + 1u;
    rays = rays < lines ? rays : lines;
    const uint8_t *ray_bytes = data + 3, *segment_bytes = ray_bytes + rays * 8;
    const size_t count = lines - rays;
    hr_segment segments[LINES_MAX + 1];
    for (size_t i = 0; i < count; i++) {
        segments[i] = segment_at(segment_bytes + i * 8, scale);
    }
    hr_index *index = NULL;
    if (hr_geometry_index_new(segments, count, &index, NULL) != HR_OK) {
        return 0; /* out of memory */
    }
    for (size_t r = 0; r < rays; r++) {
        check_ray(index, segments, count, segment_at(ray_bytes + r * 8, scale), within);
        check_crossed(index, segments, count, segment_at(ray_bytes + r * 8, scale));
    }
    if (rays > 0 && count <= GRID_LINES_MAX) {
        /* a step of whole coordinates, so that lines run through ends */
        check_grid(segments, count, segment_at(ray_bytes, scale), scale * (double)(1u << data[2] / RAYS_MAX));
    }
    hr_geometry_index_free(index);
    return 0;
}
