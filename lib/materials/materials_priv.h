/*
 * materials_priv.h - reading the tables of reference/, shared by this folder.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef MATERIALS_PRIV_H
#define MATERIALS_PRIV_H

#include "hr_materials.h"

/* Column `name` of a built-in table; a missing one is HR_ERR_INPUT. */
hr_status hr_materials_column(const hr_csv *csv, const char *name, size_t *column, hr_error *err);

/* One number of a table within [low, high]; an empty cell gives NaN where
 * may_be_empty, anything else is HR_ERR_INPUT with file and line. */
hr_status hr_materials_number(const hr_csv *csv, size_t row, size_t column, double low, double high, bool may_be_empty,
                              double *value, hr_error *err);

/* layers.c: loss of a stack without echoes, dB, for telling stacks apart. */
double hr_materials_single_pass_db(const hr_layer *layers, size_t count, double freq_mhz);

#endif
