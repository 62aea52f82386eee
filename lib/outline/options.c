/*
 * options.c - one table of what can be asked for: parsing, ranges, defaults
 * and help come from it.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_priv.h"

#include <math.h>
#include <string.h>

typedef enum row_type {
    ROW_WHOLE = 0,
    ROW_AUTO,
    ROW_LENGTH,
    ROW_CHOICE,
    ROW_MATERIAL,
    ROW_NAME,
    ROW_FREQUENCY
} row_type;

typedef struct row {
    hr_outline_option option;
    row_type type;
    size_t offset;
    double low, high; /* whole numbers as they are, lengths in metres */
    double metres, feet;
    const char *choices[6]; /* CHOICE: words by value; MATERIAL: the default first */
} row;

#define AT(member) offsetof(hr_outline_request, member)

#define WHOLE(name, member, low, high, help)                                                                           \
    {                                                                                                                  \
        {name, "N", help}, ROW_WHOLE, AT(member), low, high, 0, 0,                                                     \
        {                                                                                                              \
            NULL                                                                                                       \
        }                                                                                                              \
    }
#define AUTO(name, member, high, help)                                                                                 \
    {                                                                                                                  \
        {name, "N", help}, ROW_AUTO, AT(member), 0, high, 0, 0,                                                        \
        {                                                                                                              \
            NULL                                                                                                       \
        }                                                                                                              \
    }
#define LENGTH(name, member, low, high, metres, feet, help)                                                            \
    {                                                                                                                  \
        {name, "LENGTH", help}, ROW_LENGTH, AT(member), low, high, metres, feet,                                       \
        {                                                                                                              \
            NULL                                                                                                       \
        }                                                                                                              \
    }
#define CHOICE(name, argument, member, help, ...)                                                                      \
    {                                                                                                                  \
        {name, argument, help}, ROW_CHOICE, AT(member), 0, 0, 0, 0,                                                    \
        {                                                                                                              \
            __VA_ARGS__                                                                                                \
        }                                                                                                              \
    }
#define MATERIAL(name, member, help, ...)                                                                              \
    {                                                                                                                  \
        {name, "MATERIAL", help}, ROW_MATERIAL, AT(member), 0, 0, 0, 0,                                                \
        {                                                                                                              \
            __VA_ARGS__                                                                                                \
        }                                                                                                              \
    }

static const row rows[] = {
    WHOLE("rooms-per-storey", rooms_per_storey, 1, (double)HR_OUTLINE_MAX_ROOMS,
          "guest rooms on every storey, 1 to 240 (required)"),
    WHOLE("storeys", storeys, 1, (double)HR_OUTLINE_MAX_STOREYS, "storeys with rooms, 1 to 100 (default: 1)"),
    CHOICE("shape", "WORD", shape, "single-sided, double-loaded, L, U, T or courtyard (default: double-loaded)",
           "single-sided", "double-loaded", "L", "U", "T", "courtyard"),
    CHOICE("length-unit", "m|ft", length_unit, "unit of the lengths here and in the property file (default: m)", "m",
           "ft"),
    LENGTH("bay", bay, 2.4, 9, 3.8, 12.5, "room width between wall centre lines (default: 3.8 m or 12.5 ft)"),
    LENGTH("depth", depth, 4.5, 12, 7.0, 23, "clear room depth, bath included (default: 7 m or 23 ft)"),
    LENGTH("corridor", corridor, 1.117, 4, 1.83, 6, "clear corridor width (default: 1.83 m or 6 ft)"),
    LENGTH("floor-to-floor", floor_to_floor, 2.4, 6, 3.0, 10, "height of a storey (default: 3 m or 10 ft)"),
    CHOICE("baths", "yes|no", baths, "a bath in every room, back to back in pairs (default: yes)", "no", "yes"),
    CHOICE("exterior-corridors", "yes|no", exterior_corridors,
           "corridors in the open air, rooms entered from outside (default: no)", "no", "yes"),
    AUTO("lifts", lifts, 6, "0 to 6, in one core (default: none, 1 or 2 by size)"),
    AUTO("stairs", stairs, 6, "0 to 6 (default: 2, with L, U and T 3; none with one storey)"),
    AUTO("closets", closets, 6, "network closets on a storey, 0 to 6 (default: 1, 2 above 60 rooms)"),
    CHOICE("numbering", "WORD", numbering, "around, or odd-even by sides of the corridor (default: around)", "around",
           "odd-even"),
    WHOLE("first-number", first_number, 1, 500, "number of a storey's first room, 1 to 500 (default: 1)"),
    WHOLE("first-storey", first_storey, 0, 100, "number of the lowest storey, 0 to 100 (default: 1)"),
    {{"frequency", "MHZ", "radio frequency, 300 to 6000 (default: 915)"},
     ROW_FREQUENCY,
     AT(frequency_mhz),
     300,
     6000,
     0,
     0,
     {NULL}},
    {{"name", "TEXT", "name of the property (default: the file's name)"}, ROW_NAME, AT(name), 0, 0, 0, 0, {NULL}},
    MATERIAL("party-wall", party_wall, "wall between rooms (default: framed-double)", "framed-double"),
    MATERIAL("corridor-wall", corridor_wall, "wall along the corridor (default: corridor-wall)", "corridor-wall"),
    MATERIAL("outer-wall", outer_wall, "outer wall (default: concrete-150)", "concrete-150"),
    MATERIAL("core-wall", core_wall, "wall round stairs and core (default: concrete-200)", "concrete-200"),
    MATERIAL("entry-door", entry_door, "room door (default: fire-door; in the open air steel-skinned-door)",
             "fire-door", "steel-skinned-door"),
    MATERIAL("window", window, "room window (default: coated-glass)", "coated-glass"),
    MATERIAL("slab", slab, "floor slab (default: concrete-200)", "concrete-200"),
};

#define ROW_COUNT (sizeof rows / sizeof rows[0])

size_t hr_outline_option_count(void)
{
    return ROW_COUNT;
}

const hr_outline_option *hr_outline_option_at(size_t index)
{
    return index < ROW_COUNT ? &rows[index].option : NULL;
}

void hr_outline_defaults(hr_outline_request *request)
{
    const double unset = (double)NAN;
    *request = (hr_outline_request){.storeys = 1,
                                    .shape = HR_OUTLINE_DOUBLE_LOADED,
                                    .bay = unset,
                                    .depth = unset,
                                    .corridor = unset,
                                    .floor_to_floor = unset,
                                    .baths = true,
                                    .lifts = HR_OUTLINE_AUTO,
                                    .stairs = HR_OUTLINE_AUTO,
                                    .closets = HR_OUTLINE_AUTO,
                                    .first_number = 1,
                                    .first_storey = 1,
                                    .frequency_mhz = 915.0};
}

static const row *find_row(const char *option)
{
    for (size_t i = 0; i < ROW_COUNT; i++) {
        if (strcmp(rows[i].option.name, option) == 0) {
            return &rows[i];
        }
    }
    return NULL;
}

/* ---- setting ---- */

static void store_choice(hr_outline_request *request, const row *r, int value)
{
    char *at = (char *)request + r->offset;
    if (r->offset == AT(shape)) {
        request->shape = (hr_outline_shape)value;
    } else if (r->offset == AT(length_unit)) {
        request->length_unit = (hr_length_unit)value;
    } else if (r->offset == AT(numbering)) {
        request->numbering = (hr_outline_numbering)value;
    } else {
        const bool yes = value == 1;
        memcpy(at, &yes, sizeof yes);
    }
}

static hr_status set_choice(hr_outline_request *request, const row *r, const char *value, hr_error *err)
{
    const size_t most = sizeof r->choices / sizeof r->choices[0];
    size_t count = 0;
    for (; count < most && r->choices[count] != NULL; count++) {
        if (hr_casecmp(r->choices[count], value) == 0) {
            store_choice(request, r, (int)count);
            return HR_OK;
        }
    }
    const char *near = hr_nearest(value, r->choices, count, 3);
    hr_text list = {0};
    for (size_t i = 0; i < count; i++) {
        hr_text_addf(&list, "%s%s", i == 0 ? "" : i + 1 < count ? ", " : " or ", r->choices[i]);
    }
    const hr_status status =
        hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "%s: %s is not known%s%s%s; %s was expected", r->option.name, value,
                near != NULL ? ", did you mean " : "", near != NULL ? near : "", near != NULL ? "?" : "",
                list.failed ? r->option.argument : list.bytes);
    hr_text_free(&list);
    return status;
}

static bool is_material(const char *text)
{
    const size_t len = strlen(text);
    return len > 0 && len < HR_OUTLINE_MATERIAL_MAX && strspn(text, "abcdefghijklmnopqrstuvwxyz0123456789-") == len;
}

/* A name goes into the property file and the drawing's title: one plain line. */
static bool is_name(const char *text)
{
    const size_t len = strlen(text);
    for (size_t i = 0; i < len; i++) {
        if ((unsigned char)text[i] < 0x20 || text[i] == ';' || text[i] == '#' || text[i] == 0x7F) {
            return false;
        }
    }
    return len > 0 && len < HR_OUTLINE_NAME_MAX && text[0] != ' ' && text[len - 1] != ' ';
}

static hr_status set_text(hr_outline_request *request, const row *r, const char *value, hr_error *err)
{
    const bool name = r->type == ROW_NAME;
    if (name ? !is_name(value) : !is_material(value)) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0,
                       name ? "%s: %s does not do; one line of up to 127 bytes without ; and # was expected"
                            : "%s: %s is no material's name; lower-case letters, digits and - were expected",
                       r->option.name, value);
    }
    memcpy((char *)request + r->offset, value, strlen(value) + 1);
    return HR_OK;
}

static hr_status set_number(hr_outline_request *request, const row *r, const char *value, hr_error *err)
{
    double number;
    long whole;
    if (r->type == ROW_LENGTH || r->type == ROW_FREQUENCY) {
        if (!hr_number_parse(value, &number)) {
            return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "%s: %s is not a number", r->option.name, value);
        }
        memcpy((char *)request + r->offset, &number, sizeof number);
        return HR_OK;
    }
    if (!hr_integer_parse(value, (long)r->low, (long)r->high, &whole)) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "%s: a whole number from %ld to %ld was expected, not %s",
                       r->option.name, (long)r->low, (long)r->high, value);
    }
    memcpy((char *)request + r->offset, &whole, sizeof whole);
    return HR_OK;
}

hr_status hr_outline_set(hr_outline_request *request, const char *option, const char *value, hr_error *err)
{
    const row *r = find_row(option);
    if (r == NULL) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "%s: there is no such option", option);
    }
    switch (r->type) {
    case ROW_CHOICE:
        return set_choice(request, r, value, err);
    case ROW_MATERIAL:
    case ROW_NAME:
        return set_text(request, r, value, err);
    case ROW_WHOLE:
    case ROW_AUTO:
    case ROW_LENGTH:
    case ROW_FREQUENCY:
        break;
    }
    return set_number(request, r, value, err);
}

/* ---- reading a request ---- */

double outline_length(const hr_outline_request *request, const char *option)
{
    const row *r = find_row(option);
    double value = (double)NAN;
    if (r == NULL) {
        return value; /* only rows of the table are asked for */
    }
    memcpy(&value, (const char *)request + r->offset, sizeof value);
    if (isnan(value)) {
        value = request->length_unit == HR_FEET ? r->feet : r->metres;
    }
    return value;
}

static const char *material_in_force(const hr_outline_request *request, const row *r)
{
    const char *given = (const char *)request + r->offset;
    if (given[0] != '\0') {
        return given;
    }
    if (request->exterior_corridors && r->offset == AT(corridor_wall)) {
        return outline_material_for(request, "outer-wall");
    }
    return request->exterior_corridors && r->choices[1] != NULL ? r->choices[1] : r->choices[0];
}

const char *outline_material_for(const hr_outline_request *request, const char *option)
{
    const row *r = find_row(option);
    return r == NULL ? "" : material_in_force(request, r);
}

const char *hr_outline_material(const hr_outline_request *request, size_t index, const char **option)
{
    for (size_t i = 0; i < ROW_COUNT; i++) {
        if (rows[i].type == ROW_MATERIAL && index-- == 0) {
            *option = rows[i].option.name;
            return material_in_force(request, &rows[i]);
        }
    }
    return NULL;
}

static hr_status check_range(const hr_outline_request *request, const row *r, hr_error *err)
{
    const char *at = (const char *)request + r->offset;
    char low[HR_FIXED_MAX], high[HR_FIXED_MAX], shown[HR_FIXED_MAX];
    if (r->type == ROW_WHOLE || r->type == ROW_AUTO) {
        long value;
        memcpy(&value, at, sizeof value);
        const bool unset = r->type == ROW_AUTO && value == HR_OUTLINE_AUTO;
        if (!unset && (value < (long)r->low || value > (long)r->high)) {
            return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "%s: a whole number from %ld to %ld was expected%s",
                           r->option.name, (long)r->low, (long)r->high, value == 0 ? ", none was given" : "");
        }
        return HR_OK;
    }
    const bool length = r->type == ROW_LENGTH;
    double value = request->frequency_mhz;
    value = length ? outline_length(request, r->option.name) : value;
    const double measure = length ? hr_units_to_metres(value, request->length_unit) : value;
    if (measure >= r->low && measure <= r->high) {
        return HR_OK;
    }
    const hr_length_unit unit = request->length_unit;
    return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "%s: %s to %s %s was expected, not %s", r->option.name,
                   hr_short(length ? hr_units_from_metres(r->low, unit) : r->low, 2, low),
                   hr_short(length ? hr_units_from_metres(r->high, unit) : r->high, 2, high),
                   length ? hr_units_length_name(unit) : "MHz", hr_short(value, 3, shown));
}

hr_status outline_check(const hr_outline_request *request, hr_error *err)
{
    if ((unsigned)request->shape > HR_OUTLINE_COURTYARD || (unsigned)request->length_unit > HR_FEET ||
        (unsigned)request->numbering > HR_OUTLINE_ODD_EVEN) {
        return hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "shape, length-unit or numbering: a value that does not exist");
    }
    for (size_t i = 0; i < ROW_COUNT; i++) {
        const row *r = &rows[i];
        const char *text = (const char *)request + r->offset;
        const bool is_text = r->type == ROW_MATERIAL || r->type == ROW_NAME;
        hr_status status = HR_OK;
        if (is_text && text[0] != '\0' && !(r->type == ROW_NAME ? is_name(text) : is_material(text))) {
            status = hr_fail(err, HR_ERR_ARGUMENT, NULL, 0, "%s: the text does not do", r->option.name);
        } else if (!is_text && r->type != ROW_CHOICE) {
            status = check_range(request, r, err);
        }
        if (status != HR_OK) {
            return status;
        }
    }
    return HR_OK;
}
