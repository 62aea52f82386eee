/*
 * output.c - data to standard output or a file, words to standard error.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

void cli_print_notes(const cli_options *options, const hr_notes *notes)
{
    if (options->quiet) {
        return;
    }
    for (size_t i = 0; i < hr_notes_count(notes); i++) {
        (void)fprintf(stderr, "warning: %s\n", hr_notes_text(notes, i));
    }
}

void cli_say(const hr_error *err)
{
    char text[HR_ERROR_TEXT_MAX + HR_ERROR_FILE_MAX + 32];
    hr_error_format(err, text, sizeof text);
    (void)fprintf(stderr, "hallreach: %s\n", text);
}

int cli_refuse(const char *command, const hr_error *err)
{
    if (err->status != HR_ERR_ARGUMENT) {
        return cli_fail(err);
    }
    (void)fprintf(stderr, "hallreach %s: --%s\n", command, err->text);
    return hr_status_exit(HR_ERR_USAGE);
}

int cli_write(const cli_options *options, hr_text *text, int exit_status)
{
    hr_error err = {.status = HR_OK};
    hr_status status = text->failed ? hr_fail_memory(&err) : HR_OK;
    if (status == HR_OK) {
        status = hr_file_write(options->output != NULL ? options->output : "-", text->bytes != NULL ? text->bytes : "",
                               text->len, &err);
    }
    const bool reader_left = status == HR_ERR_OUTPUT && errno == EPIPE;
    hr_text_free(text);
    if (reader_left) {
        return hr_status_exit(status); /* a closed pipe is no news to anybody */
    }
    return status == HR_OK ? exit_status : cli_fail(&err);
}

/* An output in place of what was read would be the end of it. */
static hr_status check_output(const cli_options *options, const char *property, const hr_building *building, hr_error *err)
{
    const char *output = options->output, *what = NULL;
    if (output != NULL && cli_same_file(output, property)) {
        what = "the property file itself";
    } else if (output != NULL && cli_is_plan(building, output)) {
        what = "a plan of the property";
    }
    return what == NULL ? HR_OK
                        : hr_fail(err, HR_ERR_USAGE, NULL, 0, "--output names %s: %s; choose another name", what, output);
}

hr_status cli_read_building(const cli_options *options, const char *path, hr_building_options how, hr_notes *notes,
                            hr_building **building, hr_error *err)
{
    if (notes == NULL) {
        return hr_fail_memory(err);
    }
    how.sets = options->sets;
    how.set_count = options->set_count;
    hr_status status = hr_building_read(path, &how, notes, building, err);
    if (status == HR_OK) {
        status = check_output(options, path, *building, err);
    }
    return status == HR_OK && options->gateways != NULL
               ? hr_building_read_gateways(*building, options->gateways, notes, err)
               : status;
}

static bool same_inode(const char *a, const char *b)
{
    struct stat left, right;
    return stat(a, &left) == 0 && stat(b, &right) == 0 && left.st_dev == right.st_dev && left.st_ino == right.st_ino;
}

static const char *last_part(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash != NULL ? slash + 1 : path;
}

bool cli_same_file(const char *a, const char *b)
{
    if (strcmp(a, b) == 0 || same_inode(a, b)) {
        return true;
    }
    /* neither need be there yet: one name in one folder */
    const char *left = last_part(a), *right = last_part(b);
    char *left_folder = hr_strndup(a, (size_t)(left - a)), *right_folder = hr_strndup(b, (size_t)(right - b));
    const bool same = left_folder != NULL && right_folder != NULL && strcmp(left, right) == 0 &&
                      same_inode(left_folder[0] != '\0' ? left_folder : ".", right_folder[0] != '\0' ? right_folder : ".");
    hr_free(left_folder);
    hr_free(right_folder);
    return same;
}

bool cli_is_plan(const hr_building *building, const char *name)
{
    for (size_t i = 0; i < building->plan_count; i++) {
        if (cli_same_file(name, building->plans[i]->file)) {
            return true;
        }
    }
    return false;
}
