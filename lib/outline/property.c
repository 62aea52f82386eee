/*
 * property.c - the property file that goes with the plans.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_priv.h"

/* Lengths of the radio part, common practice or assumed, in metres. */
#define RANGE_LIMIT_M 30.48
#define GATEWAY_HEIGHT_M 2.1
#define WALL_HEIGHT_M 1.2
#define UNIT_HEIGHT_M 0.4
#define METAL_CLEARANCE_M 1.0

/* "2", or "2-6" with the dash or word given; "2" and "to" make a title. */
void outline_storey_words(const hr_outline_request *request, bool lowest, const char *dash, hr_text *text)
{
    const long first = request->first_storey + (lowest ? 0 : 1);
    const long last = lowest ? first : request->first_storey + request->storeys - 1;
    const bool title = dash[0] == ' ';
    hr_text_add(text, !title ? "" : first == last ? "Storey " : "Storeys ");
    hr_text_addf(text, "%ld", first);
    if (first != last) {
        hr_text_addf(text, "%s%ld", dash, last);
    }
}

static void add_length(const outline_sizes *z, hr_text *text, const char *key, double metres)
{
    char number[HR_FIXED_MAX];
    const double value = hr_units_from_metres(metres, z->request->length_unit);
    hr_text_addf(text, "%s = %s\n", key, hr_short(value, 2, number));
}

/* The row of the limits table that a frequency falls under where the rows do not leave a choice. */
static const char *rule_for(double freq_mhz)
{
    if (freq_mhz >= 902.0 && freq_mhz <= 928.0) {
        return "47CFR15.247";
    }
    return freq_mhz >= 868.0 && freq_mhz <= 868.6 ? "EN300220-868.0" : NULL;
}

static void write_radio(const outline_sizes *z, hr_text *text)
{
    char number[HR_FIXED_MAX];
    const double freq_mhz = z->request->frequency_mhz;
    hr_text_addf(text,
                 "[radio]\nfrequency_mhz = %s\nmodel = multi-wall\n"
                 "; each link is to work 95 %% of the time\ntarget_reliability = 0.95\n"
                 "; common practice: no direct link longer than 100 ft\n",
                 hr_short(freq_mhz, 3, number));
    add_length(z, text, "range_limit", RANGE_LIMIT_M);
    const char *rule = rule_for(freq_mhz);
    if (rule != NULL) {
        hr_text_addf(text, "rule = %s\n\n", rule);
    } else {
        hr_text_add(text, "; rule = ROW of the radio limits table: which one holds depends on the country\n\n");
    }
}

static void write_kinds(const outline_sizes *z, hr_text *text)
{
    hr_text_add(text, "; assumed: powers, sensitivities and heights; put the makers' figures here\n"
                      "[gateway]\ntx_power_dbm = 14\nantenna_gain_dbi = 2\npattern = even\nsensitivity_dbm = -100\n");
    add_length(z, text, "mount_height", GATEWAY_HEIGHT_M);
    hr_text_add(text, "capacity = 100\n");
    add_length(z, text, "metal_clearance", METAL_CLEARANCE_M);
    hr_text_add(text, "\n[device wall]\n; room control by the entry door: battery, so it sleeps and passes nothing on\n"
                      "tx_power_dbm = 10\nantenna_gain_dbi = 0\nsensitivity_dbm = -100\n");
    add_length(z, text, "mount_height", WALL_HEIGHT_M);
    hr_text_add(text, "power = battery\nrelays = no\nper_room = 1\njoins = gateway\n"
                      "\n[device unit]\n; controller under the window; it talks to its room's wall control only\n"
                      "tx_power_dbm = 10\nantenna_gain_dbi = 0\nsensitivity_dbm = -100\n");
    add_length(z, text, "mount_height", UNIT_HEIGHT_M);
    hr_text_add(text, "; a metal case costs more than none: these links read too well\n"
                      "enclosure = none\npower = mains\nrelays = no\nper_room = 1\njoins = wall\n");
}

static void write_storey(const outline_sizes *z, const hr_outline *outline, size_t plan, hr_text *text)
{
    const hr_outline_request *q = z->request;
    char number[HR_FIXED_MAX];
    hr_text_add(text, "\n[storey ");
    outline_storey_words(q, plan == 0, "-", text);
    hr_text_addf(text, "]\nplan = %s\nfloor_to_floor = %s\n", outline->plans[plan].file,
                 hr_short(outline_length(q, "floor-to-floor"), 3, number));
    if (plan > 0) {
        hr_text_addf(text, "slab = %s\n", outline_material_for(q, "slab"));
    }
    hr_text_add(text, "room_name = {storey}{name:02}\n");
}

void outline_property(const outline_sizes *z, const hr_outline *outline, const char *name, hr_text *text)
{
    const hr_outline_request *q = z->request;
    hr_text_addf(text,
                 "; %s: %ld guest room%s on each of %ld storey%s, %s, drawn from numbers.\n"
                 "; An outline to quote and to try things on, not a survey of a building.\n\n"
                 "[property]\nname = %s\nlength_unit = %s\n\n",
                 name, q->rooms_per_storey, q->rooms_per_storey == 1 ? "" : "s", q->storeys, q->storeys == 1 ? "" : "s",
                 outline_shape_name(q->shape), name, hr_units_length_name(q->length_unit));
    write_radio(z, text);
    write_kinds(z, text);
    for (size_t i = 0; i < outline->plan_count; i++) {
        write_storey(z, outline, i, text);
    }
}
