/*
 * test_devices.c - devices drawn or at their default places, and their names.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_test.h"

#define WALL "[device wall]\npower = battery\nrelays = no\n"
#define SENSOR "[device sensor]\npower = battery\nrelays = no\njoins = wall\n"

static const hr_device *device(const reading *r, const char *name)
{
    const uint32_t at = hr_building_device(r->b, name);
    if (at == UINT32_MAX) {
        fail_msg("no device %s", name);
    }
    return &r->b->devices[at];
}

static void test_default_places(void **state)
{
    (void)state;
    reading r =
        reads(HEAD "[device wall]\npower = battery\nrelays = no\n[device unit]\npower = mains\nrelays = no\n"
                   "mount_height = 0.4\njoins = wall\n[device occupancy]\npower = battery\nrelays = no\n"
                   "[device window-sensor]\npower = battery\nrelays = no\n[device door-sensor]\npower = battery\n"
                   "relays = no\n" STOREY);
    assert_int_equal(r.b->device_count, 10);
    /* room 01: door from x 3.0 to 3.9 in the wall at y = 5, longer free wall to its left */
    const hr_device *wall = device(&r, "01/wall");
    check_near(wall->at.x, 2.7, 1e-9);
    check_near(wall->at.y, 4.9, 1e-9);
    check_near(wall->z_m, 1.2, 0.0);
    assert_false(wall->drawn);
    assert_int_equal(wall->facing, -1);
    /* the window's middle is at 1.75, the unit 0.3 m inside it */
    const hr_device *unit = device(&r, "01/unit");
    check_near(unit->at.x, 1.75, 1e-9);
    check_near(unit->at.y, 0.3, 1e-9);
    check_near(unit->z_m, 0.4, 0.0);
    /* its case opens to the room's wall control */
    const double to_wall_m = hypot(2.7 - 1.75, 4.9 - 0.3);
    assert_ptr_equal(&r.b->devices[unit->facing], wall);
    check_near(unit->faces.x, (2.7 - 1.75) / to_wall_m, 1e-9);
    check_near(unit->faces.y, (4.9 - 0.3) / to_wall_m, 1e-9);
    const hr_device *window = device(&r, "01/window-sensor");
    check_near(window->at.x, 1.75, 1e-9);
    check_near(window->at.y, 0.05, 1e-9);
    const hr_device *door = device(&r, "01/door-sensor");
    check_near(door->at.x, 3.45, 1e-9);
    check_near(door->at.y, 4.95, 1e-9);
    const hr_device *occupancy = device(&r, "02/occupancy");
    check_near(occupancy->at.x, 6.0, 0.01);
    assert_true(occupancy->at.y >= 2.0 - 0.01 && occupancy->at.y <= 3.0 + 0.01);
    done(&r);
}

static void test_order_and_names(void **state)
{
    (void)state;
    reading r = reads(HEAD SENSOR WALL "per_room = 3\n[storey 2-3]\nplan = two.svg\nfloor_to_floor = 4\n");
    static const char *const names[] = {"201/sensor", "201/wall", "201/wall-B", "201/wall-C", "202/sensor"};
    assert_int_equal(r.b->device_count, 2 * 2 * 4);
    for (size_t i = 0; i < COUNT_OF(names); i++) {
        assert_string_equal(r.b->devices[i].name, names[i]);
    }
    const hr_device *last = &r.b->devices[15];
    assert_string_equal(last->name, "302/wall-C");
    assert_int_equal(last->storey, 1);
    assert_int_equal(last->room, 3);
    assert_int_equal(last->kind, 1);
    check_near(last->z_m, 4.0 + 1.2, 1e-12);
    check_near(last->mount_height_m, 1.2, 0.0);
    check_near(device(&r, "201/WALL-b")->at.x, device(&r, "201/wall")->at.x, 0.0);
    expect_note(&r, "wall: the 3 devices of a room stand at one and the same default place");
    done(&r);
}

static void test_drawn_ones_count(void **state)
{
    (void)state;
    reading r = reads(HEAD WALL "per_room = 4\n" SENSOR "[storey 1]\nplan = drawn.svg\n");
    /* two walls drawn in 01, one in 02, one sensor in 01; 02's sensor at its default place */
    assert_int_equal(r.b->device_count, 5);
    const hr_device *first = device(&r, "01/wall"), *second = device(&r, "01/wall-B");
    check_near(first->at.x, 1.0, 1e-9);
    check_near(first->at.y, 1.0, 1e-9);
    check_near(second->at.x, 1.5, 1e-9);
    check_near(second->at.y, 3.0, 1e-9);
    assert_true(first->drawn && second->drawn);
    check_near(device(&r, "02/wall")->at.x, 6.0, 1e-9);
    check_near(device(&r, "01/sensor")->at.x, 0.5, 1e-9);
    assert_true(device(&r, "01/sensor")->drawn);
    assert_false(device(&r, "02/sensor")->drawn);
    expect_no_note(&r, "default place");
    done(&r);
}

static void test_no_devices_per_room(void **state)
{
    (void)state;
    reading r = reads(HEAD WALL SENSOR "per_room = 0\n[storey 1]\nplan = drawn.svg\n");
    assert_int_equal(r.b->device_count, 4); /* only the drawn sensor */
    assert_int_equal(hr_building_device(r.b, "02/sensor"), UINT32_MAX);
    done(&r);
}

static void test_unknown_kind_drawn(void **state)
{
    (void)state;
    reading r = read_text(HEAD WALL "[storey 1]\nplan = drawn.svg\n");
    assert_int_equal(r.status, HR_ERR_INPUT);
    assert_non_null(strstr(r.err.text, "[device sensor]"));
    done(&r);
    r = read_text(HEAD WALL "[storey 1]\nplan = misspelt.svg\n");
    assert_int_equal(r.status, HR_ERR_INPUT);
    assert_non_null(strstr(r.err.file, "misspelt.svg"));
    assert_non_null(strstr(r.err.text, "did you mean wall?"));
    done(&r);
    /* a property that is only read may have no [device ...] section */
    const hr_building_options lenient = {.lenient = true};
    r = read_with("[property]\nname = T\nlength_unit = m\n[storey 1]\nplan = drawn.svg\n", &lenient);
    assert_int_equal(r.status, HR_OK);
    expect_note(&r, "devices of kind sensor are left out: no [device sensor] section");
    assert_int_equal(r.b->device_count, 3);
    done(&r);
    r = read_with(HEAD WALL "[storey 1]\nplan = misspelt.svg\n", &lenient);
    assert_int_equal(r.status, HR_OK);
    expect_note(&r, "did you mean wall?");
    done(&r);
}

static void test_outside_every_room(void **state)
{
    (void)state;
    reading r = read_text(HEAD "[storey 1]\nplan = outside.svg\n");
    assert_int_equal(r.status, HR_ERR_INPUT);
    assert_non_null(strstr(r.err.file, "outside.svg"));
    assert_int_equal(r.err.line, 1);
    assert_non_null(strstr(r.err.text, "room"));
    done(&r);
    const hr_building_options lenient = {.lenient = true};
    r = read_with(HEAD "[storey 1]\nplan = outside.svg\n", &lenient);
    assert_int_equal(r.status, HR_OK);
    expect_note(&r, "outside.svg:1: device wall at 1.00, 6.00 m");
    assert_int_equal(r.b->device_count, 2); /* both rooms have theirs at the default place */
    assert_false(r.b->devices[0].drawn);
    done(&r);
}

static void test_names_that_clash(void **state)
{
    (void)state;
    refuse(HEAD WALL "per_room = 2\n[device wall-B]\npower = mains\nrelays = no\n" STOREY, HR_ERR_INPUT, 0,
           "two devices are called 01/wall-B");
}

static void test_too_many_drawn(void **state)
{
    (void)state;
    hr_text text = {0};
    hr_text_add(&text, "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1000 1000'>"
                       "<g data-name='scale: 10 m'><line x1='0' y1='900' x2='1000' y2='900'/></g>"
                       "<g data-name='walls: brick-100'><path d='M0 0H800V700H0Z'/></g>"
                       "<g data-name='rooms'><rect width='400' height='500'><title>1</title></rect></g>"
                       "<g data-name='devices: wall'>");
    for (int i = 0; i < 26; i++) {
        hr_text_addf(&text, "\n<circle cx='%d' cy='100' r='2'/>", 10 + 10 * i);
    }
    const size_t before = text.len;
    hr_text_add(&text, "</g></svg>");
    test_write("many.svg", text.bytes);
    reading r = reads(HEAD "[storey 1]\nplan = many.svg\n");
    assert_int_equal(r.b->device_count, 26);
    assert_string_equal(r.b->devices[25].name, "1/wall-Z");
    check_near(r.b->devices[25].at.x, 2.6, 1e-9);
    done(&r);
    text.len = before;
    hr_text_add(&text, "\n<circle cx='300' cy='100' r='2'/></g></svg>");
    test_write("many.svg", text.bytes);
    hr_text_free(&text);
    r = read_text(HEAD "[storey 1]\nplan = many.svg\n");
    assert_int_equal(r.status, HR_ERR_LIMIT);
    assert_int_equal(r.err.line, 28);
    assert_non_null(strstr(r.err.text, "more than 26 devices of kind wall in room 1"));
    done(&r);
}

static void test_too_many_in_all(void **state)
{
    (void)state;
    /* 200 storeys x 2 rooms x 26 kinds x 26 of each are 270,400 */
    hr_text text = {0};
    hr_text_add(&text, HEAD);
    for (int i = 0; i < (int)HR_MAX_KINDS; i++) {
        hr_text_addf(&text, "[device k%d]\npower = mains\nrelays = no\nper_room = 26\n", i);
    }
    hr_text_add(&text, "[storey 1-200]\nplan = two.svg\nroom_name = {storey}.{name}\n");
    refuse(text.bytes, HR_ERR_LIMIT, 0, "more devices than the limit of 200000");
    hr_text_free(&text);
}

static void test_on_a_wall(void **state)
{
    (void)state;
    reading r = reads(HEAD "[storey 1-3]\nplan = onwall.svg\n");
    expect_note(&r, "onwall.svg: device 101/wall stands on a wall (within 1 cm); that wall is not counted for it");
    expect_no_note(&r, "201/wall"); /* once for the plan */
    done(&r);
    r = reads(HEAD STOREY);
    expect_no_note(&r, "on a wall");
    done(&r);
    /* the edge of a solid and a window count as walls here; 2 cm off is off */
    test_write("edges.svg",
               "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1000 1000'>"
               "<g data-name='scale: 10 m'><line x1='0' y1='900' x2='1000' y2='900'/></g>"
               "<g data-name='walls: plasterboard' fill='none' stroke='#000'><path d='M0 0H800V700H0Z'/></g>"
               "<g data-name='solids: concrete-200'><rect x='300' y='200' width='50' height='50'/></g>"
               "<g data-name='windows: glass'><path d='M100 0H250'/></g>"
               "<g data-name='rooms'><rect width='800' height='700'><title>1</title></rect></g>"
               "<g data-name='devices: wall'><circle cx='299.5' cy='220' r='2'/><circle cx='200' cy='0.5' r='2'/>"
               "<circle cx='298' cy='220' r='2'/></g></svg>");
    r = reads(HEAD "[storey 1]\nplan = edges.svg\n");
    expect_note(&r, "edges.svg: 2 devices stand on a wall (within 1 cm), 1/wall the first");
    done(&r);
}

const struct CMUnitTest device_tests[] = {
    cmocka_unit_test(test_default_places),     cmocka_unit_test(test_order_and_names),
    cmocka_unit_test(test_drawn_ones_count),   cmocka_unit_test(test_no_devices_per_room),
    cmocka_unit_test(test_unknown_kind_drawn), cmocka_unit_test(test_outside_every_room),
    cmocka_unit_test(test_names_that_clash),   cmocka_unit_test(test_too_many_drawn),
    cmocka_unit_test(test_too_many_in_all),    cmocka_unit_test(test_on_a_wall)};
const size_t device_test_count = COUNT_OF(device_tests);
