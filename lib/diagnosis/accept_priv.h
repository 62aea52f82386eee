/* accept_priv.h - shared by the files of the acceptance only.
 * SPDX-License-Identifier: MIT */
#ifndef ACCEPT_PRIV_H
#define ACCEPT_PRIV_H

#include "hr_diagnosis.h"

#define ACCEPT_NONE UINT32_MAX

/* The other end of a device's link: a gateway or a device. */
typedef struct accept_partner {
    uint32_t gateway, device; /* one of them, or neither */
} accept_partner;

typedef struct accept_work {
    const hr_readings *readings;
    const hr_building *b;
    const hr_siting *siting;
    hr_acceptance *out;
    uint32_t *owner; /* per reading: the device it speaks of, ACCEPT_NONE */
    uint32_t *order; /* readings by owner, as they stand in the list */
    size_t *first;   /* per device: where its readings begin in order; one more at the end */
    bool *judges;    /* per reading */
} accept_work;

/* accept_links.c */

/* Whose link a reading is; ACCEPT_NONE: of nobody's. */
uint32_t accept_owner(const accept_work *w, size_t reading);
accept_partner accept_partner_of(const accept_work *w, size_t reading);
bool accept_same(accept_partner a, accept_partner b);
/* Whom a device joined, by its last row that says anything, and row->joined; neither: nobody that is known. */
accept_partner accept_joined(const accept_work *w, hr_acceptance_row *row);
bool accept_is_known(accept_partner partner);
/* The link that judges a device; neither end: there is none. */
accept_partner accept_link(const accept_work *w, const hr_acceptance_row *row, accept_partner joined);
void accept_remark(hr_acceptance_row *row, const char *fmt, ...) HR_PRINTF(2, 3);

#endif
