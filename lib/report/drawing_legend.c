/*
 * drawing_legend.c - what the signs mean, in columns below the plan, and the
 * scale bar. Only what the storey has is listed.
 *
 * SPDX-License-Identifier: MIT
 */
#include "drawing_priv.h"

#include <stdio.h>

#define COLUMN_MM 62.0
#define ROW_MM 5.0
#define SAMPLE_MM 10.0
#define TEXT_MM 2.6
#define NOTE_LINE_MM 3.8
#define BAR_MM 60.0 /* longest scale bar */

/* Entries are put one after the other; with draw unset they are only counted. */
typedef struct legend {
    drawing *d;
    bool draw;
    size_t columns, count;
    double x, y; /* left end of the entry's sample, middle of its row */
} legend;

static void next_entry(legend *l)
{
    const drawing *d = l->d;
    l->x = d->box.x0 + (double)(l->count % l->columns) * COLUMN_MM * d->mm;
    /* whole rows are meant: NOLINTNEXTLINE(bugprone-integer-division) */
    l->y = d->legend_top + ((double)(l->count / l->columns) + 0.5) * ROW_MM * d->mm;
    l->count++;
}

static void put_words(legend *l, const char *kind, const char *what, const char *tail)
{
    hr_text text = {0};
    hr_text_addf(&text, "%s%s%s%s", kind, what, tail[0] != '\0' ? ", " : "", tail);
    drawing_text(l->d, l->x + (SAMPLE_MM + 2.0) * l->d->mm, l->y + 0.9 * l->d->mm, TEXT_MM, "start", "#141414",
                 drawing_words(l->d, &text));
    hr_text_free(&text);
}

/* A line's element up to its look. */
static void start_line(legend *l)
{
    drawing *d = l->d;
    hr_text_add(d->out, "<path d=\"M");
    drawing_number(d, l->x);
    hr_text_add(d->out, ",");
    drawing_number(d, l->y);
    hr_text_add(d->out, "H");
    drawing_number(d, l->x + SAMPLE_MM * d->mm);
    hr_text_add(d->out, "\"");
}

static void put_line(legend *l, const drawing_style *style)
{
    start_line(l);
    drawing_put_style(l->d, style);
    hr_text_add(l->d->out, "/>\n");
}

static void put_patch(legend *l, const char *look)
{
    drawing *d = l->d;
    hr_text_add(d->out, "<rect x=\"");
    drawing_number(d, l->x);
    hr_text_add(d->out, "\" y=\"");
    drawing_number(d, l->y - 1.5 * d->mm);
    hr_text_add(d->out, "\"");
    drawing_put_mm(d, "width", SAMPLE_MM);
    drawing_put_mm(d, "height", 3.0);
    drawing_put_mm(d, "stroke-width", 0.2);
    hr_text_addf(d->out, " %s/>\n", look);
}

static void add_patch(legend *l, bool has, const char *look, const char *words)
{
    if (has) {
        next_entry(l);
        if (l->draw) {
            put_patch(l, look);
            put_words(l, words, "", "");
        }
    }
}

static const char *loss_words(const legend *l, uint32_t material, hr_material_use use, char *buf, size_t size)
{
    char number[HR_FIXED_MAX];
    (void)snprintf(buf, size, "%s dB",
                   hr_fixed(hr_materials_loss_db(l->d->building->materials, material, use, NULL), 1, number));
    return buf;
}

static void add_walls(legend *l)
{
    const drawing *d = l->d;
    char loss[HR_FIXED_MAX + 4];
    for (size_t rank = 0; rank < d->rank_count; rank++) {
        const uint32_t material = d->ranks[rank];
        bool walls = false, solids = false;
        for (size_t i = 0; i < d->plan->wall_count && !walls; i++) {
            walls = !d->plan->walls[i].is_gap && d->plan->walls[i].material == material;
        }
        for (size_t i = 0; i < d->plan->solid_count && !solids; i++) {
            solids = d->plan->solids[i].material == material;
        }
        if (!walls && !solids) {
            continue;
        }
        next_entry(l);
        if (l->draw) {
            put_line(l, drawing_wall_style(d, rank));
            put_words(l, solids && !walls ? "solids: " : "walls: ", report_material_name(d->building, material),
                      loss_words(l, material, HR_USE_WALL, loss, sizeof loss));
        }
    }
}

static void add_openings(legend *l, bool door)
{
    const drawing *d = l->d;
    char loss[HR_FIXED_MAX + 4];
    const size_t materials = hr_materials_count(d->building->materials);
    for (uint32_t m = 0; m < materials; m++) {
        bool has = false;
        for (size_t i = 0; i < d->plan->opening_count && !has; i++) {
            has = d->plan->openings[i].is_door == door && d->plan->openings[i].material == m;
        }
        if (!has) {
            continue;
        }
        next_entry(l);
        if (l->draw) {
            put_line(l, drawing_opening_style(d, door, drawing_opening_rank(d, door, m)));
            put_words(l, door ? "doors: " : "windows: ", report_material_name(d->building, m),
                      loss_words(l, m, HR_USE_OPENING, loss, sizeof loss));
        }
    }
}

static void add_sign(legend *l, bool has, drawing_sign sign, size_t kind, const char *words, const char *what)
{
    if (has) {
        next_entry(l);
        if (l->draw) {
            drawing_put_sign(l->d, sign, kind, l->x + 0.5 * SAMPLE_MM * l->d->mm, l->y, NULL, NULL);
            put_words(l, words, what, "");
        }
    }
}

static bool has_space(const drawing *d, hr_space_kind kind)
{
    for (size_t i = 0; i < d->plan->space_count; i++) {
        if (d->plan->spaces[i].kind == kind) {
            return true;
        }
    }
    return false;
}

static void add_floors(legend *l)
{
    const drawing *d = l->d;
    static const char *const words[] = {"rooms", "areas without devices", "corridors"};
    for (int kind = 0; kind < 3; kind++) {
        hr_text look = {0};
        hr_text_addf(&look, "fill=\"%s\" stroke=\"#c2c8d0\"", drawing_floor_fill[kind]);
        add_patch(l, has_space(d, (hr_space_kind)kind), drawing_words(l->d, &look), words[kind]);
        hr_text_free(&look);
    }
    add_patch(l, d->plan->slab_count > 0, "fill=\"#f8f8f6\" stroke=\"#8a8a8a\"", "slab");
    add_patch(l, d->plan->void_count > 0, "fill=\"#ffffff\" stroke=\"#8a8a8a\"", "opening in the slab");
    add_patch(l, d->plan->keep_out_count > 0, "fill=\"#d9534f\" fill-opacity=\"0.25\" stroke=\"#a02622\"",
              "no gateway in here");
    add_patch(l, d->plan->metal_count > 0, "fill=\"#46505c\" fill-opacity=\"0.55\" stroke=\"#46505c\"", "metal");
}

static void add_devices(legend *l)
{
    const hr_building *b = l->d->building;
    for (size_t kind = 0; kind < b->kind_count; kind++) {
        bool has = false;
        for (size_t i = 0; i < b->device_count && !has; i++) {
            has = b->devices[i].storey == l->d->storey && b->devices[i].kind == kind;
        }
        add_sign(l, has, SIGN_DEVICE, kind, "devices: ", b->kinds[kind].name);
    }
}

static void add_signs(legend *l)
{
    const hr_building *b = l->d->building;
    bool spots = false, gateways = false;
    add_devices(l);
    for (size_t i = 0; i < b->spot_count && !spots; i++) {
        spots = b->spots[i].storey == l->d->storey;
    }
    for (size_t i = 0; i < b->gateway_count && !gateways; i++) {
        gateways = b->gateways[i].storey == l->d->storey;
    }
    add_sign(l, spots, SIGN_SPOT, 0, "spots for gateways", "");
    add_sign(l, gateways, SIGN_GATEWAY, 0, "gateways", "");
    add_sign(l, l->d->plan->network_count > 0, SIGN_NETWORK, 0, "network connections", "");
}

/* ---- entries of a result ---- */

static void add_bands(legend *l)
{
    char from[HR_FIXED_MAX], to[HR_FIXED_MAX];
    for (size_t i = HR_REPORT_BANDS; i-- > 0;) {
        const hr_report_band *band = hr_report_spare_band(i);
        hr_text look = {0}, words = {0};
        hr_text_addf(&look, "class=\"spare-%zu\" fill=\"%s\" stroke=\"#8c8c8c\"", i, band->fill);
        hr_text_addf(&words, "spare %s", hr_short(band->from_db, 1, from));
        hr_text_addf(&words, isfinite(band->to_db) ? " to %s dB" : " dB and more", hr_short(band->to_db, 1, to));
        add_patch(l, true, drawing_words(l->d, &look), drawing_words(l->d, &words));
        hr_text_free(&look);
        hr_text_free(&words);
    }
    hr_text look = {0};
    hr_text *out = l->d->out;
    l->d->out = &look;
    hr_text_add(&look, "class=\"unserved\"");
    drawing_put_url(l->d, "fill", "unserved");
    hr_text_add(&look, " stroke=\"#8c8c8c\"");
    l->d->out = out;
    add_patch(l, true, drawing_words(l->d, &look),
              l->d->options.field == HR_DRAWING_GRID ? "not served; margin short of it" : "not served");
    hr_text_free(&look);
}

static void add_hop(legend *l, int style, const char *words)
{
    next_entry(l);
    if (l->draw) {
        start_line(l);
        drawing_hop_style(l->d, style);
        hr_text_add(l->d->out, "/>\n");
        put_words(l, words, "", "");
    }
}

static void add_result_signs(legend *l)
{
    const hr_building *b = l->d->building;
    bool unserved = false, joined = false, hops = false;
    for (size_t i = 0; i < l->d->siting->device_count; i++) {
        const hr_device_row *row = &l->d->siting->devices[i];
        if (b->devices[row->device].storey == l->d->storey) {
            const bool in_room = row->via != HR_SITING_NONE && b->devices[row->via].room == b->devices[row->device].room;
            unserved = unserved || !row->served;
            joined = joined || in_room;
            hops = hops || (row->hops > 1 && !in_room);
        }
    }
    add_sign(l, true, SIGN_GATEWAY, 0, "gateways", "");
    bool gateways = false, relays = false;
    for (size_t i = 0; i < l->d->away_count; i++) {
        gateways = gateways || l->d->aways[i].gateway != HR_SITING_NONE;
        relays = relays || l->d->aways[i].device != HR_SITING_NONE;
    }
    add_sign(l, gateways, SIGN_AWAY, 0, "gateways on other storeys", "");
    add_sign(l, relays, SIGN_RELAY, 0, "next hops on other storeys", "");
    add_devices(l);
    add_sign(l, unserved, SIGN_UNSERVED, 0, "devices not served", "");
    add_hop(l, 0, hops ? "to the next hop; figure: hops" : "to the next hop");
    if (l->d->away_count > 0) {
        add_hop(l, 1, "to a next hop on another storey");
    }
    if (joined) {
        add_hop(l, 2, "within the room");
    }
    add_sign(l, l->d->plan->network_count > 0, SIGN_NETWORK, 0, "network connections", "");
}

static void add_result_floors(legend *l)
{
    const drawing *d = l->d;
    static const drawing_style line = {DRAWING_CONTOUR_COLOUR, 0.2, NULL}, required = {DRAWING_CONTOUR_COLOUR, 0.5, NULL};
    if (d->field != NULL && d->options.field == HR_DRAWING_CONTOURS) {
        next_entry(l);
        if (l->draw) {
            put_line(l, &required);
            put_words(l, "required link margin (spare 0)", "", "");
        }
        next_entry(l);
        if (l->draw) {
            put_line(l, &line);
            put_words(l, "each 10 dB more, as figured", "", "");
        }
    }
    add_patch(l, has_space(d, HR_SPACE_AREA), "fill=\"#ededea\" stroke=\"#8c8c8c\"", "areas without devices");
    add_patch(l, has_space(d, HR_SPACE_CORRIDOR), "fill=\"#faf8f1\" stroke=\"#8c8c8c\"", "corridors");
    add_patch(l, d->plan->void_count > 0, "fill=\"#ffffff\" stroke=\"#8a8a8a\"", "opening in the slab");
    add_patch(l, d->plan->metal_count > 0, "fill=\"#46505c\" fill-opacity=\"0.55\" stroke=\"#46505c\"", "metal");
}

static void add_entries(legend *l)
{
    static const drawing_style grey = {"#b9b9b9", 0.15, NULL};
    if (l->d->siting != NULL) {
        add_bands(l);
        add_result_signs(l);
        add_result_floors(l);
        add_walls(l);
        add_openings(l, true);
        add_openings(l, false);
        return;
    }
    add_walls(l);
    add_openings(l, true);
    add_openings(l, false);
    add_floors(l);
    add_signs(l);
    if (l->d->plan->left_count > 0) {
        next_entry(l);
        if (l->draw) {
            put_line(l, &grey);
            put_words(l, "ignored", "", "");
        }
    }
}

static size_t columns_of(const drawing *d, double width)
{
    const double fit = floor(width / (COLUMN_MM * d->mm));
    return fit >= 1.0 ? (size_t)fit : 1;
}

size_t drawing_legend_rows(const drawing *d, double width)
{
    drawing copy = *d; /* counting writes nothing */
    legend l = {.d = &copy, .columns = columns_of(d, width)};
    add_entries(&l);
    return (l.count + l.columns - 1) / l.columns;
}

/* What the fills and the lines say, in words. */
static void say_notes(const drawing *d, hr_text *text)
{
    char number[HR_FIXED_MAX];
    const hr_building *b = d->building;
    hr_text_add(text, "Rooms show the spare of their worst device. ");
    if (d->field == NULL) {
        return;
    }
    const double step_m = d->field->grid.step;
    const hr_device_kind *kind = &b->kinds[d->field_kind];
    hr_text_addf(text, "%s: link margin of a direct link from a device of kind %s",
                 d->options.field == HR_DRAWING_GRID ? "Squares" : "Lines", kind->name);
    hr_text_addf(text, " at a height of %s %s", hr_short(report_length(b, kind->radio.mount_height_m), 2, number), report_unit(b));
    hr_text_addf(text, " to the gateway it would join, on a grid of %s %s", hr_short(report_length(b, step_m), 2, number),
                 report_unit(b));
    hr_text_addf(text, "; what is required: %s dB", hr_fixed(d->required_db, 1, number));
    hr_text_addf(text, isfinite(d->siting->required_margin_db) ? ". " : " at least, more behind walls. ");
    hr_text_add(text, d->options.field == HR_DRAWING_GRID ? "White: no gateway in reach. "
                                                          : "No lines where no gateway is in reach; rings round a single point "
                                                            "of the grid are left out. ");
    hr_text_add(text, "Between the grid's points nothing is known.");
}

double drawing_notes_mm(drawing *d, double width)
{
    if (d->siting == NULL) {
        return 0.0;
    }
    hr_text text = {0};
    say_notes(d, &text);
    const size_t lines = drawing_wrap(d, false, 0.0, 0.0, NOTE_LINE_MM, TEXT_MM, "#141414", drawing_words(d, &text), width);
    hr_text_free(&text);
    return (double)lines * NOTE_LINE_MM;
}

static void add_notes(drawing *d)
{
    hr_text text = {0};
    say_notes(d, &text);
    (void)drawing_wrap(d, true, d->box.x0, d->legend_top + (ROW_MM * (double)d->legend_rows + 15.0) * d->mm, NOTE_LINE_MM,
                       TEXT_MM, "#141414", drawing_words(d, &text), d->width - 20.0 * d->mm);
    hr_text_free(&text);
}

/* 10 m or 30 ft: the longest round length that is not too long on paper. */
static double bar_length(const drawing *d)
{
    static const double usual[] = {1.0, 2.0, 5.0};
    const double unit_mm = hr_units_to_metres(1.0, d->building->length_unit) * 1000.0 / d->paper;
    double best = 1.0;
    for (double power = 1.0; power < 1e6; power *= 10.0) {
        for (size_t i = 0; i < 3; i++) {
            best = usual[i] * power * unit_mm <= BAR_MM ? usual[i] * power : best;
        }
    }
    return best;
}

static void add_bar(drawing *d)
{
    char number[HR_FIXED_MAX];
    const double length = bar_length(d);
    const double units = hr_units_to_metres(length, d->building->length_unit) * DRAWING_UNITS_PER_M;
    const double x = d->box.x0, y = d->legend_top + (ROW_MM * (double)d->legend_rows + 8.0) * d->mm;
    hr_text words = {0};
    hr_text_addf(&words, "%s %s", hr_short(length, 2, number), report_unit(d->building));
    hr_text label = {0};
    hr_text_addf(&label, "scale: %s", drawing_words(d, &words));
    drawing_open(d, "scale", drawing_words(d, &label), "fill=\"none\" stroke=\"#141414\"");
    hr_text_add(d->out, "<path d=\"M");
    drawing_number(d, x);
    hr_text_add(d->out, ",");
    drawing_number(d, y);
    hr_text_add(d->out, "H");
    drawing_number(d, x + units);
    hr_text_add(d->out, "\"");
    drawing_put_mm(d, "stroke-width", 0.6);
    hr_text_add(d->out, "/>\n");
    drawing_close(d);
    drawing_open(d, "scale-names", "ignore: scale", "");
    drawing_text(d, x, y - 1.2 * d->mm, TEXT_MM, "start", "#141414", "0");
    drawing_text(d, x + units, y - 1.2 * d->mm, TEXT_MM, "end", "#141414", drawing_words(d, &words));
    drawing_close(d);
    hr_text_free(&words);
    hr_text_free(&label);
}

void drawing_legend(drawing *d)
{
    if (d->options.no_legend) {
        return;
    }
    legend l = {.d = d, .draw = true, .columns = columns_of(d, d->width - 20.0 * d->mm)};
    drawing_open(d, "legend", "ignore: legend", "");
    drawing_blank(d, d->box.y1 + 2.0 * d->mm, d->top + d->height - d->box.y1 - 2.0 * d->mm);
    add_entries(&l);
    if (d->siting != NULL) {
        add_notes(d);
    }
    drawing_close(d);
    if (d->scaled) {
        add_bar(d);
    }
}
