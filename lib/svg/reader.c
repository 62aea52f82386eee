/*
 * reader.c - what every stage of one reading needs: the first failure, notes
 * that do not flood, counters of work that references multiply.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* Notes of one kind that are told one by one; the rest is counted. */
#define NOTES_EACH 8
#define MESSAGE_MAX HR_ERROR_TEXT_MAX
/* Elements looked at; twice the cap on elements leaves room for references to small things. */
#define STEPS_MAX (4 * HR_MAX_ELEMENTS)

static const char *const kind_names[SVG_NOTE_KIND_COUNT] = {
    [SVG_NOTE_XML] = "namespaces",
    [SVG_NOTE_CSS] = "style rules",
    [SVG_NOTE_TRANSFORM] = "transforms",
    [SVG_NOTE_PATH] = "broken path data or point lists",
    [SVG_NOTE_LENGTH] = "lengths",
    [SVG_NOTE_PERCENT] = "percentages",
    [SVG_NOTE_REFERENCE] = "references",
    [SVG_NOTE_SINGULAR] = "collapsed shapes",
    [SVG_NOTE_VIEWBOX] = "viewBoxes",
    [SVG_NOTE_FLOW] = "flowed or foreign text",
    [SVG_NOTE_UNKNOWN] = "unknown elements",
    [SVG_NOTE_CLIP] = "clip paths and masks",
    [SVG_NOTE_MOVES] = "transforms in CSS",
    [SVG_NOTE_SWITCH] = "switches",
    [SVG_NOTE_TEXT] = "texts",
};

hr_status svg_fail(svg_reader *reader, hr_status status, int line, const char *fmt, ...)
{
    if (reader->status != HR_OK) {
        return reader->status;
    }
    char text[MESSAGE_MAX];
    va_list args;
    va_start(args, fmt);
    (void)vsnprintf(text, sizeof text, fmt, args);
    va_end(args);
    reader->status = hr_fail(reader->err, status, reader->file, line, "%s", text);
    return reader->status;
}

hr_status svg_fail_memory(svg_reader *reader)
{
    if (reader->status == HR_OK) {
        reader->status = hr_fail_memory(reader->err);
    }
    return reader->status;
}

void svg_note(svg_reader *reader, svg_note_kind kind, int line, const char *fmt, ...)
{
    if (reader->notes == NULL || reader->note_counts[kind]++ >= NOTES_EACH) {
        return;
    }
    char text[MESSAGE_MAX];
    va_list args;
    va_start(args, fmt);
    (void)vsnprintf(text, sizeof text, fmt, args);
    va_end(args);
    hr_note(reader->notes, reader->file, line, "%s", text);
}

void svg_notes_close(svg_reader *reader)
{
    for (size_t kind = 0; kind < SVG_NOTE_KIND_COUNT; kind++) {
        if (reader->note_counts[kind] > NOTES_EACH) {
            hr_note(reader->notes, reader->file, 0, "%s: %zu more notes like these", kind_names[kind],
                    reader->note_counts[kind] - NOTES_EACH);
        }
    }
}

const char *svg_excerpt(const char *text, char out[SVG_EXCERPT])
{
    size_t used = 0;
    while (used < SVG_EXCERPT - 5 && text[used] != '\0') {
        const char c = text[used];
        out[used] = (unsigned char)c < 0x20 || c == 0x7f ? ' ' : c;
        used++;
    }
    while (text[used] != '\0' && used > 0 && ((unsigned char)text[used] & 0xc0u) == 0x80u) {
        used--; /* not within a character */
    }
    if (text[used] != '\0') {
        memcpy(out + used, "...", 3);
        used += 3;
    }
    out[used] = '\0';
    return out;
}

hr_status svg_count_bytes(svg_reader *reader, size_t bytes, int line)
{
    reader->expanded += bytes;
    if (reader->expanded > HR_MAX_EXPANDED_BYTES) {
        return svg_fail(reader, HR_ERR_LIMIT, line, "the drawing with its references put in is larger than %zu bytes",
                        HR_MAX_EXPANDED_BYTES);
    }
    return HR_OK;
}

hr_status svg_count_step(svg_reader *reader, int line)
{
    if (++reader->steps > STEPS_MAX) {
        return svg_fail(reader, HR_ERR_LIMIT, line, "references expand to more than %zu elements", STEPS_MAX);
    }
    return HR_OK;
}
