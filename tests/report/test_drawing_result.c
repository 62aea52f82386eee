/*
 * test_drawing_result.c - a result as a drawing: gateways stand where the list
 * says, the field at a device is its margin, lines of equal margin run where
 * the margin is that, colours can be told apart by everybody, texts keep off
 * signs, and nothing from the input escapes into the markup.
 *
 * SPDX-License-Identifier: MIT
 */
#include "../property.h"

#include <string.h>

#include "hr_coverage.h"
#include "hr_report.h"
#include "test_parts.h"

/* ---- a small property with a gateway, rooms with odd names, a mark on each kind of floor ---- */

static const char plan_svg[] = PROPERTY_HEAD
    "<g inkscape:label=\"walls: brick-100\" stroke=\"#000\"><rect width=\"20\" height=\"8\" fill=\"none\"/>"
    "<line x1=\"10\" y1=\"0\" x2=\"10\" y2=\"8\"/></g>\n"
    "<g inkscape:label=\"corridors\"><rect y=\"-2\" width=\"20\" height=\"2\"/></g>\n"
    "<g inkscape:label=\"areas\"><rect x=\"4\" y=\"2\" width=\"3\" height=\"2\"><title>bath &lt;1&gt;</title></rect></g>\n"
    "<g inkscape:label=\"doors: timber-door\" stroke=\"#000\"><line x1=\"1\" x2=\"1.9\"/><line x1=\"16\" x2=\"16.9\"/></g>\n"
    "<g inkscape:label=\"gateways\"><circle cx=\"3.217\" cy=\"-1.9\" r=\"0.1\"><title>G-A</title></circle>"
    "<circle cx=\"17.004\" cy=\"-0.1\" r=\"0.1\"><title>G-B</title></circle></g>\n"
    "<g inkscape:label=\"rooms\"><rect width=\"10\" height=\"8\"><title>&lt;script&gt;&amp;\"'</title></rect>"
    "<rect x=\"10\" width=\"10\" height=\"8\"><title>]]&gt;-->=2, b</title></rect></g></svg>";

#define INI                                                                                                            \
    "[property]\nname = Odd & <Names>\nlength_unit = m\n[radio]\nfrequency_mhz = 915\n[storey 1]\nplan = plan.svg\n"    \
    "[device wall]\npower = battery\nrelays = no\n[device unit]\npower = mains\nrelays = no\njoins = wall\n"

#define INI_OF(radio)                                                                                                  \
    "[property]\nname = One\nlength_unit = m\n[radio]\nfrequency_mhz = 868\n" radio "[storey 1]\nplan = plan.svg\n"       \
    "[device wall]\npower = battery\nrelays = no\n"

static hr_siting *sited(const hr_building *b)
{
    hr_siting *s = NULL;
    hr_error err = {.status = HR_OK};
    if (hr_siting_rooms(b, NULL, NULL, &s, &err) != HR_OK) {
        fail_msg("%s", err.text);
    }
    return s;
}

static hr_text drawn(const hr_building *b, const hr_siting *s, uint32_t storey, const hr_report_drawing_options *options)
{
    hr_text out = {0};
    hr_error err = {.status = HR_OK};
    if (hr_report_drawing_of(b, s, storey, options, &out, &err) != HR_OK) {
        fail_msg("%s", err.text);
    }
    return out;
}

static hr_plan *plan_of(const hr_building *b, const hr_text *drawing)
{
    static const char *const kinds[] = {"wall", "unit"};
    const hr_plan_options options = {.device_kinds = kinds, .device_kind_count = 2};
    hr_svg_drawing *svg = NULL;
    hr_plan *plan = NULL;
    hr_error err = {.status = HR_OK};
    if (hr_svg_read("drawing.svg", drawing->bytes, drawing->len, NULL, &svg, &err) != HR_OK ||
        hr_plan_from_drawing(svg, &options, b->materials, NULL, &plan, &err) != HR_OK) {
        fail_msg("line %d: %s", err.line, err.text);
    }
    hr_svg_free(svg);
    return plan;
}

static hr_building *example(const char *name, const char *set)
{
    char path[512];
    hr_building *b = NULL;
    hr_error err = {.status = HR_OK};
    const hr_building_options options = {.sets = &set, .set_count = set != NULL ? 1 : 0};
    (void)snprintf(path, sizeof path, "%s/examples/%s.ini", getenv("HR_SOURCE_ROOT"), name);
    if (hr_building_read(path, &options, NULL, &b, &err) != HR_OK) {
        fail_msg("%s: %s", err.file, err.text);
    }
    return b;
}

static hr_siting *placed(const hr_building *b)
{
    const hr_siting_options options = {.effort = 2000};
    hr_siting *s = NULL;
    hr_error err = {.status = HR_OK};
    if (hr_siting_place(b, &options, NULL, &s, &err) != HR_OK) {
        fail_msg("%s", err.text);
    }
    return s;
}

/* Whether the texts say this, wherever the line breaks. */
static bool says(const hr_text *out, const char *phrase)
{
    hr_text words = {0};
    bool tag = false;
    for (const char *at = out->bytes; *at != '\0'; at++) {
        tag = tag || *at == '<';
        if (!tag) {
            hr_text_add_n(&words, *at == '\n' ? " " : at, 1);
        }
        tag = tag && *at != '>';
    }
    const bool said = strstr(words.bytes, phrase) != NULL;
    hr_text_free(&words);
    return said;
}

/* Every gateway of the list on its storey's drawing, and no other. */
static void check_gateways(const hr_building *b, const hr_siting *s)
{
    size_t found = 0;
    for (uint32_t storey = 0; storey < b->storey_count; storey++) {
        hr_text out = drawn(b, s, storey, NULL);
        hr_plan *plan = plan_of(b, &out);
        for (size_t i = 0; i < plan->gateway_count; i++) {
            const hr_mark *mark = &plan->gateways[i];
            assert_non_null(mark->name);
            for (size_t g = 0; g < s->gateway_count; g++) {
                if (strcmp(s->gateways[g].id, mark->name) == 0) {
                    assert_int_equal(s->gateways[g].storey, storey);
                    check_near(mark->at.x, s->gateways[g].at.x, 1e-3);
                    check_near(mark->at.y, s->gateways[g].at.y, 1e-3);
                    found++;
                }
            }
        }
        assert_int_equal(plan->room_count, b->storeys[storey].plan->room_count);
        hr_plan_free(plan);
        hr_text_free(&out);
    }
    assert_int_equal(found, s->gateway_count);
}

void result_reads_back(void **state)
{
    (void)state;
    hr_building *b = property_made(INI, plan_svg);
    hr_siting *s = sited(b);
    const hr_report_drawing_options options = {.field = HR_DRAWING_CONTOURS, .date = "2026-03-31"};
    hr_text out = drawn(b, s, 0, &options);
    hr_plan *plan = plan_of(b, &out);
    assert_int_equal(plan->gateway_count, 2);
    assert_int_equal(plan->room_count, 2);
    assert_int_equal(plan->device_count, b->device_count);
    check_near(plan->wall_length_m, b->storeys[0].plan->wall_length_m, 1e-3);
    for (size_t i = 0; i < plan->space_count; i++) {
        if (plan->spaces[i].kind == HR_SPACE_ROOM) {
            if (hr_building_room(b, plan->spaces[i].name) == UINT32_MAX) {
                fail_msg("no room is called %s", plan->spaces[i].name);
            }
        }
    }
    assert_true(says(&out, "predicted by the multi-wall model at 915 MHz; 2026-03-31. Prediction, not a survey"));
    hr_plan_free(plan);
    hr_text_free(&out);
    check_gateways(b, s);
    hr_siting_free(s);
    hr_building_free(b);
    hr_building *tern = example("tern-house", NULL);
    s = placed(tern);
    assert_true(s->gateway_count > 1);
    check_gateways(tern, s);
    hr_siting_free(s);
    hr_building_free(tern);
}

/* What was read from the markup again is what went in; no name stands in it raw. */
void result_escapes_everything(void **state)
{
    (void)state;
    hr_building *b = property_made(INI, plan_svg);
    hr_siting *s = sited(b);
    const hr_report_drawing_options looks[] = {{.field = HR_DRAWING_CONTOURS},
                                               {.field = HR_DRAWING_GRID, .embedded = true, .prefix = "a\"<&", .plan_id = "p\"<"},
                                               {.date = "<&\"", .property_name = "<b>\x01&\x7f"}};
    for (size_t i = 0; i < sizeof looks / sizeof looks[0]; i++) {
        hr_text out = drawn(b, s, 0, &looks[i]);
        hr_svg_drawing *svg = NULL;
        hr_error err = {.status = HR_OK};
        if (hr_svg_read("drawing.svg", out.bytes, out.len, NULL, &svg, &err) != HR_OK) {
            fail_msg("%zu, line %d: %s", i, err.line, err.text);
        }
        hr_svg_free(svg);
        assert_null(strstr(out.bytes, "<script"));
        assert_null(strstr(out.bytes, "<b>"));
        assert_null(strstr(out.bytes, "<Names>"));
        assert_null(strchr(out.bytes, 1));
        assert_non_null(strstr(out.bytes, "&lt;script&gt;&amp;&quot;"));
        hr_text_free(&out);
    }
    hr_siting_free(s);
    hr_building_free(b);
}

static size_t count_of(const char *text, const char *word)
{
    size_t count = 0;
    for (; (text = strstr(text, word)) != NULL; text++) {
        count++;
    }
    return count;
}

void result_says_what_is_not_served(void **state)
{
    (void)state;
    hr_building *b = property_made(INI "[gateway]\nsensitivity_dbm = -45\n", plan_svg);
    hr_siting *s = sited(b);
    assert_true(s->served_devices < s->device_count);
    hr_text out = drawn(b, s, 0, NULL);
    size_t unserved = 0;
    for (size_t i = 0; i < s->room_count; i++) {
        unserved += !s->rooms[i].served;
    }
    assert_true(unserved > 0);
    assert_int_equal(count_of(out.bytes, "class=\"room unserved\" fill=\"url(#unserved)\""), unserved);
    assert_int_equal(count_of(out.bytes, ">not served</text>"), unserved + 1); /* the legend too */
    /* who is not served hangs on nobody */
    for (size_t i = 0; i < s->device_count; i++) {
        if (!s->devices[i].served) {
            hr_text hop = {0};
            hr_text_add(&hop, "<path data-device=\"");
            hr_text_xml(&hop, b->devices[i].name);
            assert_null(strstr(out.bytes, hop.bytes));
            hr_text_free(&hop);
        }
    }
    hr_text_free(&out);
    hr_siting_free(s);
    hr_building_free(b);
}

/* Under routes the line bends where the way bends; under multi-wall it is straight. */
void result_shows_the_way(void **state)
{
    (void)state;
    static const char heavy[] = PROPERTY_HEAD
        "<g inkscape:label=\"corridors\"><rect width=\"30\" height=\"2\"/></g>\n"
        "<g inkscape:label=\"walls: concrete-300\"><path d=\"M0,0H30V2H0ZM0,2V8H30V2M14,2V8\" stroke=\"#000\" fill=\"none\"/></g>\n"
        "<g inkscape:label=\"doors: timber-door\"><path d=\"M20,2H20.9\" stroke=\"#000\"/></g>\n"
        "<g inkscape:label=\"gateways\"><circle cx=\"2\" cy=\"1\" r=\"0.1\"><title>G-A</title></circle></g>\n"
        "<g inkscape:label=\"devices: wall\"><circle cx=\"22\" cy=\"7\" r=\"0.1\"/></g>\n"
        "<g inkscape:label=\"rooms\"><rect x=\"14\" y=\"2\" width=\"16\" height=\"6\"><title>21</title></rect></g></svg>";
    for (int routes = 0; routes < 2; routes++) {
        hr_building *b = property_made(routes ? INI_OF("model = routes\n") : INI_OF(""), heavy);
        hr_siting *s = sited(b);
        assert_true(s->devices[0].served);
        assert_int_equal(s->devices[0].link.bends, routes);
        hr_text out = drawn(b, s, 0, NULL);
        const char *hop = strstr(out.bytes, "<path data-device=\"");
        assert_non_null(hop);
        const char *end = strstr(hop, "/>"), *d = strstr(hop, " d=\"M");
        assert_true(d != NULL && d < end);
        size_t places = 1;
        for (const char *at = d + 4; at < end; at++) {
            places += *at == ' ';
        }
        assert_int_equal(places, 2 + routes);
        hr_text_free(&out);
        hr_siting_free(s);
        hr_building_free(b);
    }
}

void result_in_a_page(void **state)
{
    (void)state;
    hr_building *b = property_made(INI, plan_svg);
    hr_siting *s = sited(b);
    const hr_report_drawing_options options = {.field = HR_DRAWING_CONTOURS,
                                               .embedded = true,
                                               .no_title = true,
                                               .no_legend = true,
                                               .prefix = "s0-",
                                               .plan_id = "plan-0"};
    hr_text out = drawn(b, s, 0, &options), shared = {0};
    assert_int_equal(hr_report_drawing_plan(b, s, 0, &options, &shared, NULL), HR_OK);
    assert_true(strncmp(out.bytes, "<svg ", 5) == 0);
    assert_null(strstr(out.bytes, "inkscape"));
    assert_null(strstr(shared.bytes, "inkscape"));
    assert_null(strstr(out.bytes, "Prediction"));
    assert_null(strstr(out.bytes, "layer-legend"));
    assert_null(strstr(out.bytes, "layer-walls"));
    assert_int_equal(count_of(out.bytes, "<use href=\"#plan-0\"/>"), 1);
    assert_non_null(strstr(shared.bytes, "<g id=\"plan-0\">"));
    assert_non_null(strstr(shared.bytes, "layer-walls"));
    assert_int_equal(count_of(out.bytes, " id=\""), count_of(out.bytes, " id=\"s0-"));
    assert_int_equal(count_of(out.bytes, "url(#"), count_of(out.bytes, "url(#s0-"));
    assert_int_equal(count_of(out.bytes, "data-room=\""), b->room_count);
    assert_int_equal(count_of(out.bytes, "data-gateway=\""), s->gateway_count);
    assert_int_equal(hr_report_drawing_plan(b, s, 0, NULL, &shared, NULL), HR_ERR_ARGUMENT);
    hr_text_free(&shared);
    hr_text_free(&out);
    hr_siting_free(s);
    hr_building_free(b);
}

void result_hides_names(void **state)
{
    (void)state;
    static const char *const names[] = {"R001", "R002"};
    hr_building *b = property_made(INI, plan_svg);
    hr_siting *s = sited(b);
    const hr_report_drawing_options options = {.field = HR_DRAWING_CONTOURS, .property_name = "A property", .room_names = names};
    hr_text out = drawn(b, s, 0, &options);
    assert_null(strstr(out.bytes, "script"));
    assert_null(strstr(out.bytes, "=2, b"));
    assert_null(strstr(out.bytes, "Odd"));
    assert_null(strstr(out.bytes, "bath"));
    assert_non_null(strstr(out.bytes, "data-device=\"R002/unit\""));
    assert_non_null(strstr(out.bytes, "data-room=\"R001\""));
    hr_text_free(&out);
    hr_siting_free(s);
    hr_building_free(b);
}

void result_refuses(void **state)
{
    (void)state;
    hr_building *b = property_made(INI, plan_svg);
    hr_siting *s = sited(b);
    hr_text out = {0};
    hr_report_drawing_options options = {.field = HR_DRAWING_GRID, .step_m = 0.01};
    assert_int_equal(hr_report_drawing_of(b, s, 1, NULL, &out, NULL), HR_ERR_ARGUMENT);
    assert_int_equal(hr_report_drawing_of(b, s, 0, &options, &out, NULL), HR_ERR_ARGUMENT);
    options.step_m = (double)INFINITY;
    assert_int_equal(hr_report_drawing_of(b, s, 0, &options, &out, NULL), HR_ERR_ARGUMENT);
    assert_int_equal(out.len, 0);
    hr_text_free(&out);
    hr_siting_free(s);
    hr_building_free(b);
}

/* ---- the field ---- */

static hr_site *sites_of(const hr_siting *s)
{
    hr_site *sites = hr_alloc(s->gateway_count, sizeof *sites);
    for (size_t i = 0; i < s->gateway_count; i++) {
        sites[i] = (hr_site){s->gateways[i].at, s->gateways[i].z_m, s->gateways[i].storey};
    }
    return sites;
}

/* Every device with a direct link to its gateway: the same gateway, the same margin. */
static void check_devices(const hr_building *b, const hr_siting *s)
{
    hr_links *links = NULL;
    hr_link_work work = {0};
    hr_site *sites = sites_of(s);
    size_t direct = 0;
    assert_int_equal(hr_links_new(b, &links, NULL), HR_OK);
    for (size_t i = 0; i < s->device_count; i++) {
        const hr_device_row *row = &s->devices[i];
        if (!row->served || row->via != HR_SITING_NONE) {
            continue;
        }
        const hr_end end = hr_links_device_end(b, row->device);
        double margin_db = 0.0;
        uint32_t site = 0;
        assert_int_equal(
            hr_coverage_margin_at(b, links, &work, &end, sites, s->gateway_count, &margin_db, &site, NULL), HR_OK);
        if (site != row->gateway) {
            fail_msg("%s: %s, in the field %s", b->devices[row->device].name, s->gateways[row->gateway].id,
                     site < s->gateway_count ? s->gateways[site].id : "none");
        }
        check_near(margin_db, row->link.link_margin_db, 1e-9);
        direct++;
    }
    assert_true(direct > 50);
    hr_free(sites);
    hr_links_work_free(&work);
    hr_links_free(links);
}

void field_at_a_device_is_its_margin(void **state)
{
    (void)state;
    static const char *const names[] = {"quillhaven-lodge", "tern-house"};
    for (size_t i = 0; i < 2; i++) {
        hr_building *b = example(names[i], NULL);
        hr_siting *s = placed(b);
        check_devices(b, s);
        hr_siting_free(s);
        hr_building_free(b);
    }
    hr_building *b = example("tern-house", "radio.model=routes");
    hr_siting *s = placed(b);
    check_devices(b, s);
    hr_siting_free(s);
    hr_building_free(b);
}

/* One large hall without walls inside: the margin is smooth, so that a line can be checked against it. */
static const char hall_svg[] = PROPERTY_HEAD
    "<g inkscape:label=\"walls: brick-100\" stroke=\"#000\"><rect width=\"26\" height=\"10\" fill=\"none\"/></g>\n"
    "<g inkscape:label=\"gateways\"><circle cx=\"4\" cy=\"5\" r=\"0.1\"><title>G1</title></circle></g>\n"
    "<g inkscape:label=\"rooms\"><rect width=\"26\" height=\"10\"><title>hall</title></rect></g></svg>";

void lines_run_where_the_margin_is_theirs(void **state)
{
    (void)state;
    hr_building *b = property_made(INI "[gateway]\nsensitivity_dbm = -62\n", hall_svg);
    hr_siting *s = sited(b);
    hr_site *sites = sites_of(s);
    hr_links *links = NULL;
    hr_link_work work = {0};
    assert_int_equal(hr_links_new(b, &links, NULL), HR_OK);
    const hr_report_drawing_options options = {.field = HR_DRAWING_CONTOURS, .step_m = 0.25};
    hr_text out = drawn(b, s, 0, &options);
    size_t points = 0, levels = 0;
    for (const char *at = out.bytes; (at = strstr(at, " data-margin=\"")) != NULL;) {
        double level_db = 0.0, x = 0.0, y = 0.0;
        at += strlen(" data-margin=\"");
        assert_true(hr_number_scan(at, strlen(at), &level_db) > 0);
        at = strstr(at, " d=\"") + 4;
        levels += *at == 'M';
        while (*at != '"') {
            at += *at == 'M' || *at == ' ' || *at == 'Z';
            const size_t used = hr_number_scan(at, strlen(at), &x);
            if (used == 0) {
                continue;
            }
            at += used + 1;
            at += hr_number_scan(at, strlen(at), &y);
            hr_end end = hr_links_device_end(b, 0);
            end.at = (hr_point){x / 100.0, y / 100.0};
            double margin_db = 0.0;
            assert_int_equal(hr_coverage_margin_at(b, links, &work, &end, sites, 1, &margin_db, NULL, NULL), HR_OK);
            check_near(margin_db, level_db, 0.35);
            points++;
        }
    }
    assert_true(levels >= 2 && points > 20);
    hr_text_free(&out);
    hr_links_work_free(&work);
    hr_links_free(links);
    hr_free(sites);
    hr_siting_free(s);
    hr_building_free(b);
}

void squares_are_coloured_by_margin(void **state)
{
    (void)state;
    hr_building *b = property_made(INI "[gateway]\nsensitivity_dbm = -62\n", hall_svg);
    hr_siting *s = sited(b);
    hr_site *sites = sites_of(s);
    hr_links *links = NULL;
    hr_coverage_field *field = NULL;
    assert_int_equal(hr_links_new(b, &links, NULL), HR_OK);
    assert_int_equal(hr_coverage_field_new(b, links, 0, 0, sites, 1, 1.0, &field, NULL), HR_OK);
    const hr_report_drawing_options options = {.field = HR_DRAWING_GRID, .step_m = 1.0};
    hr_text out = drawn(b, s, 0, &options);
    /* metres of squares in each band, in the drawing and by the field */
    for (size_t band = 0; band < HR_REPORT_BANDS; band++) {
        char head[64];
        double expected = 0.0, sum = 0.0;
        for (size_t i = 0; i < field->grid.columns * field->grid.rows; i++) {
            const double spare_db = field->margin_db[i] - hr_links_required_margin_db(links);
            expected += field->on_floor[i] && spare_db >= 0.0 && hr_report_band_of(spare_db) == band;
        }
        (void)snprintf(head, sizeof head, "<path class=\"spare-%zu\" fill", band);
        const char *at = strstr(out.bytes, head), *end = strstr(at, "/>");
        for (; (at = strchr(at, 'h')) != NULL && at < end; at++) {
            double width = 0.0;
            (void)hr_number_scan(at + 1, strlen(at + 1), &width);
            sum += width > 0.0 ? width / 100.0 : 0.0;
        }
        check_near(sum, expected, 1e-6);
    }
    assert_true(says(&out, "on a grid of 1 m"));
    hr_text_free(&out);
    hr_coverage_field_free(field);
    hr_links_free(links);
    hr_free(sites);
    hr_siting_free(s);
    hr_building_free(b);
}

/* ---- texts ---- */

static double attribute_of(const char *element, const char *name)
{
    char head[32];
    double value = (double)NAN;
    (void)snprintf(head, sizeof head, " %s=\"", name);
    const char *at = strstr(element, head);
    assert_non_null(at);
    at += strlen(head);
    assert_true(hr_number_scan(at, strlen(at), &value) > 0);
    return value;
}

/* Figures of rooms: inside their room, off every device, by the widths that usual letters have at most. */
void texts_keep_off_signs(void **state)
{
    (void)state;
    static const char *const names[] = {"quillhaven-lodge", "tern-house"};
    for (size_t e = 0; e < 2; e++) {
        hr_building *b = example(names[e], NULL);
        hr_siting *s = placed(b);
        size_t figures = 0;
        for (uint32_t storey = 0; storey < b->storey_count; storey++) {
            hr_text out = drawn(b, s, storey, NULL);
            for (const char *at = out.bytes; (at = strstr(at, "<text class=\"room-figure\"")) != NULL; at++) {
                const double size = attribute_of(at, "font-size"), x = attribute_of(at, "x"), y = attribute_of(at, "y");
                const char *words = strchr(at, '>') + 1;
                const double half = 0.5 * 0.6 * size * (double)(strchr(words, '<') - words);
                const hr_box box = {(x - half) / 100.0, (y - size) / 100.0, (x + half) / 100.0, (y + 0.2 * size) / 100.0};
                const uint32_t room = hr_plan_room_at(b->storeys[storey].plan, (hr_point){x / 100.0, y / 100.0});
                assert_true(room != HR_PLAN_NONE);
                assert_int_equal(hr_plan_space_at(b->storeys[storey].plan, (hr_point){box.x0, box.y1}), room);
                assert_int_equal(hr_plan_space_at(b->storeys[storey].plan, (hr_point){box.x1, box.y0}), room);
                for (size_t i = 0; i < b->device_count; i++) {
                    const hr_device *device = &b->devices[i];
                    if (device->storey == storey && device->at.x > box.x0 - 0.1 && device->at.x < box.x1 + 0.1 &&
                        device->at.y > box.y0 - 0.1 && device->at.y < box.y1 + 0.1) {
                        fail_msg("storey %s: a figure over %s", b->storeys[storey].name, device->name);
                    }
                }
                figures++;
            }
            hr_text_free(&out);
        }
        assert_int_equal(figures, b->room_count);
        hr_siting_free(s);
        hr_building_free(b);
    }
}

#define LONG_NAME "Whoever named this room wrote down all that came to mind, the view and the wallpaper among it, and then the rest"

/* A name that is longer than its room or the sheet is cut; the figure under it stays as readable as its neighbour's. */
void long_names_stay_inside(void **state)
{
    (void)state;
    static const char plan[] = PROPERTY_HEAD
        "<g inkscape:label=\"walls: brick-100\" stroke=\"#000\"><rect width=\"8\" height=\"8\" fill=\"none\"/></g>\n"
        "<g inkscape:label=\"corridors\"><rect y=\"-2\" width=\"8\" height=\"2\"/></g>\n"
        "<g inkscape:label=\"gateways\"><circle cx=\"4\" cy=\"-1\" r=\"0.1\"><title>G</title></circle></g>\n"
        "<g inkscape:label=\"rooms\"><rect width=\"4\" height=\"8\"><title>" LONG_NAME "</title></rect>"
        "<rect x=\"4\" width=\"4\" height=\"8\"><title>2</title></rect></g></svg>";
    static const char ini[] = "[property]\nname = " LONG_NAME "\nlength_unit = m\n[radio]\nfrequency_mhz = 915\n"
                              "[storey 1]\nplan = plan.svg\n[device wall]\npower = battery\nrelays = no\n";
    hr_building *b = property_made(ini, plan);
    hr_siting *s = sited(b);
    hr_text out = drawn(b, s, 0, NULL);
    double sizes[2] = {0};
    const char *at = out.bytes;
    for (size_t i = 0; i < 2; i++, at++) {
        at = strstr(at, "<text class=\"room-name\"");
        assert_non_null(at);
        const char *words = strchr(at, '>') + 1;
        const double size = attribute_of(at, "font-size");
        assert_true(0.5 * size * (double)(strchr(words, '<') - words) < 400.0);
        sizes[i] = size;
    }
    assert_true(sizes[0] > 0.6 * sizes[1]);
    assert_non_null(strstr(out.bytes, "\u2026</text>"));
    assert_non_null(strstr(out.bytes, LONG_NAME)); /* the shape's own title has all of it */
    const char *head = strstr(out.bytes, "<g class=\"layer-title\"");
    assert_non_null(head);
    head = strstr(head, "<text");
    assert_non_null(head);
    const char *words = strchr(head, '>') + 1, *view = strstr(out.bytes, "viewBox=\"") + 9;
    double box[4];
    for (size_t i = 0; i < 4; i++) {
        char *end = NULL;
        box[i] = strtod(view, &end);
        view = end;
    }
    const double wide = 0.55 * attribute_of(head, "font-size") * (double)(strchr(words, '<') - words);
    assert_true(attribute_of(head, "x") + wide < box[0] + box[2]);
    hr_text_free(&out);
    hr_siting_free(s);
    hr_building_free(b);
}

/* ---- colours ---- */

static double linear_of(int value)
{
    const double s = value / 255.0;
    return s <= 0.04045 ? s / 12.92 : pow((s + 0.055) / 1.055, 2.4);
}

static void linear_rgb(const char *hex, double rgb[3])
{
    for (int i = 0; i < 3; i++) {
        const char part[3] = {hex[1 + 2 * i], hex[2 + 2 * i], '\0'};
        rgb[i] = linear_of((int)strtol(part, NULL, 16));
    }
}

/* Relative luminance and contrast: W3C, Web Content Accessibility Guidelines 2.1 (definitions; criterion 1.4.3 asks 4.5). */
static double luminance(const double rgb[3])
{
    return 0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2];
}

static double contrast(const double a[3], const double b[3])
{
    const double la = luminance(a) + 0.05, lb = luminance(b) + 0.05;
    return la > lb ? la / lb : lb / la;
}

/* CIE 1976 L*a*b*, D65. */
static double lab_f(double t)
{
    return t > 216.0 / 24389.0 ? cbrt(t) : (24389.0 / 27.0 * t + 16.0) / 116.0;
}

static void lab_of(const double rgb[3], double lab[3])
{
    const double x = lab_f((0.4124 * rgb[0] + 0.3576 * rgb[1] + 0.1805 * rgb[2]) / 0.95047);
    const double y = lab_f(luminance(rgb));
    const double z = lab_f((0.0193 * rgb[0] + 0.1192 * rgb[1] + 0.9505 * rgb[2]) / 1.08883);
    lab[0] = 116.0 * y - 16.0;
    lab[1] = 500.0 * (x - y);
    lab[2] = 200.0 * (y - z);
}

/* Machado, Oliveira and Fernandes 2009, severity 1.0, on linear RGB; figures from memory. */
static const double eyes[3][9] = {
    {1, 0, 0, 0, 1, 0, 0, 0, 1},
    {0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940, 0.968881},
    {0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998}};

static double seen_difference(const double eye[9], const double a[3], const double b[3])
{
    double seen[2][3], lab[2][3];
    for (int i = 0; i < 3; i++) {
        const double *m = eye + 3 * i;
        seen[0][i] = fmin(1.0, fmax(0.0, m[0] * a[0] + m[1] * a[1] + m[2] * a[2]));
        seen[1][i] = fmin(1.0, fmax(0.0, m[0] * b[0] + m[1] * b[1] + m[2] * b[2]));
    }
    lab_of(seen[0], lab[0]);
    lab_of(seen[1], lab[1]);
    return sqrt(pow(lab[0][0] - lab[1][0], 2) + pow(lab[0][1] - lab[1][1], 2) + pow(lab[0][2] - lab[1][2], 2));
}

/* A colour difference of 10 is plain to see side by side and not next to each other: assumed. */
#define PLAIN_DIFFERENCE 10.0

void bands_can_be_told_apart(void **state)
{
    (void)state;
    double ink[3], before[3] = {0}, white[3], gateway[3], contour[3];
    linear_rgb("#141414", ink);
    linear_rgb("#ffffff", white);
    linear_rgb("#0b2545", gateway);
    linear_rgb("#0f4c50", contour);
    check_near(contrast(white, (const double[3]){0, 0, 0}), 21.0, 1e-9);
    for (size_t i = 0; i < HR_REPORT_BANDS; i++) {
        const hr_report_band *band = hr_report_spare_band(i);
        double fill[3];
        linear_rgb(band->fill, fill);
        assert_true(contrast(ink, fill) >= 4.5);
        assert_true(contrast(gateway, fill) >= 3.0); /* signs: criterion 1.4.11 */
        if (i > 0) {
            assert_true(luminance(fill) > luminance(before));
            assert_true(contrast(fill, before) >= 1.25); /* assumed: seen side by side in a grey print */
            for (size_t eye = 0; eye < 3; eye++) {
                assert_true(seen_difference(eyes[eye], fill, before) >= PLAIN_DIFFERENCE);
            }
            check_near(band->from_db, hr_report_spare_band(i - 1)->to_db, 0.0);
            assert_int_equal(hr_report_band_of(band->from_db), i);
            assert_int_equal(hr_report_band_of(band->from_db - 1e-9), i - 1);
        }
        memcpy(before, fill, sizeof before);
    }
    assert_true(contrast(gateway, white) >= 4.5);
    assert_true(contrast(contour, white) >= 4.5);
    assert_null(hr_report_spare_band(HR_REPORT_BANDS));
    assert_int_equal(hr_report_band_of(-3.0), 0);
}
