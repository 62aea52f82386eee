/*
 * test_diagnosis.c - one room: its budgets, causes, first step, remedies.
 *
 * SPDX-License-Identifier: MIT
 */
#include "diagnosis_tests.h"

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(staged_faults),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
