/*
 * page_tables.c - gateways, rooms, fewer gateways and relays as tables.
 *
 * SPDX-License-Identifier: MIT
 */
#include "page_priv.h"

static void put_wall(page *p, const hr_sited_gateway *g, int which)
{
    page_add(p, "<td class=\"n\">");
    if (g->wall_side[which] == NULL) {
        page_add(p, "-");
    } else {
        page_fixed(p, report_length(p->b, g->wall_m[which]), 2);
        page_add(p, " ");
        page_text(p, g->wall_side[which]);
    }
    page_add(p, "</td>");
}

static void put_gateway(page *p, const hr_sited_gateway *g)
{
    hr_text_addf(p->out, "<tr data-gateway=\"%zu\">", (size_t)(g - p->s->gateways));
    page_cell_head(p, g->id);
    page_cell(p, p->b->storeys[g->storey].name);
    page_cell(p, g->nearest_room == HR_SITING_NONE ? NULL : p->b->rooms[g->nearest_room].name);
    page_cell_fixed(p, report_length(p->b, g->at.x), 2);
    page_cell_fixed(p, report_length(p->b, g->at.y), 2);
    page_cell_fixed(p, report_length(p->b, g->mount_height_m), 2);
    page_cell(p, g->spot);
    page_cell(p, g->existing ? "existing" : "new");
    page_cell(p, g->network_id);
    page_cell_count(p, g->devices);
    page_cell_count(p, g->direct_devices);
    page_row_end(p);
}

static void put_mounting(page *p)
{
    hr_text caption = {0};
    hr_text_addf(&caption, "Mounting, lengths in %s: to the centre lines of two walls, as the drawing lies", report_unit(p->b));
    static const char *const heads[] = {"gateway", "storey", "nearest room", ">wall", ">and wall", "cable from", ">cable", "power"};
    page_table_open(p, "mounting-table", report_words(p->out, &caption), heads, 8);
    for (size_t i = 0; i < p->s->gateway_count; i++) {
        const hr_sited_gateway *g = &p->s->gateways[i];
        page_row(p, "");
        page_cell_head(p, g->id);
        page_cell(p, p->b->storeys[g->storey].name);
        page_cell(p, g->nearest_room == HR_SITING_NONE ? NULL : p->b->rooms[g->nearest_room].name);
        put_wall(p, g, 0);
        put_wall(p, g, 1);
        page_cell(p, g->closet);
        page_cell_fixed(p, report_length(p->b, g->cable_m), 1);
        page_cell(p, g->power);
        page_row_end(p);
    }
    page_table_close(p);
    hr_text_free(&caption);
}

/* Rooms by the gateway of their worst device. */
static void put_rooms_of(page *p, size_t gateway)
{
    page_add(p, "<div><dt>");
    page_text(p, p->s->gateways[gateway].id);
    page_add(p, "</dt><dd>");
    size_t count = 0;
    for (size_t i = 0; i < p->s->room_count; i++) {
        const hr_room_row *row = &p->s->rooms[i];
        if (row->device_row != HR_SITING_NONE && row->served && p->s->devices[row->device_row].gateway == gateway) {
            page_add(p, count++ > 0 ? ", " : "");
            page_text(p, p->b->rooms[row->room].name);
        }
    }
    page_add(p, count == 0 ? "no room</dd></div>\n" : "</dd></div>\n");
}

static void put_reasons(page *p)
{
    static const char *const heads[] = {"gateway", ">only it reaches", ">devices lost", ">rooms lost", ">smallest spare then, dB"};
    page_table_open(p, "reasons-table", "What each gateway is for: what is lost without it", heads, 5);
    for (size_t i = 0; i < p->s->gateway_count; i++) {
        page_row(p, "");
        page_cell_head(p, p->s->gateways[i].id);
        page_cell_count(p, p->s->reasons[i].only_it);
        page_cell_count(p, p->s->reasons[i].devices_lost);
        page_cell_count(p, p->s->reasons[i].rooms_lost);
        page_cell_fixed(p, p->s->reasons[i].smallest_spare_db, 1);
        page_row_end(p);
    }
    page_table_close(p);
}

void page_gateways(page *p)
{
    hr_text caption = {0};
    hr_text_addf(&caption, "Gateways (%zu), lengths in %s", p->s->gateway_count, report_unit(p->b));
    static const char *const heads[] = {"gateway", "storey", "nearest room", ">x",       ">y",     ">height",
                                        "spot",    "state",  "network",      ">devices", ">direct"};
    page_add(p, "<section id=\"gateways\" aria-labelledby=\"gateways-h\">\n<h2 id=\"gateways-h\">Gateways</h2>\n"
                "<p>x runs right and y down from the plan's origin; height is above the storey's floor. Devices "
                "counts every radio that hangs on a gateway, direct those whose next hop it is.</p>\n");
    page_table_open(p, "gateway-table", report_words(p->out, &caption), heads, 11);
    for (size_t i = 0; i < p->s->gateway_count; i++) {
        put_gateway(p, &p->s->gateways[i]);
    }
    page_table_close(p);
    put_mounting(p);
    page_add(p, "<h3>Rooms of each gateway</h3>\n<dl class=\"lists\">\n");
    for (size_t i = 0; i < p->s->gateway_count; i++) {
        put_rooms_of(p, i);
    }
    page_add(p, "</dl>\n");
    if (p->s->reasons != NULL) {
        put_reasons(p);
    }
    page_add(p, "</section>\n");
    hr_text_free(&caption);
}

static void put_room(page *p, size_t index)
{
    const hr_room_row *row = &p->s->rooms[index];
    const hr_room *known = &p->b->rooms[row->room];
    const bool empty = row->device_row == HR_SITING_NONE;
    const hr_device_row *worst = empty ? NULL : &p->s->devices[row->device_row];
    hr_text_addf(p->out, "<tr data-row=\"%zu\"%s>", index, row->served || empty ? "" : " class=\"bad\"");
    page_cell_head(p, known->name);
    page_cell(p, p->b->storeys[known->storey].name);
    page_cell(p, worst == NULL || worst->gateway == HR_SITING_NONE ? NULL : p->s->gateways[worst->gateway].id);
    page_cell(p, worst == NULL ? "no device" : p->b->devices[worst->device].name);
    if (worst == NULL || worst->hops == 0) {
        page_add(p, "<td class=\"n\">-</td>");
    } else {
        page_cell_count(p, worst->hops);
    }
    page_cell_fixed(p, worst == NULL || !worst->has_link ? REPORT_UNKNOWN : worst->link.link_margin_db, 1);
    page_cell_fixed(p, empty ? REPORT_UNKNOWN : report_rounded_spare(p->s, row->device_row), 1);
    page_cell(p, empty ? "-" : row->served ? "yes" : "NO");
    page_row_end(p);
}

void page_rooms(page *p)
{
    static const char *const heads[] = {"room", "storey", "gateway", "worst device", ">hops", ">link margin", ">spare", "served"};
    hr_text caption = {0};
    hr_text_addf(&caption, "Rooms (%zu), each by its worst device; dB", p->s->room_count);
    page_add(p, "<section id=\"rooms\" aria-labelledby=\"rooms-h\">\n<h2 id=\"rooms-h\">Rooms</h2>\n");
    page_table_open(p, "room-table", report_words(p->out, &caption), heads, 8);
    for (size_t i = 0; i < p->s->room_count; i++) {
        put_room(p, i);
    }
    page_table_close(p);
    page_add(p, "</section>\n");
    hr_text_free(&caption);
}

static void put_by_count(page *p)
{
    static const char *const heads[] = {">gateways", ">devices served", ">smallest spare, dB", ">rooms expected to fail"};
    page_table_open(p, "count-table", "Fewer gateways: what the best choice found of at most so many serves", heads, 4);
    for (size_t i = 0; i < p->s->by_count_count; i++) {
        const hr_count_row *row = &p->s->by_count[i];
        page_row(p, "");
        page_add(p, "<th scope=\"row\" class=\"n\">");
        page_count(p, row->gateways);
        page_add(p, "</th>");
        page_cell_count(p, row->devices_served);
        page_cell_fixed(p, row->smallest_spare_db, 1);
        page_cell_fixed(p, row->expected_failing_rooms, 1);
        page_row_end(p);
    }
    page_table_close(p);
}

static void put_by_slabs(page *p)
{
    static const char *const heads[] = {">slabs", ">gateways", ">at least", ">devices left out", "in force"};
    page_table_open(p, "slab-table", "Slabs: what a gateway serving directly across at most so many would need", heads, 5);
    for (size_t i = 0; i < p->s->by_slabs_count; i++) {
        const hr_slab_row *row = &p->s->by_slabs[i];
        page_row(p, "");
        page_add(p, "<th scope=\"row\" class=\"n\">");
        page_count(p, (size_t)row->max_slabs);
        page_add(p, "</th>");
        page_cell_count(p, row->gateways);
        page_cell_count(p, (size_t)row->lower_bound);
        page_cell_count(p, row->unserved);
        page_cell(p, row->in_force ? "yes" : "no");
        page_row_end(p);
    }
    page_table_close(p);
}

void page_fewer(page *p)
{
    if (p->s->by_count_count == 0 && p->s->by_slabs_count == 0) {
        return;
    }
    page_add(p, "<section id=\"fewer\" aria-labelledby=\"fewer-h\">\n<h2 id=\"fewer-h\">With fewer gateways</h2>\n");
    if (p->s->by_count_count > 0) {
        put_by_count(p);
    }
    if (p->s->by_slabs_count > 0) {
        put_by_slabs(p);
    }
    page_add(p, "</section>\n");
}

void page_mesh(page *p)
{
    page_add(p, "<section id=\"relays\" aria-labelledby=\"relays-h\">\n<h2 id=\"relays-h\">Sole relays</h2>\n");
    if (p->b->radio.max_hops <= 1) {
        page_add(p, "<p>No device relays for others here (max_hops = 1), so that none is a sole relay; units that talk to their own "
                    "room's wall control hang on that one alone.</p>\n");
    } else if (p->s->sole_relay_count == 0) {
        page_add(p, "<p>None: no single relay's failure cuts another device off.</p>\n");
    } else {
        static const char *const heads[] = {"device", "storey", ">cuts off"};
        page_table_open(p, "relay-table", "Sole relays: their failure cuts others off from every gateway", heads, 3);
        for (size_t i = 0; i < p->s->sole_relay_count; i++) {
            const hr_device *device = &p->b->devices[p->s->sole_relays[i].device];
            page_row(p, "");
            page_cell_head(p, device->name);
            page_cell(p, p->b->storeys[device->storey].name);
            page_cell_count(p, p->s->sole_relays[i].cut_off);
            page_row_end(p);
        }
        page_table_close(p);
    }
    page_add(p, "</section>\n");
}
