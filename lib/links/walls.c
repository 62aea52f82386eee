/*
 * walls.c - walls and openings met on one storey, and joints settled.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_priv.h"

#include <math.h>
#include <stdlib.h>

/* True when an end of the link that lies on this part is so near to the line
 * that it hangs on it. */
static bool end_hangs_on(const link_ray *ray, const link_part *part, hr_segment line)
{
    return (part->storey == ray->storey0 && hr_geometry_to_segment(ray->line.a, line, NULL) <= LINK_END_M) ||
           (part->storey == ray->storey1 && hr_geometry_to_segment(ray->line.b, line, NULL) <= LINK_END_M);
}

static bool height_inside(const hr_opening *opening, double height_m)
{
    return height_m >= opening->low_m - LINK_CLOSED_M && height_m <= opening->high_m + LINK_CLOSED_M;
}

/* The opening with the smallest loss that holds the stretch [from, to] of the
 * wall (fractions) at this height; HR_PLAN_NONE when the wall itself stands. */
static uint32_t opening_at(const link_ray *ray, const link_part *part, uint32_t wall, double from, double to,
                           double height_m)
{
    const hr_plan *plan = part->plan->plan;
    const double length_m = hr_geometry_length(plan->walls[wall].line);
    const double slack = length_m > 0.0 ? LINK_CLOSED_M / length_m : 0.0;
    const double *loss_db = ray->links->loss_db[HR_USE_OPENING];
    uint32_t best = HR_PLAN_NONE;
    for (size_t i = part->plan->first_on_wall[wall]; i < part->plan->first_on_wall[wall + 1]; i++) {
        const hr_opening_on_wall *on = &plan->on_walls[i];
        const hr_opening *opening = &plan->openings[on->opening];
        if (from < on->span.from - slack || to > on->span.to + slack || !height_inside(opening, height_m)) {
            continue;
        }
        if (best == HR_PLAN_NONE || loss_db[opening->material] < loss_db[plan->openings[best].material]) {
            best = on->opening;
        }
    }
    return best;
}

static struct hr_hit *next_hit(const link_ray *ray, size_t count)
{
    hr_link_work *work = ray->work;
    if (!HR_RESERVE(work->hits, work->hit_cap, count + 1)) {
        (void)hr_fail_memory(ray->err);
        return NULL;
    }
    struct hr_hit *hit = &work->hits[count];
    *hit = (struct hr_hit){0};
    return hit;
}

/* The wall, or the opening that stands for it where the ray meets it. */
static void fill_hit(const link_ray *ray, const link_part *part, uint32_t wall, hr_span on_ray, hr_span on_wall,
                     struct hr_hit *hit)
{
    const hr_plan *plan = part->plan->plan;
    const double middle = 0.5 * (on_ray.from + on_ray.to);
    const uint32_t opening = opening_at(ray, part, wall, on_wall.from, on_wall.to, link_height_m(ray, part, middle));
    hit->along = on_ray.from;
    hit->along_end = on_ray.to;
    hit->line = plan->walls[wall].line;
    hit->item.storey = part->storey;
    hit->item.along = hit->along;
    if (opening == HR_PLAN_NONE) {
        hit->item.kind = HR_ITEM_WALL;
        hit->item.index = wall;
        hit->item.material = plan->walls[wall].material;
        hit->item.table_db = link_wall_db(ray, HR_USE_WALL, hit->item.material, hit->line, &hit->item.angle_deg);
    } else {
        hit->item.kind = HR_ITEM_OPENING;
        hit->item.index = opening;
        hit->item.material = plan->openings[opening].material;
        hit->item.table_db = link_wall_db(ray, HR_USE_OPENING, hit->item.material, hit->line, &hit->item.angle_deg);
    }
    hit->item.loss_db = hit->item.table_db;
}

/* Where the ray meets a line on this part; a line along the ray once. */
static bool meets(const link_ray *ray, const link_part *part, hr_segment line, hr_span *on_ray, hr_span *on_line)
{
    hr_span stretch;
    if (hr_geometry_along(ray->line, line, LINK_ALONG_M, LINK_ALONG_MIN_M, &stretch)) {
        on_ray->from = fmax(stretch.from, part->from);
        on_ray->to = fmin(stretch.to, part->to);
        if (on_ray->from >= on_ray->to || (on_ray->to - on_ray->from) * ray->length_m <= LINK_ALONG_MIN_M) {
            return false;
        }
        double first = 0.0, last = 0.0;
        (void)hr_geometry_to_segment(hr_geometry_at(ray->line, on_ray->from), line, &first);
        (void)hr_geometry_to_segment(hr_geometry_at(ray->line, on_ray->to), line, &last);
        on_line->from = fmin(first, last);
        on_line->to = fmax(first, last);
        return true;
    }
    double along = 0.0, on = 0.0;
    if (!hr_geometry_cross(ray->line, line, &along, &on) || !link_part_holds(part, along)) {
        return false;
    }
    *on_ray = (hr_span){along, along};
    *on_line = (hr_span){on, on};
    return true;
}

/* So many come without asking twice on most rays. */
#define IDS_LEAST 64u

/* Ids near the part of the ray, in work->ids. */
static hr_status nearby(const link_ray *ray, const link_part *part, const hr_index *index, size_t *count)
{
    hr_link_work *work = ray->work;
    const hr_segment stretch = {hr_geometry_at(ray->line, part->from), hr_geometry_at(ray->line, part->to)};
    size_t found = hr_geometry_index_query(index, stretch, 2.0 * LINK_ALONG_M, work->ids, work->id_cap);
    if (found > work->id_cap) {
        if (!HR_RESERVE(work->ids, work->id_cap, found < IDS_LEAST ? IDS_LEAST : found)) {
            return hr_fail_memory(ray->err);
        }
        found = hr_geometry_index_query(index, stretch, 2.0 * LINK_ALONG_M, work->ids, work->id_cap);
    }
    *count = found;
    return HR_OK;
}

static hr_status hit_walls(const link_ray *ray, const link_part *part, size_t *hit_count)
{
    size_t ids = 0;
    const hr_status status = nearby(ray, part, part->plan->walls, &ids);
    if (status != HR_OK) {
        return status;
    }
    for (size_t i = 0; i < ids; i++) {
        const uint32_t wall = ray->work->ids[i];
        const hr_segment line = part->plan->plan->walls[wall].line;
        hr_span on_ray, on_wall;
        if (!meets(ray, part, line, &on_ray, &on_wall) || end_hangs_on(ray, part, line)) {
            continue;
        }
        struct hr_hit *hit = next_hit(ray, *hit_count);
        if (hit == NULL) {
            return HR_ERR_MEMORY;
        }
        fill_hit(ray, part, wall, on_ray, on_wall, hit);
        (*hit_count)++;
    }
    return HR_OK;
}

/* Openings that stand on no wall count by themselves, inside their heights. */
static hr_status hit_free_openings(const link_ray *ray, const link_part *part, size_t *hit_count)
{
    size_t ids = 0;
    const hr_status status = nearby(ray, part, part->plan->free_openings, &ids);
    if (status != HR_OK) {
        return status;
    }
    for (size_t i = 0; i < ids; i++) {
        const uint32_t index = part->plan->free_ids[ray->work->ids[i]];
        const hr_opening *opening = &part->plan->plan->openings[index];
        hr_span on_ray, on_line;
        if (!meets(ray, part, opening->line, &on_ray, &on_line) || end_hangs_on(ray, part, opening->line) ||
            !height_inside(opening, link_height_m(ray, part, 0.5 * (on_ray.from + on_ray.to)))) {
            continue;
        }
        struct hr_hit *hit = next_hit(ray, *hit_count);
        if (hit == NULL) {
            return HR_ERR_MEMORY;
        }
        double angle_deg = 0.0;
        const double loss_db = link_wall_db(ray, HR_USE_OPENING, opening->material, opening->line, &angle_deg);
        hit->along = on_ray.from;
        hit->along_end = on_ray.to;
        hit->line = opening->line;
        hit->item = (hr_item){.kind = HR_ITEM_OPENING,
                              .storey = part->storey,
                              .index = index,
                              .material = opening->material,
                              .loss_db = loss_db,
                              .table_db = loss_db,
                              .angle_deg = angle_deg,
                              .along = on_ray.from};
        (*hit_count)++;
    }
    return HR_OK;
}

static int compare_hits(const void *left, const void *right)
{
    const struct hr_hit *a = left, *b = right;
    if (a->along != b->along) {
        return a->along < b->along ? -1 : 1;
    }
    if (a->item.kind != b->item.kind) {
        return a->item.kind < b->item.kind ? -1 : 1;
    }
    if (a->item.index != b->item.index) {
        return a->item.index < b->item.index ? -1 : 1;
    }
    /* the same opening through two walls: tell them apart by the walls */
    if (a->line.a.x != b->line.a.x) {
        return a->line.a.x < b->line.a.x ? -1 : 1;
    }
    if (a->line.a.y != b->line.a.y) {
        return a->line.a.y < b->line.a.y ? -1 : 1;
    }
    return (a->line.b.x > b->line.b.x) - (a->line.b.x < b->line.b.x);
}

/* An opening through two leaves of one wall has its loss counted once. */
static void count_openings_once(struct hr_hit *hits, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (hits[i].item.kind != HR_ITEM_OPENING) {
            continue;
        }
        for (size_t k = 0; k < i; k++) {
            if (hits[k].item.kind == HR_ITEM_OPENING && hits[k].item.index == hits[i].item.index) {
                hits[i].item.loss_db = 0.0;
            }
        }
    }
}

/* Whether hits[next] belongs to the joint that begins at hits[first]. */
static bool joins_group(const link_ray *ray, const struct hr_hit *hits, size_t first, size_t next)
{
    const bool both_along = hits[first].along_end > hits[first].along && hits[next].along_end > hits[next].along;
    if ((hits[next].along - hits[first].along) * ray->length_m > LINK_JOINT_M && !both_along) {
        return false;
    }
    for (size_t member = first; member < next; member++) {
        if (hr_geometry_segments_gap(hits[member].line, hits[next].line) <= LINK_TOUCH_M) {
            return true;
        }
    }
    return false;
}

/* Each joint counts once, with its largest loss; pieces of one wall that runs
 * along the ray are one joint, so that splitting a wall changes nothing. */
static void settle_joints(const link_ray *ray, struct hr_hit *hits, size_t count)
{
    for (size_t first = 0; first < count;) {
        size_t next = first + 1;
        size_t heaviest = first;
        while (next < count && joins_group(ray, hits, first, next)) {
            if (hits[next].item.loss_db > hits[heaviest].item.loss_db) {
                heaviest = next;
            }
            next++;
        }
        for (size_t i = first; i < next; i++) {
            if (i != heaviest) {
                hits[i].item.loss_db = 0.0;
            }
        }
        first = next;
    }
}

hr_status link_cross_walls(const link_ray *ray, const link_part *part)
{
    size_t count = 0;
    hr_status status = hit_walls(ray, part, &count);
    if (status == HR_OK) {
        status = hit_free_openings(ray, part, &count);
    }
    if (status != HR_OK || count == 0) {
        return status;
    }
    struct hr_hit *hits = ray->work->hits;
    qsort(hits, count, sizeof *hits, compare_hits);
    count_openings_once(hits, count);
    settle_joints(ray, hits, count);
    for (size_t i = 0; status == HR_OK && i < count; i++) {
        status = link_add_item(ray, &hits[i].item);
    }
    return status;
}
