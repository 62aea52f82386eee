/*
 * fuzz_css.c - a style sheet over a small drawing: the bytes before the first
 * zero are the sheet, those after it a style attribute.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (size > 50000) {
        return 0;
    }
    const uint8_t *zero = memchr(data, 0, size);
    const size_t sheet_len = zero != NULL ? (size_t)(zero - data) : size;
    char *sheet = hr_strndup((const char *)data, sheet_len);
    char *own = zero != NULL ? hr_strndup((const char *)zero + 1, size - sheet_len - 1) : hr_strdup("");
    hr_text text = {0};
    hr_text_add(&text, "<svg xmlns='http://www.w3.org/2000/svg'><style>");
    hr_text_xml(&text, sheet != NULL ? sheet : "");
    hr_text_add(&text, "</style><g class='a b' id='g'><path class='a' id='p' d='M0 0h1' style='");
    hr_text_xml(&text, own != NULL ? own : "");
    hr_text_add(&text, "'/><rect class='c a' width='1' height='1'/></g></svg>");
    hr_notes *notes = hr_notes_new();
    hr_svg_drawing *drawing = NULL;
    hr_error error;
    if (notes != NULL && text.bytes != NULL &&
        hr_svg_read("fuzz.svg", text.bytes, text.len, notes, &drawing, &error) == HR_OK) {
        if (drawing->node_count != 4) {
            abort();
        }
        hr_svg_free(drawing);
    }
    hr_notes_free(notes);
    hr_text_free(&text);
    hr_free(sheet);
    hr_free(own);
    return 0;
}
