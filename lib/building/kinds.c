/*
 * kinds.c - [device NAME] sections: the kinds of device of a property and
 * what each joins.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

#include <string.h>

static hr_status check_name(const building_reader *r, const building_section *section)
{
    hr_text clean = {0};
    const bool changed = building_clean_id(section->name, &clean);
    const bool failed = clean.failed;
    hr_text_free(&clean);
    if (failed) {
        return hr_fail_memory(r->err);
    }
    if (changed || strchr(section->name, '@') != NULL) {
        return hr_fail(r->err, HR_ERR_INPUT, r->file, section->line,
                       "[%s]: a kind is called by letters, digits, - _ and . only", section->title);
    }
    if (hr_casecmp(section->name, "gateway") == 0) {
        return hr_fail(r->err, HR_ERR_INPUT, r->file, section->line,
                       "[%s]: a kind of device cannot be called gateway; gateways have [gateway]", section->title);
    }
    return HR_OK;
}

static hr_status read_kind(building_reader *r, size_t section, hr_device_kind *kind)
{
    const building_section *s = &r->sections[section];
    hr_status status = check_name(r, s);
    if (status == HR_OK) {
        status = building_fill(r, BUILDING_DEVICE, section, kind);
    }
    if (status != HR_OK) {
        return status;
    }
    memcpy(kind->name, s->name, strlen(s->name) + 1); /* a section's name is shorter than the array */
    kind->joins = HR_JOINS_GATEWAY;
    kind->implied = s->line == 0;
    if (kind->accept_pass_db < kind->accept_fail_db) {
        return hr_fail(r->err, HR_ERR_INPUT, r->file, s->line,
                       "[%s]: accept_pass_db is below accept_fail_db; what passes cannot fail", s->title);
    }
    if (kind->power == HR_POWER_BATTERY && kind->relays) {
        hr_note(r->notes, r->file, s->line, "[%s] relays on battery: confirm with the maker; battery life falls",
                s->title);
    }
    return HR_OK;
}

static int find_kind(const hr_building *b, const char *name)
{
    for (size_t i = 0; i < b->kind_count; i++) {
        if (hr_casecmp(b->kinds[i].name, name) == 0) {
            return (int)i;
        }
    }
    return -1;
}

static hr_status unknown_kind(const building_reader *r, const building_entry *entry)
{
    const char *names[HR_MAX_KINDS + 1] = {"gateway"};
    size_t count = 1;
    for (size_t i = 0; i < r->b->kind_count; i++) {
        names[count++] = r->b->kinds[i].name;
    }
    hr_text text = {0};
    const char *nearest = hr_nearest(entry->value, names, count, 2);
    hr_text_add(&text, "no such kind of device");
    if (nearest != NULL) {
        hr_text_addf(&text, ", did you mean %s?", nearest);
    } else {
        hr_text_add(&text, "; gateway or the name of a [device ...] section was expected");
    }
    const hr_status status = text.failed ? hr_fail_memory(r->err) : building_fail_entry(r, entry, text.bytes);
    hr_text_free(&text);
    return status;
}

static hr_status resolve_joins(building_reader *r, size_t section, size_t kind)
{
    const building_entry *entry = building_entry_of(r, section, "joins");
    if (entry == NULL || hr_casecmp(entry->value, "gateway") == 0) {
        return HR_OK;
    }
    const int joined = find_kind(r->b, entry->value);
    if (joined < 0) {
        return unknown_kind(r, entry);
    }
    if ((size_t)joined == kind) {
        return building_fail_entry(r, entry, "a kind cannot join itself");
    }
    r->b->kinds[kind].joins = joined;
    return HR_OK;
}

/* Following joins from any kind must end at the gateway. */
static hr_status check_circles(building_reader *r, const size_t *sections)
{
    const hr_building *b = r->b;
    for (size_t i = 0; i < b->kind_count; i++) {
        int at = b->kinds[i].joins;
        for (size_t steps = 0; at != HR_JOINS_GATEWAY; steps++) {
            if (steps == b->kind_count) {
                return building_fail_entry(r, building_entry_of(r, sections[i], "joins"),
                                           "joins go round in a circle; they must end at gateway");
            }
            at = b->kinds[at].joins;
        }
    }
    return HR_OK;
}

static hr_status implied_kind(building_reader *r)
{
    hr_building *b = r->b;
    b->kinds = hr_alloc_zero(1, sizeof *b->kinds);
    if (b->kinds == NULL) {
        return hr_fail_memory(r->err);
    }
    const hr_status status = building_fill(r, BUILDING_DEVICE, BUILDING_NONE, &b->kinds[0]);
    memcpy(b->kinds[0].name, "wall", sizeof "wall");
    b->kinds[0].joins = HR_JOINS_GATEWAY;
    b->kinds[0].implied = true;
    b->kind_count = 1;
    return status;
}

hr_status building_read_kinds(building_reader *r)
{
    hr_building *b = r->b;
    size_t sections[HR_MAX_KINDS];
    size_t count = 0;
    for (size_t i = 0; i < r->section_count; i++) {
        if (r->sections[i].target != BUILDING_DEVICE) {
            continue;
        }
        if (count == HR_MAX_KINDS) {
            return hr_fail(r->err, HR_ERR_LIMIT, r->file, r->sections[i].line,
                           "more [device ...] sections than the limit of %zu", HR_MAX_KINDS);
        }
        sections[count++] = i;
    }
    if (count == 0) {
        return implied_kind(r);
    }
    b->kinds = hr_alloc_zero(count, sizeof *b->kinds);
    if (b->kinds == NULL) {
        return hr_fail_memory(r->err);
    }
    hr_status status = HR_OK;
    for (size_t i = 0; i < count && status == HR_OK; i++) {
        status = read_kind(r, sections[i], &b->kinds[i]);
        b->kind_count = i + 1;
    }
    for (size_t i = 0; i < count && status == HR_OK; i++) {
        status = resolve_joins(r, sections[i], i);
    }
    return status == HR_OK ? check_circles(r, sections) : status;
}
