/*
 * test_report.c - the writers: JSON keys and sums, lists that read back to the
 * same numbers, names with odd characters.
 *
 * SPDX-License-Identifier: MIT
 */
#include "../property.h"

#include <jansson.h>

#include "hr_report.h"
#include "test_parts.h"

static const char plan_svg[] = PROPERTY_HEAD
    "<g inkscape:label=\"walls: brick-100\" stroke=\"#000\"><rect width=\"10\" height=\"4\" fill=\"none\"/>"
    "<line x1=\"5\" y1=\"0\" x2=\"5\" y2=\"4\"/></g>\n"
    "<g inkscape:label=\"corridors\"><rect y=\"-2\" width=\"10\" height=\"2\"/></g>\n"
    "<g inkscape:label=\"doors: timber-door\" stroke=\"#000\"><line x1=\"1\" x2=\"1.9\"/><line x1=\"6\" x2=\"6.9\"/></g>\n"
    "<g inkscape:label=\"rooms\"><rect width=\"5\" height=\"4\"><title>=1 &lt;&amp;\"'</title></rect>"
    "<rect x=\"5\" width=\"5\" height=\"4\"><title>2, b</title></rect></g></svg>";

#define INI(unit)                                                                                                      \
    "[property]\nname = Odd & <Names>\nlength_unit = " unit "\n[radio]\nfrequency_mhz = 915\n[storey 1]\nplan = plan.svg\n" \
    "[device wall]\npower = battery\nrelays = no\n[device unit]\npower = mains\nrelays = no\njoins = wall\n"

static json_t *as_json(const hr_building *b, const hr_siting *s)
{
    hr_text out = {0};
    assert_int_equal(hr_report_siting_json(b, s, NULL, s->placed ? "place" : "rooms", &out, NULL), HR_OK);
    json_t *top = json_loads(out.bytes, JSON_REJECT_DUPLICATES, NULL);
    assert_non_null(top);
    hr_text_free(&out);
    return top;
}

static double number(const json_t *object, const char *key)
{
    const json_t *value = json_object_get(object, key);
    if (!json_is_number(value)) {
        fail_msg("%s is no number", key);
    }
    return json_number_value(value);
}

static void test_json_keys_and_sums(void **state)
{
    (void)state;
    static const char *const top_keys[] = {"command", "version", "property", "frequency_mhz", "model", "target_reliability",
                                           "required_margin_db", "gateways", "rooms", "devices", "expected_failing_rooms",
                                           "placement", "cautions", "warnings",
                                           /* our own beside those that others rely on */
                                           "sole_relays", "by_count", "by_slabs"};
    static const char *const device_keys[] = {"device", "room", "kind", "storey", "gateway", "network_id", "via", "hops",
                                              "distance_m", "path_loss_db", "received_dbm", "direction", "link_margin_db",
                                              "spare_db", "reliability", "within_range_limit", "required_margin_db", "served",
                                              "reason", "closest_gateway", "gateways_in_reach"};
    hr_building *b = property_made(INI("m"), plan_svg);
    hr_siting *s = NULL;
    assert_int_equal(hr_siting_place(b, NULL, NULL, &s, NULL), HR_OK);
    json_t *top = as_json(b, s);
    for (size_t i = 0; i < sizeof top_keys / sizeof top_keys[0]; i++) {
        assert_non_null(json_object_get(top, top_keys[i]));
    }
    assert_int_equal(json_object_size(top), sizeof top_keys / sizeof top_keys[0]);
    json_t *devices = json_object_get(top, "devices");
    assert_int_equal(json_array_size(devices), 4);
    for (size_t i = 0; i < json_array_size(devices); i++) {
        const json_t *d = json_array_get(devices, i);
        assert_int_equal(json_object_size(d), sizeof device_keys / sizeof device_keys[0]);
        for (size_t k = 0; k < sizeof device_keys / sizeof device_keys[0]; k++) {
            assert_non_null(json_object_get(d, device_keys[k]));
        }
        if (number(d, "hops") == 1.0) {
            /* totals are sums of the rounded lines */
            check_near(number(d, "spare_db"), number(d, "link_margin_db") - number(d, "required_margin_db"), 1e-9);
        }
        assert_int_equal(json_is_null(json_object_get(d, "within_range_limit")), number(d, "hops") > 1.0);
    }
    assert_string_equal(json_string_value(json_object_get(json_array_get(devices, 0), "room")), "=1 <&\"'");
    assert_true(json_array_size(json_object_get(top, "cautions")) >= 10);
    json_decref(top);
    hr_siting_free(s);
    hr_building_free(b);
}

/* The list of `place` fed to `rooms` gives the same figures, in metres and in feet. */
static void check_round_trip(const char *text)
{
    hr_building *b = property_made(text, plan_svg);
    hr_siting *s = NULL, *again = NULL;
    assert_int_equal(hr_siting_place(b, NULL, NULL, &s, NULL), HR_OK);
    hr_text list = {0};
    assert_int_equal(hr_report_gateways_csv(b, s, &list, NULL), HR_OK);
    hr_error err = {.status = HR_OK};
    if (hr_building_parse_gateways(b, "list.csv", list.bytes, list.len, NULL, &err) != HR_OK) {
        fail_msg("%s", err.text);
    }
    assert_int_equal(hr_siting_rooms(b, NULL, NULL, &again, NULL), HR_OK);
    json_t *one = as_json(b, s), *two = as_json(b, again);
    assert_true(json_equal(json_object_get(one, "devices"), json_object_get(two, "devices")));
    assert_true(json_equal(json_object_get(one, "rooms"), json_object_get(two, "rooms")));
    json_decref(one);
    json_decref(two);
    hr_text_free(&list);
    hr_siting_free(s);
    hr_siting_free(again);
    hr_building_free(b);
}

static void test_lists_read_back(void **state)
{
    (void)state;
    check_round_trip(INI("m"));
    check_round_trip(INI("ft"));
}

static void test_rooms_csv_is_a_table(void **state)
{
    (void)state;
    hr_building *b = property_made(INI("m"), plan_svg);
    hr_siting *s = NULL;
    assert_int_equal(hr_siting_place(b, NULL, NULL, &s, NULL), HR_OK);
    hr_text out = {0};
    assert_int_equal(hr_report_rooms_csv(b, s, &out, NULL), HR_OK);
    hr_csv *csv = NULL;
    assert_int_equal(hr_csv_parse("rooms", out.bytes, out.len, &csv, NULL), HR_OK);
    assert_int_equal(hr_csv_rows(csv), s->gateway_count + 4);
    assert_string_equal(hr_csv_cell(csv, 0, hr_csv_column(csv, "kind")), "gateway");
    assert_true(hr_csv_column(csv, "status") != SIZE_MAX);
    assert_string_equal(hr_csv_comment(csv, "length_unit"), "m");
    /* a cell that starts like a formula does not become one in a spreadsheet, and reads back as it was */
    assert_non_null(strstr(out.bytes, ",\"'=1 <&\"\"'\","));
    assert_string_equal(hr_csv_cell(csv, s->gateway_count, hr_csv_column(csv, "room")), "=1 <&\"'");
    assert_string_equal(hr_csv_cell(csv, s->gateway_count + 1, hr_csv_column(csv, "room")), "2, b");
    hr_csv_free(csv);
    hr_text_free(&out);
    hr_siting_free(s);
    hr_building_free(b);
}

/* Rooms in a row, one gateway at one end: numbered so that the farthest is drawn first. */
static hr_building *relay_row(void)
{
    hr_text svg = {0};
    hr_text_add(&svg, PROPERTY_HEAD "<g inkscape:label=\"gateways\"><circle cx=\"1\" cy=\"-1\" r=\"0.1\"/></g>\n"
                      "<g inkscape:label=\"walls: brick-100\"><line x1=\"0\" y1=\"0\" x2=\"48\" y2=\"0\" stroke=\"#000\"/></g>\n");
    for (int i = 11; i >= 0; i--) {
        hr_text_addf(&svg, "<g inkscape:label=\"rooms\"><rect x=\"%d\" width=\"4\" height=\"4\"><title>%d</title></rect></g>\n",
                     4 * i, 40 - i);
    }
    hr_text_add(&svg, "</svg>\n");
    hr_building *b = property_made("[property]\nname = Row\nlength_unit = m\n[radio]\nfrequency_mhz = 868\nmax_hops = 9\n"
                                   "range_limit = 5\nfirst_devices = 1\nminimum_margin_db = 50\n[storey 1]\nplan = plan.svg\n"
                                   "[device wall]\npower = mains\nrelays = yes\n[device unit]\npower = mains\nrelays = no\n"
                                   "joins = wall\n",
                                   svg.bytes);
    hr_text_free(&svg);
    return b;
}

static void test_installation_order(void **state)
{
    (void)state;
    hr_building *b = relay_row();
    hr_siting *s = NULL;
    assert_int_equal(hr_siting_rooms(b, NULL, NULL, &s, NULL), HR_OK);
    hr_text out = {0};
    assert_int_equal(hr_report_rooms_csv(b, s, &out, NULL), HR_OK);
    hr_csv *csv = NULL;
    assert_int_equal(hr_csv_parse("rooms", out.bytes, out.len, &csv, NULL), HR_OK);
    assert_int_equal(hr_csv_rows(csv), 25);
    const size_t name = hr_csv_column(csv, "name"), via = hr_csv_column(csv, "via"), hops = hr_csv_column(csv, "hops");
    long most = 0;
    for (size_t row = 1; row < hr_csv_rows(csv); row++) {
        long count = 0;
        size_t before = 0;
        assert_string_equal(hr_csv_cell(csv, row, hr_csv_column(csv, "served")), "yes");
        assert_true(hr_integer_parse(hr_csv_cell(csv, row, hops), 1, 20, &count));
        while (before < row && strcmp(hr_csv_cell(csv, before, name), hr_csv_cell(csv, row, via)) != 0) {
            before++;
        }
        assert_true(before < row); /* its next hop stands above it */
        most = count > most ? count : most;
    }
    assert_true(most > 3);
    hr_csv_free(csv);
    hr_text_free(&out);
    hr_siting_free(s);
    hr_building_free(b);
}

static void test_text_says_what_it_must(void **state)
{
    (void)state;
    hr_building *b = property_made(INI("m"), plan_svg);
    hr_siting *s = NULL;
    assert_int_equal(hr_siting_place(b, NULL, NULL, &s, NULL), HR_OK);
    hr_text out = {0};
    assert_int_equal(hr_report_siting_text(b, s, &out, NULL), HR_OK);
    assert_non_null(strstr(out.bytes, "radio coverage"));
    assert_non_null(strstr(out.bytes, "Prediction, not a survey: verify by measurement before drilling or ordering."));
    assert_non_null(strstr(out.bytes, "Radio limit not checked"));
    assert_non_null(strstr(out.bytes, "Local codes"));
    hr_text_free(&out);
    assert_int_equal(hr_report_read_text(b, &out, NULL), HR_OK);
    assert_non_null(strstr(out.bytes, "brick-100"));
    assert_non_null(strstr(out.bytes, "assumed"));
    hr_text_free(&out);
    hr_siting_free(s);
    hr_building_free(b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_json_keys_and_sums),
        cmocka_unit_test(test_lists_read_back),
        cmocka_unit_test(test_rooms_csv_is_a_table),
        cmocka_unit_test(test_installation_order),
        cmocka_unit_test(test_text_says_what_it_must),
        cmocka_unit_test(drawing_reads_back),
        cmocka_unit_test(result_reads_back),
        cmocka_unit_test(result_escapes_everything),
        cmocka_unit_test(result_says_what_is_not_served),
        cmocka_unit_test(result_shows_the_way),
        cmocka_unit_test(result_in_a_page),
        cmocka_unit_test(result_hides_names),
        cmocka_unit_test(result_refuses),
        cmocka_unit_test(field_at_a_device_is_its_margin),
        cmocka_unit_test(lines_run_where_the_margin_is_theirs),
        cmocka_unit_test(squares_are_coloured_by_margin),
        cmocka_unit_test(texts_keep_off_signs),
        cmocka_unit_test(long_names_stay_inside),
        cmocka_unit_test(bands_can_be_told_apart),
        cmocka_unit_test(drawing_without_a_scale),
        cmocka_unit_test(drawing_without_anything),
        cmocka_unit_test(drawing_styles_differ),
        cmocka_unit_test(page_escapes_names),
        cmocka_unit_test(page_of_a_shared_copy),
        cmocka_unit_test(page_is_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
