/*
 * command_materials.c - the attenuation tables.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <hr_report.h>

int cli_run_materials(const cli_options *options)
{
    hr_error err = {.status = HR_OK};
    hr_text text = {0};
    const hr_status status = options->format == CLI_CSV ? hr_report_materials_csv(options->frequency_mhz, &text, &err)
                                                        : hr_report_materials_text(options->frequency_mhz, &text, &err);
    const int exit_status = status == HR_OK ? cli_write(options, &text, 0) : cli_fail(&err);
    hr_text_free(&text);
    return exit_status;
}
