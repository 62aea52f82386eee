/*
 * test_analytic.c - counts that geometry alone decides: a hard range limit, no
 * losses, spots everywhere.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_tests.h"

#define STEP_UP 1.5 /* gateways hang so much higher than devices, metres */

/* One storey of cells, a device in the middle of each; spots on a grid over the devices; walls that lose nothing. */
static void cells_plan(hr_text *t, int across, int down, double cell_m, int spots_across, int spots_down, double spot_m)
{
    hr_text_add(t, PROPERTY_HEAD "<g inkscape:label=\"walls: nothing\" stroke=\"#000\" fill=\"none\"><rect x=\"0\" y=\"0\" width=\"");
    hr_text_fixed(t, across * cell_m, 3);
    hr_text_add(t, "\" height=\"");
    hr_text_fixed(t, down * cell_m, 3);
    hr_text_add(t, "\"/></g>\n<g inkscape:label=\"rooms\">\n");
    for (int i = 0; i < across * down; i++) {
        hr_text_add(t, "<rect x=\"");
        hr_text_fixed(t, (i % across) * cell_m, 3);
        hr_text_add(t, "\" y=\"");
        hr_text_fixed(t, (i / across) * cell_m, 3);
        hr_text_add(t, "\" width=\"");
        hr_text_fixed(t, cell_m, 3);
        hr_text_add(t, "\" height=\"");
        hr_text_fixed(t, cell_m, 3);
        hr_text_addf(t, "\"><title>%d</title></rect>\n", i + 1);
    }
    hr_text_add(t, "</g>\n<g inkscape:label=\"spots\">\n");
    for (int i = 0; i < spots_across * spots_down; i++) {
        hr_text_add(t, "<circle r=\"0.01\" cx=\"");
        hr_text_fixed(t, cell_m / 2.0 + (i % spots_across) * spot_m, 3);
        hr_text_add(t, "\" cy=\"");
        hr_text_fixed(t, cell_m / 2.0 + (i / spots_across) * spot_m, 3);
        hr_text_add(t, "\"/>\n");
    }
    hr_text_add(t, "</g></svg>\n");
}

/* Gateways for a horizontal range; the limit itself is in space. */
static size_t count_for(const char *svg, double range_m)
{
    char ini[900], limit[HR_FIXED_MAX];
    (void)snprintf(ini, sizeof ini,
                   "[property]\nname = cells\nlength_unit = m\n[radio]\nfrequency_mhz = 868\nrange_limit = %s\nfirst_devices = 0\n"
                   "[gateway]\nmount_height = 2.7\ncapacity = 100000\n"
                   "[device wall]\nmount_height = 1.2\npower = battery\nrelays = no\n"
                   "[material nothing]\nloss_db = 0\n[storey 1]\nplan = plan.svg\n"
                   "[estimate]\nwall_spread = 0\nslab_spread = 0\nexponent_spread = 0\nplace_spread = 0\ndetour_spread = 0\n"
                   "spot_loss = 0\nsize_spread = 0\ndraws = 1\n",
                   hr_short(hypot(range_m, STEP_UP), 6, limit));
    hr_building *b = property_made(ini, svg);
    const hr_estimate_options options = {.brief = true};
    hr_estimate *e = estimate_of(b, &options);
    const size_t count = e->p50;
    assert_int_equal(e->p10, e->p90);
    assert_int_equal(e->unreached_nominal, 0);
    hr_estimate_free(e);
    hr_building_free(b);
    return count;
}

/*
 * A corridor of length L takes L / 2r gateways, rounded up. With spots every
 * 2 m a gateway stands at most 1 m off: a range of r + 1 m surely does with
 * as many as r does where every place is free.
 */
void test_corridor(void **state)
{
    (void)state;
    static const struct {
        int length_m;
        double range_m;
    } cases[] = {{20, 10.0}, {40, 10.0}, {60, 10.0}, {61, 10.0}, {90, 15.0}, {100, 12.5}, {120, 30.0}, {47, 5.875}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        hr_text svg = {0};
        /* devices every metre from end to end, spots every two */
        cells_plan(&svg, cases[i].length_m + 1, 1, 1.0, cases[i].length_m / 2 + 1, 1, 2.0);
        const double r = cases[i].range_m;
        const size_t exact = (size_t)ceil(cases[i].length_m / (2.0 * r));
        assert_true(count_for(svg.bytes, r + 1.0) <= exact);
        /* devices stand 1 m apart: gateways that reach them all, with half a metre more reach all between */
        assert_true(count_for(svg.bytes, r - 0.501) >= exact);
        const size_t mid = count_for(svg.bytes, r);
        assert_true(mid >= exact && mid <= (size_t)ceil(cases[i].length_m / (2.0 * (r - 1.0))));
        hr_text_free(&svg);
    }
}

/*
 * Smallest radius with which n discs cover a square of side 1. A. Heppes and
 * J. B. M. Melissen, Covering a rectangle with equal circles, Periodica
 * Mathematica Hungarica 34 (1997) 65-81 (from memory): n = 1 to 5 and 7.
 */
void test_discs(void **state)
{
    (void)state;
    static const struct {
        size_t discs;
        double radius;
    } cases[] = {{1, 0.70710678}, {2, 0.55901699}, {3, 0.50389111}, {4, 0.35355339}, {5, 0.32616054}, {7, 0.27429188}};
    enum { CELLS = 20, SPOTS = 58 };
    const double cell_m = 3.0, side_m = (CELLS - 1) * cell_m; /* from the first device to the last: 57 m */
    hr_text svg = {0};
    cells_plan(&svg, CELLS, CELLS, cell_m, SPOTS, SPOTS, 1.0);
    for (size_t i = 0; i < (CHECK_IS_SLOW ? 2 : sizeof cases / sizeof cases[0]); i++) {
        const double radius_m = cases[i].radius * side_m;
        const size_t count = count_for(svg.bytes, 1.02 * radius_m);
        if (count > cases[i].discs) {
            fail_msg("%zu gateways in place of %zu discs", count, cases[i].discs);
        }
        /* what covers all devices covers the square with half a cell's diagonal more: as many discs are needed
         * as long as that stays below the published radius */
        const size_t fewer = count_for(svg.bytes, radius_m - cell_m * 0.70711 - 0.01);
        assert_true(fewer > cases[i].discs);
    }
    hr_text_free(&svg);
}
