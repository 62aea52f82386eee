/*
 * test_coverage.c - the matrix equals single links, and leaves out what is far.
 *
 * SPDX-License-Identifier: MIT
 */
#include <limits.h>

#include "../property.h"

#include "hr_coverage.h"

static const char plan_svg[] = PROPERTY_HEAD
    "<g inkscape:label=\"walls: brick-100\" stroke=\"#000\"><rect width=\"10\" height=\"4\" fill=\"none\"/>"
    "<line x1=\"5\" y1=\"0\" x2=\"5\" y2=\"4\"/></g>\n"
    "<g inkscape:label=\"rooms\"><rect width=\"5\" height=\"4\"><title>1</title></rect>"
    "<rect x=\"5\" width=\"5\" height=\"4\"><title>2</title></rect></g></svg>";

static const char ini[] = "[property]\nname = Two\nlength_unit = m\n[radio]\nfrequency_mhz = 915\n"
                          "[storey 1]\nplan = plan.svg\n[storey 2]\nplan = plan.svg\nroom_name = {storey}{name:02}\n";

static bool stop_at_once(void *user, size_t done, size_t total)
{
    (void)total;
    *(size_t *)user = done;
    return false;
}

/* Cells left out are those beyond the limits, for slabs only such cells; returns how many were for slabs alone. */
static size_t check_matrix(long max_slabs)
{
    size_t for_slabs = 0;
    hr_building *b = property_made(ini, plan_svg);
    assert_int_equal(b->device_count, 4);
    hr_links *links = NULL;
    assert_int_equal(hr_links_new(b, &links, NULL), HR_OK);
    const hr_site sites[3] = {{{1, 1}, 2.1, 0}, {{9, 3}, 2.1, 0}, {{40, 3}, 5.1, 1}};
    const uint32_t devices[4] = {3, 1, 0, 2};
    hr_coverage *coverage = NULL;
    assert_int_equal(hr_coverage_new(b, links, sites, 3, devices, 4, (hr_coverage_limits){20.0, max_slabs}, NULL, NULL,
                                     &coverage, NULL),
                     HR_OK);
    hr_link_work work = {0};
    size_t next = 0;
    assert_int_equal(coverage->start[0], 0);
    for (size_t s = 0; s < 3; s++) {
        for (size_t d = 0; d < 4; d++) {
            const hr_end end = hr_links_device_end(b, devices[d]),
                         site = hr_links_gateway_end(b, sites[s].at, sites[s].z_m);
            hr_link link;
            assert_int_equal(hr_links_measure(links, &work, &end, &site, &link, NULL), HR_OK);
            const bool measured = next < coverage->start[s + 1] && coverage->cells[next].device == (uint32_t)d;
            if (!measured) {
                const bool far = link.distance_m > 20.0;
                assert_true(far || (long)link.slabs > max_slabs);
                for_slabs += far ? 0 : 1;
            } else {
                assert_true(link.distance_m <= 20.0);
                assert_true(coverage->cells[next].spare == hr_micro(link.spare_db));
                assert_int_equal(coverage->cells[next].slabs, link.slabs);
                next++;
            }
        }
        assert_int_equal(next, coverage->start[s + 1]); /* so each is there once, in order */
    }
    hr_links_work_free(&work);
    hr_coverage_free(coverage);
    hr_links_free(links);
    hr_building_free(b);
    return for_slabs;
}

static void test_matrix_equals_single_links(void **state)
{
    (void)state;
    assert_int_equal(check_matrix(LONG_MAX), 0);
    assert_int_equal(check_matrix(1), 0);
    assert_true(check_matrix(0) >= 2); /* both sites of the lower storey reach the upper one's near device */
}

static void test_progress_can_stop_it(void **state)
{
    (void)state;
    hr_building *b = property_made(ini, plan_svg);
    hr_links *links = NULL;
    assert_int_equal(hr_links_new(b, &links, NULL), HR_OK);
    const hr_site sites[2] = {{{1, 1}, 2.1, 0}, {{9, 3}, 2.1, 0}};
    const uint32_t devices[1] = {0};
    hr_coverage *coverage = NULL;
    size_t done = 0;
    assert_int_equal(hr_coverage_new(b, links, sites, 2, devices, 1, (hr_coverage_limits){20.0, 1}, stop_at_once, &done,
                                     &coverage, NULL),
                     HR_ERR_INTERRUPTED);
    assert_int_equal(done, 1);
    assert_null(coverage);
    hr_links_free(links);
    hr_building_free(b);
}

/* The mean over a grid, taken again by hand; more gateways never cover less. */
static void test_area_of_a_storey(void **state)
{
    (void)state;
    hr_building *b = property_made(ini, plan_svg);
    hr_links *links = NULL;
    assert_int_equal(hr_links_new(b, &links, NULL), HR_OK);
    const hr_site sites[2] = {{{1, 1}, 2.1, 0}, {{200, 3}, 2.1, 0}};
    hr_coverage_area one, far_off, both, none;
    assert_int_equal(hr_coverage_of_storey(b, links, 0, 0, sites, 1, 1.0, &one, NULL), HR_OK);
    assert_int_equal(hr_coverage_of_storey(b, links, 0, 0, sites + 1, 1, 1.0, &far_off, NULL), HR_OK);
    assert_int_equal(hr_coverage_of_storey(b, links, 0, 0, sites, 2, 1.0, &both, NULL), HR_OK);
    assert_int_equal(hr_coverage_of_storey(b, links, 0, 0, sites, 0, 1.0, &none, NULL), HR_OK);
    assert_int_equal(one.points, 40);
    hr_link_work work = {0};
    double mean = 0.0;
    for (int x = 0; x < 10; x++) {
        for (int y = 0; y < 4; y++) {
            hr_end end = hr_links_device_end(b, 0);
            end.at = (hr_point){x + 0.5, y + 0.5};
            const hr_end site = hr_links_gateway_end(b, sites[1].at, sites[1].z_m);
            hr_link link;
            assert_int_equal(hr_links_measure(links, &work, &end, &site, &link, NULL), HR_OK);
            mean += link.reliability / 40.0;
        }
    }
    check_near(far_off.share, mean, 1e-12);
    assert_true(far_off.share > 0.1 && far_off.share < one.share);
    assert_true(both.share >= one.share && one.share > 0.999);
    check_near(none.share, 0.0, 0.0);
    assert_int_equal(hr_coverage_of_storey(b, links, 0, 0, sites, 1, 0.001, &one, NULL), HR_ERR_ARGUMENT);
    assert_int_equal(hr_coverage_of_storey(b, links, 0, 9, sites, 1, 1.0, &one, NULL), HR_ERR_ARGUMENT);
    hr_links_work_free(&work);
    hr_links_free(links);
    hr_building_free(b);
}

/* Samples of a field are what single places say; nothing off the floor, out of range or across too many slabs. */
static void test_field_of_a_storey(void **state)
{
    (void)state;
    hr_building *b = property_made(ini, plan_svg);
    hr_links *links = NULL;
    hr_link_work work = {0};
    hr_coverage_field *field = NULL;
    assert_int_equal(hr_links_new(b, &links, NULL), HR_OK);
    const hr_site sites[4] = {{{-24, 1}, 2.1, 0}, {{9, 3}, 2.1, 0}, {{1, 3}, 2.1, 0}, {{2, 1}, 5.1, 1}};
    assert_int_equal(hr_coverage_field_new(b, links, 0, 0, sites, 4, 0.5, &field, NULL), HR_OK);
    assert_int_equal(field->grid.columns, 22);
    assert_int_equal(field->grid.rows, 10);
    check_near(field->grid.first.x, -0.25, 1e-12);
    size_t on_floor = 0, joined[4] = {0};
    hr_end end = hr_links_device_end(b, 0);
    for (size_t i = 0; i < field->grid.columns * field->grid.rows; i++) {
        double margin_db = 0.0;
        uint32_t site = 0;
        end.at = (hr_point){field->grid.first.x + 0.5 * (double)(i % field->grid.columns),
                            field->grid.first.y + 0.5 * (double)(i / field->grid.columns)};
        assert_int_equal(hr_coverage_margin_at(b, links, &work, &end, sites, 4, &margin_db, &site, NULL), HR_OK);
        check_near(field->margin_db[i], margin_db, 0.0);
        on_floor += field->on_floor[i];
        assert_int_equal(field->on_floor[i], hr_plan_space_at(b->storeys[0].plan, end.at) != HR_PLAN_NONE);
        assert_true(site < 4);
        joined[site]++;
    }
    assert_int_equal(on_floor, 160);
    assert_true(joined[1] > 0 && joined[2] > 0);
    hr_coverage_field_free(field);
    /* a gateway that is out of range is in nobody's reach: the first one from x = 6.5 m on */
    assert_int_equal(hr_coverage_field_new(b, links, 0, 0, sites, 1, 0.5, &field, NULL), HR_OK);
    for (size_t i = 0; i < field->grid.columns * field->grid.rows; i++) {
        const hr_point at = {field->grid.first.x + 0.5 * (double)(i % field->grid.columns),
                             field->grid.first.y + 0.5 * (double)(i / field->grid.columns)};
        const double dist_m = hypot(hypot(at.x + 24.0, at.y - 1.0), 2.1 - end.z_m);
        assert_int_equal(!isnan(field->margin_db[i]), dist_m <= 30.48);
    }
    hr_coverage_field_free(field);
    b->radio.max_slabs = 0;
    double margin_db = 0.0;
    uint32_t site = 0;
    assert_int_equal(hr_coverage_margin_at(b, links, &work, &end, sites + 3, 1, &margin_db, &site, NULL), HR_OK);
    assert_true(isnan(margin_db) && site == UINT32_MAX);
    assert_int_equal(hr_coverage_margin_at(b, links, &work, &end, sites, 0, &margin_db, NULL, NULL), HR_OK);
    assert_true(isnan(margin_db));
    assert_int_equal(hr_coverage_field_new(b, links, 2, 0, sites, 1, 0.5, &field, NULL), HR_ERR_ARGUMENT);
    assert_int_equal(hr_coverage_field_new(b, links, 0, 0, sites, 1, 0.01, &field, NULL), HR_ERR_ARGUMENT);
    hr_links_work_free(&work);
    hr_links_free(links);
    hr_building_free(b);
}

/* Two gateways about equally good: the closer one, though the other has a little more spare. */
static void test_field_joins_the_closest(void **state)
{
    (void)state;
    hr_building *b = property_made(ini, plan_svg);
    hr_links *links = NULL;
    hr_link_work work = {0};
    assert_int_equal(hr_links_new(b, &links, NULL), HR_OK);
    /* from the first room: the near one behind the wall of 5.5 dB, the far one in the open */
    const hr_site sites[2] = {{{1, 2}, 2.1, 0}, {{5.5, 2}, 2.1, 0}};
    uint32_t joined[2] = {UINT32_MAX, UINT32_MAX};
    hr_end end = hr_links_device_end(b, 0);
    for (int i = 0; i < 400; i++) {
        double margin_db = 0.0, spare_db[2], dist_m[2];
        uint32_t site = 0;
        end.at = (hr_point){0.5 + 0.0111 * i, 2.0 + 0.001 * i};
        for (size_t k = 0; k < 2; k++) {
            const hr_end gateway = hr_links_gateway_end(b, sites[k].at, sites[k].z_m);
            hr_link link;
            assert_int_equal(hr_links_measure(links, &work, &end, &gateway, &link, NULL), HR_OK);
            spare_db[k] = link.spare_db;
            dist_m[k] = link.distance_m;
        }
        const uint32_t best = spare_db[1] > spare_db[0], closest = dist_m[1] < dist_m[0];
        assert_int_equal(hr_coverage_margin_at(b, links, &work, &end, sites, 2, &margin_db, &site, NULL), HR_OK);
        assert_int_equal(site, fabs(spare_db[0] - spare_db[1]) <= 3.0 ? closest : best);
        joined[best != closest && site == closest] = site;
    }
    assert_true(joined[0] != UINT32_MAX && joined[1] != UINT32_MAX); /* both cases came up */
    hr_links_work_free(&work);
    hr_links_free(links);
    hr_building_free(b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_matrix_equals_single_links), cmocka_unit_test(test_progress_can_stop_it),
        cmocka_unit_test(test_area_of_a_storey),           cmocka_unit_test(test_field_of_a_storey),
        cmocka_unit_test(test_field_joins_the_closest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
