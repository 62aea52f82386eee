/*
 * test_rooms.c - what rooms are called.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_test.h"

static void test_single_storey_takes_labels(void **state)
{
    (void)state;
    reading r = reads(HEAD STOREY);
    assert_int_equal(r.b->room_count, 2);
    assert_string_equal(r.b->rooms[0].name, "01");
    assert_string_equal(r.b->rooms[1].name, "02");
    assert_int_equal(hr_building_room(r.b, "02"), 1);
    assert_int_equal(hr_building_room(r.b, "03"), UINT32_MAX);
    assert_int_equal(r.b->plans[0]->spaces[r.b->rooms[1].space].kind, HR_SPACE_ROOM);
    done(&r);
}

static void test_several_storeys_put_theirs_in_front(void **state)
{
    (void)state;
    reading r = reads(HEAD "[storey 2-3]\nplan = two.svg\n");
    assert_int_equal(r.b->room_count, 4);
    assert_string_equal(r.b->rooms[0].name, "201");
    assert_string_equal(r.b->rooms[3].name, "302");
    assert_int_equal(r.b->rooms[3].storey, 1);
    done(&r);
}

static const char *named(const char *pattern, size_t room, char *out, size_t size)
{
    char text[512];
    (void)snprintf(text, sizeof text, HEAD "[storey 3,4]\nplan = named.svg\nroom_name = %s\n", pattern);
    reading r = reads(text);
    (void)snprintf(out, size, "%s", r.b->rooms[room].name);
    done(&r);
    return out;
}

static void test_templates(void **state)
{
    (void)state;
    char out[64];
    assert_string_equal(named("{storey}{name:02}", 1, out, sizeof out), "307");
    assert_string_equal(named("{storey}{name:02}", 0, out, sizeof out), "3Suite"); /* not a number: as it is */
    assert_string_equal(named("{storey}{name:03}", 3, out, sizeof out), "4007");
    assert_string_equal(named("R {name} on {storey}", 2, out, sizeof out), "R Suite on 4");
    assert_string_equal(named("{name}.{storey}.{name}", 1, out, sizeof out), "7.3.7");
    static const char *const bad[] = {"{storey}{nam}",     "{storey}{name",     "{storey}name}", "{storey}{name:2}",
                                      "{storey}{name:00}", "{storey}{name:0x}", "{storey}{}",    "{{name}"};
    for (size_t i = 0; i < COUNT_OF(bad); i++) {
        char text[512];
        (void)snprintf(text, sizeof text, HEAD "[storey 3,4]\nplan = named.svg\nroom_name = %s\n", bad[i]);
        refuse(text, HR_ERR_INPUT, 8, "{storey}, {name} or {name:02}");
    }
}

static void test_names_are_unique(void **state)
{
    (void)state;
    reading r = read_text(HEAD STOREY "[storey 2]\nplan = two.svg\n");
    assert_int_equal(r.status, HR_ERR_INPUT);
    assert_non_null(strstr(r.err.file, "two.svg"));
    assert_int_equal(r.err.line, 1);
    assert_non_null(strstr(r.err.text, "room 01 of storey 2 is called like the room of storey 1 at "));
    assert_non_null(strstr(r.err.text, "two.svg:1; names are unique"));
    done(&r);
    /* without case */
    test_write("upper.svg",
               "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1000 1000'>"
               "<g data-name='scale: 10 m'><line x1='0' y1='900' x2='1000' y2='900'/></g>"
               "<g data-name='walls: brick-100'><path d='M0 0H800V700H0Z'/></g>"
               "<g data-name='rooms'><rect width='400' height='500'><title>SUITE</title></rect></g></svg>");
    r = read_text(HEAD "[storey 1]\nplan = named.svg\n[storey 2]\nplan = upper.svg\n");
    assert_int_equal(r.status, HR_ERR_INPUT);
    assert_non_null(strstr(r.err.text, "SUITE"));
    done(&r);
    /* a template that forgets the storey */
    r = read_text(HEAD "[storey 1-2]\nplan = two.svg\nroom_name = {name}\n");
    assert_int_equal(r.status, HR_ERR_INPUT);
    done(&r);
}

static void test_names_have_a_limit(void **state)
{
    (void)state;
    test_write("long.svg", "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 1000 1000'>"
                           "<g data-name='scale: 10 m'><line x1='0' y1='900' x2='1000' y2='900'/></g>"
                           "<g data-name='walls: brick-100'><path d='M0 0H800V700H0Z'/></g>"
                           "<g data-name='rooms'><rect width='400' height='500'><title>"
                           "a room with a name of fifty letters, no more nor less</title></rect></g></svg>");
    reading r = read_text(HEAD "[storey 1-2]\nplan = long.svg\nroom_name = "
                               "{storey}{name}{name}{name}{name}{name}{name}\n");
    assert_int_equal(r.status, HR_ERR_LIMIT);
    assert_non_null(strstr(r.err.text, "256 bytes"));
    done(&r);
}

const struct CMUnitTest room_tests[] = {cmocka_unit_test(test_single_storey_takes_labels),
                                        cmocka_unit_test(test_several_storeys_put_theirs_in_front),
                                        cmocka_unit_test(test_templates), cmocka_unit_test(test_names_are_unique),
                                        cmocka_unit_test(test_names_have_a_limit)};
const size_t room_test_count = COUNT_OF(room_tests);
