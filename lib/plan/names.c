/*
 * names.c - what a drawn thing is called.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <string.h>

/* A text is a name of the thing itself unless it names a kind. */
static bool names_a_kind(const char *text)
{
    char word[PLAN_WORD_MAX];
    if (!plan_fold(text, strlen(text), word, sizeof word)) {
        return false;
    }
    do {
        const char *colon = strchr(word, ':');
        if (plan_kind_of(word, colon != NULL ? (size_t)(colon - word) : strlen(word)) != HR_PLAN_KIND_COUNT) {
            return true;
        }
    } while (plan_strip_suffix(word));
    return false;
}

static bool is_blank_text(const char *text)
{
    return text[strspn(text, " \t\r\n\f\v")] == '\0';
}

/* The node's name as written, NULL when it has none. */
static const char *raw_name(const hr_svg_node *node)
{
    const char *const texts[] = {node->parent == SIZE_MAX ? NULL : node->title,
                                 node->label != NULL && node->label[0] != '#' ? node->label : NULL, node->data_name};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        if (texts[i] != NULL && !is_blank_text(texts[i]) && !names_a_kind(texts[i])) {
            return texts[i];
        }
    }
    return NULL;
}

static bool id_names(const hr_svg_node *node, char *decoded, size_t size)
{
    return node->id != NULL && !plan_is_automatic(node->id) && plan_decode_id(node->id, decoded, size) &&
           decoded[0] != '\0' && !names_a_kind(decoded);
}

bool plan_has_own_name(const plan_reader *r, size_t node)
{
    char decoded[PLAN_WORD_MAX];
    const hr_svg_node *n = &r->drawing->nodes[node];
    return raw_name(n) != NULL || id_names(n, decoded, sizeof decoded);
}

static hr_status keep_name(plan_reader *r, const hr_svg_node *node, const char *text, const char **name)
{
    char folded[HR_MAX_NAME_BYTES + 1];
    if (!plan_fold(text, strlen(text), folded, sizeof folded)) {
        return hr_fail(r->err, HR_ERR_LIMIT, r->file, node->line, "a name is longer than %zu bytes", HR_MAX_NAME_BYTES);
    }
    *name = hr_arena_strdup(r->arena, folded);
    return *name != NULL ? HR_OK : hr_fail_memory(r->err);
}

/* The name the node has, NULL in *name when it has none. The text after the
 * colon of the node's own `KIND: NAME` comes last. */
static hr_status name_of_node(plan_reader *r, size_t at, const char **name)
{
    const hr_svg_node *node = &r->drawing->nodes[at];
    char decoded[PLAN_WORD_MAX];
    *name = NULL;
    const char *text = raw_name(node);
    if (text == NULL && id_names(node, decoded, sizeof decoded)) {
        text = decoded;
    }
    const plan_node *n = &r->nodes[at];
    if (text == NULL && (n->flags & PLAN_OWN) != 0 && n->meaning != HR_PLAN_NONE) {
        const plan_meaning *m = &r->meanings[n->meaning];
        const bool names = m->kind == HR_PLAN_ROOMS || m->kind == HR_PLAN_AREAS || m->kind == HR_PLAN_CORRIDORS ||
                           m->kind == HR_PLAN_GATEWAYS || m->kind == HR_PLAN_NETWORK;
        text = names ? m->value : NULL;
    }
    return text != NULL ? keep_name(r, node, text, name) : HR_OK;
}

/* True when no other used thing stands below the group. */
static bool stands_alone(const plan_reader *r, uint32_t shape, size_t group)
{
    const uint32_t unit = r->shapes[shape].unit;
    for (int step = -1; step <= 1; step += 2) {
        size_t i = shape;
        while (i < r->shape_count && r->shapes[i].unit == unit) {
            i = step < 0 && i == 0 ? SIZE_MAX : i + (size_t)step;
        }
        size_t node = i < r->shape_count ? r->shapes[i].node : SIZE_MAX;
        while (node != SIZE_MAX && node > group) {
            node = r->drawing->nodes[node].parent;
        }
        if (node == group) {
            return false;
        }
    }
    return true;
}

/* A class says what kind of thing it is: the name of the group that has it is the thing's own. */
static bool mapped_by_class(const plan_reader *r, uint32_t shape)
{
    return plan_is_mapped(r, shape) && r->options->maps[r->shapes[shape].meaning].select == HR_MAP_CLASS;
}

hr_status plan_own_name(plan_reader *r, uint32_t shape, const char **name)
{
    /* a `use` is called what it says, not what the symbol's parts are called */
    size_t at = r->shapes[shape].unit;
    const size_t top = r->nodes[r->shapes[shape].node].from;
    const char *found = NULL;
    hr_status status = name_of_node(r, at, &found);
    /* drawing programs wrap a shape and its title in a group: the wrapper's name counts */
    while (status == HR_OK && found == NULL && at != top && at != r->layer) {
        at = r->drawing->nodes[at].parent;
        if (at == SIZE_MAX || (at == top && !mapped_by_class(r, shape)) || at == r->layer || r->drawing->nodes[at].is_layer ||
            !stands_alone(r, shape, at)) {
            break;
        }
        const char *text = raw_name(&r->drawing->nodes[at]);
        status = text != NULL ? keep_name(r, &r->drawing->nodes[at], text, &found) : HR_OK;
    }
    if (status == HR_OK) {
        *name = found;
    }
    return status;
}

/* What a group is called in messages; a class, which exporters give to everything, comes last. */
static const char *shown_name(const hr_svg_node *node, bool by_class)
{
    if (node->label != NULL && node->label[0] != '#' && !is_blank_text(node->label)) {
        return node->label;
    }
    if (node->parent != SIZE_MAX && node->title != NULL && !is_blank_text(node->title)) {
        return node->title;
    }
    if (node->data_name != NULL && !is_blank_text(node->data_name)) {
        return node->data_name;
    }
    if (node->id != NULL && node->parent != SIZE_MAX && !plan_is_automatic(node->id)) {
        return node->id;
    }
    if (!by_class) {
        return NULL;
    }
    return node->classes != NULL && !is_blank_text(node->classes) ? node->classes : NULL;
}

const char *plan_outer_name(const plan_reader *r, size_t node)
{
    for (int by_class = 0; by_class <= 1; by_class++) {
        const char *outer = NULL;
        for (size_t at = node; at != SIZE_MAX && at != r->layer; at = r->drawing->nodes[at].parent) {
            const char *name = shown_name(&r->drawing->nodes[at], by_class != 0);
            outer = name != NULL ? name : outer;
        }
        if (outer != NULL) {
            return outer;
        }
    }
    return "";
}
