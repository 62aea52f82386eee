/*
 * fuzz_evidence.c - what somebody says of a room: lines of the input are the
 * words of --rssi, --joined, --door, --quality, --quality-map and --loss, the
 * rest is a list of readings. Whatever is understood gives probabilities that
 * add up and a first step.
 *
 * SPDX-License-Identifier: MIT
 */
#include <math.h>
#include <string.h>

#include "fuzz_building.h"
#include "hr_diagnosis.h"

static const char plan[] =
    "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1000 1000'>"
    "<g data-name='scale: 10 m'><line x1='0' y1='900' x2='1000' y2='900'/></g>"
    "<g data-name='walls: plasterboard'><path d='M0 0H800V700H0Z M400 0V500 M0 500H800'/></g>"
    "<g data-name='doors'><path d='M200 500H290 M600 500H690'/></g>"
    "<g data-name='corridors'><rect y='500' width='800' height='200'/></g>"
    "<g data-name='gateways'><rect x='600' y='600' width='10' height='10'><title>GW1</title></rect>"
    "<rect x='100' y='600' width='10' height='10'><title>GW2</title></rect></g>"
    "<g data-name='rooms'><rect width='400' height='500'><title>01</title></rect>"
    "<rect x='400' width='400' height='500'><title>02</title></rect></g></svg>";
static const char property[] = "[property]\nname = fuzz\nlength_unit = m\n[radio]\nfrequency_mhz = 915\n"
                               "[device wall]\npower = battery\nrelays = no\n"
                               "[device unit]\npower = mains\nrelays = no\njoins = wall\nenclosure = case\n"
                               "[storey 1]\nplan = plan.svg\n";

static hr_building *building;
static hr_links *links;
static hr_siting *siting;

static void free_building(void)
{
    hr_siting_free(siting);
    hr_links_free(links);
    hr_building_free(building);
}

static void prepare(void)
{
    building = fuzz_building(plan, property);
    REQUIRE(hr_links_new(building, &links, NULL) == HR_OK);
    REQUIRE(hr_siting_rooms(building, NULL, NULL, &siting, NULL) == HR_OK && atexit(free_building) == 0);
}

/* The next line of the text, cut out; NULL when it is empty. */
static char *take_line(char **text)
{
    char *line = *text;
    const size_t len = strcspn(line, "\n");
    *text = line + len + (line[len] == '\n');
    line[len] = '\0';
    return len > 0 ? line : NULL;
}

static void check_answer(const hr_why *why)
{
    int64_t billionths = 0;
    for (size_t i = 0; i < why->cause_count; i++) {
        REQUIRE(why->causes[i].probability >= 0.0 && why->causes[i].probability <= 1.0);
        billionths += llround(why->causes[i].probability * 1e9);
    }
    REQUIRE(billionths == 1000000000 && why->first_step[0] != '\0' && why->check[0] != '\0');
    for (size_t i = 0; i < why->remedy_count; i++) {
        REQUIRE(isfinite(why->remedies[i].gain_db) && isfinite(why->remedies[i].spare_after_db));
    }
}

static void ask(char *text)
{
    hr_why_evidence e = {.quality = (double)NAN, .loss_percent = (double)NAN, .siting = siting};
    const char *rssi[] = {NULL};
    hr_readings *readings = NULL;
    hr_why *why = NULL;
    hr_error err = {0};
    rssi[0] = take_line(&text);
    e.rssi = rssi;
    e.rssi_count = rssi[0] != NULL;
    e.joined = take_line(&text);
    e.door = take_line(&text);
    const char *quality = take_line(&text);
    e.quality_map = take_line(&text);
    const char *loss = take_line(&text);
    if (quality != NULL && !hr_number_parse(quality, &e.quality)) {
        e.not_heard = true;
    }
    if (loss != NULL && (!hr_number_parse(loss, &e.loss_percent) || !(e.loss_percent >= 0.0 && e.loss_percent <= 100.0))) {
        e.loss_percent = (double)NAN;
    }
    if (hr_readings_parse(building, "fuzz.csv", text, strlen(text), NULL, &readings, NULL) == HR_OK) {
        e.readings = readings;
    }
    const hr_status status = hr_diagnosis_why(links, building, 0, &e, NULL, &why, &err);
    REQUIRE(status == HR_OK || (status == HR_ERR_USAGE && err.text[0] != '\0' && why == NULL));
    if (status == HR_OK) {
        check_answer(why);
    }
    hr_why_free(why);
    hr_readings_free(readings);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size > 1 << 11) {
        return 0;
    }
    if (building == NULL) {
        prepare();
    }
    char *text = hr_strndup((const char *)data, size);
    REQUIRE(text != NULL);
    ask(text);
    hr_free(text);
    return 0;
}
