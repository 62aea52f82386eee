/*
 * fuzz_number.c - numbers in and out, against the C library under the C locale.
 *
 * SPDX-License-Identifier: MIT
 */
#include <limits.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "fuzz.h"
#include "hr_base.h"

/* What is left unread could not have been part of the number. */
static void check_end(const char *text, size_t used, size_t size)
{
    if (used < size) {
        const char next = text[used];
        const int seen_point =
            memchr(text, '.', used) != NULL || memchr(text, 'e', used) != NULL || memchr(text, 'E', used) != NULL;
        REQUIRE(next < '0' || next > '9');
        REQUIRE(next != '.' || seen_point);
    }
}

static void check_written(double value)
{
    char fixed[HR_FIXED_MAX], shortest[HR_FIXED_MAX];
    for (int decimals = 0; decimals <= 9; decimals++) {
        double back = 0.0, short_back = 0.0;
        (void)hr_fixed(value, decimals, fixed);
        (void)hr_short(value, decimals, shortest);
        REQUIRE(strlen(fixed) < HR_FIXED_MAX && strspn(fixed, "-0123456789.") == strlen(fixed));
        REQUIRE(strncmp(fixed, "-0", 2) != 0 || strpbrk(fixed, "123456789") != NULL);
        REQUIRE(hr_number_parse(fixed, &back) && hr_number_parse(shortest, &short_back));
        REQUIRE(back == short_back);
        if (fabs(value) <= 1e15) {
            const double half = 0.5 * pow(10.0, -decimals);
            REQUIRE(fabs(back - value) <= half * (1.0 + 1e-9) + fabs(value) * 3e-16);
        }
        if (fabs(value) < 1e6) {
            REQUIRE(hr_round(value, decimals) == back);
        }
    }
    const int64_t micro = hr_micro(value);
    REQUIRE(micro >= -INT64_C(9000000000000000) && micro <= INT64_C(9000000000000000));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size > 4096) {
        return 0;
    }
    double value = 7.0, parsed = 7.0;
    long whole = 7;
    const size_t used = hr_number_scan((const char *)data, size, &value);
    char *text = hr_strndup((const char *)data, size);
    if (text == NULL) {
        return 0;
    }
    if (hr_integer_parse(text, -1000, LONG_MAX, &whole)) {
        REQUIRE(whole >= -1000 && hr_number_parse(text, &parsed) && parsed == (double)whole);
    }
    if (used == 0) {
        REQUIRE(value == 7.0);
    } else {
        REQUIRE(used <= size && isfinite(value));
        check_end(text, used, strlen(text));
        text[used] = '\0';
        char *end = NULL;
        const double expected = strtod(text, &end);
        REQUIRE(*end == '\0' && memcmp(&expected, &value, sizeof value) == 0);
        REQUIRE(hr_number_parse(text, &parsed) && parsed == value);
        check_written(value);
    }
    if (size >= sizeof value) { /* the bytes as a double, finite or not */
        char buf[HR_FIXED_MAX];
        memcpy(&value, data, sizeof value);
        if (isfinite(value)) {
            check_written(value);
        } else {
            REQUIRE(strcmp(hr_fixed(value, 3, buf), "-") == 0);
        }
    }
    hr_free(text);
    return 0;
}
