/*
 * test_mesh.c - hops over relays, recomputed by a search of its own over
 * links measured here one by one.
 *
 * SPDX-License-Identifier: MIT
 */
#include "support.h"

#include "hr_links.h"

#define RELAYS "[device wall]\npower = mains\nrelays = yes\n"
#define SHORT_RANGE "range_limit = 9\nmax_slabs = 0\n"

/* Every link of the building measured by itself: gateways x devices, devices x devices. */
typedef struct measured {
    size_t devices, gateways;
    uint8_t *entry, *link;
} measured;

static void measure(const hr_building *b, const hr_siting *s, measured *m)
{
    hr_links *links = NULL;
    hr_link_work work = {0};
    hr_link link;
    assert_int_equal(hr_links_new(b, &links, NULL), HR_OK);
    *m = (measured){b->device_count, s->gateway_count, hr_alloc_zero(s->gateway_count, b->device_count),
                    hr_alloc_zero(b->device_count, b->device_count)};
    for (uint32_t d = 0; d < b->device_count; d++) {
        const hr_end end = hr_links_device_end(b, d);
        for (size_t g = 0; g < s->gateway_count; g++) {
            const hr_end far = hr_links_gateway_end(b, s->gateways[g].at, s->gateways[g].z_m);
            assert_int_equal(hr_links_measure(links, &work, &end, &far, &link, NULL), HR_OK);
            m->entry[g * m->devices + d] = link.spare_db >= 0.0 && link.distance_m <= b->radio.range_limit_m &&
                                           (long)link.slabs <= b->radio.max_slabs;
        }
        for (uint32_t e = 0; e < d; e++) {
            const hr_end far = hr_links_device_end(b, e);
            assert_int_equal(hr_links_measure(links, &work, &end, &far, &link, NULL), HR_OK);
            m->link[d * m->devices + e] = m->link[e * m->devices + d] = link.spare_db >= 0.0;
        }
    }
    hr_links_work_free(&work);
    hr_links_free(links);
}

static void forget(measured *m)
{
    hr_free(m->entry);
    hr_free(m->link);
}

/* Fewest hops of every device from any gateway, by rounds; `dead` neither sends nor passes on. */
static void search(const measured *m, const hr_building *b, size_t dead, unsigned *hops)
{
    for (size_t d = 0; d < m->devices; d++) {
        hops[d] = 0;
        for (size_t g = 0; g < m->gateways && d != dead; g++) {
            hops[d] = m->entry[g * m->devices + d] ? 1 : hops[d];
        }
    }
    for (unsigned round = 2; round <= (unsigned)b->radio.max_hops; round++) {
        for (size_t d = 0; d < m->devices; d++) {
            for (size_t e = 0; e < m->devices && hops[d] == 0 && d != dead; e++) {
                if (hops[e] == round - 1 && m->link[d * m->devices + e] && b->kinds[b->devices[e].kind].relays) {
                    hops[d] = round;
                }
            }
        }
    }
}

static void check_ways(const hr_building *b, const hr_siting *s, const measured *m)
{
    for (uint32_t d = 0; d < s->device_count; d++) {
        const hr_device_row *row = &s->devices[d];
        if (!row->served) {
            continue;
        }
        if (row->via == HR_SITING_NONE) {
            assert_int_equal(row->hops, 1);
            assert_true(m->entry[row->gateway * m->devices + d]);
            continue;
        }
        const hr_device_row *up = &s->devices[row->via];
        assert_int_equal(row->hops, up->hops + 1);
        assert_true(row->hops <= (unsigned)b->radio.max_hops);
        assert_true(m->link[row->via * m->devices + d]);
        assert_true(b->kinds[b->devices[row->via].kind].relays);
        assert_int_equal(row->gateway, up->gateway);
        assert_int_equal(row->within_range, -1);
        check_near(row->reliability, row->link.reliability * up->reliability, 1e-12);
        check_near(row->spare_db, fmin(row->link.spare_db, up->spare_db), 1e-9);
    }
}

static void test_hops_by_a_search_of_its_own(void **state)
{
    (void)state;
    for (int hops = 1; hops <= 5; hops++) {
        char ini[600];
        (void)snprintf(ini, sizeof ini, INI(SHORT_RANGE "minimum_margin_db = 50\nfirst_devices = 1\nmax_hops = %d\n", RELAYS), hops);
        hr_text svg = {0};
        corridor_plan(&svg, 14, false,
                      "<g inkscape:label=\"gateways\"><circle cx=\"10\" cy=\"-1\" r=\"0.1\"><title>GA</title></circle></g>\n");
        hr_building *b = property_made(ini, svg.bytes);
        hr_siting *s = rooms_with(b, NULL);
        measured m;
        measure(b, s, &m);
        unsigned *fewest = hr_alloc(m.devices, sizeof *fewest);
        search(&m, b, SIZE_MAX, fewest);
        size_t reached = 0;
        for (size_t d = 0; d < m.devices; d++) {
            assert_int_equal(s->devices[d].served, fewest[d] > 0);
            assert_true(!s->devices[d].served || s->devices[d].hops >= fewest[d]);
            reached += fewest[d] > 0;
        }
        check_ways(b, s, &m);
        assert_true(hops == 1 ? reached < 8 : reached > 4); /* the row is longer than one hop, and hops reach farther */
        hr_free(fewest);
        forget(&m);
        hr_siting_free(s);
        hr_building_free(b);
        hr_text_free(&svg);
    }
}

static void test_sole_relays_by_removal(void **state)
{
    (void)state;
    hr_text svg = {0};
    corridor_plan(&svg, 12, false,
                  "<g inkscape:label=\"gateways\"><circle cx=\"10\" cy=\"-1\" r=\"0.1\"><title>GA</title></circle></g>\n");
    hr_building *b = property_made(INI(SHORT_RANGE "minimum_margin_db = 52\nfirst_devices = 1\nmax_hops = 4\n", RELAYS), svg.bytes);
    hr_siting *s = rooms_with(b, NULL);
    measured m;
    measure(b, s, &m);
    unsigned *whole = hr_alloc(m.devices, sizeof *whole), *left = hr_alloc(m.devices, sizeof *left);
    search(&m, b, SIZE_MAX, whole);
    size_t found = 0;
    for (size_t dead = 0; dead < m.devices; dead++) {
        size_t lost = 0, said = 0;
        search(&m, b, dead, left);
        for (size_t d = 0; d < m.devices; d++) {
            lost += d != dead && whole[d] > 0 && left[d] == 0;
        }
        for (size_t i = 0; i < s->sole_relay_count; i++) {
            said = s->sole_relays[i].device == dead ? s->sole_relays[i].cut_off : said;
        }
        assert_int_equal(said, lost);
        found += lost > 0;
    }
    assert_true(found > 0);
    assert_int_equal(found, s->sole_relay_count);
    hr_free(whole);
    hr_free(left);
    forget(&m);
    hr_siting_free(s);
    hr_building_free(b);
    hr_text_free(&svg);
}

/* A repeated storey's links are taken over from the storey below: the same as each measured. */
static void test_repeated_storeys(void **state)
{
    (void)state;
    hr_text svg = {0};
    corridor_plan(&svg, 6, false,
                  "<g inkscape:label=\"gateways\"><circle cx=\"10\" cy=\"-1\" r=\"0.1\"><title>GA</title></circle></g>\n");
    hr_building *b = property_made("[property]\nname = Tower\nlength_unit = m\n[radio]\nfrequency_mhz = 868\nrange_limit = 9\n"
                                   "max_slabs = 0\nmax_hops = 3\nminimum_margin_db = 30\nfirst_devices = 1\n" RELAYS
                                   "[storey 1]\nplan = plan.svg\nfloor_to_floor = 4.3\n[storey 2-6]\nplan = plan.svg\n"
                                   "floor_to_floor = 3.1\n",
                                   svg.bytes);
    b->gateway_count = 1; /* one gateway at the bottom: the storeys above hang on relays across slabs */
    hr_siting *s = rooms_with(b, NULL);
    measured m;
    measure(b, s, &m);
    unsigned *fewest = hr_alloc(m.devices, sizeof *fewest);
    search(&m, b, SIZE_MAX, fewest);
    size_t up = 0;
    for (size_t d = 0; d < m.devices; d++) {
        assert_int_equal(s->devices[d].served, fewest[d] > 0);
        up += s->devices[d].served && b->devices[d].storey > 0;
    }
    assert_true(up > 6 && s->served_devices < s->device_count);
    check_ways(b, s, &m);
    hr_free(fewest);
    forget(&m);
    hr_siting_free(s);
    hr_building_free(b);
    hr_text_free(&svg);
}

static void test_drawing_order_changes_no_mesh(void **state)
{
    (void)state;
    hr_text one = {0}, other = {0};
    corridor_plan(&one, 21, false, "");
    corridor_plan(&other, 21, true, "");
    static const char ini[] = INI(SHORT_RANGE "minimum_margin_db = 50\nfirst_devices = 1\nmax_hops = 3\n", RELAYS);
    hr_building *a = property_made(ini, one.bytes), *b = property_made(ini, other.bytes);
    hr_siting *sa = placed_with(a, NULL), *sb = placed_with(b, NULL);
    assert_int_equal(sa->gateway_count, sb->gateway_count);
    assert_true(sa->gateway_count > 1);
    for (size_t g = 0; g < sa->gateway_count; g++) {
        assert_true(sa->gateways[g].at.x == sb->gateways[g].at.x && sa->gateways[g].at.y == sb->gateways[g].at.y);
        assert_int_equal(sa->gateways[g].devices, sb->gateways[g].devices);
    }
    hr_siting_free(sa);
    hr_siting_free(sb);
    hr_building_free(a);
    hr_building_free(b);
    hr_text_free(&one);
    hr_text_free(&other);
}

const struct CMUnitTest mesh_tests[] = {
    cmocka_unit_test(test_hops_by_a_search_of_its_own),
    cmocka_unit_test(test_sole_relays_by_removal),
    cmocka_unit_test(test_repeated_storeys),
    cmocka_unit_test(test_drawing_order_changes_no_mesh),
};
const size_t mesh_test_count = sizeof mesh_tests / sizeof mesh_tests[0];
