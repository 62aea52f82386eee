/*
 * prices.c - a list of unit prices. None is built in.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_priv.h"

#include <math.h>
#include <string.h>

#include "hr_limits.h"

typedef struct price {
    char *item;
    double value;
    int line;
} price;

struct hr_prices {
    char currency[HR_PRICES_CURRENCY_MAX];
    price *items;
    size_t count;
};

static const char *const known[] = {"gateway",      "spare-gateway", "poe-port",     "ups",
                                    "network-drop", "cable-metre",   "cable-foot",   "firestop",     "battery-set",
                                    "survey-visit", "commissioning-visit", "revisit"};

#define KNOWN_COUNT (sizeof known / sizeof known[0])
#define PRICE_MAX 1e9
#define DECIMALS_MAX 4

void hr_prices_free(hr_prices *prices)
{
    if (prices != NULL) {
        for (size_t i = 0; i < prices->count; i++) {
            hr_free(prices->items[i].item);
        }
        hr_free(prices->items);
        hr_free(prices);
    }
}

const char *hr_prices_currency(const hr_prices *prices)
{
    return prices->currency;
}

static const price *find(const hr_prices *prices, const char *item)
{
    for (size_t i = 0; i < prices->count; i++) {
        if (hr_casecmp(prices->items[i].item, item) == 0) {
            return &prices->items[i];
        }
    }
    return NULL;
}

double hr_prices_of(const hr_prices *prices, const char *item)
{
    const price *found = prices != NULL ? find(prices, item) : NULL;
    return found != NULL ? found->value : (double)NAN;
}

/* device-KIND and spare-device-KIND take any kind: whether the property has it is not known here. */
static bool is_device(const char *item)
{
    return (hr_caseeq_n(item, "device-", 7) && item[7] != '\0') || (hr_caseeq_n(item, "spare-device-", 13) && item[13] != '\0');
}

static hr_status check_item(const hr_csv *csv, size_t row, const hr_prices *prices, const char *item, hr_error *err)
{
    const char *file = hr_csv_file(csv);
    const int line = hr_csv_line(csv, row);
    const price *before = find(prices, item);
    if (before != NULL) {
        return hr_fail(err, HR_ERR_INPUT, file, line, "%s stands twice, first in line %d; one price each was expected", item,
                       before->line);
    }
    for (size_t i = 0; i < KNOWN_COUNT; i++) {
        if (hr_casecmp(item, known[i]) == 0) {
            return HR_OK;
        }
    }
    if (is_device(item)) {
        return HR_OK;
    }
    const char *near = hr_nearest(item, known, KNOWN_COUNT, 3);
    return hr_fail(err, HR_ERR_INPUT, file, line, "%.60s is on no quote sheet%s%s%s", item,
                   near != NULL ? "; did you mean " : "; `hallreach help estimate` lists the items", near != NULL ? near : "",
                   near != NULL ? "?" : "");
}

/* Digits with at most four decimals: a price is read as it is written, not guessed at. */
static bool parse_price(const char *text, double *value)
{
    const size_t whole = strspn(text, "0123456789");
    size_t len = whole;
    if (whole > 0 && text[whole] == '.') {
        const size_t decimals = strspn(text + whole + 1, "0123456789");
        len = decimals >= 1 && decimals <= DECIMALS_MAX ? whole + 1 + decimals : 0;
    }
    return whole > 0 && text[len] == '\0' && hr_number_parse(text, value) && *value <= PRICE_MAX;
}

static hr_status read_row(const hr_csv *csv, size_t row, size_t item_at, size_t price_at, hr_prices *prices, hr_error *err)
{
    const char *item = hr_csv_cell(csv, row, item_at), *text = hr_csv_cell(csv, row, price_at);
    price *next = &prices->items[prices->count];
    const hr_status status = check_item(csv, row, prices, item, err);
    if (status != HR_OK) {
        return status;
    }
    if (!parse_price(text, &next->value)) {
        return hr_fail(err, HR_ERR_INPUT, hr_csv_file(csv), hr_csv_line(csv, row),
                       "unit_price of %.60s: a number such as 149 or 0.85 was expected, up to four decimals and 1000000000, "
                       "without currency or thousands marks, not %.40s",
                       item, text[0] != '\0' ? text : "an empty cell");
    }
    next->line = hr_csv_line(csv, row);
    next->item = hr_strdup(item);
    if (next->item == NULL) {
        return hr_fail_memory(err);
    }
    prices->count++;
    return HR_OK;
}

static hr_status read_currency(const hr_csv *csv, hr_prices *prices, hr_error *err)
{
    const char *currency = hr_csv_comment(csv, "currency");
    if (currency == NULL || currency[0] == '\0' || strlen(currency) >= sizeof prices->currency) {
        return hr_fail(err, HR_ERR_INPUT, hr_csv_file(csv), 1,
                       "currency: a comment line before the header was expected, as in: # currency = EUR (up to %zu bytes)",
                       sizeof prices->currency - 1);
    }
    memcpy(prices->currency, currency, strlen(currency) + 1);
    return HR_OK;
}

static hr_status read_rows(const hr_csv *csv, hr_prices *prices, hr_error *err)
{
    const size_t item_at = hr_csv_column(csv, "item"), price_at = hr_csv_column(csv, "unit_price");
    if (item_at == SIZE_MAX || price_at == SIZE_MAX) {
        return hr_fail(err, HR_ERR_INPUT, hr_csv_file(csv), 1, "columns item,unit_price were expected; %s is missing",
                       item_at == SIZE_MAX ? "item" : "unit_price");
    }
    for (size_t c = 0; c < hr_csv_columns(csv); c++) {
        if (c != item_at && c != price_at) {
            return hr_fail(err, HR_ERR_INPUT, hr_csv_file(csv), 1, "columns item,unit_price were expected, then came %.60s",
                           hr_csv_column_name(csv, c));
        }
    }
    prices->items = hr_alloc_zero(hr_csv_rows(csv), sizeof *prices->items);
    hr_status status = prices->items == NULL ? hr_fail_memory(err) : HR_OK;
    for (size_t row = 0; status == HR_OK && row < hr_csv_rows(csv); row++) {
        status = read_row(csv, row, item_at, price_at, prices, err);
    }
    return status;
}

hr_status hr_prices_parse(const char *file, const char *bytes, size_t len, hr_prices **prices, hr_error *err)
{
    hr_csv *csv = NULL;
    hr_prices *made = hr_alloc_zero(1, sizeof *made);
    hr_status status = made == NULL ? hr_fail_memory(err) : hr_csv_parse(file, bytes, len, &csv, err);
    if (status == HR_OK) {
        status = read_currency(csv, made, err);
    }
    if (status == HR_OK) {
        status = read_rows(csv, made, err);
    }
    hr_csv_free(csv);
    if (status != HR_OK) {
        hr_prices_free(made);
        return status;
    }
    *prices = made;
    return HR_OK;
}

hr_status hr_prices_read(const char *path, hr_prices **prices, hr_error *err)
{
    char *bytes = NULL;
    size_t len = 0;
    hr_status status = hr_file_read(path, HR_MAX_FILE_BYTES, &bytes, &len, err);
    if (status == HR_OK) {
        status = hr_prices_parse(path, bytes, len, prices, err);
    }
    hr_free(bytes);
    return status;
}
