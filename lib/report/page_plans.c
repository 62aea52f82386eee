/*
 * page_plans.c - the storeys' plans inside the page. Walls, doors, windows and
 * metal of a plan are written once; every storey that has it refers to them.
 *
 * SPDX-License-Identifier: MIT
 */
#include "page_priv.h"

#include <stdio.h>
#include <string.h>

/* Ids of one storey's drawing, and of the plan it shares with the storeys of its section. */
typedef struct plan_ids {
    char prefix[32], plan[32];
} plan_ids;

static plan_ids ids_of(const page *p, uint32_t storey)
{
    plan_ids ids;
    (void)snprintf(ids.prefix, sizeof ids.prefix, "s%lu-", (unsigned long)storey);
    (void)snprintf(ids.plan, sizeof ids.plan, "plan-%lu", (unsigned long)p->b->storeys[storey].plan_index);
    return ids;
}

static hr_report_drawing_options look_of(const page *p, const plan_ids *ids)
{
    return (hr_report_drawing_options){.field = HR_DRAWING_CONTOURS,
                                       .links = p->links,
                                       .embedded = true,
                                       .no_title = true,
                                       .prefix = ids->prefix,
                                       .plan_id = ids->plan};
}

static void put_shared(page *p)
{
    page_add(p, "<svg class=\"shared\" aria-hidden=\"true\" width=\"0\" height=\"0\"><defs>\n");
    for (uint32_t plan = 0; plan < p->b->plan_count && p->status == HR_OK; plan++) {
        uint32_t storey = 0;
        while (storey < p->b->storey_count && p->b->storeys[storey].plan_index != plan) {
            storey++;
        }
        if (storey < p->b->storey_count) {
            const plan_ids ids = ids_of(p, storey);
            const hr_report_drawing_options look = look_of(p, &ids);
            p->status = hr_report_drawing_plan(p->b, p->s, storey, &look, p->out, p->err);
        }
    }
    page_add(p, "</defs></svg>\n");
}

static void put_drawing(page *p, uint32_t storey)
{
    static const char element[] = "<svg";
    const plan_ids ids = ids_of(p, storey);
    const hr_report_drawing_options look = look_of(p, &ids);
    hr_text drawing = {0};
    p->status = p->status != HR_OK ? p->status : hr_report_drawing_of(p->b, p->s, storey, &look, &drawing, p->err);
    const char *root = p->status != HR_OK || drawing.bytes == NULL ? NULL : strstr(drawing.bytes, element);
    if (root != NULL) {
        page_add(p, "<svg role=\"img\"");
        page_add(p, root + sizeof element - 1);
    }
    p->out->failed = p->out->failed || drawing.failed;
    hr_text_free(&drawing);
}

static void put_facts(page *p, uint32_t storey)
{
    size_t rooms = 0, served = 0;
    for (size_t i = 0; i < p->s->room_count; i++) {
        if (p->b->rooms[p->s->rooms[i].room].storey == storey) {
            rooms++;
            served += p->s->rooms[i].served;
        }
    }
    hr_text_addf(p->out, "<p>%zu of %zu rooms served. Gateways here: ", served, rooms);
    size_t gateways = 0;
    for (size_t i = 0; i < p->s->gateway_count; i++) {
        if (p->s->gateways[i].storey == storey) {
            page_add(p, gateways++ > 0 ? ", " : "");
            page_text(p, p->s->gateways[i].id);
        }
    }
    page_add(p, gateways == 0 ? "none.</p>\n" : ".</p>\n");
}

static void put_storey(page *p, uint32_t storey)
{
    hr_text_addf(p->out, "<section class=\"storey\" aria-labelledby=\"storey-%lu-h\">\n<h3 id=\"storey-%lu-h\">Plan of storey ",
                 (unsigned long)storey, (unsigned long)storey);
    page_text(p, p->b->storeys[storey].name);
    page_add(p, "</h3>\n");
    put_facts(p, storey);
    page_add(p, "<div class=\"sheet\">\n");
    put_drawing(p, storey);
    page_add(p, "</div>\n</section>\n");
}

void page_plans(page *p)
{
    page_add(p, "<section id=\"plans\" aria-labelledby=\"plans-h\">\n<h2 id=\"plans-h\">Storey plans</h2>\n"
                "<div id=\"plan-tools\" class=\"tools\" hidden></div>\n");
    put_shared(p);
    page_add(p, "<div class=\"side-by-side\">\n<div id=\"sheets\">\n");
    for (uint32_t i = 0; i < p->b->storey_count; i++) {
        put_storey(p, i);
    }
    page_add(p, "</div>\n<div id=\"detail\" class=\"detail\" hidden></div>\n</div>\n</section>\n");
}
