/*
 * command_compare.c - measured levels beside predicted ones.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <hr_report.h>

static hr_status report(const cli_options *options, const hr_comparison *comparison, const hr_notes *notes,
                        hr_text *text, hr_error *err)
{
    switch (options->format) {
    case CLI_CSV:
        return hr_report_compare_csv(comparison, text, err);
    case CLI_JSON:
        return hr_report_compare_json(comparison, notes, text, err);
    case CLI_TEXT:
        break;
    }
    return hr_report_compare_text(comparison, text, err);
}

int cli_run_compare(const cli_options *options)
{
    hr_error err = {.status = HR_OK};
    hr_text text = {0};
    hr_building *building = NULL;
    hr_links *links = NULL;
    hr_readings *readings = NULL;
    hr_comparison *comparison = NULL;
    hr_siting *siting = NULL;
    hr_notes *notes = hr_notes_new();
    hr_status status =
        cli_read_building(options, options->operands[0], (hr_building_options){0}, notes, &building, &err);
    if (status == HR_OK) {
        status = hr_readings_read(building, options->operands[1], notes, &readings, &err);
    }
    if (status == HR_OK && readings->count == 0) {
        status = hr_fail(&err, HR_ERR_INPUT, readings->file, 0, "no row could be used: at least one reading was expected");
    }
    if (status == HR_OK) {
        status = hr_links_new(building, &links, &err);
    }
    if (status == HR_OK) {
        status = hr_readings_compare(readings, links, &comparison, &err);
    }
    cli_print_notes(options, notes);
    if (status == HR_OK) {
        status = report(options, comparison, notes, &text, &err);
    }
    if (status == HR_OK && options->drawing != NULL && building->gateway_count > 0) {
        status = hr_siting_rooms(building, &(hr_siting_options){0}, NULL, &siting, &err);
    }
    int exit_status = status == HR_OK ? cli_write_drawings(options, building, siting) : cli_fail(&err);
    if (exit_status == 0) {
        exit_status = cli_write(options, &text, readings->fault_count > 0);
    }
    hr_siting_free(siting);
    hr_text_free(&text);
    hr_comparison_free(comparison);
    hr_readings_free(readings);
    hr_links_free(links);
    hr_building_free(building);
    hr_notes_free(notes);
    return exit_status;
}
