/*
 * drawing.c - the public face: read, free, what is shown.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <string.h>

static hr_svg_drawing *new_drawing(const char *file)
{
    hr_svg_drawing *drawing = hr_alloc_zero(1, sizeof *drawing);
    struct hr_svg_private *priv = hr_alloc_zero(1, sizeof *priv);
    hr_arena *arena = hr_arena_new();
    const char *name = arena != NULL ? hr_arena_strdup(arena, file) : NULL;
    if (drawing == NULL || priv == NULL || name == NULL) {
        hr_free(drawing);
        hr_free(priv);
        hr_arena_free(arena);
        return NULL;
    }
    priv->arena = arena;
    drawing->priv = priv;
    drawing->file = name;
    return drawing;
}

void hr_svg_free(hr_svg_drawing *drawing)
{
    if (drawing == NULL) {
        return;
    }
    hr_arena_free(drawing->priv->arena);
    hr_free(drawing->priv->curves.ops);
    hr_free(drawing->priv->curves.args);
    hr_free(drawing->priv->shapes);
    hr_free(drawing->priv);
    hr_free(drawing->nodes);
    hr_free(drawing->labels);
    hr_free(drawing->points);
    hr_free(drawing->paths);
    hr_free(drawing);
}

hr_status hr_svg_read(const char *file, const char *bytes, size_t len, hr_notes *notes, hr_svg_drawing **drawing,
                      hr_error *err)
{
    if (file == NULL || (bytes == NULL && len > 0) || drawing == NULL) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "hr_svg_read: file, bytes and drawing are needed");
    }
    svg_reader reader = {.file = file, .notes = notes, .err = err, .drawing = new_drawing(file)};
    if (reader.drawing == NULL) {
        return hr_fail_memory(err);
    }
    reader.doc.arena = reader.drawing->priv->arena;
    if (svg_guard(&reader, bytes, len) == HR_OK && svg_xml_read(&reader, bytes, len) == HR_OK) {
        (void)svg_walk(&reader);
    }
    svg_notes_close(&reader);
    if (reader.status == HR_OK && notes != NULL && hr_notes_failed(notes)) {
        (void)svg_fail_memory(&reader);
    }
    svg_document_free(&reader.doc);
    svg_sheet_free(&reader.sheet);
    hr_free(reader.scratch.items);
    if (reader.status != HR_OK) {
        hr_svg_free(reader.drawing);
        return reader.status;
    }
    *drawing = reader.drawing;
    return HR_OK;
}

bool hr_svg_shown(const hr_svg_drawing *drawing, size_t node, size_t top)
{
    if (node >= drawing->node_count || drawing->nodes[node].invisible) {
        return false;
    }
    for (size_t at = node; at != SIZE_MAX && at != top; at = drawing->nodes[at].parent) {
        if (drawing->nodes[at].display_none) {
            return false;
        }
    }
    return true;
}
