/*
 * drawing.c - strip coordinates, and shapes as SVG text in centimetres.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_priv.h"

#include <stdlib.h>

outline_point outline_at(const outline_strip *strip, long s, long t)
{
    return (outline_point){strip->at.x + s * strip->u.x + t * strip->v.x,
                           strip->at.y + s * strip->u.y + t * strip->v.y};
}

outline_rect outline_rect_at(const outline_strip *strip, long s0, long t0, long s1, long t1)
{
    const outline_point a = outline_at(strip, s0, t0), b = outline_at(strip, s1, t1);
    return (outline_rect){a.x < b.x ? a.x : b.x, a.y < b.y ? a.y : b.y, a.x < b.x ? b.x : a.x, a.y < b.y ? b.y : a.y};
}

void outline_cm(hr_text *text, long mm)
{
    const long size = labs(mm);
    hr_text_addf(text, "%s%ld", mm < 0 ? "-" : "", size / 10);
    if (size % 10 != 0) {
        hr_text_addf(text, ".%ld", size % 10);
    }
}

void outline_xy(hr_text *text, outline_point p)
{
    outline_cm(text, p.x);
    hr_text_add(text, " ");
    outline_cm(text, p.y);
}

static void line_to(hr_text *text, outline_point from, outline_point to)
{
    if (from.y == to.y) {
        hr_text_add(text, "H");
        outline_cm(text, to.x);
    } else if (from.x == to.x) {
        hr_text_add(text, "V");
        outline_cm(text, to.y);
    } else {
        hr_text_add(text, "L");
        outline_xy(text, to);
    }
}

static void add_points(hr_text *text, const outline_point *points, size_t count)
{
    hr_text_add(text, "M");
    outline_xy(text, points[0]);
    for (size_t i = 1; i < count; i++) {
        line_to(text, points[i - 1], points[i]);
    }
}

static void close_path(hr_text *text, const char *title)
{
    if (title == NULL) {
        hr_text_add(text, "Z\"/>\n");
        return;
    }
    hr_text_add(text, "Z\"><title>");
    hr_text_xml(text, title);
    hr_text_add(text, "</title></path>\n");
}

void outline_closed(hr_text *text, const outline_point *points, size_t count, const char *title)
{
    hr_text_add(text, "    <path d=\"");
    add_points(text, points, count);
    close_path(text, title);
}

void outline_box(hr_text *text, outline_rect r, const char *title)
{
    const outline_point points[4] = {{r.x0, r.y0}, {r.x1, r.y0}, {r.x1, r.y1}, {r.x0, r.y1}};
    outline_closed(text, points, 4, title);
}

void outline_ring_path(hr_text *text, const outline_rings *rings, const char *title)
{
    hr_text_add(text, "    <path fill-rule=\"evenodd\" d=\"");
    for (size_t i = 0; i < rings->count; i++) {
        hr_text_add(text, i > 0 ? "Z" : "");
        add_points(text, rings->points + rings->starts[i], rings->starts[i + 1] - rings->starts[i]);
    }
    close_path(text, title);
}

void outline_line(hr_text *text, outline_point a, outline_point b)
{
    hr_text_add(text, "    <path d=\"M");
    outline_xy(text, a);
    line_to(text, a, b);
    hr_text_add(text, "\"/>\n");
}

void outline_label(hr_text *text, outline_point at, long size_mm, const char *attributes, const char *words)
{
    hr_text_add(text, "    <text x=\"");
    outline_cm(text, at.x);
    hr_text_add(text, "\" y=\"");
    outline_cm(text, at.y + size_mm / 3); /* letters stand on their line: a third down sets them in the middle */
    hr_text_add(text, "\" font-size=\"");
    outline_cm(text, size_mm);
    hr_text_addf(text, "\" %s>", attributes);
    hr_text_xml(text, words);
    hr_text_add(text, "</text>\n");
}

static outline_stretch stretch_of(outline_point a, outline_point b, int kind)
{
    const bool vertical = a.x == b.x;
    const long p = vertical ? a.y : a.x, q = vertical ? b.y : b.x;
    return (outline_stretch){
        .vertical = vertical, .at = vertical ? a.x : a.y, .from = p < q ? p : q, .to = p < q ? q : p, .kind = kind};
}

void outline_wall(outline_drawing *d, outline_point a, outline_point b, outline_wall_kind kind)
{
    if (d->failed || (a.x == b.x && a.y == b.y)) {
        return;
    }
    if (!HR_RESERVE(d->walls, d->wall_cap, d->wall_count + 1)) {
        d->failed = true;
        return;
    }
    d->walls[d->wall_count++] = stretch_of(a, b, (int)kind);
}

void outline_break(outline_drawing *d, outline_point a, outline_point b)
{
    if (d->failed) {
        return;
    }
    if (!HR_RESERVE(d->breaks, d->break_cap, d->break_count + 1)) {
        d->failed = true;
        return;
    }
    d->breaks[d->break_count++] = stretch_of(a, b, -1);
}

void outline_door(outline_drawing *d, outline_layer layer, outline_point hinge, outline_point jamb, outline_point open)
{
    hr_text *text = &d->layers[layer];
    outline_break(d, hinge, jamb);
    hr_text_add(text, "    <path d=\"M");
    outline_xy(text, hinge);
    line_to(text, hinge, jamb);
    if (open.x != 0 || open.y != 0) {
        const long leaf = labs(jamb.x - hinge.x) + labs(jamb.y - hinge.y);
        const outline_point tip = {hinge.x + open.x * leaf, hinge.y + open.y * leaf};
        const bool clockwise = open.x * (jamb.y - hinge.y) - open.y * (jamb.x - hinge.x) > 0;
        hr_text_add(text, "M");
        outline_xy(text, hinge);
        line_to(text, hinge, tip);
        hr_text_add(text, "A");
        outline_cm(text, leaf);
        hr_text_add(text, " ");
        outline_cm(text, leaf);
        hr_text_addf(text, " 0 0 %d ", clockwise ? 1 : 0);
        outline_xy(text, jamb);
    }
    hr_text_add(text, "\"/>\n");
}

void outline_window(outline_drawing *d, outline_point a, outline_point b)
{
    outline_break(d, a, b);
    outline_line(&d->layers[OUTLINE_L_WINDOWS], a, b);
    outline_rect frame = {a.x < b.x ? a.x : b.x, a.y < b.y ? a.y : b.y, a.x < b.x ? b.x : a.x, a.y < b.y ? b.y : a.y};
    if (frame.x0 == frame.x1) {
        frame.x0 -= OUTLINE_HALF_OUTER;
        frame.x1 += OUTLINE_HALF_OUTER;
    } else {
        frame.y0 -= OUTLINE_HALF_OUTER;
        frame.y1 += OUTLINE_HALF_OUTER;
    }
    outline_box(&d->layers[OUTLINE_L_FRAMES], frame, NULL);
}
