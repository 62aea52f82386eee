/*
 * manpages.c - writes one manual page (mdoc) to standard output: option text
 * from the command's own table, key text from the library's key table, the
 * rest from the page's fixed text beside this file.
 *
 * Used at build time only: manpages PAGE FIXED-TEXT
 *
 * SPDX-License-Identifier: MIT
 */
#include "../cli.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <hr_propagation.h>
#include <hr_report.h>

#define PAGE_DATE "November 25, 2026"

/* Lines of a page's source stay within this. */
#define LINE_MAX_BYTES 76

static void put_word(const char *word, size_t len, bool line_start)
{
    if (line_start && (word[0] == '.' || word[0] == '\'')) {
        (void)fputs("\\&", stdout);
    }
    for (size_t i = 0; i < len; i++) {
        if (word[i] == '\\') {
            (void)fputs("\\e", stdout);
        } else {
            (void)fputc(word[i], stdout);
        }
    }
}

/* Text that roff takes as it is: no control line, no escape, short lines, and
 * each sentence on a line of its own. */
static void put_paragraph(const char *text)
{
    size_t column = 0;
    while (*text != '\0') {
        text += strspn(text, " \n");
        const size_t len = strcspn(text, " \n");
        if (len == 0) {
            break;
        }
        if (column > 0 && column + 1 + len > LINE_MAX_BYTES) {
            (void)fputc('\n', stdout);
            column = 0;
        } else if (column > 0) {
            (void)fputc(' ', stdout);
            column++;
        }
        put_word(text, len, column == 0);
        column += len;
        text += len;
        if (text[-1] == '.' && len > 2) {
            (void)fputc('\n', stdout);
            column = 0;
        }
    }
    if (column > 0) {
        (void)fputc('\n', stdout);
    }
}

static int copy_fixed(const char *path)
{
    char *bytes = NULL;
    size_t len = 0;
    hr_error err = {.status = HR_OK};
    if (hr_file_read(path, (size_t)1 << 20, &bytes, &len, &err) != HR_OK) {
        (void)fprintf(stderr, "manpages: %s: %s\n", path, err.text);
        return 1;
    }
    (void)fwrite(bytes, 1, len, stdout);
    hr_free(bytes);
    return 0;
}

static void put_options(const cli_command *command)
{
    (void)printf(".Sh OPTIONS\n.Bl -tag -width Ds\n");
    for (size_t i = 0; i < cli_option_count; i++) {
        const cli_option *option = &cli_option_table[i];
        if ((option->commands & command->bit) == 0) {
            continue;
        }
        (void)printf(".It ");
        if (option->letter != 0) {
            (void)printf("Fl %c , ", option->letter);
        }
        (void)printf("Fl \\-%s", option->name);
        if (option->argument != NULL) {
            (void)printf(" Ar %s", option->argument);
        }
        (void)fputc('\n', stdout);
        put_paragraph(option->help);
    }
    (void)printf(".El\n");
}

static void put_exit_status(void)
{
    (void)printf(".Sh EXIT STATUS\n.Bl -tag -width Ds -compact\n"
                 ".It 0\nDone, and every device is served; with\n.Cm accept\nevery device passes.\n"
                 ".It 1\nDone, but some devices are not served,\n.Cm read\nfound what stops placement,\n.Cm fit\n"
                 "and\n.Cm compare\nleft rows out, or\n.Cm accept\nfound a device that does not pass.\n"
                 ".It 2\nWrong command line.\n"
                 ".It 3\nAn input is missing, unreadable or invalid; file and line are said.\n"
                 ".It 4\nOutput could not be written, or memory ran out.\n"
                 ".It 130\nInterrupted.\n.El\n");
}

static void put_cautions(void)
{
    (void)printf(".Sh CAVEATS\n.Bl -dash -compact\n");
    for (size_t i = 0; hr_report_caution_at(NULL, i) != NULL; i++) {
        (void)printf(".It\n");
        put_paragraph(hr_report_caution_at(NULL, i));
    }
    (void)printf(".El\n");
}

static int compare_names(const void *left, const void *right)
{
    return strcmp(*(const char *const *)left, *(const char *const *)right);
}

static void put_reference(const char *name, const char *section, const char *self, bool *first)
{
    if (strcmp(name, self) == 0) {
        return;
    }
    (void)printf("%s.Xr %s %s", *first ? "" : " ,\n", name, section);
    *first = false;
}

/* In the order mandoc asks for: by section, then by name; never the page itself. */
static void put_see_also(const char *self)
{
    char names[32][64];
    const char *order[32] = {NULL};
    size_t count = 0;
    (void)snprintf(names[count++], sizeof names[0], "hallreach");
    for (size_t i = 0; i < cli_command_count && count < 32; i++) {
        (void)snprintf(names[count++], sizeof names[0], "hallreach-%s", cli_commands[i].name);
    }
    for (size_t i = 0; i < count; i++) {
        order[i] = names[i];
    }
    qsort(order, count, sizeof *order, compare_names);
    bool first = true;
    (void)printf(".Sh SEE ALSO\n");
    for (size_t i = 0; i < count; i++) {
        put_reference(order[i], "1", self, &first);
    }
    put_reference("hallreach-lists", "5", self, &first);
    put_reference("hallreach-property", "5", self, &first);
    put_reference("hallreach-model", "7", self, &first);
    put_reference("hallreach-plan", "7", self, &first);
    (void)printf("\n");
}

/* Titles of pages are in capitals. */
static void put_title(const char *command)
{
    (void)printf(".Dd " PAGE_DATE "\n.Dt HALLREACH-");
    for (; *command != '\0'; command++) {
        (void)fputc(*command >= 'a' && *command <= 'z' ? *command - 'a' + 'A' : *command, stdout);
    }
    (void)printf(" 1\n");
}

static int command_page(const cli_command *command, const char *fixed)
{
    put_title(command->name);
    (void)printf(".Os\n.Sh NAME\n.Nm hallreach-%s\n.Nd radio coverage: ", command->name);
    put_paragraph(command->summary);
    (void)printf(".Sh SYNOPSIS\n.Nm hallreach %s\n.Op Ar options\n", command->name);
    if (command->operands[0] != '\0') {
        (void)printf(".Ar %s\n", command->operands);
    }
    (void)printf(".Sh DESCRIPTION\n");
    put_paragraph(command->details);
    const int failed = copy_fixed(fixed);
    put_options(command);
    put_exit_status();
    char self[64];
    (void)snprintf(self, sizeof self, "hallreach-%s", command->name);
    put_see_also(self);
    put_cautions();
    return failed;
}

static int main_page(const char *fixed)
{
    (void)printf(".Dd " PAGE_DATE "\n.Dt HALLREACH 1\n.Os\n.Sh NAME\n.Nm hallreach\n"
                 ".Nd radio coverage in hotels and dormitories, and where the gateways go\n"
                 ".Sh SYNOPSIS\n.Nm\n.Ar COMMAND\n.Op Ar options\n.Op Ar operand ...\n");
    const int failed = copy_fixed(fixed);
    (void)printf(".Sh COMMANDS\n.Bl -tag -width materials\n");
    for (size_t i = 0; i < cli_command_count; i++) {
        (void)printf(".It Cm %s\n", cli_commands[i].name);
        put_paragraph(cli_commands[i].summary);
    }
    (void)printf(".It Cm help\nshow the help of a command\n.El\n");
    put_exit_status();
    put_see_also("hallreach");
    put_cautions();
    return failed;
}

static void add_range(const hr_key *key, hr_text *text)
{
    char low[HR_FIXED_MAX], high[HR_FIXED_MAX];
    if (key->type == HR_KEY_NUMBER || key->type == HR_KEY_LENGTH || key->type == HR_KEY_INTEGER) {
        hr_text_addf(text, ", from %s to %s%s%s", hr_short(key->low, 6, low), hr_short(key->high, 6, high),
                     key->unit[0] != '\0' ? " " : "", key->unit);
    }
    if (key->choices != NULL && key->choices[0] != '\0') {
        hr_text_addf(text, "; words: %s", key->choices);
    }
}

static void put_key(const hr_key *key)
{
    hr_text text = {0};
    hr_text_add(&text, key->meaning);
    add_range(key, &text);
    hr_text_add(&text, ".");
    if (key->repeatable) {
        hr_text_add(&text, " May be repeated.");
    }
    if (key->fallback == NULL) {
        hr_text_add(&text, " Required.");
    } else if (key->fallback[0] != '\0') {
        hr_text_addf(&text, " Default %s (%s).", key->fallback, key->reason);
    }
    (void)printf(".It Ic %s\n", key->key);
    put_paragraph(text.failed ? "" : text.bytes);
    hr_text_free(&text);
}

static int property_page(const char *fixed)
{
    (void)printf(".Dd " PAGE_DATE "\n.Dt HALLREACH-PROPERTY 5\n.Os\n.Sh NAME\n.Nm hallreach-property\n"
                 ".Nd the property file of hallreach\n");
    const int failed = copy_fixed(fixed);
    (void)printf(".Sh KEYS\nLengths are in\n.Ic length_unit ;\nranges and defaults here are in metres.\n");
    const char *section = "";
    for (size_t i = 0; i < hr_building_key_count(); i++) {
        const hr_key *key = hr_building_key(i);
        if (strcmp(key->section, section) != 0) {
            if (section[0] != '\0') {
                (void)printf(".El\n");
            }
            section = key->section;
            (void)printf(".Ss Section %s\n.Bl -tag -width Ds\n", section);
        }
        put_key(key);
    }
    (void)printf(".El\n");
    put_see_also("hallreach-property");
    return failed;
}

/* The ranges the code checks, from the same table. */
static void put_ranges(void)
{
    (void)printf(".Sh RANGES\nOutside these a figure is marked or noted.\n.Bl -tag -width Ds\n");
    for (int i = 0; i < HR_RANGE_COUNT; i++) {
        const hr_range *range = hr_propagation_range((hr_range_id)i);
        char low[HR_FIXED_MAX], high[HR_FIXED_MAX];
        const bool open = range->high > 1e12;
        hr_text text = {0};
        hr_text_addf(&text, "%s from %s%s%s%s%s%s; %s (%s).", range->quantity, hr_short(range->low, 2, low),
                     open ? "" : " to ", open ? "" : hr_short(range->high, 2, high), range->unit[0] != '\0' ? " " : "",
                     range->unit, open ? " up" : "", range->beyond, range->source);
        (void)printf(".It %s\n", range->formula);
        put_paragraph(text.failed ? "" : text.bytes);
        hr_text_free(&text);
    }
    (void)printf(".El\n");
}

static int fixed_page(const char *name, const char *section, const char *fixed)
{
    char upper[64];
    size_t i = 0;
    for (; name[i] != '\0' && i + 1 < sizeof upper; i++) {
        upper[i] = name[i] >= 'a' && name[i] <= 'z' ? (char)(name[i] - 'a' + 'A') : name[i];
    }
    upper[i] = '\0';
    (void)printf(".Dd " PAGE_DATE "\n.Dt %s %s\n.Os\n", upper, section);
    const int failed = copy_fixed(fixed);
    if (strcmp(name, "hallreach-model") == 0) {
        put_ranges();
    }
    put_see_also(name);
    return failed;
}

int main(int argc, char **argv)
{
    if (argc != 3) {
        (void)fprintf(stderr, "usage: manpages PAGE FIXED-TEXT\n");
        return 2;
    }
    const char *page = argv[1], *fixed = argv[2];
    int failed = 2;
    if (strcmp(page, "hallreach.1") == 0) {
        failed = main_page(fixed);
    } else if (strcmp(page, "hallreach-property.5") == 0) {
        failed = property_page(fixed);
    } else if (strcmp(page, "hallreach-lists.5") == 0) {
        failed = fixed_page("hallreach-lists", "5", fixed);
    } else if (strcmp(page, "hallreach-plan.7") == 0) {
        failed = fixed_page("hallreach-plan", "7", fixed);
    } else if (strcmp(page, "hallreach-model.7") == 0) {
        failed = fixed_page("hallreach-model", "7", fixed);
    }
    for (size_t i = 0; failed == 2 && i < cli_command_count; i++) {
        char name[64];
        (void)snprintf(name, sizeof name, "hallreach-%s.1", cli_commands[i].name);
        if (strcmp(page, name) == 0) {
            failed = command_page(&cli_commands[i], fixed);
        }
    }
    return fflush(stdout) == 0 ? failed : 4;
}
