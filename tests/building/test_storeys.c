/*
 * test_storeys.c - storeys expanded and stacked.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_test.h"

#define ROOMS_BY_STOREY "room_name = {storey}-{name}\n"

static void test_stack_in_file_order(void **state)
{
    (void)state;
    reading r = reads(HEAD "[storey ground]\nplan = lobby.svg\nfloor_to_floor = 4.2\n"
                           "[storey 1]\nplan = two.svg\n" ROOMS_BY_STOREY "[storey 2]\nplan = two.svg\n" ROOMS_BY_STOREY
                           "slab = concrete-200\n");
    assert_int_equal(r.b->storey_count, 3);
    check_near(r.b->storeys[0].elevation_m, 0.0, 0.0);
    check_near(r.b->storeys[1].elevation_m, 4.2, 1e-12);
    check_near(r.b->storeys[2].elevation_m, 7.2, 1e-12);
    check_near(r.b->storeys[2].floor_to_floor_m, 3.0, 0.0);
    assert_true(r.b->storeys[1].slab_assumed);
    assert_false(r.b->storeys[2].slab_assumed);
    assert_string_equal(hr_materials_get(r.b->materials, r.b->storeys[1].slab_material)->name, "concrete-200");
    assert_int_equal(hr_building_storey(r.b, "GROUND"), 0);
    assert_int_equal(hr_building_storey(r.b, "3"), UINT32_MAX);
    done(&r);
}

static void test_sections_for_several(void **state)
{
    (void)state;
    reading r = reads(HEAD "[storey 2-4, 6,penthouse]\nplan = two.svg\nfloor_to_floor = 3.5\n");
    static const char *const names[] = {"2", "3", "4", "6", "penthouse"};
    assert_int_equal(r.b->storey_count, 5);
    for (size_t i = 0; i < 5; i++) {
        assert_string_equal(r.b->storeys[i].name, names[i]);
        check_near(r.b->storeys[i].elevation_m, 3.5 * (double)i, 1e-9);
        assert_true(r.b->storeys[i].repeated);
        assert_ptr_equal(r.b->storeys[i].plan, r.b->storeys[0].plan);
        assert_int_equal(r.b->storeys[i].section_line, 6);
    }
    assert_int_equal(r.b->plan_count, 1);
    done(&r);
}

static void test_names_that_are_no_ranges(void **state)
{
    (void)state;
    reading r = reads(HEAD "[storey B-2]\nplan = lobby.svg\n[storey 1-]\nplan = lobby.svg\n[storey 01-03]\n"
                           "plan = two.svg\n[storey 9-9]\nplan = two.svg\n" ROOMS_BY_STOREY);
    assert_int_equal(r.b->storey_count, 6);
    assert_string_equal(r.b->storeys[0].name, "B-2");
    assert_string_equal(r.b->storeys[1].name, "1-");
    assert_string_equal(r.b->storeys[2].name, "01"); /* leading zeros stay */
    assert_string_equal(r.b->storeys[4].name, "03");
    assert_string_equal(r.b->storeys[5].name, "9");
    assert_false(r.b->storeys[5].repeated);
    done(&r);
}

static void test_bad_lists_of_storeys(void **state)
{
    (void)state;
    refuse(HEAD "[storey 8-2]\nplan = two.svg\n", HR_ERR_INPUT, 6, "runs downwards");
    refuse(HEAD "[storey 1,,2]\nplan = two.svg\n", HR_ERR_INPUT, 6, "empty name");
    refuse(HEAD "[storey 1,]\nplan = two.svg\n", HR_ERR_INPUT, 6, "empty name");
    refuse(HEAD "[storey 1-3]\nplan = two.svg\n[storey 3]\nplan = two.svg\n", HR_ERR_INPUT, 8,
           "storey 3 stands twice, first in line 6");
    refuse(HEAD "[storey a,A]\nplan = two.svg\n", HR_ERR_INPUT, 6, "stands twice");
    refuse(HEAD "[storey 1-999999]\nplan = two.svg\n", HR_ERR_LIMIT, 6, "more storeys than the limit of 200");
}

static void test_elevations(void **state)
{
    (void)state;
    reading r =
        reads(HEAD "[storey B]\nplan = lobby.svg\nelevation = -3.5\n[storey 1]\nplan = two.svg\nelevation = 0.2\n"
                   "[storey 2]\nplan = lobby.svg\n");
    check_near(r.b->storeys[0].elevation_m, -3.5, 0.0);
    check_near(r.b->storeys[1].elevation_m, 0.2, 0.0); /* above what stacking gives, -0.5 */
    check_near(r.b->storeys[2].elevation_m, 3.2, 1e-12);
    done(&r);
    refuse(HEAD "[storey 1]\nplan = two.svg\nfloor_to_floor = 4\n[storey 2]\nplan = lobby.svg\nelevation = 3.998\n",
           HR_ERR_INPUT, 9, "storeys overlap: storey 2 has its floor at 3.998 m, storey 1 below it reaches up to 4");
    refuse(HEAD "[storey 2]\nplan = two.svg\nelevation = 3\n[storey 1]\nplan = lobby.svg\nelevation = 0\n",
           HR_ERR_INPUT, 9, "storeys overlap");
    /* within a millimetre is no overlap */
    r = reads(HEAD
              "[storey 1]\nplan = two.svg\nfloor_to_floor = 4\n[storey 2]\nplan = lobby.svg\nelevation = 3.9995\n");
    check_near(r.b->storeys[1].elevation_m, 3.9995, 0.0);
    done(&r);
}

static void test_elevation_of_several(void **state)
{
    (void)state;
    reading r = reads(HEAD "[storey 1-2]\nplan = two.svg\nelevation = 10\n");
    check_near(r.b->storeys[0].elevation_m, 10.0, 0.0);
    check_near(r.b->storeys[1].elevation_m, 13.0, 0.0);
    done(&r);
}

static void test_slabs(void **state)
{
    (void)state;
    refuse(HEAD "[storey 1]\nplan = two.svg\nslab = concret-200\n", HR_ERR_INPUT, 8,
           "slab = concret-200: unknown material, did you mean concrete-200?");
    reading r = reads(HEAD "[material raft]\nloss_db = 20\n[storey 1]\nplan = two.svg\nslab = raft\n");
    assert_string_equal(hr_materials_get(r.b->materials, r.b->storeys[0].slab_material)->name, "raft");
    done(&r);
}

static void test_above_the_ceiling(void **state)
{
    (void)state;
    reading r = reads(HEAD "[gateway]\nmount_height = 3.4\n" STOREY);
    expect_note(&r, "gateway above its ceiling: mount_height 3.4 in a storey of 3 m");
    expect_no_note(&r, "wall above its ceiling");
    done(&r);
    r = reads(HEAD "[gateway]\nmount_height = 3.0\n" STOREY);
    expect_no_note(&r, "above its ceiling");
    done(&r);
}

const struct CMUnitTest storey_tests[] = {cmocka_unit_test(test_stack_in_file_order),
                                          cmocka_unit_test(test_sections_for_several),
                                          cmocka_unit_test(test_names_that_are_no_ranges),
                                          cmocka_unit_test(test_bad_lists_of_storeys),
                                          cmocka_unit_test(test_elevations),
                                          cmocka_unit_test(test_elevation_of_several),
                                          cmocka_unit_test(test_slabs),
                                          cmocka_unit_test(test_above_the_ceiling)};
const size_t storey_test_count = COUNT_OF(storey_tests);
