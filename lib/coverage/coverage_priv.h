/* coverage_priv.h - shared by the files of this module only.
 * SPDX-License-Identifier: MIT */
#ifndef COVERAGE_PRIV_H
#define COVERAGE_PRIV_H

#include "hr_coverage.h"

/* More slabs than that lie between the ends for sure: many links of a tall building need no measuring. */
bool coverage_is_beyond_slabs(const hr_building *building, const hr_end *a, const hr_end *b, long max_slabs);

#endif
