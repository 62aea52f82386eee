/*
 * why_json.c - one room as JSON.
 *
 * SPDX-License-Identifier: MIT
 */
#include "report_priv.h"

static json_t *lines_of(report_json *json, const hr_budget *budget)
{
    json_t *list = json_array();
    for (size_t i = 0; i < budget->count; i++) {
        json_t *row = json_object();
        report_put(json, row, "item", report_string(json, budget->lines[i].item));
        report_put(json, row, "db", report_level(budget->lines[i].db));
        report_put(json, row, "note", report_string(json, budget->lines[i].note));
        report_append(json, list, row);
    }
    return list;
}

static json_t *link_row(report_json *json, const hr_why_link *link)
{
    const hr_link *found = &link->budget.link;
    const bool has = link->measured;
    json_t *row = json_object();
    report_put(json, row, "from", report_string(json, link->from));
    report_put(json, row, "to", report_string(json, link->to));
    report_put(json, row, "direction", report_string(json, !has ? NULL : found->direction == HR_UP ? "up" : "down"));
    report_put(json, row, "lines", lines_of(json, &link->budget));
    report_put(json, row, "link_margin_db", report_level(has ? link->budget.link_margin_db : REPORT_UNKNOWN));
    report_put(json, row, "required_margin_db", report_level(link->required_margin_db));
    report_put(json, row, "spare_db", report_level(link->spare_db));
    report_put(json, row, "reliability", report_probability(has ? found->reliability : REPORT_UNKNOWN));
    report_put(json, row, "distance_m", report_level(has ? found->distance_m : REPORT_UNKNOWN));
    report_put(json, row, "within_range_limit", link->within_range < 0 ? json_null() : json_boolean(link->within_range));
    report_put(json, row, "served", json_boolean(link->served));
    report_put(json, row, "reason", report_string(json, link->served ? NULL : link->reason));
    return row;
}

static json_t *gateway_id(report_json *json, const hr_why *why, uint32_t gateway)
{
    return report_string(json, gateway == HR_SITING_NONE ? NULL : why->siting->gateways[gateway].id);
}

static json_t *gateways(report_json *json, const hr_why *why)
{
    json_t *list = json_array();
    for (size_t i = 0; i < why->gateway_count; i++) {
        const hr_why_gateway *g = &why->gateways[i];
        json_t *row = json_object();
        report_put(json, row, "id", gateway_id(json, why, g->gateway));
        report_put(json, row, "distance_m", report_level(g->distance_m));
        report_put(json, row, "slabs", report_count(g->slabs));
        report_put(json, row, "link_margin_db", report_level(g->link_margin_db));
        report_put(json, row, "spare_db", report_level(g->spare_db));
        report_put(json, row, "serves", json_boolean(g->serves));
        report_append(json, list, row);
    }
    return list;
}

static json_t *levels(report_json *json, const hr_why *why)
{
    json_t *list = json_array();
    for (size_t i = 0; i < why->level_count; i++) {
        const hr_why_level *level = &why->levels[i];
        json_t *row = json_object();
        report_put(json, row, "from", report_string(json, level->from));
        report_put(json, row, "to", report_string(json, level->to));
        report_put(json, row, "measured_dbm", report_level(level->level_dbm));
        report_put(json, row, "predicted_dbm", report_level(level->predicted_dbm));
        report_append(json, list, row);
    }
    return list;
}

static json_t *causes(report_json *json, const hr_why *why)
{
    json_t *list = json_array();
    for (size_t i = 0; i < why->cause_count; i++) {
        json_t *row = json_object();
        report_put(json, row, "cause", report_string(json, why->causes[i].cause));
        report_put(json, row, "words", report_string(json, why->causes[i].words));
        report_put(json, row, "probability", report_probability(why->causes[i].probability));
        report_put(json, row, "evidence", report_string(json, why->causes[i].evidence));
        report_append(json, list, row);
    }
    return list;
}

static json_t *remedies(report_json *json, const hr_why *why)
{
    json_t *list = json_array();
    for (size_t i = 0; i < why->remedy_count; i++) {
        const hr_why_remedy *remedy = &why->remedies[i];
        json_t *row = json_object();
        report_put(json, row, "remedy", report_string(json, remedy->words));
        report_put(json, row, "kind", report_string(json, remedy->kind));
        report_put(json, row, "gain_db", report_level(remedy->gain_db));
        report_put(json, row, "spare_after_db", report_level(remedy->spare_after_db));
        report_put(json, row, "minutes", report_level(remedy->minutes));
        report_append(json, list, row);
    }
    return list;
}

hr_status hr_report_why_json(const hr_why *why, const hr_notes *notes, hr_text *out, hr_error *err)
{
    report_json json = {0};
    const hr_building *b = why->building;
    json_t *top = json_object(), *links = json_array();
    for (size_t i = 0; i < why->link_count; i++) {
        report_append(&json, links, link_row(&json, &why->links[i]));
    }
    report_put(&json, top, "command", report_string(&json, "why"));
    report_put(&json, top, "version", report_string(&json, hr_version()));
    report_put(&json, top, "property", report_string(&json, b->name));
    report_put(&json, top, "room", report_string(&json, b->rooms[why->room].name));
    report_put(&json, top, "served", json_boolean(why->served));
    report_put(&json, top, "links", links);
    report_put(&json, top, "gateways", gateways(&json, why));
    report_put(&json, top, "closest_gateway", gateway_id(&json, why, why->closest));
    report_put(&json, top, "best_gateway", gateway_id(&json, why, why->best));
    report_put(&json, top, "levels", levels(&json, why));
    report_put(&json, top, "as_read", why->as_read[0] == '\0' ? json_null() : report_string(&json, why->as_read));
    report_put(&json, top, "causes", causes(&json, why));
    report_put(&json, top, "first_step", report_string(&json, why->first_step));
    report_put(&json, top, "check", report_string(&json, why->check));
    report_put(&json, top, "cannot_tell", json_boolean(why->cannot_tell));
    report_put(&json, top, "remedies", remedies(&json, why));
    report_put_tail(&json, top, b, notes);
    return report_json_end(&json, top, out, err);
}
