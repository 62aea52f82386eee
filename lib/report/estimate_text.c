/*
 * estimate_text.c - how many gateways, for people: the answer first, then what
 * it rests on.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

#define CAPTION_BUDGET "Budget figure, not an offer: site check before order."

static const char *percent(double share, int decimals, char buf[HR_FIXED_MAX])
{
    return hr_short(100.0 * share, decimals, buf);
}

static void add_answer(const hr_estimate *e, hr_text *out)
{
    char a[HR_FIXED_MAX], b[HR_FIXED_MAX];
    hr_text_addf(out, "%s: radio coverage, how many gateways\n", e->name);
    hr_text_addf(out, "%zu rooms, %zu devices", e->rooms, e->devices);
    hr_text_addf(out, e->buildings > 1 ? ", %zu alike buildings.\n" : ".\n", e->buildings);
    if (e->rooms_said < e->rooms) {
        hr_text_addf(out, "%zu rooms were said; as many on every storey make %zu. The quote sheet counts devices for %zu rooms.\n",
                     e->rooms_said, e->rooms, e->rooms_said);
    }
    if (e->quote > 0) {
        hr_text_addf(out, "\nQuote %zu gateway%s: ", e->quote, e->quote == 1 ? "" : "s");
        hr_text_addf(out, "they serve %s %% of the rooms in at least %s of 100 buildings that fit what was said.\n",
                     percent(e->served_share, 2, a), percent(e->confidence, 2, b));
    } else {
        hr_text_addf(out,
                     "\nNo quote: no number of gateways tried serves %s %% of the rooms in %s of 100 buildings that fit what was said.\n",
                     percent(e->served_share, 2, a), percent(e->confidence, 2, b));
    }
    if (e->from_numbers) {
        hr_text_add(out, CAPTION_BUDGET "\n");
    }
    if (e->p10 == e->p90) {
        hr_text_addf(out, "Placed on its own plan such a building takes %zu gateway%s (10, 50 and 90 %% figures alike).\n", e->p50,
                     e->p50 == 1 ? "" : "s");
    } else {
        hr_text_addf(out, "Placed on its own plan such a building takes %zu to %zu gateways, likely %zu (10, 90 and 50 %% figures).\n",
                     e->p10, e->p90, e->p50);
    }
    if (e->quote > e->p50) {
        hr_text_addf(out, "The quote is higher because nobody has seen it yet; a %s before the offer brings it down.\n",
                     e->from_numbers ? "plan or a survey" : "survey");
    }
    hr_text_addf(out, "Mean %s", hr_fixed(e->mean, 2, a));
    if (isfinite(e->mean_error)) {
        hr_text_addf(out, ", Monte Carlo error %s", hr_fixed(e->mean_error, 2, a));
    }
    hr_text_addf(out, " (%zu draws, seed %llu). With everything as most likely: %zu%s.\n", e->draws, (unsigned long long)e->seed,
                 e->nominal, e->nominal_proved ? ", proved the fewest there" : "");
    if (e->unreached_nominal > 0) {
        hr_text_addf(out, "%zu devices are reached from no spot even with everything as most likely: `hallreach place` says why.\n",
                     e->unreached_nominal);
    }
    if (e->unreached_share > 0.0) {
        hr_text_addf(out, "In %s %% of the draws some device is reached from no spot; its room stays unserved there.\n",
                     percent(e->unreached_share, 1, a));
    }
    hr_text_add(out, "\n");
}

/* From the first count that ever holds to the first that nearly always does, and the quoted one. */
static void holds_range(const hr_estimate *e, size_t *from, size_t *to)
{
    *from = 0;
    *to = e->holds_count;
    while (*from + 1 < e->holds_count && e->holds[*from + 1].share <= 0.0) {
        (*from)++;
    }
    for (size_t i = *from; i < e->holds_count; i++) {
        if (e->holds[i].gateways >= e->quote && e->quote > 0 && (e->holds[i].share >= 0.995 || e->holds[i].gateways >= e->quote + 3 * e->buildings)) {
            *to = i + 1;
            break;
        }
    }
}

static void add_holds(const hr_estimate *e, hr_text *out)
{
    static const char *const heads[] = {">gateways", ">holds in %", ">+-", ">rooms expected to fail", ""};
    size_t from, to;
    holds_range(e, &from, &to);
    hr_text_add(out, "How often so many gateways serve enough rooms when placed before anybody has seen the building\n");
    report_table table;
    report_table_start(&table, heads, 5);
    bool drops = false;
    for (size_t i = from; i < to; i++) {
        const hr_estimate_holds *h = &e->holds[i];
        drops = drops || (i > from && h->share < e->holds[i - 1].share);
        report_table_count(&table, h->gateways);
        report_table_fixed(&table, 100.0 * h->share, 1);
        report_table_fixed(&table, 100.0 * h->error, 1);
        report_table_fixed(&table, h->expected_failing_rooms, 1);
        report_table_cell(&table, h->gateways == e->quote ? "quote" : "");
    }
    report_table_end(&table, out);
    if (drops) {
        hr_text_add(out, "Each row is a placement of its own, made on most likely values: one gateway more may hold less often.\n");
    }
    hr_text_add(out, "\n");
}

/* Of the spread; less is not told from chance. */
#define WORTH_ASKING 0.02

static void add_question(const hr_estimate *e, hr_text *out)
{
    for (size_t i = 0; i < e->driver_count; i++) {
        const hr_estimate_driver *d = &e->drivers[i];
        if (d->question != NULL && (d->high > d->low || d->share >= WORTH_ASKING)) {
            hr_text_addf(out, "Ask next: %s\n", d->question);
            return;
        }
    }
    hr_text_add(out, "Ask next: nothing that is not known here changes the number.\n");
}

/* One figure of the table below the one above it would look like a mistake. */
static void add_margin_note(const hr_estimate *e, hr_text *out)
{
    for (size_t i = 0; i < e->driver_count; i++) {
        if (e->drivers[i].low < e->nominal) {
            hr_text_addf(out,
                         "What is drawn asks for no margin of its own: counts here may be below the %zu above, which keeps it.\n",
                         e->nominal);
            return;
        }
    }
}

static void add_drivers(const hr_estimate *e, hr_text *out)
{
    if (e->driver_count == 0) {
        return;
    }
    static const char *const heads[] = {"not known", ">% of spread", "gateways if it is ..., all else as most likely"};
    hr_text_add(out, "What drives the number\n");
    report_table table;
    report_table_start(&table, heads, 3);
    for (size_t i = 0; i < e->driver_count; i++) {
        const hr_estimate_driver *d = &e->drivers[i];
        hr_text cases = {0};
        for (size_t k = 0; k < d->case_count; k++) {
            hr_text_addf(&cases, "%s%zu %s", k > 0 ? "; " : "", d->cases[k].gateways, d->cases[k].word);
        }
        report_table_cell(&table, d->unknown);
        report_table_fixed(&table, 100.0 * d->share, 0);
        report_table_cell(&table, cases.bytes);
        out->failed = out->failed || cases.failed;
        hr_text_free(&cases);
    }
    report_table_end(&table, out);
    add_margin_note(e, out);
    add_question(e, out);
    hr_text_add(out, "\n");
}

static void add_slabs(const hr_estimate *e, hr_text *out)
{
    if (e->slab_count == 0) {
        return;
    }
    static const char *const heads[] = {">slabs", ">gateways", ">devices out of reach", ""};
    hr_text_add(out, "If a gateway may serve across so many slabs\n");
    report_table table;
    report_table_start(&table, heads, 4);
    for (size_t i = 0; i < e->slab_count; i++) {
        report_table_count(&table, (size_t)e->slabs[i].max_slabs);
        report_table_count(&table, e->slabs[i].gateways);
        report_table_count(&table, e->slabs[i].unreached);
        report_table_cell(&table, e->slabs[i].in_force ? "in force" : "");
    }
    report_table_end(&table, out);
    hr_text_add(out, "\n");
}

static void add_cross_check(const hr_building *b, const hr_estimate *e, hr_text *out)
{
    char number[HR_FIXED_MAX];
    if (e->p1238_row == NULL) {
        return;
    }
    hr_text_add(out, "Beside it\n");
    if (e->thumb > 0) {
        hr_text_addf(out, "  rule of thumb  %zu: floor area %s", e->thumb,
                     hr_fixed(report_area(b, e->area_m2), 0, number));
        hr_text_addf(out, " %s2 over the disc of the range limit, %s", report_unit(b),
                     hr_short(report_length(b, e->range_limit_m), 2, number));
        hr_text_addf(out, " %s; knows no walls, no slabs, no capacity\n", report_unit(b));
    } else {
        hr_text_add(out, "  rule of thumb  none: no range limit is set\n");
    }
    hr_text_addf(out, "  ITU-R P.1238   %zu: same rooms and spots, loss by distance and floors (row %s) in place of walls",
                 e->p1238, e->p1238_row);
    if (e->p1238_unreached > 0) {
        hr_text_addf(out, "; %zu devices not served", e->p1238_unreached);
    }
    hr_text_add(out, "\n\n");
}

static void add_price(report_table *table, double value)
{
    char buf[HR_FIXED_MAX];
    report_table_cell(table, isfinite(value) ? hr_fixed(value, 2, buf) : "-");
}

static void add_sheet(const hr_estimate *e, hr_text *out)
{
    static const char *const heads[] = {"item", ">quantity", "unit", "note", ">unit price", ">total"};
    const bool priced = e->currency != NULL;
    hr_text_addf(out, "Quote sheet%s%s%s\n", priced ? ", prices in " : "", priced ? e->currency : "",
                 e->from_numbers ? " - budget figure, not an offer: site check before order" : "");
    report_table table;
    report_table_start(&table, heads, priced ? 6 : 4);
    for (size_t i = 0; i < e->line_count; i++) {
        const hr_quote_line *line = &e->lines[i];
        report_table_cell(&table, line->words);
        report_table_fixed(&table, line->quantity, 0);
        report_table_cell(&table, line->unit);
        report_table_cell(&table, line->note);
        if (priced) {
            add_price(&table, line->unit_price);
            add_price(&table, line->total);
        }
    }
    report_table_end(&table, out);
    if (priced) {
        char number[HR_FIXED_MAX];
        hr_text_addf(out, "  Total %s %s", hr_fixed(e->total, 2, number), e->currency);
        if (e->unpriced > 0) {
            hr_text_addf(out, ", without %zu lines that no price is given for", e->unpriced);
        }
        hr_text_add(out, "\n");
    }
    hr_text_add(out, "\n");
}

static void add_defaults(const hr_estimate *e, hr_text *out)
{
    if (e->default_count == 0) {
        return;
    }
    static const char *const heads[] = {"what", "value", "where from"};
    hr_text_add(out, "Taken because nobody said otherwise\n");
    report_table table;
    report_table_start(&table, heads, 3);
    for (size_t i = 0; i < e->default_count; i++) {
        report_table_cell(&table, e->defaults[i].what);
        report_table_cell(&table, e->defaults[i].value);
        report_table_cell(&table, e->defaults[i].why);
    }
    report_table_end(&table, out);
    hr_text_add(out, "\n");
}

hr_status hr_report_estimate_text(const hr_building *building, const hr_estimate *e, hr_text *out, hr_error *err)
{
    add_answer(e, out);
    add_holds(e, out);
    add_drivers(e, out);
    add_slabs(e, out);
    add_cross_check(building, e, out);
    add_sheet(e, out);
    add_defaults(e, out);
    hr_text_addf(out,
                 "%s\nLocal codes and licensed practice decide; `hallreach --help` has the cautions in full.\n",
                 hr_report_caution());
    return report_done(out, err);
}

/* ---- the quote sheet as a list ---- */

static void csv_number(hr_text *out, double value, int decimals)
{
    if (isfinite(value)) {
        hr_text_fixed(out, value, decimals);
    }
}

hr_status hr_report_estimate_csv(const hr_building *building, const hr_estimate *e, hr_text *out, hr_error *err)
{
    report_list_head(building, out);
    if (e->currency != NULL) {
        hr_text_addf(out, "# currency = %s\n", e->currency);
    }
    if (e->from_numbers) {
        hr_text_add(out, "# " CAPTION_BUDGET "\n");
    }
    hr_text_addf(out, "# %s\nitem,quantity,unit,unit_price,total,words,note\n", hr_report_caution());
    for (size_t i = 0; i < e->line_count; i++) {
        const hr_quote_line *line = &e->lines[i];
        hr_text_csv(out, line->item);
        hr_text_add(out, ",");
        csv_number(out, line->quantity, 0);
        hr_text_add(out, ",");
        hr_text_csv(out, line->unit);
        hr_text_add(out, ",");
        csv_number(out, line->unit_price, 4);
        hr_text_add(out, ",");
        csv_number(out, line->total, 2);
        hr_text_add(out, ",");
        hr_text_csv(out, line->words);
        hr_text_add(out, ",");
        hr_text_csv(out, line->note);
        hr_text_add(out, "\n");
    }
    return report_done(out, err);
}
