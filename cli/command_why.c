/*
 * command_why.c - one room: its links line by line, what ails it, what helps.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <hr_report.h>

static hr_status report(const cli_options *options, const hr_why *why, const hr_notes *notes, hr_text *text,
                        hr_error *err)
{
    if (options->sheet) {
        return hr_report_why_sheet(why, text, err);
    }
    switch (options->format) {
    case CLI_CSV:
        return hr_report_why_csv(why, text, err);
    case CLI_JSON:
        return hr_report_why_json(why, notes, text, err);
    case CLI_TEXT:
        break;
    }
    return hr_report_why_text(why, text, err);
}

int cli_run_why(const cli_options *options)
{
    hr_error err = {.status = HR_OK};
    hr_text text = {0};
    hr_building *building = NULL;
    hr_links *links = NULL;
    hr_readings *readings = NULL;
    hr_why *why = NULL;
    uint32_t room = 0;
    hr_notes *notes = hr_notes_new();
    hr_status status =
        cli_read_building(options, options->operands[1], (hr_building_options){0}, notes, &building, &err);
    if (status == HR_OK) {
        status = hr_diagnosis_room(building, options->operands[0], &room, &err);
    }
    if (status == HR_OK) {
        status = hr_links_new(building, &links, &err);
    }
    if (status == HR_OK && options->readings != NULL) {
        status = hr_readings_read(building, options->readings, notes, &readings, &err);
    }
    if (status == HR_OK) {
        const hr_why_evidence evidence = {.rssi = options->rssi.items,
                                          .rssi_count = options->rssi.count,
                                          .not_heard = options->not_heard,
                                          .joined = options->joined,
                                          .door = options->door,
                                          .quality = options->quality,
                                          .quality_map = options->quality_map,
                                          .loss_percent = options->loss_percent,
                                          .readings = readings};
        status = hr_diagnosis_why(links, building, room, &evidence, notes, &why, &err);
    }
    cli_print_notes(options, notes);
    if (status == HR_OK) {
        status = report(options, why, notes, &text, &err);
    }
    int exit_status = status == HR_OK
                          ? cli_write_drawing_of(options, building, why->siting, building->rooms[room].storey)
                          : cli_fail(&err);
    if (exit_status == 0) {
        exit_status = cli_write(options, &text, !why->served);
    }
    hr_text_free(&text);
    hr_why_free(why);
    hr_readings_free(readings);
    hr_links_free(links);
    hr_building_free(building);
    hr_notes_free(notes);
    return exit_status;
}
