/*
 * test_marks.c - devices, spots, gateways and network points.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_tests.h"

#define ROOMS ROOM("21", "M0 0H4V5H0Z") ROOM("22", "M4 0H8V5H4Z")

static void devices(void **unused)
{
    (void)unused;
    made m = make_quiet(
        ROOMS LAYER("devices: wall", "<circle cx='1' cy='2' r='.1'/><rect x='5' y='1' width='.2' height='.4'/>")
            LAYER("devices: unit", "<path d='M1 4L2 4.5' stroke='red'/>"));
    assert_int_equal(m.plan->device_count, 3);
    check_near(m.plan->devices[0].at.x, 1.0, 1e-9);
    check_near(m.plan->devices[0].at.y, 2.0, 1e-9);
    assert_string_equal(m.plan->devices[0].value, "wall");
    assert_string_equal(m.plan->spaces[m.plan->devices[0].room].name, "21");
    check_near(m.plan->devices[1].at.x, 5.1, 1e-9);
    check_near(m.plan->devices[1].at.y, 1.2, 1e-9);
    assert_string_equal(m.plan->spaces[m.plan->devices[1].room].name, "22");
    assert_string_equal(m.plan->devices[2].value, "unit");
    check_near(m.plan->devices[2].at.x, 1.5, 1e-9);
    check_near(m.plan->devices[2].at.y, 4.25, 1e-9);
    unmake(&m);
}

/* A line is an arrow; `facing` in the own name wins over it. */
static void where_cases_open(void **unused)
{
    (void)unused;
    made m = make_quiet(
        ROOMS LAYER("devices: unit", "<path d='M1 4L2 4' stroke='red'/><path d='M1 1V3' stroke='red'/>"
                                     "<circle cx='3' cy='2' r='.1'/><rect x='5' y='1' width='.2' height='.4'>"
                                     "<title>A facing left</title></rect><path d='M6 1V3'><title>B facing 45</title></path>"));
    assert_int_equal(m.plan->device_count, 5);
    const hr_point expected[] = {{1, 0}, {0, 1}, {0, 0}, {-1, 0}, {sqrt(0.5), sqrt(0.5)}};
    for (size_t i = 0; i < 5; i++) {
        check_near(m.plan->devices[i].faces.x, expected[i].x, 1e-9);
        check_near(m.plan->devices[i].faces.y, expected[i].y, 1e-9);
    }
    unmake(&m);
}

/* A direction that is none is asked about. */
static void facing_nowhere(void **unused)
{
    (void)unused;
    made m = make(ROOMS LAYER("devices: unit", "<circle cx='1' cy='2' r='.1'><title>A facing north</title></circle>"), NULL);
    assert_int_equal(m.status, HR_OK);
    assert_true(has_note(&m, "facing left, right, up, down"));
    check_near(m.plan->devices[0].faces.x, 0.0, 1e-12);
    unmake(&m);
}

static void devices_outside_every_room(void **unused)
{
    (void)unused;
    refused(ROOMS LAYER("devices: wall", "<circle cx='1' cy='9' r='.1'/>"), NULL, 4, "room");
    const hr_plan_options lenient = {.metres_per_unit = 1.0, .lenient = true};
    made m = make(ROOMS LAYER("devices: wall", "<circle cx='1' cy='9' r='.1'/>"), &lenient);
    assert_int_equal(m.status, HR_OK);
    assert_true(hr_notes_count(m.notes) > 0);
    for (size_t i = 0; i < m.plan->device_count; i++) {
        assert_int_equal(m.plan->devices[i].room, HR_PLAN_NONE);
    }
    unmake(&m);
}

static void kinds_of_devices(void **unused)
{
    (void)unused;
    static const char *const kinds[2] = {"wall", "unit"};
    const hr_plan_options options = {.metres_per_unit = 1.0, .device_kinds = kinds, .device_kind_count = 2};
    static const char good[] = ROOMS LAYER("devices: Wall", "<circle cx='1' cy='2' r='.1'/>");
    made m = make(good, &options);
    assert_int_equal(m.status, HR_OK);
    assert_int_equal(m.plan->device_count, 1);
    unmake(&m);
    refused(ROOMS LAYER("devices: wal", "<circle cx='1' cy='2' r='.1'/>"), &options, 4, "wall");
    refused(ROOMS LAYER("devices: thermometer", "<circle cx='1' cy='2' r='.1'/>"), &options, 4, "thermometer");
    refused(ROOMS LAYER("devices", "<circle cx='1' cy='2' r='.1'/>"), NULL, 4, "devices");
}

static void spots_gateways_and_network(void **unused)
{
    (void)unused;
    made m = make_quiet(
        LAYER("spots", "<circle cx='1' cy='2' r='.1'/><circle cx='2' cy='2' r='.1'><title>A7</title></circle>")
            LAYER("spots: ceiling", "<circle cx='3.00049' cy='2' r='.1' id='B_x20_1'/>") LAYER(
                "gateways", "<circle cx='4' cy='2' r='.1'><title>GW-1</title></circle><circle cx='5' cy='2' r='.1'/>")
                LAYER("network", "<rect x='6' y='2' width='1' height='1' inkscape:label='Riser'/>"));
    assert_int_equal(m.plan->spot_count, 3);
    assert_null(m.plan->spots[0].name);
    assert_string_equal(m.plan->spots[1].name, "A7");
    assert_string_equal(m.plan->spots[2].value, "ceiling");
    assert_string_equal(m.plan->spots[2].name, "B 1");
    check_near(m.plan->spots[2].at.x, 3.0, 1e-12); /* to the millimetre */
    assert_int_equal(m.plan->gateway_count, 2);
    assert_string_equal(m.plan->gateways[0].name, "GW-1");
    assert_null(m.plan->gateways[1].name);
    assert_int_equal(m.plan->network_count, 1);
    assert_string_equal(m.plan->networks[0].name, "Riser");
    check_near(m.plan->networks[0].at.x, 6.5, 1e-9);
    unmake(&m);
}

const struct CMUnitTest marks_tests[] = {
    cmocka_unit_test(devices),
    cmocka_unit_test(where_cases_open),
    cmocka_unit_test(facing_nowhere),
    cmocka_unit_test(devices_outside_every_room),
    cmocka_unit_test(kinds_of_devices),
    cmocka_unit_test(spots_gateways_and_network),
};
const size_t marks_test_count = sizeof marks_tests / sizeof marks_tests[0];
