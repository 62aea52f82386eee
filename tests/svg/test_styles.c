/*
 * test_styles.c - colours, style sheets, the cascade.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_help.h"

static void colours(void **state)
{
    static const struct {
        const char *text;
        int set, r, g, b; /* set -1: not a colour */
    } rows[] = {
        {"#00aa00", 1, 0, 170, 0},
        {"#0a0", 1, 0, 170, 0},
        {"#0A0f", 1, 0, 170, 0},
        {"#00AA0080", 1, 0, 170, 0},
        {"#00aa0000", 0, 0, 0, 0},
        {"rgb(0,170,0)", 1, 0, 170, 0},
        {"rgb( 0 170 0 )", 1, 0, 170, 0},
        {"RGB(0,170,0)", 1, 0, 170, 0},
        {"rgb(0%,66.665649%,0%)", 1, 0, 170, 0}, /* as poppler's pdftocairo writes #00aa00 */
        {"rgba(0,170,0,0.5)", 1, 0, 170, 0},
        {"rgba(0,170,0,0)", 0, 0, 0, 0},
        {"rgb(0 170 0 / 50%)", 1, 0, 170, 0},
        {"rgb(300,-5,0)", 1, 255, 0, 0},       /* CSS Color 4, 5.1: clamped */
        {"hsl(120, 100%, 25%)", 1, 0, 128, 0}, /* CSS Color 4, 7: green */
        {"hsl(0,100%,50%)", 1, 255, 0, 0},
        {"hsl(240deg 100% 50%)", 1, 0, 0, 255},
        {"red", 1, 255, 0, 0},
        {" DarkSlateGrey ", 1, 47, 79, 79},
        {"rebeccapurple", 1, 102, 51, 153},
        {"yellowgreen", 1, 154, 205, 50},
        {"aliceblue", 1, 240, 248, 255},
        {"none", 0, 0, 0, 0},
        {"transparent", 0, 0, 0, 0},
        {"light-dark(rgb(0, 170, 0), rgb(255, 255, 255))", 1, 0, 170, 0}, /* as draw.io writes */
        {"light-dark(#0a0, var(--x, #fff))", 1, 0, 170, 0},
        {"", -1, 0, 0, 0},
        {"#12", -1, 0, 0, 0},
        {"#ggg", -1, 0, 0, 0},
        {"rgb(1,2)", -1, 0, 0, 0},
        {"rgb(1,2,3", -1, 0, 0, 0},
        {"rgb(1,2,3)x", -1, 0, 0, 0},
        {"rgb", -1, 0, 0, 0},
        {"hsl", -1, 0, 0, 0},
        {"reddish", -1, 0, 0, 0},
        {"light-dark(", -1, 0, 0, 0},
        {"url(#a)", -1, 0, 0, 0},
        {"currentColor", -1, 0, 0, 0},
    };
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        hr_svg_paint paint = {true, 1, 2, 3};
        const bool is_colour = hr_svg_colour(rows[i].text, &paint);
        if (is_colour != (rows[i].set >= 0) || (is_colour && paint.set != (rows[i].set == 1)) ||
            (rows[i].set == 1 && !paint_is(paint, rows[i].r, rows[i].g, rows[i].b))) {
            fail_msg("%s: %d %d %d %d %d", rows[i].text, is_colour, paint.set, paint.r, paint.g, paint.b);
        }
    }
}

/* Checks the stroke of #p: NULL means none. */
static void check_stroke(const char *inside, const char *colour)
{
    char text[2000];
    (void)snprintf(text, sizeof text, SVG_OPEN ">%s</svg>", inside);
    reading r = read_text(text);
    assert_int_equal(r.status, HR_OK);
    hr_svg_paint wanted = {false, 0, 0, 0};
    if (colour != NULL) {
        assert_true(hr_svg_colour(colour, &wanted));
    }
    const hr_svg_paint got = node_at(r.drawing, "p")->stroke;
    if (got.set != wanted.set || (got.set && !paint_is(got, wanted.r, wanted.g, wanted.b))) {
        fail_msg("stroke %d %d %d %d, expected %s: %s", got.set, got.r, got.g, got.b, colour ? colour : "none", inside);
    }
    reading_free(&r);
}

#define P(attributes) "<g id=\"g\" class=\"outer\"><path id=\"p\" class=\"a b\" " attributes " d=\"M0 0h1\"/></g>"

/* SVG 1.1 6.4, CSS 2.1 6.4: attribute < rules by specificity, then order < style < important */
static void cascade(void **state)
{
    (void)state;
    check_stroke(P(""), NULL);
    check_stroke(P("stroke=\"red\""), "red");
    check_stroke("<style>*{stroke:blue}</style>" P("stroke=\"red\""), "blue");
    check_stroke("<style>path{stroke:blue}</style>" P("style=\"stroke:lime\""), "lime");
    check_stroke("<style>path{stroke:blue}.a{stroke:lime}</style>" P(""), "lime");
    check_stroke("<style>.a{stroke:lime}path{stroke:blue}</style>" P(""), "lime");
    check_stroke("<style>#p{stroke:red}.a.b{stroke:lime}</style>" P(""), "red");
    check_stroke("<style>.a{stroke:lime}.b{stroke:blue}</style>" P(""), "blue");
    check_stroke("<style>.b{stroke:lime}.a{stroke:blue}</style>" P(""), "blue");
    check_stroke("<style>path.a{stroke:lime}.b{stroke:blue}</style>" P(""), "lime");
    check_stroke("<style>.c, .d , path{stroke:lime}</style>" P(""), "lime");
    check_stroke("<style>.a{stroke:lime!important}#p{stroke:red}</style>" P("style=\"stroke:blue\""), "lime");
    check_stroke("<style>.a{stroke:lime ! important}</style>" P("style=\"stroke:blue !important\""), "blue");
    check_stroke("<style>.a{stroke:lime;stroke:blue}</style>" P(""), "blue");
    check_stroke(P("style=\"stroke:lime;stroke:blue\""), "blue");
    check_stroke("<style>.a{stroke:lime}</style><style>.a{stroke:blue}</style>" P(""), "blue");
    check_stroke(P("") "<style>.a{stroke:lime}</style>", "lime"); /* a sheet at the end holds too */
    check_stroke("<style><![CDATA[ .a{stroke:lime} ]]></style>" P(""), "lime");
    check_stroke("<style>.A{stroke:lime}</style>" P(""), NULL); /* XML: case counts */
    check_stroke("<style>.aa{stroke:lime}</style>" P(""), NULL);
    check_stroke("<style>PATH{stroke:lime}</style>" P(""), NULL);
}

static void combinators(void **state)
{
    (void)state;
    check_stroke("<style>g path{stroke:lime}</style>" P(""), "lime");
    check_stroke("<style>g>path{stroke:lime}</style>" P(""), "lime");
    check_stroke("<style>svg > path{stroke:lime}</style>" P(""), NULL);
    check_stroke("<style>svg path{stroke:lime}</style>" P(""), "lime");
    check_stroke("<style>svg > g .a{stroke:lime}</style>" P(""), "lime");
    check_stroke("<style>.outer .a.b{stroke:lime}.a.b{stroke:red}</style>" P(""), "lime");
    check_stroke("<style>.inner .a{stroke:lime}</style>" P(""), NULL);
    /* the nearest g is no child of .x, the one above it is: Selectors 3, 8 */
    check_stroke("<style>.x > g path{stroke:lime}</style><g class=\"x\"><g>" P("") "</g></g>", "lime");
    check_stroke("<style>.x > g > g path{stroke:lime}</style><g class=\"x\"><g><g>" P("") "</g></g></g>", "lime");
}

/* What is not valid does not count, so that what stands below it holds. */
static void invalid_declarations(void **state)
{
    (void)state;
    check_stroke(P("stroke=\"red\" style=\"stroke:reddish\""), "red");
    check_stroke(P("stroke=\"red\" style=\"stroke:var(--x)\""), "red");
    check_stroke(P("stroke=\"#00aa00\" style=\"stroke: light-dark(rgb(0,170,0), rgb(1,2,3)); fill: none\""), "#0a0");
    check_stroke(P("stroke=\"red\" style=\"stroke;stroke:;:blue;-x:y\""), "red");
    check_stroke(P("style=\"background:url(';');stroke:blue\""), "blue");
    check_stroke(P("style=\"font-family:';stroke:red';stroke:blue\""), "blue");
    check_stroke(P("style=\"/* stroke:red; */stroke:/**/blue\""), "blue");
    check_stroke("<style>/* .a{stroke:red} */.a/**/{/*;*/stroke:blue}</style>" P(""), "blue");
    check_stroke("<style>.a{stroke:blue} }} .b{stroke:red</style>" P(""), "blue");
    check_stroke("<style>&lt;!-- .a{stroke:blue} --></style>" P(""), "blue");
    check_stroke("<style>.a{stroke:blue;{stroke:red}}</style>" P(""), "blue");
}

static void keywords(void **state)
{
    (void)state;
    check_stroke("<g stroke=\"blue\">" P("") "</g>", "blue");
    check_stroke("<g stroke=\"blue\">" P("stroke=\"inherit\"") "</g>", "blue");
    check_stroke("<g stroke=\"blue\">" P("stroke=\"initial\"") "</g>", NULL);
    check_stroke("<g color=\"lime\">" P("stroke=\"currentColor\"") "</g>", "lime");
    check_stroke(P("stroke=\"url(#grad) blue\""), "blue");
    check_stroke(P("stroke=\"url(#grad)\""), "#808080");
    check_stroke("<style>#\\70{stroke:lime}</style>" P(""), "lime");  /* p, escaped */
    check_stroke("<style>.\\61 {stroke:lime}</style>" P(""), "lime"); /* a */
    check_stroke("<style>path#p.a.b{stroke:lime}</style>" P(""), "lime");
    check_stroke("<style>path#q.a{stroke:lime}</style>" P(""), NULL);
    check_stroke("<style>.\\e4 -\\.x{stroke:lime}</style><path id=\"p\" class=\"\xc3\xa4-.x\"/>", "lime");
    check_stroke("<style>.a{content:'}{;';stroke:lime} .b[x=\"}\"]{stroke:red}</style>" P(""), "lime");
    check_stroke("<style>.a{background:url(x\\;y;z);stroke:lime}</style>" P(""), "lime");
    check_stroke("<style>.a > {stroke:red} .1e:x{stroke:red} .b{stroke:lime} .c</style>" P(""), "lime");
    check_stroke(P("stroke=\"context-fill\""), "#808080");
}

static void unsupported_rules_are_said(void **state)
{
    (void)state;
    reading r = read_text(SVG_OPEN ">\n<style>\n@import url(x.css);\n@font-face{font-family:x}\n"
                                   "@media print{.a{stroke:red}}\npath:hover, .a[x], .ok, a + b{stroke:blue}</style>"
                                   "<path id=\"p\" class=\"ok\"/><path id=\"q\" class=\"a\"/></svg>");
    assert_int_equal(r.status, HR_OK);
    assert_true(has_note(&r, "t.svg:3: style sheet part \"@import url(x.css);"));
    assert_true(has_note(&r, "t.svg:5: style sheet part \"@media print"));
    assert_true(has_note(&r, "t.svg:6: style rule for \"path:hover"));
    assert_true(has_note(&r, "\".a[x]"));
    assert_true(has_note(&r, "\"a + b"));
    assert_false(has_note(&r, "font-face"));
    assert_true(paint_is(node_at(r.drawing, "p")->stroke, 0, 0, 255));
    assert_false(node_at(r.drawing, "q")->stroke.set);
    reading_free(&r);
    r = read_text("<?xml-stylesheet href=\"x.css\"?>" SVG_OPEN
                  "><path clip-path=\"url(#c)\" style=\"transform:scale(2)\"/></svg>");
    assert_true(has_note(&r, "linked style sheet is not opened"));
    assert_true(has_note(&r, "clip-path is not applied"));
    assert_true(has_note(&r, "set in CSS is not read"));
    reading_free(&r);
}

static void other_properties(void **state)
{
    (void)state;
    reading r = read_text(
        SVG_OPEN
        "viewBox=\"0 0 30 40\" fill-rule=\"evenodd\" stroke-width=\"28.222\">"
        "<style>.n{fill-rule:nonzero;stroke-width:2px;font:italic 20px/1.2 serif}</style>"
        "<g id=\"g\" transform=\"scale(3)\"><path id=\"a\"/>"
        "<path id=\"b\" class=\"n\"/><path id=\"c\" stroke-width=\"1mm\" vector-effect=\"non-scaling-stroke\"/>"
        "<path id=\"d\" stroke-width=\"10%\"/>"
        "<path id=\"e\" style=\"font-size:50%;stroke-width:2em\"/>"
        "<path id=\"f\" stroke-width=\"-1\" fill=\"none\"/></g></svg>");
    const hr_svg_drawing *d = r.drawing;
    assert_int_equal(r.status, HR_OK);
    assert_true(node_at(d, "a")->fill_even_odd);
    check_near(node_at(d, "a")->stroke_width, 28.222 * 3.0, 1e-12);
    assert_true(paint_is(node_at(d, "a")->fill, 0, 0, 0)); /* the default fill is black */
    assert_false(node_at(d, "b")->fill_even_odd);
    check_near(node_at(d, "b")->stroke_width, 6.0, 1e-12);
    check_near(node_at(d, "c")->stroke_width, 96.0 / 25.4, 1e-12);
    check_near(node_at(d, "d")->stroke_width, 3.0 * 0.1 * 50.0 / sqrt(2.0), 1e-9);
    check_near(node_at(d, "e")->stroke_width, 3.0 * 2.0 * 8.0, 1e-12);
    check_near(node_at(d, "f")->stroke_width, 28.222 * 3.0, 1e-12); /* invalid: inherited */
    assert_false(node_at(d, "f")->fill.set);
    reading_free(&r);
}

/* CSS 2.1, 15.7 and 15.8; em of a font size is the parent's */
static void font_sizes(void **state)
{
    static const struct {
        const char *style;
        double size;
    } rows[] = {{"font-size:12px", 12},
                {"font-size:12", 12},
                {"font-size:1.5em", 30},
                {"font-size:150%", 30},
                {"font-size:larger", 24},
                {"font-size:medium", 16},
                {"font:bold 9pt/1.5 'A 3px'", 12},
                {"font:small serif", 13},
                {"font:serif", 20},
                {"font-size:-3px", 20},
                {"font-size:initial", 16},
                {"font-size:inherit", 20}};
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[300];
        (void)snprintf(text, sizeof text, SVG_OPEN "font-size=\"20\"><text style=\"%s\">7</text></svg>", rows[i].style);
        reading r = read_text(text);
        assert_int_equal(r.status, HR_OK);
        check_near(label_of(r.drawing, "7")->size, rows[i].size, 1e-12);
        reading_free(&r);
    }
}

test_group style_tests(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(colours),          cmocka_unit_test(cascade),
        cmocka_unit_test(combinators),      cmocka_unit_test(invalid_declarations),
        cmocka_unit_test(keywords),         cmocka_unit_test(unsupported_rules_are_said),
        cmocka_unit_test(other_properties), cmocka_unit_test(font_sizes),
    };
    return (test_group){tests, sizeof tests / sizeof *tests};
}
