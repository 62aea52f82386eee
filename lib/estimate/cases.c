/*
 * cases.c - one unknown at each of the things it may be, all else nominal.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_priv.h"

/* 10 % and 90 % of a normal distribution. */
#define END_SIGMAS 1.2815515655446004

static const char *number_word(estimate_run *run, double value, const char *after)
{
    char number[HR_FIXED_MAX];
    return estimate_words(run, "%s%s", hr_short(value, 2, number), after);
}

/* Classes that occur, in their order; the index-th of them. */
static int class_at(const double *shares, int count, size_t index)
{
    for (int i = 0; i < count; i++) {
        if (shares[i] > 0.0 && index-- == 0) {
            return i;
        }
    }
    return -1;
}

static size_t class_count(const double *shares, int count)
{
    size_t found = 0;
    for (int i = 0; i < count; i++) {
        found += shares[i] > 0.0;
    }
    return found;
}

size_t estimate_case_count(const estimate_run *run, estimate_unknown unknown)
{
    switch (unknown) {
    case ESTIMATE_WALLS:
        return estimate_free_walls(run) ? class_count(estimate_class_shares(estimate_year_of(run)), ESTIMATE_CLASSES) : 3;
    case ESTIMATE_SLAB:
        return estimate_free_slabs(run) ? class_count(estimate_slab_shares, ESTIMATE_SLABS) : 3;
    case ESTIMATE_PLACES:
        return ESTIMATE_PLACES_TRIED;
    case ESTIMATE_NETWORK:
        return 2;
    case ESTIMATE_EXPONENT:
    case ESTIMATE_SIZE:
    case ESTIMATE_UNKNOWNS:
        break;
    }
    return 3;
}

static const char *material_case(estimate_run *run, bool slabs, size_t index)
{
    static const char *const words[] = {"light for its kind", "as tabled", "heavy for its kind"};
    const bool classes = slabs ? estimate_free_slabs(run) : estimate_free_walls(run);
    const char *word = classes ? NULL : words[index];
    estimate_fill_common(run, NULL, classes ? 0.0 : ((double)index - 1.0) * END_SIGMAS);
    if (classes && slabs) {
        run->draw.slab_class = class_at(estimate_slab_shares, ESTIMATE_SLABS, index);
        word = estimate_slab_names[run->draw.slab_class];
    } else if (classes) {
        run->draw.wall_class = class_at(estimate_class_shares(estimate_year_of(run)), ESTIMATE_CLASSES, index);
        word = estimate_classes[run->draw.wall_class].word;
    }
    estimate_fill_parts(run, slabs, NULL);
    return word;
}

hr_status estimate_case_draw(estimate_run *run, estimate_unknown unknown, size_t index, const char **word)
{
    static const char *const habits[ESTIMATE_PLACES_TRIED] = {"as planned", "farther along the wall", "farther into the room",
                                                              "other side of the door"};
    const hr_estimate_keys *keys = run->keys;
    const double end = ((double)index - 1.0) * END_SIGMAS;
    hr_status status = HR_OK;
    estimate_nominal_draw(run);
    run->draw.nominal = false;
    switch (unknown) {
    case ESTIMATE_WALLS:
    case ESTIMATE_SLAB:
        *word = material_case(run, unknown == ESTIMATE_SLAB, index);
        break;
    case ESTIMATE_EXPONENT:
        run->draw.exponent = end * keys->exponent_spread;
        *word = number_word(run, estimate_exponent(run) + run->draw.exponent, "");
        break;
    case ESTIMATE_SIZE:
        run->draw.size = 1.0 + end * keys->size_spread;
        *word = number_word(run, 100.0 * run->draw.size, " %");
        break;
    case ESTIMATE_NETWORK:
        *word = index == 0 ? "every spot usable" : number_word(run, 100.0 * keys->spot_loss, " % of the spots not");
        status = index == 0 ? HR_OK : estimate_make_draw(run, 0, 1U << ESTIMATE_NETWORK);
        break;
    case ESTIMATE_PLACES:
        estimate_take_place(run, (uint8_t)index);
        *word = habits[index];
        break;
    case ESTIMATE_UNKNOWNS:
        break;
    }
    return status == HR_OK && *word == NULL ? hr_fail_memory(run->err) : status;
}
