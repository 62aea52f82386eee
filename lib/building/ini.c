/*
 * ini.c - the property file's bytes to sections and entries. The only user of
 * inih: it splits lines, and this reader counts them, because inih gives no
 * line numbers, cuts lines at 199 and sections at 49 bytes without a word,
 * takes indented lines for continuations and says nothing of empty sections.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

#include <ini.h>
#include <string.h>

#define LINE_BYTES_MAX 199
#define SECTION_BYTES_MAX 49

typedef struct line_feed {
    building_reader *r;
    const char *at, *end;
    int line;
    hr_status status;
} line_feed;

/* Bytes of the character at s by RFC 3629; 0: not UTF-8. */
static size_t character_length(const unsigned char *s, size_t left)
{
    if (s[0] < 0x80) {
        return 1;
    }
    const size_t len = s[0] >= 0xC2 && s[0] <= 0xDF   ? 2
                       : s[0] >= 0xE0 && s[0] <= 0xEF ? 3
                       : s[0] >= 0xF0 && s[0] <= 0xF4 ? 4
                                                      : 0;
    if (len == 0 || left < len) {
        return 0;
    }
    /* no overlong forms, no surrogates, nothing above U+10FFFF */
    const unsigned char low = s[0] == 0xE0 ? 0xA0 : s[0] == 0xF0 ? 0x90 : 0x80;
    const unsigned char high = s[0] == 0xED ? 0x9F : s[0] == 0xF4 ? 0x8F : 0xBF;
    if (s[1] < low || s[1] > high) {
        return 0;
    }
    for (size_t i = 2; i < len; i++) {
        if (s[i] < 0x80 || s[i] > 0xBF) {
            return 0;
        }
    }
    return len;
}

bool building_is_utf8(const char *text, size_t len)
{
    for (size_t at = 0; at < len;) {
        const size_t step = text[at] == '\0' ? 0 : character_length((const unsigned char *)text + at, len - at);
        if (step == 0) {
            return false;
        }
        at += step;
    }
    return true;
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t';
}

static hr_status refuse(line_feed *feed, const char *text)
{
    return hr_fail(feed->r->err, HR_ERR_INPUT, feed->r->file, feed->line, "%s", text);
}

/* "[word name]" -> a section. inih would let text after the bracket pass. */
static hr_status open_heading(line_feed *feed, const char *line, size_t len)
{
    const char *close = memchr(line, ']', len);
    if (close == NULL) {
        return refuse(feed, "a section heading without its closing bracket ]");
    }
    const char *from = line + 1;
    const char *to = close;
    if (to - from > SECTION_BYTES_MAX) {
        return refuse(feed, "a section name of more than 49 bytes");
    }
    const char *after = close + 1;
    while (after < line + len && is_blank(*after)) {
        after++;
    }
    if (after < line + len && *after != ';' && *after != '#') {
        return refuse(feed, "text follows the section heading; a new line was expected");
    }
    while (from < to && is_blank(*from)) {
        from++;
    }
    while (to > from && is_blank(to[-1])) {
        to--;
    }
    char title[SECTION_BYTES_MAX + 1];
    memcpy(title, from, (size_t)(to - from));
    title[to - from] = '\0';
    return building_open_section(feed->r, title, feed->line);
}

static hr_status check_line(line_feed *feed, const char *line, size_t len)
{
    if (len > LINE_BYTES_MAX) {
        return refuse(feed, "a line of more than 199 bytes");
    }
    if (memchr(line, '\0', len) != NULL) {
        return refuse(feed, "a zero byte stands here, text was expected");
    }
    if (!building_is_utf8(line, len)) {
        return refuse(feed, "not UTF-8 text; save the file as UTF-8");
    }
    size_t blanks = 0;
    while (blanks < len && is_blank(line[blanks])) {
        blanks++;
    }
    if (blanks == len || line[blanks] == ';' || line[blanks] == '#') {
        return HR_OK;
    }
    for (size_t i = 0; i < len; i++) {
        if ((unsigned char)line[i] < ' ' && line[i] != '\t') {
            return refuse(feed, "a control character stands here, text was expected");
        }
    }
    if (blanks > 0) {
        return refuse(feed, "an indented line; lines are not continued, start each key at the left edge");
    }
    if (line[0] == '[') {
        return open_heading(feed, line, len);
    }
    return HR_OK;
}

/* inih asks for the next line (fgets manner). NULL ends the reading. */
static char *next_line(char *out, int size, void *stream)
{
    line_feed *feed = stream;
    if (feed->status != HR_OK || feed->at == feed->end) {
        return NULL;
    }
    const size_t left = (size_t)(feed->end - feed->at);
    const char *newline = memchr(feed->at, '\n', left);
    const size_t taken = newline == NULL ? left : (size_t)(newline - feed->at);
    size_t len = taken;
    if (len > 0 && feed->at[len - 1] == '\r') {
        len--;
    }
    feed->line++;
    feed->status = check_line(feed, feed->at, len);
    if (feed->status == HR_OK && len + 1 > (size_t)size) {
        feed->status = refuse(feed, "a line too long");
    }
    if (feed->status != HR_OK) {
        return NULL;
    }
    memcpy(out, feed->at, len);
    out[len] = '\0';
    feed->at += taken + (newline != NULL);
    return out;
}

static int take_pair(void *user, const char *section, const char *name, const char *value)
{
    line_feed *feed = user;
    (void)section; /* cut at 49 bytes and silent when empty: open_heading keeps the true one */
    if (feed->status == HR_OK) {
        feed->status = building_add_entry(feed->r, name, value, feed->line);
    }
    return feed->status == HR_OK;
}

hr_status building_read_ini(building_reader *r, const char *bytes, size_t len)
{
    if (len >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0) {
        bytes += 3;
        len -= 3;
    }
    line_feed feed = {.r = r, .at = bytes, .end = bytes + len, .status = HR_OK};
    const int bad_line = ini_parse_stream(next_line, &feed, take_pair, &feed);
    if (feed.status == HR_OK && bad_line < 0) {
        feed.status = hr_fail_memory(r->err);
    } else if (feed.status == HR_OK && bad_line > 0) {
        feed.line = bad_line;
        feed.status = refuse(&feed, "neither [section] nor key = value");
    }
    return feed.status;
}
