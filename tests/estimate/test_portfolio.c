/*
 * test_portfolio.c - twenty properties, one row each.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_tests.h"

#include "hr_report.h"

#define PROPERTIES 20

static size_t count_of(const char *text, const char *word)
{
    size_t count = 0;
    for (const char *at = strstr(text, word); at != NULL; at = strstr(at + 1, word)) {
        count++;
    }
    return count;
}

void test_twenty(void **state)
{
    (void)state;
    static const char *const walls[] = {"framed", "block", "brick", "concrete"};
    static const char *const sets[] = {"estimate.draws=10"};
    hr_estimate *estimates[PROPERTIES];
    char names[PROPERTIES][32];
    const char *files[PROPERTIES];
    for (int i = 0; i < PROPERTIES; i++) {
        char rooms[16], storeys[16];
        (void)snprintf(rooms, sizeof rooms, "%d", 6 + i);
        (void)snprintf(storeys, sizeof storeys, "%d", 1 + i % 3);
        (void)snprintf(names[i], sizeof names[i], "hotel-%02d.ini", i + 1);
        files[i] = names[i];
        const char *const pairs[] = {"rooms-per-storey", rooms, "storeys", storeys, "walls", walls[i % 4], NULL};
        const hr_estimate_numbers n = numbers_of(pairs);
        hr_building *b = building_of(&n, sets, 1);
        estimates[i] = estimate_of(b, &(hr_estimate_options){.numbers = &n, .brief = true});
        hr_building_free(b);
    }
    for (int form = HR_PORTFOLIO_TEXT; form <= HR_PORTFOLIO_JSON; form++) {
        hr_text text = {0};
        assert_int_equal(hr_report_portfolio((const hr_estimate *const *)estimates, files, PROPERTIES, (hr_portfolio_form)form,
                                             &text, NULL),
                         HR_OK);
        for (int i = 0; i < PROPERTIES; i++) {
            assert_int_equal(count_of(text.bytes, names[i]), 1);
        }
        assert_int_equal(count_of(text.bytes, "Prediction, not a survey"), 1);
        hr_text_free(&text);
    }
    for (int i = 0; i < PROPERTIES; i++) {
        hr_estimate_free(estimates[i]);
    }
}
