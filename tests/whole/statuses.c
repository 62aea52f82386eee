/*
 * statuses.c - every status of the library by a situation that brings it about.
 * The list is the header's own: a status added there without a situation here fails.
 *
 * SPDX-License-Identifier: MIT
 */
#include "property.h"
#include "statuses.h"

#include "hr_coverage.h"
#include "hr_diagnosis.h"
#include "hr_siting.h"

typedef struct scene {
    hr_building *building;
    hr_links *links;
    hr_error err;
} scene;

static const char drawing[] = PROPERTY_HEAD
    "<g inkscape:label=\"walls: brick-100\" stroke=\"#000\"><rect width=\"4\" height=\"6\" fill=\"none\"/></g>"
    "<g inkscape:label=\"rooms\"><rect width=\"4\" height=\"6\"><title>1</title></rect></g>"
    "<g inkscape:label=\"spots\"><circle cx=\"2\" cy=\"0.05\" r=\"0.05\"><title>a</title></circle></g></svg>";
static const char property[] = "[property]\nname = One\nlength_unit = m\n[radio]\nfrequency_mhz = 915\nmodel = routes\n"
                               "[storey 1]\nplan = plan.svg\n";

static hr_status nothing_wrong(scene *s)
{
    hr_siting *siting = NULL;
    const hr_status status = hr_siting_place(s->building, NULL, NULL, &siting, &s->err);
    hr_siting_free(siting);
    return status;
}

static hr_status a_step_of_nothing(scene *s)
{
    hr_coverage_field *field = NULL;
    const hr_site site = {{1.0, 1.0}, 2.0, 0};
    return hr_coverage_field_new(s->building, s->links, 0, 0, &site, 1, 0.0, &field, &s->err);
}

static hr_status a_spot_nobody_knows(scene *s)
{
    const char *const must[] = {"gw-9"};
    const hr_siting_options options = {.must = must, .must_count = 1};
    hr_siting *siting = NULL;
    return hr_siting_place(s->building, &options, NULL, &siting, &s->err);
}

static hr_status a_file_that_is_not_there(scene *s)
{
    char *bytes = NULL;
    size_t len = 0;
    return hr_file_read("/nowhere/plan.svg", 10, &bytes, &len, &s->err);
}

static hr_status a_fit_of_another_model(scene *s)
{
    const hr_readings readings = {.building = s->building};
    hr_fit *fit = NULL;
    return hr_diagnosis_fit(&readings, s->links, &fit, &s->err);
}

static hr_status a_file_without_end(scene *s)
{
    char *bytes = NULL;
    size_t len = 0;
    return hr_file_read("/dev/zero", 1000, &bytes, &len, &s->err);
}

static hr_status a_folder_that_is_not_there(scene *s)
{
    return hr_file_write("/nowhere/report.txt", "x", 1, &s->err);
}

/* More cells than there are addresses. */
static hr_status a_matrix_of_everything(scene *s)
{
    const hr_site site = {{1.0, 1.0}, 2.0, 0};
    const uint32_t devices[3] = {0};
    hr_coverage *coverage = NULL;
    return hr_coverage_new(s->building, s->links, &site, SIZE_MAX / 2, devices, 3, 30.0, NULL, NULL, &coverage,
                           &s->err);
}

static bool stop_it(void *user, size_t done, size_t total)
{
    (void)user;
    (void)done;
    (void)total;
    return false;
}

static hr_status an_impatient_user(scene *s)
{
    const hr_site site = {{1.0, 1.0}, 2.0, 0};
    const uint32_t device = 0;
    hr_coverage *coverage = NULL;
    return hr_coverage_new(s->building, s->links, &site, 1, &device, 1, 30.0, stop_it, NULL, &coverage, &s->err);
}

static const struct {
    const char *name;
    hr_status status;
    hr_status (*situation)(scene *s);
    const char *says;
} situations[] = {
    {"HR_OK", HR_OK, nothing_wrong, ""},
    {"HR_ERR_ARGUMENT", HR_ERR_ARGUMENT, a_step_of_nothing, "a grid finer than 0.05 m"},
    {"HR_ERR_USAGE", HR_ERR_USAGE, a_spot_nobody_knows, "gw-9: no spot of this name"},
    {"HR_ERR_INPUT", HR_ERR_INPUT, a_file_that_is_not_there, "No such file or directory"},
    {"HR_ERR_UNAVAILABLE", HR_ERR_UNAVAILABLE, a_fit_of_another_model, "multi-wall was expected"},
    {"HR_ERR_LIMIT", HR_ERR_LIMIT, a_file_without_end, "1000"},
    {"HR_ERR_OUTPUT", HR_ERR_OUTPUT, a_folder_that_is_not_there, "cannot be written"},
    {"HR_ERR_MEMORY", HR_ERR_MEMORY, a_matrix_of_everything, "memory"},
    {"HR_ERR_INTERRUPTED", HR_ERR_INTERRUPTED, an_impatient_user, "interrupted"},
};

#define SITUATIONS (sizeof situations / sizeof situations[0])

/* The names of the header's enum, in its order. */
static void check_header(void)
{
    const char *root = getenv("HR_SOURCE_ROOT");
    char path[600];
    char *bytes = NULL;
    size_t len = 0, found = 0;
    hr_error err = {.status = HR_OK};
    (void)snprintf(path, sizeof path, "%s/lib/base/hr_base.h", root != NULL ? root : ".");
    assert_int_equal(hr_file_read(path, (size_t)1 << 20, &bytes, &len, &err), HR_OK);
    const char *at = strstr(bytes, "typedef enum hr_status {"), *end = strstr(bytes, "} hr_status;");
    assert_true(at != NULL && end != NULL && at < end);
    for (at = strstr(at, "    HR_"); at != NULL && at < end; at = strstr(at + 1, "\n    HR_")) {
        const char *name = at + strspn(at, "\n ");
        const size_t width = strspn(name, "ABCDEFGHIJKLMNOPQRSTUVWXYZ_");
        if (found >= SITUATIONS || strlen(situations[found].name) != width ||
            strncmp(name, situations[found].name, width) != 0) {
            fail_msg("status %.*s: no situation brings it about", (int)width, name);
        }
        found++;
    }
    assert_int_equal(found, SITUATIONS);
    hr_free(bytes);
}

void every_status_is_brought_about(void **unused)
{
    (void)unused;
    check_header();
    scene s = {.building = property_made(property, drawing)};
    assert_int_equal(hr_links_new(s.building, &s.links, &s.err), HR_OK);
    for (size_t i = 0; i < SITUATIONS; i++) {
        s.err = (hr_error){.status = HR_OK};
        assert_int_equal(situations[i].status, i);
        const hr_status status = situations[i].situation(&s);
        if (status != situations[i].status || s.err.status != status ||
            strstr(s.err.text, situations[i].says) == NULL) {
            fail_msg("%s: got %s, \"%s\"", situations[i].name, hr_status_name(status), s.err.text);
        }
    }
    hr_links_free(s.links);
    hr_building_free(s.building);
}
