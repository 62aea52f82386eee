/* fuzz.h - what the targets share.
 * SPDX-License-Identifier: MIT */
#ifndef FUZZ_H
#define FUZZ_H

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#define REQUIRE(condition)                                                                                             \
    do {                                                                                                               \
        if (!(condition)) {                                                                                            \
            (void)fprintf(stderr, "%s:%d: %s\n", __FILE__, __LINE__, #condition);                                      \
            abort();                                                                                                   \
        }                                                                                                              \
    } while (0)

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

#endif
