/*
 * faults.c - the command with memory that runs out: every allocation of a run
 * fails in turn, each in a process of its own, and the run must then either
 * end with status 4 and say so, or give to the byte what it gives with memory
 * enough. No block stays behind, no file is half written, no temporary lies
 * about, no file that was there is damaged.
 *
 *   faults LIST INPUTS STEP MOST [PART PARTS]
 *
 * LIST: one command line a row, `#` for remarks; a number before it: only every so many-th allocation of those asked
 * for, where the row is much like another. Of PARTS that share the rows out, this is PART, from 0. INPUTS: folders to copy into
 * the working folder, joined by `:`. Every STEPth allocation fails, and no more
 * than MOST of a run (0: all of them), spread evenly.
 *
 * The failing allocator is put in by the linker (--wrap) for the objects of the
 * library and the command; allocations inside libxml2 come through the
 * command's own allocator and those inside jansson through its hook.
 * With HR_FAULTS_ALL it takes the place of the C library's: then those inside GSL,
 * inih and the C library fail as well, and blocks left behind are not counted.
 *
 * SPDX-License-Identifier: MIT
 */
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <sys/wait.h>
#include <unistd.h>

#include <jansson.h>

int cli_main(int argc, char **argv);

/* Statuses of a child beside those of the command. */
enum { CHILD_LEAKED = 90, CHILD_BROKEN = 91 };

#define WORDS_MAX 40
#define FAULTS_SHOWN 5 /* of a row */
#define OLD "what stood here before\n"

/* ---- the allocator ---- */

static unsigned long allocations, fail_at; /* fail_at 0: none */
static long live;                          /* blocks of the library's and command's own */
static bool counting;

static bool refused(void)
{
    return counting && ++allocations == fail_at;
}

#ifdef HR_FAULTS_ALL
/* glibc's own names for what is replaced here */
void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *block, size_t size);

void *malloc(size_t size)
{
    return refused() ? (errno = ENOMEM, NULL) : __libc_malloc(size);
}

void *calloc(size_t count, size_t size)
{
    return refused() ? (errno = ENOMEM, NULL) : __libc_calloc(count, size);
}

void *realloc(void *block, size_t size)
{
    return refused() ? (errno = ENOMEM, NULL) : __libc_realloc(block, size);
}
#else
void *__real_malloc(size_t size);
void *__real_calloc(size_t count, size_t size);
void *__real_realloc(void *block, size_t size);
void __real_free(void *block);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t count, size_t size);
void *__wrap_realloc(void *block, size_t size);
void __wrap_free(void *block);
void *foreign_malloc(size_t size);
void *foreign_realloc(void *block, size_t size);
void foreign_free(void *block);

void *__wrap_malloc(size_t size)
{
    void *block = refused() ? NULL : __real_malloc(size);
    live += block != NULL;
    return block;
}

void *__wrap_calloc(size_t count, size_t size)
{
    void *block = refused() ? NULL : __real_calloc(count, size);
    live += block != NULL;
    return block;
}

void *__wrap_realloc(void *block, size_t size)
{
    void *moved = refused() ? NULL : __real_realloc(block, size);
    live += moved != NULL && block == NULL;
    return moved;
}

void __wrap_free(void *block)
{
    live -= block != NULL;
    __real_free(block);
}

/* cli/memory.c and jansson: what these libraries keep for themselves is not a block left behind. */
void *foreign_malloc(size_t size)
{
    return refused() ? NULL : __real_malloc(size);
}

void *foreign_realloc(void *block, size_t size)
{
    return refused() ? NULL : __real_realloc(block, size);
}

void foreign_free(void *block)
{
    __real_free(block);
}
#endif

/* ---- one run in a process of its own ---- */

static void redirect(const char *name, int to)
{
    const int fd = open(name, O_WRONLY | O_CREAT | O_TRUNC, 0644);
    if (fd < 0 || dup2(fd, to) < 0) {
        _exit(CHILD_BROKEN);
    }
    (void)close(fd);
}

static void run_child(int argc, char **argv, unsigned long failing, int report)
{
    redirect("../stdout", STDOUT_FILENO);
    redirect("../stderr", STDERR_FILENO);
#ifndef HR_FAULTS_ALL
    json_set_alloc_funcs(foreign_malloc, foreign_free);
#endif
    fail_at = failing;
    live = 0; /* what this program itself holds is no business of theirs */
    counting = true;
    int status = cli_main(argc, argv);
    counting = false;
    if (live != 0) {
        status = CHILD_LEAKED;
    }
    if (write(report, &allocations, sizeof allocations) != (ssize_t)sizeof allocations) {
        status = CHILD_BROKEN;
    }
    exit(status); /* so that the sanitizers look as well */
}

/* The exit status, or 128 and a signal. */
static int run(int argc, char **argv, unsigned long failing, unsigned long *count)
{
    int ends[2];
    if (pipe(ends) != 0) {
        return CHILD_BROKEN;
    }
    (void)fflush(NULL);
    const pid_t child = fork();
    if (child == 0) {
        run_child(argc, argv, failing, ends[1]);
    }
    (void)close(ends[1]);
    if (read(ends[0], count, sizeof *count) != (ssize_t)sizeof *count) {
        *count = 0; /* ended on the way: libxml2's allocator */
    }
    (void)close(ends[0]);
    int status = 0;
    if (child < 0 || waitpid(child, &status, 0) != child) {
        return CHILD_BROKEN;
    }
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

/* ---- files ---- */

typedef struct bytes {
    char *data;
    size_t len;
    bool there;
} bytes;

static bytes slurp(const char *name)
{
    bytes b = {NULL, 0, false};
    FILE *file = fopen(name, "rb");
    if (file == NULL) {
        return b;
    }
    b.there = true;
    size_t cap = 0;
    for (;;) {
        if (cap - b.len < 65536) {
            cap = cap * 2 + 65536;
            char *grown = realloc(b.data, cap);
            if (grown == NULL) {
                abort();
            }
            b.data = grown;
        }
        const size_t got = fread(b.data + b.len, 1, cap - b.len, file);
        if (got == 0) {
            break;
        }
        b.len += got;
    }
    (void)fclose(file);
    return b;
}

static bool same(const bytes *a, const bytes *b)
{
    return a->there == b->there && a->len == b->len && (a->len == 0 || memcmp(a->data, b->data, a->len) == 0);
}

static bool is(const bytes *a, const char *text)
{
    return a->there && a->len == strlen(text) && memcmp(a->data, text, a->len) == 0;
}

static bool holds(const bytes *a, const char *text)
{
    const size_t len = strlen(text);
    for (size_t i = 0; i + len <= a->len; i++) {
        if (memcmp(a->data + i, text, len) == 0) {
            return true;
        }
    }
    return false;
}

#define FILES_MAX 16

/* What a run left: its words and the files in the folder out/. */
typedef struct outcome {
    int status;
    bytes out, err;
    char names[FILES_MAX][256];
    bytes files[FILES_MAX];
    size_t file_count;
    bool temporaries;
} outcome;

static void look(outcome *o)
{
    o->out = slurp("../stdout");
    o->err = slurp("../stderr");
    DIR *folder = opendir("out");
    for (struct dirent *entry; folder != NULL && (entry = readdir(folder)) != NULL;) {
        if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0) {
            continue;
        }
        o->temporaries |= entry->d_name[0] == '.';
        if (o->file_count < FILES_MAX) {
            char path[300];
            (void)snprintf(path, sizeof path, "out/%s", entry->d_name);
            (void)snprintf(o->names[o->file_count], sizeof o->names[0], "%s", entry->d_name);
            o->files[o->file_count++] = slurp(path);
        }
    }
    if (folder != NULL) {
        (void)closedir(folder);
    }
}

static void forget(outcome *o)
{
    free(o->out.data);
    free(o->err.data);
    for (size_t i = 0; i < o->file_count; i++) {
        free(o->files[i].data);
    }
    *o = (outcome){0};
}

static const bytes *file_of(const outcome *o, const char *name)
{
    for (size_t i = 0; i < o->file_count; i++) {
        if (strcmp(o->names[i], name) == 0) {
            return &o->files[i];
        }
    }
    return NULL;
}

/* An empty folder out/, or one in which the good run's files stand with other words in them. */
static void prepare(const outcome *good, bool with_old)
{
    if (system("rm -rf out && mkdir out") != 0) {
        abort();
    }
    for (size_t i = 0; with_old && i < good->file_count; i++) {
        char path[300];
        (void)snprintf(path, sizeof path, "out/%s", good->names[i]);
        FILE *file = fopen(path, "wb");
        if (file == NULL || fputs(OLD, file) < 0 || fclose(file) != 0) {
            abort();
        }
    }
}

/* NULL when all is well. */
static const char *judge(const outcome *good, const outcome *now)
{
    if (now->temporaries) {
        return "a temporary was left";
    }
    for (size_t i = 0; i < now->file_count; i++) {
        const bytes *whole = file_of(good, now->names[i]);
        if (whole == NULL) {
            return "a file that does not belong";
        }
        if (!is(&now->files[i], OLD) && !same(whole, &now->files[i])) {
            return "a half-written or different file";
        }
    }
    if (now->status == 4) {
        if (now->out.len != 0) {
            return "status 4, and output all the same";
        }
        return holds(&now->err, "memory ran out") || holds(&now->err, "cannot be") || holds(&now->err, "libxml2 takes no")
                   ? NULL
                   : "status 4 without a word why";
    }
    if (now->status != good->status) {
        return now->status == CHILD_LEAKED ? "memory was left behind" : "another status";
    }
    if (!same(&good->out, &now->out)) {
        return "a different answer";
    }
    for (size_t i = 0; i < good->file_count; i++) {
        const bytes *file = file_of(now, good->names[i]);
        if (file == NULL || !same(&good->files[i], file)) {
            return "a file missing or not replaced";
        }
    }
    return same(&good->err, &now->err) ? NULL : "other words";
}

/* ---- the rows of a list ---- */

static int split(char *line, char **argv)
{
    int argc = 0;
    argv[argc++] = (char *)(size_t)"hallreach";
    for (char *at = strtok(line, " \t\n"); at != NULL && argc < WORDS_MAX - 1; at = strtok(NULL, " \t\n")) {
        argv[argc++] = at;
    }
    argv[argc] = NULL;
    return argc;
}

static void show(const char *row, unsigned long n, const char *what, const outcome *now)
{
    printf("not ok - %s: allocation %lu fails: %s (status %d)\n%.*s", row, n, what, now->status,
           (int)(now->err.len < 3000 ? now->err.len : 3000), now->err.data != NULL ? now->err.data : "");
}

/* True when every failure was met well. */
static bool try_row(const char *row, unsigned long step, unsigned long most)
{
    char line[1024];
    char *argv[WORDS_MAX];
    (void)snprintf(line, sizeof line, "%s", row);
    const int argc = split(line, argv);
    const bool makes_new = strcmp(argv[1], "outline") == 0; /* refuses what is there already */
    outcome good = {0}, now = {0};
    unsigned long count = 0, none = 0, tried = 0, refusals = 0;
    prepare(&good, false);
    const char *only = getenv("HR_FAULTS_ONLY"); /* one number, for a debugger: in this process */
    if (only != NULL) {
        run_child(argc, argv, strtoul(only, NULL, 10), STDIN_FILENO);
    }
    good.status = run(argc, argv, 0, &count);
    look(&good);
    if (good.status > 3 || count == 0) {
        show(row, 0, "it fails with memory enough", &good);
        forget(&good);
        return false;
    }
    if (most > 0 && count / step > most) {
        step = count / most;
    }
    unsigned long bad = 0;
    for (unsigned long n = 1; n <= count && bad < FAULTS_SHOWN; n += step) {
        if (good.file_count > 0 || n == 1) {
            prepare(&good, !makes_new && n % 2 == 0);
        }
        now.status = run(argc, argv, n, &none);
        look(&now);
        const char *fault = judge(&good, &now);
        if (fault != NULL) {
            show(row, n, fault, &now);
            bad++;
        }
        tried++;
        refusals += now.status == 4;
        forget(&now);
    }
    if (bad == 0 && refusals == 0) {
        printf("not ok - %s: no failure was noticed\n", row);
        bad++;
    }
    if (bad == 0) {
        printf("ok - %s: %lu of %lu allocations failed, %lu refused\n", row, tried, count, refusals);
    }
    forget(&good);
    return bad == 0;
}

static bool fill_folder(const char *work, const char *inputs)
{
    char command[4096], copy[2048];
    (void)snprintf(copy, sizeof copy, "%s", inputs);
    for (char *at = strtok(copy, ":"); at != NULL; at = strtok(NULL, ":")) {
        (void)snprintf(command, sizeof command, "cp -R '%s' '%s'/", at, work);
        if (system(command) != 0) {
            return false;
        }
    }
    return true;
}

int main(int argc, char **argv)
{
    if (argc != 5 && argc != 7) {
        (void)fprintf(stderr, "usage: faults LIST INPUTS STEP MOST [PART PARTS]\n");
        return 2;
    }
    const unsigned long step = strtoul(argv[3], NULL, 10), most = strtoul(argv[4], NULL, 10);
    const unsigned long part = argc == 7 ? strtoul(argv[5], NULL, 10) : 0;
    const unsigned long parts = argc == 7 ? strtoul(argv[6], NULL, 10) : 1;
    const bytes list = slurp(argv[1]); /* at once: a child's exit would move an open file's place */
    char work[] = "/tmp/hallreach-faults-XXXXXX";
    if (!list.there || step == 0 || part >= parts || mkdtemp(work) == NULL) {
        (void)fprintf(stderr, "faults: %s cannot be read, or no folder can be made\n", argv[1]);
        return 2;
    }
    char inside[sizeof work + 8], row[1024];
    (void)snprintf(inside, sizeof inside, "%s/work", work);
    int rows = 0, bad = 0;
    unsigned long listed = 0;
    if (mkdir(inside, 0700) != 0 || !fill_folder(inside, argv[2]) || chdir(inside) != 0) {
        (void)fprintf(stderr, "faults: the inputs cannot be copied\n");
        return 2;
    }
    for (size_t at = 0; at < list.len; at++) {
        size_t len = 0;
        for (; at < list.len && list.data[at] != '\n'; at++) {
            if (len < sizeof row - 1) {
                row[len++] = list.data[at];
            }
        }
        row[len] = '\0';
        if (row[0] == '#' || row[0] == '\0') {
            continue;
        }
        if (listed++ % parts != part) {
            continue;
        }
        char *words = row;
        const unsigned long sparser = strtoul(row, &words, 10);
        rows++;
        bad += !try_row(words + strspn(words, " "), step * (sparser > 0 ? sparser : 1), most);
    }
    free(list.data);
    char command[sizeof work + 16];
    (void)snprintf(command, sizeof command, "rm -rf '%s'", work);
    bad += chdir("/") != 0 || system(command) != 0;
    printf("%d command lines, %d bad\n", rows, bad);
    return rows > 0 && bad == 0 ? 0 : 1;
}
