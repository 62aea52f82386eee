/*
 * test_spots.c - spots drawn and generated, gateways marked on plans.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_test.h"

static const hr_spot *spot(const reading *r, const char *id)
{
    for (size_t i = 0; i < r->b->spot_count; i++) {
        if (strcmp(r->b->spots[i].id, id) == 0) {
            return &r->b->spots[i];
        }
    }
    for (size_t i = 0; i < r->b->spot_count; i++) {
        print_error("spot %s\n", r->b->spots[i].id);
    }
    fail_msg("no spot %s", id);
    return NULL;
}

static void expect_sorted(const reading *r)
{
    for (size_t i = 1; i < r->b->spot_count; i++) {
        const hr_spot *a = &r->b->spots[i - 1], *b = &r->b->spots[i];
        const bool ordered =
            a->storey < b->storey ||
            (a->storey == b->storey &&
             (a->at.y < b->at.y ||
              (!(a->at.y > b->at.y) && (a->at.x < b->at.x || (!(a->at.x > b->at.x) && strcmp(a->id, b->id) < 0)))));
        assert_true(ordered);
    }
}

static void test_drawn_spots(void **state)
{
    (void)state;
    reading r = reads(HEAD "[storey 1]\nplan = spots.svg\n");
    assert_int_equal(r.b->spot_count, 4);
    expect_sorted(&r);
    const hr_spot *riser = spot(&r, "riser-A");
    check_near(riser->at.x, 1.0, 0.0); /* 1.000444 m, rounded to whole millimetres */
    check_near(riser->at.y, 6.5, 0.0);
    check_near(riser->mount_height_m, 2.1, 0.0);
    check_near(riser->z_m, 2.1, 0.0);
    assert_false(riser->generated);
    assert_string_equal(riser->label, "");
    assert_string_equal(spot(&r, "linen-closet1")->label, "linen closet");
    check_near(spot(&r, "linen-closet1")->at.x, 6.0, 0.0); /* numbered in drawing order */
    check_near(spot(&r, "linen-closet2")->at.x, 2.0, 0.0);
    check_near(spot(&r, "S1")->at.x, 3.0, 0.0);
    expect_note(&r, "riser A is written riser-A");
    expect_note(&r, "linen closet is written linen-closet");
    expect_note(&r, "spot S2 is left out: it stands in a keep-out");
    done(&r);
}

static void test_repeated_storeys(void **state)
{
    (void)state;
    reading r = reads(HEAD "[storey 2-3]\nplan = spots.svg\n[storey roof deck]\nplan = lobby.svg\n");
    expect_sorted(&r);
    check_near(spot(&r, "riser-A@3")->z_m, 3.0 + 2.1, 1e-12);
    check_near(spot(&r, "S1@2")->at.x, 3.0, 0.0);
    check_near(spot(&r, "linen-closet2@3")->at.x, 2.0, 0.0);
    assert_int_equal(r.b->gateway_count, 4);
    assert_string_equal(r.b->gateways[0].id, "GW-North@2");
    assert_string_equal(r.b->gateways[1].id, "GW1@2");
    assert_string_equal(r.b->gateways[2].id, "GW-North@3");
    done(&r);
}

static void test_generated_spots(void **state)
{
    (void)state;
    reading r = reads(HEAD "[storey 2-3]\nplan = two.svg\n");
    assert_true(r.b->spot_count >= 8);
    assert_int_equal(r.b->spot_count % 2, 0);
    expect_sorted(&r);
    for (size_t i = 0; i < r.b->spot_count; i++) {
        const hr_spot *s = &r.b->spots[i];
        assert_true(s->generated);
        assert_string_equal(s->label, "corridor");
        assert_non_null(strstr(s->id, s->storey == 0 ? "@2" : "@3"));
        assert_true(s->at.y >= 5.1 - 1e-9 && s->at.y <= 6.9 + 1e-9); /* 0.1 m inside the corridor */
    }
    const hr_spot *first = spot(&r, "S1@2"), *above = spot(&r, "S1@3");
    check_near(first->at.x, above->at.x, 0.0);
    check_near(above->z_m - first->z_m, 3.0, 1e-12);
    done(&r);
    const hr_building_options none = {.no_spots = true};
    r = read_with(HEAD STOREY, &none);
    assert_int_equal(r.status, HR_OK);
    assert_int_equal(r.b->spot_count, 0);
    done(&r);
    r = read_with(HEAD "[storey 1]\nplan = spots.svg\n", &none);
    assert_int_equal(r.b->spot_count, 4); /* drawn ones stay */
    done(&r);
}

static void test_wider_spacing_gives_fewer(void **state)
{
    (void)state;
    reading close = reads(HEAD "[gateway]\nspot_spacing = 1\n" STOREY);
    reading wide = reads(HEAD "[gateway]\nspot_spacing = 4\n" STOREY);
    assert_true(close.b->spot_count > wide.b->spot_count);
    done(&close);
    done(&wide);
}

static void test_generated_stay_out_of_keep_outs(void **state)
{
    (void)state;
    test_write("kept.svg", "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1000 1000'>"
                           "<g data-name='scale: 10 m'><line x1='0' y1='900' x2='1000' y2='900'/></g>"
                           "<g data-name='walls: brick-100'><path d='M0 0H800V700H0Z M0 500H800'/></g>"
                           "<g data-name='rooms'><rect width='800' height='500'><title>1</title></rect></g>"
                           "<g data-name='corridors'><rect y='500' width='800' height='200'/></g>"
                           "<g data-name='keep-out'><rect y='500' width='400' height='200'/></g></svg>");
    reading r = reads(HEAD "[storey 1]\nplan = kept.svg\n");
    assert_true(r.b->spot_count > 0);
    for (size_t i = 0; i < r.b->spot_count; i++) {
        assert_true(r.b->spots[i].at.x > 4.0);
    }
    expect_no_note(&r, "keep-out");
    done(&r);
}

static void test_marked_gateways(void **state)
{
    (void)state;
    reading r = reads(HEAD "[gateway]\nmount_height = 2.4\n[storey 1]\nplan = spots.svg\n");
    assert_int_equal(r.b->gateway_count, 2);
    const hr_gateway *g = &r.b->gateways[0];
    assert_string_equal(g->id, "GW-North");
    assert_true(g->existing);
    assert_null(g->spot);
    assert_null(g->network_id);
    check_near(g->at.x, 4.0, 0.0);
    check_near(g->at.y, 6.0, 0.0);
    check_near(g->z_m, 2.4, 0.0);
    assert_string_equal(r.b->gateways[1].id, "GW1");
    expect_note(&r, "gateway GW1 stands in a keep-out");
    done(&r);
}

static void test_ids_are_unique(void **state)
{
    (void)state;
    reading r = read_text(HEAD "[storey 1]\nplan = spots.svg\nroom_name = 1{name}\n"
                               "[storey 2]\nplan = spots.svg\nroom_name = 2{name}\n");
    assert_int_equal(r.status, HR_ERR_INPUT);
    assert_non_null(strstr(r.err.text, "spot riser-A stands twice, on storey 2 and on storey 1"));
    assert_non_null(strstr(r.err.file, "spots.svg"));
    done(&r);
    test_write("twin.svg", "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1000 1000'>"
                           "<g data-name='scale: 10 m'><line x1='0' y1='900' x2='1000' y2='900'/></g>"
                           "<g data-name='walls: brick-100'><path d='M0 0H800V700H0Z'/></g>"
                           "<g data-name='rooms'><rect width='400' height='500'><title>1</title></rect></g>"
                           "<g data-name='gateways'><circle cx='1' cy='1' r='1'><title>A</title></circle>\n"
                           "<circle cx='9' cy='9' r='1'><title>a</title></circle></g></svg>");
    r = read_text(HEAD "[storey 1]\nplan = twin.svg\n");
    assert_int_equal(r.status, HR_ERR_INPUT);
    assert_int_equal(r.err.line, 2);
    assert_non_null(strstr(r.err.text, "gateway a stands twice"));
    done(&r);
}

const struct CMUnitTest spot_tests[] = {cmocka_unit_test(test_drawn_spots),
                                        cmocka_unit_test(test_repeated_storeys),
                                        cmocka_unit_test(test_generated_spots),
                                        cmocka_unit_test(test_wider_spacing_gives_fewer),
                                        cmocka_unit_test(test_generated_stay_out_of_keep_outs),
                                        cmocka_unit_test(test_marked_gateways),
                                        cmocka_unit_test(test_ids_are_unique)};
const size_t spot_test_count = COUNT_OF(spot_tests);
