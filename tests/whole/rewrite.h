/*
 * rewrite.h - the same property told otherwise: plans moved, turned, mirrored
 * or rescaled, lengths in feet, other names, one more wall.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef REWRITE_H
#define REWRITE_H

#include "hr_base.h"

/* A plan's contents under x' = a x + c y + e, y' = b x + d y + f, drawn units. */
typedef struct rewrite_matrix {
    double a, b, c, d, e, f;
} rewrite_matrix;

/* The whole drawing inside one more group with that transform. */
void rewrite_moved(const char *svg, const rewrite_matrix *m, hr_text *out);
/* With more drawn before its end. */
void rewrite_added(const char *svg, const char *more, hr_text *out);
/* `from` replaced by `to` wherever it stands; counts. */
size_t rewrite_words(const char *text, const char *from, const char *to, hr_text *out);
/* A property file in metres with every length in feet instead, by the key table. */
size_t rewrite_feet(const char *ini, hr_text *out);

#endif
