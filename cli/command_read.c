/*
 * command_read.c - say what was understood.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <string.h>

#include <hr_limits.h>
#include <hr_report.h>

/* Material names are the same at every frequency. */
#define ANY_MHZ 915.0

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

/* ---- --suggest ---- */

static bool is_drawing(const char *path)
{
    const size_t len = strlen(path);
    return len > 4 && hr_casecmp(path + len - 4, ".svg") == 0;
}

static hr_status look_at(const hr_plan_file *file, const hr_materials *materials, hr_notes *notes,
                         hr_plan_survey **survey, hr_error *err)
{
    char *bytes = NULL;
    size_t len = 0;
    hr_svg_drawing *drawing = NULL;
    hr_status status = hr_file_read(file->path, HR_MAX_FILE_BYTES, &bytes, &len, err);
    if (status == HR_OK) {
        status = hr_svg_read(file->path, bytes, len, notes, &drawing, err);
    }
    hr_free(bytes);
    if (status == HR_OK) {
        status = hr_plan_look(drawing, file->layer, materials, survey, err);
    }
    hr_svg_free(drawing);
    return status;
}

static hr_status look_at_all(const hr_plan_file *files, size_t count, const hr_materials *materials, hr_notes *notes,
                             hr_text *text, hr_error *err)
{
    hr_plan_survey **surveys = hr_alloc_zero(count, sizeof *surveys);
    hr_status status = surveys == NULL ? hr_fail_memory(err) : HR_OK;
    for (size_t i = 0; i < count && status == HR_OK; i++) {
        status = look_at(&files[i], materials, notes, &surveys[i], err);
    }
    if (status == HR_OK) {
        status = hr_report_suggest((const hr_plan_survey *const *)surveys, count, text, err);
    }
    for (size_t i = 0; surveys != NULL && i < count; i++) {
        hr_plan_survey_free(surveys[i]);
    }
    hr_free(surveys);
    return status;
}

static hr_status suggest(const cli_options *options, hr_notes *notes, hr_text *text, hr_error *err)
{
    if (is_drawing(options->operands[0])) {
        const hr_plan_file file = {.path = options->operands[0]};
        hr_materials *materials = NULL;
        hr_status status = hr_materials_new(ANY_MHZ, &materials, err);
        if (status == HR_OK) {
            status = look_at_all(&file, 1, materials, notes, text, err);
        }
        hr_materials_free(materials);
        return status;
    }
    const hr_building_options reading = {.sets = options->sets, .set_count = options->set_count};
    hr_building_plans *plans = NULL;
    hr_status status = hr_building_plan_files(options->operands[0], &reading, NULL, &plans, err);
    if (status == HR_OK) {
        status = look_at_all(plans->files, plans->count, plans->materials, notes, text, err);
    }
    hr_building_plans_free(plans);
    return status;
}

static int run_suggest(const cli_options *options)
{
    hr_error err = {.status = HR_OK};
    hr_text text = {0};
    hr_notes *notes = hr_notes_new();
    const hr_status status = notes == NULL ? hr_fail_memory(&err) : suggest(options, notes, &text, &err);
    cli_print_notes(options, notes);
    const int exit_status = status == HR_OK ? cli_write(options, &text, 0) : cli_fail(&err);
    hr_text_free(&text);
    hr_notes_free(notes);
    return exit_status;
}

int cli_run_read(const cli_options *options)
{
    if (options->suggest) {
        return run_suggest(options);
    }
    hr_error err = {.status = HR_OK};
    hr_text text = {0};
    hr_building *building = NULL;
    hr_notes *notes = hr_notes_new();
    const hr_building_options lenient = {.lenient = true, .keep_left = options->drawing != NULL};
    hr_status status = cli_read_building(options, options->operands[0], lenient, notes, &building, &err);
    cli_print_notes(options, notes);
    int stops = 0;
    if (status == HR_OK) {
        char stop[512];
        stops = hr_report_stop(building, 0, stop, sizeof stop) != NULL;
        status = report(options, building, notes, &text, &err);
    }
    int exit_status = status == HR_OK ? cli_write_drawings(options, building, NULL) : cli_fail(&err);
    if (exit_status == 0) {
        exit_status = cli_write(options, &text, stops);
    }
    hr_text_free(&text);
    hr_building_free(building);
    hr_notes_free(notes);
    return exit_status;
}
