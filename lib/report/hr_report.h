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

/*
 * A storey as it was understood: an SVG drawing at true scale (a unit is a
 * centimetre, the page a usual scale on paper) in layers whose names the
 * reader of plans understands again. HR_ERR_ARGUMENT for a storey that is not
 * there.
 */
HR_API hr_status hr_report_drawing(const hr_building *building, uint32_t storey, hr_text *out, hr_error *err);

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

/* `estimate`: the answer with what it rests on; the quote sheet as a list; all of it. */
HR_API hr_status hr_report_estimate_text(const hr_building *building, const hr_estimate *e, hr_text *out, hr_error *err);
HR_API hr_status hr_report_estimate_csv(const hr_building *building, const hr_estimate *e, hr_text *out, hr_error *err);
HR_API hr_status hr_report_estimate_json(const hr_building *building, const hr_estimate *e, const hr_notes *notes,
                                         hr_text *out, hr_error *err);

/* Several estimates, one row each; files: what each was read from. */
typedef enum hr_portfolio_form { HR_PORTFOLIO_TEXT = 0, HR_PORTFOLIO_CSV, HR_PORTFOLIO_JSON } hr_portfolio_form;
HR_API hr_status hr_report_portfolio(const hr_estimate *const *estimates, const char *const *files, size_t count,
                                     hr_portfolio_form form, hr_text *out, hr_error *err);

/* What stops placement on this property, in words; NULL past the last. The
 * text lives in buf. */
HR_API const char *hr_report_stop(const hr_building *building, size_t index, char *buf, size_t buf_size);

#ifdef __cplusplus
}
#endif
#endif
