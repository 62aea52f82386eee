/*
 * meanings.c - which node of the drawing means what: names, `map` lines, and
 * what is inherited. And what a thing is called.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <stdio.h>
#include <string.h>

#define CANDIDATES 24

/* Names a node offers, in the order they count. Texts are folded copies. */
typedef struct candidates {
    char text[CANDIDATES][PLAN_WORD_MAX];
    size_t count;
} candidates;

static void offer(candidates *c, const char *text, size_t len)
{
    if (c->count < CANDIDATES && plan_fold(text, len, c->text[c->count], PLAN_WORD_MAX) &&
        c->text[c->count][0] != '\0') {
        c->count++;
    }
}

static void offer_id(candidates *c, const char *id)
{
    if (c->count < CANDIDATES && plan_decode_id(id, c->text[c->count], PLAN_WORD_MAX) && c->text[c->count][0] != '\0') {
        c->count++;
    }
    if (strchr(id, '_') != NULL) {
        offer(c, id, strlen(id));
    }
}

static void offer_classes(candidates *c, const char *classes)
{
    for (const char *at = classes; *at != '\0';) {
        const size_t blank = strspn(at, " \t\r\n\f");
        const size_t len = strcspn(at + blank, " \t\r\n\f");
        if (len > 0) {
            offer(c, at + blank, len);
        }
        at += blank + len;
    }
}

static void offer_all(candidates *c, const hr_svg_node *node)
{
    c->count = 0;
    const char *label = plan_label_of(node), *title = plan_title_of(node);
    if (label != NULL) {
        offer(c, label, strlen(label));
    }
    if (title != NULL) {
        offer(c, title, strlen(title));
    }
    if (node->data_name != NULL) {
        offer(c, node->data_name, strlen(node->data_name));
    }
    if (node->id != NULL) {
        offer_id(c, node->id);
    }
    if (node->classes != NULL) {
        offer_classes(c, node->classes);
    }
}

/* First without and then with an editor's suffix taken off. PLAN_NEAR and
 * PLAN_BAD tell of the first name that is wrong. */
static plan_found read_names(plan_reader *r, candidates *c, plan_meaning *meaning, hr_error *why)
{
    plan_found best = PLAN_NOTHING;
    for (size_t i = 0; i < c->count; i++) {
        plan_meaning m;
        hr_error wrong = {0};
        const plan_found found = plan_read_word(r, c->text[i], &m, &wrong);
        if (wrong.status == HR_ERR_MEMORY) {
            *why = wrong;
            return PLAN_NOTHING;
        }
        if (found == PLAN_FOUND) {
            *meaning = m;
            return PLAN_FOUND;
        }
        if (found == PLAN_WEAK || (best == PLAN_NOTHING && found != PLAN_NOTHING)) {
            best = found;
            *why = wrong;
            if (found == PLAN_WEAK) {
                *meaning = m;
            }
        }
        if (found >= PLAN_BAD || found == PLAN_WEAK) {
            break;
        }
    }
    for (size_t i = 0; i < c->count && best != PLAN_WRONG; i++) {
        while (plan_strip_suffix(c->text[i])) {
            plan_meaning m;
            hr_error wrong = {0};
            if (plan_read_word(r, c->text[i], &m, &wrong) == PLAN_FOUND) {
                *meaning = m;
                return PLAN_FOUND;
            }
            if (wrong.status == HR_ERR_MEMORY) {
                *why = wrong;
                return PLAN_NOTHING;
            }
        }
    }
    return best;
}

/* A name without any colon, blank, digit or known word costs a look only. */
plan_found plan_name_of(plan_reader *r, const hr_svg_node *node, plan_meaning *meaning, hr_error *why)
{
    if (node->label == NULL && node->title == NULL && node->data_name == NULL && node->id == NULL &&
        node->classes == NULL) {
        return PLAN_NOTHING;
    }
    candidates c;
    offer_all(&c, node);
    return read_names(r, &c, meaning, why);
}

/* ---- map lines ---- */

/* The first map line that hits the node; SIZE_MAX: none. What is drawn for
 * people only stays so whatever its colour. */
static size_t find_map(const plan_reader *r, size_t at, bool ignored)
{
    const hr_plan_options *o = r->options;
    for (size_t i = 0; i < o->map_count; i++) {
        if ((o->maps[i].select != HR_MAP_STROKE || !ignored) && plan_map_hits(&o->maps[i], &r->drawing->nodes[at])) {
            return i;
        }
    }
    return SIZE_MAX;
}

static hr_status add_meaning(plan_reader *r, const plan_meaning *meaning, uint32_t *index)
{
    if (!HR_RESERVE(r->meanings, r->meaning_cap, r->meaning_count + 1)) {
        return hr_fail_memory(r->err);
    }
    *index = (uint32_t)r->meaning_count;
    r->meanings[r->meaning_count++] = *meaning;
    return HR_OK;
}

static hr_status read_maps(plan_reader *r)
{
    const hr_plan_options *o = r->options;
    r->map_meanings = hr_alloc(o->map_count, sizeof *r->map_meanings);
    r->map_hits = hr_alloc_zero(o->map_count, sizeof *r->map_hits);
    if (r->map_meanings == NULL || r->map_hits == NULL) {
        return hr_fail_memory(r->err);
    }
    for (size_t i = 0; i < o->map_count; i++) {
        candidates c = {.count = 0};
        offer(&c, o->maps[i].target, strlen(o->maps[i].target));
        plan_meaning m;
        hr_error why = {0};
        const plan_found found = read_names(r, &c, &m, &why);
        if (found != PLAN_FOUND && found != PLAN_WEAK) {
            if (why.status == HR_ERR_MEMORY) {
                return hr_fail_memory(r->err);
            }
            return hr_fail(r->err, HR_ERR_INPUT, o->property_file, o->maps[i].line, "map: %s%s",
                           found == PLAN_NOTHING
                               ? "after -> a KIND or KIND: VALUE was expected, as in walls: brick-200, not "
                               : "",
                           found == PLAN_NOTHING ? o->maps[i].target : why.text);
        }
        m.line = o->maps[i].line;
        const hr_status status = add_meaning(r, &m, &r->map_meanings[i]);
        if (status != HR_OK) {
            return status;
        }
    }
    return HR_OK;
}

/* ---- nodes ---- */

static hr_status fail_layer(plan_reader *r)
{
    char list[HR_ERROR_TEXT_MAX] = {0};
    size_t used = 0;
    for (size_t i = 0; i < r->drawing->node_count; i++) {
        const hr_svg_node *node = &r->drawing->nodes[i];
        const char *name = plan_label_of(node) != NULL ? node->label : plan_title_of(node) != NULL ? node->title : node->id;
        const size_t len = name != NULL ? strlen(name) : 0;
        if (node->kind != HR_SVG_GROUP || (!node->is_layer && node->parent != 0) || len == 0 ||
            used + len + 3 > sizeof list / 2) {
            continue;
        }
        memcpy(list + used, ", ", used > 0 ? 2 : 0);
        used += used > 0 ? 2 : 0;
        /* the list is zeroed and filled by half: NOLINTNEXTLINE(bugprone-not-null-terminated-result) */
        memcpy(list + used, name, len);
        used += len;
    }
    return hr_fail(r->err, HR_ERR_INPUT, r->file, 0, "drawing has no layer \"%s\"; its layers: %s", r->options->layer,
                   used > 0 ? list : "none");
}

static hr_status find_layer(plan_reader *r)
{
    r->layer = SIZE_MAX;
    if (r->options->layer == NULL) {
        return HR_OK;
    }
    for (size_t i = 0; i < r->drawing->node_count; i++) {
        if (r->drawing->nodes[i].kind == HR_SVG_GROUP && plan_is_called(&r->drawing->nodes[i], r->options->layer)) {
            r->layer = i;
            return HR_OK;
        }
    }
    return fail_layer(r);
}

/* What the node takes from its parent. */
static plan_node inherit(const plan_reader *r, size_t at)
{
    const hr_svg_node *node = &r->drawing->nodes[at];
    plan_node n = {.meaning = HR_PLAN_NONE, .from = HR_PLAN_NONE, .unit = HR_PLAN_NONE, .flags = 0};
    if (node->parent != SIZE_MAX) {
        n = r->nodes[node->parent];
    }
    n.flags &= ~PLAN_OWN;
    if (node->display_none) {
        n.flags |= PLAN_HIDDEN | PLAN_HIDDEN_ALL;
    }
    if (r->layer == SIZE_MAX || at == r->layer) {
        n.flags |= PLAN_IN_LAYER;
    }
    if (at == r->layer) {
        n.flags &= ~PLAN_HIDDEN; /* asked for by name: its own display does not count */
    }
    return n;
}

/* Whether errors in the node's name matter: it is drawn and was asked for. */
static bool is_read(const plan_node *n)
{
    return (n->flags & PLAN_IN_LAYER) != 0 && (n->flags & PLAN_HIDDEN) == 0;
}

static void set_meaning(size_t at, plan_node *n, uint32_t meaning)
{
    n->meaning = meaning;
    n->from = (uint32_t)at;
    n->unit = HR_PLAN_NONE;
    n->flags |= PLAN_OWN;
}

static void note_metal(plan_reader *r, const plan_meaning *m, int line)
{
    if (m->value != NULL) {
        hr_note(r->notes, r->file, line, "metal %s is no row of the table: taken as sheet-metal", m->value);
    } else {
        hr_note(r->notes, r->file, line, "metal without a name: taken as sheet-metal");
    }
}

static hr_status resolve_node(plan_reader *r, size_t at)
{
    const hr_svg_node *node = &r->drawing->nodes[at];
    plan_node n = inherit(r, at);
    hr_status status = HR_OK;
    if (node->kind == HR_SVG_GROUP || node->kind == HR_SVG_SHAPE || node->kind == HR_SVG_TEXT) {
        plan_meaning m;
        hr_error why = {0};
        const plan_found found = plan_name_of(r, node, &m, &why);
        if (why.status == HR_ERR_MEMORY) {
            return hr_fail_memory(r->err);
        }
        const bool ignored = n.meaning != HR_PLAN_NONE && r->meanings[n.meaning].kind == HR_PLAN_IGNORE;
        const bool named = found == PLAN_FOUND || found == PLAN_WEAK;
        const size_t map = named ? SIZE_MAX : find_map(r, at, ignored);
        if (named) {
            uint32_t index = 0;
            m.line = node->line;
            status = add_meaning(r, &m, &index);
            if (status == HR_OK) {
                set_meaning(at, &n, index);
            }
            if (m.unknown_metal && is_read(&n)) {
                note_metal(r, &m, node->line);
            }
        } else if (map != SIZE_MAX) {
            r->map_hits[map]++;
            set_meaning(at, &n, r->map_meanings[map]);
        } else if (found != PLAN_NOTHING && is_read(&n) && !ignored) {
            return hr_fail(r->err, HR_ERR_INPUT, r->file, node->line, "%s", why.text);
        }
    }
    if (n.unit == HR_PLAN_NONE && node->kind == HR_SVG_GROUP && strcmp(node->element, "use") == 0) {
        n.unit = (uint32_t)at;
    }
    r->nodes[at] = n;
    return status;
}

/* Whether something is called or drawn so that says itself what it is. */
static bool is_spoken_for(const plan_reader *r, const hr_plan_map *map)
{
    for (size_t at = 0; at < r->drawing->node_count; at++) {
        if (plan_map_hits(map, &r->drawing->nodes[at])) {
            return true;
        }
    }
    return false;
}

/* A map line that changes nothing is told: a misspelt layer would be walls that are not there. */
static void note_idle_maps(plan_reader *r)
{
    const hr_plan_options *o = r->options;
    for (size_t i = 0; i < o->map_count; i++) {
        const hr_plan_map *map = &o->maps[i];
        if (r->map_hits[i] > 0) {
            continue;
        }
        const bool stroke = map->select == HR_MAP_STROKE;
        const char *select = stroke ? "stroke" : map->select == HR_MAP_LAYER ? "layer" : "class";
        const char *quote = stroke ? "" : "\"", *name = map->text;
        char colour[16];
        if (stroke) {
            (void)snprintf(colour, sizeof colour, "#%02x%02x%02x", map->stroke.r, map->stroke.g, map->stroke.b);
            name = colour;
        }
        if (is_spoken_for(r, map)) {
            hr_note(r->notes, o->property_file, map->line, "map %s %s%s%s is not needed: what it hits in %s has a name of its own",
                    select, quote, name, quote, r->file);
        } else {
            hr_note(r->notes, o->property_file, map->line, "map %s %s%s%s: nothing in %s is %s so", select, quote, name,
                    quote, r->file, stroke ? "drawn" : "called");
        }
    }
}

hr_status plan_resolve(plan_reader *r)
{
    hr_status status = find_layer(r);
    if (status == HR_OK) {
        status = read_maps(r);
    }
    r->nodes = hr_alloc(r->drawing->node_count, sizeof *r->nodes);
    if (status == HR_OK && r->nodes == NULL) {
        status = hr_fail_memory(r->err);
    }
    for (size_t i = 0; i < r->drawing->node_count && status == HR_OK; i++) {
        status = resolve_node(r, i);
    }
    if (status == HR_OK) {
        note_idle_maps(r);
    }
    return status;
}
