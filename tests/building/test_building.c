/*
 * test_building.c - runs the tests of lib/building and writes their plans.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_test.h"

#include <stdlib.h>

#define SVG_OPEN "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1000 1000'>"
#define SCALE "<g data-name='scale: 10 m'><line x1='0' y1='900' x2='1000' y2='900'/></g>"
/* Two rooms of 4 x 5 m above a corridor of 8 x 2 m; 100 units a metre. */
#define WALLS                                                                                                          \
    "<g data-name='walls: plasterboard' fill='none' stroke='#000'><path d='M0 0H800V700H0Z M0 500H800 M400 "           \
    "0V500'/></g>"                                                                                                     \
    "<g data-name='doors: timber-door'><path d='M300 500H390 M700 500H790'/></g>"                                      \
    "<g data-name='windows: glass'><path d='M100 0H250 M500 0H650'/></g>"
#define ROOMS(A, B)                                                                                                    \
    "<g data-name='rooms'><rect x='0' y='0' width='400' height='500'><title>" A "</title></rect>"                      \
    "<rect x='400' y='0' width='400' height='500'><title>" B "</title></rect></g>"                                     \
    "<g data-name='corridors'><rect x='0' y='500' width='800' height='200'/></g>"
#define SVG_CLOSE "</svg>"

static int write_plans(void **state)
{
    (void)state;
    test_write("two.svg", SVG_OPEN SCALE WALLS ROOMS("01", "02") SVG_CLOSE);
    test_write("lobby.svg", SVG_OPEN SCALE WALLS SVG_CLOSE);
    test_write("bare.svg", SVG_OPEN SCALE ROOMS("01", "02") SVG_CLOSE);
    test_write("named.svg", SVG_OPEN SCALE WALLS ROOMS("Suite", "7") SVG_CLOSE);
    test_write("unscaled.svg", SVG_OPEN WALLS ROOMS("01", "02") SVG_CLOSE);
    test_write(
        "layers.svg",
        "<svg xmlns='http://www.w3.org/2000/svg' xmlns:i='http://www.inkscape.org/namespaces/inkscape' "
        "viewBox='0 0 1000 1000'>"
        "<g i:groupmode='layer' i:label='Level 1'>" SCALE WALLS ROOMS(
            "101", "102") "</g>"
                          "<g i:groupmode='layer' i:label='Level 2'>" SCALE WALLS ROOMS("201", "202") "</g>" SVG_CLOSE);
    test_write("foreign.svg", SVG_OPEN SCALE
               "<g id='A-WALL' fill='none' stroke='#000'><path d='M0 0H800V700H0Z M0 500H800 M400 0V500'/></g>" ROOMS(
                   "01", "02") SVG_CLOSE);
    test_write(
        "drawn.svg",
        SVG_OPEN SCALE WALLS ROOMS(
            "01",
            "02") "<g data-name='devices: wall'><circle cx='100' cy='100' r='5'/><circle cx='150' cy='300' r='5'/>"
                  "<circle cx='600' cy='200' r='5'/></g>"
                  "<g data-name='devices: sensor'><circle cx='50' cy='50' r='5'/></g>" SVG_CLOSE);
    test_write("misspelt.svg",
               SVG_OPEN SCALE WALLS ROOMS(
                   "01", "02") "<g data-name='devices: wal'><circle cx='100' cy='100' r='5'/></g>" SVG_CLOSE);
    test_write("outside.svg",
               SVG_OPEN SCALE WALLS ROOMS(
                   "01", "02") "<g data-name='devices: wall'><circle cx='100' cy='600' r='5'/></g>" SVG_CLOSE);
    test_write("onwall.svg",
               SVG_OPEN SCALE WALLS ROOMS(
                   "01", "02") "<g data-name='devices: wall'><circle cx='399.5' cy='300' r='5'/></g>" SVG_CLOSE);
    test_write(
        "spots.svg",
        SVG_OPEN SCALE WALLS ROOMS(
            "01", "02") "<g data-name='spots: linen closet'><circle cx='600' cy='600' r='5'/><circle cx='200' cy='600' "
                        "r='5'/></g>"
                        "<g data-name='spots'><circle cx='100.0444' cy='650' r='5'><title>riser A</title></circle>"
                        "<circle cx='300' cy='650' r='5'/><circle cx='780' cy='680' r='5'/></g>"
                        "<g data-name='keep-out'><rect x='750' y='650' width='50' height='50'/></g>"
                        "<g data-name='gateways'><circle cx='400' cy='600' r='5'><title>GW-North</title></circle>"
                        "<circle cx='790' cy='690' r='5'/></g>" SVG_CLOSE);
    return 0;
}

static int remove_plans(void **state)
{
    (void)state;
    test_remove_folder();
    return 0;
}

int main(void)
{
    const struct {
        const struct CMUnitTest *tests;
        size_t count;
    } groups[] = {
        {ini_tests, ini_test_count},         {key_tests, key_test_count},        {section_tests, section_test_count},
        {storey_tests, storey_test_count},   {room_tests, room_test_count},      {device_tests, device_test_count},
        {spot_tests, spot_test_count},       {list_tests, list_test_count},      {rule_tests, rule_test_count},
        {setting_tests, setting_test_count}, {drawing_tests, drawing_test_count},
        {other_tests, other_test_count}};
    /* one group, so that the program speaks one stream of TAP */
    static struct CMUnitTest all[256];
    size_t count = 0;
    for (size_t g = 0; g < sizeof groups / sizeof groups[0]; g++) {
        for (size_t i = 0; i < groups[g].count; i++) {
            all[count++] = groups[g].tests[i];
        }
    }
    return _cmocka_run_group_tests("building", all, count, write_plans, remove_plans);
}
