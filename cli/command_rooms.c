/*
 * command_rooms.c - margins for gateways that exist.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <hr_report.h>

static hr_status report(const cli_options *options, const hr_building *building, const hr_siting *siting,
                        const hr_notes *notes, hr_text *text, hr_error *err)
{
    switch (options->format) {
    case CLI_CSV:
        return hr_report_rooms_csv(building, siting, text, err);
    case CLI_JSON:
        return hr_report_siting_json(building, siting, notes, "rooms", text, err);
    case CLI_TEXT:
        break;
    }
    return hr_report_siting_text(building, siting, text, err);
}

int cli_run_rooms(const cli_options *options)
{
    hr_error err = {.status = HR_OK};
    hr_text text = {0};
    hr_building *building = NULL;
    hr_siting *siting = NULL;
    hr_notes *notes = hr_notes_new();
    hr_status status =
        cli_read_building(options, options->operands[0], (hr_building_options){0}, notes, &building, &err);
    if (status == HR_OK && options->anonymous) {
        status = cli_make_anonymous(options, building, &notes, &err);
    }
    if (status == HR_OK) {
        cli_progress progress;
        cli_progress_start(options, &progress);
        const hr_siting_options asked = {.progress = cli_progress_show,
                                         .user = &progress,
                                         .without = options->without.items,
                                         .without_count = options->without.count,
                                         .reasons = options->reasons};
        status = hr_siting_rooms(building, &asked, notes, &siting, &err);
        cli_progress_end(&progress);
    }
    cli_print_notes(options, notes);
    if (status == HR_OK) {
        status = report(options, building, siting, notes, &text, &err);
    }
    int exit_status = status == HR_OK ? cli_write_drawings(options, building, siting) : cli_fail(&err);
    if (exit_status == 0) {
        exit_status = cli_write_page(options, building, siting, notes);
    }
    if (exit_status == 0) {
        exit_status = cli_write(options, &text, siting->served_devices < siting->device_count);
    }
    hr_text_free(&text);
    hr_siting_free(siting);
    hr_building_free(building);
    hr_notes_free(notes);
    return exit_status;
}
