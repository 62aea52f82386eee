/*
 * fuzz_lists.c - lists of gateways read into a small building.
 *
 * SPDX-License-Identifier: MIT
 */
#include <math.h>
#include <string.h>

#include "fuzz_building.h"
#include "hr_building.h"
#include "hr_limits.h"

static const char plan[] = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1000 1000'>"
                           "<g data-name='scale: 10 m'><line x1='0' y1='900' x2='1000' y2='900'/></g>"
                           "<g data-name='walls: plasterboard'><path d='M0 0H800V700H0Z'/></g>"
                           "<g data-name='rooms'><rect width='400' height='500'><title>01</title></rect></g>"
                           "<g data-name='keep-out'><rect x='500' width='100' height='100'/></g></svg>";
static const char property[] = "[property]\nname = fuzz\nlength_unit = ft\n[radio]\nfrequency_mhz = 915\n"
                               "[storey ground]\nplan = plan.svg\n[storey 2-3]\nplan = plan.svg\n";

static hr_building *building;

static void free_building(void)
{
    hr_building_free(building);
}

static void prepare(void)
{
    building = fuzz_building(plan, property);
    REQUIRE(atexit(free_building) == 0);
}

static void check_gateways(const hr_building *b)
{
    hr_names *ids = hr_names_new();
    REQUIRE(ids != NULL && b->gateway_count <= HR_MAX_GATEWAYS);
    for (size_t i = 0; i < b->gateway_count; i++) {
        const hr_gateway *g = &b->gateways[i];
        REQUIRE(g->id[0] != '\0' && strlen(g->id) <= HR_MAX_NAME_BYTES && hr_names_find(ids, g->id) == SIZE_MAX);
        REQUIRE(hr_names_add(ids, g->id, i));
        REQUIRE(g->storey < b->storey_count && fabs(g->at.x) <= 1.0001e6 && fabs(g->at.y) <= 1.0001e6);
        REQUIRE(g->mount_height_m >= 0.0 && g->mount_height_m <= 100.0 && isfinite(g->z_m) && g->existing);
        REQUIRE(g->spot == NULL || g->spot[0] != '\0');
        REQUIRE(g->network_id == NULL || g->network_id[0] != '\0');
    }
    hr_names_free(ids);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size > 1 << 16) {
        return 0;
    }
    if (building == NULL) {
        prepare();
    }
    hr_notes *notes = hr_notes_new();
    hr_error err = {0};
    const hr_status status = hr_building_parse_gateways(building, "fuzz.csv", (const char *)data, size, notes, &err);
    REQUIRE(status == HR_OK || (err.status == status && err.text[0] != '\0'));
    check_gateways(building);
    hr_notes_free(notes);
    return 0;
}
