/*
 * main.c - the command: finds what was asked for and runs it.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include <gsl/gsl_errno.h>

static void interrupted(int signal_number)
{
    (void)signal_number;
    hr_file_abandon();
    _exit(130);
}

static void watch_signals(void)
{
    struct sigaction stop = {.sa_handler = interrupted};
    (void)sigemptyset(&stop.sa_mask);
    (void)sigaction(SIGINT, &stop, NULL);
    (void)sigaction(SIGTERM, &stop, NULL);
    /* a closed pipe then reads as a failed write, which ends quietly with 4; so does a limit on the size of files */
    struct sigaction ignore = {.sa_handler = SIG_IGN};
    (void)sigemptyset(&ignore.sa_mask);
    (void)sigaction(SIGPIPE, &ignore, NULL);
    (void)sigaction(SIGXFSZ, &ignore, NULL);
}

/* Help that could not be written is an output error like any other. */
static int flushed(int exit_status)
{
    return fflush(stdout) == 0 && !ferror(stdout) ? exit_status : 4;
}

static int show_version(void)
{
    (void)printf("hallreach %s\n", hr_version());
    return flushed(0);
}

static int run(const cli_command *command, int count, char **words)
{
    cli_options options = {.frequency_mhz = 915.0};
    int exit_status = 2;
    if (cli_parse(command, count, words, &options)) {
        if (options.help) {
            cli_command_help(command);
            exit_status = flushed(0);
        } else if (options.version) {
            exit_status = show_version();
        } else {
            exit_status = command->run(&options);
        }
    } else if (options.no_memory) {
        exit_status = hr_status_exit(HR_ERR_MEMORY);
    }
    cli_free_options(&options);
    return exit_status;
}

static int help_on(int count, char **words)
{
    if (count == 0) {
        cli_help();
        return flushed(0);
    }
    const cli_command *command = cli_find_command(words[0]);
    if (command == NULL) {
        cli_suggest_command(words[0]);
        return 2;
    }
    cli_command_help(command);
    return flushed(0);
}

int main(int argc, char **argv)
{
    watch_signals();
    if (!cli_guard_memory()) {
        (void)fprintf(stderr, "hallreach: libxml2 takes no allocator\n");
        return 4;
    }
    (void)gsl_set_error_handler_off(); /* GSL would abort the process */
    if (argc < 2) {
        (void)fprintf(stderr, "hallreach: no command; `hallreach --help` lists them\n");
        return 2;
    }
    const char *word = argv[1];
    if (strcmp(word, "-h") == 0 || strcmp(word, "--help") == 0) {
        return help_on(0, NULL);
    }
    if (strcmp(word, "--version") == 0) {
        return show_version();
    }
    if (strcmp(word, "help") == 0) {
        return help_on(argc - 2, argv + 2);
    }
    const cli_command *command = cli_find_command(word);
    if (command == NULL) {
        cli_suggest_command(word);
        return 2;
    }
    return run(command, argc - 2, argv + 2);
}
