/*
 * siting_more.c - what stands beside the gateway and room tables for people:
 * how to hang the gateways, next hops, sole relays, reasons, fewer gateways.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

#include <stdio.h>

#define CLOSEST_SHOWN ((size_t)10)

static void add_wall(const hr_building *building, const hr_sited_gateway *g, int which, report_table *table)
{
    if (g->wall_side[which] == NULL) {
        report_table_cell(table, NULL);
        return;
    }
    hr_text text = {0};
    hr_text_fixed(&text, report_length(building, g->wall_m[which]), 2);
    hr_text_addf(&text, " %s", g->wall_side[which]);
    report_table_cell(table, report_words(&table->cells, &text));
    hr_text_free(&text);
}

void report_add_mounting(const hr_building *building, const hr_siting *siting, hr_text *out)
{
    hr_text_addf(out, "Mounting, lengths in %s: from the gateway to the centre lines of two walls, as the drawing lies\n",
                 report_unit(building));
    static const char *const heads[] = {"gateway", "storey", "nearest room", ">wall", ">and wall", "cable from", ">cable",
                                        "power"};
    report_table table;
    report_table_start(&table, heads, 8);
    for (size_t i = 0; i < siting->gateway_count; i++) {
        const hr_sited_gateway *g = &siting->gateways[i];
        report_table_cell(&table, g->id);
        report_table_cell(&table, building->storeys[g->storey].name);
        report_table_cell(&table, g->nearest_room == HR_SITING_NONE ? NULL : building->rooms[g->nearest_room].name);
        add_wall(building, g, 0, &table);
        add_wall(building, g, 1, &table);
        report_table_cell(&table, g->closet);
        report_table_fixed(&table, report_length(building, g->cable_m), 1);
        report_table_cell(&table, g->power);
    }
    report_table_end(&table, out);
    hr_text_add(out, "\n");
}

static void add_next_hops(const hr_building *building, const hr_siting *siting, hr_text *out)
{
    hr_text_add(out, "Next hops: spare and reliability over the whole way (a mesh that heals does better)\n");
    static const char *const heads[] = {"device", "via", "gateway", ">hops", ">link margin", ">spare", ">reliability"};
    report_table table;
    report_table_start(&table, heads, 7);
    for (size_t i = 0; i < siting->device_count; i++) {
        const hr_device_row *row = &siting->devices[i];
        const bool joins = building->kinds[building->devices[i].kind].joins == HR_JOINS_GATEWAY;
        if (!row->served || !joins) {
            continue;
        }
        report_table_cell(&table, building->devices[i].name);
        report_table_cell(&table, hr_siting_far_name(building, siting, row));
        report_table_cell(&table, siting->gateways[row->gateway].id);
        report_table_count(&table, row->hops);
        report_table_fixed(&table, row->link.link_margin_db, 1);
        report_table_fixed(&table, report_rounded_spare(siting, i), 1);
        report_table_fixed(&table, row->reliability, 4);
    }
    report_table_end(&table, out);
    hr_text_add(out, "\n");
}

static void add_sole_relays(const hr_building *building, const hr_siting *siting, hr_text *out)
{
    if (siting->sole_relay_count == 0) {
        hr_text_add(out, "Sole relays: none; no single relay's failure cuts another device off.\n\n");
        return;
    }
    hr_text_addf(out, "Sole relays (%zu): their failure cuts others off from every gateway\n", siting->sole_relay_count);
    static const char *const heads[] = {"device", "storey", ">cuts off"};
    report_table table;
    report_table_start(&table, heads, 3);
    for (size_t i = 0; i < siting->sole_relay_count; i++) {
        const hr_device *device = &building->devices[siting->sole_relays[i].device];
        report_table_cell(&table, device->name);
        report_table_cell(&table, building->storeys[device->storey].name);
        report_table_count(&table, siting->sole_relays[i].cut_off);
    }
    report_table_end(&table, out);
    hr_text_add(out, "\n");
}

void report_add_mesh(const hr_building *building, const hr_siting *siting, hr_text *out)
{
    if (building->radio.max_hops > 1) {
        add_next_hops(building, siting, out);
        add_sole_relays(building, siting, out);
    }
}

void report_add_closest(const hr_building *building, const hr_siting *siting, hr_text *out)
{
    size_t count = 0;
    for (size_t i = 0; i < siting->device_count; i++) {
        const hr_device_row *row = &siting->devices[i];
        if (!row->served || row->closest == HR_SITING_NONE) {
            continue;
        }
        if (count < CLOSEST_SHOWN) {
            hr_text_addf(out, "%s%s joins %s, not the closest gateway %s", count == 0 ? "Closest is not best: " : "; ",
                         building->devices[i].name, siting->gateways[row->gateway].id, siting->gateways[row->closest].id);
        }
        count++;
    }
    if (count > CLOSEST_SHOWN) {
        hr_text_addf(out, "; and %zu more", count - CLOSEST_SHOWN);
    }
    if (count > 0) {
        hr_text_add(out, ". The closest one is more than 3 dB worse, out of reach or full.\n\n");
    }
}

void report_add_without(const hr_building *building, const hr_siting *siting, hr_text *out)
{
    if (siting->without_count == 0) {
        return;
    }
    hr_text_add(out, "Without");
    for (size_t i = 0; i < siting->without_count; i++) {
        hr_text_addf(out, "%s %s", i > 0 ? "," : "", siting->without[i]);
    }
    if (siting->failing_count == 0) {
        hr_text_add(out, " nothing fails: the other gateways serve every device.\n\n");
        return;
    }
    uint32_t last = HR_SITING_NONE;
    size_t rooms = 0;
    for (size_t i = 0; i < siting->failing_count; i++) { /* devices stand room by room */
        const uint32_t room = building->devices[siting->failing[i]].room;
        rooms += room != last;
        last = room;
    }
    hr_text_addf(out, " %zu devices in %zu rooms fail:", siting->failing_count, rooms);
    last = HR_SITING_NONE;
    for (size_t i = 0; i < siting->failing_count; i++) {
        const uint32_t room = building->devices[siting->failing[i]].room;
        if (room != last) {
            hr_text_addf(out, "%s %s", last == HR_SITING_NONE ? "" : ",", building->rooms[room].name);
        }
        last = room;
    }
    hr_text_add(out, "\n\n");
}

void report_add_reasons(const hr_siting *siting, hr_text *out)
{
    if (siting->reasons == NULL) {
        return;
    }
    hr_text_add(out, "Why each gateway: what no other one reaches, and what is lost without it; dB\n");
    static const char *const heads[] = {"gateway", "spot", "label", ">cost", ">only it reaches", ">devices lost", ">rooms lost",
                                        ">smallest spare then"};
    report_table table;
    report_table_start(&table, heads, 8);
    for (size_t i = 0; i < siting->gateway_count; i++) {
        const hr_sited_gateway *g = &siting->gateways[i];
        report_table_cell(&table, g->id);
        report_table_cell(&table, g->spot);
        report_table_cell(&table, g->existing ? "existing" : g->label == NULL || g->label[0] == '\0' ? NULL : g->label);
        report_table_fixed(&table, g->spot_cost, 2);
        report_table_count(&table, siting->reasons[i].only_it);
        report_table_count(&table, siting->reasons[i].devices_lost);
        report_table_count(&table, siting->reasons[i].rooms_lost);
        report_table_fixed(&table, siting->reasons[i].smallest_spare_db, 1);
    }
    report_table_end(&table, out);
    hr_text_add(out, "\n");
}

static void add_by_count(const hr_building *building, const hr_siting *siting, hr_text *out)
{
    char cover[64];
    (void)snprintf(cover, sizeof cover, ">in reach of %ld", building->radio.cover);
    hr_text_add(out, "Fewer gateways: what the best choice found of at most so many serves; dB\n");
    const char *const heads[] = {">gateways", ">devices served", ">smallest spare", ">rooms expected to fail", cover};
    const bool multiple = building->radio.cover > 1;
    report_table table;
    report_table_start(&table, heads, multiple ? 5 : 4);
    for (size_t i = 0; i < siting->by_count_count; i++) {
        const hr_count_row *row = &siting->by_count[i];
        report_table_count(&table, row->gateways);
        report_table_count(&table, row->devices_served);
        report_table_fixed(&table, row->smallest_spare_db, 1);
        report_table_fixed(&table, row->expected_failing_rooms, 1);
        if (multiple) {
            report_table_count(&table, row->devices_covered);
        }
    }
    report_table_end(&table, out);
    hr_text_add(out, "\n");
}

static void add_by_slabs(const hr_siting *siting, hr_text *out)
{
    hr_text_add(out, "Slabs: a gateway serving directly across at most so many would need\n");
    static const char *const heads[] = {">max_slabs", ">gateways", ">at least", ">devices left out", ""};
    report_table table;
    report_table_start(&table, heads, 5);
    for (size_t i = 0; i < siting->by_slabs_count; i++) {
        const hr_slab_row *row = &siting->by_slabs[i];
        report_table_count(&table, (size_t)row->max_slabs);
        report_table_count(&table, row->gateways);
        report_table_count(&table, (size_t)row->lower_bound);
        report_table_count(&table, row->unserved);
        report_table_cell(&table, row->in_force ? "in force" : "");
    }
    report_table_end(&table, out);
    hr_text_add(out, "\n");
}

void report_add_tables(const hr_building *building, const hr_siting *siting, hr_text *out)
{
    if (siting->by_count_count > 1) {
        add_by_count(building, siting, out);
    }
    if (siting->by_slabs_count > 0) {
        add_by_slabs(siting, out);
    }
}
