/*
 * drawing_floor.c - what lies below the walls: slab, rooms, areas, corridors,
 * openings in the slab, places without gateways, and in grey what was ignored.
 *
 * SPDX-License-Identifier: MIT
 */
#include "drawing_priv.h"

#include <stdlib.h>

const char *const drawing_floor_fill[3] = {"#e9f0f8", "#dcdcdc", "#fbf4dc"};

static void put_bodies(drawing *d, const hr_body *bodies, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (bodies[i].region.ring_count > 0) {
            hr_text_add(d->out, "<path");
            drawing_region(d, &bodies[i].region);
            hr_text_add(d->out, "/>\n");
        }
    }
}

static void open_lined(drawing *d, const char *id, const char *label, const char *style, double width_mm)
{
    drawing_group(d, id);
    hr_text_addf(d->out, "%s\" %s", label, style);
    drawing_put_mm(d, "stroke-width", width_mm);
    hr_text_add(d->out, ">\n");
}

void drawing_slab(drawing *d)
{
    if (d->plan->slab_count > 0) {
        open_lined(d, "slab", "slab", "fill=\"#f8f8f6\" stroke=\"#8a8a8a\"", 0.2);
        put_bodies(d, d->plan->slabs, d->plan->slab_count);
        drawing_close(d);
    }
}

void drawing_voids(drawing *d)
{
    if (d->plan->void_count > 0) {
        open_lined(d, "void", "void", "fill=\"#ffffff\" stroke=\"#8a8a8a\"", 0.3);
        put_bodies(d, d->plan->voids, d->plan->void_count);
        drawing_close(d);
    }
}

void drawing_keep_out(drawing *d)
{
    if (d->plan->keep_out_count > 0) {
        open_lined(d, "keep-out", "keep-out", "fill=\"#d9534f\" fill-opacity=\"0.25\" stroke=\"#a02622\"", 0.3);
        put_bodies(d, d->plan->keep_outs, d->plan->keep_out_count);
        drawing_close(d);
    }
}

/* name: the room's in the building, for storeys that share a plan; NULL: none. */
static void put_space(drawing *d, const hr_space *space, const char *name)
{
    hr_text_add(d->out, "<path");
    drawing_region(d, &space->region);
    if (name == NULL) {
        hr_text_add(d->out, "/>\n");
        return;
    }
    hr_text_add(d->out, "><title>");
    hr_text_xml(d->out, name);
    hr_text_add(d->out, "</title></path>\n");
}

static void put_spaces(drawing *d, hr_space_kind kind, const char *const *names)
{
    static const char *const words[] = {"rooms", "areas", "corridors"};
    bool open = false;
    for (size_t i = 0; i < d->plan->space_count; i++) {
        if (d->plan->spaces[i].kind != kind) {
            continue;
        }
        if (!open) {
            open_lined(d, words[kind], words[kind], "fill=\"none\" stroke=\"#c2c8d0\"", 0.15);
            open = true;
        }
        put_space(d, &d->plan->spaces[i], names[i]);
    }
    if (open) {
        drawing_close(d);
    }
}

static int compare_sized(const void *left, const void *right)
{
    const drawing_sized *a = left, *b = right;
    if (a->area_m2 < b->area_m2 || a->area_m2 > b->area_m2) {
        return a->area_m2 > b->area_m2 ? -1 : 1;
    }
    return a->space < b->space ? -1 : a->space > b->space;
}

drawing_sized *drawing_largest_first(drawing *d)
{
    const size_t count = d->plan->space_count;
    drawing_sized *order = hr_alloc(count + 1, sizeof *order);
    if (order == NULL) {
        d->out->failed = true;
        return NULL;
    }
    for (size_t i = 0; i < count; i++) {
        order[i] = (drawing_sized){.area_m2 = d->plan->spaces[i].area_m2, .space = i};
    }
    if (count > 0) {
        qsort(order, count, sizeof *order, compare_sized);
    }
    return order;
}

/* Colours of all floors, small ones over large ones: the smallest space is what counts. */
static void put_fills(drawing *d)
{
    drawing_sized *order = drawing_largest_first(d);
    if (order == NULL) {
        return;
    }
    drawing_open(d, "floor", "ignore: floor", "stroke=\"none\"");
    for (size_t i = 0; i < d->plan->space_count; i++) {
        const hr_space *space = &d->plan->spaces[order[i].space];
        hr_text_addf(d->out, "<path fill=\"%s\"", drawing_floor_fill[space->kind]);
        drawing_region(d, &space->region);
        hr_text_add(d->out, "/>\n");
    }
    drawing_close(d);
    hr_free(order);
}

const char **drawing_space_names(drawing *d)
{
    const hr_building *b = d->building;
    const char **names = hr_alloc_zero(d->plan->space_count + 1, sizeof *names);
    if (names == NULL) {
        d->out->failed = true;
        return NULL;
    }
    for (size_t i = 0; i < d->plan->space_count; i++) {
        names[i] = d->options.room_names == NULL ? d->plan->spaces[i].name : NULL;
    }
    for (size_t i = 0; i < b->room_count; i++) {
        if (b->rooms[i].storey == d->storey) {
            names[b->rooms[i].space] = drawing_room_name(d, (uint32_t)i);
        }
    }
    return names;
}

void drawing_floor(drawing *d)
{
    const char **names = drawing_space_names(d);
    if (names == NULL) {
        return;
    }
    put_fills(d);
    put_spaces(d, HR_SPACE_AREA, names);
    put_spaces(d, HR_SPACE_CORRIDOR, names);
    put_spaces(d, HR_SPACE_ROOM, names);
    hr_free(names);
}

void drawing_left(drawing *d)
{
    if (d->plan->left_count == 0) {
        return;
    }
    open_lined(d, "left", "ignore: not used", "fill=\"none\" stroke=\"#b9b9b9\"", 0.15);
    for (size_t i = 0; i < d->plan->left_count; i++) {
        const hr_left *left = &d->plan->left[i];
        hr_box box = hr_geometry_box(left->points, left->count);
        box = (hr_box){box.x0 * DRAWING_UNITS_PER_M, box.y0 * DRAWING_UNITS_PER_M, box.x1 * DRAWING_UNITS_PER_M,
                       box.y1 * DRAWING_UNITS_PER_M};
        if (left->count > 1 && hr_geometry_boxes_touch(box, d->box, 0.0)) {
            hr_text_add(d->out, "<path d=\"");
            drawing_path(d, left->points, left->count, left->closed);
            hr_text_add(d->out, "\"/>\n");
        }
    }
    drawing_close(d);
}

/* Nobody reads smaller letters on paper: an area's or corridor's name is left out then, a room's runs over. */
#define NAME_MIN_MM 1.3

/* As large as fits between the walls, up to what reads well. */
static double name_size_mm(const drawing *d, const hr_space *space, const char *name, double most_mm)
{
    const double across_mm = (space->region.box.x1 - space->region.box.x0) * DRAWING_UNITS_PER_M / d->mm;
    const size_t letters = hr_text_width(name);
    const double fits_mm = 0.85 * across_mm / (0.6 * (double)(letters > 0 ? letters : 1));
    return fmin(most_mm, fits_mm);
}

void drawing_names(drawing *d)
{
    const char **names = drawing_space_names(d);
    if (names == NULL) {
        return;
    }
    drawing_open(d, "names", "ignore: names", "paint-order=\"stroke\" stroke=\"#ffffff\" stroke-linejoin=\"round\"");
    hr_text_add(d->out, "<g");
    drawing_put_mm(d, "stroke-width", 0.5);
    hr_text_add(d->out, ">\n");
    for (size_t i = 0; i < d->plan->space_count; i++) {
        const hr_space *space = &d->plan->spaces[i];
        if (names[i] == NULL) {
            continue;
        }
        const bool room = space->kind == HR_SPACE_ROOM;
        const double fits = name_size_mm(d, space, names[i], room ? 2.6 : 2.0), size = fmax(NAME_MIN_MM, fits);
        if (!room && fits < NAME_MIN_MM) {
            continue;
        }
        drawing_text(d, space->innermost.x * DRAWING_UNITS_PER_M,
                     space->innermost.y * DRAWING_UNITS_PER_M + 0.35 * size * d->mm, size, "middle",
                     room ? "#141414" : "#5a5a5a", names[i]);
    }
    hr_text_add(d->out, "</g>\n");
    drawing_close(d);
    hr_free(names);
}
