/*
 * orlib.c - the set cover instances of the OR-Library (J E Beasley, "OR-Library:
 * distributing test problems by electronic mail", Journal of the Operational
 * Research Society 41(11), 1990, 1069-1072) against their optima (Beasley,
 * European J. of Operational Research 31, 1987; Naval Research Logistics 37,
 * 1990). The files are not part of the project: skipped where they are absent.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_tests.h"

#include "placement_priv.h"

#include <stdlib.h>

typedef struct known {
    const char *name;
    uint64_t optimum;
    uint64_t greedy[2]; /* 1-fold and 2-fold greedy, lowest index first among ties: an independent eager greedy */
    uint64_t effort;
} known;

static const known instances[] = {{"scp41", 429, {463, 1330}, 8000000}, {"scp51", 253, {289, 641}, 8000000},
                                  {"scp61", 138, {159, 315}, 8000000},  {"scpa1", 253, {288, 631}, 8000000},
                                  {"scpb1", 69, {77, 170}, 8000000},    {"scpe1", 5, {5, 10}, 8000000}};
#define INSTANCES (sizeof instances / sizeof instances[0])

typedef struct loaded {
    hr_placement_problem problem;
    size_t *start;
    uint32_t *row, *weight, *need;
} loaded;

static bool next_number(const char **at, uint32_t *value)
{
    char *end = NULL;
    const unsigned long v = strtoul(*at, &end, 10);
    if (end == *at) {
        return false;
    }
    *at = end;
    *value = (uint32_t)v;
    return true;
}

/* Rows, columns, costs, then for each row its count and its columns from 1: turned into columns. */
static void parse(const char *text, uint32_t need, loaded *out)
{
    uint32_t rows = 0, columns = 0, count = 0, column = 0;
    assert_true(next_number(&text, &rows) && next_number(&text, &columns));
    out->weight = hr_alloc(columns, sizeof *out->weight);
    out->need = hr_alloc(rows, sizeof *out->need);
    out->start = hr_alloc_zero((size_t)columns + 2, sizeof *out->start);
    for (uint32_t c = 0; c < columns; c++) {
        assert_true(next_number(&text, &out->weight[c]));
    }
    for (int pass = 0; pass < 2; pass++) {
        const char *at = text;
        for (uint32_t r = 0; r < rows; r++) {
            out->need[r] = need;
            assert_true(next_number(&at, &count));
            for (uint32_t i = 0; i < count; i++) {
                assert_true(next_number(&at, &column) && column >= 1 && column <= columns);
                if (pass == 0) {
                    out->start[column + 1]++;
                } else {
                    out->row[out->start[column]++] = r;
                }
            }
        }
        for (uint32_t c = 2; pass == 0 && c <= columns + 1; c++) {
            out->start[c] += out->start[c - 1];
        }
        out->row = pass == 0 ? hr_alloc(out->start[columns + 1], sizeof *out->row) : out->row;
    }
    out->problem = (hr_placement_problem){.rows = rows,
                                          .columns = columns,
                                          .column_start = out->start,
                                          .column_row = out->row,
                                          .weight = out->weight,
                                          .need = out->need};
}

static bool load(const char *name, uint32_t need, loaded *out)
{
    char path[512];
    const char *root = getenv("HR_SOURCE_ROOT");
    (void)snprintf(path, sizeof path, "%s/../shared/set-cover/%s.txt", root ? root : ".", name);
    char *text = NULL;
    size_t len = 0;
    if (hr_file_read(path, (size_t)8 << 20, &text, &len, NULL) != HR_OK) {
        print_message("# %s is not here: skipped\n", path);
        return false;
    }
    parse(text, need, out);
    hr_free(text);
    return true;
}

static void unload(loaded *l)
{
    hr_free(l->start);
    hr_free(l->row);
    hr_free(l->weight);
    hr_free(l->need);
}

void or_library_optima(void **state)
{
    (void)state;
    size_t seen = 0;
    for (size_t i = 0; i < INSTANCES; i++) {
        loaded l;
        if (!load(instances[i].name, 1, &l)) {
            continue;
        }
        seen++;
        hr_placement_result r;
        const hr_placement_options options = {.effort = instances[i].effort};
        solve_checked(&l.problem, &options, &r);
        assert_int_equal(r.weight, instances[i].optimum);
        assert_int_equal(r.lower_bound, instances[i].optimum);
        assert_true(r.proved && !r.clock_stopped);
        hr_placement_result_free(&r);
        unload(&l);
    }
    if (seen == 0) {
        print_message("# skipped: no instance was found\n"); /* not skip(): "not ok" in TAP */
    }
}

void or_library_greedy(void **state)
{
    (void)state;
    size_t seen = 0;
    for (size_t i = 0; i < 2 * INSTANCES; i++) {
        loaded l;
        if (!load(instances[i / 2].name, 1 + (uint32_t)(i % 2), &l)) {
            continue;
        }
        seen++;
        hr_placement_base base;
        assert_int_equal(hr_placement_base_make(&l.problem, &base, NULL), HR_OK);
        uint8_t *chosen = hr_alloc_zero(base.model->columns, 1);
        uint32_t *order = hr_alloc(base.model->columns, sizeof *order);
        const uint32_t count = hr_placement_greedy(base.model, chosen, order, NULL);
        uint64_t weight = 0;
        for (uint32_t k = 0; k < count; k++) {
            weight += (uint64_t)base.model->weight[order[k]] * base.divisor;
        }
        assert_int_equal(weight, instances[i / 2].greedy[i % 2]);
        hr_free(chosen);
        hr_free(order);
        hr_placement_base_free(&base);
        unload(&l);
    }
    if (seen == 0) {
        print_message("# skipped: no instance was found\n"); /* not skip(): "not ok" in TAP */
    }
}

/* Greedy's cheap bound and the bound of a search cut short are bounds all the same. */
void or_library_bounds_hold(void **state)
{
    (void)state;
    size_t seen = 0;
    for (size_t i = 0; i < INSTANCES; i++) {
        loaded l;
        if (!load(instances[i].name, 1, &l)) {
            continue;
        }
        seen++;
        const hr_placement_options all[] = {{.greedy_only = true}, {.effort = 1}, {.effort = 3000}, {.effort = 30000}};
        for (size_t k = 0; k < sizeof all / sizeof all[0]; k++) {
            hr_placement_result r;
            solve_checked(&l.problem, &all[k], &r);
            assert_true(r.lower_bound <= instances[i].optimum && r.weight >= instances[i].optimum);
            assert_true(r.lower_bound > 0);
            if (r.multipliers) {
                assert_true(hr_placement_check_bound(&l.problem, r.multipliers) == r.lower_bound);
            }
            assert_true(!all[k].greedy_only || r.multipliers);
            hr_placement_result_free(&r);
        }
        unload(&l);
    }
    if (seen == 0) {
        print_message("# skipped: no instance was found\n"); /* not skip(): "not ok" in TAP */
    }
}
