/*
 * test_property.c - the property file with its plans reads back as a building
 * without a word, in metres and in feet.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_tests.h"

#include "hr_building.h"

#include <stdlib.h>
#include <unistd.h>

static void folder(char path[64])
{
    (void)snprintf(path, 64, "/tmp/hr-outline-XXXXXX");
    assert_non_null(mkdtemp(path));
}

static void write_file(const char *dir, const char *name, const hr_text *text)
{
    char path[256];
    (void)snprintf(path, sizeof path, "%s/%s", dir, name);
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(text->bytes, 1, text->len, file), text->len);
    assert_int_equal(fclose(file), 0);
}

static void remove_all(const char *dir, const hr_outline *outline)
{
    char path[256];
    for (size_t i = 0; i < outline->plan_count; i++) {
        (void)snprintf(path, sizeof path, "%s/%s", dir, outline->plans[i].file);
        assert_int_equal(unlink(path), 0);
    }
    (void)snprintf(path, sizeof path, "%s/hall.ini", dir);
    assert_int_equal(unlink(path), 0);
    assert_int_equal(rmdir(dir), 0);
}

/* Made, written, read back in full. Free both. */
static hr_building *round_trip(const hr_outline_request *request, hr_outline **outline)
{
    char dir[64], path[256];
    hr_error err = {.status = HR_OK};
    folder(dir);
    if (hr_outline_make(request, "hall", outline, &err) != HR_OK) {
        fail_msg("%s", err.text);
    }
    for (size_t i = 0; i < (*outline)->plan_count; i++) {
        write_file(dir, (*outline)->plans[i].file, &(*outline)->plans[i].svg);
    }
    write_file(dir, "hall.ini", &(*outline)->property);
    (void)snprintf(path, sizeof path, "%s/hall.ini", dir);
    hr_notes *notes = hr_notes_new();
    hr_building *building = NULL;
    if (hr_building_read(path, NULL, notes, &building, &err) != HR_OK) {
        fail_msg("%s:%d: %s", err.file, err.line, err.text);
    }
    if (hr_notes_count(notes) > 0) {
        fail_msg("read back with a warning: %s", hr_notes_text(notes, 0));
    }
    hr_notes_free(notes);
    remove_all(dir, *outline);
    return building;
}

static void every_shape_reads_back(void **state)
{
    (void)state;
    for (size_t i = 0; i < 12; i++) {
        hr_outline_request request = ask(shape_words[i % 6], 44);
        request.storeys = 5;
        request.length_unit = i < 6 ? HR_METRES : HR_FEET;
        request.frequency_mhz = i % 3 == 0 ? 868.3 : i % 3 == 1 ? 915.0 : 2440.0;
        hr_outline *outline = NULL;
        hr_building *b = round_trip(&request, &outline);
        assert_int_equal(outline->rooms, 220);
        assert_int_equal(b->storey_count, 5);
        assert_int_equal(b->room_count, 220);
        assert_int_equal(b->device_count, 440);
        size_t on[5] = {0};
        for (size_t k = 0; k < b->room_count; k++) {
            on[b->rooms[k].storey]++;
        }
        for (size_t k = 0; k < 5; k++) {
            assert_int_equal(on[k], 44);
            /* 9-10 ft floor to floor, from memory */
            assert_true(b->storeys[k].floor_to_floor_m >= 2.74 && b->storeys[k].floor_to_floor_m <= 3.05);
        }
        assert_true(b->spot_count > 0);
        check_near(b->radio.range_limit_m, 30.48, 1e-9);
        hr_building_free(b);
        hr_outline_free(outline);
    }
}

static bool has_room(const hr_building *b, const char *name)
{
    return hr_building_room(b, name) != UINT32_MAX;
}

static void rooms_are_called_by_storey_and_number(void **state)
{
    (void)state;
    hr_outline_request request = ask("double-loaded", 40);
    request.storeys = 12;
    hr_outline *outline = NULL;
    hr_building *b = round_trip(&request, &outline);
    assert_true(has_room(b, "101") && has_room(b, "140") && has_room(b, "1240") && !has_room(b, "141"));
    assert_string_equal(outline->plans[0].file, "hall-1.svg");
    assert_string_equal(outline->plans[1].file, "hall-2-12.svg");
    hr_building_free(b);
    hr_outline_free(outline);
    /* 1 and 112, 11 and 12 would both be 1112: three digits each then */
    request = ask("double-loaded", 112);
    request.storeys = 11;
    request.first_storey = 0;
    b = round_trip(&request, &outline);
    assert_true(has_room(b, "0001") && has_room(b, "1112") && has_room(b, "10012"));
    assert_int_equal(b->room_count, 1232);
    hr_building_free(b);
    hr_outline_free(outline);
}

static void materials_and_names_are_taken_over(void **state)
{
    (void)state;
    static const char *const pairs[][2] = {{"party-wall", "block-filled"},
                                           {"corridor-wall", "block-hollow"},
                                           {"outer-wall", "brick-200"},
                                           {"core-wall", "concrete-150"},
                                           {"entry-door", "timber-door"},
                                           {"window", "glass"},
                                           {"slab", "plank-topping"},
                                           {"name", "Tern & Sons <Inn>"},
                                           {"stairs", "1"},
                                           {"lifts", "0"}};
    hr_outline_request request = ask("L", 30);
    request.storeys = 2;
    for (size_t i = 0; i < sizeof pairs / sizeof pairs[0]; i++) {
        assert_int_equal(hr_outline_set(&request, pairs[i][0], pairs[i][1], NULL), HR_OK);
    }
    hr_outline *outline = NULL;
    hr_building *b = round_trip(&request, &outline);
    assert_string_equal(b->name, "Tern & Sons <Inn>");
    assert_string_equal(hr_materials_get(b->materials, b->storeys[1].slab_material)->name, "plank-topping");
    for (size_t i = 0; i < 6; i++) {
        const size_t material = hr_materials_find(b->materials, pairs[i][1]);
        double length_m = 0.0;
        for (size_t k = 0; k < b->plans[1]->wall_count; k++) {
            length_m +=
                b->plans[1]->walls[k].material == material ? hr_geometry_length(b->plans[1]->walls[k].line) : 0.0;
        }
        for (size_t k = 0; k < b->plans[1]->opening_count; k++) {
            length_m += b->plans[1]->openings[k].material == material ? 1.0 : 0.0;
        }
        if (!(length_m > 10.0)) {
            fail_msg("%s %s is hardly there: %g m", pairs[i][0], pairs[i][1], length_m);
        }
    }
    hr_building_free(b);
    hr_outline_free(outline);
}

const struct CMUnitTest property_tests[] = {
    cmocka_unit_test(every_shape_reads_back),
    cmocka_unit_test(rooms_are_called_by_storey_and_number),
    cmocka_unit_test(materials_and_names_are_taken_over),
};
const size_t property_test_count = sizeof property_tests / sizeof property_tests[0];
