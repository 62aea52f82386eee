/*
 * partners.c - tells when walls seem to be drawn as two lines.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <math.h>

/* Where the other stroke may be to call it a partner. */
#define PARTNER_M 0.5
#define STRETCH_MIN_M 0.1
/* Of larger plans every so-many-th wall is looked at: it is a share, not a count. */
#define LOOKED_AT_MAX 50000u

static double union_length(hr_span *spans, size_t count)
{
    if (count == 0) {
        return 0.0;
    }
    hr_geometry_sort_spans(spans, count);
    double sum = 0.0, reached = 0.0;
    for (size_t i = 0; i < count; i++) {
        const double from = fmax(spans[i].from, reached);
        sum += spans[i].to > from ? spans[i].to - from : 0.0;
        reached = fmax(reached, spans[i].to);
    }
    return sum;
}

hr_status plan_note_double_walls(plan_reader *r, double share)
{
    hr_index *index = r->merged_index; /* nothing was added since */
    r->merged_index = NULL;
    hr_status status = index == NULL && r->plan->wall_count > 1 ? plan_index_walls(r, &index) : HR_OK;
    hr_span *spans = NULL;
    size_t span_cap = 0, pairs = 0;
    double total_m = 0.0, beside_m = 0.0;
    const size_t step = r->plan->wall_count / LOOKED_AT_MAX + 1;
    for (size_t i = 0; index != NULL && i < r->plan->wall_count && status == HR_OK; i += step) {
        const hr_segment line = r->walls[i].line;
        const double length_m = hr_geometry_length(line);
        total_m += length_m;
        status = plan_query(r, index, line, PARTNER_M);
        pairs += r->ids.count;
        if (pairs > PLAN_PAIRS_MAX + PLAN_PAIRS_PER_WALL * r->plan->wall_count) {
            break; /* what was looked at so far says enough */
        }
        size_t count = 0;
        if (status == HR_OK && !HR_RESERVE(spans, span_cap, r->ids.count)) {
            status = hr_fail_memory(r->err);
        }
        for (size_t k = 0; k < r->ids.count && status == HR_OK; k++) {
            const hr_segment other = r->walls[r->ids.at[k]].line;
            hr_span span;
            if (r->ids.at[k] != i && hr_geometry_angle(line, other) <= PLAN_PARALLEL_RAD &&
                plan_common_stretch(line, other, PARTNER_M, fmin(STRETCH_MIN_M, 0.5 * length_m), &span)) {
                spans[count++] = span;
            }
        }
        beside_m += union_length(spans, count) * length_m;
    }
    hr_geometry_index_free(index);
    hr_free(spans);
    if (status == HR_OK && beside_m > share * total_m) {
        char text[HR_FIXED_MAX];
        hr_note(r->notes, r->file, 0,
                "%s %% of the wall length runs beside another wall within half a metre: where walls are drawn as two "
                "lines set wall_pairing = %s in [drawing], else each counts twice",
                hr_fixed(100.0 * beside_m / total_m, 0, text), r->options->length_unit == HR_FEET ? "1" : "0.3");
    }
    return status;
}
