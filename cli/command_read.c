/*
 * command_read.c - say what was understood.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <hr_report.h>

static hr_status report(const cli_options *options, const hr_building *building, const hr_notes *notes, hr_text *text,
                        hr_error *err)
{
    switch (options->format) {
    case CLI_CSV:
        return hr_report_read_csv(building, text, err);
    case CLI_JSON:
        return hr_report_read_json(building, notes, text, err);
    case CLI_TEXT:
        break;
    }
    return hr_report_read_text(building, text, err);
}

int cli_run_read(const cli_options *options)
{
    hr_error err = {.status = HR_OK};
    hr_text text = {0};
    hr_building *building = NULL;
    hr_notes *notes = hr_notes_new();
    hr_status status = notes == NULL ? hr_fail_memory(&err) : cli_read_building(options, true, notes, &building, &err);
    cli_print_notes(options, notes);
    int stops = 0;
    if (status == HR_OK) {
        char stop[512];
        stops = hr_report_stop(building, 0, stop, sizeof stop) != NULL;
        status = report(options, building, notes, &text, &err);
    }
    const int exit_status = status == HR_OK ? cli_write(options, &text, stops) : cli_fail(&err);
    hr_text_free(&text);
    hr_building_free(building);
    hr_notes_free(notes);
    return exit_status;
}
