/*
 * test_others.c - plans that other programs and other people drew, through the
 * [drawing] sections in others/. The drawings lie outside the repository; a
 * test that does not find them is skipped with a word.
 *
 * Exports: one small hotel, one CAD plan and two office drawings of our own
 * making, taken through Inkscape 1.2, LibreOffice 7.4 and poppler. Their
 * sources are retyped below in metres.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_test.h"

#include <dirent.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Walls are looked at in steps of this. */
#define STEP_M 0.05

/* The drawings lie beside the repository where it is developed. Not skip(): cmocka 1.1.5 calls that "not ok" in TAP. */
static bool drawings_are_here(void)
{
    const char *root = getenv("HR_SOURCE_ROOT");
    hr_text folder = {0};
    hr_text_addf(&folder, "%s/../shared/svg", root != NULL ? root : ".");
    assert_false(folder.failed);
    DIR *found = opendir(folder.bytes);
    hr_text_free(&folder);
    if (found == NULL) {
        print_message("# skipped: no folder of others' drawings here\n");
        return false;
    }
    (void)closedir(found);
    return true;
}

static reading read_other(const char *name)
{
    const char *root = getenv("HR_SOURCE_ROOT");
    hr_text path = {0};
    hr_text_addf(&path, "%s/tests/building/others/%s.ini", root != NULL ? root : ".", name);
    const hr_building_options options = {.lenient = true};
    reading r = {.notes = hr_notes_new()};
    assert_false(path.failed);
    r.status = hr_building_read(path.bytes, &options, r.notes, &r.b, &r.err);
    hr_text_free(&path);
    if (r.status != HR_OK) {
        fail_msg("%s: %s:%d: %s", name, r.err.file, r.err.line, r.err.text);
    }
    return r;
}

/* ---- exports against their sources ---- */

typedef struct lines {
    hr_segment *at;
    size_t count, cap;
} lines;

static void add_line(lines *l, double x0, double y0, double x1, double y1)
{
    assert_true(HR_RESERVE(l->at, l->cap, l->count + 1));
    l->at[l->count++] = (hr_segment){{x0, y0}, {x1, y1}};
}

static void add_arc(lines *l, double x, double y, double radius, double from_deg, double to_deg)
{
    const double step = (to_deg - from_deg) / 90.0 * acos(-1.0) / 180.0, start = from_deg * acos(-1.0) / 180.0;
    for (int i = 0; i < 90; i++) {
        const double a = start + i * step, b = a + step;
        add_line(l, x + radius * cos(a), y + radius * sin(a), x + radius * cos(b), y + radius * sin(b));
    }
}

static void walls_of(const hr_plan *plan, lines *l)
{
    for (size_t i = 0; i < plan->wall_count; i++) {
        if (!plan->walls[i].is_gap) {
            add_line(l, plan->walls[i].line.a.x, plan->walls[i].line.a.y, plan->walls[i].line.b.x,
                     plan->walls[i].line.b.y);
        }
    }
}

/* Exports move the page: both are laid with the corner of their box at 0,0. */
static double settle(lines *l)
{
    double x = HUGE_VAL, y = HUGE_VAL, length = 0.0;
    for (size_t i = 0; i < l->count; i++) {
        x = fmin(x, fmin(l->at[i].a.x, l->at[i].b.x));
        y = fmin(y, fmin(l->at[i].a.y, l->at[i].b.y));
        length += hr_geometry_length(l->at[i]);
    }
    for (size_t i = 0; i < l->count; i++) {
        l->at[i] = (hr_segment){{l->at[i].a.x - x, l->at[i].a.y - y}, {l->at[i].b.x - x, l->at[i].b.y - y}};
    }
    return length;
}

/* The farthest that a point of one set lies from the other set. */
static double farthest(const lines *from, const lines *to)
{
    double worst = 0.0;
    for (size_t i = 0; i < from->count; i++) {
        const double length = hr_geometry_length(from->at[i]);
        const size_t steps = (size_t)(length / STEP_M) + 1;
        for (size_t k = 0; k <= steps; k++) {
            const hr_point p = hr_geometry_at(from->at[i], (double)k / (double)steps);
            double near = HUGE_VAL;
            for (size_t j = 0; j < to->count; j++) {
                near = fmin(near, hr_geometry_to_segment(p, to->at[j], NULL));
            }
            worst = fmax(worst, near);
        }
    }
    return worst;
}

/* Every wall within `within` metres of a drawn one, every drawn one read, the lengths equal to 0.2 %. */
static void compare(const char *name, lines *source, double within, bool lift)
{
    reading r = read_other(name);
    lines walls = {0};
    walls_of(r.b->plans[0], &walls);
    const double drawn = settle(source), read = settle(&walls);
    check_near(read, drawn, 0.002 * drawn);
    check_near(farthest(&walls, source), 0.0, within);
    check_near(farthest(source, &walls), 0.0, within);
    assert_int_equal(r.b->plans[0]->metal_count, lift ? 1 : 0);
    if (lift) {
        const hr_box box = r.b->plans[0]->metals[0].region.box;
        check_near(box.x1 - box.x0, 2.0, 2.0 * within);
        check_near(box.y1 - box.y0, 2.0, 2.0 * within);
    }
    hr_free(walls.at);
    hr_free(source->at);
    done(&r);
}

/* hotel_src.svg: 10 units are a metre. */
static lines hotel(void)
{
    lines l = {0};
    const double ring[][4] = {{2, 2, 38, 2}, {38, 2, 38, 16}, {38, 16, 2, 16}, {2, 16, 2, 2}, {2, 8, 38, 8}, {2, 10, 38, 10}};
    for (size_t i = 0; i < COUNT_OF(ring); i++) {
        add_line(&l, ring[i][0], ring[i][1], ring[i][2], ring[i][3]);
    }
    for (int x = 6; x <= 34; x += 4) {
        add_line(&l, x, 2, x, 8);
    }
    add_arc(&l, 38, 10, 4, 180, 90); /* A 40,40 0 0 0 from 340,100 to 380,140 */
    return l;
}

static void hotel_by_every_route(void **state)
{
    (void)state;
    if (!drawings_are_here()) {
        return;
    }
    /* 1/1000 in of the PDF, 1/100 mm of LibreOffice, both at 1:100 */
    static const char *const names[] = {"hotel-source", "hotel-pdftocairo", "hotel-pdf-inkscape-internal",
                                        "hotel-pdf-libreoffice"};
    for (size_t i = 0; i < COUNT_OF(names); i++) {
        lines l = hotel();
        compare(names[i], &l, 0.005, true);
    }
}

/* plan.dxf: millimetres, y upwards; turned over here. */
static lines cad(bool arc)
{
    lines l = {0};
    const double walls[][4] = {{0, 0, 20, 0}, {20, 0, 20, 12}, {20, 12, 0, 12}, {0, 12, 0, 0},
                               {4, 12, 4, 7}, {0, 7, 20, 7},   {9, 6, 9, 4}};
    for (size_t i = 0; i < COUNT_OF(walls); i++) {
        add_line(&l, walls[i][0], walls[i][1], walls[i][2], walls[i][3]);
    }
    if (arc) {
        add_arc(&l, 8, 6, 1, 90, 0); /* bulge tan(22.5 deg): a quarter circle */
    } else {
        add_line(&l, 8, 7, 9, 6); /* LibreOffice makes the bulge a straight line */
    }
    return l;
}

static void cad_by_inkscape(void **state)
{
    (void)state;
    if (!drawings_are_here()) {
        return;
    }
    lines l = cad(true);
    compare("dxf-inkscape-auto", &l, 0.002, false);
    l = cad(true);
    compare("dxf-inkscape-manual", &l, 0.002, false);
}

static void cad_by_libreoffice(void **state)
{
    (void)state;
    if (!drawings_are_here()) {
        return;
    }
    lines l = cad(false);
    compare("dxf-libreoffice", &l, 0.004, false); /* whole units of 2 mm */
}

/* plan.fodg and plan2.fodg at 1:100; the hidden line comes out visible. */
static void office_drawings(void **state)
{
    (void)state;
    if (!drawings_are_here()) {
        return;
    }
    static const char *const names[] = {"libreoffice-1", "libreoffice-2"};
    static const double walls[][4] = {{2, 2, 22, 2},   {6, 2, 6, 7},     {2, 7, 22, 7},   {22, 7, 22, 12},
                                      {2, 15, 22, 15}, {2, 16, 22, 16}, {2, 19, 22, 19}};
    for (size_t i = 0; i < COUNT_OF(names); i++) {
        lines l = {0};
        for (size_t k = 0; k < COUNT_OF(walls); k++) {
            add_line(&l, walls[k][0], walls[k][1], walls[k][2], walls[k][3]);
        }
        compare(names[i], &l, 0.002, false);
    }
    reading r = read_other("libreoffice-1");
    assert_int_equal(r.b->room_count, 1);
    assert_string_equal(r.b->rooms[0].name, "101");
    done(&r);
}

/* ink.svg at 1:100 */
static void inkscape_own_formats(void **state)
{
    (void)state;
    if (!drawings_are_here()) {
        return;
    }
    static const char *const names[] = {"inkscape-source", "inkscape-native", "inkscape-plain"};
    for (size_t i = 0; i < COUNT_OF(names); i++) {
        lines l = {0};
        add_line(&l, 0, 0, 20, 0);
        add_line(&l, 20, 0, 20, 12);
        add_line(&l, 20, 12, 0, 12);
        add_line(&l, 0, 12, 0, 0);
        add_arc(&l, 10, 6, 2, 0, 90);
        compare(names[i], &l, 0.002, false);
    }
}

/* ---- public plans ---- */

static char *file_of(const hr_building *b, size_t *len)
{
    char *bytes = NULL;
    assert_int_equal(hr_file_read(b->plans[0]->file, HR_MAX_FILE_BYTES, &bytes, len, NULL), HR_OK);
    return bytes;
}

/* What the map lines of others/NAME.ini select, said once more: by stroke, class or layer with all below it. */
typedef struct chosen {
    const char *stroke, *classes[3], *layer;
} chosen;

static bool has_word(const char *text, const char *word)
{
    const char *at = text != NULL ? strstr(text, word) : NULL;
    return at != NULL && (at == text || at[-1] == ' ') && (at[strlen(word)] == '\0' || at[strlen(word)] == ' ');
}

static bool is_chosen(const hr_svg_drawing *d, size_t node, const chosen *c)
{
    hr_svg_paint wanted;
    const hr_svg_node *n = &d->nodes[node];
    if (c->stroke != NULL && hr_svg_colour(c->stroke, &wanted)) {
        return n->stroke.set && n->stroke.r == wanted.r && n->stroke.g == wanted.g && n->stroke.b == wanted.b;
    }
    for (size_t at = node; at != SIZE_MAX; at = d->nodes[at].parent) {
        const hr_svg_node *up = &d->nodes[at];
        for (size_t i = 0; i < 3 && c->classes[i] != NULL; i++) {
            if (has_word(up->classes, c->classes[i])) {
                return true;
            }
        }
        if (c->layer != NULL && ((up->label != NULL && strcmp(up->label, c->layer) == 0) ||
                                 (up->id != NULL && strncmp(up->id, c->layer, strlen(c->layer)) == 0))) {
            return true;
        }
    }
    return false;
}

/* Walls, outlines of solids and of rooms, as an index. */
static hr_index *index_of(const hr_plan *plan)
{
    lines l = {0};
    walls_of(plan, &l);
    for (size_t i = 0; i < plan->solid_count; i++) {
        for (size_t k = 0; k < plan->solids[i].region.ring_count; k++) {
            const hr_ring *ring = &plan->solids[i].region.rings[k];
            for (size_t p = 0; p < ring->count; p++) {
                const hr_point next = ring->points[(p + 1) % ring->count];
                add_line(&l, ring->points[p].x, ring->points[p].y, next.x, next.y);
            }
        }
    }
    hr_index *index = NULL;
    assert_int_equal(hr_geometry_index_new(l.at, l.count, &index, NULL), HR_OK);
    hr_free(l.at);
    return index;
}

/* Share of the drawn length of what was chosen that has a wall within reach. */
static double share_read(const hr_plan *plan, const hr_svg_drawing *d, const chosen *c, double reach)
{
    hr_index *index = index_of(plan);
    double drawn = 0.0, read = 0.0;
    for (size_t i = 0; i < d->node_count; i++) {
        const hr_svg_node *n = &d->nodes[i];
        if (n->kind != HR_SVG_SHAPE || !hr_svg_shown(d, i, SIZE_MAX) || !is_chosen(d, i, c)) {
            continue;
        }
        for (size_t k = 0; k < n->path_count; k++) {
            const hr_svg_path *path = &d->paths[n->first_path + k];
            const size_t pieces = path->closed ? path->count : path->count - 1;
            for (size_t p = 0; p < pieces; p++) {
                const hr_point *at = d->points + path->first;
                const hr_point from = {at[p].x * plan->metres_per_unit, at[p].y * plan->metres_per_unit};
                const hr_point to = {at[(p + 1) % path->count].x * plan->metres_per_unit,
                                     at[(p + 1) % path->count].y * plan->metres_per_unit};
                const hr_segment piece = {from, to};
                const double length = hr_geometry_length(piece);
                const size_t steps = (size_t)(length / STEP_M) + 1;
                for (size_t s = 0; s < steps; s++) {
                    const hr_point here = hr_geometry_at(piece, ((double)s + 0.5) / (double)steps);
                    uint32_t found = 0;
                    drawn += length / (double)steps;
                    read += hr_geometry_index_query(index, (hr_segment){here, here}, reach, &found, 1) > 0
                                ? length / (double)steps
                                : 0.0;
                }
            }
        }
    }
    hr_geometry_index_free(index);
    assert_true(drawn > 0.0);
    return read / drawn;
}

/* Share of the texts with a digit in them, room numbers, that the smallest space round them bears. */
static double labels_read(const hr_plan *plan, const hr_svg_drawing *d, size_t *count)
{
    size_t read = 0;
    *count = 0;
    for (size_t i = 0; i < d->label_count; i++) {
        const hr_svg_label *label = &d->labels[i];
        if (strpbrk(label->text, "0123456789") == NULL || !hr_svg_shown(d, label->node, SIZE_MAX)) {
            continue;
        }
        const hr_point at = {label->centre.x * plan->metres_per_unit, label->centre.y * plan->metres_per_unit};
        const uint32_t space = hr_plan_space_at(plan, at);
        const char *name = space != HR_PLAN_NONE ? plan->spaces[space].name : NULL;
        read += name != NULL && strstr(name, label->text) != NULL;
        (*count)++;
    }
    return *count > 0 ? (double)read / (double)*count : 1.0;
}

static void check_plan(const char *name, const chosen *c, double reach, size_t labels)
{
    reading r = read_other(name);
    const hr_plan *plan = r.b->plans[0];
    size_t len = 0, count = 0;
    char *bytes = file_of(r.b, &len);
    hr_svg_drawing *d = NULL;
    assert_int_equal(hr_svg_read(plan->file, bytes, len, NULL, &d, NULL), HR_OK);
    hr_free(bytes);
    assert_int_equal(hr_svg_flatten(d, 0.001 / plan->metres_per_unit, NULL), HR_OK);
    const double share = share_read(plan, d, c, reach), named = labels_read(plan, d, &count);
    char text[2][HR_FIXED_MAX];
    print_message("# %s: %s %% of the mapped length, %s %% of %zu room numbers\n", name, hr_fixed(100.0 * share, 1, text[0]),
                  hr_fixed(100.0 * named, 1, text[1]), count);
    assert_true(share >= 0.95);
    if (labels > 0) { /* the others have no room numbers */
        assert_true(named >= 0.95);
        assert_true(count >= labels);
    }
    hr_svg_free(d);
    done(&r);
}

static void public_plans(void **state)
{
    (void)state;
    if (!drawings_are_here()) {
        return;
    }
    /* paired faces lie up to half of wall_pairing off the centre line */
    check_plan("plan-05", &(chosen){.stroke = "#231f20"}, 0.002, 0);
    check_plan("plan-06", &(chosen){.classes = {"wall", "brick_column", "wood_column"}}, 0.002, 0);
    check_plan("plan-07", &(chosen){.layer = "LINE"}, 0.152, 0);
    check_plan("plan-13-ve-2", &(chosen){.stroke = "#000000"}, 0.002, 30);
    check_plan("plan-13-vl-1", &(chosen){.stroke = "#000000"}, 0.002, 40);
    check_plan("plan-13-floor8", &(chosen){.stroke = "#000000"}, 0.002, 60);
}

const struct CMUnitTest other_tests[] = {
    cmocka_unit_test(hotel_by_every_route), cmocka_unit_test(cad_by_inkscape),      cmocka_unit_test(cad_by_libreoffice),
    cmocka_unit_test(office_drawings),      cmocka_unit_test(inkscape_own_formats), cmocka_unit_test(public_plans)};
const size_t other_test_count = COUNT_OF(other_tests);
