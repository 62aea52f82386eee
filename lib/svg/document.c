/*
 * document.c - the compact tree: elements in file order with the attributes
 * that matter, ids sorted.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <stdlib.h>
#include <string.h>

const char *svg_attr_get(const svg_document *doc, uint32_t element, svg_attribute name)
{
    const svg_element *e = &doc->elements[element];
    for (size_t i = 0; i < e->attr_count; i++) {
        const svg_attr *attr = &doc->attrs[e->first_attr + i];
        if (attr->name == name) {
            return attr->value;
        }
    }
    return NULL;
}

/* By id, then file order: a total order, so equal ids find the first. */
static int by_id(const void *left, const void *right)
{
    const svg_id *a = left, *b = right;
    const int order = strcmp(a->id, b->id);
    return order != 0 ? order : (a->element > b->element) - (a->element < b->element);
}

bool svg_document_sort_ids(svg_document *doc)
{
    doc->id_count = 0;
    for (size_t i = 0; i < doc->element_count; i++) {
        if (doc->elements[i].tag == SVG_TAG_RUN) {
            continue;
        }
        const char *id = svg_attr_get(doc, (uint32_t)i, SVG_ATTR_ID);
        if (id == NULL) {
            continue;
        }
        if (!HR_RESERVE(doc->ids, doc->id_cap, doc->id_count + 1)) {
            return false;
        }
        doc->ids[doc->id_count++] = (svg_id){.id = id, .element = (uint32_t)i};
    }
    if (doc->id_count > 1) {
        qsort(doc->ids, doc->id_count, sizeof *doc->ids, by_id);
    }
    return true;
}

uint32_t svg_document_find(const svg_document *doc, const char *id)
{
    size_t low = 0, high = doc->id_count;
    while (low < high) { /* the first that is not less */
        const size_t middle = low + (high - low) / 2;
        if (strcmp(doc->ids[middle].id, id) < 0) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return low < doc->id_count && strcmp(doc->ids[low].id, id) == 0 ? doc->ids[low].element : SVG_NONE;
}

void svg_document_free(svg_document *doc)
{
    hr_free(doc->elements);
    hr_free(doc->attrs);
    hr_free(doc->ids);
    *doc = (svg_document){.arena = doc->arena};
}

char *svg_fold(hr_arena *arena, const char *text, size_t len)
{
    char *copy = hr_arena_alloc(arena, len + 1, 1);
    if (copy == NULL) {
        return NULL;
    }
    size_t used = 0;
    for (size_t i = 0; i < len; i++) {
        /* a no-break space (C2 A0) is a blank too: editors leave them in empty lines */
        const bool no_break = i + 1 < len && (unsigned char)text[i] == 0xc2 && (unsigned char)text[i + 1] == 0xa0;
        i += no_break;
        if (!no_break && !svg_is_blank(text[i])) {
            copy[used++] = text[i];
        } else if (used > 0 && copy[used - 1] != ' ') {
            copy[used++] = ' ';
        }
    }
    used -= used > 0 && copy[used - 1] == ' ';
    copy[used] = '\0';
    return copy;
}
