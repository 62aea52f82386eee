/* scratch_priv.h - legs from an end to every bend of a storey, measured once
 * per end and kept in the caller's work.
 * SPDX-License-Identifier: MIT */
#ifndef SCRATCH_PRIV_H
#define SCRATCH_PRIV_H

#include "ways_priv.h"

/* Empties the scratch when it is full or was filled for another building; before a link, never within one. */
hr_status link_trim_scratch(const hr_links *links, hr_link_work *work, hr_error *err);
/* Legs from an end to the storey's bends, in their order. */
typedef struct link_fan {
    const link_leg *legs;
    const double *loss_db; /* of the same, for the search to run through */
    double least_db;
} link_fan;

/* Valid until the next trim. */
hr_status link_end_legs(const hr_links *links, hr_link_work *work, const hr_end *from, uint32_t storey, bool even,
                        link_fan *fan, hr_error *err);

#endif
