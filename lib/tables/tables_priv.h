/*
 * tables_priv.h - what embed.c writes and tables.c reads.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef TABLES_PRIV_H
#define TABLES_PRIV_H

#include <stddef.h>

typedef struct hr_tables_entry {
    const char *name;
    const unsigned char *bytes; /* a zero follows the last */
    size_t len;
} hr_tables_entry;

/* By name, ascending in strcmp order. */
extern const hr_tables_entry hr_tables_entries[];
extern const size_t hr_tables_entry_count;

#endif
