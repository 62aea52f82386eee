/*
 * hr_estimate.h - how many gateways, with an honest range: from a property
 * file, or from a few numbers when nobody has a plan.
 *
 * What is not known (what walls and slabs lose, the distance exponent, where
 * devices will hang, where the network reaches, the building's size) is drawn
 * at random from its spread. Every draw is placed by the same solver as
 * `place`; what a link crosses is found once and weighed again per draw. What
 * is drawn is left out of sigma: shadowing then stands without material error
 * (5.8 dB becomes 4.0 dB).
 *
 * Defaults of what is not said, by numbers: those of hr_outline.h, and
 *   wings          1: one straight corridor; 2: L; 3: U; 4: a courtyard
 *   buildings      1; several are alike
 *   kinds          wall,unit (a room control, and a controller of the room's unit that talks to it)
 *   walls          drawn, likelier ones by the year of building; nominal: the likeliest (assumed)
 *   slab           drawn: concrete-200 1/2, plank-topping 1/4, concrete-150 and composite-deck 1/10 each,
 *                  timber-screed 1/20 (assumed); nominal concrete-200
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_ESTIMATE_H
#define HR_ESTIMATE_H

#include "hr_base.h"
#include "hr_building.h"
#include "hr_outline.h"

#ifdef __cplusplus
extern "C" {
#endif

/* ---- numbers alone ---------------------------------------------------------- */

#define HR_ESTIMATE_WORD_MAX 24
#define HR_ESTIMATE_KINDS_MAX 200

typedef struct hr_estimate_numbers {
    hr_outline_request outline;
    bool any;         /* something was said */
    long rooms;       /* of the whole property; 0: not said */
    long wings;       /* 1 to 4; 0: not said */
    long buildings;   /* 1 to 50 */
    long year;        /* built, 1700 to 2100; 0: not said */
    char walls[HR_ESTIMATE_WORD_MAX];  /* framed, block, brick, concrete, timber; "": not said */
    char kinds[HR_ESTIMATE_KINDS_MAX]; /* "wall,unit=2,occupancy"; "": the default */
    bool said_shape, said_size, said_walls, said_slab, said_closets;
} hr_estimate_numbers;

HR_API void hr_estimate_numbers_defaults(hr_estimate_numbers *numbers);
/* Options beside those of hr_outline_option_at; NULL past the last. */
HR_API const hr_outline_option *hr_estimate_option_at(size_t index);
/* Sets one option, its own or of an outline. HR_ERR_ARGUMENT names the option, what is wrong and what was
 * expected. */
HR_API hr_status hr_estimate_set(hr_estimate_numbers *numbers, const char *option, const char *value, hr_error *err);
/* An outline only spells its materials; whether the tables have such rows is known here. HR_ERR_ARGUMENT names the
 * option and the nearest row. */
HR_API hr_status hr_estimate_check_materials(const hr_outline_request *request, hr_error *err);
/*
 * A building from the numbers: an outline drawn in memory. sets as in
 * hr_building_options. HR_ERR_ARGUMENT: the numbers do not fit together.
 */
HR_API hr_status hr_estimate_building(const hr_estimate_numbers *numbers, const char *const *sets, size_t set_count,
                                      hr_notes *notes, hr_building **building, hr_error *err);

/* ---- prices ------------------------------------------------------------------ */

#define HR_PRICES_CURRENCY_MAX 16

typedef struct hr_prices hr_prices;

/*
 * A list of unit prices: CSV with the columns item,unit_price and a leading
 * comment `# currency = EUR`. Items are those of the quote sheet. HR_ERR_INPUT with
 * file:line: no currency, an item that is not on any sheet or stands twice, a
 * price that is no number from 0 to 1e9 with at most 4 decimals.
 */
HR_API hr_status hr_prices_read(const char *path, hr_prices **prices, hr_error *err);
HR_API hr_status hr_prices_parse(const char *file, const char *bytes, size_t len, hr_prices **prices, hr_error *err);
HR_API void hr_prices_free(hr_prices *prices); /* NULL is fine */
HR_API const char *hr_prices_currency(const hr_prices *prices);
/* Price of an item; NaN: none is given. */
HR_API double hr_prices_of(const hr_prices *prices, const char *item);

/* ---- the answer --------------------------------------------------------------- */

/* With K gateways placed on nominal values: how often that serves enough rooms. */
typedef struct hr_estimate_holds {
    size_t gateways;
    double share; /* of the draws, 0..1 */
    double error; /* Monte Carlo standard error of the share */
    double expected_failing_rooms; /* mean over the draws */
} hr_estimate_holds;

/* The count with one thing taken to be this, all else nominal. */
typedef struct hr_estimate_case {
    const char *word; /* "framed", "2.19", "heavy for its kind" ... */
    size_t gateways;
} hr_estimate_case;

#define HR_ESTIMATE_CASES_MAX 5

typedef struct hr_estimate_driver {
    const char *unknown;  /* "walls", "slabs", "exponent", "places", "network", "size" */
    hr_estimate_case cases[HR_ESTIMATE_CASES_MAX];
    size_t case_count;
    size_t low, high;     /* fewest and most of the cases */
    double share;         /* of the spread of the count over the draws that goes with it (squared correlation), 0..1 */
    const char *question; /* to ask next; NULL: nothing that anybody could answer by phone */
} hr_estimate_driver;

typedef struct hr_estimate_slabs {
    long max_slabs;
    size_t gateways;
    size_t unreached; /* devices that no spot reaches */
    bool in_force;
} hr_estimate_slabs;

typedef struct hr_quote_line {
    const char *item;   /* as in the price list: "gateway", "device-wall" ... */
    const char *words;
    double quantity;    /* NaN: not known */
    const char *unit;   /* "pcs", "m", "visits" */
    const char *note;   /* how it comes about; "" none */
    double unit_price, total; /* NaN: no price is given; total to a hundredth */
} hr_quote_line;

/* What was taken because nobody said otherwise. */
typedef struct hr_estimate_default {
    const char *what, *value, *why;
} hr_estimate_default;

typedef struct hr_estimate {
    const char *name;
    bool from_numbers;      /* no plan: a budget figure */
    size_t rooms, devices, buildings;
    size_t rooms_said;      /* rooms the quote sheet counts: fewer than rooms where those said were not as many on every storey */
    size_t draws;
    uint64_t seed;
    double confidence, served_share;
    size_t *counts;         /* per draw, in the order of the draws */
    size_t p10, p50, p90;   /* counts that occurred */
    double mean, mean_error; /* Monte Carlo standard error of the mean */
    size_t nominal;         /* on nominal values, as `place` counts */
    bool nominal_proved;    /* no fewer will do there */
    hr_estimate_holds *holds;
    size_t holds_count;
    size_t quote;           /* smallest count that holds; 0: none of those tried */
    double unreached_share; /* of draws in which some device is reached from no spot */
    size_t unreached_nominal; /* devices that no spot reaches on nominal values */
    hr_estimate_driver *drivers; /* strongest first */
    size_t driver_count;
    hr_estimate_slabs slabs[4]; /* 0, 1, 2, and what is in force if more */
    size_t slab_count;
    double area_m2;          /* of all storeys and buildings: rooms, areas and corridors */
    double range_limit_m;    /* INFINITY: none */
    size_t thumb;            /* area / (pi range^2), rounded up; 0: no range limit */
    size_t p1238;            /* placed by P.1238's N form; 0: could not be placed */
    size_t p1238_unreached;
    const char *p1238_row;   /* environment */
    hr_quote_line *lines;
    size_t line_count;
    const char *currency;    /* NULL: no prices */
    double total;            /* of the lines with a price */
    size_t unpriced;         /* lines with a quantity and no price, where prices were given */
    hr_estimate_default *defaults;
    size_t default_count;
    hr_arena *arena;
} hr_estimate;

typedef struct hr_estimate_options {
    const hr_estimate_numbers *numbers; /* the building was made from them; NULL: from a property file */
    const hr_prices *prices;            /* NULL: none */
    /* false stops with HR_ERR_INTERRUPTED */
    bool (*progress)(void *user, const char *stage, uint64_t done, uint64_t total);
    void *user;
    bool brief; /* counts and holds only: no drivers, no slabs, no cross-check (one row of a portfolio) */
} hr_estimate_options;

/* Draws, seed, confidence and spreads are those of the building's [estimate]. */
HR_API hr_status hr_estimate_make(hr_building *building, const hr_estimate_options *options, hr_notes *notes,
                                  hr_estimate **estimate, hr_error *err);
HR_API void hr_estimate_free(hr_estimate *estimate); /* NULL is fine */

#ifdef __cplusplus
}
#endif
#endif
