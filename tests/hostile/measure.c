/*
 * measure.c - runs a command and writes its exit status, processor time in ms and
 * largest resident size in KiB to descriptor 3.
 * An end by a signal is status 128 and up.
 *
 * SPDX-License-Identifier: MIT
 */
#define _DEFAULT_SOURCE
#include <stdio.h>
#include <sys/resource.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <unistd.h>

static long milliseconds(struct timeval t)
{
    return (long)t.tv_sec * 1000 + (long)t.tv_usec / 1000;
}

int main(int count, char **words)
{
    if (count < 2) {
        return 2;
    }
    const pid_t child = fork();
    if (child == 0) {
        (void)close(3);
        (void)execvp(words[1], words + 1);
        _exit(127);
    }
    int ended = 0;
    struct rusage used;
    if (child < 0 || wait4(child, &ended, 0, &used) != child) {
        return 2;
    }
    const int status = WIFEXITED(ended) ? WEXITSTATUS(ended) : 128 + WTERMSIG(ended);
    return dprintf(3, "%d %ld %ld\n", status, milliseconds(used.ru_utime) + milliseconds(used.ru_stime),
                   used.ru_maxrss) > 0
               ? 0
               : 2;
}
