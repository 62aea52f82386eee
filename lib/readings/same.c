/*
 * same.c - which readings are of one link: what stands between two places is
 * the same each time it is read, and in either direction.
 *
 * SPDX-License-Identifier: MIT
 */
#include "readings_priv.h"

#include <stdlib.h>
#include <string.h>

#define KEYS 6

/* Where both ends stand, whichever was measured at. */
typedef struct link_key {
    double at[KEYS];
    uint32_t reading;
} link_key;

static int compare_numbers(const double *a, const double *b, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (a[i] < b[i] || a[i] > b[i]) {
            return a[i] < b[i] ? -1 : 1;
        }
    }
    return 0;
}

static int compare_keys(const void *left, const void *right)
{
    const link_key *a = left, *b = right;
    const int order = compare_numbers(a->at, b->at, KEYS);
    return order != 0 ? order : (a->reading > b->reading) - (a->reading < b->reading);
}

static link_key key_of(const hr_reading *r, uint32_t index)
{
    const double from[3] = {r->from.end.z_m, r->from.end.at.y, r->from.end.at.x};
    const double to[3] = {r->to.end.z_m, r->to.end.at.y, r->to.end.at.x};
    const bool swapped = compare_numbers(from, to, 3) > 0;
    link_key key = {.reading = index};
    memcpy(key.at, swapped ? to : from, sizeof from);
    memcpy(key.at + 3, swapped ? from : to, sizeof to);
    return key;
}

hr_status hr_readings_links(const hr_readings *readings, uint32_t *link_of, size_t *links, hr_error *err)
{
    const size_t n = readings->count;
    link_key *keys = hr_alloc(n, sizeof *keys);
    uint32_t *first = hr_alloc(n, sizeof *first); /* reading that stands for each one's link */
    if (keys == NULL || first == NULL) {
        hr_free(keys);
        hr_free(first);
        return hr_fail_memory(err);
    }
    for (size_t i = 0; i < n; i++) {
        keys[i] = key_of(&readings->items[i], (uint32_t)i);
    }
    qsort(keys, n, sizeof *keys, compare_keys);
    for (size_t i = 0, begin = 0; i < n; i++) {
        begin = compare_numbers(keys[i].at, keys[begin].at, KEYS) == 0 ? begin : i;
        first[keys[i].reading] = keys[begin].reading; /* the earliest in the list */
    }
    *links = 0;
    for (size_t i = 0; i < n; i++) { /* links in the order of the list */
        link_of[i] = first[i] == i ? (uint32_t)(*links)++ : link_of[first[i]];
    }
    hr_free(keys);
    hr_free(first);
    return HR_OK;
}
