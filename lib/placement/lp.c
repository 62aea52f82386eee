/*
 * lp.c - the problem in CPLEX LP format, for other solvers to check.
 *
 * SPDX-License-Identifier: MIT
 */
#include "placement_priv.h"

/* Long lines are legal but unkind to readers and to some programs. */
#define TERMS_PER_LINE 12

static void add_term(hr_text *out, size_t *terms, unsigned long factor, size_t column)
{
    if (*terms > 0) {
        hr_text_add(out, *terms % TERMS_PER_LINE == 0 ? "\n   + " : " + ");
    }
    if (factor != 1) {
        hr_text_addf(out, "%lu ", factor);
    }
    hr_text_addf(out, "x%zu", column);
    (*terms)++;
}

static void write_rows(const hr_placement_model *m, const hr_placement_base *base, hr_text *out)
{
    hr_text_add(out, "Subject To\n");
    for (uint32_t r = 0; r < m->rows; r++) {
        size_t terms = 0;
        hr_text_addf(out, " r%lu: ", (unsigned long)m->row_id[r]);
        for (uint32_t e = m->row_start[r]; e < m->row_start[r + 1]; e++) {
            add_term(out, &terms, 1, m->column_id[m->row_column[e]]);
        }
        hr_text_addf(out, " >= %lu\n", (unsigned long)m->need[r]);
    }
    for (size_t c = 0; c < base->problem->columns; c++) {
        if (base->must[c]) {
            hr_text_addf(out, " must%zu: x%zu >= 1\n", c, c);
        }
    }
}

void hr_placement_write_lp(const hr_placement_problem *problem, hr_text *out)
{
    hr_placement_base base;
    hr_error err;
    if (hr_placement_check(problem, &err) != HR_OK) {
        hr_text_addf(out, "\\ not written: %s\n", err.text);
        return;
    }
    if (hr_placement_base_make(problem, &base, NULL) != HR_OK) {
        out->failed = true;
        return;
    }
    hr_text_add(out, "\\ Set cover: rows that cannot be met ask for what can be met.\nMinimize\n weight: ");
    size_t terms = 0;
    for (size_t c = 0; c < problem->columns; c++) {
        if (base.open[c]) {
            add_term(out, &terms, hr_placement_weight(problem, c), c);
        }
    }
    if (terms == 0) {
        hr_text_add(out, "0 x0");
    }
    hr_text_add(out, "\n");
    write_rows(base.whole, &base, out);
    hr_text_add(out, "Binary\n");
    for (size_t c = 0; c < problem->columns; c++) {
        if (base.open[c]) {
            hr_text_addf(out, " x%zu\n", c);
        }
    }
    hr_text_add(out, "End\n");
    hr_placement_base_free(&base);
}
