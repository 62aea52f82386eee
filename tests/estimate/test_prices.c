/*
 * test_prices.c - the price list and the quote sheet: nothing is invented,
 * totals add up.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_tests.h"

#define HEAD "# currency = EUR\nitem,unit_price\n"

static hr_status parse(const char *text, hr_prices **prices, hr_error *err)
{
    *err = (hr_error){.status = HR_OK};
    return hr_prices_parse("prices.csv", text, strlen(text), prices, err);
}

void test_prices_refused(void **state)
{
    (void)state;
    static const struct {
        const char *text, *word;
        int line;
    } wrong[] = {
        {"item,unit_price\ngateway,1\n", "currency", 1},
        {"# currency = an invented currency\nitem,unit_price\n", "currency", 1},
        {"# currency = EUR\nitem\ngateway\n", "unit_price", 1},
        {"# currency = EUR\nitem,unit_price,remark\ngateway,1,x\n", "remark", 1},
        {HEAD "gatewai,1\n", "did you mean gateway", 3},
        {HEAD "bread,1\n", "no quote sheet", 3},
        {HEAD "gateway,1\nups,2\ngateway,3\n", "twice, first in line 3", 5},
        {HEAD "gateway,\n", "an empty cell", 3},
        {HEAD "gateway,-1\n", "not -1", 3},
        {HEAD "gateway,1e3\n", "not 1e3", 3},
        {HEAD "gateway,\"1,5\"\n", "not 1,5", 3},
        {HEAD "gateway,1.23456\n", "four decimals", 3},
        {HEAD "gateway,EUR 5\n", "without currency", 3},
        {HEAD "gateway,2000000000\n", "1000000000", 3},
        {HEAD "device-,2\n", "no quote sheet", 3},
    };
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        hr_prices *prices = NULL;
        hr_error err;
        assert_int_equal(parse(wrong[i].text, &prices, &err), HR_ERR_INPUT);
        assert_null(prices);
        assert_int_equal(err.line, wrong[i].line);
        assert_string_equal(err.file, "prices.csv");
        if (strstr(err.text, wrong[i].word) == NULL) {
            fail_msg("%s: %s is not in it", err.text, wrong[i].word);
        }
    }
}

void test_read(void **state)
{
    (void)state;
    hr_prices *prices = NULL;
    hr_error err;
    assert_int_equal(parse(HEAD "Gateway,149.90\ndevice-wall,38\n", &prices, &err), HR_OK);
    assert_string_equal(hr_prices_currency(prices), "EUR");
    check_near(hr_prices_of(prices, "gateway"), 149.9, 0.0);
    check_near(hr_prices_of(prices, "device-wall"), 38.0, 0.0);
    assert_true(isnan(hr_prices_of(prices, "ups")));
    hr_prices_free(prices);
}

static const hr_quote_line *line_of(const hr_estimate *e, const char *item)
{
    for (size_t i = 0; i < e->line_count; i++) {
        if (strcmp(e->lines[i].item, item) == 0) {
            return &e->lines[i];
        }
    }
    fail_msg("no line %s", item);
    return NULL;
}

static hr_estimate *quoted(const hr_prices *prices, const char *const *pairs)
{
    static const char *const sets[] = {"estimate.draws=10"};
    const hr_estimate_numbers n = numbers_of(pairs);
    hr_building *b = building_of(&n, sets, 1);
    hr_estimate *e = estimate_of(b, &(hr_estimate_options){.numbers = &n, .prices = prices, .brief = true});
    hr_building_free(b);
    return e;
}

/* Quantities that can be reckoned by hand: 24 rooms on 3 storeys, two kinds. */
void test_sheet(void **state)
{
    (void)state;
    static const char *const pairs[] = {"rooms-per-storey", "8", "storeys", "3", "walls", "block", "slab", "concrete-200", NULL};
    hr_estimate *e = quoted(NULL, pairs);
    const size_t gateways = e->quote > 0 ? e->quote : e->p90;
    check_near(line_of(e, "gateway")->quantity, (double)gateways, 0.0);
    check_near(line_of(e, "spare-gateway")->quantity, 1.0, 0.0);
    check_near(line_of(e, "device-wall")->quantity, 24.0, 0.0);
    check_near(line_of(e, "spare-device-wall")->quantity, 1.0, 0.0);
    check_near(line_of(e, "device-unit")->quantity, 24.0, 0.0);
    check_near(line_of(e, "poe-port")->quantity, (double)gateways, 0.0);
    check_near(line_of(e, "network-drop")->quantity, (double)gateways, 0.0);
    assert_true(line_of(e, "ups")->quantity >= 1.0 && line_of(e, "ups")->quantity <= (double)gateways);
    /* 60 months, one set every 16: sets at 0, 16, 32 and 48; only the wall controls have batteries */
    check_near(line_of(e, "battery-set")->quantity, 24.0 * 4.0, 0.0);
    check_near(line_of(e, "survey-visit")->quantity, 1.0, 0.0);
    check_near(line_of(e, "commissioning-visit")->quantity, 1.0, 0.0);
    assert_true(line_of(e, "cable-metre")->quantity >= 6.0 * (double)gateways); /* drop and slack alone */
    for (size_t i = 0; i < e->line_count; i++) {
        assert_true(isnan(e->lines[i].unit_price) && isnan(e->lines[i].total));
    }
    assert_null(e->currency);
    hr_estimate_free(e);
}

void test_totals(void **state)
{
    (void)state;
    static const char *const pairs[] = {"rooms-per-storey", "8", "storeys", "3", "walls", "block", "slab", "concrete-200", NULL};
    hr_prices *prices = NULL;
    hr_error err;
    assert_int_equal(parse(HEAD "gateway,149.90\ndevice-wall,38\nspare-device-wall,40.5\ncable-metre,0.335\n", &prices, &err), HR_OK);
    hr_estimate *e = quoted(prices, pairs);
    double sum = 0.0;
    size_t unpriced = 0;
    for (size_t i = 0; i < e->line_count; i++) {
        sum += isnan(e->lines[i].total) ? 0.0 : e->lines[i].total;
        unpriced += isnan(e->lines[i].total) && !(e->lines[i].quantity == 0.0);
    }
    check_near(e->total, sum, 1e-6);
    assert_int_equal(e->unpriced, unpriced);
    check_near(line_of(e, "device-wall")->total, 24.0 * 38.0, 1e-9);
    check_near(line_of(e, "spare-device-wall")->total, 40.5, 1e-9);
    check_near(line_of(e, "spare-gateway")->unit_price, 149.9, 0.0); /* a spare costs what the thing costs */
    assert_true(isnan(line_of(e, "ups")->total));
    assert_string_equal(e->currency, "EUR");
    hr_estimate_free(e);
    hr_prices_free(prices);
}
