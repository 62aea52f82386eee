/*
 * flat.c - a furnished flat from its drawing to its predictions: walls drawn as
 * bodies, one drive's levels fitted, the section put into the property file,
 * another drive compared. The levels stand outside the project
 * (../shared/measurements); without them this test is skipped.
 *
 * Kolakowski, BLE RSS dataset for fingerprinting radio map calibration, 2021,
 * DOI 10.5281/zenodo.5457591; Sensors 2021, 21, 6270 (CC BY 4.0).
 *
 * SPDX-License-Identifier: MIT
 */
#define _GNU_SOURCE /* mkdtemp */
#include <stdlib.h>
#include <unistd.h>

#include "hr_limits.h"
#include "hr_report.h"
#include "readings_tests.h"

/* The published outline: what lies outside it is wall (even-odd: a frame with the flat cut out). The scale line
 * stands apart. In metres. */
#define OUTLINE                                                                                                        \
    "M0 0H1.93V.64H2.04V0H3.88V.6H4.05V0H6.22V1.93H4.05V1.42H3.88V1.74V2.12H6.27V4.82H6.37V4.19H9.07V7.1H2.7V2.07"     \
    "H2.05V1.74H1.61V2.07H1.52V2.18H2.58V7.1H0V2.18H.73V2.07H0Z"

static const char plan_head[] = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='-1 -1 12 12'>"
                                "<g data-name='scale: 10 m'><line x1='0' y1='9' x2='10' y2='9'/></g>";
static const char plan_bodies[] =
    "<g data-name='solids: flat-wall'><path fill-rule='evenodd' d='M-.4 -.4H9.5V7.5H-.4Z " OUTLINE "'/></g>";
/* Without walls, but for one that nothing crosses: a plan needs one. */
static const char plan_far_wall[] = "<g data-name='walls: flat-wall'><path d='M-1 8.5H10'/></g>";
static const char plan_tail[] = "<g data-name='rooms'><rect x='3' y='3' width='3' height='3'><title>flat</title></rect></g></svg>";

/* Material and power of the tag are not published: a light wall as the tables have it, 0 dBm. */
static const char property[] = "[property]\nname = Furnished flat\nlength_unit = m\n[radio]\nfrequency_mhz = 2440\n"
                               "[material flat-wall]\nloss_db = 4\nspread_db = 2\n"
                               "[gateway]\nantenna_gain_dbi = 0\n"
                               "[device wall]\npower = battery\nrelays = no\ntx_power_dbm = 0\nmount_height = 1.3\n"
                               "[storey 1]\nplan = plan.svg\n";

/* Receivers. */
static const char receivers[] = "# length_unit = m\nid,storey,x,y,mount_height\nA1,1,5.48,2.41,2.08\nA2,1,0.79,6.75,2.62\n"
                                "A3,1,3.03,0.14,2.38\nA4,1,3.79,7.06,1.85\nA5,1,5.99,0.43,2.31\nA6,1,8.66,6.59,2.41\n";

static hr_csv *open_levels(void)
{
    const char *root = getenv("HR_SOURCE_ROOT");
    char path[800], *bytes = NULL;
    size_t len = 0;
    (void)snprintf(path, sizeof path, "%s/../shared/measurements/open_flat_ble_rssi.csv", root == NULL ? "." : root);
    hr_csv *csv = NULL;
    if (hr_file_read(path, HR_MAX_FILE_BYTES, &bytes, &len, NULL) != HR_OK) {
        print_message("# skipped: the flat's levels are not here\n");
        return NULL;
    }
    assert_int_equal(hr_csv_parse(path, bytes, len, &csv, NULL), HR_OK);
    hr_free(bytes);
    return csv;
}

/* One drive as a list of readings, points as they were measured; *walls: the published count of each. */
static void drive(const hr_csv *csv, const char *path, hr_text *list_text)
{
    hr_text_add(list_text, "# length_unit = m\nto,rssi_dbm,storey,x,y,mount_height,kind\n");
    for (size_t i = 0; i < hr_csv_rows(csv); i++) {
        if (strcmp(hr_csv_cell(csv, i, hr_csv_column(csv, "path")), path) == 0) {
            hr_text_addf(list_text, "A%s,%s,1,%s,%s,%s,wall\n", hr_csv_cell(csv, i, hr_csv_column(csv, "anchor")),
                         hr_csv_cell(csv, i, hr_csv_column(csv, "rssi_dbm")), hr_csv_cell(csv, i, hr_csv_column(csv, "x_m")),
                         hr_csv_cell(csv, i, hr_csv_column(csv, "y_m")), hr_csv_cell(csv, i, hr_csv_column(csv, "z_m")));
        }
    }
}

static made flat(const char *folder, bool walls, const char *set, const char *more)
{
    char path[64], file[64];
    hr_text svg = {0}, text = {0};
    made m = {.notes = hr_notes_new()};
    hr_error err = {0};
    hr_text_addf(&svg, "%s%s%s", plan_head, walls ? plan_bodies : plan_far_wall, plan_tail);
    hr_text_addf(&text, "%s%s", property, more);
    (void)snprintf(path, sizeof path, "%s/plan.svg", folder);
    (void)snprintf(file, sizeof file, "%s/flat.ini", folder);
    assert_int_equal(hr_file_write(path, svg.bytes, svg.len, NULL), HR_OK);
    if (hr_building_parse(file, text.bytes, text.len, &(hr_building_options){.sets = &set, .set_count = set != NULL}, m.notes, &m.b, &err) != HR_OK ||
        hr_building_parse_gateways(m.b, "receivers", receivers, strlen(receivers), m.notes, &err) != HR_OK ||
        hr_links_new(m.b, &m.links, &err) != HR_OK) {
        fail_msg("line %d: %s", err.line, err.text);
    }
    (void)unlink(path);
    hr_text_free(&svg);
    hr_text_free(&text);
    return m;
}

/* Drive 1 fitted, drive 3 predicted with the section that the fit prints; set: a key of its own, or NULL. */
static double predicted_rmse(const char *folder, const hr_csv *csv, bool walls, const char *set)
{
    hr_text first = {0}, third = {0}, section = {0};
    drive(csv, "1", &first);
    drive(csv, "3", &third);
    made before = flat(folder, walls, set, "");
    hr_readings *r = list(&before, first.bytes);
    assert_int_equal(r->fault_count, 0);
    hr_fit *fit = NULL;
    assert_int_equal(hr_diagnosis_fit(r, before.links, &fit, NULL), HR_OK);
    assert_int_equal(hr_report_fit_ini(fit, &section, NULL), HR_OK);
    made after = flat(folder, walls, set, section.bytes);
    hr_readings *later = list(&after, third.bytes);
    assert_int_equal(later->fault_count, 0);
    hr_comparison *c = NULL;
    assert_int_equal(hr_readings_compare(later, after.links, &c, NULL), HR_OK);
    const double rmse_db = c->rmse_db;
    print_message("# walls %s, %sdrive 1: n %.2f, offset %.1f, wall %.2f dB, %.2f dB; drive 3 (%zu levels): %.2f dB\n",
                  walls ? "as bodies" : "left out", set == NULL ? "" : "saturation 0.5, ", fit->exponent.value,
                  fit->offset.value, walls ? fit->materials[0].estimate.value : 0.0, fit->rmse_db, c->count, rmse_db);
    hr_comparison_free(c);
    hr_readings_free(later);
    drop(&after);
    hr_fit_free(fit);
    hr_readings_free(r);
    drop(&before);
    hr_text_free(&first);
    hr_text_free(&third);
    hr_text_free(&section);
    return rmse_db;
}

void flat_from_its_drawing(void **state)
{
    (void)state;
    hr_csv *csv = open_levels();
    if (csv == NULL) {
        return;
    }
    char folder[] = "/tmp/hr-flat-XXXXXX";
    assert_non_null(mkdtemp(folder));
    const double none_db = predicted_rmse(folder, csv, false, NULL);
    const double added_db = predicted_rmse(folder, csv, true, NULL);
    const double saturated_db = predicted_rmse(folder, csv, true, "radio.wall_saturation=0.5");
    (void)rmdir(folder);
    hr_csv_free(csv);
    assert_true(added_db <= 5.4 && none_db - added_db >= 1.0);
    assert_true(saturated_db <= 5.2 && none_db - saturated_db >= 1.0);
}
