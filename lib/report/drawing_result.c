/*
 * drawing_result.c - rooms filled by spare with the figure in them, and the
 * title of a result. Nothing is told by colour alone: the figure stands in the
 * room, and a room that is not served has a pattern and the words.
 *
 * SPDX-License-Identifier: MIT
 */
#include "drawing_priv.h"

#include <string.h>

/* Lightness (CIE L*) 54, 65, 75, 85, 95: the order is kept in grey and by colour-blind eyes, and dark
 * text is readable on all of them. */
static const hr_report_band bands[HR_REPORT_BANDS] = {{0.0, 5.0, "#b9678d"},
                                                      {5.0, 10.0, "#be8ebf"},
                                                      {10.0, 20.0, "#bab3e4"},
                                                      {20.0, 30.0, "#bed7f6"},
                                                      {30.0, (double)INFINITY, "#e3f4f8"}};
/* Areas and corridors, apart from all bands. */
#define AREA_FILL "#ededea"
#define CORRIDOR_FILL "#faf8f1"
#define HATCH_MM 1.8

const hr_report_band *hr_report_spare_band(size_t index)
{
    return index < HR_REPORT_BANDS ? &bands[index] : NULL;
}

size_t hr_report_band_of(double spare_db)
{
    size_t band = 0;
    while (band + 1 < HR_REPORT_BANDS && spare_db >= bands[band].to_db) {
        band++;
    }
    return band;
}

/* ---- names as they are shown ---- */

const char *drawing_property_name(const drawing *d)
{
    return d->options.property_name != NULL ? d->options.property_name : d->building->name;
}

const char *drawing_room_name(const drawing *d, uint32_t room)
{
    return d->options.room_names != NULL ? d->options.room_names[room] : d->building->rooms[room].name;
}

/* ROOM/kind, the room's name being the shown one. */
void drawing_device_name(const drawing *d, uint32_t device, hr_text *out)
{
    const hr_device *of = &d->building->devices[device];
    if (d->options.room_names == NULL) {
        hr_text_add(out, of->name);
        return;
    }
    const size_t own = strlen(d->building->rooms[of->room].name);
    hr_text_add(out, drawing_room_name(d, of->room));
    hr_text_add(out, strlen(of->name) > own ? of->name + own : "");
}

/* ---- rooms ---- */

hr_status drawing_find_rows(drawing *d, hr_error *err)
{
    d->room_rows = hr_alloc_zero(d->plan->space_count, sizeof *d->room_rows);
    if (d->room_rows == NULL) {
        return hr_fail_memory(err);
    }
    for (size_t i = 0; i < d->siting->room_count; i++) {
        const hr_room *room = &d->building->rooms[d->siting->rooms[i].room];
        if (room->storey == d->storey) {
            d->room_rows[room->space] = &d->siting->rooms[i];
        }
    }
    return HR_OK;
}

void drawing_result_patterns(drawing *d)
{
    hr_text_add(d->out, "<defs>\n<pattern");
    drawing_put_id(d, "unserved");
    hr_text_add(d->out, " patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"");
    drawing_put_mm(d, "width", HATCH_MM);
    drawing_put_mm(d, "height", HATCH_MM);
    hr_text_add(d->out, "><rect fill=\"#ffffff\"");
    drawing_put_mm(d, "width", HATCH_MM);
    drawing_put_mm(d, "height", HATCH_MM);
    hr_text_add(d->out, "/><path fill=\"none\" stroke=\"" DRAWING_INK "\"");
    drawing_put_mm(d, "stroke-width", 0.5);
    hr_text_add(d->out, " d=\"M0,0V");
    drawing_number(d, HATCH_MM * d->mm);
    hr_text_add(d->out, "\"/></pattern>\n");
    drawing_clip(d);
    hr_text_add(d->out, "</defs>\n");
}

/* The name by itself, as a plan's reader takes it, and what there is to say. */
static void put_room_words(drawing *d, const hr_room_row *row)
{
    char number[HR_FIXED_MAX];
    hr_text *out = d->out;
    hr_text_add(out, "<title>");
    hr_text_xml(out, drawing_room_name(d, row->room));
    hr_text_add(out, "</title><desc>");
    if (row->device_row == HR_SITING_NONE) {
        hr_text_add(out, "no device</desc>");
        return;
    }
    const hr_device_row *device = &d->siting->devices[row->device_row];
    if (row->served) {
        hr_text_addf(out, "spare %s dB", hr_fixed(report_rounded_spare(d->siting, row->device_row), 1, number));
        hr_text_addf(out, ", link margin %s dB, ", hr_fixed(device->link.link_margin_db, 1, number));
        hr_text_xml(out, d->siting->gateways[device->gateway].id);
        hr_text_addf(out, ", %u %s</desc>", device->hops, device->hops == 1 ? "hop" : "hops");
        return;
    }
    hr_text_add(out, "not served");
    if (device->reason[0] != '\0' && d->options.room_names == NULL) {
        hr_text_add(out, "; ");
        hr_text_xml(out, device->reason);
    }
    hr_text_add(out, "</desc>");
}

static void put_room(drawing *d, size_t space)
{
    const bool filled = d->options.field != HR_DRAWING_GRID;
    const hr_room_row *row = d->room_rows[space];
    if (row == NULL) {
        return;
    }
    const bool held = row->device_row != HR_SITING_NONE;
    const size_t band = held ? hr_report_band_of(report_rounded_spare(d->siting, row->device_row)) : 0;
    if (!held) {
        hr_text_add(d->out, "<path class=\"room no-device\" fill=\"#ffffff\"");
    } else if (!row->served) {
        hr_text_add(d->out, "<path class=\"room unserved\"");
        drawing_put_url(d, "fill", "unserved");
    } else {
        hr_text_addf(d->out, "<path class=\"room spare-%zu\" fill=\"%s\"", band, filled ? bands[band].fill : "none");
    }
    hr_text_add(d->out, " data-room=\"");
    hr_text_xml(d->out, drawing_room_name(d, row->room));
    hr_text_add(d->out, "\"");
    drawing_region(d, &d->plan->spaces[space].region);
    hr_text_add(d->out, ">");
    put_room_words(d, row);
    hr_text_add(d->out, "</path>\n");
}

/* An area with rooms in it lies under them, one inside a room (a bath) over it. */
static bool holds_a_room(const drawing *d, size_t area)
{
    const hr_space *outer = &d->plan->spaces[area];
    for (size_t i = 0; i < d->plan->space_count; i++) {
        const hr_space *room = &d->plan->spaces[i];
        if (room->kind == HR_SPACE_ROOM && room->area_m2 < outer->area_m2 &&
            hr_geometry_inside(&outer->region, room->innermost, 0.0)) {
            return true;
        }
    }
    return false;
}

static void put_spaces(drawing *d, const drawing_sized *order, hr_space_kind kind, bool under)
{
    static const char *const names[] = {"rooms", "areas", "corridors"};
    static const char *const fills[] = {"", " fill=\"" AREA_FILL "\"", " fill=\"" CORRIDOR_FILL "\""};
    drawing_group(d, names[kind]);
    hr_text_addf(d->out, "%s\"%s stroke=\"#8c8c8c\"", names[kind], fills[kind]);
    drawing_put_mm(d, "stroke-width", 0.15);
    hr_text_add(d->out, ">\n");
    for (size_t i = 0; i < d->plan->space_count; i++) {
        const size_t space = order[i].space;
        if (d->plan->spaces[space].kind != kind || (kind == HR_SPACE_AREA && holds_a_room(d, space) != under)) {
            continue;
        }
        if (kind == HR_SPACE_ROOM) {
            put_room(d, space);
            continue;
        }
        hr_text_add(d->out, "<path");
        drawing_region(d, &d->plan->spaces[space].region);
        hr_text_add(d->out, "/>\n");
    }
    drawing_close(d);
}

/* Large ones first: what lies in another lies over it. */
void drawing_result_floor(drawing *d)
{
    drawing_sized *order = drawing_largest_first(d);
    if (order == NULL) {
        return;
    }
    put_spaces(d, order, HR_SPACE_CORRIDOR, true);
    put_spaces(d, order, HR_SPACE_AREA, true);
    put_spaces(d, order, HR_SPACE_ROOM, true);
    put_spaces(d, order, HR_SPACE_AREA, false);
    hr_free(order);
}

/* ---- names and figures ---- */

/* A light ground under words on the pattern. */
static void put_ground(drawing *d, const drawing_label *label, double letters)
{
    const double half_x = 0.31 * letters * label->size_mm * d->mm, half_y = 1.2 * label->size_mm * d->mm;
    hr_text_add(d->out, "<rect class=\"ground\" fill=\"#ffffff\" stroke=\"none\" x=\"");
    drawing_number(d, label->x - half_x);
    hr_text_add(d->out, "\" y=\"");
    drawing_number(d, label->y - half_y);
    hr_text_add(d->out, "\" width=\"");
    drawing_number(d, 2.0 * half_x);
    hr_text_add(d->out, "\" height=\"");
    drawing_number(d, 2.0 * half_y);
    hr_text_add(d->out, "\"/>\n");
}

static void put_figure(drawing *d, const hr_room_row *row, const drawing_label *label)
{
    char number[HR_FIXED_MAX];
    hr_text words = {0};
    if (row->device_row == HR_SITING_NONE) {
        hr_text_add(&words, "no device");
    } else if (row->served) {
        hr_text_addf(&words, "%s dB", hr_fixed(report_rounded_spare(d->siting, row->device_row), 1, number));
    } else {
        hr_text_add(&words, "not served");
    }
    const double size = label->size_mm;
    hr_text name = {0};
    drawing_shorten(drawing_room_name(d, row->room), label->letters, &name);
    if (row->device_row != HR_SITING_NONE && !row->served) {
        put_ground(d, label, words.failed ? 0.0 : fmax((double)words.len, (double)hr_text_width(drawing_words(d, &name))));
    }
    d->text_class = "room-name";
    drawing_text(d, label->x, label->y - 0.2 * size * d->mm, size, "middle", DRAWING_INK,
                 drawing_words(d, &name));
    d->text_class = "room-figure";
    drawing_text(d, label->x, label->y + 0.95 * size * d->mm, size, "middle", DRAWING_INK, drawing_words(d, &words));
    d->text_class = NULL;
    hr_text_free(&name);
    hr_text_free(&words);
}

static void put_names(drawing *d, const char *const *names, bool rooms)
{
    for (size_t i = 0; i < d->plan->space_count; i++) {
        const hr_space *space = &d->plan->spaces[i];
        const drawing_label *label = &d->space_labels[i];
        if ((space->kind == HR_SPACE_ROOM) != rooms || names[i] == NULL || label->size_mm <= 0.0) {
            continue;
        }
        const hr_room_row *row = rooms ? d->room_rows[i] : NULL;
        if (row != NULL) {
            put_figure(d, row, label);
        } else {
            drawing_text(d, label->x, label->y + 0.35 * label->size_mm * d->mm, label->size_mm, "middle", "#4a4a4a",
                         names[i]);
        }
    }
}

void drawing_result_names(drawing *d)
{
    const char **names = drawing_space_names(d);
    if (names == NULL) {
        return;
    }
    for (int rooms = 0; rooms <= 1; rooms++) {
        drawing_group(d, rooms ? "figures" : "names");
        hr_text_addf(d->out, "ignore: %s\"%s paint-order=\"stroke\" stroke=\"#ffffff\" stroke-linejoin=\"round\"",
                     rooms ? "rooms and their spare" : "names", rooms ? " font-weight=\"bold\"" : "");
        drawing_put_mm(d, "stroke-width", 0.6);
        hr_text_add(d->out, ">\n");
        put_names(d, names, rooms != 0);
        drawing_close(d);
    }
    hr_free(names);
}

/* ---- title ---- */

typedef struct figures {
    size_t rooms, unserved_rooms, gateways;
    uint32_t worst; /* device row of the smallest spare, HR_SITING_NONE: nothing is served */
    uint32_t worst_room;
} figures;

static figures figures_of(const drawing *d)
{
    figures f = {.worst = HR_SITING_NONE};
    for (size_t i = 0; i < d->siting->room_count; i++) {
        const hr_room_row *row = &d->siting->rooms[i];
        if (d->building->rooms[row->room].storey != d->storey) {
            continue;
        }
        f.rooms++;
        f.unserved_rooms += !row->served && row->device_row != HR_SITING_NONE;
        if (row->served && row->device_row != HR_SITING_NONE &&
            (f.worst == HR_SITING_NONE ||
             hr_micro(d->siting->devices[row->device_row].spare_db) < hr_micro(d->siting->devices[f.worst].spare_db))) {
            f.worst = row->device_row;
            f.worst_room = row->room;
        }
    }
    for (size_t i = 0; i < d->siting->gateway_count; i++) {
        f.gateways += d->siting->gateways[i].storey == d->storey;
    }
    return f;
}

static const char *plural(size_t count)
{
    return count == 1 ? "" : "s";
}

bool drawing_say_title(drawing *d)
{
    char number[HR_FIXED_MAX], other[HR_FIXED_MAX];
    const hr_building *b = d->building;
    const figures f = figures_of(d);
    hr_text *t = &d->title;
    hr_text_addf(t, "Radio coverage, predicted by the %s model at %s MHz", hr_building_model_name((hr_model)b->radio.model),
                 hr_short(b->radio.frequency_mhz, 3, number));
    hr_text_addf(t, "%s%s. %s\n", d->options.date != NULL ? "; " : "", d->options.date != NULL ? d->options.date : "",
                 hr_report_caution());
    hr_text_addf(t, "This storey: %zu room%s, %zu not served; %zu gateway%s here", f.rooms, plural(f.rooms), f.unserved_rooms,
                 f.gateways, plural(f.gateways));
    for (size_t i = 0; i < d->siting->without_count; i++) {
        hr_text_addf(t, "%s%s", i == 0 ? "; without " : ", ", d->siting->without[i]);
    }
    if (f.worst != HR_SITING_NONE) {
        hr_text_addf(t, "; smallest spare %s dB (%s)", hr_fixed(report_rounded_spare(d->siting, f.worst), 1, number),
                     drawing_room_name(d, f.worst_room));
    }
    hr_text_addf(t, ". Whole property: %zu gateway%s; %zu of %zu devices served; %s rooms expected to fail.\n",
                 d->siting->gateway_count, plural(d->siting->gateway_count), d->siting->served_devices,
                 d->siting->device_count, hr_fixed(d->siting->expected_failing_rooms, 1, number));
    if (isfinite(d->siting->required_margin_db)) {
        hr_text_addf(t, "Spare is link margin beyond the required %s dB", hr_fixed(d->siting->required_margin_db, 1, number));
    } else {
        hr_text_addf(t, "Spare is link margin beyond what each link requires");
    }
    hr_text_addf(t, " (%s %% reliability)", hr_short(100.0 * b->radio.target_reliability, 2, number));
    if (isfinite(b->radio.range_limit_m)) {
        hr_text_addf(t, "; a gateway serves directly up to %s %s", hr_short(report_length(b, b->radio.range_limit_m), 2, number),
                     report_unit(b));
    }
    hr_text_addf(t, ". Drawn at 1:%s on paper by hallreach %s.", hr_short(d->paper, 0, other), hr_version());
    return !t->failed;
}
