/* fit_priv.h - shared by the files of the fit only.
 * SPDX-License-Identifier: MIT */
#ifndef FIT_PRIV_H
#define FIT_PRIV_H

#include "hr_diagnosis.h"

/* Per gateway of the building: from how many places apart it was heard, or heard from it; counted up to `most`. */
hr_status fit_count_places(const hr_readings *readings, size_t most, size_t *counts, hr_error *err);

/* One row per link; hits are those of its first reading. */
hr_status fit_merge(const hr_calibration_reading *rows, size_t n, const uint32_t *link_of, size_t links,
                    hr_calibration_reading *merged, hr_error *err);

#endif
