/*
 * index.c - the index of crossings: built once, then read only.
 *
 * SPDX-License-Identifier: MIT
 */
#include "geometry_priv.h"

#include <float.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Blocks and groups start on whole cache lines. */
#define ALIGNMENT ((size_t)64)

/* Cells of the space-filling curve along each side. */
#define CURVE_BITS 16

typedef struct placed {
    uint32_t key, id;
} placed;

/* Place of a cell along Hilbert's curve, so that neighbours on the curve are
 * neighbours in the plane. */
static uint32_t hilbert(uint32_t x, uint32_t y)
{
    uint32_t place = 0;
    for (uint32_t side = 1u << (CURVE_BITS - 1); side > 0; side >>= 1) {
        const uint32_t right = (x & side) != 0, low = (y & side) != 0;
        place += side * side * ((3u * right) ^ low);
        if (!low) {
            if (right) {
                x = ~x;
                y = ~y;
            }
            const uint32_t kept = x;
            x = y;
            y = kept;
        }
    }
    return place;
}

/* Sorted by key by two passes over 16 bits; equal keys stay in the order of ids. */
static bool sort_placed(placed *items, size_t count)
{
    placed *spare = hr_alloc(count, sizeof *spare);
    size_t *starts = hr_alloc((size_t)1 << CURVE_BITS, sizeof *starts);
    const bool room = spare != NULL && starts != NULL;
    placed *from = items, *to = spare;
    for (unsigned shift = 0; room && shift < 32; shift += CURVE_BITS) {
        memset(starts, 0, ((size_t)1 << CURVE_BITS) * sizeof *starts);
        for (size_t i = 0; i < count; i++) {
            starts[(from[i].key >> shift) & 0xffffu]++;
        }
        size_t start = 0;
        for (size_t k = 0; k < (size_t)1 << CURVE_BITS; k++) {
            const size_t here = starts[k];
            starts[k] = start;
            start += here;
        }
        for (size_t i = 0; i < count; i++) {
            to[starts[(from[i].key >> shift) & 0xffffu]++] = from[i];
        }
        placed *const kept = from;
        from = to;
        to = kept;
    }
    hr_free(spare);
    hr_free(starts);
    return room;
}

static int compare_placed(const void *left, const void *right)
{
    const placed *a = left, *b = right;
    if (a->key != b->key) {
        return a->key < b->key ? -1 : 1;
    }
    return (a->id > b->id) - (a->id < b->id);
}

static uint32_t curve_cell(double from_low, double size)
{
    const double last = (double)((1u << CURVE_BITS) - 1u);
    const double cell = size > 0.0 ? from_low / size * last : 0.0;
    return cell > 0.0 ? (cell < last ? (uint32_t)cell : (uint32_t)last) : 0u;
}

/* Fills index->ids with the order along the curve. */
static bool order_segments(hr_index *index, hr_box box)
{
    const size_t count = index->count;
    placed *items = hr_alloc(count, sizeof *items);
    if (items == NULL) {
        return false;
    }
    const double size = fmax(box.x1 - box.x0, box.y1 - box.y0);
    for (size_t i = 0; i < count; i++) {
        const hr_segment s = index->segments[i];
        const uint32_t x = curve_cell(0.5 * (s.a.x - box.x0 + (s.b.x - box.x0)), size);
        const uint32_t y = curve_cell(0.5 * (s.a.y - box.y0 + (s.b.y - box.y0)), size);
        items[i] = (placed){hilbert(x, y), (uint32_t)i};
    }
    bool sorted = true;
    if (count < 4096) {
        qsort(items, count, sizeof *items, compare_placed);
    } else {
        sorted = sort_placed(items, count);
    }
    for (size_t i = 0; sorted && i < count; i++) {
        index->ids[i] = items[i].id;
    }
    hr_free(items);
    return sorted;
}

static size_t eighths(size_t count)
{
    return (count + INDEX_WIDTH - 1) / INDEX_WIDTH;
}

/* A place without a segment: a line that is far from everything. */
static void leave_lane(index_block *block, size_t lane)
{
    block->x[lane] = block->y[lane] = block->half_x[lane] = block->half_y[lane] = block->size[lane] = 0.0f;
    block->lean[lane] = 0.25f * FLT_MAX;
}

/* Up to eight segments; returns how many. */
static size_t fill_block(const hr_index *index, size_t first, index_block *block)
{
    const size_t used = index->count - first < INDEX_WIDTH ? index->count - first : INDEX_WIDTH;
    for (size_t lane = 0; lane < used; lane++) {
        const hr_segment s = index->segments[index->ids[first + lane]];
        const double x = 0.5 * (s.a.x - index->centre.x) + 0.5 * (s.b.x - index->centre.x);
        const double y = 0.5 * (s.a.y - index->centre.y) + 0.5 * (s.b.y - index->centre.y);
        const double half_x = 0.5 * (s.b.x - s.a.x), half_y = 0.5 * (s.b.y - s.a.y);
        block->x[lane] = (float)x;
        block->y[lane] = (float)y;
        block->half_x[lane] = (float)half_x;
        block->half_y[lane] = (float)half_y;
        block->lean[lane] = (float)(half_x * y - half_y * x);
        block->size[lane] = (float)(fabs(half_x) + fabs(half_y));
    }
    for (size_t lane = used; lane < INDEX_WIDTH; lane++) {
        leave_lane(block, lane);
    }
    return used;
}

static void widen(float *low, float *high, float value)
{
    *low = value < *low ? value : *low;
    *high = value > *high ? value : *high;
}

/* x0 y0 x1 y1 round the single precision ends of a block. */
static void block_box(const index_block *block, size_t used, float box[4])
{
    box[0] = box[2] = block->x[0];
    box[1] = box[3] = block->y[0];
    for (size_t lane = 0; lane < used; lane++) {
        widen(&box[0], &box[2], block->x[lane] - fabsf(block->half_x[lane]));
        widen(&box[0], &box[2], block->x[lane] + fabsf(block->half_x[lane]));
        widen(&box[1], &box[3], block->y[lane] - fabsf(block->half_y[lane]));
        widen(&box[1], &box[3], block->y[lane] + fabsf(block->half_y[lane]));
    }
}

/* x0 y0 x1 y1 round the boxes of a group in use. */
static void group_box(const index_group *group, size_t used, float box[4])
{
    box[0] = box[2] = group->x[0];
    box[1] = box[3] = group->y[0];
    for (size_t lane = 0; lane < used; lane++) {
        widen(&box[0], &box[2], group->x[lane] - group->half_x[lane]);
        widen(&box[0], &box[2], group->x[lane] + group->half_x[lane]);
        widen(&box[1], &box[3], group->y[lane] - group->half_y[lane]);
        widen(&box[1], &box[3], group->y[lane] + group->half_y[lane]);
    }
}

/* Roundings only ever make a box larger. */
static void put_box(const hr_index *index, index_level *level, size_t node, const float box[4])
{
    index_group *group = &level->groups[node / INDEX_WIDTH];
    const size_t lane = node % INDEX_WIDTH;
    const float more = (float)(index->reach * 0x1p-21);
    group->x[lane] = 0.5f * box[0] + 0.5f * box[2];
    group->y[lane] = 0.5f * box[1] + 0.5f * box[3];
    group->half_x[lane] = 0.5f * box[2] - 0.5f * box[0] + more;
    group->half_y[lane] = 0.5f * box[3] - 0.5f * box[1] + more;
}

/* Boxes that are not in use are smaller than nothing. */
static void empty_level(index_level *level)
{
    for (size_t node = 0; node < eighths(level->nodes) * INDEX_WIDTH; node++) {
        level->groups[node / INDEX_WIDTH].half_x[node % INDEX_WIDTH] = -FLT_MAX;
    }
}

static void fill_levels(hr_index *index)
{
    float box[4] = {0.0f, 0.0f, 0.0f, 0.0f};
    for (size_t k = 0; k < index->level_count; k++) {
        empty_level(&index->levels[k]);
    }
    for (size_t b = 0; b < index->block_count; b++) {
        block_box(&index->blocks[b], fill_block(index, b * INDEX_WIDTH, &index->blocks[b]), box);
        put_box(index, &index->levels[0], b, box);
    }
    for (size_t k = 1; k < index->level_count; k++) {
        const index_level *below = &index->levels[k - 1];
        for (size_t node = 0; node < index->levels[k].nodes; node++) {
            const size_t left = below->nodes - node * INDEX_WIDTH;
            group_box(&below->groups[node], left < INDEX_WIDTH ? left : INDEX_WIDTH, box);
            put_box(index, &index->levels[k], node, box);
        }
    }
}

/* One piece of memory for all blocks and groups. */
static bool lay_out(hr_index *index)
{
    size_t groups = 0;
    index->block_count = eighths(index->count);
    for (size_t nodes = index->block_count, left = SIZE_MAX; left > INDEX_TOP_NODES; nodes = eighths(nodes)) {
        index->levels[index->level_count++].nodes = nodes;
        groups += eighths(nodes);
        left = nodes;
    }
    _Static_assert(2 * sizeof(index_block) == 3 * sizeof(index_group), "blocks and groups share one array");
    index->memory = hr_alloc_zero((3 * index->block_count + 1) / 2 + groups + 1, sizeof(index_group));
    if (index->memory == NULL) {
        return false;
    }
    const size_t beyond = (size_t)((uintptr_t)index->memory % ALIGNMENT);
    char *start = (char *)index->memory + (beyond > 0 ? ALIGNMENT - beyond : 0);
    index->blocks = (index_block *)(void *)start;
    index_group *next = (index_group *)(void *)(start + index->block_count * sizeof(index_block));
    for (size_t k = 0; k < index->level_count; k++) {
        index->levels[k].groups = next;
        next += eighths(index->levels[k].nodes);
    }
    return true;
}

/* Centre and reach of all ends; false when one is not finite. */
static bool measure(hr_index *index, hr_box *box)
{
    *box = (hr_box){DBL_MAX, DBL_MAX, -DBL_MAX, -DBL_MAX};
    for (size_t i = 0; i < index->count; i++) {
        const hr_point ends[2] = {index->segments[i].a, index->segments[i].b};
        for (size_t e = 0; e < 2; e++) {
            if (!isfinite(ends[e].x) || !isfinite(ends[e].y)) {
                return false;
            }
            box->x0 = ends[e].x < box->x0 ? ends[e].x : box->x0;
            box->y0 = ends[e].y < box->y0 ? ends[e].y : box->y0;
            box->x1 = ends[e].x > box->x1 ? ends[e].x : box->x1;
            box->y1 = ends[e].y > box->y1 ? ends[e].y : box->y1;
        }
    }
    if (index->count > 0) {
        index->centre = (hr_point){0.5 * box->x0 + 0.5 * box->x1, 0.5 * box->y0 + 0.5 * box->y1};
        index->reach = 0.5 * fmax(box->x1 - box->x0, box->y1 - box->y0);
        index->span = index->reach + fabs(index->centre.x) + fabs(index->centre.y);
    }
    return true;
}

static void fill_lanes(hr_index *index)
{
    for (unsigned mask = 0; mask < 256; mask++) {
        unsigned shift = 0;
        for (unsigned lane = 0; lane < INDEX_WIDTH; lane++) {
            if ((mask >> lane & 1u) != 0) {
                index->lanes[mask] |= (uint64_t)lane << shift;
                shift += 8;
            }
        }
    }
}

static hr_status build(hr_index *index, hr_error *err)
{
    hr_box box;
    if (!measure(index, &box)) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "a segment has an end that is not finite");
    }
    index->ids = hr_alloc_zero(eighths(index->count) * INDEX_WIDTH, sizeof *index->ids);
    if (index->ids == NULL || !order_segments(index, box) || !lay_out(index)) {
        return hr_fail_memory(err);
    }
    fill_levels(index);
    fill_lanes(index);
    index->wide = geometry_has_wide();
    return HR_OK;
}

hr_status hr_geometry_index_new(const hr_segment *segments, size_t count, hr_index **index, hr_error *err)
{
    if (count > INT32_MAX) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "too many segments for an index");
    }
    hr_index *made = hr_alloc_zero(1, sizeof *made);
    hr_segment *copy = hr_alloc(count, sizeof *copy);
    if (made == NULL || copy == NULL) {
        hr_free(made);
        hr_free(copy);
        return hr_fail_memory(err);
    }
    if (count > 0) {
        memcpy(copy, segments, count * sizeof *copy);
    }
    made->segments = copy;
    made->count = count;
    const hr_status status = build(made, err);
    if (status != HR_OK) {
        hr_geometry_index_free(made);
        return status;
    }
    *index = made;
    return HR_OK;
}

void hr_geometry_index_free(hr_index *index)
{
    if (index != NULL) {
        hr_free(index->segments);
        hr_free(index->ids);
        hr_free(index->memory);
        hr_free(index);
    }
}

size_t hr_geometry_index_count(const hr_index *index)
{
    return index->count;
}
