/*
 * drawing_hops.c - who hangs on whom: a thin line from each device to its next
 * hop, and the gateways.
 *
 * SPDX-License-Identifier: MIT
 */
#include "drawing_priv.h"

/* The next hop's place and storey; false: the device is not served and has none. */
static bool next_hop(const drawing *d, const hr_device_row *row, hr_point *at, uint32_t *storey)
{
    if (!row->served || row->gateway == HR_SITING_NONE) {
        return false;
    }
    if (row->via != HR_SITING_NONE) {
        *at = d->building->devices[row->via].at;
        *storey = d->building->devices[row->via].storey;
        return true;
    }
    *at = d->siting->gateways[row->gateway].at;
    *storey = d->siting->gateways[row->gateway].storey;
    return true;
}

static bool is_here(const drawing *d, const hr_device_row *row)
{
    return d->building->devices[row->device].storey == d->storey;
}

static bool has_away(const drawing *d, const drawing_away *away)
{
    for (size_t i = 0; i < d->away_count; i++) {
        if (d->aways[i].gateway == away->gateway && d->aways[i].device == away->device) {
            return true;
        }
    }
    return false;
}

hr_status drawing_find_aways(drawing *d, hr_error *err)
{
    for (size_t i = 0; i < d->siting->device_count; i++) {
        const hr_device_row *row = &d->siting->devices[i];
        drawing_away away = {.gateway = HR_SITING_NONE, .device = row->via};
        uint32_t storey;
        if (!is_here(d, row) || !next_hop(d, row, &away.at, &storey) || storey == d->storey) {
            continue;
        }
        away.gateway = row->via == HR_SITING_NONE ? row->gateway : HR_SITING_NONE;
        if (has_away(d, &away)) {
            continue;
        }
        if (!HR_RESERVE(d->aways, d->away_cap, d->away_count + 1)) {
            return hr_fail_memory(err);
        }
        d->aways[d->away_count++] = away;
    }
    return HR_OK;
}

/* A wall control and the unit of its own room. */
static bool is_in_room(const drawing *d, const hr_device_row *row)
{
    return row->via != HR_SITING_NONE && d->building->devices[row->via].room == d->building->devices[row->device].room;
}

/* Line styles: to what is on this storey, to another storey, within a room. */
enum { HOP_HERE = 0, HOP_AWAY, HOP_ROOM, HOP_STYLES };

static int style_of(const drawing *d, const hr_device_row *row, uint32_t storey)
{
    return is_in_room(d, row) ? HOP_ROOM : storey == d->storey ? HOP_HERE : HOP_AWAY;
}

static void put_hop(drawing *d, const hr_device_row *row, hr_point to)
{
    hr_text name = {0};
    const hr_point ends[] = {d->building->devices[row->device].at, to};
    drawing_device_name(d, row->device, &name);
    hr_text_add(d->out, "<path data-device=\"");
    hr_text_xml(d->out, drawing_words(d, &name));
    hr_text_add(d->out, "\" d=\"");
    drawing_path(d, ends, 2, false);
    hr_text_add(d->out, "\"/>\n");
    hr_text_free(&name);
}

static void put_dashes(drawing *d, double on_mm, double off_mm)
{
    hr_text_add(d->out, " stroke-dasharray=\"");
    drawing_number(d, on_mm * d->mm);
    hr_text_add(d->out, ",");
    drawing_number(d, off_mm * d->mm);
    hr_text_add(d->out, "\"");
}

void drawing_hop_style(drawing *d, int style)
{
    hr_text_add(d->out, " fill=\"none\" stroke=\"" DRAWING_GATEWAY_INK "\"");
    drawing_put_mm(d, "stroke-width", style == HOP_ROOM ? 0.12 : 0.18);
    if (style == HOP_AWAY) {
        put_dashes(d, 1.2, 0.8);
    } else if (style == HOP_ROOM) {
        put_dashes(d, 0.3, 0.6);
    }
}

/* The number of hops beside the line, where it is free of other texts; more than one only. */
static void put_count(drawing *d, const hr_device_row *row, hr_point to)
{
    static const double places[] = {0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8};
    const hr_point from = d->building->devices[row->device].at;
    const double half = 0.9 * d->mm;
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        const double x = (from.x + places[i] * (to.x - from.x)) * DRAWING_UNITS_PER_M;
        const double y = (from.y + places[i] * (to.y - from.y)) * DRAWING_UNITS_PER_M;
        const hr_box box = {x - half, y - half, x + half, y + half};
        if (drawing_is_free(d, box)) {
            hr_text words = {0};
            hr_text_addf(&words, "%u", row->hops);
            drawing_text(d, x, y + 0.7 * d->mm, 2.0, "middle", DRAWING_GATEWAY_INK, drawing_words(d, &words));
            hr_text_free(&words);
            d->out->failed = d->out->failed || !drawing_take(d, box);
            return;
        }
    }
}

static void put_counts(drawing *d)
{
    bool open = false;
    for (size_t i = 0; i < d->siting->device_count; i++) {
        const hr_device_row *row = &d->siting->devices[i];
        hr_point to;
        uint32_t storey;
        if (!is_here(d, row) || row->hops < 2 || is_in_room(d, row) || !next_hop(d, row, &to, &storey)) {
            continue;
        }
        if (!open) {
            drawing_open(d, "hop-counts", "ignore: hop counts",
                         "paint-order=\"stroke\" stroke=\"#ffffff\" stroke-linejoin=\"round\"");
            hr_text_add(d->out, "<g");
            drawing_put_mm(d, "stroke-width", 0.5);
            hr_text_add(d->out, ">\n");
            open = true;
        }
        put_count(d, row, to);
    }
    if (open) {
        hr_text_add(d->out, "</g>\n");
        drawing_close(d);
    }
}

void drawing_hops(drawing *d)
{
    static const char *const labels[] = {"ignore: next hops", "ignore: next hops on other storeys",
                                         "ignore: next hops in the room"};
    for (int style = 0; style < HOP_STYLES; style++) {
        bool open = false;
        for (size_t i = 0; i < d->siting->device_count; i++) {
            const hr_device_row *row = &d->siting->devices[i];
            hr_point to;
            uint32_t storey;
            if (!is_here(d, row) || !next_hop(d, row, &to, &storey) || style_of(d, row, storey) != style) {
                continue;
            }
            if (!open) {
                drawing_group(d, "hops");
                hr_text_addf(d->out, "%s\"", labels[style]);
                drawing_hop_style(d, style);
                hr_text_add(d->out, ">\n");
                open = true;
            }
            put_hop(d, row, to);
        }
        if (open) {
            drawing_close(d);
        }
    }
    put_counts(d);
}

/* ---- signs ---- */

static void put_device(drawing *d, const hr_device_row *row)
{
    const hr_device *device = &d->building->devices[row->device];
    hr_text name = {0};
    drawing_device_name(d, row->device, &name);
    drawing_put_sign(d, row->served ? SIGN_DEVICE : SIGN_UNSERVED, device->kind, device->at.x * DRAWING_UNITS_PER_M,
                     device->at.y * DRAWING_UNITS_PER_M, drawing_words(d, &name), NULL);
    hr_text_free(&name);
}

void drawing_result_devices(drawing *d)
{
    const hr_building *b = d->building;
    for (size_t kind = 0; kind < b->kind_count; kind++) {
        bool open = false;
        for (size_t i = 0; i < d->siting->device_count; i++) {
            const hr_device_row *row = &d->siting->devices[i];
            if (!is_here(d, row) || b->devices[row->device].kind != kind) {
                continue;
            }
            if (!open) {
                drawing_group(d, "devices");
                hr_text_add(d->out, "devices: ");
                hr_text_xml(d->out, b->kinds[kind].name);
                hr_text_add(d->out, "\">\n");
                open = true;
            }
            put_device(d, row);
        }
        if (open) {
            drawing_close(d);
        }
    }
}

/* "GW3 on storey 2", or the relay's name. */
void drawing_away_words(drawing *d, const drawing_away *away, hr_text *out)
{
    const uint32_t storey = away->gateway != HR_SITING_NONE ? d->siting->gateways[away->gateway].storey
                                                            : d->building->devices[away->device].storey;
    if (away->gateway != HR_SITING_NONE) {
        hr_text_add(out, d->siting->gateways[away->gateway].id);
    } else {
        drawing_device_name(d, away->device, out);
    }
    hr_text_addf(out, " on storey %s", d->building->storeys[storey].name);
}

static void put_away(drawing *d, const drawing_away *away, bool text)
{
    hr_text words = {0};
    drawing_away_words(d, away, &words);
    const double x = away->at.x * DRAWING_UNITS_PER_M, y = away->at.y * DRAWING_UNITS_PER_M;
    if (text && away->label.size_mm > 0.0) {
        drawing_text(d, away->label.x, away->label.y + 0.35 * away->label.size_mm * d->mm, away->label.size_mm, "middle",
                     DRAWING_GATEWAY_INK, drawing_words(d, &words));
    } else if (!text && away->gateway != HR_SITING_NONE) {
        drawing_put_sign(d, SIGN_AWAY, 0, x, y, d->siting->gateways[away->gateway].id, drawing_words(d, &words));
    } else if (!text) {
        drawing_put_sign(d, SIGN_SPOT, 0, x, y, NULL, drawing_words(d, &words));
    }
    hr_text_free(&words);
}

static void put_gateways(drawing *d)
{
    bool open = false;
    for (size_t i = 0; i < d->siting->gateway_count; i++) {
        const hr_sited_gateway *g = &d->siting->gateways[i];
        if (g->storey != d->storey) {
            continue;
        }
        if (!open) {
            drawing_open(d, "gateways", "gateways", "");
            open = true;
        }
        char number[HR_FIXED_MAX];
        hr_text title = {0};
        hr_text_addf(&title, "%s: %zu devices, %zu directly, at a height of %s %s", g->id, g->devices, g->direct_devices,
                     hr_short(report_length(d->building, g->mount_height_m), 2, number), report_unit(d->building));
        drawing_put_sign(d, SIGN_GATEWAY, 0, g->at.x * DRAWING_UNITS_PER_M, g->at.y * DRAWING_UNITS_PER_M, g->id,
                         drawing_words(d, &title));
        hr_text_free(&title);
    }
    if (open) {
        drawing_close(d);
    }
}

void drawing_result_gateways(drawing *d)
{
    if (d->away_count > 0) {
        drawing_open(d, "away", "ignore: gateways on other storeys", "");
        for (size_t i = 0; i < d->away_count; i++) {
            put_away(d, &d->aways[i], false);
        }
        drawing_close(d);
    }
    put_gateways(d);
    drawing_group(d, "gateway-names");
    hr_text_add(d->out, "ignore: gateway names\" paint-order=\"stroke\" stroke=\"#ffffff\" stroke-linejoin=\"round\"");
    drawing_put_mm(d, "stroke-width", 0.8);
    hr_text_add(d->out, ">\n");
    for (size_t i = 0; i < d->away_count; i++) {
        put_away(d, &d->aways[i], true);
    }
    for (size_t i = 0; i < d->siting->gateway_count; i++) {
        const drawing_label *label = &d->gateway_labels[i];
        if (d->siting->gateways[i].storey == d->storey && label->size_mm > 0.0) {
            hr_text_add(d->out, "<g font-weight=\"bold\">");
            drawing_text(d, label->x, label->y + 0.35 * label->size_mm * d->mm, label->size_mm, "middle",
                         DRAWING_GATEWAY_INK, d->siting->gateways[i].id);
            hr_text_add(d->out, "</g>\n");
        }
    }
    drawing_close(d);
}
