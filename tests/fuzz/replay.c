/*
 * replay.c - runs a fuzz target over every file of a corpus folder, so that
 * what was once found stays found without a fuzzer.
 *
 * SPDX-License-Identifier: MIT
 */
#include <dirent.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static int replay(const char *path)
{
    FILE *file = fopen(path, "rb");
    if (file == NULL) {
        return 0;
    }
    static uint8_t data[1 << 20];
    const size_t size = fread(data, 1, sizeof data, file);
    (void)fclose(file);
    /* an exact copy, so that reading past the end is seen */
    uint8_t *copy = malloc(size > 0 ? size : 1);
    if (copy == NULL) {
        return 0;
    }
    memcpy(copy, data, size);
    (void)LLVMFuzzerTestOneInput(copy, size);
    free(copy);
    return 1;
}

int main(int argc, char **argv)
{
    int replayed = 0;
    for (int i = 1; i < argc; i++) {
        DIR *folder = opendir(argv[i]);
        if (folder == NULL) {
            (void)fprintf(stderr, "%s cannot be opened\n", argv[i]);
            return 1;
        }
        for (const struct dirent *entry = readdir(folder); entry != NULL; entry = readdir(folder)) {
            char path[4096];
            if (entry->d_name[0] != '.') {
                (void)snprintf(path, sizeof path, "%s/%s", argv[i], entry->d_name);
                replayed += replay(path);
            }
        }
        (void)closedir(folder);
    }
    (void)printf("%d inputs replayed\n", replayed);
    return replayed > 0 ? 0 : 1;
}
