/*
 * sheet.c - corridors, outer walls and slab of the storey, and all layers put
 * together as one SVG file. 1 unit = 1 cm, drawn at 1:100.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_priv.h"

#define LEFT 2600L
#define TOP 2800L
#define RIGHT 1500L
#define BELOW 5200L
#define SCALE_LINE 10000L

static size_t strip_rects(const outline_layout *l, long grown, outline_rect *rects)
{
    size_t count = 0;
    for (size_t i = 0; i < l->strip_count; i++) {
        const outline_strip *strip = &l->strips[i];
        if (strip->length > 0) {
            outline_rect r = outline_rect_at(strip, 0, 0, strip->length, l->z->across);
            r = (outline_rect){r.x0 - grown, r.y0 - grown, r.x1 + grown, r.y1 + grown};
            rects[count++] = r;
        }
    }
    return count;
}

static void ring_walls(outline_drawing *d, const outline_rings *rings, outline_wall_kind kind)
{
    for (size_t i = 0; i < rings->count; i++) {
        const size_t from = rings->starts[i], count = rings->starts[i + 1] - from;
        for (size_t k = 0; k < count; k++) {
            outline_wall(d, rings->points[from + k], rings->points[from + (k + 1) % count], kind);
        }
    }
}

/* Corridor walls, and the outer wall round everything that is inside. */
static void draw_shell(outline_drawing *d)
{
    const outline_layout *l = d->layout;
    outline_rect rects[OUTLINE_RECTS];
    outline_rings rings;
    size_t count = strip_rects(l, 0, rects);
    if (!d->z->exterior) {
        outline_union(l->corridors, l->corridor_count, &rings);
        ring_walls(d, &rings, OUTLINE_CORRIDOR_WALL);
        for (size_t i = 0; i < l->corridor_count; i++) {
            rects[count++] = l->corridors[i];
        }
    }
    outline_union(rects, count, &rings);
    ring_walls(d, &rings, OUTLINE_OUTER);
    count = strip_rects(l, OUTLINE_HALF_OUTER, rects);
    for (size_t i = 0; i < l->corridor_count; i++) {
        const outline_rect r = l->corridors[i];
        const long grown = OUTLINE_HALF_OUTER;
        rects[count++] = (outline_rect){r.x0 - grown, r.y0 - grown, r.x1 + grown, r.y1 + grown};
    }
    outline_union(rects, count, &rings);
    outline_ring_path(&d->layers[OUTLINE_L_SLAB], &rings, NULL);
}

static void draw_corridors(outline_drawing *d)
{
    const outline_layout *l = d->layout;
    outline_rect rects[OUTLINE_RECTS];
    outline_rings rings;
    size_t count = 0;
    for (size_t i = 0; i < l->corridor_count; i++) {
        rects[count++] = l->clear[i];
    }
    for (size_t i = 0; i < d->lobby_count; i++) {
        rects[count++] = d->lobbies[i];
    }
    outline_union(rects, count, &rings);
    outline_ring_path(&d->layers[OUTLINE_L_CORRIDORS], &rings, "corridor");
}

/* People enter and leave at the corridors' ends on the lowest storey; above there are windows. */
static void draw_ends(outline_drawing *d)
{
    const outline_layout *l = d->layout;
    const long half = (d->z->corridor < 1500 ? d->z->corridor - 300 : 1200) / 2;
    for (size_t i = 0; i < l->end_count; i++) {
        const outline_point p = l->ends[i];
        const outline_point a =
            l->end_vertical[i] ? (outline_point){p.x, p.y - half} : (outline_point){p.x - half, p.y};
        const outline_point b =
            l->end_vertical[i] ? (outline_point){p.x, p.y + half} : (outline_point){p.x + half, p.y};
        if (!d->lowest) {
            outline_window(d, a, b);
            continue;
        }
        const outline_point out = l->end_vertical[i] ? (outline_point){p.x == 0 ? -1 : 1, 0} : (outline_point){0, 1};
        outline_door(d, OUTLINE_L_EXIT_DOORS, a, b, out);
    }
}

/* A corridor with rooms on one side only has windows in the other. */
static void draw_gallery(outline_drawing *d)
{
    const outline_layout *l = d->layout;
    const outline_strip *strip = &l->strips[0];
    for (size_t k = 0; d->z->shape == HR_OUTLINE_SINGLE_SIDED && !d->z->exterior && k < strip->cell_count; k++) {
        const long middle = (strip->cells[k].from + strip->cells[k].to) / 2;
        if (strip->cells[k].kind == OUTLINE_ROOM) {
            outline_window(d, (outline_point){middle - 750, l->height}, (outline_point){middle + 750, l->height});
        }
    }
}

/* ---- the file ---- */

typedef struct layer_style {
    const char *label; /* NULL: the material in force for `option` follows `kind` */
    const char *kind, *option;
    const char *id, *style;
} layer_style;

#define METAL_STYLE "fill=\"#b9c7d3\" fill-opacity=\"0.55\" stroke=\"#46586a\" stroke-width=\"3\""
#define DOOR_STYLE "fill=\"none\" stroke=\"#2b2b2b\" stroke-width=\"2.5\""
#define THIN_STYLE "fill=\"none\" stroke=\"#aab0b6\" stroke-width=\"1.8\""

static const layer_style layer_styles[OUTLINE_LAYERS] = {
    [OUTLINE_L_SLAB] = {"slab", NULL, NULL, "layer-slab",
                        "fill=\"none\" stroke=\"#9aa0a6\" stroke-width=\"2\" stroke-dasharray=\"30 8 6 8\""},
    [OUTLINE_L_AREAS] = {"areas", NULL, NULL, "layer-areas", "fill=\"#f4f1ea\""},
    [OUTLINE_L_AREA_TEXT] = {"ignore", NULL, NULL, "layer-area-text", "stroke=\"none\""},
    [OUTLINE_L_CORRIDORS] = {"corridors", NULL, NULL, "layer-corridors", "fill=\"#fbf4de\""},
    [OUTLINE_L_ROOMS] = {"rooms", NULL, NULL, "layer-rooms", "fill=\"#eaf1f8\""},
    [OUTLINE_L_ROOM_TEXT] = {"ignore", NULL, NULL, "layer-room-text", "stroke=\"none\""},
    [OUTLINE_L_FURNITURE] = {"ignore", NULL, NULL, "layer-furniture", THIN_STYLE},
    [OUTLINE_L_STAIRS] = {"ignore", NULL, NULL, "layer-flights",
                          "fill=\"none\" stroke=\"#6f767d\" stroke-width=\"1.8\""},
    [OUTLINE_L_FRAMES] = {"ignore", NULL, NULL, "layer-frames",
                          "fill=\"#ffffff\" stroke=\"#55606b\" stroke-width=\"2\""},
    [OUTLINE_L_VOID] = {"void", NULL, NULL, "layer-void",
                        "fill=\"none\" stroke=\"#9aa0a6\" stroke-width=\"2\" stroke-dasharray=\"14 8\""},
    [OUTLINE_L_KEEP_OUT] = {"keep-out", NULL, NULL, "layer-keep-out",
                            "fill=\"#c0504d\" fill-opacity=\"0.05\" stroke=\"#c0504d\" stroke-opacity=\"0.45\" "
                            "stroke-width=\"2\" stroke-dasharray=\"6 8\""},
    [OUTLINE_L_CABINET] = {"metal: cabinet 0-1.8", NULL, NULL, "layer-metal-cabinet", METAL_STYLE},
    [OUTLINE_L_LIFT] = {"metal: lift", NULL, NULL, "layer-metal-lift", METAL_STYLE},
    [OUTLINE_L_RISER] = {"metal: metal-riser", NULL, NULL, "layer-metal-riser", METAL_STYLE},
    [OUTLINE_L_WINDOWS] = {NULL, "windows", "window", "layer-windows",
                           "fill=\"none\" stroke=\"#2f77b4\" stroke-width=\"5\""},
    [OUTLINE_L_ENTRY_DOORS] = {NULL, "doors", "entry-door", "layer-entry-doors", DOOR_STYLE},
    [OUTLINE_L_FIRE_DOORS] = {"doors: fire-door", NULL, NULL, "layer-fire-doors", DOOR_STYLE},
    [OUTLINE_L_LIFT_DOORS] = {"doors: steel-skinned-door", NULL, NULL, "layer-lift-doors", DOOR_STYLE},
    [OUTLINE_L_EXIT_DOORS] = {"doors: glass-door", NULL, NULL, "layer-exit-doors", DOOR_STYLE},
    [OUTLINE_L_BATH_DOORS] = {"doors: timber-door", NULL, NULL, "layer-bath-doors", DOOR_STYLE},
    [OUTLINE_L_NETWORK] = {"network", NULL, NULL, "layer-network",
                           "fill=\"#ffffff\" stroke=\"#1b7f3b\" stroke-width=\"4\""},
};

static const layer_style wall_styles[OUTLINE_WALL_KINDS] = {
    [OUTLINE_TILE] = {"walls: tile-wall", NULL, NULL, "layer-walls-tile", "stroke=\"#7d9a99\" stroke-width=\"10\""},
    [OUTLINE_PARTITION] = {"walls: plasterboard", NULL, NULL, "layer-walls-partition",
                           "stroke=\"#8a8f94\" stroke-width=\"10\""},
    [OUTLINE_PARTY] = {NULL, "walls", "party-wall", "layer-walls-party", "stroke=\"#6b6f75\" stroke-width=\"20\""},
    [OUTLINE_BATH_CORE] = {"walls: bath-core", NULL, NULL, "layer-walls-bath-core",
                           "stroke=\"#54716f\" stroke-width=\"20\""},
    [OUTLINE_CORRIDOR_WALL] = {NULL, "walls", "corridor-wall", "layer-walls-corridor",
                               "stroke=\"#6b6f75\" stroke-width=\"14\""},
    [OUTLINE_CORE_WALL] = {NULL, "walls", "core-wall", "layer-walls-core", "stroke=\"#22262a\" stroke-width=\"20\""},
    [OUTLINE_LIFT_WALL] = {"walls: lift-shaft", NULL, NULL, "layer-walls-lift",
                           "stroke=\"#14171a\" stroke-width=\"20\""},
    [OUTLINE_OUTER] = {NULL, "walls", "outer-wall", "layer-walls-outer", "stroke=\"#33373b\" stroke-width=\"24\""},
};

static void open_layer(const outline_drawing *d, const layer_style *style, const char *more, hr_text *svg)
{
    hr_text_add(svg, "  <g inkscape:groupmode=\"layer\" inkscape:label=\"");
    if (style->label != NULL) {
        hr_text_add(svg, style->label);
    } else {
        hr_text_addf(svg, "%s: %s", style->kind, outline_material_for(d->z->request, style->option));
    }
    hr_text_addf(svg, "\" id=\"%s\" %s%s>\n", style->id, style->style, more);
}

static void write_layer(const outline_drawing *d, outline_layer layer, hr_text *svg)
{
    const hr_text *text = &d->layers[layer];
    svg->failed = svg->failed || text->failed;
    if (text->len == 0) {
        return;
    }
    open_layer(d, &layer_styles[layer], "", svg);
    hr_text_add_n(svg, text->bytes, text->len);
    hr_text_add(svg, "  </g>\n\n");
}

static void write_walls(outline_drawing *d, hr_text *svg)
{
    for (int kind = 0; kind < OUTLINE_WALL_KINDS && !d->failed; kind++) {
        hr_text text = {0};
        d->failed = !outline_write_walls(d, kind, &text);
        svg->failed = svg->failed || text.failed;
        if (text.len > 0) {
            open_layer(d, &wall_styles[kind], " fill=\"none\" stroke-linejoin=\"miter\"", svg);
            hr_text_add_n(svg, text.bytes, text.len);
            hr_text_add(svg, "  </g>\n\n");
        }
        hr_text_free(&text);
    }
}

static void write_head(const outline_drawing *d, const char *title, hr_text *svg)
{
    const outline_layout *l = d->layout;
    const long width = l->width + LEFT + RIGHT, height = l->height + TOP + BELOW;
    hr_text_add(
        svg, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
             "<!-- Storey plan made from numbers. 1 unit = 1 cm; the sheet is drawn at 1:100. (0,0) is the corner of\n"
             "     the outer walls. Layers are named KIND: VALUE; walls are centre lines, rooms the clear floor. -->\n"
             "<svg xmlns=\"http://www.w3.org/2000/svg\" "
             "xmlns:inkscape=\"http://www.inkscape.org/namespaces/inkscape\"\n     width=\"");
    /* 1 cm in the building is 0.1 mm on the sheet, so millimetres divided by 100 */
    hr_text_fixed(svg, (double)width / 100.0, 2);
    hr_text_add(svg, "mm\" height=\"");
    hr_text_fixed(svg, (double)height / 100.0, 2);
    hr_text_add(svg, "mm\" viewBox=\"");
    outline_xy(svg, (outline_point){-LEFT, -TOP});
    hr_text_add(svg, " ");
    outline_xy(svg, (outline_point){width, height});
    hr_text_add(svg, "\" font-family=\"Liberation Sans, Arial, Helvetica, sans-serif\">\n  <title>");
    hr_text_xml(svg, title);
    hr_text_add(svg, "</title>\n");
    hr_text_add(svg,
                "  <g inkscape:groupmode=\"layer\" inkscape:label=\"ignore\" id=\"layer-paper\" fill=\"#ffffff\">\n");
    outline_box(svg, (outline_rect){-LEFT, -TOP, l->width + RIGHT, l->height + BELOW}, NULL);
    hr_text_add(svg, "  </g>\n\n");
}

/* ---- the margin: dimensions, title, scale ---- */

static void add_length(const outline_drawing *d, long mm, hr_text *words)
{
    const hr_length_unit unit = d->z->request->length_unit;
    hr_text_fixed(words, hr_units_from_metres((double)mm / 1000.0, unit), unit == HR_FEET ? 1 : 2);
}

static void dimension(const outline_drawing *d, outline_point a, outline_point b, hr_text *svg)
{
    const bool upright = a.x == b.x;
    const outline_point tick = upright ? (outline_point){150, 0} : (outline_point){0, 150};
    outline_line(svg, a, b);
    outline_line(svg, (outline_point){a.x - tick.x, a.y - tick.y}, (outline_point){a.x + tick.x, a.y + tick.y});
    outline_line(svg, (outline_point){b.x - tick.x, b.y - tick.y}, (outline_point){b.x + tick.x, b.y + tick.y});
    hr_text words = {0};
    add_length(d, upright ? b.y - a.y : b.x - a.x, &words);
    const outline_point at = {(a.x + b.x) / 2 - (upright ? 450 : 0), (a.y + b.y) / 2 - (upright ? 0 : 250)};
    outline_label(svg, at, 240, "fill=\"#555555\" stroke=\"none\" text-anchor=\"middle\"",
                  words.failed ? "" : words.bytes);
    svg->failed = svg->failed || words.failed;
    hr_text_free(&words);
}

/* Bays along the top of the plan, below the overall dimension. */
static void bay_dimensions(const outline_drawing *d, hr_text *svg)
{
    for (size_t i = 0; i < d->layout->strip_count; i++) {
        const outline_strip *strip = &d->layout->strips[i];
        if (strip->v.y != -1 || strip->at.y != d->z->across) {
            continue;
        }
        for (size_t k = 0; k < strip->cell_count; k++) {
            dimension(d, (outline_point){strip->cells[k].from, -900}, (outline_point){strip->cells[k].to, -900}, svg);
        }
    }
}

static void write_sheet_words(const outline_drawing *d, const char *name, const char *storeys, hr_text *svg)
{
    const outline_layout *l = d->layout;
    const char *plain = "fill=\"#222222\" stroke=\"none\"";
    hr_text words = {0};
    outline_label(svg, (outline_point){0, l->height + 3000}, 520,
                  "fill=\"#222222\" stroke=\"none\" font-weight=\"bold\"", name);
    const long rooms = d->z->request->rooms_per_storey;
    hr_text_addf(&words, "%s, %ld guest room%s, %s", storeys, rooms, rooms == 1 ? "" : "s",
                 outline_shape_name(d->z->shape));
    outline_label(svg, (outline_point){0, l->height + 3600}, 280, plain, words.failed ? "" : words.bytes);
    svg->failed = svg->failed || words.failed;
    hr_text_free(&words);
    outline_label(svg, (outline_point){0, l->height + 4100}, 280, plain,
                  "Drawn from numbers, not from a survey. Scale 1:100");
    outline_label(svg, (outline_point){0, l->height + 1150}, 220, plain, "0");
    outline_label(svg, (outline_point){SCALE_LINE, l->height + 1150}, 220, plain, "10 m");
}

static void write_margin(const outline_drawing *d, const char *name, const char *storeys, hr_text *svg)
{
    const outline_layout *l = d->layout;
    hr_text_add(svg,
                "  <g inkscape:groupmode=\"layer\" inkscape:label=\"origin\" id=\"layer-origin\" fill=\"none\" "
                "stroke=\"#d02020\" stroke-width=\"3\">\n    <path d=\"M-34 0H34M0 -34V34\"/>\n  </g>\n\n"
                "  <g inkscape:groupmode=\"layer\" inkscape:label=\"scale: 10 m\" id=\"layer-scale\" fill=\"none\" "
                "stroke=\"#111111\" stroke-width=\"6\">\n");
    outline_line(svg, (outline_point){0, l->height + 1500}, (outline_point){SCALE_LINE, l->height + 1500});
    hr_text_add(svg, "  </g>\n\n  <g inkscape:groupmode=\"layer\" inkscape:label=\"ignore\" id=\"layer-sheet\" "
                     "fill=\"none\" stroke=\"#777777\" stroke-width=\"1.6\">\n");
    bay_dimensions(d, svg);
    dimension(d, (outline_point){0, -1900}, (outline_point){l->width, -1900}, svg);
    dimension(d, (outline_point){-1300, 0}, (outline_point){-1300, l->height}, svg);
    write_sheet_words(d, name, storeys, svg);
    hr_text_add(svg, "  </g>\n</svg>\n");
}

void outline_sheet(outline_drawing *d, const char *property_name, const char *storey_words, hr_text *svg)
{
    hr_text title = {0};
    hr_text_addf(&title, "%s, %s", property_name, storey_words);
    draw_shell(d);
    draw_corridors(d);
    draw_ends(d);
    draw_gallery(d);
    outline_merge_walls(d);
    write_head(d, title.failed ? "" : title.bytes, svg);
    for (int layer = 0; layer <= OUTLINE_L_RISER; layer++) {
        write_layer(d, (outline_layer)layer, svg);
    }
    write_walls(d, svg);
    for (int layer = OUTLINE_L_WINDOWS; layer < OUTLINE_LAYERS; layer++) {
        write_layer(d, (outline_layer)layer, svg);
    }
    write_margin(d, property_name, storey_words, svg);
    svg->failed = svg->failed || title.failed;
    hr_text_free(&title);
}
