/*
 * test_placement.c - the solver by hand-worked problems, and the program's main.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_tests.h"

/* ---- what holds of every answer ------------------------------------------------------ */

static uint32_t need_of(const hr_placement_problem *p, size_t row)
{
    return p->need ? p->need[row] : 1;
}

static bool is_in(const uint32_t *list, size_t count, uint32_t value)
{
    for (size_t i = 0; i < count; i++) {
        if (list[i] == value) {
            return true;
        }
    }
    return false;
}

static bool holds(const hr_placement_problem *p, size_t column, uint32_t row)
{
    for (size_t e = p->column_start[column]; e < p->column_start[column + 1]; e++) {
        if (p->column_row[e] == row) {
            return true;
        }
    }
    return false;
}

static void check_assigned(const hr_placement_problem *p, const hr_placement_result *r)
{
    assert_non_null(r->assigned);
    for (size_t c = 0; c < p->columns; c++) {
        uint64_t used = 0;
        for (uint32_t row = 0; row < p->rows; row++) {
            if (r->assigned[row] == c) {
                assert_true(holds(p, c, row) && is_in(r->chosen, r->chosen_count, (uint32_t)c));
                used += p->load ? p->load[row] : 1;
            }
        }
        assert_true(p->capacity[c] == 0 || used <= p->capacity[c]);
    }
}

static void check_rows(const hr_placement_problem *p, const hr_placement_result *r, uint32_t *covered)
{
    size_t short_at = 0, uncovered_at = 0;
    for (uint32_t row = 0; row < p->rows; row++) {
        const bool is_short = short_at < r->short_count && r->short_rows[short_at] == row;
        const bool is_open = uncovered_at < r->uncovered_count && r->uncovered[uncovered_at] == row;
        short_at += is_short;
        uncovered_at += is_open;
        if (!is_short && !is_open) {
            assert_true(covered[row] >= need_of(p, row));
            assert_true(!p->capacity || need_of(p, row) == 0 || r->assigned[row] != UINT32_MAX);
        }
        if (!is_short && is_open) {
            assert_true(covered[row] < need_of(p, row) || r->assigned[row] == UINT32_MAX);
        }
        if (is_short) {
            assert_true(covered[row] < need_of(p, row));
        }
    }
    assert_int_equal(short_at, r->short_count); /* ascending, no repeats */
    assert_int_equal(uncovered_at, r->uncovered_count);
}

void solve_checked(const hr_placement_problem *p, const hr_placement_options *options, hr_placement_result *r)
{
    hr_error err;
    const hr_status status = hr_placement_solve(p, options, r, &err);
    if (status != HR_OK) {
        fail_msg("solve: %s", err.text);
    }
    uint32_t *covered = hr_alloc_zero(p->rows + 1, sizeof *covered);
    assert_non_null(covered);
    uint64_t weight = 0;
    for (size_t i = 0; i < r->chosen_count; i++) {
        const uint32_t c = r->chosen[i];
        assert_true(c < p->columns && (i == 0 || c > r->chosen[i - 1]));
        assert_true(!p->state || p->state[c] != HR_PLACEMENT_NEVER);
        weight += p->weight ? p->weight[c] : 1;
        for (size_t e = p->column_start[c]; e < p->column_start[c + 1]; e++) {
            covered[p->column_row[e]]++;
        }
    }
    for (uint32_t c = 0; c < p->columns; c++) {
        assert_true(!p->state || p->state[c] != HR_PLACEMENT_MUST || is_in(r->chosen, r->chosen_count, c));
    }
    assert_true(weight == r->weight);
    if (p->capacity) {
        check_assigned(p, r);
    } else {
        assert_null(r->assigned);
    }
    check_rows(p, r, covered);
    hr_free(covered);
    if (!options || options->at_most == 0) {
        assert_true(r->uncovered_count > 0 || r->lower_bound <= r->weight);
        assert_int_equal(r->proved, r->uncovered_count == 0 && r->lower_bound == r->weight);
    }
}

/* ---- by hand ---------------------------------------------------------------------------- */

/*
 * Rows 0..5; columns: 0 {0,1,2}, 1 {3,4,5}, 2 {0,1,3,4}, 3 {2}, 4 {5}. Greedy by
 * rows takes column 2 and then two more; 0 and 1 are enough.
 */
static const size_t hand_start[] = {0, 3, 6, 10, 11, 12};
static const uint32_t hand_row[] = {0, 1, 2, 3, 4, 5, 0, 1, 3, 4, 2, 5};

static hr_placement_problem hand(void)
{
    return (hr_placement_problem){.rows = 6, .columns = 5, .column_start = hand_start, .column_row = hand_row};
}

static void expect_chosen(const hr_placement_result *r, size_t count, const uint32_t *chosen)
{
    assert_int_equal(r->chosen_count, count);
    assert_memory_equal(r->chosen, chosen, count * sizeof *chosen);
}

static void a_trap_for_greedy(void **state)
{
    (void)state;
    const hr_placement_problem p = hand();
    hr_placement_result r;
    solve_checked(&p, NULL, &r);
    expect_chosen(&r, 2, (const uint32_t[]){0, 1});
    assert_true(r.proved && r.lower_bound == 2);
    hr_placement_result_free(&r);
    /* the same with the small columns first: greedy takes them, and none of its three is redundant */
    static const size_t start[] = {0, 1, 2, 6, 9, 12};
    static const uint32_t row[] = {2, 5, 0, 1, 3, 4, 0, 1, 2, 3, 4, 5};
    const hr_placement_problem q = {.rows = 6, .columns = 5, .column_start = start, .column_row = row};
    const hr_placement_options quick = {.greedy_only = true};
    solve_checked(&q, &quick, &r);
    expect_chosen(&r, 3, (const uint32_t[]){0, 1, 2});
    assert_true(r.lower_bound <= 2);
    hr_placement_result_free(&r);
}

static void must_and_never(void **state)
{
    (void)state;
    hr_placement_problem p = hand();
    const uint8_t states[] = {HR_PLACEMENT_NEVER, HR_PLACEMENT_FREE, HR_PLACEMENT_FREE, HR_PLACEMENT_FREE,
                              HR_PLACEMENT_MUST};
    p.state = states;
    hr_placement_result r;
    solve_checked(&p, NULL, &r);
    /* 5 by the must column, 2 only by column 3 now, the rest by column 2 */
    expect_chosen(&r, 3, (const uint32_t[]){2, 3, 4});
    assert_true(r.proved);
    hr_placement_result_free(&r);
}

static void rows_that_cannot_be_met(void **state)
{
    (void)state;
    hr_placement_problem p = hand();
    const uint32_t need[] = {2, 1, 3, 0, 1, 1};
    const uint8_t states[] = {HR_PLACEMENT_FREE, HR_PLACEMENT_NEVER, HR_PLACEMENT_FREE, HR_PLACEMENT_FREE,
                              HR_PLACEMENT_NEVER};
    p.need = need;
    p.state = states;
    hr_placement_result r;
    solve_checked(&p, NULL, &r);
    /* row 2 gets the two columns it has instead of three; row 5 has none */
    expect_chosen(&r, 3, (const uint32_t[]){0, 2, 3});
    assert_int_equal(r.short_count, 2);
    assert_int_equal(r.short_rows[0], 2);
    assert_int_equal(r.short_rows[1], 5);
    assert_int_equal(r.uncovered_count, 0);
    assert_true(r.proved && r.lower_bound == 3);
    hr_placement_result_free(&r);
}

static void the_first_rule(void **state)
{
    (void)state;
    hr_placement_problem p = hand();
    /* column 2 has one direct row only, columns 3 and 4 have all of theirs (one each) */
    const uint8_t direct[] = {1, 1, 0, 1, 0, 1, 1, 0, 0, 0, 1, 1};
    p.is_first = direct;
    p.first = 2;
    hr_placement_result r;
    solve_checked(&p, NULL, &r);
    expect_chosen(&r, 2, (const uint32_t[]){0, 1});
    hr_placement_result_free(&r);
    p.first = 3; /* now no column keeps it but 3 and 4 */
    solve_checked(&p, NULL, &r);
    expect_chosen(&r, 2, (const uint32_t[]){3, 4});
    assert_int_equal(r.short_count, 4);
    hr_placement_result_free(&r);
}

static void a_budget(void **state)
{
    (void)state;
    const hr_placement_problem p = hand();
    const hr_placement_options one = {.at_most = 1}, two = {.at_most = 2};
    hr_placement_result r;
    solve_checked(&p, &one, &r);
    expect_chosen(&r, 1, (const uint32_t[]){2});
    assert_int_equal(r.uncovered_count, 2);
    assert_true(r.covered_bound >= 4 && r.lower_bound == 2);
    hr_placement_result_free(&r);
    solve_checked(&p, &two, &r);
    expect_chosen(&r, 2, (const uint32_t[]){0, 1});
    assert_true(r.proved && r.covered_bound == 6);
    hr_placement_result_free(&r);
}

/* Column 2 could do nearly all, but may serve two only. */
static void a_capacity(void **state)
{
    (void)state;
    hr_placement_problem p = hand();
    const uint32_t capacity[] = {2, 3, 2, 1, 1};
    p.capacity = capacity;
    hr_placement_result r;
    solve_checked(&p, NULL, &r);
    assert_int_equal(r.chosen_count, 3);
    assert_int_equal(r.uncovered_count, 0);
    hr_placement_result_free(&r);
    const uint32_t none[] = {1, 1, 1, 1, 1}; /* five places for six rows */
    p.capacity = none;
    solve_checked(&p, NULL, &r);
    assert_int_equal(r.uncovered_count, 1);
    assert_false(r.proved);
    hr_placement_result_free(&r);
}

static void weights_with_a_common_divisor(void **state)
{
    (void)state;
    hr_placement_problem p = hand();
    const uint32_t weight[] = {30, 30, 45, 15, 15};
    p.weight = weight;
    hr_placement_result r;
    solve_checked(&p, NULL, &r);
    assert_true(r.weight == 60 && r.lower_bound == 60 && r.proved);
    /* half of what would be needed still proves the next multiple of 15 */
    const int64_t u[] = {10 << 20, 10 << 20, 10 << 20, 0, 0, 1};
    assert_int_equal(hr_placement_check_bound(&p, u) % 15, 0);
    hr_placement_result_free(&r);
}

static void nothing_to_do(void **state)
{
    (void)state;
    const size_t start[] = {0, 0};
    const hr_placement_problem empty = {.rows = 0, .columns = 1, .column_start = start};
    hr_placement_result r;
    solve_checked(&empty, NULL, &r);
    assert_true(r.chosen_count == 0 && r.proved && r.weight == 0);
    hr_placement_result_free(&r);
    const hr_placement_problem alone = {.rows = 2, .columns = 1, .column_start = start};
    solve_checked(&alone, NULL, &r);
    assert_true(r.chosen_count == 0 && r.short_count == 2);
    hr_placement_result_free(&r);
    const uint8_t must[] = {HR_PLACEMENT_MUST};
    const hr_placement_problem kept = {.rows = 2, .columns = 1, .column_start = start, .state = must};
    const hr_placement_options one = {.at_most = 1};
    solve_checked(&kept, &one, &r);
    assert_true(r.chosen_count == 1 && r.weight == 1 && r.lower_bound == 1);
    hr_placement_result_free(&r);
}

static void expect_refused(const hr_placement_problem *p, const hr_placement_options *o)
{
    hr_placement_result r;
    hr_error err = {0};
    assert_int_equal(hr_placement_solve(p, o, &r, &err), HR_ERR_ARGUMENT);
    assert_true(err.text[0] != 0);
}

static void malformed_problems_are_refused(void **state)
{
    (void)state;
    hr_placement_problem p = hand();
    const uint32_t twice[] = {0, 1, 1, 3, 4, 5, 0, 1, 3, 4, 2, 5}, outside[] = {0, 1, 6, 3, 4, 5, 0, 1, 3, 4, 2, 5};
    const uint32_t zero[] = {1, 0, 1, 1, 1}, huge[] = {1, 1, 1, 1, (1U << 20) + 1};
    const uint8_t unknown[] = {0, 0, 3, 0, 0}, must[] = {1, 1, 0, 0, 0};
    const size_t backwards[] = {0, 3, 2, 10, 11, 12};
    const hr_placement_options one = {.at_most = 1};
    p.column_row = twice;
    expect_refused(&p, NULL);
    p.column_row = outside;
    expect_refused(&p, NULL);
    p = hand();
    p.weight = zero;
    expect_refused(&p, NULL);
    p.weight = huge;
    expect_refused(&p, NULL);
    p = hand();
    p.state = unknown;
    expect_refused(&p, NULL);
    p.state = must;
    expect_refused(&p, &one);
    p = hand();
    p.column_start = backwards;
    expect_refused(&p, NULL);
    p.column_start = NULL;
    expect_refused(&p, NULL);
    expect_refused(NULL, NULL);
}

static bool stop_at_once(void *user, const char *stage, uint64_t done, uint64_t total, uint32_t best, uint32_t bound)
{
    (void)best;
    (void)bound;
    assert_non_null(stage);
    assert_true(done <= total);
    ++*(int *)user;
    return false;
}

/* A problem the search does not finish at once: the quadratic residues modulo 43
 * as columns of a cyclic incidence, unicost, with a wide gap. */
static void long_problem(size_t *start, uint32_t *row, hr_placement_problem *p)
{
    size_t n = 0;
    for (uint32_t c = 0; c < 103; c++) {
        start[c] = n;
        for (uint32_t r = 0; r < 103; r++) {
            const uint32_t d = (r + 103 - c) % 103;
            bool residue = false;
            for (uint32_t x = 1; x < 103 && !residue; x++) {
                residue = d > 0 && x * x % 103 == d && x * x * x % 7 < 3;
            }
            if (residue) {
                row[n++] = r;
            }
        }
    }
    start[103] = n;
    *p = (hr_placement_problem){.rows = 103, .columns = 103, .column_start = start, .column_row = row};
}

static void searches_end_when_told(void **state)
{
    (void)state;
    static size_t start[104];
    static uint32_t row[103 * 103];
    hr_placement_problem p;
    long_problem(start, row, &p);
    int calls = 0;
    const hr_placement_options told = {.effort = 50000000, .progress = stop_at_once, .user = &calls};
    hr_placement_result r;
    hr_error err;
    assert_int_equal(hr_placement_solve(&p, &told, &r, &err), HR_ERR_INTERRUPTED);
    assert_int_equal(calls, 1);
    const hr_placement_options clock = {.effort = 2000000000, .seconds = 0.2};
    solve_checked(&p, &clock, &r);
    assert_true(r.clock_stopped && !r.proved);
    hr_placement_result_free(&r);
    const hr_placement_options steps = {.effort = 20000};
    solve_checked(&p, &steps, &r);
    assert_false(r.clock_stopped);
    assert_true(r.steps < 40000);
    hr_placement_result_free(&r);
}

static void the_lp_text(void **state)
{
    (void)state;
    hr_placement_problem p = hand();
    const uint32_t weight[] = {2, 1, 1, 1, 1}, need[] = {1, 1, 3, 1, 0, 1};
    const uint8_t states[] = {0, HR_PLACEMENT_MUST, 0, 0, HR_PLACEMENT_NEVER};
    p.weight = weight;
    p.need = need;
    p.state = states;
    hr_text text = {0};
    hr_placement_write_lp(&p, &text);
    assert_string_equal(text.bytes, "\\ Set cover: rows that cannot be met ask for what can be met.\n"
                                    "Minimize\n weight: 2 x0 + x1 + x2 + x3\n"
                                    "Subject To\n"
                                    " r0: x0 + x2 >= 1\n"
                                    " r1: x0 + x2 >= 1\n"
                                    " r2: x0 + x3 >= 2\n"
                                    " r3: x1 + x2 >= 1\n"
                                    " r5: x1 >= 1\n"
                                    " must1: x1 >= 1\n"
                                    "Binary\n x0\n x1\n x2\n x3\nEnd\n");
    hr_text_free(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_trap_for_greedy),
        cmocka_unit_test(must_and_never),
        cmocka_unit_test(rows_that_cannot_be_met),
        cmocka_unit_test(the_first_rule),
        cmocka_unit_test(a_budget),
        cmocka_unit_test(a_capacity),
        cmocka_unit_test(weights_with_a_common_divisor),
        cmocka_unit_test(nothing_to_do),
        cmocka_unit_test(malformed_problems_are_refused),
        cmocka_unit_test(searches_end_when_told),
        cmocka_unit_test(the_lp_text),
        cmocka_unit_test(equals_exhaustive_search),
        cmocka_unit_test(equals_exhaustive_search_of_larger),
        cmocka_unit_test(points_on_all_lines),
        cmocka_unit_test(greedy_keeps_its_guarantee),
        cmocka_unit_test(budget_bound_holds),
        cmocka_unit_test(capacities_are_kept),
        cmocka_unit_test(quality_is_near_the_best),
        cmocka_unit_test(order_does_not_matter),
        cmocka_unit_test(or_library_greedy),
        cmocka_unit_test(or_library_optima),
        cmocka_unit_test(or_library_bounds_hold),
        cmocka_unit_test(hotels_are_proved),
        cmocka_unit_test(same_storeys_are_solved_alike),
        cmocka_unit_test(hotel_capacity),
        cmocka_unit_test(hotel_budget),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
