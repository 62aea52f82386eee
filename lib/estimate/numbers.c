/*
 * numbers.c - from what is said over the telephone to a building in memory.
 *
 * SPDX-License-Identifier: MIT
 */
#include "estimate_priv.h"

#include <stdio.h>
#include <string.h>

static const hr_outline_option options[] = {
    {"rooms", "N", "guest rooms of the whole property; shared out over buildings and storeys"},
    {"wings", "N", "1 straight, 2 an L, 3 a U, 4 round a courtyard (default: 1)"},
    {"buildings", "N", "alike buildings, 1 to 50 (default: 1)"},
    {"year", "YEAR", "year of building; tells likely walls where none are said"},
    {"walls", "WORD", "framed, block, brick, concrete or timber (default: drawn at random)"},
    {"closets-per-storey", "N", "network closets on a storey, 0 to 6 (default: 1, 2 above 60 rooms)"},
    {"kinds", "LIST", "devices of a room: wall, unit, occupancy, opening, each with =N (default: wall,unit)"},
};

#define OPTION_COUNT (sizeof options / sizeof options[0])

const hr_outline_option *hr_estimate_option_at(size_t index)
{
    return index < OPTION_COUNT ? &options[index] : NULL;
}

void hr_estimate_numbers_defaults(hr_estimate_numbers *numbers)
{
    *numbers = (hr_estimate_numbers){.buildings = 1};
    hr_outline_defaults(&numbers->outline);
}

/* ---- kinds ---- */

/* A kind's section beside its name and per_room; figures assumed, as in an outline. */
typedef struct kind_row {
    const char *word;
    const char *joins;
    const char *text;
    double height_m;
} kind_row;

#define RADIO "tx_power_dbm = 10\nantenna_gain_dbi = 0\nsensitivity_dbm = -100\nrelays = no\n"

static const kind_row kind_rows[] = {
    {"wall", "gateway", RADIO "power = battery\n", 1.2},
    {"unit", "wall", RADIO "enclosure = none\npower = mains\n", 0.4},
    {"occupancy", "wall", RADIO "power = battery\n", 2.2},
    {"opening", "wall", RADIO "power = battery\n", 1.5},
};

#define KIND_COUNT (sizeof kind_rows / sizeof kind_rows[0])
#define PER_ROOM_MAX 9

/* Reads "wall,unit=2": how many of each kind a room has. */
static hr_status parse_kinds(const char *text, long counts[KIND_COUNT], hr_error *err)
{
    for (size_t k = 0; k < KIND_COUNT; k++) {
        counts[k] = 0;
    }
    for (const char *at = text;; at++) {
        char word[HR_ESTIMATE_KINDS_MAX];
        const size_t len = strcspn(at, ",");
        (void)snprintf(word, sizeof word, "%.*s", (int)(len < sizeof word ? len : sizeof word - 1), at);
        char *equals = strchr(word, '=');
        long count = 1;
        if (equals != NULL) {
            *equals = '\0';
        }
        size_t k = 0;
        while (k < KIND_COUNT && hr_casecmp(word, kind_rows[k].word) != 0) {
            k++;
        }
        if (k == KIND_COUNT || counts[k] > 0 ||
            (equals != NULL && !hr_integer_parse(equals + 1, 1, PER_ROOM_MAX, &count))) {
            return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0,
                           "kinds: wall, unit, occupancy and opening were expected, each once, with =1 to =%d where there "
                           "are more in a room, not %s",
                           PER_ROOM_MAX, text);
        }
        counts[k] = count;
        at += len;
        if (*at == '\0') {
            return HR_OK;
        }
    }
}

static void write_kinds(const hr_estimate_numbers *numbers, const long counts[KIND_COUNT], hr_text *text)
{
    const hr_length_unit unit = numbers->outline.length_unit;
    char number[HR_FIXED_MAX];
    for (size_t k = 0; k < KIND_COUNT; k++) {
        const kind_row *row = &kind_rows[k];
        if (counts[k] == 0) {
            continue;
        }
        hr_text_addf(text, "[device %s]\n%sper_room = %ld\njoins = %s\nmount_height = %s\n\n", row->word, row->text,
                     counts[k], counts[0] > 0 ? row->joins : "gateway",
                     hr_short(hr_units_from_metres(row->height_m, unit), 2, number));
    }
}

/* The outline's own device sections give way to those asked for. */
static hr_status replace_kinds(const hr_estimate_numbers *numbers, const hr_text *property, hr_text *text, hr_error *err)
{
    long counts[KIND_COUNT];
    const char *from = strstr(property->bytes, "\n[device "), *to = strstr(property->bytes, "\n[storey ");
    if (numbers->kinds[0] == '\0' || from == NULL || to == NULL || to < from) {
        hr_text_add(text, property->bytes);
        return HR_OK;
    }
    const hr_status status = parse_kinds(numbers->kinds, counts, err);
    if (status == HR_OK) {
        hr_text_add_n(text, property->bytes, (size_t)(from + 1 - property->bytes));
        write_kinds(numbers, counts, text);
        hr_text_add(text, to + 1);
    }
    return status;
}

/* ---- options ---- */

static hr_status set_whole(const char *option, const char *value, long low, long high, long *out, hr_error *err)
{
    if (!hr_integer_parse(value, low, high, out)) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "%s: a whole number from %ld to %ld was expected, not %s", option,
                       low, high, value);
    }
    return HR_OK;
}

static hr_status set_walls(hr_estimate_numbers *numbers, const char *value, hr_error *err)
{
    const int found = estimate_class_find(value);
    if (found < 0) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0,
                       "walls: framed, block, brick, concrete or timber was expected, not %s; --party-wall takes a "
                       "material of the tables",
                       value);
    }
    (void)snprintf(numbers->walls, sizeof numbers->walls, "%s", estimate_classes[found].word);
    numbers->said_walls = true;
    return HR_OK;
}

/* Which unknowns an option of the outline settles. */
static void note_said(hr_estimate_numbers *numbers, const char *option)
{
    numbers->said_shape = numbers->said_shape || strcmp(option, "shape") == 0;
    numbers->said_size = numbers->said_size || strcmp(option, "bay") == 0;
    numbers->said_walls = numbers->said_walls || strcmp(option, "party-wall") == 0;
    numbers->said_slab = numbers->said_slab || strcmp(option, "slab") == 0;
    numbers->said_closets = numbers->said_closets || strcmp(option, "closets") == 0;
}

hr_status hr_estimate_set(hr_estimate_numbers *numbers, const char *option, const char *value, hr_error *err)
{
    numbers->any = true;
    if (strcmp(option, "rooms") == 0) {
        return set_whole(option, value, 1, 1000000, &numbers->rooms, err);
    }
    if (strcmp(option, "wings") == 0) {
        return set_whole(option, value, 1, 4, &numbers->wings, err);
    }
    if (strcmp(option, "buildings") == 0) {
        return set_whole(option, value, 1, 50, &numbers->buildings, err);
    }
    if (strcmp(option, "year") == 0) {
        return set_whole(option, value, 1700, 2100, &numbers->year, err);
    }
    if (strcmp(option, "walls") == 0) {
        return set_walls(numbers, value, err);
    }
    if (strcmp(option, "kinds") == 0) {
        long counts[KIND_COUNT];
        if (strlen(value) >= sizeof numbers->kinds) {
            return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "kinds: too long");
        }
        const hr_status status = parse_kinds(value, counts, err);
        if (status == HR_OK) {
            (void)snprintf(numbers->kinds, sizeof numbers->kinds, "%s", value);
        }
        return status;
    }
    const bool closets = strcmp(option, "closets-per-storey") == 0;
    const hr_status status = hr_outline_set(&numbers->outline, closets ? "closets" : option, value, err);
    if (status == HR_OK) {
        note_said(numbers, closets ? "closets" : option);
    }
    return status;
}

/* ---- the building ---- */

/* Rooms of the property shared out; wings into a shape; walls into materials. */
static hr_status settle(const hr_estimate_numbers *numbers, hr_outline_request *request, hr_error *err)
{
    static const hr_outline_shape shapes[] = {HR_OUTLINE_DOUBLE_LOADED, HR_OUTLINE_L, HR_OUTLINE_U, HR_OUTLINE_COURTYARD};
    *request = numbers->outline;
    const long parts = request->storeys * numbers->buildings;
    const long share = (numbers->rooms + parts - 1) / parts;
    if (numbers->rooms == 0 && request->rooms_per_storey == 0) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "rooms: how many rooms was not said; --rooms N or --rooms-per-storey N");
    }
    if (numbers->rooms > 0 && numbers->rooms < parts) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0,
                       "rooms: %ld rooms are fewer than the storeys of all buildings, %ld", numbers->rooms, parts);
    }
    if (numbers->rooms > 0 && request->rooms_per_storey > 0 && request->rooms_per_storey != share) {
        const long each = request->rooms_per_storey * numbers->buildings;
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0,
                       "rooms: %ld rooms on %ld storey%s make %ld on each, not the %ld of --rooms-per-storey; --storeys %ld was "
                       "expected, or one of the two numbers alone",
                       numbers->rooms, parts, parts == 1 ? "" : "s", share, request->rooms_per_storey,
                       (numbers->rooms + each - 1) / each);
    }
    if (numbers->rooms > 0) {
        request->rooms_per_storey = share;
    }
    if (request->rooms_per_storey > HR_OUTLINE_MAX_ROOMS) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0,
                       "rooms: %ld rooms on one storey of one building, %ld at most: say --storeys and --buildings",
                       request->rooms_per_storey, HR_OUTLINE_MAX_ROOMS);
    }
    if (numbers->wings > 0 && numbers->said_shape && request->shape != shapes[numbers->wings - 1]) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "wings: --shape says another shape; one of the two was expected");
    }
    if (numbers->wings > 0) {
        request->shape = shapes[numbers->wings - 1];
    }
    const int class = numbers->walls[0] != '\0' ? estimate_class_find(numbers->walls) : estimate_class_nominal(numbers->year);
    if (request->party_wall[0] == '\0' && (!numbers->said_walls || numbers->walls[0] != '\0')) {
        (void)snprintf(request->party_wall, sizeof request->party_wall, "%s", estimate_classes[class].party);
    }
    if (request->corridor_wall[0] == '\0' && !request->exterior_corridors && (!numbers->said_walls || numbers->walls[0] != '\0')) {
        (void)snprintf(request->corridor_wall, sizeof request->corridor_wall, "%s", estimate_classes[class].corridor);
    }
    return HR_OK;
}

hr_status hr_estimate_check_materials(const hr_outline_request *request, hr_error *err)
{
    hr_materials *materials = NULL;
    hr_status status = hr_materials_new(request->frequency_mhz, &materials, err);
    const char *option = NULL, *name;
    for (size_t i = 0; status == HR_OK && (name = hr_outline_material(request, i, &option)) != NULL; i++) {
        if (hr_materials_find(materials, name) == SIZE_MAX) {
            const char *near = hr_materials_nearest(materials, name);
            status = hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "%s: %s is no material of the tables%s%s%s", option, name,
                             near != NULL ? "; did you mean " : "", near != NULL ? near : "", near != NULL ? "?" : "");
        }
    }
    hr_materials_free(materials);
    return status;
}

static hr_status read_outline(const hr_outline *outline, const hr_text *property, const char *const *sets,
                              size_t set_count, hr_notes *notes, hr_building **building, hr_error *err)
{
    hr_building_file files[2];
    for (size_t i = 0; i < outline->plan_count; i++) {
        files[i] = (hr_building_file){outline->plans[i].file, outline->plans[i].svg.bytes, outline->plans[i].svg.len};
    }
    const hr_building_options reading = {
        .files = files, .file_count = outline->plan_count, .sets = sets, .set_count = set_count};
    return hr_building_parse("numbers", property->bytes, property->len, &reading, notes, building, err);
}

static void name_it(const hr_estimate_numbers *numbers, hr_outline_request *request)
{
    const long rooms = request->rooms_per_storey * request->storeys * numbers->buildings;
    char in[48] = "";
    if (numbers->buildings > 1) {
        (void)snprintf(in, sizeof in, " in %ld buildings", numbers->buildings);
    }
    (void)snprintf(request->name, sizeof request->name, "%ld rooms%s on %ld storey%s", rooms, in, request->storeys,
                   request->storeys == 1 ? "" : "s");
}

hr_status hr_estimate_building(const hr_estimate_numbers *numbers, const char *const *sets, size_t set_count,
                               hr_notes *notes, hr_building **building, hr_error *err)
{
    hr_outline_request request;
    hr_outline *outline = NULL;
    hr_text property = {0};
    hr_status status = settle(numbers, &request, err);
    if (status == HR_OK) {
        status = hr_estimate_check_materials(&request, err);
    }
    if (status == HR_OK && request.name[0] == '\0') {
        name_it(numbers, &request);
    }
    if (status == HR_OK) {
        status = hr_outline_make(&request, "numbers", &outline, err);
    }
    if (status == HR_OK) {
        status = replace_kinds(numbers, &outline->property, &property, err);
    }
    if (status == HR_OK && property.failed) {
        status = hr_fail_memory(err);
    }
    if (status == HR_OK) {
        status = read_outline(outline, &property, sets, set_count, notes, building, err);
    }
    hr_text_free(&property);
    hr_outline_free(outline);
    return status;
}
