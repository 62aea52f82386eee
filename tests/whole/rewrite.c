/*
 * rewrite.c - see rewrite.h. Texts are changed as a person would in an editor.
 *
 * SPDX-License-Identifier: MIT
 */
#include "rewrite.h"

#include <string.h>

#include "check.h"
#include "hr_building.h"

static void add_number(hr_text *out, double value)
{
    hr_text_add(out, " ");
    hr_text_fixed(out, value, 9);
}

void rewrite_moved(const char *svg, const rewrite_matrix *m, hr_text *out)
{
    const char *root = strstr(svg, "<svg"), *end = strstr(svg, "</svg>");
    const char *inside = root != NULL ? strchr(root, '>') : NULL;
    assert_true(inside != NULL && end != NULL && inside < end);
    hr_text_add_n(out, svg, (size_t)(inside + 1 - svg));
    hr_text_add(out, "<g transform=\"matrix(");
    const double numbers[6] = {m->a, m->b, m->c, m->d, m->e, m->f};
    for (int i = 0; i < 6; i++) {
        add_number(out, numbers[i]);
    }
    hr_text_add(out, ")\">");
    hr_text_add_n(out, inside + 1, (size_t)(end - inside - 1));
    hr_text_add(out, "</g>");
    hr_text_add(out, end);
}

void rewrite_added(const char *svg, const char *more, hr_text *out)
{
    const char *end = strstr(svg, "</svg>");
    assert_non_null(end);
    hr_text_add_n(out, svg, (size_t)(end - svg));
    hr_text_add(out, more);
    hr_text_add(out, end);
}

size_t rewrite_words(const char *text, const char *from, const char *to, hr_text *out)
{
    size_t count = 0;
    for (const char *at; (at = strstr(text, from)) != NULL; text = at + strlen(from)) {
        hr_text_add_n(out, text, (size_t)(at - text));
        hr_text_add(out, to);
        count++;
    }
    hr_text_add(out, text);
    return count;
}

static bool is_length(const char *key, size_t len)
{
    for (size_t i = 0; i < hr_building_key_count(); i++) {
        const hr_key *row = hr_building_key(i);
        if (row->type == HR_KEY_LENGTH && strlen(row->key) == len && strncmp(row->key, key, len) == 0) {
            return true;
        }
    }
    return false;
}

size_t rewrite_feet(const char *ini, hr_text *out)
{
    size_t changed = 0;
    for (const char *line = ini; *line != '\0';) {
        const size_t len = strcspn(line, "\n");
        const size_t key = strcspn(line, " =");
        char value[64] = "", buf[HR_FIXED_MAX];
        double metres = 0.0;
        const char *equals = memchr(line, '=', len);
        if (equals != NULL) {
            const size_t after = len - (size_t)(equals + 1 - line);
            assert_true(after < sizeof value);
            memcpy(value, equals + 1, after);
            value[after] = '\0';
        }
        if (strncmp(line, "length_unit = m", 15) == 0) {
            hr_text_add(out, "length_unit = ft");
        } else if (equals != NULL && line[0] != ';' && is_length(line, key) && hr_number_parse(value, &metres)) {
            hr_text_add_n(out, line, (size_t)(equals + 1 - line));
            hr_text_addf(out, " %s", hr_short(metres / 0.3048, 9, buf));
            changed++;
        } else {
            hr_text_add_n(out, line, len);
        }
        hr_text_add(out, "\n");
        line += len + (line[len] == '\n');
    }
    return changed;
}
