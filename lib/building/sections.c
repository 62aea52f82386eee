/*
 * sections.c - sections and entries of the property file: known words only,
 * nothing twice, and what --set changes.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

#include <string.h>

static const char set_file[] = "--set";

static hr_status fail_at(const building_reader *r, int line, const char *text)
{
    return hr_fail(r->err, HR_ERR_INPUT, line > 0 ? r->file : set_file, line, "%s", text);
}

hr_status building_fail_entry(const building_reader *r, const building_entry *entry, const char *text)
{
    return hr_fail(r->err, HR_ERR_INPUT, entry->line > 0 ? r->file : set_file, entry->line, "%s = %s: %s",
                   entry->row->key.key, entry->value, text);
}

hr_status building_fail_material(const building_reader *r, const building_entry *entry, const char *or_else)
{
    const char *nearest = hr_materials_nearest(r->b->materials, entry->value);
    return hr_fail(r->err, HR_ERR_INPUT, entry->line > 0 ? r->file : set_file, entry->line,
                   "%s = %s: unknown material%s%s%s", entry->row->key.key, entry->value,
                   nearest == NULL ? "; a row of the material table, a [material ...] section" : ", did you mean ",
                   nearest == NULL ? or_else : nearest, nearest == NULL ? " was expected" : "?");
}

static hr_status unknown_section(building_reader *r, const char *word, int line)
{
    const char *words[BUILDING_TARGETS];
    for (int i = 0; i < BUILDING_TARGETS; i++) {
        words[i] = building_target_word((building_target)i);
    }
    const char *nearest = hr_nearest(word, words, BUILDING_TARGETS, 3);
    hr_text text = {0};
    hr_text_addf(&text, "unknown section [%s]", word);
    if (nearest != NULL) {
        hr_text_addf(&text, ", did you mean [%s]?", nearest);
    } else {
        hr_text_add(&text, "; known are");
        for (int i = 0; i < BUILDING_TARGETS; i++) {
            hr_text_addf(&text, "%s %s", i == 0 ? "" : ",", words[i]);
        }
    }
    const hr_status status = text.failed ? hr_fail_memory(r->err) : fail_at(r, line, text.bytes);
    hr_text_free(&text);
    return status;
}

/* "device  wall" -> target and "wall". */
static hr_status split_title(building_reader *r, const char *title, int line, building_target *target,
                             const char **name)
{
    const size_t len = strcspn(title, " \t");
    for (int i = 0; i < BUILDING_TARGETS; i++) {
        const char *word = building_target_word((building_target)i);
        if (strlen(word) != len || !hr_caseeq_n(title, word, len)) {
            continue;
        }
        *target = (building_target)i;
        *name = title + len + strspn(title + len, " \t");
        const bool named = building_target_named(*target);
        if (named && **name == '\0') {
            return hr_fail(r->err, HR_ERR_INPUT, line > 0 ? r->file : set_file, line,
                           "[%s] needs a name: [%s NAME] was expected", word, word);
        }
        if (!named && **name != '\0') {
            return hr_fail(r->err, HR_ERR_INPUT, line > 0 ? r->file : set_file, line,
                           "[%s %s]: this section has no name, [%s] was expected", word, *name, word);
        }
        return HR_OK;
    }
    char word[64] = {0};
    memcpy(word, title, len < sizeof word - 1 ? len : sizeof word - 1);
    return unknown_section(r, word, line);
}

hr_status building_open_section(building_reader *r, const char *title, int line)
{
    building_target target = BUILDING_PROPERTY;
    const char *name = "";
    hr_status status = split_title(r, title, line, &target, &name);
    if (status != HR_OK) {
        return status;
    }
    hr_text whole = {0};
    hr_text_addf(&whole, "%s%s%s", building_target_word(target), *name == '\0' ? "" : " ", name);
    const char *kept = building_keep(r, &whole);
    if (kept == NULL) {
        return hr_fail_memory(r->err);
    }
    const size_t before = hr_names_find(r->titles, kept);
    if (before != SIZE_MAX) {
        return hr_fail(r->err, HR_ERR_INPUT, r->file, line, "section [%s] stands twice, first in line %d", kept,
                       r->sections[before].line);
    }
    if (r->section_count == HR_MAX_SECTIONS) {
        return hr_fail(r->err, HR_ERR_LIMIT, r->file, line, "more sections than the limit of %zu", HR_MAX_SECTIONS);
    }
    if (!HR_RESERVE(r->sections, r->section_cap, r->section_count + 1) ||
        !hr_names_add(r->titles, kept, r->section_count)) {
        return hr_fail_memory(r->err);
    }
    r->sections[r->section_count] = (building_section){.target = target,
                                                       .title = kept,
                                                       .name = kept + (strlen(kept) - strlen(name)),
                                                       .line = line,
                                                       .first = BUILDING_NONE,
                                                       .last = BUILDING_NONE};
    r->current = r->section_count++;
    return HR_OK;
}

static hr_status unknown_key(building_reader *r, const building_section *section, const char *key, int line)
{
    const char *nearest = building_row_nearest(section->target, key);
    const char *file = line > 0 ? r->file : set_file;
    if (nearest != NULL) {
        return hr_fail(r->err, HR_ERR_INPUT, file, line, "unknown key %s in [%s], did you mean %s?", key,
                       section->title, nearest);
    }
    const building_key_row *rows = NULL;
    const size_t count = building_rows(&rows);
    for (size_t i = 0; i < count; i++) {
        if (hr_casecmp(rows[i].key.key, key) == 0) {
            return hr_fail(r->err, HR_ERR_INPUT, file, line, "unknown key %s in [%s]; it belongs to [%s]", key,
                           section->title, rows[i].key.section);
        }
    }
    return hr_fail(r->err, HR_ERR_INPUT, file, line, "unknown key %s in [%s]", key, section->title);
}

static size_t find_entry(const building_reader *r, size_t section, const building_key_row *row)
{
    size_t at = section == BUILDING_NONE ? BUILDING_NONE : r->sections[section].first;
    while (at != BUILDING_NONE && r->entries[at].row != row) {
        at = r->entries[at].next;
    }
    return at;
}

static hr_status append_entry(building_reader *r, const building_key_row *row, const char *value, int line)
{
    const char *kept = hr_arena_strdup(r->arena, value);
    if (kept == NULL || !HR_RESERVE(r->entries, r->entry_cap, r->entry_count + 1)) {
        return hr_fail_memory(r->err);
    }
    building_section *section = &r->sections[r->current];
    r->entries[r->entry_count] = (building_entry){.row = row, .value = kept, .line = line, .next = BUILDING_NONE};
    if (section->last == BUILDING_NONE) {
        section->first = r->entry_count;
    } else {
        r->entries[section->last].next = r->entry_count;
    }
    section->last = r->entry_count++;
    return HR_OK;
}

hr_status building_add_entry(building_reader *r, const char *key, const char *value, int line)
{
    const char *file = line > 0 ? r->file : set_file;
    if (r->current == BUILDING_NONE) {
        return hr_fail(r->err, HR_ERR_INPUT, file, line, "%s stands before the first [section]", key);
    }
    const building_section *section = &r->sections[r->current];
    const building_key_row *row = building_row_find(section->target, key);
    if (row == NULL) {
        return unknown_key(r, section, key, line);
    }
    if (value[0] == '\0') {
        return hr_fail(r->err, HR_ERR_INPUT, file, line, "%s has no value; leave the line out for the default", key);
    }
    if (r->entry_count == HR_MAX_KEYS) {
        return hr_fail(r->err, HR_ERR_LIMIT, file, line, "more keys than the limit of %zu", HR_MAX_KEYS);
    }
    const size_t before = row->key.repeatable ? BUILDING_NONE : find_entry(r, r->current, row);
    if (before == BUILDING_NONE) {
        return append_entry(r, row, value, line);
    }
    if (line > 0) {
        return hr_fail(r->err, HR_ERR_INPUT, r->file, line, "%s stands twice in [%s], first in line %d", row->key.key,
                       section->title, r->entries[before].line);
    }
    const char *kept = hr_arena_strdup(r->arena, value); /* --set acts after the file */
    if (kept == NULL) {
        return hr_fail_memory(r->err);
    }
    r->entries[before].value = kept;
    r->entries[before].line = 0;
    return HR_OK;
}

/* A new section by --set: one without a name, an own material, or the implied kind wall. */
static bool may_make(const building_reader *r, const char *title)
{
    static const char *const words[] = {"radio", "gateway", "drawing", "estimate", "fitted", "property"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (hr_casecmp(title, words[i]) == 0) {
            return true;
        }
    }
    return hr_caseeq_n(title, "material ", 9) ||
           (hr_casecmp(title, "device wall") == 0 && building_section_of(r, BUILDING_DEVICE) == BUILDING_NONE);
}

static hr_status no_such_section(building_reader *r, const char *title)
{
    building_target target = BUILDING_PROPERTY;
    const char *name = "";
    const hr_status status = split_title(r, title, 0, &target, &name);
    if (status != HR_OK) {
        return status;
    }
    hr_text text = {0};
    hr_text_addf(&text, "no section [%s] in %s; there", title, r->file);
    size_t count = 0;
    for (size_t i = 0; i < r->section_count; i++) {
        if (r->sections[i].target == target) {
            hr_text_addf(&text, "%s [%s]", count++ == 0 ? " is" : ",", r->sections[i].title);
        }
    }
    if (count == 0) {
        hr_text_add(&text, " is none of its kind");
    }
    const hr_status failed = text.failed ? hr_fail_memory(r->err) : fail_at(r, 0, text.bytes);
    hr_text_free(&text);
    return failed;
}

/* "section.key=value". Keys hold no dots, names of sections may: the last dot before the = divides. */
static hr_status apply_set(building_reader *r, const char *set)
{
    const char *equals = strchr(set, '=');
    const char *dot = NULL;
    for (const char *at = set; equals != NULL && at < equals; at++) {
        dot = *at == '.' ? at : dot;
    }
    if (dot == NULL || !building_is_utf8(set, strlen(set))) {
        return hr_fail(r->err, HR_ERR_INPUT, set_file, 0, "%s: section.key=value was expected", set);
    }
    char *parts[3] = {hr_strndup(set, (size_t)(dot - set)), hr_strndup(dot + 1, (size_t)(equals - dot - 1)),
                      hr_strdup(equals + 1)};
    hr_status status = HR_OK;
    for (int i = 0; i < 3; i++) {
        if (parts[i] == NULL) {
            status = hr_fail_memory(r->err);
        }
    }
    const char *trimmed[3] = {"", "", ""};
    for (int i = 0; i < 3 && status == HR_OK; i++) {
        size_t len = strlen(parts[i]);
        while (len > 0 && (parts[i][len - 1] == ' ' || parts[i][len - 1] == '\t')) {
            parts[i][--len] = '\0';
        }
        trimmed[i] = parts[i] + strspn(parts[i], " \t");
    }
    if (status == HR_OK) {
        const size_t known = hr_names_find(r->titles, trimmed[0]);
        r->current = known;
        if (known == SIZE_MAX) {
            status = may_make(r, trimmed[0]) ? building_open_section(r, trimmed[0], 0) : no_such_section(r, trimmed[0]);
        }
    }
    if (status == HR_OK) {
        status = building_add_entry(r, trimmed[1], trimmed[2], 0);
    }
    for (int i = 0; i < 3; i++) {
        hr_free(parts[i]);
    }
    return status;
}

hr_status building_apply_sets(building_reader *r)
{
    hr_status status = HR_OK;
    for (size_t i = 0; i < r->options.set_count && status == HR_OK; i++) {
        status = apply_set(r, r->options.sets[i]);
    }
    return status;
}

size_t building_section_of(const building_reader *r, building_target target)
{
    for (size_t i = 0; i < r->section_count; i++) {
        if (r->sections[i].target == target) {
            return i;
        }
    }
    return BUILDING_NONE;
}

const building_entry *building_entry_of(const building_reader *r, size_t section, const char *key)
{
    if (section == BUILDING_NONE) {
        return NULL;
    }
    const size_t at = find_entry(r, section, building_row_find(r->sections[section].target, key));
    return at == BUILDING_NONE ? NULL : &r->entries[at];
}

const building_entry *building_entry_next(const building_reader *r, const building_entry *entry)
{
    size_t at = entry->next;
    while (at != BUILDING_NONE && r->entries[at].row != entry->row) {
        at = r->entries[at].next;
    }
    return at == BUILDING_NONE ? NULL : &r->entries[at];
}
