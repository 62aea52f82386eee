/*
 * memory.c - the allocator that libxml2 works with inside the command.
 *
 * libxml2 2.9.14 reports a failed allocation only in places: a drawing may come
 * out with pieces missing and no error, which would be a wrong answer. So an
 * allocation that fails in there ends the command at once. The library itself
 * leaves the process-wide allocator alone; this is the program's to decide.
 *
 * SPDX-License-Identifier: MIT
 */
#include "cli.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <libxml/xmlmemory.h>

static void *or_end(void *block)
{
    if (block == NULL) {
        static const char words[] = "hallreach: memory ran out\n";
        hr_file_abandon();
        /* no stdio: it may want memory; and if the words cannot be said, the status still can */
        const ssize_t said = write(STDERR_FILENO, words, sizeof words - 1);
        (void)said;
        _exit(hr_status_exit(HR_ERR_MEMORY));
    }
    return block;
}

static void *take(size_t size)
{
    return or_end(malloc(size > 0 ? size : 1));
}

static void *change(void *block, size_t size)
{
    return or_end(realloc(block, size > 0 ? size : 1));
}

static char *copy(const char *text)
{
    const size_t size = strlen(text) + 1;
    return memcpy(take(size), text, size);
}

bool cli_guard_memory(void)
{
    return xmlMemSetup(free, take, change, copy) == 0;
}
