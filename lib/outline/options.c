/*
 * options.c - one table of what can be asked for: parsing, ranges, defaults
 * and help come from it.
 *
 * SPDX-License-Identifier: MIT
 */
#include "outline_priv.h"

#include <math.h>
#include <string.h>

typedef enum row_type { ROW_WHOLE = 0, ROW_AUTO, ROW_LENGTH, ROW_CHOICE, ROW_MATERIAL, ROW_NAME, ROW_FREQUENCY } row_type;

typedef struct row {
    hr_outline_option option;
    row_type type;
    size_t offset;
    double low, high; /* whole numbers as they are, lengths in metres */
    double metres, feet;
    const char *choices[6]; /* CHOICE: words by value; MATERIAL: the default first */
} row;

#define AT(member) offsetof(hr_outline_request, member)

static const row rows[] = {
    {{"rooms-per-storey", "N", "guest rooms on every storey, 1 to 240 (required)"},
     ROW_WHOLE, AT(rooms_per_storey), 1, (double)HR_OUTLINE_MAX_ROOMS, 0, 0, {NULL}},
    {{"storeys", "N", "storeys with rooms, 1 to 100 (default: 1)"},
     ROW_WHOLE, AT(storeys), 1, (double)HR_OUTLINE_MAX_STOREYS, 0, 0, {NULL}},
    {{"shape", "WORD", "single-sided, double-loaded, L, U, T or courtyard (default: double-loaded)"},
     ROW_CHOICE, AT(shape), 0, 0, 0, 0, {"single-sided", "double-loaded", "L", "U", "T", "courtyard"}},
    {{"length-unit", "m|ft", "unit of the lengths here and in the property file (default: m)"},
     ROW_CHOICE, AT(length_unit), 0, 0, 0, 0, {"m", "ft"}},
    {{"bay", "LENGTH", "room width between wall centre lines (default: 3.8 m or 12.5 ft)"},
     ROW_LENGTH, AT(bay), 2.4, 9, 3.8, 12.5, {NULL}},
    {{"depth", "LENGTH", "clear room depth, bath included (default: 7 m or 23 ft)"},
     ROW_LENGTH, AT(depth), 4.5, 12, 7.0, 23, {NULL}},
    {{"corridor", "LENGTH", "clear corridor width (default: 1.83 m or 6 ft)"},
     ROW_LENGTH, AT(corridor), 1.117, 4, 1.83, 6, {NULL}},
    {{"floor-to-floor", "LENGTH", "height of a storey (default: 3 m or 10 ft)"},
     ROW_LENGTH, AT(floor_to_floor), 2.4, 6, 3.0, 10, {NULL}},
    {{"baths", "yes|no", "a bath in every room, back to back in pairs (default: yes)"},
     ROW_CHOICE, AT(baths), 1, 0, 0, 0, {"no", "yes"}},
    {{"exterior-corridors", "yes|no", "corridors in the open air, rooms entered from outside (default: no)"},
     ROW_CHOICE, AT(exterior_corridors), 1, 0, 0, 0, {"no", "yes"}},
    {{"lifts", "N", "0 to 6, in one core (default: none, 1 or 2 by size)"}, ROW_AUTO, AT(lifts), 0, 6, 0, 0, {NULL}},
    {{"stairs", "N", "0 to 6 (default: 2, none with one storey)"}, ROW_AUTO, AT(stairs), 0, 6, 0, 0, {NULL}},
    {{"closets", "N", "network closets on a storey, 0 to 6 (default: 1, 2 above 60 rooms)"},
     ROW_AUTO, AT(closets), 0, 6, 0, 0, {NULL}},
    {{"numbering", "WORD", "around, or odd-even by sides of the corridor (default: around)"},
     ROW_CHOICE, AT(numbering), 0, 0, 0, 0, {"around", "odd-even"}},
    {{"first-number", "N", "number of a storey's first room, 1 to 500 (default: 1)"},
     ROW_WHOLE, AT(first_number), 1, 500, 0, 0, {NULL}},
    {{"first-storey", "N", "number of the lowest storey, 0 to 100 (default: 1)"},
     ROW_WHOLE, AT(first_storey), 0, 100, 0, 0, {NULL}},
    {{"frequency", "MHZ", "radio frequency, 300 to 6000 (default: 915)"},
     ROW_FREQUENCY, AT(frequency_mhz), 300, 6000, 0, 0, {NULL}},
    {{"name", "TEXT", "name of the property (default: the file's name)"}, ROW_NAME, AT(name), 0, 0, 0, 0, {NULL}},
    {{"party-wall", "MATERIAL", "wall between rooms (default: framed-double)"},
     ROW_MATERIAL, AT(party_wall), 0, 0, 0, 0, {"framed-double"}},
    {{"corridor-wall", "MATERIAL", "wall along the corridor (default: corridor-wall)"},
     ROW_MATERIAL, AT(corridor_wall), 0, 0, 0, 0, {"corridor-wall"}},
    {{"outer-wall", "MATERIAL", "outer wall (default: concrete-150)"},
     ROW_MATERIAL, AT(outer_wall), 0, 0, 0, 0, {"concrete-150"}},
    {{"core-wall", "MATERIAL", "wall round stairs and core (default: concrete-200)"},
     ROW_MATERIAL, AT(core_wall), 0, 0, 0, 0, {"concrete-200"}},
    {{"entry-door", "MATERIAL", "room door (default: fire-door; in the open air steel-skinned-door)"},
     ROW_MATERIAL, AT(entry_door), 0, 0, 0, 0, {"fire-door", "steel-skinned-door"}},
    {{"window", "MATERIAL", "room window (default: coated-glass)"},
     ROW_MATERIAL, AT(window), 0, 0, 0, 0, {"coated-glass"}},
    {{"slab", "MATERIAL", "floor slab (default: concrete-200)"}, ROW_MATERIAL, AT(slab), 0, 0, 0, 0, {"concrete-200"}},
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
    double value;
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
    return material_in_force(request, find_row(option));
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
