/*
 * xml_entities.c - what an XML file may refer to: its own internal entities,
 * expanded within a budget, and nothing else. All of it in the handlers of one
 * private parser context; nothing process-wide is set.
 *
 * Old drawing programs declare their namespaces as entities, so substitution
 * is on. An external entity that is only declared is noted; a reference to one
 * is an error, as is a reference to one that is not declared in the file (it
 * may stand in an external subset, which is never loaded: its text, perhaps a
 * room number, would be lost without a word).
 *
 * SPDX-License-Identifier: MIT
 */
#include "xml_priv.h"

#include <string.h>

/* Added per reference: many short ones are work too. */
#define REFERENCE_BYTES 16

static bool is_external(const xmlEntity *entity)
{
    switch (entity->etype) {
    case XML_EXTERNAL_GENERAL_PARSED_ENTITY:
    case XML_EXTERNAL_GENERAL_UNPARSED_ENTITY:
    case XML_EXTERNAL_PARAMETER_ENTITY:
        return true;
    case XML_INTERNAL_GENERAL_ENTITY:
    case XML_INTERNAL_PARAMETER_ENTITY:
    case XML_INTERNAL_PREDEFINED_ENTITY:
        break;
    }
    return false;
}

static xmlEntityPtr checked(void *ctx, xmlEntityPtr entity, const xmlChar *name, bool required)
{
    xml_state *state = xml_state_of(ctx);
    svg_reader *reader = state->reader;
    const int line = xml_line(state, ctx);
    if (reader->status != HR_OK) {
        xml_stop(ctx);
        return NULL;
    }
    if (entity == NULL) {
        if (required) {
            (void)svg_fail(reader, HR_ERR_INPUT, line, "the entity &%s; is not declared in the file itself",
                           (const char *)name);
            xml_stop(ctx);
        }
        return NULL;
    }
    if (is_external(entity)) {
        (void)svg_fail(reader, HR_ERR_INPUT, line,
                       "the external entity %s is referred to: nothing but the drawing itself is opened",
                       (const char *)name);
        xml_stop(ctx);
        return NULL;
    }
    state->entity_bytes += REFERENCE_BYTES + (size_t)(entity->length > 0 ? entity->length : 0);
    if (state->entity_bytes > HR_MAX_ENTITY_BYTES) {
        (void)svg_fail(reader, HR_ERR_LIMIT, line, "entities expand to more than %zu bytes", HR_MAX_ENTITY_BYTES);
        xml_stop(ctx);
        return NULL;
    }
    return entity;
}

static xmlEntityPtr on_get_entity(void *ctx, const xmlChar *name)
{
    const xmlParserCtxt *parser = ctx;
    /* within the subset the parser looks up what it has just been told */
    xmlEntityPtr entity = checked(ctx, xmlSAX2GetEntity(ctx, name), name, parser->inSubset == 0);
    if (entity != NULL && entity->length > 0 && parser->instate == XML_PARSER_CONTENT) {
        xml_state_of(ctx)->awaits_entity = ctx;
    }
    return entity;
}

static xmlEntityPtr on_get_parameter_entity(void *ctx, const xmlChar *name)
{
    return checked(ctx, xmlSAX2GetParameterEntity(ctx, name), name, false);
}

static void on_entity_declaration(void *ctx, const xmlChar *name, int type, const xmlChar *public_id,
                                  const xmlChar *system_id, xmlChar *content)
{
    xml_state *state = xml_state_of(ctx);
    if (system_id != NULL && !state->noted_entity) {
        state->noted_entity = true;
        svg_note(state->reader, SVG_NOTE_XML, xml_line(state, ctx),
                 "the external entity %s is declared; it is never opened", (const char *)name);
    }
    xmlSAX2EntityDecl(ctx, name, type, public_id, system_id, content);
}

/* Every drawing program names the public DTD of SVG, which says nothing a
 * reader needs; any other external subset could have declared something. */
static bool is_svg_dtd(const xmlChar *public_id)
{
    static const char known[] = "-//W3C//DTD SVG ";
    return public_id != NULL && strncmp((const char *)public_id, known, sizeof known - 1) == 0;
}

static void on_internal_subset(void *ctx, const xmlChar *name, const xmlChar *public_id, const xmlChar *system_id)
{
    xml_state *state = xml_state_of(ctx);
    if (system_id != NULL && !is_svg_dtd(public_id)) {
        char text[SVG_EXCERPT];
        svg_note(state->reader, SVG_NOTE_XML, xml_line(state, ctx), "the external subset \"%s\" is not loaded",
                 svg_excerpt((const char *)system_id, text));
    }
    xmlSAX2InternalSubset(ctx, name, public_id, system_id);
}

static void on_external_subset(void *ctx, const xmlChar *name, const xmlChar *public_id, const xmlChar *system_id)
{
    (void)ctx;
    (void)name;
    (void)public_id;
    (void)system_id;
}

static xmlParserInputPtr on_resolve(void *ctx, const xmlChar *public_id, const xmlChar *system_id)
{
    (void)ctx;
    (void)public_id;
    (void)system_id;
    return NULL;
}

/* Encodings in which markup is plain ASCII, so that guard.c has seen what the
 * parser will see. */
static bool encoding_is_known(const char *name)
{
    static const char *const known[] = {"utf-8",    "utf8",  "utf-16",    "utf16", "us-ascii", "ascii",     "iso-8859-",
                                        "iso8859-", "latin", "windows-1", "cp125", "koi8-",    "shift_jis", "euc-",
                                        "gb2312",   "gbk",   "gb18030",   "big5",  "macintosh"};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        if (hr_caseeq_n(name, known[i], strlen(known[i]))) {
            return true;
        }
    }
    return false;
}

static void on_start_document(void *ctx)
{
    const xmlParserCtxt *parser = ctx;
    xml_state *state = xml_state_of(ctx);
    xmlSAX2StartDocument(ctx);
    const xmlChar *names[2] = {parser->encoding, parser->input != NULL ? parser->input->encoding : NULL};
    for (int i = 0; i < 2; i++) {
        if (names[i] != NULL && !encoding_is_known((const char *)names[i])) {
            (void)svg_fail(state->reader, HR_ERR_INPUT, 1,
                           "the encoding \"%.40s\" is not read: save the drawing as UTF-8", (const char *)names[i]);
            xml_stop(ctx);
            return;
        }
    }
}

void xml_entities_install(xmlSAXHandler *sax)
{
    sax->getEntity = on_get_entity;
    sax->getParameterEntity = on_get_parameter_entity;
    sax->entityDecl = on_entity_declaration;
    sax->internalSubset = on_internal_subset;
    sax->externalSubset = on_external_subset;
    sax->resolveEntity = on_resolve;
    sax->startDocument = on_start_document;
}
