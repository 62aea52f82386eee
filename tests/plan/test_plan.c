/*
 * test_plan.c - the program: all lists of tests as one group.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_tests.h"

#include <stdlib.h>

#define MAX_TESTS 128

int main(void)
{
    static struct CMUnitTest tests[MAX_TESTS];
    const struct {
        const struct CMUnitTest *tests;
        size_t count;
    } parts[] = {
        {names_tests, names_test_count},   {maps_tests, maps_test_count},         {scale_tests, scale_test_count},
        {walls_tests, walls_test_count},   {openings_tests, openings_test_count}, {rooms_tests, rooms_test_count},
        {marks_tests, marks_test_count},   {places_tests, places_test_count},     {spots_tests, spots_test_count},
        {layers_tests, layers_test_count}, {drawn_tests, drawn_test_count},       {pairing_tests, pairing_test_count},
        {look_tests, look_test_count},
    };
    size_t count = 0;
    for (size_t p = 0; p < sizeof parts / sizeof parts[0]; p++) {
        for (size_t i = 0; i < parts[p].count; i++) {
            if (count == MAX_TESTS) {
                abort();
            }
            tests[count++] = parts[p].tests[i];
        }
    }
    return _cmocka_run_group_tests("plan", tests, count, NULL, NULL);
}
