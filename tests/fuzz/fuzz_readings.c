/*
 * fuzz_readings.c - lists of readings matched to a small building, compared,
 * fitted and judged.
 *
 * SPDX-License-Identifier: MIT
 */
#include <math.h>
#include <string.h>

#include "fuzz_building.h"
#include "hr_diagnosis.h"
#include "hr_readings.h"
#include "hr_siting.h"

static const char plan[] = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1000 1000'>"
                           "<g data-name='scale: 10 m'><line x1='0' y1='900' x2='1000' y2='900'/></g>"
                           "<g data-name='walls: plasterboard'><path d='M0 0H800V700H0Z M400 0V500'/></g>"
                           "<g data-name='gateways'><rect x='600' y='600' width='10' height='10'><title>GW1</title></rect></g>"
                           "<g data-name='rooms'><rect width='400' height='500'><title>01</title></rect>"
                           "<rect x='400' width='400' height='500'><title>02</title></rect></g></svg>";
static const char property[] = "[property]\nname = fuzz\nlength_unit = ft\n[radio]\nfrequency_mhz = 915\n"
                               "[storey ground]\nplan = plan.svg\n[storey 2-3]\nplan = plan.svg\n";

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
    REQUIRE(hr_siting_rooms(building, &(hr_siting_options){0}, NULL, &siting, NULL) == HR_OK);
    REQUIRE(hr_links_new(building, &links, NULL) == HR_OK && atexit(free_building) == 0);
}

static void check_estimate(const hr_calibration_estimate *e)
{
    REQUIRE(isfinite(e->value) && e->low <= e->value && e->value <= e->high);
}

static void check_fit(const hr_readings *readings)
{
    hr_fit *fit = NULL;
    hr_error err = {0};
    const hr_status status = hr_diagnosis_fit(readings, links, &fit, &err);
    REQUIRE((status == HR_OK) == (readings->count > 0));
    if (status != HR_OK) {
        REQUIRE(err.text[0] != '\0');
        return;
    }
    check_estimate(&fit->offset);
    check_estimate(&fit->exponent);
    REQUIRE(fit->exponent.value >= 1.0 && fit->exponent.value <= 6.0 && fit->sigma_db > 0.0);
    for (size_t i = 0; i < fit->material_count; i++) {
        check_estimate(&fit->materials[i].estimate);
        REQUIRE(fit->materials[i].estimate.low >= 0.0);
    }
    hr_fit_free(fit);
}

static void check_acceptance(const hr_readings *readings)
{
    hr_acceptance *a = NULL;
    REQUIRE(hr_diagnosis_accept(readings, siting, &a, NULL) == HR_OK && a->count == building->device_count);
    size_t used = 0;
    for (size_t i = 0; i < a->count; i++) {
        const hr_acceptance_row *row = &a->rows[i];
        const hr_device_kind *kind = &building->kinds[building->devices[i].kind];
        used += row->readings;
        REQUIRE((row->reading != HR_READINGS_NONE || isnan(row->over_db)) && memchr(row->remark, 0, HR_REMARK_MAX) != NULL);
        REQUIRE(row->verdict != HR_VERDICT_PASS || row->over_db >= kind->accept_pass_db - 1e-6);
        REQUIRE(row->reading == HR_READINGS_NONE || row->reading < readings->count);
    }
    REQUIRE(used + a->beside == readings->count);
    hr_acceptance_free(a);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size > 1 << 14) {
        return 0;
    }
    if (building == NULL) {
        prepare();
    }
    hr_notes *notes = hr_notes_new();
    hr_readings *readings = NULL;
    hr_error err = {0};
    const hr_status status = hr_readings_parse(building, "fuzz.csv", (const char *)data, size, notes, &readings, &err);
    REQUIRE(status == HR_OK || (err.status == status && err.text[0] != '\0' && readings == NULL));
    if (status == HR_OK) {
        hr_comparison *comparison = NULL;
        REQUIRE(hr_readings_compare(readings, links, &comparison, &err) == HR_OK);
        REQUIRE(comparison->count == readings->heard);
        for (size_t i = 0; i < readings->count; i++) {
            REQUIRE(isfinite(comparison->items[i].predicted_dbm));
            REQUIRE(isfinite(comparison->items[i].difference_db) == readings->items[i].heard);
        }
        hr_comparison_free(comparison);
        check_fit(readings);
        check_acceptance(readings);
        hr_readings_free(readings);
    }
    hr_notes_free(notes);
    return 0;
}
