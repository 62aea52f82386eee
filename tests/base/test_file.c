/*
 * test_file.c - bytes in under a cap, whole files out or none.
 *
 * SPDX-License-Identifier: MIT
 */
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base_tests.h"

#define PATH_BYTES 600

/* Tests of files run in a folder of their own, named in *state. */
int file_setup(void **state)
{
    char *folder = malloc(PATH_BYTES);
    const char *tmp = getenv("TMPDIR");
    if (folder == NULL) {
        return -1;
    }
    (void)snprintf(folder, PATH_BYTES, "%s/hr-test-XXXXXX", tmp != NULL ? tmp : "/tmp");
    *state = folder;
    return mkdtemp(folder) != NULL && chmod(folder, 0777) == 0 ? 0 : -1;
}

static size_t entries_in(const char *folder)
{
    size_t count = 0;
    DIR *dir = opendir(folder);
    assert_non_null(dir);
    for (const struct dirent *e = readdir(dir); e != NULL; e = readdir(dir)) {
        count += strcmp(e->d_name, ".") != 0 && strcmp(e->d_name, "..") != 0;
    }
    (void)closedir(dir);
    return count;
}

static void empty_folder(const char *folder)
{
    DIR *dir = opendir(folder);
    if (dir == NULL) {
        return;
    }
    for (const struct dirent *e = readdir(dir); e != NULL; e = readdir(dir)) {
        char path[PATH_BYTES + 300];
        (void)snprintf(path, sizeof path, "%s/%s", folder, e->d_name);
        if (strcmp(e->d_name, ".") != 0 && strcmp(e->d_name, "..") != 0 && unlink(path) != 0) {
            (void)chmod(path, 0700);
            empty_folder(path); /* one level of folders is all that the tests make */
            (void)rmdir(path);
        }
    }
    (void)closedir(dir);
}

int file_teardown(void **state)
{
    empty_folder(*state);
    const int result = rmdir(*state);
    free(*state);
    return result;
}

static char *in_folder(void **state, const char *name, char path[PATH_BYTES])
{
    const int used = snprintf(path, PATH_BYTES, "%s/%s", (const char *)*state, name);
    assert_true(used > 0 && used < PATH_BYTES);
    return path;
}

static void check_holds(const char *path, const char *text)
{
    char *bytes = NULL;
    size_t len = 0;
    hr_error err;
    if (hr_file_read(path, 1 << 20, &bytes, &len, &err) != HR_OK) {
        fail_msg("%s: %s", path, err.text);
    }
    assert_int_equal(len, strlen(text));
    assert_string_equal(bytes, text); /* closed by a zero */
    hr_free(bytes);
}

static mode_t mode_of(const char *path)
{
    struct stat info;
    assert_int_equal(stat(path, &info), 0);
    return info.st_mode & 07777;
}

static void write_text(const char *path, const char *text)
{
    hr_error err;
    if (hr_file_write(path, text, strlen(text), &err) != HR_OK) {
        fail_msg("%s: %s", path, err.text);
    }
}

void files_are_written_whole(void **state)
{
    char path[PATH_BYTES];
    in_folder(state, "plan.html", path);
    const mode_t before = umask(027);
    write_text(path, "first\n");
    (void)umask(before);
    check_holds(path, "first\n");
    assert_int_equal(mode_of(path), 0640); /* a new file: as the umask says */
    assert_int_equal(chmod(path, 0604), 0);
    write_text(path, "second, longer\n");
    check_holds(path, "second, longer\n");
    assert_int_equal(mode_of(path), 0604); /* the old file's mode stays */
    write_text(path, "");
    check_holds(path, "");
    assert_int_equal(entries_in(*state), 1); /* no temporary is left */
}

void large_files_come_back(void **state)
{
    char path[PATH_BYTES];
    in_folder(state, "large", path);
    const size_t size = 3000001;
    char *bytes = hr_alloc(size, 1), *back = NULL;
    assert_non_null(bytes);
    for (size_t i = 0; i < size; i++) {
        bytes[i] = (char)(i * 31 % 251); /* zeros too */
    }
    assert_int_equal(hr_file_write(path, bytes, size, NULL), HR_OK);
    size_t len = 0;
    assert_int_equal(hr_file_read(path, size, &back, &len, NULL), HR_OK); /* just at the cap */
    assert_int_equal(len, size);
    assert_memory_equal(back, bytes, size);
    hr_free(back);
    hr_free(bytes);
}

void the_cap_is_kept(void **state)
{
    char path[PATH_BYTES];
    write_text(in_folder(state, "list.csv", path), "0123456789");
    char *bytes = NULL;
    size_t len = 77;
    hr_error err;
    assert_int_equal(hr_file_read(path, 10, &bytes, &len, &err), HR_OK);
    hr_free(bytes);
    bytes = NULL;
    len = 77;
    assert_int_equal(hr_file_read(path, 9, &bytes, &len, &err), HR_ERR_LIMIT);
    assert_string_equal(err.file, path);
    assert_string_equal(err.text, "is larger than the limit of 9 bytes");
    assert_null(bytes);
    assert_int_equal(len, 77);
    /* a device without an end and without a size */
    assert_int_equal(hr_file_read("/dev/zero", 1000, &bytes, &len, &err), HR_ERR_LIMIT);
    assert_null(bytes);
}

void unreadable_files_say_why(void **state)
{
    char path[PATH_BYTES];
    char *bytes = NULL;
    size_t len = 0;
    hr_error err;
    assert_int_equal(hr_file_read(in_folder(state, "none.ini", path), 10, &bytes, &len, &err), HR_ERR_INPUT);
    assert_string_equal(err.file, path);
    assert_string_equal(err.text, "cannot be opened: No such file or directory");
    assert_int_equal(hr_file_read(*state, 10, &bytes, &len, &err), HR_ERR_INPUT);
    assert_string_equal(err.text, "is a folder, a file was expected");
    assert_int_equal(hr_file_read(*state, 10, &bytes, &len, NULL), HR_ERR_INPUT);
    write_text(path, "x");
    in_folder(state, "none.ini/below", path);
    assert_int_equal(hr_file_read(path, 10, &bytes, &len, &err), HR_ERR_INPUT);
    assert_string_equal(err.text, "cannot be opened: Not a directory");
    assert_null(bytes);
}

/* Puts a file or pipe in the place of standard input or output for a call. */
static int put_in_place(int fd, int standard)
{
    const int kept = dup(standard);
    assert_true(kept >= 0);
    assert_true(dup2(fd, standard) == standard);
    return kept;
}

static void put_back(int kept, int standard)
{
    assert_true(dup2(kept, standard) == standard);
    (void)close(kept);
}

void standard_input_is_read_from_a_pipe(void **state)
{
    (void)state;
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    assert_int_equal(write(ends[1], "from,to\n", 8), 8);
    (void)close(ends[1]);
    const int kept = put_in_place(ends[0], STDIN_FILENO);
    char *bytes = NULL;
    size_t len = 0;
    const hr_status status = hr_file_read("-", 100, &bytes, &len, NULL);
    put_back(kept, STDIN_FILENO);
    (void)close(ends[0]);
    assert_int_equal(status, HR_OK);
    assert_int_equal(len, 8);
    assert_string_equal(bytes, "from,to\n");
    hr_free(bytes);
}

void the_cap_holds_for_pipes(void **state)
{
    (void)state;
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    assert_int_equal(write(ends[1], "0123456789", 10), 10);
    const int kept = put_in_place(ends[0], STDIN_FILENO);
    char *bytes = NULL;
    size_t len = 0;
    hr_error err;
    /* the writer has not closed its end: the reader must not wait for it */
    const hr_status status = hr_file_read("-", 5, &bytes, &len, &err);
    put_back(kept, STDIN_FILENO);
    (void)close(ends[0]);
    (void)close(ends[1]);
    assert_int_equal(status, HR_ERR_LIMIT);
    assert_string_equal(err.file, "standard input");
    assert_string_equal(err.text, "is larger than the limit of 5 bytes");
}

void standard_output_takes_bytes(void **state)
{
    char path[PATH_BYTES];
    const int fd = open(in_folder(state, "out", path), O_RDWR | O_CREAT, 0600);
    assert_true(fd >= 0);
    (void)fflush(stdout);
    const int kept = put_in_place(fd, STDOUT_FILENO);
    const hr_status status = hr_file_write("-", "a,b\n", 4, NULL);
    put_back(kept, STDOUT_FILENO);
    (void)close(fd);
    assert_int_equal(status, HR_OK);
    check_holds(path, "a,b\n");
}

void a_closed_pipe_is_an_error(void **state)
{
    (void)state;
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    (void)close(ends[0]);
    struct sigaction ignore = {.sa_handler = SIG_IGN}, before; /* as the command does */
    assert_int_equal(sigaction(SIGPIPE, &ignore, &before), 0);
    (void)fflush(stdout);
    const int kept = put_in_place(ends[1], STDOUT_FILENO);
    hr_error err;
    const hr_status status = hr_file_write("-", "x", 1, &err);
    put_back(kept, STDOUT_FILENO);
    (void)close(ends[1]);
    (void)sigaction(SIGPIPE, &before, NULL);
    assert_int_equal(status, HR_ERR_OUTPUT);
    assert_string_equal(err.file, "standard output");
    assert_string_equal(err.text, "cannot be written: Broken pipe");
}

void a_full_device_is_an_error(void **state)
{
    (void)state;
    if (access("/dev/full", W_OK) != 0) {
        print_message("# skipped: no /dev/full here\n");
        return;
    }
    hr_error err;
    assert_int_equal(hr_file_write("/dev/full", "x", 1, &err), HR_ERR_OUTPUT);
    assert_string_equal(err.file, "/dev/full");
    assert_string_equal(err.text, "cannot be written: No space left on device");
    assert_int_equal(hr_file_write("/dev/null", "x", 1, &err), HR_OK);
}

void a_file_that_does_not_fit_leaves_the_old_one(void **state)
{
    char path[PATH_BYTES];
    write_text(in_folder(state, "page.html", path), "old");
    struct rlimit before, small;
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    small = before;
    small.rlim_cur = 1000;
    struct sigaction ignore = {.sa_handler = SIG_IGN}, signal_before;
    assert_int_equal(sigaction(SIGXFSZ, &ignore, &signal_before), 0);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
    static char bytes[5000];
    hr_error err;
    const hr_status status = hr_file_write(path, bytes, sizeof bytes, &err);
    (void)setrlimit(RLIMIT_FSIZE, &before);
    (void)sigaction(SIGXFSZ, &signal_before, NULL);
    assert_int_equal(status, HR_ERR_OUTPUT);
    assert_string_equal(err.text, "cannot be written: File too large");
    check_holds(path, "old");
    assert_int_equal(entries_in(*state), 1);
}

void impossible_places_say_why(void **state)
{
    char path[PATH_BYTES];
    hr_error err;
    assert_int_equal(hr_file_write(*state, "x", 1, &err), HR_ERR_OUTPUT);
    assert_string_equal(err.text, "is a folder, a file name was expected");
    assert_int_equal(hr_file_write(in_folder(state, "none/page.html", path), "x", 1, &err), HR_ERR_OUTPUT);
    assert_string_equal(err.file, path);
    assert_string_equal(err.text, "cannot be written: No such file or directory");
    assert_int_equal(hr_file_write("", "x", 1, &err), HR_ERR_OUTPUT);
    char name[300];
    memset(name, 'n', sizeof name);
    name[290] = '\0';
    assert_int_equal(hr_file_write(in_folder(state, name, path), "x", 1, &err), HR_ERR_OUTPUT);
    assert_string_equal(err.text, "cannot be written: File name too long");
    assert_int_equal(entries_in(*state), 0);
    name[250] = '\0'; /* long, yet allowed: its temporary must not be longer */
    write_text(in_folder(state, name, path), "x");
    check_holds(path, "x");
}

/* What the superuser may do anyway is tried as somebody else, in a child. */
static void as_nobody(void (*try_it)(void **), void **state)
{
    (void)fflush(NULL);
    const pid_t child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        if (geteuid() == 0 && (setgid(65534) != 0 || setuid(65534) != 0)) {
            _exit(3);
        }
        try_it(state);
        _exit(0);
    }
    int status = 0;
    assert_true(waitpid(child, &status, 0) == child);
    assert_true(WIFEXITED(status));
    if (WEXITSTATUS(status) == 3) {
        print_message("# skipped: may not become another user here\n");
        return;
    }
    assert_int_equal(WEXITSTATUS(status), 0);
}

static void write_protected(void **state)
{
    char path[PATH_BYTES];
    hr_error err = {0};
    in_folder(state, "locked/new", path);
    const hr_status in_locked = hr_file_write(path, "x", 1, &err);
    const bool says = strcmp(err.text, "cannot be written: Permission denied") == 0;
    in_folder(state, "read-only", path);
    const hr_status over_protected = hr_file_write(path, "new", 3, &err);
    const bool says_too = strcmp(err.text, "cannot be written: Permission denied") == 0;
    if (in_locked != HR_ERR_OUTPUT || !says || over_protected != HR_ERR_OUTPUT || !says_too) {
        _exit(1);
    }
}

void protected_places_are_refused(void **state)
{
    char path[PATH_BYTES], folder[PATH_BYTES];
    assert_int_equal(mkdir(in_folder(state, "locked", folder), 0555), 0);
    write_text(in_folder(state, "read-only", path), "old");
    assert_int_equal(chmod(path, 0444), 0);
    as_nobody(write_protected, state);
    check_holds(path, "old"); /* the folder would have let a rename through */
    assert_int_equal(entries_in(folder), 0);
    assert_int_equal(entries_in(*state), 2);
}

void links_are_followed(void **state)
{
    char folder[PATH_BYTES], target[PATH_BYTES], link_path[PATH_BYTES], second[PATH_BYTES];
    assert_int_equal(mkdir(in_folder(state, "d", folder), 0777), 0);
    write_text(in_folder(state, "d/real", target), "old");
    assert_int_equal(symlink("real", in_folder(state, "d/second", second)), 0);
    assert_int_equal(symlink("d/second", in_folder(state, "link", link_path)), 0);
    write_text(link_path, "new");
    check_holds(target, "new");
    char where[PATH_BYTES];
    assert_int_equal(readlink(link_path, where, sizeof where), 8); /* still a link */
    assert_int_equal(readlink(second, where, sizeof where), 4);
    assert_int_equal(entries_in(folder), 2);
    /* a link to a file that is not there yet makes that file */
    assert_int_equal(unlink(target), 0);
    write_text(link_path, "made");
    check_holds(target, "made");
    assert_int_equal(readlink(link_path, where, sizeof where), 8);
}

void links_in_a_circle_are_refused(void **state)
{
    char path[PATH_BYTES];
    hr_error err;
    assert_int_equal(symlink("b", in_folder(state, "a", path)), 0);
    assert_int_equal(symlink("a", in_folder(state, "b", path)), 0);
    assert_int_equal(hr_file_write(path, "x", 1, &err), HR_ERR_OUTPUT);
    assert_string_equal(err.text, "cannot be written: Too many levels of symbolic links");
    assert_int_equal(entries_in(*state), 2);
}

void a_named_pipe_is_written_straight(void **state)
{
    char path[PATH_BYTES];
    assert_int_equal(mkfifo(in_folder(state, "pipe", path), 0600), 0);
    const int reader = open(path, O_RDONLY | O_NONBLOCK);
    assert_true(reader >= 0);
    write_text(path, "through");
    char got[16] = {0};
    assert_int_equal(read(reader, got, sizeof got), 7);
    assert_string_equal(got, "through");
    (void)close(reader);
    struct stat info;
    assert_int_equal(stat(path, &info), 0);
    assert_true(S_ISFIFO(info.st_mode)); /* not replaced by a file */
}

/* A write that is held up half-way by a signal: a large file under a file size
 * limit, whose SIGXFSZ plays the interrupt. */
static const char *watched_folder;
static volatile sig_atomic_t seen_before, seen_after;

static sig_atomic_t count_now(void)
{
    return (sig_atomic_t)entries_in(watched_folder);
}

static void interrupt_handler(int number)
{
    (void)number;
    seen_before = count_now(); /* not async-signal-safe in general; the signal comes from write() here */
    hr_file_abandon();
    seen_after = count_now();
}

void an_interrupt_removes_the_temporary(void **state)
{
    char path[PATH_BYTES];
    watched_folder = *state;
    in_folder(state, "page.html", path);
    struct rlimit before, small;
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    small = before;
    small.rlim_cur = 1000;
    struct sigaction catch = {.sa_handler = interrupt_handler}, signal_before;
    assert_int_equal(sigaction(SIGXFSZ, &catch, &signal_before), 0);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
    static char bytes[5000];
    const hr_status status = hr_file_write(path, bytes, sizeof bytes, NULL);
    (void)setrlimit(RLIMIT_FSIZE, &before);
    (void)sigaction(SIGXFSZ, &signal_before, NULL);
    assert_int_equal(status, HR_ERR_OUTPUT);
    assert_int_equal(seen_before, 1);
    assert_int_equal(seen_after, 0);
    assert_int_equal(entries_in(*state), 0);
    hr_file_abandon(); /* nothing is open: nothing happens */
    write_text(path, "fine again");
    hr_file_abandon();
    check_holds(path, "fine again");
}

void paths_stand_beside_their_file(void **state)
{
    (void)state;
    static const struct {
        const char *base, *path, *expected;
    } cases[] = {
        {"lodge.ini", "one.svg", "one.svg"},
        {"plans/lodge.ini", "one.svg", "plans/one.svg"},
        {"/a/b/lodge.ini", "../c/one.svg", "/a/b/../c/one.svg"},
        {"/a/b/lodge.ini", "/one.svg", "/one.svg"},
        {"/lodge.ini", "one.svg", "/one.svg"},
        {"-", "one.svg", "one.svg"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char *path = hr_path_beside(cases[i].base, cases[i].path);
        assert_string_equal(path, cases[i].expected);
        hr_free(path);
    }
}

/* DIR/../x is x where DIR is a folder; a link leads elsewhere, what is not there is left alone. */
void paths_are_tidied_where_that_is_safe(void **state)
{
    char base[600], plan[600], expected[600];
    const char *folder = *state;
    (void)snprintf(base, sizeof base, "%s/in", folder);
    assert_int_equal(mkdir(base, 0700), 0);
    (void)snprintf(plan, sizeof plan, "%s/link", folder);
    assert_int_equal(symlink("in", plan), 0);
    static const char *const cases[][3] = {
        {"in/a.ini", "../p/x.svg", "p/x.svg"},
        {"in/a.ini", "../../x.svg", NULL},
        {"in/a.ini", "x.svg", "in/x.svg"},
        {"link/a.ini", "../x.svg", "link/../x.svg"},
        {"none/a.ini", "../x.svg", "none/../x.svg"},
        {"in/a.ini", "../in/../in/x.svg", "in/x.svg"},
        {"in/a.ini", "../-", "in/../-"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        (void)snprintf(base, sizeof base, "%s/%s", folder, cases[i][0]);
        (void)snprintf(expected, sizeof expected, "%s/%s", folder, cases[i][2] != NULL ? cases[i][2] : "");
        if (cases[i][2] == NULL) { /* up to the folder's own folder */
            (void)snprintf(expected, sizeof expected, "%.*s/x.svg", (int)(strrchr(folder, '/') - folder), folder);
        }
        char *path = hr_path_beside(base, cases[i][1]);
        assert_string_equal(path, expected);
        hr_free(path);
    }
    (void)unlink(plan);
    (void)snprintf(base, sizeof base, "%s/in", folder);
    assert_int_equal(rmdir(base), 0);
}
