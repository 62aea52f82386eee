/*
 * drawing_marks.c - places: devices, spots, gateways, network connections.
 * Each kind has a sign of its own shape, so that grey prints tell them apart.
 *
 * SPDX-License-Identifier: MIT
 */
#include "drawing_priv.h"

#define DEVICE_MM DRAWING_DEVICE_MM
#define SPOT_MM 0.55
#define GATEWAY_MM DRAWING_GATEWAY_MM
#define NETWORK_MM 1.1
#define RELAY_MM 1.4

static void put_polygon(drawing *d, const double *mm, size_t corners, double x, double y)
{
    hr_text_add(d->out, "<path d=\"");
    for (size_t i = 0; i < corners; i++) {
        hr_text_add(d->out, i == 0 ? "M" : " ");
        drawing_number(d, x + mm[2 * i] * d->mm);
        hr_text_add(d->out, ",");
        drawing_number(d, y + mm[2 * i + 1] * d->mm);
    }
    hr_text_add(d->out, "Z\"");
}

static void put_circle(drawing *d, double x, double y, double radius_mm)
{
    hr_text_add(d->out, "<circle cx=\"");
    drawing_number(d, x);
    hr_text_add(d->out, "\" cy=\"");
    drawing_number(d, y);
    hr_text_add(d->out, "\"");
    drawing_put_mm(d, "r", radius_mm);
}

/* Kinds of devices: round, square, triangle, lozenge. */
static void put_device(drawing *d, size_t kind, double x, double y)
{
    static const double square[] = {-1.0, -1.0, 1.0, -1.0, 1.0, 1.0, -1.0, 1.0};
    static const double lozenge[] = {0.0, -1.2, 1.2, 0.0, 0.0, 1.2, -1.2, 0.0};
    static const double triangle[] = {0.0, -1.1, 1.1, 1.1, -1.1, 1.1};
    const double *const outlines[] = {square, triangle, lozenge};
    static const size_t corners[] = {4, 3, 4};
    if (kind % 4 == 0) {
        put_circle(d, x, y, DEVICE_MM);
        return;
    }
    double mm[8];
    const size_t which = kind % 4 - 1;
    for (size_t i = 0; i < 2 * corners[which]; i++) {
        mm[i] = 0.85 * DEVICE_MM * outlines[which][i];
    }
    put_polygon(d, mm, corners[which], x, y);
}

/* A cross: dark arms with a light edge. */
static void put_cross(drawing *d, double x, double y)
{
    static const double mm[] = {-1.0, -0.6, -0.6, -1.0, 0.0, -0.4, 0.6, -1.0, 1.0, -0.6, 0.4, 0.0,
                                1.0,  0.6,  0.6,  1.0,  0.0, 0.4,  -0.6, 1.0, -1.0, 0.6, -0.4, 0.0};
    put_polygon(d, mm, 12, x, y);
}

/* Outline and colours; true: a circle. */
static bool put_shape(drawing *d, drawing_sign sign, size_t kind, double x, double y)
{
    static const double gateway[] = {0.0, -GATEWAY_MM, GATEWAY_MM, GATEWAY_MM * 0.8, -GATEWAY_MM, GATEWAY_MM * 0.8};
    static const double network[] = {-NETWORK_MM, -NETWORK_MM, NETWORK_MM, -NETWORK_MM,
                                     NETWORK_MM,  NETWORK_MM,  -NETWORK_MM, NETWORK_MM};
    const bool result = d->siting != NULL;
    const char *look = "";
    switch (sign) {
    case SIGN_DEVICE:
        put_device(d, kind, x, y);
        look = result ? " fill=\"" DRAWING_INK "\" stroke=\"#ffffff\"" : " fill=\"#1c6b3f\" stroke=\"#ffffff\"";
        break;
    case SIGN_SPOT:
        put_circle(d, x, y, SPOT_MM);
        look = " fill=\"#ffffff\" stroke=\"#7d3c98\"";
        break;
    case SIGN_GATEWAY:
        /* its box is centred on the place, which is how a plan reads it */
        put_polygon(d, gateway, 3, x, y + 0.1 * GATEWAY_MM * d->mm);
        look = result ? " fill=\"" DRAWING_GATEWAY_INK "\" stroke=\"#ffffff\"" : " fill=\"#c0271d\" stroke=\"#ffffff\"";
        break;
    case SIGN_NETWORK:
        put_polygon(d, network, 4, x, y);
        look = " fill=\"#ffffff\" stroke=\"#0b3d91\"";
        break;
    case SIGN_UNSERVED:
        put_cross(d, x, y);
        look = " fill=\"" DRAWING_INK "\" stroke=\"#ffffff\"";
        break;
    case SIGN_AWAY:
        put_polygon(d, gateway, 3, x, y + 0.1 * GATEWAY_MM * d->mm);
        look = " fill=\"#ffffff\" stroke=\"" DRAWING_GATEWAY_INK "\"";
        break;
    case SIGN_RELAY:
        /* storeys repeat: a device of this storey may hang at the same place and stays visible */
        put_circle(d, x, y, RELAY_MM);
        look = " fill=\"none\" stroke=\"" DRAWING_GATEWAY_INK "\"";
        break;
    }
    hr_text_add(d->out, look);
    return sign == SIGN_RELAY || sign == SIGN_SPOT || (sign == SIGN_DEVICE && kind % 4 == 0);
}

void drawing_put_sign(drawing *d, drawing_sign sign, size_t kind, double x, double y, const char *name,
                      const char *words)
{
    const bool circle = put_shape(d, sign, kind, x, y);
    drawing_put_mm(d, "stroke-width", sign == SIGN_NETWORK || sign == SIGN_AWAY ? 0.5 : sign == SIGN_RELAY ? 0.35 : 0.2);
    if (name != NULL && d->siting != NULL && sign != SIGN_NETWORK) {
        const bool gateway = sign == SIGN_GATEWAY || sign == SIGN_AWAY;
        hr_text_addf(d->out, " data-%s=\"", gateway ? "gateway" : "device");
        hr_text_xml(d->out, name);
        hr_text_add(d->out, "\"");
    }
    const char *title = name != NULL ? name : words;
    if (title == NULL) {
        hr_text_add(d->out, "/>\n");
        return;
    }
    hr_text_add(d->out, "><title>");
    hr_text_xml(d->out, title);
    hr_text_add(d->out, "</title>");
    if (name != NULL && words != NULL) {
        hr_text_add(d->out, "<desc>");
        hr_text_xml(d->out, words);
        hr_text_add(d->out, "</desc>");
    }
    hr_text_addf(d->out, "</%s>\n", circle ? "circle" : "path");
}

static void put_at(drawing *d, drawing_sign sign, size_t kind, hr_point at, const char *name)
{
    drawing_put_sign(d, sign, kind, at.x * DRAWING_UNITS_PER_M, at.y * DRAWING_UNITS_PER_M, name, NULL);
}

void drawing_devices(drawing *d)
{
    const hr_building *b = d->building;
    for (size_t kind = 0; kind < b->kind_count; kind++) {
        bool open = false;
        for (size_t i = 0; i < b->device_count; i++) {
            const hr_device *device = &b->devices[i];
            if (device->storey != d->storey || device->kind != kind) {
                continue;
            }
            if (!open) {
                hr_text label = {0};
                hr_text_addf(&label, "devices: %s", b->kinds[kind].name);
                drawing_open(d, "devices", drawing_words(d, &label), "");
                hr_text_free(&label);
                open = true;
            }
            put_at(d, SIGN_DEVICE, kind, device->at, device->name);
        }
        if (open) {
            drawing_close(d);
        }
    }
}

void drawing_spots(drawing *d)
{
    const hr_building *b = d->building;
    bool open = false;
    for (size_t i = 0; i < b->spot_count; i++) {
        if (b->spots[i].storey != d->storey) {
            continue;
        }
        if (!open) {
            drawing_open(d, "spots", "spots", "");
            open = true;
        }
        put_at(d, SIGN_SPOT, 0, b->spots[i].at, b->spots[i].id);
    }
    if (open) {
        drawing_close(d);
    }
}

void drawing_network(drawing *d)
{
    if (d->plan->network_count == 0) {
        return;
    }
    drawing_open(d, "network", "network", "");
    for (size_t i = 0; i < d->plan->network_count; i++) {
        put_at(d, SIGN_NETWORK, 0, d->plan->networks[i].at,
               d->options.room_names == NULL ? d->plan->networks[i].name : NULL);
    }
    drawing_close(d);
}

void drawing_gateways(drawing *d)
{
    const hr_building *b = d->building;
    for (int texts = 0; texts <= 1; texts++) {
        bool open = false;
        for (size_t i = 0; i < b->gateway_count; i++) {
            const hr_gateway *gateway = &b->gateways[i];
            if (gateway->storey != d->storey) {
                continue;
            }
            if (!open) {
                drawing_open(d, texts ? "gateway-names" : "gateways", texts ? "ignore: gateway names" : "gateways", "");
                open = true;
            }
            if (texts) {
                drawing_text(d, gateway->at.x * DRAWING_UNITS_PER_M + (GATEWAY_MM + 0.5) * d->mm,
                             gateway->at.y * DRAWING_UNITS_PER_M + d->mm, 2.6, "start", "#c0271d", gateway->id);
            } else {
                put_at(d, SIGN_GATEWAY, 0, gateway->at, gateway->id);
            }
        }
        if (open) {
            drawing_close(d);
        }
    }
}
