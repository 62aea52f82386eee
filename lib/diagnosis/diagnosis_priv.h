/* diagnosis_priv.h - shared by the files of this module only.
 * SPDX-License-Identifier: MIT */
#ifndef DIAGNOSIS_PRIV_H
#define DIAGNOSIS_PRIV_H

#include "hr_diagnosis.h"

/* What one diagnosis works with. */
typedef struct why_run {
    const hr_links *links;
    const hr_building *building;
    hr_link_work work;
    hr_why *why;
    hr_error *err;
} why_run;

/* ---- budget.c ---- */

/* The links of the room line by line, and its control to every gateway. */
hr_status why_measure_links(why_run *run);
hr_status why_measure_gateways(why_run *run);
/* What decides whether a direct link serves. */
bool why_serves(const hr_building *building, const hr_link *link);

#endif
