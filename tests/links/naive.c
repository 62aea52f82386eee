/*
 * naive.c - the multi-wall model read a second time, slowly.
 *
 * SPDX-License-Identifier: MIT
 */
#include "naive.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "hr_propagation.h"

typedef struct ray {
    double ax, ay, az, bx, by, bz, len;
} ray;

typedef struct hit {
    double t, loss;
    naive_line wall;
} hit;

static double point_line(double px, double py, const naive_line *l)
{
    const double dx = l->bx - l->ax, dy = l->by - l->ay, dd = dx * dx + dy * dy;
    double t = dd > 0 ? ((px - l->ax) * dx + (py - l->ay) * dy) / dd : 0;
    t = t < 0 ? 0 : t > 1 ? 1 : t;
    return hypot(px - l->ax - t * dx, py - l->ay - t * dy);
}

/* Place of the crossing on the ray (t) and on the line (u). */
static bool crossing(const ray *r, const naive_line *l, double *t, double *u)
{
    const double rx = r->bx - r->ax, ry = r->by - r->ay, lx = l->bx - l->ax, ly = l->by - l->ay;
    const double det = rx * ly - ry * lx;
    if (det == 0) {
        return false;
    }
    *t = ((l->ax - r->ax) * ly - (l->ay - r->ay) * lx) / det;
    *u = ((l->ax - r->ax) * ry - (l->ay - r->ay) * rx) / det;
    return *t >= 0 && *t <= 1 && *u >= 0 && *u <= 1;
}

static double height(const ray *r, const naive_storey *s, double t)
{
    return r->az + t * (r->bz - r->az) - s->floor;
}

/* Fraction of p's projection on the line, unbounded. */
static double project(const naive_line *l, double px, double py)
{
    const double dx = l->bx - l->ax, dy = l->by - l->ay;
    return ((px - l->ax) * dx + (py - l->ay) * dy) / (dx * dx + dy * dy);
}

static bool lies_on(const naive_line *o, const naive_line *w)
{
    const double ox = o->bx - o->ax, oy = o->by - o->ay, wx = w->bx - w->ax, wy = w->by - w->ay;
    const double sine = fabs(ox * wy - oy * wx) / (hypot(ox, oy) * hypot(wx, wy));
    return sine <= sin(5.0 * 3.14159265358979323846 / 180.0) && point_line(o->ax, o->ay, w) <= 0.15 &&
           point_line(o->bx, o->by, w) <= 0.15;
}

static bool on_any_wall(const naive_storey *s, const naive_line *o)
{
    for (size_t i = 0; i < s->wall_count; i++) {
        if (lies_on(o, &s->walls[i])) {
            return true;
        }
    }
    return false;
}

/* The two wall ends nearest to the opening's ends, of different walls. */
static bool gap_of(const naive_storey *s, const naive_line *o, naive_line *gap)
{
    double best[2] = {0.15, 0.15};
    size_t wall[2] = {SIZE_MAX, SIZE_MAX};
    double px[2] = {0, 0}, py[2] = {0, 0};
    for (int end = 0; end < 2; end++) {
        const double x = end ? o->bx : o->ax, y = end ? o->by : o->ay;
        for (size_t i = 0; i < s->wall_count; i++) {
            const naive_line *w = &s->walls[i];
            const double da = hypot(x - w->ax, y - w->ay), db = hypot(x - w->bx, y - w->by);
            const double d = da < db ? da : db;
            if (d < best[end]) {
                best[end] = d;
                wall[end] = i;
                px[end] = da < db ? w->ax : w->bx;
                py[end] = da < db ? w->ay : w->by;
            }
        }
    }
    if (wall[0] == SIZE_MAX || wall[1] == SIZE_MAX || wall[0] == wall[1]) {
        return false;
    }
    *gap = (naive_line){px[0], py[0], px[1], py[1], fmax(s->walls[wall[0]].loss, s->walls[wall[1]].loss), 0, 0};
    return true;
}

static int by_place(const void *a, const void *b)
{
    const double x = ((const hit *)a)->t, y = ((const hit *)b)->t;
    return (x > y) - (x < y);
}

static double gap_between(const naive_line *a, const naive_line *b)
{
    const ray r = {a->ax, a->ay, 0, a->bx, a->by, 0, 0};
    double t, u;
    if (crossing(&r, b, &t, &u)) {
        return 0;
    }
    return fmin(fmin(point_line(a->ax, a->ay, b), point_line(a->bx, a->by, b)),
                fmin(point_line(b->ax, b->ay, a), point_line(b->bx, b->by, a)));
}

static double joints(hit *hits, size_t n, double len)
{
    double sum = 0;
    qsort(hits, n, sizeof *hits, by_place);
    for (size_t i = 0; i < n;) {
        double most = hits[i].loss;
        size_t k = i + 1;
        for (; k < n && (hits[k].t - hits[i].t) * len <= 0.01; k++) {
            bool touches = false;
            for (size_t m = i; m < k; m++) {
                touches = touches || gap_between(&hits[m].wall, &hits[k].wall) <= 0.001;
            }
            if (!touches) {
                break;
            }
            most = fmax(most, hits[k].loss);
        }
        sum += most;
        i = k;
    }
    return sum;
}

/* A line along the ray (within 1 mm over more than 0.1 m of [from, to]): where it begins and ends on the ray. */
static bool along(const ray *r, const naive_line *l, double from, double to, double *t0, double *t1)
{
    const double ux = (r->bx - r->ax) / r->len, uy = (r->by - r->ay) / r->len;
    const double off_a = (l->ay - r->ay) * ux - (l->ax - r->ax) * uy, off_b = (l->by - r->ay) * ux - (l->bx - r->ax) * uy;
    const double a = ((l->ax - r->ax) * ux + (l->ay - r->ay) * uy) / r->len, b = ((l->bx - r->ax) * ux + (l->by - r->ay) * uy) / r->len;
    *t0 = fmax(from, fmin(a, b));
    *t1 = fmin(to, fmax(a, b));
    return fabs(off_a) <= 0.001 && fabs(off_b) <= 0.001 && (*t1 - *t0) * r->len > 0.1;
}

/* Loss of one wall met at u on the wall and at this height. `used` marks openings already paid for. */
static double wall_loss(const naive_storey *s, const naive_line *w, double x, double y, double h, bool *used,
                        const naive_line *only)
{
    double loss = w->loss;
    size_t by = SIZE_MAX;
    for (size_t i = 0; i < s->opening_count; i++) {
        const naive_line *o = &s->openings[i];
        const bool mine = only != NULL ? o == only : lies_on(o, w);
        const double len = hypot(w->bx - w->ax, w->by - w->ay);
        double from = project(w, o->ax, o->ay), to = project(w, o->bx, o->by);
        if (only != NULL) {
            from = 0;
            to = 1;
        }
        if (from > to) {
            const double swap = from;
            from = to;
            to = swap;
        }
        const double at = project(w, x, y);
        if (mine && at >= from - 1e-6 / len && at <= to + 1e-6 / len && h >= o->low - 1e-6 && h <= o->high + 1e-6 &&
            (by == SIZE_MAX || o->loss < loss)) {
            loss = o->loss;
            by = i;
        }
    }
    if (by != SIZE_MAX) {
        if (used[by]) {
            return 0;
        }
        used[by] = true;
    }
    return loss;
}

static bool hangs(const ray *r, const naive_storey *s, const naive_line *l, const naive_storey *a, const naive_storey *b)
{
    return (s == a && point_line(r->ax, r->ay, l) <= 0.01) || (s == b && point_line(r->bx, r->by, l) <= 0.01);
}

static int by_ray_place(const void *a, const void *b)
{
    return by_place(a, b);
}

static double walls_of(const ray *r, const naive_storey *s, double from, double to, bool open_end,
                       const naive_storey *sa, const naive_storey *sb)
{
    hit hits[3 * NAIVE_MAX];
    size_t n = 0;
    bool used[NAIVE_MAX] = {false};
    naive_line pieces[2 * NAIVE_MAX];
    const naive_line *only[2 * NAIVE_MAX];
    size_t count = 0;
    for (size_t i = 0; i < s->wall_count; i++) {
        pieces[count] = s->walls[i];
        only[count++] = NULL;
    }
    for (size_t i = 0; i < s->opening_count; i++) {
        if (!on_any_wall(s, &s->openings[i]) && gap_of(s, &s->openings[i], &pieces[count])) {
            only[count++] = &s->openings[i];
        }
    }
    /* in the order the ray meets them, so that an opening is paid for where it is met first */
    hit order[3 * NAIVE_MAX];
    for (size_t i = 0; i < count; i++) {
        double t, u;
        if (along(r, &pieces[i], from, to, &t, &u)) {
            if (!hangs(r, s, &pieces[i], sa, sb)) {
                order[n++] = (hit){t, (double)i, pieces[i]};
            }
            continue;
        }
        if (crossing(r, &pieces[i], &t, &u) && t >= from && (open_end ? t < to : t <= to) &&
            !hangs(r, s, &pieces[i], sa, sb)) {
            order[n++] = (hit){t, (double)i, pieces[i]};
        }
    }
    qsort(order, n, sizeof *order, by_ray_place);
    for (size_t k = 0; k < n; k++) {
        const size_t i = (size_t)order[k].loss;
        const double t = order[k].t;
        double begin, end;
        const double x = r->ax + t * (r->bx - r->ax), y = r->ay + t * (r->by - r->ay);
        if (along(r, &pieces[i], from, to, &begin, &end)) {
            hits[k] = (hit){t, pieces[i].loss, pieces[i]}; /* no opening here is as long as a stretch along a wall */
            continue;
        }
        hits[k] = (hit){t, wall_loss(s, &pieces[i], x, y, height(r, s, t), used, only[i]), pieces[i]};
    }
    for (size_t i = 0; i < s->opening_count; i++) {
        const naive_line *o = &s->openings[i];
        naive_line gap;
        double t, u;
        if (!on_any_wall(s, o) && !gap_of(s, o, &gap) && crossing(r, o, &t, &u) && t >= from &&
            (open_end ? t < to : t <= to) && !hangs(r, s, o, sa, sb) && height(r, s, t) >= o->low - 1e-6 &&
            height(r, s, t) <= o->high + 1e-6) {
            hits[n++] = (hit){t, o->loss, *o};
        }
    }
    return joints(hits, n, r->len);
}

/* Stretch of the ray inside a box, as fractions; false when none. */
static bool inside_box(const ray *r, const naive_box *b, double *from, double *to)
{
    double lo = 0, hi = 1;
    const double p[2] = {r->ax, r->ay}, d[2] = {r->bx - r->ax, r->by - r->ay};
    const double min[2] = {b->x0, b->y0}, max[2] = {b->x1, b->y1};
    for (int axis = 0; axis < 2; axis++) {
        if (d[axis] == 0) {
            if (p[axis] < min[axis] || p[axis] > max[axis]) {
                return false;
            }
            continue;
        }
        double t0 = (min[axis] - p[axis]) / d[axis], t1 = (max[axis] - p[axis]) / d[axis];
        if (t0 > t1) {
            const double swap = t0;
            t0 = t1;
            t1 = swap;
        }
        lo = fmax(lo, t0);
        hi = fmin(hi, t1);
    }
    *from = lo;
    *to = hi;
    return lo < hi;
}

static bool in_box(double x, double y, const naive_box *b)
{
    return x >= b->x0 && x <= b->x1 && y >= b->y0 && y <= b->y1;
}

/* A face within 1 cm of a link's end is not crossed there: the end hangs on it. */
static bool face_holds_end(const ray *r, const naive_box *b, double from, double to)
{
    if ((from <= 0) == (to >= 1)) {
        return false;
    }
    const double ex = from <= 0 ? r->ax : r->bx, ey = from <= 0 ? r->ay : r->by, t = from <= 0 ? to : from;
    const double x = r->ax + t * (r->bx - r->ax), y = r->ay + t * (r->by - r->ay);
    return (fabs(x - b->x0) < 1e-9 && fabs(ex - b->x0) <= 0.01) || (fabs(x - b->x1) < 1e-9 && fabs(ex - b->x1) <= 0.01) ||
           (fabs(y - b->y0) < 1e-9 && fabs(ey - b->y0) <= 0.01) || (fabs(y - b->y1) < 1e-9 && fabs(ey - b->y1) <= 0.01);
}

/* ---- metal boxes: their corners as the ray sees them, along it in space and to its left ---- */

typedef struct seen {
    double along, left;
} seen;

typedef struct box_view {
    seen at[12];
    size_t n;
    double space, freq;
} box_view;

static double round_by(const box_view *v, const seen *at, size_t n, double sign)
{
    double worst = 0;
    for (size_t i = 0; i < n; i++) {
        const double nu = hr_propagation_fresnel_v(v->freq, sign * at[i].left, at[i].along, v->space - at[i].along);
        worst = fmax(worst, hr_propagation_knife_edge_db(nu));
        for (size_t k = 0; k < n; k++) {
            if (at[k].along >= at[i].along && k != i) {
                const hr_edge_pair pair = {at[i].along, at[k].along - at[i].along, v->space - at[k].along,
                                           sign * at[i].left, sign * at[k].left};
                const double nu2 =
                    hr_propagation_fresnel_v(v->freq, sign * at[k].left, at[k].along, v->space - at[k].along);
                /* an edge that is clear of the line is none */
                worst = nu > -0.78 && nu2 > -0.78 ? fmax(worst, hr_propagation_double_edge_db(v->freq, &pair)) : worst;
            }
        }
    }
    return worst;
}

static double metal_of(const ray *r, const naive_building *b, size_t storey, const naive_box *box)
{
    const naive_storey *st = &b->storeys[storey];
    const double space = hypot(r->len, r->bz - r->az), ratio = space / r->len;
    const double ux = (r->bx - r->ax) / r->len, uy = (r->by - r->ay) / r->len;
    const double end = fmin(0.5 * 299.792458 / b->freq_mhz, 0.25 * space);
    const double xs[4] = {box->x0, box->x1, box->x1, box->x0}, ys[4] = {box->y0, box->y0, box->y1, box->y1};
    seen corner[4];
    box_view v = {.n = 0, .space = space, .freq = b->freq_mhz};
    for (int i = 0; i < 4; i++) {
        const double x = xs[i] - r->ax, y = ys[i] - r->ay;
        corner[i] = (seen){(x * ux + y * uy) * ratio, y * ux - x * uy};
        if (corner[i].along >= end && corner[i].along <= space - end) {
            v.at[v.n++] = corner[i];
        }
    }
    for (int i = 0; i < 4; i++) { /* where its sides leave the stretch between the ends */
        const seen p = corner[i], q = corner[(i + 1) % 4];
        for (int far = 0; far < 2; far++) {
            const double at = far ? space - end : end;
            if ((p.along - at) * (q.along - at) < 0) {
                v.at[v.n++] = (seen){at, p.left + (q.left - p.left) * (at - p.along) / (q.along - p.along)};
            }
        }
    }
    if (v.n == 0) {
        return 0;
    }
    double from, to, walk_from = 0, walk_to = 0;
    const bool meets = inside_box(r, box, &from, &to);
    if (meets && face_holds_end(r, box, from, to)) {
        return 0;
    }
    if (meets) {
        walk_from = fmin(fmax(from * space, end), space - end);
        walk_to = fmin(fmax(to * space, end), space - end);
    }
    if (!meets || (walk_from >= walk_to && (to * space < end || from * space > space - end))) {
        double nearest = 1e9;
        for (size_t i = 0; i < v.n; i++) {
            if (fabs(v.at[i].left) < nearest) {
                nearest = fabs(v.at[i].left);
                walk_from = walk_to = v.at[i].along;
            }
        }
    }
    double edges[4];
    size_t n = 0;
    for (int side = -1; side <= 1; side += 2) {
        edges[n] = round_by(&v, v.at, v.n, side);
        if (edges[n++] <= 0) {
            return 0;
        }
    }
    const double top = st->floor + box->high, foot = st->floor + box->low;
    for (int under = 0; under < 2; under++) {
        if (under && (box->low > 0 || storey == 0 || r->az >= foot)) {
            continue; /* it stands on its slab */
        }
        const double plane = under ? foot : top;
        const seen at[2] = {{walk_from, (plane - r->az - (r->bz - r->az) * walk_from / space) / ratio},
                            {walk_to, (plane - r->az - (r->bz - r->az) * walk_to / space) / ratio}};
        edges[n++] = round_by(&v, at, 2, under ? -1 : 1);
    }
    bool through = false;
    if (meets) {
        const double rise = r->bz - r->az, low = storey == 0 ? -1e9 : foot;
        double lo = from, hi = to;
        if (rise > 0) {
            lo = fmax(lo, (low - r->az) / rise);
            hi = fmin(hi, (top - r->az) / rise);
        } else if (r->az < low || r->az > top) {
            hi = lo;
        }
        through = (hi - lo) * r->len > 0.01;
    }
    double lightest = 1e9;
    for (size_t i = 0; i < n; i++) {
        lightest = fmin(lightest, edges[i]);
    }
    /* beside the metal: what the edge takes away, 3/4 of the power (J(0)) counting as all */
    const double taken = (1 - pow(10, -0.1 * lightest)) / (1 - pow(10, -0.1 * hr_propagation_knife_edge_db(0)));
    return hr_propagation_metal_db(box->loss - 10 * log10(through ? 1 : fmin(taken, 1)), edges, n);
}

static double metals_of(const ray *r, const naive_building *b, size_t first, size_t last)
{
    double sum = 0;
    for (size_t s = first; s <= last; s++) {
        for (size_t i = 0; i < b->storeys[s].metal_count; i++) {
            sum += metal_of(r, b, s, &b->storeys[s].metals[i]);
        }
    }
    return sum;
}

static double solids_of(const ray *r, const naive_building *b, size_t first, size_t last, const double *cut)
{
    double sum = 0;
    for (size_t s = first; s <= last; s++) {
        const naive_storey *st = &b->storeys[s];
        const naive_box *list = st->solids;
        const size_t n = st->solid_count;
        for (size_t i = 0; i < n; i++) {
            double from, to;
            if (!inside_box(r, &list[i], &from, &to) || (to - from) * r->len <= 0.01 ||
                face_holds_end(r, &list[i], from, to)) {
                continue;
            }
            from = fmax(from, cut[s]);
            to = fmin(to, cut[s + 1]);
            if ((to - from) * r->len > 0.01) {
                sum += list[i].loss;
            }
        }
    }
    return sum;
}

double naive_path_loss(const naive_building *b, double ax, double ay, double az, double bx, double by, double bz)
{
    ray r = az <= bz ? (ray){ax, ay, az, bx, by, bz, 0} : (ray){bx, by, bz, ax, ay, az, 0};
    r.len = hypot(r.bx - r.ax, r.by - r.ay);
    size_t first = 0, last = 0;
    for (size_t s = 1; s < b->storey_count; s++) {
        first = r.az >= b->storeys[s].floor ? s : first;
        last = r.bz >= b->storeys[s].floor ? s : last;
    }
    double cut[NAIVE_STOREYS + 1] = {0};
    for (size_t s = first + 1; s <= last; s++) {
        cut[s] = (b->storeys[s].floor - r.az) / (r.bz - r.az);
    }
    cut[first] = 0;
    cut[last + 1] = 1;
    double sum = 0;
    if (r.len >= 0.001) {
        for (size_t s = first; s <= last; s++) {
            sum += walls_of(&r, &b->storeys[s], cut[s], cut[s + 1], s < last, &b->storeys[first], &b->storeys[last]);
        }
        sum += solids_of(&r, b, first, last, cut) + metals_of(&r, b, first, last);
    }
    double slabs[NAIVE_STOREYS];
    size_t n = 0;
    for (size_t s = first + 1; s <= last; s++) {
        const double x = r.ax + cut[s] * (r.bx - r.ax), y = r.ay + cut[s] * (r.by - r.ay);
        bool open = false;
        for (size_t i = 0; i < b->storeys[s].void_count; i++) {
            open = open || in_box(x, y, &b->storeys[s].voids[i]);
        }
        if (!open) {
            slabs[n++] = b->storeys[s].slab_loss;
        }
    }
    for (size_t i = 0; i < n; i++) {
        for (size_t k = i + 1; k < n; k++) {
            if (slabs[k] > slabs[i]) {
                const double swap = slabs[i];
                slabs[i] = slabs[k];
                slabs[k] = swap;
            }
        }
        const double k = (double)(i + 1), before = (double)i;
        const double factor = pow(k, (k + 2) / (k + 1) - 0.46) - (i == 0 ? 0 : pow(before, (before + 2) / (before + 1) - 0.46));
        sum += slabs[i] * factor;
    }
    const double d = hypot(r.len, r.bz - r.az);
    return 20 * log10(b->freq_mhz) - 27.5522 + 10 * b->exponent * log10(d > 1 ? d : 1) + sum;
}
