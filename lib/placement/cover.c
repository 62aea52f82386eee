/*
 * cover.c - the chain of stages for one covering model: reduced and taken apart,
 * then for each part greedy, bound, local search, branch and bound.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_priv.h"

#include <string.h>

#define ROOT_ROUNDS 2000
#define CERTIFY_ROUNDS 1500
/* Searches in one turn: several short ones from the best so far, not one long one. */
#define SEEDS 4

typedef struct part {
    hr_placement_model *model;
    uint8_t *chosen;
    double *u;
    uint64_t upper, lower;
    uint32_t same_as; /* an earlier part with the same numbers, or NONE */
    bool raised;      /* lower comes from the tree: u no longer proves it */
} part;

typedef struct cover {
    hr_placement_run *run;
    hr_placement_cover_job *job;
    hr_placement_reduced reduced;
    part *parts;
    uint32_t count;
    uint64_t taken_weight;
    uint64_t seed;
} cover;

/* ---- one part ------------------------------------------------------------------ */

static bool first_answer(cover *v, part *p)
{
    const hr_placement_model *m = p->model;
    uint32_t *order = hr_alloc((size_t)m->columns + m->rows + 1, sizeof *order);
    if (!order) {
        return false;
    }
    const uint32_t count = hr_placement_greedy(m, p->chosen, order, NULL);
    if (count != HR_PLACEMENT_NONE) {
        p->upper = hr_placement_prune(m, p->chosen, order, count, order + m->columns);
    }
    v->run->entries += 4 * (uint64_t)m->entries;
    hr_free(order);
    return count != HR_PLACEMENT_NONE;
}

static bool first_bound(cover *v, part *p)
{
    const hr_placement_model *m = p->model;
    double *x_mean = hr_alloc((size_t)m->columns + 1, sizeof *x_mean);
    int64_t *u_int = hr_alloc((size_t)m->rows + 1, sizeof *u_int);
    const bool ok = x_mean && u_int;
    if (ok) {
        hr_placement_multipliers_start(m, p->u);
        hr_placement_volume(v->run, m, (double)p->upper, (double)p->upper - 1 + 1e-5, ROOT_ROUNDS, p->u, x_mean);
        p->lower = hr_placement_bound_ceil(hr_placement_bound_exact(m, p->u, u_int, NULL));
    }
    hr_free(x_mean);
    hr_free(u_int);
    return ok && !v->run->no_memory;
}

/* Raises the lower bound weight by weight: each is shown impossible or found. */
static bool raise_part(cover *v, part *p)
{
    while (p->lower < p->upper && !hr_placement_run_dead(v->run)) {
        const hr_placement_outcome o = hr_placement_tree(v->run, p->model, p->u, p->lower, p->chosen);
        if (o == HR_PLACEMENT_FOUND) {
            p->upper = p->lower;
        } else if (o == HR_PLACEMENT_NO_COVER) {
            p->lower++;
            p->raised = true;
            continue;
        }
        break;
    }
    return !v->run->no_memory;
}

/* ---- all parts -------------------------------------------------------------------- */

static void copy_alike(cover *v)
{
    for (uint32_t i = 0; i < v->count; i++) {
        part *p = &v->parts[i];
        if (p->same_as != HR_PLACEMENT_NONE) {
            const part *from = &v->parts[p->same_as];
            p->upper = from->upper;
            p->lower = from->lower;
            memcpy(p->chosen, from->chosen, p->model->columns);
            memcpy(p->u, from->u, p->model->rows * sizeof *p->u);
        }
    }
}

/* Sums over the parts; true when nothing is left to decide. */
static bool settled(cover *v)
{
    hr_placement_cover_job *job = v->job;
    copy_alike(v);
    job->upper = job->lower = v->taken_weight;
    for (uint32_t i = 0; i < v->count; i++) {
        job->upper += v->parts[i].upper;
        job->lower += v->parts[i].lower;
    }
    hr_placement_run_shows(v->run, job->upper, job->lower);
    return job->lower >= job->upper || (job->decide && (job->upper <= job->want || job->lower > job->want));
}

/* A stage over the parts still open, the effort shared by their sizes; each gets
 * what the ones before it left. */
static bool open_parts(cover *v, const char *name, uint64_t effort, bool (*stage)(cover *, part *))
{
    uint64_t sizes = 0;
    for (uint32_t i = 0; i < v->count; i++) {
        const part *p = &v->parts[i];
        sizes += p->same_as == HR_PLACEMENT_NONE && p->lower < p->upper ? p->model->entries : 0;
    }
    const uint64_t begun = v->run->entries;
    for (uint32_t i = 0; i < v->count; i++) {
        part *p = &v->parts[i];
        if (p->same_as != HR_PLACEMENT_NONE || p->lower >= p->upper) {
            continue;
        }
        const uint64_t used = v->run->entries - begun, left = effort > used ? effort - used : 0;
        const double share = (double)p->model->entries / (double)sizes;
        sizes -= p->model->entries;
        hr_placement_run_stage(v->run, name, (uint64_t)((double)left * share));
        if (!stage(v, p)) {
            return false;
        }
        if (settled(v)) {
            break;
        }
    }
    return true;
}

static bool search_once(cover *v, part *p, uint64_t seed, uint64_t entries)
{
    const uint64_t stop = v->run->stop;
    if (v->run->entries + entries < stop) {
        v->run->stop = v->run->entries + entries;
    }
    seed += v->run->options->seed * 0x9e3779b97f4a7c15U;
    const bool ok = hr_placement_local_search(v->run, p->model, seed, p->lower, p->chosen, &p->upper);
    v->run->stop = stop;
    return ok;
}

static bool search_part(cover *v, part *p)
{
    const uint64_t left = v->run->stop > v->run->entries ? v->run->stop - v->run->entries : 0;
    for (uint64_t i = 0; i < SEEDS && p->upper > p->lower; i++) {
        if (!search_once(v, p, ++v->seed, left / SEEDS + 1)) {
            return false;
        }
    }
    return true;
}

/* ---- the chain -------------------------------------------------------------------------- */

static bool part_start(cover *v, uint32_t i)
{
    part *p = &v->parts[i];
    p->same_as = HR_PLACEMENT_NONE;
    for (uint32_t k = 0; k < i && p->same_as == HR_PLACEMENT_NONE; k++) {
        if (v->parts[k].same_as == HR_PLACEMENT_NONE && hr_placement_model_same(v->parts[k].model, p->model)) {
            p->same_as = k;
        }
    }
    p->chosen = hr_alloc_zero((size_t)p->model->columns + 1, 1);
    p->u = hr_alloc_zero((size_t)p->model->rows + 1, sizeof *p->u);
    if (!p->chosen || !p->u) {
        return false;
    }
    return p->same_as != HR_PLACEMENT_NONE || (first_answer(v, p) && first_bound(v, p));
}

static bool make_parts(cover *v)
{
    const hr_placement_model *m = v->job->model;
    if (!hr_placement_reduce(v->run, m, NULL, true, &v->reduced)) {
        return false;
    }
    for (uint32_t i = 0; i < v->reduced.taken_count; i++) {
        v->taken_weight += m->weight[v->reduced.taken[i]];
    }
    hr_placement_model **models = NULL;
    uint32_t count = 0;
    if (!hr_placement_model_split(v->reduced.model, &models, &count)) {
        return false;
    }
    v->parts = hr_alloc_zero((size_t)count + 1, sizeof *v->parts);
    if (!v->parts) {
        hr_placement_parts_free(models, count);
        return false;
    }
    v->count = count;
    for (uint32_t i = 0; i < count; i++) {
        v->parts[i].model = models[i];
    }
    hr_free(models);
    for (uint32_t i = 0; i < count; i++) {
        if (!part_start(v, i)) {
            return false;
        }
    }
    return true;
}

/* Local search and proof in turns, each longer than the last: easy problems end
 * early, hard ones lose little by starting over. Shares of the effort in percent. */
static bool run_chain(cover *v)
{
    static const struct turn {
        const char *name;
        uint32_t share;
        bool (*stage)(cover *, part *);
    } turns[] = {{"search", 1, search_part}, {"proof", 4, raise_part},    {"search", 4, search_part},
                 {"proof", 11, raise_part},  {"search", 12, search_part}, {"proof", 45, raise_part}};
    const uint64_t effort = v->job->effort, begun = v->run->entries;
    hr_placement_run_stage(v->run, "bound", effort);
    if (!make_parts(v)) {
        return false;
    }
    for (size_t i = 0; i < sizeof turns / sizeof turns[0] && !settled(v); i++) {
        if (!open_parts(v, turns[i].name, effort / 100 * turns[i].share, turns[i].stage)) {
            return false;
        }
    }
    const uint64_t used = v->run->entries - begun;
    if (!settled(v) && used < effort && !open_parts(v, "search", effort - used, search_part)) {
        return false;
    }
    settled(v);
    return true;
}

/* The parts' answers in terms of the whole model. */
static void collect(cover *v)
{
    const hr_placement_model *m = v->job->model;
    memset(v->job->chosen, 0, m->columns);
    for (uint32_t i = 0; i < v->reduced.taken_count; i++) {
        v->job->chosen[v->reduced.taken[i]] = 1;
    }
    for (uint32_t i = 0; i < v->count; i++) {
        const part *p = &v->parts[i];
        for (uint32_t c = 0, at = 0; c < p->model->columns; c++) {
            while (m->column_id[at] != p->model->column_id[c]) {
                at++;
            }
            v->job->chosen[at] |= p->chosen[c];
        }
    }
}

/* Multipliers for the whole model that prove the bound by themselves, if there are any. */
static bool certify(cover *v)
{
    const hr_placement_model *m = v->job->model;
    double *x_mean = hr_alloc((size_t)m->columns + 1, sizeof *x_mean);
    if (!x_mean) {
        return false;
    }
    hr_placement_multipliers_start(m, v->job->u);
    for (uint32_t i = 0; i < v->count; i++) {
        const part *p = &v->parts[i];
        for (uint32_t r = 0, at = 0; r < p->model->rows; r++) {
            while (m->row_id[at] != p->model->row_id[r]) {
                at++;
            }
            v->job->u[at] = p->u[r];
        }
    }
    hr_placement_run_stage(v->run, "certificate", UINT64_MAX);
    hr_placement_volume(v->run, m, (double)v->job->upper, (double)v->job->lower - 1 + 1e-5, CERTIFY_ROUNDS, v->job->u,
                        x_mean);
    hr_free(x_mean);
    return !v->run->no_memory;
}

bool hr_placement_cover(hr_placement_run *run, hr_placement_cover_job *job)
{
    cover v = {.run = run, .job = job};
    bool ok = run_chain(&v);
    if (ok) {
        collect(&v);
        bool raised = false;
        for (uint32_t i = 0; i < v.count; i++) {
            raised = raised || v.parts[i].raised;
        }
        ok = !job->u || raised || certify(&v);
    }
    for (uint32_t i = 0; v.parts && i < v.count; i++) {
        hr_placement_model_free(v.parts[i].model);
        hr_free(v.parts[i].chosen);
        hr_free(v.parts[i].u);
    }
    hr_free(v.parts);
    hr_placement_reduced_free(&v.reduced);
    run->no_memory |= !ok && !run->interrupted;
    return ok;
}

/* ---- the quick way ------------------------------------------------------------------------ */

bool hr_placement_cover_quick(hr_placement_run *run, hr_placement_cover_job *job)
{
    const hr_placement_model *m = job->model;
    memset(job->chosen, 0, m->columns);
    uint32_t *order = hr_alloc((size_t)m->columns + m->rows + 1, sizeof *order);
    int64_t *u_int = hr_alloc((size_t)m->rows + 1, sizeof *u_int);
    const bool ok = order && u_int;
    const uint32_t count = ok ? hr_placement_greedy(m, job->chosen, order, job->u) : HR_PLACEMENT_NONE;
    if (count != HR_PLACEMENT_NONE) {
        job->upper = hr_placement_prune(m, job->chosen, order, count, order + m->columns);
        job->lower = hr_placement_bound_ceil(hr_placement_dual_fit(m, job->u, u_int));
    }
    run->entries += 10 * (uint64_t)m->entries;
    run->no_memory |= count == HR_PLACEMENT_NONE;
    hr_free(order);
    hr_free(u_int);
    return !run->no_memory;
}
