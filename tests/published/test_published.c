/*
 * test_published.c - every published figure the library is held to, and tests
 * that this check can fail.
 *
 * SPDX-License-Identifier: MIT
 */
#include <dirent.h>
#include <stdlib.h>

#include "check.h"
#include "published.h"

/* The tables, and how many there are: a forgotten one is noticed below. */
static const char *const files[] = {"abg.csv",        "antenna-area.csv", "cost231.csv",  "diffraction.csv",
                                    "free-space.csv", "link-budget.csv",  "measured.csv", "normal.csv",
                                    "p1238.csv",      "p2040.csv",        "slab.csv",     "tr38901.csv"};
#define FILES (sizeof files / sizeof files[0])

static hr_material_rows *sources;

static int open_sources(void **state)
{
    (void)state;
    return hr_materials_rows_new(&sources, NULL) == HR_OK ? 0 : -1;
}

static int close_sources(void **state)
{
    (void)state;
    hr_materials_rows_free(sources);
    return 0;
}

static void load_file(const char *file, pub_table *table)
{
    char path[1024];
    char message[PUB_TEXT] = "";
    const char *root = getenv("HR_SOURCE_ROOT");
    assert_non_null(root);
    snprintf(path, sizeof path, "%s/tests/published/%s", root, file);
    char *bytes = NULL;
    size_t len = 0;
    hr_error err = {0};
    if (hr_file_read(path, (size_t)1 << 20, &bytes, &len, &err) != HR_OK) {
        fail_msg("%s: %s", err.file, err.text);
    }
    const bool good = pub_load(file, bytes, len, sources, table, message);
    hr_free(bytes);
    if (!good) {
        fail_msg("%s", message);
    }
}

static void agrees(void **state)
{
    const char *file = *state;
    pub_table table;
    load_file(file, &table);
    size_t red = 0;
    for (size_t i = 0; i < table.count; i++) {
        char message[PUB_TEXT] = "";
        if (!pub_check(&table.rows[i], 0.0, message)) {
            print_error("%s: %s\n", file, message);
            red++;
        }
    }
    pub_free(&table);
    if (red > 0) {
        fail_msg("%s: %zu figures do not agree", file, red);
    }
}

/* Moved by three times its tolerance, every row is red and named. */
static void nudged_rows_are_red(void **state)
{
    const char *file = *state;
    pub_table table;
    load_file(file, &table);
    for (size_t i = 0; i < table.count; i++) {
        for (int side = -1; side <= 1; side += 2) {
            char message[PUB_TEXT] = "";
            const pub_row *row = &table.rows[i];
            if (pub_check(row, 3.0 * side * row->tolerance, message)) {
                fail_msg("%s: %s stays green when nudged", file, row->id);
            }
            assert_int_equal(strncmp(message, row->id, strlen(row->id)), 0);
        }
    }
    pub_free(&table);
}

/* Every table of the folder is in the list. */
static void no_table_is_forgotten(void **state)
{
    (void)state;
    char path[1024];
    const char *root = getenv("HR_SOURCE_ROOT");
    assert_non_null(root);
    snprintf(path, sizeof path, "%s/tests/published", root);
    DIR *folder = opendir(path);
    assert_non_null(folder);
    size_t count = 0;
    for (struct dirent *entry = readdir(folder); entry != NULL; entry = readdir(folder)) {
        const char *dot = strrchr(entry->d_name, '.');
        if (dot == NULL || strcmp(dot, ".csv") != 0) {
            continue;
        }
        size_t i = 0;
        while (i < FILES && strcmp(files[i], entry->d_name) != 0) {
            i++;
        }
        if (i == FILES) {
            fail_msg("%s is not in the list of tables", entry->d_name);
        }
        count++;
    }
    closedir(folder);
    assert_int_equal(count, FILES);
}

static void half_a_digit(void **state)
{
    (void)state;
    check_near(pub_half_digit("2.15"), 0.005, 1e-15);
    check_near(pub_half_digit("-18"), 0.5, 1e-15);
    check_near(pub_half_digit("18.300"), 0.0005, 1e-15);
    check_near(pub_half_digit("4.98265e-10"), 5e-16, 1e-28);
}

/* ---- a broken table is refused ------------------------------------------ */

#define HEAD "id,function,freq_mhz,dist_m,expected,tolerance,source,note\n"
#define GOOD "a,free_space,868,1,31.22,0.005,p525,\n"

static void broken_tables_are_refused(void **state)
{
    (void)state;
    const struct {
        const char *text, *says;
    } broken[] = {
        {"# rows = 2\n" HEAD GOOD, "rows"},
        {HEAD GOOD, "rows"},
        {"# rows = 2\n" HEAD GOOD GOOD, "before"},
        {"# rows = 1\n" HEAD "a,free_space,868,1,31.22\n", ":3"},
        {"# rows = 1\n" HEAD ",free_space,868,1,31.22,0.005,p525,\n", "id"},
        {"# rows = 1\n" HEAD "a,no_such,868,1,31.22,0.005,p525,\n", "function"},
        {"# rows = 1\n" HEAD "a,free_space,868,1,n/a,0.005,p525,\n", "expected"},
        {"# rows = 1\n" HEAD "a,free_space,868,1,31.22,,p525,\n", "tolerance"},
        {"# rows = 1\n" HEAD "a,free_space,868,1,31.22,0,p525,\n", "tolerance"},
        {"# rows = 1\n" HEAD "a,free_space,868,1,31.22,0.006,p525,\n", "tolerance"},
        {"# rows = 1\n" HEAD "a,free_space,868,1,31.22,0.005,no-such,\n", "source"},
        {"# rows = 1\n" HEAD "a,free_space,868,1,31.22,0.005,m1225,\n", "from memory"},
        {"# rows = 1\nid,function,expected,tolerance,note\na,free_space,31.22,0.005,\n", "source"},
    };
    for (size_t i = 0; i < sizeof broken / sizeof broken[0]; i++) {
        pub_table table;
        char message[PUB_TEXT] = "";
        if (pub_load("broken", broken[i].text, strlen(broken[i].text), sources, &table, message)) {
            fail_msg("case %zu was taken", i);
        }
        if (strstr(message, broken[i].says) == NULL) {
            fail_msg("case %zu says '%s', not '%s'", i, message, broken[i].says);
        }
    }
    pub_table table;
    char message[PUB_TEXT] = "";
    const char *good = "# rows = 1\n" HEAD GOOD;
    assert_true(pub_load("good", good, strlen(good), sources, &table, message));
    assert_true(pub_check(&table.rows[0], 0.0, message));
    pub_free(&table);
}

static void missing_inputs_are_red(void **state)
{
    (void)state;
    const char *const texts[] = {"# rows = 1\n" HEAD "a,free_space,868,,31.22,0.005,p525,\n",
                                 "# rows = 1\n" HEAD "a,free_space,868,x,31.22,0.005,p525,\n",
                                 "# rows = 1\n" HEAD "a,friis,868,1,31.22,0.005,p525,\n"};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        pub_table table;
        char message[PUB_TEXT] = "";
        assert_true(pub_load("inputs", texts[i], strlen(texts[i]), sources, &table, message));
        assert_false(pub_check(&table.rows[0], 0.0, message));
        assert_non_null(strstr(message, "a: input"));
        pub_free(&table);
    }
}

static struct CMUnitTest on_file(const char *prefix, const char *file, CMUnitTestFunction function)
{
    static char names[2 * FILES][64];
    static size_t used;
    char *name = names[used++];
    snprintf(name, sizeof names[0], "%s %s", file, prefix);
    /* cmocka wants a pointer to non-const; the tests only read it */
    return (struct CMUnitTest){.name = name, .test_func = function, .initial_state = (void *)(uintptr_t)file};
}

int main(void)
{
    struct CMUnitTest tests[2 * FILES + 4];
    for (size_t i = 0; i < FILES; i++) {
        tests[2 * i] = on_file("agrees", files[i], agrees);
        tests[2 * i + 1] = on_file("is red when nudged", files[i], nudged_rows_are_red);
    }
    tests[2 * FILES] = (struct CMUnitTest)cmocka_unit_test(half_a_digit);
    tests[2 * FILES + 1] = (struct CMUnitTest)cmocka_unit_test(broken_tables_are_refused);
    tests[2 * FILES + 2] = (struct CMUnitTest)cmocka_unit_test(missing_inputs_are_red);
    tests[2 * FILES + 3] = (struct CMUnitTest)cmocka_unit_test(no_table_is_forgotten);
    return cmocka_run_group_tests(tests, open_sources, close_sources);
}
