/*
 * page_priv.h - the page of `--page`: one HTML file with everything in it.
 * Each part below writes one section; all text from inputs goes through
 * hr_text_xml, or page_json_text inside the script data.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef PAGE_PRIV_H
#define PAGE_PRIV_H

#include "report_priv.h"

/* Words of the embedded data, each once: budgets repeat the same items and notes. */
typedef struct page_words {
    const char **items;
    size_t count, cap;
    uint32_t *slots; /* open addressing, index + 1; 0: free */
    size_t slot_count;
    hr_arena *arena;
} page_words;

typedef struct page {
    const hr_building *b;
    const hr_siting *s;
    const hr_notes *notes;
    const hr_page_options *options;
    hr_text *out;
    hr_links *links;
    hr_link_work work;
    page_words words;
    hr_error *err;
    hr_status status; /* the first failure */
} page;

/* ---- page_html.c ---- */

void page_add(page *p, const char *html);   /* as it stands */
void page_text(page *p, const char *text);  /* escaped; NULL: "-" */
void page_fixed(page *p, double value, int decimals);
void page_count(page *p, size_t value);
/* Heads: '>' first: a column of numbers; '!' first: not to be sorted. id "" : none. */
void page_table_open(page *p, const char *id, const char *caption, const char *const *heads, size_t columns);
void page_table_close(page *p);
void page_row(page *p, const char *html_class);
void page_row_end(page *p);
void page_cell_head(page *p, const char *text); /* the row's own name */
void page_cell(page *p, const char *text);
void page_cell_fixed(page *p, double value, int decimals);
void page_cell_count(page *p, size_t value);
/* Lines of text, each a paragraph. */
void page_paragraphs(page *p, const hr_text *lines);

/* ---- page_words.c ---- */

/* Index of the word; UINT32_MAX when memory ran out. */
uint32_t page_word(page_words *words, const char *text);
void page_words_free(page_words *words);
/* A JSON string that no HTML parser and no script engine reads as anything else. */
void page_json_text(hr_text *out, const char *text);
void page_json_level(hr_text *out, double value); /* rounded to 1e-4; not finite: null */

/* ---- page_head.c ---- */

void page_cover(page *p);
void page_unserved(page *p);

/* ---- page_plans.c ---- */

void page_plans(page *p);

/* ---- page_tables.c ---- */

void page_gateways(page *p);
void page_rooms(page *p);
void page_fewer(page *p);
void page_mesh(page *p);

/* ---- page_budget.c ---- */

/* The way a device takes: its end and that of the gateway or device it hangs on. False: there is no link. */
bool page_budget_of(page *p, size_t device, hr_budget *budget);
void page_weakest(page *p);
void page_data(page *p);

/* ---- page_model.c ---- */

void page_model(page *p);
void page_assumptions(page *p);
void page_cautions(page *p);

#endif
