/*
 * command_accept.c - the installed devices judged by their measured levels.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <hr_report.h>

static hr_status report(const cli_options *options, const hr_acceptance *acceptance, const hr_notes *notes,
                        hr_text *text, hr_error *err)
{
    switch (options->format) {
    case CLI_CSV:
        return hr_report_accept_csv(acceptance, text, err);
    case CLI_JSON:
        return hr_report_accept_json(acceptance, notes, text, err);
    case CLI_TEXT:
        break;
    }
    return hr_report_accept_text(acceptance, text, err);
}

static hr_status plan(const cli_options *options, const hr_building *building, hr_notes *notes, hr_siting **siting,
                      hr_error *err)
{
    cli_progress progress;
    cli_progress_start(options, &progress);
    const hr_siting_options asked = {.progress = cli_progress_show, .user = &progress};
    const hr_status status = hr_siting_rooms(building, &asked, notes, siting, err);
    cli_progress_end(&progress);
    return status;
}

int cli_run_accept(const cli_options *options)
{
    hr_error err = {.status = HR_OK};
    hr_text text = {0};
    hr_building *building = NULL;
    hr_siting *siting = NULL;
    hr_readings *readings = NULL;
    hr_acceptance *acceptance = NULL;
    hr_notes *notes = hr_notes_new();
    hr_status status =
        cli_read_building(options, options->operands[0], (hr_building_options){0}, notes, &building, &err);
    if (status == HR_OK) {
        status = plan(options, building, notes, &siting, &err);
    }
    if (status == HR_OK) {
        status = hr_readings_read(building, options->operands[1], notes, &readings, &err);
    }
    if (status == HR_OK) {
        status = hr_diagnosis_accept(readings, siting, &acceptance, &err);
    }
    cli_print_notes(options, notes);
    if (status == HR_OK) {
        status = report(options, acceptance, notes, &text, &err);
    }
    int exit_status = status == HR_OK ? cli_write_drawings(options, building, siting) : cli_fail(&err);
    if (exit_status == 0) {
        exit_status = cli_write(options, &text, acceptance->verdicts[HR_VERDICT_PASS] < acceptance->count);
    }
    hr_text_free(&text);
    hr_acceptance_free(acceptance);
    hr_siting_free(siting);
    hr_readings_free(readings);
    hr_building_free(building);
    hr_notes_free(notes);
    return exit_status;
}
