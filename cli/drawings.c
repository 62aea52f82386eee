/*
 * drawings.c - `--drawing FILE.svg`: a drawing of every storey, %s in the name
 * standing for the storey. Nothing that was read is overwritten.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <stdio.h>
#include <string.h>

#include <hr_report.h>

/* FILE with the storey's name in place of %s; letters that a file's name should not have become _. */
static void file_name(const char *pattern, const char *storey, hr_text *name)
{
    const char *mark = strstr(pattern, "%s");
    hr_text_add_n(name, pattern, mark != NULL ? (size_t)(mark - pattern) : strlen(pattern));
    if (mark == NULL) {
        return;
    }
    for (const char *at = storey; *at != '\0'; at++) {
        const bool plain = (*at >= 'a' && *at <= 'z') || (*at >= 'A' && *at <= 'Z') || (*at >= '0' && *at <= '9') ||
                           strchr("_@.-", *at) != NULL || (unsigned char)*at >= 0x80;
        hr_text_add_n(name, plain ? at : "_", 1);
    }
    hr_text_add(name, mark + 2);
}

/* A drawing in place of the plan it shows, or of another storey's, would be a loss. */
static hr_status check_name(const cli_options *options, const hr_building *building, size_t storey, const char *name,
                            hr_error *err)
{
    for (size_t i = 0; i < options->operand_count; i++) {
        if (cli_same_file(name, options->operands[i])) {
            return hr_fail(err, HR_ERR_USAGE, NULL, 0, "--drawing names %s: %s",
                           i == 0 ? "the property file itself" : "a list that is read", name);
        }
    }
    if (options->readings != NULL && cli_same_file(name, options->readings)) {
        return hr_fail(err, HR_ERR_USAGE, NULL, 0, "--drawing names a list that is read: %s", name);
    }
    if (options->gateways != NULL && cli_same_file(name, options->gateways)) {
        return hr_fail(err, HR_ERR_USAGE, NULL, 0, "--drawing names the list of gateways: %s", name);
    }
    if (options->output != NULL && cli_same_file(name, options->output)) {
        return hr_fail(err, HR_ERR_USAGE, NULL, 0, "--drawing and --output name the same file: %s", name);
    }
    if (options->page != NULL && cli_same_file(name, options->page)) {
        return hr_fail(err, HR_ERR_USAGE, NULL, 0, "--drawing and --page name the same file: %s", name);
    }
    if (cli_is_plan(building, name)) {
        return hr_fail(err, HR_ERR_USAGE, NULL, 0, "--drawing names a plan of the property: %s; choose another name", name);
    }
    const bool each = strstr(options->drawing, "%s") != NULL;
    for (size_t before = 0; each && before < storey; before++) {
        hr_text other = {0};
        file_name(options->drawing, building->storeys[before].name, &other);
        const bool same = !other.failed && strcmp(other.bytes, name) == 0;
        hr_text_free(&other);
        if (same) {
            return hr_fail(err, HR_ERR_USAGE, NULL, 0, "storeys %s and %s would both be drawn into %s",
                           building->storeys[before].name, building->storeys[storey].name, name);
        }
    }
    return HR_OK;
}

bool cli_is_date(const char *text)
{
    static const char shape[] = "dddd-dd-dd";
    for (size_t i = 0; i < sizeof shape; i++) {
        if (shape[i] == 'd' ? text[i] < '0' || text[i] > '9' : text[i] != shape[i]) {
            return false;
        }
    }
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    const int year = 1000 * (text[0] - '0') + 100 * (text[1] - '0') + 10 * (text[2] - '0') + text[3] - '0';
    const int month = 10 * (text[5] - '0') + text[6] - '0', day = 10 * (text[8] - '0') + text[9] - '0';
    const bool leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    return month >= 1 && month <= 12 && day >= 1 && day <= days[month - 1] + (month == 2 && leap ? 1 : 0);
}

static hr_status draw(const cli_options *options, const hr_building *building, const hr_siting *siting,
                      const hr_links *links, size_t storey, hr_error *err)
{
    const hr_report_drawing_options look = {.field = options->grid_m > 0.0 ? HR_DRAWING_GRID : HR_DRAWING_CONTOURS,
                                            .step_m = options->grid_m,
                                            .date = options->date,
                                            .links = links};
    hr_text name = {0}, drawing = {0};
    file_name(options->drawing, building->storeys[storey].name, &name);
    hr_status status = name.failed ? hr_fail_memory(err) : check_name(options, building, storey, name.bytes, err);
    if (status == HR_OK) {
        status = hr_report_drawing_of(building, siting, (uint32_t)storey, &look, &drawing, err);
    }
    if (status == HR_OK) {
        status = hr_file_write(name.bytes, drawing.bytes, drawing.len, err);
    }
    hr_text_free(&name);
    hr_text_free(&drawing);
    return status;
}

/* Storeys from `first` on, `count` of them. */
static int draw_storeys(const cli_options *options, const hr_building *building, const hr_siting *siting, size_t first,
                        size_t count)
{
    if (options->drawing == NULL) {
        return 0;
    }
    hr_error err = {.status = HR_OK};
    hr_status status = HR_OK;
    hr_links *links = NULL;
    if (count > 1 && strstr(options->drawing, "%s") == NULL) {
        status = hr_fail(&err, HR_ERR_USAGE, NULL, 0,
                         "--drawing %s: the property has %zu storeys; %%s was expected in the name, for the storey",
                         options->drawing, count);
    }
    if (status == HR_OK && siting != NULL) {
        status = hr_links_new(building, &links, &err);
    }
    for (size_t i = first; i < first + count && status == HR_OK; i++) {
        status = draw(options, building, siting, links, i, &err);
    }
    hr_links_free(links);
    return status == HR_OK ? 0 : cli_fail(&err);
}

int cli_write_drawings(const cli_options *options, const hr_building *building, const hr_siting *siting)
{
    return draw_storeys(options, building, siting, 0, building->storey_count);
}

int cli_write_drawing_of(const cli_options *options, const hr_building *building, const hr_siting *siting,
                         uint32_t storey)
{
    return draw_storeys(options, building, siting, storey, 1);
}
