/*
 * test_tables.c - the tables linked in are the files of reference/, byte for
 * byte, and read as CSV.
 *
 * SPDX-License-Identifier: MIT
 */
#include <dirent.h>
#include <stdlib.h>

#include "check.h"
#include "hr_tables.h"

static void path_of(char *out, size_t size, const char *name)
{
    const char *root = getenv("HR_SOURCE_ROOT");
    assert_non_null(root);
    const int written = snprintf(out, size, "%s/reference/%s", root, name);
    assert_true(written > 0 && (size_t)written < size);
}

static void every_file_is_linked_in(void **state)
{
    (void)state;
    char path[1024];
    path_of(path, sizeof path, "");
    DIR *folder = opendir(path);
    assert_non_null(folder);
    size_t seen = 0;
    for (struct dirent *entry = readdir(folder); entry != NULL; entry = readdir(folder)) {
        const char *dot = strrchr(entry->d_name, '.');
        if (dot == NULL || strcmp(dot, ".csv") != 0) {
            continue;
        }
        size_t len = 0;
        const char *bytes = hr_tables_bytes(entry->d_name, &len);
        if (bytes == NULL) {
            fail_msg("reference/%s is not linked in: name it in reference/meson.build", entry->d_name);
            return;
        }
        char *file_bytes = NULL;
        size_t file_len = 0;
        path_of(path, sizeof path, entry->d_name);
        assert_int_equal(hr_file_read(path, (size_t)1 << 20, &file_bytes, &file_len, NULL), HR_OK);
        assert_int_equal(len, file_len);
        assert_memory_equal(bytes, file_bytes, len);
        assert_int_equal(bytes[len], 0);
        hr_free(file_bytes);
        seen++;
    }
    closedir(folder);
    assert_true(seen >= 5);
}

static void names_are_sorted_and_end(void **state)
{
    (void)state;
    size_t count = 0;
    while (hr_tables_name(count) != NULL) {
        if (count > 0) {
            assert_true(strcmp(hr_tables_name(count - 1), hr_tables_name(count)) < 0);
        }
        assert_non_null(hr_tables_bytes(hr_tables_name(count), NULL));
        count++;
    }
    assert_true(count >= 5);
    assert_null(hr_tables_name(count + 1000));
}

static void tables_read_as_csv(void **state)
{
    (void)state;
    size_t read = 0;
    for (size_t i = 0; hr_tables_name(i) != NULL; i++) {
        const char *dot = strrchr(hr_tables_name(i), '.');
        if (dot == NULL || strcmp(dot, ".csv") != 0) {
            continue;
        }
        hr_csv *csv = NULL;
        hr_error err = {0};
        if (hr_tables_csv(hr_tables_name(i), &csv, &err) != HR_OK) {
            fail_msg("%s:%d: %s", err.file, err.line, err.text);
        }
        assert_true(hr_csv_rows(csv) > 0);
        hr_csv_free(csv);
        read++;
    }
    assert_true(read >= 5);
}

static void unknown_names_are_refused(void **state)
{
    (void)state;
    hr_csv *csv = NULL;
    hr_error err = {0};
    assert_null(hr_tables_bytes("no-such.csv", NULL));
    assert_null(hr_tables_bytes(NULL, NULL));
    assert_int_equal(hr_tables_csv("no-such.csv", &csv, &err), HR_ERR_ARGUMENT);
    assert_null(csv);
    assert_non_null(strstr(err.text, "no-such.csv"));
    assert_int_equal(hr_tables_csv("no-such.csv", &csv, NULL), HR_ERR_ARGUMENT);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_file_is_linked_in),
        cmocka_unit_test(names_are_sorted_and_end),
        cmocka_unit_test(tables_read_as_csv),
        cmocka_unit_test(unknown_names_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
