/*
 * test_page.c - the page: text from inputs stays text, a shared copy tells no
 * name, the same answer gives the same bytes. What a browser makes of it is
 * tests/browser.
 *
 * SPDX-License-Identifier: MIT
 */
#include "../property.h"

#include <string.h>

#include "hr_report.h"
#include "test_parts.h"

/* Every thing that can carry a name carries one with the same odd word in it. */
#define WORD "Quux"
static const char named_svg[] = PROPERTY_HEAD
    "<g inkscape:label=\"walls: brick-100\" stroke=\"#000\"><rect width=\"10\" height=\"4\" fill=\"none\"/>"
    "<line x1=\"5\" y1=\"0\" x2=\"5\" y2=\"4\"/></g>\n"
    "<g inkscape:label=\"corridors\"><rect y=\"-2\" width=\"10\" height=\"2\"><title>Quux walk</title></rect></g>\n"
    "<g inkscape:label=\"areas\"><rect x=\"12\" width=\"3\" height=\"4\"><title>Quux hall</title></rect></g>\n"
    "<g inkscape:label=\"metal: quux duct\"><rect x=\"12\" y=\"6\" width=\"1\" height=\"1\"/></g>\n"
    "<g inkscape:label=\"quux layer\" stroke=\"#000\"><line x1=\"1\" y1=\"1\" x2=\"2\" y2=\"1\"/></g>\n"
    "<g inkscape:label=\"spots: quux label\"><circle cx=\"3\" cy=\"-1\" r=\"0.1\"><title>quux-spot</title></circle>"
    "<circle cx=\"8\" cy=\"-1\" r=\"0.1\"><title>quux-other</title></circle></g>\n"
    "<g inkscape:label=\"gateways\"><circle cx=\"1\" cy=\"-1\" r=\"0.1\"><title>quux-gate</title></circle></g>\n"
    "<g inkscape:label=\"network\"><circle cx=\"9\" cy=\"-1.5\" r=\"0.1\"><title>Quux closet</title></circle></g>\n"
    "<g inkscape:label=\"rooms\"><rect width=\"5\" height=\"4\"><title>Quux one</title></rect>"
    "<rect x=\"5\" width=\"5\" height=\"4\"><title>Quux two</title></rect></g></svg>";

#define NAMED_INI                                                                                                      \
    "[property]\nname = The Quux\nlength_unit = m\n[radio]\nfrequency_mhz = 915\nmax_hops = 2\n[gateway]\n"             \
    "network_id = quux-net\nspot_cost = quux label 2\n[storey quux]\nplan = plan.svg\n"                                 \
    "[device wall]\npower = battery\nrelays = yes\n[device unit]\npower = mains\nrelays = no\njoins = wall\n"

static bool holds(const char *text, const char *word)
{
    for (const char *at = text; *at != '\0'; at++) {
        if (hr_caseeq_n(at, word, strlen(word))) {
            return true;
        }
    }
    return false;
}

static hr_text page_made(const hr_building *b, const hr_siting *s, const hr_notes *notes, bool anonymous)
{
    const hr_page_options options = {.date = "2026-03-31", .anonymous = anonymous};
    hr_text out = {0};
    hr_error err = {.status = HR_OK};
    if (hr_report_page(b, s, notes, &options, &out, &err) != HR_OK) {
        fail_msg("%s", err.text);
    }
    return out;
}

void page_of_a_shared_copy(void **state)
{
    (void)state;
    hr_notes *reading = hr_notes_new(), *notes = hr_notes_new();
    hr_building *b = NULL;
    hr_siting *s = NULL;
    hr_error err = {.status = HR_OK};
    if (property_try(NAMED_INI, named_svg, reading, &b, &err) != HR_OK) {
        fail_msg("%s", err.text);
    }
    size_t spot = 0;
    while (strcmp(b->spots[spot].id, "quux-spot") != 0) {
        spot++;
    }
    const char *must[] = {b->spots[spot].id};
    const hr_siting_options asked = {.reasons = true, .tables = true, .must = must, .must_count = 1};
    assert_int_equal(hr_siting_place(b, &asked, notes, &s, NULL), HR_OK);
    hr_text page = page_made(b, s, notes, false);
    static const char *const names[] = {"Quux one", "quux-spot", "quux-gate", "Quux closet", "The Quux", "quux-net"};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        if (!holds(page.bytes, names[i])) {
            fail_msg("the page does not name %s", names[i]);
        }
    }
    hr_text_free(&page);
    const double margin = s->devices[0].link.link_margin_db;
    hr_siting_free(s);

    assert_int_equal(hr_building_anonymise(b, NULL), HR_OK);
    must[0] = b->spots[spot].id;
    assert_string_equal(b->rooms[1].name, "R002");
    assert_string_equal(b->devices[0].name, "R001/wall");
    hr_notes *fresh = hr_notes_new();
    assert_int_equal(hr_siting_place(b, &asked, fresh, &s, NULL), HR_OK);
    check_near(s->devices[0].link.link_margin_db, margin, 0.0);
    page = page_made(b, s, fresh, true);
    hr_text json = {0}, text = {0}, list = {0};
    assert_int_equal(hr_report_siting_json(b, s, fresh, "place", &json, NULL), HR_OK);
    assert_int_equal(hr_report_siting_text(b, s, &text, NULL), HR_OK);
    assert_int_equal(hr_report_gateways_csv(b, s, &list, NULL), HR_OK);
    const char *const written[] = {page.bytes, json.bytes, text.bytes, list.bytes};
    static const char *const secrets[] = {WORD, "plan.svg", "property.ini", "hallreach-test"};
    for (size_t i = 0; i < 4; i++) {
        for (size_t k = 0; k < 4; k++) {
            if (holds(written[i], secrets[k])) {
                fail_msg("'%s' stands in output %zu of a shared copy", secrets[k], i);
            }
        }
    }
    assert_true(holds(page.bytes, "R001"));
    hr_text_free(&page);
    hr_text_free(&json);
    hr_text_free(&text);
    hr_text_free(&list);
    hr_siting_free(s);
    hr_building_free(b);
    hr_notes_free(reading);
    hr_notes_free(notes);
    hr_notes_free(fresh);
}

/* U+2028 is written as bytes: E2 80 A8. */
static const char odd_svg[] = PROPERTY_HEAD
    "<g inkscape:label=\"walls: brick-100\" stroke=\"#000\"><rect width=\"10\" height=\"4\" fill=\"none\"/></g>\n"
    "<g inkscape:label=\"corridors\"><rect y=\"-2\" width=\"10\" height=\"2\"/></g>\n"
    "<g inkscape:label=\"rooms\"><rect width=\"5\" height=\"4\"><title>&lt;/script&gt;&lt;b&gt;</title></rect>"
    "<rect x=\"5\" width=\"5\" height=\"4\"><title>&lt;!--\xE2\x80\xA8\\\"&amp;lt;</title></rect></g></svg>";

#define ODD_INI                                                                                                        \
    "[property]\nname = </title><b> & \"x\"\nlength_unit = m\n[radio]\nfrequency_mhz = 915\n[storey 1]\nplan = plan.svg\n"

static size_t count_of(const char *text, const char *word)
{
    size_t count = 0;
    for (const char *at = strstr(text, word); at != NULL; at = strstr(at + 1, word)) {
        count++;
    }
    return count;
}

void page_escapes_names(void **state)
{
    (void)state;
    hr_building *b = property_made(ODD_INI, odd_svg);
    hr_siting *s = NULL;
    hr_notes *notes = hr_notes_new();
    hr_note(notes, NULL, 0, "a warning with <i>marks</i> & more");
    assert_int_equal(hr_siting_place(b, NULL, NULL, &s, NULL), HR_OK);
    hr_text page = page_made(b, s, notes, false);
    assert_int_equal(count_of(page.bytes, "<b>"), 0);
    assert_int_equal(count_of(page.bytes, "<i>"), 0);
    assert_int_equal(count_of(page.bytes, "</script"), 2); /* the data's own and the script's */
    assert_int_equal(count_of(page.bytes, "</title></head>") + count_of(page.bytes, "</title>\n<style>"), 1);
    assert_non_null(strstr(page.bytes, "&lt;/script&gt;&lt;b&gt;"));
    assert_non_null(strstr(page.bytes, "[\"\\u003c/script\\u003e\\u003cb\\u003e\""));
    assert_non_null(strstr(page.bytes, "[\"\\u003c!--\\u2028\\\\\\\"\\u0026lt;\""));
    assert_int_equal(count_of(strstr(page.bytes, "id=\"data\""), "\xE2\x80\xA8"), 0);
    hr_text_free(&page);
    hr_notes_free(notes);
    hr_siting_free(s);
    hr_building_free(b);
}

/* No address but the name of the SVG vocabulary, and nothing that a page could load something by. */
static void check_alone(const char *page)
{
    assert_int_equal(count_of(page, "http"), count_of(page, "http://www.w3.org/2000/svg") + count_of(page, "<meta http-equiv="));
    static const char *const loads[] = {"<link", "<img", "<iframe", "@import", "url(http", "fetch(", "XMLHttpRequest", "src="};
    for (size_t i = 0; i < sizeof loads / sizeof loads[0]; i++) {
        if (strstr(page, loads[i]) != NULL) {
            fail_msg("the page holds %s", loads[i]);
        }
    }
    assert_int_equal(count_of(page, "href=\""), count_of(page, "href=\"#"));
}

void page_is_whole(void **state)
{
    (void)state;
    hr_building *b = property_made(NAMED_INI, named_svg);
    hr_siting *s = NULL;
    const hr_siting_options asked = {.tables = true};
    assert_int_equal(hr_siting_place(b, &asked, NULL, &s, NULL), HR_OK);
    hr_text page = page_made(b, s, NULL, false), again = page_made(b, s, NULL, false);
    assert_int_equal(page.len, again.len);
    assert_memory_equal(page.bytes, again.bytes, page.len);
    check_alone(page.bytes);
    for (size_t i = 0; hr_report_caution_at(b, i) != NULL; i++) {
        hr_text caution = {0};
        hr_text_xml(&caution, hr_report_caution_at(b, i));
        assert_non_null(strstr(page.bytes, caution.bytes));
        hr_text_free(&caution);
    }
    assert_non_null(strstr(page.bytes, "2026-03-31"));
    assert_non_null(strstr(page.bytes, "</html>\n"));
    for (size_t i = 0; i < hr_building_setting_count(b); i++) {
        assert_non_null(strstr(page.bytes, hr_building_setting(b, i)->key));
    }
    hr_text_free(&page);
    hr_text_free(&again);
    hr_siting_free(s);
    hr_building_free(b);
}
