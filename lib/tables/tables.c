/*
 * tables.c - the tables linked in, by name.
 *
 * SPDX-License-Identifier: MIT
 */
#include "hr_tables.h"

#include <string.h>

#include "tables_priv.h"

const char *hr_tables_bytes(const char *name, size_t *len)
{
    if (name == NULL) {
        return NULL;
    }
    for (size_t i = 0; i < hr_tables_entry_count; i++) {
        if (strcmp(hr_tables_entries[i].name, name) == 0) {
            if (len != NULL) {
                *len = hr_tables_entries[i].len;
            }
            return (const char *)hr_tables_entries[i].bytes;
        }
    }
    return NULL;
}

const char *hr_tables_name(size_t index)
{
    return index < hr_tables_entry_count ? hr_tables_entries[index].name : NULL;
}

hr_status hr_tables_csv(const char *name, hr_csv **csv, hr_error *err)
{
    size_t len = 0;
    const char *bytes = hr_tables_bytes(name, &len);
    if (bytes == NULL) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "there is no built-in table '%s'", name != NULL ? name : "");
    }
    return hr_csv_parse(name, bytes, len, csv, err);
}
