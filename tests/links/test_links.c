/*
 * test_links.c - crossings and budgets: by hand, by published figures, and
 * against a naive second reading on random small buildings.
 *
 * SPDX-License-Identifier: MIT
 */
#include "../check.h"
#include "links_tests.h"
#include "made.h"

#include "hr_links.h"
#include "hr_stats.h"

static const hr_terminal even_radio = {.tx_power_dbm = 10.0, .sensitivity_dbm = -100.0};

static hr_end end_at(double x, double y, double z)
{
    return (hr_end){.at = {x, y}, .z_m = z, .radio = &even_radio};
}

static double loss_between(const hr_links *links, hr_end a, hr_end b)
{
    hr_link_work work = {0};
    hr_link link;
    assert_int_equal(hr_links_cross(links, &work, &a, &b, &link, NULL), HR_OK);
    hr_links_work_free(&work);
    return link.path_loss_db;
}

/* What is in the way beyond the distance term. */
static double extra(const naive_building *naive, hr_end a, hr_end b)
{
    hr_building *building = made_building(naive);
    hr_links *links = NULL;
    assert_int_equal(hr_links_new(building, &links, NULL), HR_OK);
    hr_link_work work = {0};
    hr_link link, back;
    assert_int_equal(hr_links_cross(links, &work, &a, &b, &link, NULL), HR_OK);
    assert_int_equal(hr_links_cross(links, &work, &b, &a, &back, NULL), HR_OK);
    assert_true(memcmp(&link.path_loss_db, &back.path_loss_db, sizeof link.path_loss_db) == 0); /* symmetric to the bit */
    hr_links_work_free(&work);
    hr_links_free(links);
    hr_building_free(building);
    return link.path_loss_db - link.spread_loss_db;
}

static naive_building one_storey(void)
{
    naive_building b = {.freq_mhz = 868.0, .exponent = 2.0, .storey_count = 1};
    b.storeys[0].slab_loss = 15.0;
    /* a wall far off, so that the plan has one */
    b.storeys[0].walls[0] = (naive_line){-30, -30, -29, -30, 1.0, 0, 0};
    b.storeys[0].wall_count = 1;
    return b;
}

static void add_wall(naive_building *b, double ax, double ay, double bx, double by, double loss)
{
    naive_storey *s = &b->storeys[0];
    s->walls[s->wall_count++] = (naive_line){ax, ay, bx, by, loss, 0, 0};
}

static void add_door(naive_building *b, double ax, double ay, double bx, double by, double loss, double low, double high)
{
    naive_storey *s = &b->storeys[0];
    s->openings[s->opening_count++] = (naive_line){ax, ay, bx, by, loss, low, high};
}

/* A ray through the corner that two walls share meets one joint, not two walls or none. */
static void test_through_a_corner(void **state)
{
    (void)state;
    naive_building b = one_storey();
    add_wall(&b, 5, 5, 10, 5, 4.0);
    add_wall(&b, 5, 5, 5, 10, 7.0);
    check_near(extra(&b, end_at(2, 2, 1), end_at(8, 8, 1)), 7.0, 1e-9);
    check_near(extra(&b, end_at(4, 6, 1), end_at(6, 4, 1)), 7.0, 1e-9);
    /* 5 cm beside the corner both walls are there */
    check_near(extra(&b, end_at(4, 6.1, 1), end_at(6.1, 4, 1)), 11.0, 1e-9);
    /* two leaves 5 mm apart do not touch: both count, though within a centimetre of each other */
    add_wall(&b, 20, -5, 20, 5, 4.0);
    add_wall(&b, 20.005, -5, 20.005, 5, 3.0);
    check_near(extra(&b, end_at(15, 0, 1), end_at(25, 1, 1)), 7.0, 1e-9);
    /* 0.15 m of wall along the ray are one passage */
    add_wall(&b, 30, 0, 30.15, 0, 2.0);
    check_near(extra(&b, end_at(28, 0, 1), end_at(32, 0, 1)), 2.0, 1e-9);
}

/* A wall split in two changes nothing, through the split and beside it. */
static void test_split_wall(void **state)
{
    (void)state;
    naive_building whole = one_storey(), split = one_storey();
    add_wall(&whole, 5, 0, 5, 10, 6.0);
    add_wall(&split, 5, 0, 5, 3.7, 6.0);
    add_wall(&split, 5, 3.7, 5, 10, 6.0);
    const double places[] = {1.0, 3.695, 3.7, 3.705, 8.0};
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        const hr_end a = end_at(1, places[i], 1), c = end_at(9, places[i], 1);
        check_near(extra(&split, a, c), extra(&whole, a, c), 1e-9);
        check_near(extra(&split, a, c), 6.0, 1e-9);
    }
}

static void test_t_joint_along_and_zero_length(void **state)
{
    (void)state;
    naive_building b = one_storey();
    add_wall(&b, 0, 5, 10, 5, 6.0); /* the bar of the T */
    add_wall(&b, 5, 5, 5, 10, 3.0); /* its stem */
    check_near(extra(&b, end_at(5.001, 2, 1), end_at(4.999, 8, 1)), 6.0, 1e-9); /* through the joint and along the stem: touching walls within a centimetre */
    check_near(extra(&b, end_at(2, 7, 1), end_at(8, 7, 1)), 3.0, 1e-9);  /* the stem alone */
    /* along the whole bar: once; the stem's foot stands in it and is met there */
    check_near(extra(&b, end_at(-1, 5, 1), end_at(11, 5, 1)), 9.0, 1e-9);
    /* an end inside the bar hangs on it */
    check_near(extra(&b, end_at(-1, 5, 1), end_at(4, 5, 1)), 0.0, 1e-9);
    /* ends at the same place in plan cross no wall */
    check_near(extra(&b, end_at(5, 5, 0.5), end_at(5, 5, 2.5)), 0.0, 1e-9);
}

/* Coincident walls merge at reading, the larger loss staying. */
static void test_coincident_walls(void **state)
{
    (void)state;
    naive_building b = one_storey();
    add_wall(&b, 5, 0, 5, 6, 6.0);
    add_wall(&b, 5, 4, 5, 10, 9.0);
    check_near(extra(&b, end_at(1, 2, 1), end_at(9, 2, 1)), 6.0, 1e-9);
    check_near(extra(&b, end_at(1, 5, 1), end_at(9, 5, 1)), 9.0, 1e-9);
    check_near(extra(&b, end_at(1, 8, 1), end_at(9, 8, 1)), 9.0, 1e-9);
}

/* So does an own material that has a stack of layers and no stated loss, whichever is drawn first:
 * concrete 300 mm loses 10.65 dB at 915 MHz (ITU-R P.2040-3, computed), brick-200 9 dB by its row. */
static void test_coincident_stacks(void **state)
{
    (void)state;
    static const char own[] = "<g inkscape:label=\"walls: own\"><path d=\"M5,0V10\" stroke=\"#000\"/></g>";
    static const char brick[] = "<g inkscape:label=\"walls: brick-200\"><path d=\"M5,0V10\" stroke=\"#000\"/></g>";
    static const char *const models[] = {"multi-wall", "routes"}, *const layers[] = {"concrete 300", "plasterboard 13"};
    const double expected[2][2] = {{10.65, 10.65}, {9.0, 5.23}}; /* brick 200 mm as a slab 5.23 dB */
    for (int k = 0; k < 8; k++) {
        char text[200], groups[400];
        (void)snprintf(text, sizeof text, "frequency_mhz = 915\nmodel = %s\n[material own]\nlayers = %s\n[storey 1]\nplan = plan.svg\n",
                       models[k & 1], layers[(k >> 1) & 1]);
        (void)snprintf(groups, sizeof groups, "%s%s", k < 4 ? own : brick, k < 4 ? brick : own);
        links_case c = case_of(text, groups);
        check_near(case_cross(&c, end_at(1, 5, 1), end_at(9, 5, 1)).wall_loss_db, expected[(k >> 1) & 1][k & 1], 0.006);
        case_done(&c);
    }
}

/* A device hangs on its wall: within 1 cm of it the wall is not crossed. */
static void test_end_on_a_wall(void **state)
{
    (void)state;
    naive_building b = one_storey();
    add_wall(&b, 5, 0, 5, 10, 6.0);
    check_near(extra(&b, end_at(4.991, 5, 1), end_at(9, 6, 1)), 0.0, 1e-9);
    check_near(extra(&b, end_at(4.98, 5, 1), end_at(9, 6, 1)), 6.0, 1e-9);
}

static void test_openings_by_height(void **state)
{
    (void)state;
    naive_building b = one_storey();
    add_wall(&b, 5, 0, 5, 10, 9.0);
    add_door(&b, 5, 4, 5, 5, 2.5, 0.0, 2.05);
    check_near(extra(&b, end_at(1, 4.5, 1), end_at(9, 4.5, 1)), 2.5, 1e-9);     /* through the leaf */
    check_near(extra(&b, end_at(1, 4.5, 2.2), end_at(9, 4.5, 2.2)), 9.0, 1e-9); /* over it */
    check_near(extra(&b, end_at(1, 4.5, 2.05), end_at(9, 4.5, 2.05)), 2.5, 1e-9); /* closed interval */
    check_near(extra(&b, end_at(1, 4.0, 1), end_at(9, 4.0, 1)), 2.5, 1e-9);     /* at the jamb the opening wins */
    check_near(extra(&b, end_at(1, 3.9, 1), end_at(9, 3.9, 1)), 9.0, 1e-9);
    add_door(&b, 5, 4.5, 5, 6, 1.5, 0.0, 2.05); /* where two overlap: the smaller loss */
    check_near(extra(&b, end_at(1, 4.75, 1), end_at(9, 4.75, 1)), 1.5, 1e-9);
}

static void test_gaps_and_free_openings(void **state)
{
    (void)state;
    naive_building b = one_storey();
    add_wall(&b, 5, 0, 5, 4, 9.0);
    add_wall(&b, 5, 5, 5, 10, 7.0);
    check_near(extra(&b, end_at(1, 4.5, 1), end_at(9, 4.5, 1)), 0.0, 1e-9); /* an open gap */
    add_door(&b, 5, 4.05, 5, 4.95, 2.5, 0.0, 2.05);
    check_near(extra(&b, end_at(1, 4.5, 1), end_at(9, 4.5, 1)), 2.5, 1e-9);
    check_near(extra(&b, end_at(1, 4.02, 1), end_at(9, 4.02, 1)), 2.5, 1e-9);    /* the frame's slit */
    check_near(extra(&b, end_at(1, 4.5, 2.3), end_at(9, 4.5, 2.3)), 9.0, 1e-9); /* above: the heavier neighbour */
    add_door(&b, 20, 4, 20, 5, 3.0, 0.0, 2.05);                                  /* stands on no wall */
    check_near(extra(&b, end_at(18, 4.5, 1), end_at(22, 4.5, 1)), 3.0, 1e-9);
    check_near(extra(&b, end_at(18, 4.5, 2.3), end_at(22, 4.5, 2.3)), 0.0, 1e-9);
}

/* Two leaves of a cavity wall with one door: the door's loss once. */
static void test_opening_through_two_leaves(void **state)
{
    (void)state;
    naive_building b = one_storey();
    add_wall(&b, 5.0, 0, 5.0, 10, 5.0);
    add_wall(&b, 5.2, 0, 5.2, 10, 6.0);
    check_near(extra(&b, end_at(1, 2, 1), end_at(9, 2, 1)), 11.0, 1e-9);
    add_door(&b, 5.1, 4, 5.1, 5, 2.5, 0.0, 2.05);
    check_near(extra(&b, end_at(1, 4.5, 1), end_at(9, 4.5, 1)), 2.5, 1e-9);
}

static void test_solids(void **state)
{
    (void)state;
    naive_building b = one_storey();
    naive_storey *s = &b.storeys[0];
    s->solids[s->solid_count++] = (naive_box){4, 0, 4.2, 10, 8.0, 0, 0};
    check_near(extra(&b, end_at(1, 2, 1), end_at(9, 2, 1)), 8.0, 1e-9);      /* a passage counts once */
    check_near(extra(&b, end_at(4.1, 2, 1), end_at(9, 2, 1)), 8.0, 1e-9);    /* one that holds an end too */
    check_near(extra(&b, end_at(3.995, 2, 1), end_at(1, 2, 1)), 0.0, 1e-9);  /* hangs on the face */
    check_near(extra(&b, end_at(4.005, 2, 1), end_at(1, 2.2, 1)), 0.0, 1e-9); /* 5 mm inside the face, going out */
    s->openings[s->opening_count++] = (naive_line){4.1, 1.5, 4.1, 2.5, 2.0, 0.0, 2.05};
    check_near(extra(&b, end_at(1, 2, 1), end_at(9, 2, 1)), 2.0, 1e-9); /* a door drawn through the body */
    check_near(extra(&b, end_at(1, 2, 2.2), end_at(9, 2, 2.2)), 8.0, 1e-9);
}

static naive_building stacked(size_t storeys, double slab)
{
    naive_building b = one_storey();
    b.storey_count = storeys;
    for (size_t s = 1; s < storeys; s++) {
        b.storeys[s] = b.storeys[0];
        b.storeys[s].floor = 3.0 * (double)s;
        b.storeys[s].slab_loss = slab;
    }
    return b;
}

/* COST 231 Final Report ch. 4.7, eq. 4.7.2 with Lf = 18.3 dB: floors 1 to 3. */
static void test_floors_as_cost_231(void **state)
{
    (void)state;
    naive_building b = stacked(4, 18.3);
    const double expected[] = {18.300, 33.524, 43.589};
    for (size_t floors = 1; floors <= 3; floors++) {
        check_near(extra(&b, end_at(1, 1, 1), end_at(2, 1, 1 + 3.0 * (double)floors)), expected[floors - 1], 0.0005);
    }
    /* an end exactly on the slab's plane belongs to the upper storey */
    check_near(extra(&b, end_at(1, 1, 1), end_at(2, 1, 3.0)), 18.3, 1e-9);
    check_near(extra(&b, end_at(1, 1, 3.0), end_at(2, 1, 4.0)), 0.0, 1e-9);
}

static void test_unlike_slabs_and_voids(void **state)
{
    (void)state;
    naive_building b = stacked(3, 10.0);
    b.storeys[2].slab_loss = 20.0;
    const double second = pow(2.0, 4.0 / 3.0 - 0.46) - 1.0;
    check_near(extra(&b, end_at(1, 1, 1), end_at(2, 1, 7)), 20.0 + 10.0 * second, 1e-9); /* the heavier one in full */
    b.storeys[1].voids[b.storeys[1].void_count++] = (naive_box){0, 0, 4, 4, 0, 0, 0};
    check_near(extra(&b, end_at(1, 1, 1), end_at(2, 1, 7)), 20.0, 1e-9);
    check_near(extra(&b, end_at(8, 8, 1), end_at(9, 8, 7)), 20.0 + 10.0 * second, 1e-9);
}

/* On each storey only the walls crossed by that part of the link count. */
static void test_link_cut_at_the_slab(void **state)
{
    (void)state;
    naive_building b = stacked(2, 10.0);
    b.storeys[0].walls[b.storeys[0].wall_count++] = (naive_line){2, -5, 2, 5, 3.0, 0, 0};
    b.storeys[0].walls[b.storeys[0].wall_count++] = (naive_line){8, -5, 8, 5, 4.0, 0, 0};
    b.storeys[1].walls[b.storeys[1].wall_count++] = (naive_line){2, -5, 2, 5, 5.0, 0, 0};
    b.storeys[1].walls[b.storeys[1].wall_count++] = (naive_line){8, -5, 8, 5, 6.0, 0, 0};
    /* from (0, 1 m) to (10, 5 m): the plane at 3 m is met at x = 5 */
    check_near(extra(&b, end_at(0, 0, 1), end_at(10, 0, 5)), 10.0 + 3.0 + 6.0, 1e-9);
}

/* A solid that stands on both storeys, pierced at the slab, counts once in all. */
static void test_solid_through_a_slab(void **state)
{
    (void)state;
    naive_building b = stacked(2, 10.0);
    for (size_t s = 0; s < 2; s++) {
        b.storeys[s].solids[b.storeys[s].solid_count++] = (naive_box){4, -1, 6, 1, 7.0, 0, 0};
    }
    check_near(extra(&b, end_at(0, 0, 1), end_at(10, 0, 5)), 10.0 + 7.0, 1e-9);
}

/* COST 231 example: 868 MHz, 15 m, two light walls 3.4, one heavy 6.9, one
 * floor 18.3 dB, Lc = 0: 86.74 dB (computed from eq. 4.7.2). */
static void test_cost_231_example(void **state)
{
    (void)state;
    naive_building b = stacked(2, 18.3);
    for (size_t s = 0; s < 2; s++) {
        naive_storey *st = &b.storeys[s];
        st->walls[st->wall_count++] = (naive_line){s == 0 ? 2.0 : 8.0, -5, s == 0 ? 2.0 : 8.0, 5, 3.4, 0, 0};
    }
    b.storeys[0].walls[b.storeys[0].wall_count++] = (naive_line){3, -5, 3, 5, 6.9, 0, 0};
    hr_building *building = made_building(&b);
    hr_links *links = NULL;
    assert_int_equal(hr_links_new(building, &links, NULL), HR_OK);
    const double flat = sqrt(15.0 * 15.0 - 3.0 * 3.0);
    check_near(loss_between(links, end_at(0, 0, 1.5), end_at(flat, 0, 4.5)), 86.74, 0.005);
    hr_links_free(links);
    hr_building_free(building);
}

/* Both directions are budgeted, the weaker is reported; margins by hand. */
static void test_budget(void **state)
{
    (void)state;
    naive_building b = one_storey();
    hr_building *building = made_building(&b);
    hr_links *links = NULL;
    assert_int_equal(hr_links_new(building, &links, NULL), HR_OK);
    const hr_terminal gateway = {.tx_power_dbm = 14.0, .antenna_gain_dbi = 2.0, .sensitivity_dbm = -105.0};
    const hr_terminal device = {.tx_power_dbm = 10.0, .antenna_gain_dbi = -1.0, .sensitivity_dbm = -100.0};
    hr_end child = end_at(0, 0, 1), parent = end_at(10, 0, 1);
    child.radio = &device;
    parent.radio = &gateway;
    hr_link_work work = {0};
    hr_link link;
    assert_int_equal(hr_links_measure(links, &work, &child, &parent, &link, NULL), HR_OK);
    /* free space at 868 MHz and 10 m: 51.22 dB (ITU-R P.525) */
    check_near(link.path_loss_db, 51.22, 0.005);
    /* down: 14 + 2 - 1 - 51.22 = -36.22 dBm, 63.78 dB over -100; up: -40.22 dBm, 64.78 dB over -105 */
    assert_int_equal(link.direction, HR_DOWN);
    check_near(link.received_dbm, -36.22, 0.005);
    check_near(link.link_margin_db, 63.78 - 3.0, 0.005); /* noise rise below 1 GHz, assumed */
    /* sigma: sqrt(5.8^2 + 5.0^2); required: 1.64485 sigma (P = 0.95, one-sided) */
    check_near(link.sigma_db, sqrt(5.8 * 5.8 + 25.0), 1e-12);
    check_near(link.required_margin_db, 1.64485 * link.sigma_db, 5e-5);
    check_near(link.spare_db, link.link_margin_db - link.required_margin_db, 1e-12);
    check_near(link.reliability, hr_stats_normal_below(link.link_margin_db / link.sigma_db), 1e-15);
    hr_links_work_free(&work);
    hr_links_free(links);
    hr_building_free(building);
}

/* ---- random small buildings against the naive reading ---- */

static double grid(hr_random *r, double from, double to, double step)
{
    return from + step * (double)hr_stats_random_below(r, (size_t)((to - from) / step + 1.5));
}

static double some_loss(hr_random *r)
{
    return 0.5 + 0.25 * (double)hr_stats_random_below(r, 80);
}

static void random_storey(hr_random *r, naive_storey *s)
{
    const size_t walls = 4 + hr_stats_random_below(r, 9);
    for (size_t i = 0; i < walls; i++) {
        const double x = grid(r, 0, 10, 1.0), y = grid(r, 0, 10, 1.0);
        const double len = grid(r, 2, 8, 1.0);
        const int way = (int)hr_stats_random_below(r, 5);
        const double dx = way == 0 || way == 1 ? len : way == 4 ? len * 0.6 : 0;
        const double dy = way == 2 || way == 3 ? len : way == 4 ? len * 0.8 : 0;
        const double loss = some_loss(r);
        bool merges = false; /* collinear overlaps are the plan reader's to merge and tested there */
        for (size_t k = 0; k < s->wall_count; k++) {
            const naive_line *w = &s->walls[k];
            const bool parallel = fabs((w->bx - w->ax) * dy - (w->by - w->ay) * dx) < 1e-9;
            const bool same_line = fabs((x - w->ax) * dy - (y - w->ay) * dx) < 1e-9;
            merges = merges || (parallel && same_line);
        }
        if (!merges) {
            s->walls[s->wall_count++] = (naive_line){x, y, x + dx, y + dy, loss, 0, 0};
        }
    }
    const size_t doors = hr_stats_random_below(r, 5);
    for (size_t i = 0; i < doors; i++) {
        const naive_line *w = &s->walls[hr_stats_random_below(r, s->wall_count)];
        const double len = hypot(w->bx - w->ax, w->by - w->ay), at = grid(r, 0.3, len - 1.3, 0.17) / len, to = at + 0.9 / len;
        const double off = hr_stats_random_below(r, 2) ? 0.06 : 0.0;
        s->openings[s->opening_count++] =
            (naive_line){w->ax + at * (w->bx - w->ax) + off, w->ay + at * (w->by - w->ay) - off,
                         w->ax + to * (w->bx - w->ax) + off, w->ay + to * (w->by - w->ay) - off,
                         some_loss(r),  hr_stats_random_below(r, 2) ? 0.9 : 0.0, 2.1};
    }
    if (hr_stats_random_below(r, 2)) {
        const double x = grid(r, 1, 8, 0.5) + 0.21, y = grid(r, 1, 8, 0.5) + 0.27;
        const naive_line alone = {x, y, x + 0.8, y + 0.31, some_loss(r), 0.0, 2.05};
        bool leaf = false; /* at a door's end it is that door's leaf: the plan reader's to leave, and tested there */
        for (size_t k = 0; k < s->opening_count; k++) {
            const naive_line *o = &s->openings[k];
            const double ends[4] = {hypot(o->ax - alone.ax, o->ay - alone.ay), hypot(o->ax - alone.bx, o->ay - alone.by),
                                    hypot(o->bx - alone.ax, o->by - alone.ay), hypot(o->bx - alone.bx, o->by - alone.by)};
            leaf = leaf || fmin(fmin(ends[0], ends[1]), fmin(ends[2], ends[3])) <= 0.16;
        }
        if (!leaf) {
            s->openings[s->opening_count++] = alone;
        }
    }
    if (hr_stats_random_below(r, 2)) {
        const double x = grid(r, 1, 8, 0.5) + 0.13, y = grid(r, 1, 8, 0.5) + 0.17;
        s->metals[s->metal_count++] = (naive_box){x, y, x + 0.9, y + 1.1, some_loss(r), 0.0, 1.6};
    }
    if (hr_stats_random_below(r, 2)) {
        const double x = grid(r, 0, 8, 1.0), y = grid(r, 0, 8, 1.0);
        s->voids[s->void_count++] = (naive_box){x + 0.1, y + 0.1, x + 3, y + 4, 0, 0, 0};
    }
}

static naive_building random_building(hr_random *r)
{
    naive_building b = {.freq_mhz = 868.0 + 47.0 * (double)hr_stats_random_below(r, 2), .exponent = 2.0};
    b.storey_count = 2;
    for (size_t s = 0; s < 2; s++) {
        b.storeys[s].floor = 2.9 * (double)s;
        b.storeys[s].slab_loss = some_loss(r);
        random_storey(r, &b.storeys[s]);
    }
    /* a solid on one of the two storeys; through-going ones are tested by hand */
    naive_storey *s = &b.storeys[hr_stats_random_below(r, 2)];
    const double x = grid(r, 1, 8, 0.5) + 0.41, y = grid(r, 1, 8, 0.5) + 0.39;
    s->solids[s->solid_count++] = (naive_box){x, y, x + 0.3, y + 2.2, some_loss(r), 0, 0};
    return b;
}

static double place(hr_random *r)
{
    /* off the grid of the walls, but near them often enough; now and then on it */
    const size_t how = hr_stats_random_below(r, 10);
    return how == 0 ? grid(r, 0, 10, 1.0) : 10.5 * hr_stats_random_uniform(r) - 0.25;
}

static void test_against_the_naive_reading(void **state)
{
    (void)state;
    hr_random *r = hr_stats_random_new(20, 1);
    assert_non_null(r);
    size_t compared = 0, with_walls = 0;
    for (int round = 0; round < 150; round++) {
        const naive_building b = random_building(r);
        hr_building *building = made_building(&b);
        hr_links *links = NULL;
        assert_int_equal(hr_links_new(building, &links, NULL), HR_OK);
        for (int pair = 0; pair < 60; pair++) {
            const double z[2] = {0.3 + 5.2 * hr_stats_random_uniform(r), 0.3 + 5.2 * hr_stats_random_uniform(r)};
            const hr_end a = end_at(place(r), place(r), z[0]), c = end_at(place(r), place(r), z[1]);
            const double expected = naive_path_loss(&b, a.at.x, a.at.y, a.z_m, c.at.x, c.at.y, c.z_m);
            const double found = loss_between(links, a, c);
            if (!check_is_near(found, expected, 1e-6)) {
                fail_msg("building %d: (%.6f %.6f %.6f) to (%.6f %.6f %.6f): %.6f dB, the naive reading says %.6f",
                         round, a.at.x, a.at.y, a.z_m, c.at.x, c.at.y, c.z_m, found, expected);
            }
            compared++;
            const double d = sqrt((a.at.x - c.at.x) * (a.at.x - c.at.x) + (a.at.y - c.at.y) * (a.at.y - c.at.y) +
                                  (a.z_m - c.z_m) * (a.z_m - c.z_m));
            with_walls += found > 20.0 * log10(b.freq_mhz) - 27.5522 + 20.0 * log10(d > 1 ? d : 1) + 1.0;
        }
        hr_links_free(links);
        hr_building_free(building);
    }
    hr_stats_random_free(r);
    assert_int_equal(compared, 9000);
    assert_true(with_walls > 5000); /* the comparison was about something */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_through_a_corner),
        cmocka_unit_test(test_split_wall),
        cmocka_unit_test(test_t_joint_along_and_zero_length),
        cmocka_unit_test(test_coincident_walls),
        cmocka_unit_test(test_coincident_stacks),
        cmocka_unit_test(test_end_on_a_wall),
        cmocka_unit_test(test_openings_by_height),
        cmocka_unit_test(test_gaps_and_free_openings),
        cmocka_unit_test(test_opening_through_two_leaves),
        cmocka_unit_test(test_solids),
        cmocka_unit_test(test_floors_as_cost_231),
        cmocka_unit_test(test_unlike_slabs_and_voids),
        cmocka_unit_test(test_link_cut_at_the_slab),
        cmocka_unit_test(test_solid_through_a_slab),
        cmocka_unit_test(test_cost_231_example),
        cmocka_unit_test(test_budget),
        cmocka_unit_test(test_against_the_naive_reading),
    };
    const struct {
        const struct CMUnitTest *tests;
        size_t count;
    } more[] = {{budget_tests, budget_test_count}, {metal_tests, metal_test_count},
                {models_tests, models_test_count}, {routes_tests, routes_test_count},
                {measured_tests, measured_test_count}};
    /* one group: a second one would print a second TAP plan */
    struct CMUnitTest all[200];
    size_t count = sizeof tests / sizeof tests[0];
    memcpy(all, tests, sizeof tests);
    for (size_t i = 0; i < sizeof more / sizeof more[0]; i++) {
        if (count + more[i].count > sizeof all / sizeof all[0]) {
            return 1;
        }
        memcpy(all + count, more[i].tests, more[i].count * sizeof all[0]);
        count += more[i].count;
    }
    return _cmocka_run_group_tests("links", all, count, NULL, NULL);
}
