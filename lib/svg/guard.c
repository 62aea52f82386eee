/*
 * guard.c - a look at the bytes before the XML parser sees them: what is no
 * drawing at all, zero bytes (the parser would take one for the end of the
 * file and read a smaller plan), and elements with so many attributes or so
 * large a value that the parser's own checks would take quadratic time.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <string.h>

/* Steps through markup; UTF-16 is read by leaving out its zero bytes, which is
 * exact for the ASCII characters that markup is made of. */
typedef struct guard {
    const unsigned char *bytes;
    size_t len, at;
    bool wide;
} guard;

static int next(guard *g)
{
    while (g->at < g->len) {
        const unsigned char c = g->bytes[g->at++];
        if (c != 0 || !g->wide) {
            return c;
        }
    }
    return -1;
}

static int line_at(const guard *g, size_t at)
{
    int line = 1;
    for (size_t i = 0; i < at && i < g->len; i++) {
        line += g->bytes[i] == '\n';
    }
    return line;
}

/* Skips to after `end`, a short ASCII text. */
static void skip_past(guard *g, const char *end)
{
    const size_t len = strlen(end);
    size_t matched = 0;
    for (int c = next(g); c >= 0; c = next(g)) {
        if (c == (unsigned char)end[matched]) {
            matched++;
        } else if (matched > 0 && c == (unsigned char)end[matched - 1] && end[0] == end[matched - 1]) {
            continue; /* a third '-' before '>' */
        } else {
            matched = c == (unsigned char)end[0];
        }
        if (matched == len) {
            return;
        }
    }
}

static bool take(guard *g, const char *word)
{
    const size_t before = g->at;
    for (; *word != '\0'; word++) {
        if (next(g) != (unsigned char)*word) {
            g->at = before;
            return false;
        }
    }
    return true;
}

/* The value after its quote; false when it is too long. A '<' cannot stand in a
 * value: then the quote was none of an attribute and markup starts again there. */
static bool skip_value(guard *g, int quote)
{
    size_t len = 0;
    for (int c = next(g); c >= 0 && c != quote; c = next(g)) {
        if (c == '<') {
            g->at--;
            return true;
        }
        if (++len > HR_MAX_ATTRIBUTE_BYTES) {
            return false;
        }
    }
    return true;
}

static hr_status check_tag(svg_reader *reader, guard *g)
{
    const size_t start = g->at;
    size_t attributes = 0;
    for (int c = next(g); c >= 0 && c != '>'; c = next(g)) {
        if (c == '<') {
            g->at--;
            return HR_OK;
        }
        if (c != '"' && c != '\'') {
            continue;
        }
        if (++attributes > HR_MAX_ATTRIBUTES) {
            return svg_fail(reader, HR_ERR_LIMIT, line_at(g, start), "an element with more than %d attributes",
                            HR_MAX_ATTRIBUTES);
        }
        if (!skip_value(g, c)) {
            return svg_fail(
                reader, HR_ERR_LIMIT, line_at(g, start),
                "an attribute longer than %zu bytes (an embedded picture?): export the plan without pictures",
                HR_MAX_ATTRIBUTE_BYTES);
        }
    }
    return HR_OK;
}

static hr_status check_markup(svg_reader *reader, guard *g)
{
    hr_status status = HR_OK;
    for (int c = next(g); c >= 0 && status == HR_OK; c = next(g)) {
        if (c != '<') {
            continue;
        }
        if (take(g, "!--")) {
            skip_past(g, "-->");
        } else if (take(g, "![CDATA[")) {
            skip_past(g, "]]>");
        } else if (take(g, "?")) {
            skip_past(g, "?>");
        } else if (!take(g, "!") && !take(g, "/")) {
            status = check_tag(reader, g);
        }
    }
    return status;
}

static hr_status check_zeros(svg_reader *reader, const guard *g)
{
    if (!g->wide) {
        const unsigned char *zero = memchr(g->bytes, 0, g->len);
        if (zero == NULL) {
            return HR_OK;
        }
        return svg_fail(reader, HR_ERR_INPUT, line_at(g, (size_t)(zero - g->bytes)),
                        "a zero byte: not an SVG drawing, or damaged");
    }
    if (g->len % 2 != 0) {
        return svg_fail(reader, HR_ERR_INPUT, 0, "UTF-16 text with an odd number of bytes: the file is cut off");
    }
    for (size_t i = 0; i + 1 < g->len; i += 2) {
        if (g->bytes[i] == 0 && g->bytes[i + 1] == 0) {
            return svg_fail(reader, HR_ERR_INPUT, line_at(g, i), "a zero character: not an SVG drawing, or damaged");
        }
    }
    return HR_OK;
}

hr_status svg_guard(svg_reader *reader, const char *bytes, size_t len)
{
    guard g = {.bytes = (const unsigned char *)bytes, .len = len};
    if (len > HR_MAX_FILE_BYTES) {
        return svg_fail(reader, HR_ERR_LIMIT, 0, "larger than %zu bytes", HR_MAX_FILE_BYTES);
    }
    if (len == 0) {
        return svg_fail(reader, HR_ERR_INPUT, 0, "the file is empty, expected an SVG drawing");
    }
    if (len >= 2 && g.bytes[0] == 0x1f && g.bytes[1] == 0x8b) {
        return svg_fail(reader, HR_ERR_INPUT, 0, "a compressed drawing (.svgz): unpack it first (gzip -d)");
    }
    g.wide = len >= 2 && ((g.bytes[0] == 0xfe && g.bytes[1] == 0xff) || (g.bytes[0] == 0xff && g.bytes[1] == 0xfe));
    if (check_zeros(reader, &g) != HR_OK) {
        return reader->status;
    }
    if (g.wide) {
        g.at = 2;
    } else if (len >= 3 && memcmp(bytes, "\xef\xbb\xbf", 3) == 0) {
        g.at = 3;
    }
    const size_t start = g.at;
    int c = next(&g);
    while (c >= 0 && svg_is_blank((char)c)) {
        c = next(&g);
    }
    if (c != '<') {
        return svg_fail(reader, HR_ERR_INPUT, line_at(&g, g.at), "not an SVG drawing: expected \"<\" at its start");
    }
    g.at = start;
    return check_markup(reader, &g);
}
