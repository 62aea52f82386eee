/*
 * page.c - `--page`: the answer as one HTML file that asks nothing of any
 * network. Tables and plans are there without its script; the script adds
 * picking, finding, sorting and budgets.
 *
 * SPDX-License-Identifier: MIT
 */
#include "page_priv.h"

#include "hr_tables.h"

#include <string.h>

/* Sections that a reader can jump to. */
static const struct {
    const char *id, *name;
} places[] = {{"unserved", "Served or not"}, {"plans", "Plans"},          {"gateways", "Gateways"},
              {"rooms", "Rooms"},            {"weakest", "Weakest rooms"}, {"fewer", "Fewer gateways"},
              {"relays", "Sole relays"},     {"model", "Model"},           {"assumptions", "Assumed"},
              {"cautions", "Cautions"}};

/* A file of reference/ as it stands; its own licence comment stays with it. */
static void put_file(page *p, const char *name)
{
    size_t len = 0;
    const char *bytes = hr_tables_bytes(name, &len);
    if (bytes != NULL) {
        hr_text_add_n(p->out, bytes, len);
    }
}

/* The policy forbids what the page does not do: a second lock beside there being no address in it. */
static void put_head(page *p)
{
    page_add(p, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                "<meta name=\"color-scheme\" content=\"light dark\">\n"
                "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; script-src "
                "'unsafe-inline'; form-action 'none'; base-uri 'none'\">\n<title>");
    page_text(p, p->b->name);
    page_add(p, ": radio coverage</title>\n<style>\n");
    put_file(p, "page.css");
    page_add(p, "</style>\n</head>\n<body>\n<a class=\"skip\" href=\"#main\">To the content</a>\n");
}

static void put_places(page *p)
{
    page_add(p, "<nav aria-label=\"On this page\">\n<ul>\n");
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        const bool fewer = strcmp(places[i].id, "fewer") == 0;
        if (!fewer || p->s->by_count_count > 0 || p->s->by_slabs_count > 0) {
            hr_text_addf(p->out, "<li><a href=\"#%s\">%s</a></li>\n", places[i].id, places[i].name);
        }
    }
    page_add(p, "</ul>\n</nav>\n");
}

static void put_foot(page *p)
{
    page_add(p, "<footer>\n<p>");
    page_text(p, hr_report_caution());
    page_add(p, " Local codes and licensed practice decide. Room numbers and gateway places are the owner's private data.</p>\n</footer>\n");
    page_data(p);
    page_add(p, "<script>\n");
    put_file(p, "page.js");
    page_add(p, "</script>\n</body>\n</html>\n");
}

hr_status hr_report_page(const hr_building *building, const hr_siting *siting, const hr_notes *notes,
                         const hr_page_options *options, hr_text *out, hr_error *err)
{
    static void (*const sections[])(page *) = {page_unserved, page_plans, page_gateways, page_rooms,       page_weakest,
                                               page_fewer,    page_mesh,  page_model,    page_assumptions, page_cautions};
    page p = {.b = building, .s = siting, .notes = notes, .options = options, .out = out, .err = err};
    p.status = hr_links_new(building, &p.links, err);
    if (p.status == HR_OK) {
        put_head(&p);
        page_cover(&p);
        put_places(&p);
        page_add(&p, "<main id=\"main\">\n");
        for (size_t i = 0; i < sizeof sections / sizeof sections[0]; i++) {
            sections[i](&p);
        }
        page_add(&p, "</main>\n");
        put_foot(&p);
    }
    hr_links_work_free(&p.work);
    hr_links_free(p.links);
    page_words_free(&p.words);
    return p.status == HR_OK ? report_done(out, err) : p.status;
}
