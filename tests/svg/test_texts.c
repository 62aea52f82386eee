/*
 * test_texts.c - labels: which runs of text stand by themselves, and where.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_help.h"

static reading text_reading(const char *inside)
{
    static char text[4000];
    (void)snprintf(text, sizeof text, SVG_OPEN "viewBox=\"0 0 300 200\" font-size=\"10\">%s</svg>", inside);
    return read_flat(text, 0.1);
}

static void one_label(void **state)
{
    (void)state;
    reading r = text_reading("<text x=\"30\" y=\"50\">\n  101  </text>");
    assert_int_equal(r.drawing->label_count, 1);
    const hr_svg_label *label = label_of(r.drawing, "101");
    assert_int_equal(label->node, 1);
    assert_int_equal(r.drawing->nodes[1].kind, HR_SVG_TEXT);
    check_near(label->size, 10.0, 1e-12);
    /* three digits of a sans-serif face are 1.6 to 1.9 sizes wide, capitals 0.7 high (common practice) */
    check_near(label->centre.x, 39.0, 1.0);
    check_near(label->centre.y, 46.5, 0.5);
    assert_false(label->follows);
    reading_free(&r);
}

static void anchors_and_baselines(void **state)
{
    (void)state;
    reading r =
        text_reading("<text x=\"100\" y=\"50\" text-anchor=\"middle\" dominant-baseline=\"central\">2</text>"
                     "<text x=\"100\" y=\"50\" style=\"text-anchor:end\">3</text>"
                     "<g text-anchor=\"middle\"><text><tspan x=\"7\" y=\"9\">4<tspan> 4</tspan></tspan></text></g>"
                     "<text y=\"50\" dominant-baseline=\"hanging\">5</text>");
    check_near(label_of(r.drawing, "2")->centre.x, 100.0, 1e-9);
    check_near(label_of(r.drawing, "2")->centre.y, 50.0, 1e-9);
    assert_true(label_of(r.drawing, "3")->centre.x < 98.0);
    check_near(label_of(r.drawing, "4 4")->centre.x, 7.0, 1e-9);
    check_near(label_of(r.drawing, "5")->centre.y, 53.5, 0.5);
    reading_free(&r);
}

/* A CAD export: one text for a whole floor, a tspan each (Inkscape's PDF import does this). */
static void one_text_many_rooms(void **state)
{
    (void)state;
    reading r = text_reading("<text xml:space=\"preserve\" transform=\"matrix(1 0 0 -1 0 200)\">"
                             "<tspan x=\"10\" y=\"20\">101</tspan><tspan x=\"60\" y=\"20\">102</tspan>"
                             "<tspan x=\"10\" y=\"90\">103</tspan><tspan x=\"62\" y=\"90\">10</tspan>"
                             "<tspan x=\"73.8\" y=\"90\">4</tspan></text>");
    assert_int_equal(r.drawing->label_count, 4);
    check_near(label_of(r.drawing, "102")->centre.x, 69.0, 1.0);
    check_near(label_of(r.drawing, "102")->centre.y, 183.5, 0.5);
    (void)label_of(r.drawing, "104"); /* kerning splits a number into runs: still one label */
    reading_free(&r);
}

/* The same in one tspan with a place for each glyph: split where it jumps (Inkscape 1.2 on a PDF of three rooms). */
static void glyph_lists_split_at_jumps(void **state)
{
    (void)state;
    reading r =
        text_reading("<text transform=\"translate(90,147)\" style=\"font-size:17.0079px\"><tspan "
                     "x=\"0 10.817008 21.634016 113.37449 124.1915 135.0085 226.74898 237.56598 248.383\" y=\"0\">"
                     "101102103</tspan></text>"
                     "<text x=\"0 6 12 18\" y=\"10\" dx=\"0 0 100\">2122</text>"
                     "<text x=\"0,6 ,12 60,\ty\" y=\"30 30 30 30\">31 32</text>");
    assert_int_equal(r.drawing->label_count, 8);
    check_near(label_of(r.drawing, "102")->centre.x, 90.0 + 113.4 + 16.0, 1.0);
    (void)label_of(r.drawing, "101");
    (void)label_of(r.drawing, "103");
    (void)label_of(r.drawing, "21");
    (void)label_of(r.drawing, "31");
    (void)label_of(r.drawing, "32");
    assert_true(has_note(&r, "text position \"y\""));
    reading_free(&r);
}

static void lines_of_one_text(void **state)
{
    (void)state;
    reading r = text_reading(
        "<text x=\"50\" y=\"50\"><tspan x=\"50\" y=\"50\">229</tspan><tspan x=\"50\" dy=\"1.2em\">-1</tspan>"
        "<tspan x=\"50\" y=\"100\">store</tspan></text>"
        "<text text-anchor=\"middle\"><tspan x=\"90\" y=\"20\">A</tspan><tspan x=\"90\" "
        "y=\"32\">Ballroom</tspan></text>");
    assert_int_equal(r.drawing->label_count, 5);
    assert_false(label_of(r.drawing, "229")->follows);
    assert_true(label_of(r.drawing, "-1")->follows);
    check_near(label_of(r.drawing, "-1")->centre.y - label_of(r.drawing, "229")->centre.y, 12.0, 1e-9);
    assert_false(label_of(r.drawing, "store")->follows);
    assert_false(label_of(r.drawing, "A")->follows); /* another text element */
    assert_true(label_of(r.drawing, "Ballroom")->follows);
    reading_free(&r);
}

static void blanks(void **state)
{
    (void)state;
    reading r = text_reading("<text y=\"10\">  Guest \n\t room  <tspan> 12 </tspan></text>"
                             "<text y=\"30\">&#160; </text><text y=\"40\"/><text y=\"50\"> </text>"
                             "<text y=\"60\">A&#160;1</text><text y=\"70\">K\xc3\xbc"
                             "che</text>"
                             "<text y=\"80\"><title>tip</title><a href=\"#x\">B2</a></text>");
    assert_int_equal(r.drawing->label_count, 4);
    (void)label_of(r.drawing, "Guest room 12");
    (void)label_of(r.drawing, "A 1");
    (void)label_of(r.drawing, "K\xc3\xbc"
                              "che");
    (void)label_of(r.drawing, "B2");
    reading_free(&r);
}

static void texts_that_are_no_labels(void **state)
{
    (void)state;
    hr_text text = {0};
    hr_text_add(&text,
                "<text>x<tspan display=\"none\">hidden</tspan><tspan visibility=\"hidden\">unseen</tspan></text>"
                "<text><textPath href=\"#p\">along</textPath></text><text transform=\"scale(0)\">flat</text><text>");
    for (int i = 0; i < 300; i++) {
        hr_text_add(&text, "m");
    }
    hr_text_add(&text, "</text>");
    reading r = text_reading(text.bytes);
    assert_int_equal(r.drawing->label_count, 1);
    (void)label_of(r.drawing, "x");
    assert_true(has_note(&r, "text along a path"));
    assert_true(has_note(&r, "more than 256 bytes"));
    reading_free(&r);
    hr_text_free(&text);
}

/* A text used twice stands twice. */
static void used_texts(void **state)
{
    (void)state;
    reading r =
        text_reading("<defs><text id=\"t\">7</text></defs><use href=\"#t\" x=\"10\"/><use href=\"#t\" x=\"50\"/>");
    assert_int_equal(r.drawing->label_count, 2);
    check_near(r.drawing->labels[1].centre.x - r.drawing->labels[0].centre.x, 40.0, 1e-12);
    reading_free(&r);
}

static void sixteen_bit_text(void **state)
{
    (void)state;
    static const char ascii[] =
        "<?xml version=\"1.0\" encoding=\"UTF-16\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\">\n"
        "<text>Zimmer 101</text></svg>";
    char wide[2 * sizeof ascii];
    size_t len = 0;
    wide[len++] = (char)0xff;
    wide[len++] = (char)0xfe;
    for (size_t i = 0; ascii[i] != '\0'; i++) {
        wide[len++] = ascii[i];
        wide[len++] = '\0';
    }
    reading r = read_bytes(wide, len);
    assert_int_equal(r.status, HR_OK);
    assert_int_equal(label_of(r.drawing, "Zimmer 101")->line, 3);
    reading_free(&r);
    r = read_bytes(wide, len - 1);
    assert_int_equal(r.status, HR_ERR_INPUT);
    reading_free(&r);
}

test_group text_tests(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_label),
        cmocka_unit_test(anchors_and_baselines),
        cmocka_unit_test(one_text_many_rooms),
        cmocka_unit_test(glyph_lists_split_at_jumps),
        cmocka_unit_test(lines_of_one_text),
        cmocka_unit_test(blanks),
        cmocka_unit_test(texts_that_are_no_labels),
        cmocka_unit_test(used_texts),
        cmocka_unit_test(sixteen_bit_text),
    };
    return (test_group){tests, sizeof tests / sizeof *tests};
}
