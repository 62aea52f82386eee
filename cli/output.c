/*
 * output.c - data to standard output or a file, words to standard error.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <errno.h>
#include <stdio.h>
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

hr_status cli_read_building(const cli_options *options, const char *path, hr_building_options how, hr_notes *notes,
                            hr_building **building, hr_error *err)
{
    if (notes == NULL) {
        return hr_fail_memory(err);
    }
    how.sets = options->sets;
    how.set_count = options->set_count;
    const hr_status status = hr_building_read(path, &how, notes, building, err);
    return status == HR_OK && options->gateways != NULL
               ? hr_building_read_gateways(*building, options->gateways, notes, err)
               : status;
}

bool cli_same_file(const char *a, const char *b)
{
    struct stat left, right;
    return stat(a, &left) == 0 && stat(b, &right) == 0 && left.st_dev == right.st_dev && left.st_ino == right.st_ino;
}
