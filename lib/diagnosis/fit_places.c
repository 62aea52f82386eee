/*
 * fit_places.c - from how many places a gateway was read. Levels taken near
 * each other share what shadows them: hundreds of one gateway in one room tell
 * of that room and not of the gateway.
 *
 * SPDX-License-Identifier: MIT
 */
#include "fit_priv.h"

#include <math.h>
#include <stdlib.h>

/* Correlation distance of shadowing indoors without sight, 3GPP TR 38.901,
 * Table 7.5-6, indoor office (from memory); storeys are apart in any case. */
#define APART_M 6.0

typedef struct place {
    uint32_t gateway, storey;
    hr_point at;
} place;

/* By gateway, storey, y, x: the count does not hang on the order of the list. */
static int compare_places(const void *left, const void *right)
{
    const place *a = left, *b = right;
    if (a->gateway != b->gateway) {
        return a->gateway < b->gateway ? -1 : 1;
    }
    if (a->storey != b->storey) {
        return a->storey < b->storey ? -1 : 1;
    }
    if (a->at.y < b->at.y || a->at.y > b->at.y) {
        return a->at.y < b->at.y ? -1 : 1;
    }
    return (a->at.x > b->at.x) - (a->at.x < b->at.x);
}

static bool is_apart(const place *a, const place *b)
{
    return a->storey != b->storey || hypot(a->at.x - b->at.x, a->at.y - b->at.y) >= APART_M;
}

/* Places are sorted; those kept stand first in their gateway's stretch. */
static void count(place *places, size_t n, size_t most, size_t *counts)
{
    for (size_t begin = 0, end; begin < n; begin = end) {
        size_t kept = 0;
        for (end = begin; end < n && places[end].gateway == places[begin].gateway; end++) {
            bool apart = kept < most;
            for (size_t k = 0; apart && k < kept; k++) {
                apart = is_apart(&places[begin + k], &places[end]);
            }
            if (apart) {
                places[begin + kept++] = places[end];
            }
        }
        counts[places[begin].gateway] = kept;
    }
}

hr_status fit_count_places(const hr_readings *readings, size_t most, size_t *counts, hr_error *err)
{
    place *places = hr_alloc(2 * readings->count + 1, sizeof *places);
    if (places == NULL) {
        return hr_fail_memory(err);
    }
    size_t n = 0;
    for (size_t i = 0; i < readings->count; i++) {
        const hr_reading *r = &readings->items[i];
        if (r->heard && r->from.gateway != HR_READINGS_NONE) {
            places[n++] = (place){r->from.gateway, r->to.storey, r->to.end.at};
        }
        if (r->heard && r->to.gateway != HR_READINGS_NONE) {
            places[n++] = (place){r->to.gateway, r->from.storey, r->from.end.at};
        }
    }
    for (size_t g = 0; g < readings->building->gateway_count; g++) {
        counts[g] = 0;
    }
    qsort(places, n, sizeof *places, compare_places);
    count(places, n, most, counts);
    hr_free(places);
    return HR_OK;
}
