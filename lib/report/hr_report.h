/*
 * hr_report.h - writers: text for people, CSV lists, JSON. Each fills an
 * hr_text; nothing is printed here. The only user of jansson.
 *
 * Levels are in dB and dBm. Text and CSV give lengths in the property's
 * length_unit, JSON in metres (keys end in _m).
 *
 * SPDX-License-Identifier: MIT
 */
#ifndef HR_REPORT_H
#define HR_REPORT_H

#include "hr_base.h"
#include "hr_building.h"
#include "hr_diagnosis.h"
#include "hr_estimate.h"
#include "hr_links.h"
#include "hr_readings.h"
#include "hr_siting.h"

#ifdef __cplusplus
extern "C" {
#endif

/* What every output says: the one sentence ... */
HR_API const char *hr_report_caution(void);

/* ... and all that applies to a building (NULL: everything), NULL past the last. */
HR_API const char *hr_report_caution_at(const hr_building *building, size_t index);

/* The gateway and room tables of `place` and `rooms`. Every writer returns
 * HR_OK or HR_ERR_MEMORY. */
HR_API hr_status hr_report_siting_text(const hr_building *building, const hr_siting *siting, hr_text *out,
                                       hr_error *err);
HR_API hr_status hr_report_siting_json(const hr_building *building, const hr_siting *siting, const hr_notes *notes,
                                       const char *command, hr_text *out, hr_error *err);
/* `place --csv`: the gateway list that --gateways reads back. */
HR_API hr_status hr_report_gateways_csv(const hr_building *building, const hr_siting *siting, hr_text *out,
                                        hr_error *err);
/* `rooms --csv`: gateways, then devices outward by hops, each after its next hop. */
HR_API hr_status hr_report_rooms_csv(const hr_building *building, const hr_siting *siting, hr_text *out, hr_error *err);

/* What was understood of a property. stops: number of things that stop placement. */
HR_API hr_status hr_report_read_text(const hr_building *building, hr_text *out, hr_error *err);
HR_API hr_status hr_report_read_csv(const hr_building *building, hr_text *out, hr_error *err);
HR_API hr_status hr_report_read_json(const hr_building *building, const hr_notes *notes, hr_text *out, hr_error *err);

/* `read --suggest`: what drawings are made of, and a [drawing] section to edit. */
HR_API hr_status hr_report_suggest(const hr_plan_survey *const *surveys, size_t count, hr_text *out, hr_error *err);

/* The link margin between the devices. */
typedef enum hr_drawing_field {
    HR_DRAWING_NO_FIELD = 0,
    HR_DRAWING_CONTOURS, /* lines of equal link margin */
    HR_DRAWING_GRID      /* squares, coloured as rooms are */
} hr_drawing_field;

/* How a storey is drawn; {0} is a sheet of its own without a field. */
typedef struct hr_report_drawing_options {
    hr_drawing_field field;
    double step_m;            /* of the field's grid, 0.05 and up; 0: as fine as is quick */
    const char *date;         /* shown in the title; NULL: none is */
    const hr_links *links;    /* of the building; NULL: made for this drawing */
    bool embedded;            /* an <svg> element inside a page: no XML declaration, no fixed size */
    bool no_title, no_legend; /* leave them out: a page says the same in its own words */
    const char *prefix;       /* put before every id, so that several storeys can stand in one page; NULL: none */
    const char *plan_id;      /* use the walls of this id (hr_report_drawing_plan) instead of drawing them; NULL: draw */
    const char *property_name;     /* NULL: its own */
    const char *const *room_names; /* beside building->rooms, shown instead of their own; NULL: their own. With
                                    * it the names of areas, corridors and closets are left out. */
} hr_report_drawing_options;

/*
 * A storey as an SVG drawing at true scale (a unit is a centimetre, the page a
 * usual scale on paper) in layers whose names the reader of plans understands
 * again; what is for people only stands in layers named `ignore: ...`.
 *
 * Without a siting: the storey as it was understood. With one: rooms filled by
 * the spare of their worst device, each device with its next hop, gateways, and
 * the field where options ask for it. Room shapes carry data-room (the shown
 * name) and one of the classes spare-0 ... spare-4 (hr_report_spare_band),
 * unserved or no-device; signs carry data-device and data-gateway; lines to the
 * next hop data-device. Texts have the classes room-name and room-figure.
 * options may be NULL. HR_ERR_ARGUMENT for a storey that is not there or a step
 * out of range, HR_ERR_LIMIT for a field of more than a million samples.
 */
HR_API hr_status hr_report_drawing_of(const hr_building *building, const hr_siting *siting, uint32_t storey,
                                      const hr_report_drawing_options *options, hr_text *out, hr_error *err);

/* hr_report_drawing_of a storey as it was understood. */
HR_API hr_status hr_report_drawing(const hr_building *building, uint32_t storey, hr_text *out, hr_error *err);

/*
 * What storeys of one plan have in common (openings in the slab, walls, metal,
 * doors, windows, network connections): <g id="plan_id"> to be put once into a
 * page's <svg><defs>. options->plan_id must be set.
 */
HR_API hr_status hr_report_drawing_plan(const hr_building *building, const hr_siting *siting, uint32_t storey,
                                        const hr_report_drawing_options *options, hr_text *out, hr_error *err);

/* The five bands of spare that rooms are filled by, 0 the least: from, to in dB (the last without an
 * upper end, INFINITY), and the fill. */
typedef struct hr_report_band {
    double from_db, to_db;
    const char *fill; /* "#rrggbb"; dark text is readable on it */
} hr_report_band;
#define HR_REPORT_BANDS 5
HR_API const hr_report_band *hr_report_spare_band(size_t index); /* NULL past the last */
HR_API size_t hr_report_band_of(double spare_db); /* 0 .. HR_REPORT_BANDS - 1; below 0 dB: 0 */

/* The step hr_report_drawing_of takes where options leave it open, in metres. */
HR_API double hr_report_drawing_step_m(const hr_building *building, const hr_siting *siting);

/* What the page is told beside the answer. */
typedef struct hr_page_options {
    const char *date; /* as it is to stand in the cover block; NULL: not given */
    bool anonymous;   /* the building went through hr_building_anonymise: leave out what it cannot reach */
} hr_page_options;

/*
 * `place` and `rooms` as one HTML file that needs no network: plans, tables,
 * every device's budget line by line, what was assumed, cautions. Works
 * without its script and on paper. HR_OK, HR_ERR_MEMORY.
 */
HR_API hr_status hr_report_page(const hr_building *building, const hr_siting *siting, const hr_notes *notes,
                                const hr_page_options *options, hr_text *out, hr_error *err);

/* The attenuation tables at a frequency (HR_FREQ_MIN_MHZ .. HR_FREQ_MAX_MHZ), each row with its source. */
HR_API hr_status hr_report_materials_text(double freq_mhz, hr_text *out, hr_error *err);
HR_API hr_status hr_report_materials_csv(double freq_mhz, hr_text *out, hr_error *err);

/* `fit`: comments and a [fitted] section that can be appended to the property file. */
HR_API hr_status hr_report_fit_ini(const hr_fit *fit, hr_text *out, hr_error *err);
HR_API hr_status hr_report_fit_json(const hr_fit *fit, const hr_notes *notes, hr_text *out, hr_error *err);
HR_API hr_status hr_report_compare_text(const hr_comparison *comparison, hr_text *out, hr_error *err);
HR_API hr_status hr_report_compare_csv(const hr_comparison *comparison, hr_text *out, hr_error *err);
HR_API hr_status hr_report_compare_json(const hr_comparison *comparison, const hr_notes *notes, hr_text *out,
                                        hr_error *err);

/* `accept`: a sheet to sign, a list, JSON. */
HR_API hr_status hr_report_accept_text(const hr_acceptance *acceptance, hr_text *out, hr_error *err);
HR_API hr_status hr_report_accept_csv(const hr_acceptance *acceptance, hr_text *out, hr_error *err);
HR_API hr_status hr_report_accept_json(const hr_acceptance *acceptance, const hr_notes *notes, hr_text *out,
                                       hr_error *err);
/* `why`: one room; CSV holds the lines of its budgets. */
HR_API hr_status hr_report_why_text(const hr_why *why, hr_text *out, hr_error *err);
/* `why --sheet`: a page to print, at most HR_SHEET_LINES of HR_SHEET_COLUMNS; what did not fit is said. */
#define HR_SHEET_LINES 60
#define HR_SHEET_COLUMNS 80
HR_API hr_status hr_report_why_sheet(const hr_why *why, hr_text *out, hr_error *err);
HR_API hr_status hr_report_why_csv(const hr_why *why, hr_text *out, hr_error *err);
HR_API hr_status hr_report_why_json(const hr_why *why, const hr_notes *notes, hr_text *out, hr_error *err);
/* `estimate`: the answer with what it rests on; the quote sheet as a list; all of it. */
HR_API hr_status hr_report_estimate_text(const hr_building *building, const hr_estimate *e, hr_text *out, hr_error *err);
HR_API hr_status hr_report_estimate_csv(const hr_building *building, const hr_estimate *e, hr_text *out, hr_error *err);
HR_API hr_status hr_report_estimate_json(const hr_building *building, const hr_estimate *e, const hr_notes *notes,
                                         hr_text *out, hr_error *err);

/* What stops placement on this property, in words; NULL past the last. The
 * text lives in buf. */
HR_API const char *hr_report_stop(const hr_building *building, size_t index, char *buf, size_t buf_size);

#ifdef __cplusplus
}
#endif
#endif
