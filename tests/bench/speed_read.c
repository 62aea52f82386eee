/*
 * speed_read.c - a plan of a million straight pieces read to the end, beside
 * libxml2 parsing the same bytes to its own tree and no further. As in drawings
 * of that size one piece in seven is a wall; the rest is furniture and hatches,
 * looked at and left.
 *
 * SPDX-License-Identifier: MIT
 */
#include "speed.h"

#include <stdlib.h>

#include <libxml/parser.h>

#include "hr_plan.h"

#define SIDE 500u  /* shapes each way, four pieces each */
#define WALLS 71u /* rows of them that are walls */

typedef struct reading {
    hr_text svg;
    hr_materials *materials;
    size_t walls;
} reading;

static void make(hr_text *svg)
{
    hr_text_add(svg, "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 4000 4000\">\n"
                     "<g><title>scale: 10 m</title><path d=\"M0 -10H10\"/></g>\n<g><title>walls: block-hollow</title>\n");
    for (unsigned i = 0; i < SIDE; i++) {
        if (i == WALLS) {
            hr_text_add(svg, "</g>\n<g><title>furniture</title>\n");
        }
        for (unsigned k = 0; k < SIDE; k++) {
            hr_text_addf(svg, "<path fill=\"none\" stroke=\"#000\" d=\"M%u %uh3.6v6.2h-3.6z\"/>\n", 4 * i, 7 * k);
        }
    }
    hr_text_add(svg, "</g></svg>\n");
    if (svg->failed) {
        speed_fail("no memory");
    }
}

static double ours(void *user)
{
    reading *r = user;
    hr_error err = {.status = HR_OK};
    hr_svg_drawing *drawing = NULL;
    hr_plan *plan = NULL;
    const hr_plan_options options = {0};
    hr_notes *notes = hr_notes_new();
    if (hr_svg_read("million.svg", r->svg.bytes, r->svg.len, notes, &drawing, &err) != HR_OK ||
        hr_plan_from_drawing(drawing, &options, r->materials, notes, &plan, &err) != HR_OK) {
        speed_fail(err.text);
    }
    const double walls = (double)plan->wall_count;
    hr_plan_free(plan);
    hr_svg_free(drawing);
    hr_notes_free(notes);
    return walls;
}

static double parse_alone(void *user)
{
    const reading *r = user;
    xmlDocPtr doc = xmlReadMemory(r->svg.bytes, (int)r->svg.len, "million.svg", NULL, XML_PARSE_NONET);
    if (doc == NULL) {
        speed_fail("libxml2 does not parse it");
    }
    xmlFreeDoc(doc);
    free(malloc(1u << 20)); /* what the many small pieces cost to put together again is its own */
    return 4.0 * SIDE * WALLS;
}

void speed_read(void)
{
    reading r = {0};
    hr_error err = {.status = HR_OK};
    make(&r.svg);
    if (hr_materials_new(915.0, &r.materials, &err) != HR_OK) {
        speed_fail(err.text);
    }
    speed_row("read", "libxml2 parse alone", 0.25, 0.0, ours, parse_alone, &r);
    hr_materials_free(r.materials);
    hr_text_free(&r.svg);
}
