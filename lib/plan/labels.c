/*
 * labels.c - what rooms are called: their own name, else the text inside.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <string.h>

/* A text this short with a digit in it looks like a room's name. */
#define SHORT_NAME 8

/* The texts inside one room while the best is sought. */
typedef struct labelled {
    const hr_svg_label *best;
    size_t parts; /* labels from `best` on that make the name: a broken line goes on with a hyphen */
    int rank;     /* 3: from the rooms layer and looks like a name ... 0: any text */
    size_t others;
} labelled;

static bool looks_like_name(const char *text)
{
    const size_t len = strlen(text);
    bool digit = false;
    for (size_t i = 0; i < len; i++) {
        const char c = text[i];
        const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
        digit = digit || (c >= '0' && c <= '9');
        if (!letter && !(c >= '0' && c <= '9') && strchr("-. /", c) == NULL) {
            return false;
        }
    }
    /* "12 m2", "3.2 m": a size, not a name */
    const char *blank = strrchr(text, ' ');
    const char *unit = blank != NULL ? blank + 1 : text + strspn(text, "0123456789.");
    const bool size =
        unit != text && (hr_casecmp(unit, "m2") == 0 || hr_casecmp(unit, "m") == 0 || hr_casecmp(unit, "sqm") == 0 ||
                         hr_casecmp(unit, "ft") == 0 || hr_casecmp(unit, "sf") == 0);
    return len > 0 && len <= SHORT_NAME && digit && !size;
}

static bool is_counted(const plan_reader *r, const hr_svg_label *label, bool *from_rooms)
{
    const plan_node *n = &r->nodes[label->node];
    const hr_plan_kind kind = n->meaning != HR_PLAN_NONE ? r->meanings[n->meaning].kind : HR_PLAN_KIND_COUNT;
    *from_rooms = kind == HR_PLAN_ROOMS;
    return (n->flags & PLAN_IN_LAYER) != 0 && (n->flags & PLAN_HIDDEN) == 0 &&
           !r->drawing->nodes[label->node].invisible && kind != HR_PLAN_IGNORE && label->text[0] != '\0';
}

static void take_label(const hr_svg_label *label, bool from_rooms, labelled *l)
{
    const int rank = (from_rooms ? 2 : 0) + (looks_like_name(label->text) ? 1 : 0);
    if (l->best != NULL && label == l->best + l->parts && label->node == l->best->node && label->text[0] == '-') {
        l->parts++;
        return;
    }
    l->others += l->best != NULL;
    if (l->best == NULL || rank > l->rank) {
        l->best = label;
        l->parts = 1;
        l->rank = rank;
    }
}

/* Gives each text to the smallest room that holds its centre. */
static hr_status hand_out(plan_reader *r, labelled *labels)
{
    hr_status status = HR_OK;
    for (size_t i = 0; i < r->drawing->label_count && status == HR_OK; i++) {
        const hr_svg_label *label = &r->drawing->labels[i];
        bool from_rooms = false;
        if (!is_counted(r, label, &from_rooms)) {
            continue;
        }
        const hr_point at = {(label->centre.x - r->origin.x) * r->scale, (label->centre.y - r->origin.y) * r->scale};
        uint32_t room = HR_PLAN_NONE;
        status = plan_room_at(r, at, &room);
        if (status == HR_OK && room != HR_PLAN_NONE) {
            take_label(label, from_rooms, &labels[room]);
        }
    }
    return status;
}

static hr_status name_from_label(plan_reader *r, hr_space *space, const labelled *l)
{
    char folded[HR_MAX_NAME_BYTES + 1];
    hr_text whole = {0};
    for (size_t i = 0; i < l->parts; i++) {
        hr_text_add(&whole, l->best[i].text);
    }
    if (whole.failed) {
        hr_text_free(&whole);
        return hr_fail_memory(r->err);
    }
    const bool fits = plan_fold(whole.bytes, whole.len, folded, sizeof folded);
    hr_text_free(&whole);
    if (!fits) {
        return hr_fail(r->err, HR_ERR_LIMIT, r->file, l->best->line, "a room's name is longer than %zu bytes",
                       HR_MAX_NAME_BYTES);
    }
    space->name = hr_arena_strdup(r->arena, folded);
    return space->name != NULL ? HR_OK : hr_fail_memory(r->err);
}

static hr_status name_nameless(plan_reader *r, hr_space *space, size_t number)
{
    if (!r->options->lenient) {
        return hr_fail(r->err, HR_ERR_INPUT, r->file, space->source_line,
                       "room has no name: a title, a label or an id of its own or a text inside it was expected");
    }
    hr_note(r->notes, r->file, space->source_line,
            "room has no name: give it a title, a label or an id of its own, or a text inside it; called ?%zu", number);
    hr_text name = {0};
    hr_text_addf(&name, "?%zu", number);
    space->name = name.failed ? NULL : hr_arena_strdup(r->arena, name.bytes);
    hr_text_free(&name);
    return space->name != NULL ? HR_OK : hr_fail_memory(r->err);
}

/* Shapes of a mapped layer that nobody named, or that share a word like
 * "stairs", hold no devices: floor, but no rooms. */
static void make_area(plan_reader *r, size_t at, size_t *areas, int *line)
{
    hr_space *space = &r->spaces[at];
    if (space->kind == HR_SPACE_ROOM) {
        *line = *areas == 0 ? space->source_line : *line;
        (*areas)++;
        space->kind = HR_SPACE_AREA;
        r->plan->room_count--;
    }
}

static bool is_mapped(const plan_reader *r, size_t space)
{
    return plan_is_mapped(r, r->space_shapes[space]);
}

/* `read` shows a plan of others whole: the second of a name is told apart. */
static hr_status tell_apart(plan_reader *r, hr_names *names, size_t at, size_t other)
{
    hr_space *space = &r->spaces[at];
    hr_text name = {0};
    size_t number = 2;
    do {
        name.len = 0;
        hr_text_addf(&name, "%s-%zu", space->name, number++);
    } while (!name.failed && hr_names_find(names, name.bytes) != SIZE_MAX);
    const char *kept = name.failed ? NULL : hr_arena_strdup(r->arena, name.bytes);
    hr_text_free(&name);
    if (kept == NULL || !hr_names_add(names, kept, at)) {
        return hr_fail_memory(r->err);
    }
    hr_note(r->notes, r->file, space->source_line,
            "two rooms are called %s, the other on line %d: each room needs a name of its own; called %s", space->name,
            r->spaces[other].source_line, kept);
    space->name = kept;
    return HR_OK;
}

static hr_status check_unique(plan_reader *r, hr_names *names)
{
    size_t areas = 0;
    int line = 0;
    for (size_t i = 0; i < r->plan->space_count; i++) {
        const hr_space *space = &r->spaces[i];
        if (space->kind != HR_SPACE_ROOM) {
            continue;
        }
        const size_t other = hr_names_find(names, space->name);
        if (other != SIZE_MAX && is_mapped(r, i) && is_mapped(r, other) && !looks_like_name(space->name)) {
            make_area(r, i, &areas, &line);
            make_area(r, other, &areas, &line);
            continue;
        }
        if (other != SIZE_MAX && r->options->lenient && is_mapped(r, i)) {
            const hr_status status = tell_apart(r, names, i, other);
            if (status != HR_OK) {
                return status;
            }
            continue;
        }
        if (other != SIZE_MAX) {
            return hr_fail(r->err, HR_ERR_INPUT, r->file, space->source_line,
                           "two rooms are called %s, the other on line %d: each room needs a name of its own",
                           space->name, r->spaces[other].source_line);
        }
        if (!hr_names_add(names, space->name, i)) {
            return hr_fail_memory(r->err);
        }
    }
    if (areas > 0) {
        hr_note(r->notes, r->file, line, "%zu shapes of a mapped layer share a name: taken as areas, not rooms", areas);
    }
    return HR_OK;
}

static hr_status name_all(plan_reader *r, const labelled *labels)
{
    size_t nameless = 0, unused = 0, areas = 0;
    int first_line = 0, area_line = 0;
    hr_status status = HR_OK;
    for (size_t i = 0; i < r->plan->space_count && status == HR_OK; i++) {
        hr_space *space = &r->spaces[i];
        if (space->kind != HR_SPACE_ROOM) {
            continue;
        }
        if (space->name == NULL && labels[i].best != NULL) {
            status = name_from_label(r, space, &labels[i]);
            first_line = unused == 0 && labels[i].others > 0 ? space->source_line : first_line;
            unused += labels[i].others;
        } else if (space->name == NULL && is_mapped(r, i)) {
            make_area(r, i, &areas, &area_line);
        } else if (space->name == NULL) {
            status = name_nameless(r, space, ++nameless);
        }
    }
    if (status == HR_OK && areas > 0) {
        hr_note(r->notes, r->file, area_line, "%zu shapes of a mapped layer have no name: taken as areas, not rooms",
                areas);
    }
    if (status == HR_OK && unused > 0) {
        hr_note(r->notes, r->file, first_line, "%zu more texts stand inside rooms that another text names: not used",
                unused);
    }
    return status;
}

hr_status plan_name_rooms(plan_reader *r)
{
    labelled *labels = hr_alloc_zero(r->plan->space_count, sizeof *labels);
    hr_names *names = hr_names_new();
    hr_status status = labels == NULL || names == NULL ? hr_fail_memory(r->err) : HR_OK;
    if (status == HR_OK) {
        status = hand_out(r, labels);
    }
    if (status == HR_OK) {
        status = name_all(r, labels);
    }
    if (status == HR_OK) {
        status = check_unique(r, names);
    }
    hr_free(labels);
    hr_names_free(names);
    return status;
}
