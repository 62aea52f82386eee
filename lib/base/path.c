/*
 * path.c - paths beside a file.
 *
 * SPDX-License-Identifier: MIT
 */
#include "hr_base.h"

#include <string.h>
#include <sys/stat.h>

/* Whether the first len bytes of path are a folder itself, not a link to one:
 * then FOLDER/../x is x. */
static bool is_folder(char *path, size_t len)
{
    struct stat info;
    const char kept = path[len];
    path[len] = '\0';
    const bool folder = lstat(path, &info) == 0 && S_ISDIR(info.st_mode);
    path[len] = kept;
    return folder;
}

/* Takes FOLDER/../ out of a path, where that changes nothing: for people to read. */
static void tidy(char *path)
{
    for (char *up = strstr(path, "/../"); up != NULL; up = strstr(up, "/../")) {
        char *folder = up;
        while (folder > path && folder[-1] != '/') {
            folder--;
        }
        const size_t len = (size_t)(up - folder);
        const bool named = len > 0 && !(len == 1 && folder[0] == '.') && !(len == 2 && memcmp(folder, "..", 2) == 0);
        /* a name that begins with - would be standard input or an option */
        if (!named || up[4] == '-' || up[4] == '/' || !is_folder(path, (size_t)(up - path))) {
            up++;
            continue;
        }
        memmove(folder, up + 4, strlen(up + 4) + 1);
        up = path;
    }
}

char *hr_path_beside(const char *base_file, const char *path)
{
    const char *slash = strrchr(base_file, '/');
    if (path[0] == '/' || slash == NULL) {
        return hr_strdup(path);
    }
    hr_text joined = {0};
    hr_text_add_n(&joined, base_file, (size_t)(slash - base_file) + 1);
    hr_text_add(&joined, path);
    if (joined.failed) {
        hr_text_free(&joined);
        return NULL;
    }
    tidy(joined.bytes);
    return joined.bytes;
}
