/*
 * test_whole.c - the figures of `rooms` for a property and for the same
 * property told otherwise. Nobody has to know what the figures should be: a plan
 * that is moved, turned, mirrored or drawn at another scale is the same building; one more
 * wall makes no link better; 3 dB more power on both sides is 3 dB more margin;
 * a name is a name; feet are metres.
 *
 * SPDX-License-Identifier: MIT
 */
#include <stdlib.h>
#include <unistd.h>

#include "property.h"
#include "rewrite.h"
#include "statuses.h"

#include "hr_siting.h"

#define PLANS_MAX 4
/* A plan that is turned is other numbers, rounded otherwise: a millionth of a decibel. */
#define SAME_DB 1e-6
/* Places are rounded to a millimetre: after a turn whose results are no whole ones, both ends of a link may be 0.71 mm
 * off. That is the path, and no more than as much again by the pattern of the aerial. */
#define ROUNDED_M 0.00142

/* A property's texts. Plans are named in the property file by `prefix` and their name. */
typedef struct telling {
    const char *prefix;
    char *ini;
    const char *names[PLANS_MAX];
    char *plans[PLANS_MAX];
    size_t plan_count;
} telling;

/* Gateways are where they were chosen in the first telling, under the same linear map. */
typedef struct figures {
    hr_building *building;
    hr_siting *siting;
} figures;

static char *read_text(const char *folder, const char *name)
{
    const char *root = getenv("HR_SOURCE_ROOT");
    char path[600];
    (void)snprintf(path, sizeof path, "%s/%s/%s", root != NULL ? root : ".", folder, name);
    char *bytes = NULL;
    size_t len = 0;
    hr_error err = {.status = HR_OK};
    if (hr_file_read(path, (size_t)1 << 26, &bytes, &len, &err) != HR_OK) {
        fail_msg("%s: %s", path, err.text);
    }
    return bytes;
}

static telling tell(const char *folder, const char *ini, const char *prefix, const char *plan_folder,
                    const char *const *names, size_t count)
{
    telling t = {.prefix = prefix, .ini = read_text(folder, ini), .plan_count = count};
    for (size_t i = 0; i < count; i++) {
        t.names[i] = names[i];
        t.plans[i] = read_text(plan_folder, names[i]);
    }
    return t;
}

static telling tell_tern(void)
{
    static const char *const names[] = {"tern-house-ground.svg", "tern-house-typical.svg"};
    return tell("examples", "tern-house.ini", "../floorplans/", "floorplans", names, 2);
}

static telling tell_quillhaven(void)
{
    static const char *const names[] = {"quillhaven-lodge-ground.svg", "quillhaven-lodge-typical.svg",
                                        "quillhaven-lodge-top.svg"};
    return tell("examples", "quillhaven-lodge.ini", "../floorplans/", "floorplans", names, 3);
}

static telling tell_four(void)
{
    static const char *const names[] = {"four.svg"};
    return tell("tests/faults/inputs", "four.ini", "", "tests/faults/inputs", names, 1);
}

static void forget(telling *t)
{
    hr_free(t->ini);
    for (size_t i = 0; i < t->plan_count; i++) {
        hr_free(t->plans[i]);
    }
}

static char *kept(hr_text *text)
{
    assert_false(text->failed);
    return text->bytes;
}

/* Writes the telling into a fresh folder and reads it from there. */
static hr_building *read_telling(const telling *t, const char *const *sets, size_t set_count)
{
    char folder[] = "/tmp/hallreach-test-XXXXXX", path[600];
    assert_non_null(mkdtemp(folder));
    hr_text ini = {0};
    if (t->prefix[0] != '\0') {
        assert_true(rewrite_words(t->ini, t->prefix, "", &ini) > 0);
    } else {
        hr_text_add(&ini, t->ini);
    }
    property_write(folder, "property.ini", kept(&ini));
    for (size_t i = 0; i < t->plan_count; i++) {
        property_write(folder, t->names[i], t->plans[i]);
    }
    (void)snprintf(path, sizeof path, "%s/property.ini", folder);
    const hr_building_options options = {.sets = sets, .set_count = set_count};
    hr_building *building = NULL;
    hr_error err = {.status = HR_OK};
    const hr_status status = hr_building_read(path, &options, NULL, &building, &err);
    property_remove(folder, "property.ini");
    for (size_t i = 0; i < t->plan_count; i++) {
        property_remove(folder, t->names[i]);
    }
    (void)rmdir(folder);
    hr_text_free(&ini);
    if (status != HR_OK) {
        char text[900];
        hr_error_format(&err, text, sizeof text);
        fail_msg("%s", text);
    }
    return building;
}

/* The gateways that placement chose, as a list, each at its place under the map's linear part. */
static void list_gateways(const figures *first, const rewrite_matrix *m, hr_length_unit unit, hr_text *out)
{
    hr_text_addf(out, "# length_unit = %s\nid,storey,x,y,mount_height\n", hr_units_length_name(unit));
    const double size = sqrt(fabs(m->a * m->d - m->b * m->c)) * hr_units_to_metres(1.0, unit);
    for (size_t i = 0; i < first->siting->gateway_count; i++) {
        const hr_sited_gateway *g = &first->siting->gateways[i];
        hr_text_addf(out, "%s,%s,", g->id, first->building->storeys[g->storey].name);
        hr_text_fixed(out, (m->a * g->at.x + m->c * g->at.y) / size, 9);
        hr_text_add(out, ",");
        hr_text_fixed(out, (m->b * g->at.x + m->d * g->at.y) / size, 9);
        hr_text_add(out, ",");
        hr_text_fixed(out, hr_units_from_metres(g->mount_height_m, unit), 9);
        hr_text_add(out, "\n");
    }
}

static const rewrite_matrix unmoved = {1, 0, 0, 1, 0, 0};

static figures place(const telling *t)
{
    figures f = {.building = read_telling(t, NULL, 0)};
    const hr_siting_options options = {.effort = 200};
    hr_error err = {.status = HR_OK};
    if (hr_siting_place(f.building, &options, NULL, &f.siting, &err) != HR_OK) {
        fail_msg("%s", err.text);
    }
    assert_true(f.siting->gateway_count > 0);
    return f;
}

/* `rooms` of a telling with the gateways of the first one. */
static figures rooms(const telling *t, const figures *first, const rewrite_matrix *m, const char *const *sets,
                     size_t set_count)
{
    figures f = {.building = read_telling(t, sets, set_count)};
    hr_text list = {0};
    hr_error err = {.status = HR_OK};
    list_gateways(first, m, f.building->length_unit, &list);
    hr_status status = hr_building_parse_gateways(f.building, "list.csv", kept(&list), list.len, NULL, &err);
    if (status == HR_OK) {
        status = hr_siting_rooms(f.building, NULL, NULL, &f.siting, &err);
    }
    hr_text_free(&list);
    if (status != HR_OK) {
        fail_msg("%s:%d: %s", err.file, err.line, err.text);
    }
    return f;
}

static void drop(figures *f)
{
    hr_siting_free(f->siting);
    hr_building_free(f->building);
}

/* By id: gateways are listed as one reads a drawing, and a drawing that is turned reads otherwise. */
static const char *gateway_of(const hr_siting *siting, const hr_device_row *row)
{
    return row->gateway == HR_SITING_NONE ? "" : siting->gateways[row->gateway].id;
}

/* Device by device; more_db is what every margin has gained. */
static void compare(const figures *a, const figures *b, double more_db, double within_m, bool same_names,
                    const char *what)
{
    assert_int_equal(a->siting->device_count, b->siting->device_count);
    size_t differing = 0;
    for (size_t i = 0; i < a->siting->device_count; i++) {
        const hr_device_row *x = &a->siting->devices[i], *y = &b->siting->devices[i];
        if (same_names) {
            assert_string_equal(a->building->devices[i].name, b->building->devices[i].name);
        }
        assert_int_equal(x->has_link, y->has_link);
        const double off = fabs(y->link.link_margin_db - x->link.link_margin_db - more_db);
        const double within_db = SAME_DB + 2.0 * 20.0 * log10(1.0 + within_m / x->link.distance_m);
        if (!(off <= within_db)) {
            print_message("# %s: %s: %.9f and %.9f dB\n", what, a->building->devices[i].name, x->link.link_margin_db,
                          y->link.link_margin_db);
            differing++;
        }
        if (more_db == 0.0) {
            assert_string_equal(gateway_of(a->siting, x), gateway_of(b->siting, y));
            assert_int_equal(x->served, y->served);
            assert_int_equal(x->hops, y->hops);
        }
    }
    assert_int_equal(differing, 0);
    assert_true(a->siting->device_count > 0);
}

/* ---- moved, turned, mirrored, rescaled ---- */

static void try_map(const telling *t, const figures *first, const figures *base, rewrite_matrix m, double within_m,
                    const char *what)
{
    telling moved = *t;
    hr_text texts[PLANS_MAX] = {{0}};
    for (size_t i = 0; i < t->plan_count; i++) {
        rewrite_moved(t->plans[i], &m, &texts[i]);
        moved.plans[i] = kept(&texts[i]);
    }
    figures other = rooms(&moved, first, &m, NULL, 0);
    compare(base, &other, 0.0, within_m, true, what);
    drop(&other);
    for (size_t i = 0; i < t->plan_count; i++) {
        hr_text_free(&texts[i]);
    }
}

static void try_maps(telling t)
{
    figures first = place(&t), base = rooms(&t, &first, &unmoved, NULL, 0);
    try_map(&t, &first, &base, (rewrite_matrix){1, 0, 0, 1, 1234.5, -987.25}, 0.0, "moved");
    try_map(&t, &first, &base, (rewrite_matrix){0, 1, -1, 0, 0, 0}, 0.0, "turned by 90 degrees");
    try_map(&t, &first, &base, (rewrite_matrix){-1, 0, 0, -1, 300, 100}, 0.0, "turned by 180 degrees");
    try_map(&t, &first, &base, (rewrite_matrix){-1, 0, 0, 1, 0, 0}, 0.0, "mirrored left to right");
    try_map(&t, &first, &base, (rewrite_matrix){1, 0, 0, -1, 0, 0}, 0.0, "mirrored top to bottom");
    try_map(&t, &first, &base, (rewrite_matrix){0, 1, 1, 0, 0, 0}, 0.0, "mirrored along the diagonal");
    try_map(&t, &first, &base, (rewrite_matrix){2.5, 0, 0, 2.5, 0, 0}, 0.0, "drawn 2.5 times as large");
    try_map(&t, &first, &base, (rewrite_matrix){0.01, 0, 0, 0.01, 5, 5}, 0.0, "drawn at a hundredth");
    /* 3-4-5: a turn whose numbers are written exactly */
    try_map(&t, &first, &base, (rewrite_matrix){0.8, 0.6, -0.6, 0.8, 0, 0}, 0.0, "turned by 36.87 degrees");
    try_map(&t, &first, &base, (rewrite_matrix){-0.28 * 3, 0.96 * 3, 0.96 * 3, 0.28 * 3, 7, -9}, ROUNDED_M,
            "mirrored, turned and scaled");
    drop(&base);
    drop(&first);
    forget(&t);
}

static void a_plan_elsewhere_is_the_same_tern(void **state)
{
    (void)state;
    try_maps(tell_tern());
}

static void a_plan_elsewhere_is_the_same_quillhaven(void **state)
{
    (void)state;
    try_maps(tell_quillhaven());
}

static void a_plan_elsewhere_is_the_same_four(void **state)
{
    (void)state;
    try_maps(tell_four());
}

/* ---- one more wall ---- */

/* Link by link, not row by row: a device whose gateway has got worse may join another one. */
static size_t compare_links(const figures *before, const figures *after)
{
    hr_links *links[2] = {NULL, NULL};
    hr_link_work work = {0};
    size_t lower = 0;
    assert_int_equal(hr_links_new(before->building, &links[0], NULL), HR_OK);
    assert_int_equal(hr_links_new(after->building, &links[1], NULL), HR_OK);
    for (size_t d = 0; d < before->building->device_count; d++) {
        for (size_t g = 0; g < before->siting->gateway_count; g++) {
            const hr_sited_gateway *gateway = &before->siting->gateways[g];
            hr_link link[2];
            for (int i = 0; i < 2; i++) {
                const hr_building *b = i == 0 ? before->building : after->building;
                const hr_end device = hr_links_device_end(b, (uint32_t)d);
                const hr_end end = hr_links_gateway_end(b, gateway->at, gateway->z_m);
                assert_int_equal(hr_links_measure(links[i], &work, &device, &end, &link[i], NULL), HR_OK);
            }
            if (!(link[1].link_margin_db <= link[0].link_margin_db + SAME_DB)) {
                fail_msg("%s to %s: %.9f dB, with one more wall %.9f dB", before->building->devices[d].name, gateway->id,
                         link[0].link_margin_db, link[1].link_margin_db);
            }
            lower += link[1].link_margin_db < link[0].link_margin_db - 1.0;
        }
    }
    hr_links_work_free(&work);
    hr_links_free(links[0]);
    hr_links_free(links[1]);
    return lower;
}

static void try_wall(const telling *t, const figures *first, const figures *base, const char *wall, bool bites)
{
    telling walled = *t;
    hr_text texts[PLANS_MAX] = {{0}};
    for (size_t i = 0; i < t->plan_count; i++) {
        rewrite_added(t->plans[i], wall, &texts[i]);
        walled.plans[i] = kept(&texts[i]);
    }
    figures other = rooms(&walled, first, &unmoved, NULL, 0);
    assert_int_equal(base->siting->device_count, other.siting->device_count);
    for (size_t i = 0; i < base->siting->device_count; i++) {
        /* what is served at all has no more margin by the same way */
        const hr_device_row *before = &base->siting->devices[i], *after = &other.siting->devices[i];
        assert_true(before->served || !after->served);
        if (after->served && before->via == after->via &&
            strcmp(gateway_of(base->siting, before), gateway_of(other.siting, after)) == 0) {
            assert_true(after->link.link_margin_db <= before->link.link_margin_db + SAME_DB);
        }
    }
    const size_t lower = compare_links(base, &other);
    assert_true(bites ? lower > 0 : lower == 0);
    drop(&other);
    for (size_t i = 0; i < t->plan_count; i++) {
        hr_text_free(&texts[i]);
    }
}

/* Lines across the plan, off the places where anything stands. */
static void try_walls(telling t, const char *const *paths, size_t count)
{
    figures first = place(&t), base = rooms(&t, &first, &unmoved, NULL, 0);
    for (size_t i = 0; i < count; i++) {
        hr_text wall = {0};
        hr_text_addf(&wall, "<g><title>walls: concrete-200</title><path d=\"%s\"/></g>", paths[i]);
        try_wall(&t, &first, &base, kept(&wall), true);
        hr_text_free(&wall);
    }
    /* outside of everything it is no matter */
    try_wall(&t, &first, &base, "<g><title>walls: concrete-200</title><path d=\"M-90 -90H-70\"/></g>", false);
    drop(&base);
    drop(&first);
    forget(&t);
}

static void one_more_wall_lets_no_margin_rise(void **state)
{
    (void)state;
    static const char *const tern[] = {"M-50 1013H4500", "M1507 -50V3500", "M-50 -50L4300 2900"};
    static const char *const four[] = {"M-50 613H900", "M237 -50V1250", "M-50 -50L850 1250", "M237 520V680"};
    try_walls(tell_tern(), tern, 3);
    try_walls(tell_quillhaven(), tern, 3);
    try_walls(tell_four(), four, 4);
}

/* ---- power ---- */

static void try_power(telling t, const char *const *sets, size_t count)
{
    figures first = place(&t), base = rooms(&t, &first, &unmoved, NULL, 0);
    figures other = rooms(&t, &first, &unmoved, sets, count);
    compare(&base, &other, 3.0, 0.0, true, "3 dB more");
    drop(&other);
    drop(&base);
    drop(&first);
    forget(&t);
}

static void three_decibels_more_power_are_three_more_of_margin(void **state)
{
    (void)state;
    static const char *const sets[] = {"gateway.tx_power_dbm=17", "device wall.tx_power_dbm=13",
                                       "device unit.tx_power_dbm=13"};
    try_power(tell_tern(), sets, 3);
    try_power(tell_quillhaven(), sets, 3);
    try_power(tell_four(), sets, 3);
}

/* ---- names ---- */

static void try_names(telling t, const char *from, const char *to, bool in_plans)
{
    figures first = place(&t), base = rooms(&t, &first, &unmoved, NULL, 0);
    telling named = t;
    hr_text ini = {0}, texts[PLANS_MAX] = {{0}};
    size_t changed = 0;
    if (in_plans) {
        for (size_t i = 0; i < t.plan_count; i++) {
            changed += rewrite_words(t.plans[i], from, to, &texts[i]);
            named.plans[i] = kept(&texts[i]);
        }
    } else {
        changed = rewrite_words(t.ini, from, to, &ini);
        named.ini = kept(&ini);
    }
    assert_true(changed > 0);
    figures other = rooms(&named, &first, &unmoved, NULL, 0);
    compare(&base, &other, 0.0, 0.0, false, "other names");
    size_t renamed = 0;
    for (size_t i = 0; i < base.building->room_count; i++) {
        renamed += strcmp(base.building->rooms[i].name, other.building->rooms[i].name) != 0;
    }
    assert_true(renamed > 0);
    drop(&other);
    drop(&base);
    drop(&first);
    hr_text_free(&ini);
    for (size_t i = 0; i < PLANS_MAX; i++) {
        hr_text_free(&texts[i]);
    }
    forget(&t);
}

static void a_name_is_a_name(void **state)
{
    (void)state;
    try_names(tell_tern(), "room_name = {storey}{name:02}", "room_name = Room {name:03} of storey {storey}", false);
    try_names(tell_quillhaven(), "room_name = {storey}{name:02}", "room_name = Z{name}-{storey}", false);
    try_names(tell_four(), "<title>3</title>", "<title>Zebra suite</title>", true);
    try_names(tell_four(), "<title>1</title>", "<title>one</title>", true);
}

/* ---- units ---- */

static void try_feet(telling t, size_t lengths)
{
    figures first = place(&t), base = rooms(&t, &first, &unmoved, NULL, 0);
    telling feet = t;
    hr_text ini = {0};
    assert_int_equal(rewrite_feet(t.ini, &ini), lengths);
    feet.ini = kept(&ini);
    figures other = rooms(&feet, &first, &unmoved, NULL, 0);
    assert_int_equal(other.building->length_unit, HR_FEET);
    compare(&base, &other, 0.0, 0.0, true, "in feet");
    drop(&other);
    drop(&base);
    drop(&first);
    hr_text_free(&ini);
    forget(&t);
}

static void feet_are_metres(void **state)
{
    (void)state;
    try_feet(tell_tern(), 7);
    try_feet(tell_quillhaven(), 8);
    try_feet(tell_four(), 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_plan_elsewhere_is_the_same_four),
        cmocka_unit_test(a_plan_elsewhere_is_the_same_tern),
        cmocka_unit_test(a_plan_elsewhere_is_the_same_quillhaven),
        cmocka_unit_test(one_more_wall_lets_no_margin_rise),
        cmocka_unit_test(three_decibels_more_power_are_three_more_of_margin),
        cmocka_unit_test(a_name_is_a_name),
        cmocka_unit_test(feet_are_metres),
        cmocka_unit_test(every_status_is_brought_about),
    };
    return cmocka_run_group_tests_name("whole", tests, NULL, NULL);
}
