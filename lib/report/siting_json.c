/*
 * siting_json.c - gateways, rooms and devices of `place` and `rooms` as JSON.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

typedef struct writer {
    report_json json;
    const hr_building *building;
    const hr_siting *siting;
} writer;

static json_t *gateway_id(writer *w, uint32_t gateway)
{
    return report_string(&w->json, gateway == HR_SITING_NONE ? NULL : w->siting->gateways[gateway].id);
}

static json_t *storey_name(writer *w, uint32_t storey)
{
    return report_string(&w->json, w->building->storeys[storey].name);
}

static json_t *gateways(writer *w)
{
    json_t *list = json_array();
    for (size_t i = 0; i < w->siting->gateway_count; i++) {
        const hr_sited_gateway *g = &w->siting->gateways[i];
        json_t *row = json_object();
        report_put(&w->json, row, "id", report_string(&w->json, g->id));
        report_put(&w->json, row, "storey", storey_name(w, g->storey));
        report_put(&w->json, row, "spot", report_string(&w->json, g->spot));
        report_put(&w->json, row, "x_m", report_level(g->at.x));
        report_put(&w->json, row, "y_m", report_level(g->at.y));
        report_put(&w->json, row, "mount_height_m", report_level(g->mount_height_m));
        report_put(&w->json, row, "existing", json_boolean(g->existing));
        report_put(&w->json, row, "network_id", report_string(&w->json, g->network_id));
        report_put(&w->json, row, "devices", report_count(g->devices));
        report_put(&w->json, row, "direct_devices", report_count(g->direct_devices));
        report_put_gateway_more(&w->json, row, w->building, g);
        report_append(&w->json, list, row);
    }
    return list;
}

static json_t *hops_of(const hr_device_row *row)
{
    return row->hops > 0 ? report_count(row->hops) : json_null();
}

static json_t *rooms(writer *w)
{
    json_t *list = json_array();
    for (size_t i = 0; i < w->siting->room_count; i++) {
        const hr_room_row *room = &w->siting->rooms[i];
        const hr_room *known = &w->building->rooms[room->room];
        json_t *row = json_object();
        report_put(&w->json, row, "room", report_string(&w->json, known->name));
        report_put(&w->json, row, "storey", storey_name(w, known->storey));
        if (room->device_row == HR_SITING_NONE) {
            report_put(&w->json, row, "gateway", json_null());
            report_put(&w->json, row, "link_margin_db", json_null());
            report_put(&w->json, row, "spare_db", json_null());
            report_put(&w->json, row, "hops", json_null());
        } else {
            const hr_device_row *worst = &w->siting->devices[room->device_row];
            report_put(&w->json, row, "gateway", gateway_id(w, worst->gateway));
            report_put(&w->json, row, "link_margin_db",
                       report_level(worst->has_link ? worst->link.link_margin_db : REPORT_UNKNOWN));
            report_put(&w->json, row, "spare_db", report_level(report_rounded_spare(w->siting, room->device_row)));
            report_put(&w->json, row, "hops", hops_of(worst));
        }
        report_put(&w->json, row, "served", json_boolean(room->served));
        report_append(&w->json, list, row);
    }
    return list;
}

static void put_link(writer *w, json_t *row, const hr_device_row *device)
{
    const hr_link *link = &device->link;
    const bool has = device->has_link;
    report_put(&w->json, row, "distance_m", report_level(has ? link->distance_m : REPORT_UNKNOWN));
    report_put(&w->json, row, "path_loss_db", report_level(has ? link->path_loss_db : REPORT_UNKNOWN));
    report_put(&w->json, row, "received_dbm", report_level(has ? link->received_dbm : REPORT_UNKNOWN));
    report_put(&w->json, row, "direction",
               report_string(&w->json, !has ? NULL : link->direction == HR_DOWN ? "down" : "up"));
    report_put(&w->json, row, "link_margin_db", report_level(has ? link->link_margin_db : REPORT_UNKNOWN));
    report_put(&w->json, row, "spare_db", report_level(report_rounded_spare(w->siting, device->device)));
    report_put(&w->json, row, "reliability", report_probability(has ? device->reliability : REPORT_UNKNOWN));
    report_put(&w->json, row, "within_range_limit",
               device->within_range < 0 ? json_null() : json_boolean(device->within_range));
    report_put(&w->json, row, "required_margin_db", report_level(has ? link->required_margin_db : REPORT_UNKNOWN));
}

static const char *network_of(const writer *w, const hr_device_row *row)
{
    return row->gateway == HR_SITING_NONE ? NULL : w->siting->gateways[row->gateway].network_id;
}

static json_t *devices(writer *w)
{
    json_t *list = json_array();
    for (size_t i = 0; i < w->siting->device_count; i++) {
        const hr_device_row *device = &w->siting->devices[i];
        const hr_device *known = &w->building->devices[device->device];
        json_t *row = json_object();
        report_put(&w->json, row, "device", report_string(&w->json, known->name));
        report_put(&w->json, row, "room", report_string(&w->json, w->building->rooms[known->room].name));
        report_put(&w->json, row, "kind", report_string(&w->json, w->building->kinds[known->kind].name));
        report_put(&w->json, row, "storey", storey_name(w, known->storey));
        report_put(&w->json, row, "gateway", gateway_id(w, device->gateway));
        report_put(&w->json, row, "network_id", report_string(&w->json, network_of(w, device)));
        report_put(&w->json, row, "via", report_string(&w->json, hr_siting_far_name(w->building, w->siting, device)));
        report_put(&w->json, row, "hops", hops_of(device));
        put_link(w, row, device);
        report_put(&w->json, row, "served", json_boolean(device->served));
        report_put(&w->json, row, "reason", report_string(&w->json, device->served ? NULL : device->reason));
        report_put(&w->json, row, "closest_gateway", gateway_id(w, device->closest));
        report_put(&w->json, row, "gateways_in_reach", report_count(device->in_reach));
        report_append(&w->json, list, row);
    }
    return list;
}

static json_t *placement(writer *w)
{
    json_t *row = json_object();
    report_put(&w->json, row, "gateways", report_count(w->siting->gateway_count));
    report_put(&w->json, row, "lower_bound", report_count(w->siting->lower_bound));
    report_put(&w->json, row, "proved_fewest", json_boolean(w->siting->proved_fewest));
    return row;
}

hr_status hr_report_siting_json(const hr_building *building, const hr_siting *siting, const hr_notes *notes,
                                const char *command, hr_text *out, hr_error *err)
{
    writer w = {.building = building, .siting = siting};
    json_t *top = json_object();
    report_put(&w.json, top, "command", report_string(&w.json, command));
    report_put(&w.json, top, "version", report_string(&w.json, hr_version()));
    report_put(&w.json, top, "property", report_string(&w.json, building->name));
    report_put(&w.json, top, "frequency_mhz", report_level(building->radio.frequency_mhz));
    report_put(&w.json, top, "model", report_string(&w.json, hr_building_model_name((hr_model)building->radio.model)));
    report_put(&w.json, top, "target_reliability", report_probability(building->radio.target_reliability));
    report_put(&w.json, top, "required_margin_db", report_level(siting->required_margin_db));
    report_put(&w.json, top, "gateways", gateways(&w));
    report_put(&w.json, top, "rooms", rooms(&w));
    report_put(&w.json, top, "devices", devices(&w));
    report_put(&w.json, top, "expected_failing_rooms", report_level(siting->expected_failing_rooms));
    if (siting->placed) {
        report_put(&w.json, top, "placement", placement(&w));
    }
    report_put_siting_more(&w.json, top, building, siting);
    report_put_tail(&w.json, top, building, notes);
    return report_json_end(&w.json, top, out, err);
}
