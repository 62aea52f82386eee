/*
 * drawing_field.c - the link margin between the devices: measured on a grid,
 * shown as squares or as lines of equal margin.
 *
 * SPDX-License-Identifier: MIT
 */
#include "drawing_priv.h"

#include <string.h>

/* Links that a whole property's fields may take, so that drawing stays a matter of seconds. */
#define LINKS_MAX 400000.0
#define LINKS_MAX_ROUTES 12000.0
#define STEP_M 0.5
#define LABEL_MM 1.8
#define RING_STEPS 3.0 /* a ring round one sample is no longer than this without its last piece */
#define LABEL_LENGTH_MM 22.0

/* The kind the field stands for: the first that joins gateways. */
static uint32_t field_kind(const hr_building *b)
{
    for (uint32_t k = 0; k < b->kind_count; k++) {
        if (b->kinds[k].joins == HR_JOINS_GATEWAY) {
            return k;
        }
    }
    return 0;
}

double hr_report_drawing_step_m(const hr_building *building, const hr_siting *siting)
{
    static const double steps[] = {STEP_M, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0};
    const double most = building->radio.model == HR_MODEL_ROUTES ? LINKS_MAX_ROUTES : LINKS_MAX;
    const double per_place = fmin((double)siting->gateway_count, 4.0);
    double area_m2 = 0.0;
    for (size_t i = 0; i < building->storey_count; i++) {
        const hr_plan *plan = building->storeys[i].plan;
        for (size_t k = 0; k < plan->space_count; k++) {
            area_m2 += plan->spaces[k].area_m2;
        }
    }
    size_t at = 0;
    while (at + 1 < sizeof steps / sizeof steps[0] && area_m2 * per_place / (steps[at] * steps[at]) > most) {
        at++;
    }
    return steps[at];
}

static hr_status measure(drawing *d, const hr_links *links, hr_error *err)
{
    const hr_siting *siting = d->siting;
    hr_site *sites = hr_alloc(siting->gateway_count, sizeof *sites);
    if (sites == NULL) {
        return hr_fail_memory(err);
    }
    for (size_t i = 0; i < siting->gateway_count; i++) {
        const hr_sited_gateway *g = &siting->gateways[i];
        sites[i] = (hr_site){.at = g->at, .z_m = g->z_m, .storey = g->storey};
    }
    const double step_m = d->options.step_m > 0.0 ? d->options.step_m : hr_report_drawing_step_m(d->building, siting);
    d->required_db = hr_links_required_margin_db(links);
    d->field_kind = field_kind(d->building);
    const hr_status status = hr_coverage_field_new(d->building, links, d->storey, d->field_kind, sites,
                                                   siting->gateway_count, step_m, &d->field, err);
    hr_free(sites);
    return status;
}

hr_status drawing_measure_field(drawing *d, hr_error *err)
{
    if (d->options.field == HR_DRAWING_NO_FIELD || d->building->kind_count == 0) {
        d->options.field = HR_DRAWING_NO_FIELD;
        return HR_OK;
    }
    if (d->options.links != NULL) {
        return measure(d, d->options.links, err);
    }
    hr_links *links = NULL;
    hr_status status = hr_links_new(d->building, &links, err);
    if (status == HR_OK) {
        status = measure(d, links, err);
    }
    hr_links_free(links);
    return status;
}

/* ---- squares ---- */

/* The band of a sample: 0 .. HR_REPORT_BANDS - 1, HR_REPORT_BANDS: short of what is required, SIZE_MAX: none. */
static size_t band_at(const drawing *d, size_t sample)
{
    const double margin_db = d->field->margin_db[sample];
    if (!d->field->on_floor[sample] || isnan(margin_db)) {
        return SIZE_MAX;
    }
    return margin_db < d->required_db ? HR_REPORT_BANDS : hr_report_band_of(margin_db - d->required_db);
}

/* Squares side by side are one rectangle. */
static void put_runs(drawing *d, size_t band)
{
    const hr_coverage_field *f = d->field;
    const double step = f->grid.step * DRAWING_UNITS_PER_M;
    for (size_t row = 0; row < f->grid.rows; row++) {
        for (size_t column = 0; column < f->grid.columns;) {
            size_t end = column;
            while (end < f->grid.columns && band_at(d, row * f->grid.columns + end) == band) {
                end++;
            }
            if (end == column) {
                column++;
                continue;
            }
            hr_text_add(d->out, "M");
            drawing_number(d, f->grid.first.x * DRAWING_UNITS_PER_M + step * ((double)column - 0.5));
            hr_text_add(d->out, ",");
            drawing_number(d, f->grid.first.y * DRAWING_UNITS_PER_M + step * ((double)row - 0.5));
            hr_text_add(d->out, "h");
            drawing_number(d, step * (double)(end - column));
            hr_text_add(d->out, "v");
            drawing_number(d, step);
            hr_text_add(d->out, "h");
            drawing_number(d, -step * (double)(end - column));
            hr_text_add(d->out, "z");
            column = end;
        }
    }
}

void drawing_grid(drawing *d)
{
    if (d->field == NULL || d->options.field != HR_DRAWING_GRID) {
        return;
    }
    drawing_open(d, "field", "ignore: link margin", "stroke=\"none\" shape-rendering=\"crispEdges\" pointer-events=\"none\"");
    for (size_t band = 0; band <= HR_REPORT_BANDS; band++) {
        if (band < HR_REPORT_BANDS) {
            hr_text_addf(d->out, "<path class=\"spare-%zu\" fill=\"%s\" d=\"", band, hr_report_spare_band(band)->fill);
        } else {
            hr_text_add(d->out, "<path class=\"unserved\"");
            drawing_put_url(d, "fill", "unserved");
            hr_text_add(d->out, " d=\"");
        }
        put_runs(d, band);
        hr_text_add(d->out, "\"/>\n");
    }
    drawing_close(d);
}

/* ---- lines ---- */

void drawing_clip(drawing *d)
{
    if (d->field == NULL || d->options.field != HR_DRAWING_CONTOURS) {
        return;
    }
    hr_text_add(d->out, "<clipPath");
    drawing_put_id(d, "floor");
    hr_text_add(d->out, ">");
    for (size_t i = 0; i < d->plan->space_count; i++) {
        const hr_region *region = &d->plan->spaces[i].region;
        hr_text_add(d->out, region->even_odd ? "<path clip-rule=\"evenodd\" d=\"" : "<path d=\"");
        for (size_t k = 0; k < region->ring_count; k++) {
            drawing_path(d, region->rings[k].points, region->rings[k].count, true);
        }
        hr_text_add(d->out, "\"/>");
    }
    hr_text_add(d->out, "</clipPath>\n");
}

#define NO_EDGE UINT32_MAX

/* One level's line pieces: each edge of the grid that the level crosses, and
 * the one or two edges its pieces lead to. Edge 2 * sample runs right from the
 * sample, 2 * sample + 1 down. */
typedef struct level_lines {
    const hr_coverage_field *field;
    double level_db;
    uint32_t *next;     /* two an edge */
    hr_point *points;   /* of the chain in hand */
    size_t point_count;
} level_lines;

static bool is_above(const level_lines *l, size_t sample)
{
    return l->field->margin_db[sample] >= l->level_db;
}

static hr_point point_on(const level_lines *l, uint32_t edge)
{
    const hr_coverage_field *f = l->field;
    const size_t from = edge / 2, to = edge % 2 == 0 ? from + 1 : from + f->grid.columns;
    const double a = f->margin_db[from], b = f->margin_db[to];
    const double share = (l->level_db - a) / (b - a);
    const size_t row = from / f->grid.columns, column = from % f->grid.columns;
    hr_point at = hr_geometry_grid_place(&f->grid, column, row);
    *(edge % 2 == 0 ? &at.x : &at.y) += share * f->grid.step;
    return at;
}

static void join(level_lines *l, uint32_t a, uint32_t b)
{
    l->next[2 * a + (l->next[2 * a] != NO_EDGE)] = b;
    l->next[2 * b + (l->next[2 * b] != NO_EDGE)] = a;
}

/* The pieces in one square of four samples. */
static void cross_square(level_lines *l, size_t sample)
{
    const hr_coverage_field *f = l->field;
    const size_t corners[] = {sample, sample + 1, sample + f->grid.columns + 1, sample + f->grid.columns};
    const uint32_t edges[] = {(uint32_t)(2 * sample), (uint32_t)(2 * (sample + 1) + 1),
                              (uint32_t)(2 * (sample + f->grid.columns)), (uint32_t)(2 * sample + 1)};
    uint32_t crossed[4];
    size_t count = 0;
    double sum = 0.0;
    for (size_t i = 0; i < 4; i++) {
        if (isnan(f->margin_db[corners[i]])) {
            return;
        }
        sum += f->margin_db[corners[i]];
        if (is_above(l, corners[i]) != is_above(l, corners[(i + 1) % 4])) {
            crossed[count++] = edges[i];
        }
    }
    if (count == 2) {
        join(l, crossed[0], crossed[1]);
    } else if (count == 4) {
        /* a saddle: the middle says which corners belong together */
        const bool together = (0.25 * sum >= l->level_db) == is_above(l, corners[0]);
        join(l, crossed[0], crossed[together ? 1 : 3]);
        join(l, crossed[2], crossed[together ? 3 : 1]);
    }
}

/* Leaves out points that lie on the line between their neighbours. */
static void add_point(level_lines *l, hr_point at)
{
    while (l->point_count >= 2) {
        const hr_segment line = {l->points[l->point_count - 2], at};
        if (hr_geometry_to_segment(l->points[l->point_count - 1], line, NULL) > 0.02) {
            break;
        }
        l->point_count--;
    }
    l->points[l->point_count++] = at;
}

/* Walks from an edge to the chain's end, unlinking what it passes; true: back where it began. */
static bool walk(level_lines *l, uint32_t start)
{
    uint32_t at = start, before = NO_EDGE;
    l->point_count = 0;
    for (;;) {
        add_point(l, point_on(l, at));
        const uint32_t a = l->next[2 * at], b = l->next[2 * at + 1];
        const uint32_t to = a != before && a != NO_EDGE ? a : b != before ? b : NO_EDGE;
        l->next[2 * at] = l->next[2 * at + 1] = NO_EDGE;
        if (to == NO_EDGE || to == start) {
            return to == start;
        }
        before = at;
        at = to;
    }
}

static double length_of(const level_lines *l)
{
    double length = 0.0;
    for (size_t i = 1; i < l->point_count; i++) {
        length += hr_geometry_distance(l->points[i - 1], l->points[i]);
    }
    return length;
}

/* The figure on a long line, where nothing else stands. */
static void put_level(drawing *d, const level_lines *l, hr_text *labels, const char *words)
{
    if (length_of(l) * DRAWING_UNITS_PER_M < LABEL_LENGTH_MM * d->mm) {
        return;
    }
    const double half_x = 0.5 * drawing_text_mm(words, LABEL_MM) * d->mm, half_y = 0.55 * LABEL_MM * d->mm;
    for (size_t i = 0; i < l->point_count; i++) {
        /* from the middle outward */
        const size_t at = (l->point_count + (i % 2 == 0 ? i : (size_t)-1 - i)) / 2 % l->point_count;
        const double x = l->points[at].x * DRAWING_UNITS_PER_M, y = l->points[at].y * DRAWING_UNITS_PER_M;
        const hr_box box = {x - half_x, y - half_y, x + half_x, y + half_y};
        if (hr_plan_space_at(d->plan, l->points[at]) != HR_PLAN_NONE && drawing_is_free(d, box)) {
            hr_text *out = d->out;
            d->out = labels;
            drawing_text(d, x, y + 0.35 * LABEL_MM * d->mm, LABEL_MM, "middle", DRAWING_CONTOUR_COLOUR, words);
            d->out = out;
            d->out->failed = d->out->failed || !drawing_take(d, box);
            return;
        }
    }
}

static void put_chains(drawing *d, level_lines *l, hr_text *labels, const char *words)
{
    const uint32_t edges = (uint32_t)(2 * l->field->grid.columns * l->field->grid.rows);
    for (int loops = 0; loops <= 1; loops++) {
        for (uint32_t edge = 0; edge < edges; edge++) {
            if (l->next[2 * edge] == NO_EDGE || (!loops && l->next[2 * edge + 1] != NO_EDGE)) {
                continue;
            }
            const bool closed = walk(l, edge);
            if (closed && l->point_count <= 4 && length_of(l) < RING_STEPS * l->field->grid.step) {
                continue;
            }
            drawing_path(d, l->points, l->point_count, closed);
            put_level(d, l, labels, words);
        }
    }
}

static void put_lines(drawing *d, level_lines *l, hr_text *labels, double above_db)
{
    const size_t samples = l->field->grid.columns * l->field->grid.rows;
    char number[HR_FIXED_MAX];
    hr_text words = {0};
    l->level_db = d->required_db + above_db;
    if (above_db < -0.5 * d->required_db) {
        l->level_db = 0.0;
        hr_text_add(&words, "margin 0");
    } else {
        hr_text_addf(&words, "+%s", hr_short(above_db, 0, number));
    }
    memset(l->next, 0xff, 4 * samples * sizeof *l->next);
    for (size_t row = 0; row + 1 < l->field->grid.rows; row++) {
        for (size_t column = 0; column + 1 < l->field->grid.columns; column++) {
            cross_square(l, row * l->field->grid.columns + column);
        }
    }
    hr_text_add(d->out, "<path");
    drawing_put_mm(d, "stroke-width", fabs(above_db) < 0.5 ? 0.5 : 0.2);
    hr_text_add(d->out, " data-margin=\"");
    hr_text_fixed(d->out, l->level_db, 1);
    hr_text_add(d->out, "\" d=\"");
    put_chains(d, l, labels, drawing_words(d, &words));
    hr_text_add(d->out, "\"/>\n");
    hr_text_free(&words);
}

/* The most margin on the floor. */
static double most_margin(const hr_coverage_field *f)
{
    double most = 0.0;
    for (size_t i = 0; i < f->grid.columns * f->grid.rows; i++) {
        most = f->on_floor[i] && f->margin_db[i] > most ? f->margin_db[i] : most;
    }
    return most;
}

void drawing_contours(drawing *d)
{
    if (d->field == NULL || d->options.field != HR_DRAWING_CONTOURS) {
        return;
    }
    const size_t samples = d->field->grid.columns * d->field->grid.rows;
    hr_text labels = {0};
    level_lines l = {.field = d->field};
    l.next = hr_alloc(4 * samples, sizeof *l.next);
    l.points = hr_alloc(2 * samples, sizeof *l.points);
    if (l.next == NULL || l.points == NULL) {
        d->out->failed = true;
    } else {
        drawing_group(d, "field");
        hr_text_add(d->out, "ignore: link margin\" fill=\"none\" stroke=\"" DRAWING_CONTOUR_COLOUR "\" pointer-events=\"none\"");
        drawing_put_url(d, "clip-path", "floor");
        hr_text_add(d->out, ">\n");
        put_lines(d, &l, &labels, -d->required_db);
        const double most = most_margin(d->field);
        for (double above = 0.0; d->required_db + above <= most; above += 10.0) {
            put_lines(d, &l, &labels, above);
        }
        drawing_close(d);
        drawing_group(d, "field-figures");
        hr_text_add(d->out, "ignore: figures of the link margin\" paint-order=\"stroke\" stroke=\"#ffffff\" stroke-linejoin=\"round\" "
                            "pointer-events=\"none\"");
        drawing_put_mm(d, "stroke-width", 0.5);
        hr_text_add(d->out, ">\n");
        hr_text_add(d->out, drawing_words(d, &labels));
        drawing_close(d);
    }
    hr_free(l.next);
    hr_free(l.points);
    hr_text_free(&labels);
}
