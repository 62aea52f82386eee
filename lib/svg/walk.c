/*
 * walk.c - from the compact tree to nodes: groups, references, switches,
 * nested drawings, each with its matrix and computed style. An explicit stack;
 * nothing here calls itself.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <string.h>

typedef struct svg_stack {
    svg_frame *frames;
    size_t count, cap;
} svg_stack;

/* ---- nodes ------------------------------------------------------------------------ */

hr_status svg_add_node(svg_reader *reader, uint32_t element, hr_svg_kind kind, const svg_frame *frame, size_t parent)
{
    hr_svg_drawing *drawing = reader->drawing;
    const svg_document *doc = &reader->doc;
    const svg_element *e = &doc->elements[element];
    if (drawing->node_count >= HR_MAX_ELEMENTS) {
        return svg_fail(reader, HR_ERR_LIMIT, e->line, "more than %zu elements with references put in",
                        HR_MAX_ELEMENTS);
    }
    if (!HR_RESERVE(drawing->nodes, drawing->priv->node_cap, drawing->node_count + 1)) {
        return svg_fail_memory(reader);
    }
    const char *mode = svg_attr_get(doc, element, SVG_ATTR_GROUPMODE);
    const double scale = svg_matrix_scale(frame->matrix);
    drawing->nodes[drawing->node_count++] = (hr_svg_node){
        .kind = kind,
        .parent = parent,
        .line = e->line,
        .element = e->name,
        .label = svg_attr_get(doc, element, SVG_ATTR_LABEL),
        .title = e->text,
        .data_name = svg_attr_get(doc, element, SVG_ATTR_DATA_NAME),
        .id = svg_attr_get(doc, element, SVG_ATTR_ID),
        .classes = svg_attr_get(doc, element, SVG_ATTR_CLASS),
        .is_layer = mode != NULL && strcmp(mode, "layer") == 0,
        .display_none = frame->style.display_none,
        .invisible = frame->style.invisible,
        .stroke = frame->style.stroke,
        .fill = frame->style.fill,
        .fill_even_odd = frame->style.even_odd,
        .stroke_width = frame->style.stroke_width * (frame->style.fixed_stroke ? 1.0 : scale),
        .similar = svg_matrix_is_similar(frame->matrix),
        .unit_scale = scale,
    };
    return HR_OK;
}

/* ---- frames ------------------------------------------------------------------------ */

static hr_status push(svg_reader *reader, svg_stack *stack, const svg_frame *frame)
{
    if (!HR_RESERVE(stack->frames, stack->cap, stack->count + 1)) {
        return svg_fail_memory(reader);
    }
    stack->frames[stack->count++] = *frame;
    reader->doc.elements[frame->element].open = true;
    reader->use_depth += frame->is_use;
    return HR_OK;
}

static void pop(svg_reader *reader, svg_stack *stack)
{
    const svg_frame *frame = &stack->frames[--stack->count];
    reader->doc.elements[frame->element].open = false;
    reader->use_depth -= frame->is_use;
}

/* The transform attribute onto the frame's matrix. A malformed one is as a whole not there. */
static hr_status own_transform(svg_reader *reader, svg_frame *frame)
{
    const char *text = svg_attr_get(&reader->doc, frame->element, SVG_ATTR_TRANSFORM);
    const int line = reader->doc.elements[frame->element].line;
    if (text == NULL || svg_count_bytes(reader, strlen(text), line) != HR_OK) {
        return reader->status;
    }
    svg_matrix own;
    char shown[SVG_EXCERPT];
    const svg_outcome outcome = svg_transform_parse(text, &own);
    if (outcome == SVG_NOT_FINITE) {
        return svg_fail(reader, HR_ERR_INPUT, line, "transform \"%s\" holds a number that is not finite",
                        svg_excerpt(text, shown));
    }
    if (outcome == SVG_BAD) {
        svg_note(reader, SVG_NOTE_TRANSFORM, line,
                 "transform \"%s\" cannot be read and is ignored: everything inside <%s> may stand at a wrong place",
                 svg_excerpt(text, shown), reader->doc.elements[frame->element].name);
        return HR_OK;
    }
    frame->matrix = svg_matrix_product(frame->matrix, own);
    return HR_OK;
}

static hr_status check_matrix(svg_reader *reader, const svg_frame *frame)
{
    if (svg_matrix_is_finite(frame->matrix)) {
        return HR_OK;
    }
    return svg_fail(reader, HR_ERR_LIMIT, reader->doc.elements[frame->element].line,
                    "the transforms of <%s> multiply to numbers that are too large",
                    reader->doc.elements[frame->element].name);
}

/* Style and transform of an element placed within outer. */
static hr_status open_frame(svg_reader *reader, uint32_t element, const svg_frame *outer, svg_frame *frame)
{
    *frame = (svg_frame){.element = element,
                         .next_child = reader->doc.elements[element].first_child,
                         .target = SVG_NONE,
                         .matrix = outer->matrix,
                         .viewport = outer->viewport};
    if (svg_style_compute(reader, element, &outer->style, &outer->viewport, &frame->style) != HR_OK ||
        own_transform(reader, frame) != HR_OK) {
        return reader->status;
    }
    return check_matrix(reader, frame);
}

/* ---- switch ------------------------------------------------------------------------- */

/* requiredExtensions names something that is not had here (SVG 1.1, 5.8.4). */
static bool wants_extension(const svg_document *doc, uint32_t element)
{
    return svg_attr_get(doc, element, SVG_ATTR_EXTENSIONS) != NULL;
}

static bool is_drawn(svg_tag tag)
{
    return tag == SVG_TAG_SVG || tag == SVG_TAG_G || tag == SVG_TAG_A || tag == SVG_TAG_SWITCH || tag == SVG_TAG_USE ||
           tag == SVG_TAG_TEXT || tag == SVG_TAG_IMAGE || svg_tag_is_shape(tag);
}

/* The first child that can be shown; one for other languages only when there is
 * no better: a label in another language is still a label. */
static hr_status choose(svg_reader *reader, uint32_t element, uint32_t *chosen)
{
    const svg_document *doc = &reader->doc;
    uint32_t by_language = SVG_NONE;
    *chosen = SVG_NONE;
    for (uint32_t child = doc->elements[element].first_child; child != SVG_NONE; child = doc->elements[child].next) {
        if (svg_count_step(reader, doc->elements[child].line) != HR_OK) {
            return reader->status;
        }
        if (!is_drawn((svg_tag)doc->elements[child].tag) || wants_extension(doc, child)) {
            continue;
        }
        const char *language = svg_attr_get(doc, child, SVG_ATTR_LANGUAGE);
        if (language == NULL || hr_caseeq_n(language, "en", 2)) {
            *chosen = child;
            return HR_OK;
        }
        by_language = by_language == SVG_NONE ? child : by_language;
    }
    *chosen = by_language;
    if (by_language == SVG_NONE) {
        svg_note(reader, SVG_NOTE_SWITCH, doc->elements[element].line, "<switch> holds nothing that can be read");
    }
    return HR_OK;
}

/* ---- elements ------------------------------------------------------------------------- */

static hr_status enter_group(svg_reader *reader, svg_stack *stack, svg_frame *frame, const svg_frame *outer)
{
    const svg_tag tag = (svg_tag)reader->doc.elements[frame->element].tag;
    bool empty = false;
    if (tag == SVG_TAG_SVG || tag == SVG_TAG_SYMBOL) {
        if (svg_enter_view(reader, frame, outer, &empty) != HR_OK || check_matrix(reader, frame) != HR_OK) {
            return reader->status;
        }
    } else if (tag == SVG_TAG_SWITCH) {
        frame->single = true;
        if (choose(reader, frame->element, &frame->next_child) != HR_OK) {
            return reader->status;
        }
    }
    if (empty) {
        frame->next_child = SVG_NONE;
    }
    frame->node = reader->drawing->node_count;
    if (svg_add_node(reader, frame->element, HR_SVG_GROUP, frame, outer->node) != HR_OK) {
        return reader->status;
    }
    return push(reader, stack, frame);
}

static hr_status enter_use(svg_reader *reader, svg_stack *stack, svg_frame *frame, const svg_frame *outer)
{
    double x = 0.0, y = 0.0;
    if (svg_length(reader, frame, SVG_ATTR_X, 'x', &x) != HR_OK ||
        svg_length(reader, frame, SVG_ATTR_Y, 'y', &y) != HR_OK) {
        return reader->status;
    }
    frame->matrix = svg_matrix_shift(frame->matrix, x, y);
    frame->next_child = SVG_NONE;
    frame->node = reader->drawing->node_count;
    if (check_matrix(reader, frame) != HR_OK ||
        svg_add_node(reader, frame->element, HR_SVG_GROUP, frame, outer->node) != HR_OK) {
        return reader->status;
    }
    /* opened before the target is looked up: a `use` may refer to itself */
    frame->is_use = true;
    reader->doc.elements[frame->element].open = true;
    if (svg_use_target(reader, frame->element, &frame->target) != HR_OK) {
        return reader->status;
    }
    return push(reader, stack, frame);
}

static hr_status enter_leaf(svg_reader *reader, svg_frame *frame, const svg_frame *outer, hr_svg_kind kind)
{
    frame->node = reader->drawing->node_count;
    if (svg_add_node(reader, frame->element, kind, frame, outer->node) != HR_OK) {
        return reader->status;
    }
    if (kind == HR_SVG_IMAGE) {
        reader->drawing->image_count++;
        return HR_OK;
    }
    if (kind == HR_SVG_TEXT) {
        return svg_text_labels(reader, frame);
    }
    bool broken = false;
    const hr_status status = svg_shape_draw(reader, frame, &broken);
    reader->drawing->nodes[frame->node].broken = broken;
    return status;
}

/* One child of outer, or what the `use` of outer stands for. */
static hr_status visit(svg_reader *reader, svg_stack *stack, uint32_t element, const svg_frame *outer)
{
    const svg_element *e = &reader->doc.elements[element];
    const svg_tag tag = (svg_tag)e->tag;
    if (svg_count_step(reader, e->line) != HR_OK) {
        return reader->status;
    }
    const bool symbol = tag == SVG_TAG_SYMBOL && outer->is_use;
    if (!is_drawn(tag) && !symbol) {
        return HR_OK;
    }
    if (wants_extension(&reader->doc, element)) {
        svg_note(reader, SVG_NOTE_SWITCH, e->line, "<%s> needs an extension (requiredExtensions): left out", e->name);
        return HR_OK;
    }
    svg_frame frame;
    if (open_frame(reader, element, outer, &frame) != HR_OK) {
        return reader->status;
    }
    if (tag == SVG_TAG_USE) {
        return enter_use(reader, stack, &frame, outer);
    }
    if (svg_tag_is_shape(tag)) {
        return enter_leaf(reader, &frame, outer, HR_SVG_SHAPE);
    }
    if (tag == SVG_TAG_TEXT || tag == SVG_TAG_IMAGE) {
        return enter_leaf(reader, &frame, outer, tag == SVG_TAG_TEXT ? HR_SVG_TEXT : HR_SVG_IMAGE);
    }
    return enter_group(reader, stack, &frame, outer);
}

static hr_status enter_root(svg_reader *reader, svg_stack *stack)
{
    svg_frame root = {
        .element = 0, .next_child = reader->doc.elements[0].first_child, .target = SVG_NONE, .matrix = svg_matrix_unit};
    const svg_style initial = svg_style_initial();
    const svg_viewport unknown = {0.0, 0.0};
    /* The root's transform, like its viewBox, lies outside its user space. */
    if (svg_style_compute(reader, 0, &initial, &unknown, &root.style) != HR_OK ||
        svg_root_view(reader, &root) != HR_OK || svg_add_node(reader, 0, HR_SVG_GROUP, &root, SIZE_MAX) != HR_OK) {
        return reader->status;
    }
    return push(reader, stack, &root);
}

static hr_status walk(svg_reader *reader, svg_stack *stack)
{
    hr_status status = enter_root(reader, stack);
    while (status == HR_OK && stack->count > 0) {
        svg_frame *top = &stack->frames[stack->count - 1];
        uint32_t next = top->target;
        if (next != SVG_NONE) {
            top->target = SVG_NONE;
        } else {
            next = top->next_child;
            if (next == SVG_NONE) {
                pop(reader, stack);
                continue;
            }
            top->next_child = top->single ? SVG_NONE : reader->doc.elements[next].next;
        }
        const svg_frame outer = *top; /* the stack may move */
        status = visit(reader, stack, next, &outer);
    }
    return status;
}

hr_status svg_walk(svg_reader *reader)
{
    svg_stack stack = {0};
    /* most elements become one node each: growing a large list step by step costs more than all the rest */
    if (!HR_RESERVE(reader->drawing->nodes, reader->drawing->priv->node_cap, reader->doc.element_count)) {
        return svg_fail_memory(reader);
    }
    const hr_status status = walk(reader, &stack);
    hr_free(stack.frames);
    return status;
}
