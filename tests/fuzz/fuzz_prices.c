/*
 * fuzz_prices.c - lists of unit prices.
 *
 * SPDX-License-Identifier: MIT
 */

#include "fuzz.h"
#include "hr_estimate.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    hr_prices *prices = NULL;
    hr_error err = {.status = HR_OK};
    const hr_status status = hr_prices_parse("fuzz.csv", (const char *)data, size, &prices, &err);
    REQUIRE(status == HR_OK || (err.status == status && err.text[0] != '\0' && prices == NULL));
    if (status == HR_OK) {
        REQUIRE(hr_prices_currency(prices)[0] != '\0');
        const double price = hr_prices_of(prices, "gateway");
        REQUIRE(!(price < 0.0) && !(price > 1e9));
        hr_prices_free(prices);
    }
    return 0;
}
