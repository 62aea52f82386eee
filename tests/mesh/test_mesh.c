/*
 * test_mesh.c - hops, ways and networks against independent searches: breadth
 * first at every threshold, removal of each relay, plain matching.
 *
 * SPDX-License-Identifier: MIT
 */
#include "check.h"

#include "hr_mesh.h"

#include <stdlib.h>

#define MAX_DEVICES 30
#define MAX_GATEWAYS 6
#define NO_LINK INT64_MIN
#define CASES 400

/* A random net as full matrices, from which lists are made: the tests look at the matrices only. */
typedef struct net_case {
    uint32_t devices, gateways, max_hops;
    uint8_t relays[MAX_DEVICES];
    int64_t entry[MAX_GATEWAYS][MAX_DEVICES]; /* NO_LINK: not listed */
    int64_t link[MAX_DEVICES][MAX_DEVICES];
    double dist_m[MAX_GATEWAYS][MAX_DEVICES];
    size_t entry_start[MAX_GATEWAYS + 1], link_start[MAX_DEVICES + 1];
    uint32_t entry_device[MAX_GATEWAYS * MAX_DEVICES], link_peer[MAX_DEVICES * MAX_DEVICES];
    int64_t entry_spare[MAX_GATEWAYS * MAX_DEVICES], link_spare[MAX_DEVICES * MAX_DEVICES];
    hr_mesh_net net;
} net_case;

static uint32_t draw(uint32_t *state, uint32_t below)
{
    *state = *state * 1664525U + 1013904223U;
    return (uint32_t)(((uint64_t)(*state >> 8) * below) >> 24);
}

static void make_lists(net_case *c)
{
    size_t n = 0;
    for (uint32_t g = 0; g < c->gateways; g++) {
        c->entry_start[g] = n;
        for (uint32_t d = 0; d < c->devices; d++) {
            if (c->entry[g][d] != NO_LINK) {
                c->entry_device[n] = d;
                c->entry_spare[n++] = c->entry[g][d];
            }
        }
    }
    c->entry_start[c->gateways] = n;
    n = 0;
    for (uint32_t a = 0; a < c->devices; a++) {
        c->link_start[a] = n;
        for (uint32_t b = 0; b < c->devices; b++) {
            if (c->link[a][b] != NO_LINK) {
                c->link_peer[n] = b;
                c->link_spare[n++] = c->link[a][b];
            }
        }
    }
    c->link_start[c->devices] = n;
    c->net = (hr_mesh_net){c->devices,      c->gateways,    c->max_hops,   c->relays,    c->entry_start,
                           c->entry_device, c->entry_spare, c->link_start, c->link_peer, c->link_spare};
}

/* Spares from few levels, so that ties come up; about a third do not hold. */
static int64_t draw_spare(uint32_t *state)
{
    return ((int64_t)draw(state, 12) - 4) * 1000000;
}

static void make_case(net_case *c, uint32_t seed)
{
    uint32_t s = seed * 2654435761U + 1;
    *c = (net_case){.devices = 4 + draw(&s, MAX_DEVICES - 4), .gateways = 1 + draw(&s, MAX_GATEWAYS)};
    c->max_hops = 1 + draw(&s, 6);
    const uint32_t density = 1 + draw(&s, 3);
    for (uint32_t a = 0; a < c->devices; a++) {
        c->relays[a] = draw(&s, 4) > 0;
        for (uint32_t g = 0; g < c->gateways; g++) {
            c->entry[g][a] = draw(&s, 8) < density ? draw_spare(&s) : NO_LINK;
            c->dist_m[g][a] = 1 + draw(&s, 20);
        }
        c->link[a][a] = NO_LINK;
        for (uint32_t b = 0; b < a; b++) {
            c->link[a][b] = c->link[b][a] = draw(&s, 10) < density ? draw_spare(&s) : NO_LINK;
        }
    }
    make_lists(c);
}

static double case_distance(void *user, uint32_t gateway, uint32_t device)
{
    const net_case *c = user;
    return c->dist_m[gateway][device];
}

/* Fewest hops over links of at least `least`, gateways by mask, one device taken out: plain sweeps. */
static void sweep(const net_case *c, uint32_t gateway_mask, int64_t least, uint32_t failed, uint32_t *hops)
{
    for (uint32_t d = 0; d < c->devices; d++) {
        hops[d] = 0;
        for (uint32_t g = 0; g < c->gateways; g++) {
            if ((gateway_mask >> g & 1) && c->entry[g][d] != NO_LINK && c->entry[g][d] >= least && d != failed) {
                hops[d] = 1;
            }
        }
    }
    for (uint32_t h = 1; h < c->max_hops; h++) {
        for (uint32_t a = 0; a < c->devices; a++) {
            for (uint32_t b = 0; b < c->devices; b++) {
                if (hops[a] == h && c->relays[a] && hops[b] == 0 && b != failed && c->link[a][b] != NO_LINK &&
                    c->link[a][b] >= least) {
                    hops[b] = h + 1;
                }
            }
        }
    }
}

/* Widest way: the highest threshold at which a device is still reached. */
static void widest(const net_case *c, uint32_t gateway_mask, int64_t *spare)
{
    uint32_t hops[MAX_DEVICES];
    for (uint32_t d = 0; d < c->devices; d++) {
        spare[d] = INT64_MIN;
    }
    for (int64_t t = 0; t <= 8; t++) {
        sweep(c, gateway_mask, t * 1000000, UINT32_MAX, hops);
        for (uint32_t d = 0; d < c->devices; d++) {
            spare[d] = hops[d] ? t * 1000000 : spare[d];
        }
    }
}

static void reach_is_what_breadth_first_finds(void **state)
{
    (void)state;
    static net_case c;
    size_t seen = 0;
    for (uint32_t seed = 0; seed < CASES; seed++) {
        make_case(&c, seed);
        assert_int_equal(hr_mesh_check(&c.net, NULL), HR_OK);
        hr_mesh_reach reach;
        assert_int_equal(hr_mesh_reach_all(&c.net, &reach, NULL), HR_OK);
        for (uint32_t g = 0; g < c.gateways; g++) {
            uint32_t hops[MAX_DEVICES];
            int64_t spare[MAX_DEVICES];
            sweep(&c, 1U << g, 0, UINT32_MAX, hops);
            widest(&c, 1U << g, spare);
            size_t at = reach.start[g];
            for (uint32_t d = 0; d < c.devices; d++) {
                if (hops[d]) {
                    assert_true(at < reach.start[g + 1]);
                    assert_int_equal(reach.device[at], d);
                    assert_int_equal(reach.hops[at], hops[d]);
                    assert_int_equal(reach.direct[at], hops[d] == 1);
                    assert_true(reach.spare[at] == spare[d]);
                    at++;
                    seen += hops[d] > 1;
                }
            }
            assert_int_equal(at, reach.start[g + 1]);
        }
        hr_mesh_reach_free(&reach);
    }
    assert_true(seen > 1000);
}

/* What holds of every answer, whatever the rules. Returns how many joined. */
static size_t check_joined(const net_case *c, const hr_mesh_joined *j, const hr_mesh_rules *rules)
{
    uint32_t children[MAX_DEVICES] = {0}, reach[MAX_DEVICES];
    uint64_t carried[MAX_GATEWAYS] = {0};
    size_t count = 0;
    sweep(c, (1U << c->gateways) - 1, 0, UINT32_MAX, reach);
    for (uint32_t d = 0; d < c->devices; d++) {
        if (j[d].state != HR_MESH_JOINED) {
            assert_int_equal(j[d].gateway, HR_MESH_NONE);
            assert_int_equal(j[d].hops, 0);
            assert_int_equal(j[d].state == HR_MESH_OUT_OF_REACH, reach[d] == 0);
            continue;
        }
        count++;
        assert_true(j[d].hops >= 1 && j[d].hops <= c->max_hops && j[d].hops >= reach[d]);
        carried[j[d].gateway] += rules->load ? rules->load[d] : 1;
        if (j[d].via == HR_MESH_NONE) {
            assert_int_equal(j[d].hops, 1);
            assert_true(j[d].own_spare == c->entry[j[d].gateway][d] && j[d].spare == j[d].own_spare);
        } else {
            const hr_mesh_joined *p = &j[j[d].via];
            assert_true(p->state == HR_MESH_JOINED && p->gateway == j[d].gateway && c->relays[j[d].via]);
            assert_int_equal(j[d].hops, p->hops + 1);
            assert_true(j[d].own_spare == c->link[j[d].via][d]);
            assert_true(j[d].spare == (p->spare < j[d].own_spare ? p->spare : j[d].own_spare));
            children[j[d].via]++;
        }
        assert_true(j[d].spare >= 0);
    }
    for (uint32_t d = 0; d < c->devices; d++) {
        assert_int_equal(children[d], j[d].children);
        assert_true(rules->max_children == 0 || children[d] <= rules->max_children);
    }
    for (uint32_t g = 0; g < c->gateways; g++) {
        assert_true(!rules->capacity || rules->capacity[g] == 0 || carried[g] <= rules->capacity[g]);
    }
    return count;
}

static const uint32_t all_gateways[MAX_GATEWAYS] = {0, 1, 2, 3, 4, 5};

static void without_limits_all_in_reach_join(void **state)
{
    (void)state;
    static net_case c;
    hr_mesh_joined j[MAX_DEVICES];
    for (uint32_t seed = 0; seed < CASES; seed++) {
        make_case(&c, seed);
        const hr_mesh_rules rules = {.distance_m = case_distance, .user = &c};
        assert_int_equal(hr_mesh_join(&c.net, all_gateways, c.gateways, &rules, j, NULL), HR_OK);
        check_joined(&c, j, &rules);
        for (uint32_t d = 0; d < c.devices; d++) {
            assert_int_not_equal(j[d].state, HR_MESH_NO_ROOM);
        }
    }
}

/* One gateway and hops to spare: a widest-path tree gives every device its widest way. */
static void with_hops_to_spare_ways_are_widest(void **state)
{
    (void)state;
    static net_case c;
    hr_mesh_joined j[MAX_DEVICES];
    int64_t spare[MAX_DEVICES];
    size_t longer = 0;
    for (uint32_t seed = 0; seed < CASES; seed++) {
        make_case(&c, seed);
        c.max_hops = c.net.max_hops = c.devices;
        const uint32_t gateway = seed % c.gateways;
        assert_int_equal(hr_mesh_join(&c.net, &gateway, 1, NULL, j, NULL), HR_OK);
        widest(&c, 1U << gateway, spare);
        for (uint32_t d = 0; d < c.devices; d++) {
            assert_true(j[d].spare == spare[d]);
            longer += j[d].hops > 1;
        }
    }
    assert_true(longer > 1000);
}

static void direct_devices_follow_the_rule(void **state)
{
    (void)state;
    static net_case c;
    hr_mesh_joined j[MAX_DEVICES];
    size_t not_best = 0;
    for (uint32_t seed = 0; seed < CASES; seed++) {
        make_case(&c, seed);
        c.max_hops = c.net.max_hops = 1;
        const hr_mesh_rules rules = {.max_children = 2, .distance_m = case_distance, .user = &c};
        assert_int_equal(hr_mesh_join(&c.net, all_gateways, c.gateways, &rules, j, NULL), HR_OK);
        for (uint32_t d = 0; d < c.devices; d++) {
            int64_t most = -1;
            for (uint32_t g = 0; g < c.gateways; g++) {
                most = c.entry[g][d] > most ? c.entry[g][d] : most;
            }
            uint32_t want = HR_MESH_NONE;
            for (uint32_t g = 0; g < c.gateways; g++) {
                if (c.entry[g][d] < 0 || c.entry[g][d] < most - 3000000) {
                    continue;
                }
                if (want == HR_MESH_NONE || c.dist_m[g][d] < c.dist_m[want][d] ||
                    (c.dist_m[g][d] <= c.dist_m[want][d] && c.entry[g][d] > c.entry[want][d])) {
                    want = g;
                }
            }
            assert_int_equal(j[d].gateway, want);
            not_best += want != HR_MESH_NONE && c.entry[want][d] < most;
        }
    }
    assert_true(not_best > 100);
}

static void limits_are_kept(void **state)
{
    (void)state;
    static net_case c;
    hr_mesh_joined j[MAX_DEVICES];
    size_t left_over = 0;
    for (uint32_t seed = 0; seed < CASES; seed++) {
        make_case(&c, seed);
        uint32_t capacity[MAX_GATEWAYS], load[MAX_DEVICES], s = seed + 77;
        for (uint32_t g = 0; g < c.gateways; g++) {
            capacity[g] = draw(&s, 12); /* 0: no limit */
        }
        for (uint32_t d = 0; d < c.devices; d++) {
            load[d] = 1 + draw(&s, 3);
        }
        const hr_mesh_rules rules = {1 + draw(&s, 3), seed % 3 ? capacity : NULL, seed % 2 ? load : NULL, case_distance,
                                     &c};
        assert_int_equal(hr_mesh_join(&c.net, all_gateways, c.gateways, &rules, j, NULL), HR_OK);
        left_over += c.devices - check_joined(&c, j, &rules);
    }
    assert_true(left_over > 0);
}

/* Kuhn's matching, one place at a time. */
static bool find_place(const net_case *c, const uint32_t *capacity, uint32_t d, bool *tried, uint32_t *at)
{
    for (uint32_t g = 0; g < c->gateways; g++) {
        if (c->entry[g][d] < 0 || tried[g]) {
            continue;
        }
        tried[g] = true;
        uint32_t used = 0;
        for (uint32_t e = 0; e < c->devices; e++) {
            used += at[e] == g;
        }
        bool room = used < capacity[g];
        for (uint32_t e = 0; e < c->devices && !room; e++) {
            room = at[e] == g && find_place(c, capacity, e, tried, at);
        }
        if (room) {
            at[d] = g;
            return true;
        }
    }
    return false;
}

static void direct_capacity_is_used_to_the_full(void **state)
{
    (void)state;
    static net_case c;
    hr_mesh_joined j[MAX_DEVICES];
    size_t short_cases = 0;
    for (uint32_t seed = 0; seed < CASES; seed++) {
        make_case(&c, seed);
        c.max_hops = c.net.max_hops = 1;
        uint32_t capacity[MAX_GATEWAYS], at[MAX_DEVICES], s = seed, reach = 0;
        for (uint32_t g = 0; g < c.gateways; g++) {
            capacity[g] = 1 + draw(&s, 5);
        }
        const hr_mesh_rules rules = {.capacity = capacity, .distance_m = case_distance, .user = &c};
        assert_int_equal(hr_mesh_join(&c.net, all_gateways, c.gateways, &rules, j, NULL), HR_OK);
        memset(at, 0xff, sizeof at);
        size_t most = 0;
        for (uint32_t d = 0; d < c.devices; d++) {
            bool tried[MAX_GATEWAYS] = {false};
            most += find_place(&c, capacity, d, tried, at);
            reach += j[d].state != HR_MESH_OUT_OF_REACH;
        }
        assert_int_equal(check_joined(&c, j, &rules), most);
        short_cases += most < reach;
    }
    assert_true(short_cases > 20);
}

static void sole_relays_are_what_removal_finds(void **state)
{
    (void)state;
    static net_case c;
    size_t found = 0;
    for (uint32_t seed = 0; seed < CASES; seed++) {
        make_case(&c, seed);
        uint32_t whole[MAX_DEVICES], left[MAX_DEVICES];
        const uint32_t mask = (1U << c.gateways) - 1;
        hr_mesh_sole *list = NULL;
        size_t count = 0, at = 0;
        assert_int_equal(hr_mesh_sole_relays(&c.net, all_gateways, c.gateways, &list, &count, NULL), HR_OK);
        sweep(&c, mask, 0, UINT32_MAX, whole);
        for (uint32_t r = 0; r < c.devices; r++) {
            sweep(&c, mask, 0, r, left);
            uint32_t cut = 0;
            for (uint32_t d = 0; d < c.devices; d++) {
                cut += d != r && whole[d] && !left[d];
            }
            if (cut > 0) {
                assert_true(at < count);
                assert_int_equal(list[at].device, r);
                assert_int_equal(list[at].cut_off, cut);
                at++;
            }
        }
        assert_int_equal(at, count);
        found += count;
        hr_free(list);
    }
    assert_true(found > 100);
}

/*
 * By hand. Device 0 hears gateway 0 with 10 dB; 1 hears the gateway with 1 dB
 * and device 0 with 8 dB; 2 hears only device 1, with 5 dB. With three hops all
 * take the widest way. With two, device 1 has to stay direct, or 2 would be lost.
 */
static void ways_shorten_for_those_behind(void **state)
{
    (void)state;
    static net_case c;
    c = (net_case){.devices = 3, .gateways = 1, .max_hops = 3, .relays = {1, 1, 1}};
    for (uint32_t a = 0; a < 3; a++) {
        for (uint32_t b = 0; b < 3; b++) {
            c.link[a][b] = NO_LINK;
        }
    }
    c.entry[0][0] = 10000000;
    c.entry[0][1] = 1000000;
    c.entry[0][2] = NO_LINK;
    c.link[0][1] = c.link[1][0] = 8000000;
    c.link[1][2] = c.link[2][1] = 5000000;
    make_lists(&c);
    hr_mesh_joined j[MAX_DEVICES];
    assert_int_equal(hr_mesh_join(&c.net, all_gateways, 1, NULL, j, NULL), HR_OK);
    assert_int_equal(j[1].via, 0);
    assert_true(j[1].spare == 8000000 && j[2].spare == 5000000);
    assert_int_equal(j[2].hops, 3);
    c.net.max_hops = 2;
    assert_int_equal(hr_mesh_join(&c.net, all_gateways, 1, NULL, j, NULL), HR_OK);
    assert_int_equal(j[1].via, HR_MESH_NONE);
    assert_true(j[1].spare == 1000000 && j[2].spare == 1000000);
    assert_int_equal(j[2].hops, 2);
    c.net.max_hops = 1;
    assert_int_equal(hr_mesh_join(&c.net, all_gateways, 1, NULL, j, NULL), HR_OK);
    assert_int_equal(j[2].state, HR_MESH_OUT_OF_REACH);
}

/* Two gateways; 2.9 dB less spare but closer wins, 3.1 dB less does not. */
static void the_closest_within_three_db(void **state)
{
    (void)state;
    static net_case c;
    c = (net_case){.devices = 2, .gateways = 2, .max_hops = 1};
    c.entry[0][0] = c.entry[0][1] = 9000000;
    c.entry[1][0] = 6100000;
    c.entry[1][1] = 5900000;
    for (uint32_t d = 0; d < 2; d++) {
        c.dist_m[0][d] = 20;
        c.dist_m[1][d] = 10;
        c.link[0][d] = c.link[1][d] = NO_LINK;
    }
    make_lists(&c);
    c.net.link_start = NULL; /* the direct case needs no lists of links, and no relays */
    c.net.relays = NULL;
    const hr_mesh_rules rules = {.distance_m = case_distance, .user = &c};
    hr_mesh_joined j[MAX_DEVICES];
    assert_int_equal(hr_mesh_check(&c.net, NULL), HR_OK);
    assert_int_equal(hr_mesh_join(&c.net, all_gateways, 2, &rules, j, NULL), HR_OK);
    assert_int_equal(j[0].gateway, 1);
    assert_int_equal(j[1].gateway, 0);
    /* without distances the spare decides */
    assert_int_equal(hr_mesh_join(&c.net, all_gateways, 2, NULL, j, NULL), HR_OK);
    assert_int_equal(j[0].gateway, 0);
}

static void bad_nets_are_refused(void **state)
{
    (void)state;
    static net_case c;
    hr_error err;
    make_case(&c, 7);
    c.link[0][1] = c.link[1][0] = 2000000;
    make_lists(&c);
    assert_int_equal(hr_mesh_check(&c.net, &err), HR_OK);
    c.link_spare[0] = 2000001; /* one spare at one end, another at the other */
    assert_int_equal(hr_mesh_check(&c.net, &err), HR_ERR_ARGUMENT);
    make_lists(&c);
    c.net.max_hops = 0;
    assert_int_equal(hr_mesh_check(&c.net, &err), HR_ERR_ARGUMENT);
    make_lists(&c);
    c.link_peer[0] = c.devices;
    assert_int_equal(hr_mesh_check(&c.net, &err), HR_ERR_ARGUMENT);
    make_lists(&c);
    c.entry_start[0] = 1;
    assert_int_equal(hr_mesh_check(&c.net, &err), HR_ERR_ARGUMENT);
    make_lists(&c);
    const uint32_t twice[2] = {0, 0}, outside = c.gateways;
    hr_mesh_joined j[MAX_DEVICES];
    hr_mesh_sole *list = NULL;
    size_t count = 0;
    assert_int_equal(hr_mesh_join(&c.net, twice, 2, NULL, j, &err), HR_ERR_ARGUMENT);
    assert_int_equal(hr_mesh_sole_relays(&c.net, &outside, 1, &list, &count, &err), HR_ERR_ARGUMENT);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reach_is_what_breadth_first_finds),
        cmocka_unit_test(without_limits_all_in_reach_join),
        cmocka_unit_test(with_hops_to_spare_ways_are_widest),
        cmocka_unit_test(direct_devices_follow_the_rule),
        cmocka_unit_test(limits_are_kept),
        cmocka_unit_test(direct_capacity_is_used_to_the_full),
        cmocka_unit_test(sole_relays_are_what_removal_finds),
        cmocka_unit_test(ways_shorten_for_those_behind),
        cmocka_unit_test(the_closest_within_three_db),
        cmocka_unit_test(bad_nets_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
