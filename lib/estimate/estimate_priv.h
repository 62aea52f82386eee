/* estimate_priv.h - shared by the files of this module only.
 * SPDX-License-Identifier: MIT */
#ifndef ESTIMATE_PRIV_H
#define ESTIMATE_PRIV_H

#include "hr_estimate.h"
#include "hr_links.h"
#include "hr_siting.h"
#include "hr_stats.h"

/* ---- classes.c: constructions and how likely they are ---- */

typedef struct estimate_class {
    const char *word; /* --walls */
    const char *party, *corridor;
} estimate_class;

#define ESTIMATE_CLASSES 5
extern const estimate_class estimate_classes[ESTIMATE_CLASSES];
/* Likelihood of each class by the year of building (0: not known), assumed; adds up to 1. */
const double *estimate_class_shares(long year);
/* Index of a word, -1: none. */
int estimate_class_find(const char *word);
/* The likeliest for a year. */
int estimate_class_nominal(long year);

#define ESTIMATE_SLABS 5
extern const char *const estimate_slab_names[ESTIMATE_SLABS];
extern const double estimate_slab_shares[ESTIMATE_SLABS];

/* ---- what is not known ---- */

typedef enum estimate_unknown {
    ESTIMATE_WALLS = 0,
    ESTIMATE_SLAB,
    ESTIMATE_EXPONENT,
    ESTIMATE_PLACES,
    ESTIMATE_NETWORK,
    ESTIMATE_SIZE,
    ESTIMATE_UNKNOWNS
} estimate_unknown;

/* Places of a device that nobody has drawn: its default place, farther along the wall, farther
 * into the room, the other side of the door. Rooms are alike, so that a draw takes one of them
 * for all. */
#define ESTIMATE_PLACES_TRIED 4
/* Likelihood of the default place; the others share the rest. Assumed. */
#define ESTIMATE_AS_PLANNED 0.5

/* A wall, opening, solid or slab of the building, each drawn by itself on top
 * of what its material has in common. */
typedef struct estimate_part {
    uint8_t use;        /* hr_material_use */
    bool met;           /* some link crosses it */
    uint32_t material;
    double table_db;
} estimate_part;

typedef struct estimate_term {
    uint32_t part;
    float factor; /* how much of the part's loss counts */
} estimate_term;

/* A link found once: what its loss is made of. */
typedef struct estimate_pair {
    uint32_t a, b;     /* site and row, or two rows, or device and device */
    uint8_t variant;   /* of the row's place */
    uint8_t slabs;
    double flat_m, up_m;
    double fixed_db;   /* link margin on nominal values */
    double required_db; /* what is asked of it there */
    double spread_db;  /* distance term on nominal values */
    double log_m;      /* log10(max(distance, 1 m)) */
    int64_t nominal;   /* spare, micro-dB, as `place` has it */
    size_t term;
    uint32_t term_count;
} estimate_pair;

typedef struct estimate_pairs {
    estimate_pair *items;
    size_t count, cap;
} estimate_pairs;

/* What one draw takes for true. */
typedef struct estimate_draw {
    bool nominal;       /* nothing is drawn: spares as measured */
    long max_slabs;
    double exponent;    /* added */
    double size;        /* times */
    double detour;      /* times */
    int wall_class;     /* -1: as the plan says */
    int slab_class;
    double *part_db;    /* per part: added loss */
    uint8_t *variant;   /* per row */
    uint8_t *blocked;   /* per site */
} estimate_draw;

typedef struct estimate_run {
    hr_building *building;
    const hr_estimate_options *options;
    const hr_estimate_keys *keys;
    hr_notes *notes;
    hr_error *err;
    hr_estimate *out;
    hr_siting_study *study;
    const hr_links *links;
    const uint32_t *rows;   /* devices */
    size_t row_count, site_count;
    bool drawn[ESTIMATE_UNKNOWNS];
    bool any_drawn;
    double sigma_db, required_db; /* with what is drawn left out */
    /* parts */
    estimate_part *parts;
    size_t part_count;
    size_t *part_base;      /* per storey: walls, openings, solids, then its slab */
    uint32_t party, corridor; /* materials that a class replaces; HR_PLAN_NONE: none */
    /* pairs */
    estimate_term *terms;
    size_t term_count, term_cap;
    estimate_pairs direct;  /* a: site, b: row */
    estimate_pairs mesh;    /* a, b: rows */
    estimate_pairs joined;  /* a: device, b: device it talks to */
    size_t *link_start;     /* the mesh's links at both ends */
    uint32_t *link_peer, *link_pair;
    hr_point *places;       /* row x ESTIMATE_PLACES_TRIED */
    hr_study_site *sites;
    /* of the draw in force */
    int64_t *spare;         /* sites x rows */
    int64_t *link_spare;
    double *joined_db;      /* spare, beside joined */
    hr_study_joined *join;  /* beside rows */
    double *room_share;     /* reliability of each room's worst device; below 0: not served; above 1: no device */
    double *device_share;   /* the same of each device */
    double *z;              /* what walls or slabs of a material have in common: use x material */
    size_t material_count;
    uint32_t *moved;        /* chosen sites, blocked ones replaced */
    uint32_t *chosen;
    estimate_draw draw;
} estimate_run;

/* places.c: where the devices of each row could hang */
hr_status estimate_choose_places(estimate_run *run);
/* pairs.c */
hr_status estimate_find_pairs(estimate_run *run);
/* parts.c */
hr_status estimate_list_parts(estimate_run *run);
uint32_t estimate_part_of(const estimate_run *run, const hr_item *item);

/* draw.c */
void estimate_nominal_draw(estimate_run *run);
/* One draw; only: bits 1 << estimate_unknown of what is drawn, the rest is nominal. */
hr_status estimate_make_draw(estimate_run *run, uint64_t number, unsigned only);
long estimate_year_of(const estimate_run *run); /* 0: not known */
/* The walls' construction, some slab's material is nobody's word. */
bool estimate_free_walls(const estimate_run *run);
bool estimate_free_slabs(const estimate_run *run);
/* What parts of a material have in common, in standard deviations: drawn, or fixed where random is NULL. */
void estimate_fill_common(estimate_run *run, hr_random *random, double fixed);
/* Losses of walls or slabs by class and common part; random NULL: none differs from others of its material. */
void estimate_fill_parts(estimate_run *run, bool slabs, hr_random *random);
void estimate_take_place(estimate_run *run, uint8_t variant);

/* cases.c */
/* An unknown at each of its cases, the rest nominal: how many there are; one of them, with a word for it. */
size_t estimate_case_count(const estimate_run *run, estimate_unknown unknown);
hr_status estimate_case_draw(estimate_run *run, estimate_unknown unknown, size_t index, const char **word);
/* The draw's value of an unknown as one number, NaN where it has none. */
double estimate_scalar(const estimate_run *run, estimate_unknown unknown);

/* The model's own exponent, on nominal values. */
double estimate_exponent(const estimate_run *run);

/* weigh.c: the links of the draw in force; hand them to the study. */
hr_status estimate_weigh(estimate_run *run);
/* Share of the rooms served with these sites, and mean failing rooms. */
hr_status estimate_judge(estimate_run *run, const uint32_t *chosen, size_t count, double *served, double *failing);
/* Rows that no site reaches. */
size_t estimate_unreached(const estimate_run *run);

/* holds.c */
#define ESTIMATE_SETS_MAX 64
/* Sites placed on nominal values for each count. */
typedef struct estimate_sets {
    size_t low, count;      /* sets for low, low + 1 ... */
    uint32_t *sites[ESTIMATE_SETS_MAX];
    double *shares;         /* draws x count: served share of the rooms */
    double failing[ESTIMATE_SETS_MAX];
} estimate_sets;
bool estimate_has_site(const uint32_t *sites, size_t count, uint32_t site);
void estimate_sort_sites(uint32_t *sites, size_t count);
hr_status estimate_make_sets(estimate_run *run, estimate_sets *sets);
void estimate_free_sets(estimate_sets *sets);

/* drivers.c */
hr_status estimate_find_drivers(estimate_run *run, const double *scalars);
hr_status estimate_count_slabs(estimate_run *run);
/* cross.c */
hr_status estimate_cross_check(estimate_run *run);
/* sheet.c */
hr_status estimate_write_sheet(estimate_run *run, const estimate_sets *sets);
/* defaults.c */
hr_status estimate_list_defaults(estimate_run *run);

/* Search steps of one draw; of the nominal placement: those of `place`. */
#define ESTIMATE_DRAW_EFFORT ((uint64_t)12000)
#define ESTIMATE_SIDE_EFFORT ((uint64_t)300000)

bool estimate_progress(const estimate_run *run, const char *stage, uint64_t done, uint64_t total);
hr_status estimate_interrupted(hr_error *err);
/* Text into the answer's arena; NULL when memory ran out. */
const char *estimate_words(estimate_run *run, const char *fmt, ...) HR_PRINTF(2, 3);

#endif
