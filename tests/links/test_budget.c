/*
 * test_budget.c - saturation, spreads, own stacks, budgets line by line.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_tests.h"

#define STOREY "[storey 1]\nplan = plan.svg\n"
#define MATERIALS                                                                                                      \
    "[material a]\nloss_db = 4\nspread_db = 1\n[material b]\nloss_db = 9\nspread_db = 3\n[material d]\nloss_db = 2\n"

/* Walls across the way at x = 2, 4, 6, 8: 4, 9, 4 and 2 dB. */
#define FOUR_WALLS                                                                                                     \
    "<g inkscape:label=\"walls: a\"><path d=\"M2,-9V9M6,-9V9\" stroke=\"#000\"/></g>"                                   \
    "<g inkscape:label=\"walls: b\"><path d=\"M4,-9V9\" stroke=\"#000\"/></g>"                                          \
    "<g inkscape:label=\"walls: d\"><path d=\"M8,-9V9\" stroke=\"#000\"/></g>"

static void saturation_spares_the_first_three(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 868\nwall_saturation = 0.5\n" MATERIALS STOREY, FOUR_WALLS);
    /* heaviest first: 9, 4, 4 times 1, 0.41421, 0.31784 (sqrt i - sqrt(i-1)), the fourth in full */
    const double expected = 9.0 + 4.0 * (sqrt(2.0) - 1.0) + 4.0 * (sqrt(3.0) - sqrt(2.0)) + 2.0;
    const hr_link link = case_cross(&c, plain_end(0, 0, 1), plain_end(10, 0, 1));
    check_near(link.wall_loss_db, expected, 1e-12);
    check_near(link.saturation_db, 19.0 - expected, 1e-12);
    check_near(link.path_loss_db, link.spread_loss_db + expected, 1e-12);
    /* one wall is not spared */
    check_near(case_cross(&c, plain_end(3, 0, 1), plain_end(5, 0, 1)).wall_loss_db, 9.0, 1e-12);
    case_done(&c);
}

static void spreads_of_one_material_go_together(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 868\ncount_spreads = yes\n" MATERIALS STOREY, FOUR_WALLS);
    const hr_link link = case_measure(&c, plain_end(0, 0, 1), plain_end(10, 0, 1));
    /* 4.0^2 + 5.0^2; half of each spread in common by material: a twice 1, b 3, d 0.3 x 2 */
    const double variance =
        16.0 + 25.0 + 0.5 * (2.0 * 2.0 + 3.0 * 3.0 + 0.6 * 0.6) + 0.5 * (1.0 + 1.0 + 9.0 + 0.36);
    check_near(link.sigma_db, sqrt(variance), 1e-12);
    check_near(link.required_margin_db, 1.6448536 * sqrt(variance), 1e-6);
    assert_false(hr_links_margin_is_common(c.links));
    check_near(hr_links_sigma_db(c.links), sqrt(41.0), 1e-12);
    assert_true(hr_links_required_margin_db(c.links) < link.required_margin_db);
    case_done(&c);
    links_case off = case_of("frequency_mhz = 868\n" MATERIALS STOREY, FOUR_WALLS);
    check_near(case_measure(&off, plain_end(0, 0, 1), plain_end(10, 0, 1)).sigma_db, sqrt(5.8 * 5.8 + 25.0), 1e-12);
    assert_true(hr_links_margin_is_common(off.links));
    case_done(&off);
}

/* An own stack costs in place what its slab loses at normal incidence: concrete
 * 200 mm 14.80 dB at 2.45 GHz (ITU-R P.2040-3, eq. 43b, computed). */
static void own_stack_at_normal_incidence(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 2450\n[material s]\nlayers = concrete 200\n" STOREY,
                           "<g inkscape:label=\"walls: s\"><path d=\"M5,-9V9\" stroke=\"#000\"/></g>");
    check_near(case_cross(&c, plain_end(0, 0, 1), plain_end(10, 0, 1)).wall_loss_db, 14.80, 0.005);
    check_near(case_cross(&c, plain_end(0, -5, 1), plain_end(10, 5, 1)).wall_loss_db, 14.80, 0.005); /* at any angle */
    case_done(&c);
}

static double sum_of(const hr_budget *budget)
{
    double sum = 0.0;
    for (size_t i = 0; i < budget->count; i++) {
        sum += budget->lines[i].db;
    }
    return sum;
}

static void lines_add_up(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 868\nwall_saturation = 0.5\n" MATERIALS STOREY, FOUR_WALLS);
    const hr_terminal gateway = {.tx_power_dbm = 14.0, .antenna_gain_dbi = 2.0, .sensitivity_dbm = -103.0};
    const hr_end child = plain_end(0, 0, 1.2);
    hr_end parent = plain_end(10, 0.3, 2.1);
    parent.radio = &gateway;
    for (int direction = HR_DOWN; direction <= HR_UP; direction++) {
        hr_budget budget;
        assert_int_equal(
            hr_links_budget(c.links, &c.work, &child, &parent, (hr_direction)direction, &budget, NULL), HR_OK);
        check_near(sum_of(&budget), budget.link_margin_db, 1e-9);
        check_near(budget.link_margin_db, budget.link.link_margin_db, 0.0006);
        assert_string_equal(budget.lines[0].item, "transmit power");
        check_near(budget.lines[0].db, direction == HR_DOWN ? 14.0 : 10.0, 0.0);
        assert_string_equal(budget.lines[3].item, "distance");
        assert_string_equal(budget.lines[4].item, "wall: a");
        check_near(budget.lines[4].db, -4.0, 0.0);
        assert_string_equal(budget.lines[8].item, "wall saturation");
        assert_string_equal(budget.lines[budget.count - 1].item, "sensitivity");
        check_near(budget.lines[budget.count - 1].db, direction == HR_DOWN ? 100.0 : 103.0, 0.0);
        hr_links_budget_free(&budget);
    }
    case_done(&c);
}

/* Half-wave dipole, dB below its maximum at 60 and 30 degrees from the axis:
 * 1.76 and 7.58 (Balanis, computed); the floor of 10 dB on the axis is the
 * cross-polar ratio indoors of 3GPP TR 38.901. */
static void dipoles_at_real_angles(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 868\n" STOREY, "");
    const hr_terminal upright = {.tx_power_dbm = 10.0, .antenna_gain_dbi = 2.0, .sensitivity_dbm = -100.0,
                                 .pattern = HR_PATTERN_DIPOLE};
    hr_end child = plain_end(0, 0, 1), parent = plain_end(0, 0, 1);
    parent.radio = &upright;
    const double pi = 3.14159265358979323846;
    const struct {
        double angle_deg, below_db;
    } rows[] = {{90.0, 0.0}, {60.0, 1.76}, {30.0, 7.58}, {10.0, 10.0}, {0.0, 10.0}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const double angle = rows[i].angle_deg * pi / 180.0;
        parent.at.x = 5.0 * sin(angle);
        parent.z_m = 1.0 + 5.0 * cos(angle);
        const hr_link link = case_measure(&c, child, parent);
        check_near(link.parent.gain_dbi, 2.0 - rows[i].below_db, 0.005);
        check_near(link.child.gain_dbi, 0.0, 0.0);
        check_near(link.received_dbm, 10.0 + 2.0 - rows[i].below_db - link.path_loss_db, 0.005);
    }
    /* lying flat, seen along the vertical: broadside whatever side it leans to */
    hr_terminal flat = upright;
    flat.tilt_deg = 90.0;
    parent.radio = &flat;
    parent.at.x = 0.0;
    parent.z_m = 6.0;
    check_near(case_measure(&c, child, parent).parent.gain_dbi, 2.0, 1e-9);
    /* leaning: the mean power over 4000 sides to lean to, by an independent script */
    const struct {
        double tilt_deg, up, below_db;
    } leaning[] = {{45.0, 0.0, 1.66277}, {30.0, 0.5, 1.77585}, {60.0, 0.8, 1.82259}};
    for (size_t i = 0; i < sizeof leaning / sizeof leaning[0]; i++) {
        flat.tilt_deg = leaning[i].tilt_deg;
        /* the child lies `up` times the distance above */
        parent.z_m = 1.0;
        child.at.x = 5.0 * sqrt(1.0 - leaning[i].up * leaning[i].up);
        child.z_m = 1.0 + 5.0 * leaning[i].up;
        check_near(case_measure(&c, child, parent).parent.gain_dbi, 2.0 - leaning[i].below_db, 1e-4);
    }
    case_done(&c);
}

static void cases_by_the_way_they_open(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 868\n" STOREY, "");
    const char *const names[] = {"facing", "facing", "side", "side", "away"};
    const double turn_deg[] = {0.0, 59.9, 60.1, 119.9, 120.1};
    hr_end child = plain_end(0, 0, 1);
    child.enclosure = HR_ENCLOSURE_CASE;
    for (size_t i = 0; i < 5; i++) {
        const double turn = turn_deg[i] * 3.14159265358979323846 / 180.0;
        child.faces = (hr_point){cos(turn), sin(turn)};
        double expected_db = 0.0;
        assert_true(hr_materials_enclosure(names[i], &expected_db, NULL));
        const hr_link link = case_measure(&c, child, plain_end(9, 0, 1));
        assert_string_equal(link.child.case_row, names[i]);
        check_near(link.child.case_db, expected_db, 0.0);
        check_near(link.received_dbm, 10.0 - link.path_loss_db - expected_db, 1e-9);
    }
    child.enclosure = HR_ENCLOSURE_ENCLOSED;
    assert_string_equal(case_measure(&c, child, plain_end(9, 0, 1)).child.case_row, "enclosed");
    child.enclosure = HR_ENCLOSURE_FACING; /* as written, though it opens away */
    child.faces = (hr_point){-1.0, 0.0};
    assert_string_equal(case_measure(&c, child, plain_end(9, 0, 1)).child.case_row, "facing");
    case_done(&c);
}

/* Large metal within a wavelength (0.345 m at 868 MHz): 10 dB below a quarter,
 * falling to 0 at a whole one, at either end. */
static void metal_close_to_an_antenna(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 868\n" STOREY,
                           "<g inkscape:label=\"metal: lift\"><rect x=\"0\" y=\"0\" width=\"2\" height=\"2\"/></g>"
                           "<g inkscape:label=\"metal: cabinet 0-1\"><rect x=\"10\" y=\"0\" width=\"1\" height=\"1\"/></g>"
                           "<g inkscape:label=\"metal: cabinet\"><rect x=\"20\" y=\"0\" width=\"0.1\" height=\"0.1\"/></g>");
    const double wave_m = 299.792458 / 868.0;
    const hr_end far_end = plain_end(1, 9, 1);
    const struct {
        double x, y, z, db;
    } rows[] = {{1, 2.05, 1, 10.0},
                {1, 2.0 + 0.625 * wave_m, 1, 5.0},
                {1, 2.0 + wave_m, 1, 0.0},
                {10.5, 1.05, 0.5, 10.0},
                {10.5, 0.5, 1.05, 10.0},  /* over its top */
                {10.5, 0.5, 1.5, 0.0},
                {20.05, 0.15, 1, 0.0}};   /* small metal is none */
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        const hr_end near_end = plain_end(rows[i].x, rows[i].y, rows[i].z);
        check_near(case_measure(&c, near_end, far_end).child.clearance_db, rows[i].db, 1e-6);
        check_near(case_measure(&c, far_end, near_end).parent.clearance_db, rows[i].db, 1e-6);
    }
    case_done(&c);
}

const struct CMUnitTest budget_tests[] = {
    cmocka_unit_test(saturation_spares_the_first_three),
    cmocka_unit_test(spreads_of_one_material_go_together),
    cmocka_unit_test(own_stack_at_normal_incidence),
    cmocka_unit_test(lines_add_up),
    cmocka_unit_test(dipoles_at_real_angles),
    cmocka_unit_test(cases_by_the_way_they_open),
    cmocka_unit_test(metal_close_to_an_antenna),
};
const size_t budget_test_count = sizeof budget_tests / sizeof budget_tests[0];
