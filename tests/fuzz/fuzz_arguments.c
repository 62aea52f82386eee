/*
 * fuzz_arguments.c - the command line: the first line is the command's name,
 * every further line a word. What is accepted holds what the words said, within
 * the ranges the help names; nothing is run.
 *
 * SPDX-License-Identifier: MIT
 */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "../../cli/cli.h"

#define REQUIRE(condition)                                                                                             \
    do {                                                                                                               \
        if (!(condition)) {                                                                                            \
            (void)fprintf(report, "%s:%d: %s\n", __FILE__, __LINE__, #condition);                                      \
            (void)fflush(report);                                                                                      \
            abort();                                                                                                   \
        }                                                                                                              \
    } while (0)

#define WORDS_MAX 64

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Refusals are said on standard error, thousands of times a second: they go nowhere. */
static FILE *report;

static void quieten(void)
{
    report = stderr;
    FILE *nowhere = fopen("/dev/null", "w");
    if (nowhere != NULL) {
        stderr = nowhere; /* glibc: an lvalue */
    }
}

static bool one_of(const char *pointer, char *const *words, int count)
{
    for (int i = 0; i < count; i++) {
        /* the word, or what stands in it after the option's own name */
        if (pointer >= words[i] && pointer <= words[i] + strlen(words[i])) {
            return true;
        }
    }
    return false;
}

static void check_words(const cli_options *o, char *const *words, int count)
{
    REQUIRE(o->output == NULL || one_of(o->output, words, count));
    REQUIRE(o->gateways == NULL || one_of(o->gateways, words, count));
    REQUIRE(o->drawing == NULL || (one_of(o->drawing, words, count) && strcmp(o->drawing, "-") != 0));
    for (size_t i = 0; i < o->operand_count; i++) {
        REQUIRE(one_of(o->operands[i], words, count));
    }
    for (size_t i = 0; i < o->set_count; i++) {
        const char *dot = strchr(o->sets[i], '.'), *equals = strchr(o->sets[i], '=');
        REQUIRE(one_of(o->sets[i], words, count) && dot != NULL && equals != NULL && dot < equals);
    }
    const cli_words *lists[] = {&o->must, &o->never, &o->without};
    for (size_t l = 0; l < sizeof lists / sizeof lists[0]; l++) {
        for (size_t i = 0; i < lists[l]->count; i++) {
            REQUIRE(one_of(lists[l]->items[i], words, count));
        }
    }
}

static void check_numbers(const cli_options *o)
{
    REQUIRE(o->format >= CLI_TEXT && o->format <= CLI_JSON);
    REQUIRE(o->effort >= 0 && o->effort <= 2000000000L && o->at_most >= 0 && o->at_most <= 1000000L);
    REQUIRE(o->seconds >= 0.0 && o->seconds <= 1e6);
    REQUIRE(o->frequency_mhz >= 300.0 && o->frequency_mhz <= 6000.0);
    REQUIRE(!o->no_memory);
}

static void parse(const cli_command *command, char **words, int count)
{
    cli_options options = {.frequency_mhz = 915.0};
    const bool accepted = cli_parse(command, count, words, &options);
    check_words(&options, words, count);
    if (accepted) {
        check_numbers(&options);
        if (!options.help && !options.version && command->operands[0] == '\0') {
            REQUIRE(options.operand_count == 0);
        }
        if (!options.help && !options.version && command->operands[0] != '\0') {
            /* estimate takes numbers in place of property files */
            REQUIRE((options.operand_count >= 1 || command->bit == CLI_ESTIMATE) && options.operand_count <= (size_t)count);
        }
    }
    cli_free_options(&options);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    if (report == NULL) {
        quieten();
    }
    if (size > 1 << 16) {
        return 0;
    }
    char *text = hr_strndup((const char *)data, size);
    if (text == NULL) {
        return 0;
    }
    char *words[WORDS_MAX];
    int count = 0;
    /* a word cannot hold a zero: the rest of its line is cut off, as the system would */
    for (char *at = text, *end = text + size; at < end && count < WORDS_MAX;) {
        char *line_end = memchr(at, '\n', (size_t)(end - at));
        if (line_end == NULL) {
            line_end = end;
        }
        *line_end = '\0';
        words[count++] = at;
        at = line_end + 1;
    }
    const cli_command *command = count > 0 ? cli_find_command(words[0]) : NULL;
    if (command != NULL) {
        parse(command, words + 1, count - 1);
    } else if (count > 0) {
        cli_suggest_command(words[0]);
    }
    hr_free(text);
    return 0;
}
