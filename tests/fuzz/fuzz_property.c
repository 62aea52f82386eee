/*
 * fuzz_property.c - whole property files, read with a small plan beside them.
 * What is accepted must hold what the header promises.
 *
 * SPDX-License-Identifier: MIT
 */
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "fuzz.h"
#include "hr_building.h"
#include "hr_limits.h"

static const char plan[] = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1000 1000'>"
                           "<g data-name='scale: 10 m'><line x1='0' y1='900' x2='1000' y2='900'/></g>"
                           "<g data-name='walls: plasterboard'><path d='M0 0H800V700H0Z M0 500H800 M400 0V500'/></g>"
                           "<g data-name='doors: timber-door'><path d='M300 500H390'/></g>"
                           "<g data-name='rooms'><rect width='400' height='500'><title>01</title></rect>"
                           "<rect x='400' width='400' height='500'><title>Suite</title></rect></g>"
                           "<g data-name='corridors'><rect y='500' width='800' height='200'/></g>"
                           "<g data-name='devices: wall'><circle cx='100' cy='100' r='5'/></g>"
                           "<g data-name='gateways'><circle cx='400' cy='600' r='5'/></g></svg>";

static char folder[64], property[128], drawing[128];

static void remove_folder(void)
{
    (void)unlink(drawing);
    (void)rmdir(folder);
}

/* A folder that holds plan.svg; the property itself never touches the disk. */
static void prepare(void)
{
    if (folder[0] != '\0') {
        return;
    }
    (void)snprintf(folder, sizeof folder, "/tmp/hr-fuzz-XXXXXX");
    REQUIRE(mkdtemp(folder) != NULL);
    (void)snprintf(property, sizeof property, "%s/fuzz.ini", folder);
    (void)snprintf(drawing, sizeof drawing, "%s/plan.svg", folder);
    REQUIRE(hr_file_write(drawing, plan, strlen(plan), NULL) == HR_OK);
    REQUIRE(atexit(remove_folder) == 0);
}

static void check_building(const hr_building *b, bool lenient)
{
    REQUIRE(b->storey_count > 0 && b->storey_count <= HR_MAX_STOREYS && b->kind_count > 0);
    REQUIRE(b->radio.frequency_mhz >= HR_FREQ_MIN_MHZ && b->radio.frequency_mhz <= HR_FREQ_MAX_MHZ);
    REQUIRE(isfinite(b->radio.noise_rise_db) && b->radio.shadowing_db > 0.0 && b->radio.range_limit_m > 0.0);
    for (uint32_t i = 0; i < b->storey_count; i++) {
        const hr_storey *s = &b->storeys[i];
        REQUIRE(hr_building_storey(b, s->name) == i && s->plan != NULL && s->plan == b->plans[s->plan_index]);
        REQUIRE(i == 0 || s->elevation_m >= s[-1].elevation_m + s[-1].floor_to_floor_m - 0.0011);
        REQUIRE(s->slab_material < hr_materials_count(b->materials));
    }
    REQUIRE(lenient || b->room_count > 0);
    for (uint32_t i = 0; i < b->room_count; i++) {
        REQUIRE(hr_building_room(b, b->rooms[i].name) == i && (i == 0 || b->rooms[i].storey >= b->rooms[i - 1].storey));
    }
    for (uint32_t i = 0; i < b->device_count; i++) {
        const hr_device *d = &b->devices[i];
        REQUIRE(hr_building_device(b, d->name) == i && d->room < b->room_count && d->kind < b->kind_count);
        REQUIRE(isfinite(d->at.x) && isfinite(d->at.y) && isfinite(d->z_m) && (i == 0 || d->room >= d[-1].room));
    }
    for (size_t i = 0; i < b->kind_count; i++) {
        int at = (int)i;
        for (size_t steps = 0; at != HR_JOINS_GATEWAY; steps++) {
            REQUIRE(steps <= b->kind_count);
            at = b->kinds[at].joins;
        }
    }
    for (size_t i = 0; i < b->spot_count; i++) {
        REQUIRE(b->spots[i].id[strspn(b->spots[i].id, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
                                                      "0123456789_@.-")] == '\0');
    }
    for (size_t i = 0; i < hr_building_setting_count(b); i++) {
        const hr_setting *s = hr_building_setting(b, i);
        REQUIRE(s->value != NULL && s->value[0] != '\0' && s->reason != NULL && s->unit != NULL);
    }
}

/* Plans named in the text are opened: only plan.svg and files that are not there may be. */
static bool opens_other_files(const uint8_t *data, size_t size)
{
    return memchr(data, '/', size) != NULL;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size > 1 << 16 || (size > 0 && opens_other_files(data, size))) {
        return 0;
    }
    prepare();
    for (int lenient = 0; lenient < 2; lenient++) {
        const char *const sets[] = {"radio.exponent=2.5"};
        const hr_building_options options = {.lenient = lenient == 1, .sets = sets, .set_count = (size_t)lenient};
        hr_notes *notes = hr_notes_new();
        hr_building *b = NULL;
        hr_error err = {0};
        const hr_status status = hr_building_parse(property, (const char *)data, size, &options, notes, &b, &err);
        if (status == HR_OK) {
            check_building(b, lenient == 1);
        } else {
            REQUIRE(b == NULL && err.status == status && err.text[0] != '\0' && err.line >= 0);
        }
        hr_building_free(b);
        hr_notes_free(notes);
    }
    return 0;
}
