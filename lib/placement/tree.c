/*
 * tree.c - is there a cover of at most so much weight? Depth first branch and
 * bound: at each node multipliers from the node above, improved by the volume
 * algorithm; what they prove in whole numbers cuts the node off or fixes
 * columns; what is left is reduced, taken apart where it falls apart, and
 * branched on a large column that the bound is undecided about, taken first.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_priv.h"

#include <string.h>

#define NODE_ROUNDS 150
#define ROOT_ROUNDS 400
#define DOMINANCE_EVERY 2
/* Parts of parts of parts: deeper splits are left together. */
#define MAX_NEST 8

typedef struct node {
    struct node *below;
    hr_placement_model *model;
    double *u;            /* per row of the model      */
    uint64_t budget;      /* what its columns may weigh */
    uint32_t taken_count; /* of the tree's list, decided above */
    uint32_t take;        /* one more, by caller's id, or NONE */
    uint32_t level;
} node;

typedef struct tree {
    hr_placement_run *run;
    node *top;
    uint32_t *taken; /* column ids decided on the way to the node at hand */
    uint32_t taken_count;
    uint32_t nest;
} tree;

static void node_free(node *n)
{
    if (n) {
        hr_placement_model_free(n->model);
        hr_free(n->u);
        hr_free(n);
    }
}

static hr_placement_outcome search(hr_placement_run *run, const hr_placement_model *model, const double *u,
                                   uint64_t budget, uint32_t nest, uint32_t *found, uint32_t *found_count);

/* ---- carrying values from a model to a smaller one ----------------------------- */

static void carry_rows(const hr_placement_model *from, const double *values, const hr_placement_model *to, double *out)
{
    for (uint32_t r = 0, s = 0; r < to->rows; r++) {
        while (from->row_id[s] != to->row_id[r]) {
            s++;
        }
        out[r] = values[s];
    }
}

static void carry_columns(const hr_placement_model *from, const double *values, const hr_placement_model *to,
                          double *out)
{
    for (uint32_t c = 0, s = 0; c < to->columns; c++) {
        while (from->column_id[s] != to->column_id[c]) {
            s++;
        }
        out[c] = values[s];
    }
}

static node *node_new(hr_placement_model *model, const hr_placement_model *from, const double *u, uint64_t budget,
                      uint32_t level)
{
    node *n = model ? hr_alloc_zero(1, sizeof *n) : NULL;
    double *own = model ? hr_alloc((size_t)model->rows + 1, sizeof *own) : NULL;
    if (!n || !own) {
        hr_free(n);
        hr_free(own);
        hr_placement_model_free(model);
        return NULL;
    }
    carry_rows(from, u, model, own);
    *n = (node){.model = model, .u = own, .budget = budget, .take = HR_PLACEMENT_NONE, .level = level};
    return n;
}

/* ---- one node -------------------------------------------------------------------- */

/* What became of the node at hand. */
typedef enum verdict { CLOSED, SOLVED, OPEN, BROKEN } verdict;

/* Replaces the node's model by a reduced one. x_mean, where given, follows. */
static verdict shrink(tree *t, node *n, const uint8_t *fix, bool dominance, double *x_mean)
{
    hr_placement_reduced reduced;
    if (!hr_placement_reduce(t->run, n->model, fix, dominance, &reduced)) {
        return BROKEN;
    }
    verdict v = reduced.impossible ? CLOSED : OPEN;
    uint64_t weight = 0;
    for (uint32_t i = 0; i < reduced.taken_count; i++) {
        weight += n->model->weight[reduced.taken[i]];
        t->taken[t->taken_count++] = n->model->column_id[reduced.taken[i]];
    }
    if (weight > n->budget) {
        v = CLOSED;
    }
    if (v == OPEN) {
        n->budget -= weight;
        /* in place: both sides ascend, so nothing is overwritten before it is read */
        carry_rows(n->model, n->u, reduced.model, n->u);
        if (x_mean) {
            carry_columns(n->model, x_mean, reduced.model, x_mean);
        }
        hr_placement_model *const old = n->model;
        n->model = reduced.model;
        reduced.model = old;
        v = n->model->rows == 0 ? SOLVED : OPEN;
    }
    hr_placement_reduced_free(&reduced);
    return v;
}

/* Columns that the multipliers decide: with them (without them) the bound passes the budget. */
static uint32_t mark_fixed(const hr_placement_model *m, int64_t total, uint64_t budget, const int64_t *reduced,
                           uint8_t *fix)
{
    uint32_t count = 0;
    const int64_t limit = (int64_t)budget * HR_PLACEMENT_SCALE;
    for (uint32_t c = 0; c < m->columns; c++) {
        fix[c] = 0;
        if (reduced[c] > 0 && total + reduced[c] > limit) {
            fix[c] = HR_PLACEMENT_FIX_DROP;
        } else if (reduced[c] < 0 && total - reduced[c] > limit) {
            fix[c] = HR_PLACEMENT_FIX_TAKE;
        }
        count += fix[c] != 0;
    }
    return count;
}

/* Bounds the node; x_mean gets the averaged answer. */
static verdict bound_node(tree *t, node *n, uint32_t rounds, double *x_mean)
{
    hr_placement_model *m = n->model;
    int64_t *u_int = hr_alloc((size_t)m->rows + m->columns + 1, sizeof *u_int);
    uint8_t *fix = hr_alloc((size_t)m->columns + 1, 1);
    verdict v = BROKEN;
    if (u_int && fix) {
        const double limit = (double)n->budget;
        hr_placement_volume(t->run, m, limit + 1, limit + 1e-5, rounds, n->u, x_mean);
        const int64_t total = hr_placement_bound_exact(m, n->u, u_int, u_int + m->rows);
        v = hr_placement_bound_ceil(total) > n->budget ? CLOSED : OPEN;
        if (v == OPEN && mark_fixed(m, total, n->budget, u_int + m->rows, fix) > 0) {
            v = shrink(t, n, fix, false, x_mean);
        }
    }
    hr_free(u_int);
    hr_free(fix);
    return t->run->no_memory ? BROKEN : v;
}

static bool push(tree *t, node *n, uint32_t take)
{
    if (!n) {
        return false;
    }
    n->taken_count = t->taken_count;
    n->take = take;
    n->below = t->top;
    t->top = n;
    return true;
}

/* Undecided by the averaged answer, and deciding much. */
static uint32_t branch_column(const hr_placement_model *m, const double *x_mean)
{
    uint32_t best = 0;
    double best_score = -1;
    for (uint32_t c = 0; c < m->columns; c++) {
        const double score = x_mean[c] * (1 - x_mean[c]) * (m->column_start[c + 1] - m->column_start[c]);
        if (score > best_score || (score >= best_score && x_mean[c] > x_mean[best])) {
            best = c;
            best_score = score;
        }
    }
    return best;
}

/* Two nodes: with a column, to be looked at first, and without it. */
static bool branch(tree *t, const node *n, const double *x_mean)
{
    const hr_placement_model *m = n->model;
    const uint32_t best = branch_column(m, x_mean);
    uint8_t *kept = hr_alloc((size_t)m->columns + 1, 1);
    uint32_t *lack = hr_alloc((size_t)m->rows + 1, sizeof *lack);
    bool ok = kept && lack;
    if (ok) {
        memset(kept, 1, m->columns);
        memcpy(lack, m->need, m->rows * sizeof *lack);
        kept[best] = 0;
        ok = push(t, node_new(hr_placement_model_cut(m, lack, kept), m, n->u, n->budget, n->level + 1),
                  HR_PLACEMENT_NONE);
        for (uint32_t e = m->column_start[best]; e < m->column_start[best + 1]; e++) {
            lack[m->column_row[e]]--;
        }
        if (ok && m->weight[best] <= n->budget) {
            ok = push(
                t, node_new(hr_placement_model_cut(m, lack, kept), m, n->u, n->budget - m->weight[best], n->level + 1),
                m->column_id[best]);
        }
        t->run->entries += 4 * (uint64_t)m->entries;
    }
    hr_free(kept);
    hr_free(lack);
    return ok;
}

/* ---- a node that falls apart --------------------------------------------------------- */

/* Bounds each part by itself. */
static bool bound_parts(tree *t, const node *n, hr_placement_model **parts, uint32_t count, double **u, uint64_t *lower)
{
    for (uint32_t p = 0; p < count; p++) {
        const hr_placement_model *m = parts[p];
        double *x_mean = hr_alloc((size_t)m->columns + 1, sizeof *x_mean);
        int64_t *u_int = hr_alloc((size_t)m->rows + 1, sizeof *u_int);
        u[p] = hr_alloc((size_t)m->rows + 1, sizeof *u[p]);
        const bool ok = x_mean && u_int && u[p];
        if (ok) {
            carry_rows(n->model, n->u, m, u[p]);
            hr_placement_volume(t->run, m, (double)n->budget + 1, (double)n->budget + 1e-5, NODE_ROUNDS, u[p], x_mean);
            lower[p] = hr_placement_bound_ceil(hr_placement_bound_exact(m, u[p], u_int, NULL));
        }
        hr_free(x_mean);
        hr_free(u_int);
        if (!ok || t->run->no_memory) {
            return false;
        }
    }
    return true;
}

/* The least weight of one part, as long as all together stay within the budget. */
static hr_placement_outcome solve_part(tree *t, const hr_placement_model *part, const double *u, uint64_t *lower,
                                       uint64_t most)
{
    for (; *lower <= most; (*lower)++) {
        uint32_t found = 0;
        const hr_placement_outcome o = search(t->run, part, u, *lower, t->nest + 1, t->taken + t->taken_count, &found);
        if (o == HR_PLACEMENT_FOUND) {
            t->taken_count += found;
        }
        if (o != HR_PLACEMENT_NO_COVER) {
            return o;
        }
    }
    return HR_PLACEMENT_NO_COVER;
}

/* Solves all parts one after the other, the small ones first: a part that costs
 * too much by itself ends the node early. */
static hr_placement_outcome solve_parts(tree *t, node *n, hr_placement_model **parts, uint32_t count, double **u,
                                        uint64_t *lower, uint8_t *done)
{
    if (!bound_parts(t, n, parts, count, u, lower)) {
        return HR_PLACEMENT_GAVE_UP;
    }
    uint64_t sum = 0;
    for (uint32_t p = 0; p < count; p++) {
        sum += lower[p];
    }
    for (uint32_t k = 0; k < count; k++) {
        if (sum > n->budget) {
            return HR_PLACEMENT_NO_COVER;
        }
        uint32_t next = HR_PLACEMENT_NONE;
        for (uint32_t p = 0; p < count; p++) {
            if (!done[p] && (next == HR_PLACEMENT_NONE || parts[p]->rows < parts[next]->rows)) {
                next = p;
            }
        }
        const uint64_t before = lower[next];
        const hr_placement_outcome o = solve_part(t, parts[next], u[next], &lower[next], n->budget - (sum - before));
        if (o != HR_PLACEMENT_FOUND) {
            return o;
        }
        sum += lower[next] - before;
        done[next] = 1;
    }
    return HR_PLACEMENT_FOUND;
}

static hr_placement_outcome take_apart(tree *t, node *n, hr_placement_model **parts, uint32_t count)
{
    double **u = hr_alloc_zero(count, sizeof(double *));
    uint64_t *lower = hr_alloc_zero(count, sizeof *lower);
    uint8_t *done = hr_alloc_zero(count, 1);
    hr_placement_outcome o = HR_PLACEMENT_GAVE_UP;
    if (u && lower && done) {
        o = solve_parts(t, n, parts, count, u, lower, done);
    } else {
        t->run->no_memory = true;
    }
    for (uint32_t p = 0; u && p < count; p++) {
        hr_free(u[p]);
    }
    hr_free(u);
    hr_free(lower);
    hr_free(done);
    return o;
}

/* ---- the search ------------------------------------------------------------------------ */

/* FOUND, NO_COVER (the node is closed or its children wait on the stack), or GAVE_UP. */
static hr_placement_outcome open_node(tree *t, node *n, double *x_mean)
{
    verdict v = bound_node(t, n, n->level == 0 ? ROOT_ROUNDS : NODE_ROUNDS, x_mean);
    if (v != OPEN) {
        return v == SOLVED ? HR_PLACEMENT_FOUND : v == CLOSED ? HR_PLACEMENT_NO_COVER : HR_PLACEMENT_GAVE_UP;
    }
    hr_placement_model **parts = NULL;
    uint32_t count = 1;
    if (t->nest < MAX_NEST && !hr_placement_model_split(n->model, &parts, &count)) {
        return HR_PLACEMENT_GAVE_UP;
    }
    hr_placement_outcome o = HR_PLACEMENT_NO_COVER;
    if (count > 1) {
        o = take_apart(t, n, parts, count);
    } else if (!branch(t, n, x_mean)) {
        t->run->no_memory = true;
        o = HR_PLACEMENT_GAVE_UP;
    }
    hr_placement_parts_free(parts, parts ? count : 0);
    return o;
}

static hr_placement_outcome visit(tree *t, node *n)
{
    t->taken_count = n->taken_count;
    if (n->take != HR_PLACEMENT_NONE) {
        t->taken[t->taken_count++] = n->take;
    }
    if (!hr_placement_run_go(t->run, n->model->entries)) {
        return HR_PLACEMENT_GAVE_UP;
    }
    const verdict v = shrink(t, n, NULL, n->level % DOMINANCE_EVERY == 0, NULL);
    if (v != OPEN) {
        return v == SOLVED ? HR_PLACEMENT_FOUND : v == CLOSED ? HR_PLACEMENT_NO_COVER : HR_PLACEMENT_GAVE_UP;
    }
    double *x_mean = hr_alloc((size_t)n->model->columns + 1, sizeof *x_mean);
    const hr_placement_outcome o = x_mean ? open_node(t, n, x_mean) : HR_PLACEMENT_GAVE_UP;
    t->run->no_memory |= !x_mean;
    hr_free(x_mean);
    return o;
}

static hr_placement_outcome search(hr_placement_run *run, const hr_placement_model *model, const double *u,
                                   uint64_t budget, uint32_t nest, uint32_t *found, uint32_t *found_count)
{
    tree t = {.run = run, .nest = nest};
    t.taken = hr_alloc((size_t)model->columns + 1, sizeof *t.taken);
    uint8_t *kept = hr_alloc((size_t)model->columns + 1, 1);
    hr_placement_outcome o = HR_PLACEMENT_GAVE_UP;
    if (t.taken && kept) {
        memset(kept, 1, model->columns);
        if (push(&t, node_new(hr_placement_model_cut(model, model->need, kept), model, u, budget, 0),
                 HR_PLACEMENT_NONE)) {
            o = HR_PLACEMENT_NO_COVER;
        }
    }
    run->no_memory |= o == HR_PLACEMENT_GAVE_UP;
    while (o == HR_PLACEMENT_NO_COVER && t.top) {
        node *n = t.top;
        t.top = n->below;
        o = visit(&t, n);
        node_free(n);
    }
    if (o == HR_PLACEMENT_FOUND) {
        memcpy(found, t.taken, t.taken_count * sizeof *found);
        *found_count = t.taken_count;
    }
    while (t.top) {
        node *n = t.top;
        t.top = n->below;
        node_free(n);
    }
    hr_free(t.taken);
    hr_free(kept);
    return o;
}

hr_placement_outcome hr_placement_tree(hr_placement_run *run, const hr_placement_model *model, const double *u,
                                       uint64_t budget, uint8_t *chosen)
{
    uint32_t *found = hr_alloc((size_t)model->columns + 1, sizeof *found);
    uint32_t count = 0;
    if (!found) {
        run->no_memory = true;
        return HR_PLACEMENT_GAVE_UP;
    }
    const hr_placement_outcome o = search(run, model, u, budget, 0, found, &count);
    if (o == HR_PLACEMENT_FOUND) {
        memset(chosen, 0, model->columns);
        for (uint32_t i = 0; i < count; i++) {
            uint32_t low = 0, high = model->columns - 1;
            while (low < high) {
                const uint32_t mid = low + (high - low) / 2;
                if (model->column_id[mid] < found[i]) {
                    low = mid + 1;
                } else {
                    high = mid;
                }
            }
            chosen[low] = 1;
        }
    }
    hr_free(found);
    return o;
}
