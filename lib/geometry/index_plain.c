/*
 * index_plain.c - the walk through the index for any processor.
 *
 * SPDX-License-Identifier: MIT
 */
#include "look_plain.h"

static ALWAYS_INLINE size_t look_put_lanes(const hr_index *index, uint32_t *out, uint32_t base, unsigned mask)
{
    const uint64_t lanes = index->lanes[mask];
    for (unsigned i = 0; i < INDEX_WIDTH; i++) {
        out[i] = base + (uint32_t)(lanes >> 8 * i & 7u);
    }
    return (size_t)__builtin_popcount(mask);
}

static ALWAYS_INLINE size_t look_put_ids(const hr_index *index, uint32_t *out, const uint32_t *from, unsigned mask)
{
    const uint64_t lanes = index->lanes[mask];
    for (unsigned i = 0; i < INDEX_WIDTH; i++) {
        out[i] = from[lanes >> 8 * i & 7u];
    }
    return (size_t)__builtin_popcount(mask);
}

/* Each of a few ids goes where the number of smaller ones says: there is no
 * branch that could be foreseen wrongly. lanes: what the ids are padded to. */
static ALWAYS_INLINE void put_by_rank(const index_answer *a, size_t lanes, uint32_t *ids)
{
    int32_t few[INDEX_FEW], rank[INDEX_FEW] = {0};
    for (size_t i = 0; i < lanes; i++) {
        few[i] = i < a->held_count ? (int32_t)a->held[i] : INT32_MAX;
    }
    for (size_t k = 0; k < lanes; k++) {
        const int32_t id = few[k];
        for (size_t i = 0; i < lanes; i++) {
            rank[i] += id < few[i] ? 1 : 0;
        }
    }
    for (size_t i = 0; i < lanes; i++) {
        ids[rank[i]] = (uint32_t)few[i];
    }
}

static ALWAYS_INLINE void look_sort(const index_answer *a, uint32_t *ids)
{
    if (a->held_count <= INDEX_FEW / 4) {
        put_by_rank(a, INDEX_FEW / 4, ids);
    } else if (a->held_count <= INDEX_FEW / 2) {
        put_by_rank(a, INDEX_FEW / 2, ids);
    } else {
        put_by_rank(a, INDEX_FEW, ids);
    }
}

#include "index_look.h"

void geometry_index_look_plain(const hr_index *index, const index_probe *p, index_answer *a)
{
    look_everywhere(index, p, a);
}
