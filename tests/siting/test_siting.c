/*
 * test_siting.c - who joins which gateway, reasons, chosen spots re-checked by
 * an independent loop, and answers that do not depend on the drawing's order.
 *
 * SPDX-License-Identifier: MIT
 */
#include "support.h"

void corridor_plan(hr_text *t, int rooms, bool reversed, const char *more)
{
    hr_text_add(t, PROPERTY_HEAD);
    hr_text_addf(t, "<g inkscape:label=\"corridors\"><rect x=\"0\" y=\"-2\" width=\"%d\" height=\"2\" fill=\"#eee\"/></g>\n",
                 4 * rooms);
    hr_text_addf(t, "<g inkscape:label=\"walls: block-hollow\" stroke=\"#000\"><line x1=\"0\" y1=\"-2\" x2=\"%d\" y2=\"-2\"/>"
                    "<line x1=\"0\" y1=\"0\" x2=\"%d\" y2=\"0\"/></g>\n",
                 4 * rooms, 4 * rooms);
    for (int i = 0; i < rooms; i++) {
        const int r = reversed ? rooms - 1 - i : i;
        hr_text_addf(t, "<g inkscape:label=\"rooms\"><rect x=\"%d\" y=\"0\" width=\"4\" height=\"6\" fill=\"#eef\"><title>%d</title>"
                        "</rect></g>\n<g inkscape:label=\"doors: timber-door\" stroke=\"#000\"><line x1=\"%d.5\" y1=\"0\" x2=\"%d.4\" y2=\"0\"/></g>\n",
                     4 * r, r + 1, 4 * r, 4 * r + 1);
        hr_text_addf(t, "<g inkscape:label=\"walls: block-hollow\" stroke=\"#000\"><line x1=\"%d\" y1=\"0\" x2=\"%d\" y2=\"6\"/></g>\n",
                     4 * r, 4 * r);
    }
    hr_text_add(t, more);
    hr_text_add(t, "</svg>\n");
}

hr_siting *placed_with(const hr_building *building, const hr_siting_options *options)
{
    hr_siting *siting = NULL;
    hr_error err = {.status = HR_OK};
    if (hr_siting_place(building, options, NULL, &siting, &err) != HR_OK) {
        fail_msg("%s", err.text);
    }
    return siting;
}

hr_siting *rooms_with(const hr_building *building, const hr_siting_options *options)
{
    hr_siting *siting = NULL;
    hr_error err = {.status = HR_OK};
    if (hr_siting_rooms(building, options, NULL, &siting, &err) != HR_OK) {
        fail_msg("%s", err.text);
    }
    return siting;
}

static hr_siting *placed(const hr_building *building)
{
    return placed_with(building, NULL);
}

static hr_siting *for_rooms(const hr_building *building)
{
    return rooms_with(building, NULL);
}

/* Every claimed service is measured again, link by link. */
static void recheck(const hr_building *b, const hr_siting *s)
{
    hr_links *links = NULL;
    assert_int_equal(hr_links_new(b, &links, NULL), HR_OK);
    hr_link_work work = {0};
    size_t served = 0;
    for (size_t d = 0; d < s->device_count; d++) {
        const hr_device_row *row = &s->devices[d];
        const hr_end end = hr_links_device_end(b, (uint32_t)d);
        double best = -1e9;
        for (size_t g = 0; g < s->gateway_count; g++) {
            const hr_end far = hr_links_gateway_end(b, s->gateways[g].at, s->gateways[g].z_m);
            hr_link link;
            assert_int_equal(hr_links_measure(links, &work, &end, &far, &link, NULL), HR_OK);
            if (link.distance_m <= b->radio.range_limit_m && link.slabs <= 1 && link.spare_db > best) {
                best = link.spare_db;
            }
        }
        if (b->kinds[b->devices[d].kind].joins == HR_JOINS_GATEWAY) {
            assert_int_equal(row->served, best >= 0.0);
            if (row->served) {
                assert_true(row->spare_db >= best - 3.0);
            }
        }
        served += row->served;
        assert_int_equal(row->served, row->reason[0] == '\0');
    }
    assert_int_equal(served, s->served_devices);
    hr_links_work_free(&work);
    hr_links_free(links);
}

static void test_place_serves_and_is_rechecked(void **state)
{
    (void)state;
    hr_text svg = {0};
    corridor_plan(&svg, 20, false, "");
    hr_building *b = property_made(INI("", ""), svg.bytes);
    hr_siting *s = placed(b);
    assert_int_equal(s->device_count, 20);
    assert_int_equal(s->served_devices, 20);
    assert_true(s->gateway_count >= 2); /* 80 m of rooms, 30.48 m each way at most */
    assert_true(s->lower_bound >= 1 && s->lower_bound <= s->gateway_count);
    recheck(b, s);
    /* no gateway of the answer is spare: without it somebody is not served */
    for (size_t g = 0; g < s->gateway_count; g++) {
        assert_true(s->gateways[g].devices > 0);
    }
    hr_siting_free(s);
    hr_building_free(b);
    hr_text_free(&svg);
}

static void test_drawing_order_changes_nothing(void **state)
{
    (void)state;
    hr_text one = {0}, other = {0};
    corridor_plan(&one, 17, false, "");
    corridor_plan(&other, 17, true, "");
    hr_building *a = property_made(INI("", ""), one.bytes), *b = property_made(INI("", ""), other.bytes);
    hr_siting *sa = placed(a), *sb = placed(b);
    assert_int_equal(sa->gateway_count, sb->gateway_count);
    for (size_t g = 0; g < sa->gateway_count; g++) {
        assert_string_equal(sa->gateways[g].id, sb->gateways[g].id);
        assert_true(sa->gateways[g].at.x == sb->gateways[g].at.x && sa->gateways[g].at.y == sb->gateways[g].at.y);
    }
    hr_siting_free(sa);
    hr_siting_free(sb);
    hr_building_free(a);
    hr_building_free(b);
    hr_text_free(&one);
    hr_text_free(&other);
}

#define TWO_GATEWAYS                                                                                                   \
    "<g inkscape:label=\"gateways\"><circle cx=\"2\" cy=\"-1\" r=\"0.1\"><title>GA</title></circle>"                   \
    "<circle cx=\"38\" cy=\"-1\" r=\"0.1\"><title>GB</title></circle></g>\n"

/* Common practice: a device joins the closest of gateways that are nearly equal. */
static void test_the_closest_of_near_equals(void **state)
{
    (void)state;
    hr_text svg = {0};
    corridor_plan(&svg, 10, false, TWO_GATEWAYS);
    hr_building *b = property_made(INI("range_limit = none\n", ""), svg.bytes);
    hr_siting *s = for_rooms(b);
    assert_int_equal(s->gateway_count, 2);
    assert_true(s->gateways[0].existing);
    /* room 1 stands at GA, room 10 at GB; each joins its own */
    assert_string_equal(s->gateways[s->devices[0].gateway].id, "GA");
    assert_string_equal(s->gateways[s->devices[9].gateway].id, "GB");
    assert_string_equal(s->gateways[0].network_id, "1");
    recheck(b, s);
    hr_siting_free(s);
    hr_building_free(b);
    hr_text_free(&svg);
}

/* Common practice: the gateway's antenna within 100 ft (30.48 m) of the wall controls. */
static void test_range_limit_says_how_much_spare(void **state)
{
    (void)state;
    hr_text svg = {0};
    corridor_plan(&svg, 10, false, "<g inkscape:label=\"gateways\"><circle cx=\"2\" cy=\"-1\" r=\"0.1\"><title>GA</title></circle></g>\n");
    hr_building *b = property_made(INI("shadowing_db = 0.1\ntime_variation_db = 0.1\nexponent = 1.6\n", ""), svg.bytes);
    hr_siting *s = for_rooms(b);
    size_t beyond = 0;
    for (size_t d = 0; d < s->device_count; d++) {
        const hr_device_row *row = &s->devices[d];
        assert_int_equal(row->within_range, row->link.distance_m <= 30.48);
        if (row->link.distance_m > 30.48) {
            beyond++;
            assert_false(row->served);
            assert_non_null(strstr(row->reason, "beyond the range limit of 30.48 m"));
            assert_non_null(strstr(row->reason, "to spare"));
        }
    }
    assert_true(beyond >= 1 && beyond <= 3);
    /* an unserved room counts as one that fails */
    assert_true(s->expected_failing_rooms >= (double)beyond);
    hr_siting_free(s);
    hr_building_free(b);
    hr_text_free(&svg);
}

#define KINDS                                                                                                          \
    "[device wall]\npower = battery\nrelays = no\n"                                                                    \
    "[device unit]\npower = mains\nrelays = no\njoins = wall\nmount_height = 0.4\n"

static void test_joined_devices_follow_their_wall_control(void **state)
{
    (void)state;
    hr_text svg = {0};
    corridor_plan(&svg, 5, false, "<g inkscape:label=\"gateways\"><circle cx=\"10\" cy=\"-1\" r=\"0.1\"/></g>\n");
    hr_building *b = property_made(INI("", KINDS), svg.bytes);
    hr_siting *s = for_rooms(b);
    assert_int_equal(s->device_count, 10);
    for (size_t d = 0; d < s->device_count; d++) {
        const hr_device_row *row = &s->devices[d];
        if (b->kinds[b->devices[d].kind].joins == HR_JOINS_GATEWAY) {
            assert_int_equal(row->hops, 1);
            continue;
        }
        const hr_device_row *wall = &s->devices[row->via];
        assert_int_equal(row->hops, 2);
        assert_int_equal(row->within_range, -1);
        assert_int_equal(b->devices[row->via].room, b->devices[d].room);
        check_near(row->reliability, row->link.reliability * wall->reliability, 1e-15);
        check_near(row->spare_db, row->link.spare_db < wall->spare_db ? row->link.spare_db : wall->spare_db, 1e-12);
        assert_int_equal(row->gateway, wall->gateway);
    }
    assert_int_equal(s->gateways[0].devices, 10);
    assert_int_equal(s->gateways[0].direct_devices, 5);
    hr_siting_free(s);
    hr_building_free(b);
    hr_text_free(&svg);
}

static void test_a_room_without_a_wall_control(void **state)
{
    (void)state;
    hr_text svg = {0};
    corridor_plan(&svg, 3, false, "<g inkscape:label=\"gateways\"><circle cx=\"6\" cy=\"-1\" r=\"0.1\"/></g>\n");
    hr_building *b = property_made(INI("", "[device wall]\npower = battery\nrelays = no\nper_room = 0\n"
                                           "[device unit]\npower = mains\nrelays = no\njoins = wall\n"),
                                   svg.bytes);
    hr_siting *s = for_rooms(b);
    for (size_t d = 0; d < s->device_count; d++) {
        assert_false(s->devices[d].served);
        assert_string_equal(s->devices[d].reason, "no wall control in this room");
    }
    hr_siting_free(s);
    hr_building_free(b);
    hr_text_free(&svg);
}

/* Enough metal round a room that nothing gets in: listed with what takes it, the rest placed. */
static void test_what_no_spot_serves_has_its_reason(void **state)
{
    (void)state;
    hr_text svg = {0};
    corridor_plan(&svg, 6, false,
                  "<g inkscape:label=\"walls: vault\" stroke=\"#000\"><rect x=\"8.3\" y=\"0.3\" width=\"3.4\" height=\"5.4\"/></g>\n"
                  "<g inkscape:label=\"devices: wall\"><circle cx=\"10\" cy=\"3\" r=\"0.1\"/></g>\n");
    hr_building *b = property_made(INI("", "[material vault]\nloss_db = 90\n[device wall]\npower = battery\nrelays = no\n"), svg.bytes);
    hr_siting *s = placed(b);
    assert_int_equal(s->served_devices, 5);
    const hr_device_row *row = &s->devices[2];
    assert_false(row->served);
    assert_non_null(strstr(row->reason, "no spot can serve it"));
    assert_non_null(strstr(row->reason, "too much in the way"));
    hr_siting_free(s);
    hr_building_free(b);
    hr_text_free(&svg);
}

static void test_keep_outs_and_metal_clearance(void **state)
{
    (void)state;
    hr_text svg = {0};
    corridor_plan(&svg, 8, false,
                  "<g inkscape:label=\"keep-out\"><rect x=\"0\" y=\"-2\" width=\"16\" height=\"2\"/></g>\n"
                  "<g inkscape:label=\"metal: cabinet\"><rect x=\"20\" y=\"-1.9\" width=\"1\" height=\"0.5\"/></g>\n");
    hr_building *b = property_made(INI("", ""), svg.bytes);
    hr_siting *s = placed(b);
    for (size_t g = 0; g < s->gateway_count; g++) {
        const hr_point at = s->gateways[g].at;
        assert_true(at.x >= 16.0);
        const double dx = at.x < 20 ? 20 - at.x : at.x > 21 ? at.x - 21 : 0, dy = at.y > -1.4 ? at.y + 1.4 : 0;
        assert_true(sqrt(dx * dx + dy * dy) >= 1.0);
    }
    hr_siting_free(s);
    hr_building_free(b);
    hr_text_free(&svg);
}

static void test_existing_gateways_are_kept(void **state)
{
    (void)state;
    hr_text svg = {0};
    corridor_plan(&svg, 20, false, "<g inkscape:label=\"gateways\"><circle cx=\"3\" cy=\"-1\" r=\"0.1\"><title>GW2</title></circle></g>\n");
    hr_building *b = property_made(INI("", ""), svg.bytes);
    hr_siting *s = placed(b);
    bool kept = false;
    for (size_t g = 0; g < s->gateway_count; g++) {
        for (size_t k = 0; k < g; k++) {
            assert_true(hr_casecmp(s->gateways[g].id, s->gateways[k].id) != 0);
        }
        kept = kept || (s->gateways[g].existing && strcmp(s->gateways[g].id, "GW2") == 0);
    }
    assert_true(kept);
    assert_true(s->gateway_count > 1);
    recheck(b, s);
    hr_siting_free(s);
    hr_building_free(b);
    hr_text_free(&svg);
}

static void test_no_gateways_and_no_spots(void **state)
{
    (void)state;
    const char *svg = PROPERTY_HEAD "<g inkscape:label=\"walls: brick-100\"><line x1=\"0\" y1=\"0\" x2=\"4\" y2=\"0\" stroke=\"#000\"/></g>"
                                    "<g inkscape:label=\"rooms\"><rect width=\"4\" height=\"4\"><title>1</title></rect></g></svg>";
    hr_building *b = property_made(INI("", ""), svg);
    hr_siting *s = NULL;
    hr_error err = {.status = HR_OK};
    assert_int_equal(hr_siting_rooms(b, NULL, NULL, &s, &err), HR_ERR_INPUT);
    assert_non_null(strstr(err.text, "no gateways"));
    assert_int_equal(hr_siting_place(b, NULL, NULL, &s, &err), HR_ERR_INPUT);
    assert_non_null(strstr(err.text, "no place for a gateway"));
    assert_null(s);
    hr_building_free(b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_place_serves_and_is_rechecked),
        cmocka_unit_test(test_drawing_order_changes_nothing),
        cmocka_unit_test(test_the_closest_of_near_equals),
        cmocka_unit_test(test_range_limit_says_how_much_spare),
        cmocka_unit_test(test_joined_devices_follow_their_wall_control),
        cmocka_unit_test(test_a_room_without_a_wall_control),
        cmocka_unit_test(test_what_no_spot_serves_has_its_reason),
        cmocka_unit_test(test_keep_outs_and_metal_clearance),
        cmocka_unit_test(test_existing_gateways_are_kept),
        cmocka_unit_test(test_no_gateways_and_no_spots),
    };
    const struct {
        const struct CMUnitTest *tests;
        size_t count;
    } groups[] = {{tests, sizeof tests / sizeof tests[0]},
                  {mesh_tests, mesh_test_count},
                  {rule_tests, rule_test_count},
                  {cable_tests, cable_test_count},
                  {models_tests, models_test_count}};
    /* one group, so that the program speaks one stream of TAP */
    static struct CMUnitTest all[128];
    size_t count = 0;
    for (size_t g = 0; g < sizeof groups / sizeof groups[0]; g++) {
        for (size_t i = 0; i < groups[g].count; i++) {
            all[count++] = groups[g].tests[i];
        }
    }
    return _cmocka_run_group_tests("siting", all, count, NULL, NULL);
}
