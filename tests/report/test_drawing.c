/*
 * test_drawing.c - a storey as a drawing: it is a plan again with the same
 * walls, names are escaped, materials differ in grey.
 *
 * SPDX-License-Identifier: MIT
 */
#include "../property.h"

#include <string.h>

#include "hr_report.h"
#include "test_parts.h"

static const char plan_svg[] = PROPERTY_HEAD
    "<g inkscape:label=\"walls: brick-100\" stroke=\"#000\"><rect width=\"10\" height=\"4\" fill=\"none\"/>"
    "<line x1=\"5\" y1=\"0\" x2=\"5\" y2=\"4\"/></g>\n"
    "<g inkscape:label=\"walls: concrete-200\" stroke=\"#000\" fill=\"none\"><path d=\"M0 -2A2 2 0 0 1 2 -4\"/></g>\n"
    "<g inkscape:label=\"solids: concrete-200\"><path fill-rule=\"evenodd\" d=\"M12 0H16V4H12Z M13 1H15V3H13Z\"/></g>\n"
    "<g inkscape:label=\"corridors\"><rect y=\"-2\" width=\"10\" height=\"2\"/></g>\n"
    "<g inkscape:label=\"doors: timber-door 0-2.05\" stroke=\"#000\"><line x1=\"1\" x2=\"1.9\"/><line x1=\"6\" x2=\"6.9\"/></g>\n"
    "<g inkscape:label=\"metal: duct 2.4-2.8\" stroke=\"#000\"><line x1=\"0\" y1=\"-1\" x2=\"9\" y2=\"-1\"/></g>\n"
    "<g inkscape:label=\"sofa ]]&gt; &quot;1&quot;\" stroke=\"#000\"><line x1=\"1\" y1=\"1\" x2=\"2\" y2=\"1\"/></g>\n"
    "<g inkscape:label=\"rooms\"><rect width=\"5\" height=\"4\"><title>=1 &lt;&amp;\"'</title></rect>"
    "<rect x=\"5\" width=\"5\" height=\"4\"><title>2, b</title></rect></g></svg>";

#define INI                                                                                                            \
    "[property]\nname = Odd & <Names>\nlength_unit = m\n[radio]\nfrequency_mhz = 915\n[storey 1]\nplan = plan.svg\n"    \
    "[device wall]\npower = battery\nrelays = no\n"

static hr_building *property_read(const char *ini, const char *svg, const hr_building_options *options)
{
    char folder[] = "/tmp/hallreach-test-XXXXXX", path[512];
    hr_building *b = NULL;
    hr_error err = {.status = HR_OK};
    assert_non_null(mkdtemp(folder));
    property_write(folder, "plan.svg", svg);
    property_write(folder, "property.ini", ini);
    (void)snprintf(path, sizeof path, "%s/property.ini", folder);
    const hr_status status = hr_building_read(path, options, NULL, &b, &err);
    property_remove(folder, "plan.svg");
    property_remove(folder, "property.ini");
    (void)rmdir(folder);
    if (status != HR_OK) {
        fail_msg("%s:%d: %s", err.file, err.line, err.text);
    }
    return b;
}

/* The drawing read by the reader of plans; one unit is a centimetre, as its own scale line says. */
static hr_plan *plan_of(const hr_building *b, const hr_text *drawing)
{
    const hr_plan_options options = {.lenient = true};
    hr_svg_drawing *svg = NULL;
    hr_plan *plan = NULL;
    hr_error err = {0};
    assert_int_equal(hr_svg_read("drawing.svg", drawing->bytes, drawing->len, NULL, &svg, &err), HR_OK);
    if (hr_plan_from_drawing(svg, &options, b->materials, NULL, &plan, &err) != HR_OK) {
        fail_msg("line %d: %s", err.line, err.text);
    }
    hr_svg_free(svg);
    return plan;
}

static double area_of(const hr_body *bodies, size_t count)
{
    double area = 0.0;
    for (size_t i = 0; i < count; i++) {
        area += hr_geometry_area(&bodies[i].region);
    }
    return area;
}

void drawing_reads_back(void **state)
{
    (void)state;
    hr_building *b = property_made(INI, plan_svg);
    const hr_plan *source = b->storeys[0].plan;
    hr_text out = {0};
    assert_int_equal(hr_report_drawing(b, 0, &out, NULL), HR_OK);
    assert_non_null(strstr(out.bytes, "Odd &amp; &lt;Names&gt;, storey 1"));
    assert_non_null(strstr(out.bytes, "Prediction, not a survey"));
    hr_plan *again = plan_of(b, &out);
    check_near(again->metres_per_unit, 0.01, 1e-6);
    check_near(again->wall_length_m, source->wall_length_m, 1e-3);
    assert_int_equal(again->solid_count, source->solid_count);
    check_near(area_of(again->solids, again->solid_count), 12.0, 1e-3);
    assert_int_equal(again->room_count, source->room_count);
    assert_int_equal(again->metal_count, 1);
    check_near(again->metals[0].low_m, 2.4, 1e-9);
    assert_int_equal(again->opening_count, 2);
    check_near(again->openings[1].line.b.x, 6.9, 1e-4);
    check_near(again->openings[0].high_m, 2.05, 1e-9);
    size_t named = 0;
    for (size_t i = 0; i < again->space_count; i++) {
        named += again->spaces[i].name != NULL && strcmp(again->spaces[i].name, "=1 <&\"'") == 0;
    }
    assert_int_equal(named, 1);
    assert_int_equal(hr_report_drawing(b, 1, &out, NULL), HR_ERR_ARGUMENT);
    hr_plan_free(again);
    hr_text_free(&out);
    hr_building_free(b);
}

void drawing_without_a_scale(void **state)
{
    (void)state;
    const hr_building_options options = {.lenient = true, .keep_left = true};
    hr_building *b = property_read(INI,
                                   "<svg xmlns=\"http://www.w3.org/2000/svg\"><g data-name=\"walls: brick-100\" stroke=\"#000\">"
                                   "<path d=\"M0 0H500\"/></g><path d=\"M0 9H100000\" stroke=\"#000\"/></svg>",
                                   &options);
    hr_text out = {0};
    assert_int_equal(hr_report_drawing(b, 0, &out, NULL), HR_OK);
    assert_non_null(strstr(out.bytes, "No scale was found"));
    assert_null(strstr(out.bytes, "scale: "));
    hr_text_free(&out);
    hr_building_free(b);
}

void drawing_without_anything(void **state)
{
    (void)state;
    const hr_building_options options = {.lenient = true, .keep_left = true};
    hr_building *b = property_read(INI, "<svg xmlns=\"http://www.w3.org/2000/svg\"/>", &options);
    hr_text out = {0};
    assert_int_equal(hr_report_drawing(b, 0, &out, NULL), HR_OK);
    assert_null(strstr(out.bytes, "nan"));
    assert_null(strstr(out.bytes, "inf"));
    hr_plan_free(plan_of(b, &out));
    hr_text_free(&out);
    hr_building_free(b);
}

/* Wall layers of one drawing: no two with the same colour and dashes. */
void drawing_styles_differ(void **state)
{
    (void)state;
    static const char *const names[] = {"brick-100",    "brick-200",     "concrete-100", "concrete-150", "concrete-200",
                                        "block-hollow", "framed-double", "plasterboard", "timber-wall",  "stone-wall"};
    hr_text svg = {0}, out = {0};
    hr_text_add(&svg, PROPERTY_HEAD);
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        hr_text_addf(&svg, "<g inkscape:label=\"walls: %s\" stroke=\"#000\"><path d=\"M0 %zuH9\"/></g>", names[i], i);
    }
    hr_text_add(&svg, "</svg>");
    const hr_building_options options = {.lenient = true};
    hr_building *b = property_read(INI, svg.bytes, &options);
    assert_int_equal(hr_report_drawing(b, 0, &out, NULL), HR_OK);
    char seen[16][160];
    size_t count = 0;
    for (const char *at = out.bytes; (at = strstr(at, "class=\"layer-walls\"")) != NULL; at++) {
        const char *style = strstr(at, " stroke=");
        const size_t len = (size_t)(strchr(style, '>') - style);
        assert_true(len < sizeof seen[0] && count < 16);
        memcpy(seen[count], style, len);
        seen[count][len] = '\0';
        for (size_t i = 0; i < count; i++) {
            assert_string_not_equal(seen[i], seen[count]);
        }
        count++;
    }
    assert_int_equal(count, sizeof names / sizeof names[0]);
    hr_text_free(&svg);
    hr_text_free(&out);
    hr_building_free(b);
}
