/*
 * page.c - `--page FILE.html` and `--anonymous`.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <hr_report.h>

/* Spots of --must and --never, gateways of --without: their words become the new names. */
static void follow_names(const cli_words *words, const char *const *old, const char *const *new, size_t count)
{
    for (size_t i = 0; i < words->count; i++) {
        for (size_t k = 0; k < count; k++) {
            if (hr_casecmp(words->items[i], old[k]) == 0) {
                words->items[i] = new[k];
                break;
            }
        }
    }
}

/* A page in place of what was read would be a loss. */
static hr_status check_name(const cli_options *options, const hr_building *building, hr_error *err)
{
    const char *name = options->page;
    const char *const others[] = {options->gateways, options->readings, options->output};
    bool taken = cli_is_plan(building, name);
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        taken = taken || (others[i] != NULL && cli_same_file(name, others[i]));
    }
    for (size_t i = 0; i < options->operand_count; i++) {
        taken = taken || cli_same_file(name, options->operands[i]);
    }
    return taken ? hr_fail(err, HR_ERR_USAGE, NULL, 0, "--page names a file that is read or written besides: %s; choose another name",
                           name)
                 : HR_OK;
}

hr_status cli_make_anonymous(const cli_options *options, hr_building *building, hr_notes **notes, hr_error *err)
{
    const size_t spots = building->spot_count, gateways = building->gateway_count;
    const char **names = hr_alloc(spots + gateways + 1, 2 * sizeof *names);
    hr_notes *fresh = hr_notes_new();
    hr_status status = names == NULL || fresh == NULL ? hr_fail_memory(err) : HR_OK;
    if (status == HR_OK && options->page != NULL) {
        status = check_name(options, building, err); /* while the plans' names are known */
    }
    for (size_t i = 0; status == HR_OK && i < spots + gateways; i++) {
        names[i] = i < spots ? building->spots[i].id : building->gateways[i - spots].id;
    }
    status = status != HR_OK ? status : hr_building_anonymise(building, err);
    if (status == HR_OK) {
        const char **now = names + spots + gateways;
        for (size_t i = 0; i < spots + gateways; i++) {
            now[i] = i < spots ? building->spots[i].id : building->gateways[i - spots].id;
        }
        follow_names(&options->must, names, now, spots);
        follow_names(&options->never, names, now, spots);
        follow_names(&options->without, names + spots, now + spots, gateways);
        cli_print_notes(options, *notes); /* names stand in them: for the one who runs this, not for the answer */
        hr_notes_free(*notes);
        *notes = fresh;
        fresh = NULL;
    }
    hr_notes_free(fresh);
    hr_free(names);
    return status;
}

int cli_write_page(const cli_options *options, const hr_building *building, const hr_siting *siting, const hr_notes *notes)
{
    if (options->page == NULL) {
        return 0;
    }
    hr_error err = {.status = HR_OK};
    hr_text page = {0};
    const hr_page_options asked = {.date = options->date, .anonymous = options->anonymous};
    hr_status status = check_name(options, building, &err);
    if (status == HR_OK) {
        status = hr_report_page(building, siting, notes, &asked, &page, &err);
    }
    if (status == HR_OK) {
        status = hr_file_write(options->page, page.bytes, page.len, &err);
    }
    hr_text_free(&page);
    return status == HR_OK ? 0 : cli_fail(&err);
}
