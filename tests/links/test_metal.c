/*
 * test_metal.c - lift shafts, cabinets and ducts: shadows with lit edges.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_tests.h"

#include "hr_propagation.h"

#define STOREY "[storey 1]\nplan = plan.svg\n"
#define SEE_THROUGH "[material mesh]\nloss_db = 5\n"
#define LIFT "<g inkscape:label=\"metal: lift\"><rect x=\"8\" y=\"-2\" width=\"2\" height=\"3\"/></g>"
#define CABINET "<g inkscape:label=\"metal: cabinet 0-1.6\"><rect x=\"8\" y=\"-1\" width=\"1\" height=\"3\"/></g>"
#define DUCT "<g inkscape:label=\"metal: duct 2.2-2.6\"><rect x=\"8\" y=\"-6\" width=\"0.6\" height=\"12\"/></g>"
#define LINE "<g inkscape:label=\"metal: sheet-metal\"><path d=\"M9,-2V1\" stroke=\"#000\"/></g>"
#define RISER "<g inkscape:label=\"metal: metal-riser\"><rect x=\"8\" y=\"-2\" width=\"2\" height=\"3\"/></g>"
#define MESH "<g inkscape:label=\"metal: mesh\"><path d=\"M9,-2V1\" stroke=\"#000\"/></g>"
#define BENT "<g inkscape:label=\"metal: lift\"><path d=\"M8,-2H12V-1H9V2H8Z\"/></g>"

/* Straight through the middle of a shaft: what passes it and two double edges,
 * the powers added (ITU-R P.526; table loss of a lift 30 dB, assumed). */
static void a_shaft_has_lit_edges(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 868\n" STOREY, LIFT);
    const hr_edge_pair left = {8.0, 2.0, 10.0, 1.0, 1.0}, right = {8.0, 2.0, 10.0, 2.0, 2.0};
    const double edges[2] = {hr_propagation_double_edge_db(868.0, &left), hr_propagation_double_edge_db(868.0, &right)};
    const double expected = -10.0 * log10(1e-3 + pow(10.0, -edges[0] / 10.0) + pow(10.0, -edges[1] / 10.0));
    check_near(case_cross(&c, plain_end(0, 0, 1), plain_end(20, 0, 1)).metal_loss_db, expected, 1e-9);
    assert_true(expected > 8.0 && expected < 30.0);
    /* beside it: the nearer corners alone, J with their sign; far off nothing */
    assert_true(case_cross(&c, plain_end(0, 1.1, 1), plain_end(20, 1.1, 1)).metal_loss_db > 3.0);
    check_near(case_cross(&c, plain_end(0, 4, 1), plain_end(20, 4, 1)).metal_loss_db, 0.0, 0.0);
    /* behind an end it is no matter */
    check_near(case_cross(&c, plain_end(11, -0.5, 1), plain_end(20, 0, 1)).metal_loss_db, 0.0, 0.0);
    case_done(&c);
}

/* One straight sheet: a single edge on either side. */
static void a_sheet_is_a_single_edge(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 868\n" STOREY, LINE);
    double power = pow(10.0, -2.6);
    const double heights[2] = {1.0, 2.0};
    for (int i = 0; i < 2; i++) {
        /* v = h sqrt(2 (d1 + d2) / (lambda d1 d2)) */
        const double v = heights[i] * sqrt(2.0 * 20.0 / (299.792458 / 868.0 * 9.0 * 11.0));
        const double j = 6.9 + 20.0 * log10(sqrt((v - 0.1) * (v - 0.1) + 1.0) + v - 0.1);
        power += pow(10.0, -j / 10.0);
    }
    check_near(case_cross(&c, plain_end(0, 0, 1), plain_end(20, 0, 1)).metal_loss_db, -10.0 * log10(power), 1e-6);
    case_done(&c);
}

static void heights_count(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 2450\n" STOREY, CABINET);
    const double low = case_cross(&c, plain_end(0, 0.5, 0.8), plain_end(20, 0.5, 0.8)).metal_loss_db;
    const double edge = case_cross(&c, plain_end(0, 0.5, 1.6), plain_end(20, 0.5, 1.6)).metal_loss_db;
    const double high = case_cross(&c, plain_end(0, 0.5, 2.6), plain_end(20, 0.5, 2.6)).metal_loss_db;
    assert_true(low > 8.0);
    assert_true(edge > 2.0 && edge < low);
    check_near(high, 0.0, 0.0);
    case_done(&c);
    links_case duct = case_of("frequency_mhz = 2450\n" STOREY, DUCT);
    check_near(case_cross(&duct, plain_end(0, 0, 1), plain_end(20, 0, 1)).metal_loss_db, 0.0, 0.0); /* under it */
    assert_true(case_cross(&duct, plain_end(0, 0, 2.4), plain_end(20, 0, 2.4)).metal_loss_db > 4.0);
    case_done(&duct);
}

/* No jump above 0.5 dB per centimetre of movement past all edges; where both ends move a centimetre that is two.
 * Metal that lets much through is no exception. */
static void continuous_at_its_edges(void **state)
{
    (void)state;
    static const char *const drawings[] = {LIFT, CABINET, DUCT, LINE, RISER, MESH, BENT};
    static const char *const radios[] = {"frequency_mhz = 868\n" SEE_THROUGH STOREY, "frequency_mhz = 2450\n" SEE_THROUGH STOREY};
    for (size_t f = 0; f < 2; f++) {
        for (size_t d = 0; d < sizeof drawings / sizeof drawings[0]; d++) {
            links_case c = case_of(radios[f], drawings[d]);
            for (int how = 0; how < 4; how++) {
                double before = (double)NAN, most = 0.0;
                int where = 0;
                for (int cm = -900; cm <= 900; cm++) {
                    const double at = 0.01 * cm;
                    hr_end a = plain_end(0.3, at, 1.2), b = plain_end(19.3, 0.37, 1.5); /* one end to the side */
                    if (how == 1) {
                        b.at.y = at; /* both */
                    } else if (how == 2) { /* up and down */
                        a = plain_end(0.3, 0.2, 1.45 + at / 6.5);
                        b.z_m = 1.2;
                    } else if (how == 3) { /* past the front */
                        a = plain_end(4.0 + at / 3.0, -5.0, 1.2);
                        b = plain_end(12.5, 5.0, 1.9);
                    }
                    const double loss = case_cross(&c, a, b).path_loss_db;
                    if (fabs(loss - before) > most) {
                        most = fabs(loss - before);
                        where = cm;
                    }
                    before = loss;
                }
                if (!(most <= (how == 1 ? 1.0 : 0.5))) {
                    fail_msg("%s, sweep %d: a jump of %.3f dB at %d cm", drawings[d], how, most, where);
                }
            }
            case_done(&c);
        }
    }
}

#define FLOORED(n) "<g inkscape:groupmode=\"layer\" inkscape:label=\"L" #n "\"><g inkscape:label=\"scale: 10 m\"><line x1=\"0\" "    \
                   "y1=\"-5\" x2=\"10\" y2=\"-5\"/></g><g inkscape:label=\"walls: glass\"><path d=\"M-90,-80H-89\" stroke=\"#000\"/></g>" \
                   "<g inkscape:label=\"rooms\"><rect x=\"-90\" y=\"-90\" width=\"1\" height=\"1\"><title>R" #n "</title></rect></g>"

/* A shaft drawn on the lowest storey only stands on the others too; a cabinet does not. */
static void a_shaft_runs_through_all_storeys(void **state)
{
    (void)state;
    static const char storeys[] = "frequency_mhz = 868\n[material none]\nloss_db = 0\n[storey 1]\nplan = plan.svg#L1\n"
                                  "[storey 2]\nplan = plan.svg#L2\nslab = none\n[storey 3]\nplan = plan.svg#L3\nslab = none\n";
    for (int lift = 0; lift < 2; lift++) {
        char groups[4096];
        (void)snprintf(groups, sizeof groups,
                       FLOORED(1) "%s</g>" FLOORED(2) "</g>" FLOORED(3) "</g>",
                       lift ? LIFT : "<g inkscape:label=\"metal: cabinet\"><rect x=\"8\" y=\"-2\" width=\"2\" height=\"3\"/></g>");
        links_case c = case_of(storeys, groups);
        const double first = case_cross(&c, plain_end(0, 0, 1), plain_end(20, 0, 1)).metal_loss_db;
        const double third = case_cross(&c, plain_end(0, 0, 7), plain_end(20, 0, 7)).metal_loss_db;
        assert_true(first > 8.0);
        check_near(third, lift ? first : 0.0, 1e-9);
        /* from storey to storey it is one passage */
        const double across = case_cross(&c, plain_end(0, 0, 1.5), plain_end(20, 0, 7.5)).metal_loss_db;
        check_near(across, lift ? first : 0.0, lift ? 1.0 : 0.0);
        case_done(&c);
    }
}

/* A gateway in line with the shaft leaves the room behind it in shadow; moved out of
 * line the metal line changes by more than 6 dB, and rooms never in the shadow keep theirs. */
static void moving_out_of_the_shadow(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 868\n" STOREY, LIFT);
    const hr_end shadowed = plain_end(16, -0.5, 1.2), free_room = plain_end(4, 8, 1.2);
    const hr_end before = plain_end(4, -0.5, 2.1), after = plain_end(4, 6, 2.1);
    const double change = case_measure(&c, shadowed, before).metal_loss_db - case_measure(&c, shadowed, after).metal_loss_db;
    assert_true(change > 6.0);
    check_near(case_measure(&c, free_room, before).metal_loss_db, case_measure(&c, free_room, after).metal_loss_db, 0.0);
    case_done(&c);
}

/* What lifts take from a link of a building. */
static double lift_line_db(const hr_building *b, const hr_links *links, hr_link_work *work, uint32_t device, hr_point at)
{
    const double z_m = b->storeys[b->devices[device].storey].elevation_m + 2.1;
    const hr_end child = hr_links_device_end(b, device), parent = hr_links_gateway_end(b, at, z_m);
    hr_link link;
    double lift_db = 0.0;
    assert_int_equal(hr_links_measure(links, work, &child, &parent, &link, NULL), HR_OK);
    for (size_t i = 0; i < work->item_count; i++) {
        const hr_item *item = &work->items[i];
        const bool lift = item->kind == HR_ITEM_METAL &&
                          strcmp(hr_materials_get(b->materials, item->material)->name, "lift") == 0;
        lift_db += lift ? item->loss_db : 0.0;
    }
    return lift_db;
}

/* How near a line comes to a lift; 0: it goes through one. */
static double gap_m(const hr_building *b, uint32_t storey, hr_segment line)
{
    double least = (double)INFINITY;
    for (size_t m = 0; m < b->storeys[storey].plan->metal_count; m++) {
        const hr_body *body = &b->storeys[storey].plan->metals[m];
        if (strcmp(hr_materials_get(b->materials, body->material)->name, "lift") != 0) {
            continue;
        }
        const hr_ring *ring = &body->region.rings[0];
        for (size_t i = 0; i < ring->count; i++) {
            const hr_segment edge = {ring->points[i], ring->points[(i + 1) % ring->count]};
            least = fmin(least, hr_geometry_segments_gap(line, edge));
        }
    }
    return least;
}

/* The same on a storey of Quillhaven Lodge: the gateway stands in the west corridor, then in front of the lifts.
 * Rooms whose line went through a shaft and no longer comes near one change by more than 6 dB; rooms whose lines
 * never came near keep theirs. */
static void out_of_the_shadow_in_quillhaven(void **state)
{
    (void)state;
    char path[600];
    (void)snprintf(path, sizeof path, "%s/examples/quillhaven-lodge.ini", getenv("HR_SOURCE_ROOT"));
    hr_building *b = NULL;
    hr_links *links = NULL;
    hr_link_work work = {0};
    assert_int_equal(hr_building_read(path, NULL, NULL, &b, NULL), HR_OK);
    assert_int_equal(hr_links_new(b, &links, NULL), HR_OK);
    const uint32_t storey = hr_building_storey(b, "3");
    assert_true(storey < b->storey_count);
    const hr_point before = {33.1, 7.4}, after = {51.5, 8.0};
    size_t shadowed = 0, never = 0;
    for (uint32_t d = 0; d < b->device_count; d++) {
        if (b->devices[d].storey != storey || b->kinds[b->devices[d].kind].joins != HR_JOINS_GATEWAY) {
            continue;
        }
        const double gap0 = gap_m(b, storey, (hr_segment){before, b->devices[d].at});
        const double gap1 = gap_m(b, storey, (hr_segment){after, b->devices[d].at});
        const double was = lift_line_db(b, links, &work, d, before), is = lift_line_db(b, links, &work, d, after);
        if (!(gap0 > 0.0) && gap1 > 1.0) {
            shadowed++;
            if (!(was - is > 6.0)) {
                fail_msg("%s: %.2f dB, then %.2f dB", b->devices[d].name, was, is);
            }
        } else if (gap0 > 1.0 && gap1 > 1.0) {
            never++;
            check_near(was, is, 0.0);
        }
    }
    print_message("# Quillhaven Lodge: %zu rooms come out of the lift's shadow, %zu were never in it\n", shadowed, never);
    assert_true(shadowed >= 2 && never >= 5);
    hr_links_work_free(&work);
    hr_links_free(links);
    hr_building_free(b);
}

/* A shape with a corner in it that the ray passes without touching is no closed box. */
static void past_a_bent_shape(void **state)
{
    (void)state;
    links_case c = case_of("frequency_mhz = 2450\n" STOREY, BENT);
    const double inside_its_bend = case_cross(&c, plain_end(9.7, 8, 1), plain_end(18, -0.4, 1)).metal_loss_db;
    assert_true(inside_its_bend < 12.0);
    assert_true(case_cross(&c, plain_end(0, -1.5, 1), plain_end(20, -1.5, 1)).metal_loss_db > 8.0);
    case_done(&c);
}

const struct CMUnitTest metal_tests[] = {
    cmocka_unit_test(a_shaft_has_lit_edges),
    cmocka_unit_test(a_sheet_is_a_single_edge),
    cmocka_unit_test(heights_count),
    cmocka_unit_test(continuous_at_its_edges),
    cmocka_unit_test(a_shaft_runs_through_all_storeys),
    cmocka_unit_test(moving_out_of_the_shadow),
    cmocka_unit_test(out_of_the_shadow_in_quillhaven),
    cmocka_unit_test(past_a_bent_shape),
};
const size_t metal_test_count = sizeof metal_tests / sizeof metal_tests[0];
