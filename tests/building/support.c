/*
 * support.c - small properties for the tests, and their plans.
 *
 * SPDX-License-Identifier: MIT
 */
#define _GNU_SOURCE /* mkdtemp */
#include "building_test.h"

#include <dirent.h>
#include <stdlib.h>
#include <unistd.h>

static char folder[64];

const char *test_folder(void)
{
    if (folder[0] == '\0') {
        char made[] = "/tmp/hr-building-XXXXXX";
        assert_non_null(mkdtemp(made));
        (void)snprintf(folder, sizeof folder, "%s/", made);
    }
    return folder;
}

void test_write(const char *name, const char *text)
{
    char path[512];
    (void)snprintf(path, sizeof path, "%s%s", test_folder(), name);
    hr_error err = {0};
    const hr_status status = hr_file_write(path, text, strlen(text), &err);
    if (status != HR_OK) {
        fail_msg("%s", err.text);
    }
}

void test_remove_folder(void)
{
    DIR *dir = folder[0] == '\0' ? NULL : opendir(folder);
    if (dir == NULL) {
        return;
    }
    for (const struct dirent *entry = readdir(dir); entry != NULL; entry = readdir(dir)) {
        char path[512];
        (void)snprintf(path, sizeof path, "%s%s", folder, entry->d_name);
        (void)unlink(path);
    }
    (void)closedir(dir);
    (void)rmdir(folder);
}

reading read_with(const char *text, const hr_building_options *options)
{
    char path[512];
    (void)snprintf(path, sizeof path, "%stest.ini", test_folder());
    reading r = {.notes = hr_notes_new()};
    r.status = hr_building_parse(path, text, strlen(text), options, r.notes, &r.b, &r.err);
    return r;
}

reading read_text(const char *text)
{
    return read_with(text, NULL);
}

void done(reading *r)
{
    hr_building_free(r->b);
    hr_notes_free(r->notes);
}

void refuse(const char *text, hr_status status, int line, const char *words)
{
    reading r = read_text(text);
    if (r.status != status || r.err.line != line || strstr(r.err.text, words) == NULL || r.b != NULL) {
        fail_msg("%s\ngave %s, %s:%d: %s\nexpected %s, line %d, words: %s", text, hr_status_name(r.status), r.err.file,
                 r.err.line, r.err.text, hr_status_name(status), line, words);
    }
    done(&r);
}

reading reads(const char *text)
{
    reading r = read_text(text);
    if (r.status != HR_OK) {
        fail_msg("%s\nwas refused: %s:%d: %s", text, r.err.file, r.err.line, r.err.text);
    }
    return r;
}

bool has_note(const reading *r, const char *words)
{
    for (size_t i = 0; i < hr_notes_count(r->notes); i++) {
        if (strstr(hr_notes_text(r->notes, i), words) != NULL) {
            return true;
        }
    }
    return false;
}

static void print_notes(const reading *r)
{
    for (size_t i = 0; i < hr_notes_count(r->notes); i++) {
        print_error("note: %s\n", hr_notes_text(r->notes, i));
    }
}

void expect_note(const reading *r, const char *words)
{
    if (!has_note(r, words)) {
        print_notes(r);
        fail_msg("no note with: %s", words);
    }
}

void expect_no_note(const reading *r, const char *words)
{
    if (has_note(r, words)) {
        print_notes(r);
        fail_msg("a note with: %s", words);
    }
}
