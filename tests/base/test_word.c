/*
 * test_word.c - names without case, edit distance, sets of names, notes.
 *
 * SPDX-License-Identifier: MIT
 */
#include <stdlib.h>

#include "base_tests.h"

void case_does_not_matter(void **state)
{
    (void)state;
    assert_int_equal(hr_casecmp("Walls", "wALLS"), 0);
    assert_true(hr_casecmp("a", "B") < 0);
    assert_true(hr_casecmp("b", "A") > 0);
    assert_true(hr_casecmp("room", "rooms") < 0);
    assert_true(hr_casecmp("rooms", "room") > 0);
    assert_true(hr_casecmp("\xC3\x9C", "\xC3\xBC") != 0); /* ASCII only */
    assert_true(hr_casecmp("z", "\xC3\xBC") < 0);         /* bytes are unsigned */
    assert_true(hr_caseeq_n("Rooms: x", "ROOMS", 5));
    assert_false(hr_caseeq_n("Room", "Rooms", 5));
    assert_true(hr_caseeq_n("room", "ROOM", 99)); /* both end */
    assert_true(hr_caseeq_n("x", "y", 0));
}

void edits_are_counted(void **state)
{
    (void)state;
    assert_int_equal(hr_edit_distance("", "", 9), 0);
    assert_int_equal(hr_edit_distance("", "abc", 9), 3);
    assert_int_equal(hr_edit_distance("abc", "", 9), 3);
    assert_int_equal(hr_edit_distance("kitten", "sitting", 9), 3); /* the textbook pair */
    assert_int_equal(hr_edit_distance("Teh", "the", 9), 1);        /* a swap is one edit */
    assert_int_equal(hr_edit_distance("ca", "abc", 9), 3);         /* 2 if a swapped pair could be edited again */
    assert_int_equal(hr_edit_distance("kitten", "sitting", 2), 3); /* above the cap: cap + 1 */
    assert_int_equal(hr_edit_distance("kitten", "sitting", 0), 1);
    assert_int_equal(hr_edit_distance("a", "abcdefgh", 2), 3);
    assert_int_equal(hr_edit_distance("kitten", "sitting", SIZE_MAX), 3);
}

void edits_of_long_words_are_counted(void **state)
{
    (void)state;
    char a[500], b[500];
    memset(a, 'a', sizeof a);
    memset(b, 'a', sizeof b);
    a[256] = b[256] = '\0';
    b[255] = 'z';
    assert_int_equal(hr_edit_distance(a, b, 5), 1); /* a difference at the very end of the longest name */
    a[256] = b[256] = 'a';
    a[499] = b[499] = '\0';
    assert_int_equal(hr_edit_distance(a, b, 5), 6); /* beyond that: the same or far */
    assert_int_equal(hr_edit_distance(a, a, 5), 0);
}

void the_nearest_word_is_suggested(void **state)
{
    (void)state;
    static const char *const words[] = {"place", NULL, "rooms", "read", "materials", "rooma"};
    const size_t count = sizeof words / sizeof words[0];
    assert_ptr_equal(hr_nearest("palce", words, count, 2), words[0]);
    assert_ptr_equal(hr_nearest("ROOMZ", words, count, 2), words[2]); /* a tie: the earliest */
    assert_ptr_equal(hr_nearest("rooma", words, count, 2), words[5]);
    assert_ptr_equal(hr_nearest("material", words, count, 2), words[4]);
    assert_ptr_equal(hr_nearest("reed", words, count, 1), words[3]);
    assert_null(hr_nearest("gateway", words, count, 2));
    assert_null(hr_nearest("reed", words, count, 0));
    assert_null(hr_nearest("reed", words, 0, 2));
    assert_non_null(hr_nearest("reed", words, count, SIZE_MAX));
}

void names_are_found(void **state)
{
    (void)state;
    hr_names *names = hr_names_new();
    assert_non_null(names);
    assert_true(hr_names_find(names, "214") == SIZE_MAX);
    char name[32];
    for (size_t i = 0; i < 20000; i++) {
        (void)snprintf(name, sizeof name, "Room-%zu", i);
        assert_true(hr_names_add(names, name, i * 3));
    }
    for (size_t i = 0; i < 20000; i++) {
        (void)snprintf(name, sizeof name, "rOOM-%zu", i);
        assert_int_equal(hr_names_find(names, name), i * 3);
    }
    assert_true(hr_names_find(names, "room-20000") == SIZE_MAX);
    assert_true(hr_names_find(names, "") == SIZE_MAX);
    assert_true(hr_names_add(names, "ROOM-7", 99)); /* the first value stays */
    assert_int_equal(hr_names_find(names, "room-7"), 21);
    assert_true(hr_names_add(names, "", 4));
    assert_int_equal(hr_names_find(names, ""), 4);
    hr_names_free(names);
    hr_names_free(NULL);
}

void notes_are_kept_once_in_order(void **state)
{
    (void)state;
    hr_notes *notes = hr_notes_new();
    assert_non_null(notes);
    hr_note(notes, "a.svg", 12, "2 texts %s", "ignored");
    hr_note(notes, NULL, 0, "no slab on storey %d", 1);
    hr_note(notes, "a.svg", 0, "no origin");
    hr_note(notes, "a.svg", 12, "2 texts ignored");
    hr_note(notes, "a.svg", 13, "2 texts ignored");
    hr_note(notes, NULL, 0, "NO slab on storey 1"); /* another text: case counts here */
    hr_note(notes, NULL, 0, "NO slab on storey 1");
    hr_note(notes, NULL, 0, "no slab on storey 1");
    hr_note(notes, NULL, 7, "line\nend");
    static const char *const expected[] = {
        "a.svg:12: 2 texts ignored", "no slab on storey 1", "a.svg: no origin",
        "a.svg:13: 2 texts ignored", "NO slab on storey 1", "line end",
    };
    assert_int_equal(hr_notes_count(notes), sizeof expected / sizeof expected[0]);
    for (size_t i = 0; i < sizeof expected / sizeof expected[0]; i++) {
        assert_string_equal(hr_notes_text(notes, i), expected[i]);
    }
    assert_null(hr_notes_text(notes, 6));
    assert_false(hr_notes_failed(notes));
    hr_notes_free(notes);
}

void notes_without_a_listener_are_dropped(void **state)
{
    (void)state;
    hr_note(NULL, "a.svg", 1, "nobody hears %d", 1);
    assert_int_equal(hr_notes_count(NULL), 0);
    assert_null(hr_notes_text(NULL, 0));
    assert_false(hr_notes_failed(NULL));
    hr_notes_free(NULL);
}
