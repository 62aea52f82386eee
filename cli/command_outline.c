/*
 * command_outline.c - storey plans and a property file from numbers alone.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include <hr_estimate.h>
#include <hr_outline.h>

bool cli_outline_option(hr_outline_request *request, const char *name, const char *value)
{
    hr_error err = {.status = HR_OK};
    if (hr_outline_set(request, name, value, &err) != HR_OK) {
        (void)cli_refuse("outline", &err);
        return false;
    }
    return true;
}

/* DIR/NAME.ini -> NAME, to be freed; NULL with the reason in *err. */
static char *stem_of(const char *output, hr_error *err)
{
    const char *slash = strrchr(output, '/');
    const char *base = slash != NULL ? slash + 1 : output;
    const size_t len = strlen(base);
    if (len <= 4 || hr_casecmp(base + len - 4, ".ini") != 0) {
        (void)hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "output: DIR/NAME.ini was expected, not %s", output);
        return NULL;
    }
    char *stem = hr_strndup(base, len - 4);
    if (stem == NULL) {
        (void)hr_fail_memory(err);
    }
    return stem;
}

static hr_status write_beside(const char *output, const char *file, const hr_text *text, hr_error *err)
{
    char *path = hr_path_beside(output, file);
    const hr_status status = path == NULL ? hr_fail_memory(err) : hr_file_write(path, text->bytes, text->len, err);
    hr_free(path);
    return status;
}

/* Outlines are meant to be edited by hand: what stands there is not replaced. */
static hr_status refuse_existing(const char *output, const hr_outline *outline, hr_error *err)
{
    hr_status status = HR_OK;
    for (size_t i = 0; i <= outline->plan_count && status == HR_OK; i++) {
        char *path = i < outline->plan_count ? hr_path_beside(output, outline->plans[i].file) : hr_strdup(output);
        if (path == NULL) {
            return hr_fail_memory(err);
        }
        if (access(path, F_OK) == 0) {
            status = hr_fail(err, HR_ERR_OUTPUT, path, 0, "is there already and may have been edited: remove it or choose another name");
        }
        hr_free(path);
    }
    return status;
}

/* The plans written so far: none of them was there before. */
static void take_back(const char *output, const hr_outline *outline, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        char *path = hr_path_beside(output, outline->plans[i].file);
        if (path != NULL) {
            (void)unlink(path);
        }
        hr_free(path);
    }
}

/* Plans first: a property file never names a plan that is not there. All or none: what is left of a set would stand in
 * the way of the next try. */
static hr_status write_all(const char *output, const hr_outline *outline, hr_error *err)
{
    hr_status status = refuse_existing(output, outline, err);
    size_t written = 0;
    while (status == HR_OK && written < outline->plan_count) {
        status = write_beside(output, outline->plans[written].file, &outline->plans[written].svg, err);
        written += status == HR_OK;
    }
    if (status == HR_OK) {
        status = hr_file_write(output, outline->property.bytes, outline->property.len, err);
    }
    if (status != HR_OK) {
        take_back(output, outline, written);
    }
    return status;
}

int cli_run_outline(const cli_options *options)
{
    hr_error err = {.status = HR_OK};
    if (options->output == NULL) {
        (void)fprintf(stderr,
                      "hallreach outline: --output DIR/NAME.ini was expected: the plans are written beside it\n");
        return hr_status_exit(HR_ERR_USAGE);
    }
    char *stem = stem_of(options->output, &err);
    hr_outline *outline = NULL;
    hr_status status = stem == NULL ? err.status : hr_outline_make(&options->outline, stem, &outline, &err);
    if (status == HR_OK) {
        status = hr_estimate_check_materials(&options->outline, &err);
    }
    if (status == HR_OK) {
        status = write_all(options->output, outline, &err);
    }
    if (status == HR_OK && !options->quiet) {
        (void)fprintf(stderr, "%s: %zu rooms", options->output, outline->rooms);
        for (size_t i = 0; i < outline->plan_count; i++) {
            (void)fprintf(stderr, "%s%s", i == 0 ? ", plans " : " and ", outline->plans[i].file);
        }
        (void)fprintf(stderr, "\n");
    }
    hr_outline_free(outline);
    hr_free(stem);
    return status == HR_OK ? 0 : cli_refuse("outline", &err);
}
