/*
 * cli.h - the command's own parts: one option table, one file per command.
 * Public headers of the library only.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef CLI_H
#define CLI_H

#include <hr_base.h>
#include <hr_building.h>
#include <hr_estimate.h>
#include <hr_outline.h>
#include <hr_siting.h>

/* Commands, as bits, for the option table. */
enum { CLI_READ = 1u << 0, CLI_PLACE = 1u << 1, CLI_ROOMS = 1u << 2, CLI_MATERIALS = 1u << 3, CLI_OUTLINE = 1u << 4,
       CLI_FIT = 1u << 5, CLI_COMPARE = 1u << 6, CLI_WHY = 1u << 7, CLI_ACCEPT = 1u << 8,
       CLI_ESTIMATE = 1u << 9 };

typedef enum cli_format { CLI_TEXT = 0, CLI_CSV, CLI_JSON } cli_format;

/* Words of an option that may be repeated. */
typedef struct cli_words {
    const char **items;
    size_t count, cap;
} cli_words;

/* What the command line said. */
typedef struct cli_options {
    cli_format format;
    const char *output;   /* NULL: standard output */
    const char *gateways;
    const char **sets;
    size_t set_count, set_cap;
    bool quiet, help, version;
    bool no_memory;       /* the words were fine, memory ran out */
    bool suggest;         /* read */
    const char *drawing;  /* FILE.svg, %s is the storey; NULL: none */
    const char *page;     /* FILE.html; NULL: none */
    bool anonymous;
    double grid_m;        /* step of the field's squares in metres; 0: lines of equal margin instead */
    const char *date;     /* YYYY-MM-DD, NULL: none */
    long effort;
    double seconds;
    long at_most;         /* 0: no budget */
    bool reasons;
    cli_words rssi;       /* why: these and the following */
    bool not_heard, sheet;
    const char *joined, *door, *quality_map, *readings;
    double quality, loss_percent; /* NaN: not given */
    cli_words must, never, without;
    double frequency_mhz;
    hr_outline_request outline; /* options that only outline takes */
    hr_estimate_numbers numbers; /* estimate */
    const char *prices;
    long draws, seed, service_years; /* 0, -1, -1: as the property says */
    const char **operands;
    size_t operand_count, operand_cap;
} cli_options;

/* One option: parsing, usage and help come from this table. */
typedef struct cli_option {
    char letter;          /* 0: none */
    const char *name;     /* without the dashes */
    const char *argument; /* NULL: a flag */
    const char *help;
    unsigned commands;
} cli_option;

extern const cli_option cli_option_table[];
extern const size_t cli_option_count;

typedef struct cli_command {
    const char *name;
    unsigned bit;
    const char *operands;
    const char *summary;
    const char *details; /* paragraphs for `help COMMAND` */
    int (*run)(const cli_options *options);
} cli_command;

extern const cli_command cli_commands[];
extern const size_t cli_command_count;
const cli_command *cli_find_command(const char *name);

/* Fills *options from the words after the command's name. Says what is wrong
 * on standard error; returns false then. */
bool cli_parse(const cli_command *command, int count, char **words, cli_options *options);
void cli_free_options(cli_options *options);

void cli_help(void);                              /* all commands */
void cli_command_help(const cli_command *command);
void cli_suggest_command(const char *word);

/* ---- output.c ---- */

/* Prints warnings unless quiet. */
void cli_print_notes(const cli_options *options, const hr_notes *notes);
void cli_say(const hr_error *err);
/* Says the error; returns its exit status, which is never 0. */
static inline int cli_fail(const hr_error *err)
{
    const int exit_status = hr_status_exit(err->status);
    cli_say(err);
    return exit_status > 0 ? exit_status : 3;
}
/* The same for HR_ERR_ARGUMENT whose text starts with an option of this command: wrong usage. */
int cli_refuse(const char *command, const hr_error *err);
/* Writes the text where --output says, then frees it; returns the exit status. */
int cli_write(const cli_options *options, hr_text *text, int exit_status);
/* Reads the property file at path with --set and --gateways; `how` without its sets. notes NULL: memory ran out
 * before. After an error *building may hold a building all the same. */
hr_status cli_read_building(const cli_options *options, const char *path, hr_building_options how, hr_notes *notes,
                            hr_building **building, hr_error *err);
/* Whether both names lead to one file that exists. */
bool cli_same_file(const char *a, const char *b);
/* Whether the name is that of one of the property's plans. */
bool cli_is_plan(const hr_building *building, const char *name);

/* ---- drawings.c ---- */

/* Draws every storey where --drawing says, siting NULL: as it was understood; returns the exit status, 0
 * when done or not asked for. */
int cli_write_drawings(const cli_options *options, const hr_building *building, const hr_siting *siting);
/* The same of one storey. */
int cli_write_drawing_of(const cli_options *options, const hr_building *building, const hr_siting *siting,
                         uint32_t storey);
bool cli_is_date(const char *text); /* YYYY-MM-DD */

/* ---- page.c ---- */

/* With --anonymous: names that mean something are replaced in the building, and in the words of
 * --must, --never and --without that name its spots and gateways. notes collects from then on. */
hr_status cli_make_anonymous(const cli_options *options, hr_building *building, hr_notes **notes, hr_error *err);
/* Writes the page where --page says; returns the exit status, 0 when done or not asked for. */
int cli_write_page(const cli_options *options, const hr_building *building, const hr_siting *siting, const hr_notes *notes);

/* ---- progress.c ---- */

typedef struct cli_progress {
    bool on;           /* standard error is a terminal and nobody asked for quiet */
    const char *stage; /* shown, NULL: nothing is */
    int percent;
} cli_progress;

void cli_progress_start(const cli_options *options, cli_progress *progress);
/* As hr_siting_options.progress; user is the cli_progress. */
bool cli_progress_show(void *user, const char *stage, uint64_t done, uint64_t total);
void cli_progress_end(cli_progress *progress); /* wipes the line out */

/* ---- memory.c ---- */

/* Before anything else: memory that runs out inside libxml2 ends the command with 4. False: it cannot. */
bool cli_guard_memory(void);

int cli_run_read(const cli_options *options);
int cli_run_place(const cli_options *options);
int cli_run_rooms(const cli_options *options);
int cli_run_materials(const cli_options *options);
int cli_run_fit(const cli_options *options);
int cli_run_compare(const cli_options *options);
int cli_run_accept(const cli_options *options);
int cli_run_why(const cli_options *options);
int cli_run_estimate(const cli_options *options);
/* Sets one option of estimate; says what is wrong, returns false then. */
bool cli_estimate_option(hr_estimate_numbers *numbers, const char *name, const char *value);
int cli_run_outline(const cli_options *options);
/* Sets one option of outline; says what is wrong, returns false then. */
bool cli_outline_option(hr_outline_request *request, const char *name, const char *value);

#endif
