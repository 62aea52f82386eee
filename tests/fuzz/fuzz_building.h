/* fuzz_building.h - a small building that lists are read into.
 * SPDX-License-Identifier: MIT */
#ifndef FUZZ_BUILDING_H
#define FUZZ_BUILDING_H

#include <string.h>
#include <unistd.h>

#include "fuzz.h"
#include "hr_building.h"

/* The property with plan.svg beside it; only the plan touches the disk, and not for long. */
static inline hr_building *fuzz_building(const char *plan, const char *property)
{
    char folder[] = "/tmp/hr-fuzz-XXXXXX", path[64], file[64];
    hr_building *building = NULL;
    hr_error err = {0};
    REQUIRE(mkdtemp(folder) != NULL);
    (void)snprintf(path, sizeof path, "%s/plan.svg", folder);
    (void)snprintf(file, sizeof file, "%s/fuzz.ini", folder);
    REQUIRE(hr_file_write(path, plan, strlen(plan), NULL) == HR_OK);
    if (hr_building_parse(file, property, strlen(property), NULL, NULL, &building, &err) != HR_OK) {
        (void)fprintf(stderr, "%s:%d: %s\n", err.file, err.line, err.text);
        abort();
    }
    (void)unlink(path);
    (void)rmdir(folder);
    return building;
}

#endif
