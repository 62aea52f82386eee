/*
 * page_head.c - the cover block, and what is not served.
 *
 * SPDX-License-Identifier: MIT
 */
#include "page_priv.h"

static void put_fact(page *p, const char *name, const char *value)
{
    page_add(p, "<div><dt>");
    page_text(p, name);
    page_add(p, "</dt><dd>");
    page_text(p, value);
    page_add(p, "</dd></div>\n");
}

static void put_fact_text(page *p, const char *name, hr_text *value)
{
    put_fact(p, name, report_words(p->out, value));
    hr_text_free(value);
}

static void put_margin(page *p)
{
    char number[HR_FIXED_MAX];
    const hr_radio *radio = &p->b->radio;
    hr_text text = {0};
    if (isfinite(p->s->required_margin_db)) {
        hr_text_addf(&text, "%s dB of link margin", hr_fixed(p->s->required_margin_db, 1, number));
    } else {
        hr_text_add(&text, "the margin that the spread of a link's own walls asks for");
    }
    hr_text_addf(&text, ", for %s %% of links", hr_short(100.0 * radio->target_reliability, 2, number));
    if (isfinite(radio->range_limit_m)) {
        hr_text_addf(&text, ", within %s", hr_short(report_length(p->b, radio->range_limit_m), 2, number));
        hr_text_addf(&text, " %s of the gateway", report_unit(p->b));
    }
    put_fact_text(p, "Served means", &text);
}

static void put_counts(page *p)
{
    size_t served = 0;
    hr_text text = {0};
    for (size_t i = 0; i < p->s->room_count; i++) {
        served += p->s->rooms[i].served;
    }
    hr_text_addf(&text, "%zu of %zu rooms, %zu of %zu devices", served, p->s->room_count, p->s->served_devices,
                 p->s->device_count);
    put_fact_text(p, "Served", &text);
    size_t existing = 0;
    for (size_t i = 0; i < p->s->gateway_count; i++) {
        existing += p->s->gateways[i].existing;
    }
    hr_text_addf(&text, "%zu, of which %zu exist", p->s->gateway_count, existing);
    put_fact_text(p, "Gateways", &text);
    hr_text_fixed(&text, p->s->expected_failing_rooms, 1);
    put_fact_text(p, "Rooms expected to fail in spite of their margin", &text);
}

void page_cover(page *p)
{
    char number[HR_FIXED_MAX];
    hr_text text = {0};
    page_add(p, "<header class=\"cover\">\n<p class=\"kind\">Radio coverage</p>\n<h1>");
    page_text(p, p->b->name);
    page_add(p, "</h1>\n<p class=\"lead\">");
    page_text(p, hr_report_caution());
    page_add(p, " Local codes and licensed practice decide.</p>\n<dl class=\"facts\">\n");
    put_fact(p, "Date", p->options->date != NULL ? p->options->date : "not given");
    put_fact(p, "Question", p->s->placed ? "where gateways go (place)" : "what the gateways there are serve (rooms)");
    hr_text_addf(&text, "%s at %s MHz", hr_building_model_name((hr_model)p->b->radio.model),
                 hr_short(p->b->radio.frequency_mhz, 3, number));
    put_fact_text(p, "Model", &text);
    put_margin(p);
    put_counts(p);
    put_fact(p, "Radio limit", p->b->radio.rule[0] == '\0' ? "not checked: no rule is set" : p->b->radio.rule);
    hr_text_addf(&text, "hallreach %s", hr_version());
    put_fact_text(p, "Written by", &text);
    page_add(p, "</dl>\n");
    if (p->options->anonymous) {
        page_add(p, "<p>Names of the property, its storeys, rooms, gateways and spots were left out of this copy: rooms are numbered "
                    "in the order of the files.</p>\n");
    }
    page_add(p, "</header>\n");
}

static void put_unserved_table(page *p)
{
    static const char *const heads[] = {"device", "room", "storey", ">spare, dB", "why"};
    page_table_open(p, "unserved-table", "Devices that are not served", heads, 5);
    for (size_t i = 0; i < p->s->device_count; i++) {
        const hr_device_row *row = &p->s->devices[i];
        const hr_device *known = &p->b->devices[row->device];
        if (!row->served) {
            page_row(p, "bad");
            page_cell_head(p, known->name);
            page_cell(p, p->b->rooms[known->room].name);
            page_cell(p, p->b->storeys[known->storey].name);
            page_cell_fixed(p, report_rounded_spare(p->s, i), 1);
            page_cell(p, row->reason);
            page_row_end(p);
        }
    }
    page_table_close(p);
}

static void put_without(page *p)
{
    if (p->s->without_count == 0) {
        return;
    }
    page_add(p, "<p>With ");
    for (size_t i = 0; i < p->s->without_count; i++) {
        page_add(p, i > 0 ? ", " : "");
        page_text(p, p->s->without[i]);
    }
    hr_text_addf(p->out, " down, devices that fail and work otherwise: %zu.</p>\n", p->s->failing_count);
}

void page_unserved(page *p)
{
    const size_t unserved = p->s->device_count - p->s->served_devices;
    hr_text summary = {0};
    page_add(p, "<section id=\"unserved\" aria-labelledby=\"unserved-h\">\n<h2 id=\"unserved-h\">");
    if (unserved == 0) {
        page_add(p, "Every device is served</h2>\n");
    } else {
        hr_text_addf(p->out, "Not served: %zu of %zu devices</h2>\n", unserved, p->s->device_count);
        put_unserved_table(p);
    }
    put_without(p);
    report_add_summary(p->b, p->s, &summary);
    page_paragraphs(p, &summary);
    hr_text_free(&summary);
    page_add(p, "</section>\n");
}
