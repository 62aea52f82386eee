/*
 * look.c - what a drawing is made of: its layers, classes and stroke colours
 * with counts and lengths. Needs no marks and no scale.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_priv.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Straight pieces longer than this share of the drawing are long: letters, hatching and door swings are not. */
#define LONG_SHARE 0.025
/* While nothing is known of the size only straight lines and ends matter. */
#define COARSE 1e6
#define FINE_SHARE 5e-4
/* Rows beyond this many are left out: ids that differ from shape to shape are no layers. */
#define ROWS_MAX 20000
/* Boxes looked at round texts; a drawing with more is not a plan with rooms. */
#define VISITS_MAX ((size_t)20000000)

/* What stands at and below a node. */
typedef struct sum {
    uint32_t shapes, closed, labelled, texts;
    double length, long_length;
} sum;

typedef struct row {
    hr_plan_seen seen;
    size_t end;    /* nodes before this one were counted already */
    bool free;     /* some of it stands where our own words say nothing */
    size_t groups; /* groups that are called so */
    uint32_t first;
} row;

typedef struct looker {
    plan_reader r; /* for what names say */
    hr_plan_survey *survey;
    sum *sums;
    size_t *ends;   /* per node: one past the last node below it */
    uint8_t *shown; /* per node: drawn, and inside the layer that was asked for */
    bool *said;     /* per node: a name of it or above it speaks our own words */
    row *rows;
    size_t row_count, row_cap;
    hr_names *keys;
    hr_box box;
    double long_from;
} looker;

static double node_length(const hr_svg_drawing *d, const hr_svg_node *node, double long_from, double *long_length)
{
    double length = 0.0;
    *long_length = 0.0;
    for (size_t p = 0; p < node->path_count; p++) {
        const hr_svg_path *path = &d->paths[node->first_path + p];
        const hr_point *at = d->points + path->first;
        const size_t count = path->closed && path->count > 2 ? path->count : path->count - (path->count > 0);
        for (size_t i = 0; i < count; i++) {
            const double piece = hr_geometry_distance(at[i], at[(i + 1) % path->count]);
            length += piece;
            *long_length += piece >= long_from ? piece : 0.0;
        }
    }
    return length;
}

/* Round by its flag, or because its line ends where it began. */
static bool is_closed(const hr_svg_drawing *d, const hr_svg_node *node, double within)
{
    bool closed = node->path_count > 0;
    for (size_t p = 0; p < node->path_count; p++) {
        const hr_svg_path *path = &d->paths[node->first_path + p];
        const hr_point *at = d->points + path->first;
        closed = closed && path->count > 2 &&
                 (path->closed || hr_geometry_distance(at[0], at[path->count - 1]) <= within);
    }
    return closed;
}

/* Editors leave invisible boxes behind. */
static bool is_drawn(const looker *l, size_t node)
{
    const hr_svg_node *n = &l->r.drawing->nodes[node];
    return l->shown[node] != 0 && n->kind == HR_SVG_SHAPE && n->path_count > 0 && (n->stroke.set || n->fill.set);
}

static void find_shown(looker *l, size_t layer)
{
    const hr_svg_drawing *d = l->r.drawing;
    for (size_t i = 0; i < d->node_count; i++) {
        const hr_svg_node *n = &d->nodes[i];
        const bool inside = layer == SIZE_MAX || i == layer || (n->parent != SIZE_MAX && (l->shown[n->parent] & 2) != 0);
        const bool open = (n->parent == SIZE_MAX || (l->shown[n->parent] & 4) != 0 || i == layer) &&
                          (!n->display_none || i == layer);
        l->shown[i] = (uint8_t)((inside ? 2 : 0) | (open ? 4 : 0));
        l->ends[i] = i + 1;
    }
    for (size_t i = d->node_count; i-- > 0;) {
        const size_t parent = d->nodes[i].parent;
        if (parent != SIZE_MAX && l->ends[parent] < l->ends[i]) {
            l->ends[parent] = l->ends[i];
        }
        l->shown[i] = l->shown[i] == 6 && !d->nodes[i].invisible;
    }
}

static hr_status measure_all(looker *l)
{
    hr_svg_drawing *d = l->r.drawing;
    hr_status status = hr_svg_flatten(d, COARSE, l->r.err);
    if (status != HR_OK) {
        return status;
    }
    for (size_t i = 0; i < d->node_count; i++) {
        if (is_drawn(l, i)) {
            plan_box_add(&l->box, plan_node_box(&l->r, i));
        }
    }
    hr_plan_survey *s = l->survey;
    s->width = fmax(0.0, l->box.x1 - l->box.x0);
    s->height = fmax(0.0, l->box.y1 - l->box.y0);
    const double across = fmax(s->width, s->height);
    l->long_from = across * LONG_SHARE;
    status = hr_svg_flatten(d, across > 0.0 ? across * FINE_SHARE : COARSE, l->r.err);
    for (size_t i = 0; i < d->node_count && status == HR_OK; i++) {
        const hr_svg_node *n = &d->nodes[i];
        s->images += n->kind == HR_SVG_IMAGE && l->shown[i] != 0;
        if (is_drawn(l, i)) {
            sum *at = &l->sums[i];
            at->shapes = 1;
            at->closed = is_closed(d, n, across * FINE_SHARE);
            at->length = node_length(d, n, l->long_from, &at->long_length);
            s->shapes++;
            s->strokeless += !n->stroke.set;
            s->length += at->length;
        }
    }
    return status;
}

/* ---- texts and the closed shapes round them ---- */

static hr_status mark_smallest(looker *l, const plan_boxes *boxes, hr_point at, size_t *visits)
{
    plan_ids *ids = &l->r.ids;
    if (!plan_boxes_at(boxes, at, ids)) {
        return hr_fail_memory(l->r.err);
    }
    *visits += ids->count;
    uint32_t best = HR_PLAN_NONE;
    double best_area = 0.0;
    for (size_t i = 0; i < ids->count; i++) {
        const hr_box box = plan_node_box(&l->r, ids->at[i]);
        const double area = (box.x1 - box.x0) * (box.y1 - box.y0);
        if (best == HR_PLAN_NONE || area < best_area || (area <= best_area && ids->at[i] < best)) {
            best = ids->at[i];
            best_area = area;
        }
    }
    if (best != HR_PLAN_NONE) {
        l->sums[best].labelled = 1;
    }
    return HR_OK;
}

static hr_status place_texts(looker *l)
{
    const hr_svg_drawing *d = l->r.drawing;
    plan_boxes *boxes = plan_boxes_new(l->survey->shapes);
    if (boxes == NULL) {
        return hr_fail_memory(l->r.err);
    }
    for (size_t i = 0; i < d->node_count; i++) {
        if (l->sums[i].closed > 0) {
            plan_boxes_add(boxes, plan_node_box(&l->r, i), (uint32_t)i);
        }
    }
    hr_status status = plan_boxes_grow(boxes) ? HR_OK : hr_fail_memory(l->r.err);
    size_t visits = 0;
    for (size_t i = 0; i < d->label_count && status == HR_OK; i++) {
        if (l->shown[d->labels[i].node] != 0) {
            l->sums[d->labels[i].node].texts++;
            l->survey->texts++;
            if (visits < VISITS_MAX) {
                status = mark_smallest(l, boxes, d->labels[i].centre, &visits);
            }
        }
    }
    plan_boxes_free(boxes);
    return status;
}

static void add_up(looker *l)
{
    const hr_svg_drawing *d = l->r.drawing;
    for (size_t i = d->node_count; i-- > 0;) {
        if (d->nodes[i].parent != SIZE_MAX) {
            const sum *below = &l->sums[i];
            sum *to = &l->sums[d->nodes[i].parent];
            to->shapes += below->shapes;
            to->closed += below->closed;
            to->labelled += below->labelled;
            to->texts += below->texts;
            to->length += below->length;
            to->long_length += below->long_length;
        }
    }
}

/* ---- rows ---- */

static hr_status find_row(looker *l, hr_map_select select, const char *name, row **found)
{
    hr_text key = {0};
    hr_text_addf(&key, "%d %s", (int)select, name);
    size_t at = key.failed ? SIZE_MAX : hr_names_find(l->keys, key.bytes);
    hr_status status = key.failed ? hr_fail_memory(l->r.err) : HR_OK;
    *found = NULL;
    if (status == HR_OK && at == SIZE_MAX && l->row_count < ROWS_MAX) {
        at = l->row_count;
        if (!HR_RESERVE(l->rows, l->row_cap, at + 1) || !hr_names_add(l->keys, key.bytes, at)) {
            status = hr_fail_memory(l->r.err);
        } else {
            l->rows[at] = (row){.seen = {.select = select}, .first = (uint32_t)at};
            l->rows[at].seen.name = hr_arena_strdup(l->survey->arena, name);
            l->row_count++;
            status = l->rows[at].seen.name != NULL ? HR_OK : hr_fail_memory(l->r.err);
        }
    }
    hr_text_free(&key);
    *found = status == HR_OK && at != SIZE_MAX ? &l->rows[at] : NULL;
    return status;
}

static void count_node(const looker *l, row *to, size_t node)
{
    if (node < to->end) {
        return; /* below a node of the same name */
    }
    const sum *at = &l->sums[node];
    to->end = l->ends[node];
    to->free = to->free || !l->said[node];
    to->groups += l->r.drawing->nodes[node].kind == HR_SVG_GROUP;
    to->seen.shapes += at->shapes;
    to->seen.closed += at->closed;
    to->seen.labelled += at->labelled;
    to->seen.texts += at->texts;
    to->seen.length += at->length;
    to->seen.long_length += at->long_length;
}

static hr_status see(looker *l, hr_map_select select, const char *name, size_t node)
{
    row *to = NULL;
    const hr_status status = find_row(l, select, name, &to);
    if (to != NULL) {
        count_node(l, to, node);
    }
    return status;
}

/* The name that a `map = layer` line would use. */
static bool layer_name(const hr_svg_node *n, char *name, size_t size)
{
    const char *const texts[] = {plan_label_of(n), plan_title_of(n), n->data_name};
    for (size_t i = 0; i < 3; i++) {
        if (texts[i] != NULL && plan_fold(texts[i], strlen(texts[i]), name, size) && name[0] != '\0') {
            return true;
        }
    }
    if (n->id == NULL || n->id[0] == '\0' || n->parent == SIZE_MAX) {
        return false;
    }
    /* a layer that lost its name still has the id its editor gave it */
    const bool top = n->parent == 0 && n->kind == HR_SVG_GROUP;
    if (plan_is_automatic(n->id) && !top && n->id[strlen(n->id) - 1] != '_') {
        return false;
    }
    if (!plan_decode_id(n->id, name, size) || name[0] == '\0') {
        return false;
    }
    if (n->id[strlen(n->id) - 1] == '_') {
        (void)plan_strip_suffix(name); /* LINE_12_ is the twelfth LINE */
    }
    return true;
}

static hr_status see_classes(looker *l, size_t node)
{
    char token[PLAN_WORD_MAX];
    hr_status status = HR_OK;
    for (const char *at = l->r.drawing->nodes[node].classes; at != NULL && *at != '\0' && status == HR_OK;) {
        at += strspn(at, " \t\r\n\f");
        const size_t len = strcspn(at, " \t\r\n\f");
        if (len > 0 && len < sizeof token) {
            memcpy(token, at, len);
            token[len] = '\0';
            status = see(l, HR_MAP_CLASS, token, node);
        }
        at += len;
    }
    return status;
}

static hr_status see_stroke(looker *l, size_t node)
{
    const hr_svg_paint paint = l->r.drawing->nodes[node].stroke;
    hr_text name = {0};
    hr_text_addf(&name, "#%02x%02x%02x", paint.r, paint.g, paint.b);
    row *to = NULL;
    const hr_status status =
        name.failed ? hr_fail_memory(l->r.err) : find_row(l, HR_MAP_STROKE, name.bytes, &to);
    hr_text_free(&name);
    if (to != NULL) {
        to->seen.stroke = paint;
        count_node(l, to, node);
    }
    return status;
}

static hr_status see_node(looker *l, size_t i)
{
    const hr_svg_node *n = &l->r.drawing->nodes[i];
    if (l->shown[i] == 0 || (l->sums[i].shapes == 0 && l->sums[i].texts == 0) || n->kind == HR_SVG_IMAGE) {
        return HR_OK;
    }
    char name[PLAN_WORD_MAX];
    hr_status status = layer_name(n, name, sizeof name) ? see(l, HR_MAP_LAYER, name, i) : HR_OK;
    if (status == HR_OK) {
        status = see_classes(l, i);
    }
    return status == HR_OK && is_drawn(l, i) && n->stroke.set ? see_stroke(l, i) : status;
}

/* What names say in our own words already. */
static hr_status see_meaning(looker *l, size_t i)
{
    const hr_svg_node *n = &l->r.drawing->nodes[i];
    plan_meaning m;
    hr_error why = {0};
    l->said[i] = n->parent != SIZE_MAX && l->said[n->parent];
    const plan_found found = l->shown[i] != 0 ? plan_name_of(&l->r, n, &m, &why) : PLAN_NOTHING;
    if (why.status == HR_ERR_MEMORY) {
        return hr_fail_memory(l->r.err);
    }
    char name[PLAN_WORD_MAX];
    if (found != PLAN_FOUND && found != PLAN_WEAK) {
        return HR_OK;
    }
    l->said[i] = true;
    if (m.kind == HR_PLAN_SCALE && l->survey->scale == NULL) {
        l->survey->scale = m.written;
    }
    row *to = NULL;
    hr_status status = layer_name(n, name, sizeof name) ? find_row(l, HR_MAP_LAYER, name, &to) : HR_OK;
    if (to != NULL) {
        to->seen.says = m.written;
    }
    if (status == HR_OK && to == NULL && n->classes != NULL && strlen(n->classes) < sizeof name) {
        status = find_row(l, HR_MAP_CLASS, m.written, &to);
        if (to != NULL) {
            to->seen.says = m.written;
        }
    }
    return status;
}

static int compare_rows(const void *left, const void *right)
{
    const row *a = left, *b = right;
    if (a->seen.select != b->seen.select) {
        return a->seen.select < b->seen.select ? -1 : 1;
    }
    if (a->seen.length < b->seen.length || a->seen.length > b->seen.length) {
        return a->seen.length > b->seen.length ? -1 : 1;
    }
    return a->first < b->first ? -1 : a->first > b->first;
}

/* Names of one shape only are no layers; the rest goes into the survey. */
static hr_status keep_rows(looker *l)
{
    if (l->row_count > 0) {
        qsort(l->rows, l->row_count, sizeof *l->rows, compare_rows);
    }
    hr_plan_survey *s = l->survey;
    s->seen = hr_arena_alloc(s->arena, l->row_count + 1, sizeof *s->seen);
    if (s->seen == NULL) {
        return hr_fail_memory(l->r.err);
    }
    for (size_t i = 0; i < l->row_count; i++) {
        const row *from = &l->rows[i];
        const bool alone = from->groups == 0 && from->seen.shapes < 2 && from->seen.says == NULL;
        if ((from->seen.shapes > 0 || from->seen.texts > 0) && !(from->seen.select == HR_MAP_LAYER && alone)) {
            s->seen[s->seen_count] = from->seen;
            s->seen[s->seen_count].inside = !from->free;
            s->seen[s->seen_count].name = from->seen.select == HR_MAP_STROKE ? NULL : from->seen.name;
            s->seen_count++;
        }
    }
    return HR_OK;
}

static size_t find_layer(const looker *l, const char *layer)
{
    const hr_svg_drawing *d = l->r.drawing;
    for (size_t i = 0; layer != NULL && i < d->node_count; i++) {
        if (d->nodes[i].kind == HR_SVG_GROUP && plan_is_called(&d->nodes[i], layer)) {
            return i;
        }
    }
    return SIZE_MAX;
}

static void measure_page(const hr_svg_drawing *d, hr_plan_survey *s)
{
    if (d->width_mm > 0.0) {
        s->unit_mm = d->view_w > 0.0 ? d->width_mm / d->view_w : 25.4 / 96.0;
    }
}

static hr_status look(looker *l, const char *layer)
{
    hr_svg_drawing *d = l->r.drawing;
    l->sums = hr_alloc_zero(d->node_count, sizeof *l->sums);
    l->ends = hr_alloc(d->node_count, sizeof *l->ends);
    l->shown = hr_alloc_zero(d->node_count, sizeof *l->shown);
    l->said = hr_alloc_zero(d->node_count, sizeof *l->said);
    l->keys = hr_names_new();
    if (l->sums == NULL || l->said == NULL || l->ends == NULL || l->shown == NULL || l->keys == NULL) {
        return hr_fail_memory(l->r.err);
    }
    const size_t inside = find_layer(l, layer);
    l->survey->layer_found = layer == NULL || inside != SIZE_MAX;
    find_shown(l, inside);
    measure_page(d, l->survey);
    hr_status status = measure_all(l);
    if (status == HR_OK) {
        status = place_texts(l);
    }
    if (status == HR_OK) {
        add_up(l);
    }
    for (size_t i = 0; i < d->node_count && status == HR_OK; i++) {
        status = see_meaning(l, i);
        if (status == HR_OK) {
            status = see_node(l, i);
        }
    }
    return status == HR_OK ? keep_rows(l) : status;
}

hr_status hr_plan_look(hr_svg_drawing *drawing, const char *layer, const hr_materials *materials,
                       hr_plan_survey **survey, hr_error *err)
{
    if (drawing == NULL || materials == NULL || survey == NULL) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "a drawing, materials and a survey were expected");
    }
    hr_arena *arena = hr_arena_new();
    hr_plan_survey *s = arena != NULL ? hr_arena_alloc(arena, 1, sizeof *s) : NULL;
    if (s == NULL) {
        hr_arena_free(arena);
        return hr_fail_memory(err);
    }
    const hr_plan_options none = {0};
    *s = (hr_plan_survey){.arena = arena};
    s->file = hr_arena_strdup(arena, drawing->file != NULL ? drawing->file : "");
    s->layer = layer != NULL ? hr_arena_strdup(arena, layer) : NULL;
    looker l = {.r = {.drawing = drawing, .options = &none, .materials = materials, .err = err, .arena = arena},
                .survey = s,
                .box = hr_geometry_box(NULL, 0)};
    hr_status status = s->file == NULL || (layer != NULL && s->layer == NULL) ? hr_fail_memory(err) : look(&l, layer);
    if (status == HR_OK) {
        status = plan_choose(s, materials, err);
    }
    hr_free(l.sums);
    hr_free(l.ends);
    hr_free(l.shown);
    hr_free(l.said);
    hr_free(l.rows);
    hr_free(l.r.ids.at);
    hr_names_free(l.keys);
    if (status != HR_OK) {
        hr_arena_free(arena);
        return status;
    }
    *survey = s;
    return HR_OK;
}

void hr_plan_survey_free(hr_plan_survey *survey)
{
    if (survey != NULL) {
        hr_arena_free(survey->arena);
    }
}
