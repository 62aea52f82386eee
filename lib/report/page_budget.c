/*
 * page_budget.c - every device's own link line by line: as data for the
 * script, and written out for the weakest rooms.
 *
 * SPDX-License-Identifier: MIT
 */
#include "page_priv.h"

#include <stdlib.h>

#define WEAKEST_SHOWN 12

bool page_budget_of(page *p, size_t device, hr_budget *budget)
{
    const hr_device_row *row = &p->s->devices[device];
    if (p->status != HR_OK || !row->has_link || (row->via == HR_SITING_NONE && row->gateway == HR_SITING_NONE)) {
        return false;
    }
    const hr_end child = hr_links_device_end(p->b, row->device);
    hr_end parent;
    if (row->via != HR_SITING_NONE) {
        parent = hr_links_device_end(p->b, row->via);
    } else {
        const hr_sited_gateway *g = &p->s->gateways[row->gateway];
        parent = hr_links_gateway_end(p->b, g->at, g->z_m);
    }
    p->status = hr_links_budget(p->links, &p->work, &child, &parent, row->link.direction, budget, p->err);
    return p->status == HR_OK;
}

static const char *far_name(const page *p, const hr_device_row *row)
{
    if (row->via != HR_SITING_NONE) {
        return p->b->devices[row->via].name;
    }
    return row->gateway == HR_SITING_NONE ? "" : p->s->gateways[row->gateway].id;
}

/* ---- written out: the weakest rooms ---- */

typedef struct weak_room {
    int64_t spare; /* INT64_MIN: nothing is known, worst of all */
    bool served;
    size_t room;
} weak_room;

static int compare_weak(const void *left, const void *right)
{
    const weak_room *a = left, *b = right;
    if (a->served != b->served) {
        return a->served ? 1 : -1;
    }
    if (a->spare != b->spare) {
        return a->spare < b->spare ? -1 : 1;
    }
    return a->room < b->room ? -1 : a->room > b->room;
}

static void put_total(page *p, const char *name, double db, const char *note)
{
    page_row(p, "total");
    page_cell_head(p, name);
    page_cell_fixed(p, db, 1);
    page_cell(p, note);
    page_row_end(p);
}

static void put_budget(page *p, size_t room)
{
    const hr_room_row *known = &p->s->rooms[room];
    const hr_device_row *row = &p->s->devices[known->device_row];
    hr_budget budget = {0};
    hr_text caption = {0};
    char number[HR_FIXED_MAX];
    const bool has = page_budget_of(p, known->device_row, &budget);
    hr_text_addf(&caption, "Room %s: %s to %s", p->b->rooms[known->room].name, p->b->devices[row->device].name,
                 has ? far_name(p, row) : "no gateway");
    if (has) {
        hr_text_addf(&caption, ", %s %s, %s", hr_fixed(report_length(p->b, row->link.distance_m), 1, number),
                     report_unit(p->b), known->served ? "served" : "NOT served");
    }
    p->out->failed = p->out->failed || caption.failed;
    static const char *const heads[] = {"!line", ">dB", "!where, or why"};
    if (has) {
        page_table_open(p, "", caption.failed ? "" : caption.bytes, heads, 3);
        for (size_t i = 0; i < budget.count; i++) {
            page_row(p, "");
            page_cell_head(p, budget.lines[i].item);
            page_cell_fixed(p, budget.lines[i].db, 1);
            page_cell(p, budget.lines[i].note);
            page_row_end(p);
        }
        put_total(p, "link margin", row->link.link_margin_db, "the sum of the lines");
        put_total(p, "required margin", row->link.required_margin_db, "for the wanted reliability");
        put_total(p, "spare", report_rounded_spare(p->s, known->device_row), "the least on the way to the gateway");
        page_table_close(p);
        hr_links_budget_free(&budget);
    }
    hr_text_free(&caption);
}

void page_weakest(page *p)
{
    weak_room *order = hr_alloc(p->s->room_count + 1, sizeof *order);
    if (order == NULL) {
        p->out->failed = true;
        return;
    }
    size_t count = 0;
    for (size_t i = 0; i < p->s->room_count; i++) {
        const uint32_t device = p->s->rooms[i].device_row;
        if (device != HR_SITING_NONE && p->s->devices[device].has_link) {
            order[count++] = (weak_room){hr_micro(report_rounded_spare(p->s, device)), p->s->rooms[i].served, i};
        }
    }
    if (count > 0) {
        qsort(order, count, sizeof *order, compare_weak);
    }
    page_add(p, "<section id=\"weakest\" aria-labelledby=\"weakest-h\">\n<h2 id=\"weakest-h\">The weakest rooms, line by line</h2>\n"
                "<p>Each room by its worst device, least to spare first. Gains are above 0, losses below; every line is rounded "
                "by itself to 0.1 dB.</p>\n<div class=\"budgets\">\n");
    for (size_t i = 0; i < count && i < WEAKEST_SHOWN; i++) {
        put_budget(p, order[i].room);
    }
    page_add(p, "</div>\n</section>\n");
    hr_free(order);
}

/* ---- as data ---- */

static void put_index(page *p, uint32_t index)
{
    if (index == HR_SITING_NONE) {
        page_add(p, ",-1");
    } else {
        hr_text_addf(p->out, ",%lu", (unsigned long)index);
    }
}

static void put_word(page *p, const char *text)
{
    const uint32_t word = page_word(&p->words, text);
    p->out->failed = p->out->failed || word == UINT32_MAX;
    hr_text_addf(p->out, ",%lu", (unsigned long)word);
}

static void put_level(page *p, double value)
{
    page_add(p, ",");
    page_json_level(p->out, value);
}

/* name, room, kind, gateway, via, hops, distance in `unit`, direction, received, margin, required, spare, reliability,
 * served, reason, then the lines: item, dB, note ... */
static void put_device(page *p, size_t device)
{
    const hr_device_row *row = &p->s->devices[device];
    const hr_device *known = &p->b->devices[row->device];
    const bool has = row->has_link;
    page_add(p, device > 0 ? ",\n[" : "\n[");
    page_json_text(p->out, known->name);
    put_index(p, known->room);
    put_word(p, p->b->kinds[known->kind].name);
    put_index(p, row->gateway);
    put_index(p, row->via);
    hr_text_addf(p->out, ",%u", row->hops);
    put_level(p, has ? report_length(p->b, row->link.distance_m) : REPORT_UNKNOWN);
    put_word(p, !has ? "" : row->link.direction == HR_DOWN ? "down" : "up");
    put_level(p, has ? row->link.received_dbm : REPORT_UNKNOWN);
    put_level(p, has ? row->link.link_margin_db : REPORT_UNKNOWN);
    put_level(p, has ? row->link.required_margin_db : REPORT_UNKNOWN);
    put_level(p, report_rounded_spare(p->s, device));
    put_level(p, has ? row->reliability : REPORT_UNKNOWN);
    hr_text_addf(p->out, ",%d", row->served);
    put_word(p, row->served ? "" : row->reason);
    hr_budget budget = {0};
    if (page_budget_of(p, device, &budget)) {
        for (size_t i = 0; i < budget.count; i++) {
            put_word(p, budget.lines[i].item);
            put_level(p, budget.lines[i].db);
            put_word(p, budget.lines[i].note);
        }
        hr_links_budget_free(&budget);
    }
    page_add(p, "]");
}

static void put_rooms(page *p)
{
    for (size_t i = 0; i < p->s->room_count; i++) {
        const hr_room_row *row = &p->s->rooms[i];
        page_add(p, i > 0 ? ",\n[" : "\n[");
        page_json_text(p->out, p->b->rooms[row->room].name);
        put_index(p, p->b->rooms[row->room].storey);
        put_index(p, row->device_row);
        hr_text_addf(p->out, ",%d]", row->served);
    }
}

void page_data(page *p)
{
    page_add(p, "<script type=\"application/json\" id=\"data\">{\"storeys\":[");
    for (size_t i = 0; i < p->b->storey_count; i++) {
        page_add(p, i > 0 ? "," : "");
        page_json_text(p->out, p->b->storeys[i].name);
    }
    page_add(p, "],\n\"gateways\":[");
    for (size_t i = 0; i < p->s->gateway_count; i++) {
        page_add(p, i > 0 ? ",[" : "[");
        page_json_text(p->out, p->s->gateways[i].id);
        put_index(p, p->s->gateways[i].storey);
        page_add(p, "]");
    }
    page_add(p, "],\n\"rooms\":[");
    put_rooms(p);
    page_add(p, "],\n\"devices\":[");
    for (size_t i = 0; i < p->s->device_count && p->status == HR_OK; i++) {
        put_device(p, i);
    }
    page_add(p, "],\n\"words\":[");
    for (size_t i = 0; i < p->words.count; i++) {
        page_add(p, i > 0 ? "," : "");
        page_json_text(p->out, p->words.items[i]);
    }
    hr_text_addf(p->out, "],\n\"unit\":\"%s\"}</script>\n", report_unit(p->b));
}
