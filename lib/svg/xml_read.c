/*
 * xml_read.c - XML events into the compact tree. Parsed from memory on a
 * private libxml2 context: no network, no huge, no recovery, no external
 * subset, no XInclude; substitution of internal entities on (xml_entities.c).
 * No tree of libxml2 is built, which keeps the largest drawing within memory.
 *
 * Source: XML 1.0 (Fifth Edition); Namespaces in XML 1.0.
 *
 * SPDX-License-Identifier: MIT
 */
#include "xml_priv.h"

#include <limits.h>
#include <string.h>

xml_state *xml_state_of(void *ctx)
{
    xml_state *state = ((xmlParserCtxtPtr)ctx)->_private;
    if (state->awaits_entity == ctx &&
        state->xml_text[0] == '\0') { /* after an error, nothing is left out in silence */
        (void)svg_fail_memory(state->reader);
    }
    state->awaits_entity = NULL;
    return state;
}

int xml_line(const xml_state *state, const xmlParserCtxt *ctx)
{
    const xmlParserCtxt *of_file = state->main != NULL ? state->main : ctx;
    return of_file->input != NULL ? of_file->input->line : 0;
}

/* Line on which the element starts. The event comes at the end of its start
 * tag; no '<' can stand in between, so the last one is where it began. */
static int start_line(const xml_state *state, const xmlParserCtxt *ctx)
{
    int line = xml_line(state, ctx);
    const xmlParserInput *input = ctx->input;
    if (ctx != state->main || input == NULL) {
        return line;
    }
    for (const xmlChar *c = input->cur; c > input->base && *c != '<'; c--) {
        line -= *c == '\n';
    }
    return line > 0 ? line : 1;
}

void xml_stop(void *ctx)
{
    xmlParserCtxtPtr parser = ctx;
    parser->wellFormed = 0; /* so that the context an entity was referred to from ends as well */
    xmlStopParser(parser);
}

static bool stopped(xml_state *state, void *ctx)
{
    if (state->reader->status != HR_OK) {
        xml_stop(ctx);
        return true;
    }
    return false;
}

/* ---- the tree --------------------------------------------------------------------- */

static uint32_t add_element(xml_state *state, svg_tag tag, const char *name, int line)
{
    svg_document *doc = &state->reader->doc;
    if (!HR_RESERVE(doc->elements, doc->element_cap, doc->element_count + 1)) {
        (void)svg_fail_memory(state->reader);
        return SVG_NONE;
    }
    const uint32_t index = (uint32_t)doc->element_count++;
    xml_open *parent = state->depth > 0 ? &state->open[state->depth - 1] : NULL;
    doc->elements[index] = (svg_element){.name = name,
                                         .parent = parent != NULL ? parent->element : SVG_NONE,
                                         .first_child = SVG_NONE,
                                         .next = SVG_NONE,
                                         .first_attr = (uint32_t)doc->attr_count,
                                         .line = line,
                                         .tag = (uint8_t)tag};
    if (parent != NULL) {
        if (parent->last_child == SVG_NONE) {
            doc->elements[parent->element].first_child = index;
        } else {
            doc->elements[parent->last_child].next = index;
        }
        parent->last_child = index;
    }
    return index;
}

/* Whether characters directly inside the element are wanted. */
static bool keeps_text(svg_tag tag)
{
    return tag == SVG_TAG_TEXT || tag == SVG_TAG_TSPAN || tag == SVG_TAG_TEXTPATH || tag == SVG_TAG_A ||
           tag == SVG_TAG_TITLE || tag == SVG_TAG_STYLE;
}

/* Characters gathered so far become a run below the open element. */
static void flush_run(xml_state *state)
{
    svg_document *doc = &state->reader->doc;
    if (state->run.failed) {
        (void)svg_fail_memory(state->reader);
        return;
    }
    if (state->run.len == 0 || state->depth == 0) {
        return;
    }
    const uint32_t parent = state->open[state->depth - 1].element;
    const char *copy = hr_arena_strndup(doc->arena, state->run.bytes, state->run.len);
    const int line = doc->elements[parent].line;
    const uint32_t run = copy != NULL ? add_element(state, SVG_TAG_RUN, "", line) : SVG_NONE;
    if (run == SVG_NONE) {
        (void)svg_fail_memory(state->reader);
        return;
    }
    doc->elements[run].text = copy;
    state->run.len = 0;
}

static bool add_attribute(xml_state *state, uint32_t element, svg_attribute name, const xmlChar *from,
                          const xmlChar *to)
{
    svg_document *doc = &state->reader->doc;
    const char *value = hr_arena_strndup(doc->arena, (const char *)from, (size_t)(to - from));
    if (value == NULL || !HR_RESERVE(doc->attrs, doc->attr_cap, doc->attr_count + 1)) {
        (void)svg_fail_memory(state->reader);
        return false;
    }
    doc->attrs[doc->attr_count++] = (svg_attr){.name = name, .value = value};
    doc->elements[element].attr_count++;
    return true;
}

static bool add_attributes(xml_state *state, uint32_t element, int count, const xmlChar **attributes)
{
    for (int i = 0; i < count; i++) {
        const xmlChar **attribute = attributes + (size_t)i * 5; /* local name, prefix, URI, value, its end */
        const svg_space_name space = svg_namespace((const char *)attribute[2], (const char *)attribute[1]);
        const svg_attribute name = svg_attribute_of((const char *)attribute[0], space);
        if (name != SVG_ATTR_NONE && !add_attribute(state, element, name, attribute[3], attribute[4])) {
            return false;
        }
    }
    return true;
}

/* ---- element events ----------------------------------------------------------------- */

static bool within_limits(xml_state *state, int line, int namespaces)
{
    svg_reader *reader = state->reader;
    if (++state->element_count > HR_MAX_ELEMENTS) {
        (void)svg_fail(reader, HR_ERR_LIMIT, line, "more than %zu elements", HR_MAX_ELEMENTS);
    } else if (state->depth + state->skipped >= HR_MAX_DEPTH) {
        (void)svg_fail(reader, HR_ERR_LIMIT, line, "elements are nested more than %d deep", HR_MAX_DEPTH);
    } else if (state->namespaces + namespaces > HR_MAX_NAMESPACES) {
        (void)svg_fail(reader, HR_ERR_LIMIT, line, "more than %d namespace declarations", HR_MAX_NAMESPACES);
    }
    return reader->status == HR_OK;
}

static bool check_root(xml_state *state, const char *local, svg_space_name space, int line)
{
    svg_reader *reader = state->reader;
    if (strcmp(local, "svg") != 0 || (space != SVG_NS_SVG && space != SVG_NS_NONE)) {
        (void)svg_fail(reader, HR_ERR_INPUT, line, "the root element is <%.40s>%s, expected <svg>", local,
                       space == SVG_NS_OTHER ? " of another namespace" : "");
        return false;
    }
    state->no_namespace = space == SVG_NS_NONE;
    if (state->no_namespace) {
        svg_note(reader, SVG_NOTE_XML, line,
                 "the root element has no namespace (xmlns=\"http://www.w3.org/2000/svg\"): read as SVG");
    }
    return true;
}

/* Elements that are left out, with a word where a plan may miss them. */
static bool is_kept(xml_state *state, const char *local, svg_space_name space, svg_tag tag, int line)
{
    if (space != SVG_NS_SVG && !(space == SVG_NS_NONE && state->no_namespace)) {
        if (strcmp(local, "link") == 0) {
            svg_note(state->reader, SVG_NOTE_CSS, line, "a linked style sheet is not opened: colours may be missing");
        } else if (strcmp(local, "include") == 0) {
            svg_note(state->reader, SVG_NOTE_UNKNOWN, line,
                     "an include is not followed: nothing but the drawing is opened");
        }
        return false;
    }
    if (tag == SVG_TAG_UNKNOWN) {
        svg_note(state->reader, SVG_NOTE_UNKNOWN, line, "<%.40s> is not known: left out with all inside", local);
    } else if (tag == SVG_TAG_FLOW) {
        const uint32_t parent = state->open[state->depth - 1].element;
        if (state->reader->doc.elements[parent].tag != SVG_TAG_SWITCH) {
            svg_note(state->reader, SVG_NOTE_FLOW, line,
                     "<%.40s> is not read: its text is missing; convert it to text in the editor", local);
        }
    }
    return tag != SVG_TAG_UNKNOWN && tag != SVG_TAG_FLOW && tag != SVG_TAG_QUIET;
}

static void on_start(void *ctx, const xmlChar *local, const xmlChar *prefix, const xmlChar *uri, int namespace_count,
                     const xmlChar **namespaces, int attribute_count, int defaulted, const xmlChar **attributes)
{
    (void)namespaces;
    (void)defaulted; /* included in attribute_count */
    xml_state *state = xml_state_of(ctx);
    const char *name = (const char *)local;
    if (stopped(state, ctx)) {
        return;
    }
    const int line = start_line(state, ctx);
    flush_run(state);
    if (!within_limits(state, line, namespace_count)) {
        xml_stop(ctx);
        return;
    }
    const svg_space_name space = svg_namespace((const char *)uri, (const char *)prefix);
    const bool is_root = state->depth == 0 && state->skipped == 0;
    if (is_root && !check_root(state, name, space, line)) {
        xml_stop(ctx);
        return;
    }
    const char *text = "";
    const svg_tag tag = state->skipped > 0 ? SVG_TAG_UNKNOWN : svg_tag_of(name, &text);
    if (!is_root && (state->skipped > 0 || !is_kept(state, name, space, tag, line))) {
        state->skipped++;
        return;
    }
    const uint32_t element = add_element(state, tag, text, line);
    if (element == SVG_NONE || !add_attributes(state, element, attribute_count, attributes)) {
        xml_stop(ctx);
        return;
    }
    state->open[state->depth++] = (xml_open){element, SVG_NONE, namespace_count};
    state->namespaces += namespace_count;
}

/* All characters directly inside the element, joined. */
static void inner_text(const svg_document *doc, uint32_t element, hr_text *text)
{
    for (uint32_t child = doc->elements[element].first_child; child != SVG_NONE; child = doc->elements[child].next) {
        if (doc->elements[child].tag == SVG_TAG_RUN) {
            hr_text_add(text, doc->elements[child].text);
        }
    }
}

static void end_title(xml_state *state, uint32_t element)
{
    svg_document *doc = &state->reader->doc;
    const uint32_t parent = doc->elements[element].parent;
    if (parent == SVG_NONE || doc->elements[parent].text != NULL) {
        return; /* the first title counts */
    }
    hr_text text = {0};
    inner_text(doc, element, &text);
    if (text.len > 0) {
        const char *folded = svg_fold(doc->arena, text.bytes, text.len);
        if (folded == NULL) {
            (void)svg_fail_memory(state->reader);
        } else if (folded[0] != '\0') {
            doc->elements[parent].text = folded;
        }
    }
    if (text.failed) {
        (void)svg_fail_memory(state->reader);
    }
    hr_text_free(&text);
}

static void end_style(xml_state *state, uint32_t element)
{
    const svg_document *doc = &state->reader->doc;
    hr_text text = {0};
    inner_text(doc, element, &text);
    if (text.failed) {
        (void)svg_fail_memory(state->reader);
    } else if (text.len > 0) {
        (void)svg_sheet_add(state->reader, text.bytes, text.len, doc->elements[element].line);
    }
    hr_text_free(&text);
}

static void on_end(void *ctx, const xmlChar *local, const xmlChar *prefix, const xmlChar *uri)
{
    (void)local;
    (void)prefix;
    (void)uri;
    xml_state *state = xml_state_of(ctx);
    if (stopped(state, ctx)) {
        return;
    }
    if (state->skipped > 0) {
        state->skipped--;
        return;
    }
    if (state->depth == 0) {
        return;
    }
    flush_run(state);
    const xml_open *open = &state->open[state->depth - 1];
    const uint8_t tag = state->reader->doc.elements[open->element].tag;
    state->namespaces -= open->namespaces;
    state->depth--;
    if (tag == SVG_TAG_TITLE) {
        end_title(state, open->element);
    } else if (tag == SVG_TAG_STYLE) {
        end_style(state, open->element);
    }
    (void)stopped(state, ctx);
}

static void on_characters(void *ctx, const xmlChar *text, int len)
{
    xml_state *state = xml_state_of(ctx);
    if (stopped(state, ctx) || state->skipped > 0 || state->depth == 0 || len <= 0) {
        return;
    }
    if (keeps_text((svg_tag)state->reader->doc.elements[state->open[state->depth - 1].element].tag)) {
        hr_text_add_n(&state->run, (const char *)text, (size_t)len);
    }
}

static void on_instruction(void *ctx, const xmlChar *target, const xmlChar *data)
{
    (void)data;
    xml_state *state = xml_state_of(ctx);
    if (strcmp((const char *)target, "xml-stylesheet") == 0) {
        svg_note(state->reader, SVG_NOTE_CSS, xml_line(state, ctx),
                 "a linked style sheet is not opened: colours may be missing");
    }
}

static void on_comment(void *ctx, const xmlChar *text)
{
    (void)xml_state_of(ctx); /* an entity may hold nothing else */
    (void)text;
}

/* ---- errors ---------------------------------------------------------------------------- */

static void on_error(void *ctx, xmlErrorPtr error)
{
    xml_state *state = ((xmlParserCtxtPtr)ctx)->_private; /* no event of the text: awaits_entity stays */
    const int line = ctx == state->main ? error->line : xml_line(state, ctx);
    if (error->level < XML_ERR_ERROR) {
        return;
    }
    if (error->domain == XML_FROM_NAMESPACE && error->code != XML_NS_ERR_ATTRIBUTE_REDEFINED) {
        svg_note(state->reader, SVG_NOTE_XML, line, "the namespace prefix \"%.40s\" is not declared: read all the same",
                 error->str1 != NULL ? error->str1 : "");
        return;
    }
    if (state->xml_text[0] != '\0') {
        return;
    }
    if (error->message == NULL) { /* there was no memory for it */
        (void)svg_fail_memory(state->reader);
        return;
    }
    const char *message = error->message;
    size_t len = strcspn(message, "\n");
    len = len < sizeof state->xml_text ? len : sizeof state->xml_text - 1;
    memcpy(state->xml_text, message, len);
    state->xml_text[len] = '\0';
    state->xml_line = line;
    state->xml_code = error->code;
}

/* The parser's own caps on single pieces have no code of their own. */
static bool is_parser_cap(const char *message)
{
    static const char *const caps[] = {"Huge input lookup", "too long", "too big", "huge text node"};
    for (size_t i = 0; i < sizeof caps / sizeof *caps; i++) {
        if (strstr(message, caps[i]) != NULL) {
            return true;
        }
    }
    return false;
}

static void finish(xml_state *state, bool well_formed)
{
    svg_reader *reader = state->reader;
    if (state->xml_code == XML_ERR_NO_MEMORY || (well_formed && state->awaits_entity != NULL)) {
        (void)svg_fail_memory(reader);
    } else if (state->xml_code == XML_ERR_ENTITY_LOOP) {
        (void)svg_fail(reader, HR_ERR_INPUT, state->xml_line,
                       "entities refer to themselves or expand far beyond the size of the file");
    } else if (is_parser_cap(state->xml_text)) {
        (void)svg_fail(reader, HR_ERR_LIMIT, state->xml_line,
                       "a single piece larger than %zu bytes (embedded pictures?): export the plan without pictures",
                       HR_MAX_ATTRIBUTE_BYTES);
    } else if (!well_formed || state->xml_text[0] != '\0') {
        (void)svg_fail(reader, HR_ERR_INPUT, state->xml_line, "not well-formed XML: %s",
                       state->xml_text[0] != '\0' ? state->xml_text : "the file is damaged or cut off");
    } else if (reader->doc.element_count == 0) {
        (void)svg_fail(reader, HR_ERR_INPUT, 0, "no element in the file, expected <svg>");
    }
}

static void install(xmlSAXHandler *sax)
{
    sax->startElementNs = on_start;
    sax->endElementNs = on_end;
    sax->characters = on_characters;
    sax->ignorableWhitespace = on_characters;
    sax->cdataBlock = on_characters;
    sax->processingInstruction = on_instruction;
    sax->comment = on_comment;
    sax->reference = NULL;
    sax->serror = on_error;
    xml_entities_install(sax);
}

/* Room for the elements of a large file at once: at most as many as there are
 * start tags. */
static bool reserve_elements(svg_document *doc, const char *bytes, size_t len)
{
    size_t count = 0;
    for (const char *c = bytes; c != NULL && count < HR_MAX_ELEMENTS;) {
        c = memchr(c, '<', len - (size_t)(c - bytes));
        if (c != NULL && ++c < bytes + len && *c != '/') {
            count++;
        }
    }
    return HR_RESERVE(doc->elements, doc->element_cap, count);
}

hr_status svg_xml_read(svg_reader *reader, const char *bytes, size_t len)
{
    if (!reserve_elements(&reader->doc, bytes, len)) {
        return svg_fail_memory(reader);
    }
    xml_state *state = hr_alloc_zero(1, sizeof *state);
    if (state == NULL || len > INT_MAX) {
        hr_free(state);
        return svg_fail_memory(reader);
    }
    state->reader = reader;
    xmlParserCtxtPtr parser = xmlCreateMemoryParserCtxt(bytes, (int)len);
    if (parser == NULL) {
        hr_free(state);
        return svg_fail_memory(reader);
    }
    state->main = parser;
    parser->_private = state;
    (void)xmlCtxtUseOptions(parser, XML_PARSE_NOENT | XML_PARSE_NONET | XML_PARSE_NOCDATA | XML_PARSE_BIG_LINES);
    install(parser->sax);
    (void)xmlParseDocument(parser);
    finish(state, parser->wellFormed != 0);
    xmlDocPtr doc = parser->myDoc;
    parser->myDoc = NULL;
    xmlFreeParserCtxt(parser);
    xmlFreeDoc(doc);
    hr_text_free(&state->run);
    hr_free(state);
    if (reader->status == HR_OK && !svg_document_sort_ids(&reader->doc)) {
        return svg_fail_memory(reader);
    }
    svg_sheet_sort(&reader->sheet);
    return reader->status;
}
