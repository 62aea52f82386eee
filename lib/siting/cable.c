/*
 * cable.c - how much cable a gateway needs: from the nearest network
 * connection up or down the riser, along the corridors, with drop and slack.
 *
 * A cable's route runs inside the corridor shapes, round their corners, by the
 * shortest way. What lies outside them (a closet, a spot in a room) is joined
 * at right angles to the corridor's nearest edge. Where no way over corridors
 * is drawn the route is |dx| + |dy|.
 *
 * SPDX-License-Identifier: MIT
 */
#include "siting_priv.h"

#include <math.h>

/* Corridors are often drawn up to the walls of a door between them. Assumed. */
#define GAP_M 0.5
#define EDGE_M 0.01
/* Beyond so many corners a plan's corridors are not searched but measured at right angles. */
#define CORNERS_MAX ((size_t)400)
#define SPANS_MAX ((size_t)64)

/* The corridors of one drawing. */
typedef struct corridors {
    const hr_plan *plan;
    hr_point *corners;
    size_t count;
    double *way_m; /* count x count, INFINITY: out of sight */
} corridors;

/* A network connection as seen from one storey. */
typedef struct connection {
    uint32_t storey, mark;
    hr_point at, entry;
    double start_m; /* riser, and the leg to the corridor's edge */
    double riser_m;
} connection;

/* One storey: how far its corridor corners are from a connection. */
typedef struct field {
    connection *connections;
    size_t connection_count;
    double *dist_m;  /* beside the corners */
    uint32_t *from;  /* connection */
} field;

struct siting_cable {
    const hr_building *building;
    corridors *plans; /* beside building->plans */
    field *storeys;   /* beside building->storeys */
};

void siting_cable_free(siting_cable *cable)
{
    if (cable == NULL) {
        return;
    }
    for (size_t i = 0; cable->plans != NULL && i < cable->building->plan_count; i++) {
        hr_free(cable->plans[i].corners);
        hr_free(cable->plans[i].way_m);
    }
    for (size_t i = 0; cable->storeys != NULL && i < cable->building->storey_count; i++) {
        hr_free(cable->storeys[i].connections);
        hr_free(cable->storeys[i].dist_m);
        hr_free(cable->storeys[i].from);
    }
    hr_free(cable->plans);
    hr_free(cable->storeys);
    hr_free(cable);
}

/* ---- sight inside the corridors ---- */

static bool in_sight(const hr_plan *plan, hr_point a, hr_point b)
{
    hr_span spans[SPANS_MAX];
    size_t count = 0;
    const hr_segment line = {a, b};
    const double length_m = hr_geometry_length(line);
    if (length_m <= GAP_M) {
        return true;
    }
    for (size_t i = 0; i < plan->space_count; i++) {
        if (plan->spaces[i].kind == HR_SPACE_CORRIDOR && count < SPANS_MAX) {
            const size_t room = SPANS_MAX - count;
            const size_t found = hr_geometry_passages(&plan->spaces[i].region, line, EDGE_M, 0.0, spans + count, room);
            count += found < room ? found : room;
        }
    }
    if (count > 0) {
        hr_geometry_sort_spans(spans, count);
    }
    const double gap = GAP_M / length_m;
    double reached = 0.0;
    for (size_t i = 0; i < count && spans[i].from <= reached + gap; i++) {
        reached = fmax(reached, spans[i].to);
    }
    return reached + gap >= 1.0;
}

/* Where a point joins the corridors, and the leg to there; INFINITY when there are none. */
static hr_point entry_of(const hr_plan *plan, hr_point at, double *leg_m)
{
    hr_point entry = at;
    double nearest_m = (double)INFINITY;
    for (size_t i = 0; i < plan->space_count; i++) {
        const hr_space *space = &plan->spaces[i];
        if (space->kind != HR_SPACE_CORRIDOR) {
            continue;
        }
        if (hr_geometry_inside(&space->region, at, EDGE_M)) {
            *leg_m = 0.0;
            return at;
        }
        hr_point found;
        const double dist_m = hr_geometry_to_outline(&space->region, at, &found);
        if (dist_m < nearest_m) {
            nearest_m = dist_m;
            entry = found;
        }
    }
    *leg_m = isfinite(nearest_m) ? fabs(entry.x - at.x) + fabs(entry.y - at.y) : (double)INFINITY;
    return entry;
}

static bool list_corners(const hr_plan *plan, corridors *c)
{
    size_t cap = 0;
    c->plan = plan;
    for (size_t i = 0; i < plan->space_count; i++) {
        const hr_region *region = &plan->spaces[i].region;
        for (size_t r = 0; plan->spaces[i].kind == HR_SPACE_CORRIDOR && r < region->ring_count; r++) {
            for (size_t p = 0; p < region->rings[r].count && c->count < CORNERS_MAX; p++) {
                if (!HR_RESERVE(c->corners, cap, c->count + 1)) {
                    return false;
                }
                c->corners[c->count++] = region->rings[r].points[p];
            }
        }
    }
    c->count = c->count == CORNERS_MAX ? 0 : c->count;
    c->way_m = hr_alloc(c->count, c->count * sizeof *c->way_m);
    for (size_t i = 0; c->way_m != NULL && i < c->count; i++) {
        for (size_t k = 0; k <= i; k++) {
            const bool sight = in_sight(plan, c->corners[k], c->corners[i]);
            const double way_m = sight ? hr_geometry_distance(c->corners[k], c->corners[i]) : (double)INFINITY;
            c->way_m[i * c->count + k] = c->way_m[k * c->count + i] = way_m;
        }
    }
    return c->way_m != NULL;
}

/* ---- a storey's distances ---- */

/* Of connections one above the other the nearest storey's stands for all. */
static void add_connection(field *f, const connection *found)
{
    for (size_t i = 0; i < f->connection_count; i++) {
        connection *known = &f->connections[i];
        if (known->at.x == found->at.x && known->at.y == found->at.y) {
            *known = found->riser_m < known->riser_m ? *found : *known;
            return;
        }
    }
    f->connections[f->connection_count++] = *found;
}

static bool list_connections(const hr_building *b, uint32_t storey, field *f)
{
    size_t count = 0;
    for (size_t s = 0; s < b->storey_count; s++) {
        count += b->storeys[s].plan->network_count;
    }
    f->connections = hr_alloc(count, sizeof *f->connections);
    if (f->connections == NULL) {
        return false;
    }
    const hr_plan *plan = b->storeys[storey].plan;
    for (uint32_t s = 0; s < b->storey_count; s++) {
        const double riser_m = fabs(b->storeys[storey].elevation_m - b->storeys[s].elevation_m);
        for (uint32_t m = 0; m < b->storeys[s].plan->network_count; m++) {
            connection found = {.storey = s, .mark = m, .riser_m = riser_m, .at = b->storeys[s].plan->networks[m].at};
            double leg_m;
            found.entry = entry_of(plan, found.at, &leg_m);
            found.start_m = riser_m + leg_m;
            add_connection(f, &found);
        }
    }
    return true;
}

/* Dijkstra over the corners; small numbers of them, so a plain search for the nearest does. */
static bool spread(const corridors *c, field *f)
{
    const size_t count = c->count;
    uint8_t *done = hr_alloc_zero(count, 1);
    f->dist_m = hr_alloc(count, sizeof *f->dist_m);
    f->from = hr_alloc_zero(count, sizeof *f->from);
    if (done == NULL || f->dist_m == NULL || f->from == NULL) {
        hr_free(done);
        return false;
    }
    for (size_t i = 0; i < count; i++) {
        f->dist_m[i] = (double)INFINITY;
        for (uint32_t k = 0; k < f->connection_count; k++) {
            const connection *n = &f->connections[k];
            const double dist_m = n->start_m + hr_geometry_distance(n->entry, c->corners[i]);
            if (dist_m < f->dist_m[i] && in_sight(c->plan, n->entry, c->corners[i])) {
                f->dist_m[i] = dist_m;
                f->from[i] = k;
            }
        }
    }
    for (size_t step = 0; step < count; step++) {
        size_t at = SIZE_MAX;
        for (size_t i = 0; i < count; i++) {
            at = !done[i] && (at == SIZE_MAX || f->dist_m[i] < f->dist_m[at]) ? i : at;
        }
        done[at] = 1;
        for (size_t i = 0; i < count; i++) {
            const double dist_m = f->dist_m[at] + c->way_m[at * count + i];
            if (dist_m < f->dist_m[i]) {
                f->dist_m[i] = dist_m;
                f->from[i] = f->from[at];
            }
        }
    }
    hr_free(done);
    return true;
}

hr_status siting_cable_new(const hr_building *building, siting_cable **cable, hr_error *err)
{
    siting_cable *made = hr_alloc_zero(1, sizeof *made);
    if (made == NULL) {
        return hr_fail_memory(err);
    }
    made->building = building;
    made->plans = hr_alloc_zero(building->plan_count, sizeof *made->plans);
    made->storeys = hr_alloc_zero(building->storey_count, sizeof *made->storeys);
    bool ok = made->plans != NULL && made->storeys != NULL;
    for (size_t i = 0; ok && i < building->plan_count; i++) {
        ok = list_corners(building->plans[i], &made->plans[i]);
    }
    for (uint32_t s = 0; ok && s < building->storey_count; s++) {
        ok = list_connections(building, s, &made->storeys[s]) &&
             spread(&made->plans[building->storeys[s].plan_index], &made->storeys[s]);
    }
    if (!ok) {
        siting_cable_free(made);
        return hr_fail_memory(err);
    }
    *cable = made;
    return HR_OK;
}

/* ---- one gateway ---- */

static double along_corridors(const corridors *c, const field *f, hr_point at, uint32_t *from)
{
    double leg_m, best_m = (double)INFINITY;
    const hr_point entry = entry_of(c->plan, at, &leg_m);
    for (uint32_t k = 0; k < f->connection_count; k++) {
        const connection *n = &f->connections[k];
        const double dist_m = n->start_m + hr_geometry_distance(n->entry, entry);
        if (dist_m < best_m && in_sight(c->plan, n->entry, entry)) {
            best_m = dist_m;
            *from = k;
        }
    }
    for (size_t i = 0; i < c->count; i++) {
        const double dist_m = f->dist_m[i] + hr_geometry_distance(c->corners[i], entry);
        if (dist_m < best_m && in_sight(c->plan, c->corners[i], entry)) {
            best_m = dist_m;
            *from = f->from[i];
        }
    }
    return best_m + leg_m;
}

siting_cable_run siting_cable_to(const siting_cable *cable, uint32_t storey, hr_point at)
{
    const hr_gateway_kind *kind = &cable->building->gateway_kind;
    const field *f = &cable->storeys[storey];
    siting_cable_run run = {.length_m = (double)NAN, .storey = HR_SITING_NONE, .mark = HR_SITING_NONE};
    if (f->connection_count == 0) {
        return run;
    }
    uint32_t from = 0;
    double route_m = along_corridors(&cable->plans[cable->building->storeys[storey].plan_index], f, at, &from);
    for (uint32_t k = 0; !isfinite(route_m) && k < f->connection_count; k++) {
        const connection *best = &f->connections[from], *n = &f->connections[k];
        const double least_m = best->riser_m + fabs(best->at.x - at.x) + fabs(best->at.y - at.y);
        from = n->riser_m + fabs(n->at.x - at.x) + fabs(n->at.y - at.y) < least_m ? k : from;
    }
    const connection *n = &f->connections[from];
    if (!isfinite(route_m)) {
        route_m = n->riser_m + fabs(n->at.x - at.x) + fabs(n->at.y - at.y);
    }
    run.length_m = route_m + kind->cable_drop_m + kind->cable_slack_m;
    run.storey = n->storey;
    run.mark = n->mark;
    return run;
}

bool siting_cable_too_long(const hr_building *building, const siting_cable_run *run)
{
    return run->length_m > building->gateway_kind.cable_limit_m; /* never true for NaN */
}
