/*
 * file.c - bytes in under a cap, whole files out or none.
 *
 * SPDX-License-Identifier: MIT
 */
#include "hr_base.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <locale.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#ifndef PATH_MAX
#define PATH_MAX 4096
#endif
#define READ_BYTES ((size_t)64 << 10)
#define LINKS_MAX 40
/* The part of a file's own name that its temporary repeats: with the rest it stays below NAME_MAX. */
#define LEAF_MAX 200

/*
 * The temporaries being written, for an interrupt handler, which can be handed
 * nothing and may call only what is async-signal-safe. The one mutable state of
 * the library outside its handles. A slot's name is valid while it is OPEN; with
 * all slots taken a file is written all the same, only not cleared up on an
 * interrupt.
 */
enum { SLOT_FREE, SLOT_TAKEN, SLOT_OPEN };
#define SLOT_COUNT 8
static struct {
    atomic_int state;
    char name[PATH_MAX];
} temporaries[SLOT_COUNT];

#if ATOMIC_INT_LOCK_FREE != 2
#error "an interrupt handler needs lock-free atomics"
#endif

void hr_file_abandon(void)
{
    const int kept = errno; /* the interrupted code may be about to read it */
    for (int i = 0; i < SLOT_COUNT; i++) {
        if (atomic_load(&temporaries[i].state) == SLOT_OPEN) {
            (void)unlink(temporaries[i].name);
        }
    }
    errno = kept;
}

static int take_slot(const char *name)
{
    for (int i = 0; i < SLOT_COUNT; i++) {
        int expected = SLOT_FREE;
        if (atomic_compare_exchange_strong(&temporaries[i].state, &expected, SLOT_TAKEN)) {
            (void)snprintf(temporaries[i].name, sizeof temporaries[i].name, "%s", name);
            atomic_store(&temporaries[i].state, SLOT_OPEN);
            return i;
        }
    }
    return -1;
}

static void leave_slot(int slot)
{
    if (slot >= 0) {
        atomic_store(&temporaries[slot].state, SLOT_FREE);
    }
}

/* The system's reason, in the same words in every locale. */
static hr_status fail_system(hr_error *err, hr_status status, const char *path, const char *what, int reason)
{
    const locale_t c_locale = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    if (c_locale == (locale_t)0) {
        return hr_fail(err, status, path, 0, "%s: error %d", what, reason);
    }
    (void)hr_fail(err, status, path, 0, "%s: %s", what, strerror_l(reason, c_locale));
    freelocale(c_locale);
    return status;
}

/* ---- in ---- */

static hr_status read_all(int fd, const char *path, size_t max_bytes, char **bytes, size_t *len, hr_error *err)
{
    char *data = NULL;
    size_t cap = 0, used = 0;
    for (;;) {
        if (!HR_RESERVE(data, cap, used + READ_BYTES + 1)) {
            hr_free(data);
            return hr_fail_memory(err);
        }
        const ssize_t got = read(fd, data + used, READ_BYTES);
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got < 0) {
            const int reason = errno;
            hr_free(data);
            return fail_system(err, HR_ERR_INPUT, path, "cannot be read", reason);
        }
        if (got == 0) {
            break;
        }
        used += (size_t)got;
        if (used > max_bytes) { /* asked of what was read: a pipe has no size to ask for */
            hr_free(data);
            return hr_fail(err, HR_ERR_LIMIT, path, 0, "is larger than the limit of %zu bytes", max_bytes);
        }
    }
    data[used] = '\0';
    *bytes = data;
    *len = used;
    return HR_OK;
}

hr_status hr_file_read(const char *path, size_t max_bytes, char **bytes, size_t *len, hr_error *err)
{
    if (strcmp(path, "-") == 0) {
        return read_all(STDIN_FILENO, "standard input", max_bytes, bytes, len, err);
    }
    const int fd = open(path, O_RDONLY | O_CLOEXEC);
    if (fd < 0) {
        return fail_system(err, HR_ERR_INPUT, path, "cannot be opened", errno);
    }
    struct stat info;
    hr_status status;
    if (fstat(fd, &info) == 0 && S_ISDIR(info.st_mode)) {
        status = hr_fail(err, HR_ERR_INPUT, path, 0, "is a folder, a file was expected");
    } else {
        status = read_all(fd, path, max_bytes, bytes, len, err);
    }
    (void)close(fd);
    return status;
}

/* ---- out ---- */

/* 0 or the system's reason. */
static int write_all(int fd, const char *bytes, size_t len)
{
    while (len > 0) {
        const ssize_t put = write(fd, bytes, len);
        if (put < 0 && errno == EINTR) {
            continue;
        }
        if (put < 0) {
            return errno;
        }
        bytes += put;
        len -= (size_t)put;
    }
    return 0;
}

static hr_status written(const char *path, int reason, hr_error *err)
{
    return reason == 0 ? HR_OK : fail_system(err, HR_ERR_OUTPUT, path, "cannot be written", reason);
}

/* Devices, pipes and sockets. */
static int write_straight(const char *path, const char *bytes, size_t len)
{
    const int fd = open(path, O_WRONLY | O_CLOEXEC | O_NOCTTY);
    if (fd < 0) {
        return errno;
    }
    const int reason = write_all(fd, bytes, len);
    return close(fd) != 0 && reason == 0 ? errno : reason;
}

/* The name behind links, whether a file stands there yet or not; NULL with errno set. */
static char *follow_links(const char *path)
{
    char *at = hr_strdup(path);
    for (int links = 0; at != NULL; links++) {
        char target[PATH_MAX];
        const ssize_t len = readlink(at, target, sizeof target - 1);
        if (len < 0) {
            return at; /* no link; other trouble shows when the file is created */
        }
        if (links == LINKS_MAX) {
            hr_free(at);
            errno = ELOOP;
            return NULL;
        }
        target[len] = '\0';
        char *next = hr_path_beside(at, target);
        hr_free(at);
        at = next;
    }
    errno = ENOMEM;
    return NULL;
}

/* ".NAME.hallreach-XXXXXX" in the target's own folder, so that the rename stays on one file system. */
static bool name_temporary(const char *target, unsigned long number, char name[PATH_MAX])
{
    const char *slash = strrchr(target, '/');
    const char *leaf = slash == NULL ? target : slash + 1;
    char letters[7];
    for (int i = 5; i >= 0; i--, number /= 36) {
        letters[i] = "0123456789abcdefghijklmnopqrstuvwxyz"[number % 36];
    }
    letters[6] = '\0';
    const int used =
        snprintf(name, PATH_MAX, "%.*s.%.*s.hallreach-%s", (int)(leaf - target), target, LEAF_MAX, leaf, letters);
    return used > 0 && used < PATH_MAX;
}

/*
 * Opens a new file beside the target and puts its name on the list for an
 * interrupt. Not mkstemp: that gives mode 0600, and asking for the umask means
 * setting it, for the whole process. Signals wait meanwhile, so that none comes
 * between the two steps.
 */
static int create_temporary(const char *target, mode_t mode, char name[PATH_MAX], int *slot)
{
    const unsigned long first = (unsigned long)getpid() * 64;
    sigset_t all, before;
    (void)sigfillset(&all);
    (void)pthread_sigmask(SIG_SETMASK, &all, &before);
    int fd = -1;
    errno = EEXIST;
    for (unsigned long i = 0; i < 1000 && fd < 0 && errno == EEXIST; i++) {
        if (!name_temporary(target, first + i, name)) {
            errno = ENAMETOOLONG;
        } else {
            fd = open(name, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, mode);
        }
    }
    const int reason = errno;
    if (fd >= 0) {
        *slot = take_slot(name);
    }
    (void)pthread_sigmask(SIG_SETMASK, &before, NULL);
    errno = reason;
    return fd;
}

/* A regular file, there (info) or not yet there (info NULL). */
static int write_beside(const char *target, const struct stat *info, const char *bytes, size_t len)
{
    /* a rename would get round the protection of a file marked read-only */
    if (info != NULL && faccessat(AT_FDCWD, target, W_OK, AT_EACCESS) != 0) {
        return errno;
    }
    char name[PATH_MAX];
    int slot = -1;
    const int fd = create_temporary(target, info != NULL ? 0600 : 0666, name, &slot);
    if (fd < 0) {
        return errno;
    }
    int reason = write_all(fd, bytes, len);
    if (reason == 0 && info != NULL && fchmod(fd, info->st_mode & 0777) != 0) {
        reason = errno;
    }
    if (reason == 0 && fsync(fd) != 0) {
        reason = errno;
    }
    if (close(fd) != 0 && reason == 0) {
        reason = errno;
    }
    if (reason == 0 && rename(name, target) != 0) {
        reason = errno;
    }
    if (reason != 0) {
        (void)unlink(name);
    }
    leave_slot(slot);
    return reason;
}

hr_status hr_file_write(const char *path, const char *bytes, size_t len, hr_error *err)
{
    if (strcmp(path, "-") == 0) {
        return written("standard output", write_all(STDOUT_FILENO, bytes, len), err);
    }
    struct stat info;
    const bool exists = stat(path, &info) == 0;
    if (exists && S_ISDIR(info.st_mode)) {
        return hr_fail(err, HR_ERR_OUTPUT, path, 0, "is a folder, a file name was expected");
    }
    if (exists && !S_ISREG(info.st_mode)) {
        return written(path, write_straight(path, bytes, len), err);
    }
    char *target = follow_links(path);
    if (target == NULL) {
        return errno == ENOMEM ? hr_fail_memory(err) : written(path, errno, err);
    }
    const int reason = write_beside(target, exists ? &info : NULL, bytes, len);
    hr_free(target);
    return written(path, reason, err);
}
