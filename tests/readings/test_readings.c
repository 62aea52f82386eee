/*
 * test_readings.c - lists matched to a small building, measured beside
 * predicted, and the building's terms fitted.
 *
 * SPDX-License-Identifier: MIT
 */
#define _GNU_SOURCE /* mkdtemp */
#include <stdlib.h>
#include <unistd.h>

#include "hr_stats.h"
#include "readings_tests.h"

/* Six rooms of 5 x 4 m along one wall each, one gateway at the far left, one at the right; two storeys. */
static const char plan[] =
    "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 30 10'>"
    "<g data-name='scale: 10 m'><line x1='0' y1='9' x2='10' y2='9'/></g>"
    "<g data-name='walls: brick-100'><path d='M5 0V4 M15 0V4 M25 0V4'/></g>"
    "<g data-name='walls: plasterboard'><path d='M10 0V4 M20 0V4 M0 4H30'/></g>"
    "<g data-name='gateways'><circle cx='0.5' cy='2' r='0.1'><title>GWA</title></circle>"
    "<circle cx='29.5' cy='2' r='0.1'><title>GWB</title></circle></g>"
    "<g data-name='devices: wall'><circle cx='2.5' cy='1' r='.1'/><circle cx='7.5' cy='1' r='.1'/>"
    "<circle cx='12.5' cy='1' r='.1'/><circle cx='17.5' cy='1' r='.1'/><circle cx='22.5' cy='1' r='.1'/></g>"
    "<g data-name='rooms'><rect width='5' height='4'><title>01</title></rect>"
    "<rect x='5' width='5' height='4'><title>02</title></rect><rect x='10' width='5' height='4'><title>03</title></rect>"
    "<rect x='15' width='5' height='4'><title>04</title></rect><rect x='20' width='5' height='4'><title>05</title></rect></g></svg>";

static const char property[] = "[property]\nname = Test\nlength_unit = m\n[radio]\nfrequency_mhz = 915\n"
                               "[gateway]\ntx_power_dbm = 14\nmount_height = 1.2\n"
                               "[device wall]\npower = battery\nrelays = no\ntx_power_dbm = 10\n"
                               "[storey 1-2]\nplan = plan.svg\n";

made make(const char *more)
{
    char folder[] = "/tmp/hr-readings-XXXXXX", path[64], file[64], text[2048];
    made m = {.notes = hr_notes_new()};
    hr_error err = {0};
    assert_non_null(mkdtemp(folder));
    (void)snprintf(path, sizeof path, "%s/plan.svg", folder);
    (void)snprintf(file, sizeof file, "%s/test.ini", folder);
    (void)snprintf(text, sizeof text, "%s%s", property, more);
    assert_int_equal(hr_file_write(path, plan, strlen(plan), NULL), HR_OK);
    if (hr_building_parse(file, text, strlen(text), NULL, NULL, &m.b, &err) != HR_OK ||
        hr_links_new(m.b, &m.links, &err) != HR_OK) {
        fail_msg("line %d: %s", err.line, err.text);
    }
    (void)unlink(path);
    (void)rmdir(folder);
    return m;
}

void drop(made *m)
{
    hr_links_free(m->links);
    hr_building_free(m->b);
    hr_notes_free(m->notes);
}

hr_readings *list(made *m, const char *text)
{
    hr_readings *readings = NULL;
    hr_error err = {0};
    if (hr_readings_parse(m->b, "list.csv", text, strlen(text), m->notes, &readings, &err) != HR_OK) {
        fail_msg("%d: %s", err.line, err.text);
    }
    return readings;
}

static void refuse(made *m, const char *text, hr_status status, const char *words)
{
    hr_readings *readings = NULL;
    hr_error err = {0};
    assert_int_equal(hr_readings_parse(m->b, "list.csv", text, strlen(text), m->notes, &readings, &err), status);
    assert_null(readings);
    if (strstr(err.text, words) == NULL) {
        fail_msg("'%s' was expected in '%s'", words, err.text);
    }
}

static double predicted(const made *m, const hr_readings *readings, size_t index)
{
    hr_link_work work = {0};
    hr_link link;
    double level = 0.0;
    assert_int_equal(hr_readings_predict(readings, m->links, &work, index, &link, &level, NULL), HR_OK);
    hr_links_work_free(&work);
    return level;
}

static void ends_are_found(void **state)
{
    (void)state;
    made m = make("");
    hr_readings *r = list(&m, "\xEF\xBB\xBF# length_unit = m\r\nrssi_dbm,to,from,hour,threshold_dbm\r\n"
                              "-60,GWA@1,101,9,\r\n-61.5,gwb@2,102/wall,9,-90\r\n,GWB@1,\"103\",9,-95\r\n");
    assert_int_equal(r->count, 3);
    assert_int_equal(r->heard, 2);
    assert_int_equal(r->fault_count, 0);
    assert_string_equal(r->items[0].from.name, "101/wall");
    assert_string_equal(r->items[0].to.name, "GWA@1");
    assert_int_equal(r->items[0].line, 3);
    check_near(r->items[0].threshold_dbm, -100.0, 0.0); /* the gateway's sensitivity */
    check_near(r->items[1].threshold_dbm, -90.0, 0.0);
    assert_int_equal(r->items[1].to.storey, 1);
    assert_false(r->items[2].heard);
    assert_string_equal(m.b->rooms[hr_readings_room(r, 2)].name, "103");
    hr_readings_free(r);
    /* the old style is the room's device as measured at the gateway */
    r = list(&m, "gateway,room,rssi_dbm\nGWA@1,101,-60\n");
    assert_string_equal(r->items[0].from.name, "101/wall");
    assert_string_equal(r->items[0].to.name, "GWA@1");
    hr_readings_free(r);
    /* a point at either end */
    r = list(&m, "from,to,rssi_dbm,storey,x,y,mount_height,kind\n,GWA@1,-60,1,2.5,1,1.2,wall\nGWA@1,,-60,1,2.5,1,,gateway\n");
    assert_int_equal(r->count, 2);
    assert_true(r->items[0].from.point && r->items[1].to.point);
    check_near(hr_readings_place(r, 1)->end.at.x, 2.5, 0.0);
    assert_int_equal(hr_readings_room(r, 0), HR_READINGS_NONE);
    hr_readings_free(r);
    drop(&m);
}

static void bad_rows_leave_the_rest(void **state)
{
    (void)state;
    made m = make("");
    hr_readings *r = list(&m, "from,to,rssi_dbm,threshold_dbm,storey,x,y,kind\n"
                              "101,GWA@1,-60,,,,,\n"       /* good, in metres for want of a word */
                              "101,GWX,-60,,,,,\n"         /* no such gateway */
                              "101,GWA@1,-6O,,,,,\n"       /* a letter */
                              "101,GWA@1,60,,,,,\n"        /* sign lost */
                              "101,GWA@1,-60\n"            /* cells missing */
                              "\"101,GWA@1,-60,,,,,\n"     /* a stray quote */
                              ",,-60,,,,,\n"               /* nobody */
                              "101,,-60,,,,,\n"            /* one end */
                              "101,,-60,,1,2,1e7,wall\n"  /* out of the world */
                              "101,,-60,,9,2,3,wall\n"     /* no such storey */
                              "101,,-60,,1,2,3,lamp\n"     /* no such kind */
                              "101,,-60,,1,2,x,wall\n"     /* no number */
                              "101,101/wall,-60,,,,,\n"    /* to itself */
                              ",,,,,,,\n"                  /* an empty row of a spreadsheet */
                              "102,GWA@1,-70,low,,,,\n"    /* threshold */
                              "102,GWA@1,-70,,,,,");       /* good, no line end */
    assert_int_equal(r->count, 2);
    assert_int_equal(r->items[1].line, 17);
    static const int lines[] = {3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 16};
    assert_int_equal(r->fault_count, sizeof lines / sizeof lines[0]);
    assert_int_equal(hr_notes_count(m.notes), 1 + r->fault_count);
    for (size_t i = 0; i < r->fault_count; i++) {
        assert_int_equal(r->faults[i].line, lines[i]);
        assert_true(r->faults[i].text[0] != '\0');
    }
    hr_readings_free(r);
    refuse(&m, "", HR_ERR_INPUT, "empty list");
    refuse(&m, "# length_unit = ft\nfrom,to,rssi_dbm\n", HR_ERR_INPUT, "one unit was expected");
    refuse(&m, "# length_unit = yd\nfrom,to,rssi_dbm\n", HR_ERR_INPUT, "m or ft was expected");
    refuse(&m, "from,to,level\n101,GWA@1,-60\n", HR_ERR_INPUT, "rssi_dbm");
    refuse(&m, "room,rssi_dbm\n101,-60\n", HR_ERR_INPUT, "gateway, room");
    drop(&m);
}

/* Lists as spreadsheets write them: their separators, decimal commas, quotes, columns and empty rows. */
static void spreadsheets_are_read(void **state)
{
    (void)state;
    made m = make("");
    static const char *const lists[] = {
        "\xEF\xBB\xBF\"# length_unit = m, typed by hand\";;;;\r\n;;;;\r\nRSSI_dBm;From;To;Remark;\r\n-60,5;101;GWA@1;\"two\r\nlines; here\";\r\n;;;;\r\n\"# afternoon; rain\";;;;\r\n-70;102;GWA@1;12\" duct;\r\n;103;GWB@1;\"\";\r\n",
        "rssi_dbm\tfrom\tto\tremark\t\n-60.5\t101\tGWA@1\t\"two\nlines\"\t\n-70\t102\tGWA@1\t12\" duct\t\n\t103\tGWB@1\t\t\n",
        "sep=;\nRSSI (dBm);From:;\"To \";remark;\n-60,5;101;GWA@1;;\n-70;102;GWA@1;12\" duct;\n;103;GWB@1;;\n",
    };
    for (size_t i = 0; i < sizeof lists / sizeof lists[0]; i++) {
        hr_readings *r = list(&m, lists[i]);
        assert_int_equal(r->count, 2);
        assert_int_equal(r->fault_count, 1); /* the quote inside a plain cell */
        check_near(r->items[0].rssi_dbm, -60.5, 0.0);
        assert_false(r->items[1].heard);
        assert_string_equal(r->items[1].from.name, "103/wall");
        hr_readings_free(r);
    }
    /* lines count through quoted line ends; a quote that never closes costs its own line only */
    hr_readings *r = list(&m, "from,to,rssi_dbm,note\n101,GWA@1,-60,\"a\nb\nc\"\n102,GWA@1,-60,\"open\n"
                              "103,GWA@1,-60,\"shut\"\n104,GWX,-60,\n");
    assert_int_equal(r->count, 2);
    assert_int_equal(r->items[0].line, 2);
    assert_int_equal(r->items[1].line, 6);
    assert_int_equal(r->fault_count, 2);
    assert_int_equal(r->faults[0].line, 5);
    assert_int_equal(r->faults[1].line, 7);
    hr_readings_free(r);
    refuse(&m, "PK\003\004", HR_ERR_INPUT, "save it as CSV");
    refuse(&m, "\xFF\xFE,\n", HR_ERR_INPUT, "UTF-16");
    refuse(&m, "Survey of 3 May,,\nfrom,to,rssi_dbm\n", HR_ERR_INPUT, "here are: Survey of 3 May");
    drop(&m);
}

/* Beside the level: what the device joined, what got lost. Both ends named: a place beside them is not used. */
static void more_columns_are_read(void **state)
{
    (void)state;
    made m = make("");
    m.b->gateways[2].network_id = "0x1F";
    hr_readings *r = list(&m, "from,to,rssi_dbm,joined,loss_percent,x,y\n101,GWA@1,-60,gwb@1,2.5%,3,4\n"
                              "102,GWA@1,-60,0x1f,0,,\n103,GWA@1,-60,elsewhere,,,\n104,GWA@1,-60,,100.1,,\n"
                              "104,GWA@1,-60,,%,,\n104,GWA@1,-60,,few,,\n");
    assert_int_equal(r->count, 3);
    assert_int_equal(r->fault_count, 3);
    assert_false(r->items[0].from.point || r->items[0].to.point);
    assert_string_equal(m.b->gateways[r->items[0].joined_gateway].id, "GWB@1");
    check_near(r->items[0].loss_percent, 2.5, 0.0);
    assert_int_equal(r->items[1].joined_gateway, 2);
    check_near(r->items[1].loss_percent, 0.0, 0.0);
    assert_string_equal(r->items[2].joined, "elsewhere");
    assert_int_equal(r->items[2].joined_gateway, HR_READINGS_NONE);
    assert_true(isnan(r->items[2].loss_percent));
    hr_readings_free(r);
    /* two gateways of one network id: it says nothing */
    m.b->gateways[0].network_id = "0x1F";
    r = list(&m, "from,to,rssi_dbm,joined\n102,GWA@1,-60,0x1f\n");
    assert_int_equal(r->items[0].joined_gateway, HR_READINGS_NONE);
    hr_readings_free(r);
    drop(&m);
}

/* Numbers come out of a spreadsheet without their leading zeros. */
static void leading_zeros_are_found(void **state)
{
    (void)state;
    made m = make("");
    m.b->gateways[1].id = "007";
    const size_t notes = hr_notes_count(m.notes);
    hr_readings *r = list(&m, "from,to,rssi_dbm\n102,7,-60\n102,0007,-61\n102,8,-60\n,7,-60\n");
    assert_int_equal(r->count, 2);
    assert_int_equal(r->fault_count, 2);
    assert_string_equal(r->items[1].to.name, "007");
    assert_int_equal(hr_notes_count(m.notes), notes + 4);
    hr_readings_free(r);
    m.b->gateways[2].id = "07"; /* two of that number: neither */
    r = list(&m, "from,to,rssi_dbm\n102,7,-60\n102,07,-60\n");
    assert_int_equal(r->count, 1);
    hr_readings_free(r);
    drop(&m);
}

/* By hand: 915 MHz, free space at 1 m 31.68 dB; 2.2 m of distance, nothing between. */
static void levels_are_predicted(void **state)
{
    (void)state;
    made m = make("");
    static const char rows[] = "from,to,rssi_dbm\n101,GWA@1,-30\nGWA@1,101,-30\n102,GWA@1,-50\n201,GWA@1,-50\n";
    hr_readings *r = list(&m, rows);
    const double near_db = 20.0 * log10(915.0) - 27.5522 + 20.0 * log10(hypot(2.0, 1.0));
    check_near(predicted(&m, r, 0), 10.0 - near_db, 1e-3); /* the device transmits with 10 dBm ... */
    check_near(predicted(&m, r, 1), 14.0 - near_db, 1e-3); /* ... the gateway with 14 */
    hr_readings_free(r);
    drop(&m);
    /* [fitted] changes exactly what it says */
    made f = make("[fitted]\noffset_db = -4\nexponent = 3\ngateway_offset = GWA@1 1.5\nmaterial = brick-100 20\n"
                  "floor_loss_db = 30\n");
    r = list(&f, rows);
    const double far_m = hypot(7.0, 1.0);
    check_near(predicted(&f, r, 0), 10.0 - near_db - 10.0 * log10(hypot(2.0, 1.0)) - 4.0 + 1.5, 1e-3);
    check_near(predicted(&f, r, 2), 10.0 - (20.0 * log10(915.0) - 27.5522 + 30.0 * log10(far_m)) - 20.0 - 2.5, 1e-3);
    hr_link_work work = {0};
    hr_link link;
    double level = 0.0;
    assert_int_equal(hr_readings_predict(r, f.links, &work, 3, &link, &level, NULL), HR_OK);
    check_near(link.floor_loss_db, 30.0, 1e-9);
    hr_links_work_free(&work);
    hr_readings_free(r);
    drop(&f);
}

/* A list of four places in every room at both gateways of their own and the other storey, by a truth. */
static void survey(const made *truth, hr_random *random, double sigma, double threshold, hr_text *text)
{
    static const char *const gateways[] = {"GWA@1", "GWB@1", "GWA@2", "GWB@2"};
    static const char head[] = "from,to,storey,x,y,mount_height,kind,rssi_dbm,threshold_dbm\n";
    hr_text bare = {0}, places = {0};
    hr_text_add(&bare, head);
    for (int round = 0; round < 4; round++) {
        for (size_t d = 0; d < truth->b->device_count; d++) {
            const hr_device *device = &truth->b->devices[d];
            for (int g = 0; g < 4; g++) {
                const size_t begin = bare.len;
                hr_text_addf(&bare, ",%s,%s,", gateways[g], truth->b->storeys[device->storey].name);
                hr_text_fixed(&bare, device->at.x - 1.5 + round, 2);
                hr_text_add(&bare, ",");
                hr_text_fixed(&bare, device->at.y + 0.5 * round, 2);
                hr_text_add(&bare, ",1.2,wall,");
                hr_text_add_n(&places, bare.bytes + begin, bare.len - begin);
                hr_text_add(&places, "\n");
                hr_text_add(&bare, "-50,\n");
            }
        }
    }
    made copy = *truth;
    hr_readings *r = list(&copy, bare.bytes);
    hr_text_add(text, head);
    const char *place = places.bytes;
    for (size_t i = 0; i < r->count; i++) {
        const double level = predicted(truth, r, i) + hr_stats_random_normal(random, sigma);
        const size_t len = strcspn(place, "\n");
        hr_text_add_n(text, place, len);
        place += len + 1;
        if (level >= threshold) {
            hr_text_fixed(text, level, 2);
        }
        hr_text_add(text, ",");
        hr_text_fixed(text, threshold, 1);
        hr_text_add(text, "\n");
    }
    hr_readings_free(r);
    hr_text_free(&places);
    hr_text_free(&bare);
}

static const hr_calibration_estimate *material(const hr_fit *fit, const char *name)
{
    for (size_t i = 0; i < fit->material_count; i++) {
        if (strcmp(fit->materials[i].name, name) == 0) {
            return &fit->materials[i].estimate;
        }
    }
    fail_msg("no material %s in the fit", name);
    return &fit->offset; /* not reached */
}

/* A building that differs from the tables is found again, readings not heard or not. */
static void truth_is_found_again(void **state)
{
    (void)state;
    made truth = make("[fitted]\noffset_db = -3\nexponent = 2.3\nmaterial = brick-100 10\nmaterial = plasterboard 3.5\n"
                      "floor_loss_db = 17\n");
    made m = make("");
    static const double thresholds[] = {-150.0, -88.0};
    for (int t = 0; t < 2; t++) {
        hr_random *random = hr_stats_random_new(33, (uint64_t)t);
        hr_text text = {0};
        survey(&truth, random, 2.0, thresholds[t], &text);
        hr_readings *r = list(&m, text.bytes);
        assert_true(t == 0 ? r->heard == r->count : r->heard < r->count - 10);
        hr_fit *fit = NULL;
        assert_int_equal(hr_diagnosis_fit(r, m.links, &fit, NULL), HR_OK);
        check_near(fit->exponent.value, 2.3, 0.25);
        check_near(material(fit, "brick-100")->value, 10.0, 1.3);
        check_near(fit->floor.value, 17.0, 1.0);
        assert_true(fit->has_floor && fit->floor.identifiable);
        assert_true(t == 1 || fit->gateway_count == 4); /* not heard is no place that a gateway was read from */
        check_near(fit->sigma_db, 2.0, 0.5);
        assert_true(fit->rmse_db < 0.6 * fit->rmse_before_db);
        hr_fit_free(fit);
        hr_readings_free(r);
        hr_text_free(&text);
        hr_stats_random_free(random);
    }
    drop(&truth);
    drop(&m);
}

/* A link read over and over, either way, is one witness: sigma stays what was expected, one slip among three is no matter. */
static void a_link_counts_once(void **state)
{
    (void)state;
    made m = make("");
    hr_readings *r = list(&m, "from,to,rssi_dbm,threshold_dbm\n101,GWA@1,-40,\n101,GWA@1,-40,\n101,GWA@1,-40,\nGWA@1,101,-36,\n"
                              "102,GWA@1,-50,\n102,GWA@1,-91,\n102,GWA@1,-50,\n103,GWA@1,,-30\n103,GWA@1,,-40\n"
                              "101,GWA@1,-40,\n101,GWA@1,-40,\n");
    hr_fit *fit = NULL;
    assert_int_equal(hr_diagnosis_fit(r, m.links, &fit, NULL), HR_OK);
    assert_int_equal(fit->links, 3);
    assert_int_equal(fit->offset.count, 3);
    assert_true(fit->sigma_db > 4.0 && fit->sigma_db < 7.0);
    assert_int_equal(fit->outlier_count, 0);
    hr_fit *once = NULL;
    hr_readings *few = list(&m, "from,to,rssi_dbm,threshold_dbm\n101,GWA@1,-40,\n102,GWA@1,-50,\n103,GWA@1,,-40\n");
    assert_int_equal(hr_diagnosis_fit(few, m.links, &once, NULL), HR_OK);
    check_near(fit->offset.value, once->offset.value, 1e-9);
    check_near(fit->exponent.value, once->exponent.value, 1e-9);
    check_near(fit->sigma_db, once->sigma_db, 1e-9);
    hr_fit_free(once);
    hr_readings_free(few);
    hr_fit_free(fit);
    hr_readings_free(r);
    drop(&m);
}

static size_t gateways_fitted(made *m, const char *rows)
{
    hr_readings *r = list(m, rows);
    hr_fit *fit = NULL;
    assert_int_equal(hr_diagnosis_fit(r, m->links, &fit, NULL), HR_OK);
    const size_t count = fit->gateway_count;
    hr_fit_free(fit);
    hr_readings_free(r);
    return count;
}

/* Rooms are 5 m wide, so that every second is a place of its own; the other storey counts anew. */
static void gateways_need_places(void **state)
{
    (void)state;
    made m = make("");
    hr_text few = {0}, many = {0};
    hr_text_add(&few, "from,to,rssi_dbm\n");
    hr_text_add(&many, "from,to,rssi_dbm\n");
    for (int i = 0; i < 40; i++) { /* a hundred levels of one room tell of the room */
        hr_text_addf(&few, "101,GWA@1,-%d\nGWB@1,101,-%d\n", 50 + i % 7, 70 + i % 5);
    }
    static const char *const rooms[] = {"205", "103", "101", "203", "105", "102", "104", "201"};
    for (size_t i = 0; i < 8; i++) {
        hr_text_addf(&many, "%s,GWA@1,-%zu\n%s,GWB@1,-%zu\n", rooms[i], 50 + i, i == 7 ? "102" : rooms[i], 60 + i);
    }
    assert_int_equal(gateways_fitted(&m, few.bytes), 0);
    assert_int_equal(gateways_fitted(&m, many.bytes), 2); /* 101, 103, 105 and two or three above */
    /* one of two alone has nothing to differ from */
    assert_int_equal(gateways_fitted(&m, "from,to,rssi_dbm\n101,GWA@1,-50\n103,GWA@1,-50\n105,GWA@1,-50\n201,GWA@1,-80\n"
                                         "203,GWA@1,-80\n205,GWA@1,-80\n101,GWB@1,-80\n103,GWB@1,-80\n105,GWB@1,\n"
                                         "203,GWB@1,-80\n205,GWB@1,\n"), 0);
    hr_text_free(&few);
    hr_text_free(&many);
    drop(&m);
}

static const hr_difference_group *group(const hr_comparison *c, const char *name)
{
    static const hr_difference_group none;
    for (size_t i = 0; i < c->group_count; i++) {
        if (strcmp(c->groups[i].name, name) == 0) {
            return &c->groups[i];
        }
    }
    fail_msg("no group %s", name);
    return &none; /* not reached */
}

/* One gateway whose aerial is off: it stands out, and nothing does where nothing is wrong. */
static void differences_are_told_apart(void **state)
{
    (void)state;
    made good = make(""), wrong = make("[fitted]\ngateway_offset = GWB@2 -9\n");
    for (int t = 0; t < 2; t++) {
        hr_random *random = hr_stats_random_new(34, (uint64_t)t);
        hr_text text = {0};
        survey(t == 0 ? &good : &wrong, random, 4.0, -150.0, &text);
        hr_readings *r = list(&good, text.bytes);
        hr_comparison *c = NULL;
        assert_int_equal(hr_readings_compare(r, good.links, &c, NULL), HR_OK);
        assert_int_equal(c->count, r->count);
        check_near(c->rmse_db, t == 0 ? 4.0 : 6.0, 0.8);
        double sum = 0.0;
        for (size_t i = 0; i < c->count; i++) {
            sum += c->items[i].difference_db;
            assert_true(i == 0 || hr_micro(fabs(c->items[c->worst[i - 1]].difference_db)) >=
                                      hr_micro(fabs(c->items[c->worst[i]].difference_db)));
        }
        check_near(c->bias_db, sum / (double)c->count, 1e-9);
        assert_int_equal(group(c, "GWB@2")->stands_out, t == 1);
        if (t == 1) {
            assert_string_equal(c->groups[0].name, "GWB@2");
            check_near(c->groups[0].mean_db - c->groups[0].others_mean_db, -9.0, 1.5);
        }
        for (size_t i = 0; t == 0 && i < c->group_count; i++) {
            assert_false(c->groups[i].stands_out);
        }
        hr_comparison_free(c);
        hr_readings_free(r);
        hr_text_free(&text);
        hr_stats_random_free(random);
    }
    drop(&good);
    drop(&wrong);
}

/* One odd link read twenty times is one odd link. */
static void one_link_blames_nobody(void **state)
{
    (void)state;
    made m = make("");
    hr_text text = {0};
    hr_text_add(&text, "from,to,rssi_dbm\n");
    for (int i = 0; i < 20; i++) {
        hr_text_addf(&text, "201,GWA@1,-%d\n", 105 + i % 3);
    }
    for (size_t d = 0; d < 10; d++) {
        hr_text_addf(&text, "%s,GWA@2,-70\n%s,GWB@2,-70\n", m.b->devices[d].name, m.b->devices[d].name);
    }
    hr_readings *r = list(&m, text.bytes);
    hr_comparison *c = NULL;
    assert_int_equal(hr_readings_compare(r, m.links, &c, NULL), HR_OK);
    assert_int_equal(c->count, 40);
    assert_int_equal(group(c, "GWB@2")->count, 10);
    assert_int_equal(group(c, "GWB@2")->others, 11);
    for (size_t i = 0; i < c->group_count; i++) {
        assert_true(strcmp(c->groups[i].name, "GWA@1") != 0);
        assert_int_equal(c->groups[i].count + c->groups[i].others, 21);
    }
    hr_comparison_free(c);
    hr_readings_free(r);
    hr_text_free(&text);
    drop(&m);
}

static void nothing_to_fit(void **state)
{
    (void)state;
    made m = make("");
    hr_readings *r = list(&m, "from,to,rssi_dbm\n");
    hr_fit *fit = NULL;
    hr_comparison *c = NULL;
    assert_int_equal(hr_diagnosis_fit(r, m.links, &fit, NULL), HR_ERR_INPUT);
    assert_int_equal(hr_readings_compare(r, m.links, &c, NULL), HR_OK);
    assert_true(isnan(c->rmse_db) && isnan(c->bias_db));
    hr_comparison_free(c);
    hr_readings_free(r);
    /* only what was not heard: the tables stay about as they are */
    r = list(&m, "from,to,rssi_dbm,threshold_dbm\n105,GWA@2,,-60\n");
    assert_int_equal(hr_diagnosis_fit(r, m.links, &fit, NULL), HR_OK);
    check_near(fit->exponent.value, 2.0, 0.3);
    assert_false(fit->exponent.identifiable);
    hr_fit_free(fit);
    hr_readings_free(r);
    drop(&m);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ends_are_found),       cmocka_unit_test(bad_rows_leave_the_rest),
        cmocka_unit_test(levels_are_predicted), cmocka_unit_test(truth_is_found_again),
        cmocka_unit_test(nothing_to_fit),       cmocka_unit_test(differences_are_told_apart),
        cmocka_unit_test(links_that_judge),     cmocka_unit_test(verdicts_by_level),
        cmocka_unit_test(what_was_joined),      cmocka_unit_test(hops_that_judge),
        cmocka_unit_test(flat_from_its_drawing), cmocka_unit_test(gateways_need_places), cmocka_unit_test(leading_zeros_are_found), cmocka_unit_test(a_link_counts_once), cmocka_unit_test(one_link_blames_nobody),
        cmocka_unit_test(spreadsheets_are_read), cmocka_unit_test(more_columns_are_read),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
