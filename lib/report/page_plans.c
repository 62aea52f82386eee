/*
 * page_plans.c - the storeys' plans inside the page. Storeys that repeat share
 * what is equal: a layer of a drawing that came before, byte for byte, is
 * referred to and not written again.
 *
 * SPDX-License-Identifier: MIT
 */
#include "page_priv.h"

#include <stdio.h>
#include <string.h>

/* A layer shorter than this is written out: a reference is hardly shorter. */
#define SHARED_BYTES 200

/* The end of the element that starts at `at`, or of the text before the next one. */
static const char *element_end(const char *at)
{
    if (*at != '<') {
        return at + strcspn(at, "<");
    }
    if (strncmp(at, "<!--", 4) == 0) {
        const char *end = strstr(at, "-->");
        return end != NULL ? end + 3 : at + strlen(at);
    }
    size_t depth = 0;
    do {
        at += strcspn(at, "<");
        const char *end = at + strcspn(at, ">");
        if (*end == '\0') {
            return end;
        }
        if (at[1] == '/') {
            depth -= depth > 0;
        } else if (end[-1] != '/') {
            depth++;
        }
        at = end + 1;
    } while (depth > 0);
    return at;
}

/* The first of equal layers carries an id, the others refer to it. */
static void put_layer(page *p, page_words *seen, const char *layer, size_t len)
{
    char *text = hr_strndup(layer, len);
    const size_t before = seen->count;
    const uint32_t index = text == NULL ? UINT32_MAX : page_word(seen, text);
    hr_free(text);
    if (index == UINT32_MAX) {
        p->out->failed = true;
    } else if (index < before) {
        hr_text_addf(p->out, "<use href=\"#layer-%lu\"/>", (unsigned long)index);
    } else {
        hr_text_addf(p->out, "<g id=\"layer-%lu\"", (unsigned long)index);
        hr_text_add_n(p->out, layer + 2, len - 2);
    }
}

static void put_drawing(page *p, page_words *seen, uint32_t storey, const char *drawing)
{
    const char *root = strstr(drawing, "<svg");
    const char *at = root == NULL ? NULL : strchr(root, '>');
    const char *end = at == NULL ? NULL : strstr(at, "</svg>");
    for (const char *next = end; next != NULL; next = strstr(next + 1, "</svg>")) {
        end = next; /* the last one closes the root */
    }
    if (end == NULL) {
        return;
    }
    hr_text_addf(p->out, "<svg class=\"plan-svg\" role=\"img\" aria-labelledby=\"storey-%lu-h\"", (unsigned long)storey);
    hr_text_add_n(p->out, root + 4, (size_t)(at - root) - 3);
    for (at++; at < end;) {
        const char *next = element_end(at);
        const size_t len = (size_t)(next - at);
        if (strncmp(at, "<g ", 3) == 0 && len >= SHARED_BYTES) {
            put_layer(p, seen, at, len);
        } else if (strncmp(at, "<!--", 4) != 0 && strncmp(at, "<title", 6) != 0) {
            hr_text_add_n(p->out, at, len);
        }
        at = next;
    }
    page_add(p, "</svg>\n");
}

static hr_status draw(page *p, uint32_t storey, hr_text *drawing)
{
    char prefix[32];
    (void)snprintf(prefix, sizeof prefix, "s%lu-", (unsigned long)storey);
    const hr_report_drawing_options look = {.field = HR_DRAWING_CONTOURS,
                                            .links = p->links,
                                            .embedded = true,
                                            .no_title = true,
                                            .prefix = prefix};
    return hr_report_drawing_of(p->b, p->s, storey, &look, drawing, p->err);
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

static void put_storey(page *p, page_words *seen, uint32_t storey)
{
    hr_text drawing = {0};
    p->status = p->status != HR_OK ? p->status : draw(p, storey, &drawing);
    hr_text_addf(p->out, "<section class=\"storey\" data-storey=\"%lu\" aria-labelledby=\"storey-%lu-h\">\n<h3 id=\"storey-%lu-h\">Plan of storey ",
                 (unsigned long)storey, (unsigned long)storey, (unsigned long)storey);
    page_text(p, p->b->storeys[storey].name);
    page_add(p, "</h3>\n");
    put_facts(p, storey);
    page_add(p, "<div class=\"sheet\">\n");
    if (p->status == HR_OK && drawing.bytes != NULL && !drawing.failed) {
        put_drawing(p, seen, storey, drawing.bytes);
    }
    p->out->failed = p->out->failed || drawing.failed;
    page_add(p, "</div>\n</section>\n");
    hr_text_free(&drawing);
}

void page_plans(page *p)
{
    page_words seen = {0};
    page_add(p, "<section id=\"plans\" aria-labelledby=\"plans-h\">\n<h2 id=\"plans-h\">Storey plans</h2>\n"
                "<div id=\"plan-tools\" class=\"tools\" hidden></div>\n<div class=\"side-by-side\">\n<div id=\"sheets\">\n");
    for (uint32_t i = 0; i < p->b->storey_count; i++) {
        put_storey(p, &seen, i);
    }
    page_add(p, "</div>\n<div id=\"detail\" class=\"detail\" hidden></div>\n</div>\n</section>\n");
    page_words_free(&seen);
}
