/*
 * test_maps.c - drawings of others, by the `map` lines of [drawing].
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_tests.h"

static made mapped(const char *body, const hr_plan_map *maps, size_t count)
{
    const hr_plan_options options = {
        .metres_per_unit = 1.0, .maps = maps, .map_count = count, .property_file = "some.ini"};
    return make(body, &options);
}

static size_t walls_with(const char *body, const hr_plan_map *map)
{
    made m = mapped(body, map, 1);
    if (m.status != HR_OK) {
        fail_msg("line %d: %s", m.err.line, m.err.text);
    }
    const size_t count = m.plan->wall_count;
    unmake(&m);
    return count;
}

static void by_layer(void **unused)
{
    (void)unused;
    const hr_plan_map map = {.select = HR_MAP_LAYER, .text = "A-WALL-FULL", .target = "walls: brick-200", .line = 7};
    assert_int_equal(walls_with(LAYER("A-WALL-FULL", LINE("M0 0H5")) LAYER("other", LINE("M0 1H5")), &map), 1);
    assert_int_equal(walls_with(LAYER("a-wall-full", "<g>" LINE("M0 0H5") "</g>"), &map), 1);
    assert_int_equal(walls_with("<g><title>A-Wall-Full</title>" LINE("M0 0H5") "</g>", &map), 1);
    assert_int_equal(walls_with("<g id='A-WALL-FULL'>" LINE("M0 0H5") "</g>", &map), 1);
    assert_int_equal(walls_with("<g inkscape:label='A-WALL-FULL-2'>" LINE("M0 0H5") "</g>", &map), 0);
}

static void by_class(void **unused)
{
    (void)unused;
    const hr_plan_map map = {.select = HR_MAP_CLASS, .text = "st7", .target = "walls: brick-200"};
    assert_int_equal(
        walls_with("<path class='a st7 b' d='M0 0H5' stroke='#000'/><path class='st77' d='M0 1H5' stroke='#000'/>",
                   &map),
        1);
    assert_int_equal(walls_with("<g class='st7'>" LINE("M0 0H5") "</g>", &map), 1);
}

static void by_stroke(void **unused)
{
    (void)unused;
    const hr_plan_map map = {.select = HR_MAP_STROKE, .stroke = {true, 255, 0, 0}, .target = "walls: brick-200"};
    assert_int_equal(walls_with("<path d='M0 0H5' stroke='#ff0000'/>", &map), 1);
    assert_int_equal(walls_with("<path d='M0 0H5' stroke='red'/>", &map), 1);
    assert_int_equal(walls_with("<path d='M0 0H5' style='stroke:rgb(253,2,1)'/>", &map), 1);
    assert_int_equal(walls_with("<path d='M0 0H5' stroke='#fc0000'/>", &map), 0);
    assert_int_equal(walls_with("<path d='M0 0H5' stroke='#ff0300'/>", &map), 0);
    assert_int_equal(walls_with("<path d='M0 0H5'/>", &map), 0);
    assert_int_equal(walls_with("<g stroke='#f00'><path d='M0 0H5'/></g>", &map), 1);
}

static void names_and_maps(void **unused)
{
    (void)unused;
    const hr_plan_map red = {.select = HR_MAP_STROKE, .stroke = {true, 255, 0, 0}, .target = "walls: brick-200"};
    uint32_t material = 0;
    /* a hit on the shape beats what it inherits */
    made m = mapped(LAYER("walls: plasterboard", "<path d='M0 0H5' stroke='red'/>"), &red, 1);
    assert_int_equal(m.status, HR_OK);
    assert_int_equal(walls_at(m.plan, 2, 0, &material), 1);
    assert_int_equal(material, material_called("brick-200"));
    unmake(&m);
    /* its own name beats a map */
    m = mapped("<path d='M0 0H5' stroke='red' inkscape:label='walls: plasterboard'/>", &red, 1);
    assert_int_equal(m.status, HR_OK);
    assert_int_equal(walls_at(m.plan, 2, 0, &material), 1);
    assert_int_equal(material, material_called("plasterboard"));
    unmake(&m);
    /* the first of two maps that hit */
    const hr_plan_map two[2] = {
        red, {.select = HR_MAP_STROKE, .stroke = {true, 255, 0, 0}, .target = "walls: plasterboard"}};
    m = mapped("<path d='M0 0H5' stroke='red'/>", two, 2);
    assert_int_equal(walls_at(m.plan, 2, 0, &material), 1);
    assert_int_equal(material, material_called("brick-200"));
    unmake(&m);
}

static void wrong_targets(void **unused)
{
    (void)unused;
    const char *const targets[] = {"walls: brik-200", "wals: brick-200", "walls", "chairs", ""};
    for (size_t i = 0; i < sizeof targets / sizeof targets[0]; i++) {
        const hr_plan_map map = {.select = HR_MAP_LAYER, .text = "x", .target = targets[i], .line = 12};
        made m = mapped(LAYER("x", LINE("M0 0H5")), &map, 1);
        assert_int_equal(m.status, HR_ERR_INPUT);
        assert_int_equal(m.err.line, 12);
        assert_string_equal(m.err.file, "some.ini");
        unmake(&m);
    }
}

static void rooms_and_ignore_by_map(void **unused)
{
    (void)unused;
    const hr_plan_map maps[3] = {{.select = HR_MAP_LAYER, .text = "A-AREA", .target = "rooms"},
                                 {.select = HR_MAP_LAYER, .text = "A-FURN", .target = "ignore"},
                                 {.select = HR_MAP_LAYER, .text = "A-DOOR", .target = "doors: fire-door 0-2.1"}};
    made m = mapped(LAYER("A-AREA", NAMED("12", "M0 0H4V4H0Z")) LAYER("A-FURN", LINE("M1 1H2"))
                        LAYER("A-DOOR", LINE("M0 9H1")) WALLS("M-5 9H5"),
                    maps, 3);
    assert_int_equal(m.status, HR_OK);
    assert_int_equal(m.plan->room_count, 1);
    assert_int_equal(m.plan->opening_count, 1);
    assert_int_equal(m.plan->openings[0].material, material_called("fire-door"));
    assert_int_equal(m.plan->wall_count, 1);
    unmake(&m);
}

const struct CMUnitTest maps_tests[] = {
    cmocka_unit_test(by_layer),       cmocka_unit_test(by_class),      cmocka_unit_test(by_stroke),
    cmocka_unit_test(names_and_maps), cmocka_unit_test(wrong_targets), cmocka_unit_test(rooms_and_ignore_by_map),
};
const size_t maps_test_count = sizeof maps_tests / sizeof maps_tests[0];
