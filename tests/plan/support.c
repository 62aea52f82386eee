/*
 * support.c - small drawings made into plans.
 *
 * SPDX-License-Identifier: MIT
 */
#include "plan_tests.h"

const hr_materials *materials_of_tests(void)
{
    static hr_materials *materials;
    if (materials == NULL) {
        assert_int_equal(hr_materials_new(915.0, &materials, NULL), HR_OK);
    }
    return materials;
}

uint32_t material_called(const char *name)
{
    const size_t found = hr_materials_find(materials_of_tests(), name);
    assert_true(found != SIZE_MAX);
    return (uint32_t)found;
}

made make_bytes(const char *bytes, size_t len, const hr_plan_options *options)
{
    static const hr_plan_options metres = {.metres_per_unit = 1.0};
    const hr_materials *materials = materials_of_tests();
    made m = {.notes = hr_notes_new()};
    assert_non_null(m.notes);
    m.status = hr_svg_read("plan.svg", bytes, len, m.notes, &m.drawing, &m.err);
    if (m.status == HR_OK) {
        m.status =
            hr_plan_from_drawing(m.drawing, options != NULL ? options : &metres, materials, m.notes, &m.plan, &m.err);
        assert_true((m.status == HR_OK) == (m.plan != NULL));
    }
    return m;
}

made make(const char *body, const hr_plan_options *options)
{
    hr_text text = {0};
    hr_text_addf(&text,
                 "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" "
                 "xmlns:inkscape=\"http://www.inkscape.org/namespaces/inkscape\">\n%s\n</svg>\n",
                 body);
    assert_false(text.failed);
    const made m = make_bytes(text.bytes, text.len, options);
    hr_text_free(&text);
    return m;
}

made make_good(const char *body)
{
    const made m = make(body, NULL);
    if (m.status != HR_OK) {
        fail_msg("line %d: %s", m.err.line, m.err.text);
    }
    return m;
}

made make_quiet(const char *body)
{
    const made m = make_good(body);
    if (hr_notes_count(m.notes) > 0) {
        fail_msg("a note: %s", hr_notes_text(m.notes, 0));
    }
    return m;
}

void unmake(made *m)
{
    hr_plan_free(m->plan);
    hr_svg_free(m->drawing);
    hr_notes_free(m->notes);
    *m = (made){0};
}

void refused(const char *body, const hr_plan_options *options, int line, const char *part)
{
    made m = make(body, options);
    if (m.status == HR_OK) {
        fail_msg("accepted: %s", body);
    }
    assert_int_equal(m.status, HR_ERR_INPUT);
    assert_int_equal(m.err.status, HR_ERR_INPUT);
    if (m.err.line != line || strstr(m.err.text, part) == NULL) {
        fail_msg("line %d: %s; expected line %d with \"%s\"", m.err.line, m.err.text, line, part);
    }
    unmake(&m);
}

bool has_note(const made *m, const char *part)
{
    for (size_t i = 0; i < hr_notes_count(m->notes); i++) {
        if (strstr(hr_notes_text(m->notes, i), part) != NULL) {
            return true;
        }
    }
    return false;
}

const hr_ignored *ignored_row(const hr_plan *plan, const char *name)
{
    for (size_t i = 0; i < plan->ignored_count; i++) {
        if (strcmp(plan->ignored[i].name, name) == 0) {
            return &plan->ignored[i];
        }
    }
    return NULL;
}

const hr_space *room_called(const hr_plan *plan, const char *name)
{
    for (size_t i = 0; i < plan->space_count; i++) {
        if (plan->spaces[i].kind == HR_SPACE_ROOM && strcmp(plan->spaces[i].name, name) == 0) {
            return &plan->spaces[i];
        }
    }
    fail_msg("no room is called %s", name);
    return NULL;
}

size_t walls_at(const hr_plan *plan, double x, double y, uint32_t *material)
{
    size_t found = 0;
    for (size_t i = 0; i < plan->wall_count; i++) {
        if (hr_geometry_to_segment((hr_point){x, y}, plan->walls[i].line, NULL) <= 0.001) {
            found++;
            if (material != NULL) {
                *material = plan->walls[i].material;
            }
        }
    }
    return found;
}
