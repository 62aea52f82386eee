/*
 * support.c - small properties for the tests of this program.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_tests.h"

static const hr_terminal plain_radio = {.tx_power_dbm = 10.0, .sensitivity_dbm = -100.0};

hr_end plain_end(double x, double y, double z)
{
    return (hr_end){.at = {x, y}, .z_m = z, .radio = &plain_radio};
}

links_case case_of(const char *radio_and_rest, const char *groups)
{
    hr_text ini = {0}, svg = {0};
    hr_text_addf(&ini, "[property]\nname = Made\nlength_unit = m\n[radio]\n%s", radio_and_rest);
    hr_text_addf(&svg, PROPERTY_HEAD "<g inkscape:label=\"rooms\"><rect x=\"-90\" y=\"-90\" width=\"1\" height=\"1\">"
                                     "<title>1</title></rect></g>\n<g inkscape:label=\"walls: glass\"><path "
                                     "d=\"M-90,-80H-89\" stroke=\"#000\"/></g>\n%s</svg>\n",
                 groups);
    assert_false(ini.failed || svg.failed);
    links_case c = {.building = property_made(ini.bytes, svg.bytes)};
    hr_text_free(&ini);
    hr_text_free(&svg);
    hr_error err = {.status = HR_OK};
    if (hr_links_new(c.building, &c.links, &err) != HR_OK) {
        fail_msg("%s", err.text);
    }
    return c;
}

void case_done(links_case *c)
{
    hr_links_work_free(&c->work);
    hr_links_free(c->links);
    hr_building_free(c->building);
}

/* Both ways round: symmetric to the bit. */
hr_link case_cross(links_case *c, hr_end a, hr_end b)
{
    hr_link there, back;
    assert_int_equal(hr_links_cross(c->links, &c->work, &b, &a, &back, NULL), HR_OK);
    assert_int_equal(hr_links_cross(c->links, &c->work, &a, &b, &there, NULL), HR_OK);
    assert_true(memcmp(&there.path_loss_db, &back.path_loss_db, sizeof there.path_loss_db) == 0);
    return there;
}

hr_link case_measure(links_case *c, hr_end child, hr_end parent)
{
    hr_link link;
    assert_int_equal(hr_links_measure(c->links, &c->work, &child, &parent, &link, NULL), HR_OK);
    return link;
}
