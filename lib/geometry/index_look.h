/*
 * index_look.h - the walk through the index, included by index_plain.c and
 * index_wide.c: the same text built for two kinds of processor. Each defines
 *
 *   LOOK_TARGET               attribute of each function
 *   look_below_zero(v)        one bit for each of eight numbers below zero
 *   look_put_lanes(index, out, base, mask)   base + number of each set bit
 *   look_put_ids(index, out, from, mask)     from[number] of each set bit
 *   look_sort(a, ids)         up to INDEX_FEW held ids in order into ids, which has room for so many
 *
 * The two that put write a whole block and return how many count.
 *
 * Eight boxes or segments are looked at in one step, in loops that the compiler
 * turns into vector code. Single precision says of each segment "surely apart",
 * "surely crossed" or "cannot tell"; the last are few and are settled in
 * double. So the answer does not hang on single precision, nor on the build.
 * Branches are left out wherever the outcome could not be foreseen.
 *
 * SPDX-License-Identifier: MIT
 */

/* Boxes of a group that the ray may come near to. */
static ALWAYS_INLINE LOOK_TARGET unsigned near_boxes(const index_probe *p, const index_group *group)
{
    const float half_x = p->half_x, half_y = p->half_y, lean = p->lean, within = p->s_within;
    const float width = fabsf(half_x), height = fabsf(half_y);
    const float x = p->x, y = p->y, reach_x = p->reach_x, reach_y = p->reach_y;
    float apart[INDEX_WIDTH];
    for (unsigned i = 0; i < INDEX_WIDTH; i++) {
        const float side = fabsf(half_x * group->y[i] - half_y * group->x[i] - lean) -
                           (width * group->half_y[i] + height * group->half_x[i] + within);
        const float right = fabsf(group->x[i] - x) - (group->half_x[i] + reach_x);
        const float low = fabsf(group->y[i] - y) - (group->half_y[i] + reach_y);
        const float most = side > right ? side : right;
        apart[i] = most > low ? most : low;
    }
    return look_below_zero(apart);
}

/*
 * Segments of a block that the ray may come near to; *sure are crossed.
 *
 * With the ray from r - q to r + q and a segment from m - h to m + h, and [,]
 * for the cross product, they cross where |[q, m - r]| and |[h, m - r]| are both
 * at most |[q, h]|.
 */
static ALWAYS_INLINE LOOK_TARGET unsigned near_segments(const index_probe *p, const index_block *block, unsigned *sure)
{
    const float half_x = p->half_x, half_y = p->half_y, lean = p->lean, x = p->x, y = p->y;
    const float near_by_size = p->near_by_size, near_more = p->near_more;
    const float sure_by_size = p->sure_by_size, sure_more = p->sure_more;
    float near[INDEX_WIDTH], crossed[INDEX_WIDTH];
    for (unsigned i = 0; i < INDEX_WIDTH; i++) {
        const float turn = fabsf(half_x * block->half_y[i] - half_y * block->half_x[i]);
        const float off_ray = fabsf(half_x * block->y[i] - half_y * block->x[i] - lean);
        const float off_line = fabsf(block->half_x[i] * y - block->half_y[i] * x - block->lean[i]);
        const float apart = (off_ray > off_line ? off_ray : off_line) - turn;
        near[i] = apart - (block->size[i] * near_by_size + near_more);
        crossed[i] = apart + (block->size[i] * sure_by_size + sure_more);
    }
    *sure = look_below_zero(crossed);
    return look_below_zero(near);
}

/* Up to INDEX_LIST blocks. */
static ALWAYS_INLINE LOOK_TARGET void look_at_blocks(const hr_index *index, const index_probe *p,
                                                     const uint32_t *blocks, size_t count, index_answer *a)
{
    uint8_t doubtful[INDEX_LIST];
    unsigned doubt = 0;
    size_t held = a->held_count;
    for (size_t i = 0; i < count; i++) {
        unsigned sure = 0;
        const unsigned cannot_tell = near_segments(p, &index->blocks[blocks[i]], &sure) ^ sure;
        doubtful[i] = (uint8_t)cannot_tell;
        doubt |= cannot_tell;
        held += look_put_ids(index, &a->held[held], &index->ids[(size_t)blocks[i] * INDEX_WIDTH], sure);
    }
    a->held_count = held;
    if (doubt != 0) {
        geometry_index_settle(index, p, blocks, doubtful, count, a);
    }
    if (a->held_count > INDEX_LIST * INDEX_WIDTH) {
        geometry_index_spill(a);
    }
}

/* Children of up to eight nodes that the ray may come near to; how many. */
static ALWAYS_INLINE LOOK_TARGET size_t near_children(const hr_index *index, const index_level *below,
                                                      const index_probe *p, const uint32_t *nodes, size_t count,
                                                      uint32_t *children)
{
    size_t found = 0;
    for (size_t i = 0; i < count; i++) {
        found +=
            look_put_lanes(index, &children[found], nodes[i] * INDEX_WIDTH, near_boxes(p, &below->groups[nodes[i]]));
    }
    return found;
}

/* Nodes of one level, looked at eight at a time. */
typedef struct node_list {
    uint32_t nodes[INDEX_LIST + INDEX_ROOM];
    size_t count, next;
} node_list;

/* From a list of nodes of levels[top] down. */
static ALWAYS_INLINE LOOK_TARGET void look_down(const hr_index *index, const index_probe *p, node_list *lists,
                                                size_t top, index_answer *a)
{
    for (size_t level = top; level <= top;) {
        node_list *list = &lists[level];
        const size_t left = list->count - list->next, taken = left < INDEX_WIDTH ? left : INDEX_WIDTH;
        const uint32_t *nodes = &list->nodes[list->next];
        list->next += taken;
        if (taken == 0) {
            level++;
        } else {
            level--;
            lists[level].count = near_children(index, &index->levels[level], p, nodes, taken, lists[level].nodes);
            lists[level].next = 0;
        }
        if (level == 0) {
            look_at_blocks(index, p, lists[0].nodes, lists[0].count, a);
            level = 1;
        }
    }
}

/* No more than there is room for. */
static ALWAYS_INLINE LOOK_TARGET void put_some(index_answer *a, const uint32_t *sorted)
{
    for (size_t i = 0; i < a->held_count && i < a->cap; i++) {
        a->ids[i] = sorted[i];
    }
}

static const uint32_t first_nodes[INDEX_WIDTH] = {0, 1, 2, 3, 4, 5, 6, 7};

static ALWAYS_INLINE LOOK_TARGET void look_everywhere(const hr_index *index, const index_probe *p, index_answer *a)
{
    node_list lists[INDEX_LEVELS_MAX];
    const size_t top = index->level_count - 1;
    const size_t groups = (index->levels[top].nodes + INDEX_WIDTH - 1) / INDEX_WIDTH;
    lists[top].count = near_children(index, &index->levels[top], p, first_nodes, groups, lists[top].nodes);
    lists[top].next = 0;
    if (top == 0) {
        look_at_blocks(index, p, lists[0].nodes, lists[0].count, a);
    } else {
        look_down(index, p, lists, top, a);
    }
    if (a->count == 0 && a->held_count <= INDEX_FEW) {
        uint32_t few[INDEX_FEW];
        const bool room = a->cap >= INDEX_FEW;
        look_sort(a, room ? a->ids : few);
        if (!room) {
            put_some(a, few);
        }
        a->count = a->held_count;
        a->held_count = 0;
    }
}
