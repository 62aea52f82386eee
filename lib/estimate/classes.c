/*
 * classes.c - what hotels are built of, and how likely each is when nobody
 * says. Shares are assumed: field judgement, no published figure.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_priv.h"

/* Walls between rooms and along the corridor, as rows of the attenuation tables. A party wall of filled
 * 190 mm block, of 200 mm brick or of 150 mm concrete meets the usual sound rating of 50. */
const estimate_class estimate_classes[ESTIMATE_CLASSES] = {
    {"framed", "framed-double", "corridor-wall"}, {"block", "block-filled", "block-hollow"},
    {"brick", "brick-200", "brick-100"},          {"concrete", "concrete-150", "concrete-150"},
    {"timber", "timber-wall", "timber-wall"},
};

typedef struct era {
    long from; /* year */
    double shares[ESTIMATE_CLASSES];
} era;

static const era eras[] = {
    {1, {0.15, 0.10, 0.50, 0.10, 0.15}},
    {1950, {0.15, 0.45, 0.15, 0.20, 0.05}},
    {1980, {0.40, 0.35, 0.05, 0.20, 0.00}},
    {2000, {0.55, 0.25, 0.00, 0.20, 0.00}},
};

static const double any_year[ESTIMATE_CLASSES] = {0.40, 0.30, 0.10, 0.20, 0.00};

const double *estimate_class_shares(long year)
{
    const double *shares = any_year;
    for (size_t i = 0; year > 0 && i < sizeof eras / sizeof eras[0]; i++) {
        shares = year >= eras[i].from ? eras[i].shares : shares;
    }
    return shares;
}

int estimate_class_find(const char *word)
{
    for (int i = 0; i < ESTIMATE_CLASSES; i++) {
        if (hr_casecmp(word, estimate_classes[i].word) == 0) {
            return i;
        }
    }
    return -1;
}

int estimate_class_nominal(long year)
{
    const double *shares = estimate_class_shares(year);
    int best = 0;
    for (int i = 1; i < ESTIMATE_CLASSES; i++) {
        best = shares[i] > shares[best] ? i : best;
    }
    return best;
}

const char *const estimate_slab_names[ESTIMATE_SLABS] = {"concrete-200", "plank-topping", "concrete-150",
                                                         "composite-deck", "timber-screed"};
const double estimate_slab_shares[ESTIMATE_SLABS] = {0.50, 0.25, 0.10, 0.10, 0.05};
