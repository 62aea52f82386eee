/*
 * model.c - the compact covering model: made, cut down, taken apart.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_priv.h"

#include <string.h>

hr_placement_model *hr_placement_model_new(uint32_t rows, uint32_t columns, uint32_t entries)
{
    /* one block: header, then eight arrays of uint32_t */
    const size_t words = (size_t)columns * 3 + (size_t)rows * 3 + (size_t)entries * 2 + 2;
    hr_placement_model *model = hr_alloc(1, sizeof *model + words * sizeof(uint32_t));
    if (!model) {
        return NULL;
    }
    uint32_t *at = (uint32_t *)(void *)(model + 1);
    *model = (hr_placement_model){.rows = rows, .columns = columns, .entries = entries};
    model->column_start = at;
    at += (size_t)columns + 1;
    model->row_start = at;
    at += (size_t)rows + 1;
    model->column_row = at;
    at += entries;
    model->row_column = at;
    at += entries;
    model->need = at;
    at += rows;
    model->row_id = at;
    at += rows;
    model->weight = at;
    at += columns;
    model->column_id = at;
    model->column_start[0] = 0;
    return model;
}

void hr_placement_model_free(hr_placement_model *model)
{
    hr_free(model);
}

void hr_placement_model_transpose(hr_placement_model *model)
{
    memset(model->row_start, 0, ((size_t)model->rows + 1) * sizeof(uint32_t));
    for (uint32_t e = 0; e < model->entries; e++) {
        model->row_start[model->column_row[e] + 1]++;
    }
    for (uint32_t r = 0; r < model->rows; r++) {
        model->row_start[r + 1] += model->row_start[r];
    }
    /* row_start serves as the write position and is moved back afterwards */
    for (uint32_t c = 0; c < model->columns; c++) {
        for (uint32_t e = model->column_start[c]; e < model->column_start[c + 1]; e++) {
            model->row_column[model->row_start[model->column_row[e]]++] = c;
        }
    }
    for (uint32_t r = model->rows; r > 0; r--) {
        model->row_start[r] = model->row_start[r - 1];
    }
    model->row_start[0] = 0;
}

/* Copies the kept rows of the kept columns; new_row maps old rows to new ones or NONE. */
static void copy_columns(const hr_placement_model *from, const uint8_t *kept, const uint32_t *new_row,
                         hr_placement_model *to)
{
    uint32_t columns = 0, entries = 0;
    for (uint32_t c = 0; c < from->columns; c++) {
        if (!kept[c]) {
            continue;
        }
        const uint32_t before = entries;
        for (uint32_t e = from->column_start[c]; e < from->column_start[c + 1]; e++) {
            if (new_row[from->column_row[e]] != HR_PLACEMENT_NONE) {
                to->column_row[entries++] = new_row[from->column_row[e]];
            }
        }
        if (entries > before) {
            to->column_id[columns] = from->column_id[c];
            to->weight[columns] = from->weight[c];
            to->column_start[++columns] = entries;
        }
    }
}

hr_placement_model *hr_placement_model_cut(const hr_placement_model *model, const uint32_t *need,
                                           const uint8_t *column_kept)
{
    uint32_t rows = 0, columns = 0, entries = 0;
    for (uint32_t c = 0; c < model->columns; c++) {
        if (column_kept[c]) {
            const uint32_t before = entries;
            for (uint32_t e = model->column_start[c]; e < model->column_start[c + 1]; e++) {
                entries += need[model->column_row[e]] > 0;
            }
            columns += entries > before;
        }
    }
    for (uint32_t r = 0; r < model->rows; r++) {
        rows += need[r] > 0;
    }
    hr_placement_model *cut = hr_placement_model_new(rows, columns, entries);
    uint32_t *new_row = hr_alloc((size_t)model->rows + 1, sizeof *new_row);
    if (!cut || !new_row) {
        hr_placement_model_free(cut);
        hr_free(new_row);
        return NULL;
    }
    uint32_t next = 0;
    for (uint32_t r = 0; r < model->rows; r++) {
        new_row[r] = HR_PLACEMENT_NONE;
        if (need[r] > 0) {
            cut->need[next] = need[r];
            cut->row_id[next] = model->row_id[r];
            new_row[r] = next++;
        }
    }
    copy_columns(model, column_kept, new_row, cut);
    hr_free(new_row);
    hr_placement_model_transpose(cut);
    return cut;
}

static uint32_t find_root(uint32_t *parent, uint32_t r)
{
    while (parent[r] != r) {
        parent[r] = parent[parent[r]];
        r = parent[r];
    }
    return r;
}

/* Gives every row the number of its component, in the order of first rows. */
static uint32_t number_parts(const hr_placement_model *model, uint32_t *parent, uint32_t *part)
{
    for (uint32_t r = 0; r < model->rows; r++) {
        parent[r] = r;
    }
    for (uint32_t c = 0; c < model->columns; c++) {
        uint32_t root = find_root(parent, model->column_row[model->column_start[c]]);
        for (uint32_t e = model->column_start[c] + 1; e < model->column_start[c + 1]; e++) {
            const uint32_t other = find_root(parent, model->column_row[e]);
            /* the smaller index stays the root: a part's first row */
            const uint32_t low = root < other ? root : other;
            parent[root] = parent[other] = low;
            root = low;
        }
    }
    uint32_t parts = 0;
    for (uint32_t r = 0; r < model->rows; r++) {
        const uint32_t root = find_root(parent, r);
        part[r] = root == r ? parts++ : part[root];
    }
    return parts;
}

/* Sizes of each part as three counts: rows, columns, entries. */
static void part_sizes(const hr_placement_model *model, const uint32_t *part, uint32_t (*size)[3])
{
    for (uint32_t r = 0; r < model->rows; r++) {
        size[part[r]][0]++;
        size[part[r]][2] += model->row_start[r + 1] - model->row_start[r];
    }
    for (uint32_t c = 0; c < model->columns; c++) {
        size[part[model->column_row[model->column_start[c]]]][1]++;
    }
}

static void fill_parts(const hr_placement_model *model, const uint32_t *part, uint32_t *new_row, uint32_t (*size)[3],
                       hr_placement_model **parts)
{
    for (uint32_t r = 0; r < model->rows; r++) {
        hr_placement_model *to = parts[part[r]];
        const uint32_t at = size[part[r]][0]++;
        new_row[r] = at;
        to->need[at] = model->need[r];
        to->row_id[at] = model->row_id[r];
    }
    for (uint32_t c = 0; c < model->columns; c++) {
        const uint32_t p = part[model->column_row[model->column_start[c]]];
        hr_placement_model *to = parts[p];
        const uint32_t at = size[p][1]++;
        to->weight[at] = model->weight[c];
        to->column_id[at] = model->column_id[c];
        for (uint32_t e = model->column_start[c]; e < model->column_start[c + 1]; e++) {
            to->column_row[size[p][2]++] = new_row[model->column_row[e]];
        }
        to->column_start[at + 1] = size[p][2];
    }
}

bool hr_placement_model_split(const hr_placement_model *model, hr_placement_model ***parts, uint32_t *count)
{
    uint32_t *parent = hr_alloc((size_t)model->rows + 1, sizeof *parent);
    uint32_t *part = hr_alloc((size_t)model->rows + 1, sizeof *part);
    const uint32_t n = parent && part ? number_parts(model, parent, part) : 0;
    uint32_t(*size)[3] = hr_alloc_zero((size_t)n + 1, sizeof *size);
    hr_placement_model **list = hr_alloc_zero((size_t)n + 1, sizeof(hr_placement_model *));
    bool ok = parent && part && size && list;
    if (ok) {
        part_sizes(model, part, size);
        for (uint32_t p = 0; ok && p < n; p++) {
            list[p] = hr_placement_model_new(size[p][0], size[p][1], size[p][2]);
            ok = list[p] != NULL;
            memset(size[p], 0, sizeof size[p]);
        }
    }
    if (ok) {
        fill_parts(model, part, parent, size, list);
        for (uint32_t p = 0; p < n; p++) {
            hr_placement_model_transpose(list[p]);
        }
        *parts = list;
        *count = n;
    } else {
        hr_placement_parts_free(list, n);
    }
    hr_free(parent);
    hr_free(part);
    hr_free(size);
    return ok;
}

void hr_placement_parts_free(hr_placement_model **parts, uint32_t count)
{
    for (uint32_t p = 0; parts && p < count; p++) {
        hr_placement_model_free(parts[p]);
    }
    hr_free(parts);
}

bool hr_placement_model_same(const hr_placement_model *a, const hr_placement_model *b)
{
    return a->rows == b->rows && a->columns == b->columns && a->entries == b->entries &&
           memcmp(a->column_start, b->column_start, ((size_t)a->columns + 1) * sizeof(uint32_t)) == 0 &&
           memcmp(a->column_row, b->column_row, (size_t)a->entries * sizeof(uint32_t)) == 0 &&
           memcmp(a->need, b->need, (size_t)a->rows * sizeof(uint32_t)) == 0 &&
           memcmp(a->weight, b->weight, (size_t)a->columns * sizeof(uint32_t)) == 0;
}
