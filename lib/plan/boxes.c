/*
 * boxes.c - which of many boxes hold a point: a tree that halves them by their
 * middles, across and down in turn.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <stdlib.h>

#define LEAF 8
#define DEPTH_MAX 40

typedef struct entry {
    hr_box box;
    double middle; /* along the axis that is being halved */
    uint32_t id;
} entry;

/* Entries [from, to) of a branch with all their boxes in one. */
typedef struct branch {
    hr_box box;
    uint32_t from, to;
    uint32_t left; /* first of two children, 0: a leaf */
} branch;

struct plan_boxes {
    entry *entries;
    branch *branches;
    size_t entry_count, branch_count, branch_cap;
};

static int compare_entries(const void *left, const void *right)
{
    const entry *a = left, *b = right;
    if (a->middle != b->middle) {
        return a->middle < b->middle ? -1 : 1;
    }
    return a->id < b->id ? -1 : a->id > b->id;
}

/* Entries are in order of their middles along one axis at each depth: halves are equal in number. */
static void halve(plan_boxes *b, const branch *at, size_t depth)
{
    for (uint32_t i = at->from; i < at->to; i++) {
        const hr_box *box = &b->entries[i].box;
        b->entries[i].middle = depth % 2 == 0 ? box->x0 + box->x1 : box->y0 + box->y1;
    }
    qsort(b->entries + at->from, at->to - at->from, sizeof *b->entries, compare_entries);
}

static bool add_branch(plan_boxes *b, uint32_t from, uint32_t to)
{
    if (!HR_RESERVE(b->branches, b->branch_cap, b->branch_count + 1)) {
        return false;
    }
    branch *made = &b->branches[b->branch_count++];
    *made = (branch){.box = hr_geometry_box(NULL, 0), .from = from, .to = to};
    for (uint32_t i = from; i < to; i++) {
        plan_box_add(&made->box, b->entries[i].box);
    }
    return true;
}

/* Level by level, so that no stack is needed. */
static bool grow(plan_boxes *b)
{
    if (!add_branch(b, 0, (uint32_t)b->entry_count)) {
        return false;
    }
    size_t level = 0;
    for (size_t depth = 0; level < b->branch_count && depth < DEPTH_MAX; depth++) {
        const size_t end = b->branch_count;
        for (; level < end; level++) {
            const branch at = b->branches[level];
            if (at.to - at.from <= LEAF) {
                continue;
            }
            halve(b, &at, depth);
            const uint32_t middle = at.from + (at.to - at.from) / 2;
            b->branches[level].left = (uint32_t)b->branch_count;
            if (!add_branch(b, at.from, middle) || !add_branch(b, middle, at.to)) {
                return false;
            }
        }
    }
    return true;
}

plan_boxes *plan_boxes_new(size_t count)
{
    plan_boxes *b = hr_alloc_zero(1, sizeof *b);
    if (b == NULL || count >= UINT32_MAX || (b->entries = hr_alloc(count, sizeof *b->entries)) == NULL) {
        hr_free(b);
        return NULL;
    }
    return b;
}

void plan_boxes_add(plan_boxes *b, hr_box box, uint32_t id)
{
    b->entries[b->entry_count++] = (entry){.box = box, .id = id};
}

bool plan_boxes_grow(plan_boxes *b)
{
    return b->entry_count == 0 || grow(b);
}

void plan_boxes_free(plan_boxes *b)
{
    if (b != NULL) {
        hr_free(b->entries);
        hr_free(b->branches);
        hr_free(b);
    }
}

static bool holds(const hr_box *box, hr_point p)
{
    return p.x >= box->x0 && p.x <= box->x1 && p.y >= box->y0 && p.y <= box->y1;
}

bool plan_boxes_at(const plan_boxes *b, hr_point p, plan_ids *ids)
{
    uint32_t stack[DEPTH_MAX + 2];
    size_t waiting = 0;
    ids->count = 0;
    if (b->branch_count > 0) {
        stack[waiting++] = 0;
    }
    while (waiting > 0) {
        const branch *at = &b->branches[stack[--waiting]];
        if (!holds(&at->box, p)) {
            continue;
        }
        if (at->left != 0) {
            stack[waiting++] = at->left + 1;
            stack[waiting++] = at->left;
            continue;
        }
        for (uint32_t i = at->from; i < at->to; i++) {
            if (!holds(&b->entries[i].box, p)) {
                continue;
            }
            if (!HR_RESERVE(ids->at, ids->cap, ids->count + 1)) {
                return false;
            }
            ids->at[ids->count++] = b->entries[i].id;
        }
    }
    return true;
}
