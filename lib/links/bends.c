/*
 * bends.c - where a way may turn on a storey: doors, corners of corridors,
 * ends of walls that stand free.
 *
 * SPDX-License-Identifier: MIT
 */
#include "ways_priv.h"

#include <math.h>

/* A bend stands this far off its corner or wall's end, on the open side. */
#define OFF_M 0.05
/* An end this near to another wall, opening or solid does not stand free; two
 * corridors this near to each other meet. */
#define NEAR_M 0.15
/* Bends nearer than this to one another are one. */
#define SAME_M 0.01

typedef struct bend_list {
    const hr_links *links;
    const link_plan *prepared;
    const hr_plan *plan;
    link_ways *ways;
    size_t cap;
    bool failed;
} bend_list;

static void add_bend(bend_list *l, link_bend bend)
{
    link_ways *ways = l->ways;
    for (size_t i = 0; i < ways->count; i++) {
        if (hr_geometry_distance(ways->bends[i].at, bend.at) < SAME_M) {
            return;
        }
    }
    if (ways->count == WAYS_BENDS_MAX) {
        ways->left_out++;
        return;
    }
    if (!HR_RESERVE(ways->bends, l->cap, ways->count + 1)) {
        l->failed = true;
        return;
    }
    ways->bends[ways->count++] = bend;
}

static hr_point unit(hr_point a, hr_point b)
{
    const double d = hr_geometry_distance(a, b);
    return d > 0.0 ? (hr_point){(b.x - a.x) / d, (b.y - a.y) / d} : (hr_point){0.0, 0.0};
}

static hr_point moved(hr_point p, double x, double y)
{
    const double d = hypot(x, y);
    return d > 0.0 ? (hr_point){p.x + OFF_M * x / d, p.y + OFF_M * y / d} : p;
}

/* ---- doors ---- */

static void add_doors(bend_list *l)
{
    for (uint32_t i = 0; i < l->plan->opening_count; i++) {
        const hr_opening *door = &l->plan->openings[i];
        if (!door->is_door) {
            continue;
        }
        const hr_slab_curve *curve = l->links->curves[door->material];
        /* the leaf is met at many angles from one leg to the next: square on stands for them */
        const double through_db = curve != NULL ? hr_propagation_slab_curve_db(curve, 0.0, 1.0)
                                                : l->links->loss_db[HR_USE_OPENING][door->material];
        const double height_m = fmin(fmax(WAYS_BEND_HEIGHT_M, door->low_m), door->high_m);
        add_bend(l, (link_bend){.at = hr_geometry_at(door->line, 0.5),
                                .height_m = height_m,
                                .kind = HR_BEND_DOOR,
                                .opening = i,
                                .through_db = through_db});
    }
}

/* ---- corridors ---- */

static void add_corner(bend_list *l, hr_point at)
{
    add_bend(l, (link_bend){.at = at, .height_m = WAYS_BEND_HEIGHT_M, .kind = HR_BEND_CORNER, .opening = HR_PLAN_NONE});
}

/* Twice the signed area: its sign is the sense the ring turns in. */
static double turning(const hr_ring *ring)
{
    double sum = 0.0;
    for (size_t i = 0; i < ring->count; i++) {
        const hr_point a = ring->points[i], b = ring->points[(i + 1) % ring->count];
        sum += a.x * b.y - b.x * a.y;
    }
    return sum;
}

/* The outline of another corridor at `at`: its edge; false when none is near. */
static bool meets_other(const bend_list *l, size_t own, hr_point at, hr_segment *edge)
{
    for (size_t s = 0; s < l->plan->space_count; s++) {
        const hr_space *space = &l->plan->spaces[s];
        if (s == own || space->kind != HR_SPACE_CORRIDOR) {
            continue;
        }
        for (size_t r = 0; r < space->region.ring_count; r++) {
            const hr_ring *ring = &space->region.rings[r];
            for (size_t i = 0; i < ring->count; i++) {
                const hr_segment e = {ring->points[i], ring->points[(i + 1) % ring->count]};
                if (hr_geometry_to_segment(at, e, NULL) <= NEAR_M) {
                    *edge = e;
                    return true;
                }
            }
        }
    }
    return false;
}

/* A corner of one corridor's mouth on the side of another: the bend stands in the
 * other corridor, a little into the mouth. u1 and u2 lead to the corner and away. */
static void add_mouth(bend_list *l, hr_point at, hr_point u1, hr_point u2, hr_segment side)
{
    const hr_point t = unit(side.a, side.b);
    const double in_x = u2.x - u1.x, in_y = u2.y - u1.y; /* into the own corridor */
    const double share = in_x * t.x + in_y * t.y;
    const hr_point along = {share * t.x, share * t.y}, across = {in_x - along.x, in_y - along.y};
    const double a = hypot(along.x, along.y), c = hypot(across.x, across.y);
    if (a > 0.0 && c > 0.0) {
        add_corner(l, moved(at, along.x / a - across.x / c, along.y / a - across.y / c));
    }
}

static void add_ring_corners(bend_list *l, size_t space, const hr_ring *ring)
{
    const double sense = turning(ring);
    for (size_t i = 0; i < ring->count; i++) {
        const hr_point v = ring->points[i];
        const hr_point u1 = unit(ring->points[(i + ring->count - 1) % ring->count], v);
        const hr_point u2 = unit(v, ring->points[(i + 1) % ring->count]);
        const double turn = (u1.x * u2.y - u1.y * u2.x) * (sense < 0.0 ? -1.0 : 1.0);
        hr_segment side;
        if (turn < -0.05) { /* it juts into the corridor; flatter ones are part of a curve */
            add_corner(l, moved(v, u1.x - u2.x, u1.y - u2.y));
        } else if (turn > 0.05 && meets_other(l, space, v, &side)) {
            add_mouth(l, v, u1, u2, side);
        }
    }
}

static void add_corners(bend_list *l)
{
    for (size_t s = 0; s < l->plan->space_count; s++) {
        const hr_space *space = &l->plan->spaces[s];
        for (size_t r = 0; space->kind == HR_SPACE_CORRIDOR && r < space->region.ring_count; r++) {
            add_ring_corners(l, s, &space->region.rings[r]);
        }
    }
}

/* ---- free ends of walls ---- */

static bool near_something_else(const bend_list *l, uint32_t wall, hr_point end)
{
    const hr_plan *plan = l->plan;
    uint32_t ids[8];
    const hr_segment spot = {end, end};
    const size_t found = hr_geometry_index_query(l->prepared->walls, spot, NEAR_M, ids, 8);
    for (size_t i = 0; i < found && i < 8; i++) {
        if (ids[i] != wall) {
            return true;
        }
    }
    for (size_t i = 0; i < plan->opening_count; i++) {
        if (hr_geometry_to_segment(end, plan->openings[i].line, NULL) <= NEAR_M) {
            return true;
        }
    }
    for (size_t i = 0; i < plan->solid_count; i++) {
        if (hr_geometry_inside(&plan->solids[i].region, end, NEAR_M)) {
            return true;
        }
    }
    return false;
}

static void add_wall_ends(bend_list *l)
{
    for (uint32_t i = 0; i < l->plan->wall_count; i++) {
        const hr_segment line = l->plan->walls[i].line;
        const hr_point ends[2] = {line.a, line.b}, others[2] = {line.b, line.a};
        for (int e = 0; e < 2; e++) {
            if (hr_geometry_length(line) > 0.0 && !near_something_else(l, i, ends[e])) {
                const hr_point out = unit(others[e], ends[e]);
                add_bend(l, (link_bend){.at = moved(ends[e], out.x, out.y),
                                        .height_m = WAYS_BEND_HEIGHT_M,
                                        .kind = HR_BEND_WALL_END,
                                        .opening = HR_PLAN_NONE});
            }
        }
    }
}

hr_status link_find_bends(const hr_links *links, uint32_t storey, link_ways *ways, hr_error *err)
{
    bend_list list = {.links = links, .ways = ways};
    list.prepared = &links->plans[links->building->storeys[storey].plan_index];
    list.plan = list.prepared->plan;
    add_corners(&list);
    add_wall_ends(&list);
    add_doors(&list);
    return list.failed ? hr_fail_memory(err) : HR_OK;
}
