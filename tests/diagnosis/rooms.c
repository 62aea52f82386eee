/*
 * rooms.c - the example properties with their gateways, for this program.
 *
 * SPDX-License-Identifier: MIT
 */
#include "diagnosis_tests.h"

#include <stdlib.h>

/* Keeps each `every`-th gateway. */
static void thin_out(hr_building *building, size_t every)
{
    size_t kept = 0;
    for (size_t g = 0; g < building->gateway_count; g += every) {
        building->gateways[kept++] = building->gateways[g];
    }
    building->gateway_count = kept;
}

made_site make_site(const char *property, const char *list, size_t every)
{
    const char *root = getenv("HR_SOURCE_ROOT");
    char path[512];
    made_site site = {0};
    hr_error err = {0};
    root = root == NULL ? "." : root;
    (void)snprintf(path, sizeof path, "%s/examples/%s", root, property);
    hr_status status = hr_building_read(path, NULL, NULL, &site.building, &err);
    if (status == HR_OK) {
        (void)snprintf(path, sizeof path, "%s/tests/golden/inputs/%s", root, list);
        status = hr_building_read_gateways(site.building, path, NULL, &err);
    }
    if (status == HR_OK) {
        thin_out(site.building, every);
        status = hr_links_new(site.building, &site.links, &err);
    }
    if (status == HR_OK) {
        status = hr_siting_rooms(site.building, NULL, NULL, &site.siting, &err);
    }
    if (status != HR_OK) {
        fail_msg("%s: %s", path, err.text);
    }
    return site;
}

void drop_site(made_site *site)
{
    hr_siting_free(site->siting);
    hr_links_free(site->links);
    hr_building_free(site->building);
}

hr_readings *site_readings(const made_site *site, const char *csv)
{
    hr_readings *readings = NULL;
    hr_error err = {0};
    if (hr_readings_parse(site->building, "list.csv", csv, strlen(csv), NULL, &readings, &err) != HR_OK) {
        fail_msg("%s", err.text);
    }
    return readings;
}

hr_why *site_why(const made_site *site, uint32_t room, const hr_why_evidence *evidence)
{
    hr_why *why = NULL;
    hr_error err = {0};
    if (hr_diagnosis_why(site->links, site->building, room, evidence, NULL, &why, &err) != HR_OK) {
        fail_msg("%s", err.text);
    }
    return why;
}

double cause_of(const hr_why *why, const char *cause)
{
    for (size_t i = 0; i < why->cause_count; i++) {
        if (strcmp(why->causes[i].cause, cause) == 0) {
            return why->causes[i].probability;
        }
    }
    fail_msg("no cause %s", cause);
    return (double)NAN;
}
