/*
 * building_priv.h - shared inside lib/building only: the property file as
 * entries, the structs that sections are read into, and the reading context.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef BUILDING_PRIV_H
#define BUILDING_PRIV_H

#include "hr_building.h"
#include "hr_limits.h"

#define BUILDING_NONE SIZE_MAX

/* Which struct a section's keys fill; also its place in the table of section words. */
typedef enum building_target {
    BUILDING_PROPERTY = 0,
    BUILDING_RADIO,
    BUILDING_GATEWAY,
    BUILDING_DEVICE,
    BUILDING_STOREY,
    BUILDING_MATERIAL,
    BUILDING_DRAWING,
    BUILDING_FITTED,
    BUILDING_ESTIMATE,
    BUILDING_TARGETS
} building_target;

/* A row of the key table with what the reader alone needs. */
typedef struct building_key_row {
    hr_key key;
    building_target target;
    size_t text_size;       /* HR_KEY_TEXT: bytes of a char array at offset; 0: a const char pointer */
    const char *needed_for; /* required keys: what the message says was expected */
} building_key_row;

size_t building_rows(const building_key_row **rows);
const building_key_row *building_row_find(building_target target, const char *key);
/* The nearest key of that section, NULL when none is near. */
const char *building_row_nearest(building_target target, const char *key);
const char *building_target_word(building_target target);
/* True for sections that carry a name: [device NAME]. */
bool building_target_named(building_target target);

/* ---- the file as read --------------------------------------------------- */

typedef struct building_entry {
    const building_key_row *row;
    const char *value; /* trimmed, not empty */
    int line;          /* 0: from --set */
    size_t next;       /* entry of the same section, BUILDING_NONE */
} building_entry;

typedef struct building_section {
    building_target target;
    const char *title;  /* "device wall" */
    const char *name;   /* "wall"; "" for sections without a name */
    int line;           /* 0: made by --set */
    size_t first, last; /* entries, BUILDING_NONE */
} building_section;

/* ---- what sections are read into ---------------------------------------- */

typedef struct building_property_keys {
    const char *name;
    int length_unit;
} building_property_keys;

/* [drawing], or the same keys in a [storey]: NaN and NULL where not given. */
typedef struct building_drawing_keys {
    double metres_per_unit, wall_pairing_m;
    const char *drawn_at, *rooms_are_walls;
} building_drawing_keys;

typedef struct building_storey_keys {
    const char *plan, *slab, *room_name;
    double floor_to_floor_m, elevation_m; /* elevation NaN: stacked */
    building_drawing_keys drawing;
} building_storey_keys;

typedef struct building_material_keys {
    double loss_db, spread_db;
    const char *layers;
} building_material_keys;

/* A [storey ...] section with the storeys it stands for. */
typedef struct building_storey_section {
    size_t section;
    building_storey_keys keys;
    hr_plan_options options;  /* how its plan is to be read */
    const char *path, *layer; /* of its plan */
    size_t first, count;      /* storeys[first .. first + count) */
    size_t plan;              /* plan index */
} building_storey_section;

typedef struct hr_building_private building_private;
struct hr_building_private {
    hr_names *storey_names, *room_names, *device_names;
    hr_setting *settings;
    size_t setting_count, setting_cap;
    hr_building_plans *plans; /* only where nothing else was asked for */
};

/* ---- the reading context ------------------------------------------------ */

typedef struct building_reader {
    const char *file;
    hr_building_options options;
    hr_notes *notes;
    hr_error *err;
    hr_building *b;
    hr_arena *arena; /* the building's */
    building_entry *entries;
    size_t entry_count, entry_cap;
    building_section *sections;
    size_t section_count, section_cap;
    hr_names *titles; /* of sections */
    size_t current;   /* section that entries go to */
    building_property_keys property;
    building_drawing_keys drawing;
    const hr_plan_map *maps; /* of [drawing] */
    size_t map_count;
    building_storey_section *storey_sections;
    size_t storey_section_count, storey_section_cap;
} building_reader;

/* ini.c: bytes -> sections and entries, by way of inih. */
hr_status building_read_ini(building_reader *r, const char *bytes, size_t len);
/* True when text is UTF-8 throughout and has no zero byte. */
bool building_is_utf8(const char *text, size_t len);

/* sections.c */
hr_status building_open_section(building_reader *r, const char *title, int line);
hr_status building_add_entry(building_reader *r, const char *key, const char *value, int line);
hr_status building_apply_sets(building_reader *r);
/* The first section of a target, BUILDING_NONE. */
size_t building_section_of(const building_reader *r, building_target target);
/* The entry of a key in a section (the first, when repeatable), NULL. section may be BUILDING_NONE. */
const building_entry *building_entry_of(const building_reader *r, size_t section, const char *key);
/* The next entry of the same key, NULL. */
const building_entry *building_entry_next(const building_reader *r, const building_entry *entry);
/* hr_fail at an entry: "file:line: key = value: ..." */
hr_status building_fail_entry(const building_reader *r, const building_entry *entry, const char *text);

/* The same for a material that is not known, with the nearest. or_else: other words that would do, or "". */
hr_status building_fail_material(const building_reader *r, const building_entry *entry, const char *or_else);

/* values.c */
typedef struct building_value {
    double number; /* lengths in metres */
    long integer;
    int choice;
    bool yes;
    const char *text;
} building_value;

/* Reads text as a key's value; lengths from `unit`. False: not such a value, or out of range. */
bool building_value_of(const building_key_row *row, const char *text, hr_length_unit unit, building_value *value);
/* "a number from 300 to 6000 MHz" */
void building_expected(const building_key_row *row, hr_length_unit unit, hr_text *out);
/* Fills a section's struct from its entries and the defaults. section BUILDING_NONE: defaults only. */
hr_status building_fill(building_reader *r, building_target target, size_t section, void *out);
/* The default of shadowing_db with count_spreads: the site figure already holds material error; assumed. */
#define BUILDING_SHADOWING_BESIDE_SPREADS_DB 4.0
/* The default of noise_rise_db at a frequency. */
double building_noise_rise_db(double freq_mhz);
/* `out` gets text with what is not [A-Za-z0-9_@.-] replaced; true when something was. */
bool building_clean_id(const char *text, hr_text *out);

/* kinds.c */
hr_status building_read_kinds(building_reader *r);

/* radio.c: [property], [radio], [gateway], [estimate], [fitted], [material ...] */
hr_status building_read_site(building_reader *r);

/* fitted.c: [fitted] put in place of what it overrides, after the materials */
hr_status building_read_fitted(building_reader *r);

/* rules.c */
hr_status building_check_rule(building_reader *r);

/* storeys.c: sections -> storeys, stacked */
hr_status building_read_storeys(building_reader *r);
/* drawing.c: how plans are read, and reading them */
hr_status building_read_maps(building_reader *r);
hr_status building_storey_options(building_reader *r, building_storey_section *s);
hr_status building_read_plans(building_reader *r);

/* rooms.c */
hr_status building_name_rooms(building_reader *r);

/* devices.c */
hr_status building_place_devices(building_reader *r);
/* facing.c: where the cases of the placed devices open to, unless it was drawn */
void building_face_devices(hr_building *b);

/* spots.c */
hr_status building_place_spots(building_reader *r);
hr_point building_round_point(hr_point p); /* to 1 mm, so that a list reads back to the same */
bool building_in_keep_out(const hr_plan *plan, hr_point p);
/* clearance.c: notes for what hangs on a wall or above a ceiling */
hr_status building_check_clearance(building_reader *r);
void building_note_ceiling(const hr_building *b, hr_notes *notes, const char *file, int line, const char *what,
                           double mount_height_m, double floor_to_floor_m);

/* beside.c: notes for the gateway at `index`, those before it known */
void building_note_gateway(const hr_building *b, hr_notes *notes, const char *file, int line,
                           const hr_gateway *gateways, size_t index);

/* settings.c */
hr_status building_note_borrowed(building_reader *r);
hr_status building_list_settings(building_reader *r);

/* building.c: text moved into the arena and freed; NULL when memory ran out. */
const char *building_keep(building_reader *r, hr_text *text);

#endif
