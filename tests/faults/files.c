/*
 * files.c - the command with files that fail: main of the command, with the
 * calls that write put in by the linker (--wrap). What fails is said by the
 * environment, HR_FAULT=CALL-WHAT: CALL write, fsync or rename; WHAT EIO or
 * ENOSPC (the call fails), INT or TERM (the signal comes at that moment) or
 * short (write takes one byte a time). HR_FAULT_AFTER is how many such calls go
 * well before.
 *
 * SPDX-License-Identifier: MIT
 */
#include <errno.h>
#include <signal.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <unistd.h>

int cli_main(int argc, char **argv);
ssize_t __real_write(int fd, const void *bytes, size_t len);
int __real_fsync(int fd);
int __real_rename(const char *from, const char *to);
ssize_t __wrap_write(int fd, const void *bytes, size_t len);
int __wrap_fsync(int fd);
int __wrap_rename(const char *from, const char *to);

/* True when the call is to fail; errno is set then. */
static bool fault(const char *call)
{
    const char *wanted = getenv("HR_FAULT");
    const size_t len = strlen(call);
    if (wanted == NULL || strncmp(wanted, call, len) != 0 || wanted[len] != '-') {
        return false;
    }
    static long before = -1;
    if (before < 0) {
        const char *after = getenv("HR_FAULT_AFTER");
        before = after != NULL ? strtol(after, NULL, 10) : 0;
    }
    if (before > 0) {
        before--;
        return false;
    }
    const char *what = wanted + len + 1;
    if (strcmp(what, "INT") == 0 || strcmp(what, "TERM") == 0) {
        (void)raise(what[0] == 'I' ? SIGINT : SIGTERM);
    }
    errno = strcmp(what, "ENOSPC") == 0 ? ENOSPC : EIO;
    return strcmp(what, "EIO") == 0 || strcmp(what, "ENOSPC") == 0;
}

static bool one_by_one(void)
{
    const char *wanted = getenv("HR_FAULT");
    return wanted != NULL && strcmp(wanted, "write-short") == 0;
}

ssize_t __wrap_write(int fd, const void *bytes, size_t len)
{
    /* words on standard error go their way; half of the rest is written, then the fault */
    static bool begun;
    if (fd == STDERR_FILENO || len < 2) {
        return __real_write(fd, bytes, len);
    }
    if (one_by_one()) {
        return __real_write(fd, bytes, 1);
    }
    if (!begun) {
        begun = true;
        return __real_write(fd, bytes, len / 2);
    }
    return fault("write") ? -1 : __real_write(fd, bytes, len);
}

int __wrap_fsync(int fd)
{
    return fault("fsync") ? -1 : __real_fsync(fd);
}

int __wrap_rename(const char *from, const char *to)
{
    return fault("rename") ? -1 : __real_rename(from, to);
}

int main(int argc, char **argv)
{
    return cli_main(argc, argv);
}
