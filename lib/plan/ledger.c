/*
 * ledger.c - what was left aside, one row per reason and name.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <string.h>

/* Rows beyond this many go into one row: a list nobody reads helps nobody. */
#define LEDGER_MAX 1000

static hr_status add_row(plan_reader *r, const hr_ignored *row, const char *key)
{
    plan_ledger *l = &r->ledger;
    if (!HR_RESERVE(l->rows, l->cap, l->count + 1)) {
        return hr_fail_memory(r->err);
    }
    l->rows[l->count] = *row;
    l->rows[l->count].name = hr_arena_strdup(r->arena, row->name);
    if (l->rows[l->count].name == NULL || !hr_names_add(l->keys, key, l->count)) {
        return hr_fail_memory(r->err);
    }
    l->count++;
    return HR_OK;
}

/* Reasons are string literals and nearest a table's word: only the name is copied. */
hr_status plan_leave(plan_reader *r, const char *name, const char *reason, const char *nearest, size_t count,
                     double length_m, int line)
{
    plan_ledger *l = &r->ledger;
    if (l->keys == NULL && (l->keys = hr_names_new()) == NULL) {
        return hr_fail_memory(r->err);
    }
    hr_ignored row = {.name = name, .reason = reason, .nearest = nearest, .first_line = line};
    if (l->count >= LEDGER_MAX) {
        row.name = "(others)";
        row.nearest = NULL;
    }
    hr_text key = {0};
    hr_text_add(&key, reason);
    hr_text_add(&key, "\n");
    hr_text_add_n(&key, row.name, strnlen(row.name, PLAN_WORD_MAX));
    size_t at = key.failed ? SIZE_MAX : hr_names_find(l->keys, key.bytes);
    hr_status status = key.failed ? hr_fail_memory(r->err) : HR_OK;
    if (status == HR_OK && at == SIZE_MAX) {
        at = l->count;
        status = add_row(r, &row, key.bytes);
    }
    hr_text_free(&key);
    if (status == HR_OK) {
        l->rows[at].count += count;
        l->rows[at].length_m += length_m;
    }
    return status;
}

hr_status plan_leave_shape(plan_reader *r, size_t shape, const char *reason)
{
    const size_t node = r->shapes[shape].node;
    const hr_status status = plan_keep_left(r, node);
    return status != HR_OK ? status : plan_leave(r, plan_outer_name(r, node), reason, NULL, 1, plan_drawn_length_m(r, node),
                      r->drawing->nodes[node].line);
}

hr_status plan_keep_left(plan_reader *r, size_t node)
{
    const hr_svg_node *n = &r->drawing->nodes[node];
    for (size_t p = 0; p < n->path_count && r->options->keep_left; p++) {
        const hr_status status = plan_take_path(r, &r->drawing->paths[n->first_path + p]);
        if (status != HR_OK) {
            return status;
        }
        if (!HR_RESERVE(r->left, r->left_cap, r->left_count + 1)) {
            return hr_fail_memory(r->err);
        }
        hr_left *left = &r->left[r->left_count];
        *left = (hr_left){.count = r->scratch.count, .closed = r->scratch.closed};
        left->points = hr_arena_alloc(r->arena, left->count, sizeof *left->points);
        if (left->points == NULL) {
            return hr_fail_memory(r->err);
        }
        if (left->count > 0) {
            memcpy(left->points, r->scratch.at, left->count * sizeof *left->points);
        }
        r->left_count++;
    }
    return HR_OK;
}
