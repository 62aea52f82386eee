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
    return plan_leave(r, plan_outer_name(r, node), reason, NULL, 1, plan_drawn_length_m(r, node),
                      r->drawing->nodes[node].line);
}
