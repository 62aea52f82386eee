/*
 * fit_links.c - readings of one link are one witness: what shadows it is the
 * same each time. They go into the fit as their median, or a link read ten
 * times would make the building look ten times as well known.
 *
 * SPDX-License-Identifier: MIT
 */
#include "fit_priv.h"

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

hr_status fit_find_links(const hr_readings *readings, uint32_t *link_of, size_t *links, hr_error *err)
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

static int compare_levels(const void *left, const void *right)
{
    const double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

/* Of a link: the median of its levels, an unheard one standing at its threshold; never heard: the lowest threshold. */
static hr_calibration_reading median_of(const hr_calibration_reading *rows, const uint32_t *members, size_t count, double *levels)
{
    hr_calibration_reading merged = rows[members[0]];
    merged.heard = false;
    for (size_t i = 0; i < count; i++) {
        levels[i] = rows[members[i]].level_db;
        merged.heard = merged.heard || rows[members[i]].heard;
    }
    qsort(levels, count, sizeof *levels, compare_levels);
    merged.level_db = merged.heard ? 0.5 * (levels[(count - 1) / 2] + levels[count / 2]) : levels[0];
    return merged;
}

hr_status fit_merge(const hr_calibration_reading *rows, size_t n, const uint32_t *link_of, size_t links,
                    hr_calibration_reading *merged, hr_error *err)
{
    size_t *end = hr_alloc_zero(links + 1, sizeof *end);
    uint32_t *members = hr_alloc(n, sizeof *members);
    double *levels = hr_alloc(n, sizeof *levels);
    const bool good = end != NULL && members != NULL && levels != NULL;
    for (size_t i = 0; good && i < n; i++) {
        end[link_of[i] + 1]++;
    }
    for (size_t k = 0; good && k < links; k++) {
        end[k + 1] += end[k];
    }
    for (size_t i = 0; good && i < n; i++) { /* end[k] moves from the begin of link k to its end */
        members[end[link_of[i]]++] = (uint32_t)i;
    }
    for (size_t k = 0; good && k < links; k++) {
        const size_t begin = k == 0 ? 0 : end[k - 1];
        merged[k] = median_of(rows, members + begin, end[k] - begin, levels);
    }
    hr_free(end);
    hr_free(members);
    hr_free(levels);
    return good ? HR_OK : hr_fail_memory(err);
}
