/*
 * command_fit.c - the model fitted to a building's own readings.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <hr_report.h>

int cli_run_fit(const cli_options *options)
{
    hr_error err = {.status = HR_OK};
    hr_text text = {0};
    hr_building *building = NULL;
    hr_links *links = NULL;
    hr_readings *readings = NULL;
    hr_fit *fit = NULL;
    hr_notes *notes = hr_notes_new();
    /* a fit starts from the tables, whatever the last one found */
    const hr_building_options unfitted = {.no_fitted = true};
    hr_status status = cli_read_building(options, options->operands[0], unfitted, notes, &building, &err);
    if (status == HR_OK) {
        status = hr_readings_read(building, options->operands[1], notes, &readings, &err);
    }
    if (status == HR_OK) {
        status = hr_links_new(building, &links, &err);
    }
    if (status == HR_OK) {
        status = hr_diagnosis_fit(readings, links, &fit, &err);
    }
    cli_print_notes(options, notes);
    if (status == HR_OK) {
        status = options->format == CLI_JSON ? hr_report_fit_json(fit, notes, &text, &err)
                                             : hr_report_fit_ini(fit, &text, &err);
    }
    const int exit_status =
        status == HR_OK ? cli_write(options, &text, readings->fault_count > 0) : cli_fail(&err);
    hr_text_free(&text);
    hr_fit_free(fit);
    hr_readings_free(readings);
    hr_links_free(links);
    hr_building_free(building);
    hr_notes_free(notes);
    return exit_status;
}
