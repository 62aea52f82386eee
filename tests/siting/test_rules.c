/*
 * test_rules.c - the rules of the site: two gateways for each device by
 * removing each in turn, capacity by recount, budgets, spots asked for and
 * forbidden, and gateways that are down.
 *
 * SPDX-License-Identifier: MIT
 */
#include "support.h"

static hr_building *row_of(int rooms, const char *radio, const char *rest)
{
    char ini[900];
    (void)snprintf(ini, sizeof ini, INI("%s", "%s"), radio, rest);
    hr_text svg = {0};
    corridor_plan(&svg, rooms, false, "");
    hr_building *b = property_made(ini, svg.bytes);
    hr_text_free(&svg);
    return b;
}

/* The answer's gateways become the building's own. */
static void hang_up(hr_building *b, const hr_siting *s)
{
    hr_text list = {0};
    char number[HR_FIXED_MAX];
    hr_text_add(&list, "id,storey,x,y,mount_height\n");
    for (size_t g = 0; g < s->gateway_count; g++) {
        hr_text_addf(&list, "%s,%s,", s->gateways[g].id, b->storeys[s->gateways[g].storey].name);
        hr_text_addf(&list, "%s,", hr_short(s->gateways[g].at.x, 4, number));
        hr_text_addf(&list, "%s,", hr_short(s->gateways[g].at.y, 4, number));
        hr_text_addf(&list, "%s\n", hr_short(s->gateways[g].mount_height_m, 4, number));
    }
    assert_int_equal(hr_building_parse_gateways(b, "list.csv", list.bytes, list.len, NULL, NULL), HR_OK);
    hr_text_free(&list);
}

static size_t unserved_without(const hr_building *b, const char *id)
{
    const hr_siting_options down = {.without = &id, .without_count = 1};
    hr_siting *s = rooms_with(b, &down);
    const size_t unserved = s->device_count - s->served_devices;
    assert_int_equal(s->without_count, 1);
    assert_int_equal(s->gateway_count, b->gateway_count - 1);
    hr_siting_free(s);
    return unserved;
}

static void test_two_gateway_cover_by_removal(void **state)
{
    (void)state;
    hr_building *b = row_of(20, "cover = 2\n", "");
    hr_siting *s = placed_with(b, NULL);
    assert_int_equal(s->served_devices, s->device_count);
    for (size_t d = 0; d < s->device_count; d++) {
        assert_true(s->devices[d].in_reach >= 2);
    }
    hang_up(b, s);
    for (size_t g = 0; g < b->gateway_count; g++) {
        assert_int_equal(unserved_without(b, b->gateways[g].id), 0);
    }
    hr_siting_free(s);
    hr_building_free(b);
}

/* A fewest single cover has no gateway to spare. */
static void test_single_cover_misses_each_gateway(void **state)
{
    (void)state;
    hr_building *b = row_of(20, "", "");
    const hr_siting_options asked = {.reasons = true};
    hr_siting *s = placed_with(b, &asked);
    assert_true(s->proved_fewest);
    hang_up(b, s);
    for (size_t g = 0; g < s->gateway_count; g++) {
        const size_t lost = unserved_without(b, s->gateways[g].id);
        assert_true(lost > 0);
        assert_int_equal(s->reasons[g].devices_lost, lost);
        assert_int_equal(s->reasons[g].only_it, lost); /* no capacity binds */
    }
    hr_siting_free(s);
    hr_building_free(b);
}

/* Names and network numbers stay while a gateway is down. */
static void test_numbers_stay(void **state)
{
    (void)state;
    hr_building *b = row_of(20, "", "");
    hr_siting *s = placed_with(b, NULL);
    hang_up(b, s);
    const char *first = "GW1";
    const hr_siting_options down = {.without = &first, .without_count = 1};
    hr_siting *left = rooms_with(b, &down);
    assert_string_equal(left->gateways[0].id, "GW2");
    assert_string_equal(left->gateways[0].network_id, "2");
    assert_int_equal(left->failing_count, s->device_count - left->served_devices);
    hr_siting_free(left);
    hr_siting_free(s);
    hr_building_free(b);
}

static void test_capacity_by_recount(void **state)
{
    (void)state;
    hr_building *b = row_of(18, "", "[gateway]\ncapacity = 8\n[device wall]\npower = mains\nrelays = no\n"
                                    "[device unit]\npower = mains\nrelays = no\njoins = wall\n");
    hr_siting *s = placed_with(b, NULL);
    assert_int_equal(s->served_devices, 36);
    assert_true(s->lower_bound >= 5); /* 36 radios, 8 each */
    size_t carried[64] = {0};
    for (size_t d = 0; d < s->device_count; d++) {
        carried[s->devices[d].gateway]++;
    }
    for (size_t g = 0; g < s->gateway_count; g++) {
        assert_true(carried[g] <= 8);
        assert_int_equal(carried[g], s->gateways[g].devices);
    }
    hr_siting_free(s);
    hr_building_free(b);
}

/* EN 300 220: 1 % duty cycle in 868.0-868.6 MHz, 36 s an hour. 60 x 60 ms of one device: ten of them. */
static void test_duty_cycle_by_recount(void **state)
{
    (void)state;
    hr_building *b = row_of(15, "rule = EN300220-868.0\nmessages_per_hour = 60\nairtime_ms = 60\nmax_hops = 3\nrange_limit = 12\n"
                                "first_devices = 1\n",
                            "[device wall]\npower = mains\nrelays = yes\n");
    hr_siting *s = placed_with(b, NULL);
    assert_int_equal(s->served_devices, 15);
    assert_true(s->lower_bound >= 2);
    for (size_t g = 0; g < s->gateway_count; g++) {
        size_t messages = 0; /* in the air once for each hop */
        for (size_t d = 0; d < s->device_count; d++) {
            messages += s->devices[d].gateway == g ? s->devices[d].hops : 0;
        }
        assert_true(messages <= 10);
    }
    hr_siting_free(s);
    hr_building_free(b);
}

static void test_budget(void **state)
{
    (void)state;
    hr_building *b = row_of(50, "", "");
    const hr_siting_options all = {.tables = true};
    hr_siting *s = placed_with(b, &all);
    assert_true(s->gateway_count >= 3);
    assert_int_equal(s->by_count_count, s->gateway_count);
    for (uint32_t k = 1; k <= s->gateway_count; k++) {
        const hr_siting_options few = {.at_most = k};
        hr_siting *t = placed_with(b, &few);
        assert_true(t->gateway_count <= k);
        assert_int_equal(t->at_most, k < s->gateway_count ? k : 0);
        assert_int_equal(s->by_count[k - 1].gateways, k);
        assert_int_equal(s->by_count[k - 1].devices_served, t->served_devices);
        for (size_t d = 0; d < t->device_count; d++) {
            assert_true(t->devices[d].served || strstr(t->devices[d].reason, "--at-most") != NULL);
        }
        hr_siting_free(t);
    }
    hr_siting_free(s);
    hr_building_free(b);
}

static void test_must_and_never(void **state)
{
    (void)state;
    hr_building *b = row_of(10, "", "");
    hr_siting *s = placed_with(b, NULL);
    const char *taken = s->gateways[0].spot, *odd = b->spots[b->spot_count - 1].id;
    assert_string_not_equal(taken, odd);
    const hr_siting_options other = {.must = &odd, .must_count = 1, .never = &taken, .never_count = 1};
    hr_siting *t = placed_with(b, &other);
    bool has_odd = false;
    for (size_t g = 0; g < t->gateway_count; g++) {
        assert_string_not_equal(t->gateways[g].spot, taken);
        has_odd = has_odd || strcmp(t->gateways[g].spot, odd) == 0;
    }
    assert_true(has_odd);
    hr_siting_free(t);
    hr_error err = {.status = HR_OK};
    const char *wrong = "S99999@1";
    const hr_siting_options unknown = {.never = &wrong, .never_count = 1};
    t = NULL;
    assert_int_equal(hr_siting_place(b, &unknown, NULL, &t, &err), HR_ERR_USAGE);
    assert_non_null(strstr(err.text, "--never S99999@1: no spot of this name"));
    const hr_siting_options both = {.must = &odd, .must_count = 1, .never = &odd, .never_count = 1};
    assert_int_equal(hr_siting_place(b, &both, NULL, &t, &err), HR_ERR_INPUT);
    assert_null(t);
    hr_siting_free(s);
    hr_building_free(b);
}

/* Two spots a hand apart: the count is the same, the cheaper label wins either way round. */
static void test_spot_cost_decides_between_equals(void **state)
{
    (void)state;
    static const char *const costs[] = {"spot_cost = closet 1\nspot_cost = hall 2\n", "spot_cost = closet 2\nspot_cost = hall 1\n"};
    for (int i = 0; i < 2; i++) {
        char ini[600];
        (void)snprintf(ini, sizeof ini, INI("", "[gateway]\n%s"), costs[i]);
        hr_text svg = {0};
        corridor_plan(&svg, 5, false,
                      "<g inkscape:label=\"spots: closet\"><circle cx=\"10\" cy=\"-1\" r=\"0.1\"><title>N</title></circle></g>\n"
                      "<g inkscape:label=\"spots: hall\"><circle cx=\"10.2\" cy=\"-1\" r=\"0.1\"><title>H</title></circle></g>\n");
        hr_building *b = property_made(ini, svg.bytes);
        hr_siting *s = placed_with(b, NULL);
        assert_int_equal(s->gateway_count, 1);
        assert_string_equal(s->gateways[0].spot, i == 0 ? "N" : "H");
        check_near(s->gateways[0].spot_cost, 1.0, 0.0);
        hr_siting_free(s);
        hr_building_free(b);
        hr_text_free(&svg);
    }
}

const struct CMUnitTest rule_tests[] = {
    cmocka_unit_test(test_two_gateway_cover_by_removal), cmocka_unit_test(test_single_cover_misses_each_gateway),
    cmocka_unit_test(test_numbers_stay),                 cmocka_unit_test(test_capacity_by_recount),
    cmocka_unit_test(test_duty_cycle_by_recount),        cmocka_unit_test(test_budget),
    cmocka_unit_test(test_must_and_never),               cmocka_unit_test(test_spot_cost_decides_between_equals),
};
const size_t rule_test_count = sizeof rule_tests / sizeof rule_tests[0];
