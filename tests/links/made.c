/*
 * made.c - a naive building written as a property and read by the library.
 *
 * SPDX-License-Identifier: MIT
 */
#include "made.h"

#include <stdlib.h>
#include <unistd.h>

#include "../check.h"

static void write_file(const char *folder, const char *name, const hr_text *text)
{
    char path[512];
    hr_error err = {0};
    (void)snprintf(path, sizeof path, "%s/%s", folder, name);
    if (text->failed || hr_file_write(path, text->bytes, text->len, &err) != HR_OK) {
        fail_msg("%s: %s", path, err.text);
    }
}

/* One material per loss: m1250 costs 12.50 dB. */
static void add_material_name(hr_text *t, double loss)
{
    hr_text_addf(t, "m%d", (int)(loss * 100.0 + 0.5));
}

static void add_number(hr_text *t, const char *before, double value)
{
    hr_text_add(t, before);
    hr_text_fixed(t, value, 6);
}

static void add_line(hr_text *t, const naive_line *l, const char *kind, bool heights)
{
    hr_text_addf(t, "<g inkscape:label=\"%s: ", kind);
    add_material_name(t, l->loss);
    if (heights) {
        add_number(t, " ", l->low);
        add_number(t, "-", l->high);
    }
    add_number(t, "\"><line x1=\"", l->ax);
    add_number(t, "\" y1=\"", l->ay);
    add_number(t, "\" x2=\"", l->bx);
    add_number(t, "\" y2=\"", l->by);
    hr_text_add(t, "\" stroke=\"black\"/></g>\n");
}

static void add_box(hr_text *t, const naive_box *b, const char *kind, bool material, bool heights)
{
    hr_text_addf(t, "<g inkscape:label=\"%s", kind);
    if (material) {
        hr_text_add(t, ": ");
        add_material_name(t, b->loss);
    }
    if (heights) {
        add_number(t, " ", b->low);
        add_number(t, "-", b->high);
    }
    add_number(t, "\"><rect x=\"", b->x0);
    add_number(t, "\" y=\"", b->y0);
    add_number(t, "\" width=\"", b->x1 - b->x0);
    add_number(t, "\" height=\"", b->y1 - b->y0);
    hr_text_add(t, "\"/></g>\n");
}

static void write_plan(const char *folder, const naive_building *b, size_t storey)
{
    const naive_storey *s = &b->storeys[storey];
    hr_text t = {0};
    hr_text_add(&t, "<svg xmlns=\"http://www.w3.org/2000/svg\" "
                    "xmlns:inkscape=\"http://www.inkscape.org/namespaces/inkscape\">\n"
                    "<g inkscape:label=\"scale: 10 m\"><line x1=\"0\" y1=\"-5\" x2=\"10\" y2=\"-5\"/></g>\n"
                    "<g inkscape:label=\"rooms\"><rect x=\"-40\" y=\"-40\" width=\"1\" height=\"1\"><title>R");
    hr_text_addf(&t, "%zu</title></rect></g>\n", storey);
    for (size_t i = 0; i < s->wall_count; i++) {
        add_line(&t, &s->walls[i], "walls", false);
    }
    for (size_t i = 0; i < s->opening_count; i++) {
        add_line(&t, &s->openings[i], "doors", true);
    }
    for (size_t i = 0; i < s->solid_count; i++) {
        add_box(&t, &s->solids[i], "solids", true, false);
    }
    for (size_t i = 0; i < s->metal_count; i++) {
        add_box(&t, &s->metals[i], "metal", true, true);
    }
    for (size_t i = 0; i < s->void_count; i++) {
        add_box(&t, &s->voids[i], "void", false, false);
    }
    hr_text_add(&t, "</svg>\n");
    char name[32];
    (void)snprintf(name, sizeof name, "s%zu.svg", storey);
    write_file(folder, name, &t);
    hr_text_free(&t);
}

typedef struct losses {
    int seen[8 * NAIVE_MAX];
    size_t count;
} losses;

static void add_material(hr_text *t, losses *known, double loss)
{
    const int id = (int)(loss * 100.0 + 0.5);
    for (size_t i = 0; i < known->count; i++) {
        if (known->seen[i] == id) {
            return;
        }
    }
    known->seen[known->count++] = id;
    hr_text_addf(t, "[material m%d]\n", id);
    add_number(t, "loss_db = ", loss);
    hr_text_add(t, "\n");
}

static void write_property(const char *folder, const naive_building *b)
{
    hr_text t = {0};
    hr_text_add(&t, "[property]\nname = Made\nlength_unit = m\n[radio]\n");
    add_number(&t, "frequency_mhz = ", b->freq_mhz);
    add_number(&t, "\nexponent = ", b->exponent);
    hr_text_add(&t, "\n");
    losses known = {.count = 0};
    for (size_t s = 0; s < b->storey_count; s++) {
        const naive_storey *st = &b->storeys[s];
        const double top = s + 1 < b->storey_count ? b->storeys[s + 1].floor : st->floor + 3.0;
        hr_text_addf(&t, "[storey %zu]\nplan = s%zu.svg\n", s, s);
        add_number(&t, "floor_to_floor = ", top - st->floor);
        hr_text_add(&t, "\nslab = ");
        add_material_name(&t, st->slab_loss);
        hr_text_add(&t, "\n");
    }
    for (size_t s = 0; s < b->storey_count; s++) {
        const naive_storey *st = &b->storeys[s];
        add_material(&t, &known, st->slab_loss);
        for (size_t i = 0; i < st->wall_count; i++) {
            add_material(&t, &known, st->walls[i].loss);
        }
        for (size_t i = 0; i < st->opening_count; i++) {
            add_material(&t, &known, st->openings[i].loss);
        }
        for (size_t i = 0; i < st->solid_count; i++) {
            add_material(&t, &known, st->solids[i].loss);
        }
        for (size_t i = 0; i < st->metal_count; i++) {
            add_material(&t, &known, st->metals[i].loss);
        }
    }
    write_file(folder, "made.ini", &t);
    hr_text_free(&t);
}

hr_building *made_building(const naive_building *naive)
{
    char folder[] = "/tmp/hallreach-made-XXXXXX";
    assert_non_null(mkdtemp(folder));
    for (size_t s = 0; s < naive->storey_count; s++) {
        write_plan(folder, naive, s);
    }
    write_property(folder, naive);
    char path[512];
    (void)snprintf(path, sizeof path, "%s/made.ini", folder);
    hr_error err = {0};
    hr_building *building = NULL;
    const hr_building_options options = {.lenient = false};
    const hr_status status = hr_building_read(path, &options, NULL, &building, &err);
    for (size_t s = 0; s < naive->storey_count; s++) {
        char plan[512];
        (void)snprintf(plan, sizeof plan, "%s/s%zu.svg", folder, s);
        (void)unlink(plan);
    }
    (void)unlink(path);
    (void)rmdir(folder);
    if (status != HR_OK) {
        char text[900];
        hr_error_format(&err, text, sizeof text);
        fail_msg("%s", text);
    }
    return building;
}
