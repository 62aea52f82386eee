/*
 * pairing.c - walls drawn as two thin lines become one centre line.
 *
 * Facing strokes are taken nearest first, so that the two faces of one wall
 * find each other before they find the wall across a narrow shaft. Each
 * stretch of a stroke is used once. Stubs that a corner leaves over go.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <math.h>
#include <stdlib.h>

/* Faces of one wall differ by less than two degrees. */
#define FACES_RAD 0.03490658503988659
#define FACES_MIN_M 0.01

typedef struct facing {
    uint32_t a, b;
    int64_t gap_um; /* whole micrometres, so that ties are ties */
    hr_span on_a;
} facing;

/* A stretch of a wall that went into a centre line. */
typedef struct used {
    hr_span span;
    size_t next;
} used;

typedef struct pairing {
    plan_reader *r;
    hr_plan_kind kind;
    double distance_m;
    size_t wall_count; /* before pairing */
    facing *facings;
    size_t facing_count, facing_cap;
    used *stretches;
    size_t used_count, used_cap;
    size_t *first_used; /* per wall, SIZE_MAX: none */
    hr_span *spans;     /* scratch */
    size_t span_cap;
    hr_wall *made;   /* centre lines */
    double *thick_m; /* per line made: distance of the faces, 0 for what is left */
    size_t made_count, made_cap, thick_cap;
} pairing;

static bool takes_part(const pairing *p, uint32_t wall)
{
    return plan_shape_meaning(p->r, p->r->walls[wall].shape)->kind == p->kind;
}

/* ---- which strokes face each other ---- */

static bool face(const pairing *p, uint32_t a, uint32_t b, facing *f)
{
    const hr_wall *wall_a = &p->r->walls[a], *wall_b = &p->r->walls[b];
    if (wall_a->material != wall_b->material || hr_geometry_angle(wall_a->line, wall_b->line) > FACES_RAD ||
        (p->kind == HR_PLAN_ROOMS && wall_a->shape == wall_b->shape) ||
        !plan_common_stretch(wall_a->line, wall_b->line, p->distance_m, FACES_MIN_M, &f->on_a)) {
        return false;
    }
    const hr_point middle = hr_geometry_at(wall_a->line, 0.5 * (f->on_a.from + f->on_a.to));
    const double gap_m = hr_geometry_to_segment(middle, wall_b->line, NULL);
    const double stretch_m = (f->on_a.to - f->on_a.from) * hr_geometry_length(wall_a->line);
    f->a = a;
    f->b = b;
    f->gap_um = (int64_t)floor(gap_m * 1e6 + 0.5);
    return gap_m > PLAN_COINCIDENT_M && stretch_m >= gap_m; /* the short ends of a wall's outline are no faces */
}

static int compare_facings(const void *left, const void *right)
{
    const facing *x = left, *y = right;
    if (x->gap_um != y->gap_um) {
        return x->gap_um < y->gap_um ? -1 : 1;
    }
    if (x->a != y->a) {
        return x->a < y->a ? -1 : 1;
    }
    return x->b < y->b ? -1 : x->b > y->b;
}

static hr_status find_facings(pairing *p)
{
    plan_reader *r = p->r;
    hr_index *index = NULL;
    hr_status status = plan_index_walls(r, &index);
    size_t pairs = 0;
    for (size_t i = 0; i < p->wall_count && status == HR_OK; i++) {
        if (!takes_part(p, (uint32_t)i)) {
            continue;
        }
        status = plan_query(r, index, r->walls[i].line, p->distance_m);
        status = status == HR_OK ? plan_count_pairs(r, &pairs, (uint32_t)i) : status;
        for (size_t k = 0; k < r->ids.count && status == HR_OK; k++) {
            facing f;
            if (r->ids.at[k] <= i || !takes_part(p, r->ids.at[k]) || !face(p, (uint32_t)i, r->ids.at[k], &f)) {
                continue;
            }
            if (!HR_RESERVE(p->facings, p->facing_cap, p->facing_count + 1)) {
                status = hr_fail_memory(r->err);
                break;
            }
            p->facings[p->facing_count++] = f;
        }
    }
    hr_geometry_index_free(index);
    if (status == HR_OK && p->facing_count > 0) {
        qsort(p->facings, p->facing_count, sizeof *p->facings, compare_facings);
    }
    return status;
}

/* ---- stretches used ---- */

static hr_status use(pairing *p, uint32_t wall, hr_span span)
{
    if (!HR_RESERVE(p->stretches, p->used_cap, p->used_count + 1)) {
        return hr_fail_memory(p->r->err);
    }
    p->stretches[p->used_count] = (used){span, p->first_used[wall]};
    p->first_used[wall] = p->used_count++;
    return HR_OK;
}

/* Place of p on the line through s, as a fraction of s. */
static double fraction_on(hr_segment s, hr_point p)
{
    const double dx = s.b.x - s.a.x, dy = s.b.y - s.a.y;
    return ((p.x - s.a.x) * dx + (p.y - s.a.y) * dy) / (dx * dx + dy * dy);
}

static hr_span carried_over(hr_segment from, hr_segment to, hr_span span)
{
    const double a = fraction_on(to, hr_geometry_at(from, span.from)),
                 b = fraction_on(to, hr_geometry_at(from, span.to));
    return (hr_span){fmin(fmax(fmin(a, b), 0.0), 1.0), fmin(fmax(fmax(a, b), 0.0), 1.0)};
}

/* Adds the used stretches of a wall, seen on another line, to the scratch list. */
static hr_status list_used(pairing *p, uint32_t wall, hr_segment seen_on, size_t *count)
{
    for (size_t u = p->first_used[wall]; u != SIZE_MAX; u = p->stretches[u].next) {
        if (!HR_RESERVE(p->spans, p->span_cap, *count + 1)) {
            return hr_fail_memory(p->r->err);
        }
        p->spans[(*count)++] = carried_over(p->r->walls[wall].line, seen_on, p->stretches[u].span);
    }
    return HR_OK;
}

/* ---- centre lines ---- */

static hr_status make(pairing *p, const hr_wall *wall, double thick_m)
{
    if (!HR_RESERVE(p->made, p->made_cap, p->made_count + 1) ||
        !HR_RESERVE(p->thick_m, p->thick_cap, p->made_count + 1)) {
        return hr_fail_memory(p->r->err);
    }
    p->thick_m[p->made_count] = thick_m;
    p->made[p->made_count++] = *wall;
    return HR_OK;
}

static hr_status make_centre(pairing *p, const facing *f, hr_span span)
{
    const hr_wall *a = &p->r->walls[f->a], *b = &p->r->walls[f->b];
    const hr_span on_b = carried_over(a->line, b->line, span);
    if (!((span.to - span.from) * hr_geometry_length(a->line) >= FACES_MIN_M)) {
        return HR_OK;
    }
    hr_wall centre = *a;
    hr_point *const ends[2] = {&centre.line.a, &centre.line.b};
    const double at[2] = {span.from, span.to};
    for (size_t i = 0; i < 2; i++) {
        const hr_point here = hr_geometry_at(a->line, at[i]);
        const hr_point there = hr_geometry_at(b->line, fraction_on(b->line, here));
        *ends[i] = (hr_point){0.5 * (here.x + there.x), 0.5 * (here.y + there.y)};
    }
    hr_status status = make(p, &centre, (double)f->gap_um * 1e-6);
    if (status == HR_OK) {
        status = use(p, f->a, span);
    }
    return status == HR_OK ? use(p, f->b, on_b) : status;
}

/* The parts of the common stretch that neither stroke has used yet. */
static hr_status pair(pairing *p, const facing *f)
{
    const hr_segment line = p->r->walls[f->a].line;
    size_t count = 0;
    hr_status status = list_used(p, f->a, line, &count);
    if (status == HR_OK) {
        status = list_used(p, f->b, line, &count);
    }
    if (status == HR_OK && count > 0) {
        hr_geometry_sort_spans(p->spans, count);
    }
    double from = f->on_a.from;
    for (size_t i = 0; i < count && status == HR_OK; i++) {
        const double to = fmin(p->spans[i].from, f->on_a.to);
        status = to > from ? make_centre(p, f, (hr_span){from, to}) : HR_OK;
        from = fmax(from, p->spans[i].to);
    }
    return status == HR_OK && f->on_a.to > from ? make_centre(p, f, (hr_span){from, f->on_a.to}) : status;
}

/* ---- what is left ---- */

/* A short stroke that joins the ends of two faces. */
static bool is_cap(const pairing *p, const hr_index *index, uint32_t wall, hr_status *status)
{
    plan_reader *r = p->r;
    const hr_segment line = r->walls[wall].line;
    if (p->kind == HR_PLAN_ROOMS || hr_geometry_length(line) > p->distance_m) {
        return false;
    }
    const hr_point ends[2] = {line.a, line.b};
    for (size_t e = 0; e < 2; e++) {
        *status = plan_query(r, index, (hr_segment){ends[e], ends[e]}, PLAN_COINCIDENT_M);
        bool held = false;
        for (size_t i = 0; i < r->ids.count && *status == HR_OK; i++) {
            held = held || (r->ids.at[i] != wall && p->first_used[r->ids.at[i]] != SIZE_MAX);
        }
        if (!held) {
            return false;
        }
    }
    return true;
}

static hr_status keep_part(pairing *p, uint32_t wall, double from, double to)
{
    hr_wall rest = p->r->walls[wall];
    const hr_segment line = rest.line;
    rest.line = (hr_segment){hr_geometry_at(line, from), hr_geometry_at(line, to)};
    return make(p, &rest, 0.0);
}

/* What a paired stroke has left: long parts stay as they are, stubs go. */
static hr_status keep_rest(pairing *p, uint32_t wall)
{
    const hr_segment line = p->r->walls[wall].line;
    const double length_m = hr_geometry_length(line);
    size_t count = 0;
    hr_status status = list_used(p, wall, line, &count);
    if (status == HR_OK && count > 0) {
        hr_geometry_sort_spans(p->spans, count);
    }
    double from = 0.0;
    for (size_t i = 0; i <= count && status == HR_OK; i++) {
        const double to = i < count ? p->spans[i].from : 1.0;
        if ((to - from) * length_m > 1.5 * p->distance_m) {
            status = keep_part(p, wall, from, to);
        }
        from = i < count ? fmax(from, p->spans[i].to) : from;
    }
    return status;
}

static hr_status keep_rests(pairing *p)
{
    plan_reader *r = p->r;
    hr_index *index = NULL;
    hr_status status = plan_index_walls(r, &index);
    for (size_t i = 0; i < p->wall_count && status == HR_OK; i++) {
        const uint32_t wall = (uint32_t)i;
        if (p->first_used[i] != SIZE_MAX) {
            status = keep_rest(p, wall);
        } else if (!is_cap(p, index, wall, &status) && status == HR_OK) {
            status = keep_part(p, wall, 0.0, 1.0);
        }
    }
    hr_geometry_index_free(index);
    return status;
}

static hr_status replace_walls(pairing *p)
{
    plan_reader *r = p->r;
    r->plan->wall_count = 0;
    hr_status status = HR_OK;
    for (size_t i = 0; i < p->made_count && status == HR_OK; i++) {
        status = plan_add_wall(r, &p->made[i]);
    }
    return status == HR_OK ? plan_close_corners(r, p->thick_m, p->distance_m) : status;
}

hr_status plan_pair_walls(plan_reader *r, hr_plan_kind kind, double distance_m)
{
    pairing p = {.r = r, .kind = kind, .distance_m = distance_m, .wall_count = r->plan->wall_count};
    p.first_used = hr_alloc(p.wall_count, sizeof *p.first_used);
    hr_status status = p.first_used == NULL ? hr_fail_memory(r->err) : HR_OK;
    for (size_t i = 0; i < p.wall_count && status == HR_OK; i++) {
        p.first_used[i] = SIZE_MAX;
    }
    if (status == HR_OK && p.wall_count > 1) {
        status = find_facings(&p);
    }
    for (size_t i = 0; i < p.facing_count && status == HR_OK; i++) {
        status = pair(&p, &p.facings[i]);
    }
    const size_t centres = p.made_count;
    if (status == HR_OK && centres > 0) {
        status = keep_rests(&p);
    }
    if (status == HR_OK && centres > 0) {
        status = replace_walls(&p);
    }
    hr_free(p.facings);
    hr_free(p.stretches);
    hr_free(p.first_used);
    hr_free(p.spans);
    hr_free(p.made);
    hr_free(p.thick_m);
    return status;
}
