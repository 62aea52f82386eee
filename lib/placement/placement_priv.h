/*
 * placement_priv.h - what the files of the placement module share: the compact
 * covering model, the run that counts steps, and the stages of the solver.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef PLACEMENT_PRIV_H
#define PLACEMENT_PRIV_H

#include "hr_placement.h"

/* Multipliers are whole numbers of 2^-20, so that a bound is exact integer arithmetic. */
#define HR_PLACEMENT_SCALE ((int64_t)1 << 20)
/* Largest weight: keeps weight * SCALE and sums of 2^18 of them inside 64 bits. */
#define HR_PLACEMENT_WEIGHT_MAX ((uint32_t)1 << 20)
/* One step is this many matrix entries looked at (about a microsecond): equal
 * effort then takes about equal time on every size, and needs no clock. */
#define HR_PLACEMENT_ENTRIES_PER_STEP 1000
#define HR_PLACEMENT_DEFAULT_EFFORT ((uint64_t)8000000)
#define HR_PLACEMENT_NONE UINT32_MAX

/* ---- run.c: steps, clock, progress ------------------------------------- */

typedef struct hr_placement_run {
    const hr_placement_options *options;
    uint64_t entries;     /* matrix entries looked at so far                   */
    uint64_t stop;        /* the stage at hand ends when entries reaches this  */
    uint64_t total;       /* the whole run's limit, in entries                 */
    uint64_t next_look;   /* when clock and progress are due                   */
    uint64_t deadline_ns; /* 0: none                                           */
    const char *stage;
    uint32_t best, bound;          /* shown by progress                                 */
    uint64_t show_add, show_times; /* to turn a stage's weights into the caller's */
    bool clock_stopped, interrupted, no_memory;
} hr_placement_run;

void hr_placement_run_start(hr_placement_run *run, const hr_placement_options *options);
/* Begins a stage that may look at `entries` more (never past the whole run's limit). */
void hr_placement_run_stage(hr_placement_run *run, const char *stage, uint64_t entries);
/* Counts work; false when the stage (or everything) has to end. */
bool hr_placement_run_go(hr_placement_run *run, uint64_t entries);
/* True when nothing more may be started: memory, interrupt or clock. */
bool hr_placement_run_dead(const hr_placement_run *run);
/* What progress tells from now on, in weights divided by the divisor. */
void hr_placement_run_shows(hr_placement_run *run, uint64_t best, uint64_t bound);
uint64_t hr_placement_run_left(const hr_placement_run *run);

/* A small generator of our own (splitmix64): the same numbers everywhere. */
uint64_t hr_placement_random(uint64_t *state);

/* ---- model.c: the compact covering problem ------------------------------ */

/* min sum weight x, every row in at least need (>= 1) chosen columns. One block of memory. */
typedef struct hr_placement_model {
    uint32_t rows, columns, entries;
    uint32_t *column_start, *column_row; /* rows of a column, ascending    */
    uint32_t *row_start, *row_column;    /* columns of a row, ascending    */
    uint32_t *need, *weight;
    uint32_t *row_id, *column_id; /* indices in the caller's problem */
} hr_placement_model;

hr_placement_model *hr_placement_model_new(uint32_t rows, uint32_t columns, uint32_t entries);
void hr_placement_model_free(hr_placement_model *model);
/* Fills the row side from the column side. */
void hr_placement_model_transpose(hr_placement_model *model);
/* The part of a model with the rows of need[] > 0 and the columns kept (those
 * left without a row are dropped). need has model->rows entries. NULL: no memory. */
hr_placement_model *hr_placement_model_cut(const hr_placement_model *model, const uint32_t *need,
                                           const uint8_t *column_kept);
/* The connected components as models of their own, in the order of their first
 * rows. Every column needs a row. False: no memory. */
bool hr_placement_model_split(const hr_placement_model *model, hr_placement_model ***parts, uint32_t *count);
void hr_placement_parts_free(hr_placement_model **parts, uint32_t count);
/* Same numbers throughout but for the ids: storeys alike are solved once. */
bool hr_placement_model_same(const hr_placement_model *a, const hr_placement_model *b);

/* What the caller's problem comes to: who may be chosen, what can be met. */
typedef struct hr_placement_base {
    const hr_placement_problem *problem;
    uint8_t *open;        /* per column: may be chosen (not never, keeps the first rule) */
    uint8_t *must;        /* per column                                                  */
    uint32_t *need;       /* per row: need clamped to the open columns of the row        */
    uint32_t divisor;     /* greatest common divisor of the weights                      */
    uint64_t must_weight; /* weight of the must columns, divided by divisor              */
    size_t must_count;
    hr_placement_model *whole; /* every row to be met, every open column                  */
    hr_placement_model *model; /* what is left beside the must columns                    */
} hr_placement_base;

hr_status hr_placement_check(const hr_placement_problem *problem, hr_error *err);
hr_status hr_placement_base_make(const hr_placement_problem *problem, hr_placement_base *base, hr_error *err);
void hr_placement_base_free(hr_placement_base *base);
static inline uint32_t hr_placement_weight(const hr_placement_problem *problem, size_t column)
{
    return problem->weight ? problem->weight[column] : 1;
}
bool hr_placement_all_alike(const hr_placement_problem *problem); /* in weight */
/* Divisor of all weights; open columns and clamped needs: shared with the bound checker. */
uint32_t hr_placement_divisor(const hr_placement_problem *problem);
void hr_placement_open(const hr_placement_problem *problem, uint8_t *open, uint32_t *need);

/* ---- greedy.c ------------------------------------------------------------ */

/* Lazy greedy: least weight per row still short, ties the lowest column. chosen
 * (zeroed by the caller) and order get the answer; price, where not NULL, the
 * last price paid for a row. Returns how many were chosen, NONE: no memory. */
uint32_t hr_placement_greedy(const hr_placement_model *model, uint8_t *chosen, uint32_t *order, double *price);
/* Drops what is not needed, last chosen first. Returns the weight left. */
uint64_t hr_placement_prune(const hr_placement_model *model, uint8_t *chosen, const uint32_t *order, uint32_t count,
                            uint32_t *covered);

/* ---- bound.c ------------------------------------------------------------- */

/* L(u) in units of 1/SCALE, in whole numbers: u is cut to u_int (per row), the
 * reduced weights go to reduced (per column, may be NULL). */
int64_t hr_placement_bound_exact(const hr_placement_model *model, const double *u, int64_t *u_int, int64_t *reduced);
/* The least whole weight a total of bound_exact leaves possible. */
uint64_t hr_placement_bound_ceil(int64_t total);
/* Multipliers that overcharge no column. */
void hr_placement_multipliers_start(const hr_placement_model *model, double *u);
/* Improves u by at most so many rounds, ends early when the value passes
 * `enough`. target: weight of a known cover. x_mean (per column) gets the
 * averaged answer, near a fractional optimum. Returns L(u) in floating point. */
double hr_placement_volume(hr_placement_run *run, const hr_placement_model *model, double target, double enough,
                           uint32_t iterations, double *u, double *x_mean);
/* The cheap bound from greedy's last prices (used up), without any iteration. */
int64_t hr_placement_dual_fit(const hr_placement_model *model, double *price, int64_t *u_int);

/* ---- reduce.c -------------------------------------------------------------- */

#define HR_PLACEMENT_FIX_TAKE 1
#define HR_PLACEMENT_FIX_DROP 2

typedef struct hr_placement_reduced {
    hr_placement_model *model;    /* what is left                                   */
    uint32_t *taken, taken_count; /* columns every best answer may be given          */
    bool impossible;              /* a row has fewer columns than it needs           */
} hr_placement_reduced;

/* fix: per column, what was decided before (NULL: nothing). dominance: also look
 * for idle rows and columns. False: no memory. */
bool hr_placement_reduce(hr_placement_run *run, const hr_placement_model *model, const uint8_t *fix, bool dominance,
                         hr_placement_reduced *out);
void hr_placement_reduced_free(hr_placement_reduced *reduced);

/* ---- local_search.c --------------------------------------------------------- */

/* Improves a cover (chosen, *weight) until the stage ends or *weight <= enough. False: no memory. */
bool hr_placement_local_search(hr_placement_run *run, const hr_placement_model *model, uint64_t seed, uint64_t enough,
                               uint8_t *chosen, uint64_t *weight);

/* Meets more rows with at most `room` columns, from chosen (count at most room)
 * on; *unmet gets the rows still short. False: no memory. */
bool hr_placement_budget_search(hr_placement_run *run, const hr_placement_model *model, uint64_t seed, uint32_t room,
                                uint8_t *chosen, uint32_t *unmet);

/* ---- tree.c: branch and bound ------------------------------------------------ */

typedef enum hr_placement_outcome {
    HR_PLACEMENT_NO_COVER, /* none within the budget: proved */
    HR_PLACEMENT_FOUND,
    HR_PLACEMENT_GAVE_UP /* the stage ended first, or memory */
} hr_placement_outcome;

/* Is there a cover of at most that weight? u: multipliers to start from. chosen
 * (per column) is written when one is found. */
hr_placement_outcome hr_placement_tree(hr_placement_run *run, const hr_placement_model *model, const double *u,
                                       uint64_t budget, uint8_t *chosen);

/* ---- capacity.c: who serves whom ------------------------------------------ */

/* Indices are those of base->whole. Room is kept as what is left of a limit. */
typedef struct hr_placement_assign {
    const hr_placement_model *model;
    int64_t *load, *limit, *room;
    uint32_t *server;                       /* per row: column or NONE            */
    uint32_t *order, *from, *moved, *queue; /* of the path search                */
    uint32_t queued;
    uint64_t work; /* entries looked at                  */
} hr_placement_assign;

bool hr_placement_assign_start(hr_placement_assign *a, const hr_placement_base *base);
void hr_placement_assign_end(hr_placement_assign *a);
/* Serves as many rows as it can by the chosen columns; returns how many are left over. */
uint32_t hr_placement_assign_rows(hr_placement_assign *a, const uint8_t *chosen);
/* One row more, others making room if need be. False when there is no way. */
bool hr_placement_assign_place(hr_placement_assign *a, const uint8_t *chosen, uint32_t row);

/* ---- cover.c: the whole chain for one model ------------------------------- */

typedef struct hr_placement_cover_job {
    const hr_placement_model *model;
    bool decide; /* in: end when a cover of at most `want` is found, or none can exist */
    uint64_t want;
    uint64_t effort; /* in: entries it may look at                                       */
    uint8_t *chosen; /* out: per column of the model                                     */
    uint64_t upper, lower;
    double *u; /* out: multipliers per row; NULL: not wanted                       */
} hr_placement_cover_job;

/* False when memory ran out or the user ended it. */
bool hr_placement_cover(hr_placement_run *run, hr_placement_cover_job *job);
/* Greedy, what is redundant taken out, and the cheap bound. job->u is needed (zeroed). */
bool hr_placement_cover_quick(hr_placement_run *run, hr_placement_cover_job *job);

/* ---- solve.c and its stages: chosen is per column of the caller ------------ */

typedef struct hr_placement_answer {
    const hr_placement_base *base;
    uint8_t *chosen;        /* per column of the caller, must columns included */
    uint64_t lower;         /* of a full cover, in weights divided by divisor  */
    uint32_t covered_bound; /* budget                                          */
    double *u;              /* per row of base->model                          */
} hr_placement_answer;

/* budget.c: at most so many columns, most rows met; sets covered_bound. */
bool hr_placement_budget(hr_placement_run *run, hr_placement_answer *answer, uint32_t at_most);
/* fit.c: adds and swaps columns until every row can be served within capacities; raises answer->lower. */
bool hr_placement_fit(hr_placement_run *run, hr_placement_answer *answer);
/* quality.c: at no more weight the less costly, then the better answer. full:
 * every row is met (otherwise those that are met stay so). */
bool hr_placement_improve(hr_placement_run *run, hr_placement_answer *answer, bool full);

/* Rows met by answer's columns and served within capacities, if there are any. False: no memory. */
bool hr_placement_count_served(const hr_placement_base *base, const uint8_t *chosen, uint32_t *served);

/* ---- quality.c and swaps.c --------------------------------------------------- */

/* Beyond this a quality counts as this much, so that sums stay exact. */
#define HR_PLACEMENT_QUALITY_MAX ((int64_t)1000000000000)

typedef struct hr_placement_better {
    hr_placement_run *run;
    hr_placement_answer *answer;
    const hr_placement_model *m; /* base->whole                                       */
    hr_placement_assign assign;
    bool limited, full;
    int64_t *quality;               /* beside m->column_row                              */
    uint32_t *price;                /* per column of m: weight and cost in one number    */
    uint8_t *must, *chosen, *trial; /* per column of m                                */
    uint8_t *active;                /* per row: to be met (all, unless rows are given up) */
    size_t *top_start;              /* per row: its need + 1 best chosen, in the next two */
    int64_t *top_quality;
    uint32_t *top_column; /* NONE: no more                                      */
    uint64_t total_price; /* of chosen                                          */
    int64_t worst, sum;   /* of chosen, over the active rows                    */
    uint64_t effort;
} hr_placement_better;

/* All of the books for chosen. first: rows not met are given up from here on. */
void hr_placement_take_stock(hr_placement_better *x, bool first);
bool hr_placement_can_serve(hr_placement_better *x, const uint8_t *chosen);
/* Swaps as long as one makes the sum better, within the stage. */
void hr_placement_swap_up(hr_placement_better *x);

#endif
