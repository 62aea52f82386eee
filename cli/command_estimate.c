/*
 * command_estimate.c - how many gateways, from a property file or from
 * numbers alone.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <stdio.h>
#include <string.h>

#include <hr_estimate.h>
#include <hr_report.h>

bool cli_estimate_option(hr_estimate_numbers *numbers, const char *name, const char *value)
{
    hr_error err = {.status = HR_OK};
    if (hr_estimate_set(numbers, name, value, &err) != HR_OK) {
        (void)cli_refuse("estimate", &err);
        return false;
    }
    return true;
}

static hr_status report(const cli_options *options, const hr_building *building, const hr_estimate *estimate,
                        const hr_notes *notes, hr_text *text, hr_error *err)
{
    switch (options->format) {
    case CLI_CSV:
        return hr_report_estimate_csv(building, estimate, text, err);
    case CLI_JSON:
        return hr_report_estimate_json(building, estimate, notes, text, err);
    case CLI_TEXT:
        break;
    }
    return hr_report_estimate_text(building, estimate, text, err);
}

static hr_status read_building(const cli_options *options, const char *path, hr_notes *notes, hr_building **building,
                               hr_error *err)
{
    if (path == NULL) {
        return hr_estimate_building(&options->numbers, options->sets, options->set_count, notes, building, err);
    }
    return cli_read_building(options, path, (hr_building_options){0}, notes, building, err);
}

/* One property: a path, or NULL for the numbers. */
static hr_status make(const cli_options *options, const char *path, const hr_prices *prices, bool brief, hr_notes *notes,
                      hr_building **building, hr_estimate **estimate, hr_error *err)
{
    hr_status status = read_building(options, path, notes, building, err);
    if (status == HR_OK) {
        if (options->draws > 0) {
            (*building)->estimate.draws = options->draws;
        }
        if (options->seed >= 0) {
            (*building)->estimate.seed = options->seed;
        }
        if (options->service_years >= 0) {
            (*building)->estimate.service_years = options->service_years;
        }
        cli_progress progress;
        cli_progress_start(options, &progress);
        const hr_estimate_options how = {.numbers = path == NULL ? &options->numbers : NULL,
                                         .prices = prices,
                                         .progress = cli_progress_show,
                                         .user = &progress,
                                         .brief = brief};
        status = hr_estimate_make(*building, &how, notes, estimate, err);
        cli_progress_end(&progress);
    }
    return status;
}

static int run_one(const cli_options *options, const char *path, const hr_prices *prices)
{
    hr_error err = {.status = HR_OK};
    hr_text text = {0};
    hr_building *building = NULL;
    hr_estimate *estimate = NULL;
    hr_notes *notes = hr_notes_new();
    hr_status status = notes == NULL ? hr_fail_memory(&err)
                                     : make(options, path, prices, false, notes, &building, &estimate, &err);
    cli_print_notes(options, notes);
    if (status == HR_OK) {
        status = report(options, building, estimate, notes, &text, &err);
    }
    const int exit_status = status == HR_OK ? cli_write(options, &text, 0) : cli_refuse("estimate", &err);
    hr_text_free(&text);
    hr_estimate_free(estimate);
    hr_building_free(building);
    hr_notes_free(notes);
    return exit_status;
}

/* ---- a portfolio: one row each ---- */

typedef struct portfolio {
    hr_estimate **estimates;
    hr_building **buildings;
    size_t count;
} portfolio;

static void free_portfolio(portfolio *all)
{
    for (size_t i = 0; i < all->count; i++) {
        hr_estimate_free(all->estimates[i]);
        hr_building_free(all->buildings[i]);
    }
    hr_free(all->estimates);
    hr_free(all->buildings);
}

/* A warning of one property among many says whose it is. */
static void print_notes(const cli_options *options, const char *path, const hr_notes *notes)
{
    for (size_t i = 0; !options->quiet && i < hr_notes_count(notes); i++) {
        (void)fprintf(stderr, "warning: %s: %s\n", path, hr_notes_text(notes, i));
    }
}

static hr_status add_property(const cli_options *options, const char *path, const hr_prices *prices, portfolio *all,
                              hr_error *err)
{
    hr_building *building = NULL;
    hr_estimate *estimate = NULL;
    hr_notes *notes = hr_notes_new();
    const hr_status status =
        notes == NULL ? hr_fail_memory(err) : make(options, path, prices, true, notes, &building, &estimate, err);
    print_notes(options, path, notes);
    hr_notes_free(notes);
    if (status != HR_OK) {
        hr_building_free(building);
        return status;
    }
    all->buildings[all->count] = building;
    all->estimates[all->count++] = estimate;
    return HR_OK;
}

static int run_portfolio(const cli_options *options, const hr_prices *prices)
{
    hr_error err = {.status = HR_OK};
    hr_text text = {0};
    portfolio all = {.estimates = hr_alloc_zero(options->operand_count, sizeof *all.estimates),
                     .buildings = hr_alloc_zero(options->operand_count, sizeof *all.buildings)};
    hr_status status = all.estimates == NULL || all.buildings == NULL ? hr_fail_memory(&err) : HR_OK;
    for (size_t i = 0; status == HR_OK && i < options->operand_count; i++) {
        status = add_property(options, options->operands[i], prices, &all, &err);
    }
    if (status == HR_OK) {
        status = hr_report_portfolio((const hr_estimate *const *)all.estimates, options->operands, all.count,
                                     options->format == CLI_CSV    ? HR_PORTFOLIO_CSV
                                     : options->format == CLI_JSON ? HR_PORTFOLIO_JSON
                                                                   : HR_PORTFOLIO_TEXT,
                                     &text, &err);
    }
    const int exit_status = status == HR_OK ? cli_write(options, &text, 0) : cli_refuse("estimate", &err);
    hr_text_free(&text);
    free_portfolio(&all);
    return exit_status;
}

int cli_run_estimate(const cli_options *options)
{
    hr_error err = {.status = HR_OK};
    hr_prices *prices = NULL;
    if (options->operand_count == 0 && !options->numbers.any) {
        (void)fprintf(stderr, "hallreach estimate: a property file, or numbers such as --rooms 180 --storeys 6, were expected\n");
        return hr_status_exit(HR_ERR_USAGE);
    }
    if (options->operand_count > 0 && options->numbers.any) {
        (void)fprintf(stderr, "hallreach estimate: numbers stand in for a property file; one of the two was expected\n");
        return hr_status_exit(HR_ERR_USAGE);
    }
    if (options->prices != NULL && hr_prices_read(options->prices, &prices, &err) != HR_OK) {
        return cli_fail(&err);
    }
    const int exit_status =
        options->operand_count > 1 ? run_portfolio(options, prices)
                                   : run_one(options, options->operand_count > 0 ? options->operands[0] : NULL, prices);
    hr_prices_free(prices);
    return exit_status;
}
