/*
 * hr_materials.h - what a wall, door, window, floor or piece of metal costs a
 * radio signal: attenuation rows with sources, and a property's own materials.
 *
 * Losses of the in-place family are measured through real constructions, with
 * detours, at the angles a building gives; they are used as they stand at any
 * angle. The slab family is computed from permittivity and conductivity. The
 * two are never mixed in one model.
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_MATERIALS_H
#define HR_MATERIALS_H

#include "hr_base.h"
#include "hr_tables.h"
#include "hr_units.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Frequencies a property may have. */
#define HR_FREQ_MIN_MHZ 300.0
#define HR_FREQ_MAX_MHZ 6000.0

/* What a material is used as; one name may have a row for several uses
 * (concrete-200 is a wall and a floor, with different losses in place). */
typedef enum hr_material_use { HR_USE_WALL = 0, HR_USE_OPENING, HR_USE_FLOOR, HR_USE_METAL } hr_material_use;

/* One material of a property. */
typedef struct hr_material {
    const char *name;
    bool own; /* from the property file */
    /* Loss in place at the property's frequency, per use; NaN where the
     * material has no row for that use (an own material has all four). */
    double loss_db[4];
    double spread_db[4];
    const char *source[4]; /* id in sources.csv or "assumed"; "property file" for own; NULL beside NaN */
    const char *note[4];   /* published figure it stands near, "(from memory)" where recalled; NULL: none */
    bool framed;           /* framed wall: slab family carries a residual */
    const char *layers;    /* slab stack as written, NULL: none */
    double single_pass_db; /* own stack: what a wave loses that passes once, without echoes; else NaN */
} hr_material;

HR_API const char *hr_materials_use_name(hr_material_use use); /* "wall", "opening", "floor", "metal" */

typedef struct hr_materials hr_materials;

/* The built-in rows evaluated at freq_mhz (300..6000): between the anchor
 * frequencies of a material's rows its loss is interpolated linearly in the
 * logarithm of frequency, outside them it is that of the nearest. */
HR_API hr_status hr_materials_new(double freq_mhz, hr_materials **materials, hr_error *err);
HR_API void hr_materials_free(hr_materials *materials);

/* Adds or overrides a material by loss (>= 0, <= 200 dB); spread_db NaN: 0.3 x loss.
 * Indices stay, pointers got from hr_materials_get before do not. */
HR_API hr_status hr_materials_add(hr_materials *materials, const char *name, double loss_db, double spread_db,
                                  hr_error *err);

/*
 * Adds or overrides a material by its slab stack ("plasterboard 12.5, air 75,
 * plasterboard 12.5", mm). Its loss is computed, not listed: loss_db is NaN for
 * every use, as is spread_db where NaN is given (0.3 x the computed loss).
 * HR_ERR_INPUT: the stack does not read.
 */
HR_API hr_status hr_materials_add_layers(hr_materials *materials, const char *name, const char *layers,
                                         double spread_db, hr_error *err);

/* Gives an own stack a loss in place too (0..200 dB, the caller's to check): models that
 * count losses in place use it, the slab family its stack. Unknown names are left. */
HR_API void hr_materials_set_loss(hr_materials *materials, const char *name, double loss_db);
/* Puts a loss found by measurement in place of the tabled ones for a use and,
 * with HR_USE_WALL, for openings; the material stays what it is otherwise. */
HR_API void hr_materials_set_fitted(hr_materials *materials, size_t index, hr_material_use use, double loss_db);

HR_API size_t hr_materials_count(const hr_materials *materials);
HR_API const hr_material *hr_materials_get(const hr_materials *materials, size_t index);
/* Index by name, without case; SIZE_MAX when unknown. */
HR_API size_t hr_materials_find(const hr_materials *materials, const char *name);
/* The known name nearest to a misspelt one, NULL when none is near. */
HR_API const char *hr_materials_nearest(const hr_materials *materials, const char *name);

/*
 * Loss and spread for a use. A material without a row for that use takes its
 * wall row (a floor written as a wall's name, a wall drawn as metal ...), else
 * its first row; *substituted (may be NULL) says so.
 */
HR_API double hr_materials_loss_db(const hr_materials *materials, size_t index, hr_material_use use, bool *substituted);
HR_API double hr_materials_spread_db(const hr_materials *materials, size_t index, hr_material_use use);
/* To tell which of two walls is the heavier: the loss, of an own stack without one
 * its single-pass loss (P.2040 gives the exact one, which the slab family computes). */
HR_API double hr_materials_weight_db(const hr_materials *materials, size_t index, hr_material_use use);

/* ---- the rows themselves, for listing ---------------------------------- */

typedef struct hr_material_row {
    const char *name;
    hr_material_use use;
    const char *family;                                        /* "in-place" or "slab" */
    double freq_mhz;                                           /* anchor frequency; slab: NaN, computed at any */
    double loss_db, spread_db;                                 /* slab: NaN, computed from layers */
    double published_low_db, published_high_db, published_mhz; /* the figure it stands near; NaN: none */
    const char *source;                                        /* id in sources.csv or "assumed" */
    const char *note;                                          /* "" none */
    const char *layers;                                        /* slab: the stack; in-place: NULL */
    bool framed;
    int line; /* of its file in reference/ */
} hr_material_row;

/* Where figures come from. */
typedef struct hr_source {
    const char *id;
    const char *kind; /* standard, paper, report, handbook, common practice, assumed */
    const char *citation;
    const char *trust; /* seen, memory (say so to the user), computed */
    const char *note;  /* "" none */
} hr_source;

/* All built-in rows in table order, the in-place family first. */
typedef struct hr_material_rows hr_material_rows;
HR_API hr_status hr_materials_rows_new(hr_material_rows **rows, hr_error *err);
HR_API void hr_materials_rows_free(hr_material_rows *rows);
HR_API size_t hr_materials_rows_count(const hr_material_rows *rows);
HR_API const hr_material_row *hr_materials_rows_get(const hr_material_rows *rows, size_t index);
/* The sources, all or by id (NULL: no such id). */
HR_API size_t hr_materials_source_count(const hr_material_rows *rows);
HR_API const hr_source *hr_materials_source_get(const hr_material_rows *rows, size_t index);
HR_API const hr_source *hr_materials_source_find(const hr_material_rows *rows, const char *id);

/* ---- slab stacks -------------------------------------------------------- */

/*
 * How a building material answers a wave: eta' = a f^b, conductivity = c f^d
 * in S/m with f in GHz, tabled from low_mhz to high_mhz.
 * Source: ITU-R P.2040-3 Table 3 (edition 3), P.2040-1 Table 3 (edition 1).
 */
typedef struct hr_permittivity {
    char name[24];
    double a, b, c, d;
    double low_mhz, high_mhz;
    bool extrapolated; /* the frequency asked for lies outside */
} hr_permittivity;

/* The row for a frequency by name without case; edition 3 or, for comparison
 * only, 1. False: no such name. */
HR_API bool hr_materials_permittivity(const char *name, int edition, double freq_mhz, hr_permittivity *row);

#define HR_LAYERS_MAX 16

typedef struct hr_layer {
    hr_permittivity material;
    double thickness_m;
} hr_layer;

/*
 * Reads "NAME MM, NAME MM ..." from the outside in: at most HR_LAYERS_MAX
 * layers, each above 0 and up to 5000 mm. HR_ERR_INPUT says which layer is
 * wrong and what was expected. layers has room for HR_LAYERS_MAX.
 */
HR_API hr_status hr_materials_layers_parse(const char *text, double freq_mhz, hr_layer *layers, size_t *count,
                                           hr_error *err);

/* ---- cases round a radio ------------------------------------------------ */

/* Loss of the case a radio sits in: "none", "facing", "side", "away" (from the
 * case's opening), "enclosed". False: no such row. spread_db may be NULL. */
HR_API bool hr_materials_enclosure(const char *name, double *loss_db, double *spread_db);

/* ---- radio limits ------------------------------------------------------- */

typedef struct hr_radio_rule {
    char name[32]; /* row name as written after `rule =` */
    double low_mhz, high_mhz;
    double stated_limit_dbm;    /* as the rule states it, see stated_as_erp */
    bool stated_as_erp;         /* ERP over a half-wave dipole, else EIRP */
    double eirp_limit_dbm;      /* highest EIRP                  */
    double conducted_limit_dbm; /* highest conducted power; NaN: none */
    double free_gain_dbi;       /* antenna gain above which conducted power falls dB for dB; NaN: none */
    double duty_percent;        /* NaN: no duty cycle limit      */
    char source[32];
} hr_radio_rule;

/* Rows are found by name without case and, where one name has several bands,
 * by frequency. False: no such name, or (*name_known, may be NULL) the name is
 * known and the frequency lies in none of its bands. *rule only on true. */
HR_API bool hr_materials_rule_find(const char *name, double freq_mhz, hr_radio_rule *rule, bool *name_known);
/* The known rule name nearest to a misspelt one, NULL when none is near. */
HR_API const char *hr_materials_rule_nearest(const char *name);
/* The rule names in table order; NULL past the last. */
HR_API const char *hr_materials_rule_name(size_t index);

/* Highest transmit power the rule allows with this antenna gain. */
HR_API double hr_materials_rule_power_dbm(const hr_radio_rule *rule, double gain_dbi);

#ifdef __cplusplus
}
#endif
#endif
