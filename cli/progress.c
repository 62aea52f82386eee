/*
 * progress.c - one line on a terminal while something takes long, gone when
 * it is done.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <stdio.h>
#include <unistd.h>

/* Wider than any line written, to wipe it out. */
#define WIDTH 60

void cli_progress_start(const cli_options *options, cli_progress *progress)
{
    *progress = (cli_progress){.on = !options->quiet && isatty(STDERR_FILENO) == 1, .percent = -1};
}

bool cli_progress_show(void *user, const char *stage, uint64_t done, uint64_t total)
{
    cli_progress *progress = user;
    const int percent = total > 0 && done <= total ? (int)(100.0 * ((double)done / (double)total)) : 0;
    if (progress->on && (percent != progress->percent || stage != progress->stage)) {
        progress->percent = percent;
        progress->stage = stage;
        (void)fprintf(stderr, "\r%-*.*s %3d %%", WIDTH - 6, WIDTH - 6, stage, percent);
        (void)fflush(stderr);
    }
    return true;
}

void cli_progress_end(cli_progress *progress)
{
    if (progress->on && progress->stage != NULL) {
        (void)fprintf(stderr, "\r%*s\r", WIDTH, "");
        (void)fflush(stderr);
    }
    progress->stage = NULL;
}
