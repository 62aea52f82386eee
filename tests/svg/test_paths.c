/*
 * test_paths.c - path data, points, shapes, curves against values of the
 * standards and of public test suites. Each row names its source.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_help.h"

#define PI 3.141592653589793

typedef struct path_case {
    const char *id, *data;
    double length, x, y, width, height; /* width < 0: nothing drawn */
    bool broken;
    const char *source;
} path_case;

/* Lengths and boxes to 1e-6: half a digit of the printed value and the flattening. */
static const path_case cases[] = {
    {"P01", "M0,20 L400,20 L640,20", 640.0, 0, 20, 640, 0, false,
     "web-platform-tests, svg/types/scripted/SVGGeometryElement.getTotalLength-02.svg: 640 +- 1e-5"},
    {"P02", "M0,0L100,0L100,100", 200.0, 0, 0, 100, 100, false,
     "web-platform-tests, svg/types/scripted/SVGGeometryElement.getTotalLength-03.svg: 200 +- 1e-5"},
    {"P03", "M300,200 h-150 a150,150 0 1,0 150,-150 z", 225.0 * PI + 300.0, 150, 50, 300, 300, false,
     "SVG 1.1 8.3.8 arcs01; svgpathtools test_path.py test_svg_specs: 225 pi + 300"},
    {"P04", "M275,175 v-150 a150,150 0 0,0 -150,150 z", 75.0 * PI + 300.0, 125, 25, 150, 150, false,
     "SVG 1.1 8.3.8 arcs01; svgpathtools test_path.py test_svg_specs: 75 pi + 300"},
    {"P05", "M0,100 Q50,-50 100,100 T200,100", 376.842648, 0, 25, 200, 150, false,
     "svg-path-properties test/length.test.ts: 376.84 +- 0.1, refined by quadrature"},
    {"P06", "M100,200 C100,100 250,100 250,200 S400,300 400,200", 475.747299, 100, 125, 300, 150, false,
     "SVG 1.1 8.3.6 cubic01; svg-path-properties test/length.test.ts: 475.746 +- 0.1, refined by quadrature"},
    {"P07", "M0 0 A100 50 0 0 0 100 50", 121.105603, 0, 0, 100, 50, false,
     "svgpathtools test_path.py ArcTest arc1: centre (100,0), a quarter; length: quarter perimeter of the ellipse"},
    {"P08", "M0,0 A10,10 0 0 1 100,0", 50.0 * PI, 0, -50, 100, 50, false,
     "SVG 1.1 F.6.6, out-of-range radii: lambda 25, radius 50, half a circle"},
    {"P09", "M 10 20 L 30 40 Z L 50 60", 113.137085, 10, 20, 40, 40, false,
     "svgtypes src/path.rs implicit_move_to_after_close_path: M10,20 L30,40 Z M10,20 L50,60"},
    {"P10", "M 10 20 L 30 40 L 50", 28.284271, 10, 20, 20, 20, true,
     "svgtypes src/path.rs stop_on_err_1: M10,20 L30,40, then an error"},
    {"P11", "M10-20l30.1.5.1-20z", 86.052838, 10, -39.5, 30.2, 20, false,
     "svgtypes src/path.rs documentation: M10,-20 l30.1,.5 l.1,-20 z"},
    {"P12", "M 100 100 h -25 a 25 25 0 1125 25 z", 50.0 + 37.5 * PI, 75, 75, 50, 50, false,
     "W3C SVG test paths-data-20-f; resvg shapes/path/no-commawsp-between-and-after-arc-flags"},
    {"P13", "M 100 100 h 25 a25 25 0 6 0 -25 25 z", 25.0, 100, 100, 25, 0, true,
     "W3C SVG test paths-data-20-f: flag 6 is an error; resvg shapes/path/out-of-range-large-arc-flag-value"},
    {"E02", "m 50.,100. 100.,0.", 100.0, 50, 100, 100, 0, false,
     "SVG 1.1 8.3.9 fractional-constant allows \"50.\"; svgpathtools test/groups.svg"},
    {"E03", "M 10,10 L 20,20,30", 14.142136, 10, 10, 10, 10, true,
     "SVG 2 implementation notes, path element: the incomplete pair draws nothing"},
    {"E08", "M0 0A50 50 0 0 1 0 0 L 3 4", 5.0, 0, 0, 3, 4, false,
     "SVG 1.1 F.6.2: equal endpoints, the arc is left out"},
    /* SVG 1.1 8.3 and 8.3.9 */
    {"zero radius", "M0 0A0 10 0 0 1 100 0", 100.0, 0, 0, 100, 0, false, "SVG 1.1 F.6.2: a straight line"},
    {"negative radii", "M0 0A-50 -50 0 0 1 100 0", 50.0 * PI, 0, -50, 100, 50, false,
     "SVG 1.1 F.6.6.1: absolute values"},
    {"angle mod 360", "M0 0A100 50 720 0 0 100 50", 121.105603, 0, 0, 100, 50, false, "SVG 1.1 F.6.2"},
    {"trailing comma", "M0 0 L10 10,", 14.142136, 0, 0, 10, 10, true, "SVG 1.1 8.3.9; F.2"},
    {"comma after M", "M,0 0L10 10", 0.0, 0, 0, -1, 0, true, "SVG 1.1 8.3.9"},
    {"pairs after M are lines", "M0 0 10,10,20,20", 28.284271, 0, 0, 20, 20, false, "SVG 1.1 8.3.2"},
    {"pairs after m are relative", "m0,0,5,5", 7.071068, 0, 0, 5, 5, false, "SVG 1.1 8.3.2"},
    {"signs separate", "M0 0L+5-5", 7.071068, 0, -5, 5, 5, false, "SVG 1.1 8.3.9"},
    {"points separate", "M0 0L5.5.5", 5.522681, 0, 0, 5.5, 0.5, false, "SVG 1.1 8.3.9"},
    {"exponent", "M0 0L.5e1,0", 5.0, 0, 0, 5, 0, false, "SVG 1.1 8.3.9"},
    {"no digits in exponent", "M0 0L1e 5", 0.0, 0, 0, -1, 0, true, "SVG 1.1 8.3.9"},
    {"hexadecimal", "M0 0L0x10 5", 0.0, 0, 0, -1, 0, true, "SVG 1.1 8.3.9"},
    {"two commas", "M0 0L1,,2", 0.0, 0, 0, -1, 0, true, "SVG 1.1 8.3.9"},
    {"move after close", "M1 1Z m1 1 l1 0", 1.0, 1, 1, 2, 1, false, "SVG 1.1 8.3.3: the new subpath starts at 2,2"},
    {"more than one h", "M0 0 H 10 20 V5", 25.0, 0, 0, 20, 5, false, "SVG 1.1 8.3.4"},
    {"unknown letter", "M0 0 B 5 5 L10 0", 0.0, 0, 0, -1, 0, true, "SVG 1.1 8.3.9; SVG 2 dropped B"},
    {"no-break space", "M0 0\xc2\xa0L10 0", 0.0, 0, 0, -1, 0, true, "SVG 1.1 8.3.9: not white space"},
    {"abutting relative", "M0 0l1-1-1-1", 2.828427, 0, -2, 1, 2, false, "SVG 1.1 8.3.9"},
    {"command without numbers", "M0 0 L10,0 L", 10.0, 0, 0, 10, 0, true, "SVG 1.1 F.2"},
    {"none", "none", 0.0, 0, 0, -1, 0, false, "SVG 2 9.3.2"},
    {"empty", "  ", 0.0, 0, 0, -1, 0, false, "SVG 1.1 8.3.1: disables rendering"},
    {"line after close", "M 10 10 z l 5 5", 7.071068, 10, 10, 5, 5, false, "SVG 1.1 8.3.3"},
    {"half a curve", " M0 0 c1,2 3,4 5,6 7,8 9,10", 7.84210425, 0, 0, 5, 6, true,
     "SVG 1.1 F.2; length by Simpson quadrature"},
    {"half an arc", "M0 0 A 5 5 0 0 0 10 0 A 5 5 0 0 0", 5.0 * PI, 0, 0, 10, 5, true, "SVG 1.1 F.2"},
    {"no move first", "L 10 10", 0.0, 0, 0, -1, 0, true, "SVG 1.1 8.3.2"},
    {"number after close", "M0 0L10 0Z 5 5", 20.0, 0, 0, 10, 0, true, "SVG 1.1 8.3.9"},
};

static char *document_of(const char *data)
{
    static char text[2000];
    (void)snprintf(text, sizeof text, SVG_OPEN "viewBox=\"0 0 100 100\">\n<path id=\"p\" d=\"%s\"/></svg>", data);
    return text;
}

static void paths_match_public_values(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const path_case *c = &cases[i];
        reading r = read_flat(document_of(c->data), 1e-7);
        const size_t node = node_of(r.drawing, "p");
        if (r.drawing->nodes[node].broken != c->broken || has_note(&r, "t.svg:2: path data") != c->broken) {
            fail_msg("%s: broken is %d (%s)", c->id, r.drawing->nodes[node].broken, c->source);
        }
        if (!check_is_near(length_below(r.drawing, node), c->length, 1e-6)) {
            fail_msg("%s: length %.9g, expected %.9g (%s)", c->id, length_below(r.drawing, node), c->length, c->source);
        }
        if (c->width < 0.0) {
            assert_int_equal(r.drawing->nodes[node].path_count, 0);
        } else {
            check_box(box_below(r.drawing, node), c->x, c->y, c->width, c->height, 1e-6);
        }
        reading_free(&r);
    }
}

/* The first control point is the current point: the curve then equals this C. */
static void smooth_without_curve_before(void **state)
{
    (void)state;
    reading r = read_flat(SVG_OPEN "viewBox=\"0 0 9 9\"><path id=\"s\" d=\"M0 0 L10 0 S 20 10 30 0\"/>"
                                   "<path id=\"c\" d=\"M0 0 L10 0 C 10 0 20 10 30 0\"/>"
                                   "<path id=\"t\" d=\"M0 0 L10 0 T 30 0\"/></svg>",
                          1e-6);
    check_near(length_below(r.drawing, node_of(r.drawing, "s")), length_below(r.drawing, node_of(r.drawing, "c")),
               1e-12);
    check_near(length_below(r.drawing, node_of(r.drawing, "t")), 30.0, 1e-9);
    reading_free(&r);
}

static void broken_data_says_what_was_kept(void **state)
{
    (void)state;
    reading r = read_flat(document_of("M0 0 H10 V10 L 5,x 7 L 0 0"), 0.1);
    assert_true(has_note(&r, "\"x 7 L 0 0\""));
    assert_true(has_note(&r, "2 segments"));
    check_near(length_below(r.drawing, 0), 20.0, 1e-12);
    reading_free(&r);
}

/* points: SVG 1.1 9.7.1 and F.2 */
static void points_keep_what_is_whole(void **state)
{
    static const struct {
        const char *points;
        double length;
        bool broken;
    } lists[] = {{"0,0 10,0 10", 10.0, true},
                 {"0,0 10,0,", 10.0, true},
                 {"0 0 10 0 x 5 5", 10.0, true},
                 {"0,0,10,0,10,10", 20.0, false},
                 {"0,0 10,0;10,10", 10.0, true},
                 {"0-0 10-0.5.5-.5", 10.012492197250394 + 9.5, false},
                 {"", 0.0, false}};
    (void)state;
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++) {
        char text[400];
        (void)snprintf(text, sizeof text, SVG_OPEN "><polyline id=\"p\" points=\"%s\"/></svg>", lists[i].points);
        reading r = read_flat(text, 0.1);
        assert_int_equal(node_at(r.drawing, "p")->broken, lists[i].broken);
        check_near(length_below(r.drawing, 0), lists[i].length, 1e-12);
        reading_free(&r);
    }
}

static void shapes_have_their_outlines(void **state)
{
    (void)state;
    reading r = read_flat(SVG_OPEN "width=\"200\" height=\"100\">"
                                   "<line id=\"l\" x1=\"1\" y1=\"2\" x2=\"4\" y2=\"6\"/>"
                                   "<rect id=\"r\" x=\"1\" y=\"2\" width=\"30\" height=\"40\"/>"
                                   "<rect id=\"rr\" width=\"30\" height=\"40\" rx=\"5\"/>"
                                   "<rect id=\"rm\" width=\"30\" height=\"40\" rx=\"50\" ry=\"4\"/>"
                                   "<circle id=\"c\" cx=\"5\" cy=\"6\" r=\"50\"/>"
                                   "<ellipse id=\"e\" rx=\"100\" ry=\"50\"/>"
                                   "<ellipse id=\"ea\" rx=\"7\"/>"
                                   "<polygon id=\"g\" points=\"0,0 3,0 3,4\"/>"
                                   "<polyline id=\"o\" points=\"0,0 3,0 3,4\"/>"
                                   "<rect id=\"z\" width=\"0\" height=\"40\"/><circle id=\"z2\" r=\"0\"/>"
                                   "<rect id=\"n\" width=\"-5\" height=\"40\"/></svg>",
                          1e-7);
    const hr_svg_drawing *d = r.drawing;
    check_near(length_below(d, node_of(d, "l")), 5.0, 1e-12);
    check_near(length_below(d, node_of(d, "r")), 140.0, 1e-12);
    check_box(box_below(d, node_of(d, "r")), 1, 2, 30, 40, 1e-12);
    check_near(length_below(d, node_of(d, "rr")), 140.0 - 40.0 + 10.0 * PI, 1e-6); /* ry = rx, SVG 1.1 9.2 */
    /* rx clamped to 15, ry 4: an ellipse of 15 by 4 and the two straight sides */
    check_box(box_below(d, node_of(d, "rm")), 0, 0, 30, 40, 1e-7);
    check_near(length_below(d, node_of(d, "c")), 2.0 * PI * 50.0, 1e-6);
    check_box(box_below(d, node_of(d, "c")), -45, -44, 100, 100, 1e-9);
    check_near(length_below(d, node_of(d, "e")), 4.0 * 121.105603, 4e-6);
    check_near(length_below(d, node_of(d, "ea")), 14.0 * PI, 1e-6); /* auto: the other, SVG 2 7.4 */
    check_near(length_below(d, node_of(d, "g")), 12.0, 1e-12);
    check_near(length_below(d, node_of(d, "o")), 7.0, 1e-12);
    assert_true(d->paths[node_at(d, "g")->first_path].closed);
    assert_false(d->paths[node_at(d, "o")->first_path].closed);
    assert_int_equal(node_at(d, "z")->path_count, 0);
    assert_int_equal(node_at(d, "z2")->path_count, 0);
    assert_int_equal(node_at(d, "n")->path_count, 0);
    reading_free(&r);
}

/* The last point of a closed outline is not repeated; equal points come once. */
static void closed_outlines_do_not_repeat(void **state)
{
    (void)state;
    reading r = read_flat(SVG_OPEN "><path id=\"a\" d=\"M0 0H10V10H0V0Z\"/><path id=\"b\" d=\"M0 0H10H10V10L0 0\"/>"
                                   "<path id=\"dot\" d=\"M5 5Z\"/><path id=\"lone\" d=\"M5 5\"/>"
                                   "<path id=\"two\" d=\"M0 0H1ZM5 5V6z\"/></svg>",
                          0.1);
    const hr_svg_drawing *d = r.drawing;
    assert_int_equal(d->paths[node_at(d, "a")->first_path].count, 4);
    assert_true(d->paths[node_at(d, "a")->first_path].closed);
    assert_int_equal(d->paths[node_at(d, "b")->first_path].count, 4);
    assert_false(d->paths[node_at(d, "b")->first_path].closed);
    assert_int_equal(d->paths[node_at(d, "dot")->first_path].count, 1);
    assert_int_equal(node_at(d, "lone")->path_count, 0);
    assert_int_equal(node_at(d, "two")->path_count, 2);
    reading_free(&r);
}

/* Every flat point of a curve lies on it, and every chord stays within the tolerance. */
static void flattening_keeps_its_tolerance(void **state)
{
    static const double tolerances[] = {10.0, 1.0, 0.1, 1e-3, 1e-5};
    (void)state;
    reading r = read_text(SVG_OPEN "><circle id=\"c\" cx=\"3\" cy=\"4\" r=\"50\"/>"
                                   "<circle id=\"m\" r=\"50\" transform=\"matrix(2 1 0 1 5 5)\"/></svg>");
    assert_int_equal(r.status, HR_OK);
    for (size_t t = 0; t < sizeof tolerances / sizeof *tolerances; t++) {
        assert_int_equal(hr_svg_flatten(r.drawing, tolerances[t], &r.error), HR_OK);
        const hr_svg_path *path = &r.drawing->paths[node_at(r.drawing, "c")->first_path];
        const hr_point *p = r.drawing->points + path->first;
        assert_true(path->count >= 16);
        for (size_t i = 0; i < path->count; i++) {
            const hr_point a = p[i], b = p[(i + 1) % path->count];
            check_near(hypot(a.x - 3.0, a.y - 4.0), 50.0, 1e-10);
            const double sagitta = 50.0 - hypot(0.5 * (a.x + b.x) - 3.0, 0.5 * (a.y + b.y) - 4.0);
            assert_true(sagitta <= tolerances[t] && sagitta >= -1e-10);
        }
        const hr_svg_path *mapped = &r.drawing->paths[node_at(r.drawing, "m")->first_path];
        const hr_point *q = r.drawing->points + mapped->first;
        for (size_t i = 0; i < mapped->count; i++) { /* back through the matrix: on the circle */
            const double x = (q[i].x - 5.0) / 2.0, y = q[i].y - 5.0 - x;
            check_near(hypot(x, y), 50.0, 1e-9);
        }
    }
    assert_int_equal(hr_svg_flatten(r.drawing, 0.0, &r.error), HR_ERR_ARGUMENT);
    assert_int_equal(hr_svg_flatten(r.drawing, (double)NAN, &r.error), HR_ERR_ARGUMENT);
    assert_int_equal(hr_svg_flatten(NULL, 1.0, &r.error), HR_ERR_ARGUMENT);
    reading_free(&r);
}

/* Arcs are kept exact: drawn through a matrix they equal the arc drawn first and mapped then. */
static void arcs_are_exact_under_affine_maps(void **state)
{
    (void)state;
    /* quarter of the unit circle of radius 10, mapped by (x, y) -> (3x + y, 2y): points satisfy
     * ((x - y/2)/3)^2 + (y/2)^2 = 100 */
    reading r =
        read_flat(SVG_OPEN "><path transform=\"matrix(3 0 1 2 0 0)\" d=\"M10 0A10 10 0 0 1 0 10\"/></svg>", 1e-6);
    assert_true(r.drawing->point_count > 100);
    for (size_t i = 0; i < r.drawing->point_count; i++) {
        const double y = r.drawing->points[i].y / 2.0, x = (r.drawing->points[i].x - y) / 3.0;
        check_near(hypot(x, y), 10.0, 1e-10);
    }
    assert_false(r.drawing->nodes[1].similar);
    check_near(r.drawing->nodes[1].unit_scale, sqrt(6.0), 1e-12);
    reading_free(&r);
}

/* Radii far from the chord stay finite; a huge one is nearly a line, a tiny one half a circle. */
static void extreme_radii(void **state)
{
    static const struct {
        const char *data;
        double length;
        double tolerance;
    } arcs[] = {{"M0 0A1e300 1e300 0 0 0 3 4", 5.0, 1e-9},
                {"M0 0A1e9 1e9 0 0 0 3 4", 5.0, 1e-9},
                {"M0 0A1e-300 1e-300 0 1 1 3 4", 2.5 * PI, 1e-6},
                {"M0 0A1e-300 1e-300 0 0 0 3 4", 2.5 * PI, 1e-6},
                {"M0 0A1e300 1e-300 0 0 0 3 4", 5.0, 0.001},
                /* chord 5, radius 500: turn 2 asin(0.005) is 0.01 and a little, just above the switch
                 * to one cubic; radius 501 just below. Length: radius times turn. */
                {"M0 0A500 500 0 0 1 3 4", 1000.0 * 0.005000020833567712, 1e-9},
                {"M0 0A501 501 0 0 1 3 4", 1002.0 * 0.00499004066914356, 1e-9}};
    (void)state;
    for (size_t i = 0; i < sizeof arcs / sizeof *arcs; i++) {
        reading r = read_flat(document_of(arcs[i].data), 1e-7);
        if (!check_is_near(length_below(r.drawing, 0), arcs[i].length, arcs[i].tolerance)) {
            fail_msg("%s: %.12g, expected %.12g", arcs[i].data, length_below(r.drawing, 0), arcs[i].length);
        }
        reading_free(&r);
    }
}

/* Both flags give the four arcs through two points of SVG 1.1 8.3.8, figure arcs02. */
static void arc_flags_choose_one_of_four(void **state)
{
    static const struct {
        const char *flags;
        double share, top; /* of the circle; smallest y */
    } arcs[] = {{"0,0", 0.25, 0.0}, {"0,1", 0.25, -1.0}, {"1,0", 0.75, 0.0}, {"1,1", 0.75, -1.0}};
    (void)state;
    for (size_t i = 0; i < 4; i++) {
        char data[100];
        /* chord of a quarter circle of radius 10, horizontal */
        (void)snprintf(data, sizeof data, "M0,0 a10,10 0 %s 14.142135623730951,0", arcs[i].flags);
        reading r = read_flat(document_of(data), 1e-7);
        check_near(length_below(r.drawing, 0), arcs[i].share * 20.0 * PI, 1e-6);
        const hr_box box = box_below(r.drawing, 0);
        assert_true(arcs[i].top < 0.0 ? box.y0 < -2.0 && box.y1 < 1e-9 : box.y0 > -1e-9 && box.y1 > 2.0);
        reading_free(&r);
    }
}

test_group path_tests(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(paths_match_public_values),
        cmocka_unit_test(smooth_without_curve_before),
        cmocka_unit_test(broken_data_says_what_was_kept),
        cmocka_unit_test(points_keep_what_is_whole),
        cmocka_unit_test(shapes_have_their_outlines),
        cmocka_unit_test(closed_outlines_do_not_repeat),
        cmocka_unit_test(flattening_keeps_its_tolerance),
        cmocka_unit_test(arcs_are_exact_under_affine_maps),
        cmocka_unit_test(extreme_radii),
        cmocka_unit_test(arc_flags_choose_one_of_four),
    };
    return (test_group){tests, sizeof tests / sizeof *tests};
}
