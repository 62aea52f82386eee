/*
 * why.c - one room from start to end.
 *
 * SPDX-License-Identifier: MIT
 */
#include "diagnosis_priv.h"

#include <math.h>

void hr_why_free(hr_why *why)
{
    if (why == NULL) {
        return;
    }
    for (size_t i = 0; i < why->link_count; i++) {
        hr_links_budget_free(&why->links[i].budget);
    }
    hr_free(why->links);
    hr_free(why->gateways);
    hr_siting_free(why->own_siting);
    hr_free(why->levels);
    hr_free(why->causes);
    hr_free(why->remedies);
    hr_arena_free(why->arena);
    hr_free(why);
}

static hr_status fail_room(const hr_building *b, const char *name, hr_error *err)
{
    const char **names = hr_alloc(b->room_count, sizeof *names);
    for (size_t i = 0; names != NULL && i < b->room_count; i++) {
        names[i] = b->rooms[i].name;
    }
    const char *nearest = names == NULL ? NULL : hr_nearest(name, names, b->room_count, 2);
    const hr_status status = hr_fail(err, HR_ERR_USAGE, NULL, 0, "no room is called %s%s%s%s", name,
                                     nearest != NULL ? ", did you mean " : "", nearest != NULL ? nearest : "",
                                     nearest != NULL ? "?" : "; `hallreach read` lists the rooms");
    hr_free(names);
    return status;
}

hr_status hr_diagnosis_room(const hr_building *building, const char *name, uint32_t *room, hr_error *err)
{
    uint32_t found = hr_building_room(building, name);
    if (found == UINT32_MAX) {
        const uint32_t device = hr_building_device(building, name);
        found = device == UINT32_MAX ? UINT32_MAX : building->devices[device].room;
    }
    if (found == UINT32_MAX) {
        return fail_room(building, name, err);
    }
    *room = found;
    return HR_OK;
}

static hr_status take_siting(why_run *run, hr_notes *notes)
{
    hr_why *why = run->why;
    if (run->evidence->siting != NULL) {
        why->siting = run->evidence->siting;
        return HR_OK;
    }
    const hr_status status = hr_siting_rooms(run->building, NULL, notes, &why->own_siting, run->err);
    why->siting = why->own_siting;
    return status;
}

static hr_status start(why_run *run, uint32_t room)
{
    run->why = hr_alloc_zero(1, sizeof *run->why);
    if (run->why == NULL) {
        return hr_fail_memory(run->err);
    }
    *run->why = (hr_why){.building = run->building,
                         .room = room,
                         .control = HR_SITING_NONE,
                         .closest = HR_SITING_NONE,
                         .best = HR_SITING_NONE,
                         .planned = HR_SITING_NONE,
                         .arena = hr_arena_new()};
    for (int c = 0; c < WHY_CAUSES; c++) {
        run->concerned[c] = HR_SITING_NONE;
    }
    return run->why->arena == NULL ? hr_fail_memory(run->err) : why_tables_read(&run->tables, run->err);
}

hr_status hr_diagnosis_why(const hr_links *links, const hr_building *building, uint32_t room,
                           const hr_why_evidence *evidence, hr_notes *notes, hr_why **why, hr_error *err)
{
    static const hr_why_evidence nothing = {.quality = (double)NAN, .loss_percent = (double)NAN};
    static hr_status (*const steps[])(why_run *) = {why_measure_links, why_measure_gateways, why_gather_evidence, why_say_levels,
                                                    why_weigh_causes,  why_say_causes,       why_choose_step,
                                                    why_offer_remedies};
    why_run run = {
        .links = links, .building = building, .evidence = evidence != NULL ? evidence : &nothing, .err = err};
    hr_status status = start(&run, room);
    if (status == HR_OK) {
        status = take_siting(&run, notes);
    }
    for (size_t i = 0; status == HR_OK && i < sizeof steps / sizeof steps[0]; i++) {
        status = steps[i](&run);
    }
    hr_links_work_free(&run.work);
    hr_free(run.seen);
    if (status == HR_OK) {
        *why = run.why;
    } else {
        hr_why_free(run.why);
    }
    return status;
}
