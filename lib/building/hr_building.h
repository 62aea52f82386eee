/*
 * hr_building.h - the property file read, its storeys stacked, every room,
 * device, spot and gateway named and placed. The only user of inih.
 *
 * All lengths in metres (the file's length_unit is converted on reading).
 * x right, y down from the storeys' common origin; z up from the lowest
 * storey's floor unless `elevation` says otherwise.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_BUILDING_H
#define HR_BUILDING_H

#include "hr_base.h"
#include "hr_geometry.h"
#include "hr_materials.h"
#include "hr_plan.h"
#include "hr_units.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef enum hr_model { HR_MODEL_MULTI_WALL = 0, HR_MODEL_ROUTES, HR_MODEL_SITE_GENERAL } hr_model;
typedef enum hr_pattern { HR_PATTERN_EVEN = 0, HR_PATTERN_DIPOLE } hr_pattern;
typedef enum hr_power { HR_POWER_BATTERY = 0, HR_POWER_MAINS } hr_power;
/* A case counts by the angle between its opening and the other end; a row that is
 * written (facing, side, away) holds at any angle. */
typedef enum hr_enclosure {
    HR_ENCLOSURE_NONE = 0,
    HR_ENCLOSURE_CASE,
    HR_ENCLOSURE_ENCLOSED,
    HR_ENCLOSURE_FACING,
    HR_ENCLOSURE_SIDE,
    HR_ENCLOSURE_AWAY
} hr_enclosure;

HR_API const char *hr_building_model_name(hr_model model); /* "multi-wall" ... */

/* [radio]; the meaning of each key is in the key table (hr_building_keys). */
typedef struct hr_radio {
    double frequency_mhz;
    int model;
    double target_reliability, minimum_margin_db, shadowing_db, time_variation_db, noise_rise_db, exponent;
    double range_limit_m; /* INFINITY: none */
    long cover, max_hops, first_devices, max_children, max_slabs;
    double wall_saturation; /* 0: off */
    bool count_spreads, strict;
    char environment[32];   /* "": by frequency */
    char rule[48];          /* "": not checked */
    double messages_per_hour, airtime_ms; /* NaN: unset */
} hr_radio;

/* The radio of a gateway or a device. */
typedef struct hr_terminal {
    double tx_power_dbm, antenna_gain_dbi, sensitivity_dbm, mount_height_m, tilt_deg;
    int pattern;
} hr_terminal;

typedef struct hr_spot_cost {
    char label[64];
    double cost;
} hr_spot_cost;

typedef struct hr_gateway_kind {
    hr_terminal radio;
    long capacity;
    double metal_clearance_m, spot_spacing_m, door_clearance_m;
    double cable_limit_m, cable_slack_m, cable_drop_m;
    char network_id[64]; /* "": the gateway's number */
    hr_spot_cost *spot_costs;
    size_t spot_cost_count;
} hr_gateway_kind;

#define HR_JOINS_GATEWAY (-1)

typedef struct hr_device_kind {
    char name[64];
    hr_terminal radio;
    int power, enclosure;
    bool relays;
    long per_room;
    int joins; /* kind index, or HR_JOINS_GATEWAY */
    double accept_pass_db, accept_fail_db, accept_loss_percent;
    bool implied; /* no [device ...] section at all: the implied kind `wall` */
} hr_device_kind;

/* [estimate]; used by the estimate command only. */
typedef struct hr_estimate_keys {
    double confidence, served_share;
    long draws, seed, battery_months;
    /* what is drawn; 0: taken as known */
    double wall_spread, slab_spread; /* times the tabled spread */
    double exponent_spread;          /* standard deviation */
    double place_spread_m;           /* farthest a device hangs from its default place */
    double detour_spread, spot_loss, size_spread;
    /* the quote sheet */
    double spare_gateways, spare_devices;
    long service_years, survey_visits, rooms_per_visit, rooms_per_revisit;
} hr_estimate_keys;

/* [fitted]: what a fit found in this building; NaN or empty where not given. */
typedef struct hr_fitted {
    double offset_db, exponent, shadowing_db, floor_loss_db;
    hr_spot_cost *gateway_offsets; /* id, dB */
    size_t gateway_offset_count;
    hr_spot_cost *materials; /* name, dB */
    size_t material_count;
} hr_fitted;

typedef struct hr_storey {
    char name[64];
    const hr_plan *plan; /* shared by the storeys of one section */
    uint32_t plan_index;
    double elevation_m;      /* of its floor */
    double floor_to_floor_m;
    uint32_t slab_material;  /* of the slab it stands on */
    bool slab_assumed;       /* no `slab` key: the default was taken */
    bool repeated;           /* its section stands for several storeys */
    int section_line;
} hr_storey;

typedef struct hr_room {
    const char *name;
    uint32_t storey;
    uint32_t space; /* in its storey's plan */
} hr_room;

typedef struct hr_device {
    const char *name; /* "214/wall", "214/wall-B" */
    uint32_t room, kind, storey;
    hr_point at;
    double mount_height_m; /* above its storey's floor */
    double z_m;
    bool drawn; /* else at the default place */
    int facing; /* index of the room's wall control that its case opens to; -1: drawn, none, or itself */
    hr_point faces; /* unit vector its case opens to: as drawn, else to the room's wall control, else to
                     * the room's innermost point; {0,0} where that is no way */
} hr_device;

typedef struct hr_spot {
    const char *id;
    const char *label; /* spots: LABEL; "" none, "corridor" generated */
    uint32_t storey;
    hr_point at;
    double mount_height_m, z_m;
    bool generated;
} hr_spot;

typedef struct hr_gateway {
    const char *id;
    const char *spot;       /* id of the spot it stands on, NULL */
    const char *network_id; /* NULL: to be numbered */
    uint32_t storey;
    hr_point at;
    double mount_height_m, z_m;
    bool existing;
} hr_gateway;

typedef struct hr_building {
    const char *file;
    const char *name;
    hr_length_unit length_unit;
    bool frequency_assumed; /* lenient reading without frequency_mhz: 915 stands in */
    hr_radio radio;
    hr_gateway_kind gateway_kind;
    hr_device_kind *kinds;
    size_t kind_count;
    hr_estimate_keys estimate;
    hr_fitted fitted;
    hr_materials *materials;
    hr_plan **plans;
    size_t plan_count;
    hr_storey *storeys; /* lowest first */
    size_t storey_count;
    hr_room *rooms; /* by storey, then drawing order */
    size_t room_count;
    hr_device *devices; /* by room, kind, letter */
    size_t device_count;
    hr_spot *spots; /* by storey, y, x, id; both drawn and generated */
    size_t spot_count;
    hr_gateway *gateways; /* marked on the plans, or from a list */
    size_t gateway_count;
    hr_arena *arena;
    struct hr_building_private *priv;
} hr_building;

/* ---- the key table ------------------------------------------------------ */

typedef enum hr_key_type {
    HR_KEY_TEXT = 0,
    HR_KEY_NUMBER,
    HR_KEY_LENGTH, /* in length_unit */
    HR_KEY_INTEGER,
    HR_KEY_CHOICE,
    HR_KEY_YES_NO
} hr_key_type;

/* One key: the single source of validation, of the list of defaults in force
 * and of the manual page. */
typedef struct hr_key {
    const char *section; /* "radio", "gateway", "device" ... */
    const char *key;
    hr_key_type type;
    const char *unit;     /* "dBm", "m" ...; "" none */
    double low, high;     /* closed range for numbers and lengths (metres) */
    const char *choices;  /* "multi-wall|routes|..." for HR_KEY_CHOICE, words allowed beside a number ("off|none") else */
    const char *fallback; /* default as written in the file, NULL: required, "": none */
    const char *reason;   /* why this default: source, "common practice" or "assumed" */
    const char *meaning;  /* one line for people */
    bool repeatable;
    size_t offset;        /* internal */
} hr_key;

HR_API size_t hr_building_key_count(void);
HR_API const hr_key *hr_building_key(size_t index);

/* A key's value in force, for `read`. */
typedef struct hr_setting {
    const char *section; /* "radio", "device wall" ... */
    const char *key, *value, *unit, *reason;
    bool is_default;
} hr_setting;

HR_API size_t hr_building_setting_count(const hr_building *building);
HR_API const hr_setting *hr_building_setting(const hr_building *building, size_t index);

/* ---- reading ------------------------------------------------------------ */

/* A plan that is in memory: taken before any file of this path. */
typedef struct hr_building_file {
    const char *path; /* as the property file names it, taken relative to the property's own path */
    const char *bytes;
    size_t len;
} hr_building_file;

typedef struct hr_building_options {
    const hr_building_file *files;
    size_t file_count;
    const char *const *sets; /* "section.key=value", applied after the file */
    size_t set_count;
    bool lenient; /* `read`: frequency and scale may be missing (noted), nothing placed is no error */
    bool keep_left; /* keep the lines that plans do not use, for drawings */
    bool no_spots; /* leave out generated spots (not needed by the caller) */
    bool no_fitted; /* as if there were no [fitted]: where it comes from must not depend on the last one */
} hr_building_options;

/*
 * Reads a property file with its plans ("-": standard input, plans relative to the current
 * folder). Every error is HR_ERR_INPUT (or LIMIT, UNAVAILABLE, MEMORY) with file:line, what is wrong, what
 * was expected. Warnings go to notes.
 */
HR_API hr_status hr_building_read(const char *path, const hr_building_options *options, hr_notes *notes,
                                  hr_building **building, hr_error *err);
/* The same from bytes in memory; path is used for messages and relative plans. */
HR_API hr_status hr_building_parse(const char *path, const char *bytes, size_t len, const hr_building_options *options,
                                   hr_notes *notes, hr_building **building, hr_error *err);
HR_API void hr_building_free(hr_building *building);

/*
 * Replaces the building's gateways by a CSV list (id,storey,x,y,mount_height and
 * optionally spot,network_id; lengths in the property's length_unit; a
 * `# length_unit` comment that differs is an error).
 */
HR_API hr_status hr_building_read_gateways(hr_building *building, const char *path, hr_notes *notes, hr_error *err);
HR_API hr_status hr_building_parse_gateways(hr_building *building, const char *file, const char *bytes, size_t len,
                                            hr_notes *notes, hr_error *err);

/*
 * Replaces every name that says something about the property by a number in the
 * order of the files: property, storeys, rooms (R001 ...), devices after their
 * rooms, gateways, spots, network connections; files, areas and metal lose
 * theirs. Kinds and materials keep their words. Do it before siting, so that
 * reasons speak the new names. hr_building_room and its like, and the settings,
 * go on knowing the old ones. HR_ERR_MEMORY.
 */
HR_API hr_status hr_building_anonymise(hr_building *building, hr_error *err);

/* A drawing that a property names. */
typedef struct hr_plan_file {
    const char *path;
    const char *layer; /* after '#', NULL */
} hr_plan_file;

typedef struct hr_building_plans {
    hr_plan_file *files; /* each once, in the order of the storeys */
    size_t count;
    const hr_materials *materials;
    hr_building *owner; /* internal */
} hr_building_plans;

/*
 * The drawings that a property file names, without reading any of them; for
 * looking through plans that cannot be understood yet. Frequency, scale and
 * marks may be missing. Errors as hr_building_read.
 */
HR_API hr_status hr_building_plan_files(const char *path, const hr_building_options *options, hr_notes *notes,
                                        hr_building_plans **plans, hr_error *err);
HR_API void hr_building_plans_free(hr_building_plans *plans); /* NULL is fine */

/* Index of a storey by name, a room by name, a device by name; UINT32_MAX when unknown. */
HR_API uint32_t hr_building_storey(const hr_building *building, const char *name);
HR_API uint32_t hr_building_room(const hr_building *building, const char *name);
HR_API uint32_t hr_building_device(const hr_building *building, const char *name);
/* The same of a gateway by its id as it is now (a list or hr_building_anonymise may have given another). */
HR_API uint32_t hr_building_gateway(const hr_building *building, const char *id);
/* The storey that a height above the datum belongs to: that of the highest floor not above it (so a point on a slab's
 * plane to the upper one), under the lowest floor the lowest. A building of one storey or more. */
HR_API uint32_t hr_building_storey_at(const hr_building *building, double z_m);

#ifdef __cplusplus
}
#endif
#endif
