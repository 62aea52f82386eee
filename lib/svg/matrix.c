/*
 * matrix.c - affine maps, the transform attribute, viewBox into viewport.
 *
 * Source: SVG 1.1 Second Edition, 7.4-7.6 (matrices, transform attribute) and
 * 7.7-7.8 (viewBox, preserveAspectRatio); SVG 2, 8.2 (equivalent transform).
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_priv.h"

#include <math.h>
#include <string.h>

#define RADIANS_PER_DEGREE 0.017453292519943295
/* A determinant this small beside its terms is rounding and nothing else. */
#define SINGULAR_RATIO 1e-13
/* Angles are kept when they are within this of it: exporters write six digits. */
#define SIMILAR_RATIO 1e-5

const svg_matrix svg_matrix_unit = {1.0, 0.0, 0.0, 1.0, 0.0, 0.0};

svg_matrix svg_matrix_product(svg_matrix outer, svg_matrix inner)
{
    return (svg_matrix){
        .a = outer.a * inner.a + outer.c * inner.b,
        .b = outer.b * inner.a + outer.d * inner.b,
        .c = outer.a * inner.c + outer.c * inner.d,
        .d = outer.b * inner.c + outer.d * inner.d,
        .e = outer.a * inner.e + outer.c * inner.f + outer.e,
        .f = outer.b * inner.e + outer.d * inner.f + outer.f,
    };
}

svg_matrix svg_matrix_shift(svg_matrix outer, double x, double y)
{
    return svg_matrix_product(outer, (svg_matrix){1.0, 0.0, 0.0, 1.0, x, y});
}

hr_point svg_matrix_point(svg_matrix m, double x, double y)
{
    return (hr_point){m.a * x + m.c * y + m.e, m.b * x + m.d * y + m.f};
}

bool svg_matrix_is_finite(svg_matrix m)
{
    return isfinite(m.a) && isfinite(m.b) && isfinite(m.c) && isfinite(m.d) && isfinite(m.e) && isfinite(m.f);
}

bool svg_matrix_is_singular(svg_matrix m)
{
    /* scaled by the largest entry first, so that tiny scales do not underflow */
    const double size = fmax(fmax(fabs(m.a), fabs(m.b)), fmax(fabs(m.c), fabs(m.d)));
    if (!(size > 0.0)) {
        return true;
    }
    const double a = m.a / size, b = m.b / size, c = m.c / size, d = m.d / size;
    return !(fabs(a * d - b * c) > SINGULAR_RATIO * (fabs(a * d) + fabs(b * c)));
}

bool svg_matrix_is_similar(svg_matrix m)
{
    const double x_sq = m.a * m.a + m.b * m.b, y_sq = m.c * m.c + m.d * m.d;
    const double across = m.a * m.c + m.b * m.d;
    const double size = x_sq + y_sq;
    return size > 0.0 && fabs(x_sq - y_sq) <= SIMILAR_RATIO * size && fabs(across) <= SIMILAR_RATIO * size;
}

double svg_matrix_scale(svg_matrix m)
{
    const double size = fmax(fmax(fabs(m.a), fabs(m.b)), fmax(fabs(m.c), fabs(m.d)));
    if (!(size > 0.0)) {
        return 0.0;
    }
    return size * sqrt(fabs((m.a / size) * (m.d / size) - (m.b / size) * (m.c / size)));
}

/* ---- transform attribute --------------------------------------------------- */

typedef enum transform_kind { T_MATRIX = 0, T_TRANSLATE, T_SCALE, T_ROTATE, T_SKEW_X, T_SKEW_Y } transform_kind;

/* counts: bit n set when n arguments are allowed */
static const struct {
    const char *name;
    unsigned counts;
} transforms[] = {
    [T_MATRIX] = {"matrix", 1u << 6},         [T_TRANSLATE] = {"translate", 1u << 1 | 1u << 2},
    [T_SCALE] = {"scale", 1u << 1 | 1u << 2}, [T_ROTATE] = {"rotate", 1u << 1 | 1u << 3},
    [T_SKEW_X] = {"skewX", 1u << 1},          [T_SKEW_Y] = {"skewY", 1u << 1},
};

static svg_matrix rotation(const double v[6], size_t count)
{
    const double angle = fmod(v[0], 360.0) * RADIANS_PER_DEGREE;
    const double cosine = cos(angle), sine = sin(angle);
    const svg_matrix turn = {cosine, sine, -sine, cosine, 0.0, 0.0};
    if (count == 1) {
        return turn;
    }
    return svg_matrix_shift(svg_matrix_product(svg_matrix_shift(svg_matrix_unit, v[1], v[2]), turn), -v[1], -v[2]);
}

static svg_matrix one_transform(transform_kind kind, const double v[6], size_t count)
{
    switch (kind) {
    case T_MATRIX:
        return (svg_matrix){v[0], v[1], v[2], v[3], v[4], v[5]};
    case T_TRANSLATE:
        return (svg_matrix){1.0, 0.0, 0.0, 1.0, v[0], count == 2 ? v[1] : 0.0};
    case T_SCALE:
        return (svg_matrix){v[0], 0.0, 0.0, count == 2 ? v[1] : v[0], 0.0, 0.0};
    case T_ROTATE:
        return rotation(v, count);
    case T_SKEW_X:
        return (svg_matrix){1.0, 0.0, tan(fmod(v[0], 360.0) * RADIANS_PER_DEGREE), 1.0, 0.0, 0.0};
    case T_SKEW_Y:
        return (svg_matrix){1.0, tan(fmod(v[0], 360.0) * RADIANS_PER_DEGREE), 0.0, 1.0, 0.0, 0.0};
    }
    return svg_matrix_unit;
}

static bool transform_name(svg_scan *scan, transform_kind *kind)
{
    for (size_t i = 0; i < sizeof transforms / sizeof *transforms; i++) {
        const size_t len = strlen(transforms[i].name);
        if (scan->len - scan->at >= len && memcmp(scan->text + scan->at, transforms[i].name, len) == 0) {
            *kind = (transform_kind)i;
            scan->at += len;
            return true;
        }
    }
    return false;
}

/* "(" numbers ")" with 1 to 6 numbers */
static svg_outcome arguments(svg_scan *scan, double values[6], size_t *count)
{
    svg_scan_blanks(scan);
    if (svg_scan_done(scan) || scan->text[scan->at] != '(') {
        return SVG_BAD;
    }
    scan->at++;
    svg_scan_blanks(scan);
    for (*count = 0; *count < 6;) {
        const svg_outcome outcome = svg_scan_number(scan, &values[*count]);
        if (outcome != SVG_READ) {
            return outcome;
        }
        ++*count;
        const bool comma = svg_scan_comma(scan);
        if (!svg_scan_done(scan) && scan->text[scan->at] == ')') {
            scan->at++;
            return comma ? SVG_BAD : SVG_READ;
        }
    }
    return SVG_BAD;
}

svg_outcome svg_transform_parse(const char *text, svg_matrix *matrix)
{
    svg_scan scan = svg_scan_text(text);
    svg_matrix product = svg_matrix_unit;
    svg_scan_blanks(&scan);
    bool comma = false;
    if (scan.len - scan.at >= 4 && memcmp(text + scan.at, "none", 4) == 0) {
        scan.at += 4; /* the CSS keyword: no transform */
        svg_scan_blanks(&scan);
    } else {
        while (!svg_scan_done(&scan)) {
            transform_kind kind;
            double values[6];
            size_t count;
            if (!transform_name(&scan, &kind)) {
                return SVG_BAD;
            }
            const svg_outcome outcome = arguments(&scan, values, &count);
            if (outcome != SVG_READ) {
                return outcome;
            }
            if ((transforms[kind].counts >> count & 1u) == 0) {
                return SVG_BAD;
            }
            product = svg_matrix_product(product, one_transform(kind, values, count));
            comma = svg_scan_comma(&scan);
        }
    }
    if (comma || !svg_scan_done(&scan)) {
        return SVG_BAD;
    }
    *matrix = product;
    return SVG_READ;
}

/* ---- viewBox ---------------------------------------------------------------- */

static bool place_of(const char *text, int *place)
{
    static const char *const words[] = {"Min", "Mid", "Max"};
    for (int i = 0; i < 3; i++) {
        if (memcmp(text, words[i], 3) == 0) {
            *place = i;
            return true;
        }
    }
    return false;
}

static size_t word_at(const svg_scan *scan)
{
    size_t len = 0;
    while (scan->at + len < scan->len && !svg_is_blank(scan->text[scan->at + len])) {
        len++;
    }
    return len;
}

bool svg_aspect_parse(const char *text, svg_aspect *aspect)
{
    svg_scan scan = svg_scan_text(text);
    svg_aspect found = {false, false, 1, 1};
    svg_scan_blanks(&scan);
    size_t len = word_at(&scan);
    const char *word = scan.text + scan.at;
    if (len == 5 && memcmp(word, "defer", 5) == 0) { /* SVG 1.1, for images only */
        scan.at += len;
        svg_scan_blanks(&scan);
        len = word_at(&scan);
        word = scan.text + scan.at;
    }
    if (len == 4 && memcmp(word, "none", 4) == 0) {
        found.none = true;
    } else if (!(len == 8 && word[0] == 'x' && word[4] == 'Y' && place_of(word + 1, &found.place_x) &&
                 place_of(word + 5, &found.place_y))) {
        return false;
    }
    scan.at += len;
    svg_scan_blanks(&scan);
    len = word_at(&scan);
    word = scan.text + scan.at;
    found.slice = len == 5 && memcmp(word, "slice", 5) == 0;
    if (len > 0 && !found.slice && !(len == 4 && memcmp(word, "meet", 4) == 0)) {
        return false;
    }
    scan.at += len;
    svg_scan_blanks(&scan);
    if (!svg_scan_done(&scan)) {
        return false;
    }
    *aspect = found;
    return true;
}

svg_matrix svg_viewbox_matrix(const double box[4], double width, double height, svg_aspect aspect)
{
    double scale_x = width / box[2], scale_y = height / box[3];
    if (!aspect.none) {
        scale_x = scale_y = aspect.slice ? fmax(scale_x, scale_y) : fmin(scale_x, scale_y);
    }
    const double shift_x = 0.5 * aspect.place_x * (width - box[2] * scale_x);
    const double shift_y = 0.5 * aspect.place_y * (height - box[3] * scale_y);
    return (svg_matrix){scale_x, 0.0, 0.0, scale_y, shift_x - box[0] * scale_x, shift_y - box[1] * scale_y};
}
