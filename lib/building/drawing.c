/*
 * drawing.c - how plans are read: the keys of [drawing] or of a storey's own
 * section, and the reading itself, each plan once.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

#include <math.h>
#include <string.h>

static const char *skip_blanks(const char *at)
{
    return at + strspn(at, " \t");
}

/* `layer "NAME"`: the quoted text; the place after it, NULL when there is none. */
static const char *take_quoted(building_reader *r, const char *at, const char **text)
{
    if (*at != '"') {
        return NULL;
    }
    const char *close = strchr(at + 1, '"');
    if (close == NULL || close == at + 1) {
        return NULL;
    }
    *text = hr_arena_strndup(r->arena, at + 1, (size_t)(close - at - 1));
    return close + 1;
}

/* `stroke #rrggbb`: the colour; the place after it, NULL when it is none. */
static const char *take_colour(const char *at, hr_svg_paint *paint)
{
    char word[32] = {0};
    const size_t len = strcspn(at, " \t");
    if (len == 0 || len >= sizeof word) {
        return NULL;
    }
    memcpy(word, at, len);
    return hr_svg_colour(word, paint) && paint->set ? at + len : NULL;
}

/* layer "NAME" | class "NAME" | stroke #rrggbb -> KIND: VALUE */
static hr_status parse_map(building_reader *r, const building_entry *entry, hr_plan_map *map)
{
    static const char *const words[] = {"layer", "class", "stroke"};
    *map = (hr_plan_map){.line = entry->line};
    const char *at = NULL;
    for (int i = 0; i < 3; i++) {
        const size_t len = strlen(words[i]);
        const char *after = entry->value + (hr_caseeq_n(entry->value, words[i], len) ? len : 0);
        if (after > entry->value && (*after == ' ' || *after == '\t' || *after == '"')) {
            map->select = (hr_map_select)i;
            at = skip_blanks(after);
            break;
        }
    }
    if (at == NULL) {
        return building_fail_entry(r, entry, "layer \"NAME\", class \"NAME\" or stroke #rrggbb was expected first");
    }
    const bool colour = map->select == HR_MAP_STROKE;
    at = colour ? take_colour(at, &map->stroke) : take_quoted(r, at, &map->text);
    if (at == NULL) {
        return building_fail_entry(r, entry,
                                   colour ? "a colour was expected after stroke, like #ff0000"
                                          : "a name in double quotes was expected (a blank and ; start a comment)");
    }
    if (!colour && map->text == NULL) {
        return hr_fail_memory(r->err);
    }
    at = skip_blanks(at);
    if (at[0] != '-' || at[1] != '>' || *skip_blanks(at + 2) == '\0') {
        return building_fail_entry(r, entry, "-> KIND: VALUE was expected after what is selected");
    }
    map->target = skip_blanks(at + 2);
    return HR_OK;
}

static hr_status parse_maps(building_reader *r, size_t section, const hr_plan_map **maps, size_t *count)
{
    size_t found = 0;
    for (const building_entry *e = building_entry_of(r, section, "map"); e != NULL; e = building_entry_next(r, e)) {
        found++;
    }
    hr_plan_map *list = hr_arena_alloc(r->arena, found + 1, sizeof *list);
    if (list == NULL) {
        return hr_fail_memory(r->err);
    }
    size_t filled = 0;
    for (const building_entry *e = building_entry_of(r, section, "map"); e != NULL; e = building_entry_next(r, e)) {
        const hr_status status = parse_map(r, e, &list[filled++]);
        if (status != HR_OK) {
            return status;
        }
    }
    *maps = list;
    *count = found;
    return HR_OK;
}

hr_status building_read_maps(building_reader *r)
{
    return parse_maps(r, building_section_of(r, BUILDING_DRAWING), &r->maps, &r->map_count);
}

/* The entry that a drawing key of a storey comes from: its own section's, else [drawing]'s. */
static const building_entry *drawing_entry(const building_reader *r, const building_storey_section *s, const char *key)
{
    const building_entry *own = building_entry_of(r, s->section, key);
    return own != NULL ? own : building_entry_of(r, building_section_of(r, BUILDING_DRAWING), key);
}

/* drawn_at = 1:100 */
static hr_status read_drawn_at(building_reader *r, const building_storey_section *s, double *ratio)
{
    const building_entry *entry = drawing_entry(r, s, "drawn_at");
    if (entry == NULL) {
        return HR_OK;
    }
    const char *colon = strchr(entry->value, ':');
    char one[8] = {0};
    double left = 0.0, right = 0.0;
    const size_t width = colon == NULL ? 0 : (size_t)(colon - entry->value);
    if (width > 0 && width < sizeof one) {
        memcpy(one, entry->value, width);
    }
    if (colon == NULL || !hr_number_parse(one, &left) || !hr_number_parse(colon + 1, &right) ||
        !(left >= 1.0 && left <= 1.0) || !(right >= 1.0 && right <= 100000.0)) {
        return building_fail_entry(r, entry, "a scale like 1:100 was expected, 1:1 to 1:100000");
    }
    *ratio = right;
    return HR_OK;
}

static hr_status read_rooms_are_walls(building_reader *r, const building_storey_section *s, const char **material)
{
    const building_entry *entry = drawing_entry(r, s, "rooms_are_walls");
    if (entry == NULL || hr_casecmp(entry->value, "off") == 0) {
        return HR_OK;
    }
    if (hr_materials_find(r->b->materials, entry->value) == SIZE_MAX) {
        return building_fail_material(r, entry, " or off");
    }
    *material = entry->value;
    return HR_OK;
}

/* "all.svg#Level 2" */
static hr_status read_plan_path(building_reader *r, building_storey_section *s)
{
    const building_entry *entry = building_entry_of(r, s->section, "plan");
    const char *hash = strchr(entry->value, '#');
    const size_t len = hash == NULL ? strlen(entry->value) : (size_t)(hash - entry->value);
    if (len == 0 || (len == 1 && entry->value[0] == '-')) {
        return building_fail_entry(r, entry, "the name of a drawing was expected");
    }
    if (hash != NULL && *skip_blanks(hash + 1) == '\0') {
        return building_fail_entry(r, entry, "the name of a layer was expected after #");
    }
    char *name = hr_strndup(entry->value, len);
    char *path = name == NULL ? NULL : hr_path_beside(r->file, name);
    s->path = path == NULL ? NULL : hr_arena_strdup(r->arena, path);
    hr_free(name);
    hr_free(path);
    s->layer = hash == NULL ? NULL : skip_blanks(hash + 1);
    return s->path == NULL ? hr_fail_memory(r->err) : HR_OK;
}

/* The kinds that a plan may draw. Any, when a property is only read: what is not known is left out with a note. */
static hr_status list_kinds(building_reader *r, hr_plan_options *options)
{
    const hr_building *b = r->b;
    if (r->options.lenient) {
        return HR_OK;
    }
    const char **names = hr_arena_alloc(r->arena, b->kind_count, sizeof *names);
    if (names == NULL) {
        return hr_fail_memory(r->err);
    }
    for (size_t i = 0; i < b->kind_count; i++) {
        names[i] = b->kinds[i].name;
    }
    options->device_kinds = names;
    options->device_kind_count = b->kind_count;
    return HR_OK;
}

static double first_given(double own, double shared)
{
    const double value = isnan(own) ? shared : own;
    return isnan(value) ? 0.0 : value;
}

hr_status building_storey_options(building_reader *r, building_storey_section *s)
{
    hr_plan_options *o = &s->options;
    *o = (hr_plan_options){.property_file = r->b->file,
                           .metres_per_unit = first_given(s->keys.drawing.metres_per_unit, r->drawing.metres_per_unit),
                           .wall_pairing_m = first_given(s->keys.drawing.wall_pairing_m, r->drawing.wall_pairing_m),
                           .keep_left = r->options.keep_left,
                           .lenient = r->options.lenient};
    hr_status status = read_plan_path(r, s);
    o->layer = s->layer;
    if (status == HR_OK) {
        status = parse_maps(r, s->section, &o->maps, &o->map_count);
    }
    if (status == HR_OK && o->map_count == 0) {
        o->maps = r->maps;
        o->map_count = r->map_count;
    }
    if (status == HR_OK) {
        status = read_drawn_at(r, s, &o->drawn_at);
    }
    if (status == HR_OK) {
        status = read_rooms_are_walls(r, s, &o->rooms_are_walls);
    }
    return status == HR_OK ? list_kinds(r, o) : status;
}

static bool same_text(const char *a, const char *b)
{
    return a == b || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

static bool same_number(double a, double b)
{
    return a >= b && a <= b;
}

static bool same_plan(const building_storey_section *a, const building_storey_section *b)
{
    const hr_plan_options *x = &a->options, *y = &b->options;
    return same_text(a->path, b->path) && same_text(a->layer, b->layer) && x->maps == y->maps &&
           same_number(x->metres_per_unit, y->metres_per_unit) && same_number(x->drawn_at, y->drawn_at) &&
           same_number(x->wall_pairing_m, y->wall_pairing_m) && same_text(x->rooms_are_walls, y->rooms_are_walls);
}

/* One drawing kept while storeys take layer after layer of it. */
typedef struct drawing_cache {
    const char *path;
    hr_svg_drawing *drawing;
} drawing_cache;

static const hr_building_file *in_memory(const hr_building_options *options, const char *path)
{
    for (size_t i = 0; i < options->file_count; i++) {
        if (strcmp(options->files[i].path, path) == 0) {
            return &options->files[i];
        }
    }
    return NULL;
}

static hr_status load_drawing(building_reader *r, const building_storey_section *s, drawing_cache *cache)
{
    if (cache->path != NULL && strcmp(cache->path, s->path) == 0) {
        return HR_OK;
    }
    hr_svg_free(cache->drawing);
    *cache = (drawing_cache){0};
    const building_section *section = &r->sections[s->section];
    char *bytes = NULL;
    size_t len = 0;
    hr_error inner = {0};
    const hr_building_file *file = in_memory(&r->options, s->path);
    hr_status status = file != NULL ? HR_OK : hr_file_read(s->path, HR_MAX_FILE_BYTES, &bytes, &len, &inner);
    if (status != HR_OK) {
        return hr_fail(r->err, status, inner.file, inner.line, "%s (the plan of [%s], %s:%d)", inner.text,
                       section->title, r->file, section->line);
    }
    status = hr_svg_read(s->path, file != NULL ? file->bytes : bytes, file != NULL ? file->len : len, r->notes,
                         &cache->drawing, r->err);
    hr_free(bytes);
    if (status == HR_OK) {
        cache->path = s->path;
    }
    return status;
}

static hr_status check_plan(const building_reader *r, const hr_plan *plan)
{
    if (!r->options.lenient && plan->wall_count == 0 && plan->solid_count == 0) {
        return hr_fail(r->err, HR_ERR_INPUT, plan->file, 0,
                       "plan has no walls: lines in a group named `walls: MATERIAL` were expected");
    }
    return HR_OK;
}

static hr_status read_plan(building_reader *r, building_storey_section *s, drawing_cache *cache)
{
    hr_building *b = r->b;
    hr_status status = load_drawing(r, s, cache);
    if (status != HR_OK) {
        return status;
    }
    hr_plan *plan = NULL;
    status = hr_plan_from_drawing(cache->drawing, &s->options, b->materials, r->notes, &plan, r->err);
    if (status == HR_OK) {
        s->plan = b->plan_count;
        b->plans[b->plan_count++] = plan;
        status = check_plan(r, plan);
    }
    return status;
}

hr_status building_read_plans(building_reader *r)
{
    hr_building *b = r->b;
    b->plans = hr_alloc_zero(r->storey_section_count, sizeof *b->plans);
    hr_status status = b->plans == NULL ? hr_fail_memory(r->err) : HR_OK;
    drawing_cache cache = {0};
    for (size_t i = 0; i < r->storey_section_count && status == HR_OK; i++) {
        building_storey_section *s = &r->storey_sections[i];
        size_t same = 0;
        while (same < i && !same_plan(&r->storey_sections[same], s)) {
            same++;
        }
        if (same < i) {
            s->plan = r->storey_sections[same].plan;
        } else {
            status = read_plan(r, s, &cache);
        }
        for (size_t k = s->first; k < s->first + s->count && status == HR_OK; k++) {
            b->storeys[k].plan = b->plans[s->plan];
            b->storeys[k].plan_index = (uint32_t)s->plan;
        }
    }
    hr_svg_free(cache.drawing);
    return status;
}
