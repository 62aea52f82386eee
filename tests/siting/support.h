/*
 * support.h - shared by the files of this program: a row of rooms, a mesh of
 * it, answers or the test's end.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef SITING_SUPPORT_H
#define SITING_SUPPORT_H

#include "../property.h"

#include "hr_siting.h"

/* A row of rooms, 4 m each, south of a corridor of 2 m; doors in the corridor wall. */
void corridor_plan(hr_text *t, int rooms, bool reversed, const char *more);

#define INI(radio, rest)                                                                                               \
    "[property]\nname = Row\nlength_unit = m\n[radio]\nfrequency_mhz = 868\n" radio                                   \
    "[storey 1]\nplan = plan.svg\n" rest

hr_siting *placed_with(const hr_building *building, const hr_siting_options *options);
hr_siting *rooms_with(const hr_building *building, const hr_siting_options *options);

extern const struct CMUnitTest mesh_tests[], rule_tests[], cable_tests[], models_tests[];
extern const size_t mesh_test_count, rule_test_count, cable_test_count, models_test_count;

#endif
