/*
 * test_drawn.c - the storey plans of floorplans/, and a stranger's plan.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_tests.h"

#include <stdlib.h>

static made plan_file(const char *name)
{
    const char *root = getenv("HR_SOURCE_ROOT");
    hr_text path = {0};
    hr_text_addf(&path, "%s/floorplans/%s", root != NULL ? root : ".", name);
    char *bytes = NULL;
    size_t len = 0;
    assert_int_equal(hr_file_read(path.bytes, (size_t)1 << 24, &bytes, &len, NULL), HR_OK);
    static const hr_plan_options none = {.property_file = NULL};
    made m = make_bytes(bytes, len, &none);
    if (m.status != HR_OK) {
        fail_msg("%s:%d: %s", name, m.err.line, m.err.text);
    }
    hr_free(bytes);
    hr_text_free(&path);
    return m;
}

static double to_a_corridor(const hr_plan *plan, hr_point p)
{
    double least = (double)INFINITY;
    for (size_t i = 0; i < plan->space_count; i++) {
        if (plan->spaces[i].kind == HR_SPACE_CORRIDOR) {
            least = fmin(least, hr_geometry_to_outline(&plan->spaces[i].region, p, NULL));
        }
    }
    return least;
}

static void check_rooms(const made *m, const char *file)
{
    const hr_plan *plan = m->plan;
    for (size_t i = 0; i < plan->space_count; i++) {
        const hr_space *room = &plan->spaces[i];
        if (room->kind != HR_SPACE_ROOM) {
            continue;
        }
        if (room->entry_door == HR_PLAN_NONE || room->main_window == HR_PLAN_NONE) {
            fail_msg("%s: room %s has no %s", file, room->name,
                     room->entry_door == HR_PLAN_NONE ? "entry door" : "window");
        }
        if (!(to_a_corridor(plan, hr_geometry_at(plan->openings[room->entry_door].line, 0.5)) <= 0.3)) {
            fail_msg("%s: the entry door of room %s is not on a corridor", file, room->name);
        }
        const hr_point control = hr_plan_wall_control_place(plan, room), unit = hr_plan_unit_place(plan, room);
        const double off_m = hr_geometry_to_outline(&room->region, control, NULL);
        /* 0.1 m off its own wall, perhaps nearer to the next one round the corner */
        if (!hr_geometry_inside(&room->region, control, 0.0) || !(off_m <= 0.1011 && off_m >= 0.04)) {
            fail_msg("%s: the wall control of room %s stands %d mm off the wall", file, room->name,
                     (int)(1000.0 * off_m));
        }
        assert_true(hr_geometry_inside(&room->region, unit, 0.0));
        assert_true(hr_geometry_to_outline(&room->region, unit, NULL) <= 0.3011);
    }
}

static void reads_well(const char *file, size_t rooms)
{
    made m = plan_file(file);
    if (hr_notes_count(m.notes) > 0) {
        fail_msg("%zu notes, the first: %s", hr_notes_count(m.notes), hr_notes_text(m.notes, 0));
    }
    assert_int_equal(m.plan->room_count, rooms);
    check_near(m.plan->metres_per_unit, 0.01, 1e-9);
    assert_string_equal(m.plan->scale_from, "scale line");
    assert_true(m.plan->has_origin && m.plan->slab_count > 0 && m.plan->metal_count > 0 && m.plan->network_count > 0);
    /* every opening stands in a wall or a gap */
    for (size_t i = 0; i < m.plan->opening_count; i++) {
        const hr_opening *o = &m.plan->openings[i];
        if (!o->on_wall && !o->fills_gap && !o->on_solid) {
            fail_msg("%s:%d: an opening stands free", file, o->source_line);
        }
    }
    /* nothing is left aside but what is drawn for people, leaves and swings */
    check_rooms(&m, file);
    hr_point *spots = NULL;
    size_t count = 0;
    assert_int_equal(hr_plan_generate_spots(m.plan, 2.0, 0.5, &spots, &count, NULL), HR_OK);
    assert_true(count > 20 && count < 400);
    for (size_t i = 0; i < count; i++) {
        const uint32_t space = hr_plan_space_at(m.plan, spots[i]);
        assert_true(space != HR_PLAN_NONE);
        for (size_t k = 0; k < m.plan->opening_count; k++) {
            if (m.plan->openings[k].is_door) {
                assert_true(hr_geometry_to_segment(spots[i], m.plan->openings[k].line, NULL) >= 0.5 - 0.001);
            }
        }
    }
    hr_free(spots);
    unmake(&m);
}

static void tern_house(void **unused)
{
    (void)unused;
    reads_well("tern-house-ground.svg", 8);
    reads_well("tern-house-typical.svg", 24);
}

static void quillhaven_lodge(void **unused)
{
    (void)unused;
    reads_well("quillhaven-lodge-ground.svg", 8);
    reads_well("quillhaven-lodge-typical.svg", 40);
    reads_well("quillhaven-lodge-top.svg", 36);
}

/* As another drawing program writes it: ids with escapes and suffixes, classes, a transform, a furniture layer. */
static void a_strangers_plan(void **unused)
{
    (void)unused;
    static const char drawing[] =
        "<?xml version='1.0'?>\n"
        "<svg version='1.1' xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink' x='0px' "
        "y='0px' "
        "viewBox='0 0 800 600'>\n"
        "<style type='text/css'>.st0{fill:none;stroke:#000000;stroke-width:4;} .st1{fill:#DDEEFF;} "
        ".st2{display:none;}</style>\n"
        "<g transform='translate(100 100) scale(2)'>\n"
        "<g id='walls_x3A__brick-200'><polyline class='st0' points='0,0 200,0 200,150'/><polyline class='st0' "
        "points='0,0 0,150 "
        "200,150'/></g>\n"
        "<g id='walls_x3A__plasterboard_1_'><line class='st0' x1='100' y1='50' x2='100' y2='150'/><line class='st0' "
        "x1='0' y1='50' "
        "x2='40' y2='50'/><line class='st0' x1='58' y1='50' x2='200' y2='50'/></g>\n"
        "<g id='doors'><line class='st0' x1='40' y1='50' x2='58' y2='50'/><line class='st0' x1='110' y1='50' x2='128' "
        "y2='50'/></g>\n"
        "<g id='windows_2_'><line class='st0' x1='30' y1='150' x2='60' y2='150'/></g>\n"
        "<g id='corridors'><rect class='st1' x='2' y='2' width='196' height='47'/></g>\n"
        "<g id='rooms'><rect id='_x31_01' class='st1' x='2' y='51' width='97' height='97'/><rect id='XMLID_2_' "
        "class='st1' x='101' "
        "y='51' width='97' height='97'/><text transform='matrix(1 0 0 1 130 100)' font-size='12'>102</text></g>\n"
        "<g id='Furniture'><rect class='st0' x='10' y='100' width='20' height='40'/></g>\n"
        "<g id='Old' class='st2'><line class='st0' x1='0' y1='0' x2='9' y2='9'/></g>\n"
        "<g id='scale_x3A__5_m'><line class='st0' x1='0' y1='170' x2='100' y2='170'/></g>\n"
        "</g></svg>\n";
    static const hr_plan_options none = {.property_file = NULL};
    made m = make_bytes(drawing, sizeof drawing - 1, &none);
    if (m.status != HR_OK) {
        fail_msg("line %d: %s", m.err.line, m.err.text);
    }
    check_near(m.plan->metres_per_unit, 0.025, 1e-12);
    assert_int_equal(m.plan->room_count, 2);
    const hr_space *first = room_called(m.plan, "101"), *second = room_called(m.plan, "102");
    check_near(first->area_m2, 4.85 * 4.85, 1e-6);
    assert_int_equal(m.plan->opening_count, 3);
    assert_true(m.plan->openings[0].fills_gap); /* 2 m to 2.9 m */
    assert_true(m.plan->openings[1].on_wall);
    assert_int_equal(first->entry_door, 0);
    assert_int_equal(second->entry_door, 1);
    assert_int_equal(first->main_window, 2);
    /* walls drawn: 2 x (10 + 7.5) round, 5 + 2 + 7.1 inside */
    check_near(m.plan->wall_length_m, 35.0 + 14.1, 1e-6);
    const hr_ignored *row = ignored_row(m.plan, "Furniture");
    assert_non_null(row);
    check_near(row->length_m, 6.0, 1e-6);
    unmake(&m);
}

const struct CMUnitTest drawn_tests[] = {
    cmocka_unit_test(tern_house),
    cmocka_unit_test(quillhaven_lodge),
    cmocka_unit_test(a_strangers_plan),
};
const size_t drawn_test_count = sizeof drawn_tests / sizeof drawn_tests[0];
