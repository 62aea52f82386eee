/*
 * embed.c - build-time program: writes C source that holds the bytes of the
 * files named on the command line.
 *
 *   embed OUT.c FILE...
 *
 * Bytes as numbers, not string literals: C11 promises only 4095 characters in
 * a literal.
 *
 * SPDX-License-Identifier: MIT
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *base_name(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash != NULL ? slash + 1 : path;
}

static int by_base_name(const void *a, const void *b)
{
    return strcmp(base_name(*(const char *const *)a), base_name(*(const char *const *)b));
}

static int write_bytes(FILE *out, const char *path, int index)
{
    FILE *in = fopen(path, "rb");
    if (in == NULL) {
        fprintf(stderr, "embed: %s: cannot be read\n", path);
        return 0;
    }
    fprintf(out, "/* %s */\nstatic const unsigned char table_%d[] = {", base_name(path), index);
    size_t count = 0;
    for (int c = getc(in); c != EOF; c = getc(in)) {
        fprintf(out, count++ % 24 == 0 ? "\n    %d," : "%d,", c);
    }
    const int bad = ferror(in);
    fclose(in);
    fprintf(out, "\n    0};\n\n");
    return !bad;
}

static int write_all(FILE *out, const char **paths, int count)
{
    fprintf(out, "/* Made by lib/tables/embed.c; do not edit. */\n#include \"tables_priv.h\"\n\n");
    for (int i = 0; i < count; i++) {
        if (!write_bytes(out, paths[i], i)) {
            return 0;
        }
    }
    fprintf(out, "const hr_tables_entry hr_tables_entries[] = {\n");
    for (int i = 0; i < count; i++) {
        fprintf(out, "    {\"%s\", table_%d, sizeof table_%d - 1},\n", base_name(paths[i]), i, i);
    }
    fprintf(out, "};\nconst size_t hr_tables_entry_count = %d;\n", count);
    return !ferror(out);
}

int main(int argc, char **argv)
{
    if (argc < 3) {
        fprintf(stderr, "usage: embed OUT.c FILE...\n");
        return 2;
    }
    const int count = argc - 2;
    const char **paths = calloc((size_t)count, sizeof *paths);
    if (paths == NULL) {
        return 4;
    }
    for (int i = 0; i < count; i++) {
        paths[i] = argv[i + 2];
    }
    qsort(paths, (size_t)count, sizeof *paths, by_base_name);
    for (int i = 1; i < count; i++) {
        if (by_base_name(&paths[i - 1], &paths[i]) == 0) {
            fprintf(stderr, "embed: two files are called %s\n", base_name(paths[i]));
            free(paths);
            return 3;
        }
    }
    FILE *out = fopen(argv[1], "wb");
    int good = out != NULL && write_all(out, paths, count);
    if (out != NULL && fclose(out) != 0) {
        good = 0;
    }
    if (!good) {
        fprintf(stderr, "embed: %s: not written\n", argv[1]);
        remove(argv[1]);
    }
    free(paths);
    return good ? 0 : 4;
}
