/*
 * test_models.c - both example properties under each model, gateways where
 * multi-wall puts them. The manual page hallreach-model quotes the figures;
 * this test computes each row as the page prints it and looks for it there.
 *
 * SPDX-License-Identifier: MIT
 */
#include "support.h"

#include <math.h>
#include <stdlib.h>

static const char *const models[] = {"multi-wall", "routes", "site-general"};
#define MODELS 3

typedef struct figures {
    double *margin_db;  /* beside them */
    size_t count, served, devices;
    double required_db;
} figures;

static char *source_file(const char *name)
{
    char path[600];
    const char *root = getenv("HR_SOURCE_ROOT");
    (void)snprintf(path, sizeof path, "%s/%s", root == NULL ? "." : root, name);
    char *bytes = NULL;
    size_t len = 0;
    assert_int_equal(hr_file_read(path, 1U << 20, &bytes, &len, NULL), HR_OK);
    return bytes;
}

static hr_building *example(const char *name, const char *model)
{
    char path[600], set[80];
    const char *root = getenv("HR_SOURCE_ROOT"), *sets[] = {set};
    (void)snprintf(path, sizeof path, "%s/examples/%s.ini", root == NULL ? "." : root, name);
    (void)snprintf(set, sizeof set, "radio.model=%s", model);
    hr_building *b = NULL;
    hr_error err = {.status = HR_OK};
    const hr_building_options options = {.sets = sets, .set_count = 1};
    if (hr_building_read(path, &options, NULL, &b, &err) != HR_OK) {
        fail_msg("%s: %s", path, err.text);
    }
    return b;
}

static void list_of(const hr_building *b, const hr_siting *s, hr_text *list)
{
    hr_text_add(list, "# length_unit = m\nid,storey,x,y,mount_height\n");
    for (size_t i = 0; i < s->gateway_count; i++) {
        const hr_sited_gateway *g = &s->gateways[i];
        hr_text_addf(list, "%s,%s,", g->id, b->storeys[g->storey].name);
        hr_text_fixed(list, g->at.x, 4);
        hr_text_add(list, ",");
        hr_text_fixed(list, g->at.y, 4);
        hr_text_add(list, ",");
        hr_text_fixed(list, g->mount_height_m, 4);
        hr_text_add(list, "\n");
    }
    assert_false(list->failed);
}

/* Margins of the links of wall controls, in the order of the devices: the same under each model. */
static figures figures_of(const char *name, const char *model, const hr_text *list)
{
    hr_building *b = example(name, model);
    assert_int_equal(hr_building_parse_gateways(b, "list.csv", list->bytes, list->len, NULL, NULL), HR_OK);
    hr_siting *s = rooms_with(b, NULL);
    figures f = {.margin_db = hr_alloc(s->device_count, sizeof *f.margin_db),
                 .devices = s->device_count,
                 .required_db = s->required_margin_db};
    for (size_t i = 0; i < s->device_count; i++) {
        f.served += s->devices[i].served;
        if (b->kinds[b->devices[i].kind].joins == HR_JOINS_GATEWAY) {
            assert_true(s->devices[i].has_link);
            f.margin_db[f.count++] = s->devices[i].link.link_margin_db;
        }
    }
    hr_siting_free(s);
    hr_building_free(b);
    return f;
}

static int compare_doubles(const void *left, const void *right)
{
    const double a = *(const double *)left, b = *(const double *)right;
    return (a > b) - (a < b);
}

/* "multi-wall    12.6     18.3    37.0" and, of other models, what changed least and most. */
static void row_of(const char *model, const figures *f, const figures *plain, char row[120])
{
    double sorted[1000], low = 0.0, high = 0.0;
    assert_true(f->count == plain->count && f->count > 0 && f->count <= 1000);
    for (size_t i = 0; i < f->count; i++) {
        const double change = f->margin_db[i] - plain->margin_db[i];
        low = fmin(low, change);
        high = fmax(high, change);
        sorted[i] = f->margin_db[i];
    }
    qsort(sorted, f->count, sizeof sorted[0], compare_doubles);
    int len = snprintf(row, 120, "%-13s %5.1f %5.1f %5.1f", model, f->required_db, sorted[0], sorted[f->count / 2]);
    if (f != plain) {
        len += snprintf(row + len, 120U - (unsigned)len, " %6.1f %+6.1f", low, high);
    }
    assert_true(len > 0 && len < 120);
}

static void rooms_under_each_model(void **state)
{
    (void)state;
    static const char *const names[] = {"tern-house", "quillhaven-lodge"};
    char *page = source_file("cli/man/model.mdoc");
    size_t missing = 0;
    for (size_t n = 0; n < 2; n++) {
        hr_building *b = example(names[n], models[0]);
        hr_siting *s = placed_with(b, NULL);
        hr_text list = {0};
        list_of(b, s, &list);
        figures f[MODELS];
        for (size_t m = 0; m < MODELS; m++) {
            char row[120];
            f[m] = figures_of(names[n], models[m], &list);
            assert_int_equal(f[m].served, f[m].devices); /* the page says so */
            row_of(models[m], &f[m], &f[0], row);
            print_message("# %-17s %s\n", names[n], row);
            if (strstr(page, row) == NULL) {
                print_error("%s: the manual page has no line %s\n", names[n], row);
                missing++;
            }
        }
        for (size_t m = 0; m < MODELS; m++) {
            hr_free(f[m].margin_db);
        }
        hr_text_free(&list);
        hr_siting_free(s);
        hr_building_free(b);
    }
    hr_free(page);
    assert_int_equal(missing, 0);
}

const struct CMUnitTest models_tests[] = {cmocka_unit_test(rooms_under_each_model)};
const size_t models_test_count = sizeof models_tests / sizeof models_tests[0];
