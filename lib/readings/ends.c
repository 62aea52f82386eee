/*
 * ends.c - whom a row speaks of: a gateway, a device, a room's first device,
 * or a point in the building.
 *
 * SPDX-License-Identifier: MIT
 */
#include "readings_priv.h"

#include <math.h>
#include <string.h>

#define COORDINATE_MAX_M 1e6
#define MOUNT_MAX_M 100.0

static bool take_gateway(const hr_building *b, const char *name, hr_reading_end *end)
{
    const uint32_t gateway = hr_building_gateway(b, name);
    if (gateway == UINT32_MAX) {
        return false;
    }
    const hr_gateway *g = &b->gateways[gateway];
    *end = (hr_reading_end){.name = g->id,
                            .gateway = gateway,
                            .device = HR_READINGS_NONE,
                            .storey = g->storey,
                            .end = hr_links_gateway_end(b, g->at, g->z_m)};
    return true;
}

static void take_device(const hr_building *b, uint32_t device, hr_reading_end *end)
{
    const hr_device *d = &b->devices[device];
    *end = (hr_reading_end){.name = d->name,
                            .gateway = HR_READINGS_NONE,
                            .device = device,
                            .storey = d->storey,
                            .end = hr_links_device_end(b, device)};
}

static uint32_t first_device(const hr_building *b, uint32_t room)
{
    for (size_t i = 0; i < b->device_count; i++) {
        if (b->devices[i].room == room) {
            return (uint32_t)i;
        }
    }
    return HR_READINGS_NONE;
}

static void add_nearest(reading_row *row, const char *name)
{
    const hr_building *b = row->building;
    const size_t most = b->gateway_count + b->room_count + b->device_count;
    const char **names = hr_alloc(most, sizeof *names);
    if (names == NULL) {
        row->why.failed = true; /* the reason stands in the report */
        return;
    }
    size_t count = 0;
    for (size_t i = 0; i < b->gateway_count; i++) {
        names[count++] = b->gateways[i].id;
    }
    for (size_t i = 0; i < b->room_count; i++) {
        names[count++] = b->rooms[i].name;
    }
    for (size_t i = 0; i < b->device_count; i++) {
        names[count++] = b->devices[i].name;
    }
    const char *nearest = hr_nearest(name, names, count, 1);
    if (nearest != NULL) {
        hr_text_addf(&row->why, ", did you mean %s?", nearest);
    }
    hr_free(names);
}

/* Equal but for leading zeros, which spreadsheets drop from what looks like a number. */
static bool is_same_number(const char *a, const char *b)
{
    if (a[0] == '\0' || a[strspn(a, "0123456789")] != '\0' || b[0] == '\0' || b[strspn(b, "0123456789")] != '\0') {
        return false;
    }
    a += strspn(a, "0");
    b += strspn(b, "0");
    return strcmp(a, b) == 0;
}

/* The one room or gateway of that number; NULL: none, or several. */
static const char *find_number(const hr_building *b, const char *name)
{
    const char *found = NULL;
    size_t count = 0;
    for (size_t i = 0; i < b->room_count; i++) {
        if (is_same_number(b->rooms[i].name, name)) {
            found = b->rooms[i].name;
            count++;
        }
    }
    for (size_t i = 0; i < b->gateway_count; i++) {
        if (is_same_number(b->gateways[i].id, name)) {
            found = b->gateways[i].id;
            count++;
        }
    }
    return count == 1 ? found : NULL;
}

static bool take_name(reading_row *row, const char *column, const char *name, hr_reading_end *end)
{
    const hr_building *b = row->building;
    if (take_gateway(b, name, end)) {
        return true;
    }
    uint32_t device = hr_building_device(b, name);
    const uint32_t room = hr_building_room(b, name);
    const char *number = device == UINT32_MAX && room == UINT32_MAX && !row->by_number ? find_number(b, name) : NULL;
    if (number != NULL) {
        row->by_number = true; /* once, so that this ends */
        hr_note(row->notes, row->file, row->line, "%s = %s is taken as %s: a spreadsheet drops leading zeros", column, name,
                number);
        const bool taken = take_name(row, column, number, end);
        row->by_number = false;
        return taken;
    }
    if (device == UINT32_MAX && room != UINT32_MAX) {
        device = first_device(b, room);
        if (device == HR_READINGS_NONE) {
            hr_text_addf(&row->why, "%s = %s: this room holds no device", column, name);
            return false;
        }
    }
    if (device != UINT32_MAX) {
        take_device(b, device, end);
        return true;
    }
    hr_text_addf(&row->why, "%s = %s: no such gateway, device or room", column, name);
    if (b->gateway_count == 0) {
        hr_text_add(&row->why, " (the property has no gateways; --gateways names a list)");
    }
    add_nearest(row, name);
    return false;
}

static bool take_length(reading_row *row, int column, double low_m, double high_m, double *value_m)
{
    double value = 0.0;
    if (!hr_csv_number(row->csv, row->cells[column], &value)) {
        hr_text_addf(&row->why, "%s = %s: a number was expected", reading_column_names[column], row->cells[column]);
        return false;
    }
    *value_m = hr_units_to_metres(value, row->building->length_unit);
    if (!(*value_m >= low_m && *value_m <= high_m)) {
        hr_text_addf(&row->why, "%s = %s: out of range", reading_column_names[column], row->cells[column]);
        return false;
    }
    return true;
}

/* The radio at a point: a gateway's or that of a kind of device. */
static bool take_kind(reading_row *row, hr_reading_end *end)
{
    const hr_building *b = row->building;
    const char *kind = row->cells[READING_KIND];
    if (hr_casecmp(kind, "gateway") == 0) {
        end->name = "gateway";
        end->end = hr_links_gateway_end(b, (hr_point){0.0, 0.0}, 0.0);
        return true;
    }
    for (size_t i = 0; i < b->kind_count; i++) {
        if (hr_casecmp(b->kinds[i].name, kind) == 0) {
            end->name = b->kinds[i].name;
            end->end = (hr_end){.radio = &b->kinds[i].radio, .enclosure = b->kinds[i].enclosure};
            return true;
        }
    }
    hr_text_addf(&row->why, "kind = %s: gateway or a kind of device was expected for a point", kind);
    return false;
}

static bool take_point(reading_row *row, hr_reading_end *end)
{
    const hr_building *b = row->building;
    *end = (hr_reading_end){.gateway = HR_READINGS_NONE, .device = HR_READINGS_NONE, .point = true};
    end->storey = hr_building_storey(b, row->cells[READING_STOREY]);
    if (end->storey == UINT32_MAX) {
        hr_text_addf(&row->why, "storey = %s: no such storey", row->cells[READING_STOREY]);
        return false;
    }
    double mount_m = 0.0, x_m = 0.0, y_m = 0.0;
    if (!take_kind(row, end) || !take_length(row, READING_X, -COORDINATE_MAX_M, COORDINATE_MAX_M, &x_m) ||
        !take_length(row, READING_Y, -COORDINATE_MAX_M, COORDINATE_MAX_M, &y_m)) {
        return false;
    }
    mount_m = end->end.radio->mount_height_m;
    if (row->cells[READING_MOUNT][0] != '\0' && !take_length(row, READING_MOUNT, 0.0, MOUNT_MAX_M, &mount_m)) {
        return false;
    }
    end->end.at = (hr_point){x_m, y_m};
    end->end.z_m = b->storeys[end->storey].elevation_m + mount_m;
    return true;
}

bool reading_ends(reading_row *row, hr_reading *reading)
{
    const bool old_style = row->cells[READING_FROM][0] == '\0' && row->cells[READING_TO][0] == '\0';
    /* old style: the room's device as measured at the gateway */
    const char *from = row->cells[old_style ? READING_ROOM : READING_FROM];
    const char *to = row->cells[old_style ? READING_GATEWAY : READING_TO];
    const bool point = row->cells[READING_X][0] != '\0' || row->cells[READING_Y][0] != '\0';
    row->point_unused = from[0] != '\0' && to[0] != '\0' && point; /* the names say where they are */
    if (from[0] == '\0' && to[0] == '\0') {
        hr_text_add(&row->why, "neither from nor to is given");
        return false;
    }
    if ((from[0] == '\0' || to[0] == '\0') && !point) {
        hr_text_addf(&row->why, "no %s: a name, or a point in storey, x and y was expected", from[0] == '\0' ? "from" : "to");
        return false;
    }
    if (!(from[0] == '\0' ? take_point(row, &reading->from) : take_name(row, old_style ? "room" : "from", from, &reading->from)) ||
        !(to[0] == '\0' ? take_point(row, &reading->to) : take_name(row, old_style ? "gateway" : "to", to, &reading->to))) {
        return false;
    }
    const hr_end *a = &reading->from.end, *b = &reading->to.end;
    if (hypot(hypot(a->at.x - b->at.x, a->at.y - b->at.y), a->z_m - b->z_m) < 0.01) {
        hr_text_add(&row->why, "both ends stand at the same place");
        return false;
    }
    return true;
}
