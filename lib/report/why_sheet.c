/*
 * why_sheet.c - one room as a work sheet of one page: what costs nothing
 * first, then the likely causes, then the remedies, each with its cautions.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

#include <stdio.h>
#include <string.h>

/* Causes less probable than this are not on the sheet; `why` lists all. */
#define CAUSE_SHOWN 0.02
#define INDENT 4

typedef struct sheet {
    const hr_why *why;
    hr_text body;
    bool used[128]; /* letters of cautions that a step called */
} sheet;

/* Text from the column `from` on, wrapped; further lines stand at `indent`. */
static void wrap(hr_text *out, size_t from, size_t indent, const char *text)
{
    size_t column = from;
    bool first = true;
    while (*text != '\0') {
        text += strspn(text, " ");
        const size_t len = strcspn(text, " ");
        if (len == 0) {
            break;
        }
        char word[128];
        const size_t kept = len < sizeof word ? len : sizeof word - 1;
        memcpy(word, text, kept);
        word[kept] = '\0';
        const size_t width = hr_text_width(word);
        if (!first && column + 1 + width > HR_SHEET_COLUMNS - 1) {
            hr_text_add(out, "\n");
            hr_text_pad(out, indent);
            column = indent;
        } else if (!first) {
            hr_text_add(out, " ");
            column++;
        }
        hr_text_add_n(out, text, len);
        column += width;
        text += len;
        first = false;
    }
    hr_text_add(out, "\n");
}

/* A line to tick off; letters name its cautions. */
static void add_step(sheet *s, const char *text, const char *letters)
{
    hr_text line = {0};
    hr_text_add(&line, text);
    for (const char *l = letters; *l != '\0'; l++) {
        s->used[(unsigned char)*l] = true;
        hr_text_addf(&line, "%s%c", l == letters ? "  Caution " : ", ", *l);
    }
    hr_text_add(&s->body, "[ ] ");
    wrap(&s->body, INDENT, INDENT, report_words(&s->body, &line));
    hr_text_free(&line);
}

static bool is_mains(const hr_why *why, uint32_t device)
{
    return why->building->kinds[why->building->devices[device].kind].power == HR_POWER_MAINS;
}

static void add_device_check(sheet *s, const hr_why_link *link)
{
    const hr_building *b = s->why->building;
    const bool mains = is_mains(s->why, link->device);
    hr_text line = {0};
    hr_text_addf(&line, "%s: status lamp lit; %s. Antenna upright, not under metal or behind a mirror.", b->devices[link->device].name,
                 mains ? "breaker closed, supply on" : "batteries fresh, the right way round");
    add_step(s, report_words(&s->body, &line), mains ? "M" : "");
    hr_text_free(&line);
}

static void add_level_check(sheet *s)
{
    const hr_why *why = s->why;
    char number[HR_FIXED_MAX];
    for (size_t i = 0; i < why->link_count; i++) {
        const hr_why_link *link = &why->links[i];
        if (!link->measured || link->device != why->control) {
            continue;
        }
        hr_text line = {0};
        hr_text_addf(&line, "Door shut: level of %s at %s ______ dBm. Predicted ", link->from, link->to);
        const hr_link *l = &link->budget.link;
        hr_text_addf(&line, "%s dBm %s, ", hr_fixed(l->received_dbm, 1, number), l->direction == HR_UP ? "there" : "here");
        hr_text_addf(&line, "served from %s dBm.",
                     hr_fixed(l->sensitivity_dbm + l->noise_rise_db + link->required_margin_db, 1, number));
        add_step(s, report_words(&s->body, &line), "");
        hr_text_free(&line);
    }
}

/* Why a link is not served; whoever hangs on an unserved device is not told again. */
static void add_reasons(sheet *s)
{
    for (size_t i = 0; i < s->why->link_count; i++) {
        const hr_why_link *link = &s->why->links[i];
        if (link->reason[0] != '\0' && (link->via == HR_SITING_NONE || link->spare_db < 0.0)) {
            hr_text line = {0};
            hr_text_addf(&line, "%s: %s", link->from, link->reason);
            wrap(&s->body, 0, INDENT, report_words(&s->body, &line));
            hr_text_free(&line);
        }
    }
}

static void add_free_checks(sheet *s)
{
    const hr_why *why = s->why;
    hr_text_add(&s->body, "\n1  WHAT COSTS NOTHING\n");
    for (size_t i = 0; i < why->link_count; i++) {
        add_device_check(s, &why->links[i]);
    }
    if (why->planned != HR_SITING_NONE) {
        const hr_sited_gateway *g = &why->siting->gateways[why->planned];
        hr_text line = {0};
        hr_text_addf(&line, "Network id of %s is %s, as on %s: ______. Joined to: ______",
                     why->building->devices[why->control].name, g->network_id, g->id);
        add_step(s, report_words(&s->body, &line), "");
        hr_text_free(&line);
    }
    add_level_check(s);
}

static const struct {
    const char *name, *letters;
} step_cautions[] = {{"look-at-gateway", "LA"}, {"free-antenna", "A"}},
  remedy_cautions[] = {{"free-antenna", "A"},   {"move-control", "FO"},     {"relay-room", ""},
                       {"join-gateway", ""},    {"move-gateway", "LFOPK"}, {"add-gateway", "LFOPK"}};

static const char *letters_of(const char *name, bool remedy)
{
    for (size_t i = 0; remedy && i < sizeof remedy_cautions / sizeof remedy_cautions[0]; i++) {
        if (strcmp(remedy_cautions[i].name, name) == 0) {
            return remedy_cautions[i].letters;
        }
    }
    for (size_t i = 0; !remedy && i < sizeof step_cautions / sizeof step_cautions[0]; i++) {
        if (strcmp(step_cautions[i].name, name) == 0) {
            return step_cautions[i].letters;
        }
    }
    return "";
}

#define LETTERS_MAX 8

/* Work on a mains-fed unit calls for its caution whatever the work. */
static bool names_mains(const hr_why *why, const char *words)
{
    for (size_t i = 0; i < why->link_count; i++) {
        if (is_mains(why, why->links[i].device) && strstr(words, why->links[i].from) != NULL) {
            return true;
        }
    }
    return false;
}

static void join_letters(bool mains, const char *others, char out[LETTERS_MAX])
{
    (void)snprintf(out, LETTERS_MAX, "%s%s", mains ? "M" : "", others);
}

static void add_causes(sheet *s)
{
    const hr_why *why = s->why;
    hr_text_add(&s->body, "\n2  FIRST LOOK\n");
    if (why->as_read[0] != '\0') {
        hr_text_pad(&s->body, INDENT);
        wrap(&s->body, INDENT, INDENT, why->as_read);
    }
    char letters[LETTERS_MAX] = "";
    join_letters(names_mains(why, why->first_step), letters_of(why->check, false), letters);
    add_step(s, why->first_step, letters);
    hr_text_add(&s->body, "\n3  LIKELY CAUSES (assumed priors, levels read so far)\n");
    for (size_t i = 0; i < why->cause_count; i++) {
        if (why->causes[i].probability >= CAUSE_SHOWN) {
            hr_text line = {0};
            hr_text_fixed(&line, 100.0 * why->causes[i].probability, 0);
            hr_text_addf(&line, " %%  %s", why->causes[i].words);
            const char *words = report_words(&s->body, &line);
            const size_t width = strcspn(words, " ");
            hr_text_pad(&s->body, INDENT + 3 - (width < 3 ? width : 3));
            wrap(&s->body, INDENT + 3, INDENT + 6, words);
            hr_text_free(&line);
        }
    }
}

static void add_remedies(sheet *s)
{
    const hr_why *why = s->why;
    hr_text_add(&s->body, "\n4  REMEDIES, where the causes above leave it; most gain per minute first\n");
    for (size_t i = 0; i < why->remedy_count; i++) {
        const hr_why_remedy *r = &why->remedies[i];
        hr_text line = {0};
        char letters[LETTERS_MAX] = "";
        join_letters(names_mains(why, r->words), letters_of(r->kind, true), letters);
        hr_text_addf(&line, "%s: ", r->words);
        hr_text_add(&line, r->gain_db >= 0.0 ? "+" : "");
        hr_text_fixed(&line, r->gain_db, 1);
        hr_text_add(&line, " dB, then ");
        hr_text_fixed(&line, r->spare_after_db, 1);
        hr_text_add(&line, " dB to spare.");
        add_step(s, report_words(&s->body, &line), letters);
        hr_text_free(&line);
    }
    if (why->remedy_count == 0) {
        hr_text_pad(&s->body, INDENT);
        hr_text_add(&s->body, "none of those computed helps by a decibel or more\n");
    }
}

static void add_cautions(const sheet *s, hr_text *out)
{
    hr_text_add(out, "\nCAUTIONS\n");
    for (int letter = 'A'; letter <= 'Z'; letter++) {
        if (s->used[letter]) {
            hr_text_addf(out, " %c  ", letter);
            wrap(out, INDENT, INDENT, report_caution_by((char)letter));
        }
    }
    wrap(out, 0, INDENT, hr_report_caution());
    wrap(out, 0, INDENT, "Local codes and licensed practice decide.");
    hr_text_add(out, "\nDone by ______________________  Date ____________  Works now: yes / no\n");
}

static size_t count_lines(const hr_text *text)
{
    size_t lines = 0;
    for (size_t i = 0; i < text->len; i++) {
        lines += text->bytes[i] == '\n';
    }
    return lines;
}

/* The body in as many lines as the cautions leave; what is cut is said. */
static void add_body(const hr_text *body, size_t room, const char *name, hr_text *out)
{
    const size_t lines = count_lines(body);
    const size_t kept = lines <= room ? lines : room - 1;
    size_t at = 0;
    for (size_t line = 0; line < kept && at < body->len; at++) {
        line += body->bytes[at] == '\n';
    }
    hr_text_add_n(out, body->bytes, at);
    if (kept < lines) {
        hr_text_addf(out, "... %zu lines did not fit: `hallreach why %s` has them\n", lines - kept, name);
    }
}

hr_status hr_report_why_sheet(const hr_why *why, hr_text *out, hr_error *err)
{
    sheet s = {.why = why};
    hr_text foot = {0};
    const hr_building *b = why->building;
    const char *room = b->rooms[why->room].name;
    hr_text head = {0};
    hr_text_addf(&head, "WORK SHEET, room %s, storey %s, %s: radio coverage", room,
                 b->storeys[b->rooms[why->room].storey].name, b->name);
    wrap(&s.body, 0, INDENT, report_words(&s.body, &head));
    hr_text_addf(&s.body, "%s\n", why->served ? "Served by the prediction." : "Not served by the prediction.");
    add_reasons(&s);
    add_free_checks(&s);
    add_causes(&s);
    add_remedies(&s);
    add_cautions(&s, &foot);
    const bool failed = s.body.failed || foot.failed;
    if (!failed) {
        add_body(&s.body, HR_SHEET_LINES - count_lines(&foot), room, out);
        hr_text_add(out, foot.bytes);
    }
    out->failed = out->failed || failed;
    hr_text_free(&head);
    hr_text_free(&foot);
    hr_text_free(&s.body);
    return report_done(out, err);
}
