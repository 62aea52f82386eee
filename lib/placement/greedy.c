/*
 * greedy.c - lazy greedy (Minoux 1978: stale gains are upper bounds, so only the
 * top of a heap is looked at again) and the removal of what became redundant.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_priv.h"

#include <string.h>

typedef struct heap_item {
    uint32_t column, gain;
} heap_item;

typedef struct heap {
    heap_item *item;
    uint32_t count;
    const uint32_t *weight;
} heap;

/* Less weight per row gained, compared by cross products; ties: the lower column. */
static bool before(const heap *h, heap_item a, heap_item b)
{
    const uint64_t x = (uint64_t)h->weight[a.column] * b.gain;
    const uint64_t y = (uint64_t)h->weight[b.column] * a.gain;
    return x != y ? x < y : a.column < b.column;
}

static void sift_down(heap *h, uint32_t at)
{
    const heap_item moved = h->item[at];
    for (;;) {
        uint32_t child = 2 * at + 1;
        if (child >= h->count) {
            break;
        }
        if (child + 1 < h->count && before(h, h->item[child + 1], h->item[child])) {
            child++;
        }
        if (!before(h, h->item[child], moved)) {
            break;
        }
        h->item[at] = h->item[child];
        at = child;
    }
    h->item[at] = moved;
}

static void make_heap(heap *h, const hr_placement_model *model)
{
    h->weight = model->weight;
    h->count = 0;
    for (uint32_t c = 0; c < model->columns; c++) {
        const uint32_t gain = model->column_start[c + 1] - model->column_start[c];
        if (gain > 0) {
            h->item[h->count++] = (heap_item){c, gain};
        }
    }
    for (uint32_t i = h->count / 2; i-- > 0;) {
        sift_down(h, i);
    }
}

static uint32_t count_short(const hr_placement_model *model, uint32_t column, const uint32_t *lack)
{
    uint32_t gain = 0;
    for (uint32_t e = model->column_start[column]; e < model->column_start[column + 1]; e++) {
        gain += lack[model->column_row[e]] > 0;
    }
    return gain;
}

/* Takes a column; returns how many rows have their need met by it. */
static uint32_t take(const hr_placement_model *model, heap_item top, uint32_t *lack, double *price)
{
    uint32_t met = 0;
    for (uint32_t e = model->column_start[top.column]; e < model->column_start[top.column + 1]; e++) {
        const uint32_t r = model->column_row[e];
        if (lack[r] > 0) {
            met += --lack[r] == 0;
            if (price) {
                price[r] = (double)model->weight[top.column] / (double)top.gain;
            }
        }
    }
    return met;
}

uint32_t hr_placement_greedy(const hr_placement_model *model, uint8_t *chosen, uint32_t *order, double *price)
{
    heap h = {.item = hr_alloc((size_t)model->columns + 1, sizeof *h.item)};
    uint32_t *lack = hr_alloc((size_t)model->rows + 1, sizeof *lack);
    uint32_t count = HR_PLACEMENT_NONE;
    if (h.item && lack) {
        memcpy(lack, model->need, model->rows * sizeof *lack);
        make_heap(&h, model);
        count = 0;
        for (uint32_t left = model->rows; left > 0 && h.count > 0;) {
            heap_item top = h.item[0];
            const uint32_t gain = count_short(model, top.column, lack);
            if (gain == top.gain) {
                left -= take(model, top, lack, price);
                chosen[top.column] = 1;
                order[count++] = top.column;
            }
            if (gain == top.gain || gain == 0) {
                h.item[0] = h.item[--h.count];
            } else {
                h.item[0].gain = gain;
            }
            sift_down(&h, 0);
        }
    }
    hr_free(h.item);
    hr_free(lack);
    return count;
}

uint64_t hr_placement_prune(const hr_placement_model *model, uint8_t *chosen, const uint32_t *order, uint32_t count,
                            uint32_t *covered)
{
    memset(covered, 0, model->rows * sizeof *covered);
    for (uint32_t c = 0; c < model->columns; c++) {
        for (uint32_t e = model->column_start[c]; chosen[c] && e < model->column_start[c + 1]; e++) {
            covered[model->column_row[e]]++;
        }
    }
    for (uint32_t i = count; i-- > 0;) {
        const uint32_t c = order[i], end = model->column_start[c + 1];
        uint32_t e = model->column_start[c];
        while (e < end && covered[model->column_row[e]] > model->need[model->column_row[e]]) {
            e++;
        }
        if (e < end || !chosen[c]) {
            continue;
        }
        chosen[c] = 0;
        for (e = model->column_start[c]; e < end; e++) {
            covered[model->column_row[e]]--;
        }
    }
    uint64_t weight = 0;
    for (uint32_t c = 0; c < model->columns; c++) {
        weight += chosen[c] ? model->weight[c] : 0;
    }
    return weight;
}
