/*
 * css_match.c - which style rules hold for an element. Rules are found by the
 * id, class or type of their last compound; the number of tests is capped over
 * a whole drawing, because 10,000 rules times 2,000,000 elements would not end.
 *
 * Source: Selectors Level 3, 8-9; CSS Cascading Level 4, 6.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <string.h>

static bool has_class(const char *classes, const char *name)
{
    const size_t len = strlen(name);
    for (const char *at = classes; *at != '\0';) {
        at += strspn(at, " \t\r\n\f");
        const size_t token = strcspn(at, " \t\r\n\f");
        if (token == len && memcmp(at, name, len) == 0) {
            return true;
        }
        at += token;
    }
    return false;
}

static bool fits(svg_reader *reader, const svg_compound *compound, uint32_t element)
{
    const svg_document *doc = &reader->doc;
    reader->css_tests++;
    if (compound->type != NULL && strcmp(compound->type, doc->elements[element].name) != 0) {
        return false;
    }
    if (compound->id != NULL) {
        const char *id = svg_attr_get(doc, element, SVG_ATTR_ID);
        if (id == NULL || strcmp(id, compound->id) != 0) {
            return false;
        }
    }
    if (compound->class_count > 0) {
        const char *classes = svg_attr_get(doc, element, SVG_ATTR_CLASS);
        if (classes == NULL) {
            return false;
        }
        reader->css_tests += strlen(classes) / 64;
        for (uint32_t i = 0; i < compound->class_count; i++) {
            if (!has_class(classes, reader->sheet.classes[compound->first_class + i])) {
                return false;
            }
        }
    }
    return true;
}

/* The nearest ancestor that fits; SVG_NONE when none does. */
static uint32_t ancestor(svg_reader *reader, const svg_compound *compound, uint32_t element)
{
    uint32_t at = reader->doc.elements[element].parent;
    while (at != SVG_NONE && !fits(reader, compound, at)) {
        at = reader->doc.elements[at].parent;
    }
    return at;
}

/* From right to left. After a blank the nearest ancestor is taken; when a '>'
 * then fails, the last blank is tried again further up. */
static bool holds(svg_reader *reader, const svg_selector *selector, uint32_t element)
{
    const svg_compound *compounds = reader->sheet.compounds + selector->first;
    uint32_t at = element, retry_at = SVG_NONE;
    size_t left = selector->count - 1, retry_left = 0;
    if (!fits(reader, &compounds[left], element)) {
        return false;
    }
    while (left > 0) {
        if (!compounds[left].child) {
            at = ancestor(reader, &compounds[left - 1], at);
            if (at == SVG_NONE) {
                return false;
            }
            retry_at = at;
            retry_left = left;
            left--;
            continue;
        }
        const uint32_t parent = reader->doc.elements[at].parent;
        if (parent != SVG_NONE && fits(reader, &compounds[left - 1], parent)) {
            at = parent;
            left--;
        } else if (retry_at != SVG_NONE) {
            at = retry_at;
            left = retry_left;
        } else {
            return false;
        }
    }
    return true;
}

void svg_cascade_offer(svg_cascade *cascade, const svg_declaration *declaration, uint64_t rank)
{
    if (declaration->important) {
        rank |= UINT64_C(1) << 62;
    }
    const size_t property = (size_t)declaration->property;
    if (property < SVG_PROPERTY_COUNT && rank >= cascade->rank[property]) {
        cascade->best[property] = declaration;
        cascade->rank[property] = rank;
    }
}

/* First selector of a key, or of what follows it. */
static size_t first_with(const svg_sheet *sheet, uint8_t kind, const char *key, size_t key_len)
{
    size_t low = 0, high = sheet->selector_count;
    while (low < high) {
        const size_t middle = low + (high - low) / 2;
        const svg_selector *selector = &sheet->selectors[middle];
        int order = (int)selector->key_kind - (int)kind;
        if (order == 0) {
            order = strncmp(selector->key, key, key_len);
            order = order == 0 ? selector->key[key_len] != '\0' : order;
        }
        if (order < 0) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low;
}

static void offer_key(svg_reader *reader, uint8_t kind, const char *key, size_t key_len, uint32_t element,
                      svg_cascade *cascade)
{
    const svg_sheet *sheet = &reader->sheet;
    for (size_t i = first_with(sheet, kind, key, key_len); i < sheet->selector_count; i++) {
        const svg_selector *selector = &sheet->selectors[i];
        if (selector->key_kind != kind || strncmp(selector->key, key, key_len) != 0 || selector->key[key_len] != '\0' ||
            reader->css_tests > HR_MAX_CSS_TESTS) {
            return;
        }
        if (!holds(reader, selector, element)) {
            continue;
        }
        /* above every attribute (rank 1): specificity, then order */
        const uint64_t rank = 2 + ((uint64_t)selector->weight << 24 | selector->order);
        for (uint32_t k = 0; k < selector->declaration_count; k++) {
            reader->css_tests++;
            svg_cascade_offer(cascade, &sheet->declarations.items[selector->first_declaration + k], rank);
        }
    }
}

hr_status svg_sheet_match(svg_reader *reader, uint32_t element, svg_cascade *cascade)
{
    const svg_element *e = &reader->doc.elements[element];
    if (reader->sheet.selector_count == 0) {
        return HR_OK;
    }
    offer_key(reader, 0, "", 0, element, cascade);
    offer_key(reader, 1, e->name, strlen(e->name), element, cascade);
    const char *classes = svg_attr_get(&reader->doc, element, SVG_ATTR_CLASS);
    for (const char *at = classes; at != NULL && *at != '\0';) {
        at += strspn(at, " \t\r\n\f");
        const size_t len = strcspn(at, " \t\r\n\f");
        reader->css_tests++;
        if (len > 0) {
            offer_key(reader, 2, at, len, element, cascade);
        }
        at += len;
    }
    const char *id = svg_attr_get(&reader->doc, element, SVG_ATTR_ID);
    if (id != NULL) {
        offer_key(reader, 3, id, strlen(id), element, cascade);
    }
    if (reader->css_tests > HR_MAX_CSS_TESTS) {
        return svg_fail(reader, HR_ERR_LIMIT, e->line, "the style sheets need more than %zu selector tests",
                        HR_MAX_CSS_TESTS);
    }
    return HR_OK;
}
