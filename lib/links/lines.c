/*
 * lines.c - a link's budget as named lines that add up to its margin.
 *
 * SPDX-License-Identifier: MIT
 */
#include "metal_priv.h"
#include "hr_units.h"

#include <math.h>

#define LINE_DECIMALS 4
#define LINE_STEPS 1e4

typedef struct line_writer {
    const hr_links *links;
    const hr_link *link;
    hr_budget *out;
    size_t cap;
    int64_t sum; /* of the rounded lines, so that they add up exactly */
    bool failed;
} line_writer;

void hr_links_budget_free(hr_budget *budget)
{
    if (budget == NULL) {
        return;
    }
    hr_free(budget->lines);
    hr_arena_free(budget->arena);
    *budget = (hr_budget){0};
}

static const char *keep(line_writer *w, hr_text *text)
{
    const char *kept = text->failed ? NULL : hr_arena_strdup(w->out->arena, text->bytes == NULL ? "" : text->bytes);
    hr_text_free(text);
    w->failed = w->failed || kept == NULL;
    return kept;
}

/* Takes both texts. */
static void add_line(line_writer *w, hr_text *item, double db, hr_text *note)
{
    hr_budget *out = w->out;
    const char *item_text = keep(w, item), *note_text = keep(w, note);
    if (w->failed || !HR_RESERVE(out->lines, w->cap, out->count + 1)) {
        w->failed = true;
        return;
    }
    const double rounded = hr_round(db, LINE_DECIMALS);
    w->sum += (int64_t)llround(rounded * LINE_STEPS);
    out->lines[out->count++] = (hr_budget_line){.item = item_text, .note = note_text, .db = rounded};
}

static void add_plain(line_writer *w, const char *item, double db, const char *note)
{
    hr_text item_text = {0}, note_text = {0};
    hr_text_add(&item_text, item);
    hr_text_add(&note_text, note);
    add_line(w, &item_text, db, &note_text);
}

/* ---- what is crossed ---- */

static const char *opening_word(const line_writer *w, const hr_item *item)
{
    const hr_plan *plan = w->links->building->storeys[item->storey].plan;
    return plan->openings[item->index].is_door ? "door" : "window";
}

static const char *item_word(const line_writer *w, const hr_item *item)
{
    switch (item->kind) {
    case HR_ITEM_OPENING:
        return opening_word(w, item);
    case HR_ITEM_SOLID:
        return "solid";
    case HR_ITEM_METAL:
        return "metal";
    case HR_ITEM_FLOOR:
        return "floor";
    case HR_ITEM_BEND:
        return "bend";
    case HR_ITEM_WALL:
        break;
    }
    return "wall";
}

static const char *bend_word(uint32_t kind)
{
    if (kind == HR_BEND_DOOR) {
        return "at a door";
    }
    return kind == HR_BEND_CORNER ? "round a corridor's corner" : "round the end of a wall";
}

/* In the unit the property is drawn up in: people read these notes. */
static void add_number(const line_writer *w, hr_text *note, double length_m)
{
    hr_text_fixed(note, hr_units_from_metres(length_m, w->links->building->length_unit), 2);
}

static void add_unit(const line_writer *w, hr_text *note)
{
    hr_text_addf(note, " %s", hr_units_length_name(w->links->building->length_unit));
}

/* A lift or riser that runs through several storeys is met at any of them. */
static bool is_shaft(const line_writer *w, const hr_item *item)
{
    for (size_t i = 0; item->kind == HR_ITEM_METAL && i < w->links->metal_count; i++) {
        const link_metal *metal = &w->links->metals[i];
        if (metal->storey == item->storey && metal->index == item->index) {
            return metal->storey0 != metal->storey1;
        }
    }
    return false;
}

static void add_place(const line_writer *w, hr_text *note, const hr_item *item)
{
    if (is_shaft(w, item)) {
        hr_text_add(note, "shaft at ");
    } else {
        hr_text_addf(note, "storey %s at ", w->links->building->storeys[item->storey].name);
    }
    add_number(w, note, item->at.x);
    hr_text_add(note, ", ");
    add_number(w, note, item->at.y);
    add_unit(w, note);
}

/* Routes: the angle a wall is met at, and where its slab stands beyond its table. */
static void add_slab(const line_writer *w, hr_text *note, const hr_item *item)
{
    if (!(item->angle_deg > 0.0)) {
        return;
    }
    const hr_slab_curve *curve = w->links->curves[item->material];
    hr_text_add(note, "; ");
    hr_text_fixed(note, item->angle_deg, 0);
    hr_text_add(note, " degrees from square on");
    if (!hr_propagation_in_range(HR_RANGE_SLAB_ANGLE_DEG, item->angle_deg)) {
        hr_text_addf(note, ", taken at %d", (int)HR_SLAB_ANGLE_MAX_DEG);
    }
    if (curve != NULL && curve->extrapolated) {
        hr_text_add(note, "; extrapolated: below or above the frequencies its permittivity is tabled for");
    }
}

static void add_item(line_writer *w, const hr_item *item)
{
    if (!(item->loss_db > 0.0)) {
        return; /* another member of its joint counts */
    }
    hr_text name = {0}, note = {0};
    const hr_material *material = hr_materials_get(w->links->building->materials, item->material);
    hr_text_addf(&name, "%s%s%s", item_word(w, item), material == NULL ? " " : ": ",
                 material == NULL ? bend_word(item->index) : material->name);
    if (item->kind == HR_ITEM_FLOOR) {
        hr_text_addf(&note, "slab under storey %s", w->links->building->storeys[item->storey].name);
    } else {
        add_place(w, &note, item);
        add_slab(w, &note, item);
    }
    if (item->kind == HR_ITEM_METAL && item->loss_db < item->table_db) {
        hr_text_add(&note, "; round its edges, ");
        hr_text_fixed(&note, item->table_db, 1);
        hr_text_add(&note, " dB straight through");
    }
    if (item->kind == HR_ITEM_FLOOR && (w->link->beyond & (1U << HR_RANGE_COST231_MHZ)) != 0) {
        const hr_range *range = hr_propagation_range(HR_RANGE_COST231_MHZ);
        char low[HR_FIXED_MAX], high[HR_FIXED_MAX];
        hr_text_addf(&note, "; COST 231 gives its floor increments for %s to %s %s", hr_short(range->low, 2, low),
                     hr_short(range->high, 2, high), range->unit);
    }
    if (item->kind == HR_ITEM_FLOOR && item->loss_db < item->table_db) {
        hr_text_add(&note, "; further floors lose less than the first");
    }
    add_line(w, &name, -item->loss_db, &note);
}

/* ---- the distance and what corrects the sum ---- */

static void add_distance(line_writer *w)
{
    const hr_link *link = w->link;
    hr_text name = {0}, note = {0};
    hr_text_add(&name, "distance");
    add_number(w, &note, link->unfolded_m);
    add_unit(w, &note);
    if (link->bends > 0) {
        hr_text_add(&note, " along the way");
    }
    link_distance_note(w->links, &note);
    if ((link->beyond & ((1U << HR_RANGE_LOG_DISTANCE_M) | (1U << HR_RANGE_P1238_M))) != 0) {
        const hr_range *range = hr_propagation_range(HR_RANGE_LOG_DISTANCE_M);
        char low[HR_FIXED_MAX];
        hr_text_addf(&note, "; nearer than %s %s: %s", hr_short(range->low, 2, low), range->unit, range->beyond);
    }
    if (w->links->building->radio.model == HR_MODEL_SITE_GENERAL && link->extrapolated) {
        hr_text_add(&note, "; extrapolated: outside what the row is tabled for");
    }
    add_line(w, &name, -link->spread_loss_db, &note);
}

static void add_stretch(line_writer *w, const char *item, double db, double length_m, const char *words)
{
    if (!(fabs(db) > 0.0)) {
        return;
    }
    hr_text name = {0}, note = {0};
    hr_text_add(&name, item);
    add_number(w, &note, length_m);
    add_unit(w, &note);
    hr_text_addf(&note, " %s", words);
    add_line(w, &name, db, &note);
}

static void add_corrections(line_writer *w)
{
    const hr_link *link = w->link;
    add_stretch(w, "corridor", link->corridor_gain_db, link->corridor_m, "of the way in one corridor");
    add_stretch(w, "inside rooms", -link->room_loss_db, link->room_m, "of the way in rooms");
    if (link->saturation_db > 0.0) {
        char text[HR_RANGE_TEXT_MAX];
        add_plain(w, "wall saturation", link->saturation_db,
                  hr_propagation_in_range(HR_RANGE_SATURATION_WALLS, link->walls)
                      ? "several walls lose less than their sum"
                      : hr_propagation_range_text(HR_RANGE_SATURATION_WALLS, link->walls, text));
    }
    if (link->combined_db > 0.0) {
        add_plain(w, "second way", link->combined_db, link->bends > 0 ? "the straight line adds its power"
                                                                      : "the best way round adds its power");
    }
}

/* ---- ends ---- */

static void add_gain(line_writer *w, const char *whose, const hr_end *end, const hr_end_terms *terms)
{
    hr_text name = {0}, note = {0};
    hr_text_addf(&name, "antenna of the %s", whose);
    if (end->radio->pattern == HR_PATTERN_DIPOLE) {
        hr_text_add(&note, "dipole, ");
        hr_text_fixed(&note, end->radio->antenna_gain_dbi, 1);
        hr_text_add(&note, " dBi at its best angle");
    }
    add_line(w, &name, terms->gain_dbi, &note);
}

static void add_end_losses(line_writer *w, const char *whose, const hr_end_terms *terms)
{
    hr_text name = {0}, note = {0};
    if (terms->case_db > 0.0) {
        hr_text_addf(&name, "case of the %s", whose);
        hr_text_addf(&note, "%s; assumed", terms->case_row);
        add_line(w, &name, -terms->case_db, &note);
    }
    if (terms->clearance_db > 0.0) {
        name = (hr_text){0};
        note = (hr_text){0};
        hr_text_addf(&name, "metal close to the %s", whose);
        hr_text_add(&note, "antenna within a wavelength of large metal");
        add_line(w, &name, -terms->clearance_db, &note);
    }
}

static void write_lines(line_writer *w, const hr_link_work *work, const hr_end *child, const hr_end *parent)
{
    const hr_link *link = w->link;
    const bool up = link->direction == HR_UP;
    const hr_end *from = up ? child : parent;
    add_plain(w, "transmit power", from->radio->tx_power_dbm, up ? "of the device, dBm" : "of the other end, dBm");
    add_gain(w, "device", child, &link->child);
    add_gain(w, "other end", parent, &link->parent);
    add_distance(w);
    for (size_t i = 0; i < work->item_count; i++) {
        add_item(w, &work->items[i]);
    }
    add_corrections(w);
    add_end_losses(w, "device", &link->child);
    add_end_losses(w, "other end", &link->parent);
    if (link->fitted_offset_db != 0.0) {
        add_plain(w, "fitted offset", link->fitted_offset_db, "measured in this building, [fitted]");
    }
    add_plain(w, "noise rise", -link->noise_rise_db, "other radio users in the building");
    add_plain(w, "sensitivity", -link->sensitivity_dbm, up ? "of the other end" : "of the device");
}

hr_status hr_links_budget(const hr_links *links, hr_link_work *work, const hr_end *child, const hr_end *parent,
                          hr_direction direction, hr_budget *budget, hr_error *err)
{
    hr_budget made = {0};
    const hr_status status = link_measure(links, work, child, parent, (int)direction, true, &made.link, err);
    if (status != HR_OK) {
        return status;
    }
    made.arena = hr_arena_new();
    line_writer w = {.links = links, .link = &made.link, .out = &made, .failed = made.arena == NULL};
    if (!w.failed) {
        write_lines(&w, work, child, parent);
    }
    if (w.failed) {
        hr_links_budget_free(&made);
        return hr_fail_memory(err);
    }
    made.link_margin_db = hr_round((double)w.sum / LINE_STEPS, LINE_DECIMALS);
    *budget = made;
    return HR_OK;
}
