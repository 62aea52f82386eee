/*
 * test_places.c - where things stand: transforms, viewBox, nested drawings,
 * references, switches, units, and the tree that comes out.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_help.h"

/* ---- transform attribute ------------------------------------------------------- */

static void transforms_match_public_values(void **state)
{
    static const struct {
        const char *text;
        double m[6];
        const char *source;
    } rows[] = {
        {"rotate(30 10 20)",
         {0.866025, 0.5, -0.5, 0.866025, 11.339746, -2.320508},
         "svgtypes src/transform.rs parse_5"},
        {"translate(25 215) scale(2) skewX(45)", {2, 0, 2, 2, 25, 215}, "svgtypes src/transform.rs parse_8"},
        {"matrix(1.5 0 0 0.5 -40 20)", {1.5, 0, 0, 0.5, -40, 20}, "svgpathtools test/test_groups.py path00"},
        {"translate(10 20) , rotate(0)", {1, 0, 0, 1, 10, 20}, "SVG 1.1 7.6 grammar"},
        {"translate(10)translate(5)", {1, 0, 0, 1, 15, 0}, "SVG 1.1 7.6 grammar"},
        {"translate (10)", {1, 0, 0, 1, 10, 0}, "SVG 1.1 7.6 grammar"},
        {"translate( 10 , 20 )", {1, 0, 0, 1, 10, 20}, "SVG 1.1 7.6 grammar"},
        {"scale(2,3)", {2, 0, 0, 3, 0, 0}, "SVG 1.1 7.6"},
        {"skewY(45)", {1, 1, 0, 1, 0, 0}, "SVG 1.1 7.6"},
        {"rotate(90)", {0, 1, -1, 0, 0, 0}, "SVG 1.1 7.6"},
        {"", {1, 0, 0, 1, 0, 0}, "SVG 1.1 7.6 grammar"},
        {"none", {1, 0, 0, 1, 0, 0}, "CSS Transforms 1, 4"},
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        svg_matrix m;
        assert_int_equal(svg_transform_parse(rows[i].text, &m), SVG_READ);
        const double got[6] = {m.a, m.b, m.c, m.d, m.e, m.f};
        for (int k = 0; k < 6; k++) {
            if (!check_is_near(got[k], rows[i].m[k], 1e-6)) {
                fail_msg("%s: number %d is %.9g, expected %.9g (%s)", rows[i].text, k, got[k], rows[i].m[k],
                         rows[i].source);
            }
        }
    }
}

/* svgpathtools test/test_groups.py path00: (183,183)-(183,133) becomes (234.5,111.5)-(234.5,86.5) */
static void matrix_maps_points(void **state)
{
    (void)state;
    reading r =
        read_flat(SVG_OPEN "><path transform=\"matrix(1.5 0 0 0.5 -40 20)\" d=\"M183,183 l0,-50\"/></svg>", 0.1);
    check_near(r.drawing->points[0].x, 234.5, 1e-12);
    check_near(r.drawing->points[0].y, 111.5, 1e-12);
    check_near(r.drawing->points[1].x, 234.5, 1e-12);
    check_near(r.drawing->points[1].y, 86.5, 1e-12);
    reading_free(&r);
}

/* A malformed transform is as a whole not there, and said loudly (SVG 1.1 F.2; resvg structure/transform). */
static void malformed_transforms_are_said(void **state)
{
    static const char *const bad[] = {"translate(10",      "translate(10,20)x",  "rotate(30 10)", "scale(2,)",
                                      "translate(10,,20)", "matrix(1,0,0,1,5)",  "Translate(5)",  "translate(5px)",
                                      "rotate(90deg)",     "translate(10 20) ,", "translate()",   "translate 10",
                                      ", translate(1)",    "rotate(1 2 3 4)",    "scale(1 2 3)",  "skewX(1 2)"};
    (void)state;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        svg_matrix m;
        if (svg_transform_parse(bad[i], &m) != SVG_BAD) {
            fail_msg("%s was read", bad[i]);
        }
    }
    reading r = read_flat(SVG_OPEN ">\n<g transform=\"rotate(30 10)\"><path id=\"p\" d=\"M1 1h5\"/></g></svg>", 0.1);
    assert_true(has_note(&r, "t.svg:2: transform \"rotate(30 10)\""));
    check_box(box_below(r.drawing, 0), 1, 1, 5, 0, 1e-12);
    reading_free(&r);
}

/* ---- documents of public suites ---------------------------------------------------- */

typedef struct box_case {
    const char *id, *text, *node;
    double x, y, width, height;
    const char *source;
} box_case;

/* The root's own viewBox is not applied here, so those about a viewBox stand
 * in an outer drawing; boxes in pixels of the viewport, to 1e-6. */
static const box_case boxes[] = {
    {"V01",
     SVG_OPEN "><svg width=\"200\" height=\"100\" viewBox=\"0 0 200 200\" preserveAspectRatio=\"xMidYMid\">"
              "<rect id=\"rect1\" x=\"70\" y=\"20\" width=\"60\" height=\"60\"/></svg></svg>",
     "rect1", 85, 10, 30, 30, "resvg structure/svg/preserveAspectRatio=xMidYMid.svg"},
    {"V02",
     SVG_OPEN "><svg width=\"200\" height=\"100\" viewBox=\"0 0 200 200\" preserveAspectRatio=\"none\">"
              "<rect id=\"rect1\" x=\"70\" y=\"20\" width=\"60\" height=\"60\"/></svg></svg>",
     "rect1", 70, 10, 60, 30, "resvg structure/svg/preserveAspectRatio=none.svg"},
    {"V03",
     SVG_OPEN "><svg width=\"200\" height=\"100\" viewBox=\"0 0 200 200\" preserveAspectRatio=\"xMaxYMax slice\">"
              "<rect id=\"rect1\" x=\"70\" y=\"20\" width=\"60\" height=\"60\"/></svg></svg>",
     "rect1", 70, -80, 60, 60, "resvg structure/svg/preserveAspectRatio=xMaxYMax-slice.svg"},
    {"V07",
     SVG_OPEN "><svg width=\"200\" height=\"100\" viewBox=\"-100 -50 200 100\">"
              "<rect id=\"rect1\" x=\"70\" y=\"20\" width=\"60\" height=\"60\"/></svg></svg>",
     "rect1", 170, 70, 60, 60, "resvg structure/svg/viewBox-not-at-zero-pos.svg"},
    {"N01",
     SVG_OPEN "width=\"200\" height=\"200\" viewBox=\"0 0 200 200\">"
              "<svg x=\"75\" y=\"75\" width=\"50\" height=\"50\" viewBox=\"0 0 200 200\">"
              "<circle id=\"circle1\" cx=\"100\" cy=\"100\" r=\"120\"/></svg></svg>",
     "circle1", 70, 70, 60, 60, "resvg structure/svg/nested-svg-with-rect-and-viewBox-1.svg"},
    {"N04",
     SVG_OPEN "width=\"200\" height=\"200\" viewBox=\"0 0 200 200\">"
              "<svg x=\"50\" y=\"50\" width=\"100\" height=\"100\">"
              "<circle id=\"circle1\" cx=\"100%\" cy=\"100%\" r=\"80%\"/></svg></svg>",
     "circle1", 70, 70, 160, 160, "resvg structure/svg/nested-svg-with-rect-and-percent-values.svg"},
    {"U01",
     SVG_OPEN "width=\"200\" height=\"200\" viewBox=\"0 0 200 200\"><defs>"
              "<rect id=\"rect1\" width=\"160\" height=\"160\"/></defs>"
              "<use id=\"use1\" xlink:href=\"#rect1\" x=\"20\" y=\"20\"/></svg>",
     "use1", 20, 20, 160, 160, "resvg structure/use/position-inheritance.svg"},
    {"U02",
     SVG_OPEN "width=\"200\" height=\"200\" viewBox=\"0 0 200 200\"><defs>"
              "<rect id=\"rect1\" x=\"10\" y=\"0\" width=\"160\" height=\"160\" transform=\"translate(10 0)\"/></defs>"
              "<use id=\"use1\" xlink:href=\"#rect1\" transform=\"translate(0 20)\"/></svg>",
     "use1", 20, 20, 160, 160, "resvg structure/use/transform-inheritance.svg"},
    {"U03",
     SVG_OPEN "><g transform=\"translate(100 100)\"><rect id=\"rect1\" width=\"10\" height=\"10\"/></g>"
              "<use id=\"use1\" href=\"#rect1\" x=\"5\"/></svg>",
     "use1", 5, 0, 10, 10, "SVG 1.1 5.6: transforms of the referenced element's ancestors do not apply"},
    {"U05",
     SVG_OPEN "width=\"200\" height=\"200\" viewBox=\"0 0 200 200\">"
              "<symbol id=\"symbol1\" viewBox=\"-50 -50 150 150\">"
              "<rect x=\"20\" y=\"20\" width=\"160\" height=\"160\"/></symbol>"
              "<use id=\"use1\" xlink:href=\"#symbol1\" x=\"50\" y=\"50\" width=\"100\" height=\"100\"/></svg>",
     "use1", 290.0 / 3.0, 290.0 / 3.0, 320.0 / 3.0, 320.0 / 3.0,
     "resvg structure/symbol/with-viewBox-and-custom-use-rect.svg"},
    {"T01",
     SVG_OPEN "width=\"200\" height=\"200\" viewBox=\"0 0 200 200\"><g id=\"g1\" transform=\"rotate(45, 100, 50)\">"
              "<rect x=\"75\" y=\"25\" width=\"120\" height=\"120\"/></g></svg>",
     "g1", 15.147186, 14.644661, 169.705627, 169.705627, "resvg structure/transform/rotate-at-position.svg"},
    {"T02",
     SVG_OPEN "width=\"200\" height=\"200\" viewBox=\"0 0 200 200\"><g transform=\"scale(0.5, 0.5)\">"
              "<rect id=\"rect1\" x=\"120\" y=\"-80\" width=\"160\" height=\"160\" transform=\"skewY(45)\"/></g></svg>",
     "rect1", 60, 20, 80, 160, "resvg structure/transform/nested-transforms-1.svg"},
    {"E01",
     SVG_OPEN "width=\"200\" height=\"200\"><g id=\"container\"><path transform=\"translate(90,10)\"/>"
              "<path d=\"none\" transform=\"translate(80,20)\"/><path d=\"# invalid\" transform=\"translate(70,30)\"/>"
              "<path d=\"m 0 0 l 3 -4 z # ignored suffix v 123\" transform=\"translate(60,40)\"/>"
              "<path transform=\"translate(50,50)\"/>"
              "<path d=\"m 0 0 l -9 11 -123 z # ignore last l parameter\" transform=\"translate(40,60)\"/>"
              "<polygon transform=\"translate(20,80)\"/><polyline transform=\"translate(10,90)\"/></g></svg>",
     "container", 31, 36, 32, 35, "web-platform-tests svg/path/error-handling/bounding.svg"},
    {"G01",
     SVG_OPEN "><svg width=\"297mm\" height=\"210mm\" viewBox=\"0 0 29700 21000\" preserveAspectRatio=\"xMidYMid\">"
              "<path id=\"p\" d=\"M 2000,2000 L 22000,2000 22000,7000\"/></svg></svg>",
     "p", 75.590551, 75.590551, 755.905512, 188.976378, "CSS Values 4: 96 px per inch; 1 unit is 96/25.4/100 px"},
    {"viewBox without size attributes", /* SVG 1.1 7.7: width and height are 100 % of the outer viewport */
     SVG_OPEN
     "width=\"80\" height=\"40\"><svg viewBox=\"0 0 10 10\"><rect id=\"r\" width=\"10\" height=\"10\"/></svg></svg>",
     "r", 20, 0, 40, 40, "SVG 1.1 5.1.2, 7.7"},
    {"svg by use", /* the use's width and height replace those of a referenced svg, SVG 1.1 5.6 */
     SVG_OPEN
     "><defs><svg id=\"s\" width=\"10\" height=\"10\" viewBox=\"0 0 1 1\"><rect width=\"1\" height=\"1\"/></svg></defs>"
     "<use id=\"u\" href=\"#s\" x=\"3\" width=\"20\" height=\"20\"/></svg>",
     "u", 3, 0, 20, 20, "SVG 1.1 5.6"},
    {"deep transforms",
     SVG_OPEN "><g transform=\"translate(10)\"><a transform=\"scale(2)\"><g transform=\"rotate(90)\">"
              "<rect id=\"r\" x=\"1\" width=\"3\" height=\"5\"/></g></a></g></svg>",
     "r", 0, 2, 10, 6, "SVG 1.1 7.5: matrices multiply left to right"},
};

static void boxes_match_public_values(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof boxes / sizeof *boxes; i++) {
        const box_case *c = &boxes[i];
        reading r = read_flat(c->text, 1e-8);
        const hr_box box = box_below(r.drawing, node_of(r.drawing, c->node));
        if (!check_is_near(box.x0, c->x, 1e-6) || !check_is_near(box.y0, c->y, 1e-6) ||
            !check_is_near(box.x1 - box.x0, c->width, 1e-6) || !check_is_near(box.y1 - box.y0, c->height, 1e-6)) {
            fail_msg("%s: box %.9g %.9g %.9g %.9g (%s)", c->id, box.x0, box.y0, box.x1 - box.x0, box.y1 - box.y0,
                     c->source);
        }
        reading_free(&r);
    }
}

/* ---- lengths --------------------------------------------------------------------------- */

static void lengths_in_every_unit(void **state)
{
    static const struct {
        const char *text;
        double px;
    } rows[] = {{"1in", 96}, {"25.4mm", 96}, {"72pt", 96}, {"2.54cm", 96}, {"6pc", 96}, {"96px", 96}, {"101.6Q", 96},
                {"1em", 16}, {"96", 96},     {"1e2", 100}, {"1PX", 1},     {"5%", 15},  {".5in", 48}, {" 7 ", 7},
                {"2ex", 16}, {"10 mm", 0},   {"1 px", 0},  {"abc", 0},     {"0x5", 0},  {"", 0}};
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[300];
        (void)snprintf(text, sizeof text, SVG_OPEN "viewBox=\"0 0 300 9\"><line id=\"l\" x2=\"%s\" y2=\"1\"/></svg>",
                       rows[i].text);
        reading r = read_flat(text, 0.1);
        const hr_svg_path *path = &r.drawing->paths[0];
        check_near(r.drawing->points[path->first + 1].x, rows[i].px, 1e-9); /* CSS Values 4, 6.2: 96 px per inch */
        assert_int_equal(has_note(&r, "that is none"), rows[i].px < 0.5);
        reading_free(&r);
    }
}

static void percent_of_each_axis(void **state)
{
    (void)state;
    /* SVG 1.1 7.10: of the width, of the height, of the diagonal over the root of 2 */
    reading r = read_flat(SVG_OPEN "viewBox=\"0 0 300 400\"><line x1=\"10%\" y1=\"10%\" x2=\"100%\" y2=\"50%\"/>"
                                   "<circle id=\"c\" r=\"10%\"/></svg>",
                          1e-6);
    check_near(r.drawing->points[0].x, 30, 1e-12);
    check_near(r.drawing->points[0].y, 40, 1e-12);
    check_near(r.drawing->points[1].y, 200, 1e-12);
    const double radius = 50.0 / sqrt(2.0);
    check_box(box_below(r.drawing, node_of(r.drawing, "c")), -radius, -radius, 2 * radius, 2 * radius, 1e-9);
    reading_free(&r);
    r = read_flat(SVG_OPEN "><rect width=\"100%\" height=\"5\"/></svg>", 0.1);
    assert_true(has_note(&r, "whose size is not given"));
    assert_int_equal(r.drawing->path_count, 0);
    reading_free(&r);
}

static void page_and_view(void **state)
{
    (void)state;
    reading r = read_text(SVG_OPEN "width=\"297mm\" height=\"21cm\" viewBox=\"1 2, 300,400\"/>");
    assert_int_equal(r.status, HR_OK);
    check_near(r.drawing->width_mm, 297.0, 1e-9);
    check_near(r.drawing->height_mm, 210.0, 1e-9);
    check_near(r.drawing->page_w, 297.0 * 96.0 / 25.4, 1e-9);
    check_near(r.drawing->view_x, 1.0, 0.0);
    check_near(r.drawing->view_y, 2.0, 0.0);
    check_near(r.drawing->view_w, 300.0, 0.0);
    check_near(r.drawing->view_h, 400.0, 0.0);
    reading_free(&r);
    r = read_text(SVG_OPEN "width=\"800px\" height=\"90%\"/>");
    check_near(r.drawing->width_mm, 0.0, 0.0); /* pixels are of a screen, not of a page */
    check_near(r.drawing->page_w, 800.0, 1e-12);
    check_near(r.drawing->page_h, 0.0, 0.0);
    check_near(r.drawing->view_w, 0.0, 0.0);
    reading_free(&r);
    /* the root's viewBox is not applied to coordinates, nor its transform */
    r = read_flat(SVG_OPEN "width=\"10\" height=\"10\" viewBox=\"50 50 1000 1000\" transform=\"scale(9)\">"
                           "<path d=\"M60 70h5\"/></svg>",
                  0.1);
    check_box(box_below(r.drawing, 0), 60, 70, 5, 0, 1e-12);
    reading_free(&r);
}

static void odd_view_boxes_are_said(void **state)
{
    static const char *const odd[] = {"0 0 0 100", "0 0 -5 100", "0 0 5", "0 0 5 5 5", "a b c d", ""};
    (void)state;
    for (size_t i = 0; i < sizeof odd / sizeof *odd; i++) {
        char text[300];
        (void)snprintf(text, sizeof text,
                       SVG_OPEN "width=\"100\" height=\"100\" viewBox=\"%s\"><path d=\"M0 0L1 1\"/></svg>", odd[i]);
        reading r = read_flat(text, 0.1);
        assert_true(has_note(&r, "viewBox"));
        check_near(r.drawing->view_w, 0.0, 0.0);
        assert_int_equal(r.drawing->path_count, 1);
        reading_free(&r);
    }
    /* nested: a size of zero draws nothing (SVG 1.1 7.7), and that is said */
    reading r =
        read_flat(SVG_OPEN "><svg width=\"9\" height=\"9\" viewBox=\"0 0 0 4\"><path d=\"M0 0L1 1\"/></svg></svg>", 1);
    assert_int_equal(r.drawing->path_count, 0);
    assert_true(has_note(&r, "not drawn"));
    reading_free(&r);
}

/* ---- tree ------------------------------------------------------------------------------- */

static void names_and_lines(void **state)
{
    (void)state;
    reading r = read_flat("<?xml version=\"1.0\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\"\n"
                          " xmlns:inkscape=\"http://www.inkscape.org/namespaces/inkscape\">\n"
                          "<g inkscape:groupmode=\"layer\"\n  inkscape:label=\"walls: brick\"\n  id=\"layer1\">\n"
                          "<title>\n  Level\n  2 </title>\n"
                          "<path class=\"a b\" data-name=\"x y\"\n d=\"M0 0h1\"><desc><title>no</title></desc></path>\n"
                          "</g><image href=\"data:,\"/></svg>",
                          0.1);
    const hr_svg_drawing *d = r.drawing;
    assert_string_equal(d->file, "t.svg");
    assert_int_equal(d->node_count, 4);
    assert_int_equal(d->nodes[0].parent, SIZE_MAX);
    assert_int_equal(d->nodes[0].line, 2);
    const hr_svg_node *g = &d->nodes[1], *path = &d->nodes[2];
    assert_int_equal(g->kind, HR_SVG_GROUP);
    assert_int_equal(g->line, 4); /* where the tag starts, not where it ends */
    assert_string_equal(g->label, "walls: brick");
    assert_string_equal(g->title, "Level 2");
    assert_string_equal(g->id, "layer1");
    assert_true(g->is_layer);
    assert_null(g->classes);
    assert_int_equal(path->kind, HR_SVG_SHAPE);
    assert_string_equal(path->element, "path");
    assert_int_equal(path->parent, 1);
    assert_int_equal(path->line, 10);
    assert_string_equal(path->classes, "a b");
    assert_string_equal(path->data_name, "x y");
    assert_null(path->title);
    assert_null(path->label);
    assert_false(path->is_layer);
    assert_int_equal(d->nodes[3].kind, HR_SVG_IMAGE);
    assert_int_equal(d->image_count, 1);
    reading_free(&r);
}

/* Lines are right beyond 65535. */
static void lines_in_long_files(void **state)
{
    (void)state;
    const size_t lines = 70000;
    hr_text text = {0};
    hr_text_add(&text, SVG_OPEN ">");
    for (size_t i = 0; i < lines; i++) {
        hr_text_add(&text, "\n");
    }
    hr_text_add(&text, "<path id=\"p\" d=\"M0 0h1 x\"/></svg>");
    reading r = read_bytes(text.bytes, text.len);
    assert_int_equal(node_at(r.drawing, "p")->line, (int)lines + 1);
    assert_true(has_note(&r, "t.svg:70001:"));
    reading_free(&r);
    hr_text_free(&text);
}

static void what_is_never_drawn(void **state)
{
    (void)state;
    reading r = read_flat(
        SVG_OPEN "xmlns:x=\"urn:x\"><defs><path d=\"M0 0h1\"/></defs><symbol><path d=\"M0 0h1\"/></symbol>"
                 "<pattern><path d=\"M0 0h1\"/></pattern><marker><path d=\"M0 0h1\"/></marker>"
                 "<clipPath><path d=\"M0 0h1\"/></clipPath><mask><path d=\"M0 0h1\"/></mask>"
                 "<font><glyph d=\"M0 0h1\"/></font><metadata><path d=\"M0 0h1\"/></metadata>"
                 "<x:g><path d=\"M0 0h1\"/></x:g><foreignObject><path d=\"M0 0h1\"/></foreignObject>"
                 "<wall><path d=\"M0 0h1\"/></wall><script>&lt;path/></script><path id=\"only\" d=\"M0 0h2\"/></svg>",
        0.1);
    assert_int_equal(r.drawing->node_count, 2);
    assert_true(has_note(&r, "<wall>"));
    assert_true(has_note(&r, "<foreignObject>"));
    check_near(length_below(r.drawing, 0), 2.0, 1e-12);
    reading_free(&r);
}

static void prefixes_and_no_namespace(void **state)
{
    (void)state;
    reading r =
        read_flat("<svg:svg xmlns:svg=\"http://www.w3.org/2000/svg\"><svg:path d=\"M0 0h1\"/><path d=\"M0 0h9\"/>"
                  "</svg:svg>",
                  0.1);
    check_near(length_below(r.drawing, 0), 1.0, 1e-12);
    assert_int_equal(hr_notes_count(r.notes), 0);
    reading_free(&r);
    r = read_flat("<svg viewBox=\"0 0 10 10\"><path d=\"M0 0L3 4\"/></svg>", 0.1);
    check_near(length_below(r.drawing, 0), 5.0, 1e-12);
    assert_true(has_note(&r, "no namespace"));
    reading_free(&r);
    r = read_flat(
        SVG_OPEN "><g foo:bar=\"1\" inkscape:label=\"walls: brick\" id=\"g\"><path d=\"M0 0L3 4\"/></g></svg>", 0.1);
    check_near(length_below(r.drawing, 0), 5.0, 1e-12);
    assert_true(has_note(&r, "\"foo\" is not declared"));
    assert_string_equal(node_at(r.drawing, "g")->label, "walls: brick");
    reading_free(&r);
    r = read_text("<svg xmlns=\"urn:x\"/>");
    assert_int_equal(r.status, HR_ERR_INPUT);
    reading_free(&r);
}

/* SVG 1.1 5.8.2: the first child that can be shown, and only that. */
static void switch_takes_the_first_supported(void **state)
{
    (void)state;
    reading r = read_flat(SVG_OPEN "><switch><foreignObject><p/></foreignObject><path id=\"a\" d=\"M0 0h1\"/>"
                                   "<path id=\"b\" d=\"M0 0h2\"/></switch>"
                                   "<switch><g requiredExtensions=\"urn:none\"><path d=\"M0 0h4\"/></g>"
                                   "<title>t</title><g><path id=\"c\" d=\"M0 0h8\"/></g></switch>"
                                   "<switch><path systemLanguage=\"fi\" d=\"M0 0h16\"/><path d=\"M0 0h32\"/></switch>"
                                   "<switch><path systemLanguage=\"fi\" d=\"M0 0h64\"/></switch>"
                                   "<switch><foreignObject/></switch>"
                                   "<path requiredExtensions=\"urn:none\" d=\"M0 0h128\"/></svg>",
                          0.1);
    check_near(length_below(r.drawing, 0), 1.0 + 8.0 + 32.0 + 64.0, 1e-12);
    assert_true(has_note(&r, "<switch> holds nothing"));
    assert_true(has_note(&r, "requiredExtensions"));
    assert_false(has_note(&r, "foreignObject"));
    reading_free(&r);
}

static void references(void **state)
{
    (void)state;
    reading r = read_flat(SVG_OPEN "><defs><g id=\"pair\"><path id=\"p\" d=\"M0 0h1\"/><use href=\"#p\" y=\"1\"/></g>"
                                   "<linearGradient id=\"lg\"/><title id=\"tt\">x</title></defs>"
                                   "<use id=\"u\" xlink:href=\"#pair\" href=\"#pair\" stroke=\"red\"/>\n"
                                   "<use href=\"#missing\"/>\n<use href=\"other.svg#p\"/>\n<use/>\n<use href=\"#tt\"/>"
                                   "<clipPath><path id=\"q\" d=\"M0 0h4\"/></clipPath><use href=\" #q\"/></svg>",
                          0.1);
    check_near(length_below(r.drawing, 0), 2.0 + 4.0, 1e-12);
    const size_t use = node_of(r.drawing, "u");
    assert_int_equal(r.drawing->nodes[use + 1].parent, use);
    assert_string_equal(r.drawing->nodes[use + 1].id, "pair");
    assert_true(paint_is(r.drawing->nodes[use + 2].stroke, 255, 0, 0)); /* inherited from the use */
    assert_true(has_note(&r, "t.svg:2: <use> refers to \"#missing\""));
    assert_true(has_note(&r, "t.svg:3: <use> refers to \"other.svg#p\" outside"));
    assert_true(has_note(&r, "t.svg:4: <use> without a reference"));
    assert_true(has_note(&r, "t.svg:5: <use> refers to \"#tt\""));
    reading_free(&r);
}

static void references_to_themselves(void **state)
{
    static const char *const texts[] = {
        SVG_OPEN "><use id=\"u\" xlink:href=\"#u\"/><path d=\"M0 0h1\"/></svg>",
        SVG_OPEN "><g id=\"a\"><use href=\"#b\"/></g><g id=\"b\"><use href=\"#a\"/></g><path d=\"M0 0h1\"/></svg>",
        SVG_OPEN "id=\"r\"><use href=\"#r\"/><path d=\"M0 0h1\"/></svg>"};
    (void)state;
    for (size_t i = 0; i < 3; i++) {
        reading r = read_flat(texts[i], 0.1);
        assert_true(has_note(&r, "refers to itself"));
        check_near(length_below(r.drawing, 0), 1.0, 1e-12);
        reading_free(&r);
    }
}

/* What a transform collapses is dropped with a word; the rest stays. */
static void collapsed_shapes(void **state)
{
    (void)state;
    reading r = read_flat(SVG_OPEN "><g transform=\"scale(0)\"><path d=\"M0 0L10 10\"/></g>"
                                   "<g transform=\"matrix(1 1 1 1 0 0)\"><path d=\"M0 0L10 10\"/></g>"
                                   "<path transform=\"scale(1e-9)\" d=\"M0 0H1e9\"/></svg>",
                          0.1);
    check_near(length_below(r.drawing, 0), 1.0, 1e-9);
    assert_true(has_note(&r, "flattened to nothing"));
    reading_free(&r);
}

static void shown_and_hidden(void **state)
{
    (void)state;
    reading r = read_flat(SVG_OPEN "><g id=\"off\" style=\"display:none\"><g id=\"in\" display=\"inline\">"
                                   "<path id=\"a\" d=\"M0 0h1\"/></g></g>"
                                   "<g visibility=\"hidden\"><path id=\"b\" d=\"M0 0h1\"/>"
                                   "<path id=\"c\" visibility=\"visible\" d=\"M0 0h1\"/></g></svg>",
                          0.1);
    const hr_svg_drawing *d = r.drawing;
    assert_true(node_at(d, "off")->display_none);
    assert_false(node_at(d, "a")->display_none);
    assert_false(hr_svg_shown(d, node_of(d, "a"), SIZE_MAX));
    assert_true(hr_svg_shown(d, node_of(d, "a"), node_of(d, "off"))); /* a hidden layer that was asked for */
    assert_false(hr_svg_shown(d, node_of(d, "b"), SIZE_MAX));
    assert_true(node_at(d, "b")->invisible);
    assert_true(hr_svg_shown(d, node_of(d, "c"), SIZE_MAX));
    assert_false(hr_svg_shown(d, d->node_count, SIZE_MAX));
    assert_int_equal(node_at(d, "a")->path_count, 1); /* read all the same */
    reading_free(&r);
}

/* A mirror image and a turn keep angles, a stretch does not. */
static void similarity(void **state)
{
    (void)state;
    reading r = read_flat(SVG_OPEN "><path id=\"m\" transform=\"scale(1 -1) rotate(33) scale(-2.5)\" d=\"M0 0h1\"/>"
                                   "<path id=\"s\" transform=\"scale(1 1.01)\" d=\"M0 0h1\"/>"
                                   "<path id=\"k\" transform=\"skewX(1)\" d=\"M0 0h1\"/></svg>",
                          0.1);
    assert_true(node_at(r.drawing, "m")->similar);
    check_near(node_at(r.drawing, "m")->unit_scale, 2.5, 1e-12);
    assert_false(node_at(r.drawing, "s")->similar);
    assert_false(node_at(r.drawing, "k")->similar);
    reading_free(&r);
}

test_group place_tests(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(transforms_match_public_values),
        cmocka_unit_test(matrix_maps_points),
        cmocka_unit_test(malformed_transforms_are_said),
        cmocka_unit_test(boxes_match_public_values),
        cmocka_unit_test(lengths_in_every_unit),
        cmocka_unit_test(percent_of_each_axis),
        cmocka_unit_test(page_and_view),
        cmocka_unit_test(odd_view_boxes_are_said),
        cmocka_unit_test(names_and_lines),
        cmocka_unit_test(lines_in_long_files),
        cmocka_unit_test(what_is_never_drawn),
        cmocka_unit_test(prefixes_and_no_namespace),
        cmocka_unit_test(switch_takes_the_first_supported),
        cmocka_unit_test(references),
        cmocka_unit_test(references_to_themselves),
        cmocka_unit_test(collapsed_shapes),
        cmocka_unit_test(shown_and_hidden),
        cmocka_unit_test(similarity),
    };
    return (test_group){tests, sizeof tests / sizeof *tests};
}
