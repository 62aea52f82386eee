/*
 * remedies.c - what would help the room, each computed anew: the smallest
 * spare of its links before and after, in order of gain per minute of work.
 *
 * Where levels were read, before is what they say, and what the room's own
 * device probably loses stays lost after every remedy that leaves it as it is.
 *
 * SPDX-License-Identifier: MIT
 */
#include "diagnosis_priv.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Less is not worth a tool box. Assumed. */
#define WORTH_DB 1.0
/* A cause this probable is worth a remedy of its own. Assumed. */
#define LIKELY 0.2

void why_add_place(const why_run *run, uint32_t storey, hr_point at, hr_text *out)
{
    const hr_length_unit unit = run->building->length_unit;
    hr_text_fixed(out, hr_units_from_metres(at.x, unit), 2);
    hr_text_add(out, ", ");
    hr_text_fixed(out, hr_units_from_metres(at.y, unit), 2);
    hr_text_addf(out, " %s on storey %s", hr_units_length_name(unit), run->building->storeys[storey].name);
    const hr_tape tape = hr_siting_tape(run->building, storey, at);
    for (size_t i = 0; i < 2 && tape.wall_side[i] != NULL; i++) {
        hr_text_add(out, i == 0 ? " (to wall centres " : ", ");
        hr_text_fixed(out, hr_units_from_metres(tape.wall_m[i], unit), 2);
        hr_text_addf(out, " %s", tape.wall_side[i]);
    }
    hr_text_add(out, tape.wall_side[0] != NULL ? ")" : "");
}

/* What a cause is expected to take from the control's links, by what was read. */
static double expected_loss_db(const why_run *run, why_cause cause)
{
    const uint32_t of = run->concerned[cause], also = run->also[cause], control = run->why->control;
    const bool here = run->why->level_count > 0 && (of == control || (also == control && also != HR_SITING_NONE));
    /* as likely the other device's where two are named */
    const double share = also == HR_SITING_NONE ? 1.0 : 0.5;
    return here ? share * why_probability(run, cause) * run->shift_db[cause] : 0.0;
}

/* Whether what keeps the control from being heard is no matter of radio. */
static bool is_silenced(const why_run *run)
{
    return why_probability(run, WHY_NOT_POWERED) + why_probability(run, WHY_WRONG_NETWORK) +
               why_probability(run, WHY_GATEWAY_DOWN) >= 0.5;
}

/* A link's spare now: the prediction, and where its level was read what that says. */
static double link_now_db(const why_run *run, const hr_why_link *link)
{
    for (size_t i = 0; i < run->why->level_count; i++) {
        const hr_why_level *level = &run->why->levels[i];
        const bool there = strcmp(level->from, link->from) == 0 && strcmp(level->to, link->to) == 0;
        const bool back = strcmp(level->from, link->to) == 0 && strcmp(level->to, link->from) == 0;
        if ((there || back) && level->heard) {
            return link->spare_db + level->level_dbm - level->predicted_dbm;
        }
        if ((there || back) && !is_silenced(run)) {
            return link->spare_db + fmin(level->threshold_dbm - level->predicted_dbm, 0.0);
        }
    }
    return link->spare_db;
}

double why_others_spare_db(const why_run *run)
{
    double least_db = (double)INFINITY;
    for (size_t i = 0; i < run->why->link_count; i++) {
        const hr_why_link *link = &run->why->links[i];
        if (link->measured && link->device != run->why->control) {
            least_db = fmin(least_db, link_now_db(run, link));
        }
    }
    return least_db;
}

/* The smallest spare of the room's links now, or as predicted. */
static double room_spare_db(const why_run *run, bool now)
{
    double least_db = (double)INFINITY;
    for (size_t i = 0; i < run->why->link_count; i++) {
        const hr_why_link *link = &run->why->links[i];
        if (link->measured) {
            least_db = fmin(least_db, now ? link_now_db(run, link) : link->spare_db);
        }
    }
    return least_db;
}

/* ---- the antenna of a device ---- */

/* A case that opens towards the other end in place of what it does now. */
static hr_status offer_turned_case(why_run *run, why_offer *offer)
{
    hr_why *why = run->why;
    const hr_building *b = run->building;
    for (size_t i = 0; i < why->link_count; i++) {
        const hr_why_link *link = &why->links[i];
        const hr_device *device = &b->devices[link->device];
        hr_end child = hr_links_device_end(b, link->device);
        if (!link->measured || child.enclosure == HR_ENCLOSURE_NONE) {
            continue;
        }
        child.enclosure = HR_ENCLOSURE_FACING;
        const hr_end parent = hr_siting_far_end(b, why->siting, &why->siting->devices[link->device]);
        hr_link found;
        const hr_status status = hr_links_measure(run->links, &run->work, &child, &parent, &found, run->err);
        if (status != HR_OK) {
            return status;
        }
        double spare_db = found.spare_db;
        for (size_t k = 0; k < why->link_count; k++) {
            spare_db = k != i && why->links[k].measured ? fmin(spare_db, why->links[k].spare_db) : spare_db;
        }
        if (found.spare_db > link->spare_db + WORTH_DB && (!offer->found || spare_db > offer->spare_db)) {
            hr_text_free(&offer->words);
            *offer = (why_offer){.found = true, .spare_db = spare_db, .serves = why->served || found.spare_db >= 0.0};
            hr_text_addf(&offer->words, "free the antenna of %s, or turn its case to open towards %s", device->name, link->to);
        }
    }
    return HR_OK;
}

static hr_status offer_free(why_run *run, why_offer *offer)
{
    const hr_why *why = run->why;
    const double chance = why_probability(run, WHY_ENCLOSED) + why_probability(run, WHY_METAL);
    if (why->level_count > 0 && chance >= LIKELY && run->has_planned) {
        const uint32_t device = run->concerned[WHY_ENCLOSED];
        *offer = (why_offer){.found = true,
                             .spare_db = room_spare_db(run, false),
                             .serves = why_serves(run->building, &run->planned_link)};
        const uint32_t also = run->also[WHY_ENCLOSED];
        hr_text_addf(&offer->words, "free the antenna of %s", run->building->devices[device].name);
        if (also != HR_SITING_NONE) {
            hr_text_addf(&offer->words, " and that of %s", run->building->devices[also].name);
        }
        hr_text_addf(&offer->words, " and turn %s upright, clear of metal and glass", also == HR_SITING_NONE ? "it" : "them");
        return HR_OK;
    }
    return offer_turned_case(run, offer);
}

/* ---- another gateway ---- */

static void offer_join(why_run *run, double device_loss_db, why_offer *offer)
{
    const hr_why *why = run->why;
    for (size_t i = 0; i < why->gateway_count; i++) {
        const hr_why_gateway *g = &why->gateways[i];
        const hr_sited_gateway *sited = &why->siting->gateways[g->gateway];
        const bool full = (long)(sited->devices + why->link_count) > run->building->gateway_kind.capacity;
        if (g->gateway == why->planned || !g->serves || full) {
            continue;
        }
        *offer = (why_offer){.found = true,
                             .spare_db = fmin(g->spare_db - device_loss_db, why_others_spare_db(run)),
                             .serves = true};
        hr_text_addf(&offer->words, "join %s, network id %s", sited->id, sited->network_id);
        return; /* most to spare first */
    }
}

/* ---- the control on another wall of the room ---- */

/* Candidates stand this far apart and off the wall. */
#define STEP_M 0.5
#define OFF_WALL_M 0.1
/* Clear of doors, and so far from where it hangs that it is another place. */
#define DOOR_CLEAR_M 0.3
#define ELSEWHERE_M 0.5

typedef struct mover {
    why_run *run;
    const hr_plan *plan;
    const hr_device *control;
    const hr_space *space;
    uint32_t space_index;
    double loss_db, best_db;
    hr_point best;
    hr_segment edge, best_edge; /* of the room: now tried, and that of the best place */
    uint32_t gateway;
    bool found;
} mover;

static bool by_a_door(const hr_plan *plan, hr_point at)
{
    for (size_t i = 0; i < plan->opening_count; i++) {
        if (plan->openings[i].is_door && hr_geometry_to_segment(at, plan->openings[i].line, NULL) < DOOR_CLEAR_M) {
            return true;
        }
    }
    return false;
}

/* In the open part of the room: nothing stands between here and its middle. */
static hr_status is_open(const mover *m, hr_point at, bool *open)
{
    hr_end here = hr_links_device_end(m->run->building, m->run->why->control), middle = here;
    hr_link link;
    here.at = at;
    middle.at = m->space->innermost;
    const hr_status status = hr_links_cross(m->run->links, &m->run->work, &here, &middle, &link, m->run->err);
    *open = status == HR_OK && link.wall_loss_db <= 0.0;
    return status;
}

/* The unit and the other devices that talk to the control, from its new place. */
static hr_status others_there(const mover *m, const hr_end *here, double *spare_db)
{
    const hr_why *why = m->run->why;
    hr_status status = HR_OK;
    *spare_db = (double)INFINITY;
    for (size_t i = 0; status == HR_OK && i < why->link_count; i++) {
        if (!why->links[i].measured || why->links[i].via != why->control) {
            continue;
        }
        const hr_end child = hr_links_device_end(m->run->building, why->links[i].device);
        hr_link link;
        status = hr_links_measure(m->run->links, &m->run->work, &child, here, &link, m->run->err);
        *spare_db = status == HR_OK ? fmin(*spare_db, link.spare_db) : *spare_db;
    }
    return status;
}

static hr_status try_place(mover *m, hr_point at)
{
    const hr_building *b = m->run->building;
    bool open = false;
    if (hr_geometry_distance(at, m->control->at) < ELSEWHERE_M || hr_plan_space_at(m->plan, at) != m->space_index ||
        by_a_door(m->plan, at) || why_breaks_rule(b, m->control->storey, at, m->control->mount_height_m)) {
        return HR_OK;
    }
    hr_status status = is_open(m, at, &open);
    if (status != HR_OK || !open) {
        return status;
    }
    hr_end here = hr_links_device_end(b, m->run->why->control);
    double others_db;
    here.at = at;
    status = others_there(m, &here, &others_db);
    for (uint32_t g = 0; status == HR_OK && g < m->run->why->siting->gateway_count; g++) {
        const hr_end gateway = why_gateway_end(m->run, g);
        hr_link link;
        status = hr_links_measure(m->run->links, &m->run->work, &here, &gateway, &link, m->run->err);
        const double spare_db = status == HR_OK ? fmin(link.spare_db - m->loss_db, others_db) : 0.0;
        if (status == HR_OK && why_serves(b, &link) && (!m->found || hr_micro(spare_db) > hr_micro(m->best_db))) {
            m->found = true;
            m->best_db = spare_db;
            m->best = at;
            m->best_edge = m->edge;
            m->gateway = g;
        }
    }
    return status;
}

static hr_status try_edge(mover *m, hr_segment edge)
{
    const double length_m = hr_geometry_length(edge);
    hr_status status = HR_OK;
    m->edge = edge;
    for (double along_m = STEP_M; status == HR_OK && along_m < length_m; along_m += STEP_M) {
        const hr_point on = hr_geometry_at(edge, along_m / length_m);
        const double nx = -(edge.b.y - edge.a.y) / length_m * OFF_WALL_M, ny = (edge.b.x - edge.a.x) / length_m * OFF_WALL_M;
        const hr_point left = {on.x + nx, on.y + ny}, right = {on.x - nx, on.y - ny};
        status = try_place(m, hr_geometry_inside(&m->space->region, left, 0.0) ? left : right);
    }
    return status;
}

/* Where it hangs now and the best place are off one edge of the room by the same. */
static bool is_same_wall(const mover *m)
{
    const hr_segment e = m->best_edge;
    const double length_m = hr_geometry_length(e);
    const double ux = (e.b.x - e.a.x) / length_m, uy = (e.b.y - e.a.y) / length_m;
    const double now_m = (m->control->at.x - e.a.x) * uy - (m->control->at.y - e.a.y) * ux;
    const double then_m = (m->best.x - e.a.x) * uy - (m->best.y - e.a.y) * ux;
    return fabs(now_m - then_m) < OFF_WALL_M && hr_geometry_to_segment(m->control->at, e, NULL) < 2.0 * OFF_WALL_M + 0.05;
}

static hr_status offer_move_control(why_run *run, double device_loss_db, why_offer *offer)
{
    const hr_building *b = run->building;
    const hr_device *control = &b->devices[run->why->control];
    if (b->kinds[control->kind].enclosure != HR_ENCLOSURE_NONE) {
        return HR_OK; /* it sits in a unit, which stays where its pipes are */
    }
    const hr_plan *plan = b->storeys[control->storey].plan;
    const uint32_t space = b->rooms[run->why->room].space;
    mover m = {.run = run, .plan = plan, .control = control, .space = &plan->spaces[space], .space_index = space,
               .loss_db = device_loss_db};
    hr_status status = HR_OK;
    for (size_t r = 0; status == HR_OK && r < m.space->region.ring_count; r++) {
        const hr_ring *ring = &m.space->region.rings[r];
        for (size_t i = 0; status == HR_OK && i < ring->count; i++) {
            const hr_segment edge = {ring->points[i], ring->points[(i + 1) % ring->count]};
            status = try_edge(&m, edge);
        }
    }
    if (status == HR_OK && m.found) {
        *offer = (why_offer){.found = true, .spare_db = m.best_db, .serves = true};
        hr_text_addf(&offer->words, "move %s %s, at ", control->name,
                     is_same_wall(&m) ? "along its wall" : "to another wall of the room");
        why_add_place(run, control->storey, m.best, &offer->words);
        if (m.gateway != run->why->planned) {
            hr_text_addf(&offer->words, ", and join %s", run->why->siting->gateways[m.gateway].id);
        }
    }
    return status;
}

/* ---- in order ---- */

static int compare_remedies(const void *left, const void *right)
{
    const hr_why_remedy *a = left, *b = right;
    const int64_t p = hr_micro(a->gain_db / a->minutes), q = hr_micro(b->gain_db / b->minutes);
    if (p != q) {
        return p > q ? -1 : 1;
    }
    return (a->minutes > b->minutes) - (a->minutes < b->minutes);
}

/* Takes the offer's words. */
static hr_status add_remedy(why_run *run, why_remedy_kind kind, double now_db, why_offer *offer)
{
    hr_why *why = run->why;
    /* what the prediction leaves out works by what was read: only a gain is worth the work */
    const bool works = why->served || (why->as_read[0] != '\0' && now_db >= 0.0);
    const double after_db = hr_round(offer->spare_db, 4), gain_db = hr_round(after_db - hr_round(now_db, 4), 4);
    if (!offer->found || !isfinite(after_db) || !isfinite(gain_db) ||
        (gain_db < WORTH_DB && (works || !offer->serves))) {
        hr_text_free(&offer->words);
        return HR_OK;
    }
    const char *words = why_keep(run, &offer->words);
    why->remedies[why->remedy_count++] = (hr_why_remedy){.kind = why_remedy_name(kind),
                                                         .words = words,
                                                         .gain_db = gain_db,
                                                         .spare_after_db = after_db,
                                                         .minutes = run->tables.remedy_minutes[kind]};
    return words == NULL ? hr_fail_memory(run->err) : HR_OK;
}

static hr_status offer_one(why_run *run, why_remedy_kind kind, why_offer *offer)
{
    const double enclosed_db = expected_loss_db(run, WHY_ENCLOSED), metal_db = expected_loss_db(run, WHY_METAL);
    const double loss_db = enclosed_db + metal_db;
    switch (kind) {
    case WHY_REMEDY_FREE:
        return offer_free(run, offer);
    case WHY_REMEDY_JOIN:
        offer_join(run, loss_db, offer);
        return HR_OK;
    case WHY_REMEDY_MOVE_CONTROL:
        return offer_move_control(run, enclosed_db, offer);
    case WHY_REMEDY_RELAY:
        return why_offer_relay(run, loss_db, offer);
    case WHY_REMEDY_MOVE_GATEWAY:
        return why_offer_move_gateway(run, loss_db, offer);
    case WHY_REMEDY_ADD_GATEWAY:
        return why_offer_add_gateway(run, loss_db, offer);
    case WHY_REMEDIES:
        break;
    }
    return HR_OK;
}

hr_status why_offer_remedies(why_run *run)
{
    hr_why *why = run->why;
    if (run->evidence->no_remedies || why->control == HR_SITING_NONE) {
        return HR_OK;
    }
    why->remedies = hr_alloc(WHY_REMEDIES, sizeof *why->remedies);
    if (why->remedies == NULL) {
        return hr_fail_memory(run->err);
    }
    const double now_db = room_spare_db(run, true);
    for (int kind = 0; kind < WHY_REMEDIES; kind++) {
        why_offer offer = {0};
        hr_status status = offer_one(run, (why_remedy_kind)kind, &offer);
        if (status == HR_OK) {
            status = add_remedy(run, (why_remedy_kind)kind, now_db, &offer);
        }
        hr_text_free(&offer.words);
        if (status != HR_OK) {
            return status;
        }
    }
    if (why->remedy_count > 1) {
        qsort(why->remedies, why->remedy_count, sizeof *why->remedies, compare_remedies);
    }
    return HR_OK;
}
