/*
 * defaults.c - what was taken because nobody said otherwise, and where it
 * comes from.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_priv.h"

#include <math.h>

#define DEFAULTS_MAX 24

static hr_status add(estimate_run *run, const char *what, const char *value, const char *why)
{
    if (value == NULL || why == NULL) {
        return hr_fail_memory(run->err);
    }
    run->out->defaults[run->out->default_count++] = (hr_estimate_default){what, value, why};
    return HR_OK;
}

/* The outline's default in the unit in force. */
static const char *length_words(estimate_run *run, double metres, double feet)
{
    char number[HR_FIXED_MAX];
    const hr_length_unit unit = run->building->length_unit;
    return estimate_words(run, "%s %s", hr_short(unit == HR_FEET ? feet : metres, 2, number), hr_units_length_name(unit));
}

static hr_status add_numbers(estimate_run *run, const hr_estimate_numbers *n)
{
    const hr_outline_request *q = &n->outline;
    hr_status status = HR_OK;
    if (n->rooms > 0 && (size_t)n->rooms < run->out->rooms) {
        status = add(run, "rooms", estimate_words(run, "%zu, as many on every storey", run->out->rooms),
                     estimate_words(run, "%ld were said", n->rooms));
    }
    if (status == HR_OK && n->wings == 0 && !n->said_shape) {
        status = add(run, "shape", "one straight corridor, rooms on both sides", "assumed; --wings or --shape says it");
    }
    if (status == HR_OK && isnan(q->bay)) {
        status = add(run, "room width", length_words(run, 3.8, 12.5), "between wall centre lines, a mid-grade room; --bay");
    }
    if (status == HR_OK && isnan(q->depth)) {
        status = add(run, "room depth", length_words(run, 7.0, 23.0), "clear, bath included, a mid-grade room; --depth");
    }
    if (status == HR_OK && isnan(q->floor_to_floor)) {
        status = add(run, "floor to floor", length_words(run, 3.0, 10.0), "9 to 10 ft (from memory); --floor-to-floor");
    }
    if (status == HR_OK && !n->said_walls) {
        status = add(run, "walls",
                     estimate_words(run, "drawn, nominal %s", estimate_classes[estimate_class_nominal(n->year)].word),
                     "shares of constructions assumed; --walls");
    }
    if (status == HR_OK && !n->said_slab && q->storeys > 1) {
        status = add(run, "slabs", "drawn, nominal concrete-200", "shares of slabs assumed; --slab");
    }
    if (status == HR_OK && !n->said_closets) {
        status = add(run, "network closets", q->rooms_per_storey > 60 ? "2 on each storey" : "by size, 1 or 2 on each storey",
                     "assumed; --closets-per-storey");
    }
    if (status == HR_OK && n->kinds[0] == '\0') {
        status = add(run, "devices", "a wall control and a unit controller in each room", "common practice; --kinds");
    }
    if (status == HR_OK) {
        status = add(run, "radio", "powers, sensitivities and heights of an outline", "assumed; --set gateway.KEY=VALUE and the like");
    }
    return status;
}

static hr_status add_spread(estimate_run *run, estimate_unknown unknown)
{
    const hr_estimate_keys *keys = run->keys;
    char a[HR_FIXED_MAX], b[HR_FIXED_MAX];
    switch (unknown) {
    case ESTIMATE_WALLS:
        return add(run, "walls and doors", estimate_words(run, "drawn, %s x the tabled spread", hr_short(keys->wall_spread, 3, a)),
                   "tables of `hallreach materials`; half of it common to a material (assumed)");
    case ESTIMATE_SLAB:
        return add(run, "slab losses", estimate_words(run, "drawn, %s x the tabled spread", hr_short(keys->slab_spread, 3, a)),
                   "tables of `hallreach materials`");
    case ESTIMATE_EXPONENT:
        return add(run, "distance exponent",
                   estimate_words(run, "%s +- %s", hr_short(estimate_exponent(run), 3, a),
                                  hr_short(keys->exponent_spread, 3, b)),
                   "assumed");
    case ESTIMATE_PLACES:
        return add(run, "device places", estimate_words(run, "within %s %s of the usual place",
                                                        hr_short(hr_units_from_metres(keys->place_spread_m, run->building->length_unit), 2, a),
                                                        hr_units_length_name(run->building->length_unit)),
                   "assumed");
    case ESTIMATE_NETWORK:
        return add(run, "network",
                   estimate_words(run, "%s %% of the spots unusable, cables up to %s %% longer", hr_short(100.0 * keys->spot_loss, 1, a),
                                  hr_short(100.0 * keys->detour_spread, 1, b)),
                   "assumed");
    case ESTIMATE_SIZE:
        return add(run, "size", estimate_words(run, "+- %s %%", hr_short(100.0 * keys->size_spread, 1, a)),
                   "room widths of 3.5 to 3.9 m by grade");
    case ESTIMATE_UNKNOWNS:
        break;
    }
    return HR_OK;
}

hr_status estimate_list_defaults(estimate_run *run)
{
    run->out->defaults = hr_alloc(DEFAULTS_MAX, sizeof *run->out->defaults);
    hr_status status = run->out->defaults == NULL ? hr_fail_memory(run->err) : HR_OK;
    if (status == HR_OK && run->options->numbers != NULL) {
        status = add_numbers(run, run->options->numbers);
    }
    for (unsigned u = 0; status == HR_OK && u < ESTIMATE_UNKNOWNS; u++) {
        status = run->drawn[u] ? add_spread(run, (estimate_unknown)u) : HR_OK;
    }
    return status;
}
