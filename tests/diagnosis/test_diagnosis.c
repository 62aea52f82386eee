/*
 * test_diagnosis.c - one room: its budgets, causes, first step, remedies.
 *
 * SPDX-License-Identifier: MIT
 */
#include "diagnosis_tests.h"

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lines_add_up),
        cmocka_unit_test(unknown_rooms),
        cmocka_unit_test(priors_alone),
        cmocka_unit_test(closest_within_3_db),
        cmocka_unit_test(beyond_100_feet),
        cmocka_unit_test(evidence_errors),
        cmocka_unit_test(enclosed_before_a_wall),
        cmocka_unit_test(five_levels_before_walls),
        cmocka_unit_test(a_wall_is_found),
        cmocka_unit_test(door_and_quality),
        cmocka_unit_test(remedies_hold),
        cmocka_unit_test(units_stay_where_they_are),
        cmocka_unit_test(staged_faults),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
