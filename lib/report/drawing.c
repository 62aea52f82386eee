/*
 * drawing.c - a storey as an SVG drawing: page, title, and the layers in their
 * order. The drawing is a plan again: its layers carry the names that the
 * reader of plans knows, and what is for people only stands in `ignore`.
 *
 * SPDX-License-Identifier: MIT
 */
#include "drawing_priv.h"

#include <string.h>

/* The plan is to fit on a sheet of this size (A3 with margins), millimetres. */
#define SHEET_LONG_MM 380.0
#define SHEET_SHORT_MM 250.0
/* A result has figures in its rooms: A1 rather than smaller than 1:200, and never larger than 1:50. */
#define RESULT_LONG_MM 800.0
#define RESULT_SHORT_MM 560.0
#define RESULT_PAPER_MIN 50.0
#define RESULT_PAPER_A3_MAX 200.0
#define MARGIN_MM 10.0
#define TITLE_MM 20.0
#define TITLE_HEAD_MM 11.0 /* a result's: down to the foot of its first line, and a gap below the last */
#define TITLE_LINE_MM 4.0
#define LEGEND_ROW_MM 5.0
#define WIDTH_MIN_MM 190.0
#define HEAD_MM 5.0
#define HEAD_LEAST_MM 3.2
#define BESIDE_SHARE 0.25

void drawing_number(drawing *d, double units)
{
    char number[HR_FIXED_MAX];
    hr_text_add(d->out, hr_short(units, 2, number));
}

void drawing_put_mm(drawing *d, const char *attribute, double mm)
{
    hr_text_addf(d->out, " %s=\"", attribute);
    drawing_number(d, mm * d->mm);
    hr_text_add(d->out, "\"");
}

void drawing_at(drawing *d, hr_point metres)
{
    drawing_number(d, metres.x * DRAWING_UNITS_PER_M);
    hr_text_add(d->out, ",");
    drawing_number(d, metres.y * DRAWING_UNITS_PER_M);
}

void drawing_path(drawing *d, const hr_point *points, size_t count, bool closed)
{
    for (size_t i = 0; i < count; i++) {
        hr_text_add(d->out, i == 0 ? "M" : " ");
        drawing_at(d, points[i]);
    }
    hr_text_add(d->out, closed && count > 0 ? "Z" : "");
}

void drawing_region(drawing *d, const hr_region *region)
{
    hr_text_add(d->out, region->even_odd ? " fill-rule=\"evenodd\" d=\"" : " d=\"");
    for (size_t i = 0; i < region->ring_count; i++) {
        drawing_path(d, region->rings[i].points, region->rings[i].count, true);
    }
    hr_text_add(d->out, "\"");
}

void drawing_text(drawing *d, double x, double y, double size_mm, const char *anchor, const char *colour,
                  const char *text)
{
    hr_text_add(d->out, "<text");
    if (d->text_class != NULL) {
        hr_text_addf(d->out, " class=\"%s\"", d->text_class);
    }
    hr_text_add(d->out, " x=\"");
    drawing_number(d, x);
    hr_text_add(d->out, "\" y=\"");
    drawing_number(d, y);
    hr_text_addf(d->out, "\" text-anchor=\"%s\" fill=\"%s\"", anchor, colour);
    drawing_put_mm(d, "font-size", size_mm);
    hr_text_add(d->out, ">");
    hr_text_xml(d->out, text);
    hr_text_add(d->out, "</text>\n");
}

void drawing_group(drawing *d, const char *id)
{
    hr_text_addf(d->out, d->options.embedded ? "<g class=\"layer-%s\" data-layer=\""
                                             : "<g class=\"layer-%s\" inkscape:groupmode=\"layer\" inkscape:label=\"",
                 id);
}

void drawing_put_id(drawing *d, const char *id)
{
    hr_text_add(d->out, " id=\"");
    hr_text_xml(d->out, d->options.prefix != NULL ? d->options.prefix : "");
    hr_text_addf(d->out, "%s\"", id);
}

void drawing_put_url(drawing *d, const char *attribute, const char *id)
{
    hr_text_addf(d->out, " %s=\"url(#", attribute);
    hr_text_xml(d->out, d->options.prefix != NULL ? d->options.prefix : "");
    hr_text_addf(d->out, "%s)\"", id);
}

const char *drawing_words(drawing *d, const hr_text *text)
{
    return report_words(d->out, text);
}

void drawing_open(drawing *d, const char *id, const char *label, const char *style)
{
    drawing_group(d, id);
    hr_text_xml(d->out, label);
    hr_text_addf(d->out, "\"%s%s>\n", style[0] != '\0' ? " " : "", style);
}

void drawing_close(drawing *d)
{
    hr_text_add(d->out, "</g>\n");
}

void drawing_blank(drawing *d, double top, double height)
{
    hr_text_add(d->out, "<rect x=\"");
    drawing_number(d, d->left);
    hr_text_add(d->out, "\" y=\"");
    drawing_number(d, top);
    hr_text_add(d->out, "\" width=\"");
    drawing_number(d, d->width);
    hr_text_add(d->out, "\" height=\"");
    drawing_number(d, height);
    hr_text_add(d->out, "\" fill=\"#ffffff\"/>\n");
}

/* The largest usual scale at which what is used fits on the sheet, 1:least at most; across and down in true
 * millimetres. */
static double fit_paper(double across, double down, double long_mm, double short_mm, double least)
{
    static const double usual[] = {1.0, 2.0, 5.0};
    double paper = 20.0;
    for (size_t i = 1; paper < least || across / paper > long_mm || down / paper > short_mm; i++) {
        double power = 10.0;
        for (size_t k = 0; k < (i + 1) / 3; k++) {
            power *= 10.0;
        }
        paper = usual[(i + 1) % 3] * power;
    }
    return paper;
}

static void choose_paper(drawing *d, double width, double height)
{
    const double across = fmax(width, height) * 10.0, down = fmin(width, height) * 10.0;
    d->paper = fit_paper(across, down, SHEET_LONG_MM, SHEET_SHORT_MM, d->siting != NULL ? RESULT_PAPER_MIN : 0.0);
    if (d->siting != NULL && d->paper > RESULT_PAPER_A3_MAX) {
        d->paper = fit_paper(across, down, RESULT_LONG_MM, RESULT_SHORT_MM, RESULT_PAPER_A3_MAX);
    }
    d->mm = d->paper / 10.0;
}

static void add_to_box(hr_box *box, hr_box more)
{
    *box = (hr_box){fmin(box->x0, more.x0), fmin(box->y0, more.y0), fmax(box->x1, more.x1), fmax(box->y1, more.y1)};
}

/* What was ignored is shown beside the plan, but a stray line far away makes no sheet:
 * a part of the plan's own size on each side, or all of it where nothing else is. */
static void find_box(drawing *d)
{
    const hr_plan *plan = d->plan;
    hr_box box = plan->box, all = plan->box;
    for (size_t i = 0; i < plan->left_count; i++) {
        const hr_box left = hr_geometry_box(plan->left[i].points, plan->left[i].count);
        if (left.x0 <= left.x1) {
            add_to_box(&all, left);
        }
    }
    if (box.x1 > box.x0 || box.y1 > box.y0) {
        const double reach = BESIDE_SHARE * fmax(box.x1 - box.x0, box.y1 - box.y0);
        all = (hr_box){fmax(all.x0, box.x0 - reach), fmax(all.y0, box.y0 - reach), fmin(all.x1, box.x1 + reach),
                       fmin(all.y1, box.y1 + reach)};
        add_to_box(&box, all);
    } else {
        box = all;
    }
    d->box = (hr_box){box.x0 * DRAWING_UNITS_PER_M, box.y0 * DRAWING_UNITS_PER_M, box.x1 * DRAWING_UNITS_PER_M,
                      box.y1 * DRAWING_UNITS_PER_M};
}

/* The paragraphs of a result's title, wrapped; how many lines they take. */
static size_t title_lines(drawing *d, bool draw, double y)
{
    const double width = d->width - 2.0 * MARGIN_MM * d->mm;
    const char *at = drawing_words(d, &d->title);
    size_t lines = 0;
    while (*at != '\0') {
        const size_t len = strcspn(at, "\n");
        char *paragraph = hr_strndup(at, len);
        if (paragraph == NULL) {
            d->out->failed = true;
            return lines;
        }
        lines += drawing_wrap(d, draw, d->box.x0, y + (double)lines * TITLE_LINE_MM * d->mm, TITLE_LINE_MM, 2.8,
                              "#141414", paragraph, width);
        hr_free(paragraph);
        at += len + (at[len] == '\n');
    }
    return lines;
}

static void choose_sheet(drawing *d)
{
    d->scaled = d->plan->metres_per_unit > 0.0;
    find_box(d);
    const hr_box *used = &d->plan->box;
    const bool empty = !(used->x1 > used->x0 || used->y1 > used->y0);
    choose_paper(d, empty ? d->box.x1 - d->box.x0 : (used->x1 - used->x0) * DRAWING_UNITS_PER_M,
                 empty ? d->box.y1 - d->box.y0 : (used->y1 - used->y0) * DRAWING_UNITS_PER_M);
}

/* Heights of title and legend depend on the width. */
static void lay_out(drawing *d)
{
    const bool bare = d->options.no_title && d->options.no_legend;
    const double inner = bare ? d->box.x1 - d->box.x0 : fmax(d->box.x1 - d->box.x0, WIDTH_MIN_MM * d->mm);
    d->width = inner + 2.0 * MARGIN_MM * d->mm;
    d->title_mm = TITLE_MM;
    if (d->options.no_title) {
        d->title_mm = 0.0;
    } else if (d->siting != NULL) {
        d->title_mm = TITLE_HEAD_MM + TITLE_LINE_MM * (double)title_lines(d, false, 0.0);
    }
    d->left = d->box.x0 - MARGIN_MM * d->mm;
    d->top = d->box.y0 - (MARGIN_MM + d->title_mm) * d->mm;
    d->legend_top = d->box.y1 + MARGIN_MM * d->mm;
    if (d->options.no_legend) {
        d->height = d->legend_top - d->top;
        return;
    }
    d->legend_rows = drawing_legend_rows(d, inner);
    const double legend_mm = LEGEND_ROW_MM * (double)d->legend_rows + 14.0 + drawing_notes_mm(d, inner);
    d->height = d->legend_top + (legend_mm + MARGIN_MM) * d->mm - d->top;
}

static void put_page_title(drawing *d)
{
    hr_text_add(d->out, "<title>");
    hr_text_xml(d->out, drawing_property_name(d));
    hr_text_add(d->out, ", storey ");
    hr_text_xml(d->out, d->building->storeys[d->storey].name);
    hr_text_add(d->out, "</title>\n");
}

static void open_page(drawing *d)
{
    char number[HR_FIXED_MAX];
    hr_text *out = d->out;
    if (d->options.embedded) {
        hr_text_add(out, "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"plan\"");
    } else {
        hr_text_addf(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                          "<svg xmlns=\"http://www.w3.org/2000/svg\" "
                          "xmlns:inkscape=\"http://www.inkscape.org/namespaces/inkscape\" version=\"1.1\" width=\"%smm\"",
                     hr_short(d->width / d->mm, 2, number));
        hr_text_addf(out, " height=\"%smm\"", hr_short(d->height / d->mm, 2, number));
    }
    hr_text_add(out, " viewBox=\"");
    const double view[] = {d->left, d->top, d->width, d->height};
    for (size_t i = 0; i < 4; i++) {
        hr_text_add(out, i > 0 ? " " : "");
        drawing_number(d, view[i]);
    }
    hr_text_add(out, "\" font-family=\"sans-serif\">\n");
    put_page_title(d);
    if (!d->options.embedded) {
        hr_text_addf(out, "<!-- One unit is %s. Written by hallreach %s. -->\n",
                     d->scaled ? "a centimetre" : "a hundredth of the plan's own unit: no scale was found", hr_version());
    }
    drawing_open(d, "page", "ignore: page", "");
    drawing_blank(d, d->top, d->height);
    drawing_close(d);
}

static void put_understood(drawing *d, double x, double y)
{
    char paper[HR_FIXED_MAX];
    hr_text line = {0};
    hr_text_addf(&line, "Radio coverage: the plan as it was understood. %s", hr_report_caution());
    drawing_text(d, x, y + 9.0 * d->mm, 2.8, "start", "#141414", drawing_words(d, &line));
    line.len = 0;
    if (d->scaled) {
        hr_text_addf(&line, "Drawn at 1:%s on paper; %zu rooms.", hr_short(d->paper, 0, paper), d->plan->room_count);
    } else {
        hr_text_addf(&line, "No scale was found: sizes mean nothing; %zu rooms.", d->plan->room_count);
    }
    drawing_text(d, x, y + 13.0 * d->mm, 2.8, "start", "#555555", drawing_words(d, &line));
    hr_text_free(&line);
}

/* In one line: a long name in smaller letters, and cut where those are too small. The drawing's own title has all of it. */
static void put_head(drawing *d, double x, double y, const char *text)
{
    const double room_mm = d->width / d->mm - 2.0 * MARGIN_MM, needed_mm = drawing_text_mm(text, HEAD_MM);
    const double size = fmax(HEAD_LEAST_MM, HEAD_MM * fmin(1.0, room_mm / needed_mm));
    hr_text head = {0};
    drawing_shorten(text, (size_t)(room_mm / drawing_text_mm("0", size) + 1e-6), &head);
    drawing_text(d, x, y, size, "start", "#141414", drawing_words(d, &head));
    hr_text_free(&head);
}

static void add_title(drawing *d)
{
    if (d->options.no_title) {
        return;
    }
    const double x = d->box.x0, y = d->top + MARGIN_MM * d->mm;
    hr_text line = {0};
    drawing_open(d, "title", "ignore: title", "");
    drawing_blank(d, d->top, d->box.y0 - 2.0 * d->mm - d->top); /* over lines that run off the sheet */
    hr_text_addf(&line, "%s, storey %s", drawing_property_name(d), d->building->storeys[d->storey].name);
    put_head(d, x, y + 4.0 * d->mm, drawing_words(d, &line));
    hr_text_free(&line);
    if (d->siting != NULL) {
        (void)title_lines(d, true, y + 9.0 * d->mm);
    } else {
        put_understood(d, x, y);
    }
    drawing_close(d);
}

/* What is drawn, lowest first. */
typedef void (*const layer)(drawing *);
static layer understood[] = {drawing_slab,     drawing_floor, drawing_voids,    drawing_left,    drawing_keep_out,
                             drawing_solids,   drawing_walls, drawing_metal,    drawing_openings, drawing_network,
                             drawing_spots,    drawing_devices, drawing_gateways, drawing_names, add_title,
                             drawing_legend};
static layer common[] = {drawing_voids, drawing_solids, drawing_walls, drawing_metal, drawing_openings, drawing_network};
static layer below[] = {drawing_result_patterns, drawing_slab, drawing_result_floor, drawing_grid};
static layer above[] = {drawing_contours,         drawing_hops,         drawing_result_devices,
                        drawing_result_gateways, drawing_result_names, add_title, drawing_legend};

static void draw_layers(drawing *d, layer *layers, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        layers[i](d);
    }
}
#define DRAW(d, layers) draw_layers(d, layers, sizeof(layers) / sizeof(layers)[0])

static void draw_result(drawing *d)
{
    DRAW(d, below);
    if (d->options.plan_id != NULL) {
        hr_text_add(d->out, "<use href=\"#");
        hr_text_xml(d->out, d->options.plan_id);
        hr_text_add(d->out, "\"/>\n");
    } else {
        DRAW(d, common);
    }
    DRAW(d, above);
}

static hr_status prepare(drawing *d, const hr_building *building, const hr_siting *siting, uint32_t storey,
                         const hr_report_drawing_options *options, hr_text *out, hr_error *err)
{
    if (storey >= building->storey_count) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "a storey of the building was expected");
    }
    *d = (drawing){.building = building,
                   .siting = siting,
                   .options = options != NULL ? *options : (hr_report_drawing_options){.step_m = 0.0},
                   .storey = storey,
                   .plan = building->storeys[storey].plan,
                   .out = out};
    choose_sheet(d);
    hr_status status = drawing_rank_materials(d, err);
    if (siting == NULL) {
        lay_out(d);
        return status;
    }
    status = status == HR_OK ? drawing_find_rows(d, err) : status;
    status = status == HR_OK ? drawing_find_aways(d, err) : status;
    status = status == HR_OK ? drawing_measure_field(d, err) : status;
    if (status == HR_OK && !drawing_say_title(d)) {
        status = hr_fail_memory(err);
    }
    if (status == HR_OK) {
        lay_out(d);
        status = drawing_place_labels(d, err);
    }
    return status;
}

static void finish(drawing *d)
{
    hr_free(d->ranks);
    hr_free(d->room_rows);
    hr_text_free(&d->title);
    hr_coverage_field_free(d->field);
    hr_free(d->taken.items);
    hr_free(d->space_labels);
    hr_free(d->gateway_labels);
    hr_free(d->aways);
}

hr_status hr_report_drawing_of(const hr_building *building, const hr_siting *siting, uint32_t storey,
                               const hr_report_drawing_options *options, hr_text *out, hr_error *err)
{
    drawing d = {.building = NULL};
    hr_status status = prepare(&d, building, siting, storey, options, out, err);
    if (status == HR_OK) {
        open_page(&d);
        if (siting != NULL) {
            draw_result(&d);
        } else {
            DRAW(&d, understood);
        }
        hr_text_add(out, "</svg>\n");
        status = report_done(out, err);
    }
    finish(&d);
    return status;
}

hr_status hr_report_drawing(const hr_building *building, uint32_t storey, hr_text *out, hr_error *err)
{
    return hr_report_drawing_of(building, NULL, storey, NULL, out, err);
}

hr_status hr_report_drawing_plan(const hr_building *building, const hr_siting *siting, uint32_t storey,
                                 const hr_report_drawing_options *options, hr_text *out, hr_error *err)
{
    if (options == NULL || options->plan_id == NULL) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "an id for the plan was expected");
    }
    hr_report_drawing_options bare = *options;
    bare.field = HR_DRAWING_NO_FIELD;
    drawing d = {.building = NULL};
    hr_status status = prepare(&d, building, siting, storey, &bare, out, err);
    if (status == HR_OK) {
        hr_text_add(out, "<g id=\"");
        hr_text_xml(out, options->plan_id);
        hr_text_add(out, "\">\n");
        DRAW(&d, common);
        hr_text_add(out, "</g>\n");
        status = report_done(out, err);
    }
    finish(&d);
    return status;
}
