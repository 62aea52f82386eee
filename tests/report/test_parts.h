/* test_parts.h - the tests that stand beside test_report.c.
 * SPDX-License-Identifier: MIT */
#ifndef TEST_PARTS_H
#define TEST_PARTS_H

/* test_drawing_result.c */
void result_reads_back(void **state);
void result_escapes_everything(void **state);
void result_says_what_is_not_served(void **state);
void result_shows_the_way(void **state);
void result_in_a_page(void **state);
void result_hides_names(void **state);
void result_refuses(void **state);
void field_at_a_device_is_its_margin(void **state);
void lines_run_where_the_margin_is_theirs(void **state);
void squares_are_coloured_by_margin(void **state);
void texts_keep_off_signs(void **state);
void long_names_stay_inside(void **state);
void bands_can_be_told_apart(void **state);

/* test_drawing.c */
void drawing_reads_back(void **state);
void drawing_without_a_scale(void **state);
void drawing_without_anything(void **state);
void drawing_styles_differ(void **state);

/* test_page.c */
void page_escapes_names(void **state);
void page_of_a_shared_copy(void **state);
void page_is_whole(void **state);

#endif
