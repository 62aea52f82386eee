/*
 * test_measured.c - the models beside levels that others measured. The data
 * lie beside the source tree and are skipped, saying so, where they do not.
 *
 * Materials were fixed as brick before anything was compared; one offset is
 * free, since the transmit power is not published.
 *
 * SPDX-License-Identifier: MIT
 */
#include "links_tests.h"

#include <math.h>

#define FOLDER "/../shared/measurements/"

static hr_csv *read_table(const char *name)
{
    char path[600];
    const char *root = getenv("HR_SOURCE_ROOT");
    (void)snprintf(path, sizeof path, "%s%s%s", root == NULL ? "." : root, FOLDER, name);
    char *bytes = NULL;
    size_t len = 0;
    hr_csv *csv = NULL;
    if (hr_file_read(path, 1U << 20, &bytes, &len, NULL) != HR_OK) {
        print_message("# skipped: %s is not there\n", name);
        return NULL;
    }
    assert_int_equal(hr_csv_parse(name, bytes, len, &csv, NULL), HR_OK);
    hr_free(bytes);
    return csv;
}

static const char *cell(const hr_csv *csv, size_t row, const char *column)
{
    return hr_csv_cell(csv, row, hr_csv_column(csv, column));
}

static double number(const hr_csv *csv, size_t row, const char *column)
{
    double value = (double)NAN;
    return hr_number_parse(cell(csv, row, column), &value) ? value : (double)NAN;
}

/* ---- furnished flat, 2.4 GHz: Kolakowski 2021, doi 10.5281/zenodo.5457591 ---- */

#define ANCHORS 6

typedef struct flat {
    hr_text groups;
    hr_point at[ANCHORS];
    double z[ANCHORS];
} flat;

static void add_coordinates(hr_text *t, const hr_csv *csv, size_t row, const char *x, const char *y)
{
    hr_text_addf(t, "%s,%s", cell(csv, row, x), cell(csv, row, y));
}

/* Outer walls and the shaft two leaves of brick, inner walls (0.10-0.19 m) one; the outline is one room. */
static void draw_flat(const hr_csv *geometry, flat *f)
{
    hr_text outline = {0};
    for (size_t row = 0; row < hr_csv_rows(geometry); row++) {
        const char *kind = cell(geometry, row, "kind");
        if (strcmp(kind, "anchor") == 0) {
            const size_t anchor = (size_t)(cell(geometry, row, "id")[1] - '1');
            assert_true(anchor < ANCHORS);
            f->at[anchor] = (hr_point){number(geometry, row, "x1_m"), number(geometry, row, "y1_m")};
            f->z[anchor] = number(geometry, row, "z_m");
        } else if (strcmp(kind, "outline") == 0) {
            hr_text_add(&outline, outline.len == 0 ? "M" : "L");
            add_coordinates(&outline, geometry, row, "x1_m", "y1_m");
        } else {
            hr_text_addf(&f->groups, "<g inkscape:label=\"walls: %s\"><path stroke=\"#000\" d=\"M",
                         strcmp(kind, "wall_interior") == 0 ? "brick-100" : "brick-200");
            add_coordinates(&f->groups, geometry, row, "x1_m", "y1_m");
            hr_text_add(&f->groups, "L");
            add_coordinates(&f->groups, geometry, row, "x2_m", "y2_m");
            hr_text_add(&f->groups, "\"/></g>");
        }
    }
    hr_text_addf(&f->groups, "<g inkscape:label=\"rooms\"><path d=\"%sZ\"><title>flat</title></path></g>", outline.bytes);
    assert_false(f->groups.failed || outline.failed);
    hr_text_free(&outline);
}

/* Spread of measured + predicted loss about its mean. */
static double rmse_of(links_case *c, const flat *f, const hr_csv *levels)
{
    double n = 0.0, sum = 0.0, squares = 0.0;
    for (size_t row = 0; row < hr_csv_rows(levels); row++) {
        const size_t anchor = (size_t)(cell(levels, row, "anchor")[0] - '1');
        const hr_end tag = plain_end(number(levels, row, "x_m"), number(levels, row, "y_m"), number(levels, row, "z_m"));
        const hr_end receiver = plain_end(f->at[anchor].x, f->at[anchor].y, f->z[anchor]);
        const double left = number(levels, row, "rssi_dbm") + case_cross(c, tag, receiver).path_loss_db;
        n += 1.0;
        sum += left;
        squares += left * left;
    }
    return sqrt(squares / n - sum / n * (sum / n));
}

/* What each model gives, one offset free. Who changes the physics or a material changes these figures and the
 * table of the manual page hallreach-model, which is looked at below. */
static const struct {
    const char *name, *radio;
    double flat_rmse_db, office_rmse_db, office_worst_db;
    bool within_6_db; /* each link of the office */
} figures[] = {{"multi-wall", "", 5.33, 1.15, 1.63, true},
               {"multi-wall, wall_saturation = 0.5", "wall_saturation = 0.5\n", 4.52, 3.16, 5.69, true},
               {"routes", "model = routes\n", 4.94, 3.67, 6.62, false},
               {"site-general", "model = site-general\n", 6.09, 6.24, 10.15, false}};
#define FIGURES (sizeof figures / sizeof figures[0])
#define FIGURE_TOL_DB 0.006

static void the_manual_page_quotes_them(void **state)
{
    (void)state;
    char path[600];
    const char *root = getenv("HR_SOURCE_ROOT");
    (void)snprintf(path, sizeof path, "%s/cli/man/model.mdoc", root == NULL ? "." : root);
    char *page = NULL;
    size_t len = 0;
    assert_int_equal(hr_file_read(path, 1U << 20, &page, &len, NULL), HR_OK);
    for (size_t i = 0; i < FIGURES; i++) {
        char row[120];
        (void)snprintf(row, sizeof row, "%-34s %5.2f %9.2f %6.2f\n", figures[i].name, figures[i].flat_rmse_db,
                       figures[i].office_rmse_db, figures[i].office_worst_db);
        if (strstr(page, row) == NULL) {
            fail_msg("cli/man/model.mdoc has no line %s", row);
        }
        assert_int_equal(figures[i].within_6_db, figures[i].office_worst_db <= 6.0);
    }
    hr_free(page);
}

static void furnished_flat(void **state)
{
    (void)state;
    hr_csv *geometry = read_table("open_flat_geometry.csv"), *levels = read_table("open_flat_ble_rssi.csv");
    if (geometry == NULL || levels == NULL) {
        hr_csv_free(geometry);
        hr_csv_free(levels);
        print_message("# skipped: the measurements are not here\n"); /* not skip(): "not ok" in TAP */
        return;
    }
    flat f = {.groups = {0}};
    draw_flat(geometry, &f);
    print_message("# furnished flat, 2.44 GHz, %zu levels, one offset: RMSE in dB\n", hr_csv_rows(levels));
    for (size_t i = 0; i < FIGURES; i++) {
        char text[200];
        (void)snprintf(text, sizeof text, "frequency_mhz = 2440\n%s[storey 1]\nplan = plan.svg\n", figures[i].radio);
        links_case c = case_of(text, f.groups.bytes);
        const double rmse_db = rmse_of(&c, &f, levels);
        print_message("#   %-36s %.2f\n", figures[i].name, rmse_db);
        check_near(rmse_db, figures[i].flat_rmse_db, FIGURE_TOL_DB);
        case_done(&c);
    }
    print_message("#   (fitted to these levels: log-distance 6.06, with walls 4.71)\n");
    hr_text_free(&f.groups);
    hr_csv_free(geometry);
    hr_csv_free(levels);
}

/* One interior wall at 2.4 GHz: 3.42 dB, standard error 0.66, between a conference room and behind its
 * wall (MIT-LL/MITRE 2020, 31 pairs): light walls lose 2 to 6 dB in both families. */
static void one_interior_wall(void **state)
{
    (void)state;
    static const char *const walls[] = {"plasterboard", "framed-single", "framed-double", "corridor-wall", "brick-100"};
    static const char *const models[] = {"multi-wall", "routes"};
    for (size_t w = 0; w < sizeof walls / sizeof walls[0]; w++) {
        for (size_t m = 0; m < 2; m++) {
            char radio[200], groups[200];
            (void)snprintf(radio, sizeof radio, "frequency_mhz = 2440\nmodel = %s\n[storey 1]\nplan = plan.svg\n", models[m]);
            (void)snprintf(groups, sizeof groups,
                           "<g inkscape:label=\"walls: %s\"><path d=\"M1,-300V300\" stroke=\"#000\"/></g>", walls[w]);
            links_case c = case_of(radio, groups);
            const double loss = case_cross(&c, plain_end(0, 0, 1), plain_end(1.83, 0, 1)).wall_loss_db;
            if (!(loss >= 2.0 && loss <= 6.0)) {
                fail_msg("%s in %s: %.2f dB", walls[w], models[m], loss);
            }
            case_done(&c);
        }
    }
}

/* ---- office, 868 MHz: Obiri and Van Laerhoven 2025, doi 10.1109/ACCESS.2025.3569164 ---- */

/* Six links whose length and walls are known, their course is not: brick-200 and timber-wall, square on, one
 * after the other; which part of the way lies in rooms is not published: all of it. */
static double office_loss_db(const hr_csv *links, size_t row, const char *model)
{
    char radio[200];
    hr_text groups = {0};
    int x = 1;
    hr_text_add(&groups, "<g inkscape:label=\"rooms\"><rect x=\"0\" y=\"-5\" width=\"60\" height=\"10\">"
                         "<title>office</title></rect></g>");
    static const char *const columns[] = {"brick_concrete_walls", "wood_walls"}, *const materials[] = {"brick-200", "timber-wall"};
    for (int kind = 0; kind < 2; kind++) {
        for (int i = 0; i < (int)number(links, row, columns[kind]); i++) {
            hr_text_addf(&groups, "<g inkscape:label=\"walls: %s\"><path d=\"M%d,-300V300\" stroke=\"#000\"/></g>",
                         materials[kind], x++);
        }
    }
    (void)snprintf(radio, sizeof radio, "frequency_mhz = 868\n%s[storey 1]\nplan = plan.svg\n", model);
    assert_false(groups.failed);
    links_case c = case_of(radio, groups.bytes);
    const double loss_db =
        case_cross(&c, plain_end(0.5, 0, 1), plain_end(0.5 + number(links, row, "dist_m"), 0, 1)).path_loss_db;
    hr_text_free(&groups);
    case_done(&c);
    return loss_db;
}

/* Each link within 6 dB of the measured mean after one offset: the default model keeps that, with and without
 * saturation. Of the others the table says no, the manual page says so too, and their figures are held all the
 * same: a slab of brick by P.2040 loses 5 dB where 9 to 11 were measured, and site-general counts no walls.
 * The table's rows brick-200 and timber-wall stand on this very office, so that multi-wall is no blind check. */
static void office_links(void **state)
{
    (void)state;
    hr_csv *links = read_table("open_office_868_links.csv");
    if (links == NULL) {
        print_message("# skipped: the measurements are not here\n"); /* not skip(): "not ok" in TAP */
        return;
    }
    const size_t count = hr_csv_rows(links);
    assert_int_equal(count, 6);
    print_message("# office, 868 MHz, %zu links, one offset: RMSE and the worst link in dB\n", count);
    for (size_t m = 0; m < FIGURES; m++) {
        double left[6], mean = 0.0, squares = 0.0, worst = 0.0;
        for (size_t row = 0; row < count; row++) {
            left[row] = number(links, row, "mean_pl_db") - office_loss_db(links, row, figures[m].radio);
            mean += left[row] / (double)count;
        }
        for (size_t row = 0; row < count; row++) {
            squares += (left[row] - mean) * (left[row] - mean);
            worst = fmax(worst, fabs(left[row] - mean));
        }
        const double rmse = sqrt(squares / (double)count);
        print_message("#   %-36s %.2f %.2f%s\n", figures[m].name, rmse, worst, worst > 6.0 ? ", not within 6 dB" : "");
        check_near(rmse, figures[m].office_rmse_db, FIGURE_TOL_DB);
        check_near(worst, figures[m].office_worst_db, FIGURE_TOL_DB);
        assert_int_equal(worst <= 6.0, figures[m].within_6_db);
    }
    hr_csv_free(links);
}

const struct CMUnitTest measured_tests[] = {
    cmocka_unit_test(the_manual_page_quotes_them),
    cmocka_unit_test(furnished_flat),
    cmocka_unit_test(one_interior_wall),
    cmocka_unit_test(office_links),
};
const size_t measured_test_count = sizeof measured_tests / sizeof measured_tests[0];
