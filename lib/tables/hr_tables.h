/*
 * hr_tables.h - the files of reference/ and the page's style and script,
 * linked in as bytes at build time.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_TABLES_H
#define HR_TABLES_H

#include "hr_base.h"

#ifdef __cplusplus
extern "C" {
#endif

/* The bytes of one table by its file name ("materials.csv"); a zero follows
 * the last byte. NULL when there is no such table. *len may be NULL. */
HR_API const char *hr_tables_bytes(const char *name, size_t *len);

/* The names, in alphabetical order; NULL past the last. */
HR_API const char *hr_tables_name(size_t index);

/* The table read as CSV; HR_ERR_ARGUMENT when there is no such table. */
HR_API hr_status hr_tables_csv(const char *name, hr_csv **csv, hr_error *err);

#ifdef __cplusplus
}
#endif
#endif
