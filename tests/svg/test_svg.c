/*
 * test_svg.c - the drawing reader: all its groups of tests in one program.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_help.h"

#include <stdlib.h>

int main(void)
{
    const test_group groups[] = {path_tests(), place_tests(), style_tests(), text_tests(), refusal_tests()};
    struct CMUnitTest all[256];
    size_t count = 0;
    for (size_t g = 0; g < sizeof groups / sizeof *groups; g++) {
        for (size_t i = 0; i < groups[g].count; i++) {
            if (count == sizeof all / sizeof *all) {
                return EXIT_FAILURE;
            }
            all[count++] = groups[g].tests[i];
        }
    }
    /* cmocka_run_group_tests wants an array of known size */
    for (size_t i = count; i < sizeof all / sizeof *all; i++) {
        all[i] = (struct CMUnitTest){0};
    }
    return _cmocka_run_group_tests("svg", all, count, NULL, NULL);
}
