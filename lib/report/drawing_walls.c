/*
 * drawing_walls.c - walls and solids by material, metal, doors and windows.
 *
 * SPDX-License-Identifier: MIT
 */
#include "drawing_priv.h"

#include <string.h>

static void open_material(drawing *d, const char *id, const char *kind, uint32_t material, const drawing_style *style)
{
    drawing_group(d, id);
    hr_text_addf(d->out, "%s: ", kind);
    hr_text_xml(d->out, report_material_name(d->building, material));
    hr_text_add(d->out, "\"");
    drawing_put_style(d, style);
}

static void put_line(drawing *d, hr_segment line)
{
    const hr_point ends[] = {line.a, line.b};
    hr_text_add(d->out, "<path d=\"");
    drawing_path(d, ends, 2, false);
    hr_text_add(d->out, "\"/>\n");
}

/* A gap that an opening fills is no drawn wall. */
static void put_walls(drawing *d, size_t rank)
{
    bool open = false;
    for (size_t i = 0; i < d->plan->wall_count; i++) {
        const hr_wall *wall = &d->plan->walls[i];
        if (wall->is_gap || wall->material != d->ranks[rank]) {
            continue;
        }
        if (!open) {
            open_material(d, "walls", "walls", wall->material, drawing_wall_style(d, rank));
            hr_text_add(d->out, " stroke-linecap=\"round\">\n");
            open = true;
        }
        put_line(d, wall->line);
    }
    if (open) {
        drawing_close(d);
    }
}

/* Heavy walls on top of light ones. */
void drawing_walls(drawing *d)
{
    for (size_t rank = d->rank_count; rank-- > 0;) {
        put_walls(d, rank);
    }
}

void drawing_solids(drawing *d)
{
    for (size_t rank = d->rank_count; rank-- > 0;) {
        bool open = false;
        for (size_t i = 0; i < d->plan->solid_count; i++) {
            const hr_body *solid = &d->plan->solids[i];
            if (solid->material != d->ranks[rank]) {
                continue;
            }
            if (!open) {
                drawing_group(d, "solids");
                hr_text_add(d->out, "solids: ");
                hr_text_xml(d->out, report_material_name(d->building, solid->material));
                hr_text_addf(d->out, "\" stroke=\"none\" fill=\"%s\">\n", drawing_wall_style(d, rank)->colour);
                open = true;
            }
            hr_text_add(d->out, "<path");
            drawing_region(d, &solid->region);
            hr_text_add(d->out, "/>\n");
        }
        if (open) {
            drawing_close(d);
        }
    }
}

/* "0-2.05", where heights were given. */
static void put_heights(drawing *d, double low_m, double high_m)
{
    char low[HR_FIXED_MAX], high[HR_FIXED_MAX];
    if (isfinite(low_m) && isfinite(high_m)) {
        hr_text_addf(d->out, " %s-%s", hr_short(low_m, 4, low), hr_short(high_m, 4, high));
    }
}

/* Each piece in a layer of its own name: names and heights differ. */
void drawing_metal(drawing *d)
{
    for (size_t i = 0; i < d->plan->metal_count; i++) {
        const hr_body *metal = &d->plan->metals[i];
        drawing_group(d, "metal");
        hr_text_add(d->out, "metal: ");
        hr_text_xml(d->out, metal->name != NULL ? metal->name : report_material_name(d->building, metal->material));
        put_heights(d, metal->low_m, metal->high_m);
        const bool area = metal->region.ring_count > 0;
        hr_text_addf(d->out, "\" fill=\"%s\" fill-opacity=\"0.55\" stroke=\"#46505c\"", area ? "#46505c" : "none");
        drawing_put_mm(d, "stroke-width", area ? 0.35 : 0.9);
        hr_text_add(d->out, ">\n");
        if (area) {
            hr_text_add(d->out, "<path");
            drawing_region(d, &metal->region);
            hr_text_add(d->out, "/>\n");
        }
        for (size_t k = 0; k < metal->line_count; k++) {
            put_line(d, metal->lines[k]);
        }
        drawing_close(d);
    }
}

static bool same_opening(const hr_opening *a, const hr_opening *b)
{
    return a->is_door == b->is_door && a->material == b->material && a->low_m >= b->low_m && a->low_m <= b->low_m &&
           a->high_m >= b->high_m && a->high_m <= b->high_m;
}

static void open_openings(drawing *d, const hr_opening *o)
{
    const size_t rank = drawing_opening_rank(d, o->is_door, o->material);
    drawing_group(d, "openings");
    hr_text_addf(d->out, "%s: ", o->is_door ? "doors" : "windows");
    hr_text_xml(d->out, report_material_name(d->building, o->material));
    put_heights(d, o->low_m, o->high_m);
    hr_text_add(d->out, "\"");
    drawing_put_style(d, drawing_opening_style(d, o->is_door, rank));
    hr_text_add(d->out, ">\n");
}

/* Layer by layer of openings that are alike; each is in the layer of the first of its like. */
void drawing_openings(drawing *d)
{
    const hr_plan *plan = d->plan;
    bool *done = hr_alloc_zero(plan->opening_count + 1, sizeof *done);
    if (done == NULL) {
        d->out->failed = true;
        return;
    }
    for (size_t i = 0; i < plan->opening_count; i++) {
        if (done[i]) {
            continue;
        }
        open_openings(d, &plan->openings[i]);
        for (size_t k = i; k < plan->opening_count; k++) {
            if (!done[k] && same_opening(&plan->openings[i], &plan->openings[k])) {
                put_line(d, plan->openings[k].line);
                done[k] = true;
            }
        }
        drawing_close(d);
    }
    hr_free(done);
}
