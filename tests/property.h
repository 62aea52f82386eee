/*
 * property.h - a property made from strings: the plan and the property file
 * go to a fresh folder, are read, and the folder is removed.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef PROPERTY_H
#define PROPERTY_H

#include <stdlib.h>
#include <unistd.h>

#include "check.h"

#include "hr_building.h"

#define PROPERTY_HEAD                                                                                                  \
    "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:inkscape=\"http://www.inkscape.org/namespaces/inkscape\">\n"      \
    "<g inkscape:label=\"scale: 10 m\"><line x1=\"0\" y1=\"-5\" x2=\"10\" y2=\"-5\"/></g>\n"

static inline void property_write(const char *folder, const char *name, const char *text)
{
    char path[512];
    hr_error err = {.status = HR_OK};
    (void)snprintf(path, sizeof path, "%s/%s", folder, name);
    if (hr_file_write(path, text, strlen(text), &err) != HR_OK) {
        fail_msg("%s: %s", path, err.text);
    }
}

static inline void property_remove(const char *folder, const char *name)
{
    char path[512];
    (void)snprintf(path, sizeof path, "%s/%s", folder, name);
    (void)unlink(path);
}

/* Reads ini (its plan is plan.svg) with the given drawing. */
static inline hr_status property_try(const char *ini, const char *svg, hr_notes *notes, hr_building **building,
                                     hr_error *err)
{
    char folder[] = "/tmp/hallreach-test-XXXXXX";
    assert_non_null(mkdtemp(folder));
    property_write(folder, "plan.svg", svg);
    property_write(folder, "property.ini", ini);
    char path[512];
    (void)snprintf(path, sizeof path, "%s/property.ini", folder);
    const hr_building_options options = {.lenient = false};
    const hr_status status = hr_building_read(path, &options, notes, building, err);
    property_remove(folder, "plan.svg");
    property_remove(folder, "property.ini");
    (void)rmdir(folder);
    return status;
}

static inline hr_building *property_made(const char *ini, const char *svg)
{
    hr_building *building = NULL;
    hr_error err = {.status = HR_OK};
    if (property_try(ini, svg, NULL, &building, &err) != HR_OK) {
        char text[900];
        hr_error_format(&err, text, sizeof text);
        fail_msg("%s", text);
    }
    return building;
}

#endif
