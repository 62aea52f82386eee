/*
 * keys.c - every key of the property file in one table: the source of
 * validation, of the list of settings in force and of the manual page.
 *
 * SPDX-License-Identifier: MIT
 */
#include "building_priv.h"

#define ASSUMED "assumed"
#define PRACTICE "common practice"

static const char *const target_words[BUILDING_TARGETS] = {"property", "radio",   "gateway", "device",  "storey",
                                                           "material", "drawing", "fitted",  "estimate"};

#define BASE(T, SECTION, KEY, TYPE, UNIT, LOW, HIGH, CHOICES, FALLBACK, REASON, OFFSET, MEANING)                       \
    .target = (T), .key = {.section = (SECTION),                                                                       \
                           .key = (KEY),                                                                               \
                           .type = (TYPE),                                                                             \
                           .unit = (UNIT),                                                                             \
                           .low = (LOW),                                                                               \
                           .high = (HIGH),                                                                             \
                           .choices = (CHOICES),                                                                       \
                           .fallback = (FALLBACK),                                                                     \
                           .reason = (REASON),                                                                         \
                           .meaning = (MEANING),                                                                       \
                           .offset = (OFFSET)}

/* key, unit, range, words beside the number, default, its reason, where it goes, meaning */
#define NUMBER(T, S, K, U, LO, HI, WORDS, F, R, OFF, M)                                                                \
    {                                                                                                                  \
        BASE(T, S, K, HR_KEY_NUMBER, U, LO, HI, WORDS, F, R, OFF, M)                                                   \
    }
#define LENGTH(T, S, K, LO, HI, WORDS, F, R, OFF, M)                                                                   \
    {                                                                                                                  \
        BASE(T, S, K, HR_KEY_LENGTH, "m", LO, HI, WORDS, F, R, OFF, M)                                                 \
    }
#define WHOLE(T, S, K, U, LO, HI, F, R, OFF, M)                                                                        \
    {                                                                                                                  \
        BASE(T, S, K, HR_KEY_INTEGER, U, LO, HI, "", F, R, OFF, M)                                                     \
    }
#define CHOICE(T, S, K, CH, F, R, OFF, M)                                                                              \
    {                                                                                                                  \
        BASE(T, S, K, HR_KEY_CHOICE, "", 0, 0, CH, F, R, OFF, M)                                                       \
    }
#define YES_NO(T, S, K, F, R, OFF, M)                                                                                  \
    {                                                                                                                  \
        BASE(T, S, K, HR_KEY_YES_NO, "", 0, 0, "yes|no", F, R, OFF, M)                                                 \
    }
#define TEXT(T, S, K, F, R, OFF, SIZE, M)                                                                              \
    {                                                                                                                  \
        BASE(T, S, K, HR_KEY_TEXT, "", 0, 0, "", F, R, OFF, M), .text_size = (SIZE)                                    \
    }

#define PROPERTY(M) offsetof(building_property_keys, M)
#define RADIO(M) offsetof(hr_radio, M)
#define GATEWAY(M) offsetof(hr_gateway_kind, M)
#define GATEWAY_RADIO(M) (offsetof(hr_gateway_kind, radio) + offsetof(hr_terminal, M))
#define DEVICE(M) offsetof(hr_device_kind, M)
#define DEVICE_RADIO(M) (offsetof(hr_device_kind, radio) + offsetof(hr_terminal, M))
#define STOREY(M) offsetof(building_storey_keys, M)
#define STOREY_DRAWING(M) (offsetof(building_storey_keys, drawing) + offsetof(building_drawing_keys, M))
#define DRAWING(M) offsetof(building_drawing_keys, M)
#define MATERIAL(M) offsetof(building_material_keys, M)
#define FITTED(M) offsetof(hr_fitted, M)
#define ESTIMATE(M) offsetof(hr_estimate_keys, M)
/* Kept elsewhere: repeated keys and joins are read by the section's own code. */
#define NOWHERE SIZE_MAX

#define MODELS "multi-wall|routes|site-general"
#define PATTERNS "even|dipole"
#define SEIDEL "Seidel & Rappaport 1992, 914 MHz"

static const building_key_row key_rows[] = {
    {BASE(BUILDING_PROPERTY, "property", "name", HR_KEY_TEXT, "", 0, 0, "", NULL, "", PROPERTY(name),
          "name of the property, for headings"),
     .needed_for = "name = NAME was expected"},
    {BASE(BUILDING_PROPERTY, "property", "length_unit", HR_KEY_CHOICE, "", 0, 0, "m|ft", NULL, "",
          PROPERTY(length_unit), "unit of every length in the file and in lists"),
     .needed_for = "unit missing: length_unit = m or length_unit = ft was expected"},

    {BASE(BUILDING_RADIO, "radio", "frequency_mhz", HR_KEY_NUMBER, "MHz", HR_FREQ_MIN_MHZ, HR_FREQ_MAX_MHZ, "", NULL,
          "", RADIO(frequency_mhz), "radio frequency"),
     .needed_for = "frequency_mhz = 300 to 6000 was expected"},
    CHOICE(BUILDING_RADIO, "radio", "model", MODELS, "multi-wall", "walls counted one by one", RADIO(model),
           "how path loss is computed"),
    NUMBER(BUILDING_RADIO, "radio", "target_reliability", "", 0.5, 0.9999, "", "0.95", PRACTICE,
           RADIO(target_reliability), "share of the time a link is to work"),
    NUMBER(BUILDING_RADIO, "radio", "minimum_margin_db", "dB", 0, 60, "", "10", ASSUMED, RADIO(minimum_margin_db),
           "least link margin asked for"),
    NUMBER(BUILDING_RADIO, "radio", "shadowing_db", "dB", 0.1, 30, "", "5.8", SEIDEL, RADIO(shadowing_db),
           "standard deviation of what walls counted one by one leave unexplained"),
    NUMBER(BUILDING_RADIO, "radio", "time_variation_db", "dB", 0, 30, "", "5.0", "fixed indoor links, measured",
           RADIO(time_variation_db), "standard deviation over time of a fixed link"),
    NUMBER(BUILDING_RADIO, "radio", "noise_rise_db", "dB", 0, 60, "",
           "3 up to 1 GHz, 10 from 2.4 GHz, linear in log frequency between", ASSUMED, RADIO(noise_rise_db),
           "what other radio users in the building cost every link"),
    NUMBER(BUILDING_RADIO, "radio", "exponent", "", 1, 6, "", "2.0", "free space; walls are counted one by one",
           RADIO(exponent), "distance exponent of path loss"),
    LENGTH(BUILDING_RADIO, "radio", "range_limit", 0.1, 100000, "none", "30.48", "common practice: 100 ft",
           RADIO(range_limit_m), "longest direct link to a gateway, straight in space"),
    {BASE(BUILDING_RADIO, "radio", "cover", HR_KEY_INTEGER, "", 1, 10, "", "1", PRACTICE, RADIO(cover),
          "gateways that each device is to reach")},
    {BASE(BUILDING_RADIO, "radio", "max_hops", HR_KEY_INTEGER, "", 1, 20, "", "1", "direct links only", RADIO(max_hops),
          "links between a gateway and a device; 1: no mesh")},
    WHOLE(BUILDING_RADIO, "radio", "first_devices", "", 0, 1000, "3", ASSUMED, RADIO(first_devices),
          "devices each gateway serves directly at least, in a mesh"),
    WHOLE(BUILDING_RADIO, "radio", "max_children", "", 1, 1000, "10", ASSUMED, RADIO(max_children),
          "devices that one relaying device carries at most"),
    WHOLE(BUILDING_RADIO, "radio", "max_slabs", "", 0, 200, "1", "assumed, prudent", RADIO(max_slabs),
          "slabs a gateway serves directly across at most"),
    NUMBER(BUILDING_RADIO, "radio", "wall_saturation", "", 0.01, 1, "off", "off",
           "measured for few walls, hallreach-model(7) says how many", RADIO(wall_saturation),
           "exponent by which further walls count less"),
    YES_NO(BUILDING_RADIO, "radio", "count_spreads", "no", "the site figure already holds material error",
           RADIO(count_spreads), "count the spread of each material"),
    YES_NO(BUILDING_RADIO, "radio", "strict", "no", PRACTICE, RADIO(strict),
           "leave out what breaks first_devices or cable_limit instead of warning"),
    TEXT(BUILDING_RADIO, "radio", "environment", "", "office below 1.5 GHz, else residential", RADIO(environment),
         sizeof((hr_radio *)0)->environment, "row of the site-general model"),
    TEXT(BUILDING_RADIO, "radio", "rule", "", "none: radio limit not checked", RADIO(rule), sizeof((hr_radio *)0)->rule,
         "row of the radio limits table to check powers against"),
    NUMBER(BUILDING_RADIO, "radio", "messages_per_hour", "1/h", 0, 1e6, "", "", "unset: not checked",
           RADIO(messages_per_hour), "messages of one device in an hour"),
    NUMBER(BUILDING_RADIO, "radio", "airtime_ms", "ms", 0.001, 1e5, "", "", "unset: not checked", RADIO(airtime_ms),
           "time on air of one message"),

    NUMBER(BUILDING_GATEWAY, "gateway", "tx_power_dbm", "dBm", -60, 60, "", "14", ASSUMED, GATEWAY_RADIO(tx_power_dbm),
           "transmit power at the antenna port"),
    NUMBER(BUILDING_GATEWAY, "gateway", "antenna_gain_dbi", "dBi", -40, 40, "", "0", ASSUMED,
           GATEWAY_RADIO(antenna_gain_dbi), "peak antenna gain"),
    NUMBER(BUILDING_GATEWAY, "gateway", "sensitivity_dbm", "dBm", -200, 0, "", "-100", ASSUMED,
           GATEWAY_RADIO(sensitivity_dbm), "lowest level that is received"),
    LENGTH(BUILDING_GATEWAY, "gateway", "mount_height", 0, 100, "", "2.1", ASSUMED, GATEWAY_RADIO(mount_height_m),
           "height above the storey's floor"),
    CHOICE(BUILDING_GATEWAY, "gateway", "pattern", PATTERNS, "even", ASSUMED, GATEWAY_RADIO(pattern),
           "antenna pattern"),
    NUMBER(BUILDING_GATEWAY, "gateway", "tilt", "degrees", 0, 90, "", "0", ASSUMED, GATEWAY_RADIO(tilt_deg),
           "antenna axis from the vertical"),
    WHOLE(BUILDING_GATEWAY, "gateway", "capacity", "", 1, 1000000, "100", ASSUMED, GATEWAY(capacity),
          "radios that one gateway takes"),
    LENGTH(BUILDING_GATEWAY, "gateway", "metal_clearance", 0, 100, "", "1.0", ASSUMED, GATEWAY(metal_clearance_m),
           "least distance of a gateway from drawn metal"),
    LENGTH(BUILDING_GATEWAY, "gateway", "spot_spacing", 0.1, 1000, "", "2.0", ASSUMED, GATEWAY(spot_spacing_m),
           "distance between generated spots"),
    LENGTH(BUILDING_GATEWAY, "gateway", "door_clearance", 0, 100, "", "0.5", ASSUMED, GATEWAY(door_clearance_m),
           "least distance of a generated spot from a door frame"),
    {BASE(BUILDING_GATEWAY, "gateway", "spot_cost", HR_KEY_TEXT, "", 0, 0, "", "", "1 for every spot", NOWHERE,
          "LABEL COST: what a spot of that label costs"),
     .key.repeatable = true},
    LENGTH(BUILDING_GATEWAY, "gateway", "cable_limit", 0.1, 100000, "", "90", "structured cabling",
           GATEWAY(cable_limit_m), "longest cable to a network connection"),
    LENGTH(BUILDING_GATEWAY, "gateway", "cable_slack", 0, 1000, "", "3", ASSUMED, GATEWAY(cable_slack_m),
           "cable kept in reserve"),
    LENGTH(BUILDING_GATEWAY, "gateway", "cable_drop", 0, 1000, "", "3", ASSUMED, GATEWAY(cable_drop_m),
           "cable up to the ceiling and down again, both ends together"),
    TEXT(BUILDING_GATEWAY, "gateway", "network_id", "", "the gateway's number", GATEWAY(network_id),
         sizeof((hr_gateway_kind *)0)->network_id, "network that devices join; a list wins"),

    NUMBER(BUILDING_DEVICE, "device", "tx_power_dbm", "dBm", -60, 60, "", "10", ASSUMED, DEVICE_RADIO(tx_power_dbm),
           "transmit power at the antenna port"),
    NUMBER(BUILDING_DEVICE, "device", "antenna_gain_dbi", "dBi", -40, 40, "", "0", ASSUMED,
           DEVICE_RADIO(antenna_gain_dbi), "peak antenna gain"),
    NUMBER(BUILDING_DEVICE, "device", "sensitivity_dbm", "dBm", -200, 0, "", "-100", ASSUMED,
           DEVICE_RADIO(sensitivity_dbm), "lowest level that is received"),
    LENGTH(BUILDING_DEVICE, "device", "mount_height", 0, 100, "", "1.2", ASSUMED, DEVICE_RADIO(mount_height_m),
           "height above the storey's floor"),
    CHOICE(BUILDING_DEVICE, "device", "pattern", PATTERNS, "even", ASSUMED, DEVICE_RADIO(pattern), "antenna pattern"),
    NUMBER(BUILDING_DEVICE, "device", "tilt", "degrees", 0, 90, "", "0", ASSUMED, DEVICE_RADIO(tilt_deg),
           "antenna axis from the vertical"),
    {BASE(BUILDING_DEVICE, "device", "power", HR_KEY_CHOICE, "", 0, 0, "battery|mains", NULL, "", DEVICE(power),
          "what feeds the device"),
     .needed_for = "power = battery or power = mains was expected"},
    {BASE(BUILDING_DEVICE, "device", "relays", HR_KEY_YES_NO, "", 0, 0, "yes|no", NULL, "", DEVICE(relays),
          "whether the device passes on what others send"),
     .needed_for = "relays = yes or relays = no was expected"},
    /* a case counts by the computed angle; facing, side and away as written, at any angle */
    CHOICE(BUILDING_DEVICE, "device", "enclosure", "none|case|enclosed|facing|side|away", "none", PRACTICE,
           DEVICE(enclosure), "metal case around the antenna"),
    WHOLE(BUILDING_DEVICE, "device", "per_room", "", 0, 26, "1", PRACTICE, DEVICE(per_room),
          "devices in a room where the plan draws none of this kind"),
    {BASE(BUILDING_DEVICE, "device", "joins", HR_KEY_TEXT, "", 0, 0, "", "gateway", PRACTICE, NOWHERE,
          "gateway, or the kind of its room that it talks to")},
    NUMBER(BUILDING_DEVICE, "device", "accept_pass_db", "dB", 0, 100, "", "15", ASSUMED, DEVICE(accept_pass_db),
           "measured level above sensitivity that passes"),
    NUMBER(BUILDING_DEVICE, "device", "accept_fail_db", "dB", 0, 100, "", "10", ASSUMED, DEVICE(accept_fail_db),
           "measured level above sensitivity below which a device fails"),
    NUMBER(BUILDING_DEVICE, "device", "accept_loss_percent", "%", 0, 100, "", "10", ASSUMED,
           DEVICE(accept_loss_percent), "packets lost above which a device is weak at best"),

    {BASE(BUILDING_STOREY, "storey", "plan", HR_KEY_TEXT, "", 0, 0, "", NULL, "", STOREY(plan),
          "drawing of the storey, beside this file; FILE.svg#LAYER takes one layer"),
     .needed_for = "plan = FILE.svg was expected"},
    LENGTH(BUILDING_STOREY, "storey", "floor_to_floor", 1, 100, "", "3.0", PRACTICE, STOREY(floor_to_floor_m),
           "from this storey's floor to the next"),
    LENGTH(BUILDING_STOREY, "storey", "elevation", -1000, 10000, "", "", "stacked on the storey below",
           STOREY(elevation_m), "height of the floor over the property's zero"),
    TEXT(BUILDING_STOREY, "storey", "slab", "concrete-200", ASSUMED, STOREY(slab), 0,
         "material of the slab the storey stands on"),
    TEXT(BUILDING_STOREY, "storey", "room_name", "", "the label; storey and label in a section for several storeys",
         STOREY(room_name), 0, "how rooms are called: {storey}, {name}, {name:02}"),
    {BASE(BUILDING_STOREY, "storey", "map", HR_KEY_TEXT, "", 0, 0, "", "", "as [drawing]", NOWHERE,
          "what a layer, class or stroke of the drawing stands for"),
     .key.repeatable = true},
    NUMBER(BUILDING_STOREY, "storey", "metres_per_unit", "m", 1e-9, 1e6, "", "", "as [drawing]",
           STOREY_DRAWING(metres_per_unit), "metres in one unit of the drawing"),
    TEXT(BUILDING_STOREY, "storey", "drawn_at", "", "as [drawing]", STOREY_DRAWING(drawn_at), 0,
         "scale of a drawing with a page size, 1:100"),
    LENGTH(BUILDING_STOREY, "storey", "wall_pairing", 0.01, 2, "off", "", "as [drawing]",
           STOREY_DRAWING(wall_pairing_m), "widest pair of lines taken for the two faces of one wall"),
    TEXT(BUILDING_STOREY, "storey", "rooms_are_walls", "", "as [drawing]", STOREY_DRAWING(rooms_are_walls), 0,
         "material of walls along room outlines, or off"),

    NUMBER(BUILDING_MATERIAL, "material", "loss_db", "dB", 0, 200, "", "", "required where layers is not given",
           MATERIAL(loss_db), "loss at any angle and frequency"),
    TEXT(BUILDING_MATERIAL, "material", "layers", "", "required where loss_db is not given", MATERIAL(layers), 0,
         "slab: material and millimetres, from face to face"),
    NUMBER(BUILDING_MATERIAL, "material", "spread_db", "dB", 0, 200, "", "", "0.3 of the loss, assumed",
           MATERIAL(spread_db), "standard deviation between buildings"),

    {BASE(BUILDING_DRAWING, "drawing", "map", HR_KEY_TEXT, "", 0, 0, "", "", "by our names only", NOWHERE,
          "what a layer, class or stroke of the drawing stands for"),
     .key.repeatable = true},
    NUMBER(BUILDING_DRAWING, "drawing", "metres_per_unit", "m", 1e-9, 1e6, "", "", "the drawing's scale line",
           DRAWING(metres_per_unit), "metres in one unit of the drawing"),
    TEXT(BUILDING_DRAWING, "drawing", "drawn_at", "", "the drawing's scale line", DRAWING(drawn_at), 0,
         "scale of a drawing with a page size, 1:100"),
    LENGTH(BUILDING_DRAWING, "drawing", "wall_pairing", 0.01, 2, "off", "off", "lines are centre lines",
           DRAWING(wall_pairing_m), "widest pair of lines taken for the two faces of one wall"),
    TEXT(BUILDING_DRAWING, "drawing", "rooms_are_walls", "off", "nothing is a wall unless something says so",
         DRAWING(rooms_are_walls), 0, "material of walls along room outlines, or off"),

    NUMBER(BUILDING_FITTED, "fitted", "offset_db", "dB", -100, 100, "", "", "", FITTED(offset_db),
           "added to every received level"),
    NUMBER(BUILDING_FITTED, "fitted", "exponent", "", 1, 6, "", "", "", FITTED(exponent),
           "distance exponent found here"),
    NUMBER(BUILDING_FITTED, "fitted", "shadowing_db", "dB", 0.1, 30, "", "", "", FITTED(shadowing_db),
           "standard deviation found here"),
    NUMBER(BUILDING_FITTED, "fitted", "floor_loss_db", "dB", 0, 200, "", "", "", FITTED(floor_loss_db),
           "loss of one slab found here"),
    {BASE(BUILDING_FITTED, "fitted", "material", HR_KEY_TEXT, "", 0, 0, "", "", "", NOWHERE,
          "NAME LOSS_DB: loss of a material found here"),
     .key.repeatable = true},
    {BASE(BUILDING_FITTED, "fitted", "gateway_offset", HR_KEY_TEXT, "", 0, 0, "", "", "", NOWHERE,
          "ID DB: what one gateway measures more"),
     .key.repeatable = true},

    NUMBER(BUILDING_ESTIMATE, "estimate", "confidence", "", 0.5, 0.9999, "", "0.9", ASSUMED, ESTIMATE(confidence),
           "share of outcomes that the quoted number holds in"),
    NUMBER(BUILDING_ESTIMATE, "estimate", "served_share", "", 0.01, 1, "", "0.98", ASSUMED, ESTIMATE(served_share),
           "share of rooms served that counts as done"),
    WHOLE(BUILDING_ESTIMATE, "estimate", "draws", "", 1, 1000000, "200", ASSUMED, ESTIMATE(draws),
          "random buildings drawn"),
    WHOLE(BUILDING_ESTIMATE, "estimate", "seed", "", 0, 2147483647, "1", PRACTICE, ESTIMATE(seed),
          "start of the random numbers"),
    WHOLE(BUILDING_ESTIMATE, "estimate", "battery_months", "", 0, 1200, "16", PRACTICE, ESTIMATE(battery_months),
          "months between battery changes"),
    NUMBER(BUILDING_ESTIMATE, "estimate", "wall_spread", "", 0, 5, "", "1", ASSUMED, ESTIMATE(wall_spread),
           "walls and doors are drawn with this many times their tabled spread; 0 takes them as known"),
    NUMBER(BUILDING_ESTIMATE, "estimate", "slab_spread", "", 0, 5, "", "1", ASSUMED, ESTIMATE(slab_spread),
           "slabs are drawn with this many times their tabled spread; 0 takes them as known"),
    NUMBER(BUILDING_ESTIMATE, "estimate", "exponent_spread", "", 0, 1, "", "0.15", ASSUMED, ESTIMATE(exponent_spread),
           "standard deviation of the distance exponent; 0 takes it as known"),
    LENGTH(BUILDING_ESTIMATE, "estimate", "place_spread", 0, 10, "", "0.5", ASSUMED, ESTIMATE(place_spread_m),
           "how far from its default place a device that is not drawn may hang; 0 takes it as known"),
    NUMBER(BUILDING_ESTIMATE, "estimate", "detour_spread", "", 0, 3, "", "0.4", ASSUMED, ESTIMATE(detour_spread),
           "cable runs are up to this share longer than along the corridors; 0 takes them as known"),
    NUMBER(BUILDING_ESTIMATE, "estimate", "spot_loss", "", 0, 0.9, "", "0.1", ASSUMED, ESTIMATE(spot_loss),
           "share of spots that turn out not to be usable"),
    NUMBER(BUILDING_ESTIMATE, "estimate", "size_spread", "", 0, 0.2, "", "0.04", ASSUMED, ESTIMATE(size_spread),
           "standard deviation of a building's size where only numbers are known; 0 takes it as known"),
    NUMBER(BUILDING_ESTIMATE, "estimate", "spare_gateways", "", 0, 1, "", "0.05", ASSUMED, ESTIMATE(spare_gateways),
           "spare gateways on the quote sheet, as a share, at least one"),
    NUMBER(BUILDING_ESTIMATE, "estimate", "spare_devices", "", 0, 1, "", "0.02", ASSUMED, ESTIMATE(spare_devices),
           "spare devices of each kind on the quote sheet, as a share, at least one"),
    WHOLE(BUILDING_ESTIMATE, "estimate", "service_years", "", 0, 50, "5", ASSUMED, ESTIMATE(service_years),
          "years of battery changes on the quote sheet"),
    WHOLE(BUILDING_ESTIMATE, "estimate", "survey_visits", "", 0, 100, "1", ASSUMED, ESTIMATE(survey_visits),
          "survey visits to each building before ordering"),
    WHOLE(BUILDING_ESTIMATE, "estimate", "rooms_per_visit", "", 1, 10000, "40", ASSUMED, ESTIMATE(rooms_per_visit),
          "rooms commissioned in one visit"),
    WHOLE(BUILDING_ESTIMATE, "estimate", "rooms_per_revisit", "", 1, 10000, "8", ASSUMED, ESTIMATE(rooms_per_revisit),
          "failing rooms put right in one visit"),
};

#define ROW_COUNT (sizeof key_rows / sizeof key_rows[0])

size_t building_rows(const building_key_row **rows)
{
    *rows = key_rows;
    return ROW_COUNT;
}

size_t hr_building_key_count(void)
{
    return ROW_COUNT;
}

const hr_key *hr_building_key(size_t index)
{
    return index < ROW_COUNT ? &key_rows[index].key : NULL;
}

const building_key_row *building_row_find(building_target target, const char *key)
{
    for (size_t i = 0; i < ROW_COUNT; i++) {
        if (key_rows[i].target == target && hr_casecmp(key_rows[i].key.key, key) == 0) {
            return &key_rows[i];
        }
    }
    return NULL;
}

const char *building_row_nearest(building_target target, const char *key)
{
    const char *names[ROW_COUNT];
    size_t count = 0;
    for (size_t i = 0; i < ROW_COUNT; i++) {
        if (key_rows[i].target == target) {
            names[count++] = key_rows[i].key.key;
        }
    }
    return hr_nearest(key, names, count, 3);
}

const char *building_target_word(building_target target)
{
    return target_words[target];
}

bool building_target_named(building_target target)
{
    return target == BUILDING_DEVICE || target == BUILDING_STOREY || target == BUILDING_MATERIAL;
}
