/*
 * page_model.c - what the figures rest on: the model and how far off it was
 * where others measured, materials with their sources, what was assumed, and
 * the cautions.
 *
 * SPDX-License-Identifier: MIT
 */
#include "page_priv.h"

#include <string.h>

/* ---- the model ---- */

static const char *const model_words[] = {
    [HR_MODEL_MULTI_WALL] = "Path loss is free space to one metre, log-distance beyond, plus every wall, door, window, slab and "
                            "piece of metal on the straight line between the antennas (COST 231 multi-wall form, its floor term "
                            "included; metal as ITU-R P.526 knife edges).",
    [HR_MODEL_ROUTES] = "Path loss follows the straight line and the best way along corridors and round corners; walls count as slabs "
                        "at the angle they are met at, bends as ITU-R P.526 knife edges; the two ways add in power.",
    [HR_MODEL_SITE_GENERAL] = "Path loss is that of ITU-R P.1238 for a kind of building: distance and number of floors, no single wall. "
                              "It is meant for comparison.",
};

/* The same figures as hallreach-model(7); tests/published computes them. */
static void put_error(page *p)
{
    static const char *const heads[] = {"model", ">root mean square error, dB"};
    static const struct {
        const char *model, *error_db;
    } rows[] = {{"multi-wall", "5.3"},
                {"multi-wall with wall_saturation = 0.5", "4.5"},
                {"routes", "4.9"},
                {"site-general", "6.1"},
                {"for comparison: a distance law fitted to the same levels", "6.1"},
                {"for comparison: fitted walls beside it", "4.7"}};
    page_table_open(p, "error-table", "Error on open measurements: 1274 levels at 2.4 GHz in a furnished flat", heads, 2);
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        page_row(p, "");
        page_cell_head(p, rows[i].model);
        page_add(p, "<td class=\"n\">");
        page_text(p, rows[i].error_db);
        page_add(p, "</td>");
        page_row_end(p);
    }
    page_table_close(p);
    page_add(p, "<p>Measured by Kolakowski 2021; walls taken as brick, one free offset, nothing else fitted. No open measurements of "
                "hotels, of several storeys with known walls, or of metal were found: floors and metal rest on published single "
                "figures. Below 1 GHz a single wall may well be 5 dB off; the required margin is there for that. Furniture, people "
                "and what was not drawn are not known to the model.</p>\n");
}

static bool material_used(const hr_building *b, uint32_t material, hr_material_use use)
{
    for (size_t s = 1; use == HR_USE_FLOOR && s < b->storey_count; s++) {
        if (b->storeys[s].slab_material == material) {
            return true;
        }
    }
    for (size_t i = 0; i < b->plan_count; i++) {
        const hr_plan *plan = b->plans[i];
        for (size_t k = 0; use == HR_USE_WALL && k < plan->wall_count; k++) {
            if (plan->walls[k].material == material && !plan->walls[k].is_gap) {
                return true;
            }
        }
        for (size_t k = 0; use == HR_USE_WALL && k < plan->solid_count; k++) {
            if (plan->solids[k].material == material) {
                return true;
            }
        }
        for (size_t k = 0; use == HR_USE_OPENING && k < plan->opening_count; k++) {
            if (plan->openings[k].material == material) {
                return true;
            }
        }
        for (size_t k = 0; use == HR_USE_METAL && k < plan->metal_count; k++) {
            if (plan->metals[k].material == material) {
                return true;
            }
        }
    }
    return false;
}

/* Where a use has no row of its own, another's stands in: its source is told. */
static const char *source_of(const hr_material *material, hr_material_use use)
{
    const char *source = material->source[use];
    for (size_t i = 0; source == NULL && i < 4; i++) {
        source = material->source[i];
    }
    return source != NULL ? source : "computed from its layers";
}

typedef struct material_list {
    page *p;
    const hr_material_rows *rows;
    page_words sources; /* each once, as they come */
} material_list;

static void put_material(material_list *l, uint32_t index, hr_material_use use)
{
    page *p = l->p;
    const hr_material *material = hr_materials_get(p->b->materials, index);
    const char *id = source_of(material, use);
    const hr_source *source = hr_materials_source_find(l->rows, id);
    const bool memory = source != NULL && strcmp(source->trust, "memory") == 0;
    page_row(p, "");
    page_cell_head(p, material->name);
    page_cell(p, hr_materials_use_name(use));
    page_cell_fixed(p, hr_materials_loss_db(p->b->materials, index, use, NULL), 1);
    page_cell_fixed(p, hr_materials_spread_db(p->b->materials, index, use), 1);
    page_add(p, "<td>");
    page_text(p, id);
    page_add(p, memory ? " (from memory)</td>" : "</td>");
    page_row_end(p);
    if (source != NULL && page_word(&l->sources, id) == UINT32_MAX) {
        p->out->failed = true;
    }
}

static void put_materials(page *p, const hr_material_rows *rows)
{
    static const char *const heads[] = {"material", "used as", ">loss, dB", ">spread, dB", "source"};
    material_list l = {.p = p, .rows = rows};
    page_table_open(p, "material-table", "Materials on the plans, at the property's frequency", heads, 5);
    for (uint32_t i = 0; i < hr_materials_count(p->b->materials); i++) {
        for (int use = HR_USE_WALL; use <= (int)HR_USE_METAL; use++) {
            if (material_used(p->b, i, (hr_material_use)use)) {
                put_material(&l, i, (hr_material_use)use);
            }
        }
    }
    page_table_close(p);
    page_add(p, "<h3>Sources</h3>\n<dl class=\"lists\">\n");
    for (size_t i = 0; i < l.sources.count; i++) {
        const hr_source *source = hr_materials_source_find(rows, l.sources.items[i]);
        page_add(p, "<div><dt>");
        page_text(p, l.sources.items[i]);
        page_add(p, "</dt><dd>");
        page_text(p, source->citation);
        page_add(p, "</dd></div>\n");
    }
    page_add(p, "<div><dt>kolakowski-2021</dt><dd>M. Kolakowski, levels measured in a furnished flat at 2.4 GHz, 2021: the error "
                "figures above</dd></div>\n</dl>\n");
    page_words_free(&l.sources);
}

void page_model(page *p)
{
    hr_material_rows *rows = NULL;
    page_add(p, "<section id=\"model\" aria-labelledby=\"model-h\">\n<h2 id=\"model-h\">The model and its error</h2>\n<p>");
    page_text(p, model_words[p->b->radio.model]);
    page_add(p, " Both directions of a link are budgeted, the weaker one counts. The required margin follows from the wanted "
                "reliability and the spread of real buildings, between places and in time.</p>\n");
    put_error(p);
    p->status = p->status != HR_OK ? p->status : hr_materials_rows_new(&rows, p->err);
    if (p->status == HR_OK) {
        put_materials(p, rows);
    }
    hr_materials_rows_free(rows);
    page_add(p, "</section>\n");
}

/* ---- what was assumed ---- */

/* What a shared copy leaves out: names of files, rooms and gateways stand in these. */
static bool is_private(const hr_setting *setting)
{
    static const char *const sections[] = {"property", "storey", "drawing", "fitted"};
    for (size_t i = 0; i < sizeof sections / sizeof sections[0]; i++) {
        if (strncmp(setting->section, sections[i], strlen(sections[i])) == 0) {
            return true;
        }
    }
    return strcmp(setting->key, "network_id") == 0 || strcmp(setting->key, "spot_cost") == 0;
}

static bool is_assumed(const hr_setting *setting)
{
    return setting->is_default && setting->reason != NULL && strstr(setting->reason, "assumed") != NULL;
}

static void put_settings(page *p, bool assumed, const char *id, const char *caption)
{
    static const char *const heads[] = {"section", "key", "value", "unit", "from"};
    page_table_open(p, id, caption, heads, 5);
    for (size_t i = 0; i < hr_building_setting_count(p->b); i++) {
        const hr_setting *setting = hr_building_setting(p->b, i);
        if (is_assumed(setting) != assumed || (p->options->anonymous && is_private(setting))) {
            continue;
        }
        page_row(p, "");
        page_cell(p, setting->section);
        page_cell_head(p, setting->key);
        page_cell(p, setting->value);
        page_cell(p, setting->unit);
        page_add(p, setting->is_default ? "<td>default: " : "<td>");
        page_text(p, setting->is_default ? setting->reason : "property file");
        page_add(p, "</td>");
        page_row_end(p);
    }
    page_table_close(p);
}

/* What no key says. */
static void put_taken_for_granted(page *p)
{
    size_t drawn = 0, generated = 0, cases = 0;
    for (size_t i = 0; i < p->b->device_count; i++) {
        drawn += p->b->devices[i].drawn;
    }
    for (size_t i = 0; i < p->b->spot_count; i++) {
        generated += p->b->spots[i].generated;
    }
    for (size_t i = 0; i < p->b->kind_count; i++) {
        cases += p->b->kinds[i].enclosure != HR_ENCLOSURE_NONE;
    }
    page_add(p, "<ul>\n");
    if (drawn < p->b->device_count) {
        char beside[HR_FIXED_MAX];
        hr_short(report_length(p->b, 0.3), 2, beside);
        hr_text_addf(p->out,
                     "<li>%zu of %zu devices are not drawn and stand at default places: a wall control %s %s beside the entry door on "
                     "the room&#39;s inside, a unit %s %s inside the middle of the longest window.</li>\n",
                     p->b->device_count - drawn, p->b->device_count, beside, report_unit(p->b), beside, report_unit(p->b));
    }
    if (generated > 0) {
        hr_text_addf(p->out, "<li>%zu of %zu gateway spots are not drawn: they were put along the corridors&#39; walls.</li>\n", generated,
                     p->b->spot_count);
    }
    page_add(p, "<li>Doors and windows count as closed. Walls are as the plans name them; what stands in or behind them and was not "
                "drawn is not known.</li>\n");
    if (cases > 0) {
        page_add(p, "<li>The loss of a device&#39;s case, by the angle between its opening and the other end, is assumed.</li>\n");
    }
    if (p->b->radio.rule[0] == '\0') {
        page_add(p, "<li>Radio limit not checked: no rule is set.</li>\n");
    }
    page_add(p, "</ul>\n");
}

void page_assumptions(page *p)
{
    page_add(p, "<section id=\"assumptions\" aria-labelledby=\"assumptions-h\">\n<h2 id=\"assumptions-h\">What was assumed</h2>\n"
                "<p>Figures marked assumed are field judgement without a published source; each can be set in the property file. "
                "Materials whose source is `assumed` stand in the table above.</p>\n");
    put_taken_for_granted(p);
    if (hr_notes_count(p->notes) > 0) {
        page_add(p, "<h3>Warnings</h3>\n<ul>\n");
        for (size_t i = 0; i < hr_notes_count(p->notes); i++) {
            page_add(p, "<li>");
            page_text(p, hr_notes_text(p->notes, i));
            page_add(p, "</li>\n");
        }
        page_add(p, "</ul>\n");
    }
    if (p->options->anonymous) {
        page_add(p, "<p>Warnings about the files that were read are left out of this copy, as names stand in them.</p>\n");
    }
    put_settings(p, true, "assumed-table", "Assumed: no source stands behind these");
    put_settings(p, false, "settings-table", "All other settings in force");
    page_add(p, "</section>\n");
}

void page_cautions(page *p)
{
    page_add(p, "<section id=\"cautions\" aria-labelledby=\"cautions-h\">\n<h2 id=\"cautions-h\">Cautions</h2>\n<ul>\n");
    for (size_t i = 0; hr_report_caution_at(p->b, i) != NULL; i++) {
        page_add(p, "<li>");
        page_text(p, hr_report_caution_at(p->b, i));
        page_add(p, "</li>\n");
    }
    page_add(p, "</ul>\n</section>\n");
}
