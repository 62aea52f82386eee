/* diagnosis_tests.h - shared by the files of this program.
 * SPDX-License-Identifier: MIT */
#ifndef DIAGNOSIS_TESTS_H
#define DIAGNOSIS_TESTS_H

#include "check.h"
#include "hr_diagnosis.h"
#include "hr_stats.h"

/* A property with some gateways, and everything that a diagnosis asks for. */
typedef struct made_site {
    hr_building *building;
    hr_links *links;
    hr_siting *siting;
} made_site;

/* property under examples/, list under tests/golden/inputs/; `every`: of the list's gateways each so-many-th alone. */
made_site make_site(const char *property, const char *list, size_t every);
void drop_site(made_site *site);
hr_readings *site_readings(const made_site *site, const char *csv);
hr_why *site_why(const made_site *site, uint32_t room, const hr_why_evidence *evidence);
double cause_of(const hr_why *why, const char *cause);

void lines_add_up(void **state);
void unknown_rooms(void **state);
void priors_alone(void **state);
void closest_within_3_db(void **state);
void beyond_100_feet(void **state);
void evidence_errors(void **state);
void enclosed_before_a_wall(void **state);
void five_levels_before_walls(void **state);
void a_wall_is_found(void **state);
void door_and_quality(void **state);
void remedies_hold(void **state);
void units_stay_where_they_are(void **state);

void staged_faults(void **state);

#endif
