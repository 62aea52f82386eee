/*
 * page_html.c - the small change of the page: escaped text, cells, tables.
 *
 * SPDX-License-Identifier: MIT
 */
#include "page_priv.h"

#include <string.h>

void page_add(page *p, const char *html)
{
    hr_text_add(p->out, html);
}

void page_text(page *p, const char *text)
{
    hr_text_xml(p->out, text != NULL ? text : "-");
}

void page_fixed(page *p, double value, int decimals)
{
    hr_text_fixed(p->out, value, decimals);
}

void page_count(page *p, size_t value)
{
    hr_text_addf(p->out, "%zu", value);
}

/* A wide table scrolls by itself, so that the page never does; the keyboard must reach it for that. */
void page_table_open(page *p, const char *id, const char *caption, const char *const *heads, size_t columns)
{
    page_add(p, "<section class=\"scroll\" tabindex=\"0\" aria-label=\"");
    page_text(p, caption);
    page_add(p, ", table\">\n<table");
    if (id[0] != '\0') {
        hr_text_addf(p->out, " id=\"%s\"", id);
    }
    page_add(p, ">\n<caption>");
    page_text(p, caption);
    page_add(p, "</caption>\n<thead><tr>");
    for (size_t i = 0; i < columns; i++) {
        const char kind = heads[i][0];
        page_add(p, kind == '>' ? "<th scope=\"col\" class=\"n\">" : kind == '!' ? "<th scope=\"col\" data-plain>" : "<th scope=\"col\">");
        page_text(p, heads[i] + (kind == '>' || kind == '!'));
        page_add(p, "</th>");
    }
    page_add(p, "</tr></thead>\n<tbody>\n");
}

void page_table_close(page *p)
{
    page_add(p, "</tbody>\n</table>\n</section>\n");
}

void page_row(page *p, const char *html_class)
{
    if (html_class[0] == '\0') {
        page_add(p, "<tr>");
    } else {
        hr_text_addf(p->out, "<tr class=\"%s\">", html_class);
    }
}

void page_row_end(page *p)
{
    page_add(p, "</tr>\n");
}

void page_cell_head(page *p, const char *text)
{
    page_add(p, "<th scope=\"row\">");
    page_text(p, text);
    page_add(p, "</th>");
}

void page_cell(page *p, const char *text)
{
    page_add(p, "<td>");
    page_text(p, text);
    page_add(p, "</td>");
}

void page_cell_fixed(page *p, double value, int decimals)
{
    page_add(p, "<td class=\"n\">");
    page_fixed(p, value, decimals);
    page_add(p, "</td>");
}

void page_cell_count(page *p, size_t value)
{
    page_add(p, "<td class=\"n\">");
    page_count(p, value);
    page_add(p, "</td>");
}

void page_paragraphs(page *p, const hr_text *lines)
{
    p->out->failed = p->out->failed || lines->failed;
    const char *at = lines->failed || lines->bytes == NULL ? "" : lines->bytes;
    while (*at != '\0') {
        const size_t len = strcspn(at, "\n");
        char *line = hr_strndup(at, len);
        if (line == NULL) {
            p->out->failed = true;
            return;
        }
        if (len > 0) {
            page_add(p, "<p>");
            page_text(p, line);
            page_add(p, "</p>\n");
        }
        hr_free(line);
        at += len + (at[len] == '\n');
    }
}
