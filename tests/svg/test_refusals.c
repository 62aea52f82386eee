/*
 * test_refusals.c - what must end in an error or in a correct, bounded read:
 * damaged files, numbers that are none, entities, limits.
 *
 * SPDX-License-Identifier: MIT
 */
#include "svg_help.h"

#include <dirent.h>
#include <stdlib.h>
#include <time.h>

static void check_refused(const char *text, size_t len, hr_status status, int line, const char *says)
{
    reading r = read_bytes(text, len);
    if (r.status != status || strstr(r.error.text, says) == NULL || (line > 0 && r.error.line != line)) {
        fail_msg("%.300s: %s, line %d: %s", text, hr_status_name(r.status), r.error.line, r.error.text);
    }
    assert_string_equal(r.error.file, "t.svg");
    reading_free(&r);
}

static void refuse(const char *text, hr_status status, int line, const char *says)
{
    check_refused(text, strlen(text), status, line, says);
}

static void no_drawing_at_all(void **state)
{
    (void)state;
    refuse("", HR_ERR_INPUT, 0, "empty");
    refuse("   \n", HR_ERR_INPUT, 0, "not an SVG drawing");
    refuse("%PDF-1.4", HR_ERR_INPUT, 1, "not an SVG drawing");
    refuse("<html><body/></html>", HR_ERR_INPUT, 1, "expected <svg>");
    refuse("<!-- nothing -->", HR_ERR_INPUT, 0, "");
    refuse("\x1f\x8b\x08 rest", HR_ERR_INPUT, 0, "unpack it first");
    check_refused(SVG_OPEN ">\n<g/>\0</svg>", sizeof SVG_OPEN ">\n<g/>\0</svg>" - 1, HR_ERR_INPUT, 2, "zero byte");
    check_refused(SVG_OPEN "/>\0<x", sizeof SVG_OPEN "/>\0<x" - 1, HR_ERR_INPUT, 1, "zero byte");
    check_refused("x", HR_MAX_FILE_BYTES + 1, HR_ERR_LIMIT, 0, "67108864 bytes");
    check_refused("\xff\xfe<\0\0\0", 6, HR_ERR_INPUT, 0, "zero character");
    refuse("<?xml version=\"1.0\" encoding=\"UTF-7\"?>" SVG_OPEN "/>", HR_ERR_INPUT, 1, "encoding");
    reading marked = read_text("\xef\xbb\xbf" SVG_OPEN "/>"); /* a byte order mark is fine */
    assert_int_equal(marked.status, HR_OK);
    reading_free(&marked);
    reading latin = read_text("<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?>" SVG_OPEN "><text>K\xfc</text></svg>");
    (void)label_of(latin.drawing, "K\xc3\xbc");
    reading_free(&latin);
    reading r = {.status = hr_svg_read(NULL, "", 0, NULL, &r.drawing, &r.error)};
    assert_int_equal(r.status, HR_ERR_ARGUMENT);
}

/* A truncated or partly broken file is refused, never read as a smaller plan. */
static void damaged_files(void **state)
{
    static const char whole[] = SVG_OPEN ">\n<g>\n<path d=\"M0 0L5 5\"/>\n<text>1&#x32;</text></g>\n</svg>";
    (void)state;
    for (size_t len = 1; len < sizeof whole - 1; len++) {
        reading r = read_bytes(whole, len);
        if (r.status != HR_ERR_INPUT) {
            fail_msg("the first %zu bytes were read", len);
        }
        reading_free(&r);
    }
    reading r = read_bytes(whole, sizeof whole - 1);
    assert_int_equal(r.status, HR_OK);
    reading_free(&r);
    refuse(SVG_OPEN ">\n<path d=\"M0 0\"></svg>", HR_ERR_INPUT, 2, "not well-formed XML");
    refuse(SVG_OPEN ">\n\n<text>M\xfcnchen</text></svg>", HR_ERR_INPUT, 3, "not well-formed XML");
    refuse(SVG_OPEN "/><svg/>", HR_ERR_INPUT, 1, "not well-formed XML");
    refuse(SVG_OPEN "><g id=\"a\" id=\"b\"/></svg>", HR_ERR_INPUT, 1, "not well-formed XML");
    refuse("<svg xmlns:a=\"urn:x\" xmlns:b=\"urn:x\"><g a:i=\"1\" b:i=\"2\"/></svg>", HR_ERR_INPUT, 1,
           "not well-formed XML");
    refuse("<?xml version=\"1.0\" encoding=\"IBM037\"?><svg/>", HR_ERR_INPUT, 0, "");
}

/* A number that is none must not become a smaller plan. */
static void numbers_that_are_none(void **state)
{
    static const char *const insides[] = {"<path d=\"M0 0LNaN 5\"/>",
                                          "<path d=\"M0 0 L inf 5\"/>",
                                          "<path d=\"M0 0 L-Infinity 5\"/>",
                                          "<path d=\"M0 0L5 1e999\"/>",
                                          "<path d=\"M0 0L5 5 nan 1\"/>",
                                          "<path d=\"nan\"/>",
                                          "<line x1=\"nan\" x2=\"1\"/>",
                                          "<line x2=\"1e999\"/>",
                                          "<rect width=\"1e400mm\" height=\"1\"/>",
                                          "<polyline points=\"0 0 nan 5\"/>",
                                          "<polygon points=\"0 0 5 1e309\"/>",
                                          "<g transform=\"scale(nan)\"/>",
                                          "<g transform=\"translate(1e999)\"/>",
                                          "<svg viewBox=\"0 0 nan 5\"/>",
                                          "<text x=\"inf\">1</text>",
                                          "<use href=\"#a\" x=\"nan\"/>",
                                          "<circle r=\"+inf\"/>",
                                          "<svg width=\"nan\"/>"};
    (void)state;
    for (size_t i = 0; i < sizeof insides / sizeof *insides; i++) {
        char text[400];
        (void)snprintf(text, sizeof text, SVG_OPEN ">\n%s</svg>", insides[i]);
        refuse(text, HR_ERR_INPUT, 2, "finite");
    }
}

static void numbers_too_large(void **state)
{
    static const char *const insides[] = {
        "<path d=\"M0 0L1e8 5\"/>",
        "<path d=\"M0 0L10000000.1 5\"/>",
        "<path d=\"M0 0L1e308 1e308\"/>",
        "<rect x=\"1e200\" width=\"1e200\" height=\"1e200\"/>",
        "<g transform=\"scale(1e300) scale(1e300)\"><path d=\"M0 0L1 1\"/></g>",
        "<g transform=\"scale(1e5)\"><path d=\"M0 0L101 1\"/></g>",
        "<path d=\"M0 0A1e-30 1e-30 0 1 1 1e9 1e9\"/>",
        "<circle r=\"2e7\"/>",
        "<path d=\"M0 0A1e300 1e300 0 1 0 1 1\"/>",
        "<path d=\"M0 0C1e9 0 0 0 1 1\"/>",
        "<text x=\"1e9\">1</text>",
    };
    (void)state;
    for (size_t i = 0; i < sizeof insides / sizeof *insides; i++) {
        char text[400];
        (void)snprintf(text, sizeof text, SVG_OPEN ">\n%s</svg>", insides[i]);
        reading r = read_text(text);
        if (r.status == HR_OK) {
            r.status = hr_svg_flatten(r.drawing, 1.0, &r.error);
        }
        if (r.status != HR_ERR_LIMIT || r.error.line != 2) {
            fail_msg("%s: %s, line %d", insides[i], hr_status_name(r.status), r.error.line);
        }
        reading_free(&r);
    }
    reading r = read_flat(SVG_OPEN "><path d=\"M-1e7 0L1e7 1e7\"/></svg>", 0.1);
    assert_int_equal(r.drawing->point_count, 2);
    reading_free(&r);
}

/* ---- entities ------------------------------------------------------------------------ */

static void internal_entities_are_read(void **state)
{
    (void)state;
    /* as old drawing programs write */
    reading r = read_flat(
        "<?xml version=\"1.0\"?><!DOCTYPE svg PUBLIC \"-//W3C//DTD SVG 1.1//EN\" "
        "\"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd\" [<!ENTITY ns_svg \"http://www.w3.org/2000/svg\">"
        "<!ENTITY wall \"<path d='M0 0L5 5'/>\"><!ENTITY n \"10\"><!ENTITY r \"&n;1\">"
        "<!ATTLIST path stroke CDATA 'lime'>]>"
        "<svg xmlns=\"&ns_svg;\">\n&wall;&wall;\n<path id=\"&r;\" d=\"M0 0h&n;\"/><text>&r; &amp; &#65;</text></svg>",
        0.1);
    assert_int_equal(hr_notes_count(r.notes), 0);
    assert_int_equal(r.drawing->nodes[1].line, 2); /* where the entity stands */
    check_near(length_below(r.drawing, 0), 10.0 + 2.0 * 5.0 * sqrt(2.0), 1e-9);
    assert_true(paint_is(node_at(r.drawing, "101")->stroke, 0, 255, 0));
    (void)label_of(r.drawing, "101 & A");
    reading_free(&r);
    /* entities of every sort of content, also none */
    r = read_flat(
        "<!DOCTYPE svg [<!ENTITY e ''><!ENTITY b ' '><!ENTITY c '<!-- x -->'><!ENTITY i '<?x y?>'>"
        "<!ENTITY d '<![CDATA[]]>'><!ENTITY ee '&e;'><!ENTITY k '&#38;lt;'><!ENTITY m '<metadata/>'>]>" SVG_OPEN
        ">&e;&b;&c;&i;&d;&ee;&k;&m;<text>&e;&b;&c;&i;&d;&ee;&k;&m;2&e;</text>&ee;&c;</svg>",
        0.1);
    (void)label_of(r.drawing, "<2");
    reading_free(&r);
}

static void nothing_else_is_opened(void **state)
{
    (void)state;
    refuse("<!DOCTYPE svg [<!ENTITY x SYSTEM \"file:///etc/hostname\">]>\n" SVG_OPEN "><text>&x;</text></svg>",
           HR_ERR_INPUT, 2, "external entity x");
    refuse("<!DOCTYPE svg [<!ENTITY x SYSTEM \"file:///etc/hostname\"><!ENTITY y \"&x;\">]>" SVG_OPEN
           "><text>&y;</text></svg>",
           HR_ERR_INPUT, 0, "");
    refuse("<!DOCTYPE svg [<!ENTITY x PUBLIC \"a\" \"b\">]>" SVG_OPEN "><path d=\"&x;\"/></svg>", HR_ERR_INPUT, 1,
           "external entity x");
    refuse("<!DOCTYPE svg [<!ENTITY % p SYSTEM \"evil.dtd\"> %p;]>" SVG_OPEN "/>", HR_ERR_INPUT, 1,
           "external entity p");
    refuse("<!DOCTYPE svg SYSTEM \"evil.dtd\">" SVG_OPEN "><text>&lbl;</text></svg>", HR_ERR_INPUT, 1, "&lbl;");
    refuse(SVG_OPEN "><text>&lbl;</text></svg>", HR_ERR_INPUT, 1, "lbl");
    reading r =
        read_flat("<!DOCTYPE svg SYSTEM \"evil.dtd\" [<!ENTITY x SYSTEM \"y\"><!ENTITY % p SYSTEM \"q\">]>" SVG_OPEN
                  "xmlns:xi=\"http://www.w3.org/2001/XInclude\"><xi:include href=\"a\" parse=\"text\"/>"
                  "<path d=\"M0 0h1\"/></svg>",
                  0.1);
    assert_true(has_note(&r, "external subset \"evil.dtd\" is not loaded"));
    assert_true(has_note(&r, "external entity x is declared"));
    assert_true(has_note(&r, "include is not followed"));
    assert_int_equal(r.drawing->path_count, 1);
    reading_free(&r);
}

/* Ten levels of ten, in text and in an attribute; a few long ones many times. */
static void entities_that_explode(void **state)
{
    (void)state;
    for (int in_attribute = 0; in_attribute < 2; in_attribute++) {
        hr_text text = {0};
        hr_text_add(&text, "<!DOCTYPE svg [<!ENTITY a0 \"lol\">");
        for (int level = 1; level < 10; level++) {
            hr_text_addf(&text, "<!ENTITY a%d \"", level);
            for (int i = 0; i < 10; i++) {
                hr_text_addf(&text, "&a%d;", level - 1);
            }
            hr_text_add(&text, "\">");
        }
        hr_text_add(&text, in_attribute ? "]><svg><path d=\"&a9;\"/></svg>" : "]><svg><text>&a9;</text></svg>");
        reading r = read_bytes(text.bytes, text.len);
        assert_true(r.status == HR_ERR_INPUT || r.status == HR_ERR_LIMIT);
        assert_non_null(strstr(r.error.text, "expand"));
        reading_free(&r);
        hr_text_free(&text);
    }
    hr_text text = {0};
    hr_text_add(&text, "<!DOCTYPE svg [<!ENTITY a \"");
    for (int i = 0; i < 55000; i++) {
        hr_text_add(&text, "a");
    }
    hr_text_add(&text, "\">]><svg><text>");
    for (int i = 0; i < 18000; i++) {
        hr_text_add(&text, "&a;");
    }
    hr_text_add(&text, "</text></svg>");
    check_refused(text.bytes, text.len, HR_ERR_LIMIT, 1, "entities expand");
    hr_text_free(&text);
    refuse("<!DOCTYPE svg [<!ENTITY a \"&b;\"><!ENTITY b \"&a;\">]><svg><text>&a;</text></svg>", HR_ERR_INPUT, 0,
           "refer to themselves");
}

/* ---- limits ---------------------------------------------------------------------------- */

static void repeated(hr_text *text, const char *piece, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        hr_text_add(text, piece);
    }
}

static void limits_are_named(void **state)
{
    (void)state;
    static const struct {
        const char *before, *piece;
        size_t count;
        const char *after;
        const char *says;
    } rows[] = {
        {"<svg>", "<g>", HR_MAX_DEPTH, "</svg>", "nested more than 256"},
        {"<svg><x>", "<x>", HR_MAX_DEPTH, "</x></svg>", "nested more than 256"},
        {"<svg>", "<g/>", HR_MAX_ELEMENTS, "</svg>", "more than 2000000 elements"},
        {"<svg d='", "x", HR_MAX_ATTRIBUTE_BYTES + 1, "'/>", "10000000 bytes"},
        {"<svg><style>", ".a{b:c}", HR_MAX_CSS_RULES + 1, "</style></svg>", "10000 style rules"},
        {"<svg><style>", " ", HR_MAX_CSS_BYTES + 1, "</style></svg>", "1048576 bytes of style sheets"},
        {"<svg><g id='a'/>", "<use href='#a'/>", HR_MAX_REFERENCES + 1, "</svg>", "100000 references"},
        {"<svg><path id='p' d='M0 0h", " 1", HR_MAX_SEGMENTS / 2, "'/><use href='#p'/><use href='#p'/></svg>",
         "5000000 segments"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        hr_text text = {0};
        hr_text_add(&text, rows[i].before);
        repeated(&text, rows[i].piece, rows[i].count);
        hr_text_add(&text, rows[i].after);
        assert_false(text.failed);
        check_refused(text.bytes, text.len, HR_ERR_LIMIT, 1, rows[i].says);
        hr_text_free(&text);
    }
    hr_text text = {0};
    hr_text_add(&text, "<svg ");
    for (int i = 0; i <= HR_MAX_ATTRIBUTES; i++) {
        hr_text_addf(&text, "a%d='x' ", i);
    }
    hr_text_add(&text, "/>");
    check_refused(text.bytes, text.len, HR_ERR_LIMIT, 1, "256 attributes");
    text.len = 0;
    hr_text_add(&text, "<svg>");
    for (int level = 0; level < 5; level++) {
        hr_text_add(&text, "<g ");
        for (int i = 0; i < 210; i++) {
            hr_text_addf(&text, "xmlns:a%d='u' ", i);
        }
        hr_text_add(&text, ">");
    }
    hr_text_add(&text, "</g></g></g></g></g></svg>");
    check_refused(text.bytes, text.len, HR_ERR_LIMIT, 1, "1000 namespace");
    hr_text_free(&text);
}

/* References that multiply: ten levels of ten; deep chains; large things many times. */
static void references_that_explode(void **state)
{
    (void)state;
    hr_text text = {0};
    hr_text_add(&text, "<svg><defs><path id='u0' d='M0 0L1 1'/>");
    for (int level = 1; level < 30; level++) {
        hr_text_addf(&text, "<g id='u%d'>", level);
        for (int i = 0; i < 10; i++) {
            hr_text_addf(&text, "<use href='#u%d'/>", level - 1);
        }
        hr_text_add(&text, "</g>");
    }
    hr_text_add(&text, "</defs><use href='#u29'/></svg>");
    check_refused(text.bytes, text.len, HR_ERR_LIMIT, 1, "100000 references");
    text.len = 0;
    hr_text_add(&text, "<svg><defs><path id='u0' d='M0 0L1 1'/>");
    for (int level = 1; level <= HR_MAX_USE_DEPTH; level++) {
        hr_text_addf(&text, "<use id='u%d' href='#u%d'/>", level, level - 1);
    }
    hr_text_addf(&text, "</defs><use href='#u%d'/></svg>", HR_MAX_USE_DEPTH);
    check_refused(text.bytes, text.len, HR_ERR_LIMIT, 1, "32 deep");
    text.len = 0; /* a hundred kilobytes of moves that draw nothing, ten thousand times */
    hr_text_add(&text, "<svg><defs><path id='p' d='");
    repeated(&text, "M0 0", 25000);
    hr_text_add(&text, "'/></defs>");
    repeated(&text, "<use href='#p'/>", 10000);
    hr_text_add(&text, "</svg>");
    check_refused(text.bytes, text.len, HR_ERR_LIMIT, 1, "references put in");
    text.len = 0; /* a group of a thousand, ten thousand times */
    hr_text_add(&text, "<svg><defs><g id='p'>");
    repeated(&text, "<g/>", 1000);
    hr_text_add(&text, "</g></defs>");
    repeated(&text, "<use href='#p'/>", 10000);
    hr_text_add(&text, "</svg>");
    check_refused(text.bytes, text.len, HR_ERR_LIMIT, 1, "elements");
    text.len = 0; /* the same with what is not drawn */
    hr_text_add(&text, "<svg><defs><g id='p'>");
    repeated(&text, "<defs/>", 10000);
    hr_text_add(&text, "</g></defs>");
    repeated(&text, "<use href='#p'/>", 10000);
    hr_text_add(&text, "</svg>");
    check_refused(text.bytes, text.len, HR_ERR_LIMIT, 1, "elements");
    hr_text_free(&text);
}

/* Ten thousand rules that each need a look at every ancestor of thousands of elements. */
static void style_sheets_that_explode(void **state)
{
    (void)state;
    hr_text text = {0};
    hr_text_add(&text, "<svg><style>");
    repeated(&text, ".x g{fill:red}", HR_MAX_CSS_RULES - 1);
    hr_text_add(&text, "</style>");
    repeated(&text, "<g>", 200);
    repeated(&text, "<g/>", 1000);
    repeated(&text, "</g>", 200);
    hr_text_add(&text, "</svg>");
    check_refused(text.bytes, text.len, HR_ERR_LIMIT, 1, "selector tests");
    hr_text_free(&text);
}

static void too_many_pieces(void **state)
{
    (void)state;
    reading r = read_text(SVG_OPEN ">\n<circle r=\"1e6\"/></svg>");
    assert_int_equal(r.status, HR_OK);
    assert_int_equal(hr_svg_flatten(r.drawing, 1.0, &r.error), HR_OK);
    const size_t points = r.drawing->point_count;
    assert_int_equal(hr_svg_flatten(r.drawing, 1e-9, &r.error), HR_ERR_LIMIT);
    assert_int_equal(r.error.line, 2);
    assert_int_equal(r.drawing->point_count, points); /* the former result stands */
    reading_free(&r);
}

/* Notes of one kind do not flood. */
static void many_notes_are_counted(void **state)
{
    (void)state;
    hr_text text = {0};
    hr_text_add(&text, SVG_OPEN ">");
    repeated(&text, "\n<path d=\"M0 0L1 x\"/>", 100);
    hr_text_add(&text, "</svg>");
    reading r = read_bytes(text.bytes, text.len);
    assert_int_equal(hr_notes_count(r.notes), 9);
    assert_true(has_note(&r, "92 more notes"));
    reading_free(&r);
    hr_text_free(&text);
}

/* Files that lie beside the repository where it is developed; each within 2 s of processor time. */
static void hostile_files(void **state)
{
    (void)state;
    const char *root = getenv("HR_SOURCE_ROOT");
    char folder[600];
    (void)snprintf(folder, sizeof folder, "%s/../shared/svg/hostile", root != NULL ? root : ".");
    DIR *files = opendir(folder);
    if (files == NULL) {
        print_message("# skipped: no folder of hostile drawings here\n");
        return; /* not skip(): cmocka 1.1.5 calls that "not ok" in TAP */
    }
    for (const struct dirent *entry = readdir(files); entry != NULL; entry = readdir(files)) {
        if (strstr(entry->d_name, ".svg") == NULL) {
            continue;
        }
        char path[1000];
        char *bytes;
        size_t len;
        (void)snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        assert_int_equal(hr_file_read(path, HR_MAX_FILE_BYTES, &bytes, &len, NULL), HR_OK);
        const clock_t start = clock();
        reading r = read_bytes(bytes, len);
        if (r.status == HR_OK) {
            r.status = hr_svg_flatten(r.drawing, 1.0, &r.error);
        }
        const double seconds = (double)(clock() - start) / CLOCKS_PER_SEC;
        if (seconds > 2.0 || (r.status != HR_OK && r.status != HR_ERR_INPUT && r.status != HR_ERR_LIMIT) ||
            (r.status != HR_OK && r.error.text[0] == '\0')) {
            fail_msg("%s: %s after %d ms", path, hr_status_name(r.status), (int)(seconds * 1000.0));
        }
        reading_free(&r);
        hr_free(bytes);
    }
    (void)closedir(files);
}

test_group refusal_tests(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(no_drawing_at_all),
        cmocka_unit_test(damaged_files),
        cmocka_unit_test(numbers_that_are_none),
        cmocka_unit_test(numbers_too_large),
        cmocka_unit_test(internal_entities_are_read),
        cmocka_unit_test(nothing_else_is_opened),
        cmocka_unit_test(entities_that_explode),
        cmocka_unit_test(limits_are_named),
        cmocka_unit_test(references_that_explode),
        cmocka_unit_test(style_sheets_that_explode),
        cmocka_unit_test(too_many_pieces),
        cmocka_unit_test(many_notes_are_counted),
        cmocka_unit_test(hostile_files),
    };
    return (test_group){tests, sizeof tests / sizeof *tests};
}
