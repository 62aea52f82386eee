/*
 * suggest.c - `read --suggest`: what drawings are made of, as comments, and a
 * [drawing] section to edit. Every line reads back as a property file's.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

#include <stdio.h>
#include <string.h>

/* The property file's reader takes lines of this many bytes; a margin for what people add. */
#define LINE_MAX_BYTES 180
#define NAME_SHOWN 40
#define ROWS_SHOWN 20
/* Guesses that stand as comments, for taking in. */
#define SPARE_MAX 12

typedef struct suggesting {
    const hr_plan_survey *const *surveys;
    size_t count;
    hr_text *out;
    hr_names *said; /* selectors that have a line already */
} suggesting;

/* Bytes of a control character at text (DEL, U+0080 to U+009F), which a terminal might obey; 0: none. */
static size_t control_at(const char *text)
{
    const unsigned char *at = (const unsigned char *)text;
    return at[0] < 0x20 || at[0] == 0x7F ? 1 : at[0] == 0xC2 && at[1] >= 0x80 && at[1] < 0xA0 ? 2 : 0;
}

/* text, cut at a character's edge, control characters left out. */
static void add_name(hr_text *out, const char *text)
{
    size_t len = strlen(text), kept = len;
    if (len > NAME_SHOWN) {
        kept = NAME_SHOWN;
        while (kept > 0 && ((unsigned char)text[kept] & 0xC0) == 0x80) {
            kept--;
        }
    }
    for (size_t i = 0; i < kept;) {
        const size_t skipped = control_at(text + i);
        hr_text_add_n(out, text + i, skipped == 0 ? 1 : 0);
        i += skipped > 0 ? skipped : 1;
    }
    hr_text_add(out, kept < len ? "..." : "");
}

static bool has_control(const char *text)
{
    for (; *text != '\0'; text++) {
        if (control_at(text) > 0) {
            return true;
        }
    }
    return false;
}

static void add_colour(hr_text *out, hr_svg_paint paint)
{
    hr_text_addf(out, "#%02x%02x%02x", paint.r, paint.g, paint.b);
}

/* Every line as a comment. */
static void add_commented(hr_text *out, const hr_text *lines)
{
    if (lines->failed) {
        out->failed = true;
        return;
    }
    for (const char *at = lines->bytes; at != NULL && *at != '\0';) {
        const size_t len = strcspn(at, "\n");
        hr_text_add(out, ";");
        hr_text_add_n(out, at, len);
        hr_text_add(out, "\n");
        at += len + (at[len] == '\n');
    }
}

static void add_row(report_table *table, const hr_plan_seen *seen)
{
    hr_text name = {0};
    if (seen->select == HR_MAP_STROKE) {
        add_colour(&name, seen->stroke);
    } else {
        add_name(&name, seen->name);
    }
    report_table_cell(table, report_words(&table->cells, &name));
    hr_text_free(&name);
    report_table_count(table, seen->shapes);
    report_table_count(table, seen->closed);
    report_table_count(table, seen->labelled);
    report_table_count(table, seen->texts);
    report_table_fixed(table, seen->length, 1);
    report_table_fixed(table, seen->long_length, 1);
    hr_text says = {0};
    if (seen->says != NULL) {
        hr_text_add(&says, "says ");
        add_name(&says, seen->says);
    }
    report_table_cell(table, seen->says != NULL ? report_words(&table->cells, &says) : seen->target);
    hr_text_free(&says);
}

static void add_rows(suggesting *s, const hr_plan_survey *survey, hr_map_select select, const char *head)
{
    const char *const heads[] = {head, ">shapes", ">closed", ">round a text", ">texts", ">length", ">in long lines",
                                 "may stand for"};
    report_table table;
    size_t rows = 0;
    for (size_t i = 0; i < survey->seen_count; i++) {
        const hr_plan_seen *seen = &survey->seen[i];
        if (seen->select != select) {
            continue;
        }
        if (rows == 0) {
            report_table_start(&table, heads, 8);
        }
        if (rows++ < ROWS_SHOWN) {
            add_row(&table, seen);
        }
    }
    if (rows == 0) {
        hr_text_addf(s->out, ";  no %s\n", head);
        return;
    }
    hr_text lines = {0};
    report_table_end(&table, &lines);
    add_commented(s->out, &lines);
    hr_text_free(&lines);
    if (rows > ROWS_SHOWN) {
        hr_text_addf(s->out, ";  and %zu more, all shorter\n", rows - ROWS_SHOWN);
    }
}

static void add_survey(suggesting *s, const hr_plan_survey *v)
{
    char width[HR_FIXED_MAX], height[HR_FIXED_MAX];
    const char *slash = strrchr(v->file, '/');
    hr_text_add(s->out, "; ");
    add_name(s->out, slash != NULL ? slash + 1 : v->file);
    hr_text_addf(s->out, ": %zu shapes, %zu texts; drawn extent %s x %s units\n", v->shapes, v->texts,
                 hr_fixed(v->width, 1, width), hr_fixed(v->height, 1, height));
    if (v->layer != NULL) {
        hr_text_add(s->out, v->layer_found ? "; inside the layer " : "; the whole drawing: it has no layer ");
        add_name(s->out, v->layer);
        hr_text_add(s->out, "\n");
    }
    if (v->images > 0) {
        hr_text_addf(s->out, "; pictures inside: %zu; a picture holds no walls: draw or trace lines over it\n",
                     v->images);
    }
    add_rows(s, v, HR_MAP_LAYER, "layers");
    add_rows(s, v, HR_MAP_CLASS, "classes");
    add_rows(s, v, HR_MAP_STROKE, "stroke colours");
    if (v->strokeless > 0) {
        hr_text_addf(s->out, ";  filled without a stroke: %zu shapes, which can be selected by layer or class only\n",
                     v->strokeless);
    }
    hr_text_add(s->out, ";\n");
}

/* What a map line selects, as one line; false: it cannot be written so. */
static bool add_selector(hr_text *line, const hr_plan_seen *seen)
{
    if (seen->select == HR_MAP_STROKE) {
        hr_text_add(line, "map = stroke ");
        add_colour(line, seen->stroke);
        return true;
    }
    if (strchr(seen->name, '"') != NULL || strstr(seen->name, " ;") != NULL || has_control(seen->name)) {
        return false;
    }
    hr_text_addf(line, "map = %s \"%s\"", seen->select == HR_MAP_LAYER ? "layer" : "class", seen->name);
    return true;
}

/* One map line, once for all plans. True: it was written. */
static bool add_map(suggesting *s, const hr_plan_seen *seen, const char *target, const char *reason, bool spare)
{
    hr_text line = {0};
    bool writes = add_selector(&line, seen) && !line.failed && hr_names_find(s->said, line.bytes) == SIZE_MAX;
    if (writes) {
        s->out->failed = s->out->failed || !hr_names_add(s->said, line.bytes, 0);
        hr_text_addf(&line, " -> %s", target);
        writes = line.len <= LINE_MAX_BYTES;
    }
    if (writes && line.len + strlen(reason) + 5 <= LINE_MAX_BYTES) {
        hr_text_pad(&line, line.len < 58 ? 58 - line.len : 1);
        hr_text_addf(&line, " ; %s", reason);
    }
    s->out->failed = s->out->failed || line.failed;
    if (writes && !line.failed) {
        hr_text_addf(s->out, "%s%s\n", spare ? "; " : "", line.bytes);
    }
    hr_text_free(&line);
    return writes;
}

static size_t add_maps(suggesting *s, bool chosen, size_t most)
{
    size_t lines = 0;
    for (size_t i = 0; i < s->count; i++) {
        for (size_t k = 0; k < s->surveys[i]->seen_count && lines < most; k++) {
            const hr_plan_seen *seen = &s->surveys[i]->seen[k];
            if (seen->target != NULL && seen->chosen == chosen) {
                lines += add_map(s, seen, seen->target, seen->reason, !chosen);
            }
        }
    }
    return lines;
}

/* A plan that says everything itself, or has nothing to say: a line to start from all the same. */
static void add_sample(suggesting *s)
{
    for (size_t i = 0; i < s->count; i++) {
        for (size_t k = 0; k < s->surveys[i]->seen_count; k++) {
            const hr_plan_seen *seen = &s->surveys[i]->seen[k];
            if (seen->says != NULL && add_map(s, seen, seen->says, "the drawing says so itself: this changes nothing", false)) {
                return;
            }
        }
    }
    hr_text_add(s->out, "map = stroke #000000 -> walls: block-hollow                 ; nothing drawn was found to stand for walls\n");
}

/* The drawing whose scale is not known, else the first. */
static const hr_plan_survey *unscaled(const suggesting *s)
{
    for (size_t i = 0; i < s->count; i++) {
        if (s->surveys[i]->scale == NULL) {
            return s->surveys[i];
        }
    }
    return s->surveys[0];
}

/* One key for all drawings. */
static void add_scale_lines(suggesting *s)
{
    const hr_plan_survey *v = unscaled(s);
    const double across = v->width > v->height ? v->width : v->height;
    char unit[HR_FIXED_MAX], metres[HR_FIXED_MAX];
    if (v->scale != NULL) {
        hr_text_add(s->out, "; metres_per_unit is not needed: there is a line called ");
        add_name(s->out, v->scale);
        hr_text_add(s->out, "\n");
    } else if (v->unit_mm > 0.0) {
        hr_text_addf(s->out, "; a unit of the drawing is %s mm on paper: if it is drawn at 1:100, either of\n",
                     hr_short(v->unit_mm, 6, unit));
        hr_text_addf(s->out, "; drawn_at = 1:100\n; metres_per_unit = %s\n", hr_short(v->unit_mm * 0.1, 9, metres));
    } else {
        hr_text_add(s->out, "; no scale is known: measure something in the drawing whose true length you know,\n"
                            "; and write metres divided by units");
        if (across > 0.0) {
            hr_text_addf(s->out, " (were the %s units across 60 m, as below)", hr_fixed(across, 1, unit));
        }
        hr_text_addf(s->out, "\n; metres_per_unit = %s\n", hr_short(across > 0.0 ? 60.0 / across : 1.0, 9, metres));
    }
}

hr_status hr_report_suggest(const hr_plan_survey *const *surveys, size_t count, hr_text *out, hr_error *err)
{
    suggesting s = {.surveys = surveys, .count = count, .out = out, .said = hr_names_new()};
    if (s.said == NULL) {
        return hr_fail_memory(err);
    }
    bool rooms_are_walls = false;
    hr_text_add(out, "; radio coverage: what the drawings are made of; lengths in drawing units\n;\n");
    for (size_t i = 0; i < count; i++) {
        add_survey(&s, surveys[i]);
        rooms_are_walls = rooms_are_walls || surveys[i]->rooms_are_walls;
    }
    hr_text_add(out, "; Guesses to edit and put into the property file; nothing was applied. What is not mapped is no wall.\n"
                     "; A material is a guess by a word or a middle figure: `hallreach materials` lists all.\n\n[drawing]\n");
    add_scale_lines(&s);
    if (add_maps(&s, true, SIZE_MAX) == 0) {
        add_sample(&s);
    }
    (void)add_maps(&s, false, SPARE_MAX);
    hr_text_addf(out, "%srooms_are_walls = block-hollow                            ; only rooms are drawn: walls along their outlines\n",
                 rooms_are_walls ? "" : "; ");
    hr_text_add(out, "; wall_pairing = 0.3                                        ; each wall is drawn as two thin lines; 1 for feet\n");
    hr_names_free(s.said);
    return report_done(out, err);
}
