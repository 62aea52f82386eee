/*
 * xml_priv.h - shared by xml_read.c and xml_entities.c, the only files that
 * know libxml2.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef XML_PRIV_H
#define XML_PRIV_H

#include "svg_priv.h"

#include <libxml/SAX2.h>
#include <libxml/parser.h>
#include <libxml/parserInternals.h>

typedef struct xml_open {
    uint32_t element, last_child;
    int namespaces;
} xml_open;

typedef struct xml_state {
    svg_reader *reader;
    xmlParserCtxtPtr main; /* entities are parsed in contexts of their own */
    xml_open open[HR_MAX_DEPTH + 1];
    size_t depth;         /* of kept elements      */
    size_t skipped;       /* of elements left out below them */
    size_t element_count; /* all, kept or not      */
    int namespaces;       /* declarations in scope */
    bool no_namespace;    /* the root has none     */
    hr_text run;          /* characters not yet put into the tree */
    size_t entity_bytes;
    bool noted_entity;
    void *awaits_entity;              /* context that has just referred to an entity that is not empty, else NULL */
    char xml_text[HR_ERROR_TEXT_MAX]; /* the parser's first error */
    int xml_line, xml_code;
} xml_state;

/* The state, at the start of every handler. The parser leaves an entity out in
 * silence when it finds no memory for the entity's own context: then the next
 * event comes from the context that referred to it, and the reading fails. */
xml_state *xml_state_of(void *ctx);
/* Line in the file, also while an entity's text is parsed. */
int xml_line(const xml_state *state, const xmlParserCtxt *ctx);
/* Stops parsing after a failure was recorded. */
void xml_stop(void *ctx);
/* Puts the entity, subset and encoding handlers in. */
void xml_entities_install(xmlSAXHandler *sax);

#endif
