/*
 * hotel_cases.c - made-up hotels: proofs where they are in reach, storeys alike,
 * capacities and budgets at a size where no exhaustive search goes.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_tests.h"

#include "hotels.h"

/*
 * The fewest points that meet every line of the affine space of dimension 3 over
 * three elements: 27 points less the largest set without a line, which has 9, so
 * 18 (Steiner triple system A27 of Fulkerson, Nemhauser, Trotter, Mathematical
 * Programming Study 2, 1974; from memory). Dimension 2: 9 - 4 = 5. Nothing
 * reduces here and the fractional optimum is half of it: only the tree proves it.
 */
static void lines_of_space(uint32_t dimension, uint64_t fewest)
{
    static const uint32_t power[] = {1, 3, 9, 27};
    const uint32_t points = power[dimension];
    size_t start[28] = {0}, lines = 0, n = 0;
    uint32_t triple[117][3], row[27 * 13];
    for (uint32_t a = 0; a < points; a++) {
        for (uint32_t b = a + 1; b < points; b++) {
            uint32_t c = 0; /* the third point: all three add up to nought in each place */
            for (uint32_t d = 0; d < dimension; d++) {
                c += (6 - a / power[d] % 3 - b / power[d] % 3) % 3 * power[d];
            }
            if (c > b) {
                triple[lines][0] = a;
                triple[lines][1] = b;
                triple[lines++][2] = c;
            }
        }
    }
    assert_int_equal(lines, points * (points - 1) / 6);
    for (uint32_t p = 0; p < points; p++) {
        for (uint32_t l = 0; l < lines; l++) {
            if (triple[l][0] == p || triple[l][1] == p || triple[l][2] == p) {
                row[n++] = l;
            }
        }
        start[p + 1] = n;
    }
    const hr_placement_problem space = {.rows = lines, .columns = points, .column_start = start, .column_row = row};
    hr_placement_result r;
    solve_checked(&space, NULL, &r);
    assert_true(r.proved && r.weight == fewest);
    hr_placement_result_free(&r);
}

void points_on_all_lines(void **state)
{
    (void)state;
    lines_of_space(2, 5);
    lines_of_space(3, 18);
}

/* Up to 320 devices, single and double cover. */
void hotels_are_proved(void **state)
{
    (void)state;
    static const uint32_t sizes[][2] = {{4, 20}, {2, 40}, {3, 40}, {4, 40}};
    for (size_t i = 0; i < sizeof sizes / sizeof sizes[0]; i++) {
        for (uint32_t need = 1; need <= 2; need++) {
            const hotel_plan plan = {sizes[i][0], sizes[i][1], need, 2.0, 85, 4, 18, 1};
            hotel h;
            assert_true(hotel_make(&plan, &h));
            hr_placement_result r;
            const hr_placement_options options = {.effort = 1500000}, quick = {.greedy_only = true};
            solve_checked(&h.problem, &options, &r);
            assert_true(r.proved && r.uncovered_count == 0);
            hr_placement_result g;
            solve_checked(&h.problem, &quick, &g);
            assert_true(g.weight >= r.weight && g.lower_bound <= r.weight);
            hr_placement_result_free(&g);
            hr_placement_result_free(&r);
            hotel_free(&h);
        }
    }
}

/* Storeys that do not hear each other and are alike take the same gateways. */
void same_storeys_are_solved_alike(void **state)
{
    (void)state;
    const hotel_plan one = {1, 20, 1, 2.0, 80, 0, 200, 1};
    hotel h;
    assert_true(hotel_make(&one, &h));
    const size_t rows = h.problem.rows, columns = h.problem.columns, entries = h.start[columns], storeys = 5;
    size_t *start = hr_alloc(columns * storeys + 1, sizeof *start);
    uint32_t *row = hr_alloc(entries * storeys, sizeof *row);
    assert_non_null(start);
    assert_non_null(row);
    for (size_t s = 0; s < storeys; s++) {
        for (size_t c = 0; c <= columns; c++) {
            start[s * columns + c] = s * entries + h.start[c];
        }
        for (size_t e = 0; e < entries; e++) {
            row[s * entries + e] = (uint32_t)(s * rows) + h.row[e];
        }
    }
    const hr_placement_problem many = {
        .rows = rows * storeys, .columns = columns * storeys, .column_start = start, .column_row = row};
    const hr_placement_problem single = {
        .rows = rows, .columns = columns, .column_start = h.start, .column_row = h.row};
    hr_placement_result a, b;
    solve_checked(&single, NULL, &a);
    solve_checked(&many, NULL, &b);
    assert_true(a.proved && b.proved);
    assert_int_equal(b.weight, storeys * a.weight);
    for (size_t i = 0; i < b.chosen_count; i++) {
        assert_int_equal(b.chosen[i] % columns, a.chosen[i % a.chosen_count]);
    }
    hr_placement_result_free(&a);
    hr_placement_result_free(&b);
    hr_free(start);
    hr_free(row);
    hotel_free(&h);
}

/* 20 devices a gateway: 320 devices need 16, more than the cover does. */
void hotel_capacity(void **state)
{
    (void)state;
    const hotel_plan plan = {4, 40, 1, 2.0, 88, 4, 18, 3};
    hotel h;
    assert_true(hotel_make(&plan, &h));
    uint32_t *capacity = hr_alloc(h.problem.columns, sizeof *capacity);
    assert_non_null(capacity);
    for (size_t c = 0; c < h.problem.columns; c++) {
        capacity[c] = 20;
    }
    h.problem.capacity = capacity;
    hr_placement_result r;
    const hr_placement_options options = {.effort = 2000000};
    solve_checked(&h.problem, &options, &r);
    assert_int_equal(r.uncovered_count, 0);
    assert_true(r.lower_bound == 16 && r.weight >= 16 && r.weight <= 17);
    hr_placement_result_free(&r);
    hr_free(capacity);
    hotel_free(&h);
}

/* More gateways never serve fewer, nor does any bound fall below an answer. */
void hotel_budget(void **state)
{
    (void)state;
    const hotel_plan plan = {3, 20, 1, 2.0, 80, 4, 18, 2};
    hotel h;
    assert_true(hotel_make(&plan, &h));
    size_t last = 0;
    bool full = false;
    for (uint32_t k = 1; k <= 12; k++) {
        hr_placement_result r;
        const hr_placement_options options = {.effort = 300000, .at_most = k};
        solve_checked(&h.problem, &options, &r);
        const size_t served = h.problem.rows - r.short_count - r.uncovered_count;
        assert_true(served >= last && served <= r.covered_bound);
        full = full || r.uncovered_count == 0;
        assert_true(!full || (r.proved && r.weight == r.chosen_count));
        last = served;
        hr_placement_result_free(&r);
    }
    assert_true(full);
    hotel_free(&h);
}
