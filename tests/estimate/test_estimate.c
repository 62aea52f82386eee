/*
 * test_estimate.c - the draws: nothing drawn is `place`, the Monte Carlo error
 * falls as it should, the same seed gives the same answer.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_tests.h"

#include "hr_stats.h"

hr_estimate *estimate_of(hr_building *building, const hr_estimate_options *options)
{
    hr_estimate *e = NULL;
    hr_error err = {.status = HR_OK};
    if (hr_estimate_make(building, options, NULL, &e, &err) != HR_OK) {
        fail_msg("%s", err.text);
    }
    return e;
}

hr_estimate_numbers numbers_of(const char *const *pairs)
{
    hr_estimate_numbers numbers;
    hr_error err = {.status = HR_OK};
    hr_estimate_numbers_defaults(&numbers);
    for (size_t i = 0; pairs[i] != NULL; i += 2) {
        if (hr_estimate_set(&numbers, pairs[i], pairs[i + 1], &err) != HR_OK) {
            fail_msg("%s", err.text);
        }
    }
    return numbers;
}

hr_building *building_of(const hr_estimate_numbers *numbers, const char *const *sets, size_t set_count)
{
    hr_building *b = NULL;
    hr_error err = {.status = HR_OK};
    if (hr_estimate_building(numbers, sets, set_count, NULL, &b, &err) != HR_OK) {
        fail_msg("%s", err.text);
    }
    return b;
}

static hr_building *example(const char *name, const char *const *sets, size_t set_count)
{
    const char *root = getenv("HR_SOURCE_ROOT");
    char path[600];
    (void)snprintf(path, sizeof path, "%s/examples/%s", root != NULL ? root : ".", name);
    const hr_building_options options = {.sets = sets, .set_count = set_count};
    hr_building *b = NULL;
    hr_error err = {.status = HR_OK};
    if (hr_building_read(path, &options, NULL, &b, &err) != HR_OK) {
        fail_msg("%s: %s", path, err.text);
    }
    return b;
}

static hr_siting *placed(const hr_building *b)
{
    const hr_siting_options options = {0};
    hr_siting *s = NULL;
    hr_error err = {.status = HR_OK};
    if (hr_siting_place(b, &options, NULL, &s, &err) != HR_OK) {
        fail_msg("%s", err.text);
    }
    return s;
}

static void check_equals_place(hr_building *b)
{
    hr_siting *s = placed(b);
    hr_estimate *e = estimate_of(b, NULL);
    assert_int_equal(e->p10, s->gateway_count);
    assert_int_equal(e->p50, s->gateway_count);
    assert_int_equal(e->p90, s->gateway_count);
    assert_int_equal(e->nominal, s->gateway_count);
    check_near(e->mean, (double)s->gateway_count, 0.0);
    check_near(e->mean_error, 0.0, 0.0);
    assert_int_equal(e->driver_count, 0);
    size_t good = 0;
    for (size_t r = 0; r < s->room_count; r++) {
        good += s->rooms[r].served;
    }
    for (size_t k = 0; k < e->holds_count; k++) {
        if (e->holds[k].gateways == s->gateway_count) {
            check_near(e->holds[k].share, (double)good >= 0.98 * (double)s->room_count ? 1.0 : 0.0, 0.0);
            check_near(e->holds[k].expected_failing_rooms, s->expected_failing_rooms, 1e-4);
        }
    }
    hr_estimate_free(e);
    hr_siting_free(s);
    hr_building_free(b);
}

/* With all spreads at zero the answer is that of `place`, on both examples. */
static void test_nothing_drawn(void **state)
{
    (void)state;
    static const char *const sets[] = {NO_SPREADS, "estimate.draws=3"};
    check_equals_place(example("quillhaven-lodge.ini", sets, sizeof sets / sizeof sets[0]));
    check_equals_place(example("tern-house.ini", sets, sizeof sets / sizeof sets[0]));
    static const char *const routes[] = {NO_SPREADS, "estimate.draws=2", "radio.model=routes"};
    check_equals_place(example("tern-house.ini", routes, sizeof routes / sizeof routes[0]));
    static const char *const mesh[] = {NO_SPREADS, "estimate.draws=2", "radio.max_hops=3", "device wall.relays=yes",
                                       "radio.range_limit=15"};
    check_equals_place(example("tern-house.ini", mesh, sizeof mesh / sizeof mesh[0]));
}

static hr_estimate *small(const char *draws, const char *seed)
{
    static const char *const pairs[] = {"rooms-per-storey", "16", "storeys", "3", "walls", "block", NULL};
    const hr_estimate_numbers numbers = numbers_of(pairs);
    char sets[2][64];
    (void)snprintf(sets[0], sizeof sets[0], "estimate.draws=%s", draws);
    (void)snprintf(sets[1], sizeof sets[1], "estimate.seed=%s", seed);
    const char *const list[] = {sets[0], sets[1]};
    hr_building *b = building_of(&numbers, list, 2);
    const hr_estimate_options options = {.numbers = &numbers, .brief = true};
    hr_estimate *e = estimate_of(b, &options);
    hr_building_free(b);
    return e;
}

static double spread_of(const double *values, size_t count)
{
    double mean = 0.0, squares = 0.0;
    for (size_t i = 0; i < count; i++) {
        mean += values[i] / (double)count;
    }
    for (size_t i = 0; i < count; i++) {
        squares += (values[i] - mean) * (values[i] - mean);
    }
    return sqrt(squares / (double)(count - 1));
}

/* Four times the draws halve the error that is shown, and the error that is made. */
static void test_error_halves(void **state)
{
    (void)state;
    enum { SEEDS = 16 };
    double few[SEEDS], many[SEEDS], shown_few = 0.0, shown_many = 0.0;
    for (int i = 0; i < SEEDS; i++) {
        char seed[16];
        (void)snprintf(seed, sizeof seed, "%d", i + 1);
        hr_estimate *a = small("15", seed), *b = small("60", seed);
        few[i] = a->mean;
        many[i] = b->mean;
        shown_few += a->mean_error / SEEDS;
        shown_many += b->mean_error / SEEDS;
        hr_estimate_free(a);
        hr_estimate_free(b);
    }
    assert_true(shown_few > 0.0);
    check_near(shown_many / shown_few, 0.5, 0.06);
    /* the standard deviation of 16 values is itself known to 18 %: two of those together, 26 %, twice */
    check_near(spread_of(many, SEEDS) / spread_of(few, SEEDS), 0.5, 0.5 * 0.52);
    check_near(spread_of(few, SEEDS) / shown_few, 1.0, 0.4);
}

static int compare_numbers(const void *left, const void *right)
{
    const double *a = left, *b = right;
    return (*a > *b) - (*a < *b);
}

/* p is the smallest count that occurred and is not below GSL's quantile. */
static void check_quantile(const double *sorted, size_t count, double share, size_t p)
{
    const double q = hr_stats_quantile_sorted(sorted, count, share);
    bool occurred = false;
    assert_true((double)p >= q - 1e-9);
    for (size_t i = 0; i < count; i++) {
        occurred = occurred || (size_t)sorted[i] == p;
        assert_false(sorted[i] >= q && sorted[i] < (double)p);
    }
    assert_true(occurred);
}

static void test_quantiles(void **state)
{
    (void)state;
    hr_estimate *e = small("41", "5");
    double sorted[41];
    for (size_t i = 0; i < 41; i++) {
        sorted[i] = (double)e->counts[i];
    }
    qsort(sorted, 41, sizeof sorted[0], compare_numbers);
    check_quantile(sorted, 41, 0.1, e->p10);
    check_quantile(sorted, 41, 0.5, e->p50);
    check_quantile(sorted, 41, 0.9, e->p90);
    hr_estimate_free(e);
}

/* The same seed gives the same draws, and more draws begin with the same ones. */
static void test_seed(void **state)
{
    (void)state;
    hr_estimate *a = small("20", "7"), *b = small("30", "7"), *c = small("30", "8");
    bool differs = false;
    for (size_t i = 0; i < 20; i++) {
        assert_int_equal(a->counts[i], b->counts[i]);
    }
    for (size_t i = 0; i < 30; i++) {
        differs = differs || b->counts[i] != c->counts[i];
    }
    assert_true(differs);
    hr_estimate_free(a);
    hr_estimate_free(b);
    hr_estimate_free(c);
}

/* holds is a share of the draws, the quote the smallest count that reaches the confidence. */
static void test_holds(void **state)
{
    (void)state;
    hr_estimate *e = small("50", "3");
    size_t quote = 0;
    for (size_t k = e->holds_count; k-- > 0;) {
        const hr_estimate_holds *h = &e->holds[k];
        check_near(h->share * 50.0, hr_round(h->share * 50.0, 0), 1e-9);
        check_near(h->error, sqrt(h->share * (1.0 - h->share) / 50.0), 1e-12);
        assert_true(h->expected_failing_rooms >= 0.0 && h->expected_failing_rooms <= (double)e->rooms);
        quote = h->share >= 0.9 ? h->gateways : quote;
    }
    assert_int_equal(quote, e->quote);
    assert_true(quote >= e->p10);
    hr_estimate_free(e);
}

static bool stop(void *user, const char *stage, uint64_t done, uint64_t total)
{
    int *left = user;
    (void)stage;
    assert_true(done <= total);
    return (*left)-- > 0;
}

/* Stopped at any of its stages it says so and leaves nothing behind. */
static void test_interrupt(void **state)
{
    (void)state;
    static const char *const pairs[] = {"rooms-per-storey", "6", "storeys", "2", NULL};
    static const char *const sets[] = {"estimate.draws=4"};
    const hr_estimate_numbers numbers = numbers_of(pairs);
    hr_building *b = building_of(&numbers, sets, 1);
    size_t stops = 0;
    for (int calls = 0; calls < 400; calls += 7) {
        int left = calls;
        hr_error err = {.status = HR_OK};
        hr_estimate *e = NULL;
        const hr_estimate_options options = {.numbers = &numbers, .progress = stop, .user = &left};
        if (hr_estimate_make(b, &options, NULL, &e, &err) == HR_OK) {
            hr_estimate_free(e);
            break;
        }
        assert_int_equal(err.status, HR_ERR_INTERRUPTED);
        assert_null(e);
        stops++;
    }
    assert_true(stops > 4);
    hr_building_free(b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_nothing_drawn),
        cmocka_unit_test(test_error_halves),
        cmocka_unit_test(test_quantiles),
        cmocka_unit_test(test_seed),
        cmocka_unit_test(test_holds),
        cmocka_unit_test(test_interrupt),
        cmocka_unit_test(test_corridor),
        cmocka_unit_test(test_discs),
        cmocka_unit_test(test_rooms_shared_out),
        cmocka_unit_test(test_ordered_as_said),
        cmocka_unit_test(test_kinds),
        cmocka_unit_test(test_numbers_refused),
        cmocka_unit_test(test_contradictions),
        cmocka_unit_test(test_walls),
        cmocka_unit_test(test_ten_sizes),
        cmocka_unit_test(test_prices_refused),
        cmocka_unit_test(test_read),
        cmocka_unit_test(test_sheet),
        cmocka_unit_test(test_totals),
        cmocka_unit_test(test_twenty),
    };
    return cmocka_run_group_tests_name("estimate", tests, NULL, NULL);
}
