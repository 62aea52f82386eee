/*
 * fit_links.c - readings of one link are one witness: what shadows it is the
 * same each time. They go into the fit as their median, or a link read ten
 * times would make the building look ten times as well known.
 *
 * SPDX-License-Identifier: MIT
 */
#include "fit_priv.h"

#include <stdlib.h>

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
