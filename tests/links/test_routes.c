/*
 * test_routes.c - ways round: corridors, corners, doors, real incidence.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_tests.h"

#include "hr_propagation.h"

#define STOREY "[storey 1]\nplan = plan.svg\n"
#define ROUTES "model = routes\n"

/* 60 m long, 1.8 m wide, brick walls. */
#define CORRIDOR                                                                                                       \
    "<g inkscape:label=\"corridors\"><rect x=\"0\" y=\"0\" width=\"62\" height=\"1.8\"/></g>"                           \
    "<g inkscape:label=\"walls: brick-200\"><path d=\"M0,0H62V1.8H0Z\" stroke=\"#000\" fill=\"none\"/></g>"

/* Published corridor exponents lie at 1.4 to 1.8 (COST 231 1.4, P.1238-11 1.63, TR 38.901 1.73). */
static void exponent_of_a_corridor(void **state)
{
    (void)state;
    static const char *const radios[] = {"frequency_mhz = 868\n" ROUTES STOREY, "frequency_mhz = 2450\n" ROUTES STOREY};
    for (int f = 0; f < 2; f++) {
        links_case c = case_of(radios[f], CORRIDOR);
        double n = 0, sx = 0, sy = 0, sxx = 0, sxy = 0;
        for (double d = 2.0; d <= 60.0; d += 0.5) {
            const double x = 10.0 * log10(d);
            const double y = case_cross(&c, plain_end(1, 0.7, 1.5), plain_end(1 + d, 1.1, 1.5)).path_loss_db;
            n += 1;
            sx += x;
            sy += y;
            sxx += x * x;
            sxy += x * y;
        }
        const double exponent = (n * sxy - sx * sy) / (n * sxx - sx * sx);
        assert_true(exponent > 1.5 && exponent < 1.8);
        case_done(&c);
    }
}

/* An L of two arms 30 m long, walls of concrete: `one` draws one shape, else two that meet. */
#define L_WALLS                                                                                                        \
    "<g inkscape:label=\"walls: concrete-300\"><path d=\"M0,0H32V32H30V2H0Z\" stroke=\"#000\" fill=\"none\"/></g>"
#define L_ONE "<g inkscape:label=\"corridors\"><path d=\"M0,0H32V32H30V2H0Z\"/></g>"
#define L_TWO                                                                                                          \
    "<g inkscape:label=\"corridors\"><path d=\"M0,0H32V2H0Z\"/><path d=\"M30,2H32V32H30Z\"/></g>"

/* Turning a right-angle corner costs 10-15 dB (Rappaport, Table 4.3, 1.3 GHz, from memory):
 * round the corner against a straight corridor of the same length. */
static void a_right_angle_corner(void **state)
{
    (void)state;
    static const char *const radios[] = {"frequency_mhz = 868\n" ROUTES STOREY, "frequency_mhz = 2450\n" ROUTES STOREY};
    for (int f = 0; f < 2; f++) {
        links_case c = case_of(radios[f], L_ONE L_WALLS);
        links_case straight = case_of(radios[f], CORRIDOR);
        for (double arm = 8.0; arm <= 26.0; arm += 3.0) {
            const hr_link link = case_cross(&c, plain_end(30 - arm, 1, 1.5), plain_end(31, 2 + arm, 1.5));
            assert_int_equal(link.bends, 1);
            const hr_link level =
                case_cross(&straight, plain_end(1, 0.9, 1.5), plain_end(1 + link.unfolded_m, 0.9, 1.5));
            const double corner_db = link.path_loss_db - level.path_loss_db;
            if (!(corner_db >= 10.0 && corner_db <= 15.0)) {
                fail_msg("arms of %.0f m: the corner costs %.2f dB", arm, corner_db);
            }
        }
        case_done(&straight);
        case_done(&c);
    }
    /* the same corner where the corridor is drawn as two shapes: the way is found too */
    links_case two = case_of(radios[0], L_TWO L_WALLS);
    const hr_link link = case_cross(&two, plain_end(10, 1, 1.5), plain_end(31, 22, 1.5));
    assert_int_equal(link.bends, 1);
    assert_true(hypot(link.bend_at[0].x - 30.0, link.bend_at[0].y - 2.0) < 0.1);
    case_done(&two);
}

/* A room off a corridor behind heavy walls: the way goes in by the door, and the lines say so. */
#define ROOM_OFF                                                                                                       \
    "<g inkscape:label=\"corridors\"><rect x=\"0\" y=\"0\" width=\"30\" height=\"2\"/></g>"                             \
    "<g inkscape:label=\"walls: concrete-300\"><path d=\"M0,0H30V2H0ZM0,2V8H30V2M14,2V8\" stroke=\"#000\" fill=\"none\"/></g>" \
    "<g inkscape:label=\"doors: timber-door\"><path d=\"M20,2H20.9\" stroke=\"#000\"/></g>"                             \
    "<g inkscape:label=\"rooms\"><rect x=\"14\" y=\"2\" width=\"16\" height=\"6\"><title>21</title></rect></g>"

static void in_by_the_door(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 2450\n" ROUTES STOREY, ROOM_OFF);
    const hr_end gateway = plain_end(2, 1, 2.1), device = plain_end(22, 7, 1.2);
    const hr_link link = case_measure(&c, device, gateway);
    assert_int_equal(link.bends, 1);
    check_near(link.bend_at[0].x, 20.45, 1e-9);
    check_near(link.bend_at[0].y, 2.0, 1e-9);
    assert_true(link.bend_loss_db > 6.0 && link.bend_loss_db <= 15.0);
    assert_true(link.combined_db >= 0.0 && link.combined_db < 3.02);
    /* every term by itself adds up to the loss */
    const double sum = link.spread_loss_db - link.corridor_gain_db + link.room_loss_db + link.wall_loss_db +
                       link.bend_loss_db + link.metal_loss_db + link.floor_loss_db - link.combined_db;
    check_near(link.path_loss_db, sum, 1e-9);
    hr_budget budget;
    assert_int_equal(hr_links_budget(c.links, &c.work, &device, &gateway, HR_UP, &budget, NULL), HR_OK);
    double total = 0.0;
    bool bend = false, door = false;
    for (size_t i = 0; i < budget.count; i++) {
        total += budget.lines[i].db;
        bend = bend || strcmp(budget.lines[i].item, "bend at a door") == 0;
        door = door || strcmp(budget.lines[i].item, "door: timber-door") == 0;
    }
    assert_true(bend && door);
    check_near(total, budget.link_margin_db, 1e-9);
    check_near(budget.link_margin_db, budget.link.link_margin_db, 0.0015);
    hr_links_budget_free(&budget);
    /* and less than the straight ray alone */
    links_case direct = case_of("frequency_mhz = 2450\n" STOREY, ROOM_OFF);
    assert_true(link.path_loss_db < case_cross(&direct, device, gateway).path_loss_db);
    case_done(&direct);
    case_done(&c);
}

/* Concrete 200 mm at 2.45 GHz: 14.80 dB at normal incidence, TE 18.42 and TM 14.43 dB at 60 degrees
 * (ITU-R P.2040-3, computed). Upright antennas on a level ray see TE, even ones half of each. */
static void walls_at_real_incidence(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 2450\n" ROUTES STOREY,
                           "<g inkscape:label=\"walls: concrete-200\"><path d=\"M5,-300V300\" stroke=\"#000\"/></g>");
    const hr_terminal dipole = {.pattern = HR_PATTERN_DIPOLE, .sensitivity_dbm = -100.0};
    hr_end a = plain_end(0, 0, 1.5), b = plain_end(10, 0, 1.5);
    check_near(case_cross(&c, a, b).wall_loss_db, 14.80, 0.01);
    b.at.y = 10.0 * sqrt(3.0);
    const double even_db = -10.0 * log10(0.5 * pow(10.0, -1.842) + 0.5 * pow(10.0, -1.443));
    check_near(case_cross(&c, a, b).wall_loss_db, even_db, 0.01);
    b.radio = &dipole;
    check_near(case_cross(&c, a, b).wall_loss_db, 18.42, 0.01);
    /* steeper than 80 degrees is taken at 80, and said */
    b.at.y = 58.0;
    a.at.y = -58.0;
    const hr_link steep = case_cross(&c, a, b);
    assert_true((steep.beyond & (1U << HR_RANGE_SLAB_ANGLE_DEG)) != 0);
    assert_false(steep.extrapolated);
    case_done(&c);
    /* below 1 GHz the tables of P.2040 say nothing of concrete */
    links_case low = case_of("frequency_mhz = 868\n" ROUTES STOREY,
                             "<g inkscape:label=\"walls: concrete-200\"><path d=\"M5,-300V300\" stroke=\"#000\"/></g>");
    const hr_end from = plain_end(0, 0, 1), to = plain_end(10, 3, 1);
    assert_true(case_cross(&low, from, to).extrapolated);
    hr_budget budget;
    assert_int_equal(hr_links_budget(low.links, &low.work, &from, &to, HR_UP, &budget, NULL), HR_OK);
    assert_string_equal(budget.lines[4].item, "wall: concrete-200");
    assert_non_null(strstr(budget.lines[4].note, "17 degrees from square on; extrapolated"));
    hr_links_budget_free(&budget);
    case_done(&low);
}

/* A solid by the face where the way enters it, or leaves it where it begins inside: the same figures. */
static void solids_at_real_incidence(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 2450\n" ROUTES STOREY,
                           "<g inkscape:label=\"solids: concrete-200\"><path d=\"M5,-300H5.2V300H5Z\"/></g>");
    const double even_db = -10.0 * log10(0.5 * pow(10.0, -1.842) + 0.5 * pow(10.0, -1.443));
    const double slope = sqrt(3.0); /* 60 degrees from square on */
    check_near(case_cross(&c, plain_end(0, 0, 1.5), plain_end(10, 0, 1.5)).wall_loss_db, 14.80, 0.01);
    check_near(case_cross(&c, plain_end(0, 0, 1.5), plain_end(10, 10 * slope, 1.5)).wall_loss_db, even_db, 0.01);
    check_near(case_cross(&c, plain_end(10, 0, 1.5), plain_end(0, 10 * slope, 1.5)).wall_loss_db, even_db, 0.01);
    check_near(case_cross(&c, plain_end(5.1, 0, 1.5), plain_end(10, 4.9 * slope, 1.5)).wall_loss_db, even_db, 0.01);
    /* in by its narrow end, 60 degrees from that face and so 30 from the long one */
    const double narrow_db = case_cross(&c, plain_end(5.1 - slope, -301, 1.5), plain_end(5.1 + slope, -299, 1.5)).wall_loss_db;
    check_near(narrow_db, even_db, 0.01);
    case_done(&c);
}

/* A framed wall carries at least 2 dB (assumed); a material with a loss only has it at any angle. */
static void framed_and_stated_walls(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 868\n" ROUTES "[material own]\nloss_db = 7\n" STOREY,
                           "<g inkscape:label=\"walls: plasterboard\"><path d=\"M5,-300V300\" stroke=\"#000\"/></g>"
                           "<g inkscape:label=\"walls: own\"><path d=\"M15,-300V300\" stroke=\"#000\"/></g>");
    check_near(case_cross(&c, plain_end(0, 0, 1), plain_end(10, 0, 1)).wall_loss_db, 2.0, 1e-9);
    check_near(case_cross(&c, plain_end(11, 0, 1), plain_end(19, 0, 1)).wall_loss_db, 7.0, 1e-9);
    check_near(case_cross(&c, plain_end(11, 0, 1), plain_end(19, 20, 1)).wall_loss_db, 7.0, 1e-9);
    case_done(&c);
}

#define EMPTY_ROOM                                                                                                     \
    "<g inkscape:label=\"walls: brick-100\"><path d=\"M0,0H20V12H0Z\" stroke=\"#000\" fill=\"none\"/></g>"              \
    "<g inkscape:label=\"rooms\"><path d=\"M0,0H20V12H0Z\"><title>hall</title></path></g>"

/* In an empty room more distance never means less loss, in any model. */
static void monotone_in_an_empty_room(void **state)
{
    (void)state;
    static const char *const models[] = {"multi-wall", "routes", "site-general"};
    for (int m = 0; m < 3; m++) {
        char text[200];
        (void)snprintf(text, sizeof text, "frequency_mhz = 868\nmodel = %s\n" STOREY, models[m]);
        links_case c = case_of(text, EMPTY_ROOM);
        for (int direction = 0; direction < 12; direction++) {
            const double angle = 0.5236 * direction;
            double before = -1e9;
            for (double d = 0.2; d < 5.5; d += 0.1) {
                const double loss =
                    case_cross(&c, plain_end(10, 6, 1.2), plain_end(10 + d * cos(angle), 6 + d * sin(angle), 1.2)).path_loss_db;
                assert_true(loss >= before);
                before = loss;
            }
        }
        case_done(&c);
    }
}

/* Both ends a metre and more off every edge, the ray crossing no wall's end, no opening and no other way taking
 * over: no jump above 0.5 dB per centimetre that one end moves, past walls and past a lift, in any model. */
static void continuous_between_changes(void **state)
{
    (void)state;
    static const char *const models[] = {"multi-wall", "routes", "site-general"};
    for (int k = 0; k < 6; k++) {
        char text[200];
        (void)snprintf(text, sizeof text, "frequency_mhz = %d\nmodel = %s\n" STOREY, k < 3 ? 868 : 2450, models[k % 3]);
        links_case c = case_of(
            text, CORRIDOR "<g inkscape:label=\"metal: lift\"><rect x=\"20\" y=\"6\" width=\"2\" height=\"2\"/></g>");
        double before = (double)NAN, most = 0.0, metal_db = 0.0;
        unsigned bends = 9;
        for (int cm = 0; cm < 3000; cm++) {
            const hr_link link = case_cross(&c, plain_end(8, 1.0, 1.5), plain_end(8 + 0.01 * cm, 14, 1.2));
            if (link.bends == bends) {
                most = fmax(most, fabs(link.path_loss_db - before));
            }
            metal_db = fmax(metal_db, link.metal_loss_db);
            bends = link.bends;
            before = link.path_loss_db;
        }
        if (!(most <= 0.5)) {
            fail_msg("%s: a jump of %.3f dB", models[k % 3], most);
        }
        assert_true(metal_db > 8.0); /* it did go past the lift */
        case_done(&c);
    }
}

/* A wall that ends in a large hall: the way goes round its free end. */
static void round_a_free_end(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 868\n" ROUTES STOREY,
                           "<g inkscape:label=\"walls: concrete-300\"><path d=\"M10,-40V3\" stroke=\"#000\"/></g>");
    const hr_link link = case_cross(&c, plain_end(4, 1, 1.5), plain_end(16, 1, 1.5));
    assert_true(link.combined_db > 0.0 || link.bends == 1);
    /* a detour inside the first Fresnel zone is the straight ray itself: never more power than one of them has */
    const hr_link grazing = case_cross(&c, plain_end(4, 3.06, 1.5), plain_end(16, 3.06, 1.5));
    check_near(grazing.path_loss_db, hr_propagation_free_space_db(868.0, 12.0), 0.05);
    case_done(&c);
}

/* Whole links by an independent script from the terms: bends by the height of the wall's end over the line
 * between their neighbours, straight and bent way added by what the detour is of half a wavelength. */
static void bends_by_hand(void **state)
{
    (void)state;
    static const char one[] = "<g inkscape:label=\"walls: concrete-300\"><path d=\"M10,-40V3\" stroke=\"#000\"/></g>";
    static const char two[] = "<g inkscape:label=\"walls: concrete-300\"><path d=\"M10,-40V3M13,-40V3\" stroke=\"#000\"/></g>";
    links_case c = case_of("frequency_mhz = 868\n" ROUTES STOREY, one);
    const hr_link straight = case_cross(&c, plain_end(4, 2.6, 1.5), plain_end(16, 2.6, 1.5));
    assert_int_equal(straight.bends, 0); /* the wall loses 10.12 dB, the bend 11.27 */
    check_near(straight.combined_db, 0.60211, 1e-4);
    check_near(straight.path_loss_db, 62.31806, 1e-4);
    case_done(&c);
    links_case pair = case_of("frequency_mhz = 868\n" ROUTES STOREY, two);
    const hr_link round = case_cross(&pair, plain_end(4, 2.6, 1.5), plain_end(19, 2.6, 1.5));
    assert_int_equal(round.bends, 2);
    check_near(round.bend_loss_db, 2.0 * 8.240268, 1e-5);
    check_near(round.unfolded_m, 15.033703, 1e-6);
    check_near(round.path_loss_db, 70.895563, 1e-4);
    case_done(&pair);
}

/* Metres in an L-shaped room with a corner cut off, by the geometry's exact passages. */
static void metres_in_rooms(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 868\n" ROUTES STOREY,
                           "<g inkscape:label=\"rooms\"><path d=\"M2,2H12V7H9V10H4L2,8Z\"><title>7</title></path></g>");
    const hr_plan *plan = c.building->storeys[0].plan;
    const hr_region *room = NULL;
    for (size_t i = 0; i < plan->space_count; i++) {
        room = plan->spaces[i].region.rings[0].count == 7 ? &plan->spaces[i].region : room;
    }
    assert_non_null(room);
    size_t inside = 0;
    for (int i = 0; i < 3000; i++) {
        /* half of them on a grid: through corners and along edges */
        const double step = i % 2 == 0 ? 1.0 : 0.9173;
        const double ax = step * (i % 15), ay = step * (i / 7 % 13), bx = step * (i / 3 % 14), by = step * (i / 11 % 12);
        const hr_link link = case_cross(&c, plain_end(ax, ay, 1), plain_end(bx, by, 1));
        const hr_segment ray = {{ax, ay}, {bx, by}};
        hr_span spans[8];
        double metres = 0.0;
        const size_t count = hr_geometry_passages(room, ray, 0.0, 0.0, spans, 8);
        for (size_t k = 0; k < count; k++) {
            metres += (spans[k].to - spans[k].from) * hypot(bx - ax, by - ay);
        }
        check_near(link.room_m, metres, 1e-6);
        inside += metres > 0.0;
    }
    assert_true(inside > 1000);
    case_done(&c);
}

/* An end 10 cm from another wall is closed: no way goes round it. */
static void no_way_round_a_closed_end(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 868\n" ROUTES STOREY,
                           "<g inkscape:label=\"walls: concrete-300\"><path d=\"M10,-40V3M5,3.1H15\" stroke=\"#000\"/></g>");
    const hr_link link = case_cross(&c, plain_end(7, 2.6, 1.5), plain_end(13, 2.6, 1.5));
    assert_int_equal(link.bends, 0);
    /* the far wall's own ends are more than a detour away: 20 dB and more behind */
    assert_true(link.combined_db < 0.1);
    case_done(&c);
}

/* Ways bend on the storeys of links to the next storey, not beyond. */
#define HIGH_WALL(n)                                                                                                   \
    "<g inkscape:groupmode=\"layer\" inkscape:label=\"L" #n "\"><g inkscape:label=\"scale: 10 m\"><line x1=\"0\" "      \
    "y1=\"-5\" x2=\"10\" y2=\"-5\"/></g><g inkscape:label=\"walls: own\"><path d=\"M10,-40V3\" stroke=\"#000\"/></g>"     \
    "<g inkscape:label=\"rooms\"><rect x=\"-90\" y=\"-90\" width=\"1\" height=\"1\"><title>R" #n "</title></rect></g></g>"
static void bends_to_the_next_storey_only(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 868\n" ROUTES "[material own]\nloss_db = 60\n[storey 1]\nplan = plan.svg#L1\n"
                           "[storey 2]\nplan = plan.svg#L2\n[storey 3]\nplan = plan.svg#L3\n",
                           HIGH_WALL(1) HIGH_WALL(2) HIGH_WALL(3));
    assert_int_equal(case_cross(&c, plain_end(4, 1, 1.5), plain_end(16, 1, 1.5)).bends, 1);
    assert_int_equal(case_cross(&c, plain_end(4, 1, 1.5), plain_end(16, 1, 4.5)).bends, 1);
    assert_int_equal(case_cross(&c, plain_end(4, 1, 1.5), plain_end(16, 1, 7.5)).bends, 0);
    case_done(&c);
}

const struct CMUnitTest routes_tests[] = {
    cmocka_unit_test(solids_at_real_incidence),
    cmocka_unit_test(exponent_of_a_corridor),    cmocka_unit_test(a_right_angle_corner),
    cmocka_unit_test(in_by_the_door),            cmocka_unit_test(walls_at_real_incidence),
    cmocka_unit_test(framed_and_stated_walls),   cmocka_unit_test(monotone_in_an_empty_room),
    cmocka_unit_test(continuous_between_changes), cmocka_unit_test(round_a_free_end),
    cmocka_unit_test(bends_by_hand),              cmocka_unit_test(no_way_round_a_closed_end),
    cmocka_unit_test(bends_to_the_next_storey_only), cmocka_unit_test(metres_in_rooms),
};
const size_t routes_test_count = sizeof routes_tests / sizeof routes_tests[0];
