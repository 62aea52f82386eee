/*
 * test_error.c - status, error text, memory.
 *
 * SPDX-License-Identifier: MIT
 */
#include "base_tests.h"

void statuses_have_names_and_exits(void **state)
{
    (void)state;
    static const struct {
        hr_status status;
        const char *name;
        int exit_status;
    } cases[] = {
        {HR_OK, "ok", 0},
        {HR_ERR_ARGUMENT, "argument", 3},
        {HR_ERR_USAGE, "usage", 2},
        {HR_ERR_INPUT, "input", 3},
        {HR_ERR_UNAVAILABLE, "unavailable", 3},
        {HR_ERR_LIMIT, "limit", 3},
        {HR_ERR_OUTPUT, "output", 4},
        {HR_ERR_MEMORY, "memory", 4},
        {HR_ERR_INTERRUPTED, "interrupted", 130},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        assert_int_equal((int)cases[i].status, (int)i); /* the numbers are ABI */
        assert_string_equal(hr_status_name(cases[i].status), cases[i].name);
        assert_int_equal(hr_status_exit(cases[i].status), cases[i].exit_status);
    }
    assert_string_equal(hr_status_name((hr_status)9), "unknown");
    assert_int_equal(hr_status_exit((hr_status)9), 3);
    assert_true(hr_version()[0] >= '0' && hr_version()[0] <= '9');
}

void failures_are_described(void **state)
{
    (void)state;
    hr_error err;
    char line[700];
    assert_int_equal(
        hr_fail(&err, HR_ERR_INPUT, "lodge.ini", 12, "%s is %d, 1 to %zu was expected", "per_room", 0, (size_t)9),
        HR_ERR_INPUT);
    assert_int_equal(err.status, HR_ERR_INPUT);
    assert_string_equal(err.file, "lodge.ini");
    assert_int_equal(err.line, 12);
    hr_error_format(&err, line, sizeof line);
    assert_string_equal(line, "lodge.ini:12: per_room is 0, 1 to 9 was expected");
    (void)hr_fail(&err, HR_ERR_INPUT, "lodge.ini", 0, "is empty");
    hr_error_format(&err, line, sizeof line);
    assert_string_equal(line, "lodge.ini: is empty");
    assert_int_equal(hr_fail_memory(&err), HR_ERR_MEMORY);
    hr_error_format(&err, line, sizeof line);
    assert_string_equal(line, "memory ran out");
    assert_int_equal(hr_fail(NULL, HR_ERR_LIMIT, NULL, 0, "nobody listens"), HR_ERR_LIMIT);
    assert_int_equal(hr_fail_memory(NULL), HR_ERR_MEMORY);
}

void context_is_added_to_a_failure(void **state)
{
    (void)state;
    hr_error err;
    (void)hr_fail(&err, HR_ERR_INPUT, "a.svg", 3, "no scale");
    /* every argument lies in what is being written */
    (void)hr_fail(&err, err.status, err.file, err.line, "storey 2: %s (%s)", err.text, err.file);
    assert_string_equal(err.file, "a.svg");
    assert_string_equal(err.text, "storey 2: no scale (a.svg)");
}

void failures_are_one_line_of_valid_text(void **state)
{
    (void)state;
    hr_error err;
    (void)hr_fail(&err, HR_ERR_INPUT, NULL, 0, "room \"%s\"", "a\nb\x1B[31m\xFF\xC3\xA9");
    assert_string_equal(err.text, "room \"a b [31m?\xC3\xA9\"");
    char long_name[1000];
    memset(long_name, 'x', sizeof long_name - 1);
    long_name[sizeof long_name - 1] = '\0';
    (void)hr_fail(&err, HR_ERR_INPUT, long_name, 1, "%s", long_name);
    assert_int_equal(strlen(err.file), HR_ERROR_FILE_MAX - 1);
    assert_int_equal(strlen(err.text), HR_ERROR_TEXT_MAX - 1);
    /* cut in the middle of a character: no half of it stays */
    memcpy(long_name + HR_ERROR_TEXT_MAX - 2, "\xC3\xA9", 2);
    (void)hr_fail(&err, HR_ERR_INPUT, NULL, 1, "%s", long_name);
    assert_int_equal(err.text[HR_ERROR_TEXT_MAX - 2], '?');
}

void sizes_are_checked(void **state)
{
    (void)state;
    assert_null(hr_alloc(SIZE_MAX, 2));
    assert_null(hr_alloc(SIZE_MAX / 2 + 1, 2));
    assert_null(hr_alloc_zero(SIZE_MAX, SIZE_MAX));
    assert_null(hr_alloc((size_t)PTRDIFF_MAX + 1, 1));
    void *block = hr_alloc(0, 8);
    assert_non_null(block);
    assert_null(hr_resize(block, SIZE_MAX / 4, 8)); /* the block stays */
    void *larger = hr_resize(block, 4, 8);
    assert_non_null(larger);
    hr_free(larger);
    hr_free(NULL);
    unsigned char *zeroed = hr_alloc_zero(100, 3);
    assert_non_null(zeroed);
    for (size_t i = 0; i < 300; i++) {
        assert_int_equal(zeroed[i], 0);
    }
    hr_free(zeroed);
    char *copy = hr_strdup("Tern House");
    char *part = hr_strndup("Tern House", 4);
    assert_string_equal(copy, "Tern House");
    assert_string_equal(part, "Tern");
    assert_null(hr_strndup("x", SIZE_MAX));
    hr_free(copy);
    hr_free(part);
}

void arrays_grow(void **state)
{
    (void)state;
    double *items = NULL;
    size_t cap = 0, moves = 0;
    for (size_t i = 0; i < 10000; i++) {
        const size_t before = cap;
        assert_true(HR_RESERVE(items, cap, i + 1));
        assert_true(cap >= i + 1);
        moves += cap != before;
        items[i] = (double)i;
    }
    assert_true(moves < 30); /* by a factor, not by a step */
    for (size_t i = 0; i < 10000; i++) {
        check_near(items[i], (double)i, 0.0);
    }
    double *const same = items;
    const size_t same_cap = cap;
    assert_false(HR_RESERVE(items, cap, SIZE_MAX / 8));
    assert_ptr_equal(items, same);
    assert_int_equal(cap, same_cap);
    assert_true(HR_RESERVE(items, cap, 5));
    assert_int_equal(cap, same_cap);
    hr_free(items);
}

void arenas_hold_blocks_of_any_size(void **state)
{
    (void)state;
    hr_arena *arena = hr_arena_new();
    assert_non_null(arena);
    unsigned char *blocks[400];
    for (size_t i = 0; i < 400; i++) {
        const size_t size = i % 50 == 49 ? 100000 : i * 7 % 1000;
        blocks[i] = hr_arena_alloc(arena, size, 1);
        assert_non_null(blocks[i]);
        assert_int_equal((uintptr_t)blocks[i] % 16, 0);
        memset(blocks[i], (int)(i % 256), size);
    }
    for (size_t i = 0; i < 400; i++) { /* no block reaches into another */
        const size_t size = i % 50 == 49 ? 100000 : i * 7 % 1000;
        for (size_t k = 0; k < size; k++) {
            assert_int_equal(blocks[i][k], i % 256);
        }
    }
    assert_null(hr_arena_alloc(arena, SIZE_MAX, 2));
    assert_null(hr_arena_alloc(arena, PTRDIFF_MAX, 1));
    assert_string_equal(hr_arena_strdup(arena, "corridor"), "corridor");
    assert_string_equal(hr_arena_strndup(arena, "corridor", 3), "cor");
    assert_null(hr_arena_strndup(arena, "x", SIZE_MAX));
    hr_arena_free(arena);
    hr_arena_free(NULL);
}
