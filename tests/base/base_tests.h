/*
 * base_tests.h - the tests of lib/base, in several files of one program.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef BASE_TESTS_H
#define BASE_TESTS_H

#include "check.h"
#include "hr_base.h"

/* test_error.c */
void statuses_have_names_and_exits(void **state);
void failures_are_described(void **state);
void context_is_added_to_a_failure(void **state);
void failures_are_one_line_of_valid_text(void **state);
void sizes_are_checked(void **state);
void arrays_grow(void **state);
void arenas_hold_blocks_of_any_size(void **state);

/* test_number.c */
void numbers_follow_the_grammar(void **state);
void numbers_stop_at_the_given_length(void **state);
void numbers_round_correctly(void **state);
void long_numbers_are_read_whole(void **state);
void every_double_reads_back(void **state);
void whole_texts_are_numbers(void **state);
void whole_numbers_have_bounds(void **state);
void fixed_rounds_half_away(void **state);
void fixed_agrees_with_printf(void **state);
void round_is_the_nearest_decimal(void **state);
void levels_are_whole_micro_decibels(void **state);
void numbers_do_not_follow_the_locale(void **state);

/* test_text.c */
void texts_grow(void **state);
void long_formats_are_written_whole(void **state);
void a_failed_text_stays_failed(void **state);
void xml_is_escaped(void **state);
void csv_cells_are_quoted(void **state);
void width_counts_code_points(void **state);

/* test_word.c */
void case_does_not_matter(void **state);
void edits_are_counted(void **state);
void edits_of_long_words_are_counted(void **state);
void the_nearest_word_is_suggested(void **state);
void names_are_found(void **state);
void notes_are_kept_once_in_order(void **state);
void notes_without_a_listener_are_dropped(void **state);

/* test_csv.c */
void a_plain_table_is_read(void **state);
void comments_before_the_header_hold_values(void **state);
void line_ends_and_byte_order_mark(void **state);
void quotes_hold_anything(void **state);
void lists_of_spreadsheets(void **state);
void protected_cells_come_back(void **state);
void other_scripts_are_read(void **state);
void a_header_alone_is_a_table(void **state);
void bad_tables_are_refused_with_their_line(void **state);
void too_many_rows_are_refused(void **state);
void many_columns_take_no_long_time(void **state);
void what_is_written_reads_back(void **state);

/* test_file.c */
void files_are_written_whole(void **state);
void large_files_come_back(void **state);
void the_cap_is_kept(void **state);
void unreadable_files_say_why(void **state);
void standard_input_is_read_from_a_pipe(void **state);
void the_cap_holds_for_pipes(void **state);
void standard_output_takes_bytes(void **state);
void a_closed_pipe_is_an_error(void **state);
void a_full_device_is_an_error(void **state);
void a_file_that_does_not_fit_leaves_the_old_one(void **state);
void impossible_places_say_why(void **state);
void protected_places_are_refused(void **state);
void links_are_followed(void **state);
void links_in_a_circle_are_refused(void **state);
void a_named_pipe_is_written_straight(void **state);
void an_interrupt_removes_the_temporary(void **state);
void paths_stand_beside_their_file(void **state);
int file_setup(void **state);
int file_teardown(void **state);

#endif
